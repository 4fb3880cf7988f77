"""Five plans side by side: more plants never give less cover, and what one wider limit gives."""

from __future__ import annotations

import io
from types import SimpleNamespace

import pytest
from rich.console import Console

from plantpick.planting import giving_way as comparing
from plantpick.planting.bill import Bill, Hours, Work
from plantpick.planting.giving_way import GivingWay, giving_way, plant_numbers, promised
from plantpick.planting.model import Wishes
from plantpick.show import giving_way as words
from tests.conftest import a_pond


def test_five_numbers_from_a_handful_to_the_most():
    """Each about as many times the one before: 21 x 2.115^k reaches 420 in four steps; whole groups of seven between."""
    assert plant_numbers(420) == (21, 42, 91, 196, 420)
    assert plant_numbers(14) == (14,)
    for most in (22, 28, 35, 90, 500, 3000):
        numbers = plant_numbers(most)
        assert numbers[0] == 21 and numbers[-1] == most and list(numbers) == sorted(set(numbers))


def made_up(plants: int, cover: float, binds: bool = False):
    """A plan with nothing in it but what the comparison reads; the figures are made up."""
    spans = {year: (cover, 2 * cover, 4 * cover) for year in (3, 5, 8)}
    trim = SimpleNamespace(key="trim", got=100.0, binds=binds)
    return SimpleNamespace(
        plants=plants,
        cost=5.0 * plants,
        cover=spans,
        added=spans.__getitem__,
        outcome=(trim,),
        bill=Bill(hours=(Hours(work=Work.YEARLY, low=2.0, high=2.0),)),
        chances=SimpleNamespace(any_over_cap=0.1),
        wishes=SimpleNamespace(year=5, count="cautious", cap=5.0, risk=10.0, plants=500),
    )


def test_a_search_that_found_less_takes_the_plan_before(monkeypatch):
    """The third search found less with more plants: the second plan stands in its place; covers of the rows never fall."""
    found = {21: 1.0, 42: 2.0, 91: 1.5, 196: 2.5, 420: 2.4}

    def plan(pond, catalogue, wishes, **options):
        return made_up(420, 2.4) if wishes.plants == 500 else made_up(wishes.plants, found[wishes.plants])

    monkeypatch.setattr(comparing.planting, "plan", plan)
    told = giving_way(a_pond(), None, Wishes())
    assert [promised(s.plan) for s in told.steps] == [1.0, 2.0, 2.0, 2.5, 2.5]
    assert [s.plan.plants for s in told.steps] == [21, 42, 42, 196, 196]
    assert not told.changes  # 2.4 % is no strict limit


def test_a_strict_limit_is_said_first_with_the_change_that_gives_most(monkeypatch):
    def plan(pond, catalogue, wishes, **options):
        wider = {5.0: 0.0, 15.0: 1.0}.get(wishes.cap or 5.0, 0.0) + (0.3 if wishes.risk == 20.0 else 0.0)
        return made_up(min(wishes.plants, 420), 0.4 + wider)

    monkeypatch.setattr(comparing.planting, "plan", plan)
    told = giving_way(a_pond(), None, Wishes())
    assert [(c.key, c.before, c.after) for c in told.changes] == [("cap", 5.0, 15.0), ("risk", 10.0, 20.0)]
    page = io.StringIO()
    words.show_giving_way(Console(file=page, width=200), told)
    lines = [line.strip() for line in page.getvalue().splitlines() if line.strip()]
    assert lines[0] == "What giving way buys"
    assert lines[1].startswith(
        "Under your limits new plants can give only 0.4 % of cover by year 5, with up to 500 of them. If you let one plant "
        "take 15 % of the surface instead of 5 %, plants can give 1.4 % of cover by year 5"
    )
    assert words.rows(told)[0][5] == "2 h"


def test_a_pond_without_fish_cover_has_nothing_to_compare():
    assert giving_way(a_pond(purposes=("bank hold",)), None, Wishes()) == GivingWay(steps=())
    assert giving_way(a_pond(), None, Wishes(cover=0)) == GivingWay(steps=())


@pytest.mark.slow
def test_more_plants_never_give_less_cover(plants):
    """On a pond, with little time for each plan; every plan keeps to its number of plants."""
    pond = a_pond(purposes=("fish cover",))
    told = giving_way(pond, plants, Wishes(species=1, plants=150), time_limit=1.0, picked=3)
    covers = [promised(s.plan) for s in told.steps]
    assert len(covers) == 5 and covers == sorted(covers) and covers[-1] > covers[0]
    assert all(s.plan.plants <= s.most for s in told.steps)
    record = words.giving_way_records(told)
    assert [p["cover_percent"]["5"]["low"] for p in record["plans"]] == sorted(
        p["cover_percent"]["5"]["low"] for p in record["plans"]
    )
    assert "per cent of the surface" in words.picture(told).words
