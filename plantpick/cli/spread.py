"""plantpick spread: how much of a pond a plant could take, and what stops it."""

from __future__ import annotations

from pathlib import Path

import typer

from plantpick.cli.complete import plant_names
from plantpick.cli.options import FORMAT, POND, RISK, Format
from plantpick.cli.streams import say, wrapped


def spread(
    pond: str = POND,
    plants: list[str] = typer.Argument(
        ...,
        metavar="PLANT...",
        autocompletion=plant_names,
        help="One plant or several, by any of their names.",
        show_default=False,
    ),
    groups: int = typer.Option(
        None,
        "--groups",
        "-g",
        min=1,
        max=10_000,
        metavar="NUMBER",
        help="Groups set; without it, as many as rank plans on.",
    ),
    risk: float = RISK,
    figure: Path = typer.Option(None, "--figure", metavar="FILE.svg", help="Write a figure of the forecast."),
    charts: bool = typer.Option(True, "--charts/--no-charts", help="Draw a chart for each plant."),
    force: bool = typer.Option(False, "--force", help="Replace a file that is there already."),
    format: Format = FORMAT,
) -> None:
    """Forecast how much of a pond a plant takes in ten years if nobody cuts it, and what stops it where.

    Shows its share by year with its range, how far out it comes on each stretch and what stops it there, and what
    changes if the banks are steepened to 3:1, if it is set in pots, or if it is cut back each spring.

    Example: plantpick spread demo "white water lily" pickerelweed
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.files.save import check_outputs, save
    from plantpick.ranking.takeover_report import takeover_report
    from plantpick.show import takeover, terminal
    from plantpick.show.figures.drawing import svg_file
    from plantpick.show.figures.takeover import takeover_figure

    described, table = pond_file.read_pond(pond), catalogue.load()
    described = described.with_risk(risk)
    told = [takeover_report(described, table, table.find(name), groups) for name in dict.fromkeys(plants)]
    if figure:
        check_outputs([figure], pond_file.files_of(pond), replace=force)
        save(figure, svg_file(takeover_figure(described, told)), replace=force)
        say(wrapped(f"Written: {figure}"))
    if format is Format.table:
        takeover.show_takeover(terminal.console(), described, told, charts)
    else:
        typer.echo(takeover.takeover_text(described, told, format.value), nl=format is Format.json)
