"""What a label comes to for each kind of requirement, verdict by verdict; tests/cases/house/*.yaml hold the labels."""

from __future__ import annotations

import re
from typing import Any

import pytest

from reader.house.kinds import Kind, kinds
from reader.house.values import ASK, FRONT, LABEL, MAKE_UP, PANEL, PRICE
from reader.law.rules import by_id
from tests.house import cases
from tests.test_wording import faults

ROWS = cases.rows()


@pytest.mark.parametrize(
    ("kind", "takes", "verdict", "label"), ROWS, ids=[f"{k}-{v}-{x['__line__']}" for k, _, v, x in ROWS]
)
def test_a_label_gets_its_verdict(kind: str, takes: str, verdict: str, label: dict[str, Any]) -> None:
    assert set(label) <= cases.LABEL | {"__line__"}, f"line {label['__line__']}: known keys are {sorted(cases.LABEL)}"
    found = cases.judged(label, kind, takes)
    assert found.verdict == verdict, found
    assert found.kind == kind
    if "says" in label:
        assert found.because == label["says"]
    if "holds" in label:
        assert label["holds"] in found.because
    if "question" in label:
        assert found.question == label["question"]
    if "source" in label:
        assert found.source == label["source"]
    assert faults(found.because) == [], found.because
    assert bool(found.question) == (verdict == ASK)
    assert not found.question or faults(found.question) == [], found.question
    assert set(found.source.split("; ")) <= {LABEL, FRONT, PANEL, MAKE_UP, PRICE, *by_id()}


@pytest.mark.parametrize("kind", kinds().values(), ids=lambda k: k.id)
def test_every_verdict_of_a_kind_is_shown_by_a_label(kind: Kind) -> None:
    shown = {verdict for of, _, verdict, _ in ROWS if of == kind.id}
    assert shown == set(kind.verdicts), f"tests/cases/house/: {sorted(set(kind.verdicts) ^ shown)} of {kind.id}"


def test_a_verdict_quotes_what_it_rests_on() -> None:
    """What stands in quotes in a reason stands so on the label, front or list."""
    for kind, takes, _, label in ROWS:
        found = cases.judged({**label, "depth": "order"}, kind, takes)
        if found.source in (LABEL, FRONT):
            text = f"{label['statement']} {label.get('name', '')}"
            for quoted in re.findall("“([^”]+)”", found.because):
                assert quoted in text or kind == "findings" or not text.strip(), (kind, label["__line__"], quoted)
