"""The strip of one plant on one stretch: from tape readings to a radius and back, and which readings share a starting
point."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.monitoring.growth_fit import SETTLING_SEASONS, Prior, Series
from plantpick.monitoring.log import Event, LogRow, since_taken_out
from plantpick.pond.growing_season import GrowingSeason
from plantpick.pond.model import Pond
from plantpick.ranking import takeover

# Where nothing is known of a plant's depths, it is taken to live from the waterline to 3 ft: judgement.
UNKNOWN_REACH_IN = 36.0
UNKNOWN_RATE = (0.1, 0.7, 5.0)  # feet a season for a plant whose spread nobody has put a figure to: judgement
FULL, STOPPED = 0.97, 0.93  # of the strip: from here on a reading says nothing of the rate (judgement)
PIECES = 600
FLOATING_CROWD_FT2 = 0.01  # a free-floating mat is never less than this
_NODES, _WEIGHTS = takeover.across_strip(takeover.NODES)


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Where one plant can live on one stretch: a strip `width_ft` by `length_ft`, and `groups` patches in it, each a disc
    or, where a row of `row_ft` was planted, a stadium.

    `wet_ft` is the part of the width under water. One number says a stand's size, its edge: the radius
    of its patches in feet, or for a free-floating mat the logarithm to base 2 of its square feet.
    """

    width_ft: float
    wet_ft: float
    length_ft: float
    groups: float
    floating: bool
    pond_ft2: float
    row_ft: float = 0.0

    @property
    def most_ft2(self) -> float:
        """The most that the plant can hold on this stretch; the whole surface for what floats free."""
        return self.pond_ft2 if self.floating else min(self.pond_ft2, self.width_ft * self.length_ft)

    def area_ft2(self, edge) -> np.ndarray:
        """Square feet that the stand covers: discs cut by the strip, until they fill it."""
        edge = np.asarray(edge, dtype=float)
        if self.floating:
            return np.minimum(self.pond_ft2, np.exp2(np.minimum(edge, 60.0)))
        across = self.width_ft * _NODES
        inside = (
            takeover.disc_in_strip(
                np.maximum(edge, 0.0)[..., None], across, self.width_ft, self.length_ft, self.row_ft
            )
            @ _WEIGHTS
        )
        return np.minimum(self.most_ft2, self.groups * inside)

    def edge(self, area_ft2: float) -> float:
        """The edge at which the stand covers an area; infinity where this stretch never holds that much."""
        if self.floating:
            return float(np.log2(max(area_ft2, FLOATING_CROWD_FT2))) if area_ft2 <= self.pond_ft2 else np.inf
        if area_ft2 >= self.most_ft2 * (1.0 - 1e-9):
            return np.inf
        radii = np.concatenate([[0.0], np.geomspace(0.05, self.length_ft, PIECES)])
        area = self.area_ft2(radii)
        return float(np.interp(area_ft2, area, radii)) if area_ft2 <= area[-1] else np.inf


def strip_of(
    plants: Traits,
    row: int,
    pond: Pond,
    where: takeover.Strips,
    stretch: str,
    groups: float,
    *,
    row_ft: float = 0.0,
) -> Strip:
    """The strip of one plant (a row of `plants`) on one stretch; `row_ft` is the length of the rows that were planted."""
    s = [shore.name for shore in pond.shore].index(stretch)
    width, dry = float(where.width[row, 1, s]), float(where.dry[row, 1, s])
    if not np.isfinite(width) or width <= 0.0:
        width, dry = max(pond.shore[s].slope * UNKNOWN_REACH_IN / 12.0, 1.0), 0.0
    floating = plants.word["growth_form"][row] == "free-floating"
    return Strip(
        width_ft=width,
        wet_ft=width - (dry if np.isfinite(dry) else 0.0),
        length_ft=pond.shore[s].length_ft,
        groups=max(1.0, groups),
        floating=floating,
        pond_ft2=pond.area_ft2,
        row_ft=row_ft,
    )


def rate_prior(plants: Traits, row: int, pond: Pond) -> tuple[Prior, bool]:
    """The forecast rate for this pond in feet (or doublings) a season, and whether the catalogue has one."""
    n = plants.number
    if plants.word["growth_form"][row] == "free-floating" and np.isfinite(n["doubling_days"][row]):
        days = [float(n[c][row]) for c in ("doubling_high_days", "doubling_days", "doubling_low_days")]
        return Prior.of(*(pond.growing_season.frost_free_days / d for d in days)), True
    rates = [float(n[c][row]) for c in ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr")]
    known = bool(np.isfinite(rates).all())
    return Prior.of(*(r * pond.growing_season.rate_factor for r in (rates if known else UNKNOWN_RATE))), known


def groups_planted(rows: list[LogRow], group_size: float) -> float:
    """Groups you set on a stretch: as logged, or the number of plants over the size of a group; one if the log has
    neither."""
    total = 0.0
    for e in rows:
        if e.event is Event.PLANTED:
            total += e.groups or (max(1.0, e.number / group_size) if e.number else 1.0)
    return total


def stand_area_ft2(entry: LogRow, strip: Strip) -> float | None:
    """The area of the whole stand that one row tells, without the distance out; None if it tells none.

    A patch is a disc as wide as its longer side, cut to its shorter one: a full circle when both are equal, a
    stretch of strip when it is long. One that was planted as a row is that row with what has grown around it.
    """
    if entry.area_ft2 is not None:
        return entry.area_ft2
    if entry.length_ft is not None:
        long, short = (
            max(entry.length_ft, entry.width_ft or 0.0),
            min(entry.length_ft, entry.width_ft or entry.length_ft),
        )
        row = min(strip.row_ft, long - short)
        one = float(takeover.disc_in_strip((long - row) / 2.0, short / 2.0, short, 10.0 * long, row))
        return one * (entry.patches or strip.groups)
    if entry.share_percent is not None:
        return strip.most_ft2 * entry.share_percent / 100.0
    return None


@dataclass(frozen=True, kw_only=True)
class Readings:
    """What is known of one stand: series for the fit, and the readings as points for a figure.

    Growth counts from season `origin`; the last series has its x = 0 at `shift` after that. `out_only` says
    that the last series are distances from the bank, so that the size is only guessed. `stopped` counts
    readings that were left out because the edge stood at the end of the strip or the strip was full; `cut` is
    a day of cutting with no reading after it.
    """

    series: list[Series]
    origin: float
    shift: float
    points: tuple[tuple[date, float, bool], ...]  # day, square feet, whether it entered the fit
    days: tuple[tuple[date, ...], ...]  # days of each series' readings
    out_only: bool = False
    stopped: int = 0
    cut: date | None = None

    def x(self, season: float) -> float:
        """Seasons of growth of the last series at a point of time."""
        return max(0.0, season - self.origin) - self.shift


def readings(rows: list[LogRow], strip: Strip, clock: GrowingSeason, start_ft: float) -> Readings:
    """Sort the rows of one stand into series.

    Cutting starts a new series; "taken out" forgets what went before. Among rows of one series those that
    tell an area go before distances from the bank, of which only the advance is used.
    """
    rows = since_taken_out(rows)
    planted = [e.day for e in rows if e.event is Event.PLANTED]
    first = planted[0] if planted else next((e.day for e in rows if e.measures), None)
    if first is None:
        return Readings(series=[], origin=0.0, shift=0.0, points=(), days=())
    origin = clock.seasons(first) + (SETTLING_SEASONS if planted else 0.0)
    segments: list[list[LogRow]] = [[]]
    for entry in rows:
        if entry.event is Event.TRIMMED:
            segments.append([])
        if entry.measures:
            segments[-1].append(entry)
    cut = (
        [e.day for e in rows if e.event is Event.TRIMMED][-1]
        if len(segments) > 1 and not segments[-1]
        else None
    )
    series: list[Series] = []
    days: list[tuple[date, ...]] = []
    points: list[tuple[date, float, bool]] = []
    shift, out_only = 0.0, False
    for number, segment in enumerate(segments):
        anchor = start_ft if planted and number == 0 and not strip.floating else None
        sized: list[tuple[date, float, float]] = []  # day, seasons of growth, edge
        out: list[tuple[date, float, float]] = []
        for entry in segment:
            x = max(0.0, clock.seasons(entry.day) - origin)
            area = stand_area_ft2(entry, strip)
            if area is not None:
                edge = strip.edge(min(area, strip.pond_ft2))
                usable = bool(np.isfinite(edge)) and area < FULL * strip.most_ft2
            elif strip.floating or entry.out_ft is None:
                continue
            else:
                area, edge = float(strip.area_ft2(entry.out_ft / 2.0)), entry.out_ft
                usable = entry.out_ft < STOPPED * strip.wet_ft
            points.append((entry.day, area, usable))
            if usable:
                (sized if entry.out_ft is None or stand_area_ft2(entry, strip) is not None else out).append(
                    (entry.day, x, edge)
                )
        for found, start in ((out, None), (sized, anchor)):  # the one that tells the size comes last
            if not found and (start is None or number < len(segments) - 1):
                continue
            at = np.array([f[1] for f in found], dtype=float)
            shift = 0.0 if start is not None else float(at[0])
            series.append(
                Series(at - shift, np.array([f[2] for f in found], dtype=float), start, strip.floating)
            )
            days.append(tuple(f[0] for f in found))
            out_only = found is out
    return Readings(
        series=series,
        origin=origin,
        shift=shift,
        points=tuple(points),
        days=tuple(days),
        out_only=out_only,
        stopped=sum(not usable for *_, usable in points),
        cut=cut,
    )
