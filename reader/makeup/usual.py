"""What is usual of a make-up, as normal weights: composition about what is usual of it, minor ingredients about their
usual doses (lexicon/composition.yaml), water about what such a sausage usually takes up (lexicon/estimate.yaml).
"""

from __future__ import annotations

from collections.abc import Sequence

from reader.makeup import settings
from reader.makeup.composition import Usual
from reader.makeup.model import Model
from reader.makeup.nutrients import Total
from reader.makeup.printed import plus
from reader.makeup.recipe import MACROS, Node, Part, Terms, pure_limits
from reader.makeup.values import Reason
from reader.polytope.sampler import Normal, Power
from reader.quantities import show
from reader.spans import Span

_WATER = frozenset(("water", "broth"))


def weights(model: Model) -> list[tuple[Normal, Reason]]:
    """What is usual, each with what it is: totals of nutrients about the middle of their ranges, doses about theirs."""
    found: list[tuple[Normal, Reason]] = []
    for total in model.totals.totals:
        weight = _of_total(total)
        if weight is not None:
            reason = Reason(total.nutrient, "composition", f"why_usual_{total.nutrient}", (), None, "usda_sr28")
            found.append((weight, reason))
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


def absent(model: Model) -> frozenset[int]:
    """The amounts that may be there without being listed and usually are not: their likely range begins at nothing."""
    usual = model.usual_water.get("unlisted")
    if usual is None or usual.mean > 0:
        return frozenset()
    return frozenset(u.part.column for u in model.recipe.unlisted if u.part.role in _WATER)


def _of_total(total: Total) -> Normal | None:
    """A nutrient about what its parts usually hold, cut off at the ends of their ranges; None where that is certain."""
    usual = [(part.column, _held(total.nutrient, part)) for part in total.holding]
    spread = tuple((column, about.spread / 100) for column, about in usual if about.spread > 0)
    if not spread:
        return None
    ranges = ((part.column, part.content[total.nutrient]) for part in total.holding)
    room = tuple((column, (high - low) / 200) for column, (low, high) in ranges if high > low)
    terms = ((total.column, 1.0), *((column, -about.mean / 100) for column, about in usual))
    return Normal(terms, 0.0, 0.0, spread, within=room)


def _held(nutrient: str, part: Part) -> Usual:
    """What a part usually holds: the middle of its range, about which it varies, unless something better is known."""
    if nutrient in part.usual:
        return part.usual[nutrient]
    low, high = part.content[nutrient]
    return Usual((low + high) / 2, (high - low) / 2 / settings.composition_sharpness())


def _of_wide(model: Model) -> list[tuple[Normal, Reason]]:
    """What is usual of foods split by macronutrients that have a middle."""
    found = []
    for node in model.recipe.nodes:
        if not _has_middle(node):
            continue
        for nutrient, (column, (low, high)) in zip(MACROS, pure_limits(node), strict=False):
            half = (high - low) / 2
            if half:
                terms = plus(((column, 1.0),), tuple((part.column, -(low + high) / 200) for part in node.parts))
                grows = tuple((part.column, half / settings.composition_sharpness() / 100) for part in node.parts)
                within = tuple((part.column, half / 100) for part in node.parts)
                reason = Reason(nutrient, "composition", f"why_usual_{nutrient}", (), None, "usda_sr28")
                found.append((Normal(terms, 0.0, grows=grows, within=within), reason))
    return found


def _has_middle(node: Node) -> bool:
    """Whether a food is split by macronutrients and the middles of their ranges do not add up to more than the food;
    if they do, nothing is usual of it.
    """
    limits = pure_limits(node)
    return bool(limits) and sum(share.low + share.high for _, share in limits) / 2 <= 100


def split(model: Model) -> list[Terms]:
    """Ingredients of several amounts, which would be drawn more for being split: two amounts leave the more room for
    the composition the more there is of both, and the draws are thinned as this room grows. (Where the composition has
    a middle, the weights about it see to that; where it has a mixture, `mixtures`.)
    """
    several = (n for n in model.recipe.nodes if len(n.parts) > 1 and not _has_middle(n) and not _is_mixture(n))
    return [tuple((part.column, 1.0) for part in node.parts) for node in several]


def mixtures(model: Model) -> list[Power]:
    """For foods of which only is known how foods in general are mixed: their macronutrients and water by a Dirichlet
    distribution, whatever there is of them (its density, textbook, as one of amounts instead of shares).
    """
    found = []
    for node in model.recipe.nodes:
        if _is_mixture(node):
            assert node.composition is not None
            weights = [node.composition.mixture[q] for q in (*MACROS, "water")]
            found += [
                Power(((part.column, 1.0),), 1.0 - weight) for part, weight in zip(node.parts, weights, strict=True)
            ]
            found.append(Power(tuple((part.column, 1.0) for part in node.parts), sum(weights) - 1.0))
    return found


def _is_mixture(node: Node) -> bool:
    return node.composition is not None and bool(node.composition.mixture) and len(node.parts) > 1


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
