"""Watching stands: rates come back within their stated uncertainty, and one bad reading does not turn a
verdict."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from conftest import a_pond
from rich.console import Console

from plantpick.catalogue.traits import traits
from plantpick.monitoring.growth_fit import (
    SCATTER,
    TAPE_FT,
    WRONG,
    WRONG_TIMES,
    Prior,
    Series,
    fit,
    pairwise_rate,
)
from plantpick.monitoring.log import Event, Log, LogRow
from plantpick.monitoring.planted_law import PLANTED as LAW_OF_PLANTED
from plantpick.monitoring.planted_law import Duty, law_of_planted
from plantpick.monitoring.strip import Strip, rate_prior, readings, strip_of
from plantpick.monitoring.volunteers import judge
from plantpick.monitoring.watch import watch
from plantpick.monitoring.water_readings import refresh
from plantpick.pond.deepest_growth import reach_in
from plantpick.pond.light import deepest_growth_m
from plantpick.ranking import takeover
from plantpick.ranking.chances import chance_words
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.ranking.takeover_report import takeover_report
from plantpick.show.watch import show_watch
from plantpick.show.watch_words import in_short, law_first_lines, stand_lines

FOOT_M = 0.3048
POND = a_pond(
    stretches=(a_pond().stretches[0], replace(a_pond().stretches[1], slope=20.0))
)  # the south bank is a flat shelf


def entry(row: int, day: date, plant_id="pontederia-cordata", stretch="south", **values) -> LogRow:
    return LogRow(row=row, day=day, plant_id=plant_id, stretch=stretch, **values)


def a_log(*entries: LogRow) -> Log:
    return Log(tuple(entries))


def round_patches(
    rate_ft: float, radius_ft: float, days: list[date], planted: date, pond=POND, row_ft=9.0, **values
) -> list[LogRow]:
    """A planted row of seven at 18 in read with the tape, its edge advancing at a rate after a season of settling."""
    clock = pond.growing_season
    origin = clock.seasons(planted) + 1.0
    rows = [entry(2, planted, event=Event.PLANTED, groups=1.0, **values)]
    for row, day in enumerate(days, 3):
        across = 2.0 * (radius_ft + rate_ft * max(0.0, clock.seasons(day) - origin))
        rows.append(entry(row, day, length_ft=row_ft + across, width_ft=across, **values))
    return rows


def a_rate(prior: Prior, rng) -> float:
    """A rate drawn from the forecast: log-normal on either side of typical, low and high its 10 and 90 per cent points."""
    deviate = (
        rng.standard_normal() / 1.2815515655446004
    )  # standard normal deviate at 90 per cent, from memory
    times = prior.typical / prior.low if deviate < 0.0 else prior.high / prior.typical
    return prior.typical * times**deviate


SUMMERS = [date(y, m, d) for y in (2026, 2027) for m, d in ((6, 28), (9, 5))]
PLANTED = date(2025, 4, 20)


# ---- the clock
# -------------------------------------------------------------------------------------------------------


def test_edges_stand_still_in_winter():
    clock = a_pond().growing_season  # frosts 28 March and 5 November
    assert clock.seasons(date(2026, 11, 20)) == clock.seasons(date(2027, 3, 1)) == 2027.0
    assert clock.seasons(date(2027, 7, 17)) == pytest.approx(2027.5, abs=0.01)
    for day in (date(2027, 4, 10), date(2027, 8, 1), date(2027, 10, 30)):
        assert abs((clock.day(clock.seasons(day)) - day).days) <= 1


def test_a_pond_without_frost_grows_all_year():
    clock = a_pond(frost_free=True, last_frost=None, first_frost=None).growing_season
    assert clock.seasons(date(2027, 12, 31)) - clock.seasons(date(2027, 1, 1)) > 0.99


# ---- the fit
# ---------------------------------------------------------------------------------------------------------


def test_pairwise_rate_is_that_of_scipy():
    """scipy.stats.theilslopes as outside check."""
    stats = pytest.importorskip("scipy.stats")
    rng = np.random.default_rng(5)
    for _ in range(20):
        x = np.sort(rng.uniform(0, 4, 7)) + np.arange(7) * 0.2
        y = rng.normal(3 * x, 2)
        assert pairwise_rate([Series(x, y)]) == pytest.approx(stats.theilslopes(y, x).slope)


def test_the_forecast_alone_keeps_its_range():
    """Low and high are the 10 and 90 per cent points, typical the middle."""
    prior = Prior.of(0.5, 1.5, 3.0)
    assert fit([], prior).rate == pytest.approx((0.5, 1.5, 3.0), rel=0.03)


def test_exact_readings_overrule_the_forecast():
    x = np.array([0.3, 0.8, 1.3, 1.8, 2.3, 2.8])
    low, middle, high = fit([Series(x, 2.0 + 6.0 * x, 2.0)], Prior.of(0.5, 1.5, 3.0)).rate
    assert middle == pytest.approx(6.0, rel=0.08) and low < 6.0 < high


@pytest.mark.slow
@pytest.mark.parametrize(
    "x, planted", [((0.3, 0.8, 1.3, 1.8, 2.3), True), ((0.0, 0.5, 1.0, 1.5), False), ((0.0, 0.5), False)]
)
def test_eighty_per_cent_means_eighty(x, planted):
    """Coverage over 700 seeded trials: rates drawn from the forecast, readings that err as stated, one in ten
    quite wrong."""
    rng, prior, hits = np.random.default_rng(11), Prior.of(0.6, 1.5, 4.0), 0
    x, trials = np.array(x), 700
    for _ in range(trials):
        v = float(a_rate(prior, rng))
        start = (
            2.0 + rng.normal(0, np.hypot(TAPE_FT + 2.0 / 3.0, v / 3.0)) if planted else rng.uniform(1.0, 6.0)
        )
        edge = start + v * x
        share = rng.choice(SCATTER[0], p=SCATTER[1])
        usual = np.hypot(TAPE_FT, share * np.maximum(edge, 0))
        wrong = WRONG_TIMES * rng.standard_cauchy(len(x))
        error = usual * np.where(rng.random(len(x)) < WRONG, wrong, rng.standard_normal(len(x)))
        low, _, high = fit([Series(x, edge + error, 2.0 if planted else None)], prior).rate
        hits += low <= v <= high
    assert 0.75 <= hits / trials <= 0.85


@pytest.mark.slow
def test_discs_counted_on_a_grid_are_recovered_too(plants):
    """The whole way from a drawing: a disc anywhere in a strip, its area counted in cells (not with our own
    formula), two readings a summer for two years, one in ten quite wrong. Coverage of the rate and of the day
    at half the cap."""
    pond, rng = POND, np.random.default_rng(3)
    table = traits([plants.plant("pontederia-cordata")])
    strip = Strip(
        width_ft=30.0, wet_ft=30.0, length_ft=500.0, groups=1.0, floating=False, pond_ft2=pond.area_ft2
    )
    prior, clock = Prior.of(0.6, 1.5, 4.0), pond.growing_season
    half = strip.edge(0.3 * strip.most_ft2)
    rate_hits = day_hits = 0
    trials, cell = 600, 0.25
    start = float(takeover.group_shape(table.group[0], 18.0).radius_ft)
    for _ in range(trials):
        v, y0 = float(a_rate(prior, rng)), rng.uniform(3.0, 27.0)
        rows = [entry(2, PLANTED, event=Event.PLANTED, groups=1.0)]
        for row, day in enumerate(SUMMERS, 3):
            radius = start + v * max(0.0, clock.seasons(day) - clock.seasons(PLANTED) - 1.0)
            error = np.hypot(TAPE_FT, 0.1 * radius) * (6.0 if rng.random() < 0.1 else 1.0)
            radius = max(0.4, radius + rng.normal(0, error))
            xs, ys = np.arange(-radius, radius + cell, cell), np.arange(cell / 2, 30.0, cell)
            inside = (xs[:, None] ** 2 + (ys[None, :] - y0) ** 2 <= radius**2).sum() * cell**2
            rows.append(entry(row, day, area_ft2=float(max(inside, 0.5))))
        known = readings(rows, strip, clock, start)
        found = fit(known.series, prior)
        low, _, high = found.rate
        rate_hits += low <= v <= high
        first, _, last = found.interval(found.seasons_to(half))
        day_hits += first <= (half - start) / v <= last
    assert 0.75 <= rate_hits / trials <= 0.85
    assert 0.75 <= day_hits / trials <= 0.85


# ---- published growth
# ------------------------------------------------------------------------------------------------


def test_wild_celery_out_of_its_cages(plants):
    """Doyle and others 1997 (Lake and Reservoir Management 13:259-269, as told by Conservation Evidence): set
    in 2 m cages it stood up to 2 m beyond the fence after two seasons, so 1 m a season at most; full
    cover asks for 0.44."""
    clock = POND.growing_season
    meter = 1.0 / FOOT_M
    days = [date(2026, 3, 28), date(2027, 11, 6)]
    rows = [
        entry(2 + i, d, "vallisneria-americana", length_ft=size, width_ft=size)
        for i, (d, size) in enumerate(zip(days, (2 * meter, 6 * meter)))
    ]
    table = traits([plants.plant("vallisneria-americana")])
    strip = Strip(
        width_ft=200.0, wet_ft=200.0, length_ft=500.0, groups=1.0, floating=False, pond_ft2=POND.area_ft2
    )
    known = readings(rows, strip, clock, 1.0)
    assert known.series[0].x[-1] == pytest.approx(2.0)
    prior, rated = rate_prior(table, 0, POND)
    found = fit(known.series, prior)
    assert (
        rated and found.measured == pytest.approx(meter, rel=0.05) and found.rate[0] < meter < found.rate[2]
    )
    assert prior.low < meter and prior.high > 0.44 * meter  # the forecast overlaps what was found


@pytest.mark.parametrize("days", [1.34, 4.54, 7.0])
def test_doubling_times_come_back(days):
    """Fastest and slowest of 13 duckweeds (Ziegler and others 2015, doi 10.1111/plb.12184); water hyacinth 7
    days (Madsen and Morgan 2021, J. Aquat. Plant Manage. 59s:28-32)."""
    clock, strip = (
        POND.growing_season,
        Strip(width_ft=10.0, wet_ft=10.0, length_ft=500.0, groups=1.0, floating=True, pond_ft2=POND.area_ft2),
    )
    start = date(2027, 5, 20)
    rows = [
        entry(2 + i, start + timedelta(days=k), area_ft2=2.0 * 2 ** (k / days))
        for i, k in enumerate((0, 7, 14))
    ]
    found = fit(readings(rows, strip, clock, 0.0).series, Prior.of(222 / 30, 222 / 7, 222 / 2))
    assert 222 / found.measured == pytest.approx(days, rel=0.02)
    assert found.rate[0] < 222 / days < found.rate[2]


# ---- stands
# ----------------------------------------------------------------------------------------------------------


def a_stand(plants, rows, today=date(2027, 9, 15), pond=POND):
    told = watch(pond, plants, a_log(*rows), today)
    assert len(told.stands) == 1
    return told.stands[0]


def rates_of(plants, plant_id="pontederia-cordata"):
    prior, _ = rate_prior(traits([plants.plant(plant_id)]), 0, POND)
    return prior


def start_of(plants, plant_id="pontederia-cordata"):
    return float(takeover.group_shape(7.0, plants.plants.at[plant_id, "spacing_in"]).radius_ft)


@pytest.mark.parametrize(
    "times, verdict", [(1.0, "on track"), (2.5, "faster than forecast"), (0.2, "slower than forecast")]
)
def test_verdicts(plants, times, verdict):
    prior = rates_of(plants)
    rate = {1.0: prior.typical, 2.5: 2.5 * prior.high, 0.2: 0.2 * prior.low}[times]
    days = (
        [date(y, m, 28) for y in range(2026, 2031) for m in (6, 9)] if times < 1.0 else SUMMERS
    )  # slow takes longer
    stand = a_stand(
        plants, round_patches(rate, start_of(plants), days, PLANTED), days[-1] + timedelta(days=9)
    )
    assert stand.verdict == verdict
    assert stand.measured_rate == pytest.approx(rate, rel=0.25, abs=0.05)


@pytest.mark.parametrize("times", [1.0, 2.5])
@pytest.mark.parametrize("which", range(5))
@pytest.mark.parametrize("wrong", [3.0, 1 / 3, 12.0, 1 / 12])
def test_one_bad_reading_does_not_turn_the_verdict(plants, times, which, wrong):
    """Five readings; each in turn three times too large or too small, or feet taken for inches."""
    prior = rates_of(plants)
    rate = prior.typical if times == 1.0 else 2.5 * prior.high
    rows = round_patches(rate, start_of(plants), [*SUMMERS, date(2028, 6, 25)], PLANTED)
    today = date(2028, 7, 1)
    verdict = a_stand(plants, rows, today).verdict
    bad = rows[1 + which]
    rows[1 + which] = replace(bad, length_ft=bad.length_ft * wrong, width_ft=bad.width_ft * wrong)
    assert a_stand(plants, rows, today).verdict == verdict


def test_a_bad_reading_is_named(plants):
    rows = round_patches(rates_of(plants).typical, start_of(plants), SUMMERS, PLANTED)
    rows[3] = replace(rows[3], length_ft=60.0, width_ft=50.0)
    stand = a_stand(plants, rows)
    assert stand.odd_days == (rows[3].day,) and "hardly count" in " ".join(stand.remarks)


@pytest.mark.parametrize("which", [-2, -1])
def test_a_latest_reading_that_we_hardly_count_is_to_be_measured_again(plants, which):
    """Nobody may be told that a stand is on track past a reading that says otherwise, and be left at that."""
    rows = round_patches(rates_of(plants).typical, start_of(plants), SUMMERS, PLANTED)
    rows[which] = replace(rows[which], length_ft=60.0, width_ft=50.0)
    stand = a_stand(plants, rows)
    assert stand.odd_days == (rows[which].day,)
    assert ("measure again now" in " ".join(stand.remarks)) == (which == -1)


def test_one_reading_gives_a_range_only(plants):
    stand = a_stand(plants, round_patches(1.0, 2.0, SUMMERS[-1:], PLANTED))
    assert stand.verdict == "too early to say" and stand.measured_rate is None and "range only" in stand.why
    assert stand.rate[0] < stand.rate[2]
    twice = round_patches(1.0, 2.0, [date(2027, 9, 1), date(2027, 9, 4)], PLANTED)
    assert a_stand(plants, twice).verdict == "too early to say"
    assert a_stand(plants, twice[:1]).verdict == "not measured yet"


def test_more_readings_narrow_the_range(plants):
    width = lambda n: np.subtract(
        *a_stand(plants, round_patches(1.0, start_of(plants), SUMMERS[:n], PLANTED)).rate[::-2]
    )
    assert width(4) < width(2) < width(0)


def test_the_day_at_half_the_cap_is_that_of_the_row(plants):
    """By hand: a free row of 9 ft grows as pi r squared + 18 r until it meets the end of its strip."""
    pond = a_pond(
        tolerance=0.6,
        stretches=(replace(a_pond().stretches[0], length_ft=1000.0, slope=60.0),),
        area_acres=2.0,
    )
    rate, start = 2.0, start_of(plants)
    rows = [replace(r, stretch="north") for r in round_patches(rate, start, SUMMERS, PLANTED, pond)]
    stand = a_stand(plants, rows, pond=pond)
    half_ft2 = 0.003 * pond.area_ft2
    radius = (-18.0 + (18.0**2 + 4.0 * np.pi * half_ft2) ** 0.5) / (2.0 * np.pi)
    by_hand = pond.growing_season.seasons(PLANTED) + 1.0 + (radius - start) / rate
    months = abs((stand.half_cap.middle - pond.growing_season.day(by_hand)).days) / 30.0
    assert stand.half_cap.early <= stand.half_cap.middle <= stand.half_cap.late and months < 8.0
    assert stand.cap.middle > stand.half_cap.middle


def test_a_strip_too_small_never_reaches_the_cap(plants):
    stand = a_stand(
        plants,
        round_patches(1.0, 2.0, SUMMERS, PLANTED, stretch="north"),
        pond=replace(POND, tolerance="free"),
    )
    assert stand.half_cap.never and stand.cap.never and stand.action == "leave"


def test_what_to_do(plants):
    """Leave well under the cap; trim near half of it, by the feet that bring it back; take out what no
    trimming holds."""
    prior = rates_of(plants)
    slow = a_stand(plants, round_patches(prior.typical, start_of(plants), SUMMERS, PLANTED))
    assert slow.action == "leave" and slow.trim_ft2 == 0.0
    small = replace(POND, tolerance=0.5)
    near = a_stand(plants, round_patches(3.0 * prior.high, start_of(plants), SUMMERS, PLANTED), pond=small)
    assert near.action == "trim" and near.act_by <= date(2028, 9, 15) and near.trim_ft > 0.0
    strip = strip_of(
        traits([plants.plant(near.plant_id)]),
        0,
        small,
        takeover.strips(traits([plants.plant(near.plant_id)]), small),
        "south",
        1.0,
    )
    assert near.trim_ft2 <= near.area_ft2[2]
    left = near.area_ft2[1] - near.trim_ft2
    assert left < 0.0025 * small.area_ft2  # half the cap, once cut
    assert strip.edge(left) + near.rate[2] <= strip.edge(0.0025 * small.area_ft2) + near.rate[
        2
    ] * 0.5 + 0.5 * strip.edge(0.0025 * small.area_ft2)
    unheld = next(
        r.plant_id
        for r in plants.every_plant()
        if r.contained_by == ("nothing",)
        and r.growth_form == "submersed"
        and r.spread_ft_yr > 0
        and r.origin == "native"
    )
    gone = a_stand(plants, round_patches(20.0, 2.0, SUMMERS, PLANTED, plant_id=unheld), pond=small)
    assert gone.action == "take out"


def test_cutting_starts_anew_but_keeps_the_rate(plants):
    """Edge by hand: 3 ft a season, cut back to 4 ft in the spring of 2027."""
    clock = POND.growing_season
    rows = round_patches(3.0, 2.0, SUMMERS[:2], PLANTED)
    cut = date(2027, 3, 28)
    rows.append(entry(5, cut, event=Event.TRIMMED, length_ft=8.0, width_ft=8.0))
    for row, day in enumerate(SUMMERS[2:], 6):
        across = 2 * (4.0 + 3.0 * (clock.seasons(day) - clock.seasons(cut)))
        rows.append(entry(row, day, length_ft=across, width_ft=across))
    stand = a_stand(plants, rows)
    assert stand.measured_rate == pytest.approx(3.0, rel=0.15)
    assert stand.area_ft2[1] == pytest.approx(np.pi * 6.2**2, rel=0.25)
    dropped = a_stand(plants, [*rows[:3], entry(5, cut, event=Event.TRIMMED)])
    assert any("not measured since" in r for r in dropped.remarks)


def test_distance_from_the_bank_and_full_strips(plants):
    clock = POND.growing_season
    rows = [entry(2, PLANTED, event=Event.PLANTED, groups=1.0)]
    rows += [
        entry(3 + i, d, out_ft=6.0 + 2.0 * (clock.seasons(d) - clock.seasons(SUMMERS[0])))
        for i, d in enumerate(SUMMERS)
    ]
    assert a_stand(plants, rows).measured_rate == pytest.approx(2.0, rel=0.02)
    rows.append(entry(9, date(2027, 9, 10), share_percent=100.0))
    stand = a_stand(plants, rows)
    assert any("nothing more of the rate" in r for r in stand.remarks)


def test_taken_out_is_gone_and_forgets_what_was_before(plants):
    rows = round_patches(2.0, 2.0, SUMMERS, PLANTED)
    told = watch(
        POND, plants, a_log(*rows, entry(9, date(2027, 9, 10), event=Event.TAKEN_OUT)), date(2027, 9, 15)
    )
    assert not told.stands and told.gone[0][1] == "south"


def test_figures_hold_what_a_chart_needs(plants):
    pytest.importorskip("plotext")
    from plantpick.show.watch import chart

    figure = a_stand(plants, round_patches(2.0, 2.0, SUMMERS, PLANTED)).figure
    assert len(figure.points) == 4 and all(used for _, _, used in figure.points)
    days, low, middle, high = figure.fitted
    assert all(a <= b + 1e-9 <= c + 2e-9 for a, b, c in zip(low, middle, high)) and list(days) == sorted(days)
    assert all(a <= b + 1e-9 <= c + 2e-9 for a, b, c in zip(*figure.forecast[1:]))
    drawn = chart(figure, 80)
    assert drawn.count("\n") > 8 and "measured" in drawn and "\x1b" not in drawn
    assert max(len(line) for line in drawn.splitlines()) <= 80


def test_the_same_log_gives_the_same_answer(plants):
    rows = a_log(*round_patches(2.0, 2.0, SUMMERS, PLANTED))
    one, two = (watch(POND, plants, rows, date(2027, 9, 15)) for _ in range(2))
    assert one.stands == two.stands


def test_free_floating_plants_are_watched_by_their_doubling(plants):
    floating = next(
        r.plant_id for r in plants.every_plant() if r.growth_form == "free-floating" and r.doubling_days > 0
    )
    rows = [
        entry(2 + k, date(2027, 6, 1) + timedelta(days=7 * k), floating, area_ft2=10.0 * 2**k)
        for k in range(5)
    ]
    stand = a_stand(plants, rows, date(2027, 7, 1))
    assert stand.floating and stand.forecast_rate[0] < stand.forecast_rate[2]
    assert POND.growing_season.frost_free_days / stand.measured_rate == pytest.approx(7.0, rel=0.02)
    assert stand.action == "take out"


# ---- volunteers
# ------------------------------------------------------------------------------------------------------


def test_volunteers_are_judged_by_law_origin_and_takeover(plants):
    pond = a_pond(stretches=(a_pond().stretches[0], replace(a_pond().stretches[1], dam=True)))
    verdict = lambda plant_id, stretch="north": judge(pond, plants, plant_id, stretch).verdict
    assert verdict("hydrilla-verticillata") == "take out now"  # federal noxious weed, 7 CFR 360.200
    assert verdict("salix-nigra", "south") == "take out now"  # woody on a dam
    assert verdict("juncus-effusus") in ("keep", "watch")
    listed = {p for p in plants.plant_ids if plants.listed(p, "MS")}
    brought = {r.plant_id for r in plants.every_plant() if r.origin == "introduced"}
    for plant_id in sorted(listed | brought)[::7]:
        assert verdict(plant_id) == "take out now", plant_id


def test_a_volunteer_of_no_use_to_you_that_takes_the_pond_is_taken_out(plants):
    """As the offer says of it: a plant's spread does not hang on what you want of your pond."""
    from plantpick.files.pond_file import read_pond

    pond = replace(read_pond("demo"), purposes=("fish cover", "bank hold"))
    for plant_id in ("lemna-minor", "azolla-cristata"):
        told = judge(pond, plants, plant_id, pond.shore[0].name)
        assert told.verdict == "take out now" and "passes your 5 % in ten years" in told.why
    assert judge(pond, plants, "lilium-superbum", pond.shore[0].name).verdict == "watch"


def test_a_planted_plant_is_no_volunteer_and_a_stray_is_watched(plants):
    rows = [
        *round_patches(1.0, 2.0, SUMMERS, PLANTED),
        entry(9, date(2027, 9, 1), stretch="north", area_ft2=4.0),
        entry(10, date(2027, 9, 1), "hydrilla-verticillata", area_ft2=3.0),
    ]
    told = watch(POND, plants, a_log(*rows), date(2027, 9, 15))
    assert {(v.plant_id, v.stretch) for v in told.volunteers} == {
        ("pontederia-cordata", "north"),
        ("hydrilla-verticillata", "south"),
    }
    assert told.volunteers[0].verdict == "take out now" and told.volunteers[1].verdict != "keep"
    weed = next(s for s in told.stands if s.plant_id == "hydrilla-verticillata")
    assert weed.action == "take out" and weed.act_by == date(2027, 9, 15)
    assert dict(told.totals).keys() == {plants.plant("pontederia-cordata").common_name}


def test_a_planted_plant_that_the_law_lists_is_told_first(plants):
    """Hydrilla is a federal noxious weed (7 CFR 360.200), whoever set it."""
    rows = [
        entry(2, PLANTED, event=Event.PLANTED, groups=1.0),
        entry(3, PLANTED, "hydrilla-verticillata", event=Event.PLANTED, groups=1.0),
        entry(4, PLANTED, "hydrilla-verticillata", "north", event=Event.PLANTED, groups=1.0),
        entry(5, SUMMERS[-1], area_ft2=30.0),
    ]
    told = watch(POND, plants, a_log(*rows), date(2027, 9, 15))
    first, second, third = told.stands
    assert first.plant_id == second.plant_id == "hydrilla-verticillata" and not third.law_says
    for stand in (first, second):
        assert stand.action == "take out" and stand.act_by == told.today
        assert "7 CFR 360.200" in stand.law_says and "agency" in stand.what_to_do
    assert not told.volunteers
    (line,) = law_first_lines(told)
    assert line.startswith("Hydrilla on the south and the north: ") and in_short(told)[0] == line
    out = Console(file=io.StringIO(), width=100)
    show_watch(out, told, charts=False)
    shown = out.file.getvalue()
    assert shown.index("7 CFR 360.200") < shown.index("verdict")


def test_every_plant_that_may_not_be_sold_is_told_of_when_planted(plants):
    """Nothing that the gate lists, or calls an invader or a danger, is left on the cap's word alone."""
    asked = set()
    for plant_id in sorted(plants.plant_ids):
        found = eligibility(plants, plant_id, "MS")
        law = law_of_planted(plants, plant_id, "MS")
        assert law.code == found.code
        asked.add(found.code)
        if found.refused or found.code in (
            GateCode.LISTED,
            GateCode.PERMIT,
            GateCode.DANGER,
            GateCode.PROTECTED,
        ):
            assert law.says, plant_id
        if found.code in (GateCode.LISTED, GateCode.DANGER, GateCode.INVADER):
            assert law.duty is Duty.TAKE_OUT, plant_id
    assert {GateCode.LISTED, GateCode.INVADER, GateCode.CLEAR} <= asked and set(LAW_OF_PLANTED) == set(
        GateCode
    )


def test_a_protected_plant_is_left_whatever_its_size(plants):
    rare = next(
        p for p in sorted(plants.plant_ids) if eligibility(plants, p, "MS").code == GateCode.PROTECTED
    )
    rows = [entry(2, PLANTED, rare, event=Event.PLANTED), entry(3, SUMMERS[-1], rare, area_ft2=15_000.0)]
    stand = a_stand(plants, rows)
    assert stand.action == "leave" and stand.act_by is None and "protected" in stand.law_says


# ---- light and level
# -------------------------------------------------------------------------------------------------


def test_readings_refresh_the_deepest_growth():
    """Caffrey, Hoyer and Canfield 2007: a Secchi reading of 1 m means 2.042 m, at most 3.890."""
    meter = 100.0 / 2.54
    log = a_log(
        LogRow(row=2, day=date(2026, 7, 1), clarity_in=99.0),
        LogRow(row=3, day=date(2027, 7, 10), clarity_in=meter),
        LogRow(row=4, day=date(2027, 11, 1), clarity_in=80.0),
    )
    new = refresh(a_pond(), log)
    assert new.clarity_in == (30.0, meter) and new.deepest_in[1][0] == pytest.approx(2.042 * meter, rel=1e-3)
    assert new.deepest_in[1][1] == pytest.approx(min(3.890 * meter, 144.0), rel=1e-3)
    assert new.growable[1] > new.growable[0]
    assert deepest_growth_m(1.0)[0] == pytest.approx(2.042, abs=1e-3)


def test_level_counts_the_usual_drop_and_not_one_dry_year():
    drops = lambda *v: a_log(
        *(LogRow(row=2 + i, day=date(2025 + i, 9, 1), drop_ft=d) for i, d in enumerate(v))
    )
    assert refresh(a_pond(), drops(0.5, 0.4, 3.0)).usual_drop_ft == (1.0, 1.0)
    assert refresh(a_pond(), drops(1.5, 2.5, 3.0)).usual_drop_ft == (1.0, 2.5)
    bands = dict(refresh(a_pond(), drops(1.0)).bands_now)
    from plantpick.pond.basin import area_at_depth_ft2

    assert sum(bands.values()) == pytest.approx(float(area_at_depth_ft2(a_pond(), 12.0)))


def test_more_light_lets_submersed_plants_further_out(plants):
    rows = round_patches(3.0, 2.0, SUMMERS, PLANTED, plant_id="vallisneria-americana")
    dim, clear = (
        watch(
            POND, plants, a_log(*rows, LogRow(row=20, day=date(2027, 7, 1), clarity_in=c)), date(2027, 9, 15)
        ).stands[0]
        for c in (15.0, 60.0)
    )
    assert clear.ten_years_percent[2] > dim.ten_years_percent[2]


@pytest.mark.parametrize("width", [60, 100])
def test_any_stand_has_a_page(plants, width):
    """Regression: a tree whose edge hardly moves (dates past the calendar's end) and legends wider than a chart."""
    from plantpick.show.watch_records import watch_text

    for plant_id in plants.plant_ids[::180]:
        rows = [entry(2 + k, day, plant_id, area_ft2=9.0 + k) for k, day in enumerate(SUMMERS)]
        told = watch(POND, plants, a_log(*rows), date(2027, 9, 15))
        out = Console(file=io.StringIO(), width=width)
        show_watch(out, told)
        assert max(len(line) for line in out.file.getvalue().splitlines()) <= width
        assert plant_id in watch_text(told, "json") and plant_id in watch_text(told, "csv")


def test_a_fast_stand_is_cut_before_it_outgrows_its_owner(plants):
    """Far from the cap, yet faster than the plan was drawn for: trim now, at most to half its width."""
    prior = rates_of(plants, "nymphaea-odorata")
    stand = a_stand(
        plants,
        round_patches(
            1.3 * prior.high,
            start_of(plants, "nymphaea-odorata"),
            SUMMERS,
            PLANTED,
            plant_id="nymphaea-odorata",
        ),
        pond=replace(POND, tolerance="some"),
    )
    assert stand.verdict == "faster than forecast" and stand.action in ("trim", "leave")
    if stand.action == "trim":
        assert 0.0 < stand.trim_ft2 < stand.area_ft2[2]


def test_a_trimmed_stand_needs_a_season_at_its_high_rate_to_come_back(plants):
    """By hand: on track and at half the cap; cut back from there by one season's growth at the high end."""
    wide = replace(a_pond().stretches[0], length_ft=1000.0, slope=60.0)
    pond = a_pond(tolerance=0.6, stretches=(wide,), area_acres=2.0)
    days = [date(y, m, 28) for y in range(2026, 2032) for m in (6, 9)]
    rows = [
        replace(r, stretch="north")
        for r in round_patches(0.75 * rates_of(plants).high, start_of(plants), days, PLANTED, pond)
    ]
    stand = a_stand(plants, rows, days[-1] + timedelta(days=5), pond=pond)
    assert stand.verdict == "on track" and stand.action == "trim"
    disc = lambda ft2: (ft2 / np.pi) ** 0.5
    half = disc(0.003 * pond.area_ft2)
    left = disc(stand.area_ft2[1] - stand.trim_ft2)
    assert half - left == pytest.approx(stand.rate[2], rel=0.15)


SHELF = a_pond(stretches=(replace(a_pond().stretches[1], length_ft=1200.0, slope=20.0),)).with_tolerance(1.0)
CANE = "arundinaria-gigantea"  # creeps on the bank and sends out no colonies


def read_each_june(
    rate_ft: float, plant_id: str, years: tuple[int, ...] = (2028, 2029), **values
) -> list[LogRow]:
    """Set in March 2026, read with the tape in June; a row of seven at 36 in."""
    days = [date(year, 6, 20) for year in years]
    return round_patches(
        rate_ft, 1.5, days, date(2026, 3, 1), SHELF, row_ft=18.0, plant_id=plant_id, stretch="south", **values
    )


def test_the_chance_of_a_stand_not_yet_read_is_that_of_the_takeover_report(plants):
    """One engine: set and never measured, a stand passes the limit with the chance that `spread` and the ranking give."""
    log = a_log(entry(2, date(2026, 3, 1), CANE, event=Event.PLANTED, groups=1.0))
    (stand,) = watch(SHELF, plants, log, date(2026, 9, 1)).stands
    told = takeover_report(SHELF, plants, CANE, groups=1)
    assert 0.1 < told.chance_over_cap < 0.9
    assert stand.chance_over_cap_forecast == told.chance_over_cap
    assert stand.chance_over_cap == told.chance_over_cap
    assert stand.ten_years_percent == told.shares[10] and stand.ten_years_until == date(2036, 3, 1)


def test_the_chance_of_a_stand_is_how_often_plain_draws_of_it_pass_the_limit(plants):
    """40,000 draws of the rate that the readings give and of the reach, tied by a half; each stadium cut by its strip and added
    up across it, wherever it lies. The rule of the draws is docs/method.md, "Draws"."""
    rows = read_each_june(2.0, CANE)
    (stand,) = watch(SHELF, plants, a_log(*rows), date(2029, 9, 1)).stands
    cane, rng = plants.plant(CANE), np.random.default_rng(3)
    tied = rng.multivariate_normal([0, 0], [[1, 0.5], [0.5, 1]], size=40_000) / 1.2815515655446004
    low, middle, high = stand.rate
    rate = middle * np.where(tied[:, 0] > 0, high / middle, middle / low) ** tied[:, 0]
    one = traits([cane])
    least, usual, most = reach_in(one, SHELF)[0]
    reach = usual + tied[:, 1] * np.where(tied[:, 1] > 0, most - usual, usual - least)
    reach = np.clip(reach, cane.depth_min_in, SHELF.max_depth_in)
    wide = 20.0 * (reach - cane.depth_min_in) / 12.0
    spacing = cane.spacing_in / 12.0
    radius, row = spacing / 2.0 + 9.0 * rate, 6.0 * spacing
    across = np.linspace(-1.0, 1.0, 801) * radius[:, None]
    chord = (
        row[:, None]
        if np.ndim(row)
        else row + 2.0 * np.sqrt(np.maximum(radius[:, None] ** 2 - across**2, 0.0))
    )
    lies_within = np.clip(1.0 - np.abs(across) / wide[:, None], 0.0, None)  # of all places of its middle line
    held = (chord * lies_within).sum(axis=1) * (across[:, 1] - across[:, 0])
    drawn = float(np.mean(held / SHELF.area_ft2 > SHELF.cap_percent / 100.0))
    assert 0.05 < drawn < 0.95
    assert stand.chance_over_cap == pytest.approx(drawn, abs=0.03)


def test_faster_readings_raise_the_chance_and_a_stand_over_the_limit_is_sure_of_it(plants):
    chances = []
    for rate in (0.6, 1.5, 2.5, 6.0):
        rows = read_each_june(rate, CANE)
        (stand,) = watch(SHELF, plants, a_log(*rows), date(2029, 9, 1)).stands
        chances.append(stand.chance_over_cap)
    assert chances == sorted(chances) and chances[0] < 0.2 and chances[-1] > 0.98
    over = [*rows, entry(9, date(2029, 6, 21), CANE, area_ft2=0.02 * SHELF.area_ft2)]
    (stand,) = watch(SHELF, plants, a_log(*over), date(2029, 9, 1)).stands
    assert stand.chance_over_cap == 1.0


def test_a_stand_that_came_by_itself_is_forecast_from_the_size_first_read(plants):
    """Cattail found on 600 sq ft, 0.7 % of two acres: in ten years it holds no less. It was forecast from seven plugs."""
    first = 600.0
    log = a_log(entry(2, date(2027, 6, 20), "typha-latifolia", area_ft2=first))
    (stand,) = watch(SHELF, plants, log, date(2027, 9, 1)).stands
    assert min(stand.ten_years_percent) >= 100.0 * first / SHELF.area_ft2
    assert stand.ten_years_until == date(2037, 6, 20)


def test_a_stand_older_than_ten_years_is_forecast_from_today(plants):
    rows = read_each_june(0.5, CANE, years=(2030, 2037))
    (stand,) = watch(SHELF, plants, a_log(*rows), date(2037, 9, 1)).stands
    assert stand.ten_years_until == date(2047, 9, 1)
    assert stand.ten_years_fitted_percent[0] >= stand.share_percent[1] - 1e-6


def test_the_chance_stands_among_the_lines_of_a_stand(plants):
    rows = read_each_june(2.0, CANE)
    (stand,) = watch(SHELF, plants, a_log(*rows), date(2029, 9, 1)).stands
    (told,) = [
        line for line in stand_lines(stand) if line.startswith("Chance that it is over your limit then")
    ]
    assert (
        chance_words(stand.chance_over_cap) in told and chance_words(stand.chance_over_cap_forecast) in told
    )
