"""Arguments and options that several commands share, so that each is worded once."""

from __future__ import annotations

from enum import Enum

import typer

from plantpick.cli.complete import pond_files
from plantpick.vocabulary import RISKS_PERCENT


class Format(str, Enum):
    """How the answer is written."""

    table = "table"
    json = "json"
    csv = "csv"


class Job(str, Enum):
    """Which plants are wanted."""

    shoreline = "shoreline"
    fish_cover = "fish-cover"
    shade = "shade"
    all = "all"


POND = typer.Argument(
    ...,
    metavar="POND.toml",
    help='The pond file, or "demo" (also demo-north, demo-hard).',
    show_default=False,
    autocompletion=pond_files,
)
FORMAT = typer.Option(Format.table, "--format", "-f", help="Write a table, JSON or CSV.")


def risk_percent(text: str) -> float:
    """The risk that was typed. Raises a usage error in plain words where it is no chance that an owner may accept."""
    low, high = RISKS_PERCENT
    try:
        risk = float(text.strip().removesuffix("%").strip())
    except ValueError:
        risk = float("nan")
    if not low <= risk <= high:
        raise typer.BadParameter(
            f'"{text}" is no chance you can ask for. Say it in per cent, from {low:g} to {high:g}: --risk 10 is one chance in ten.'
        )
    return risk


RISK = typer.Option(
    None,
    "--risk",
    parser=risk_percent,
    metavar="PERCENT",
    show_default=False,
    help="Chance of passing your limit that you accept, 1 to 50; without it, the pond file's, or 10.",
)
NEXT_DOOR = typer.Option(False, "--neighbors", help="Let in plants native only to neighboring states.")
