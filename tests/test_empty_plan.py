"""A plan in which not one group fits: the screen, the page and the records say so plainly, with what has to give."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import date

import pytest
from conftest import a_pond
from rich.console import Console

from plantpick.errors import PlantpickError
from plantpick.offers.check import Line, check_offer
from plantpick.offers.verdict import LEAVE
from plantpick.planting import instructions
from plantpick.planting import plan as planting
from plantpick.planting.model import Wishes
from plantpick.pond.model import Stretch
from plantpick.ranking import rank
from plantpick.ranking.cautions import cautions_in_short
from plantpick.ranking.explain import explain
from plantpick.ranking.ruled_out import Reason
from plantpick.show import plan as planpage
from plantpick.show.plan_report import plan_report

pytestmark = pytest.mark.usefixtures("fixed_work")
MADE = date(2026, 11, 28)


@pytest.fixture(scope="module", params=[{"budget": 0.0}, {"plants": 1}, {"upper": 0.0}], ids=str)
def empty(request, plants, fixed_work):
    return planting.plan(a_pond(purposes=("fish cover",)), plants, Wishes(**request.param), time_limit=0.1)


def test_every_output_says_that_nothing_can_be_planted(empty, plants):
    assert not empty.groups and not empty.met and empty.chances.cover_reached == 0.0
    sheets = instructions.sheets(empty, plants, MADE)
    out = io.StringIO()
    planpage.show_plan(Console(file=out, width=80), empty, sheets, ())
    said = " ".join(out.getvalue().split())
    assert (
        "Nothing can be planted within these limits" in said and "You can have all the others if you" in said
    )
    assert "What to buy" not in said and "no planting" not in said.lower()
    told = json.loads(planpage.plan_json(empty, sheets, ()))
    assert told["plants"] == 0 and told["groups"] == [] and told["buy"] == []
    assert planpage.plan_csv(empty, sheets).count("\n") == 1
    page = plan_report(empty, plants, MADE)
    assert "Nothing can be planted within these limits" in page and 'id="shopping"' not in page


def test_nothing_is_set_on_a_wall(plants):
    """A bank of 0.3:1 beside one of 4:1 (made up): all groups stand on the other, and plan and ranking say why; with walls alone nothing
    is ranked or planned, and all answers give that reason. 1:1 is steep, and no wall (judgement)."""
    wall, shore = Stretch("wall", 300.0, 0.3), Stretch("shore", 600.0, 4.0)
    pond = a_pond(stretches=(wall, shore), purposes=("fish cover",))
    wishes = Wishes(cover=0.2, species=1, share=100.0, mix=100.0)
    made = planting.plan(pond, plants, wishes, time_limit=0.5)
    assert {g.stretch for g in made.groups} == {"shore"}
    assert {r.stretch for r in made.ranking.plants} == {"shore"}
    assert {place[0] for r in made.ranking.plants for place in r.good_places} == {"shore"}
    said = "Nothing is set on the wall: a bank steeper than 1:1 is a wall, where nothing roots (judgement)."
    assert made.ranking.assumptions.count(said) == 1 and said not in made.assumptions
    assert said in cautions_in_short(pond, (), drifts=False, eaten=False)

    walled = replace(pond, stretches=(wall,))
    reason = (
        "nothing is set on your shore: a bank steeper than 1:1 is a wall, where nothing roots (judgement)"
    )
    pickerelweed = plants.find("pickerelweed")
    ranked = rank.rank(walled, plants, only=[pickerelweed], places=False)
    assert [(r.code, r.reason) for r in ranked.ruled_out] == [(Reason.SITE, reason)] and not ranked.plants
    assert explain(walled, plants, pickerelweed).ruled_out == reason
    (line,) = check_offer([Line(1, "pickerelweed $3 each")], walled, plants).lines
    assert line.verdict == LEAVE and reason in line.why
    with pytest.raises(PlantpickError, match="steeper than 1:1"):
        planting.plan(walled, plants, wishes, time_limit=0.1)
    steep = replace(pond, stretches=(replace(wall, slope=1.0),))
    assert rank.rank(steep, plants, only=[pickerelweed], places=False).plants
