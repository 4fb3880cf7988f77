"""Small shallow ponds with a flat floor, every planting of a few groups tried, each counted by the forecast itself.

All ponds here are made up.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from conftest import a_pond

from plantpick.planting import candidates, plan
from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, covered
from plantpick.planting.milp import IntegerProgram
from plantpick.planting.model import Wishes
from plantpick.pond.model import Stretch
from plantpick.ranking import rank

MOST = 4  # groups at one place
PLACES = 4
pytestmark = pytest.mark.usefixtures("fixed_work")


@pytest.fixture(scope="module")
def problems(plants):
    """Three shallow ponds with the places of all their candidates; the floor is a third of the water and more."""
    made = []
    for acres, deep_ft, slope in ((0.1, 2.5, 3.0), (0.2, 3.0, 4.0), (0.15, 2.0, 5.0)):
        shore = 1.15 * 2.0 * np.sqrt(np.pi * acres * 43_560.0)
        pond = a_pond(
            area_acres=acres,
            max_depth_ft=deep_ft,
            usual_drop_ft=0.3,
            purposes=("fish cover",),
            tolerance="some",
            stretches=(Stretch("north", 0.6 * shore, slope), Stretch("south", 0.4 * shore, slope)),
        )
        stock = candidates.select_candidates(pond, plants, rank.rank(pond, plants, places=False))
        problem = candidates.build_problem(stock, Wishes(cover=1.0).for_pond(pond))
        assert problem.cells.most[:, -1].sum() > 0.33
        made.append(problem)
    return made


def small(problems, seed: int):
    """A few places of one pond, with limits near what a planting of a few groups comes to."""
    rng = np.random.default_rng(seed)
    problem = problems[seed % len(problems)]
    able = np.flatnonzero(
        problem.fish[problem.places.plant] & problem.places.wet & (problem.places.trim_ft2 == 0)
    )
    problem = problem.at(np.sort(rng.choice(able, PLACES, replace=False)))
    problem = replace(problem, serves=())
    middle = rng.integers(0, MOST + 1, PLACES)
    cover, held, water = counted(problem, middle)
    return replace(
        problem,
        places=replace(
            problem.places,
            most=np.minimum(problem.places.most, MOST),
            cost=rng.integers(20, 90, PLACES).astype(float),
        ),
        limits=replace(
            problem.limits,
            cover=cover * rng.uniform(0.5, 1.0),
            cap=max(held.max() * rng.uniform(0.9, 1.3), 1e-4),
            upper=water * rng.uniform(0.9, 1.2),
            species=1,
            share=1.0,
            mix=1.0,
            trim_ft2=None,
        ),
    )


def counted(problem, groups):
    """Cover, ground of each plant and water under all, by the forecast's own functions."""
    table = np.zeros_like(problem.each)
    np.add.at(table, (problem.places.plant, problem.places.stretch), groups)
    return (
        covered(problem.cells, problem.target, table, CAUTIOUS, problem.fish),
        problem.ground.held(table),
        covered(problem.cells, problem.pessimistic, table, PESSIMISTIC),
    )


def cheapest(problem) -> float | None:
    """The least cost of all plantings that keep every limit, None where none does."""
    p, limits, best = problem.places, problem.limits, None
    for groups in itertools.product(*(range(int(m) + 1) for m in p.most)):
        groups = np.array(groups)
        cost = float(groups @ p.cost)
        if not groups.any() or best is not None and cost >= best or groups @ p.plants > limits.plants:
            continue
        at_one = [
            groups[(p.stretch == s) & (p.band == b)] @ p.shore_ft[(p.stretch == s) & (p.band == b)]
            <= problem.room_ft[s]
            for s, b in set(zip(p.stretch.tolist(), p.band.tolist()))
        ]
        cover, held, water = counted(problem, groups)
        if (
            all(at_one)
            and cover >= limits.cover - 1e-12
            and (held <= limits.cap + 1e-12).all()
            and water <= limits.upper + 1e-12
            and (np.bincount(p.plant, groups, len(problem.fish)) <= problem.group_most).all()
        ):
            best = cost
    return best


@pytest.mark.slow
def test_every_planting_tried_agrees_with_the_plan_where_there_is_a_floor(problems):
    """What can be met is met, and as cheaply as by the cheapest of all plantings."""
    met = 0
    for seed in range(40):
        problem = small(problems, seed)
        least, answer = cheapest(problem), IntegerProgram(problem).solve()
        if least is None:
            assert answer.status == "impossible", seed
            continue
        assert answer.status == "proved", seed
        cover, held, water = counted(problem, answer.groups)
        assert cover >= problem.limits.cover - 1e-9 and water <= problem.limits.upper + 1e-9, seed
        assert (held <= problem.limits.cap + 1e-9).all(), seed
        assert float(answer.groups @ problem.places.cost) == pytest.approx(least), seed
        met += 1
    assert met >= 20


def test_the_flat_floor_of_a_shallow_pond_counts_once(plants):
    """Half an acre, 3 ft deep, a bank 8 ft out for 1 ft down: 1 % of cover can be had within the usual limits, deaths counted."""
    pond = a_pond(
        area_acres=0.5,
        max_depth_ft=3.0,
        usual_drop_ft=0.5,
        clarity_in=28.0,
        state="GA",
        ph=7.1,
        purposes=("fish cover", "bank hold"),
        tolerance="little",
        stretches=(Stretch("north", 300.0, 8.0), Stretch("south", 300.0, 8.0)),
    )
    made = plan.plan(pond, plants, Wishes(cover=1.0), time_limit=1.5, within=30.0)
    assert made.met and made.cover[5][0] >= 1.0 - 1e-6
    assert made.water[10][2] <= 30.0 + 1e-6 and all(w.met for w in made.outcome)
