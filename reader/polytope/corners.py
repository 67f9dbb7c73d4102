"""Corners of a polytope that together span it, from which a sampler can start."""

from __future__ import annotations

import random
from collections.abc import Iterable
from math import hypot

from reader.polytope.solver import Point, Solver

_FLAT = 1e-7  # relative to the widths of the amounts; a spread below this is arithmetic


def corners(solver: Solver, known: Iterable[Point] = (), seed: int = 0) -> tuple[Point, ...]:
    """Points of the polytope whose mixtures reach into every direction in which it has any width, each once.

    These are the known points (say, where targets were smallest and largest), those where each amount is smallest and
    largest, and for every direction that is still missing, the two ends along it. Raises InfeasibleError when the
    polytope has no point and ValueError when it has no end in some direction.
    """
    found = dict.fromkeys(known)
    for variable in range(solver.polytope.size):
        found.update(dict.fromkeys(_ends(solver, [(variable, 1.0)])))
    widths = [max(column) - min(column) for column in zip(*found, strict=True)]
    free = [k for k, width in enumerate(widths) if width > _FLAT]
    start = next(iter(found))
    basis: list[list[float]] = []

    def reaches_further(point: Point) -> bool:
        across = _across([(point[k] - start[k]) / widths[k] for k in free], basis)
        length = hypot(*across)
        if length > _FLAT:
            basis.append([v / length for v in across])
        return length > _FLAT

    for point in found:
        reaches_further(point)
    draw = random.Random(seed)
    # A random direction across all that is spanned: if the polytope has no width along it, then (but for a chance of
    # nought) it has none across at all.
    while len(basis) < len(free):
        across = _across([draw.gauss(0.0, 1.0) for _ in free], basis)
        ends = _ends(solver, [(k, v / widths[k]) for k, v in zip(free, across, strict=True)])
        if not sum(map(reaches_further, ends)):
            break
        found.update(dict.fromkeys(ends))
    return tuple(found)


def _ends(solver: Solver, target: list[tuple[int, float]]) -> tuple[Point, Point]:
    ends = solver.corner(target), solver.corner([(k, -v) for k, v in target])
    if not all(ends):
        raise ValueError("the polytope has no end in some direction; give every amount an upper limit")
    return ends


def _across(vector: list[float], basis: list[list[float]]) -> list[float]:
    """The part of a vector that is perpendicular to all of an orthonormal basis."""
    for _ in range(2):  # twice, because once leaves rounding behind
        for known in basis:
            along = sum(a * b for a, b in zip(vector, known, strict=True))
            vector = [a - along * b for a, b in zip(vector, known, strict=True)]
    return vector
