"""The Secchi rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plantpick.pond.light import deepest_growth_in, deepest_growth_m


@pytest.mark.parametrize(
    "secchi, usual, greatest", [(1.0, 2.042, 3.890), (2.0, 3.226, 5.618), (0.5, 1.292, 2.694)]
)
def test_caffrey(secchi, usual, greatest):
    """Caffrey, Hoyer and Canfield 2007, Lake and Reservoir Management 23:287-297; equations read in the abstract,
    values worked out from them."""
    assert deepest_growth_m(secchi) == pytest.approx((usual, greatest), rel=5e-4)


def test_two_feet_of_clarity():
    """24 in of Secchi: 4.83 ft usual, 9.82 ft greatest (worked out from the same equations)."""
    usual, greatest = deepest_growth_in(24.0)
    assert usual / 12 == pytest.approx(4.83, abs=0.01)
    assert greatest / 12 == pytest.approx(9.82, abs=0.01)


def test_agrees_with_chambers_and_kalff():
    """sqrt(depth) = 1.33 log10(Secchi) + 1.40 (Chambers and Kalff 1985, from memory) is within 5 % at 1 and 2 m."""
    from math import log10

    for secchi in (1.0, 2.0):
        assert deepest_growth_m(secchi)[0] == pytest.approx((1.33 * log10(secchi) + 1.40) ** 2, rel=0.05)


@given(st.floats(8.0, 200.0), st.floats(1.01, 2.0))
def test_clearer_is_deeper(clarity, factor):
    low, high = deepest_growth_in(clarity), deepest_growth_in(clarity * factor)
    assert low[0] < high[0] and low[1] < high[1] and low[0] < low[1]
