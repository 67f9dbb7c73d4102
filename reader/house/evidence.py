"""What a judge may look at for one label, gathered once: report, price, and what the list leaves unsaid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

from reader import wordforms
from reader.facts import closed
from reader.house.kinds import Kind, raw
from reader.house.values import ASK, Verdict
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.terms import alternatives
from reader.law.words import quoted
from reader.price import Price
from reader.product import UNREADABLE
from reader.report import Report
from reader.wording import say

_UNREAD = frozenset(("empty", "language", "no_statement"))  # kinds of problems that say why a list was not read


@dataclass(frozen=True)
class Evidence:
    """One label before the house."""

    report: Report
    price: Price

    @property
    def case(self) -> Case:
        """What the judges of the law saw."""
        return self.report.case

    @cached_property
    def unread(self) -> str:
        """The sentence that says why there is no list to judge by; "" where one was read."""
        if self.report.product.food != UNREADABLE:
            return ""
        told = (p.message for p in self.report.problems if p.kind in _UNREAD)
        return next(told, say(self.report.product.reason))

    @cached_property
    def cut_short(self) -> bool:
        """Whether the list may go on beyond what was read."""
        return any(p.kind in raw()["cut_short"] for p in self.report.problems)

    @cached_property
    def everything(self) -> tuple[tuple[Ingredient, ...], ...]:
        """All terms of all lists of the pack at any depth, those that may stand for one another together."""
        return tuple(g for s in self.report.listed.sections for g in _grouped(s.ingredients, closed_too=True))

    @cached_property
    def own(self) -> tuple[tuple[Ingredient, ...], ...]:
        """The same of the sausage itself, without what is inside a cheese, a bread and the like."""
        return tuple(_grouped(self.report.product.printed, closed_too=False))

    @cached_property
    def _entries(self) -> frozenset[str]:
        """Ids of all that any term may be."""
        return frozenset(e.id for g in self.everything for i in g for e in (i.entry, *i.match.others) if e is not None)

    def may_name(self, ids: frozenset[str]) -> bool:
        """Whether any term may be one of some lexicon entries: a quick look."""
        return not self._entries.isdisjoint(ids)

    def groups(self, kind: Kind) -> tuple[tuple[Ingredient, ...], ...]:
        """The terms a kind of requirement is about."""
        return self.own if kind.values.get("own") else self.everything

    def quote(self, ingredients: Iterable[Ingredient]) -> str:
        """Printed names, each once and in quotes."""
        return quoted(self.case, ingredients)

    @property
    def unknown_terms(self) -> tuple[Ingredient, ...]:
        """All terms that were not understood."""
        return tuple(i for i in self.case.terms if i.role == "unknown")

    def unknown(self, kind: Kind) -> tuple[Ingredient, ...]:
        """The terms that were not understood and could be what a kind is about: what stands behind the word of a class
        of additives is no food.
        """
        additive = bool(kind.values.get("additive"))
        return tuple(i for i in self._unknown(kind) if additive or not i.class_word)

    def _unknown(self, kind: Kind) -> tuple[Ingredient, ...]:
        if not self.report.facts.unknown_terms:
            return ()
        return tuple(i for group in self.groups(kind) for i in group if i.role == "unknown")

    def silent_compounds(self, kind: Kind) -> tuple[Ingredient, ...]:
        """The ingredients that are made of others, without their parts, in which what a kind is about may be."""
        return self._compounds(kind.listed("hidden_in"), self.groups(kind))

    def _compounds(self, names: tuple[str, ...], groups: tuple[tuple[Ingredient, ...], ...]) -> tuple[Ingredient, ...]:
        wanted = _compounds(names)
        if not names or self.case.roles.isdisjoint(role for role, _ in wanted):
            return ()
        made_of_others = (i for group in groups for i in group if not i.parts)
        return tuple(i for i in made_of_others if (i.role, "") in wanted or (i.role, i.kind) in wanted)

    def bare_classes(self, kind: Kind) -> tuple[Ingredient, ...]:
        """Words of classes without a name behind them that may stand for what a kind is about."""
        if "class" not in self.case.roles:
            return ()
        wanted = {wordforms.key(words) for words in kind.listed("class_words")}
        bare = (i for i in self.case.terms if i.role == "class" and not i.parts)
        return tuple(i for i in bare if wordforms.key(i.printed) in wanted)


def _grouped(siblings: tuple[Ingredient, ...], *, closed_too: bool) -> Iterator[tuple[Ingredient, ...]]:
    for group in alternatives(i for i in siblings if i.role != "casing"):
        yield group
        for item in group:
            if item.parts and (closed_too or not closed(item)):
                yield from _grouped(item.parts, closed_too=closed_too)


@lru_cache(maxsize=64)
def _compounds(names: tuple[str, ...]) -> frozenset[tuple[str, str]]:
    """Roles with kinds, "" for all kinds, of the compounds of these ids."""
    chosen = (c for c in raw()["compounds"] if c["id"] in names)
    return frozenset((role, kind) for c in chosen for role in c["roles"] for kind in (c["kinds"] or ("",)))


class Silence(NamedTuple):
    """Why it counts for nothing that a list does not name something, and what to ask."""

    because: str
    question: str


def silence(kind: Kind, seen: Evidence) -> Silence | None:
    """Why a list that does not name something may still hold it; None where its silence counts."""
    unknown = seen.unknown(kind)
    if unknown:
        names = seen.quote(unknown)
        return Silence(say("house_unknown", names=names), say("house_unknown_question", names=names))
    classes = seen.bare_classes(kind)
    if classes:
        names = seen.quote(classes)
        return Silence(say("house_class", names=names), kind.asks.format(words=names))
    compounds = seen.silent_compounds(kind)
    if compounds:
        names = seen.quote(compounds)
        return Silence(say("house_compound", names=names), say("house_compound_question", names=names))
    if seen.cut_short:
        return Silence(say("house_list_cut"), say("house_list_unread_question"))
    return None


def unread_list(kind: Kind, seen: Evidence) -> Verdict | None:
    """What every requirement on the list comes to where there is none to read; None where there is."""
    if not seen.unread:
        return None
    return Verdict(kind.id, ASK, seen.unread, say("house_list_unread_question"))
