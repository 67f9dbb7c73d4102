"""Judges of what is on the list: nothing that the house bars, named meat first, a sausage at all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reader.facts import counted
from reader.house.evidence import Evidence, silence, unread_list
from reader.house.kinds import ALLOWED, Kind
from reader.house.sought import NO, PERHAPS, YES, Sought, is_of, name_words, sought
from reader.house.values import ASK, FAILS, FRONT, LABEL, MEETS, Requirement, Verdict
from reader.ingredient_tree import Ingredient
from reader.law.terms import alternatives, outright
from reader.product import PLANT, SAUSAGE, UNREADABLE
from reader.tables import Entry
from reader.wording import say

_UNDERSTOOD = frozenset(("head", "choice"))  # ways of understanding a name that are as good as outright here


def listed(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """Nothing that is barred is on the list. It fails only where a name can be nothing else, and meets only where the
    whole list was understood and nothing on it can hide what is barred.
    """
    barred = sought(requirement)
    if not barred.surely:
        return Verdict(kind.id, MEETS, say("house_anything"))
    unread = unread_list(kind, seen)
    if unread is not None:
        return unread
    bad: list[Ingredient] = []
    open_: list[Ingredient] = []
    if seen.may_name(barred.surely) or seen.may_name(barred.perhaps):
        for group in seen.groups(kind):
            found = [_of(barred, item, seen) for item in group]
            if all(f == YES for f in found) and all(map(_understood, group)):
                bad += group
            elif not all(f == NO for f in found):
                open_ += (item for item, f in zip(group, found, strict=True) if f != NO)
    if bad:
        return Verdict(kind.id, FAILS, say("house_listed", names=seen.quote(bad)))
    if open_:
        return _open(kind, barred, open_, seen)
    unsaid = silence(kind, seen)
    if unsaid is not None:
        return Verdict(kind.id, ASK, unsaid.because, unsaid.question)
    accepted = _accepted(kind, seen) if kind.takes == ALLOWED else []
    if accepted:
        return Verdict(kind.id, MEETS, say("house_allowed_listed", names=seen.quote(accepted)))
    key = "house_not_listed_additive" if kind.values.get("additive") else "house_not_listed"
    return Verdict(kind.id, MEETS, say(key))


def _open(kind: Kind, barred: Sought, items: list[Ingredient], seen: Evidence) -> Verdict:
    """Names that leave it open, or that are spelt like something barred."""
    names = seen.quote(items)
    misspelt = {i.entry.name: None for i in items if i.entry and i.entry.id in barred.surely and not _understood(i)}
    if len(misspelt) == len(items):
        because = say("house_listed_near", names=names, words=", ".join(misspelt))
    else:
        because = say("house_listed_open", names=names, reason=kind.open)
    return Verdict(kind.id, ASK, because, kind.asks.format(words=names))


def _of(barred: Sought, item: Ingredient, seen: Evidence) -> str:
    """Whether a term is barred: YES, NO or PERHAPS, over all that its name may mean."""
    if item.entry is None:
        return NO
    beside = _told_beside(item, seen) if item.entry.id in barred.perhaps else None
    if not item.match.others:  # nearly every term
        return barred.holds(item.entry, beside)
    found = {barred.holds(entry, beside) for entry in (item.entry, *item.match.others)}
    return found.pop() if len(found) == 1 else PERHAPS


def _told_beside(item: Ingredient, seen: Evidence) -> frozenset[str] | None:
    """The words that tell what a term is made of: its parts, or a note behind it; None where nothing does."""
    words = [part.entry.name if part.entry else part.printed for part in item.parts]
    words += [seen.case.text(note.span) for note in item.notes if note.kind == "origin"]
    return name_words(" ".join(words)) if words else None


def _understood(item: Ingredient) -> bool:
    return outright(item) or item.match.kind in _UNDERSTOOD


def _accepted(kind: Kind, seen: Evidence) -> list[Ingredient]:
    roles = kind.values["of"]["roles"]
    if seen.case.roles.isdisjoint(roles):
        return []
    return [i for group in seen.groups(kind) for i in group if i.role in roles]


# -- the head of the list ------------------------------------------------------------------------------------


def first_listed(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """What stands first is of a choice; `open_kinds`: kinds of the same role that leave it open."""
    unread = unread_list(kind, seen)
    if unread is not None:
        return unread
    group = _first(seen)
    if not group:
        return Verdict(kind.id, ASK, kind.open, kind.asks)
    found = [_first_is(requirement, kind, item) for item in group]
    names = seen.quote(group)
    if all(f == YES for f in found):
        return Verdict(kind.id, MEETS, say("house_first_meets", names=names))
    if all(f == NO for f in found):
        return Verdict(kind.id, FAILS, say("house_first_fails", names=names))
    return Verdict(kind.id, ASK, say("house_first_open", names=names, reason=kind.open), kind.asks)


def _first(seen: Evidence) -> tuple[Ingredient, ...]:
    """The first ingredient, with those that may stand for it."""
    terms = (i for i in seen.report.product.printed if counted(i) or (i.joiner and i.role not in ("casing", "class")))
    return next(alternatives(terms), ())


def _first_is(requirement: Requirement, kind: Kind, item: Ingredient) -> str:
    if item.entry is None or not _understood(item):
        return PERHAPS
    choice, leaving_open = kind.choices[requirement.words[0]], kind.listed("open_kinds")
    found = {_entry_is(choice, leaving_open, entry) for entry in (item.entry, *item.match.others)}
    return found.pop() if len(found) == 1 else PERHAPS


def _entry_is(choice: Mapping[str, Any], leaving_open: tuple[str, ...], entry: Entry) -> str:
    if is_of(choice, entry):
        return YES
    return PERHAPS if entry.role in choice["roles"] and entry.kind in leaving_open else NO


# -- the food ------------------------------------------------------------------------------------------------


def food(_requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """It is read as a meat sausage. A dish, and a food without known meat whose list holds words that were not
    understood, may still be one.
    """
    product = seen.report.product
    if product.food == UNREADABLE:
        return Verdict(kind.id, ASK, seen.unread, kind.asks)
    reason = say(product.reason)
    source = f"{LABEL}; {FRONT}" if product.words else LABEL
    if product.food == SAUSAGE:
        return Verdict(kind.id, MEETS, reason, source=source)
    sure = product.food == PLANT or not (seen.report.facts.unknown_terms or seen.report.facts.meat_sources)
    if sure:
        return Verdict(kind.id, FAILS, reason, source=source)
    return Verdict(kind.id, ASK, say("house_food_open", reason=reason), kind.asks, source)


JUDGES = {"first_listed": first_listed, "food": food, "listed": listed}
