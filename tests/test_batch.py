"""Many ponds in one run: the same rows as one by one, failures set apart, runs that are stopped and go on."""

import csv
import io
import os
import signal
import subprocess
import sys
import time
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import command

from plantpick.batch import many_ponds
from plantpick.batch.out_table import OutTable
from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files.catalogue import data_folder
from plantpick.files.pond_file import read_pond, sections
from plantpick.files.pond_table import columns, gather, read_pond_table
from plantpick.ranking import rank
from plantpick.show.ranking import RANKING_COLUMNS, ranking_csv, ranking_rows

BASE = {
    "name": "Test Pond",
    "state": "MS",
    "hardiness_zone": "8a",
    "area_acres": "2",
    "max_depth_ft": "12",
    "clarity_in": "30",
    "shore_1_name": "north",
    "shore_1_length_ft": "700",
    "shore_1_slope": "3",
    "shore_2_name": "south",
    "shore_2_length_ft": "500",
    "shore_2_slope": "6",
    "shore_2_sun": "part",
}


def table(path: Path, *changes: dict) -> Path:
    """A table of invented ponds, the base with changes; each has its own name."""
    rows = [{**BASE, "name": f"Pond {n}", **change} for n, change in enumerate(changes, 1)]
    heads = list(dict.fromkeys(key for row in rows for key in row))
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, heads, restval="")
        writer.writeheader()
        writer.writerows(rows)
    return path


def varied(path: Path, count: int) -> Path:
    states = ("MS", "GA", "TX", "WI", "OH", "VA", "MO")
    return table(
        path,
        *(
            {
                "state": states[n % 7],
                "hardiness_zone": str(5 + n % 4),
                "area_acres": f"{1 + n % 5}",
                "clarity_in": f"{15 + 7 * (n % 6)}",
                "usual_drop_ft": f"{n % 3}",
            }
            for n in range(count)
        ),
    )


def flat(told: dict) -> dict:
    """A pond file's keys as one row of a table."""
    row = {}
    for key, value in told.items():
        if key in ("shore", "keep_clear"):
            row |= {
                f"{key}_{n}_{inner}": [v]
                if inner in ("at_ft", "at_lon_lat") and not isinstance(v[0], list)
                else v
                for n, item in enumerate(value, 1)
                for inner, v in item.items()
            }
        elif key == "residents":
            row[key] = "; ".join(k.replace("_", " ") for k, v in value.items() if v)
        elif isinstance(value, dict):
            row |= value
        else:
            row[key] = value
    return {k: "; ".join(map(point, v)) if isinstance(v, list) else v for k, v in row.items()}


def point(value) -> str:
    """A word, or a point as a cell has it: x and y with a space between."""
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)


def rows_of(path: Path) -> list[dict]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def in_a_process(*words, **more):
    """The command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "plantpick", *map(str, words)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "COLUMNS": "400"},
        timeout=600,
        **more,
    )


def own(row: dict) -> dict:
    return {c: row[c] for c in RANKING_COLUMNS}


@pytest.mark.parametrize("cores", [1, 2])
def test_rows_are_those_of_one_by_one_runs(tmp_path, plants, cores, ranked_once):
    asked, _ = gather([str(varied(tmp_path / "ponds.csv", 6))])
    settings = {"job": "all", "next_door": False, "draws": 64}
    done = many_ponds.run(asked, many_ponds.ranking_work(top=6, **settings), tmp_path / "out.csv", cores)
    assert (done.answered, done.kept, done.failures) == (6, 0, ())
    got = rows_of(tmp_path / "out.csv")
    for one in asked:
        text = ranking_csv(rank.rank(one.read(), plants, **settings))
        alone = [own(row) for row in csv.DictReader(io.StringIO(text))][:6]
        assert [own(row) for row in got if row["pond"] == one.pond] == alone and alone
    assert list(dict.fromkeys(row["pond"] for row in got)) == [one.pond for one in asked]


@pytest.mark.slow
def test_pond_files_on_the_command_line_give_what_each_gives_alone(tmp_path):
    done = in_a_process("rank", "demo", "demo-north", "demo-hard", "--top", 5, "--out", tmp_path / "o.csv")
    assert (
        done.returncode == 0 and not done.stdout and "3 of 3 ponds answered" in " ".join(done.stderr.split())
    )
    got = rows_of(tmp_path / "o.csv")
    for name in ("demo", "demo-north", "demo-hard"):
        alone = command("rank", name, "--format", "csv").stdout
        assert [own(r) for r in got if r["pond"] == name] == list(csv.DictReader(io.StringIO(alone)))[:5]


@pytest.mark.parametrize("name", ["south", "north", "hard", "surveyed"])
def test_a_row_says_what_a_pond_file_says(tmp_path, name):
    """Every demo pond written as a row of CSV is read as the same pond; survey files count from the table's folder."""
    file = data_folder() / "demo" / f"{name}.toml"
    told = tomllib.loads(file.read_text(encoding="utf-8"))
    for key in ("outline", "soundings", "contours"):
        if key in told:
            (tmp_path / told[key]).write_bytes((file.parent / told[key]).read_bytes())
    row = flat(told)
    with (tmp_path / "t.csv").open("w", newline="", encoding="utf-8-sig") as out:
        writer = csv.DictWriter(out, list(row), delimiter=";")
        writer.writeheader()
        writer.writerow(row)
    assert read_pond_table(tmp_path / "t.csv")[0].read() == read_pond(str(file))


def test_parquet_is_read_as_csv_is(tmp_path):
    pyarrow = pytest.importorskip("pyarrow")
    from pyarrow import parquet

    path = varied(tmp_path / "ponds.csv", 5)
    kinds = {c: float for c in ("area_acres", "max_depth_ft", "clarity_in", "usual_drop_ft", "shore_1_slope")}
    with path.open(encoding="utf-8") as file:
        rows = [{k: kinds.get(k, str)(v) for k, v in row.items()} for row in csv.DictReader(file)]
    for row in rows:
        row |= {"shore_2_dam": True, "residents": ["deer", "grass carp"], "ph": None, "last_frost": None}
    parquet.write_table(pyarrow.Table.from_pylist(rows), tmp_path / "ponds.parquet")
    there = [a.read() for a in read_pond_table(tmp_path / "ponds.parquet")]
    from plantpick.pond.model import Stretch

    plain = [a.read() for a in read_pond_table(path)]
    assert all("residents" in p.not_given for p in plain)  # only the parquet file has a column of them
    assert [
        replace(p, residents=frozenset(), stretches=(), not_given=p.not_given | {"residents"}) for p in there
    ] == [replace(p, stretches=()) for p in plain]
    assert there[0].residents == {"deer", "grass carp"} and there[0].stretches[1] == Stretch(
        "south", 500, 6, "part", dam=True
    )


def test_broken_parquet_is_refused(tmp_path):
    pytest.importorskip("pyarrow")
    for raw in (b"", b"PAR1", b"PAR1" + b"\x00" * 50 + b"PAR1", os.urandom(300)):
        (tmp_path / "p.parquet").write_bytes(raw)
        with pytest.raises(PlantpickError, match="Parquet"):
            read_pond_table(tmp_path / "p.parquet")


@pytest.mark.parametrize(
    "cell, day",
    [
        ("03-28", (3, 28)),
        ("28-Mar", (3, 28)),
        ("Mar 28", (3, 28)),
        ("2001-03-28", (3, 28)),
        ("28-Mar-25", (3, 28)),
        ("March 28", (3, 28)),
    ],
)
def test_a_date_that_a_spreadsheet_changed(tmp_path, cell, day):
    path = table(tmp_path / "t.csv", {"last_frost": cell, "first_frost": "5-Nov"})
    pond = read_pond_table(path)[0].read()
    assert (pond.last_frost, pond.first_frost) == (day, (11, 5))


def test_every_mistake_of_a_row_names_its_cell(tmp_path):
    path = table(
        tmp_path / "t.csv",
        {
            "state": "Missisippi",
            "area_acres": "two",
            "shore_2_slope": "-1",
            "shore_1_dam": "perhaps",
            "residents": "deer; gose",
            "max_depth_ft": "",
        },
    )
    with pytest.raises(PlantpickError) as caught:
        read_pond_table(path)[0].read()
    told = {str(p.where).rpartition(":")[2]: str(p) for p in caught.value.problems}
    assert set(told) == {"state", "area_acres", "shore_2_slope", "shore_1_dam", "residents", "max_depth_ft"}
    assert all(f"{path}:2:" in line for line in told.values())
    assert "Mississippi" in told["state"] and '"gose"' in told["residents"] and "geese" in told["residents"]
    assert "quotes" not in " ".join(told.values())


@pytest.mark.parametrize(
    "heading, said",
    [
        ("shore_1_lenght_ft", "shore_1_length_ft"),
        ("shore_2_slop", "shore_2_slope"),
        ("area_acre", "area_acres"),
        ("name", "twice"),
        ("shore_1_colour", "shore_1_name"),
        ("zone", "hardiness_zone"),
    ],
)
def test_a_heading_that_is_wrong_stops_the_run(tmp_path, heading, said):
    path = tmp_path / "t.csv"
    path.write_text(f"{','.join(BASE)},{heading}\n{','.join(BASE.values())},1\n")
    with pytest.raises(PlantpickError, match=said) as caught:
        read_pond_table(path)
    assert caught.value.code == "pond-table" and "t.csv:1:" in str(caught.value)


def test_strangers_are_passed_over_and_said(tmp_path):
    path = table(tmp_path / "t.csv", {"telephone": "555-0100", "county": "Lee"})
    remarks = []
    assert read_pond_table(path, remarks)[0].read().name == "Pond 1"
    assert remarks == ["t.csv: columns passed over: telephone, county."]


def test_a_gap_in_the_numbers_and_a_name_that_stands_twice(tmp_path):
    path = table(
        tmp_path / "t.csv",
        {"shore_4_name": "x", "shore_4_length_ft": "90", "shore_4_slope": "3"},
        {"name": "Pond 1"},
    )
    asked, _ = gather([str(path)])
    for one, said in zip(asked, ("shore_3", "already")):
        with pytest.raises(PlantpickError, match=said):
            one.read()


def test_failures_come_last_and_stop_nothing(tmp_path):
    path = table(tmp_path / "ponds.csv", {}, {"state": "ZZ"}, {}, {"shore_1_slope": "steep"})
    done = command("rank", path, "nowhere.toml", "--top", 2, "--draws", 64, "--out", tmp_path / "o.csv")
    assert done.returncode == ExitStatus.BAD_INPUT and "Traceback" not in done.stderr
    assert {row["pond"] for row in rows_of(tmp_path / "o.csv")} == {"Pond 1", "Pond 3"}
    lines = done.stderr.splitlines()
    assert "2 of 5 ponds answered" in lines[0] and "3 ponds are not in the table" in lines[-1]
    for said in ("ponds.csv:3:state", "ponds.csv:5:shore_1_slope", "nowhere.toml"):
        assert sum(said in line for line in lines) == 1, done.stderr


def test_a_fault_of_ours_in_one_pond_stops_no_other(tmp_path, monkeypatch):
    real = rank.rank
    monkeypatch.setattr(
        rank, "rank", lambda pond, *a, **k: 1 / 0 if pond.name == "Pond 2" else real(pond, *a, **k)
    )
    asked, _ = gather([str(table(tmp_path / "t.csv", {}, {}, {}))])
    done = many_ponds.run(asked, many_ponds.ranking_work(top=1, places=False), tmp_path / "o.csv", cores=1)
    assert done.answered == 2 and [f.pond for f in done.failures] == ["Pond 2"] and done.failures[0].ours


def test_a_second_run_does_only_what_is_new_or_changed(tmp_path, monkeypatch):
    seen = []
    real = rank.rank
    monkeypatch.setattr(rank, "rank", lambda pond, *a, **k: seen.append(pond.name) or real(pond, *a, **k))

    def again(path, **settings):
        seen.clear()
        work = many_ponds.ranking_work(**{"top": 3, "draws": 64, **settings})
        return many_ponds.run(gather([str(path)])[0], work, tmp_path / "o.csv", cores=1)

    path = table(tmp_path / "t.csv", {}, {}, {})
    again(path)
    first = (tmp_path / "o.csv").read_bytes()
    done = again(path)
    assert (done.answered, done.kept, seen) == (0, 3, []) and (tmp_path / "o.csv").read_bytes() == first
    table(path, {}, {"max_depth_ft": "8"}, {}, {"name": "=Pond 4"})
    assert again(path).kept == 2 and seen == ["Pond 2", "=Pond 4"]
    assert again(path).kept == 4 and seen == []
    again(path, top=2)
    assert len(seen) == 4
    rows = rows_of(tmp_path / "o.csv")
    assert len(rows) == 8 and {row["pond"] for row in rows} == {"Pond 1", "Pond 2", "Pond 3", "'=Pond 4"}


def test_a_survey_file_that_changed_is_read_again(tmp_path):
    for name in ("surveyed.toml", "outline.geojson", "soundings.csv", "contours.csv"):
        (tmp_path / name).write_bytes((data_folder() / "demo" / name).read_bytes())
    one = gather([str(tmp_path / "surveyed.toml")])[0][0]
    before = one.fingerprint()
    with (tmp_path / "soundings.csv").open("a") as file:
        file.write("\n# a remark\n")
    assert before and one.fingerprint() != before


def test_a_pond_where_nothing_fits_has_a_row(tmp_path, monkeypatch):
    work = many_ponds.ranking_work(top=3, places=False)
    monkeypatch.setattr(rank, "rank", lambda pond, catalogue, **k: replace(RANKED, plants=()))
    global RANKED
    RANKED = rank.Ranking(
        pond=read_pond("demo"), job="all", plants=(), ruled_out=(), assumptions=(), cautions=(), law={}
    )
    many_ponds.run(gather(["demo"])[0], work, tmp_path / "o.csv", cores=1)
    rows = rows_of(tmp_path / "o.csv")
    assert len(rows) == 1 and rows[0]["plant_id"] == "" and "no plant" in rows[0]["notes"]


@pytest.mark.parametrize("text", ["plant,price\neelgrass,3\n", "", "\x00\x01", 'pond,name\n"a'])
def test_a_file_that_is_no_such_table_is_left_alone(tmp_path, text):
    out = tmp_path / "mine.csv"
    out.write_text(text)
    done = command("rank", "demo", "--out", out)
    assert (
        done.returncode == ExitStatus.CANNOT_WRITE
        and out.read_text() == text
        and "left alone" in " ".join(done.stderr.split())
    )


def test_two_runs_on_one_table_the_second_to_write_is_told(tmp_path):
    out = tmp_path / "o.csv"
    with OutTable(out, ("pond", "x", "fingerprint")) as first:
        with OutTable(out, ("pond", "x", "fingerprint")) as second:
            second.add([{"pond": "b", "x": 1, "fingerprint": "f"}])
        first.add([{"pond": "a", "x": 1, "fingerprint": "f"}])
        with pytest.raises(PlantpickError, match="another run") as caught:
            first.save()
        assert caught.value.status is ExitStatus.CANNOT_WRITE
        first.waiting.clear()
    assert [r["pond"] for r in rows_of(out)] == ["b"]


def test_an_interrupt_at_any_step_of_a_save_is_not_taken_for_another_run(tmp_path):
    """A second Ctrl-C may come between any two lines: the pond is in the table once, and nobody is accused."""
    from plantpick.batch import out_table
    from plantpick.files import save

    out, header = tmp_path / "o.csv", ("pond", "x", "fingerprint")

    def row(pond):
        return {"pond": pond, "x": 1, "fingerprint": "f"}

    def interrupt_at(line: int):
        """A trace function that interrupts at that line of the two files, counted from its start."""
        seen = 0

        def trace(frame, event, value):
            nonlocal seen
            if frame.f_code.co_filename not in (save.__file__, out_table.__file__):
                return None
            if event == "line":
                seen += 1
                if seen == line:
                    raise KeyboardInterrupt
            return trace

        return trace

    traced = sys.gettrace()
    for line in range(1, 200):
        out.unlink(missing_ok=True)
        try:
            with OutTable(out, header) as table:
                table.add([row("a")])
                try:
                    sys.settrace(interrupt_at(line))
                    table.save()
                finally:
                    sys.settrace(traced)
                break  # a whole save has fewer lines than this
        except KeyboardInterrupt:
            pass
        assert [r["pond"] for r in rows_of(out)] == ["a"], line
    assert 30 < line < 199
    with OutTable(out, header) as table:
        for pond in "bcd":
            table.add([row(pond)])
            table.save()
    assert [r["pond"] for r in rows_of(out)] == list("abcd")


def whole(path: Path, top: int) -> set[str]:
    """The ponds in the table, each of which must have all its rows."""
    rows = rows_of(path)
    count = {}
    for row in rows:
        assert None not in row and None not in row.values()
        count[row["pond"]] = count.get(row["pond"], 0) + 1
    assert all(n == top for n in count.values()), count
    return set(count)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX signals")
@pytest.mark.parametrize(
    "how", ["SIGKILL", "SIGTERM", "SIGTERM twice", "SIGINT", "SIGINT twice", "Ctrl-C", "Ctrl-C twice"]
)
def test_a_run_that_is_stopped_leaves_a_whole_table_and_goes_on(tmp_path, how):
    """Far more ponds than are done when the stop comes; the run that goes on gets ten that are new."""
    ponds, out, many = varied(tmp_path / "ponds.csv", 600), tmp_path / "o.csv", 600
    line = ["rank", ponds, "--top", 3, "--draws", 64, "--cores", 2, "--out", out]
    process = subprocess.Popen(
        [sys.executable, "-m", "plantpick", *map(str, line)],
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    while process.poll() is None and not (out.exists() and len(whole(out, 3)) >= 2):
        time.sleep(0.02)
    children = _children(process.pid)
    for _ in how.split():  # "twice" adds one: the second comes while the first is heeded
        if "Ctrl-C" in how:  # as a terminal sends it: to every process of the group
            os.killpg(process.pid, signal.SIGINT)
        else:
            process.send_signal(getattr(signal, how.split()[0]))
        time.sleep(0.05)
    _, told = process.communicate(timeout=600)
    before = whole(out, 3)
    assert 2 <= len(before) < many and "Traceback" not in told
    if how != "SIGKILL":
        assert process.returncode == 130 and not list(tmp_path.glob(".o.csv*"))
        assert "goes on from there" in told and told.endswith("Stopped.\n")
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline and any(_alive(child) for child in children):
        time.sleep(0.1)
    assert not [child for child in children if _alive(child)], "a process outlived the run"
    varied(ponds, len(before) + 10)
    done = in_a_process(*line)
    assert done.returncode == 0 and f"{len(before)} were there already" in " ".join(done.stderr.split()), (
        done.stderr
    )
    assert len(whole(out, 3)) == len(before) + 10


def _children(pid: int) -> list[int]:
    if not Path("/proc").is_dir():
        return []
    return [int(p.name) for p in Path("/proc").iterdir() if p.name.isdigit() and _parent(p) == pid]


def _parent(folder: Path) -> int:
    try:
        return int((folder / "stat").read_text().rpartition(")")[2].split()[1])
    except (OSError, ValueError, IndexError):
        return -1


def _alive(pid: int) -> bool:
    try:
        return (Path("/proc") / str(pid) / "stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except (OSError, IndexError):
        return False


def test_columns_cover_every_key_of_a_pond_file():
    said = set(columns())
    for section, keys in sections().items():
        for key in keys:
            assert section == "residents" or key == "not_known" or {key, f"{section}_1_{key}"} & said, (
                section,
                key,
            )


@pytest.mark.slow
def test_plans_in_one_table_are_those_of_one_by_one_runs(tmp_path):
    """Row for row. Near enough to the least cost the solver ends by itself: the clock, which no two runs share, decides nothing."""
    names, ends = ("demo-surveyed", "demo"), ("--within", 60, "--seconds", 600)
    time_given = (*ends, "--today", "2026-03-01")
    done = command("plan", *names, "--csv", tmp_path / "all.csv", *time_given)
    assert done.returncode == 0 and not done.stdout, done.stderr
    got = rows_of(tmp_path / "all.csv")
    for name in names:
        assert command("plan", name, "--csv", tmp_path / f"{name}.csv", *time_given).returncode == 0
        alone = rows_of(tmp_path / f"{name}.csv")
        assert [{c: row[c] for c in alone[0]} for row in got if row["pond"] == name] == alone and alone
    assert {row["met"] for row in got} <= {"True", "False"} and all(row["in_short"] for row in got)
    again = command("plan", *names, "--csv", tmp_path / "all.csv", *ends, "--today", "2026-03-02")
    assert "2 were there already" in again.stderr
    assert command("plan", *names, "--out", tmp_path / "p.html").returncode == ExitStatus.USAGE


def test_one_stretch_alone(plants, south, ranked_once):
    rows = rank.rank(south.only_at(("feeder cove",)), plants, places=False).plants
    assert rows and {place[0] for row in rows for place in row.good_places} == {"feeder cove"}
    assert all(row.stretch == "feeder cove" and row.groups_wanted == 1 for row in rows)
    with pytest.raises(PlantpickError, match='mean "feeder cove"'):
        south.only_at(("feder cove",))
    out = command("rank", "demo", "--stretch", "dam", "--stretch", "feeder cove", "-f", "csv").stdout
    assert {row["stretch"] for row in csv.DictReader(io.StringIO(out))} <= {"dam", "feeder cove"}


def test_the_columns_of_the_output_are_those_of_the_ranking(plants, south, ranked_once):
    rows = ranking_rows(rank.rank(south, plants, places=False), 1)
    assert tuple(rows[0]) == RANKING_COLUMNS
