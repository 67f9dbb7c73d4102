"""Golden labels: one folder a label, all invented. `--write-expected` writes the expectations anew; read the diff."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from reader import read_label
from reader.aspects import sentence
from reader.report import Report
from tests import gold

LABELS = Path(__file__).parent / "labels"
FOLDERS = sorted(f for f in LABELS.iterdir() if (f / "statement.txt").exists())


def read(folder: Path) -> Report:
    about = yaml.safe_load((folder / "label.yaml").read_text(encoding="utf-8"))
    panel = folder / "panel.txt"
    return read_label(
        (folder / "statement.txt").read_text(encoding="utf-8"),
        panel.read_text(encoding="utf-8") if panel.exists() else "",
        name=about["name"],
        market=about["market"],
    )


def outcome(report: Report) -> dict[str, Any]:
    """What a person would check by eye; short enough to be read in a diff."""
    whole = report.to_dict()
    return {
        "headline": sentence(report.headline),
        "food": whole["food"]["class"],
        "scores": {name: aspect["score"] for name, aspect in whole["aspects"].items()},
        "reading": {k: v for k, v in whole["reading"].items() if v},
        "shares": {name: share["possible"] for name, share in whole["make_up"]["groups"].items()},
        "beside_the_list": [f"{n['kind']}: {' '.join(n['words'].split())}" for n in whole["beside_the_list"]],
        "problems": [p["kind"] for p in whole["problems"]],
        "sodium": [report.panel.stated_per_serving("sodium_mg"), report.panel.stated_per_100g("sodium_mg")],
    }


def test_there_are_labels() -> None:
    assert len(FOLDERS) >= 10


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda f: f.name)
def test_label(folder: Path, request: pytest.FixtureRequest) -> None:
    found = json.loads(json.dumps(outcome(read(folder)), ensure_ascii=False))
    expected = folder / "expected.json"
    if request.config.getoption("--write-expected"):
        expected.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    assert expected.exists(), f"{expected} is missing; run pytest with --write-expected and read it"
    assert found == json.loads(expected.read_text(encoding="utf-8"))


def test_agreement_with_readings_by_hand() -> None:
    """161 invented labels in the manner of real records, 121 read by hand before the program read them."""
    shares = gold.compare(LABELS / "by_hand")
    for field in gold.EXACT:
        assert shares[field] >= 0.97, (field, shares[field])
    for field in gold.SETS:
        assert shares[field] >= 0.97, (field, shares[field])
    assert shares["ingredient_count"] >= 0.95
    assert shares["unknown_sausage"] <= 0.02
    assert shares["unknown_other"] <= 0.10
