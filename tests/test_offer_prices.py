"""Prices of an offer: units, lots, breaks, currencies, least orders. All lines are made up, in shapes of the trade."""

from __future__ import annotations

import random

import pytest

from plantpick.files import catalogue, pond_file
from plantpick.files.offer_lines import lines_of_table, lines_of_text
from plantpick.offers.check import Line, check_offer
from plantpick.offers.order_terms import least_order, least_spend, sold_out
from plantpick.offers.prices import read_price
from plantpick.offers.purchase import Unit, purchase
from plantpick.offers.shipping_terms import size_of
from plantpick.show import offer_words

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def check(plants, book, south):
    def run(*texts: str | Line, need: int | None = None):
        lines = [t if isinstance(t, Line) else Line(i, t) for i, t in enumerate(texts, 1)]
        return check_offer(lines, south, plants, book=book, need=need)

    return run


SIZES = 'Plant,"2"" plug (50/tray)","4"" pot",1 gal'  # headings of a table


@pytest.mark.parametrize(
    "text, each, cost",
    [  # the price of one and the cost of ten, in whole lots
        ("100 stakes 129.99", 1.2999, 129.99),
        ("100 pack $129.99", 1.2999, 129.99),
        ("black willow stakes, package of 100, $129.99", 1.2999, 129.99),
        ("6 pack 11.99", 1.9983, 23.98),
        ("$6.99/4 pack", 1.7475, 20.97),
        ("25 for $5", 0.20, 5.00),
        ("$10 for 5", 2.00, 20.00),
        ("10 for $19, 50 for $69", 1.90, 19.00),
        ("$8 each or 3 for $21", 7.10, 71.00),
        ("$17.50 bundle of 5", 3.50, 35.00),
        ('seedlings 18-24" 10/bundle $22.00', 2.20, 22.00),
        ("50/flat, $55 per flat or $1.35 ea.", 1.35, 13.50),
        ("3 gal. - $18.00  Sale $12.00", 12.00, 120.00),
        ("5.00/ea 25 ct min", 5.00, 125.00),
        ("1g 6.50", 6.50, 65.00),  # a gallon pot
        ("$2.50 ea, 25+ $2.00", 2.50, 25.00),
        ("$9.00 ea / $8.00 ea 10+", 8.00, 80.00),
        ("1+ $2.50, 25+ $2.00", 2.50, 25.00),
        ("25+ $2.00", 2.00, 50.00),
        ("$2.10 minimum quantity 6", 2.10, 21.00),
        ("$2.10 each (min. 25)", 2.10, 52.50),
        ("$3.00 sold in multiples of 4", 3.00, 36.00),
        ("38 cell tray $45.60", 1.20, 45.60),
        ("50 cell tray 0.85", 0.85, 8.50),
        ("32 cell tray $6.50", None, None),
        ("50 cell tray 0.15 ea", 0.15, 1.50),
        ("$1.10 each, $55.00/tray of 50", 1.10, 55.00),
        ("25 @ $2.10 52.50", 2.10, 21.00),
        ("Buttonbush 18-24 $1.50", 1.50, 15.00),
        ("Zone 4-9 $8.99", 8.99, 89.90),
        ('4" pot $5.00, gallon $12.00', 5.00, 50.00),
        ("was $9.00 now $7.00", 7.00, 70.00),
        ("Regular price $8.00 USD Sale price $5.00 USD", 5.00, 50.00),
        ("$12.75/bareroot", 12.75, 127.50),
        ("$5.00 USD", 5.00, 50.00),
        ("Soft rush S2.00", 2.00, 20.00),  # text recognition's dollar
        ("$3.00 each; 4 plants for $10.00", 2.60, 26.00),  # two lots of four and two single ones
        ("seedlings $980.00/1000", 0.98, 9.80),
    ],
)
def test_lots_breaks_and_least_orders(text, each, cost):
    price = read_price(text)
    assert price is not None
    assert price.each(10) == (None if each is None else pytest.approx(each))
    assert price.cost(10) == (None if cost is None else pytest.approx(cost))


@pytest.mark.parametrize(
    "text, read",
    [
        ("wet meadow mix $980/acre", "$980/acre"),
        ("$65/1000 sq ft", "$65/1000 sq"),
        ("Iris $5 and up", "$5 and up"),
        ("from $4.99", "from $4.99"),
        ("$5.00 - $9.00", "$5.00 - $9.00"),
        ("$8.99 per species", "$8.99 per species"),
        ("$125.00 per/lb", "$125.00 per/lb"),
        ("1/8 oz $4.00", "$4.00"),
        ("1 lb. bag $20.00", "$20.00"),
        ("1 cup $6.99", "$6.99"),
        ("12 plugs $48", "$48"),
        ("by the pound $14.00", "$14.00"),
        ("$14.00 by the pound", "$14.00 by the pound"),
        ("gal $18+$36", "$18+$36"),
        ("2+4 gal $18+$36", "$18+$36"),
        ('Silver maple 12"-18" 10 $25.00', "$25.00"),
        ("99999999 for $1", "99999999 for $1"),
        ("18-24 $2.00 24-36 $1.50 $3.30", "18-24 $2.00 24-36 $1.50"),
    ],
)
def test_what_is_not_the_price_of_one_is_shown_as_it_stands(text, read):
    price = read_price(text)
    assert price is not None and price.read == read
    if "24-36" not in text:
        assert price.each(10) is None and price.cost(10) is None


@pytest.mark.parametrize(
    "text",
    [
        "Minimum Order $200",
        "Free shipping over $50",
        "$9.95 shipping",
        "Shipping: $12.00",
        "Save $3.00",
        "$5.00 off your first order",
        "2.25 in pots",
        "1.25 gal",
        "pH 6.50",
        "Orders under $75 pay a box charge of $8",
        "gift card $25",
        "There is a $50 order minimum",
        "Additional plants ship for just $1.00 each",
        "call 555.12.3456",
        "Spikerush . . .19",
        "Seaside goldenrod ...... 29",
        "$1e9",
        "$12e9",
    ],
)
def test_no_price_that_is_not_there(text):
    assert read_price(text) is None


@pytest.mark.parametrize(
    "text, sign, each",
    [
        ("Rs. 150 per plant", "Rs", 150.0),
        ("Rs.40/-", "Rs", 40.0),
        ("£7.50 ea.", "£", 7.5),
        ("€3,50", "€", 3.5),
        ("3,50 €", "€", 3.5),
        ("$12.00 CAD", "C$", 12.0),
        ("C$12.00", "C$", 12.0),
        ("US$ 4.50", "$", 4.5),
    ],
)
def test_other_money_is_named(text, sign, each):
    price = read_price(text)
    assert price is not None and price.currency == sign and price.each(1) == each


def test_other_money_is_never_added_up_as_dollars(check):
    answer = check("Pontederia cordata £2.00 each", "Peltandra virginica $3.00 each", need=10)
    assert answer.total == 30.0 and answer.other_totals == (("£", 20.0),)
    assert "British pounds" in answer.lines[0].reason


def test_what_is_not_sold_in_a_state_is_not_sold_out():
    assert not sold_out("Not available in CA") and not sold_out("unavailable in Florida")
    assert not sold_out("Not available to ship to Texas") and not sold_out("not available in some states")
    assert (
        sold_out("Not available")
        and sold_out("currently unavailable")
        and sold_out("sold out in our greenhouse")
    )


def test_price_breaks_under_a_title_line(check):
    lines = check("Pickerelweed", "1-9 $2.60", "10-49 $2.10", "50+ $1.65", need=60).lines
    assert lines[0].price_each == 1.65 and lines[0].price_read == "1-9 $2.60, 10-49 $2.10, 50+ $1.65"
    assert [line.why for line in lines[1:]] == ["the price of line 1"] + ["more prices of line 1"] * 2
    assert check("Pickerelweed", "1-9 $2.60", "10-49 $2.10", "50+ $1.65", need=5).lines[0].price_each == 2.60


def test_a_price_for_all_lines_beneath(check):
    lines = check(
        "All plugs $1.25 each", "Pontederia cordata", "Peltandra virginica $3.00", "GALLONS", "Juncus effusus"
    ).lines
    assert [line.price_each for line in lines] == [None, 1.25, 3.00, None, None]
    assert "Price from line 1." in lines[1].reason


def test_least_orders(check):
    assert least_order("minimum quantity 6") == 6 and least_order("Min. order 25 plants") == 25
    assert least_order("25 min") == 25 and least_order("minimum order $200") is None
    spend = least_spend("Minimum Order $200")
    assert spend is not None and (spend.amount, spend.currency) == (200.0, "$")
    assert least_spend("$2.10 minimum quantity 6") is None
    answer = check(
        "Minimum order $200", "minimum 25 per species", "Pontederia cordata $2.00", "Peltandra virginica", "min 40",
        need=10,
    )  # fmt: skip
    first, second = answer.lines[2:4]
    assert (first.least_order, first.buy, first.cost) == (25, 25, 50.0)
    assert second.least_order == 40
    assert answer.total == 50.0 and answer.least_spend is not None and answer.least_spend.amount == 200.0


def test_a_price_that_is_not_understood_is_asked_about_and_not_added(check):
    (line,) = check("Pontederia cordata $5 and up").lines
    assert line.price_each is None and line.cost is None and line.price_read == "$5 and up"
    assert "What does one plant cost?" in line.questions and "$5 and up" in line.reason


def test_the_record_carries_size_unit_and_count(check):
    (line,) = check("Juncus effusus 2 in plug, tray of 50 $68.00", need=10).lines
    assert (line.size, line.unit, line.count, line.buy, line.cost) == ("2 in plug", "tray", 50, 50, 68.0)


@pytest.mark.parametrize(
    "text, size",
    [
        ('Iris virginica 4" pot $5', '4" pot'),
        ("Iris virginica #1 pot", "#1 pot"),
        ("Iris virginica, quart", "quart"),
        ("Iris virginica 1 gal. 2-3 ft tall", "1 gal."),
        ("Juncus 50 cell tray", "50 cell tray"),
        ("Buttonbush 18-24 in", "18-24 in"),
        ("blooms 2-3 ft tall in June", ""),
        ("in 12 in. of water", ""),
        ("Lily 8x5 pot", "8x5 pot"),
        ("grows to 24 in", ""),
    ],
)
def test_sizes(text, size):
    assert size_of(text) == size


@pytest.mark.parametrize(
    "head, row, each, cost",
    [  # each and cost for five
        ("Plant,Each,25+", "Juncus effusus,2.00,1.80", 2.00, 10.00),
        ("Plant,Tray size,Price per tray", "Juncus effusus,50,60.00", 1.20, 60.00),
        ("Plant,Tray size,Price", "Juncus effusus,50,60.00", 1.20, 60.00),
        ("Plant,Tray size,Price", "Juncus effusus,50,0.95", 0.95, 4.75),
        ("Plant,Tray size,Price", "Juncus effusus,32,7.00", None, None),
        ("Plant,Plugs per flat,Price each", "Juncus effusus,50,1.20", 1.20, 60.00),  # as "50/flat $1.20"
        ("Plant,Quart,Gallon", "Juncus effusus,6.00,12.00", 6.00, 30.00),
        ("Plant,Quart,,Gallon,\n,Each,25+,Each,25+", "Juncus effusus,6.00,5.00,12.00,11.00", 6.00, 30.00),
        ("Plant,Size,Price,Min", "Juncus effusus,plug,1.20,25", 1.20, 30.00),
        ("Qty,Plant,Unit Price,Total", "25,Juncus effusus,1.20,30.00", 1.20, 6.00),
        ("Plant,Pkt,Oz,Lb", "Juncus effusus,3.00,20.00,200", None, None),
        ("Plant,List price,Sale price", "Juncus effusus,3.00,2.00", 2.00, 10.00),
    ],
)
def test_what_the_headings_say_of_the_figures(head, row, each, cost):
    price = read_price(list(lines_of_table(f"{head}\n{row}\n", ","))[-1].price)
    assert price is not None
    assert (price.each(5), price.cost(5)) == (each, cost)


def test_the_money_that_a_heading_or_a_cell_names():
    lines = list(lines_of_table("Plant,Price (£)\nIris virginica,2.00\nIris virginica,€4.00\n", ","))
    assert [line.price for line in lines[1:]] == ["£2.00", "€4.00"]


def test_columns_set_apart_by_spaces_are_a_table_only_beneath_headings():
    text = "Name          Size    Each    25+\nJuncus effusus   plug   2.00   1.80\nPlug it in soon\n"
    lines = list(lines_of_text(text))
    assert lines[0].header and lines[1].price == "$2.00 each, 25+ $1.80" and not lines[2].price
    assert not any(line.header for line in lines_of_text("Carex   plug   each\nJuncus   plug   pot\n"))


@pytest.mark.parametrize(
    "row, each, cost",
    [  # a column headed "Price": what it buys stands elsewhere on the row, or nowhere
        ("Juncus effusus,plug tray (50),62.50", 1.25, 62.50),
        ("Juncus effusus,50 cell tray,0.95", 0.95, 9.50),
        ("Juncus effusus,32 cell tray,7", None, None),
        ("Juncus effusus,1 gal,12", 12.0, 120.0),
        ("Juncus effusus,pack of 6,18", 3.0, 36.0),
    ],
)
def test_what_a_column_s_figure_buys_may_stand_in_another(row, each, cost):
    plants, pond = catalogue.load(), pond_file.read_pond("demo")
    lines = list(lines_of_table(f"Plant,Size,Price\n{row}\n", ","))
    line = check_offer(lines, pond, plants, need=10).lines[-1]
    assert (line.price_each, line.cost) == (each, cost)


@pytest.mark.parametrize(
    "text, for_10, for_30",
    [  # the price of one when you buy ten, and thirty
        ("Pickerelweed $3.25 / 25+ $2.75", 3.25, 2.75),
        ("$18 2+ $16", 16.0, 16.0),
        ("$2.75 25+, $2.25 100+", 2.75, 2.75),
        ("$225 per 100, min 50", 2.25, 2.25),
        ("flat of 18 @ $81", 4.5, 4.5),
    ],
)
def test_a_number_belongs_to_the_amount_beside_it(text, for_10, for_30):
    price = read_price(text)
    assert (price.each(10), price.each(30)) == (for_10, for_30)


@pytest.mark.parametrize(
    "text, each, least",
    [
        ("$1.10 in lots of 50", 1.10, 50),
        ("lots of 25, $2", 2.0, 25),
        ("$2 ea. lots of 25", 2.0, 25),
        ("least 50, $1.10", 1.10, 50),
        ("$1.25, at least 50 plants", 1.25, 50),
        ("$225 per 100, min 50", 2.25, 50),
    ],
)
def test_the_least_order_is_kept_and_divides_no_price(text, each, least):
    price = read_price(text)
    assert (price.each(10), price.least_order) == (each, least)


@pytest.mark.parametrize(
    "text",
    [
        "flats $38",
        "flats @ $38",
        "trays, 32's, $1.40",
        "$4-6 each",
        "$4 to 6 each",
        "$18 in lots of 10",
        "$40 per 2-3 plants",
    ],
)
def test_an_amount_whose_unit_is_unclear_is_shown_and_asked_about(check, text):
    line = check(f"Pontederia cordata {text}", need=10).lines[0]
    assert line.price_each is None and line.cost is None
    assert line.price_read and line.price_question


def test_no_text_crashes_the_reading_of_a_price():
    parts = (
        "$ 3 25 2.75 $18 $16 $4.50 - + / , ; 25+ 2+ 10-49 each ea per 100 C of lots flats tray min least 50 bundle @ for "
        "( ) doz lb .99 45¢ 1,000 or more to was now 32's B&B multiples"
    ).split()
    some = random.Random(5)
    for _ in range(5000):
        text = some.choice((" ", "")).join(some.choices(parts, k=some.randint(1, 9)))
        price = read_price(text, some.choice((None, 50)), some.random() < 0.3)
        assert price is None or price.each(7) is None or price.each(7) >= 0


@pytest.mark.parametrize(
    ("text", "each", "cost"),  # for 28 plants; made up, in forms that lists have (common practice, no source)
    [
        ("1/$4.00 10/$3.50 50/$3.00", 3.50, 98.00),
        ("ten for $25", 2.50, 75.00),
        ("$10 for three plants", 3.3333, 100.00),
        ("bundle 25 $30", 1.20, 60.00),
        ("100 bareroot for $110", 1.10, 110.00),
        ("5/pk $12", 2.40, 72.00),
        ("LP50 $62.50", 1.25, 62.50),
        ("$1.25/plug, sold in trays of 50", 1.25, 62.50),
        ("tray/50 $1.25 ea.", 1.25, 62.50),
        ("50/flat $1.20", 1.20, 60.00),
        ("$1.20 ea, min. 1 tray (50)", 1.20, 60.00),
        ("$1.20 1-49 $1.10 50-99 $1.00 100+", 1.20, 33.60),
        ("$1.20 member price $1.00", 1.20, 33.60),
        ("retail $2.00 wholesale $1.20", 2.00, 56.00),
        ("Juncus effusus.......................8.95", 8.95, 250.60),
        ("90.00 pcs 8.85 796.50", 8.85, 247.80),
        ("72's $0.85", 0.85, 23.80),
    ],
)
def test_forms_that_were_read_wrong(text, each, cost):
    price = read_price(text)
    assert price is not None
    assert price.each(28) == pytest.approx(each) and price.cost(28) == pytest.approx(cost)


@pytest.mark.parametrize(
    "text",
    [
        "$1O.00",
        "$ 8 . 95",
        "$8 95",
        "$1. 20",
        "$1..20",
        "$4.00/3.50/3.00",
        "C $85.00",
        "$10 (3)",
        "x5 $12",
        "5x $12",
        "five plants $12",
        "$110 (100 plugs)",
        "$110 - 100 plugs",
        "3 bunches $10",
        "$1.10 box of 100",
        "$1.50 (32 tray)",
        "coir mat 3x16 ft $150",
        "bundle $30",
    ],
)
def test_an_amount_that_may_buy_several_or_is_broken_is_no_price_of_one(text):
    price = read_price(text)
    assert price is not None and price.each(28) is None and price.read


@pytest.mark.parametrize(
    ("text", "money"),
    [
        ("$8.95 CDN", "C$"),
        ("CDN $8.95", "C$"),
        ("AU $8.95", "A$"),
        ("\u20a48.95", "£"),
        ("\u20a98.95", "\u20a9"),
    ],
)
def test_other_money_is_never_dollars(text, money):
    price = read_price(text)
    assert price is not None and price.currency == money


@pytest.mark.parametrize("text", ["Height/Depth: 2.31\u2033; Top: 1.", "2.31\u2032 tall"])
def test_an_inch_mark_of_any_kind_is_no_money(text):
    assert read_price(text) is None


def test_whole_trays_of_everything_are_counted_on_every_line(check):
    """Made up: two plugs at 1.15 and 1.40, of which 28 and 21 are wanted, sold in trays of 50."""
    answer = check(
        "Minimum order $50. All plugs sold in trays of 50.",
        "Carex lurida plug $1.15",
        "Juncus effusus plug $1.40",
        need=28,
    )
    assert [line.cost for line in answer.lines[1:]] == [57.50, 70.00]
    assert [line.buy for line in answer.lines[1:]] == [50, 50]


@pytest.mark.parametrize(
    ("table", "each"),  # made up
    [
        ("Botanical;Common;Price\nPontederia cordata;pickerelweed;8,95\n", 8.95),
        ("Species,Seedlings per bundle,Price per bundle\nButtonbush,10,15.00\n", 1.50),
        ("Species,Trees per bundle,Price per bundle\nRiver birch,25,30.00\n", 1.20),
        ("Species,Price per bundle\nRiver birch,30.00\n", None),
        ('Species,Price\nRiver birch,"1,250.00"\n', 1250.0),
    ],
)
def test_columns_with_decimal_commas_and_bundles(table, each):
    _, row = lines_of_table(table, None)
    price = read_price(row.price)
    assert price is not None and price.each(1) == (None if each is None else pytest.approx(each))


def test_a_column_that_says_none_are_left_is_sold_out(check):
    """ "Avail 0" keeps a plant out of the total; 12 does not."""
    lines = [
        *lines_of_table("Species,Price,Avail\nPontederia cordata,2.00,0\nJuncus effusus,1.00,12\n", None)
    ]
    assert [line.none_left for line in lines] == [False, True, False]


SECTIONS = (  # made up
    "1 GALLON POTS - $8.00 EACH",
    "Pickerelweed",
    "Water hyacinth",
    "3 GALLON POTS - $22.00 EACH",
    "Buttonbush",
    "BARE ROOT $1.25 each, 25 minimum per species",
    "Soft rush",
    "FLOATERS 3 for $10",
    "Duckweed",
    "TREES (all 5 gal, $35)",
    "Bald cypress",
    "Seed mixes from $20",
)


def test_every_section_has_the_price_of_its_own_heading(check):
    answer = check(*SECTIONS)
    each = {line.text: line.price_each for line in answer.lines if line.candidates}
    assert each == {
        "Pickerelweed": 8.0,
        "Water hyacinth": 8.0,
        "Buttonbush": 22.0,
        "Soft rush": 1.25,
        "Duckweed": pytest.approx(3.3333),
        "Bald cypress": 35.0,
    }


def test_a_least_order_in_a_heading_belongs_to_its_section(check):
    least = {line.text: line.least_order for line in check(*SECTIONS).lines if line.candidates}
    assert least["Soft rush"] == 25 and least["Bald cypress"] == least["Pickerelweed"] == 1


@pytest.mark.parametrize(
    "card",
    [
        ("Hibiscus moscheutos", "Was $10.00", "Now $7.50", "You save $2.50"),
        ("Hibiscus moscheutos", "$10.00", "$7.50 sale"),
        ("Hibiscus moscheutos", "Was $10.00", "$7.50"),
        ("Hibiscus moscheutos", "1 gal", "$7.50"),
    ],
)
def test_a_card_of_a_shop_gives_today_s_price(check, card):
    assert check(*card).lines[0].price_each == 7.50


def test_more_than_the_pond_takes_is_said(check):
    """The forecast holds for the groups to plan on, not for 200 plants."""
    answer = check("Pontederia cordata $2.00", need=200)
    (line,) = answer.lines
    assert line.buy == 200 > line.groups * line.group
    assert any("More than this pond takes (line 1)" in told for told in offer_words.totals(answer, 200))
    assert not any(
        "More than" in told for told in offer_words.totals(check("Pontederia cordata $2.00"), None)
    )


@pytest.mark.parametrize(
    ("unit", "figure", "each"),
    [  # C, M and DZ are the trade's hundred, thousand and dozen (common practice, no source)
        ("per 100", "85", 0.85),
        ("C", "85.00", 0.85),
        ("M", "950.00", 0.95),
        ("DZ", "72.00", 6.0),
        ("EA", "2.50", 2.5),
        ("tray/50", "60", 1.2),
        ("1 gal", "9.00", 9.0),
        ("truckful", "300", None),
        ("FL", "40.00", None),
    ],
)
def test_a_column_of_units_says_what_a_price_buys(unit, figure, each):
    _, row = lines_of_table(f"Plant,Price,Unit\nPontederia cordata,{figure},{unit}\n", None)
    price = read_price(row.price)
    assert price is not None and price.each(1) == (None if each is None else pytest.approx(each))


def test_whole_trays_of_plugs_bind_plugs_alone(check):
    answer = check(
        "All plugs sold in trays of 50.", "Carex lurida plug $1.15", "Juncus effusus bare root $1.10", need=28
    )
    assert [line.buy for line in answer.lines[1:]] == [50, 28]


def test_a_group_in_capitals_gives_its_price_to_its_plants(check):
    lines = check("FLOATING PLANTS - $3.00 EACH", "Pickerelweed", "IRIS - $7.00 EACH", "Iris virginica").lines
    assert [line.price_each for line in lines] == [None, 3.0, None, 7.0]
    after = check("IRIS - $7.00 EACH", "Iris virginica", "Arrow arum, Peltandra virginica").lines
    assert [line.price_each for line in after] == [None, 7.0, None]  # a plant of another genus ends it


@pytest.mark.parametrize(
    "text, plants, cost",
    [  # what 21 plants come to: plants bought and what they cost, worked by hand
        ("$25 per dozen", 24, 50.00),  # two dozen; who sells dozens sells no half of one (judgement)
        ("dozen $25", 24, 50.00),
        ("2 dozen $50", 24, 50.00),
        ("$50 for two dozen", 24, 50.00),
        ("half dozen $12", 24, 48.00),  # four times six
        ("$12 per half dozen", 24, 48.00),
        ("$25/dz, minimum 5 dozen", 60, 125.00),
        ("$10 per 10, $80 per 100", 30, 30.00),
        ("$10/10, $80/100", 30, 30.00),
        ("1 flat = 38 plants $65", 38, 65.00),
        ("32-plug tray $48", 32, 48.00),
        ("32 plug trays $48", 32, 48.00),
        ("50-plant flat $65", 50, 65.00),
        ("$18 / Pack. Each pack has 10 plants, 2 of each", 30, 54.00),
        ("$18 per bundle; a bundle holds 25", 25, 18.00),
        ("$48 a tray, 32 in a tray", 32, 48.00),
        ("tray contains 72 plugs, $72", 72, 72.00),
        ("flat $65 each plant $1.71", 38, 65.00),  # 65 / 38 = 1.7105
        ("$1.25 ea; $50/tray", 21, 26.25),  # no count of the tray stands there
        ("flat $65.00, plug $1.95", 21, 40.95),  # no tray holds 33.3: the plug has a price of its own
        ("90.00 EA $8.85 $796.50", 21, 185.85),  # a quote: 90 x 8.85 = 796.50
        ("90.0000 8.85 796.50", 21, 185.85),
        ("2 dozen 25.00 50.00", 24, 50.00),
        ("2 trays of 50 @ $62.50 $125.00", 50, 62.50),
    ],
)
def test_what_a_number_beside_a_lot_counts(text, plants, cost):
    price = read_price(text)
    assert price is not None
    bought = purchase(price, 21)
    assert bought is not None and (bought.plants, bought.cost) == (plants, cost)


@pytest.mark.parametrize(
    "text, unit",
    [  # number x rate = amount, but the rate is not of one plant
        ("12 trays 48.00 576.00", Unit.TRAY),
        ("4 flats @ $65.00 $260.00", Unit.FLAT),
        ("10 lb 25.00 250.00", Unit.POUND),
        ("3 bundles 18.00 54.00", Unit.BUNCH),
        ("2 acres 450.00 900.00", Unit.ACRE),
    ],
)
def test_a_quote_for_whole_lots_prices_no_single_plant(text, unit):
    price = read_price(text)
    assert price is not None and price.unit is unit and purchase(price, 21) is None


def test_a_plant_offered_in_two_moneys_counts_once(check):
    """The dollars, since we change no money: 10 x 1.30; only what has no price in dollars stands in the other sum."""
    answer = check("Pontederia cordata $1.30", "Pontederia cordata £1.00", "Juncus effusus £2.00", need=10)
    assert (answer.total, answer.other_totals, answer.again) == (13.0, (("£", 20.0),), 1)
    assert offer_words.totals(answer, 10)[0].startswith(
        "All 3 that have a price, each plant once at its cheapest: $13.00 and £20.00"
    )


@pytest.mark.parametrize(
    "head, row, said",
    [  # size, form, price of one, and what ten cost: the heading of the price's column says what it is of
        (SIZES, "Pontederia cordata,1.10,3.50,8.00", ('2" plug', "plug", 1.10, 55.00)),
        (SIZES, "Peltandra virginica,—,3.50,7.00", ('4" pot', "pot", 3.50, 35.00)),
        (SIZES, "Iris virginica,,,9.50", ("1 gal", "pot", 9.50, 95.00)),
        (SIZES, "Juncus effusus,65.00,,", ('2" plug', "plug", 1.30, 65.00)),  # of the tray: no plug costs $65
        ("Plant,1 gal,3 gal", "Iris virginica,,22.00", ("3 gal", "pot", 22.00, 220.00)),
        ("Plant,Plug (72 per flat),Quart", "Iris virginica,1.00,6.00", ("", "plug", 1.00, 72.00)),
        ("Plant,Bare root,Quart", "Iris virginica,1.25,6.00", ("", "bare root", 1.25, 12.50)),
        ("Plant,Qty/flat,$/flat,$/plug", "Iris virginica,38,,1.71", ("", "plug", 1.71, 64.98)),
        ("Plant,Qty/flat,$/flat,$/plug", "Iris virginica,38,65.00,1.71", ("", "plug", 1.7105, 65.00)),
        ("Plant,Flat of 38,Quart", "Iris virginica,60.00,6.00", ("", "", 1.5789, 60.00)),
        ("Plant,Flat of 38,Quart", "Iris virginica,,6.00", ("Quart", "pot", 6.00, 60.00)),
        ("Plant,Price per 25,Price per 100", "Iris virginica,22.5,75", ("", "", 0.90, 22.50)),
        ("Plant,Price per 25", "Iris virginica,22.5", ("", "", 0.90, 22.50)),
        ("Plant,Plug (72) each,Plug (72) tray", "Iris virginica,0.95,68.4", ("", "plug", 0.95, 68.40)),
        ("Plant,Each (50/tray)", "Iris virginica,1.71", ("", "", 1.71, 85.50)),
        ("Plant,Price per tray (50/tray)", "Iris virginica,85.50", ("", "", 1.71, 85.50)),
        ("Plant,Price (50/tray)", "Iris virginica,85.50", ("", "", 1.71, 85.50)),
        ("Plant,Size,Price", "Iris virginica,3 gal,22.00", ("3 gal", "pot", 22.00, 220.00)),
    ],
)
def test_size_form_and_count_stand_in_the_heading_of_the_price_s_column(check, head, row, said):
    *_, line = lines_of_table(f"{head}\n{row}\n", ",")
    (told,) = check(line, need=10).lines
    assert (told.size, told.form, told.price_each, told.cost) == said


def test_a_row_with_prices_of_several_sizes_says_that_there_are_more(check):
    several, one = list(
        lines_of_table(f"{SIZES}\nIris virginica,1.10,3.50,8.00\nIris virginica,,,8.00\n", ",")
    )[1:]
    more = "This is the price of the first size; the line has more."
    assert [more in line.reason for line in check(several, one, need=10).lines] == [True, False]


def test_a_row_without_a_name_is_a_further_size_of_the_plant_above(check):
    table = (
        "Botanical,Common,Size,Avail,Price\nPontederia cordata,pickerelweed,#1,20,9.00\n,,#3,10,20.00\n,,plug/50,4,55.00\n"
        ",,Subtotal,,84.00\n\n,,#1,3,7.00\n"
    )
    told = check(*lines_of_table(table, ","), need=10).lines
    assert [(line.candidates[:1], line.cost) for line in told if line.price_read] == [
        (("Pontederia cordata",), 90.0),
        (("Pontederia cordata",), 200.0),
        (("Pontederia cordata",), 55.0),
    ]


def test_a_heading_of_several_sizes_gives_none_and_a_section_ends(check):
    lines = check(
        'BR  2"  4"  GAL', "Pontederia cordata $2", "", "POND PLANTS (potted, 3 in.)", "Juncus effusus $4"
    ).lines
    told = [(line.size, line.form) for line in lines if line.candidates]
    assert told == [("", ""), ("3 in.", "pot")]
    lines = check("PLUGS", *["Juncus effusus $4"] * 60).lines
    assert lines[1].form == "plug" and lines[-1].form == ""


def test_an_empty_cell_between_tabs_moves_no_figure(check):
    """A sheet copied into a text: the third column's price stays the third's."""
    lines = list(lines_of_text("Plant\tPlug\tQuart\t1 gal\nIris virginica\t\t\t9.50\nJuncus effusus\t1.10\n"))
    told = check(*lines[1:], need=10).lines
    assert [(line.size, line.form, line.price_each) for line in told] == [
        ("1 gal", "pot", 9.5),
        ("", "plug", 1.1),
    ]


def test_sizes_in_headings_hold_for_tables_in_text_too(check):
    text = 'Name              2" plug    4" pot\nPontederia cordata   -   3.50\n'
    (line,) = check(list(lines_of_text(text))[1], need=10).lines
    assert (line.size, line.form, line.price_each) == ('4" pot', "pot", 3.50)


@pytest.mark.parametrize(
    "text, each",
    [  # a dash before the pot's size is no span of prices
        ("$6.00—4.5” pot:", 6.00),
        ("$1.50—2.5” pot:", 1.50),
        ("$2.50–3.5” pot", 2.50),
        ("$6.00—4” pot", 6.00),
        ("$4.00-$6.50", None),
        ("$4-6 each", None),
        ("$6.00—4 plants", None),  # of one, or of four
        ("Price 15c. each;", 0.15),
    ],
)
def test_a_dash_behind_an_amount(text, each):
    price = read_price(text)
    assert price is not None and price.each(1) == each


@pytest.mark.parametrize(
    "text",
    [
        "These states require a $10 phyto-sanitary inspection certificate for all plant shipments.",
        "Less than 50 trees, please add 25 cents per tree",
        "$12 permit fee",
        "$5.00 shipping $2.00 handling",
        "Carex brevior 3.54% 2.33 3.5 PLS oz.",  # a mixture's share, and its seeds in a square foot
    ],
)
def test_a_fee_and_a_share_of_a_mixture_are_no_price(text):
    assert read_price(text) is None


def test_a_span_of_prices_has_no_number_of_plants(check):
    (line,) = check("Juncus effusus $6-8 each").lines
    assert line.price_question == "What does one plant cost?" and line.price_read == "$6-8"


CATALOG = (  # made up, in the shape of a school's catalog: every plant's price beneath its description
    "Brown-eyed Susan Rudbeckia triloba",
    "",
    "$6.00—4.5” pot:",
    "",
    "Pontederia cordata",
    "",
    "A great native of the shore.",
    "",
    "Blue spikes in summer.",
    "",
    "Long in bloom.",
    "",
    "Likes it wet.",
    "",
    "$4.00—4” pot",
    "",
    "Juncus effusus",
    "",
    "Stems green all winter.",
    "",
    "$1.50—2.5” pot:",
    "",
    "Iris virginica",
)


def test_a_price_beneath_a_plant_is_not_carried_on_to_the_next(check):
    each = {line.text: line.price_each for line in check(*CATALOG).lines if line.candidates}
    assert each == {
        CATALOG[0]: 6.00,
        "Pontederia cordata": 4.00,
        "Juncus effusus": 1.50,
        "Iris virginica": None,
    }


def test_a_price_that_is_not_understood_ends_the_price_of_the_heading(check):
    lines = check("All plugs $1.25 each", "Juncus effusus", "$6.00—4 plants", "", "", "Iris virginica").lines
    assert [line.price_each for line in lines if line.candidates] == [1.25, None]


def test_a_bundle_s_price_beneath_a_plant_is_the_plant_s(check):
    lines = check(
        "RIVER BIRCH, Betula nigra, 18 – 24 inches",
        "",
        "XXX",
        "$6.00/bundle",
        "5 Trees / Bundle",
        "of Bundles",
    ).lines
    assert (
        lines[0].price_read == "$6.00/bundle" and lines[0].price_question == "How many plants are in a bunch?"
    )
    assert not any(line.verdict != "no plant" for line in lines[1:])


@pytest.mark.parametrize(
    "text, plants, cost",
    [  # what 20 plants come to; None where it may be the price of one or of several
        ("Soft rush (5) $9", None, None),
        ("pack/5, $9.00", 20, 36.00),
        ("box/24 $30", 24, 30.00),
        ("carton of 24 $30.00", 24, 30.00),
        ("bunch of 6 stems 7.50", 24, 30.00),
        ("$3 + $2 shipping", 20, 60.00),
        ("$3.00 (24 plant minimum)", 24, 72.00),
        ("$3.00 sold in 6s", 24, 72.00),
        ("members $2.70, non-members $3.00", 20, 60.00),
        ("ea. 3.00, flat (32) 64.00", 20, 60.00),
        ("each $3.00; tray of 32 $64.00", 20, 60.00),
        ("full tray (50) $57.50, half tray (25) $32.00", 25, 32.00),
        ("1g 8.50 3g 19.00", 20, 170.00),
        ("bundles of 25 only, $21.25 per bundle", 25, 21.25),
        ("$1.75 each, $18 per dozen", 20, 32.00),  # a dozen and eight single ones
        ("$95 per C", 20, 19.00),
        ("seedlings, 25 - $30, 50 - $50, 100 - $85", 25, 30.00),
        ("bunch (6 stems) 7.50", 24, 30.00),
        ("$3 (shipping $9.95)", 20, 60.00),
        ("$2.00 deposit $1.00", 20, 40.00),
        ("$2.00 + tax", 20, 40.00),
        ("$2.70 (members) $3.00 (public)", 20, 60.00),
        ("sod mat 3x6 ft $48", None, None),
        ("(12) plugs - $18", None, None),
        ("pack of three, $18.99", 21, 132.93),
        ("2 CS (12) 96.00 192.00", 24, 192.00),
        ("case 12, 96.00", 24, 192.00),
        ("$12ish", None, None),
        ("$5.50 qt / $11 gal", 20, 110.00),
        ("$12 + $4 s/h", 20, 240.00),
        ("$30, 25 roots per bag", 25, 30.00),
        ("$30, 25 roots, 3 bags left", None, None),
        ("40.00 EA 3.0000 120.00", 20, 60.00),
    ],
)
def test_what_twenty_plants_come_to(text, plants, cost):
    price = read_price(text)
    assert price is not None
    bought = purchase(price, 20)
    assert (bought and bought.plants, bought and bought.cost) == (plants, cost)


FORM = (  # made up, in the shape of an order form whose columns stand a blank apart
    "Scientific Name Common Name Flat of 38 plants Qty. Flat 4 inch pot* Qty. pot SUBTOTAL",
    "EXAMPLE: Funus Flowus Fun Flower $60 3 $5 6 $210",
    "Pontederia cordata Pickerelweed $60 $5",
    "Juncus effusus Soft rush $5",
    "Iris virginica, quart pot $6 $5",
)


def test_an_order_form_s_headings_say_what_its_two_figures_are(check, tmp_path):
    """38 for $60 come to 1.5789 each; where a row has another number of figures, nothing says which one is there."""
    lines = list(lines_of_text("\n".join(FORM)))
    told = check(*lines[2:], need=10).lines
    assert (told[0].price_each, told[0].cost, told[0].buy) == (1.5789, 60.00, 38)
    assert told[0].price_read == "$60.00 per flat of 38" and "the line has more" in told[0].reason
    assert not any(line.price for line in (lines[1], *lines[3:]))


TYPED_FORM = (  # made up: a district's form, the names without a heading
    "                                   Qty/bundle   Price/bundle   # bundles   Total",
    "HARDWOODS",
    "Baldcypress                           10          $14.00      ______     ______",
    "Pontederia cordata                     5          $17.50      ______     ______",
    "Nymphaea odorata                       1          $12.00      ______     ______",
    "Tree tubes, 4 ft                       ea          $4.25      ______     ______",
    "Pickerelweed  $9.00 in my yard",
)
TYPED_LIST = (  # made up: a plug grower's, "sold whole"
    "Code   Botanical / Common                      Tray   Avail   Price/plug   Price/tray",
    "CARLU  Carex lupulina / hop sedge               72     30      0.92         66.24",
    "HIBMO  Hibiscus moscheutos / rosemallow         50      0      1.25         62.50",
    "SCHTA  Schoenoplectus tabernaemontani/softstem  50     25      1.10         55.00",
)


def test_figures_of_a_typed_table_stand_beneath_their_headings(check):
    """Twelve: two bundles of ten, three of five, twelve lilies (12 x 12.00); the last line is no row of the table."""
    lines = list(lines_of_text("\n".join(TYPED_FORM)))
    told = [line for line in check(*lines, need=12).lines if line.candidates]
    assert [(line.buy, line.cost) for line in told] == [(20, 28.00), (15, 52.50), (12, 144.00), (12, 108.00)]
    lines = list(lines_of_text("\n".join(TYPED_LIST)))
    told = check(*lines, need=12).lines[1:]
    assert [(line.buy, line.cost, line.sold_out) for line in told] == [
        (72, 66.24, False),
        (50, 62.50, True),
        (50, 55.00, False),
    ]


@pytest.mark.parametrize(
    "title, price, number, cost",
    [  # of a shop's page, for 10: the pack stands in the title
        ("Pickerelweed (Bundle of 3)", "$11.99", 12, 47.96),
        ("Pickerelweed 3-pack", "Sale price $11.99 Regular price $15.99", 12, 47.96),
        ("Pickerelweed, set of 5", "$25", 10, 50.00),
        ("Pickerelweed, tray of 50", "$1.20 each", 10, 12.00),
        ("Pickerelweed, 1 gal", "$12.00", 10, 120.00),
    ],
)
def test_the_pack_in_the_title_counts_the_price_beneath(check, title, price, number, cost):
    for page in ((title, price), (title, "", price)):
        line = check(*page, need=10).lines[0]
        assert (line.buy, line.cost) == (number, cost)


@pytest.mark.parametrize(
    "text, plants, cost",
    [  # what 20 plants come to
        ("bareroot $2.25 25 min", 25, 56.25),
        ("bareroot $2.25 25 min.", 25, 56.25),
        ("25 min $2.25", 25, 56.25),
        ("per 25 $30 per 100 $95", 25, 30.00),
        ("$30 per 25, $95 per 100", 25, 30.00),
        ("100 x 1.20 120.00", 20, 24.00),
        ("10+ only $1.20", 20, 24.00),
        ("pair $9", 20, 90.00),
        ("$8.95 (cs/6)", None, None),
        ("budget is $300", None, None),
    ],
)
def test_further_shapes_of_the_trade(text, plants, cost):
    price = read_price(text)
    bought = purchase(price, 20) if price else None
    assert (bought and bought.plants, bought and bought.cost) == (plants, cost)


def test_a_count_in_the_row_counts_the_tray_of_its_price(check):
    """2 trays x 42.50 = 85.00; 10 plants are one tray of 50."""
    *_, line = lines_of_table(
        "Item,Qty,Unit,Rate,Amount\nJuncus effusus plug tray (50),2,TRAY,42.50,85.00\n", ","
    )
    (told,) = check(line, need=10).lines
    assert (told.buy, told.cost) == (50, 42.50)


def test_a_clearance_is_today_s_price_and_raised_cents_belong_to_it(check):
    assert check("Pickerelweed", "$7.99", "clearance $3.99").lines[0].price_each == 3.99
    assert check("Pickerelweed", "$6", ".99").lines[0].price_each == 6.99
    assert check("Pickerelweed", "Retail: $8.99", "Wholesale: $4.10 (min 10)").lines[0].price_each == 8.99


def test_no_size_is_read_out_of_a_number_times_a_price():
    assert size_of("Pickerelweed 100 x 1.20 120.00") == ""


BENCHES = (  # made up: a sale's signs, and the plants beneath each
    "Gallons: $10 each, 3/$27",
    "Itea virginica",
    "",
    "$12 TABLE",
    "Clethra alnifolia",
    "",
    "3 FOR $20 BENCH",
    "Osmunda regalis",
    "Peltandra virginica",
    "",
    "Everything below is $3",
    "Iris virginica",
    "",
    'Prices: 4" $4, qt $6, gal $10',
    "Nuphar advena   qt",
    "",
    "Woody (3 gal $20)",
    "Buttonbush",
    "Herbaceous (quarts $6, gallons $10)",
    "G  Juncus effusus",
    "",
    "Member donations, as is, $3:",
    "Pontederia cordata",
)


def test_a_sign_with_a_price_is_for_the_plants_beneath_it_alone(check):
    """Three for $27: 9.00 each; three for $20: 6.6667. Two prices in a sign price nothing."""
    each = {line.text: line.price_each for line in check(*BENCHES, need=3).lines if line.candidates}
    assert each == {
        "Itea virginica": 9.00,
        "Clethra alnifolia": 12.00,
        "Osmunda regalis": 6.6667,
        "Peltandra virginica": 6.6667,
        "Iris virginica": 3.00,
        "Nuphar advena   qt": None,
        "Buttonbush": 20.00,
        "G  Juncus effusus": None,
        "Pontederia cordata": None,  # beneath a line that we can't read, with a price
    }


@pytest.mark.parametrize(
    "card, number, cost",
    [  # of a shop, for 10: the count stands on a line of its own
        (("Saururus cernuus", "Pack of 10", "$18.50", "Free shipping on orders over $75"), 10, 18.50),
        (("Juncus effusus", "Size: Plug tray of 50", "Price: $45.00", "Qty: [1]"), 50, 45.00),
        (("Taxodium distichum", "Bundle of 25 seedlings", "$22.00"), 25, 22.00),
        (("Acer rubrum", "5 for", "$25"), 10, 50.00),
        (("Carex lurida", "Tray of 50 plugs", "", "$52.50"), 50, 52.50),
        (("Carex lurida", "Tray of 50 plugs", "$52.50 ($1.05 each)"), 50, 52.50),
    ],
)
def test_a_count_between_plant_and_price_belongs_to_the_price(check, card, number, cost):
    first, second = check(*card, "", "Iris virginica", "$7.00", need=10).lines[0], None
    assert (first.buy, first.cost) == (number, cost)
    second = check(*card, "", "Iris virginica", "$7.00", need=10).lines[-2]
    assert (second.buy, second.cost) == (10, 70.00)


def test_a_size_in_a_heading_is_of_the_plants_beneath_it(check):
    lines = check(
        "Lemna minor $2.00",
        "MARGINALS, 4 in. pot",
        "Peltandra virginica $5.50",
        "Juncus effusus $4.50",
        "MARGINALS, 1 gal",
        "Pontederia cordata $9.00",
        "Iris virginica, bare root $2.00",
        "",
        "PLUGS",
        "Carex lurida $1.10",
        "",
        "SHRUBS",
        "Itea virginica $26.00",
    ).lines
    told = {line.text.partition(" $")[0]: (line.size, line.form) for line in lines if line.candidates}
    assert told == {
        "Lemna minor": ("", ""),
        "Peltandra virginica": ("4 in. pot", "pot"),
        "Juncus effusus": ("4 in. pot", "pot"),
        "Pontederia cordata": ("1 gal", "pot"),
        "Iris virginica, bare root": ("", "bare root"),
        "Carex lurida": ("", "plug"),
        "Itea virginica": ("", ""),
    }


@pytest.mark.parametrize("parted", [",", "\t", " | ", "     ", "|"])
@pytest.mark.parametrize(
    "head, row, cost",
    [  # what ten come to, whatever parts the cells
        ("Plant,UOM,Price", "Pickerelweed,C,85.00", 8.50),
        ("Plant,UOM,Price", "Pickerelweed,FLAT/50,45.00", 45.00),
        ("Plant,Per bundle of 25,# bundles,Total", "Pickerelweed,$30.00,____,____", 30.00),
        ("Plant,Tray size,Tray price", "Pickerelweed,50,62.50", 62.50),
        ("Plant,Price/25,Price/100", "Pickerelweed,$30,$95", 30.00),
        ("Plant,1,10,25,100", "Pickerelweed,6.50,6.00,5.50,4.00", 60.00),
        ("Plant,Members,Public", "Pickerelweed,$5.00,$6.00", 60.00),
        ("Plant,Flat of 38,Qty,4 in pot,Qty", "Pickerelweed,$55,___,$5,___", 55.00),
        ("Plant,Pack,Price", "Pickerelweed,10,$13.00", 13.00),
        ("Plant,Pack,Price", "Pickerelweed,5,$4.00", None),  # of one, or of five
        ("Plant,Case pack,Price", "Pickerelweed,12,$30.00", 30.00),
        ("Plant,Pack size,Price each", "Pickerelweed,50,1.25", 62.50),
        ("Plant,Price,MOQ", "Pickerelweed,1.25,50", 62.50),
        ("Plant,Price,Order multiple", "Pickerelweed,1.25,6", 15.00),
    ],
)
def test_one_reader_of_tables(check, parted, head, row, cost):
    if parted == "|":  # as marked-down text has it
        rule = "|" + "---|" * len(head.split(","))
        text = "\n".join(f"| {' | '.join(cells.split(','))} |" for cells in (head, row)).replace(
            "\n", f"\n{rule}\n"
        )
    else:
        text = f"{head}\n{row}".replace(",", parted)
    lines = lines_of_table(f"{head}\n{row}\n", ",") if parted == "," else lines_of_text(text)
    told = check(*lines, need=10).lines
    assert told[-1].cost == cost and not any(line.verdict != "no plant" for line in told[:-1])


@pytest.mark.parametrize(
    "text",
    [  # an amount that goes on, or may buy several: no price of one
        "$1 0.00", "$8·95", "$8•95", "$8:95", "$8_95", "$1½", "$2 ½", "$95¢", "$12.00$15.00",
        "(x10) $15", "[10] $15", "{10} $15", "10 = $15", "10: $15", "10 BR 15.00", "$15 10 roots", "pk 12.50", "pkg 12.50",
    ],
)  # fmt: skip
def test_an_amount_that_goes_on_or_may_buy_ten_is_no_price_of_one(text):
    price = read_price(f"Pickerelweed {text}")
    assert price is not None and price.each(28) is None


@pytest.mark.parametrize(
    "text, plants, cost",
    [  # for 20
        ("$8⁹⁵", 20, 179.00),
        ("$8 ⁹⁵", 20, 179.00),
        ("T38 42.50", 38, 42.50),
        ("L50 62.50", 50, 62.50),
        ("72s 61.20", 72, 61.20),
        ("72s 0.85", 20, 17.00),
        ("$3.00 18 plants available", 20, 60.00),
    ],
)
def test_raised_cents_and_the_trade_s_trays(text, plants, cost):
    bought = purchase(read_price(f"Pickerelweed {text}"), 20)
    assert bought is not None and (bought.plants, bought.cost) == (plants, cost)


@pytest.mark.parametrize(
    "head, row, each",
    [
        ("Plant,Per dozen", "Pickerelweed,30.00", 2.50),
        ("Plant,$/C", "Pickerelweed,85.00", 0.85),
        ("Plant,Price (cents)", "Pickerelweed,125", 1.25),
        ("Plant,Lot price", "Pickerelweed,62.50", None),
        ("Plant,Ordered,Extended", "Pickerelweed,50,62.50", None),
        ("Plant,Container,Price", "Pickerelweed,plug/50,55.00", 1.10),
        ("Plant,Size,Price", "Pickerelweed,BR bundle (25),55.00", 2.20),
        ("Plant,Size,Price", "Pickerelweed,25/bdl,55.00", 2.20),
        ("Plant,Form,Price", "Pickerelweed,dozen,30.00", 2.50),
        ("Plant,Form,Price", "Pickerelweed,C,85.00", 0.85),
        ("Plant,Form,Price", "Pickerelweed,lb,55.00", None),
    ],
)
def test_a_head_or_a_size_that_is_no_word_for_one(check, head, row, each):
    *_, line = lines_of_table(f"{head}\n{row}\n", ",")
    assert check(line, need=5).lines[0].price_each == each


@pytest.mark.parametrize(
    "rule, each, currency",
    [  # a sentence over the list, above "Pickerelweed 85.00": for ten
        ("Prices are per 100.", 0.85, "$"),
        ("Prices per thousand (M)", 0.085, "$"),
        ("All prices are per flat of 50.", 1.70, "$"),
        ("Price is per bundle of 25", 3.40, "$"),
        ("Prices are per pound", None, "$"),
        ("Prices are for 1 gal pots", 85.0, "$"),
        ("All prices are each.", 85.0, "$"),
        ("All prices in Canadian dollars.", 85.0, "C$"),
        ("Prices in CAD", 85.0, "C$"),
    ],
)
def test_what_a_sentence_over_the_list_says_of_its_prices(check, rule, each, currency):
    line, said = check(rule, "", "Pickerelweed 85.00", "Soft rush $2.00 each", need=10).lines[2:]
    assert (line.price_each, line.currency) == (each, currency)
    assert said.price_each == 2.00 and said.currency == currency


@pytest.mark.parametrize(
    "rule, number",
    [  # what the rule of a list makes of the 7 that are wanted
        ("Sold by the tray (50 per tray) only", 50),
        ("Tray of 50 minimum", 50),
        ("Minimum purchase 10 plants each", 10),
        ("Minimum 100 plants per species", 100),
        ("Open Saturdays", 7),
    ],
)
def test_the_least_that_a_list_sells_holds_for_every_line(check, rule, number):
    lines = check(rule, "Pontederia cordata plug $1.25", "Juncus effusus plug $1.00", need=7).lines
    assert [line.buy for line in lines[1:]] == [number, number]


@pytest.mark.parametrize(
    "cell, gone", [("0", True), ("N", True), ("No", True), ("none", True), ("Y", False), ("12", False)]
)
def test_what_is_not_to_be_had_is_sold_out(check, cell, gone):
    *_, line = lines_of_table(f"Plant,Price,In stock?\nJuncus effusus,1.00,{cell}\n", ",")
    assert check(line).lines[0].sold_out is gone


@pytest.mark.parametrize(
    "text, money", [("9.95 CHF", "CHF"), ("NZD 9.95", "NZ$"), ("9.95 pesos", "pesos"), ("120 SEK", "SEK")]
)
def test_further_money_is_no_dollar(check, text, money):
    line = check(f"Pickerelweed {text}", need=10).lines[0]
    assert line.currency == money and "not dollars" in line.reason
    assert check(f"Pickerelweed {text}", need=10).total == 0.0
