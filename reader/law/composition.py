"""Judges of composition: a quantity of the make-up against a limit, ratios of the panel against a comparison."""

from __future__ import annotations

from typing import Any

from reader.law.case import Case
from reader.law.front_words import concerned
from reader.law.limits import range_told, reaching, unworked, up_to
from reader.law.printed_panel import place_of_row
from reader.law.rules import Rule
from reader.law.terms import spans
from reader.law.values import CANNOT_TELL, TINY, Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.makeup.settings import Group, quantities, raw
from reader.makeup.values import Share
from reader.quantities import Interval, show
from reader.yardsticks import RATIOS, measured

_LINES = {"fat": "fat", "protein": "protein", "meat_protein": "protein"}  # which line of a panel a quantity hangs on
_ROWS_OF_RATIOS = ("fat_g", "carb_g", "protein_g")  # what a panel prints of what the ratios are made of
_NOTHING = Interval(0.0, 0.0)  # nothing of the kind is listed


def at_most(rule: Rule, case: Case) -> Ruling | None:
    """A quantity (`quantity`) that may be at most `most` percent, in a product with the mark `needs` if the rule has
    one. `assume`: the estimate takes it for granted; `says`: how it tells so.
    """
    share = _share(rule, case)
    if not isinstance(share, Share):
        return share
    most = rule.number("most")
    ruling = up_to("at_most", share, Interval(most, most), range_told(share.possible, most))
    return _or_unprinted(_or_named(ruling, share, rule, case), rule, case)


def at_most_of(rule: Rule, case: Case) -> Ruling | None:
    """A quantity (`quantity`) that may be at most `most` percent of another one, `part_of`."""
    part, whole = _share(rule, case), case.share(str(rule.values["part_of"]))
    if not isinstance(part, Share):
        return part
    if whole is None:
        return unworked(case)
    most = rule.number("most")
    low, high = whole.possible
    told = range_told(part.possible, most) | {"whole_low": show(low), "whole_high": show(high)}
    return _or_unprinted(up_to("at_most_of", part, whole.possible.times(most / 100), told), rule, case)


def at_least(rule: Rule, case: Case) -> Ruling | None:
    """A quantity (`quantity`) that must be at least `least` percent; one of which nothing is listed is too little.
    `needs`, `names`, `unless_names`: a mark and words of the front that must be there, or must not.
    """
    least = rule.number("least")
    if concerned(rule, case) and case.tissues and not _present(quantities()[str(rule.values["quantity"])], case):
        return _nothing_listed(case, least)
    share = _share(rule, case)
    if not isinstance(share, Share):
        return share
    return _or_unprinted(reaching(share, least), rule, case)


def ratios(rule: Rule, case: Case) -> Ruling | None:
    """Water and fat in proportion to protein, from the panel, against `water_to_protein`, `fat_to_protein` and
    `water_and_fat_to_protein`, for a product called by one of `names`. A comparison: what lies above is told, never
    accused.
    """
    told = measured(case.panel) if case.product.whole_pack and concerned(rule, case) else None
    if told is None:
        return None
    ratio: dict[str, Interval] = {name: getattr(told, name) for name in RATIOS}
    said: dict[str, Any] = {}
    for name, value in ratio.items():
        limit = show(rule.number(name))
        said |= {f"{name}_low": show(value.low), f"{name}_high": show(value.high), f"{name}_limit": limit}
    printed = [place_of_row(case.panel, row) for row in _ROWS_OF_RATIOS]
    found = told.water_and_fat_to_protein
    if all(value.high <= rule.number(name) for name, value in ratio.items()):
        return meets("ratios_inside", *printed, found=found, **said)
    above = any(value.low > rule.number(name) for name, value in ratio.items())
    return cannot_tell("ratios_above" if above else "ratios_open", *printed, found=found, **said)


def _share(rule: Rule, case: Case) -> Share | Ruling | None:
    """The quantity of a rule; a ruling where nothing can be worked out, None where the rule does not concern it."""
    quantity = str(rule.values["quantity"])
    if not _present(quantities()[quantity], case) or not concerned(rule, case):
        return None
    share = case.share(quantity)
    if share is not None:
        return _no_surer(share, quantity, case) if share.possible != _NOTHING else None
    return _or_unprinted(unworked(case), rule, case)


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


def _or_named(ruling: Ruling, share: Share, rule: Rule, case: Case) -> Ruling:
    """Where a limit is left open and not even a least amount follows from the label: the ingredients it is about."""
    if ruling.verdict != CANNOT_TELL or share.possible.low > TINY:
        return ruling
    group = quantities()[str(rule.values["quantity"])]
    listed = [i for i in case.own if i.entry is not None and group.holds(i.role, group.tissue, i.entry)]
    if not listed:
        return ruling
    told = range_told(share.possible, rule.number("most")) | {"names": listed_words(case, listed)}
    return cannot_tell("at_most_up_to", *spans(listed), found=share.possible, **told)


def _or_unprinted(ruling: Ruling, rule: Rule, case: Case) -> Ruling | None:
    """Where a rule is left open that hangs on a line of the panel which was not pasted: what to look for on the pack.
    Only a rule of the line itself says so; one of more than the line (fat with added water) keeps silent beside it.
    """
    if ruling.verdict != CANNOT_TELL:
        return ruling
    group = quantities()[str(rule.values["quantity"])]
    line = next((_LINES[part] for part in (group.formula, *(part for part, _ in group.sum)) if part in _LINES), None)
    if line is None or case.panel.per_100g(f"{line}_g") is not None:
        return ruling
    return cannot_tell("line_not_printed", line=line) if group.formula == line else None


def _nothing_listed(case: Case, least: float) -> Ruling:
    """Nothing of what must be there is listed: too little, unless a word was not understood or names no one meat."""
    open_words = [i for i in case.own if i.role in ("unknown", "class") or i.kind in ("unnamed", "food")]
    if open_words:
        return cannot_tell("none_listed_open", *spans(open_words), limit=show(least, 2))
    return breaks("none_listed", *spans(case.tissues), found=_NOTHING, limit=show(least, 2))


def _present(group: Group, case: Case) -> bool:
    """Whether anything of a quantity can be in the product."""
    if group.formula or group.sum:
        return bool(case.own)
    named = case.named
    if group.or_roles and not group.or_roles.isdisjoint(named):
        return True
    return any(group.holds(role, group.tissue, e) for role in group.roles if role in named for e in named[role])


JUDGES = {"at_least": at_least, "at_most": at_most, "at_most_of": at_most_of, "ratios": ratios}
