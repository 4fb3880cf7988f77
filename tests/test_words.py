"""Zones, fit words and states."""

import pytest

from plantpick import vocabulary


def test_every_half_zone_from_its_temperature():
    """USDA Plant Hardiness Zone Map 2023: 5 F a half zone from -60 F (18 of the 26 read in the map's own table,
    the rest by its formula)."""
    for k, zone in enumerate(vocabulary.ZONES):
        coldest = -60.0 + 5.0 * k
        assert vocabulary.zone_for_temperature(coldest) == zone
        assert vocabulary.zone_for_temperature(coldest + 4.9) == zone
    assert len(vocabulary.ZONES) == 26


@pytest.mark.parametrize(
    "coldest, zone", [(-60, "1a"), (-40, "3a"), (0, "7a"), (10, "8a"), (20, "9a"), (45, "11b"), (65, "13b")]
)
def test_zones_read_in_the_published_table(coldest, zone):
    """USDA PHZM 2023: 1a from -60, 3a -40 to -35, 7a 0 to 5, 8a 10 to 15, 9a 20 to 25, 11b 45 to 50, 13b 65 to 70 F."""
    assert vocabulary.zone_for_temperature(coldest) == zone


def test_half_zones_are_half_apart():
    numbers = [vocabulary.zone_number(z) for z in vocabulary.ZONES]
    assert numbers == [1 + k / 2 for k in range(26)]


@pytest.mark.parametrize(
    "index, word",
    [
        (1.0, "excellent"),
        (0.8, "excellent"),
        (0.79, "good"),
        (0.5, "good"),
        (0.49, "fair"),
        (0.2, "fair"),
        (0.19, "poor"),
        (0.0, "poor"),
    ],
)
def test_fit_words(index, word):
    """Grades of the U.S. Fish and Wildlife Service models (read in the spotted bass model's table 1)."""
    assert vocabulary.fit_word(index) == word


def test_neighbors_are_mutual():
    assert len(vocabulary.STATES) == 49  # the lower 48 and DC
    for state in vocabulary.STATES:
        for other in vocabulary.neighbors(state):
            assert state in vocabulary.neighbors(other), (state, other)
    assert vocabulary.neighbors("ME") == ("NH",)
