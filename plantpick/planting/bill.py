"""A plan's bill: every line with what it rests on, the lines that only you can fill in, and the hours. billing.py makes it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plantpick.offers.purchase import More
from plantpick.planting.guards import Enclosure
from plantpick.planting.prices import Basis, PriceRange


class Item(StrEnum):
    """What a line of the bill is for. The words are those of the JSON output."""

    PLANTS = "plants"
    TUBS = "tubs"
    BARRIER = "root barrier"
    MESH = "mesh and wire"
    POSTS = "posts"
    SLEEVES = "sleeves"
    FENCE = "fence"
    SEED = "bank seed"
    DELIVERY = "delivery"
    LEAST = "least order"


class Work(StrEnum):
    """What hours go into. The words are those of the JSON output."""

    PLANTING = "planting"
    GUARDING = "guarding"
    YEARLY = "every year"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line: so much of `unit`, for `low` to `high` dollars in all; None where you have to fill it in. A line on plants names its
    plant; `bought` is how many you have to buy for the `number` you need, and `more` why."""

    item: Item
    number: float
    unit: str
    price: PriceRange | None
    low: float | None
    high: float | None
    plant_id: str = ""
    bought: int = 0
    more: More = More.NOTHING

    @property
    def buys_more(self) -> bool:
        return self.bought > self.number

    @property
    def left_over(self) -> int:
        """Plants that you have to buy and that the plan has no place for."""
        return max(0, self.bought - round(self.number))

    @property
    def basis(self) -> Basis:
        return self.price.basis if self.price is not None else Basis.FILL_IN


@dataclass(frozen=True, kw_only=True)
class GuardCost:
    """Dollars for cages, rings and sleeves of one plant."""

    plant_id: str
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Person-hours of one kind of work, from quick to slow. `item` is the item of costs.csv that the rate is from; empty: judgement."""

    work: Work
    low: float
    high: float
    item: str = ""


@dataclass(frozen=True, kw_only=True)
class Bill:
    """All lines, the cages and rings round groups that they are for, and the hours. `rings` are those round single stems,
    `guards` what the guards of each plant cost, the most costly first."""

    lines: tuple[Line, ...] = ()
    hours: tuple[Hours, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    rings: tuple[Enclosure, ...] = ()
    guards: tuple[GuardCost, ...] = ()

    @property
    def low(self) -> float:
        """Dollars in all, at the lowest prices; what you have to fill in comes on top."""
        return sum(line.low or 0.0 for line in self.lines)

    @property
    def high(self) -> float:
        """Dollars in all, at the highest prices; what you have to fill in comes on top."""
        return sum(line.high or 0.0 for line in self.lines)

    @property
    def to_fill_in(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.low is None)

    def of(self, *items: Item) -> tuple[float, float]:
        """Dollars on these items, low and high."""
        some = [line for line in self.lines if line.item in items]
        return sum(line.low or 0.0 for line in some), sum(line.high or 0.0 for line in some)

    def time(self, *works: Work) -> tuple[float, float]:
        """Hours of these kinds of work, low and high."""
        some = [h for h in self.hours if h.work in works]
        return sum(h.low for h in some), sum(h.high for h in some)
