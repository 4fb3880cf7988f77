"""Solve the planting problem, or relax it: the plan nearest to wishes that can't all be met, and what would have to give."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from plantpick.planting import candidates
from plantpick.planting.greedy import WEIGHTS, greedy, standing, within_limits
from plantpick.planting.milp import IntegerProgram
from plantpick.planting.problem import Answer, PlantingProblem, Status
from plantpick.planting.solver import Stop, never
from plantpick.planting.swaps import Swaps
from plantpick.planting.tally import counts, keeps, misses, value
from plantpick.planting.tally import water as own_water

MOST = 0.1  # so far short where no cover was asked for and the most is looked for (judgement)
NEAR = (
    0.3  # the nearest planting may stay this part short of the most cover that there can be: the last of it
)
# costs most, plant by plant, and an owner who is far from the target anyway should not pay for it (judgement)
GAP = 0.02
FREE = 1e6
RELAXED = 20.0  # most seconds for the parts of groups
# The search goes in rounds, each with twice the seconds of the one before. They are the same whatever time is given, so
# that more of it only adds rounds, and each begins with the best that is there.
FIRST_ROUND = 0.25
# Of a round for the solver; meanwhile swaps (swaps.py): so many trials after greed, so many for each second of a round.
SOLVER, FIRST_TRIALS, TRIALS = 0.9, 60, 40
NEAREST_TRIALS = 120  # where not all wishes are met, swaps find more than the solver does
# What the rounds get of the time: while wishes are unmet something is left for asking which of them stands in the way.
PARTS = {"met": 0.8, "unsettled": 0.6, "impossible": 0.6}
LOOSEN = 0.4
AGAIN = 0.2  # of the time for the nearest plan, from a planting in which nothing has to give
# Of a round in which no planting is known that meets all: for one that does, for one that comes nearer, for a cheaper one.
SPLIT = (0.4, 0.35, 0.25)


@dataclass(frozen=True, kw_only=True)
class Solution:
    """What came of the search: the planting and what is known of it.

    `loosened` is what each wish alone would have to give, in shares, groups, plants or dollars: None where it alone is not
    enough, NaN where the time ended. `met` says that every wish is met; `goal` is the cover that was gone for and `most`
    the most cover that there can be within the limits and the other wishes, None where that is not known (both
    shares of the surface).
    """

    answer: Answer
    loosened: dict[str, float | None]
    met: bool
    goal: float
    most: float | None


def solve_or_relax(
    problem: PlantingProblem,
    stock,
    wishes,
    time_limit: float,
    within: float = 0.0,
    stop: Stop = never,
    begun: np.ndarray | None = None,
) -> Solution:
    """The cheapest planting that meets every wish, or the nearest one and what each wish alone would have to give.

    A planting by plain greed comes first, and nothing worse is ever answered. Worse is, in this order: further from the
    other purposes, the number of species and the shares; further from the cover gone for; dearer. The caps, the
    upper cover, the room, the number of plants and the budget are always kept. The cover gone for is what was asked for
    or, where that cannot be had, 70 % of the most that there can be. A cost no more than the part `within` over the
    least there can be ends the search, and so does `stop`, once it says so: then the best so far is the answer. `begun` is a planting of the same places to begin from, which may pass
    limits.
    """
    asked = wishes.cover is not None
    program = IntegerProgram(problem, stop)
    swaps = Swaps(problem, stop)
    best = swaps.improve(greedy(problem), FIRST_TRIALS)
    if begun is not None:
        again = swaps.improve(greedy(problem, within_limits(problem, begun)), FIRST_TRIALS)
        best = min((best, again), key=lambda groups: standing(problem, groups))
    meets = asked and _meets(problem, best)
    answer = costed(problem, best)
    impossible = False
    search = None
    for seconds in _rounds(time_limit):
        if seconds[1] > PARTS["met" if meets else "impossible" if impossible else "unsettled"] * time_limit:
            break
        if stop():
            break
        if asked and not impossible:
            part = seconds[0] * (1.0 if meets else SPLIT[0])
            found = program.solve(time_limit=SOLVER * part, gap=max(1e-6, within), known=best)
            if found.found:
                if found.gap is None or found.gap > max(GAP, within):
                    better = swaps.improve(found.groups, int(TRIALS * part))
                    found = replace(program.rated(better), ended=found.ended and swaps.ended)
                answer = found
                done = meets and found.ended and np.array_equal(best, found.groups)
                best, meets = found.groups, True
                if found.status is Status.PROVED or found.gap is not None and found.gap <= within or done:
                    break
                continue
            impossible = found.status is Status.IMPOSSIBLE
        if search is None:
            search = _Nearest(problem, asked, best, stop)
        alone = impossible or not asked
        over = search.round(seconds[0] * (1.0 if alone else 1.0 - SPLIT[0]), within)
        best = search.best
        if asked and _meets(problem, best):
            meets, answer = True, costed(problem, best)
        elif over and alone:
            break
    if meets:
        return Solution(answer=answer, loosened={}, met=True, goal=problem.limits.cover, most=None)
    impossible = impossible or asked and not stop() and program.impossible({})
    search = search or _Nearest(problem, asked, best, stop)
    answer = search.answer()
    met = not asked and _meets(search.problem, search.best, but="cover")
    if met:
        return Solution(answer=answer, loosened={}, met=True, goal=search.goal, most=search.most)
    state = "impossible" if impossible or not asked else "unsettled"
    given, whole = _loosened(program, problem, stock, wishes, LOOSEN * time_limit, search.best)
    if whole is not None and asked:
        return Solution(
            answer=costed(problem, whole), loosened={}, met=True, goal=problem.limits.cover, most=None
        )
    if whole is not None:
        answer = costed(search.problem, search.most_of(whole, AGAIN * time_limit))
        return Solution(answer=answer, loosened={}, met=True, goal=search.goal, most=search.most)
    if state == "unsettled":
        answer = replace(answer, status=Status.UNSETTLED)
    return Solution(answer=answer, loosened=given, met=False, goal=search.goal, most=search.most)


def costed(problem: PlantingProblem, groups: np.ndarray) -> Answer:
    """A planting as an answer whose least cost nobody knows."""
    missed = misses(problem, groups)
    cost = value(problem, groups, missed, {"cost": 1.0})
    return Answer(status=Status.GAP, groups=groups, value=cost, slack=missed)


def _rounds(time_limit: float):
    """Seconds of each round, and of all up to it."""
    seconds, spent = FIRST_ROUND, 0.0
    while spent < time_limit:
        spent += seconds
        yield seconds, spent
        seconds *= 2.0


def _meets(problem: PlantingProblem, groups: np.ndarray, but: str = "") -> bool:
    return keeps({name: v for name, v in misses(problem, groups).items() if name != but}, {})


class _Nearest:
    """The search for the planting that comes nearest to wishes of which not all are known to be met."""

    def __init__(self, problem: PlantingProblem, asked: bool, known: np.ndarray, stop: Stop = never):
        self.stop = stop
        self.aim = {"cover": 1.0 / max(problem.limits.cover, 1e-9), **WEIGHTS}
        self.opened = {
            "cover": problem.limits.cover,
            "species": float(problem.limits.species),
            "share": FREE,
            "mix": FREE,
            "serve": FREE,
        }
        # Parts of groups say what cover cannot be passed. They get the time that they take, so that the goal is always the same.
        least = self._least(problem, self.aim)
        if (
            least is not None and least > 0
        ):  # not all the other wishes can be met: what the limits alone allow
            least = self._least(problem, {"cover": self.aim["cover"]})
        self.most = None if least is None else min(1.0, max(0.0, -least)) * problem.limits.cover
        self.goal = problem.limits.cover
        if self.most is not None and not (asked and self.most >= self.goal):
            self.goal = self.most * (1.0 - (NEAR if asked else MOST))
        self.problem = replace(problem, limits=replace(problem.limits, cover=self.goal))
        self.aim = {"cover": 1.0 / max(self.goal, 1e-9), **WEIGHTS}
        self.opened["cover"] = self.goal
        self.program = IntegerProgram(self.problem, stop)
        self.swaps = Swaps(self.problem, stop)
        start = min((known, greedy(self.problem)), key=self._key)
        self.best = self.swaps.improve(start, FIRST_TRIALS)
        self.cheapest: Answer | None = None

    def _least(self, problem: PlantingProblem, aim: dict) -> float | None:
        parts = IntegerProgram(problem, self.stop).relaxed(aim, self.opened, RELAXED)
        return parts.bound if parts.found else None

    def _key(self, groups: np.ndarray) -> tuple[float, float]:
        return standing(self.problem, groups)

    def round(self, seconds: float, within: float) -> bool:
        """One round; True where another would find no more."""
        before, ended = self.best, True
        first, second = (part / (SPLIT[1] + SPLIT[2]) * seconds for part in SPLIT[1:])
        short = not _meets(self.problem, self.best)
        if short:
            # of the cover gone for, not of what purposes that cannot be met weigh
            gap = GAP / max(1.0, abs(self._key(self.best)[0]))
            nearer = self.program.solve(
                aim=self.aim, open=self.opened, time_limit=SOLVER * first, gap=gap, known=self.best
            )
            ended &= nearer.ended
            if nearer.found:
                self.best = min((self.best, nearer.groups), key=self._key)
        # amounts as they are now: nothing may be given up for a lower cost
        missed = misses(self.problem, self.best)
        kept = {name: missed[name] for name in ("cover", "species", "share", "mix", "serve")}
        cheaper = self.program.solve(
            open=kept,
            time_limit=SOLVER * (second if short else first + second),
            gap=max(GAP, within),
            known=self.best,
        )
        ended &= cheaper.ended
        if cheaper.found:
            self.best, self.cheapest = cheaper.groups, cheaper
        better = self.swaps.improve(self.best, int(NEAREST_TRIALS * seconds))
        if self._key(better) < self._key(self.best):
            same = self.program.judged(better, {"cost": 1.0}, kept) is not None
            self.best, self.cheapest = better, self.program.rated(better, kept) if same else None
        return ended and self.swaps.ended and np.array_equal(before, self.best)

    def most_of(self, whole: np.ndarray, seconds: float) -> np.ndarray:
        """The most cover from a planting in which no other wish has to give: none of them gives for it."""
        found = self.program.solve(
            aim={"cover": self.aim["cover"]},
            open={"cover": self.goal},
            time_limit=SOLVER * seconds,
            gap=GAP,
            known=whole,
        )
        kept = found.found and _meets(self.problem, found.groups, but="cover")
        return min((whole, found.groups), key=self._key) if kept else whole

    def answer(self) -> Answer:
        """The best that was found; its gap is that of the cost, among plantings that miss no wish by more."""
        if self.cheapest is not None and np.array_equal(self.cheapest.groups, self.best):
            return replace(self.cheapest, status=Status.GAP)
        return costed(self.problem, self.best)


def _loosened(
    program: IntegerProgram, problem: PlantingProblem, stock, wishes, time_limit: float, best: np.ndarray
) -> tuple[dict[str, float | None], np.ndarray | None]:
    """For each wish on its own: the least it has to give for all the others to be met, or None. `best` is the nearest planting. And
    a planting in which no wish has to give, where the search for one that gives came upon it."""
    limits = problem.limits
    whole: np.ndarray | None = None
    asked = wishes.cover is not None
    most = {
        "cover": limits.cover if asked else 0.0,
        "cap": 1.0 - limits.cap,
        "upper": 1.0 - limits.upper,
        "species": float(limits.species),
        "share": FREE,
        "mix": FREE,
        "serve": FREE,
    }
    if limits.budget is not None:
        most["budget"] = 1e9
    if limits.plants is not None:
        most["plants"] = 1e7
    if problem.places.trim_ft2.any():
        most["trim"] = 1e9
    free = {} if asked else {"cover": limits.cover}
    doubtful = {
        name: free | {name: top}
        for name, top in most.items()
        if top > 0 and not (name in ("share", "mix") and getattr(limits, name) >= 1)
    }
    given: dict[str, float | None] = {name: None for name in doubtful}
    doubtful = {name: opened for name, opened in doubtful.items() if not program.impossible(opened)}
    for name, opened in doubtful.items():  # those that parts of groups rule out took no time
        part = time_limit / max(2, len(doubtful))
        aim = {"cost" if name == "budget" else name: 1.0}  # the least cost is the least budget
        known = _known(program, problem, name, opened, best)
        answer = program.solve(aim=aim, open=opened, time_limit=part, gap=GAP, known=known)
        given[name] = (
            float(answer.slack[name].sum())
            if answer.found
            else None
            if answer.status is Status.IMPOSSIBLE
            else math.nan
        )
        if answer.found and _meets(problem, answer.groups, but="" if asked else "cover"):
            whole = answer.groups
            break
        if limits.budget is not None and name == "budget" and answer.found:
            given[name] = max(0.0, float(answer.groups @ problem.places.cost) - limits.budget)
        if name == "mix" and answer.found:
            given[name] = largest_mix(problem, answer.groups) - limits.mix
        if name == "share" and answer.found:
            given[name] = largest_share(problem, answer.groups) - limits.share
    if limits.cover > 0 and asked and whole is None:
        others = {
            "year": replace(wishes, year=10),
            "count": replace(wishes, count="typical"),
            "year and count": replace(wishes, year=10, count="typical"),
        }
        for name, other in others.items():
            if (
                other == wishes
                or name == "year and count"
                and (given.get("year") == 1.0 or given.get("count") == 1.0)
            ):
                continue
            later = candidates.build_problem(stock, other)
            answer = IntegerProgram(later, program.stop).solve(
                time_limit=time_limit / 6, gap=FREE, known=greedy(later)
            )
            given[name] = 1.0 if answer.found else None if answer.status is Status.IMPOSSIBLE else math.nan
    return given, whole


def _known(
    program: IntegerProgram, problem: PlantingProblem, name: str, opened: dict, best: np.ndarray
) -> np.ndarray | None:
    """A planting that does with one wish opened: the nearest one, or one by greed without that limit."""
    if program.judged(best, {"cost": 1.0}, opened) is not None:
        return best
    limits = problem.limits
    without = {
        "cap": replace(limits, cap=1.0),
        "upper": replace(limits, upper=1.0),
        "species": replace(limits, species=0),
        "share": replace(limits, share=1.0),
        "mix": replace(limits, mix=1.0),
        "budget": replace(limits, budget=None),
        "plants": replace(limits, plants=None),
        "trim": replace(limits, trim_ft2=None),
    }
    return greedy(replace(problem, limits=without[name])) if name in without else None


def largest_share(problem: PlantingProblem, groups: np.ndarray) -> float:
    own = own_water(problem, groups)
    return float(own.max() / own.sum()) if own.sum() > 0 else 0.0


def largest_mix(problem: PlantingProblem, groups: np.ndarray) -> float:
    """The largest share of all plants set that one plant has."""
    number = counts(problem, groups)
    return float(number.max() / number.sum()) if number.sum() > 0 else 0.0
