"""The card of the first two years: its days are the calendar's, and counting, the first measurement and the cages have theirs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from plantpick.monitoring.calendar import TaskKind, year_ahead
from plantpick.planting import instructions
from plantpick.planting.year_card import ONCE, planted_log, year_card
from plantpick.pond.model import Growing
from plantpick.ranking.grows_there import First, grows_there

MADE = date(2026, 11, 28)
WINTER = date(2027, 1, 1)


@pytest.fixture(scope="module")
def plan(demo_plan):
    return demo_plan


@pytest.fixture(scope="module")
def sheets(plan, plants):
    return instructions.sheets(plan, plants, WINTER)


@pytest.fixture(scope="module")
def card(plan, plants, sheets):
    return year_card(plan, plants, sheets, 2027, MADE)


def _tasks(card, year: int):
    return [t for m in card if m.month.year == year for t in m.begins]


def test_it_has_every_month_of_two_years(card):
    assert [(m.month.year, m.month.month) for m in card] == [
        (y, m) for y in (2027, 2028) for m in range(1, 13)
    ]


def test_the_second_year_is_what_the_calendar_says_with_the_log(plan, plants, sheets, card):
    """The same kinds on the same days as `calendar` with a log of this planting, but for ordering and planting anew."""
    log = planted_log(plan, sheets, WINTER)
    ahead = year_ahead(plan.pond, plants, date(2028, 1, 1), log)
    own = {TaskKind.COUNT, TaskKind.HOLD}
    cuts = {TaskKind.TRIM, TaskKind.STOP_TRIMMING, TaskKind.DEADHEAD}  # by the plan's own measures
    theirs = {
        (t.kind, t.start, t.end)
        for m in ahead
        for t in m.tasks
        if t.kind not in ONCE and t.kind not in cuts and t.start.year == 2028
    }
    mine = {
        (t.kind, t.start, t.end)
        for t in _tasks(card, 2028)
        if t.kind not in own | cuts and t.start.year == 2028
    }
    assert mine == theirs and len(mine) >= 8


def test_it_names_the_measure_that_the_plan_chose_and_no_other_cut(plan, plants, sheets):
    """One plant in tubs, one behind a barrier, one trimmed, one with its seed heads cut; the rest stays put and is cut nowhere."""
    held = [("tub", "trim"), ("barrier",), ("trim",), ("deadhead",)]
    chosen = tuple(replace(c, measures=held[k] if k < len(held) else ()) for k, c in enumerate(plan.chosen))
    names = [c.ranked.common_name for c in chosen]
    card = year_card(replace(plan, chosen=chosen), plants, sheets, 2027, MADE)
    for year in (2027, 2028):
        told = {}
        for task in _tasks(card, year):
            told.setdefault(task.kind, []).append(task.text)
        in_cuts = " ".join(told.get(TaskKind.TRIM, []))
        assert (names[2] in in_cuts) == (year == 2028), "nothing set this spring has an edge to cut"
        assert not [n for n in names[:2] + names[3:] if n in in_cuts]
        in_seed = " ".join(told[TaskKind.DEADHEAD])
        assert names[3] in in_seed and not [n for n in names[:3] + names[4:] if n in in_seed]
        tubs, barriers = sorted(told[TaskKind.HOLD], key=lambda t: "tub" not in t)
        assert names[0] in tubs and names[1] in barriers and "barrier" in barriers


def test_what_grows_there_already_is_cut_back_in_both_years(plan, plants, sheets):
    from plantpick.ranking.grows_there import First, GrowsThere

    stand = GrowsThere(
        plant_id="pontederia-cordata",
        common_name="pickerelweed",
        scientific_name="Pontederia cordata",
        stretches=("feeder cove",),
        area_ft2=160.0,
        percent=0.1,
        first=First.HOLD,
        gate=None,
        fish_cover=True,
    )
    there = replace(plan, ranking=replace(plan.ranking, grows_there=(stand,)))
    card = year_card(there, plants, sheets, 2027, MADE)
    told = [
        t for year in (2027, 2028) for t in _tasks(card, year) if "pickerelweed on the feeder cove" in t.text
    ]
    assert [(t.kind, t.start.year) for t in told] == [(TaskKind.TRIM, 2027), (TaskKind.TRIM, 2028)]
    leave = replace(plan, ranking=replace(plan.ranking, grows_there=(replace(stand, first=First.LEAVE),)))
    assert not any(
        "pickerelweed" in t.text for m in year_card(leave, plants, sheets, 2027, MADE) for t in m.begins
    )


def test_a_plan_without_cuts_has_none_on_its_card(plan, plants, sheets):
    still = replace(plan, chosen=tuple(replace(c, measures=()) for c in plan.chosen))
    kinds = {t.kind for m in year_card(still, plants, sheets, 2027, MADE) for t in m.begins}
    assert not kinds & {TaskKind.TRIM, TaskKind.STOP_TRIMMING, TaskKind.DEADHEAD, TaskKind.HOLD}
    assert {TaskKind.MEASURE, TaskKind.COUNT} <= kinds


def test_the_days_by_hand(card, south):
    """Frosts on March 20 and November 12, 237 days between them: the early walk from 0.28 (66 days: May 25) to 0.45 of them (107
    days: July 5); planting ends eight weeks before frost (September 17); cages stay for two seasons."""
    assert (south.last_frost, south.first_frost) == ((3, 20), (11, 12))
    of = {}
    for month in card:
        for task in month.begins:
            of.setdefault(task.kind, []).append(task)
    assert {(t.start, t.end) for t in of[TaskKind.PLANT] if "dormant" not in t.text} == {
        (date(2027, 3, 20), date(2027, 9, 17)),  # bank and edge
        (date(2027, 4, 17), date(2027, 9, 17)),  # under water, four weeks later
    }
    (count,) = of[TaskKind.COUNT]
    assert (count.start, count.end) == (date(2028, 5, 25), date(2028, 7, 5))
    first = [t for t in of[TaskKind.MEASURE] if "first measurement" in t.text]
    assert [(t.start, t.end) for t in first] == [(date(2027, 5, 25), date(2027, 7, 5))]
    (off,) = of[TaskKind.CAGES_OFF]
    assert off.start == date(2028, 11, 12)
    assert not [t for t in _tasks(card, 2028) if t.kind in ONCE]


def test_how_many_to_expect_is_what_the_list_says(plan, card):
    (count,) = [t for m in card for t in m.begins if t.kind is TaskKind.COUNT]
    typical = sum(c.living[1] for c in plan.chosen)
    assert f"Of {plan.plants:,} set expect about {typical:,.0f} (" in count.text


def test_a_task_is_told_once_and_then_goes_on(card):
    told = [(t.kind, t.start) for m in card for t in m.begins if t.kind is TaskKind.OXYGEN]
    assert len(told) == len(set(told)) == 2
    july = next(m for m in card if (m.month.year, m.month.month) == (2027, 7))
    assert TaskKind.OXYGEN in july.goes_on and TaskKind.OXYGEN not in {t.kind for t in july.begins}


def test_a_plan_made_in_spring_begins_in_its_month(plan, plants, sheets):
    card = year_card(plan, plants, sheets, 2027, date(2027, 7, 20))
    assert (card[0].month.year, card[0].month.month) == (2027, 7)
    first = [t for m in card for t in m.begins if "first measurement" in t.text]
    assert [t.start.year for t in first] == [2028]  # the early walk of this year is over


def test_no_walk_is_told_twice(card):
    """The early walk of the first year is the first measurement; the walks name no plant, for all groups are measured."""
    walks = [(t.start, t.text) for m in card for t in m.begins if t.kind is TaskKind.MEASURE]
    assert len(walks) == len({start for start, _ in walks}) == 4
    assert all("every group" in text or "first measurement" in text for _, text in walks)


def test_a_stand_that_grows_there_is_cut_in_the_first_spring(plan, plants, sheets):
    """It has an edge to cut: what was set this spring has none (made up: cattail on the first stretch)."""
    cattail = plants.find("broadleaf cattail")
    stretch = plan.pond.stretches[0].name
    pond = replace(
        plan.pond, growing=(Growing(plant_id=cattail, name="cattail", stretch=stretch, area_ft2=4000.0),)
    )
    (kind,) = grows_there(pond, plants)
    assert kind.first is First.HOLD
    more = replace(plan, ranking=replace(plan.ranking, grows_there=(kind,)))
    card = year_card(more, plants, sheets, 2027, MADE)
    cut = " ".join(t.text for t in _tasks(card, 2027) if t.kind is TaskKind.TRIM)
    assert cut.count("broadleaf cattail") == 1 and f"broadleaf cattail on the {stretch}" in cut
    assert "second cut" in cut
    assert not [c for c in plan.chosen if c.ranked.common_name in cut]
    assert not [
        t for t in _tasks(year_card(plan, plants, sheets, 2027, MADE), 2027) if t.kind is TaskKind.TRIM
    ]


@pytest.fixture(scope="module")
def with_trees(plan, plants):
    """The same with one tree beside it, on a November day on which its window is open."""
    tree = next(r for r in plan.ranking.plants if r.growth_form == "tree")
    first = plan.groups[0]
    stand = replace(
        first, plant_id=tree.plant_id, band="bank", depth_in=-9.0, number=1, each=1, numbers=("A99",)
    )
    chosen = replace(plan.chosen[0], ranked=tree, plants=1, groups=1, measures=())
    more = replace(plan, groups=(*plan.groups, stand), chosen=(*plan.chosen, chosen))
    sheets = instructions.sheets(more, plants, MADE)
    return tree, year_card(more, plants, sheets, 2027, MADE)


def test_trees_are_set_in_the_window_that_is_open_today(with_trees):
    """Made on November 28, 2026, frosts on November 12 and March 20: the tree goes in from now to March 20."""
    tree, card = with_trees
    assert (card[0].month.year, card[0].month.month) == (2026, 11)
    assert (card[-1].month.year, card[-1].month.month) == (2028, 12)
    set_now = [t for t in card[0].begins if t.kind is TaskKind.PLANT]
    assert [(t.start, t.end) for t in set_now] == [(MADE, date(2027, 3, 20))]
    assert f"{tree.common_name} A99" in set_now[0].text
    assert TaskKind.PLANT in card[1].goes_on
    assert not [t for m in card[:2] for t in m.begins if t.kind is TaskKind.STOP_PLANTING]


def test_stop_planting_is_for_what_roots_before_frost(with_trees):
    _, card = with_trees
    (stop,) = [t for m in card for t in m.begins if t.kind is TaskKind.STOP_PLANTING]
    assert stop.start == date(2027, 9, 18) and "soft-stemmed" in stop.text
    assert "Trees and shrubs go in while they are dormant" in stop.text
