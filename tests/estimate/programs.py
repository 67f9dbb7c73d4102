"""The linear programs of a label, as the estimate poses them, and the same bounds by another road.

The check builds dense arrays from the rows itself and calls scipy.optimize.linprog for every bound anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import inf
from unittest import mock

import numpy as np
from scipy.optimize import linprog

from reader.makeup import estimate, likely
from reader.polytope import sampler, solver
from reader.polytope.rows import Polytope, Terms


@dataclass(frozen=True, slots=True)
class Asked:
    """A bound that was asked for, with its answer."""

    polytope: Polytope
    terms: Terms
    largest: bool
    value: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sample that was drawn."""

    polytope: Polytope
    sample: sampler.Sample


@contextmanager
def bounds_seen() -> Iterator[list[Asked]]:
    """Every bound the estimate asks for meanwhile."""
    seen: list[Asked] = []

    class Watched(solver.Solver):
        def end(self, target: solver.Target, *, largest: bool = False) -> solver.End:
            found = super().end(target, largest=largest)
            seen.append(Asked(self.polytope, tuple(target), largest, found.value))
            return found

    with mock.patch.object(estimate, "Solver", Watched):
        yield seen


@contextmanager
def samples_seen() -> Iterator[list[Drawn]]:
    """Every sample the estimate draws meanwhile."""
    seen: list[Drawn] = []

    def watched(polytope: Polytope, *args: object, **options: object) -> sampler.Sample:
        found = sampler.sample(polytope, *args, **options)  # type: ignore[arg-type]
        seen.append(Drawn(polytope, found))
        return found

    with mock.patch.object(likely, "sample", watched):
        yield seen


@dataclass(frozen=True, slots=True)
class Arrays:
    """A polytope for scipy: a @ x <= b, equal @ x = e, 0 <= x <= upper."""

    a: np.ndarray
    b: np.ndarray
    equal: np.ndarray
    e: np.ndarray
    bounds: list[tuple[float, float | None]]


def row_of(terms: Terms, size: int) -> np.ndarray:
    """A row of coefficients; a variable named twice counts twice."""
    dense = np.zeros(size)
    for column, value in terms:
        dense[column] += value
    return dense


def arrays_of(polytope: Polytope) -> Arrays:
    """The polytope as plain arrays, unscaled."""
    a, b, equal, e = [], [], [], []
    for row in polytope.rows:
        dense = row_of(row.terms, polytope.size)
        if row.low == row.high:
            equal.append(dense)
            e.append(row.low)
            continue
        if row.high < inf:
            a.append(dense)
            b.append(row.high)
        if row.low > -inf:
            a.append(-dense)
            b.append(-row.low)
    upper = polytope.upper or (inf,) * polytope.size
    bounds = [(0.0, None if u == inf else u) for u in upper]
    return Arrays(np.array(a), np.array(b), np.array(equal), np.array(e), bounds)


def end_of(one: Asked) -> float:
    """The same bound by scipy."""
    costs = row_of(one.terms, one.polytope.size)
    return -least(arrays_of(one.polytope), -costs) if one.largest else least(arrays_of(one.polytope), costs)


def least(arrays: Arrays, costs: np.ndarray) -> float:
    """The smallest value of the costs, by scipy; raises AssertionError where it finds none."""
    tight = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
    found = linprog(costs, arrays.a, arrays.b, arrays.equal, arrays.e, arrays.bounds, method="highs", options=tight)
    assert found.status == 0, found.message
    return float(found.fun)
