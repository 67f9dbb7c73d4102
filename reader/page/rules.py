"""What the rules of the market say, grouped by what hangs on them; each finding opens to rule, source and place."""

from __future__ import annotations

from collections.abc import Sequence

from reader.findings_told import class_told, finding_told, verdict_told
from reader.law.rules import Rule
from reader.law.values import BREAKS, MEETS, NOT_APPLICABLE, NOT_IN_FORCE, VERDICTS, Finding
from reader.page.parts import Cited, details, esc, said, told
from reader.page.quotes import quoted
from reader.report import Report
from reader.wording import say

CONSEQUENCES = ("health", "name", "list", "claims", "contents", "numbers", "comparison")  # in the order they are shown
_PLACES = 3  # quoted for one finding


def rules(report: Report, cited: Cited, *, opened: bool = False) -> str:
    """The findings; "" where no rule concerns the label. `opened` shows at once what else opens on demand."""
    judged = report.judged
    if not judged:
        return _often_said(report, cited)
    groups = "".join(
        _group(report, name, of_group, cited, opened)
        for name in CONSEQUENCES
        if (of_group := [f for f in judged if f.rule.consequence == name])
    )
    return (
        f"<p>{told(class_told(report.case))} {_counts(report)}</p>"
        f'<p class="quiet">{said("finding_not_advice")}</p>{groups}{_often_said(report, cited)}{_others(report)}'
    )


def _counts(report: Report) -> str:
    counts = {verdict.replace(" ", "_"): len(report.found(verdict)) for verdict in VERDICTS}
    return said("page_rules_counts", market=say(f"page_market_{report.market}"), **counts)


def _group(report: Report, name: str, found: Sequence[Finding], cited: Cited, opened: bool) -> str:
    """The findings of one consequence: what looks broken or is open first, what is met folded behind it."""
    told_first = "".join(_finding(report, f, cited, opened) for f in found if f.verdict != MEETS)
    met = [f for f in found if f.verdict == MEETS]
    folded = "".join(_finding(report, f, cited, opened) for f in met)
    if met:
        folded = details(said("page_rules_met", count=len(met)), folded, opened=opened)
    return f'<h3>{said(f"consequence_{name}")}</h3><div class="findings">{told_first}{folded}</div>'


def _finding(report: Report, finding: Finding, cited: Cited, opened: bool) -> str:
    assert finding.ruling is not None  # it came to a verdict
    rule, spans = finding.rule, finding.ruling.says.spans
    head = f'{told(rule.title)} <span class="verdict">{told(verdict_told(finding.verdict))}</span>'
    places = "".join(quoted(report, span) for span in dict.fromkeys(spans[:_PLACES]))
    inside = f"<p>{told(finding_told(finding))}</p>{places}{_rule(rule, cited)}"
    kind = finding.verdict.replace(" ", "-")
    return f'<div class="finding {kind}">{details(head, inside, opened=opened or finding.verdict == BREAKS)}</div>'


def _rule(rule: Rule, cited: Cited) -> str:
    """What the rule says in our words, and where it stands."""
    days = [say(key, day=day.isoformat()) for key, day in
            (("page_rule_from", rule.begins), ("page_rule_to", rule.ends)) if day]  # fmt: skip
    where = "; ".join([rule.section, *days])
    return (
        f'<p class="rule-text"><strong>{said("page_rule_says")}</strong> {told(rule.text)}{cited.mark(rule.source)} '
        f'<span class="from">{esc(where)}</span></p>'
    )


def _often_said(report: Report, cited: Cited) -> str:
    """What is often said of such a product beside what the rule says."""
    items = "".join(
        f'<li><em class="said">{told(m.said)}</em> {told(m.rule)}{cited.mark(m.source)} '
        f'<span class="from">{esc(m.section)}</span></li>'
        for m in report.advice.often_said
    )
    return f'<h3>{said("page_often_said")}</h3><ul class="plain often-said">{items}</ul>' if items else ""


def _others(report: Report) -> str:
    """The rules that were not judged, by title, so that nobody thinks they were forgotten."""
    lists = ""
    for verdict in (NOT_APPLICABLE, NOT_IN_FORCE):
        titles = "".join(f"<li>{told(f.rule.title)}</li>" for f in report.found(verdict))
        if titles:
            lists += f'<h4>{told(verdict_told(verdict))}</h4><ul class="plain">{titles}</ul>'
    return details(said("page_rules_others"), lists) if lists else ""
