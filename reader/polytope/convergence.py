"""Whether chains have settled: nested R-hat, drift and effective sample size.

Many chains need not be long to tell much together, so what is asked is not whether each has seen everything, but
whether all have forgotten where they started and whether all together still move.
Methods: nested R-hat of Margossian, Hoffman, Sountsov, Riou-Durand, Vehtari and Gelman, "Nested R-hat: assessing the
convergence of Markov chain Monte Carlo when running many short chains", Bayesian Analysis (2024); effective sample
size of Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), section 11.5; both from memory, not verified.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from reader.polytope.matrix import Array

_FLAT = 1e-18  # variance relative to the square of the largest value; below it a target does not move at all


@dataclass(frozen=True, slots=True)
class Agreement:
    """How far chains agree, for each target. Of a target that does not move all is 1, 0 and every draw counted.

    rhat: √(1 + variance between the means of families of chains / variance within families); 1 where all chains have
    forgotten their start. drift: mean of the second half of all draws less that of the first, in standard deviations.
    effective: how many independent draws these are worth.
    """

    rhat: Array
    drift: Array
    effective: Array


def agreement(draws: Array, each: int = 1) -> Agreement:
    """The agreement of chains of which `each` that are neighbours started from one place, as a family.

    draws: (draws, chains, targets), at least four draws and two families. With a family for each chain, R-hat is the
    plain one of whole chains.
    """
    length, chains, targets = draws.shape
    centred = draws - draws.mean(axis=(0, 1))
    total = (centred**2).mean(axis=(0, 1))
    still = total <= _FLAT * np.maximum(1e-300, np.abs(draws).max(axis=(0, 1)) ** 2)
    total = np.where(still, 1.0, total)
    half = length // 2
    drift = (centred[length - half :].mean(axis=(0, 1)) - centred[:half].mean(axis=(0, 1))) / np.sqrt(total)
    means = centred.mean(axis=0).reshape(-1, each, targets)
    between = means.mean(axis=1).var(axis=0, ddof=1)
    within = centred.var(axis=0, ddof=1).mean(axis=0)
    if each > 1:
        within = within + means.var(axis=1, ddof=1).mean(axis=0)
    rhat = np.sqrt(1.0 + between / np.maximum(within, 1e-300))
    effective = length * chains / (1.0 + 2.0 * _correlations(centred, total))
    return Agreement(
        np.where(still, 1.0, rhat), np.where(still, 0.0, drift), np.where(still, float(length * chains), effective)
    )


def _correlations(centred: Array, total: Array) -> Array:
    """The sum of the correlations between a chain's draws over all lags.

    They are summed in pairs of lags, up to the first pair whose sum is not positive, and never rising.
    """
    sums, previous = np.zeros_like(total), np.full_like(total, np.inf)
    going = np.ones_like(total, dtype=bool)
    for lag in range(1, len(centred) - 1, 2):
        pair = sum(1.0 - _variogram(centred, k) / (2.0 * total) for k in (lag, lag + 1))
        going &= pair > 0.0
        if not going.any():
            break
        previous = np.minimum(previous, pair)
        sums += np.where(going, previous, 0.0)
    return sums


def _variogram(centred: Array, lag: int) -> Array:
    """Mean square of the difference between draws that are `lag` apart."""
    return np.asarray(((centred[lag:] - centred[:-lag]) ** 2).mean(axis=(0, 1)))
