"""plantpick rank: the plants that fit a pond, place by place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import typer

from plantpick.cli.complete import plant_names, stretches
from plantpick.cli.many import CORES, OUT, PONDS, answer_many, one_pond
from plantpick.cli.options import FORMAT, NEXT_DOOR, RISK, Format, Job
from plantpick.plain_text import shell_word

ASK = {"more": "--top 10", "names": "--ruled-out", "neighbors": "--neighbors", "asked": "--asked"}


def rank(
    ponds: list[str] = PONDS,
    job: Job = typer.Option(
        Job.all,
        "--job",
        "-j",
        metavar="JOB",
        help="shoreline (to 18 in deep), fish-cover (in water when the pond is down), shade (shrubs, trees), or all.",
    ),
    top: int = typer.Option(
        None,
        "--top",
        "-n",
        min=1,
        metavar="NUMBER",
        show_default=False,
        help="How many plants in each list, instead of 4; with --out how many in all. JSON and CSV always have every plant.",
    ),
    format: Format = FORMAT,
    neighbors: bool = NEXT_DOOR,
    explain: str = typer.Option(
        None,
        "--explain",
        "-e",
        metavar="PLANT",
        autocompletion=plant_names,
        help="Show the arithmetic for one plant.",
    ),
    ruled_out: bool = typer.Option(
        False, "--ruled-out", help="Name the plants that were ruled out, with reasons."
    ),
    asked: bool = typer.Option(
        False, "--asked", help="Name every plant often asked for that is not for this pond."
    ),
    obtainable: bool = typer.Option(
        False,
        "--obtainable",
        help="Leave out what is grown to order only and, if no list that we read has it, what USDA knew no seller of or is "
        'rare in the wild. Other plants on no list stay: their "ask" is unknown.',
    ),
    risk: float = RISK,
    draws: int = typer.Option(
        256,
        "--draws",
        min=64,
        max=4096,
        metavar="NUMBER",
        help="Draws that the chances rest on, 64 to 4096.",
    ),
    stretch: list[str] = typer.Option(
        [],
        "--stretch",
        "-s",
        metavar="NAME",
        autocompletion=stretches,
        show_default=False,
        help="Plant only on this stretch of shore; may be given again.",
    ),
    out: Path = OUT,
    cores: int = CORES,
) -> None:
    """Rank the native plants that fit a pond: a short list for each place, from deep water to the bank.

    Says how deep each goes and where, the chance that it passes your limit in ten untended years, how many groups the
    pond can take, how easily it is bought, what holds it. JSON has the lists and every plant by its score; CSV the plants.

    Many ponds: --out writes one table, a row a pond and plant. Run it again and only what is missing or has changed is
    done. In a table of ponds the columns are the pond file's keys: name, state, hardiness_zone, area_acres,
    max_depth_ft, shore_1_name, shore_1_length_ft, shore_1_slope, shore_2_name and so on.

    Example: plantpick rank demo --job fish-cover --top 10, or: plantpick rank ponds.csv --out ranked.csv
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.ranking import rank as ranking
    from plantpick.ranking.by_place import by_place
    from plantpick.ranking.by_place import obtainable as to_be_had
    from plantpick.ranking.draws import FEW
    from plantpick.ranking.often_asked import often_asked
    from plantpick.ranking.what_moves import what_moves
    from plantpick.show import ranking as rankingpage
    from plantpick.show.explanation import explanation_text, show_explanation, show_moves
    from plantpick.show.law import show_law
    from plantpick.show.terminal import console

    wanted = job.value.replace("-", " ")
    if out and (explain or ruled_out or obtainable):
        raise typer.BadParameter(
            "--out writes every plant of the ranking: --explain, --ruled-out and --obtainable are for one pond"
        )
    if ruled_out and (explain or format is not Format.table):
        raise typer.BadParameter(
            "--ruled-out is for the table; --format json always names what was ruled out"
        )
    if out:
        from plantpick.batch.many_ponds import ranking_work

        work = ranking_work(
            top=top, stretches=tuple(stretch), risk=risk, job=wanted, next_door=neighbors, draws=draws
        )
        return answer_many(ponds, work, out, cores)
    described = pond_file.read_pond(one_pond(ponds))
    described = described.only_at(tuple(stretch)) if stretch else described
    described = described.with_risk(risk)
    plants = catalogue.load()
    if explain:
        from plantpick.ranking.explain import explain as working

        plant_id = plants.find(explain)
        told = working(described, plants, plant_id, job=wanted, next_door=neighbors)
        title = f"{plants.plant(plant_id).common_name} on {described.name}"
        if format is Format.table:
            screen = console()
            show_explanation(screen, told, title)
            every = ranking.rank(described, plants, next_door=neighbors, draws=FEW, places=False)
            show_moves(screen, what_moves(every, plants, next_door=neighbors))
            show_law(screen, told.law, described.state)
        else:
            typer.echo(explanation_text(told, format.value), nl=format is Format.json)
        return
    answer = ranking.rank(described, plants, job=wanted, next_door=neighbors, draws=draws)
    if obtainable:
        answer = replace(answer, plants=to_be_had(answer.plants))
    if format is Format.csv:
        return typer.echo(rankingpage.ranking_csv(answer), nl=False)
    beside = rankingpage.Beside(
        not_here=often_asked(answer, plants, by_place(answer.plants)),
        moves=what_moves(answer, plants, next_door=neighbors),
    )
    if format is Format.json:
        typer.echo(rankingpage.ranking_json(answer, top, beside))
    else:
        options = rankingpage.RankingOptions(**ASK, next_steps=next_steps(ponds[0]))
        rankingpage.show_ranking(console(), answer, top, ruled_out, options, beside, asked)


def next_steps(pond: str) -> tuple[str, ...]:
    """The commands that come after a ranking of this pond."""
    name = shell_word(pond)
    return (
        f"Plan how many to set, and where: plantpick plan {name}",
        f"Check the nursery's offer before you pay: plantpick offer {name} offer.txt",
    )
