"""The data of claims: names that an ingredient can bear, words folded as the search folds them, values that are used."""

from __future__ import annotations

from typing import Any

import pytest

from reader import tables, wordforms
from reader.law.rules import Rule, all_rules

RAW = tables.load_raw()
CLAIMS = [rule for rule in all_rules() if rule.judge.startswith("claim_")]
NAMES = {
    *(entry["id"] for entry in tables.raw_entries()),
    *(role["id"] for role in RAW["roles"]),
    *(f"{role['id']}:{kind}" for role in RAW["roles"] for kind in role["kinds"]),
    *(f"allergen:{allergen['id']}" for allergen in RAW["allergens"]["allergens"]),
}


@pytest.mark.parametrize("rule", CLAIMS, ids=lambda rule: rule.id)
def test_ingredients_of_a_claim_are_known(rule: Rule) -> None:
    unknown = {*rule.words("against"), *rule.words("open")} - NAMES
    assert not unknown


@pytest.mark.parametrize("rule", CLAIMS, ids=lambda rule: rule.id)
def test_single_words_of_a_claim_are_folded(rule: Rule) -> None:
    for group in ("not_before", "not_after", "reference", "small_words"):
        for word in rule.words(group):
            assert wordforms.word_key(word) == word, f"{rule.id}: {group}: write {wordforms.word_key(word)!r}"


@pytest.mark.parametrize("rule", CLAIMS, ids=lambda rule: rule.id)
def test_a_longer_wording_holds_one_of_the_claim(rule: Rule) -> None:
    """Otherwise it could never take a claim out."""

    def folded(wording: Any) -> str:
        return wordforms.key(str(wording))

    for longer in rule.words("not_words"):
        assert any(folded(word) in folded(longer) for word in rule.words("words")), longer


@pytest.mark.parametrize("rule", CLAIMS, ids=lambda rule: rule.id)
def test_limits_are_those_of_the_nutrients(rule: Rule) -> None:
    limits = {key for key in rule.values if key in RAW["panel_words"]["nutrients"]}
    assert limits == set(rule.words("nutrients"))
