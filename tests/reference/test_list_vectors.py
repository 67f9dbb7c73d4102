"""Lists as the laws of several countries let them be printed, read as those laws say.

Sources, each named beside its check: Regulation (EU) No 1169/2011 as published; Canada's Food and Drug Regulations,
C.R.C., c. 870, snapshot of 2026-07-23; the class names and numbers of Regulation (EU) No 1129/2011. The statements are
invented.
"""

from __future__ import annotations

import pytest

from reader import read_label
from reader.facts import walk
from reader.report import Report


def verdict(report: Report, rule: str) -> str:
    return next(f.verdict for f in report.findings if f.rule.id == rule)


def test_grouped_sugars_are_one_ingredient_with_members_and_one_place() -> None:
    """B.01.008.3 (read): sugars stand together as "Sugars (…)", placed by their total."""
    report = read_label("Pork, water, sugars (dextrose, glucose solids), salt, sodium nitrite", market="CA")
    own = report.product.ingredients
    assert [i.printed for i in own] == ["Pork", "water", "sugars", "salt", "sodium nitrite"]
    assert [p.printed for p in own[2].parts] == ["dextrose", "glucose solids"]
    assert verdict(report, "ca_sugars") == "meets"


def test_a_list_in_two_languages_is_read_once() -> None:
    """B.01.012 (read): everything in English and French."""
    english = "Ingredients: Pork, Water, Salt, Sodium Nitrite."
    french = "Ingrédients : Porc, Eau, Sel, Nitrite de sodium."
    report = read_label(f"{english} {french}", market="CA")
    assert [i.printed for i in report.product.ingredients] == ["Pork", "Water", "Salt", "Sodium Nitrite"]
    assert [report.pasted(n.span) for n in report.listed.asides if n.kind == "other_language"] == [french]
    assert verdict(report, "ca_languages") == "meets"
    assert verdict(read_label(english, market="CA"), "ca_languages") == "cannot tell"


def test_more_meat_than_sausage_is_taken_at_its_word() -> None:
    """Regulation (EU) No 1169/2011, Annex VIII, point 4(a) (read): grams for 100 g where drying takes the share over 100 %."""
    report = read_label("Pork, salt, spices, preservative: E250. Made with 130 g of pork per 100 g.", market="EU")
    ratio = next(n for n in report.listed.asides if n.kind == "declared_ratio")
    assert ratio.value == 130
    assert verdict(report, "eu_over_hundred") == "meets"
    assert verdict(read_label("Pork (130%), salt, spices", market="EU"), "eu_over_hundred") == "breaks"


@pytest.mark.parametrize("printed", ["preservative (250)", "colour retention agent (INS 250)", "preservative: E 250"])
def test_one_number_is_one_additive_whatever_its_class_and_prefix(printed: str) -> None:
    """E 250 is sodium nitrite: Regulation (EU) No 1129/2011, part B (read); "preservative" and "colour retention agent"
    are the two classes Codex gives it (read on its page for nitrites).
    """
    report = read_label(f"Pork, water, salt, {printed}", market="AU")
    assert "sodium_nitrite" in {i.entry.id for i in walk(report.product.ingredients) if i.entry is not None}


@pytest.mark.parametrize(("market", "allergens"), [("EU", ("celery",)), ("CA", ())])
def test_celery_powder_brings_nitrite_and_where_the_law_says_so_an_allergen(
    market: str, allergens: tuple[str, ...]
) -> None:
    """Regulation (EU) No 1169/2011, Annex II, has celery among the allergens; B.01.010.1 of Canada has not (both read)."""
    text = "Pork, water, salt, celery powder. No nitrite added*. *Except that naturally occurring in celery powder."
    report = read_label(text, market=market)
    assert report.facts.cures == ("celery powder",)
    assert report.facts.allergens == allergens
