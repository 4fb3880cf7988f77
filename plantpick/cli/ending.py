"""Ctrl-C while a long search runs: the first time ends the search and keeps what it has, the second time ends the command."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from plantpick.cli.streams import say, wrapped

ENOUGH = "Stopping: you get the best planting found so far. Press Ctrl-C again to end without one."


@contextmanager
def on_ctrl_c() -> Iterator[Callable[[], bool]]:
    """A function that says whether Ctrl-C was pressed since. Outside the main thread, where no key is heard, it never does."""
    if threading.current_thread() is not threading.main_thread():
        yield lambda: False
        return
    pressed = False

    def heard(number, frame) -> None:
        nonlocal pressed
        if pressed:  # as if nobody listened: an exception here would have to find its way out of the solver
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            signal.raise_signal(signal.SIGINT)
        pressed = True
        say(wrapped(ENOUGH))

    before = signal.signal(signal.SIGINT, heard)
    try:
        yield lambda: pressed
    finally:
        signal.signal(signal.SIGINT, before)
