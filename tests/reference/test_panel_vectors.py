"""Rules of panels and claims against published numbers, through the whole reader. The source stands beside each check."""

from __future__ import annotations

import pytest

from reader import read_label
from reader.findings_told import finding_told
from reader.law.values import Finding
from reader.report import Report


def found(report: Report, rule: str) -> Finding:
    return next(finding for finding in report.findings if finding.rule.id == rule)


def panel_of(amounts: str) -> str:
    return f"Nutrition Facts\nServings Per Container 8\nServing Size 1 frank (50g)\n{amounts}"


CANADA = (
    "Nutrition Facts / Valeur nutritive\nServing size 1 sausage (75 g)\nCalories 220\nFat / Lipides 18 g\n"
    "Carbohydrate / Glucides 2 g\nProtein / Protéines 12 g\nSodium {sodium} mg {percent}"
)


def test_canadian_serving_of_690_mg() -> None:
    """Food and Drug Regulations (C.R.C., c. 870) B.01.401: sodium above 140 mg to 10 mg. B.01.350: a symbol from 15 %."""
    report = read_label("Pork, water, salt.", CANADA.format(sodium=690, percent="30 %"), market="CA")
    assert found(report, "ca_rounding").verdict == "meets"
    assert found(report, "ca_percents").verdict == "meets"
    assert "comes to 30 % of a day" in finding_told(found(report, "ca_front_threshold"))


@pytest.mark.parametrize(("sodium", "percent"), [(690, 30), (345, 15)])
def test_canadian_percent_of_sodium_worked_out(sodium: int, percent: int) -> None:
    """The daily value of sodium, 2,300 mg, as quoted by secondary pages: 15 % are 345 mg and 30 % are 690 mg."""
    report = read_label("Pork, water, salt.", CANADA.format(sodium=sodium, percent=""), market="CA")
    ruling = found(report, "ca_front_threshold").ruling
    assert ruling is not None
    assert ruling.found == pytest.approx((percent, percent))


@pytest.mark.parametrize(
    ("percent", "verdict", "layout"),
    [(20, "meets", "older"), (21, "meets", "newer"), (22, "breaks", ""), (19, "breaks", "")],
)
def test_480_mg_sodium_is_20_percent_of_the_older_day_and_21_of_the_newer(
    percent: int, verdict: str, layout: str
) -> None:
    """Daily values of the United States as reprinted: sodium 2,400 mg before 2016, 2,300 mg since."""
    amounts = f"Calories 150\nTotal Fat 13g\nSodium 480mg {percent}%\nTotal Carbohydrate 1g\nProtein 7g"
    report = read_label("Beef, water, salt.", panel_of(amounts))
    assert found(report, "us_percents").verdict == verdict
    told = found(report, "us_panel_layout")
    assert told.ruling is not None
    if layout:
        assert told.ruling.says.key.startswith(f"finding_layout_{layout}")


@pytest.mark.parametrize(
    ("row", "printable"),
    [
        ("Sodium 140mg", True),  # 9 CFR 317.309(c)(4): to 5 mg up to 140, to 10 mg above; under 5 mg 0
        ("Sodium 145mg", False),
        ("Sodium 150mg", True),
        ("Sodium 5mg", True),
        ("Sodium 147mg", False),
        ("Sodium 3mg", False),
        ("Total Fat 4.5g", True),  # (c)(2): to 0.5 g under 5 g, to 1 g from 5 g
        ("Total Fat 4.7g", False),
        ("Total Fat 5.5g", False),
        ("Total Fat 7.3g", False),
        ("Cholesterol less than 5mg", True),  # (c)(3): 2 to 5 mg "less than 5 mg", to 5 mg above
        ("Cholesterol 4mg", False),
        ("Cholesterol 35mg", True),
        ("Total Carbohydrate less than 1g", True),  # (c)(6): under 0.5 g 0, under 1 g "less than 1 g", to 1 g above
        ("Total Carbohydrate 1.5g", False),
        ("Protein 6.5g", False),  # (c)(7)
        ("Calories 45", True),  # FDA Food Labeling Guide, Appendix H: to 5 up to 50, to 10 above
        ("Calories 55", False),
        ("Calories 13", False),
    ],
)
def test_what_rounding_of_the_united_states_can_print(row: str, printable: bool) -> None:
    """9 CFR 317.309(c); a row by row list of the steps as read there."""
    others = [o for o in ("Calories 90", "Trans Fat 0g", "Sugars 1g") if o.split()[0] != row.split()[0]]
    report = read_label("Turkey, water, salt.", panel_of("\n".join([*others, row])))
    assert found(report, "us_rounding").verdict == ("meets" if printable else "breaks")


@pytest.mark.parametrize(
    ("claim", "rule", "amounts", "verdict"),
    [
        # 9 CFR 317.361(b)(1), (2), (4), in mg of sodium: under 5, at most 35, at most 140.
        ("sodium free", "us_sodium_free", "Sodium 0mg", "meets"),
        ("sodium free", "us_sodium_free", "Sodium 10mg", "breaks"),
        ("very low sodium", "us_very_low_sodium", "Sodium 30mg", "meets"),
        ("very low sodium", "us_very_low_sodium", "Sodium 40mg", "breaks"),
        ("low sodium", "us_low_sodium", "Sodium 135mg", "meets"),
        ("low sodium", "us_low_sodium", "Sodium 150mg", "breaks"),
        # 9 CFR 317.362(b): fat under 0.5 g, at most 3 g; (e): lean under 10 g fat, at most 4.5 g saturated fat, under 95 mg cholesterol in 100 g.
        ("fat free", "us_fat_free", "Total Fat 0g", "meets"),
        ("fat free", "us_fat_free", "Total Fat 1g", "breaks"),
        ("low fat", "us_low_fat", "Total Fat 2.5g", "meets"),
        ("low fat", "us_low_fat", "Total Fat 4g", "breaks"),
        ("lean", "us_lean", "Total Fat 4g\nSaturated Fat 1.5g\nCholesterol 40mg", "meets"),
        ("lean", "us_lean", "Total Fat 4g\nSaturated Fat 2g\nCholesterol 55mg", "breaks"),
        ("extra lean", "us_extra_lean", "Total Fat 2g\nSaturated Fat 0.5g\nCholesterol 40mg", "meets"),
        ("extra lean", "us_extra_lean", "Total Fat 4g\nSaturated Fat 2g\nCholesterol 40mg", "breaks"),
    ],
)
def test_levels_of_claims(claim: str, rule: str, amounts: str, verdict: str) -> None:
    report = read_label(
        "Turkey, water, spices.", panel_of(f"Calories 60\n{amounts}\nProtein 8g"), name=f"Turkey links, {claim}"
    )
    assert found(report, rule).verdict == verdict


def test_a_frank_with_30_percent_fat_is_neither_lean_nor_low_in_fat() -> None:
    """9 CFR 317.362: a 55 g link at 30 % fat holds 16.5 g (17 g printed), over 10 g in 100 g and 3 g in a serving."""
    text = "Serving Size 1 frank (55g)\nCalories 180\nTotal Fat 17g\nSaturated Fat 6g\nCholesterol 35mg\nSodium 500mg\nProtein 7g"
    lean = read_label("Beef, water, salt.", text, name="Lean beef franks")
    low = read_label("Beef, water, salt.", text, name="Low fat beef franks")
    assert found(lean, "us_lean").verdict == "breaks"
    assert found(low, "us_low_fat").verdict == "breaks"
