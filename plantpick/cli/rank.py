"""plantpick rank: the plants that fit a pond, best first."""

from __future__ import annotations

import typer

from plantpick.cli.options import FORMAT, NEXT_DOOR, POND, Format, Job


def rank(
    pond: str = POND,
    job: Job = typer.Option(Job.all, "--job", "-j", help="Shoreline plants, fish cover under water, shade trees "
                                                        "and bank shrubs, or all."),
    top: int = typer.Option(15, "--top", "-n", min=1, help="How many plants to show."),
    format: Format = FORMAT,
    neighbours: bool = NEXT_DOOR,
    explain: str = typer.Option(None, "--explain", "-e", metavar="PLANT", help="Show the arithmetic for one plant."),
    ruled_out: bool = typer.Option(False, "--ruled-out", help="Name the plants that were ruled out, with reasons."),
    draws: int = typer.Option(30, "--draws", min=0, max=2000, help="Draws that test how firm the order is."),
) -> None:
    """Rank the native plants that fit a pond, best first.

    Says where each goes, what it could take in ten untended years, how many groups the pond can take, what holds it.

    Example: plantpick rank demo --job fish-cover --top 10
    """
    from plantpick import ranking
    from plantpick.read import catalogue, pondfile
    from plantpick.show import records, terminal

    described = pondfile.read_pond(pond)
    plants = catalogue.load()
    if explain:
        from plantpick.explain import explain as working

        plant_id = plants.find(explain)
        name = plants.records[plant_id]["common_name"]
        terminal.show_explanation(terminal.console(), working(described, plants, plant_id, next_door=neighbours),
                                  f"{name} on {described.name}")
        return
    answer = ranking.rank(described, plants, job=job.value.replace("-", " "), next_door=neighbours, draws=draws)
    if format is Format.json:
        typer.echo(records.ranking_json(answer, top))
    elif format is Format.csv:
        typer.echo(records.ranking_csv(answer, top), nl=False)
    else:
        terminal.show_ranking(terminal.console(), answer, top, ruled_out)
