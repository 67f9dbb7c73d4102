"""Judges of the fat that declared meat can hold under the word meat, and of the lean it is then."""

from __future__ import annotations

from typing import Any

from reader.facts import closed, walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.declared_meat import (
    PORK,
    declared_meat,
    is_plain,
    limit_for,
    of_more_than_whole,
    percent,
    percents_told,
)
from reader.law.printed_panel import place_of_row
from reader.law.rules import Rule, by_id
from reader.law.terms import of_any_animal, species
from reader.law.values import TINY, Ruling, breaks, cannot_tell, meets
from reader.makeup.composition import class_of
from reader.makeup.shares import bound, weighted
from reader.quantities import Interval, show

_FAT = "fat_g"


def fat_room(rule: Rule, case: Case) -> Ruling | None:
    """Printed fat against what the declared meat (of `kinds`, not `not_entries`) may hold under the word meat, with
    whatever else is listed: `pork` (of `pigs`), `birds` (and `as_birds`) and `other`, in percent of the meat.

    The printed number is taken at the low end of its rounding, less what control lets pass (`tolerance_percent` of it
    or `tolerance_grams`), before it is too much. Lists with `dried_roles` are left alone.
    """
    declared = declared_meat(rule, case) if case.roles.isdisjoint(rule.words("dried_roles")) else []
    fat = case.panel.per_100g(_FAT)
    if not declared or fat is None or not case.product.whole_pack or of_more_than_whole(case):
        return None
    own = case.product.ingredients
    room = weighted(bound(own, case.market, _reasonable), [_fat_of(i, rule, case.market) for i in own]).high
    least = min(fat.low * (1 - rule.number("tolerance_percent") / 100), fat.low - rule.number("tolerance_grams"))
    values: dict[str, Any] = {
        "fat": show(case.panel.stated_per_100g(_FAT) or 0.0),
        "alone": show(sum(percent(i) * _limit(i, rule) / 100 for i in declared)),
        "room": show(room),
        "declared": percents_told(declared, case),
    }
    spans = (*(i.percent_span for i in declared), place_of_row(case.panel, _FAT))
    if fat.high <= room + TINY:
        return meets("fat_room_meets", *spans, found=fat, **values)
    if least > room + TINY:
        return breaks("fat_room_breaks", *spans, found=fat, **values)
    return cannot_tell("fat_room_open", *spans, found=fat, **values, least=show(max(0.0, least)))


def lean_of_meat(rule: Rule, case: Case) -> Ruling | None:
    """How much of the declared meat is lean: no less than the limits of fat of the rule `limits_of` leave."""
    limits = by_id()[str(rule.values["limits_of"])]
    declared = declared_meat(limits, case)
    if not declared or of_more_than_whole(case):
        return None
    whole = sum(map(percent, declared))
    lean = sum(percent(i) * (1 - _limit(i, limits) / 100) for i in declared)
    values: dict[str, Any] = {"declared": percents_told(declared, case), "low": show(lean, 0), "high": show(whole, 0)}
    return cannot_tell("lean_of_meat", *(i.percent_span for i in declared), found=Interval(lean, whole), **values)


def _reasonable(ingredient: Ingredient) -> float:
    """The most of an ingredient a sausage reasonably holds, in percent (lexicon/composition.yaml)."""
    most = class_of(ingredient).most
    return 100.0 if most is None else most


def _limit(ingredient: Ingredient, rule: Rule) -> float:
    """The most fat the meat may hold, in percent of it; where several animals may be meant the largest."""
    parts = [p for p in walk(ingredient.parts) if p.role == "meat"] if not closed(ingredient) else []
    meats = parts or [ingredient]
    if any(map(of_any_animal, meats)):
        return rule.number(PORK)
    return max((rule.number(limit_for(s, rule)) for i in meats for s in species(i)), default=rule.number(PORK))


def _fat_of(ingredient: Ingredient, rule: Rule, market: str) -> Interval:
    """How much of an ingredient may be fat, 0–1."""
    if is_plain(ingredient, rule):
        return Interval(0.0, _limit(ingredient, rule) / 100)
    if ingredient.parts and not closed(ingredient):
        inside = [_fat_of(p, rule, market) for p in ingredient.parts]
        return weighted(bound(ingredient.parts, market, inside=True), inside).times(0.01)
    return class_of(ingredient).per_100g("fat").times(0.01)


JUDGES = {"fat_room": fat_room, "lean_of_meat": lean_of_meat}
