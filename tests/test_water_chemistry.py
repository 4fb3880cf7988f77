"""pH from alkalinity: against textbook values, and where a pond file and an answer use it."""

import pytest

from plantpick.catalogue.traits import traits
from plantpick.errors import PlantpickError
from plantpick.files.pond_file import parse_pond
from plantpick.interview import answers
from plantpick.pond.water_chemistry import MG_PER_EQUIVALENT, ph_at_rest_with_air
from plantpick.ranking.cautions import pond_assumptions
from plantpick.ranking.explain import explain
from plantpick.ranking.site_factors import ph_index
from plantpick.show.explanation import explanation_text
from tests.conftest import a_pond
from tests.test_pondfile import GOOD

OLD_AIR = 10**-3.5  # atmospheres: what the textbooks reckon with


@pytest.mark.parametrize(
    ("alkalinity_meq_l", "ph"),
    [
        # Stumm and Morgan 1996, Aquatic Chemistry, chapter 4, from memory: pure water and water over calcite, each at rest
        # with air of 10^-3.5 atm at 25 C: pH 5.65, and pH 8.3 with 1.0 milliequivalent of bicarbonate
        (0.0, 5.65),
        (1.0, 8.3),
    ],
)
def test_textbook_values(alkalinity_meq_l, ph):
    found = ph_at_rest_with_air(alkalinity_meq_l * MG_PER_EQUIVALENT / 1000.0, OLD_AIR)
    assert found == pytest.approx(ph, abs=0.03)


def test_worked_by_hand():
    """At 10 mg/L nearly all is bicarbonate: H = 10^-(1.468 + 6.352) x 4.2 x 10^-4 / (2.0 x 10^-4), pH 7.50. Ions are few: each
    holds 98 % of its strength (Davies, ionic strength 0.0003), and pH falls by 0.01."""
    assert ph_at_rest_with_air(10.0) == pytest.approx(7.49, abs=0.01)


def test_more_alkalinity_is_more_ph_and_the_ions_balance():
    told = [ph_at_rest_with_air(mg) for mg in (0, 1, 5, 20, 60, 120, 250, 500, 1000)]
    assert told == sorted(told) and 5.5 < told[0] < 5.7 and told[-1] < 9.5
    assert (
        ph_at_rest_with_air(50, 2 * OLD_AIR) < ph_at_rest_with_air(50, OLD_AIR) - 0.25
    )  # twice the gas: 0.3 less


def with_water(lines: str) -> str:
    return GOOD.replace("[water]\n", "[water]\n" + lines)


def test_alkalinity_stands_in_for_a_ph():
    pond = parse_pond(with_water("alkalinity_mg_l = 50\n"))
    assert pond.ph is None and pond.water_ph == pytest.approx(8.2)
    said = " ".join(pond_assumptions(pond))
    assert "alkalinity of 50 mg/L" in said and "pH 8.2" in said and "You gave no pH" not in said


def test_the_explanation_says_where_its_ph_comes_from(plants):
    def of(pond):
        return explanation_text(explain(pond, plants, "pontederia-cordata"), "json")

    assert "this is 8.2, by its alkalinity" in of(a_pond(ph=None, alkalinity_mg_l=50))
    assert "alkalinity" not in of(a_pond(ph=8.2))


def test_a_measured_ph_wins_and_that_is_said():
    pond = parse_pond(with_water("alkalinity_mg_l = 50\nph = 6.4\n"))
    assert pond.water_ph == 6.4 and "we went by the pH you measured" in " ".join(pond.notes)
    assert "alkalinity" not in " ".join(parse_pond(with_water("ph = 6.4\n")).notes)


def test_no_figure_is_none():
    assert parse_pond(GOOD).water_ph is None


@pytest.mark.parametrize("wrong", ["-5", "5000", '"soft"'])
def test_an_alkalinity_that_cannot_be_is_refused(wrong):
    with pytest.raises(PlantpickError) as caught:
        parse_pond(with_water(f"alkalinity_mg_l = {wrong}\n"), "pond.toml")
    assert any("alkalinity_mg_l" in str(p) and "1000" in str(p) for p in caught.value.problems)


def test_hard_water_costs_a_soft_water_plant_points(plants):
    """Watershield: 4.5 to 7.5 of water. 50 mg/L makes pH 8.2, 0.7 outside."""
    one = traits([plants.plant("brasenia-schreberi")])
    soft, hard = (a_pond(ph=None, alkalinity_mg_l=mg).water_ph for mg in (5, 50))
    assert ph_index(one, [30.0], soft)[0, 0] == 1.0
    assert 0.5 < ph_index(one, [30.0], hard)[0, 0] < 0.8


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("alkalinity 60 mg/L", 60.0),
        ("60 ppm", 60.0),
        ("total alkalinity 85 ppm", 85.0),
        ("about 120 mg/l as CaCO3", 120.0),
        ("3 dKH", 53.55),  # 17.85 mg/L a degree
        ("1.2 meq/l", 60.0),
        ("alkalinity 40", 40.0),
    ],
)
def test_an_answer_may_give_the_alkalinity(text, found):
    assert answers.ph(text, {}, {}) == {"alkalinity_mg_l": pytest.approx(found, abs=0.1)}


def test_an_answer_with_a_ph_stays_one_and_hardness_is_neither():
    assert answers.ph("pH 7.1", {}, {}) == {"ph": 7.1}
    with pytest.raises(ValueError, match="not alkalinity"):
        answers.ph("hardness 120 ppm", {}, {})
