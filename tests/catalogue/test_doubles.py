"""Doubles, near doubles and variants; the full comparison of all pairs by rapidfuzz is the reference."""

from __future__ import annotations

import itertools
import random
import time

import pytest
from rapidfuzz import fuzz

from reader.catalogue.doubles import EXACT, NEAR, VARIANTS, find_doubles, folded
from reader.catalogue.settings import doubles
from reader.catalogue.values import Entry, Group

LIST = "Pork, water, salt, dextrose, spices, sodium phosphate, garlic powder, sodium erythorbate, sodium nitrite"
PARTS = (
    "pork", "beef", "mechanically separated chicken", "mechanically separated turkey", "water", "corn syrup", "salt",
    "modified food starch", "potassium lactate", "sodium phosphates", "flavorings", "beef stock", "sodium diacetate",
    "paprika", "dextrose", "sodium erythorbate", "sodium nitrite", "garlic powder", "onion powder", "mustard flour",
    "hydrolyzed soy protein", "vinegar", "celery powder", "cherry powder", "nonfat dry milk", "soy protein concentrate",
    "smoke flavoring", "extractives of paprika", "citric acid", "BHA", "BHT", "sheep casing", "black pepper", "nutmeg",
    "coriander", "maltodextrin", "sugar", "honey", "potato starch", "wheat gluten", "carrageenan", "lemon juice solids",
)  # fmt: skip


def entry(number: int, statement: str, **more: str) -> Entry:
    return Entry(number, "list.csv", "", number + 1, (), statement=statement, **more)  # type: ignore[arg-type]


def groups(kind: str, *entries: Entry) -> list[Group]:
    return [g for g in find_doubles(entries) if g.kind == kind]


def test_print_does_not_part_doubles() -> None:
    found = groups(
        EXACT,
        entry(1, LIST, price="1 USD"),
        entry(2, "Beef, water, salt, spices, garlic"),
        entry(3, f"  {LIST.upper()}.", price="2 USD"),
    )
    assert found == [Group(EXACT, (1, 3), 100, ("price",))]


def test_another_panel_makes_a_near_double() -> None:
    one, other = entry(1, LIST, panel="Fat 12 g"), entry(2, LIST, panel="Fat 13 g")
    assert groups(EXACT, one, other) == []
    assert groups(NEAR, one, other) == [Group(NEAR, (1, 2), 100, ("panel",))]


def test_a_misprint_makes_a_near_double() -> None:
    (found,) = groups(
        NEAR, entry(1, LIST), entry(2, LIST.replace("dextrose", "dextrsoe")), entry(3, "Beef, salt, honey")
    )
    assert found.numbers == (1, 2)
    assert 95 < found.score < 100


def test_another_recipe_is_no_double() -> None:
    assert (
        find_doubles(
            [
                entry(1, LIST),
                entry(2, LIST.replace("spices, sodium phosphate, garlic powder", "honey, cheddar cheese, paprika")),
            ]
        )
        == ()
    )


def test_entries_without_a_statement_are_in_no_group() -> None:
    assert find_doubles([entry(1, ""), entry(2, ""), entry(3, "Pork"), entry(4, "Pork")]) == ()


def test_flavours_and_sizes_of_one_product_are_variants() -> None:
    maker = {"supplier": "Harbour Foods"}
    found = groups(
        VARIANTS,
        entry(1, LIST, name="Farmhouse Bratwurst 6 x 60 g", **maker),
        entry(2, LIST + ", cheddar cheese (milk, salt, cultures)", name="Farmhouse Bratwurst Cheese 400 g", **maker),
        entry(3, LIST + ", jalapeno peppers, vinegar", name="Farmhouse Bratwurst Hot", **maker),
        entry(4, LIST + ", jalapeno peppers, honey", name="Farmhouse Bratwurst Hot", supplier="Orchard Lane"),
        entry(5, "Beef, honey, oats, apple, thyme, sea salt", name="Farmhouse Breakfast Patty", **maker),
    )
    assert [g.numbers for g in found] == [(1, 2, 3)]
    assert found[0].differs == ("name",)


def made(count: int, seed: int) -> list[Entry]:
    """Half of them new lists, half of them lists seen before with none to four misprints."""
    chance = random.Random(seed)
    statements: list[str] = []
    for _ in range(count):
        if statements and chance.random() < 0.5:
            letters = list(chance.choice(statements))
            for _ in range(chance.randint(0, 4)):
                letters[chance.randrange(len(letters))] = chance.choice("aeinorst")
            statements.append("".join(letters))
        else:
            statements.append(", ".join(chance.sample(PARTS, chance.randint(4, 24))))
    return [
        entry(k, s, name=f"{PARTS[k % 40]} sausage {k % 9}", supplier=f"Supplier {k % 30}")
        for k, s in enumerate(statements, 1)
    ]


def test_nearly_all_pairs_that_a_full_comparison_finds_are_found_and_no_others() -> None:
    entries = made(900, 7)
    texts = [folded(e.statement) for e in entries]
    together = {
        pair for g in find_doubles(entries) if g.kind in (EXACT, NEAR) for pair in itertools.combinations(g.numbers, 2)
    }
    alike = {
        (a + 1, b + 1)
        for a, b in itertools.combinations(range(len(texts)), 2)
        if fuzz.ratio(texts[a], texts[b], score_cutoff=doubles("near"))
    }
    assert len(alike) > 500
    assert len(alike - together) <= 0.02 * len(alike)
    chained = together - alike  # alike by way of a third
    assert all(fuzz.ratio(texts[a - 1], texts[b - 1]) > doubles("near") - 12 for a, b in chained)


def test_the_order_of_groups_and_numbers_is_fixed() -> None:
    entries = made(300, 3)
    assert find_doubles(entries) == find_doubles(iter(entries))
    for group in find_doubles(entries):
        assert list(group.numbers) == sorted(set(group.numbers))
        assert len(group.numbers) > 1


@pytest.mark.parametrize(("count", "seconds"), [(4_000, 3.0)])
def test_a_long_list_takes_seconds(count: int, seconds: float) -> None:
    entries = made(count, 11)
    started = time.process_time()
    find_doubles(entries)
    assert time.process_time() - started < seconds
