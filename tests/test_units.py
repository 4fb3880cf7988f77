"""The one table of units."""

import pytest

from plantpick import units
from plantpick.files.log_cells import column
from plantpick.interview import plain_words


@pytest.mark.parametrize(
    "word, feet",
    [("ft", 1.0), ("feet", 1.0), ("in", 1 / 12), ("yards", 3.0), ("m", 3.280839895), ("rod", 16.5)],
)
def test_lengths(word, feet):
    """A foot is 0.3048 m, a rod 16.5 ft: NIST Handbook 44, appendix C."""
    assert units.FEET[word] == pytest.approx(feet, rel=1e-9)


@pytest.mark.parametrize(
    "word, square_feet",
    [("acre", 43_560.0), ("ha", 107_639.104), ("m2", 10.7639104), ("sq yd", 9.0), ("square feet", 1.0)],
)
def test_areas(word, square_feet):
    """NIST Handbook 44, appendix C: an acre is 43,560 square feet, a hectare 2.471 acres."""
    assert units.SQUARE_FEET[word] == pytest.approx(square_feet, rel=1e-8)
    assert units.ACRES[word] == pytest.approx(square_feet / 43_560.0, rel=1e-8)


@pytest.mark.parametrize(
    "written, one",
    [
        ("Feet", "ft"),
        ("square_metres", "m2"),
        ("Sq. Ft.".replace(".", ""), "ft2"),
        ("m²", "m2"),
        ("fathoms", "fathoms"),
    ],
)
def test_one_spelling(written, one):
    assert units.spelled(written) == one


def test_a_log_and_an_answer_know_the_same_units():
    """Before, the log knew no rods and the survey no yards, which an answer did."""
    for word, feet in units.FEET.items():
        if word.isalpha():
            assert column(f"length_{word}") == ("length", feet)
            assert plain_words.length(f"2 {word}").value == pytest.approx(2 * feet)


@pytest.mark.parametrize(
    "inches, words",
    [
        (30.0, "30 in deep"),
        (-54.0, "54 in above the waterline"),
        (0.0, "at the waterline"),
        (-0.0, "at the waterline"),
    ],
)
def test_a_depth_in_words(inches, words):
    assert units.depth_words(inches) == words


@pytest.mark.parametrize(
    "part, whole, said",
    [
        (0.342, 0.38, ("0.34", "0.38")),  # "0.3 of 0.4" reads as three quarters; it is nine tenths
        (0.64, 0.97, ("0.64", "0.97")),  # 0.6 of 1.0 would be 60 per cent of it; it is 66
        (12.0, 13.2, ("12.0", "13.2")),  # 12 of 14 would be 86 per cent; it is 91
        (4.5, 5.0, ("4.5", "5.0")),
        (0.0, 0.0, ("0.000", "0.000")),
    ],
)
def test_two_shares_are_rounded_so_that_they_agree(part, whole, said):
    """By hand: the quotient of what is printed is within two parts in a hundred of the true one, the upper one never rounded down."""
    one, other = units.percents_that_agree(part, whole)
    assert float(other) >= whole - 1e-9
    if whole:
        assert abs(float(one) / float(other) - part / whole) <= 0.02
    assert len(one.partition(".")[2]) == len(other.partition(".")[2])
    assert (one, other) == said
