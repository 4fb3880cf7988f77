"""The log: read forgivingly, refused clearly, all at once, and never written to. All rows here are made
up."""

from __future__ import annotations

from datetime import date

import pytest
from conftest import a_pond

from plantpick.dates import read_dates
from plantpick.errors import PlantpickError, Problem
from plantpick.files.log import parse_log, read_log
from plantpick.files.log_cells import COLUMNS

KNOWN = {
    "pickerelweed": "pontederia-cordata",
    "pontederia cordata": "pontederia-cordata",
    "cattail": "typha-latifolia",
}


def find(name: str) -> str:
    if name.lower() == "blue flag":
        raise PlantpickError(
            "several-plants", Problem("", '"blue flag" is the name of several plants.', "Ask for one.")
        )
    try:
        return KNOWN[name.lower()]
    except KeyError:
        raise PlantpickError(
            "no-such-plant", Problem("", f'no plant is called "{name}".', "Nearest names: none.")
        ) from None


def parse(text: str, **options):
    return parse_log(
        text, options.pop("pond", a_pond()), find, options.pop("today", date(2028, 1, 1)), **options
    )


def problems(text: str, **options) -> list[str]:
    with pytest.raises(PlantpickError) as fault:
        parse(text, **options)
    assert fault.value.code == "log"
    return [str(p) for p in fault.value.problems]


@pytest.mark.parametrize(
    "text",
    [
        "2027-06-30",
        "2027/6/30",
        "June 30, 2027",
        "Jun 30 2027",
        "30 June 2027",
        "30-Jun-2027",
        "6/30/2027",
        "06/30/27",
        "June 30th, 2027",
        "2027-06-30T09:30",
    ],
)
def test_dates_in_several_forms(text):
    assert read_dates([text]) == ([date(2027, 6, 30)], [])


def test_a_date_that_can_be_two_is_refused_unless_the_column_settles_it():
    days, wrong = read_dates(["06/07/2027", "08/09/2027"])
    assert days == [None, None] and len(wrong) == 2
    assert read_dates(["06/07/2027", "06/28/2027"])[0] == [date(2027, 6, 7), date(2027, 6, 28)]
    assert read_dates(["06/07/2027", "28/06/2027"])[0] == [date(2027, 7, 6), date(2027, 6, 28)]
    days, wrong = read_dates(["06/07/2027", "28/06/2027", "06/28/2027"])
    assert days[0] is None and "disagree" in wrong[0][1]
    assert read_dates(["06/06/2027"])[0] == [date(2027, 6, 6)]


@pytest.mark.parametrize("text", ["2027-02-30", "13/13/2027", "soon", "", "1/2", "31 June 2027"])
def test_what_is_no_date_is_refused(text):
    days, wrong = read_dates([text])
    assert days == [None] and len(wrong) == 1


@pytest.mark.parametrize(
    "heading, cell",
    [
        ("length_ft", "12"),
        ("Length (ft)", "12"),
        ("length in feet", "12"),
        ("length", "12 ft"),
        ("length_in", "144"),
        ("Length [m]", "3.6576"),
        ("LENGTH", "12'0\""),
        ("patch length yd", "4"),
        ("length_in", "12 ft"),
    ],
)
def test_lengths_in_any_unit_are_feet_inside(heading, cell):
    quoted = '"' + cell.replace('"', '""') + '"'
    log = parse(f"Date;Plant;Stretch;{heading}\n2027-06-30;pickerelweed;NORTH;{quoted}\n")
    assert log.entries[0].length_ft == pytest.approx(12.0, abs=1e-3) and log.entries[0].stretch == "north"


def test_every_measure_and_reading():
    log = parse(
        "date,plant,stretch,area (acres),drop_in,secchi_ft,share %,groups,note\n"
        "2027-06-30,pickerelweed,north,0.01,18,3,,,\n2027-08-30,Pontederia cordata,north,,,,25,,late\n"
    )
    first, second = log.entries
    assert first.area_ft2 == pytest.approx(435.6) and first.drop_ft == 1.5 and first.clarity_in == 36.0
    assert second.share_percent == 25.0 and second.plant_id == "pontederia-cordata" and second.note == "late"


def test_a_missing_unit_is_assumed_and_told():
    log = parse("date,plant,stretch,length\n2027-06-30,pickerelweed,north,12\n")
    assert log.entries[0].length_ft == 12.0 and any("feet were assumed" in a for a in log.assumed)
    assert problems("date,plant,stretch,share\n2027-06-30,pickerelweed,north,0.2\n")[0].endswith(
        "write 0.4 %."
    )


def test_remarks_blank_lines_and_mark_of_utf8(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(
        "\ufeff# a remark, with commas\n\ndate,plant,stretch,area_ft2\n\n2027-06-30,pickerelweed,north,9\n".encode()
    )
    entry = read_log(path, a_pond(), find).entries[0]
    assert entry.area_ft2 == 9.0 and entry.row == 5


def test_the_log_is_never_written(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text("date,plant,stretch,area_ft2\n06/30/2027,pickerelweed,north,9\n")
    path.chmod(0o444)
    before = path.read_bytes(), path.stat().st_mtime_ns
    read_log(path, a_pond(), find)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_all_mistakes_at_once_with_row_and_column():
    found = problems(
        "date,plant,stretch,event,length_ft,width_ft,area_ft2,drop_ft,secchi_in\n"
        "06/07/2027,pickerelweed,noth,,,,9,,\n"  # 2: ambiguous date, stretch unknown
        "2027-06-30,pickrelweed,north,,,,12,,\n"  # 3: plant unknown
        "2027-06-30,pickerelweed,north,grew,,,12,,\n"  # 4: event unknown
        "2027-07-01,pickerelweed,north,,,4,,,\n"  # 5: width alone
        "2027-07-02,pickerelweed,north,,-3,,,,\n"  # 6: negative
        "2027-07-03,pickerelweed,north,,,,wide,,\n"  # 7: no number
        "2027-07-04,pickerelweed,north,,,,,,\n"  # 8: nothing measured
        "2027-07-05,,,,,,,99,999\n"  # 9: drop and Secchi deeper than the pond
        "2029-07-05,cattail,south,,,,5,,\n"  # 10: after today
        "2027-07-06,blue flag,south,,,,5,,\n"  # 11: several plants
        "2027-07-07,,,,,,7,,\n"  # 12: no plant
        "2027-07-08,cattail,south,,,,999999,,\n"  # 13: larger than the pond
        "2027-07-09,cattail,south,,,,0,,\n",  # 14: size of 0
        where="log.csv",
    )
    places = [p.split(": ")[0] for p in found]
    assert places == [
        "log.csv:2:date",
        "log.csv:2:stretch",
        "log.csv:3:plant",
        "log.csv:4:event",
        "log.csv:5:length_ft",
        "log.csv:6:length_ft",
        "log.csv:7:area_ft2",
        "log.csv:8:length_ft",
        "log.csv:9:secchi_in",
        "log.csv:9:drop_ft",
        "log.csv:10:date",
        "log.csv:11:plant",
        "log.csv:12:plant",
        "log.csv:13:area_ft2",
        "log.csv:14:area_ft2",
    ]
    assert 'Did you mean "north"?' in found[1] and "negative" in found[5]


def test_an_unknown_name_is_told_once_with_all_its_rows():
    found = problems(
        "date,plant,stretch,area_ft2\n2027-06-30,x,north,9\n2027-07-30,x,north,9\n2027-08-30,X,north,9\n"
    )
    assert len(found) == 1 and "also in rows 3, 4" in found[0]


def test_a_name_with_several_meanings_is_settled_only_for_what_was_planted():
    rows = (
        "date,plant,stretch,event,area_ft2\n2027-04-01,blue flag,north,{},3\n2027-07-30,blue flag,north,,9\n"
    )
    log = parse(rows.format("planted"), settle=lambda name: "iris-virginica")
    assert {e.plant_id for e in log.entries} == {
        "iris-virginica"
    } and "iris-virginica was taken" in log.assumed[0]
    assert "several plants" in problems(rows.format("measured"), settle=lambda name: "iris-virginica")[0]


def test_duplicates_and_readings_out_of_order():
    found = problems(
        "date,plant,stretch,area_ft2\n2027-06-30,pickerelweed,north,9\n2027-06-30,pickerelweed,north,11\n"
        "2027-05-30,pickerelweed,north,8\n2026-05-30,cattail,north,8\n"
    )
    assert len(found) == 2 and "row 2" in found[0] and "in order" in found[1] and ":4:" in found[1]


def test_a_faulty_row_still_counts_for_the_order():
    found = problems(
        "date,plant,stretch,area_ft2\n2027-07-02,pickerelweed,north,-9\n2027-06-02,pickerelweed,north,8\n"
    )
    assert len(found) == 2 and "negative" in found[0] and "comes after 2027-07-02 in row 2" in found[1]


def test_a_decimal_comma_is_named():
    found = problems('date,plant,stretch,length_ft\n2027-07-02,pickerelweed,north,"6,5"\n')
    assert len(found) == 1 and "comma for its decimals" in found[0]
    log = parse('date,plant,stretch,area_ft2\n2027-07-02,pickerelweed,north,"1,250"\n')
    assert log.entries[0].area_ft2 == 1250.0


def test_headings_that_are_not_known_or_there_twice():
    assert (
        'Did you mean "length"?'
        in problems("date,plant,stretch,lenght_ft\n2027-06-30,pickerelweed,north,9\n")[0]
    )
    assert (
        "twice" in problems("date,plant,stretch,area_ft2,area_acres\n2027-06-30,pickerelweed,north,9,\n")[0]
    )
    assert "no date column" in problems("plant,stretch,area_ft2\npickerelweed,north,9\n")[0]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_an_empty_log_is_refused(text):
    assert "is empty" in problems(text)[0]


def test_unreadable_files(tmp_path):
    for name, content in (("none.csv", None), ("latin.csv", b"date,plant\n2027-06-30,caf\xe9\n")):
        path = tmp_path / name
        if content:
            path.write_bytes(content)
        with pytest.raises(PlantpickError):
            read_log(path, a_pond(), find)


def test_every_heading_is_its_own():
    """No two columns answer to the same heading."""
    every = [name for word, (others, _) in COLUMNS.items() for name in (word, *others)]
    assert len(every) == len(set(every))
