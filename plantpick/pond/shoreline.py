"""Feet along an outline's shore: the point there, the way to the water, and how deep it is so many feet out.

The shore is counted from the outline's first point, the way you walk with the water on your left: counterclockwise on a map.
Facing the water, that is from left to right, as a tape runs. Feet throughout; depths in inches.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from plantpick.pond import bathymetry
from plantpick.pond.model import Outline, Pond, Stretch, Survey

SMOOTH_FT = 8.0  # the shore's direction is taken over so many feet to both sides: an outline walked with a phone is jagged
STEP_FT = 0.5  # between places looked at on the way out
LONGEST_FT = 150.0  # looked at on the way out


@dataclass(frozen=True)
class Shoreline:
    """The outer ring of an outline, to be walked along."""

    outline: Outline

    @cached_property
    def _ring(self) -> np.ndarray:
        """The ring's points, counterclockwise from the first one, closed."""
        ring = np.asarray(self.outline.rings[0], dtype=float)
        following = np.roll(ring, -1, axis=0)
        if float((ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]).sum()) < 0:
            ring = np.vstack([ring[:1], ring[:0:-1]])
        return np.vstack([ring, ring[:1]])

    @cached_property
    def _feet(self) -> np.ndarray:
        return np.append(0.0, np.cumsum(np.hypot(*np.diff(self._ring, axis=0).T)))

    @property
    def length_ft(self) -> float:
        """All round the shore, islands left out."""
        return float(self._feet[-1])

    def points(self, feet) -> np.ndarray:
        """The points (n, 2) of the waterline so many feet along; beyond the whole it goes round again."""
        at = np.mod(np.asarray(feet, dtype=float), self.length_ft)
        return np.column_stack([np.interp(at, self._feet, self._ring[:, k]) for k in (0, 1)])

    def inward(self, feet) -> np.ndarray:
        """The directions (n, 2), one foot long, that lead from the waterline straight out over the water."""
        at = np.asarray(feet, dtype=float)
        reach = min(SMOOTH_FT, self.length_ft / 12.0)
        along = self.points(at + reach) - self.points(at - reach)
        along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
        return np.column_stack([-along[:, 1], along[:, 0]])

    def feet_of(self, xy: np.ndarray) -> np.ndarray:
        """Feet along the shore to the points of the waterline nearest to each of `xy` (n, 2)."""
        import shapely

        return shapely.line_locate_point(shapely.LineString(self._ring), shapely.points(xy))

    def nearest_ft(self, x: float, y: float) -> tuple[float, float]:
        """Feet along the shore to the point of the waterline nearest to (x, y), and how far that is."""
        start, step = self._ring[:-1], np.diff(self._ring, axis=0)
        square = np.maximum((step**2).sum(axis=1), 1e-12)
        part = np.clip((([x, y] - start) * step).sum(axis=1) / square, 0.0, 1.0)
        off = np.hypot(*(start + part[:, None] * step - [x, y]).T)
        k = int(off.argmin())
        return float(self._feet[k] + part[k] * (self._feet[k + 1] - self._feet[k])), float(off[k])


@dataclass(frozen=True)
class DepthLine:
    """One depth along a stretch, a place every foot of the tape: `tape_ft`, how far out it lies there (`out_ft`, NaN where the water
    is nowhere so deep), the points `xy` (None without positions), and `row_ft`, feet along the line itself from its left end.
    """

    depth_in: float
    tape_ft: np.ndarray
    out_ft: np.ndarray
    row_ft: np.ndarray
    xy: np.ndarray | None = None


@lru_cache(maxsize=4)
def _depth_at(survey: Survey) -> Callable[[np.ndarray], np.ndarray]:
    assert survey.outline is not None, "soundings come with an outline"
    return bathymetry.depth_at(survey.outline, np.asarray(survey.soundings))


class Bank:
    """One stretch to measure on. With its place on an outline known it goes by that and by the soundings, where there are some;
    otherwise the stretch is straight and its slope even."""

    def __init__(self, pond: Pond, stretch: Stretch, deepest_in: float):
        """`deepest_in` is the greatest depth that will be asked for."""
        self._stretch = stretch
        survey = pond.survey
        located = stretch.from_ft is not None and survey is not None and survey.outline is not None
        self._shore = Shoreline(survey.outline) if located and survey and survey.outline else None
        self._depth_at = None
        if self._shore is not None and survey is not None and survey.soundings is not None:
            self._depth_at = _depth_at(survey)
        # a bottom may lie much flatter than the owner's slope
        self._farthest = min(LONGEST_FT, 20.0 + 3.0 * stretch.slope * max(deepest_in, 0.0) / 12.0)

    @property
    def located(self) -> bool:
        """Whether its place on an outline is known."""
        return self._shore is not None

    @property
    def measured(self) -> bool:
        """Whether its depths were sounded, so that feet out are as measured."""
        return self._depth_at is not None

    @cached_property
    def tape_ft(self) -> np.ndarray:
        """Every whole foot of the tape, and its end."""
        length = self._stretch.length_ft
        return np.unique(np.append(np.arange(0.0, math.floor(length) + 1.0), length))

    def out_ft(self, tape_ft, depth_in: float) -> np.ndarray:
        """How far out from the waterline it first is `depth_in` deep (negative: up the bank), at places of the tape; NaN where it
        is nowhere so deep."""
        tape = np.asarray(tape_ft, dtype=float)
        even = np.full(len(tape), self._stretch.slope * depth_in / 12.0)
        if self._depth_at is None or self._shore is None or depth_in <= 0:
            return even
        steps = self._steps
        whole = tape.shape == self.tape_ft.shape and bool((tape == self.tape_ft).all())
        depth = self._profiles if whole else self._profiles_at(tape)
        deep = np.nan_to_num(depth) >= depth_in
        first = np.argmax(deep, axis=1)
        rows = np.arange(len(tape))
        before = np.maximum(first - 1, 0)
        shallow, deeper = depth[rows, before], depth[rows, first]
        with np.errstate(invalid="ignore", divide="ignore"):
            part = (depth_in - shallow) / (deeper - shallow)
        out = steps[before] + np.clip(part, 0.0, 1.0) * STEP_FT
        return np.where(deep.any(axis=1), out, np.nan)

    def usual_out_ft(self, depth_in: float) -> float:
        """The middle of what `out_ft` says along the whole stretch; NaN where most of it is nowhere so deep."""
        out = self.out_ft(self.tape_ft, depth_in)
        return float(np.nanmedian(out)) if np.isfinite(out).mean() > 0.5 else math.nan

    @property
    def _steps(self) -> np.ndarray:
        return np.arange(0.0, self._farthest + STEP_FT, STEP_FT)

    @cached_property
    def _profiles(self) -> np.ndarray:
        """The bottom straight out from every place of `tape_ft`, (places, steps): inches deep; NaN from the far shore on."""
        return self._profiles_at(self.tape_ft)

    def _profiles_at(self, tape: np.ndarray) -> np.ndarray:
        assert self._depth_at is not None and self._shore is not None, "only a sounded stretch has profiles"
        feet = (self._stretch.from_ft or 0.0) + tape
        start, way = self._shore.points(feet), self._shore.inward(feet)
        places = start[:, None, :] + way[:, None, :] * self._steps[None, :, None]
        depth = self._depth_at(places.reshape(-1, 2)).reshape(len(tape), -1)
        depth[:, 0] = 0.0
        return np.where(np.cumsum(np.isnan(depth), axis=1) > 0, np.nan, depth)

    def points(self, tape_ft, out_ft) -> np.ndarray | None:
        """The points (n, 2) of places on the tape so many feet out; None where positions are not known."""
        if self._shore is None:
            return None
        feet = self._stretch.from_ft + np.asarray(tape_ft, dtype=float)
        return self._shore.points(feet) + self._shore.inward(feet) * np.asarray(out_ft, dtype=float)[:, None]

    def line(self, depth_in: float) -> DepthLine:
        """The line of one depth along the whole stretch. Where the shore bends so much that it would run back on itself it has no
        place."""
        tape = self.tape_ft
        out = self.out_ft(tape, depth_in)
        xy = self.points(tape, out)
        if xy is None or self._shore is None:
            return DepthLine(depth_in, tape, out, tape)
        step = np.diff(xy, axis=0)
        way = self._shore.inward(self._stretch.from_ft + (tape[1:] + tape[:-1]) / 2.0)
        ahead = (
            step[:, 0] * way[:, 1] - step[:, 1] * way[:, 0]
        )  # along the shore: the way inward turned clockwise
        length = np.hypot(*step.T)
        lost = ~(ahead > 0.2 * np.diff(tape)) | (length > 3.0 * np.diff(tape))
        out = out.copy()
        out[1:][lost] = np.nan
        row = np.append(0.0, np.cumsum(np.where(lost, 0.0, np.nan_to_num(length))))
        return DepthLine(depth_in, tape, out, row, xy)
