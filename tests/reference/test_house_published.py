"""Verdicts of a house against published numbers and lists; the source stands beside each check."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reader import read_label, tables
from reader.house.kinds import kinds, words_of
from reader.house.values import ASK, FAILS, MEETS, Requirement, Specification, Verdict
from reader.house.verdicts import judge
from reader.law.rules import by_id
from reader.panel.reading import panel_from_columns
from reader.price import NO_PRICE, Price
from reader.report import Report
from tests.reference.test_panel_arithmetic import SR28

# Target for sausages of the United Kingdom's salt reduction programme for 2024, at most for a single product: 550 mg
# sodium in 100 g. Second-hand: as a pork sausage scheme quotes it, with 1.31 g salt, which would be 524 mg.
UK_2024_MOST = 550.0
# Regulation (EU) No 1129/2011, Annex II part B, as published: numbers of additives by what they are.
NITRITES = ("249", "250", "251", "252")
PHOSPHATES = ("338", "339", "340", "341", "450", "451", "452")
GLUTAMATES = ("620", "621")
SORBATES_AND_SULPHITES = ("200", "202", "220", "221", "223", "224")
COLOURS = ("100", "120", "129", "150a", "150b", "150c", "150d", "160a", "160b", "161b", "162")


def asked(report: Report, kind: str, limit: float | None = None, *words: str, price: Price = NO_PRICE) -> Verdict:
    return judge(report, price, Specification("T", (Requirement(kind, True, limit, words),)))[0]


def frankfurter(row: tuple[str, str, float, float, float, float, float, float, float]) -> Report:
    """A frankfurter of SR28 with its published panel; the list is invented, for SR28 prints none."""
    _, food, kcal, fat, _, carbohydrate, _, protein, sodium = row
    values = {"energy_kcal": kcal, "fat_g": fat, "carb_g": carbohydrate, "protein_g": protein, "sodium_mg": sodium}
    panel = panel_from_columns(values, serving_g=None, basis="per100g", market="US")
    return read_label("Meat, water, salt", name=food, typed_panel=panel, depth="order")


@pytest.mark.parametrize("row", SR28, ids=[f"{row[0]} {row[1]}" for row in SR28])
def test_frankfurters_of_sr28_against_published_limits(row) -> None:
    """USDA SR28; the sodium target above; 9 CFR 319.180(a): fat at most 30 %."""
    report, fat, protein, sodium = frankfurter(row), row[3], row[7], row[8]
    fat_most = by_id()["us_frank_fat"].number("most")
    assert fat_most == 30
    assert asked(report, "sodium_per_100g", UK_2024_MOST).verdict == (MEETS if sodium <= UK_2024_MOST else FAILS)
    assert asked(report, "fat_per_100g", fat_most).verdict == (MEETS if fat <= fat_most else FAILS)
    for share, verdict in ((0.9, FAILS), (1.1, MEETS)):
        assert asked(report, "sodium_per_100g", sodium * share).verdict == verdict
    for share, verdict in ((0.85, MEETS), (1.15, FAILS)):
        assert asked(report, "protein_per_100g", protein * share).verdict == verdict


def test_of_thirteen_us_frankfurters_only_the_low_sodium_one_meets_the_target() -> None:
    """USDA SR28, 43507 at 311 mg; the others lie from 816 to 1,090 mg."""
    meets = [row[0] for row in SR28 if asked(frankfurter(row), "sodium_per_100g", UK_2024_MOST).verdict == MEETS]
    assert meets == ["43507"]


@pytest.mark.parametrize(
    ("kind", "numbers"),
    [
        ("nitrite", NITRITES),
        ("phosphates", PHOSPHATES),
        ("glutamates", GLUTAMATES),
        ("preservatives", SORBATES_AND_SULPHITES),
        ("colours", COLOURS),
    ],
)
def test_additives_are_known_by_their_numbers_and_their_published_names(kind: str, numbers: tuple[str, ...]) -> None:
    """Regulation (EU) No 1129/2011, Annex II part B."""
    published = {
        row[0]: row[1].split(",")[0]
        for row in csv.reader((Path(__file__).parent / "e_numbers.csv").open(encoding="utf-8"))
        if row and not row[0].startswith("#")
    }
    for number in numbers:
        for printed in (f"E{number}", published[number]):
            report = read_label(f"Pork, water, salt, {printed}.", market="EU", depth="order")
            assert asked(report, kind, None, "none").verdict == FAILS, printed


def test_every_other_additive_of_the_table_is_left_alone() -> None:
    """The same table: no number outside the group of a requirement fails it."""
    rows = csv.reader((Path(__file__).parent / "e_numbers.csv").open(encoding="utf-8"))
    numbers = [row[0] for row in rows if row and not row[0].startswith("#")]
    groups = {"nitrite": NITRITES, "phosphates": PHOSPHATES, "glutamates": GLUTAMATES, "colours": COLOURS}
    for number in numbers:
        report = read_label(f"Pork, water, salt, E{number}.", market="EU", depth="order")
        for kind, own in groups.items():
            found = asked(report, kind, None, "none").verdict
            assert (found == FAILS) == (number in own), f"E{number} {kind}"


@pytest.mark.parametrize("market", ["US", "EU", "UK", "CA", "AU"])
def test_every_allergen_of_a_markets_list_can_be_excluded_and_none_is_ever_cleared(market: str) -> None:
    """21 USC 321(qq); Regulation (EU) 1169/2011 Annex II; the lists of Canada, Australia and New Zealand."""
    kind = kinds()["allergens"]
    listed = [a for a in tables.load_raw()["allergens"]["allergens"] if market in a["markets"]]
    assert len(listed) >= 9
    for allergen in listed:
        assert allergen["word"] in words_of(kind)
        plain = read_label("Pork, water, salt.", market=market, depth="order")
        named = read_label(f"Pork, water, salt. Contains: {allergen['words'][0]}.", market=market, depth="order")
        assert asked(plain, "allergens", None, allergen["word"]).verdict == ASK
        assert asked(named, "allergens", None, allergen["word"]).verdict == FAILS, allergen["id"]


def test_declared_meat_against_the_british_minimum() -> None:
    """The Products Containing Meat etc. Regulations 2014: a pork sausage holds at least 42 % meat (second-hand)."""
    least = by_id()["uk_pork_sausage"].number("pork")
    for declared, verdict in ((30, FAILS), (60, MEETS)):
        report = read_label(
            f"Pork ({declared}%), water, rusk (wheat), salt.", name="Pork Sausages", market="UK", depth="possible"
        )
        assert asked(report, "meat_at_least", least).verdict == verdict
