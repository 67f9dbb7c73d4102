"""Judges of the percentages a list declares: whether one is there, their order, what they add up to."""

from __future__ import annotations

from collections.abc import Iterator

from reader import wordforms
from reader.facts import ANIMAL
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.product import SAUSAGE
from reader.quantities import Interval, show
from reader.statement.tree import Note

_TINY = 1e-6


def declared_quantity(_rule: Rule, case: Case) -> Ruling | None:
    """The share of an ingredient that the name speaks of is declared, in the list, as grams per 100 g, or on the front.

    Which ingredient that is: the animals the front names, else the first tissue (a sausage is known by its meat).
    """
    if not case.tissues:
        return None
    named = [t for t in case.tissues if t.entry is not None and case.setting.front.holds(t.entry.species)]
    named = [t for t in named if t.role == "meat" and t.kind not in ("cooked", "cured")] or named
    if not named and case.product.food != SAUSAGE:
        return None
    wanted = named or [case.tissues[0]]
    ids = {id(t) for t in wanted}
    within = _with_percent(case.product.printed, ids, None)
    found = next(within, None)
    if found is not None:
        return meets("quantity_declared", found.percent_span or found.span, words=listed_words(case, [found]))
    ratio = _ratio(case)
    if ratio is not None:
        return meets("quantity_beside", ratio.span, words=case.text(ratio.span))
    key = "quantity_looked_for" if named else "quantity_of_meat"
    return cannot_tell(key, *(t.span for t in wanted), words=listed_words(case, wanted))


def percent_total(rule: Rule, case: Case) -> Ruling | None:
    """Tissues whose percentages exceed `most` together are declared as grams for 100 g of product instead."""
    declared = [(i, i.percent) for i in case.product.ingredients if i.role in ANIMAL and i.percent is not None]
    ratio = _ratio(case)
    if not declared:
        return meets("total_as_grams", ratio.span, words=case.text(ratio.span)) if ratio is not None else None
    most = rule.number("most")
    low, high = sum(p.low for _, p in declared), sum(p.high for _, p in declared)
    if (low + high) / 2 <= most + _TINY:
        return meets("total_as_grams", ratio.span, words=case.text(ratio.span)) if ratio is not None else None
    places = [i.percent_span or i.span for i, _ in declared]
    verdict, key = (breaks, "total_over") if low > most + _TINY else (cannot_tell, "total_rounding")
    values = {"total": show((low + high) / 2, 1), "most": show(most, 1)}
    return verdict(
        key, *places, found=Interval(low, high), words=listed_words(case, (i for i, _ in declared)), **values
    )


def percent_order(rule: Rule, case: Case) -> Ruling | None:
    """Declared percentages fall along the list; below `tail` percent any order may stand, and what was dried or
    concentrated (`weighed_wet`: words) may stand where its weight with water belongs.
    """
    declared = [(i, i.percent) for i in case.product.ingredients if i.percent is not None]
    if len(declared) < 2:
        return None
    tail = rule.number("tail")
    for k, (later, percent) in enumerate(declared):
        for earlier, before in declared[:k]:
            if percent.low <= before.high + _TINY or percent.low <= tail + _TINY:
                continue
            places = (earlier.percent_span or earlier.span, later.percent_span or later.span)
            first, last = case.text(earlier.span), case.text(later.span)
            wet = {wordforms.word_key(w) for w in wordforms.words(case.text(earlier.whole))}
            if wet & {wordforms.word_key(w) for w in rule.words("weighed_wet")}:
                return cannot_tell("percent_wet", *places, first=first, last=last)
            return breaks("percent_rises", *places, first=first, last=last)
    return meets("percent_falls", *(i.percent_span or i.span for i, _ in declared))


def class_share(rule: Rule, case: Case) -> Ruling | None:
    """A collective word (`entries`) without its parts stands for at most `most` percent."""
    if not case.entries.intersection(rule.words("entries")):
        return None
    most = rule.number("most")
    for item in case.own:
        if item.entry is None or item.entry.id not in rule.words("entries") or item.percent is None or item.parts:
            continue
        place, words = item.percent_span or item.span, case.text(item.span)
        if item.percent.high <= most + _TINY:
            return meets("class_share_small", place, found=item.percent, words=words, most=show(most, 1))
        return cannot_tell("class_share_large", place, found=item.percent, words=words, most=show(most, 1))
    return None


def _with_percent(siblings: tuple[Ingredient, ...], ids: set[int], above: Ingredient | None) -> Iterator[Ingredient]:
    """Wanted ingredients with a percentage of their own, of the group they stand in, or of their parts."""
    for item in siblings:
        holder = item if item.percent is not None else above
        if id(item) in ids:
            if holder is not None:
                yield holder
            yield from (p for p in item.parts if p.percent is not None)
        yield from _with_percent(item.parts, ids, holder)


def _ratio(case: Case) -> Note | None:
    """A declaration beside the list: "made with 120 g of pork per 100 g", "meat content 85 %"."""
    return next((n for n in case.listed.asides if n.kind in ("declared_ratio", "content")), None)


JUDGES = {
    "class_share": class_share,
    "declared_quantity": declared_quantity,
    "percent_order": percent_order,
    "percent_total": percent_total,
}
