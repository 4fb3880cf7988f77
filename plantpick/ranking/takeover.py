"""Takeover: how much of the pond's surface one plant could hold if you never cut it back.

A *group* of herbs is a row along one depth line (shrubs a triangle, trees one) and soon stands as one colony, whose edge
advances by a rate each year after a settling year: the row becomes a stadium. It lives in the strip of each stretch between
the depth it tolerates on the waterline side and the depth its edge can creep into. All the ground that it holds counts, bank
and water together, as a share of the pond's surface. Every trait is drawn inside its range (draws.py), and the closed forms
here are worked out for all draws at once. docs/method.md gives the derivation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.basin import LEAST, MEASURED, MOST, area_at_depth_ft2, area_shallower_ft2
from plantpick.pond.deepest_growth import reach_in
from plantpick.pond.model import Growing, Pond
from plantpick.ranking.draws import (
    POINTS,
    Draws,
    draw,
    lognormal_between,
    normal_between,
    percent_points,
)
from plantpick.vocabulary import HERB_GROUP

YEARS = (1, 3, 5, 10)
SETTLING_YEARS = 1.0
# Colonies a year from one colony, by how readily the plant jumps. Judgement.
JUMP_FACTOR = {"none": (1.0, 1.0, 1.0), "low": (1.0, 1.1, 1.3), "high": (1.3, 2.0, 3.0)}
# Share of the surface on which a free-floating plant collects, wind and fetch considered. Judgement.
FLOATING_SHARE = (0.3, 0.6, 1.0)
FLOATING_START_FT2 = 1.0
MANY_GROUPS = 30  # from here on the number is no longer a limit worth naming
NODES = 6  # points across half a strip at which its cover is worked out: the other half is its mirror
DRAW_NODES = 3  # the same in a draw


def disc_in_strip(radius, across, width, length, row=0.0):
    """Area of a disc, or of a stadium, that lies inside a strip, square feet.

    The disc of `radius` is centred `across` feet from one long side of a strip `width` feet wide and `length`
    feet long, whose ends join (the shore goes round the pond). A stadium is a disc drawn out along the strip by the
    length `row`. All in feet; arrays broadcast.
    """
    r = np.maximum(np.asarray(radius, dtype=float), 1e-9)
    square = r * r
    # within `full` feet of its center line the stadium is longer than the strip: there the chord is the strip's length
    rest = np.maximum(np.asarray(length, dtype=float) - row, 0.0) / 2.0
    full = np.sqrt(np.maximum(square - rest * rest, 0.0))
    wraps = full.any()
    full_plain = (
        full * np.sqrt(square - full * full) + square * np.arcsin(full / r) + row * full if wraps else 0.0
    )

    def half(u):  # area between the center line and a line u feet from it, -r <= u <= r
        plain = u * np.sqrt(np.maximum(square - u * u, 0.0)) + square * np.arcsin(u / r) + row * u
        if not wraps:
            return plain
        size = np.abs(u)
        return np.sign(u) * np.where(size <= full, length * size, length * full + np.abs(plain) - full_plain)

    return half(np.clip(width - across, -r, r)) - half(np.clip(-across, -r, r))


def mean_disc_in_strip(radius, width, length):
    """The same for a disc, averaged over all places of its center across the strip: in closed form, square feet."""
    r, width, length = np.broadcast_arrays(
        np.maximum(np.asarray(radius, dtype=float), 1e-9), np.asarray(width, float), np.asarray(length, float)
    )
    square = r * r
    inside = np.asarray(
        square * (width * (np.pi / 2.0) - r * (2.0 / 3.0))
    )  # all chords, where the strip is wider
    wide = r > width
    inside[wide] = _chords(r[wide], width[wide], width[wide])
    long = square > np.square(length) / 4.0  # some chords are longer than the strip: they count its length
    if long.any():
        r, across, ends = r[long], width[long], length[long]
        full = np.minimum(np.sqrt(np.maximum(r * r - ends * ends / 4.0, 0.0)), np.minimum(r, across))
        inside[long] += ends * (across * full - full * full / 2.0) - _chords(r, full, across)
    return 2.0 * inside / np.maximum(width, 1e-9)


def _chords(r, s, width):
    """The integral of half a disc's chord times (width - x) over x from 0 to `s`, for 0 <= s <= r."""
    square = r * r
    left = np.sqrt(np.maximum(square - s * s, 0.0))
    return width * (s * left + square * np.arcsin(s / r)) + (left**3 - square * r) * (2.0 / 3.0)


class GroupShape(NamedTuple):
    """What a group starts as: a stadium of `radius_ft` around a row `row_ft` long (0: a disc)."""

    radius_ft: np.ndarray
    row_ft: np.ndarray


def group_shape(plants_in_group, spacing_in) -> GroupShape:
    """What a group starts as, at its spacing in inches: half a spacing around a row of herbs set along one depth line; around
    fewer plants (shrubs in a triangle, a tree) the disc that they fill at triangular setting."""
    number, spacing = np.asarray(plants_in_group, dtype=float), np.asarray(spacing_in, dtype=float) / 12.0
    row = np.where(number >= HERB_GROUP, (number - 1.0) * spacing, 0.0)
    disc = np.sqrt(number * 0.8660254 / np.pi) * spacing
    return GroupShape(np.where(number >= HERB_GROUP, spacing / 2.0, disc), row)


Percents = tuple[float, float, float]  # of the surface: low, typical, high
RATES = ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr")


def percents(shares: np.ndarray) -> Percents:
    """Shares of the surface, low to high, as per cent."""
    low, typical, high = (100.0 * float(share) for share in shares)
    return low, typical, high


def edge_rates_ft_yr(plants: Traits, pond: Pond, draws: Draws = POINTS) -> np.ndarray:
    """How fast each stand's edge moves on this pond, feet a year, (plants, draws); 0 where the rate is not known."""
    points = np.nan_to_num(np.stack([plants.number[column] for column in RATES], axis=1))
    return lognormal_between(points, draws.score["rate"]) * pond.growing_season.rate_factor


def jump_factors(plants: Traits, draws: Draws = POINTS) -> np.ndarray:
    """Colonies that one colony becomes in a year, (plants, draws); a plant of unknown habit jumps no further."""
    points = np.array([JUMP_FACTOR.get(word, JUMP_FACTOR["none"]) for word in plants.word["jump"]])
    return np.maximum(normal_between(points.reshape(len(plants), 3), draws.score["jump"]), 1.0)


def jumped_colonies(
    factor: np.ndarray, rate: np.ndarray, years: float
) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """The colonies that one group has sent out after `years`, year by year of their birth.

    Each year gives how many were born in it, and the radius in feet that they have grown to since. One colony becomes
    `factor` colonies a year; a new one starts from nothing and its edge moves `rate` feet a year.
    """
    for year in range(1, int(years) + 1):
        yield factor**year - factor ** (year - 1), rate * (years - year)


def across_strip(nodes: int) -> tuple[np.ndarray, np.ndarray]:
    """Gauss-Legendre points across half a strip, as parts of its width, and their weights, which sum to one."""
    points, weights = np.polynomial.legendre.leggauss(2 * nodes)
    return (points[:nodes] + 1.0) / 2.0, weights[:nodes]


def floating_area_ft2(doubling_days, season_days, years):
    """Square feet under a free-floating plant that doubles through the frost-free days of each year.

    It starts from one square foot; what the pond can hold is for the caller to limit.
    """
    doublings = np.asarray(years) * season_days / np.asarray(doubling_days, dtype=float)
    return FLOATING_START_FT2 * 2.0 ** np.minimum(doublings, 200.0)


@dataclass(frozen=True, kw_only=True)
class Strips:
    """Where each plant can live, draw by draw.

    Arrays of shape (plants, draws, stretches): `width` and `length` of the strip in feet, `dry` the part of the
    width above the waterline. Of shape (plants, draws): `reach_in`, the depth at which the edge stops, and `room`,
    all the ground there is between the two depths, bank and water, over the pond's surface (less than the strips
    add up to, since they run into each other where the shore bends inward).
    """

    width: np.ndarray
    dry: np.ndarray
    length: np.ndarray
    reach_in: np.ndarray
    room: np.ndarray

    def subset(self, rows: np.ndarray) -> Strips:
        """The same for some of the plants (a boolean mask or positions)."""
        return Strips(
            width=self.width[rows],
            dry=self.dry[rows],
            length=self.length[rows],
            reach_in=self.reach_in[rows],
            room=self.room[rows],
        )

    @property
    def area(self) -> np.ndarray:
        return np.maximum(self.width * self.length, 1e-9)


def strips(plants: Traits, pond: Pond, draws: Draws = POINTS) -> Strips:
    """The strip of each stretch in which each plant lives and creeps."""
    shore = pond.shore
    slope = np.array([s.slope for s in shore])
    length = np.array([s.length_ft for s in shore])
    score = draws.score["reach"]
    top = plants.number["depth_min_in"][:, None]
    reach = np.clip(normal_between(reach_in(plants, pond), score), top, np.maximum(top, pond.max_depth_in))
    width = slope * (reach - top)[..., None] / 12.0
    dry = np.minimum(slope * np.maximum(0.0, -top)[..., None] / 12.0, width)
    wet_ft2 = np.maximum(_between_ft2(pond, np.maximum(top, 0.0), reach, score), 0.0)
    if pond.measured is not None:
        # the bottom was measured: the strips together have the area that lies between the two depths
        wet = (width - dry) * length
        width = dry + (width - dry) * (wet_ft2 / np.maximum(wet.sum(axis=-1), 1e-9))[..., None]
    else:
        # a plant that reaches the deepest point has the floor of the basin too: shared out along the shore
        floor = np.where(
            reach >= pond.max_depth_in, float(area_at_depth_ft2(pond, pond.max_depth_in - 1e-9)), 0.0
        )
        width = width + (floor / length.sum())[..., None]
    room = (wet_ft2 + (dry * length).sum(axis=-1)) / pond.area_ft2
    return Strips(
        width=width, dry=dry, length=np.broadcast_to(length, width.shape), reach_in=reach, room=room
    )


def _between_ft2(pond: Pond, top, reach, score) -> np.ndarray:
    """Square feet of water between two depths; where soundings leave a doubt, the least, as measured and the most there may be
    are its 10, 50 and 90 % points, and a draw that reaches deep has much of it."""
    doubtful = pond.survey is not None and pond.survey.doubt is not None
    areas = [
        area_shallower_ft2(pond, reach, level) - area_shallower_ft2(pond, top, level)
        for level in ((LEAST, MEASURED, MOST) if doubtful else (MEASURED,))
    ]
    return normal_between(np.stack(areas, axis=-1), score[..., None])[..., 0] if doubtful else areas[0]


class Hold(NamedTuple):
    """What a measure leaves of a plant: years of growth that a planted stand is allowed (0 in a tub, 1 where its edge is cut
    back to its first size each year), and whether it still jumps. Numbers, or arrays (plants,)."""

    years: np.ndarray | float = np.inf
    no_jump: np.ndarray | bool = False

    def subset(self, rows: np.ndarray) -> Hold:
        """The same for some of the plants (a boolean mask or positions)."""
        years, no_jump = (np.asarray(part) for part in self)
        return Hold(years[rows] if years.ndim else years, no_jump[rows] if no_jump.ndim else no_jump)


LEFT_ALONE = Hold()


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """What is needed to forecast any number of groups: logarithms of the bare share, per group.

    `own` (plants, draws, stretches, nodes) is the logarithm of the chance that a point across the strip stays
    bare of one group set on that stretch, and `jumped` (plants, draws, stretches) the same for the colonies that start from
    one group set anywhere. Groups act independently, so that both grow in proportion to the number of groups.
    """

    own: np.ndarray
    jumped: np.ndarray
    strip: np.ndarray  # (plants, draws, stretches) a strip's area over the pond's surface
    room: np.ndarray  # (plants, draws) as in Strips
    floating: np.ndarray  # (plants, draws) share for the free-floating, NaN for the others
    already: (
        np.ndarray
    )  # (plants, draws, stretches) the same logarithm for what grows there already and its strays
    weights: np.ndarray  # (nodes,) what each point across the strip counts

    def takeover(self, groups: np.ndarray) -> np.ndarray:
        """Share of the surface, (plants, draws), for `groups` (plants, stretches) set on each stretch beside what grows there."""
        each = np.asarray(groups, dtype=float)[:, None, :]
        anywhere = each.sum(axis=2, keepdims=True) * self.jumped + self.already
        bare = np.exp(each[..., None] * self.own + anywhere[..., None])
        rooted = np.minimum(((1.0 - bare @ self.weights) * self.strip).sum(axis=-1), self.room)
        there = (np.asarray(groups).sum(axis=1)[:, None] > 0) | (self.already.sum(axis=2) < 0)
        afloat = np.where(there, self.floating, 0.0)
        return np.where(np.isnan(self.floating), rooted, afloat)

    def subset(self, rows: np.ndarray) -> Forecast:
        """The same for some of the plants (a boolean mask or positions)."""
        return Forecast(
            own=self.own[rows],
            jumped=self.jumped[rows],
            strip=self.strip[rows],
            room=self.room[rows],
            floating=self.floating[rows],
            already=self.already[rows],
            weights=self.weights,
        )


def forecast(
    plants: Traits,
    pond: Pond,
    years: float = 10.0,
    *,
    draws: Draws = POINTS,
    hold: Hold = LEFT_ALONE,
    where: Strips | None = None,
    nodes: int = NODES,
) -> Forecast:
    """The forecast after `years` untended years, for every draw; `where` are the strips of the same draws, if they are known
    already; `nodes` is the number of points across half of each strip."""
    where = strips(plants, pond, draws) if where is None else where
    n = plants.number
    rate = edge_rates_ft_yr(plants, pond, draws)
    factors = jump_factors(plants, draws)
    factors = np.where(np.broadcast_to(hold.no_jump, (len(plants),))[:, None], 1.0, factors)
    start = group_shape(plants.group, n["spacing_in"])
    grown = np.broadcast_to(np.minimum(max(0.0, years - SETTLING_YEARS), hold.years), (len(plants),))
    edge = start.radius_ft[:, None] + rate * grown[:, None]

    shape = where.width.shape
    width, length, area = where.width, np.broadcast_to(where.length, shape), where.area
    points, weights = across_strip(nodes)
    inside = disc_in_strip(
        edge[..., None, None],
        width[..., None] * points,
        width[..., None],
        length[..., None],
        start.row_ft[:, None, None, None],
    )
    own = np.log1p(-np.clip(inside / area[..., None], 0.0, 1.0 - 1e-12))
    jumped = np.zeros(shape)
    sub = np.flatnonzero((factors > 1.0).any(axis=1))
    if len(sub):
        wide, long, ground = width[sub], length[sub], area[sub]
        part = ground / ground.sum(axis=2, keepdims=True)
        for born, radius in jumped_colonies(factors[sub], rate[sub], years):
            disc = mean_disc_in_strip(radius[..., None], wide, long)
            jumped[sub] += born[..., None] * np.log1p(-np.clip(disc / ground, 0.0, 1.0 - 1e-12))
        jumped[sub] *= part

    doubling = np.stack([n["doubling_high_days"], n["doubling_days"], n["doubling_low_days"]], axis=1)
    afloat = np.full((len(plants), draws.number), np.nan)
    floats = np.flatnonzero(~np.isnan(doubling).any(axis=1))
    if len(floats):
        few = draws.subset(floats)
        days = lognormal_between(doubling[floats], few.score["rate"])
        there = np.maximum(present_ft2(plants.subset(floats), pond).sum(axis=1), FLOATING_START_FT2)
        most = np.clip(normal_between(np.array([FLOATING_SHARE]), few.score["reach"]), 0.0, 1.0)
        season = pond.growing_season.frost_free_days
        grown_ft2 = floating_area_ft2(days, season, years) * (there / FLOATING_START_FT2)[:, None]
        afloat[floats] = np.minimum(most, grown_ft2 / pond.area_ft2)
    return Forecast(
        own=own,
        jumped=jumped,
        strip=area / pond.area_ft2,
        room=where.room,
        floating=afloat,
        already=already(plants, pond, years, draws=draws, where=where),
        weights=weights,
    )


def stand_size(stand: Growing, spacing_in: float) -> tuple[float, float]:
    """Square feet and width across the slope, in feet, of a stand that grows there already. Square feet alone are taken as a
    square, a number of plants as a group of so many."""
    if stand.plants is not None:
        shape = group_shape(float(stand.plants), spacing_in)
        wide = 2.0 * float(shape.radius_ft)
        return float(np.pi * shape.radius_ft**2 + wide * shape.row_ft), wide
    if stand.area_ft2 is not None:
        return stand.area_ft2, float(np.sqrt(stand.area_ft2))
    return (stand.length_ft or 0.0) * (stand.width_ft or 0.0), stand.width_ft or 0.0


def present_ft2(plants: Traits, pond: Pond) -> np.ndarray:
    """Square feet of each plant that grow there already, (plants, stretches of the whole shore)."""
    there = np.zeros((len(plants), len(pond.shore)))
    for i, s, stand in _stands(plants, pond):
        there[i, s] += stand_size(stand, plants.number["spacing_in"][i])[0]
    return there


def _stands(plants: Traits, pond: Pond) -> Iterator[tuple[int, int, Growing]]:
    """Each stand that grows there of one of the plants, with the positions of plant and stretch."""
    if not pond.growing:
        return
    rows = {plant_id: i for i, plant_id in enumerate(plants.plant_id)}
    at = {stretch.name: s for s, stretch in enumerate(pond.shore)}
    for stand in pond.growing:
        if stand.plant_id in rows:
            yield rows[stand.plant_id], at[stand.stretch], stand


def already(
    plants: Traits,
    pond: Pond,
    years: float,
    *,
    draws: Draws = POINTS,
    where: Strips | None = None,
    still: np.ndarray | None = None,
) -> np.ndarray:
    """The logarithm of the chance that a point of each strip stays bare of what grows there already, (plants, draws, stretches),
    when nobody cuts it for `years`.

    A stand lies along the middle of its strip as a stadium of the size that you gave; what is wider than the strip is laid
    out along it. Its edge moves from the first year on, for it has settled, and it sends out strays as the groups would that fill
    its length (judgement). Stands of the plants in `still` (a mask) keep the size that they have.
    """
    shape = (len(plants), draws.number, len(pond.shore))
    bare = np.broadcast_to(0.0, shape)
    stands = list(_stands(plants, pond))
    if not stands:
        return bare
    bare = np.zeros(shape)
    where = strips(plants, pond, draws) if where is None else where
    rate, factors = edge_rates_ft_yr(plants, pond, draws), jump_factors(plants, draws)
    covered = np.zeros(shape)
    for i, s, stand in stands:
        grown = 0.0 if still is not None and still[i] else years
        spacing = float(plants.number["spacing_in"][i])
        size, wide = stand_size(stand, spacing)
        width, length, area = where.width[i, :, s], where.length[i, :, s], where.area[i, :, s]
        radius = np.maximum(np.minimum(wide, width) / 2.0, 1e-9)
        radius = np.minimum(radius, np.sqrt(size / np.pi))  # shorter than wide: a disc
        row = (size - np.pi * radius**2) / (2.0 * radius)
        then = disc_in_strip(radius + rate[i] * grown, width / 2.0, width, length, row)
        covered[i, :, s] += np.maximum(then, size) / area
        if grown and (factors[i] > 1.0).any():
            group = group_shape(plants.group[i], spacing)
            alike = np.maximum(
                (row + 2.0 * radius) / (float(group.row_ft) + 2.0 * float(group.radius_ft)), 1.0
            )
            strips_ft2 = where.area[i]
            part = strips_ft2 / strips_ft2.sum(axis=1, keepdims=True)
            for born, reach in jumped_colonies(factors[i], rate[i], grown):
                disc = mean_disc_in_strip(reach[:, None], where.width[i], where.length[i])
                hit = np.log1p(-np.clip(disc / strips_ft2, 0.0, 1.0 - 1e-12))
                bare[i] += (alike * born)[:, None] * part * hit
    return bare + np.log1p(-np.clip(covered, 0.0, 1.0 - 1e-12))


def allot(good: np.ndarray, lengths: np.ndarray, total) -> np.ndarray:
    """Share out `total` groups (a number, or one per plant) over stretches, (plants, stretches).

    One each in turn over the stretches where `good` is True, the longest first; a plant with none gets no group.
    """
    rank = np.argsort(
        np.argsort(-np.where(good, lengths, -1.0), axis=1, kind="stable"), axis=1, kind="stable"
    )
    rounds, left = np.divmod(np.broadcast_to(total, good.shape[:1]), np.maximum(good.sum(axis=1), 1))
    return np.where(good, rounds[:, None] + (rank < left[:, None]), 0)


def points_by_year(
    plants: Traits, pond: Pond, groups: np.ndarray, years: Iterable[float], *, hold: Hold = LEFT_ALONE
) -> list[tuple[float, np.ndarray]]:
    """The 10, 50 and 90 % points of one plant's share of the surface after each of the years, for `groups` (1, stretches)."""
    draws = draw(plants.plant_id)
    where = strips(plants, pond, draws)
    return [
        (
            year,
            percent_points(
                forecast(plants, pond, year, draws=draws, hold=hold, where=where, nodes=DRAW_NODES).takeover(
                    groups
                )[0]
            ),
        )
        for year in years
    ]


def chance_over(coming: Forecast, groups: np.ndarray, cap_share: float) -> np.ndarray:
    """The part of the draws, (plants,), in which `groups` (plants, stretches) come to hold more than the cap."""
    return (coming.takeover(groups) > cap_share + 1e-12).mean(axis=1)


def share_at_risk(shares: np.ndarray, risk: float) -> np.ndarray:
    """Of shares (plants, draws) the smallest limit, (plants,), that they pass with a chance at or under `risk`."""
    number = shares.shape[-1]
    at = number - 1 - min(int(np.floor(risk * number + 1e-9)), number - 1)
    return np.partition(shares, at, axis=-1)[..., at]


def chance_of(plants: Traits, pond: Pond, groups: np.ndarray) -> float:
    """The chance, 0 to 1, that `groups` (1, stretches) of one plant hold more than the owner's limit after ten untended years."""
    coming = forecast(plants, pond, draws=draw(plants.plant_id), nodes=DRAW_NODES)
    return float(chance_over(coming, groups, pond.cap_percent / 100.0)[0])


def groups_within(
    coming: Forecast,
    good: np.ndarray,
    lengths: np.ndarray,
    cap_share: float,
    risk: float,
    most: np.ndarray | int = MANY_GROUPS,
) -> np.ndarray:
    """The most groups, (plants,), with which the chance of passing the cap is at or under `risk` (0 to 1); MANY_GROUPS means no
    real limit.

    Groups go to the good stretches in turn (`allot`); the forecast rises with their number, so that the answer is found
    by halving, up to `most`. Where no stretch is good the answer is 0.
    """
    low, top = np.zeros(len(good), dtype=int), np.where(good.any(axis=1), most, 0)
    while (open_ := np.flatnonzero(low < top)).size:
        middle = (low[open_] + top[open_] + 1) // 2
        set_out = allot(good[open_], lengths, middle)
        within = chance_over(coming.subset(open_), set_out, cap_share) <= risk + 1e-12
        low[open_] = np.where(within, middle, low[open_])
        top[open_] = np.where(within, top[open_], middle - 1)
    return low
