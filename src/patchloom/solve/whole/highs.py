"""A linear programme with whole numbers, handed to the HiGHS library: values of its columns, or proof that there are none.

Comes in: columns and rows, in the order they were made.  Goes out: a `Verdict`.  Next: `complete.py` reads the values.

The only door to `highspy`, which is imported when a programme is solved and not before.  One thread, a fixed seed, exact
gaps, no output: the same programme always gives the same answer.  Values are rounded and held against every row in whole
numbers, so that a tolerance of the library never passes for an answer.
"""

from __future__ import annotations

from typing import Any, NamedTuple

__all__ = ["Programme", "TooMany", "Verdict"]

_ROUND = 1e-4


class Verdict(NamedTuple):
    """What became of a programme: `values` of all columns, or None; `proven` that there are none."""

    values: list[int] | None
    proven: bool
    bound: float | None = None
    """What no values can price less than; None where nothing is known."""


class TooMany(Exception):
    """A programme grew beyond what it was allowed."""


class Programme:
    """Columns with bounds and prices, rows with bounds; every column is a whole number unless it is `loose`."""

    def __init__(self, most: int | None = None) -> None:
        self.most = most
        """Columns allowed; one more raises TooMany."""
        self.low: list[float] = []
        self.high: list[float] = []
        self.price: list[float] = []
        self.loose: list[bool] = []
        self.row_low: list[float] = []
        self.row_high: list[float] = []
        self.starts: list[int] = [0]
        self.index: list[int] = []
        self.value: list[float] = []

    def column(self, high: float, *, low: float = 0.0, price: float = 0.0, loose: bool = False) -> int:
        """Return the number of a new column between two bounds; a `loose` one is whole by itself once the others are."""
        if self.most is not None and len(self.low) >= self.most:
            raise TooMany
        self.low.append(low)
        self.high.append(high)
        self.price.append(price)
        self.loose.append(loose)
        return len(self.low) - 1

    def row(self, terms: list[tuple[int, float]], *, low: float | None = None, high: float | None = None) -> None:
        """Add a row: the sum of factor times column lies between two bounds; None for no bound."""
        if not terms:
            if (low or 0.0) > 0 or (high is not None and high < 0):
                terms = [(self.column(0.0), 1.0)]
            else:
                return
        joined: dict[int, float] = {}
        for column, factor in terms:
            joined[column] = joined.get(column, 0.0) + factor
        for column, factor in joined.items():
            if factor:
                self.index.append(column)
                self.value.append(factor)
        self.starts.append(len(self.index))
        self.row_low.append(float("-inf") if low is None else low)
        self.row_high.append(float("inf") if high is None else high)

    def solve(self, *, nodes: int | None = None, seconds: float | None = None) -> Verdict:
        """Return whole values that keep every row, proof that there are none, or neither when a limit was reached.

        `nodes` limits the branches looked at; `seconds` is only for a limit the user gave.
        """
        if not self.low:
            return Verdict([], False)
        library, engine = self._load()
        for name, setting in _options(nodes, seconds).items():
            engine.setOptionValue(name, setting)
        engine.run()
        status = engine.getModelStatus()
        known = library.HighsModelStatus
        if status in (known.kInfeasible, known.kUnboundedOrInfeasible):
            return Verdict(None, True)
        if status == known.kOptimal or engine.getInfo().primal_solution_status == 2:
            bound = engine.getInfo().mip_dual_bound
            return Verdict(self._whole(engine.getSolution().col_value), False, bound)
        return Verdict(None, False)

    def _load(self) -> tuple[Any, Any]:
        import highspy
        import numpy

        problem = highspy.HighsLp()
        problem.num_col_, problem.num_row_ = len(self.low), len(self.row_low)
        problem.col_cost_ = numpy.array(self.price, dtype=float)
        problem.col_lower_, problem.col_upper_ = numpy.array(self.low, dtype=float), numpy.array(self.high, dtype=float)
        problem.row_lower_, problem.row_upper_ = numpy.array(self.row_low), numpy.array(self.row_high)
        problem.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        problem.a_matrix_.start_ = numpy.array(self.starts, dtype=numpy.int32)
        problem.a_matrix_.index_ = numpy.array(self.index, dtype=numpy.int32)
        problem.a_matrix_.value_ = numpy.array(self.value, dtype=float)
        kinds = highspy.HighsVarType
        problem.integrality_ = [kinds.kContinuous if loose else kinds.kInteger for loose in self.loose]
        engine = highspy.Highs()
        engine.setOptionValue("output_flag", False)
        engine.passModel(problem)
        return highspy, engine

    def _whole(self, found: Any) -> list[int] | None:
        """Return the values rounded, where they keep every row; None where rounding breaks one."""
        values = [round(value) for value in found]
        for number, value in enumerate(values):
            if not self.loose[number] and abs(found[number] - value) > _ROUND:
                return None
            if not self.low[number] <= value <= self.high[number] and not self.loose[number]:
                return None
        loose = any(self.loose)
        for row in range(len(self.row_low)):
            members = range(self.starts[row], self.starts[row + 1])
            if loose and any(self.loose[self.index[at]] for at in members):
                continue
            total = sum(self.value[at] * values[self.index[at]] for at in members)
            if not self.row_low[row] - _ROUND <= total <= self.row_high[row] + _ROUND:
                return None
        return values


def _options(nodes: int | None, seconds: float | None) -> dict[str, Any]:
    options: dict[str, Any] = {
        "threads": 1,
        "parallel": "off",
        "random_seed": 0,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.999,
    }
    if nodes is not None:
        options["mip_max_nodes"] = nodes
    if seconds is not None:
        options["time_limit"] = seconds
    return options
