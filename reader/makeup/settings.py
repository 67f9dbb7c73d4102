"""Settings of the estimate as typed values: lexicon/estimate.yaml, and which groups are told of."""

from __future__ import annotations

from collections.abc import Mapping
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


@lru_cache(maxsize=8)
def free_below(market: str) -> tuple[float, str]:
    """(share in percent below which ingredients may follow in any order, its source); (0, "") where there is none."""
    for rule in raw()["free_order"]:
        if rule["market"] == market:
            return float(rule["most"]), str(rule["source"])
    return 0.0, ""


@lru_cache(maxsize=1)
def tissue_worths() -> dict[tuple[str, str], float]:
    """How far a tissue is named muscle meat, 0–1, by role and kind (lexicon/scoring.yaml)."""
    return {(t["role"], t["kind"]): float(t["worth"]) for t in tables.load_raw()["scoring"]["meat_source"]["tissue"]}
