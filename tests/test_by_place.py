"""The lists by place: every plant in one of them, the order worked by hand, and what the jobs leave out."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import command

from plantpick import vocabulary
from plantpick.ranking import rank
from plantpick.ranking.by_place import (
    EASIEST_FIRST,
    Place,
    by_place,
    obtainable,
    order_words,
    place_of,
    surely_ahead,
)
from plantpick.ranking.cautions import CAUTIONS_IN_SHORT
from plantpick.ranking.explain import explain
from plantpick.ranking.often_asked import often_asked
from plantpick.ranking.site_factors import UNDER_OR_ON_WATER, Home
from plantpick.show.ranking import depth_words, stretch_words

pytestmark = pytest.mark.usefixtures("ranked_once")
afresh = rank.rank  # for what is asked twice


@pytest.fixture(scope="module")
def answers(plants, south):
    told = {job: rank.rank(south, plants, job=job, places=False) for job in vocabulary.JOBS}
    return told | {"spread": rank.rank(south, plants, only=["pontederia-cordata", "juncus-effusus"])}


def test_where_each_form_goes():
    """By hand from the rule: stems deeper than 6 in stand in water, to 6 in above it the edge, higher the bank (judgement)."""
    assert place_of("submersed", 5) is Place.UNDER_WATER
    assert place_of("free-floating", 5) is place_of("floating-leaved", 30) is Place.FLOATING
    assert [place_of("sedge", d) for d in (7, 6, -6, -6.1, -36, -36.1)] == [
        Place.STANDING,
        Place.EDGE,
        Place.EDGE,
        Place.BANK,
        Place.BANK,
        Place.DRY_BANK,
    ]
    assert {place_of(form, -9) for form in vocabulary.WOODY} == {Place.WOODY}


@pytest.mark.parametrize("job", vocabulary.JOBS)
def test_every_ranked_plant_is_in_exactly_one_place(answers, job):
    told = [p.plant_id for listed in by_place(answers[job].plants) for p in listed.plants]
    assert sorted(told) == sorted(p.plant_id for p in answers[job].plants)


def test_the_order_within_a_place_by_hand(answers):
    """One plant of the demo pond under made-up figures: sure natives first, then what stays put, how easily bought, score."""
    one = replace(answers["all"].plants[0], contained_by=(), eligible="clear")
    held, unsure = {"contained_by": ("tub",)}, {"eligible": "unsure"}
    made = {
        "g unsure": {"score": 99.0, "availability": "common", **unsure},
        "f held": {"score": 99.0, "availability": "common", **held},
        "e rare": {"score": 90.0, "availability": "rare"},
        "d not seen": {"score": 20.0, "availability": "not seen"},
        "c seldom": {"score": 90.0, "availability": "seldom"},
        "b common": {"score": 50.0, "availability": "common"},
        "a common": {"score": 60.0, "availability": "common"},
    }
    (listed,) = by_place([replace(one, plant_id=name, **facts) for name, facts in made.items()])
    assert [p.plant_id for p in listed.plants] == sorted(made)
    assert "First what needs no work from you, then what a measure holds" in listed.order
    loose = [replace(one, contained_by=())]
    assert order_words(loose).startswith("All stay") and order_words([replace(one, **held)]).startswith(
        "Each"
    )
    assert {*EASIEST_FIRST, "no source"} == set(vocabulary.AVAILABILITY)


@pytest.mark.parametrize("job", vocabulary.JOBS)
def test_the_explanation_for_a_job_names_the_depth_of_the_list(answers, plants, south, job):
    ranked = answers[job].plants
    assert ranked
    for plant in ranked[:: max(1, len(ranked) // 8)]:
        told = explain(south, plants, plant.plant_id, job=job)
        assert (told.stretch, told.band, told.depth_in) == (plant.stretch, plant.band, plant.depth_in)
        assert dict(told.use).keys() == set(south.purposes) and not told.ruled_out


def test_what_is_rare_in_the_wild_and_on_no_list_is_not_obtainable(answers):
    one = replace(answers["all"].plants[0], cautions=("wild harvest",))
    made = [replace(one, plant_id=w, availability=w) for w in vocabulary.AVAILABILITY]
    assert [p.plant_id for p in obtainable(made)] == ["common", "seldom"]


def test_the_short_list_has_at_most_two_of_a_genus(answers):
    one = answers["all"].plants[0]
    names = ["Carex a", "Carex b", "Carex c", "Juncus a", "Carex d", "Iris a"]
    (listed,) = by_place(
        [
            replace(one, plant_id=n, scientific_name=n, score=90.0 - i, contained_by=())
            for i, n in enumerate(names)
        ]
    )
    assert [p.plant_id for p in listed.best()] == ["Carex a", "Carex b", "Juncus a", "Iris a"]
    assert [p.plant_id for p in listed.best(3)] == ["Carex a", "Carex b", "Juncus a"]
    assert [p.plant_id for p in listed.best(6)] == names  # all were asked for
    for listed in by_place(answers["all"].plants):
        genera = [p.scientific_name.split()[0] for p in listed.best()]
        assert len(genera) <= 4 and max(map(genera.count, genera)) <= 2


def test_fish_cover_is_what_stands_in_water_at_low_pool(answers, south):
    """The demo pond falls 12 in: leaves under or on the water still have some then, stems six inches of it."""
    lists = by_place(answers["fish cover"].plants)
    assert [listed.place for listed in lists] == [Place.UNDER_WATER, Place.FLOATING, Place.STANDING]
    for plant in answers["fish cover"].plants:
        low = plant.depth_in - south.usual_drop_in
        assert low > 0 if plant.growth_form in UNDER_OR_ON_WATER else low >= 6, plant.plant_id
    dry = [r for r in answers["fish cover"].ruled_out if "when the pond is down" in r.reason]
    assert dry and {r.code for r in dry} == {"use"}


def test_the_other_jobs_keep_to_their_places(answers):
    shore, shade = answers["shoreline"].plants, answers["shade"].plants
    assert {listed.place for listed in by_place(shore)} == {
        Place.STANDING,
        Place.EDGE,
        Place.BANK,
        Place.DRY_BANK,
    }
    assert all(p.depth_in <= 18 for p in shore)
    assert [listed.place for listed in by_place(shade)] == [Place.WOODY]


def test_no_warning_is_left_out_of_a_list(plants, answers):
    """A poison, a sting, a law or a doubt is never cut off; what has to hold a plant comes first; no note where none is due."""
    for row in answers["all"].plants:
        plant, said = plants.plant(row.plant_id), " ".join(row.short_notes)
        for word in plant.cautions:
            assert word == "woody" or CAUTIONS_IN_SHORT[word] in said, row.plant_id
        assert ("may not be native" in said) == (row.eligible == "unsure")
        assert bool(row.contained_by) == (bool(row.short_notes) and row.short_notes[0].startswith("hold it"))
        assert ("restricted in" in said) == bool(plants.listed_elsewhere(row.plant_id, "MS"))
        assert ("protected" in said) == bool(plants.protected_in(row.plant_id, "MS"))
    woolgrass = next(p for p in answers["all"].plants if p.plant_id == "scirpus-cyperinus")
    assert woolgrass.short_notes == ()
    told = command("rank", "demo", columns=200).stdout
    assert (
        "A double is" not in command("rank", "demo", "--job", "shade", columns=200).stdout
    )  # of no plant there
    for said in (
        "Drifts:",
        "Look-alike:",
        "life jacket",
        "licensed electrician",
        "25 ft",
        "label",
        "Never move",
    ):
        assert said in told


def test_equals_are_named_as_ties(answers):
    """By hand: scores of 80 and 78 with 10 to 90 % points 10 either way tie, as 2 < sqrt(10^2 + 10^2) = 14.1; 80 and 64 do
    not. What is easier to buy stands on another rung and never ties with the rest."""
    one = answers["all"].plants[0]

    def plant(name, score, off=10.0, availability="common"):
        return replace(
            one,
            plant_id=name,
            scientific_name=name,
            score=score,
            score_range=(score - off, score + off),
            availability=availability,
            contained_by=(),
            eligible="clear",
        )

    assert not surely_ahead(plant("a", 80), plant("b", 78)) and surely_ahead(plant("a", 80), plant("b", 64))
    (listed,) = by_place(
        [plant("A a", 80), plant("B b", 78), plant("C c", 64), plant("D d", 63, availability="seldom")]
    )
    assert [[p.plant_id for p in tie] for tie in listed.ties()] == [["A a", "B b"]]
    spread = [p for p in answers["spread"].plants if p.plant_id == "pontederia-cordata"][0]
    assert spread.score_range[0] < spread.score < spread.score_range[1] + 5


def test_depth_and_stretches_the_shortest_way(answers):
    """By hand."""
    assert [depth_words(*d) for d in ((15, 12), (3, 12), (-9, 12), (15, 0))] == [
        "15 (3)",
        "3 (dry)",
        "9 above",
        "15",
    ]
    shore = ("a", "b", "c")
    plant = replace(
        answers["all"].plants[0], stretch="a", band="edge", good_places=tuple((s, "edge", 0.9) for s in shore)
    )
    assert stretch_words(plant, shore) == "all round"
    assert stretch_words(replace(plant, good_places=plant.good_places[:2]), shore) == "a, b"
    assert stretch_words(plant, (*shore, "dam")) == "all but dam"
    assert stretch_words(replace(plant, good_places=(("b", "bank", 0.9),)), shore) == "a"


def test_the_answer_has_the_lists_as_json_and_on_the_terminal(answers):
    told = json.loads(command("rank", "demo", "--job", "fish-cover", "-f", "json").stdout)
    ids = {p["plant_id"]: p for p in told["plants"]}
    for place in told["places"]:
        assert ids[place["plants"][0]]["place_in_list"] == 1
        at = [ids[plant]["place_in_list"] for plant in place["plants"]]
        assert at == sorted(set(at))
        assert set(place) == {"place", "order", "plants", "ties", "more"} and place["plants"]
        assert all(ids[plant]["place_kind"] == place["place"] for plant in place["plants"])
        shown, all_here = (
            len(place["plants"]),
            sum(p["place_kind"] == place["place"] for p in told["plants"]),
        )
        assert shown + place["more"] == all_here
    text = command("rank", "demo", "--job", "fish-cover", columns=80).stdout
    assert text.index("Under water") < text.index("Floating leaves") < text.index("Standing in water")
    for place in told["places"]:
        assert ids[place["plants"][0]]["common_name"] in text
    assert text.index("Law changes") < text.index("What to do next") < text.index("plantpick plan demo")
    assert "plantpick offer demo offer.txt" in text


def test_the_answer_fits_two_screens(answers):
    """Seven lists of four with their notes on 80 columns: two screens of 60 lines, and no sentence said twice."""
    text = command("rank", "demo", columns=80).stdout
    lists = by_place(answers["all"].plants)
    assert len(lists) == 7 and len(text.splitlines()) <= 130
    sentences = [s for s in " ".join(text.split()).split(". ") if len(s) > 40]
    assert len(sentences) == len(set(sentences))


def test_plants_often_asked_for_have_this_ponds_reason_and_a_stand_in_from_the_lists(plants, answers):
    """Cattail by its forecast here, parrot feather by the gate; a stand-in stands in the short list of the same place."""
    answer = answers["all"]
    lists = by_place(answer.plants)
    told = {n.plant_id: n for n in often_asked(answer, plants, lists)}
    out, fits = {r.plant_id: r for r in answer.ruled_out}, {p.plant_id for p in answer.plants}
    assert (
        not set(told) & fits and "nuphar-advena" in fits
    )  # the demo pond takes spatterdock: it is in the lists
    assert told["typha-latifolia"].chance > 0.1 and "nothing holds it" in told["typha-latifolia"].reason
    assert "not native" in told["pontederia-crassipes"].in_short
    for plant_id, one in told.items():
        assert one.reason == out[plant_id].reason
        stand_in = next(listed for listed in lists if one.instead in listed.plants)
        assert one.instead.plant_id in fits
        if any(_easy_by_hand(p) for p in stand_in.plants):
            assert _easy_by_hand(one.instead), one.instead.plant_id
        assert one.instead.site >= 0.2
    assert place_of("submersed", 30) is next(
        listed.place for listed in lists if told["ceratophyllum-demersum"].instead in listed.plants
    )
    text = command("rank", "demo", columns=200).stdout
    assert "Often asked for, not for this pond" in text and ", instead " in text


def _easy_by_hand(plant):
    """What an owner may be told to set instead without a second thought."""
    warned = {"wild harvest", "lookalike", "never loose", "never plant"} & set(plant.cautions)
    return not (
        warned or plant.contained_by or plant.protection or plant.eligible != "clear" or plant.site < 0.2
    )


def test_one_depth_in_ranking_explanation_and_plan(plants, south):
    """The depth of the best place, wherever you ask; a plan has it among the places on that stretch."""
    from plantpick.planting import candidates
    from plantpick.ranking.explain import explain

    answer = rank.rank(south, plants, draws=64, places=False)
    for line in answer.plants[::40]:
        told = explain(south, plants, line.plant_id)
        assert (told.stretch, told.band, told.depth_in) == (line.stretch, line.band, line.depth_in)
    stock = candidates.select_candidates(south, plants, answer)
    places = candidates.build_problem(stock, _wishes(south)).places
    seen = {(r.plant_id, r.stretch): set() for r in stock.ranked}
    for plant, stretch, depth in zip(places.plant, places.stretch, places.depth_in):
        key = stock.ranked[plant].plant_id, south.stretches[stretch].name
        if key in seen:
            seen[key].add(float(depth))
    lines = {r.plant_id: r for r in stock.ranked}
    assert "taxodium-distichum" in lines
    for (plant_id, _), depths in seen.items():
        assert not depths or lines[plant_id].depth_in in depths, plant_id


def _wishes(pond):
    from plantpick.planting.model import Wishes

    return Wishes().for_pond(pond)


def test_the_chances_of_one_plant_are_worked_out_once(plants, south, monkeypatch):
    """`explain` and `spread` take them from the ranking that they ask for."""
    from plantpick.ranking import chances, explain, takeover_report

    real, asked = chances.chances, []

    def count(some, *rest, **more):
        asked.append(tuple(some.plant_id))
        return real(some, *rest, **more)

    monkeypatch.setattr(rank, "rank", afresh)
    monkeypatch.setattr(rank, "chances", count)
    explain.explain(south, plants, "pontederia-cordata")
    assert asked == [("pontederia-cordata",)]
    takeover_report.takeover_report(south, plants, "pontederia-cordata")
    assert len(asked) == 2


def test_what_cannot_be_bought_is_left_out_on_request(answers):
    """By hand: grown to order only, and no source known with no list that has it; a list speaks before USDA's old word."""
    one = answers["all"].plants[0]
    made = [
        replace(one, plant_id=name, availability=word)
        for name, word in (
            ("a", "common"),
            ("b", "rare"),
            ("c", "not seen"),
            ("d", "no source"),
            ("e", "seldom"),
            ("f", ""),
        )
    ]
    assert [p.plant_id for p in obtainable(made)] == ["a", "c", "e", "f"]
    every = json.loads(command("rank", "demo", "-f", "json").stdout)["plants"]
    some = json.loads(command("rank", "demo", "-f", "json", "--obtainable").stdout)["plants"]
    gone = {p["plant_id"] for p in every} - {p["plant_id"] for p in some}
    assert "najas-guadalupensis" not in {p["plant_id"] for p in some}
    assert gone and all(
        p["availability"] in ("not seen", "no source", "rare") for p in every if p["plant_id"] in gone
    )


def test_plants_far_from_home_stand_after_the_others(plants, answers):
    """Large-leaf pondweed (to zone 8) on a pond in 8b: it lives, and stands after what is at home; with the reason."""
    told = {p.plant_id: p for p in answers["all"].plants}
    far = told["potamogeton-amplifolius"]
    assert far.home is Home.HOT_END and any("hot end" in note for note in far.notes)
    assert any("hot end" in note for note in far.short_notes)
    for listed in by_place(answers["all"].plants):
        sure = [bool(p.home) for p in listed.plants if p.eligible == "clear"]
        assert sure == sorted(sure)
    salty = [p for p in answers["all"].plants if plants.plant(p.plant_id).salinity_min_ppt > 0.1]
    assert all(p.home is Home.NEEDS_SALT for p in salty)


@pytest.mark.parametrize("typed", ["often", "60", "0", "-5", "nan"])
def test_a_risk_is_refused_in_our_own_words(typed):
    done = command("rank", "demo", f"--risk={typed}")
    assert done.returncode == 2 and "Say it in per cent, from 1 to 50" in " ".join(
        done.stderr.replace("│", " ").split()
    )


def test_a_list_where_nothing_stays_put_says_so(plants, south):
    """On a pond with a limit of half a per cent some lists hold only what has to be held: they say so, the others don't."""
    from io import StringIO

    from rich.console import Console

    from plantpick.show.ranking import show_ranking

    answer = rank.rank(south.with_tolerance(0.5), plants, draws=64, places=False)
    lists = by_place(answer.plants)
    held = [listed for listed in lists if all(p.contained_by for p in listed.plants)]
    assert 0 < len(held) < len(lists)
    out = Console(file=StringIO(), width=100)
    show_ranking(out, answer)
    assert out.file.getvalue().count("Nothing here keeps your limit by itself") == len(held)


def test_the_lines_of_the_readme_are_those_of_the_demo(answers):
    """Line by line, but for how many more there are: that changes with every plant that is entered."""

    def lines(text):
        return [re.sub(r"\(\+\d+\) *", "", line.rstrip()) for line in text.splitlines()]

    readme = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    block = lines(readme[readme.index("Standing in water (+") :].split("```")[0])
    shown = lines(command("rank", "demo", columns=80).stdout)
    assert len(block) == 7 and all(line in shown for line in block)


BARE_POND = """name = "bare"
state = "GA"
hardiness_zone = "8a"
[water]
area_acres = 2
max_depth_ft = 10
[[shore]]
name = "dam"
length_ft = 300
slope = 3
dam = true
[[shore]]
name = "rest"
length_ft = 800
slope = 5
"""


def test_the_head_says_what_was_not_given_and_what_we_assumed(tmp_path, south):
    """A made-up pond file with no more than must be given; the demo pond gives all of it."""
    bare = tmp_path / "bare.toml"
    bare.write_text(BARE_POND)
    text = " ".join(command("rank", str(bare)).stdout.split())
    head = text[text.index("Not given") : text.index("In deep:")]
    for word in (
        "purposes",
        "limit (5 %)",
        "frost dates",
        "Secchi",
        "summer drop",
        "pH",
        "salinity",
        "grass carp",
    ):
        assert word in head, word
    assert "Drifts: breaks loose and clogs the spillway" in text, "a dam has a spillway, named or not"
    assert "Not given" not in command("rank", "demo").stdout
