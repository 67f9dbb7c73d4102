"""Judges of the order of a list: falling weight, and the phrase that lets small ingredients stand in any order."""

from __future__ import annotations

import itertools

from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.quantities import Interval, show

_AND = frozenset(("and", "&"))


def falling(rule: Rule, case: Case) -> Ruling | None:
    """Whether declared shares fall, and whether something of a small dose (`small_roles`, `small_kinds`) stands before
    meat (`meat_roles`). Where no share is printed and nothing looks odd, nothing is said: an order alone cannot be
    checked.

    Of two meats joined by “and” either may come first while each is at least `pair_least` percent of the two.
    """
    items = [i for i in case.product.ingredients if i.clause is None]
    declared = [(i, i.percent) for i in items if i.percent is not None and i.percent.high <= 100]
    for (first, more), (second, less) in itertools.pairwise(declared):
        if less.low > more.high and not _may_swap(rule, first, second, more, less):
            return breaks("order_declared", first.whole, second.whole, first=first.printed, last=second.printed)
    small = _small_before_meat(rule, items, case)
    if small:
        return cannot_tell("order_small", *(i.span for i in small), first=small[0].printed, last=small[1].printed)
    if len(declared) > 1:
        return meets("order_falls", *(i.whole for i, _ in declared))
    return None


def _may_swap(rule: Rule, first: Ingredient, second: Ingredient, more: Interval, less: Interval) -> bool:
    meats = second.joiner in _AND and first.role == second.role == "meat"
    return meats and 100 * more.high / (more.high + less.low) >= rule.number("pair_least")


def _small_before_meat(rule: Rule, items: list[Ingredient], case: Case) -> tuple[Ingredient, Ingredient] | None:
    """The first ingredient of a small dose with the first meat behind it."""
    roles, kinds = frozenset(rule.words("small_roles")), frozenset(rule.words("small_kinds"))
    if not (roles & case.roles):
        return None
    small: Ingredient | None = None
    for item in items:
        if small is None and item.role in roles and item.kind in kinds and not item.parts:
            small = item
        elif small is not None and item.role in rule.words("meat_roles"):
            return small, item
    return None


def clause(rule: Rule, case: Case) -> Ruling | None:
    """Whether a phrase such as “contains 2 % or less of” names one of the shares in `allowed`, in percent, and holds
    for what is printed under it. Another share is open while what follows may stand in order of weight anyway: not if
    something weighty (`weighty_roles`) follows what is only ever a trace (`tiny_kinds` of the role cure).
    """
    under = [(i, i.clause) for i in case.terms if i.clause is not None and i.role != "casing"]
    if not under:
        return None
    for item, phrase in under:
        if item.percent is not None and item.percent.low > phrase.percent:
            limit = show(phrase.percent, 2)
            return breaks("clause_over", phrase.span, item.whole, name=item.printed, limit=limit)
    allowed = {float(n) for n in rule.words("allowed")}
    odd = next((phrase for _, phrase in under if phrase.percent not in allowed), None)
    known = ", ".join(rule.words("allowed"))
    if odd is None:
        spans = dict.fromkeys(phrase.span for _, phrase in under)
        return meets("clause_allowed", *spans, words=case.text(under[0][1].span), known=known)
    tiny, heavy = _out_of_order(rule, [i for i, phrase in under if phrase == odd])
    percent = show(odd.percent, 2)
    if tiny is None or heavy is None:
        return cannot_tell("clause_other", odd.span, percent=percent, known=known)
    return breaks(
        "clause_other_order",
        odd.span,
        tiny.span,
        heavy.span,
        percent=percent,
        known=known,
        first=tiny.printed,
        last=heavy.printed,
    )


def _out_of_order(rule: Rule, items: list[Ingredient]) -> tuple[Ingredient | None, Ingredient | None]:
    """An ingredient of the smallest doses with a weighty one that stands behind it."""
    tiny = next((i for i in items if i.role == "cure" and i.kind in rule.words("tiny_kinds")), None)
    if tiny is None:
        return None, None
    behind = items[items.index(tiny) + 1 :]
    return tiny, next((i for i in behind if i.role in rule.words("weighty_roles")), None)


JUDGES = {"clause": clause, "falling": falling}
