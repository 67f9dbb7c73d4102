"""The door to the judges: every rule of the market, in force or not, and what it comes to for one label."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from reader.law import (
    absence,
    additives,
    allergens,
    animals_in_name,
    casing,
    claims,
    composition,
    contents,
    cure,
    declared,
    list_form,
    list_names,
    meat_content,
    meat_fat,
    mixtures,
    name_words,
    numbers,
    order,
    panel_lines,
    servings,
    statements,
)
from reader.law.case import Case
from reader.law.rules import Rule, rules_for, rules_of
from reader.law.values import BREAKS, CANNOT_TELL, NOT_APPLICABLE, NOT_IN_FORCE, Finding, Ruling
from reader.product import UNREADABLE

Judge = Callable[[Rule, Case], Ruling | None]
JUDGES: Mapping[str, Judge] = {
    **absence.JUDGES,
    **additives.JUDGES,
    **allergens.JUDGES,
    **animals_in_name.JUDGES,
    **casing.JUDGES,
    **claims.JUDGES,
    **composition.JUDGES,
    **contents.JUDGES,
    **cure.JUDGES,
    **declared.JUDGES,
    **list_form.JUDGES,
    **list_names.JUDGES,
    **meat_content.JUDGES,
    **meat_fat.JUDGES,
    **mixtures.JUDGES,
    **name_words.JUDGES,
    **numbers.JUDGES,
    **order.JUDGES,
    **panel_lines.JUDGES,
    **servings.JUDGES,
    **statements.JUDGES,
}
_NOT_VERIFIED = "not verified"


def judge(case: Case) -> tuple[Finding, ...]:
    """What each rule of the market comes to, in the order of the data files. A rule that was only remembered and never
    read may find that a label looks wrong, but says no more than "cannot tell".
    """
    docket = _docket(case.market, case.setting.on, case.classes)
    if case.product.food == UNREADABLE:
        return docket.otherwise
    found = list(docket.otherwise)
    for place, judged_by, rule in docket.judged:
        ruling = judged_by(rule, case)
        if ruling is not None:
            found[place] = _finding(rule, ruling)
    return tuple(found)


class _Docket(NamedTuple):
    """The findings of a market where no rule comes to anything, and the rules to be judged with their place there."""

    otherwise: tuple[Finding, ...]
    judged: tuple[tuple[int, Judge, Rule], ...]


@lru_cache(maxsize=1024)
def _docket(market: str, day: date | None, classes: frozenset[str]) -> _Docket:
    rules, concerned = rules_of(market), frozenset(rule.id for rule in rules_for(market, day, classes))
    otherwise = (Finding(rule, NOT_APPLICABLE if rule.holds_on(day) else NOT_IN_FORCE) for rule in rules)
    judged = ((k, JUDGES[rule.judge], rule) for k, rule in enumerate(rules) if rule.id in concerned)
    return _Docket(tuple(otherwise), tuple(judged))


def _finding(rule: Rule, ruling: Ruling) -> Finding:
    verdict = CANNOT_TELL if ruling.verdict == BREAKS and rule.status == _NOT_VERIFIED else ruling.verdict
    return Finding(rule, verdict, ruling)
