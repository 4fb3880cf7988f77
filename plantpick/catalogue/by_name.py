"""Plants known by name only: what nurseries also sell of wet ground, with states, and no word on how to plant it.

They stand in a table of their own, a row a plant, so that a ranking need not read them. Where names are asked for
(an offer, one plant, a log) they join the catalogue's tables without depths, so the gate calls them too little known.
No name of theirs is one that a described plant bears: they settle no line that was open, and open none that was settled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from plantpick.catalogue.law import FEDERAL
from plantpick.catalogue.schema import PLACES
from plantpick.errors import Problem
from plantpick.vocabulary import PROTECTED_STATUS, RANGE_STATUS, STATES

if TYPE_CHECKING:
    import pandas as pd

TABLE = "by_name"
OWN_CELLS = ("family", "growth_form", "origin")  # what the table tells of a plant beside names and states
REMARK = {
    "native": "Known by name only: nobody has entered here how deep it stands or how far it spreads.",
    "introduced": "Known by name only; not native to the lower 48 states.",
}
RESTS_ON = {  # trait: source, locator, basis
    "family": ("usda-plants", "family", "published"),
    "growth_form": ("plantpick-judgement", "by family, USDA growth habit and wetland ratings", "judgement"),
    "origin": ("usda-plants", "states; regional lists agree", "published"),
}
UNBORNE = {  # no list of ours has it
    "native": ("plantpick-memory", "native there by memory; no list of ours bears it out", "memory"),
    "introduced": (
        "plantpick-memory",
        "from abroad, or raised in gardens, by memory; no list of ours has it",
        "memory",
    ),
}
FAMILY_RECALLED = ("plantpick-memory", "family by memory; no list of ours has the plant", "memory")
STATES_FROM = {"native": "erdc-lists", "introduced": "erdc-lists", "unsure": "usda-plants"}
PROTECTED_FROM = "usda-plants-te-2018"
PROTECTED_BY = {  # place and class, or place, or "state": citation, date, source
    "MN conserved wildflower": ("Minn. Stat. 18H.18", "2023-01-01", "mn-18h-18"),
    FEDERAL: ("50 CFR 17.12, as USDA PLANTS gives it", "2018-02", PROTECTED_FROM),
    "state": ("USDA PLANTS, threatened and endangered plants by state", "2018-02", PROTECTED_FROM),
}


def parts(cell: str) -> tuple[str, ...]:
    """The names or states of a cell, separated by semicolons."""
    return tuple(part for part in cell.split(";") if part)


def protected_parts(cell: str, scientific_name: str) -> Iterator[tuple[str, str, str]]:
    """Place, class and listed name of each list of protected plants in a cell ("OH endangered; US threatened as X")."""
    for part in parts(cell):
        place, _, rest = part.partition(" ")
        status, _, name = rest.partition(" as ")
        yield place, status, name or scientific_name


def _rows(table: Mapping[str, list[str]]) -> Iterator[dict[str, str]]:
    columns = list(table)
    return (dict(zip(columns, cells)) for cells in zip(*table.values()))


def _rests_on(row: Mapping[str, str]) -> dict[str, tuple[str, str, str]]:
    """What the plant's own cells rest on: family and origin of one that no list of ours has, on memory."""
    if row[f"{row['origin']}_states"]:
        return RESTS_ON
    return RESTS_ON | {"family": FAMILY_RECALLED, "origin": UNBORNE[row["origin"]]}


def joined(tables: dict[str, dict[str, list[str]]]) -> dict[str, dict[str, list[str]]]:
    """The catalogue's tables (table to column to cells) with the plants of `by_name` among them, and without that table."""
    whole = {
        name: {column: list(cells) for column, cells in table.items()}
        if name in ("plants", "names", "range", "protected", "evidence")
        else table
        for name, table in tables.items()
        if name != TABLE
    }
    added: dict[str, list[dict[str, str]]] = {
        "plants": [],
        "names": [],
        "range": [],
        "protected": [],
        "evidence": [],
    }
    for row in _rows(tables[TABLE]):
        plant_id = row["plant_id"]
        cells = {c: row[c] for c in ("plant_id", "scientific_name", "common_name", *OWN_CELLS)}
        added["plants"].append(cells | {"remark": REMARK[row["origin"]]})
        names = [(row["scientific_name"], "accepted"), (row["common_name"], "common")]
        names += [(name, "common") for name in parts(row["common_names"])]
        names += [(name, "synonym") for name in parts(row["synonyms"])]
        added["names"] += [{"plant_id": plant_id, "name": n, "kind": k} for n, k in names]
        lists = list(protected_parts(row["protected"], row["scientific_name"]))
        for place, status, name in lists:
            key = next(k for k in (f"{place} {status}", place, "state") if k in PROTECTED_BY)
            listed = {"plant_id": plant_id, "jurisdiction": place, "status": status, "listed_as": name}
            added["protected"].append(
                listed | dict(zip(("citation", "as_of", "source_id"), PROTECTED_BY[key], strict=True))
            )
        rests_on = STATES_FROM
        if any(place == FEDERAL for place, _, _ in lists):  # so rare that few regional lists have it
            rests_on = STATES_FROM | {"native": PROTECTED_FROM}
        added["range"] += [
            {"plant_id": plant_id, "state": state, "status": status, "source_id": rests_on[status]}
            for status in RANGE_STATUS
            for state in parts(row[f"{status}_states"])
        ]
        if "evidence" in whole:
            added["evidence"] += [
                {
                    "plant_id": plant_id,
                    "trait": trait,
                    "source_id": source,
                    "locator": locator,
                    "basis": basis,
                }
                for trait, (source, locator, basis) in _rests_on(row).items()
            ]
    for name, rows in added.items():
        if name in whole and rows:
            for column, filled in whole[name].items():
                filled.extend([row[column] for row in rows] if column in rows[0] else [""] * len(rows))
    return whole


def check_by_name(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Tell every plant or name of the table that a described plant bears already, and every state that is none."""
    table = tables[TABLE]
    described = set(tables["plants"]["plant_id"])
    borne = {name.lower() for name in tables["names"]["name"]}
    borne |= {name.lower() for name in tables["plants"]["scientific_name"]}
    for index, row in table.iterrows():
        where = f"{TABLE}.csv:{index + 2}"
        if row["plant_id"] in described:
            problems.append(
                Problem(f"{where}:plant_id", f"{row['plant_id']} stands in plants.csv.", "Take this row out.")
            )
        for column in ("scientific_name", "common_name", "common_names", "synonyms"):
            for name in parts(row[column]):
                if name.lower() in borne and row["plant_id"] not in described:
                    problems.append(
                        Problem(
                            f"{where}:{column}",
                            f'"{name}" is a name of a described plant.',
                            "Take the name out here: a plant known by name only settles no line and opens none.",
                        )
                    )
        for place, status, _ in protected_parts(row["protected"], row["scientific_name"]):
            if place not in PLACES or status not in PROTECTED_STATUS:
                problems.append(
                    Problem(
                        f"{where}:protected",
                        f'no place and class "{place} {status}".',
                        'Write "OH endangered" or "OH endangered as Old name"; the classes stand with protected.csv.',
                    )
                )
        for status in RANGE_STATUS:
            for state in parts(row[f"{status}_states"]):
                if state not in STATES:
                    problems.append(
                        Problem(f"{where}:{status}_states", f'no state "{state}".', "Use two-letter codes.")
                    )
