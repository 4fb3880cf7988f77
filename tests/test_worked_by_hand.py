"""Answers worked by hand where a slip in the program would clear a plant, pass a limit or change a price, and nothing else shows it.

Lines of offers and ponds are made up."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from conftest import a_pond
from test_planting import small_problem

from plantpick.catalogue.traits import traits
from plantpick.offers.check import Line, check_offer
from plantpick.offers.fuzzy_match import match_nearest
from plantpick.offers.match import ReadingKind
from plantpick.offers.prices import read_price
from plantpick.offers.purchase import DOLLARS, Unclear, Unit
from plantpick.offers.read_names import read_names
from plantpick.offers.verdict import ASK, BUY, LEAVE, OFFERED, Judge, ReasonCode
from plantpick.planting import candidates, relax, wish_report
from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, TYPICAL
from plantpick.planting.milp import IntegerProgram
from plantpick.planting.model import Wishes
from plantpick.planting.problem import Answer, Status
from plantpick.planting.tally import misses, reached
from plantpick.pond.model import Stretch, stretch_words
from plantpick.ranking import rank
from plantpick.ranking.cautions import short_notes
from plantpick.ranking.containment import applicable
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.explain import explain
from plantpick.ranking.rank import job_depths
from plantpick.ranking.site_factors import (
    DEPTHS,
    FACTORS,
    FLOODING_INDEX,
    GRAZER_INDEX,
    OVER_SPILLWAY_IN,
    Home,
    OnePlant,
    grazer_index,
    sites,
)
from plantpick.ranking.takeover_report import takeover_report
from plantpick.vocabulary import MEASURES

pytestmark = pytest.mark.usefixtures("ranked_once")


# Where a plant may stand, and what holds it.


def test_nothing_woody_stands_on_a_dam_at_any_depth(plants):
    """FEMA 534 (2005): no woody plant on an embankment. Half of this shore is dam; a depth that the survey never reaches
    is closed to all."""
    pond = a_pond(
        max_depth_ft=4.0,
        stretches=(Stretch("dam", 500.0, 3.0, dam=True), Stretch("cove", 500.0, 6.0)),
    )
    both = traits([plants.plant("acer-rubrum"), plants.plant("pontederia-cordata")])
    index = sites(both, pond).index
    assert not (index[0, 0] > 0).any() and (index[0, 1] > 0).any()
    assert not (index[:, :, DEPTHS > 48.0 + 1e-9] > 0).any()


def test_a_measure_holds_the_plants_whose_row_says_so(plants):
    """And two measures together hold those that both hold."""
    every = [*plants.every_plant()]
    known = traits(every)
    for words in (*((word,) for word in MEASURES), ("tub", "trim"), ("trim", "tub")):
        held = [set(words) <= set(p.contained_by) for p in every]
        assert applicable(known, words).tolist() == held, words


def test_what_has_to_be_held_says_so_in_a_list_and_nothing_else_does(plants, south):
    found = eligibility(plants, "pontederia-cordata", "MS")
    plant = plants.plant("pontederia-cordata")
    held = short_notes(
        found, plant, south, measures=("tub",), chore="tubs, lifted every third year", home=Home.NEAR
    )
    assert held[0] == "hold it: tubs, lifted every third year"
    loose = short_notes(found, plant, south, measures=(), chore="", home=Home.NEAR)
    assert not any("hold it" in note for note in loose)


def test_the_worst_grazer_decides_and_grass_carp_rule_out_what_grows_under_water(plants):
    """Judgement, docs/method.md; what eats a plant is its row's."""
    under = lambda p: p.growth_form in ("submersed", "free-floating")
    every = [p for p in plants.every_plant() if p.well_known]
    safe = next(p for p in every if not p.eaten_by)
    for animal in GRAZER_INDEX:
        eater = (p for p in every if animal in p.eaten_by and not (animal == "grass carp" and under(p)))
        eaten = traits([next(eater), safe])
        assert grazer_index(eaten, {animal}).tolist() == [GRAZER_INDEX[animal], 1.0], animal
        assert grazer_index(eaten, set()).tolist() == [1.0, 1.0]
    carp = next(p for p in every if "grass carp" in p.eaten_by and under(p))
    assert grazer_index(traits([carp]), {"grass carp"}).tolist() == [0.0]
    both = next(p for p in every if {"muskrat", "geese"} <= set(p.eaten_by))
    worst = min(GRAZER_INDEX["muskrat"], GRAZER_INDEX["geese"])
    assert grazer_index(traits([both]), {"geese", "muskrat"}).tolist() == [worst]


# Law and nativity.


def test_where_else_a_plant_is_native_is_told_only_of_one_not_recorded_here(plants):
    """Pickerelweed is native in Mississippi, Justicia americana not recorded in Oregon nor next to it (USDA PLANTS)."""
    assert eligibility(plants, "pontederia-cordata", "MS").near == ()
    assert eligibility(plants, "justicia-americana", "OR").near == ()
    assert eligibility(plants, "justicia-americana", "OR").state_name == "Oregon"


def test_an_invader_is_left_with_the_states_that_list_it():
    """Six states are five and others."""
    reason = OFFERED[GateCode.INVADER][1]
    one = Eligibility(plant_id="x", state="MS", code=GateCode.INVADER, native="not recorded", foreign=True)
    assert reason(one).endswith("known to take over")
    listed = replace(one, elsewhere=("AL", "TX"))
    assert reason(listed).endswith("known to take over; listed by law in AL, TX")
    many = replace(one, elsewhere=("AL", "TX", "FL", "GA", "SC", "NC"))
    assert reason(many).endswith("; listed by law in AL, TX, FL, GA, SC and others")


def test_a_list_is_named_by_its_place(plants, south):
    judge = Judge(south, plants)
    assert judge._place("US") == "the United States" and judge._place("MS") == "Mississippi"


def test_what_is_not_shipped_here_is_asked_about_first(plants, book, south):
    """A line that would be bought, with a question of its own on bare roots: the one on shipping goes before it."""
    text = "Pontederia cordata, bare root, $2.50, cannot ship to MS"
    (line,) = check_offer([Line(1, text)], south, plants, book=book).lines
    assert (line.verdict, line.code) == (ASK, ReasonCode.NOT_SHIPPED)
    free = check_offer([Line(1, text.replace("MS", "CA"))], south, plants, book=book).lines[0]
    first, *rest = [q.short for q in line.plant_questions]
    assert len(rest) >= 1 and rest == [q.short for q in free.plant_questions] and first not in rest


# Prices.


@pytest.mark.parametrize(
    "text, unit, per, amount, unclear",
    [
        ("$2.00 or $3.00", Unit.NOT_UNDERSTOOD, None, 2.0, Unclear.SEVERAL),
        ("US$5.00 (C$6.80)", Unit.EACH, 1, 5.0, Unclear.NO),
        ("$5.00 / €4.60", Unit.EACH, 1, 5.0, Unclear.NO),
        ("$12.00/flat", Unit.FLAT, None, 12.0, Unclear.NO),
        ("$12.00 a flat", Unit.FLAT, None, 12.0, Unclear.NO),
        ("$12.00 flat", Unit.EACH, 1, 12.0, Unclear.NO),
        ("$45/50 ct", Unit.PACK, 50, 45.0, Unclear.NO),
        ("$62.50/50 tray", Unit.TRAY, 50, 62.5, Unclear.NO),
        ("tray of 2 $20", Unit.TRAY, 2, 20.0, Unclear.NO),
        ("from $2.50", Unit.EACH, 1, 2.5, Unclear.FROM),
        ("$2.50 and up", Unit.EACH, 1, 2.5, Unclear.FROM),
    ],
)
def test_what_an_amount_is_for(text, unit, per, amount, unclear):
    price = read_price(text)
    assert (price.unit, price.per, price.breaks, price.open) == (unit, per, ((1, amount),), unclear)
    assert price.currency == DOLLARS


# What a line is.


@pytest.mark.parametrize(
    "text, kind",
    [
        # a label has at most five words that explain themselves, and forty letters
        ("sun shade moist wet dry: zorpwort", ReadingKind.NONE),
        ("sun shade moist wet dry full: zorpwort", ReadingKind.UNKNOWN),
        (f"Attracts{' ' * 32}: zorpwort", ReadingKind.NONE),
        (f"Attracts{' ' * 33}: zorpwort", ReadingKind.UNKNOWN),
        (": zorpwort", ReadingKind.UNKNOWN),
        ("Zorpwort: moist", ReadingKind.UNKNOWN),
    ],
)
def test_a_label_of_a_plants_page_names_no_plant(whole_book, text, kind):
    (reading,) = match_nearest([read_names(text, whole_book)], whole_book)
    assert reading.kind == kind


@pytest.mark.parametrize(
    "text, verdict, among",
    [
        # one letter is gone, and it may be the federal noxious weed Sagittaria sagittifolia (7 CFR 360.200) as well
        ("Sagittaria atifolia $2", ASK, {"Sagittaria latifolia", "Sagittaria sagittifolia"}),
        # the trade's words for a bunch of plants that live under water, hydrilla and egeria among them; and for parrot feather
        ("oxygenators 6 bunches $11.99", LEAVE, {"Hydrilla verticillata", "Egeria densa"}),
        ("feathers $2", LEAVE, {"Myriophyllum aquaticum"}),
        ("Taro, green 2gal", LEAVE, {"Colocasia esculenta"}),
        # a letter is gone from a native's common name: asked about, not bought for sure
        ("sot rush $2", ASK, {"Juncus effusus"}),
        # two native trees bear the name, and both fit
        ("Baldcypress whips 100/90.00", BUY, {"Taxodium distichum", "Taxodium ascendens"}),
    ],
)
def test_a_word_for_several_plants_is_judged_by_the_worst_of_them(
    whole, whole_book, south, text, verdict, among
):
    (line,) = check_offer([Line(1, text)], south, whole, book=whole_book).lines
    assert line.verdict == verdict and among <= set(line.candidates), line


def test_what_is_not_known_is_quoted_whole_and_many_names_are_counted(whole, whole_book, south):
    texts = ("E. philoxeroides", "Saururus cernuus (giant salvinia)")
    one, many = check_offer([Line(i, t) for i, t in enumerate(texts)], south, whole, book=whole_book).lines
    assert '"E philoxeroides" is not in our catalogue' in one.why
    assert len(many.candidates) == 5 and "and 1 more" in many.why, many.why


# Wishes and their limits.


@pytest.mark.parametrize("brush, asked", [(0.0, 20.0), (15.0, 5.0), (20.0, 0.0), (25.0, 0.0)])
def test_brush_in_place_counts_toward_the_cover_that_is_asked_for(brush, asked):
    pond = a_pond(cover_target_percent=20.0, brush_percent=brush)
    assert Wishes().for_pond(pond).cover == pytest.approx(asked)


def test_the_money_over_a_budget_is_what_is_missing():
    """A tenth of the water a group: 0.3 needs four groups (1 - 0.9^4 = 0.34), $40 at $10 each, $15 over a budget of $25."""
    problem = small_problem(
        own=[0.1], pessimistic=[0.01], ground=[0.01], cost=[10.0], plants=[7], cover=0.3, budget=25.0
    )
    answer = IntegerProgram(problem).solve(aim={"budget": 1.0}, open={"budget": 1e4}, gap=1e-6)
    assert answer.groups.tolist() == [4]
    assert answer.slack["budget"].sum() == pytest.approx(15.0, abs=1e-6)


def test_how_far_a_planting_is_from_its_wishes():
    """Two groups that cover a fifth each and one that covers a tenth: 1 - 0.8 x 0.8 x 0.9 = 0.424 of the water. Every plant for
    itself, 0.4 and 0.1: with no more than half of the two for one plant, 0.4 - 0.25 = 0.15 is too much."""
    problem = small_problem(
        own=[0.2, 0.1],
        pessimistic=[0.2, 0.1],
        ground=[0.1, 0.1],
        cost=[10.0, 5.0],
        plants=[7, 7],
        cover=0.5,
        cap=0.15,
        share=0.5,
        species=3,
        budget=20.0,
        most_plants=20,
    )
    groups = np.array([2, 1])
    assert reached(problem, groups) == pytest.approx(0.424)
    missed = {name: float(np.sum(v)) for name, v in misses(problem, groups).items() if np.any(v)}
    assert missed == pytest.approx(
        {"cover": 0.076, "share": 0.15, "cap": 0.05, "budget": 5.0, "plants": 1.0, "species": 1.0}
    )


def test_fish_cover_stands_in_water_at_low_pool(plants):
    """The pond falls 15 in. What floats on the water has to be over more than that, stems over six more."""
    some = traits([plants.plant("nymphaea-odorata"), plants.plant("pontederia-cordata")])
    afloat, stems = job_depths(some, "fish cover", 15.0)
    assert (DEPTHS == 15.0).any() and afloat.tolist() == (DEPTHS > 15.0).tolist()
    assert stems.tolist() == (DEPTHS >= 21.0).tolist()


def test_fish_cover_where_only_full_pool_reaches_it(plants):
    """The pond falls 15 in. At 12 in a lily (fish cover 2, bank hold 1) lies on the mud and shelters nothing, pickerelweed's stems
    stand and count by half (judgement); at 17 in both count in full, on the bank neither. With both purposes use is
    (2 x cover + hold) / 6."""
    some = traits([plants.plant("nymphaea-odorata"), plants.plant("pontederia-cordata")])
    at = [int(np.flatnonzero(DEPTHS == d)[0]) for d in (-3.0, 12.0, 15.0, 17.0)]
    assert rank.cover_left(some, DEPTHS, 15.0)[:, at].tolist() == [[0, 0, 0, 1], [0, 0.5, 0.5, 1]]
    assert rank.cover_left(some, DEPTHS, 0.0)[:, at].tolist() == [[0, 1, 1, 1], [0, 1, 1, 1]]
    lily = rank.use_index(some, ("fish cover", "bank hold"), 15.0)[0, at]
    assert lily.tolist() == pytest.approx([1 / 6, 1 / 6, 1 / 6, 3 / 6])


IN_WATER = ("submersed", "floating-leaved", "free-floating")


def test_plants_in_water_are_planned_at_the_depth_that_the_ranking_names(plants, south, hard):
    """And none where low pool leaves it dry. The hard pond falls 48 in: it used to get muskgrass at 12 in and lilies at 30."""
    places = 0
    for pond in (south, hard):
        ranked = rank.rank(pond, plants, places=False)
        stock = candidates.select_candidates(pond, plants, ranked, picked=None)
        found = candidates.build_problem(stock, Wishes().for_pond(pond)).places
        assert (found.depth_in <= pond.usual_drop_in).any()  # emergents are set there
        for plant, stretch, depth in zip(found.plant, found.stretch, found.depth_in):
            line = stock.ranked[plant]
            if line.growth_form in IN_WATER and pond.stretches[stretch].name == line.stretch:
                places += 1
                assert depth > pond.usual_drop_in, line.plant_id
                # dwarf sagittaria holds the bank as well, and has a place there
                assert depth == line.depth_in or plants.plant(line.plant_id).worth("bank hold") >= 2
    assert places > 15


def test_what_lives_in_water_shelters_fish_from_low_pool_down(plants):
    """A pond that falls 27 in, cell by cell: above that nothing of what lives under water or floats, below it all; stems both ways."""
    pond = a_pond(usual_drop_ft=2.25)
    stock = candidates.select_candidates(pond, plants, rank.rank(pond, plants, places=False))
    assert 27.0 in stock.cells.edges
    dry = stock.cells.edges[1:] <= 27.0
    limp = np.isin([r.growth_form for r in stock.ranked], IN_WATER)
    assert limp.any() and not limp.all()
    for count in (CAUTIOUS, TYPICAL, PESSIMISTIC):
        under, shelter = (stock.chances(5, count, fish=fish).own[..., :-1] for fish in (False, True))
        assert under[limp][..., dry].max() > 0 and shelter[limp][..., dry].max() == 0.0
        assert shelter[limp][..., ~dry] == pytest.approx(under[limp][..., ~dry])
        assert shelter[~limp] == pytest.approx(under[~limp]) and under[~limp][..., dry].max() > 0


def test_a_bank_is_held_at_its_waterline_and_other_purposes_anywhere(plants):
    pond = a_pond(purposes=("bank hold", "pollinator", "fish cover"))
    stock = candidates.select_candidates(pond, plants, rank.rank(pond, plants, places=False))
    problem = candidates.build_problem(stock, Wishes().for_pond(pond))
    bands = {serve.what.split(" on ")[0]: set() for serve in problem.serves}
    for serve in problem.serves:
        bands[serve.what.split(" on ")[0]] |= set(problem.places.band[serve.at])
    assert bands["bank hold"] and bands["bank hold"] <= set(candidates.BANK_BANDS)
    assert bands["pollinator"] - set(candidates.BANK_BANDS)


# Words of an explanation.


def test_flooding_counts_on_the_bank_down_to_the_waterline_and_in_no_water(plants, south):
    """Said of a plant that flooding harms, from below where the spillway keeps the water to the waterline, and of no other."""
    words = next(f.explanation for f in FACTORS if f.name == "level")
    harmed, well = (
        next(
            p
            for p in plants.every_plant()
            if (FLOODING_INDEX.get(p.flooding, 1.0) < 1) == harm and p.well_known
        )
        for harm in (True, False)
    )
    said = lambda plant, depth: words(OnePlant(traits([plant]), 0), south, south.stretches[0], depth)
    for depth, told in ((OVER_SPILLWAY_IN, False), (OVER_SPILLWAY_IN + 1, True), (0.0, True), (3.0, False)):
        assert ("on the bank no more than" in said(harmed, depth)) == told, depth
        assert "on the bank no more than" not in said(well, depth)


def test_the_sun_a_plant_likes_is_told_with_the_shore_it_gets(plants, south):
    told = explain(south, plants, "pontederia-cordata")
    (words,) = (t for n, _, t in told.factors if n == "sun")
    assert words.startswith("likes ") and "; this is " in words


def test_a_measure_that_would_change_nothing_says_why(plants):
    """A pond of 2:1 banks only; white water lily held by cutting back, not by tubs unless its row says so."""
    steep = a_pond(stretches=(Stretch("north", 700.0, 2.0), Stretch("south", 500.0, 2.5)))
    flat = a_pond(stretches=(Stretch("north", 700.0, 6.0), Stretch("south", 500.0, 6.0)))
    plant = plants.plant("nymphaea-odorata")
    for pond, words in ((steep, "no bank is flatter"), (flat, "")):
        told = {name: why for name, _, why in takeover_report(pond, plants, "nymphaea-odorata").changed}
        assert told["bank steepened to 3:1"] == words
        for name, word in (
            ("set in pots or tubs", "tub"),
            ("cut back to its first size each spring", "trim"),
        ):
            assert (told[name] == "") == (word in plant.contained_by), name
    assert np.isfinite(plant.spread_high_ft_yr)


@pytest.mark.parametrize(
    "plant_id, north, south",
    [
        # woolgrass, half a foot a year at the most, nine years: 4.5 ft. A quarter of its 7 ft on a 6:1 bank is less, of its
        # 35 ft on one of 30:1 more
        ("scirpus-cyperinus", "deep water", "deep water (its own slowness first)"),
        ("pontederia-cordata", "deep water", "deep water"),  # 1.8 ft a year
        ("schizachyrium-scoparium", "the waterline", "the waterline"),  # lives above the water alone
    ],
)
def test_what_ends_the_advance_of_an_edge(plants, plant_id, north, south):
    pond = a_pond(stretches=(Stretch("north", 700.0, 6.0), Stretch("south", 500.0, 30.0)))
    told = {stop.stretch: stop.by for stop in takeover_report(pond, plants, plant_id).stops}
    assert told == {"north": north, "south": south}


def test_a_stretch_has_its_article_where_it_needs_one():
    assert stretch_words("dam", "west bank") == "the dam and the west bank"
    assert (
        stretch_words("everything else", "My side", "The point")
        == "everything else and My side and The point"
    )
    assert (
        stretch_words("rest of the shore") == "the rest of the shore"
        and stretch_words("alder run") == "the alder run"
    )


def test_a_plant_in_water_that_stands_dry_says_that_it_shelters_nothing(plants, hard):
    """Cutleaf watermilfoil on a pond 48 in down holds a bank a little; American water-willow keeps its stems."""
    ranked = rank.rank(
        hard, plants, places=False, only=["myriophyllum-pinnatum", "justicia-americana"], next_door=True
    )
    notes = {r.plant_id: " ".join(r.notes) for r in ranked.plants}
    assert "in above the water when the pond is down: it dies back" in notes["myriophyllum-pinnatum"]
    assert "in above the water when the pond is down" in notes["justicia-americana"]
    assert "shelters no fish" not in notes["justicia-americana"]


def test_what_is_not_enough_and_what_we_do_not_know_stand_in_one_sentence():
    """None is known not to be enough, NaN is not known as the time ran out (made up): two lines under each other contradicted one another."""
    pond = a_pond()
    solution = relax.Solution(
        answer=Answer(
            status=Status.UNSETTLED, groups=np.zeros(0), value=0.0, gap=None, slack={}, bound=0.0, ended=False
        ),
        loosened={"cap": None, "year and count": None, "cover": math.nan},
        met=False,
        goal=0.0,
        most=None,
    )
    wishes = Wishes(cover=1.0).for_pond(pond)
    (said,) = wish_report.advice((), wishes, pond, {}, solution)
    assert said == (
        "Loosening one of these alone is not enough: your limit for one plant, more time and typical growth together. For the others "
        "the time ran out before we knew: the cover."
    )
    only_open = replace(solution, loosened={"cover": math.nan})
    (said,) = wish_report.advice((), wishes, pond, {}, only_open)
    assert said == "The time ran out before we knew whether loosening one of these is enough: the cover."
