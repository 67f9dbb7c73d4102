"""The rules of lexicon/standards/: known keys, known judges, and for each verdict a label that a lawyer could read.

tests/cases/rules/*.yaml hold the labels, rule by rule; all packs are invented.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from reader import read_label, tables
from reader.findings_told import finding_told
from reader.law.findings import JUDGES
from reader.law.listing import as_markdown
from reader.law.rules import all_rules, by_id
from reader.law.values import VERDICTS
from reader.makeup.settings import quantities
from reader.report import Report
from reader.wording import has

CASES = Path(__file__).parent / "cases" / "rules"
RAW = tables.load_raw()
CLASSES = {c["id"] for group in ("classes", "marks") for c in RAW["standards/classes"][group]}
CONSEQUENCES = {"claims", "comparison", "contents", "health", "list", "name", "numbers"}
COMMON = {"id", "title", "rule", "markets", "judge", "consequence", "source", "section", "status"}
MAY = {"classes", "unless", "from", "to", "verdicts", "note"}
# What each judge needs to know beside that: (must be there, may be there).
KEYS: dict[str, tuple[set[str], set[str]]] = {
    "at_least": ({"quantity", "least"}, {"needs"}),
    "at_most": ({"quantity", "most"}, {"needs", "says", "assume"}),
}
LABEL = {"name", "statement", "panel", "market", "on", "class", "says", "note"}


def rows() -> list[tuple[str, str, dict[str, Any]]]:
    """(rule, verdict, label) of every case."""
    found = []
    for file in sorted(CASES.glob("*.yaml")):
        for item in tables.read_yaml(file):
            for verdict, labels in item.items():
                if verdict not in ("rule", "__line__"):
                    found += [(item["rule"], verdict, label) for label in labels]
    return found


ROWS = rows()


def read(label: dict[str, Any], rule: str) -> Report:
    return read_label(
        label.get("statement", ""),
        label.get("panel", ""),
        name=label.get("name", ""),
        market=label.get("market", by_id()[rule].markets[0]),
        on=date.fromisoformat(label["on"]) if "on" in label else None,
        classed_as=label.get("class", ""),
        depth="possible",
    )


@pytest.mark.parametrize(("rule", "verdict", "label"), ROWS, ids=[f"{r}-{v}-{x['__line__']}" for r, v, x in ROWS])
def test_a_label_gets_its_verdict(rule: str, verdict: str, label: dict[str, Any]) -> None:
    assert set(label) <= LABEL | {"__line__"}, f"line {label['__line__']}: known keys are {sorted(LABEL)}"
    report = read(label, rule)
    found = next(f for f in report.findings if f.rule.id == rule)
    assert found.verdict == verdict, finding_told(found) if found.ruling else "no ruling"
    if "says" in label:
        assert finding_told(found) == label["says"]
    for span in found.ruling.says.spans if found.ruling else ():
        assert report.pasted(span).strip(), f"{span} points at nothing"


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_every_verdict_of_a_rule_is_shown_by_a_label(rule: Any) -> None:
    shown = {verdict for of, verdict, _ in ROWS if of == rule.id}
    missing = set(rule.verdicts) - shown
    assert not missing, f"tests/cases/rules/: no label shows {sorted(missing)} for {rule.id}"
    told = (shown & set(VERDICTS)) - set(rule.verdicts)
    assert not told, f"{rule.id} says it cannot come to {sorted(told)}, but a label shows it"
    if set(rule.verdicts) != set(VERDICTS):
        assert "note" in rule.values or _raw(rule.id).get("note"), (
            f"{rule.id}: say in `note` why it cannot come to more"
        )


def _raw(rule: str) -> dict[str, Any]:
    items = (
        item for name, content in RAW.items() if name.startswith("standards/") for item in content.get("rules", ())
    )
    found: dict[str, Any] = next(item for item in items if item["id"] == rule)
    return found


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_a_rule_has_its_keys_and_known_values(rule: Any) -> None:
    raw = _raw(rule.id)
    must, may = KEYS[rule.judge]
    keys = set(raw) - {"__line__"}
    here = f"lexicon/standards/{rule.file}.yaml:{raw['__line__']} ({rule.id})"
    assert COMMON | must <= keys, f"{here}: {sorted((COMMON | must) - keys)} missing"
    assert keys <= COMMON | MAY | must | may, f"{here}: {sorted(keys - COMMON - MAY - must - may)} not known"
    assert rule.consequence in CONSEQUENCES and has(f"consequence_{rule.consequence}"), here
    assert rule.classes | rule.unless <= CLASSES, f"{here}: classes {sorted((rule.classes | rule.unless) - CLASSES)}"
    assert set(rule.verdicts) <= set(VERDICTS), here
    assert rule.values.get("quantity") in (None, *quantities()), f"{here}: quantity not in estimate.yaml"
    sources = {s["id"]: s["status"] for s in RAW["sources"]}
    assert rule.source in sources, f"{here}: source {rule.source!r} is not in sources.yaml"
    assert rule.status in ("read", "secondary", "house", "not verified"), here
    assert rule.status != "read" or sources[rule.source] == "read", f"{here}: read, but its document was not"


def test_ids_are_unique_and_every_judge_is_used() -> None:
    ids = [rule.id for rule in all_rules()]
    assert len(ids) == len(set(ids))
    assert {rule.judge for rule in all_rules()} == set(JUDGES) == set(KEYS)


def test_cases_are_of_known_rules() -> None:
    assert {rule for rule, _, _ in ROWS} <= set(by_id())


def test_the_table_of_rules_is_fresh() -> None:
    table = (tables.LEXICON / "RULES.md").read_text(encoding="utf-8")
    assert table == as_markdown(all_rules()), "run `python -m reader rules > lexicon/RULES.md`"
