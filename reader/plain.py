"""Report → the plain text that `python -m reader read` prints."""

from __future__ import annotations

from textwrap import fill

from reader import makeup_words
from reader.aspects import Aspect, sentence
from reader.findings_told import class_told, finding_told, verdict_told
from reader.law.values import BREAKS
from reader.quantities import show
from reader.report import Report
from reader.wording import say

_WIDTH = 96


def as_text(report: Report) -> str:
    """The reading in plain words, wrapped for a terminal."""
    blocks = [_wrapped(sentence(report.headline))]
    blocks += [_aspect(a) for a in report.aspects]
    blocks.append(_makeup(report))
    blocks.append(_terms(report))
    if report.problems:
        blocks.append(_list(say("plain_problems"), [_problem(report, i) for i in range(len(report.problems))]))
    blocks.append(_findings(report))
    myths = [say("plain_often", said=m.said, rule=m.rule, section=m.section) for m in report.advice.often_said]
    blocks.append(_list(say("plain_often_said"), myths))
    blocks.append(_list(say("plain_cannot_tell"), [s for s, _ in report.advice.limits]))
    if report.advice.questions:
        blocks.append(_list(say("plain_ask"), [s for s, _ in report.advice.questions]))
    blocks.append(_list(say("plain_cautions"), [s for s, _ in report.advice.cautions]))
    return "\n\n".join(b for b in blocks if b) + "\n"


def _wrapped(text: str, indent: str = "") -> str:
    return fill(text, _WIDTH, initial_indent=indent, subsequent_indent=indent)


def _aspect(aspect: Aspect) -> str:
    title = say(f"aspect_{aspect.id}")
    score = (
        say("plain_score", low=show(aspect.score.low), high=show(aspect.score.high)) if aspect.score else aspect.state
    )
    lines = [f"{title}: {score}", _wrapped(sentence(aspect.reading), "  ")]
    lines += [_wrapped("- " + sentence(g), "    ") for g in aspect.grounds]
    lines += [_wrapped("- " + sentence(n), "    ") for n in aspect.narrows]
    return "\n".join(lines)


def _makeup(report: Report) -> str:
    """The groups of the make-up, one line each with what decides it, and what was assumed."""
    makeup = report.makeup
    lines = [say("plain_makeup")]
    lines += [_wrapped(say(makeup.note), "  ")] if makeup.note else []
    lines += [_wrapped(s, "  ") for s in (makeup_words.clash_told(makeup.clash, makeup) if makeup.clash else ())]
    lines += [_wrapped(unusual, "  ")] if (unusual := makeup_words.unusual_told(makeup)) else []
    for name, share in makeup.groups:
        if share.possible.high > 0 or share.possible.low < 0:
            lines.append("  " + makeup_words.range_told(name, share))
            lines += [_wrapped("- " + s, "    ") for s in makeup_words.bounds_told(name, share)]
    lines += [_wrapped(makeup_words.assumed_told(a), "  ") for a in makeup.assumptions]
    return "\n".join(lines) if len(lines) > 1 else ""


def _terms(report: Report) -> str:
    facts = report.facts
    text = say("plain_terms", count=facts.ingredient_count, terms=facts.term_count)
    if facts.unknown_terms:
        text += " " + say("plain_unknown", names="; ".join(facts.unknown_terms))
    if facts.allergens:
        text += " " + say("plain_allergens", names=", ".join(facts.allergens))
    return _wrapped(text)


def _findings(report: Report) -> str:
    """What the rules come to: breaks in full, the rest in one line each."""
    if not report.judged:
        return ""
    lines = [say("plain_findings"), _wrapped(class_told(report.case), "  ")]
    for finding in report.judged:
        head = say("plain_finding", verdict=verdict_told(finding.verdict), title=finding.rule.title)
        lines.append(_wrapped(head, "  "))
        lines.append(_wrapped(f"- {finding_told(finding)}", "    "))
        if finding.verdict == BREAKS:
            rule = say("plain_rule", rule=finding.rule.text, section=finding.rule.section)
            lines.append(_wrapped(f"- {rule}", "    "))
    lines.append(_wrapped(say("finding_not_advice"), "  "))
    return "\n".join(lines)


def _problem(report: Report, index: int) -> str:
    problem = report.problems[index]
    words = report.pasted(problem.span)[:60].strip() if problem.span else ""
    return f"{problem.message} [{words}]" if words else problem.message


def _list(title: str, sentences: list[str]) -> str:
    return "\n".join([title, *(_wrapped("- " + s, "  ") for s in sentences)]) if sentences else ""
