"""The `plantpick` command: its subcommands, and the one place where an error becomes words and an exit status."""

from __future__ import annotations

import errno
import sys

import typer

from plantpick import __version__
from plantpick.cli import (
    calendar,
    check,
    demo,
    depths,
    offer,
    oxygen,
    plan,
    plant,
    pond,
    rank,
    sources,
    spread,
    watch,
)
from plantpick.cli.streams import STDERR, answer_lost, let_go, problem_line, say, settle, wrapped
from plantpick.errors import ExitStatus, PlantpickError

STOPPED = 130  # as shells have it: 128 and the number of the interrupt
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)

app = typer.Typer(
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    help="Choose native plants for a fishing pond: which suit it, which would take it over, what holds them.",
    epilog="Start with: plantpick rank demo",
)
app.command("pond")(pond.pond)
app.command("rank")(rank.rank)
app.command("plant")(plant.plant)
app.command("spread")(spread.spread)
app.command("plan")(plan.plan)
app.command("offer")(offer.offer)
app.command("depths")(depths.depths)
app.command("watch")(watch.watch)
app.command("calendar")(calendar.calendar)
app.command("oxygen")(oxygen.oxygen)
app.command("sources")(sources.sources)
app.command("check")(check.check)
app.command("demo")(demo.demo)

for command in app.registered_commands:  # a paragraph of a docstring is one line, wrapped to the terminal
    command.help = "\n\n".join(
        " ".join(part.split()) for part in (command.callback.__doc__ or "").split("\n\n")
    )


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"plantpick {__version__}")
        raise typer.Exit()


@app.callback()
def _top(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
    debug: bool = typer.Option(False, "--debug", help="Show the traceback when something goes wrong."),
) -> None:
    pass


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit with a status of ExitStatus."""
    settle()
    arguments = sys.argv[1:] if arguments is None else arguments
    sys.exit(run(arguments))


def run(arguments: list[str]) -> int:
    """Run the command line; every error that a user can meet becomes words on standard error and a status."""
    debug = "--debug" in arguments
    try:
        status = app(arguments, standalone_mode=False, prog_name="plantpick")
        sys.stdout.flush()
        if status == STOPPED:
            say("Stopped.")
        if answer_lost():
            return _cannot_write("standard output is closed")
        return int(status or ExitStatus.OK)
    except typer.Abort:
        say("Stopped.")
        return STOPPED
    except BrokenPipeError:
        return _nobody_reads()
    except SystemExit as leaving:  # typer's own way out of a closed pipe
        if not isinstance(leaving.__context__, BrokenPipeError):
            raise
        return _nobody_reads()
    except OSError as fault:
        if fault.errno not in NO_ROOM:
            return _fault_of_ours(fault, debug)
        let_go()
        return _cannot_write(fault.strerror)
    except PlantpickError as fault:
        if debug:
            raise
        _tell(fault)
        return int(fault.status)
    except Exception as fault:
        if hasattr(fault, "format_message"):  # the command line itself is wrong: typer's own words for it
            from typer import rich_utils

            try:
                rich_utils.rich_format_error(fault)  # type: ignore[arg-type]  # typer says which class it is, by release
            except OSError:
                let_go(STDERR)
            return int(ExitStatus.USAGE)
        return _fault_of_ours(fault, debug)


def _cannot_write(why: str | None) -> int:
    """The answer went to no reader and to no file."""
    say(wrapped(f"The answer could not be written: {why}. Make room, or write it elsewhere."))
    return int(ExitStatus.CANNOT_WRITE)


def _nobody_reads() -> int:
    """Whoever read the output closed it: no complaint."""
    let_go()
    return int(ExitStatus.OK)


def _fault_of_ours(fault: Exception, debug: bool) -> int:
    if debug:
        raise fault
    say(wrapped(f"plantpick met a fault of its own: {type(fault).__name__}: {fault}"))
    say(wrapped("Run it again as `plantpick --debug ...` and report what it prints."))
    return int(ExitStatus.INTERNAL)


def _tell(fault: PlantpickError) -> None:
    count = len(fault.problems)
    if count > 1:
        say(f"{count} things to put right:")
    for problem in fault.problems[:50]:
        say(problem_line(problem, "  " if count > 1 else ""))
    if count > 50:
        say(f"  and {count - 50} more.")
