"""Many ponds in one run: each answered by itself, both cores busy, one output table that is whole at every moment.

The table holds the rows of whole ponds only. It is written anew beside itself and put in place in one step, every few
seconds, so that whenever a run is stopped the table that it leaves can be read, and the next run goes on from there.
"""

from __future__ import annotations

import hashlib
import signal
import threading
import time
from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache, partial
from pathlib import Path

from plantpick import __version__
from plantpick.batch import processes
from plantpick.batch.out_table import OutTable
from plantpick.catalogue.plants import Catalogue
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.files.pond_table import Asked
from plantpick.pond.model import Pond

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
    pond: Pond,
    catalogue: Catalogue,
    *,
    top: int | None = None,
    stretches: tuple[str, ...] = (),
    risk: float | None = None,
    **settings,
) -> list[dict]:
    """The rows of one pond's ranking, as `plantpick rank --format csv` gives them."""
    from plantpick.ranking import rank
    from plantpick.show.ranking import ranking_rows

    pond = (pond.only_at(stretches) if stretches else pond).with_risk(risk)
    return ranking_rows(rank.rank(pond, catalogue, **settings), top)


def ranking_work(**settings) -> Work:
    """The work of `plantpick rank`: settings are job, next_door, draws, top, stretches and risk."""
    from plantpick.show.ranking import RANKING_COLUMNS

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
    choice,
) -> list[dict]:
    """The rows of one pond's planting, as `plantpick plan --csv` gives them, with what became of the wishes in each."""
    from plantpick.offers import check
    from plantpick.planting import instructions, offered
    from plantpick.planting import plan as planting
    from plantpick.show import plan as planpage
    from plantpick.show.plan_words import in_short

    sold = offered.offered(check.check_offer(list(offer), pond, catalogue)) if offer else None
    made = planting.plan(
        pond,
        catalogue,
        wishes,
        offered=sold,
        next_door=next_door,
        time_limit=time_limit,
        within=within,
        choice=choice,
    )
    sheets = instructions.sheets(made, catalogue, today)
    told = {"met": made.met, "status": made.status, "in_short": " ".join(in_short(made))}
    return [row | told for row in planpage.plan_rows(made, sheets)] or [told]


def planning_work(**settings) -> Work:
    """The work of `plantpick plan`: settings are wishes, offer (its lines), today, time_limit, within, next_door and choice.

    The day is not part of the fingerprint: a run that goes on next morning does not plan every pond again.
    """
    from plantpick.show.plan import PLAN_COLUMNS

    return Work(
        plan_rows,
        (*PLAN_COLUMNS, "met", "status", "in_short"),
        settings,
        says="in_short",
        unmarked=("today",),
    )


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
        with closing(_answers(to_do, work, cores or processes.cores_here(), stop)) as answers:
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
    from plantpick.files.catalogue import digest
    from plantpick.files.data_folder import data_folder

    return " ".join(digest(path) for path in sorted(data_folder().glob("*.csv")))


def _one(work: Work, asked: Asked) -> tuple[str, str, list[dict], Failure | None]:
    """One pond's name, state and rows, or why there are none. Runs in a process of its own."""
    from plantpick.files import catalogue

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


def _answers(asked: list[Asked], work: Work, cores: int, stop: _Stop) -> Generator[tuple, None, None]:
    """What _one says of each pond, in the order asked."""
    if cores < 2 or len(asked) < 3:
        stop.at_once = True
        for one in asked:
            yield one, *_one(work, one)
        return
    try:
        # spawned, not forked: the progress bar has a thread, and a fork of it could hang
        with closing(processes.in_order(partial(_one, work), asked, cores, "spawn", stop.heed)) as answers:
            for one, answer in zip(asked, answers):
                yield one, *answer
    except processes.Lost as lost:
        stop.heed_soon()
        raise PlantpickError(
            "stopped",
            Problem(
                lost.item.where,
                "the system stopped the process at work on this pond, perhaps for want of memory.",
                "Do the rest on one core: a run goes on where it stopped.",
            ),
            ExitStatus.INTERNAL,
        ) from None


class _Stop:
    """Ctrl-C and a request to end (SIGTERM) are noted and heeded between two ponds.

    A second one stops in the midst of a pond where `at_once` is set. It is not where other processes do the work: they
    are ended at the first one.
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

    def heed_soon(self) -> None:
        """The same when a process has gone: the stop that ended it may come here a moment later."""
        time.sleep(0.0 if self.asked else 0.3)
        self.heed()

    def __exit__(self, *_) -> None:
        self.at_once = False
        for number, handler in self.before.items():
            signal.signal(number, signal.SIG_IGN if self.asked and self.last else handler)
