"""What the label cannot tell, what to ask the maker, and cautions: which sentences of lexicon/advice.yaml apply."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables
from reader.facts import NOT_STATED, Facts, walk
from reader.ingredient_tree import Ingredient, IngredientList
from reader.makeup.values import MakeUp
from reader.panel.reading import Panel
from reader.product import SAUSAGE, UNREADABLE, Product


@dataclass(frozen=True, slots=True)
class Advice:
    """Sentences with the id of their source ("" where a sentence needs none), in the order of the data file."""

    limits: tuple[tuple[str, str], ...]
    questions: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Case:
    """What the conditions look at."""

    product: Product
    facts: Facts
    makeup: MakeUp
    panel: Panel
    listed: IngredientList
    terms: tuple[Ingredient, ...]


def advise(product: Product, facts: Facts, makeup: MakeUp, panel: Panel, listed: IngredientList, market: str) -> Advice:
    """The sentences whose condition holds for this label and market."""
    terms = tuple(i for s in listed.sections for i in walk(s.ingredients))
    case = Case(product, facts, makeup, panel, listed, terms)
    fillers = ", ".join(facts.binders)
    answers: dict[str, bool] = {}

    def holds(item: dict[str, Any]) -> bool:
        if item.get("market", market) != market:
            return False
        condition = item["when"]
        if condition not in answers:
            answers[condition] = CONDITIONS[condition](case)
        return answers[condition]

    def chosen(part: str) -> tuple[tuple[str, str], ...]:
        return tuple(
            (item["says"].replace("{fillers}", fillers), item.get("source", ""))
            for item in _advice()[part]
            if holds(item)
        )

    return Advice(chosen("limits"), chosen("questions"), chosen("cautions"))


@lru_cache(maxsize=1)
def _advice() -> dict[str, Any]:
    raw: dict[str, Any] = tables.load_raw()["advice"]
    return raw


def _read(case: Case) -> bool:
    return case.product.food != UNREADABLE


def _has(case: Case, role: str, kind: str = "") -> bool:
    return any(i.role == role and (not kind or i.kind == kind) for i in case.terms)


def _unnamed_spices(case: Case) -> bool:
    names = {"spice", "flavoring", "natural_flavor", "spice_extractive", "seasoning"}
    return any(i.role in ("spice", "flavouring", "group") and not i.parts and _generic(i, names) for i in case.terms)


def _generic(ingredient: Ingredient, names: set[str]) -> bool:
    return ingredient.entry is not None and any(ingredient.entry.id.startswith(n) for n in names)


def _filler_open(case: Case) -> bool:
    share = case.makeup.group("binders")
    return case.product.food == SAUSAGE and bool(case.facts.binders) and share is not None and share.possible.high > 1


CONDITIONS: dict[str, Callable[[Case], bool]] = {
    "always": lambda _: True,
    "sausage": lambda case: case.product.food == SAUSAGE,
    "processed": lambda case: (
        case.product.food == SAUSAGE and (bool(case.facts.cures) or case.facts.smoke != "none stated")
    ),
    "meat_listed": lambda case: bool(case.facts.meat_sources),
    "unnamed_meat": lambda case: _has(case, "meat", "unnamed"),
    "no_percent": lambda case: (
        case.product.food == SAUSAGE and all(i.percent is None for i in case.product.ingredients)
    ),
    "cure_listed": lambda case: bool(case.facts.cures),
    "vegetable_cure": lambda case: _has(case, "cure", "vegetable"),
    "mechanically_separated": lambda case: case.facts.mechanically_separated,
    "spices_unnamed": _unnamed_spices,
    "choice": lambda case: any(i.match.kind == "choice" for i in case.terms),
    "casing_silent": lambda case: case.product.food == SAUSAGE and case.facts.casing.value == NOT_STATED,
    "casing_no_species": lambda case: (
        case.facts.casing.material in ("natural", "collagen") and not case.facts.casing.species
    ),
    "filler_open": _filler_open,
    "no_panel": lambda case: case.panel.empty,
    "panel_read": lambda case: not case.panel.empty,
    "no_contains_line": lambda case: _read(case) and all(n.kind != "allergen_line" for n in case.listed.asides),
    "sulphite": lambda case: _has(case, "antimicrobial", "sulphite"),
}
