"""Ranking, offer, the plant's own page and its takeover report say one thing of one plant on one pond.

Which code goes with which answer is read from the table in docs/method.md, "One answer for one plant".
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from plantpick.files import pond_file
from plantpick.monitoring.log import Log, LogRow
from plantpick.monitoring.watch import watch
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import ASK, LEAVE, ReasonCode
from plantpick.pond.model import Growing, Stretch
from plantpick.ranking.answer_codes import FitCode, Reason
from plantpick.ranking.eligibility import GateCode
from plantpick.ranking.explain import explain
from plantpick.ranking.grows_there import grows_there
from plantpick.ranking.rank import RankedPlant, rank
from plantpick.ranking.takeover_report import takeover_report
from plantpick.show.offer import offer_rows
from tests.conftest import a_pond

METHOD = Path(__file__).resolve().parent.parent / "docs" / "method.md"
PONDS = {  # the demo ponds, and invented ones at the ends of what a pond can be (made up)
    "demo": lambda: pond_file.read_pond("demo"),
    "demo-north": lambda: pond_file.read_pond("demo-north"),
    "demo-hard": lambda: pond_file.read_pond("demo-hard"),
    "demo-surveyed": lambda: pond_file.read_pond("demo-surveyed"),
    "all purposes in FL": lambda: a_pond(
        state="FL",
        hardiness_zone="9b",
        purposes=("fish cover", "bank hold", "waterfowl", "pollinator", "show"),
    ),
    "nothing but a dam": lambda: a_pond(stretches=(Stretch("dam", 900.0, 3.0, dam=True),)),
    "no spreading, grass carp": lambda: a_pond(
        state="TX", residents=frozenset({"grass carp"}), purposes=("show",)
    ).with_tolerance(1.0),
    "brackish, in CA": lambda: a_pond(state="CA", salinity_ppt=6.0, purposes=("waterfowl",)),
    "steep, in WA": lambda: a_pond(
        state="WA", hardiness_zone="7b", stretches=(Stretch("all", 1200.0, 1.5),), purposes=("bank hold",)
    ),
}


def allowed() -> dict[str, tuple[str, str]]:
    """Code: place in the ranking, verdict on an offer."""
    section = (
        METHOD.read_text(encoding="utf-8").partition("### One answer for one plant")[2].partition("\n### ")[0]
    )
    rows = [line.strip("| ").split(" | ") for line in section.splitlines() if line.startswith("| `")]
    return {
        code: (place, verdict) for codes, place, verdict in rows for code in re.findall(r"`([^`]+)`", codes)
    }


ALLOWED = allowed()


def place_in_ranking(plant) -> str:
    if not isinstance(plant, RankedPlant):
        return "ruled out"
    if plant.poor:
        assert plant.groups_planned == 0
        return "listed last, plan on none"
    return "listed, ask first" if plant.ask_first else "listed"


def disagreements(pond, plants, book, plant_ids, *, pages) -> list[str]:
    """What the answers say differently of these plants, each offered by its scientific name alone; of every `pages`th plant
    the page and the takeover report as well."""
    ids = list(plant_ids)
    ranking = rank(pond, plants, places=False)
    told = {r.plant_id: r for r in (*ranking.plants, *ranking.ruled_out)}
    lines = [Line(i, plants.plant(p).scientific_name) for i, p in enumerate(ids, 1)]
    found = []

    def same(plant_id, what, one, other):
        if one != other:
            found.append(f"{plant_id}: {what}: {one} | {other}")

    for number, (plant_id, line) in enumerate(zip(ids, check_offer(lines, pond, plants, book=book).lines)):
        plant = told[plant_id]
        ranked = plant if isinstance(plant, RankedPlant) else None
        place, verdict = ALLOWED[plant.answer_code]
        same(plant_id, "ranking | table", place_in_ranking(plant), place)
        if line.sure:
            same(plant_id, "offer | table", line.verdict, verdict)
            same(plant_id, "code, offer | ranking", line.code, plant.answer_code)
            chance = ranked.chance_over_cap if ranked else plant.chance
            same(plant_id, "chance, offer | ranking", line.chance_over_cap, chance)
            held = ranked.chance_over_cap_contained if ranked else None
            same(plant_id, "chance held, offer | ranking", line.chance_over_cap_contained, held)
            if ranked and not ranked.poor:
                same(plant_id, "groups, offer | ranking", line.groups, ranked.groups_planned)
                same(plant_id, "held, offer | ranking", line.contained_by, ranked.contained_by)
                fit = line.ranked.fit, line.ranked.depth_in, line.ranked.stretch, line.ranked.groups_max
                wanted = ranked.fit, ranked.depth_in, ranked.stretch, ranked.groups_max
                same(plant_id, "fit, depth, stretch, room, offer | ranking", fit, wanted)
            if not ranked:
                assert plant.reason.split(" (")[0] in line.why or plant.gate is not None, line.why
        else:  # a name that several plants have borne, or whose genus alone is sure
            each = {ALLOWED[told[p].answer_code][1] for p in line.plants if p in told}
            all_left = each == {LEAVE} or line.code == ReasonCode.GENUS_LISTED
            same(plant_id, "offer of several | each of them", line.verdict, LEAVE if all_left else ASK)
        if number % pages == 0 and plants.plant(plant_id).well_known:
            _compare_page(pond, plants, plant_id, plant, same)
    return found


def _compare_page(pond, plants, plant_id, plant, same):
    page, spread = explain(pond, plants, plant_id), takeover_report(pond, plants, plant_id)
    same(plant_id, "code, page | ranking", page.code, plant.answer_code)
    same(plant_id, "code, spread | ranking", spread.code, plant.answer_code)
    if not isinstance(plant, RankedPlant):
        same(plant_id, "reason, page | ranking", page.ruled_out, plant.reason)
        same(plant_id, "reason, spread | ranking", spread.verdict, plant.reason)
        if plant.chance is not None:
            same(plant_id, "chance, page | ranking", page.chance_over_cap, plant.chance)
            same(plant_id, "chance, spread | ranking", spread.chance_over_cap, plant.chance)
        return
    for what, one, other in (
        ("asks", page.ask_first, plant.ask_first),
        ("room", page.groups_max, plant.groups_max),
        ("planned", page.groups_planned, plant.groups_planned),
        ("chance", page.chance_over_cap, plant.chance_over_cap),
        ("held", page.contained_by, plant.contained_by),
        ("chance held", page.chance_over_cap_contained, plant.chance_over_cap_contained),
        ("fit", page.fit, plant.fit),
        ("depth", page.depth_in, plant.depth_in),
        ("stretch", page.stretch, plant.stretch),
        ("site", page.combined, pytest.approx(plant.site)),
        ("share", page.takeover[-1][1], pytest.approx(plant.takeover_percent)),
    ):
        same(plant_id, f"{what}, page | ranking", one, other)
    same(plant_id, "groups, spread | page", spread.groups, page.groups_judged)
    same(plant_id, "chance, spread | ranking", spread.chance_over_cap, plant.chance_over_cap)
    same(plant_id, "share, spread | ranking", spread.shares[10], pytest.approx(plant.takeover_percent))


def test_the_table_has_every_code_that_a_plant_can_get():
    """`next door` comes only where the owner lets such plants in; other codes of a plant that is ruled out are the gate's."""
    own = {Reason.USE, Reason.DAM, Reason.SITE, Reason.TAKEOVER}
    assert set(ALLOWED) == set(FitCode) | own | set(GateCode) - {GateCode.CLEAR, GateCode.NEXT_DOOR}


@pytest.mark.parametrize("name", ["demo", "demo-hard"])
def test_every_answer_about_a_plant_is_the_same(name, plants, book):
    """A sample of the catalogue, with plants once found at odds: idle, in doubt, of a whole genus, or in a poor place."""
    odd = [
        "lilium-superbum", "sarracenia-purpurea", "packera-glabella", "oxypolis-rigidior", "impatiens-capensis",
        "lemna-minor", "fraxinus-pennsylvanica", "ricciocarpos-natans", "arundinaria-tecta", "chara-spp", "nitella-spp",
        "chamaecyparis-thyoides", "utricularia-macrorhiza",
    ]  # fmt: skip
    ids = dict.fromkeys([*odd, *plants.plant_ids[::61]])
    assert disagreements(PONDS[name](), plants, book, ids, pages=7) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", list(PONDS))
def test_every_answer_about_every_plant_is_the_same(name, whole, whole_book):
    """All that the catalogue knows, those by name only too; the page and the report of every plant on the demo pond, of some on
    the others."""
    pages = 1 if name == "demo" else 9
    assert disagreements(PONDS[name](), whole, whole_book, whole.plant_ids, pages=pages) == []


def test_what_does_nothing_you_asked_for_is_not_needed_and_costs_nothing(plants, book, south):
    """Turk's-cap lily lives on the demo pond's bank and does nothing for fish or bank; pickerelweed is planned on, 4 x 7."""
    lines = [Line(1, "Lilium superbum $5.00"), Line(2, "Pontederia cordata $1.00")]
    offer = check_offer(lines, south, plants, book=book)
    lily, weed = offer.lines
    assert (lily.verdict, lily.code, lily.short) == ("not needed", "use", "does nothing you asked for")
    assert (lily.need, lily.buy, lily.cost, lily.price_each) == (0, 0, None, 5.0)
    assert lily.good_for == ("pollinator", "show")
    assert offer.total == weed.cost == 28.0 and not offer.leaves_something
    wanted = check_offer(lines, south, plants, book=book, need=25)
    assert wanted.total == 25.0 and wanted.lines[0].cost is None


def test_a_stand_in_the_pond_file_and_in_the_log_pass_the_limit_with_one_chance(plants):
    """1,200 sq ft of pickerelweed and of cattail, found growing: the ranking's list of what grows there and `watch` forecast both for
    ten years from the size that was given."""
    for plant_id in ("pontederia-cordata", "typha-latifolia"):
        stand = Growing(plant_id=plant_id, name=plant_id, stretch="south", area_ft2=1200.0)
        (there,) = grows_there(a_pond(growing=(stand,)), plants)
        row = LogRow(row=2, day=date(2027, 6, 20), plant_id=plant_id, stretch="south", area_ft2=1200.0)
        (watched,) = watch(a_pond(), plants, Log((row,)), date(2027, 6, 21)).stands
        assert there.chance_over_cap == watched.chance_over_cap_forecast
        assert there.shares == pytest.approx(watched.ten_years_percent)


def test_nothing_of_what_is_left_has_a_number_to_buy(plants, book, south):
    """The records named seven hydrillas and what they cost."""
    lines = [Line(1, "Hydrilla verticillata $2.00"), Line(2, "Pontederia cordata $1.00")]
    left, bought = offer_rows(check_offer(lines, south, plants, book=book))
    assert (left["need"], left["buy"], left["cost"], left["price_each"]) == (None, None, None, 2.0)
    assert (bought["need"], bought["buy"], bought["cost"]) == (28, 28, 28.0)
