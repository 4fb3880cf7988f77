"""Shapes of line that sellers' lists hold, each once read wrongly. The lines are made up."""

from __future__ import annotations

import pytest

from plantpick.files import pond_file
from plantpick.offers.check import Line, check_offer, read_one_by_one
from plantpick.offers.verdict import BUY, CONTAIN, NO_PLANT

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def plants(whole):
    return whole


@pytest.fixture(scope="module")
def book(whole_book):
    return whole_book


@pytest.fixture(scope="module")
def read(book):
    def run(text: str):
        (reading,) = read_one_by_one([text], book)
        return reading, [book.scientific[p] for p in reading.candidates]

    return run


@pytest.mark.parametrize(
    "text, name",
    [
        ("Aster novi-angliae", "Symphyotrichum novae-angliae"),
        ("bur oak, 3 gal", "Quercus macrocarpa"),
        ("Sea Ox-Eye Daisy", "Borrichia frutescens"),
        ("Gordonia lasianthus, camellia-like bloom", "Gordonia lasianthus"),
        ("Sugar maple 2 gal $14.00", "Acer saccharum"),
        ("Gaura lindheimeri quart", "Oenothera lindheimeri"),
    ],
)
def test_read_for_sure(read, text, name):
    reading, found = read(text)
    assert reading.sure and found == [name], (reading, found)


@pytest.mark.parametrize(
    "text, among",
    [
        ("Purple milkweed, Asclepias purpurea", "Asclepias purpurascens"),  # no such species
        ("crabapple, bare root", "Malus coronaria"),
        ("Yellow sedge", "Carex elata"),  # also the usual name of Carex flava
        ("slender-toe sedge", "Carex stricta"),  # made up: any sedge
    ],
)
def test_asked_about_with_what_it_may_be(read, text, among):
    reading, found = read(text)
    assert not reading.sure and among in found, (reading, found)


@pytest.mark.parametrize(
    "text",
    [
        "Hydrophyllaceae (waterleaf family)",
        "References and further reading ...... 35",
        "USDA symbol: ABCD7",
        "* Denotes northern species",
        "Organized by category, botanical name, common name",
        "Pickup only in Macon. Venmo ok.",
        "Local pickup Ocala FL only. PayPal, Venmo, Zelle accepted.",
        "Text Randy for pickup times",
        "No checks. Cash app $pondguy",
        "72 count Cell Dimensions (U.S.):  Height/Depth: 2.31\u2033; Top: 1.",
        "bigmarsh.example.com/shop/water-lettuce",
        "file:///home/me/list.html   1/1",  # a browser's foot of a printed page
        "Rain or shine, Saturday 8-2",
        "EXAMPLE: Funus Flowus Fun Flower $60 3 $5 6 $210",  # an order form's own
        "(Click To Enlarge)",
        "Pearl Valley Soil & Water Conservation District",
        "Make checks payable to PVSWCD. No refunds.",
        "\u00a9 2026 Lily Pad Bay LLC. Powered by Shopify",
        "1 plant supplied.",
        "Native to North America.",
        "Taxon Name Common Name",
        "También te puede interesar:",
        "50 Trees / Bundle",
        "$6.00/bundle",
        "XXX",
    ],
)
def test_no_plant(read, text):
    assert read(text)[0].kind == "none"


@pytest.mark.parametrize(
    "text",
    [
        "Brindlewort, local pickup in Macon",
        "Pickup Brindlewort in Macon",
        "Brindlewort, cash, ask for Debbie",
        "Venmo Brindlewort 5",
    ],
)
def test_a_name_that_no_table_knows_stays_beside_words_of_payment(read, text):
    reading, _ = read(text)
    assert reading.kind == "unknown" and "Brindlewort" in reading.phrase


def test_bed_straw_in_two_words_is_a_plant_and_no_straw(read):
    assert read("Northern bed straw $4")[1] == ["Galium boreale"] and read("Straw bale $8")[0].kind == "none"


def test_a_run_of_color_words_is_no_slip_of_a_name(read):
    assert "Pinus resinosa" not in read("Lilies - red pink white yellow 25.00 each")[1]


@pytest.mark.parametrize("sign", ["and", "+", "et", "with", "plus"])
def test_a_word_for_many_plants_joined_to_one_of_them_is_asked_about(plants, book, sign):
    """China aster and tatarian aster are asters too."""
    line = Line(1, f"Symphyotrichum lanceolatum {sign} aster")
    (told,) = check_offer([line], pond_file.read_pond("demo"), plants, book=book).lines
    assert told.verdict not in (BUY, CONTAIN, NO_PLANT)
