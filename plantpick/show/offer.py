"""A nursery's offer: line by line, then questions, what to do on arrival, totals."""

from __future__ import annotations

from rich.console import Console

from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.verdict import BUY, CONTAIN, NO_PLANT, OfferVerdict
from plantpick.show.law import law_lines, show_law
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import Column, bullets, heading, paragraph, right, show_table, title

CAUTIONS = (
    "Law changes: these lists have dates, and your state agency has the last word.",
    "A picture or a label is not proof of a plant: have doubtful stock identified before it goes in.",
    "Never move plants, water or mud from one water to another.",
)


OFFER_COLUMNS = ("line", "text", "candidates", "sure", "verdict", "reason", "price_each", "questions")


def _record(line: OfferLine) -> dict:
    return {
        "line": line.line,
        "text": line.text,
        "candidates": list(line.candidates),
        "sure": line.sure,
        "verdict": line.verdict,
        "reason": line.reason,
        "price_each": line.price_each,
        "questions": list(line.questions),
    }


def offer_json(offer: Offer) -> str:
    """One JSON object: `lines`, one for every line of the offer, and what stands beneath them."""
    return dumps(
        {
            "lines": [_record(line) for line in offer.lines],
            "counts": offer.counts,
            "total": offer.total,
            "priced": offer.priced,
            "unpriced": offer.unpriced,
            "questions": list(offer.questions),
            "on_arrival": list(offer.arrival),
            "law": law_lines(offer.law, offer.pond.state),
        }
    )


def offer_csv(offer: Offer) -> str:
    """One row for every line; candidates and questions are joined by semicolons."""
    return to_csv(offer_rows(offer), OFFER_COLUMNS)


def offer_rows(offer: Offer) -> list[dict]:
    """One flat record a line: the columns of the CSV."""
    return [
        {**_record(line), "candidates": "; ".join(line.candidates), "questions": " ".join(line.questions)}
        for line in offer.lines
    ]


def show_offer(out: Console, offer: Offer, everything: bool = False, formats: str = "") -> None:
    """The table of lines that name a plant (or of all lines), and what stands beneath it.

    `formats` says how the command line asks for the formats that hold every question.
    """
    plants = [line for line in offer.lines if line.verdict != NO_PLANT]
    shown = offer.lines if everything else plants
    title(out, f"Offer for {offer.pond.name}: {len(offer.lines)} lines, {len(plants)} name a plant")
    if shown:
        show_table(
            out,
            [
                right("line", no_wrap=True),
                Column("what it says", ratio=5),
                Column("plant", ratio=4),
                Column("verdict", min_width=9),
                right("price", no_wrap=True),
            ],
            (
                (_place(line), line.text.strip()[:160], _plant(line), line.verdict, _price(line))
                for line in shown
            ),
            indent=0,
        )
        heading(out, "Why")
        for line in shown:
            paragraph(out, f"{_place(line):>4}  {line.verdict}. {line.reason}")
    else:
        paragraph(out, "We could not find a plant on any line.")
    heading(out, "Totals")
    bullets(
        out,
        [f"{verdict}: {offer.counts[verdict]}" for verdict in OfferVerdict if offer.counts.get(verdict)]
        + [
            f"lines to buy that have a price: {offer.priced}; together {offer.total:,.2f} for the numbers above"
            + (f"; {offer.unpriced} more without a price" if offer.unpriced else "")
        ],
    )
    if offer.unread:
        heading(out, "Lines we could not match to a plant")
        bullets(
            out,
            [f"line {line.line}: {line.text.strip()[:80]}" for line in offer.unread[:30]]
            + ([f"and {len(offer.unread) - 30} more"] if len(offer.unread) > 30 else []),
        )
    own = [(line, q) for line in plants for q in line.questions]
    heading(out, "Ask the seller")
    bullets(out, [*offer.questions, *(f"line {line.line}: {q}" for line, q in own[:40])])
    if len(own) > 40:
        paragraph(out, f"{len(own) - 40} more questions" + (f" stand in {formats}." if formats else "."), 2)
    heading(out, "When it arrives")
    bullets(out, offer.arrival)
    heading(out, "Take care")
    bullets(out, CAUTIONS)
    show_law(out, offer.law, offer.pond.state)


def _place(line: OfferLine) -> str:
    """Where the line stands: a sheet's cell or its number."""
    return line.where.partition(":")[2] or str(line.line)


def _plant(line: OfferLine) -> str:
    if not line.candidates:
        return "not known" if line.unknown else ""
    if line.sure:
        return line.candidates[0]
    more = f" and {len(line.candidates) - 3} more" if len(line.candidates) > 3 else ""
    return "not sure: " + ", ".join(line.candidates[:3]) + more


def _price(line: OfferLine) -> str:
    """The price of one plant; for what may be bought, with the number for which it holds."""
    counted = line.price_each is not None and line.need and line.verdict in (BUY, CONTAIN)
    return f"{line.need} at {_money(line.price_each)}" if counted else _money(line.price_each)


def _money(value: float | None) -> str:
    return "" if value is None else f"{value:,.2f}" if value >= 0.1 else f"{value:.3f}"
