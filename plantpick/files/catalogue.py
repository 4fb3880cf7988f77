"""Reads and checks the tables in `data/`. A broken table is refused whole, with file, row, column and remedy."""

from __future__ import annotations

import gc
import hashlib
import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plantpick.catalogue.availability import check_availability
from plantpick.catalogue.by_name import check_by_name, joined
from plantpick.catalogue.checks import check_references, check_table
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.range_rules import check_range
from plantpick.catalogue.schema import TABLES, names
from plantpick.catalogue.source_rules import check_sources
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files.csv_table import Format, NoTable, read_csv, sound_columns
from plantpick.files.data_folder import data_folder
from plantpick.files.open_file import NotRead, read_bytes, read_text

if TYPE_CHECKING:
    import pandas as pd

MOST_BYTES = 100_000_000
FORMAT = Format(
    kind="a table",
    heading="the columns of docs/data.md",
    most_bytes=MOST_BYTES,
    most_rows=1_000_000,
    most_columns=500,
    shorten="Restore it, or install plantpick again.",
    separators=",",
    remarks=False,
)


@lru_cache(maxsize=4)
def load(
    folder: Path | None = None, evidence: bool = False, trust: bool = True, by_name: bool = False
) -> Catalogue:
    """Read the catalogue from `folder` (default: the one that comes with the package).

    `evidence` also reads where each cell comes from; `by_name` also the plants that are known by name only. Tables whose SHA-256 stands in datapackage.json were checked
    when that was written and are not checked again, unless `trust` is False. Raises PlantpickError `catalogue` with
    every problem found.
    """
    folder = folder or data_folder()
    problems: list[Problem] = []
    wanted = [
        name
        for name, table in TABLES.items()
        if (evidence or not table.evidence) and (by_name or not table.by_name)
    ]
    if trust and _as_checked(folder, wanted):
        collecting = gc.isenabled()
        gc.disable()  # two hundred thousand strings, all kept: the collector would walk them again and again
        try:
            sound = {name: sound_columns(folder / f"{name}.csv") for name in wanted}
            return Catalogue(joined(sound) if by_name else sound)
        finally:
            if collecting:
                gc.enable()
    tables = {name: read_table(folder, name, problems) for name in wanted}
    if all(len(table) and set(names(name)) <= set(table.columns) for name, table in tables.items()):
        check_references(tables, problems)
        check_range(tables, problems)
        if "sources" in tables:
            check_sources(tables, problems)
            check_availability(tables, problems)
        if by_name:
            check_by_name(tables, problems)
    if problems:
        raise PlantpickError("catalogue", problems)
    read = {
        name: {column: table[column].tolist() for column in names(name)} for name, table in tables.items()
    }
    return Catalogue(joined(read) if by_name else read)


def digest(path: Path) -> str:
    """SHA-256 of a file, as datapackage.json writes it."""
    return "sha256:" + hashlib.sha256(read_bytes(path, MOST_BYTES, "a table")).hexdigest()


def _as_checked(folder: Path, wanted: list[str]) -> bool:
    """Whether every table wanted still is, byte for byte, what datapackage.json was written for."""
    try:
        told = json.loads(read_text(folder / "datapackage.json", MOST_BYTES))
        hashes = {resource["path"]: resource["hash"] for resource in told["resources"]}
        return all(hashes[f"{name}.csv"] == digest(folder / f"{name}.csv") for name in wanted)
    except (NotRead, ValueError, KeyError, TypeError):
        return False


def read_table(folder: Path, name: str, problems: list[Problem]) -> pd.DataFrame:
    """One table as text cells; what is wrong with it is added to `problems`, with file, row and column."""
    import pandas as pd

    path = folder / f"{name}.csv"
    known = names(name)
    empty = pd.DataFrame(columns=known)
    try:
        read = read_csv(path, FORMAT)
    except NotRead as fault:
        restore = "Restore it, or install plantpick again."
        gone = Problem(str(path), "the table is missing.", restore)
        problems.append(gone if fault.missing else fault.problem(path, restore, restore))
        return empty
    except NoTable as fault:
        problems.append(fault.problem)
        return empty
    heading = read.headings
    before = len(problems)
    for column in sorted({c for c in heading if heading.count(c) > 1}):
        problems.append(Problem(f"{path.name}:1:{column}", "the column stands twice.", "Keep one of them."))
    for line, row in zip(read.lines, read.rows):
        if len(row) != len(heading):
            problems.append(
                Problem(
                    f"{path.name}:{line}",
                    f"the row has {len(row)} cells, the heading row {len(heading)}.",
                    "Put text that holds a comma in quotes.",
                )
            )
    if len(problems) > before:
        return empty
    table = pd.DataFrame(read.rows, columns=heading, dtype="object", index=[line - 2 for line in read.lines])
    missing = [c for c in known if c not in table.columns]
    extra = [c for c in table.columns if c not in known]
    for column in missing:
        problems.append(
            Problem(f"{path.name}:1:{column}", "the column is missing.", "Add it; cells may be empty.")
        )
    for column in extra:
        problems.append(
            Problem(
                f"{path.name}:1:{column}",
                "no such column is known.",
                did_you_mean(column, known) or "Take it out.",
            )
        )
    if not missing:
        check_table(path.name, name, table, problems)
    return table
