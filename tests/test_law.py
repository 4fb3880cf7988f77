"""The law tables against the lists they were read from, and what is said where a plant is native and listed."""

import csv
import json
import re

import pytest

from plantpick.catalogue.evidence import by_trait
from plantpick.catalogue.law import COMPILED, places_by_reading
from plantpick.catalogue.plants import Catalogue
from plantpick.files.catalogue import data_folder
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NOT_NEEDED
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.show.law import law_in_short, law_lines
from plantpick.show.sources import law_read, sources_text
from plantpick.vocabulary import BINDING_LAW, COVERAGE_READ, STATES
from tests.conftest import a_pond


def test_every_listing_of_the_composite_that_means_a_plant_of_ours_is_held(plants, reference):
    """USDA PLANTS, composite list of federal and state noxious weeds, January 2015, state by state."""
    spared = {
        ("Phragmites australis", "WA")
    }  # nonnative genotypes only there: the native lineage is not meant
    compared, missing = 0, set()
    with (reference / "noxious_2015.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            places = [p for p in (row["state"], "US" if row["federal"] else "") if p == "US" or p in STATES]
            for plant in plants.taxa.covered(row["name"]):
                compared += len(places)
                listed = {listing.place for listing in plants.listings(plant)}
                missing |= {(row["name"], place) for place in places if place not in listed}
    assert compared > 700
    assert missing == spared


def test_all_nineteen_federal_entries_bind_in_every_state(plants, reference):
    """7 CFR 360.200(a), aquatic and wetland weeds."""
    with (reference / "federal_7CFR360_200a.csv").open(encoding="utf-8") as file:
        names = [row["scientific_name"].split("(")[0].strip() for row in csv.DictReader(file)]
    assert len(names) == 19
    for name in names:
        (plant,) = plants.taxa.covered(name)
        assert plants.listed(plant, "KS").place == "US", name


@pytest.mark.parametrize("state", ["CT", "MA", "ME", "NH", "VT"])
def test_variable_milfoil_is_refused_where_new_england_lists_it(plants, state):
    """CGS 22a-381d; MDAR list; 38 MRSA 410-N; RSA 487:16-a with Env-Wq 1303; Vermont class A. Regional floras call it native there:
    where they do, and the state treats it as an invader, it is held unsure."""
    assert plants.listed("myriophyllum-heterophyllum", state)
    assert plants.status_in("myriophyllum-heterophyllum", state) != "native"
    assert plants.status_in("myriophyllum-heterophyllum", "MO") == "native"


def test_a_states_own_text_is_cited_before_a_list_of_lists(plants):
    own = {
        (place, taxon)
        for place, taxon, status, source in zip(
            *(plants.tables["law"][c] for c in ("jurisdiction", "taxon", "status", "source_id"))
        )
        if status in BINDING_LAW and source not in COMPILED
    }
    assert ("VT", "Egeria densa") in own
    assert plants.listed("egeria-densa", "VT").citation.startswith("Vermont")
    assert plants.listed("myriophyllum-heterophyllum", "CT").citation == "CGS 22a-381d(a)"


def test_a_listing_under_another_name_says_so(plants):
    own = "Myriophyllum heterophyllum"
    assert plants.listed("myriophyllum-heterophyllum", "NH").named(own) == " as Myriophyllum spp."
    assert plants.listed("myriophyllum-heterophyllum", "ME").named(own) == ""


def test_every_list_has_a_date_or_says_that_its_copy_has_none(plants):
    law = plants.law
    undated = law[law["as_of"] == ""]
    assert (law["citation"] != "").all()
    assert undated["remark"].str.contains("undated").all(), undated[
        ~undated["remark"].str.contains("undated")
    ]


def test_the_arithmetic_of_one_plant_says_how_far_the_list_was_read(plants, north):
    """Every answer for a state says it: Rhode Island's list of species could not be read."""
    from dataclasses import replace

    from plantpick.ranking.explain import explain
    from plantpick.show.explanation import explanation_record

    for name in ("pontederia-cordata", "acer-platanoides"):
        told = explanation_record(explain(replace(north, state="RI"), plants, name))
        assert told["law"]["read"] == "none" and told["law"]["jurisdiction"] == "RI"


@pytest.mark.parametrize(
    "state, plant, status, citation",
    [
        ("OH", "typha-angustifolia", "prohibited", "OAC 901:5-30-01(A)"),  # item (60) of 63
        ("OH", "salvinia-minima", "prohibited", "OAC 901:5-30-01(A)"),  # item (55)
        ("AZ", "pontederia-crassipes", "noxious", "A.A.C. R3-4-245, class A"),  # table 4
        ("CO", "epilobium-hirsutum", "noxious", "8 CCR 1206-2, list A"),
        ("CO", "myriophyllum-spicatum", "noxious", "8 CCR 1206-2, list B"),
        ("CA", "limnobium-spongia", "noxious", "3 CCR 4500"),  # rated Q before
        ("CA", "nymphoides-peltata", "noxious", "3 CCR 4500"),  # added on 1 July 2024
        ("DE", "acorus-calamus", "prohibited", "3 Del. C. 2904; 3 Del. Admin. Code 806"),
        ("FL", "nymphoides-cristata", "noxious", "F.A.C. 5B-57.007(1), noxious weeds"),  # item (mmm)
        ("IN", "typha-angustifolia", "prohibited", "312 IAC 18-3-23"),
        ("ID", "cabomba-caroliniana", "noxious", "IDAPA 02.06.09"),
        ("PA", "myriophyllum-aquaticum", "noxious", None),  # class A
        ("VT", "nelumbo-lutea", "prohibited", "Vermont quarantine rule on invasive plants, tier 2"),
        ("CT", "nelumbo-lutea", "prohibited", "CGS 22a-381d(b)(1)"),
        ("AL", "panicum-repens", "noxious", "Ala. Admin. Code 80-10-14-.04, class C"),
        ("MT", "egeria-densa", "prohibited", "ARM 4.5.210, priority 3"),
    ],
)
def test_rules_read_whole_bind_as_they_say(plants, state, plant, status, citation):
    """The rule that each line cites, in the text that its source in sources.csv names."""
    found = plants.listed(plant, state)
    assert (found.place, found.status) == (state, status)
    assert citation is None or found.citation == citation


@pytest.mark.parametrize(
    "state, plant, status",
    [
        ("WI", "iris-pseudacorus", "noxious"),  # NR 40.05(2)(b)27m
        ("WI", "lysimachia-nummularia", "noxious"),  # 32g
        ("WI", "butomus-umbellatus", "noxious"),  # 5
        ("WI", "solidago-sempervirens", "prohibited"),  # NR 40.04(2)(b)34p
        ("MI", "trapa-natans", "prohibited"),  # the department's list under Part 413
        ("MI", "nymphoides-peltata", "prohibited"),
        ("NE", "phragmites-australis", "noxious"),
        ("WA", "carex-pendula", "noxious"),  # WAC 16-750-011 (17)
        ("WA", "typha-angustifolia", "noxious"),  # WAC 16-750-015
    ],
)
def test_what_was_read_of_a_longer_rule_binds(plants, state, plant, status):
    """The rule, or the page on it, that the row's source names; the coverage says that it was read in part."""
    found = plants.listed(plant, state)
    assert (found.place, found.status) == (state, status)
    assert plants.coverage_of(state).read == "part"


@pytest.mark.parametrize(
    "state, plant, status",
    [
        (
            "NY",
            "silphium-perfoliatum",
            "prohibited",
        ),  # 6 NYCRR 575.3: a bare list, a list of lists and the press
        ("NY", "iris-pseudacorus", "prohibited"),  # the same; lohud.com, 10 March 2015
        ("NY", "myriophyllum-aquaticum", "prohibited"),  # Pond Trade, 5 March 2015, and a list of lists
        ("NY", "miscanthus-sinensis", "regulated"),  # 575.4, one of the six
        ("VA", "ficaria-verna", "noxious"),  # 2VAC5-317-20, tier 3: a trade article and a list of lists
        (
            "VA",
            "persicaria-perfoliata",
            "noxious",
        ),  # one of the six of 2019 that the Virginia Register counts
        ("NM", "myriophyllum-aquaticum", "noxious"),  # class C of July 2020, two lists of lists
        ("NM", "saccharum-ravennae", "noxious"),  # class A
        ("UT", "elaeagnus-angustifolia", "prohibited"),  # R68-9-2, class 4
        ("ME", "silphium-perfoliatum", "prohibited"),  # do not sell list
        ("ME", "butomus-umbellatus", "prohibited"),
        ("MN", "reynoutria-japonica", "prohibited"),
        ("WV", "lythrum-salicaria", "noxious"),  # 61-14A-5 second-hand; 61-9-13 bars its seed
        ("WI", "trapa-natans", "prohibited"),
    ],
)
def test_what_two_copies_made_apart_agree_on_binds(plants, state, plant, status):
    """No text of the rule itself was read: the citation says so ("as two copies give it"), or the row's remark does."""
    found = plants.listed(plant, state)
    assert (found.place, found.status) == (state, status)
    assert found.compiled
    law = plants.law
    rows = law[(law["jurisdiction"] == state) & (law["citation"] == found.citation)]
    assert rows["remark"].str.contains("second-hand").all() and len(rows)


@pytest.mark.parametrize(
    "state, plant",
    [
        ("SC", "nymphoides-cristata"),
        ("NC", "nymphoides-indica"),
        ("OR", "ludwigia-hexapetala"),
        ("WI", "typha-angustifolia"),
        ("NV", "butomus-umbellatus"),
    ],
)
def test_what_one_list_of_lists_names_is_asked_about_and_binds_nobody(plants, state, plant):
    """Regulated Plants Database of December 2025, and for Nevada the Edaphic Flora project of January 2026: no second witness."""
    assert plants.listed(plant, state) is None
    assert plants.advised_against(plant, state)


@pytest.mark.parametrize(
    "state, plant, citation",
    [
        ("WI", "cabomba-caroliniana", "NR 40.04(2)(b)"),  # item 4
        ("WI", "cardamine-impatiens", "NR 40.04(2)(b)"),  # item 4g
        ("TN", "imperata-cylindrica", "Tenn. Rule 0080-06-24; TDA page"),  # cogongrass, one of the 13
        ("TN", "elaeagnus-umbellata", "Tenn. Rule 0080-06-24; TDA page"),
        ("CT", "microstegium-vimineum", "CGS 22a-381d(a)"),  # item 28
        ("CT", "pueraria-montana", "CGS 22a-381d(a)"),  # item 36
        ("KS", "lespedeza-cuneata", None),  # K.S.A. 2-1314, the twelfth
    ],
)
def test_a_rules_own_text_is_cited_where_it_was_read(plants, state, plant, citation):
    """The text of the rule or the agency's page, seen on 28 November 2026."""
    found = plants.listed(plant, state)
    assert not found.compiled and found.place == state
    assert citation is None or found.citation == citation


def test_a_list_to_be_confirmed_binds_nobody(plants):
    """Wisconsin's plants of the Register of November 2024, as a reporter's page names them: watch until a second copy agrees."""
    law = plants.law
    open_ = law[law["remark"].str.contains("to be confirmed")]
    assert len(open_) and set(open_["status"]) == {"watch"}


def test_a_ban_that_begins_later_is_not_yet_a_ban(plants):
    """CGS 22a-381d(b)(4): reed canary grass from 1 October 2028 on."""
    assert plants.listed("phalaris-arundinacea", "CT") is None
    assert plants.advised_against("phalaris-arundinacea", "CT")


@pytest.mark.parametrize(
    "state, plant, when",
    [
        ("NJ", "lythrum-salicaria", "February 2027"),  # the thirteenth month after 20 January 2026
        ("NJ", "berberis-thunbergii", "February 2030"),  # sale: the forty-ninth
        ("NJ", "miscanthus-sinensis", "February 2030"),
        ("RI", "trapa-natans", "its list not read"),  # the department's map of 26 October 2020
        ("RI", "pontederia-crassipes", "its list not read"),
        ("RI", "nelumbo-nucifera", "its list not read"),  # ecoRI News, 29 March 2021
    ],
)
def test_what_a_state_means_to_forbid_is_never_bought_before_the_list_is_seen(whole, state, plant, when):
    """N.J. S2186 of 2022 and reports on the act of 20 January 2026; R.I. Gen. Laws 20-1-26 and the department's map."""
    assert whole.listed(plant, state) is None and whole.advised_against(plant, state)
    gate = eligibility(whole, plant, state)
    assert gate.refused and gate.code in (GateCode.INVADER, GateCode.INTRODUCED, GateCode.INTRODUCED_HERE)
    law = whole.law
    rows = law[(law["jurisdiction"] == state) & (law["status"] == "watch")]
    taxa = [taxon for taxon in rows["taxon"] if plant in whole.taxa.covered(taxon)]
    assert rows.loc[rows["taxon"].isin(taxa), "remark"].str.contains(when).all() and taxa
    (line,) = check_offer(
        [Line(1, f"{whole.plant(plant).scientific_name}, plug, $3.00")], a_pond(state=state), whole
    ).lines
    assert line.verdict == LEAVE


def test_thirty_jurisdictions_are_read_whole_eight_of_them_in_copies(plants):
    """22 in their own words (the federal list is one), 8 as others copy them; 19 in part or not at all."""
    coverage = plants.coverage
    read = {how: set(coverage.loc[coverage["read"] == how, "jurisdiction"]) for how in COVERAGE_READ}
    assert {how: len(places) for how, places in read.items()} == {
        "whole": 22,
        "copy": 8,
        "part": 17,
        "none": 3,
    }
    assert "US" in read["whole"]
    assert read["copy"] == {"KS", "MS", "MT", "NM", "NY", "UT", "VA", "WV"}
    assert read["none"] == {"DC", "NJ", "RI"}
    assert read["whole"] | read["copy"] <= set(plants.law["jurisdiction"])
    rest = coverage[coverage["read"] != "whole"]
    assert (rest["agency"] != "").all() and (rest["remark"] != "").all()  # whom to ask, and what was not read


def test_sources_counts_the_lists_as_the_page_on_the_data_does(plants):
    said = law_read(plants)
    page = (data_folder().parent / "docs" / "data.md").read_text(encoding="utf-8")
    for line, how in zip(said, COVERAGE_READ):
        places = places_by_reading(plants.tables["law_coverage"])[how]
        assert f"({len(places)}): {' '.join(places)}." in line
        assert f"({len(places)})" in page and all(place in page for place in places)
    held = re.search(r"([\d,]+) rows that bind, ([\d,]+) to ask about", said[-1])
    assert sum(int(n.replace(",", "")) for n in held.groups()) == len(plants.law)
    told = json.loads(sources_text(plants, None, by_trait(plants, None), "json"))
    assert told["law_read"]["none"] == ["DC", "NJ", "RI"]


def test_an_answer_says_how_far_a_list_was_read_and_what_was_not(plants):
    kansas = law_lines(plants.coverage_of("KS"), "KS")
    assert kansas[0].startswith("Kansas, read whole but only as others copy it")
    assert "wildlife department" in kansas[1]  # its list was not read
    assert "second-hand" in law_lines(plants.coverage_of("NY"), "NY")[1]
    assert law_lines(plants.coverage_of("OH"), "OH")[0].startswith("Ohio, read whole: ")


@pytest.mark.parametrize(
    "state, says",
    [
        ("OH", "Ohio: list read whole (dated 2023-02-13"),
        ("NY", "New York: list read whole, in a copy by others (dated 2015-03-10"),
        ("TX", "Texas: list read only in part (dated 2012-04-19"),
        ("RI", "Rhode Island: list not read, the federal list too"),
    ],
)
def test_the_end_of_a_ranking_says_it_in_short(plants, state, says):
    assert says in law_in_short(plants.coverage_of(state), state)


def test_the_order_of_the_law_rows_changes_nothing(plants):
    """Made up: the table turned upside down names the same listing for every plant and state."""
    turned = Catalogue(
        plants.tables | {"law": {column: cells[::-1] for column, cells in plants.tables["law"].items()}}
    )
    for plant in plants.plant_ids:
        assert turned.listings(plant) == plants.listings(plant)
        for state in STATES:
            assert turned.listed(plant, state) == plants.listed(plant, state)


@pytest.mark.parametrize(
    "state, act",
    [
        ("MN", "moving"),
        ("FL", "planting"),
        ("NC", "planting"),
        ("WI", "planting"),
        ("RI", "moving"),
        ("TX", "moving"),
    ],
)
def test_rules_on_what_is_done_with_natives_are_told_and_forbid_nothing(plants, state, act):
    """Minn. Stat. 84D.09; F.A.C. 5B-64.003; 02 NCAC 48F .0407; NR 109; Rhode Island's rule of 2020; Tex. Parks & Wild. Code 66.0071."""
    coverage = plants.coverage_of(state)
    rules = [rule for rule in coverage.planting_rules if rule.act == act]
    lines = law_lines(coverage, state)
    assert rules and all(any(r.rule in line and r.citation in line for line in lines) for r in rules)
    assert eligibility(plants, "pontederia-cordata", state).code == GateCode.CLEAR


# weeds and garden plants of dry ground that no table of ours knows yet: an offer that names one is never bought all the same
UNKNOWN = """
    Ambrosia trifida; Ammophila arenaria; Helianthus ciliaris; Heteropogon contortus; Lonicera standishii; Oenothera sinuosa;
    Oenothera xenogaura; Wisteria x formosa
"""


def test_every_listed_plant_but_a_few_of_dry_ground_is_known_by_name(whole):
    known = {name.lower() for name in whole.tables["names"]["name"]}
    unknown = {
        taxon
        for taxon, exceptions in zip(whole.law["taxon"], whole.law["except"])
        if not whole.taxa.covered(taxon, exceptions) and taxon.lower() not in known
    }
    assert unknown == {" ".join(name.split()) for name in UNKNOWN.split(";")}


def _listed_on_an_offer(whole, state):
    """The answers to an offer, made up, of everything that a state's own rows bind, by the names of the lists."""
    law = whole.law
    rows = law[(law["jurisdiction"] == state) & law["status"].isin(BINDING_LAW)]
    taxa = sorted({t for t in rows["taxon"] if " spp." not in t})
    offer = check_offer(
        [Line(i, f"{taxon}, plug, $3.00") for i, taxon in enumerate(taxa, 1)], a_pond(state=state), whole
    )
    return list(zip(taxa, offer.lines, strict=True))


@pytest.mark.parametrize(
    "state", ["LA", *(pytest.param(s, marks=pytest.mark.slow) for s in STATES if s != "LA")]
)
def test_what_a_state_lists_is_never_bought_there(whole, state):
    answers = _listed_on_an_offer(whole, state)
    if state not in ("DC", "GA", "NJ", "RI"):  # no list of theirs was read
        assert answers
    for taxon, line in answers:
        assert line.verdict not in (BUY, CONTAIN, NOT_NEEDED), (state, taxon)
        meant = set(line.candidates)
        if meant and all(whole.listed(p, state) and whole.listed(p, state).status != "permit" for p in meant):
            assert line.verdict == LEAVE, (state, taxon, line.short)
        elif meant & whole.taxa.covered(taxon):
            assert line.verdict in (LEAVE, ASK), (state, taxon, line.short)
