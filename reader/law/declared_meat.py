"""The meat a label declares a percentage of: which it is, what the printed number means, which animals it is of."""

from __future__ import annotations

import math
from collections.abc import Iterable

from reader.facts import walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.classes import birds
from reader.law.rules import Rule
from reader.quantities import Interval, show
from reader.spans import Span

SEPARATED = "mechanically_separated"
PORK, BIRDS, OTHER = "pork", "birds", "other"  # keys of the limits of a rule, by what meat comes of
_ROUNDING = 1.0  # points: a whole number stands for half a point on either side


def exact(ingredient: Ingredient) -> bool:
    """Whether one number is declared, and not a least or a most."""
    printed = ingredient.percent
    return printed is not None and printed.high - printed.low <= _ROUNDING


def percent(ingredient: Ingredient) -> float:
    """The percentage as printed, the low end of what is no single number; 0 where none is."""
    printed = ingredient.percent or Interval(0.0, 0.0)
    return (printed.low + printed.high) / 2 if exact(ingredient) else math.floor(printed.low + _ROUNDING / 2)


def most(ingredient: Ingredient) -> float:
    """The most the percentage means: as printed, the high end of what is no single number; 0 where none is."""
    printed = ingredient.percent
    return percent(ingredient) if printed is None or exact(ingredient) else printed.high


def percents_told(declared: Iterable[Ingredient], case: Case) -> str:
    """The ingredients with their percentages: "“Pork” 80 %, “beef” 10 % or more"."""
    return ", ".join(f"“{case.text(i.span)}” {show(percent(i), 2)} %{'' if exact(i) else ' or more'}" for i in declared)


def declared_meat(rule: Rule, case: Case) -> list[Ingredient]:
    """The meats of the product's own list that go by the plain word for their kind and declare one percentage; none if
    that covers mechanically separated meat too.
    """
    declared = [i for i in case.product.ingredients if exact(i) and is_plain(i, rule)]
    return [] if any(p.role == SEPARATED for i in declared for p in walk(i.parts)) else declared


def is_plain(ingredient: Ingredient, rule: Rule) -> bool:
    """Whether it goes by the plain word for its meat: one of `kinds`, and none of `not_entries`."""
    entry = ingredient.entry
    if entry is None or ingredient.role != "meat" or entry.id in rule.words("not_entries"):
        return False
    return ingredient.kind in rule.words("kinds")


def of_more_than_whole(case: Case) -> bool:
    """Whether percentages are of a product that lost weight, so that they say less of what is sold."""
    declared = (i.percent.low for i in case.product.ingredients if i.percent is not None)
    return case.aside("declared_ratio") is not None or sum(declared) > 100


def content(rule: Rule, case: Case) -> tuple[float, Span] | None:
    """A meat content printed beside the list behind one of `content_words`, in percent, with its place."""
    for note in case.listed.asides:
        if (
            note.kind == "content"
            and note.value
            and case.text(note.span).lower().startswith(rule.words("content_words"))
        ):
            return float(note.value), note.span
    return None


def limit_for(species: str, rule: Rule) -> str:
    """Which limit of a rule holds for an animal: PORK for `pigs`, BIRDS for birds and `as_birds`, else OTHER."""
    if species in rule.words("pigs"):
        return PORK
    return BIRDS if species in birds() or species in rule.words("as_birds") else OTHER
