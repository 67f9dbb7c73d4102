"""Judges of the meat a label promises: what never counts as meat in a percentage, what a name asks for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from reader.facts import closed, walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.declared_meat import (
    OTHER,
    SEPARATED,
    content,
    exact,
    is_plain,
    limit_for,
    most,
    of_more_than_whole,
    percent,
    percents_told,
)
from reader.law.front_words import concerned
from reader.law.limits import reaching, unworked
from reader.law.rules import Rule
from reader.law.terms import MIXED, spans, species
from reader.law.values import BREAKS, TINY, Ruling, breaks, cannot_tell, meets
from reader.law.words import quoted
from reader.quantities import Interval, show
from reader.spans import Span

_PERHAPS_MEAT = frozenset(("by_product", "fat", "unknown"))  # what may count as meat in part


def apart(rule: Rule, case: Case) -> Ruling | None:
    """Mechanically separated meat must not be counted in a declared percentage of meat: not in that of a meat of
    `kinds` that holds it in its bracket, nor in a content printed behind one of `content_words`.
    """
    separated = [i for i in case.own if i.role == SEPARATED]
    if not separated:
        return None
    for meat in case.product.ingredients:
        inside = [] if closed(meat) else [p for p in walk(meat.parts) if p.role == SEPARATED]
        if not inside or not is_plain(meat, rule):
            continue
        said: dict[str, Any] = {"meat": case.text(meat.span), "separated": case.text(inside[0].span)}
        if meat.percent is not None:
            return breaks("apart_breaks", meat.percent_span, inside[0].span, **said, percent=show(percent(meat)))
        return cannot_tell("apart_grouped", meat.span, inside[0].span, **said)
    against = _against_content(rule, case, separated)
    return against or meets("apart_meets", *spans(separated), separated=case.text(separated[0].span))


def _against_content(rule: Rule, case: Case, separated: list[Ingredient]) -> Ruling | None:
    """A printed meat content beside the list: whether the declared meats reach it without what is no meat."""
    printed = content(rule, case)
    if printed is None:
        return None
    stated, place = printed
    own = case.product.ingredients
    meat = [i for i in own if i.role in ("meat", "fat") and i.percent is not None]
    total = sum(map(percent, meat))
    named = case.text(separated[0].span)
    values: dict[str, Any] = {"content": show(stated), "separated": named, "meat": show(total)}
    half = 0.5 * (len(meat) + len(separated) + 1)  # each of the numbers is rounded to its last place
    if total >= stated - half:
        return meets("apart_content_meets", place, *(i.percent_span for i in meat), **values)
    with_separated = total + sum(map(percent, separated))
    if abs(with_separated - stated) <= half and all(exact(i) for i in own if i.role in ("meat", SEPARATED)):
        return breaks("apart_content_breaks", place, *(i.percent_span for i in separated), **values)
    return cannot_tell("apart_content_open", place, **values)


def reserved(rule: Rule, case: Case) -> Ruling | None:
    """A name (`names`, `and_names`, `unless_names`) that promises a least share of meat, in percent: judged on what the
    list declares, on a content printed behind one of `content_words` (`no_less_words` make it a least one), else on the
    make-up (`quantity`).

    The limit goes by what the meat comes of: `pork` (of `pigs`), `birds` (and `as_birds`), `other`. Where the front
    names one animal, its meat alone has to reach it. Where only mechanically separated meat is listed, nothing counts
    as meat for certain, and the maker has to be asked. Fat listed apart may count as meat or not; of what a coat or a
    bun surrounds (`around_roles`, `around_kinds`, `around_names`), the share of the inside is not known.
    """
    meats = [i for i in case.own if i.role == "meat"]
    separated = [] if meats else [i for i in case.own if i.role == SEPARATED]
    if not (meats or separated) or not concerned(rule, case):
        return None
    limit = rule.values.get(_limit_of(meats or separated, rule))
    if limit is None:
        return None
    if separated:
        words = quoted(case, separated)
        return cannot_tell("reserved_separated", *spans(separated), names=words, limit=show(float(limit)))
    least, named = float(limit), _named_on_front(meats, case)
    ruling = (
        _by_declared(case, least, [i for i in meats if not named or named in species(i)])
        or (None if named else _by_content(rule, case, least))
        or _by_make_up(rule, case, least, named)
    )
    around = _around(rule, case) if ruling.verdict == BREAKS else None
    if around is not None:
        return cannot_tell("reserved_around", around, around=case.text(around), limit=show(least))
    return ruling


def _by_declared(case: Case, least: float, counted: list[Ingredient]) -> Ruling | None:
    declared = [] if of_more_than_whole(case) else _all_declared(case, counted)
    if not declared:
        return None
    low, high = sum(map(percent, declared)), sum(map(most, declared))
    told: dict[str, Any] = {"declared": percents_told(declared, case), "total": show(low), "limit": show(least)}
    places = [i.percent_span for i in declared]
    if low >= least - TINY:
        return meets("reserved_meets", *places, found=Interval(low, high), **told)
    if high >= least:
        return cannot_tell("reserved_no_less", *places, found=Interval(low, high), **told)
    if any(i.role in _PERHAPS_MEAT for i in case.own):
        return cannot_tell("reserved_fat", *places, found=Interval(low, 100.0), **told)
    return breaks("reserved_breaks", *places, found=Interval(low, high), **told)


def _by_content(rule: Rule, case: Case, least: float) -> Ruling | None:
    printed = content(rule, case)
    if printed is None:
        return None
    stated, place = printed
    words = case.text(place)
    told: dict[str, Any] = {"declared": f"“{words}”", "total": show(stated), "limit": show(least)}
    if stated >= least - TINY:
        return meets("reserved_meets", place, **told)
    if any(word in words.lower() for word in rule.words("no_less_words")):
        return cannot_tell("reserved_no_less", place, **told)
    return breaks("reserved_breaks", place, **told)


def _by_make_up(rule: Rule, case: Case, least: float, named: str) -> Ruling:
    share = case.share(str(rule.values["quantity"]))
    if share is None:
        return unworked(case)
    return reaching(share, least, may_meet=not named)  # of several meats the named one alone has to reach it


def _around(rule: Rule, case: Case) -> Span | None:
    """Where a coat, a bun or the oil of frying is printed: then percentages may be of the whole with it."""
    roles, kinds = rule.words("around_roles"), rule.words("around_kinds")
    listed = (i.span for i in case.terms if i.role in roles or i.kind in kinds)
    return next(listed, None) or case.setting.front.first(rule.words("around_names"))


def _limit_of(meats: Iterable[Ingredient], rule: Rule) -> str:
    """Which limit holds: that of the animals all meat is of, OTHER where they are of several."""
    every = {s for i in meats for s in (species(i) or (MIXED,))}
    limits = {limit_for(s, rule) for s in every - {MIXED} or every}  # "meat (pork)": the bracket says what it is
    return limits.pop() if len(limits) == 1 else OTHER


def _named_on_front(meats: Iterable[Ingredient], case: Case) -> str:
    """The one animal the front names of several that are listed, "" if there is no such."""
    listed = dict.fromkeys(s for i in meats for s in species(i))
    named = [s for s in listed if case.setting.front.place(s)]
    return named[0] if len(named) == 1 and len(listed) > 1 else ""


def _all_declared(case: Case, counted: list[Ingredient]) -> list[Ingredient]:
    """The ingredients whose percentages together are the counted meats; none if one of them has no percentage."""
    found, left = [], {id(i) for i in counted}
    for item in case.product.ingredients:
        inside = [id(i) for i in walk(() if closed(item) else item.parts) if id(i) in left]
        if id(item) in left or inside:
            only_meat = all(p.role == "meat" for p in walk(item.parts)) if item.parts else True
            if item.percent is None or not only_meat:
                return []
            found.append(item)
            left -= {id(item), *inside}
    return found if not left else []


JUDGES = {"apart": apart, "reserved": reserved}
