"""plantpick demo: whole, invented, never over someone's files, and what it proposes works."""

import shlex

import pytest
from command_line import command

from plantpick.cli import app
from plantpick.errors import ExitStatus
from plantpick.files.catalogue import data_folder


def names(folder):
    return sorted(p.name for p in folder.iterdir())


def test_every_demo_file_is_written_and_says_that_it_is_invented(tmp_path, capsys):
    assert app.run(["demo", str(tmp_path / "new" / "trial")]) == 0
    folder = tmp_path / "new" / "trial"
    assert names(folder) == names(data_folder() / "demo")
    assert {
        "south.toml",
        "north.toml",
        "hard.toml",
        "offer.txt",
        "log.csv",
        "soundings.csv",
        "outline.geojson",
    } <= set(names(folder))
    for path in folder.iterdir():
        assert path.read_bytes() == (data_folder() / "demo" / path.name).read_bytes()
        assert "invented" in path.read_text(encoding="utf-8").lower(), path.name


def test_nothing_is_replaced_unless_told(tmp_path, capsys):
    (tmp_path / "south.toml").write_text("mine")
    (tmp_path / "other.txt").write_text("mine too")
    assert app.run(["demo", str(tmp_path)]) == ExitStatus.CANNOT_WRITE
    assert names(tmp_path) == ["other.txt", "south.toml"] and (tmp_path / "south.toml").read_text() == "mine"
    assert "--force" in capsys.readouterr().err
    assert app.run(["demo", str(tmp_path), "--force"]) == 0
    assert (tmp_path / "south.toml").read_text() != "mine" and (
        tmp_path / "other.txt"
    ).read_text() == "mine too"


@pytest.mark.parametrize("place", ["file", "file/below"])
def test_places_that_are_no_folder(tmp_path, capsys, place):
    (tmp_path / "file").write_text("x")
    assert app.run(["demo", str(tmp_path / place)]) == ExitStatus.CANNOT_WRITE
    assert "Traceback" not in capsys.readouterr().err and (tmp_path / "file").read_text() == "x"


@pytest.mark.slow
def test_the_five_commands_that_it_proposes_work(tmp_path, capsys):
    folder = tmp_path / "a trial"  # with a space
    app.run(["demo", str(folder)])
    lines = [
        line.strip() for line in capsys.readouterr().out.splitlines() if line.startswith("    plantpick ")
    ]
    assert len(lines) == 5 and len(set(lines)) == 5
    for line in lines:
        words = shlex.split(line)
        done = command(*words[1:])
        # an offer with something to leave in it has a status of its own
        assert done.returncode in ((0, ExitStatus.LEAVE_SOMETHING) if words[1] == "offer" else (0,)), (
            line,
            done.stderr,
        )
        assert done.stdout.strip() and not done.stderr.strip(), (line, done.stderr)
