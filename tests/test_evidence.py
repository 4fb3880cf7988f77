"""What the cells rest on: a number called published stands in its locator, and a source is told beside each figure."""

import re

from plantpick.catalogue.evidence import citations
from plantpick.catalogue.schema import NUMBERS, USES

COUNTED = {"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "ten": "10", "a": "1"}
INCHES = {"in": 1, "inch": 1, "ft": 12, "feet": 12, "foot": 12, "m": 39.37, "dm": 3.937, "cm": 0.3937}
FEET = {"in": 1 / 12, "cm": 0.0328, "m": 3.281}


def spans(locator: str, trait: str) -> list[tuple[float, float]]:
    """The numbers of a locator, as ranges, in the trait's own unit."""
    text = locator.lower().replace("1/2", "0.5")
    text = re.sub(
        r"\b(one|two|three|four|five|six|ten|a) (feet|foot|weeks?|inch)",
        lambda m: f"{COUNTED[m[1]]} {m[2]}",
        text,
    )
    text = re.sub(r"(\d)[ab]\b", r"\1", text)  # hardiness half zones
    found = []
    for low, high, unit in re.findall(
        r"(\d+(?:\.\d+)?)(?:\s*\(?(?:-|to|and|,|\()\s*(\d+(?:\.\d+)?)\)?)?\s*"
        r"(inch|in|feet|foot|ft|cm|dm|m|weeks?)?\b",
        text,
    ):
        factor = 1.0
        if trait.endswith("_in"):
            factor = INCHES.get(unit, 1.0)
        elif trait.endswith("_ft_yr"):
            factor = FEET.get(unit, 1.0)
        elif trait.endswith("_days") and unit.startswith("week"):
            factor = 7.0
        found.append((float(low) * factor, float(high or low) * factor))
    return found


def gives(value: float, locator: str, trait: str) -> bool:
    """Whether a locator gives this number: an end or the middle of what it says, but for rounding."""
    slack = (
        0.5 if trait.startswith("zone") else max(0.06 * abs(value), 0.75 if trait.endswith("_in") else 0.05)
    )
    if trait == "salinity_max_ppt":
        slack = 0.13 * value  # rounded to whole parts
    for low, high in spans(locator, trait):
        if trait == "spacing_in" and low - slack <= value <= high + slack:
            return True
        if any(abs(value - n) <= slack for n in (low, high, (low + high) / 2)):
            return True
    return False


def test_the_reading_of_locators():
    """Made up."""
    assert gives(36, "usually 2-3 ft", "depth_max_in") and gives(30, "usually 2-3 ft", "depth_max_in")
    assert not gives(48, "to 3 ft", "depth_max_in")
    assert gives(14, "doubles every two weeks", "doubling_days")
    assert gives(7, "zones 7b to 11", "zone_min") and not gives(5, "zones 7b to 11", "zone_min")
    assert gives(18, "12 to 36 in apart", "spacing_in") and not gives(48, "12 to 36 in apart", "spacing_in")


def test_a_published_number_stands_in_a_locator(plants):
    """docs/data.md: published means that a source gives the number. Rows of USDA PLANTS and of the wetland list name a field
    instead; tests/test_catalogue.py compares those with the tables themselves."""
    told = plants.evidence[(plants.evidence["basis"] == "published") & plants.evidence["trait"].isin(NUMBERS)]
    by_field = set(
        told.loc[told["source_id"] == "usda-plants", ["plant_id", "trait"]].itertuples(index=False, name=None)
    )
    cells: dict[tuple[str, str], list[str]] = {}
    for plant_id, trait, locator in zip(told["plant_id"], told["trait"], told["locator"]):
        cells.setdefault((plant_id, trait), []).append(locator)
    without = {
        cell: locators
        for cell, locators in cells.items()
        if cell not in by_field
        and not any(gives(plants.plants.at[cell[0], cell[1]], said, cell[1]) for said in locators)
    }
    assert len(cells) > 700
    assert without == {}


def test_uses_are_never_published(plants):
    """Figures of 0 to 3 are ours; a source has words."""
    rows = plants.evidence[plants.evidence["trait"].isin(USES)]
    assert not (rows["basis"] == "published").any()


def test_every_document_is_cited_once(plants):
    """One row a document: no two sources share a citation, nor a citation that is another plant's sheet."""
    law = set(plants.law["source_id"]) | set(plants.coverage["source_id"])
    rows = plants.sources[~plants.sources["source_id"].isin(law)]
    assert sorted(rows.loc[rows["citation"].duplicated(keep=False), "source_id"]) == []


def test_sources_of_a_plant_are_told_place_by_place(plants):
    published = citations(plants, "schoenoplectus-tabernaemontani", ("published",))
    ours = citations(plants, "schoenoplectus-tabernaemontani", ("practice", "judgement", "memory"))
    assert any("soft-stem bulrush" in place and "36-108 in" in place for _, place in published)
    assert any(traits.startswith("depth_max_in") and "12 in" in place for traits, place in ours)
    assert len({place for _, place in published}) == len(published)
