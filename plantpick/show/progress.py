"""How far a long run has come: a bar on standard error where that is a terminal, nothing elsewhere."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    ProgressColumn,
    TextColumn,
    TimeRemainingColumn,
)
from rich.text import Text

from plantpick.show.terminal import console

LONG = 5000  # lines of an offer from which a bar is shown


@contextmanager
def ponds(total: int) -> Iterator[Callable[[int, int, str], None]]:
    """A function to call after each pond with (done, of, pond)."""
    out = console(stderr=True)
    if not out.is_terminal or total < 2:
        yield lambda *_: None
        return
    wide = out.width >= 70
    columns: list[ProgressColumn] = [
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=None if wide else 20),
        MofNCompleteColumn(),
    ]
    with Progress(
        *columns,
        *([TimeRemainingColumn()] if wide else []),
        console=out,
        transient=True,
    ) as progress:
        task = progress.add_task("ponds", total=total)

        def tell(done: int, of: int, pond: str) -> None:
            name = Text(pond)
            name.truncate(24, overflow="ellipsis")
            progress.update(task, completed=done, description=name.plain)

        yield tell


@contextmanager
def plans() -> Iterator[Callable[[int, int], None]]:
    """A function to call after each plan with (done, of)."""
    out = console(stderr=True)
    if not out.is_terminal:
        yield lambda *_: None
        return
    columns: list[ProgressColumn] = [TextColumn("{task.description}"), BarColumn(20), MofNCompleteColumn()]
    with Progress(*columns, console=out, transient=True) as progress:
        task = progress.add_task("plans side by side", total=None)
        yield lambda done, of: progress.update(task, completed=done, total=of)


@contextmanager
def offer_lines(total: int) -> Iterator[Callable[[int, int], None] | None]:
    """A function to call with (lines done, lines in all) for a long offer; nothing where nobody watches or it is short."""
    if total < LONG or not sys.stderr.isatty():
        yield None
        return
    with Progress(console=console(stderr=True), transient=True) as progress:
        task = progress.add_task("Reading the offer", total=total)
        yield lambda done, _: progress.update(task, completed=done)


@contextmanager
def search(seconds: float) -> Iterator[Callable[[], None]]:
    """A function to call again and again while a plan is searched for: a bar of the time, where somebody watches."""
    out = console(stderr=True)
    if not out.is_terminal:
        yield lambda: None
        return
    with Progress(
        TextColumn("Looking for the best planting; Ctrl-C takes the best so far", markup=False),
        BarColumn(bar_width=None if out.width >= 100 else 10),
        console=out,
        transient=True,
    ) as progress:
        task, began = progress.add_task("search", total=seconds), time.monotonic()

        def tick() -> None:
            progress.update(task, completed=min(seconds, time.monotonic() - began))

        yield tick
