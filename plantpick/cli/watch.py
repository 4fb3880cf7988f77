"""plantpick watch: the log against the forecast."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import typer

from plantpick.cli.complete import log_files
from plantpick.cli.options import FORMAT, POND, Format
from plantpick.cli.oxygen import command_for
from plantpick.cli.streams import say, wrapped
from plantpick.dates import EARLIEST, LATEST
from plantpick.plain_text import one_line


def _in_our_time(day: datetime | None) -> datetime | None:
    """A day that seasons before and after can be counted from. Raises a usage error for any other."""
    if day and not EARLIEST <= day.date() <= LATEST:
        raise typer.BadParameter(f"name a day from {EARLIEST} to {LATEST}.")
    return day


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
    callback=_in_our_time,
    formats=["%Y-%m-%d"],
    metavar="YYYY-MM-DD",
    help="The day to judge by; without it, today.",
    show_default=False,
)


def day_of(log: Path | None, today: datetime | None) -> date:
    """The day to judge by: the one given, the demo log's own, or today."""
    from plantpick.files.log import day_to_judge_by

    return today.date() if today else day_to_judge_by(log, date.today())


def watch(
    pond: str = POND,
    log: Path = LOG,
    today: datetime = TODAY,
    format: Format = FORMAT,
    charts: bool = typer.Option(True, "--charts/--no-charts", help="Draw a chart for each stand."),
    out: Path = typer.Option(
        None,
        "--out",
        "-o",
        metavar="PAGE.html",
        help="Write a page to take outside: a figure for each stand, and the year ahead.",
    ),
    force: bool = typer.Option(False, "--force", help="Replace the page if it is there already."),
) -> None:
    """Compare what you measured with the forecast: on track, faster (act by a date) or slower, and what to
    cut.

    The log is a CSV with a heading row: date, plant, stretch, event (planted, measured, trimmed, taken out),
    then what you measured: length_ft and width_ft, area_sqft, out_ft (bank to outer edge) or share_percent of
    the stretch; and, on any row, drop_ft (under full pool) and secchi_in. It is only read.

    Example: plantpick watch demo demo --out watch.html
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.files.log import log_path, pond_log
    from plantpick.files.save import check_outputs, check_page, save
    from plantpick.monitoring import calendar
    from plantpick.monitoring import watch as watching
    from plantpick.monitoring.measures import ranked_measures
    from plantpick.show import terminal, watch_records
    from plantpick.show import watch as watchpage

    day = day_of(log, today)
    described, plants = pond_file.read_pond(pond), catalogue.load(by_name=True)
    check_outputs([out], [*pond_file.files_of(pond), log_path(log)], replace=force)
    check_page(out)
    rows = pond_log(log, described, plants, day)
    told = watching.watch(described, plants, rows, day)
    if out:
        from plantpick.show import watch_report

        held = ranked_measures(told.pond, plants, rows)
        months = calendar.year_ahead(told.pond, plants, day, rows, told.stands, held)
        save(out, watch_report.watch_report(told, months, command_for), replace=force)
        say(wrapped(f"Written: {one_line(out)}"))
    if format is Format.table:
        watchpage.show_watch(terminal.console(), told, charts)
    else:
        typer.echo(watch_records.watch_text(told, format.value), nl=format is Format.json)
