"""The solver by itself, and a search that its owner ends. All programs are made up."""

from __future__ import annotations

import itertools
import os
import signal
import sys

import numpy as np
import pytest
from command_line import command
from scipy.sparse import csr_array
from test_planting import by_hand, two_shores

from plantpick.planting import milp
from plantpick.planting.milp import FINE, Rows
from plantpick.planting.solver import Ending, Program, extremes, minimize, never

FREE = {"time_limit": 600.0}


def program(cost, rows, row_low, row_high, high, whole=True) -> Program:
    count = len(cost)
    return Program(
        cost=np.asarray(cost, dtype=float),
        low=np.zeros(count),
        high=np.asarray(high, dtype=float),
        whole=np.full(count, whole),
        rows=csr_array(np.asarray(rows, dtype=float)),
        row_low=np.asarray(row_low, dtype=float),
        row_high=np.asarray(row_high, dtype=float),
    )


def test_whole_and_parts_by_hand():
    """3 a + 5 b >= 12 at $2 and $3: whole, two of a and two of b cost $10 and cover 16; four of a cost $8 and cover 12 exactly.
    In parts, 12 / 5 of b cost $7.20, and a would have to cost $0.20 less to be used."""
    whole = minimize(program([2, 3], [[3, 5]], [12], [np.inf], [9, 9]), limits=FREE)
    assert whole.ending is Ending.BEST and whole.value == pytest.approx(8.0) == whole.bound
    assert whole.columns.tolist() in ([4.0, 0.0], [1.0, 2.0])
    parts = minimize(program([2, 3], [[3, 5]], [12], [np.inf], [9, 9], whole=False), limits=FREE)
    assert parts.value == pytest.approx(7.2) and parts.columns == pytest.approx([0.0, 2.4])
    assert parts.reduced == pytest.approx([2 - 3 * 3 / 5, 0.0])


def test_what_cannot_be_done_is_impossible():
    assert minimize(program([1], [[1]], [5], [np.inf], [3]), limits=FREE).ending is Ending.IMPOSSIBLE


def split(seed: int = 20261128) -> Program:
    """Halve the sums of six rows of 50 numbers at once, as near as it goes: few branches are ever cut off (Cornuejols and Dawande
    1998 describe such problems)."""
    rows = np.random.default_rng(seed).integers(0, 100, (6, 50)).astype(float)
    half = rows.sum(axis=1) // 2
    off = np.hstack([np.eye(6), -np.eye(6)])
    wide = np.hstack([rows, off])
    made = program([0.0] * 50 + [1.0] * 12, wide, half, half, [1.0] * 50 + [1e4] * 12)
    return Program(**{**made.__dict__, "whole": np.array([True] * 50 + [False] * 12)})


def test_a_run_is_ended_when_asked_and_keeps_what_it_has():
    asked = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 20

    found = minimize(split(), limits=FREE, stop=stop)
    assert found.ending is Ending.CUT_SHORT and len(asked) > 20
    assert found.columns is None or found.bound <= found.value


def test_nothing_worse_than_the_start_is_answered():
    """A start is some columns of an answer; the solver fills in the others. Ended at once it still has it."""
    hard = split()
    rng = np.random.default_rng(1)
    start = {k: float(v) for k, v in enumerate(rng.integers(0, 2, 50))}
    taken = np.array(list(start.values()))
    rows = hard.rows.toarray()[:, :50]
    cost = np.abs(rows @ taken - hard.row_low).sum()
    found = minimize(hard, limits={"time_limit": 600.0, "mip_max_nodes": 1}, start=start)
    assert found.columns is not None and found.value <= cost + 1e-6


@pytest.mark.skipif(os.name == "nt", reason="no SIGINT to oneself there")
@pytest.mark.slow
def test_ctrl_c_gives_the_best_so_far(monkeypatch):
    """Pressed when the solver begins its first run, of a search that was given ten hours."""
    real, pressed = milp.minimize, []

    def minimize_and_press(*words, **more):
        if not pressed:
            pressed.append(1)
            os.kill(os.getpid(), signal.SIGINT)
        return real(*words, **more)

    monkeypatch.setattr(milp, "minimize", minimize_and_press)
    before = signal.getsignal(signal.SIGINT)
    done = command("plan", "demo-north", "--seconds", "36000")
    assert pressed and done.returncode == 0, done.stderr
    assert "best planting found so far" in done.stderr and "Traceback" not in done.stderr
    assert "What to buy" in done.stdout and signal.getsignal(signal.SIGINT) is before


@pytest.mark.skipif(os.name == "nt", reason="no SIGINT to a child there")
def test_a_second_ctrl_c_ends_the_command():
    """As if nobody listened: the process ends by the signal, and writes nothing."""
    import subprocess

    script = (
        "import os, signal\n"
        "from plantpick.cli.ending import on_ctrl_c\n"
        "with on_ctrl_c() as stop:\n"
        "    assert not stop()\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "    assert stop()\n"
        "    os.kill(os.getpid(), signal.SIGINT)\n"
        "    print('still here')\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == -signal.SIGINT and done.stdout == "" and "Stopping" in done.stderr


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5, 9, 10, 13])  # of those in which something keeps the limits
def test_lines_brought_closer_hold_for_every_better_planting(seed):
    """Every planting of up to five groups at four places that keeps the limits and costs no more than the cutoff lies between the
    ends that were found, and its smaller amount over the chord. Counted one by one."""
    problem = two_shores(np.random.default_rng(200 + seed))
    good = []
    for groups in itertools.product(range(6), repeat=4):
        g = np.array(groups)
        reached, held, water = by_hand(problem, g)
        if (
            reached >= problem.limits.cover
            and (held <= problem.limits.cap).all()
            and water <= problem.limits.upper
        ):
            if g[:2].sum() <= 8 and g[2:].sum() <= 8:
                good.append(g)
    cost = problem.places.cost + 1e-3 * problem.places.plants * (1.0 - problem.places.site)
    cutoff = sorted(float(g @ cost) for g in good)[len(good) // 4] + 1e-6
    rows = Rows(problem)
    before = rows.relaxed({"cost": 1.0}, {}).bound
    rows.narrow({"cost": 1.0}, {}, cutoff, 200, never)
    after = rows.relaxed({"cost": 1.0}, {})
    assert after.bound >= before - 1e-9
    better = [g for g in good if g @ cost <= cutoff]
    assert after.bound <= min(float(g @ cost) for g in better) + 1e-6
    for g in better:
        columns = {x: float(v) for x, v in zip(rows.x, g)}
        columns |= {rows.total[i]: float(g[problem.places.plant == i].sum()) for i in (0, 1)}
        for m in rows.leasts:
            taken = sum(f * columns[x] for x, f in m.taken)
            assert m.low - 1e-6 <= taken <= m.high + 1e-6
            chord = sum(-v * columns[x] for v, (x, _) in zip(rows._entries[2][m.first :], m.taken)) / FINE
            assert min(taken, m.whole) >= chord + rows._from[m.chord] / FINE - 1e-6


def test_the_ends_of_a_sum_by_hand():
    """a and b from 0 to 4 with a + b >= 2, at $1 and $2 and no more than $5: a goes from 0 (b is 2 then, for $4) to 4 (a alone would
    go to 5), a + b from 2 to 4.5 (4 of a, half a b)."""
    made = program([1, 2], [[1, 1]], [2], [np.inf], [4, 4], whole=False)
    told = extremes(made, np.array([[1.0, 0.0], [1.0, 1.0]]), 5.0)
    assert told.low == pytest.approx([0.0, 2.0]) and told.high == pytest.approx([4.0, 4.5]) and told.runs == 4
