"""Packs side by side: the table, the ranking, what differs between two labels."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from ui.inputs import examples

from reader.aspects import ASPECTS
from reader.compare import differences as differ
from reader.compare.alignment import ENTRY, ROLE, WORDING
from reader.compare.differences import differences
from reader.compare.measures import WORDS, measures
from reader.compare.pack import Pack
from reader.compare.ranking import CRITERIA, LIKELY, POSSIBLE, rank
from reader.compare.table import ENDS, MOST, Comparison, compare, filtered, line_of, ordered, value_at
from reader.facts import NOT_STATED
from reader.page import comparison as shown
from reader.pipeline import read_label
from reader.price import read_price
from reader.report import Report

# Invented packs; the last two state no panel, the last no list that could be read.
TEXTS = [
    ("Plain", "Pork, water, salt, sodium nitrite", "Serving size 50 g. Calories 150 Total fat 12 g Sodium 480 mg Total carbohydrate 1 g Protein 6 g", "$5 / 500 g"),
    ("Sheep", "Beef, water, 2% or less of: salt, spices. In a natural sheep casing.", "Serving size 50 g. Calories 150 Total fat 12 g Sodium 380 mg Total carbohydrate 1 g Protein 7 g", "$10 / 500 g"),
    ("Paste", "Mechanically separated chicken, water, corn starch, soy protein, salt", "", "$2 / 500 g"),
    ("Silent", "", "", ""),
]  # fmt: skip


@pytest.fixture(scope="module")
def packs() -> list[Pack]:
    return [Pack(name, read_label(text, panel), read_price(price)) for name, text, panel, price in TEXTS]


def names(table: Comparison) -> list[str]:
    return [line.pack.name for line in table.lines]


# -- table --------------------------------------------------------------------------------------------------


def test_a_cell_says_what_the_report_says(packs: list[Pack]) -> None:
    for line in compare(packs).lines:
        report = line.pack.report
        for aspect in report.aspects:
            cell = line.cell(aspect.id)
            assert (cell.possible, cell.likely, cell.middle) == (aspect.score, aspect.likely, aspect.middle)
            assert (cell.state == "") == (aspect.score is not None)
        for name, share in report.makeup.groups if report.product.ingredients else ():
            assert line.cell(f"share_{name}").possible == share.possible
        assert line.cell("sodium_100g").possible == report.panel.per_100g("sodium_mg")
        assert line.cell("fillers").words == report.facts.binders
        assert line.cell("breaks").words == tuple(f.rule.title for f in report.found("breaks"))


def test_what_is_not_stated_is_no_number(packs: list[Pack]) -> None:
    silent = line_of(packs[-1])
    assert {cell.state for cell in silent.cells} == {NOT_STATED}
    assert all(cell.possible is None and cell.words == () for cell in silent.cells)
    assert line_of(packs[0]).cell("fillers").state == ""  # a list was read and names none: that is stated
    assert line_of(packs[0]).cell("casing_stated").state == NOT_STATED


def test_two_to_forty_packs_are_compared(packs: list[Pack]) -> None:
    assert len(compare((packs * MOST)[:MOST]).lines) == MOST
    for count in (0, 1, MOST + 1):
        with pytest.raises(ValueError, match=str(count)):
            compare((packs * MOST)[:count])


@pytest.mark.parametrize("what", measures(), ids=lambda m: m.id)
@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("falling", [False, True])
def test_sorting_puts_what_is_not_stated_last_and_says_so(packs: list[Pack], what, end: str, falling: bool) -> None:
    table = ordered(compare(packs), what.id, end=end, falling=falling)
    assert sorted(names(table)) == sorted(p.name for p in packs)
    stated = [line.cell(what.id) for line in table.lines if not line.cell(what.id).state]
    silent = [line.pack.name for line in table.lines[len(stated) :]]
    assert all(line.cell(what.id).state for line in table.lines[len(stated) :])
    assert table.unsorted == ((what.id, tuple(silent)),)
    if what.kind != WORDS:
        values = [value_at(cell, end) for cell in stated]
        assert values == sorted(values, reverse=falling)


def test_filtering_names_what_it_could_not_judge(packs: list[Pack]) -> None:
    table = compare(packs)
    salty = filtered(table, "sodium_100g", least=900)
    assert names(salty) == ["Plain"]
    assert salty.left_out == (("sodium_100g", ("Paste", "Silent")),)
    assert names(filtered(table, "casing_stated", word="SHEEP")) == ["Sheep"]
    assert names(filtered(filtered(table, "price_kg", most=10), "fillers", word="starch")) == ["Paste"]
    page = shown.document(salty)
    assert "Paste, Silent" in page


def test_unknown_measures_and_ends_are_refused(packs: list[Pack]) -> None:
    table = compare(packs)
    for call in (lambda: ordered(table, "nothing"), lambda: ordered(table, "sodium", end="top"),
                 lambda: filtered(table, "nothing"), lambda: filtered(table, "sodium", end="top")):  # fmt: skip
        with pytest.raises(ValueError, match=r"nothing|top"):
            call()


def test_prices_come_from_weight_protein_and_meat(packs: list[Pack]) -> None:
    line = line_of(packs[0])
    protein, meat = packs[0].report.panel.per_100g("protein_g"), packs[0].report.makeup.group("meat")
    assert protein is not None
    assert meat is not None
    assert meat.likely is not None
    assert line.cell("price_kg").middle == 10  # $5 / 500 g
    assert line.cell("price_protein").possible == pytest.approx((100 / protein.high, 100 / protein.low))
    found = line.cell("price_meat")
    assert found.possible == pytest.approx((1000 / meat.possible.high, 1000 / meat.possible.low))
    assert found.likely == pytest.approx((1000 / meat.likely.high, 1000 / meat.likely.low))


# -- ranking ------------------------------------------------------------------------------------------------


def test_a_weighted_mean_is_taken_at_both_ends(packs: list[Pack]) -> None:
    ranking = rank(compare(packs), {"meat_source": 3, "sodium": 1})
    plain = next(r for r in ranking.ranked if r.line.pack.name == "Plain")
    meat, sodium = (packs[0].report.aspect(a).score for a in ("meat_source", "sodium"))
    assert meat is not None
    assert sodium is not None
    assert plain.possible == pytest.approx(((3 * meat.low + sodium.low) / 4, (3 * meat.high + sodium.high) / 4))


def test_ranges_that_overlap_share_their_ranks(packs: list[Pack]) -> None:
    by_name = {r.line.pack.name: r for r in rank(compare(packs), {"meat_source": 1}).ranked}
    assert (by_name["Plain"].best, by_name["Plain"].worst) == (1, 3)  # Silent states nothing: it may be anywhere
    assert by_name["Paste"].best == 3
    assert (by_name["Silent"].best, by_name["Silent"].worst) == (1, 4)
    assert by_name["Silent"].open == ("meat_source",)
    for one in by_name.values():
        for other in by_name.values():
            assert one.possible is not None
            assert other.possible is not None
            apart = (one.worst or 0) < (other.best or 0)
            assert not (apart and one.possible.meets(other.possible))


def test_the_price_counts_by_the_lowest_per_kilogram(packs: list[Pack]) -> None:
    by_name = {r.line.pack.name: r for r in rank(compare(packs), {"price": 1}).ranked}
    assert by_name["Paste"].possible == (10, 10)
    assert by_name["Plain"].possible == (4, 4)
    assert by_name["Sheep"].possible == (2, 2)
    assert by_name["Silent"].possible == (0, 10)


def test_other_currencies_are_not_compared(packs: list[Pack]) -> None:
    euros = [*packs[:3], replace(packs[0], name="Euros", price=read_price("1 € / 500 g"))]
    by_name = {r.line.pack.name: r for r in rank(compare(euros), {"price": 1}).ranked}
    assert by_name["Euros"].open == ("price",)
    assert by_name["Paste"].possible == (10, 10)
    assert "EUR" in shown.document(compare(euros))


def test_what_does_not_apply_is_not_ranked(packs: list[Pack]) -> None:
    plant = Pack("Plant", read_label("Water, pea protein, sunflower oil, salt", name="Vegan sausages"))
    assert plant.report.aspect("meat_source").score is None
    last = rank(compare([*packs[:2], plant]), {"meat_source": 2, "casing": 1}).ranked[-1]
    assert (last.line.pack.name, last.best, last.possible, last.barred) == ("Plant", None, None, ("meat_source",))


def test_likely_ranges_tell_apart_what_possible_ones_do_not(packs: list[Pack]) -> None:
    table = compare(packs[:3])
    loose, close = (rank(table, {"meat_source": 1, "filler_load": 1}, by=by) for by in (POSSIBLE, LIKELY))
    width = {r.line.pack.name: (r.worst or 0) - (r.best or 0) for r in loose.ranked}
    assert all((r.worst or 0) - (r.best or 0) <= width[r.line.pack.name] for r in close.ranked)


@pytest.mark.parametrize("weights", [{}, {"meat_source": 0}, {"meat_source": 11}, {"sodium": -1}, {"fat": 3}])
def test_wrong_weights_are_refused(packs: list[Pack], weights: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="weight"):
        rank(compare(packs), weights)


# -- what differs -------------------------------------------------------------------------------------------


@pytest.fixture(scope="module", params=examples(), ids=lambda pack: pack["title"])
def example(request: pytest.FixtureRequest) -> Report:
    pack = request.param
    return read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"])


def test_a_pack_compared_with_itself_differs_in_nothing(example: Report) -> None:
    found = differences(example, example)
    assert found.none
    assert all(t.differs == () and t.pair.by in (ENTRY, WORDING) for t in found.terms)


def test_every_term_stands_in_one_pair_with_its_place(example: Report) -> None:
    other = read_label("Turkey, pork, water, rusk 12%, salt, E250, glorp")
    found = differences(example, other)
    for side, report in (("left", example), ("right", other)):
        terms = [t for t in (getattr(row.pair, side) for row in found.terms) if t is not None]
        assert sorted(t.rank for t in terms) == list(range(1, len(terms) + 1))
        for row in found.terms:
            term, place = getattr(row.pair, side), getattr(row, f"{side}_place")
            if term is not None:
                assert report.pasted(place)
                assert place == term.ingredient.span


# Invented lists: left, right, what is told of the terms that differ (left words, right words, how paired, in what).
DIFFER = [
    ("Pork, water, salt", "Pork, salt, water", [("water", "water", ENTRY, ("later",))]),
    ("Pork, beef, water, salt, garlic", "Garlic, pork, beef, water, salt", [("garlic", "Garlic", ENTRY, ("earlier",))]),
    ("Pork, water, salt", "Pork, water, dextrose, salt", [(None, "dextrose", "", ("only_right",))]),
    ("Pork, water, salt", "Beef, water, salt", [("Pork", "Beef", ROLE, ("other_term",))]),
    ("Pork 80%, water, salt", "Pork 60%, water, salt", [("Pork", "Pork", ENTRY, ("percent",))]),
    ("Pork, water, salt", "Pork, water, 2% or less of: salt", [("salt", "salt", ENTRY, ("clause",))]),
    ("Pork, water, salt, glorp", "Pork, water, salt, glorp", []),
    ("Pork, water, salt, glorp", "Pork, water, salt, blarp", [("glorp", None, "", ("only_left",)), (None, "blarp", "", ("only_right",))]),
    ("Pork, water, modified corn starch, salt", "Pork, water, potato starch, salt", [("modified corn starch", "potato starch", ROLE, ("other_term",))]),
    ("Pork, sodium nitrite", "Pork, preservative (E250)", [("sodium nitrite", "E250", ENTRY, ("other_words",))]),
    ("Pork, salt, spices", "Pork, seasoning (salt, spices)", None),
]  # fmt: skip


@pytest.mark.parametrize(("left", "right", "expected"), DIFFER)
def test_lists_are_told_apart_term_by_term(left: str, right: str, expected: list[tuple[object, ...]] | None) -> None:
    one, other = read_label(left, depth="order"), read_label(right, depth="order")
    found = differences(one, other)
    told = [
        (
            one.pasted(row.left_place) if row.left_place else None,
            other.pasted(row.right_place) if row.right_place else None,
            row.pair.by,
            row.differs,
        )
        for row in found.terms
        if row.differs
    ]
    if expected is None:  # the same terms, two of them in brackets of a third
        assert ("spices", "spices", ENTRY, ("inside",)) in told
    else:
        assert told == expected


PANEL = "Nutrition Facts Serving size 50 g. Calories {kcal} Total fat 12 g Sodium {sodium} mg Total carbohydrate 1 g Protein 6 g"


def test_panels_are_told_apart_only_where_their_true_values_cannot_meet() -> None:
    one = read_label("Pork, salt", PANEL.format(kcal=150, sodium=480))
    other = read_label("Pork, salt", PANEL.format(kcal=150, sodium=490))
    far = read_label("Pork, salt", PANEL.format(kcal=150, sodium=600) + " Calcium 20 mg")
    near = {row.nutrient: row for row in differences(one, other).rows}
    # Sodium above 140 mg is rounded to 10 mg (9 CFR 317.309(c)(4)), so 480 and 490 may both be 485.
    assert near["sodium_mg"].verdict == differ.TOGETHER
    assert near["sodium_mg"].left != near["sodium_mg"].right
    rows = {row.nutrient: row for row in differences(one, far).rows}
    assert rows["sodium_mg"].verdict == differ.APART
    assert rows["calcium_mg"].verdict == differ.ONLY_RIGHT
    assert rows["fat_g"].verdict == differ.TOGETHER
    place = rows["sodium_mg"].right_place
    assert place is not None
    assert far.pasted(place).startswith("600")


def test_sides_change_places(example: Report) -> None:
    other = read_label("Turkey, pork, water, rusk 12%, salt, E250, glorp")
    there, back = differences(example, other), differences(other, example)
    mirrored = {"only_left": "only_right", "only_right": "only_left", "earlier": "later", "later": "earlier"}
    assert {(r.nutrient, mirrored.get(r.verdict, r.verdict)) for r in there.rows} == {
        (r.nutrient, r.verdict) for r in back.rows
    }
    alone = {t.right_place for t in there.terms if t.pair.left is None}
    assert alone == {t.left_place for t in back.terms if t.pair.right is None}


# -- speed --------------------------------------------------------------------------------------------------


def test_forty_packs_are_compared_ranked_and_written_within_a_second(packs: list[Pack]) -> None:
    forty = (packs * MOST)[:MOST]
    shown.document(compare(packs[:2]))  # what is read once: words, style sheets
    begun = time.perf_counter()
    table = compare(forty)
    ranking = rank(table, dict.fromkeys(CRITERIA, 5.0))
    page = shown.document(ordered(table, "sodium_100g"), ranking)
    assert time.perf_counter() - begun < 1.0
    assert page.count("<table") > len(ASPECTS)
