"""What a planting of whole groups comes to, counted with the forecast itself: by how much it misses each wish."""

from __future__ import annotations

import numpy as np

from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, TYPICAL, covered
from plantpick.planting.problem import PlantingProblem

CLOSE = 1e-9  # of a share of the surface, a dollar or a foot: rounding, not a limit passed
SOLVED = {
    "budget": 1e-6,
    "trim": 1e-6,
    "share": 1e-8,
    "mix": 1e-6,
}  # to within this the solver keeps its rows


def table_of(problem: PlantingProblem, groups: np.ndarray, wet_only: bool = False) -> np.ndarray:
    """Groups at places as groups by plant and stretch, (plants, stretches)."""
    p, table = problem.places, np.zeros_like(problem.each)
    np.add.at(table, (p.plant, p.stretch), groups * p.wet if wet_only else groups)
    return table


def reached(problem: PlantingProblem, groups: np.ndarray) -> float:
    """The cover by the forecast that counts, as a share of the surface."""
    count = TYPICAL if problem.jumps else CAUTIOUS
    return covered(problem.cells, problem.target, table_of(problem, groups, True), count, problem.fish)


def water(problem: PlantingProblem, groups: np.ndarray) -> np.ndarray:
    """Water that each plant covers by the forecast that counts, every plant for itself, (plants,)."""
    p = problem.places
    wet = groups * p.wet
    return (
        np.bincount(p.plant, wet * problem.each[p.plant, p.stretch], minlength=len(problem.fish))
        * problem.fish
    )


def counts(problem: PlantingProblem, groups: np.ndarray) -> np.ndarray:
    """How many of each plant are set, (plants,)."""
    p = problem.places
    return np.bincount(p.plant, groups * p.plants, minlength=len(problem.fish))


def fits(problem: PlantingProblem, groups: np.ndarray) -> bool:
    """Whether the groups find room on the shore, band by band, and are no more than a place and a plant may have."""
    p = problem.places
    if (groups < 0).any() or (groups > p.most + CLOSE).any():
        return False
    if (np.bincount(p.plant, groups, minlength=len(problem.fish)) > problem.group_most + CLOSE).any():
        return False
    return bool((room_left(problem, groups) >= -CLOSE * 1e3).all())


def room_left(problem: PlantingProblem, groups: np.ndarray) -> np.ndarray:
    """Feet of shore that are still free in the band of each place, (places,)."""
    p = problem.places
    _, band = np.unique(p.band, return_inverse=True)
    spot = p.stretch * (band.max(initial=0) + 1) + band
    taken = np.bincount(spot, groups * p.shore_ft, minlength=int(spot.max(initial=0)) + 1)
    return problem.room_ft[p.stretch] - taken[spot]


def misses(problem: PlantingProblem, groups: np.ndarray) -> dict[str, np.ndarray]:
    """By how much each wish is missed, 0 where it is met: under the names of the slacks of `milp.Rows` and in their units."""
    p, limits = problem.places, problem.limits
    table = table_of(problem, groups)
    own, number = water(problem, groups), counts(problem, groups)
    over = {
        "cover": limits.cover - reached(problem, groups) if limits.cover > 0 else 0.0,
        "cap": problem.ground.held(table).max(initial=0.0) - limits.cap,
        "upper": covered(problem.cells, problem.pessimistic, table, PESSIMISTIC) - limits.upper,
        "budget": groups @ p.cost - limits.budget if limits.budget is not None else 0.0,
        "plants": groups @ p.plants - limits.plants if limits.plants is not None else 0.0,
        "species": limits.species - np.count_nonzero(table.sum(axis=1)),
        "share": (own - limits.share * own.sum()).max(initial=0.0)
        if limits.share < 1 and limits.cover > 0
        else 0.0,
        "mix": (number - limits.mix * number.sum()).max(initial=0.0) if limits.mix < 1 else 0.0,
        "trim": groups @ p.trim_ft2 - limits.trim_ft2 if limits.trim_ft2 is not None else 0.0,
        "serve": np.array([serve.number - groups[serve.at].sum() for serve in problem.serves], dtype=float),
    }
    found = {name: np.maximum(np.atleast_1d(np.asarray(v, dtype=float)), 0.0) for name, v in over.items()}
    return {name: np.where(v <= CLOSE, 0.0, v) for name, v in found.items()}


def keeps(missed: dict[str, np.ndarray], opened: dict) -> bool:
    """Whether no wish is missed by more than `opened` lets it give."""
    return all(
        (v <= np.asarray(opened.get(name, 0.0)) + SOLVED.get(name, CLOSE)).all() for name, v in missed.items()
    )


def value(
    problem: PlantingProblem, groups: np.ndarray, missed: dict[str, np.ndarray], aim: dict[str, float]
) -> float:
    """What the program makes as small as it can, for this planting: see `milp.Rows` and its costs."""
    p = problem.places
    # of equal costs the better sites win, by a weight too small to change the cost
    total = aim.get("cost", 0.0) * float(groups @ (p.cost + 1e-3 * p.plants * (1.0 - p.site)))
    total += sum(weight * float(missed[name].sum()) for name, weight in aim.items() if name != "cost")
    # what is reached and not what is missing is to be found to within the gap: the whole cover is taken off
    return total - aim.get("cover", 0.0) * problem.limits.cover
