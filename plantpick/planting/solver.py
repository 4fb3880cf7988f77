"""The solver, HiGHS through highspy: quiet, begun from a planting that is there already, and ended when you ask it to.

It writes nothing. While it runs it asks `stop` again and again, so that whoever watches a clock or a keyboard can end it and keep
the best that it has.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Stop = Callable[[], bool]
PRIMAL = 4  # HiGHS's number for the primal simplex method


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


def extremes(
    program: Program, terms: list[list[tuple[int, float]]], cutoff: float, stop: Stop = never
) -> list[tuple[float, float]]:
    """The least and the most that each of some sums of columns comes to, parts of wholes allowed, where the cost is no more than
    `cutoff`; those that were worked out before `stop` said so."""
    import highspy

    found: list[tuple[float, float]] = []
    with _quiet(stop) as highs:
        highs.passModel(_model(program))
        priced = np.flatnonzero(program.cost).astype(np.int32)
        highs.addRow(-np.inf, cutoff, len(priced), priced, program.cost[priced])
        highs.setOptionValue(
            "simplex_strategy", PRIMAL
        )  # another cost leaves the last answer within the rows
        every = np.arange(len(program.cost), dtype=np.int32)
        for sum_ in terms:
            cost = np.zeros(len(every))
            for column, factor in sum_:
                cost[column] += factor
            ends = []
            for sign in (1.0, -1.0):
                highs.changeColsCost(len(every), every, sign * cost)
                highs.run()
                if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                    return found
                ends.append(sign * float(highs.getInfo().objective_function_value))
            found.append((ends[0], ends[1]))
    return found


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
