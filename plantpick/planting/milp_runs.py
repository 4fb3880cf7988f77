"""The planting as an integer programme: whole groups at places, every wish a row, solved with HiGHS through scipy.

Every wish has a slack that is shut unless it is opened on purpose, so that the same programme finds the cheapest
planting, the nearest one when the wishes cannot all be met, and how far a single wish would have to give.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from plantpick.planting.milp import FREED, PROVED, Rows
from plantpick.planting.problem import Answer, Case
from plantpick.planting.tally import fits, keeps, misses, value

# Places kept beside those that the parts of groups used, for a quick first answer: so many, a part of the rest,
# and some of every plant.
KEPT, KEPT_PART, KEPT_EACH = 60, 0.05, 3
# Of the time for the whole question: near the parts of groups, as if no two discs ever met, near the best planting known,
# and everything. What came to its end before is not run again and leaves its time to the others.
TIMES = {"parts": 0.4, "apart": 0.15, "best": 0.2, "whole": 0.25}
MANY_PLACES = 300  # from here on the whole question took all its time and found nothing better (measured)


# Of the time for the whole question: the first run, and each of those after lines were brought closer.
CLOSER = 3  # times that the lines over the cover are brought closer to what parts of groups came to
AGAIN = (0.6, 0.2, 0.1, 0.1)


class Programme:
    """A case under several aims.

    Parts of groups come first: what they cannot do, nothing can, and nothing is cheaper. Then whole groups, at the places
    that the parts used and at those next to them, with the limits as they are near the parts; then as if no two discs met, and
    again near what was found. Then everything, as far as the time goes, if it may still be bettered. Whatever is found
    is counted by the forecast itself before it is believed.
    """

    def __init__(self, case: Case):
        self.case = case
        self._built: dict[str, Rows] = {}
        self._parts: dict[str, tuple] = {}
        self._bounds: dict[str, float] = {}
        self._over: set[tuple] = set()  # runs near a planting that came to their end

    def _rows(self, free: str) -> Rows:
        if free not in self._built:
            self._built[free] = Rows(self.case, free)
        return self._built[free]

    def relaxed(self, aim: dict, opened: dict, time_limit: float = 5.0) -> tuple:
        """What parts of groups can do: see `Rows.relaxed`."""
        key = _key(aim, opened)
        if key not in self._parts:
            rows = self._rows(_freed(opened))
            told = rows.relaxed(aim, opened, time_limit)
            if told[0] == "no time":  # may be asked again with more
                return told
            again = told
            for _ in range(CLOSER if aim and told[0] == "found" else 0):
                rows.sharpen(told[2])
                again = rows.relaxed(aim, opened, time_limit)
                if again[0] != "found" or again[1] <= told[1] + PROVED * abs(told[1]):
                    break
                told = again
            self._parts[key] = told if again[0] != "impossible" else again
        return self._parts[key]

    def impossible(self, open: dict) -> bool:
        """Whether not even parts of groups can do it with these wishes opened."""
        return self.relaxed({}, open)[0] == "impossible"

    def _near(self, free: str, near: np.ndarray, kept: np.ndarray) -> Rows:
        return Rows(self.case.at(kept), free, near[kept])

    def judged(self, groups: np.ndarray | None, aim: dict, opened: dict) -> Answer | None:
        """This planting as an answer, None where it asks more of a wish than is opened."""
        if groups is None or not fits(self.case, groups):
            return None
        missed = misses(self.case, groups)
        if not keeps(missed, opened):
            return None
        return Answer("gap", groups, value(self.case, groups, missed, aim), None, missed)

    def solve(
        self,
        *,
        aim: dict[str, float] | None = None,
        open: dict | None = None,
        time_limit: float = 10.0,
        gap: float = 1e-6,
        known: np.ndarray | None = None,
    ) -> Answer:
        """The least of `aim`: {"cost": 1} or weights on slacks; `open` gives the greatest slack a wish may take
        (for "serve" one number for all or an array). `known` is a planting that is there already: where it does with
        the wishes opened, the answer is no worse.

        An answer within `gap` of the least ends the search; `time_limit` in seconds is about what the questions take together.
        """
        aim, opened = aim or {"cost": 1.0}, open or {}
        best = self.judged(known, aim, opened)
        state, bound, parts, away = self.relaxed(aim, opened, time_limit)
        if state == "impossible":
            return Answer(state) if best is None else _judged(best, -np.inf)
        if state == "no time":
            return replace(_judged(best, -np.inf), ended=False) if best else Answer(state, ended=False)
        key, ended = _key(aim, opened), True
        bound = self._bounds[key] = max(bound, self._bounds.get(key, -np.inf))

        def better(other: Answer | None) -> None:
            nonlocal best, ended
            if other is None:
                return
            ended &= other.ended
            mine = self.judged(other.groups, aim, opened)
            if mine is not None and (best is None or mine.value < best.value - 1e-9):
                best = mine

        rows, nearest = self._rows(_freed(opened)), _nearest(away, self.case.places.plant)
        left, weight = time_limit, dict(TIMES)
        if len(parts) >= MANY_PLACES and best is not None:
            del weight["whole"]
        for stage in TIMES:
            if stage not in weight or _close(best, bound, gap):
                continue
            part = left * weight[stage] / sum(weight.values())
            if stage == "whole":
                for again in AGAIN:
                    whole = rows.run(aim, opened, part * again, gap)
                    bound = self._bounds[key] = max(bound, whole.bound)
                    if whole.status == "impossible" and best is None:
                        return whole
                    better(whole)
                    if not whole.found or not whole.ended or _close(best, bound, gap):
                        break
                    rows.sharpen(whole.groups)
                else:
                    ended = False  # the lines can be brought closer still
                continue
            near = {"parts": parts, "best": None if best is None else best.groups}.get(stage)
            near = np.zeros(len(parts)) if near is None else near
            kept = nearest | (near > 0)
            once = (key, np.asarray(near, dtype=float).tobytes())
            if once not in self._over:
                found = self._near(rows.free, near, kept).run(aim, opened, part, max(gap, PROVED))
                better(_everywhere(found, kept))
                left -= part
                if found.ended:
                    self._over.add(once)
            del weight[stage]
        if best is None:
            return Answer("no time", bound=bound, ended=ended)
        return replace(_judged(best, bound), ended=ended)


def _key(aim: dict, opened: dict) -> str:
    return repr((sorted(aim.items()), sorted((k, np.asarray(v).tolist()) for k, v in opened.items())))


def _freed(opened: dict) -> str:
    return next((name for name in FREED if name in opened), "")


def _nearest(away: np.ndarray, plant: np.ndarray) -> np.ndarray:
    """The places in use (0 away), those that are nearest to being used, and a few of every plant, as a mask."""
    order = np.argsort(away, kind="stable")
    kept = np.zeros(len(away), dtype=bool)
    kept[order[: int((away <= 0).sum()) + KEPT + int(KEPT_PART * len(away))]] = True
    for one in np.unique(plant):
        kept[order[plant[order] == one][:KEPT_EACH]] = True
    return kept


def _everywhere(answer: Answer, kept: np.ndarray) -> Answer:
    """An answer at the kept places as one at all places."""
    if not answer.found:
        return answer
    groups = np.zeros(len(kept), dtype=answer.groups.dtype)
    groups[kept] = answer.groups
    return replace(answer, groups=groups)


def _left(answer: Answer, bound: float) -> float:
    return max(0.0, answer.value - bound) / max(abs(answer.value), 1e-9)


def _close(answer: Answer | None, bound: float, gap: float) -> bool:
    return answer is not None and _left(answer, bound) <= max(gap, PROVED)


def _judged(answer: Answer, bound: float) -> Answer:
    """The answer with its gap against the bound that holds for all places; no gap where nothing is known."""
    left = _left(answer, bound) if np.isfinite(bound) else None
    proved = left is not None and left <= PROVED
    return replace(answer, status="proved" if proved else "gap", gap=left, bound=bound)
