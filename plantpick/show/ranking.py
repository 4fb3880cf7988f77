"""The plants that fit a pond, place by place."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from rich.console import Console
from rich.text import Text

from plantpick.catalogue.availability import bought
from plantpick.ranking.by_place import PlaceList, by_place, place_of
from plantpick.ranking.cautions import assumed_in_short, cautions_in_short
from plantpick.ranking.chances import chance_figures
from plantpick.ranking.often_asked import SHOWN, NotHere
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import NEXT_DOOR, REASONS
from plantpick.ranking.what_moves import Move, in_short
from plantpick.show.grows_there import growing_records, show_grows_there
from plantpick.show.law import law_in_short, law_record
from plantpick.show.records import LEVELS, dumps, levels, rounded, to_csv
from plantpick.show.terminal import bullets, capfirst, heading, paragraph, pond_name, title
from plantpick.units import percent
from plantpick.vocabulary import STATES

COLUMNS = ("in deep", "where", "over limit", "room", "plan", "to buy")
NAME_WIDTH, WIDTHS = 25, (8, 15, 10, 4, 4, 8)  # letters; "where" takes what a wider terminal has to spare
ROW_GAP, NARROWEST = 1, 8
HARD_SPACE = "\u00a0"  # no line is broken there
TIE = "="  # before a plant that nothing we know sets behind the one above it


@dataclass(frozen=True, kw_only=True)
class RankingOptions:
    """How the command line asks for more; what is empty is not offered."""

    more: str = ""  # to see more plants in each list
    names: str = ""  # to see the plants that were ruled out
    neighbors: str = ""  # to let in plants native next door
    asked: str = ""  # to see every plant often asked for that is not for this pond
    next_steps: tuple[str, ...] = ()  # what to do next, a line each


@dataclass(frozen=True, kw_only=True)
class Beside:
    """What comes with the lists: plants owners ask for that don't suit this pond, and what to measure first."""

    not_here: tuple[NotHere, ...] = ()
    moves: tuple[Move, ...] = ()


def takeover_words(plant: RankedPlant) -> str:
    """What it would hold after ten untended years, low to high."""
    low, _, high = plant.takeover_percent
    if high < 0.05:
        return "under 0.1 %"
    return f"{percent(low)} to {percent(high)} %"


def chance_of_passing(plant: RankedPlant) -> str:
    """The chance that it passes the limit as we advise to keep it: held where something has to hold it."""
    held = plant.chance_over_cap_contained
    return chance_figures(plant.chance_over_cap if held is None else held)


def room_words(plant: RankedPlant) -> str:
    """How many groups the pond can take, left alone or, where something has to hold it, with that."""
    room = plant.contained_groups if plant.contained_by else plant.groups_max
    return "any" if plant.unlimited and not plant.contained_by else f"{room}"


def depth_words(depth_in: float, drop_in: float) -> str:
    """How deep a plant stands at full pool, and in brackets when the pond is down; inches."""
    if depth_in < 0:
        return f"{-depth_in:.0f} above"
    low = depth_in - drop_in
    if drop_in <= 0 or depth_in == 0:
        return f"{depth_in:.0f}"
    return f"{depth_in:.0f} ({'dry' if low <= 0 else f'{low:.0f}'})"


def stretch_words(plant: RankedPlant, stretches: Sequence[str]) -> str:
    """The stretches where it has a good place as deep as its best one, the shortest way."""
    good = [s for s in stretches if any(g[:2] == (s, plant.band) for g in plant.good_places)]
    good = good or [plant.stretch]
    left = [s for s in stretches if s not in good]
    if not left and len(good) > 1:
        return "all round"
    return f"all but {left[0]}" if len(left) == 1 and len(good) > 2 else ", ".join(good)


def under_the_plant(plant: RankedPlant) -> str:
    """Its scientific name, what stops it, and what to mind."""
    facts = [plant.against_words] if plant.against_words else []
    facts += [plant.stops.in_short] if plant.stops and not plant.contained_by else []
    if plant.loose_warning:
        facts.append("drifts")
    if plant.contained_by:
        facts.append(f"{chance_figures(plant.chance_over_cap)} if you do nothing")
    first = "; ".join([plant.scientific_name, *facts])
    return f"{first}. {capfirst('; '.join(plant.short_notes))}." if plant.short_notes else f"{first}."


def show_ranking(
    out: Console,
    ranking: Ranking,
    top: int | None = None,
    names_of_ruled_out: bool = False,
    options: RankingOptions = RankingOptions(),
    beside: Beside = Beside(),
    every_asked: bool = False,
) -> None:
    """The lists place by place, what is not for this pond, what was ruled out, cautions and law, and what to do next.

    `top` is how many plants each list shows; without it a few of each.
    """
    pond = ranking.pond
    title(
        out,
        f"{pond_name(pond)}: {pond.area_acres:.4g} acre{'' if pond.area_acres == 1 else 's'} in {STATES[pond.state][0]}, zone {pond.hardiness_zone}",
    )
    paragraph(
        out,
        f"You want: {', '.join(pond.purposes)}. Your limit: {pond.cap_percent:g} % of the surface for one plant after ten "
        f"years that nobody cuts it, passed with {pond.risk_percent:g} % chance at most.",
    )
    if assumed := assumed_in_short(pond):
        paragraph(out, assumed)
    lists = by_place(ranking.plants)
    if not lists:
        heading(out, "No plant in the catalogue fits.")
    else:
        paragraph(out, _how_to_read(pond.usual_drop_in))
    shown = [plant for listed in lists for plant in _show_list(out, listed, ranking, top)]
    show_grows_there(out, ranking.grows_there, ranking.pond.cap_percent)
    _show_not_here(out, beside.not_here, every_asked, options)
    _show_ruled_out(out, ranking, names_of_ruled_out, options, len(shown))
    heading(out, "Take care")
    cautions = cautions_in_short(
        pond,
        {word for plant in shown for word in plant.cautions},
        drifts=any(plant.loose_warning for plant in shown),
        eaten=any(plant.eaten_by for plant in shown),
    )
    paragraph(out, " ".join(cautions), 2)
    paragraph(out, law_in_short(ranking.law, pond.state), 2)
    steps = ((in_short(beside.moves),) if beside.moves else ()) + options.next_steps
    if shown and steps:
        heading(out, "What to do next")
        bullets(out, steps)


def _how_to_read(drop_in: float) -> str:
    """What the columns say, once for all lists."""
    low = f" (when the pond is {drop_in:.0f} in down)" if drop_in > 0 else ""
    return (
        f"In deep: inches of water at full pool{low}. Over limit: the chance. Room, plan: groups (7 plants; 3 of a shrub; 1 "
        "tree) that the pond can take, and to plan on. To buy: ask = on no list we read. Stops: where deep water ends its "
        f"advance. First what needs no work from you; the easiest to buy first; {TIE} ties with the one above."
    )


def _show_list(out: Console, listed: PlaceList, ranking: Ranking, top: int | None) -> tuple[RankedPlant, ...]:
    """The best plants of one place, a row each and what to know of it under the row; hands back those that it showed."""
    pond, shown = ranking.pond, listed.best(top)
    left = len(listed.plants) - len(shown)
    stretches = [s.name for s in pond.stretches]
    widths = _widths(out.width)
    held = bool(shown) and all(plant.contained_by for plant in listed.plants)
    tied = {plant.plant_id for tie in listed.ties(top) for plant in tie[1:]}
    out.print()
    head = f"{capfirst(listed.place)}{f' (+{left})' if left else ''}"
    out.print(Text("\n".join(_row((head, *COLUMNS), widths)), style="bold"))
    if held:
        paragraph(out, "Nothing here keeps your limit by itself: each has to be held.", 2)
    for plant in shown:
        cells = (
            f"{TIE} {plant.common_name}" if plant.plant_id in tied else plant.common_name,
            depth_words(plant.depth_in, pond.usual_drop_in),
            stretch_words(plant, stretches),
            chance_of_passing(plant),
            room_words(plant),
            f"{plant.groups_planned}",
            bought(plant.availability),
        )
        out.print(Text("\n".join(_row(cells, widths))))
        paragraph(out, under_the_plant(plant), 2)
    return shown


def _widths(width: int) -> tuple[int, ...]:
    """The columns on a terminal so wide: a narrow one folds names and stretches, a wide one gives them room."""
    fixed = sum(WIDTHS) - WIDTHS[1] + len(WIDTHS) * ROW_GAP
    room = max(width - fixed, 2 * NARROWEST)
    name = max(min(max(NAME_WIDTH, room // 2), room - WIDTHS[1]), min(NAME_WIDTH, room - NARROWEST))
    return (name, WIDTHS[0], room - name, *WIDTHS[2:])


def _row(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    """One row in as many lines as its longest cell takes; numbers stand right."""
    glued = (cell.replace(f"{TIE} ", f"{TIE}{HARD_SPACE}") for cell in cells)
    folded = [textwrap.wrap(cell, width) or [""] for cell, width in zip(glued, widths)]
    lines = []
    for i in range(max(map(len, folded))):
        parts = [part[i] if i < len(part) else "" for part in folded]
        row = (f"{p:>{w}}" if at in (4, 5) else f"{p:<{w}}" for at, (p, w) in enumerate(zip(parts, widths)))
        lines.append((" " * ROW_GAP).join(row).rstrip().replace(HARD_SPACE, " "))
    return lines


def _show_not_here(out: Console, not_here: Sequence[NotHere], every: bool, options: RankingOptions) -> None:
    """Plants often asked for, with the reason and a stand-in; those with the same reason share a line."""
    if not not_here:
        return
    some = not_here if every else not_here[:SHOWN]
    left = len(not_here) - len(some)
    more = f" ({left} more: {options.asked})" if left and options.asked else ""
    heading(out, f"Often asked for, not for this pond{more}")
    said: dict[str, list[NotHere]] = {}
    for plant in some:
        said.setdefault(plant.in_short, []).append(plant)
    for words, alike in said.items():
        paragraph(out, f"{capfirst(words)}: {'; '.join(map(_with_stand_in, alike))}.", 2)


def _with_stand_in(plant: NotHere) -> str:
    """Its name, the chance where that is the reason, and what to set instead."""
    chance = f" ({chance_figures(plant.chance)})" if plant.chance is not None else ""
    rather = f", instead {plant.instead.common_name}" if plant.instead else ""
    return f"{plant.common_name}{chance}{rather}"


def _show_ruled_out(out: Console, ranking: Ranking, names: bool, options: RankingOptions, shown: int) -> None:
    """How many fit that were not shown, and how many were ruled out why, or all of these by name."""
    if not names:
        out.print()
        left = len(ranking.plants) - shown
        more = f"{left} more fit ({options.more}). " if left and options.more else ""
        count = Counter(r.code for r in ranking.ruled_out)
        near = count[NEXT_DOOR]
        lets = (
            f", {near} of them native next door ({options.neighbors})" if near and options.neighbors else ""
        )
        ask = f" ({options.names} says why)" if options.names else ""
        if more or ranking.ruled_out:
            paragraph(out, f"{more}{len(ranking.ruled_out)} are ruled out{ask}{lets}.")
        return
    if not ranking.ruled_out:
        return
    heading(out, f"Ruled out: {len(ranking.ruled_out)}")
    count = Counter(r.code for r in ranking.ruled_out)
    asks: dict[str, str] = {NEXT_DOOR: f" ({options.neighbors} lets them in)"} if options.neighbors else {}
    told = {
        code: f"{count[code]} {words}{asks.get(code, '')}" for code, words in REASONS.items() if count[code]
    }
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
    "place_in_list",
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
    "code",
    "ask_first",
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
    **dict.fromkeys(
        ("place", "place_in_list", "groups_wanted", "groups_planned", "place_best", "place_worst"), "int64"
    ),
    **dict.fromkeys(("chance_over_cap", "chance_over_cap_contained"), "float64"),
    **dict.fromkeys(("groups_max", "contained_groups"), "Int64"),
    **dict.fromkeys(("score", "site", "stays_put", "use", "depth_in", "cap_percent"), "float64"),
    **{f"{what}_{level}_percent": "float64" for what in ("takeover", "establish") for level in LEVELS},
}


def ranking_json(ranking: Ranking, top: int | None = None, beside: Beside = Beside()) -> str:
    """One JSON object: pond, places (the short lists, `top` says how long), every plant, ruled_out, and what stands beneath."""
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
            "plants": [_record(plant, at) for plant, at in _with_places(ranking)],
            "ruled_out": [
                {
                    "plant_id": r.plant_id,
                    "code": r.answer_code,
                    "reason": r.reason,
                    "chance_over_cap": rounded(r.chance, 3),
                    "good_for": list(r.good_for),
                }
                for r in ranking.ruled_out
            ],
            "often_asked": [
                {
                    "plant_id": p.plant_id,
                    "common_name": p.common_name,
                    "reason": p.reason,
                    "instead": p.instead.plant_id if p.instead else None,
                }
                for p in beside.not_here
            ],
            "measure_first": [asdict(move) for move in beside.moves],
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
        "ties": [[plant.plant_id for plant in tie] for tie in listed.ties(top)],
        "more": len(listed.plants) - len(shown),
    }


def ranking_csv(ranking: Ranking) -> str:
    """One row a plant that fits, best first; lists are joined by semicolons."""
    return to_csv(ranking_rows(ranking), RANKING_COLUMNS)


def ranking_rows(ranking: Ranking, top: int | None = None) -> list[dict]:
    """One flat record a plant, best first: the columns of the CSV (docs/example.md describes them).

    `top` keeps so many rows.
    """
    rows = []
    for place, (plant, at) in enumerate(_with_places(ranking)[:top], 1):
        record = {"place": place, **_record(plant, at)}
        takeover, living = record.pop("takeover_percent"), record.pop("establish_percent")
        first, last = record.pop("places")
        record |= {f"takeover_{level}_percent": value for level, value in takeover.items()}
        record |= {f"establish_{level}_percent": value for level, value in living.items()}
        record |= {"place_best": first, "place_worst": last, "notes": "; ".join(record["notes"])}
        rows.append(record)
    return rows


def _with_places(ranking: Ranking) -> list[tuple[RankedPlant, int]]:
    """Every plant, best score first, with its place in the list of its kind of place."""
    at = {p.plant_id: n for listed in by_place(ranking.plants) for n, p in enumerate(listed.plants, 1)}
    return [(plant, at[plant.plant_id]) for plant in ranking.plants]


def _record(plant: RankedPlant, place_in_list: int) -> dict:
    return {
        "plant_id": plant.plant_id,
        "scientific_name": plant.scientific_name,
        "common_name": plant.common_name,
        "place_kind": str(place_of(plant.growth_form, plant.depth_in)),
        "place_in_list": place_in_list,
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
        "code": plant.answer_code,
        "ask_first": plant.ask_first or None,
        "places": list(plant.places),
        "notes": list(plant.notes),
    }
