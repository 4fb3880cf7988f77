"""What things cost that a planting needs: published prices with their years where there are any, else a judgement that says so."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plantpick.catalogue.costs import Costs
from plantpick.catalogue.plants import Plant
from plantpick.vocabulary import WOODY


class Basis(StrEnum):
    """What a price rests on. The words are those of the JSON output."""

    OFFER = "offer"  # the nursery's own
    LISTED = "listed"  # seen for this plant on published lists of plants sold
    PUBLISHED = "published"  # for such plants or things, in costs.csv
    JUDGEMENT = "judgement"  # ours
    FILL_IN = "fill in"  # nobody can say but you


@dataclass(frozen=True, kw_only=True)
class PriceRange:
    """Dollars for one, from `low` to `high`. `year` is that of the prices, empty for a judgement; `item` the item of costs.csv that
    they are from, if any."""

    low: float
    high: float
    basis: Basis
    year: str = ""
    item: str = ""

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2.0


def _judged(low: float, high: float) -> PriceRange:
    return PriceRange(low=low, high=high, basis=Basis.JUDGEMENT)


# Judgement, each: what one pays today in small numbers.
FLOATING = _judged(8.0, 20.0)  # a rhizome or a pot of a water lily
SUBMERSED = _judged(2.0, 6.0)
MEASURES = {"tub": _judged(8.0, 16.0), "barrier": _judged(5.0, 11.0)}  # for each plant
MESH_FT = _judged(1.0, 3.0)  # a foot along of mesh or wire, 3 to 6 ft high
POST = _judged(4.0, 8.0)


def published(costs: Costs, item: str) -> PriceRange:
    """What the published figures on one item span."""
    low, high = costs.span(item)
    return PriceRange(low=low, high=high, basis=Basis.PUBLISHED, year=costs.years(item), item=item)


def plant_price(plant: Plant, costs: Costs) -> PriceRange:
    """What one plant costs: what lists ask for it where any was seen, else what such plants were sold for."""
    if plant.price_low_usd == plant.price_low_usd:  # NaN is unlike itself
        return PriceRange(
            low=plant.price_low_usd, high=plant.price_high_usd, basis=Basis.LISTED, year=plant.price_year
        )
    if plant.growth_form == "floating-leaved":
        return FLOATING
    if plant.growth_form == "submersed":
        return SUBMERSED
    return published(costs, plant.growth_form if plant.growth_form in WOODY else "herb")
