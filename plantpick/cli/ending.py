"""Ctrl-C while a long search runs: the first time ends the search and keeps what it has, the second time ends the command."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from plantpick.cli.streams import say, wrapped

ENOUGH = "Stopping: you get the best planting found so far. Press Ctrl-C again to end without one."


@contextmanager
def on_ctrl_c(tick: Callable[[], None] = lambda: None) -> Iterator[Callable[[], bool]]:
    """A function that says whether Ctrl-C was pressed since, and calls `tick` whenever it is asked. Outside the main thread, where
    no key is heard, it never was."""
    pressed = False

    def asked() -> bool:
        tick()
        return pressed

    if threading.current_thread() is not threading.main_thread():
        yield asked
        return

    def heard(number, frame) -> None:
        nonlocal pressed
        if pressed:  # as if nobody listened: an exception here would have to find its way out of the solver
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            signal.raise_signal(signal.SIGINT)
        pressed = True
        say(wrapped(ENOUGH))

    before = signal.signal(signal.SIGINT, heard)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)
