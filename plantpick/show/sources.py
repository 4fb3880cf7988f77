"""Where the catalogue's cells come from, as a table, JSON or CSV."""

from __future__ import annotations

import pandas as pd
from rich.console import Console

from plantpick.catalogue.evidence import citations
from plantpick.catalogue.plants import Catalogue
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, right, show_table, title


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
    if plant_id is not None:
        for words, bases in (
            ("Published sources", ("published",)),
            ("Sources beside our own figure", ("practice", "judgement", "memory")),
        ):
            if told := citations(plants, plant_id, bases):
                heading(out, words)
                bullets(out, (f"{traits}: {place}" for traits, place in told))


def sources_text(plants: Catalogue, plant_id: str | None, rows: pd.DataFrame, form: str) -> str:
    """The counts as JSON or CSV."""
    records = [
        {"trait": trait, **{basis: int(n) for basis, n in counts.items()}}
        for trait, counts in rows.iterrows()
    ]
    return to_csv(records) if form == "csv" else dumps({"plant_id": plant_id, "traits": records})
