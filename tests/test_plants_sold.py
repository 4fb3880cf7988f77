"""Plants that nurseries list beside pond plants: described where a pond owner may plant them, else known by name."""

import pytest

from plantpick.ranking.eligibility import GateCode, eligibility

DESCRIBED = (  # natives of the bank that nurseries sell
    "Carex granularis",
    "Carex normalis",
    "Carex shortiana",
    "Carex vesicaria",
    "Carex typhina",
    "Cinna arundinacea",
    "Chelone lyonii",
    "Iris prismatica",
    "Symphyotrichum novi-belgii",
    "Viburnum lentago",
    "Viburnum trilobum",
    "Viburnum obovatum",
    "Amelanchier canadensis",
    "Vaccinium macrocarpon",
    "Scirpus pendulus",
    "Ranunculus flabellaris",
    "Potamogeton friesii",
    "Wolffia borealis",
    "Ludwigia glandulosa",
    "Hydrolea corymbosa",
    "Pedicularis lanceolata",
    "Verbesina alternifolia",
    "Celtis occidentalis",
    "Asimina triloba",
    "Callicarpa americana",
    "Corylus americana",
    "Cornus drummondii",
    "Prunella vulgaris",
    "Glycyrrhiza lepidota",
    "Helianthus giganteus",
)


@pytest.mark.parametrize("name", DESCRIBED)
def test_natives_that_nurseries_sell_are_described(plants, name):
    plant = plants.plant(plants.find(name))
    assert plant.scientific_name == name and plant.origin == "native" and plant.well_known


@pytest.mark.parametrize(
    ("name", "state", "status"),
    [  # floristic lists and USDA's states; the last by both, as an escape far from the plains
        ("Viburnum lentago", "MN", "native"),
        ("Amelanchier canadensis", "MD", "native"),
        ("Asimina triloba", "OH", "native"),
        ("Callicarpa americana", "MS", "native"),
        ("Corylus americana", "IA", "native"),
        ("Cornus drummondii", "KS", "native"),
        ("Celtis occidentalis", "NE", "native"),
        ("Viburnum trilobum", "WI", "native"),
        ("Callicarpa americana", "OH", "not recorded"),
        ("Asimina triloba", "CA", "not recorded"),
        ("Glycyrrhiza lepidota", "NE", "native"),
        ("Glycyrrhiza lepidota", "IL", "introduced"),
    ],
)
def test_their_states(plants, name, state, status):
    assert plants.status_in(plants.find(name), state) == status


@pytest.mark.parametrize(
    "name",
    [  # sown on dams and banks all over the South: common practice, no source
        "sericea lespedeza",
        "bahia grass",
        "bermudagrass",
        "crown vetch",
        "weeping lovegrass",
        "Johnson grass",
        "annual ryegrass",
        "reed canary grass",
        "tall fescue",
        "crimson clover",
        "browntop millet",
        "winter wheat",
        "cereal rye",
        "centipede grass",
    ],
)
def test_what_owners_hear_of_for_banks_is_known_and_refused(plants, name):
    lower = [n.lower() for n in plants.tables["names"]["name"]]
    ids = [p for p, n in zip(plants.tables["names"]["plant_id"], lower) if n == name.lower()]
    assert ids, name
    for plant_id in ids:
        found = eligibility(plants, plant_id, "MS")
        assert found.code in (GateCode.INTRODUCED, GateCode.INVADER, GateCode.LISTED), (plant_id, found.code)
        assert plants.plant(plant_id).remark


def test_the_two_cranberrybushes_are_never_one(plants):
    """Sold under one name: the European is introduced, so the name alone clears neither."""
    names = plants.names
    bearers = set(names["plant_id"][names["name"] == "highbush cranberry"])
    assert bearers == {"viburnum-trilobum", "viburnum-opulus"}
