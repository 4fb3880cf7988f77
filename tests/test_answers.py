"""Answers as owners type them: what is understood, what is asked back, and that nothing is taken for what it is not."""

import io
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from plantpick import vocabulary
from plantpick.cli import app
from plantpick.errors import PlantpickError
from plantpick.files.pond_edit import PondDocument
from plantpick.files.pond_file import look_over, parse_pond
from plantpick.files.pond_table import read_pond_table
from plantpick.interview import plain_words
from plantpick.interview.answers import described_ft, shore_ft
from plantpick.interview.conversation import Asked, Refused, answer, command, open_questions
from plantpick.interview.questions import BY_WORD, LISTS
from plantpick.interview.state_names import state_code
from plantpick.pond.keep_clear import kind_of_place

DATA = Path(__file__).parent / "data"
TOLD = {  # made up
    "name": "Test Pond",
    "state": "MS",
    "water": {"area_acres": 2.8, "max_depth_ft": 14.0},
    "shore": [
        {"name": "the dam", "length_ft": 350.0, "slope": 3.0, "sun": "full", "dam": True},
        {"name": "north bank"},
    ],
    "keep_clear": [{"what": "dock", "stretch": "the dam"}],
}
FILE = 'name = "x"\nstate = "MS"\nhardiness_zone = "8a"\n[water]\narea_acres = 2\nmax_depth_ft = 9\n'


def given(word, text, told=None):
    """The values that an answer fills in, "unknown", "no more", or "?" where it is asked back."""
    question = BY_WORD[word]
    told = dict(TOLD if told is None else told)
    index = None
    if question.section in LISTS:
        index = 1 if question.section == "shore" and not question.ends_list else 0
        index = len(told.get(question.section, [])) if question.ends_list else index
    said = command(text, question)
    if said in ("help", "back", "later"):
        return "?"
    if said == "unknown" and not question.ends_list:
        return "unknown"
    if said in ("no more", "unknown") and question.ends_list:
        return "no more"
    try:
        edits = answer(told, Asked(question, index), text, lambda t: look_over(t)[1])
    except Refused as fault:
        assert len(str(fault)) > 15
        return "?"
    return {e.key: e.value for e in edits if e.value is not None and e.key != "not_known"}


def asked_back(word, text, told=None):
    with pytest.raises(Refused) as caught:
        question = BY_WORD[word]
        index = {"shore": 1, "keep_clear": 0}.get(question.section)
        if question.ends_list:
            index = len(TOLD[question.section])
        answer(dict(TOLD if told is None else told), Asked(question, index), text, lambda t: look_over(t)[1])
    return str(caught.value)


# ---- whole words


@pytest.mark.parametrize(
    "word, text, value",
    [
        ("spreading", "some", {"tolerance": "some"}),
        ("residents", "Canada geese", {"geese"}),
        ("residents", "common carp", {"common carp"}),
        ("residents", "cattle", {"livestock"}),
        ("residents", "canadian geese, some deer and a few snapping turtles", {"geese", "deer", "turtles"}),
        ("purposes", "cover for fish and maybe ducks", {"fish cover", "waterfowl"}),
    ],
)
def test_loose_words_are_whole_words(word, text, value):
    """Made up: "some", "ca." and the like begin words that count."""
    found = given(word, text)
    if word == "residents":
        found = {k.replace("_", " ") for k, v in found.items() if v}
    elif word == "purposes":
        found = set(found["purposes"])
    assert found == value


def test_every_word_that_begins_with_a_loose_one_stays_whole():
    for phrase in ("some", "ca", "about", "around", "like", "say", "just", "only", "so", "is", "est", "well"):
        for rest in ("thing", "t", "what corner", "rp"):
            assert plain_words.unhedged(phrase + rest) == phrase + rest
    assert (
        plain_words.unhedged("some") == "some" and plain_words.unhedged("about some 30 ft or so") == "30 ft"
    )


def test_places_are_found_by_whole_words_too():
    assert kind_of_place("paddock corner") == "other" and kind_of_place("downstream end") == "other"
    assert kind_of_place("the dock") == "dock" and kind_of_place("swimming place") == "swimming lane"
    for whole, part in (
        ("monk", "monkey grass"),
        ("springs", "springboard"),
        ("two piers", "a pierced wall"),
    ):
        assert kind_of_place(whole) != "other" and kind_of_place(part) == "other", part
    assert kind_of_place("drainage ditch") == "inflow" and kind_of_place("drains") == "riser"
    told = {**TOLD, "shore": [{"name": "dam"}, {"name": "camp side"}]}
    assert given("where", "am", told) == "?" and given("where", "the camp", told) == {"stretch": "camp side"}


# ---- answers that say that nobody knows


@pytest.mark.parametrize(
    "text",
    "no|none|never|never tested|skip|don't know|n/a|not tested|haven't tested it|dunno|nope|no idea|I never measured it".split(
        "|"
    ),
)
def test_a_ph_that_was_never_tested_is_not_known(text):
    told = {"state": "MS", "water": {"area_acres": 2.0, "max_depth_ft": 9.0}}
    edits = answer(told, Asked(BY_WORD["ph"]), text, lambda t: look_over(t)[1])
    assert [(e.key, e.value) for e in edits] == [("not_known", ["ph"])]


@pytest.mark.parametrize("word", [w for w, q in BY_WORD.items() if not q.needed and not q.ends_list])
def test_every_optional_question_may_be_skipped(word):
    for text in (
        "skip",
        "dunno",
        "I don't know",
        "no idea, sorry",
        "not sure",
        "pass",
        "n/a",
        "never checked",
    ):
        assert given(word, text) == "unknown", text
    assert given(word, "not sure, maybe 7") != "unknown"


# ---- names


@pytest.mark.parametrize("text", ["yes", "Yes.", "y", "yeah, one more", "ok", "another one", "420 ft", "12"])
def test_a_yes_or_a_number_is_no_name(text):
    assert "What do you call" in asked_back("stretch", text)
    if not any(c.isdigit() for c in text):
        assert "call it" in asked_back("name", text) and "Which one" in asked_back("keep-clear", text)


# ---- improbable numbers


@pytest.mark.parametrize(
    "word, text, said, right, value",
    [
        ("winter", "6", ("zone 6", "6 F"), "6 F", {"coldest_night_f": 6.0}),
        ("winter", "8", ("zone 8", "8 F"), "zone 8", {"hardiness_zone": "8a"}),
        ("winter", "-30", ("Mississippi", "go back"), "10 F", {"coldest_night_f": 10.0}),
        ("winter", "zone 4", ("Mississippi", "don't know"), "7b", {"hardiness_zone": "7b"}),
        ("ten-feet-out", "18", ("18 in", "18 ft", "18:1"), "18 in", {"slope": 6.7}),
        ("ten-feet-out", "60 ft", ("deepest", "inches"), "60 in", {"slope": 2.0}),
        ("clarity", "3", ("3 in", "3 ft"), "3 ft", {"clarity_in": 36.0}),
        ("area", "15000", ("15,000 acres", "15,000 sq ft"), "15,000 sq ft", {"area_acres": 0.34}),
        ("deepest", "120", ("120 ft", "10.0 ft"), "120 in", {"max_depth_ft": 10.0}),
        ("deepest", "250 ft", ("cliffs",), "12 ft", {"max_depth_ft": 12.0}),
        ("drop", "24", ("24 ft", "24 in"), "24 in", {"usual_drop_ft": 2.0}),
        ("ph", "71", ("7.1",), "7.1", {"ph": 7.1}),
        ("ph", "3.2", ("kills fish",), "6", {"ph": 6.0}),
        ("salt", "500", ("500 ppm",), "500 ppm", {"salinity_ppt": 0.5}),
        ("length", "30", ("30 %", "30 ft", "paces"), "30 ft", {"length_ft": 30.0}),
        ("feet", "400", ("whole stretch",), "40", {"length_ft": 40.0}),
        ("spreading", "0.05", ("0.05 %", "5 %"), "5", {"tolerance": 5.0}),
        ("spreading", "90", ("30 %",), "30 %", {"tolerance": 30.0}),
        ("purposes", "1-3", ("1, 2, 3",), "1, 2, 3", {"purposes": ["fish cover", "bank hold", "waterfowl"]}),
    ],
)
def test_improbable_numbers_are_asked_back(word, text, said, right, value):
    """Made up. The question names what was understood and how to write what was likely meant; that is then taken."""
    back = asked_back(word, text)
    for part in said:
        assert part in back, back
    assert given(word, right) == value


# ---- what was not understood


@pytest.mark.parametrize(
    "word, text, value",
    [
        ("sun", "full sun", {"sun": "full"}),
        ("sun", "morning sun only", {"sun": "part"}),
        ("sun", "about 4 hours", {"sun": "part"}),
        ("soil", "clay", {"soil": "clay"}),
        ("soil", "it's mostly red clay", {"soil": "clay"}),
        ("soil", "hard packed clay", {"soil": "packed clay"}),
        ("soil", "bentonite", {"soil": "packed clay"}),
        ("soil", "sandy", {"soil": "sand"}),
        ("soil", "soft mud", {"soil": "muck"}),
        ("soil", "good dirt", {"soil": "loam"}),
        ("soil", "sandy loam", {"soil": "loam"}),
        ("soil", "riprap", {"soil": "rock"}),
        ("area", "half an acre", {"area_acres": 0.5}),
        ("area", "15 acres or so", {"area_acres": 15.0}),
        ("area", "an acre and a half", {"area_acres": 1.5}),
        ("state", "Columbus, Ohio", {"state": "OH"}),
        ("state", "43215", {"state": "OH"}),
        ("state", "Jackson MS 39201", {"state": "MS"}),
        ("state", "north Georgia", {"state": "GA"}),
        ("length", "half of it", None),
        ("drop", "it doesn't", {"usual_drop_ft": 0.0}),
    ],
)
def test_answers_in_an_owners_words(word, text, value):
    found = given(word, text)
    assert found == value if value else found["length_ft"] > 100


@pytest.mark.parametrize(
    "word, text, said",
    [
        ("clarity", "muddy", "white plate"),
        ("soil", "clay and sand", "a spade deep"),
        ("soil", "muck over packed clay", "a spade deep"),
        ("soil", "no clay", "Say one of"),
        ("soil", "concrete", "Say one of"),
        ("soil", "silt", "Say one of"),
        ("ten-feet-out", "steep", "pole"),
        ("ten-feet-out", "waist deep", "inches"),
        ("state", "Kansas City", "lower 48"),
        ("state", "99501", "lower 48"),
        ("state", "Ohio 39201", "Mississippi"),
        ("residents", "carp", "grass carp"),
        ("residents", "deer, raccoons", "Leave it out: deer"),
        ("residents", "deer but no geese", "only those that do come"),
        ("keep-clear", "dock, spillway", "One at a time"),
        ("area", "1200 ft", "widest"),
        ("area", "2 acres or more", "400 x 250 ft"),
    ],
)
def test_what_cannot_be_taken_says_what_to_write(word, text, said):
    assert said in asked_back(word, text)


def test_a_town_does_not_make_a_state():
    """Towns that bear a state's name in theirs, from memory."""
    for text in ("Kansas City", "Virginia Beach", "Oklahoma City", "Indiana Dunes", "Texas County"):
        assert state_code(text) is None, text
    for text, code in (
        ("Kansas City, Missouri", "MO"),
        ("Wyoming, OH", "OH"),
        ("Nevada, Missouri", "MO"),
        ("Washington DC", "DC"),
        ("W. Virginia", "WV"),
        ("Miss.", "MS"),
        ("06390", "NY"),
    ):
        assert state_code(text) == code, text
    for text in ("Port Washington", "1234", "Alabama or Georgia"):
        with pytest.raises(ValueError):
            state_code(text)


def test_zip_codes_of_every_state():
    """One ZIP code of each capital, from memory; the prefixes' source stands beside them."""
    capitals = (
        "AL 36104 AR 72201 AZ 85007 CA 95814 CO 80202 CT 06103 DC 20001 DE 19901 FL 32301 GA 30303 IA 50309 ID 83702 "
        "IL 62701 IN 46225 KS 66603 KY 40601 LA 70802 MA 02201 MD 21401 ME 04330 MI 48933 MN 55102 MO 65101 MS 39205 "
        "MT 59623 NC 27601 ND 58501 NE 68502 NH 03301 NJ 08608 NM 87501 NV 89701 NY 12207 OH 43215 OK 73102 OR 97301 "
        "PA 17101 RI 02903 SC 29217 SD 57501 TN 37219 TX 78701 UT 84111 VA 23219 VT 05602 WA 98507 WI 53703 WV 25301 "
        "WY 82001"
    ).split()
    pairs = dict(zip(capitals[::2], capitals[1::2]))
    assert set(pairs) == set(vocabulary.STATES)
    for code, figures in pairs.items():
        assert state_code(figures) == code


# ---- a slope as 4:1, wherever one is read


@pytest.mark.parametrize("written, slope", [('"4:1"', 4), ('"2.5 : 1"', 2.5), ('"3 to 1"', 3), ("4", 4)])
def test_a_pond_file_reads_a_slope_as_a_ratio(written, slope, tmp_path):
    text = f'{FILE}[[shore]]\nname = "a"\nlength_ft = 400\nslope = {written}\n'
    assert parse_pond(text).stretches[0].slope == slope
    path = tmp_path / "p.toml"
    path.write_text(text)
    document = PondDocument.open(path)
    document.apply(answer(document.told, Asked(BY_WORD["ph"]), "7", lambda t: look_over(t)[1]))
    document.save([])
    assert (
        f"slope = {written}" in path.read_text() and parse_pond(path.read_text()).stretches[0].slope == slope
    )


@pytest.mark.parametrize(
    "written, said",
    [
        ('"1:4"', "4:1 if it falls"),
        ("4:1", 'slope = "4:1"'),
        ('"steep"', "0.3 to 60"),
        ('"3:2"', "as in 3:1"),
    ],
)
def test_a_slope_that_cannot_be_read_says_how_to_write_it(written, said, tmp_path):
    text = f'{FILE}[[shore]]\nname = "a"\nlength_ft = 400\nslope = {written}\n'
    with pytest.raises(PlantpickError, match=said):
        parse_pond(text)
    (tmp_path / "p.toml").write_text(text)
    with pytest.raises(PlantpickError, match=said):
        PondDocument.open(tmp_path / "p.toml")


def test_a_table_of_ponds_reads_a_slope_as_a_ratio_and_as_the_time_a_spreadsheet_makes_of_it(tmp_path):
    path = tmp_path / "ponds.csv"
    rows = [f"P{i},MS,8a,2,9,dam,400,{s}" for i, s in enumerate(("4:1", "3:01", "03:01:00", "5", "1:4"))]
    head = "name,state,hardiness_zone,area_acres,max_depth_ft,shore_1_name,shore_1_length_ft,shore_1_slope"
    path.write_text("\n".join([head, *rows]))
    ponds = read_pond_table(path)
    assert [p.read().stretches[0].slope for p in ponds[:4]] == [4, 3, 3, 5]
    with pytest.raises(PlantpickError, match="shore_1_slope.*4:1"):
        ponds[4].read()


def test_yes_to_the_next_stretch_asks_for_its_name(tmp_path, monkeypatch, capsys):
    lines = "x,MS,8a,never,2,9,28,1 ft,never tested,no,dam,300,3:1,full,yes,clay,yes,later".split(",")
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(lines) + "\n"))
    app.run(["pond", str(tmp_path / "p.toml")])
    out = " ".join(capsys.readouterr().out.split())
    assert "What do you call it?" in out
    told = PondDocument.open(tmp_path / "p.toml").told
    assert [s["name"] for s in told["shore"]] == ["dam"] and told["water"]["not_known"] == ["ph"]


# ---- a sweep


def _typed():
    """(question, answer, meaning, serves) from the lists of answers as owners type them."""
    rows = []
    for name, turns in (
        ("answers_as_typed", ("mending", "measuring")),
        ("answers_as_typed_later", ("later",)),
    ):
        word, count = "", 0
        for line in (DATA / f"{name}.txt").read_text(encoding="utf-8").splitlines():
            if line.startswith("[") and line.endswith("]"):
                word, count = line[1:-1], 0
            elif line and not line.startswith("#"):
                text, _, meaning = line.rpartition(" => ")
                rows.append((word, text, meaning, turns[count % len(turns)]))
                count += 1
    return rows


def _meant(word, meaning):
    """What an answer should fill in: a test of the values that were taken."""
    shore = {"length": shore_ft(TOLD)}.get(word, 0.0)
    only = {
        "area": "area_acres", "deepest": "max_depth_ft", "clarity": "clarity_in", "drop": "usual_drop_ft", "ph": "ph",
        "salt": "salinity_ppt", "length": "length_ft", "ten-feet-out": "slope", "feet": "length_ft",
        "diffuser-depth": "depth_ft",
    }  # fmt: skip
    if word in only:
        if meaning == "rest":
            value = shore - 350.0
        else:
            value = float(meaning.rstrip("%")) * (shore / 100.0 if meaning.endswith("%") else 1.0)
        return {only[word]: pytest.approx(value, rel=0.006, abs=0.06)}
    if word == "winter":
        return (
            {"coldest_night_f": pytest.approx(float(meaning[:-1]))}
            if meaning.endswith("F")
            else {"hardiness_zone": meaning}
        )
    if word == "frosts":
        return (
            {"frost_free": True}
            if meaning == "never"
            else dict(zip(("last_frost", "first_frost"), meaning.split()))
        )
    if word == "where":
        return {"length_ft": 0.0} if meaning == "water" else {"stretch": meaning}
    if word == "purposes":
        return {"purposes": meaning.split(", ")}
    if word == "residents":
        there = vocabulary.GRAZERS if meaning == "all" else meaning.split(", ")
        return {g.replace(" ", "_"): g in there for g in vocabulary.GRAZERS}
    if word == "spreading":
        return {
            "tolerance": meaning
            if meaning in vocabulary.TOLERANCES
            else pytest.approx(float(meaning), abs=0.01)
        }
    key = {
        "name": "name",
        "stretch": "name",
        "state": "state",
        "sun": "sun",
        "dam": "dam",
        "keep-clear": "what",
    }[word]
    return {key: meaning == "yes" if word == "dam" else meaning}


def _outcome(word, text, meaning):
    """right, asked back or wrong. "?" as the meaning: nobody can tell, so that asking back is right."""
    told = dict(TOLD)
    if word in ("diffuser-depth", "keep-clear"):
        told["keep_clear"] = [{"what": "diffuser"}] if word == "diffuser-depth" else []
    found = given(word, text, told)
    if found == "?":
        return "right" if meaning == "?" else "asked back"
    if isinstance(found, str):
        return "right" if found == {"-": "unknown"}.get(meaning, meaning) else "wrong"
    if meaning in ("?", "-", "no more"):
        return "wrong"
    return "right" if found == _meant(word, meaning) else "wrong"


@pytest.mark.parametrize("word", list(dict.fromkeys(row[0] for row in _typed())))
def test_no_answer_is_taken_for_what_it_does_not_mean(word):
    """Made up. An answer may be asked back, but is never taken wrong."""
    wrong = [(t, m) for w, t, m, _ in _typed() if w == word and _outcome(w, t, m) == "wrong"]
    assert not wrong


@pytest.mark.parametrize("serves", ["mending", "measuring", "later"])
def test_most_answers_are_understood(serves):
    """Made up. Of the answers with a meaning, at most one in ten is asked back."""
    rows = [(w, t, m) for w, t, m, s in _typed() if s == serves and m != "?"]
    asked = [row for row in rows if _outcome(*row) == "asked back"]
    assert len(rows) > 120 and len(asked) <= 0.1 * len(rows), asked


def test_every_state_is_known_by_name_and_code():
    for code, (name, _) in vocabulary.STATES.items():
        for text in (code, name, name.lower(), f"Somewhere, {name}", f"the state of {name}", f"north {name}"):
            if text != "north Washington":
                assert given("state", text) == {"state": code}, text


# ---- the file, the keyboard


@pytest.mark.parametrize(
    "name, said",
    [
        ("pond.txt", "pond.toml"),
        ("demo", "demo.toml"),
        ("ponds.csv", "ponds.toml"),
        ("none/p.toml", "no such folder"),
    ],
)
def test_a_name_that_will_not_do_is_refused_before_the_first_question(
    name, said, tmp_path, monkeypatch, capsys
):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO("x\n"))
    assert app.run(["pond", name]) == 4
    shown = capsys.readouterr()
    assert said in shown.err and "What do you call" not in shown.out and not list(tmp_path.iterdir())


def test_a_closed_keyboard_is_the_end_of_input(tmp_path):
    done = subprocess.run(
        ["bash", "-c", f'exec "{sys.executable}" -m plantpick pond "{tmp_path}/p.toml" <&-'],
        capture_output=True,
        text=True,
    )
    assert "Nothing was written" in done.stdout and "fault of its own" not in done.stderr
    assert done.returncode == 3


def test_a_pond_file_as_answers_is_told_once(tmp_path, capsys):
    (tmp_path / "a.txt").write_text(FILE)
    assert app.run(["pond", str(tmp_path / "p.toml"), "--answers", str(tmp_path / "a.txt")]) == 3
    err = capsys.readouterr().err
    assert "looks like a pond file" in err and "things to put right" not in err


def test_a_zone_is_shown_as_one_and_a_name_may_be_left_open(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", io.StringIO("dunno\nMS\nzone 8\nlater\n"))
    app.run(["pond", str(tmp_path / "mill_pond.toml")])
    out = " ".join(capsys.readouterr().out.split())
    assert "coldest winter night: zone 8a" in out
    assert PondDocument.open(tmp_path / "mill_pond.toml").told["name"] == "Mill pond"


def test_a_word_that_is_no_answer_offers_to_leave_it_open():
    for word, text in (
        ("deepest", "over my head"),
        ("drop", "a lot"),
        ("winter", "cold"),
        ("where", "by the house"),
    ):
        assert "don't know" in asked_back(word, text) or word == "where"


# ---- anything at all

_BITS = st.sampled_from(
    "1 3 12 400 0.5 1/2 1/0 half a an of and or to - by x , . ' \" ft in feet acres sq % : zone 8a some about maybe no yes "
    "none dam north bank deer carp geese third hundred thousand k couple -5 c f below hours full shade last first frost "
    "March 28 11/5 ; / & + ? ( ) \u00bd \u00b0 9999999999999999999999".split(" ")
)


@settings(max_examples=400, deadline=None)
@drawn(
    st.sampled_from(sorted(BY_WORD)),
    st.lists(_BITS, max_size=12).map(" ".join)
    | st.text(max_size=60)
    | st.just("9" * 300)
    | st.just("thousand " * 30),
)
def test_any_text_is_taken_or_asked_back(word, text):
    """Made up. No reader fails in another way than by asking back, and what is taken stands the pond file's check."""
    found = given(word, text)
    assert isinstance(found, (str, dict))


@settings(max_examples=300, deadline=None)
@drawn(st.text(max_size=40) | st.lists(_BITS, max_size=8).map(" ".join))
def test_a_slope_is_a_number_or_asked_back(text):
    try:
        told = plain_words.ratio(text)
    except ValueError as fault:
        assert str(fault)
    else:
        assert told is None or told >= 0.0


@pytest.mark.parametrize(  # made up
    ("word", "said"),
    [
        ("winter", "8/9"),
        ("winter", "1/2"),
        ("winter", "7/8 zone"),
        ("state", "near Kansas"),
        ("state", "just outside Georgia"),
        ("deepest", "6 ft average"),
        ("deepest", "averages 5 feet"),
    ],
)
def test_a_figure_for_something_else_is_asked_back(word, said):
    with pytest.raises(ValueError):
        BY_WORD[word].read(said, {"state": "MS"}, {})


def test_a_place_near_a_town_still_names_its_state():
    assert state_code("near Columbus, Georgia") == "GA" and state_code("near Tupelo MS") == "MS"
    assert BY_WORD["winter"].read("zone 8", {}, {}) == {"hardiness_zone": "8a"}


def test_a_stretch_whose_length_is_still_to_be_asked_counts_for_no_feet_of_shore():
    told = {"shore": [{"name": "dam", "length_ft": 310.0}, {"name": "north bank"}]}
    assert described_ft(told) == 310.0 and described_ft({}) == 0.0


# ---- where things are


@pytest.mark.parametrize(
    "text", ["150 to 190", "from 150 ft to 190 ft", "150-190 ft", "60 paces to 76 paces"]
)
def test_a_place_on_the_tape_is_two_lengths(text):
    """A pace is 2.5 ft (common practice, no source)."""
    assert given("tape", text) == {"from_ft": 150.0, "to_ft": 190.0, "length_ft": 40.0}


def test_places_that_cannot_be_are_asked_back():
    assert "farther along" in asked_back("tape", "190 to 150")
    assert "two places" in asked_back("tape", "150")
    assert "beyond the end" in asked_back("tape", "300 to 5000")
    assert "with its ending" in asked_back("outline", "my map")
    assert given("outline", "Millrace.kml") == {"outline": "Millrace.kml"}


def test_a_stretch_may_run_over_the_outlines_first_point():
    told = dict(TOLD, outline="o.kml")
    edits = answer(told, Asked(BY_WORD["along"], 0), "1374 to 184", lambda t: look_over(t)[1])
    assert {e.key: e.value for e in edits} == {"from_ft": 1374.0, "to_ft": 184.0}


def test_positions_are_asked_for_last_and_of_every_entry_that_is_there():
    """The stretches only where there is an outline; a place only where it is on a stretch and no point marks it."""
    words = [q.word for q in BY_WORD.values()]
    assert words[-3:] == ["outline", "along", "tape"]
    places = [
        {"what": "dock", "stretch": "the dam"},
        {"what": "riser", "stretch": "the dam", "at_ft": [1, 2]},
        {"what": "buoy", "length_ft": 0},
    ]
    for outline, asked in (
        ({}, [("tape", 0)]),
        ({"outline": "o.kml"}, [("along", 0), ("along", 1), ("tape", 0)]),
    ):
        told = dict(TOLD, keep_clear=places, **outline)
        found = [(a.question.word, a.index) for a in open_questions(told) if a.question.late]
        assert [a for a in found if a[0] != "outline"] == asked
