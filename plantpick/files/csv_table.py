"""The one reader of CSV tables: ponds, logs, surveys and the catalogue's own.

It opens the file no further than its size allows, finds the separator, numbers rows by their line in the file, and
reads a heading with its unit. What a table means is its reader's affair.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from plantpick.errors import Problem
from plantpick.files.open_file import open_regular, read_bytes
from plantpick.units import spelled

SEPARATORS = ",;\t"


@dataclass(frozen=True, kw_only=True)
class Format:
    """What a kind of table may be: its name in a refusal ("a log"), its limits, and its heading row as an example.

    `shorten` is what to do about a table that is too large. `remarks` says whether a row that starts with # is one.
    """

    kind: str
    heading: str
    most_bytes: int
    most_rows: int
    most_columns: int
    shorten: str
    separators: str = SEPARATORS
    remarks: bool = True


class NoTable(Exception):
    """A file that was opened and is no table: `problem` says where, what, and the remedy."""

    def __init__(self, where: str, what: str, remedy: str) -> None:
        super().__init__(what)
        self.problem = Problem(where, what, remedy)


@dataclass(frozen=True, kw_only=True)
class CsvTable:
    """The cells of a table: `lines` says in which line of the file each row begins."""

    name: str
    headings: list[str]
    head_line: int
    rows: list[list[str]]
    lines: list[int]

    def too_long(self) -> list[Problem]:
        """A problem for each row that has more cells than the heading row."""
        return [
            Problem(
                f"{self.name}:{line}:{len(self.headings) + 1}",
                "the row has more cells than the heading row.",
                "Put text that holds the separator in quotes.",
            )
            for line, row in zip(self.lines, self.rows)
            if len(row) > len(self.headings)
        ]


def read_csv(path: Path, form: Format, name: str = "") -> CsvTable:
    """The table in a file; `name` stands for it in problems (its file name). Raises NotRead or NoTable."""
    name = name or path.name
    return parse_csv(decoded(read_bytes(path, form.most_bytes, form.kind), name), form, name)


def decoded(raw: bytes, name: str) -> str:
    """A table's bytes as text, with or without the mark of UTF-8 at the beginning. Raises NoTable."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        raise NoTable(
            f"{name}:{line}",
            f"a letter is not UTF-8 text (byte {raw[fault.start]:#04x}); a spreadsheet may have saved the table in "
            "Windows-1252 or UTF-16.",
            "Save it again as CSV UTF-8.",
        ) from None


def parse_csv(text: str, form: Format, name: str) -> CsvTable:
    """The table in a text. Rows without a letter in them are passed over. Raises NoTable."""
    first = next((line for line in text.splitlines() if line.strip() and not _remark(line, form)), "")
    separator = max(form.separators, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[str]] = []
    lines: list[int] = []
    line = 1
    try:
        for row in reader:
            if any(cell.strip() for cell in row) and not _remark(row[0], form):
                rows.append(row)
                lines.append(line)
                if len(row) > form.most_columns:
                    what = (
                        f"has {len(row):,} columns, and {form.kind} has no more than {form.most_columns:,}."
                    )
                    raise NoTable(f"{name}:{line}", what, f"It needs a heading row: {form.heading}.")
                if len(rows) > form.most_rows + 1:
                    raise NoTable(name, f"has more than {form.most_rows:,} rows.", form.shorten)
            line = reader.line_num + 1
    except csv.Error as fault:
        raise NoTable(
            f"{name}:{reader.line_num}",
            f"cannot be read as a table ({fault}).",
            "Look for a quotation mark without its partner at or above this row, or save the sheet again as CSV.",
        ) from None
    if not rows:
        raise NoTable(name, "is empty.", f"It needs a heading row: {form.heading}.")
    return CsvTable(name=name, headings=rows[0], head_line=lines[0], rows=rows[1:], lines=lines[1:])


def _remark(text: str, form: Format) -> bool:
    return form.remarks and text.lstrip().startswith("#")


def sound_columns(path: Path) -> dict[str, list[str]]:
    """The columns of a table of ours that is known to be sound, read in one go. Raises NotRead."""
    with open_regular(path) as raw:
        rows = csv.reader(io.TextIOWrapper(raw, encoding="utf-8", newline=""))
        return dict(zip(next(rows), (list(column) for column in zip(*rows))))


def plain_heading(heading: str) -> str:
    """A heading in small letters and single spaces: "Depth_(ft)" is "depth ft", "Cover %" "cover percent"."""
    text = heading.lower().replace("²", "2").replace("%", " percent ")
    return " ".join(re.sub(r"[^\w'\"]+|_", " ", text).split())


def heading_unit(heading: str, names: Mapping[str, str]) -> tuple[str, str] | None:
    """The word that a heading stands for, and the unit in it ("" for none); None where `names` has no such name.

    `names` are plain headings with the word of each. "Depth (ft)", "depth_ft" and "Depth in feet" are depth, ft.
    """
    plain = plain_heading(heading)
    known = [name for name in names if plain == name or plain.startswith(f"{name} ")]
    if not known:
        return None
    name = max(known, key=len)
    return names[name], spelled(plain.removeprefix(name).strip().removeprefix("in "))
