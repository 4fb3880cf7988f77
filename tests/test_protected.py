"""Plants that are protected where they grow wild: what the lists say, and what the answers make of it."""

from dataclasses import replace

import pytest

from plantpick.catalogue.protection import FEDERAL_CLASSES, Protected, protected_words
from plantpick.offers import verdict as verdicts
from plantpick.offers.check import Line, check_offer
from plantpick.ranking import rank
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.vocabulary import STATES
from tests.conftest import a_pond


@pytest.mark.parametrize(
    "state, plant, status",
    [
        # USDA PLANTS, threatened and endangered plants by state, February 2018
        ("FL", "lobelia-cardinalis", "threatened"),
        ("NY", "lobelia-cardinalis", "exploitably vulnerable"),
        ("FL", "osmundastrum-cinnamomeum", "commercially exploited"),
        ("IA", "osmundastrum-cinnamomeum", "endangered"),
        ("IL", "alnus-incana", "endangered"),
        ("MD", "iris-prismatica", "endangered"),
        ("MI", "carex-typhina", "threatened"),
        ("NY", "ranunculus-flabellaris", None),  # listed in MD, RI and TN only
        ("TN", "ranunculus-flabellaris", "threatened"),
    ],
)
def test_classes_as_the_lists_have_them(plants, state, plant, status):
    found = {row.status for row in plants.protected_in(plant, state)}
    assert status in found if status else not found


def test_a_class_that_the_copy_lost_is_not_made_up(plants):
    """Nuphar advena, listed in Connecticut as Nuphar lutea ssp. advena with an empty class in the file."""
    (row,) = plants.protected_in("nuphar-advena", "CT")
    assert row.status == "class not shown" and "class not known" in row.words
    assert row.listed_as in row.words


def test_the_federal_list_holds_one_whole_species_and_parts_of_two(plants):
    """50 CFR 17.12 as USDA PLANTS gives it, for the plants of the catalogue."""
    federal = plants.protected[plants.protected["jurisdiction"] == "US"]
    assert set(federal["status"]) <= set(FEDERAL_CLASSES)
    whole = {
        plant
        for plant in federal["plant_id"]
        for row in plants.protected_in(plant, "TX")
        if row.federal_species
    }
    assert whole == {"zizania-texana"}
    assert set(federal["plant_id"]) == whole | {"lilium-pardalinum", "sidalcea-oregana"}
    assert federal["remark"].str.len().gt(0).all()  # which part, and where it grows


def test_a_listed_subspecies_keeps_nobody_from_the_common_plant(plants):
    """The Pitkin Marsh lily of Sonoma County: the leopard lily itself is sold and planted."""
    found = eligibility(plants, "lilium-pardalinum", "CA")
    assert found.code == GateCode.CLEAR
    assert "Lilium pardalinum ssp. pitkinense" in found.protection and "common form" in found.protection


def test_protection_rules_out_no_plant_but_a_federal_species(plants):
    """Digging is forbidden, nursery stock is not: over every plant and state."""
    for plant in plants.plant_ids:
        for state in STATES:
            found = eligibility(plants, plant, state)
            bare = replace(found, protected=())
            assert bare.refused == found.refused
            if found.protected and found.code == GateCode.PROTECTED:
                assert any(row.federal_species for row in found.protected), found


def test_every_class_has_words_and_a_thing_to_do():
    """Made-up rows."""
    from plantpick.vocabulary import PROTECTED_STATUS

    for status in PROTECTED_STATUS:
        row = Protected("OH", status, "Iris virginica", "a list", "2018-02", "")
        words = protected_words((row,))
        assert "Ohio" in words and "nursery-grown" in words and not words.endswith(".")
    assert protected_words(()) == ""


def _on_protected_ground(plants):
    """A pond in Ohio, and a plant that ranks there and is protected in Ohio."""
    pond = a_pond(state="OH", hardiness_zone="6b")
    ranked = rank.rank(pond, plants, places=False).plants
    return pond, next(p for p in ranked if plants.protected_in(p.plant_id, "OH"))


def test_rank_and_offer_say_leave_wild_plants_alone(plants):
    pond, plant = _on_protected_ground(plants)
    assert any(note.startswith("Protected in Ohio") and "never dig it" in note for note in plant.notes)
    grade = verdicts.Judge(pond, plants).grade(plant.plant_id)
    assert grade.verdict in (verdicts.BUY, verdicts.CONTAIN)
    assert "protected in Ohio" in grade.reason and verdicts.PAPERS in grade.questions
    offer = check_offer([Line(1, f"{plant.scientific_name}, 2 in plug, $3.00")], pond, plants)
    (line,) = offer.lines
    assert "protected in Ohio" in line.reason and verdicts.PAPERS.text in line.questions


def test_a_federal_species_on_an_offer_is_left(plants):
    """Texas wild rice: 43 FR 17910, 1978."""
    grade = verdicts.Judge(a_pond(state="TX", hardiness_zone="8b"), plants).grade("zizania-texana")
    assert grade.verdict == verdicts.LEAVE
    assert "federal list of endangered plants" in grade.reason and "50 CFR 17.12" in grade.reason


@pytest.mark.parametrize(
    "plant, group",
    [
        ("cypripedium-reginae", "Orchidaceae"),
        ("lilium-philadelphicum", "Lilium"),
        ("gentiana-rubricaulis", "Gentiana"),
    ],
)
def test_a_group_that_a_statute_names_covers_plants_known_by_name(whole, plant, group):
    """Minn. Stat. 18H.18: the orchid family, lilies and gentians of any species; the described ones had it already."""
    (row,) = [r for r in whole.protected_in(plant, "MN") if r.status == "conserved wildflower"]
    assert row.named == f" as {group}"
    rows = whole.protected
    cited = rows[(rows["plant_id"] == plant) & (rows["status"] == "conserved wildflower")]
    assert list(cited["source_id"]) == ["mn-18h-18"] and list(cited["citation"]) == ["Minn. Stat. 18H.18"]


def test_every_native_orchid_lily_and_gentian_of_minnesota_has_its_word(whole):
    """No gap between the plants that are described and those known by name only."""
    table = whole.plants
    group = (table["family"] == "Orchidaceae") | table["scientific_name"].str.match(r"(Lilium|Gentiana)\b")
    natives = [p for p in table.index[group] if whole.status_in(p, "MN") == "native"]
    assert len(natives) >= 15
    for plant in natives:
        assert "conserved wildflower" in {row.status for row in whole.protected_in(plant, "MN")}, plant


@pytest.mark.parametrize(
    "name, state, status",
    [  # USDA PLANTS, threatened and endangered plants, February 2018
        ("Helonias bullata", "US", "threatened"),
        ("Helonias bullata", "MD", "endangered"),
        ("Sagittaria fasciculata", "US", "endangered"),
        ("Aeschynomene virginica", "US", "threatened"),
        ("Abies balsamea", "CT", "endangered"),
        ("Howellia aquatilis", "WA", "threatened"),
    ],
)
def test_plants_known_by_name_are_protected_too(whole, name, state, status):
    rows = {row.place: row.status for row in whole.protected_in(whole.find(name))}
    assert rows[state] == status


@pytest.mark.parametrize(
    "name",
    ["Howellia aquatilis", "Halophila johnsonii", "Lomatium bradshawii", "Echinacea tennesseensis"],
)
def test_a_plant_taken_off_the_federal_list_is_not_held_on_it(whole, name):
    """Taken off in 2021, 2022, 2021 and 2011 (86 FR 31955, 87 FR 22137, 86 FR 13200, 76 FR 46632; from memory)."""
    assert "US" not in {row.place for row in whole.protected_in(whole.find(name))}


def test_every_whole_federal_species_is_left_in_every_state(whole):
    """50 CFR 17.12: no answer of any state lets one through, wherever the pond lies."""
    federal = [p for p in whole.plant_ids if any(row.federal_species for row in whole.protected_in(p))]
    assert len(federal) >= 65
    assert {
        "zizania-texana",
        "helonias-bullata",
        "sagittaria-secundifolia",
        "potamogeton-clystocarpus",
    } <= set(federal)
    for plant in federal:
        for state in STATES:
            found = eligibility(whole, plant, state)
            assert found.code in (GateCode.LISTED, GateCode.PROTECTED), (
                plant,
                state,
            )  # Arkansas lists one as a weed of rice
            assert "50 CFR 17.12" in found.protection


def test_an_offer_leaves_a_federal_species_that_is_known_by_name(whole):
    lines = [
        "Helonias bullata, bare root, $9.00",
        "bunched arrowhead, plug, $4.00",
        "Carex gynandra, plug, $2.00",
    ]
    offer = check_offer([Line(i, t) for i, t in enumerate(lines, 1)], a_pond(state="NC"), whole)
    pink, arrowhead, sedge = offer.lines
    assert pink.verdict == arrowhead.verdict == verdicts.LEAVE
    assert "federal list of threatened plants" in pink.reason
    assert "federal list of endangered plants" in arrowhead.reason
    assert sedge.verdict == verdicts.ASK


def test_a_place_or_class_that_is_none_is_a_problem():
    """Made-up cells of by_name.csv."""
    import pandas as pd

    from plantpick.catalogue.by_name import check_by_name, protected_parts

    assert list(protected_parts("OH endangered;US threatened as Iris old", "Iris new")) == [
        ("OH", "endangered", "Iris new"),
        ("US", "threatened", "Iris old"),
    ]
    row = {
        "plant_id": "iris-new",
        "scientific_name": "Iris new",
        "common_name": "new iris",
        "common_names": "",
        "synonyms": "",
        "native_states": "OH",
        "introduced_states": "",
        "unsure_states": "",
        "protected": "OH endangered;ZZ endangered;NY precious",
    }
    tables = {
        "by_name": pd.DataFrame([row]),
        "plants": pd.DataFrame({"plant_id": ["x"], "scientific_name": ["X x"]}),
        "names": pd.DataFrame({"name": ["x"]}),
    }
    problems = []
    check_by_name(tables, problems)
    assert [p.where for p in problems] == ["by_name.csv:2:protected"] * 2
