"""What may be a source of the tables, and what never is. Every name and address here is made up, unless said otherwise."""

import pandas as pd
import pytest
from few_plants import few_tables

from plantpick.catalogue.source_rules import SELLING_PLACE, is_public, trade_word
from plantpick.errors import PlantpickError
from plantpick.files import catalogue

GOOD = ("ridge-flora", "Flora of the ridge", "Ridge Botanical Society", "https://ridge.example/flora")


def judged(**changes: str):
    return trade_word(**(dict(zip(("source_id", "title", "producer", "url"), GOOD)) | changes))


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("title", "Rushes of the plain, Plant Finder"),
        ("title", "Pond plant selector"),
        ("title", "A plant database for home gardens"),
        ("title", "Encyclopedia of pond and bog plants"),
        ("title", "Plugs for sale, spring list"),
        ("title", "Rush (nursery catalog, product page)"),
        ("producer", "Blue Heron Nursery"),
        ("producer", "Two Rivers Nurseries, Inc."),
        ("producer", "Marsh & Meadow Growers"),
        ("producer", "Bright Tank Aquarium Supply"),
        ("producer", "Old Mill Garden Center"),
        ("producer", "The Lily Shop"),
        ("producer", "Reed (vendor)"),
        ("producer", "Plain Seed Company"),
        ("source_id", "heron-nursery-rush"),
        ("source_id", "reed-plant-finder"),
        ("url", "https://www.heronnursery.example/rush"),
        ("url", "https://ridge.example/PlantFinder/details?id=7"),
        ("url", "https://ridge.example/native-plant-database/rush"),
        ("url", "https://shop.ridge.example/rush"),
        ("url", "https://ridge.example/products/rush"),
        ("url", "https://myaquarium.example/rush"),
        ("url", "https://pleasantgardens.example/rush"),
    ],
)
def test_sellers_and_services_for_choosing_plants_are_told(column, text):
    found = judged(**{column: text})
    assert found and found[0] == column


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("title", "Restore your shore: a workshop for lake owners"),
        ("title", "Survival of rushes from nursery beds and from the wild"),  # a paper may study them
        ("title", "Fishes of the aquarium trade found in canals"),
        ("producer", "Ridge Botanical Garden"),
        ("producer", "Journal of Aquatic Plant Management"),
        ("source_id", "restoration-2004"),
        ("url", "https://papers.example/2013/weed-banished-from-water-gardens"),
        ("url", "https://ridgebotanicalgarden.example/monographs/rush"),
    ],
)
def test_papers_and_floras_are_let_through(column, text):
    assert judged(**{column: text}) is None


@pytest.mark.parametrize(
    "producer",
    [
        "State of Erewhon, Department of Agriculture",
        "Erewhon County Extension",
        "University of Erewhon",
        "USDA NRCS Erewhon Plant Materials Center",
        "Erewhon State Herbarium",
    ],
)
def test_public_bodies_are_let_through_whatever_they_call_their_pages(producer):
    pages = {"title": "Plant finder", "url": "https://agency.example/nursery/PlantFinder/"}
    assert is_public(producer) and judged(producer=producer, **pages) is None
    assert judged(**pages), "the page itself is of the kind that others may not have"


@pytest.mark.parametrize(
    "producer", ["University Avenue Nursery", "County Line Garden Center", "Extension Aquarium Shop"]
)
def test_a_shop_named_after_a_public_body_is_a_shop(producer):
    assert not is_public(producer) and judged(producer=producer)


def test_a_seller_named_in_a_locator_is_told():
    for said in (
        "nursery page: zones 3-8",
        "to 4 ft (vendor)",
        "12 in, quoted from a seller",
        "product page",
    ):
        assert SELLING_PLACE.search(said), said
    for said in ("spawning and nursery habitat", "species page: 6-8 ft", "p. 12: seed stored in sand"):
        assert not SELLING_PLACE.search(said), said


def test_the_tables_name_no_seller(plants):
    columns = [plants.sources[c] for c in ("source_id", "title", "producer", "url")]
    assert [cells for cells in zip(*columns) if trade_word(*cells)] == []
    assert not plants.evidence["locator"].str.lower().str.contains(SELLING_PLACE).any()


def test_check_refuses_a_table_that_rests_on_a_seller(tmp_path):
    """The whole way: a source and a locator of that kind are told with their rows, and what to do instead."""
    folder = few_tables(tmp_path / "data")
    sources = pd.read_csv(folder / "sources.csv", dtype=str, keep_default_na=False)
    rows = sources.index[sources["source_id"] != "plantpick-memory"]
    sources.loc[rows[0], "producer"] = "Blue Heron Nursery"
    sources.to_csv(folder / "sources.csv", index=False)
    evidence = pd.read_csv(folder / "evidence.csv", dtype=str, keep_default_na=False)
    evidence.loc[0, "locator"] = "vendor page, 3 ft"
    evidence.to_csv(folder / "evidence.csv", index=False)
    with pytest.raises(PlantpickError) as refused:
        catalogue.load(folder, evidence=True, trust=False)
    told = [str(problem) for problem in refused.value.problems]
    assert len(told) == 2 and all("agency" in said for said in told)
    assert told[0].startswith(f"sources.csv:{rows[0] + 2}:producer") and '"nursery"' in told[0]
    assert told[1].startswith("evidence.csv:2:locator")
