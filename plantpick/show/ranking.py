"""The plants that fit a pond, best first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.text import Text

from plantpick.ranking.chances import chance_words
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import NEXT_DOOR, REASONS
from plantpick.show.law import law_record, show_law
from plantpick.show.records import LEVELS, dumps, levels, rounded, to_csv
from plantpick.show.terminal import (
    Column,
    bullets,
    heading,
    paragraph,
    percent,
    pond_name,
    right,
    show_table,
    title,
)
from plantpick.vocabulary import STATES

NARROW = 76  # columns under which fit and place stand one over the other


@dataclass(frozen=True, kw_only=True)
class RankingOptions:
    """How the command line asks for more; what is empty is not offered. `{}` in `more` stands for a number."""

    more: str = ""  # to see as many plants as fit
    names: str = ""  # to see the plants that were ruled out
    neighbors: str = ""  # to let in plants native next door


def takeover_words(plant: RankedPlant) -> str:
    """What it would hold after ten untended years, low to high."""
    low, _, high = plant.takeover_percent
    if high < 0.05:
        return "under 0.1 %"
    return f"{percent(low)} to {percent(high)} %"


def chance_of_passing(plant: RankedPlant) -> str:
    """The chance that it passes the limit left alone, and with its measure where it needs one."""
    loose = chance_words(plant.chance_over_cap)
    if plant.chance_over_cap_contained is None:
        return loose
    return f"{loose} left alone, {chance_words(plant.chance_over_cap_contained)} if held"


def groups_words(plant: RankedPlant) -> str:
    """How many groups the pond can take, left alone or only if something holds it."""
    if plant.contained_by:
        return f"room for {plant.contained_groups} if held ({' + '.join(plant.contained_by)})"
    return "no limit" if plant.unlimited else f"room for {plant.groups_max}"


def show_ranking(
    out: Console,
    ranking: Ranking,
    top: int,
    names_of_ruled_out: bool = False,
    options: RankingOptions = RankingOptions(),
) -> None:
    """The ranked table, what holds each plant, what was ruled out, assumptions, cautions and law."""
    pond = ranking.pond
    title(
        out,
        f"{pond_name(pond)}: {pond.area_acres:.4g} acres in {STATES[pond.state][0]}, zone {pond.hardiness_zone}",
    )
    paragraph(
        out,
        f"You want: {', '.join(pond.purposes)}. Your limit for one plant: {pond.cap_percent:g} % of the water after "
        f"ten years that nobody cuts it; {pond.risk_percent:g} % chance of passing it is all you put up with.",
    )
    shown = ranking.plants[:top]
    if not shown:
        heading(out, "No plant in the catalogue fits.")
    else:
        _show_plants(out, shown)
        heading(out, "What holds each plant, and what to watch for")
        for place, plant in enumerate(shown, 1):
            paragraph(out, f"{place:>2}  {plant.common_name}. {'. '.join(plant.notes)}.")
    if len(ranking.plants) > len(shown):
        ask = f": {options.more.format(len(ranking.plants))} shows all" if options.more else ""
        paragraph(out, f"{len(ranking.plants) - len(shown)} more fit{ask}.")
    if ranking.firm:
        heading(out, "How sure the order is")
        paragraph(out, ranking.firm, 2)
    _show_ruled_out(out, ranking, names_of_ruled_out, options)
    heading(out, "What we assumed")
    bullets(out, ranking.assumptions)
    heading(out, "Take care")
    bullets(out, ranking.cautions)
    show_law(out, ranking.law, pond.state)


def _show_plants(out: Console, plants: Sequence[RankedPlant]) -> None:
    """One row a plant; where the terminal is narrow, fit and place share a column."""
    narrow, least = out.width < NARROW, 12 if out.width >= 60 else None
    places = (
        [Column("fit and place", ratio=3, min_width=least)]
        if narrow
        else [Column("fit", min_width=least), Column("where", ratio=4)]
    )
    columns = [
        right("", no_wrap=True),
        Column("plant", ratio=6 if narrow else 5),
        *places,
        Column("takes in 10 years; over your limit", ratio=4, min_width=least),
        Column("groups", ratio=4),
    ]
    rows: list[list[str | Text]] = []
    for place, plant in enumerate(plants, 1):
        name = Text(plant.common_name)
        name.append(f"\n{plant.scientific_name}", style="italic dim")
        fit = f"{plant.fit} {plant.score:.0f}"
        fit += f"\nplaces {plant.places[0]}-{plant.places[1]}" if plant.places[1] > plant.places[0] else ""
        where = f"{plant.stretch}\n{plant.band}"
        rows.append(
            [
                str(place),
                name,
                *([f"{fit}\n{where}"] if narrow else [fit, where]),
                f"{takeover_words(plant)}\n{chance_of_passing(plant)}",
                f"{groups_words(plant)}\nplan on {plant.groups_planned}",
            ]
        )
    show_table(out, columns, rows, indent=0)


def _show_ruled_out(out: Console, ranking: Ranking, names: bool, options: RankingOptions) -> None:
    if not ranking.ruled_out:
        return
    ask = f" ({options.names} names them)" if options.names and not names else ""
    heading(out, f"Ruled out: {len(ranking.ruled_out)}{ask}")
    count = Counter(r.code for r in ranking.ruled_out)
    for code, words in REASONS.items():
        if not count[code]:
            continue
        ask = f" ({options.neighbors} lets them in)" if code == NEXT_DOOR and options.neighbors else ""
        paragraph(out, f"{count[code]:>4}  {words}{ask}")
        if names:
            bullets(
                out,
                (f"{r.common_name} ({r.plant_id}): {r.reason}" for r in ranking.ruled_out if r.code == code),
            )


RANKING_COLUMNS = (
    "place",
    "plant_id",
    "scientific_name",
    "common_name",
    "score",
    "fit",
    "site",
    "stays_put",
    "use",
    "stretch",
    "band",
    "depth_in",
    "cap_percent",
    "groups_wanted",
    "groups_max",
    "groups_planned",
    "chance_over_cap",
    "chance_over_cap_contained",
    "contained_by",
    "contained_groups",
    "chore",
    "state_status",
    "notes",
    "takeover_low_percent",
    "takeover_typical_percent",
    "takeover_high_percent",
    "establish_low_percent",
    "establish_typical_percent",
    "establish_high_percent",
    "place_best",
    "place_worst",
)


RANKING_TYPES = {
    **dict.fromkeys(("place", "groups_wanted", "groups_planned", "place_best", "place_worst"), "int64"),
    **dict.fromkeys(("chance_over_cap", "chance_over_cap_contained"), "float64"),
    **dict.fromkeys(("groups_max", "contained_groups"), "Int64"),
    **dict.fromkeys(("score", "site", "stays_put", "use", "depth_in", "cap_percent"), "float64"),
    **{f"{what}_{level}_percent": "float64" for what in ("takeover", "establish") for level in LEVELS},
}


def ranking_json(ranking: Ranking, top: int | None = None) -> str:
    """One JSON object: pond, plants, ruled_out, and what stands beneath the table."""
    pond = ranking.pond
    return dumps(
        {
            "pond": {
                "name": pond.name,
                "state": pond.state,
                "hardiness_zone": pond.hardiness_zone,
                "area_acres": pond.area_acres,
                "purposes": list(pond.purposes),
                "cap_percent": pond.cap_percent,
                "risk_percent": pond.risk_percent,
                "invented": pond.invented,
            },
            "plants": [_record(plant) for plant in ranking.plants[:top]],
            "ruled_out": [{"plant_id": r.plant_id, "reason": r.reason} for r in ranking.ruled_out],
            "firm": ranking.firm,
            "assumptions": list(ranking.assumptions),
            "cautions": list(ranking.cautions),
            "law": law_record(ranking.law),
        }
    )


def ranking_csv(ranking: Ranking, top: int | None = None) -> str:
    """One row a plant, best first; lists are joined by semicolons."""
    return to_csv(ranking_rows(ranking, top), RANKING_COLUMNS)


def ranking_rows(ranking: Ranking, top: int | None = None) -> list[dict]:
    """One flat record a plant, best first: the columns of the CSV (docs/example.md describes them)."""
    rows = []
    for place, plant in enumerate(ranking.plants[:top], 1):
        record = {"place": place, **_record(plant)}
        takeover, living = record.pop("takeover_percent"), record.pop("establish_percent")
        first, last = record.pop("places")
        record |= {f"takeover_{level}_percent": value for level, value in takeover.items()}
        record |= {f"establish_{level}_percent": value for level, value in living.items()}
        record |= {"place_best": first, "place_worst": last, "notes": "; ".join(record["notes"])}
        rows.append(record)
    return rows


def _record(plant: RankedPlant) -> dict:
    return {
        "plant_id": plant.plant_id,
        "scientific_name": plant.scientific_name,
        "common_name": plant.common_name,
        "score": round(plant.score, 1),
        "fit": plant.fit,
        "site": round(plant.site, 3),
        "stays_put": round(plant.stays_put, 3),
        "use": round(plant.use, 3),
        "stretch": plant.stretch,
        "band": plant.band,
        "depth_in": plant.depth_in,
        "takeover_percent": levels(plant.takeover_percent),
        "establish_percent": levels(plant.establish_percent, digits=1),
        "cap_percent": plant.cap_percent,
        "groups_wanted": plant.groups_wanted,
        "groups_max": None if plant.unlimited else plant.groups_max,
        "groups_planned": plant.groups_planned,
        "chance_over_cap": round(plant.chance_over_cap, 3),
        "chance_over_cap_contained": rounded(plant.chance_over_cap_contained, 3),
        "contained_by": " + ".join(plant.contained_by) or None,
        "contained_groups": plant.contained_groups,
        "chore": plant.chore,
        "state_status": plant.state_status,
        "places": list(plant.places),
        "notes": list(plant.notes),
    }
