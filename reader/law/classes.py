"""What a product is before the law: the class of food whose rules apply, found from the front and the list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables
from reader.facts import ANIMAL, Facts, walk
from reader.front import Words
from reader.ingredient_tree import Ingredient
from reader.product import Product
from reader.spans import Span

POULTRY, MEAT, MIXED = "poultry", "meat", "poultry and meat"


@dataclass(frozen=True, slots=True)
class Classed:
    """The class of a product before the law of its market.

    id: the class, one of lexicon/standards/classes.yaml. marks: what else the front or the list says it is ("with
    byproducts", "cured"). all: class and marks together, as rules name them. reason: key of the sentence that says why,
    words: the printed words it rests on. chosen: whether the user chose it.
    """

    id: str
    title: str
    marks: frozenset[str]
    reason: str
    words: Span | None
    all: frozenset[str]
    chosen: bool = False


def classed(product: Product, facts: Facts, front: Words, market: str, choice: str = "") -> Classed:
    """The class of a product; `choice` is the user's. Raises ValueError if the market knows no such class."""
    known = classes_of(market)
    if choice and choice not in known:
        raise ValueError(f"There is no class {choice!r} in market {market}; there are {', '.join(known)}.")
    own = tuple(walk(product.ingredients))
    tissues = tuple(i for i in own if i.role in ANIMAL)
    seen = _Seen(product.food, bool(facts.cures), not product.whole_pack, front, own, tissues)
    marks = frozenset(m["id"] for m in _data()["marks"] if seen.fits(m, market)[0])
    if choice:
        return Classed(choice, known[choice]["title"], marks, "class_chosen", None, marks | {choice}, chosen=True)
    for item in known.values():
        fits, place = seen.fits(item, market)
        if fits:
            reason = "class_by_name" if place else "class_by_list"
            return Classed(item["id"], item["title"], marks, reason, place, marks | {item["id"]})
    raise tables.LexiconError("standards/classes.yaml: the last class must fit every product.")


@dataclass(frozen=True, slots=True)
class _Seen:
    """What a class may ask for."""

    food: str
    cured: bool
    kit: bool
    front: Words
    own: tuple[Ingredient, ...]
    tissues: tuple[Ingredient, ...]

    def fits(self, item: Mapping[str, Any], market: str) -> tuple[bool, Span | None]:
        """Whether all that a class asks for holds, and the words of the front it rests on."""
        if market not in item.get("markets", (market,)) or self.food not in item.get("foods", ("sausage",)):
            return False, None
        place = self.front.first(item["names"]) if "names" in item else None
        if "names" in item and place is None:
            return False, None
        if "unless" in item and self.front.holds(item["unless"]):
            return False, None
        if "meats" in item and item["meats"] != self.meats():
            return False, None
        if "cured" in item and item["cured"] != self.cured:
            return False, None
        if "kit" in item and item["kit"] != self.kit:
            return False, None
        roles = item.get("roles")
        if roles and not any(i.role in roles for i in self.own):
            return False, None
        entries = item.get("entries")
        if entries and not any(i.entry and i.entry.id in entries for i in self.own):
            return False, None
        return True, place

    def meats(self) -> str:
        """POULTRY if every tissue is of birds, MIXED if the first is and another is not, else MEAT."""
        if not self.tissues or not is_poultry(self.tissues[0]):
            return MEAT
        return POULTRY if all(map(is_poultry, self.tissues)) else MIXED


def is_poultry(ingredient: Ingredient) -> bool:
    """Whether an ingredient comes of birds only."""
    species = ingredient.entry.species if ingredient.entry is not None else ()
    return bool(species) and birds().issuperset(species)


@lru_cache(maxsize=1)
def birds() -> frozenset[str]:
    """The species whose meat is poultry."""
    return frozenset(_data()["poultry"])


@lru_cache(maxsize=8)
def classes_of(market: str) -> Mapping[str, dict[str, Any]]:
    """The classes a market knows by their id, the first that fits first."""
    return {c["id"]: c for c in _data()["classes"] if market in c.get("markets", (market,))}


def signs_of_whole_front() -> tuple[tuple[str, ...], ...]:
    """Groups of words of which a front that was pasted whole holds some each."""
    return tuple(map(tuple, _data()["whole_front"]))


def _data() -> dict[str, Any]:
    found: dict[str, Any] = tables.load_raw()["standards/classes"]
    return found
