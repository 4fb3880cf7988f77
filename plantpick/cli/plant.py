"""plantpick plant: one plant, trait by trait, and its score on a pond."""

from __future__ import annotations

import typer

from plantpick.cli.complete import plant_names, pond_files
from plantpick.cli.options import NEXT_DOOR, Format


def plant(
    name: str = typer.Argument(
        ...,
        autocompletion=plant_names,
        help="Any name of the plant: common, scientific, old or trade.",
        show_default=False,
    ),
    pond: str = typer.Argument(
        None,
        metavar="[POND.toml]",
        autocompletion=pond_files,
        help="A pond file: shows the full working of its score there.",
    ),
    format: Format = typer.Option(Format.table, "--format", "-f", help="Write a table, JSON or CSV."),
    neighbours: bool = NEXT_DOOR,
) -> None:
    """Show one plant: its traits with their ranges and sources, names, states and law.

    Example: plantpick plant pickerelweed demo
    """
    from plantpick.explain import explain
    from plantpick.read import catalogue, pondfile
    from plantpick.show import plantpage, terminal

    plants = catalogue.load(evidence=True)
    plant_id = plants.find(name)
    described = pondfile.read_pond(pond) if pond else None
    if format is not Format.table:
        typer.echo(plantpage.plant_text(plants, plant_id, format.value), nl=format is Format.json)
        return
    out = terminal.console()
    plantpage.show_plant(out, plants, plant_id, described.state if described else None)
    if described:
        terminal.show_explanation(
            out, explain(described, plants, plant_id, next_door=neighbours), f"On {described.name}"
        )
