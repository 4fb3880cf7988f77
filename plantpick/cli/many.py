"""Many ponds on the command line: what `rank --out` and other commands that answer pond by pond share."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import typer

from plantpick.cli.complete import ponds_and_tables
from plantpick.cli.streams import problem_line, say, wrapped
from plantpick.plain_text import one_line

PONDS = typer.Argument(
    ...,
    metavar="POND.toml...",
    show_default=False,
    autocompletion=ponds_and_tables,
    help='The pond file, or "demo" (also demo-north, demo-hard). For one table: many files, folders of them, '
    "or a table with a row a pond (.csv, .parquet).",
)
OUT = typer.Option(
    None, "--out", "-o", metavar="TABLE.csv", help="Write the answers for all the ponds to one table."
)
CORES = typer.Option(
    None,
    "--cores",
    min=1,
    max=256,
    metavar="NUMBER",
    help="Processes for many ponds; without it, all cores.",
    show_default=False,
)


def several(ponds: list[str]) -> bool:
    """Whether the names stand for more than one pond file: several files, a folder, a table, a pattern."""
    from plantpick.files.pond_table import is_table

    name = ponds[0]
    return (
        len(ponds) > 1 or is_table(name) or os.path.isdir(name) or ("*" in name and not os.path.exists(name))
    )


def one_pond(ponds: list[str], option: str = "--out TABLE.csv") -> str:
    """The only pond named. Raises a usage error where there are several, which need a table to be written to."""
    if several(ponds):
        raise typer.BadParameter(f"several ponds need a table to be written to: add {option}")
    return ponds[0]


def answer_many(ponds: list[str], work, out: Path, cores: int | None) -> None:
    """Answer every pond into one table, with a bar on standard error; failures are named at the end."""
    from plantpick.batch import many_ponds
    from plantpick.errors import ExitStatus, PlantpickError, Problem
    from plantpick.files.pond_table import gather
    from plantpick.show import progress

    asked, remarks = gather(ponds)
    try:
        with progress.ponds(len(asked)) as tell:
            done = many_ponds.run(asked, work, out, cores, tell, last=True)
    except PlantpickError as fault:
        if fault.code != "stopped":
            raise
        remedy = "Run the same command again with --cores 1: it goes on where it stopped."
        raise PlantpickError(
            fault.code, [replace(p, remedy=remedy) for p in fault.problems], fault.status
        ) from None
    except KeyboardInterrupt:
        say(wrapped(f"What is done is in {one_line(out)}; the same command goes on from there."))
        raise
    for line in remarks:
        say(wrapped(line))
    kept = f", {done.kept} were there already" if done.kept else ""
    say(wrapped(f"{one_line(out)}: {done.answered} of {len(asked)} ponds answered{kept}."))
    if not done.failures:
        return
    for failure in done.failures:
        for problem in failure.problems:
            say(problem_line(problem, "  "))
    ours = any(f.ours for f in done.failures)
    count = len(done.failures)
    raise PlantpickError(
        "ponds",
        Problem(
            "",
            f"{count} pond{'s are' if count > 1 else ' is'} not in the table, for the reasons above.",
            "Put them right and run the same command again: the others are not done twice.",
        ),
        ExitStatus.INTERNAL if ours else ExitStatus.BAD_INPUT,
    )
