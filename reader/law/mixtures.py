"""Judges of ingredients that are several: joined by “or”, made of others, grouped, in any proportion."""

from __future__ import annotations

from collections.abc import Iterator

from reader import wordforms
from reader.facts import ANIMAL, allergen_words, closed
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import alternatives, let_off, meant, spans, wholes
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.quantities import show
from reader.tables import Entry


def either(rule: Rule, case: Case) -> Ruling | None:
    """Whether “or” and “and/or” join only what may be exchanged (`roles`)."""
    found = [group for s in case.listed.sections for group in _exchanged(s.ingredients, foods=True)]
    if not found:
        return None
    wrong = next((group for group in found if not {i.role for i in group} <= set(rule.words("roles"))), None)
    if wrong is not None:
        if len(wrong) == 1:
            return cannot_tell("either_choice", wrong[0].span, words=wrong[0].printed)
        return cannot_tell("either_other", *spans(wrong), first=wrong[0].printed, last=wrong[-1].printed)
    return meets("either_oils", *spans(found[0]), words=found[0][0].printed)


def swappable(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients joined by “or” or “and/or”: at most `most` of them, each below `tail` percent, no additive (`roles`)
    and no allergen of the market; what has a rule of its own (`apart`: roles) is left open. A rule without `most` only
    lets such lists be printed for a while.
    """
    groups = list(_exchanged(case.product.printed, foods=False))
    if not groups:
        return None
    if "most" not in rule.values:
        return cannot_tell("swapped_for_a_time", *spans(groups[0]), words=listed_words(case, groups[0]))
    most, tail = rule.number("most"), rule.number("tail")
    for group in groups:
        entries = [e for i in group for e in (i.entry, *i.match.others) if e is not None]
        places, words = spans(group), listed_words(case, group)
        if all(e.role in rule.words("apart") for e in entries):
            continue
        if len(entries) > most:
            return breaks("swapped_too_many", *places, words=words, most=show(most))
        if any(e.e and e.role in rule.words("roles") for e in entries):
            return breaks("swapped_additive", *places, words=words)
        if any(_allergen(e, case.market) for e in entries):
            return breaks("swapped_allergen", *places, words=words)
        if any(i.percent is not None and i.percent.low >= tail for i in group):
            return breaks("swapped_too_much", *places, words=words, limit=show(tail))
    return cannot_tell("swapped_small", *spans(groups[0]), words=listed_words(case, groups[0]), limit=show(tail))


def _exchanged(siblings: tuple[Ingredient, ...], *, foods: bool) -> Iterator[tuple[Ingredient, ...]]:
    """Ingredients joined by “or” at any depth, casings left out; a single name that holds several counts too. `foods`:
    also inside foods of their own, such as a cheese.
    """
    for group in alternatives(item for item in siblings if item.role != "casing"):
        for item in group:
            if item.parts and (foods or not closed(item)):
                yield from _exchanged(item.parts, foods=foods)
        if _several(group):
            yield group


def _several(group: tuple[Ingredient, ...]) -> bool:
    return len(group) > 1 or (len(group) == 1 and group[0].match.kind == "choice")


def _allergen(entry: Entry, market: str) -> bool:
    exempt = let_off(entry, market)
    return any(a in allergen_words(market) and a not in exempt for a in entry.allergens)


def sub_ingredients(rule: Rule, case: Case) -> Ruling | None:
    """Whether ingredients that are mixtures themselves (`roles`, `kinds`: each a role and a kind) show what they are
    made of.
    """
    roles, kinds = rule.words("roles"), rule.words("kinds")
    mixtures = [i for i in case.product.ingredients if i.role in roles or f"{i.role} {i.kind}" in kinds]
    if not mixtures:
        return None
    bare = next((i for i in mixtures if not i.parts), None)
    if bare is not None:
        return cannot_tell("mixture_bare", bare.span, name=bare.printed)
    return meets("mixture_told", *wholes(mixtures), name=mixtures[0].printed)


def compound_told(rule: Rule, case: Case) -> Ruling | None:
    """A compound ingredient (`roles`, `kinds` of meat) is followed by its own ingredients; below a share of `limit`
    percent they may be let off.
    """
    roles, kinds = rule.words("roles"), rule.words("kinds")
    compound = [i for i in case.product.ingredients if i.role in roles or (i.role == "meat" and i.kind in kinds)]
    if not compound:
        return None
    silent = [i for i in compound if not i.parts]
    if silent:
        words, limit = listed_words(case, silent), show(rule.number("limit"))
        return cannot_tell("compound_silent", *spans(silent), words=words, limit=limit)
    return meets("compound_told", *wholes(compound), words=listed_words(case, compound))


def any_proportion(rule: Rule, case: Case) -> Ruling | None:
    """What is listed "in variable proportion" is a mixture of spices (`roles`), not meat."""
    noted = ((i, note.span) for i in case.own for note in i.notes if note.kind == "proportion")
    item, place = next(noted, (None, None))
    if item is None:
        return None
    words = case.text(item.span)
    if item.role in ANIMAL:
        return breaks("proportion_meat", item.span, place, words=words)
    if item.role in rule.words("roles"):
        return meets("proportion_mixture", item.span, place, words=words)
    return cannot_tell("proportion_other", item.span, place, words=words)


def grouped_sugars(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients based on sugars (`roles` with `kinds`) stand together behind the word of the group (`group`). Loose
    ones look like a break only if the list is plainly of this market: it has the group, or its second language.
    """
    found = meant(rule, case.product.ingredients) if case.may_hold(rule) else ()
    if not found:
        return None
    grouped = [i for i in found if i.parts and wordforms.plain(i.printed) in rule.words("group")]
    loose = [i for i in found if i not in grouped]
    if not loose:
        return meets("sugars_grouped", *wholes(grouped), words=listed_words(case, grouped))
    words = listed_words(case, loose)
    if grouped or (len(loose) > 1 and case.aside("other_language") is not None):
        return breaks("sugars_loose", *spans(loose), words=words)
    return cannot_tell("sugars_single" if len(loose) == 1 else "sugars_unclear", *spans(loose), words=words)


JUDGES = {
    "any_proportion": any_proportion,
    "compound_told": compound_told,
    "either": either,
    "grouped_sugars": grouped_sugars,
    "sub_ingredients": sub_ingredients,
    "swappable": swappable,
}
