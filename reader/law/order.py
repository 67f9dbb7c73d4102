"""Judges of the order of a list: falling weight, and what may stand in any order at its end or under a phrase."""

from __future__ import annotations

from collections.abc import Iterator

from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import spans, wholes
from reader.law.values import TINY, Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words, words_in
from reader.quantities import Interval, show
from reader.spans import Span

_AND = frozenset(("and", "&"))
_Declared = tuple[Ingredient, Interval]


def falling(rule: Rule, case: Case) -> Ruling | None:
    """Whether declared shares fall, and whether something of a small dose (`small_roles`, `small_kinds`) stands before
    meat (`meat_roles`). Where no share is printed and nothing looks odd, nothing is said: an order alone cannot be
    checked.

    Of two meats joined by “and” either may come first while each is at least `pair_least` percent of the two.
    """
    declared = _declared(case)
    for earlier, later in _rises(declared):
        if not _may_swap(rule, earlier, later):
            (first, _), (last, _) = earlier, later
            return breaks("order_declared", first.whole, last.whole, first=first.printed, last=last.printed)
    small = _small_before_meat(rule, case)
    if small:
        return cannot_tell("order_small", *spans(small), first=small[0].printed, last=small[1].printed)
    return meets("order_falls", *wholes(i for i, _ in declared)) if len(declared) > 1 else None


def percent_order(rule: Rule, case: Case) -> Ruling | None:
    """Declared percentages fall along the list; below `tail` percent any order may stand, and what was dried or
    concentrated (`weighed_wet`: words) may stand where its weight with water belongs.
    """
    declared, tail = _declared(case), rule.number("tail")
    for (first, _), (last, percent) in _rises(declared):
        if percent.low <= tail + TINY:
            continue
        wet = not words_in(case.text(first.whole)).isdisjoint(words_in(" ".join(rule.words("weighed_wet"))))
        ruled, key = (cannot_tell, "percent_wet") if wet else (breaks, "percent_rises")
        return ruled(key, _percent(first), _percent(last), first=case.text(first.span), last=case.text(last.span))
    return meets("percent_falls", *(_percent(i) for i, _ in declared)) if len(declared) > 1 else None


def _declared(case: Case) -> list[_Declared]:
    """What declares a share of the whole and has to stand in order: nothing under a phrase, nothing "per 100 g"."""
    own = case.product.ingredients
    return [(i, i.percent) for i in own if i.clause is None and i.percent is not None and i.percent.high <= 100]


def _rises(declared: list[_Declared]) -> Iterator[tuple[_Declared, _Declared]]:
    """Pairs of which the later has the larger share beyond doubt."""
    for k, later in enumerate(declared):
        yield from ((earlier, later) for earlier in declared[:k] if later[1].low > earlier[1].high + TINY)


def _percent(ingredient: Ingredient) -> Span:
    return ingredient.percent_span or ingredient.span


def _may_swap(rule: Rule, earlier: _Declared, later: _Declared) -> bool:
    (first, less), (last, more) = earlier, later
    meats = last.joiner in _AND and first.role == last.role == "meat"
    return meats and 100 * less.high / (less.high + more.low) >= rule.number("pair_least")


def _small_before_meat(rule: Rule, case: Case) -> tuple[Ingredient, Ingredient] | None:
    """The first ingredient of a small dose with the first meat behind it."""
    roles, kinds = rule.words("small_roles"), rule.words("small_kinds")
    if case.roles.isdisjoint(roles):
        return None
    items = [i for i in case.product.ingredients if i.clause is None]
    small = next((k for k, i in enumerate(items) if i.role in roles and i.kind in kinds and not i.parts), None)
    if small is None:
        return None
    meat = next((i for i in items[small + 1 :] if i.role in rule.words("meat_roles")), None)
    return (items[small], meat) if meat is not None else None


def free_end(rule: Rule, case: Case) -> Ruling | None:
    """Behind the first additive stands only what may end the list in any order (`roles`); what goes by weight beyond
    doubt (`weighty`: roles) stands before it.
    """
    if not case.may_hold(rule):
        return None
    items, roles = case.product.ingredients, rule.words("roles")
    first = next((k for k, i in enumerate(items) if i.role in roles and i.entry and i.entry.e), None)
    if first is None:
        return None
    start, behind = items[first].span, items[first + 1 :]
    weighty = [i for i in behind if i.role in rule.words("weighty")]
    if weighty:
        words = listed_words(case, weighty)
        return cannot_tell("end_mixed", start, *spans(weighty), first=case.text(start), words=words)
    return meets("end_in_order", start, words=case.text(start)) if all(i.role in roles for i in behind) else None


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
        places = dict.fromkeys(phrase.span for _, phrase in under)
        return meets("clause_allowed", *places, words=case.text(under[0][1].span), known=known)
    percent = show(odd.percent, 2)
    tiny, heavy = _out_of_order(rule, [i for i, phrase in under if phrase == odd])
    if tiny is None or heavy is None:
        return cannot_tell("clause_other", odd.span, percent=percent, known=known)
    said = {"percent": percent, "known": known, "first": tiny.printed, "last": heavy.printed}
    return breaks("clause_other_order", odd.span, tiny.span, heavy.span, found=None, **said)


def _out_of_order(rule: Rule, items: list[Ingredient]) -> tuple[Ingredient | None, Ingredient | None]:
    """An ingredient of the smallest doses with a weighty one that stands behind it."""
    tiny = next((i for i in items if i.role == "cure" and i.kind in rule.words("tiny_kinds")), None)
    if tiny is None:
        return None, None
    behind = items[items.index(tiny) + 1 :]
    return tiny, next((i for i in behind if i.role in rule.words("weighty_roles")), None)


JUDGES = {"clause": clause, "falling": falling, "free_end": free_end, "percent_order": percent_order}
