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
    neighbors: bool = NEXT_DOOR,
) -> None:
    """Show one plant: its traits with their ranges and sources, names, states and law.

    With a pond it works out the plant's score there, or says why it is ruled out; JSON has that as on_pond, CSV has
    the traits only.

    Example: plantpick plant pickerelweed demo
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.ranking.explain import explain, which_fit
    from plantpick.show import plant as plantpage
    from plantpick.show import terminal
    from plantpick.show.explanation import show_explanation

    plants = catalogue.load(evidence=True, by_name=True)
    described = pond_file.read_pond(pond) if pond else None
    meant = plants.called(name)
    if described and len(meant) > 1:
        raise plantpage.several_here(
            name, described.name, which_fit(described, plants, meant, next_door=neighbors)
        )
    plant_id = plants.find(name)
    told = explain(described, plants, plant_id, next_door=neighbors) if described else None
    if format is not Format.table:
        text = plantpage.plant_text(plants, plant_id, format.value, told)
        typer.echo(text, nl=format is Format.json)
        return
    out = terminal.console()
    plantpage.show_plant(out, plants, plant_id, told.found if told else None, name)
    if told and described:
        show_explanation(out, told, f"On {described.name}")
