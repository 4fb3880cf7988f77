"""Every command on narrow terminals, without color, on code pages that lack letters, into pipes and files that fail."""

import json
import os
import re
import subprocess
import sys

import pytest
from examples import EXAMPLES, lines

from plantpick.cli import app
from plantpick.errors import ExitStatus

COMMANDS = [c.name for c in app.app.registered_commands]
ANSI = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


SHORT = [
    ["rank", "demo", "--draws", "64"],
    ["plant", "pickerelweed"],
    ["sources", "pickerelweed"],
    ["depths", "demo"],
    ["check"],
    ["watch", "demo", "demo"],
    ["calendar", "demo"],
    ["oxygen", "demo", "--water-f", "84", "--plant", "cattail", "--area-sqft", "900"],
    ["offer", "demo", "demo"],
    ["pond", "new.toml", "--words"],
    ["plan", "demo", "--within", "60", "--seconds", "600"],
    ["spread", "demo", "pickerelweed"],
    ["demo", "trial"],
]


def run(words, **more):
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **more.pop("env", {})}
    return subprocess.run(
        [sys.executable, "-m", "plantpick", *words], capture_output=True, env=environment, timeout=600, **more
    )


def test_every_command_has_an_example(tmp_path):
    assert lines(tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("command", COMMANDS)
def test_no_line_is_wider_than_the_terminal_and_none_is_colored(command, width, tmp_path):
    """Tables, pages, help and errors; JSON and CSV are for programs and keep their lines."""
    shown = [line for line in EXAMPLES[command] if "-f" not in line] + [
        [command, "--help"],
        [command, "--no-such-option"],
    ]
    for line in shown:
        done = run(
            [word.replace("{tmp}", str(tmp_path)) for word in line],
            cwd=tmp_path,
            env={"COLUMNS": str(width), "NO_COLOR": "1"},
        )
        out, err = done.stdout.decode(), done.stderr.decode()
        assert done.returncode in (0, 1, 2) and "Traceback" not in err, (line, err)
        assert not ANSI.search(out + err), line
        for text in (out + err).splitlines():
            assert len(text) <= width or str(tmp_path) in text, (line, text)


@pytest.mark.parametrize(
    "words", [["rank", "nowhere-to-be-found-in-this-folder.toml"], ["plant", "pikerelweed of the far shore"]]
)
def test_errors_are_wrapped_for_a_terminal_and_kept_whole_for_a_file(words, tmp_path):
    narrow = run(words, cwd=tmp_path, env={"COLUMNS": "60"}).stderr.decode().splitlines()
    assert len(narrow) > 1 and max(map(len, narrow)) <= 60
    environment = {k: v for k, v in os.environ.items() if k != "COLUMNS"}
    whole = subprocess.run(
        [sys.executable, "-m", "plantpick", *words], capture_output=True, env=environment, cwd=tmp_path
    )
    assert len(whole.stderr.decode().splitlines()) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_on_a_terminal_no_color_leaves_the_colors_out(tmp_path):
    import pty

    colors = re.compile(r"\x1b\[(?:\d+;)*(?:3\d|4\d|9\d|10\d)m")
    for no_color, wanted in (("1", False), (None, True)):
        environment = {k: v for k, v in os.environ.items() if k != "NO_COLOR"} | {
            "TERM": "xterm-256color",
            "COLUMNS": "80",
        }
        if no_color:
            environment["NO_COLOR"] = no_color
        mine, theirs = pty.openpty()
        process = subprocess.Popen(
            [sys.executable, "-m", "plantpick", "--help"], stdout=theirs, stderr=theirs, env=environment
        )
        os.close(theirs)
        shown = b""
        try:
            while chunk := os.read(mine, 65536):
                shown += chunk
        except OSError:  # the other side is closed
            pass
        process.wait()
        os.close(mine)
        assert process.returncode == 0 and bool(colors.search(shown.decode())) == wanted


@pytest.mark.slow
@pytest.mark.parametrize(
    "command, page", [*((c, "cp1252") for c in COMMANDS), ("watch", "cp437"), ("watch", "ascii")]
)
def test_code_pages_that_lack_letters(command, page, tmp_path):
    for line in EXAMPLES[command]:
        folder = tmp_path / str(EXAMPLES[command].index(line))
        folder.mkdir()
        done = run([word.replace("{tmp}", str(folder)) for word in line], env={"PYTHONIOENCODING": page})
        assert done.returncode in (0, 1), done.stderr
        text = done.stdout.decode(page)
        if "json" in line:
            json.loads(text)


def test_letters_that_a_code_page_lacks_have_stand_ins():
    from plantpick.cli import streams

    streams.settle()
    assert "─│█→°".encode("ascii", "plantpick") == b"-|#> deg"
    assert json.loads('"\U0001d54f Łódź"'.encode("ascii", "plantpick")) == "\U0001d54f Łódź"
    assert "Łódź".encode("cp1252", "plantpick") == "\\u0141ód\\u017a".encode("cp1252")


SHELL = pytest.mark.skipif(not os.path.exists("/bin/sh"), reason="needs a POSIX shell")


def shell(words: str, tail: str):
    return subprocess.run(
        ["/bin/sh", "-c", f"{sys.executable} -m plantpick {words} {tail}"],
        capture_output=True,
        text=True,
        timeout=600,
    )


@SHELL
@pytest.mark.parametrize(
    "words",
    [
        "rank demo --top 200 --draws 64",
        "rank demo -f json --top 500 --draws 64",
        "rank demo -f csv --top 500 --draws 64",
        "--help",
        "offer demo demo --every-line",
        "plant pickerelweed",
    ],
)
def test_a_closed_pipe_is_the_readers_choice(words):
    """Whoever reads closes the pipe before anything is written: no complaint and status 0."""
    read, write = os.pipe()
    os.close(read)
    line = [sys.executable, "-m", "plantpick", *words.split()]
    done = subprocess.run(line, stdout=write, stderr=subprocess.PIPE, timeout=600)
    os.close(write)
    own = 1 if words.startswith("offer") else 0  # an offer's own status may come first
    assert done.returncode in (0, own) and not done.stderr, done


@SHELL
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs /dev/full")
@pytest.mark.parametrize(
    "words", ["rank demo --draws 64", "rank demo -f json --draws 64", "--help", "depths demo -f csv"]
)
def test_a_full_disk_under_the_output_is_told(words):
    done = shell(words, "> /dev/full")
    assert done.returncode == ExitStatus.CANNOT_WRITE and "could not be written" in done.stderr
    assert "Traceback" not in done.stderr and "Exception ignored" not in done.stderr


@SHELL
@pytest.mark.parametrize(
    "tail, status", [(">&-", 4), ("2>&-", 0), (">&- 2>&-", 4), ("<&-", 0), ("<&- >&- 2>&-", 4)]
)
def test_closed_streams(tail, status):
    """An answer that nobody can read is no success: a status says so, and words where there is a stream for them."""
    done = shell("depths demo -f csv", tail)
    assert done.returncode == status and "Traceback" not in done.stderr
    assert ("could not be written" in done.stderr) == (status == 4 and "2>&-" not in tail)


@SHELL
@pytest.mark.parametrize("tail", ["2>&-", "2> /dev/full"])
@pytest.mark.parametrize(
    "words, status",
    [("plant pikerelweed", 3), ("rnak", 2), ("rank demo --top x", 2), ("rank demo --draws 64 --out {}", 0)],
)
def test_messages_that_cannot_be_written_leave_the_status(words, status, tail, tmp_path):
    if "full" in tail and not os.path.exists("/dev/full"):
        pytest.skip("no /dev/full here")
    assert shell(words.format(tmp_path / "t.csv"), tail).returncode == status


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="closes file numbers")
def test_every_command_says_that_its_answer_was_lost(tmp_path):
    """Each short line in a process of its own that starts without a standard output; files asked for are whole."""
    script = (
        "import os, sys\n"
        "from plantpick.cli import app, streams\n"
        "import pandas, numpy, matplotlib.figure, scipy.optimize, rich.table\n"
        f"lines = {[line for line in SHORT if line[0] != 'plan']!r}\n"
        f"os.chdir({str(tmp_path)!r})\n"
        "for number, line in enumerate(lines):\n"
        "    child = os.fork()\n"
        "    if not child:\n"
        "        os.close(1)\n"
        "        os.dup2(os.open(f'err{number}', os.O_CREAT | os.O_WRONLY), 2)\n"
        "        sys.stdout = None\n"
        "        try:\n"
        "            app.main(line)\n"
        "        except SystemExit as leaving:\n"
        "            os._exit(leaving.code)\n"
        "    print(line[0], os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=600)
    told = done.stdout.splitlines()
    assert len(told) == len(SHORT) - 1, done.stderr
    assert all(line.endswith(f" {int(ExitStatus.CANNOT_WRITE)}") for line in told), told
    for number in range(len(told)):
        said = (tmp_path / f"err{number}").read_text()
        assert "could not be written" in said and "Traceback" not in said
    assert (tmp_path / "trial" / "south.toml").exists()


def test_a_file_name_that_is_no_text():
    if sys.platform == "win32":
        pytest.skip("names are text there")
    done = subprocess.run(
        [sys.executable, "-m", "plantpick", "rank", b"\xff\xfe.toml"], capture_output=True, timeout=600
    )
    assert done.returncode == ExitStatus.BAD_INPUT and b"no such file" in done.stderr


def test_the_short_lines_are_of_every_command():
    assert {line[0] for line in SHORT} == set(COMMANDS)


@pytest.mark.slow
@pytest.mark.parametrize("line", SHORT, ids=lambda line: line[0])
def test_a_terminal_that_says_it_has_no_columns_gets_an_answer(line, tmp_path):
    """COLUMNS=0 once gave nothing at all, and status 0."""
    for said in ("0", "9" * 30):
        words = [word.replace("trial", f"trial{said[:1]}") for word in line]
        done = run(words, cwd=tmp_path, env={"COLUMNS": said})
        assert done.returncode in (0, 1) and len(done.stdout.split()) > 5, (said, done)


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2200-01-01", "1979-12-31"])
@pytest.mark.parametrize("command", ["watch demo demo", "calendar demo", "plan demo"])
def test_a_day_from_which_no_season_can_be_counted_is_refused(command, day, capsys):
    assert app.run([*command.split(), "--today", day]) == ExitStatus.USAGE
    assert "name a day from 1980" in " ".join(capsys.readouterr().err.replace("│", " ").split())


@pytest.mark.slow
@pytest.mark.parametrize("day", ["2199-12-31", "1980-01-01"])
def test_the_first_and_the_last_day_are_answered(day, capsys, tmp_path):
    for line in (["watch", "demo", "demo"], ["calendar", "demo"], ["calendar", "demo", "--months", "12"]):
        assert app.run([*line, "--today", day]) in (0, ExitStatus.BAD_INPUT)  # the log may lie after the day
        told = capsys.readouterr()
        assert told.out or told.err
    out = tmp_path / "plan.html"
    words = ["plan", "demo", "--within", "60", "--seconds", "600", "--today", day, "--out", str(out)]
    assert app.run(words) == 0


LONG = "n" * 5000


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        "rank {}",
        "rank {}.csv --out o.csv",
        "rank demo --draws 64 --out {}.csv",
        "rank demo --stretch {}",
        "rank demo --explain {}",
        "plant {}",
        "plant pickerelweed {}",
        "sources {}",
        "depths {}",
        "check {}",
        "watch {} demo",
        "watch demo {}",
        "watch demo demo --out {}",
        "calendar demo {}",
        "oxygen {} --water-f 84 --plant cattail --area-sqft 900",
        "oxygen demo --water-f 84 --plant {} --area-sqft 900",
        "offer {} demo",
        "offer demo {}",
        "pond {}",
        "pond new.toml --answers {}",
        "pond new.toml --again {}",
        "demo {}",
        "plan demo --offer {}",
        "spread demo {}",
        "spread demo pickerelweed --figure {}",
    ],
)
def test_a_name_of_five_thousand_letters_is_refused_in_words(line, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    status = app.run(line.replace("{}", LONG).split())
    assert (
        status in (ExitStatus.USAGE, ExitStatus.BAD_INPUT, ExitStatus.CANNOT_WRITE)
        and capsys.readouterr().err
    )


@pytest.mark.slow
@SHELL
@pytest.mark.parametrize("line", SHORT, ids=lambda line: line[0])
def test_closed_input_is_no_fault_of_ours(line, tmp_path):
    words = ["pond", str(tmp_path / "new.toml")] if line[0] == "pond" else line
    words = ["demo", str(tmp_path / "trial")] if line[0] == "demo" else words
    done = shell(" ".join(f"'{word}'" for word in words), "<&-")
    assert done.returncode in (0, 1, 3) and "Traceback" not in done.stderr and (done.stdout or done.stderr), (
        done
    )
