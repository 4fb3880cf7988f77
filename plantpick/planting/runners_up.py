"""For each plant of a plan the two that do best in its place: what to buy where a nursery has none of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from plantpick.planting.candidates import BANK_BANDS, SERVES, Stock
from plantpick.planting.choice import SOLD
from plantpick.planting.guards import IN_WATER
from plantpick.planting.model import RunnerUp
from plantpick.planting.problem import PlantingProblem
from plantpick.ranking.rank import RankedPlant
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, GOOD
from plantpick.vocabulary import PURPOSES, WOODY

RUNNERS_UP = 2
LEAST_PART = 0.5  # of the places, and of the cover, that a stand-in has to make good (judgement)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """Groups of the chosen plant at one place."""

    stretch: int
    depth_in: float
    groups: int


def stand_ins(
    stock: Stock,
    problem: PlantingProblem,
    reserve: Stock,
    wider: PlantingProblem,
    numbers: np.ndarray,
) -> dict[str, tuple[RunnerUp, ...]]:
    """The runners-up of every plant of a planting (`numbers`, groups at the places of `problem`), by plant_id. `reserve` are all
    plants that could stand in, `wider` their problem."""
    p = problem.places
    used = np.unique(p.plant[numbers > 0]).tolist()
    taken = frozenset(stock.ranked[i].plant_id for i in used)
    return {
        stock.ranked[i].plant_id: runners_up(
            stock.ranked[i],
            [
                _setting(problem, k, int(numbers[k]))
                for k in np.flatnonzero((p.plant == i) & (numbers > 0)).tolist()
            ],
            stock=stock,
            problem=problem,
            reserve=reserve,
            wider=wider,
            taken=taken,
        )
        for i in used
    }


def first_two(own: tuple[RunnerUp, ...], others: tuple[RunnerUp, ...]) -> tuple[RunnerUp, ...]:
    """The first two of both, none twice."""
    found = {r.ranked.plant_id: r for r in (*others, *own)}
    order = dict.fromkeys(r.ranked.plant_id for r in (*own, *others))
    return tuple(found[plant_id] for plant_id in order)[:RUNNERS_UP]


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
        if hard_to_find(stock, plant.plant_id) and not any(
            r.sold
            for k in np.flatnonzero(p.plant == i).tolist()
            for r in runners_up(
                plant,
                [_setting(problem, k, 1)],
                stock=stock,
                problem=problem,
                reserve=reserve,
                wider=wider,
                taken=frozenset({plant.plant_id}),
            )
        ):
            found.add(plant.plant_id)
    return found


def _setting(problem: PlantingProblem, k: int, groups: int) -> Setting:
    p = problem.places
    return Setting(stretch=int(p.stretch[k]), depth_in=float(p.depth_in[k]), groups=groups)


def runners_up(
    chosen: RankedPlant,
    settings: list[Setting],
    *,
    stock: Stock,
    problem: PlantingProblem,
    reserve: Stock,
    wider: PlantingProblem,
    taken: frozenset[str],
) -> tuple[RunnerUp, ...]:
    """The best two of `reserve` (with its problem `wider`) in the place of `chosen`, a plant of `stock`; none of `taken`.

    So many groups as give its cover where it gives cover, else as many as it has, and no more than keep your limit for one plant.
    What is sold comes first, then what stands under water or floats as it does, then what does more of its work in more of its
    places, then the same form, then the better rank.
    """
    i = next(k for k, r in enumerate(stock.ranked) if r.plant_id == chosen.plant_id)
    work = _work(stock, i, settings)
    found = []
    for j, other in enumerate(reserve.ranked):
        if other.plant_id in taken or (other.growth_form in WOODY) != (chosen.growth_form in WOODY):
            continue
        good = [s for s in settings if _good(reserve, j, s)]
        if not good or work and not work & _work(reserve, j, good):
            continue
        part = sum(s.groups for s in good) / sum(s.groups for s in settings)
        table = np.zeros_like(wider.each)
        needed = 0.0
        for s in good:
            own = problem.each[i, s.stretch] if stock.fish[i] and s.depth_in > 0 else 0.0
            each = wider.each[j, s.stretch] if reserve.fish[j] and s.depth_in > 0 else 0.0
            needed += s.groups * own
            table[j, s.stretch] += (
                math.ceil(s.groups * own / each - 1e-9) if own > 0 and each > 0 else s.groups
            )
        table[j] = _within(wider, reserve, table, j)
        number = int(table[j].sum())
        given = float((table[j] * wider.each[j]).sum()) if reserve.fish[j] else 0.0
        cover = float(min(1.0, given / needed)) if needed > 0 else 1.0
        if number == 0 or part < LEAST_PART or cover < LEAST_PART:
            continue
        found.append(
            RunnerUp(
                ranked=other,
                groups=number,
                plants=number * int(reserve.traits.group[j]),
                price=float(reserve.price[j]),
                part=part,
                cover=cover,
            )
        )
    found.sort(
        key=lambda r: (
            not r.sold,
            (r.ranked.growth_form in IN_WATER) != (chosen.growth_form in IN_WATER),
            -round(r.part * r.cover, 2),
            r.ranked.growth_form != chosen.growth_form,
            -r.ranked.score,
            r.ranked.plant_id,
        )
    )
    return tuple(found[:RUNNERS_UP])


def _good(reserve: Stock, j: int, at: Setting) -> bool:
    depth = int(np.abs(DEPTHS - at.depth_in).argmin())
    name, band = reserve.pond.stretches[at.stretch].name, BAND_NAMES[BAND_OF_DEPTH[depth]]
    places = {(stretch, at_band) for stretch, at_band, _ in reserve.ranked[j].good_places}
    return (name, band) in places and bool(reserve.index[j, at.stretch, depth] >= GOOD)


def _work(stock: Stock, i: int, settings: list[Setting]) -> set[str]:
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


def _within(wider: PlantingProblem, reserve: Stock, table: np.ndarray, j: int) -> np.ndarray:
    """The groups of plant `j` by stretch, cut back until your limit for one plant and the room of each stretch are kept."""
    groups = table[j].copy()
    p = wider.places
    mine = np.flatnonzero(p.plant == j)
    for s in range(len(groups)):
        here = mine[p.stretch[mine] == s]
        room = float(p.most[here].max()) if len(here) else 0.0
        groups[s] = min(groups[s], room)
    while groups.sum() > 0:
        trial = np.zeros_like(table)
        trial[j] = groups
        if groups.sum() <= reserve.most[j] and wider.ground.held(trial)[j] <= wider.limits.cap + 1e-9:
            break
        groups[int(groups.argmax())] -= 1
    return groups
