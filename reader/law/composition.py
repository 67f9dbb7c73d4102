"""Judges of composition: a quantity of the make-up against a limit.

A rule is broken only where the whole possible range lies beyond its limit.
"""

from __future__ import annotations

from typing import Any

from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.makeup.settings import Group, quantities, raw
from reader.makeup.values import Share
from reader.quantities import Interval, show
from reader.spans import Span
from reader.yardsticks import RATIOS, measured

_TINY = 1e-6
_LINES = {"fat": "fat", "protein": "protein", "meat_protein": "protein"}  # which line of a panel a quantity hangs on
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
    return _unprinted(rule, case) or cannot_tell("at_most_open", found=share.possible, **values)


def at_least(rule: Rule, case: Case) -> Ruling | None:
    """A quantity that must be at least `least` percent; one of which nothing is listed is too little."""
    least = rule.number("least")
    if concerned(rule, case) and case.tissues and not _present(quantities()[str(rule.values["quantity"])], case):
        return _nothing_listed(case, least)
    share = _share(rule, case)
    if not isinstance(share, Share):
        return share
    values = _values(share.possible, least)
    if share.possible.low >= least - _TINY:
        return meets("at_least_meets", *_places(share, low=True), found=share.possible, **values)
    if share.possible.high < least - _TINY:
        return breaks("at_least_breaks", *_places(share, low=False), found=share.possible, **values)
    return _unprinted(rule, case) or cannot_tell("at_least_open", found=share.possible, **values)


def at_most_of(rule: Rule, case: Case) -> Ruling | None:
    """A quantity that may be at most `most` percent of another one, `part_of`."""
    part, whole = _share(rule, case), case.share(str(rule.values["part_of"]))
    if not isinstance(part, Share):
        return part
    if whole is None:
        return cannot_tell("not_worked_out")
    most = rule.number("most")
    room = whole.possible.times(most / 100)
    values = _values(part.possible, most) | {
        "whole_low": show(whole.possible.low, 1),
        "whole_high": show(whole.possible.high, 1),
    }
    if part.possible.high <= room.low + _TINY:
        return meets("at_most_of_meets", *_places(part, low=False), found=part.possible, **values)
    if part.possible.low > room.high + _TINY:
        return breaks("at_most_of_breaks", *_places(part, low=True), found=part.possible, **values)
    return _unprinted(rule, case) or cannot_tell("at_most_of_open", found=part.possible, **values)


def ratios(rule: Rule, case: Case) -> Ruling | None:
    """Water and fat in proportion to protein, from the panel. A comparison: what lies above is told, never accused."""
    told = measured(case.panel) if case.product.whole_pack and concerned(rule, case) else None
    if told is None:
        return None
    within: list[bool] = []
    said: dict[str, Any] = {}
    for name in RATIOS:
        value: Interval = getattr(told, name)
        limit = rule.number(name)
        within.append(value.high <= limit)
        said |= {f"{name}_low": show(value.low), f"{name}_high": show(value.high), f"{name}_limit": show(limit)}
    sum_of_both = told.water_and_fat_to_protein
    if all(within):
        return meets("ratios_inside", *_panel_places(case), found=sum_of_both, **said)
    above = any(getattr(told, name).low > rule.number(name) for name in RATIOS)
    return cannot_tell(f"ratios_{'above' if above else 'open'}", *_panel_places(case), found=sum_of_both, **said)


def concerned(rule: Rule, case: Case) -> bool:
    """Whether the marks and words of the front a rule asks for are there: `needs` a mark, `names` one of some words,
    `and_names` one of some others, `unless_names` none of these.
    """
    needs, front = rule.values.get("needs"), case.setting.front
    if needs and needs not in case.classes:
        return False
    if rule.words("names") and not front.holds(rule.words("names")):
        return False
    if rule.words("and_names") and not front.holds(rule.words("and_names")):
        return False
    return not front.holds(rule.words("unless_names"))


def _share(rule: Rule, case: Case) -> Share | Ruling | None:
    """The quantity of a rule; a ruling where nothing can be worked out, None where the rule does not concern it."""
    quantity = str(rule.values["quantity"])
    if not _present(quantities()[quantity], case) or not concerned(rule, case):
        return None
    share = case.share(quantity)
    if share is not None:
        return _no_surer(share, quantity, case) if share.possible != _NOTHING else None
    return _unprinted(rule, case) or cannot_tell("contradiction" if case.makeup.clash else "not_worked_out")


def _no_surer(share: Share, quantity: str, case: Case) -> Share:
    """What the order of the list or the panel alone says, so that it never says more than the estimate would: a printed
    number gets the room it has there, and the low end of a group, which rests on usual doses, goes.
    """
    if case.makeup.quantity(quantity) is not None:
        return share
    found = share.possible
    if not quantities()[quantity].formula:
        return Share(Interval(0.0, found.high))
    tolerance = raw()["tolerance"]
    percent = float(tolerance["choices"][tolerance["default"]])
    return Share(Interval(found.low * (1 - percent / 100), found.high * (1 + percent / 100)))


def _unprinted(rule: Rule, case: Case) -> Ruling | None:
    """Where a rule of fat or protein is left open because the panel was not pasted: what to look for on the pack."""
    line = _LINES.get(quantities()[str(rule.values["quantity"])].formula)
    if line is None or case.panel.per_100g(f"{line}_g") is not None:
        return None
    return cannot_tell("line_not_printed", line=line)


def _nothing_listed(case: Case, least: float) -> Ruling:
    """Nothing of what must be there is listed: too little, unless a word was not understood or names no one meat."""
    open_words = [i for i in case.own if i.role in ("unknown", "class") or i.kind in ("unnamed", "food")]
    if open_words:
        return cannot_tell("none_listed_open", *(i.span for i in open_words), limit=show(least, 2))
    return breaks("none_listed", *(i.span for i in case.tissues), found=_NOTHING, limit=show(least, 2))


def _present(group: Group, case: Case) -> bool:
    """Whether anything of a quantity can be in the product."""
    if group.formula or group.sum:
        return bool(case.own)
    named = case.named
    if group.or_roles and not group.or_roles.isdisjoint(named):
        return True
    return any(group.holds(role, group.tissue, e) for role in group.roles if role in named for e in named[role])


def _values(possible: Interval, limit: float) -> dict[str, str]:
    least = max(0.0, possible.low)  # lean meat holds less water than the formula of added water grants it
    return {"low": show(least, 1), "high": show(possible.high, 1), "limit": show(limit, 2)}


def _places(share: Share, *, low: bool) -> tuple[Span, ...]:
    reasons = share.low_because if low else share.high_because
    return tuple(reason.span for reason in reasons if reason.span is not None)


def _panel_places(case: Case) -> tuple[Span, ...]:
    """Where the panel prints what the ratios are made of."""
    lines = ("protein_g", "fat_g", "carb_g")
    return tuple(
        a.span for c in case.panel.columns[:1] for a in c.amounts if a.span is not None and a.nutrient in lines
    )


JUDGES = {"at_most": at_most, "at_least": at_least, "at_most_of": at_most_of, "ratios": ratios}
