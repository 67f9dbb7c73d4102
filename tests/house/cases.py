"""Labels with what they come to, from tests/cases/house/*.yaml, and how they are judged."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from reader import read_label, tables
from reader.house.specification import from_yaml
from reader.house.values import VERDICTS, Specification, Verdict
from reader.house.verdicts import judge
from reader.price import read_price

CASES = Path(__file__).parent.parent / "cases" / "house"
LABEL = {
    "name", "statement", "panel", "market", "price", "depth", "takes", "says", "holds", "question", "source", "note",
}  # fmt: skip


def rows() -> list[tuple[str, str, str, dict[str, Any]]]:
    """(kind, what it takes, verdict, label) of every case."""
    found = []
    for file in sorted(CASES.glob("*.yaml")):
        for item in tables.read_yaml(file):
            for verdict in VERDICTS:
                found += [
                    (item["kind"], label.get("takes", item["takes"]), verdict, label) for label in item.get(verdict, [])
                ]
    return found


def asking(kind: str, takes: str) -> Specification:
    """A specification of one must."""
    return from_yaml(f"title: Trial\nmust:\n  {kind}: {takes}\n")


def judged(label: dict[str, Any], kind: str, takes: str) -> Verdict:
    """What a label of a case comes to."""
    market = label.get("market", "US")
    report = read_label(
        label["statement"] or "",
        label.get("panel", ""),
        name=label.get("name", ""),
        market=market,
        depth=label.get("depth", "possible"),
    )
    return judge(report, read_price(label.get("price", ""), market=market), asking(kind, takes))[0]
