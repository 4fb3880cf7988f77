"""plantpick plan: what to buy, how many, where each group goes, when, and what comes of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from plantpick.cli import ending
from plantpick.cli.complete import offer_files, plant_names
from plantpick.cli.many import CORES, PONDS, answer_many, one_pond, several
from plantpick.cli.options import FORMAT, NEXT_DOOR, RISK, Format
from plantpick.cli.streams import say, wrapped
from plantpick.cli.watch import TODAY
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.plain_text import one_line

if TYPE_CHECKING:
    from plantpick.pond.model import Pond

WITH = "--with"
MORE_TIME = "--seconds gives more time"
MORE = (
    "--out plan.html writes the report: planting sheets, a card for two years, forecasts, law. --details prints the groups and the "
    "forecasts here."
)
MORE_ON_PAGE = "The page has the planting sheets, a card for two years, forecasts and law. --details prints the groups here."


class Count(str, Enum):
    """Which forecast must reach the cover."""

    cautious = "cautious"
    typical = "typical"


def plan(
    ponds: list[str] = PONDS,
    out: Path = typer.Option(
        None, "--out", "-o", metavar="PAGE.html", help="Write the report, one HTML file with its figures."
    ),
    csv: Path = typer.Option(
        None,
        "--csv",
        metavar="FILE.csv",
        help="Write the groups as a table, a row a group; for many ponds, one table for all.",
    ),
    offer: str = typer.Option(
        None,
        "--offer",
        metavar="FILE",
        autocompletion=offer_files,
        help='Use only what a nursery offers, at its prices; "demo" for an invented one.',
    ),
    by: int = typer.Option(
        5, "--by", metavar="YEAR", help="Year after planting by which the cover must be there, 1 to 10."
    ),
    count: Count = typer.Option(
        Count.cautious, "--count", help="Forecast that must reach it: cautious (low rates) or typical."
    ),
    cover: float = typer.Option(
        None,
        "--cover",
        metavar="PERCENT",
        help="Cover wanted from plants; without it, the pond file's less its brush, or the most that the limits allow.",
    ),
    cap: float = typer.Option(
        None,
        "--cap",
        metavar="PERCENT",
        help="Most that one plant may take in ten years; without it, the pond file's.",
    ),
    risk: float = RISK,
    upper: float = typer.Option(
        30.0,
        "--upper",
        metavar="PERCENT",
        help="Most of the surface under all plants together after ten years.",
    ),
    species: int = typer.Option(
        4, "--species", min=1, max=30, metavar="NUMBER", help="At least so many different plants."
    ),
    share: float = typer.Option(
        40.0, "--share", metavar="PERCENT", help="Largest share of the planted cover for one plant."
    ),
    mix: float = typer.Option(
        None,
        "--mix",
        metavar="PERCENT",
        help="Most of all plants set that may be one kind; without it, the pond file's, or a third.",
        show_default=False,
    ),
    wanted: list[str] = typer.Option(
        [],
        "--with",
        metavar="PLANT",
        autocompletion=plant_names,
        help="A plant that you want in any case, by any name; may be given again.",
    ),
    without: list[str] = typer.Option(
        [],
        "--without",
        metavar="PLANT",
        autocompletion=plant_names,
        help="A plant that you don't want, or a genus or a name of several; may be given again.",
    ),
    only: str = typer.Option(
        None,
        "--only",
        metavar="FILE",
        autocompletion=offer_files,
        help="Use only plants that you can get: a list, one name a line.",
        show_default=False,
    ),
    budget: float = typer.Option(
        None,
        "--budget",
        min=0,
        metavar="DOLLARS",
        help="What may be spent on plants, tubs, barriers and guards, each at the middle of its price.",
    ),
    plants: int = typer.Option(
        500, "--plants", min=1, max=100_000, metavar="NUMBER", help="Most plants that you are ready to set."
    ),
    trim: float = typer.Option(
        300.0,
        "--trim",
        min=0,
        metavar="SQFT",
        help="Edge of spreading plants that you are ready to cut back each year, square feet.",
    ),
    seconds: float = typer.Option(
        10.0,
        "--seconds",
        min=0.5,
        max=36_000,
        metavar="NUMBER",
        help="About the most time for the search.",
    ),
    within: float = typer.Option(
        0.0,
        "--within",
        min=0,
        max=1000,
        metavar="PERCENT",
        help="Stop as soon as the cost is known to be no further above the least there can be.",
    ),
    neighbors: bool = NEXT_DOOR,
    format: Format = FORMAT,
    choices: bool = typer.Option(
        False,
        "--choices",
        help="Lay five plans side by side, from a handful of plants to the most; each takes as long as --seconds allows.",
    ),
    details: bool = typer.Option(
        False,
        "--details",
        help="Print the groups, the guards, the forecasts and what we assumed as well; the report has them all.",
    ),
    today: datetime = TODAY,
    force: bool = typer.Option(False, "--force", help="Replace files that are there already."),
    cores: int = CORES,
) -> None:
    """Plan the planting: what to buy, how many, where and when each group goes, and what the pond looks like in ten years.

    Finds the cheapest planting that meets your wishes, or says which one stands in the way and how far it would have to
    give. Press Ctrl-C to stop early and get the best planting so far. Cover is water under plants that shelter fish; brush in place counts too.

    Many ponds (see plantpick rank --help): --csv writes one table; run it again and only what is missing or has changed is done.

    Example: plantpick plan demo --out plan.html --csv plan.csv
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.files.save import check_outputs, check_page
    from plantpick.planting import instructions, offered
    from plantpick.planting import plan as planting
    from plantpick.planting.giving_way import GivingWay, giving_way
    from plantpick.planting.model import Wishes, check_wishes
    from plantpick.show import plan as planpage
    from plantpick.show import progress, terminal
    from plantpick.show.plan_report import plan_report

    wishes = Wishes(
        year=by,
        count=count.value,
        cover=cover,
        cap=cap,
        risk=risk,
        upper=upper,
        species=species,
        share=share,
        mix=mix,
        budget=budget,
        plants=plants,
        trim=trim,
    )
    try:
        check_wishes(wishes)
    except PlantpickError as fault:  # named as on the command line
        named = [replace(p, where=f"--{'by' if p.where == 'year' else p.where}") for p in fault.problems]
        raise PlantpickError(fault.code, named, fault.status) from None
    if several(ponds) and csv and not out:
        from plantpick.batch.many_ponds import planning_work

        day = (today or datetime.now()).date()
        return answer_many(
            ponds,
            planning_work(
                wishes=wishes,
                offer=_lines(offer),
                today=day,
                time_limit=seconds,
                within=within,
                next_door=neighbors,
                choice=_choice(wanted, without, only),
            ),
            csv,
            cores,
        )
    pond = one_pond(ponds, "--csv TABLE.csv, and no --out")
    check_outputs([out, csv], [*pond_file.files_of(pond), offer, only], replace=force)
    check_page(out)
    described, table = pond_file.read_pond(pond), catalogue.load(evidence=out is not None)
    try:
        choice = _choice(wanted, without, only)
    except PlantpickError as fault:
        refused = _refused_too(wanted, described, neighbors)
        raise PlantpickError(fault.code, [*fault.problems, *refused], fault.status) from None
    sold = offered.offered(_offer(offer, described, table)) if offer else None
    with _by_option(), progress.search(seconds) as tick, ending.on_ctrl_c(tick) as stop:
        made = planting.plan(
            described,
            table,
            wishes,
            offered=sold,
            next_door=neighbors,
            time_limit=seconds,
            within=within,
            choice=choice,
            stop=stop,
            clock=time.monotonic,
        )
        told = GivingWay(steps=())
        if choices:
            with progress.plans() as tell:
                told = giving_way(
                    described,
                    table,
                    wishes,
                    tell=tell,
                    offered=sold,
                    next_door=neighbors,
                    time_limit=seconds,
                    within=within,
                    choice=choice,
                    stop=stop,
                    clock=time.monotonic,
                )
    day = (today or datetime.now()).date()
    sheets, order = (
        instructions.sheets(made, table, day),
        instructions.order_of_work(made, table),
    )
    page = plan_report(made, table, day, MORE_TIME, told) if out else ""
    if format is Format.table:
        more = None if details else MORE_ON_PAGE if out else MORE
        planpage.show_plan(terminal.console(), made, sheets, order, MORE_TIME, more, told)
    else:
        typer.echo(
            planpage.plan_json(made, sheets, order, told)
            if format is Format.json
            else planpage.plan_csv(made, sheets),
            nl=format is Format.json,
        )
    _write({out: page, csv: planpage.plan_csv(made, sheets)}, force)


def _choice(wanted: list[str], without: list[str], only: str | None):
    """What the owner wants, doesn't want, and can get, as plants of the catalogue. Raises PlantpickError with every name that is no
    plant's."""
    from plantpick.files import catalogue
    from plantpick.files import offers as files
    from plantpick.offers.named_plants import plants_called, plants_listed
    from plantpick.planting.choice import ANY, Choice

    if not (wanted or without or only):
        return ANY
    table = catalogue.load(by_name=True)
    problems: list[Problem] = []

    def named(read: Callable[[], tuple[str, ...]]) -> tuple[str, ...]:
        try:
            return read()
        except PlantpickError as fault:
            problems.extend(fault.problems)
            return ()

    choice = Choice(
        wanted=named(lambda: plants_called(wanted, table, WITH)),
        without=named(lambda: plants_called(without, table, "--without", every=True)),
        only=named(lambda: plants_listed(files.read_offer(only), table, only)) if only else None,
    )
    if problems:
        raise PlantpickError("no-such-plant", problems)
    return choice


def _refused_too(wanted: list[str], pond: Pond, next_door: bool) -> list[Problem]:
    """Why those of the plants wanted whose names are known cannot be had here: to be said beside the names that are not known."""
    from plantpick.files import catalogue
    from plantpick.planting.choice import Choice, fitting
    from plantpick.ranking import rank

    table, known = catalogue.load(by_name=True), []
    for name in wanted:
        try:
            known.append(table.find(name))
        except PlantpickError:
            continue
    try:
        fitting(
            rank.rank(pond, catalogue.load(), next_door=next_door, places=False), Choice(wanted=tuple(known))
        )
    except PlantpickError as fault:
        return [_with(problem) for problem in fault.problems]
    return []


@contextmanager
def _by_option() -> Iterator[None]:
    """Faults of plants that are wanted, named by their option."""
    try:
        yield
    except PlantpickError as fault:
        if fault.code != "not-to-be-planted":
            raise
        raise PlantpickError(fault.code, [_with(p) for p in fault.problems], fault.status) from None


def _with(problem: Problem) -> Problem:
    """A plant that is wanted and cannot be had, by the option that asked for it."""
    return replace(problem, where=f"{WITH}: {problem.where}")


def _offer(name: str, pond, table):
    """The nursery's offer, checked line by line."""
    from plantpick.batch import parallel as share
    from plantpick.offers import check

    return check.check_offer(list(_lines(name)), pond, table, read_all=share.reader())


def _lines(name: str | None) -> tuple:
    """The lines of the nursery's offer; none where there is no offer."""
    from plantpick.files import offers as files

    return tuple(files.read_offer(files.demo_offer() if name == "demo" else name)) if name else ()


def _write(files: dict, force: bool) -> None:
    """Write each file; what cannot be written keeps none of the others back."""
    from plantpick.files.save import save

    problems = []
    for path, text in files.items():
        if path:
            try:
                save(path, text, replace=force)
            except PlantpickError as fault:
                problems += fault.problems
                continue
            say(wrapped(f"Written: {one_line(path)}"))
    if problems:
        raise PlantpickError("cannot-write", problems, ExitStatus.CANNOT_WRITE)
