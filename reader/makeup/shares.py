"""Order, clause and declared percentages → bounds on shares, by interval arithmetic.

What is used: ingredients stand in order of weight (US 9 CFR 317.2(f)(1); EU 1169/2011 Art 18); each one under a
clause is at most its percentage; a declared percentage is what it says, to its printed place; two meats joined by
"and" may stand in either order (9 CFR 317.2(f)(1)(v)); what may end a list in any order is data (`free_order` of
lexicon/estimate.yaml). Bounds of single ingredients are the tightest that these facts allow; bounds of groups are outer
bounds. Weight lost on the way only loosens them: a declared percentage may be of the weight sold.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from operator import mul

from reader.ingredient_tree import Ingredient
from reader.makeup.settings import free_order, water_as_finished
from reader.quantities import Interval

_ALL, _NOTHING = Interval(1.0, 1.0), Interval(0.0, 0.0)
_EXACT = 40  # items of a list whose bounds are computed exactly; keeps the cost linear in its length


@dataclass(frozen=True, slots=True)
class Chain:
    """The bounds of one list, in percent of that list."""

    low: tuple[float, ...]
    high: tuple[float, ...]
    ordered: tuple[int, ...]  # indexes of the items whose order tells something, in that order
    free_pair: bool  # the first two of them may stand in either order
    floor: float  # items below this share may follow in any order


def bound(
    items: Sequence[Ingredient],
    market: str,
    most: Callable[[Ingredient], float] | None = None,
    *,
    loss: float = 0.0,
    inside: bool = False,
) -> Chain:
    """The tightest bounds of each item as a share of its own list, in percent.

    most: a further upper limit for an item, such as the largest reasonable dose of salt. loss: weight lost on the way,
    at most, in percent. inside: whether the list stands in a bracket; its clauses speak of the whole product.
    """
    n = len(items)
    free = free_order(market)
    low, high = [0.0] * n, [100.0] * n
    for i, item in enumerate(items):
        if item.clause is not None and not inside:
            high[i] = min(high[i], item.clause.percent)
        if most is not None:
            high[i] = min(high[i], most(item))
        if item.percent is not None and item.percent.low <= 100.0 and not inside:
            least = item.percent.low * (1 - loss / 100)
            low[i], high[i] = max(low[i], least), min(high[i], max(item.percent.high, least))
    told = free.ordered([item.role for item in items])
    ordered = [i for i in range(told) if items[i].clause is None]
    ordered = [i for k, i in enumerate(ordered) if k < 2 or not _either_order(items[ordered[k - 1]], items[i])]
    free_pair = len(ordered) > 1 and _either_order(items[ordered[0]], items[ordered[1]])
    _chain(low, high, ordered, free_pair)
    if most is not None and sum(high) < 100.0:
        return bound(
            items, market, loss=loss, inside=inside
        )  # the limits leave no room for this list: it is no ordinary sausage
    if sum(low) > 100.0 or sum(high) < 100.0:  # the printed numbers contradict the order: keep only the numbers
        low = [item.percent.low if item.percent else 0.0 for item in items]
        high = [item.percent.high if item.percent else 100.0 for item in items]
    else:
        _sum_to_whole(low, high, ordered, free_pair)
    if loss and water_as_finished(market) and any(item.role == "water" for item in items):
        # Water stands in the order at what is left of it, so up to the loss may have gone in on top.
        low = [max(0.0, least - loss) for least in low]
        high = [h + loss if item.role == "water" else h for item, h in zip(items, high, strict=True)]
    floor = free.most
    if floor:
        high = [
            max(h, floor) if item.percent is None and item.clause is None else h
            for item, h in zip(items, high, strict=True)
        ]
    return Chain(tuple(low), tuple(min(h, 100.0) for h in high), tuple(ordered), free_pair, floor)


def _either_order(first: Ingredient, second: Ingredient) -> bool:
    return second.joiner in ("and", "&") and first.role == second.role == "meat"


def _chain(low: list[float], high: list[float], ordered: list[int], free_pair: bool) -> None:
    """Carry bounds along the order: nothing is heavier than what stands before it."""
    for a, b in list(itertools.pairwise(ordered))[1 if free_pair else 0 :]:
        high[b] = (
            min(high[b], high[a]) if not (free_pair and a == ordered[1]) else min(high[b], high[a], high[ordered[0]])
        )
    for a, b in reversed(list(itertools.pairwise(ordered))[1 if free_pair else 0 :]):
        low[a] = max(low[a], low[b])
        if free_pair and a == ordered[1]:
            low[ordered[0]] = max(low[ordered[0]], low[b])


def _sum_to_whole(low: list[float], high: list[float], ordered: list[int], free_pair: bool) -> None:
    """Tighten each bound by the fact that everything together is 100 %."""
    total_low, total_high = sum(low), sum(high)
    new_low, new_high = list(low), list(high)
    for i in range(len(low)):
        new_high[i] = min(high[i], 100.0 - (total_low - low[i]))
        new_low[i] = max(low[i], 100.0 - (total_high - high[i]))
    before_high = 0.0
    for position, i in enumerate(ordered):
        if position >= _EXACT:  # further down the list the plain bound says as much
            new_high[i] = min(new_high[i], 100.0 / (position + 1))
            continue
        paired = free_pair and position < 2
        ahead = [] if paired else sorted((low[k] for k in ordered[:position]), reverse=True)
        new_high[i] = min(new_high[i], _largest(ahead, 100.0 - (total_low - low[i] - sum(ahead))))
        if before_high < 100.0 and not paired:
            after = [high[k] for k in ordered[position:]]
            others = total_high - before_high - sum(after)
            new_low[i] = max(new_low[i], _smallest(after, 100.0 - before_high - others))
        before_high += high[i]
    low[:], high[:] = new_low, [max(h, lo) for h, lo in zip(new_high, new_low, strict=True)]


def _largest(ahead: list[float], room: float) -> float:
    """The largest x for which max(low, x) of all items ahead and x itself fit into `room`."""
    count = len(ahead) + 1
    for lower in ahead:  # falling order
        if lower * count > room and count > 1:
            room -= lower
            count -= 1
        else:
            break
    return max(0.0, room / count)


def _smallest(highs: list[float], needed: float) -> float:
    """The smallest x for which min(high, x) of the items together reach `needed`."""
    if needed <= 0:
        return 0.0
    rising = sorted(highs)
    for k, upper in enumerate(rising):
        rest = len(rising) - k
        if upper * rest >= needed:
            return needed / rest
        needed -= upper
    return rising[-1] if rising else 0.0


def weighted(chain: Chain, weights: Sequence[Interval]) -> Interval:
    """The range of Σ share × weight in percent, weights being 0–1: an outer bound, exact where only order is known."""
    n = len(chain.low)
    if not n:
        return Interval(0.0, 0.0)
    high = _upper(chain, [w.high for w in weights])
    low = 100.0 - _upper(chain, [1.0 - w.low for w in weights])
    return Interval(max(0.0, min(low, high)), min(100.0, max(low, high)))


def _upper(chain: Chain, weights: list[float]) -> float:
    """The most Σ share × weight can be.

    Where only order is known, the extreme points are "the first m items, all alike": Σ is at most the best mean
    weight of such a head. Items outside the order and those allowed to stray add at most their own limits.
    """
    heavy = [i for i, w in enumerate(weights) if w]
    if not heavy:
        return 0.0
    whole = all(weights[i] == 1.0 for i in heavy)
    boxes = _all_of(chain, heavy) if whole else _fill(chain, weights)
    if not chain.ordered:
        return boxes
    best = total = 0.0
    for m, i in enumerate(chain.ordered, 1):
        if weights[i]:  # a head that ends with what weighs nothing has a lower mean than one that ends before
            total += weights[i]
            best = max(best, total / m)
    if chain.free_pair:
        best = max(best, weights[chain.ordered[1]])
    inside = set(chain.ordered)
    extra = sum(chain.high[i] * max(0.0, weights[i] - best) for i in heavy if i not in inside)
    stray = chain.floor * sum(max(0.0, weights[i] - best) for i in heavy if i in inside) if chain.floor else 0.0
    return min(boxes, best * 100.0 + extra + stray)


def _all_of(chain: Chain, members: list[int]) -> float:
    """The most that some items can be together, within each item's own bounds."""
    rest = sum(chain.low) - sum(chain.low[i] for i in members)
    return min(sum(chain.high[i] for i in members), 100.0 - rest)


def _fill(chain: Chain, weights: list[float]) -> float:
    """Fill up to 100 %, the heaviest weights first, within each item's own bounds."""
    room = 100.0 - sum(chain.low)
    total: float = sum(map(mul, chain.low, weights))
    for i in sorted(range(len(weights)), key=weights.__getitem__, reverse=True):
        if not weights[i]:
            break  # the rest weighs nothing
        take = min(room, chain.high[i] - chain.low[i])
        total += take * weights[i]
        room -= take
        if room <= 0:
            break
    return total


def fraction(ingredient: Ingredient, counts: Callable[[Ingredient], bool | None], market: str) -> Interval:
    """How much of an ingredient belongs to a group, 0–1. `counts` says yes, no, or None: look at its parts."""
    told = counts(ingredient)
    if told is not None:
        return _ALL if told else _NOTHING
    if not ingredient.parts:
        return _NOTHING
    chain = bound(ingredient.parts, market, inside=True)
    return weighted(chain, [fraction(p, counts, market) for p in ingredient.parts]).times(0.01)
