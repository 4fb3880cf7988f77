"""The planting as an integer programme: whole groups at places, every wish a row, solved with HiGHS through scipy.

Every wish has a slack that is shut unless it is opened on purpose, so that the same programme finds the cheapest
planting, the nearest one when the wishes cannot all be met, and how far a single wish would have to give.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from plantpick.cover import PESSIMISTIC, Cells, Chances, Ground, covered
from plantpick.words import BANDS

# Where the chords under 1 - exp(-u) meet it. Closer together they cost more time and miss less (at most 0.6 % of a cell).
MEETS = np.array([0.0, 0.06, 0.13, 0.22, 0.33, 0.47, 0.64, 0.86, 1.15, 1.5, 1.95, 2.6, 3.5, 5.0])
SLACKS = ("cover", "cap", "upper", "budget", "plants", "species", "share", "serve", "trim")


@dataclass(frozen=True)
class Places:
    """Where groups may be set, one entry a place: `plant` and `stretch` are positions, `band` names the band.

    `wet` is True where the group stands in water at full pool; `most` groups fit there; each takes `shore_ft` of the
    stretch, `plants` plants and `cost` dollars; `site` is the site index, `trim_ft2` the yearly cutting.
    """

    plant: np.ndarray
    stretch: np.ndarray
    band: np.ndarray
    depth_in: np.ndarray
    wet: np.ndarray
    most: np.ndarray
    shore_ft: np.ndarray
    plants: np.ndarray
    cost: np.ndarray
    site: np.ndarray
    trim_ft2: np.ndarray

    def __len__(self) -> int:
        return len(self.plant)


@dataclass(frozen=True)
class Serve:
    """A wish that at least `number` groups stand at some of the places (`at`, a boolean mask)."""

    what: str
    at: np.ndarray
    number: int


@dataclass(frozen=True)
class Limits:
    """The numbers that the planting has to keep to. Shares run from 0 to 1; None is no limit."""

    cover: float
    cap: float
    upper: float
    species: int = 1
    share: float = 1.0
    budget: float | None = None
    plants: float | None = None
    trim_ft2: float | None = None


@dataclass(frozen=True)
class Case:
    """All that the programme needs, in arrays; shares are of the pond's surface.

    `counted` is the forecast that has to reach the cover, `jumps` whether its jumped colonies count; `feared` the
    high one over ten years, `ground` the same with the bank. `each` (plants, stretches) is the water that one group
    covers by the forecast that counts. `room_ft` (stretches,) is the shore that may be planted. `fish` marks the
    plants that count as cover. `group_most` (plants,) is the most groups of one plant.
    """

    places: Places
    cells: Cells
    counted: Chances
    feared: Chances
    ground: Ground
    each: np.ndarray
    room_ft: np.ndarray
    fish: np.ndarray
    group_most: np.ndarray
    serves: tuple[Serve, ...]
    limits: Limits
    jumps: bool = False


@dataclass(frozen=True)
class Answer:
    """Groups at each place; `gap` is how far the cost may be from the least (0: proved), None without an answer.

    `status` is "proved", "gap", "impossible" or "no time"; `slack` what each opened wish had to give; `bound` a value
    that no answer can go below.
    """

    status: str
    groups: np.ndarray | None = None
    value: float = np.nan
    gap: float | None = None
    slack: dict[str, np.ndarray] = field(default_factory=dict)
    bound: float = -np.inf

    @property
    def found(self) -> bool:
        return self.groups is not None


class Programme:
    """A case under several aims.

    What the pessimistic count says of many groups is the smaller of what their discs add up to and what there is: a
    choice that costs the solver dear. So each question is put first with the discs just added up ("plain": whatever
    it finds keeps every limit), then without the upper cover ("bare": what it cannot do, nothing can), and exactly
    ("whole") only where the two leave a doubt.
    """

    def __init__(self, case: Case):
        self.case = case
        self._built: dict[tuple[str, str], _Rows] = {}

    def _rows(self, mode: str, free: str) -> _Rows:
        key = (mode, free if free in ("cap", "plants") else "")
        if key not in self._built:
            self._built[key] = _Rows(self.case, mode, key[1])
        return self._built[key]

    def solve(
        self,
        *,
        aim: dict[str, float] | None = None,
        open: dict | None = None,
        time_limit: float = 10.0,
        gap: float = 1e-6,
        exact: bool = True,
    ) -> Answer:
        """The least of `aim`: {"cost": 1} or weights on slacks; `open` gives the greatest slack a wish may take
        (for "serve" one number for all or an array).

        `exact` False takes what the plain question finds without asking whether the exact one would find better.
        `time_limit` in seconds is for the three questions together.
        """
        aim, opened = aim or {"cost": 1.0}, open or {}
        free = next((name for name in ("cap", "plants") if name in opened), "")
        plain = self._rows("plain", free).run(aim, opened, time_limit * (0.45 if exact else 0.7), gap)
        if plain.found and not exact:
            return plain
        bare = self._rows("bare", free).run(aim, opened, time_limit * (0.25 if exact else 0.3), gap)
        if bare.status == "impossible" or bare.found and self.keeps_upper(bare.groups, bare.slack):
            return bare
        if not plain.found and not exact:
            return Answer("no time")
        known = max(
            bare.bound, self._rows("bare", free).relaxed(aim, opened) if np.isinf(bare.bound) else bare.bound
        )
        if plain.found and plain.value - known <= max(gap, 1e-4) * abs(plain.value) + 1e-9:
            return replace(plain, gap=0.0 if gap <= 1e-4 else gap, status="proved" if gap <= 1e-4 else "gap")
        whole = self._rows("whole", free).run(aim, opened, time_limit * 0.3, gap)
        if whole.found and (not plain.found or whole.value <= plain.value):
            return whole
        if plain.found:
            known = max(known, whole.bound)
            return replace(plain, status="gap", gap=(plain.value - known) / max(abs(plain.value), 1e-9))
        return whole

    def keeps_upper(self, groups: np.ndarray, slack: dict) -> bool:
        """Whether the water under all plants, cell by cell, keeps to the upper cover."""
        table = np.zeros_like(self.case.each)
        np.add.at(table, (self.case.places.plant, self.case.places.stretch), groups)
        given = float(slack["upper"].sum()) if "upper" in slack else 0.0
        return (
            covered(self.case.cells, self.case.feared, table, PESSIMISTIC)
            <= self.case.limits.upper + given + 1e-9
        )


class _Rows:
    """The rows and columns of one mode; `free` names a limit (cap, plants) on which no bound may rest."""

    def __init__(self, case: Case, mode: str, free: str):
        self.case = case
        self._mode = mode
        self._free = free
        self._low: list[float] = []
        self._high: list[float] = []
        self._whole: list[int] = []
        self._entries: tuple[list, list, list] = ([], [], [])
        self._from: list[float] = []
        self._to: list[float] = []
        p = case.places
        room = self._greatest_groups()
        self._room_for = room
        self.x = [self._column(0, float(m), True) for m in room]
        self.used = [self._column(0, 1, True) for _ in case.fish]
        self._at: dict[tuple, list[int]] = {}
        for k, (i, s, wet) in enumerate(zip(p.plant.tolist(), p.stretch.tolist(), p.wet.tolist())):
            for key in ((i, None, False), (i, s, False), *(((i, None, True), (i, s, True)) if wet else ())):
                self._at.setdefault(key, []).append(k)
        self.slack: dict[str, list[int]] = {name: [self._column(0, 0)] for name in SLACKS if name != "serve"}
        self.slack["serve"] = [self._column(0, 0) for _ in case.serves]
        for i in range(len(case.fish)):
            at = self._at.get((i, None, False), [])
            if not at:
                self._high[self.used[i]] = 0
            for k in at:
                self._row([(self.x[k], 1.0), (self.used[i], -float(room[k]))], high=0.0)
            if at:
                self._row([(self.x[k], 1.0) for k in at] + [(self.used[i], -1.0)], low=0.0)
                self._row([(self.x[k], 1.0) for k in at], high=float(case.group_most[i]))
        self._room()
        self._cover()
        self._caps()
        if mode != "bare":
            self._upper()
        self._rest()

    def _greatest_groups(self) -> np.ndarray:
        """The most groups that each place can have whatever else is planted, by room, chore, cap and number of plants."""
        case, p, g = self.case, self.case.places, self.case.ground
        most = np.minimum(p.most, case.group_most[p.plant])
        if self._free != "cap":
            one = g.own[p.plant, p.stretch] + g.jumped[p.plant, p.stretch]
            fills = np.minimum(g.strip[p.plant, p.stretch], g.room[p.plant]) <= case.limits.cap
            most = np.where(
                fills, most, np.minimum(most, np.floor(case.limits.cap / np.maximum(one, 1e-12) + 1e-9))
            )
        if case.limits.plants is not None and self._free != "plants":
            most = np.minimum(most, np.floor(case.limits.plants / p.plants))
        return most

    def _most_of(self, factor: np.ndarray) -> float:
        """The most that groups with `factor` each can add up to, within the number of plants."""
        p, most = self.case.places, self._room_for
        if self.case.limits.plants is None or self._free == "plants":
            return float((factor * most).sum())
        order = np.argsort(-factor / p.plants)
        plants = (most * p.plants)[order]
        left = np.clip(self.case.limits.plants - (np.cumsum(plants) - plants), 0.0, plants)
        return float((factor[order] * left / p.plants[order]).sum())

    def _column(self, low: float, high: float, whole: bool = False) -> int:
        self._low.append(low)
        self._high.append(high)
        self._whole.append(int(whole))
        return len(self._low) - 1

    def _row(self, terms, low: float = -np.inf, high: float = np.inf) -> None:
        row = len(self._from)
        for column, factor in terms:
            if factor:
                self._entries[0].append(row)
                self._entries[1].append(column)
                self._entries[2].append(factor)
        self._from.append(low)
        self._to.append(high)

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
                bare, under = self._column(0, np.inf), self._column(0, float(height[-1]))
                self._row([*terms, (bare, -1.0)], low=0.0)
                for slope, u, h in zip(rise, MEETS, height):
                    self._row([(under, 1.0), (bare, -float(slope))], high=float(h - slope * u))
                total.append((under, float(case.cells.least[s, c])))
        self._row(total, low=case.limits.cover)
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
                )

    def _caps(self) -> None:
        """Each plant's ground under the cap: per stretch the smaller of what its groups take and what there is."""
        case, g, cap = self.case, self.case.ground, self.case.limits.cap
        for i in range(len(case.fish)):
            everywhere = self._on(i)
            if not everywhere or min(g.strip[i].sum(), g.room[i]) <= cap + 1e-12:
                continue
            most = float(case.group_most[i])
            total = [(self.slack["cap"][0], -1.0)]
            for s in range(g.own.shape[1]):
                here = self._on(i, s)
                taken = [(x, float(g.own[i, s] + g.jumped[i, s])) for x in here]
                taken += [(x, float(g.jumped[i, s])) for x in everywhere if x not in here]
                total += self._smaller(
                    taken, float(g.strip[i, s]), most * float(g.own[i, s] * bool(here) + g.jumped[i, s])
                )
            self._row(total, high=cap)

    def _smaller(self, taken, whole: float, greatest: float) -> list[tuple[int, float]]:
        """Terms that stand for the smaller of `taken` and `whole`, where the programme presses it down."""
        taken = [(x, f) for x, f in taken if f > 0]
        if not taken or whole <= 0:
            return []
        if greatest <= whole or self._mode == "plain":
            return taken
        least, full = self._column(0, np.inf), self._column(0, 1, True)
        self._row([*taken, (least, -1.0), (full, -greatest)], high=0.0)
        self._row([(least, 1.0), (full, -whole)], low=0.0)
        return [(least, 1.0)]

    def _upper(self) -> None:
        """All plants together: in the water of each band of a stretch the smaller of what they take and what there is.

        Bands are coarser than cells, so that this never counts less than the cells do.
        """
        case, p, at = self.case, self.case.places, self.case.feared
        total = [(self.slack["upper"][0], -1.0)]
        starts = np.searchsorted(
            case.cells.edges[:-1], [deep for _, deep in BANDS.values() if deep >= 0] + [1e9]
        )
        for s in range(at.own.shape[1]):
            for first, after in zip(starts, starts[1:]):
                after = (
                    after if after < len(case.cells.edges) - 1 else at.own.shape[2]
                )  # the floor goes with the deepest
                if first >= after:
                    continue
                cells = slice(first, after)
                share = case.cells.most[s, cells]
                own = np.where((p.stretch == s)[:, None], at.own[p.plant, s, cells], 0.0)
                factor = (own + at.jumped[p.plant, s, cells]) @ share
                taken = [(self.x[k], float(f)) for k, f in enumerate(factor) if f > 1e-12]
                total += self._smaller(taken, float(share.sum()), self._most_of(factor))
        self._row(total, high=case.limits.upper)

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

    def run(self, aim, opened, time_limit: float, gap: float) -> Answer:
        done = self._milp(
            aim, opened, np.array(self._whole), {"time_limit": max(time_limit, 0.1), "mip_rel_gap": gap}
        )
        bound = float(done.mip_dual_bound) if getattr(done, "mip_dual_bound", None) is not None else -np.inf
        if done.x is None:
            return Answer("impossible" if done.status == 2 else "no time", bound=bound)
        groups = np.round(done.x[self.x]).astype(int)
        slack = {
            name: np.maximum(done.x[columns], 0.0) for name, columns in self.slack.items() if name in opened
        }
        left = (
            0.0
            if done.status == 0 and gap <= 1e-4
            else float(done.mip_gap if done.mip_gap is not None else np.inf)
        )
        return Answer("proved" if left <= 1e-4 else "gap", groups, float(done.fun), left, slack, bound)

    def relaxed(self, aim, opened) -> float:
        """A value that no answer can go below: the same with parts of groups."""
        done = self._milp(aim, opened, np.zeros(len(self._whole)), {"time_limit": 5.0})
        return float(done.fun) if done.status == 0 else -np.inf

    def _milp(self, aim, opened, whole: np.ndarray, options: dict):
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_array

        p = self.case.places
        cost = np.zeros(len(self._low))
        if "cost" in aim:  # of equal costs the better sites win, by a weight too small to change the cost
            cost[self.x] = aim["cost"] * (p.cost + 1e-3 * p.plants * (1.0 - p.site))
        for name, weight in aim.items():
            if name != "cost":
                cost[self.slack[name]] = weight
        high = np.array(self._high)
        for name, most in opened.items():
            high[self.slack[name]] = most
        shape = (len(self._from), len(self._low))
        rows = coo_array((self._entries[2], (self._entries[0], self._entries[1])), shape=shape).tocsr()
        limits = LinearConstraint(rows, np.array(self._from), np.array(self._to))
        return milp(
            cost,
            integrality=whole,
            bounds=Bounds(np.array(self._low), high),
            constraints=limits,
            options=options,
        )
