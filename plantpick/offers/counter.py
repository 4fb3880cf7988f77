"""An offer as it is read standing at a counter: the most doubtful first, one row a plant, every question once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.verdict import (
    ASK,
    BUY,
    CONTAIN,
    LEAVE,
    NO_PLANT,
    NOT_NEEDED,
    AnswerCode,
    OfferVerdict,
    ReasonCode,
)
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.eligibility import GateCode

UNREAD = (
    ReasonCode.UNOPENED,
    ReasonCode.UNKNOWN,
    ReasonCode.UNNAMED,
)  # plants may stand there, and nobody knows which
DOUBT: tuple[AnswerCode, ...] = (  # codes in the order of doubt; what is not named comes last
    GateCode.LISTED,
    ReasonCode.GENUS_LISTED,
    ReasonCode.ALL_LEFT,
    GateCode.INVADER,
    GateCode.DANGER,
    GateCode.PROTECTED,
    Reason.TAKEOVER,
    ReasonCode.UNOPENED,
    ReasonCode.UNNAMED,
    ReasonCode.UNKNOWN,
    ReasonCode.IN_PLACE,
    ReasonCode.MAYBE_REFUSED,
    ReasonCode.LISTED_ELSEWHERE,
    ReasonCode.SECOND_PLANT,
    ReasonCode.NAME,
    GateCode.INTRODUCED,
    GateCode.INTRODUCED_HERE,
    GateCode.PERMIT,
    GateCode.WATCHED,
    GateCode.GENUS_ONLY,
    GateCode.NOT_RECORDED,
    GateCode.UNSURE,
    ReasonCode.GARDEN_FORM,
    ReasonCode.WILD_DUG,
    ReasonCode.NOT_SHIPPED,
)
_ORDER: dict[str, int] = {code: place for place, code in enumerate(DOUBT)}


@dataclass(frozen=True)
class Row:
    """One plant as it is shown: the lines that offer it and got the same answer, the one that names it best first."""

    lines: tuple[OfferLine, ...]

    @property
    def first(self) -> OfferLine:
        return self.lines[0]


@dataclass(frozen=True, kw_only=True)
class Counter:
    """The rows of every verdict, the most doubtful first.

    `unread` are the lines that sell a plant which we could not name; they are asked about, too, and stand nowhere else.
    """

    unread: tuple[Row, ...]
    leave: tuple[Row, ...]
    ask: tuple[Row, ...]
    contain: tuple[Row, ...]
    buy: tuple[Row, ...]
    not_needed: tuple[Row, ...]


@dataclass(frozen=True)
class SellerQuestion:
    """A question, once, and the lines that it is about; none for one about the whole order."""

    text: str
    lines: tuple[OfferLine, ...] = ()


def at_the_counter(offer: Offer) -> Counter:
    """The offer's lines that name a plant, arranged for reading."""
    by_verdict: dict[OfferVerdict, list[OfferLine]] = {v: [] for v in OfferVerdict}
    unread = []
    for line in offer.lines:
        if line.verdict == ASK and line.code in UNREAD:
            unread.append(line)
        else:
            by_verdict[line.verdict].append(line)
    return Counter(
        unread=_rows(unread),
        leave=_rows(by_verdict[LEAVE]),
        ask=_rows(by_verdict[ASK]),
        contain=_one_each(by_verdict[CONTAIN]),
        buy=_one_each(by_verdict[BUY]),
        not_needed=_rows(by_verdict[NOT_NEEDED]),
    )


def _doubt(line: OfferLine) -> tuple[int, bool]:
    return _ORDER.get(line.code, len(_ORDER)), line.sure


def _number(line: OfferLine) -> int:
    return line.line


def _rows(lines: Iterable[OfferLine]) -> tuple[Row, ...]:
    """Lines that offer the same plant in several sizes share a row: what is not bought needs saying once."""
    together: dict[tuple[object, ...], list[OfferLine]] = {}
    for line in lines:
        same = line.candidates or (line.text,)
        together.setdefault((line.code, same, line.short, line.plant_questions), []).append(line)
    rows = (Row(_plainest_first(found)) for found in together.values())
    return tuple(sorted(rows, key=lambda row: _doubt(row.first)))


def _plainest_first(lines: list[OfferLine]) -> tuple[OfferLine, ...]:
    """Lines of one row: where the plant is not known for sure, the one with the fewest words gives the row its name."""
    if lines[0].sure:
        return tuple(lines)
    plainest = min(lines, key=lambda line: (len(line.text.split()), line.line))
    return (plainest, *(line for line in lines if line is not plainest))


def _one_each(lines: Iterable[OfferLine]) -> tuple[Row, ...]:
    """A row for every line that may be bought, what must be held together by what holds it."""
    return tuple(Row((line,)) for line in sorted(lines, key=lambda line: line.contained_by))


def seller_questions(offer: Offer) -> tuple[SellerQuestion, ...]:
    """Every question once: those about single lines first, the most doubtful before the others, then those about the whole
    order. Nothing is asked about what you leave or do not need."""
    asked: dict[str, list[OfferLine]] = {}
    for line in sorted(offer.lines, key=_doubt):
        if line.verdict not in (NO_PLANT, NOT_NEEDED, LEAVE):
            for text in line.questions:
                asked.setdefault(text, []).append(line)
    about = (SellerQuestion(text, tuple(sorted(found, key=_number))) for text, found in asked.items())
    return (*about, *(SellerQuestion(text) for text in offer.questions))
