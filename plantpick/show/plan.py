"""The plan for a terminal, as JSON and as CSV."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from plantpick.planting.instructions import Sheet
from plantpick.planting.model import Plan
from plantpick.show.plan_report import in_short
from plantpick.show.records import dumps, law_record, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, percent, show_law
from plantpick.vocabulary import STATES


def _table(*columns: tuple[str, str]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name, side in columns:
        table.add_column(name, justify=side, overflow="fold")
    return table


def show_plan(out: Console, plan: Plan, sheets: tuple[Sheet, ...], order: tuple[str, ...]) -> None:
    """Everything for a terminal, from 60 columns up."""
    pond = plan.pond
    mark = " (an invented pond)" if pond.invented else ""
    out.print(
        Text(
            f"{pond.name}{mark}: {pond.area_acres:.3g} acres in {STATES[pond.state][0]}, zone {pond.hardiness_zone}",
            style="bold",
        )
    )
    for line in in_short(plan):
        paragraph(out, line)
    heading(out, "The wishes")
    bullets(out, plan.advice)
    heading(out, "What to buy")
    table = _table(
        ("plants", "right"), ("plant", "left"), ("each", "right"), ("cost", "right"), ("held by", "left")
    )
    for c in plan.chosen:
        star = "" if c.price_known else "*"
        table.add_row(
            f"{c.plants:,}",
            Text(f"{c.ranked.common_name} ({c.ranked.scientific_name})"),
            f"${c.price:.2f}{star}",
            f"${c.cost:,.0f}",
            " + ".join(c.measures) or "itself",
        )
    table.add_row(f"{plan.plants:,}", "in all", "", f"${plan.cost:,.0f}", "")
    out.print(Padding(table, (0, 0, 0, 2)))
    if any(not c.price_known for c in plan.chosen):
        paragraph(out, "* an assumed round price, for comparing plans", 2)
    heading(out, "Groups")
    table = _table(
        ("no.", "left"),
        ("plant", "left"),
        ("place", "left"),
        ("depth", "right"),
        ("groups x plants", "right"),
        ("when", "left"),
    )
    for s in sheets:
        g = s.group
        table.add_row(
            g.label,
            Text(s.common_name),
            Text(f"{g.stretch}, {g.band}"),
            f"{g.depth_in:.0f} in",
            f"{g.number} x {g.each}",
            s.when,
        )
    out.print(Padding(table, (0, 0, 0, 2)))
    guarded = {s.guard: None for s in sheets if s.guard}
    if guarded:
        heading(out, "Guards")
        bullets(
            out,
            (f"{', '.join(s.group.label for s in sheets if s.guard == guard)}: {guard}" for guard in guarded),
        )
    chores = [f"{c.ranked.common_name}: {c.chore}" for c in plan.chosen if c.chore]
    if chores:
        heading(out, "Work every year")
        bullets(out, chores)
    heading(out, "If nobody cuts anything: per cent of the surface, low - typical - high")
    years = sorted(plan.cover)
    table = _table(("", "left"), *((f"year {y}", "left") for y in years))
    table.add_row("fish cover", *(_span(plan.cover[y]) for y in years))
    table.add_row("water under all", *(_span(plan.water[y]) for y in years))
    for c in plan.chosen:
        table.add_row(Text(c.ranked.common_name), *(_span(c.takeover[y]) for y in years))
    out.print(Padding(table, (0, 0, 0, 2)))
    paragraph(
        out,
        f"Cap for one plant {plan.wishes.cap:g} %, for all together {plan.wishes.upper:g} % of the water, after ten years.",
        2,
    )
    heading(out, "If the pond is still filling")
    bullets(out, order)
    heading(out, "Taken for granted")
    bullets(out, (*plan.assumptions, *plan.ranking.assumptions))
    heading(out, "Take care")
    bullets(out, plan.ranking.cautions)
    show_law(out, plan.ranking.law, pond.state)


def _span(values) -> str:
    return " - ".join(percent(v) for v in values)


def plan_json(plan: Plan, sheets: tuple[Sheet, ...], order: tuple[str, ...]) -> str:
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
            "met": plan.met,
            "status": plan.status,
            "gap": _n(plan.gap, 6),
            "most_cover_percent": _n(plan.most_cover),
            "candidates": plan.candidates,
            "plants": plan.plants,
            "cost_dollars": _n(plan.cost, 2),
            "wishes": [
                {
                    "wish": w.key,
                    "what": w.name,
                    "asked": _n(w.asked),
                    "planned": _n(w.got),
                    "unit": w.unit,
                    "at_most": w.most,
                    "met": w.met,
                    "binds": w.binds,
                    "others_met_at": _n(w.loosened),
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
                    "price_each": _n(c.price, 4),
                    "price_known": c.price_known,
                    "measures": list(c.measures),
                    "measures_cost": _n(c.measure_cost, 2),
                    "cost_dollars": _n(c.cost, 2),
                    "chore": c.chore,
                    "takeover_percent": {str(y): _levels(v) for y, v in sorted(c.takeover.items())},
                }
                for c in plan.chosen
            ],
            "groups": [_group(s) for s in sheets],
            "cover_percent": {str(y): _levels(v) for y, v in sorted(plan.cover.items())},
            "water_percent": {str(y): _levels(v) for y, v in sorted(plan.water.items())},
            "order_while_filling": list(order),
            "assumptions": [*plan.assumptions, *plan.ranking.assumptions],
            "cautions": list(plan.ranking.cautions),
            "law": law_record(plan.ranking.law),
        }
    )


def _levels(values) -> dict[str, float]:
    return {name: _n(v) for name, v in zip(("low", "typical", "high"), values)}


def _n(value, digits: int = 3):
    return None if value is None or value != value else round(float(value), digits)


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
        "depth_low_pool_in": _n(s.depth_low_pool_in),
        "groups": g.number,
        "plants_each": g.each,
        "plants": g.plants,
        "spacing_in": g.spacing_in,
        "one_every_ft": _n(g.every_ft, 1),
        "form": s.form,
        "how": s.how,
        "guard": s.guard,
        "held_by": s.held_by,
        "plant_from": s.window[0].isoformat(),
        "plant_until": s.window[1].isoformat(),
        "mind": list(s.mind),
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
    "one_every_ft",
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
    for s in sheets:
        c = price[s.group.plant_id]
        rows.append(
            _group(s)
            | {
                "mind": "; ".join(s.mind),
                "price_each": _n(c.price, 4),
                "price_known": c.price_known,
                "cost_dollars": _n(s.group.plants * (c.price + c.measure_cost / c.plants), 2),
            }
        )
    return rows


def plan_csv(plan: Plan, sheets: tuple[Sheet, ...]) -> str:
    """One row a group entry, with price and cost."""
    return to_csv(plan_rows(plan, sheets), PLAN_COLUMNS)
