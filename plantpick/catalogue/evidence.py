"""What the catalogue's cells rest on: published values, practice, judgement or memory."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pandas as pd

from plantpick.catalogue.plants import Catalogue
from plantpick.vocabulary import BASES

# The cells that decide where a plant can stand and where its edge stops.
DECISIVE = ("depth_min_in", "depth_max_in", "advance_depth_in", "ph_min", "ph_max", "zone_min")
SEEN = ("published", "measured")  # a source gives the value, or the measurement that it was worked out from
OWN = ("plantpick-memory", "plantpick-judgement", "trade-practice")  # source_ids that name no document


def citations(plants: Catalogue, plant_id: str, bases: tuple[str, ...]) -> list[tuple[str, str]]:
    """The documents behind one plant's evidence rows of these bases: (traits, citation with locator), a pair a place read."""
    rows = plants.evidence
    rows = rows[(rows["plant_id"] == plant_id) & rows["basis"].isin(bases) & ~rows["source_id"].isin(OWN)]
    rows = rows.merge(plants.sources[["source_id", "citation"]], on="source_id")
    places: dict[str, list[str]] = {}
    for trait, citation, locator in zip(rows["trait"], rows["citation"], rows["locator"]):
        citation = citation if citation.endswith("n.d.") else citation.rstrip(".")
        places.setdefault(", ".join(filter(None, (citation, locator))), []).append(trait)
    return [(", ".join(traits), place) for place, traits in places.items()]


def best_basis(evidence: pd.DataFrame) -> pd.DataFrame:
    """One row a cell (plant_id, trait, basis): the strongest basis that any of its evidence rows has."""
    strength = evidence["basis"].map({basis: i for i, basis in enumerate(BASES)})
    order = evidence.assign(strength=strength).sort_values("strength", kind="stable")
    return order.drop_duplicates(["plant_id", "trait"])[["plant_id", "trait", "basis"]]


def by_trait(plants: Catalogue, plant_id: str | None = None) -> pd.DataFrame:
    """Cells by trait and basis, (traits, bases), for one plant or the whole catalogue; counts of cells."""
    evidence = (
        plants.evidence if plant_id is None else plants.evidence[plants.evidence["plant_id"] == plant_id]
    )
    cells = best_basis(evidence)
    count = cells.groupby(["trait", "basis"]).size().unstack(fill_value=0)
    order = [c for c in plants.plants.columns if c in count.index]
    return count.reindex(index=order, columns=list(BASES), fill_value=0)


def decisive(plants: Catalogue) -> pd.DataFrame:
    """The decisive cells of the plants most used, by trait: how many there are, and how many rest on what a source gives."""
    most = set(plants.most_used["plant_id"])
    cells = best_basis(plants.evidence[plants.evidence["plant_id"].isin(most)])
    cells = cells[cells["trait"].isin(DECISIVE)]
    seen = cells[cells["basis"].isin(SEEN)]["trait"].value_counts()
    count = cells["trait"].value_counts()
    return (
        pd.DataFrame({"cells": count, "seen": seen}, index=pd.Index(DECISIVE, name="trait"))
        .fillna(0)
        .astype(int)
    )


def strongest(
    plants: Catalogue, plant_ids: Iterable[str], traits: Sequence[str]
) -> dict[str, list[tuple[str, str, str]]]:
    """The best basis of each of these traits and the first source that has it: (trait, basis, citation), by plant.

    Traits come in the order asked for; a plant without evidence is left out. Empty without the evidence table.
    """
    if plants.evidence is None:
        return {}
    rows = plants.evidence
    rows = rows[rows["plant_id"].isin(set(plant_ids)) & rows["trait"].isin(set(traits))]
    citation = dict(zip(plants.sources["source_id"], plants.sources["citation"]))
    best = {(p, t): b for p, t, b in best_basis(rows).itertuples(index=False)}
    first: dict[tuple[str, str], str] = {}
    for plant_id, trait, source, basis in zip(
        rows["plant_id"], rows["trait"], rows["source_id"], rows["basis"]
    ):
        if basis == best[plant_id, trait]:
            first.setdefault((plant_id, trait), citation.get(source, source))
    found: dict[str, list[tuple[str, str, str]]] = {}
    for plant_id in dict.fromkeys(plant_ids):
        told = [(t, best[plant_id, t], first[plant_id, t]) for t in traits if (plant_id, t) in best]
        if told:
            found[plant_id] = told
    return found
