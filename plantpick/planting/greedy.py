"""A planting by plain greed: group after group, whatever does most for its price, within every limit.

It needs no solver and no clock, so that it is there before either is asked; no plan is ever worse.
"""

from __future__ import annotations

import numpy as np

from plantpick.planting.problem import PlantingProblem
from plantpick.planting.tally import (
    CLOSE,
    counts,
    fits,
    keeps,
    misses,
    reached,
    room_left,
    table_of,
    value,
    water,
)

WISHES = {
    "cover": np.inf,
    "species": np.inf,
    "share": np.inf,
    "mix": np.inf,
    "serve": np.inf,
}  # may be missed; limits may not
# How much a wish that can't be met weighs against the cover (the whole target counts 1), so that the others come first.
WEIGHTS = {"serve": 10.0, "species": 10.0, "share": 100.0, "mix": 1.0}
TOGETHER = 40  # one group at a time up to so many, then a part of what stands already
STEPS = 2000


class Hand:
    """A planting in the making, and what one group more at each place would come to."""

    def __init__(
        self, problem: PlantingProblem, groups: np.ndarray | None = None, closed: np.ndarray | None = None
    ):
        self.problem = problem
        self.open = np.ones(len(problem.places), dtype=bool) if closed is None else ~closed
        self.groups = (
            np.zeros(len(problem.places), dtype=int) if groups is None else groups.astype(int).copy()
        )

    def _after(self, share: np.ndarray, now: np.ndarray, own, jumped, under) -> np.ndarray:
        """A sum over cells (`share` each) of `under(now + one group more)`, for a group of each plant on each stretch."""
        cells = (under(now[None] + jumped) * share[None]).sum(axis=2)  # all stretches but its own
        home = (under(now[None] + jumped + own) * share[None]).sum(axis=2)
        return cells.sum(axis=1, keepdims=True) - cells + home

    def allowed(self) -> np.ndarray:
        """The places where one group more keeps every limit."""
        problem, p, g, limits = self.problem, self.problem.places, self.groups, self.problem.limits
        table = table_of(problem, g)
        ok = self.open & (g < p.most) & (table.sum(axis=1) < problem.group_most)[p.plant]
        ok &= room_left(problem, g) >= p.shore_ft - CLOSE
        for limit, each in (
            (limits.budget, p.cost),
            (limits.plants, p.plants),
            (limits.trim_ft2, p.trim_ft2),
        ):
            if limit is not None:
                ok &= (g @ each + each <= limit + CLOSE) | (each <= 0)
        ground = problem.ground
        taken = table * ground.own + table.sum(axis=1, keepdims=True) * ground.jumped + ground.jumped
        held = np.minimum(taken, ground.strip)
        home = np.minimum(taken + ground.own, ground.strip)
        after = np.minimum(held.sum(axis=1, keepdims=True) - held + home, ground.room[:, None])
        ok &= after[p.plant, p.stretch] <= limits.cap + CLOSE
        return ok & (self.pessimistic()[p.plant, p.stretch] <= limits.upper + CLOSE)

    def pessimistic(self) -> np.ndarray:
        """Water under all plants by the pessimistic count with one group more, (plants, stretches)."""
        problem, table = self.problem, table_of(self.problem, self.groups)
        now = np.einsum("is,isc->sc", table, problem.pessimistic.own)
        now += np.einsum("i,isc->sc", table.sum(axis=1), problem.pessimistic.jumped)
        return self._after(
            problem.cells.most,
            now,
            problem.pessimistic.own,
            problem.pessimistic.jumped,
            lambda t: np.minimum(t, 1.0),
        )

    def gains(self) -> np.ndarray:
        """How much more cover one group more gives at each place."""
        problem, p = self.problem, self.problem.places
        table = table_of(problem, self.groups, True) * problem.fish[:, None]
        now = np.einsum("is,isc->sc", table, problem.target.bare)
        jumped = problem.target.bare_jumped if problem.jumps else np.zeros((1, 1, 1))
        if problem.jumps:
            now += np.einsum("i,isc->sc", table.sum(axis=1), jumped)
        after = self._after(problem.cells.least, now, problem.target.bare, jumped, lambda u: 1.0 - np.exp(-u))
        more = after - float(((1.0 - np.exp(-now)) * problem.cells.least).sum())
        return np.where(p.wet & problem.fish[p.plant], more[p.plant, p.stretch], 0.0)

    def shares(self) -> tuple[float, np.ndarray]:
        """The largest share of the cover that one plant has, and what it would be with one group more at each place."""
        problem, p = self.problem, self.problem.places
        own = water(problem, self.groups)
        more = np.where(p.wet & problem.fish[p.plant], problem.each[p.plant, p.stretch], 0.0)
        best = np.argsort(own)[::-1][:2]
        first = own[best[0]] if len(best) else 0.0
        second = own[best[1]] if len(best) > 1 else 0.0
        others = np.where(p.plant == best[0], second, first) if len(best) else np.zeros(len(p))
        total = own.sum() + more
        after = np.divide(
            np.maximum(others, own[p.plant] + more), total, out=np.ones(len(p)), where=total > 0
        )
        return (float(first / own.sum()) if own.sum() > 0 else 1.0), after

    def mixes(self) -> tuple[float, np.ndarray]:
        """The largest share of all plants set that one plant has, and what it would be with one group more at each place."""
        p, number = self.problem.places, counts(self.problem, self.groups).astype(float)
        best = np.argsort(number)[::-1][:2]
        first = number[best[0]] if len(best) else 0.0
        second = number[best[1]] if len(best) > 1 else 0.0
        others = np.where(p.plant == best[0], second, first) if len(best) else np.zeros(len(p))
        total = number.sum() + p.plants
        after = np.maximum(others, number[p.plant] + p.plants) / np.maximum(total, 1e-9)
        return (float(first / number.sum()) if number.sum() > 0 else 1.0), after

    def add(self, k: int, number: int = 1) -> None:
        self.groups[k] += number


def _best(score: np.ndarray, at: np.ndarray) -> int | None:
    """The place of the mask `at` with the highest score, the first of equals."""
    if not at.any():
        return None
    return int(np.where(at, score, -np.inf).argmax())


def greedy(problem: PlantingProblem, start: np.ndarray | None = None) -> np.ndarray:
    """Groups at places within every limit, and the wishes met as far as this way goes: of a few kinds of greed the best.

    With `start`, a planting that keeps the limits, from there on.
    """
    return min(
        (fill(problem, price, start) for price in prices(problem)),
        key=lambda groups: standing(problem, groups),
    )


def within_limits(problem: PlantingProblem, groups: np.ndarray) -> np.ndarray:
    """The planting with groups taken away until it keeps every limit: of the plant that holds most over its own limit, else of the
    place that has most of them."""
    p = problem.places
    groups = np.minimum(groups, np.floor(p.most)).astype(int)
    while groups.any() and not (fits(problem, groups) and keeps(misses(problem, groups), WISHES)):
        held = problem.ground.held(table_of(problem, groups))
        over = held.max() > problem.limits.cap + CLOSE
        some = np.where(p.plant == held.argmax(), groups, 0) if over else groups
        groups[int(some.argmax())] -= 1
    return groups


def standing(problem: PlantingProblem, groups: np.ndarray) -> tuple[float, float]:
    """How far a planting is from its wishes, the cover last, and its cost: less is better."""
    aim = {"cover": 1.0 / max(problem.limits.cover, 1e-9), **WEIGHTS}
    missed = misses(problem, groups)
    return round(value(problem, groups, missed, aim), 9), float(groups @ problem.places.cost)


def prices(problem: PlantingProblem) -> list[np.ndarray]:
    """What a group costs, by several measures: dollars, plants, and what it may come to take."""
    p = problem.places
    pessimistic = (problem.pessimistic.own[p.plant, p.stretch] * problem.cells.most[p.stretch]).sum(axis=1)
    pessimistic = (
        pessimistic + (problem.pessimistic.jumped * problem.cells.most[None]).sum(axis=(1, 2))[p.plant]
    )
    taken = problem.ground.own[p.plant, p.stretch] + problem.ground.jumped.sum(axis=1)[p.plant]
    each = [
        p.cost,
        p.plants,
        pessimistic + 1e-2 * pessimistic.max(initial=0.0),
        taken + 1e-2 * taken.max(initial=0.0),
    ]
    return [np.maximum(price, 1e-9) for price in each]


def fill(
    problem: PlantingProblem, price: np.ndarray, start: np.ndarray | None, closed: np.ndarray | None = None
) -> np.ndarray:
    """A planting by one kind of greed, from `start` on; places of the mask `closed` get no more groups."""
    hand = Hand(problem, start, closed)
    p, limits = problem.places, problem.limits

    def lacking() -> np.ndarray:
        """How many of the other purposes that are still short a group at each place would serve."""
        helps = np.zeros(len(p))
        for serve in problem.serves:
            if hand.groups[serve.at].sum() < serve.number:
                helps += serve.at
        return helps

    for _ in range(STEPS):  # the other purposes
        helps = lacking()
        k = _best(helps / price * (1.0 + 1e-6 * p.site), hand.allowed() & (helps > 0))
        if k is None:
            break
        hand.add(k)
    for _ in range(STEPS):  # the number of plants
        used = table_of(problem, hand.groups).sum(axis=1) > 0
        if used.sum() >= limits.species:
            break
        gain = hand.gains() if limits.cover > 0 else np.zeros(len(p))
        score = (gain + 1e-6) / price
        k = _best(score, hand.allowed() & ~used[p.plant])
        if k is None:
            break
        hand.add(k)
    for _ in range(STEPS):  # the cover
        have = reached(problem, hand.groups)
        if limits.cover <= 0 or have >= limits.cover:
            break
        gain = hand.gains()
        share, after = hand.shares()
        mix, mixed = hand.mixes()
        ok = hand.allowed() & (gain > 1e-12) & (after <= max(limits.share, share - CLOSE))
        ok &= mixed <= max(limits.mix, mix) + CLOSE
        k = _best(np.minimum(gain, limits.cover - have) / price, ok)
        if k is None:
            break
        hand.add(
            k,
            _together(hand, k, limits.cover - have, gain[k], max(limits.share, share), max(limits.mix, mix)),
        )
    for _ in range(STEPS):  # no plant above its share
        share, after = hand.shares()
        if limits.cover <= 0 or share <= limits.share + CLOSE or not water(problem, hand.groups).any():
            break
        k = _best((share - after) / price, hand.allowed() & (after < share - 1e-6))
        if k is None:
            break
        hand.add(k)
    for _ in range(STEPS):  # and none above its share of the plants
        mix, mixed = hand.mixes()
        if mix <= limits.mix + CLOSE or not hand.groups.any():
            break
        allowed = hand.allowed()
        if limits.cover > 0:
            share, after = hand.shares()
            allowed &= after <= max(limits.share, share) + CLOSE
        k = _best((mix - mixed) / price, allowed & (mixed < mix - 1e-9))
        if k is None:
            break
        hand.add(k)
    return prune(problem, hand.groups)


def _together(hand: Hand, k: int, lacks: float, gain: float, share: float, mix: float) -> int:
    """How many groups to set at once at one place: one, or with many standing already so many as keep all limits."""
    number = min(int(hand.groups.sum()) // TOGETHER, int(lacks / max(gain, 1e-12)))
    while number > 1:
        groups = hand.groups.copy()
        groups[k] += number
        own, each = water(hand.problem, groups), counts(hand.problem, groups)
        if (
            fits(hand.problem, groups)
            and keeps(misses(hand.problem, groups), WISHES)
            and own.max() <= share * own.sum() + CLOSE
            and each.max() <= mix * each.sum() + CLOSE
        ):
            return number
        number //= 2
    return 1


def prune(problem: PlantingProblem, groups: np.ndarray) -> np.ndarray:
    """The same without the groups that no wish needs; the group that costs most is tried first."""
    groups = groups.copy()
    now = misses(problem, groups)
    for k in sorted(np.flatnonzero(groups), key=lambda k: (-problem.places.cost[k], k)):
        number = int(groups[k])
        while number:
            fewer = groups.copy()
            fewer[k] -= number
            missed = misses(problem, fewer)
            if all((missed[name] <= now[name] + CLOSE).all() for name in now):
                groups, now = fewer, missed
                number = min(number, int(groups[k]))
            else:
                number //= 2
    return groups
