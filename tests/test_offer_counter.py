"""An offer read at a counter: doubt first, one row a plant, questions once, 60 columns. All offers here are made up."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from rich.cells import cell_len

from plantpick.cli.app import run
from plantpick.files import pond_file
from plantpick.offers.check import Line, OfferLine, check_offer
from plantpick.offers.counter import at_the_counter, seller_questions
from plantpick.offers.seller_claims import SellerClaim, claims_of
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NO_PLANT, OFFERED, Judge
from plantpick.planting.choice import Choice, fitting
from plantpick.ranking.by_place import by_place, unsure
from plantpick.ranking.chances import chance_figures, chance_words
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.ranking.explain import explain
from plantpick.ranking.rank import rank
from plantpick.show import offer_words
from plantpick.show.offer import OfferOptions, offer_csv, offer_json, show_offer
from plantpick.show.ranking import ranking_csv, ranking_json
from plantpick.show.terminal import Column, console, right, show_rows
from plantpick.vocabulary import STATES

LIST = (
    "Hello, here is our list for spring.",
    "Pontederia cordata, pickerelweed, 2 in plug, 1-9 $2.60, 10-49 $2.10",
    "Golden Larkgrass $4.00",
    "Pistia stratiotes 3 for $5",
    "Blue flag, quart pot, $6.50",
    "Equisetum hyemale tray of 50 $68.00",
    "Water lettuce, large, $4",
    "Iris, $5",
    "Saururus cernuus bunch of 6 $7.50",
    "Asclepias incarnata $3 sold out",
    "Saururus cernuus, gallon pot",
)

pytestmark = pytest.mark.usefixtures("ranked_once")


@pytest.fixture(scope="module")
def pond():
    return pond_file.read_pond("demo")


@pytest.fixture(scope="module")
def judges():
    """One judge a pond: the ranking behind it is made once for all tests here."""
    made: dict[str, Judge] = {}

    def judge(pond, catalogue):
        if pond.state not in made:
            made[pond.state] = Judge(pond, catalogue)
        return made[pond.state]

    return judge


@pytest.fixture
def check(pond, plants, book, judges, monkeypatch):
    monkeypatch.setattr("plantpick.offers.check.Judge", judges)

    def run(*texts: str, state: str | None = None, **options):
        here = replace(pond, state=state) if state else pond
        return check_offer([Line(i, t) for i, t in enumerate(texts, 1)], here, plants, book=book, **options)

    return run


@pytest.fixture
def shown(monkeypatch, capsys):
    def show(answer, width: int = 60, **options) -> str:
        monkeypatch.setenv("COLUMNS", str(width))
        show_offer(console(), answer, OfferOptions(**options))
        return capsys.readouterr().out

    return show


def words(text: str) -> int:
    return sum(word not in ("%", "") for word in text.split(" "))


def test_every_line_that_names_a_plant_stands_in_one_row(check):
    answer = check(*LIST)
    counter = at_the_counter(answer)
    sections = (counter.unread, counter.leave, counter.ask, counter.contain, counter.buy)
    stands = [line.line for section in sections for row in section for line in row.lines]
    assert sorted(stands) == [line.line for line in answer.lines if line.verdict != NO_PLANT]
    assert [line.line for row in counter.unread for line in row.lines] == [3]
    for section, verdict in zip(sections, (ASK, LEAVE, ASK, CONTAIN, BUY)):
        assert {line.verdict for row in section for line in row.lines} <= {verdict}


def test_what_is_not_bought_is_said_once_and_what_is_bought_line_by_line(check):
    counter = at_the_counter(check(*LIST))
    assert [[line.line for line in row.lines] for row in counter.leave] == [[4, 7], [10]]
    assert [row.first.line for row in counter.buy] == [2, 9, 11], "two forms of one plant have two prices"


def test_what_we_could_not_read_comes_first_and_then_what_could_be_refused(check, shown):
    told = shown(check(*LIST))
    heads = [
        "We could not read: 1",
        "Leave it: 3",
        "Ask first: 2",
        "Buy and contain: 1",
        "Buy: 3",
        "Ask the seller",
    ]
    places = [told.index(f"\n{head}") for head in heads]
    assert places == sorted(places)
    asked = told[places[2] : places[3]]
    assert asked.index("Iris") < asked.index("Blue flag"), (
        "a genus with refused plants, a name of several natives"
    )
    assert "sold out" in told[places[1] : places[2]], "a plant not recorded here"


@pytest.mark.parametrize("width", [60, 76, 100])
def test_a_plant_takes_a_line_and_no_line_is_too_wide(check, shown, plants, width):
    """Ninety plants of the tables: at 60 columns a long name may take a second line."""
    taxa = plants.tables["plants"]
    some = list(zip(taxa["scientific_name"], taxa["common_name"]))[::8]
    answer = check(*(f"{name}, {common}, 2 in plug, $2.50" for name, common in some))
    told = shown(answer, width).splitlines()
    assert max(map(cell_len, told)) <= width
    rows = told[: next(i for i, line in enumerate(told) if line.startswith("Ask the seller"))]
    assert len(rows) < 1.3 * len(some) + 30
    for line in answer.lines:
        assert any(re.match(rf" *{line.line} ", row) for row in rows) or any(
            re.search(rf"also .*\b{line.line}\b", row) for row in rows
        )


def test_a_row_says_form_prices_least_order_and_how_many_the_pond_takes(check, shown):
    told = shown(check("Pontederia cordata 4 in pot, 50-99 $1.50, 100+ $1.20"))
    row = next(line for line in told.splitlines() if re.match(r" *1 ", line))
    assert re.fullmatch(r" +1 Pontederia cordata +4 in pot +1\.50 +75\.00 +50 +\d x 7", row), row


def test_a_tray_that_is_larger_than_the_need_is_the_least_that_you_can_buy(check, shown):
    told = shown(check("Saururus cernuus, tray of 50 $68.00", "Pontederia cordata $95.00/100", need=10))
    assert re.search(r"\n +1 Saururus cernuus .* 1\.36 +68\.00 +50 ", told), told
    assert re.search(r"\n +2 Pontederia cordata +0\.95 +9\.50 +\d x 7", told), told


@pytest.mark.parametrize(
    "groups, group, long, short",
    [
        (4, 7, "plan on 4 groups of 7", "4 x 7"),
        (1, 3, "plan on 1 group of 3", "1 x 3"),
        (2, 1, "plan on 2", "2"),
        (0, 7, "", ""),
    ],
)
def test_how_many_this_pond_takes(groups, group, long, short):
    assert offer_words.plan_on(groups, group) == long
    assert offer_words.plan_on(groups, group, short=True) == short


def test_every_question_stands_once_with_its_lines(check, shown):
    answer = check("Iris, $5", "Blue flag $6", "Carex, $2", "Pistia stratiotes, tray $9", "Juncus effusus")
    asked = seller_questions(answer)
    texts = [question.text for question in asked]
    assert len(set(texts)) == len(texts)
    assert [[line.line for line in q.lines] for q in asked if "Which species" in q.text] == [[1, 2, 3]]
    assert not any(line.line == 4 for q in asked for line in q.lines), "nothing is asked about what you leave"
    told = " ".join(shown(answer).split())
    assert told.count("Which species is it? Ask for") == 1 and "(lines 1, 2, 3)" in told
    assert json.loads(offer_json(answer))["questions"] == [offer_words.question(q) for q in asked]


def test_the_answer_ends_with_the_laws_date_and_what_to_do_on_arrival(check, shown):
    told = shown(check(*LIST)).rstrip().splitlines()
    last = next(i for i, line in enumerate(told) if line.startswith("Law: "))
    law = " ".join(line.strip() for line in told[last:-1])
    assert re.match(
        r"Law: Mississippi's list (?:of|seen) \d{4}-\d\d-\d\d \(a copy\)\. Ask your agency\.$", law
    )
    assert "Rinse" in told[-1] and "two weeks" in told[-1]
    part = next(s for s in STATES if check("x", state=s).law.read == "part")
    assert "read in part" in shown(check(*LIST, state=part))


def test_the_least_order_in_money_is_told_with_what_is_missing(check, shown):
    lines = ("Pontederia cordata $2.00", "Minimum Order $200")
    answer = check(*lines, need=10)
    assert "no order under $200.00: you are $180.00 short" in shown(answer, 100)
    assert json.loads(offer_json(answer))["least_spend"] == 200.0
    assert "no order under $200.00." in shown(check(*lines, need=100), 100)
    assert json.loads(offer_json(check(lines[0])))["least_spend"] is None


def test_what_we_could_not_read_is_counted(check, shown):
    assert "ask first 2 (we could read none of them)" in shown(check("Qwrtz plzzk $3", "Zorpwort $2"), 100)
    assert "ask first 2 (1 of them we could not read)" in shown(check("Qwrtz plzzk $3", "Iris $2"), 100)


def test_an_offer_without_a_plant_says_what_to_do(check, shown):
    told = shown(check("12345", "Pond pump $99"))
    assert "no plant on any line" in told and "scientific name" in told and "Ask the seller" not in told


def test_long_reasons_stand_beneath_on_request(check, shown):
    answer = check(*LIST)
    short, long = shown(answer), " ".join(shown(answer, why=True).split())
    for line in answer.lines:
        if line.verdict != NO_PLANT:
            assert " ".join(line.reason.split()) in long
            assert line.reason not in " ".join(short.split())
    assert "inspection certificate" in short and "bag and bin strays" in long


def test_a_reason_has_eight_words_at_the_most(check, plants, pond, book):
    """Every plant of the tables on two ponds, every taxon that only a list names, and doubtful names."""
    seen = set()
    for here in (pond, replace(pond, state="LA"), pond_file.read_pond("demo-hard")):
        judge = Judge(here, plants)
        for plant in book.scientific:
            seen.add(judge.grade(plant).short)
    lines = check(
        "Iris", "Carex", "Salvinia quillfeatherensis", "Dwarf cattail", "Native mix (10 species)", "Zorp $3"
    ).lines
    seen |= {line.short for line in lines} | {
        line.plant_questions[0].short for line in lines if line.plant_questions
    }
    assert len(seen) > 15
    for short in seen:
        assert 1 <= words(short) <= 8 and not short.endswith("."), short


@pytest.mark.parametrize("name", ["demo", "demo-north", "demo-hard"])
def test_a_plant_that_a_measure_holds_is_to_buy_and_contain_as_it_is_ranked(plants, name):
    """For natives that the gate clears and whose best place is not poor, offer and ranking say the same, and as many."""
    here = pond_file.read_pond(name)
    judge, held = Judge(here, plants), 0
    for ranked in rank(here, plants, places=False).plants:
        grade = judge.grade(ranked.plant_id)
        if ranked.eligible != "clear" or grade.code == "poor place":
            continue
        assert grade.verdict == (CONTAIN if ranked.contained_by else BUY), ranked.plant_id
        assert grade.contained_by == ranked.contained_by
        assert grade.groups == max(1, ranked.groups_planned), "as many as the ranking plans on"
        held += bool(ranked.contained_by)
    assert held > 1


@pytest.mark.parametrize("name", ["demo", "demo-north", "demo-hard", "falls 3 ft"])
def test_what_an_offer_leaves_for_a_poor_place_the_ranking_puts_last_and_plans_on_none(plants, name):
    """One limit for both: under 0.2 a place is poor (USFWS word). The fourth pond is made up: Texas, 3 ft of summer drop."""
    here = pond_file.read_pond("demo" if name == "falls 3 ft" else name)
    if name == "falls 3 ft":
        here = replace(here, state="TX", hardiness_zone="8b", usual_drop_ft=3.0)
    judge, ranking = Judge(here, plants), rank(here, plants, places=False)
    left = {p.plant_id for p in ranking.plants if judge.grade(p.plant_id).code == "poor place"}
    assert left == {p.plant_id for p in ranking.plants if p.site < 0.2}
    for plant in ranking.plants:
        if plant.poor:
            assert plant.groups_planned == 0 and plant.against_words.startswith("poor here: ")
            assert plant.against.endswith(" against it")
        if plant.plant_id in left:
            assert plant.against in judge.grade(plant.plant_id).reason
    for listed in by_place(ranking.plants):
        poor = [p.poor for p in listed.plants]
        assert poor == sorted(poor), f"{listed.place}: poor ones last"
        sure = [p.only_fair for p in listed.plants if not p.poor and not unsure(p)]
        assert sure == sorted(sure), (
            f"{listed.place}: those with a place that is only fair after those with a good one"
        )
    fit = fitting(ranking, Choice(only=tuple(p.plant_id for p in ranking.plants)))
    assert not any(p.poor for p in fit)
    assert all(p.site >= 0.5 and p.score >= 50 for p in fitting(ranking)), (
        "few live where a place is only fair"
    )
    if name == "falls 3 ft":
        assert len(left) > 5 and any("summer drop" in p.against for p in ranking.plants if p.poor)
        # at most 14 in deep (catalogue), and 12 in is 22 in short of the fall: about two of a hundred live a year
        sedge = next(p for p in ranking.plants if p.scientific_name == "Carex comosa")
        assert (
            sedge.fit == "fair"
            and sedge.establish_percent[1] < 5
            and sedge.against_words.startswith("only fair here: ")
        )
        told = explain(here, plants, sorted(left)[0])
        assert told.poor.startswith("poor here: ")


@pytest.mark.parametrize("ph", [4.0, 10.0])
def test_the_waters_ph_rules_no_bank_plant_out(plants, pond, ph):
    """A plant that is set above the waterline stands in the soil of the bank, not in the pond's water."""
    here = replace(pond, ph=ph)
    judge, usual = Judge(here, plants), Judge(replace(pond, ph=7.0), plants)
    bank = [p for p in plants.every_plant() if p.depth_best_max_in is not None and p.depth_best_max_in <= 0]
    assert len(bank) > 40
    for plant in bank:
        grade = judge.grade(plant.plant_id)
        assert grade.verdict == usual.grade(plant.plant_id).verdict and "pH" not in grade.reason, (
            plant.plant_id
        )


def test_parrots_feather_alone_is_refused_in_every_state(check, plants):
    """Myriophyllum aquaticum is the one plant whose own name that is, and it is native nowhere in the lower 48."""
    names = (
        "Parrot's feather",
        "parrot feather $4",
        "Parrotfeather, bunch",
        "PARROT'S FEATHER (native)",
        "Green parrot's feather",  # a list of one state calls a native milfoil so; sellers mean the invader
    )
    for state in ("MS", "NH"):
        for line in check(*names, state=state).lines:
            assert line.verdict == LEAVE and line.candidates == ("Myriophyllum aquaticum",), line.reason
    for state in STATES:
        assert OFFERED[eligibility(plants, "myriophyllum-aquaticum", state).code][0] == LEAVE, state


CLAIMS = ("sterile", "hybrid", "dwarf", "native", "non-invasive")


@pytest.mark.parametrize("claim", CLAIMS)
def test_what_a_seller_claims_makes_no_verdict_milder_and_is_answered(check, plants, claim):
    taxa = plants.tables["plants"]["scientific_name"][::25]
    plain, told = check(*taxa), check(*(f"{name}, {claim}" for name in taxa))
    answered = 0
    for before, after in zip(plain.lines, told.lines):
        assert not before.verdict.worse_than(after.verdict), after.text
        if after.verdict != BUY:
            answered += 1
            assert "changes nothing" in after.reason
    assert answered > 10


def test_claims_are_answered_once_for_the_whole_offer(check, shown):
    told = shown(
        check("Ruellia simplex, sterile, $5", "Pistia stratiotes (sterile!)", "Typha minima, not invasive"),
        100,
    )
    assert told.count('"Sterile" changes nothing') == 1 and "(lines 1, 2)" in told
    assert '"Not invasive" changes nothing' in told


@pytest.mark.parametrize(
    "text, claims",
    [
        ("Dwarf papyrus, non-invasive", (SellerClaim.DWARF, SellerClaim.NOT_INVASIVE)),
        ("native to Ohio", (SellerClaim.NATIVE,)),
        ("non-native", ()),
        ("not an aggressively invasive plant", (SellerClaim.NOT_INVASIVE,)),
        ("invasive in warm ponds", ()),
        ("Sterile hybrid", (SellerClaim.STERILE, SellerClaim.HYBRID)),
        ("Pontederia cordata 2 in plug $2", ()),
    ],
)
def test_claims_on_a_line(text, claims):
    assert claims_of(text) == claims


def test_records_say_what_a_buyer_needs(check):
    tray, gone, asked, note = json.loads(
        offer_json(
            check(
                "Equisetum hyemale 2 in plug tray of 50 $68.00",
                "Saururus cernuus $2 sold out",
                "Iris $4",
                "Hi.",
            )
        )
    )["lines"]
    assert (tray["form"], tray["size"], tray["unit"], tray["count"]) == ("plug", "2 in plug", "tray", 50)
    assert tray["cost"] == 68.0 and tray["need"] == tray["groups"] * tray["group_size"]
    assert tray["code"] == "fits if held" and tray["contained_by"] and not tray["sold_out"]
    assert gone["sold_out"] and gone["code"] == "fits" and gone["least_order"] == 1
    assert asked["code"] == "could be refused" and asked["groups"] is None
    assert note["code"] == "" and note["need"] is None and note["unit"] == ""


def test_the_table_of_records_has_the_same_columns(tmp_path, capsys):
    (tmp_path / "o.txt").write_text("Pontederia cordata 2 in plug $2.00\n")
    assert run(["offer", "demo", str(tmp_path / "o.txt"), "-f", "csv", "--need", "30"]) == 0
    (row,) = csv.DictReader(io.StringIO(capsys.readouterr().out))
    assert (row["size"], row["form"], row["need"], row["cost"]) == ("2 in plug", "plug", "30", "60.0")


def test_rows_fold_words_and_wide_letters(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "30")
    show_rows(
        console(),
        [right("line"), Column("plant", ratio=1)],
        [["7", "水葫芦" * 8], ["8", "a very long name of a plant [bold]that goes on"]],
        over={1: "Over the second."},
    )
    told = capsys.readouterr().out
    assert max(map(cell_len, told.splitlines())) <= 30
    assert told.replace("\n", "").replace(" ", "").count("水葫芦") == 8
    assert "Over the second." in told and "[bold]" in told


def test_the_readme_shows_what_the_command_prints(tmp_path, capsys, monkeypatch):
    readme = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    listed, told = re.findall(r"```text\n(.*?)```", readme.partition("## At the counter")[2], re.S)[:2]
    (tmp_path / "list.txt").write_text(listed, encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "76")
    assert run(["offer", "demo", str(tmp_path / "list.txt")]) == 1
    assert told.strip() in capsys.readouterr().out


@pytest.mark.parametrize(
    "text, size, name",
    [
        ("Blue flag, quart pot, $6.50", "quart pot", "Blue flag"),
        ("Iris 4 in pot $3", "4 in pot", "Iris"),
        ("  Golden Larkgrass\t$4.00", "", "Golden Larkgrass"),
        ("2 in plugs of Zorpwort", "2 in plugs", "2 in plugs of Zorpwort"),
        ("$4.00 Golden Larkgrass", "", "$4.00 Golden Larkgrass"),
    ],
)
def test_the_sellers_own_words_for_a_plant(text, size, name):
    assert offer_words.sellers_words(OfferLine(line=1, text=text, size=size)) == name


def test_what_is_not_recorded_here_is_left_and_no_seller_is_asked_whether_it_is_native(plants):
    """The gate's own code, as in the ranking: Justicia americana is a plant of the East (USDA PLANTS)."""
    pond = replace(pond_file.read_pond("demo"), state="OR")
    lines = [Line(1, "Justicia americana, 1 gal, $9"), Line(2, "Zzyxia qqmbra $4")]
    answer = check_offer(lines, pond, plants)
    found = eligibility(plants, "justicia-americana", "OR")
    assert found.code == GateCode.NOT_RECORDED
    assert (answer.lines[0].verdict, answer.lines[0].code) == (LEAVE, found.code)
    assert not any("native" in question for line in answer.lines for question in line.questions)


def test_the_chance_stands_where_the_verdict_rests_on_it(check, shown, pond, plants):
    """The same chance as the ranking's, in the short view: why it is left, and what it would do loose."""
    ranked = rank(pond, plants, places=False, only=["nymphaea-odorata", "justicia-americana"])
    (held,), (out,) = ranked.plants, ranked.ruled_out
    told = shown(check("Nymphaea odorata $12", "Justicia americana $4", "Pontederia cordata $2"))
    assert f"{chance_words(out.chance)} of passing your" in told
    assert f"loose: {chance_figures(held.chance_over_cap)}" in " ".join(told.split())
    assert told.count("(loose:") == 2 and all(cell_len(line) <= 60 for line in told.splitlines())


def test_records_carry_the_chances_that_the_ranking_gives(check, pond, plants):
    """JSON and CSV of one pond: the ranking's own figures under the ranking's own names, whatever the verdict."""
    ranked = rank(pond, plants, places=False)
    answer = check(
        "Pontederia cordata $2",
        "Nymphaea odorata $12",
        "Schoenoplectus pungens $2",
        "Justicia americana $4",
        "Hi.",
    )
    names = ("chance_over_cap", "chance_over_cap_contained")
    listed = {row["scientific_name"]: row for row in csv.DictReader(io.StringIO(ranking_csv(ranked)))}
    for row in list(csv.DictReader(io.StringIO(offer_csv(answer))))[:3]:
        assert [row[name] for name in names] == [listed[row["candidates"]][name] for name in names]
        assert float(row["chance_over_cap"]) > 0
    records = json.loads(offer_json(answer))["lines"]
    (held,) = (
        r for r in json.loads(ranking_json(ranked))["plants"] if r["scientific_name"] == "Nymphaea odorata"
    )
    assert [records[1][name] for name in names] == [held[name] for name in names] and held[names[1]] < held[
        names[0]
    ]
    (out,) = (r for r in ranked.ruled_out if r.plant_id == "justicia-americana")
    assert (records[3]["verdict"], records[3]["chance_over_cap"]) == (LEAVE, round(out.chance, 3))
    assert records[4]["chance_over_cap"] is None
