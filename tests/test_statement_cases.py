"""Statements read as the case file says, and what holds for every reading. New cases go into the case file only."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from reader import wordforms
from reader.facts import walk
from reader.ingredient_tree import Ingredient
from reader.naming.names import names
from reader.pasted import clean
from reader.pipeline import read_label
from reader.report import Report
from reader.spans import Span

CASES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "cases" / "statement.yaml").read_text("utf-8"))
KEYS = {
    *("case", "paste", "market", "front", "terms", "sections", "kinds", "clause", "percent", "casing", "asides"),
    *("problems", "says", "unknown", "allergens", "count", "class", "notes", "joined", "smoke", "food", "first"),
    *("cures", "sweeteners", "panel"),
}
every_case = pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])


@lru_cache(maxsize=512)
def _read(paste: str, market: str, front: str) -> Report:
    return read_label(paste, name=front, market=market, depth="order")


def read(case: dict[str, Any]) -> Report:
    return _read(case["paste"], case.get("market", "US"), case.get("front", ""))


def split(text: str) -> list[tuple[str, str]]:
    """ "pork, seasoning (salt, spices)" → [("pork", ""), ("seasoning", "salt, spices")]."""
    found: list[tuple[str, str]] = []
    depth, start, name, inner = 0, 0, "", 0
    for i, sign in enumerate(text + ","):
        if sign == "(":
            if depth == 0:
                name, inner = text[start:i].strip(), i + 1
            depth += 1
        elif sign == ")":
            depth -= 1
            if depth == 0:
                found.append((name, text[inner:i]))
                name, start = "", i + 1
        elif sign == "," and depth == 0:
            if text[start:i].strip():
                found.append((text[start:i].strip(), ""))
            start = i + 1
    assert depth == 0, f"brackets do not close in the case: {text}"
    return found


def is_term(ingredient: Ingredient, words: str) -> bool:
    """Whether the term is what the case calls it: the same lexicon entry, or the printed words if it has none."""
    options = [w.strip() for w in words.split("|")]
    ids = [named.entry.id if (named := names().find(wordforms.key(w))) else "" for w in options]
    entry = ingredient.entry
    if len(options) > 1:
        return entry is not None and {entry.id, *(o.id for o in ingredient.match.others)} == set(ids)
    if ingredient.match.kind == "choice":
        return False
    if ids[0] and entry is not None:
        return entry.id == ids[0]
    return entry is None and wordforms.key(ingredient.printed) == wordforms.key(words)


def shown(ingredient: Ingredient) -> str:
    """A term in the notation of the case file, to compare by eye."""
    name = ingredient.entry.name if ingredient.entry else f"{ingredient.printed}?"
    if ingredient.match.kind == "choice":
        name = " | ".join([name, *(o.name for o in ingredient.match.others)])
    inner = ", ".join(shown(p) for p in ingredient.parts)
    return f"{name} ({inner})" if inner else name


def eaten(ingredients: tuple[Ingredient, ...]) -> list[Ingredient]:
    """The terms of a list without its casings, which `casing` tells."""
    return [i for i in ingredients if i.role != "casing"]


def same(found: list[Ingredient], expected: list[tuple[str, str]]) -> bool:
    return len(found) == len(expected) and all(
        is_term(i, words) and same(eaten(i.parts), split(inner))
        for i, (words, inner) in zip(found, expected, strict=True)
    )


def compare(found: list[Ingredient], terms: list[str]) -> None:
    expected = [pair for term in terms for pair in split(term)]
    assert same(found, expected), "\n  expected: " + ", ".join(terms) + "\n  got:      " + ", ".join(map(shown, found))


def every_term(report: Report) -> list[Ingredient]:
    return [i for s in report.listed.sections for i in walk(s.ingredients) if i.role != "casing"]


def tidy(words: str) -> str:
    return " ".join(words.replace("\u00ad", "").lower().split()).strip(" .,;:*")


def test_the_file_holds_cases() -> None:
    assert len(CASES) >= 120
    named = [case["case"] for case in CASES]
    assert sorted(set(named)) == sorted(named), "two cases with one name"


@every_case
def test_case_uses_known_keys(case: dict[str, Any]) -> None:
    assert set(case) <= KEYS, sorted(set(case) - KEYS)
    assert {"case", "paste"} <= set(case)
    assert len(case) > 2, "the case expects nothing"


@every_case
def test_terms(case: dict[str, Any]) -> None:
    report = read(case)
    sections = report.listed.sections
    if "terms" in case:
        if case["terms"]:
            assert len(sections) == 1, [s.label for s in sections]
        compare([i for s in sections for i in eaten(s.ingredients)], case["terms"])
    if "sections" in case:
        assert [tidy(s.label) for s in sections] == [tidy(label) for label in case["sections"]]
        for section, terms in zip(sections, case["sections"].values(), strict=True):
            compare(eaten(section.ingredients), terms)
    if "kinds" in case:
        assert [s.kind for s in sections] == case["kinds"]


@every_case
def test_limits_and_percentages(case: dict[str, Any]) -> None:
    if not {"terms", "sections", "clause", "percent"} & set(case):
        return
    terms = every_term(read(case))
    limited = [(i.clause.percent, i) for i in terms if i.clause is not None]
    expected = [(limit, words) for limit, listed in case.get("clause", {}).items() for words in listed]
    told = [f"{shown(i)} at most {limit:g}" for limit, i in limited]
    assert len(limited) == len(expected), told
    for (limit, ingredient), (want, words) in zip(limited, expected, strict=True):
        assert limit == want and is_term(ingredient, words), told
    declared = [i for i in terms if i.percent is not None]
    told = [f"{shown(i)}: {i.percent}" for i in declared]
    assert len(declared) == len(case.get("percent", {})), told
    for ingredient, (words, value) in zip(declared, case.get("percent", {}).items(), strict=True):
        assert is_term(ingredient, words) and ingredient.percent is not None, told
        low, high = ingredient.percent.low, ingredient.percent.high
        if isinstance(value, list):
            assert [low, high] == pytest.approx(value, abs=0.51), told
        else:
            assert low <= value <= high and high - low <= 1.01, told


@every_case
def test_words_beside_the_list(case: dict[str, Any]) -> None:
    report = read(case)
    if {"terms", "sections", "asides"} & set(case):
        found = [(n.kind, tidy(report.pasted(n.span))) for n in report.listed.asides]
        assert found == [(kind, tidy(words)) for aside in case.get("asides", []) for kind, words in aside.items()]
    if {"terms", "sections", "casing"} & set(case):
        assert report.facts.casing.value == case.get("casing", "not stated")
    assert [p.kind for p in report.problems] == case.get("problems", []), [p.message for p in report.problems]
    for words in case.get("says", []):
        assert any(words in p.message for p in report.problems), [p.message for p in report.problems]


@every_case
def test_what_follows_from_the_list(case: dict[str, Any]) -> None:
    report = read(case)
    facts = report.facts
    if {"terms", "sections", "unknown"} & set(case):
        assert list(map(tidy, facts.unknown_terms)) == [tidy(w) for w in case.get("unknown", [])]
    for key, value in (
        ("allergens", list(facts.allergens)),
        ("count", facts.ingredient_count),
        ("smoke", facts.smoke),
        ("food", report.product.food),
        ("first", facts.first_ingredient),
        ("cures", list(facts.cures)),
        ("sweeteners", list(facts.sweeteners)),
    ):
        if key in case:
            assert value == case[key]


@every_case
def test_class_words_notes_and_joiners(case: dict[str, Any]) -> None:
    terms = every_term(read(case))

    def told(words: str) -> Ingredient:
        return next(i for i in terms if is_term(i, words))

    for words, class_word in case.get("class", {}).items():
        assert wordforms.key(told(words).class_word) == wordforms.key(class_word), words
    for words, kinds in case.get("notes", {}).items():
        assert [n.kind for n in told(words).notes] == kinds, words
    for words, joiner in case.get("joined", {}).items():
        assert told(words).joiner == joiner, words


@every_case
def test_panel_lines_pasted_along(case: dict[str, Any]) -> None:
    panel = read(case).panel
    found = {a.nutrient: a.printed for column in panel.columns for a in column.amounts}
    assert case.get("panel", {}).items() <= found.items()
    assert "panel" in case or panel.empty, "nutrition lines were seen where the case has none"


@every_case
def test_every_place_slices_to_what_is_printed(case: dict[str, Any]) -> None:
    report = read(case)
    for ingredient in every_term(report):
        assert ingredient.whole.start <= ingredient.span.start < ingredient.span.end <= ingredient.whole.end
        assert ingredient.whole.end <= len(case["paste"])
    starts = [i.span.start for s in report.listed.sections for i in s.ingredients]
    assert starts == sorted(starts)


@every_case
def test_no_word_is_lost(case: dict[str, Any]) -> None:
    """Every word of a paste stands in a term, a heading, a note, an aside, a class word or among the connecting words."""
    report = read(case)
    if not report.panel.empty:
        return  # nutrition lines are the panel's own affair
    listed = report.listed
    covered = [False] * len(case["paste"])
    spans: list[Span | None] = [*(n.span for n in listed.asides), *listed.headings, *listed.links]
    spans += [s.span for s in listed.sections]
    class_words: set[str] = set()
    for ingredient in (i for s in listed.sections for i in walk(s.ingredients)):
        spans += [ingredient.span, ingredient.percent_span, *(n.span for n in ingredient.notes)]
        spans += [ingredient.clause.span] if ingredient.clause else []
        class_words |= set(wordforms.plain(ingredient.class_word).split())
    for span in spans:
        if span is not None:
            covered[span.start : span.end] = [True] * (span.end - span.start)
    lost = [m[0] for m in wordforms.WORD.finditer(clean(case["paste"])) if not any(covered[m.start() : m.end()])]
    assert not [w for w in lost if wordforms.plain(w) not in class_words], lost
