"""Likely ranges: make-ups drawn from all that are possible, the usual ones more often.

Composition varies about what is usual of it, minor ingredients about their usual doses (lexicon/composition.yaml),
water about what such a sausage usually takes up (lexicon/estimate.yaml), the truth about printed numbers; everything
outside what is possible is never drawn.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING

from reader.makeup import settings
from reader.makeup.composition import Usual
from reader.makeup.model import Model
from reader.makeup.printed import plus
from reader.makeup.recipe import FINISHED, MACROS, Node, Terms, pure_limits
from reader.makeup.targets import MILLIGRAMS, OF_FINISHED, OF_MEAT, SODIUM, Target, meat
from reader.makeup.values import Reason, Share
from reader.polytope.corners import corners
from reader.polytope.nearest import Nearest, nearest
from reader.polytope.rows import Polytope
from reader.polytope.sampler import Normal, sample
from reader.polytope.solver import Point, Solver
from reader.quantities import Interval, show
from reader.spans import Span

if TYPE_CHECKING:
    from reader.polytope.matrix import Array


_WATER = frozenset(("water", "broth"))
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
    most = [(*t.terms, *t.open) for t in targets]  # where the label leaves a choice, either may have been taken
    asked = [*wholes, *(t.terms for t in targets), *most, sodium]
    judges = [k for k, t in enumerate(targets, len(wholes)) if t.name in ("meat", "water", "binders") and t.present]
    seed = zlib.crc32(text.encode("utf-8"))
    weights = _weights(model)
    normal = [weight for weight, _ in weights]
    printed = [weight for weight in (line.weight() for line in model.usually) if weight is not None]
    drawn = sample(
        solver.polytope, corners(solver, known), [*normal, *printed], asked, seed, judges=judges or None,
        thinned=_split(model),
    )  # fmt: skip
    best = nearest(solver, normal, drawn.points)
    tail = (100 - float(settings.raw()["likely"]["inside"])) / 200
    ranges, middles = {}, {}
    absent = _usually_absent(model)

    def keep(name: str, least: Array, most: Array, *, from_nothing: bool = False) -> None:
        low = 0.0 if from_nothing else float(np.quantile(least, tail))
        high = float(np.quantile(most, 1 - (2 * tail if from_nothing else tail)))
        ranges[name], middles[name] = Interval(low, high), float(np.median((least + most) / 2))

    for k, target in enumerate(targets, len(wholes)):
        least, highest = drawn.values[:, k], drawn.values[:, k + len(targets)]
        if target.of in (OF_FINISHED, OF_MEAT):
            whole = np.maximum(drawn.values[:, 0 if target.of == OF_FINISHED else 1], 1e-9) / 100
            least, highest = least / whole, highest / whole
        keep(target.name, least, highest, from_nothing=all(c in absent for c, _ in most[k - len(wholes)]))
    if sodium:
        of_sold = 100 * MILLIGRAMS / np.maximum(drawn.values[:, 0], 1e-9)
        for source, grams in _sodium_by_source(model, drawn.points, drawn.values[:, -1], seed).items():
            keep(f"{SODIUM}{source}", grams * of_sold, grams * of_sold)
    return Likely(ranges, middles, drawn.converged, best.total, _oddest(best, weights))


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


def _weights(model: Model) -> list[tuple[Normal, Reason]]:
    """What is usual, each with what it is: totals of nutrients about the middle of their ranges, doses about theirs."""
    found: list[tuple[Normal, Reason]] = []
    for total in model.totals.totals:
        if total.spread:
            terms = ((total.column, 1.0), *((column, -mean) for column, mean in total.mean))
            reason = Reason(total.nutrient, "composition", f"why_usual_{total.nutrient}", (), None, "usda_sr28")
            found.append((Normal(terms, 0.0, 0.0, total.spread), reason))
    found += _of_wide(model)
    if not model.usual_doses:
        return found
    alike: dict[str, list[Node]] = {}  # salt and sea salt share one usual dose, two starches do
    for node in model.recipe.nodes:
        if node.composition is not None and node.composition.usual is not None:
            alike.setdefault("salt" if node.ingredient.role == "salt" else node.composition.id, []).append(node)
    for nodes in alike.values():
        made = nodes[0].composition
        assert made is not None and made.usual is not None
        found.append(_of_nodes(model.usual_by_class.get(made.id, made.usual), nodes, made.source))
    water = [n for place in model.recipe.places for n in place if n.ingredient.role in _WATER and n.parts]
    if water and "listed" in model.usual_water:
        found.append(_of_nodes(model.usual_water["listed"], water, "house"))
    for beside in model.recipe.unlisted:
        usual = model.usual_water.get("unlisted") if beside.part.role in _WATER else beside.composition.usual
        if usual is not None:
            name = beside.part.role
            found.append(_dose(usual, ((beside.part.column, 1.0),), name, None, beside.composition.source))
    return found


def _usually_absent(model: Model) -> frozenset[int]:
    """The amounts that may be there without being listed and usually are not: their likely range begins at nothing."""
    usual = model.usual_water.get("unlisted")
    if usual is None or usual.mean > 0:
        return frozenset()
    return frozenset(u.part.column for u in model.recipe.unlisted if u.part.role in _WATER)


def _of_wide(model: Model) -> list[tuple[Normal, Reason]]:
    """What is usual of foods split by macronutrients: the middles of their ranges, unless these add up to more than the
    food, for then nothing is usual of it.
    """
    found = []
    for node in model.recipe.nodes:
        limits = pure_limits(node)
        if sum(share.low + share.high for _, share in limits) / 2 > 100:
            continue
        for nutrient, (column, (low, high)) in zip(MACROS, limits, strict=False):
            sd = (high - low) / 2 / settings.composition_sharpness()
            if sd:
                terms = plus(((column, 1.0),), tuple((part.column, -(low + high) / 200) for part in node.parts))
                grows = tuple((part.column, sd / 100) for part in node.parts)
                reason = Reason(nutrient, "composition", f"why_usual_{nutrient}", (), None, "usda_sr28")
                found.append((Normal(terms, 0.0, grows=grows), reason))
    return found


def _split(model: Model) -> list[Terms]:
    """Ingredients of several amounts, which would be drawn more for being split: two amounts leave the more room for
    the composition the more there is of both, and the draws are thinned as this room grows. (Of the room of five
    amounts `_of_wide` takes most.)
    """
    split = (node.parts for node in model.recipe.nodes if len(node.parts) > 1)
    return [tuple((part.column, 1.0) for part in parts) for parts in split]


def _of_nodes(usual: Usual, nodes: Sequence[Node], source: str) -> tuple[Normal, Reason]:
    """What is usual of several ingredients together."""
    mass = tuple(term for node in nodes for term in node.mass)
    name = " and ".join(" ".join(node.ingredient.printed.split()).lower() for node in nodes)
    return _dose(usual, mass, name, nodes[0].ingredient.span, source)


def _dose(usual: Usual, mass: Terms, name: str, span: Span | None, source: str) -> tuple[Normal, Reason]:
    told = (("name", name), ("usual", show(usual.mean, 2)))
    return Normal(mass, usual.mean, usual.spread), Reason(
        f"usual {name}", "house", "why_usual_dose", told, span, source
    )


def how_unusual(model: Model, polytope: Polytope) -> float:
    """How far from usual ones a make-up has to be to lie in a polytope over the model's amounts, as a sum of squared
    deviations; infinite where there is none.
    """
    import numpy as np

    solver = Solver(polytope)
    if not solver.feasible:
        return inf
    ends = [solver.corner(((t.column, sign),)) for t in model.totals.totals for sign in (1.0, -1.0)]
    start = np.array([end for end in ends if end]).mean(axis=0, keepdims=True)
    return nearest(solver, [weight for weight, _ in _weights(model)], start).total


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
