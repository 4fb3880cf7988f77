"""Takeover: how much of the pond's surface one plant could hold if you never cut it back.

A *group* is set out at its spacing and soon stands as one round colony, whose edge advances by a rate each year
after a settling year. It lives in the strip of each stretch between the depth it tolerates on the waterline side
and the depth its edge can creep into. All the ground that it holds counts, bank and water together, as a share of
the pond's surface. Forecasts come as low, typical and high. docs/method.md gives the derivation.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.basin import LEAST, MEASURED, MOST, area_at_depth_ft2, area_shallower_ft2
from plantpick.pond.deepest_growth import reach_in
from plantpick.pond.model import Pond

YEARS = (1, 3, 5, 10)
SETTLING_YEARS = 1.0
# Colonies a year from one colony, by how readily the plant jumps. Judgement.
JUMP_FACTOR = {"none": (1.0, 1.0, 1.0), "low": (1.0, 1.1, 1.3), "high": (1.3, 2.0, 3.0)}
# Share of the surface on which a free-floating plant collects, wind and fetch considered. Judgement.
FLOATING_SHARE = (0.3, 0.6, 1.0)
FLOATING_START_FT2 = 1.0
MANY_GROUPS = 30  # from here on the number is no longer a limit worth naming
NODES = 12  # points across a strip at which its cover is worked out


def disc_in_strip(radius, across, width, length):
    """Area of a disc that lies inside a strip, square feet.

    The disc of `radius` is centred `across` feet from one long side of a strip `width` feet wide and `length`
    feet long, whose ends join (the shore goes round the pond). All in feet; arrays broadcast.
    """
    r = np.maximum(np.asarray(radius, dtype=float), 1e-9)
    square = r * r
    # within `full` feet of its centre line the disc is longer than the strip: there the chord is the strip's length
    full = np.sqrt(np.maximum(square - np.square(length) / 4.0, 0.0))
    wraps = full.any()
    full_plain = full * np.sqrt(square - full * full) + square * np.arcsin(full / r) if wraps else 0.0

    def half(u):  # area between the centre line and a line u feet from it, -r <= u <= r
        plain = u * np.sqrt(np.maximum(square - u * u, 0.0)) + square * np.arcsin(u / r)
        if not wraps:
            return plain
        size = np.abs(u)
        return np.sign(u) * np.where(size <= full, length * size, length * full + np.abs(plain) - full_plain)

    return half(np.clip(width - across, -r, r)) - half(np.clip(-across, -r, r))


def group_radius_ft(plants_in_group, spacing_in):
    """Radius of the round patch that a group fills at its spacing (triangular setting), feet."""
    return np.sqrt(plants_in_group * 0.8660254 / np.pi) * np.asarray(spacing_in, dtype=float) / 12.0


Percents = tuple[float, float, float]  # of the surface: low, typical, high
RATES = ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr")


def percents(shares: np.ndarray) -> Percents:
    """Shares of the surface, low to high, as per cent."""
    low, typical, high = (100.0 * float(share) for share in shares)
    return low, typical, high


def edge_rates_ft_yr(plants: Traits, pond: Pond) -> np.ndarray:
    """How fast each stand's edge moves on this pond, feet a year, (plants, 3), low to high; 0 where the rate is not known."""
    rates = np.stack([plants.number[column] for column in RATES], axis=1)
    return np.nan_to_num(rates) * pond.growing_season.rate_factor


def jump_factors(plants: Traits) -> np.ndarray:
    """Colonies that one colony becomes in a year, (plants, 3), low to high; a plant of unknown habit jumps no further."""
    factors = [JUMP_FACTOR.get(word, JUMP_FACTOR["none"]) for word in plants.word["jump"]]
    return np.array(factors).reshape(len(plants), 3)


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
    """Gauss-Legendre points on 0..1 and their weights, which sum to one."""
    points, weights = np.polynomial.legendre.leggauss(nodes)
    return (points + 1.0) / 2.0, weights / 2.0


def floating_area_ft2(doubling_days, season_days, years):
    """Square feet under a free-floating plant that doubles through the frost-free days of each year.

    It starts from one square foot; what the pond can hold is for the caller to limit.
    """
    doublings = np.asarray(years) * season_days / np.asarray(doubling_days, dtype=float)
    return FLOATING_START_FT2 * 2.0 ** np.minimum(doublings, 200.0)


@dataclass(frozen=True, kw_only=True)
class Strips:
    """Where each plant can live, at low, typical and high reach.

    Arrays of shape (plants, levels, stretches): `width` and `length` of the strip in feet, `dry` the part of the
    width above the waterline. Of shape (plants, levels): `reach_in`, the depth at which the edge stops, and `room`,
    all the ground there is between the two depths, bank and water, over the pond's surface (less than the strips
    add up to, since they run into each other where the shore bends inward).
    """

    width: np.ndarray
    dry: np.ndarray
    length: np.ndarray
    reach_in: np.ndarray
    room: np.ndarray

    def subset(self, rows: np.ndarray) -> Strips:
        """The same for some of the plants (a boolean mask)."""
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


def strips(plants: Traits, pond: Pond) -> Strips:
    """The strip of each stretch in which each plant lives and creeps."""
    shore = pond.shore
    slope = np.array([s.slope for s in shore])
    length = np.array([s.length_ft for s in shore])
    top = plants.number["depth_min_in"][:, None]
    reach = np.maximum(reach_in(plants, pond), top)
    width = slope * (reach - top)[..., None] / 12.0
    dry = np.minimum(slope * np.maximum(0.0, -top)[..., None] / 12.0, width)
    # low to high: where soundings leave a doubt of the shallows, the least, as measured, the most
    wet_ft2 = np.stack(
        [
            area_shallower_ft2(pond, reach[:, q], q) - area_shallower_ft2(pond, np.maximum(top[:, 0], 0.0), q)
            for q in (LEAST, MEASURED, MOST)
        ],
        axis=1,
    )
    if pond.measured is not None:
        # the bottom was measured: the strips together have the area that lies between the two depths
        wet = (width - dry) * length
        measured = np.maximum(wet_ft2, 0.0) / np.maximum(wet.sum(axis=-1), 1e-9)
        width = dry + (width - dry) * measured[..., None]
    else:
        # a plant that reaches the deepest point has the floor of the basin too: shared out along the shore
        floor = np.where(
            reach >= pond.max_depth_in, float(area_at_depth_ft2(pond, pond.max_depth_in - 1e-9)), 0.0
        )
        width = width + (floor / length.sum())[..., None]
    room = (np.maximum(wet_ft2, 0.0) + (dry * length).sum(axis=-1)) / pond.area_ft2
    return Strips(
        width=width, dry=dry, length=np.broadcast_to(length, width.shape), reach_in=reach, room=room
    )


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """What is needed to forecast any number of groups: logarithms of the bare share, per group.

    `own` (plants, levels, stretches, nodes) is the logarithm of the chance that a point across the strip stays
    bare of one group set on that stretch, and `jumped` the same for the colonies that start from one group set
    anywhere. Groups act independently, so that both grow in proportion to the number of groups.
    """

    own: np.ndarray
    jumped: np.ndarray
    strip: np.ndarray  # (plants, levels, stretches) a strip's area over the pond's surface
    room: np.ndarray  # (plants, levels) as in Strips
    floating: np.ndarray  # (plants, levels) share for the free-floating, NaN for the others
    weights: np.ndarray  # (nodes,) what each point across the strip counts

    def takeover(self, groups: np.ndarray) -> np.ndarray:
        """Share of the surface, (plants, levels), for `groups` (plants, stretches) set on each stretch."""
        each = np.asarray(groups, dtype=float)[:, None, :, None]
        bare = np.exp(each * self.own + each.sum(axis=2, keepdims=True) * self.jumped)
        rooted = np.minimum(((1.0 - bare) @ self.weights * self.strip).sum(axis=-1), self.room)
        afloat = np.where(np.asarray(groups).sum(axis=1)[:, None] > 0, self.floating, 0.0)
        return np.where(np.isnan(self.floating), rooted, afloat)

    def at_level(self, level: int) -> Forecast:
        """The same for one of low, typical, high only."""
        pick = slice(level, level + 1)
        parts = (self.own, self.jumped, self.strip, self.room, self.floating)
        own, jumped, strip, room, floating = (part[:, pick] for part in parts)
        return Forecast(
            own=own, jumped=jumped, strip=strip, room=room, floating=floating, weights=self.weights
        )


def forecast(
    plants: Traits,
    pond: Pond,
    years: float = 10.0,
    *,
    hold: np.ndarray | None = None,
    no_jump: np.ndarray | None = None,
    where: Strips | None = None,
    levels=(0, 1, 2),
    factors: np.ndarray | None = None,
    nodes: int = NODES,
) -> Forecast:
    """The forecast after `years` untended years.

    `hold` (plants,) is the number of years' growth that a planted stand is allowed: 0 in a tub, 1 when its edge is
    cut back to its first size each year, infinity (the default) when you leave it alone. `no_jump` (plants,) says
    that jumping is stopped. `levels` picks from low, typical, high. `factors` (plants, 3) stands in for
    `jump_factors(plants)`; `nodes` is the number of points across each strip.
    """
    levels = list(levels)
    where = strips(plants, pond) if where is None else where
    n = plants.number
    rate = edge_rates_ft_yr(plants, pond)[:, levels]
    factors = (jump_factors(plants) if factors is None else factors)[:, levels]
    if no_jump is not None:
        factors = np.where(no_jump[:, None], 1.0, factors)
    first = group_radius_ft(plants.group, n["spacing_in"])[:, None]
    grown = np.full(len(plants), max(0.0, years - SETTLING_YEARS))
    grown = grown if hold is None else np.minimum(grown, hold)

    width = where.width[:, levels, :, None]
    length, area = where.length[:, levels, :, None], where.area[:, levels, :, None]
    points, weights = across_strip(nodes)
    across = width * points

    def log_bare(radius):  # (plants, levels) to (plants, levels, stretches, nodes)
        inside = disc_in_strip(radius[..., None, None], across, width, length)
        return np.log1p(-np.clip(inside / area, 0.0, 1.0 - 1e-12))

    own = log_bare(first + rate * grown[:, None])
    jumped = np.zeros_like(own)
    moves = (factors > 1.0).any(axis=1)
    if moves.any():
        part = area / area.sum(axis=2, keepdims=True)
        sub = np.flatnonzero(moves)
        for born, radius in jumped_colonies(factors[sub], rate[sub], years):
            inside = disc_in_strip(radius[..., None, None], across[sub], width[sub], length[sub])
            bare = np.log1p(-np.clip(inside / area[sub], 0.0, 1.0 - 1e-12))
            jumped[sub] += born[..., None, None] * part[sub] * bare
    strip = where.area[:, levels] / pond.area_ft2

    doubling = np.stack([n["doubling_high_days"], n["doubling_days"], n["doubling_low_days"]], axis=1)[
        :, levels
    ]
    most = np.array(FLOATING_SHARE)[levels]
    afloat = np.minimum(
        most, floating_area_ft2(doubling, pond.growing_season.frost_free_days, years) / pond.area_ft2
    )
    return Forecast(
        own=own,
        jumped=jumped,
        strip=strip,
        room=where.room[:, levels],
        floating=np.where(np.isnan(doubling), np.nan, afloat),
        weights=weights,
    )


def allot(good: np.ndarray, lengths: np.ndarray, total) -> np.ndarray:
    """Share out `total` groups (a number, or one per plant) over stretches, (plants, stretches).

    One each in turn over the stretches where `good` is True, the longest first; a plant with none gets no group.
    """
    rank = np.argsort(
        np.argsort(-np.where(good, lengths, -1.0), axis=1, kind="stable"), axis=1, kind="stable"
    )
    rounds, left = np.divmod(np.broadcast_to(total, good.shape[:1]), np.maximum(good.sum(axis=1), 1))
    return np.where(good, rounds[:, None] + (rank < left[:, None]), 0)


def groups_within(
    high: Forecast,
    good: np.ndarray,
    lengths: np.ndarray,
    cap_share: float,
    most: np.ndarray | int = MANY_GROUPS,
) -> np.ndarray:
    """The most groups, (plants,), that keep the forecast `high` within the cap; MANY_GROUPS means no real limit.

    `high` holds one level. Groups go to the good stretches in turn (`allot`); the forecast rises with their
    number, so that the answer is found by halving, up to `most`. Where no stretch is good the answer is 0.
    """
    low, top = np.zeros(len(good), dtype=int), np.where(good.any(axis=1), most, 0)
    while (low < top).any():
        middle = (low + top + 1) // 2
        within = high.takeover(allot(good, lengths, middle))[:, 0] <= cap_share + 1e-12
        low, top = np.where(within, middle, low), np.where(within, top, middle - 1)
    return low
