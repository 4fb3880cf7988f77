"""The rows and columns of the integer programme for one planting problem, and its runs through scipy's HiGHS."""

from __future__ import annotations

import numpy as np

from plantpick.planting.coverage import Ground
from plantpick.planting.problem import Answer, Case
from plantpick.planting.quiet_solver import hushed
from plantpick.planting.tally import misses, value

# Where the chords under 1 - exp(-u) meet it, and the lines over it touch it. Closer together they cost more time and miss
# less (at most 0.6 % of a cell).
MEETS = np.array([0.0, 0.06, 0.13, 0.22, 0.33, 0.47, 0.64, 0.86, 1.15, 1.5, 1.95, 2.6, 3.5, 5.0])
SLACKS = ("cover", "cap", "upper", "budget", "plants", "species", "share", "serve", "trim")
FINE = 1e3  # rows in shares of the surface are written so much larger: the solver keeps a row to a millionth
PROVED = 1e-4  # a gap this small counts as proved
FREED = ("cap", "upper", "plants")  # limits on which bounds rest: rows are built anew where one is opened


class Rows:
    """The rows and columns, with `free` the limit of FREED that is opened, on which no bound may rest.

    What the pessimistic count says of many groups is the smaller of what their discs add up to and what there is, and
    choosing between the two costs the solver dear. Given a planting (`near`, groups at places), the rows take for good
    the one that is smaller there: whatever keeps these limits keeps the true ones, and the planting given does if it
    keeps the true ones.
    """

    def __init__(self, case: Case, free: str = "", near: np.ndarray | None = None):
        self.case = case
        self._near = near
        self.free = free
        self._low: list[float] = []
        self._high: list[float] = []
        self._whole: list[int] = []
        self._entries: tuple[list, list, list] = ([], [], [])
        self._rows = None
        self._curves: list[tuple[list, int, int]] = []  # what bares a cell less, its bareness, its cover
        self._from: list[float] = []
        self._to: list[float] = []
        p = case.places
        self._alone = (
            np.full(case.each.shape, np.inf) if free == "cap" else alone_within(case.ground, case.limits.cap)
        )
        self._room_for = room = self._greatest_groups()
        if near is not None:
            self._held_near = self._at_home(near)
        self.x = [self._column(0, float(m), True) for m in room]
        # all groups of a plant: the bounds keep it small, and rows about what jumps short
        self.total = [self._column(0, float(m)) for m in case.group_most]
        self.used = [self._column(0, 1) for _ in case.fish]  # 1 at the most, and 0 without a group
        self._at: dict[tuple, list[int]] = {}
        for k, (i, s, wet) in enumerate(zip(p.plant.tolist(), p.stretch.tolist(), p.wet.tolist())):
            for key in ((i, None, False), (i, s, False), *(((i, None, True), (i, s, True)) if wet else ())):
                self._at.setdefault(key, []).append(k)
        self.slack: dict[str, list[int]] = {name: [self._column(0, 0)] for name in SLACKS if name != "serve"}
        self.slack["serve"] = [self._column(0, 0) for _ in case.serves]
        for i in range(len(case.fish)):
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
        case, p = self.case, self.case.places
        most = np.minimum(p.most, case.group_most[p.plant])
        most = np.minimum(most, np.floor(self._alone[p.plant, p.stretch] + 1e-9))
        if case.limits.plants is not None and self.free != "plants":
            most = np.minimum(most, np.floor(case.limits.plants / p.plants))
        return most

    def _most_of(self, factor: np.ndarray) -> float:
        """The most that groups with `factor` each can add up to, within room, chore, caps and number of plants."""
        case, p, most = self.case, self.case.places, self._room_for
        alone = np.minimum(self._alone, case.group_most[:, None])[p.plant, p.stretch]
        by_cap = np.zeros(len(case.fish))
        np.maximum.at(by_cap, p.plant, factor * alone)
        greatest = float(np.minimum(by_cap, np.bincount(p.plant, factor * most, len(by_cap))).sum())
        if case.limits.plants is None or self.free == "plants":
            return greatest
        order = np.argsort(-factor / p.plants)
        plants = (most * p.plants)[order]
        left = np.clip(case.limits.plants - (np.cumsum(plants) - plants), 0.0, plants)
        return min(greatest, float((factor[order] * left / p.plants[order]).sum()))

    def _at_home(self, near: np.ndarray) -> np.ndarray:
        """Groups by plant and stretch, (plants, stretches); of a plant whose parts of groups pass its cap, which they can
        do between two stretches, as many as the cap allows on the one stretch that has most of them."""
        case, p = self.case, self.case.places
        table = np.zeros_like(case.each)
        np.add.at(table, (p.plant, p.stretch), near)
        over = np.flatnonzero(case.ground.held(table) > case.limits.cap + 1e-9)
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
        p = self.case.places
        for s, band in sorted(set(zip(p.stretch.tolist(), p.band.tolist()))):
            at = [k for k in range(len(p)) if p.stretch[k] == s and p.band[k] == band]
            self._row([(self.x[k], float(p.shore_ft[k])) for k in at], high=float(self.case.room_ft[s]))

    def _cover(self) -> None:
        case, p = self.case, self.case.places
        if case.limits.cover <= 0:
            return
        sets = {
            (i, s): self._on(i, s, True)
            for i in np.flatnonzero(case.fish)
            for s in range(case.counted.bare.shape[1])
        }
        total = [(self.slack["cover"][0], 1.0)]
        outer = self._near is None
        height = 1.0 - np.exp(-MEETS)
        rise = np.diff(height) / np.diff(MEETS)
        for s in range(case.counted.bare.shape[1]):
            for c in np.flatnonzero(case.cells.least[s] > 1e-9):
                terms = []
                for i in np.flatnonzero(case.fish):
                    terms += [(x, float(case.counted.bare[i, s, c])) for x in sets[i, s]]
                    if case.jumps and case.counted.bare_jumped[i, s, c] > 0:
                        terms += [
                            (x, float(case.counted.bare_jumped[i, s, c])) for x in self._on(i, None, True)
                        ]
                if not any(factor for _, factor in terms):
                    continue
                factors = np.zeros(len(p))
                np.add.at(factors, [x for x, _ in terms], [f for _, f in terms])  # columns 0.. are the places
                most = self._most_of(factors)
                bare, under = self._column(0, np.inf), self._column(0, 1.0 if outer else float(height[-1]))
                self._row([*terms, (bare, -1.0)], low=0.0, scale=FINE)
                self._curves.append((terms, bare, under))
                lines = zip(1.0 - height, MEETS, height) if outer else zip(rise, MEETS, height)
                for slope, u, h in lines:
                    if u <= most:  # a chord that begins further on never binds
                        self._row(
                            [(under, 1.0), (bare, -float(slope))], high=float(h - slope * u), scale=FINE
                        )
                total.append((under, float(case.cells.least[s, c])))
        self._row(total, low=case.limits.cover, scale=FINE)
        # none above its share of the cover, every plant's own water counted
        own = {
            i: [(self.x[k], float(case.each[i, p.stretch[k]])) for k in self._at.get((i, None, True), ())]
            for i in np.flatnonzero(case.fish)
        }
        for i, terms in own.items():
            if terms and case.limits.share < 1:
                others = [(x, -case.limits.share * f) for j, t in own.items() for x, f in t if j != i]
                self._row(
                    [(x, (1 - case.limits.share) * f) for x, f in terms]
                    + others
                    + [(self.slack["share"][0], -1.0)],
                    high=0.0,
                    scale=FINE,
                )

    def _caps(self) -> None:
        """Each plant's ground under the cap: per stretch the smaller of what its groups take and what there is."""
        case, g, cap, p = self.case, self.case.ground, self.case.limits.cap, self.case.places
        limit = np.inf if self.free == "cap" else cap
        for i in range(len(case.fish)):
            everywhere = self._at.get((i, None, False), [])
            if not everywhere or min(g.strip[i].sum(), g.room[i]) <= cap + 1e-12:
                continue
            if self.free != "cap" and self._near is None:  # as close as straight lines come: see alone_within
                self._row(
                    [(self.x[k], 1.0 / self._alone[i, p.stretch[k]]) for k in everywhere], high=1.0 + 1e-9
                )
            total, taken = [(self.slack["cap"][0], -1.0)], 0.0
            stretch, most = p.stretch[everywhere], self._room_for[everywhere]
            alone = np.minimum(self._alone[i, stretch], case.group_most[i])
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

    def _smaller(self, taken: list, greatest: float, whole: float, limit: float, near) -> tuple[list, float]:
        """The smaller of `whole` and what the terms `taken` add up to, `greatest` at the most, as terms and a fixed amount,
        where the programme presses it down and never lets it pass `limit`. With `near` a number, for good the smaller
        one where they add up to that."""
        if greatest <= 1e-12 or whole <= 0:
            return [], 0.0
        if near is not None:
            return ([], whole) if near > whole else (taken, 0.0)
        if whole > limit + 1e-9 or greatest <= whole:
            return taken, 0.0
        least, full = self._column(0, np.inf), self._column(0, 1, True)
        self._row([*taken, (least, -1.0), (full, -greatest)], high=0.0, scale=FINE)
        self._row([(least, 1.0), (full, -whole)], low=0.0, scale=FINE)
        return [(least, 1.0)], 0.0

    def _upper(self) -> None:
        """All plants together: in each cell of water the smaller of what they take and what there is, every cell once, the
        flat floor among them, just as `cover.covered` counts it."""
        case, p, at = self.case, self.case.places, self.case.feared
        total, taken = [(self.slack["upper"][0], -1.0)], 0.0
        limit = np.inf if self.free == "upper" else case.limits.upper
        for s, cell in np.argwhere(case.cells.most > 1e-12):
            share = float(case.cells.most[s, cell])
            own = np.where(p.stretch == s, at.own[p.plant, s, cell], 0.0) * share
            jumped = at.jumped[:, s, cell] * share
            factor = own + jumped[p.plant]
            taken_by = [(self.x[k], float(own[k])) for k in np.flatnonzero(own > 1e-12)]
            taken_by += [(self.total[i], float(jumped[i])) for i in np.flatnonzero(jumped > 1e-12)]
            near = None if self._near is None else float(factor @ self._near)
            greatest = self._most_of(factor) if near is None else np.inf
            terms, given = self._smaller(taken_by, greatest, share, limit, near)
            total, taken = total + terms, taken + given
        self._row(total, high=case.limits.upper - taken, scale=FINE)

    def _rest(self) -> None:
        case, p, limits = self.case, self.case.places, self.case.limits
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
        self._row([(u, 1.0) for u in self.used] + [(self.slack["species"][0], 1.0)], low=limits.species)
        for serve, slack in zip(case.serves, self.slack["serve"]):
            self._row([(self.x[k], 1.0) for k in np.flatnonzero(serve.at)] + [(slack, 1.0)], low=serve.number)

    def sharpen(self, groups: np.ndarray) -> None:
        """Lines that touch the curve of each cell where this planting stands on it."""
        for terms, bare, under in self._curves:
            u = sum(factor * float(groups[x]) for x, factor in terms)
            slope = float(np.exp(-u))
            if u > 0 and slope > 1e-9:
                self._row([(under, 1.0), (bare, -slope)], high=1.0 - slope - slope * u, scale=FINE)
        self._rows = None

    def run(self, aim: dict, opened: dict, time_limit: float, gap: float) -> Answer:
        """The least of `aim` with whole groups; what it comes to is counted as the forecast counts it."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        cost, low, high = self._costs(aim), np.array(self._low), self._highest(opened)
        rows = LinearConstraint(self._matrix(), np.array(self._from), np.array(self._to))
        with hushed():
            done = milp(
                cost,
                integrality=np.array(self._whole),
                bounds=Bounds(low, high),
                constraints=rows,
                options={"time_limit": max(time_limit, 0.1), "mip_rel_gap": gap},
            )
        bound = getattr(done, "mip_dual_bound", None)
        bound = -np.inf if bound is None else float(bound)
        ended = done.status not in (1, 4)
        if done.x is None:
            return Answer("impossible" if done.status == 2 else "no time", bound=bound, ended=ended)
        groups = np.round(done.x[self.x]).astype(int)
        missed = misses(self.case, groups)
        return Answer("gap", groups, value(self.case, groups, missed, aim), None, missed, bound, ended)

    def relaxed(self, aim: dict, opened: dict, time_limit: float = 5.0) -> tuple:
        """The same with parts of groups: "found", "impossible" or "no time"; a value that no answer can go below; the parts;
        and how far each place is from being used (0: it is; the more the aim would lose by a group there, the further)."""
        from scipy.optimize import linprog
        from scipy.sparse import vstack

        rows, low, high = self._matrix(), np.array(self._from), np.array(self._to)
        above, below = np.isfinite(high), np.isfinite(low)
        with hushed():
            done = linprog(
                self._costs(aim),
                A_ub=vstack([rows[above], -rows[below]]),
                b_ub=np.concatenate([high[above], -low[below]]),
                bounds=np.column_stack([self._low, self._highest(opened)]),
                options={"time_limit": max(time_limit, 0.1)},
            )
        if done.status == 0:
            groups = done.x[self.x]
            away = np.where(groups > 1e-9, 0.0, np.abs(done.lower.marginals[self.x]))
            return "found", float(done.fun), groups, away
        nothing = np.zeros(len(self.x))
        return "impossible" if done.status == 2 else "no time", -np.inf, nothing, nothing

    def _costs(self, aim: dict) -> np.ndarray:
        p, cost = self.case.places, np.zeros(len(self._low))
        if "cost" in aim:  # of equal costs the better sites win, by a weight too small to change the cost
            cost[self.x] = aim["cost"] * (p.cost + 1e-3 * p.plants * (1.0 - p.site))
        for name, weight in aim.items():
            if name != "cost":
                cost[self.slack[name]] = weight
        # what is reached and not what is missing is to be found to within the gap: the whole cover is taken off
        cost[self._one] = -aim.get("cover", 0.0) * self.case.limits.cover
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


def alone_within(ground: Ground, cap: float) -> np.ndarray:
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
