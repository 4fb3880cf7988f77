"""How easily a native is bought: the rule from lists to the word, the cells, and what `plantpick plant` says of them."""

import json
from io import StringIO

import pandas as pd
import pytest
from few_plants import few_tables
from rich.console import Console

from plantpick.catalogue.availability import USDA_WORDS, availability_word, usda_words
from plantpick.catalogue.schema import TRAITS
from plantpick.errors import PlantpickError
from plantpick.files import catalogue
from plantpick.show.plant import plant_text, show_plant
from plantpick.vocabulary import AVAILABILITY

ROUTINE, CONTRACT, FIELD, NO_SOURCE = USDA_WORDS


@pytest.mark.parametrize(
    ("lists", "usda", "word"),
    [
        (3, "", "common"),
        (3, NO_SOURCE, "common"),  # the field is old: lists of today speak before it
        (1, ROUTINE, "common"),
        (2, "", "seldom"),
        (1, CONTRACT, "seldom"),
        (0, ROUTINE, "seldom"),
        (0, CONTRACT, "rare"),
        (0, FIELD, "rare"),
        (0, NO_SOURCE, "no source"),
        (0, "", "not seen"),
    ],
)
def test_the_word_follows_from_lists_and_from_usda(lists, usda, word):
    """Judgement: the rule is ours, docs/data.md gives it."""
    assert availability_word(lists, usda) == word


def test_more_lists_never_make_a_plant_scarcer():
    for usda in ("", *USDA_WORDS):
        ranks = [AVAILABILITY.index(availability_word(lists, usda)) for lists in range(6)]
        assert ranks == sorted(ranks, reverse=True)


def test_every_word_in_the_table_follows_by_the_rule(plants):
    lists, usda = plants.sold["plant_id"].value_counts(), usda_words(plants.evidence)
    table = plants.plants
    graded = table[table["availability"] != ""]
    for plant_id, word in graded["availability"].items():
        assert word == availability_word(int(lists.get(plant_id, 0)), usda.get(plant_id, "")), plant_id
    assert set(usda.values()) <= set(USDA_WORDS) and (graded["origin"] == "native").all()
    assert set(plants.sold["plant_id"]) <= set(graded.index)


def test_most_natives_have_a_word_and_each_its_evidence(plants):
    natives = plants.plants[plants.plants["origin"] == "native"]
    assert (natives["availability"] != "").sum() >= 673  # those that the lists were searched for
    seen = natives["availability"].value_counts()
    assert seen["common"] >= 100 and seen["seldom"] >= 250
    priced = natives[natives["price_low_usd"].notna()]
    assert len(priced) >= 32 and (priced["price_form"] != "").all() and (priced["price_year"] != "").all()
    assert {"availability", "forms_sold", "price_low_usd", "price_form", "price_year"} <= set(TRAITS)


@pytest.mark.parametrize(
    ("plant_id", "word", "forms", "price"),
    [
        # on four lists seen; prices of a Michigan district's spring order form of 2009
        ("acer-rubrum", "common", {"bare root", "pot"}, (0.82, 3.00, "bare root", "2009")),
        # USDA: routinely available; a district's tree sale of 2011, 25 for 35 dollars
        ("larix-laricina", "common", {"bare root"}, (1.40, 1.40, "bare root", "2011")),
        # USDA PLANTS characteristics: routinely available, on none of the lists
        ("baccharis-halimifolia", "seldom", set(), None),
        # USDA PLANTS characteristics: contracting only, on none of the lists
        ("callirhoe-involucrata", "rare", set(), None),
        ("calla-palustris", "not seen", set(), None),
    ],
)
def test_spot_values(plants, plant_id, word, forms, price):
    plant = plants.plant(plant_id)
    assert plant.availability == word and set(plant.forms_sold) == forms
    told = (plant.price_low_usd, plant.price_high_usd, plant.price_form, plant.price_year)
    assert told == price if price else plant.price_low_usd != plant.price_low_usd


def test_the_lists_name_kinds_of_sellers_and_are_all_dated_or_say_nothing(plants):
    lists = plants.sale_lists
    assert len(lists) >= 50 and lists["kind"].str.fullmatch(r"[A-Za-z -]+").all()
    assert lists["as_of"].str.fullmatch(r"(?:[\d;\- ]*)").all()
    # a firm that plants ponds for a fee, and an offer dug from the wild, are no lists of plants sold
    assert not lists["kind"].str.contains("planter|marketplace").any()


def test_check_refuses_a_word_that_does_not_follow(tmp_path):
    folder = few_tables(tmp_path / "data")
    table = pd.read_csv(folder / "plants.csv", dtype=str, keep_default_na=False)
    row = table.index[table["plant_id"] == "acer-rubrum"][0]
    table.loc[row, "availability"] = "rare"
    table.to_csv(folder / "plants.csv", index=False)
    sold = pd.read_csv(folder / "sold.csv", dtype=str, keep_default_na=False)
    sold.loc[0, "list_id"] = "no-such-list"
    sold.to_csv(folder / "sold.csv", index=False)
    with pytest.raises(PlantpickError) as refused:
        catalogue.load(folder, evidence=True, trust=False)
    told = [str(problem) for problem in refused.value.problems]
    assert any(f"plants.csv:{row + 2}:availability" in said and '"common"' in said for said in told)
    assert any("sold.csv:2:list_id" in said for said in told)


def page(plants, plant_id: str) -> str:
    """The page of a plant, as `plantpick plant` prints it, in one line."""
    out = Console(file=StringIO(), width=200)
    show_plant(out, plants, plant_id, None)
    return " ".join(out.file.getvalue().split())


def test_plant_says_how_it_is_sold(plants):
    said = page(plants, "acer-rubrum")
    assert "easy: several lists" in said and "$0.82 to $3.00 each, bare root, 2009" in said
    record = json.loads(plant_text(plants, "acer-rubrum", "json"))["sold"]
    assert record["availability"] == "common" and record["lists_with_it"] == len(record["lists"]) == 4
    assert record["price_low_usd"] == 0.82 and record["forms"] == ["bare root", "pot"]
    assert "on no list that we read" in page(plants, "calla-palustris")
    assert "price seen" not in page(plants, "calla-palustris")


def test_an_introduced_plant_is_not_graded(plants):
    record = json.loads(plant_text(plants, "hydrilla-verticillata", "json"))["sold"]
    assert record["availability"] is None and record["lists"] == []
    unknown = page(plants, "hydrilla-verticillata").split("Names")[0].partition("Not known:")[2]
    assert "sold" not in unknown
    nobody_looked = page(plants, "chelone-lyonii").split("Names")[0].partition("Not known:")[2]
    assert "sold" in nobody_looked


def test_ranking_and_plan_say_how_easily_a_plant_is_bought_in_the_same_words(south, plants):
    """One vocabulary and one rule: what `rank --obtainable` keeps is what a plan may be made of, but for a stand-in that is sold."""
    from plantpick.catalogue.availability import BOUGHT_MEANS, BOUGHT_WORDS, SOLD, bought, can_be_had
    from plantpick.planting.choice import fitting, with_a_source
    from plantpick.ranking.by_place import obtainable
    from plantpick.ranking.rank import rank

    assert (
        set(BOUGHT_WORDS) == set(BOUGHT_MEANS) == set(AVAILABILITY) and len(set(BOUGHT_WORDS.values())) == 5
    )
    assert bought("") == bought("not seen") == "ask" and bought("common") == "easy"
    assert not can_be_had("no source", False) and not can_be_had("rare", False)
    assert can_be_had("not seen", False) and not can_be_had("not seen", True) and can_be_had("seldom", True)
    ranked = rank(south, plants)
    fit = fitting(ranked)
    had = {p.plant_id for p in obtainable(fit)}
    planned = with_a_source(fit)
    assert planned and {p.plant_id for p in planned} <= had
    assert {p.plant_id for p in fit if p.availability in SOLD} <= {p.plant_id for p in planned}
