"""The make-up from order, clauses and declared percentages alone: instant, and wider than the estimate.

Used for large tables where nobody asked for more, and where a list is too long or too odd for the estimate.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from reader.facts import ANIMAL, closed, walk
from reader.ingredient_tree import Ingredient
from reader.makeup import settings
from reader.makeup.composition import class_of
from reader.makeup.settings import tissue_worths
from reader.makeup.shares import Chain, bound, fraction, weighted
from reader.makeup.values import ORDER, MakeUp, Reason, Share
from reader.product import SAUSAGE, Product
from reader.quantities import Interval, show

_GROUPS = ("meat", "water", "binders", "sweeteners", "salt")
_WHOLE, _NOTHING = Interval(1.0, 1.0), Interval(0.0, 0.0)
_NONE = Share(_NOTHING)


def by_order(
    product: Product, market: str, note: str = "", *, loss: float = 0.0, unlisted_water: float = 0.0
) -> MakeUp:
    """Bounds of every top-level ingredient and of a few groups, in percent of the weight used. Added water needs the
    panel and is not told of. loss: weight lost on the way, unlisted_water: water in the product as sold that need not
    stand in the list, both at most, in percent.
    """
    own = product.ingredients
    chain = bound(own, market, _most if product.food == SAUSAGE else None, loss=loss)
    hidden = unlisted_water + loss if unlisted_water else 0.0
    ingredients = tuple(
        Share(Interval(max(0.0, low - hidden), high), high_because=_reasons(item, rank))
        for rank, (item, low, high) in enumerate(zip(own, chain.low, chain.high, strict=True), 1)
    )
    present = {i.role for i in walk(own)}
    groups = tuple(
        (name, _group(own, chain, name, market, loss, hidden) if roles & present else _NONE)
        for name, roles in _groups().items()
    )
    if hidden:
        groups = tuple((n, Share(Interval(0.0, hidden)) if n == "water" else share) for n, share in groups)
    meat = dict(groups)["meat"].possible
    return MakeUp(
        groups, ingredients, (), Share(worth(own, market, meat, loss)) if meat.high else None, ORDER, note=note
    )


def _group(own: tuple[Ingredient, ...], chain: Chain, name: str, market: str, loss: float, hidden: float) -> Share:
    roles, counts = _groups()[name], _counter(name)
    # Most ingredients have no parts; asking them each by name would cost a tenth of a whole reading.
    shares = [fraction(i, counts, market) if i.parts else _WHOLE if i.role in roles else _NOTHING for i in own]
    counting = [k for k, share in enumerate(shares) if share.high]
    if len(counting) == 1 and shares[counting[0]] == _WHOLE:
        found = Interval(chain.low[counting[0]], chain.high[counting[0]])
    else:
        found = weighted(chain, shares)
    if settings.water_as_finished(market):  # `weighted` goes by the order, in which water stands at what is left of it
        found = Interval(found.low - loss, found.high + loss).within(0.0, 100.0)
    return Share(Interval(max(0.0, found.low - hidden), found.high))


def _most(item: Ingredient) -> float:
    """The most of an ingredient a sausage reasonably holds, in percent (lexicon/composition.yaml)."""
    most = class_of(item).most
    return 100.0 if most is None else most


@lru_cache(maxsize=1)
def _groups() -> dict[str, frozenset[str]]:
    """The roles that count to a group."""
    roles = {group.id: group.roles for group in settings.groups()}
    return {name: roles[name] for name in _GROUPS}


@lru_cache(maxsize=8)
def _counter(group: str) -> Callable[[Ingredient], bool | None]:
    """Whether an ingredient belongs to a group: yes, no, or None if its parts must tell."""
    roles = _groups()[group]

    def counts(ingredient: Ingredient) -> bool | None:
        if ingredient.role in roles:
            made_up = group == "meat" and ingredient.parts and ingredient.kind in ("cooked", "cured")
            return None if made_up and not closed(ingredient) else True
        return None if ingredient.parts and not closed(ingredient) else False

    return counts


def _reasons(item: Ingredient, rank: int) -> tuple[Reason, ...]:
    found = []
    name = " ".join(item.printed.split()).lower()
    if item.percent is not None:
        percent = show((item.percent.low + item.percent.high) / 2, 2)
        values = (("name", name), ("percent", percent))
        found.append(Reason("declared", "label", "why_declared", values, item.percent_span, "eu_1169_2011"))
    if item.clause is not None:
        values = (("name", name), ("percent", show(item.clause.percent)))
        found.append(Reason("clause", "label", "why_clause", values, item.clause.span, "cfr_9_317_2"))
    elif _most(item) < 100.0:
        values = (("name", name), ("percent", show(_most(item), 3)))
        found.append(Reason("dose", "house", "why_dose", values, item.span, class_of(item).source))
    elif rank > 1:
        found.append(
            Reason("order", "label", "why_order", (("name", name), ("rank", str(rank))), item.span, "cfr_9_317_2")
        )
    return tuple(found)


def worth(items: tuple[Ingredient, ...], market: str, meat: Interval, loss: float = 0.0) -> Interval:
    """How far the animal tissue among `items` is named muscle meat, 0–1 (weights of lexicon/scoring.yaml).

    `meat` is the share of all animal tissue; it turns limits on the whole into limits on the tissue. loss: weight lost
    on the way, at most, in percent; a declared percentage may be of what was left.
    """
    tissues = [i for i in items if any(t.role in ANIMAL for t in (i, *walk(i.parts)) if not closed(i) or t is i)]
    worths = [_worth_of(i, market) for i in tissues]
    if not tissues:
        return Interval(0.0, 0.0)
    ordered = [k for k, i in enumerate(tissues) if i.clause is None]
    low, high = [0.0] * len(tissues), [100.0] * len(tissues)
    for k, item in enumerate(tissues):
        if item.clause is not None and ordered:
            high[k] = min(100.0, 100.0 * item.clause.percent / meat.low) if meat.low else 100.0
        if item.percent is not None:
            least = item.percent.low * (1 - loss / 100)
            low[k] = min(100.0, 100.0 * least / max(meat.high, least, 1e-9))
            high[k] = min(100.0, 100.0 * item.percent.high / meat.low) if meat.low else 100.0
    both = len(ordered) > 1 and tissues[ordered[1]].joiner in ("and", "&")
    chain = Chain(tuple(low), tuple(high), tuple(ordered), both, 0.0)
    return weighted(chain, worths).times(0.01).within(min(w.low for w in worths), max(w.high for w in worths))


def _worth_of(ingredient: Ingredient, market: str) -> Interval:
    own = tissue_worths().get((ingredient.role, ingredient.kind))
    inside = [p for p in ingredient.parts if any(t.role in ANIMAL for t in (p, *walk(p.parts)))]
    if inside and not closed(ingredient) and (own is None or ingredient.kind in ("cooked", "cured")):
        return worth(tuple(inside), market, Interval(0.0, 100.0))
    value = own if own is not None else 0.0
    return Interval(value, value)
