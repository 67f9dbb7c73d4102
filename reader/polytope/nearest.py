"""The point of a polytope that lies best with normal weights: the least sum of squared deviations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reader.polytope.sampler import Normal
from reader.polytope.solver import Point, Solver
from reader.polytope.threads import one_thread

if TYPE_CHECKING:
    from reader.polytope.matrix import Array

_ROUNDS = 40  # linear programs at most; each brings the sum closer to the least
_RENEW = 8  # rounds after which spreads that depend on the amounts are taken anew
_LEAST_SD = 1e-6
_ENOUGH = 0.01  # of the sum, or of one deviation: how near the least is near enough


@dataclass(frozen=True, slots=True)
class Nearest:
    """The least sum of squared deviations, where it is reached, and each weight's own squared deviation there."""

    total: float
    point: Point
    parts: tuple[float, ...]


def nearest(solver: Solver, weights: Sequence[Normal], starts: Array) -> Nearest:
    """Minimise the sum of ((form - mean) / sd)² over the polytope, from the best of some points of it (one in a row).

    The sum is at most a hundredth above the least, or above by a hundredth of one squared deviation. Method: Frank and
    Wolfe, "An algorithm for quadratic programming", 1956; from memory, not verified. Raises as `Solver.corner` does.
    """
    with one_thread():
        return _nearest(solver, weights, starts)


def _nearest(solver: Solver, weights: Sequence[Normal], starts: Array) -> Nearest:
    import numpy as np

    from reader.polytope.matrix import dense

    size = solver.polytope.size
    forms = np.array([dense(w.terms, size) for w in weights]).reshape(-1, size)
    spreads = np.array([dense(w.spread, size) for w in weights]).reshape(-1, size)
    grows = np.array([dense(w.grows, size) for w in weights]).reshape(-1, size)
    means, fixed = np.array([w.mean for w in weights]), np.array([w.sd for w in weights])

    def sds(at: Array) -> Array:
        return np.asarray(np.maximum(np.sqrt(fixed**2 + spreads**2 @ at**2 + (grows @ at) ** 2), _LEAST_SD))

    sd = sds(starts.mean(axis=0))
    point = starts[int((((starts @ forms.T - means) / sd) ** 2).sum(axis=1).argmin())]
    for k in range(_ROUNDS):
        if k % _RENEW == 0:
            sd = sds(point)
            scaled, offset = forms / sd[:, None], means / sd
        off = scaled @ point - offset
        downhill = scaled.T @ off
        corner = solver.corner([(i, float(c)) for i, c in enumerate(downhill) if c])
        if not corner:
            break  # no end in that direction, so no better corner to walk to
        step = np.array(corner) - point
        gap = -2 * float(downhill @ step)  # how much above the least the sum can be at most
        if gap <= _ENOUGH * max(1.0, float(off @ off)) and k >= _RENEW:
            break
        along = scaled @ step
        point = point + step * float(np.clip(-(off @ along) / max(float(along @ along), 1e-300), 0.0, 1.0))
    squares = (scaled @ point - offset) ** 2
    return Nearest(float(squares.sum()), tuple(point.tolist()), tuple(squares.tolist()))
