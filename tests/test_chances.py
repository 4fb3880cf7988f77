"""Chances of passing the limit: against colonies grown one by one, a plain Monte Carlo and scipy's Latin hypercube."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plantpick.catalogue.traits import traits
from plantpick.ranking import containment, rank, takeover
from plantpick.ranking.chances import chance_words, chances
from plantpick.ranking.draws import DRAWN, MANY, TENTH, Draws, draw, ends, lognormal_between, normal_between
from plantpick.ranking.site_factors import sites
from tests.conftest import a_pond

PLANTS = (
    "typha-latifolia",
    "nymphaea-odorata",
    "nuphar-advena",
    "potamogeton-nodosus",
    "potamogeton-illinoensis",
    "vallisneria-americana",
    "heteranthera-dubia",
    "justicia-americana",
    "panicum-hemitomon",
    "sagittaria-latifolia",
    "schoenoplectus-tabernaemontani",
    "pontederia-cordata",
)


def plain_scores(plants, number, rng, correlation=0.5):
    """Standard scores tied by one factor of the pond, thrown without any stratifying."""
    shared = rng.normal(size=(1, number))
    own = {t: rng.normal(size=(len(plants), number)) for t in DRAWN}
    tie = {t: np.sqrt(correlation) * shared + np.sqrt(1.0 - correlation) * z for t, z in own.items()}
    return Draws(score=tie)


def two_sided(points, z, logs):
    """The value at a standard score, low and high being the 10 and 90 % points; written out once more."""
    low, middle, high = points
    if logs and low > 0 and middle > 0:
        return middle * ((high / middle) if z >= 0 else (middle / low)) ** (z / 1.2815515655)
    return middle + z / 1.2815515655 * ((high - middle) if z >= 0 else (middle - low))


def grown_one_by_one(plants, pond, groups, thrown, rng):
    """The part of the draws in which colonies, set, grown and born one by one, come to hold more than the limit.

    Rows and discs lie at random in strips whose ends join. A colony that jumps sends out a Poisson number of new ones a
    year, anywhere on the strips; a share is counted at points of a jittered grid. Nothing of the closed forms is used.
    """
    n = {k: float(v[0]) for k, v in plants.number.items()}
    season = pond.growing_season.rate_factor
    rates = [n[c] for c in ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr")]
    jumps = {"none": (1, 1, 1), "low": (1.0, 1.1, 1.3), "high": (1.3, 2.0, 3.0)}[plants.word["jump"][0]]
    spacing = n["spacing_in"] / 12.0
    row = 6.0 * spacing if plants.group[0] == 7 else 0.0
    first = spacing / 2.0 if row else np.sqrt(plants.group[0] * 0.8660254 / np.pi) * spacing
    where = takeover.strips(plants, pond, thrown)  # the ground itself: where it can live, in each draw
    passes, number = 0, thrown.number
    limit = pond.cap_percent / 100.0
    for k in range(number):
        rate = max(0.0, two_sided(rates, thrown.score["rate"][0, k], True)) * season
        factor = max(1.0, two_sided(jumps, thrown.score["jump"][0, k], False))
        width, length = where.width[0, k], where.length[0, k]
        ground = np.maximum(width * length, 1e-9)
        colonies = [(s, first + 9.0 * rate, row) for s in range(len(width)) for _ in range(int(groups[s]))]
        alive = len(colonies)
        for year in range(1, 11):
            born = min(int(rng.poisson((factor - 1.0) * alive)), 20_000)
            alive += born
            if rate * (10 - year) > 0.05:
                at = rng.choice(len(width), size=min(born, 3000), p=ground / ground.sum())
                colonies += [(int(s), rate * (10 - year), 0.0) for s in at]
        held = 0.0
        for s in range(len(width)):
            here = [c for c in colonies if c[0] == s]
            if not here or width[s] <= 0:
                continue
            side = 24
            x = (np.repeat(np.arange(side), side) + rng.random(side * side)) / side * length[s]
            y = (np.tile(np.arange(side), side) + rng.random(side * side)) / side * width[s]
            under = np.zeros(side * side, dtype=bool)
            for block in range(0, len(here), 200):
                some = here[block : block + 200]
                cx, cy = rng.random(len(some)) * length[s], rng.random(len(some)) * width[s]
                radius, long = (np.array([c[q] for c in some]) for q in (1, 2))
                dx = np.abs(x[:, None] - cx)
                dx = np.maximum(np.minimum(dx, length[s] - dx) - long / 2.0, 0.0)
                under |= (np.hypot(dx, y[:, None] - cy) < radius).any(axis=1)
                if under.all():
                    break
            held += under.mean() * ground[s] / pond.area_ft2
        passes += min(held, where.room[0, k]) > limit
    return passes / number


def setting(plants, plant_id, pond, number):
    one = traits([plants.plant(plant_id)])
    judged = sites(one, pond)
    described = np.array([[s.described for s in pond.shore]])
    good = rank.good_stretches(judged, pond) if judged.best[0] > 0 else described
    return one, takeover.allot(good, containment.limits_of(pond)[0], number)


def compare(plants, plant_id, pond, number, draws):
    one, groups = setting(plants, plant_id, pond, number)
    rng = np.random.default_rng(11)
    by_hand = grown_one_by_one(one, pond, groups[0], plain_scores(one, draws, rng), rng)
    return by_hand, takeover.chance_of(one, pond, groups)


@pytest.mark.parametrize("plant_id", ["sagittaria-latifolia", "potamogeton-illinoensis"])
def test_colonies_grown_one_by_one_give_the_same_chance(plants, south, plant_id):
    """Within five points, and two standard errors of 250 draws."""
    by_hand, told = compare(plants, plant_id, south, 2, 250)
    assert told == pytest.approx(by_hand, abs=0.05 + 2.0 * np.sqrt(max(by_hand * (1 - by_hand), 0.02) / 250))


@pytest.mark.slow
@pytest.mark.parametrize("demo", ["demo", "demo-north", "demo-hard", "demo-surveyed"])
def test_twelve_plants_on_every_demo_pond(plants, demo):
    """The same for twelve plants, jumpers among them, with 800 draws: within five points and two standard errors."""
    from plantpick.files import pond_file

    pond = pond_file.read_pond(demo)
    off = {}
    for plant_id in PLANTS:
        by_hand, told = compare(plants, plant_id, pond, 2, 800)
        error = np.sqrt(max(by_hand * (1.0 - by_hand), 0.005) / 800)
        if abs(told - by_hand) > 0.05 + 2.0 * error:
            off[plant_id] = (by_hand, told)
    assert not off


@pytest.mark.slow
def test_a_chance_near_a_tenth_is_right_within_three_points(plants, south):
    """256 stratified draws against 20,000 plain ones, over every native that passes the limit in 4 to 20 % of cases: the greatest
    and the root-mean-square difference."""
    ranked = rank.rank(south, plants, places=False)
    ids = [p.plant_id for p in ranked.plants if p.growth_form != "free-floating"]
    many = traits(map(plants.plant, ids))
    good = np.tile([s.described for s in south.shore], (len(ids), 1))
    groups = takeover.allot(good, containment.limits_of(south)[0], 2)
    cap = south.cap_percent / 100.0

    def by(drawn, some, counts):
        return takeover.chance_over(takeover.forecast(some, south, draws=drawn, nodes=3), counts, cap)

    few = by(draw(ids), many, groups)
    near = np.flatnonzero((few > 0.03) & (few < 0.22))[:30]
    some = many.subset(near)
    plain = by(plain_scores(some, 20_000, np.random.default_rng(5)), some, groups[near])
    kept = (plain > 0.04) & (plain < 0.20)
    off = few[near][kept] - plain[kept]
    assert kept.sum() >= 10
    assert np.sqrt(np.mean(off**2)) < 0.015 and np.abs(off).max() < 0.04


def test_the_slices_are_those_of_a_latin_hypercube(plants):
    """scipy's own Latin hypercube has one point in each of n slices of every dimension; so has every trait of every plant here,
    and the shared factor ties two traits by 0.5 (both measured)."""
    from scipy.stats import norm, qmc

    ids = [f"made-up-{k}" for k in range(40)]
    drawn = draw(ids)
    theirs = np.sort(np.floor(qmc.LatinHypercube(d=2, rng=3).random(MANY) * MANY), axis=0)
    for trait in DRAWN:
        mine = np.sort(np.floor(norm.cdf(drawn.score[trait]) * MANY), axis=1)
        assert (mine == theirs[:, 0]).all() and (mine == np.arange(MANY)).all()
    pairs = [np.corrcoef(drawn.score["rate"][k], drawn.score["reach"][k + 1])[0, 1] for k in range(39)]
    same = [np.corrcoef(drawn.score["rate"][k], drawn.score["jump"][k])[0, 1] for k in range(40)]
    assert np.mean(pairs) == pytest.approx(0.5, abs=0.04) and np.mean(same) == pytest.approx(0.5, abs=0.04)


@settings(max_examples=30)
@given(st.floats(0.01, 5), st.floats(1, 4), st.floats(1, 4))
def test_low_and_high_are_the_10_and_90_per_cent_points(low, up, further):
    """Of rates (log-normal) and depths (normal on either side), by counting."""
    points = np.array([[low, low * up, low * up * further]])
    score = draw(["made-up"], 1000).score["rate"]
    for between in (normal_between, lognormal_between):
        found = np.quantile(between(points, score)[0], (0.1, 0.5, 0.9))
        assert found == pytest.approx(points[0], rel=0.02)


def test_a_plants_draws_do_not_hang_on_its_neighbors(plants, south):
    alone = draw(["juncus-effusus"]).score["rate"][0]
    among = draw(["iris-virginica", "juncus-effusus", "typha-latifolia"]).score["rate"][1]
    assert (alone == among).all() and not (alone == draw(["iris-virginica"]).score["rate"][0]).all()
    everything = {p.plant_id: p for p in rank.rank(south, plants, places=False).plants}
    for plant_id in list(everything)[::40]:
        (line,) = rank.rank(south, plants, places=False, only=[plant_id]).plants
        assert line == everything[plant_id]


def test_the_ends_hold_every_draw(plants, south):
    """What is screened at the ends of all ranges is what the draws themselves would say."""
    ids = [p.plant_id for p in rank.rank(south, plants, places=False).plants][::9]
    some = traits(map(plants.plant, ids))
    groups = np.ones((len(ids), len(south.shore)))
    drawn = takeover.forecast(some, south, draws=draw(ids), nodes=3).takeover(groups)
    low, high = takeover.forecast(some, south, draws=ends(), nodes=3).takeover(groups).T
    assert (drawn >= low[:, None] - 1e-9).all() and (drawn <= high[:, None] + 1e-9).all()


def test_a_larger_risk_lets_in_more_and_never_less(plants, south):
    ids = [p.plant_id for p in rank.rank(south, plants, places=False).plants][::3]
    some = traits(map(plants.plant, ids))
    good = np.tile([s.described for s in south.shore], (len(ids), 1))
    wanted = good.sum(axis=1)
    strict, usual, bold = (chances(some, south.with_risk(r), good, wanted) for r in (2.0, 10.0, 40.0))
    for less, more in ((strict, usual), (usual, bold)):
        assert (less.groups_max <= more.groups_max).all() and (less.groups_max < more.groups_max).any()
        fits = less.groups_max >= 1
        assert (less.over[fits] <= less.groups_max[fits] * 0 + 0.4).all()


def test_the_plan_takes_what_the_ranking_says_and_not_one_group_more(plants, south):
    """Every candidate that the pond can take so many of: the program's limits accept them, set out as the ranking does, and refuse
    one more."""
    from plantpick.planting import candidates
    from plantpick.planting.model import Wishes
    from plantpick.planting.tally import fits

    ranked = rank.rank(south, plants, places=False)
    stock = candidates.select_candidates(south, plants, ranked)
    problem = candidates.build_problem(stock, Wishes().for_pond(south))
    lengths = containment.limits_of(south)[0]
    limited = [i for i, r in enumerate(stock.ranked) if not r.unlimited and not r.contained_by]
    assert len(limited) > 10
    for i in limited:
        number = stock.ranked[i].groups_max
        groups = np.zeros_like(problem.each)
        groups[i] = takeover.allot(stock.good[i : i + 1], lengths, number)[0]
        assert problem.ground.held(groups)[i] <= problem.limits.cap + 1e-9, stock.ranked[i].plant_id
        at = np.flatnonzero(problem.places.plant == i)[:1]
        if len(at):
            more = np.zeros(len(problem.places), dtype=int)
            more[at] = number + 1
            assert not fits(problem, more)


def test_a_planting_that_passes_a_limit_in_the_draws_is_refused(plants, south):
    """The straight lines are brought closer until the planting that the draws refuse is refused by them."""
    from plantpick.planting import candidates, plan, simulation
    from plantpick.planting.model import Wishes

    stock = candidates.select_candidates(south, plants, rank.rank(south, plants, places=False))
    problem = candidates.build_problem(stock, Wishes().for_pond(south))
    i = next(k for k, r in enumerate(stock.ranked) if r.groups_max == 1 and not r.contained_by)
    at = np.flatnonzero(problem.places.plant == i)
    numbers = np.zeros(len(problem.places), dtype=int)
    numbers[at] = 3
    groups = candidates.by_stretch(stock, problem.places, numbers)
    passes, _ = simulation.over_cap(stock, groups)
    assert passes[i].mean() > 0.1
    tighter = plan.tightened(stock, problem, numbers)
    assert tighter.ground.held(groups)[i] > problem.limits.cap
    assert plan.tightened(stock, problem, np.zeros_like(numbers)) is None


@pytest.mark.parametrize(
    "chance, words",
    [
        (0.0, "under 1 chance in 200"),
        (1 / 12, "1 chance in 12"),
        (0.125, "1 chance in 8"),
        (0.72, "7 chances in 10"),
        (0.99, "nearly certain"),
    ],
)
def test_a_chance_in_words(chance, words):
    assert chance_words(chance) == words


@pytest.mark.parametrize("risk", [0, 0.5, 51, "often"])
def test_a_risk_out_of_range_is_refused(tmp_path, risk):
    from plantpick.errors import PlantpickError
    from plantpick.files import pond_file

    text = (Path(__file__).parent.parent / "data/demo/south.toml").read_text()
    value = json.dumps(risk)
    (tmp_path / "p.toml").write_text(text.replace("[goals]", f"[goals]\nrisk_percent = {value}"))
    with pytest.raises(PlantpickError) as fault:
        pond_file.read_pond(tmp_path / "p.toml")
    (problem,) = fault.value.problems
    assert "risk_percent" in problem.where and "1 to 50" in problem.what


def test_a_lily_that_passes_by_the_number_still_names_the_tub(plants, south):
    """Common practice, no source: loose lilies take ponds over."""
    pond = replace(south, tolerance="some")
    for plant_id in ("nymphaea-odorata", "nuphar-advena"):
        (line,) = rank.rank(pond, plants, places=False, only=[plant_id]).plants
        assert not line.contained_by and "tubs" in line.notes[0]
    assert TENTH == pytest.approx(1.2816, abs=1e-4) and a_pond().risk_percent == 10.0


def test_many_groups_wanted_are_planned_only_within_the_risk(plants, south):
    """Two hundred groups are asked for: what passes the limit with so many is told to plan on fewer, or held."""
    pond = replace(south, groups_wanted=200)
    for plant_id in ("scirpus-cyperinus", "carex-stricta", "taxodium-distichum", "juncus-effusus"):
        (line,) = rank.rank(pond, plants, places=False, only=[plant_id]).plants
        assert line.contained_by or line.chance_over_cap <= 0.1, plant_id
        assert 1 <= line.groups_planned <= 200


def test_earthwork_or_cut_seed_heads_do_not_hold_what_is_never_to_stand_loose(plants, south):
    flat = replace(south, tolerance="free", stretches=tuple(replace(s, slope=9.0) for s in south.stretches))
    for plant_id in ("schoenoplectus-tabernaemontani", "equisetum-hyemale"):
        for line in rank.rank(flat, plants, places=False, only=[plant_id]).plants:
            assert containment.HOLDS_ROOTS & set(line.contained_by), plant_id
