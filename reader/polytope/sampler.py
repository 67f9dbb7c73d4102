"""How likely each part of a polytope is, under normal weights: samples of targets, with the proof that they agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from reader.polytope.rows import Polytope, Terms, check_terms, check_variables
from reader.polytope.solver import Point, Target
from reader.polytope.threads import one_thread

if TYPE_CHECKING:
    from reader.polytope.matrix import Array


@dataclass(frozen=True, slots=True)
class Normal:
    """Points count by the normal density of a linear form: terms @ x ~ N(mean, sd²); no term, all points count alike.

    spread: if given, the sd itself depends on the amounts: its square is sd² plus the sum of (coefficient * amount)²,
    with the amounts at the mean of the draws, which is approached in turns. grows: likewise, plus the square of the sum
    of coefficient * amount.
    within: a sum of amounts that the form differs from the mean by at most, as rows of the polytope have it. A density
    cut off so still has to add up to one whatever the amounts: points count by what is left of it, inversely. Else
    amounts that leave a form more room would be drawn more for it. (The logarithm of that is taken as straight about
    the mean of the draws.)
    An sd below a thousandth of what the polytope leaves the form counts as that thousandth, and a form that cannot
    change has no weight. Raises ValueError for an sd that is negative or no number, or with neither sd nor spread.
    """

    terms: Terms
    mean: float
    sd: float = 0.0
    spread: Terms = ()
    grows: Terms = ()
    within: Terms = ()

    def __post_init__(self) -> None:
        check_terms(self.terms, "a normal weight")
        check_terms((*self.spread, *self.grows, *self.within), "the spread of a normal weight")
        given = self.sd > 0.0 or self.spread or self.grows
        if not (isfinite(self.mean) and isfinite(self.sd) and self.sd >= 0.0 and given):
            raise ValueError(f"a normal weight has mean {self.mean} and sd {self.sd}; it needs numbers, and an sd")


@dataclass(frozen=True, slots=True)
class Power:
    """Points count by a sum of amounts to the power of -`power`, exactly; no term may be negative in the polytope.

    Raises ValueError for a power that is not above 0.
    """

    terms: Terms
    power: float

    def __post_init__(self) -> None:
        check_terms(self.terms, "a power")
        if not (isfinite(self.power) and self.power > 0.0):
            raise ValueError(f"a power is {self.power}; it has to be a number above 0")


@dataclass(frozen=True, slots=True)
class Settings:
    """How long to sample, and what must hold for it to do.

    starts, each: from how many places chains start, and how many from each. warmup: sweeps thrown away first; after
    each part of them axes and sds are renewed, sds also every `weigh_every` sweeps. settle: sweeps thrown away after
    that. keep: sweeps of the first run, and of those that follow while chains have not settled; before each of these
    axes and sds are renewed once more, and what came before is thrown away.
    Settled are chains if their nested R-hat is at most `agreed`, their draws are worth at least `enough` independent
    ones, the means of the two halves of a run differ by at most `drift` standard deviations, and no sd of a weight
    changes by more than the share `still` if it is taken at the mean of the draws.
    The values were measured on polytopes of 9 to 121 amounts (12 to 15 ingredients of a label: about 30). A sweep costs
    little more for many chains than for few, so many chains walk for a short time.
    """

    starts: int = 16
    each: int = 12
    warmup: tuple[int, ...] = (2, 4, 6, 8)
    weigh_every: int = 2
    settle: int = 4
    keep: tuple[int, ...] = (10, 20, 40, 80)
    agreed: float = 1.05
    enough: float = 400.0
    drift: float = 0.15
    still: float = 0.06


@dataclass(frozen=True, slots=True)
class Sample:
    """What the chains visited.

    values: (draws, targets); points: (draws, amounts), the same draws. rhat, effective: nested R-hat and the number of
    independent draws that these are worth, for each target. converged: whether the chains have settled, as far as the
    targets that judge can tell. sweeps: all that were run, those thrown away too.
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
    thinned: Sequence[Terms] = (),
    powers: Sequence[Power] = (),
) -> Sample:
    """Sample a polytope under normal weights; the same input and seed give the same answer.

    vertices: points that span it, as `spanning` finds them; only directions between them are walked.
    thinned: sums of amounts; points count the less the larger one is, by its inverse (whose logarithm is taken as
    straight about the mean of the draws, which is approached in turns). powers: likewise, by other powers, as they are.
    judges: which targets decide whether chains have settled, all if not given.
    Raises ValueError for terms that do not fit, for no vertices, or a polytope without an end where no weight holds.
    """
    how = settings or Settings()
    _check(polytope, vertices, weights, targets, [*thinned, *(one.terms for one in powers)], how)
    import numpy as np

    from reader.polytope import chains, convergence, densities, matrix

    def arrays(terms: Sequence[Terms]) -> Array:
        return np.array([matrix.dense(t, polytope.size) for t in terms]).reshape(-1, polytope.size)

    with one_thread():
        walk = chains.Walk(
            matrix.system(polytope),
            np.array(vertices),
            densities.Weights(
                forms=arrays([w.terms for w in weights]),
                means=np.array([w.mean for w in weights]),
                sd=np.array([w.sd for w in weights]),
                spread=arrays([w.spread for w in weights]),
                grows=arrays([w.grows for w in weights]),
                within=arrays([w.within for w in weights]),
            ),
            arrays(thinned),
            densities.Powers(arrays([one.terms for one in powers]), np.array([one.power for one in powers])),
            how.starts,
            how.each,
            np.random.default_rng(seed),
        )
        wanted = arrays([tuple(t) for t in targets])
        deciding = list(range(len(wanted)) if judges is None else judges)
        for sweeps in how.warmup:
            walk.turn(walk.sweep(sweeps, how.weigh_every)[sweeps // 2 :])
        run = sum(how.warmup)
        for keep in how.keep:
            walk.sweep(how.settle)
            visited = walk.sweep(keep)
            run += how.settle + keep
            points = walk.points(visited)
            values = points @ wanted.T
            found = convergence.agreement(values, how.each)
            converged = bool(
                (found.rhat[deciding] <= how.agreed).all()
                and (found.effective[deciding] >= how.enough).all()
                and (np.abs(found.drift[deciding]) <= how.drift).all()
                and walk.sds_off(visited) <= how.still
            )
            if converged:
                break
            walk.turn(visited)
    return Sample(
        values.reshape(-1, len(wanted)),
        points.reshape(-1, polytope.size),
        tuple(found.rhat.tolist()),
        tuple(found.effective.tolist()),
        converged,
        run,
    )


def together(samples: Sequence[Sample]) -> Sample:
    """Samples of the same targets as one in which each counts alike: as many draws of each, its last. What is said of
    how they agree is the worst of it. Raises ValueError for no samples.
    """
    import numpy as np

    if not samples:
        raise ValueError("there are no samples to put together")
    if len(samples) == 1:
        return samples[0]
    least = min(len(one.values) for one in samples)
    return Sample(
        np.vstack([one.values[-least:] for one in samples]),
        np.vstack([one.points[-least:] for one in samples]),
        tuple(map(max, zip(*(one.rhat for one in samples), strict=True))),
        tuple(map(min, zip(*(one.effective for one in samples), strict=True))),
        all(one.converged for one in samples),
        sum(one.sweeps for one in samples),
    )


def _check(
    polytope: Polytope,
    vertices: Sequence[Point],
    weights: Sequence[Normal],
    targets: Sequence[Target],
    thinned: Sequence[Terms],
    how: Settings,
) -> None:
    for k, target in enumerate(targets):
        check_terms(tuple(target), f"target {k}")
        check_variables(tuple(target), polytope.size, f"target {k}")
    for terms in thinned:
        check_terms(terms, "a thinned sum")
        check_variables(terms, polytope.size, "a thinned sum")
    for weight in weights:
        check_variables((*weight.terms, *weight.spread, *weight.grows), polytope.size, "a normal weight")
    if not vertices or any(len(v) != polytope.size for v in vertices):
        raise ValueError("sampling starts from points of the polytope, and there are none, or not of its size")
    if how.starts < 2 or how.each < 1 or min(how.warmup, default=1) < 1 or not how.keep or min(how.keep) < 4:
        raise ValueError("sampling needs two places to start from, and four draws at least")
