"""The kinds of requirement: known keys, known ids, whole sentences, a judge for each, words that name something."""

from __future__ import annotations

import string
from typing import Any

import pytest

from reader import tables
from reader.house.checked import requirement_faults
from reader.house.kinds import (
    ALLOWED,
    CHOICE,
    EXCLUDED,
    LIMIT,
    MONEY,
    NONE,
    Kind,
    kinds,
    raw,
    words_of,
)  # fmt: skip
from reader.house.sought import sought
from reader.house.told import requirement_told
from reader.house.values import VERDICTS, Requirement
from reader.house.verdicts import JUDGES
from reader.law.rules import all_rules
from reader.makeup.settings import quantities
from reader.wording import has
from tests.test_wording import CODE, FORBIDDEN, WORDING, faults

KINDS = list(kinds().values())
ROLES = {r["id"]: set(r["kinds"]) for r in tables.load_raw()["roles"]}
IDS = {e.id for e in tables.entries()}
# What each judge needs to know beside what every kind has: (must be there, may be there).
KEYS: dict[str, tuple[set[str], set[str]]] = {
    "allergens": ({"vague", "words"}, set()),
    "casing": ({"choices", "front", "words"}, set()),
    "findings": ({"words"}, set()),
    "first_listed": ({"choices", "open_kinds"}, set()),
    "food": ({"choices"}, set()),
    "listed": (set(), {"additive", "choices", "class_words", "general_words", "hidden_in", "none", "of", "own", "vague", "words"}),
    "panel_at_least": ({"basis", "nutrient"}, set()),
    "panel_at_most": ({"basis", "nutrient"}, set()),
    "price_at_most": ({"of_part"}, set()),
    "share_at_least": ({"quantity"}, set()),
    "share_at_most": ({"quantity"}, set()),
}  # fmt: skip


def sample(kind: Kind) -> Requirement:
    """A requirement of a kind that can be judged."""
    limit = kind.most / 2 if kind.takes in (LIMIT, MONEY) else None
    return Requirement(kind.id, True, limit, () if kind.takes == LIMIT else words_of(kind)[:1])


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.id)
def test_a_kind_has_what_its_judge_needs(kind: Kind) -> None:
    must, may = KEYS[kind.judge]
    keys = set(kind.values)
    assert must <= keys <= must | may, sorted(keys ^ must)
    assert kind.takes in (LIMIT, MONEY, CHOICE, ALLOWED, EXCLUDED)
    assert set(kind.verdicts) <= set(VERDICTS)
    assert (kind.takes in (LIMIT, MONEY)) == (kind.most > 0) == bool(kind.unit)
    assert has(f"house_topic_{kind.topic}")
    assert kind.values.get("quantity") in (None, *quantities())
    for choice in (*kind.choices.values(), kind.values.get("of", {})):
        for role in choice.get("roles", ()):
            kinds_of_role = set().union(*(ROLES[r] for r in choice["roles"]))
            assert role in ROLES and set(choice.get("kinds", ())) <= kinds_of_role
        assert {*choice.get("entries", ()), *choice.get("perhaps", ())} <= IDS
    assert {*kind.listed("vague")} <= IDS
    assert {*kind.listed("hidden_in")} <= {c["id"] for c in raw()["compounds"]}


def test_each_judge_is_used_and_each_says_what_it_needs() -> None:
    assert {kind.judge for kind in KINDS} == set(JUDGES) == set(KEYS)
    assert all((JUDGES[name].__doc__ or "").strip() for name in JUDGES)


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.id)
def test_what_is_said_of_a_kind_can_be_read(kind: Kind) -> None:
    words = {"limit": "8.5", "words": "“pork fat”"}
    asked, open_ = kind.asks.format(words="“pork fat”"), kind.open
    assert faults(open_) == [] and faults(asked) == []
    assert asked.endswith("?") or asked.startswith("Please")
    for text in (kind.title, kind.field, kind.told.format(**words)):
        assert not CODE.search(text.replace(kind.id, "")) and not FORBIDDEN.search(text) and not text.endswith(".")
    assert places(kind.told) == {
        LIMIT: {"limit"}, MONEY: {"limit", "words"},
    }.get(kind.takes, {"words"} if "{words}" in kind.told else set())  # fmt: skip
    assert places(kind.asks) <= {"words"}


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.id)
def test_every_word_a_kind_takes_can_be_judged(kind: Kind) -> None:
    assert requirement_faults(sample(kind)) == ()
    assert requirement_told(sample(kind))
    if kind.judge != "listed":
        return
    everything = sought(Requirement(kind.id, words=(NONE,))) if kind.values.get("none") else None
    for word in words_of(kind):
        found = sought(Requirement(kind.id, words=(word,)))
        assert kind.takes != EXCLUDED or found.surely, word
        if everything is not None and word != NONE:
            assert found.surely < everything.surely, f"{word} lets nothing in"


def test_animals_are_species_of_the_ingredient_files() -> None:
    species = {s for e in tables.entries() for s in e.species} | set(tables.load_raw()["standards/classes"]["poultry"])
    named: list[Any] = [s for animal in raw()["animals"] for s in animal["species"]]
    assert set(named) - species <= {"sheep"}, "a word stands for a species nothing is of"


def test_problems_that_leave_a_requirement_open_are_problems() -> None:
    known = {key.removeprefix("problem_") for key in WORDING if key.startswith("problem_")}
    assert {p for row in raw()["doubted"] for p in row["problems"]} | set(raw()["cut_short"]) <= known


def test_rules_and_words_for_all_of_a_topic_are_told_apart() -> None:
    rules = {rule.id for rule in all_rules()}
    assert not rules & ({"any"} | {rule.consequence for rule in all_rules()})
