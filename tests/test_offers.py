"""Verdicts, headings, prices and totals of an offer. All offers here are made up."""

from __future__ import annotations

import json
import random
import string
from dataclasses import replace

import pytest

from plantpick.batch import parallel
from plantpick.files import pond_file
from plantpick.offers import check as offers
from plantpick.offers.check import Line, check_offer
from plantpick.offers.order_terms import sold_out
from plantpick.offers.prices import lot_of, read_price, tray_count
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NO_PLANT, ReasonCode
from plantpick.show import offer
from plantpick.vocabulary import BINDING_LAW, STATES

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def plants(whole):
    """All that an offer is read with: also the plants that are known by name only."""
    return whole


@pytest.fixture(scope="module")
def book(whole_book):
    return whole_book


@pytest.fixture(scope="module")
def pond():
    return pond_file.read_pond("demo")


@pytest.fixture
def check(pond, plants, book):
    def run(*texts: str, state: str | None = None, **options):
        here = replace(pond, state=state) if state else pond
        return check_offer([Line(i, t) for i, t in enumerate(texts, 1)], here, plants, book=book, **options)

    return run


@pytest.mark.parametrize(
    "text, need, each",
    [
        ("1-9 $2.50, 10-24 $2.38", 1, 2.50),
        ("1-9 $2.50, 10-24 $2.38", 12, 2.38),
        ("$85.00/100", 5, 0.85),
        ("$85 per 100", 5, 0.85),
        ("100/$85.00", 5, 0.85),
        ("tray of 50 $62.50", 7, 1.25),
        ("$62.50 per tray (50)", 7, 1.25),
        ("38 cell tray $45.60/tray", 7, 1.20),
        ("2.50ea", 7, 2.50),
        ("$2.50each", 7, 2.50),
        ("4.50", 7, 4.50),
        ("$3.00 per bunch of 6", 7, 0.50),
        ("$2.99/bunch", 7, 2.99),
        ("$12/dozen", 7, 1.00),
        ("3 for $9", 7, 3.00),
        ("75¢", 7, 0.75),
        ("$1,250.00 per 1000", 7, 1.25),
        ("1-9: 2.50 10-49: 2.25 50+: 1.95", 60, 1.95),
        ("$2.50 (1-9) $2.38 (10-24)", 10, 2.38),
        ("$69.50 per/lb", 7, None),
        ("$62.50/tray", 7, None),
        ("50 cell trays 0.85 ea", 7, 0.85),
    ],
)
def test_price_of_one_plant(text, need, each):
    price = read_price(text)
    assert price is not None
    assert price.each(need) == (pytest.approx(each) if each is not None else None)


@pytest.mark.parametrize(
    "text", ["20 in stock", "8x5 pot", "3.5 inch pot", "zone 4-9", "#2533", "", "18 in tall"]
)
def test_numbers_that_are_no_price(text):
    assert read_price(text) is None


def test_stock_words_and_trays():
    assert sold_out("Pickerelweed   Out of stock") and sold_out("SOLD OUT") and not sold_out("20 in stock")
    assert (
        tray_count("full trays of 50") == 50
        and tray_count("38 cell tray") == 38
        and tray_count("$38.00 a tray") is None
    )


@pytest.mark.parametrize("first, last", [(0, 4), pytest.param(4, 12, marks=pytest.mark.slow)])
def test_every_listed_plant_is_left_or_asked_about_where_it_is_listed(plants, pond, book, first, last):
    """The tables' own law rows, for the states that list the most: no plant that a list binds may be cleared there."""
    law = plants.tables["law"]
    by_state: dict[str, set[str]] = {}
    for taxon, place, status in zip(law["taxon"], law["jurisdiction"], law["status"]):
        if status in BINDING_LAW:
            by_state.setdefault("MS" if place == "US" else place, set()).add(taxon)
    for state in sorted(by_state, key=lambda s: -len(by_state[s]))[first:last]:
        taxa = [t.removesuffix(" spp.") for t in sorted(by_state[state])]
        answer = check_offer(
            [Line(10 * i, t) for i, t in enumerate(taxa)], replace(pond, state=state), plants, book=book
        )
        for line in answer.lines:
            assert line.verdict in (ASK, LEAVE), (state, line.text, line.verdict, line.reason)


def _with_slips(name: str, rng: random.Random) -> list[str]:
    out = [name, name.replace(" ", "")]
    for i in range(len(name)):
        wrong = rng.choice(string.ascii_lowercase)
        swapped = name[:i] + name[i + 1 : i + 2] + name[i : i + 1] + name[i + 2 :]
        out += [
            name[:i] + name[i + 1 :],
            name[:i] + wrong + name[i + 1 :],
            swapped,
            name[:i] + " " + name[i:],
        ]
    return [slip for slip in out if slip.strip()]


@pytest.mark.parametrize("every, states", [pytest.param(1, 99, marks=pytest.mark.slow), (20, 4)])
def test_no_slip_in_a_listed_name_clears_it(plants, pond, book, every, states):
    """Every listed plant under its scientific and its common name, with every one-letter slip (or one in twenty in the four
    states that name most), split and joined.

    A letter lost, wrong (one drawn for each place), two swapped: where the plant is listed, no line is cleared.
    """
    rng = random.Random(7)
    law = plants.tables["law"]
    where: dict[str, str] = {}
    for taxon, place, status in zip(law["taxon"], law["jurisdiction"], law["status"]):
        if status in BINDING_LAW and not taxon.endswith("spp.") and "(" not in taxon:
            where[taxon] = place
    for plant in book.bound:
        places = [found.place for found in plants.listings(plant) if found.status in BINDING_LAW]
        if places:
            where[book.common[plant]] = places[0]
    by_state: dict[str, list[str]] = {}
    for name, place in where.items():
        by_state.setdefault("MS" if place == "US" else place, []).append(name)
    tried = 0
    for state, names in sorted(by_state.items(), key=lambda item: -len(item[1]))[:states]:
        lines = [
            Line(3 * i, slip)
            for i, slip in enumerate([s for n in names for s in _with_slips(n, rng)][::every])
        ]
        answer = check_offer(lines, replace(pond, state=state), plants, book=book)
        cleared = [
            (state, line.text, line.reason) for line in answer.lines if line.verdict not in (ASK, LEAVE)
        ]
        assert not cleared
        tried += len(lines)
    assert tried > 4_000 / every


def test_the_worst_candidate_decides(check):
    (conflict, near, genus) = check("Iris virginica (yellow flag iris)", "Pistia stratiots", "Salvinia").lines
    assert (
        conflict.verdict in (ASK, LEAVE) and not conflict.sure and "Iris pseudacorus" in conflict.candidates
    )
    assert near.verdict in (ASK, LEAVE) and near.candidates[0] == "Pistia stratiotes"
    assert genus.verdict in (ASK, LEAVE) and not genus.sure


def test_a_whole_genus_that_is_listed_takes_in_species_the_catalogue_lacks(check):
    (line,) = check("Salvinia quillfeatherensis $2").lines
    assert line.verdict in (ASK, LEAVE) and line.candidates == ()


def test_a_cultivar_of_a_native_is_not_the_native(check):
    wild, garden = check("Lobelia cardinalis $3", "Lobelia cardinalis 'Hollow Flame' $3").lines
    assert wild.candidates == garden.candidates and garden.sure
    assert garden.verdict == ASK and "not the native itself" in garden.reason
    assert wild.verdict in (BUY, CONTAIN)


def test_dry_ground_plants_are_called_so(check, plants):
    upland = next(
        n
        for n, f, o in zip(
            plants.tables["plants"]["scientific_name"],
            plants.tables["plants"]["growth_form"],
            plants.tables["plants"]["origin"],
        )
        if f == "upland" and o == "native"
    )
    (line,) = check(upland, state="IL").lines
    assert line.verdict in (LEAVE, ASK) and ("dry-ground plant" in line.reason or "listed" in line.reason)


def test_headings_pass_their_genus_down(check):
    lines = check(
        "Carex", "stricta  2.00", "vulpinoidea  1.50", "", "Juncus", "effusus 1.00", "Pond pump $99"
    ).lines
    assert [line.candidates for line in lines] == [
        (),
        ("Carex stricta",),
        ("Carex vulpinoidea",),
        (),
        (),
        ("Juncus effusus",),
        (),
    ]
    assert lines[0].verdict == NO_PLANT and "heading" in lines[0].reason
    assert lines[5].price_each == 1.0, "a pump's price is not the rush's"


@pytest.mark.parametrize(
    "below",
    [
        ('Pontederia cordata 2" plug',),
        ("American lotus", "spiralis 2.00"),
        ("Water lettuce", "americana 1.00"),
        ("Prices good through May.",),
        ("$2.00 each",),
        ("Vallisneria americana 1.10",),
    ],
)
def test_a_genus_that_the_next_lines_do_not_carry_on_is_an_item(check, below):
    """A lone genus means all its plants, whatever unrelated line stands beneath it."""
    line = check("Vallisneria", *below).lines[0]
    assert {"Vallisneria americana", "Vallisneria spiralis"} <= set(line.candidates)
    assert not line.sure and line.verdict in (ASK, LEAVE)


def test_headings_with_colons_brackets_letters_and_trade_words(check):
    lines = check(
        "Juncus:", "J. effusus .80", "Nymphaea (hardy lilies)", "odorata 12.00", "Iris", "pseudacorus 1.00"
    ).lines
    assert [line.candidates for line in lines] == [
        (),
        ("Juncus effusus",),
        (),
        ("Nymphaea odorata",),
        (),
        ("Iris pseudacorus",),
    ]
    assert all(line.sure for line in lines if line.candidates)


def test_a_mixture_without_names_is_asked_about(check):
    (line,) = check("Native wetland mix, 5 species, 50/tray $60").lines
    assert line.verdict == ASK and not line.candidates and "without naming" in line.reason


def test_a_genus_with_nothing_beneath_it_is_an_offer(check):
    (line,) = check("Typha").lines
    assert line.verdict in (ASK, LEAVE) and line.candidates


def test_price_on_the_next_line_and_tray_in_a_note(check):
    lines = check(
        "All plugs come 50 per tray", "Juncus effusus plug $60.00/tray", "Pontederia cordata", "   $3.25 each"
    ).lines
    assert lines[1].price_each == pytest.approx(1.2)
    assert lines[2].price_each == pytest.approx(3.25) and "line 3" in lines[3].reason


def test_the_sellers_own_ban_is_repeated_as_his_word(check):
    (line,) = check("Pontederia cordata (cannot ship to CA, MS)").lines
    assert "seller" in line.reason.lower() and "CA MS" in line.reason and line.verdict == ASK
    (line,) = check("Pistia stratiotes   CA FL LA").lines
    assert "CA FL LA" in line.reason


def test_need_settles_the_break(check):
    text = "Pontederia cordata 1-9 $2.60, 10-49 $2.10, 50+ $1.65"
    assert [check(text, need=n).lines[0].price_each for n in (5, 20, 80)] == [2.60, 2.10, 1.65]


def test_the_total_is_in_whole_trays_and_least_orders(check):
    """Ten plants out of a tray of 50 cost the tray; a rate per hundred is a rate (common practice, no source)."""
    tray, rate, least = (
        check(text, need=10)
        for text in (
            "Juncus effusus tray of 50 $68.00",
            "Juncus effusus $95.00/100",
            "Juncus effusus 25-99 $1.00, 100+ $.90",
        )
    )
    assert tray.lines[0].price_each == pytest.approx(1.36) and tray.total == pytest.approx(68.0)
    assert "Whole lots only" in tray.lines[0].reason
    assert rate.total == pytest.approx(9.5) and least.total == pytest.approx(25.0)


def test_totals_count_what_is_bought(check):
    answer = check(
        "Pontederia cordata $2.00", "Juncus effusus $1.00 sold out", "Pistia stratiotes $1.00", need=10
    )
    assert answer.total == pytest.approx(20.0) and answer.priced == 1 and answer.leaves_something


def test_json_has_a_record_for_every_line(check):
    answer = check("Hello,", "", "Pontederia cordata $2.00", "Brindlewort $1")
    told = json.loads(offer.offer_json(answer))
    assert [tuple(record) for record in told["lines"]] == [offer.OFFER_COLUMNS] * 4
    assert [record["line"] for record in told["lines"]] == [1, 2, 3, 4]
    assert told["lines"][2]["candidates"] == ["Pontederia cordata"] and told["lines"][2]["sure"] is True
    assert told["lines"][3]["candidates"] == [] and told["lines"][3]["verdict"] == ASK


def test_csv_cells_that_look_like_formulas_are_made_harmless(check):
    text = offer.offer_csv(
        check('=HYPERLINK("x") Pontederia cordata', "+1 Juncus effusus", "@Typha", "-2 lotus")
    )
    cells = [row.split(",", 1)[1].lstrip('"')[0] for row in text.splitlines()[1:]]
    assert cells == ["'"] * 4


def test_shared_reading_answers_as_one_processor_does(book, monkeypatch):
    texts = [f"{name} lot {i}" for i, name in enumerate(list(book.scientific.values())[:60])]
    monkeypatch.setattr(parallel, "FEW", 10)
    alone, shared = offers.read_one_by_one(texts, book), parallel.reader(2)(texts, book)
    assert [(r.kind, r.candidates, r.sure, r.nearest) for r in alone] == [
        (r.kind, r.candidates, r.sure, r.nearest) for r in shared
    ]


def test_answers_do_not_depend_on_the_block(check, pond, plants, book):
    texts = ["Carex", "stricta 2.00", "", "Pontederia cordata", "$3", "Typha latifolia"] * 3
    lines = [Line(i, t) for i, t in enumerate(texts, 1)]
    one = check_offer(lines, pond, plants, book=book)
    many = check_offer(lines, pond, plants, book=book, block=4)
    assert [line.verdict for line in one.lines] == [line.verdict for line in many.lines]


def test_absence_from_a_list_read_in_part_is_said_once(check, plants):
    part = next(s for s in STATES if plants.coverage_of(s).read == "part")
    told = json.loads(offer.offer_json(check("Pontederia cordata", "Juncus effusus", state=part)))
    assert sum("only in part" in line for line in told["law"]) == 1
    assert not any("only in part" in record["reason"] for record in told["lines"])


def test_a_lines_answer_is_a_record_that_nobody_changes(check):
    """The price and the seller's "sold out" may stand on a line of their own, and are told beside the reason."""
    from dataclasses import FrozenInstanceError

    answer = check("Pontederia cordata, bare root", "$4.00 each", "Juncus effusus, 2 in plug", "sold out")
    first, price, second, gone = answer.lines
    assert first.price_each == 4.0 and "What does one plant cost?" not in first.questions
    assert price.verdict == NO_PLANT and price.reason == "the price of line 1" and gone.verdict == NO_PLANT
    assert second.sold_out and second.reason.endswith("Sold out, the seller says.")
    assert "Sold out" not in second.why
    with pytest.raises(FrozenInstanceError):
        second.sold_out = False


@pytest.mark.parametrize(
    "name, drop_ft, ph, salt, against",
    [  # made-up ponds; golden canna stands dry for weeks at most (our memory), in fresh water under pH 7.5
        ("Canna flaccida", 5.0, 8.3, 1.2, "summer drop"),
        ("Saururus cernuus", 5.0, 7.0, 0.1, "summer drop"),
    ],
)
def test_a_plant_that_would_hardly_live_is_not_to_be_bought(
    check, pond, name, drop_ft, ph, salt, against, plants, book
):
    hard = replace(pond, state="TX", hardiness_zone="8a", usual_drop_ft=drop_ft, ph=ph, salinity_ppt=salt)
    (line,) = check_offer([Line(1, f"{name} $5")], hard, plants, book=book).lines
    assert line.verdict == LEAVE and "poor" in line.reason and against in line.reason
    (line,) = check_offer(
        [Line(1, f"{name} $5")], replace(hard, usual_drop_ft=0.5, ph=7.0, salinity_ppt=0.1), plants, book=book
    ).lines
    assert line.verdict in (BUY, CONTAIN)


@pytest.mark.parametrize(
    "line",
    [  # made up, but for the plants' names: water hyacinth in Chinese, Taiwan's Chinese, Japanese; pickerelweed in Russian
        "\u6c34\u846b\u82a6",
        "\u5e03\u888b\u84ee $3",
        "\u30db\u30c6\u30a4\u30a2\u30aa\u30a4 3\u682a 500\u5186",
        "\u043f\u043e\u043d\u0442\u0435\u0434\u0435\u0440\u0438\u044f 5 $",
    ],
)
def test_a_line_in_other_letters_is_asked_about_as_it_is_written(check, line):
    (found,) = check(line).lines
    assert found.verdict == ASK and line in found.reason


@pytest.mark.parametrize(
    "line",
    [  # made up
        "Native pond mix (10 species)",
        "our best sellers bundle",
        "Bog plants 5/$20",
        "12 assorted marginals",
        "Oxygenators x10",
    ],
)
def test_plants_sold_by_the_lot_without_a_name_are_asked_about(check, line):
    (found,) = check(line).lines
    assert found.verdict == ASK and "without naming" in found.reason


@pytest.mark.parametrize(
    "line, lot",
    [  # made up
        ("Pontederia cordata 12 plugs $48", 12),
        ("Pontederia cordata, 50 plugs 62.50", 50),
        ("Pontederia cordata 12 plugs $4.00 each", None),
        ("Pontederia cordata 12 plugs @ $4.00", None),
        ("Pontederia cordata 2 in plugs $4.00", None),
        ("Pontederia cordata 12 plants for $48", None),
        ("Pontederia cordata $4.00", None),
    ],
)
def test_an_amount_for_one_or_for_all_is_asked_about(check, line, lot):
    assert lot_of(line) == lot
    (found,) = check(line).lines
    asked = f"or of all {lot}?" in " ".join(found.questions)
    assert asked == (lot is not None)


def test_a_common_name_of_several_plants_that_are_all_fine_is_cleared(check):
    """Swamp cypress is one of two natives; frogbit and elodea are sold for listed plants as well (trade names)."""
    cypress, *doubtful = check(
        "Swamp cypress, 1 gal $9.00",
        "Frogbit $2",
        "Elodea bunch $3",
        "Swamp cypress with hydrilla $3",
        "Thornquill swamp cypress $3",
        "Swamp cypress, mixed $3",
        "Swamp cypress & friends $3",
        "Chinese swamp cypress $3",
        "Swamp cypress hybrid $3",
    ).lines
    assert cypress.verdict == BUY and not cypress.sure and cypress.need
    assert "any of these is fine here" in cypress.reason
    assert {line.verdict for line in doubtful} <= {ASK, LEAVE}


def test_shared_names_are_cleared_only_where_every_plant_would_be(check, plants, pond, book):
    """Every common name of several plants: no line is cleared where one of its plants alone would not be."""
    names = [
        entry.name
        for entry in book.keys.values()
        if not entry.scientific and len(entry.plants) > 1 and {kind for _, kind in entry.pairs} == {"common"}
    ]
    lines = check(*names).lines
    alone: dict[str, str] = {}
    cleared = [line for line in lines if line.verdict in (BUY, CONTAIN) and not line.sure]
    assert cleared, "some name of several plants is fine here"
    every = sorted({name for line in cleared for name in line.candidates})
    alone = {line.text: line.verdict for line in check(*every).lines}
    for line in cleared:
        assert all(alone[name] in (BUY, CONTAIN) for name in line.candidates), line


def test_a_plant_offered_in_several_sizes_counts_once_at_its_cheapest(check):
    """By hand: 28 of $1.25 are $35; the pots of $20 would be $560. Soft rush comes to $21 by itself."""
    answer = check("Pontederia cordata plug $1.25", "Pickerelweed 3 gal $20", "Juncus effusus $1.00")
    costs = [line.cost for line in answer.lines]
    assert costs[0] < costs[1] and answer.priced == 3 and answer.again == 1
    assert answer.total == pytest.approx(costs[0] + costs[2])


def test_the_poisonous_plants_among_those_to_buy_are_named(check):
    """Cowbane's roots and buttonbush are poisonous to people, switchgrass to livestock (USDA plant guides; from memory).
    Cowbane does nothing for fish or bank, so it is not among those to buy."""
    answer = check(
        "Oxypolis rigidior $5", "Cephalanthus occidentalis $8", "Panicum virgatum $2", "Juncus effusus $1"
    )
    people, stock = answer.dangers
    assert "cowbane" not in people and "buttonbush" in people and "switchgrass" in stock
    assert "rush" not in people + stock
    assert check("Juncus effusus $1").dangers == ()


def test_a_plant_to_buy_that_a_forbidden_one_looks_like_is_named(check):
    """Foreign Vallisneria, and Sagittaria sagittifolia (a federal noxious weed, 7 CFR 360.200), are sold for these two."""
    (line,) = check("Vallisneria americana $1.10", "Sagittaria latifolia $2", "Juncus effusus $1").dangers
    assert line.startswith("Easily taken for a forbidden or poisonous plant: ")
    assert "wild celery" in line and "arrowhead" in line and "rush" not in line


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("We may substitute similar species without notice.", ReasonCode.IN_PLACE),
        ("Substitutions will be made unless you say no subs.", ReasonCode.IN_PLACE),
        ("Species may vary with availability", ReasonCode.IN_PLACE),
        ("* or similar species", ReasonCode.IN_PLACE),
        ("Plants dug from local marshes", ReasonCode.WILD_DUG),
        ("Collected from the wild on our land", ReasonCode.WILD_DUG),
        ("We ship to AL, GA and FL only", ReasonCode.NOT_SHIPPED),  # the demo pond lies in Mississippi
    ],
)
def test_what_a_seller_says_of_the_whole_list_is_asked_about(check, text, code):
    answer = check(text, "Pontederia cordata $2")
    assert (answer.lines[0].verdict, answer.lines[0].code) == (ASK, code)
    assert answer.lines[0].questions and not answer.lines[0].names_a_plant
    assert answer.lines[1].verdict == BUY


@pytest.mark.parametrize(
    "text",
    [
        "No substitutions without your consent.",
        "We never substitute.",
        "Nursery propagated, never dug from the wild",
        "We ship only to Mississippi and Alabama",
        "Seed collected from wild stands",
    ],
)
def test_a_seller_s_promise_is_no_plant_and_no_question(check, text):
    answer = check(text, "Pontederia cordata $2")
    assert answer.lines[0].verdict == NO_PLANT and answer.lines[1].verdict == BUY


def test_a_note_beneath_the_list_counts_for_the_plants_with_its_sign(check):
    """Made up, as price lists have it."""
    iris, rush, sedge, *_ = check(
        "Iris virginica † $1.50",
        "Juncus effusus* $1.00",
        "Carex stricta $1.00",
        "† may be Iris pseudacorus",
        "* or similar species",
    ).lines
    assert (iris.verdict, iris.code) == (ASK, ReasonCode.SECOND_PLANT) and "line 4" in iris.why
    assert rush.verdict == ASK and sedge.verdict == BUY
    plain, starred = check("Juncus effusus $1.00", "Carex stricta* $1.00").lines
    assert plain.verdict == starred.verdict == BUY  # a sign without a note
