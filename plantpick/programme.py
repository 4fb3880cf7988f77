"""The planting as an integer programme: whole groups at places, every wish a row, solved with HiGHS through scipy.

Every wish has a slack that is shut unless it is opened on purpose, so that the same programme finds the cheapest
planting, the nearest one when the wishes cannot all be met, and how far a single wish would have to give.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from plantpick.case import Answer, Case
from plantpick.rows import FREED, PROVED, Rows

# Places kept beside those that the parts of groups used, for a quick first answer: so many, a part of the rest,
# and some of every plant.
KEPT, KEPT_PART, KEPT_EACH = 60, 0.05, 3
TIMES = (
    0.55,
    0.15,
    0.3,
)  # of the time for the first planting, for one near it or far from it, and for the whole question
MANY_PLACES = 300  # from here on the whole question took all its time and found nothing better (measured)


class Programme:
    """A case under several aims.

    Parts of groups come first: what they cannot do, nothing can, and nothing is cheaper. Then whole groups, at the places
    that the parts used and at those next to them, with the limits as they are near the parts; then again near what was
    found, which never gets worse. Then everything, as far as the time goes, if it may still be bettered.
    """

    def __init__(self, case: Case):
        self.case = case
        self._built: dict[str, Rows] = {}

    def _rows(self, free: str) -> Rows:
        if free not in self._built:
            self._built[free] = Rows(self.case, free)
        return self._built[free]

    def impossible(self, open: dict) -> bool:
        """Whether not even parts of groups can do it with these wishes opened."""
        rows = self._rows(next((name for name in FREED if name in open), ""))
        return rows.relaxed({}, open)[0] == "impossible"

    def _near(self, free: str, near: np.ndarray, kept: np.ndarray) -> Rows:
        return Rows(self.case.at(kept), free, near[kept])

    def solve(
        self,
        *,
        aim: dict[str, float] | None = None,
        open: dict | None = None,
        time_limit: float = 10.0,
        gap: float = 1e-6,
    ) -> Answer:
        """The least of `aim`: {"cost": 1} or weights on slacks; `open` gives the greatest slack a wish may take
        (for "serve" one number for all or an array).

        An answer within `gap` of the least ends the search; `time_limit` in seconds is about what the questions take together.
        """
        aim, opened = aim or {"cost": 1.0}, open or {}
        rows = self._rows(next((name for name in FREED if name in opened), ""))
        state, bound, parts, away = rows.relaxed(aim, opened, time_limit)
        if state != "found":
            return Answer(state)
        kept = _nearest(away, self.case.places.plant)
        first, second, last = (time_limit * part for part in TIMES)
        if len(parts) >= MANY_PLACES:
            first, last = first + last, first
        best = self._near(rows.free, parts, kept).run(aim, opened, first, max(gap, PROVED))
        if best.found:
            best = replace(best, groups=_spread(best.groups, kept))
            near = best.groups
        else:  # nothing near the parts: everywhere, and as if no two discs ever met
            near, kept = np.zeros(len(parts)), np.ones(len(parts), dtype=bool)
        if not _close(best, bound, gap):
            other = self._near(rows.free, near, kept).run(aim, opened, second, max(gap, PROVED))
            if other.found and (not best.found or other.value < best.value):
                best = replace(other, groups=_spread(other.groups, kept))
        if not _close(best, bound, gap) and (len(parts) < MANY_PLACES or not best.found):
            whole = rows.run(aim, opened, last, gap)
            bound = max(bound, whole.bound)
            if not best.found or whole.found and whole.value <= best.value:
                best = whole
        return _judged(best, bound)


def _nearest(away: np.ndarray, plant: np.ndarray) -> np.ndarray:
    """The places in use (0 away), those that are nearest to being used, and a few of every plant, as a mask."""
    order = np.argsort(away, kind="stable")
    kept = np.zeros(len(away), dtype=bool)
    kept[order[: int((away <= 0).sum()) + KEPT + int(KEPT_PART * len(away))]] = True
    for one in np.unique(plant):
        kept[order[plant[order] == one][:KEPT_EACH]] = True
    return kept


def _spread(groups: np.ndarray, kept: np.ndarray) -> np.ndarray:
    """Groups at the kept places as groups at all places."""
    all_of_them = np.zeros(len(kept), dtype=groups.dtype)
    all_of_them[kept] = groups
    return all_of_them


def _left(answer: Answer, bound: float) -> float:
    return max(0.0, answer.value - bound) / max(abs(answer.value), 1e-9)


def _close(answer: Answer, bound: float, gap: float) -> bool:
    return answer.found and _left(answer, bound) <= max(gap, PROVED)


def _judged(answer: Answer, bound: float) -> Answer:
    """The answer with its gap against the bound that holds for all places."""
    if not answer.found:
        return replace(answer, bound=bound)
    left = _left(answer, bound)
    return replace(answer, status="proved" if left <= PROVED else "gap", gap=left, bound=bound)
