"""The rules of lexicon/standards/ as values: what a market's law says, since when, and where it is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from reader import tables

_PREFIX = "standards/"
_OWN = frozenset((
    "id", "title", "rule", "judge", "markets", "classes", "unless", "consequence", "source", "section", "status",
    "from", "to", "assume", "verdicts", "note", "__line__",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `classes`: product classes it is written for, () for all; `unless`: those it leaves out. `values`: what
    its judge needs to know, as printed in the data file. `begins` and `ends`: the first and last day it holds, None
    where no date is known. `assumed`: whether the estimate takes it for granted. `verdicts`: those it can come to.
    """

    id: str
    title: str
    text: str  # what the rule says, in our words
    judge: str
    markets: tuple[str, ...]
    classes: frozenset[str]
    unless: frozenset[str]
    values: Mapping[str, Any]
    consequence: str
    source: str
    section: str
    status: str
    begins: date | None
    ends: date | None
    assumed: bool
    verdicts: tuple[str, ...]
    file: str

    def number(self, name: str) -> float:
        """A number of the rule, in the unit that stands beside it in the data file."""
        return float(self.values[name])

    def words(self, name: str) -> tuple[str, ...]:
        """A list of words of the rule, () if it has none of that name."""
        found: tuple[str, ...] = self.values.get(name) or ()
        return found

    def concerns(self, classes: frozenset[str]) -> bool:
        """Whether it is written for a product of these classes."""
        return (not self.classes or bool(self.classes & classes)) and not self.unless & classes

    def holds_on(self, day: date | None) -> bool:
        """Whether it holds on a day; without a day, whether it is among the rules that hold now as far as known."""
        if day is None:
            return self.ends is None
        return (self.begins is None or self.begins <= day) and (self.ends is None or day <= self.ends)


@lru_cache(maxsize=1)
def all_rules() -> tuple[Rule, ...]:
    """Every rule of the lexicon, by file and in the order of its lines."""
    raw = tables.load_raw()
    return tuple(
        _rule(item, name.removeprefix(_PREFIX))
        for name in sorted(raw)
        if name.startswith(_PREFIX)
        for item in raw[name].get("rules", ())
    )


@lru_cache(maxsize=8)
def rules_of(market: str) -> tuple[Rule, ...]:
    """The rules of a market."""
    return tuple(rule for rule in all_rules() if market in rule.markets)


@lru_cache(maxsize=1024)
def rules_for(market: str, day: date | None, classes: frozenset[str]) -> tuple[Rule, ...]:
    """The rules of a market that hold on a day and are written for a product of these classes."""
    return tuple(rule for rule in rules_of(market) if rule.holds_on(day) and rule.concerns(classes))


@lru_cache(maxsize=1)
def by_id() -> Mapping[str, Rule]:
    """The rules by their id."""
    return {rule.id: rule for rule in all_rules()}


def _rule(raw: Mapping[str, Any], file: str) -> Rule:
    values = {key: tuple(v) if isinstance(v, list) else v for key, v in raw.items() if key not in _OWN}
    plain = {key: value for key, value in values.items() if isinstance(value, str)}
    return Rule(
        id=raw["id"],
        title=raw["title"],
        text=raw["rule"].format(**plain),
        judge=raw["judge"],
        markets=tuple(raw["markets"]),
        classes=frozenset(raw.get("classes", ())),
        unless=frozenset(raw.get("unless", ())),
        values=values,
        consequence=raw["consequence"],
        source=raw["source"],
        section=raw["section"],
        status=raw["status"],
        begins=_day(raw.get("from")),
        ends=_day(raw.get("to")),
        assumed=bool(raw.get("assume")),
        verdicts=tuple(raw.get("verdicts", ("meets", "breaks", "cannot tell"))),
        file=file,
    )


def _day(printed: str | None) -> date | None:
    return date.fromisoformat(printed) if printed else None
