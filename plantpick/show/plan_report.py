"""The report to take outside: what to buy, where each group goes, when, and what comes of it."""

from __future__ import annotations

from datetime import date

from plantpick.catalogue.evidence import strongest
from plantpick.catalogue.plants import Catalogue
from plantpick.planting import instructions
from plantpick.planting.model import Plan
from plantpick.ranking.what_moves import in_words, what_moves
from plantpick.show.figures.where import plan_pictures
from plantpick.show.law import law_lines
from plantpick.show.page import render
from plantpick.show.plan_words import chances_words, in_short, standing
from plantpick.vocabulary import STATES

# Traits behind the plan whose origin the report names, in an owner's words.
TRACED = {
    "depth_best_min_in": "depth it likes",
    "advance_depth_in": "depth that stops it",
    "spread_ft_yr": "how fast its edge moves",
    "jump": "how it jumps",
    "spacing_in": "spacing",
}
METHODS = (
    "Cover for fish: vegetation 15 to 30 % best for bluegill, FWS/OBS-82/10.8 (U.S. Fish and Wildlife Service 1982).",
    "Site index: Habitat Suitability Index models, ESM 103 (U.S. Fish and Wildlife Service 1981).",
    "Depth of submersed growth from the Secchi reading: Caffrey, Hoyer and Canfield 2007, Lake and Reservoir Management 23.",
    "Random cover: Johnson and Mehl 1939, Avrami 1939-41, Kolmogorov 1937, in the form for a finite number of groups.",
    "Cages: Doyle, Smart, Guest and Bickel 1997, Lake and Reservoir Management 13:259-269.",
    "A quarter to a third at a time when a stand is killed: SRAC-361 (Masser, Murphy and Shelton).",
    "Grass and nothing woody on dams: FEMA 534 (2005); state rules differ.",
)


def plan_report(plan: Plan, catalogue: Catalogue, made: date, more_time: str = "") -> str:
    """The whole page as text. `made` is the day on it; planting windows are for the next spring or what is left of this year."""
    year = instructions.planting_year(plan.pond, made)
    spans = instructions.calendar(plan, catalogue, year)
    pictures = {p.name: p for p in plan_pictures(plan, spans, year)}
    sheets = instructions.sheets(plan, catalogue, year)
    ways: dict[str, list[str]] = {}
    for sheet in sheets:
        names = ways.setdefault(sheet.how, [])
        if sheet.common_name not in names:
            names.append(sheet.common_name)
    return render(
        "report.html",
        plan=plan,
        pond=plan.pond,
        state=STATES[plan.pond.state][0],
        made=made,
        year=year,
        short=in_short(plan, more_time),
        places=[p for n, p in pictures.items() if n.startswith(("section", "strip"))],
        pictures=pictures,
        sheets=sheets,
        ways=ways,
        order=instructions.order_of_work(plan, catalogue),
        watch=instructions.to_watch(plan, catalogue),
        questions=instructions.questions(plan, catalogue),
        forms={g.plant_id: s.form for g, s in zip(plan.groups, sheets)},
        years=sorted(plan.cover),
        layout=instructions.LAYOUT,
        chances=chances_words(plan),
        standing=[standing(c) for c in plan.chosen],
        moves=[in_words(move) for move in what_moves(plan.pond, catalogue)],
        law=law_lines(plan.ranking.law, plan.pond.state),
        traced=_traced(plan, catalogue),
        methods=METHODS,
        notes={r.plant_id: r.notes for r in plan.ranking.plants},
    )


def _traced(plan: Plan, catalogue: Catalogue) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """Where the numbers of each plant come from: its name, and what, basis and source of each trait."""
    found = strongest(catalogue, [c.ranked.plant_id for c in plan.chosen], tuple(TRACED))
    return [
        (
            c.ranked.common_name,
            [(TRACED[trait], basis, source) for trait, basis, source in found[c.ranked.plant_id]],
        )
        for c in plan.chosen
        if c.ranked.plant_id in found
    ]
