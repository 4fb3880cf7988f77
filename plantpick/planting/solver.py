"""The solver, HiGHS through highspy: quiet, begun from a planting that is there already, and ended when you ask it to.

It writes nothing. While it runs it asks `stop` again and again, so that whoever watches a clock or a keyboard can end it and keep
the best that it has.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Stop = Callable[[], bool]


def never() -> bool:
    """Goes on to the end."""
    return False


class Ending(StrEnum):
    """How a run of the solver ended."""

    BEST = "best"  # nothing is better, to within the gap asked for
    IMPOSSIBLE = "impossible"
    CUT_SHORT = "cut short"  # by its limits, or because you asked


@dataclass(frozen=True, kw_only=True)
class Program:
    """The least of `cost` over columns from `low` to `high`, those of `whole` in whole numbers, rows from `row_low` to `row_high`;
    `rows` is a sparse array with a row each (scipy's csr)."""

    cost: np.ndarray
    low: np.ndarray
    high: np.ndarray
    whole: np.ndarray
    rows: csr_array
    row_low: np.ndarray
    row_high: np.ndarray

    def with_rows(self, kept: np.ndarray) -> Program:
        """The same with the rows of the mask `kept` alone."""
        return replace(self, rows=self.rows[kept], row_low=self.row_low[kept], row_high=self.row_high[kept])

    def at_most(self, cost: float) -> Program:
        """The same for columns that cost no more than that."""
        from scipy.sparse import csr_array, vstack

        return replace(
            self,
            rows=csr_array(vstack([self.rows, csr_array(self.cost[None])])),
            row_low=np.append(self.row_low, -np.inf),
            row_high=np.append(self.row_high, cost),
        )


@dataclass(frozen=True, kw_only=True)
class Found:
    """What came of it: `columns` (None where nothing was found), their cost in `value`, and a `bound` under which none goes.
    `reduced` is by how much the cost of a column would have to fall for it to be used; parts of wholes only."""

    ending: Ending
    columns: np.ndarray | None = None
    value: float = np.nan
    bound: float = -np.inf
    reduced: np.ndarray = field(default_factory=lambda: np.zeros(0))


def minimize(
    program: Program,
    *,
    limits: dict[str, float],
    gap: float = 0.0,
    start: dict[int, float] | None = None,
    stop: Stop = never,
) -> Found:
    """The columns with the least cost. `limits` are options of HiGHS that end the run (time_limit in seconds), `start` gives some
    columns of an answer that is there already: the solver fills in the others and answers nothing worse."""
    import highspy

    mixed = bool(program.whole.any())
    model = _model(program)
    if mixed:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[int(w)] for w in program.whole]
    with _quiet(stop) as highs:
        highs.setOptionValue("mip_rel_gap", gap)
        for name, most in limits.items():
            highs.setOptionValue(name, most)
        highs.passModel(model)
        if start:
            at, values = np.array(list(start), dtype=np.int32), np.array(list(start.values()))
            highs.setSolution(len(at), at, values)
        highs.run()
        status, info = highs.getModelStatus(), highs.getInfo()
        solution = highs.getSolution()
        has = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        ended = highspy.HighsModelStatus
        if status in (ended.kInfeasible, ended.kUnboundedOrInfeasible):
            return Found(ending=Ending.IMPOSSIBLE)
        best = status == ended.kOptimal
        bound = info.mip_dual_bound if mixed else info.objective_function_value if best else -np.inf
        if not has or not (mixed or best):
            return Found(ending=Ending.CUT_SHORT, bound=float(bound))
        return Found(
            ending=Ending.BEST if best else Ending.CUT_SHORT,
            columns=np.array(solution.col_value),
            value=float(info.objective_function_value),
            bound=float(bound),
            reduced=np.array(solution.col_dual) if not mixed else np.zeros(0),
        )


@dataclass
class Ends:
    """Between what sums of columns lie, (sums,): `low` and `high`, and `runs`, how many times the solver was asked."""

    low: np.ndarray
    high: np.ndarray
    runs: int = 0


def extremes(
    program: Program,
    sums: np.ndarray,
    cutoff: float,
    *,
    sides: np.ndarray | None = None,
    most_runs: int = 10**9,
    stop: Stop = never,
) -> Ends:
    """The least and the most that sums of columns (`sums`, a row of factors each) come to, parts of wholes allowed, where the cost
    is no more than `cutoff`; infinite for those not asked for before `most_runs` or `stop`.

    With `sides` (an amount for each sum) an end is looked for only as long as it can say on which side of that amount a sum always
    lies: not where an answer is known already that lies on the other side. What proves one end often proves others, so that these
    need no run of their own.
    """
    import highspy

    found = Ends(low=np.full(len(sums), -np.inf), high=np.full(len(sums), np.inf))
    seen_low, seen_high = np.full(len(sums), np.inf), np.full(len(sums), -np.inf)
    with _quiet(stop) as highs:
        highs.passModel(_model(program))
        priced = np.flatnonzero(program.cost).astype(np.int32)
        highs.addRow(-np.inf, cutoff, len(priced), priced, program.cost[priced])
        every = np.arange(len(program.cost), dtype=np.int32)
        for k in range(len(sums)):
            for sign in (1.0, -1.0):
                if sides is not None:
                    if found.low[k] >= sides[k] or found.high[k] <= sides[k]:
                        break
                    if seen_low[k] < sides[k] if sign > 0 else seen_high[k] > sides[k]:
                        continue
                if found.runs >= most_runs:
                    return found
                found.runs += 1
                highs.changeColsCost(len(every), every, sign * sums[k])
                highs.run()
                if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                    return found
                end, solution = highs.getInfo().objective_function_value, highs.getSolution()
                if sign > 0:
                    found.low[k] = max(found.low[k], end)
                else:
                    found.high[k] = min(found.high[k], -end)
                if sides is None:
                    continue
                columns, reduced = np.array(solution.col_value), np.array(solution.col_dual)
                come_to = sums @ columns
                seen_low, seen_high = np.minimum(seen_low, come_to), np.maximum(seen_high, come_to)
                proved = _proved_by(program, sign * sums, k, end - reduced @ columns, reduced, sides)
                if sign > 0:
                    found.low = np.maximum(found.low, proved)
                else:
                    found.high = np.minimum(found.high, -proved)
    return found


SCALES = np.array([1.0, 0.9, 0.75, 0.6, 0.45, 0.3])  # of a proof, when it is tried on another sum


def _proved_by(
    program: Program, sums: np.ndarray, k: int, from_rows: float, reduced: np.ndarray, sides: np.ndarray
) -> np.ndarray:
    """What the proof that sum `k` comes to no less than its least says of every sum: weights on the rows bring `from_rows`, and
    what the columns cost beyond these weights (`reduced`) is least at their limits. The same weights, scaled, hold for any sum."""
    scale = SCALES * (sides / max(abs(sides[k]), 1e-300))[:, None]
    left = sums[:, None, :] + scale[..., None] * (reduced - sums[k])
    left[np.abs(left) < 1e-9] = 0.0
    low = np.where(left > 0, left, 0.0) @ program.low
    with np.errstate(invalid="ignore"):
        high = np.where(left < 0, left * program.high, 0.0).sum(axis=2)
    return (scale * from_rows + low + high).max(axis=1)


def _model(program: Program):
    """The program as HiGHS takes it, parts of wholes allowed."""
    import highspy

    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.cost), len(program.row_low)
    model.col_cost_, model.col_lower_, model.col_upper_ = program.cost, program.low, program.high
    model.row_lower_, model.row_upper_ = program.row_low, program.row_high
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_ = program.rows.indptr, program.rows.indices
    model.a_matrix_.value_ = program.rows.data
    return model


@contextmanager
def _quiet(stop: Stop) -> Iterator[Any]:
    """HiGHS without the line that announces it, ended when `stop` says so."""
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self):
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    def asked(event) -> None:
        if stop():
            event.interrupt()

    highs = Quiet()
    if stop is not never:
        highs.cbMipInterrupt += asked
        highs.cbSimplexInterrupt += asked
    try:
        yield highs
    finally:
        highs.clear()
