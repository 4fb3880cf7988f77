"""Mixed lots, firms' names, and how a plant is named in an offer's rows. All offers here are made up."""

from __future__ import annotations

import pytest

from plantpick.errors import PlantpickError
from plantpick.files.offers import read_offer
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, LEAVE, NO_PLANT, ReasonCode
from plantpick.show import offer_words

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def check(plants, book, south):
    def run(*texts: str):
        return check_offer([Line(i, t) for i, t in enumerate(texts, 1)], south, plants, book=book).lines

    return run


@pytest.mark.parametrize(
    "text",
    [
        '26. Pond plant collection "Bass Bungalow" 12 plants $79.95',
        "Water garden starter kit, 8 plants",
        "assortment of 20",
        "Bog plant mix 10 plants",
        "Marginal variety pack, 6 plants $30",
        "Bog garden starter pack, 12 plants",
    ],
)
def test_a_mixed_lot_is_asked_for_its_species(check, text):
    line = check(text)[0]
    assert (line.verdict, line.code) == (ASK, ReasonCode.UNNAMED)
    assert offer_words.in_short(line) == "which species are in it?"


@pytest.mark.parametrize(
    "text",
    [
        "BAYOU BEND AQUATICS",
        "BAYOU BEND AQUATICS - SPRING LIST - prices good thru June 1, min. order $50",
        "OAK HILL NATIVE PLANTS",
        "Pond pump kit $99",
    ],
)
def test_a_firm_in_capitals_and_a_kit_of_goods_are_no_plants(check, text):
    assert check(text)[0].verdict == NO_PLANT


def test_a_name_in_capitals_with_a_price_stays_a_plant(check):
    assert check("GOLDEN LARKGRASS PLANTS $4")[0].verdict == ASK


def test_signs_of_the_trade_join_no_second_plant(check):
    plain, signs, hundred = check(
        "Bald cypress $4", "Bald Cypress 3' B&B $22", "Bald cypress seedlings $95/C"
    )
    assert plain.code == signs.code == hundred.code == ReasonCode.ANY_OF_THESE


def test_rows_show_the_sellers_words_and_the_species_to_name(check):
    duck, flag = check("17. Duck potato (Sagittaria latifolia) tubers $2", "7. Blue flag, quart pot, $6.50")
    assert offer_words.plant_name(duck) == "Duck potato, Sagittaria latifolia"
    assert offer_words.plant_name(flag) == "Blue flag"
    assert offer_words.in_short(flag).startswith("which species? Iris ")


@pytest.mark.parametrize(
    "name, text, remedy",
    [
        ("pond.toml", 'name = "pond"\n', "Name the pond first"),
        (
            "log.csv",
            "# our log\ndate,plant,stretch,length_ft\n2027-05-01,cattail,dam,12\n",
            "plantpick watch",
        ),
    ],
)
def test_a_file_of_another_kind_is_refused_with_the_remedy(tmp_path, name, text, remedy):
    file = tmp_path / name
    file.write_text(text)
    with pytest.raises(PlantpickError) as fault:
        read_offer(str(file))
    assert remedy in str(fault.value)


@pytest.mark.parametrize(
    ("text", "each", "asked"),
    [
        ("Bog plant collection, 12 plants, $48", 4.0, ""),
        ("Pickerelweed and duck potato mix, 10 plants $20", 2.0, ""),
        ("Marginal variety pack, 6 plants $5 each", 5.0, ""),
        ("Lot of mixed aquatic plants, $25", None, "How many plants are in a lot?"),
    ],
)
def test_the_price_of_a_mixed_lot_is_for_all_of_it(check, text, each, asked):
    """Nobody asks whether twelve plants for $48 are $48 each."""
    line = check(text)[0]
    assert (line.price_each, line.price_question) == (each, asked)


@pytest.mark.parametrize(
    "text", ["Bayou Bend Aquatics", "Bayou Bend Aquatics, spring price list", "The Lily Ponds"]
)
def test_a_firm_that_writes_its_name_as_a_title_is_no_plant(check, text):
    assert check(text)[0].verdict == NO_PLANT


@pytest.mark.parametrize("text", ["Bayou Bend Aquatics, zebra moonsedge", "Golden Larkgrass Plants"])
def test_an_unknown_plant_beside_a_firm_is_still_asked_about(check, text):
    assert check(text)[0].verdict == ASK


def test_two_stocks_on_one_line_have_no_common_price(check):
    """ "B&B" (balled and burlapped) at 22 dollars and seedlings at 95 the hundred: neither is the price of the other."""
    line = check("Buttonbush B&B $22; seedlings $95/C")[0]
    assert line.price_each is None and line.cost is None and "seedlings $95/C" in line.price_read


def test_the_first_size_keeps_its_own_form(check):
    line = check("Buttonbush bare root $1.50; 1 gal $9")[0]
    assert (line.price_each, line.form, line.size) == (1.5, "bare root", "")
    assert "first size" in line.reason


def test_a_garden_form_stays_visible(check):
    """The plant is one; what the seller calls its forms stands behind it, in the row and beside the lines of its kind."""
    lines = check(
        "Elephant ear, black magic", "Elephant ear 'Illustris'", "Elephant ear", "Pickerelweed, blue spires"
    )
    assert offer_words.cultivars(lines[:3]) == " 'black magic', 'Illustris'"
    assert offer_words.cultivars(lines[3:]) == " 'blue spires'"


@pytest.mark.parametrize(
    "text",
    [
        "HYDRILLA FARMS NURSERY - Water Hyacinth Road, Lettuce Lake FL",
        "Cattail Creek Nursery spring list",
        "Cattail Creek Nursery",
        "Continued next page",
        "Also see Native Sun Turf or Thunder Turf p.57",
    ],
)
def test_a_letterhead_and_a_page_note_are_no_plants(check, text):
    assert check(text)[0].verdict == NO_PLANT


@pytest.mark.parametrize(
    "text",
    [
        "Water hyacinth, nursery grown",
        "Water Hyacinth Nursery Stock",
        "Cattail Farm, water hyacinth",
        "Cattail Creek Nursery $4",
    ],
)
def test_a_refused_plant_beside_a_nursery_is_still_left(check, text):
    assert check(text)[0].verdict in (ASK, LEAVE)


@pytest.mark.parametrize(
    "text", ["blue 1otus of the Nile $5", "Zorbia fluxata 'Albus' | White form of the species. | qt"]
)
def test_an_item_in_a_few_words_of_grammar_is_not_dropped(check, text):
    assert check(text)[0].verdict == ASK
