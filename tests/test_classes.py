"""What a product is before the law, found from the front and the list, or chosen by the user."""

from __future__ import annotations

import pytest

from reader import read_label

CURED = "Pork, water, salt, sodium nitrite."


@pytest.mark.parametrize(
    ("name", "statement", "market", "found"),
    [
        ("Pork Frankfurters", CURED, "US", "frankfurter"),
        ("Cheesefurters", "Pork, beef, water, cheddar cheese, salt, sodium nitrite.", "US", "cheese_frank"),
        ("Turkey Franks", "Turkey, water, salt, sodium nitrite.", "US", "poultry_frank"),
        ("Franks", "Mechanically separated chicken, pork, water, salt, sodium nitrite.", "US", "mixed_frank"),
        ("Braunschweiger", "Pork liver, pork, salt, sodium nitrite.", "US", "liver_sausage"),
        ("Kielbasa", CURED, "US", "polish"),
        ("Hot Italian Sausage", "Pork, water, salt, fennel.", "US", "italian"),
        ("Breakfast Sausage Links", "Pork, water, salt, sage.", "US", "breakfast"),
        ("Fresh Pork Sausage", "Pork, water, salt.", "US", "fresh_pork"),
        ("Beef Sausage", "Beef, water, salt.", "US", "fresh_beef"),
        ("Smoked Beef Sausage", "Beef, water, salt.", "US", "other_sausage"),
        ("Bratwurst", "Pork, water, salt.", "US", "bratwurst"),
        ("Pork Sausages", "Pork (72%), water, rusk (wheat), salt.", "UK", "uk_pork_sausage"),
        ("Beef snags", "Beef, water, salt.", "AU", "au_sausage"),
        ("", CURED, "EU", "cooked_sausage"),
        ("Veggie sausage", "Water, pea protein, rapeseed oil, salt.", "US", "plant_based"),
        ("Pizza", "Crust (wheat flour, water), cheese, tomato, pepperoni (pork, salt).", "US", "no_sausage"),
    ],
)
def test_the_class_is_found(name: str, statement: str, market: str, found: str) -> None:
    classed = read_label(statement, name=name, market=market, depth="order").classed
    assert classed.id == found
    assert not classed.chosen


def test_marks_hold_beside_the_class() -> None:
    marks = read_label(CURED, name="Uncured reduced fat franks with variety meats", depth="order").classed.marks
    assert {"uncured", "modified", "with_byproducts", "cured"} <= marks
    kit = read_label(
        "Pepperoni (pork, salt, sodium nitrite), cheese (milk, salt), crackers (wheat flour).", depth="order"
    )
    assert "kit" in kit.classed.marks
    assert "kit" not in read_label(CURED, depth="order").classed.marks


def test_a_class_can_be_chosen_and_an_unknown_one_is_refused() -> None:
    assert read_label(CURED, classed_as="polish", depth="order").classed.id == "polish"
    with pytest.raises(ValueError, match="no class 'pie'"):
        read_label(CURED, classed_as="pie", depth="order")
