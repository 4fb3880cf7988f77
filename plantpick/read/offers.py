"""Opens an offer, whatever the nursery sent: text, pasted mail, CSV, TSV, spreadsheet, PDF. All become plain
lines.

Sizes are bounded: a file over its limit is refused before it is read, and so is one that unpacks to far more.
"""

from __future__ import annotations

import csv
import io
import re
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

from plantpick.errors import PlantpickError, Problem
from plantpick.offers import Line
from plantpick.read.catalogue import data_folder

MEGABYTE = 1024 * 1024
TEXT_LIMIT, SHEET_LIMIT, PDF_LIMIT = 64 * MEGABYTE, 16 * MEGABYTE, 32 * MEGABYTE
UNPACKED_LIMIT = 256 * MEGABYTE
MERGE_LIMIT = 8 * MEGABYTE  # unpacked size up to which merged cells are looked up (the whole sheet is held)
LINE_LIMIT, PAGE_LIMIT, ROW_LETTERS = 400_000, 400, 4000
KINDS = (".txt", ".csv", ".tsv", ".xlsx", ".pdf")
GAP = "   "  # between cells: names do not run across it
_HEADER_WORDS = frozenset(
    "price prices cost each ea qty quantity size sizes name names botanical scientific latin common "
    "species plant plants description item sku code stock available availability container unit units genus "
    "variety cultivar notes note form zone height no number pack tray rate product order "
    "amount status total cell pot format".split()
)
_PRICE_HEADER = re.compile(
    r"price|cost|rate|\beach\b|\bea\b|\$|per (?:100|tray|flat|bunch|lb|pound)|/(?:100|tray|flat|lb)", re.I
)
_BREAK_HEADER = re.compile(r"^\s*\$?\s*(\d{1,5}\s?(?:-|–|to)\s?\d{1,6}|\d{1,5}\s?\+)", re.I)


def _refuse(where: str, what: str, remedy: str) -> PlantpickError:
    return PlantpickError("offer-file", Problem(where, what, remedy))


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
        return _bounded(_lines_of_text(decode(data, "standard input")), "standard input")
    path = Path(source)
    if path.is_dir():
        raise _refuse(source, "this is a folder.", "Name one file: " + ", ".join(KINDS) + ".")
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
        raise _refuse(
            source, f"it cannot be opened ({fault.strerror or fault}).", "Check the name and the permission."
        ) from None
    if not data.strip(b"\x00 \t\r\n"):
        raise _refuse(
            source, "the file is empty.", "Save the offer again, or paste its text and give - as the file."
        )
    return _bounded(_by_kind(data, path.suffix.lower(), source), source)


def _check_size(size: int, limit: int, where: str) -> None:
    if size > limit:
        raise _refuse(
            where,
            f"it is larger than {limit // MEGABYTE} MB, the most that is read.",
            "Split it, or keep only the pages or columns that list plants.",
        )


def _bounded(lines: Iterator[Line], where: str) -> list[Line]:
    out: list[Line] = []
    for line in lines:
        out.append(line)
        if len(out) > LINE_LIMIT:
            raise _refuse(
                where, f"it has more than {LINE_LIMIT:,} lines, the most that are read.", "Split it."
            )
    if not any(line.text.strip() for line in out):
        raise _refuse(
            where,
            "no text was found in it.",
            "Save the offer again, or paste its text and give - as the file.",
        )
    return out


def _by_kind(data: bytes, suffix: str, where: str) -> Iterator[Line]:
    if data[:5] == b"%PDF-" or suffix == ".pdf":
        return _lines_of_pdf(data, where)
    if data[:4] == b"PK\x03\x04" or suffix == ".xlsx":
        return _lines_of_workbook(data, where)
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise _refuse(
            where,
            "it is an old Office file, or one locked with a password.",
            "Open it, take the password off, and save it as .xlsx or .csv.",
        )
    text = decode(data, where)
    if suffix in (".csv", ".tsv", ".tab"):
        return _lines_of_table(text, "\t" if suffix != ".csv" else None)
    return _lines_of_text(text)


def decode(data: bytes, where: str) -> str:
    """Bytes as text: UTF-8, UTF-16 or UTF-32 with or without a mark, otherwise Windows-1252. Raises on binary
    junk."""
    for mark, encoding in (
        (b"\xff\xfe\x00\x00", "utf-32"),
        (b"\x00\x00\xfe\xff", "utf-32"),
        (b"\xef\xbb\xbf", "utf-8-sig"),
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
    ):
        if data.startswith(mark):
            return data.decode(encoding, errors="replace")
    head = data[:4096]
    if head.count(0) > len(head) // 5 and len(head) > 3:  # UTF-16 without its mark: every second byte is zero
        even, odd = head[0::2].count(0), head[1::2].count(0)
        if max(even, odd) > len(head) // 3 and min(even, odd) < len(head) // 20 + 1:
            return data.decode("utf-16-le" if odd > even else "utf-16-be", errors="replace")
    junk = sum(head.count(bytes([b])) for b in (*range(0, 9), *range(14, 27), *range(28, 32), 127))
    if junk * 50 > len(head):
        raise _refuse(
            where, "it is not text.", "Give a file of one of these kinds: " + ", ".join(KINDS) + "."
        )
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _split(text: str) -> list[str]:
    lines = re.split(r"\r\n|\n|\r|\f", text)
    while lines and not lines[-1].strip():
        lines.pop()
    return lines


def _lines_of_text(text: str) -> Iterator[Line]:
    for number, line in enumerate(_split(text), 1):
        yield Line(number, line.replace("\x00", "")[:ROW_LETTERS])


def _lines_of_table(text: str, delimiter: str | None) -> Iterator[Line]:
    text = text.replace("\x00", "")
    delimiter = delimiter or _delimiter(text)
    csv.field_size_limit(TEXT_LIMIT)
    reader = csv.reader(io.StringIO("\n".join(_split(text)) + "\n"), delimiter=delimiter)
    columns = _Columns()
    number = 1
    for cells in reader:
        yield columns.line(number, cells, "")
        number = reader.line_num + 1


def _delimiter(text: str) -> str:
    """The sign that parts the cells: the one that most of the first lines hold equally often."""
    head = [line for line in text[:20_000].splitlines() if line.strip()][:30]

    def steady(sign: str) -> tuple[int, int]:
        counts = [line.count(sign) for line in head]
        usual = max(set(counts), key=lambda c: (counts.count(c), c)) if counts else 0
        return (counts.count(usual) if usual else 0, usual)

    return max((",", ";", "\t", "|"), key=steady)


class _Columns:
    """Remembers which columns are headed as prices or as price breaks, and turns rows into lines."""

    def __init__(self) -> None:
        self.price: dict[int, str] = {}

    def line(self, number: int, cells: list, where: str) -> Line:
        """One row as a line; a row of column headings is marked as such."""
        told = [" ".join(str(c).split()) if c is not None else "" for c in cells]
        text = GAP.join(c for c in told if c)[:ROW_LETTERS]
        if self._is_header(told):
            self.price = {
                i: c for i, c in enumerate(told) if _BREAK_HEADER.match(c) or _PRICE_HEADER.search(c)
            }
            return Line(number, text, where, header=True)
        return Line(number, text, where, self._price_of(told))

    def _is_header(self, cells: list[str]) -> bool:
        filled = [c for c in cells if c]
        if len(filled) < 2 or any(re.search(r"\d+\.\d\d|\$\s?\d", c) for c in filled):
            return False
        known = [
            bool(_HEADER_WORDS & set(re.findall(r"[a-z]+", c.lower()))) or bool(_BREAK_HEADER.match(c))
            for c in filled
        ]
        return sum(known) * 3 >= len(filled) * 2 and sum(known) >= 2 and not any(len(c) > 40 for c in filled)

    def _price_of(self, cells: list[str]) -> str:
        said = []
        for i, heading in self.price.items():
            cell = cells[i] if i < len(cells) else ""
            if not re.fullmatch(
                r"[^\dA-Za-z]{0,3}\d[\d,]*(?:\.\d+)?\s?(?:ea|each|usd)?\.?", cell.strip(), re.I
            ):
                if cell and any(ch.isdigit() for ch in cell):
                    said.append(cell)
                continue
            amount = re.search(r"\d[\d,]*(?:\.\d+)?", cell).group()
            amount = f"{float(amount.replace(',', '')):.2f}"
            span = _BREAK_HEADER.match(heading)
            per = re.search(
                r"(?:per|/)\s?(100\b|1000\b|tray|flat|bunch|lb|pound|oz|dozen|pack)", heading, re.I
            )
            said.append(
                f"{span.group(1)} ${amount}" if span else f"${amount}{' per ' + per.group(1) if per else ''}"
            )
        return ", ".join(said)


def _lines_of_workbook(data: bytes, where: str) -> Iterator[Line]:
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
        columns, number, sheet = _Columns(), 0, ""
        for place, cells in rows:
            number += 1
            if place.rsplit(":", 1)[0] != sheet:
                sheet, columns = place.rsplit(":", 1)[0], _Columns()
            yield columns.line(number, cells, place)


def _no_sheet(where: str, fault: Exception) -> PlantpickError:
    return _refuse(
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
        raise _refuse(
            where, "it is broken: no spreadsheet could be opened.", "Save it again as .xlsx or .csv."
        ) from None
    names = {m.filename for m in members}
    if "xl/workbook.xml" not in names:
        raise _refuse(
            where,
            "it is a packed file, not an .xlsx spreadsheet.",
            "Unpack it, or save the list as .xlsx or .csv.",
        )
    if any(m.flag_bits & 1 for m in members):
        raise _refuse(where, "it is locked with a password.", "Take the password off and save it again.")
    unpacked = sum(m.file_size for m in members)
    if unpacked > UNPACKED_LIMIT or any(
        m.file_size > 500 * max(m.compress_size, 1) and m.file_size > MEGABYTE for m in members
    ):
        raise _refuse(
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


def _lines_of_pdf(data: bytes, where: str) -> Iterator[Line]:
    import logging

    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        pages = PdfReader(io.BytesIO(data))
        if pages.is_encrypted and not pages.decrypt(""):
            raise _refuse(
                where,
                "the PDF is locked with a password.",
                "Open it, and print or save it without the password.",
            )
        count = len(pages.pages)
        if count > PAGE_LIMIT:
            raise _refuse(
                where,
                f"the PDF has {count} pages; {PAGE_LIMIT} are read at most.",
                "Save the pages that list plants.",
            )
        told = [_page_text(page) for page in pages.pages]
    except PlantpickError:
        raise
    except (PyPdfError, Exception) as fault:  # a broken file raises almost anything
        needs = "cryptography" in str(fault).lower()
        raise _refuse(
            where,
            "the PDF is locked."
            if needs
            else f"the PDF is broken or cannot be read ({type(fault).__name__}).",
            "Print or save it again without a password, or paste its text and give - as the file.",
        ) from None
    if sum(len(t.strip()) for t in told) < 3 * max(1, len(told)) // 2:
        raise _refuse(
            where,
            "the PDF has no text: it is a scan or a picture.",
            "Run it through text recognition first, or type the lines and give - as the file.",
        )
    number = 0
    for page, text in enumerate(told, 1):
        for line in _split(text):
            number += 1
            yield Line(number, line.strip("\x00")[:ROW_LETTERS].strip(), f"page {page}")


def _page_text(page) -> str:
    try:
        text = page.extract_text(extraction_mode="layout")
    except Exception:  # the layout reading fails on odd fonts; the plain one is sturdier
        text = ""
    return text if text.strip() else page.extract_text()
