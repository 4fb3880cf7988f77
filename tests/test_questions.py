"""plantpick pond: answers in plain words, wrong ones, leaving and going on, comments kept, answers from a file."""

import io
import math
import os
import random
import signal
import subprocess
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plantpick import vocabulary
from plantpick.cli import app
from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files.pond_edit import PondDocument
from plantpick.files.pond_file import look_over, parse_pond, read_pond
from plantpick.files.pond_schema import pond_schema
from plantpick.interview import conversation, plain_words
from plantpick.interview.answers import UNKNOWN_SLOPE, USUAL_ZONE, ten_feet_out
from plantpick.interview.conversation import (
    Asked,
    Refused,
    answer,
    applied,
    known,
    open_questions,
    unknown_questions,
    usual_answer,
)
from plantpick.interview.questions import BY_WORD, LISTS, QUESTIONS
from plantpick.ranking import rank

SCRIPT = [
    "Millrace Pond",
    "Mississippi",
    "12",
    "March 28 to November 5",
    "400 x 250 ft",
    "14 ft",
    "28",
    "1 ft 6 in",
    "7.1",
    "fresh",
    "north bank",
    "420 ft",
    "30 in",
    "full",
    "no",
    "red clay",
    "the dam",
    "350",
    "3:1",
    "",
    "",
    "hard packed clay",
    "no more",
    "drain riser",
    "the dam",
    "40",
    "none",
    "pickerelweed",
    "north bank",
    "60 x 8 ft",
    "no more",
    "1 and 2",
    "little",
    "20 %",
    "3 piles",
    "deer, turtles",
    "no",
    "from 150 to 190 ft",
]
HAND = """\
# my own pond, by hand
name = "Hand Pond" # as granny called it
state = "WI"

# the water, measured in 2024
[water]
area_acres = 1.5   # from the map
# todo: sound it

# here the shore begins
[[shore]]
name = "east"   # morning sun
length_ft = 400

# what for
[goals]
tolerance = "some"
"""


def talk(monkeypatch, capsys, path, lines, *options):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    status = app.run(["pond", str(path), *options])
    shown = capsys.readouterr()
    assert "Traceback" not in shown.err and "fault of its own" not in shown.err
    return status, " ".join(shown.out.split()), shown.err


def wrong_in(told):
    return look_over(told)[1]


# ---- what people write


@pytest.mark.parametrize(
    "text, feet",
    [
        ("3", 3),
        ("3 ft", 3),
        ("30 in", 2.5),
        ("2 ft 6 in", 2.5),
        ("2'6\"", 2.5),
        ("2½ feet", 2.5),
        ("about 2 to 3 ft", 2.5),
        ("1,200", 1200),
        ("100 yards", 300),
        ("30.48 cm", 1),
        ("1 m", 3.28084),
        ("1 1/2 ft", 1.5),
        ("none", 0),
    ],
)
def test_lengths(text, feet):
    """Inch 2.54 cm, yard 3 ft: the international definitions."""
    assert plain_words.length(text).value == pytest.approx(feet, rel=1e-5)


@pytest.mark.parametrize(
    "text, acres",
    [
        ("2.8", 2.8),
        ("2 1/2 acres", 2.5),
        ("43,560 sq ft", 1),
        ("1 ha", 2.47105),
        ("235.5 x 235.5 ft", 1.0),
        ("2 to 3 acres", 2.5),
    ],
)
def test_areas(text, acres):
    """43,560 square feet to the acre and 2.47105 acres to the hectare; a circle 235.5 ft across holds an acre."""
    assert plain_words.area(text).value == pytest.approx(acres, rel=1e-3)


def slope(text):
    """The slope that an owner's answer gives."""
    return ten_feet_out(text, {}, {})["slope"]


def test_the_slope_from_the_depth_ten_feet_out():
    for depth_ft in (0.5, 1.0, 2.5, 4.0, 10.0):
        assert slope(f"{depth_ft} ft") == pytest.approx(10.0 / depth_ft, abs=0.05)
        assert slope(f"{depth_ft * 12} in") == slope(f"{depth_ft} ft")
    assert slope("3:1") == slope("3 to 1") == 3.0
    for text in ("0", "1:3", "flat", ""):
        with pytest.raises(ValueError):
            slope(text)


@pytest.mark.parametrize(
    "text",
    [
        "March 28 to November 5",
        "3/28 - 11/5",
        "3/28-11/5",
        "03-28 to 11-05",
        "28 March, 5 November",
        "Mar 28th until Nov 5th",
    ],
)
def test_frost_days(text):
    assert plain_words.frosts(text) == ("03-28", "11-05")


def test_rough_frost_days_and_none():
    assert plain_words.frosts("late March to early November") == ("03-25", "11-05")
    assert plain_words.frosts("mid April to the end of September") == ("04-15", "09-28")
    assert plain_words.frosts("never") is None
    for text in ("April", "Feb 30 to Nov 3", "spring to fall", "13/13 - 14/14"):
        with pytest.raises(ValueError):
            plain_words.frosts(text)


@pytest.mark.parametrize(
    "text, zone",
    [
        ("12", "8a"),
        ("12 F", "8a"),
        ("zone 8b", "8b"),
        ("8B", "8b"),
        ("USDA zone 5a", "5a"),
        ("minus 12", "5b"),
        ("12 below", "5b"),
        ("-12 degrees", "5b"),
        ("-20 C", "6b"),
        ("zone 8", "8a"),
    ],
)
def test_the_coldest_night_gives_the_zone(text, zone):
    """USDA Plant Hardiness Zone Map 2023: 8a is 10 to 15 F, 5b -15 to -10 F, 6b -5 to 0 F (-20 C is -4 F)."""
    edits = answer({}, Asked(BY_WORD["winter"]), text, wrong_in)
    lines = "".join(
        f"{e.key} = {e.value if isinstance(e.value, (int, float)) else repr(e.value)}\n" for e in edits
    )
    rest = '[water]\narea_acres = 2\nmax_depth_ft = 9\n[[shore]]\nname = "a"\nlength_ft = 400\nslope = 3\n'
    assert parse_pond(f'name = "x"\nstate = "MS"\n{lines}{rest}').hardiness_zone == zone


# ---- the questions themselves


def test_every_question_says_why_and_fills_keys_of_the_pond_file():
    fields = pond_schema().fields
    for question in QUESTIONS:
        assert len(question.why) > 15 and question.ask.strip()[-1] in "?.", question.word
        keys = fields[question.section] if question.section else None
        allowed = getattr(keys, "inner", keys).schema.fields if keys else fields
        assert set(question.keys) <= set(allowed), question.word
        assert question.needed or usual_answer(
            {"shore": [{"name": "a"}]}, Asked(question, 0 if question.section in LISTS else None)
        )
    assert len({q.part for q in QUESTIONS}) <= 19


def test_a_guess_of_the_zone_for_every_state():
    assert set(USUAL_ZONE) == set(vocabulary.STATES) and set(USUAL_ZONE.values()) <= set(vocabulary.ZONES)


@pytest.mark.parametrize(
    "word, text, said",
    [
        ("state", "Missisippi", 'Did you mean "Mississippi"'),
        ("winter", "200", "-60 to 75"),
        ("winter", "zone 99", '"1a" to "13b"'),
        ("area", "0", "0.02 to 2000"),
        ("area", "huge", "400 x 250 ft"),
        ("deepest", "900 ft", "1 to 200"),
        ("clarity", "800 in", "2 to 400"),
        ("drop", "2,5", "use a point"),
        ("ph", "acid", "as in 7.1"),
        ("ph", "14", "3 to 11"),
        ("salt", "brackish", "parts per thousand"),
        ("spreading", "litle", '"little"'),
        ("purposes", "fish covr", '"fish cover"'),
        ("purposes", "9", "1 to 5"),
        ("residents", "gese", '"geese"'),
        ("frosts", "11/5 - 3/28", "comes before"),
        ("area", "9" * 400, "longer than"),
    ],
)
def test_wrong_answers_are_told_what_is_right(word, text, said):
    with pytest.raises(Refused) as caught:
        answer({}, Asked(BY_WORD[word]), text, wrong_in)
    assert said in str(caught.value), str(caught.value)


def test_answers_are_checked_against_one_another():
    told = {
        "water": {"area_acres": 1.0, "max_depth_ft": 6.0},
        "shore": [{"name": "dam", "length_ft": 400.0}, {"name": "east"}],
    }
    for asked, text, said in (
        (Asked(BY_WORD["drop"]), "6 ft", "fall dry"),
        (Asked(BY_WORD["clarity"]), "90", "deeper than"),
        (Asked(BY_WORD["stretch"], 2), "dam", "two stretches"),
        (Asked(BY_WORD["length"], 1), "9 miles", "feet and acres"),
        (Asked(BY_WORD["where"], 0), "west", "no stretch"),
    ):
        with pytest.raises(Refused) as caught:
            answer({**told, "keep_clear": [{"what": "dock"}]}, asked, text, wrong_in)
        assert said in str(caught.value).lower() or said in str(caught.value)


# ---- a sitting


def test_a_whole_sitting_gives_a_pond(tmp_path, monkeypatch, capsys):
    status, out, _ = talk(monkeypatch, capsys, tmp_path / "my.toml", SCRIPT)
    pond = read_pond(str(tmp_path / "my.toml"))
    assert status == 0 and "Next: plantpick rank" in out and "Still to answer" not in out
    assert (pond.name, pond.state, pond.hardiness_zone, pond.last_frost) == (
        "Millrace Pond",
        "MS",
        "8a",
        (3, 28),
    )
    assert pond.area_acres == pytest.approx(math.pi / 4 * 400 * 250 / 43_560, abs=0.006)  # an oval
    assert [(s.name, s.length_ft, s.slope, s.dam, s.soil) for s in pond.stretches] == [
        ("north bank", 420, 4, False, "clay"),
        ("the dam", 350, 3, True, "packed clay"),
    ]
    assert (
        pond.usual_drop_ft == 1.5
        and pond.residents == {"deer", "turtles"}
        and pond.keep_clear[0].kind == "riser"
    )
    assert (pond.keep_clear[0].from_ft, pond.keep_clear[0].to_ft) == (150, 190)
    (stand,) = pond.growing
    assert (stand.plant_id, stand.stretch) == ("pontederia-cordata", "north bank")
    assert (stand.length_ft, stand.width_ft) == (60, 8)
    assert pond.cover_target_percent == 20
    # three piles of 20 x 20 ft on an oval of 400 x 250 ft, 78,540 sq ft: 1.5 %
    assert pond.brush_percent == pytest.approx(100 * 1200 / 78_540, abs=0.05)
    assert pond.stretches[1].clear_ft == 40 and pond.purposes == ("fish cover", "bank hold")
    assert [a.question.word for a in unknown_questions(PondDocument.open(tmp_path / "my.toml").told)] == [
        "outline"
    ]


AT_ENDS = (
    0,
    11,
    SCRIPT.index("no more") + 1,
    len(SCRIPT) - 3,
)  # before all, in a list, after one, near the end


@pytest.mark.parametrize(
    "cut",
    [pytest.param(cut, marks=[] if cut in AT_ENDS else pytest.mark.slow) for cut in range(len(SCRIPT) + 1)],
)
def test_left_at_any_question_and_taken_up_again_it_is_the_same_file(cut, tmp_path, monkeypatch, capsys):
    path = tmp_path / "whole.toml"
    talk(monkeypatch, capsys, path, SCRIPT)
    whole = path.read_bytes()
    for end in (["later"], []):
        path.unlink()
        status, out, _ = talk(monkeypatch, capsys, path, SCRIPT[:cut] + end)
        if cut == 0:
            assert not path.exists() and "Nothing was written" in out
        elif cut < len(SCRIPT):
            assert "Go on any time: plantpick pond" in out
        assert status in (0, ExitStatus.BAD_INPUT)
        status, out, _ = talk(monkeypatch, capsys, path, _with_ends(SCRIPT, cut))
        assert status == 0 and path.read_bytes() == whole, (cut, path.read_text())


def _with_ends(script, cut):
    """The rest of the script; that a list is complete is asked again if nothing after it was answered."""
    again = {n + 1: ["no more"] for n, line in enumerate(script) if line == "no more"}
    return again.get(cut, []) + (["none"] if script[cut - 1] == "none" and cut else []) + script[cut:]


def test_what_is_missing_stands_in_the_file_and_the_reader_names_it(tmp_path, monkeypatch, capsys):
    path = tmp_path / "p.toml"
    status, out, _ = talk(monkeypatch, capsys, path, SCRIPT[:4])
    assert status == ExitStatus.BAD_INPUT  # the end of input came before what no answer can do without
    first = path.read_text().splitlines()[0]
    assert first.startswith("# Still to answer: water surface, greatest depth") and "plantpick pond" in first
    with pytest.raises(PlantpickError) as caught:
        read_pond(str(path))
    assert "plantpick pond" in str(caught.value)
    _, out, _ = talk(monkeypatch, capsys, path, ["later"])
    assert (
        "state: MS" in out
        and "coldest winter night: 12 F" in out
        and "5 of 19" in out
        and "1 of 19" not in out
    )


def test_nobody_knows_anything(tmp_path, monkeypatch, capsys, plants):
    """Area, state and a stretch are needed; for all the rest "don't know" gives a ranking that says so."""
    dk = "don't know"
    lines = [
        "",
        "GA",
        dk,
        dk,
        dk,
        "2 acres",
        dk,
        dk,
        dk,
        dk,
        dk,
        "all round",
        dk,
        dk,
        dk,
        dk,
        dk,
        "",
        "dock",
        dk,
        "",
        "",
        dk,
        dk,
        dk,
    ]
    path = tmp_path / "p.toml"
    status, out, _ = talk(monkeypatch, capsys, path, lines[:4] + ["2 acres"] + lines[6:])
    assert status == 0 and "Next: plantpick rank" in out, out
    pond = read_pond(str(path))
    assert (
        pond.clarity_in is None and pond.ph is None and pond.salinity_ppt is None and pond.last_frost is None
    )
    assert (
        pond.stretches[0].slope == UNKNOWN_SLOPE
        and pond.stretches[0].dam
        and pond.hardiness_zone == USUAL_ZONE["GA"]
    )
    answer_ = rank.rank(pond, plants, draws=64)
    said = " ".join(answer_.assumptions)
    for words_ in (
        "hardiness zone is not known",
        "greatest depth is not known",
        "no Secchi reading",
        "You gave no pH and no salinity",
        "no frost dates",
        "no usual drop",
        "ground as good as loam",
        "5:1",
        "Where the dock is",
        "is not known: none were counted",
        "No purposes",
        "No tolerance",
    ):
        assert words_ in said, words_
    assert answer_.plants


@pytest.mark.parametrize(
    "word",
    [
        "winter",
        "frosts",
        "deepest",
        "clarity",
        "drop",
        "ph",
        "salt",
        "length",
        "ten-feet-out",
        "sun",
        "dam",
        "soil",
        "purposes",
        "spreading",
        "residents",
    ],
)
def test_each_unknown_is_noted_and_can_be_asked_again(word, tmp_path, monkeypatch, capsys):
    path = tmp_path / "p.toml"
    talk(monkeypatch, capsys, path, SCRIPT)
    before = path.read_text()
    _, out, _ = talk(monkeypatch, capsys, path, ["dont know"] * 2, "--again", word)
    assert f"--again {word}" in out
    told = PondDocument.open(path).told
    assert {a.question.word for a in unknown_questions(told)} == {word, "outline"}
    assert read_pond(str(path))
    values = {
        "winter": ["12"],
        "frosts": ["3/28 - 11/5"],
        "deepest": ["14"],
        "clarity": ["28"],
        "drop": ["18 in"],
        "ph": ["7.1"],
        "salt": ["fresh"],
        "length": ["420", "350"],
        "ten-feet-out": ["4:1", "3:1"],
        "sun": ["full", "full"],
        "dam": ["n", "y"],
        "soil": ["clay", "packed clay"],
        "purposes": ["fish cover, bank hold"],
        "spreading": ["little"],
        "residents": ["deer, turtles"],
    }
    talk(monkeypatch, capsys, path, values[word], "--again", word)
    assert PondDocument.open(path).told == PondDocument(before, path, None).told


def test_the_needed_ones_can_be_passed_over(tmp_path, monkeypatch, capsys):
    path = tmp_path / "p.toml"
    status, out, _ = talk(monkeypatch, capsys, path, ["x", "MS", "12", "never", "no idea", "10"])
    assert "stays open" in out and "Pace the longest way" in out and "- water surface" in out
    assert read_text(path).count("max_depth_ft = 10") == 1


def read_text(path):
    return path.read_text(encoding="utf-8")


def test_back_takes_the_answer_back(tmp_path, monkeypatch, capsys):
    path, other = tmp_path / "p.toml", tmp_path / "q.toml"
    wrong_turns = []
    for line in SCRIPT:
        wrong_turns += [line, "back", line]
    talk(monkeypatch, capsys, other, SCRIPT)
    status, _, _ = talk(monkeypatch, capsys, path, wrong_turns[:-2])
    assert status == 0 and path.read_bytes() == other.read_bytes()
    _, out, _ = talk(monkeypatch, capsys, tmp_path / "r.toml", ["back", "later"])
    assert "where we began" in out


def test_comments_and_order_are_kept(tmp_path, monkeypatch, capsys):
    path = tmp_path / "hand.toml"
    path.write_text(HAND, encoding="utf-8")
    lines = [
        "-22",
        "May 14 to Sep 27",
        "11 ft",
        "60",
        "6 in",
        "7.4",
        "fresh",
        "3:1",
        "part",
        "no",
        "sand",
        "west",
        "30 %",
        "2 ft",
        "",
        "",
        "",
        "",
        "none",
        "1",
        "geese",
    ]
    status, out, _ = talk(monkeypatch, capsys, path, lines)
    text = read_text(path)
    assert status == 0 and "Hand Pond" in out
    kept = iter(text.splitlines())
    for line in HAND.splitlines():  # every line of the owner's stands there still, in its order
        assert any(line == k for k in kept), line
    below = text.splitlines()
    for comment, section in (
        ("# the water, measured in 2024", "[water]"),
        ("# here the shore begins", "[[shore]]"),
        ("# what for", "[goals]"),
    ):
        assert below[below.index(comment) + 1] == section
    assert [s.name for s in read_pond(str(path)).stretches] == ["east", "west"]
    assert read_pond(str(path)).tolerance == "some"


def test_a_complete_file_is_shown_and_left_alone(tmp_path, monkeypatch, capsys):
    path = tmp_path / "p.toml"
    talk(monkeypatch, capsys, path, SCRIPT)
    before, when = path.read_bytes(), path.stat().st_mtime_ns
    status, out, _ = talk(monkeypatch, capsys, path, [])
    assert (
        status == 0
        and "stretch: the dam: length 350 ft, slope 3:1, sun full, dam yes, soil packed clay" in out
        and "Next:" in out
    )
    assert path.read_bytes() == before and path.stat().st_mtime_ns == when


def test_files_that_are_no_pond(tmp_path, monkeypatch, capsys):
    (tmp_path / "bad.toml").write_text("slope = = 3")
    (tmp_path / "wrong.toml").write_text('state = "ZZ"\n[watr]\n')
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    for name, status, said in (
        ("bad.toml", 3, "line 1"),
        ("wrong.toml", 3, "watr"),
        ("bytes.toml", 3, "UTF-8"),
        ("", 4, "is a folder"),
        ("none/p.toml", 4, "no such folder"),
    ):
        before = (tmp_path / name).read_bytes() if (tmp_path / name).is_file() else None
        got, _, err = talk(monkeypatch, capsys, tmp_path / name, ["x"])
        assert got == status and said in " ".join(err.split()), (name, got, err)
        assert before is None or (tmp_path / name).read_bytes() == before


def test_what_someone_else_wrote_meanwhile_is_not_lost(tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(HAND, encoding="utf-8")
    document = PondDocument.open(path)
    document.apply(answer(document.told, Asked(BY_WORD["ph"]), "7", wrong_in))
    path.write_text(HAND + "# more\n", encoding="utf-8")
    with pytest.raises(PlantpickError, match="someone else"):
        document.save([])
    assert read_text(path).endswith("# more\n")


def test_strange_keys_and_bytes(tmp_path):
    """Control characters, bytes that are no text, and a very long line."""
    data = b"\x1b[31mPond\x07\nMS\n\xff\xfe\n" + b"9" * 5000 + b"\n\x00\n12\n"
    done = subprocess.run(
        [sys.executable, "-m", "plantpick", "pond", str(tmp_path / "p.toml")], input=data, capture_output=True
    )
    assert b"Traceback" not in done.stderr and done.returncode == ExitStatus.BAD_INPUT
    assert 'name = "[31mPond"' in read_text(tmp_path / "p.toml") and "coldest_night_f = 12" in read_text(
        tmp_path / "p.toml"
    )


@pytest.mark.skipif(os.name == "nt", reason="no SIGINT to a child there")
def test_the_interrupt_key_keeps_what_was_said(tmp_path):
    path = tmp_path / "p.toml"
    child = subprocess.Popen(
        [sys.executable, "-m", "plantpick", "pond", str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    child.stdin.write("Millrace Pond\nMS\n")
    child.stdin.flush()
    while child.poll() is None and not (path.exists() and "state" in read_text(path)):
        time.sleep(0.05)
    time.sleep(0.2)
    child.send_signal(signal.SIGINT)
    out, err = child.communicate(timeout=600)
    assert child.returncode == 130 and "Traceback" not in err and "Go on any time" in out, (out, err)
    assert PondDocument.open(path).told == {"name": "Millrace Pond", "state": "MS"}


@pytest.mark.skipif(os.name == "nt", reason="no SIGINT to oneself there")
@pytest.mark.parametrize("after", ["taken", "asked back"])
def test_the_interrupt_key_waits_until_an_answer_is_in_the_file(tmp_path, monkeypatch, capsys, after):
    """Pressed while "MS" is checked, before it is written: the file has it, and the sitting ends there."""
    path, lines, asked = tmp_path / "p.toml", ["Millrace Pond", "MS", "12", "14"], []
    before = signal.getsignal(signal.SIGINT)  # a run in the background ignores the key
    monkeypatch.setattr("builtins.input", lambda prompt: lines[asked.append(1) or len(asked) - 1])
    checked = conversation.answer

    def pressed(told, question, text, *rest):
        if text == "MS":
            os.kill(os.getpid(), signal.SIGINT)
        if after == "asked back" and text == "MS":
            raise Refused("Which one?")
        return checked(told, question, text, *rest)

    monkeypatch.setattr(conversation, "answer", pressed)
    assert app.run(["pond", str(path)]) == 130 and len(asked) == 2
    told = {"name": "Millrace Pond"} | ({"state": "MS"} if after == "taken" else {})
    assert PondDocument.open(path).told == told
    assert "Left off. Kept in" in " ".join(capsys.readouterr().out.split())
    assert signal.getsignal(signal.SIGINT) is before


# ---- answers from a file

ANSWERS = """\
# answers may come in any order but for the stretches and places
state: Mississippi
residents: deer, turtles
name: Millrace Pond
winter: 12
frosts: March 28 to November 5
area: 400 x 250 ft
deepest: 14 ft
clarity: 28
drop: 1 ft 6 in
ph: 7.1
salt: fresh
stretch: north bank
length: 420 ft
ten feet out: 30 in
sun: full
dam: no
soil: clay
stretch: the dam
length: 350
ten-feet-out: 3:1
sun: full
dam: yes
soil: packed clay
keep-clear: drain riser
where: the dam
feet: 40
tape: from 150 to 190 ft
growing: pickerelweed
grows-on: north bank
grows-size: 60 x 8 ft
purposes: 1 and 2
spreading: little
cover: 20 %
brush: 3 piles
outline: no
"""


def test_answers_from_a_file_are_the_same_as_typed_ones(tmp_path, monkeypatch, capsys):
    talk(monkeypatch, capsys, tmp_path / "typed.toml", SCRIPT)
    (tmp_path / "a.txt").write_text(ANSWERS)
    status, out, _ = talk(
        monkeypatch, capsys, tmp_path / "filed.toml", [], "--answers", str(tmp_path / "a.txt")
    )
    assert status == 0 and "Next: plantpick rank" in out
    assert PondDocument.open(tmp_path / "filed.toml").told == PondDocument.open(tmp_path / "typed.toml").told


def test_all_mistakes_of_an_answers_file_at_once_and_nothing_written(tmp_path, monkeypatch, capsys):
    text = (
        ANSWERS.replace("30 in", "flat").replace("length: 350", "").replace("ph: 7.1", "ph: acid")
        + "ph: 7\nwhere: moon\n"
    )
    (tmp_path / "a.txt").write_text(text)
    status, _, err = talk(monkeypatch, capsys, tmp_path / "p.toml", [], "--answers", str(tmp_path / "a.txt"))
    assert status == ExitStatus.BAD_INPUT and not (tmp_path / "p.toml").exists()
    for said in (
        "a.txt:11: ph",
        "a.txt:15: ten-feet-out",
        "length of the dam is not answered",
        "answered twice",
    ):
        assert said in " ".join(err.split()), err
    (tmp_path / "b.txt").write_text("stat: MS\nno colon here\n")
    _, _, err = talk(monkeypatch, capsys, tmp_path / "p.toml", [], "--answers", str(tmp_path / "b.txt"))
    assert 'Did you mean "state"?' in err and "b.txt:2" in err and "colon" in err
    status, _, err = talk(
        monkeypatch, capsys, tmp_path / "p.toml", [], "--answers", str(tmp_path / "none.txt")
    )
    assert status == ExitStatus.BAD_INPUT and "none.txt" in err


def test_the_words_of_an_answers_file_are_listed(capsys):
    assert app.run(["pond", "--words"]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert {q.word for q in QUESTIONS} <= {line.strip() for line in listed}


# ---- anything at all

ANY = st.one_of(
    st.sampled_from(
        SCRIPT + ["don't know", "back", "?", "", "none", "no more", "12", "3:1", "all round", "yes", "deer"]
    ),
    st.text(max_size=30),
    st.integers(-(10**9), 10**9).map(str),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(ANY, max_size=60), st.booleans())
def test_no_answers_break_it_and_the_file_says_what_was_kept(texts, from_hand):
    from pathlib import Path

    document = PondDocument(HAND if from_hand else "", Path("p.toml"), None)
    closed = frozenset()
    for text in texts:
        waiting = open_questions(document.told, closed)
        if not waiting:
            break
        asked = waiting[0]
        try:
            edits = answer(document.told, asked, text, wrong_in)
        except Refused as fault:
            assert str(fault)
            continue
        if edits is None:
            closed |= {asked.question.section}
            edits = conversation.close_list(asked.question.section, document.told)
        expected = applied(document.told, edits)
        document.apply(edits)
        assert document.told == expected and not wrong_in(document.told)
        assert parse_or_missing(document.text) and known(document.told) is not None
        if from_hand:
            assert all(
                line in document.text.splitlines() for line in HAND.splitlines() if line.startswith("#")
            )
    if not look_over(document.told)[0]:
        assert parse_pond(document.text)


def parse_or_missing(text):
    import tomllib

    return tomllib.loads(text) is not None


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=40) | st.from_regex(r"[\d ./,:x'\"½-]{1,30}(ft|in|acres|to|%)?", fullmatch=True))
def test_no_text_breaks_a_reader(text):
    readers = (
        plain_words.length,
        plain_words.area,
        slope,
        plain_words.frosts,
        plain_words.yes_no,
        plain_words.signed,
        plain_words.per_cent,
    )
    for read in readers:
        try:
            assert read(text) is not False or read is plain_words.yes_no
        except ValueError as fault:
            assert str(fault)


def test_readers_are_quick_on_what_is_made_to_be_slow():
    hard = ["1 " * 140, "1," * 140, "1/1 " * 70, "about " * 50, "ft" * 150, "1 to " * 60, "- " * 140]
    random.Random(1).shuffle(hard)
    start = time.process_time()
    for text in hard:
        for read in (plain_words.length, plain_words.area, slope, plain_words.frosts):
            with pytest.raises(ValueError):
                read(text)
    assert time.process_time() - start < 6.0


def test_an_owners_comment_beside_a_value_outlives_a_new_answer(tmp_path, monkeypatch, capsys):
    path = tmp_path / "p.toml"
    talk(monkeypatch, capsys, path, SCRIPT)
    path.write_text(
        read_text(path)
        .replace(
            "max_depth_ft = 14 # feet, greatest depth at full pool", "max_depth_ft = 14 # by the old map"
        )
        .replace("dam = true", "dam = true # 1962")
    )
    talk(
        monkeypatch,
        capsys,
        path,
        ["13", "n", "n", "dont know"],
        "--again",
        "deepest",
        "--again",
        "dam",
        "--again",
        "drop",
    )
    text = read_text(path)
    assert (
        "max_depth_ft = 13 # by the old map" in text
        and "dam = false # 1962" in text
        and "usual_drop_ft" not in text.split("not_known")[0]
    )
    talk(
        monkeypatch, capsys, path, ["1 ft", "dont know", "3:1"], "--again", "drop", "--again", "ten-feet-out"
    )
    assert "usual_drop_ft = 1 # feet it falls" in read_text(path)
    assert "slope = 5 # feet out for one foot down; not known, assumed" in read_text(path)
    talk(monkeypatch, capsys, path, ["4:1", "3:1"], "--again", "ten-feet-out")
    assert "slope = 4 # feet out for one foot down\n" in read_text(
        path
    )  # no longer assumed, and says so no longer


@pytest.mark.parametrize(
    "text",
    [
        'name="a"\nwater.area_acres = 2\nwater.max_depth_ft=9\nstate="MS"\n',
        'name="a"\nwater = {area_acres = 2, max_depth_ft = 9}\nshore = [{name="e", length_ft=400}]\n',
        'name="a"\r\n[water]\r\narea_acres = 2 # c\r\n',
        "[water]\narea_acres=2",
        "keep_clear = []",
        'name="a"\n[water]\narea_acres=2\n[goals]\n[[shore]]\nname="x"\n[residents]\ndeer=true\n',
        'name="a"\n[water] # top\n\n\n[goals]\n',
        'name="a"\ngoals={}\n[[shore]]\n[[shore]]\n',
        "\ufeff# only a comment",
    ],
)
def test_every_way_to_write_a_section_can_be_gone_on_with(text, tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(text, encoding="utf-8", newline="")
    document, closed = PondDocument.open(path), frozenset()
    usual = {"state": "MS", "area": "2", "where": "in the water", "length": "300"}
    for _ in range(60):
        waiting = open_questions(document.told, closed)
        if not waiting:
            break
        asked = waiting[0]
        given = usual.get(asked.question.word) or usual_answer(document.told, asked)
        if asked.question.word == "stretch" and asked.index < len(document.told.get("shore", [])):
            given = f"stretch {asked.index}"
        edits = answer(document.told, asked, given, wrong_in)
        if edits is None:
            closed |= {asked.question.section}
            edits = conversation.close_list(asked.question.section, document.told)
        expected = applied(document.told, edits)
        document.apply(edits)
        assert document.told == expected
    document.save([])
    pond = read_pond(str(path))
    assert pond.area_acres == 2 and ("# c" not in text or "# c" in read_text(path))
