"""Many ponds in one run: each answered by itself, both cores busy, one output table that is whole at every moment.

The table holds the rows of whole ponds only. It is written anew beside itself and put in place in one step, every few
seconds, so that whenever a run is stopped the table that it leaves can be read, and the next run goes on from there.
"""

from __future__ import annotations

import hashlib
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from pathlib import Path

from plantpick import __version__
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.plants import Catalogue
from plantpick.pond import Pond
from plantpick.read.outtable import OutTable
from plantpick.read.pondtable import Asked

AHEAD = 8  # ponds handed out to each core before the first is awaited
FIRST = ("pond", "name", "state")


@dataclass(frozen=True)
class Work:
    """What is done with each pond: `answer(pond, catalogue, **settings)` gives its rows, which have `columns`.

    `answer` is a function at the top of a module, so that another process can find it. A pond with no rows gets a
    single one that says `nothing` in the column `says`. A change of the `unmarked` settings alone is no reason to answer
    a pond again.
    """

    answer: Callable[..., list[dict]]
    columns: tuple[str, ...]
    settings: dict = field(default_factory=dict)
    nothing: str = ""
    says: str = "notes"
    unmarked: tuple[str, ...] = ()

    @property
    def header(self) -> tuple[str, ...]:
        """The columns of the output table."""
        return (*FIRST, *self.columns, "fingerprint")


@dataclass(frozen=True)
class Failure:
    """A pond without an answer, and why. `ours` marks a fault of the program."""

    pond: str
    problems: tuple[Problem, ...]
    ours: bool = False


@dataclass(frozen=True)
class Done:
    """What a run did: ponds answered now, ponds that were in the table already, and those that failed."""

    answered: int
    kept: int
    failures: tuple[Failure, ...]


def rank_rows(
    pond: Pond, catalogue: Catalogue, *, top: int | None = None, stretches: tuple[str, ...] = (), **settings
) -> list[dict]:
    """The rows of one pond's ranking, as `plantpick rank --format csv` gives them."""
    from plantpick import ranking
    from plantpick.show.records import ranking_rows

    pond = pond.only_at(stretches) if stretches else pond
    return ranking_rows(ranking.rank(pond, catalogue, **settings), top)


def ranking_work(**settings) -> Work:
    """The work of `plantpick rank`: settings are job, next_door, draws, top and stretches."""
    from plantpick.show.records import RANKING_COLUMNS

    return Work(rank_rows, RANKING_COLUMNS, settings, "no plant in the catalogue fits this pond")


def plan_rows(
    pond: Pond,
    catalogue: Catalogue,
    *,
    wishes,
    offer: tuple,
    today: date,
    time_limit: float,
    within: float,
    next_door: bool,
) -> list[dict]:
    """The rows of one pond's planting, as `plantpick plan --csv` gives them, with what became of the wishes in each."""
    from plantpick import candidates, groups, offers, planting
    from plantpick.show import planpage, report

    prices = candidates.offered_prices(offers.check_offer(list(offer), pond, catalogue)) if offer else None
    made = planting.plan(
        pond, catalogue, wishes, prices=prices, next_door=next_door, time_limit=time_limit, within=within
    )
    sheets = groups.sheets(made, catalogue, report.planting_year(made, today))
    told = {"met": made.met, "status": made.status, "in_short": " ".join(report.in_short(made))}
    return [row | told for row in planpage.plan_rows(made, sheets)] or [told]


def planning_work(**settings) -> Work:
    """The work of `plantpick plan`: settings are wishes, offer (its lines), today, time_limit, within and next_door.

    The day is not part of the fingerprint: a run that goes on next morning does not plan every pond again.
    """
    from plantpick.show.planpage import PLAN_COLUMNS

    return Work(
        plan_rows,
        (*PLAN_COLUMNS, "met", "status", "in_short"),
        settings,
        says="in_short",
        unmarked=("today",),
    )


def cores_here() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def run(
    asked: list[Asked],
    work: Work,
    out: Path,
    cores: int | None = None,
    tell: Callable[[int, int, str], None] = lambda done, of, pond: None,
    *,
    last: bool = False,
) -> Done:
    """Answer every pond and keep the table `out`. Ponds that stand in it unchanged are not answered again.

    `tell(done, of, pond)` is called after each pond. `last` says that the process ends with the run: once stopped, it
    hears no further stop on its way out. Raises KeyboardInterrupt when stopped, and PlantpickError `cannot-write` when
    `out` is no such table or cannot be written; ponds that fail are in the answer and stop nothing.
    """
    marks = {a.pond: _fingerprint(a, work) for a in asked if not a.problems}
    with _Stop(last) as stop, OutTable(out, work.header) as table:
        to_do = [
            a
            for a in asked
            if a.problems or not marks[a.pond] or table.fingerprint_of(a.pond) != marks[a.pond]
        ]
        kept = len(asked) - len(to_do)
        table.without({a.pond for a in to_do if not a.problems})
        failures: list[Failure] = []
        with closing(_answers(to_do, work, cores or cores_here(), stop)) as answers:
            for count, (one, name, state, rows, failure) in enumerate(answers, kept + 1):
                if failure:
                    failures.append(failure)
                else:
                    told, mark = (one.pond, name, state), marks[one.pond]
                    rows = rows or [{work.says: work.nothing}]
                    table.add([dict(zip(FIRST, told)) | row | {"fingerprint": mark} for row in rows])
                tell(count, len(asked), one.pond)
                stop.heed()
    return Done(len(to_do) - len(failures), kept, tuple(failures))


def _fingerprint(asked: Asked, work: Work) -> str:
    """Sixteen digits that change when the pond, the settings, the catalogue or the program do; "" for one unread."""
    said = asked.fingerprint()
    if not said:
        return ""
    marked = sorted((name, value) for name, value in work.settings.items() if name not in work.unmarked)
    parts = (said, __version__, _catalogue_digest(), work.answer.__qualname__, repr(marked))
    return hashlib.sha256("|".join(parts).encode()).hexdigest()[:16]


@lru_cache(maxsize=1)
def _catalogue_digest() -> str:
    from plantpick.read.catalogue import data_folder, digest

    return " ".join(digest(path) for path in sorted(data_folder().glob("*.csv")))


def _one(asked: Asked, work: Work) -> tuple[str, str, list[dict], Failure | None]:
    """One pond's name, state and rows, or why there are none. Runs in a process of its own."""
    from plantpick.read import catalogue

    try:
        pond = asked.read()
        return pond.name, pond.state, work.answer(pond, catalogue.load(), **work.settings), None
    except PlantpickError as fault:
        return "", "", [], Failure(asked.pond, tuple(fault.problems))
    except Exception as fault:
        return (
            "",
            "",
            [],
            Failure(
                asked.pond,
                (
                    Problem(
                        asked.where,
                        f"plantpick met a fault of its own: {type(fault).__name__}: {fault}",
                        "Please report it with the pond.",
                    ),
                ),
                ours=True,
            ),
        )


def _answers(asked: list[Asked], work: Work, cores: int, stop: _Stop) -> Iterator[tuple]:
    """What _one says of each pond, in the order asked."""
    if cores < 2 or len(asked) < 3:
        stop.at_once = True
        for one in asked:
            yield one, *_one(one, work)
        return
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import active_children, get_context

    # spawned, not forked: the progress bar has a thread, and a fork of it could hang
    others = set(active_children())
    pool = ProcessPoolExecutor(min(cores, len(asked)), mp_context=get_context("spawn"), initializer=_begin)
    waiting: deque = deque()
    try:
        for one in asked:
            with _no_interrupt():
                waiting.append((one, pool.submit(_one, one, work)))
            if len(waiting) >= AHEAD * cores:
                yield waiting[0][0], *_awaited(waiting[0][1], stop)
                waiting.popleft()
        while waiting:
            yield waiting[0][0], *_awaited(waiting[0][1], stop)
            waiting.popleft()
    except BrokenProcessPool:
        stop.heed()
        raise PlantpickError(
            "stopped",
            Problem(
                waiting[0][0].where if waiting else "",
                "the system stopped a process at work on this pond or one near it, "
                "perhaps for want of memory.",
                "Run the same command again, with --cores 1: it goes on where it stopped.",
            ),
            ExitStatus.INTERNAL,
        ) from None
    finally:
        if waiting:  # stopped: nobody waits for what is in work
            for process in set(active_children()) - others:
                process.terminate()
        pool.shutdown(wait=True, cancel_futures=True)


def _awaited(future, stop: _Stop) -> tuple:
    while True:
        try:
            return future.result(timeout=0.2)
        except TimeoutError:
            stop.heed()


def _begin() -> None:
    """At the start of each process: the first one settles Ctrl-C, and none outlives it."""
    from multiprocessing import parent_process

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # a solver's own remarks, written past Python

    def watch() -> None:
        parent_process().join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()


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


class _Stop:
    """Ctrl-C and a request to end (SIGTERM) are noted and heeded between two ponds.

    A second one stops in the midst of a pond where `at_once` is set. It is not where other processes do the work: they
    are ended at the first one, and an interrupt inside the pool of them could leave the run waiting for ever.
    """

    def __init__(self, last: bool) -> None:
        self.last = last
        self.asked = self.at_once = False
        self.before: dict = {}

    def __enter__(self) -> _Stop:
        if threading.current_thread() is threading.main_thread():
            self.before = {
                number: signal.signal(number, self._note) for number in (signal.SIGINT, signal.SIGTERM)
            }
        return self

    def _note(self, *_) -> None:
        if self.asked and self.at_once:
            raise KeyboardInterrupt
        self.asked = True

    def heed(self) -> None:
        """Raise KeyboardInterrupt where a stop was asked for."""
        if self.asked:
            raise KeyboardInterrupt

    def __exit__(self, *_) -> None:
        self.at_once = False
        for number, handler in self.before.items():
            signal.signal(number, signal.SIG_IGN if self.asked and self.last else handler)
