"""The tables: whole, sourced cell by cell, and refused when broken."""

import json
from dataclasses import FrozenInstanceError, fields
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from few_plants import few_tables

from plantpick import vocabulary
from plantpick.catalogue import schema
from plantpick.catalogue.plants import Plant
from plantpick.catalogue.schema import TRAITS
from plantpick.catalogue.taxa import bare_taxon
from plantpick.errors import PlantpickError
from plantpick.files import catalogue, data_package
from plantpick.files.catalogue import data_folder


def test_the_tables_hold_and_every_filled_cell_has_evidence():
    """Loading without trust checks words, numbers, ranges, keys, references and one evidence row a filled cell."""
    assert len(catalogue.load(evidence=True, trust=False).plants) > 380


def test_every_source_is_used(plants):
    used = set().union(*(plants.tables[name]["source_id"] for name in schema.SOURCED))
    assert set(plants.sources["source_id"]) <= used


def test_sizes(plants):
    table = plants.plants
    native = table[(table["origin"] == "native") & (table["growth_form"] != "upland")]
    assert len(native) >= 260 and (table["origin"] == "introduced").sum() >= 120
    assert len(plants.names) >= 3000 and (table["growth_form"] == "upland").sum() >= 30
    assert set(native["growth_form"]) >= {
        "emergent",
        "sedge",
        "rush",
        "grass",
        "floating-leaved",
        "submersed",
        "free-floating",
        "bank forb",
        "fern",
        "shrub",
        "tree",
    }
    assert set(plants.coverage["jurisdiction"]) == {*vocabulary.STATES, "US"}


REGIONS = {
    "Southeast coastal plain": "FL GA SC AL",
    "Piedmont and mountains": "NC VA TN WV",
    "mid-South": "MS AR LA KY",
    "Texas and southern plains": "TX OK",
    "Midwest": "IA IL IN MO OH MI WI MN",
    "Northeast": "NY PA NJ CT MA VT NH ME RI DE MD",
    "northern plains": "ND SD NE KS",
    "mountain West": "MT WY CO ID UT",
    "desert West": "NV AZ NM",
    "Pacific": "CA OR WA",
}


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_has_choices_in_every_band(plants, region):
    from plantpick.catalogue.schema import NEEDED

    table = plants.plants
    usable = table[(table["origin"] == "native") & table[list(NEEDED)].notna().all(axis=1)]
    here = [
        p for p in usable.index if any(plants.status_in(p, s) == "native" for s in REGIONS[region].split())
    ]
    assert len(here) >= 25
    rows = usable.loc[here]
    for band, (shallow, deep) in vocabulary.BANDS.items():
        if band == "over 6 ft":  # rooted plants that deep are few anywhere: what lives there at all counts
            fits = rows["depth_max_in"] > shallow
        else:
            fits = (rows["depth_best_min_in"] < deep) & (rows["depth_best_max_in"] >= shallow)
        assert fits.sum() >= 2, (region, band)


def test_families_and_ratings_agree_with_the_wetland_list(plants, reference):
    """National Wetland Plant List 2020 and USDA PLANTS: rating in every region, and family, of every taxon that they hold under the
    same name. Families that floras have since renamed are listed in docs/disagreements.md."""
    outside = pd.read_csv(reference / "wetland_plants.csv", keep_default_na=False, dtype=str).set_index(
        "scientific_name"
    )
    told = (Path(__file__).parent.parent / "docs" / "disagreements.md").read_text()
    compared = 0
    for plant_id, row in plants.plants.iterrows():
        name = row["scientific_name"].replace("subsp.", "ssp.")
        if name not in outside.index:
            continue
        if name == "Cornus alba":  # the list means red-osier dogwood by it
            plant_id, row = "cornus-sericea", plants.plants.loc["cornus-sericea"]
        compared += 1
        other = outside.loc[name]
        for region in vocabulary.WETLAND_REGIONS:
            assert row[f"wetland_status_{region}"] == other[region], (plant_id, region)
        if other["family"] and row["family"] != other["family"]:
            assert row["scientific_name"] in told or other["family"] in told, (
                plant_id,
                row["family"],
                other["family"],
            )
    assert compared > 400


def test_a_state_is_native_only_where_something_says_so(plants, reference):
    """USDA PLANTS presence: a plant that USDA does not record for a state at all is not called native there unless a regional list
    or a stated second source does."""
    outside = pd.read_csv(reference / "wetland_plants.csv", keep_default_na=False, dtype=str).set_index(
        "scientific_name"
    )
    doubtful = 0
    native = plants.range[(plants.range["status"] == "native")]
    for plant_id, rows in native.groupby("plant_id"):
        name = plants.plants.at[plant_id, "scientific_name"]
        if name in outside.index and outside.at[name, "usda_native_states"]:
            recorded = set(
                (
                    outside.at[name, "usda_native_states"] + " " + outside.at[name, "usda_introduced_states"]
                ).split()
            )
            doubtful += (~rows["state"].isin(recorded) & (rows["remark"] == "")).sum()
    assert doubtful == 0


@pytest.mark.parametrize(
    "plant, state, status",
    [
        ("nymphaea-odorata", "WA", "introduced"),
        ("nymphaea-odorata", "MS", "native"),
        ("pontederia-cordata", "MS", "native"),
        ("iris-versicolor", "WI", "native"),
        ("iris-versicolor", "MS", "not recorded"),
        ("iris-missouriensis", "MT", "native"),
        ("cabomba-caroliniana", "MA", "introduced"),
        ("taxodium-distichum", "LA", "native"),
        ("vallisneria-americana", "WI", "native"),
    ],
)
def test_states_that_every_flora_agrees_on(plants, plant, state, status):
    """Spot values, from memory of the state floras."""
    assert plants.status_in(plant, state) == status


@pytest.mark.parametrize(
    "plant, state, status",
    [  # USDA PLANTS presence and the regional floristic lists of the US Army ERDC, 2023
        ("carex-granularis", "MS", "native"),
        ("carex-shortiana", "OH", "native"),
        ("carex-shortiana", "MS", "not recorded"),
        ("cinna-arundinacea", "GA", "native"),
        ("chelone-lyonii", "NC", "native"),
        ("chelone-lyonii", "NY", "introduced"),
        ("iris-prismatica", "NJ", "native"),
        ("viburnum-obovatum", "FL", "native"),
        ("vaccinium-macrocarpon", "WI", "native"),
        ("vaccinium-macrocarpon", "WA", "introduced"),
        ("hydrolea-corymbosa", "GA", "native"),
        ("pedicularis-lanceolata", "MN", "native"),
        ("potamogeton-friesii", "MN", "native"),
        ("populus-balsamifera", "MI", "native"),
        ("populus-balsamifera", "CA", "not recorded"),
    ],
)
def test_states_of_the_natives_added_later(plants, plant, state, status):
    assert plants.status_in(plant, state) == status


@pytest.mark.parametrize(
    "plant, column, low, high",
    [  # USDA PLANTS characteristics: mature height in feet, soil pH
        ("carex-granularis", "height_max_in", 30, 30),
        ("carex-granularis", "ph_min", 6.0, 6.0),
        ("viburnum-obovatum", "height_max_in", 144, 144),
        ("cinna-arundinacea", "ph_min", 4.0, 4.0),
        # greatest depth at least the 95 % point of 1,476 stands (96 in): Muthukrishnan and Larkin 2020
        ("potamogeton-friesii", "depth_max_in", 96, 200),
    ],
)
def test_figures_of_the_natives_added_later(plants, plant, column, low, high):
    assert low <= plants.plants.at[plant, column] <= high


def test_genus_listings_and_their_exceptions(plants):
    meant = plants.taxa.covered("Salvinia spp.", "Salvinia minima")
    assert "salvinia-molesta" in meant and "salvinia-minima" not in meant
    assert plants.taxa.covered("Eichhornia crassipes") == {"pontederia-crassipes"}


def test_phragmites_lineages_stand_apart(plants):
    assert plants.plants.at["phragmites-australis", "origin"] == "introduced"
    assert plants.plants.at["phragmites-australis-subsp-americanus", "origin"] == "native"
    assert plants.taxa.covered("Phragmites australis subsp. australis") == {"phragmites-australis"}


def test_a_plant_has_the_columns_of_the_registry_with_their_types(plants):
    """One row read by the constructor's side door is what the constructor makes of the same values."""
    kinds = {schema.Kind.LIST: "tuple[str, ...]", schema.Kind.TEXT: "str"}
    told = {c.name: kinds.get(c.kind, "float") for c in schema.PLANT_COLUMNS}
    assert {field.name: field.type for field in fields(Plant)} == told
    plant = plants.plant("pontederia-cordata")
    values = {field.name: getattr(plant, field.name) for field in fields(Plant)}
    assert repr(Plant(**values)) == repr(plant)
    assert isinstance(plant.eaten_by, tuple) and plant.common_name == "pickerelweed"
    assert all(isinstance(values[name], float) for name in schema.NUMBERS)
    with pytest.raises(FrozenInstanceError):
        plant.common_name = "cattail"


def test_every_plant_is_read_as_its_row_says(plants):
    table = plants.plants
    assert plants.plant_ids == tuple(table.index)
    for column in ("depth_max_in", "spacing_in", "spread_ft_yr"):
        read = [getattr(plant, column) for plant in plants.every_plant()]
        assert np.array_equal(read, table[column].to_numpy(dtype=float), equal_nan=True)
    woody = [plant.plant_id for plant in plants.every_plant() if plant.woody]
    assert woody == list(
        table.index[table["growth_form"].isin(["shrub", "tree"]) | table["cautions"].str.contains("woody")]
    )


def test_the_page_lists_the_columns_of_the_registry():
    page = (data_folder().parent / "docs" / "data.md").read_text(encoding="utf-8")
    assert data_package.with_columns(page) == page
    for column in schema.COLUMNS:
        assert f"| `{column.name}` | {column.kind.value} | {column.description}" in page


def test_the_version_of_the_data_rises_with_what_changes():
    """Made up: a table of two columns, then other cells, one more column, one less."""

    def resource(content, *names):
        return {"path": "a.csv", "hash": content, "schema": {"fields": [{"name": n} for n in names]}}

    before = {"version": "2.3.4", "resources": [resource("x", "one", "two")]}
    assert data_package.version(before, [resource("x", "one", "two")]) == "2.3.4"
    assert data_package.version(before, [resource("y", "one", "two")]) == "2.3.5"
    assert data_package.version(before, [resource("y", "one", "two", "three")]) == "2.4.0"
    assert data_package.version(before, [resource("x", "one", "three")]) == "3.0.0"
    assert data_package.version({}, []) == data_package.FIRST_VERSION


def test_listed_natives(plants):
    """Natives that some state's law lists: white water lily in Washington; Carolina fanwort in New England."""
    assert plants.listed("nymphaea-odorata", "WA")
    assert plants.listed("cabomba-caroliniana", "MA")
    assert not plants.listed("nymphaea-odorata", "MS")


REGRETTED = {
    "nelumbo-lutea": 3,
    "nymphaea-odorata": 1.5,
    "nuphar-advena": 1,
    "typha-latifolia": 2,
    "typha-domingensis": 3,
    "brasenia-schreberi": 1,
    "justicia-americana": 1.5,
}
JUMPERS = (
    "ceratophyllum-demersum",
    "najas-guadalupensis",
    "typha-latifolia",
    "salix-nigra",
    "potamogeton-crispus",
)


def test_the_natives_that_owners_regret_show_it(plants):
    """Common practice, no source (extension leaflets and owners' own accounts agree on the names, not on numbers)."""
    for plant, least in REGRETTED.items():
        assert plants.plants.at[plant, "spread_ft_yr"] >= least, plant
    for plant in JUMPERS:
        assert plants.plants.at[plant, "jump"] == "high", plant


def test_well_behaved_plants_do_not_run(plants):
    for plant in (
        "pontederia-cordata",
        "peltandra-virginica",
        "juncus-effusus",
        "iris-virginica",
        "iris-versicolor",
        "hibiscus-moscheutos",
        "cephalanthus-occidentalis",
    ):
        assert plants.plants.at[plant, "spread_ft_yr"] <= 1.0, plant
        assert plants.plants.at[plant, "jump"] in ("none", "low"), plant


def test_cells_that_were_read_again_against_their_source(plants):
    """Yeo 1964: rhizomes 10 ft across in six months, a diameter. Drying out is typically fatal to bulltongue (University of
    Texas flora page, read). Corn lily poisons sheep, cattle and goats (USDA ARS, read); atamasco lily: common practice, no
    source."""
    assert plants.plant("typha-latifolia").spread_high_ft_yr == 5
    for plant in ("sagittaria-lancifolia", "hymenocallis-liriosme"):
        assert plants.plant(plant).drawdown == "none", plant
    for plant in ("veratrum-californicum", "zephyranthes-atamasca"):
        assert "livestock" in plants.plant(plant).cautions, plant
    assert "lookalike" in plants.plant("acorus-americanus").cautions
    told = plants.evidence
    for plant, trait in (
        ("epilobium-hirsutum", "spread_high_ft_yr"),  # a length of rhizome, no rate
        ("alternanthera-philoxeroides", "spread_high_ft_yr"),  # a length of runner
        ("potamogeton-natans", "eaten_by"),  # the table speaks of grass carp alone
        ("ruppia-maritima", "eaten_by"),
    ):
        rows = told[(told["plant_id"] == plant) & (told["trait"] == trait)]
        assert len(rows) and not (rows["basis"] == "published").any(), (plant, trait)
    assert (
        "grass carp" in plants.plant("eleocharis-quadrangulata").eaten_by
    )  # they eat its relatives: Mississippi table
    rows = told[(told["plant_id"] == "potamogeton-crispus") & told["trait"].str.startswith("depth")]
    assert not rows["source_id"].str.contains("adirondack").any()  # a length of stem


@pytest.mark.parametrize(
    "plant, column, low, high, source",
    [
        (
            "pontederia-cordata",
            "depth_max_in",
            12,
            30,
            "12 to 30 in: Thunhorst 1993 as tabled, Clemson Extension (read)",
        ),
        (
            "typha-latifolia",
            "depth_max_in",
            18,
            48,
            "12 to 18 in planted: Thunhorst 1993 as tabled; deeper in nature",
        ),
        ("juncus-effusus", "depth_max_in", 3, 12, "3 in: Thunhorst 1993 as tabled"),
        (
            "peltandra-virginica",
            "depth_max_in",
            12,
            36,
            "12 in: Thunhorst 1993 as tabled; 6 feet elsewhere is a slip of units",
        ),
        (
            "vallisneria-americana",
            "depth_best_min_in",
            12,
            47.2,
            "0.9-1.2 m preferred: Korschgen and Green 1988 (read)",
        ),
        ("nelumbo-lutea", "advance_depth_high_in", 72, 144, "to 6 ft: UF/IFAS SS-AGR-375 (read)"),
    ],
)
def test_spot_values_against_published_ones(plants, plant, column, low, high, source):
    assert low <= plants.plants.at[plant, column] <= high, source


def test_salinity_of_cattails(plants):
    """Narrowleaf 15 to 30 ppt, broadleaf under 1 (treatment-wetland handbook, seen second hand): broadleaf stands far less."""
    assert (
        plants.plants.at["typha-latifolia", "salinity_max_ppt"]
        < plants.plants.at["typha-domingensis", "salinity_max_ppt"]
    )


def test_names_resolve(plants):
    for name, plant in (
        ("pickerelweed", "pontederia-cordata"),
        ("Scirpus validus", "schoenoplectus-tabernaemontani"),
        ("Eichhornia crassipes", "pontederia-crassipes"),
        ("Potamogeton pectinatus", "stuckenia-pectinata"),
        ("Polygonum hydropiperoides", "persicaria-hydropiperoides"),
        ("Eupatorium fistulosum", "eutrochium-fistulosum"),
        ("cabomba-caroliniana", "cabomba-caroliniana"),
    ):
        assert plants.find(name) == plant
    with pytest.raises(PlantpickError) as several:
        plants.find("arrowhead")
    assert several.value.code == "several-plants"


def test_accepted_names_are_unique(plants):
    names = plants.plants["scientific_name"].map(bare_taxon)
    duplicated = sorted(names[names.duplicated(keep=False)])
    assert duplicated == [] or all("phragmites" in d for d in duplicated)


def test_datapackage_matches_the_tables():
    folder = data_folder()
    assert (folder / "datapackage.json").read_text(encoding="utf-8") == data_package.text(folder)
    told = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
    for resource in told["resources"]:
        columns = [f["name"] for f in resource["schema"]["fields"]]
        assert columns == list(schema.names(resource["path"][:-4]))
        assert all(f["description"] for f in resource["schema"]["fields"])


def test_an_outside_validator_passes_the_package():
    """Frictionless Framework, the reference validator of the Data Package standard."""
    from frictionless import Package

    report = Package(str(data_folder() / "datapackage.json")).validate()
    assert report.valid, report.flatten(["title", "fieldName", "rowNumber", "message"])[:5]


BROKEN = [
    ("plants", lambda t: t.drop(columns="sun"), "plants.csv:1:sun", "missing"),
    ("plants", lambda t: t.assign(sunn="x"), "plants.csv:1:sunn", "Did you mean"),
    ("plants", lambda t: pd.concat([t, t.iloc[:1]]), "plants.csv:{last}:plant_id", "twice"),
    ("plants", lambda t: _put(t, 3, "sun", "ful"), "plants.csv:5:sun", '"full"'),
    ("plants", lambda t: _put(t, 3, "depth_max_in", "ten"), "plants.csv:5:depth_max_in", "not a number"),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "pontederia-cordata"), "remark", "Grow it only in a tub."),
        "{pickerelweed}:cautions",
        "must be held",
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "pontederia-cordata"), "cautions", "never loose").assign(
            contained_by=lambda u: u["contained_by"].where(u["plant_id"] != "pontederia-cordata", "deadhead")
        ),
        "{pickerelweed}:contained_by",
        "nothing that holds it",
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "pontederia-cordata"), "ph_basis", ""),
        "{pickerelweed}:ph_basis",
        "belong together",
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "pontederia-cordata"), "ph_min", "13"),
        "{pickerelweed}:ph_max",
        "range must rise",
    ),
    ("plants", lambda t: _put(t, 3, "fish_cover", "7"), "plants.csv:5:fish_cover", "0 to 3"),
    ("plants", lambda t: _put(t, _row_of(t, "acer-rubrum"), "fish_cover", "1"), "fish_cover", "At most 0"),
    ("plants", lambda t: _put(t, _row_of(t, "juncus-effusus"), "fish_cover", "2"), "fish_cover", "At most 1"),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "nymphaea-odorata"), "fish_cover", "3"),
        "fish_cover",
        "few stems",
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "pontederia-cordata"), "light_depth", "1"),
        "{pickerelweed}:light_depth",
        "every submersed plant",
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "chara-spp"), "light_depth", ""),
        "light_depth",
        "every submersed",
    ),
    ("plants", lambda t: _put(t, 3, "jump_by", "seed,wind"), "plants.csv:5:jump_by", "semicolons"),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "typha-latifolia"), "remark", "Deer strip it bare."),
        "eaten_by",
        "deer",
    ),
    *(
        ("plants", lambda t, r=remark: _put(t, _row_of(t, "pontederia-cordata"), "remark", r), column, says)
        for remark, column, says in (
            ("Do not plant it.", "{pickerelweed}:cautions", "not to plant"),
            ("Never dig it.", "{pickerelweed}:cautions", "not to dig"),
            ("Poisonous to stock.", "{pickerelweed}:cautions", "poisonous"),
            ("Hard to tell from arrow arum.", "{pickerelweed}:cautions", "taken for"),
            ("Razor leaves.", "{pickerelweed}:cautions", "cuts"),
        )
    ),
    (
        "plants",
        lambda t: _put(t, _row_of(t, "acer-rubrum"), "remark", "For limy meadows."),
        "ph_max",
        "on lime",
    ),
    ("plants", lambda t: _put(t, 3, "plant_id", "Not An Id"), "plants.csv:5:plant_id", "small letters"),
    ("names", lambda t: _put(t, 0, "plant_id", "no-such-plant"), "names.csv:2:plant_id", "no plant"),
    ("range", lambda t: _put(t, 0, "state", "ZZ"), "range.csv:2:state", "not one of"),
    ("law", lambda t: _put(t, 0, "status", "banned"), "law.csv:2:status", "Allowed"),
    ("evidence", lambda t: t.iloc[1:], "evidence", "without evidence"),
    ("evidence", lambda t: _put(t, 0, "source_id", "nobody"), "evidence.csv:2:source_id", "sources.csv"),
    ("law_coverage", lambda t: t[t["jurisdiction"] != "OH"], "law_coverage.csv", "no row for OH"),
    (
        "sources",
        lambda t: _put(t, 3, "source_id", "unheard-of"),
        "sources.csv:5:source_id",
        "no row rests on",
    ),
]


def _row_of(table, plant_id):
    return list(table["plant_id"]).index(plant_id)


def _put(table, row, column, value):
    table = table.copy()
    table.loc[table.index[row], column] = value
    return table


def test_the_few_plants_that_are_broken_below_are_sound(tmp_path):
    """So that each table is refused for what was done to it, and for nothing else."""
    few = catalogue.load(few_tables(tmp_path / "data"), evidence=True)
    assert 15 < len(few.plant_ids) < 70 and len(few.evidence) > 500


@pytest.mark.parametrize("name, change, where, said", BROKEN, ids=lambda v: str(v)[:24])
def test_a_broken_table_is_refused_whole(tmp_path, name, change, where, said):
    folder = few_tables(tmp_path / "data")
    path = folder / f"{name}.csv"
    table = pd.read_csv(path, dtype="object", keep_default_na=False)
    change(table).to_csv(path, index=False)
    with pytest.raises(PlantpickError) as caught:
        catalogue.load(folder, evidence=True)
    found = [str(p) for p in caught.value.problems]
    where = where.replace("{last}", str(len(table) + 2))
    if "{pickerelweed}" in where:
        where = where.replace("{pickerelweed}", f"plants.csv:{_row_of(table, 'pontederia-cordata') + 2}")
    assert any((where in p or where == "evidence") and said in p for p in found), found[:5]


def test_a_missing_table_and_one_that_is_no_table(tmp_path):
    folder = few_tables(tmp_path / "data")
    (folder / "law.csv").unlink()
    (folder / "names.csv").write_bytes(b"\xff\xfe\x00plant")
    with pytest.raises(PlantpickError) as caught:
        catalogue.load(folder)
    assert {Path(p.where).name for p in caught.value.problems} == {"law.csv", "names.csv:1"}


def _broken_copy(tmp_path, **contents: bytes) -> list[str]:
    folder = few_tables(tmp_path / "data")
    for table, raw in contents.items():
        (folder / f"{table}.csv").write_bytes(raw)
    with pytest.raises(PlantpickError) as caught:
        catalogue.load(folder, evidence=True)
    return [str(p) for p in caught.value.problems]


def test_a_letter_in_another_encoding_and_a_lost_quotation_mark_are_told_with_their_row(tmp_path):
    """Made up: what a spreadsheet does to a table."""
    few = few_tables(tmp_path / "sound")
    names, law = (few / "names.csv").read_bytes(), (few / "law.csv").read_bytes()
    found = _broken_copy(
        tmp_path,
        names=names + "typha-latifolia,café cattail,common\n".encode("cp1252"),
        law=law + b'Typha spp.,,OH,watch,"no end,,x,\n',
    )
    rows = names.count(b"\n") + 1
    assert any(p.startswith(f"names.csv:{rows}:") and "UTF-8" in p for p in found), found
    rows = law.count(b"\n") + 1
    assert any(p.startswith(f"law.csv:{rows}:") and "quotation mark" in p for p in found), found


def test_every_mistake_is_told_at_once(tmp_path):
    """Words in one table, a missing source in another, a cell without evidence: one round is enough."""
    few = few_tables(tmp_path / "sound")
    told = (few / "evidence.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    first = told.pop(1)
    found = _broken_copy(
        tmp_path,
        evidence="".join(told).encode(),
        range=(few / "range.csv").read_bytes().replace(b",native,", b",natve,", 1),
        law=(few / "law.csv").read_bytes() + b"Typha spp.,,OH,watch,none,,nobody,\n",
    )
    plant, trait = first.split(",")[:2]
    assert any("range.csv:" in p and '"native"' in p for p in found), found[:5]
    assert any("law.csv:" in p and '"nobody"' in p for p in found), found[:5]
    assert any("plants.csv:" in p and f"{trait}: {plant} has a value without evidence" in p for p in found)


def test_basis_is_told_for_every_trait(plants):
    from plantpick.catalogue import evidence

    counts = evidence.by_trait(plants)
    filled = {t: int((plants.plants[t].notna() & (plants.plants[t] != "")).sum()) for t in counts.index}
    for trait, row in counts.iterrows():
        assert int(np.sum(row)) == filled[trait], trait
    assert set(counts.index) <= set(TRAITS)
    assert counts["published"].sum() > 3000
