"""The search for the planting nearest to wishes that cannot all be met: what it goes for, and what each wish would have to give.

All ponds, wishes and prices are made up; the solver ends by the nodes it has looked at, so nothing hangs on a clock.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from conftest import a_pond

from plantpick.planting import candidates, relax, swaps
from plantpick.planting.greedy import Hand, greedy
from plantpick.planting.milp import IntegerProgram, Rows
from plantpick.planting.model import Wishes
from plantpick.planting.plan import ended_by
from plantpick.planting.problem import Parts, Serve, Status
from plantpick.planting.tally import fits, misses, reached, value
from plantpick.pond.model import Stretch
from plantpick.ranking import rank

pytestmark = pytest.mark.usefixtures("fixed_work")
POND = a_pond(
    area_acres=0.5,
    max_depth_ft=3.0,
    usual_drop_ft=0.5,
    purposes=("fish cover",),
    stretches=(Stretch("north", 300.0, 8.0), Stretch("south", 300.0, 8.0)),
)
SOME = (
    "pontederia-cordata",
    "peltandra-virginica",
    "sagittaria-latifolia",
    "saururus-cernuus",
    "vallisneria-americana",
    "nymphaea-odorata",
    "juncus-effusus",
    "iris-virginica",
)


def made(plants, **wished):
    """The problem of a few plants on a small pond, as the search is handed it."""
    wishes = Wishes(**{"mix": 100.0} | wished).for_pond(POND)  # of so few plants one may be half
    ranked = rank.rank(POND, plants, places=False, only=list(SOME))
    stock = candidates.select_candidates(POND, plants, ranked)
    return stock, candidates.build_problem(stock, wishes), wishes


@pytest.fixture(scope="module")
def too_much(plants, fixed_work):
    """More cover than these plants can give."""
    return made(plants, cover=25.0, species=2, share=100.0)


@pytest.fixture(scope="module")
def too_dear(plants, fixed_work):
    """A cover that these plants give, for less than it costs."""
    return made(plants, cover=0.5, species=2, share=100.0, budget=250.0)


def distance(problem, goal: float, groups) -> float:
    """How far a planting is from the wishes with this cover gone for: less is better."""
    aimed = replace(problem, limits=replace(problem.limits, cover=goal))
    return value(aimed, groups, misses(aimed, groups), {"cover": 1.0 / goal, **relax.WEIGHTS})


def test_out_of_reach_the_search_goes_for_most_of_what_there_can_be(too_much):
    """70 % of the most cover that parts of groups allow (relax.NEAR, judgement), and what it begins with is no worse than
    greed nor than what it was handed."""
    stock, problem, wishes = too_much
    known = greedy(problem)
    search = relax._Nearest(problem, True, known)
    assert reached(problem, known) <= search.most < problem.limits.cover
    assert search.goal == pytest.approx(0.7 * search.most) == search.problem.limits.cover
    assert search.opened["cover"] == search.goal and search.aim["cover"] == pytest.approx(1.0 / search.goal)
    assert search.aim.items() >= relax.WEIGHTS.items() and search.opened["species"] == 2.0
    assert fits(problem, search.best) and search._key(search.best) <= search._key(known)
    nothing = np.zeros_like(known)
    poor = relax._Nearest(problem, True, nothing)
    assert poor._key(poor.best) <= poor._key(greedy(poor.problem))


def test_without_a_wish_for_cover_it_goes_for_nearly_all_of_it(plants):
    """90 % of the most (relax.MOST, judgement)."""
    stock, problem, wishes = made(plants, species=2, share=100.0)
    search = relax._Nearest(problem, False, greedy(problem))
    assert 0 < search.most < problem.limits.cover and search.goal == pytest.approx(0.9 * search.most)


def test_what_is_within_reach_is_gone_for_whole(plants):
    stock, problem, wishes = made(plants, cover=0.5, species=2, share=100.0)
    search = relax._Nearest(problem, True, greedy(problem))
    assert search.most == search.goal == problem.limits.cover == pytest.approx(0.005)


def test_where_nobody_knows_the_most_the_whole_wish_is_gone_for(too_much, monkeypatch):
    monkeypatch.setattr(Rows, "relaxed", lambda *_, **__: Parts(status=Status.NO_TIME))
    stock, problem, wishes = too_much
    search = relax._Nearest(problem, True, greedy(problem))
    assert search.most is None and search.goal == problem.limits.cover


def test_the_nearest_planting_is_answered_with_what_cover_would_have_to_give(too_much):
    """No planting comes to what was asked, and the words of the answer hold: what is named can be had, and no more than the
    most."""
    stock, problem, wishes = too_much
    solution = relax.solve_or_relax(problem, stock, wishes, 1.0)
    groups = solution.answer.groups
    assert not solution.met and fits(problem, groups)
    assert solution.most < problem.limits.cover and solution.goal == pytest.approx(0.7 * solution.most)
    assert solution.goal <= reached(problem, groups) <= solution.most
    assert distance(problem, solution.goal, groups) <= distance(problem, solution.goal, greedy(problem))
    had = problem.limits.cover - solution.loosened["cover"]
    assert reached(problem, groups) <= had <= solution.most + 1e-9
    others = {k: v for k, v in solution.loosened.items() if k != "cover"}
    assert set(others) >= {"cap", "upper", "species", "serve", "year", "count", "year and count"}
    assert not any(others.values()), "no other wish alone makes this cover possible"


def test_the_least_budget_that_would_do_is_named(too_dear):
    """The same wishes without a budget are met for some least cost, which the solver proves: that much is missing."""
    stock, problem, wishes = too_dear
    solution = relax.solve_or_relax(problem, stock, wishes, 1.0)
    assert not solution.met and solution.answer.groups @ problem.places.cost <= 250.0
    free = IntegerProgram(replace(problem, limits=replace(problem.limits, budget=None)))
    least = free.solve(time_limit=60.0, gap=1e-6, known=greedy(problem))
    assert least.status is Status.PROVED
    missing = float(least.groups @ problem.places.cost) - 250.0
    assert missing > 0 and solution.loosened["budget"] == pytest.approx(missing)
    assert not solution.loosened["species"] and not solution.loosened["cap"]


def test_what_is_known_with_one_wish_opened(too_dear):
    """The nearest planting where it will do, otherwise one by greed without that limit; none for cover itself."""
    stock, problem, wishes = too_dear
    program, best = IntegerProgram(problem), greedy(problem)
    assert misses(problem, best)["cover"].any()
    enough = {"cover": problem.limits.cover}
    assert np.array_equal(relax._known(program, problem, "cover", enough, best), best)
    assert relax._known(program, problem, "cover", {"cover": 0.0}, best) is None
    rich = relax._known(program, problem, "budget", {"budget": 1e9}, best)
    assert np.array_equal(rich, greedy(replace(problem, limits=replace(problem.limits, budget=None))))
    assert rich @ problem.places.cost > 100.0 and not np.array_equal(rich, best)


def test_swaps_try_first_the_group_that_gives_most_cover_for_its_price(too_much):
    stock, problem, wishes = too_much
    groups = np.zeros_like(greedy(problem))
    hand = Hand(problem, groups)
    tried = [int(np.flatnonzero(start - groups)[0]) for start, _ in swaps._one_in(problem, groups)]
    worth = (hand.gains() / problem.places.cost)[tried]
    assert sorted(tried) == np.flatnonzero(hand.allowed()).tolist() and len(set(problem.places.cost)) > 1
    assert (np.diff(worth) <= 0).all() and worth[0] > worth[-1]


def test_a_plant_has_no_more_groups_than_it_may(too_much):
    """Over all its places together: the limit itself fits, and one group more does not."""
    stock, problem, wishes = too_much
    groups = greedy(problem)
    count = np.bincount(problem.places.plant, groups, minlength=len(problem.fish))
    assert count.max() >= 2
    just = replace(problem, group_most=count)
    assert fits(just, groups)
    for plant in np.flatnonzero(count):
        assert not fits(replace(problem, group_most=count - (np.arange(len(count)) == plant)), groups)


@pytest.mark.parametrize("asked", [True, False])
def test_a_planting_in_which_nothing_has_to_give_is_the_plan(plants, monkeypatch, asked):
    """The search is kept from finding anything; looking for what each wish would have to give it comes upon a planting that meets them
    all. That is the plan, and no wish is told to give what it has."""
    wished = {"cover": 0.3} if asked else {"cover": None, "upper": 20.0}
    stock, problem, wishes = made(plants, species=2, share=60.0, **wished)
    monkeypatch.setattr(relax, "PARTS", dict.fromkeys(relax.PARTS, 0.0))
    monkeypatch.setattr(relax, "greedy", lambda problem, *_: np.zeros(len(problem.places), dtype=int))
    monkeypatch.setattr(relax.Swaps, "improve", lambda self, groups, trials: groups)
    found = relax.solve_or_relax(problem, stock, wishes, time_limit=8.0)
    assert found.met and found.loosened == {} and found.answer.groups.sum() > 0
    missed = misses(problem, found.answer.groups)
    assert not any(v.any() for name, v in missed.items() if asked or name != "cover")


def test_a_purpose_that_nothing_serves_leaves_the_cover_gone_for(plants, monkeypatch):
    """Five groups are wanted at no place at all: that weighs fifty times the whole cover, and the cover is still looked for. Greed and
    swaps are kept from finding any."""
    stock, problem, wishes = made(plants, cover=0.5, species=2, share=100.0)
    nowhere = Serve("nothing can", np.zeros(len(problem.places), dtype=bool), 5)
    problem = replace(problem, serves=(*problem.serves, nowhere))
    monkeypatch.setattr(relax, "greedy", lambda problem, *_: np.zeros(len(problem.places), dtype=int))
    monkeypatch.setattr(relax.Swaps, "improve", lambda self, groups, trials: groups)
    few = np.zeros(len(problem.places), dtype=int)
    few[[int(np.flatnonzero(problem.places.plant == i)[0]) for i in (0, 1)]] = 1
    assert reached(problem, few) < 0.4 * problem.limits.cover
    search = relax._Nearest(problem, True, few)
    search.round(8.0, 0.0)
    assert reached(problem, search.best) >= 0.95 * search.goal and search.goal == problem.limits.cover
    assert search._key(search.best)[0] == pytest.approx(50.0 - 1.0, abs=0.1)
    answer = search.answer()
    assert answer.gap is not None and 0 <= answer.gap < 1


def test_the_clock_ends_a_search_as_a_key_does():
    times = iter((1.0, 4.9, 5.0))
    enough = ended_by(lambda: False, lambda: next(times), 5.0)
    assert [enough() for _ in range(3)] == [False, False, True]
    assert ended_by(lambda: True, lambda: 0.0, 5.0)()
