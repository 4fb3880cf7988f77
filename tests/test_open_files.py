"""Files are opened in one place: regular ones only, and no further than the limit, whatever their size is said to be."""

import ast
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from examples import EXAMPLES

import plantpick
from plantpick.errors import ExitStatus
from plantpick.files.open_file import NotRead, read_bytes, read_text

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs devices and pipes")
LIMITS = (  # addresses and seconds of a processor: what never ends would meet one of them
    "import resource, sys\nresource.setrlimit(resource.RLIMIT_AS, (4 * 2**30,) * 2)\n"
    "resource.setrlimit(resource.RLIMIT_CPU, (60, 60))\n"
    "from plantpick.cli.app import run\nsys.exit(run(sys.argv[1:]))\n"
)


def limited(*words, cwd=None, **more):
    return subprocess.run(
        [sys.executable, "-c", LIMITS, *map(str, words)], capture_output=True, cwd=cwd, timeout=120, **more
    )


@pytest.fixture
def strange(tmp_path):
    """Things that are no files, by what they are."""
    os.mkfifo(tmp_path / "fifo")
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to("/dev/zero")
    end = socket.socket(socket.AF_UNIX)
    end.bind(str(tmp_path / "socket"))
    names = ("fifo", "folder", "link", "socket")
    yield {"zero": Path("/dev/zero"), "tty": Path("/dev/tty")} | {n: tmp_path / n for n in names}
    end.close()


@POSIX
def test_what_is_no_file_is_refused_at_once(strange, tmp_path):
    for what, path in strange.items():
        if path.exists():
            with pytest.raises(NotRead, match="folder" if what == "folder" else "device, a pipe or a socket"):
                read_bytes(path, 1000)
    for name in ("", "none", "a\0b", "n" * 5000, "/etc/passwd/x"):
        with pytest.raises(NotRead):
            read_bytes(tmp_path / name, 1000)


def test_no_more_is_read_than_the_limit(tmp_path):
    (tmp_path / "a").write_bytes(b"x" * 1000)
    assert read_bytes(tmp_path / "a", 1000) == b"x" * 1000
    with pytest.raises(NotRead, match="larger than a log can be") as caught:
        read_bytes(tmp_path / "a", 999, "a log")
    assert caught.value.too_large
    (tmp_path / "b").write_bytes(b"\xef\xbb\xbfpond")
    assert read_text(tmp_path / "b", 100) == "pond"
    (tmp_path / "c").write_bytes(b"\xff")
    with pytest.raises(NotRead, match="UTF-8"):
        read_text(tmp_path / "c", 100)


@pytest.mark.skipif(not os.path.exists("/proc/self/maps"), reason="needs /proc")
def test_files_that_say_they_are_empty_are_bounded_too():
    assert os.stat("/proc/self/maps").st_size == 0
    with pytest.raises(NotRead, match="larger"):
        read_bytes("/proc/self/maps", 100)
    assert len(read_bytes("/proc/self/maps", 10_000_000)) > 100


READING = [
    ["rank", "{}"],
    ["rank", "{}.csv", "--out", "o.csv"],
    ["rank", "{}.parquet", "--out", "o.csv"],
    ["rank", "demo", "--out", "{}"],
    ["plan", "demo", "--offer", "{}"],
    ["plant", "pickerelweed", "{}"],
    ["spread", "{}", "pickerelweed"],
    ["depths", "{}"],
    ["offer", "{}", "demo"],
    ["offer", "demo", "{}"],
    ["watch", "demo", "{}"],
    ["watch", "{}", "demo"],
    ["calendar", "{}"],
    ["oxygen", "{}", "--water-f", "84", "--plant", "cattail", "--area-sqft", "900"],
    ["pond", "{}"],
    ["pond", "new.toml", "--answers", "{}"],
]


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize("line", READING, ids=" ".join)
def test_every_command_that_reads_refuses_what_is_no_file(line, tmp_path):
    """A pipe without a writer, and a device that never ends: an error of ours at once, and in little memory."""
    for kind in ("fifo", "endless"):
        for ending in ("", ".csv", ".parquet"):
            there = tmp_path / f"{kind}{ending}"
            if not os.path.lexists(there):
                os.mkfifo(there) if kind == "fifo" else there.symlink_to("/dev/zero")
        done = limited(*(word.replace("{}", str(tmp_path / kind)) for word in line), cwd=tmp_path)
        assert done.returncode in (ExitStatus.BAD_INPUT, ExitStatus.CANNOT_WRITE), (kind, done)
        assert b"not a file" in b" ".join(done.stderr.split()), done.stderr


@POSIX
@pytest.mark.parametrize("key", ["outline", "soundings", "contours"])
def test_a_survey_file_that_is_no_file(key, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    text = (Path(plantpick.__file__).parent.parent / "data/demo/surveyed.toml").read_text()
    lines = [line for line in text.splitlines() if not line.startswith(("outline", "soundings", "contours"))]
    (tmp_path / "p.toml").write_text("\n".join([f'{key} = "pipe"', *lines]))
    done = limited("depths", tmp_path / "p.toml")
    assert done.returncode == ExitStatus.BAD_INPUT and b"a pipe or a socket" in done.stderr


@POSIX
def test_pasted_text_is_read_and_bounded():
    assert limited("offer", "demo", "-", input=b"Pontederia cordata plug $2\n").returncode in (0, 1)
    with open("/dev/zero", "rb") as endless:
        done = limited("offer", "demo", "-", stdin=endless)
    assert done.returncode == ExitStatus.BAD_INPUT and b"larger" in done.stderr
    closed = limited("offer", "demo", "-", preexec_fn=lambda: os.close(0))
    assert closed.returncode == ExitStatus.BAD_INPUT and b"standard input" in closed.stderr


def test_nothing_else_opens_files():
    """Calls that open or read, in every file of the package but the one that reads and the one that writes."""
    folder, found = Path(plantpick.__file__).parent, []
    for path in sorted(folder.rglob("*.py")):
        # offers/words.py reads the lists that lie beside it in the package, and nothing that you name
        if path.relative_to(folder).as_posix() in ("files/open_file.py", "files/save.py", "offers/words.py"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            own = (
                isinstance(node.func, ast.Attribute) and getattr(node.func.value, "id", "") == "PondDocument"
            )
            first = ast.unparse(node.args[0]) if node.args else ""
            if (
                (name == "open" and not own and first != "os.devnull")
                or (name in ("read_text", "read_bytes") and not node.args)
                or (name == "read" and "stdin" in ast.unparse(node.func))
            ):
                found.append(f"{path.name}:{node.lineno}: {ast.unparse(node)[:60]}")
    assert not found


def test_the_list_above_names_every_command_that_takes_a_file():
    named = {line[0] for line in READING}
    assert set(EXAMPLES) - named == {"sources", "check", "demo"}
