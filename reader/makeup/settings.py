"""Settings of the estimate as typed values: lexicon/estimate.yaml, and which groups are told of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables

DEFAULT: Mapping[str, str] = {}  # no assumption changed


@dataclass(frozen=True, slots=True)
class Group:
    """Ingredients told of together. `tissue` restricts to fat-free tissue ("lean") or fat ("lipid"); `of` names the
    group the share is taken of, "" for the whole; `formula` a quantity that is no sum of ingredients."""

    id: str
    roles: frozenset[str]
    kinds: frozenset[str]
    not_kinds: frozenset[str]
    tissue: str
    of: str
    formula: str

    def holds(self, role: str, kind: str, tissue: str) -> bool:
        """Whether an amount of this role, kind and tissue counts."""
        fits = role in self.roles and kind not in self.not_kinds and (not self.kinds or kind in self.kinds)
        return fits and (not self.tissue or tissue == self.tissue)


def raw() -> dict[str, Any]:
    """lexicon/estimate.yaml as plain data."""
    found: dict[str, Any] = tables.load_raw()["estimate"]
    return found


@lru_cache(maxsize=1)
def groups() -> tuple[Group, ...]:
    """All groups in the order they are shown."""
    filler = frozenset(c["role"] for c in tables.load_raw()["scoring"]["filler_load"]["counts"])
    return tuple(
        Group(
            g["id"],
            filler if g.get("counts") == "filler" else frozenset(g.get("roles", ())),
            frozenset(g.get("kinds", ())),
            frozenset(g.get("not_kinds", ())),
            g.get("tissue", ""),
            g.get("of", ""),
            g.get("formula", ""),
        )
        for g in raw()["groups"]
    )


@lru_cache(maxsize=64)
def sodium_source(role: str) -> str:
    """Which source the sodium of an ingredient of this role is counted under."""
    sources = raw()["sodium_sources"]
    return str(next((s["id"] for s in sources if role in s["roles"]), sources[-1]["id"]))


@lru_cache(maxsize=1)
def sodium_sources() -> tuple[str, ...]:
    """The sources of sodium in the order they are shown."""
    return tuple(s["id"] for s in raw()["sodium_sources"])


def composition_sharpness() -> float:
    """How many standard deviations half the range of a composition holds."""
    return float(raw()["likely"]["composition_sharpness"])


@dataclass(frozen=True, slots=True)
class FreeOrder:
    """What may end a list in any order: what is below `most` percent of the product, and `roles` of any size."""

    most: float
    roles: frozenset[str]
    source: str

    def ordered(self, roles: Sequence[str]) -> int:
        """How many of a list's ingredients, from its beginning, stand in an order that tells something."""
        count = len(roles)
        while count and roles[count - 1] in self.roles:
            count -= 1
        return count


@lru_cache(maxsize=8)
def free_order(market: str) -> FreeOrder:
    """The rule of a market; one that frees nothing where there is none."""
    for rule in raw()["free_order"]:
        if rule["market"] == market:
            return FreeOrder(float(rule.get("most", 0)), frozenset(rule.get("roles", ())), str(rule["source"]))
    return FreeOrder(0.0, frozenset(), "")


def water_as_finished(market: str) -> bool:
    """Whether water counts at its weight in the finished product."""
    return market in raw()["water_as_finished"]["markets"]


@lru_cache(maxsize=1)
def made_before() -> tuple[frozenset[str], frozenset[str]]:
    """(kinds of meat, words beside a name) that say it was made up before it was put in."""
    rule = raw()["made_before"]
    return frozenset(rule["kinds"]), frozenset(rule["words"])


@lru_cache(maxsize=1)
def tissue_worths() -> dict[tuple[str, str], float]:
    """How far a tissue is named muscle meat, 0–1, by role and kind (lexicon/scoring.yaml)."""
    return {(t["role"], t["kind"]): float(t["worth"]) for t in tables.load_raw()["scoring"]["meat_source"]["tissue"]}
