"""The pond file: every mistake at once, each with key, what is allowed, and the nearest word."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plantpick.errors import PlantpickError
from plantpick.files.pond_file import DEMOS, parse_pond, read_pond

GOOD = """
name = "Millrace Pond"
state = "MS"
hardiness_zone = "8a"
[water]
area_acres = 2.8
max_depth_ft = 14
[[shore]]
name = "north bank"
length_ft = 420
slope = 4
"""


def problems(text):
    with pytest.raises(PlantpickError) as caught:
        parse_pond(text, "pond.toml")
    assert caught.value.status == 3
    return [str(p) for p in caught.value.problems]


def test_a_small_file_is_enough():
    pond = parse_pond(GOOD)
    assert pond.state == "MS" and pond.cap_percent == 5.0 and pond.usual_drop_ft == 0
    assert any("tolerance" in note for note in pond.notes)


def test_a_key_of_another_section_is_not_suggested_for_itself():
    (told,) = problems(GOOD + '[[keep_clear]]\nwhat = "dock"\nname = "the dock"\nlength_ft = 9\n')
    assert "keep_clear" in told and 'Did you mean "name"' not in told and "[keep_clear] takes: what" in told


def test_more_stretches_than_anybody_plants_by_are_refused():
    """Made up: a shore cut every five feet. The forecasts take their time for each."""
    many = GOOD + "".join(f'[[shore]]\nname = "s{n}"\nlength_ft = 5\nslope = 4\n' for n in range(59))
    assert len(parse_pond(many).stretches) == 60
    (told,) = problems(many + '[[shore]]\nname = "one more"\nlength_ft = 5\nslope = 4\n')
    assert "61 stretches; at most 60" in told and "Join neighbors" in told


def test_every_mistake_at_once_with_its_remedy():
    text = """
name = "x"
state = "Missisippi"
hardiness_zone = "8q"
[water]
area_acres = "2.8"
max_depth_ft = 14
clairty_in = 20
[[shore]]
name = "a"
length_ft = -4
slope = 4
sun = "ful"
[goals]
tolerance = "litle"
purposes = ["fish covr"]
"""
    found = problems(text)
    for key, hint in (
        ("state", "Mississippi"),
        ("hardiness_zone", "8"),
        ("water.area_acres", "quotes off"),
        ("water.clairty_in", "clarity_in"),
        ("shore[1].length_ft", "5 to"),
        ("shore[1].sun", '"full"'),
        ("goals.tolerance", '"little"'),
        ("goals.purposes", '"fish cover"'),
    ):
        line = [p for p in found if f": {key}:" in p]
        assert line and hint in line[0], (key, found)
    assert len(found) == 8


@pytest.mark.parametrize(
    "change, said",
    [
        (('hardiness_zone = "8a"', ""), "either hardiness_zone or coldest_night_f"),
        (('hardiness_zone = "8a"', 'hardiness_zone = "8a"\ncoldest_night_f = 12'), "only one"),
        (("max_depth_ft = 14", "max_depth_ft = 14\nusual_drop_ft = 20"), "fall dry"),
        (("max_depth_ft = 14", "max_depth_ft = 14\nclarity_in = 300"), "deeper than the pond"),
        (("length_ft = 420", "length_ft = 90000"), "Check feet and acres"),
        (('state = "MS"', 'state = "MS"\nlast_frost = "03-28"'), "go together"),
        (('state = "MS"', 'state = "MS"\nlast_frost = "11-28"\nfirst_frost = "03-01"'), "comes before"),
        (
            ('state = "MS"', 'state = "MS"\nlast_frost = "02-30"\nfirst_frost = "11-01"'),
            'month-day such as "03-28"',
        ),
        (("slope = 4", 'slope = 4\n[[keep_clear]]\nwhat = "riser"\nstretch = "north bnk"'), '"north bank"'),
        (('name = "north bank"', "name = 3"), "text in quotes"),
        (("[water]", "water = 3\n[watr]"), "wrong shape"),
    ],
)
def test_mistakes_between_values(change, said):
    assert any(said in p for p in problems(GOOD.replace(*change))), problems(GOOD.replace(*change))


def test_what_is_wrong_side_by_side_is_told_with_what_is_wrong_by_itself():
    """A missing zone beside a wrong state; but a wrong coldest night is no missing zone, and a wrong frost no lack of one."""
    wrong = GOOD.replace('"MS"', '"ZZ"')
    for put, keys in (
        ("", {"state", "hardiness_zone"}),
        ("coldest_night_f = 999", {"state", "coldest_night_f"}),
        ('hardiness_zone = "8a"\nlast_frost = "03-28"\nfirst_frost = "yesterday"', {"state", "first_frost"}),
        ('hardiness_zone = "8a"\nlast_frost = "03-28"', {"state", "last_frost"}),
    ):
        found = problems(wrong.replace('hardiness_zone = "8a"', put))
        assert {p.split(": ")[1] for p in found} == keys, put


def test_broken_toml_names_the_line():
    assert "line" in problems(GOOD + "\nslope = = 3")[0]


def test_the_zone_can_be_given_by_its_coldest_night():
    assert parse_pond(GOOD.replace('hardiness_zone = "8a"', "coldest_night_f = 12")).hardiness_zone == "8a"


@pytest.mark.parametrize("name", DEMOS)
def test_demo_ponds_read_and_say_that_they_are_invented(name):
    assert read_pond(name).invented


def test_a_missing_file_and_one_that_is_no_text(tmp_path):
    with pytest.raises(PlantpickError, match="no such file"):
        read_pond(str(tmp_path / "none.toml"))
    binary = tmp_path / "b.toml"
    binary.write_bytes(b"\xff\xfe\x00\x01" * 9)
    with pytest.raises(PlantpickError, match="UTF-8"):
        read_pond(str(binary))


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text):
    try:
        parse_pond(text)
    except PlantpickError as fault:
        assert fault.problems


@settings(max_examples=100, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=12),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(
                    [
                        "name",
                        "state",
                        "water",
                        "shore",
                        "goals",
                        "slope",
                        "area_acres",
                        "residents",
                        "keep_clear",
                        "tolerance",
                        "purposes",
                        "x",
                    ]
                ),
                inner,
                max_size=5,
            )
        ),
        max_leaves=12,
    )
)
def test_no_value_breaks_the_reader(value):
    from plantpick.files import pond_file

    if isinstance(value, dict):
        found = []
        clean = pond_file._validated(value, found)
        assert found or clean


@pytest.mark.parametrize("key", ["a", '"a"', "'a' "])
def test_a_key_of_many_parts_is_refused_and_not_worked_through(key, tmp_path):
    import time

    from plantpick.files.pond_edit import PondDocument

    long = ".".join([key] * 40_000)  # the parser alone takes twenty seconds of a processor on it
    before = time.process_time()
    for text in (f"{long} = 1\n", f"[{long}]\n"):
        assert "hundred parts" in problems(text)[0]
    (tmp_path / "pond.toml").write_text(f"{long} = 1\n")
    with pytest.raises(PlantpickError, match="hundred parts"):
        PondDocument.open(tmp_path / "pond.toml")
    problems("a" * 900_000)
    assert time.process_time() - before < 5
    assert read_pond("demo").with_tolerance(2)  # numbers with points are no such key
    assert parse_pond(GOOD + "\n# " + "1.5, " * 300)


def test_an_unknown_key_says_what_its_section_takes(tmp_path):
    """Made up: an owner's own words for the animals at a pond."""
    file = tmp_path / "pond.toml"
    file.write_text(
        'name = "x"\n[water]\nclarity = 20\n[residents]\ncattle = true\ncarp = true\n', encoding="utf-8"
    )
    with pytest.raises(PlantpickError) as caught:
        read_pond(str(file))
    told = {p.where.split(": ")[-1]: p.remedy for p in caught.value.problems}
    for word in ("residents.cattle", "residents.carp"):
        assert "livestock" in told[word] and "common_carp" in told[word] and "Did you mean" not in told[word]
    assert 'Did you mean "clarity_in"?' in told["water.clarity"] and "max_depth_ft" in told["water.clarity"]
