"""Where things are in a pond file: an outline in feet, stretches along it, places to keep clear; and every mistake at once."""

from __future__ import annotations

import math

import numpy as np
import pytest

from plantpick.errors import PlantpickError
from plantpick.files.pond_file import parse_pond, read_pond
from plantpick.planting.layout import clear_spans
from plantpick.pond.model import Outline
from plantpick.pond.shoreline import Shoreline

# Made up: a square of 400 ft, 3.67 acres, told clockwise from its southwest corner, so that the shore is counted
# counterclockwise: 400 ft along the south side, then the east, the north and the west.
SQUARE = """
name = "Square"
state = "MS"
hardiness_zone = "8a"
outline_ft = [[0, 0], [0, 400], [400, 400], [400, 0]]
[water]
area_acres = 3.67
max_depth_ft = 14
[[shore]]
name = "south"
length_ft = 400
slope = 3
from_ft = 0
to_ft = 400
[[shore]]
name = "east and north"
length_ft = 800
slope = 3
from_ft = 400
to_ft = 1200
stake = "Q"
[[shore]]
name = "west"
length_ft = 400
slope = 3
from_ft = 1200
to_ft = 1600
"""


def problems(text):
    with pytest.raises(PlantpickError) as caught:
        parse_pond(text, "pond.toml")
    assert caught.value.status == 3
    return [str(p) for p in caught.value.problems]


def test_a_stretch_with_its_ends_on_the_outline_needs_no_length():
    """The square's sides are 400 ft: 400, 800 and 400 ft, with and without length_ft."""
    import re

    bare = re.sub(r"length_ft = \d+\n", "", SQUARE)
    assert "length_ft" not in bare
    assert [(s.from_ft, s.length_ft) for s in parse_pond(bare).stretches] == [
        (0, 400),
        (400, 800),
        (1200, 400),
    ]
    told = problems(bare.replace("outline_ft", "#"))
    assert [p for p in told if "shore[1].length_ft" in p and "missing" in p.lower()], told
    short = problems(bare.replace("to_ft = 1600", "to_ft = 1201"))
    assert any("too short for a stretch" in p for p in short), short


def test_a_length_that_differs_from_its_ends_is_refused():
    told = problems(SQUARE.replace("length_ft = 800", "length_ft = 500"))
    assert any("800 ft, but length_ft says 500" in p for p in told), told


def test_a_wrong_outline_or_point_is_told_alone():
    """An outline of two points, and a point that is none: the places marked on it are not at fault, nor is a radius without a point."""
    marked = '[[keep_clear]]\nwhat = "dock"\nat_ft = [10, 20]\n[[keep_clear]]\nwhat = "riser"\nat_ft = ["a", 3]\naround_ft = 15\n'
    told = problems(SQUARE.replace("[[0, 0], [0, 400], [400, 400], [400, 0]]", "[[0, 0], [0, 400]]") + marked)
    assert len(told) == 2 and "outline_ft" in told[0] and "keep_clear[2].at_ft" in told[1], told


def test_the_interview_does_not_ask_for_a_length_that_the_outline_gives():
    from plantpick.interview.conversation import open_questions

    ends = {"name": "south", "slope": 3.0, "from_ft": 0.0, "to_ft": 400.0}
    asked = {"shore": [ends], "outline_ft": [[0, 0], [0, 400], [400, 400], [400, 0]]}
    keys = [a.question.keys for a in open_questions(asked) if a.question.section == "shore"]
    assert ("length_ft",) not in keys
    assert ("length_ft",) in [
        a.question.keys for a in open_questions({"shore": [ends]}) if a.question.section == "shore"
    ]


def test_the_shore_runs_with_the_water_on_the_left():
    """Walking round with the water on the left is counterclockwise: from the southwest corner first east, whichever way the
    outline was drawn, and the way in is to the left."""
    for ring in (
        ((0, 0), (0, 400), (400, 400), (400, 0)),
        ((0, 0), (400, 0), (400, 400), (0, 400)),
    ):
        shore = Shoreline(Outline((ring,)))
        assert shore.length_ft == 1600
        assert shore.points([100, 500, 900, 1300, 1700]).tolist() == [
            [100, 0],
            [400, 100],
            [300, 400],
            [0, 300],
            [100, 0],
        ]
        assert np.allclose(shore.inward([100, 500, 900, 1300]), [[0, 1], [-1, 0], [0, -1], [1, 0]])
        assert shore.nearest_ft(250, 10) == (250, 10)
        assert shore.nearest_ft(420, 150) == (550, 20)


def test_stretches_and_stakes_take_their_places():
    pond = parse_pond(SQUARE)
    assert [(s.from_ft, s.length_ft) for s in pond.stretches] == [(0, 400), (400, 800), (1200, 400)]
    assert pond.stakes == {"south": "A", "east and north": "Q", "west": "B"}
    assert pond.shore_ft == 1600


def test_a_stretch_may_run_over_the_first_point():
    text = (
        SQUARE.replace("from_ft = 0\nto_ft = 400", "from_ft = 1500\nto_ft = 300")
        .replace("from_ft = 400\nto_ft = 1200", "from_ft = 300\nto_ft = 1100")
        .replace("from_ft = 1200\nto_ft = 1600", "from_ft = 1100\nto_ft = 1500")
    )
    assert [(s.from_ft, s.length_ft) for s in parse_pond(text).stretches] == [
        (1500, 400),
        (300, 800),
        (1100, 400),
    ]


def test_places_to_keep_clear_know_their_tape():
    """A riser 30 ft out from the middle of the south side takes its 40 ft of shore there: 180 to 220 ft on the tape."""
    pond = parse_pond(
        SQUARE
        + """
[[keep_clear]]
what = "riser"
stretch = "south"
length_ft = 40
at_ft = [200, 30]
[[keep_clear]]
what = "dock"
stake = "q"
from_ft = 500
to_ft = 520
[[keep_clear]]
what = "spillway"
stretch = "west"
length_ft = 60
"""
    )
    south, side, west = pond.stretches
    assert [(s.what, s.from_ft, s.to_ft, s.known) for s in clear_spans(pond, south)] == [
        ("riser", 180, 220, True)
    ]
    assert [(s.what, s.from_ft, s.to_ft, s.known) for s in clear_spans(pond, side)] == [
        ("dock", 500, 520, True)
    ]
    assert pond.keep_clear[1].stretch == "east and north" and side.plantable_ft == 780
    # nobody said where the spillway is: the last feet stay free
    assert [(s.what, s.from_ft, s.to_ft, s.known) for s in clear_spans(pond, west)] == [
        ("spillway", 340, 400, False)
    ]


def test_shore_kept_clear_twice_counts_once():
    """200 to 320 ft and 300 to 340 ft are 140 ft."""
    pond = parse_pond(
        SQUARE
        + '[[keep_clear]]\nwhat = "casting"\nstretch = "south"\nfrom_ft = 200\nto_ft = 320\n'
        + '[[keep_clear]]\nwhat = "dock"\nstretch = "south"\nfrom_ft = 300\nto_ft = 340\n'
    )
    assert pond.stretches[0].clear_ft == 140


def test_longitude_and_latitude_lie_where_the_outline_has_them():
    """A degree of latitude is 364,000 ft near 33 degrees north (69 miles, common practice): 0.0003 degrees north of a sounding's
    place lies 109 ft away."""
    pond = read_pond("demo-surveyed")
    marks = {k.what: k for k in pond.keep_clear}
    (x, y), first = marks["drain riser"].points[0], pond.survey.outline.rings[0][0]
    assert (x - first[0], y - first[1]) == pytest.approx((60, 20))
    lon, lat = pond.survey.outline.origin
    x, y = marks["waterfall to come"].points[0]
    assert y == pytest.approx((32.865997 - lat) * 364_000, rel=0.005)
    assert x == pytest.approx((-89.412592 - lon) * 364_000 * math.cos(math.radians(lat)), rel=0.005)


WRONG = [
    (("from_ft = 400", "from_ft = 380"), "overlap", '"east and north" begins 20 ft before "south" ends'),
    (("from_ft = 400", "from_ft = 450"), "shore_left_out = true", "50 ft of the outline lie between"),
    (
        ("from_ft = 0\nto_ft = 400", "from_ft = 400\nto_ft = 0"),
        "swap from_ft and to_ft",
        "is 1,200 ft, but length_ft says 400",
    ),
    (
        ("from_ft = 0\nto_ft = 400", "from_ft = 400\nto_ft = 300"),
        "Count feet from the outline's first point",
        "is 1,500 ft, but length_ft says 400",
    ),
    (
        ("to_ft = 1600", "to_ft = 1700"),
        "the water on your left",
        "lies beyond the outline, which is 1,600 ft",
    ),
    (("to_ft = 1600\n", ""), "Give both, or neither", "from_ft needs to_ft"),
    (
        ("from_ft = 1200\nto_ft = 1600\n", ""),
        "for every stretch, or for none",
        "shore[3].from_ft: is missing",
    ),
    (
        ("outline_ft = [[0, 0], [0, 400], [400, 400], [400, 0]]\n", ""),
        "outline_ft = [[x, y], ...]",
        "there is none",
    ),
    (('stake = "Q"', 'stake = "Q1"'), 'as in "A"', "one to six letters"),
    (
        ("outline_ft = [[0, 0], ", "outline_ft = [[0, 0], [0], "),
        "[[0, 0], [300, 0], [150, 200]]",
        "at least three",
    ),
    (("[400, 400], [400, 0]]", "[400, 0], [400, 400]]"), "take out loops", "crosses or touches itself"),
]


@pytest.mark.parametrize("change, remedy, said", WRONG)
def test_positions_that_cannot_be(change, remedy, said):
    assert change[0] in SQUARE
    found = problems(SQUARE.replace(*change))
    assert any(said in p and remedy in p for p in found), found


def test_counting_the_wrong_way_round_is_recognized():
    """600 to 1000 counted clockwise is 400 ft; swapped it would be what was measured."""
    text = SQUARE.replace("from_ft = 0\nto_ft = 400", "from_ft = 500\nto_ft = 100")
    assert any("swap from_ft and to_ft" in p for p in problems(text))


CLEAR = [
    ('stretch = "south"\nfrom_ft = 380\nto_ft = 420', "beyond the end"),
    ('stretch = "south"\nfrom_ft = 80\nto_ft = 40', "is not before to_ft"),
    ('stretch = "south"\nfrom_ft = 80', "needs to_ft"),
    ("from_ft = 10\nto_ft = 20", "none is named"),
    ('stretch = "south"\nfrom_ft = 80\nto_ft = 100\nlength_ft = 60', "is 20 ft, but length_ft says 60"),
    ('stake = "Z"', 'no stretch begins at a stake called "Z". There are: A, Q, B'),
    ('stake = "Q"\nstretch = "west"', 'stands at "east and north", not at "west"'),
    ("at_ft = [200, -90]", "lies 90 ft outside the outline"),
    ("at_ft = [200, 30, 4]", "a point [x, y] in feet"),
    ("at_lon_lat = [-89.4, 32.8]", "the outline is in feet"),
    ("at_ft = [10, 10]\nat_lon_lat = [-89.4, 32.8]", "marked twice"),
    ("around_ft = 12", "there is none"),
]


@pytest.mark.parametrize("keys, said", CLEAR)
def test_places_to_keep_clear_that_cannot_be(keys, said):
    found = problems(f'{SQUARE}[[keep_clear]]\nwhat = "dock"\n{keys}\n')
    assert any(said in p for p in found), found


def test_a_diffuser_stands_in_the_water():
    ashore = '[[keep_clear]]\nwhat = "{}"\nat_ft = [200, -20]\n'
    assert parse_pond(SQUARE + ashore.format("spillway"))
    assert any("stands in the water" in p for p in problems(SQUARE + ashore.format("diffuser")))


def test_all_mistakes_of_places_come_at_once():
    text = (
        SQUARE.replace('stake = "Q"', 'stake = "B"')
        .replace("from_ft = 1200\nto_ft = 1600", 'from_ft = 1250\nto_ft = 1600\nstake = "b"')
        .replace("slope = 3\nfrom_ft = 400", "slope = 3\nfrom_ft = 370")
        + '[[keep_clear]]\nwhat = "dock"\nstretch = "south"\nfrom_ft = 380\nto_ft = 90\n'
        + '[[keep_clear]]\nwhat = "riser"\nstake = "X"\n'
    )
    found = problems(text)
    for key in ("shore[3].stake", "keep_clear[1].from_ft", "keep_clear[2].stake"):
        assert any(f"{key}:" in p for p in found), (key, found)


def test_without_positions_nothing_is_asked_for():
    text = SQUARE
    for line in ("outline_ft", "from_ft", "to_ft", "stake"):
        text = "\n".join(row for row in text.splitlines() if not row.startswith(line))
    pond = parse_pond(text)
    assert pond.stakes == {"south": "A", "east and north": "B", "west": "C"}
    assert all(s.from_ft is None for s in pond.stretches)


def test_shore_left_out_on_purpose_is_no_gap():
    text = SQUARE.replace("from_ft = 400", "from_ft = 450").replace("length_ft = 800", "length_ft = 750")
    assert any("lie between" in p for p in problems(text))
    pond = parse_pond(text.replace('state = "MS"', 'state = "MS"\nshore_left_out = true'))
    assert pond.shore[-1].described is False and pond.shore[-1].length_ft == pytest.approx(50)
