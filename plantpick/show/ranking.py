"""The plants that fit a pond, place by place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.table import Table
from rich.text import Text

from plantpick.ranking.by_place import PlaceList, by_place, place_of
from plantpick.ranking.chances import chance_words
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import NEXT_DOOR, REASONS
from plantpick.show.grows_there import growing_records, show_grows_there
from plantpick.show.law import law_lines, law_record
from plantpick.show.records import LEVELS, dumps, levels, rounded, to_csv
from plantpick.show.terminal import bullets, capfirst, heading, paragraph, percent, pond_name, title
from plantpick.vocabulary import STATES

BOUGHT_WORDS = {
    "common": "easy to buy",
    "seldom": "seldom sold",
    "not seen": "on no list we read: ask for it",
    "rare": "grown to order only",
}


@dataclass(frozen=True, kw_only=True)
class RankingOptions:
    """How the command line asks for more; what is empty is not offered."""

    more: str = ""  # to see more plants in each list
    names: str = ""  # to see the plants that were ruled out
    neighbors: str = ""  # to let in plants native next door
    next_steps: tuple[str, ...] = ()  # what to do next, a line each


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
    """How many groups the pond can take, left alone or only if something holds it, and how many to plan on."""
    if plant.contained_by:
        room = f"room for {plant.contained_groups} if held"
    else:
        room = "no limit worth naming" if plant.unlimited else f"room for {plant.groups_max}"
    return f"{room}, plan on {plant.groups_planned}"


def depth_words(depth_in: float, drop_in: float) -> str:
    """How deep a plant stands at full pool, and when the pond is down; depths in inches."""
    if depth_in < 0:
        return f"{-depth_in:.0f} in above the water"
    low = depth_in - drop_in
    if drop_in <= 0 or depth_in == 0:
        return f"{depth_in:.0f} in deep"
    return f"{depth_in:.0f} in deep, {'dry' if low <= 0 else f'{low:.0f} in'} when the pond is down"


def stretch_words(plant: RankedPlant, stretches: Sequence[str]) -> str:
    """The stretches where it has a good place as deep as its best one, the shortest way."""
    good = [s for s in stretches if any(g[:2] == (s, plant.band) for g in plant.good_places)]
    good = good or [plant.stretch]
    left = [s for s in stretches if s not in good]
    if not left and len(good) > 1:
        return "all round"
    return f"all but {left[0]}" if len(left) == 1 and len(good) > 2 else ", ".join(good)


def show_ranking(
    out: Console,
    ranking: Ranking,
    top: int | None = None,
    names_of_ruled_out: bool = False,
    options: RankingOptions = RankingOptions(),
) -> None:
    """The lists place by place, what was ruled out, what we assumed, cautions and law, and what to do next.

    `top` is how many plants each list shows; without it a few of each.
    """
    pond = ranking.pond
    title(
        out,
        f"{pond_name(pond)}: {pond.area_acres:.4g} acres in {STATES[pond.state][0]}, zone {pond.hardiness_zone}",
    )
    paragraph(
        out,
        f"You want: {', '.join(pond.purposes)}. Your limit: {pond.cap_percent:g} % of the water for one plant after ten "
        f"years that nobody cuts it, passed with {pond.risk_percent:g} % chance at most. A group is a row of 7 plants (3 of a "
        "shrub, 1 tree).",
    )
    lists = by_place(ranking.plants)
    if not lists:
        heading(out, "No plant in the catalogue fits.")
    shown = [plant for listed in lists for plant in _show_list(out, listed, ranking, top)]
    if len(shown) < len(ranking.plants) and options.more:
        out.print()
        paragraph(out, f"{options.more} shows more of each list.")
    _show_ruled_out(out, ranking, names_of_ruled_out, options)
    show_grows_there(out, ranking.grows_there, ranking.pond.cap_percent)
    heading(out, "What we assumed")
    paragraph(out, " ".join(ranking.assumptions), 2)
    heading(out, "Take care")
    paragraph(out, " ".join([*_loose(shown), *ranking.cautions]), 2)
    heading(out, "Law")
    paragraph(out, " ".join(law_lines(ranking.law, pond.state)), 2)
    if shown and options.next_steps:
        heading(out, "What to do next")
        bullets(out, options.next_steps)


def _show_list(out: Console, listed: PlaceList, ranking: Ranking, top: int | None) -> tuple[RankedPlant, ...]:
    """The best plants of one place, a paragraph each; hands back those that it showed."""
    pond, shown = ranking.pond, listed.best(top)
    left = len(listed.plants) - len(shown)
    heading(out, capfirst(listed.place) + (f" ({left} more fit)" if left else ""))
    paragraph(out, listed.order)
    stretches = [s.name for s in pond.stretches]
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=1)
    grid.add_column()
    for plant in shown:
        line = Text(plant.common_name, style="bold")
        line.append(f" ({plant.scientific_name})", style="not bold italic")
        where = f"{depth_words(plant.depth_in, pond.usual_drop_in)}; {stretch_words(plant, stretches)}"
        facts = (
            where,
            f"over your limit: {chance_of_passing(plant)}",
            groups_words(plant),
            BOUGHT_WORDS.get(plant.availability, BOUGHT_WORDS["not seen"]),
            *plant.short_notes,
        )
        line.append("".join(f" {capfirst(fact)}." for fact in facts), style="not bold")
        grid.add_row("-", line)
    out.print(grid)
    return shown


def _loose(shown: Sequence[RankedPlant]) -> list[str]:
    """What breaks loose, once for all plants shown of which the same is true."""
    said: dict[str, list[str]] = {}
    for plant in shown:
        if plant.loose_warning:
            said.setdefault(plant.loose_warning, []).append(plant.common_name)
    return [
        f"{capfirst(', '.join(names))}: {'each ' if len(names) > 1 else 'it '}{words}."
        for words, names in said.items()
    ]


def _show_ruled_out(out: Console, ranking: Ranking, names: bool, options: RankingOptions) -> None:
    if not ranking.ruled_out:
        return
    ask = f" ({options.names} names them)" if options.names and not names else ""
    heading(out, f"Ruled out: {len(ranking.ruled_out)}{ask}")
    count = Counter(r.code for r in ranking.ruled_out)
    asks: dict[str, str] = {NEXT_DOOR: f" ({options.neighbors} lets them in)"} if options.neighbors else {}
    told = {
        code: f"{count[code]} {words}{asks.get(code, '')}" for code, words in REASONS.items() if count[code]
    }
    if not names:
        paragraph(out, f"{'; '.join(told.values())}.", 2)
        return
    for code, line in told.items():
        paragraph(out, line, 2)
        bullets(
            out,
            (f"{r.common_name} ({r.plant_id}): {r.reason}" for r in ranking.ruled_out if r.code == code),
        )


RANKING_COLUMNS = (
    "place",
    "plant_id",
    "scientific_name",
    "common_name",
    "place_kind",
    "availability",
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
    """One JSON object: pond, places (the short lists), plants, ruled_out, and what stands beneath the table."""
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
            "places": [_place_record(listed, top) for listed in by_place(ranking.plants)],
            "plants": [_record(plant) for plant in ranking.plants[:top]],
            "ruled_out": [{"plant_id": r.plant_id, "reason": r.reason} for r in ranking.ruled_out],
            "firm": ranking.firm,
            "growing": growing_records(ranking.grows_there),
            "assumptions": list(ranking.assumptions),
            "cautions": list(ranking.cautions),
            "law": law_record(ranking.law),
        }
    )


def _place_record(listed: PlaceList, top: int | None) -> dict:
    shown = listed.best(top)
    return {
        "place": str(listed.place),
        "order": listed.order,
        "plants": [plant.plant_id for plant in shown],
        "more": len(listed.plants) - len(shown),
    }


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
        "place_kind": str(place_of(plant.growth_form, plant.depth_in)),
        "availability": plant.availability or None,
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
