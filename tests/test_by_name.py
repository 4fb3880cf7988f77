"""Plants known by name only: they have their states and a short answer, are never bought, and move no other line."""

import csv
import json
import shutil
from pathlib import Path

import pandas as pd
import pytest
import score_offers

from plantpick.catalogue.by_name import OWN_CELLS, parts
from plantpick.errors import PlantpickError
from plantpick.files import catalogue
from plantpick.files.catalogue import data_folder
from plantpick.offers.check import Line, check_offer, read_one_by_one
from plantpick.offers.name_index import name_book
from plantpick.offers.verdict import BUY, CONTAIN, NOT_NEEDED
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.show.plant import plant_text
from plantpick.vocabulary import STATES

pytestmark = pytest.mark.usefixtures("ranked_once")

DATA = Path(__file__).resolve().parent / "data"


@pytest.fixture(scope="module")
def table():
    return pd.read_csv(data_folder() / "by_name.csv", dtype=str, keep_default_na=False)


@pytest.fixture(scope="module")
def book(whole_book):
    return whole_book


def test_a_thousand_plants_are_known_by_name_each_with_its_states(table):
    assert len(table) >= 1000 and table["plant_id"].is_unique
    natives = table[table["origin"] == "native"]
    unborne = natives[natives["native_states"] == ""]
    assert (
        len(unborne) <= 240 and (unborne["unsure_states"] != "").all()
    )  # lists of Texas and the West are few
    assert not (table["native_states"][table["origin"] == "introduced"] != "").any()
    for status in ("native", "introduced", "unsure"):
        assert set().union(*map(parts, table[f"{status}_states"])) <= set(STATES)
    for _, row in table.iterrows():
        states = [s for status in ("native", "introduced", "unsure") for s in parts(row[f"{status}_states"])]
        assert len(states) == len(set(states)), row["plant_id"]


@pytest.mark.parametrize(
    ("name", "state", "status"),
    [  # USDA PLANTS, states of March 2026, each borne out by a floristic list of the state or its region
        ("Carex bromoides", "MS", "native"),
        ("Carex gynandra", "NY", "native"),
        ("Carex gynandra", "MS", "not recorded"),
        ("Floerkea proserpinacoides", "OH", "native"),
        ("Abies balsamea", "ME", "native"),
        # by USDA alone: nothing else was seen
        ("Carex bromoides", "TX", "unsure"),
    ],
)
def test_their_states(whole, name, state, status):
    assert whole.status_in(whole.find(name), state) == status


def test_a_ranking_does_not_read_them(table):
    """They would be a thousand lines of "cannot be placed"."""
    assert not set(catalogue.load().plant_ids) & set(table["plant_id"])


def test_the_gate_lets_none_of_them_through(table, whole):
    barred = {
        GateCode.LISTED,
        GateCode.PERMIT,
        GateCode.PROTECTED,
        GateCode.INVADER,
        GateCode.INTRODUCED,
        GateCode.INTRODUCED_HERE,
        GateCode.DRY_GROUND,
        GateCode.NOT_RECORDED,
        GateCode.LITTLE_KNOWN,
    }
    for state in ("MS", "OH", "TX", "MN", "CA"):
        for plant_id in table["plant_id"]:
            assert eligibility(whole, plant_id, state, next_door=True).code in barred


@pytest.mark.slow
def test_no_line_that_names_one_is_bought(table, whole, south):
    names = [*table["scientific_name"], *table["common_name"]]
    told = check_offer([Line(i, name) for i, name in enumerate(names, 1)], south, whole)
    assert len(told.lines) == len(names)
    assert not [line.text for line in told.lines if line.verdict in (BUY, CONTAIN, NOT_NEEDED)]


@pytest.mark.parametrize(
    ("line", "plant"),
    [  # the trade's own names, common practice, no source
        ("java moss, golf ball", "Taxiphyllum barbieri"),
        ("Leyland cypress 3 gal", "Cupressus x leylandii"),
        ("Loblolly pine seedlings", "Pinus taeda"),
        ("Bur oak, bare root", "Quercus macrocarpa"),
        ("pecan", "Carya illinoinensis"),
        ("Lablab", "Lablab purpureus"),
        ("Broomsedge Bluestem Andropogon virginicus", "Andropogon virginicus"),
        ("Sedum acre, goldmoss", "Sedum acre"),
        ("Italian cypress 15 gal", "Cupressus sempervirens"),
        ("Mexican bush sage, 1 gal", "Salvia leucantha"),
        ("Jalapeno pepper, 4 in pot", "Capsicum annuum"),
        ("Copper Canyon Daisy Tagetes lemmonii", "Tagetes lemmonii"),
        ("Roselle (Hibiscus sabdariffa)", "Hibiscus sabdariffa"),
        ("Habranthus robustus bulbs", "Habranthus robustus"),
        ("Striped rush (Baumea rubiginosa)", "Machaerina rubiginosa"),
        ("Dianella tasmanica 'Variegata' variegated flax lily", "Dianella tasmanica"),
        ("Ash leafed spirea", "Sorbaria sorbifolia"),
        ("Star jasmine 3 gal", "Trachelospermum jasminoides"),
    ],
)
def test_names_of_tree_sales_food_plots_and_tanks_are_known_and_left(line, plant, whole, south):
    (told,) = check_offer([Line(1, line)], south, whole).lines
    assert told.candidates == (plant,) and told.verdict not in (BUY, CONTAIN, NOT_NEEDED)


def test_their_scientific_names_are_read_for_sure(table, book):
    """Made-up lines around every accepted name; the rest are open, and none is another plant."""
    names = list(table["scientific_name"])
    readings = read_one_by_one([f"{name}, plug, $1.10" for name in names], book)
    meant = [[book.scientific[p] for p in r.candidates] for r in readings]
    sure = [r.sure and found == [name] for r, found, name in zip(readings, meant, names)]
    assert sum(sure) >= 0.97 * len(names)
    assert all(name in found for name, found in zip(names, meant)), [
        (n, f) for n, f in zip(names, meant) if n not in f
    ]


def stored_lines() -> list[str]:
    with (DATA / "honest_lines.csv").open(encoding="utf-8", newline="") as file:
        honest = [row["line_text"] for row in csv.DictReader(file)]
    return honest + [row["line_text"] for row in score_offers.rows_of(score_offers.OWN)]


def test_no_stored_line_is_read_otherwise_for_them(book, table):
    """Of all our lines none that was sure is open, none that was open is sure, and none loses a plant it may mean; but a line
    that bears a name of one of them is answered for it."""
    lines = stored_lines()
    own = {
        row["scientific_name"]: [row["scientific_name"], row["common_name"], *parts(row["common_names"])]
        for _, row in table.iterrows()
    }

    def names_one(text: str, found: set[str]) -> bool:
        return all(any(name.lower() in text.lower() for name in own.get(plant, ())) for plant in found)

    without = name_book(catalogue.load())
    changed = []
    for text, before, after in zip(lines, read_one_by_one(lines, without), read_one_by_one(lines, book)):
        lost = {without.scientific[p] for p in before.candidates} - {
            book.scientific[p] for p in after.candidates
        }
        if before.sure != after.sure or lost or (before.kind == "none") != (after.kind == "none"):
            if after.candidates and names_one(text, {book.scientific[p] for p in after.candidates}):
                continue
            changed.append((text, before.sure, after.sure, lost))
    assert len(lines) > 1900 and changed == []


def test_no_name_of_theirs_is_one_of_a_described_plant(table, plants):
    described = {name.lower() for name in plants.tables["names"]["name"]}
    for column in ("scientific_name", "common_name", "common_names", "synonyms"):
        shared = {n for cell in table[column] for n in parts(cell) if n.lower() in described}
        assert shared == set(), column


def test_check_refuses_a_shared_name_and_a_plant_told_twice(tmp_path):
    folder = shutil.copytree(data_folder(), tmp_path / "data")
    table = pd.read_csv(folder / "by_name.csv", dtype=str, keep_default_na=False)
    table.loc[0, "common_names"] = "pickerelweed"
    table.loc[1, "plant_id"] = "pontederia-cordata"
    table.loc[2, "native_states"] = "MS;ZZ"
    table.to_csv(folder / "by_name.csv", index=False)
    with pytest.raises(PlantpickError) as refused:
        catalogue.load(folder, evidence=True, trust=False, by_name=True)
    told = "\n".join(str(problem) for problem in refused.value.problems)
    assert "by_name.csv:2:common_names" in told and "by_name.csv:3:plant_id" in told
    assert "by_name.csv:4:native_states" in told and "ZZ" in told


def test_what_no_list_has_says_that_it_is_recalled(whole, table):
    """A garden plant that no regional list has, and one that eight of them have as a weed or an escape (ERDC, 2023)."""
    told = {
        plant: {
            r["trait"]: r["basis"]
            for r in json.loads(plant_text(whole, plant, "json"))["traits"]
            if r["basis"]
        }
        for plant in ("salvia-leucantha", "sedum-acre")
    }
    assert told["salvia-leucantha"]["origin"] == told["salvia-leucantha"]["family"] == "memory"
    assert told["sedum-acre"]["origin"] == told["sedum-acre"]["family"] == "published"


def test_the_page_says_that_only_the_name_is_known(whole):
    record = json.loads(plant_text(whole, "carex-bromoides", "json"))
    assert "by name only" in record["remark"] and "MS" in record["states"]["native"]
    told = {row["trait"]: row["basis"] for row in record["traits"] if row["basis"]}
    assert set(told) == {"family", "growth form", "origin"} and len(OWN_CELLS) == len(told)
