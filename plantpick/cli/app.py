"""The `plantpick` command: its subcommands, and the one place where an error becomes words and an exit status."""

from __future__ import annotations

import os
import sys

import typer

from plantpick import __version__
from plantpick.cli import check, depths, offer, oxygen, plant, rank, season, sources, watch
from plantpick.errors import ExitStatus, PlantpickError

app = typer.Typer(
    no_args_is_help=True, add_completion=True, pretty_exceptions_enable=False,
    help="Choose native plants for a fishing pond: which suit it, which would take it over, what holds them.",
    epilog="Start with: plantpick rank demo",
)
app.command("rank")(rank.rank)
app.command("plant")(plant.plant)
app.command("sources")(sources.sources)
app.command("depths")(depths.depths)
app.command("check")(check.check)
app.command("watch")(watch.watch)
app.command("oxygen")(oxygen.oxygen)
app.command("calendar")(season.calendar)
app.command("offer")(offer.offer)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"plantpick {__version__}")
        raise typer.Exit()


@app.callback()
def _top(
    version: bool = typer.Option(False, "--version", callback=_version, is_eager=True, help="Print the version."),
    debug: bool = typer.Option(False, "--debug", help="Show the traceback when something goes wrong."),
) -> None:
    pass


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit with a status of ExitStatus."""
    arguments = sys.argv[1:] if arguments is None else arguments
    sys.exit(run(arguments))


def run(arguments: list[str]) -> int:
    """Run the command line; every error that a user can meet becomes words on standard error and a status."""
    debug = "--debug" in arguments
    try:
        status = app(arguments, standalone_mode=False, prog_name="plantpick")
        sys.stdout.flush()
        return int(status or ExitStatus.OK)
    except typer.Abort:
        typer.echo("Stopped.", err=True)
        return 130
    except BrokenPipeError:
        # whoever read the output closed it: no complaint, and none from the interpreter's own flush
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return int(ExitStatus.OK)
    except PlantpickError as fault:
        if debug:
            raise
        _tell(fault)
        return int(fault.status)
    except Exception as fault:
        if hasattr(fault, "format_message"):   # the command line itself is wrong: typer's own words for it
            from typer import rich_utils

            rich_utils.rich_format_error(fault)
            return int(ExitStatus.USAGE)
        if debug:
            raise
        typer.echo(f"plantpick met a fault of its own: {type(fault).__name__}: {fault}\n"
                   "Run it again as `plantpick --debug ...` and report what it prints.", err=True)
        return int(ExitStatus.INTERNAL)


def _tell(fault: PlantpickError) -> None:
    count = len(fault.problems)
    if count > 1:
        typer.echo(f"{count} things to put right:", err=True)
    for problem in fault.problems[:50]:
        typer.echo(f"  {problem}" if count > 1 else str(problem), err=True)
    if count > 50:
        typer.echo(f"  and {count - 50} more.", err=True)
