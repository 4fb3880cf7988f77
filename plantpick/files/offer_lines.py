"""Text and tables as an offer's lines: encodings, the sign that parts the cells, the columns that hold prices."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from plantpick.errors import PlantpickError, Problem
from plantpick.files.page_layout import Cell, Row, apart, beneath, columns_of_text
from plantpick.offers.check import Line
from plantpick.offers.normalize import stem
from plantpick.offers.prices import CHEAPEST_PLANT, DEAREST_PLUG
from plantpick.offers.shipping_terms import form_of, size_of
from plantpick.offers.words import GENERIC, PLAIN, explains_itself

MEGABYTE = 1_000_000
TEXT_LIMIT = 64 * MEGABYTE
ROW_LETTERS = 20_000
CELL_LINES = 20  # lines over which a cell in quotes may run
KINDS = (".txt", ".csv", ".tsv", ".xlsx", ".pdf", ".eml", ".html")
GAP = "   "  # between cells: names do not run across it
_HEADER_WORDS = frozenset(
    "price prices cost each ea qty quantity size sizes name names botanical scientific latin common "
    "species plant plants description item sku code stock available availability container unit units genus "
    "variety cultivar notes note form zone height no number pack tray rate product order "
    "amount status total cell cells count pot format plug plugs quart qt gallon gal pint liner bareroot oz lb lbs packet pkt "
    "minimum min retail wholesale pack bundle flat genus zone sun soil bloom habit ht bundles packs flats trays avail uom um moq multiple increment pk lot case box seedlings members public dozen hundred thousand extended ordered".split()
)
_PRICE_HEADER = re.compile(
    r"price|cost|rate|\bpublic\b|\bnon-?members?\b|\bretail|\bwholesale|\beach\b|\bea\b|\$|per (?:100|tray|flat|bunch|lb|pound|dozen|doz|hundred|thousand|bundle|pack|box|case|bag)|/(?:100|tray|flat|lb)",
    re.I,
)
_BREAK_HEADER = re.compile(
    r"^\s*\$?\s*(\d{1,5}\s?(?:-|–|to)\s?\d{1,6}|\d{1,5}\s?\+)(?!\s?(?:\"|'|in\b|ft\b))", re.I
)
_BREAK_LAST = re.compile(r"\s(\d{1,5}\s?(?:-|–|to)\s?\d{1,6}|\d{1,5}\s?\+)\s*$", re.I)
_LOT_WORD = r"tray|flat|pack|bunch|bundle|box|case|bag"
_COUNT_HEADER = re.compile(
    rf"(?:plants?|plugs?|cells?|pieces|pcs|count|ct|qty|quantity|number|no\.?|#|units?|seedlings?|trees?|shrubs?|stems?|bulbs?|tubers?|"
    rf"whips?|stakes?|cuttings?|bare ?roots?|pots?|liners?)\s*(?:per|/|in an?|in)\s*(?P<per>{_LOT_WORD}|pk)\b"
    rf"|(?P<of>{_LOT_WORD})\s*(?:size|count|qty|quantity)\b|^per (?P<each>{_LOT_WORD})s?$|"
    rf"^(?P<lot>{_LOT_WORD}|pk|lot)s?\.?(?: ?(?:ct|pack|qty|size)\.?)?$|^(?:unit size|seedlings)$|"
    r"^(?:cells?|count|ct)$",
    re.I,
)
_HELD = re.compile(  # "(50/tray)", "72 per flat": how many plants of the heading's size a tray holds
    rf"\(?\b(\d{{1,4}}) ?(?:plugs?|plants?|cells?|ct|count)? ?(?:/|per|to an?|in an?) ?({_LOT_WORD})s?\b\)?",
    re.I,
)
_LOT_OF = re.compile(rf"\b({_LOT_WORD})s? of (\d{{1,4}})\b", re.I)  # "Flat of 38 plants"
# sizes in a row of headings that stand a blank apart; "Qty. pot" is a column to be filled in
_SIZE_SPOKEN = re.compile(
    rf"(?P<to_fill>\b(?:qty|quantity|number of|no\. of|# of)\b\.? ?)?(?P<size>\b(?:{_LOT_WORD})s? of \d{{1,4}}(?: plants| plugs)?\b|"
    r"(?<![\w.])\d{1,2}(?:\.\d+)?[ -]?(?:in(?:ch)?\b\.?|\"|gal(?:lon)?s?\b|qts?\b|quarts?\b)(?: (?:pots?|plugs?|containers?)\b)?|#\d\b|"
    r"\b(?:quarts?|gallons?|pints?|plugs?|bare ?roots?|liners?|flat|tray|pots?)\b)",
    re.I,
)
_SIGNED = re.compile(r"[$£€] ?\d+(?:\.\d\d)?(?![\d.,/-])")
_IN_HEADING = re.compile(r"\b(?:plugs?|cells?|liners?|trays?|flats?) ?\((\d{2,3})\)", re.I)  # "Plug (72)"
_LOT = re.compile(rf"\b(?:{_LOT_WORD})(?:e?s)?\b", re.I)
_AN_AMOUNT = re.compile(r"\d+\.\d\d|\$\s?\d")
_SIZE_HEADER = re.compile(
    r"\b(?:plugs?|quarts?|qts?|gal(?:lon)?s?|pints?|liners?|bare ?roots?|pots?|\d+(?:\.\d+)?\s?(?:in|inch)|#\d)\b|\d\s?\"",
    re.I,
)
_NAME_HEADER = re.compile(
    r"\W*(?:plants?|names?|botanical|scientific|latin|common|species|items?|description|variety|product)\b",
    re.I,
)
_NAME_COLUMN = re.compile(
    r"\W*(?:plants?|names?|botanical|scientific|latin|common|species|genus|variety|description)\b(?! ?(?:size|price|count|#|no))",
    re.I,
)
_WEIGHT_HEADER = re.compile(
    r"^\W*(?:\d*[\d/. ]*)\s?(oz|ounce|lbs?|pounds?|grams?|g|pkt|packet)s?\b\.?\W*$", re.I
)
_LEAST_HEADER = re.compile(r"^\W*(?:moq|min(?:imum|\.)?(?: ?(?:order|qty|quantity|number))*)\W*$", re.I)
_STEP_HEADER = re.compile(r"^\W*(?:order |sales? )?(?:multiples?|increments?)(?: of)?\W*$", re.I)
_LEFT_HEADER = re.compile(
    r"^\W*(?:(?:qty|quantity|number|no\.?|#|count|total)\W*)?(?:avail(?:able|ability|\.)?|in stock|stock|on hand|inventory)"
    r"(?: ?(?:qty|quantity|now|today))?\W*$",
    re.I,
)
_UNIT_HEADER = re.compile(
    r"^\W*(?:(?:price|sales?|selling) )?(?:units?|uom|u/m|per|sold (?:by|as|per)|unit of (?:measure|sale))\W*$",
    re.I,
)
# what stands in a column of units; C and M are the trade's hundred and thousand (common practice, no source)
_UNIT_SAID = {
    "each": "each ea e unit plant plug pc piece 1 one per_plant per_plug",
    "per 100": "c 100 hundred /100 per_100 per_hundred",
    "per 1000": "m 1000 1,000 thousand /1000 per_1000 per_1,000 per_thousand",
    "per dozen": "dz doz dozen per_dozen",
    "per tray": "tr tray trays per_tray",
    "per flat": "fl flat flats per_flat",
    "per lb": "lb lbs pound per_lb per_pound",
}
_UNITS = {word.replace("_", " "): said for said, words in _UNIT_SAID.items() for word in words.split()}
_NO_PRICE_NOW = re.compile(r"msrp|list price|rrp|extended|ext\.|total|amount", re.I)
_MONEY_PER = re.compile(r"\W*(?:\$ ?/|per )\s*[a-z]+\W*$", re.I)
_STOCK_HEADER = re.compile(r"^\W*(?:size|container|form|format|type|stock)\W*$", re.I)
_STOCK_UNITS = frozenset("dozen doz dz c m lb lbs pound oz pkt packet".split())
_CURRENCY = re.compile(r"US\s?\$|USD|CA?\$|CAD|AU?\$|AUD|£|GBP|€|EUR|₹|\bRs\.?|INR|\$", re.I)
_MONEY_CELL = re.compile(
    rf"(?P<before>{_CURRENCY.pattern})?\s?(?P<figure>\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?|\d+,\d{{1,2}}|\d+(?:\.\d+)?|\.\d{{2}})\s?(?P<behind>{_CURRENCY.pattern})?"
    r"\s?(?:/?\s?(?:ea|each)\b)?\.?",
    re.I,
)
MARK = re.compile(  # of a web page's source: "<br />"
    r"</?(?:br|p|b|i|u|em|strong|span|a|font|sup|sub|small|big|li|ul|ol|hr|h[1-6])(?:\s[^<>]{0,300})?/?>",
    re.I,
)
_CELLS_APART = re.compile(r"\t+|\s{3,}|\s\|\s")


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
    """Plain text, a line for a line. Beneath a row of headings set apart by wide spaces, rows whose cells stand beneath them
    are a table."""
    columns, spoken = Columns(), 0  # spoken: sizes of an order form's headings
    heads: Row = ()
    tabs = False  # whether every tab parts two cells, as in a sheet that was copied
    text = text.replace("\x00", "")
    told = enumerate(split(text), 1)
    for number, line in _in_reading_order(list(told)) if text.count(_BETWEEN) >= FEW_WIDE else told:
        apart = "  " in line or "\t" in line or "|" in line
        cells = _cells_of(line) if apart else []
        if tabs and "\t" in line:
            cells = [cell.strip() for cell in line.split("\t")]
            cells += [""] * (len(heads) - len(cells))
        if cells and all(map(_RULE.fullmatch, cells)):
            yield Line(number, line, header=True)  # beneath the headings of a table in marked-down text
            continue
        if len(cells) > 1 and columns.all_headings(cells):
            columns, spoken, heads = Columns(), 0, _headings(line, cells)
            tabs = "\t" in line and all(cell.strip() for cell in line.split("\t"))
            columns.line(number, [cell.text for cell in heads], "")
            yield Line(number, line, header=True)
        elif heads and len(cells) == len(heads):
            yield replace(columns.line(number, cells, ""), text=line)
        elif heads and apart and (row := _row_beneath(heads, line)):
            yield replace(columns.line(number, row, ""), text=line)
        elif len(cells) < 2 and _NAME_HEADER.match(line) and (sizes := _sizes_spoken(line)):
            columns, spoken, heads, tabs = Columns(), len(sizes), (), False
            columns.line(number, ["Plant", *sizes], "")
            yield Line(number, line, header=True)
        elif spoken and len(amounts := _SIGNED.findall(line)) == spoken:
            name = line[: line.index(amounts[0])]
            plain = size_of(name) or form_of(name.lower()) or line.rstrip() != f"{name}{' '.join(amounts)}"
            yield (
                Line(number, line)
                if plain
                else replace(columns.line(number, [name, *amounts], ""), text=line)
            )
        else:
            yield Line(number, line)


_RULE = re.compile(r":?-{2,}:?")


def _cells_of(line: str) -> list[str]:
    """The cells of a typed line; upright strokes at both its ends part none."""
    text = line.strip()
    if len(text) > 2 and text[0] == text[-1] == "|":
        return [cell.strip() for cell in text[1:-1].split("|")]
    return [cell.strip() for cell in _CELLS_APART.split(text)]


def _headings(line: str, cells: list[str]) -> Row:
    """The headings of a typed table where they stand; a wide blank before them is the column of names, which has none."""
    heads, at = [], 0
    for cell in cells:
        at = line.index(cell, at)
        heads.append(Cell(cell, float(at), float(at + len(cell))))
        at += len(cell)
    blank = heads[0].x0
    return (Cell("Plant", 0.0, blank / 2), *heads) if blank >= NAMES_WIDE else tuple(heads)


def _row_beneath(heads: Row, line: str) -> list[str]:
    """The cells of a line beneath the headings of a typed table; none where a figure of it stands beneath no heading."""
    row = tuple(Cell(m.group(), float(m.start()), float(m.end())) for m in _TYPED_CELL.finditer(line))
    figures = [cell for cell in row if _MONEY_CELL.fullmatch(cell.text)]
    in_place = all(min(apart(head, cell) for head in heads) <= BESIDE for cell in figures)
    return beneath(heads, row) if figures and in_place and len(row) > 1 else []


def _sizes_spoken(line: str) -> list[str]:
    """The sizes that a row of headings names in one run of words, where it names two or more, and money nowhere."""
    if len(line) > 200 or _CURRENCY.search(line):
        return []
    sizes = [m["size"] for m in _SIZE_SPOKEN.finditer(line) if not m["to_fill"]]
    rest = _SIZE_SPOKEN.sub(" ", line)
    named = re.search(r"\b(?:names?|plants?|species|variety|item|description)\b", rest, re.I)
    return sizes if len(set(sizes)) == len(sizes) > 1 and named and _heads_names(rest) else []


_BETWEEN = " " * 8  # between the columns of a typed page, at least
FEW_WIDE = 4  # lines with so wide a gap from which a text may stand in columns
PAGE_OF_TEXT = 100  # lines that are looked at together
MOST_TYPED = 5_000  # lines of a text that is looked at so
NAMES_WIDE = 12  # letters of blank before headings that are the names' column
BESIDE = 3.0  # letters that a figure may stand off its heading
_TYPED_CELL = re.compile(r"\S+(?: \S+)*")
_TYPED = re.compile(r"\S+(?: {1,2}\S+)*")


def _in_reading_order(lines: list[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """The numbered lines of a text, on a page typed in two columns the left one first: each line in two, with the number that
    it has."""
    if len(lines) > MOST_TYPED:
        yield from lines
        return
    for at in range(0, len(lines), PAGE_OF_TEXT):
        page = lines[at : at + PAGE_OF_TEXT]
        rows = [
            tuple(Cell(m.group(), 6.0 * m.start(), 6.0 * m.end(), float(n)) for m in _TYPED.finditer(line))
            for n, line in page
        ]
        parts = columns_of_text([row for row in rows if row])
        if len(parts) < 2:
            yield from page
        else:
            yield from (
                (int(row[0].y), GAP.join(cell.text for cell in row)) for part in parts for row in part
            )


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


@dataclass(frozen=True)
class _Asked:
    """What the price columns of a row say: the price as a line would say it, what their heading says of size and form, and
    whether columns of other sizes have prices too."""

    price: str = ""
    stock: str = ""
    more_sizes: bool = False


class Columns:
    """Remembers which columns are headed as prices or as price breaks, and turns rows into lines."""

    def __init__(self) -> None:
        self.price: dict[int, str] = {}
        self.count: dict[int, str] = {}  # columns that say how many plants a lot holds, and the lot
        self.sold_by: set[int] = set()  # those of them that say so of what is sold: "Plugs per flat"
        self.bare_lot: set[int] = set()  # those that name the lot alone: "Pack"
        self.names: list[int] = []  # columns of names, and what they say in the row above
        self.last_names = ""
        self.steps: set[int] = set()  # columns of the numbers that it is sold in
        self.stock: list[int] = []  # columns of sizes and forms, which may say what a price buys
        self.least: list[int] = []  # columns of least orders
        self.unit: int | None = None  # the column that says what a price buys
        self.left: list[int] = []  # columns that say how many the seller has
        self.headings: list[str] = []
        self.under_headings = False  # whether the row before was one of headings

    def line(self, number: int, cells: list, where: str) -> Line:
        """One row as a line; a row of column headings is marked as such."""
        told = [" ".join(str(c).split()) if c is not None else "" for c in cells]
        told = [" ".join(MARK.sub(" ", c).split()) if "<" in c else c for c in told]
        text = GAP.join(c for c in told if c)
        if self._is_header(told):
            self._take(self._below(told) if self.under_headings else told)
            self.under_headings = True
            return Line(number, text, where, header=True)
        self.under_headings = self.under_headings and not text
        asked = self._asked(told)
        text = self._named(told, text, asked.price)
        return Line(
            number,
            text,
            where,
            asked.price,
            asked.stock,
            asked.more_sizes,
            none_left=self._none_left(told),
        )

    def _named(self, told: list[str], text: str, price: str) -> str:
        """The text of a row; where the columns of names are empty, a further size with a price goes by the names above."""
        names = [told[i] for i in self.names if i < len(told)]
        if any(names):
            self.last_names = GAP.join(filter(None, names)) if price else ""
        elif not text or not price or not (size_of(text) or form_of(text.lower())):
            self.last_names = ""
        elif self.last_names:
            return f"{self.last_names}{GAP}{text}"
        return text

    def all_headings(self, cells: list[str]) -> bool:
        """Whether every cell is a column's heading, one of them of prices, or the first of names and two of sizes."""
        filled = [c for c in cells if c]
        if any(map(_AN_AMOUNT.search, filled)):
            return False
        priced = _bare_breaks(filled) or any(
            _PRICE_HEADER.search(c) or _BREAK_HEADER.match(c) or _LOT_OF.search(c) for c in filled
        )
        sizes = sum(bool(_SIZE_HEADER.search(c)) for c in filled[1:])
        priced = priced or sizes > 1 and bool(_NAME_HEADER.match(filled[0]))
        return priced and self._is_header(filled) and (_bare_breaks(filled) or all(map(_could_head, filled)))

    def _take(self, headings: list[str]) -> None:
        self.headings = headings
        self.price, self.count, self.least, self.left, self.unit = {}, {}, [], [], None
        self.sold_by, self.bare_lot, self.steps, self.stock = set(), set(), set(), []
        self.names = [i for i, heading in enumerate(headings) if _NAME_COLUMN.match(heading)]
        self.last_names = ""
        if _bare_breaks(headings):
            headings = [headings[0], *(f"{heading}+" for heading in headings[1:])]
            self.headings = headings
        for i, heading in enumerate(headings):
            counted = _COUNT_HEADER.search(heading)
            if _STOCK_HEADER.match(heading):
                self.stock.append(i)
            elif _LEAST_HEADER.match(heading):
                self.least.append(i)
            elif _STEP_HEADER.match(heading):
                self.steps.add(i)
            elif _UNIT_HEADER.match(heading):
                self.unit = i
            elif _LEFT_HEADER.match(heading):
                self.left.append(i)
            elif counted and not re.search(r"price|cost|\$", heading, re.I):
                word = counted["per"] or counted["of"] or counted["each"] or counted["lot"] or "tray"
                self.count[i] = "pack" if word.lower() == "pk" else word.lower()
                if counted["per"] or counted["of"] and word.lower() not in ("tray", "flat"):
                    self.sold_by.add(i)
                if counted["lot"] and word.lower() not in ("tray", "flat"):
                    self.bare_lot.add(i)
            elif (
                _BREAK_HEADER.match(heading)
                or _PRICE_HEADER.search(heading)
                or _WEIGHT_HEADER.match(heading)
                or _SIZE_HEADER.search(heading)
                or _LOT_OF.search(heading)
                or _span_of(heading)
                or _CURRENCY.fullmatch(heading.strip())
                or _NO_PRICE_NOW.fullmatch(heading.strip())
            ):
                self.price[i] = heading

    def _below(self, told: list[str]) -> list[str]:
        """A second row of headings beneath wide ones: "Quart" over "Each" and "25+"."""
        above, wide = "", []
        for i, cell in enumerate(told):
            over = self.headings[i] if i < len(self.headings) else ""
            above = over or above
            wide.append(f"{above} {cell}".strip() if cell and over != cell else cell or over)
        return wide

    def heads_all(self, cells: list[str]) -> bool:
        """Whether cells are a row of headings, every one of them a heading by itself."""
        return self._is_header(cells) and all(map(_could_head, filter(None, cells)))

    def _is_header(self, cells: list[str]) -> bool:
        filled = [c for c in cells if c]
        if len(filled) < 2 or any(map(_AN_AMOUNT.search, filled)):
            return False
        if _bare_breaks(filled):
            return True
        if any(_NAMED_SO.search(c) and not _describes(c) for c in filled):
            return False
        known = [_could_head(c) for c in filled]
        most = sum(known) * 3 >= len(filled) * 2 and sum(known) >= 2 and known[0] and _heads_names(filled[0])
        return most and not any(len(c) > 40 for c in filled)

    def _asked(self, cells: list[str]) -> _Asked:
        said: list[str] = []
        size, stock, more, singles = "", "", False, True
        count, lot, whole, bare = self._lot(cells)
        unit = self._unit_of(cells)
        now = [i for i, heading in self.price.items() if not _NO_PRICE_NOW.search(heading)]
        for i in now or self.price:
            heading, cell = self.price[i], cells[i].strip() if i < len(cells) else ""
            money = _MONEY_CELL.fullmatch(cell)
            sized = _SIZE_HEADER.search(heading) or _LOT_OF.search(heading)
            plain_size = sized and not _PRICE_HEADER.search(heading)
            if not money or plain_size and not (money["before"] or money["behind"] or "." in cell):
                if cell and any(ch.isdigit() for ch in cell) and not plain_size:
                    said.append(cell)
                continue
            named = (size_of(heading) or sized.group()).lower() if sized else ""
            if named and size and named != size:
                more = True
                continue  # the prices of the first size that has any
            size = named or size
            words = _LOT.sub(" ", heading)
            stock = stock or (words if size_of(words) or form_of(words.lower()) else "")
            sign = money["before"] or money["behind"] or _sign_of(heading)
            figure = _figure(money["figure"]) / (100 if re.search(r"\bcents?\b", heading, re.I) else 1)
            amount = f"{sign}{' ' if sign.isalpha() else ''}{figure:.2f}"
            if not now and not re.search(r"msrp|list|rrp", heading, re.I):
                said.append(f"{amount}/row")  # "Extended" alone: of so many as nobody says
                continue
            told = _said(heading, amount, named, count, lot, whole)
            if bare and told == f"{lot} of {count} {amount}":
                told = _of_one_or_all(amount, _figure(money["figure"]), count, lot)
            said.append(f"{told} {unit}" if unit and told == amount else told)
            singles = singles and told.endswith(" each")
        if len(said) == 1 and singles and whole and count != "1":
            said[0] += f", sold in {_MORE_THAN_ONE.get(lot, f'{lot}s')} of {count}"
        least = next((cells[i] for i in self.least if i < len(cells) and cells[i].strip().isdigit()), "")
        step = next((cells[i] for i in self.steps if i < len(cells) and cells[i].strip().isdigit()), "")
        rules = [f"min {least.strip()}"] if least else [f"multiples of {step.strip()}"] if step else []
        price = ", ".join([*said, *rules] if said else said)
        return _Asked(price, stock, more)

    def _none_left(self, cells: list[str]) -> bool:
        """Whether the columns that say how many there are say none."""
        said = [cells[i].strip() for i in self.left if i < len(cells) and cells[i].strip()]
        return bool(said) and all(re.fullmatch(r"0+(?:\.0+)?|none|no?|out", cell, re.I) for cell in said)

    def _unit_of(self, cells: list[str]) -> str:
        """What a price of the row buys, as a line says it; empty where no column says so, or where it says a size."""
        cell = cells[self.unit].strip() if self.unit is not None and self.unit < len(cells) else ""
        if not cell:
            said = (cells[i].strip() for i in self.stock if i < len(cells))
            cell = next((word for word in said if word.lower().rstrip(".") in _STOCK_UNITS), "")
        if not cell or _SIZE_HEADER.search(cell):
            return ""
        word = cell.lower().rstrip(".")
        held = re.fullmatch(rf"({_LOT_WORD})\W*(?:of )?(\d{{1,4}})\W*", word)
        if held:
            return f"per {held[1]} of {held[2]}"
        return _UNITS.get(word) or (f"/{word}" if re.match(r"[a-z]", word) else f"per {word}")

    def _lot(self, cells: list[str]) -> tuple[str, str, bool, bool]:
        """How many plants a lot holds, the lot, whether they are sold so, and whether its column names the lot alone."""
        for i, word in self.count.items():
            cell = cells[i].strip() if i < len(cells) else ""
            if re.fullmatch(r"\d{1,4}", cell) and int(cell):
                return cell, word, i in self.sold_by, i in self.bare_lot
        return "", "", False, False


def _figure(text: str) -> float:
    """A figure as written; a comma with one or two figures behind it is a decimal one: "8,95"."""
    whole, comma, rest = text.rpartition(",")
    return float(f"{whole}.{rest}" if comma and len(rest) < 3 else text.replace(",", ""))


def _could_head(cell: str) -> bool:
    return bool(
        _HEADER_WORDS & set(re.findall(r"[a-z]+", cell.lower()))
        or _BREAK_HEADER.match(cell)
        or _WEIGHT_HEADER.match(cell)
        or _CURRENCY.fullmatch(cell.strip())
        or _MONEY_PER.match(cell)
    )


_OF_TRADE = PLAIN - GENERIC
_NAMED_SO = re.compile(
    r"^common [a-z]+$|^[a-z]+ plants?$", re.I
)  # plants' names hold these words of headings


def _bare_breaks(cells: list[str]) -> bool:
    """Whether headings are a name's and then rising numbers of plants: "Plant | 1 | 10 | 25 | 100"."""
    numbers = [int(cell) for cell in cells[1:] if cell.isdecimal() and len(cell) < 6]
    rising = all(one < two for one, two in zip(numbers, numbers[1:]))
    return (
        len(numbers) == len(cells) - 1 > 2
        and rising
        and numbers[0] == 1
        and _NAME_HEADER.match(cells[0]) is not None
    )


def _heads_names(cell: str) -> bool:
    """Whether nothing but words of headings and of the trade stands in a first cell: "Common reed" is no heading."""
    return all(
        word in _HEADER_WORDS or stem(word) in _OF_TRADE or len(word) < 3
        for word in re.findall(r"[a-z]+", cell.lower())
    )


def _describes(cell: str) -> bool:
    """The same of a further cell, where words that describe may stand: "Mature height"."""
    words = [stem(word) for word in re.findall(r"[a-z]+", cell.lower()) if word not in _HEADER_WORDS]
    return all(explains_itself(word) and word not in GENERIC for word in words)


def _span_of(heading: str) -> str:
    """The number of plants from which a column's price holds: "10-49", "Quart 50+"; empty if none."""
    found = _BREAK_HEADER.match(heading) or _BREAK_LAST.search(heading)
    return found.group(1) if found else ""


def _sign_of(heading: str) -> str:
    """The money that a heading names, dollars where it names none: "Price (£)"."""
    found = _CURRENCY.search(heading)
    return found.group() if found else "$"


_MORE_THAN_ONE = {"bunch": "bunches", "box": "boxes"}


def _of_one_or_all(amount: str, value: float, count: str, lot: str) -> str:
    """An amount beside a column headed "Pack" alone: of one plant, of the pack, or not to be told (judgement by usual
    prices)."""
    if value / int(count) < CHEAPEST_PLANT:
        return amount
    return f"{lot} of {count} {amount}" if value >= DEAREST_PLUG else f"{amount} ({count})"


def _said(heading: str, amount: str, size: str, count: str, unit: str, whole: bool) -> str:
    """An amount with what its heading says of it, as a line would say it. `count` plants are in the row's lot, a `unit`;
    `whole` tells that they are sold so."""
    span = _span_of(heading)
    if span:
        return f"{span} {amount}"
    lot = _LOT_OF.search(heading)
    if lot:
        return f"{amount} per {lot[1].lower()} of {lot[2]}"
    held = _HELD.search(heading)
    if held and not re.search(r"price|cost|\$|each", heading[: held.start()], re.I):
        return f"{held[1]}/{held[2].lower()} {amount}"
    if held:
        heading, count, unit = f"{heading[: held.start()]} {heading[held.end() :]}", held[1], held[2].lower()
    weight = _WEIGHT_HEADER.match(heading)
    if weight:
        return f"{amount} per {weight.group(1)}"
    per = re.search(
        rf"(?:per|/|\bby the)\s?(100\b|1,?000\b|\d{{1,4}}\b(?! ?(?:in\b|inch|gal|qt|cm\b))|{_LOT_WORD}|lb|pound|oz|dozen|doz|hundred|thousand|[cm]\b)|\b(?P<at>tray|flat)$|(?P<of>{_LOT_WORD}|lot)\s+(?:price|cost)|"
        rf"(?:price|cost)\W+(?P<to>{_LOT_WORD})\b",
        heading,
        re.I,
    )
    word = next((g for g in per.groups() if g), "").lower() if per else ""
    word = {"c": "100", "hundred": "100", "m": "1000", "thousand": "1000", "doz": "dozen"}.get(word, word)
    holds = _IN_HEADING.search(heading)
    if holds and not count:
        count, unit = holds[1], "tray"
    if word and count == "1":
        return f"{amount} each"
    if word:
        of = f" of {count}" if count and unit in (word, "tray", "flat") else ""
        return f"{amount} per {word}{of}"
    if re.search(r"\b(?:each|ea|unit|plug|plant)\b", heading, re.I):
        return f"{amount} each" + (
            f", sold in {unit}s of {count}" if held and unit in ("tray", "flat") else ""
        )
    if count and count != "1":
        if unit not in ("tray", "flat"):
            return f"{unit} of {count} {amount}"
        return f"{count}/{unit} {amount}" if whole else f"{count} cell {unit} {amount}"
    return f"{size} {amount}" if size else amount
