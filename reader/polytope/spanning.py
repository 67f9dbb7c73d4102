"""Points of a polytope that together span it, from which a sampler can start."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from reader.polytope.solver import Point, Solver, Target

if TYPE_CHECKING:
    from reader.polytope.matrix import Array

_FLAT = 1e-7  # relative to the widths of the amounts; a spread below this is arithmetic
_ENDLESS = "the polytope has no end in some direction; give every amount an upper limit"
_PART = 0.5  # of the way to the nearest wall: how far from the middle points are taken


def spanning(solver: Solver, known: Iterable[Point] = ()) -> tuple[Point, ...]:
    """Points of the polytope whose mixtures reach into every direction in which it has any width, each once.

    These are the known points (say, where targets were smallest and largest); for walls that all of them stand on, and
    amounts to which they leave no width, points that are away from there, if there are any; and for every direction
    that is then still missing, points to either side of the middle of the others. Raises InfeasibleError when the
    polytope has no point and ValueError when it has no end in some direction.
    """
    import numpy as np

    from reader.polytope.inside import one_sided
    from reader.polytope.matrix import system

    found = dict.fromkeys(known)

    def at_end(target: Target) -> Point:
        end = solver.corner(target)
        if not end:
            raise ValueError(_ENDLESS)
        found[end] = None
        return end

    for amount in range(solver.polytope.size):
        values = [point[amount] for point in found]
        if not values or max(values) - min(values) <= _FLAT:
            at_end([(amount, -1.0)])
            at_end([(amount, 1.0)])
    walls, limits = one_sided(system(solver.polytope))
    flat = _FLAT * np.maximum(1.0, np.abs(limits))
    while True:
        points = np.array(list(found))
        stood_on = (limits[:, None] - walls @ points.T).max(axis=1) <= flat
        together = walls[stood_on].sum(axis=0)  # walls that face each other add up to nothing
        if not together.any():
            break
        away = np.array(at_end(list(enumerate(together.tolist()))))
        if (limits - walls @ away <= flat)[stood_on].all():
            break  # where no point is away from a wall, all points stand on it
    points = np.array(list(found))
    middle, widths = points.mean(axis=0), np.ptp(points, axis=0)
    free = widths > _FLAT
    scale = np.where(free, widths, 0.0)
    spanned = (points - middle) / np.where(free, widths, 1.0) * free
    fixed = walls[stood_on] * scale
    fixed /= np.maximum(np.linalg.norm(fixed, axis=1), 1e-300)[:, None]
    open_walls, room = walls[~stood_on], (limits - walls @ middle)[~stood_on]
    for direction in _across(np.vstack((fixed, np.eye(len(free))[~free], spanned))):
        step = scale * direction
        for towards in (step, -step):
            nearness = float((open_walls @ towards / room).max(initial=0.0))
            if not nearness:
                raise ValueError(_ENDLESS)
            found[tuple((middle + _PART / nearness * towards).tolist())] = None
    return tuple(found)


def _across(rows: Array) -> Array:
    """Directions that are perpendicular to some, and to each other, one in a row."""
    import numpy as np

    _, lengths, directions = np.linalg.svd(rows)
    rank = int((lengths > _FLAT).sum())
    return np.asarray(directions[rank:])
