"""Mixed lots, firms' names, and how a plant is named in an offer's rows. All offers here are made up."""

from __future__ import annotations

import pytest

from plantpick.errors import PlantpickError
from plantpick.files.offers import read_offer
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, NO_PLANT, ReasonCode
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
    assert check("GOLDEN MOONGRASS PLANTS $4")[0].verdict == ASK


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
