"""Text and tables as an offer's lines: encodings, the sign that parts the cells, the columns that hold prices."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from plantpick.errors import PlantpickError, Problem
from plantpick.offers.check import Line

MEGABYTE = 1_000_000
TEXT_LIMIT = 64 * MEGABYTE
ROW_LETTERS = 20_000
CELL_LINES = 20  # lines over which a cell in quotes may run
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


def refuse(where: str, what: str, remedy: str) -> PlantpickError:
    """The error for an offer's file: where, what is wrong with it, and what helps."""
    return PlantpickError("offer-file", Problem(where, what, remedy))


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
        raise refuse(where, "it is not text.", "Give a file of one of these kinds: " + ", ".join(KINDS) + ".")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def split(text: str) -> list[str]:
    """The lines of a text, whatever ends them, numbered as an editor numbers them."""
    lines = re.split(r"\r\n|\n|\r", text)
    if not lines[-1]:
        lines.pop()  # the end of the last line begins no new one
    return lines


def lines_of_text(text: str) -> Iterator[Line]:
    """Plain text, a line for a line."""
    for number, line in enumerate(split(text), 1):
        yield Line(number, line.replace("\x00", ""))


def lines_of_table(text: str, delimiter: str | None) -> Iterator[Line]:
    """A table in text, a line for a row; `delimiter` None looks which sign parts the cells.

    A quote that is opened and not closed within a few lines is read as a sign like any other.
    """
    text = text.replace("\x00", "")
    delimiter = delimiter or _delimiter(text)
    csv.field_size_limit(TEXT_LIMIT)
    rows, columns, at = split(text), Columns(), 0
    while at < len(rows):
        cells, used = _row(rows, at, delimiter)
        yield columns.line(at + 1, cells, "")
        at += used


def _row(rows: list[str], at: int, delimiter: str) -> tuple[list[str], int]:
    """The cells of the row that begins on line `at`, and how many lines it takes."""
    some = rows[at : at + CELL_LINES] if '"' in rows[at] else rows[at : at + 1]
    reader = csv.reader((row + "\n" for row in some), delimiter=delimiter, strict=True)
    try:
        return next(reader), reader.line_num
    except csv.Error:
        lone = csv.reader([rows[at]], delimiter=delimiter, quoting=csv.QUOTE_NONE)
        return [cell.strip().strip('"') for cell in next(lone)], 1


def _delimiter(text: str) -> str:
    """The sign that parts the cells: the one that most of the first lines hold equally often."""
    head = [line for line in text[:20_000].splitlines() if line.strip()][:30]

    def steady(sign: str) -> tuple[int, int]:
        counts = [line.count(sign) for line in head]
        usual = max(set(counts), key=lambda c: (counts.count(c), c)) if counts else 0
        return (counts.count(usual) if usual else 0, usual)

    return max((",", ";", "\t", "|"), key=steady)


class Columns:
    """Remembers which columns are headed as prices or as price breaks, and turns rows into lines."""

    def __init__(self) -> None:
        self.price: dict[int, str] = {}

    def line(self, number: int, cells: list, where: str) -> Line:
        """One row as a line; a row of column headings is marked as such."""
        told = [" ".join(str(c).split()) if c is not None else "" for c in cells]
        text = GAP.join(c for c in told if c)
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
            figure = re.search(r"\d[\d,]*(?:\.\d+)?", cell)
            assert figure is not None, "the match above has a figure"
            amount = f"{float(figure[0].replace(',', '')):.2f}"
            span = _BREAK_HEADER.match(heading)
            per = re.search(
                r"(?:per|/)\s?(100\b|1000\b|tray|flat|bunch|lb|pound|oz|dozen|pack)", heading, re.I
            )
            said.append(
                f"{span.group(1)} ${amount}" if span else f"${amount}{' per ' + per.group(1) if per else ''}"
            )
        return ", ".join(said)
