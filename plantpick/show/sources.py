"""Where the catalogue's cells come from, as a table, JSON or CSV."""

from __future__ import annotations

import pandas as pd
from rich.console import Console

from plantpick.catalogue.evidence import citations, decisive
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
        show_decisive(out, plants)
        heading(out, "Lists of the law")
        bullets(out, law_read(plants))
    else:
        for words, bases in (
            ("Published sources", ("published",)),
            ("Worked out from measurements", ("measured",)),
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


def show_decisive(out: Console, plants: Catalogue) -> None:
    """Of the plants most used: how many of the cells that decide where they can stand rest on what a source gives."""
    cells = decisive(plants)
    all_, seen = (int(cells[column].sum()) for column in ("cells", "seen"))
    heading(out, "The plants most used")
    paragraph(
        out,
        f"Owners, agencies and nurseries name {len(plants.most_used)} natives most (docs/data.md). Of the {all_} cells "
        f"that decide where these can stand, {seen} ({100 * seen / max(1, all_):.0f} %) rest on a published or measured value.",
    )
    show_table(
        out,
        ["trait", right("cells"), right("published or measured")],
        ((trait, str(n), str(k)) for trait, n, k in cells.itertuples()),
        indent=0,
    )


def sources_text(plants: Catalogue, plant_id: str | None, rows: pd.DataFrame, form: str) -> str:
    """The counts as JSON or CSV; of the whole catalogue, JSON has the decisive cells of the plants most used too."""
    records = [
        {"trait": trait, **{basis: int(n) for basis, n in counts.items()}}
        for trait, counts in rows.iterrows()
    ]
    if form == "csv":
        return to_csv(records)
    told: dict[str, object] = {"plant_id": plant_id, "traits": records}
    if plant_id is None:
        told["law_read"] = places_by_reading(plants.tables["law_coverage"])
        told["plants_most_used"] = decisive(plants).reset_index().to_dict("records")
    return dumps(told)
