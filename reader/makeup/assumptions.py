"""What the estimate assumes beyond the print. Each assumption is a fact with a name and a switch: how exactly a panel
is meant, weight lost on the way, usual doses, water that need not be listed, and lawful caps where the product's name
makes a standard apply.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables, wordforms
from reader.facts import ANIMAL, Facts, walk
from reader.ingredient_tree import Ingredient, IngredientList
from reader.makeup import settings
from reader.makeup.composition import Usual
from reader.makeup.values import Assumption, Reason
from reader.product import SAUSAGE, Product

TOLERANCE, LOSS, UNLISTED_WATER, USUAL_DOSES = "tolerance", "loss", "unlisted_water", "usual_doses"
ON, OFF = "on", "off"
_SWITCH = (ON, OFF)
_LONGEST_NAME = 3  # words of a run
_POULTRY = frozenset(("chicken", "turkey", "duck", "goose", "poultry", "guinea fowl", "quail", "ostrich"))


@dataclass(frozen=True, slots=True)
class Cap:
    """A lawful cap: at most `most` percent of a quantity, of the weight used or of the weight sold ("finished")."""

    id: str
    quantity: str
    of: str
    most: float
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Assumed:
    """What was assumed for one label, with the choices made."""

    assumptions: tuple[Assumption, ...]
    tolerance: float  # percent of a printed number
    loss: float  # percent of the weight used, at most
    unlisted_water: float  # percent of the weight sold, at most; 0 where all water must be listed
    usual_doses: bool
    usual_water: Mapping[str, Usual]  # "listed", "unlisted": what is put in, where anything is usual
    usual_by_class: Mapping[str, Usual]  # doses of which the name tells, by class of composition
    caps: tuple[Cap, ...]

    def reason(self, name: str) -> Reason:
        """The reason an assumption stands for in a bound."""
        return next(a.reason for a in self.assumptions if a.id == name)


def assume(
    product: Product,
    listed: IngredientList,
    facts: Facts,
    name: str,
    text: str,
    market: str,
    choices: Mapping[str, str],
) -> Assumed:
    """What holds for a label. `text` is its statement, `choices` are the user's, by id of the assumption; one that is
    unknown or has no such choice raises ValueError.
    """
    names = name_runs(name, listed)
    every = tuple(walk(product.ingredients))
    chosen: list[Assumption] = []

    def choose(what: str, of: tuple[str, ...], usual: str, source: str, **values: str) -> str:
        choice = choices.get(what, usual)
        if choice not in of:
            raise ValueError(f"{choice!r} is no choice of {what!r}; there are {', '.join(of)}.")
        kind = "law" if what.startswith("cap ") else "house"
        told = (*values.items(), ("choice", choice))
        reason = Reason(what, kind, f"why_{what.split()[0]}", told, None, source)
        chosen.append(Assumption(what, choice, of, reason))
        return choice

    raw = settings.raw()
    tolerances, losses = raw["tolerance"]["choices"], raw["loss"]["choices"]
    tolerance = choose(TOLERANCE, _keys(tolerances), raw["tolerance"]["default"], raw["tolerance"]["source"])
    beside = frozenset[str]().union(*(_runs(note.span.of(text)) for note in listed.asides))
    lost = _loss(names, beside, every, market, bool(facts.cures))
    loss = choose(LOSS, _keys(losses), lost, raw["loss"]["source"], most=str(losses.get(choices.get(LOSS, lost), "")))
    doses = product.food == SAUSAGE and choose(USUAL_DOSES, _SWITCH, ON, "house") == ON
    water = 0.0
    hidden = raw["unlisted_water"]
    may_hide = market in hidden["markets"] and product.food == SAUSAGE and not any(i.role == "water" for i in every)
    if may_hide and choose(UNLISTED_WATER, _SWITCH, ON, hidden["source"], most=hidden["most"]) == ON:
        water = float(hidden["most"])
    caps = tuple(
        cap
        for cap, usual in _caps(product, names, every, market)
        if choose(f"cap {cap.id}", _SWITCH, usual, cap.source, cap=cap.says) == ON
    )
    unknown = set(choices) - {a.id for a in chosen} - set(known())
    if unknown:
        raise ValueError(f"There is no assumption called {', '.join(sorted(unknown))}; there are {', '.join(known())}.")
    return Assumed(
        tuple(chosen), float(tolerances[tolerance]), float(losses[loss]), water, doses, _usual_water(names, loss),
        _usual_by_class(names), caps,
    )  # fmt: skip


def known() -> tuple[str, ...]:
    """The ids of all assumptions there are."""
    return (TOLERANCE, LOSS, USUAL_DOSES, UNLISTED_WATER, *(f"cap {c['id']}" for _, c in _all_caps()))


def name_runs(name: str, listed: IngredientList) -> frozenset[str]:
    """The words of the front and of the headings, folded, alone and in runs."""
    return _runs(" ".join([name, *(s.label for s in listed.sections)]))


def _runs(text: str) -> frozenset[str]:
    keys = [wordforms.word_key(w) for w in wordforms.words(text)]
    runs = ("".join(keys[i:j]) for i in range(len(keys)) for j in range(i + 1, min(len(keys), i + _LONGEST_NAME) + 1))
    return frozenset(runs)


def _keys(choices: Mapping[str, Any]) -> tuple[str, ...]:
    return tuple(k for k in choices if k != "__line__")


def _loss(
    names: frozenset[str], beside: frozenset[str], every: tuple[Ingredient, ...], market: str, cured: bool
) -> str:
    """How the product was probably made, by the first sign that fits."""
    loss = settings.raw()["loss"]
    for sign in loss["signs"]:
        named = "names" not in sign or bool(_folded(tuple(sign["names"])) & names)
        advised = "beside" not in sign or bool(_folded(tuple(sign["beside"])) & beside)
        holds = "role" not in sign or any(i.role == sign["role"] and i.kind == sign.get("kind", i.kind) for i in every)
        as_cured = not (sign.get("without_cure") and cured) and (not sign.get("cured") or cured)
        sold_there = market in sign.get("markets", (market,))
        if named and advised and holds and sold_there and as_cured:
            return str(sign["choice"])
    return str(loss["default"])


def _usual_water(names: frozenset[str], loss: str) -> dict[str, Usual]:
    """How much water is usual in a product of this name that loses so much."""
    for rule in settings.raw()["usual_water"]:
        if rule["choice"] == loss and ("names" not in rule or _folded(tuple(rule["names"])) & names):
            return {k: Usual(*map(float, rule[k])) for k in ("listed", "unlisted") if k in rule}
    return {}


def _usual_by_class(names: frozenset[str]) -> dict[str, Usual]:
    """Usual doses, by class of composition, of which a product's name tells."""
    rules = (r for r in settings.raw()["usual_by_name"] if _folded(tuple(r["names"])) & names)
    return {rule["class"]: Usual(*map(float, rule["usual"])) for rule in rules}


def _caps(product: Product, names: frozenset[str], every: tuple[Ingredient, ...], market: str) -> list[tuple[Cap, str]]:
    """The caps whose standard the name invokes, each with "on"."""
    first = next((i for i in every if i.role in ANIMAL), None)
    if product.food != SAUSAGE or first is None:
        return []
    poultry = first.entry is not None and bool(_POULTRY & set(first.entry.species))
    found = []
    for of_market, cap in _all_caps():
        invoked = _folded(tuple(cap["names"])) & names and not _folded(tuple(cap["unless"])) & names
        if of_market == market and invoked and not (cap["meats"] == "livestock" and poultry):
            says = f"{cap['says'].format(most=cap['most'])}, {cap['section']}"
            found.append((Cap(cap["id"], cap["quantity"], cap["of"], float(cap["most"]), says, cap["source"]), ON))
    return found


@lru_cache(maxsize=1)
def _all_caps() -> tuple[tuple[str, dict[str, Any]], ...]:
    raw = tables.load_raw()
    return tuple(("US", cap) for cap in raw["standards/us_sausage"]["caps"])


@lru_cache(maxsize=256)
def _folded(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(wordforms.key(w) for w in words)
