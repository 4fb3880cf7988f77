"""The command line: exit statuses, JSON, errors in words, help with an example."""

import json
import subprocess
import sys

import pytest
from command_line import command as command_line

from plantpick.cli import app
from plantpick.errors import ExitStatus

pytestmark = pytest.mark.usefixtures("ranked_once")


def run(*arguments, width=100):
    done = command_line(*arguments, columns=width, NO_COLOR="1")
    return done.returncode, done.stdout, done.stderr


def commands():
    return sorted(c.name for c in app.app.registered_commands)


@pytest.mark.parametrize("command", commands())
def test_help_has_an_example(command):
    status, out, _ = run(command, "--help")
    assert status == 0 and f"plantpick {command}" in " ".join(out.split()) and "Example:" in out


def test_json_of_the_ranking():
    status, out, err = run("rank", "demo", "--format", "json")
    told = json.loads(out)
    assert status == 0 and not err
    assert {"pond", "plants", "ruled_out"} <= set(told)
    for plant in told["plants"]:
        assert {
            "plant_id",
            "scientific_name",
            "score",
            "fit",
            "stretch",
            "band",
            "place_kind",
            "availability",
            "takeover_percent",
            "cap_percent",
            "groups_max",
            "contained_by",
            "notes",
        } <= set(plant)
        assert set(plant["takeover_percent"]) == {"low", "typical", "high"}
    keys = {"plant_id", "code", "reason", "chance_over_cap", "good_for"}
    assert all(set(row) == keys for row in told["ruled_out"])


def test_csv_of_the_ranking():
    import csv
    import io

    status, out, _ = run("rank", "demo", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert status == 0 and [r["place"] for r in rows] == [str(i) for i in range(1, len(rows) + 1)]


def test_json_and_csv_always_give_every_plant_that_fits(plants, south):
    """The lists stop at four and say how many more there are; a script gets them all, by their score."""
    import csv
    import io

    from plantpick.ranking import rank
    from plantpick.ranking.by_place import by_place

    fits = [p.plant_id for p in rank.rank(south, plants).plants]
    told = json.loads(run("rank", "demo", "-f", "json")[1])["plants"]
    rows = list(csv.DictReader(io.StringIO(run("rank", "demo", "-f", "csv", "--top", "3")[1])))
    assert [p["plant_id"] for p in told] == [r["plant_id"] for r in rows] == fits
    short = json.loads(run("rank", "demo", "-f", "json", "--top", "3")[1])
    assert short["plants"] == told and all(len(place["plants"]) <= 3 for place in short["places"])
    table = run("rank", "demo")[1]
    left = [len(listed.plants) - len(listed.best()) for listed in by_place(rank.rank(south, plants).plants)]
    assert all(f"(+{n})" in table for n in left if n) and f"{sum(left)} more fit (--top 10)" in table


def test_the_table_says_what_an_owner_needs():
    status, out, _ = run("rank", "demo", "--top", "5")
    text = " ".join(out.split())
    assert status == 0
    for said in (
        "invented pond",
        "are ruled out",
        "Ask before you buy",
        "has the last word",
        "limit: 5 %",
        "life jacket",
    ):
        assert said in text, said


@pytest.mark.parametrize("width", [60, 80, 120])
def test_nothing_is_wider_than_the_terminal(width):
    _, out, _ = run("rank", "demo", "--top", "8", width=width)
    assert max(len(line) for line in out.splitlines()) <= width


def test_explain_shows_the_arithmetic():
    status, out, _ = run("rank", "demo", "--explain", "pickerelweed")
    text = " ".join(out.split())
    assert status == 0
    for said in ("break points", "geometric mean", "years", "100 x cube root"):
        assert said in text


def test_the_arithmetic_as_json_and_csv():
    """--explain speaks JSON and CSV too; `plant NAME POND` holds the same under on_pond."""
    import csv
    import io
    import math

    told = json.loads(run("rank", "demo", "--explain", "pickerelweed", "-f", "json")[1])
    known = [f["index"] for f in told["factors"] if f["index"] is not None]
    assert len(known) == 8 and told["site"] == pytest.approx(math.prod(known) ** (1 / 8), abs=1e-3)
    assert [row["years"] for row in told["takeover_percent"]] == [1, 3, 5, 10]
    rows = list(csv.DictReader(io.StringIO(run("rank", "demo", "-e", "pickerelweed", "-f", "csv")[1])))
    assert [r["factor"] for r in rows] == [f["factor"] for f in told["factors"]]
    assert json.loads(run("plant", "pickerelweed", "demo", "-f", "json")[1])["on_pond"] == told
    assert json.loads(run("plant", "pickerelweed", "-f", "json")[1])["on_pond"] is None


def test_the_names_of_the_ruled_out_are_not_lost_without_a_word():
    for more in (("-f", "csv"), ("-f", "json"), ("--explain", "pickerelweed")):
        status, out, err = run("rank", "demo", "--ruled-out", *more)
        assert status == ExitStatus.USAGE and not out and "--ruled-out" in err


def test_a_plant_that_is_ruled_out_is_given_no_place_to_set_it():
    """A federal noxious weed: where it would do best, and no "best place" nor score."""
    text = " ".join(run("rank", "demo", "-e", "hydrilla")[1].split())
    assert "Ruled out: noxious in the United States" in text and "Where it would do best" in text
    assert "Best place" not in text and "cube root" not in text and " set " not in text


def test_plant_page_with_a_pond_says_why_it_is_ruled_out():
    status, out, _ = run("plant", "Nelumbo lutea", "demo")
    text = " ".join(out.split())
    assert (
        status == 0
        and "Ruled out:" in text
        and "Sources" in text.title()
        and "States" in text
        and "Law" in text
    )


def test_a_misspelt_plant_gets_the_nearest_names():
    status, out, err = run("plant", "pikerelweed")
    assert status == ExitStatus.BAD_INPUT and "pickerelweed" in err and not out


def test_a_bare_genus_gets_its_plants_and_not_words_that_look_like_it():
    for genus, plant in (("Iris", "Iris virginica"), ("brasenia", "Brasenia schreberi")):
        status, out, err = run("plant", genus)
        assert status == ExitStatus.BAD_INPUT and not out
        assert f'"{genus}" is a genus' in err and plant in " ".join(err.split())


def test_bad_pond_file(tmp_path):
    broken = tmp_path / "p.toml"
    broken.write_text('name = "x"\nstate = "ZZ"\n[water]\narea_acres = 0\n')
    status, out, err = run("rank", str(broken))
    assert status == ExitStatus.BAD_INPUT and not out
    assert "Traceback" not in err and "things to put right" in err and "max_depth_ft" in err


def test_usage_errors_have_their_own_status():
    assert run("rank")[0] == ExitStatus.USAGE
    assert run("rank", "demo", "--top", "zero")[0] == ExitStatus.USAGE
    status, _, err = run("rnak", "demo")
    assert status == ExitStatus.USAGE and "Traceback" not in err


def test_debug_shows_the_traceback(tmp_path):
    status, _, err = run("--debug", "rank", str(tmp_path / "no.toml"))
    assert status != 0 and "Traceback" in err


def test_a_fault_of_ours_is_one_line(monkeypatch, capsys):
    from plantpick.files import pond_file

    monkeypatch.setattr(pond_file, "read_pond", lambda name: 1 / 0)
    assert app.run(["rank", "demo"]) == ExitStatus.INTERNAL
    assert "Traceback" not in capsys.readouterr().err


def test_a_closed_pipe_is_no_error():
    done = subprocess.run(
        f"{sys.executable} -m plantpick rank demo --top 200 | head -2",
        shell=True,
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert done.stderr == ""


def test_version():
    from plantpick import __version__

    assert run("--version")[1].strip() == f"plantpick {__version__}"


def test_check_of_our_own_tables():
    status, out, _ = run("check")
    assert status == 0 and "nothing wrong" in out


def test_help_loads_nothing_heavy():
    code = (
        "import sys; from plantpick.cli import app; "
        "print([m for m in ('pandas', 'numpy', 'scipy', 'matplotlib', 'jinja2', 'pydantic', 'rapidfuzz', 'marshmallow') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"
