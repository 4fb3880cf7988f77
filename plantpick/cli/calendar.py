"""plantpick calendar: what to do this month."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import typer

from plantpick.cli.complete import log_files
from plantpick.cli.options import FORMAT, POND, Format
from plantpick.cli.watch import TODAY, day_of


def calendar(
    pond: str = POND,
    log: Path = typer.Argument(
        None,
        metavar="[LOG.csv]",
        autocompletion=log_files,
        help='The log of what is planted, or "demo".',
        show_default=False,
    ),
    today: datetime = TODAY,
    format: Format = FORMAT,
    months: int = typer.Option(
        2,
        "--months",
        "-m",
        min=1,
        max=12,
        metavar="NUMBER",
        help="How many months to show, this one first.",
    ),
) -> None:
    """Say what to do this month for this pond and what is planted: plant, check, measure, trim, deadhead,
    order.

    Example: plantpick calendar demo demo --today 2027-09-15 --months 12
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.files.log import pond_log
    from plantpick.monitoring import watch
    from plantpick.monitoring.calendar import year_ahead
    from plantpick.monitoring.measures import ranked_measures
    from plantpick.show import calendar as calendarpage
    from plantpick.show import terminal

    day = day_of(log, today)
    described, plants = pond_file.read_pond(pond), catalogue.load(by_name=True)
    rows = pond_log(log, described, plants, day) if log else None
    stands = watch.watch(described, plants, rows, day).stands if rows else ()
    held = ranked_measures(described, plants, rows) if rows else None
    ahead = year_ahead(described, plants, day, rows, stands, held)[:months]
    if format is Format.table:
        calendarpage.show_calendar(terminal.console(), described, ahead, day, rows is not None)
    else:
        typer.echo(calendarpage.calendar_text(ahead, format.value), nl=format is Format.json)
