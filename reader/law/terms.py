"""Ingredients as judges ask for them: which of them a rule speaks of, how surely they were understood, what of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from reader.ingredient_tree import Ingredient
from reader.law.classes import is_poultry
from reader.law.rules import Rule
from reader.spans import Span
from reader.tables import Entry

EITHER = frozenset(("or", "and/or"))  # joins what may stand for one another
_OUTRIGHT = frozenset(("exact", "number", "spelling"))  # ways of understanding a name that leave no other reading
MIXED = "mixed"  # species of what the lexicon knows as meat of any animal
UNCLEAR = frozenset((MIXED, "poultry"))  # species of lexicon entries that leave the animal open


def spans(ingredients: Iterable[Ingredient]) -> tuple[Span, ...]:
    """Where their names stand."""
    return tuple(i.span for i in ingredients)


def wholes(ingredients: Iterable[Ingredient]) -> tuple[Span, ...]:
    """Where they stand with their brackets and notes."""
    return tuple(i.whole for i in ingredients)


def entry_id(ingredient: Ingredient) -> str:
    """The lexicon id, "" if the words are not understood."""
    return ingredient.entry.id if ingredient.entry is not None else ""


def of_entries(ingredients: Iterable[Ingredient], ids: Iterable[str]) -> tuple[Ingredient, ...]:
    """Those of some lexicon ids."""
    wanted = frozenset(ids)
    return tuple(i for i in ingredients if i.entry is not None and i.entry.id in wanted)


def meant(rule: Rule, ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """Those of the `roles`, `kinds` and `entries` of a rule, each of which it may leave out; with `livestock` none of
    birds.
    """
    roles, kinds, entries = rule.words("roles"), rule.words("kinds"), rule.words("entries")
    livestock = rule.values.get("livestock")
    return tuple(
        i
        for i in ingredients
        if (not roles or i.role in roles)
        and (not kinds or i.kind in kinds)
        and (not entries or entry_id(i) in entries)
        and not (livestock and is_poultry(i))
    )


def outright(ingredient: Ingredient) -> bool:
    """Whether its whole name was understood: it can be nothing else."""
    return ingredient.match.kind in _OUTRIGHT


def sure(ingredient: Ingredient) -> bool:
    """Whether it leaves no doubt of what it is, at least by its noun, and that it is in the product."""
    return (outright(ingredient) or ingredient.match.kind == "head") and ingredient.joiner not in EITHER


def alternatives(siblings: Iterable[Ingredient]) -> Iterator[tuple[Ingredient, ...]]:
    """The terms of one list by what may stand for one another: those joined by “or” together, each other by itself."""
    group: list[Ingredient] = []
    for item in siblings:
        if group and item.joiner not in EITHER:
            yield tuple(group)
            group = []
        group.append(item)
    if group:
        yield tuple(group)


def species(ingredient: Ingredient) -> tuple[str, ...]:
    """The animals it is of or, behind an “or”, may be of; "mixed" and "poultry" where none is named."""
    entries = (ingredient.entry, *ingredient.match.others)
    return tuple(s for entry in entries if entry is not None for s in entry.species)


def animals(ingredient: Ingredient) -> tuple[str, ...]:
    """The animals it names; words such as "meat" and "poultry" name none."""
    return tuple(s for s in species(ingredient) if s not in UNCLEAR)


def of_any_animal(ingredient: Ingredient) -> bool:
    """Whether it is meat of an animal that is not told."""
    return MIXED in species(ingredient)


def let_off(entry: Entry, market: str) -> tuple[str, ...]:
    """The allergens that a market's law lets an ingredient off for."""
    return next((allergens for let, allergens in entry.exempt if let == market), ())
