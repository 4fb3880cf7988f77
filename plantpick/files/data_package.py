"""The Frictionless Data Package that describes the tables; `python -m plantpick.files.data_package` builds it anew.

The descriptor also holds each table's SHA-256: tables that still have it were checked when it was built, and are
read without checking every cell again.
"""

from __future__ import annotations

import json
from pathlib import Path

from plantpick.catalogue.plants import LISTS, NUMBERS, USES
from plantpick.catalogue.schema import FILLED, KEYS, LIST_VOCABULARY, TABLES, VOCABULARY
from plantpick.files.catalogue import data_folder, digest, load
from plantpick.vocabulary import WETLAND_REGIONS

DWC = "http://rs.tdwg.org/dwc/terms/"
RDF_TYPES = {
    "plant_id": f"{DWC}taxonID",
    "scientific_name": f"{DWC}scientificName",
    "family": f"{DWC}family",
    "common_name": f"{DWC}vernacularName",
    "taxon": f"{DWC}scientificName",
    "state": f"{DWC}stateProvince",
    "origin": f"{DWC}establishmentMeans",
}
WETLAND = "Rating in the National Wetland Plant List region "
DESCRIPTIONS: dict[str, str] = {
    "plant_id": "Slug of the accepted name",
    "scientific_name": "Accepted name",
    "common_name": "Name that an American owner would know",
    "family": "Plant family",
    "growth_form": "How the plant grows",
    "life_span": "How long one plant lives",
    "origin": "Native or introduced in the lower 48 states",
    "height_min_in": "Ordinary least height (stem length under water), inches",
    "height_max_in": "Ordinary greatest height (stem length under water), inches",
    "depth_min_in": "Shallowest standing water over the crown at full pool, inches; negative is above the waterline",
    "depth_best_min_in": "Shallow end of the best depths, inches",
    "depth_best_max_in": "Deep end of the best depths, inches",
    "depth_max_in": "Deepest standing water in which it lives for years, inches",
    "advance_depth_low_in": "Deepest water that its edge can creep into, low, inches",
    "advance_depth_in": "Deepest water that its edge can creep into, typical, inches",
    "advance_depth_high_in": "Deepest water that its edge can creep into, high, inches",
    "zone_min": "Coldest hardiness zone (whole number)",
    "zone_max": "Hottest hardiness zone (whole number)",
    "sun": "Sun in which it grows well",
    "ph_min": "Lowest pH",
    "ph_max": "Highest pH",
    "salinity_min_ppt": "Salinity below which a salt-marsh plant fades, parts per thousand; empty for the others",
    "salinity_max_ppt": "Salinity it stands for long, parts per thousand",
    "clarity": "Clarity that a submersed plant needs",
    "drawdown": "How long it stands being left dry",
    "flooding": "How long it stands water deeper than its depth_max",
    "spread_low_ft_yr": "Advance of a stand's edge, low, feet a year, 220 frost-free days",
    "spread_ft_yr": "Advance of a stand's edge, typical, feet a year",
    "spread_high_ft_yr": "Advance of a stand's edge, high, feet a year",
    "doubling_low_days": "Doubling time of a free-floating plant, fast, days",
    "doubling_days": "Doubling time of a free-floating plant, typical, days",
    "doubling_high_days": "Doubling time of a free-floating plant, slow, days",
    "jump": "How readily it starts colonies away from the parent",
    "jump_by": "What it jumps by",
    "contained_by": "Measures that hold it",
    "spacing_in": "Usual spacing on centres, inches",
    "fish_cover": "Cover for small fish, 0 to 3",
    "bank_hold": "Roots that hold a bank, 0 to 3",
    "waterfowl": "Worth to waterfowl, 0 to 3",
    "pollinator": "Worth to pollinators, 0 to 3",
    "show": "Looks, 0 to 3",
    "eaten_by": "Animals that set back a planting",
    "cautions": "What can hurt someone or be mistaken",
    "remark": "Plain words",
    "name": "A name as written or spoken",
    "kind": "Kind of name",
    "accepted_as": "What floras or lists accept under this name",
    "decision": "Same plant: keep it; refused alike: another plant, but no native is cleared by it; several plants: "
    "each that bears it has it; another species: no plain synonym here",
    "reason": "Why, in plain words",
    "state": "Two-letter state or DC",
    "status": "Status in that place",
    "source_id": "Row in sources",
    "taxon": "Species, subspecies or 'Genus spp.'",
    "except": "Taxa that a genus listing leaves out",
    "jurisdiction": "US or a state",
    "citation": "How to cite it",
    "as_of": "The list's own date; empty if undated",
    "seen": "Day on which our copy of the list was read; empty if none was",
    "list_name": "The state's list",
    "agency": "Whom to ask",
    "read": "How much of the list was read",
    "trait": "Column of plants",
    "locator": "Page, table or section",
    "basis": "What the value rests on",
    "title": "Title",
    "producer": "Author or agency",
    "year": "Year of publication",
    "url": "Address",
    "licence": "Terms of use",
    "accessed": "Date seen",
    **{f"wetland_status_{r}": WETLAND + r for r in WETLAND_REGIONS},
}
FOREIGN = {
    "names": ("plant_id",),
    "synonyms_reviewed": ("plant_id", "source_id"),
    "range": ("plant_id", "source_id"),
    "evidence": ("plant_id", "source_id"),
    "law": ("source_id",),
}


def _field(table: str, column: str) -> dict:
    number = table == "plants" and column in NUMBERS
    field: dict = {
        "name": column,
        "type": "integer" if column in USES else "number" if number else "string",
        "description": DESCRIPTIONS[column],
    }
    if column in RDF_TYPES:
        field["rdfType"] = RDF_TYPES[column]
    limits: dict = {}
    if column in FILLED[table]:
        limits["required"] = True
    if KEYS.get(table) == [column]:
        limits["unique"] = True
    if column in VOCABULARY[table]:
        limits["enum"] = list(VOCABULARY[table][column])
    if table == "plants" and column in USES:
        limits |= {"minimum": 0, "maximum": 3}
    if table == "plants" and column in LISTS:
        word = "|".join(LIST_VOCABULARY[column])
        limits["pattern"] = f"({word})(;({word}))*"
    return field | ({"constraints": limits} if limits else {})


def describe(folder: Path) -> dict:
    """The descriptor for the tables in `folder`."""
    resources = []
    for table, columns in TABLES.items():
        path = folder / f"{table}.csv"
        schema: dict = {"fields": [_field(table, c) for c in columns], "missingValues": [""]}
        if table in KEYS and table not in ("names", "evidence"):
            schema["primaryKey"] = KEYS[table]
        if table in FOREIGN:
            home = {"plant_id": "plants", "source_id": "sources"}
            schema["foreignKeys"] = [
                {"fields": [c], "reference": {"resource": home[c], "fields": [c]}} for c in FOREIGN[table]
            ]
        resources.append(
            {
                "name": table.replace("_", "-"),
                "path": path.name,
                "profile": "tabular-data-resource",
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "bytes": path.stat().st_size,
                "hash": digest(path),
                "schema": schema,
            }
        )
    return {
        "name": "plantpick",
        "title": "Native plants for fishing ponds, and plants to refuse",
        "profile": "tabular-data-package",
        "licenses": [{"name": "CC0-1.0", "path": "https://creativecommons.org/publicdomain/zero/1.0/"}],
        "resources": resources,
    }


def text(folder: Path) -> str:
    """The descriptor as it stands in datapackage.json."""
    return json.dumps(describe(folder), indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Check every table, then write datapackage.json beside them."""
    folder = data_folder()
    load(folder, evidence=True, trust=False)
    (folder / "datapackage.json").write_text(text(folder), encoding="utf-8")


if __name__ == "__main__":
    main()
