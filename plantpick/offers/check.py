"""A nursery's offer, line by line: what each line sells, whether to buy it, what to ask, what a plant
costs."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue
from plantpick.offers.fuzzy_match import match_nearest
from plantpick.offers.match import Reading
from plantpick.offers.name_index import NameBook, name_book
from plantpick.offers.normalize import epithet_stem
from plantpick.offers.prices import Price, read_price, sold_out, tray_count
from plantpick.offers.read_names import read_names
from plantpick.offers.shipping_terms import DIGIT, banned_states, form_of, only_price
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NO_PLANT, Judge, Wording
from plantpick.pond.model import Pond
from plantpick.vocabulary import STATES

LOOK_AHEAD = 4  # lines beneath a heading in which it must explain one
HEADING_WORDS = 8
NEARBY = 20  # lines over which "A. incarnata" may stand for a genus named before (judgement)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the offer as it was read: its number, its text, and where it stood when that is not a plain
    line.

    `price` holds what stood in a column headed as a price, `header` marks a row of column headings.
    """

    number: int
    text: str
    where: str = ""
    price: str = ""
    header: bool = False


@dataclass(slots=True)
class OfferLine:
    """The answer for one line. `candidates` are scientific names, best first; `price_each` is for `need`
    plants."""

    line: int
    text: str
    candidates: tuple[str, ...] = ()
    sure: bool = False
    verdict: str = NO_PLANT
    reason: str = ""
    price_each: float | None = None
    questions: tuple[str, ...] = ()
    where: str = ""
    need: int = 0
    form: str = ""
    sold_out: bool = False
    unknown: bool = False
    plants: tuple[str, ...] = ()
    cost: float | None = None  # of `need` plants, in whole trays and packs


@dataclass(frozen=True)
class Offer:
    """The whole answer: the lines in order, and what stands beneath them."""

    pond: Pond
    lines: list[OfferLine]
    counts: dict[str, int]
    total: float
    priced: int
    unpriced: int
    questions: tuple[str, ...]
    arrival: tuple[str, ...]
    law: Coverage
    unread: tuple[OfferLine, ...] = field(default=())

    @property
    def leaves_something(self) -> bool:
        """Whether any line must be left or asked about."""
        return bool(self.counts.get(ASK, 0) or self.counts.get(LEAVE, 0))


ReadAll = Callable[[list[str], NameBook], list[Reading]]


def read_one_by_one(texts: list[str], book: NameBook) -> list[Reading]:
    """Readings of texts, in their order."""
    readings = [read_names(text, book) for text in texts]
    match_nearest(readings, book)
    return readings


def check_offer(
    lines: Iterable[Line],
    pond: Pond,
    catalogue: Catalogue,
    *,
    need: int | None = None,
    book: NameBook | None = None,
    read_all: ReadAll = read_one_by_one,
    progress: Callable[[int, int], None] | None = None,
    block: int = 20_000,
) -> Offer:
    """Judge an offer. `need` is how many plants of each are wanted (None: what this pond would take of it).

    `read_all` may share the reading of names between processors; `progress` is told (lines done, 0 if not
    known).
    """
    book = book or name_book(catalogue)
    judge = Judge(pond, catalogue)
    teller = _Teller(judge, book, need)
    out: list[OfferLine] = []
    for some in _blocks(lines, block):
        texts = list(dict.fromkeys(line.text for line in some if line.text.strip() and not line.header))
        known = dict(zip(texts, read_all(texts, book)))
        for i, line in enumerate(some):
            out.append(teller.tell(line, known.get(line.text, _NOTHING), some, i, known))
        if progress:
            progress(len(out), 0)
    return _sum_up(out, pond, catalogue)


_NOTHING = Reading()


def _blocks(lines: Iterable[Line], size: int) -> Iterable[list[Line]]:
    some: list[Line] = []
    for line in lines:
        some.append(line)
        if len(some) >= size:
            yield some
            some = []
    if some:
        yield some


class _Teller:
    """Carries what earlier lines said (heading, genus by letter, plants to a tray) and words the answer for
    each."""

    def __init__(self, judge: Judge, book: NameBook, need: int | None):
        self.book, self.wording = book, Wording(judge, book, need)
        self.heading, self.tray = "", None
        self.seen: dict[str, tuple[str, int]] = {}
        self.waiting: OfferLine | None = None
        self.worded: dict[tuple, tuple] = {}
        self.beneath: dict[tuple[str, str], Reading] = {}

    def tell(
        self, line: Line, reading: Reading, some: list[Line], i: int, known: dict[str, Reading]
    ) -> OfferLine:
        text = line.text
        if not text.strip():
            return OfferLine(line.number, text, where=line.where, reason="empty")
        if line.header:
            return OfferLine(line.number, text, where=line.where, reason="the headings of the columns")
        price = read_price(line.price, self.tray) if line.price else None
        price = price or (read_price(text, self.tray) if DIGIT.search(text) else None)
        heads = not price and _could_head(reading, text)
        if heads and self._explains(reading, text, some, i, known):
            self.heading, self.waiting = reading.heading, None
            return OfferLine(
                line.number,
                text,
                where=line.where,
                reason=f"a heading: what stands beneath is read as {reading.heading.capitalize()}",
            )
        reading = self._in_context(text, reading, line.number)
        if reading.kind == "plant" and reading.heading:
            self.seen[reading.heading[0]] = (reading.heading, line.number)
            if (
                reading.heading != self.heading
                and not reading.beneath
                and (reading.sure or _could_head(reading, text))
            ):
                self.heading = ""
        if reading.kind == "none":
            return self._aside(line, price)
        out = OfferLine(
            line.number, text, where=line.where, form=form_of(text.lower()), sold_out=sold_out(text)
        )
        self._word(out, reading, banned_states(text))
        self._cost(out, price)
        self.waiting = out if price is None and out.candidates else None
        return out

    def _aside(self, line: Line, price: Price | None) -> OfferLine:
        """A line that names no plant: it may price the line above, or say how many a tray holds."""
        out = OfferLine(line.number, line.text, where=line.where, reason="names no plant")
        if (
            price
            and self.waiting is not None
            and line.number - self.waiting.line <= 2
            and only_price(line.text)
        ):
            self._cost(self.waiting, price)
            out.reason = f"the price of line {self.waiting.line}"
            self.waiting = None
            return out
        if self.waiting is not None and sold_out(line.text) and line.number - self.waiting.line <= 2:
            self.waiting.sold_out = True
        count = tray_count(line.text) if price is None and re.search(r"tray|flat", line.text, re.I) else None
        self.tray = count or self.tray
        codes = banned_states(line.text)
        if codes:
            out.reason = f"the seller says: not shipped to {' '.join(codes)}"
        return out

    def _explains(
        self, head: Reading, text: str, some: list[Line], i: int, known: dict[str, Reading]
    ) -> bool:
        """Whether the lines beneath carry a genus on: the first that names something of their own must.

        A line with the genus's own plant written in full, a note, or an epithet in no table settles nothing;
        beneath a colon the genus's own plants do as well.
        """
        genus, looked = head.heading, 0
        for line in some[i + 1 : i + 1 + 2 * LOOK_AHEAD]:
            if not line.text.strip():
                continue
            reading = known.get(line.text, _NOTHING)
            kin = any(self.book.genus_of(p) == genus for p in reading.candidates)
            if kin and (self._starts_with_epithet(line.text, genus) or text.rstrip().endswith(":")):
                return True
            if _open(reading):
                below = self._beneath(line.text, genus)
                exact = not below.slip and self._starts_with_epithet(line.text, genus)
                if below.kind == "plant" and below.beneath and (exact or reading.kind == "unknown"):
                    return True
            if reading.kind == "plant" and not kin:
                return False
            looked += 1
            if looked >= LOOK_AHEAD:
                break
        return False

    def _starts_with_epithet(self, text: str, genus: str) -> bool:
        first = _FIRST_WORD.match(text)
        if not first or (first.group(1) or genus)[0].lower() != genus[0]:
            return False
        return epithet_stem(first.group(2)) in self.book.epithet_stems.get(genus, ())

    def _beneath(self, text: str, genus: str) -> Reading:
        key = (text, genus)
        if key not in self.beneath:
            if len(self.beneath) > 50_000:
                self.beneath.clear()
            self.beneath[key] = read_names(text, self.book, heading=genus)
        return self.beneath[key]

    def _in_context(self, text: str, reading: Reading, number: int) -> Reading:
        if self.heading and _open(reading):
            below = self._beneath(text, self.heading)
            if below.kind == "plant" and below.beneath:
                return below
        if not reading.sure and (self.seen or self.heading) and _ABBREVIATED.search(text):
            recent = {letter: genus for letter, (genus, at) in self.seen.items() if number - at <= NEARBY}
            again = read_names(text, self.book, heading=self.heading, recent=recent)
            if again.kind == "plant":
                return again
        return reading

    def _word(self, out: OfferLine, reading: Reading, banned: tuple[str, ...]) -> None:
        key = (
            reading.kind,
            reading.candidates,
            reading.sure,
            reading.doubts,
            reading.cultivar,
            reading.hybrid,
            reading.slip,
            reading.nearest,
            reading.phrase if reading.kind == "unknown" else "",
            reading.unnamed,
            reading.heading,
            reading.sold_as,
            reading.also,
            out.form,
            banned,
        )
        worded = self.worded.get(key)
        if worded is None:
            if len(self.worded) > 100_000:
                self.worded.clear()
            worded = self.worded[key] = self.wording.verdict(reading, out.form, banned)
        out.verdict, out.reason, out.questions, out.need, out.candidates, out.plants, out.sure = worded
        out.unknown = reading.kind == "unknown"
        if out.sold_out:
            out.reason += " Sold out, the seller says."

    def _cost(self, out: OfferLine, price: Price | None) -> None:
        if price is None:
            if out.verdict in (BUY, CONTAIN):
                out.questions = (*out.questions, "What does it cost?")
            return
        out.questions = tuple(q for q in out.questions if q != "What does it cost?")
        least = price.least()
        if price.unit in _WEIGHTS:
            out.reason += f" Priced by the {price.unit}: seed, not plants."
        elif form_is_seed(out.form, price):
            out.reason += " Priced as seed, not plants."
        else:
            out.price_each = price.each(out.need or 1)
            out.cost = price.cost(out.need or 1)
            if out.price_each is None:
                out.questions = (*out.questions, f"How many plants are in a {price.unit}?")
            elif price.unit == "bunch" and price.per == 1:
                out.reason += " Priced by the bunch."
            if least > (out.need or 1):
                out.reason += f" Sold from {least} up."
            elif out.cost and out.verdict in (BUY, CONTAIN) and out.cost > out.need * out.price_each + 0.01:
                out.reason += f" Whole lots only: {out.cost:,.2f} for the {out.need} you need."


_WEIGHTS = ("pound", "oz", "ounce", "kg")
# a heading gives no size, stock word or "sp.": a line with those offers a plant of an unnamed kind
_OFFERED = re.compile(r"[,\d]|\bspp?\b|\bspecies\b|assort|\bmix|colou?r|stock|\bsold\b", re.I)
_FIRST_WORD = re.compile(r"\W*(?:([A-Z])\.?\s+)?([A-Za-z-]{4,})")  # "stricta", "C. stricta"
_ABBREVIATED = re.compile(r"\b[A-Z]\.\s?[a-z]")


def form_is_seed(form: str, price: Price) -> bool:
    """Whether the price is for packets of seed."""
    return form == "seed" and price.unit in ("pack", "bag", "each")


def _open(reading: Reading) -> bool:
    """Whether a heading above could still explain the line."""
    return (
        reading.kind == "unknown"
        or (reading.kind == "none" and bool(reading.loose_ends))
        or (reading.kind == "plant" and not reading.sure and not reading.genus_only)
    )


def _could_head(reading: Reading, text: str) -> bool:
    if reading.kind != "plant" or reading.sure or not reading.heading or len(text.split()) > HEADING_WORDS:
        return False
    if _OFFERED.search(text) or form_of(text.lower()):
        return False
    return (reading.genus_only or reading.wide) and not reading.loose_ends and not reading.cultivar


def _sum_up(out: list[OfferLine], pond: Pond, catalogue: Catalogue) -> Offer:
    counts = Counter(line.verdict for line in out)
    wanted = [line for line in out if line.verdict in (BUY, CONTAIN) and not line.sold_out]
    priced = [line for line in wanted if line.cost is not None]
    total = round(sum(line.cost for line in priced), 2)
    state = STATES[pond.state][0]
    forms = {line.form for line in out if line.verdict in (BUY, CONTAIN)}
    questions = [
        "Will you send exactly these species, and nothing in their place without asking?",
        "Were they grown at the nursery, from stock of which state? None dug from the wild?",
        "Is the stock free of duckweed, algae, snails and other strays? Is there an inspection certificate?",
        f"Do you ship each of them to {state}?",
    ]
    doubtful = [str(line.line) for line in out if line.verdict == ASK and not line.sure]
    if doubtful:
        more = f" and {len(doubtful) - 12} more" if len(doubtful) > 12 else ""
        where = f"line {doubtful[0]}" if len(doubtful) == 1 else f"lines {', '.join(doubtful[:12])}{more}"
        questions.insert(0, f"What is the full scientific name of what you offer on {where}?")
    arrival = [
        "Check every label and plant against the order first; keep back what does not match.",
        "Rinse roots and stems over dry ground, in clean water that does not run to the pond.",
        "Keep them two weeks in a tub away from the pond; look often for fragments, duckweed and snails.",
        "Pick off snails and egg masses; bag and bin strays and packing: never in a ditch.",
    ]
    if {"bare root", "tuber"} & forms:
        arrival.append("Bare roots and tubers: keep them wet and shaded, and set them within days.")
    if "seed" in forms:
        arrival.append(
            "Seed: keep it cool and dry until its season; it can carry other species, so buy it tested."
        )
    unread = tuple(line for line in out if line.unknown)
    return Offer(
        pond,
        out,
        dict(counts),
        total,
        len(priced),
        len(wanted) - len(priced),
        tuple(questions),
        tuple(arrival),
        catalogue.coverage_of(pond.state),
        unread,
    )
