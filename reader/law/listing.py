"""All rules as tables in Markdown, and what their judges need to know, for lexicon/RULES.md and the command line."""

from __future__ import annotations

import inspect
from collections.abc import Iterable
from itertools import groupby

from reader.law.findings import JUDGES
from reader.law.rules import Rule
from reader.wording import say


def as_markdown(rules: Iterable[Rule]) -> str:
    """One table for each data file: what each rule says, where it stands, since when, how surely it was read."""
    blocks = [f"# {say('rules_title')}", say("rules_intro")]
    for file, of_file in groupby(rules, key=lambda rule: rule.file):
        rows = [f"| {_row(rule)} |" for rule in of_file]
        blocks.append("\n".join([f"## {file}", "", say("rules_columns"), "| --- | --- | --- | --- | --- |", *rows]))
    return "\n\n".join(blocks) + "\n"


def judges_as_markdown() -> str:
    """What each judge does with the keys a rule gives it: the words that stand beside its code."""
    told = (f"- `{name}`: {' '.join((inspect.getdoc(judge) or '').split())}" for name, judge in sorted(JUDGES.items()))
    return "\n".join([f"## {say('rules_judges')}", "", say("rules_judges_intro"), "", *told, ""])


def _row(rule: Rule) -> str:
    cells = (
        f"`{rule.id}` {rule.title}",
        ", ".join(rule.markets),
        rule.text,
        f"{rule.source}: {rule.section}{_days(rule)}",
        rule.status,
    )
    return " | ".join(cell.replace("|", "\\|") for cell in cells)


def _days(rule: Rule) -> str:
    if rule.begins and rule.ends:
        return say("rules_from_to", begins=rule.begins.isoformat(), ends=rule.ends.isoformat())
    if rule.begins:
        return say("rules_from", begins=rule.begins.isoformat())
    return say("rules_to", ends=rule.ends.isoformat()) if rule.ends else ""
