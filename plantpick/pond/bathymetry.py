"""A measured basin as pure geometry: contours, and a triangulated surface through soundings.

Lengths in feet, depths in inches, areas in square feet, volumes in cubic feet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from plantpick.pond.model import Outline, Survey
from plantpick.vocabulary import BANDS

OUTLINE_POINTS = 1000  # points set along the waterline before triangulating
SPLIT_ROUNDS = 12
CURVE_STEPS = 300  # most steps of the tabulated depth-area curve; an inch each where that is enough
TIGHT = 1.25  # neighbors count as agreeing when they all lie within this ratio: judgement
UNIT_RATIO = (2.95, 3.65)  # 3.28 feet in a meter, give or take a tenth


def frustum_ft3(upper_ft2, lower_ft2, height_in):
    """Volume between two contours, cubic feet: h/3 (A1 + A2 + sqrt(A1 A2)); arrays broadcast.

    Conical frustum: Taube 2000, Michigan DNR Fisheries Special Report 25, chapter 12.
    """
    upper, lower = np.asarray(upper_ft2, dtype=float), np.asarray(lower_ft2, dtype=float)
    return (upper + lower + np.sqrt(upper * lower)) * np.asarray(height_in, dtype=float) / 36.0


def from_contours(depths_in, areas_ft2, max_depth_in: float | None = None) -> Survey:
    """The basin from contours: depths that rise from 0, and areas that never rise.

    If the deepest contour still encloses water and `max_depth_in` lies below it, the last piece is a cone.
    """
    depth, area = np.asarray(depths_in, dtype=float), np.asarray(areas_ft2, dtype=float)
    if max_depth_in is not None and max_depth_in > depth[-1] and area[-1] > 0:
        depth, area = np.append(depth, max_depth_in), np.append(area, 0.0)
    slices = frustum_ft3(area[:-1], area[1:], np.diff(depth))
    below = np.append(np.cumsum(slices[::-1])[::-1], 0.0)
    return Survey("contours", tuple(depth.tolist()), tuple(area.tolist()), tuple(below.tolist()))


def area_at_ft2(survey: Survey, depth_in) -> np.ndarray:
    """Area of the contour at `depth_in` (scalar or array), square feet; 0 from the greatest depth down.

    Between contours the square root of the area is linear in depth, as in the frustum; between the closely tabulated
    depths of a triangulated surface the area itself is.
    """
    depth = np.asarray(depth_in, dtype=float)
    areas = np.asarray(survey.areas_ft2)
    if survey.how == "contours":
        found = np.square(np.interp(depth, survey.depths_in, np.sqrt(areas)))
    else:
        found = np.interp(depth, survey.depths_in, areas)
    return np.where(depth >= survey.depths_in[-1], 0.0, found)


def volume_below_ft3(survey: Survey, depth_in) -> np.ndarray:
    """Water below a level that lies `depth_in` (scalar or array) under full pool, cubic feet."""
    depth = np.clip(np.asarray(depth_in, dtype=float), 0.0, survey.depths_in[-1])
    knots, below = np.asarray(survey.depths_in), np.asarray(survey.volumes_ft3)
    last = np.clip(np.searchsorted(knots, depth, side="left"), 1, len(knots) - 1)
    lower_ft2 = np.asarray(survey.areas_ft2)[last]
    # the limit from above at the greatest depth: a flat floor has an area there
    here = np.where(depth >= knots[-1], lower_ft2, area_at_ft2(survey, depth))
    height = knots[last] - depth
    if survey.how == "contours":
        part = frustum_ft3(here, lower_ft2, height)
    else:
        part = (here + lower_ft2) / 2.0 * height / 12.0
    return below[last] + part


@dataclass(frozen=True)
class Surface:
    """A triangulated bottom: `xy` (n, 2) feet, `depth_in` (n,), `triangles` (m, 3) indices into them."""

    xy: np.ndarray
    depth_in: np.ndarray
    triangles: np.ndarray

    @property
    def areas_ft2(self) -> np.ndarray:
        """Plan area of each triangle, square feet, (m,)."""
        a, b, c = (self.xy[self.triangles[:, k]] for k in range(3))
        return (
            np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (c[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1]))
            / 2.0
        )

    @property
    def unsounded_share(self) -> float:
        """Share of the water whose triangles touch no sounding: all their corners lie on the waterline."""
        areas = self.areas_ft2
        return float(areas[self.depth_in[self.triangles].max(axis=1) <= 0.0].sum() / areas.sum())


def polygon(outline: Outline):
    """The outline as a shapely polygon, islands cut out."""
    from shapely import Polygon

    return Polygon(outline.rings[0], outline.rings[1:])


def triangulate(outline: Outline, soundings: np.ndarray) -> Surface:
    """A Delaunay surface through soundings (n, 3: x, y in feet, depth in inches), with the outline at zero depth.

    The outline is divided until no other point lies in the circle over any of its pieces, so that every piece is an
    edge of the triangulation (the test of conforming Delaunay meshes; Ruppert 1995, J. Algorithms 18:548-585,
    citation from memory). Soundings within a hundredth of a foot of an outline point or of one another count once.
    """
    import shapely
    from scipy.spatial import Delaunay

    water = polygon(outline)
    depth, xy = soundings[:, 2], soundings[:, :2]
    _, first, same = np.unique(np.round(xy, 2), axis=0, return_index=True, return_inverse=True)
    xy, depth = xy[first], np.bincount(same.ravel(), depth) / np.bincount(same.ravel())
    shore = _divided(outline, water.length / OUTLINE_POINTS, xy)
    from scipy.spatial import cKDTree

    clear = cKDTree(shore).query(xy)[0] > 0.01
    points = np.concatenate([shore, xy[clear]])
    depths = np.concatenate([np.zeros(len(shore)), depth[clear]])
    triangles = Delaunay(points - points.mean(axis=0)).simplices
    middle = points[triangles].mean(axis=1)
    shapely.prepare(water)
    return Surface(points, depths, triangles[shapely.contains_xy(water, middle[:, 0], middle[:, 1])])


def depth_at(outline: Outline, soundings: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
    """A function that gives the depth in inches at points (n, 2), read off the triangulated surface; NaN off the water."""
    import shapely
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import Delaunay

    surface = triangulate(outline, soundings)
    middle = surface.xy.mean(axis=0)
    read = LinearNDInterpolator(Delaunay(surface.xy - middle), surface.depth_in)
    water = polygon(outline)
    shapely.prepare(water)

    def depth(xy: np.ndarray) -> np.ndarray:
        inside = shapely.intersects_xy(water, xy[:, 0], xy[:, 1])
        return np.where(inside, read(xy - middle), np.nan)

    return depth


def _divided(outline: Outline, step_ft: float, others: np.ndarray) -> np.ndarray:
    """Points along the outline's rings, at most `step_ft` apart, closer where another point lies near a piece."""
    from scipy.spatial import cKDTree

    starts, ends = [], []
    for ring in outline.rings:
        corner = np.asarray(ring, dtype=float)
        following = np.roll(corner, -1, axis=0)
        pieces = np.maximum(1, np.ceil(np.hypot(*(following - corner).T) / step_ft)).astype(int)
        share = np.concatenate([np.arange(n) / n for n in pieces])[:, None]
        begin = np.repeat(corner, pieces, axis=0) + share * np.repeat(following - corner, pieces, axis=0)
        starts.append(begin)
        ends.append(np.roll(begin, -1, axis=0))
    start, end = np.concatenate(starts), np.concatenate(ends)
    for _ in range(SPLIT_ROUNDS):
        middle, half = (start + end) / 2.0, np.hypot(*(end - start).T) / 2.0
        # the nearest point to the middle of a free piece is one of its own ends, at half its length
        near = cKDTree(np.concatenate([start, others])).query(middle)[0]
        cut = (near < half * (1.0 - 1e-9)) & (half > 0.01)
        if not cut.any():
            break
        start, end = (
            np.concatenate([start, middle[cut]]),
            np.concatenate([np.where(cut[:, None], middle, end), end[cut]]),
        )
    return start


def below_level(surface: Surface, levels_in) -> tuple[np.ndarray, np.ndarray]:
    """Plan area with at least each depth, square feet, and the water below it, cubic feet; both exact.

    A plane cuts each triangle, whose corners lie at depths a <= b <= c: the corner part above the level has the share
    (z-a)^2 / ((b-a)(c-a)) of its area while z <= b, and the one below it (c-z)^2 / ((c-a)(c-b)) from there on; their
    integrals over depth give the volumes. Only the triangles that a level cuts are worked on.
    """
    whole = surface.areas_ft2
    a, b, c = np.sort(surface.depth_in[surface.triangles], axis=1).T
    levels = np.atleast_1d(np.asarray(levels_in, dtype=float))
    order = np.argsort(a, kind="stable")
    shallowest = a[order]
    # all that lies below the level, counted from the deep end
    area_from = np.append(np.cumsum(whole[order][::-1])[::-1], 0.0)
    filled_from = np.append(np.cumsum((whole * (a + b + c) / 3.0)[order][::-1])[::-1], 0.0)
    area, volume = np.empty(len(levels)), np.empty(len(levels))
    for number, z in enumerate(levels):
        under = np.searchsorted(shallowest, z, side="left")
        cut = np.flatnonzero((a < z) & (c > z))
        part, held = _cut(whole[cut], a[cut], b[cut], c[cut], z)
        area[number] = area_from[under] + part.sum()
        volume[number] = filled_from[under] - z * area_from[under] + held.sum()
    return area, np.maximum(volume, 0.0) / 12.0


def _cut(whole, a, b, c, z):
    """Area below level z of triangles that it cuts, and area times depth below it (square feet, inches)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        top, low = whole / ((b - a) * (c - a)), whole / ((c - a) * (c - b))
        upper = z <= b
        area = np.where(upper, whole - top * (z - a) ** 2, low * (c - z) ** 2)
        held = np.where(
            upper, whole * ((a + b + c) / 3.0 - z) + top * (z - a) ** 3 / 3.0, low * (c - z) ** 3 / 3.0
        )
    return area, held


def curve_depths_in(deepest_in: float) -> np.ndarray:
    """The depths at which a surface's curve is tabulated: an inch apart or less often, and every band limit."""
    steps = int(min(CURVE_STEPS, np.ceil(deepest_in)))
    spaced = (
        np.linspace(0.0, deepest_in, max(2, steps) + 1)
        if deepest_in > CURVE_STEPS
        else np.append(np.arange(0.0, np.ceil(deepest_in)), deepest_in)
    )
    limits = [limit for band in BANDS.values() for limit in band if 0.0 < limit < deepest_in]
    return np.unique(np.concatenate([spaced, limits]))


def from_soundings(outline: Outline, soundings: np.ndarray) -> tuple[Survey, Surface]:
    """The basin from soundings (n, 3: x, y in feet, depth in inches) and the outline at zero depth."""
    surface = triangulate(outline, soundings)
    depths = curve_depths_in(float(surface.depth_in.max()))
    area, volume = below_level(surface, depths)
    area = np.minimum.accumulate(area)
    return Survey(
        "soundings",
        tuple(depths.tolist()),
        tuple(area.tolist()),
        tuple(volume.tolist()),
        shore_ft=float(polygon(outline).length),
        outline=outline,
        soundings=soundings,
    ), surface


def lost_bottom(soundings: np.ndarray, least_in: float = 36.0) -> np.ndarray:
    """Rows that read 0 although six soundings all round them are at least `least_in` deep (judgement)."""
    if len(soundings) < 8:
        return np.array([], dtype=int)
    rows = np.flatnonzero(soundings[:, 2] <= 0.0)
    if not len(rows):
        return rows
    around, amid = _neighbors(soundings, rows, 6)
    return rows[(around.min(axis=1) >= least_in) & amid]


def _neighbors(soundings: np.ndarray, rows: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Depths of the `count` soundings nearest to each row, and whether they lie all round it.

    A row at the rim of its neighbors, off a track or below a bank, may well differ from them; one amid them may not.
    """
    from scipy.spatial import cKDTree

    xy = soundings[:, :2]
    near = cKDTree(xy).query(xy[rows], k=count + 1)[1]
    itself = near == rows[:, None]
    itself[~itself.any(axis=1), -1] = True  # more twins at one place than neighbors asked for
    near = near[~itself].reshape(len(rows), count)
    offset = xy[near] - xy[rows, None]
    distance = np.hypot(offset[..., 0], offset[..., 1]).mean(axis=1)
    return soundings[near, 2], np.hypot(*offset.mean(axis=1).T) <= 0.4 * distance


def mixed_units(soundings: np.ndarray) -> np.ndarray:
    """Rows that look like feet among meters or meters among feet, in order.

    A row does if the eight soundings round it agree among themselves and its depth is 3.28 times theirs, or they 3.28
    times its own: three such rows count. So does a jump by that ratio from the row before, steeper than 2:1, with
    three steady rows on either side: two such jumps count, or one if the rows before and after it differ like that on
    the whole. Judgement; a ledge can look the same. (Ponds are not dug steeper than 2:1: NRCS practice 378.)
    """
    count = len(soundings)
    if count < 12:
        return np.array([], dtype=int)
    depth = np.maximum(soundings[:, 2], 1e-6)
    low, high = UNIT_RATIO
    around, amid = _neighbors(soundings, np.arange(count), 8)
    middle = np.maximum(np.median(around, axis=1), 1e-6)
    ratio = np.maximum(depth / middle, middle / depth)
    odd = amid & (around.max(axis=1) <= TIGHT * around.min(axis=1)) & (low <= ratio) & (ratio <= high)
    rows = np.flatnonzero(odd & (np.maximum(middle, depth) > 36.0))
    rows = rows if len(rows) >= 3 else rows[:0]

    step = np.hypot(*np.diff(soundings[:, :2], axis=0).T)
    leap = np.maximum(depth[1:] / depth[:-1], depth[:-1] / depth[1:])
    runs = np.lib.stride_tricks.sliding_window_view(depth, 3)
    steady = runs.max(axis=1) <= TIGHT * runs.min(axis=1)  # steady[i]: rows i, i+1, i+2
    before, after = np.zeros(count - 1, dtype=bool), np.zeros(count - 1, dtype=bool)
    before[2:] = steady[: count - 3]
    after[: count - 3] = steady[1:]
    too_steep = 2.0 * np.abs(np.diff(depth)) / 12.0 > step * (1.0 + 1e-6)  # a bank of just 2:1 is none
    jump = 1 + np.flatnonzero((low <= leap) & (leap <= high) & before & after & too_steep)
    if len(jump) == 1:
        halves = np.median(depth[: jump[0]]), np.median(depth[jump[0] :])
        jump = jump if 2.0 <= max(halves) / min(halves) <= 5.0 else jump[:0]
    return np.union1d(rows, jump).astype(int)
