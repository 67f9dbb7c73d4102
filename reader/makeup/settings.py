"""Settings of the estimate as typed values: lexicon/estimate.yaml, and which groups are told of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables
from reader.tables import Entry

DEFAULT: Mapping[str, str] = {}  # no assumption changed


@dataclass(frozen=True, slots=True)
class Group:
    """Ingredients told of together, or another quantity rules speak of.

    `species` and `entries` restrict to some of them, `tissue` to fat-free tissue ("lean") or fat ("lipid"); `of` names
    the whole the share is taken of, "" for the weight used; `formula` is a quantity that is no sum of ingredients;
    `sum` adds up others, each times a factor; what is of `or_roles` counts or not, as a rule can be read either way.
    """

    id: str
    roles: frozenset[str]
    kinds: frozenset[str]
    not_kinds: frozenset[str]
    species: frozenset[str]
    not_species: frozenset[str]
    entries: frozenset[str]
    tissue: str
    of: str
    formula: str
    sum: tuple[tuple[str, float], ...]
    or_roles: frozenset[str]

    def holds(self, role: str, tissue: str, entry: Entry | None = None) -> bool:
        """Whether an amount of this role and tissue counts, of an ingredient the lexicon knows as `entry`."""
        kind, species = (entry.kind, entry.species) if entry is not None else ("", ())
        if role not in self.roles or (self.tissue and tissue != self.tissue):
            return False
        if kind in self.not_kinds or (self.kinds and kind not in self.kinds):
            return False
        if (self.species and not self.species.intersection(species)) or self.not_species.intersection(species):
            return False
        return not self.entries or (entry is not None and entry.id in self.entries)


def raw() -> dict[str, Any]:
    """lexicon/estimate.yaml as plain data."""
    found: dict[str, Any] = tables.load_raw()["estimate"]
    return found


@lru_cache(maxsize=1)
def groups() -> tuple[Group, ...]:
    """All groups in the order they are shown."""
    return tuple(map(_group, raw()["groups"]))


@lru_cache(maxsize=1)
def quantities() -> Mapping[str, Group]:
    """The groups and the other quantities rules speak of, by id."""
    return {group.id: group for group in (*groups(), *map(_group, raw()["quantities"]))}


def _group(item: Mapping[str, Any]) -> Group:
    filler = frozenset(c["role"] for c in tables.load_raw()["scoring"]["filler_load"]["counts"])
    return Group(
        item["id"],
        filler if item.get("counts") == "filler" else frozenset(item.get("roles", ())),
        frozenset(item.get("kinds", ())),
        frozenset(item.get("not_kinds", ())),
        frozenset(item.get("species", ())),
        frozenset(item.get("not_species", ())),
        frozenset(item.get("entries", ())),
        item.get("tissue", ""),
        item.get("of", ""),
        item.get("formula", ""),
        tuple((name, float(factor)) for name, factor in item.get("sum", {}).items() if name != "__line__"),
        frozenset(item.get("or_roles", ())),
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
