"""What giving way buys, for a terminal, a page and as JSON: five plans side by side."""

from __future__ import annotations

from rich.console import Console

from plantpick.planting.giving_way import GivingWay, Step, change_words, promised, strict
from plantpick.planting.plan import COMPARED
from plantpick.ranking.chances import chance_words
from plantpick.show.bill_words import hours, total
from plantpick.show.figures.drawing import INK, LEAF, SMALL, Picture, draw
from plantpick.show.records import levels, rounded
from plantpick.show.terminal import bullets, heading, paragraph, right, show_table, span
from plantpick.units import percent

HEAD = "What giving way buys"
READ = "Cover: per cent of the surface if growth is slow - typical - fast."


def hours_words(low: float, high: float) -> str:
    """Hours of trimming and other chores a year."""
    return "none" if high <= 0 else hours(low, high)


def first_words(told: GivingWay) -> str:
    """Where the limits leave next to no cover: so much, and the change that gives more."""
    top = told.steps[-1].plan
    if not strict(top):
        return ""
    within = f", with up to {top.wishes.plants:,} of them" if top.wishes.plants else ""
    said = f"Under your limits new plants can give only {percent(promised(top))} % of cover by year {top.wishes.year}{within}."
    if told.changes:
        return f"{said} If you {change_words(told.changes[0])}."
    return f"{said} No single limit that we tried gives much more: build brush piles."


def rows(told: GivingWay) -> list[list[str]]:
    """A row a plan: plants, dollars, cover in three years, hours of trimming, and the chance that a plant passes the limit."""
    return [
        [
            f"{step.plan.plants:,}",
            total(step.plan.bill),
            *(span(step.plan.cover[year]) for year in COMPARED),
            hours_words(*step.yearly_hours),
            chance_words(step.plan.chances.any_over_cap),
        ]
        for step in told.steps
    ]


def titles(told: GivingWay) -> tuple[str, ...]:
    """What stands over the columns."""
    cap = told.steps[-1].plan.wishes.cap
    return (
        "plants",
        "cost",
        *(f"year {y}" for y in COMPARED),
        "trimming and chores a year",
        f"some plant passes {cap:g} %",
    )


def others(told: GivingWay) -> list[str]:
    """What else could give way, where that was worked out."""
    return [f"If you {change_words(change)}." for change in told.changes[1:]]


def show_giving_way(out: Console, told: GivingWay) -> None:
    """The table, and what to know first."""
    if not told.steps:
        return
    heading(out, HEAD)
    first = first_words(told)
    if first:
        paragraph(out, first, 2)
    heads = titles(told)
    show_table(out, [right(heads[0]), right(heads[1]), *heads[2:]], rows(told))
    paragraph(out, READ, 2)
    if told.changes[1:]:
        bullets(out, others(told))


def picture(told: GivingWay) -> Picture:
    """Cover in the wishes' year against the plants set, slow to fast."""
    year = told.steps[-1].plan.wishes.year
    plants = [s.plan.plants for s in told.steps]
    cover = [s.plan.cover[year] for s in told.steps]

    def paint(figure):
        axes = figure.add_subplot()
        low, typical, high = zip(*cover)
        axes.fill_between(plants, low, high, facecolor="#cfe0d4", hatch="///", edgecolor="#8fb39c", lw=0)
        axes.plot(plants, typical, color=LEAF, lw=2.2, marker="o", ms=5)
        axes.plot(plants, low, color=INK, lw=1.2, marker="v", ms=4)
        axes.plot(plants, high, color=INK, lw=1.2, ls="-.", marker="^", ms=4)
        top = max(high) * 1.18
        room = 0.06 * top
        at = -room
        for value, word in zip((low[-1], typical[-1], high[-1]), ("slow", "typical", "fast")):
            at = max(value, at + room)
            axes.annotate(
                word,
                (plants[-1], at),
                xytext=(6, 0),
                textcoords="offset points",
                fontsize=SMALL,
                va="center",
            )
        axes.set(
            xlim=(0, max(plants) * 1.04),
            ylim=(0, top),
            xlabel="plants to set",
            ylabel=f"cover by year {year}, % of the surface",
        )

    words = (
        f"Cover by year {year}, per cent of the surface if growth is slow, typical and fast: "
        + "; ".join(
            f"{n:,} plants {', '.join(percent(v) for v in values)}" for n, values in zip(plants, cover)
        )
    )
    return draw("giving-way", 2.8, f"Cover by year {year} against the plants you set", f"{words}.", paint)


def giving_way_records(told: GivingWay) -> dict:
    """For JSON."""
    return {
        "plans": [_record(step) for step in told.steps],
        "wider_limits": [
            {
                "wish": c.key,
                "from": c.before,
                "to": c.after,
                "cover_percent": rounded(promised(c.plan)),
                "plants": c.plan.plants,
                "cost_dollars": [rounded(c.plan.bill.low, 2), rounded(c.plan.bill.high, 2)],
            }
            for c in told.changes
        ],
    }


def _record(step: Step) -> dict:
    return {
        "plants_at_most": step.most,
        "plants": step.plan.plants,
        "cost_dollars": [rounded(step.plan.bill.low, 2), rounded(step.plan.bill.high, 2)],
        "cover_percent": {str(y): levels(step.plan.cover[y]) for y in COMPARED},
        "hours_a_year": [rounded(h, 1) for h in step.yearly_hours],
        "chance_any_over_cap": round(step.plan.chances.any_over_cap, 3),
    }
