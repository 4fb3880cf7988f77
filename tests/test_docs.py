"""The pages for readers are true: examples run, columns and names exist, and the walks are walked."""

import configparser
import importlib
import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from command_line import command

import plantpick
from plantpick.cli import app
from plantpick.files.pond_table import columns

PAGE = Path(__file__).resolve().parent.parent / "docs" / "example.md"
TEXT = PAGE.read_text(encoding="utf-8")


def blocks() -> list[str]:
    return re.findall(r"```python\n(.*?)```", TEXT, re.S)


def listed(title: str) -> list[str]:
    """The names in the first column of the table under a heading."""
    section = TEXT.partition(f"### {title}\n")[2].partition("\n### ")[0]
    cells = [line.split("|")[1] for line in section.splitlines() if line.startswith("|")][2:]
    return [name for cell in cells for name in re.split(r", | or ", cell.strip())]


@pytest.mark.slow
def test_the_example_runs_from_top_to_bottom(tmp_path):
    script = tmp_path / "example.py"
    script.write_text("\n\n".join(blocks()), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-W", "error::RuntimeWarning", str(script)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    assert len(blocks()) > 8 and "pickerelweed" in done.stdout and (tmp_path / "ranked.csv").exists()


@pytest.mark.parametrize(
    "title, table",
    [
        ("rank", lambda: plantpick.rank("demo")),
        ("ruled_out", lambda: plantpick.ruled_out("demo")),
        ("explain_score", lambda: plantpick.explain_score("demo", "pickerelweed")),
        ("depth_bands", lambda: plantpick.depth_bands("demo")),
        ("check_offer", lambda: plantpick.check_offer("demo", "demo")),
        ("watch_log", lambda: plantpick.watch_log("demo", "demo")),
    ],
)
def test_every_column_is_described(title, table, ranked_once):
    made = table()
    assert len(made) and list(made.columns) == listed(title)


def test_a_table_of_ponds_is_described():
    assert set(listed("A table of ponds")) == set(columns())


def test_every_public_function_is_on_the_page_and_says_what_it_gives():
    for name in plantpick.__all__:
        assert f"plantpick.{name}" in TEXT, name
        assert getattr(plantpick, name).__doc__


def test_the_ranking_as_a_table_agrees_with_the_command(ranked_once):
    import io

    import pandas as pd

    done = command("rank", "demo", "-f", "csv")
    told = pd.read_csv(io.StringIO(done.stdout)).head(5)
    made = plantpick.rank("demo", top=5)
    pd.testing.assert_frame_equal(told, pd.read_csv(io.StringIO(made.to_csv(index=False))), check_dtype=False)
    assert {"firm", "assumptions", "cautions", "law"} <= set(made.attrs)


def test_tables_keep_the_types_of_the_answer(ranked_once):
    """Days are days, numbers numbers, whole numbers whole even where one is missing; text is never read again as a number."""
    import pandas as pd

    stands = plantpick.watch_log("demo", "demo", date(2027, 9, 15))
    for column in ("planted", "act_by", "half_cap_early", "cap_late"):
        assert pd.api.types.is_datetime64_any_dtype(stands[column]), column
    assert stands["planted"].min() == pd.Timestamp(2025, 4, 12)  # the first planting in the demo log
    assert stands["half_cap_with_jumps_early"].dtype == "Int64" and stands["half_cap_now"].dtype == bool
    best = plantpick.rank("demo")
    assert best["groups_max"].dtype == "Int64" and best["score"].dtype == float


def test_a_table_has_the_same_types_when_it_is_empty(tmp_path):
    """A log that names no plant: the columns and their types are there."""
    log = tmp_path / "log.csv"
    log.write_text("date,plant,stretch,event,secchi_in\n2027-06-01,,,,30\n")
    empty = plantpick.watch_log("demo", log, date(2027, 9, 15))
    full = plantpick.watch_log("demo", "demo", date(2027, 9, 15))
    assert empty.empty and list(empty.columns) == list(full.columns)
    numbers = full.select_dtypes(["number", "datetime", "bool"]).columns
    assert (empty.dtypes[numbers] == full.dtypes[numbers]).all()


def test_the_text_of_an_offer_is_as_it_stands_in_the_file(tmp_path, ranked_once):
    """A line that a spreadsheet would take for a formula, one that looks like a number, and one like a missing value."""
    offer = tmp_path / "offer.txt"
    offer.write_text("=Pontederia cordata, plug, $2.50\n12345\nNA\n")
    assert list(plantpick.check_offer("demo", offer)["text"]) == [
        "=Pontederia cordata, plug, $2.50",
        "12345",
        "NA",
    ]


def test_a_job_that_there_is_not_is_refused_with_the_nearest():
    with pytest.raises(plantpick.PlantpickError, match="shoreline"):
        plantpick.rank("demo", job="shorelin")


def test_watching_as_a_table():
    made = plantpick.watch_log("demo", "demo", date(2027, 9, 15))
    assert {"plant_id", "stretch", "verdict", "what_to_do", "rate_middle", "cap_middle"} <= set(
        made.columns
    ) and len(made)


README = (PAGE.parent.parent / "README.md").read_text(encoding="utf-8")


def test_the_readme_puts_the_command_on_the_path_before_it_uses_it():
    """The first line leaves the command in .venv: whoever then types its bare name must have been told how."""
    first_bare = README.index("| `plantpick ")
    told = README[README.index(".venv/bin/plantpick rank demo") : first_bare]
    for step in (
        "source .venv/bin/activate",
        ".venv\\Scripts\\Activate.ps1",
        "pipx install .",
        "uv tool install .",
    ):
        assert f"`{step}`" in told, step
    assert "command not found" in told and "Windows" in told and "Mac" in told and "clone" in told


def test_the_readmes_two_lines_are_the_ones_that_are_run():
    """The checks take the first line that starts with python3 and names pytest: it must be one whole command."""
    lines = [line for line in README.splitlines() if re.match(r"^python3? ", line)]
    assert len(lines) == 2 and lines[0].endswith(".venv/bin/plantpick rank demo")
    assert lines[1].endswith('-m pytest -n auto -m "not slow"') and "[test]" in lines[1]


def test_the_share_of_judgement_in_the_readme_is_the_tables_own():
    from plantpick.catalogue.evidence import by_trait
    from plantpick.files import catalogue

    cells = by_trait(catalogue.load(evidence=True)).sum()
    ours = 100.0 * (cells["judgement"] + cells["memory"]) / cells.sum()
    said = re.search(r"filled trait cells (\d+) % are: about four fifths", README)
    assert said and abs(int(said[1]) - ours) <= 1.0 and 76.0 < ours < 84.0


def test_importing_the_package_loads_nothing():
    code = "import sys, plantpick; print([m for m in ('pandas', 'numpy', 'typer') if m in sys.modules], dir(plantpick)[-1])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout
    assert out.startswith("[] ")


def test_an_unknown_name_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'rankk'"):
        _ = plantpick.rankk


# What design.md and DEVELOPERS.md say of the package is true of it.
ROOT = PAGE.parent.parent
PACKAGE = ROOT / "plantpick"
PICTURES = {
    name: (ROOT / name).read_text(encoding="utf-8")
    for name in ("DEVELOPERS.md", "docs/design.md", "docs/method.md")
}
DESIGN = PICTURES["docs/design.md"]
FILE = re.compile(r"(?:[\w.-]+/)+[\w.-]*|\.?[\w-]+\.(?:py|md|toml|json|csv|yaml|txt)")
DOTTED = re.compile(r"[A-Za-z_]\w*(?:\.[A-Za-z_]\w*)+")
WALKS = {
    "Pond file to ranking": ["rank", "{pond}"],
    "Offer line to verdict": ["offer", "{pond}", "{offer}"],
    "Log row to alarm": ["watch", "{pond}", "demo", "--today", "2027-09-15"],
    "Stretch to plan": ["plan", "{pond}", "--seconds", "0.5"],
}


def named(text: str) -> list[str]:
    """Whatever a page names in code: the words between backticks, and modules that a command line runs."""
    inside = re.findall(r"`([^`\n]+)`", text)
    return inside + [word for line in inside for word in re.findall(r"-m (plantpick[\w.]*)", line)]


def in_package(dotted: str):
    """The module, class or function that a dotted name stands for; raises where there is none."""
    parts = dotted.removeprefix("plantpick.").split(".")
    found = None
    for number, part in enumerate(parts):
        module = "plantpick." + ".".join(parts[: number + 1])
        try:
            found = importlib.import_module(module)
        except ModuleNotFoundError:
            for rest in parts[number:]:
                found = getattr(found or plantpick, rest)
            break
    return found


def missing(text: str) -> list[str]:
    """Files, modules and functions that a page names and that are not there."""
    gone = []
    for name in named(text):
        if FILE.fullmatch(name):
            places = (ROOT, PACKAGE, ROOT / "docs", ROOT / "data")
            if name not in EXAMPLES_OF_FILES and not any((place / name).exists() for place in places):
                gone.append(name)
        elif DOTTED.fullmatch(name):
            try:
                in_package(name)
            except (AttributeError, ImportError):
                gone.append(name)
    return gone


EXAMPLES_OF_FILES = ("pond.toml", "log.csv", "offer.txt")  # the reader's own


@pytest.mark.parametrize("page", PICTURES)
def test_what_a_page_names_is_there(page):
    assert len(named(PICTURES[page])) > 20 and missing(PICTURES[page]) == []


def test_a_name_that_is_not_there_is_found():
    wrong = "`ranking.rank.rnak` `ranking/rnak.py` `python -m plantpick.cli.refrence`"
    assert missing(wrong) == ["ranking.rank.rnak", "ranking/rnak.py", "plantpick.cli.refrence"]


def test_every_step_of_the_method_has_a_formula_and_a_source():
    """A line of code with the formula, and a line "Source: ..." or a table with a column of sources."""
    steps = re.split(r"^### ", PICTURES["docs/method.md"], flags=re.M)[1:]
    assert len(steps) > 80
    for step in steps:
        title, _, text = step.partition("\n")
        text = re.split(r"^## ", text, flags=re.M)[0]
        in_a_table = re.search(r"^\|.*\bsource \|$", text, re.M)
        assert re.search(r"^Source: \S", text, re.M) or in_a_table, title
        assert re.search(r"^(?:- )?`[^`]+`", text, re.M) or in_a_table, title


def layers() -> list[str]:
    """The rooms from the top down, as the linter of imports has them."""
    told = configparser.ConfigParser()
    told.read(ROOT / ".importlinter", encoding="utf-8")
    return told["importlinter:contract:rooms"]["layers"].split()


def test_the_rooms_are_those_that_the_linter_holds():
    table = DESIGN.partition("## Rooms")[2].partition("\n## ")[0]
    assert re.findall(r"^\| `(\w+)` \|", table, re.M) == layers()
    picture = PICTURES["DEVELOPERS.md"].split("```")[1].partition("data/")[0]
    first = [
        re.match(r"\w+(?:, \w+)*", line) for line in picture.splitlines() if line and not line.startswith("-")
    ]
    assert [word for found in first if found for word in found[0].split(", ")] == layers()


def test_developers_fits_a_page():
    assert len(PICTURES["DEVELOPERS.md"].splitlines()) <= 60


def walk(title: str) -> tuple[list[str], list[str]]:
    """The functions of one walk: on the way down, and on the way back."""
    text = DESIGN.partition(f"### {title}\n")[2].partition("\n#")[0]
    down, back = (re.findall(r"^\d+\. `([\w.]+)`", part, re.M) for part in text.split("Back:"))
    return down, back


@pytest.mark.parametrize("title", WALKS)
def test_a_walk_goes_down_through_the_rooms_and_comes_back_once(title):
    down, back = walk(title)
    rooms = [layers().index(name.split(".")[0]) for name in down + back]
    bottom = len(down)
    assert bottom >= 4 and len(back) >= 4 and rooms[0] == rooms[-1] == 0
    assert (
        rooms[:bottom] == sorted(rooms[:bottom]) and rooms[bottom - 1 :] == sorted(rooms[bottom - 1 :])[::-1]
    )


def called(arguments: list[str]) -> list[tuple[str, str]]:
    """("call" or "return", function) of everything in the package that one command line runs, in order."""
    events: list[tuple[str, str]] = []
    names: dict[object, str | None] = {}

    def note(frame, event, _) -> None:
        code = frame.f_code
        if code not in names:
            file = Path(code.co_filename)
            ours = file.is_relative_to(PACKAGE) and "<" not in code.co_qualname
            room = ".".join(file.relative_to(PACKAGE).with_suffix("").parts) if ours else ""
            names[code] = f"{room}.{code.co_qualname}" if ours else None
        if (name := names[code]) and event in ("call", "return"):
            events.append((event, name))

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        app.run(arguments)
    finally:
        sys.setprofile(before)
    return events


LONG = ("Offer line to verdict", "Stretch to plan")  # seconds, with every call noted


@pytest.mark.parametrize(
    "title", [pytest.param(t, marks=pytest.mark.slow) if t in LONG else t for t in WALKS]
)
def test_a_walk_is_the_way_that_a_value_takes(title, tmp_path, capsys):
    """Each step down is called after the one before it, each step back returns after the one before it."""
    from plantpick.files import catalogue

    catalogue.load.cache_clear()  # a command reads the tables once: here, as if it were the first
    offer = tmp_path / "offer.txt"
    offer.write_text("Pontedaria cordata, plug, $4.00 each\n", encoding="utf-8")
    events = iter(called([word.format(pond="demo", offer=offer) for word in WALKS[title]]))
    down, back = walk(title)
    for step in [("call", name) for name in down] + [("return", name) for name in back]:
        assert step in events, step
