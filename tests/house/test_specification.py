"""A specification as a file: every mistake gets its line and sentence, and what is written reads back to the same."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reader.house.checked import TITLE_MOST, faults
from reader.house.kinds import ALLOWED, EXCLUDED, LIMIT, MONEY, NONE, Kind, kinds, words_of
from reader.house.specification import LONGEST, SpecificationError, from_yaml, ready, to_yaml
from reader.house.values import Requirement, Specification
from tests.test_wording import faults as wording_faults

SMALL = """
title: Our counter
must:
  phosphates: none
  casing: [natural-sheep, natural-pork]
  sodium_per_100g: 900
prefer:
  price_per_kg: 12.50 EUR
"""


def mistakes(text: str) -> list[tuple[int, str]]:
    with pytest.raises(SpecificationError) as caught:
        from_yaml(text)
    return [(m.line, m.says) for m in caught.value.mistakes]


def asked(lines: str) -> str:
    return "title: Trial\nmust:\n" + "".join(f"  {line}\n" for line in lines.splitlines())


def test_a_small_file_is_read() -> None:
    assert from_yaml(SMALL) == Specification(
        "Our counter",
        (
            Requirement("phosphates", words=("none",)),
            Requirement("casing", words=("natural-sheep", "natural-pork")),
            Requirement("sodium_per_100g", limit=900.0),
            Requirement("price_per_kg", must=False, limit=12.5, words=("EUR",)),
        ),
    )


@pytest.mark.parametrize(
    ("line", "same"),
    [
        ("sodium_per_100g: 900 mg", "sodium_per_100g: 900"),
        ("fillers_at_most: 3,5", "fillers_at_most: 3.5"),
        ("price_per_kg: 12,50 eur", "price_per_kg: 12.5 EUR"),
        ("casing: natural", "casing: [natural]"),
        ("phosphates: None", "phosphates: none"),
        ("allergens: [crustacean shellfish]", "allergens: crustacean  shellfish"),
    ],
)
def test_the_same_may_be_written_in_several_ways(line: str, same: str) -> None:
    assert from_yaml(asked(line)) == from_yaml(asked(same))


MISTAKES = [
    (asked("casings: natural"), 3, "“casings” is no requirement we know, so it cannot be judged. Perhaps “casing” was meant"),
    (asked("phosphates: no"), 3, "“no” at “phosphates” is not known, so it cannot be looked for. Perhaps “none” was meant; there may stand: none."),
    (asked("mechanically_separated: [chiken]"), 3, "Perhaps “chicken” was meant"),
    (asked("fillers_excluded: potato startch"), 3, "Perhaps “potato starch” was meant"),
    (asked("findings: us_frank_fats"), 3, "Perhaps “us_frank_fat” was meant"),
    (asked("mechanically_separated: [none, turkey]"), 3, "“none” stands with others at “mechanically_separated”: none, turkey."),
    (asked("sodium_per_100g: 900 g"), 3, "“900 g” at “sodium_per_100g” is no number that can be taken: behind it may stand nothing or its unit, “mg”."),
    (asked("sodium_per_100g: -5"), 3, "is no number that can be taken"),
    (asked("sodium_per_100g: .inf"), 3, "is no number that can be taken"),
    (asked("sodium_per_100g:"), 3, "is no number that can be taken"),
    (asked("meat_at_least: 165"), 3, "165 at “meat_at_least” is not from 0 to 100 (%), so it can be no limit."),
    (asked("price_per_kg: 12"), 3, "“price_per_kg” lacks what it asks for, so it cannot be judged. There may stand: AUD"),
    (asked("price_per_kg: cheap"), 3, "“cheap” at “price_per_kg” is no price that can be taken. Write the amount and behind it the currency"),
    (asked("price_per_kg: 12 ERU"), 3, "Perhaps “EUR” was meant"),
    (asked("nitrite: [none, vegetable]"), 3, "“nitrite” takes one word, but several stand there: none, vegetable."),
    (asked("allergens: []"), 3, "“allergens” lacks what it asks for"),
    (asked("allergens: [milk, milk]"), 3, "A word stands twice at “allergens”: milk, milk."),
    (asked("allergens: {milk: 1}"), 3, "What stands at “allergens” is neither a word, a number nor a list"),
    (asked("allergens: [[milk]]"), 3, "What stands at “allergens” is neither a word, a number nor a list"),
    (asked("oils: none\noils: none"), 4, "“oils” stands here for the second time, first in line 3"),
    ("title: T\nmust: casing", 2, "Below “must” there have to stand requirements"),
    ("title: T\nprefers:\n  oils: none", 2, "“prefers” is not known at the margin"),
    ("must:\n  oils: none", 1, "The title is missing"),
    (f"title: {'x' * (TITLE_MOST + 1)}", 1, "The title is longer than"),
    ("title: [a]", 1, "The title is missing"),
    ("", 1, "There is nothing in it"),
    ("# only a remark", 1, "There is nothing in it"),
    ("- oils", 1, "It does not begin with a title"),
    ("oils", 1, "It does not begin with a title"),
    ("title: T\nmust: [", 2, "It cannot be read from here on"),
    ("title: T\n\tmust: x", 2, "It cannot be read from here on"),
    ("title: *b", 1, "It cannot be read from here on"),
    ("title: T\n---\ntitle: U", 2, "It cannot be read from here on"),
    ("title: a\nb\x07c: d", 2, "A character stands here that no text holds"),
    ("[" * 20000, 1, "Brackets stand too deep"),
    ("x" * (LONGEST + 1), 1, "The text is longer than 50,000 characters"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "says"), MISTAKES, ids=[says[:40] for _, _, says in MISTAKES])
def test_a_mistake_gets_its_line_and_sentence(text: str, line: int, says: str) -> None:
    found = mistakes(text)
    assert any(at == line and says in told for at, told in found), found
    for _, told in found:
        body = told.replace(" …", "")
        ids = [*kinds(), *words_of(kinds()["findings"]), "natural_sheep"]
        for name in sorted(ids, key=len, reverse=True):
            body = body.replace(name, "name")  # ids are what stands in the file
        assert wording_faults(body) == [], told


def test_all_mistakes_are_told_at_once_in_order() -> None:
    found = mistakes("title: T\nmust:\n  oil: none\n  meat_at_least: 165\nprefer:\n  nitrite: some\nx: 1\n")
    assert [line for line, _ in found] == [3, 4, 6, 7]


def test_the_error_tells_all_of_it() -> None:
    with pytest.raises(SpecificationError, match=r"Line 3: .*\nLine 4: "):
        from_yaml(asked("oil: none\nmeat_at_least: 165"))


# -- there and back ------------------------------------------------------------------------------------------


def requirements(kind: Kind, must: bool) -> st.SearchStrategy[Requirement]:
    words = st.sampled_from(words_of(kind) or ("",))
    numbers = st.floats(0, kind.most) if kind.takes in (LIMIT, MONEY) else st.none()
    if kind.takes == LIMIT:
        several = st.just(())
    elif kind.takes in (ALLOWED, EXCLUDED):
        several = st.lists(words, min_size=1, max_size=4, unique=True).map(tuple)
        several = several.filter(lambda w: NONE not in w or len(w) == 1 or not kind.values.get("none"))
    else:
        several = st.tuples(words)
    return st.builds(Requirement, st.just(kind.id), st.just(must), numbers, several)


@st.composite
def specifications(draw: st.DrawFn) -> Specification:
    title = draw(st.text(min_size=1, max_size=40).filter(lambda t: t.strip() == t and t.isprintable()))
    chosen = []
    for must in (True, False):
        for name in draw(st.lists(st.sampled_from(sorted(kinds())), unique=True, max_size=5)):
            chosen.append(draw(requirements(kinds()[name], must)))
    return Specification(title, tuple(draw(st.permutations(chosen))))


@given(specifications())
def test_what_is_written_reads_back_to_the_same(specification: Specification) -> None:
    assert faults(specification) == ()
    text = to_yaml(specification)
    assert from_yaml(text) == specification
    assert to_yaml(from_yaml(text)) == text
    assert pickle.loads(pickle.dumps(specification)) == specification


@given(st.text(max_size=300) | st.lists(st.sampled_from(["title: T\n", "must:\n", "  ", "oils", ": ", "none", "[", "]", "-", "\n", "#", "&a", "*a", "{", "|", "prefer:"]), max_size=30).map("".join))  # fmt: skip
def test_any_text_is_a_specification_or_told_why_not(text: str) -> None:
    try:
        found = from_yaml(text)
    except SpecificationError as error:
        assert error.mistakes and all(m.says and m.line >= 1 for m in error.mistakes)
    else:
        assert faults(found) == ()


@pytest.mark.parametrize("name", ready())
def test_the_ready_ones_can_be_judged_and_are_told(name: str) -> None:
    text = ready()[name]
    found = from_yaml(text)
    assert found.musts and found.preferences
    assert from_yaml(to_yaml(found)) == found
    assert text.startswith("#"), "say at its head what it is for"


def test_there_are_three_ready_ones() -> None:
    assert len(ready()) == 3


def test_a_kind_stands_once_among_musts_and_once_among_preferences() -> None:
    one = Requirement("oils", words=("none",))
    with pytest.raises(ValueError, match="stands twice"):
        Specification("T", (one, one))
    both = Specification("T", (Requirement("oils", False, None, ("none",)), one))
    assert both.requirements[0] == one, "musts first"


def test_a_form_is_told_the_same_mistakes() -> None:
    wrong = Specification(
        "", (Requirement("oil"), Requirement("fat_per_100g"), Requirement("oils", limit=3.0, words=("x",)))
    )
    assert len(faults(wrong)) == 5
