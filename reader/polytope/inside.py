"""The inside of a polytope: in which directions it has any width, and which walls it has there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reader.polytope.matrix import Array, System

_FLAT = 1e-7  # relative; directions and walls with less width than this do not move
_TIGHTENED = 6  # times; by then limits of amounts hardly change any more
_ROUNDED = 1e-9  # relative; what arithmetic may lose


@dataclass(frozen=True, slots=True)
class Inside:
    """The points centre + axes @ y for which walls @ point <= limits; y has a place for each direction with any width.

    centre: the mean of the points the polytope was known by, so within all walls. axes: orthogonal in amounts scaled by
    their widths, as long as those points spread along them.
    """

    centre: Array
    axes: Array
    walls: Array
    limits: Array


def inside(arrays: System, points: Array) -> Inside:
    """The inside as far as some points of the polytope span it, one in a row. Walls that do not move are left out, and
    those that the others keep every point away from.
    """
    centre = points.mean(axis=0)
    axes = _directions(points - centre, np.abs(centre))
    walls, limits = one_sided(arrays)
    widest = np.abs(walls @ axes).max(axis=1, initial=0.0)
    size = np.maximum(1.0, np.abs(limits))
    low, high = _box(arrays)
    nearest = (walls * np.where(walls > 0.0, high, np.where(walls < 0.0, low, 0.0))).sum(axis=1)
    met = limits - nearest <= _FLAT * size
    kept = met & (widest > _FLAT * size)
    return Inside(centre, axes, walls[kept], limits[kept])


def _box(arrays: System) -> tuple[Array, Array]:
    """Limits of the single amounts that follow from the rows, not always the narrowest: in turns, from each row what it
    leaves an amount if all others take as little of it as their limits so far let them (textbook bound tightening).
    """
    rows, most = np.vstack((arrays.a, -arrays.a)), np.concatenate((arrays.high, -arrays.low))
    rows, most = rows[np.isfinite(most)], most[np.isfinite(most), None]
    above, below = rows > 0.0, rows < 0.0
    by = np.where(rows == 0.0, 1.0, rows)
    low, high = np.zeros(rows.shape[1]), arrays.upper
    for _ in range(_TIGHTENED):
        taken = rows * np.where(above, low, np.where(below, high, 0.0))
        endless = np.isinf(taken)
        taken[endless] = 0.0
        others = taken.sum(axis=1, keepdims=True) - taken
        rounded = _ROUNDED * (np.abs(most) + np.abs(taken).sum(axis=1, keepdims=True))
        told = endless.sum(axis=1, keepdims=True) == endless  # whether no other amount is without limit
        left = (most - others + rounded) / by
        low = np.maximum(low, np.where(told & below, left, -np.inf).max(axis=0, initial=-np.inf))
        high = np.minimum(high, np.where(told & above, left, np.inf).min(axis=0, initial=np.inf))
    return low, high


def _directions(away: Array, size: Array) -> Array:
    """Orthogonal directions, in amounts scaled by their widths, in which points spread; as long as they spread."""
    sd = away.std(axis=0)
    sd[sd <= _FLAT * np.maximum(1.0, size)] = 0.0
    _, length, across = np.linalg.svd(away / np.where(sd > 0.0, sd, 1.0) * (sd > 0.0), full_matrices=False)
    wide = length > _FLAT * max(length[0], 1e-300)
    return np.asarray((sd[:, None] * across[wide].T) * (length[wide] / np.sqrt(len(away))))


def one_sided(arrays: System) -> tuple[Array, Array]:
    """All rows and limits of single amounts as walls @ x <= limits."""
    one = np.eye(arrays.a.shape[1])
    walls = np.vstack((arrays.a, -arrays.a, -one, one))
    limits = np.concatenate((arrays.high, -arrays.low, np.zeros(len(one)), arrays.upper))
    there = np.isfinite(limits)
    return walls[there], limits[there]
