"""Rules of composition and the arithmetic behind them against numbers worked by hand from published texts.

Each vector names its source; all numbers are arithmetic on them, so that they hold whatever the program does.
"""

from __future__ import annotations

import pytest

from reader import Report, read_label
from reader.law.rules import by_id
from reader.law.values import Finding
from reader.panel.form import fits_day
from reader.panel.reading import read_panel
from reader.panel.standards import day_references
from reader.quantities import Interval
from reader.yardsticks import measured

CURED = "Pork (80%), water, salt, preservative (E250)."


def panel(fat: float, carbohydrate: str, protein: str, salt: str) -> str:
    return f"per 100 g: Fat {fat:g} g, Carbohydrate {carbohydrate} g, Protein {protein} g, Salt {salt} g"


def found(report: Report, rule: str) -> Finding:
    return next(f for f in report.findings if f.rule.id == rule)


def told(finding: Finding) -> dict[str, str]:
    assert finding.ruling is not None
    return dict(finding.ruling.says.values)


def test_salt_of_2_2_g_is_880_mg_sodium() -> None:
    """Regulation (EU) 1169/2011 Annex I 11 (salt = sodium x 2.5): 2.2 g is 880 mg; printed 2.2 stands for 860-900."""
    read = read_panel(panel(25, "2.0", "12", "2.2"), "EU")
    assert read.stated_per_100g("sodium_mg") == pytest.approx(880)
    assert read.per_100g("sodium_mg") == pytest.approx((860, 900))


def test_690_mg_in_75_g_is_30_percent_of_a_canadian_day() -> None:
    """Food and Drug Regulations (Canada) B.01.401 item 8: above 140 mg by tens, so 685-695; 30 % of 2,300 mg (the day as
    quoted in secondary pages).
    """
    read = read_panel("Nutrition Facts Per 1 sausage (75 g) Fat 15 g Sodium 690 mg 30 %", "CA")
    assert read.per_serving("sodium_mg") == (685, 695)
    day = day_references("CA")[0].values["sodium_mg"]
    assert fits_day(Interval(685, 695), 30, day) and not fits_day(Interval(685, 695), 29, day)


def test_fat_of_27_g_over_80_percent_pork_lies_within_tolerance() -> None:
    """Regulation (EU) 1169/2011 Annex VII B 17: 30 % of 80 is 24.0 g; four fifths of 27 is 21.6, of 26.5 it is 21.2."""
    finding = found(read_label(CURED, panel(27, "1.0", "13", "2.2"), name="Frankfurter", market="EU"), "eu_fat_of_meat")
    assert finding.verdict == "cannot tell"
    assert told(finding)["alone"] == "24"
    assert told(finding)["least"] == "21.2"


@pytest.mark.parametrize(("fat", "verdict"), [(22, "meets"), (23, "meets"), (31, "breaks"), (33, "breaks")])
def test_fat_on_either_side_of_what_80_percent_pork_can_hold(fat: int, verdict: str) -> None:
    """Annex VII B 17: up to 24.0 g holds; 30.5 x 0.8 = 24.4 is more than pork of at most 80.5 % (24.15) can bring."""
    report = read_label(CURED, panel(fat, "1.0", "11", "2.2"), name="Frankfurter", market="EU")
    assert found(report, "eu_fat_of_meat").verdict == verdict


@pytest.mark.parametrize(
    ("meat", "grams"), [("Pork (50%)", "15"), ("Beef (50%)", "12.5"), ("Chicken (50%)", "7.5"), ("Rabbit (50%)", "7.5")]
)
def test_fat_limits_of_meat_by_species(meat: str, grams: str) -> None:
    """Annex VII B 17: pig 30 %, other mammals 25 %, birds and rabbits 15 % of the meat."""
    report = read_label(f"{meat}, water, salt.", panel(5, "1.0", "13", "2.2"), name="Sausage", market="EU")
    assert told(found(report, "eu_fat_of_meat"))["alone"] == grams


def test_80_percent_pork_is_56_to_80_percent_lean() -> None:
    """Annex VII B 17: pork may be 30 % fat, so 80 x 0.7 = 56 is the least lean."""
    values = told(found(read_label(CURED, name="Frankfurter", market="EU"), "eu_lean_of_meat"))
    assert (values["low"], values["high"]) == ("56", "80")


def test_a_usual_frankfurter_lies_inside_both_austrian_lines() -> None:
    """Austrian food codex B14, G.1.2.1: protein 12, fat 25, carbohydrate 2, salt 2.2 leave 57.8 water with 3.2 ash; water
    4.8, fat 2.1, both 6.9 times the protein; lines 6.3, 3.0, 8.5 and 5.6, 2.5, 7.6.
    """
    text = panel(25, "2.0", "12", "2.2")
    ratios = measured(read_panel(text, "EU"))
    assert ratios is not None and ratios.water.holds(57.8)
    assert ratios.water_to_protein.holds(4.8)
    assert ratios.fat_to_protein.holds(2.1)
    assert ratios.water_and_fat_to_protein.holds(6.9)
    report = read_label(CURED, text, name="Frankfurter", market="EU")
    assert found(report, "at_frankfurter").verdict == found(report, "at_frankfurter_raised").verdict == "meets"


def test_a_watery_one_lies_above_the_austrian_line() -> None:
    """Austrian food codex B14, G.1.2.1: protein 9, fat 22, carbohydrate 6, salt 2.4 leave 59.6 water; 6.6 and 9.1."""
    text = panel(22, "6.0", "9.0", "2.4")
    ratios = measured(read_panel(text, "EU"))
    assert ratios is not None and ratios.water.holds(59.6)
    assert ratios.water_to_protein.holds(6.6, 0.03)
    assert ratios.water_and_fat_to_protein.holds(9.1, 0.03)
    report = read_label("Pork (60%), water, starch, salt, preservative (E250).", text, name="Frankfurter", market="EU")
    finding = found(report, "at_frankfurter")
    assert finding.verdict == "cannot tell"
    assert finding.ruling is not None and finding.ruling.says.key == "finding_ratios_above"


def test_austrian_lines() -> None:
    """Austrian food codex B14, G.1.2.1, frankfurters of grade 1b and 1a: W:P, F:P, (W+F):P."""
    names = ("water_to_protein", "fat_to_protein", "water_and_fat_to_protein")
    assert [by_id()["at_frankfurter"].number(n) for n in names] == [6.3, 3.0, 8.5]
    assert [by_id()["at_frankfurter_raised"].number(n) for n in names] == [5.6, 2.5, 7.6]


def test_130_g_of_pork_for_100_g_is_taken_as_it_stands() -> None:
    """Regulation (EU) 1169/2011 Annex VIII 4(a): what dried may be made of more than its weight; 100/130 leaves 77 g of
    sold for 100 g of used, and no percentage that fat could be held against.
    """
    report = read_label(
        "Pork, salt, spices, preservative (E250). Made with 130 g pork per 100 g.",
        panel(35, "1.0", "24", "4.0"),
        name="Salami",
        market="EU",
    )
    assert report.makeup.clash is None
    assert found(report, "eu_fat_of_meat").verdict == "not applicable"


@pytest.mark.parametrize(("flesh", "most"), [(50, 25.0), (60, 30.0)])
def test_australian_fat_is_half_the_fat_free_flesh(flesh: int, most: float) -> None:
    """Standard 2.2.1 (2000) clause 3: fat at most 500 g a kilogram of fat-free flesh, so 25 % fat beside 50 % flesh."""
    rule = by_id()["au_sausage_fat"]
    assert flesh * rule.number("most") / 100 == most
    assert by_id()["au_sausage_flesh"].number("least") == 50
