"""A polytope as arrays, rows scaled by their largest coefficient, so that one tolerance fits all of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from reader.polytope.rows import Polytope, Terms

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class System:
    """`low <= a @ x <= high` and `0 <= x <= upper`.

    scale: for each row what its coefficients were divided by.
    size: for each row how large its limits are, at least 1, in scaled units: what "relative" refers to.
    """

    a: Array
    low: Array
    high: Array
    upper: Array
    scale: Array
    size: Array

    def excess(self, point: Array) -> float:
        """How far the point breaks the worst row or limit, relative to the row's size; 0 when it breaks none."""
        value = self.a @ point
        rows = np.maximum(self.low - value, value - self.high) / self.size
        return float(max(0.0, rows.max(initial=0.0), -point.min(), (point - self.upper).max()))


def system(polytope: Polytope) -> System:
    """The arrays of a polytope."""
    a = np.zeros((len(polytope.rows), polytope.size))
    for coefficients, row in zip(a, polytope.rows, strict=True):
        for variable, coefficient in row.terms:
            coefficients[variable] += coefficient
    scale = np.abs(a).max(axis=1, initial=0.0)
    scale[scale == 0.0] = 1.0
    low = np.array([row.low for row in polytope.rows], dtype=np.float64) / scale
    high = np.maximum(np.array([row.high for row in polytope.rows], dtype=np.float64) / scale, low)
    known = np.where(np.isfinite(low), np.abs(low), 0.0), np.where(np.isfinite(high), np.abs(high), 0.0)
    upper = np.array(polytope.upper or [np.inf] * polytope.size, dtype=np.float64)
    return System(a / scale[:, None], low, high, upper, scale, np.maximum(1.0, np.maximum(*known)))


def dense(terms: Terms, size: int) -> Array:
    """Sparse terms as an array with a place for every variable."""
    found = np.zeros(size)
    for variable, coefficient in terms:
        found[variable] += coefficient
    return found
