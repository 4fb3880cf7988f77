"""Where the catalogue's cells come from, as a table, JSON or CSV."""

from __future__ import annotations

import pandas as pd
from rich.console import Console

from plantpick.catalogue.evidence import citations
from plantpick.catalogue.law import places_by_reading
from plantpick.catalogue.plants import Catalogue
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, right, show_table, title
from plantpick.vocabulary import BINDING_LAW


def show_sources(out: Console, plants: Catalogue, plant_id: str | None, rows: pd.DataFrame) -> None:
    """Counts by trait and basis, and for one plant the published sources themselves."""
    title(out, "The whole catalogue" if plant_id is None else plants.plant(plant_id).common_name)
    total = rows.sum()
    paragraph(
        out,
        f"{int(total.sum()):,} filled cells: "
        + ", ".join(
            f"{int(n):,} {basis} ({100 * n / max(1, total.sum()):.0f} %)" for basis, n in total.items()
        )
        + ".",
    )
    show_table(
        out,
        ["trait", *(right(basis) for basis in rows.columns)],
        ((trait, *(str(int(n)) for n in counts)) for trait, counts in rows.iterrows()),
        indent=0,
    )
    if plant_id is None:
        heading(out, "Lists of the law")
        bullets(out, law_read(plants))
    else:
        for words, bases in (
            ("Published sources", ("published",)),
            ("Sources beside our own figure", ("practice", "judgement", "memory")),
        ):
            if told := citations(plants, plant_id, bases):
                heading(out, words)
                bullets(out, (f"{traits}: {place}" for traits, place in told))


READ_WORDS = {  # a word of COVERAGE_READ, for an owner
    "whole": "Read whole",
    "copy": "Read whole, but only as others copy them",
    "part": "Read in part",
    "none": "Not read",
}


def law_read(plants: Catalogue) -> list[str]:
    """How far the lists of the law were read, and how many rows of them are held."""
    places = places_by_reading(plants.tables["law_coverage"])
    law, protected = plants.tables["law"], plants.tables["protected"]
    binding = sum(status in BINDING_LAW for status in law["status"])
    return [
        *(f"{words} ({len(places[how])}): {' '.join(places[how])}." for how, words in READ_WORDS.items()),
        f"{binding:,} rows that bind, {len(law['status']) - binding:,} to ask about; {len(protected['status']):,} rows of "
        f"protected plants in {len(set(protected['jurisdiction']))} places. A plant on none of them is not cleared.",
    ]


def sources_text(plants: Catalogue, plant_id: str | None, rows: pd.DataFrame, form: str) -> str:
    """The counts as JSON or CSV."""
    records = [
        {"trait": trait, **{basis: int(n) for basis, n in counts.items()}}
        for trait, counts in rows.iterrows()
    ]
    if form == "csv":
        return to_csv(records)
    law = {} if plant_id else {"law_read": places_by_reading(plants.tables["law_coverage"])}
    return dumps({"plant_id": plant_id, "traits": records} | law)
