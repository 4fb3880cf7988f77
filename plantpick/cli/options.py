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
RISK = typer.Option(
    None,
    "--risk",
    min=RISKS_PERCENT[0],
    max=RISKS_PERCENT[1],
    metavar="PERCENT",
    show_default=False,
    help="Chance of passing your limit that you accept, 1 to 50; without it, the pond file's, or 10.",
)
NEXT_DOOR = typer.Option(False, "--neighbors", help="Let in plants native only to neighboring states.")
