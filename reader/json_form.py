"""Values of a report as plain JSON values; README.md, "The JSON form", explains each key.

Places are [start, end, box]; ranges are [low, high]; what the label does not say is null.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from reader import findings_told, makeup_words
from reader.aspects import Aspect, Said, sentence
from reader.facts import Facts
from reader.ingredient_tree import Ingredient
from reader.law.values import Finding
from reader.makeup.values import MakeUp, Reason, Share
from reader.panel.reading import Panel
from reader.quantities import Interval
from reader.wording import say


def said_form(said: Said) -> dict[str, Any]:
    """A sentence with its places and source."""
    return {"says": sentence(said), "places": [list(s) for s in said.spans], "source": said.source or None}


def finding_form(finding: Finding) -> dict[str, Any]:
    """A finding that came to a verdict, with its rule."""
    rule, ruling = finding.rule, finding.ruling
    assert ruling is not None  # it came to a verdict
    return {
        "rule": rule.id,
        "title": rule.title,
        "verdict": finding.verdict,
        "consequence": rule.consequence,
        "says": findings_told.finding_told(finding),
        "rule_says": rule.text,
        "places": [list(s) for s in ruling.says.spans],
        "found": range_form(ruling.found),
        "unit": rule.values.get("unit"),
        "source": rule.source,
        "section": rule.section,
        "status": rule.status,
        "in_force_from": rule.begins.isoformat() if rule.begins else None,
        "in_force_to": rule.ends.isoformat() if rule.ends else None,
    }


def range_form(interval: Interval | None) -> list[float] | None:
    """Both ends to two decimals; None for nothing."""
    return None if interval is None else [round(interval.low, 2), round(interval.high, 2)]


def aspect_form(aspect: Aspect) -> dict[str, Any]:
    """An aspect with its score, grounds and what would narrow it."""
    return {
        "state": aspect.state,
        "score": range_form(aspect.score),
        "likely": range_form(aspect.likely),
        "middle": None if aspect.middle is None else round(aspect.middle, 2),
        "reading": said_form(aspect.reading),
        "grounds": [said_form(g) for g in aspect.grounds],
        "narrows": [sentence(n) for n in aspect.narrows],
    }


def facts_form(facts: Facts) -> dict[str, Any]:
    """The plain reading of the statement."""
    return {
        "first_ingredient": facts.first_ingredient or None,
        "first_meat": facts.first_meat or None,
        "meat_sources": list(facts.meat_sources),
        "mechanically_separated": facts.mechanically_separated,
        "by_products": facts.by_products,
        "binders": list(facts.binders),
        "hydrocolloids": list(facts.hydrocolloids),
        "sweeteners": list(facts.sweeteners),
        "cures": list(facts.cures),
        "cure_accelerators": list(facts.cure_accelerators),
        "casing": facts.casing.value,
        "smoke": facts.smoke,
        "allergens": list(facts.allergens),
        "clause_percent": facts.clause_percent,
        "ingredient_count": facts.ingredient_count,
        "term_count": facts.term_count,
        "unknown_terms": list(facts.unknown_terms),
    }


def _share(group: str, share: Share, unit: str = "%") -> dict[str, Any]:
    return {
        "possible": range_form(share.possible),
        "likely": range_form(share.likely),
        "middle": None if share.middle is None else round(share.middle, 2),
        "not_below": [_reason(r) for r in share.low_because],
        "not_above": [_reason(r) for r in share.high_because],
        "says": list(makeup_words.bounds_told(group, share, unit)),
    }


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "fact": reason.id,
        "kind": reason.kind,
        "says": makeup_words.facts_told((reason,)),
        "place": list(reason.span) if reason.span else None,
        "source": reason.source or None,
    }


def makeup_form(makeup: MakeUp, ingredients: Iterable[Ingredient]) -> dict[str, Any]:
    """Shares, assumptions and clashes; `ingredients` are those of the product's own list."""
    named = zip(ingredients, makeup.ingredients, strict=True)
    clash = makeup.clash
    return {
        "unit": "percent of the weight used; added_water: of the weight sold; …_of_meat: of the animal tissue",
        "depth": makeup.depth,
        "panel_used": makeup.panel_used,
        "settled": makeup.settled,
        "unusual": None
        if makeup.unusual is None
        else {
            "score": makeup.unusual.score,
            "level": makeup.unusual.level,
            "because": [_reason(r) for r in makeup.unusual.because],
            "says": makeup_words.unusual_told(makeup),
        },
        "note": say(makeup.note) if makeup.note else None,
        "groups": {name: _share(name, share) for name, share in makeup.groups},
        "ingredients": [{"printed": i.printed, **_share("ingredient", share)} for i, share in named],
        "sodium_mg_per_100g": {name: _share("sodium", share, "mg") for name, share in makeup.sodium},
        "assumptions": [
            {
                "id": a.id,
                "choice": a.choice,
                "choices": list(a.choices),
                "says": makeup_words.assumption_told(a),
                "source": a.reason.source or None,
            }
            for a in makeup.assumptions
        ],
        "clash": None
        if clash is None
        else {
            "together": [_reason(r) for r in clash.together],
            "suspects": [_reason(r) for r in clash.suspects],
            "let_go": [_reason(r) for r in clash.let_go],
            "says": list(makeup_words.clash_told(clash, makeup)),
        },
    }


def ingredient_form(ingredient: Ingredient) -> dict[str, Any]:
    """A term with its parts."""
    match, entry = ingredient.match, ingredient.match.entry
    return {
        "printed": ingredient.printed,
        "place": list(ingredient.span),
        "entry": entry.id if entry else None,
        "name": entry.name if entry else None,
        "role": ingredient.role,
        "match": match.kind,
        "score": match.score,
        "dropped": list(match.dropped),
        "alternatives": list(match.alternatives),
        "percent": range_form(ingredient.percent),
        "at_most": ingredient.clause.percent if ingredient.clause else None,
        "class_word": ingredient.class_word or None,
        "notes": [note.kind for note in ingredient.notes],
        "parts": [ingredient_form(p) for p in ingredient.parts],
    }


def panel_form(panel: Panel) -> dict[str, Any] | None:
    """Each printed number with what it can stand for; None without a panel."""
    if panel.empty:
        return None
    return {
        "form": panel.form,
        "serving_g": panel.serving_g,
        "servings_per_pack": panel.servings_per_pack,
        "basis": panel.basis_reason,
        "columns": [
            {
                "basis": column.basis,
                "amounts": [
                    {
                        "nutrient": a.nutrient,
                        "printed": a.printed,
                        "less_than": a.less_than,
                        "true": range_form(a.true),
                        "place": list(a.span) if a.span else None,
                    }
                    for a in column.amounts
                ],
            }
            for column in panel.columns
        ],
    }
