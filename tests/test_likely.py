"""Likely ranges of the make-up: what the draws say of sodium by source."""

from __future__ import annotations

import math

import numpy as np
import pytest

from reader import read_label
from reader.makeup import likely
from reader.makeup.panel_lines import usual_miss
from reader.quantities import Interval

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


@pytest.mark.parametrize(
    ("low", "high", "tolerance"), [(11.0, 13.0, 0.05), (23.5, 24.5, 0.05), (880.0, 900.0, 0.05), (11.0, 13.0, 0.2)]
)
def test_a_printed_number_weighs_as_rounding_and_half_the_tolerance_do(
    low: float, high: float, tolerance: float
) -> None:
    """The variance of the weight, cut off at the ends of the loosened range, by sums over a fine grid; a miss at an end
    of the range is half of (what the tolerance adds there) standard deviations, so two of them are the tolerance.
    """
    loose = Interval(low * (1 - tolerance), high * (1 + tolerance))
    sd = usual_miss(Interval(low, high), loose)
    half, room = (high - low) / 2, (loose.high - loose.low) / 2
    grid = np.linspace(-room, room, 20001)
    density = np.exp(-((grid / sd) ** 2) / 2)
    assert (density @ grid**2) / density.sum() == pytest.approx(half**2 / 3 + (room - half) ** 2 / 4, rel=1e-3)


def test_exact_numbers_have_no_weight_beyond_their_rounding() -> None:
    assert usual_miss(Interval(11.0, 13.0), Interval(11.0, 13.0)) == math.inf


def test_what_a_printed_number_may_miss_is_possible_but_less_likely() -> None:
    for group in ("meat_fat", "added_water"):
        strict, usual = (_widths(tolerance, group) for tolerance in ("strict", "usual"))
        assert 1.0 <= usual[1] / strict[1] < usual[0] / strict[0]


def _widths(tolerance: str, group: str) -> tuple[float, float]:
    """Widths of what is possible and likely, over several texts that say the same: each draws other make-ups, and one
    width alone is uncertain by a twentieth.
    """
    found = []
    for spaces in range(4):
        share = read_label(STATEMENT + " " * spaces, PANEL, choices={"tolerance": tolerance}).makeup.group(group)
        assert share is not None and share.likely is not None
        found.append((share.possible.high - share.possible.low, share.likely.high - share.likely.low))
    possible, likely_ = zip(*found, strict=True)
    return sum(possible) / 4, sum(likely_) / 4


def _water(name: str, statement: str, market: str = "US") -> float:
    share = read_label(statement, "", name=name, market=market).makeup.group("water")
    assert share is not None and share.likely is not None
    return (share.likely.low + share.likely.high) / 2


def test_usual_water_goes_by_the_kind_of_sausage() -> None:
    """Frankfurters take up more water than other cooked sausage, dry sausage hardly any."""
    of_frankfurter, of_polish = (_water(name, STATEMENT) for name in ("Frankfurters", "Polish Sausage"))
    assert of_frankfurter > of_polish + 2


def test_dry_sausage_is_made_without_water_that_is_not_listed() -> None:
    statement = "Pork, salt, paprika, dextrose, garlic, preservative: sodium nitrite."
    panel = "Nutrition information per 100 g. Fat 30 g, Carbohydrate 2 g, Sugars 1 g, Protein 24 g, Salt 3.6 g"
    share = read_label(statement, panel, name="Salami", market="EU").makeup.group("water")
    assert share is not None and share.likely is not None
    assert share.possible.high > 10 and share.likely.high < 5
    assert share.likely.low == 0.0  # most likely there is none, and the range says so


def test_dried_sausage_has_a_likely_range_of_its_negative_added_water() -> None:
    """Moisture is below four times the protein of the meat, and that is no trace."""
    statement = "Pork, salt, paprika, dextrose, garlic, preservative: sodium nitrite."
    panel = "Nutrition information per 100 g. Fat 30 g, Carbohydrate 2 g, Sugars 1 g, Protein 24 g, Salt 3.6 g"
    share = read_label(statement, panel, name="Salami", market="EU").makeup.group("added_water")
    assert share is not None and share.possible.high < 0
    assert share.likely is not None and share.middle is not None
    assert share.possible.low < share.likely.low < share.middle < share.likely.high < share.possible.high


def test_plant_protein_is_not_drawn_mostly_as_water() -> None:
    """A food split into its macronutrients varies about the middle of its class: dry plant protein is more than half
    protein (USDA SR28, soy concentrate 16121: 63.6 %), so that 14 g of protein come from less than 30 g of it.
    """
    statement = "Water, textured wheat protein, coconut oil, pea protein, salt."
    panel = "Nutrition Facts\nServing size 100g\nTotal Fat 10g\nSodium 500mg\nTotal Carbohydrate 5g\nProtein 14g"
    share = read_label(statement, panel, name="Plant-Based Sausage").makeup.group("binders_protein")
    assert share is not None and share.middle is not None
    assert share.middle < 30


@pytest.mark.parametrize("statement", ["Beef, pork.", "Beef, pork, mechanically separated chicken."])
def test_order_alone_leaves_a_first_meat_what_an_order_leaves(statement: str) -> None:
    """Shares in falling order, any as likely as others: of n the first is the mean of 1, 1/2, … 1/n and the last 1/n of
    1/n (broken stick, textbook). That a meat is two amounts of the model must not draw them together.
    """
    found = [s.likely for s in read_label(statement, "", name="Sausage").makeup.ingredients]
    n = len(found)
    first, last = sum(100 / k for k in range(1, n + 1)) / n, 100 / n**2
    for share, mean in ((found[0], first), (found[-1], last)):
        assert share is not None
        assert (share.low + share.high) / 2 == pytest.approx(mean, abs=4.0)


def _ingredient(statement: str, panel: str, place: int, name: str, market: str) -> Interval:
    share = read_label(statement, panel, name=name, market=market).makeup.ingredients[place]
    assert share.likely is not None
    return share.likely


def test_paprika_is_more_in_a_chorizo_than_elsewhere() -> None:
    """Some 15 to 30 g in a kilogram of meat (common practice)."""
    statement = "Pork, salt, paprika, dextrose, garlic, preservative: sodium nitrite."
    panel = "Nutrition information per 100 g. Fat 30 g, Carbohydrate 3 g, Sugars 1 g, Protein 24 g, Salt 3.6 g"
    chorizo, salami = (_ingredient(statement, panel, 2, name, "EU") for name in ("Chorizo", "Salami"))
    assert chorizo.low > salami.low and chorizo.high > salami.high
    assert chorizo.low < 2.0 < chorizo.high


def test_cheese_in_a_sausage_is_about_a_tenth() -> None:
    """A tenth of the batch is common practice; up to 40 % is possible."""
    statement = "Pork, Cheddar Cheese, Water, Salt, Flavorings, Sodium Nitrite."
    panel = """Nutrition Facts\nServing size 56g\nCalories 170\nTotal Fat 15g\nSodium 520mg\nTotal Carbohydrate <1g
Total Sugars 0g\nProtein 8g"""
    cheese = read_label(statement, panel, name="Cheddar Smoked Sausage").makeup.ingredients[1]
    assert cheese.likely is not None
    assert cheese.likely.high < 20 < cheese.possible.high
