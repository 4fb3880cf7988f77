"""Hard use: mangled files, files too large, processes killed while they write, full disks, no network.

The readers and their seeds are in tests/fuzz/readers.py, which the coverage-guided fuzzer (tests/fuzz/fuzz.py) uses too.
"""

import csv
import io
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).resolve().parent / "fuzz"))
import readers
from examples import EXAMPLES, lines

from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files import pond_file

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs POSIX signals, users and limits")
# Inputs that once got past a reader's own errors: (reader, what).
BROKE_ONCE = [
    ("pond", b"a = 1" + b"0" * 5000),
    (
        "names",
        b"plant_id,name,kind\nacer-negundo,box elder,common,more\nacer-negundo,ash-leaved maple,common\n",
    ),
    ("names", b"," * 400_000),
    ("log", b"# An invented log, out_ft,drop# more\x0csecchi_in,group"),
    ("log", b'{"a":' * 50_000),
    (
        "offer-xlsx",
        readers.READERS["offer-xlsx"]
        .seeds()[0]
        .replace(b"PK\x01\x02\x14\x03\x14", b"PK\x01\x02\x14\x03\xeb"),
    ),
]
SPECIAL = [
    b"\x00",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"nan",
    b"inf",
    b"-1",
    b"1e308",
    b"1e999",
    b"9" * 400,
    b'"',
    b"'''",
    b"\r",
    b"\n\n",
    b";",
    b"\t",
    b"=",
    b"[[shore]]",
    b"[",
    b"{",
    b"<",
    b"&",
    b"%",
    b"\\",
    "\u202e\u0660\u00b2\u212a".encode(),
    b"0x7f",
    b"9999-99-99",
    b"--",
    b"=cmd|' /C'!A0",
    "\U0001f41f".encode(),
    b"\xed\xa0\x80",
    b" " * 300,
]


@st.composite
def mangled(draw, seeds: list[bytes]) -> bytes:
    """A sound file with a few pieces cut out, doubled, moved or overwritten; now and then bytes of no file at all."""
    if draw(st.integers(0, 15)) == 0:
        return draw(st.binary(max_size=300))
    data = draw(st.sampled_from(seeds))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, max(0, len(data) - 1)))
        size = draw(st.sampled_from((0, 1, 1, 2, 5, 20, 200)))
        kind = draw(st.integers(0, 4))
        if kind == 0:
            data = data[:at] + data[at + size :]
        elif kind == 1:
            data = data[:at] + data[at : at + size] * draw(st.integers(2, 5)) + data[at:]
        elif kind == 2:
            data = data[:at] + draw(st.sampled_from(SPECIAL)) + data[at + size :]
        elif kind == 3:
            data = data[:at] + draw(st.binary(max_size=8)) + data[at + size :]
        else:
            to = draw(st.integers(0, len(data)))
            data = data[:to] + data[at : at + size] + data[to:]
    return data


@pytest.mark.parametrize("which", readers.READERS)
def test_sound_seeds_are_taken(which):
    for seed in readers.READERS[which].seeds():
        assert readers.feed(which, seed), which


@pytest.mark.parametrize("which", readers.READERS)
def test_no_mangled_file_breaks_a_reader(which):
    """Taken, or refused with words; within ten seconds of a processor each, however busy the machine is."""

    @settings(
        max_examples=60 if which in ("offer-pdf", "offer-xlsx", "soundings") else 120,
        database=None,
    )
    @given(mangled(readers.READERS[which].seeds()))
    def check(data):
        start = time.process_time()
        readers.feed(which, data)
        assert time.process_time() - start < 10

    check()


@pytest.mark.parametrize("which, data", BROKE_ONCE)
def test_what_broke_a_reader_once(which, data):
    assert readers.feed(which, data) is False


NASTY = {
    "nothing": b"",
    "zeros": b"\x00" * 5000,
    "brackets": b"[" * 200_000,
    "braces": b'{"a":' * 50_000,
    "quotes": b'"' * 100_001,
    "a long line": b"a" * 3_000_000,
    "commas": b"," * 400_000,
    "lines": b"\n" * 400_000,
    "headings": b",".join(b"c%d" % n for n in range(50_000)),
    "a number without end": b"1" * 200_000,
    "tags": b"<a>" * 100_000,
    "laughing": b'<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha">'
    + b"".join(b'<!ENTITY %c "%s">' % (98 + n, b"&%c;" % (97 + n) * 10) for n in range(9))
    + b"]><kml>&j;</kml>",
    "another's file": b'<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a SYSTEM "file:///etc/passwd">]><kml>&a;</kml>',
}


@pytest.mark.parametrize("which", readers.READERS)
def test_no_nasty_file_hangs_a_reader(which):
    for what, data in NASTY.items():
        start = time.process_time()
        readers.feed(which, data)
        assert time.process_time() - start < 20, (which, what)


def test_a_workbook_that_unpacks_to_far_more_is_refused():
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", "<a/>")
        with packed.open("xl/worksheets/sheet1.xml", "w") as part:
            for _ in range(400):
                part.write(b" " * 1_000_000)
    assert len(made.getvalue()) < 1_000_000
    assert readers.feed("offer-xlsx", made.getvalue()) is False


def test_a_workbook_that_is_broken_in_the_middle_is_refused():
    """They are read row by row: the break comes to light after the first rows were taken."""
    from openpyxl import Workbook

    book = Workbook()
    for number in range(2_000):
        book.active.append([f"pickerelweed {number}", *range(25)])
    made, broken = io.BytesIO(), io.BytesIO()
    book.save(made)
    with zipfile.ZipFile(made) as old, zipfile.ZipFile(broken, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            data = old.read(part)
            new.writestr(part, data[:-200_000] if "sheet1" in part else data)
    assert readers.feed("offer-xlsx", broken.getvalue()) is False


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize("which", readers.READERS)
def test_a_file_far_too_large_is_refused_in_little_memory(which):
    """Ten gigabytes that take no room on the disk; the process may have 3 GB of addresses, of which its libraries map most,
    and a minute of a processor."""
    code = (
        f"import resource, sys, os; sys.path[:0] = [{str(Path(__file__).parent / 'fuzz')!r}]\nimport readers, numpy, pandas\n"
        f"r = readers.READERS[{which!r}]; \np = readers.FOLDER / r.name\n"
        "open(p, 'wb').truncate(10 * 2**30)\nresource.setrlimit(resource.RLIMIT_AS, (3 * 2**30, 3 * 2**30))\n"
        "resource.setrlimit(resource.RLIMIT_CPU, (60, 60))\n"
        "try:\n    r.read(p)\nexcept readers.PlantpickError as fault:\n    readers.sound(fault); print('refused')\n"
        "finally:\n    os.unlink(p)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=600)
    assert done.stdout.strip() == "refused", (done.returncode, done.stderr[-800:])


NUMBERS = {
    "area_acres": (0.02, 2000),
    "max_depth_ft": (1, 200),
    "clarity_in": (2, 400),
    "usual_drop_ft": (0, 50),
    "ph": (3, 11),
    "salinity_ppt": (0, 60),
}


@st.composite
def ponds(draw) -> dict:
    """Any pond whose values are allowed one by one, the ends of their ranges more often than not."""

    def number(low, high):
        return draw(st.sampled_from((low, high)) | st.floats(low, high))

    water = {
        key: number(*NUMBERS[key])
        for key in NUMBERS
        if key in ("area_acres", "max_depth_ft") or draw(st.booleans())
    }
    shore = [
        {
            "name": f"s{n}",
            "length_ft": number(5, 200_000),
            "slope": number(0.3, 60),
            "dam": draw(st.booleans()),
            "sun": draw(st.sampled_from(("full", "part", "shade"))),
        }
        for n in range(draw(st.integers(1, 3)))
    ]
    goals = {
        "tolerance": draw(st.sampled_from(("none", "free", 0, 100)) | st.floats(0, 100)),
        "purposes": draw(
            st.lists(
                st.sampled_from(("fish cover", "bank hold", "show", "pollinator", "waterfowl")), min_size=1
            )
        ),
    }
    if draw(st.booleans()):
        goals["groups_wanted"] = draw(st.sampled_from((1, 200)))
    told = {
        "name": draw(st.text(min_size=1, max_size=30)),
        "state": draw(st.sampled_from(("MS", "FL", "AZ", "ME", "DC"))),
        "water": water,
        "shore": shore,
        "goals": goals,
        "residents": {"grass_carp": draw(st.booleans()), "muskrat": draw(st.booleans())},
        "keep_clear": [{"what": "riser", "stretch": "s0", "length_ft": number(0, 200_000)}],
    }
    return told | draw(
        st.sampled_from(
            (
                {"hardiness_zone": "1a"},
                {"hardiness_zone": "13b"},
                {"hardiness_zone": "8a"},
                {"coldest_night_f": 0},
            )
        )
    )


@settings(max_examples=60, database=None)
@given(ponds())
def test_any_pond_that_is_taken_is_answered(told):
    """What the reader lets through, the computation finishes: indices in range, shares from 0 to 100, low to high."""
    import warnings

    from plantpick.pond.depth_bands import describe
    from plantpick.ranking import rank

    try:
        pond = pond_file.pond_from(told)
    except PlantpickError as fault:
        return readers.sound(fault)
    plants = readers._plants()
    some = plants.plant_ids[::12]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        answer = rank.rank(pond, plants, draws=64, only=some)
        describe(pond)
    for plant in answer.plants:
        low, typical, high = plant.takeover_percent
        assert 0 <= plant.score <= 100 and 0 <= plant.site <= 1 and 0 <= plant.stays_put <= 1
        assert -1e-9 <= low <= typical + 1e-6 <= high + 2e-6, (plant.plant_id, plant.takeover_percent)
    assert len(answer.plants) + len(answer.ruled_out) >= len(some) - 1


SAVER = """
import sys
from plantpick.files.save import save
a, b = "old " * 60000, "new " * 60000
print("ready", flush=True)
while True:
    for text in (a, b):
        save(sys.argv[1], text, replace=True)
"""


@POSIX
def test_killed_while_it_writes_the_file_is_the_old_one_or_the_new_one(tmp_path):
    """kill -9 at random moments, twenty times; the first one waits until there is a file, however slow the disk."""
    target = tmp_path / "page.html"
    whole = {b"old " * 60000, b"new " * 60000}
    chance = random.Random(7)
    for turn in range(20):
        process = subprocess.Popen([sys.executable, "-c", SAVER, str(target)], stdout=subprocess.PIPE)
        process.stdout.readline()
        while turn == 0 and process.poll() is None and not target.exists():
            time.sleep(0.01)
        time.sleep(chance.uniform(0.0, 0.15))
        process.send_signal(signal.SIGKILL)
        process.wait()
        assert not target.exists() or target.read_bytes() in whole
    assert target.exists()


WRITERS = [
    line
    for command in EXAMPLES.values()
    for line in command
    if any("{tmp}" in word for word in line) and line[0] != "pond"
]


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize("line", WRITERS, ids=" ".join)
def test_killed_at_random_moments_a_command_leaves_whole_files(tmp_path, line):
    """Every command that writes, stopped by kill -9 at moments spread over its run: what is there is whole, or not there."""
    full, words = tmp_path / "full", [sys.executable, "-m", "plantpick"]
    full.mkdir()
    start = time.monotonic()
    assert subprocess.run(
        [*words, *(w.replace("{tmp}", str(full)) for w in line)], capture_output=True, timeout=600
    ).returncode in (0, 1)
    lasts = time.monotonic() - start
    wanted = {p.relative_to(full): p for p in full.rglob("*") if p.is_file()}
    assert wanted
    chance = random.Random(11)
    for turn in range(4):
        folder = tmp_path / str(turn)
        folder.mkdir()
        process = subprocess.Popen(
            [*words, *(w.replace("{tmp}", str(folder)) for w in line)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        time.sleep(lasts * chance.uniform(0.5, 1.0))
        process.send_signal(signal.SIGKILL)
        process.wait()
        for path in (p for p in folder.rglob("*") if p.is_file() and not p.name.startswith(".")):
            assert path.relative_to(folder) in wanted
            _whole(path, wanted[path.relative_to(folder)])


def _whole(path: Path, full: Path) -> None:
    if path.name in ("ranked.csv", "plans.csv"):  # grows by whole ponds
        assert path.read_bytes().endswith(b"\n")
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file, strict=True))
        assert {len(row) for row in rows} == {len(rows[0])}
    elif path.suffix == ".html":
        assert path.read_text(encoding="utf-8").rstrip().endswith("</html>")
    else:
        assert len(path.read_bytes()) == len(full.read_bytes())


@POSIX
def test_two_runs_that_write_the_same_file_leave_one_of_the_two_whole(tmp_path):
    out = tmp_path / "same.csv"
    words = [
        sys.executable,
        "-m",
        "plantpick",
        "rank",
        "demo",
        "demo-north",
        "demo-hard",
        "--cores",
        "1",
        "--draws",
        "64",
        "--out",
        str(out),
    ]
    both = [subprocess.Popen([*words, "--top", top], stderr=subprocess.PIPE, text=True) for top in ("3", "4")]
    told = [(p.communicate(timeout=600)[1], p.returncode) for p in both]
    assert all(status in (0, ExitStatus.CANNOT_WRITE) for _, status in told) and any(
        status == 0 for _, status in told
    ), told
    assert all("another run" in " ".join(said.split()) for said, status in told if status)
    _whole(out.rename(tmp_path / "ranked.csv"), out)
    assert [p.name for p in tmp_path.iterdir()] == ["ranked.csv"]


STEP_DOWN = """
import os, sys
import numpy, pandas, rapidfuzz, marshmallow, rich.progress, rich.console, statistics   # another user may not be able to read them
import plantpick.batch, plantpick.ranking, plantpick.show.progress, plantpick.show.terminal, encodings.utf_8_sig
from plantpick.cli import app
from plantpick.files import catalogue, pond_file
catalogue.load(); pond_file.read_pond("demo")
if os.geteuid() == 0:
    os.setgid(65534); os.setuid(65534)
sys.exit(app.run(["rank", "demo", "--out", sys.argv[1]]))
"""


@POSIX
def test_a_folder_that_may_only_be_read():
    """Nothing is written, and it is said before the work, not after."""
    with tempfile.TemporaryDirectory(dir="/tmp") as outer:  # pytest's own folder is closed to other users
        os.chmod(outer, 0o755)
        locked = Path(outer) / "locked"
        locked.mkdir()
        (locked / "old.csv").write_text("kept")
        locked.chmod(0o555)
        done = subprocess.run(
            [sys.executable, "-c", STEP_DOWN, str(locked / "new.csv")],
            capture_output=True,
            text=True,
            timeout=600,
        )
        there = sorted(p.name for p in locked.iterdir())
        locked.chmod(0o755)
    assert done.returncode == ExitStatus.CANNOT_WRITE and "may not be written to" in " ".join(
        done.stderr.split()
    ), done.stderr
    assert there == ["old.csv"]


def test_a_full_disk_keeps_the_old_table_and_leaves_nothing_behind(small_disk):
    out = small_disk / "t.csv"
    words = [sys.executable, "-m", "plantpick", "rank", "--draws", "64", "--out", str(out), "--cores", "1"]
    first = subprocess.run([*words, "demo", "--top", "3"], capture_output=True, text=True, timeout=600)
    assert first.returncode == 0, first.stderr
    before = out.read_bytes()
    done = subprocess.run(
        [*words, "demo", "demo-north", "demo-hard", "--top", "200"],
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert (
        done.returncode == ExitStatus.CANNOT_WRITE
        and "disk is full" in " ".join(done.stderr.split())
        and "Traceback" not in done.stderr
    )
    assert out.read_bytes() == before and [p.name for p in small_disk.iterdir()] == ["t.csv"]


@pytest.mark.slow
def test_no_command_touches_the_network(tmp_path):
    """Every example of every command with an audit hook that refuses any look-up of a host and any socket to one."""
    code = (
        "import sys\n"
        "def hook(event, args):\n"
        "    if event in ('socket.getaddrinfo', 'socket.gethostbyname', 'socket.connect', 'socket.sendto', 'socket.bind', "
        "'urllib.Request', 'http.client.connect', 'ftplib.connect', 'smtplib.connect'):\n"
        "        print('NETWORK', event, args, file=sys.stderr, flush=True)\n"
        "        raise RuntimeError('network')\n"
        "sys.addaudithook(hook)\n"
        "import json, contextlib, io\n"
        "from plantpick.cli.app import run\n"
        "for line in json.loads(sys.argv[1]):\n"
        "    with contextlib.redirect_stdout(io.StringIO()):\n"
        "        status = run(line)\n"
        "    print(status, flush=True)\n"
    )
    every = [  # all of it is done in the process that has the hook
        [*line, "--cores", "1"] if "--cores" not in line and line[0] == "rank" and "--out" in line else line
        for line in lines(tmp_path)
    ]
    done = subprocess.run(
        [sys.executable, "-c", code, json.dumps(every)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=600,
    )
    assert "NETWORK" not in done.stderr, done.stderr[-500:]
    told = done.stdout.split()
    assert len(told) == len(every) and set(told) <= {"0", "1"}, (list(zip(told, every)), done.stderr[-500:])


def test_the_hook_of_that_test_would_see_a_call():
    code = (
        "import sys, socket\nsys.addaudithook(lambda e, a: (_ for _ in ()).throw(RuntimeError('network')) if e.startswith('socket.g') else None)\n"
        "socket.getaddrinfo('localhost', 80)\n"
    )
    assert (
        "RuntimeError: network"
        in subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stderr
    )
