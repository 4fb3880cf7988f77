"""Spreadsheets as an offer's lines: all sheets, hidden ones too; merged cells, formulas, archives that unpack to
far more than they hold."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from plantpick.errors import PlantpickError
from plantpick.files.offer_lines import MEGABYTE, Columns, refuse
from plantpick.offers.check import Line

UNPACKED_LIMIT = 32 * MEGABYTE
MOST_PARTS = 2_000
MOST_TAGS = (
    400_000  # in all parts together; a cell with a value has four. Measured: three seconds of a processor
)
MOST_SHEET_TAGS = 2_000  # in the parts that list sheets and parts
MOST_PLACES = 2_000_000  # rows and columns gone over, empty ones too: one cell at the far corner of a sheet is a million
# a formula that counts and can say no plant's name: "=SUM(D2:D3)", "=B2*1.1"
_COUNTS = re.compile(
    r"=(?:(?:SUM|SUBTOTAL|PRODUCT|ROUND|AVERAGE|COUNTA?|MIN|MAX)\(|[-+(]*\$?[A-Z]{1,3}\$?\d+ ?[-+*/])[^\"]*$",
    re.I,
)
MOST_MERGED_ROWS = 1_000  # a taller merged cell is no plant's name beside its sizes


def lines_of_workbook(data: bytes, where: str) -> Iterator[Line]:
    """The rows of every sheet; they are numbered through, and each knows its sheet and row."""
    parts = _parts(data, where)
    import warnings

    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            values = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            told = any(parts[path].formulas for path in _paths(values) if path in parts)
            formulas = load_workbook(io.BytesIO(data), read_only=True, data_only=False) if told else None
            rows = list(_rows(values, formulas, parts, where))
        except PlantpickError:
            raise
        except Exception as fault:  # openpyxl lets zip, XML and key errors of many kinds through
            raise _no_sheet(where, fault) from None
    columns, number, sheet = Columns(), 0, ""
    for place, cells in rows:
        number += 1
        if place.rsplit(":", 1)[0] != sheet:
            sheet, columns = place.rsplit(":", 1)[0], Columns()
        yield columns.line(number, cells, place)


def _no_sheet(where: str, fault: Exception) -> PlantpickError:
    return refuse(
        where,
        f"it is no spreadsheet that can be read ({type(fault).__name__}).",
        "Open it and save it again as .xlsx, or as .csv.",
    )


@dataclass(frozen=True)
class _Part:
    """What the bytes of a packed part say before it is read: tags, whether formulas are in it, merged ranges."""

    tags: int
    formulas: bool
    merged: tuple[tuple[int, int, int], ...]  # column, first row, last row


def _parts(data: bytes, where: str) -> dict[str, _Part]:
    """Every part of the workbook, weighed: what would take long to read is refused before it is."""
    broken = refuse(where, "it is broken: no spreadsheet could be opened.", "Save it again as .xlsx or .csv.")
    large = refuse(
        where,
        f"it unpacks to more than is read of a spreadsheet, some {MOST_TAGS // 4:,} cells.",
        "Save the sheet with the plants alone, as .csv.",
    )
    if data.count(b"PK\x01\x02") > MOST_PARTS:
        raise large
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            names = {m.filename for m in members}
            if "xl/workbook.xml" not in names:
                raise refuse(
                    where,
                    "it is a packed file, not an .xlsx spreadsheet.",
                    "Unpack it, or save the list as .xlsx or .csv.",
                )
            if any(m.flag_bits & 1 for m in members):
                raise refuse(
                    where, "it is locked with a password.", "Take the password off and save it again."
                )
            if sum(m.file_size for m in members) > UNPACKED_LIMIT:
                raise large
            parts = {m.filename: _weighed(archive.read(m)) for m in members}
    except PlantpickError:
        raise
    except Exception:  # zipfile and its decompressors raise many kinds
        raise broken from None
    if sum(part.tags for part in parts.values()) > MOST_TAGS or any(
        part.tags > MOST_SHEET_TAGS
        for name, part in parts.items()
        if name.endswith(".rels") or name in ("xl/workbook.xml", "[Content_Types].xml")
    ):
        raise large
    return parts


def _weighed(part: bytes) -> _Part:
    from openpyxl.utils.cell import range_boundaries

    merged = []
    for found in re.finditer(rb'<(?:\w+:)?mergeCell\s+ref="([A-Z]{1,3}\d{1,7}:[A-Z]{1,3}\d{1,7})"', part):
        left, top, _, bottom = range_boundaries(found[1].decode())
        if top < bottom < top + MOST_MERGED_ROWS:
            merged.append((left, top, bottom))
    return _Part(part.count(b"<"), re.search(rb"<(?:\w+:)?f[\s/>]", part) is not None, tuple(merged))


def _paths(book) -> list[str]:
    return [sheet._worksheet_path.lstrip("/") for sheet in book.worksheets]


def _rows(values, formulas, parts: dict[str, _Part], where: str) -> Iterator[tuple[str, list]]:
    """(sheet:row, cells) of every sheet, hidden ones too; merged cells are repeated down the rows that they cover.

    Only rows that say something are made into lines, with the blank ones between them, if they are not a great many.
    """
    left = MOST_TAGS
    places = MOST_PLACES
    for sheet, path in zip(values.worksheets, _paths(values)):
        part = parts.get(path, _Part(0, False, ()))
        left -= part.tags  # a part may be named as several sheets
        if left < 0:
            raise refuse(where, "it names one sheet again and again.", "Save the sheet alone, as .csv.")
        hidden = "" if sheet.sheet_state == "visible" else " (hidden)"
        begins = {(top, column): bottom for column, top, bottom in part.merged}
        standing: dict[int, tuple[int, object]] = {}
        sheet.reset_dimensions()  # what it says of its size counts for nothing
        shown = sheet.iter_rows(values_only=True)
        if formulas and part.formulas:
            other = formulas[sheet.title]
            other.reset_dimensions()
            both: Iterable[tuple[tuple, tuple]] = zip(shown, other.iter_rows(values_only=True))
        else:
            both = ((cells, ()) for cells in shown)
        empty = 0
        for row, (cells, raw) in enumerate(both, 1):
            places -= 1 + len(cells)
            if places < 0:
                raise refuse(
                    where,
                    "its cells lie too far apart.",
                    "Delete what is far to the right or below the list.",
                )
            if not cells and not standing:
                empty += 1
                continue
            told = list(cells) + [None] * (max(standing, default=0) - len(cells))
            told = [_computed(v, raw[i] if i < len(raw) else None) for i, v in enumerate(told)]
            for column in [c for c, (bottom, _) in standing.items() if bottom < row]:
                del standing[column]
            for column, (_, value) in standing.items():
                if told[column - 1] is None:
                    told[column - 1] = value
            if begins:
                for column, value in enumerate(told, 1):
                    if (row, column) in begins:
                        standing[column] = (begins[row, column], value)
            if all(v in (None, "") for v in told):
                empty += 1
                continue
            for back in range(empty, 0, -1):  # blank rows between, not the empty tail of a sheet
                if empty <= 1000:
                    yield f"{sheet.title}{hidden}:{row - back}", []
            empty = 0
            yield f"{sheet.title}{hidden}:{row}", told


def _computed(value, formula):
    """A formula that was saved without its value still shows what it says."""
    if value is None and isinstance(formula, str) and formula.startswith("="):
        if _COUNTS.match(formula):
            return None
        quoted = re.findall(r'"([^"]+)"', formula)
        return " ".join(q for q in quoted if "://" not in q) or f"[formula without a value: {formula[:60]}]"
    if isinstance(value, float):
        return f"{value:g}" if value == int(value) else f"{value:.4f}".rstrip("0")
    return value
