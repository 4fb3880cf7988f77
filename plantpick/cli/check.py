"""plantpick check: what is wrong with the catalogue's tables."""

from __future__ import annotations

from pathlib import Path

import typer


def check(
    folder: Path = typer.Argument(
        None, metavar="[FOLDER]", help="The folder with the tables; without it, our own.", show_default=False
    ),
) -> None:
    """Check the catalogue's tables: every mistake with its file, row, column and remedy.

    Example: plantpick check data
    """
    from plantpick.files import catalogue
    from plantpick.show import terminal

    plants = catalogue.load(folder, evidence=True, trust=False, by_name=True)
    terminal.paragraph(
        terminal.console(),
        f"{len(plants.plants)} plants, {len(plants.names)} names, {len(plants.range)} state rows, "
        f"{len(plants.law)} law rows, {len(plants.protected)} rows of protected plants, "
        f"{len(plants.establishment.trials)} rows of planted plants and {len(plants.evidence)} evidence rows: nothing wrong.",
    )
