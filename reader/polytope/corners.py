"""Corners of a polytope that together span it, from which a sampler can start."""

from __future__ import annotations

import random
from collections.abc import Iterable

from reader.polytope.solver import Point, Solver

_FLAT = 1e-7  # relative to the widths of the amounts; a spread below this is arithmetic


def corners(solver: Solver, known: Iterable[Point] = (), seed: int = 0) -> tuple[Point, ...]:
    """Points of the polytope whose mixtures reach into every direction in which it has any width, each once.

    These are the known points (say, where targets were smallest and largest), for each amount to which they leave no
    width those where it is smallest and largest, and for every direction that is still missing, the two ends along
    it. Raises InfeasibleError when the polytope has no point and ValueError when it has no end in some direction.
    """
    import numpy as np

    found = dict.fromkeys(known)
    for variable in range(solver.polytope.size):
        values = [point[variable] for point in found]
        if not values or max(values) - min(values) <= _FLAT:
            found.update(dict.fromkeys(_ends(solver, [(variable, 1.0)])))
    points = np.array(list(found))
    widths = np.ptp(points, axis=0)
    free = np.flatnonzero(widths > _FLAT).tolist()
    start = points[0, free]
    basis = np.zeros((0, len(free)))

    def across(vector: np.ndarray) -> np.ndarray:
        """The part of a vector that is perpendicular to all of the basis."""
        for _ in range(2):  # twice, because once leaves rounding behind
            vector = vector - basis.T @ (basis @ vector)
        return vector

    def reaches_further(point: Point) -> bool:
        nonlocal basis
        beyond = across((np.array(point)[free] - start) / widths[free])
        length = float(np.linalg.norm(beyond))
        if length > _FLAT:
            basis = np.vstack((basis, beyond / length))
        return length > _FLAT

    for point in found:
        reaches_further(point)
    draw = random.Random(seed)
    # A random direction across all that is spanned: if the polytope has no width along it, then (but for a chance of
    # nought) it has none across at all.
    while len(basis) < len(free):
        direction = across(np.array([draw.gauss(0.0, 1.0) for _ in free])) / widths[free]
        ends = _ends(solver, list(zip(free, direction.tolist(), strict=True)))
        if not sum(map(reaches_further, ends)):
            break
        found.update(dict.fromkeys(ends))
    return tuple(found)


def _ends(solver: Solver, target: list[tuple[int, float]]) -> tuple[Point, Point]:
    ends = solver.corner(target), solver.corner([(k, -v) for k, v in target])
    if not all(ends):
        raise ValueError("the polytope has no end in some direction; give every amount an upper limit")
    return ends
