"""Names that floras accept for another plant: reviewed one by one, held against the list, and said in the answers."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from few_plants import few_tables
from typer.testing import CliRunner

from plantpick.catalogue.taxa import bare_taxon
from plantpick.cli.app import app
from plantpick.errors import PlantpickError
from plantpick.files import catalogue
from plantpick.files.catalogue import data_folder
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture
def told(plants, book, south, north):
    """The answer for one line on the southern or the northern demo pond, in any state."""

    def run(text: str, state: str):
        pond = north if state in ("WI", "MN", "MI", "NY", "MA", "WA") else south
        return check_offer([Line(1, text)], replace(pond, state=state), plants, book=book).lines[0]

    return run


@pytest.fixture
def reviewed():
    return pd.read_csv(data_folder() / "synonyms_reviewed.csv", keep_default_na=False, dtype=str)


def test_every_synonym_that_a_list_accepts_for_itself_was_reviewed(plants, reference, reviewed):
    """National Wetland Plant List 2020 and USDA PLANTS, as tabled: a name accepted there is a synonym here only with a
    reason."""
    outside = pd.read_csv(reference / "wetland_plants.csv", keep_default_na=False, dtype=str)
    accepted = {bare_taxon(n) for n in outside["scientific_name"]}
    ours = {p: bare_taxon(n) for p, n in plants.plants["scientific_name"].items()}
    kept = {
        (bare_taxon(n), p)
        for n, p, d in zip(reviewed["name"], reviewed["plant_id"], reviewed["decision"])
        if d != "another species"
    }
    names = plants.names[plants.names["kind"] == "synonym"]
    found = {
        (bare_taxon(n), p)
        for n, p in zip(names["name"], names["plant_id"])
        if bare_taxon(n) in accepted and bare_taxon(n) != ours[p]
    }
    assert 15 <= len(found) <= 25
    assert found - kept == set()


@pytest.mark.parametrize(
    "text, state, instead, source",
    [
        ("Juncus megacephalus", "KY", "Juncus torreyi", "USDA PLANTS: JUME, AL to VA and TX"),
        ("Carex rostrata", "WI", "Carex utriculata", "USDA PLANTS: CARO6"),
        ("Juncus interior", "MS", "Juncus tenuis", "USDA PLANTS: JUIN2"),
        ("Ceratophyllum muricatum", "GA", "Ceratophyllum echinatum", "USDA PLANTS: CEMU3"),
        ("Pycnanthemum flexuosum", "MS", "Pycnanthemum tenuifolium", "USDA PLANTS: PYFL"),
        ("Glyceria elata", "WA", "Glyceria striata", "National Wetland Plant List 2020: tall manna grass"),
        ("Eleocharis erythropoda", "WI", "Eleocharis palustris", "Flora of North America 23, from memory"),
        ("Quercus prinus", "MS", "Quercus michauxii", "chestnut oak in trade: common practice, no source"),
        ("Photinia arbutifolia", "MS", "Aronia arbutifolia", "toyon: Flora of North America 9, from memory"),
        ("Potamogeton lucens", "WI", "Potamogeton illinoensis", "a European species: from memory"),
        ("Lobelia fulgens", "MS", "Lobelia cardinalis", "Mexican stock in trade: common practice, no source"),
        ("Salix cordata", "WI", "Salix eriocephala", "Flora of North America 7, from memory"),
        ("Heracleum sphondylium", "WI", "Heracleum maximum", "Europe's hogweed: from memory"),
        ("Hemianthus callitrichoides", "LA", "Micranthemum umbrosum", "an aquarium plant: common practice"),
        ("Schedonorus arundinaceus", "MN", "Scolochloa festucacea", "tall fescue: USDA PLANTS, from memory"),
    ],
)
def test_another_species_is_not_bought_as_a_native(told, text, state, instead, source):
    line = told(text, state)
    assert line.verdict in (ASK, LEAVE), source
    assert instead not in line.candidates, source


@pytest.mark.parametrize(
    "text, other",
    [
        # nurseries sell the Asian shrub so: common practice, no source; the wetland list of 2020 means red-osier by it
        ("Cornus alba", "Cornus alba"),
        ("red twig dogwood", "Cornus alba"),
        ("Redtwig Dogwood, 1 gal", "Cornus alba"),
        # the weed of dry ground and the pondweed share it: common practice, no source
        ("Peppergrass", "Lepidium latifolium"),
    ],
)
def test_a_name_shared_with_an_introduced_plant_is_asked_about(told, text, other):
    line = told(text, "WI")
    assert line.verdict == ASK and not line.sure and other in line.candidates


def test_a_garden_form_of_the_introduced_plant_is_left(told):
    """'Elegantissima' is one of Cornus alba alone: common practice, no source."""
    line = told("Cornus alba 'Elegantissima'", "WI")
    assert line.verdict == LEAVE and line.candidates == ("Cornus alba",)


@pytest.mark.parametrize(
    "text, state, native, other",
    [  # what garden centers sell under these names: common practice, no source
        ("climbing hydrangea", "MS", "Decumaria barbara", "Hydrangea petiolaris"),
        ("Rain Lily", "MS", "Zephyranthes atamasca", "Zephyranthes candida"),
        ("blue lobelia", "MS", "Lobelia siphilitica", "Lobelia erinus"),
        ("yellow canna", "MS", "Canna flaccida", "Canna X generalis"),
        ("Texas red oak", "MS", "Quercus texana", "Quercus buckleyi"),
        ("plane tree", "MS", "Platanus occidentalis", "Platanus X hispanica"),
        ("false cypress", "MS", "Chamaecyparis thyoides", "Chamaecyparis obtusa"),
        ("Indian Pink", "MS", "Lobelia cardinalis", "Spigelia marilandica"),
        ("banana plant", "MS", "Nymphoides aquatica", "Musa basjoo"),
        ("snowbell", "MS", "Styrax americanus", "Styrax japonicus"),
        ("bugleweed", "WI", "Lycopus americanus", "Ajuga reptans"),
        ("rattlesnake grass", "WI", "Glyceria canadensis", "Briza maxima"),
        ("vervain", "WI", "Verbena hastata", "Verbena officinalis"),
        ("elderberry", "WI", "Sambucus canadensis", "Sambucus nigra"),
        ("arborvitae", "WI", "Thuja occidentalis", "Platycladus orientalis"),
        ("larch", "WI", "Larix laricina", "Larix decidua"),
        ("Pussy Willow", "WI", "Salix discolor", "Salix caprea"),
        ("pink spirea", "WA", "Spiraea douglasii", "Spiraea japonica"),
        ("water speedwell", "WI", "Veronica americana", "Veronica anagallis-aquatica"),
        # weeds that bear the name: USDA composite list of noxious weeds 2015 for three of the four, from memory
        ("whitetop", "MN", "Scolochloa festucacea", "Lepidium draba"),
        ("mugwort", "WA", "Artemisia douglasiana", "Artemisia vulgaris"),
        ("traveler's joy", "WA", "Clematis ligusticifolia", "Clematis vitalba"),
        ("wild parsnip", "WI", "Berula erecta", "Pastinaca sativa"),
    ],
)
def test_a_common_name_of_several_plants_is_not_one_natives(told, text, state, native, other):
    line = told(text, state)
    assert line.verdict in (ASK, LEAVE) and not line.sure
    assert {native, other} <= set(line.candidates)


def test_the_native_stays_clear_where_its_own_name_stands(told):
    """Cornus sericea is native to Wisconsin: USDA PLANTS."""
    assert told("Cornus sericea, Red Twig Dogwood", "WI").verdict == BUY


@pytest.mark.parametrize(
    "text, accepted",
    [  # USDA PLANTS and the National Wetland Plant List 2020 give these names to one plant
        ("Scirpus validus", "Schoenoplectus tabernaemontani"),
        ("Eupatorium fistulosum, Joe Pye weed", "Eutrochium fistulosum"),
        ("Pontederia lanceolata", "Pontederia cordata"),
        ("Osmunda cinnamomea", "Osmundastrum cinnamomeum"),
    ],
)
def test_a_changed_name_is_said(told, text, accepted):
    line = told(text, "MS")
    written = " ".join(text.replace(",", "").split()[:2])
    assert line.verdict in (BUY, CONTAIN) and line.candidates == (accepted,)
    assert f"{accepted} (sold as {written}, another name of it)" in line.reason


def test_a_native_split_from_another_answers_by_itself(told):
    """Balsam poplar is native to Wisconsin, black cottonwood is not: USDA PLANTS and the regional lists."""
    line = told("Populus balsamifera", "WI")
    assert line.candidates == ("Populus balsamifera",) and line.sure


def test_an_accepted_name_is_not_called_another_name(told):
    for text in ("Iris virginica", "Schoenoplectus tabernaemontani (syn. Scirpus validus)"):
        assert "sold as" not in told(text, "MS").reason


def test_the_page_of_a_plant_says_when_another_name_was_asked_for():
    shown = " ".join(CliRunner().invoke(app, ["plant", "scirpus validus"]).output.split())
    assert "Scirpus validus is another name of Schoenoplectus tabernaemontani." in shown
    own = CliRunner().invoke(app, ["plant", "Schoenoplectus tabernaemontani"]).output
    assert "is another name of" not in own


def _add(table: str, row: dict):
    def change(folder):
        path = folder / f"{table}.csv"
        frame = pd.read_csv(path, dtype=str, keep_default_na=False)
        pd.concat([frame, pd.DataFrame([row])]).to_csv(path, index=False)
        return f"{table}.csv:{len(frame) + 2}:"

    return change


def _name(plant_id: str, name: str, kind: str = "synonym"):
    return _add("names", {"plant_id": plant_id, "name": name, "kind": kind})


def _decision(name: str, plant_id: str, decision: str):
    row = {"name": name, "plant_id": plant_id, "accepted_as": "x", "decision": decision, "reason": "made up"}
    return _add("synonyms_reviewed", row | {"source_id": "plantpick-memory"})


@pytest.mark.parametrize(
    "change, said",
    [  # all made up
        (_name("juncus-torreyi", "Juncus megacephalus"), "reviewed as another species"),
        (_name("juncus-effusus", "Juncus megacephalus", "trade"), "reviewed as another species"),
        (_name("iris-virginica", "Iris versicolor"), "accepted name of iris-versicolor"),
        (_decision("Iris nowhere", "iris-virginica", "same plant"), 'does not give "Iris nowhere"'),
        (_decision("Iris shrevei", "iris-virginica", "several plants"), "only one bears it"),
        (_decision("Iris shrevei", "iris-virginica", "refused alike"), "iris-virginica is native"),
        (_decision("Iris shrevei", "iris-virginica", "perhaps"), "not one of the words allowed"),
        (_decision("Iris shrevei", "iris-nowhere", "another species"), 'no plant "iris-nowhere"'),
    ],
)
def test_a_new_synonym_is_held_against_the_list(tmp_path, change, said):
    folder = few_tables(tmp_path / "data")
    where = change(folder)
    with pytest.raises(PlantpickError) as caught:
        catalogue.load(folder, evidence=True)
    assert any(where in str(p) and said in str(p) for p in caught.value.problems), caught.value.problems
