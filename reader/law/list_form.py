"""Judges of the form of a list: its heading, interchangeable and compound ingredients, the end in any order, grouped
sugars, languages.
"""

from __future__ import annotations

from collections.abc import Iterator

from reader import wordforms
from reader.facts import ANIMAL, NOT_STATED, allergen_words, closed
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.product import SAUSAGE
from reader.statement.tree import Note
from reader.tables import Entry

_OR = ("or", "and/or")


def heading_printed(_rule: Rule, case: Case) -> Ruling | None:
    """A heading stands before the list. Where none was pasted, nothing follows: text is often copied from behind it."""
    heading = next(iter(case.listed.headings), None)
    return meets("heading_there", heading, words=case.text(heading).rstrip(": ")) if heading is not None else None


def any_proportion(rule: Rule, case: Case) -> Ruling | None:
    """What is listed "in variable proportion" is a mixture of spices (`roles`), not meat."""
    for item in case.own:
        note = next((n for n in item.notes if n.kind == "proportion"), None)
        if note is None:
            continue
        words = case.text(item.span)
        if item.role in ANIMAL:
            return breaks("proportion_meat", item.span, note.span, words=words)
        if item.role in rule.words("roles"):
            return meets("proportion_mixture", item.span, note.span, words=words)
        return cannot_tell("proportion_other", item.span, note.span, words=words)
    return None


def swappable(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients joined by "and/or": at most `most` of them, each below `tail` percent, no additive (`roles`) and no
    allergen of the market; what has a rule of its own (`apart`: roles) is left open. A rule without `most` only lets
    such lists be printed for a while.
    """
    groups = list(_joined(case.product.printed))
    if not groups:
        return None
    if "most" not in rule.values:
        first = groups[0]
        return cannot_tell("swapped_for_a_time", *(i.span for i in first), words=listed_words(case, first))
    for group in groups:
        places, words = [i.span for i in group], listed_words(case, group)
        entries = [e for i in group for e in _entries(i)]
        if any(e.role in rule.words("apart") for e in entries):
            continue
        if len(entries) > rule.number("most"):
            return breaks("swapped_too_many", *places, words=words, most=f"{rule.number('most'):g}")
        if any(e.e and e.role in rule.words("roles") for e in entries):
            return breaks("swapped_additive", *places, words=words)
        if any(_allergen(e, case.market) for e in entries):
            return breaks("swapped_allergen", *places, words=words)
        if any(i.percent is not None and i.percent.low >= rule.number("tail") for i in group):
            return breaks("swapped_too_much", *places, words=words, limit=f"{rule.number('tail'):g}")
    words, limit = listed_words(case, groups[0]), f"{rule.number('tail'):g}"
    return cannot_tell("swapped_small", *(i.span for i in groups[0]), words=words, limit=limit)


def compound_told(rule: Rule, case: Case) -> Ruling | None:
    """A compound ingredient (`roles`, `kinds` of meat) is followed by its own ingredients; below a share of `limit`
    percent they may be let off.
    """
    compound = [i for i in case.product.ingredients if _is_compound(i, rule)]
    if not compound:
        return None
    silent = [i for i in compound if not i.parts]
    if silent:
        limit = f"{rule.number('limit'):g}"
        return cannot_tell("compound_silent", *(i.span for i in silent), words=listed_words(case, silent), limit=limit)
    return meets("compound_told", *(i.whole for i in compound), words=listed_words(case, compound))


def free_end(rule: Rule, case: Case) -> Ruling | None:
    """Behind the first additive stands only what may end the list in any order (`roles`); what goes by weight beyond
    doubt (`weighty`: roles) stands before it.
    """
    if not case.roles.intersection(rule.words("roles")):
        return None
    items = case.product.ingredients
    first = next((k for k, i in enumerate(items) if i.role in rule.words("roles") and i.entry and i.entry.e), None)
    if first is None:
        return None
    start, behind = items[first].span, items[first + 1 :]
    weighty = [i for i in behind if i.role in rule.words("weighty")]
    if weighty:
        first_words, words = case.text(start), listed_words(case, weighty)
        return cannot_tell("end_mixed", start, *(i.span for i in weighty), first=first_words, words=words)
    if all(i.role in rule.words("roles") for i in behind):
        return meets("end_in_order", start, words=case.text(start))
    return None


def grouped_sugars(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients based on sugars (`roles` with `kinds`) stand together behind the word of the group (`group`). Loose
    ones look like a break only if the list is plainly of this market: it has the group, or its second language.
    """
    if not case.roles.intersection(rule.words("roles")):
        return None
    found = [i for i in case.product.ingredients if _is_sugar(i, rule)]
    grouped = [i for i in found if i.parts and wordforms.plain(i.printed) in rule.words("group")]
    loose = [i for i in found if i not in grouped]
    if not found:
        return None
    if not loose:
        return meets("sugars_grouped", *(i.whole for i in grouped), words=listed_words(case, grouped))
    places, words = [i.span for i in loose], listed_words(case, loose)
    if grouped or (len(loose) > 1 and _other_language(case) is not None):
        return breaks("sugars_loose", *places, words=words)
    return cannot_tell("sugars_single" if len(loose) == 1 else "sugars_unclear", *places, words=words)


def _is_sugar(item: Ingredient, rule: Rule) -> bool:
    return item.role in rule.words("roles") and item.kind in rule.words("kinds")


def second_language(_rule: Rule, case: Case) -> Ruling | None:
    """The list stands in a second language too."""
    if not case.terms:
        return None
    other = _other_language(case)
    return meets("language_second", other.span) if other is not None else cannot_tell("language_one")


def _other_language(case: Case) -> Note | None:
    return next((n for n in case.listed.asides if n.kind == "other_language"), None)


def silent_casing(_rule: Rule, case: Case) -> Ruling | None:
    """A list that says nothing of the casing, where it need not."""
    if case.product.food != SAUSAGE or case.facts.casing.value != NOT_STATED:
        return None
    return meets("casing_unlisted")


def _joined(siblings: tuple[Ingredient, ...]) -> Iterator[list[Ingredient]]:
    """Ingredients that "or" joins, casings and the insides of foods of their own left out."""
    group: list[Ingredient] = []
    for item in siblings:
        if item.role == "casing":
            continue
        if item.joiner not in _OR:
            if len(group) > 1:
                yield group
            group = []
        group.append(item)
        if item.match.kind == "choice" and len(group) == 1:
            yield [item]
        if item.parts and not closed(item):
            yield from _joined(item.parts)
    if len(group) > 1:
        yield group


def _entries(ingredient: Ingredient) -> tuple[Entry, ...]:
    own = (ingredient.entry,) if ingredient.entry is not None else ()
    return (*own, *ingredient.match.others)


def _allergen(entry: Entry, market: str) -> bool:
    exempt = next((ids for m, ids in entry.exempt if m == market), ())
    return any(a in allergen_words(market) and a not in exempt for a in entry.allergens)


def _is_compound(item: Ingredient, rule: Rule) -> bool:
    made_up = item.role == "meat" and item.kind in rule.words("kinds")
    return made_up or item.role in rule.words("roles")


JUDGES = {
    "any_proportion": any_proportion,
    "compound_told": compound_told,
    "free_end": free_end,
    "grouped_sugars": grouped_sugars,
    "heading_printed": heading_printed,
    "second_language": second_language,
    "silent_casing": silent_casing,
    "swappable": swappable,
}
