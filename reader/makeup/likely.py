"""Likely ranges: make-ups drawn from all that are possible, the usual ones more often.

Composition varies about what is usual of it, minor ingredients about their usual doses (lexicon/composition.yaml),
water about what such a sausage usually takes up (lexicon/estimate.yaml), the truth about printed numbers; everything
outside what is possible is never drawn.
"""

from __future__ import annotations

import zlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING

from reader.makeup import settings, usual
from reader.makeup.model import Model
from reader.makeup.recipe import FINISHED
from reader.makeup.targets import MILLIGRAMS, OF_FINISHED, OF_MEAT, SODIUM, Target, meat
from reader.makeup.values import Reason, Share
from reader.polytope.nearest import Nearest, nearest
from reader.polytope.rows import Polytope, Row
from reader.polytope.sampler import Normal, sample, together
from reader.polytope.solver import Point, Solver
from reader.polytope.spanning import spanning
from reader.quantities import Interval, show

if TYPE_CHECKING:
    from reader.polytope.matrix import Array


_ODDEST = 3  # deviations told …
_COUNTS = 0.2  # … of those that make up so much of the whole


@dataclass(frozen=True, slots=True)
class Likely:
    """For each target asked for: the range most draws lie in, and the middle, the median of the draws."""

    ranges: Mapping[str, Interval]
    middles: Mapping[str, float]
    agreed: bool  # whether the draws settled; if not, the ranges are rough
    unusual: float  # least sum of squared deviations from usual composition and doses that the label allows
    oddest: tuple[Reason, ...]  # what deviates most there


def likely(model: Model, solver: Solver, known: Sequence[Point], targets: Sequence[Target], text: str) -> Likely:
    """Draw make-ups from the polytope of `solver`. `known` are points already found; the same text draws the same."""
    import numpy as np

    wholes = [((FINISHED, 1.0),), meat(model.recipe) or ((FINISHED, 1.0),)]
    sodium = model.totals.of("sodium")
    open_ones = [t for t in targets if t.open]  # where the label leaves a choice, either may have been taken
    asked = [*wholes, *(t.terms for t in targets), *(t.most for t in open_ones), sodium]
    judges = [k for k, t in enumerate(targets, len(wholes)) if t.name in ("meat", "water", "binders") and t.present]
    seed = zlib.crc32(text.encode("utf-8"))
    weights = usual.weights(model)
    normal = [weight for weight, _ in weights]
    printed = [weight for weight in (line.weight() for line in model.usually) if weight is not None]
    thinned, powers = usual.split(model), usual.mixtures(model)
    drawn = together(
        [
            sample(
                one.polytope,
                spanning(one, met),
                [*normal, *printed],
                asked,
                seed,
                judges=judges or None,
                thinned=thinned,
                powers=powers,
            )
            for one, met in _readings(model, solver, known)
        ]
    )
    best = nearest(solver.polytope, normal, drawn.points)
    values = drawn.values.T
    of = {t.name: row for t, row in zip(targets, values[len(wholes) :], strict=False)}
    most = of | {t.name: row for t, row in zip(open_ones, values[len(wholes) + len(targets) :], strict=False)}
    percent = {OF_FINISHED: 100 / np.maximum(values[0], 1e-9), OF_MEAT: 100 / np.maximum(values[1], 1e-9)}
    draws = {t.name: (of[t.name] * percent.get(t.of, 1.0), most[t.name] * percent.get(t.of, 1.0)) for t in targets}
    if sodium:
        by_source = _sodium_by_source(model, drawn.points, values[-1], seed)
        milligrams = (
            (f"{SODIUM}{name}", grams * percent[OF_FINISHED] * MILLIGRAMS) for name, grams in by_source.items()
        )
        draws |= {name: (each, each) for name, each in milligrams}
    absent = usual.absent(model)
    from_nothing = frozenset(t.name for t in targets if all(column in absent for column, _ in t.most))
    ranges, middles = _ranges(draws, from_nothing)
    return Likely(ranges, middles, drawn.converged, best.total, _oddest(best, weights))


def _ranges(
    draws: Mapping[str, tuple[Array, Array]], from_nothing: Collection[str]
) -> tuple[dict[str, Interval], dict[str, float]]:
    """For each target the range most of its draws lie in, and their median; of each are drawn the least and the most it
    may be. Some ranges begin at nothing, and leave out as much, all of it above.
    """
    import numpy as np

    tail = (100 - float(settings.raw()["likely"]["inside"])) / 200
    least, most = (np.array(of) for of in zip(*draws.values(), strict=True))
    lows = np.quantile(least, tail, axis=1).tolist()
    highs, highs_alone = np.quantile(most, (1 - tail, 1 - 2 * tail), axis=1).tolist()
    middles = np.median((least + most) / 2, axis=1).tolist()
    ranges = {
        name: Interval(0.0, alone) if name in from_nothing else Interval(low, high)
        for name, low, high, alone in zip(draws, lows, highs, highs_alone, strict=True)
    }
    return ranges, dict(zip(draws, middles, strict=True))


def _readings(model: Model, solver: Solver, known: Sequence[Point]) -> list[tuple[Solver, Sequence[Point]]]:
    """For each way to read the declared percentages that the rest of the label allows, its polytope and the points
    known of it; the whole, where there is one way, or where what either says was let go.
    """
    standing = {row.fact for row in solver.polytope.rows}
    found: list[tuple[Solver, Sequence[Point]]] = []
    for rows in model.readings:
        narrower = tuple(row for row in rows if row.fact in standing)
        if not narrower:
            return [(solver, known)]
        one = Solver(replace(solver.polytope, rows=(*solver.polytope.rows, *narrower)))
        if one.feasible:
            found.append((one, [point for point in known if all(_holds(row, point) for row in narrower)]))
    return found or [(solver, known)]


def _holds(row: Row, point: Point) -> bool:
    return row.low <= row.value(point) <= row.high


def _sodium_by_source(model: Model, points: Array, whole: Array, seed: int) -> dict[str, Array]:
    """For each source its sodium in g per 100 g used, one value for each draw.

    The draws know the sodium as a whole. What an ingredient holds is drawn about the middle of its range, from a normal
    distribution cut off at its ends; then all have to add up to the whole, and the less is known of a source, the more
    of the difference it takes (the mean of normal variables whose sum is known; textbook).
    """
    import numpy as np

    held: dict[str, list[tuple[int, float, float]]] = {}
    for part in model.recipe.parts():
        if "sodium" in part.content:
            low, high = part.content["sodium"]
            held.setdefault(settings.sodium_source(part.role), []).append((part.column, low / 100, high / 100))
    sharpness, draw = settings.composition_sharpness(), np.random.default_rng((seed, 1))
    least, most, variance, brought = (np.empty((len(points), len(held))) for _ in range(4))
    for k, parts in enumerate(held.values()):
        columns, lows, highs = (np.array(values) for values in zip(*parts, strict=True))
        amounts, sds = points[:, columns], (highs - lows) / 2 / sharpness
        least[:, k], most[:, k] = amounts @ lows, amounts @ highs
        variance[:, k] = amounts**2 @ sds**2
        scatter = draw.standard_normal(amounts.shape)
        while (outside := np.abs(scatter) > sharpness).any():
            scatter[outside] = draw.standard_normal(int(outside.sum()))
        brought[:, k] = (least[:, k] + most[:, k]) / 2 + (amounts * scatter) @ sds
    for _ in held:  # again, because some reach an end of their range and the others have to take more
        gap = (whole - brought.sum(axis=1))[:, None]
        takes = variance * (np.where(gap > 0.0, most - brought, brought - least) > 0.0)
        share = takes / np.maximum(takes.sum(axis=1, keepdims=True), 1e-300)
        brought = np.clip(brought + gap * share, least, most)
    return {source: brought[:, k] for k, source in enumerate(held)}


def how_unusual(model: Model, polytope: Polytope) -> float:
    """How far from usual ones a make-up has to be to lie in a polytope over the model's amounts, as a sum of squared
    deviations; infinite where there is none.
    """
    import numpy as np

    solver = Solver(polytope)
    if not solver.feasible:
        return inf
    return nearest(polytope, [weight for weight, _ in usual.weights(model)], np.array(spanning(solver))).total


def _oddest(best: Nearest, weights: Sequence[tuple[Normal, Reason]]) -> tuple[Reason, ...]:
    """What deviates most from the usual at the best point, with how much of it there would be; the largest first."""
    order = sorted(range(len(weights)), key=lambda k: -best.parts[k])
    found = []
    for k in order[:_ODDEST]:
        if best.parts[k] >= _COUNTS * best.total:
            weight, reason = weights[k]
            amount = sum(value * best.point[column] for column, value in weight.terms)
            found.append(replace(reason, values=(*reason.values, ("amount", show(abs(amount), 1)))))
    return tuple(found)


def with_likely(share: Share, name: str, drawn: Likely) -> Share:
    """The share with its likely range inside the possible one, and a middle unless too much is open for one. A trace
    gets neither.
    """
    if max(-share.possible.low, share.possible.high) <= float(settings.raw()["trace"]["most"]):
        return share
    inside = drawn.ranges[name].within(*share.possible)
    beyond = settings.raw()["no_middle_beyond"]
    wide = share.possible.high - share.possible.low > float(beyond["possible"])
    wide = wide and inside.high - inside.low > float(beyond["likely"])
    middle = None if wide else min(max(drawn.middles[name], share.possible.low), share.possible.high)
    return replace(share, likely=inside, middle=middle)
