"""After planting: is each stand on track, when does it reach the cap, and what is to be done.

Pure: the log comes read, the day comes as an argument.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from plantpick import spread
from plantpick.advance import Clock, Fit, Prior, fit
from plantpick.containment import TRIM_MOST_FT2
from plantpick.logbook import Entry, Log
from plantpick.plants import Catalogue, Traits, split_list, traits
from plantpick.pond import Pond
from plantpick.refresh import Refreshed, refresh
from plantpick.stand import Ground, Readings, ground, groups_planted, rate_prior, readings
from plantpick.volunteers import Volunteer, judge

AHEAD_SEASONS = 15.0  # no date further ahead is named: judgement
SOON_SEASONS = 1.0  # half the cap within a season calls for the shears: judgement
APART_SEASONS = (
    0.15,
    0.02,
)  # readings closer together than this count as one, the second if it floats: judgement
VERDICTS = (
    "faster than forecast",
    "on track",
    "slower than forecast",
    "too early to say",
    "not measured yet",
)


@dataclass(frozen=True)
class When:
    """When a stand reaches a size: the early, middle and late day of an 80 per cent range.

    None stands for a day more than 15 seasons ahead; `never` says that the stretch cannot hold so much, `now`
    that it holds it already (at the middle of the range).
    """

    early: date | None
    middle: date | None
    late: date | None
    never: bool = False
    now: bool = False


@dataclass(frozen=True)
class StandFigure:
    """What a figure of one stand shows; shares are per cent of the pond's surface.

    `points` are (day, share, entered the fit); `forecast` and `fitted` are (days, low, middle, high),
    `fitted` empty where nothing was measured.
    """

    title: str
    points: tuple[tuple[date, float, bool], ...]
    forecast: tuple[tuple[date, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]]
    fitted: tuple[tuple[date, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]]
    cap_percent: float
    today: date


@dataclass(frozen=True)
class Stand:
    """One plant on one stretch. Triples are low, middle, high of an 80 per cent range.

    Rates are feet a season at the edge, or doublings a season where `floating`. `measured_rate` is what the
    readings say by themselves. `trim_ft` and `trim_ft2` go with the action "trim".
    """

    plant_id: str
    common_name: str
    stretch: str
    planted: date | None
    count: int
    verdict: str
    why: str
    action: str  # leave, trim, take out
    act_by: date | None
    trim_ft: float
    trim_ft2: float
    what_to_do: str
    floating: bool
    forecast_rate: tuple[float, float, float]
    rate: tuple[float, float, float]
    measured_rate: float | None
    area_ft2: tuple[float, float, float]
    share_percent: tuple[float, float, float]
    half_cap: When
    cap: When
    ten_years_percent: tuple[float, float, float]  # as forecast
    ten_years_fitted_percent: tuple[float, float, float]  # with the fitted rate
    odd_days: tuple[date, ...]
    remarks: tuple[str, ...]
    figure: StandFigure


@dataclass(frozen=True)
class Watch:
    """The answer for one pond and log."""

    pond: Pond  # with the log's light and level
    today: date
    stands: tuple[Stand, ...]
    volunteers: tuple[Volunteer, ...]
    gone: tuple[tuple[str, str], ...]  # common name and stretch of stands that were taken out
    totals: tuple[
        tuple[str, float], ...
    ]  # plants on several stretches: common name, per cent of the pond in all
    refreshed: Refreshed
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]


CAUTIONS = (
    "Haul cuttings out, well above the waterline, and kill no large stand in hot weather: plantpick oxygen says how much "
    "at once.",
    "Do not work deep water or a boat alone; wear a life jacket, gloves and long sleeves.",
    "Have a volunteer identified before you pull it, and never move plants, water or mud to another water.",
    "Weed killers only by the label and within state law, by a licensed applicator where your state asks for one.",
    "The list of plants refused by law has a date: your state agency has the last word.",
)


def watch(pond: Pond, catalogue: Catalogue, log: Log, today: date) -> Watch:
    """Judge every stand and volunteer of a log as of a day. Entries must name stretches of the pond's
    shore."""
    renewed = refresh(pond, log)
    pond = renewed.pond
    stands, volunteers, gone = [], [], []
    for (plant_id, stretch), rows in log.stands().items():
        name = catalogue.records[plant_id]["common_name"]
        last_gone = max((i for i, e in enumerate(rows) if e.event == "taken out"), default=-1)
        alive = rows[last_gone + 1 :]
        if not alive:
            gone.append((name, stretch))
            continue
        planted_here = any(e.event == "planted" for e in alive)
        volunteer = None
        if not planted_here:
            elsewhere = any(e.plant_id == plant_id for e in log.planted)
            volunteer = judge(pond, catalogue, plant_id, stretch, elsewhere)
            volunteers.append(volunteer)
        stands.append(_stand(pond, catalogue, plant_id, stretch, alive, volunteer, today))
    stands.sort(key=lambda s: (VERDICTS.index(s.verdict), -s.share_percent[1], s.plant_id, s.stretch))
    shares: dict[str, list[float]] = {}
    for s in stands:
        shares.setdefault(s.common_name, []).append(s.share_percent[1])
    totals = tuple((name, sum(each)) for name, each in shares.items() if len(each) > 1)
    order = ("take out now", "watch", "keep")
    volunteers.sort(key=lambda v: (order.index(v.verdict), v.plant_id))
    return Watch(
        pond, today, tuple(stands), tuple(volunteers), tuple(gone), totals, renewed, log.assumed, CAUTIONS
    )


@dataclass(frozen=True)
class _Case:
    """What the steps below hand to each other."""

    pond: Pond
    plants: Traits
    strip: Ground
    clock: Clock
    prior: Prior
    known: Readings
    fit: Fit
    today: date
    start: float

    @property
    def x_now(self) -> float:
        return self.known.x(self.clock.seasons(self.today))

    def edge(self, x: float) -> np.ndarray:
        """The stand's edge on the fit's grid after x seasons of growth."""
        if (
            self.known.out_only
        ):  # only distances from the bank: the stand is taken as half as wide, as it was read
            return self.fit.place / 2.0 + self.fit.v[:, None] * max(0.0, x)
        return self.fit.edge(x)

    def seasons_to(self, edge: float) -> np.ndarray:
        place = self.fit.place / 2.0 if self.known.out_only else self.fit.place
        return np.maximum(0.0, (edge - place) / self.fit.v[:, None])

    def when(self, area_ft2: float) -> When:
        return self.when_edge(self.strip.edge(area_ft2))

    def when_edge(self, target: float) -> When:
        if not np.isfinite(target):
            return When(None, None, None, never=True)
        now = self.x_now
        at = np.maximum(self.seasons_to(target) - now, 0.0)
        ahead = self.fit.quantiles(at)
        days = []
        for seasons in ahead:
            if seasons > AHEAD_SEASONS:
                days.append(None)
                continue
            day = self.clock.day(self.clock.seasons(self.today) + self._waiting() + seasons)
            days.append(max(self.today, day))
        return When(*days, now=ahead[1] <= 0.0)

    def _waiting(self) -> float:
        """Seasons of settling that are still to come."""
        return max(0.0, self.known.origin - self.clock.seasons(self.today))


def _stand(
    pond: Pond,
    catalogue: Catalogue,
    plant_id: str,
    stretch: str,
    rows: list[Entry],
    volunteer: Volunteer | None,
    today: date,
) -> Stand:
    plants = traits(catalogue.plants.loc[[plant_id]])
    record = catalogue.records[plant_id]
    where = spread.strips(plants, pond)
    groups = groups_planted(rows, float(plants.group[0]))
    strip = ground(plants, 0, pond, where, stretch, groups)
    clock = Clock.of(pond)
    prior, rated = rate_prior(plants, 0, pond)
    spacing = plants.number["spacing_in"][0]
    start = float(spread.group_radius_ft(plants.group[0], spacing if np.isfinite(spacing) else 24.0))
    if strip.floating:
        start = float(np.log2(spread.FLOATING_START_FT2))
    known = readings(rows, strip, clock, start)
    fitted = fit(known.series, prior)
    case = _Case(pond, plants, strip, clock, prior, known, fitted, today, start)
    count = len({day for days in known.days for day in days})
    area = tuple(float(strip.area_ft2(e)) for e in fitted.quantiles(case.edge(case.x_now)))
    share = tuple(a / pond.area_ft2 * 100.0 for a in area)
    cap_ft2 = pond.cap_percent / 100.0 * pond.area_ft2
    half, full = case.when(cap_ft2 / 2.0), case.when(cap_ft2)
    verdict, why = _verdict(case, count)
    listed = volunteer is not None and volunteer.verdict == "take out now"
    action, act_by, feet, square = _action(case, record, verdict, area, half, cap_ft2, listed)
    odd = tuple(day for days, mask in zip(known.days, fitted.odd) for day, flag in zip(days, mask) if flag)
    planted = next((e.day for e in rows if e.event == "planted"), None)
    forecast, again = _ten_years(pond, plants, stretch, max(1.0, groups), fitted)
    return Stand(
        plant_id,
        record["common_name"],
        stretch,
        planted,
        count,
        verdict,
        why,
        action,
        act_by,
        feet,
        square,
        _words(action, act_by, feet, square, strip, today, half, listed),
        strip.floating,
        (prior.low, prior.typical, prior.high),
        fitted.rate,
        fitted.measured,
        area,
        share,
        half,
        full,
        forecast,
        again,
        odd,
        _remarks(case, record, odd, rated, square, share),
        _figure(case, record, stretch, full),
    )


def _verdict(case: _Case, count: int) -> tuple[str, str]:
    """On track as long as the stand is, more likely than not, within the rates that the plan was drawn
    for."""
    unit = "doublings a season" if case.strip.floating else "ft a season"
    low, middle, high = case.fit.rate
    band = f"forecast {_n(case.prior.low)} to {_n(case.prior.high)}"
    if count == 0:
        return "not measured yet", f"{band} {unit}"
    if (
        count < 2
        or max(max(s.x) - min(s.x) for s in case.known.series if len(s.x))
        < (APART_SEASONS[case.strip.floating])
    ):
        return "too early to say", f"one reading gives a range only: {_n(low)} to {_n(high)} {unit} ({band})"
    found = f"{_n(middle)} {unit} (80 % sure of {_n(low)} to {_n(high)}); {band}"
    if middle > case.prior.high:
        return "faster than forecast", found
    if middle < case.prior.low:
        return "slower than forecast", found
    return "on track", found


def _action(
    case: _Case, record: dict, verdict: str, area, half: When, cap_ft2: float, listed: bool
) -> tuple[str, date | None, float, float]:
    """Leave, trim or take out; by which day; how many feet and square feet of edge.

    A stand is cut before the early end of its range reaches half the cap, and back so far that a season at
    the high end of its rate brings it there again. One faster than forecast is cut before a season's growth
    is more than an owner keeps up with (TRIM_MOST_FT2, as for containment). What cannot be trimmed is taken
    out while it is small.
    """
    if listed:
        return "take out", case.today, 0.0, area[1]
    faster = verdict == "faster than forecast"
    edge_half = case.strip.edge(cap_ft2 / 2.0)
    keep = _edge_kept_up(case) if faster else np.inf
    limit = min(edge_half, keep)
    due = half if limit == edge_half else case.when_edge(limit)
    season = timedelta(days=round(365.25 * SOON_SEASONS))
    soon = due.now or (due.early is not None and due.early <= case.today + season)
    if due.never or (due.early is None and not due.now) or not (faster or soon):
        return "leave", None, 0.0, 0.0
    act_by = case.today if due.now else due.early
    held = not case.strip.floating and "trim" in split_list(record["contained_by"])
    near = half.now or (half.early is not None and half.early <= case.today + season)
    if not held or (
        near and keep < case.start
    ):  # even a single group would outgrow what an owner keeps up with
        return "take out", act_by, 0.0, area[1]
    middle = case.fit.quantiles(case.edge(case.x_now))[1]
    at_cut = middle if soon else limit
    target = max(keep, 0.5 * at_cut) if limit == keep else max(edge_half - case.fit.rate[2], 0.5 * edge_half)
    feet = max(0.0, at_cut - target)
    if feet < 0.25:  # the middle of the range is still well inside: a year's growth is what to take off
        feet = min(case.fit.rate[1], 0.5 * at_cut)
    square = float(case.strip.area_ft2(at_cut) - case.strip.area_ft2(at_cut - feet))
    return "trim", act_by, feet, square


def _edge_kept_up(case: _Case) -> float:
    """The edge from which one season's growth is TRIM_MOST_FT2; infinity where it never is so much."""
    if case.strip.floating:
        return np.inf
    edges = np.linspace(0.0, max(case.strip.length_ft, 1.0), 800)
    ring = case.strip.area_ft2(edges + case.fit.rate[1]) - case.strip.area_ft2(edges)
    over = np.flatnonzero(ring > TRIM_MOST_FT2)
    return float(edges[over[0]]) if len(over) else np.inf


def _words(
    action: str,
    act_by: date | None,
    feet: float,
    square: float,
    strip: Ground,
    today: date,
    half: When,
    listed: bool,
) -> str:
    if action == "leave":
        if half.never:
            return f"leave it: this stretch holds {strip.most_ft2:,.0f} sq ft of it at most, less than half the cap"
        return "leave it, and measure again"
    by = "now" if act_by is None or act_by <= today else f"by {act_by:%B} {act_by.day}, {act_by.year}"
    if action == "take out":
        why = (
            ": skim it off while it is little"
            if strip.floating
            else ": no trimming that one owner can do holds it"
        )
        why = "" if listed else why
        return f"take it out {by}{why}"
    return (
        f"trim the outer edge {by}: {feet:.0f} ft, about {square:,.0f} sq ft"
        if feet >= 1
        else (f"trim the outer edge {by}: {12 * feet:.0f} in, about {square:,.0f} sq ft")
    )


def _remarks(case: _Case, record: dict, odd, rated: bool, square: float, share) -> tuple[str, ...]:
    said = []
    if odd:
        said.append(
            "far off the others and hardly counted: the reading of " + ", ".join(d.isoformat() for d in odd)
        )
    if case.known.out_only:
        said.append(
            "only the distance from the bank was measured: its size is a guess; measure length and width once"
        )
    if case.known.stopped:
        several = "s" if case.known.stopped > 1 else ""
        said.append(
            f"{case.known.stopped} reading{several} with the strip full or the edge at the depth that stops it: "
            "nothing more to learn of the rate there"
        )
    if case.known.cut:
        said.append(f"cut on {case.known.cut} and not measured since: the size is that before the cut")
    if not rated:
        said.append("nobody has put a figure to its spread: a wide range was taken")
    if square > TRIM_MOST_FT2:
        tub = ", or set it again in a tub" if "tub" in split_list(record["contained_by"]) else ""
        said.append(
            f"{square:,.0f} sq ft is more than one owner does in a year ({TRIM_MOST_FT2:.0f}): cut it in parts "
            f"and get help, before it grows{tub}"
        )
    if share[1] >= case.pond.cap_percent:
        said.append(f"over the cap of {case.pond.cap_percent:g} % already")
    if "deadhead" in split_list(record["contained_by"]):
        said.append("cut its seed heads before they ripen")
    return tuple(said)


def _ten_years(pond: Pond, plants: Traits, stretch: str, groups: float, fitted: Fit):
    """Takeover after ten untended years, per cent low to high: as forecast, and with the fitted rate."""
    counts = np.array([[groups if s.name == stretch else 0.0 for s in pond.shore]])
    shares = spread.forecast(plants, pond).takeover(counts)[0] * 100.0
    low, middle, high = (np.array([r / pond.season_factor]) for r in fitted.rate)
    if plants.word["growth_form"][0] == "free-floating":
        days = [np.array([pond.frost_free_days / r]) for r in reversed(fitted.rate)]
        renewed = plants.replaced(
            doubling_low_days=days[0], doubling_days=days[1], doubling_high_days=days[2]
        )
    else:
        renewed = plants.replaced(spread_low_ft_yr=low, spread_ft_yr=middle, spread_high_ft_yr=high)
    again = spread.forecast(renewed, pond).takeover(counts)[0] * 100.0
    return tuple(float(v) for v in np.nan_to_num(shares)), tuple(float(v) for v in np.nan_to_num(again))


def _figure(case: _Case, record: dict, stretch: str, full: When) -> StandFigure:
    """Monthly points from the start to three seasons ahead, or to the cap if that comes sooner than six."""
    pond, clock = case.pond, case.clock
    scale = 100.0 / pond.area_ft2
    points = tuple((day, area * scale, usable) for day, area, usable in case.known.points)
    begin = min([case.today, clock.day(max(case.known.origin - 1.0, 1980.0)), *(day for day, _, _ in points)])
    ahead = case.today + timedelta(days=3 * 365)
    if full.late and full.late > ahead:
        ahead = min(full.late, case.today + timedelta(days=6 * 365))
    days = tuple(begin + timedelta(days=int(d)) for d in np.linspace(0, (ahead - begin).days, 60))
    grown = [max(0.0, clock.seasons(d) - case.known.origin) for d in days]
    base = (
        case.start
        if case.known.series and case.known.series[0].start is not None or not points
        else (min(case.strip.edge(min(points[0][1], case.strip.most_ft2 * 0.99)), 1e6))
    )
    rates = (case.prior.low, case.prior.typical, case.prior.high)
    forecast = tuple(tuple(float(case.strip.area_ft2(base + r * x)) * scale for x in grown) for r in rates)
    fitted: tuple = ((), (), (), ())
    if points:
        since = max(case.known.origin - 1.0, clock.seasons(points[0][0]))
        kept = [d for d in days if clock.seasons(d) >= since]
        bands = [case.fit.quantiles(case.edge(case.known.x(clock.seasons(d)))) for d in kept]
        fitted = (
            tuple(kept),
            *(tuple(float(case.strip.area_ft2(b[i])) * scale for b in bands) for i in range(3)),
        )
    return StandFigure(
        f"{record['common_name']}, {stretch}", points, (days, *forecast), fitted, pond.cap_percent, case.today
    )


def _n(value: float) -> str:
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
