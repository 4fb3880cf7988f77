"""watch, oxygen and calendar from the command line."""

from __future__ import annotations

import csv
import io
import json

import pytest

from plantpick.cli.app import run
from plantpick.files.catalogue import data_folder


@pytest.fixture
def told(capsys):
    def call(*arguments: str):
        status = run(list(arguments))
        out, err = capsys.readouterr()
        return status, out, err

    return call


DEMO = ("demo", "demo", "--today", "2027-09-15")


def test_watch_tells_verdicts_dates_and_cautions(told):
    status, out, _ = told("watch", *DEMO)
    assert status == 0
    for words in (
        "an invented pond",
        "faster than forecast",
        "on track",
        "too early to say",
        "half your limit",
        "trim the outer",
        "plants you didn't set",
        "take out now",
        "light and level",
        "hardly count",
        "measured",
    ):
        assert words in " ".join(out.lower().split()), words


def test_the_demo_log_says_that_it_is_invented():
    assert (
        "invented" in (data_folder() / "demo" / "log.csv").read_text(encoding="utf-8").splitlines()[0].lower()
    )


def test_watch_as_json_and_csv(told):
    status, out, _ = told("watch", *DEMO, "--format", "json")
    answer = json.loads(out)
    assert status == 0 and answer["today"] == "2027-09-15"
    for stand in answer["stands"]:
        assert stand["rate"]["low"] <= stand["rate"]["middle"] <= stand["rate"]["high"]
        assert (
            stand["verdict"]
            and stand["action"] in ("leave", "trim", "take out")
            and stand["figure"]["points"]
        )
    assert {v["verdict"] for v in answer["volunteers"]} <= {"keep", "watch", "take out now"}
    _, out, _ = told("watch", *DEMO, "-f", "csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [r["plant_id"] for r in rows] == [s["plant_id"] for s in answer["stands"]] and rows[0][
        "rate_middle"
    ]


def test_a_faulty_log_is_refused_whole(told, tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(
        "date,plant,stretch,area_ft2\n06/07/2027,pontederia-cordata,dam,9\n2027-08-01,pontederia-cordata,dan,-9\n"
    )
    status, out, err = told("watch", "demo", str(path), "--today", "2027-09-15")
    assert status == 3 and not out
    assert (
        "3 things to put right" in err
        and "log.csv:2:date" in err
        and "log.csv:3:stretch" in err
        and "log.csv:3:area_ft2" in err
    )
    assert told("watch", "demo", str(tmp_path / "nothing.csv"))[0] == 3
    assert told("watch", "demo", "demo", "--today", "yesterday")[0] == 2


def test_oxygen(told):
    status, out, _ = told("oxygen", "--water-f", "68")
    assert status == 0 and "9.09 mg/L" in out  # EN 25814: 9.09 at 20 C
    status, out, _ = told(
        "oxygen",
        "demo",
        "--water-f",
        "84",
        "--plant",
        "typha-latifolia",
        "--area-sqft",
        "9000",
        "--sunset",
        "19:50",
        "--reading",
        "20:00=8.6",
        "--reading",
        "23:00=7.1",
        "-f",
        "json",
    )
    answer = json.loads(out)
    assert status == 0 and answer["dawn_mg_l"] == 3.6 and answer["night"] == "aerate"
    assert answer["dawn_mg_l_log_linear"] == 4.54  # 7.1 (7.1 / 8.6)^(7/3), by hand
    assert 0 < answer["share_at_once"] <= 0.25 and answer["share_never_over"] <= 0.334
    assert any("label" in c and "law" in c for c in answer["cautions"])
    _, out, _ = told("oxygen", "demo", "--water-f", "84", "--plant", "typha-latifolia", "--area-sqft", "9000")
    assert "SRAC-361" in out and "bottom diffusers" in out
    status, _, err = told("oxygen", "--water-f", "300", "--plant", "typha-latifolia")
    assert status == 2 and "--water-f" in err and "--plant" in err and "--area-sqft" in err
    status, _, err = told(
        "oxygen", "--water-f", "300", "--reading", "nine", "--dawn", "noon", "--sunset", "dusk"
    )
    assert status == 2 and all(
        f"{option}: " in err for option in ("--water-f", "--reading", "--dawn", "--sunset")
    )


def test_daylight_readings_get_no_answer(told):
    """Oxygen that rises in the afternoon sun (made up) once came out as 11.0 mg/L at dawn and "enough"."""
    sunny = ("oxygen", "--water-f", "84", "--reading", "12:00=9.0", "--reading", "15:00=11")
    status, out, err = told(*sunny)
    assert status == 2 and "enough" not in out and "--sunset" in err
    status, out, err = told(*sunny, "--sunset", "19:50")
    words = " ".join(err.split())
    assert (
        status == 2
        and "enough" not in out
        and "before sunset (7:50 p.m.)" in words
        and "oxygen rose" in words
    )


def test_both_lines_are_shown_where_they_part(told):
    """Made-up readings: straight 3.6 and log-linear 4.5 at dawn; 5.6 and 5.9 are near enough to be one."""
    night = ("oxygen", "--water-f", "84", "--sunset", "19:50", "--reading")
    _, out, _ = told(*night, "20:00=8.6", "--reading", "23:00=7.1")
    words = " ".join(out.split())
    assert "3.6 mg/L at 6 a.m. by a straight line" in words and "gives 4.5" in words and "Madenjian" in words
    _, out, _ = told(*night, "20:00=8.6", "--reading", "23:00=7.7")
    assert "5.6 mg/L" in out and "log-linear" not in out


def test_calendar(told):
    status, out, _ = told("calendar", *DEMO)
    assert status == 0 and "September 2027" in out and "October 2027" in out and "November 2027" not in out
    assert "act: " in out
    status, out, _ = told("calendar", "demo", "--today", "2027-04-01", "--months", "12", "-f", "csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert len({r["month"] for r in rows}) == 12 and {"order", "plant", "oxygen"} <= {r["kind"] for r in rows}
