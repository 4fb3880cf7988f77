"""One plant of the catalogue on a page: every trait with its range, basis and source, names, states and law."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from rich.console import Console

from plantpick.catalogue.availability import BOUGHT_MEANS, bought
from plantpick.catalogue.law import Listing
from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.protection import Protected
from plantpick.catalogue.schema import RANGES
from plantpick.catalogue.taxa import bare_taxon
from plantpick.errors import PlantpickError, Problem
from plantpick.ranking.eligibility import Eligibility
from plantpick.ranking.explain import Explanation, OneOfSeveral
from plantpick.show.explanation import explanation_record
from plantpick.show.law import law_lines
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, show_table, title
from plantpick.vocabulary import WETLAND_RATINGS, WETLAND_REGIONS

# row title, columns shown together, unit
TRAIT_ROWS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("family", ("family",), ""),
    ("growth form", ("growth_form",), ""),
    ("life span", ("life_span",), ""),
    ("origin", ("origin",), ""),
    ("height", RANGES["height"], "in"),
    ("depth: least, best, most", RANGES["depth"], "in of water"),
    ("edge creeps into", RANGES["advance depth"], "in of water"),
    ("hardiness zones", RANGES["zone"], ""),
    ("sun", ("sun",), ""),
    ("pH", (*RANGES["pH"], "ph_basis"), ""),
    ("needs salt", ("salinity_min_ppt",), "parts per thousand"),
    ("stands salt", ("salinity_max_ppt",), "parts per thousand"),
    ("clarity", ("clarity",), ""),
    ("light ends it at", RANGES["light depth"], "times the usual depth for the Secchi reading"),
    ("stands dry", ("drawdown",), ""),
    ("stands flooding", ("flooding",), ""),
    ("edge moves", RANGES["spread"], "ft a year"),
    ("doubles in", RANGES["doubling"], "days"),
    ("jumps", ("jump", "jump_by"), ""),
    ("contained by", ("contained_by",), ""),
    ("spacing", ("spacing_in",), "in"),
    ("fish cover", ("fish_cover",), "of 3"),
    ("bank hold", ("bank_hold",), "of 3"),
    ("waterfowl", ("waterfowl",), "of 3"),
    ("pollinator", ("pollinator",), "of 3"),
    ("show", ("show",), "of 3"),
    ("eaten by", ("eaten_by",), ""),
    ("cautions", ("cautions",), ""),
    ("sold", ("availability",), ""),
    ("sold as", ("forms_sold",), ""),
    ("price seen", (*RANGES["price"], "price_form", "price_year"), ""),
    ("wetland rating", tuple(f"wetland_status_{r}" for r in WETLAND_REGIONS), ""),
)


NOT_KNOWN = "not known"
WETLAND_WORDS = {  # National Wetland Plant List
    "OBL": "almost always in wetlands",
    "FACW": "usually in wetlands",
    "FAC": "in wetlands or not",
    "FACU": "usually not in wetlands",
    "UPL": "almost never in wetlands",
}
# trait: the one growth form that has it
ONLY_FOR = {"clarity": "submersed", "light ends it at": "submersed", "doubles in": "free-floating"}


def _applies(trait: str, plant: Plant) -> bool:
    """Whether an empty cell means that nobody knows; a plant that needs no salt has none to tell.

    A price is a find, a plant without cautions has none to tell, and what is sold of an introduced plant nobody needs to know.
    """
    if trait in ("needs salt", "price seen", "cautions") or (trait.startswith("sold") and plant.introduced):
        return False
    return ONLY_FOR.get(trait, plant.growth_form) == plant.growth_form


def _cell(value: str | float | tuple[str, ...]) -> str:
    if isinstance(value, float):
        return "" if math.isnan(value) else f"{value:g}"
    return value if isinstance(value, str) else ", ".join(value)


def _value(plant: Plant, columns: tuple[str, ...], unit: str) -> str:
    if columns[0].startswith("wetland_status"):
        rated = [
            f"{WETLAND_WORDS[rating]} ({rating}) in {' '.join(regions)}"
            for rating in WETLAND_RATINGS
            if (regions := [c.rsplit("_", 1)[1] for c in columns if getattr(plant, c) == rating])
        ]
        return "; ".join(rated) or NOT_KNOWN
    if columns[0] == "price_low_usd":
        return price_words(plant) or NOT_KNOWN
    parts = [_cell(getattr(plant, c)) for c in columns]
    if not any(parts):
        return NOT_KNOWN
    if columns[0] == "availability":
        return f"{bought(parts[0])}: {BOUGHT_MEANS[parts[0]]}"
    if columns[0] == "jump":
        return ", by ".join(p for p in parts if p)
    if columns[-1] == "ph_basis":
        return f"{parts[0]} to {parts[1]}, of {parts[2]}"
    told = {1: "{0}", 2: "{0} to {1}", 3: "{0} to {2}, typically {1}", 4: "{0} to {3}, best {1} to {2}"}[
        len(parts)
    ]
    return f"{told.format(*parts)} {unit}".strip()


def price_words(plant: Plant) -> str:
    """The prices seen for one plant, with their form and years; empty where none was."""
    low, high = plant.price_low_usd, plant.price_high_usd
    if math.isnan(low):
        return ""
    dollars = f"${low:.2f}" if low == high else f"${low:.2f} to ${high:.2f}"
    return f"{dollars} each, {plant.price_form}, {plant.price_year}"


def _number(value: float) -> float | None:
    return None if math.isnan(value) else value


def sold_record(plants: Catalogue, plant_id: str) -> dict:
    """How a plant is sold: the word, the forms, the prices, and the lists that have it."""
    plant = plants.plant(plant_id)
    on = set(plants.sold["list_id"][plants.sold["plant_id"] == plant_id])
    lists = plants.sale_lists[plants.sale_lists["list_id"].isin(on)]
    return {
        "availability": plant.availability or None,
        "lists_with_it": len(on),
        "lists_read": len(plants.sale_lists),
        "forms": list(plant.forms_sold),
        "price_low_usd": _number(plant.price_low_usd),
        "price_high_usd": _number(plant.price_high_usd),
        "price_form": plant.price_form or None,
        "price_year": plant.price_year or None,
        "lists": lists.drop(columns="remark").to_dict("records"),
    }


def trait_records(plants: Catalogue, plant_id: str) -> list[dict[str, str]]:
    """Every trait row of a plant: trait, value, basis and sources."""
    plant = plants.plant(plant_id)
    evidence = plants.evidence[plants.evidence["plant_id"] == plant_id]
    titles = plants.sources.set_index("source_id")["title"]
    rows = []
    for trait, columns, unit in TRAIT_ROWS:
        told = evidence[evidence["trait"].isin(columns)]
        published = told[told["basis"] == "published"]
        sources = [titles[s] for s in dict.fromkeys(published["source_id"])]
        rows.append(
            {
                "trait": trait,
                "value": _value(plant, columns, unit),
                "basis": ", ".join(sorted(set(told["basis"]))),
                "sources": "; ".join(sources),
            }
        )
    return rows


def plant_text(plants: Catalogue, plant_id: str, form: str, told: Explanation | None = None) -> str:
    """The plant as JSON, with its working on a pond where there is one, or as a CSV of its traits."""
    rows = trait_records(plants, plant_id)
    if form == "csv":
        return to_csv(rows)
    plant = plants.plant(plant_id)
    return dumps(
        {
            "plant_id": plant_id,
            "scientific_name": plant.scientific_name,
            "common_name": plant.common_name,
            "remark": plant.remark,
            "traits": rows,
            "sold": sold_record(plants, plant_id),
            "names": _names(plants, plant_id),
            "states": {status: states for status, states in _states(plants, plant_id)},
            "law": [
                {
                    "jurisdiction": found.place,
                    "status": found.status,
                    "taxon": found.taxon,
                    "citation": found.citation,
                    "as_of": found.as_of,
                }
                for found in plants.listings(plant_id)
            ],
            "protected": [
                {
                    "jurisdiction": row.place,
                    "status": row.status,
                    "listed_as": row.listed_as,
                    "citation": row.citation,
                    "as_of": row.as_of,
                    "remark": row.remark,
                }
                for row in plants.protected_in(plant_id)
            ],
            "on_pond": explanation_record(told) if told else None,
        }
    )


def _names(plants: Catalogue, plant_id: str) -> dict[str, list[str]]:
    names = plants.names[plants.names["plant_id"] == plant_id]
    return {kind: list(group["name"]) for kind, group in names.groupby("kind", sort=False)}


def _states(plants: Catalogue, plant_id: str) -> list[tuple[str, list[str]]]:
    rows = plants.range[plants.range["plant_id"] == plant_id]
    return [
        (status, sorted(rows["state"][rows["status"] == status]))
        for status in ("native", "unsure", "introduced")
    ]


def show_plant(
    out: Console, plants: Catalogue, plant_id: str, found: Eligibility | None, asked: str = ""
) -> None:
    """Print the page of one plant; with `found`, what the gate of law and nativity says in one state first.

    `asked` is the name that was asked for: another scientific name of the plant is said to be one.
    """
    plant = plants.plant(plant_id)
    title(out, f"{plant.common_name}, {plant.scientific_name}")
    for name in _names(plants, plant_id).get("synonym", ()):
        if bare_taxon(name) == bare_taxon(asked):
            paragraph(out, f"{name} is another name of {plant.scientific_name}.")
    if plant.remark:
        paragraph(out, plant.remark)
    rows = trait_records(plants, plant_id)
    columns = ("trait", "value", "basis", "sources")
    known = ([row[c] for c in columns] for row in rows if row["value"] != NOT_KNOWN)
    show_table(out, columns, known, indent=0, above=1)
    unknown = [row["trait"] for row in rows if row["value"] == NOT_KNOWN and _applies(row["trait"], plant)]
    if unknown:
        paragraph(out, f"Not known: {', '.join(unknown)}.")
    heading(out, "Names")
    bullets(out, (f"{kind}: {', '.join(names)}" for kind, names in _names(plants, plant_id).items()))
    heading(out, "States")
    if found:
        paragraph(out, f"{found.state_name}: {found.native}.", 2)
    bullets(out, (f"{status}: {' '.join(states) or 'none'}" for status, states in _states(plants, plant_id)))
    heading(out, "Law")
    if found:
        paragraph(out, f"{found.state_name}: {_law_here(found)}.", 2)
        if words := found.protection:
            paragraph(out, f"{words[0].upper()}{words[1:]}.", 2)
    bullets(
        out,
        _law_by_list(plants.listings(plant_id))
        or ["on no list that was read; that does not clear it: ask your state agency"],
    )
    bullets(out, _protected_by_class(plants.protected_in(plant_id)))
    if found:
        bullets(out, law_lines(plants.coverage_of(found.state), found.state))


def several_here(name: str, pond: str, found: Sequence[OneOfSeveral]) -> PlantpickError:
    """The error for a name that several plants share: which of them the lists of a pond have, and why not the others."""
    listed = [f"{one.scientific_name} ({one.common_name})" for one in found if one.listed]
    others = [f"{one.scientific_name} ({one.common_name}): {one.why_not}" for one in found if not one.listed]
    here = (
        f"In the lists of {pond}: {', '.join(listed)}."
        if listed
        else f"None of them is in the lists of {pond}."
    )
    rest = f" Left out: {'; '.join(others)}." if others else ""
    remedy = "Ask for one of them by its scientific name."
    return PlantpickError(
        "several-plants", Problem("", f'"{name}" means several plants. {here}{rest}', remedy)
    )


def _law_here(found: Eligibility) -> str:
    """What the gate of law and nativity found on the lists of one state."""
    said = [found.law_dated or "on no binding list that was read"]
    if found.advisory:
        said.append("on an advisory list: ask the agency before you plant it")
    return "; ".join(said)


def _protected_by_class(rows: tuple[Protected, ...]) -> list[str]:
    """One line a class: where the plant is protected in the wild so, and under which name."""
    places: dict[Protected, list[str]] = {}
    for row in rows:
        places.setdefault(replace(row, place=""), []).append(row.place)
    return [
        f"{' '.join(where)}: protected in the wild, {says.status}, as {says.listed_as} ({says.citation}; {says.as_of})"
        + (f"; {says.remark}" if says.remark else "")
        for says, where in places.items()
    ]


def _law_by_list(listings: Iterable[Listing]) -> list[str]:
    """One line a list: the places where it says the same of the same name."""
    places: dict[Listing, list[str]] = {}
    for found in listings:
        places.setdefault(replace(found, place=""), []).append(found.place)
    return [
        f"{' '.join(where)}: {says.status} as {says.taxon} ({says.citation}; {says.as_of or 'undated'})"
        for says, where in places.items()
    ]
