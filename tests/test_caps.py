"""How many whole groups of a plant keep its limit: lines round all that do. All numbers are made up."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from test_planting import two_shores

from plantpick.planting import caps
from plantpick.planting.caps import combinations, whole_groups
from plantpick.planting.coverage import GroundTaken
from plantpick.planting.milp import IntegerProgram


def ground(own, jumped, strip, room=1.0) -> GroundTaken:
    own, jumped, strip = (np.array([v], dtype=float) for v in (own, jumped, strip))
    return GroundTaken(own=own, jumped=jumped, strip=strip, room=np.array([room]))


def test_combinations_by_hand():
    """A group takes 4 % on the first stretch and 7 % on the second, the limit is 15 %: none, one, two or three on the first (12 %),
    one on the second with one on the first (11 %) or two (15 %), two on the second (14 %)."""
    told = combinations(ground([0.04, 0.07], [0, 0], [1, 1]), 0.15, np.array([9.0, 9.0]), 9.0)
    assert sorted(map(tuple, told.tolist())) == [
        (0, 0),
        (0, 1),
        (0, 2),
        (1, 0),
        (1, 1),
        (2, 0),
        (2, 1),
        (3, 0),
    ]
    fewer = combinations(ground([0.04, 0.07], [0, 0], [1, 1]), 0.15, np.array([9.0, 1.0]), 2.0)
    assert sorted(map(tuple, fewer.tolist())) == [(0, 0), (0, 1), (1, 0), (1, 1), (2, 0)]


def test_a_full_strip_lets_more_groups_in():
    """One group takes 4 % of a strip that has 10 %: the third fills it, and any number more changes nothing."""
    told = combinations(ground([0.04], [0.0], [0.10]), 0.12, np.array([6.0]), 6.0)
    assert told.max() == 6


@pytest.mark.parametrize("stretches", [1, 2, 3, 4, 6])
@pytest.mark.parametrize("seed", range(4))
def test_the_lines_cut_off_no_whole_groups_that_keep_the_cap(seed, stretches):
    """Counted one by one; where the lines say that they are exact, everything else is cut off."""
    rng = np.random.default_rng(500 + 10 * stretches + seed)
    taken = ground(
        rng.uniform(0.03, 0.08, stretches), rng.uniform(0, 0.02, stretches), rng.uniform(0.14, 0.3, stretches)
    )
    cap, most = 0.13, np.full(stretches, 4.0)
    alone = caps.alone_within(taken, cap)[0]
    told = caps._lines(taken, cap, alone, most, 4.0 * stretches)
    within = cut = 0
    for groups in itertools.product(range(5), repeat=stretches):
        kept = bool((told.factor @ np.array(groups) <= told.most + 1e-6).all())
        if taken.held(np.array([groups], dtype=float))[0] <= cap:
            within += 1
            assert kept, groups
        else:
            cut += not kept
            assert not (told.exact and kept), groups
    assert within > 1 and cut
    if stretches <= 3:
        assert told.exact or seed  # at least one of them is told apart by lines alone


def test_rounded_lines_hold_where_there_are_too_many_to_count(monkeypatch):
    monkeypatch.setattr(caps, "MOST_COMBINATIONS", 3)
    rng = np.random.default_rng(7)
    for _ in range(20):
        taken = ground(rng.uniform(0.01, 0.06, 3), rng.uniform(0, 0.02, 3), rng.uniform(0.02, 0.2, 3))
        told = caps._lines(taken, 0.13, caps.alone_within(taken, 0.13)[0], np.full(3, 5.0), 15.0)
        assert not told.exact
        for groups in itertools.product(range(6), repeat=3):
            if taken.held(np.array([groups], dtype=float))[0] <= 0.13:
                assert (told.factor @ np.array(groups) <= told.most + 1e-9).all(), groups


def test_whole_groups_raise_the_bound_that_parts_of_groups_give():
    """Half a group more than keeps the cap is worth much to parts of groups: with the lines they cannot have it."""
    higher = 0
    for seed in (1, 2, 3, 4, 5, 9, 10, 13):
        problem = two_shores(np.random.default_rng(200 + seed))
        program, loose = IntegerProgram(problem), IntegerProgram(problem)
        loose._within = [
            None if w is None else replace(w, factor=w.factor[:0], most=w.most[:0])
            for w in whole_groups(problem)
        ]
        closer = program.relaxed({"cost": 1.0}, {}).bound
        before = loose.relaxed({"cost": 1.0}, {}).bound
        assert closer >= before - 1e-6
        higher += closer > before + 1e-6
    assert higher
