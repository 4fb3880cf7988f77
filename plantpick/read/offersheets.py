"""Spreadsheets as an offer's lines: all sheets, hidden ones too; merged cells, formulas, archives that unpack to
far more than they hold."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator

from plantpick.errors import PlantpickError
from plantpick.offers import Line
from plantpick.read.offerlines import MEGABYTE, Columns, refuse

UNPACKED_LIMIT = 256 * MEGABYTE
MERGE_LIMIT = 8 * MEGABYTE  # unpacked size up to which merged cells are looked up (the whole sheet is held)


def lines_of_workbook(data: bytes, where: str) -> Iterator[Line]:
    """The rows of every sheet; they are numbered through, and each knows its sheet and row."""
    unpacked = _check_archive(data, where)
    import warnings

    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            small = unpacked <= MERGE_LIMIT
            values = load_workbook(io.BytesIO(data), read_only=not small, data_only=True)
            formulas = load_workbook(io.BytesIO(data), read_only=True, data_only=False)
            rows = _rows(values, formulas, small)
            rows = list(rows) if small else _checked(rows, where)
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


def _checked(rows: Iterator, where: str) -> Iterator:
    """The rows of a large workbook, read as they are asked for, with openpyxl's own errors put into words."""
    try:
        yield from rows
    except PlantpickError:
        raise
    except Exception as fault:
        raise _no_sheet(where, fault) from None


def _check_archive(data: bytes, where: str) -> int:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
    except (zipfile.BadZipFile, NotImplementedError, OSError, ValueError):
        raise refuse(
            where, "it is broken: no spreadsheet could be opened.", "Save it again as .xlsx or .csv."
        ) from None
    names = {m.filename for m in members}
    if "xl/workbook.xml" not in names:
        raise refuse(
            where,
            "it is a packed file, not an .xlsx spreadsheet.",
            "Unpack it, or save the list as .xlsx or .csv.",
        )
    if any(m.flag_bits & 1 for m in members):
        raise refuse(where, "it is locked with a password.", "Take the password off and save it again.")
    unpacked = sum(m.file_size for m in members)
    if unpacked > UNPACKED_LIMIT or any(
        m.file_size > 500 * max(m.compress_size, 1) and m.file_size > MEGABYTE for m in members
    ):
        raise refuse(
            where,
            f"it unpacks to far more than it holds ({unpacked // MEGABYTE} MB).",
            "Save the sheet with the plants alone, as .csv.",
        )
    return unpacked


def _rows(values, formulas, small: bool) -> Iterator[tuple[str, list]]:
    """(sheet:row, cells) of every sheet, hidden ones too; merged cells are repeated down the rows that they
    cover."""
    for sheet in values.worksheets:
        hidden = "" if sheet.sheet_state == "visible" else " (hidden)"
        merged: dict[tuple[int, int], object] = {}
        if small:
            for area in sheet.merged_cells.ranges:
                top = sheet.cell(area.min_row, area.min_col).value
                if area.max_row > area.min_row and area.max_row - area.min_row < 1000:
                    merged |= {(r, area.min_col): top for r in range(area.min_row + 1, area.max_row + 1)}
        other = formulas[sheet.title]
        empty = 0
        for row, (cells, raw) in enumerate(
            zip(sheet.iter_rows(values_only=True), other.iter_rows(values_only=True)), 1
        ):
            told = [merged.get((row, c)) if v is None else v for c, v in enumerate(cells, 1)]
            told = [_computed(v, raw[i] if i < len(raw) else None) for i, v in enumerate(told)]
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
        quoted = re.findall(r'"([^"]+)"', formula)
        return " ".join(q for q in quoted if "://" not in q) or f"[formula without a value: {formula[:60]}]"
    if isinstance(value, float):
        return f"{value:g}" if value == int(value) else f"{value:.4f}".rstrip("0")
    return value
