"""How far a long run has come: a bar on standard error where that is a terminal, nothing elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(total: int) -> Iterator[Callable[[int, int, str], None]]:
    """A function to call after each pond with (done, of, pond)."""
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
    from rich.text import Text

    from plantpick.show.terminal import console

    out = console(stderr=True)
    wide = out.width >= 70
    columns = [
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=None if wide else 20),
        MofNCompleteColumn(),
    ]
    with Progress(
        *columns,
        *([TimeRemainingColumn()] if wide else []),
        console=out,
        transient=True,
        disable=not out.is_terminal or total < 2,
    ) as progress:
        task = progress.add_task("ponds", total=total)

        def tell(done: int, of: int, pond: str) -> None:
            name = Text(pond)
            name.truncate(24, overflow="ellipsis")
            progress.update(task, completed=done, description=name.plain)

        yield tell
