"""How likely each part of a polytope is, under normal weights: samples of targets, with the proof that they agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from reader.polytope.rows import Polytope, Terms, check_terms, check_variables
from reader.polytope.solver import Point, Target

if TYPE_CHECKING:
    from reader.polytope.matrix import Array


@dataclass(frozen=True, slots=True)
class Normal:
    """Points count by the normal density of a linear form: terms @ x ~ N(mean, sd²); no term, all points count alike.

    spread: if given, the sd itself depends on the amounts: its square is sd² plus the sum of (coefficient * amount)²,
    with the amounts at the mean of the start, and once more at the chains' own mean after half the warm-up.
    An sd below a thousandth of what the polytope leaves the form counts as that thousandth, and a form that cannot
    change has no weight. Raises ValueError for an sd that is negative or no number, or with neither sd nor spread.
    """

    terms: Terms
    mean: float
    sd: float = 0.0
    spread: Terms = ()

    def __post_init__(self) -> None:
        check_terms(self.terms, "a normal weight")
        check_terms(self.spread, "the spread of a normal weight")
        if not (isfinite(self.mean) and isfinite(self.sd) and self.sd >= 0.0 and (self.sd > 0.0 or self.spread)):
            raise ValueError(f"a normal weight has mean {self.mean} and sd {self.sd}; it needs numbers, and an sd")


@dataclass(frozen=True, slots=True)
class Settings:
    """How long to sample.

    chains: how many walk at once. warmup: sweeps thrown away first. keep: sweeps of the first run and, while chains
    disagree, of the runs that continue it (what came before is then thrown away too). thin: every how many sweeps a
    draw is kept. agreed: the largest R-hat at which chains are taken to agree.
    The values were measured on polytopes of about 24 amounts and 67 rows.
    """

    chains: int = 128
    warmup: int = 24
    keep: tuple[int, ...] = (60, 100, 160)
    thin: int = 1
    agreed: float = 1.05


@dataclass(frozen=True, slots=True)
class Sample:
    """What the chains visited.

    values: (draws, targets); points: (draws, amounts), the same draws. rhat, effective: R-hat and the number of
    independent draws that are worth as much, for each target. converged: whether the targets that judge agree.
    sweeps: all that were run, those thrown away too.
    """

    values: Array
    points: Array
    rhat: tuple[float, ...]
    effective: tuple[float, ...]
    converged: bool
    sweeps: int

    def mean(self, target: int) -> float:
        return float(self.values[:, target].mean())

    def quantiles(self, target: int, shares: Sequence[float]) -> tuple[float, ...]:
        """The values below which these shares of the draws lie. (0.1, 0.9) gives the ends of the middle 80 %."""
        import numpy as np

        return tuple(np.quantile(self.values[:, target], shares).tolist())


def sample(
    polytope: Polytope,
    vertices: Sequence[Point],
    weights: Sequence[Normal],
    targets: Sequence[Target],
    seed: int,
    settings: Settings | None = None,
    judges: Sequence[int] | None = None,
) -> Sample:
    """Sample a polytope under normal weights; the same input and seed give the same answer.

    vertices: points that span it, as `corners` finds them; only directions between them are walked.
    judges: which targets decide whether chains agree, all if not given (small amounts make R-hat restless).
    Raises ValueError for terms that do not fit, for no vertices, or a polytope without an end where no weight holds.
    """
    how = settings or Settings()
    _check(polytope, vertices, weights, targets, how)
    import numpy as np

    from reader.polytope import chains, convergence, matrix

    def arrays(terms: Sequence[Terms]) -> Array:
        return np.array([matrix.dense(t, polytope.size) for t in terms]).reshape(-1, polytope.size)

    walk = chains.Walk(
        matrix.system(polytope),
        np.array(vertices),
        chains.Weights(
            forms=arrays([w.terms for w in weights]),
            means=np.array([w.mean for w in weights]),
            sd=np.array([w.sd for w in weights]),
            spread=arrays([w.spread for w in weights]),
        ),
        how.chains,
        np.random.default_rng(seed),
    )
    wanted = arrays([tuple(t) for t in targets])
    deciding = list(range(len(wanted)) if judges is None else judges)
    half = how.warmup // 2
    walk.turn(walk.sweep(half)[half // 2 :])
    walk.sweep(how.warmup - half)
    sweeps = how.warmup
    for keep in how.keep:
        points = walk.points(walk.sweep(keep, how.thin))
        sweeps += keep
        values = points @ wanted.T
        rhat, size = convergence.agreement(values)
        converged = bool((rhat[deciding] <= how.agreed).all())
        if converged:
            break
    return Sample(
        values.reshape(-1, len(wanted)),
        points.reshape(-1, polytope.size),
        tuple(rhat.tolist()),
        tuple(size.tolist()),
        converged,
        sweeps,
    )


def _check(
    polytope: Polytope,
    vertices: Sequence[Point],
    weights: Sequence[Normal],
    targets: Sequence[Target],
    how: Settings,
) -> None:
    for k, target in enumerate(targets):
        check_terms(tuple(target), f"target {k}")
        check_variables(tuple(target), polytope.size, f"target {k}")
    for weight in weights:
        check_variables((*weight.terms, *weight.spread), polytope.size, "a normal weight")
    if not vertices or any(len(v) != polytope.size for v in vertices):
        raise ValueError("sampling starts from points of the polytope, and there are none, or not of its size")
    if how.chains < 2 or how.warmup < 4 or not how.keep or min(how.keep) < 4 * how.thin:
        raise ValueError("sampling needs two chains, four sweeps of warm-up and four draws at least")
