"""The Frictionless Data Package that describes the tables; `python -m plantpick.files.data_package` builds it anew.

The descriptor derives from the registry of columns (`plantpick.catalogue.schema`). It also holds each table's SHA-256:
tables that still have it were checked when it was built, and are read without checking every cell again. Its version
rises by itself: the first number when a column goes, the second when one comes, the third when cells change.
"""

from __future__ import annotations

import json
from pathlib import Path

from plantpick.catalogue.schema import TABLES, Column, Kind, columns
from plantpick.files.catalogue import digest, load
from plantpick.files.data_folder import data_folder
from plantpick.files.open_file import NotRead, read_text

MOST_BYTES = 10_000_000
FIRST_VERSION = "2.0.0"
HOME = {
    "plant_id": "plants",
    "source_id": "sources",
    "list_id": "sale_lists",
}  # key column: the table whose rows it names
JSON_TYPES = {Kind.TEXT: "string", Kind.LIST: "string", Kind.NUMBER: "number", Kind.WHOLE: "integer"}
BEGIN, END = "<!-- columns: begin -->", "<!-- columns: end -->"  # in docs/data.md


def _field(column: Column) -> dict:
    field: dict = {
        "name": column.name,
        "type": JSON_TYPES[column.kind],
        "description": column.meaning,
    }
    if column.rdf_type:
        field["rdfType"] = column.rdf_type
    limits: dict = {}
    if column.required:
        limits["required"] = True
    if TABLES[column.table].key == (column.name,):
        limits["unique"] = True
    if column.minimum is not None:
        limits["minimum"] = column.minimum
    if column.maximum is not None:
        limits["maximum"] = column.maximum
    if column.kind is Kind.LIST:
        word = "|".join(column.words)
        limits["pattern"] = f"({word})(;({word}))*"
    elif column.words:
        limits["enum"] = list(column.words)
    return field | ({"constraints": limits} if limits else {})


def _resource(folder: Path, table: str) -> dict:
    path = folder / f"{table}.csv"
    schema: dict = {"fields": [_field(c) for c in columns(table)], "missingValues": [""]}
    if TABLES[table].key and TABLES[table].primary:
        schema["primaryKey"] = list(TABLES[table].key)
    foreign = [
        c.name for c in columns(table) if HOME.get(c.name, table) != table and not TABLES[table].by_name
    ]
    if foreign:
        schema["foreignKeys"] = [
            {"fields": [name], "reference": {"resource": HOME[name].replace("_", "-"), "fields": [name]}}
            for name in foreign
        ]
    return {
        "name": table.replace("_", "-"),
        "path": path.name,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": path.stat().st_size,
        "hash": digest(path),
        "schema": schema,
    }


def version(before: dict, resources: list[dict]) -> str:
    """The version that follows that of the descriptor `before`, given the resources as they are now."""
    if "version" not in before:
        return FIRST_VERSION
    major, minor, patch = (int(n) for n in before["version"].split("."))
    then, now = (
        {(r["path"], field["name"]) for r in some for field in r["schema"]["fields"]}
        for some in (before["resources"], resources)
    )
    if then - now:
        return f"{major + 1}.0.0"
    if now - then:
        return f"{major}.{minor + 1}.0"
    hashes = [{r["path"]: r["hash"] for r in some} for some in (before["resources"], resources)]
    return before["version"] if hashes[0] == hashes[1] else f"{major}.{minor}.{patch + 1}"


def describe(folder: Path) -> dict:
    """The descriptor for the tables in `folder`."""
    try:
        before = json.loads(read_text(folder / "datapackage.json", MOST_BYTES))
    except (NotRead, ValueError):
        before = {}
    resources = [_resource(folder, table) for table in TABLES]
    return {
        "name": "plantpick",
        "title": "Native plants for fishing ponds, and plants to refuse",
        "version": version(before, resources),
        "profile": "tabular-data-package",
        "licenses": [{"name": "CC0-1.0", "path": "https://creativecommons.org/publicdomain/zero/1.0/"}],
        "resources": resources,
    }


def text(folder: Path) -> str:
    """The descriptor as it stands in datapackage.json."""
    return json.dumps(describe(folder), indent=1, ensure_ascii=False) + "\n"


def _cell(column: Column) -> str:
    said = column.meaning.replace("|", "\\|")
    notes = []
    if column.words and len(column.words) <= 15:
        several = "any of, with semicolons" if column.kind is Kind.LIST else "one of"
        notes.append(f"{several}: {', '.join(column.words)}")
    if column.required:
        notes.append("never empty")
    if column.needed:
        notes.append("needed to place and forecast a plant")
    return f"| `{column.name}` | {column.kind.value} | {'. '.join([said, *notes])} |"


def columns_page() -> str:
    """The part of docs/data.md that lists every column, between its markers."""
    parts = [BEGIN]
    for table in TABLES.values():
        parts += [
            "",
            f"### {table.name}.csv: a row is {table.row}",
            "",
            "| column | holds | meaning |",
            "|---|---|---|",
            *(_cell(column) for column in columns(table.name)),
        ]
    return "\n".join([*parts, "", END])


def with_columns(page: str) -> str:
    """A page of documentation with its list of columns renewed."""
    before, found, rest = page.partition(BEGIN)
    _, closed, after = rest.partition(END)
    if not found or not closed:
        raise ValueError(f"the page has no {BEGIN} and {END}")
    return before + columns_page() + after


def main() -> None:
    """Check every table, then write datapackage.json beside them and the list of columns in docs/data.md."""
    folder = data_folder()
    load(folder, evidence=True, trust=False, by_name=True)
    (folder / "datapackage.json").write_text(text(folder), encoding="utf-8")
    page = folder.parent / "docs" / "data.md"
    if page.is_file():  # in a checkout
        page.write_text(with_columns(read_text(page, MOST_BYTES)), encoding="utf-8")


if __name__ == "__main__":
    main()
