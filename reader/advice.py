"""What the label cannot tell, what to ask the maker, cautions, and what is often said of such a product.

Which sentences of lexicon/advice.yaml apply; the limits they quote are those of the rules.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from reader import tables
from reader.facts import NOT_STATED
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import all_rules
from reader.product import SAUSAGE, UNREADABLE


@dataclass(frozen=True, slots=True)
class OftenSaid:
    """Something often said of such a product, and what the rule says."""

    said: str
    rule: str
    source: str
    section: str


@dataclass(frozen=True, slots=True)
class Advice:
    """Sentences with the id of their source ("" where a sentence needs none), in the order of the data file."""

    limits: tuple[tuple[str, str], ...]
    questions: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]
    often_said: tuple[OftenSaid, ...]


def advise(case: Case) -> Advice:
    """The sentences whose condition holds for a label and its market."""
    parts = _parts(case.market)
    holds = {condition: CONDITIONS[condition](case) for condition in parts.conditions}
    fillers = ", ".join(case.facts.binders)

    def chosen(items: tuple[dict[str, Any], ...]) -> tuple[tuple[str, str], ...]:
        return tuple(
            (item["says"].replace("{fillers}", fillers), item.get("source", ""))
            for item in items
            if holds[item["when"]]
        )

    often_said = tuple(
        OftenSaid(item["said"], item["says"].format_map(_limits()), item["source"], item["section"])
        for item in parts.often_said
        if holds[item["when"]]
    )
    return Advice(chosen(parts.limits), chosen(parts.questions), chosen(parts.cautions), often_said)


class _Parts(NamedTuple):
    """The sentences of lexicon/advice.yaml that are for a market, by part, and the conditions they ask for."""

    limits: tuple[dict[str, Any], ...]
    questions: tuple[dict[str, Any], ...]
    cautions: tuple[dict[str, Any], ...]
    often_said: tuple[dict[str, Any], ...]
    conditions: tuple[str, ...]


@lru_cache(maxsize=8)
def _parts(market: str) -> _Parts:
    def of(name: str) -> tuple[dict[str, Any], ...]:
        return tuple(item for item in _advice()[name] if item.get("market", market) == market)

    parts = of("limits"), of("questions"), of("cautions"), of("often_said")
    return _Parts(*parts, tuple(dict.fromkeys(item["when"] for part in parts for item in part)))


@lru_cache(maxsize=1)
def _advice() -> dict[str, Any]:
    raw: dict[str, Any] = tables.load_raw()["advice"]
    return raw


@lru_cache(maxsize=1)
def _limits() -> dict[str, str]:
    """The limit of each rule that has one, by its id."""
    limits = ((r.id, r.values.get("most", r.values.get("least"))) for r in all_rules())
    return {rule: str(limit) for rule, limit in limits if limit is not None}


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


def _meat_frank(case: Case) -> bool:
    return bool(case.classes & {"cheese_frank", "frankfurter"})


def _water_second(case: Case) -> bool:
    solid = case.product.ingredients
    return case.product.food == SAUSAGE and len(solid) > 2 and solid[1].role == "water"


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
    "plain_frank": lambda case: _meat_frank(case) and not case.facts.by_products,
    "beef_frank": lambda case: _meat_frank(case) and case.facts.meat_sources == ("beef",),
    "poultry_frank": lambda case: bool(case.classes & {"mixed_frank", "poultry_frank"}),
    "frank_binders": lambda case: _meat_frank(case) and bool(case.facts.binders),
    "frank_water": lambda case: _meat_frank(case) and "water" in case.roles,
    "by_products": lambda case: case.product.food == SAUSAGE and case.facts.by_products,
    "called_uncured": lambda case: "uncured" in case.classes,
    "called_all": lambda case: case.setting.front.holds(_advice()["words_of_all"]),
    "called_reduced": lambda case: "modified" in case.classes,
    "smoke_flavouring": lambda case: _has(case, "smoke", "flavouring"),
    "water_second": _water_second,
}
