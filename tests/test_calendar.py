"""The owner's year. Windows are common practice or judgement; what is published is named."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from conftest import a_pond

from plantpick.monitoring.calendar import KINDS, first_season, year_ahead
from plantpick.monitoring.log import Event, Log, LogRow
from plantpick.monitoring.measures import ranked_measures
from plantpick.monitoring.stand import Action
from plantpick.monitoring.watch import watch


def entry(row, day, plant_id, stretch="north", **values):
    return LogRow(row=row, day=day, plant_id=plant_id, stretch=stretch, **values)


def tasks(months, kind):
    return [(m.month, t) for m in months for t in m.tasks if t.kind == kind]


def test_frosts_are_those_of_the_pond_file():
    season = a_pond().growing_season.frosts(2028)
    assert (season.last_frost, season.first_frost) == (date(2028, 3, 28), date(2028, 11, 5))
    estimated = a_pond(last_frost=None, first_frost=None).growing_season.frosts(2027)
    assert 0 < (estimated.first_frost - estimated.last_frost).days < 365


def test_nothing_is_planted_in_winter(plants):
    """From the last frost through summer: spring is the season of USDA NRCS Illinois (Native Plant Guide, 1997, revised
    2004); that shallow-water plants rarely live through winter planting is common practice, no source."""
    for pond in (a_pond(), a_pond(last_frost=(5, 20), first_frost=(9, 20), hardiness_zone="4a")):
        for _, task in tasks(year_ahead(pond, plants, date(2027, 1, 10)), "plant"):
            season = pond.growing_season.frosts(task.start.year)
            assert season.last_frost <= task.start < task.end < season.first_frost - timedelta(days=50)


def test_each_task_stands_in_its_own_months(plants):
    for month in year_ahead(a_pond(), plants, date(2027, 2, 15)):
        for task in month.tasks:
            assert task.kind in KINDS and task.start <= task.end
            assert (
                (task.start.year, task.start.month)
                <= (month.year, month.month)
                <= (task.end.year, task.end.month)
            )
        assert list(month.tasks) == sorted(month.tasks, key=lambda t: KINDS.index(t.kind))


def test_a_year_holds_what_every_pond_needs(plants):
    months = year_ahead(
        a_pond(stretches=(replace(a_pond().stretches[0], dam=True),)), plants, date(2027, 1, 1)
    )
    kinds = {t.kind for m in months for t in m.tasks}
    assert {
        "plant",
        "stop planting",
        "order",
        "oxygen",
        "read light and level",
        "look for volunteers",
        "walk the dam",
    } <= kinds
    assert not {"measure", "trim", "check cages"} & kinds  # nothing is planted yet
    assert {m for m, _ in tasks(months, "order")} <= {1, 2, 3, 12}
    assert max(m for m, _ in tasks(months, "oxygen")) <= 9 and min(m for m, _ in tasks(months, "oxygen")) >= 6


def test_what_is_planted_adds_its_own(plants):
    deadheads = next(
        r.plant_id
        for r in plants.every_plant()
        if "deadhead" in r.contained_by and r.growth_form in ("rush", "sedge")
    )
    eaten = next(
        r.plant_id for r in plants.every_plant() if "deer" in r.eaten_by and "trim" in r.contained_by
    )
    log = Log(
        (
            entry(2, date(2025, 4, 20), deadheads, event=Event.PLANTED, groups=1.0),
            entry(3, date(2025, 4, 20), eaten, event=Event.PLANTED, groups=1.0),
        )
    )
    pond = a_pond(residents=frozenset({"deer"}))
    months = year_ahead(pond, plants, date(2026, 6, 1), log)
    assert tasks(months, "measure") and tasks(months, "trim") and tasks(months, "stop trimming")
    assert {t.plant_id for _, t in tasks(months, "deadhead")} >= {deadheads}
    cages = [t for _, t in tasks(months, "check cages") if t.plant_id == eaten]
    assert cages and "deer eat it" in cages[0].text
    later = year_ahead(pond, plants, date(2029, 1, 1), log)
    assert not tasks(later, "check cages")  # cages are for the first two seasons


def test_a_season_counts_from_the_first_frost_on():
    """Frosts on March 28 and November 5: what is set on November 28 grows first the next year; in May, in the same."""
    assert first_season(a_pond(), date(2026, 11, 28)) == 2027
    assert first_season(a_pond(), date(2026, 11, 5)) == first_season(a_pond(), date(2026, 5, 1)) == 2026


def test_what_was_set_this_season_has_no_edge_to_cut(plants):
    """Set in April 2027: the first cut is in 2028. What was found growing (no planting in the log) is cut at once."""
    planted = entry(2, date(2027, 4, 10), "saururus-cernuus", event=Event.PLANTED, groups=1.0)
    found = entry(3, date(2027, 4, 1), "pontederia-cordata", area_ft2=90.0)
    cuts = {
        day.year: t.text
        for day in (date(2027, 4, 11), date(2028, 4, 11))
        for _, t in tasks(year_ahead(a_pond(), plants, day, Log((found, planted)))[:1], "trim")
    }
    assert "lizard" not in cuts[2027] and "pickerelweed" in cuts[2027] and "lizard" in cuts[2028]


def test_no_plant_hides_behind_and_more(plants):
    """Nine plants on two stretches: each is named, with its stretches."""
    nine = [r for r in plants.every_plant() if "trim" in r.contained_by][:9]
    rows = [
        entry(k, date(2026, 4, 20), r.plant_id, event=Event.PLANTED, groups=1.0)
        for k, r in enumerate(nine, 2)
    ]
    months = year_ahead(a_pond(), plants, date(2027, 1, 1), Log(tuple(rows)))
    (cut, *_) = (t for _, t in tasks(months, "trim") if "haul it out: " in t.text)
    assert all(r.common_name in cut.text for r in nine) and " more" not in cut.text


def test_no_large_cut_in_hot_weather(plants):
    """SRAC-361: killing plants in hot weather endangers the fish."""
    log = Log((entry(2, date(2026, 4, 20), "pontederia-cordata", event=Event.PLANTED, groups=1.0),))
    months = year_ahead(a_pond(), plants, date(2027, 1, 1), log)
    hot = [t for _, t in tasks(months, "stop trimming") if "hot" in t.text]
    assert hot and all(
        t.end < hot[0].start or t.start > hot[0].end
        for _, t in tasks(months, "trim")
        if t.start.year == hot[0].start.year
    )


@pytest.mark.parametrize(
    "last, first", [((3, 28), (11, 5)), ((5, 20), (9, 20)), ((2, 10), (12, 5)), (None, None)]
)
@pytest.mark.parametrize("today", [date(2027, 1, 1), date(2027, 7, 20), date(2027, 10, 20)])
def test_no_month_says_both_trim_and_stop_trimming(plants, last, first, today):
    """Whatever the frosts, and with a cut that watch asks for now and one for next month (both made up)."""
    pond = a_pond(last_frost=last, first_frost=first, frost_free=last is None)
    rows = (entry(2, date(2025, 4, 20), "saururus-cernuus", event=Event.PLANTED, groups=1.0),)
    rows += (entry(3, date(2026, 6, 1), "saururus-cernuus", length_ft=12.0, width_ft=12.0),)
    log = Log(rows)
    (found,) = watch(pond, plants, log, today).stands
    stands = tuple(
        replace(found, action=Action.TRIM, act_by=day, what_to_do="trim the outer edge: 2 ft back all round")
        for day in (today, today + timedelta(days=30))
    )
    months = year_ahead(pond, plants, today, log, stands)
    for month in months:
        cut = [t for t in month.tasks if t.kind == "trim" or t.trims]
        stop = [t for t in month.tasks if t.kind == "stop trimming"]
        assert not (cut and stop), (month.name, cut, stop)
    said = [t for m in months for t in m.tasks]
    assert any(t.kind == "trim" for t in said)
    assert any("hot" in t.text for t in said if t.trims or t.kind in ("trim", "stop trimming"))
    assert sum(t.trims for t in months[0].tasks) == 2


def test_a_cut_in_a_month_of_hot_water_says_that_nothing_else_is_cut(plants):
    """No large cut in hot weather (SRAC-361)."""
    log = Log((entry(2, date(2026, 4, 20), "pontederia-cordata", event=Event.PLANTED, groups=1.0),))
    (june,) = (m for m in year_ahead(a_pond(), plants, date(2027, 1, 1), log) if m.month == 6)
    (trim,) = (t for t in june.tasks if t.kind == "trim")
    assert "Not on the other days of the month: the water is hot" in trim.text and trim.end < date(
        2027, 6, 30
    )


def test_measuring_that_was_done_is_not_asked_again(plants):
    planted = entry(2, date(2026, 4, 20), "pontederia-cordata", event=Event.PLANTED, groups=1.0)
    today = date(2027, 6, 20)
    assert tasks(year_ahead(a_pond(), plants, today, Log((planted,)))[:1], "measure")
    done = Log((planted, entry(3, date(2027, 6, 18), "pontederia-cordata", area_ft2=9.0)))
    assert not tasks(year_ahead(a_pond(), plants, today, done)[:1], "measure")


def test_only_what_stands_and_stays_is_measured(plants):
    """A stand that is gone, or is to be taken out, is not on the walk, and does not keep the walk from being done."""
    today, rush, weed = date(2027, 6, 20), "pontederia-cordata", "hydrilla-verticillata"
    rows = (
        entry(2, date(2026, 4, 20), rush, event=Event.PLANTED, groups=1.0),
        entry(3, date(2026, 4, 20), "saururus-cernuus", event=Event.PLANTED, groups=1.0),
        entry(4, date(2027, 5, 1), "saururus-cernuus", event=Event.TAKEN_OUT),
        entry(5, date(2027, 5, 2), weed, area_ft2=4.0),
    )
    for more, asked in (((), True), ((entry(6, date(2027, 6, 18), rush, area_ft2=9.0),), False)):
        log = Log((*rows, *more))
        stands = watch(a_pond(), plants, log, today).stands
        walks = tasks(year_ahead(a_pond(), plants, today, log, stands)[:1], "measure")
        assert bool(walks) == asked
        for _, walk in walks:
            assert "pickerelweed" in walk.text and "hydrilla" not in walk.text and "tail" not in walk.text


def test_what_watch_asks_for_comes_first(plants):
    log = Log((entry(2, date(2027, 6, 1), "hydrilla-verticillata", area_ft2=4.0),))
    today = date(2027, 6, 20)
    stands = watch(a_pond(), plants, log, today).stands
    first = year_ahead(a_pond(), plants, today, log, stands)[0].tasks[0]
    assert first.kind == "act" and "take it out now" in first.text


@pytest.mark.parametrize(
    "changes",
    [
        {"frost_free": True, "last_frost": None, "first_frost": None},
        {"last_frost": (2, 29)},
        {"last_frost": None, "first_frost": None},
    ],
)
def test_odd_ponds_have_a_year_too(plants, changes):
    assert len(year_ahead(a_pond(**changes), plants, date(2028, 12, 31))) == 12


def the_year(pond, plants, log, today):
    return year_ahead(pond, plants, today, log, held=ranked_measures(pond, plants, log))


def test_the_year_asks_for_what_the_ranking_holds_a_plant_by(plants, south):
    """On the demo pond the ranking wants hedges of scouring rush behind a buried barrier and nothing of pickerelweed, which has an
    edge that could be trimmed and seed that could be cut."""
    log = Log(
        (
            entry(2, date(2026, 4, 20), "equisetum-hyemale", "pasture side", event=Event.PLANTED, groups=1.0),
            entry(
                3, date(2026, 4, 20), "pontederia-cordata", "pasture side", event=Event.PLANTED, groups=1.0
            ),
        )
    )
    assert ranked_measures(south, plants, log) == {
        "equisetum-hyemale": ("barrier",),
        "pontederia-cordata": (),
    }
    months = the_year(south, plants, log, date(2027, 1, 1))
    walks = {t.text: (t.start, t.end) for _, t in tasks(months, "hold in place")}
    ((text, days),) = walks.items()
    assert "scouring rush" in text and "barrier" in text and "pickerelweed" not in text
    assert days == (date(2027, 5, 25), date(2027, 7, 5))  # by hand: 0.28 to 0.45 of March 20 to November 12
    assert not [t for kind in ("trim", "deadhead", "stop trimming") for _, t in tasks(months, kind)]
    first = the_year(south, plants, log, date(2026, 5, 1))
    assert {
        t.start.year for _, t in tasks(first, "hold in place")
    } == set()  # nothing to look after in its first season


def test_tubs_are_looked_into_and_no_edge_of_theirs_is_cut(plants):
    """White water lily, held by tubs and by pulling what roots outside them (the measures given by hand)."""
    lily = entry(2, date(2026, 5, 1), "nymphaea-odorata", event=Event.PLANTED, groups=1.0)
    months = year_ahead(
        a_pond(), plants, date(2027, 1, 1), Log((lily,)), held={"nymphaea-odorata": ("tub", "trim")}
    )
    (text,) = {t.text for _, t in tasks(months, "hold in place")}
    assert "white water lily (north)" in text and "tubs" in text
    assert not tasks(months, "trim")


@pytest.mark.parametrize(
    "planted, off",
    [
        (date(2026, 4, 20), 2027),
        (date(2026, 11, 20), 2028),
    ],  # set after the first frost it grows the next year
)
def test_cages_come_off_at_the_frost_that_ends_the_second_season(plants, planted, off):
    """Frost on November 5; cages stay for two seasons (common practice, no source)."""
    log = Log((entry(2, planted, "vallisneria-americana", event=Event.PLANTED, groups=1.0),))
    days = set()
    for year in (2026, 2027, 2028, 2029):
        for _, task in tasks(year_ahead(a_pond(), plants, date(year, 12, 1), log), "take the cages off"):
            days.add(task.start)
            assert "wild celery (north)" in task.text
    assert days == {date(off, 11, 5)}


def test_a_plant_that_the_ranking_leaves_out_is_held_by_any_measure_that_could(plants, south):
    """Broadleaf cattail is ruled out on the demo pond, and stands there."""
    log = Log((entry(2, date(2026, 6, 1), "typha-latifolia", "dam", area_ft2=9.0),))
    held = ranked_measures(south, plants, log)
    assert (
        held == {"typha-latifolia": plants.plant("typha-latifolia").contained_by} and held["typha-latifolia"]
    )
