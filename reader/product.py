"""What kind of food the label is about, and which of its lists is the sausage's own.

The class decides which aspects can be read: a plant-based or other food gets no meat score, and is told why.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from reader import tables, wordforms
from reader.facts import ANIMAL, closed, counted, main_section, walk
from reader.front import Words
from reader.ingredient_tree import Ingredient, IngredientList

SAUSAGE, PLANT, DISH, OTHER, UNREADABLE = "sausage", "plant-based", "dish", "other food", "unreadable"
_PRODUCT_WORDS = ("sausage", "plant_based", "other_meat", "patty", "skinless")
_EARLY = 3  # house: meat this far up a list makes it a meat product; further down it is a dish with meat in it


@dataclass(frozen=True, slots=True)
class Product:
    """The food: its class with the reason, and the ingredients of the sausage itself."""

    food: str
    reason: str  # key of the sentence in lexicon/wording/
    ingredients: tuple[Ingredient, ...]  # the sausage's own list, casing left out
    inside: str = ""  # printed name of the part of a kit the list belongs to
    words: frozenset[str] = frozenset()  # product words found on the front ("frankfurter", "skinless")
    printed: tuple[Ingredient, ...] = ()  # the same list with what "or" joins to an ingredient and what does not count
    whole_pack: bool = True  # whether the list is that of everything in the pack, as a panel is


def classify(listed: IngredientList, front: Words, readable: bool) -> Product:
    """The class of the food from its list and the words of its front."""
    words = _all_product_words() & front.runs
    printed, inside, whole_pack = _own_list(listed)
    own = tuple(i for i in printed if counted(i))

    def made(food: str, reason: str) -> Product:
        return Product(food, reason, own, inside, words, printed, whole_pack)

    if not readable:
        return Product(UNREADABLE, "food_unreadable", (), inside, words)
    animal = [k for k, i in enumerate(own) if any(t.role in ANIMAL and not closed(t) for t in _within(i))]
    plant = [i for i in own[:8] for t in (i, *i.parts) if t.role == "binder" and t.kind in ("plant protein", "gluten")]
    called_sausage = bool(words & _product_words("sausage"))
    if not animal:
        if plant and (words & _product_words("plant_based") or any(i in own[:5] for i in plant)):
            return made(PLANT, "food_plant")
        return made(OTHER, "food_other")
    solid = [i for i in own if i.role not in ("water", "broth")]
    first = solid.index(own[animal[0]]) if own[animal[0]] in solid else animal[0]
    if words & _product_words("other_meat") and not called_sausage:
        return made(DISH, "food_named_other")
    if first < _EARLY or called_sausage:
        return made(SAUSAGE, "food_sausage")
    return made(DISH, "food_dish")


def _within(ingredient: Ingredient) -> tuple[Ingredient, ...]:
    return (ingredient, *(() if closed(ingredient) else walk(ingredient.parts)))


def _own_list(listed: IngredientList) -> tuple[tuple[Ingredient, ...], str, bool]:
    """The sausage's own list with the part of the pack it belongs to, and whether that is all of the pack; in a kit
    ("PEPPERONI (PORK, …), CHEESE (…)") it is the bracket that holds the meat.
    """
    section = main_section(listed)
    if section is None:
        return (), "", True
    alone = not any(s for s in listed.sections if s is not section and any(counted(i) for i in s.ingredients))
    top = tuple(i for i in section.ingredients if counted(i))
    for ingredient in top[:_EARLY]:
        made_up = ingredient.role in ("unknown", "group", "other", "class") or ingredient.kind in ("cooked", "cured")
        parts = tuple(p for p in ingredient.parts if counted(p))
        if made_up and not closed(ingredient) and len(parts) > 2 and parts[0].role in ANIMAL:
            before = top[: top.index(ingredient)]
            if not any(i.role in ANIMAL for i in before):
                return ingredient.parts, ingredient.printed, alone and len(top) == 1
    return section.ingredients, section.label, alone


@lru_cache(maxsize=8)
def _product_words(kind: str) -> frozenset[str]:
    return frozenset(wordforms.key(w) for w in tables.load_raw()["phrases"]["product_words"][kind])


@lru_cache(maxsize=1)
def _all_product_words() -> frozenset[str]:
    return frozenset[str]().union(*map(_product_words, _PRODUCT_WORDS))
