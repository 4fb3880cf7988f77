"""How many groups of one plant keep its limit (the cap), in parts and whole, on one stretch and over several.

What a plant holds is concave in its groups: parts of groups can make much of that, whole groups little. Where only a few are within
the limit, every combination is counted, and lines are laid round them as close as lines come.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from plantpick.planting.coverage import GroundTaken
from plantpick.planting.problem import PlantingProblem

MOST_COMBINATIONS = 4000  # counted one by one; more than that and whole groups are hardly worse than parts
MOST_HULL = 4  # stretches for which the lines are as close as they come; round more they are too many
MOST_BOX = (
    50_000  # combinations, in the limit or not, that are looked through to see whether lines tell them apart
)
ROUNDED = 12  # lines by rounding, where the closest are not to be had
KEEPS = 1e-9


def alone_within(ground: GroundTaken, cap: float) -> np.ndarray:
    """How many groups (parts of one counted) of each plant reach the cap if all stand on one stretch, (plants, stretches);
    infinite where all that they can ever take stays within it.

    What a plant holds is concave in its groups, so that every planting between two that reach the cap holds at least
    the cap. Hence groups over this number, summed over the stretches, are at most 1 for all that keep the cap, and no
    other straight line comes closer to them.
    """
    stretches = ground.own.shape[1]
    rate = ground.jumped[:, None, :] + ground.own[:, :, None] * np.eye(stretches)
    strip = np.broadcast_to(ground.strip[:, None, :], rate.shape)
    full_at = np.where(rate > 0, strip / np.maximum(rate, 1e-300), np.inf)
    order = np.argsort(full_at, axis=2)
    full_at, rate, strip = (np.take_along_axis(a, order, 2) for a in (full_at, rate, strip))
    strip = np.where(np.isfinite(full_at), strip, 0.0)
    filled = np.cumsum(strip, axis=2) - strip  # by the strips that are full before this one
    rising = rate[..., ::-1].cumsum(axis=2)[..., ::-1]  # by each further group until this one is
    with np.errstate(divide="ignore", invalid="ignore"):
        at = np.where(rising > 0, (cap - filled) / rising, np.inf)
    reached = np.where(at <= full_at * (1 + 1e-12), at, -1.0).max(axis=2)
    return np.where((ground.room <= cap)[:, None] | (reached < 0), np.inf, reached)


@dataclass(frozen=True, kw_only=True)
class WholeGroups:
    """Lines that all whole groups of one plant within its cap keep: `factor` (lines, stretches) times the groups on each stretch
    comes to no more than `most` (lines,). `exact` says that whole groups which keep the lines keep the cap."""

    factor: np.ndarray
    most: np.ndarray
    exact: bool


def whole_groups(problem: PlantingProblem) -> list[WholeGroups | None]:
    """The lines for each plant; None where every planting keeps the cap."""
    ground, cap, p = problem.ground, problem.limits.cap, problem.places
    room = np.zeros(problem.each.shape)
    np.add.at(room, (p.plant, p.stretch), np.floor(p.most))
    alone = alone_within(ground, cap)
    found: list[WholeGroups | None] = []
    for i in range(len(problem.fish)):
        bends = room[i].any() and min(ground.strip[i].sum(), ground.room[i]) > cap + 1e-12
        found.append(
            _lines(_one(ground, i), cap, alone[i], room[i], float(problem.group_most[i])) if bends else None
        )
    return found


def _one(ground: GroundTaken, i: int) -> GroundTaken:
    return GroundTaken(
        own=ground.own[i : i + 1],
        jumped=ground.jumped[i : i + 1],
        strip=ground.strip[i : i + 1],
        room=ground.room[i : i + 1],
    )


def _lines(ground: GroundTaken, cap: float, alone: np.ndarray, room: np.ndarray, total: float) -> WholeGroups:
    every = combinations(ground, cap, np.minimum(room, np.floor(alone + KEEPS)), total)
    if every is None:
        factor = _rounded(alone)
        return WholeGroups(factor=factor, most=np.arange(1.0, len(factor) + 1.0), exact=False)
    live = np.flatnonzero(every.any(axis=0))
    factor = np.zeros((0, len(alone)))
    if len(live) == 1:
        factor = np.eye(len(alone))[live]
    elif 1 < len(live) <= MOST_HULL:
        factor = np.zeros((0, len(alone)))
        outer = _outer_lines(every[:, live])
        factor = np.zeros((len(outer), len(alone)))
        factor[:, live] = outer
    elif len(live):
        factor = np.vstack([np.eye(len(alone)), np.ones((1, len(alone))), _rounded(alone)])
    barred = np.setdiff1d(np.arange(len(alone)), live)  # not one group within the cap, or no room
    factor = np.vstack([factor, np.eye(len(alone))[barred]])
    most = (factor @ every.T).max(
        axis=1
    )  # every line is drawn back to what whole groups come to: none is cut off
    return WholeGroups(factor=factor, most=most, exact=_tells_apart(factor, most, every))


def combinations(ground: GroundTaken, cap: float, most: np.ndarray, total: float) -> np.ndarray | None:
    """Every combination of whole groups of one plant (the only one of `ground`), no more than `most` on each stretch and `total` in
    all, that holds no more than the cap, (combinations, stretches); None where they are too many."""
    step = np.eye(len(most), dtype=int)
    found = last = np.zeros((1, len(most)), dtype=int)
    while len(last):
        more = np.unique((last[:, None] + step).reshape(-1, len(most)), axis=0)
        more = more[(more <= most).all(axis=1) & (more.sum(axis=1) <= total)]
        taken = more * ground.own + more.sum(axis=1, keepdims=True) * ground.jumped
        held = np.minimum(np.minimum(taken, ground.strip).sum(axis=1), ground.room)
        last = more[held <= cap + KEEPS]
        found = np.vstack([found, last])
        if len(found) > MOST_COMBINATIONS:
            return None
    return found


def _outer_lines(points: np.ndarray) -> np.ndarray:
    """The slopes of all lines round the points that groups keep from above, (lines, stretches)."""
    from scipy.spatial import ConvexHull

    slopes = ConvexHull(points.astype(float)).equations[:, :-1]
    slopes = np.where(np.abs(slopes) < 1e-9, 0.0, slopes)
    slopes = slopes[(slopes > 0).any(axis=1)]
    slopes = np.maximum(slopes, 0.0) / slopes.max(axis=1, keepdims=True)
    return np.unique(np.round(slopes, 9), axis=0)


def _rounded(alone: np.ndarray) -> np.ndarray:
    """Slopes of lines by rounding: groups over the number that alone reaches the cap add up to 1 at most; so many times that, each
    factor cut down to a whole number, is a whole number and at most so many (Gomory 1958; Chvatal 1973)."""
    with np.errstate(invalid="ignore"):
        return np.array([np.floor(times / alone + KEEPS) for times in range(1, ROUNDED + 1)])


def _tells_apart(factor: np.ndarray, most: np.ndarray, every: np.ndarray) -> bool:
    """Whether no other whole groups keep all these lines."""
    top = every.max(axis=0)
    if np.prod(top + 1.0) > MOST_BOX:
        return False
    box = np.array(list(itertools.product(*(range(n + 1) for n in top))))
    return int((box @ factor.T <= most + 1e-6).all(axis=1).sum()) == len(every)
