"""The whole reading of one label as one frozen value, and its JSON form."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from reader import findings_told, makeup_words
from reader.advice import Advice, advise
from reader.aspects import Aspect, Said
from reader.facts import Facts
from reader.headline import headline
from reader.ingredient_tree import Ingredient, IngredientList
from reader.law.case import Case
from reader.law.classes import Classed
from reader.law.values import NOT_APPLICABLE, NOT_IN_FORCE, VERDICTS, Finding
from reader.makeup.values import MakeUp, Reason, Share
from reader.panel.reading import Panel
from reader.problems import Problem
from reader.product import SAUSAGE, Product
from reader.quantities import Interval
from reader.spans import Span
from reader.wording import say
from reader.yardsticks import compare

FORM = 1  # version of the JSON form


@dataclass(frozen=True)
class Report:
    """Everything said about a label. Every Span points into `statement`, `panel_text` or `name` as pasted.

    What a table does not ask for (headline, comparisons, advice) is worked out when it is first looked at.
    """

    statement: str
    panel_text: str
    name: str
    market: str
    on: date | None
    listed: IngredientList
    facts: Facts
    product: Product
    makeup: MakeUp
    panel: Panel
    aspects: tuple[Aspect, ...]
    problems: tuple[Problem, ...]
    case: Case
    findings: tuple[Finding, ...]

    @cached_property
    def headline(self) -> Said:
        """The label in one sentence."""
        return headline(self.product, self.facts, self.panel)

    @cached_property
    def yardsticks(self) -> tuple[Said, ...]:
        """Comparisons with published lines."""
        return compare(self.panel) if self.product.food == SAUSAGE else ()

    @cached_property
    def advice(self) -> Advice:
        """What the label cannot tell, what to ask, cautions, what is often said."""
        return advise(self.case)

    @property
    def classed(self) -> Classed:
        """What the product is before the law."""
        return self.case.setting.classed

    def aspect(self, name: str) -> Aspect:
        """One of the four aspects by its id."""
        return next(a for a in self.aspects if a.id == name)

    def found(self, verdict: str) -> tuple[Finding, ...]:
        """The findings of a verdict, in the order of their rules."""
        return tuple(f for f in self.findings if f.verdict == verdict)

    @property
    def judged(self) -> tuple[Finding, ...]:
        """The findings that came to a verdict: breaks first, then what is left open, then what is met."""
        return tuple(f for verdict in VERDICTS for f in self.found(verdict))

    def box(self, name: str) -> str:
        """What was pasted into a box, named as Span names it."""
        return {"statement": self.statement, "panel": self.panel_text, "name": self.name}[name]

    def pasted(self, span: Span) -> str:
        """The pasted words at a place."""
        return span.of(self.box(span.text))

    def to_dict(self) -> dict[str, Any]:
        """The report as plain JSON values; README.md, "The JSON form", explains each key.

        Places are [start, end, box]; ranges are [low, high]; what the label does not say is null.
        """
        return {
            "form": FORM,
            "market": self.market,
            "on": self.on.isoformat() if self.on else None,
            "name": self.name,
            "headline": sentence(self.headline),
            "food": {
                "class": self.product.food,
                "reason": say(self.product.reason),
                "inside": self.product.inside or None,
            },
            "aspects": {a.id: _aspect(a) for a in self.aspects},
            "reading": _facts(self.facts),
            "make_up": _makeup(self.makeup, self.product.ingredients),
            "ingredients": [
                {"heading": s.label or None, "kind": s.kind, "terms": [_ingredient(i) for i in s.ingredients]}
                for s in self.listed.sections
            ],
            "beside_the_list": [
                {"kind": n.kind, "words": self.pasted(n.span), "place": list(n.span)} for n in self.listed.asides
            ],
            "panel": _panel(self.panel),
            "panel_not_understood": [{"words": self.pasted(s), "place": list(s)} for s in self.panel.left],
            "compared": [_said(y) for y in self.yardsticks],
            "problems": [
                {"kind": p.kind, "says": p.message, "place": list(p.span) if p.span else None} for p in self.problems
            ],
            "cannot_tell": [{"says": s, "source": source or None} for s, source in self.advice.limits],
            "ask_the_maker": [s for s, _ in self.advice.questions],
            "cautions": [{"says": s, "source": source or None} for s, source in self.advice.cautions],
            "often_said": [
                {"said": m.said, "rule_says": m.rule, "source": m.source, "section": m.section}
                for m in self.advice.often_said
            ],
            "class_before_the_law": {
                "id": self.classed.id,
                "title": self.classed.title,
                "also": sorted(self.classed.marks),
                "because": findings_told.class_told(self.case),
            },
            "findings": [_finding(f) for f in self.judged],
            "rules_that_do_not_concern_it": [f.rule.id for f in self.found(NOT_APPLICABLE)],
            "rules_not_in_force_on_that_day": [f.rule.id for f in self.found(NOT_IN_FORCE)],
            "about_findings": say("finding_not_advice"),
        }


def sentence(said: Said) -> str:
    """The words of a Said."""
    return say(said.key, **dict(said.values))


def _said(said: Said) -> dict[str, Any]:
    return {"says": sentence(said), "places": [list(s) for s in said.spans], "source": said.source or None}


def _finding(finding: Finding) -> dict[str, Any]:
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
        "found": _range(ruling.found),
        "source": rule.source,
        "section": rule.section,
        "status": rule.status,
        "in_force_from": rule.begins.isoformat() if rule.begins else None,
        "in_force_to": rule.ends.isoformat() if rule.ends else None,
    }


def _range(interval: Interval | None) -> list[float] | None:
    return None if interval is None else [round(interval.low, 2), round(interval.high, 2)]


def _aspect(aspect: Aspect) -> dict[str, Any]:
    return {
        "state": aspect.state,
        "score": _range(aspect.score),
        "likely": _range(aspect.likely),
        "middle": None if aspect.middle is None else round(aspect.middle, 2),
        "reading": _said(aspect.reading),
        "grounds": [_said(g) for g in aspect.grounds],
        "narrows": [sentence(n) for n in aspect.narrows],
    }


def _facts(facts: Facts) -> dict[str, Any]:
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
        "possible": _range(share.possible),
        "likely": _range(share.likely),
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


def _makeup(makeup: MakeUp, ingredients: Iterable[Ingredient]) -> dict[str, Any]:
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


def _ingredient(ingredient: Ingredient) -> dict[str, Any]:
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
        "percent": _range(ingredient.percent),
        "at_most": ingredient.clause.percent if ingredient.clause else None,
        "class_word": ingredient.class_word or None,
        "notes": [note.kind for note in ingredient.notes],
        "parts": [_ingredient(p) for p in ingredient.parts],
    }


def _panel(panel: Panel) -> dict[str, Any] | None:
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
                        "true": _range(a.true),
                        "place": list(a.span) if a.span else None,
                    }
                    for a in column.amounts
                ],
            }
            for column in panel.columns
        ],
    }
