"""Judges of the panel: an amount at most or at least so much, by all that its printed number can stand for."""

from __future__ import annotations

from reader.house.evidence import Evidence
from reader.house.kinds import Kind, raw
from reader.house.values import ASK, FAILS, MEETS, PANEL, Requirement, Verdict
from reader.law.values import TINY
from reader.panel.values import PER_100G
from reader.quantities import Interval, show
from reader.wording import say

_MG, _G = 0, 1  # decimals shown


def at_most(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """An amount that may be at most the limit; `nutrient` names the row with its unit, `basis` says in what."""
    return _judged(requirement, kind, seen, most=True)


def at_least(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """An amount that has to be at least the limit, as above."""
    return _judged(requirement, kind, seen, most=False)


def _judged(requirement: Requirement, kind: Kind, seen: Evidence, *, most: bool) -> Verdict:
    found = _amount(kind, seen)
    if found is None:
        key = "house_panel_none" if seen.report.panel.empty or not _elsewhere(kind, seen) else "house_panel_weight"
        return Verdict(kind.id, ASK, say(key), kind.asks, PANEL)
    doubt = _doubt(kind, seen)
    if doubt:
        return Verdict(kind.id, ASK, say("house_panel_doubt", reason=doubt), kind.asks, PANEL)
    limit = requirement.limit
    assert limit is not None  # a kind that takes a limit has one (specification.checked)
    below, above = found.high <= limit + TINY, found.low >= limit - TINY
    beyond = found.low > limit + TINY if most else found.high < limit - TINY
    end = "most" if most else "least"
    if below if most else above:
        return Verdict(kind.id, MEETS, _told(f"house_panel_{end}_meets", kind, seen, found, limit), source=PANEL)
    if beyond:
        return Verdict(kind.id, FAILS, _told(f"house_panel_{end}_fails", kind, seen, found, limit), source=PANEL)
    return Verdict(kind.id, ASK, _told("house_panel_open", kind, seen, found, limit), kind.asks, PANEL)


def _amount(kind: Kind, seen: Evidence) -> Interval | None:
    panel, nutrient = seen.report.panel, kind.values["nutrient"]
    return panel.per_100g(nutrient) if kind.values["basis"] == PER_100G else panel.per_serving(nutrient)


def _elsewhere(kind: Kind, seen: Evidence) -> bool:
    """Whether the panel states the nutrient for another amount than asked."""
    panel, nutrient = seen.report.panel, kind.values["nutrient"]
    return panel.per_100g(nutrient) is not None or panel.per_serving(nutrient) is not None


def _doubt(kind: Kind, seen: Evidence) -> str:
    """The first problem of the reading that puts the number in doubt; "" if there is none."""
    kinds = {
        problem
        for row in raw()["doubted"]
        if row["nutrient"] in ("any", kind.values["nutrient"])
        for problem in row["problems"]
    }
    return next((p.message for p in seen.report.problems if p.kind in kinds), "")


def _told(key: str, kind: Kind, seen: Evidence, found: Interval, limit: float) -> str:
    places = _MG if kind.unit == "mg" else _G
    numbers = {"low": show(found.low, places), "high": show(found.high, places)}
    amount = _printed(kind, seen, places)
    return say(key, amount=amount, unit=kind.unit, limit=show(limit, 2), reason=kind.open, **numbers)


def _printed(kind: Kind, seen: Evidence, places: int) -> str:
    """The printed number, and how it was worked out where it is printed for another amount."""
    panel, nutrient, basis = seen.report.panel, kind.values["nutrient"], kind.values["basis"]
    column = panel.column(basis)
    own = column is not None and any(a.nutrient in _same(nutrient) for a in column.amounts)
    stated = panel.stated_per_100g(nutrient) if basis == PER_100G else panel.stated_per_serving(nutrient)
    key = f"house_panel_{'printed' if own else 'worked'}_{basis}"
    weight = show(panel.serving_g or 0.0)
    return say(key, value=show(stated or 0.0, places), unit=kind.unit, weight=weight)


def _same(nutrient: str) -> tuple[str, ...]:
    """The rows a nutrient may be printed in: sodium also as salt."""
    return (nutrient, "salt_g") if nutrient == "sodium_mg" else (nutrient,)


JUDGES = {"panel_at_most": at_most, "panel_at_least": at_least}
