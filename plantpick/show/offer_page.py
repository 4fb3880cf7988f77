"""The offer as a page to carry: for a phone at the counter, a screen, and paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.counter import Row, at_the_counter, seller_questions
from plantpick.offers.purchase import DOLLARS
from plantpick.offers.verdict import NO_PLANT
from plantpick.ranking.containment import in_words
from plantpick.show import offer_words as words
from plantpick.show.law import law_lines
from plantpick.show.offer import OfferOptions
from plantpick.show.page import render
from plantpick.vocabulary import STATES


@dataclass(frozen=True, kw_only=True)
class PageRow:
    """One row of a table on the page, in words. `lines` is how many lines of the offer it stands for; `reasons` are what the
    seller wrote and why, for each of them."""

    place: str
    name: str
    scientific: str
    beside: str
    short: str
    stock: str
    each: str
    cost: str
    of: str
    least: str
    takes: str
    lines: int
    reasons: tuple[tuple[str, str], ...]


def offer_page(offer: Offer, made: date, options: OfferOptions = OfferOptions()) -> str:
    """The whole page as text. `made` is the day on it."""
    counter = at_the_counter(offer)
    unread = sum(len(row.lines) for row in counter.unread)
    named = sum(line.names_a_plant for line in offer.lines)
    short = (
        [f"{words.counts(offer, unread)}.", *words.totals(offer, options.need)]
        if named
        else [words.NO_PLANTS]
    )
    claims = words.claims(offer.lines)
    questions = [words.question(asked) for asked in seller_questions(offer)] if named else []
    rest = [
        f"{words.place(line)}: {line.text.strip()[: words.LONGEST_LINE]} ({line.why})"
        for line in offer.lines
        if line.verdict == NO_PLANT
    ]
    parts = (
        ("unread", "We could not read", counter.unread),
        ("leave", "Leave it", counter.leave),
        ("ask-first", "Ask first", counter.ask),
        ("contain", "Buy and contain", counter.contain),
        ("buy", "Buy", counter.buy),
        ("not-needed", "Not needed", counter.not_needed),
        ("claims", "What the seller says", claims),
        ("ask", "Ask the seller", questions),
        ("arrival", "When it arrives", offer.arrival),
        ("law", "Law", (offer.law,)),
        ("rest", "Lines that name no plant", rest if options.every_line else ()),
    )
    return render(
        "offer.html",
        pond=offer.pond,
        state=STATES[offer.pond.state][0],
        made=made,
        why=options.why,
        lines=len(offer.lines),
        named=named,
        leaves_something=offer.leaves_something,
        short=short,
        nav=[(part, head) for part, head, content in parts if content],
        unread=_rows(counter.unread),
        leave=_rows(counter.leave),
        ask=_rows(counter.ask),
        contain=[
            (in_words(measures), _rows(tuple(rows)))
            for measures, rows in groupby(counter.contain, key=lambda row: row.first.contained_by)
        ],
        contain_count=f"{len(counter.contain):,}",
        buy=[("", _rows(counter.buy))] if counter.buy else [],
        buy_count=f"{len(counter.buy):,}",
        not_needed=[replace(_row(row), short=words.good_for(row.first)) for row in counter.not_needed],
        not_needed_note=f"{words.not_needed(offer)} {words.NOT_NEEDED_NOTE}",
        rest=rest if options.every_line else [],
        claims=claims,
        questions=questions,
        arrival=offer.arrival,
        cautions=words.cautions(offer),
        law=law_lines(offer.law, offer.pond.state),
    )


def _rows(rows: Sequence[Row]) -> list[PageRow]:
    return [_row(row) for row in rows]


def _row(row: Row) -> PageRow:
    line = row.first
    name, scientific = words.names(line)
    return PageRow(
        place=words.place(line),
        name=name,
        scientific=scientific,
        beside=words.cultivars(row.lines, name)
        + words.loose(line)
        + words.only_fair(line)
        + words.beside(row.lines),
        short=words.in_short(line),
        stock=words.stock(line),
        each=words.each(line) if line.price_question or line.sold_out else _priced(line, line.price_each),
        cost=_priced(line, line.cost),
        of=f"{line.buy:,} for" if line.buy else "in all",
        least=words.least(line),
        takes=words.plan_on(line.groups, line.group),
        lines=len(row.lines),
        reasons=tuple((" ".join(each.text.split())[: words.LONGEST_LINE], each.reason) for each in row.lines),
    )


def _priced(line: OfferLine, value: float | None) -> str:
    """An amount with its sign, dollars too: on a page it stands without the column's head."""
    told = words.money(value, line.currency)
    return f"${told}" if told and line.currency == DOLLARS else told
