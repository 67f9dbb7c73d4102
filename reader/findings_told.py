"""Findings in words, for page, plain text and tables alike."""

from __future__ import annotations

from reader.law.case import Case
from reader.law.values import BREAKS, Finding
from reader.wording import has, say


def finding_told(finding: Finding) -> str:
    """Why a rule comes to its verdict, in one or two sentences; what was not read first-hand says so."""
    assert finding.ruling is not None  # it came to a verdict
    said = finding.ruling.says
    sentence = say(said.key, **dict(said.values))
    status = f"finding_status_{finding.rule.status.replace(' ', '_')}"
    return f"{sentence} {say(status)}" if has(status) else sentence


def verdict_told(verdict: str) -> str:
    """A verdict in words."""
    return say(f"verdict_{verdict.replace(' ', '_')}")


def class_told(case: Case) -> str:
    """What the product is before the law, and why."""
    classed = case.setting.classed
    words = case.text(classed.words) if classed.words is not None else ""
    return f"{say('finding_class', title=classed.title)} {say(classed.reason, words=words)}"


def brief(findings: tuple[Finding, ...]) -> str:
    """The findings that look like a break, for one cell of a table."""
    broken = (f for f in findings if f.verdict == BREAKS)
    return "; ".join(f"{f.rule.title} ({f.rule.section})" for f in broken)
