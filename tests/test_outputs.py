"""What a command writes is never what it reads, nor the same file twice; a stopped demo is gone on with."""

import shutil

import pytest

from plantpick.cli import app
from plantpick.errors import ExitStatus
from plantpick.files.catalogue import data_folder


@pytest.fixture
def trial(tmp_path):
    shutil.copytree(data_folder() / "demo", tmp_path / "t")
    return tmp_path / "t"


QUICK = ["--within", "60", "--seconds", "600"]


@pytest.mark.parametrize(
    "line, output",
    [
        (["watch", "south.toml", "log.csv", "--out"], "south.toml"),
        (["watch", "south.toml", "log.csv", "--out"], "log.csv"),
        (["plan", "south.toml", *QUICK, "--out"], "south.toml"),
        (["plan", "south.toml", *QUICK, "--csv"], "south.toml"),
        (["plan", "surveyed.toml", *QUICK, "--out"], "outline.geojson"),
        (["plan", "surveyed.toml", *QUICK, "--csv"], "soundings.csv"),
        (["plan", "south.toml", *QUICK, "--offer", "offer.txt", "--csv"], "offer.txt"),
        (["spread", "south.toml", "pickerelweed", "--figure"], "south.toml"),
    ],
)
def test_what_is_read_is_never_written_over(line, output, trial, capsys):
    before = (trial / output).read_bytes()
    words = [str(trial / w) if (trial / w).is_file() else w for w in line]
    assert app.run([*words, str(trial / output), "--force"]) == ExitStatus.CANNOT_WRITE
    assert "is read by this command" in " ".join(capsys.readouterr().err.split())
    assert (trial / output).read_bytes() == before


@pytest.mark.parametrize("other", ["same.html", "../t/same.html"])
def test_two_outputs_of_one_name_are_refused(trial, capsys, other):
    words = ["plan", "demo", *QUICK, "--out", str(trial / "same.html"), "--csv", f"{trial}/{other}"]
    assert app.run(words) == ExitStatus.CANNOT_WRITE
    assert "two outputs" in capsys.readouterr().err and not (trial / "same.html").exists()


def test_a_demo_that_was_stopped_is_gone_on_with(tmp_path, capsys):
    """Some files are there, one of them is missing, and the part of one that was being written lies about."""
    folder = tmp_path / "trial"
    assert app.run(["demo", str(folder)]) == 0
    whole = sorted(p.name for p in folder.iterdir())
    (folder / "south.toml").unlink()
    (folder / ".south.toml.0123abcd.part").write_text("half")
    kept = (folder / "north.toml").stat().st_mtime_ns
    assert app.run(["demo", str(folder)]) == 0
    assert sorted(p.name for p in folder.iterdir()) == whole
    assert (folder / "north.toml").stat().st_mtime_ns == kept
    (folder / "log.csv").write_text("the owner's own")
    capsys.readouterr()
    assert app.run(["demo", str(folder)]) == ExitStatus.CANNOT_WRITE
    assert capsys.readouterr().err.count("is there already") == 1
    assert (folder / "log.csv").read_text() == "the owner's own"
