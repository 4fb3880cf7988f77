"""A plan's bill in words: what each line comes to, what it rests on, and the hours."""

from __future__ import annotations

import math
from dataclasses import replace

from rich.console import Console

from plantpick.offers.purchase import More
from plantpick.planting.bill import Bill, Hours, Item, Line, Work
from plantpick.planting.model import Plan
from plantpick.planting.prices import Basis, PriceRange
from plantpick.show.records import rounded
from plantpick.show.terminal import Column, heading, paragraph, right, show_rows

ITEM_WORDS = {
    Item.PLANTS: "plants",
    Item.TUBS: "tubs",
    Item.BARRIER: "root barrier",
    Item.MESH: "mesh and wire for guards, by the foot",
    Item.POSTS: "posts for guards",
    Item.SLEEVES: "sleeves round stems",
    Item.FENCE: "a fence to keep the stock out, built",
    Item.SEED: "quick grass seed for bare banks",
    Item.DELIVERY: "delivery",
    Item.LEAST: "up to the seller's least order",
}
MORE_WORDS = {More.LOT: "whole lots only", More.LEAST: "the least order", More.BREAK: "the next price break"}
WORK_WORDS = {Work.PLANTING: "planting", Work.GUARDING: "putting up guards", Work.YEARLY: "every year after"}
FILL_IN = "fill in"
HEAVY = 0.5  # the part from which guards are most of a bill
MOST_NAMED = 3
DAY_HOURS = 8.0
WEEKEND_HOURS = 4 * DAY_HOURS  # two people, two days


def printed(bill: Bill) -> Bill:
    """The bill with its lines as they are printed, in whole dollars, or in cents where an offer asks for cents: they add up to the
    exact total rounded once. What a line is rounded by is carried to the next, so each is within a dollar or so of the truth, and one in
    whole dollars stays as it is. The narrowest ranges come first in that, so that a line with one price keeps one price, and no low
    end comes out over its high end.
    """
    exact = any(
        line.basis is Basis.OFFER and line.low is not None and abs(line.low - round(line.low)) > 0.004
        for line in bill.lines
    )
    scale = 100.0 if exact else 1.0
    lines = list(bill.lines)
    order = sorted(range(len(lines)), key=lambda n: (lines[n].high or 0.0) - (lines[n].low or 0.0))
    high = _carried([lines[n].high for n in order], scale)
    low = _carried([lines[n].low for n in order], scale, high)
    for n, least, most in zip(order, low, high, strict=True):
        lines[n] = replace(lines[n], low=least, high=most)
    return replace(bill, lines=tuple(lines))


def _carried(
    values: list[float | None], scale: float, most: list[float | None] | None = None
) -> list[float | None]:
    """Values rounded to `scale` parts of one so that the sum of any first few is their exact sum, rounded; none over its `most`, which
    the next ones make up for."""
    out: list[float | None] = []
    so_far, told = 0.0, 0
    for value, top in zip(values, most or [None] * len(values), strict=True):
        if value is None:
            out.append(None)
            continue
        so_far += value
        here = math.floor(so_far * scale + 0.5 + 1e-9) - told
        if top is not None:
            here = min(here, round(top * scale))
        told += here
        out.append(here / scale)
    return out


def total(bill: Bill) -> str:
    """Dollars in all: the sum of the lines as they are printed, which is the exact total rounded once."""
    rounded_off = printed(bill)
    return dollars(rounded_off.low, rounded_off.high)


def dollars(low: float | None, high: float | None, cents: bool = False) -> str:
    """Dollars from low to high, or a place to fill in. Cents are shown where there are any."""
    if low is None or high is None:
        return f"$____ ({FILL_IN})"
    cents = cents or any(abs(v - round(v)) > 0.004 for v in (low, high))
    first, last = (f"${v:,.2f}" if cents else f"${v:,.0f}" for v in (low, high))
    return first if first == last else f"{first} to {last}"


def hours(low: float, high: float) -> str:
    """Hours from low to high."""
    first, last = round(low), max(round(high), 1)
    if first < 1:
        return f"up to {last} h" if last > 1 else "an hour at most"
    return f"{first} h" if first == last else f"{first} to {last} h"


def rests_on(price: PriceRange | None) -> str:
    """What a price rests on, in a few words."""
    if price is None:
        return "only you can say"
    return {
        Basis.OFFER: "the offer",
        Basis.LISTED: f"lists, {price.year}",
        Basis.PUBLISHED: "published",
        Basis.JUDGEMENT: "our judgement",
        Basis.FILL_IN: "only you can say",
    }[price.basis]


def published_words(bill: Bill) -> str:
    """From when published prices are; empty where none is used."""
    years = list(
        dict.fromkeys(
            year
            for line in bill.lines
            if line.price and line.price.basis is Basis.PUBLISHED
            for year in line.price.year.split(", ")
        )
    )
    return (
        f"Published: what agencies, crews and lists of plants sold paid or asked for such things ({', '.join(years)}; costs.csv names "
        "each). Expect to pay more today. Lists: what was asked for this very plant."
        if years
        else ""
    )


def each(line: Line) -> str:
    """What one costs."""
    return dollars(line.price.low, line.price.high, cents=True) if line.price else ""


def to_buy(line: Line) -> str:
    """How many to buy where the seller makes you buy more than you need; else how many you need."""
    if line.buys_more:
        return f"{line.number:,.0f}; buy {line.bought:,} ({MORE_WORDS[line.more]})"
    return f"{line.number:,.0f}"


def plant_row(line: Line) -> tuple[str, str, str, str]:
    """One plant's line: how many to buy, dollars each, what they rest on, and dollars in all."""
    return to_buy(line), each(line), rests_on(line.price), dollars(line.low, line.high)


def plant_lines(bill: Bill) -> dict[str, Line]:
    """The lines on plants as they are printed, by plant_id."""
    return {line.plant_id: line for line in printed(bill).lines if line.item is Item.PLANTS}


def bill_rows(bill: Bill) -> list[tuple[str, str, str, str, str]]:
    """The bill line by line, all plants in one: what, how many, dollars each, in all, and what it rests on."""
    bill = printed(bill)
    plants = [line for line in bill.lines if line.item is Item.PLANTS]
    rows = [
        ("plants, as above", f"{sum(p.number for p in plants):,.0f}", "", dollars(*bill.of(Item.PLANTS)), "")
    ]
    for line in bill.lines:
        if line.item is Item.PLANTS:
            continue
        number = f"{line.number:,.0f} {line.unit}".strip() if line.unit else ""
        rows.append(
            (ITEM_WORDS[line.item], number, each(line), dollars(line.low, line.high), rests_on(line.price))
        )
    return rows


def in_all(bill: Bill) -> str:
    """The sum, and that some of it is yours to fill in."""
    return total(bill) + (", and what you fill in" if bill.to_fill_in else "")


def hours_in_short(bill: Bill) -> str:
    """The hours to plant and guard it, in weekends of two people, and those of every year."""
    low, high = bill.time(Work.PLANTING, Work.GUARDING)
    doing = "plant it and put up the guards" if any(bill.time(Work.GUARDING)) else "plant it"
    yearly = bill.time(Work.YEARLY)
    each_year = f", then {hours(*yearly)} a year" if any(yearly) else ""
    return f"Work: {hours(low, high)} to {doing}{_days(high)}{each_year}."


def _days(high: float) -> str:
    """So many hours as days or weekends, in brackets; nothing for what is done in a few hours."""
    if high <= DAY_HOURS / 2:
        return ""
    if high <= 2 * DAY_HOURS:
        return f" (a day for {'one' if high <= DAY_HOURS else 'two people'})"
    weekends = math.ceil(high / WEEKEND_HOURS - 1e-9)
    return " (a weekend for two people)" if weekends == 1 else f" (up to {weekends} weekends for two people)"


def work_words(bill: Bill) -> str:
    """The hours of work, kind by kind, and what the rates rest on."""
    told = [
        f"{hours(*bill.time(work))} {words}" for work, words in WORK_WORDS.items() if any(bill.time(work))
    ]
    rate = any(h.item for h in bill.hours)
    return (
        f"Work, for one person: {'; '.join(told)}."
        + (
            " The rates for banks are published (U.S. Army Corps of Engineers 1997: 20 to 40 plants an hour in "
            "pots and plugs, 10 to 25 shrubs and trees);"
            if rate
            else ""
        )
        + (" the others are our judgement." if rate else " The rates are our judgement.")
    )


def said(bill: Bill) -> tuple[str, ...]:
    """What to know beneath the bill."""
    guards = guards_words(bill) if bill.enclosures or bill.rings else ""
    return tuple(words for words in (published_words(bill), work_words(bill), guards) if words)


def show_bill(out: Console, plan: Plan) -> None:
    """What the plan comes to, for a terminal."""
    bill = plan.bill
    whole = "total, before the lines you fill in" if bill.to_fill_in else "total"
    heading(out, "What it comes to")
    show_rows(
        out,
        [Column("for", ratio=1), right("dollars")],
        [*(_bill_line(*row) for row in bill_rows(bill)), (whole, total(bill))],
        indent=2,
        headed=False,
    )
    for words in filter(None, (*said(bill), guards_weigh(plan))):
        paragraph(out, words, 2)


def _bill_line(what: str, number: str, each: str, in_all: str, basis: str) -> tuple[str, str]:
    """One line of the bill for a terminal: what, how many at how much and what that rests on; and what it comes to."""
    at = f"{number} at {each}" if number and each else number or each
    told = ", ".join(filter(None, (at, basis)))
    return f"{what}: {told}" if told else what, in_all


def priced_words(plan: Plan) -> str:
    """What the prices of the plants rest on: of most in general, of the rest by name."""
    kinds: dict[str, list[str]] = {}
    for c in plan.chosen:
        kinds.setdefault(rests_on(plant_lines(plan.bill)[c.ranked.plant_id].price), []).append(
            c.ranked.common_name
        )
    most, *others = sorted(kinds, key=lambda kind: -len(kinds[kind]))
    rest = "; ".join(f"{kind} for {', '.join(kinds[kind])}" for kind in others)
    return f"What the prices rest on: {most}" + (f", but {rest}." if rest else ".")


def guards_words(bill: Bill) -> str:
    """How many cages and rings there are, and round how many groups."""
    groups, around = sum(len(e.numbers) for e in bill.enclosures), len(bill.enclosures)
    stems = sum(ring.stems for ring in bill.rings)
    told = []
    if around:
        told.append(
            f"{around} cage{'s' if around > 1 else ''} or rings of wire round {groups} group{'s' if groups > 1 else ''}: neighbors share "
            "one where that takes less mesh"
        )
    if stems:
        told.append(f"{stems} ring{'s' if stems > 1 else ''} round single stems")
    return f"{'; '.join(told)}. Two seasons on, take the cages off and use the mesh again."


def guards_weigh(plan: Plan) -> str:
    """Where guards are most of the bill: how much, for which plants, and what to leave out to save it. Empty elsewhere."""
    bill = plan.bill
    low, high = sum(g.low for g in bill.guards), sum(g.high for g in bill.guards)
    if low + high <= HEAVY * (bill.low + bill.high):
        return ""
    names = {c.ranked.plant_id: c.ranked.common_name for c in plan.chosen}
    heavy, so_far = [], 0.0
    for guard in bill.guards:
        heavy.append(f"{names[guard.plant_id]} {dollars(round(guard.low), round(guard.high))}")
        so_far += guard.high
        if so_far > HEAVY * high or len(heavy) == MOST_NAMED:
            break
    one = len(heavy) == 1
    return (
        f"Guards are most of the bill: {dollars(round(low), round(high))} of it. {'The one that costs most is' if one else 'Those that cost most are'} for "
        f"{', '.join(heavy)}. To save that, leave {'it' if one else 'one of them'} out and plan again: what these animals don't eat needs "
        "no guard on the bank."
    )


def bill_record(bill: Bill) -> dict:
    """The bill for JSON."""
    return {
        "low_dollars": rounded(bill.low, 2),
        "high_dollars": rounded(bill.high, 2),
        "lines": [_line(line) for line in bill.lines],
        "hours": [_hours(h) for h in bill.hours],
        "guards_by_plant": [
            {"plant_id": g.plant_id, "low_dollars": rounded(g.low, 2), "high_dollars": rounded(g.high, 2)}
            for g in bill.guards
        ],
        "guards": [
            {
                "kind": e.kind,
                "stretch": e.stretch,
                "groups": list(e.numbers),
                "along_ft": rounded(e.along_ft, 1),
                "across_ft": rounded(e.across_ft, 1),
                "height_ft": rounded(e.height_ft, 1),
                "stems": e.stems or None,
                "mesh_ft": rounded(e.mesh_ft, 1),
                "posts": e.posts,
            }
            for e in (*bill.enclosures, *bill.rings)
        ],
    }


def _line(line: Line) -> dict:
    price = line.price
    return {
        "item": line.item,
        "plant_id": line.plant_id or None,
        "number": rounded(line.number, 1),
        "unit": line.unit,
        "buy": line.bought or None,
        "buy_more_for": line.more or None,
        "each_low_dollars": rounded(price.low, 4) if price else None,
        "each_high_dollars": rounded(price.high, 4) if price else None,
        "low_dollars": rounded(line.low, 2),
        "high_dollars": rounded(line.high, 2),
        "rests_on": line.basis,
        "year": (price.year or None) if price else None,
    }


def _hours(one: Hours) -> dict:
    return {
        "work": one.work,
        "low_hours": rounded(one.low, 1),
        "high_hours": rounded(one.high, 1),
        "rate": "published" if one.item else "judgement",
    }
