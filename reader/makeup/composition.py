"""What an ingredient is made of: ranges that practically always hold the truth (lexicon/composition.yaml).

The make-up estimate needs parts with a linear composition. Animal tissue is two parts, fat-free tissue and lipid, so
that a wide range of fatness does not loosen what is known of lean and of fat; everything else is one part.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from reader import tables, wordforms
from reader.facts import casing_of
from reader.ingredient_tree import Ingredient
from reader.quantities import Interval
from reader.tables import Entry

GRAMS = ("protein", "fat", "carbohydrate", "sugars", "fibre", "ash", "saturated")
MILLIGRAMS = ("sodium", "potassium", "calcium", "cholesterol")
NUTRIENTS = (*GRAMS, *MILLIGRAMS)
GROUPS = ("meat", "meat_fat", "mechanically_separated", "by_product", "fish")

WHOLE, LEAN, LIPID = "whole", "lean", "lipid"
_MIXED = ("protein", "fat", "carbohydrate", "ash", "water")
_NONE, _ALL = Interval(0.0, 0.0), Interval(100.0, 100.0)


@dataclass(frozen=True, slots=True)
class Usual:
    """What is usual: of an ingredient in percent of the weight used, of a nutrient per 100 g of what holds it."""

    mean: float
    spread: float  # standard deviation


@dataclass(frozen=True, slots=True)
class Part:
    """One part of an ingredient. `kind` is WHOLE, LEAN (fat-free tissue) or LIPID.

    share: how much of the ingredient it is, in percent of the ingredient's weight; the shares of LEAN and LIPID add
    up to 100.
    per_100g: what 100 g of the part hold, one range for each of NUTRIENTS in that order; g, for MILLIGRAMS mg.
    Carbohydrate is total, by difference, fibre included. Water, and alcohol, is the rest.
    usual: what 100 g usually hold of a nutrient, in the same units, where the middle of the range says it less well.
    """

    kind: str
    share: Interval
    per_100g: tuple[Interval, ...]
    usual: Mapping[str, Usual] = field(default_factory=dict)

    def of(self, nutrient: str) -> Interval:
        """What 100 g of the part hold of one of NUTRIENTS (g or mg); raises ValueError for any other word."""
        return self.per_100g[NUTRIENTS.index(nutrient)]


@dataclass(frozen=True, slots=True)
class Composition:
    """A class of ingredients alike in composition.

    group: one of GROUPS for animal tissue, "" for anything else.
    parts: (LEAN, LIPID) for animal tissue, (WHOLE,) for anything else.
    most: the most a sausage can reasonably hold in percent of the weight used; None if there is no limit.
    usual: None for what can be a main ingredient.
    source: an id of lexicon/sources.yaml; status: "read", "derived" or "not verified".
    mixture: how foods of which nothing else is known are mixed, as the parameters of a Dirichlet distribution of their
    protein, fat, carbohydrate, ash and water; empty for all others.
    entries: NDB numbers of the foods of USDA SR28 it rests on; basis: how the ranges were made, one sentence or two.
    """

    id: str
    group: str
    parts: tuple[Part, ...]
    most: float | None
    usual: Usual | None
    source: str
    status: str
    entries: tuple[str, ...]
    basis: str
    mixture: Mapping[str, float] = field(default_factory=dict)

    def per_100g(self, nutrient: str) -> Interval:
        """What 100 g of the ingredient can hold of one of NUTRIENTS (g or mg): the sharpest range its parts allow."""
        if len(self.parts) == 1:
            return self.parts[0].of(nutrient)
        lean, lipid = (part.of(nutrient) for part in self.parts)
        fat = self.parts[1].share
        ends = [
            (lean.low + (lipid.low - lean.low) * f / 100, lean.high + (lipid.high - lean.high) * f / 100) for f in fat
        ]
        return Interval(min(low for low, _ in ends), max(high for _, high in ends))


def class_of(ingredient: Ingredient) -> Composition:
    """The composition of one ingredient as put in; what is inside its bracket is the caller's to look at.

    Words that are not understood get the class "anything"; a casing has the class of its material. Where the label
    leaves a choice ("soybean or palm oil") the ranges hold every choice, `most` is the largest of them, and `usual` is
    given only if they share it.
    """
    match = ingredient.match
    if match.entry is None:
        material = casing_of([ingredient], "").material if ingredient.role == "casing" else ""
        use = _use()
        return classes()[use["kinds"].get((ingredient.role, material)) or use["roles"].get(ingredient.role, "anything")]
    return _of((match.entry.id, *(other.id for other in match.others)), match.dropped)


@lru_cache(maxsize=4096)
def _of(choices: tuple[str, ...], dropped: tuple[str, ...]) -> Composition:
    """By ids of entries, which are quick to compare, and the words beside the name."""
    beside = frozenset(wordforms.word_key(w) for phrase in dropped for w in wordforms.words(phrase))
    found, *others = (classes()[_stated(_id_of(tables.entry_of(entry)), beside)] for entry in choices)
    for other in others:
        found = _either(found, other)
    return found


def class_of_entry(entry: Entry) -> Composition:
    """The composition of a lexicon entry, without regard to words beside its name."""
    return classes()[_id_of(entry)]


def _id_of(entry: Entry) -> str:
    use = _use()
    by_kind = use["kinds"].get((entry.role, entry.kind))
    by_species = use["species"].get(entry.species[0]) if entry.role == "meat" and len(entry.species) == 1 else None
    found: str = use["entries"].get(entry.id) or by_kind or by_species or use["roles"][entry.role]
    return found


def _stated(id_: str, beside: frozenset[str]) -> str:
    """The class after words such as "dried" or "cooked" beside the name."""
    for words, becomes in _use()["states"]:
        if words & beside and id_ in becomes:
            return str(becomes[id_])
    return id_


def _either(a: Composition, b: Composition) -> Composition:
    """Ranges that hold both; everything where the two have no common shape."""
    if a.id == b.id:
        return a
    if a.group != b.group:
        return classes()["anything"]
    parts = tuple(
        Part(p.kind, _hull(p.share, q.share), tuple(map(_hull, p.per_100g, q.per_100g)), _mixed(p.usual, q.usual))
        for p, q in zip(a.parts, b.parts, strict=True)
    )
    return Composition(
        id=f"{a.id} or {b.id}",
        group=a.group,
        parts=parts,
        most=max(a.most, b.most) if a.most is not None and b.most is not None else None,
        usual=a.usual if a.usual == b.usual else None,
        source=a.source if a.source == b.source else "house",
        status=a.status if a.status == b.status else "derived",
        entries=(*a.entries, *b.entries),
        basis=f"{a.basis} {b.basis}",
    )


def _mixed(a: Mapping[str, Usual], b: Mapping[str, Usual]) -> dict[str, Usual]:
    """What is usual of either of two, each as probable as the other, where it is known of both."""
    return {nutrient: _either_usual(a[nutrient], b[nutrient]) for nutrient in a if nutrient in b}


def _either_usual(a: Usual, b: Usual) -> Usual:
    apart = (a.mean - b.mean) / 2
    return Usual((a.mean + b.mean) / 2, math.sqrt((a.spread**2 + b.spread**2) / 2 + apart**2))


def _hull(a: Interval, b: Interval) -> Interval:
    return Interval(min(a.low, b.low), max(a.high, b.high))


@lru_cache(maxsize=1)
def classes() -> dict[str, Composition]:
    """Every class of lexicon/composition.yaml by id, in the order of the file."""
    return {raw["id"]: _read(raw) for raw in tables.load_raw()["composition"]["classes"]}


@lru_cache(maxsize=1)
def _use() -> dict[str, Any]:
    raw = tables.load_raw()["composition"]["use"]
    return {
        "entries": raw["entries"],
        "kinds": {(k["role"], k["kind"]): k["class"] for k in raw["kinds"]},
        "species": raw["species"],
        "roles": raw["roles"],
        "states": [(frozenset(map(wordforms.word_key, s["words"])), s["classes"]) for s in raw["states"]],
    }


def _read(raw: dict[str, Any]) -> Composition:
    usual = raw.get("usual")
    return Composition(
        id=raw["id"],
        group=raw.get("group", ""),
        parts=_parts(raw),
        most=float(raw["most"]) if "most" in raw else None,
        usual=Usual(*map(float, usual)) if usual else None,
        source=raw["source"],
        status=raw["status"],
        entries=tuple(raw.get("entries", ())),
        basis=raw["basis"],
        mixture={q: float(raw["mixture"][q]) for q in _MIXED} if "mixture" in raw else {},
    )


def _parts(raw: dict[str, Any]) -> tuple[Part, ...]:
    tissue = raw.get("tissue")
    if tissue is None:
        return (Part(WHOLE, _ALL, _ranges(raw["per_100g"]), _usual(raw.get("usual_per_100g", {}))),)
    fat = _interval(tissue["fat"])
    lipid = Part(LIPID, fat, _ranges(tissue["lipid"], fat=_ALL))
    lean = _usual({"protein": tissue["usual_protein"]} if "usual_protein" in tissue else {})
    return (Part(LEAN, Interval(100.0 - fat.high, 100.0 - fat.low), _ranges(tissue["lean"]), lean), lipid)


def _usual(raw: Mapping[str, Any]) -> dict[str, Usual]:
    return {n: Usual(*map(float, raw[n])) for n in NUTRIENTS if n in raw}


def _ranges(raw: dict[str, Any], **fixed: Interval) -> tuple[Interval, ...]:
    given = {n: _interval(raw[n]) for n in NUTRIENTS if n in raw} | fixed
    return tuple(given.get(n, _NONE) for n in NUTRIENTS)


def _interval(pair: list[str]) -> Interval:
    low, high = map(float, pair)
    return Interval(low, high)
