"""The point of a polytope that lies best with normal weights: the least sum of squared deviations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reader.polytope.rows import Polytope
from reader.polytope.sampler import Normal
from reader.polytope.solver import Point
from reader.polytope.threads import one_thread

if TYPE_CHECKING:
    from reader.polytope.matrix import Array

_ENOUGH = 0.01  # of the sum, or of one deviation: how near the least is near enough
_HARDER = 8.0  # how much more the sum counts beside the walls from stage to stage
_STAGES = 40  # at most; eight are usual
_STEPS = 30  # of a stage at most; three are usual
_CENTRED = 0.1  # what a step promises at most where a stage is done with, in logarithms of distances
_REACH = 0.95  # of the way to the nearest wall: how far a step goes at most
_STILL = 0.01  # by what share spreads that depend on the amounts may still change at the end
_LEAST_SD = 1e-6
_RIDGE = 1e-12  # keeps directions apart that arithmetic takes for one
_LEAST_BEND = 1e-300


@dataclass(frozen=True, slots=True)
class Nearest:
    """The least sum of squared deviations, where it is reached, and each weight's own squared deviation there."""

    total: float
    point: Point
    parts: tuple[float, ...]


def nearest(polytope: Polytope, weights: Sequence[Normal], points: Array) -> Nearest:
    """Minimise the sum of ((form - mean) / sd)² over the polytope as far as some points of it, one in a row, span it.

    The sum is at most a hundredth above the least, or above by a hundredth of one squared deviation; spreads that
    depend on the amounts are those at the point found. Method: logarithmic barrier with Newton's steps, whose distance
    from the least is known (Boyd and Vandenberghe, Convex Optimization, 2004, chapter 11; from memory, not verified).
    """
    with one_thread():
        return _nearest(polytope, weights, points)


def _nearest(polytope: Polytope, weights: Sequence[Normal], points: Array) -> Nearest:
    import numpy as np

    from reader.polytope.inside import inside
    from reader.polytope.matrix import dense, system

    size = polytope.size
    forms = np.array([dense(w.terms, size) for w in weights]).reshape(-1, size)
    spreads = np.array([dense(w.spread, size) for w in weights]).reshape(-1, size)
    grows = np.array([dense(w.grows, size) for w in weights]).reshape(-1, size)
    means, fixed = np.array([w.mean for w in weights]), np.array([w.sd for w in weights])

    def sds(at: Array) -> Array:
        return np.asarray(np.maximum(np.sqrt(fixed**2 + spreads**2 @ at**2 + (grows @ at) ** 2), _LEAST_SD))

    within = inside(system(polytope), points)
    slant, room = within.walls @ within.axes, within.limits - within.walls @ within.centre
    pull, off = forms @ within.axes, forms @ within.centre - means
    y, counts, sd = np.zeros(within.axes.shape[1]), 1.0, sds(within.centre)
    for _ in range(_STAGES):
        y = _between(pull / sd[:, None], off / sd, counts, slant, room, y)
        point = within.centre + within.axes @ y
        squares = ((pull @ y + off) / sd) ** 2
        total = float(squares.sum())
        before, sd = sd, sds(point)
        if counts * _ENOUGH * max(1.0, total) < len(room):
            counts *= _HARDER
        elif (np.abs(sd / before - 1.0) <= _STILL).all():
            break
    return Nearest(total, tuple(point.tolist()), tuple(squares.tolist()))


def _between(pull: Array, off: Array, counts: float, slant: Array, room: Array, y: Array) -> Array:
    """Where counts * |pull @ y + off|² less the logarithms of the distances from all walls is least, found from `y`."""
    import numpy as np

    curve = 2.0 * counts * pull.T @ pull
    ridge = _RIDGE * np.eye(len(y))
    for _ in range(_STEPS):
        near = slant / (room - slant @ y)[:, None]
        gap = pull @ y + off
        slope = 2.0 * counts * gap @ pull + near.sum(axis=0)
        bend = curve + near.T @ near
        even = 1.0 / np.sqrt(np.maximum(np.diagonal(bend), _LEAST_BEND))  # directions bend very differently
        step = even * np.linalg.solve(bend * np.outer(even, even) + ridge, -even * slope)
        promised = -float(slope @ step)
        if promised <= _CENTRED:
            break
        closer, bent = near @ step, float(step @ curve @ step) / 2.0
        straight = -promised - float(closer.sum())
        part = min(1.0, _REACH / max(float(closer.max()), 1e-300))
        while part * straight + part**2 * bent - float(np.log1p(-part * closer).sum()) > -promised * part / 4.0:
            part /= 2.0
        y = y + part * step
    return y
