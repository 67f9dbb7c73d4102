"""Rounding of panels against the published rules. The source stands beside each check."""

from __future__ import annotations

import pytest

from reader.panel import rounding
from reader.quantities import Interval


def true(
    value: float, market: str, nutrient: str, *, less: bool = False, basis: str = "serving", places: int = 0
) -> Interval:
    return rounding.true_values(value, places, less, market, nutrient, basis)[0]


# 9 CFR 317.309(c)(4): sodium under 5 mg is 0; 5 to 140 mg to the nearest 5; above 140 to the nearest 10.
@pytest.mark.parametrize(
    ("printed", "low", "high"),
    [(0, 0, 5), (5, 5, 7.5), (80, 77.5, 82.5), (140, 137.5, 145), (150, 145, 155), (480, 475, 485), (1050, 1045, 1055)],
)
def test_us_sodium(printed: float, low: float, high: float) -> None:
    assert true(printed, "US", "sodium_mg") == (low, high)


# 9 CFR 317.309(c)(2): fat under 0.5 g is 0; under 5 g to the nearest 0.5; from 5 g to the nearest 1.
@pytest.mark.parametrize(
    ("printed", "low", "high"),
    [(0, 0, 0.5), (0.5, 0.5, 0.75), (2, 1.75, 2.25), (4.5, 4.25, 4.75), (5, 4.75, 5.5), (11, 10.5, 11.5)],
)
@pytest.mark.parametrize("nutrient", ["fat_g", "satfat_g", "transfat_g", "monofat_g", "polyfat_g"])
def test_us_fat(nutrient: str, printed: float, low: float, high: float) -> None:
    assert true(printed, "US", nutrient, places=1 if printed % 1 else 0) == pytest.approx((low, high))


# 9 CFR 317.309(c)(6), (c)(7): under 0.5 g is 0; under 1 g "less than 1 g"; else the nearest gram.
@pytest.mark.parametrize("nutrient", ["carb_g", "sugar_g", "fibre_g", "protein_g"])
def test_us_carbohydrate_and_protein(nutrient: str) -> None:
    assert true(0, "US", nutrient) == (0, 0.5)
    assert true(1, "US", nutrient, less=True) == (0.5, 1)
    assert true(2, "US", nutrient) == (1.5, 2.5)


# 9 CFR 317.309(c)(3): cholesterol under 2 mg is 0; 2 to 5 mg "less than 5 mg"; else the nearest 5.
def test_us_cholesterol() -> None:
    assert true(0, "US", "cholesterol_mg") == (0, 2)
    assert true(5, "US", "cholesterol_mg", less=True) == (2, 5)
    assert true(30, "US", "cholesterol_mg") == (27.5, 32.5)


# FDA Food Labeling Guide, Appendix H (2009): calories under 5 are 0; up to 50 the nearest 5; above 50 the nearest 10.
def test_us_calories() -> None:
    assert true(0, "US", "energy_kcal") == (0, 5)
    assert true(45, "US", "energy_kcal") == (42.5, 47.5)
    assert true(50, "US", "energy_kcal") == (47.5, 55)
    assert true(130, "US", "energy_kcal") == (125, 135)


# Food and Drug Regulations (Canada) B.01.401 table: sodium 690 mg stands for 685 to 695 mg; fat under 0.5 g to 0.1 g.
def test_canada() -> None:
    assert true(690, "CA", "sodium_mg") == (685, 695)
    assert true(3, "CA", "sodium_mg") == (2.5, 3.5)
    assert true(0.2, "CA", "transfat_g", places=1) == pytest.approx((0.15, 0.25))
    assert true(45, "CA", "cholesterol_mg") == (42.5, 47.5)


# Commission guidance of December 2012 (rounding), as told by a public consumer-advice page.
def test_eu_guidance() -> None:
    assert true(2.2, "EU", "salt_g", basis="100g", places=1) == pytest.approx((2.15, 2.25))
    assert true(0.5, "EU", "fat_g", basis="100g", less=True, places=1) == (0, 0.5)
    assert true(13, "EU", "fat_g", basis="100g") == (12.5, 13.5)
    assert true(1.1, "EU", "carb_g", basis="100g", places=1) == pytest.approx((1.05, 1.15))
    assert true(0.8, "EU", "salt_g", basis="100g", places=2) == pytest.approx((0.795, 0.805))


def test_eu_guidance_binds_nobody() -> None:
    """A number printed more coarsely, or more finely, than the guidance asks stands for its own last place."""
    assert true(2, "EU", "salt_g", basis="100g") == (1.5, 2.5)
    interval, rule = rounding.true_values(22.4, 1, False, "EU", "fat_g", "100g")
    assert interval == pytest.approx((22.35, 22.45)) and rule == ""


def test_a_number_no_rule_can_print_keeps_its_last_place() -> None:
    assert rounding.true_values(483, 0, False, "US", "sodium_mg", "serving") == ((482.5, 483.5), "")
    assert rounding.rule_for("US", "sodium_mg", "100g") is None
