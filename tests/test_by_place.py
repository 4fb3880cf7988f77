"""The lists by place: every plant in one of them, the order worked by hand, and what the jobs leave out."""

import json
from dataclasses import replace

import pytest
from command_line import command

from plantpick import vocabulary
from plantpick.ranking import rank
from plantpick.ranking.by_place import EASIEST_FIRST, Place, by_place, order_words, place_of
from plantpick.ranking.site_factors import UNDER_OR_ON_WATER
from plantpick.show.ranking import depth_words, stretch_words


@pytest.fixture(scope="module")
def answers(plants, south):
    return {job: rank.rank(south, plants, job=job, places=False) for job in vocabulary.JOBS}


def test_where_each_form_goes():
    """By hand from the rule: stems deeper than 6 in stand in water, to 6 in above it the edge, higher the bank (judgement)."""
    assert place_of("submersed", 5) is Place.UNDER_WATER
    assert place_of("free-floating", 5) is place_of("floating-leaved", 30) is Place.FLOATING
    assert [place_of("sedge", d) for d in (7, 6, -6, -6.1)] == [
        Place.STANDING,
        Place.EDGE,
        Place.EDGE,
        Place.BANK,
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
    assert "First what stays put, then what a measure holds" in listed.order
    loose = [replace(one, contained_by=())]
    assert order_words(loose).startswith("All stay") and order_words([replace(one, **held)]).startswith(
        "Each"
    )
    assert set(EASIEST_FIRST) == set(vocabulary.AVAILABILITY)


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
    assert {listed.place for listed in by_place(shore)} == {Place.STANDING, Place.EDGE, Place.BANK}
    assert all(p.depth_in <= 18 for p in shore)
    assert [listed.place for listed in by_place(shade)] == [Place.WOODY]


def test_every_warning_is_in_the_two_sentences(plants, answers):
    """A poison, a sting, a law or a doubt is never cut off; the measure that holds a plant comes first."""
    from plantpick.ranking.cautions import CAUTION_WORDS

    for plant in answers["all"].plants:
        assert 1 <= len(plant.short_notes) <= 2
        said = " ".join(plant.short_notes).lower()
        for word in plants.plant(plant.plant_id).cautions:
            assert word == "woody" or CAUTION_WORDS[word].lower() in said, plant.plant_id
        assert plant.eligible != "unsure" or "not sure it is native" in said
        assert not plant.contained_by or plant.short_notes[0].startswith("Only with ")


def test_depth_and_stretches_the_shortest_way(answers):
    """By hand."""
    assert depth_words(15, 12) == "15 in deep, 3 in when the pond is down"
    assert depth_words(3, 12) == "3 in deep, dry when the pond is down"
    assert (depth_words(-9, 12), depth_words(15, 0)) == ("9 in above the water", "15 in deep")
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
        assert set(place) == {"place", "order", "plants", "more"} and place["plants"]
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
    assert text.index("Law") < text.index("What to do next") < text.index("plantpick plan demo")
    assert "plantpick offer demo offer.txt" in text
