"""The planting plan: what to buy, where each group goes, when, and what comes of it."""

from __future__ import annotations

from rich.console import Console

from plantpick.planting.bill import Line
from plantpick.planting.giving_way import GivingWay
from plantpick.planting.instructions import LAYOUT, Sheet
from plantpick.planting.model import Chosen, Plan
from plantpick.planting.places import PlacedGroup
from plantpick.show.bill_words import MORE_WORDS, bill_record, plant_lines, plant_row, priced_words, show_bill
from plantpick.show.figures.sheet import on_tape
from plantpick.show.giving_way import giving_way_records, show_giving_way
from plantpick.show.grows_there import growing_records, show_grows_there
from plantpick.show.law import law_record, show_law
from plantpick.show.plan_offer import (
    doubted_words,
    left_over_lines,
    not_needed_words,
    offer_record,
    refused_lines,
)
from plantpick.show.plan_words import (
    another_run,
    every_year,
    fence_first,
    in_short,
    instead,
    protected_lines,
    standing,
)
from plantpick.show.planting_sheet import layout_problems
from plantpick.show.records import dumps, levels, rounded, to_csv
from plantpick.show.terminal import (
    Column,
    bullets,
    heading,
    paragraph,
    pond_name,
    right,
    show_rows,
    show_table,
    span,
    title,
)
from plantpick.vocabulary import STATES

ONE_PLAN = GivingWay(steps=())  # nothing to lay side by side


def show_plan(
    out: Console,
    plan: Plan,
    sheets: tuple[Sheet, ...],
    order: tuple[str, ...],
    more_time: str = "",
    more: str | None = None,
    told: GivingWay = ONE_PLAN,
) -> None:
    """The summary and the shopping list for a terminal, from 60 columns up, and what may hurt you. `more_time` says how to give the
    solver more time, `more` how to see the rest; without it the rest is there: groups, forecasts, what we assumed, law."""
    pond = plan.pond
    title(
        out,
        f"{pond_name(pond)}: {pond.area_acres:.3g} acres in {STATES[pond.state][0]}, zone {pond.hardiness_zone}",
    )
    for line in in_short(plan, more_time):
        paragraph(out, line)
    heading(out, "Your wishes")
    bullets(out, plan.advice)
    show_grows_there(out, plan.ranking.grows_there, plan.wishes.cap or pond.cap_percent)
    show_giving_way(out, told)
    if not plan.groups:
        _show_offer(out, plan)
        return
    _show_shopping(out, plan)
    chores = every_year(plan)
    if chores:
        heading(out, "Work every year")
        bullets(out, chores)
    if more is None:
        _show_details(out, plan, sheets, order)
    heading(out, "Take care")
    bullets(out, plan.cautions)
    if more is None:
        show_law(out, plan.ranking.law, pond.state)
        return
    heading(out, "What to do next")
    asked = f"Ask your state agency before you buy: {plan.ranking.law.agency}. It has the last word."
    fence = f"{words}." if (words := fence_first(plan)) else ""
    bullets(out, filter(None, (asked, fence, more, another_run(plan))))


def _show_shopping(out: Console, plan: Plan) -> None:
    """What to buy: a plant by its common name, under it the scientific one to order by."""
    heading(out, "What to buy")
    lines = plant_lines(plan.bill)
    show_rows(
        out,
        [right("plants"), Column("plant", ratio=1), right("dollars"), "kept in by"],
        [row for c in plan.chosen for row in _to_buy(c, lines[c.ranked.plant_id])],
        indent=2,
    )
    paragraph(out, priced_words(plan), 2)
    _show_offer(out, plan)
    show_bill(out, plan)
    if protected := protected_lines(plan):
        heading(out, "Protected where they grow wild")
        bullets(out, protected)


def _show_offer(out: Console, plan: Plan) -> None:
    """What whole lots leave over, and what of the offer stays unbought."""
    for head, lines in (
        ("Left over: not for this pond", left_over_lines(plan)),
        ("On the offer, and not to be bought", refused_lines(plan)),
    ):
        if lines:
            heading(out, head)
            bullets(out, lines)
    for words in filter(None, (doubted_words(plan), not_needed_words(plan))):
        out.print()
        paragraph(out, words, 2)


def _show_details(out: Console, plan: Plan, sheets: tuple[Sheet, ...], order: tuple[str, ...]) -> None:
    """What to buy instead, how many will stand, where each group goes, guards, forecasts, the filling pond and what we assumed."""
    heading(out, "If you can't get one (how easily it is bought)")
    bullets(out, (instead(c) for c in plan.chosen))
    heading(out, "How many will stand a year on, with the guards below")
    bullets(out, (standing(c) for c in plan.chosen))
    heading(out, "Groups")
    show_table(
        out,
        ["no.", "plant", "place", right("depth"), right("groups x plants"), "when"],
        (
            [
                s.group.label,
                s.common_name,
                f"{s.group.stretch}, {s.group.band}",
                f"{s.group.depth_in:.0f} in" if s.group.depth_in >= 0 else f"{-s.group.depth_in:.0f} in up",
                f"{s.group.number} x {s.group.each}",
                s.when,
            ]
            for s in sheets
        ),
    )
    paragraph(out, LAYOUT, 2)
    bullets(out, layout_problems(plan, sheets))
    guarded = {s.guard: None for s in sheets if s.guard}
    if guarded:
        heading(out, "Guards")
        bullets(
            out,
            (f"{', '.join(s.group.label for s in sheets if s.guard == guard)}: {guard}" for guard in guarded),
        )
    heading(
        out,
        "With what holds each plant kept up, and nothing else cut: per cent of the surface, low - typical - high",
    )
    years = sorted(plan.cover)
    shares = [
        ("fish cover", plan.cover),
        *([("of it, there already", plan.there)] if any(there[2] for there in plan.there.values()) else []),
        ("under all plants", plan.water),
        *((c.ranked.common_name, c.takeover) for c in plan.chosen),
    ]
    show_table(
        out,
        ["", *(f"year {y}" for y in years)],
        ([name, *(span(by_year[y]) for y in years)] for name, by_year in shares),
    )
    paragraph(
        out,
        f"Your limits after ten years: {plan.wishes.cap:g} % for one plant, {plan.wishes.upper:g} % of the surface for all together.",
        2,
    )
    heading(out, "If the pond is still filling")
    bullets(out, order)
    heading(out, "What we assumed")
    bullets(out, (*plan.assumptions, *plan.ranking.assumptions))


def _to_buy(c: Chosen, line: Line) -> tuple[list[str], ...]:
    _, each, _, dollars = plant_row(line)
    held = " + ".join(c.measures) or "stays put"
    rows = (
        [f"{line.number:,.0f}", c.ranked.common_name, dollars, held],
        ["", c.ranked.scientific_name, f"{each} each", ""],
    )
    return (*rows, ["", f"buy {line.bought:,}: {MORE_WORDS[line.more]}", "", ""]) if line.buys_more else rows


def plan_json(
    plan: Plan, sheets: tuple[Sheet, ...], order: tuple[str, ...], told: GivingWay = ONE_PLAN
) -> str:
    """One JSON object: wishes and outcome, what to buy, groups, forecast by year, and what stands beneath."""
    pond = plan.pond
    return dumps(
        {
            "pond": {
                "name": pond.name,
                "state": pond.state,
                "hardiness_zone": pond.hardiness_zone,
                "area_acres": pond.area_acres,
                "invented": pond.invented,
            },
            "mark": plan.mark,
            "met": plan.met,
            "status": plan.status,
            "gap": rounded(plan.gap, 6),
            "most_cover_percent": rounded(plan.most_cover),
            "candidates": plan.candidates,
            "chances": {
                "cover_reached": round(plan.chances.cover_reached, 3),
                "any_over_cap": round(plan.chances.any_over_cap, 3),
                "over_upper": round(plan.chances.over_upper, 3),
            },
            "plants": plan.plants,
            "cost_dollars": rounded(plan.cost, 2),
            "bill": bill_record(plan.bill),
            "offer": offer_record(plan.offered),
            "wishes": [
                {
                    "wish": w.key,
                    "what": w.name,
                    "asked": rounded(w.asked),
                    "planned": rounded(w.got),
                    "unit": w.unit,
                    "at_most": w.most,
                    "met": w.met,
                    "binds": w.binds,
                    "others_met_at": rounded(w.loosened),
                }
                for w in plan.outcome
            ],
            "advice": list(plan.advice),
            "buy": [
                {
                    "plant_id": c.ranked.plant_id,
                    "scientific_name": c.ranked.scientific_name,
                    "common_name": c.ranked.common_name,
                    "plants": c.plants,
                    "groups": c.groups,
                    "availability": c.ranked.availability,
                    "protection": c.ranked.protection,
                    "notes": list(c.ranked.notes),
                    "instead": [
                        {
                            "plant_id": r.ranked.plant_id,
                            "scientific_name": r.ranked.scientific_name,
                            "common_name": r.ranked.common_name,
                            "availability": r.ranked.availability,
                            "protection": r.ranked.protection,
                            "plants": r.plants,
                            "groups": r.groups,
                            "part_of_places": rounded(r.part, 3),
                            "part_of_cover": rounded(r.cover, 3),
                            "measures": list(r.measures),
                            "places": [
                                {"stretch": stretch, "depth_full_pool_in": depth_in}
                                for stretch, depth_in in r.places
                            ],
                        }
                        for r in c.runners_up
                    ],
                    "living_after_a_year": levels(c.living, digits=0),
                    "price_each": rounded(c.price, 4),
                    "price_known": c.price_known,
                    "price_low": rounded(c.asked.low, 4),
                    "price_high": rounded(c.asked.high, 4),
                    "price_from": c.asked.basis,
                    "measures": list(c.measures),
                    "measures_cost": rounded(c.measure_cost, 2),
                    "cost_dollars": rounded(c.cost, 2),
                    "chore": c.chore,
                    "chance_over_cap": round(c.chance_over_cap, 3),
                    "takeover_percent": {str(y): levels(v) for y, v in sorted(c.takeover.items())},
                }
                for c in plan.chosen
            ],
            "groups": [_group(s) for s in sheets],
            "places": [_place(plan, g) for g in plan.layout.groups],
            "no_place": [
                {
                    "numbers": list(left.numbers),
                    "plant_id": left.plant_id,
                    "stretch": left.stretch,
                    "why": left.why.value,
                    "tape_wanted_ft": rounded(left.short_ft, 1),
                }
                for left in plan.layout.unplaced
            ],
            "cover_there_percent": {str(y): levels(v) for y, v in sorted(plan.there.items())},
            "cover_percent": {str(y): levels(v) for y, v in sorted(plan.cover.items())},
            "water_percent": {str(y): levels(v) for y, v in sorted(plan.water.items())},
            "order_while_filling": list(order),
            "choices": giving_way_records(told),
            "growing": growing_records(plan.ranking.grows_there),
            "assumptions": [*plan.assumptions, *plan.ranking.assumptions],
            "cautions": list(plan.cautions),
            "law": law_record(plan.ranking.law),
        }
    )


def _group(s: Sheet) -> dict:
    g = s.group
    return {
        "numbers": g.label,
        "plant_id": g.plant_id,
        "common_name": s.common_name,
        "scientific_name": s.scientific_name,
        "stretch": g.stretch,
        "band": g.band,
        "depth_full_pool_in": g.depth_in,
        "depth_low_pool_in": rounded(s.depth_low_pool_in),
        "groups": g.number,
        "plants_each": g.each,
        "plants": g.plants,
        "spacing_in": g.spacing_in,
        "form": s.form,
        "how": s.how,
        "guard": s.guard,
        "held_by": s.held_by,
        "plant_from": s.window[0],
        "plant_until": s.window[1],
        "mind": list(s.mind),
    }


def _place(plan: Plan, g: PlacedGroup) -> dict:
    """One group at its place; `xy` is on the outline's plane, None where positions are not known."""
    return {
        "number": g.number,
        "plant_id": g.plant_id,
        "stretch": g.stretch,
        "stake": plan.pond.stakes[g.stretch],
        "tape_from_ft": rounded(g.from_ft, 1),
        "tape_to_ft": rounded(g.to_ft, 1),
        "out_ft": rounded(g.out_ft, 1),
        "depth_full_pool_in": g.depth_in,
        "depth_low_pool_in": rounded(g.depth_in - plan.pond.usual_drop_in) if plan.pond.drop_known else None,
        "plants": [
            {
                "tape_ft": rounded(s.tape_ft, 2),
                "out_ft": rounded(s.out_ft, 2),
                "xy_ft": None if s.xy is None else [rounded(s.xy[0], 2), rounded(s.xy[1], 2)],
            }
            for s in g.spots
        ],
    }


PLAN_COLUMNS = (
    "numbers",
    "plant_id",
    "common_name",
    "scientific_name",
    "stretch",
    "band",
    "depth_full_pool_in",
    "depth_low_pool_in",
    "groups",
    "plants_each",
    "plants",
    "spacing_in",
    "tape",
    "form",
    "how",
    "guard",
    "held_by",
    "plant_from",
    "plant_until",
    "mind",
    "price_each",
    "price_known",
    "cost_dollars",
)


def plan_rows(plan: Plan, sheets: tuple[Sheet, ...]) -> list[dict]:
    """One flat record a group entry, with price and cost."""
    price = {c.ranked.plant_id: c for c in plan.chosen}
    rows = []
    for entry, s in enumerate(sheets):
        c = price[s.group.plant_id]
        rows.append(
            _group(s)
            | {
                "mind": "; ".join(s.mind),
                "tape": "; ".join(f"{g.number} {on_tape(g)}" for g in plan.layout.of_entry(entry)),
                "price_each": rounded(c.price, 4),
                "price_known": c.price_known,
                "cost_dollars": rounded(s.group.plants * (c.price + c.measure_cost / c.plants), 2),
            }
        )
    return rows


def plan_csv(plan: Plan, sheets: tuple[Sheet, ...]) -> str:
    """One row a group entry, with price and cost."""
    return to_csv(plan_rows(plan, sheets), PLAN_COLUMNS)
