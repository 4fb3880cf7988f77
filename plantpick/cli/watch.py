"""plantpick watch: the log against the forecast."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import typer

from plantpick.cli.complete import log_files
from plantpick.cli.options import FORMAT, POND, Format

DEMO_DAY = datetime(2027, 9, 15)  # what the invented log was written for
LOG = typer.Argument(
    ...,
    metavar="LOG.csv",
    autocompletion=log_files,
    help='The log, or "demo" for the demo pond\'s.',
    show_default=False,
)
TODAY = typer.Option(
    None,
    "--today",
    formats=["%Y-%m-%d"],
    metavar="YYYY-MM-DD",
    help="The day to judge by; without it, today.",
    show_default=False,
)


def day_of(log: Path | None, today: datetime | None) -> date:
    """The day to judge by: the one given, the demo log's own, or today."""
    return (today or (DEMO_DAY if str(log) == "demo" else datetime.now())).date()


def watch(
    pond: str = POND,
    log: Path = LOG,
    today: datetime = TODAY,
    format: Format = FORMAT,
    charts: bool = typer.Option(True, "--charts/--no-charts", help="Draw a chart for each stand."),
) -> None:
    """Compare what you measured with the forecast: on track, faster (act by a date) or slower, and what to
    cut.

    The log is a CSV with a heading row: date, plant, stretch, event (planted, measured, trimmed, taken out),
    then what you measured: length_ft and width_ft, area_sqft, out_ft (bank to outer edge) or share_percent of
    the stretch; and, on any row, drop_ft (under full pool) and secchi_in. It is only read.

    Example: plantpick watch demo demo --today 2027-09-15
    """
    from plantpick import watch as watching
    from plantpick.logbook import only_native
    from plantpick.read import catalogue, pondfile
    from plantpick.read.log import log_path, read_log
    from plantpick.show import terminal, watchpage, watchrecords

    day = day_of(log, today)
    described, plants = pondfile.read_pond(pond), catalogue.load()
    settle = lambda name: only_native(plants, name, described.state)
    told = watching.watch(
        described, plants, read_log(log_path(log), described, plants.find, day, settle), day
    )
    if format is Format.table:
        watchpage.show_watch(terminal.console(), told, charts)
    else:
        typer.echo(watchrecords.watch_text(told, format.value), nl=format is Format.json)
