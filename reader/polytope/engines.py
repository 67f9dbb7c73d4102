"""Two engines for linear programs behind one small face, and the check that an answer of theirs is right.

`Fast` hands the model over once and changes only the costs between solves, by the primal simplex method: corners stay
feasible when only costs change, so each solve starts from the best corner seen so far. `Plain` builds everything anew
for each solve; it is slower and shares no state with the first. Both libraries are imported when an engine is made, not
before.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Any, Protocol

import numpy as np

from reader.polytope.matrix import Array, System

TOLERANCE = 1e-6  # relative: what a point may break a row by, and what a value may differ from its proof by
_PRECISE = 1e-9  # what the engines are asked for, so that the check has room
_MANY = 64  # corners for which there is room at first
_STEPS = 5000  # of one solve; a hundred are many
_TRACE = 1e-8  # a dual this small, for costs of about 1, is left by arithmetic


class Status(Enum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    UNBOUNDED = "unbounded"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Answer:
    """The smallest value of a linear cost, where it is reached, and what each scaled row's limit costs (its dual).

    INFEASIBLE: no point; duals, if any, are weights of the rows with which these contradict each other. Empty arrays
    otherwise.
    """

    status: Status
    value: float
    point: Array
    duals: Array


class Engine(Protocol):
    """Solves one polytope for many costs."""

    def minimise(self, costs: Array) -> Answer:
        """The smallest value of costs @ x over the polytope."""


def _nothing(status: Status) -> Answer:
    return Answer(status, np.nan, np.empty(0), np.empty(0))


class Fast:
    """highspy, the model passed once, every corner it has found kept."""

    def __init__(self, arrays: System) -> None:
        import highspy

        self._is = highspy.HighsModelStatus
        # The class beneath the public one: the public one prints a banner to stdout before it can be told not to.
        self._highs: Any = getattr(highspy, "_Highs", highspy.Highs)()
        for name, value in (
            ("output_flag", False),
            ("threads", 1),
            ("presolve", "off"),
            ("solver", "simplex"),
            ("simplex_strategy", 4),  # primal
            ("primal_feasibility_tolerance", _PRECISE),
            ("dual_feasibility_tolerance", _PRECISE),
            ("primal_simplex_bound_perturbation_multiplier", 0.0),  # costs more steps than it saves here …
            ("simplex_iteration_limit", _STEPS),  # … and were steps to go in circles, the other engine is asked
        ):
            self._highs.setOptionValue(name, value)
        rows, columns = arrays.a.shape
        self._rows = rows
        filled = arrays.a != 0.0
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = columns, rows
        model.col_cost_, model.col_lower_, model.col_upper_ = np.zeros(columns), np.zeros(columns), arrays.upper
        model.row_lower_, model.row_upper_ = arrays.low, arrays.high
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.concatenate(([0], np.cumsum(filled.sum(axis=1)))).astype(np.int32)
        model.a_matrix_.index_ = np.nonzero(filled)[1].astype(np.int32)
        model.a_matrix_.value_ = arrays.a[filled]
        self._highs.passModel(model)
        self._columns = np.arange(columns, dtype=np.int32)
        self._corners = np.empty((_MANY, columns))
        self._bases: list[Any] = []

    def minimise(self, costs: Array) -> Answer:
        if self._bases:
            values = self._corners[: len(self._bases)] @ costs
            best = int(values.argmin())
            if values[best] <= 0.0 <= costs.min():  # the limits of the amounts allow no less, whatever the rows say
                return Answer(Status.OPTIMAL, float(values[best]), self._corners[best].copy(), np.zeros(self._rows))
            if best != len(self._bases) - 1:  # where it stands already
                self._highs.setBasis(self._bases[best])
        self._highs.changeColsCost(len(costs), self._columns, costs)
        self._highs.run()
        status = self._highs.getModelStatus()
        if status == self._is.kOptimal:
            found = self._highs.getSolution()
            point = np.array(found.col_value)
            self._keep(point)
            return Answer(Status.OPTIMAL, float(costs @ point), point, np.array(found.row_dual))
        if status == self._is.kInfeasible:
            _, there, ray = self._highs.getDualRay()
            return Answer(Status.INFEASIBLE, np.nan, np.empty(0), np.array(ray) if there else np.empty(0))
        return _nothing(Status.UNBOUNDED if status == self._is.kUnbounded else Status.FAILED)

    def _keep(self, point: Array) -> None:
        known = len(self._bases)
        if known == len(self._corners):
            self._corners = np.vstack((self._corners, np.empty_like(self._corners)))
        self._corners[known] = point
        self._bases.append(self._highs.getBasis())


class Plain:
    """scipy's linprog, every solve from nothing."""

    def __init__(self, arrays: System) -> None:
        from scipy.optimize import linprog

        self._linprog: Any = linprog
        self._arrays = arrays
        self._equal = arrays.low == arrays.high
        self._below = np.isfinite(arrays.high) & ~self._equal
        self._above = np.isfinite(arrays.low) & ~self._equal

    def minimise(self, costs: Array) -> Answer:
        s, below, above, equal = self._arrays, self._below, self._above, self._equal
        found = self._linprog(
            costs,
            A_ub=np.vstack((s.a[below], -s.a[above])),
            b_ub=np.concatenate((s.high[below], -s.low[above])),
            A_eq=s.a[equal],
            b_eq=s.low[equal],
            bounds=np.column_stack((np.zeros(len(costs)), s.upper)),
            method="highs-ds",
            options={"primal_feasibility_tolerance": _PRECISE, "dual_feasibility_tolerance": _PRECISE},
        )
        if found.status != 0:
            known = {2: Status.INFEASIBLE, 3: Status.UNBOUNDED}
            return _nothing(known.get(found.status, Status.FAILED))
        duals = np.zeros(len(s.a))
        many = int(below.sum())
        duals[below] += found.ineqlin.marginals[:many]
        duals[above] -= found.ineqlin.marginals[many:]
        duals[equal] = found.eqlin.marginals
        return Answer(Status.OPTIMAL, float(found.fun), found.x, duals)


def trustworthy(answer: Answer, costs: Array, arrays: System) -> bool:
    """Whether an optimal answer proves itself: its point satisfies the rows, and its duals allow no smaller value.

    The proof is weak duality, as in any textbook of linear programming: for all points of the polytope, costs @ x is
    at least the sum of each dual times the limit it presses on, plus the least the remaining costs can come to.
    """
    if not (np.isfinite(answer.value) and np.isfinite(answer.point).all() and np.isfinite(answer.duals).all()):
        return False
    if arrays.excess(answer.point) > TOLERANCE:
        return False
    trace = _TRACE * np.abs(costs).max(initial=1.0)
    rest = costs - answer.duals @ arrays.a
    least = _least(answer.duals, arrays.low, arrays.high, trace) + _least(rest, 0.0, arrays.upper, trace)
    return bool(abs(answer.value - least) <= TOLERANCE * max(1.0, abs(answer.value)))


def contradictory(answer: Answer, arrays: System) -> bool:
    """Whether an answer that there is no point proves itself: a sum of rows that no amounts within their limits meet
    (Farkas' lemma, textbook).
    """
    if not answer.duals.size or not np.isfinite(answer.duals).all():
        return False
    largest = np.abs(answer.duals).max()
    for rays in (answer.duals / largest, -answer.duals / largest) if largest else ():
        rest = -(rays @ arrays.a)
        if _least(rays, arrays.low, arrays.high, _TRACE) + _least(rest, 0.0, arrays.upper, _TRACE) > TOLERANCE:
            return True
    return False


def _least(weights: Array, low: Array | float, high: Array, trace: float) -> float:
    """The least sum of weights * y over low <= y <= high; traces of weights do not press where there is no limit."""
    ends = np.where(weights > 0.0, low, high)
    limited = np.isfinite(ends)
    if not limited.all():
        if np.abs(weights[~limited]).max() > trace:
            return -np.inf
        weights, ends = weights[limited], ends[limited]
    return float(weights @ ends)
