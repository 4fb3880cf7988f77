"""An offer's answer on a page: line by line, then questions, what to do on arrival, totals; or as JSON or
CSV."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.table import Table
from rich.text import Text

from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.verdict import BUY, CONTAIN, NO_PLANT, VERDICTS
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, console, heading, law_lines, paragraph, show_law

LONG = 5000  # lines from which a progress bar is shown
CAUTIONS = (
    "Law changes: these lists have dates, and your state agency has the last word.",
    "A picture or a label is not proof of a plant: have doubtful stock identified before it goes in.",
    "Never move plants, water or mud from one water to another.",
)


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
    return to_csv(
        [
            {**_record(line), "candidates": "; ".join(line.candidates), "questions": " ".join(line.questions)}
            for line in offer.lines
        ]
    )


def show_offer(out: Console, offer: Offer, everything: bool = False) -> None:
    """The table of lines that name a plant (or of all lines), and what stands beneath it."""
    plants = [line for line in offer.lines if line.verdict != NO_PLANT]
    shown = offer.lines if everything else plants
    out.print(
        Text(
            f"Offer for {offer.pond.name}: {len(offer.lines)} lines, {len(plants)} name a plant", style="bold"
        )
    )
    if shown:
        table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
        table.add_column("line", justify="right", no_wrap=True)
        table.add_column("what it says", ratio=5)
        table.add_column("plant", ratio=4)
        table.add_column("verdict", min_width=9)
        table.add_column("price", justify="right", no_wrap=True)
        for line in shown:
            table.add_row(
                line.where.partition(":")[2] or str(line.line),
                Text(line.text.strip()[:160]),
                _plant(line),
                Text(line.verdict),
                _price(line),
            )
        out.print(table)
        heading(out, "Why")
        for line in shown:
            paragraph(out, f"{line.where.partition(':')[2] or line.line:>4}  {line.verdict}. {line.reason}")
    else:
        paragraph(out, "No line names a plant that could be made out.")
    heading(out, "In all")
    bullets(
        out,
        [f"{verdict}: {offer.counts[verdict]}" for verdict in VERDICTS if offer.counts.get(verdict)]
        + [
            f"lines to buy that have a price: {offer.priced}; together {offer.total:,.2f} for the numbers above"
            + (f"; {offer.unpriced} more without a price" if offer.unpriced else "")
        ],
    )
    if offer.unread:
        heading(out, "Could not be read as a plant that is known")
        bullets(
            out,
            [f"line {line.line}: {line.text.strip()[:80]}" for line in offer.unread[:30]]
            + ([f"and {len(offer.unread) - 30} more"] if len(offer.unread) > 30 else []),
        )
    own = [(line, q) for line in plants for q in line.questions]
    heading(out, "Ask the seller")
    bullets(out, [*offer.questions, *(f"line {line.line}: {q}" for line, q in own[:40])])
    if len(own) > 40:
        paragraph(out, f"{len(own) - 40} more questions stand in --format json and csv.", 2)
    heading(out, "When it arrives")
    bullets(out, offer.arrival)
    heading(out, "Take care")
    bullets(out, CAUTIONS)
    show_law(out, offer.law, offer.pond.state)


def _plant(line: OfferLine) -> Text:
    if not line.candidates:
        return Text("not known" if line.unknown else "")
    if line.sure:
        return Text(line.candidates[0])
    more = f" and {len(line.candidates) - 3} more" if len(line.candidates) > 3 else ""
    return Text("not sure: " + ", ".join(line.candidates[:3]) + more)


def _price(line: OfferLine) -> str:
    """The price of one plant; for what may be bought, with the number for which it holds."""
    counted = line.price_each is not None and line.need and line.verdict in (BUY, CONTAIN)
    return f"{line.need} at {_money(line.price_each)}" if counted else _money(line.price_each)


def _money(value: float | None) -> str:
    return "" if value is None else f"{value:,.2f}" if value >= 0.1 else f"{value:.3f}"


@contextmanager
def progress(total: int) -> Iterator[Callable[[int, int], None] | None]:
    """A progress bar on standard error for a long offer; nothing where nobody watches or the offer is
    short."""
    if total < LONG or not sys.stderr.isatty():
        yield None
        return
    from rich.progress import Progress

    with Progress(console=console(stderr=True), transient=True) as bar:
        task = bar.add_task("Reading the offer", total=total)
        yield lambda done, _: bar.update(task, completed=done)
