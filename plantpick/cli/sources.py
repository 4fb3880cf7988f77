"""plantpick sources: what the catalogue rests on."""

from __future__ import annotations

import typer

from plantpick.cli.complete import plant_names
from plantpick.cli.options import FORMAT, Format


def sources(
    name: str = typer.Argument(
        None,
        metavar="[PLANT]",
        autocompletion=plant_names,
        help="One plant; without it, the whole catalogue.",
        show_default=False,
    ),
    format: Format = FORMAT,
) -> None:
    """Count how many cells rest on published values, practice, judgement or memory.

    Example: plantpick sources "wild celery"
    """
    from plantpick.catalogue import evidence
    from plantpick.files import catalogue
    from plantpick.show import sources as provenance
    from plantpick.show import terminal

    plants = catalogue.load(evidence=True)
    plant_id = plants.find(name) if name else None
    rows = evidence.by_trait(plants, plant_id)
    if format is Format.table:
        provenance.show_sources(terminal.console(), plants, plant_id, rows)
    else:
        typer.echo(provenance.sources_text(plants, plant_id, rows, format.value), nl=format is Format.json)
