"""The report to take outside: what to buy, where each group goes, when, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from plantpick.catalogue.evidence import strongest
from plantpick.catalogue.plants import Catalogue
from plantpick.planting import instructions
from plantpick.planting.giving_way import GivingWay
from plantpick.planting.instructions import Sheet
from plantpick.planting.model import Plan
from plantpick.planting.year_card import year_card
from plantpick.pond.keep_clear import KIND_WORDS
from plantpick.ranking.what_moves import in_words, what_moves
from plantpick.show import giving_way
from plantpick.show.bill_words import (
    bill_rows,
    guards_weigh,
    in_all,
    plant_lines,
    plant_row,
    priced_words,
    said,
)
from plantpick.show.figures.plan import plan_pictures
from plantpick.show.figures.sheet import sheet_pictures
from plantpick.show.grows_there import there_words
from plantpick.show.law import law_lines
from plantpick.show.page import render
from plantpick.show.plan import ONE_PLAN
from plantpick.show.plan_offer import doubted_words, left_over_lines, not_needed_words, refused_lines
from plantpick.show.plan_words import (
    HOW_BOUGHT,
    alive,
    another_run,
    every_year,
    fence_first,
    in_short,
    instead,
    protected_lines,
)
from plantpick.show.planting_sheet import sheet_pages
from plantpick.show.terminal import capfirst
from plantpick.vocabulary import STATES

IN_TUBS = "in tubs, never in the open bottom: the line on tubs on their sheet says how"
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
    "We mark each number as published, practice, judgement or memory. Nobody has measured most spread rates, so their ranges are wide. "
    "The page on a screen has the source of each, plant by plant, and what keeps each in place.",
)


def plan_report(
    plan: Plan, catalogue: Catalogue, made: date, more_time: str = "", told: GivingWay = ONE_PLAN
) -> str:
    """The whole page as text. `made` is the day on it; planting windows are for the next spring or what is left of this year.

    Each part of the page is a file under templates/report, filled by the function of its name.
    """
    year = instructions.planting_year(plan.pond, made)
    head = {"plan": plan, "pond": plan.pond, "state": STATES[plan.pond.state][0], "made": made, "year": year}
    if not plan.groups:
        law = law_lines(plan.ranking.law, plan.pond.state)
        return render(
            "report_empty.html", **head, **_summary(plan, catalogue, more_time), **_giving_way(told), law=law
        )
    sheets = instructions.sheets(plan, catalogue, made)
    spans = instructions.calendar(plan, catalogue, made)
    pictures = {p.name: p for p in (*sheet_pictures(plan), *plan_pictures(plan, spans, year))}
    return render(
        "report.html",
        **head,
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
        "another_run": another_run(plan),
        "fence_first": fence_first(plan) if plan.groups else "",
        "every_year": every_year(plan),
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
        "not_needed": not_needed_words(plan),
        "bill_rows": bill_rows(plan.bill),
        "bill_in_all": in_all(plan.bill),
        "bill_words": [words for words in (*said(plan.bill), guards_weigh(plan)) if words],
        "protected": protected_lines(plan),
        "instead": [instead(c) for c in plan.chosen],
        "alive": alive,
        "priced": priced_words(plan),
        "how_bought": HOW_BOUGHT,
        "mind": _mind(sheets),
        "questions": instructions.questions(plan, catalogue),
    }


def _mind(sheets: tuple[Sheet, ...]) -> list[str]:
    """What to mind of single plants, each thing once with the plants that it holds for."""
    told: dict[str, list[str]] = {}
    for sheet in sheets:
        for words in sheet.mind:
            names = told.setdefault(words, [])
            if sheet.common_name not in names:
                names.append(sheet.common_name)
    return [f"{capfirst(words)}: {', '.join(names)}." for words, names in told.items()]


def _sheets(plan: Plan, sheets: tuple[Sheet, ...]) -> Filled:
    held = {c.ranked.plant_id: c.measures for c in plan.chosen}
    ways: dict[str, list[str]] = {}
    for sheet in sheets:
        names = ways.setdefault(IN_TUBS if "tub" in held[sheet.group.plant_id] else sheet.how, [])
        if sheet.common_name not in names:
            names.append(sheet.common_name)
    return {
        "sheets": sheets,
        "ways": ways,
        "pages": sheet_pages(plan, sheets),
        "kind_words": KIND_WORDS,
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
        "told_years": sorted({plan.wishes.year, max(plan.cover)}),
        "notes": {r.plant_id: r.notes for r in plan.ranking.plants},
        "law": law_lines(plan.ranking.law, plan.pond.state),
        "traced": _traced(plan, catalogue),
        "methods": METHODS,
    }


def _traced(plan: Plan, catalogue: Catalogue) -> list[tuple[list[str], list[tuple[str, str, str]]]]:
    """Where the numbers of the plants come from: what, basis and source of each trait, and the names of those alike in all of it."""
    found = strongest(catalogue, [c.ranked.plant_id for c in plan.chosen], tuple(TRACED))
    alike: dict[tuple[tuple[str, str, str], ...], list[str]] = {}
    for c in plan.chosen:
        if c.ranked.plant_id in found:
            rows = _by_source(found[c.ranked.plant_id])
            known = (
                rows if any(basis in ("published", "practice") for _, basis, _ in rows) else _unsourced(rows)
            )
            alike.setdefault(known, []).append(c.ranked.common_name)
    return [(names, list(rows)) for rows, names in alike.items()]


def _by_source(found: Iterable[tuple[str, str, str]]) -> tuple[tuple[str, str, str], ...]:
    """The traits of one plant, those of one source together."""
    joined: dict[tuple[str, str], list[str]] = {}
    for trait, basis, source in found:
        joined.setdefault((basis, source), []).append(TRACED[trait])
    return tuple((", ".join(traits), basis, source) for (basis, source), traits in joined.items())


def _unsourced(rows: tuple[tuple[str, str, str], ...]) -> tuple[tuple[str, str, str], ...]:
    """The same without sources, which a judgement has none of."""
    return (("all of it", "judgement", ""),) if rows else ()
