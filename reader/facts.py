"""What the statement says, as plain values: meats, fillers, cure, casing, smoke, allergens, counts.

The words are those of the label in lower case, typing errors mended; animal tissue goes by its lexicon name.
Definitions follow the conventions of a reading by hand (README.md, "What the columns mean").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from reader import tables, wordforms
from reader.allergen_words import allergens_in
from reader.ingredient_tree import Ingredient, IngredientList, Section
from reader.pastes import is_general
from reader.phrases import book
from reader.spans import Span

ANIMAL = ("meat", "mechanically_separated", "fat", "by_product")
TISSUE = (*ANIMAL, "fish")
NOT_STATED = "not stated"


@dataclass(frozen=True, slots=True)
class Casing:
    """What the label says of the skin. `value` is "not stated" or material-species, such as "natural-pork"."""

    value: str
    material: str = ""
    species: tuple[str, ...] = ()
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Facts:
    """The plain reading of a statement; lists in label order, each value once."""

    first_ingredient: str
    first_meat: str
    meat_sources: tuple[str, ...]
    mechanically_separated: bool
    by_products: bool
    binders: tuple[str, ...]
    hydrocolloids: tuple[str, ...]
    sweeteners: tuple[str, ...]
    cures: tuple[str, ...]
    cure_accelerators: tuple[str, ...]
    casing: Casing
    smoke: str
    allergens: tuple[str, ...]
    clause_percent: float | None
    ingredient_count: int
    term_count: int
    unknown_terms: tuple[str, ...]


def gather(listed: IngredientList, clean: str, market: str) -> Facts:
    """The facts of an understood statement; `clean` is its text, `market` decides which allergens are listed."""
    lending = [i for s in listed.sections if s.kind in ("main", "liquid") for i in open_terms(s.ingredients)]
    every = [i for s in listed.sections for i in walk(s.ingredients)]
    top = [i for s in listed.sections for i in s.ingredients if counted(i)]
    meats = list(_meats(listed))
    return Facts(
        first_ingredient=value(top[0]) if top else "",
        first_meat=value(meats[0]) if meats else "",
        meat_sources=_values(meats),
        mechanically_separated=any(i.role == "mechanically_separated" for i in every),
        by_products=any(i.role == "by_product" for i in every),
        binders=_values(i for i in lending if i.role == "binder" and not _named_inside(i)),
        hydrocolloids=_values(i for i in lending if i.role == "hydrocolloid"),
        sweeteners=_values(i for i in lending if i.role == "sweetener"),
        cures=_curing(every, "cure"),
        cure_accelerators=_curing(every, "cure_accelerator"),
        casing=casing_of(every, clean),
        smoke=_smoke(listed, every),
        allergens=allergens_of(listed, every, clean, market),
        clause_percent=_clause(listed),
        ingredient_count=len(top),
        term_count=sum(i.role != "casing" for i in every),
        unknown_terms=tuple(i.printed for i in every if i.role == "unknown"),
    )


def nothing(facts: Facts) -> Facts:
    """What is left of the facts of a text that could not be read: the words that were not understood, no guess."""
    return Facts(
        "", "", (), False, False, (), (), (), (), (), Casing(NOT_STATED), "none stated", (), None, 0,
        facts.term_count, facts.unknown_terms,
    )  # fmt: skip


def walk(ingredients: tuple[Ingredient, ...]) -> Iterator[Ingredient]:
    """Every ingredient at any depth, in label order."""
    for ingredient in ingredients:
        yield ingredient
        if ingredient.parts:
            yield from walk(ingredient.parts)


def counted(ingredient: Ingredient) -> bool:
    """Whether a term counts as an ingredient: casings, bare class words and "or" something else do not."""
    bare_class = ingredient.role == "class" and not ingredient.parts
    return ingredient.role != "casing" and not bare_class and ingredient.joiner not in ("or", "and/or")


def closed(ingredient: Ingredient) -> bool:
    """Whether the parts of a compound ingredient are its own affair (cheese, bread, bacon, a flavour …)."""
    entry = ingredient.match.entry
    return _closed(ingredient.role, entry.id, entry.kind) if entry is not None else _closed(ingredient.role, "", "")


@lru_cache(maxsize=8192)
def _closed(role: str, entry: str, kind: str) -> bool:
    rules = _open_groups()
    if entry in rules["entries"]:
        return False
    return role not in rules["roles"] or entry in rules["not_entries"] or kind in rules["not_kinds"]


@lru_cache(maxsize=1)
def _open_groups() -> dict[str, frozenset[str]]:
    raw = tables.load_raw()["phrases"]["open_groups"]
    return {k: frozenset(raw[k]) for k in ("roles", "entries", "not_entries", "not_kinds")}


def open_terms(ingredients: tuple[Ingredient, ...]) -> Iterator[Ingredient]:
    """Every term that is the sausage's own, in label order: not casings, nor the parts of a cheese, a flavour and the
    like.
    """
    for ingredient in ingredients:
        if ingredient.role == "casing":
            continue
        yield ingredient
        if ingredient.parts and not closed(ingredient):
            yield from open_terms(ingredient.parts)


def _named_inside(binder: Ingredient) -> bool:
    """Whether a general word such as "cereal" stands for the binders named in its bracket."""
    return not closed(binder) and any(part.role == "binder" for part in binder.parts)


def _meats(listed: IngredientList) -> Iterator[Ingredient]:
    for section in listed.sections:
        if section.kind != "coating":
            yield from _tissues(section.ingredients)


def _tissues(ingredients: tuple[Ingredient, ...]) -> Iterator[Ingredient]:
    """Animal tissues; a made-up meat such as pepperoni stands for what it is made of, where that is printed."""
    for ingredient in ingredients:
        if ingredient.role == "casing":
            continue  # "beef collagen casing", "casing (pork or lamb)": an animal's name, but no meat
        inside = () if closed(ingredient) or not ingredient.parts else tuple(_tissues(ingredient.parts))
        prepared = ingredient.role == "meat" and ingredient.kind in ("cooked", "cured")
        made_up = prepared or is_general(ingredient.match)
        if ingredient.role in TISSUE and not (made_up and inside):
            yield ingredient
        yield from inside


def value(ingredient: Ingredient) -> str:
    """The word of a reading: the label's own in lower case, typing errors mended and farming words dropped.

    Plain muscle and mechanically separated meat go by their lexicon name ("pork meat" → "pork").
    """
    match = ingredient.match
    printed = wordforms.plain(ingredient.printed)
    if match.entry is None:
        return printed
    named = match.entry.role == "meat" and match.entry.kind in ("muscle", "cooked", "cured")
    if named or match.entry.role == "mechanically_separated" or printed == f"{match.entry.name} meat":
        return match.entry.name
    if match.kind == "choice" or ("(" not in printed and wordforms.key(printed) == wordforms.key(match.wording)):
        return printed
    return match.entry.name if match.kind == "number" else match.wording


def _values(ingredients: Iterator[Ingredient] | list[Ingredient]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(value(i) for i in ingredients))


def _curing(every: list[Ingredient], role: str) -> tuple[str, ...]:
    """Cures or accelerators; a mixture stands for what it is made of, a synonym in brackets is not told twice."""
    found: list[Ingredient] = []
    doubled = {id(p) for i in every if i.role == role for p in i.parts if _synonym(p, i)}
    for ingredient in every:
        inside = any(p.role == role for p in ingredient.parts) and ingredient.kind == "cure mix"
        if ingredient.role == role and not inside and id(ingredient) not in doubled:
            found.append(ingredient)
    return _values(found)


def _synonym(part: Ingredient, cure: Ingredient) -> bool:
    """Whether a bracket only says a cure's name again: "sodium nitrite (E 250)", "sodium nitrate (curing salt)"."""
    general = part.kind == "cure mix" and not part.parts and len(cure.parts) == 1
    return part.entry is not None and (part.entry is cure.entry or general)


def casing_of(ingredients: list[Ingredient], clean: str) -> Casing:
    """What the casing phrases say, the first that names a material; "not stated" if there is none."""
    best = Casing(NOT_STATED)
    for ingredient in ingredients:
        if ingredient.role != "casing":
            continue
        inner = " ".join([*(p.printed for p in walk(ingredient.parts)), *(n.span.of(clean) for n in ingredient.notes)])
        material, species, printed = book().casing.read(f"{ingredient.printed} {inner}".lower())
        told = "-or-".join(printed) if len(species) > 1 else species[0] if species else "unspecified"
        if material in ("natural", "collagen"):
            found = Casing(f"{material}-{told}", material, species, ingredient.span)
        elif material:
            found = Casing(material, material, species, ingredient.span)
        elif species:
            found = Casing(f"natural-{told}", "natural", species, ingredient.span)
        else:
            found = Casing("unspecified", "", (), ingredient.span)
        if best.value in (NOT_STATED, "unspecified"):
            best = found
    return best


def _smoke(listed: IngredientList, every: list[Ingredient]) -> str:
    if any(i.role == "smoke" and i.kind == "flavouring" for i in every):
        return "flavouring"
    if any(note.smoke for note in listed.asides) or any(i.role == "smoke" for i in every):
        return "smoked"
    smoked = any(i.role in ANIMAL and any("smoked" in wordforms.plain(d) for d in i.match.dropped) for i in every)
    return "smoked" if smoked else "none stated"


def allergens_of(listed: IngredientList, every: list[Ingredient], clean: str, market: str) -> tuple[str, ...]:
    """Words of the allergens on the market's list that the text names, in label order; "may contain" is left out."""
    found: dict[str, int] = {}
    for ingredient in every:
        carried = ingredient.named_allergens
        for entry in (ingredient.entry, *ingredient.match.others) if ingredient.entry is not None else ():
            exempt = next((ids for m, ids in entry.exempt if m == market), ())
            carried = (*carried, *(a for a in entry.allergens if a not in exempt))
        for allergen in carried:
            found.setdefault(allergen, ingredient.span.start)
    for note in listed.asides:
        if note.kind in ("allergen_line", "process") and not note.smoke:  # "smoked over pecan wood" brings no nut
            for allergen in allergens_in(note.span.of(clean)):
                found.setdefault(allergen, note.span.start)
    words = allergen_words(market)
    return tuple(words[a] for a in sorted(found, key=lambda a: found[a]) if a in words)


@lru_cache(maxsize=8)
def allergen_words(market: str) -> dict[str, str]:
    """Allergens on a market's list: id → word."""
    return {a["id"]: a["word"] for a in tables.load_raw()["allergens"]["allergens"] if market in a["markets"]}


def _clause(listed: IngredientList) -> float | None:
    """The first clause printed at the least depth."""
    level: list[Ingredient] = [i for s in listed.sections for i in s.ingredients]
    while level:
        for ingredient in level:
            if ingredient.clause is not None and ingredient.role != "casing":
                return ingredient.clause.percent
        level = [p for i in level for p in i.parts]
    return None


def main_section(listed: IngredientList) -> Section | None:
    """The list of the sausage itself: the first that holds animal tissue, else the first main one, else the first."""
    for section in listed.sections:
        if section.kind != "coating" and any(i.role in ANIMAL for i in walk(section.ingredients)):
            return section
    return next((s for s in listed.sections if s.kind == "main"), listed.sections[0] if listed.sections else None)
