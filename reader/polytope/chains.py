"""Many chains walking one polytope side by side: hit-and-run along the axes of their own spread.

All chains take each step along the same direction, so that everything known about it is worked out once; where on
their chord they go is each chain's own. It is a slice step, which is exact for a normal weight cut off at the ends of
the chord, needs one square root and cannot lose itself in the tails of that distribution; mostly an overrelaxed one:
to the mirror image of the place within the slice. Chains so cross the polytope instead of wandering about in it.
Method: Neal, "Slice sampling", Annals of Statistics 31 (2003), sections 3 and 6; from memory, not verified.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reader.polytope.matrix import Array, System

_FLAT = 1e-7  # relative; directions and rows with less width than this do not move
_INSIDE = 1.0 - 1e-9  # how much of a chord is used, so that no chain ever stands on a wall
_WALL = 1e-13  # relative; the least distance from a wall that rounding leaves meaningful
_TRUST = 20  # sweeps after which distances are worked out anew
_FRESH = 0.2  # how many of the steps forget where the chain stood instead of mirroring it
_NARROW = 1e-3  # the least sd of a weight, relative to what the polytope leaves its form


@dataclass(frozen=True, slots=True)
class Weights:
    """Normal weights as arrays: forms @ x ~ N(means, sd² + sum (spread * mean of x)²); a row for each weight."""

    forms: Array
    means: Array
    sd: Array
    spread: Array


class Walk:
    """Chains, the axes they walk along, and where they stand."""

    def __init__(self, arrays: System, vertices: Array, weights: Weights, chains: int, random: np.random.Generator):
        self._random = random
        self._weights = weights
        self._centre = vertices.mean(axis=0)
        away = vertices - self._centre
        sd = away.std(axis=0)
        sd[sd <= _FLAT * np.maximum(1.0, np.abs(self._centre))] = 0.0
        _, length, across = np.linalg.svd(away / np.where(sd > 0.0, sd, 1.0) * (sd > 0.0), full_matrices=False)
        wide = length > _FLAT * max(length[0], 1e-300)
        self._axes = (sd[:, None] * across[wide].T) * (length[wide] / np.sqrt(len(vertices)))
        self._walls, self._limits = _one_sided(arrays)
        widest = np.abs(self._walls @ self._axes).max(axis=1, initial=0.0)
        moving = widest > _FLAT * np.maximum(1.0, np.abs(self._limits))
        self._walls, self._limits = self._walls[moving], self._limits[moving]
        reach = np.ptp(vertices @ weights.forms.T, axis=0)
        self._least_sd = _NARROW * reach
        self._tells = reach > _FLAT * np.maximum(1.0, np.abs(weights.forms).sum(axis=1))
        # Starts far apart: mixtures of corners in which a few corners prevail.
        mixed = random.dirichlet(np.full(len(vertices), 0.3), chains) @ away
        self._y = np.linalg.lstsq(self._axes, mixed.T, rcond=None)[0] if wide.any() else np.zeros((0, chains))
        self._weigh(self._centre)
        self._draw_axes()

    @property
    def dimension(self) -> int:
        """In how many directions there is any width."""
        return int(self._axes.shape[1])

    def points(self, y: Array) -> Array:
        """Points of the polytope for places along the axes: (…, axes, chains) → (…, chains, amounts)."""
        return np.asarray(np.swapaxes(y, -1, -2) @ self._axes.T + self._centre)

    def turn(self, history: Array) -> None:
        """Take new axes from the spread of where the chains have been, and new sds from their mean."""
        if not self.dimension:
            return
        flat = np.moveaxis(history, 1, 0).reshape(self.dimension, -1)
        values, vectors = np.linalg.eigh(np.atleast_2d(np.cov(flat)))
        lengths = np.sqrt(np.maximum(values, _FLAT**2 * max(values[-1], 1e-300)))
        self._weigh(self._centre + self._axes @ flat.mean(axis=1))
        self._axes = self._axes @ (vectors * lengths)
        self._y = (vectors.T @ self._y) / lengths[:, None]
        self._draw_axes()

    def _weigh(self, mean: Array) -> None:
        """Weights as rows of unit sd, with the sds that belong to a mean."""
        w = self._weights
        sd = np.sqrt(w.sd**2 + w.spread**2 @ mean**2)
        sd = np.maximum(sd, self._least_sd)[self._tells]
        self._pull = w.forms[self._tells] / sd[:, None]
        self._off = (w.forms[self._tells] @ self._centre - w.means[self._tells]) / sd

    def _draw_axes(self) -> None:
        """What is known about each axis beforehand: how it meets the walls, and the weights along it."""
        pull = self._pull @ self._axes
        self._curve = pull.T @ pull
        self._slope = pull.T @ self._off
        self._meets = np.ascontiguousarray((self._walls @ self._axes).T)[:, :, None]
        self._room = self._limits - self._walls @ self._centre

    def sweep(self, times: int, thin: int = 1) -> Array:
        """Walk every axis so many times, in random order; the places after every `thin`-th: (draws, axes, chains)."""
        kept = []
        for k in range(times):
            if k % _TRUST == 0:
                slack = self._room[:, None] - self._meets[:, :, 0].T @ self._y
                np.maximum(slack, _WALL * np.maximum(1.0, np.abs(self._limits))[:, None], out=slack)
                work = np.empty_like(slack)
            with np.errstate(divide="ignore", invalid="ignore"):  # an axis without an end shows as a point at infinity
                self._once(slack, work)
            if not np.isfinite(self._y).all():
                raise ValueError("the polytope has no end in some direction, and no weight holds there either")
            if k % thin == thin - 1:
                kept.append(self._y.copy())
        return np.array(kept)

    def _once(self, slack: Array, work: Array) -> None:
        """Walk along every axis once. Keeps `slack`, the distances from all walls, true; `work` is room to work in."""
        y, draw, shape = self._y, self._random, self._y.shape
        place, drop = draw.random(shape), 2.0 * draw.standard_exponential(shape)
        fresh = draw.random(self.dimension) < _FRESH
        for j in draw.permutation(self.dimension):
            meets = self._meets[j]
            np.divide(meets, slack, out=work)
            left = -_INSIDE / np.abs(work.min(axis=0, initial=0.0))  # no wall on this side: 1 / 0, infinitely far
            right = _INSIDE / work.max(axis=0, initial=0.0)
            curve = self._curve[j, j]
            if curve > 0.0:
                top = (self._curve[j] @ y + self._slope[j]) / -curve
                reach = np.sqrt(top * top + drop[j] / curve)
                left, right = np.maximum(left, top - reach), np.minimum(right, top + reach)
            step = left + (right - left) * place[j] if fresh[j] else left + right
            y[j] += step
            np.multiply(meets, step, out=work)
            slack -= work


def _one_sided(arrays: System) -> tuple[Array, Array]:
    """All rows and limits of single amounts as walls @ x <= limits."""
    one = np.eye(arrays.a.shape[1])
    walls = np.vstack((arrays.a, -arrays.a, -one, one))
    limits = np.concatenate((arrays.high, -arrays.low, np.zeros(len(one)), arrays.upper))
    there = np.isfinite(limits)
    return walls[there], limits[there]
