"""Printed names matched as the case file says. New cases go into tests/cases/matching.yaml only."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from reader import tables, wordforms
from reader.ingredient_tree import Ingredient
from reader.naming.lookup import for_market, known
from reader.naming.names import names
from reader.phrases import book
from reader.pipeline import MARKETS, read_label

CASES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "cases" / "matching.yaml").read_text("utf-8"))
KEYS = {"weak", "printed", "is", "match", "dropped", "offers", "never", "notes", "role", "pair", "market", "says"}
KINDS = {"exact", "spelling", "number", "scan", "near", "head", "choice", "unknown", "class", "casing"}
NO_ENTRY = ("casing", "class")
IDS = frozenset(e["id"] for e in tables.raw_entries())
NAMES = [f"{n + 1:03} {c['printed']}" for n, c in enumerate(CASES)]
every_case = pytest.mark.parametrize("case", CASES, ids=NAMES)
# A case with `weak` names another entry than it should; the day it does not, the mark must go.
every_entry = pytest.mark.parametrize(
    "case",
    [
        pytest.param(c, id=name, marks=[pytest.mark.xfail(reason=c["weak"], strict=True)] if "weak" in c else [])
        for name, c in zip(NAMES, CASES, strict=True)
    ],
)


def terms(case: dict[str, Any]) -> list[Ingredient]:
    """The terms the printed words turn out to be; they are read as a list of their own."""
    report = read_label(case["printed"], market=case.get("market", "US"))
    return [i for s in report.listed.sections for i in s.ingredients]


def called(ingredient: Ingredient) -> str:
    """What the case file calls a term: its entry, or "casing" or "class" for what has none."""
    if ingredient.entry is not None:
        return ingredient.entry.id
    return ingredient.role if ingredient.role in NO_ENTRY else "unknown"


def holds(printed: str, words: str) -> bool:
    """Whether the words stand in the printed name one behind the other, letter for letter."""
    keys, wanted = ([wordforms.word_key(w) for w in wordforms.words(text)] for text in (printed, words))
    return any(keys[i : i + len(wanted)] == wanted for i in range(len(keys)))


def bag(words: list[str] | tuple[str, ...]) -> list[str]:
    return sorted(wordforms.word_key(w) for phrase in words for w in wordforms.words(phrase))


def as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def test_the_file_holds_cases() -> None:
    assert len(CASES) >= 120
    printed = [case["printed"] for case in CASES]
    assert sorted(set(printed)) == sorted(printed), "two cases with the same printed words"


@every_case
def test_case_uses_known_keys(case: dict[str, Any]) -> None:
    assert set(case) <= KEYS, sorted(set(case) - KEYS)
    assert "printed" in case and {"is", "says", "never"} & set(case), "the case expects nothing"
    assert set(as_list(case.get("match", []))) <= KINDS
    ids = {e for key in ("is", "offers", "never") for e in as_list(case.get(key, []))}
    assert not ids - IDS - {"unknown", *NO_ENTRY}


@every_entry
def test_entry(case: dict[str, Any]) -> None:
    found = terms(case)
    got = [called(i) for i in found]
    told = [
        (i.printed, i.match.kind, g, i.match.dropped, i.match.alternatives) for i, g in zip(found, got, strict=True)
    ]
    if "is" in case:
        assert got == as_list(case["is"]), told
    assert not set(got) & set(as_list(case.get("never", []))), told
    for ingredient in found:
        assert (ingredient.role == "unknown") == (ingredient.match.kind == "unknown"), told


@every_case
def test_reason(case: dict[str, Any]) -> None:
    found = terms(case)
    if "match" in case:
        wanted = as_list(case["match"])
        kinds = [i.match.kind for i in found]
        assert kinds == (wanted if len(wanted) == len(kinds) else wanted * len(kinds))
    if "dropped" in case:
        assert bag([w for i in found for w in i.match.dropped]) == bag(as_list(case["dropped"]))
    if "offers" in case:
        offered = {a for i in found for a in (*i.match.alternatives, *(o.id for o in i.match.others))}
        assert set(as_list(case["offers"])) <= offered
    if "notes" in case:
        assert [n.kind for i in found for n in i.notes] == as_list(case["notes"])
    if "role" in case:
        assert [i.role for i in found] == as_list(case["role"])
    for ingredient in found:
        score = ingredient.match.score
        assert score == 0 if ingredient.match.kind == "unknown" else 0 < score <= 100


@every_case
def test_help_sentence(case: dict[str, Any]) -> None:
    problems = read_label(case["printed"], market=case.get("market", "US")).problems
    for words in as_list(case.get("says", [])):
        assert any(words in p.message for p in problems), [p.message for p in problems]


@pytest.mark.parametrize("pair", book().confusable, ids="/".join)
def test_pair_is_tested_both_ways(pair: tuple[str, str]) -> None:
    """Both words of a pair stand in a case as printed, and each has a misspelt case."""
    cases = [case for case in CASES if case.get("pair") == "/".join(pair)]
    for word in pair:
        assert any(holds(case["printed"], word) for case in cases), f'"{word}" is not tested'
    assert sum(not any(holds(c["printed"], w) for w in pair) for c in cases) >= 2, "each word needs a misspelt case"


MARKET_WORDINGS: list[dict[str, Any]] = tables.load_raw()["market_wordings"]


@pytest.mark.parametrize("row", MARKET_WORDINGS, ids=lambda row: row["wording"])
def test_wording_means_another_food_in_its_markets_only(row: dict[str, Any]) -> None:
    pieces = known(row["wording"])
    assert len(pieces) == 1
    elsewhere = pieces[0].match.entry
    assert elsewhere is not None and elsewhere.id != row["means"]
    for market in MARKETS:
        entry = for_market(pieces[0], market).match.entry
        assert entry is not None
        assert entry.id == (row["means"] if market in row["markets"] else elsewhere.id)


def test_every_entry_is_found_by_its_own_name() -> None:
    """No entry's name leads to another entry."""
    wrong = []
    for position in range(len(IDS)):
        entry = names().entry(position)
        found = names().find(wordforms.key(entry.name))
        if found is None or found.entry.id != entry.id:
            wrong.append(entry.id)
    assert not wrong
