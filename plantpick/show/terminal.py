"""What every answer on a terminal is made of: title, heading, paragraph, bullets and one kind of table, from 60 columns up."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from plantpick.plain_text import plain
from plantpick.pond.model import Pond
from plantpick.units import percent


class _Output(Console):
    def render(self, renderable, options=None) -> Iterable[Segment]:
        for segment in super().render(renderable, options):
            yield segment if segment.control else Segment(plain(segment.text), segment.style)

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError  # settled at the command line's one boundary


def console(stderr: bool = False) -> Console:
    """Standard output, or standard error; nothing that was read can steer it. Color and width as the terminal (or NO_COLOR, COLUMNS) says."""
    return _Output(stderr=stderr, highlight=False, emoji=False)


def title(out: Console, text: str) -> None:
    """The first line of an answer."""
    out.print(Text(text, style="bold"))


def pond_name(pond: Pond) -> str:
    """The pond's name, marked where the pond is invented."""
    return f"{pond.name} (an invented pond)" if pond.invented else pond.name


def paragraph(out: Console, text: str, indent: int = 0) -> None:
    """A plain sentence, wrapped; text that came from a file is never read as markup."""
    out.print(Padding(Text(text), (0, 0, 0, indent)))


def heading(out: Console, text: str) -> None:
    """A line over a section."""
    out.print()
    title(out, text)


def bullets(out: Console, lines: Iterable[str]) -> None:
    """Sentences one under the other, each with a hyphen and a hanging indent."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=1)
    grid.add_column()
    for line in lines:
        grid.add_row("-", Text(line))
    out.print(Padding(grid, (0, 0, 0, 2)))


@dataclass(frozen=True)
class Column:
    """One column of a table. With a `ratio` it takes its part of the terminal's width, otherwise the width of its cells."""

    name: str
    justify: Literal["left", "right"] = "left"
    ratio: int | None = None
    min_width: int | None = None
    no_wrap: bool = False


def right(name: str, *, no_wrap: bool = False) -> Column:
    """A column of numbers."""
    return Column(name, "right", no_wrap=no_wrap)


def show_table(
    out: Console,
    columns: Sequence[str | Column],
    rows: Iterable[Sequence[str | Text]],
    *,
    indent: int = 2,
    above: int = 0,
) -> None:
    """A table without lines. Cells are text and never markup; what is too wide is folded, not cut."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for column in columns:
        c = Column(column) if isinstance(column, str) else column
        table.add_column(
            c.name,
            justify=c.justify,
            ratio=c.ratio,
            min_width=c.min_width,
            no_wrap=c.no_wrap,
            overflow="fold",
        )
    for row in rows:
        table.add_row(*(Text(cell) if isinstance(cell, str) else cell for cell in row))
    out.print(Padding(table, (above, 0, 0, indent)))


def show_rows(
    out: Console,
    columns: Sequence[str | Column],
    rows: Sequence[Sequence[str]],
    *,
    indent: int = 0,
    headed: bool = True,
    over: Mapping[int, str] = MappingProxyType({}),
) -> None:
    """A table for thousands of rows, plain and quick: words are wrapped, nothing is cut. Columns with a `ratio` share what
    the others leave; cells are text and never markup. `over` holds sentences to set over a row, by its number."""
    asked = [Column(c) if isinstance(c, str) else c for c in columns]
    cells = [[" ".join(plain(cell).split()) for cell in row] for row in rows]
    widths = [
        0 if c.ratio else max(map(cell_len, (c.name if headed else "", *(row[i] for row in cells))))
        for i, c in enumerate(asked)
    ]
    full = out.width  # asked once: the console looks it up anew each time
    gap = "  " if full >= 70 else " "
    room = full - indent - len(gap) * (len(asked) - 1) - sum(widths)
    shares = sum(c.ratio or 0 for c in asked) or 1
    widths = [max(_NARROWEST_CELL, room * c.ratio // shares) if c.ratio else w for c, w in zip(asked, widths)]
    lines: list[str] = []
    for number, row in enumerate(cells):
        if number in over:
            lines += _fold(plain(over[number]), max(_NARROWEST_CELL, full - indent))
        folded = [_fold(cell, width) for cell, width in zip(row, widths)]
        for i in range(max(map(len, folded))):
            parts = (
                _aligned(part[i] if i < len(part) else "", width, c.justify)
                for part, width, c in zip(folded, widths, asked)
            )
            lines.append(" " * indent + gap.join(parts).rstrip())
    if headed:
        names = (_aligned(c.name, width, c.justify) for c, width in zip(asked, widths))
        out.print(Text(" " * indent + gap.join(names).rstrip(), style="bold"))
    if lines:
        out.print(_Ready("\n".join(lines) + "\n"), crop=False, end="")


@dataclass(frozen=True)
class _Ready:
    """Lines that are wrapped already and hold no control character: the console looks at them no more."""

    text: str

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterable[Segment]:
        yield Segment(self.text)


_NARROWEST_CELL = 6  # columns that a cell with a share keeps, however narrow the terminal


def _fold(cell: str, width: int) -> list[str]:
    """A cell's text in lines no wider than its column."""
    if cell.isascii():
        return [cell] if len(cell) <= width else textwrap.wrap(cell, width)
    if cell_len(cell) <= width:
        return [cell]
    lines, line = [], ""
    for word in cell.split():
        while cell_len(word) > width:  # letters of another script, without spaces
            fits = next(n for n in range(len(word), 0, -1) if n == 1 or cell_len(word[:n]) <= width)
            lines += [line] if line else []
            lines.append(word[:fits])
            line, word = "", word[fits:]
        if line and cell_len(line) + 1 + cell_len(word) > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines


def _aligned(text: str, width: int, justify: str) -> str:
    if text.isascii():
        return text.rjust(width) if justify == "right" else text.ljust(width)
    space = " " * max(0, width - cell_len(text))
    return space + text if justify == "right" else text + space


def span(values: Iterable[float]) -> str:
    """Low, typical and high per cent in one cell."""
    return " - ".join(percent(v) for v in values)


def capfirst(text: str) -> str:
    """A sentence with its first letter large; the rest as it is (capitalize would make names small)."""
    return text[:1].upper() + text[1:]
