"""What the same soundings would have made of plain shapes: how far a survey of this outline may be off.

A surface through few soundings cuts straight across whatever bulges between them, and joins coves to the shore. Plain
shapes of known volume, laid over the pond's own outline and sounded where the owner sounded, show how much is lost.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from plantpick.pond.bathymetry import OUTLINE_POINTS, Surface, below_level, polygon, triangulate
from plantpick.pond.model import Doubt, Outline
from plantpick.vocabulary import BANDS

# Depth over the greatest depth, by s, the distance to the shore over the greatest distance, and by the part of s that
# banks at the owner's slope take up before they reach the floor. The choice of shapes is judgement.
SHAPES = {
    "a cone": lambda s, banks: s,
    "a bowl": lambda s, banks: 1.0 - (1.0 - s) ** 2,  # over a round pond a paraboloid
    "your banks round a flat floor": lambda s, banks: np.minimum(1.0, s / banks),
    "your banks to half the depth, then an even fall to the middle": lambda s, banks: np.interp(
        s, [0.0, banks / 2.0, 1.0], [0.0, 0.5, 1.0]
    ),
}
NET_POINTS = (
    2500  # points of the close net that stands for the shape itself; fewer where the shore is very long
)
MOST_ADDED = 500  # more soundings than these we do not work out: judgement
MOST_TESTED = 5000  # soundings tested; of more, a seeded sample, which errs on the side of doubt
WANTED = 0.05  # how much of a plain shape's water soundings may miss before more are asked for: judgement
WIDER = 1.25  # a real bottom is rougher than a plain shape: the ranges reach this much further (judgement; measured
#               in docs/method.md)
SEED = 20
_PLASTIC = 1.324717957244746  # its powers spread points evenly over a plane


def _net(outline: Outline) -> np.ndarray:
    """The middle of the widest water and up to NET_POINTS spread evenly, (n, 2) feet, the same at every call.

    No closer together than half of the pieces that the shore is cut into: closer points would cut it finer still.
    """
    import shapely

    water = polygon(outline)
    count = int(np.clip(water.area / (0.5 * water.length / OUTLINE_POINTS) ** 2, 50, NET_POINTS))
    low, high = np.reshape(water.bounds, (2, 2))
    over = int(np.ceil(count * float(np.prod(high - low)) / water.area))
    number = np.arange(1, min(over, 50 * count) + 1)[:, None]
    xy = low + (high - low) * ((0.5 + number / np.array([_PLASTIC, _PLASTIC**2])) % 1.0)
    shapely.prepare(water)
    middle = shapely.maximum_inscribed_circle(water, tolerance=np.sqrt(water.area) / 200.0).coords[0]
    return np.vstack([middle, xy[shapely.contains_xy(water, xy[:, 0], xy[:, 1])]])


def _to_shore_ft(outline: Outline, xy: np.ndarray) -> np.ndarray:
    """Distance of each point to the nearest shore, islands' included, feet."""
    import shapely

    pieces = [
        np.stack([np.asarray(ring, dtype=float), np.roll(ring, -1, axis=0)], axis=1) for ring in outline.rings
    ]
    tree = shapely.STRtree(shapely.linestrings(np.concatenate(pieces)))
    (which, _), apart = tree.query_nearest(shapely.points(xy), return_distance=True, all_matches=False)
    found = np.empty(len(xy))
    found[which] = apart
    return found


def _distances(outline: Outline, xy: np.ndarray) -> Surface:
    """A surface through the points whose depth is their distance to the shore in feet, joined as soundings are."""
    surface = triangulate(outline, np.column_stack([xy, np.ones(len(xy))]))
    within = surface.depth_in > 0.0
    apart = np.zeros(len(surface.xy))
    apart[within] = _to_shore_ft(outline, surface.xy[within])
    return replace(surface, depth_in=apart)


@dataclass(frozen=True)
class _Ground:
    """An outline, its close net, and the net's surface of distances to the shore."""

    outline: Outline
    net: np.ndarray
    true: Surface

    @property
    def widest(self) -> float:
        return float(self.true.depth_in.max())


def _ground(outline: Outline, xy: np.ndarray) -> _Ground:
    """The ground that soundings at `xy` are tested on: they are in the net themselves, so that it is never worse."""
    net = _net(outline)
    return _Ground(outline, net, _distances(outline, np.vstack([net, xy])))


def _few(xy: np.ndarray) -> np.ndarray:
    if len(xy) <= MOST_TESTED:
        return xy
    return xy[np.sort(np.random.default_rng(SEED).choice(len(xy), MOST_TESTED, replace=False))]


def _shares(
    ground: _Ground, xy: np.ndarray, deepest_in: float, slope: float, levels_in=()
) -> tuple[np.ndarray, np.ndarray]:
    """True over recovered: volume, (shapes,), and area shallower than each level, (shapes, levels)."""
    found = _distances(ground.outline, xy)
    levels = np.append(0.0, levels_in)
    whole = float(ground.true.areas_ft2.sum())
    banks = min(1.0, slope * deepest_in / 12.0 / ground.widest)
    volumes, shallower = [], []
    for shape in SHAPES.values():
        sizes = []
        for surface in (ground.true, found):
            depth = deepest_in * shape(np.minimum(1.0, surface.depth_in / ground.widest), banks)
            area, volume = below_level(replace(surface, depth_in=depth), levels)
            sizes.append((volume[0], whole - area[1:]))
        (true, true_under), (had, had_under) = sizes
        volumes.append(true / max(had, 1e-9 * true))
        shallower.append(true_under / np.maximum(had_under, 1e-9 * whole))
    return np.array(volumes), np.array(shallower)


def doubt(outline: Outline, soundings: np.ndarray, slope: float) -> Doubt:
    """How far a survey through these soundings (n, 3: x, y in feet, depth in inches) may be off on this outline.

    Each shape is as deep as the deepest sounding; `slope` is the owner's, feet out for one foot down. The ranges are
    those of the shapes, WIDER; between the depths listed they are linear.
    """
    deepest = float(soundings[:, 2].max())
    limits = {limit for band in BANDS.values() for limit in band if 0.0 < limit < 0.999 * deepest}
    levels = np.array(sorted(limits | {deepest * part for part in (0.25, 0.5, 0.75, 0.9)}))
    xy = _few(soundings[:, :2])
    volumes, shallower = _shares(_ground(outline, xy), xy, deepest, slope, levels)

    def range_of(ratios: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        widened = 1.0 + WIDER * (ratios - 1.0)
        return np.clip(widened.min(axis=0), 0.0, 1.0), np.maximum(1.0, widened.max(axis=0))

    least, most = range_of(shallower)
    fewest, greatest = range_of(volumes)
    return Doubt(
        tuple(float(1.0 - 1.0 / ratio) for ratio in volumes),
        (float(fewest), float(greatest)),
        (0.0, *levels.tolist(), deepest),
        (float(least[0]), *least.tolist(), 1.0),
        (float(most[0]), *most.tolist(), 1.0),
    )


def few_words(found: Doubt, count: int) -> str | None:
    """The warning that `count` soundings are few; None where no plain shape misses WANTED of its water."""
    if max(found.missed) < WANTED:
        return None
    low, high = (max(0, round(100 * share)) for share in (min(found.missed), max(found.missed)))
    return (
        f"{count:,} soundings are few for this outline. Plain shapes laid over it (a cone, a bowl, your banks round a flat "
        f"or a falling floor) and sounded at your places lose {low if low == high else f'{low} to {high}'} % of their water: "
        "the pond likely holds more than measured, with less of it shallow. The low end of forecasts allows for it; "
        "plantpick depths says how many more to take."
    )


def more_soundings(
    outline: Outline, soundings: np.ndarray, slope: float, under: float = WANTED
) -> int | None:
    """How many more soundings, each in the middle of the widest gap left, until no plain shape misses `under` of its
    water. 0 where these are enough, None where MOST_ADDED are not. Arguments as in `doubt`."""
    from scipy.spatial import cKDTree

    deepest = float(soundings[:, 2].max())
    xy = _few(soundings[:, :2])
    ground = _ground(outline, xy)

    def enough(added: np.ndarray) -> bool:
        volumes, _ = _shares(ground, np.vstack([xy, added]), deepest, slope)
        return 1.0 - 1.0 / float(volumes.max()) < under

    if enough(ground.net[:0]):
        return 0
    shore = ground.true.xy[ground.true.depth_in <= 0.0]
    gap = cKDTree(np.vstack([shore, xy])).query(ground.net)[0]
    most = min(MOST_ADDED, len(ground.net))
    order = np.empty(most, dtype=int)
    for place in range(most):
        order[place] = gap.argmax()
        gap = np.minimum(gap, np.hypot(*(ground.net - ground.net[order[place]]).T))
    if not enough(ground.net[order]):
        return None
    low, high = 0, min(16, most)
    while high < most and not enough(ground.net[order[:high]]):
        low, high = high, min(2 * high, most)
    while high - low > max(1, high // 20):
        middle = (low + high) // 2
        low, high = (low, middle) if enough(ground.net[order[:middle]]) else (middle, high)
    return high
