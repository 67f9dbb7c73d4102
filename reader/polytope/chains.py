"""Many chains walking one polytope side by side: hit-and-run along axes that follow its walls.

All chains take each step along the same axis, so that everything known about it is worked out once; where on their
chord they go is each chain's own. It is a slice step, which is exact for a normal weight cut off at the ends of the
chord, needs one square root and cannot lose itself in the tails of that distribution; mostly an overrelaxed one: to
the mirror image of the place within the slice. Chains so cross the polytope instead of wandering about in it.
Method: Neal, "Slice sampling", Annals of Statistics 31 (2003), sections 3 and 6; from memory, not verified.

The axes are what makes chains fast. Along a slanted axis some wall of many is always near; so as many walls and weights
as there are dimensions are chosen, those that hold the chains the closest, and each axis meets one of them alone. In
a box these axes are its edges, in a cone its rays.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from reader.polytope.densities import Powers, Weights
from reader.polytope.inside import inside
from reader.polytope.matrix import Array, System

_FLAT = 1e-7  # relative; a weight whose form has less width than this does not count
_INSIDE = 1.0 - 1e-9  # how much of a chord is used, so that no chain ever stands on a wall
_WALL = 1e-13  # relative; the least distance from a wall that rounding leaves meaningful
_FELT = 1e-9  # of how much a wall's distance varies; an axis that changes it by less does not meet the wall
_NO_END = 1e30  # along an axis, of its length: there is no wall on that side
_TRUST = 20  # sweeps after which distances are worked out anew
_FRESH = 0.3  # how many of the steps forget where the chain stood instead of mirroring it
_NARROW = 1e-3  # the least sd of a weight, relative to what the polytope leaves its form
_LITTLE = 1e-3  # the least a thinned sum counts as
_PULLS = 60  # steps towards the point that the weights like best, before the chains start
_RENEW = 5  # of those steps, after which the weights' sds are worked out anew
_SCATTER = 0.5  # of the way from that point to those that span the polytope: how far off chains start
_FEW = 0.3  # of a Dirichlet distribution; the smaller, the fewer of these points prevail in a start


class Walk:
    """Chains, the axes they walk along, and where they stand.

    There are `starts` places to start from, and from each walk `each` chains, side by side in the order of chains.
    """

    def __init__(
        self,
        arrays: System,
        vertices: Array,
        weights: Weights,
        thinned: Array,
        powers: Powers,
        starts: int,
        each: int,
        random: np.random.Generator,
    ):
        self._random = random
        within = inside(arrays, vertices)
        self._centre, self._axes = within.centre, within.axes
        self._walls, self._limits = within.walls, within.limits
        reach = np.ptp(vertices @ weights.forms.T, axis=0)
        tells = reach > _FLAT * np.maximum(1.0, np.abs(weights.forms).sum(axis=1))
        self._weights = weights.some(tells)
        self._least_sd = _NARROW * reach[tells]
        self._thinned, self._powers = thinned, powers
        # Sds that depend on the amounts are found sooner from large amounts than from small ones, which hold themselves
        # small; so chains start well away from the point that is liked best.
        liked = self._liked(vertices)
        mixed = random.dirichlet(np.full(len(vertices), _FEW), starts) @ vertices
        first = (1.0 - _SCATTER) * liked + _SCATTER * mixed - self._centre
        y = np.linalg.pinv(self._axes) @ np.vstack((first, vertices - self._centre)).T
        self._y = np.repeat(y[:, :starts], each, axis=1)
        self._weigh(self._centre + first.mean(axis=0))
        self._aim(y[:, starts:])

    @property
    def dimension(self) -> int:
        """In how many directions there is any width."""
        return int(self._axes.shape[1])

    def points(self, y: Array) -> Array:
        """Points of the polytope for places along the axes: (…, axes, chains) → (…, chains, amounts)."""
        return np.asarray(np.swapaxes(y, -1, -2) @ self._axes.T + self._centre)

    def turn(self, history: Array) -> None:
        """Take new axes from where the chains have been, and new sds from their mean; `history` as `sweep` gives it."""
        self._weigh(self._mean(history))
        times, axes, chains = history.shape
        self._aim(np.moveaxis(history, 1, 0).reshape(axes, times * chains))

    def sds_off(self, history: Array) -> float:
        """By what share the sd of a weight would change at most if it were taken at the mean of a history."""
        return float(np.abs(self._sds(self._mean(history)) / self._sd - 1.0).max(initial=0.0))

    def _mean(self, history: Array) -> Array:
        return np.asarray(self._centre + self._axes @ history.mean(axis=(0, 2)))

    def _liked(self, vertices: Array) -> Array:
        """A mixture of the vertices that lies well with the weights, near the one that lies best.

        Method: Frank and Wolfe, "An algorithm for quadratic programming", 1956; from memory, not verified.
        """
        mix = np.full(len(vertices), 1.0 / len(vertices))
        gaps = vertices @ self._weights.forms.T - self._weights.means
        for k in range(_PULLS):
            if k % _RENEW == 0:
                scaled = gaps / self._sds(mix @ vertices)
                off = mix @ scaled
            best = int((scaled @ off).argmin())
            towards = scaled[best] - off
            part = float(np.clip(-(off @ towards) / max(towards @ towards, 1e-300), 0.0, 1.0))
            off = off + part * towards
            mix *= 1.0 - part
            mix[best] += part
        return np.asarray(mix @ vertices)

    def _sds(self, mean: Array) -> Array:
        return np.asarray(np.maximum(self._weights.sds(mean), self._least_sd))

    def _weigh(self, mean: Array) -> None:
        """Weights as rows of unit sd, with the sds that belong to a mean, and how steeply points are thinned there."""
        self._sd = self._sds(mean)
        self._falls = (self._thinned / np.maximum(self._thinned @ mean, _LITTLE)[:, None]).sum(axis=0)
        self._falls += self._weights.left(mean, self._sd)
        self._pull = self._weights.forms / self._sd[:, None]
        self._off = (self._weights.forms @ self._centre - self._weights.means) / self._sd

    def _aim(self, places: Array) -> None:
        """Take the axes that suit walls and weights where these places lie: (axes, places)."""
        if self.dimension:
            values, vectors = np.linalg.eigh(np.atleast_2d(np.cov(places)))
            lengths = np.sqrt(np.maximum(values, _FLAT**2 * max(values[-1], 1e-300)))
            evened = self._axes @ (vectors * lengths)
            walls, forms = self._walls @ evened, self._pull @ evened
            room = self._limits - self._walls @ (self._centre + self._axes @ places.mean(axis=1))
            # A wall holds the chains close if its distance varies as much as it measures, a weight if its form varies
            # as much as the weight lets it. Beside them, and only where they leave something open, any direction does.
            rows = np.vstack((_no_longer_than_one(walls / room[:, None]), _no_longer_than_one(forms)))
            met = _well_apart(np.vstack((rows, _FLAT * np.eye(self.dimension))))
            self._axes = evened @ np.linalg.inv(met)
            self._y = met @ ((vectors.T @ self._y) / lengths[:, None])
        self._know_walls()
        self._know_weights()

    def _know_walls(self) -> None:
        """Which walls each axis meets and how, first those behind, then those ahead."""
        self._slant = self._walls @ self._axes
        felt = np.abs(self._slant) > _FELT * np.linalg.norm(self._slant, axis=1)[:, None]
        behind, ahead = _by_column(felt & (self._slant < 0.0)), _by_column(felt & (self._slant > 0.0))
        self._behind = [len(walls) for walls in behind]
        self._touched = [np.concatenate(walls) for walls in zip(behind, ahead, strict=True)]
        self._meets = [self._slant[touched, j][:, None] for j, touched in enumerate(self._touched)]
        self._room = self._limits - self._walls @ self._centre

    def _know_weights(self) -> None:
        """How sharply the weights fall off along each axis, and how steeply where."""
        pull = self._pull @ self._axes
        curve = pull.T @ pull
        falls = self._falls @ self._axes
        self._sharp = np.diagonal(curve)
        self._slopes = np.column_stack((curve, pull.T @ self._off + falls))
        self._sums = self._powers.forms @ self._axes
        self._weighs = ((self._sharp > 0.0) | (falls != 0.0) | self._sums.any(axis=0)).tolist()

    def sweep(self, times: int, weigh_every: int = 0) -> Array:
        """Walk every axis so many times, in random order; the places after each time: (times, axes, chains). If asked
        to, take new sds from where the chains have been every so many times.
        """
        kept = []
        for k in range(times):
            if k % _TRUST == 0:
                slack = self._room[:, None] - self._slant @ self._y
                np.maximum(slack, _WALL * np.maximum(1.0, np.abs(self._limits))[:, None], out=slack)
            self._once(slack)
            if np.abs(self._y).max(initial=0.0) > np.sqrt(_NO_END):
                raise ValueError("the polytope has no end in some direction, and no weight holds there either")
            kept.append(self._y.copy())
            if weigh_every and (k + 1) % weigh_every == 0:
                self._weigh(self._mean(np.array(kept[-weigh_every:])))
                self._know_weights()
        return np.array(kept)

    def _once(self, slack: Array) -> None:
        """Walk along every axis once. Keeps `slack`, the distances from all walls, true.

        Ends of chords and slices are worked out as the inverse of the step that leads there, which is nought, not
        endless, where there is no end.
        """
        draw, chains = self._random, self._y.shape[1]
        y = np.vstack((self._y, np.ones(chains)))  # the ones for what slopes have of their own
        place = draw.random(self._y.shape)
        drop = 0.5 / draw.standard_exponential(self._y.shape)  # the inverse of how far the logarithm may fall, doubled
        sharp = self._sharp[:, None] * drop
        fresh = (draw.random(self.dimension) < _FRESH).tolist()
        thins = len(self._sums) > 0
        if thins:
            falls = self._powers.falls(self._centre[:, None] + self._axes @ self._y, draw)
        for j in draw.permutation(self.dimension).tolist():
            meets, touched = self._meets[j], self._touched[j]
            room = slack.take(touched, axis=0)
            nearness = meets / room
            left = np.minimum.reduce(nearness[: self._behind[j]], axis=0, initial=-1.0 / _NO_END)
            right = np.maximum.reduce(nearness[self._behind[j] :], axis=0, initial=1.0 / _NO_END)
            if self._weighs[j]:
                # The slice ends where sharp * step² + 2 * slope * step = 1, both times the inverse of the drop.
                slope = self._slopes[j] @ y
                if thins:
                    slope += self._sums[:, j] @ falls
                slope *= drop[j]
                root = np.sqrt(slope * slope + sharp[j])
                np.minimum(left, slope - root, out=left)
                np.maximum(right, slope + root, out=right)
            left, right = _INSIDE / left, _INSIDE / right
            step = left + right
            if fresh[j]:
                step = left + (right - left) * place[j]
            y[j] += step
            nearness = np.dot(meets, step[None, :], out=nearness)  # no longer needed, so its place is used again
            slack[touched] = np.subtract(room, nearness, out=room)
        self._y = y[:-1]


def _by_column(marks: npt.NDArray[np.bool_]) -> list[npt.NDArray[np.intp]]:
    """For each column the rows that are marked."""
    _, rows = np.nonzero(marks.T)
    ends = np.cumsum(marks.sum(axis=0)).tolist()
    return [rows[begin:end] for begin, end in zip([0, *ends], ends, strict=False)]


def _no_longer_than_one(rows: Array) -> Array:
    return np.asarray(rows / np.maximum(1.0, np.linalg.norm(rows, axis=1))[:, None])


def _well_apart(rows: Array) -> Array:
    """As many rows as there are columns, made 1 long: each time the one that the others so far leave most of."""
    left, chosen = rows.copy(), []
    for _ in range(rows.shape[1]):
        sizes = np.einsum("ij,ij->i", left, left)
        k = int(sizes.argmax())
        chosen.append(k)
        along = left[k] / np.sqrt(sizes[k])
        left -= (left @ along)[:, None] * along
    return np.asarray(rows[chosen] / np.linalg.norm(rows[chosen], axis=1)[:, None])
