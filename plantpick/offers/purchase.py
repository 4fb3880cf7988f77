"""A price as we understand it, and what so many plants cost under it: whole lots, least orders, price breaks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

DOLLARS = "$"


class Unit(StrEnum):
    """What an amount of money buys."""

    EACH = "each"
    DOZEN = "dozen"
    HUNDRED = "hundred"
    THOUSAND = "thousand"
    TRAY = "tray"
    FLAT = "flat"
    BUNCH = "bunch"
    PACK = "pack"
    BAG = "bag"
    BOX = "box"
    CASE = "case"
    SET = "set"
    LOT = "lot"
    POUND = "pound"
    OUNCE = "oz"
    KILOGRAM = "kg"
    GRAM = "gram"
    PORTION = "portion"
    ACRE = "acre"
    SQUARE_FOOT = "square foot"
    RUNNING_FOOT = "running foot"
    YARD = "yard"
    CUBIC_YARD = "cubic yard"
    ROLL = "roll"
    MAT = "mat"
    LOG = "log"
    LOAD = "load"
    NOT_UNDERSTOOD = "not understood"

    @property
    def is_lot(self) -> bool:
        """Whether plants in this unit are sold whole only. A hundred and a thousand are rates (common practice, no source).
        A dozen is sold whole: who prices by the dozen counts out dozens, and a bill of whole dozens is never short
        (judgement)."""
        return self in LOTS

    @property
    def is_weight(self) -> bool:
        """Whether this is how seed is sold."""
        return self in WEIGHTS

    @property
    def counts_plants(self) -> bool:
        """Whether so many of this unit are so many plants."""
        return self in COUNTED


HOLDERS = frozenset(
    (Unit.TRAY, Unit.FLAT, Unit.BUNCH, Unit.PACK, Unit.BAG, Unit.BOX, Unit.CASE, Unit.SET, Unit.LOT)
)
LOTS = HOLDERS | {Unit.DOZEN}
COUNTED = LOTS | {Unit.EACH, Unit.HUNDRED, Unit.THOUSAND}
WEIGHTS = frozenset((Unit.POUND, Unit.OUNCE, Unit.KILOGRAM, Unit.GRAM))


class Unclear(StrEnum):
    """Why an amount may not be counted on."""

    NO = ""
    LOT = "lot"  # the price of one, or of all in the lot
    FROM = "from"  # the lowest of several
    SEVERAL = "several"  # amounts, and nothing says what each buys


class More(StrEnum):
    """Why you buy more plants than you need."""

    NOTHING = ""
    LOT = "lot"  # sold in whole lots only
    LEAST = "least"  # the seller sends no fewer
    BREAK = "break"  # the next price break makes more plants cheaper


@dataclass(frozen=True)
class Purchase:
    """So many plants, bought as the seller sells them: how many you get, what they cost, and why they are more than you
    need."""

    plants: int
    cost: float
    more: More = More.NOTHING

    @property
    def each(self) -> float:
        """What one of the plants bought comes to."""
        return round(self.cost / self.plants, 4)


@dataclass(frozen=True)
class Price:
    """What a line asks for its plants.

    `breaks` are (from so many, amount): so many plants, or so many lots where plants are sold in lots. `per` is the number
    of plants that the amount buys, None where that is not known. Amounts as written, in `currency`. `packs` are lots of
    several sizes, (plants, amount). `read` is the price as the line has it, `open` why it may not be counted on, `lot` how
    many plants it may be for instead of one. `least_order` counts plants. `first_of` is how many letters of the line say what
    the price is for, where it goes on with prices of other sizes; 0 for a line with one.
    """

    breaks: tuple[tuple[int, float], ...]
    per: int | None = 1
    unit: Unit = Unit.EACH
    currency: str = DOLLARS
    read: str = ""
    packs: tuple[tuple[int, float], ...] = ()
    least_order: int = 1
    multiple: int = 1
    open: Unclear = Unclear.NO
    lot: int | None = None
    first_of: int = 0

    def each(self, need: int) -> float | None:
        """The price of one plant when you buy for `need`; None for seed by weight, a tray of unknown size or an amount that
        we did not understand."""
        bought = purchase(self, need)
        return bought.each if bought else None

    def cost(self, need: int) -> float | None:
        """What `need` plants cost as the seller sells them; None where not known."""
        bought = purchase(self, need)
        return bought.cost if bought else None

    def of_a_mixture(self, says_each: bool) -> Price:
        """The same where several plants are sold together: an amount beside their number, or beside none, is for all of
        them, unless the line says that it is for each."""
        if says_each or self.unit is not Unit.EACH or len(self.breaks) > 1 or self.packs:
            return self
        if self.open is Unclear.LOT:
            return replace(self, per=self.lot, unit=Unit.LOT, open=Unclear.NO, lot=None)
        return self if self.open else replace(self, per=None, unit=Unit.LOT)

    @property
    def in_lots(self) -> bool:
        return self.unit.is_lot and (self.per or 1) > 1

    def least(self) -> int:
        """The smallest number that the breaks name."""
        return self.breaks[0][0]


@lru_cache(maxsize=20_000)
def purchase(price: Price, need: int) -> Purchase | None:
    """The cheapest way to get at least `need` plants under a price: whole lots, no fewer than the seller sends, and up to the
    next price break where that costs less. None where the price does not say what one plant costs."""
    if price.per is None or price.open:
        return None
    need = max(need, 1)
    if price.packs:
        return _in_packs(price, need)
    size = price.per if price.in_lots else 1  # plants in what the breaks count
    step = 1 if price.in_lots else max(price.multiple, 1)
    fewest = _whole(max(need, price.least_order), size)
    base = step * _whole(max(fewest, price.least()), step)
    best = base
    for least, _ in price.breaks:
        up = step * _whole(least, step)
        if up > base and _cost(price, up, size) < _cost(price, best, size) - 0.005:
            best = up
    plants = best * size
    if plants <= need:
        more = More.NOTHING
    elif best > base:
        more = More.BREAK
    elif price.in_lots and base == _whole(need, size):
        more = More.LOT
    else:
        more = More.LEAST
    return Purchase(plants, round(_cost(price, best, size), 2), more)


def _whole(number: int, size: int) -> int:
    """How many whole lots of `size` hold `number`."""
    return -(-number // size)


def _cost(price: Price, units: int, size: int) -> float:
    amount = next((a for least, a in reversed(price.breaks) if least <= units), price.breaks[0][1])
    return units * size * amount / (price.per or 1)


def _in_packs(price: Price, need: int) -> Purchase:
    """The cheapest packs that hold at least so many plants."""
    wanted = max(need, price.least_order)
    largest, its_price = price.packs[-1]
    whole = max(0, wanted // largest - 10)  # ten of the largest and more: the rest decides
    left = wanted - whole * largest
    best: list[tuple[float, int]] = [(0.0, 0)]
    for some in range(1, left + 1):
        best.append(
            min(
                (best[max(0, some - n)][0] + amount, best[max(0, some - n)][1] + n)
                for n, amount in price.packs
            )
        )
    cost, plants = best[left]
    plants += whole * largest
    more = More.NOTHING if plants <= need else More.LEAST if price.least_order > need else More.LOT
    return Purchase(plants, round(cost + whole * its_price, 2), more)


def cheapest(prices: Iterable[Price], need: int) -> Purchase | None:
    """The cheapest way to get at least `need` plants from one of several prices in dollars; None where none of them says
    what one plant costs."""
    found = [bought for p in prices if p.currency == DOLLARS and (bought := purchase(p, need))]
    return min(found, key=lambda bought: (bought.cost, bought.plants), default=None)
