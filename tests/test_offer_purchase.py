"""What so many plants cost under a price. Prices are made up, in shapes of the trade; the sums are worked by hand."""

from __future__ import annotations

import pytest

from plantpick.offers.prices import read_price
from plantpick.offers.purchase import More, Price, Unit, cheapest, purchase


@pytest.mark.parametrize(
    "text, need, plants, cost, more",
    [
        ("$2.00 each", 7, 7, 14.00, More.NOTHING),
        ("25 for $5", 10, 25, 5.00, More.LOT),
        ("25 for $5", 26, 50, 10.00, More.LOT),
        ("25 for $5, minimum 100", 30, 100, 20.00, More.LEAST),
        ("tray of 50 $68.00", 51, 100, 136.00, More.LOT),
        ("tray of 50 $68.00", 100, 100, 136.00, More.NOTHING),
        ("tray of 50 $68.00, minimum 2 trays", 10, 100, 136.00, More.LEAST),
        ("tray of 50 $68.00, minimum order 120 plants", 10, 150, 204.00, More.LEAST),
        ("$2.50 each, 25+ $2.00", 20, 20, 50.00, More.NOTHING),  # 25 at 2.00 cost as much
        ("$2.50 each, 25+ $2.00", 21, 25, 50.00, More.BREAK),  # 21 at 2.50 are 52.50
        ("$2.50 each, 25+ $2.00", 40, 40, 80.00, More.NOTHING),
        ("$2.10 each (min. 25)", 10, 25, 52.50, More.LEAST),
        ("$3.00 sold in multiples of 4", 10, 12, 36.00, More.LEAST),
        ("10 for $19, 50 for $69", 10, 10, 19.00, More.NOTHING),
        ("10 for $19, 50 for $69", 40, 50, 69.00, More.LOT),  # four tens are 76
        ("$85.00/100", 30, 30, 25.50, More.NOTHING),  # a rate (common practice, no source)
    ],
)
def test_what_so_many_plants_cost(text, need, plants, cost, more):
    price = read_price(text)
    assert price is not None
    bought = purchase(price, need)
    assert bought is not None
    assert (bought.plants, bought.cost, bought.more) == (plants, cost, more)


def test_trays_with_breaks_count_trays():
    """Four trays at 50 are 200, five at 45 are 225: the fifth is bought only where it is needed."""
    price = Price(breaks=((1, 50.0), (5, 45.0)), per=38, unit=Unit.TRAY)
    four, five = purchase(price, 4 * 38), purchase(price, 4 * 38 + 1)
    assert four is not None and (four.plants, four.cost) == (152, 200.0)
    assert five is not None and (five.plants, five.cost) == (190, 225.0)


@pytest.mark.parametrize("text", ["$980/acre", "$5 and up", "32 cell tray $6.50", "$125.00 per lb"])
def test_no_cost_where_the_price_is_not_that_of_plants(text):
    price = read_price(text)
    assert price is not None and purchase(price, 10) is None


def test_the_cheapest_of_several_prices_depends_on_how_many_you_need():
    """One at $4, or fifty for $68: from the eighteenth on the tray is cheaper (17 x 4 = 68)."""
    pot, tray, pounds = (read_price(t) for t in ("$4.00 each", "tray of 50 $68.00", "£0.10 each"))
    assert pot and tray and pounds
    for need, cost in ((17, 68.0), (18, 68.0), (10, 40.0)):
        bought = cheapest((pot, tray, pounds), need)
        assert bought is not None and bought.cost == cost
    fewest = cheapest((pot, tray, pounds), 17)
    assert fewest is not None and fewest.plants == 17
    assert cheapest((pounds,), 10) is None


def test_never_fewer_than_needed_and_never_dearer_than_one_by_one():
    """Whatever the number: enough plants, and no more money than the first break would ask (made-up price)."""
    price = Price(breaks=((1, 3.0), (10, 2.5), (50, 1.75)), multiple=3)
    before = 0.0
    for need in range(1, 200):
        bought = purchase(price, need)
        assert bought is not None and bought.plants >= need and bought.plants % 3 == 0
        assert before <= bought.cost <= 3.0 * (need + 2)
        before = bought.cost
