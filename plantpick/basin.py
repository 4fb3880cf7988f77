"""Depth bands, areas and volume of a pond described by stretches of shore.

The offset of an outline inward by d takes off `perimeter * d - pi * d**2` square feet for a convex outline
(Steiner's formula); the strip between two depths on a stretch is `slope * depth difference * length`.
"""

from __future__ import annotations

import math

import numpy as np

from plantpick.pond import Pond
from plantpick.words import BANDS


def strip_width_ft(slope: float, shallow_in: float, deep_in: float) -> float:
    """Feet out, along the bottom's plan, between two depths on a bank of `slope` feet out for one foot down."""
    return slope * max(0.0, deep_in - shallow_in) / 12.0


def area_at_depth_ft2(pond: Pond, depth_in):
    """Area of the contour at `depth_in` (scalar or array), square feet: the outline offset inward by slope x depth.

    The offset uses the shore's mean slope by length. From the greatest depth down it is 0; it never rises with depth.
    """
    shore = pond.shore
    length = sum(s.length_ft for s in shore)
    slope = sum(s.slope * s.length_ft for s in shore) / length
    depth = np.asarray(depth_in, dtype=float)
    # beyond length / 2 pi the formula would rise again: hold it there
    d = np.minimum(slope * np.maximum(depth, 0.0) / 12.0, length / (2.0 * math.pi))
    area = np.clip(pond.area_ft2 - length * d + math.pi * d**2, 0.0, pond.area_ft2)
    return np.where(depth >= pond.max_depth_in, 0.0, area)


def area_shallower_ft2(pond: Pond, depth_in):
    """Water surface over bottom shallower than `depth_in`, square feet; all of it from the greatest depth down."""
    return pond.area_ft2 - area_at_depth_ft2(pond, depth_in)


def band_areas_ft2(pond: Pond) -> dict[str, float]:
    """Square feet in each depth band. Bands above the waterline count the bank's own strip, outside the surface."""
    areas = {}
    for band, (shallow, deep) in BANDS.items():
        if deep <= 0:
            areas[band] = sum(strip_width_ft(s.slope, shallow, deep) * s.length_ft for s in pond.shore)
        else:
            upper, lower = area_shallower_ft2(pond, np.array([shallow, min(deep, pond.max_depth_in)]))
            areas[band] = float(max(0.0, lower - upper))
    return areas


def prismoidal_volume(top: float, middle: float, bottom: float, height: float) -> float:
    """Volume of a prismoid from three areas and its height (USDA Agriculture Handbook 590: (A + 4B + C) / 6 x D)."""
    return (top + 4.0 * middle + bottom) * height / 6.0


def volume_ft3(pond: Pond) -> float:
    """Water held at full pool, cubic feet: prismoidal slices of half a foot over the contour areas."""
    slices = max(2, math.ceil(pond.max_depth_ft / 0.5))
    z = np.linspace(0.0, pond.max_depth_in, 2 * slices + 1)
    area = area_at_depth_ft2(pond, np.minimum(z, pond.max_depth_in - 1e-9))
    height = pond.max_depth_ft / slices
    return float(prismoidal_volume(area[:-2:2], area[1::2], area[2::2], height).sum())
