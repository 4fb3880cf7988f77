"""Reads and checks the tables in `data/`. A broken table is refused whole, with file, row, column and remedy."""

from __future__ import annotations

import csv
import gc
import hashlib
import io
import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from plantpick.catalogue.checks import check_references, check_table
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.range_rules import check_range
from plantpick.catalogue.schema import TABLES, names
from plantpick.catalogue.source_rules import check_sources
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files.open_file import NotRead, open_regular, read_bytes, read_text

if TYPE_CHECKING:
    import pandas as pd

MOST_COLUMNS = 500
MOST_BYTES = 100_000_000


def data_folder() -> Path:
    """Where the tables are: beside the package in an installation, at the top of a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "data"
    return installed if installed.is_dir() else package.parent / "data"


@lru_cache(maxsize=4)
def load(folder: Path | None = None, evidence: bool = False, trust: bool = True) -> Catalogue:
    """Read the catalogue from `folder` (default: the one that comes with the package).

    `evidence` also reads where each cell comes from. Tables whose SHA-256 stands in datapackage.json were checked
    when that was written and are not checked again, unless `trust` is False. Raises PlantpickError `catalogue` with
    every problem found.
    """
    folder = folder or data_folder()
    problems: list[Problem] = []
    wanted = [name for name, table in TABLES.items() if evidence or not table.evidence]
    if trust and _as_checked(folder, wanted):
        collecting = gc.isenabled()
        gc.disable()  # two hundred thousand strings, all kept: the collector would walk them again and again
        try:
            return Catalogue({name: _columns(folder / f"{name}.csv") for name in wanted})
        finally:
            if collecting:
                gc.enable()
    tables = {name: read_table(folder, name, problems) for name in wanted}
    if all(len(table) and set(names(name)) <= set(table.columns) for name, table in tables.items()):
        check_references(tables, problems)
        check_range(tables, problems)
        if "sources" in tables:
            check_sources(tables, problems)
    if problems:
        raise PlantpickError("catalogue", problems)
    return Catalogue(
        {name: {column: table[column].tolist() for column in names(name)} for name, table in tables.items()}
    )


def _columns(path: Path) -> dict[str, list[str]]:
    """The columns of a table that is known to be sound."""
    with open_regular(path) as raw:
        rows = csv.reader(io.TextIOWrapper(raw, encoding="utf-8", newline=""))
        return dict(zip(next(rows), (list(column) for column in zip(*rows))))


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
    empty = pd.DataFrame(columns=names(name))
    try:
        raw = read_bytes(path, MOST_BYTES, "a table")
        reader = csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline=""), strict=True)
        rows = [(reader.line_num, row) for row in reader if row]
    except NotRead as fault:
        restore = "Restore it, or install plantpick again."
        missing = Problem(str(path), "the table is missing.", restore)
        problems.append(missing if fault.missing else fault.problem(path, restore, restore))
        return empty
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        problems.append(
            Problem(
                f"{path.name}:{line}",
                f"a letter is not in UTF-8 (byte {raw[fault.start]:#04x}); a spreadsheet may have saved the table "
                "in Windows-1252 or UTF-16.",
                "Save it again as CSV UTF-8.",
            )
        )
        return empty
    except csv.Error as fault:
        problems.append(
            Problem(
                f"{path.name}:{reader.line_num}",
                f"cannot be read as a comma-separated table ({fault}).",
                "Look for a quotation mark without its partner at or above this row.",
            )
        )
        return empty
    heading = rows[0][1] if rows else []
    before = len(problems)
    if len(heading) > MOST_COLUMNS:
        problems.append(
            Problem(f"{path.name}:1", f"has {len(heading):,} columns.", "It must have those of docs/data.md.")
        )
        return empty
    for column in sorted({c for c in heading if heading.count(c) > 1}):
        problems.append(Problem(f"{path.name}:1:{column}", "the column stands twice.", "Keep one of them."))
    for line, row in rows[1:]:
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
    table = pd.DataFrame(
        [row for _, row in rows[1:]],
        columns=heading,
        dtype="object",
        index=[line - 2 for line, _ in rows[1:]],
    )
    missing = [c for c in names(name) if c not in table.columns]
    extra = [c for c in table.columns if c not in names(name)]
    for column in missing:
        problems.append(
            Problem(f"{path.name}:1:{column}", "the column is missing.", "Add it; cells may be empty.")
        )
    for column in extra:
        problems.append(
            Problem(
                f"{path.name}:1:{column}",
                "no such column is known.",
                did_you_mean(column, names(name)) or "Take it out.",
            )
        )
    if not missing:
        check_table(path.name, name, table, problems)
    return table
