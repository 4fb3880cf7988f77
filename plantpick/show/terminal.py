"""What every answer on a terminal is made of: title, heading, paragraph, bullets and one kind of table, from 60 columns up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rich.console import Console
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from plantpick.plain_text import plain
from plantpick.pond.model import Pond


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


def percent(value: float) -> str:
    """Per cent of the surface, with a digit after the point only under ten."""
    return f"{value:.0f}" if value >= 9.95 else f"{value:.1f}"


def span(values: Iterable[float]) -> str:
    """Low, typical and high per cent in one cell."""
    return " - ".join(percent(v) for v in values)
