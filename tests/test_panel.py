"""Panels read as the case file says, and the laws every panel keeps. New cases go into tests/cases/panel.yaml only."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from reader import tables
from reader.panel import rounding
from reader.panel.checks import check_panel
from reader.panel.reading import Panel, find_panel, panel_from_columns, read_panel
from reader.panel.standards import MARKETS, sodium_days_of
from reader.panel.text import WORDINGS, fold, vocabulary
from reader.pasted import clean
from reader.pipeline import read_label

CASES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "cases" / "panel.yaml").read_text("utf-8"))
RAW = tables.load_raw()
NUMBERS = {
    "energy_kcal": 306.0, "fat_g": 24.71, "satfat_g": 10.59, "carb_g": 4.71,
    "sugar_g": 2.35, "fibre_g": 0.0, "protein_g": 15.29, "sodium_mg": 1106.0,
}  # fmt: skip


def read(case: dict[str, Any]) -> Panel:
    return read_panel(clean(case["text"]), case["market"])


def printed(panel: Panel, basis: str) -> dict[str, float | str]:
    column = panel.column(basis)
    return {a.nutrient: f"<{a.printed:g}" if a.less_than else a.printed for a in column.amounts} if column else {}


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_case(case: dict[str, Any]) -> None:
    panel = read(case)
    for basis in ("serving", "100g", "pack"):
        found = printed(panel, basis)
        for nutrient, value in case.get(basis, {}).items():
            assert found.get(nutrient) == (value if isinstance(value, str) else pytest.approx(value)), (basis, nutrient)
        assert not set(case.get("not_read", ())) & set(found)
        if basis not in case and {"serving", "100g", "pack"} & set(case):
            assert not found, f"no column {basis} is expected"
    percents = {nutrient: value for nutrient, value, _ in panel.daily_percents}
    assert case.get("percents", {}).items() <= percents.items()
    assert sorted(p.kind for p in panel.problems) == sorted(case.get("problems", []))
    assert sorted(p.kind for p in check_panel(panel)) == sorted(case.get("checks", []))


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_case_around_the_numbers(case: dict[str, Any]) -> None:
    panel = read(case)
    assert panel.serving_g == (pytest.approx(case["serving_g"]) if "serving_g" in case else None)
    assert panel.empty == case.get("empty", False)
    for key, value in (
        ("servings", panel.servings_per_pack),
        ("form", panel.form),
        ("serving_text", panel.serving_text),
    ):
        if key in case:
            assert value == case[key]
    if "left" in case:
        assert [span.of(case["text"]) for span in panel.left] == case["left"]
    if not panel.empty:
        assert panel.market == case.get("market_used", case["market"])
    where = find_panel(clean(case["text"]))
    if isinstance(case.get("found"), str):
        assert where is not None and case["text"][slice(*where)] == case["found"]
    elif "found" in case:
        assert (where is not None) == case["found"]


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_every_place_slices_to_what_is_printed(case: dict[str, Any]) -> None:
    text = case["text"]
    panel = read(case)
    for amount in (a for column in panel.columns for a in column.amounts):
        assert amount.span is not None
        surface = amount.span.of(text)
        assert any(c in "0123456789oOlI" for c in surface) or surface.lower() in RAW["panel_words"]["zero"]
        assert amount.span.text == "panel"
        assert amount.true.low <= amount.true.high
    for span in [*panel.places, *(p.span for p in panel.problems if p.span), *(s for _, _, s in panel.daily_percents)]:
        assert 0 <= span.start < span.end <= len(text)
    assert not panel.serving_span or panel.serving_span.of(text) == panel.serving_text


def test_case_and_line_breaks_do_not_change_the_reading() -> None:
    for case in CASES:
        if case.get("problems"):
            continue  # there the letters themselves are the matter
        plain = read(case)
        for changed in (case["text"].upper(), case["text"].replace("\n", " ")):
            if len(changed) == len(case["text"]):
                again = read_panel(clean(changed), case["market"])
                assert [printed(again, b) for b in ("serving", "100g")] == [
                    printed(plain, b) for b in ("serving", "100g")
                ]


def test_places_of_the_panel_leave_the_statement_alone() -> None:
    text = (
        "Ingredients: pork, salt, sugar. Nutrition Facts Serving size 1 link (45g) Calories 130 Sodium 480mg Protein 5g"
    )
    assert all(span.start >= text.index("Nutrition") for span in read_panel(text).places)
    where = find_panel(text)
    assert where is not None and where[0] == text.index("Nutrition")


def test_the_box_is_named_in_every_place() -> None:
    panel = read_panel("Serving size 45g Sodium 480mg 99% Fat Og", box="statement")
    spans = [a.span for c in panel.columns for a in c.amounts] + [p.span for p in panel.problems] + list(panel.places)
    assert {span.text for span in spans if span} == {"statement"}


def test_both_bases_from_the_serving_weight() -> None:
    panel = read_panel("Serving size 1 link (45g) Calories 130 Sodium 480mg Total Fat 11g", "US")
    assert panel.stated_per_100g("sodium_mg") == pytest.approx(480 / 0.45)
    wide = panel.per_100g("sodium_mg")
    assert wide is not None and wide == pytest.approx((475 / 45.5 * 100, 485 / 44.5 * 100))
    assert panel.per_serving("sodium_mg") == (475, 485)
    assert panel.per_serving("fibre_g") is None and panel.stated_per_serving("fibre_g") is None
    salt = panel.per_serving("salt_g")
    assert salt is not None and salt == pytest.approx((475 * 0.0025, 485 * 0.0025))


def test_sodium_from_salt() -> None:
    panel = read_panel("per 100 g: Energy 1105 kJ, Fat 22 g, Protein 14 g, Salt 2.2 g", "EU")
    assert panel.stated_per_100g("sodium_mg") == pytest.approx(880)
    assert panel.per_serving("sodium_mg") is None


def test_columns_per_100g_lead_back_to_the_printed_panel() -> None:
    panel = panel_from_columns(NUMBERS, serving_g=85, basis="per100g", market="US")
    assert printed(panel, "serving")["fat_g"] == 21
    assert printed(panel, "serving")["energy_kcal"] == 260
    assert panel.stated_per_100g("fat_g") == 24.71  # as given
    true = panel.per_100g("fat_g")
    assert true is not None and true == pytest.approx((20.5 / 85.5 * 100, 21.5 / 84.5 * 100))
    assert "8 of 8" in panel.basis_reason
    assert check_panel(panel) == ()


def test_columns_elsewhere_and_per_serving_are_taken_as_they_are() -> None:
    eu = panel_from_columns(NUMBERS, serving_g=85, basis="per100g", market="EU")
    assert [column.basis for column in eu.columns] == ["100g"]
    us = panel_from_columns({"sodium_mg": 480, "fat_g": 11}, serving_g=None, basis="serving", market="US")
    assert us.per_serving("sodium_mg") == (475, 485) and us.per_100g("sodium_mg") is None
    assert panel_from_columns({}, serving_g=None, basis="serving", market="US").empty


def test_columns_with_an_impossible_sodium() -> None:
    panel = panel_from_columns({**NUMBERS, "sodium_mg": 11060.0}, serving_g=85, basis="per100g", market="US")
    assert [p.kind for p in check_panel(panel)] == ["panel_sodium_high"]


def test_wrong_calls_raise() -> None:
    with pytest.raises(ValueError, match="market"):
        read_panel("Sodium 480mg", "MOON")
    with pytest.raises(ValueError, match="basis"):
        panel_from_columns({"sodium_mg": 1}, serving_g=1, basis="cup", market="US")


SCRAPS = [
    "Total Fat", "per 100 g", "1 link", "(45g)", "480mg", "<1 g", "09", "Og", "14%", "1,050", "0,5",
    "\n", "(", ")", ".", ":", "/", "|", "½", "\u00ad", "E250", "kJ/kcal", "Serving size", "nutrition facts", "ß", "İ",
]  # fmt: skip
PIECES = st.sampled_from([*vocabulary().phrases, *SCRAPS])
LISTS = st.lists(PIECES, max_size=40)
MESSY = st.one_of(st.text(max_size=200), LISTS.map(" ".join), LISTS.map("".join))


@settings(max_examples=400, deadline=None)
@given(MESSY, st.sampled_from(MARKETS))
def test_no_text_raises_and_every_place_is_inside(pasted: str, market: str) -> None:
    text = clean(pasted)
    panel = read_panel(text, market)
    problems = [*panel.problems, *check_panel(panel)]
    spans = [a.span for c in panel.columns for a in c.amounts] + [p.span for p in problems] + list(panel.places)
    spans += [span for _, _, span in panel.daily_percents] + [panel.serving_span]
    for span in spans:
        assert span is None or (0 <= span.start <= span.end <= len(pasted))
    for amount in (a for c in panel.columns for a in c.amounts):
        assert 0 <= amount.true.low <= amount.true.high
    where = find_panel(text)
    assert where is None or 0 <= where[0] < where[1] <= len(pasted)


@settings(max_examples=200, deadline=None)
@given(
    st.dictionaries(st.sampled_from(sorted(NUMBERS)), st.floats(min_value=-10, max_value=1e5), max_size=8),
    st.one_of(st.none(), st.floats(min_value=0, max_value=1000)),
    st.sampled_from(["per100g", "serving"]),
    st.sampled_from(MARKETS),
)
def test_no_columns_raise(values: dict[str, float], serving: float | None, basis: str, market: str) -> None:
    panel = panel_from_columns(values, serving_g=serving, basis=basis, market=market)
    check_panel(panel)
    for nutrient in values:
        for true in (panel.per_serving(nutrient), panel.per_100g(nutrient)):
            assert true is None or true.low <= true.high


RULES = [raw for raw in RAW["rounding"] if "bands" in raw]


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(RULES), st.floats(min_value=0, max_value=2500))
def test_a_true_value_rounded_by_the_rule_lies_in_the_interval(raw: dict[str, Any], true: float) -> None:
    market, nutrient, basis = raw["markets"][0], raw["nutrients"][0], raw["basis"][0]
    rule = rounding.rule_for(market, nutrient, basis)
    assert rule is not None
    shown = rounding.printings(rule, true)
    assert shown, "every true value can be printed somehow"
    for number, less in shown:
        interval, used = rounding.true_values(number, 0 if number == int(number) else 2, less, market, nutrient, basis)
        assert used == rule.id
        assert interval.holds(true, 1e-6), (number, less, interval)


def test_every_rule_names_a_known_source_and_status() -> None:
    sources = {s["id"] for s in RAW["sources"]}
    ids = [raw["id"] for raw in RAW["rounding"]]
    assert ids == sorted(ids) and len(ids) == len(set(ids))
    for raw in RAW["rounding"]:
        assert raw["source"] in sources and raw["status"] in {"read", "secondary", "house", "not verified"}, raw["id"]


def test_every_number_of_the_standards_names_a_known_source_and_status() -> None:
    sources = {s["id"] for s in RAW["sources"]}
    for file in ("us_panel", "ca_panel", "eu_panel", "au_panel", "any_panel"):
        for section, items in RAW[f"standards/{file}"].items():
            if section in ("day_references", "energy_factors", "numbers"):
                for item in items:
                    assert item["source"] in sources, f"{file}: {item['id']}"
                    assert item["status"] in {"read", "secondary", "house", "not verified"}, f"{file}: {item['id']}"
                    assert item["section"] and item["date"], f"{file}: {item['id']}"


def test_every_market_has_a_day_of_sodium_with_source_and_status() -> None:
    sources = {s["id"] for s in RAW["sources"]}
    for raw in RAW["sodium"]["days"]:
        assert raw["source"] in sources and raw["section"] and raw["date"], raw["id"]
        assert raw["status"] in {"read", "secondary", "not verified"}, raw["id"]
        assert set(raw["markets"]) <= set(MARKETS), raw["id"]
    for market in MARKETS:
        own = [day for day in sodium_days_of(market) if day.id != "who_2000"]
        assert len(own) == 1, market


# Outside the project: WHO guideline 2012 (2 g a day); 2016 reference values of the US (2,300 mg) and the Canadian table
# (2,300 mg), both from reprints; Regulation (EU) 1169/2011, Annex XIII B (6 g salt = 2,400 mg). The day of Australia and
# New Zealand is from memory, not verified.
@pytest.mark.parametrize(("market", "days"), [
    ("US", [2000, 2300]), ("CA", [2000, 2300]), ("EU", [2000, 2400]), ("UK", [2000, 2400]), ("AU", [2000, 2300]),
])  # fmt: skip
def test_a_serving_is_compared_with_the_day_of_its_own_market(market: str, days: list[float]) -> None:
    assert [day.value for day in sodium_days_of(market)] == days
    grounds = read_label("pork, salt", "Per serving (50 g): Sodium 500 mg", market=market).aspect("sodium").grounds
    told = [dict(g.values) for g in grounds if g.key == "sodium_of_day"]
    assert [t["value"] for t in told] == [f"{day:,.0f}" for day in days]
    assert [t["share"] for t in told] == [f"{500 / day:.0%}".rstrip("%") for day in days]


def test_no_wording_of_a_panel_belongs_to_two() -> None:
    words = RAW["panel_words"]
    listed = {section: words[section] for section in WORDINGS}
    listed |= {nutrient: names for nutrient, names in words["nutrients"].items() if nutrient != "__line__"}
    owner: dict[str, str] = {}
    faults = []
    for section, names in listed.items():
        for name in names:
            key = fold(name)
            if key in owner:
                faults.append(f'panel_words.yaml: "{name}" stands under {owner[key]} and under {section}. Keep one.')
            owner[key] = section
    assert not faults, "\n".join(faults)


def test_every_hint_at_a_layout_is_a_wording_of_the_panel() -> None:
    known = {wording.whole for options in vocabulary().phrases.values() for wording in options}
    assert not set(vocabulary().forms) - known, "panel_words.yaml, forms: these are listed nowhere above"
