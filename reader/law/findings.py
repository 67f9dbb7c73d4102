"""The door to the judges: every rule of the market, in force or not, and what it comes to for one label."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from reader.law import composition
from reader.law.case import Case
from reader.law.rules import Rule, rules_of
from reader.law.values import BREAKS, CANNOT_TELL, NOT_APPLICABLE, NOT_IN_FORCE, Finding, Ruling
from reader.product import UNREADABLE

Judge = Callable[[Rule, Case], Ruling | None]
JUDGES: Mapping[str, Judge] = {**composition.JUDGES}
_NOT_VERIFIED = "not verified"


def judge(case: Case) -> tuple[Finding, ...]:
    """What each rule of the market comes to, in the order of the data files. A rule that was only remembered and never
    read may find that a label looks wrong, but says no more than "cannot tell".
    """
    readable = case.product.food != UNREADABLE
    found = []
    for rule in rules_of(case.market):
        if not rule.holds_on(case.setting.on):
            found.append(Finding(rule, NOT_IN_FORCE))
            continue
        ruling = JUDGES[rule.judge](rule, case) if readable and rule.concerns(case.classes) else None
        found.append(_finding(rule, ruling))
    return tuple(found)


def _finding(rule: Rule, ruling: Ruling | None) -> Finding:
    if ruling is None:
        return Finding(rule, NOT_APPLICABLE)
    verdict = CANNOT_TELL if ruling.verdict == BREAKS and rule.status == _NOT_VERIFIED else ruling.verdict
    return Finding(rule, verdict, ruling)
