"""A nursery's offer as it is read at a counter, and as records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console

from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.counter import Row, at_the_counter, seller_questions
from plantpick.offers.verdict import ASK, LEAVE, NO_PLANT
from plantpick.ranking.containment import in_words
from plantpick.show import offer_words as words
from plantpick.show.law import law_lines, show_law
from plantpick.show.records import dumps, rounded, to_csv
from plantpick.show.terminal import Column, bullets, heading, paragraph, pond_name, right, show_rows, title

WIDE = 100  # columns from which a plant stands there with both its names

OFFER_COLUMNS = (
    "line",
    "text",
    "candidates",
    "sure",
    "verdict",
    "code",
    "reason",
    "form",
    "size",
    "price_read",
    "currency",
    "unit",
    "count",
    "sold_out",
    "price_each",
    "least_order",
    "groups",
    "group_size",
    "groups_max",
    "need",
    "buy",
    "cost",
    "chance_over_cap",
    "chance_over_cap_contained",
    "contained_by",
    "good_for",
    "fit",
    "stretch",
    "depth_in",
    "questions",
)
OFFER_TYPES = {
    "line": "int64",
    "sure": "bool",
    "sold_out": "bool",
    "price_each": "float64",
    "cost": "float64",
    **dict.fromkeys(("chance_over_cap", "chance_over_cap_contained", "depth_in"), "float64"),
    **dict.fromkeys(("count", "least_order", "groups", "groups_max", "group_size", "need", "buy"), "Int64"),
}


def _record(line: OfferLine) -> dict:
    priced, ranked = bool(line.price_read), line.ranked
    return {
        "line": line.line,
        "text": line.text,
        "candidates": list(line.candidates),
        "sure": line.sure,
        "verdict": line.verdict,
        "code": line.code,
        "reason": line.reason,
        "form": str(line.form),
        "size": line.size,
        "price_read": line.price_read,
        "currency": line.currency if priced else "",
        "unit": str(line.unit or ""),
        "count": line.count,
        "sold_out": line.sold_out,
        "price_each": line.price_each,
        "least_order": line.least_order if priced else None,
        "groups": line.groups or None,
        "group_size": line.group if line.groups else None,
        "groups_max": None if ranked is None or ranked.unlimited else ranked.groups_max,
        "need": line.need or None
        if line.verdict != LEAVE
        else None,  # nothing of what is left is to be bought
        "buy": line.buy or None if line.verdict != LEAVE else None,
        "cost": line.cost if line.verdict != LEAVE else None,
        "chance_over_cap": rounded(line.chance_over_cap),
        "chance_over_cap_contained": rounded(line.chance_over_cap_contained),
        "contained_by": list(line.contained_by),
        "good_for": list(line.good_for),
        "fit": ranked.fit if ranked else None,
        "stretch": ranked.stretch if ranked else None,
        "depth_in": ranked.depth_in if ranked else None,
        "questions": list(line.questions),
    }


def offer_json(offer: Offer) -> str:
    """One JSON object: `lines`, one for every line of the offer, and what stands beneath them."""
    return dumps(
        {
            "lines": [_record(line) for line in offer.lines],
            "counts": offer.counts,
            "total": offer.total,
            "other_totals": dict(offer.other_totals),
            "least_spend": offer.least_spend.amount if offer.least_spend else None,
            "priced": offer.priced,
            "offered_again": offer.again,
            "unpriced": offer.unpriced,
            "questions": [words.question(asked) for asked in seller_questions(offer)],
            "on_arrival": list(offer.arrival),
            "cautions": list(words.cautions(offer)),
            "law": law_lines(offer.law, offer.pond.state),
        }
    )


def offer_csv(offer: Offer) -> str:
    """One row for every line; candidates and questions are joined by semicolons."""
    return to_csv(offer_rows(offer), OFFER_COLUMNS)


def offer_rows(offer: Offer) -> list[dict]:
    """One flat record a line: the columns of the CSV."""
    return [
        {
            **_record(line),
            "candidates": "; ".join(line.candidates),
            "contained_by": " + ".join(line.contained_by),
            "good_for": "; ".join(line.good_for),
            "questions": " ".join(line.questions),
        }
        for line in offer.lines
    ]


@dataclass(frozen=True, kw_only=True)
class OfferOptions:
    """What the command line was asked for, and how it asks for more; what is empty is not offered."""

    why: bool = False  # the long reasons, all cautions and the law in full
    every_line: bool = False  # the lines that name no plant as well
    need: int | None = None  # plants of each, where the owner said
    ask_why: str = ""


def show_offer(out: Console, offer: Offer, options: OfferOptions = OfferOptions()) -> None:
    """Read at a counter: how many of each verdict, what we could not read, then the most doubtful first and what to buy last.

    Questions for the seller stand at the end, each once, and two lines on the law's date and on what to do on arrival.
    """
    named = sum(line.names_a_plant for line in offer.lines)
    title(
        out,
        f"Offer for {pond_name(offer.pond)}: {len(offer.lines):,} line{'' if len(offer.lines) == 1 else 's'}, {named:,} name{'s' if named == 1 else ''} a plant",
    )
    if not named:
        paragraph(out, words.NO_PLANTS)
    else:
        _show_verdicts(out, offer, options)
    if options.every_line:
        rest = [line for line in offer.lines if line.verdict == NO_PLANT]
        heading(out, f"Lines that name no plant: {len(rest):,}")
        show_rows(
            out,
            [right("line"), Column("what it says", ratio=3), Column("what we took it for", ratio=2)],
            [[words.place(line), line.text.strip()[: words.LONGEST_LINE], line.why] for line in rest],
        )
    questions = seller_questions(offer)
    if named:
        heading(out, f"Ask the seller: {len(questions)}")
        _sentences(out, [words.question(asked) for asked in questions])
    if options.why:
        heading(out, "When it arrives")
        bullets(out, offer.arrival)
        heading(out, "Take care")
        bullets(out, words.cautions(offer))
        show_law(out, offer.law, offer.pond.state)
        return
    if offer.dangers:
        heading(out, "Take care")
        bullets(out, offer.dangers)
    out.print()
    paragraph(out, words.law_in_short(offer.law, offer.pond.state))
    paragraph(out, words.ARRIVAL)


def _sentences(out: Console, lines: Sequence[str]) -> None:
    """Sentences one under the other, each with a hyphen."""
    show_rows(out, ["", Column("", ratio=1)], [["-", line] for line in lines], headed=False)


def _show_verdicts(out: Console, offer: Offer, options: OfferOptions) -> None:
    counter = at_the_counter(offer)
    more = f" Long reasons: {options.ask_why}." if options.ask_why and not options.why else ""
    paragraph(out, f"{words.counts(offer, _size(counter.unread))}.{more}")
    _show_doubted(out, "We could not read", counter.unread, options)
    _show_doubted(out, "Leave it", counter.leave, options)
    _show_doubted(out, "Ask first", counter.ask, options)
    _show_bought(out, "Buy and contain", counter.contain, options)
    _show_bought(out, "Buy", counter.buy, options)
    _show_not_needed(out, offer, counter.not_needed, options)
    if told := words.totals(offer, options.need):
        out.print()
        paragraph(out, " ".join(told))
    if claims := words.claims(offer.lines):
        heading(out, "What the seller says")
        _sentences(out, claims)


def _size(rows: Sequence[Row]) -> int:
    return sum(len(row.lines) for row in rows)


def _show_doubted(out: Console, head: str, rows: Sequence[Row], options: OfferOptions) -> None:
    """What is not bought yet: a row a plant with the reason for leaving it, or with the question to ask."""
    if not rows:
        return
    heading(out, f"{head}: {_size(rows):,}")
    asks = rows[0].first.verdict == ASK
    wide = out.width >= WIDE
    columns = [
        right("line"),
        Column("plant", ratio=3 if wide else 2),
        *([Column("form"), right("each")] if wide and asks else []),
        Column("ask" if asks else "why", ratio=2 if wide else 3),
    ]
    cells = [
        [
            words.place(row.first),
            _name(row, wide),
            *([words.stock(row.first), words.each(row.first)] if wide and asks else []),
            words.in_short(row.first),
        ]
        for row in rows
    ]
    show_rows(out, columns, cells)
    _show_reasons(out, rows, options)


def _show_not_needed(out: Console, offer: Offer, rows: Sequence[Row], options: OfferOptions) -> None:
    """What nothing stands against, and does nothing that was asked: a row a plant with what it is good for."""
    if not rows:
        return
    heading(out, f"Not needed: {_size(rows):,}")
    paragraph(out, f"{words.not_needed(offer)} {words.NOT_NEEDED_NOTE}", 2)
    columns = [right("line"), Column("plant", ratio=2), Column("good for", ratio=2)]
    show_rows(
        out,
        columns,
        [[words.place(r.first), _name(r, out.width >= WIDE), words.good_for(r.first)] for r in rows],
    )
    _show_reasons(out, rows, options)


def _show_bought(out: Console, head: str, rows: Sequence[Row], options: OfferOptions) -> None:
    """What may be bought: a row a line with its prices, how many are the least, and how many the pond takes."""
    if not rows:
        return
    wide = out.width >= WIDE
    heading(out, f"{head}: {_size(rows):,}")
    columns = [
        right("line"),
        Column("plant", ratio=5),
        Column("form", ratio=2 if wide else 3),
        right("each"),
        right("cost"),
        right("least"),
        right("plan on"),
    ]
    cells = [
        [
            words.place(row.first),
            _name(row, wide),
            words.stock(row.first),
            words.each(row.first),
            words.money(row.first.cost, row.first.currency),
            words.least(row.first),
            words.plan_on(row.first.groups, row.first.group, short=True),
        ]
        for row in rows
    ]
    held: dict[int, str] = {}
    for i, row in enumerate(rows):
        measures = row.first.contained_by
        if measures and (not i or measures != rows[i - 1].first.contained_by):
            held[i] = f"Held by {in_words(measures)} (loose: the chance of passing your limit):"
    show_rows(out, columns, cells, over=held)
    _show_reasons(out, rows, options)


def _name(row: Row, wide: bool) -> str:
    name = words.plant_name(row.first, both=wide)
    return (
        name
        + words.cultivars(row.lines, name)
        + words.loose(row.first)
        + words.only_fair(row.first)
        + words.beside(row.lines)
    )


def _show_reasons(out: Console, rows: Sequence[Row], options: OfferOptions) -> None:
    """The long reasons, where they are asked for: what the seller wrote, and why."""
    if options.why:
        lines = [line for row in rows for line in row.lines]
        told = [
            [words.place(line), f"{line.text.strip()[: words.LONGEST_LINE]}: {line.reason}"] for line in lines
        ]
        out.print()
        show_rows(out, [right(""), Column("", ratio=1)], told, headed=False, indent=2)
