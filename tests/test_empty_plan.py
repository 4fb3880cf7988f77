"""A plan in which not one group fits: the screen, the page and the records say so plainly, with what has to give."""

from __future__ import annotations

import io
import json
from datetime import date

import pytest
from conftest import a_pond
from rich.console import Console

from plantpick.planting import instructions
from plantpick.planting import plan as planting
from plantpick.planting.model import Wishes
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
