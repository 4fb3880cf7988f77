"""Work on several processors: in order, no wait on a process that is gone, no process left behind."""

import os
import random
import signal
import subprocess
import sys
import time
from multiprocessing import active_children

import pytest
from test_batch import in_a_process, rows_of, varied

from plantpick.batch import many_ponds, processes
from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files.pond_table import gather

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs POSIX signals")


def double(n):
    return 2 * n


def fails_at_three(n):
    return 1 // (3 - n)


def ends_at_three(n):
    if n == 3:
        os._exit(9)
    return n


def much(n):
    """More than a pipe holds, so that the process is in the midst of handing it over most of the time."""
    return bytes(30_000_000)


@pytest.mark.parametrize("start", ["spawn", pytest.param("fork", marks=POSIX)])
def test_answers_come_in_order_and_a_fault_is_handed_on(start):
    assert list(processes.in_order(double, range(40), 3, start)) == [2 * n for n in range(40)]
    assert list(processes.in_order(double, [], 3, start)) == []
    got = []
    with pytest.raises(ZeroDivisionError):
        got.extend(processes.in_order(fails_at_three, range(6), 2, start))
    with pytest.raises(processes.Lost) as lost:
        got.extend(processes.in_order(ends_at_three, range(6), 2, start))
    assert lost.value.item == 3 and not active_children()


def slow_first(n):
    if n == 0:
        time.sleep(2.0)
    if n == 1:
        os._exit(9)
    return n


@pytest.mark.parametrize("start", ["spawn", pytest.param("fork", marks=POSIX)])
def test_what_came_before_the_lost_item_is_still_answered(start):
    """The second item's process goes at once, while the first is still at work: its answer is waited for."""
    got = []
    with pytest.raises(processes.Lost) as lost:
        for answer in processes.in_order(slow_first, range(6), 2, start):
            got.append(answer)
    assert got == [0] and lost.value.item == 1 and not active_children()


@POSIX
@pytest.mark.parametrize("start", ["spawn", "fork"])
@pytest.mark.parametrize("times", [2, pytest.param(10, marks=pytest.mark.slow)])
def test_a_process_ended_while_it_hands_over_an_answer_is_not_waited_for(start, times):
    """Left after the first answer, while the others are half way through the pipe; no process is there afterwards."""
    for _ in range(times):
        answers = processes.in_order(much, range(8), 2, start)
        next(answers)
        answers.close()
        assert not active_children()


def ample_rows(pond, catalogue):
    """An answer far larger than a pipe holds."""
    return [{"text": "x" * 30_000_000}]


STOPPED_RUN = """
import sys, test_processes as here
from plantpick.batch import many_ponds
from plantpick.files.pond_table import gather
from pathlib import Path

def stop(done, of, pond):
    raise KeyboardInterrupt

if __name__ == "__main__":
    try:
        many_ponds.run(gather([sys.argv[1]])[0], many_ponds.Work(here.ample_rows, ("text",)), Path(sys.argv[2]), 2, stop)
    except KeyboardInterrupt:
        print("stopped")
"""


@pytest.mark.parametrize("times", [1, pytest.param(5, marks=pytest.mark.slow)])
def test_a_run_whose_answers_are_half_way_is_left_at_once(tmp_path, times):
    """The processes are ended in the midst of large answers: the run once waited for the rest of them for ever."""
    ponds = varied(tmp_path / "p.csv", 20)
    (tmp_path / "run.py").write_text(STOPPED_RUN)
    path = os.pathsep.join([os.path.dirname(__file__), *sys.path])
    for turn in range(times):
        done = subprocess.run(
            [sys.executable, tmp_path / "run.py", ponds, tmp_path / f"o{turn}.csv"],
            env={**os.environ, "PYTHONPATH": path},
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert done.stdout == "stopped\n", done.stderr[-800:]


@pytest.mark.slow
@POSIX
def test_stopped_at_random_moments_a_run_ends_and_goes_on(tmp_path):
    """Twelve runs of large answers, stopped from their first moment on; each ends, and the last goes on."""
    ponds, out, chance = varied(tmp_path / "p.csv", 100), tmp_path / "o.csv", random.Random(16)
    words = ["rank", ponds, "--draws", 64, "--cores", 2, "--out", out]
    for _ in range(12):
        process = subprocess.Popen(
            [sys.executable, "-m", "plantpick", *map(str, words)],
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        started = time.monotonic()
        while process.poll() is None and not out.exists() and time.monotonic() - started < 120:
            time.sleep(0.01)
        time.sleep(chance.uniform(0.8, 3.0))
        if chance.random() < 0.3:
            os.killpg(process.pid, signal.SIGTERM)
        else:
            process.send_signal(signal.SIGTERM)
        try:
            _, told = process.communicate(timeout=120)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            pytest.fail("the run waits for ever")
        assert process.returncode in (0, 130, -signal.SIGTERM) and "Traceback" not in told, told
    there = len({row["pond"] for row in rows_of(out)})
    varied(ponds, min(100, there + 3))
    done = in_a_process(*words)
    assert done.returncode == 0 and len({row["pond"] for row in rows_of(out)}) == min(100, there + 3)


@pytest.mark.parametrize("times", [2, pytest.param(6, marks=pytest.mark.slow)])
def test_a_full_disk_ends_a_run_on_two_cores(small_disk, tmp_path, times):
    """Several runs into one small disk, by which each is stopped; what was there stays whole."""
    ponds, out = varied(tmp_path / "p.csv", 60), small_disk / "o.csv"
    for _ in range(times):
        done = in_a_process("rank", ponds, "--draws", 64, "--cores", 2, "--out", out)
        assert done.returncode == ExitStatus.CANNOT_WRITE and "disk is full" in " ".join(done.stderr.split())
        assert [p.name for p in small_disk.iterdir()] in ([], ["o.csv"])
        assert not out.exists() or rows_of(out) is not None


def ends_at_pond_three(pond, catalogue):
    if pond.name == "Pond 3":
        os.kill(os.getpid(), signal.SIGKILL)
    return []


@POSIX
def test_a_process_that_the_system_ends_is_told_with_its_pond(tmp_path):
    asked, _ = gather([str(varied(tmp_path / "p.csv", 8))])
    with pytest.raises(PlantpickError, match="p.csv:4") as caught:
        many_ponds.run(asked, many_ponds.Work(ends_at_pond_three, ("text",)), tmp_path / "o.csv", 2)
    assert caught.value.code == "stopped" and "on one core" in str(caught.value)
    assert [row["pond"] for row in rows_of(tmp_path / "o.csv")] == ["Pond 1", "Pond 2"]
