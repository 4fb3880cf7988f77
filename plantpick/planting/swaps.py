"""A planting made better by swaps: a few groups out or one in, greed fills the gap, and what does better stays.

It needs no solver, no clock and no dice: from the same planting the same comes out, after a bounded number of trials.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from plantpick.planting.greedy import Hand, fill, prices, prune, standing
from plantpick.planting.problem import PlantingProblem
from plantpick.planting.solver import Stop, never

Start = tuple[np.ndarray, np.ndarray]  # groups that stay, and a mask of the places that get no more


class Swaps:
    """Swaps in one problem. What was tried once is not tried again, however often `improve` is called."""

    def __init__(self, problem: PlantingProblem, stop: Stop = never):
        self.problem = problem
        self.stop = stop
        self.ended = False  # whether the last call came to a planting that no swap betters
        self._price = prices(problem)[0]
        self._tried: set[bytes] = set()

    def improve(self, groups: np.ndarray, trials: int) -> np.ndarray:
        """The planting, which keeps every limit, or a better one: nearer to the wishes, or as near and cheaper."""
        best = prune(self.problem, groups)
        least, way = standing(self.problem, best), 0
        while way < len(_WAYS):
            for start, closed in _WAYS[way](self.problem, best):
                tried = start.tobytes() + closed.tobytes()
                if tried in self._tried:
                    continue
                if trials <= 0 or self.stop():
                    self.ended = False
                    return best
                trials -= 1
                self._tried.add(tried)
                found = fill(self.problem, self._price, start, closed)
                now = standing(self.problem, found)
                if now < least:
                    best, least, way = found, now, 0
                    break
            else:
                way += 1
        self.ended = True
        return best


def _one_out(problem: PlantingProblem, groups: np.ndarray) -> Iterator[Start]:
    for k in _used(problem, groups):
        left = groups.copy()
        left[k] -= 1
        yield left, np.arange(len(groups)) == k


def _place_out(problem: PlantingProblem, groups: np.ndarray) -> Iterator[Start]:
    for k in _used(problem, groups):
        here = np.arange(len(groups)) == k
        yield np.where(here, 0, groups), here


def _plant_out(problem: PlantingProblem, groups: np.ndarray) -> Iterator[Start]:
    plant = problem.places.plant
    for i in np.unique(plant[groups > 0]):
        yield np.where(plant == i, 0, groups), plant == i


def _one_in(problem: PlantingProblem, groups: np.ndarray) -> Iterator[Start]:
    """One group more, where it gives most cover for its price first; what it makes needless is pruned."""
    hand = Hand(problem, groups)
    gain, allowed = hand.gains() / problem.places.cost, hand.allowed()
    for k in np.argsort(-gain, kind="stable").tolist():
        if allowed[k]:
            more = groups.copy()
            more[k] += 1
            yield more, np.zeros(len(groups), dtype=bool)


def _two_out(problem: PlantingProblem, groups: np.ndarray) -> Iterator[Start]:
    for k, m in combinations(_used(problem, groups), 2):
        left = groups.copy()
        left[[k, m]] -= 1
        yield left, np.isin(np.arange(len(groups)), (k, m))


_WAYS = (_one_out, _place_out, _plant_out, _one_in, _two_out)


def _used(problem: PlantingProblem, groups: np.ndarray) -> list[int]:
    """The places in use, those with the most expensive groups first."""
    return sorted(np.flatnonzero(groups).tolist(), key=lambda k: (-problem.places.cost[k], k))
