"""What the shell offers on Tab: quick, and words that the commands then take."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from plantpick.cli import complete
from plantpick.files import pond_file


def test_the_demo_ponds_are_those_that_the_readers_know():
    assert set(complete.DEMOS) == set(pond_file.DEMOS)


def test_plant_names_whatever_the_letter_case(plants):
    found = complete.plant_names("PICKEREL")
    assert "pickerelweed" in [name.lower() for name, _ in found]
    for typed in ("wild c", "Pont", "q", ""):
        for name, accepted in complete.plant_names(typed):
            assert str(name).lower().startswith(typed.lower()) and accepted
    assert len(complete.plant_names("")) == complete.MOST and not complete.plant_names("zzz")


def test_names_offered_are_names_that_are_found(plants):
    from plantpick.errors import PlantpickError

    for name, _ in complete.plant_names("wil"):
        try:
            assert plants.find(str(name))
        except PlantpickError as fault:
            assert fault.code == "several-plants"


def test_pond_files_and_folders(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("mill.toml", "mine.csv", "notes.txt", ".hidden.toml"):
        (tmp_path / name).write_text("")
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "deep.toml").write_text("")
    assert complete.pond_files("m") == ["mill.toml", "more/"]
    assert complete.pond_files("more/") == ["more/deep.toml"]
    assert complete.ponds_and_tables("m") == ["mill.toml", "mine.csv", "more/"]
    assert complete.pond_files("demo-n") == ["demo-north"] and complete.pond_files("nowhere/x") == []
    assert complete.log_files("") == ["demo", "mine.csv", "more/"]
    assert complete.offer_files("n") == ["notes.txt"]


def test_stretches_of_the_pond_that_was_named(tmp_path):
    named = SimpleNamespace(params={"pond": "demo"})
    assert "dam" in complete.stretches(named, "") and complete.stretches(named, "da") == ["dam"]
    broken = tmp_path / "b.toml"
    for text in ("shore = 3", "= =", "shore = [1, 2]", "[[shore]]\nname = 3"):
        broken.write_text(text)
        assert complete.stretches(SimpleNamespace(params={"ponds": [str(broken)]}), "") == []
    assert complete.stretches(SimpleNamespace(params={}), "") == []


def test_nothing_heavy_is_loaded():
    """One Tab: the command starts, reads the names and ends, without numpy or pandas.."""
    code = (
        "import sys; from plantpick.cli.complete import plant_names; plant_names('wi'); "
        "print([m for m in ('numpy', 'pandas', 'rich', 'plantpick.catalogue.plants') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"


def program() -> str:
    found = shutil.which(
        "plantpick", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    )
    return found or pytest.skip("the plantpick command is not installed beside this Python")


@pytest.mark.parametrize(
    "line, word, expected",
    [
        (["plantpick", "rank", "demo", "--explain", "pickerelwe"], 4, "pickerelweed"),
        (["plantpick", "plant", "wild\\ cel"], 2, "wild\\ celery"),
        (["plantpick", "rank", "demo-no"], 2, "demo-north"),
        (["plantpick", "ran"], 1, "rank"),
    ],
)
def test_bash_itself_gets_them(tmp_path, line, word, expected):
    """The completion script in a real bash: the word that is put on the line."""
    bash = shutil.which("bash") or pytest.skip("no bash here")
    words = " ".join(f"'{w}'" for w in line)
    script = (
        f'eval "$(_PLANTPICK_COMPLETE=source_bash plantpick)"\nCOMP_WORDS=({words})\nCOMP_CWORD={word}\n'
        '_plantpick_completion plantpick\nprintf "%s\\n" "${COMPREPLY[@]}"\n'
    )
    path = f"{Path(program()).parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        [bash, "-c", script],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        timeout=600,
        env={**os.environ, "PATH": path},
    )
    assert expected in done.stdout.splitlines(), (done.stdout, done.stderr)


ASKED = [
    ("plantpick rank demo --explain pickerelwe", "pickerelweed"),
    ("plantpick rank demo-no", "demo-north"),
    ("plantpick plant 'wild cel", "wild celery"),
]


@pytest.mark.parametrize("line, expected", ASKED)
def test_fish_itself_gets_them(tmp_path, line, expected):
    fish = shutil.which("fish") or pytest.skip("no fish here: its completion was asked for by hand only")
    script = tmp_path / "complete.fish"
    script.write_text(
        f'env _PLANTPICK_COMPLETE=source_fish plantpick | source\ncomplete -C "{line}"\n', encoding="utf-8"
    )
    path = f"{Path(program()).parent}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        [fish, str(script)],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        timeout=600,
        env={**os.environ, "PATH": path, "HOME": str(tmp_path)},
    )
    assert expected in [told.partition("\t")[0] for told in done.stdout.splitlines()], (
        done.stdout,
        done.stderr,
    )


@pytest.mark.parametrize("line, expected", ASKED)
@pytest.mark.parametrize(
    "shell, more, script",
    [("zsh", {}, "compdef"), ("fish", {"_TYPER_COMPLETE_FISH_ACTION": "get-args"}, "complete --command")],
)
def test_what_the_scripts_of_the_other_shells_ask_for(tmp_path, shell, more, script, line, expected):
    """The script is given, and the question that it puts is answered; no shell is needed for that."""

    def asked(**told):
        environment = {**os.environ, **told}
        return subprocess.run(
            [program()], capture_output=True, text=True, cwd=tmp_path, timeout=600, env=environment
        ).stdout

    assert script in asked(_PLANTPICK_COMPLETE=f"source_{shell}")
    assert expected in asked(_PLANTPICK_COMPLETE=f"complete_{shell}", _TYPER_COMPLETE_ARGS=line, **more)
