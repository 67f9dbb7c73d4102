"""Laws of reading: nothing raises, nothing is lost, places are true, print does not change meaning."""

from __future__ import annotations

import json

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from reader import facts, pasted
from reader.ingredient_tree import Ingredient
from reader.naming.lookup import known
from reader.panel.reading import find_panel
from reader.pipeline import MARKETS, read_label
from reader.statement.tokens import tokenize
from tests.properties import strategies as make


@given(st.one_of(make.anything, make.label_like))
def test_cleaning_keeps_the_length(text: str) -> None:
    """A place in the clean text is the place in the text as pasted."""
    assert len(pasted.clean(text)) == len(text)


@given(st.one_of(make.anything, make.label_like))
def test_tokens_are_lossless(text: str) -> None:
    """Between two tokens stand only blanks, and every token is a slice of the text."""
    clean = pasted.clean(text)
    end = 0
    for token in tokenize(clean):
        assert not clean[end : token.start].strip("\u00ad ").strip()
        assert clean[token.start : token.end] == token.text
        end = token.end
    assert not clean[end:].strip("\u00ad ").strip()


@settings(max_examples=150)
@given(st.one_of(make.anything, make.label_like), st.one_of(make.anything, make.label_like), st.sampled_from(MARKETS))
def test_no_text_raises_and_every_place_is_true(statement: str, panel: str, market: str) -> None:
    """Any text is read in any market; each Span of the report slices to what it names; the report is plain JSON."""
    report = read_label(statement, panel, name=statement[:40], market=market, depth="order")
    for section in report.listed.sections:
        for ingredient in facts.walk(section.ingredients):
            box = {"statement": statement, "panel": panel, "name": statement[:40]}[ingredient.span.text]
            printed = " ".join(ingredient.span.of(pasted.clean(box)).replace("\u00ad", "").split())
            assert printed == ingredient.printed
    for problem in report.problems:
        assert problem.span is None or 0 <= problem.span.start <= problem.span.end
    json.dumps(report.to_dict())


@settings(max_examples=100)
@given(st.one_of(make.anything, make.label_like))
@example("PORK and PORK")
@example("( BATTER: [with PORK")
@example("#²")
@example("[with to protect flavor: <= 2% ) :")
@example("contains 2% or less of PORK PORK PORK PORK PORK PORK Serving size 1 link (45g) to protect flavor:")
def test_every_word_is_shown_somewhere(text: str) -> None:
    """Each letter or digit pasted lies in an ingredient, an aside, a heading, a label, a clause, a note or the panel."""
    report = read_label(text, depth="order")
    covered = [False] * len(text)

    def cover(start: int, end: int) -> None:
        covered[start:end] = [True] * (end - start)

    def visit(ingredient: Ingredient) -> None:
        cover(ingredient.whole.start, ingredient.whole.end)
        for span in (ingredient.percent_span, ingredient.clause.span if ingredient.clause else None):
            if span:
                cover(span.start, span.end)
        for note in ingredient.notes:
            cover(note.span.start, note.span.end)
        for part in ingredient.parts:
            visit(part)

    for section in report.listed.sections:
        if section.span:
            cover(section.span.start, section.span.end)
        for ingredient in section.ingredients:
            visit(ingredient)
    for span in (
        *(n.span for n in report.listed.asides),
        *report.listed.headings,
        *report.panel.places,
        *report.listed.links,
    ):
        cover(span.start, span.end)
    clean = pasted.clean(text)
    place = find_panel(clean)  # the nutrition lines pasted along are the panel's affair
    if place:
        cover(*place)
    missing = "".join(c if c.isalnum() and not covered[i] else " " for i, c in enumerate(clean)).split()
    assert not missing


@given(make.names)
def test_every_wording_finds_its_own_entry(name: str) -> None:
    """Each name and each `also` of the lexicon names its own entry first."""
    pieces = known(name, True)
    assert len(pieces) == 1
    entry = pieces[0].match.entry
    assert entry is not None
    assert name in (entry.name, *entry.also)


@settings(max_examples=60)
@given(make.name_lists)
def test_case_and_blanks_do_not_matter(text: str) -> None:
    """Capitals, extra blanks and line breaks do not change what is matched."""

    def ids(pasted_text: str) -> list[str | None]:
        sections = read_label(pasted_text, depth="order").listed.sections
        return [i.entry.id if i.entry else None for s in sections for i in facts.walk(s.ingredients)]

    assert ids(text) == ids(text.upper()) == ids("  " + text.replace(", ", ",\n   ").replace(" ", "  "))


def test_an_unknown_market_is_a_wrong_call() -> None:
    with pytest.raises(ValueError, match="market 'XX' is not known"):
        read_label("Pork, salt", market="XX")
