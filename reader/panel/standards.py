"""What panels refer to: the day of their percentages, the factors of their energy, the limits of the checks.

All of it is data: lexicon/standards/*_panel.yaml and lexicon/sodium.yaml.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from reader import tables

MARKETS = ("US", "CA", "EU", "UK", "AU")
_FILES = ("us_panel", "ca_panel", "eu_panel", "au_panel")


class DayReference(NamedTuple):
    """One table of amounts a day, by nutrient in its own unit."""

    id: str
    form: str
    values: dict[str, float]
    status: str


class EnergyFactors(NamedTuple):
    """Energy per gram of each nutrient, in the unit of `energy` (energy_kj or energy_kcal)."""

    id: str
    energy: str
    values: dict[str, float]
    fibre_may_be_left_out: bool
    status: str


class SodiumDay(NamedTuple):
    """One reference for sodium a day, in mg, and the markets where a serving is compared with it."""

    id: str
    value: float
    name: str
    who: str
    markets: tuple[str, ...]
    status: str
    source: str


def _values(raw: dict[str, Any]) -> dict[str, float]:
    return {key: float(value) for key, value in raw.items() if key != "__line__"}


def _all(section: str) -> list[dict[str, Any]]:
    raw = tables.load_raw()
    return [item for file in _FILES for item in raw[f"standards/{file}"][section]]


@lru_cache(maxsize=8)
def day_references(market: str) -> tuple[DayReference, ...]:
    """The tables of daily amounts a panel of this market may use, newest first; () when none is known."""
    return tuple(
        DayReference(r["id"], r["form"], _values(r["values"]), r["status"])
        for r in _all("day_references")
        if r["market"] == market
    )


@lru_cache(maxsize=8)
def energy_factors(market: str) -> tuple[EnergyFactors, ...]:
    """How energy may be worked out in this market."""
    return tuple(
        EnergyFactors(r["id"], r["energy"], _values(r["values"]), bool(r.get("fibre_may_be_left_out")), r["status"])
        for r in _all("energy_factors")
        if r["market"] == market
    )


@lru_cache(maxsize=8)
def percent_checked(market: str) -> tuple[str, ...]:
    """The rows whose percentage of a day may be checked in this market."""
    file = "eu_panel" if market in ("EU", "UK") else f"{market.lower()}_panel"
    return tuple(tables.load_raw()[f"standards/{file}"]["percent_checked"])


@lru_cache(maxsize=1)
def numbers() -> dict[str, float]:
    """The numbers of any_panel.yaml by id; each has its unit there."""
    return {item["id"]: float(item["value"]) for item in tables.load_raw()["standards/any_panel"]["numbers"]}


@lru_cache(maxsize=1)
def sodium_days() -> tuple[SodiumDay, ...]:
    """The references for sodium a day of lexicon/sodium.yaml, in mg, in the order they are shown."""
    return tuple(
        SodiumDay(r["id"], float(r["value"]), r["name"], r["who"], tuple(r["markets"]), r["status"], r["source"])
        for r in tables.load_raw()["sodium"]["days"]
    )


@lru_cache(maxsize=8)
def sodium_days_of(market: str) -> tuple[SodiumDay, ...]:
    """The days a serving of this market is compared with."""
    return tuple(day for day in sodium_days() if market in day.markets)
