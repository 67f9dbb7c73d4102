"""A list with a panel that is not its own: read all the same, whatever clashes."""

from __future__ import annotations

import pytest

from reader import read_label
from reader.makeup.values import LIKELY, MakeUp
from tests.estimate.labels import labels

NOUGHTS = (
    "Serving size 50g\nCalories 0\nTotal Fat 0g\nSodium 0mg\nTotal Carbohydrate 0g\nProtein 0g",
    "Serving size 50g\nTotal Fat 0g",
    "Serving size 50g\nCalories 0\nProtein 0g",
)
LISTS = ("Pork, water, salt.", "Pork.", "Salt, pork.", "Pork fat.", "Water, zorblatt.")


def in_order(found: MakeUp) -> bool:
    """Whether every likely range lies inside what is possible."""
    shares = [*found.ingredients, *(share for _, share in (*found.groups, *found.sodium))]
    return all(
        share.possible.low <= share.likely.low <= share.likely.high <= share.possible.high
        for share in shares
        if share.likely is not None
    )


@pytest.mark.parametrize("panel", NOUGHTS)
@pytest.mark.parametrize("listed", LISTS)
def test_a_panel_of_noughts(listed: str, panel: str) -> None:
    found = read_label(f"Ingredients: {listed}", panel).makeup
    assert found.depth == LIKELY and in_order(found)


def test_the_panel_of_another_product() -> None:
    made = labels(54, 31)
    strange = zip(made, made[1:] + made[:1], strict=True)
    found = [read_label(one.statement, other.panel.text(), market=one.family.market).makeup for one, other in strange]
    assert all(in_order(one) for one in found)
    assert 10 < sum(one.clash is not None for one in found) < len(made)
