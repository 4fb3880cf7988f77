"""Escape sequences, control characters and turned directions in what was read never reach a terminal, a page or a table."""

import csv
import io
import json
import re
import shutil
import subprocess
import unicodedata

import pytest

from plantpick.cli import app
from plantpick.files.catalogue import data_folder
from plantpick.plain_text import escaped, one_line, plain

pytestmark = pytest.mark.usefixtures("ranked_once")


EVIL = "Mill\x1b]0;owned\x07\x1b[2J\x1b[31m\x9b1A\x07\u202egnorw\u202c\u2066\x85Pond"


def strange(text: str) -> list[str]:
    """Control characters but tab and line feed, and Unicode's bidirectional ones (category Cf, classes LRE to PDI)."""
    turned = ("LRE", "RLE", "PDF", "LRO", "RLO", "LRI", "RLI", "FSI", "PDI")
    return [
        c
        for c in text
        if (unicodedata.category(c) == "Cc" and c not in "\t\n") or unicodedata.bidirectional(c) in turned
    ]


def test_sequences_go_whole_and_letters_stay():
    assert plain(EVIL) == "MillgnorwPond"
    assert plain("Łódź 4½ ft, 日本\tb\nc \U0001f41f") == "Łódź 4½ ft, 日本\tb\nc \U0001f41f"
    assert plain("\x1b[38;2;1;2;3mred\x1b[0m \x1bPq#0\x1b\\. \x1b(B\x1bc") == "red . "
    assert plain("\x1b]8;;http://x\x1b\\here\x1b]8;;\x1b\\") == "here" and plain("\x1b") == ""
    assert not strange(plain("".join(map(chr, range(0x20, 0x3000))) + "\x1b" * 50 + "[" * 5))


def test_json_is_read_back_as_it_was_put_in():
    text = escaped(json.dumps({"name": EVIL}, ensure_ascii=False))
    assert not strange(text) and json.loads(text)["name"] == EVIL


@pytest.fixture
def evil(tmp_path):
    """The demo's files with what should not be there in every name and remark, and a file whose own name is like that."""
    shutil.copytree(data_folder() / "demo", tmp_path / "t")
    told = (tmp_path / "t" / "south.toml").read_text(encoding="utf-8")
    name = re.search(r'^name = "([^"]+)"', told, re.M)[1]
    toml = json.dumps(EVIL)  # escapes as TOML has them
    told = told.replace(f'"{name}"', toml.replace("\\u007f", ""), 1)
    stretch = re.search(r'\[\[shore\]\]\nname = "([^"]+)"', told)[1]
    told = told.replace(f'"{stretch}"', json.dumps(f"{stretch}\x1b[31m\u202e"))
    (tmp_path / "p.toml").write_text(told, encoding="utf-8")
    log = (tmp_path / "t" / "log.csv").read_text(encoding="utf-8")
    (tmp_path / "log.csv").write_text(log, encoding="utf-8")
    (tmp_path / "bad.csv").write_text(
        f"date,plant,stretch,event\n2026-05-01,{EVIL},{EVIL},{EVIL}\n", encoding="utf-8"
    )
    (tmp_path / "offer.txt").write_text(
        f"Pontederia cordata {EVIL} plug $2\n{EVIL} Nuphar\x1b[8m advena $6\nHydrilla {EVIL}\n",
        encoding="utf-8",
    )
    (tmp_path / "bad.toml").write_text(f"name = {toml}\nstate = {toml}\n{toml} = 3\n", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    "line",
    [
        "rank p.toml --ruled-out",
        "rank p.toml -f json",
        "rank p.toml -f csv",
        "rank p.toml t/north.toml --draws 64 --cores 1 --out many.csv",
        "rank p.toml --explain pickerelweed",
        pytest.param(
            "plan p.toml --within 60 --seconds 600 --out page.html --csv plan.csv", marks=pytest.mark.slow
        ),
        "spread p.toml pickerelweed --figure figure.svg",
        "plant pickerelweed p.toml",
        "depths p.toml",
        "offer p.toml offer.txt --every-line",
        "offer p.toml offer.txt -f csv",
        "offer p.toml offer.txt -f json",
        "watch p.toml bad.csv",
        "calendar p.toml",
        "rank bad.toml",
        "pond bad.toml",
    ],
)
def test_no_command_lets_them_through(line, evil, capsys, monkeypatch):
    monkeypatch.chdir(evil)
    status = app.run(line.split())
    told = capsys.readouterr()
    assert status in (0, 1, 3) and (told.out or told.err)
    assert not strange(told.out + told.err), (told.out + told.err)[:2000]
    for name in ("many.csv", "page.html", "plan.csv", "figure.svg"):
        if (evil / name).exists():
            assert not strange((evil / name).read_text(encoding="utf-8")), name
    if line.endswith("csv") and told.out:
        assert list(csv.DictReader(io.StringIO(told.out)))


def test_a_file_with_such_a_name(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    name = "a\x1b[31m\u202eb.toml"
    assert app.run(["rank", name]) == 3 and not strange(capsys.readouterr().err)
    assert app.run(["demo", "f\x1b[31m"]) == 0 and not strange(capsys.readouterr().out)


def test_a_line_feed_in_a_files_name_breaks_no_line(tmp_path, capsys, monkeypatch):
    """And the command to go on with, pasted into a shell, names the very file."""
    monkeypatch.chdir(tmp_path)
    name = "my\npond's.toml"
    monkeypatch.setattr("builtins.input", lambda prompt: "later")
    (tmp_path / name).write_text('name = "A"\nstate = "MS"\n', encoding="utf-8")
    app.run(["pond", name])
    told = capsys.readouterr().out
    (on,) = (line for line in told.splitlines() if line.startswith("Go on any time: "))
    assert f"Kept in {one_line(name)}." in told and name not in told
    word = on.removeprefix("Go on any time: plantpick pond ")
    if bash := shutil.which("bash"):
        assert subprocess.run([bash, "-c", f"printf %s {word}"], capture_output=True).stdout.decode() == name
    assert app.run(["rank", "no\nsuch.toml"]) == 3
    assert capsys.readouterr().err.startswith("no\\nsuch.toml: ")
    assert app.run(["demo", "a\nb"]) == 0 and "a\nb" not in capsys.readouterr().out
