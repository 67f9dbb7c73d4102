"""The generator itself, on a recipe small enough to be worked by hand."""

from __future__ import annotations

import random

import pytest

from tests.estimate.families import Family, Item
from tests.estimate.labels import labels, statement_of
from tests.estimate.panels import panel_of
from tests.estimate.recipes import Recipe, Used


def by_hand() -> Recipe:
    """60 beef (12 lipid, 48 lean with 22 % protein), 30 water, 8 starch, 2 salt; 10 lost."""
    lean = {"protein": 22.0, "ash": 1.0, "sodium": 60.0}
    beef = Used(Item("BEEF", "muscle"), 60.0, lipid=12.0, parts=[(48.0, lean), (12.0, {"fat": 100.0})])
    water = Used(Item("WATER", "water"), 30.0, parts=[(30.0, {})])
    starch = Used(Item("STARCH", "starchy binder"), 8.0, parts=[(8.0, {"carbohydrate": 88.0})])
    salt = Used(Item("SALT", "salt"), 2.0, clause=2.0, parts=[(2.0, {"ash": 100.0, "sodium": 39000.0})])
    return Recipe(Family("hand", "Hand", ()), [[beef], [water], [starch], [salt]], [], 90.0)


def test_truth_by_hand() -> None:
    recipe = by_hand()
    truth = recipe.truth()
    assert recipe.sold("protein") == pytest.approx(10.56 / 0.9)  # 48 × 0.22
    assert recipe.moisture == pytest.approx(100 - (10.56 + 12 + 7.04 + 2.48) / 0.9)
    assert truth["added_water"] == pytest.approx(recipe.moisture - 4 * 10.56 / 0.9)
    assert (truth["meat"], truth["lean"], truth["meat_fat"]) == (60, 48, 12)
    assert (truth["water"], truth["binders"], truth["salt"], truth["clause"]) == (30, 8, 2, 2)
    assert truth["sodium salt"] == pytest.approx(780 / 0.9)
    assert truth["sodium meat"] == pytest.approx(28.8 / 0.9)
    assert truth["worth"] == 1.0


def test_statement_and_panel_by_hand() -> None:
    recipe = by_hand()
    assert statement_of(recipe) == "INGREDIENTS: BEEF, WATER, STARCH, CONTAINS 2% OR LESS OF: SALT."
    panel = panel_of(recipe, "US", 50, random.Random(0))
    panel.weight = 50.0
    # 5.87 g protein, 6.67 g fat, 3.91 g carbohydrate, 449 mg sodium and 99.1 kcal in 50 g
    for line in (
        "Calories 100",
        "Total Fat 7g",
        "Sodium 450mg",
        "Total Carbohydrate 4g",
        "Protein 6g",
        "Total Sugars 0g",
    ):
        assert line in panel.text().splitlines()


def test_the_same_seed_gives_the_same_labels() -> None:
    first, again = labels(27, 2), labels(27, 2)
    assert [(one.statement, one.panel.text()) for one in first] == [(one.statement, one.panel.text()) for one in again]


def test_everything_adds_up_and_nothing_is_outside_its_whole() -> None:
    for one in labels(81, 2):
        leaves = one.recipe.leaves()
        assert sum(leaf.grams for leaf in leaves) == pytest.approx(100)
        assert one.recipe.moisture >= 0
        for leaf in leaves:
            assert sum(leaf.of(q) for q in ("protein", "fat", "carbohydrate", "ash")) <= leaf.grams + 1e-9
            assert leaf.of("saturated") <= leaf.of("fat") + 1e-9
            assert leaf.of("sugars") + leaf.of("fibre") <= leaf.of("carbohydrate") + 1e-9
