"""Whether chains agree: split R-hat and effective sample size.

Method: Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sections 11.4 and 11.5; from memory, not verified.
"""

from __future__ import annotations

import numpy as np

from reader.polytope.matrix import Array

_FLAT = 1e-18  # variance relative to the square of the largest value; below it a target does not move at all


def agreement(draws: Array) -> tuple[Array, Array]:
    """R-hat and effective sample size of each target.

    draws: (draws, chains, targets), at least four draws. R-hat is 1 for chains that agree, larger otherwise; each
    chain is split in two halves. A target that does not move has R-hat 1 and every draw counted.
    """
    half = len(draws) // 2
    parts = np.concatenate((draws[:half], draws[len(draws) - half :]), axis=1)
    length, count, _ = parts.shape
    centred = parts - parts.mean(axis=(0, 1))
    within = centred.var(axis=0, ddof=1).mean(axis=0)
    between = length * centred.mean(axis=0).var(axis=0, ddof=1)
    total = within * (length - 1) / length + between / length
    still = total <= _FLAT * np.maximum(1e-300, np.abs(parts).max(axis=(0, 1)) ** 2)
    within, total = np.where(still, 1.0, np.maximum(within, 1e-300)), np.where(still, 1.0, total)
    sums = np.zeros_like(within)
    going = ~still
    previous = np.full_like(within, np.inf)
    # Correlations are summed in pairs of lags, up to the first pair whose sum is not positive, and never rising.
    for lag in range(1, length - 1, 2):
        pair = sum(1.0 - _variogram(centred, k) / (2.0 * total) for k in (lag, lag + 1))
        going &= pair > 0.0
        if not going.any():
            break
        previous = np.minimum(previous, pair)
        sums += np.where(going, previous, 0.0)
    size = np.minimum(length * count / (1.0 + 2.0 * sums), length * count)
    return np.where(still, 1.0, np.sqrt(total / within)), size


def _variogram(parts: Array, lag: int) -> Array:
    """Mean square of the difference between draws that are `lag` apart."""
    return np.asarray(((parts[lag:] - parts[:-lag]) ** 2).mean(axis=(0, 1)))
