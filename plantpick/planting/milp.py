"""The planting as an integer program: whole groups at places, every wish a row, solved with HiGHS (solver.py).

Every wish has a slack that is shut unless it is opened on purpose, so that the same program finds the cheapest
planting, the nearest one when the wishes can't all be met, and how far a single wish would have to give.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from plantpick.planting.caps import WholeGroups, alone_within, whole_groups
from plantpick.planting.problem import Answer, Parts, PlantingProblem, Status
from plantpick.planting.solver import Ending, Program, Stop, extremes, minimize, never
from plantpick.planting.tally import fits, keeps, misses, value

# Where the chords under 1 - exp(-u) meet it, and the lines over it touch it. Closer together they cost more time and miss
# less (at most 0.6 % of a cell).
MEETS = np.array([0.0, 0.06, 0.13, 0.22, 0.33, 0.47, 0.64, 0.86, 1.15, 1.5, 1.95, 2.6, 3.5, 5.0])
SLACKS = ("cover", "cap", "upper", "budget", "plants", "species", "share", "mix", "serve", "trim")
FINE = 1e3  # rows in shares of the surface are written so much larger: the solver keeps a row to a millionth
PROVED = 1e-4  # a gap this small counts as proved
FREED = ("cap", "upper", "plants")  # limits on which bounds rest: rows are built anew where one is opened

# Places kept beside those that the parts of groups used, for a quick first answer: so many, a part of the rest,
# and some of every plant.
KEPT, KEPT_PART, KEPT_EACH = 60, 0.05, 3
# Of the time for the whole question: near the parts of groups, as if no two discs ever met, near the best planting known,
# and everything. What came to its end before is not run again and leaves its time to the others.
TIMES = {"parts": 0.15, "apart": 0.1, "best": 0.15, "whole": 0.6}
MANY_PLACES = 300  # from here on the whole question took all its time and found nothing better (measured)


# Of the time for the whole question: the first run, and each of those after lines were brought closer.
CLOSER = 3  # times that the lines over the cover are brought closer to what parts of groups came to
AGAIN = (0.6, 0.2, 0.1, 0.1)
# Before it, lines under the smaller of two amounts are brought closer, with the best that is known as the measure: so many runs
# of parts of groups for each second, in no more than this part of the time; so many lines at once.
NARROWED, NARROWING, TOGETHER = 75, 0.5, 25
NARROWEST_SECONDS = 5.0  # for the parts of groups that say which come first
FAR = 1e-2  # a line over the cover so far above the best parts is left out of these runs
BETTER = (
    1e-6  # what comes of rows near another planting than the best is asked to cost so much less, as a part
)
CLOSEST = 1e-7  # beside what the solver keeps its rows to


@dataclass
class _Least:
    """The smaller of `whole` and what the terms `taken` add up to, in the column `least`; `full` is 1 where it is `whole`. They add up
    to no less than `low` and no more than `high`. `big` is the entry that holds `high`, `chord` the row that lies under the
    smaller one between the two, whose entries on `taken` begin at `first`."""

    taken: list[tuple[int, float]]
    whole: float
    least: int
    full: int
    low: float
    high: float
    big: int
    chord: int
    first: int
    cutoff: float = np.inf  # for which both ends were looked for last

    def off(self, columns: np.ndarray) -> float:
        """How far its column lies under the smaller one."""
        taken = sum(factor * float(columns[x]) for x, factor in self.taken)
        return min(taken, self.whole) - float(columns[self.least])

    @property
    def settled(self) -> bool:
        """Whether it is known which of the two is the smaller one."""
        return self.high <= self.whole or self.low >= self.whole


class Rows:
    """The rows and columns, with `free` the limit of FREED that is opened, on which no bound may rest.

    What the pessimistic count says of many groups is the smaller of what their discs add up to and what there is, and
    choosing between the two takes the solver long. Given a planting (`near`, groups at places), the rows take for good
    the one that is smaller there: whatever keeps these limits keeps the true ones, and the planting given does if it
    keeps the true ones.
    """

    def __init__(
        self,
        problem: PlantingProblem,
        free: str = "",
        near: np.ndarray | None = None,
        within: list[WholeGroups | None] | None = None,
    ):
        self.problem = problem
        self._within = whole_groups(problem) if within is None and free != "cap" else within
        self._near = near
        self.free = free
        self._low: list[float] = []
        self._high: list[float] = []
        self._whole: list[int] = []
        self._entries: tuple[list, list, list] = ([], [], [])
        self._rows = None
        self.leasts: list[_Least] = []
        self._over_curves: list[int] = []  # rows that are lines over the cover
        self._curves: list[tuple[list, int, int]] = []  # what bares a cell less, its bareness, its cover
        self._from: list[float] = []
        self._to: list[float] = []
        p = problem.places
        self._alone = (
            np.full(problem.each.shape, np.inf)
            if free == "cap"
            else alone_within(problem.ground, problem.limits.cap)
        )
        self._room_for = room = self._greatest_groups()
        if near is not None:
            self._held_near = self._at_home(near)
        self.x = [self._column(0, float(m), True) for m in room]
        # all groups of a plant: the bounds keep it small, and rows about what jumps short
        self.total = [self._column(0, float(m)) for m in problem.group_most]
        self.used = [self._column(0, 1) for _ in problem.fish]  # no more than 1, and 0 without a group
        self._at: dict[tuple, list[int]] = {}
        for k, (i, s, wet) in enumerate(zip(p.plant.tolist(), p.stretch.tolist(), p.wet.tolist())):
            for key in ((i, None, False), (i, s, False), *(((i, None, True), (i, s, True)) if wet else ())):
                self._at.setdefault(key, []).append(k)
        self.slack: dict[str, list[int]] = {name: [self._column(0, 0)] for name in SLACKS if name != "serve"}
        self.slack["serve"] = [self._column(0, 0) for _ in problem.serves]
        for i in range(len(problem.fish)):
            at = self._at.get((i, None, False), [])
            self._row([(self.x[k], 1.0) for k in at] + [(self.total[i], -1.0)], low=0.0, high=0.0)
            self._row([(self.total[i], 1.0), (self.used[i], -1.0)], low=0.0)
        self._one = self._column(1, 1)
        self._room()
        self._cover()
        self._caps()
        self._upper()
        self._rest()

    def _greatest_groups(self) -> np.ndarray:
        """The most groups that each place can have whatever else is planted, by room, chore, cap and number of plants."""
        problem, p = self.problem, self.problem.places
        most = np.minimum(p.most, problem.group_most[p.plant])
        most = np.minimum(most, np.floor(self._alone[p.plant, p.stretch] + 1e-9))
        if problem.limits.plants is not None and self.free != "plants":
            most = np.minimum(most, np.floor(problem.limits.plants / p.plants))
        return most

    def _most_of(self, factor: np.ndarray) -> float:
        """The most that groups with `factor` each can add up to, within room, chore, caps and number of plants."""
        problem, p, most = self.problem, self.problem.places, self._room_for
        alone = np.minimum(self._alone, problem.group_most[:, None])[p.plant, p.stretch]
        by_cap = np.zeros(len(problem.fish))
        np.maximum.at(by_cap, p.plant, factor * alone)
        greatest = float(np.minimum(by_cap, np.bincount(p.plant, factor * most, len(by_cap))).sum())
        if problem.limits.plants is None or self.free == "plants":
            return greatest
        order = np.argsort(-factor / p.plants)
        plants = (most * p.plants)[order]
        left = np.clip(problem.limits.plants - (np.cumsum(plants) - plants), 0.0, plants)
        return min(greatest, float((factor[order] * left / p.plants[order]).sum()))

    def _at_home(self, near: np.ndarray) -> np.ndarray:
        """Groups by plant and stretch, (plants, stretches); of a plant whose parts of groups pass its cap, which they can
        do between two stretches, as many as the cap allows on the one stretch that has most of them."""
        problem, p = self.problem, self.problem.places
        table = np.zeros_like(problem.each)
        np.add.at(table, (p.plant, p.stretch), near)
        over = np.flatnonzero(problem.ground.held(table) > problem.limits.cap + 1e-9)
        used = table / self._alone
        for i in over if self.free != "cap" else ():
            home = int(used[i].argmax())
            table[i] = 0.0
            table[i, home] = self._alone[i, home]
        return table

    def _column(self, low: float, high: float, whole: bool = False) -> int:
        self._low.append(low)
        self._high.append(high)
        self._whole.append(int(whole))
        return len(self._low) - 1

    def _row(self, terms, low: float = -np.inf, high: float = np.inf, scale: float = 1.0) -> None:
        row = len(self._from)
        for column, factor in terms:
            if factor:
                self._entries[0].append(row)
                self._entries[1].append(column)
                self._entries[2].append(factor * scale)
        self._from.append(low * scale)
        self._to.append(high * scale)

    def _on(self, i: int, s: int | None = None, wet_only: bool = False) -> list[int]:
        return [self.x[k] for k in self._at.get((i, s, wet_only), ())]

    def _room(self) -> None:
        p = self.problem.places
        for s, band in sorted(set(zip(p.stretch.tolist(), p.band.tolist()))):
            at = [k for k in range(len(p)) if p.stretch[k] == s and p.band[k] == band]
            self._row([(self.x[k], float(p.shore_ft[k])) for k in at], high=float(self.problem.room_ft[s]))

    def _cover(self) -> None:
        problem, p = self.problem, self.problem.places
        if problem.limits.cover <= 0:
            return
        sets = {
            (i, s): self._on(i, s, True)
            for i in np.flatnonzero(problem.fish).tolist()
            for s in range(problem.target.bare.shape[1])
        }
        total = [(self.slack["cover"][0], 1.0)]
        outer = self._near is None
        height = 1.0 - np.exp(-MEETS)
        for s in range(problem.target.bare.shape[1]):
            for c in np.flatnonzero(problem.cells.least[s] > 1e-9):
                terms = []
                for i in np.flatnonzero(problem.fish).tolist():
                    terms += [(x, float(problem.target.bare[i, s, c])) for x in sets[i, s]]
                    if problem.jumps and problem.target.bare_jumped[i, s, c] > 0:
                        terms += [
                            (x, float(problem.target.bare_jumped[i, s, c])) for x in self._on(i, None, True)
                        ]
                if not any(factor for _, factor in terms):
                    continue
                factors = np.zeros(len(p))
                np.add.at(factors, [x for x, _ in terms], [f for _, f in terms])  # columns 0.. are the places
                most = self._most_of(factors)
                bare, under = self._column(0, np.inf), self._column(0, 1.0 if outer else float(height[-1]))
                self._row([*terms, (bare, -1.0)], low=0.0, scale=FINE)
                self._curves.append((terms, bare, under))
                lines = (
                    zip(1.0 - height, MEETS, height)
                    if self._near is None
                    else _chords(float(factors @ self._near))
                )
                for slope, u, h in lines:
                    if u <= most:  # a chord that begins further on never binds
                        self._over_curves.append(len(self._from))
                        self._row(
                            [(under, 1.0), (bare, -float(slope))], high=float(h - slope * u), scale=FINE
                        )
                total.append((under, float(problem.cells.least[s, c])))
        self._row(total, low=problem.limits.cover, scale=FINE)
        # none above its share of the cover, every plant's own water counted
        own = {
            i: [(self.x[k], float(problem.each[i, p.stretch[k]])) for k in self._at.get((i, None, True), ())]
            for i in np.flatnonzero(problem.fish).tolist()
        }
        for i, terms in own.items():
            if terms and problem.limits.share < 1:
                others = [(x, -problem.limits.share * f) for j, t in own.items() for x, f in t if j != i]
                self._row(
                    [(x, (1 - problem.limits.share) * f) for x, f in terms]
                    + others
                    + [(self.slack["share"][0], -1.0)],
                    high=0.0,
                    scale=FINE,
                )

    def _caps(self) -> None:
        """Each plant's ground under the cap: per stretch the smaller of what its groups take and what there is."""
        problem, g, cap, p = self.problem, self.problem.ground, self.problem.limits.cap, self.problem.places
        limit = np.inf if self.free == "cap" else cap
        for i in range(len(problem.fish)):
            everywhere = self._at.get((i, None, False), [])
            if not everywhere or min(g.strip[i].sum(), g.room[i]) <= cap + 1e-12:
                continue
            if self.free != "cap" and self._near is None:  # as close as straight lines come: see alone_within
                self._row(
                    [(self.x[k], 1.0 / self._alone[i, p.stretch[k]]) for k in everywhere], high=1.0 + 1e-9
                )
            if self.free != "cap" and self._lines(i):
                continue
            total, taken = [(self.slack["cap"][0], -1.0)], 0.0
            stretch, most = p.stretch[everywhere], self._room_for[everywhere]
            alone = np.minimum(self._alone[i, stretch], problem.group_most[i])
            for s in range(g.own.shape[1]):
                factor = g.jumped[i, s] + np.where(stretch == s, g.own[i, s], 0.0)
                greatest = min(float((factor * alone).max()), float((factor * most).sum()))
                taken_by = [(self.total[i], float(g.jumped[i, s]))]
                taken_by += [(self.x[k], float(g.own[i, s])) for k in self._at.get((i, s, False), [])]
                near = None
                if self._near is not None:
                    near = self._held_near[i].sum() * g.jumped[i, s] + self._held_near[i, s] * g.own[i, s]
                terms, given = self._smaller(taken_by, greatest, float(g.strip[i, s]), limit, near)
                total, taken = total + terms, taken + given
            self._row(total, high=cap - taken, scale=FINE)

    def _lines(self, i: int) -> bool:
        """The lines round the whole groups of a plant that keep its cap; whether nothing else is needed to keep it."""
        within = self._within[i] if self._within is not None else None
        if within is None:
            return False
        stretch = self.problem.places.stretch
        for factor, most in zip(within.factor, within.most):
            at = self._at.get((i, None, False), [])
            self._row([(self.x[k], float(factor[stretch[k]])) for k in at], high=float(most))
        return within.exact

    def _smaller(self, taken: list, greatest: float, whole: float, limit: float, near) -> tuple[list, float]:
        """The smaller of `whole` and what the terms `taken` add up to (no more than `greatest`), as terms and a fixed amount,
        where the program presses it down and never lets it pass `limit`. With `near` a number, for good the smaller
        one where they add up to that."""
        if greatest <= 1e-12 or whole <= 0:
            return [], 0.0
        if near is not None:
            return ([], whole) if near > whole else (taken, 0.0)
        if whole > limit + 1e-9 or greatest <= whole:
            return taken, 0.0
        least, full = self._column(0, np.inf), self._column(0, 1, True)
        taken = [(column, factor) for column, factor in taken if factor]
        self._row([*taken, (least, -1.0), (full, -greatest)], high=0.0, scale=FINE)
        big = len(self._entries[0]) - 1
        self._row([(least, 1.0), (full, -whole)], low=0.0, scale=FINE)
        first, slope = len(self._entries[0]), whole / greatest
        self._row([*((x, -slope * f) for x, f in taken), (least, 1.0)], low=0.0, scale=FINE)
        self.leasts.append(
            _Least(
                taken=taken,
                whole=whole,
                least=least,
                full=full,
                low=0.0,
                high=greatest,
                big=big,
                chord=len(self._from) - 1,
                first=first,
            )
        )
        return [(least, 1.0)], 0.0

    def narrow(self, aim: dict, opened: dict, cutoff: float, number: int, stop: Stop) -> int:
        """Bring the lines under the smaller ones closer, for answers whose aim is no more than `cutoff`: parts of groups say which
        is the smaller one for good and, where none is, how little and how much each can take. Those that lie furthest off where
        parts of groups are best come first; no more than `number` runs. From now on the rows hold for such answers only. Returns
        the runs that it took."""
        runs = 0
        while runs < number and not stop():
            program, best = self._parts_only(aim, opened, stop)
            live = [m for m in self.leasts if not m.settled]
            if best is None or not live:
                break
            live.sort(key=lambda m: (-m.off(best), m.least))
            sides = np.array([m.whole * (1.0 + 2.0 * CLOSEST) + 2.0 * CLOSEST for m in live])
            runs += self._ends(program, live, cutoff, sides, number - runs, stop)
            if any(m.settled for m in live):
                continue
            some = [m for m in live if m.off(best) > CLOSEST and m.cutoff > cutoff][:TOGETHER]
            if not some or runs >= number or stop():
                break
            runs += self._ends(program, some, cutoff, None, number - runs, stop)
        return runs

    def _parts_only(self, aim: dict, opened: dict, stop: Stop) -> tuple[Program, np.ndarray | None]:
        """The program for parts of groups and its best, without the rows that choose the smaller one, which the chords stand for,
        and without the lines over the cover that lie far above the best."""
        program = self._program(aim, opened, np.zeros(len(self._low), dtype=bool))
        kept = np.ones(len(self._from), dtype=bool)
        for m in self.leasts:
            kept[m.chord - 2 : m.chord] = False
        program = program.with_rows(kept)
        best = minimize(program, limits={"time_limit": NARROWEST_SECONDS}, stop=stop).columns
        if best is None:
            return program, None
        lines = np.zeros(len(kept), dtype=bool)
        lines[self._over_curves] = True
        near = program.row_high - program.rows @ best < FAR * FINE
        return program.with_rows(near | ~lines[kept]), best

    def _ends(
        self,
        program: Program,
        some: list[_Least],
        cutoff: float,
        sides: np.ndarray | None,
        number: int,
        stop: Stop,
    ) -> int:
        sums = np.zeros((len(some), len(program.cost)))
        for k, m in enumerate(some):
            np.add.at(sums[k], [x for x, _ in m.taken], [factor for _, factor in m.taken])
        told = extremes(program, sums, cutoff, sides=sides, most_runs=number, stop=stop)
        for m, low, high in zip(some, told.low, told.high):
            self._narrowed(m, low - CLOSEST * (1.0 + abs(low)), high + CLOSEST * (1.0 + abs(high)))
            if sides is None and np.isfinite(high):
                m.cutoff = cutoff
        self._rows = None
        return told.runs

    def _narrowed(self, m: _Least, low: float, high: float) -> None:
        m.low, m.high = max(m.low, low), min(m.high, high)
        values = self._entries[2]
        values[m.big] = -FINE * m.high
        if m.high <= m.whole:
            slope, start = 1.0, 0.0
            self._high[m.full] = 0.0
        elif m.low >= m.whole:
            slope, start = 0.0, m.whole
            self._low[m.full] = 1.0
        else:
            slope = (m.whole - m.low) / (m.high - m.low)
            start = m.low - slope * m.low
        for k, (_, factor) in enumerate(m.taken):
            values[m.first + k] = -FINE * slope * factor
        self._from[m.chord] = FINE * start

    def _upper(self) -> None:
        """All plants together: in each cell of water the smaller of what they take and what there is, every cell once, the
        flat floor among them, just as `cover.covered` counts it."""
        problem, p, at = self.problem, self.problem.places, self.problem.pessimistic
        total, taken = [(self.slack["upper"][0], -1.0)], 0.0
        limit = np.inf if self.free == "upper" else problem.limits.upper
        for s, cell in np.argwhere(problem.cells.most > 1e-12):
            share = float(problem.cells.most[s, cell])
            own = np.where(p.stretch == s, at.own[p.plant, s, cell], 0.0) * share
            jumped = at.jumped[:, s, cell] * share
            factor = own + jumped[p.plant]
            taken_by = [(self.x[k], float(own[k])) for k in np.flatnonzero(own > 1e-12)]
            taken_by += [(self.total[i], float(jumped[i])) for i in np.flatnonzero(jumped > 1e-12)]
            near = None if self._near is None else float(factor @ self._near)
            greatest = self._most_of(factor) if near is None else np.inf
            terms, given = self._smaller(taken_by, greatest, share, limit, near)
            total, taken = total + terms, taken + given
        self._row(total, high=problem.limits.upper - taken, scale=FINE)

    def _rest(self) -> None:
        problem, p, limits = self.problem, self.problem.places, self.problem.limits
        if limits.budget is not None:
            self._row(
                [(x, float(c)) for x, c in zip(self.x, p.cost)] + [(self.slack["budget"][0], -1.0)],
                high=limits.budget,
            )
        if limits.plants is not None:
            self._row(
                [(x, float(c)) for x, c in zip(self.x, p.plants)] + [(self.slack["plants"][0], -1.0)],
                high=limits.plants,
            )
        if limits.trim_ft2 is not None and p.trim_ft2.any():
            self._row(
                [(x, float(c)) for x, c in zip(self.x, p.trim_ft2)] + [(self.slack["trim"][0], -1.0)],
                high=limits.trim_ft2,
            )
        if limits.mix < 1:
            size = np.zeros(len(problem.fish))
            size[p.plant] = p.plants  # a group of a plant is the same everywhere
            everything = self._column(0, np.inf)
            self._row([*((t, float(n)) for t, n in zip(self.total, size)), (everything, -1.0)], 0.0, 0.0)
            for t, n in zip(self.total, size):
                self._row([(t, float(n)), (everything, -limits.mix), (self.slack["mix"][0], -1.0)], high=0.0)
        self._row([(u, 1.0) for u in self.used] + [(self.slack["species"][0], 1.0)], low=limits.species)
        for serve, slack in zip(problem.serves, self.slack["serve"]):
            self._row([(self.x[k], 1.0) for k in np.flatnonzero(serve.at)] + [(slack, 1.0)], low=serve.number)

    def sharpen(self, groups: np.ndarray) -> None:
        """Lines that touch the curve of each cell where this planting stands on it."""
        for terms, bare, under in self._curves:
            u = sum(factor * float(groups[x]) for x, factor in terms)
            slope = float(np.exp(-u))
            if u > 0 and slope > 1e-9:
                self._over_curves.append(len(self._from))
                self._row([(under, 1.0), (bare, -slope)], high=1.0 - slope - slope * u, scale=FINE)
        self._rows = None

    def run(
        self,
        aim: dict,
        opened: dict,
        time_limit: float,
        gap: float,
        *,
        known: np.ndarray | None = None,
        below: float = np.inf,
        stop: Stop = never,
    ) -> Answer:
        """The least of `aim` with whole groups, from the planting `known` on where these rows allow it, or what is `below` an amount;
        what it comes to is counted as the forecast counts it."""
        program = self._program(aim, opened, np.array(self._whole))
        found = minimize(
            program if np.isinf(below) else program.at_most(below),
            limits=run_limits(time_limit),
            gap=gap,
            start=None if known is None else {x: float(known[k]) for k, x in enumerate(self.x)},
            stop=stop,
        )
        ended = found.ending is not Ending.CUT_SHORT
        if found.columns is None:
            status = Status.IMPOSSIBLE if found.ending is Ending.IMPOSSIBLE else Status.NO_TIME
            return Answer(status=status, bound=found.bound, ended=ended)
        groups = np.round(found.columns[self.x]).astype(int)
        missed = misses(self.problem, groups)
        return Answer(
            status=Status.GAP,
            groups=groups,
            value=value(self.problem, groups, missed, aim),
            slack=missed,
            bound=found.bound,
            ended=ended,
        )

    def relaxed(self, aim: dict, opened: dict, time_limit: float = 5.0, stop: Stop = never) -> Parts:
        """The same with parts of groups."""
        found = minimize(
            self._program(aim, opened, np.zeros(len(self._low), dtype=bool)),
            limits={"time_limit": run_limits(time_limit)["time_limit"]},
            stop=stop,
        )
        if found.columns is not None:
            groups = found.columns[self.x]
            away = np.where(groups > 1e-9, 0.0, np.abs(found.reduced[self.x]))
            return Parts(status=Status.PROVED, bound=found.value, groups=groups, away=away)
        return Parts(status=Status.IMPOSSIBLE if found.ending is Ending.IMPOSSIBLE else Status.NO_TIME)

    def _program(self, aim: dict, opened: dict, whole: np.ndarray) -> Program:
        return Program(
            cost=self._costs(aim),
            low=np.array(self._low),
            high=self._highest(opened),
            whole=whole,
            rows=self._matrix(),
            row_low=np.array(self._from),
            row_high=np.array(self._to),
        )

    def _costs(self, aim: dict) -> np.ndarray:
        p, cost = self.problem.places, np.zeros(len(self._low))
        if "cost" in aim:  # of equal costs the better sites win, by a weight too small to change the cost
            cost[self.x] = aim["cost"] * (p.cost + 1e-3 * p.plants * (1.0 - p.site))
        for name, weight in aim.items():
            if name != "cost":
                cost[self.slack[name]] = weight
        # what is reached and not what is missing is to be found to within the gap: the whole cover is taken off
        cost[self._one] = -aim.get("cover", 0.0) * self.problem.limits.cover
        return cost

    def _highest(self, opened: dict) -> np.ndarray:
        high = np.array(self._high)
        for name, most in opened.items():
            high[self.slack[name]] = most
        return high

    def _matrix(self):
        from scipy.sparse import csr_array

        if self._rows is None:
            values, places = self._entries[2], (self._entries[0], self._entries[1])
            self._rows = csr_array((values, places), shape=(len(self._from), len(self._low)))
        return self._rows


def _chords(u: float) -> Iterator[tuple[float, float, float]]:
    """Slope, start and height of chords under 1 - exp(-u) that meet it at MEETS and where it is asked for."""
    meets = np.unique(np.append(MEETS, min(u, MEETS[-1])))
    height = 1.0 - np.exp(-meets)
    return zip(np.diff(height) / np.diff(meets), meets, height)


def run_limits(seconds: float) -> dict[str, float]:
    """What ends a run of the solver before it is done, as options of HiGHS."""
    return {"time_limit": max(seconds, 0.1)}


class IntegerProgram:
    """A problem under several aims.

    Parts of groups come first: what they cannot do, nothing can, and nothing is cheaper. Then whole groups, at the places
    that the parts used and at those next to them, with the limits as they are near the parts; then as if no two discs met, and
    again near what was found. Then everything, as far as the time goes, if it may still be bettered. Whatever is found
    is counted by the forecast itself before it is believed.
    """

    def __init__(self, problem: PlantingProblem, stop: Stop = never):
        self.problem = problem
        self.stop = stop
        self._within: list[WholeGroups | None] | None = None
        self._built: dict[str, Rows] = {}
        self._parts: dict[str, Parts] = {}
        self._bounds: dict[str, float] = {}
        self._close: dict[str, Rows] = {}  # rows that hold for answers better than the best one known
        self._over: set[tuple] = set()  # runs near a planting that came to their end

    def _rows(self, free: str) -> Rows:
        if free not in self._built:
            self._built[free] = Rows(self.problem, free, within=self._whole_groups())
        return self._built[free]

    def _whole_groups(self) -> list[WholeGroups | None]:
        if self._within is None:
            self._within = whole_groups(self.problem)
        return self._within

    def relaxed(self, aim: dict, opened: dict, time_limit: float = 5.0) -> Parts:
        """What parts of groups can do."""
        key = _key(aim, opened)
        if key not in self._parts:
            rows = self._rows(_freed(opened))
            told = rows.relaxed(aim, opened, time_limit, self.stop)
            if told.status is Status.NO_TIME:  # may be asked again with more
                return told
            again = told
            for _ in range(CLOSER if aim and told.found else 0):
                rows.sharpen(told.groups)
                again = rows.relaxed(aim, opened, time_limit, self.stop)
                if not again.found or again.bound <= told.bound + PROVED * abs(told.bound):
                    break
                told = again
            self._parts[key] = told if again.status is not Status.IMPOSSIBLE else again
        return self._parts[key]

    def impossible(self, open: dict) -> bool:
        """Whether not even parts of groups can do it with these wishes opened."""
        return self.relaxed({}, open).status is Status.IMPOSSIBLE

    def _closer(
        self, key: str, aim: dict, opened: dict, cutoff: float, parts: np.ndarray, seconds: float
    ) -> tuple[Rows, float]:
        """Rows for answers no worse than the best that is known, with lines brought closer than the last time, and about the
        seconds that it took."""
        if key not in self._close:
            self._close[key] = Rows(self.problem, _freed(opened), within=self._whole_groups())
            self._close[key].sharpen(parts)
        rows = self._close[key]
        cutoff += CLOSEST * (1.0 + abs(cutoff))
        runs = rows.narrow(aim, opened, cutoff, int(NARROWED * seconds), self.stop)
        return rows, runs / NARROWED

    def _near(self, free: str, near: np.ndarray, kept: np.ndarray) -> Rows:
        return Rows(self.problem.at(kept), free, near[kept], within=self._whole_groups())

    def judged(self, groups: np.ndarray | None, aim: dict, opened: dict) -> Answer | None:
        """This planting as an answer, None where it asks more of a wish than is opened."""
        if groups is None or not fits(self.problem, groups):
            return None
        missed = misses(self.problem, groups)
        if not keeps(missed, opened):
            return None
        return Answer(
            status=Status.GAP, groups=groups, value=value(self.problem, groups, missed, aim), slack=missed
        )

    def rated(self, groups: np.ndarray, opened: dict | None = None) -> Answer:
        """This planting, which does with the wishes opened, with its gap against the least cost that is known."""
        aim, opened = {"cost": 1.0}, opened or {}
        missed = misses(self.problem, groups)
        cost = value(self.problem, groups, missed, aim)
        answer = Answer(status=Status.GAP, groups=groups, value=cost, slack=missed)
        return _judged(answer, self._bounds.get(_key(aim, opened), -np.inf))

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
        told = self.relaxed(aim, opened, time_limit)
        if told.status is Status.IMPOSSIBLE:
            return Answer(status=told.status) if best is None else _judged(best, -np.inf)
        if told.status is Status.NO_TIME:
            return (
                replace(_judged(best, -np.inf), ended=False)
                if best
                else Answer(status=told.status, ended=False)
            )
        parts = told.groups
        key, ended = _key(aim, opened), True
        bound = self._bounds[key] = max(told.bound, self._bounds.get(key, -np.inf))

        def better(other: Answer) -> None:
            nonlocal best, ended
            ended &= other.ended
            mine = self.judged(other.groups, aim, opened) if other.found else None
            if mine is not None and (best is None or mine.value < best.value - 1e-9):
                best = mine

        rows, nearest = self._rows(_freed(opened)), _nearest(told.away, self.problem.places.plant)
        left, weight = time_limit, dict(TIMES)
        if len(parts) >= MANY_PLACES and best is not None:
            del weight["whole"]
        if best is not None:
            del weight["apart"]
        for stage in TIMES:
            if stage not in weight or _close(best, bound, gap):
                continue
            if self.stop():
                ended = False
                break
            part = left * weight[stage] / sum(weight.values())
            if stage == "whole":
                if best is not None:
                    rows, spent = self._closer(key, aim, opened, best.value, parts, part * NARROWING)
                    part -= spent
                for again in AGAIN:
                    start = None if best is None else best.groups
                    top = np.inf if best is None else best.value  # the closer rows hold for less than that
                    whole = rows.run(aim, opened, part * again, gap, known=start, stop=self.stop)
                    if whole.status is Status.IMPOSSIBLE and best is not None:
                        bound = self._bounds[key] = max(bound, top)
                        break
                    bound = self._bounds[key] = max(bound, min(whole.bound, top))
                    if whole.status is Status.IMPOSSIBLE and best is None:
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
                found = self._near(rows.free, near, kept).run(
                    aim,
                    opened,
                    part,
                    max(gap, PROVED),
                    known=near[kept] if stage == "best" else None,
                    below=np.inf
                    if best is None or stage == "best"
                    else best.value - BETTER * (1.0 + abs(best.value)),
                    stop=self.stop,
                )
                better(_everywhere(found, kept))
                left -= part
                if found.ended:
                    self._over.add(once)
            del weight[stage]
        if best is None:
            return Answer(status=Status.NO_TIME, bound=bound, ended=ended)
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
    return replace(answer, status=Status.PROVED if proved else Status.GAP, gap=left, bound=bound)
