"""Judges of composition: a quantity of the make-up against a limit.

A rule is broken only where the whole possible range lies beyond its limit.
"""

from __future__ import annotations

from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.makeup.settings import Group, quantities
from reader.makeup.values import Share
from reader.quantities import Interval, show
from reader.spans import Span
from reader.tables import Entry

_TINY = 1e-6
_NOTHING = Interval(0.0, 0.0)  # nothing of the kind is listed


def at_most(rule: Rule, case: Case) -> Ruling | None:
    """A quantity that may be at most `most` percent."""
    most = rule.number("most")
    share = _share(rule, case)
    if not isinstance(share, Share):
        return share
    values = _values(share.possible, most)
    if share.possible.high <= most + _TINY:
        return meets("at_most_meets", *_places(share, low=False), found=share.possible, **values)
    if share.possible.low > most + _TINY:
        return breaks("at_most_breaks", *_places(share, low=True), found=share.possible, **values)
    return cannot_tell("at_most_open", found=share.possible, **values)


def at_least(rule: Rule, case: Case) -> Ruling | None:
    """A quantity that must be at least `least` percent."""
    least = rule.number("least")
    share = _share(rule, case)
    if not isinstance(share, Share):
        return share
    values = _values(share.possible, least)
    if share.possible.low >= least - _TINY:
        return meets("at_least_meets", *_places(share, low=True), found=share.possible, **values)
    if share.possible.high < least - _TINY:
        return breaks("at_least_breaks", *_places(share, low=False), found=share.possible, **values)
    return cannot_tell("at_least_open", found=share.possible, **values)


def _share(rule: Rule, case: Case) -> Share | Ruling | None:
    """The quantity of a rule; a ruling where nothing can be worked out, None where the rule does not concern it."""
    needs, quantity = rule.values.get("needs"), str(rule.values["quantity"])
    if (needs and needs not in case.classes) or not _present(quantities()[quantity], case):
        return None
    share = case.share(quantity)
    if share is not None:
        return share if share.possible != _NOTHING else None
    return cannot_tell("contradiction" if case.makeup.clash else "not_worked_out")


def _present(group: Group, case: Case) -> bool:
    """Whether anything of a quantity can be in the product."""
    if group.formula or group.sum:
        return bool(case.own)
    return any(group.holds(entry.role, group.tissue, entry) for i in case.own for entry in _named(i))


def _named(ingredient: Ingredient) -> tuple[Entry, ...]:
    entry = ingredient.match.entry
    return (*((entry,) if entry is not None else ()), *ingredient.match.others)


def _values(possible: Interval, limit: float) -> dict[str, str]:
    return {"low": show(possible.low, 1), "high": show(possible.high, 1), "limit": show(limit, 2)}


def _places(share: Share, *, low: bool) -> tuple[Span, ...]:
    reasons = share.low_because if low else share.high_because
    return tuple(reason.span for reason in reasons if reason.span is not None)


JUDGES = {"at_most": at_most, "at_least": at_least}
