"""Judges of the percentages a list declares: whether one is there, what they add up to, what they may be at most."""

from __future__ import annotations

from collections.abc import Iterator

from reader.facts import ANIMAL
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import spans
from reader.law.values import TINY, Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.product import SAUSAGE
from reader.quantities import Interval, show

_RATIO = ("declared_ratio", "content")  # notes such as "made with 120 g of pork per 100 g", "meat content 85 %"


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
    found = next(_with_percent(case.product.printed, {id(t) for t in wanted}, None), None)
    if found is not None:
        return meets("quantity_declared", found.percent_span or found.span, words=listed_words(case, [found]))
    ratio = case.aside(*_RATIO)
    if ratio is not None:
        return meets("quantity_beside", ratio.span, words=case.text(ratio.span))
    key = "quantity_looked_for" if named else "quantity_of_meat"
    return cannot_tell(key, *spans(wanted), words=listed_words(case, wanted))


def _with_percent(siblings: tuple[Ingredient, ...], ids: set[int], above: Ingredient | None) -> Iterator[Ingredient]:
    """Wanted ingredients with a percentage of their own, of the group they stand in, or of their parts."""
    for item in siblings:
        holder = item if item.percent is not None else above
        if id(item) in ids:
            if holder is not None:
                yield holder
            yield from (p for p in item.parts if p.percent is not None)
        yield from _with_percent(item.parts, ids, holder)


def percent_total(rule: Rule, case: Case) -> Ruling | None:
    """Tissues whose percentages exceed `most` together are declared as grams for 100 g of product instead."""
    tissues = [i for i in case.product.ingredients if i.role in ANIMAL and i.percent is not None]
    percents = [i.percent for i in tissues if i.percent is not None]
    total = Interval(sum(p.low for p in percents), sum(p.high for p in percents))
    most, middle = rule.number("most"), (total.low + total.high) / 2
    if middle <= most + TINY:
        ratio = case.aside(*_RATIO)
        return meets("total_as_grams", ratio.span, words=case.text(ratio.span)) if ratio is not None else None
    places = [i.percent_span or i.span for i in tissues]
    ruled, key = (breaks, "total_over") if total.low > most + TINY else (cannot_tell, "total_rounding")
    said = {"words": listed_words(case, tissues), "total": show(middle), "most": show(most)}
    return ruled(key, *places, found=total, **said)


def class_share(rule: Rule, case: Case) -> Ruling | None:
    """A collective word (`entries`) without its parts stands for at most `most` percent."""
    declared = (i for i in case.of_entries(rule.words("entries")) if i.percent is not None and not i.parts)
    item = next(declared, None)
    if item is None or item.percent is None:
        return None
    most, place = rule.number("most"), item.percent_span or item.span
    said = {"words": case.text(item.span), "most": show(most)}
    if item.percent.high <= most + TINY:
        return meets("class_share_small", place, found=item.percent, **said)
    return cannot_tell("class_share_large", place, found=item.percent, **said)


JUDGES = {"class_share": class_share, "declared_quantity": declared_quantity, "percent_total": percent_total}
