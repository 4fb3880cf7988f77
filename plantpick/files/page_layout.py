"""Letters on a page as rows of cells: columns of a page are read one after the other, a table row by row."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plantpick.offers.normalize import stem
from plantpick.offers.words import explains_itself

# In parts of the letters' height (judgement): from which gap on two letters are two words, two cells; how far letters of
# one row may stand above each other.
WORD_GAP, CELL_GAP, SAME_ROW = 0.12, 1.1, 0.4
MOST_COLUMNS = 3  # times that a page is parted: three times make four columns and more
FEW_ROWS = 4  # rows that a column has at least
CROSSING = 0.15  # share of rows that may run across the gap between two columns: titles, notes
MANY, FEW = (
    0.4,
    0.2,
)  # shares of rows from which most, and to which hardly any, have a price or a name (judgement)
_PRICE = re.compile(r"[$£€]\s?\d|\d\.\d\d\b")
_BINOMIAL = re.compile(r"\b[A-Z][a-z]{2,}\s+(?:x\s+)?[a-z]{3,}")
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
    """Words that stand close together on a row."""

    text: str
    x0: float
    x1: float


Row = tuple[Cell, ...]


def rows_of_page(letters: Sequence[Letter]) -> list[Row]:
    """The rows of a page in the order in which one reads them."""
    return list(_in_columns(_rows(letters), MOST_COLUMNS))


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
    out: list[Cell] = []
    text, start, end = "", row[0].x0, row[0].x0
    last: Letter | None = None
    for letter in row:
        if last and letter.text == last.text and abs(letter.x0 - last.x0) < 0.1 * letter.height:
            continue  # bold, drawn twice
        gap = letter.x0 - end
        if text and gap > CELL_GAP * letter.height:
            out.append(Cell(text, start, end))
            text, start = "", letter.x0
        elif text and gap > WORD_GAP * letter.height:
            text += " "
        text, end, last = text + letter.text, max(end, letter.x1), letter
    out.append(Cell(text, start, end))
    return tuple(out)


def _in_columns(rows: list[Row], left: int) -> Iterator[Row]:
    """The rows, where they stand in two columns the left one first; a row across both parts what is above and below."""
    x = _gutter(rows) if left else None
    if x is None:
        yield from rows
        return
    band: list[Row] = []
    for row in rows:
        if any(cell.x0 < x - 1 and cell.x1 > x + 1 for cell in row):
            yield from _columns(band, x, left)
            band = []
            yield row
        else:
            band.append(row)
    yield from _columns(band, x, left)


def _columns(band: list[Row], x: float, left: int) -> Iterator[Row]:
    for part in _halves(band, x):
        yield from _in_columns(part, left - 1)


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


def _two_lists(before: list[Row], behind: list[Row]) -> bool:
    """Whether both sides list plants, and neither only completes the other, as prices and second names do."""
    texts = [[" ".join(cell.text for cell in row) for row in side] for side in (before, behind)]
    if min(_share(side, _names_something) for side in texts) < 0.6:
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
