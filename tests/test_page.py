"""The page: nothing pasted is lost, moved or run; every role has its word; the document needs nothing but itself."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ui.inputs import examples

from reader import tables
from reader.facts import walk
from reader.findings_told import finding_told
from reader.law.values import VERDICTS
from reader.page import page
from reader.page.parts import Cited, esc, range_bar, told
from reader.page.statement import marked
from reader.page.terms import FAMILIES, Terms, family, role_word
from reader.pipeline import read_label
from reader.quantities import Interval
from reader.report import Report
from reader.wording import has
from tests.shown import EVIL, EVIL_NAME, EVIL_PANEL, Shown

LOADS = ("script", "link", "img", "iframe", "object", "embed", "form", "video", "audio", "base")


def report_of(pack: dict[str, Any]) -> Report:
    return read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"])


@pytest.fixture(params=examples(), ids=lambda pack: pack["title"])
def report(request: pytest.FixtureRequest) -> Report:
    return report_of(request.param)


def whole(text: str) -> str:
    return re.sub("[\x00\ud800-\udfff]", "\ufffd", text)


def shown_text(report: Report, box: str, text: str) -> str:
    return Shown(marked(report, Terms(report, Cited()), box, text)).text


def test_the_pasted_text_is_shown_letter_by_letter(report: Report) -> None:
    assert shown_text(report, "statement", report.statement) == report.statement


@given(
    st.text(
        st.sampled_from(list("Pork, (beef) 72% salt.;:[]*<>&\"'\n\x00\ud83d and or CONTAINS 2% OR LESS OF")),
        max_size=120,
    )
)
@settings(max_examples=150, deadline=None)
def test_any_text_is_shown_letter_by_letter(text: str) -> None:
    report = read_label(text)
    assert shown_text(report, "statement", text) == whole(text).replace("\r\n", "\n").replace("\r", "\n")


@pytest.mark.parametrize("boxes", [(EVIL, EVIL_PANEL, EVIL_NAME), ("", EVIL, ""), ("", "", EVIL)])
def test_nothing_pasted_becomes_markup(boxes: tuple[str, str, str]) -> None:
    report = read_label(boxes[0], boxes[1], name=boxes[2])
    shown = Shown(page.document(report))
    assert not [tag for tag, _ in shown.elements if tag in LOADS or (tag == "b" and "onmouseover" in _)]
    assert not [k for _, attributes in shown.elements for k in attributes if k.startswith("on")]
    for piece in page.reading(report):
        Shown(piece)  # checks that every element is closed by its own end


def test_the_document_needs_nothing_else(report: Report) -> None:
    text = page.document(report, made_on=date(2026, 5, 3))
    shown = Shown(text)
    assert not [tag for tag, _ in shown.elements if tag in LOADS]
    links = [v for _, attributes in shown.elements for k, v in attributes.items() if k in ("href", "src")]
    assert links
    assert all(v.startswith("#") for v in links)
    assert not re.search(r"url\(|@import|https?:", page.styles())
    assert "3 May 2026" in text


def test_links_inside_the_document_lead_somewhere(report: Report) -> None:
    shown = Shown(page.document(report))
    ids = [a["id"] for _, a in shown.elements if "id" in a]
    assert len(ids) == len(set(ids))
    assert {a["href"][1:] for _, a in shown.elements if "href" in a} <= set(ids)


def test_every_term_is_marked_with_the_word_of_its_role(report: Report) -> None:
    terms = [i for s in report.listed.sections for i in walk(s.ingredients)]
    shown = Shown(page.reading(report).body)
    assert [r for r in shown.roles if r in {role_word(t.role) for t in terms}]
    printed = [" ".join(w.split()) for w in shown.words]
    assert all(any(t.printed in p for p in printed) for t in terms)


def test_every_role_has_a_word_and_an_underline() -> None:
    roles = [r["id"] for r in tables.load_raw()["roles"]]
    for role in [*roles, "unknown", "class"]:
        assert role_word(role)
        assert family(role) in FAMILIES
        assert f".word.{family(role)}" in page.styles()


def test_every_kind_of_match_and_nutrient_has_words() -> None:
    for kind in ("exact", "spelling", "number", "scan", "near", "head", "choice", "class", "casing", "unknown"):
        assert has(f"page_match_{kind}")
        assert has(f"figure_sure_{kind}")
    for nutrient in {n for rule in tables.load_raw()["rounding"] for n in rule["nutrients"]}:
        assert has(f"nutrient_{nutrient}"), nutrient


def test_every_aside_of_the_phrases_has_its_own_words() -> None:
    phrases = tables.load_raw()["phrases"]
    for kind in {p["kind"] for p in (*phrases["notes"], *phrases["asides"])}:
        assert has(f"page_aside_{kind}"), kind


def test_unknown_words_are_named_as_not_understood() -> None:
    body = page.reading(read_label("INGREDIENTS: PORK, WATER, QWXZV GROMMET, SALT, SPICES.")).body
    assert '<span class="word unknown">QWXZV GROMMET</span>' in body
    assert "not understood" in body


def test_problems_quote_the_pasted_words_at_their_place(report: Report) -> None:
    marks = Shown(page.document(report)).marks
    quoted = [report.pasted(p.span) for p in report.problems if p.span and p.span.end - p.span.start < 190]
    assert all(q in marks for q in quoted)


def test_each_finding_opens_to_its_rule_its_source_and_its_place() -> None:
    statement = "Pork, water, corn syrup, salt, spices, sodium nitrite."
    panel = "Serving size 50g Calories 190 Total Fat 17g Sodium 500mg Total Carbohydrate 1g Protein 6g"
    report = read_label(statement, panel, name="Pork franks", depth="possible")
    shown = page.document(report)
    broken = report.found("breaks")
    assert "us_frank_fat" in {f.rule.id for f in broken}
    for finding in (f for verdict in VERDICTS for f in report.found(verdict)):
        assert told(finding.rule.title) in shown
        assert told(finding.rule.text) in shown
        assert esc(finding.rule.section) in shown
        assert told(finding_told(finding)) in shown
    place = broken[0].ruling.says.spans[0]
    assert f"<mark>{report.pasted(place)}</mark>" in shown
    assert "not legal advice" in shown


def test_what_is_often_said_stands_beside_what_the_rule_says() -> None:
    report = read_label("Beef, water, salt, sodium nitrite.", name="Uncured beef franks", depth="order")
    said = {m.said for m in report.advice.often_said}
    assert "“Uncured” means no nitrite." in said and "Beef franks contain offal." in said
    assert "Hot dogs are full of lips and snouts." in said
    assert not read_label("Pea protein, water, salt.", depth="order").advice.often_said
    assert not any("{" in m.rule for m in report.advice.often_said), "limits are filled in"


def test_sources_that_are_not_first_hand_say_so(report: Report) -> None:
    cited = Cited()
    for source in ("cfr_9_317_8", "fsis_casing_2023", "fsanz_general", "house", "common_practice"):
        flag = cited.mark(source)
        assert ('class="flag"' in flag) == (source != "cfr_9_317_8")
    assert cited.listed().count("status doubtful") == 4


def test_a_label_that_cannot_be_read_still_gets_a_page() -> None:
    for text in ("", "   ", "Zutaten: Schweinefleisch, Wasser, Speisesalz, Gewürze", "hello"):
        document = page.document(read_label(text))
        assert "<h1>" in document
        assert "Traceback" not in document


def test_a_panel_alone_is_read_as_far_as_it_goes() -> None:
    reading = page.reading(read_label("", "Serving size 50 g. Sodium 500 mg"))
    assert "the panel gives this: 500\u00a0mg sodium in a 50\u00a0g serving." in reading.headline
    assert "No ingredient list was pasted" in reading.more
    assert "<blockquote>" not in "".join(reading)  # there is nothing to quote


@pytest.mark.parametrize("text", ["", "hello", "Zutaten: Schweinefleisch, Wasser, Speisesalz, Gewürze", "Pork, salt"])
def test_every_part_holds_something_and_the_allergy_caution_is_always_there(text: str) -> None:
    document = page.document(read_label(text))
    assert not re.search(r'<ul class="plain"></ul>|<ol[^>]*></ol>|<div class="body"></div>', document)
    assert "Allergies:" in document


def test_headings_come_in_order(report: Report) -> None:
    levels = [int(tag[1]) for tag, _ in Shown(page.document(report)).elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:], strict=False))


def test_a_range_bar_says_its_numbers_and_hatches_silence() -> None:
    bar = range_bar("Meat: between 2 and 4", Interval(2, 4), Interval(2.5, 3), 2.7)
    assert 'aria-label="Meat: between 2 and 4"' in bar
    assert 'x1="20.00" x2="40.00"' in bar
    assert 'class="likely" x1="25.00"' in bar
    assert 'class="hatch"' in range_bar("not stated", None)


def with_likely(report: Report, likely: Interval | None, middle: float | None) -> Report:
    aspects = tuple(replace(a, likely=likely, middle=middle) if a.score else a for a in report.aspects)
    return replace(report, aspects=aspects)


def test_the_thick_part_and_its_key_are_there_only_where_something_is_likely() -> None:
    plain = read_label("Pork, water, starch, salt", "Serving size 50 g. Sodium 500 mg", depth="possible")
    body = page.reading(plain).body
    assert 'class="possible"' in body
    assert 'class="likely"' not in body
    assert "thick" not in body
    body = page.reading(with_likely(plain, Interval(4, 6), 5)).body
    assert body.count('class="likely" x1="40.00" x2="60.00"') == 4
    assert body.count('class="middle" x1="50.00"') == 4
    assert "thick" in body
    assert "Likely between 4 and 6, in the middle 5." in body


def test_the_possible_range_is_drawn_thinner_than_the_likely_one() -> None:
    width = {
        k: float(w) for k, w in re.findall(r"\.bar (?:\.)?(line|likely) \{[^}]*stroke-width: ([\d.]+)", page.styles())
    }
    assert width["line"] * 3 <= width["likely"]


def test_the_key_explains_only_what_is_drawn() -> None:
    assert "Hatching" not in page.reading(read_label("Pork, salt", "Serving size 50 g. Sodium 500 mg")).body
    assert "Hatching" in page.reading(read_label("Pork, salt")).body


def test_escaping_covers_quotes_and_half_characters() -> None:
    assert esc("<a b=\"c\" d='e'>&\x00\ud83d") == "&lt;a b=&quot;c&quot; d=&#x27;e&#x27;&gt;&amp;\ufffd\ufffd"


def test_our_words_promise_nothing() -> None:
    raw = tables.load_raw()
    words = " ".join(str(v) for file in ("page", "app") for v in raw[f"wording/{file}"].values())
    assert not re.search(r"\bsafe|free from|allergen-free|healthy", words, re.I)
