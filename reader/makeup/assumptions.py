"""What the estimate assumes beyond the print. Each assumption is a fact with a name and a switch: how exactly a panel
is meant, weight lost on the way, usual doses, water that need not be listed, and lawful caps where the product's name
makes a standard apply.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from reader import wordforms
from reader.facts import Facts, walk
from reader.ingredient_tree import Ingredient
from reader.law.rules import all_rules
from reader.law.setting import Setting
from reader.makeup import settings
from reader.makeup.composition import Usual
from reader.makeup.values import Assumption, Reason
from reader.product import SAUSAGE, Product

TOLERANCE, LOSS, UNLISTED_WATER, USUAL_DOSES = "tolerance", "loss", "unlisted_water", "usual_doses"
DECLARED = "declared_share"
ON, OFF = "on", "off"
_SWITCH = (ON, OFF)
CAP = "cap "  # before the id of the rule a cap comes from


@dataclass(frozen=True, slots=True)
class Cap:
    """A lawful cap, by the id of its rule: at most `most` percent of a quantity of lexicon/estimate.yaml."""

    id: str
    quantity: str
    most: float
    says: str
    source: str

    @property
    def fact(self) -> str:
        """The id of the assumption, and of the fact in the estimate."""
        return f"{CAP}{self.id}"


@dataclass(frozen=True, slots=True)
class Assumed:
    """What was assumed for one label, with the choices made."""

    assumptions: tuple[Assumption, ...]
    tolerance: float  # percent of a printed number
    loss: float  # percent of the weight used, at most
    unlisted_water: float  # percent of the weight sold, at most; 0 where all water must be listed
    declared: tuple[str, ...]  # the ways in which declared percentages are read; () where all say the same
    usual_doses: bool
    usual_water: Mapping[str, Usual]  # "listed", "unlisted": what is put in, where anything is usual
    usual_by_class: Mapping[str, Usual]  # doses of which the name tells, by class of composition
    caps: tuple[Cap, ...]

    def reason(self, name: str) -> Reason:
        """The reason an assumption stands for in a bound."""
        return next(a.reason for a in self.assumptions if a.id == name)

    def without(self, facts: Collection[str]) -> Assumed:
        """The same with some assumptions switched off."""
        shown = tuple(replace(a, choice=OFF) if a.id in facts else a for a in self.assumptions)
        return replace(self, assumptions=shown, caps=tuple(cap for cap in self.caps if cap.fact not in facts))


def assume(product: Product, facts: Facts, setting: Setting, choices: Mapping[str, str]) -> Assumed:
    """What holds for a label. `choices` are the user's, by id of the assumption; one that is unknown or has no such
    choice raises ValueError.
    """
    market = setting.market
    every = tuple(walk(product.ingredients))
    chosen: list[Assumption] = []

    def choose(what: str, of: tuple[str, ...], usual: str, source: str, **values: str) -> str:
        choice = choices.get(what, usual)
        if choice not in of:
            raise ValueError(f"{choice!r} is no choice of {what!r}; there are {', '.join(of)}.")
        kind = "law" if what.startswith(CAP) else "house"
        told = (*values.items(), ("choice", choice))
        reason = Reason(what, kind, f"why_{what.split()[0]}", told, None, source)
        chosen.append(Assumption(what, choice, of, reason))
        return choice

    raw = settings.raw()
    tolerances, losses = raw["tolerance"]["choices"], raw["loss"]["choices"]
    tolerance = choose(TOLERANCE, _keys(tolerances), raw["tolerance"]["default"], raw["tolerance"]["source"])
    lost = _loss(setting.front.runs, setting.beside.runs, every, market, bool(facts.cures))
    loss = choose(LOSS, _keys(losses), lost, raw["loss"]["source"], most=str(losses.get(choices.get(LOSS, lost), "")))
    shares, readings = raw[DECLARED], ()
    if float(losses[loss]) and any(i.percent is not None for i in product.printed):
        readings = shares["choices"][choose(DECLARED, _keys(shares["choices"]), shares["default"], shares["source"])]
    doses = product.food == SAUSAGE and choose(USUAL_DOSES, _SWITCH, ON, "house") == ON
    water = 0.0
    hidden = raw["unlisted_water"]
    may_hide = market in hidden["markets"] and product.food == SAUSAGE and not any(i.role == "water" for i in every)
    if may_hide and choose(UNLISTED_WATER, _SWITCH, ON, hidden["source"], most=hidden["most"]) == ON:
        water = float(hidden["most"])
    caps = tuple(
        cap
        for cap in (_caps(setting) if product.food == SAUSAGE else ())
        if choose(cap.fact, _SWITCH, ON, cap.source, cap=cap.says) == ON
    )
    unknown = set(choices) - {a.id for a in chosen} - set(known())
    if unknown:
        raise ValueError(f"There is no assumption called {', '.join(sorted(unknown))}; there are {', '.join(known())}.")
    names = setting.front.runs
    return Assumed(
        tuple(chosen), float(tolerances[tolerance]), float(losses[loss]), water, tuple(readings), doses,
        _usual_water(names, loss), _usual_by_class(names), caps,
    )  # fmt: skip


def known() -> tuple[str, ...]:
    """The ids of all assumptions there are."""
    return (
        TOLERANCE,
        LOSS,
        DECLARED,
        USUAL_DOSES,
        UNLISTED_WATER,
        *(f"{CAP}{rule.id}" for rule in all_rules() if rule.assumed),
    )


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


def _caps(setting: Setting) -> list[Cap]:
    """The caps of the standards that apply."""
    found = []
    for rule in setting.rules():
        if rule.assumed:
            says = f"{rule.values['says'].format(most=rule.values['most'])}, {rule.section}"
            found.append(Cap(rule.id, str(rule.values["quantity"]), rule.number("most"), says, rule.source))
    return found


@lru_cache(maxsize=256)
def _folded(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(wordforms.key(w) for w in words)
