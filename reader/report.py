"""The whole reading of one label as one frozen value, and its JSON form."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from reader import findings_told
from reader.advice import Advice, advise
from reader.aspects import Aspect, Said, sentence
from reader.facts import Facts
from reader.headline import headline
from reader.ingredient_tree import IngredientList
from reader.json_form import aspect_form, facts_form, finding_form, ingredient_form, makeup_form, panel_form, said_form
from reader.law.case import Case
from reader.law.classes import Classed
from reader.law.values import NOT_APPLICABLE, NOT_IN_FORCE, VERDICTS, Finding
from reader.makeup.values import MakeUp
from reader.panel.reading import Panel
from reader.problems import Problem
from reader.product import SAUSAGE, Product
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
            "aspects": {a.id: aspect_form(a) for a in self.aspects},
            "reading": facts_form(self.facts),
            "make_up": makeup_form(self.makeup, self.product.ingredients),
            "ingredients": [
                {"heading": s.label or None, "kind": s.kind, "terms": [ingredient_form(i) for i in s.ingredients]}
                for s in self.listed.sections
            ],
            "beside_the_list": [
                {"kind": n.kind, "words": self.pasted(n.span), "place": list(n.span)} for n in self.listed.asides
            ],
            "panel": panel_form(self.panel),
            "panel_not_understood": [{"words": self.pasted(s), "place": list(s)} for s in self.panel.left],
            "compared": [said_form(y) for y in self.yardsticks],
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
            "findings": [finding_form(f) for f in self.judged],
            "rules_that_do_not_concern_it": [f.rule.id for f in self.found(NOT_APPLICABLE)],
            "rules_not_in_force_on_that_day": [f.rule.id for f in self.found(NOT_IN_FORCE)],
            "about_findings": say("finding_not_advice"),
        }
