"""Report → one row of readings for a table, as the contract in README.md names the columns."""

from __future__ import annotations

from reader.aspects import ASPECTS
from reader.findings_told import brief
from reader.makeup.values import GROUPS
from reader.quantities import show
from reader.report import Report

READINGS = (
    "first_ingredient", "meat_sources", "mechanically_separated", "by_products", "binders", "hydrocolloids",
    "sweeteners", "cures", "cure_accelerators", "casing", "smoke", "allergens", "clause_percent", "ingredient_count",
    "unknown_terms", "sodium_mg_per_serving", "sodium_mg_per_100g",
)  # fmt: skip
SCORES = tuple(f"score_{aspect}_{end}" for aspect in ASPECTS for end in ("low", "high"))
SHARES = tuple(f"{group}_{end}" for group in GROUPS for end in ("low", "high", "likely_low", "likely_high"))
LAST = ("findings", "problems")
COLUMNS = (*READINGS, *SCORES, *SHARES, *LAST)

Cell = str | int | float | bool | None


def row_of(report: Report) -> dict[str, Cell]:
    """One row: lists joined by "; ", yes/no as true/false, numbers as numbers, None for what is not stated."""
    facts = report.facts
    row: dict[str, Cell] = {
        "first_ingredient": facts.first_ingredient or None,
        "meat_sources": "; ".join(facts.meat_sources),
        "mechanically_separated": facts.mechanically_separated,
        "by_products": facts.by_products,
        "binders": "; ".join(facts.binders),
        "hydrocolloids": "; ".join(facts.hydrocolloids),
        "sweeteners": "; ".join(facts.sweeteners),
        "cures": "; ".join(facts.cures),
        "cure_accelerators": "; ".join(facts.cure_accelerators),
        "casing": facts.casing.value,
        "smoke": facts.smoke,
        "allergens": "; ".join(facts.allergens),
        "clause_percent": facts.clause_percent,
        "ingredient_count": facts.ingredient_count,
        "unknown_terms": "; ".join(facts.unknown_terms),
        "sodium_mg_per_serving": _number(report.panel.stated_per_serving("sodium_mg")),
        "sodium_mg_per_100g": _number(report.panel.stated_per_100g("sodium_mg")),
        "findings": brief(report.findings),
        "problems": "; ".join(p.message for p in report.problems),
    }
    for aspect in report.aspects:
        row[f"score_{aspect.id}_low"] = aspect.score.low if aspect.score else None
        row[f"score_{aspect.id}_high"] = aspect.score.high if aspect.score else None
    told = ((n, s) for n, s in report.makeup.groups if n in GROUPS and report.product.ingredients)
    for name, share in told:
        row[f"{name}_low"], row[f"{name}_high"] = _number(share.possible.low), _number(share.possible.high)
        if share.likely is not None:
            row[f"{name}_likely_low"], row[f"{name}_likely_high"] = (
                _number(share.likely.low),
                _number(share.likely.high),
            )
    return row


def failed_row(reason: str) -> dict[str, Cell]:
    """The row of a label that could not be read: it keeps its place and says why."""
    return {"problems": reason}


def _number(value: float | None) -> float | None:
    return None if value is None else float(show(value, 2).replace(",", ""))
