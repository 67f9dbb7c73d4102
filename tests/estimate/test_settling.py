"""Whether draws settle on labels as they are printed, without a panel, where the label holds them the least."""

from __future__ import annotations

import csv
from pathlib import Path

from reader import read_label
from reader.makeup.values import LIKELY

LABELS = Path(__file__).parent.parent / "labels" / "by_hand" / "labels.csv"
EVERY = 3  # a third of the labels takes a few seconds
MOST = 0.04  # of the labels whose draws may stay rough, which is said beside them


def test_draws_settle_on_nearly_every_label() -> None:
    with LABELS.open(encoding="utf-8", newline="") as file:
        statements = [row["statement"] for row in csv.DictReader(file)][::EVERY]
    made = [read_label(statement, "", depth=LIKELY).makeup for statement in statements]
    drawn = [one for one in made if one.depth == LIKELY]
    rough = sum(not one.settled for one in drawn)
    assert len(drawn) > 30
    assert rough <= MOST * len(drawn), f"{rough} of {len(drawn)}"
