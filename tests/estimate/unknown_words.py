"""Recipes of which one ingredient is printed as a word nobody knows: what the reader cannot tell is then what it is
made of and which group it counts to, so that to the truth it counts to none.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise

from tests.estimate.families import Family, Item, main
from tests.estimate.recipes import Recipe

WORD = "BLORP PASTE"  # invented
VEGETABLE = main("CABBAGE", "other", 2, 5, 9)  # no family holds one that is mostly water, so it is put in

# Sorts of ingredient that can be printed as WORD, and which items of the families are of them.
RENAMED: Mapping[str, Callable[[Item], bool]] = {
    "starch": lambda item: item.kind == "starchy binder",
    "meat": lambda item: item.kind == "muscle",
    "vegetable": lambda item: item is VEGETABLE,
    "fat": lambda item: item.kind == "fat tissue" or item.printed == "COCONUT OIL",
    "seasoning": lambda item: item.kind == "seasoning",
    "sweetener": lambda item: item.kind == "sweetener",
}


def renaming(family: Family, sorts: tuple[str, ...], rng: random.Random) -> tuple[Family, str]:
    """One of the sorts that the family holds, and the family, with the vegetable where that is the one."""
    held = [sort for sort in sorts if sort == "vegetable" or _renamable(family, sort)]
    sort = rng.choice(held or ["vegetable"])
    return (replace(family, items=(*family.items, VEGETABLE)) if sort == "vegetable" else family), sort


def rename(recipe: Recipe, sort: str, rng: random.Random) -> bool:
    """Print one ingredient of the sort as WORD; false where this recipe has none of it."""
    items = _renamable(recipe.family, sort)
    found = [used for place in recipe.places if len(place) == 1 for used in place if used.item in items]
    if found:
        used = rng.choice(found)
        used.item = replace(used.item, printed=WORD, kind="other", bracket="", joined=False)
    return bool(found)


def _renamable(family: Family, sort: str) -> list[Item]:
    """Items of a sort, but not what shares its place with another, what is told of by name elsewhere on the label, or what
    may stand at the end of a list whatever its weight (as in Canada), which nobody sees in a word he does not know.
    """
    if family.market == "CA" and sort == "seasoning":
        return []
    shared = [i for pair in pairwise(family.items) if pair[1].choice for i in pair]
    return [i for i in family.items if RENAMED[sort](i) and i.printed != family.ratio and i not in shared]
