"""A nursery's offer, line by line: what each line sells, whether to buy it, what to ask, what a plant
costs."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue
from plantpick.offers.fuzzy_match import match_nearest
from plantpick.offers.list_terms import is_promise, notes_of, term_of_list
from plantpick.offers.match import Reading, ReadingKind
from plantpick.offers.name_index import NameBook, name_book
from plantpick.offers.normalize import epithet_stem, stem
from plantpick.offers.order_terms import (
    LeastSpend,
    for_each_kind,
    least_order,
    least_spend,
    sold_by,
    sold_out,
)
from plantpick.offers.page_lines import is_label_of_shop, is_question, is_review, joined_lines
from plantpick.offers.prices import (
    is_for_trade,
    is_former,
    is_todays,
    list_currency,
    list_unit,
    of_the_list,
    price_in_row,
    read_price,
    says_each,
    tray_count,
    with_cents,
    with_more,
)
from plantpick.offers.purchase import DOLLARS, More, Price, Unit, purchase
from plantpick.offers.read_names import read_names
from plantpick.offers.seller_claims import SellerClaim, claims_of
from plantpick.offers.shipping_terms import (
    DIGIT,
    StockForm,
    banned_states,
    form_of,
    only_price,
    says_several,
    size_of,
)
from plantpick.offers.verdict import (
    ASK,
    BUY,
    CONTAIN,
    LEAVE,
    NO_PLANT,
    NOT_NEEDED,
    UNOPENED,
    AnswerCode,
    Judge,
    LineAnswer,
    LineJudge,
    OfferVerdict,
    Question,
    ReasonCode,
)
from plantpick.offers.words import explains_itself
from plantpick.pond.model import Pond
from plantpick.ranking.cautions import lookalike_lines, poison_lines
from plantpick.ranking.rank import RankedPlant
from plantpick.vocabulary import STATES

LOOK_AHEAD = 4  # lines beneath a heading in which it must explain one
HEADING_WORDS = 8
PAGE_NEAR = (
    6  # lines of a page, none of them a plant, over which a price belongs to the plant above (judgement)
)
SECTION_LINES = 40  # beneath a heading over which its form and size hold (judgement)
NEARBY = 20  # lines over which "A. incarnata" may stand for a genus named before (judgement)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the offer as it was read: its number, its text, and where it stood when that is not a plain
    line.

    `price` holds what stood in a column headed as a price, `stock` what that heading says of size and form, `more_sizes` tells
    that columns of other sizes have prices too; `header` marks a row of column headings, `none_left` that the column of what
    the seller has says none, `unopened` something that came with the offer and was not read.
    """

    number: int
    text: str
    where: str = ""
    price: str = ""
    stock: str = ""
    more_sizes: bool = False
    header: bool = False
    none_left: bool = False
    unopened: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferLine:
    """The answer for one line. `candidates` are scientific names, best first, `plants` their plant_ids; `refused` are those of them
    that are refused, where others are not.

    `why` explains the verdict; `price_remarks` says what the price means; `price_question` is what to ask about it.
    `price_each` holds for `need` plants, `cost` is what they come to in whole trays and packs, `buy` how many plants those
    hold; for another number see `purchase(line.price, number)`. `price_read` is the price as the line has it, `unit` what it is for, `count` how many plants that is; a price that
    is not understood has no `price_each`. `size` is as written ("2 in plug"). What is not needed costs nothing. `ranked` is the
    plant's line in the ranking, where it has one; `good_for` are purposes that the owner did not name, of a plant not needed.
    """

    line: int
    text: str
    where: str = ""
    verdict: OfferVerdict = NO_PLANT
    code: AnswerCode | Literal[""] = ""
    why: str = ""
    short: str = ""
    candidates: tuple[str, ...] = ()
    plants: tuple[str, ...] = ()
    common_name: str = ""
    sure: bool = False
    refused: tuple[str, ...] = ()
    cultivar: str = ""
    unknown: bool = False
    form: StockForm = StockForm.NOT_SAID
    size: str = ""
    claims: tuple[SellerClaim, ...] = ()
    need: int = 0
    groups: int = 0
    group: int = 0
    contained_by: tuple[str, ...] = ()
    chance_over_cap: float | None = None
    chance_over_cap_contained: float | None = None
    ranked: RankedPlant | None = None
    good_for: tuple[str, ...] = ()
    sold_out: bool = False
    price: Price | None = None
    price_read: str = ""
    currency: str = DOLLARS
    unit: Unit | None = None
    count: int | None = None
    least_order: int = 1
    price_each: float | None = None
    cost: float | None = None
    buy: int = 0
    price_remarks: tuple[str, ...] = ()
    plant_questions: tuple[Question, ...] = ()
    price_question: str = ""

    @property
    def names_a_plant(self) -> bool:
        """Whether the line offers something, known or not; false of what a seller says of the whole list."""
        return self.verdict != NO_PLANT and bool(
            self.candidates or self.unknown or self.code == ReasonCode.UNOPENED
        )

    @property
    def reason(self) -> str:
        """All that the line's answer says, in sentences."""
        gone = (SOLD_OUT,) if self.sold_out and self.verdict != NO_PLANT else ()
        claims = (claim.answer for claim in self.claims)
        return " ".join((self.why, *claims, *gone, *self.price_remarks))

    @property
    def questions(self) -> tuple[str, ...]:
        """What to ask the seller about this line."""
        plant = tuple(question.text for question in self.plant_questions)
        return (*plant, self.price_question) if self.price_question else plant


SOLD_OUT = "Sold out, the seller says."
WHAT_ONE_COSTS = "What does one plant cost?"


@dataclass(frozen=True, kw_only=True)
class Offer:
    """The whole answer: the lines in order, and what stands beneath them. `total` is in dollars; sums in other money stand
    in `other_totals`. A plant that several lines offer counts once, at the cheapest of them; `again` are the lines that do not
    count for that. `least_spend` is the smallest order in money that the seller takes; `dangers` name the poisonous plants among
    those to buy, and those that a forbidden or poisonous one looks like."""

    pond: Pond
    lines: list[OfferLine]
    counts: dict[str, int]
    total: float
    other_totals: tuple[tuple[str, float], ...] = ()
    least_spend: LeastSpend | None = None
    priced: int
    unpriced: int
    questions: tuple[str, ...]
    arrival: tuple[str, ...]
    law: Coverage
    unread: tuple[OfferLine, ...] = field(default=())
    again: int = 0
    dangers: tuple[str, ...] = ()

    @property
    def leaves_something(self) -> bool:
        """Whether any line must be left or asked about."""
        return bool(self.counts.get(ASK, 0) or self.counts.get(LEAVE, 0))


ReadAll = Callable[[list[str], NameBook], list[Reading]]


def read_one_by_one(texts: list[str], book: NameBook) -> list[Reading]:
    """Readings of texts, in their order."""
    return match_nearest([read_names(text, book) for text in texts], book)


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
    reader = _OfferReader(judge, book, need)
    for some in _blocks(lines, block):
        texts = list(dict.fromkeys(line.text for line in some if line.text.strip() and not line.header))
        known = dict(zip(texts, read_all(texts, book)))
        judge.prepare(plant for reading in known.values() for plant in reading.plants())
        reader.join(some, known)
        for i, line in enumerate(some):
            reader.judge_line(line, known.get(line.text, _NOTHING), some, i, known)
        if progress:
            progress(len(reader.lines), 0)
    return _sum_up(reader.finished(), pond, catalogue, reader.least_spend)


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


def _above_prices(texts: list[str]) -> Iterator[tuple[int, int]]:
    """Lines of a few words and no figure right above one that is a price alone, with it: "Rush" is a word of the trade, and
    beside a price what is sold."""
    for i, text in enumerate(texts[:-1]):
        if 0 < len(text.split()) <= 3 and not DIGIT.search(text):
            below = next((k for k in range(i + 1, min(i + 3, len(texts))) if texts[k].strip()), None)
            if below is not None and DIGIT.search(texts[below]) and only_price(texts[below]):
                yield i, below


class _OfferReader:
    """Judges the lines one after the other. It carries on what earlier lines said: a heading, a genus by its letter, how
    many plants a tray holds, a plant that still wants its price."""

    def __init__(self, judge: Judge, book: NameBook, need: int | None):
        self.book, self.line_judge, self.state = book, LineJudge(judge, book, need), judge.state
        self.lines: list[OfferLine] = []
        self.heading = ""
        self.tray: int | None = None
        self.seen: dict[str, tuple[str, int]] = {}
        self.waiting: int | None = None  # where in `lines` the plant stands that has no price yet
        self.prices: dict[int, Price] = {}  # place in `lines` to the price that was read for it
        self.last_priced: int | None = None  # the plant whose price the line before gave
        self.general: tuple[Price, int] | None = None  # "All plugs $1.25 each", and its line
        self.least: int | None = None  # "minimum 25 per species"
        self.group: tuple[int, frozenset[str]] = (
            0,
            frozenset(),
        )  # line of such a heading, and the plants of its group
        self.former = False  # whether the price read last is said to be the one before a sale
        self.whole_lots: tuple[int, StockForm] | None = None  # "All plugs sold in trays of 50"
        self.least_spend: LeastSpend | None = None
        self.answers: dict[tuple[tuple[object, ...], StockForm, tuple[str, ...]], LineAnswer] = {}
        self.beneath: dict[tuple[str, str], Reading] = {}
        self.joined: dict[int, tuple[int, Reading]] = {}  # line in the block to the line that it goes on with
        self.whole: dict[int, Reading] = {}  # line in the block to what it says with the one that goes on
        self.current: int | None = None  # where in `lines` the last plant stands
        self.last_seen = 0  # the number of the last line of the plant that waits for its price
        self.shown = 0  # lines so far that say anything
        self.last_shown = 0  # those up to that plant's last
        self.prices_follow = False  # whether this list has set a price of its own line beneath its plant
        self.number = 0  # of the line before
        self.after_blank = True  # whether the line before says nothing
        self.lot_said: tuple[int | None, str] = (None, "")  # the plant that waits, and its line "Pack of 10"
        self.list_unit: tuple[int, Price] | None = None  # line that says what all prices buy, and its unit
        self.currency = ""  # of all prices, where the list names another than the dollar
        self.section: tuple[StockForm, str] = (StockForm.NOT_SAID, "")  # form and size in the heading above
        self.section_at = 0  # where that heading stands, in lines that say anything

    def join(self, some: list[Line], known: dict[str, Reading]) -> None:
        """Find the lines of a block that go on with the plant of a line above."""
        texts = ["" if line.header else line.text for line in some]
        priced = [bool(line.price) or bool(_MONEY_SIGN.search(line.text)) for line in some]
        self.joined = joined_lines(texts, [line.number for line in some], priced, known, self.book)
        self.whole = {above: reading for above, reading in self.joined.values()}
        for i, below in _above_prices(texts):
            if i not in self.joined and known.get(texts[i], _NOTHING).kind == ReadingKind.NONE:
                reading = read_names(f"{texts[i]} {texts[below]}", self.book)
                if reading.kind == ReadingKind.PLANT:
                    self.whole.setdefault(i, reading)

    def judge_line(
        self, line: Line, reading: Reading, some: list[Line], i: int, known: dict[str, Reading]
    ) -> None:
        """Add the answer for one line. `some` are the lines of its block, `i` its place among them."""
        text = line.text
        if line.number < self.number:  # the next column of a typed page: nothing before it waits any longer
            self.waiting = self.current = self.last_priced = None
            self.seen.clear()
        self.number = line.number
        if not text.strip():
            self._add(line, "empty")
            self.after_blank = True
            return
        self._judge_text(line, reading, some, i, known)
        self.after_blank = False

    def _judge_text(
        self, line: Line, reading: Reading, some: list[Line], i: int, known: dict[str, Reading]
    ) -> None:
        """Add the answer for a line that says something."""
        text = line.text
        self.shown += 1
        if line.header:
            self._add(line, "the headings of the columns")
            return
        if line.unopened:
            self.lines.append(_judged(line, Reading(), UNOPENED, StockForm.NOT_SAID, "", {}))
            return
        price = price_in_row(text, line.price, self.tray) if line.price else None
        price = price or (read_price(text, self.tray) if DIGIT.search(text) else None)
        self.least_spend = self.least_spend or least_spend(text)
        if i in self.joined:
            self._go_on(line, price)
            return
        if price is None and reading.kind == ReadingKind.PLANT and (is_review(text) or is_question(text)):
            self._add(line, "a question" if is_question(text) else "what a buyer says")
            return
        whole = self.whole.get(i)
        heads = not price and whole is None and _could_head(reading, text)
        if heads and self._explains(reading, text, some, i, known):
            self.heading, self.waiting = reading.heading, None
            self._add(line, f"a heading: the lines beneath are read as {reading.heading.capitalize()}")
            return
        reading = whole or self._in_context(text, reading, line.number)
        if reading.kind == ReadingKind.PLANT and reading.heading:
            self.seen[reading.heading[0]] = (reading.heading, line.number)
            if (
                reading.heading != self.heading
                and not reading.beneath
                and (reading.sure or _could_head(reading, text))
            ):
                self.heading = ""
        if reading.kind == ReadingKind.UNKNOWN and price and self._unpriced_below(some, i, known):
            self.general = None  # what we can't read has a price of its own: what ran ends here
            if _SIGN_OVER_PLANTS.search(text) and _explained(text):
                reading = _NOTHING
        if reading.kind != ReadingKind.PLANT and price is None:
            term = term_of_list(text, self.state)
            if term:
                self.lines.append(_judged(line, Reading(), term, StockForm.NOT_SAID, "", {}))
                return
            if is_promise(text):
                self._add(line, "what the seller says of the list")
                return
        if reading.kind == ReadingKind.NONE:
            if price and self._heads_prices(text, price, some, i, known):
                unclear = bool(price.open or price.first_of or not price.per)
                self.general, self.waiting, self.last_priced = (
                    (None if unclear else (price, line.number)),
                    None,
                    None,
                )
                self.section = (StockForm.NOT_SAID, "") if price.first_of else _stock_of_heading(text)
                self.section_at = self.shown
                self._add(
                    line,
                    "a price of something else"
                    if unclear
                    else "the price of the lines beneath that have none",
                )
                return
            if price is None and self._heads_stock(text, some, i, known):
                self.section = _stock_of_heading(text)
                self.general = self.waiting = self.current = None
                self.section_at = self.shown
                self.tray = (tray_count(text) if _TRAY.search(text) else None) or self.tray
                self._add(line, "a heading of the lines beneath")
                return
            self._add_aside(line, price)
            return
        if price and reading.together:
            price = price.of_a_mixture(says_each(text))
        stock = text[: price.first_of] if price and price.first_of else text
        if price and line.more_sizes:
            price = replace(price, first_of=len(text))
        if price and self._group_heads_prices(text, reading, some, i, known):
            self.general, self.waiting, self.last_priced = (price, line.number), None, None
            self.heading, self.group = reading.heading, (line.number, frozenset(reading.candidates))
            self._add(line, "the price of the lines beneath that have none")
            return
        form, banned = form_of(line.stock.lower()) or form_of(stock.lower()), banned_states(text)
        size = size_of(line.stock) or size_of(stock)
        if not form and not size and self.shown - self.section_at <= SECTION_LINES:
            form, size = self.section
        answer = self._answer(reading, form, banned)
        least = least_order(text)
        if self.general and self.group[0] == self.general[1] and self.group[1].isdisjoint(reading.candidates):
            self.general = None  # a price headed by a group ends with the first plant of another
        from_general = price is None and self.general is not None and bool(answer.candidates)
        if from_general and self.general is not None:
            price = self.general[0]
        if price and least:
            price = replace(price, least_order=max(least, price.least_order))
        at = len(self.lines)
        told = _price_cells(answer.verdict, form, answer.need, price)
        if least and price is None:
            told["least_order"] = least
        self.lines.append(_judged(line, reading, answer, form, size, told))
        if price:
            self.prices[at] = price
        if from_general and self.general is not None:
            said = f"Price from line {self.general[1]}."
            self.lines[at] = replace(self.lines[at], price_remarks=(said, *self.lines[at].price_remarks))
        self.waiting = at if (price is None or from_general) and self.lines[-1].candidates else None
        self.last_priced = None
        self._see(line)
        self.current = at if self.lines[-1].candidates else None

    def _go_on(self, line: Line, price: Price | None) -> None:
        """A line that goes on with the plant of the line above: it may hold its price, its size, its form."""
        at = next(i for i in range(len(self.lines) - 1, -1, -1) if self.lines[i].candidates)
        above = self.lines[at]
        form = form_of(line.text.lower())
        above = replace(above, size=above.size or size_of(line.text), form=above.form or form)
        above = replace(above, sold_out=above.sold_out or sold_out(line.text))
        self._add(line, f"goes on with line {above.line}")
        self.lines[at] = self._priced(above, price) if price else above
        if price:
            self.prices[at] = price
            self.waiting = None
        self._see(line)

    def _see(self, line: Line) -> None:
        """Keep where the plant that may wait for its price was last spoken of."""
        self.last_seen, self.last_shown = line.number, self.shown

    def _add(self, line: Line, why: str) -> None:
        self.lines.append(OfferLine(line=line.number, text=line.text, where=line.where, why=why))

    def _add_aside(self, line: Line, price: Price | None) -> None:
        """A line that names no plant: it may price the line above, or say how many a tray holds."""
        text = line.text
        at = self.waiting
        above = self.lines[at] if at is not None else None
        near = above is not None and line.number - self.last_seen <= 2
        page = above is not None and self.shown - self.last_shown <= PAGE_NEAR
        alone = price is not None and only_price(text)
        headed = above is not None and self._priced_by_heading(above)
        if headed and (form_of(text.lower()) or size_of(text) or price and price.open):
            page = False  # it has its heading's price: what names a form of its own is another's
        if price and at is not None and above is not None and page and alone and not _FOR_ALL.search(text):
            price = self._price_beneath(above, text) or price
            if above.least_order > 1:
                price = replace(price, least_order=max(above.least_order, price.least_order))
            self.lines[at], self.prices[at] = self._priced(above, price), price
            self._add(line, f"the price of line {above.line}")
            self.waiting, self.last_priced = None, at
            self._see(line)
            self.prices_follow = self.prices_follow or self.general is None
            self.former = is_former(text)
            self._of_the_plant_above(line, price)
            return
        if price and alone and self.last_priced is not None and not _FOR_ALL.search(text):
            at = self.last_priced
            price = self._price_beneath(self.lines[at], text) or price
            today = is_todays(text) or self.former and not (is_former(text) or is_for_trade(text))
            more = with_cents(self.prices[at], text) or (
                price if today else with_more(self.prices[at], price)
            )
            self.former = self.former and not today
            if more:
                self.lines[at], self.prices[at] = self._priced(self.lines[at], more), more
            self._add(line, f"more prices of line {self.lines[at].line}")
            return
        if page or price is None:
            self._of_the_plant_above(line, price)
        if price is None and at is not None and (tray_count(text) or _SO_MANY_FOR.fullmatch(text.strip())):
            self.lot_said = at, text.strip()
        if "rice" in text:
            unit = list_unit(text)
            self.list_unit = (line.number, unit) if unit else self.list_unit
            self.currency = list_currency(text) or self.currency
        count = tray_count(text) if price is None and _TRAY.search(text) else None
        self.tray = count or self.tray
        least = least_order(text)
        whole = sold_by(text)
        if whole:
            self.whole_lots = whole, form_of(text.lower().partition(" in ")[0].partition(" by ")[0])
        if least and for_each_kind(text):
            self.least = least
        elif least and at is not None and above is not None and near:
            self.lines[at] = replace(above, least_order=least)
        fresh = not self.lines or not self.lines[-1].candidates
        if (
            price
            and price.per
            and not price.open
            and (
                _FOR_ALL.search(text) or alone and fresh and not self.prices_follow and form_of(text.lower())
            )
        ):
            self.general, self.waiting = (price, line.number), None
            self._add(line, "the price of the lines beneath that have none")
            return
        unclear = price is not None and alone and (price.open or not price.per)
        if unclear or price is None and not DIGIT.search(text) and len(text.split()) <= HEADING_WORDS:
            self.general = None
        codes = banned_states(line.text)
        if least or least_spend(text):
            self._add(line, "the seller's least order")
            return
        self._add(line, f"the seller does not ship to {' '.join(codes)}" if codes else "names no plant")

    def _price_beneath(self, above: OfferLine, text: str) -> Price | None:
        """The price on a line beneath a plant: the plant's own line may say how many a pack of it holds."""
        price = read_price(text, self.tray, alone=True)
        lot = self.lot_said[1] if self.lot_said[0] is not None and self.lot_said[0] == self.waiting else ""
        if lot and price and price.open:
            return read_price(f"{lot}   {text}", self.tray)  # "Tray of 50 plugs", "$52.50 ($1.05 each)"
        if price is None or price.unit is not Unit.EACH or not (lot or tray_count(above.text)):
            return price
        if _SO_MANY_FOR.fullmatch(lot):
            return read_price(f"{lot} {text.strip()}")
        return price_in_row(f"{above.text}   {lot}", text, self.tray)

    def _priced_by_heading(self, line: OfferLine) -> bool:
        """Whether a plant's price is the one of the heading above it."""
        return self.general is not None and line.price is not None and line.price == self.general[0]

    def _group_heads_prices(
        self, text: str, reading: Reading, some: list[Line], i: int, known: dict[str, Reading]
    ) -> bool:
        """Whether a line with a price and the name of a group alone heads the plants of it: "IRIS - $7.00 EACH" above "Iris
        virginica" and no price."""
        group = (
            reading.kind == ReadingKind.PLANT and not reading.sure and (reading.genus_only or reading.wide)
        )
        words = re.sub(r"(?i)\beach\b|\bea\b", "", text)
        if not group or reading.cultivar or words.upper() != words or form_of(text.lower()) or size_of(text):
            return False
        below = next((line for line in some[i + 1 : i + 3] if line.text.strip()), None)
        if below is None or below.price or read_price(below.text) is not None:
            return False
        kin = set(known.get(below.text, _NOTHING).candidates)
        return bool(kin & set(reading.candidates))

    def _heads_prices(
        self, text: str, price: Price, some: list[Line], i: int, known: dict[str, Reading]
    ) -> bool:
        """Whether a line that names no plant is a heading with the price of what stands beneath: "3 GALLON POTS - $22.00
        EACH". It opens with a form, a size or a group, and the next line names a plant and no price. Right under a plant it
        is a heading only where that one has the price of the heading before."""
        if _SIGN_OVER_PLANTS.search(text) or text.rstrip().endswith(":") and not only_price(text):
            return self._unpriced_below(some, i, known)
        above = self.lines[-1] if self.lines else None
        beneath_plant = above is not None and above.candidates and not self._priced_by_heading(above)
        if (
            beneath_plant
            or self.last_priced is not None
            and self.general is None
            or not _HEAD_OF_PRICES.match(text)
        ):
            return False
        if not (price.open or price.per) or _NO_HEAD.search(text) or len(text.split()) > 2 * HEADING_WORDS:
            return False
        if self._unpriced_below(some, i, known):
            return True
        below = next((line for line in some[i + 1 : i + 3] if line.text.strip()), None)
        plant = below is not None and known.get(below.text, _NOTHING).kind == ReadingKind.PLANT
        return (
            not plant and self.general is not None and bool(price.open)
        )  # another's price: the heading's ends

    def _unpriced_below(self, some: list[Line], i: int, known: dict[str, Reading]) -> bool:
        """Whether the next line names a plant and no price."""
        below = next((line for line in some[i + 1 : i + 3] if line.text.strip()), None)
        if below is None or below.price or known.get(below.text, _NOTHING).kind != ReadingKind.PLANT:
            return False
        return read_price(below.text) is None

    def _heads_stock(self, text: str, some: list[Line], i: int, known: dict[str, Reading]) -> bool:
        """Whether a line without a price is a heading: in capitals among other lines, or set off by an empty line, right above
        a plant. It ends what the heading before says of form and size."""
        if (
            len(text.split()) > HEADING_WORDS
            or text.rstrip().endswith((".", "!"))
            or least_order(text)
            or sold_by(text)
        ):
            return False
        stock = bool(form_of(text.lower()) or size_of(text))
        above = next((line.text for line in reversed(self.lines[-4:]) if line.text.strip()), "")
        shouted = text.upper() == text or stock and bool(_CAPITALS.match(text))
        if not (shouted and not _CAPITALS.match(above)) and not (self.after_blank and stock):
            return False
        below = some[i + 1] if i + 1 < len(some) else None
        return below is not None and known.get(below.text, _NOTHING).kind == ReadingKind.PLANT

    def _of_the_plant_above(self, line: Line, price: Price | None) -> None:
        """Let a line right beneath a plant say that it is sold out, or in what size it comes."""
        if self.current is None or line.number - self.last_seen > 2:
            return
        plant = self.lines[self.current]
        if sold_out(line.text) and not self._among_labels(line.text):
            plant = replace(plant, sold_out=True)
        if not plant.size and not plant.form and only_price(line.text):
            plant = replace(plant, size=size_of(line.text), form=form_of(line.text.lower()))
            if plant.size or plant.form:
                self._see(line)
        if plant is not self.lines[self.current]:
            self.lines[self.current] = plant

    def _among_labels(self, text: str) -> bool:
        """Whether "Sold out" stands alone among the labels of a shop's page, which always holds it."""
        return len(text.split()) <= 3 and is_label_of_shop([line.text for line in self.lines[-4:]])

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
                if (
                    below.kind == ReadingKind.PLANT
                    and below.beneath
                    and (exact or reading.kind == ReadingKind.UNKNOWN)
                ):
                    return True
            if reading.kind == ReadingKind.PLANT and not kin:
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
            if below.kind == ReadingKind.PLANT and below.beneath:
                return below
        if not reading.sure and (self.seen or self.heading) and _ABBREVIATED.search(text):
            recent = {letter: genus for letter, (genus, at) in self.seen.items() if number - at <= NEARBY}
            again = read_names(text, self.book, heading=self.heading, recent=recent)
            if again.kind == ReadingKind.PLANT:
                return again
        return reading

    def _answer(self, reading: Reading, form: StockForm, banned: tuple[str, ...]) -> LineAnswer:
        """The answer for a reading, worked out once for all lines that are alike."""
        key = (reading.weighed(), form, banned)
        answer = self.answers.get(key)
        if answer is None:
            if len(self.answers) > 100_000:
                self.answers.clear()
            answer = self.answers[key] = self.line_judge.answer(reading, form, banned)
        return answer

    def finished(self) -> list[OfferLine]:
        """The lines; a least order asked of every kind, and whole trays of everything, are counted on all of them."""
        for at, price in self.prices.items():
            unit = self.list_unit[1] if self.list_unit and self.lines[at].line > self.list_unit[0] else None
            unit = None if unit and says_each(price.read) else unit
            asked = of_the_list(price, unit, self.currency)
            whole = self._whole_lots_of(self.lines[at])
            if whole and not price.in_lots and not price.packs and price.multiple == 1:
                asked = replace(asked, least_order=max(asked.least_order, whole), multiple=whole)
            if self.least and price.least_order < self.least:
                asked = replace(asked, least_order=max(asked.least_order, self.least))
            if asked is not price:
                self.lines[at] = self._priced(self.lines[at], asked)
        for at, note in notes_of([line.text for line in self.lines]).items():
            if self.lines[note].verdict in (ASK, LEAVE) and self.lines[at].verdict in (BUY, CONTAIN):
                self.lines[at] = _noted(self.lines[at], self.lines[note])
        return self.lines

    def _whole_lots_of(self, line: OfferLine) -> int:
        """In what whole lots the list sells this line's plants: a rule for plugs holds for plugs, and for what says no form in
        a list that has no other."""
        if self.whole_lots is None:
            return 0
        count, form = self.whole_lots
        others = {each.form for each in self.lines if each.candidates} - {form, StockForm.NOT_SAID}
        holds = not form or line.form == form or not line.form and not others
        return count if holds else 0

    def _priced(self, line: OfferLine, price: Price) -> OfferLine:
        """The line with another price."""
        return replace(line, **_price_cells(line.verdict, line.form, line.need, price))


def _judged(
    line: Line, reading: Reading, answer: LineAnswer, form: StockForm, size: str, priced: dict[str, Any]
) -> OfferLine:
    """The whole answer for a line that names a plant."""
    text = line.text
    return OfferLine(
        line=line.number,
        text=text,
        where=line.where,
        verdict=answer.verdict,
        code=answer.code,
        why=answer.why,
        short=answer.short,
        candidates=answer.candidates,
        plants=reading.candidates,
        common_name=answer.common_name,
        sure=answer.sure,
        refused=answer.refused,
        cultivar=reading.cultivar,
        unknown=reading.kind == ReadingKind.UNKNOWN,
        form=form,
        size=size,
        claims=claims_of(text) if answer.verdict != BUY else (),
        need=answer.need,
        groups=answer.groups,
        group=answer.group,
        contained_by=answer.contained_by,
        chance_over_cap=answer.chance_over_cap,
        chance_over_cap_contained=answer.chance_over_cap_contained,
        ranked=answer.ranked,
        good_for=answer.good_for,
        sold_out=line.none_left or sold_out(text),
        plant_questions=answer.questions,
        **priced,
    )


def _stock_of_heading(text: str) -> tuple[StockForm, str]:
    """Form and size that a heading gives to the lines beneath it; none where it names several."""
    return (StockForm.NOT_SAID, "") if says_several(text) else (form_of(text.lower()), size_of(text))


def _noted(line: OfferLine, note: OfferLine) -> OfferLine:
    """The answer for a line with a sign at which a note beneath leaves a doubt: "Iris virginica †" and "† may be Iris
    pseudacorus"."""
    said = " ".join(note.text.split())[:80]
    return replace(
        line,
        verdict=ASK,
        code=ReasonCode.SECOND_PLANT,
        why=f'A note says of it: "{said}" (line {note.line}). {line.why}',
        short=f"a note says more: line {note.line}",
        sure=False,
        plant_questions=(
            Question(
                f"is it surely that? See line {note.line}",
                "The list has a note on it. Which plant is it, and is it that one alone?",
            ),
            *line.plant_questions,
        ),
        **_price_cells(ASK, line.form, line.need, line.price),
    )


def _price_cells(verdict: OfferVerdict, form: StockForm, wanted: int, price: Price | None) -> dict[str, Any]:
    """The cells of an OfferLine that rest on its price, and what it leaves to say or to ask."""
    buys = verdict in (BUY, CONTAIN)
    if price is None:
        return {"price_question": WHAT_ONE_COSTS if buys else ""}
    need = wanted or 1
    remarks: list[str] = []
    bought = purchase(price, need) if price.unit.counts_plants else None
    question = ""
    if price.unit.is_weight:
        remarks.append(f"Priced by the {price.unit}: seed, not plants.")
    elif form == StockForm.SEED and price.unit in (Unit.PACK, Unit.BAG, Unit.EACH):
        bought = None
        remarks.append("Priced as seed, not plants.")
    elif price.lot:
        question = f"Is {price.breaks[0][1]:.2f} the price of one, or of all {price.lot}?"
        remarks.append("We can't tell, so it is not in the total.")
    elif price.open or not price.unit.counts_plants:
        question = WHAT_ONE_COSTS
        remarks.append(f'"{price.read}" is not the price of one, so it is not in the total.')
    elif bought is None:
        question = f"How many plants are in a {price.unit}?"
    else:
        if price.first_of:
            remarks.append("This is the price of the first size; the line has more.")
        if price.unit is Unit.BUNCH and price.per == 1:
            remarks.append("Priced by the bunch.")
        if bought.more is More.LEAST:
            remarks.append(f"Sold from {bought.plants} up.")
        elif bought.more is More.BREAK and buys:
            remarks.append(f"{bought.plants} cost less than {need}: the price falls there.")
        elif bought.more is More.LOT and buys:
            remarks.append(f"Whole lots only: {bought.cost:,.2f} for the {need} you need.")
    if price.currency != DOLLARS:
        remarks.append(f"The price is in {_MONEY.get(price.currency, price.currency)}, not dollars.")
    return {
        "price": price,
        "price_each": bought.each if bought else None,
        "cost": bought.cost if bought and verdict is not NOT_NEEDED else None,
        "buy": bought.plants if bought and verdict is not NOT_NEEDED else 0,
        "price_read": price.read,
        "currency": price.currency,
        "unit": price.unit,
        "count": price.per,
        "least_order": max(price.least_order, price.least(), 1) if not price.in_lots else 1,
        "price_remarks": tuple(remarks),
        "price_question": question,
    }


_MONEY = {
    "£": "British pounds",
    "€": "euros",
    "Rs": "rupees",
    "C$": "Canadian dollars",
    "A$": "Australian dollars",
}
# what a heading with a price opens with: a form, a size, or words in capitals
_HEAD_OF_PRICES = re.compile(
    r"\W*(?:[A-Z][A-Z'&/-]{2,}\b|(?i:\d+(?:\.\d+)? ?(?:\"|in(?:ch)?\b|gal(?:lon)?s?\b|qt|quarts?\b|pints?\b|ft\b)|#\d|gallons?\b|quarts?\b|"
    r"pints?\b|bare[- ]?roots?\b|plugs?\b|pots?\b|liners?\b|seed(?:ling)?s?\b|seed mix|tubers?\b|bulbs?\b|bunch|trays?\b|flats?\b|containers?\b))"
)
_NO_HEAD = re.compile(  # what is no price of plants, or a sentence
    r"\b(?:ship\w*|freight|delivery|handling|deposit|tax|sub-?total|total|extra|charge|fee|are|is|will|minimum order|order (?:of|over))\b",
    re.I,
)
# a sign over plants: "$12 TABLE", "Everything below is $3", "Prices: 4 in $4, qt $6", "Woody (3 gal $20)"
_SIGN_OVER_PLANTS = re.compile(
    r"\b(?:tables?|bench(?:es)?|below|beneath|following|everything|prices:|section|category|tier)(?:\b|(?<=:))|"
    r"^\W*[A-Z][A-Za-z]+(?: [A-Za-z]+)? \([^()]*[$£€] ?\d[^()]*\)\W*$",
    re.I,
)
_CAPITALS = re.compile(r"\W*[A-Z]{3,}\b")
_SO_MANY_FOR = re.compile(r"\d{1,3} for", re.I)
_FOR_ALL = re.compile(r"\b(?:all|every|any)\b|\bunless (?:noted|stated|marked|otherwise)", re.I)
_MONEY_SIGN = re.compile(r"[$£€]|\d\.\d\d\b")
_TRAY = re.compile(r"tray|flat", re.I)
# a heading gives no size, stock word or "sp.": a line with those offers a plant of an unnamed kind
_OFFERED = re.compile(r"[,\d]|\bspp?\b|\bspecies\b|assort|\bmix|colou?r|stock|\bsold\b", re.I)
_FIRST_WORD = re.compile(r"\W*(?:([A-Z])\.?\s+)?([A-Za-z-]{4,})")  # "stricta", "C. stricta"
_ABBREVIATED = re.compile(r"\b[A-Z]\.\s?[a-z]")


def _explained(text: str) -> bool:
    """Whether every word of a line is one of grammar, trade, color, size, light, season, place or use."""
    return all(explains_itself(stem(word)) for word in re.findall(r"[A-Za-z]+", text))


def _open(reading: Reading) -> bool:
    """Whether a heading above could still explain the line."""
    return (
        reading.kind == ReadingKind.UNKNOWN
        or (reading.kind == ReadingKind.NONE and bool(reading.loose_ends))
        or (reading.kind == ReadingKind.PLANT and not reading.sure and not reading.genus_only)
    )


def _could_head(reading: Reading, text: str) -> bool:
    if (
        reading.kind != ReadingKind.PLANT
        or reading.sure
        or not reading.heading
        or len(text.split()) > HEADING_WORDS
    ):
        return False
    if _OFFERED.search(text) or form_of(text.lower()):
        return False
    return (reading.genus_only or reading.wide) and not reading.loose_ends and not reading.cultivar


def _each_once(priced: list[OfferLine]) -> list[OfferLine]:
    """One line for each plant: the cheapest in dollars, or in the money first named where none is, since we change no
    money."""
    cheapest: dict[tuple[str, ...], OfferLine] = {}
    for line in priced:
        best = cheapest.setdefault(line.candidates, line)
        cheaper = (line.cost or 0.0) < (best.cost or 0.0)
        if line.currency == best.currency and cheaper or line.currency == DOLLARS != best.currency:
            cheapest[line.candidates] = line
    return list(cheapest.values())


def _sum_up(out: list[OfferLine], pond: Pond, catalogue: Catalogue, smallest: LeastSpend | None) -> Offer:
    counts = Counter(line.verdict for line in out)
    wanted = [line for line in out if line.verdict in (BUY, CONTAIN) and not line.sold_out]
    priced = [line for line in wanted if line.cost is not None]
    once = _each_once(priced)
    sums: dict[str, float] = {}
    for line in once:
        sums[line.currency] = sums.get(line.currency, 0.0) + (line.cost or 0.0)
    bought = {plant_id for line in out if line.verdict in (BUY, CONTAIN) for plant_id in line.plants}
    total = round(sums.pop(DOLLARS, 0.0), 2)
    state = STATES[pond.state][0]
    forms = {line.form for line in out if line.verdict in (BUY, CONTAIN)}
    questions = [
        "Will you send exactly these species, and nothing in their place without asking?",
        "Were they grown at the nursery, from stock of which state? None dug from the wild?",
        "Is the stock free of duckweed, algae, snails and other strays? Is there an inspection certificate?",
        f"Do you ship each of them to {state}?",
    ]
    arrival = [
        "Check every label and plant against the order first; keep back what does not match.",
        "Rinse roots and stems over dry ground, in clean water that does not run to the pond.",
        "Keep them two weeks in a tub away from the pond; look often for fragments, duckweed and snails.",
        "Pick off snails and egg masses; bag and bin strays and packing: never in a ditch.",
    ]
    if {StockForm.BARE_ROOT, StockForm.TUBER} & forms:
        arrival.append("Bare roots and tubers: keep them wet and shaded, and set them within days.")
    if StockForm.SEED in forms:
        arrival.append(
            "Seed: keep it cool and dry until its season; it can carry other species, so buy it tested."
        )
    unread = tuple(line for line in out if line.unknown)
    plants = [catalogue.plant(p) for p in catalogue.plant_ids if p in bought]
    return Offer(
        pond=pond,
        lines=out,
        counts={verdict: counts[verdict] for verdict in counts},
        total=total,
        other_totals=tuple((sign, round(value, 2)) for sign, value in sums.items()),
        least_spend=smallest,
        priced=len(priced),
        unpriced=len(wanted) - len(priced),
        questions=tuple(questions),
        arrival=tuple(arrival),
        law=catalogue.coverage_of(pond.state),
        unread=unread,
        again=len(priced) - len(once),
        dangers=(*poison_lines(plants), *lookalike_lines(plants)),
    )
