"""What a plan says of the offer that it buys from: what must not be bought, what to ask about, and what whole lots leave over. The
offer is made up; the law is that of the tables."""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace

import pytest
from conftest import a_pond

from plantpick.offers import check
from plantpick.planting import billing
from plantpick.planting.bill import Bill
from plantpick.planting.offered import Offered, offered
from plantpick.show import plan_offer

OFFER = [
    "Juncus effusus soft rush plugs tray of 50 $62",
    "Alternanthera philoxeroides $2",
    "Water hyacinth 5 for $10",
    "Hydrilla $1",
    "Water hyacinth, large, $4",
    "Blue wonder bulb $3",
    "Impatiens capensis $4",
]


@pytest.fixture(scope="module")
def sold(plants, book):
    lines = [check.Line(k, text) for k, text in enumerate(OFFER, 1)]
    return offered(check.check_offer(lines, a_pond(state="GA"), plants, book=book))


def test_what_must_not_be_bought_is_named_with_its_lines(sold):
    """Water hyacinth and hydrilla: hydrilla is a Federal noxious weed (7 CFR 360.200); the plan names all three with their lines."""
    said = plan_offer.refused_lines(SimpleNamespace(offered=sold))
    text = " | ".join(said)
    assert len(said) == 3
    for name, lines in (("alligator", "(line 2)"), ("hyacinth", "(lines 3, 5)"), ("hydrilla", "(line 4)")):
        (line,) = [s for s in said if name in s.lower()]
        assert lines in line and line.partition("): ")[2], text
    assert sold.forms["juncus-effusus"] == ("plug",)
    assert "juncus-effusus" in sold and not any("rush" in s for s in said)


def test_what_to_ask_about_is_named_too(sold):
    words = plan_offer.doubted_words(SimpleNamespace(offered=sold))
    assert "(line 6)" in words and words.startswith("Ask the seller")


def test_what_does_nothing_you_asked_for_is_named_and_not_bought(sold):
    """Jewelweed, for fish and bank (judgement of the tables)."""
    words = plan_offer.not_needed_words(SimpleNamespace(offered=sold))
    assert "mpatiens capensis (line 7)" in words and "does nothing you asked for" in words
    assert "impatiens-capensis" not in sold
    assert [row["line"] for row in plan_offer.offer_record(sold)["not_needed"]] == [7]


def test_without_an_offer_nothing_is_said():
    plan = SimpleNamespace(offered=None)
    assert plan_offer.refused_lines(plan) == [] and plan_offer.doubted_words(plan) == ""
    assert plan_offer.offer_record(None) is None


def test_the_record_has_every_line(sold):
    told = plan_offer.offer_record(sold)
    assert sorted(row["line"] for row in told["must_not_be_bought"]) == [2, 3, 4, 5]
    assert all(row["why"] for row in told["must_not_be_bought"])
    json.dumps(told)


def _chosen(plant_id: str, *, plants: int, groups: int, living: float, room: int, measures=()):
    ranked = SimpleNamespace(
        plant_id=plant_id, common_name=plant_id, groups_max=0 if measures else room, contained_groups=room
    )
    return SimpleNamespace(
        ranked=ranked,
        plants=plants,
        groups=groups,
        living=(0.0, living, float(plants)),
        measures=measures,
        asked=None,
    )


def test_what_whole_lots_leave_over_stays_out_of_the_pond(sold):
    """Made up: 100 bought for 7, of which 3 live: 93 over, 4 to replace the dead, 89 to compost. One group is all that the pond
    takes. Then a tray of 50 for 42 that all live."""
    few = _chosen("juncus-effusus", plants=7, groups=1, living=3.0, room=1, measures=("trim",))
    plan = SimpleNamespace(offered=sold, chosen=[few], wishes=SimpleNamespace(cap=5.0))
    line = billing._plants(few, plan)
    assert (line.bought, line.left_over) == (50, 43)
    line = replace(line, bought=100)
    plan.bill = Bill(lines=(line,))
    (said,) = plan_offer.left_over_lines(plan)
    assert "Don't set the other 93" in said and "more than 1 group may pass your 5 %" in said
    assert "Keep 4 potted" in said and "Compost the rest" in said
    all_live = _chosen("juncus-effusus", plants=42, groups=6, living=42.0, room=60)
    plan.chosen = [all_live]
    plan.bill = Bill(lines=(billing._plants(all_live, plan),))
    (said,) = plan_offer.left_over_lines(plan)
    assert "Don't set the other 8" in said and "Keep" not in said and "Compost them" in said


def test_nothing_is_left_over_where_plants_are_sold_singly():
    one = _chosen("juncus-effusus", plants=7, groups=1, living=3.0, room=1)
    plan = SimpleNamespace(offered=Offered.at({"juncus-effusus": 1.5}), chosen=[one], wishes=None)
    plan.bill = Bill(lines=(billing._plants(one, plan),))
    assert plan_offer.left_over_lines(plan) == []
