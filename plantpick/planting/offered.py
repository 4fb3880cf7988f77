"""What a nursery's checked offer gives a plan to buy, and at what prices."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from plantpick.offers.check import Offer
from plantpick.offers.counter import Row, at_the_counter
from plantpick.offers.order_terms import LeastSpend
from plantpick.offers.purchase import DOLLARS, Price, Purchase, cheapest
from plantpick.offers.verdict import BUY, CONTAIN


@dataclass(frozen=True)
class Offered:
    """The plants offered and cleared, each with its prices in dollars; none where the offer names no price that we understood.
    `least_spend` is the smallest order in money that the seller takes. `refused` are the plants of the offer that must not be
    bought, `not_needed` those that do nothing you asked for, `doubted` those to ask about first, the most doubtful first; no plan uses either. `forms` are what the offer sells each
    plant as ("2 in plug"), those of several lines one after the other."""

    prices: Mapping[str, tuple[Price, ...]] = field(default_factory=dict)
    least_spend: LeastSpend | None = None
    refused: tuple[Row, ...] = ()
    not_needed: tuple[Row, ...] = ()
    doubted: tuple[Row, ...] = ()
    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @classmethod
    def at(cls, each: Mapping[str, float]) -> Offered:
        """Plants at so many dollars each; NaN for one without a price."""
        return cls(
            {p: () if math.isnan(price) else (Price(breaks=((1, price),)),) for p, price in each.items()}
        )

    def __contains__(self, plant_id: object) -> bool:
        return plant_id in self.prices

    def purchase(self, plant_id: str, need: int) -> Purchase | None:
        """The cheapest way to buy so many of a plant; None where the offer does not say what one costs."""
        return cheapest(self.prices.get(plant_id, ()), need)

    def each(self, plant_id: str, need: int) -> float:
        """Dollars for each of so many plants that you need, whole lots and least orders paid; NaN where the offer does not say."""
        bought = self.purchase(plant_id, need)
        return math.nan if bought is None else bought.cost / need


def offered(offer: Offer) -> Offered:
    """The plants of a checked offer. Lines to leave or to ask about, lines that could be several plants, and what is sold out are not
    counted on."""
    prices: dict[str, tuple[Price, ...]] = {}
    forms: dict[str, dict[str, None]] = {}
    for line in offer.lines:
        if line.verdict in (BUY, CONTAIN) and len(line.plants) == 1 and not line.sold_out:
            understood = line.price is not None and line.price_each is not None and line.currency == DOLLARS
            more = (line.price,) if understood and line.price is not None else ()
            prices[line.plants[0]] = (*prices.get(line.plants[0], ()), *more)
            form = str(line.form)
            sold_as = line.size if form and form in line.size.lower() else f"{line.size} {form}".strip()
            if sold_as:
                forms.setdefault(line.plants[0], {})[sold_as] = None
    counter = at_the_counter(offer)
    return Offered(
        prices,
        offer.least_spend,
        refused=counter.leave,
        not_needed=counter.not_needed,
        doubted=(*counter.unread, *counter.ask),
        forms={plant_id: tuple(sold_as) for plant_id, sold_as in forms.items()},
    )
