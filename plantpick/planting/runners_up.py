"""For each plant of a plan the two that do best in its place: what to buy where a nursery has none of it."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np

from plantpick.catalogue.availability import SOLD
from plantpick.planting.candidates import BANK_BANDS, SERVES, Stock
from plantpick.planting.guards import IN_WATER
from plantpick.planting.model import RunnerUp
from plantpick.planting.problem import PlantingProblem
from plantpick.ranking.rank import RankedPlant
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, GOOD
from plantpick.vocabulary import PURPOSES, WOODY

RUNNERS_UP = 2
MORE_PLANTS = 2.0  # times the plants of the chosen one, the most that a stand-in may take (judgement)
LEAST_PART = 0.5  # of the places, and of the cover, that a stand-in has to make good (judgement)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """Groups of the chosen plant at one place."""

    stretch: int
    depth_in: float
    groups: int


@dataclass
class Promised:
    """What the stand-ins named so far take up: groups by plant_id and stretch, and how much more edge may be cut back a year."""

    groups: dict[str, np.ndarray] = field(default_factory=dict)
    trim_ft2: float = math.inf

    def of(self, plant_id: str, stretches: int) -> np.ndarray:
        """The groups of one plant that are promised already, (stretches,)."""
        return self.groups.get(plant_id, np.zeros(stretches))


def stand_ins(
    stock: Stock,
    problem: PlantingProblem,
    reserves: Sequence[tuple[Stock, PlantingProblem]],
    numbers: np.ndarray,
) -> dict[str, tuple[RunnerUp, ...]]:
    """The runners-up of every plant of a planting (`numbers`, groups at the places of `problem`), by plant_id. `reserves` are all
    plants that could stand in, each with their problem; those of the first come before those of the next.

    You may lack several plants at once: all groups of one stand-in together, for whichever plants, are no more than the pond can
    take. What is hard to find chooses first, and every plant its first stand-in before any its second.
    """
    p = problem.places
    used = np.unique(p.plant[numbers > 0]).tolist()
    taken = frozenset(stock.ranked[i].plant_id for i in used)
    chosen = {stock.ranked[i].plant_id: i for i in used}
    order = sorted(chosen, key=lambda plant_id: not hard_to_find(stock, plant_id))
    seats = {
        plant_id: [
            Seat.at(stock, problem, reserve, wider, numbers * (p.plant == i)) for reserve, wider in reserves
        ]
        for plant_id, i in chosen.items()
    }
    fitting = {
        plant_id: [(seat, r) for seat in seats[plant_id] for r in seat.runners_up(taken)]
        for plant_id in chosen
    }
    limit = problem.limits.trim_ft2
    promised = Promised(trim_ft2=math.inf if limit is None else limit - float(numbers @ p.trim_ft2))
    found: dict[str, list[RunnerUp]] = {plant_id: [] for plant_id in chosen}
    for _ in range(RUNNERS_UP):
        for plant_id in order:
            named = {r.ranked.plant_id for r in found[plant_id]}
            for seat, r in fitting[plant_id]:
                again = None if r.ranked.plant_id in named else seat.runner_up(r.ranked.plant_id, promised)
                if again is not None:
                    found[plant_id].append(again)
                    seat.promise(again, promised)
                    break
    return {plant_id: tuple(found[plant_id]) for plant_id in chosen}


def hard_to_find(stock: Stock, plant_id: str) -> bool:
    """Whether no list of plants sold has a candidate that nobody asked for."""
    plant = next(r for r in stock.ranked if r.plant_id == plant_id)
    return plant.availability not in SOLD and plant_id not in stock.wanted


def never_replaced(
    stock: Stock, problem: PlantingProblem, reserve: Stock, wider: PlantingProblem
) -> set[str]:
    """The candidates that are hard to find and for which nothing sold could stand in, not even for one group at any of their
    places."""
    p, found = problem.places, set()
    for i, plant in enumerate(stock.ranked):
        if not hard_to_find(stock, plant.plant_id):
            continue
        seats = (
            Seat.at(stock, problem, reserve, wider, np.arange(len(p.plant)) == k)
            for k in np.flatnonzero(p.plant == i).tolist()
        )
        if not any(r.sold for seat in seats for r in seat.runners_up(frozenset({plant.plant_id}))):
            found.add(plant.plant_id)
    return found


@dataclass(frozen=True, kw_only=True)
class Seat:
    """The places of one plant of `stock` (position `chosen`), for which something of `reserve`, with its problem `wider`, is to
    stand in."""

    stock: Stock
    problem: PlantingProblem
    reserve: Stock
    wider: PlantingProblem
    chosen: int
    settings: tuple[Setting, ...]

    @classmethod
    def at(
        cls,
        stock: Stock,
        problem: PlantingProblem,
        reserve: Stock,
        wider: PlantingProblem,
        numbers: np.ndarray,
    ) -> Seat:
        """The seat of the one plant that has groups at the places of `problem` (`numbers`)."""
        p, at = problem.places, np.flatnonzero(numbers).tolist()
        return cls(
            stock=stock,
            problem=problem,
            reserve=reserve,
            wider=wider,
            chosen=int(p.plant[at[0]]),
            settings=tuple(
                Setting(stretch=int(p.stretch[k]), depth_in=float(p.depth_in[k]), groups=int(numbers[k]))
                for k in at
            ),
        )

    @property
    def plant(self) -> RankedPlant:
        return self.stock.ranked[self.chosen]

    @property
    def groups(self) -> int:
        return sum(s.groups for s in self.settings)

    def runners_up(self, taken: Collection[str]) -> list[RunnerUp]:
        """All that can stand in here by themselves, none of `taken`, the best first.

        What is sold comes first, then what stands under water or floats as the chosen one does, then what does more of its work in
        more of its places, then the same form, then the better rank.
        """
        found = [
            r
            for other in self.reserve.ranked
            if other.plant_id not in taken and (r := self.runner_up(other.plant_id, Promised())) is not None
        ]
        found.sort(
            key=lambda r: (
                not r.sold,
                (r.ranked.growth_form in IN_WATER) != (self.plant.growth_form in IN_WATER),
                -round(r.part * r.cover, 2),
                r.ranked.growth_form != self.plant.growth_form,
                -r.ranked.score,
                r.ranked.plant_id,
            )
        )
        return found

    def runner_up(self, plant_id: str, promised: Promised) -> RunnerUp | None:
        """One plant in these places, beside what is `promised`; None where it cannot stand in.

        So many groups as give the chosen one's cover where it gives cover, else as many as it has; no more than keep your limits,
        and not many more plants than the chosen one's.
        """
        i, j = self.chosen, self._row(plant_id)
        stock, reserve, wider = self.stock, self.reserve, self.wider
        other = reserve.ranked[j]
        if (other.growth_form in WOODY) != (self.plant.growth_form in WOODY):
            return None
        work = _work(stock, i, self.settings)
        good = tuple(s for s in self.settings if _good(reserve, j, s))
        if not good or work and not work & _work(reserve, j, good):
            return None
        wanted, needed = np.zeros(wider.each.shape[1]), 0.0
        for s in good:
            own = self.problem.each[i, s.stretch] if stock.fish[i] and s.depth_in > 0 else 0.0
            each = wider.each[j, s.stretch] if reserve.fish[j] and s.depth_in > 0 else 0.0
            needed += s.groups * own
            wanted[s.stretch] += math.ceil(s.groups * own / each - 1e-9) if own > 0 and each > 0 else s.groups
        groups = self._within(j, wanted, promised)
        number = int(groups.sum())
        given = float((groups * wider.each[j]).sum()) if reserve.fish[j] else 0.0
        cover = float(min(1.0, given / needed)) if needed > 0 else 1.0
        stood = tuple(s for s in good if groups[s.stretch] > 0)
        part = min(sum(s.groups for s in stood) / self.groups, 1.0)
        if number == 0 or part < LEAST_PART or cover < LEAST_PART:
            return None
        names = [s.name for s in reserve.pond.stretches]
        return RunnerUp(
            ranked=other,
            groups=number,
            plants=number * int(reserve.traits.group[j]),
            price=float(reserve.price[j]),
            part=part,
            cover=cover,
            measures=reserve.measures[j],
            places=tuple(dict.fromkeys((names[s.stretch], s.depth_in) for s in stood)),
            by_stretch=tuple((names[s], int(n)) for s, n in enumerate(groups) if n > 0),
        )

    def promise(self, found: RunnerUp, promised: Promised) -> None:
        """Count a stand-in that was named among those `promised`."""
        names = [s.name for s in self.reserve.pond.stretches]
        groups = np.zeros(self.wider.each.shape[1])
        for name, number in found.by_stretch:
            groups[names.index(name)] += number
        plant_id = found.ranked.plant_id
        promised.groups[plant_id] = promised.of(plant_id, len(groups)) + groups
        promised.trim_ft2 -= max(0.0, self._trimmed(self._row(plant_id)) * found.groups - self._spared())

    def _row(self, plant_id: str) -> int:
        return next(k for k, r in enumerate(self.reserve.ranked) if r.plant_id == plant_id)

    def _trimmed(self, j: int) -> float:
        """Square feet of edge to cut back a year for one group of a plant of the reserve."""
        return float(self.wider.places.trim_ft2[self.wider.places.plant == j].max(initial=0.0))

    def _spared(self) -> float:
        """Square feet of edge a year that need no cutting without the chosen plant."""
        p = self.problem.places
        return self.groups * float(p.trim_ft2[p.plant == self.chosen].max(initial=0.0))

    def _within(self, j: int, wanted: np.ndarray, promised: Promised) -> np.ndarray:
        """The groups of plant `j` by stretch, cut back until your limits and the room of each stretch are kept."""
        wider, reserve = self.wider, self.reserve
        there = promised.of(reserve.ranked[j].plant_id, len(wanted))
        groups, p = wanted.copy(), wider.places
        for s in range(len(groups)):
            room = float(p.most[(p.plant == j) & (p.stretch == s)].max(initial=0.0))
            groups[s] = max(0.0, min(groups[s], room - there[s]))
        plants = self.groups * int(self.stock.traits.group[self.chosen])
        most = max(self.groups, int(MORE_PLANTS * plants / int(reserve.traits.group[j])))
        trim, spared = self._trimmed(j), self._spared()
        while groups.sum() > 0:
            trial = np.zeros_like(wider.each)
            trial[j] = groups + there
            number = groups.sum()
            if (
                number <= most
                and trial[j].sum() <= reserve.most[j]
                and wider.ground.held(trial)[j] <= wider.limits.cap + 1e-9
                and (trim == 0 or trim * number - spared <= promised.trim_ft2 + 1e-9)
            ):
                break
            groups[int(groups.argmax())] -= 1
        return groups


def _good(reserve: Stock, j: int, at: Setting) -> bool:
    depth = int(np.abs(DEPTHS - at.depth_in).argmin())
    name, band = reserve.pond.stretches[at.stretch].name, BAND_NAMES[BAND_OF_DEPTH[depth]]
    places = {(stretch, at_band) for stretch, at_band, _ in reserve.ranked[j].good_places}
    return (name, band) in places and bool(reserve.index[j, at.stretch, depth] >= GOOD)


def _work(stock: Stock, i: int, settings: Sequence[Setting]) -> set[str]:
    """What the plant does there of what you asked for."""
    bands = {BAND_NAMES[BAND_OF_DEPTH[int(np.abs(DEPTHS - s.depth_in).argmin())]] for s in settings}
    done = set()
    for purpose in stock.pond.purposes:
        worth = float(np.nan_to_num(stock.traits.number[PURPOSES[purpose]])[i])
        if purpose == "fish cover":
            if stock.fish[i] and any(s.depth_in > 0 for s in settings):
                done.add(purpose)
        elif worth >= SERVES and (purpose != "bank hold" or bands & set(BANK_BANDS)):
            done.add(purpose)
    return done
