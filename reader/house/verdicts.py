"""The door to the judges: what a label comes to for each requirement of a house."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from reader.house import allergens, casings, findings, listed, panel_amounts, prices, shares
from reader.house.evidence import Evidence
from reader.house.kinds import Kind, kinds
from reader.house.values import PANEL, PRICE, Requirement, Specification, Verdict
from reader.price import Price
from reader.product import DISH, OTHER, PLANT, SAUSAGE, UNREADABLE
from reader.report import Report
from reader.wording import say

Judge = Callable[[Requirement, Kind, Evidence], Verdict]
JUDGES: Mapping[str, Judge] = {
    **allergens.JUDGES,
    **casings.JUDGES,
    **findings.JUDGES,
    **listed.JUDGES,
    **panel_amounts.JUDGES,
    **prices.JUDGES,
    **shares.JUDGES,
}
_ABOUT_THE_FOOD = "food"  # the judge whose sentence tells of the food anyway
_FOODS = {PLANT: "house_food_plant", DISH: "house_food_dish", OTHER: "house_food_other"}
_OF_ANY_FOOD = frozenset((PANEL, PRICE))


def judge(report: Report, price: Price, specification: Specification) -> tuple[Verdict, ...]:
    """One verdict for each requirement, in the order of the specification.

    Whatever was pasted gives verdicts; a requirement of an unknown kind, or one that lacks what its kind takes, raises
    (specification.faults tells them beforehand).
    """
    seen = Evidence(report, price)
    return tuple(_judged(requirement, seen) for requirement in specification.requirements)


def _judged(requirement: Requirement, seen: Evidence) -> Verdict:
    kind = kinds()[requirement.kind]
    verdict = JUDGES[kind.judge](requirement, kind, seen)
    food = seen.report.product.food
    if food in (SAUSAGE, UNREADABLE) or kind.judge == _ABOUT_THE_FOOD or verdict.source in _OF_ANY_FOOD:
        return verdict
    remark = say("house_no_sausage", name=say(_FOODS[food]))
    return replace(verdict, because=f"{verdict.because} {remark}")
