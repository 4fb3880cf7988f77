"""Work on several processors: the one place that starts processes, and that ends them whatever has become of them.

Each process has a pipe of its own and shares no lock and no queue, so that one that is ended in the midst of anything
leaves nothing for the others to wait on. It has one piece of work at a time: neither side writes while the other does.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager

AHEAD = 8  # answers each process may be ahead of the one that is awaited
_LOOK_SECONDS = 0.2  # how often a wait looks whether it is to go on
_END_SECONDS = 5.0  # given to a killed process to be gone: it needs milliseconds


class Lost(Exception):
    """A process ended before it had answered; `item` is what it was at work on."""

    def __init__(self, item) -> None:
        super().__init__("the system stopped a process")
        self.item = item


def cores_here() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def in_order(
    work: Callable, items: Sequence, count: int, start: str = "spawn", heed: Callable[[], None] = lambda: None
) -> Generator:
    """What `work` answers to each item, in their order, from `count` processes.

    `heed()` is called while an answer is awaited, and may raise to leave. However the work is left, no process outlives
    it. Spawned ones find `work` by its module; forked ones ("fork") have whatever is in memory here. Raises Lost when a
    process has gone, and what `work` raised.
    """
    from multiprocessing import get_context
    from multiprocessing.connection import wait

    context = get_context(start)
    if start == "spawn" and os.name == "posix":
        from multiprocessing.resource_tracker import ensure_running

        ensure_running()  # it sets what signals are held back; afterwards it leaves them alone
    workers: list[_Worker] = []
    answers: dict[int, object] = {}
    given, lost = 0, False
    try:
        for place in range(len(items)):
            while place not in answers:
                if len(workers) < min(count, len(items)):
                    workers.append(_Worker(context, work))
                for worker in workers:
                    if worker.at is None and given < min(len(items), place + AHEAD * count) and not lost:
                        lost = not worker.give(given, items[given])
                        if lost:
                            answers[given] = Lost(items[given])
                        given += 1
                starting = len(workers) < min(count, len(items))
                for pipe in wait(
                    [w.pipe for w in workers if w.at is not None], 0 if starting else _LOOK_SECONDS
                ):
                    worker = next(w for w in workers if w.pipe is pipe)
                    if (at := worker.at) is not None:
                        worker.at = None
                        answers[at] = worker.take(items[at])
                        lost |= isinstance(answers[at], Lost)
                heed()
            answer = answers.pop(place)
            if isinstance(answer, Lost):  # those before it have been answered
                raise answer
            if isinstance(answer, _Raised):
                raise answer.fault
            yield answer
    finally:
        for worker in workers:
            worker.process.kill()
        for worker in workers:
            worker.process.join(_END_SECONDS)
            worker.pipe.close()


class _Raised:
    """What the work raised, on its way from one process to the other."""

    def __init__(self, fault: Exception) -> None:
        self.fault = fault


class _Worker:
    """A process and this side of its pipe. `at` is the place of the item it has, None while it waits for one."""

    def __init__(self, context, work: Callable) -> None:
        self.at: int | None = None
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=_serve, args=(theirs, work), daemon=True)
        with _no_interrupt():
            self.process.start()
        theirs.close()

    def give(self, at: int, item) -> bool:
        """Whether the process is there to take it."""
        try:
            self.pipe.send(item)
        except OSError:
            return False
        self.at = at
        return True

    def take(self, item):
        """The answer, or Lost where the process has gone."""
        try:
            return self.pipe.recv()
        except (EOFError, OSError):
            return Lost(item)


def _serve(pipe, work: Callable) -> None:
    """The whole life of a process: one item after another, until nobody is there to give one."""
    from multiprocessing import parent_process

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process settles Ctrl-C
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # a solver's own remarks, written past Python

    parent = parent_process()

    def outlive_nobody() -> None:
        if parent is not None:
            parent.join()
        os._exit(1)

    threading.Thread(target=outlive_nobody, daemon=True).start()
    while True:
        try:
            item = pipe.recv()
        except (EOFError, OSError):
            os._exit(1)
        try:
            answer = work(item)
        except Exception as fault:
            answer = _Raised(fault)
        pipe.send(answer)


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """A process that is started inside never sees Ctrl-C, not even before its own first line."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
