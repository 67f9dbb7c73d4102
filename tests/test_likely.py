"""Likely ranges of the make-up: what the draws say of sodium by source."""

from __future__ import annotations

import numpy as np
import pytest

from reader import read_label
from reader.makeup import likely

STATEMENT = "Pork, Water, Corn Syrup, Salt, Flavorings, Sodium Phosphates, Sodium Erythorbate, Sodium Nitrite."
PANEL = """Nutrition Facts\nServing size 50g\nCalories 150\nTotal Fat 13g\nSodium 480mg\nTotal Carbohydrate 2g
Total Sugars 1g\nProtein 6g"""


def test_sodium_by_source_adds_up_to_the_sodium_of_each_draw(monkeypatch) -> None:
    seen = []
    true = likely._sodium_by_source

    def watched(model, points, whole, seed):
        seen.append((whole, true(model, points, whole, seed)))
        return seen[-1][1]

    monkeypatch.setattr(likely, "_sodium_by_source", watched)
    sodium = dict(read_label(STATEMENT, PANEL).makeup.sodium)
    whole, sources = seen[0]
    assert sum(sources.values()) == pytest.approx(whole, rel=1e-6)
    assert min(grams.min() for grams in sources.values()) >= 0
    # Salt is nearly pure sodium chloride, flavourings hold anything from no sodium to that of salt: what one of them
    # brings says nothing of what the other does, but that both have to fit the panel.
    assert np.corrcoef(sources["salt"], sources["flavourings"])[0, 1] < -0.3
    for source in ("salt", "flavourings", "cure"):
        assert sodium[source].likely is not None
        assert sodium[source].possible.low <= sodium[source].likely.low <= sodium[source].likely.high


def test_the_same_label_gives_the_same_ranges() -> None:
    first, again = (read_label(STATEMENT, PANEL).makeup for _ in range(2))
    assert first.groups == again.groups and first.sodium == again.sodium
