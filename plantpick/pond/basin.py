"""Depth bands, areas and volume of a pond: from its survey where there is one, otherwise from stretches of shore.

For stretches, the offset of an outline inward by d takes off `perimeter * d - pi * d**2` square feet for a
convex outline (Steiner's formula); the strip between two depths on a stretch is `slope * depth difference * length`.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from plantpick.pond import bathymetry
from plantpick.pond.model import Pond
from plantpick.vocabulary import BANDS

DEEPEST = list(BANDS)[-1]  # has no lower limit but the bottom


def strip_width_ft(slope: float, shallow_in: float, deep_in: float) -> float:
    """Feet out, along the bottom's plan, between two depths on a bank of `slope` feet out for one foot down."""
    return slope * max(0.0, deep_in - shallow_in) / 12.0


def area_at_depth_ft2(pond: Pond, depth_in):
    """Area of the contour at `depth_in` (scalar or array), square feet.

    From the survey if contours or soundings were given, otherwise the outline offset inward by slope x depth. It
    never rises with depth, and is 0 from the greatest depth down.
    """
    survey = pond.measured
    if survey is None:
        return offset_area_ft2(pond, depth_in)
    depth = np.asarray(depth_in, dtype=float)
    area = np.clip(bathymetry.area_at_ft2(survey, np.maximum(depth, 0.0)), 0.0, pond.area_ft2)
    return np.where(depth >= pond.max_depth_in, 0.0, area)


def offset_area_ft2(pond: Pond, depth_in):
    """Area of the contour at `depth_in` from the stretches alone: the outline offset inward by mean slope x depth."""
    length = sum(s.length_ft for s in pond.shore)
    slope = pond.mean_slope
    depth = np.asarray(depth_in, dtype=float)
    # beyond length / 2 pi the formula would rise again: hold it there
    d = np.minimum(slope * np.maximum(depth, 0.0) / 12.0, length / (2.0 * math.pi))
    area = np.clip(pond.area_ft2 - length * d + math.pi * d**2, 0.0, pond.area_ft2)
    return np.where(depth >= pond.max_depth_in, 0.0, area)


LEAST, MEASURED, MOST = 0, 1, 2  # the bottom as it may be between soundings: see `area_shallower_ft2`


def area_shallower_ft2(pond: Pond, depth_in, level: int = MEASURED):
    """Water surface over bottom shallower than `depth_in`, square feet; all of it from the greatest depth down.

    Soundings leave a doubt: LEAST and MOST give the least and the most shallow water that there may be between them.
    Contours and stretches are taken as they are at every level.
    """
    measured = pond.area_ft2 - area_at_depth_ft2(pond, depth_in)
    survey = pond.survey
    if level == MEASURED or survey is None or survey.doubt is None:
        return measured
    doubt = survey.doubt
    ratio = doubt.shallower_least if level == LEAST else doubt.shallower_most
    knots = np.asarray(survey.depths_in)
    curve = (pond.area_ft2 - area_at_depth_ft2(pond, knots)) * np.interp(knots, doubt.depths_in, ratio)
    curve = np.minimum(np.maximum.accumulate(curve), pond.area_ft2)
    return np.interp(np.asarray(depth_in, dtype=float), knots, curve)


def band_areas_ft2(pond: Pond, level: int = MEASURED) -> dict[str, float]:
    """Square feet in each depth band. Bands above the waterline count the bank's own strip, outside the surface.

    `level` as in `area_shallower_ft2`.
    """
    areas = {}
    for band, (shallow, deep) in BANDS.items():
        if deep <= 0:
            areas[band] = sum(strip_width_ft(s.slope, shallow, deep) * s.length_ft for s in pond.shore)
        else:
            deep = pond.max_depth_in if band == DEEPEST else min(deep, pond.max_depth_in)
            upper, lower = area_shallower_ft2(pond, np.array([shallow, deep]), level)
            areas[band] = float(max(0.0, lower - upper))
    return areas


def prismoidal_volume(top, middle, bottom, height: float):
    """Volume of a prismoid from three areas and its height (USDA Agriculture Handbook 590: (A + 4B + C) / 6 x D)."""
    return (top + 4.0 * middle + bottom) * height / 6.0


def volume_ft3(pond: Pond, below_in: float = 0.0) -> float:
    """Water below a level `below_in` inches under full pool, cubic feet; by default all of it.

    From a survey as it was measured (frusta, or triangles cut exactly); otherwise see `offset_volume_ft3`.
    """
    if pond.measured is not None:
        return float(bathymetry.volume_below_ft3(pond.measured, below_in))
    return offset_volume_ft3(pond, below_in)


def offset_volume_ft3(pond: Pond, below_in: float = 0.0) -> float:
    """The same from the stretches alone: prismoidal slices of half a foot or less over the contour areas."""
    depth_ft = max(0.0, pond.max_depth_in - max(0.0, below_in)) / 12.0
    slices = max(2, math.ceil(depth_ft / 0.5))
    z = pond.max_depth_in - 12.0 * depth_ft * np.linspace(1.0, 0.0, 2 * slices + 1)
    area = offset_area_ft2(pond, np.minimum(z, pond.max_depth_in - 1e-9))
    return float(prismoidal_volume(area[:-2:2], area[1::2], area[2::2], depth_ft / slices).sum())


def rule_of_thumb_ft3(pond: Pond) -> float:
    """0.4 x greatest depth x surface: a rule of thumb for dammed ponds (USDA Agriculture Handbook 590, from memory)."""
    return 0.4 * pond.max_depth_ft * pond.area_ft2


def steepened(pond: Pond, slope: float, to_in: float = 36.0) -> Pond:
    """The same pond with every bank at `slope` or steeper; a survey is dug out along the shore to `to_in` deep.

    Where the surveyed contour lies further from the shore than the new bank's, the new bank's takes its place.
    """
    steep = replace(pond, stretches=tuple(replace(s, slope=min(s.slope, slope)) for s in pond.stretches))
    survey = pond.measured
    if survey is None:
        return steep
    deepest = survey.depths_in[-1]
    toe = min(to_in, deepest - 1e-6)
    depths = np.unique([*survey.depths_in, *np.linspace(0.0, toe, 13), toe + 1e-6])
    depths = depths[depths <= deepest]
    areas = np.append(area_at_depth_ft2(pond, depths[:-1]), survey.areas_ft2[-1])
    areas = np.where(depths <= toe, np.maximum(areas, offset_area_ft2(steep, depths)), areas)
    slices = bathymetry.frustum_ft3(areas[:-1], areas[1:], np.diff(depths))
    below = np.append(np.cumsum(slices[::-1])[::-1], 0.0)
    return replace(
        steep,
        survey=replace(
            survey,
            depths_in=tuple(depths.tolist()),
            areas_ft2=tuple(areas.tolist()),
            volumes_ft3=tuple(below.tolist()),
            others=(),
        ),
    )
