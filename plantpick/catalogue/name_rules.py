"""Holds names against the reviewed list: a name that floras accept for another plant is no plain synonym."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plantpick.catalogue.taxa import bare_taxon
from plantpick.errors import Problem

if TYPE_CHECKING:
    import pandas as pd

ANOTHER = "another species"
SEVERAL = "several plants"
ALIKE = "refused alike"


def check_names(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Check that no plant bears another one's name unless the reviewed list says why, and that the list holds."""
    names, reviewed = tables["names"], tables["synonyms_reviewed"]
    origin = dict(zip(tables["plants"]["plant_id"], tables["plants"]["origin"]))
    owners: dict[str, set[str]] = {}
    for plant_id, name in zip(tables["plants"]["plant_id"], tables["plants"]["scientific_name"]):
        owners.setdefault(bare_taxon(name), set()).add(plant_id)
    decided = {
        (bare_taxon(name), plant_id): decision
        for name, plant_id, decision in zip(reviewed["name"], reviewed["plant_id"], reviewed["decision"])
    }
    foreign = {name for (name, _), decision in decided.items() if decision == ANOTHER}
    borne: dict[str, set[str]] = {}
    for row, plant_id, name, kind in zip(names.index, names["plant_id"], names["name"], names["kind"]):
        taxon = bare_taxon(name)
        borne.setdefault(taxon, set()).add(plant_id)
        if kind == "accepted" or plant_id in owners.get(taxon, ()):
            continue
        decision = decided.get((taxon, plant_id), "")
        if decision and decision != ANOTHER:
            continue
        where = f"names.csv:{row + 2}:name"
        if decision == ANOTHER or taxon in foreign:
            problems.append(
                Problem(
                    where,
                    f'"{name}" was reviewed as another species, not {plant_id}.',
                    "Take it out, or give synonyms_reviewed.csv a row that says why this plant bears it.",
                )
            )
        elif kind == "synonym" and taxon in owners:
            problems.append(
                Problem(
                    where,
                    f'"{name}" is the accepted name of {", ".join(sorted(owners[taxon]))}.',
                    "Take it out, or give synonyms_reviewed.csv a row that says why this plant bears it too.",
                )
            )
    _check_list(reviewed, borne, origin, problems)


def _check_list(
    reviewed: pd.DataFrame, borne: dict[str, set[str]], origin: dict[str, str], problems: list[Problem]
) -> None:
    """Check that every decision still is what the tables do."""
    for row, name, plant_id, decision in zip(
        reviewed.index, reviewed["name"], reviewed["plant_id"], reviewed["decision"]
    ):
        bearers = borne.get(bare_taxon(name), set())
        where = f"synonyms_reviewed.csv:{row + 2}"
        if decision != ANOTHER and plant_id in origin and plant_id not in bearers:
            problems.append(
                Problem(
                    f"{where}:name",
                    f'names.csv does not give "{name}" to {plant_id}.',
                    "Add the name there, or take this row out.",
                )
            )
        if decision == SEVERAL and len(bearers) < 2:
            problems.append(
                Problem(
                    f"{where}:decision",
                    f'"{name}" is said to mean several plants, and only one bears it.',
                    "Give the name to each plant that bears it.",
                )
            )
        if decision == ALIKE and origin.get(plant_id) == "native":
            problems.append(
                Problem(
                    f"{where}:decision",
                    f"{plant_id} is native, so a name of another plant would be cleared by it.",
                    f'Only an introduced plant is "{ALIKE}".',
                )
            )
