"""Judge of findings: the label does not look like breaking the rules the house names."""

from __future__ import annotations

from reader.findings_told import finding_told
from reader.house.evidence import Evidence
from reader.house.kinds import ANY, Kind, topics_of_findings
from reader.house.values import ASK, FAILS, LABEL, MEETS, Requirement, Verdict
from reader.law.rules import Rule, by_id
from reader.law.values import BREAKS, CANNOT_TELL, Finding
from reader.wording import say

_TOLD = 4  # house: a sentence that tells more rules is not read


def findings(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """It fails if a rule that is named, or one of a topic or of all, looks broken. A rule named by itself has to be
    met, so it is asked about where the label leaves it open; among many rules some are always left open, and only what
    looks broken counts.
    """
    named = tuple(word for word in requirement.words if word in by_id())
    wide = frozenset(requirement.words) - frozenset(named)
    found = {f.rule.id: f for f in seen.report.findings}
    broken = [f for f in found.values() if f.verdict == BREAKS and _meant(f, named, wide)]
    if broken:
        told = " ".join(_with_reason(f) for f in broken[:_TOLD])
        source = "; ".join(f.rule.id for f in broken)
        return Verdict(kind.id, FAILS, say("house_finding_breaks", sentence=told), source=source)
    elsewhere = [by_id()[name] for name in named if name not in found]
    if elsewhere:
        return _asked(kind, elsewhere, say("house_finding_other_market", names=_names(elsewhere)))
    open_ = [found[name] for name in named if found[name].verdict == CANNOT_TELL]
    if open_:
        told = " ".join(_with_reason(f) for f in open_[:_TOLD])
        return _asked(kind, [f.rule for f in open_], say("house_finding_open", sentence=told))
    if wide:
        if seen.unread:
            return _asked(kind, [], seen.unread, say("house_list_unread_question"))
        count = sum(f.verdict == CANNOT_TELL and _meant(f, (), wide) for f in found.values())
        return Verdict(kind.id, MEETS, say("house_finding_none", count=count))
    rules = [by_id()[name] for name in named]
    if seen.unread:
        return _asked(kind, rules, seen.unread)
    source = "; ".join(named)
    return Verdict(kind.id, MEETS, say("house_finding_meets", names=_names(rules)), source=source)


def _meant(finding: Finding, named: tuple[str, ...], wide: frozenset[str]) -> bool:
    return finding.rule.id in named or ANY in wide or (finding.rule.consequence in wide & set(topics_of_findings()))


def _asked(kind: Kind, rules: list[Rule], because: str, question: str = "") -> Verdict:
    asked = question or kind.asks.format(words=_names(rules))
    return Verdict(kind.id, ASK, because, asked, "; ".join(rule.id for rule in rules) or LABEL)


def _names(rules: list[Rule]) -> str:
    return "; ".join(say("house_finding_name", title=rule.title, section=rule.section) for rule in rules)


def _with_reason(finding: Finding) -> str:
    reason = finding_told(finding)
    return say("house_finding_told", title=finding.rule.title, section=finding.rule.section, reason=reason)


JUDGES = {"findings": findings}
