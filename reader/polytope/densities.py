"""How much points count, as arrays: normal weights of linear forms, and powers of sums of amounts."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from reader.polytope.matrix import Array

_TINY = 1e-12  # the least a sum with a power counts as


@dataclass(frozen=True, slots=True)
class Weights:
    """Normal weights as arrays, a row for each: forms @ x ~ N(means, sd² + sum (spread * m)² + (grows @ m)²), cut off
    where it differs from its mean by within @ x; m is the mean of x.
    """

    forms: Array
    means: Array
    sd: Array
    spread: Array
    grows: Array
    within: Array

    def some(self, which: npt.NDArray[np.bool_]) -> Weights:
        """Only some of them."""
        chosen = (self.forms, self.means, self.sd, self.spread, self.grows, self.within)
        return Weights(*(of[which] for of in chosen))

    def sds(self, mean: Array) -> Array:
        """The sds that belong to a mean of x."""
        return np.asarray(np.sqrt(self.sd**2 + self.spread**2 @ mean**2 + (self.grows @ mean) ** 2))

    def left(self, mean: Array, sds: Array) -> Array:
        """The gradient, by x at its mean, of the logarithm of what the cut leaves of all densities together."""
        room = self.within @ mean
        cut = room > 0.0
        end = room[cut] / sds[cut] / math.sqrt(2.0)
        erf = np.array([math.erf(one) for one in end])
        steep = 2.0 / math.sqrt(math.pi) * end * np.exp(-(end**2)) / np.maximum(erf, 1e-300)  # by the logarithm of room
        return np.asarray((steep / room[cut]) @ self.within[cut])


@dataclass(frozen=True, slots=True)
class Powers:
    """Points count by the product of (forms @ x) ** -powers.

    Such a factor is the mean of exp(-u * form) over u of a gamma distribution. If each chain draws a u of its own
    before each sweep, given where it stands, the factor falls straight in the logarithm meanwhile, and all is exact.
    Method: Tanner and Wong, "The calculation of posterior distributions by data augmentation", 1987; from memory, not
    verified.
    """

    forms: Array
    powers: Array

    def falls(self, points: Array, random: np.random.Generator) -> Array:
        """How steeply the logarithm falls along each form, for each chain: (forms, chains)."""
        sums = np.maximum(self.forms @ points, _TINY)
        return np.asarray(random.standard_gamma(np.broadcast_to(self.powers[:, None], sums.shape)) / sums)
