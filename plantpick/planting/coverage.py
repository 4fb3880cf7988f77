"""How much water a planting covers, cell by cell: each stretch cut at the depths where plants begin and end.

Three counts of the same groups. *Cautious*: low rates, groups at random so that they overlap, nothing jumps, many die.
*Typical*: typical rates, at random, with what jumps. *Pessimistic*: high rates, groups apart so that nothing overlaps
until a cell is full, with what jumps, none dies. Low and high are those of the planting as a whole (draws.JOINT_POINTS). The random counts join all the plants of a cell, so that water under two of
them is counted once. docs/method.md gives the derivation.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.basin import area_at_depth_ft2, area_shallower_ft2
from plantpick.pond.model import Pond
from plantpick.ranking.draws import JOINT_POINTS, POINTS, Draws
from plantpick.ranking.grows_there import Standing
from plantpick.ranking.site_factors import lives_in_water
from plantpick.ranking.takeover import (
    LEFT_ALONE,
    NODES,
    SETTLING_YEARS,
    Hold,
    Strips,
    across_strip,
    already,
    disc_in_strip,
    edge_rates_ft_yr,
    group_shape,
    jump_factors,
    jumped_colonies,
    strips,
)
from plantpick.vocabulary import BANDS

CAUTIOUS, TYPICAL, PESSIMISTIC = 0, 1, 2
MOST_SCALED = 4.0
_POINTS, _SHARES = np.polynomial.legendre.leggauss(4)
_POINTS, _SHARES = (_POINTS + 1.0) / 2.0, _SHARES / 2.0


@dataclass(frozen=True)
class Cells:
    """The water of a pond in cells, (stretches, cells): a stretch between two depths, and last the flat floor.

    `edges` (cells, without the floor, + 1) in inches; `least` and `most` a cell's area as a share of the surface,
    by the basin as a whole and by the stretch alone (more, where the shore bends inward). `floor_ft` is the width of
    the floor's strip when it is shared out along the shore. `cautious` is the area for the cautious count: less than
    `least` where soundings overstate the shallows.
    """

    edges: np.ndarray
    least: np.ndarray
    most: np.ndarray
    floor_ft: float
    cautious: np.ndarray | None = None

    def area_by(self, count: int) -> np.ndarray:
        """A cell's area by one of the three counts."""
        if count == PESSIMISTIC:
            return self.most
        return self.cautious if count == CAUTIOUS and self.cautious is not None else self.least


@dataclass(frozen=True)
class Chances:
    """The chance that a point lies under one group, (plants, stretches, cells), averaged over each cell.

    `own`: a group set in the water of that stretch. `jumped`: the colonies, one by one, that one group set anywhere
    has started by then (their areas summed: it can pass 1). `bare` and `bare_jumped` are the same as logarithms of
    the chance that the point stays bare, with the sign turned.
    """

    own: np.ndarray
    jumped: np.ndarray
    bare: np.ndarray
    bare_jumped: np.ndarray

    def thinned(self, living: np.ndarray) -> Chances:
        """The same where of the groups set on each stretch only the part `living` (plants, stretches) lives."""
        own, anywhere = self.own * living[..., None], living.mean(axis=1)[:, None, None]
        return Chances(
            own,
            self.jumped * anywhere,
            -np.log1p(-np.minimum(own, 1.0 - 1e-9)),
            self.bare_jumped * anywhere,
        )


def in_water(plants: Traits) -> Traits:
    """The same plants, held to the water: for groups that are set in it."""
    return plants.replaced(depth_min_in=np.maximum(plants.number["depth_min_in"], 0.0))


def cut(pond: Pond, plants: Traits, finest_in: float = 1.0) -> Cells:
    """Cells cut at the band limits, at low pool, and at every depth where one of the plants begins or its edge stops.

    Limits closer together than `finest_in` inches are joined on the shallow side.
    """
    wet = strips(in_water(plants), pond)
    tops = in_water(plants).number["depth_min_in"]
    deepest = min(float(wet.reach_in.max(initial=6.0)), pond.max_depth_in)
    marks = [b for shallow, deep in BANDS.values() for b in (shallow, deep)] + [
        9.0,
        12.0,
        24.0,
        30.0,
        48.0,
        60.0,
        pond.usual_drop_in,
    ]
    marks = sorted({round(float(m), 2) for m in (*marks, *tops, *wet.reach_in.ravel()) if 0.0 < m < deepest})
    limits = [0.0]
    for mark in marks:
        if mark - limits[-1] >= finest_in and deepest - mark >= finest_in / 2.0:
            limits.append(mark)
    edges = np.array([*limits, deepest])
    slope = np.array([s.slope for s in pond.shore])[:, None]
    length = np.array([s.length_ft for s in pond.shore])[:, None]
    alone = slope * np.diff(edges) / 12.0 * length / pond.area_ft2
    if _measured(pond):  # the cells between two depths have together what was measured, the floor among it
        shares = alone / np.maximum(alone.sum(axis=0), 1e-12)
        cautious, typical, most = (
            np.pad(
                shares * np.maximum(np.diff(area_shallower_ft2(pond, edges, level)), 0.0) / pond.area_ft2,
                ((0, 0), (0, 1)),
            )
            for level in (CAUTIOUS, TYPICAL, PESSIMISTIC)
        )
        return Cells(edges, typical, most, 0.0, cautious)
    floor = float(area_at_depth_ft2(pond, pond.max_depth_in - 1e-9)) if deepest >= pond.max_depth_in else 0.0
    alone = np.hstack([alone, floor * length / length.sum() / pond.area_ft2])
    basin = np.append(
        np.diff(
            np.append(
                area_shallower_ft2(pond, edges[:-1]),
                area_shallower_ft2(pond, min(edges[-1], pond.max_depth_in - 1e-9)),
            )
        ),
        floor,
    )
    scale = np.minimum(1.0, np.maximum(basin, 0.0) / np.maximum(alone.sum(axis=0) * pond.area_ft2, 1e-9))
    return Cells(edges, alone * scale, alone, floor / float(length.sum()))


def _measured(pond: Pond) -> bool:
    return pond.survey is not None and bool(pond.survey.depths_in)


def _across(pond: Pond, where: Strips, count: int, top: np.ndarray, depth: np.ndarray) -> np.ndarray:
    """Feet from a strip's shallow side to `depth` (plants, cells, points), (plants, stretches, cells, points)."""
    if _measured(pond):  # the strip's width was fitted to the measured area: so is the way across it
        shallow = area_shallower_ft2(pond, top, count)[..., None]
        reach = area_shallower_ft2(pond, where.reach_in[:, 0][:, None, None], count)
        part = (area_shallower_ft2(pond, depth, count) - shallow) / np.maximum(reach - shallow, 1e-9)
        return np.clip(part, 0.0, 1.0)[:, None] * where.width[:, 0, :, None, None]
    slope = np.array([s.slope for s in pond.shore])[None, :, None, None] / 12.0
    return slope * (depth - top[..., None])[:, None]


def chances(
    plants: Traits,
    pond: Pond,
    cells: Cells,
    years: float,
    count: int,
    hold: Hold = LEFT_ALONE,
    draw: Draws | None = None,
    *,
    fish: bool = False,
) -> Chances:
    """The chances by one of the three counts after `years` untended years: with every trait so low, typical or high that the
    planting as a whole is at its 10, 50 or 90 % point, or in one `draw`. `fish` asks for the
    shelter that fish find there: none of what lives in water where low pool leaves it dry.

    By the cautious count a cell that the plant's strip covers only in part does not count; by the others it counts for
    that part.
    """
    draw = JOINT_POINTS.column(count) if draw is None else draw
    wet = in_water(plants)
    where = strips(wet, pond, draw)
    top = wet.number["depth_min_in"][:, None]
    reach = where.reach_in
    begin, end = np.maximum(cells.edges[:-1], top), np.minimum(cells.edges[1:], reach)
    inside = _inside(plants, top[:, 0], reach, pond, cells, count, fish=fish)
    nodes = np.minimum(begin, end)[..., None] + np.maximum(end - begin, 0.0)[..., None] * _POINTS
    across = _across(pond, where, count, top, nodes)
    flat = where.width[:, 0, :, None] - cells.floor_ft * (1.0 - _POINTS)  # plants, stretches, points
    across = np.concatenate([across, flat[:, :, None, :]], axis=2)
    under = _under(wet, pond, years, draw, hold, across, where)
    share = inside[:, None, :]
    mean = [(part @ _SHARES) * share for part in under]
    return Chances(mean[0], mean[1], -np.log1p(-np.minimum(mean[0], 1 - 1e-9)), mean[2])


def _under(
    plants: Traits, pond: Pond, years: float, draw: Draws, hold: Hold, across: np.ndarray, where: Strips
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Chance to lie under one group's own colony, under its jumped colonies (summed), and the bareness of the latter, at
    points `across` (plants, stretches, ..., points) the strips `where` of one draw."""
    shape = (-1,) + (1,) * (across.ndim - 1)
    behind = (slice(None), 0, slice(None)) + (None,) * (across.ndim - 2)
    width, length = where.width[behind], where.length[behind]
    rate = edge_rates_ft_yr(plants, pond, draw)[:, 0]
    start = group_shape(plants.group, plants.number["spacing_in"])
    radius = start.radius_ft + rate * np.minimum(max(0.0, years - SETTLING_YEARS), hold.years)
    area = np.maximum(width * length, 1e-9)
    disc = disc_in_strip(radius.reshape(shape), across, width, length, start.row_ft.reshape(shape))
    own = np.clip(disc / area, 0.0, 1.0)
    jumped, bare = np.zeros_like(own), np.zeros_like(own)
    factor = jump_factors(plants, draw)[:, 0]
    sub = np.flatnonzero((factor > 1.0) & ~np.broadcast_to(hold.no_jump, factor.shape))
    if len(sub):
        part = area[sub] / area[sub].sum(axis=1, keepdims=True)
        for born, radius in jumped_colonies(factor[sub], rate[sub], years):
            born = born.reshape(shape)
            disc = disc_in_strip(radius.reshape(shape), across[sub], width[sub], length[sub])
            hit = np.clip(disc / area[sub], 0.0, 1.0 - 1e-12)
            jumped[sub] += born * part * hit
            bare[sub] -= born * part * np.log1p(-hit)
    return own, jumped, bare


@dataclass(frozen=True)
class GroundTaken:
    """What one group takes at the high level, discs apart, as shares of the pond's surface, bank and water.

    (plants, stretches): `own` on the stretch where it is set, `jumped` on each stretch by one group set anywhere,
    `strip` all that the stretch has. `room` (plants,) is all the ground that there is.
    """

    own: np.ndarray
    jumped: np.ndarray
    strip: np.ndarray
    room: np.ndarray

    def scaled(self, by: np.ndarray) -> GroundTaken:
        """The same with what one group takes of each plant times `by` (plants,)."""
        return replace(self, own=self.own * by[:, None], jumped=self.jumped * by[:, None])

    def scaled_to(
        self, groups: np.ndarray, share: np.ndarray, *, only: np.ndarray | bool = True
    ) -> GroundTaken:
        """Scaled, plant by plant (those of the mask `only`), so that `groups` (plants, stretches) hold `share` (plants,) of the
        surface, up to MOST_SCALED."""
        low, high = np.zeros(len(share)), np.full(len(share), MOST_SCALED)
        for _ in range(40):
            middle = (low + high) / 2.0
            over = self.scaled(middle).held(groups) > share
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        return self.scaled(np.where(only, low, 1.0))

    def held(self, groups: np.ndarray) -> np.ndarray:
        """The share of the surface, (plants,), that `groups` (plants, stretches) hold; none of it twice."""
        taken = groups * self.own + groups.sum(axis=1, keepdims=True) * self.jumped
        return np.minimum(np.minimum(taken, self.strip).sum(axis=1), self.room)


def ground_taken(plants: Traits, pond: Pond, years: float, hold: Hold) -> GroundTaken:
    """The pessimistic ground per group after `years`, over the whole strip of each stretch."""
    where = strips(plants, pond, POINTS.column(PESSIMISTIC))
    points, shares = across_strip(NODES)
    across = where.width[:, 0, :, None] * points
    own, jumped, _ = _under(plants, pond, years, POINTS.column(PESSIMISTIC), hold, across, where)
    strip = where.area[:, 0] / pond.area_ft2
    return GroundTaken(own @ shares * strip, jumped @ shares * strip, strip, where.room[:, 0])


def bare_of_standing(
    standing: Standing | None,
    pond: Pond,
    cells: Cells,
    years: float,
    count: int,
    *,
    fish: bool,
    draw: Draws | None = None,
) -> np.ndarray:
    """The logarithm, with its sign turned, of the chance that a point of each cell stays bare of what grows there already,
    (stretches, cells), by one of the three counts or in one `draw`; `fish` asks for the kinds that shelter fish alone."""
    if standing is None:
        return np.zeros((len(pond.shore), len(cells.edges)))
    plants = standing.plants
    draw = JOINT_POINTS.column(count) if draw is None else draw
    where = strips(plants, pond, draw)
    bare = already(plants, pond, years, draws=draw, where=where, still=standing.still)[:, 0]
    top = np.maximum(plants.number["depth_min_in"], 0.0)
    inside = _inside(plants, top, where.reach_in, pond, cells, count, fish=fish)
    log = -np.log1p(-np.minimum((1.0 - np.exp(bare))[..., None] * inside[:, None, :], 1.0 - 1e-12))
    return (log * standing.fish[:, None, None]).sum(axis=0) if fish else log.sum(axis=0)


def _inside(
    plants: Traits,
    top: np.ndarray,
    reach: np.ndarray,
    pond: Pond,
    cells: Cells,
    count: int,
    *,
    fish: bool,
) -> np.ndarray:
    """The part of each cell between the depths `top` (plants,) and `reach` (plants, 1), the floor among them: (plants, cells). For
    `fish` what lives under water or floats counts from low pool down: above that it lies dead on the mud in a dry summer."""
    if fish:
        top = np.maximum(top, np.where(lives_in_water(plants), pond.usual_drop_in, 0.0))
    begin, end = np.maximum(cells.edges[:-1], top[:, None]), np.minimum(cells.edges[1:], reach)
    inside = np.clip((end - begin) / np.diff(cells.edges), 0.0, 1.0)
    at_floor = (reach >= pond.max_depth_in) & (cells.floor_ft > 0)
    inside = np.hstack([inside, at_floor.astype(float)])
    return np.where(inside >= 1.0 - 1e-9, 1.0, 0.0) if count == CAUTIOUS else inside


def covered(
    cells: Cells,
    at: Chances,
    groups: np.ndarray,
    count: int,
    which: np.ndarray | None = None,
    there: np.ndarray | float = 0.0,
) -> float:
    """The share of the surface whose water lies under the groups, by one of the three counts.

    `groups` (plants, stretches) are those that count; `which` (plants,) picks plants; `there` is what grows there already, as
    `bare_of_standing` has it.
    """
    groups = groups if which is None else groups * which[:, None]
    total = groups.sum(axis=1)
    if count == PESSIMISTIC:
        taken = np.einsum("is,isc->sc", groups, at.own) + np.einsum("i,isc->sc", total, at.jumped)
        taken = taken + (1.0 - np.exp(-there))
        return float((np.minimum(1.0, taken) * cells.area_by(count)).sum())
    bare = np.einsum("is,isc->sc", groups, at.bare) + there
    if count == TYPICAL:
        bare = bare + np.einsum("i,isc->sc", total, at.bare_jumped)
    return float(((1.0 - np.exp(-bare)) * cells.area_by(count)).sum())
