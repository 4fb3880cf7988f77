"""The report to take outside: what to buy, where each group goes, when, and what comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from plantpick.catalogue.evidence import strongest
from plantpick.catalogue.plants import Catalogue
from plantpick.planting import instructions
from plantpick.planting.giving_way import GivingWay
from plantpick.planting.instructions import Sheet
from plantpick.planting.model import Plan
from plantpick.planting.year_card import year_card
from plantpick.ranking.what_moves import in_words, what_moves
from plantpick.show import giving_way
from plantpick.show.bill_words import bill_rows, guards_weigh, in_all, plant_lines, plant_row, said
from plantpick.show.figures.plan import plan_pictures
from plantpick.show.figures.sheet import sheet_pictures
from plantpick.show.grows_there import there_words
from plantpick.show.law import law_lines
from plantpick.show.page import render
from plantpick.show.plan import ONE_PLAN
from plantpick.show.plan_offer import doubted_words, left_over_lines, refused_lines
from plantpick.show.plan_words import fence_first, in_short, instead, standing
from plantpick.show.planting_sheet import sheet_pages
from plantpick.vocabulary import STATES

Filled = Mapping[str, object]  # what one part of the page is filled with

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


def plan_report(
    plan: Plan, catalogue: Catalogue, made: date, more_time: str = "", told: GivingWay = ONE_PLAN
) -> str:
    """The whole page as text. `made` is the day on it; planting windows are for the next spring or what is left of this year.

    Each part of the page is a file under templates/report, filled by the function of its name.
    """
    year = instructions.planting_year(plan.pond, made)
    sheets = instructions.sheets(plan, catalogue, made)
    spans = instructions.calendar(plan, catalogue, made)
    pictures = {p.name: p for p in (*sheet_pictures(plan), *plan_pictures(plan, spans, year))}
    return render(
        "report.html",
        plan=plan,
        pond=plan.pond,
        state=STATES[plan.pond.state][0],
        made=made,
        year=year,
        pictures=pictures,
        **_summary(plan, catalogue, more_time),
        **_giving_way(told),
        **_shopping(plan, catalogue, sheets),
        **_sheets(plan, sheets),
        **_year_card(plan, catalogue, sheets, year, made),
        **_appendix(plan, catalogue),
    )


def _summary(plan: Plan, catalogue: Catalogue, more_time: str) -> Filled:
    return {
        "short": in_short(plan, more_time),
        "there": [there_words(k, plan.pond.cap_percent) for k in plan.ranking.grows_there],
        "moves": [in_words(move) for move in what_moves(plan.ranking, catalogue)],
    }


def _giving_way(told: GivingWay) -> Filled:
    if not told.steps:
        return {"compared": None}
    return {
        "compared": {
            "first": giving_way.first_words(told),
            "titles": giving_way.titles(told),
            "rows": giving_way.rows(told),
            "others": giving_way.others(told),
            "read": giving_way.READ,
            "picture": giving_way.picture(told),
        }
    }


def _shopping(plan: Plan, catalogue: Catalogue, sheets: tuple[Sheet, ...]) -> Filled:
    lines = plant_lines(plan.bill)
    return {
        "forms": {g.plant_id: s.form for g, s in zip(plan.groups, sheets)},
        "shop": [(c, *plant_row(lines[c.ranked.plant_id])) for c in plan.chosen],
        "left_over": left_over_lines(plan),
        "refused": refused_lines(plan),
        "doubted": doubted_words(plan),
        "bill_rows": bill_rows(plan.bill),
        "bill_in_all": in_all(plan.bill),
        "bill_words": [words for words in (*said(plan.bill), guards_weigh(plan)) if words],
        "fence_first": fence_first(plan),
        "instead": [instead(c) for c in plan.chosen],
        "standing": [standing(c) for c in plan.chosen],
        "questions": instructions.questions(plan, catalogue),
    }


def _sheets(plan: Plan, sheets: tuple[Sheet, ...]) -> Filled:
    ways: dict[str, list[str]] = {}
    for sheet in sheets:
        names = ways.setdefault(sheet.how, [])
        if sheet.common_name not in names:
            names.append(sheet.common_name)
    return {
        "sheets": sheets,
        "ways": ways,
        "pages": sheet_pages(plan, sheets),
        "layout": instructions.LAYOUT,
    }


def _year_card(plan: Plan, catalogue: Catalogue, sheets: tuple[Sheet, ...], year: int, made: date) -> Filled:
    return {
        "card": year_card(plan, catalogue, sheets, year, made),
        "planted_from": min(s.window[0] for s in sheets) if sheets else made,
        "order": instructions.order_of_work(plan, catalogue),
        "watch": instructions.to_watch(plan, catalogue),
    }


def _appendix(plan: Plan, catalogue: Catalogue) -> Filled:
    return {
        "years": sorted(plan.cover),
        "notes": {r.plant_id: r.notes for r in plan.ranking.plants},
        "law": law_lines(plan.ranking.law, plan.pond.state),
        "traced": _traced(plan, catalogue),
        "methods": METHODS,
    }


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
