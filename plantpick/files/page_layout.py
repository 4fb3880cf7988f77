"""Letters on a page as rows of cells: columns of a page are read one after the other, a table row by row, a cell of several
lines as one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from plantpick.offers.normalize import stem
from plantpick.offers.words import explains_itself

# In parts of the letters' height (judgement): from which gap on two letters are two words, two cells; how far letters of
# one row may stand above each other.
WORD_GAP, CELL_GAP, SAME_ROW = 0.12, 1.1, 0.4
MOST_COLUMNS = 3  # times that a page is parted: three times make four columns and more
FEW_ROWS = 4  # rows that a column has at least
# share of rows that name something where they list plants, and where they describe them in lines of so many letters (judgement)
NAMED, NAMED_WORDY, WORDY = 0.6, 0.25, 24
TYPED_STEPS = 100  # parts of a line's width in which typed columns are looked for
CROSSING = 0.15  # share of rows that may run across the gap between two columns: titles, notes
MANY, FEW = (
    0.4,
    0.2,
)  # shares of rows from which most, and to which hardly any, have a price or a name (judgement)
# Rows of a table that take several lines (judgement): lines of a cell stand closer than rows do, by a tenth at least; so many
# Rows with such cells are a table. A price stands beside its row's first line, or beside the middle of it.
CLOSER, FEW_WRAPPED, MOST_WRAPPED, MIDDLE = 1.1, 3, 8, 0.2
STANDS_AT = 1.5  # points by which the cells of a column may begin, or end, apart
_PRICE = re.compile(r"[$£€]\s?\d|\d\.\d\d\b")
_BINOMIAL = re.compile(r"\b[A-Z][a-z]{2,}\s+(?:x\s+)?[a-z]{3,}")
_AMOUNT = re.compile(r"[$£€]\d[\d.,]*|\d[\d,]*\.\d\d|[—–-]|N/?A")
_FIGURE = re.compile(r"[$£€]?\d[\d.,]*")
_WORD = re.compile(r"[A-Za-z]{3,}")


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter where it stands on the page, in points; y grows upward."""

    text: str
    x0: float
    x1: float
    y: float
    height: float


@dataclass(frozen=True, slots=True)
class Cell:
    """Words that stand close together on a row; y is the height of their line."""

    text: str
    x0: float
    x1: float
    y: float = 0.0
    words: tuple[Cell, ...] = ()


Row = tuple[Cell, ...]
Gutter = Callable[[list[Row]], float | None]  # where the second column of some rows begins


def rows_of_page(letters: Sequence[Letter]) -> list[Row]:
    """The rows of a page in the order in which one reads them."""
    parts = _in_columns(_rows(letters), MOST_COLUMNS, _gutter)
    return [row for part in parts for row in _whole_rows(_parted_figures(part))]


def columns_of_text(rows: list[Row]) -> list[list[Row]]:
    """The columns that rows of typed text stand in, each read after the one before it: one for a list, or for a table."""
    return list(_in_columns(rows, MOST_COLUMNS, _typed_gutter))


def _rows(letters: Sequence[Letter]) -> list[Row]:
    """Letters gathered into rows from top to bottom, and each row parted into cells."""
    rows: list[list[Letter]] = []
    tops: list[float] = []
    for letter in sorted((one for one in letters if one.text.strip()), key=lambda one: (-one.y, one.x0)):
        if rows and tops[-1] - letter.y <= SAME_ROW * max(letter.height, 1.0):
            rows[-1].append(letter)
        else:
            rows.append([letter])
            tops.append(letter.y)
    return [_cells(sorted(row, key=lambda one: one.x0)) for row in rows]


def _cells(row: list[Letter]) -> Row:
    words: list[Cell] = []
    cells: list[list[Cell]] = []
    text, start, end = "", row[0].x0, row[0].x0
    last: Letter | None = None
    opens = True  # whether the next word begins a cell

    def close() -> None:
        word = Cell(text, start, end, row[0].y)
        if opens:
            cells.append([])
        cells[-1].append(word)
        words.append(word)

    for letter in row:
        if last and letter.text == last.text and abs(letter.x0 - last.x0) < 0.1 * letter.height:
            continue  # bold, drawn twice
        gap = letter.x0 - end
        if text and gap > WORD_GAP * letter.height:
            close()
            opens = gap > CELL_GAP * letter.height
            text, start = "", letter.x0
        text, end, last = text + letter.text, max(end, letter.x1), letter
    close()
    return tuple(map(_cell_of, cells))


def _cell_of(words: Sequence[Cell]) -> Cell:
    """Words that stand beside each other, as a cell."""
    text = " ".join(word.text for word in words)
    return Cell(text, words[0].x0, words[-1].x1, words[0].y, tuple(words))


def _in_columns(rows: list[Row], left: int, gutter: Gutter) -> Iterator[list[Row]]:
    """The rows, where they stand in two columns the left one first; a row across both parts what is above and below."""
    x = gutter(rows) if left else None
    if x is None:
        yield rows
        return
    band: list[Row] = []
    for row in rows:
        if any(cell.x0 < x - 1 and cell.x1 > x + 1 for cell in row):
            yield from _columns(band, x, left, gutter)
            band = []
            yield [row]
        else:
            band.append(row)
    yield from _columns(band, x, left, gutter)


def _columns(band: list[Row], x: float, left: int, gutter: Gutter) -> Iterator[list[Row]]:
    for part in _halves(band, x):
        yield from _in_columns(part, left - 1, gutter)


def _halves(rows: list[Row], x: float) -> tuple[list[Row], list[Row]]:
    before = [tuple(cell for cell in row if cell.x0 < x - 1) for row in rows]
    behind = [tuple(cell for cell in row if cell.x0 >= x - 1) for row in rows]
    return [row for row in before if row], [row for row in behind if row]


def _gutter(rows: list[Row]) -> float | None:
    """Where the second column of a page begins, or None where there is one column, or a table."""
    starts: dict[int, int] = {}
    for row in rows:
        for cell in row:
            starts[round(cell.x0 / 3)] = starts.get(round(cell.x0 / 3), 0) + 1
    least = min((cell.x0 for row in rows for cell in row), default=0.0)
    most = max((cell.x1 for row in rows for cell in row), default=0.0)
    middle = (least + most) / 2
    for at in sorted(starts, key=lambda at: abs(3 * at - middle)):
        x = 3.0 * at - 1.5
        if starts[at] + starts.get(at - 1, 0) + starts.get(at + 1, 0) < FEW_ROWS or x < least + 20:
            continue
        across = [row for row in rows if any(c.x0 < x - 1 and c.x1 > x + 1 for c in row)]
        before, behind = _halves([row for row in rows if row not in across], x)
        if min(len(before), len(behind)) < FEW_ROWS or len(across) > CROSSING * len(rows):
            continue
        if _two_lists(before, behind):
            return x
    return None


def _typed_gutter(rows: list[Row]) -> float | None:
    """The same for typed text, whose columns have ragged edges: the widest strip that hardly any row writes in."""
    most = max((cell.x1 for row in rows for cell in row), default=0.0)
    step = most / TYPED_STEPS
    written = [0] * (TYPED_STEPS + 1)
    for row in rows:
        inside = (
            {i for cell in row for i in range(int(cell.x0 / step), int(cell.x1 / step) + 1)} if step else ()
        )
        for i in inside:
            written[i] += 1
    best, run = 0, 0
    end = 0
    for i in range(TYPED_STEPS // 4, 3 * TYPED_STEPS // 4):
        run = run + 1 if written[i] <= CROSSING * len(rows) / 2 else 0
        if run > best:
            best, end = run, i + 1
    x = step * end
    if best < 2:
        return None
    before, behind = _halves([row for row in rows if not any(c.x0 < x - 1 and c.x1 > x + 1 for c in row)], x)
    if min(len(before), len(behind)) < FEW_ROWS or len(behind) < MANY * len(rows):
        return None
    sides = [_texts(before), _texts(behind)]
    priced = min(_share(side, lambda t: bool(_PRICE.search(t))) for side in sides) >= MANY
    wordy = min(sum(map(len, side)) / len(side) for side in sides) >= WORDY
    return x if (priced or wordy) and _two_lists(before, behind, NAMED_WORDY if wordy else NAMED) else None


def _texts(rows: list[Row]) -> list[str]:
    return [" ".join(cell.text for cell in row) for row in rows]


def _two_lists(before: list[Row], behind: list[Row], named: float = NAMED) -> bool:
    """Whether both sides list plants, `named` of their rows at least, and neither only completes the other, as prices and
    second names do."""
    texts = [_texts(before), _texts(behind)]
    if min(_share(side, _names_something) for side in texts) < named:
        return False
    price = [_share(side, lambda t: bool(_PRICE.search(t))) for side in texts]
    if max(price) >= MANY:
        return min(price) >= MANY
    binomial = [_share(side, lambda t: bool(_BINOMIAL.search(t))) for side in texts]
    return min(binomial) >= MANY or max(binomial) < MANY


def _share(texts: list[str], is_so) -> float:
    return sum(map(is_so, texts)) / len(texts)


def _names_something(text: str) -> bool:
    """Whether a word stands there that is not of the trade, a size, a place or a color."""
    return any(not explains_itself(stem(word)) for word in _WORD.findall(text))


# ------------------------------------------------------------------ tables


def _parted_figures(rows: list[Row]) -> list[Row]:
    """The rows of a table with figures that run together with what stands before them made cells of their own: they stand
    where other rows have theirs."""
    figures = [word for row in rows for cell in row for word in cell.words if _AMOUNT.fullmatch(word.text)]
    begins, ends = _common(word.x0 for word in figures), _common(word.x1 for word in figures)
    if not begins and not ends:
        return rows

    def part(cell: Cell) -> Iterator[Cell]:
        first = 0
        for at, word in enumerate(cell.words):
            in_place = round(word.x0 / STANDS_AT) in begins or round(word.x1 / STANDS_AT) in ends
            if at and in_place and _AMOUNT.fullmatch(word.text):
                yield _cell_of(cell.words[first:at])
                first = at
        yield _cell_of(cell.words[first:]) if first else cell

    return [tuple(one for cell in row for one in part(cell)) for row in rows]


def _common(places: Iterable[float]) -> set[int]:
    """Places where cells of several rows stand, in steps of `STANDS_AT` with their neighbors."""
    counts = Counter(round(x / STANDS_AT) for x in places)
    often = {at for at, number in counts.items() if number >= FEW_WRAPPED}
    return {at + step for at in often for step in (-1, 0, 1)}


def _whole_rows(rows: list[Row]) -> list[Row]:
    """The rows of a table, each as one where its cells take several lines: name over common name, the price between."""
    priced = [i for i, row in enumerate(rows) if _has_price(row)]
    pitch = _line_pitch(rows[max(0, priced[0] - MOST_WRAPPED) : priced[-1] + MOST_WRAPPED]) if priced else 0.0
    if not pitch:
        return rows
    groups: list[list[Row]] = []
    for row in rows:
        apart = groups[-1][-1][0].y - row[0].y if groups and groups[-1][-1] and row else pitch * 2 * CLOSER
        if groups and 0 < apart <= CLOSER * pitch:
            groups[-1].append(row)
        else:
            groups.append([row])
    kinds = [_set_at(group, pitch) for group in groups]
    firm = {
        place
        for place, plainly in kinds
        if place and plainly and sum(k == (place, True) for k in kinds) >= FEW_WRAPPED
    }
    out: list[Row] = []
    for group, (place, _) in zip(groups, kinds):
        whole = _joined(group) if place in firm else None
        out += group if whole is None else [whole]
    return out


def _has_price(row: Row) -> bool:
    return any(_PRICE.search(cell.text) for cell in row)


def _line_pitch(rows: list[Row]) -> float:
    """How far the lines of a cell stand apart: the least distance of two cells above one another, where others stand farther
    apart; 0 where all stand alike."""
    apart: list[float] = []
    for i, row in enumerate(rows):
        for cell in row:
            beneath = (other for later in rows[i + 1 : i + 4] for other in later if _over(cell, other))
            nearest = next(beneath, None)
            if nearest and cell.y > nearest.y:
                apart.append(cell.y - nearest.y)
    if len(apart) < FEW_WRAPPED:
        return 0.0
    least = sorted(apart)[len(apart) // 20]
    farther = sum(distance > CLOSER * least for distance in apart)
    return least if farther >= FEW_WRAPPED else 0.0


def _over(one: Cell, other: Cell) -> bool:
    """Whether two cells stand above one another."""
    return min(one.x1, other.x1) > max(one.x0, other.x0)


def _set_at(group: list[Row], pitch: float) -> tuple[str, bool]:
    """Where in lines that stand close the price stands, as tables set their cells: at the "top", in the "middle", at the
    "bottom"; "" for lines that are no row of a table. And whether it shows plainly: plants beneath or above the price of a
    heading stand in the first column alone."""
    asked = [row for row in group if _has_price(row)]
    if not 1 < len(group) <= MOST_WRAPPED or len(asked) != 1:
        return "", False
    top, bottom, y = group[0][0].y, group[-1][0].y, asked[0][0].y
    left = min(cell.x0 for row in group for cell in row) + STANDS_AT
    alone = all(len(row) == 1 and row[0].x0 < left for row in group if row is not asked[0])
    alone = alone and any(cell.x0 < left for cell in asked[0])
    if abs((top + bottom) / 2 - y) <= MIDDLE * pitch:
        return "middle", not alone
    if len(asked[0]) < 2 or y not in (top, bottom):
        return "", False
    return ("top" if y == top else "bottom"), not alone


def _joined(group: list[Row]) -> Row | None:
    """Lines that stand close as one row of a table, its cells from left to right; None where a cell runs across columns."""
    asked = next(row for row in group if _has_price(row))
    cells = [[cell] for cell in asked]
    for row in group:
        for cell in row if row is not asked else ():
            at = [place for place in cells if any(_over(one, cell) for one in place)]
            if len(at) > 1:
                return None
            if at:
                at[0].append(cell)
            else:
                cells.append([cell])
    cells.sort(key=lambda place: min(cell.x0 for cell in place))
    return tuple(map(_stacked, cells))


def _stacked(cells: list[Cell]) -> Cell:
    """The lines of a cell, from top to bottom."""
    cells = sorted(cells, key=lambda cell: -cell.y)
    text = " ".join(cell.text for cell in cells)
    return Cell(text, min(cell.x0 for cell in cells), max(cell.x1 for cell in cells), cells[0].y)


def parted_headings(row: Row, beneath: Sequence[Row]) -> Row:
    """A row of headings that run together, parted where the figures beneath it have their columns."""
    columns: list[list[Cell]] = []
    for cell in sorted((c for r in beneath for c in r if _FIGURE.fullmatch(c.text)), key=lambda c: c.x0):
        if columns and cell.x0 < max(one.x1 for one in columns[-1]):
            columns[-1].append(cell)
        else:
            columns.append([cell])
    figures = [Cell("", min(c.x0 for c in of), max(c.x1 for c in of)) for of in columns]
    return tuple(part for cell in row for part in _parted(cell, [f for f in figures if _over(f, cell)]))


def _parted(cell: Cell, columns: list[Cell]) -> list[Cell]:
    """A cell's words, parted between columns at the words that stand nearest to where these end and begin."""
    out, first = [], 0
    for left, right in zip(columns, columns[1:]):
        places = range(first + 1, len(cell.words))
        if not places:
            break
        at = min(
            places,
            key=lambda b: min(abs(cell.words[b].x0 - right.x0), abs(cell.words[b - 1].x1 - left.x1)),
        )
        out.append(_cell_of(cell.words[first:at]))
        first = at
    return [*out, _cell_of(cell.words[first:])] if out else [cell]


def beneath(heads: Row, row: Row) -> list[str]:
    """The cells of a row, each beneath the heading that it stands nearest to."""
    out = [""] * len(heads)
    for cell in row:
        at = min(range(len(heads)), key=lambda i: apart(heads[i], cell))
        out[at] = f"{out[at]} {cell.text}".strip()
    return out


def apart(head: Cell, cell: Cell) -> float:
    over = min(head.x1, cell.x1) - max(head.x0, cell.x0)
    if over > 0:
        return -over
    words = not any(c.isdigit() for c in cell.text)  # words stand flush left, figures often flush right
    return abs(head.x0 - cell.x0) if words else min(abs(head.x0 - cell.x0), abs(head.x1 - cell.x1))
