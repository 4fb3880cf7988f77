"""Offers as they are copied from web pages, mails and scans. All pages here are made up, in shapes of the trade."""

from __future__ import annotations

import pytest

from plantpick.files import catalogue, pond_file
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NO_PLANT

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def check(plants, book, south):
    def run(page: str):
        texts = page.strip("\n").split("\n")
        answer = check_offer([Line(i, t) for i, t in enumerate(texts, 1)], south, plants, book=book)
        return {line.line: line for line in answer.lines}, answer

    return run


def plants_of(lines):
    return {n: line for n, line in lines.items() if line.verdict != NO_PLANT}


def test_a_shop_s_page_gives_one_line_a_plant_with_its_price(check):
    lines, _ = check("""
Skip to content
Shop
Cart (0)
Pickerelweed
Pontederia cordata
Regular price
$9.00
Add to cart
Southern Blue Flag
(Iris virginica)
2 in plug
$3.50
Sold out
You may also like
""")
    found = plants_of(lines)
    assert sorted(found) == [4, 9]
    assert (
        found[4].price_each == 9.0
        and found[4].candidates == ("Pontederia cordata",)
        and not found[4].sold_out
    )
    assert found[9].price_each == 3.5 and found[9].sure and found[9].sold_out and found[9].size == "2 in plug"


def test_sold_out_among_a_shop_s_labels_is_none(check):
    lines, _ = check("Pickerelweed\nRegular price\nSale price\n$4.00\nUnit price\nSold out\n")
    assert not lines[1].sold_out and lines[1].price_each == 4.0


def test_what_buyers_say_is_no_offer(check):
    lines, _ = check("""
Soft Rush (Juncus effusus) $2.00
I bought the water hyacinth here last year and love it!
Verified buyer: my hydrilla arrived healthy, 5 stars
I can also get you water hyacinth.
""")
    assert [line.verdict for line in lines.values()][1:3] == [NO_PLANT, NO_PLANT]
    assert lines[4].verdict == LEAVE, "a seller's word is an offer"


@pytest.mark.parametrize(
    "page, name",
    [
        ("Soft Rush (Juncus\neffusus) 2 in plug  $1.20", "Juncus effusus"),
        ("Saururus cer-\nnuus 4 in pot $1.20", "Saururus cernuus"),
        ("Water lettuce Pistia strati-\notes 3 for $5", "Pistia stratiotes"),
    ],
)
def test_a_name_broken_over_two_lines_is_one_plant(check, page, name):
    lines, _ = check(page)
    assert lines[1].candidates == (name,) and lines[1].sure and lines[1].price_each
    assert lines[2].verdict == NO_PLANT


def test_two_names_that_disagree_stay_two_lines(check):
    lines, _ = check("Water hyacinth\nPontederia cordata $2\n")
    assert lines[1].verdict == LEAVE and lines[2].verdict in (BUY, CONTAIN)


def test_a_doubtful_name_is_not_cleared_by_the_next_plant_of_a_list(check):
    """Elodea may be a listed plant; the American waterweed beneath it is another line of the list."""
    lines, _ = check("Elodea\nElodea canadensis, American waterweed $2\nJuncus effusus $1\n")
    assert lines[1].verdict in (ASK, LEAVE)
    lines, _ = check("Arrowhead\nSagittaria latifolia\nSoft rush\n")
    assert lines[1].verdict in (ASK, LEAVE)


def test_two_prices_are_two_offers(check):
    lines, _ = check("Pickerelweed $4.00\nPontederia cordata $3.00\n")
    assert [line.price_each for line in lines.values()] == [4.0, 3.0]


def test_a_quoted_question_and_a_thing_beneath_a_plant_are_no_part_of_the_offer(check):
    lines, _ = check("""
Do you have pickerelweed?
Buttonbush live stakes $1.10 ea (100 min)
Coir log 12" x 10' $85
""")
    assert lines[1].verdict == NO_PLANT
    assert lines[2].size == "" and lines[2].price_each == 1.10 and lines[2].least_order == 100


@pytest.mark.parametrize(
    ("scientific", "common"),
    [  # names that trade uses for the native and for a plant to refuse alike: common practice, no source
        ("Peltandra virginica", "Taro"),
        ("Peltandra virginica", "Elephant ear"),
        ("Nymphoides aquatica", "Water snowflake"),
    ],
)
def test_a_name_that_a_refused_plant_bears_too_is_the_next_plant_of_a_list(scientific, common):
    """A plain list, one name a line: the second line is asked about, not taken for the first one's other name."""
    pond, plants = pond_file.read_pond("demo"), catalogue.load(by_name=True)
    lines = check_offer([Line(1, scientific), Line(2, common)], pond, plants).lines
    assert lines[0].verdict == BUY and lines[1].verdict in (ASK, LEAVE)
    same = check_offer([Line(1, scientific), Line(2, f"Common name: {common}")], pond, plants).lines
    assert same[1].verdict == NO_PLANT, "a label says that it is the same"
