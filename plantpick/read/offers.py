"""Opens an offer, whatever the nursery sent: text, pasted mail, CSV, TSV, spreadsheet, PDF. All become plain
lines.

Sizes are bounded: a file over its limit is refused before it is read, and so is one that unpacks to far more.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from plantpick.offers import Line
from plantpick.read.catalogue import data_folder
from plantpick.read.offerlines import (
    KINDS,
    MEGABYTE,
    ROW_LETTERS,
    TEXT_LIMIT,
    decode,
    lines_of_table,
    lines_of_text,
    refuse,
)
from plantpick.read.offerpdf import lines_of_pdf
from plantpick.read.offersheets import lines_of_workbook

SHEET_LIMIT, PDF_LIMIT = 16 * MEGABYTE, 32 * MEGABYTE
LINE_LIMIT = 400_000


def demo_offer() -> str:
    """The path of the invented offer that comes with plantpick."""
    return str(data_folder() / "demo" / "offer.txt")


def read_offer(source: str) -> list[Line]:
    """The lines of an offer; `source` is a path, or "-" for text on standard input.

    Raises PlantpickError `offer-file` for a file that is missing, empty, too large, of another kind, broken,
    locked with a password, or a PDF without text.
    """
    if source == "-":
        data = sys.stdin.buffer.read(TEXT_LIMIT + 1)
        _check_size(len(data), TEXT_LIMIT, "standard input")
        return _bounded(_by_kind(data, "", "standard input"), "standard input")
    path = Path(source)
    if path.is_dir():
        raise refuse(source, "this is a folder.", "Name one file: " + ", ".join(KINDS) + ".")
    try:
        size = path.stat().st_size
        limit = {".xlsx": SHEET_LIMIT, ".xlsm": SHEET_LIMIT, ".pdf": PDF_LIMIT}.get(
            path.suffix.lower(), TEXT_LIMIT
        )
        _check_size(size, limit, source)
        with path.open("rb") as file:
            data = file.read(limit + 1)  # a pipe or a growing file has no honest size
        _check_size(len(data), limit, source)
    except OSError as fault:
        raise refuse(
            source, f"it cannot be opened ({fault.strerror or fault}).", "Check the name and the permission."
        ) from None
    if not data.strip(b"\x00 \t\r\n"):
        raise refuse(
            source, "the file is empty.", "Save the offer again, or paste its text and give - as the file."
        )
    return _bounded(_by_kind(data, path.suffix.lower(), source), source)


def _check_size(size: int, limit: int, where: str) -> None:
    if size > limit:
        raise refuse(
            where,
            f"it is larger than {limit // MEGABYTE} MB, the most that is read.",
            "Split it, or keep only the pages or columns that list plants.",
        )


def _bounded(lines: Iterator[Line], where: str) -> list[Line]:
    out: list[Line] = []
    for line in lines:
        out.append(line)
        if len(line.text) > ROW_LETTERS:
            raise refuse(
                f"{where}, line {line.number}",
                f"it has {len(line.text):,} letters; {ROW_LETTERS:,} are the most that are read in a line.",
                "Put every plant on a line of its own.",
            )
        if len(out) > LINE_LIMIT:
            raise refuse(
                where, f"it has more than {LINE_LIMIT:,} lines, the most that are read.", "Split it."
            )
    if not any(line.text.strip() for line in out):
        raise refuse(
            where,
            "no text was found in it.",
            "Save the offer again, or paste its text and give - as the file.",
        )
    return out


def _by_kind(data: bytes, suffix: str, where: str) -> Iterator[Line]:
    if data[:5] == b"%PDF-" or suffix == ".pdf":
        return lines_of_pdf(data, where)
    if data[:4] == b"PK\x03\x04" or suffix == ".xlsx":
        return lines_of_workbook(data, where)
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise refuse(
            where,
            "it is an old Office file, or one locked with a password.",
            "Open it, take the password off, and save it as .xlsx or .csv.",
        )
    text = decode(data, where)
    if suffix in (".csv", ".tsv", ".tab"):
        return lines_of_table(text, "\t" if suffix != ".csv" else None)
    return lines_of_text(text)
