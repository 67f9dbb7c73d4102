"""Judges of what may be called meat: how much fat declared meat can hold, what never counts as meat, what a name of a
product promises of it, and which water need not be listed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from reader.facts import closed, walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.classes import birds
from reader.law.composition import concerned
from reader.law.rules import Rule, by_id
from reader.law.values import BREAKS, Ruling, breaks, cannot_tell, meets
from reader.makeup.composition import class_of
from reader.makeup.shares import bound, weighted
from reader.panel.values import PER_100G, SERVING
from reader.quantities import Interval, show
from reader.spans import Span

_SEPARATED = "mechanically_separated"
_PERHAPS_MEAT = frozenset(("by_product", "fat", "unknown"))  # what may count as meat in part
_MIXED = "mixed"  # species of what the lexicon knows as meat of any animal
_ROUNDING = 1.0  # points: a whole number stands for half a point on either side
_TINY = 1e-6


def fat_room(rule: Rule, case: Case) -> Ruling | None:
    """Printed fat against what the declared meat may hold under the word meat, with whatever else is listed.

    The printed number is taken at the low end of its rounding, less what control lets pass, before it is too much.
    """
    declared = _declared_meat(rule, case) if not case.roles & set(rule.words("dried_roles")) else []
    fat = case.panel.per_100g("fat_g")
    if not declared or fat is None or not case.product.whole_pack or _of_more_than_whole(case):
        return None
    own = case.product.ingredients
    room = weighted(bound(own, case.market, _most), [_fat_of(i, rule, case.market) for i in own]).high
    least = min(fat.low * (1 - rule.number("tolerance_percent") / 100), fat.low - rule.number("tolerance_grams"))
    printed = case.panel.stated_per_100g("fat_g") or 0.0
    alone = sum(_percent(i) * _limit(i, rule) / 100 for i in declared)
    values: dict[str, Any] = {
        "fat": show(printed),
        "alone": show(alone),
        "room": show(room),
        "declared": _told(declared, case),
    }
    spans = (*(i.percent_span for i in declared), _fat_line(case))
    if fat.high <= room + _TINY:
        return meets("fat_room_meets", *spans, found=fat, **values)
    if least > room + _TINY:
        return breaks("fat_room_breaks", *spans, found=fat, **values)
    return cannot_tell("fat_room_open", *spans, found=fat, **values, least=show(max(0.0, least)))


def lean_of_meat(rule: Rule, case: Case) -> Ruling | None:
    """How much of the declared meat is lean: no less than the limits of fat of the rule `limits_of` leave."""
    rule = by_id()[str(rule.values["limits_of"])]
    declared = _declared_meat(rule, case)
    if not declared or _of_more_than_whole(case):
        return None
    whole = sum(_percent(i) for i in declared)
    lean = sum(_percent(i) * (1 - _limit(i, rule) / 100) for i in declared)
    values = {"declared": _told(declared, case), "low": show(lean, 0), "high": show(whole, 0)}
    return cannot_tell("lean_of_meat", *(i.percent_span for i in declared), found=Interval(lean, whole), **values)


def apart(rule: Rule, case: Case) -> Ruling | None:
    """Mechanically separated meat must not be counted in a declared percentage of meat."""
    if _SEPARATED not in case.roles:
        return None
    separated = [i for i in case.own if i.role == _SEPARATED]
    if not separated:
        return None
    for whole in case.product.ingredients:
        inside = [] if closed(whole) else [p for p in walk(whole.parts) if p.role == _SEPARATED]
        if not inside or not _plain(whole, rule):
            continue
        quoted: dict[str, Any] = {"meat": case.text(whole.span), "separated": case.text(inside[0].span)}
        if whole.percent is not None:
            percent = show(_percent(whole), 1)
            return breaks("apart_breaks", whole.percent_span, inside[0].span, **quoted, percent=percent)
        return cannot_tell("apart_grouped", whole.span, inside[0].span, **quoted)
    return _against_content(rule, case, separated) or meets(
        "apart_meets", *(i.span for i in separated), separated=case.text(separated[0].span)
    )


def _against_content(rule: Rule, case: Case, separated: list[Ingredient]) -> Ruling | None:
    """A printed meat content beside the list: whether the declared meats reach it without what is no meat."""
    content = _content(rule, case)
    if content is None:
        return None
    stated, span = content
    named = case.text(separated[0].span)
    meat = [i for i in case.product.ingredients if i.role in ("meat", "fat") and i.percent is not None]
    values: dict[str, Any] = {"content": show(stated), "separated": named, "meat": show(sum(map(_percent, meat)))}
    half = 0.5 * (len(meat) + len(separated) + 1)  # each of the numbers is rounded to its last place
    if sum(map(_percent, meat)) >= stated - half:
        return meets("apart_content_meets", span, *(i.percent_span for i in meat), **values)
    with_separated = sum(_percent(i) for i in (*meat, *separated) if i.percent is not None)
    every = [i for i in case.product.ingredients if i.role in ("meat", _SEPARATED)]
    if abs(with_separated - stated) <= half and all(map(_exact, every)):
        return breaks("apart_content_breaks", span, *(i.percent_span for i in separated), **values)
    return cannot_tell("apart_content_open", span, **values)


def reserved(rule: Rule, case: Case) -> Ruling | None:
    """A name that promises a least share of meat, in percent: judged on what is declared, else on the make-up.

    The limit goes by what the meat comes of (`pork`, `birds`, `other`); where the front names one animal, its meat
    alone has to reach it. Fat listed apart may count as meat or not; of what a coat or a bun surrounds, the share of
    the inside is not known.
    """
    meats = [i for i in case.own if i.role == "meat"]
    if not meats or not concerned(rule, case):
        return None
    least = rule.values.get(_animals(meats, rule))
    if least is None:
        return None
    named = _named_on_front(meats, case)
    ruling = (
        _by_declared(case, float(least), [i for i in meats if not named or named in _species(i)])
        or (None if named else _by_content(rule, case, float(least)))
        or _by_make_up(rule, case, float(least), named)
    )
    around = _around(rule, case) if ruling.verdict == BREAKS else None
    if around is not None:
        return cannot_tell("reserved_around", around, around=case.text(around), limit=show(float(least)))
    return ruling


def _by_declared(case: Case, limit: float, counted: list[Ingredient]) -> Ruling | None:
    declared = [] if _of_more_than_whole(case) else _all_declared(case, counted)
    if not declared:
        return None
    low, high = sum(map(_percent, declared)), sum(_at_most(i) for i in declared)
    told: dict[str, Any] = {"declared": _told(declared, case), "total": show(low), "limit": show(limit)}
    spans = [i.percent_span for i in declared]
    if low >= limit - _TINY:
        return meets("reserved_meets", *spans, found=Interval(low, high), **told)
    if high >= limit:
        return cannot_tell("reserved_no_less", *spans, found=Interval(low, high), **told)
    if any(i.role in _PERHAPS_MEAT for i in case.own):
        return cannot_tell("reserved_fat", *spans, found=Interval(low, 100.0), **told)
    return breaks("reserved_breaks", *spans, found=Interval(low, high), **told)


def _by_content(rule: Rule, case: Case, limit: float) -> Ruling | None:
    content = _content(rule, case)
    if content is None:
        return None
    stated, span = content
    printed = case.text(span)
    told: dict[str, Any] = {"declared": f"“{printed}”", "total": show(stated), "limit": show(limit)}
    if stated >= limit - _TINY:
        return meets("reserved_meets", span, **told)
    if any(word in printed.lower() for word in rule.words("no_less_words")):
        return cannot_tell("reserved_no_less", span, **told)
    return breaks("reserved_breaks", span, **told)


def _by_make_up(rule: Rule, case: Case, limit: float, named: str) -> Ruling:
    share = case.share(str(rule.values["quantity"]))
    if share is None:
        return cannot_tell("contradiction" if case.makeup.clash else "not_worked_out")
    possible = share.possible
    values: dict[str, Any] = {"low": show(possible.low), "high": show(possible.high), "limit": show(limit)}
    if possible.high < limit - _TINY:
        return breaks("at_least_breaks", *(r.span for r in share.high_because), found=possible, **values)
    if possible.low >= limit - _TINY and not named:  # of several meats the named one alone has to reach it
        return meets("at_least_meets", *(r.span for r in share.low_because), found=possible, **values)
    return cannot_tell("at_least_open", found=possible, **values)


def _around(rule: Rule, case: Case) -> Span | None:
    """Where a coat, a bun or the oil of frying is printed: then percentages may be of the whole with it."""
    roles, kinds = rule.words("around_roles"), rule.words("around_kinds")
    listed = (i.span for i in case.terms if i.role in roles or i.kind in kinds)
    return next(listed, None) or case.setting.front.first(rule.words("around_names"))


def unlisted_water(rule: Rule, case: Case) -> Ruling | None:
    """Silence of a cured product about water: what it leaves possible. Raw preparations have no such let-off."""
    if not case.tissues or not case.facts.cures or case.classes & set(rule.words("raw")):
        return None
    if case.roles & {"water", "broth"}:
        return None
    return cannot_tell("water_silent", most=show(rule.number("most")))


def parts_named(rule: Rule, case: Case) -> Ruling | None:
    """Byproducts of the list against those a standard names, by lexicon id; its text was not read to the end."""
    if "by_product" not in case.roles:
        return None
    parts = [i for i in case.own if i.role == "by_product" and i.entry is not None]
    allowed = frozenset(rule.words("entries"))
    others = [i for i in parts if i.entry is not None and i.entry.id not in allowed]
    if not parts:
        return None
    if not others:
        return meets("parts_named", *(i.span for i in parts), parts=_quoted(parts, case))
    return cannot_tell("parts_not_named", *(i.span for i in others), parts=_quoted(others, case))


def _declared_meat(rule: Rule, case: Case) -> list[Ingredient]:
    """The meats of the product's own list that go by the plain word for their kind and declare a percentage."""
    declared = [i for i in case.product.ingredients if _exact(i) and _plain(i, rule)]
    return declared if not any(p.role == _SEPARATED for i in declared for p in walk(i.parts)) else []


def _plain(ingredient: Ingredient, rule: Rule) -> bool:
    entry = ingredient.entry
    if entry is None or ingredient.role != "meat" or entry.id in rule.words("not_entries"):
        return False
    return ingredient.kind in rule.words("kinds")


def _of_more_than_whole(case: Case) -> bool:
    """Whether percentages are of a product that lost weight, so that they say less of what is sold."""
    if any(n.kind == "declared_ratio" for n in case.listed.asides):
        return True
    return sum(i.percent.low for i in case.product.ingredients if i.percent is not None) > 100


def _most(ingredient: Ingredient) -> float:
    """The most of an ingredient a sausage reasonably holds, in percent (lexicon/composition.yaml)."""
    most = class_of(ingredient).most
    return 100.0 if most is None else most


def _limit(ingredient: Ingredient, rule: Rule) -> float:
    """The most fat the meat may hold, in percent of it; where several animals may be meant the largest."""
    parts = [p for p in walk(ingredient.parts) if p.role == "meat"] if not closed(ingredient) else []
    species = {s for i in (parts or (ingredient,)) for s in _species(i)}
    return max((_limit_of(s, rule) for s in species), default=rule.number("pork"))


def _limit_of(species: str, rule: Rule) -> float:
    if species in rule.words("pigs") or species == _MIXED:
        return rule.number("pork")
    return rule.number("birds") if species in birds() or species in rule.words("as_birds") else rule.number("other")


def _fat_of(ingredient: Ingredient, rule: Rule, market: str) -> Interval:
    """How much of an ingredient may be fat, 0–1."""
    if _plain(ingredient, rule):
        return Interval(0.0, _limit(ingredient, rule) / 100)
    if ingredient.parts and not closed(ingredient):
        inside = [_fat_of(p, rule, market) for p in ingredient.parts]
        return weighted(bound(ingredient.parts, market, inside=True), inside).times(0.01)
    return class_of(ingredient).per_100g("fat").times(0.01)


def _animals(meats: Iterable[Ingredient], rule: Rule) -> str:
    """Which limit holds: "pork" if all meat is of pigs, "birds" if all is of birds or rabbits, else "other"."""
    every = {s for i in meats for s in (_species(i) or (_MIXED,))}
    species = every - {_MIXED} or every  # "meat (pork)": the bracket says what it is
    if species <= set(rule.words("pigs")):
        return "pork"
    return "birds" if species <= {*birds(), *rule.words("as_birds")} else "other"


def _species(ingredient: Ingredient) -> tuple[str, ...]:
    others = (s for other in ingredient.match.others for s in other.species)
    return (*(ingredient.entry.species if ingredient.entry is not None else ()), *others)


def _named_on_front(meats: Iterable[Ingredient], case: Case) -> str:
    """The one animal the front names of several that are listed, "" if there is no such."""
    species = dict.fromkeys(s for i in meats for s in _species(i))
    named = [s for s in species if case.setting.front.place(s)]
    return named[0] if len(named) == 1 and len(species) > 1 else ""


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


def _content(rule: Rule, case: Case) -> tuple[float, Span] | None:
    """A meat content printed beside the list, in percent."""
    words = rule.words("content_words")
    for note in case.listed.asides:
        if note.kind == "content" and note.value and case.text(note.span).lower().startswith(words):
            return float(note.value), note.span
    return None


def _exact(ingredient: Ingredient) -> bool:
    """Whether one number is declared, and not a least or a most."""
    printed = ingredient.percent
    return printed is not None and printed.high - printed.low <= _ROUNDING


def _percent(ingredient: Ingredient) -> float:
    """The percentage as printed, the low end of what is no single number."""
    printed = ingredient.percent or Interval(0.0, 0.0)
    return (printed.low + printed.high) / 2 if _exact(ingredient) else math.floor(printed.low + _ROUNDING / 2)


def _at_most(ingredient: Ingredient) -> float:
    printed = ingredient.percent
    return _percent(ingredient) if printed is None or _exact(ingredient) else printed.high


def _told(declared: Iterable[Ingredient], case: Case) -> str:
    return ", ".join(
        f"“{case.text(i.span)}” {show(_percent(i), 2)} %{'' if _exact(i) else ' or more'}" for i in declared
    )


def _quoted(ingredients: Iterable[Ingredient], case: Case) -> str:
    return ", ".join(dict.fromkeys(f"“{case.text(i.span)}”" for i in ingredients))


def _fat_line(case: Case) -> Span | None:
    for basis in (PER_100G, SERVING):
        column = case.panel.column(basis)
        found = column.get("fat_g") if column else None
        if found is not None:
            return found.span
    return None


JUDGES = {
    "apart": apart,
    "fat_room": fat_room,
    "lean_of_meat": lean_of_meat,
    "parts_named": parts_named,
    "reserved": reserved,
    "unlisted_water": unlisted_water,
}
