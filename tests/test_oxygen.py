"""Oxygen against published tables, a reference library and its own physics."""

from __future__ import annotations

import math

import numpy as np
import pytest
from conftest import a_pond
from hypothesis import given
from hypothesis import strategies as st

from plantpick.errors import PlantpickError
from plantpick.monitoring import oxygen
from plantpick.monitoring.oxygen import Reading
from plantpick.monitoring.oxygen_question import Given, ask
from plantpick.pond.basin import volume_ft3

# EN 25814 table, as printed in a ProMinent instrument manual, page 52. Its rows for 6, 7 and 21 C do not
# follow from the formula (12.5, 12.2 and 8.91 against 12.45, 12.14 and 8.915) and are not tested.
EN_25814 = {
    0: (14.6, 0.05),
    5: (12.8, 0.05),
    10: (11.3, 0.05),
    15: (10.1, 0.05),
    20: (9.09, 0.005),
    25: (8.26, 0.005),
    28: (7.83, 0.005),
    30: (7.56, 0.005),
}


@pytest.mark.parametrize("celsius", EN_25814)
def test_saturation_matches_the_european_table(celsius):
    """EN 25814 (ProMinent manual, page 52), fresh water at one atmosphere."""
    value, rounding = EN_25814[celsius]
    assert float(oxygen.saturation_mg_l(celsius)) == pytest.approx(value, abs=rounding + 1e-3)


@pytest.mark.parametrize("salinity", [0.0, 5.0, 15.0])
def test_saturation_matches_the_oceanographic_library(salinity):
    """gsw (TEOS-10 toolbox) O2sol_SP_pt: Garcia and Gordon's fit of the same data, umol/kg; agrees within 0.2
    %."""
    gsw = pytest.importorskip("gsw", reason="gsw is a test dependency: pip install plantpick[test]")
    t = np.arange(0.0, 36.0, 1.0)
    kg_per_liter = gsw.rho(gsw.SR_from_SP(salinity), t, 0.0) / 1000.0
    theirs = gsw.O2sol_SP_pt(salinity, t) * 31.9988e-3 * kg_per_liter
    assert np.allclose(oxygen.saturation_mg_l(t, 0.0, salinity), theirs, rtol=0.002)


def test_saturation_falls_with_pressure_as_printed():
    """Hach DR/850 manual: 8.7 mg/L at 725 mmHg and 20 C. It uses an older table, 1 % higher, hence the
    tolerance."""
    elevation = np.interp(-725 / 760, -oxygen.pressure_atm(np.arange(0.0, 5000.0)), np.arange(0.0, 5000.0))
    assert float(oxygen.saturation_mg_l(20.0, elevation)) == pytest.approx(8.7, abs=0.06)


def test_pressure_and_vapour():
    """Standard atmosphere at 5,000 ft 24.90 in of mercury of 29.92; vapour pressure at 20 C 2.339 kPa (from
    memory)."""
    assert float(oxygen.pressure_atm(5000.0)) == pytest.approx(24.90 / 29.92, abs=5e-4)
    assert float(oxygen.vapour_pressure_atm(20.0)) * 101.325 == pytest.approx(2.339, abs=0.005)


@pytest.mark.parametrize(
    "bad", [(-1.0, 0.0, 0.0), (41.0, 0.0, 0.0), (20.0, 30_000.0, 0.0), (20.0, 0.0, 41.0)]
)
def test_saturation_refuses_what_the_formula_is_not_for(bad):
    with pytest.raises(ValueError):
        oxygen.saturation_mg_l(*bad)


def test_night_line():
    """UF/IFAS FA-27: under 4 mg/L before 7 in the morning means aerate. The readings are made up, dawn by hand."""
    night = oxygen.night_line(Reading(20.0, 8.6), Reading(23.0, 7.1), 19.8, 6.0)
    assert night.dawn_mg_l == pytest.approx(3.6) and night.verdict == "aerate"
    assert oxygen.night_line(Reading(20.0, 11.0), Reading(23.0, 10.0), 19.8).verdict == "enough"
    empty = oxygen.night_line(Reading(20.0, 6.0), Reading(23.0, 3.0), 19.8)
    assert (
        empty.dawn_mg_l == 0.0
        and empty.verdict == "out before dawn"
        and empty.empty_hour == pytest.approx(2.0)
    )


def test_log_linear_line_by_hand():
    """Madenjian, Rogers and Fast 1987 Part I: logarithms on a straight line. 8 to 4 mg/L in 3 hours is half; six
    hours on a quarter of that, 1.0, where the straight line has long reached 0 (made-up readings)."""
    night = oxygen.night_line(Reading(21.0, 8.0), Reading(24.0, 4.0), 20.0, 6.0)
    assert night.log_dawn_mg_l == pytest.approx(1.0) and night.dawn_mg_l == 0.0
    assert night.lines_differ and night.verdict == "out before dawn"
    assert not oxygen.night_line(Reading(21.0, 8.0), Reading(24.0, 7.5), 20.0, 6.0).lines_differ


@given(st.floats(0, 20), st.floats(0, 1), st.floats(1.0, 5.0), st.floats(3.0, 9.0))
def test_night_lines_stay_between_nothing_and_the_last_reading(first, kept, hours, dawn):
    second = first * kept
    night = oxygen.night_line(Reading(20.5, first), Reading(20.5 + hours, second), 20.5, dawn)
    assert 0.0 <= night.dawn_mg_l <= night.log_dawn_mg_l + 1e-9 and night.log_dawn_mg_l <= second + 1e-9
    assert night.lines_differ == (night.log_dawn_mg_l - night.dawn_mg_l > 0.5)


def test_night_line_refuses_readings_that_are_not_one_night():
    for first, second, why in (
        ((23.0, 8.0), (20.0, 7.0), "an hour or more"),
        ((20.0, 8.0), (20.5, 7.0), "an hour or more"),
        ((20.0, 8.0), (8.0, 7.0), "not before dawn"),
        ((20.0, -1.0), (22.0, -2.0), "below 0"),
        ((12.0, 9.0), (15.0, 8.0), "before sunset"),
        ((19.0, 9.0), (22.0, 8.0), "before sunset"),
        ((20.0, 9.0), (23.0, 9.1), "rose"),
    ):
        with pytest.raises(ValueError, match=why):
            oxygen.night_line(Reading(*first), Reading(*second), 19.8)


def test_an_afternoon_reading_would_have_promised_too_much():
    """Made up: oxygen peaks at 9.0 at 18:00 and still stands at 8.8 at 20:00, then falls 0.5 an hour. Through 18:00
    and 21:00 the line says 6.2 at dawn; after sunset it says 3.8, which is what this pond has."""
    had = 8.8 - 0.5 * 10.0
    night = oxygen.night_line(Reading(20.0, 8.8), Reading(23.0, 7.3), 19.8)
    assert night.dawn_mg_l == pytest.approx(had) and night.verdict == "aerate"
    with pytest.raises(ValueError, match="before sunset"):
        oxygen.night_line(Reading(18.0, 9.0), Reading(21.0, 8.3), 19.8)


def test_enough_that_hangs_on_the_meter_says_so():
    """By hand: one hour apart and nine to go, 0.1 mg/L off in each moves dawn by 0.1 (1 + 2 x 9) = 1.9."""
    night = oxygen.night_line(Reading(20.0, 6.0), Reading(21.0, 5.9), 19.8)
    assert night.off_mg_l == pytest.approx(1.9) and night.dawn_mg_l == pytest.approx(5.0)
    assert night.verdict == "enough" and night.close
    assert not oxygen.night_line(Reading(20.0, 9.0), Reading(23.0, 8.8), 19.8).close


EVENING = (Reading(20.0, 8.6), Reading(23.0, 7.1))


@pytest.mark.parametrize(
    "said, part",
    [
        ({"readings": EVENING}, Given.SUNSET),
        ({"readings": EVENING, "sunset_hour": 7.8}, Given.SUNSET),
        ({"readings": EVENING[:1], "sunset_hour": 19.8}, Given.READINGS),
        ({"sunset_hour": 19.8}, Given.SUNSET),
        ({"readings": EVENING, "sunset_hour": 19.8, "dawn_hour": 12.0}, Given.DAWN),
    ],
)
def test_readings_need_the_sunset(said, part):
    with pytest.raises(PlantpickError) as fault:
        ask(None, None, temperature_f=84.0, **said)
    assert [p.where for p in fault.value.problems] == [part]


@pytest.mark.parametrize(
    "hour, words",
    [(6.0, "6 a.m."), (19.0 + 5 / 6, "7:50 p.m."), (0.0, "midnight"), (12.0, "noon"), (24.5, "12:30 a.m.")],
)
def test_hours_read_as_people_say_them(hour, words):
    assert oxygen.clock_words(hour) == words


def test_pounds_of_oxygen_in_an_acre_foot():
    """An acre-foot weighs 2.72 million pounds: 2.72 lb for each mg/L (a conversion of the trade, from
    memory)."""
    pond = a_pond()
    acre_feet = volume_ft3(pond) / 43_560.0
    assert oxygen.held_lb(pond, 10.0, 5.0) == pytest.approx(5.0 * 2.72 * acre_feet, rel=0.003)


def test_only_the_top_of_a_warm_pond_is_counted():
    pond = a_pond()
    top_six = volume_ft3(pond) - volume_ft3(pond, 72.0)
    assert oxygen.held_lb(pond, 28.0, 1.0) / oxygen.held_lb(pond, 10.0, 1.0) == pytest.approx(
        top_six / volume_ft3(pond)
    )
    assert oxygen.held_lb(pond, 28.0, 1.0, drop_ft=2.0) < oxygen.held_lb(pond, 28.0, 1.0)


def test_rotting_is_as_fast_as_published():
    """Egeria killed in pools: 64 per cent of it gone in a month (J. Appl. Ecol. 1977, doi 10.2307/2402264,
    summary; the temperature is not told there, 20 C taken); half of the oxygen taken after at most 26 days
    (Braz. J. Biol. 71:27-35)."""
    low, usual, high = oxygen.rot_factor(20.0, 30.0)
    assert low < 0.64 < high and usual == pytest.approx(0.64, abs=0.1)
    assert oxygen.rot_factor(20.0, 26.0)[0] == pytest.approx(0.5, abs=0.01)
    warm, cool = (math.log(1 - oxygen.rot_factor(t, 1.0)[1]) for t in (27.0, 17.0))
    assert warm / cool == pytest.approx(
        0.045 / 0.014, rel=1e-6
    )  # Carvalho et al. 2005, Braz. J. Biol. 65:51-60


@pytest.mark.parametrize("form", oxygen.DRY_WEIGHT_G_M2)
@pytest.mark.parametrize("area", [50.0, 2000.0, 20_000.0])
@pytest.mark.parametrize("celsius", [8.0, 20.0, 31.0])
def test_share_at_once_is_never_more_than_published(form, area, celsius):
    """SRAC-361: a quarter to a third at one time."""
    limit = oxygen.rot_limit(a_pond(), form, area, celsius)
    assert 0.0 <= limit.share[0] <= 0.25 and limit.share[0] <= limit.share[1] <= 1 / 3
    assert limit.share[0] <= limit.oxygen_share[0] and limit.share[1] <= limit.oxygen_share[1]


def test_oxygen_limits_a_large_stand_further():
    """By hand: 20,000 sq ft of cattail at 2,900 g/m2 and 533 mg/g, 14 days at 20 C, 0.052 a day."""
    pond = a_pond()
    limit = oxygen.rot_limit(pond, "emergent", 20_000.0, 20.0)
    pounds = 20_000 * 0.09290304 * 2900 * 0.533 * (1 - math.exp(-0.052 * 14)) / 453.59237
    assert limit.demand_lb[2] == pytest.approx(pounds, rel=1e-6)
    held = (9.092 - 3.0) * (volume_ft3(pond) - volume_ft3(pond, 72.0)) * 28.3168e-3 / 453.59237
    assert limit.share[0] == pytest.approx(held / pounds, rel=2e-3) and limit.share[0] < 0.25
    assert limit.parts == math.ceil(pounds / held)


def test_share_at_once_shrinks_with_heat_size_and_want():
    pond = a_pond()
    share = lambda **k: oxygen.rot_limit(
        pond, "submersed", k.pop("area", 15_000.0), k.pop("t", 26.0), **k
    ).share[0]
    assert share(t=31.0) < share(t=26.0)
    assert share(area=30_000.0) < share(area=15_000.0)
    assert share(measured_mg_l=4.0) < share() and share(measured_mg_l=2.5) == 0.0
    assert share(elevation_ft=6000.0) < share() and share(drop_ft=4.0) < share()


def test_a_small_stand_is_told_to_be_small():
    limit = oxygen.rot_limit(a_pond(), "floating-leaved", 60.0, 24.0)
    assert limit.small and limit.share[0] == 0.25
    assert not oxygen.rot_limit(a_pond(), "floating-leaved", 40_000.0, 24.0).small


def test_rot_limit_refuses_land_plants_and_no_area():
    with pytest.raises(ValueError):
        oxygen.rot_limit(a_pond(), "tree", 100.0, 20.0)
    with pytest.raises(ValueError):
        oxygen.rot_limit(a_pond(), "emergent", 0.0, 20.0)


def test_a_question_with_many_mistakes_names_them_all(plants):
    with pytest.raises(PlantpickError) as fault:
        ask(
            a_pond(),
            plants,
            temperature_f=284.0,
            readings=(Reading(18.0, 9.0), Reading(18.5, 8.0)),
            dawn_hour=12.0,
            plant="pontederia-cordata",
            measured_mg_l=99.0,
            drop_ft=40.0,
        )
    assert {p.where for p in fault.value.problems} == {
        Given.TEMPERATURE,
        Given.SUNSET,
        Given.DAWN,
        Given.AREA,
        Given.DAWN_READING,
        Given.DROP,
    }
    assert not any("--" in f"{p.what} {p.remedy}" for p in fault.value.problems)


def test_what_the_night_leaves_is_all_that_may_be_used(plants):
    """Two readings after sunset that end at 3.6 mg/L by hand (8.6 less 0.5 an hour for 10 hours): the stand is held
    against that, not against saturated water; a reading at dawn goes before both."""
    pond = a_pond()
    stand = {"temperature_f": 84.0, "plant": "nymphaea-odorata", "area_ft2": 9000.0}
    evening = ask(pond, plants, **stand, sunset_hour=19.8, readings=EVENING)
    measured = ask(pond, plants, **stand, measured_mg_l=3.6).limit
    assert evening.by_line and evening.limit.share == pytest.approx(measured.share, rel=1e-6)
    assert evening.limit.share[0] < ask(pond, plants, **stand).limit.share[0]
    dawn = ask(pond, plants, **stand, sunset_hour=19.8, readings=EVENING, measured_mg_l=5.0)
    assert not dawn.by_line and dawn.limit == ask(pond, plants, **stand, measured_mg_l=5.0).limit


def test_a_stand_needs_its_pond(plants):
    with pytest.raises(PlantpickError) as fault:
        ask(None, plants, temperature_f=80.0, plant="pontederia-cordata", area_ft2=100.0)
    assert [p.where for p in fault.value.problems] == [Given.PLANT]


def test_air_belongs_where_it_is_deep():
    """Bottom diffusers from six feet on: common practice, no source."""
    assert "6 ft or deeper" in oxygen.aeration_advice(a_pond(max_depth_ft=12.0))
    assert "use a surface aerator" in oxygen.aeration_advice(a_pond(max_depth_ft=5.0))
