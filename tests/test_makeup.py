"""The make-up estimate on small labels whose bounds can be worked out by hand."""

from __future__ import annotations

import pytest

from reader import read_label, tables
from reader.makeup import assumptions, settings
from reader.makeup.values import MakeUp, Share
from reader.makeup_words import bounds_told, choice_told, clash_told, range_told, unusual_told
from reader.report import Report

PANEL = (
    "Serving size 1 frank (45g) Calories 130 Total Fat 11g Saturated Fat 3.5g Cholesterol 35mg Sodium 450mg "
    "Total Carbohydrate 4g Dietary Fiber 0g Total Sugars 1g Protein 5g"
)
FRANK = (
    "MECHANICALLY SEPARATED CHICKEN, PORK, WATER, CORN SYRUP, CONTAINS 2% OR LESS OF: SALT, MODIFIED FOOD STARCH, "
    "FLAVORINGS, SODIUM PHOSPHATE, SODIUM NITRITE, SODIUM ERYTHORBATE"
)
RAW = {"loss": "none"}


def makeup(statement: str, panel: str = "", depth: str = "possible", **options: object) -> MakeUp:
    return read_label(statement, panel, depth=depth, **options).makeup  # type: ignore[arg-type]


def group(found: MakeUp, name: str) -> Share:
    share = found.group(name)
    assert share is not None
    return share


def ends(share: Share) -> tuple[float, float]:
    return pytest.approx(share.possible.low, abs=1e-4), pytest.approx(share.possible.high, abs=1e-4)  # type: ignore[return-value]


# -- order, clauses, percentages ----------------------------------------------------------------------------


def test_two_ingredients_in_order() -> None:
    found = makeup("Pork, water", choices=RAW)
    assert ends(found.ingredients[0]) == (50.0, 100.0)
    assert ends(found.ingredients[1]) == (0.0, 50.0)


def test_a_clause_limits_each_under_it_and_leaves_the_rest_to_the_others() -> None:
    found = makeup("Pork, contains 2 % or less of: spices, garlic powder", choices={**RAW, "usual_doses": "off"})
    assert found.ingredients[0].possible.low == pytest.approx(96.0)
    assert found.ingredients[2].possible.high == pytest.approx(2.0)
    assert ends(group(found, "clause")) == (0.0, 4.0)


def test_a_declared_percentage_counts_on_the_weight_used_or_sold() -> None:
    raw = makeup("Pork (80 %), water", market="EU", choices={**RAW, "tolerance": "strict"})
    assert ends(raw.ingredients[0]) == (79.5, 80.5)
    cooked = makeup("Pork (80 %), water", market="EU", choices={"loss": "cooked"})
    assert cooked.ingredients[0].possible.low == pytest.approx(79.5 * 0.86)
    assert cooked.ingredients[0].possible.high == pytest.approx(80.5)


PERCENT = "Pork (80 %), water, salt, preservative: sodium nitrite"
PERCENT_PANEL = "Per 100 g: Fat 18 g, Carbohydrate 0.2 g, of which sugars 0 g, Protein 14 g, Salt 2.0 g"


def _percent(share: str, depth: str = "possible") -> MakeUp:
    choices = {"loss": "cooked"} | ({"declared_share": share} if share else {})
    return makeup(PERCENT, PERCENT_PANEL, depth, market="EU", name="Frankfurter", choices=choices)


def test_what_a_declared_percentage_is_a_share_of_can_be_switched() -> None:
    found = _percent("")
    assert [(a.choice, a.choices) for a in found.assumptions if a.id == "declared_share"] == [
        ("either", ("either", "used", "sold"))
    ]
    used = _percent("used").ingredients[0].possible
    assert (used.low, used.high) == (pytest.approx(79.5), pytest.approx(80.5))
    for narrower in ("used", "sold"):
        for (name, wide), (_, narrow) in zip(found.groups, _percent(narrower).groups, strict=True):
            assert wide.possible.low - 1e-4 <= narrow.possible.low, name
            assert narrow.possible.high <= wide.possible.high + 1e-4, name


def test_both_ways_to_read_a_declared_percentage_are_likely() -> None:
    """Of all that went in, or of the finished food where water was lost (Regulation (EU) 1169/2011, Annex VIII, points 3
    and 4(a)): the likely range holds what is likely of either.
    """
    either, used, sold = (_percent(share, "likely").ingredients[0] for share in ("either", "used", "sold"))
    assert either.likely and used.likely and sold.likely and used.middle and sold.middle
    assert sold.middle < used.middle - 1
    assert either.likely.low < sold.middle and used.middle < either.likely.high
    assert either.likely.high - either.likely.low > used.likely.high - used.likely.low


def test_a_percentage_the_panel_lets_mean_one_thing_is_drawn_so() -> None:
    """90 % of what went in and 13 % more would be over a hundred; of the product as sold both can be."""
    text = "Pork (90 %), beef (13 %), salt, preservative: sodium nitrite"
    drawn = [
        makeup(text, "", "likely", market="EU", name="Frankfurter", choices={"loss": "cooked", "declared_share": share})
        for share in ("either", "sold")
    ]
    either, sold = (found.ingredients[0] for found in drawn)
    assert not any(found.clash for found in drawn)
    assert either.likely and sold.likely
    assert either.likely.low == pytest.approx(sold.likely.low, abs=0.5)
    assert either.likely.high == pytest.approx(sold.likely.high, abs=0.5)


@pytest.mark.parametrize(
    ("text", "loss"), [("Pork, water, salt", "cooked"), (PERCENT, "none"), ("Pork, sauce (pepper 30 %), salt", "none")]
)
def test_without_a_percentage_or_a_loss_nothing_is_assumed_of_it(text: str, loss: str) -> None:
    found = makeup(text, market="EU", choices={"loss": loss})
    assert "declared_share" not in {a.id for a in found.assumptions}


def test_more_than_a_hundred_percent_is_of_the_weight_sold() -> None:
    found = makeup("Pork (120 %), salt, spices", market="EU", name="Salami", choices={"loss": "dried"})
    assert found.clash is None
    assert found.ingredients[0].possible.high <= 100.0


def test_a_printed_ratio_is_of_the_weight_sold() -> None:
    text = "Pork, salt, spices. Made with 120 g of pork per 100 g of product."
    found = makeup(text, market="EU", choices={"loss": "dried"})
    assert "ratio pork" in {
        r.id for s in (*found.ingredients, *(g for _, g in found.groups)) for r in s.low_because
    } | {r.id for s in found.ingredients for r in s.high_because}


def test_two_meats_joined_by_and_may_stand_in_either_order() -> None:
    comma = makeup("Pork, beef, water", choices=RAW)
    joined = makeup("Pork and beef, water", choices=RAW)
    assert comma.ingredients[0].possible.low == pytest.approx(100 / 3)
    assert joined.ingredients[0].possible.low == pytest.approx(0.0)
    assert joined.ingredients[2].possible.high == pytest.approx(100 / 3)


def test_small_ingredients_may_stand_in_any_order_in_the_eu() -> None:
    text, choices = "Pork (98 %), water, dextrose", {**RAW, "usual_doses": "off"}
    us, eu = makeup(text, choices=choices), makeup(text, market="EU", choices=choices)
    assert us.ingredients[2].possible.high == pytest.approx(1.25)  # half of what 97.5 % pork leaves
    assert eu.ingredients[2].possible.high > 2.0


def test_a_bracket_is_the_sum_of_its_parts_in_their_own_order() -> None:
    found = makeup("Pork, seasoning (salt, dextrose, spices), water", choices={**RAW, "usual_doses": "off"})
    assert group(found, "salt").possible.high == pytest.approx(50.0)
    assert group(found, "sweeteners").possible.high == pytest.approx(25.0)


def test_or_joins_two_to_one_place() -> None:
    found = makeup("Pork or beef, water, salt", choices=RAW)
    assert len(found.ingredients) == 3
    assert found.ingredients[0].possible.low == pytest.approx((100 - 6) / 2)  # salt at most 6 %
    assert group(found, "skeletal_meat").possible == found.ingredients[0].possible


# -- the panel ----------------------------------------------------------------------------------------------


def test_the_panel_narrows_and_never_widens() -> None:
    bare, full = makeup(FRANK), makeup(FRANK, PANEL)
    assert full.panel_used
    for (name, before), (_, after) in zip(bare.groups, full.groups, strict=True):
        assert after.possible.low >= before.possible.low - 1e-4, name
        assert after.possible.high <= before.possible.high + 1e-4, name
    assert group(full, "meat_fat").possible.high - group(full, "meat_fat").possible.low < 12


def test_a_wider_tolerance_never_narrows() -> None:
    found = [makeup(FRANK, PANEL, choices={"tolerance": t}) for t in ("strict", "usual", "legal")]
    for narrow, wide in zip(found, found[1:], strict=False):
        for (name, before), (_, after) in zip(narrow.groups, wide.groups, strict=True):
            assert after.possible.low <= before.possible.low + 1e-4, name
            assert after.possible.high >= before.possible.high - 1e-4, name


def test_sodium_is_told_by_source_and_adds_up_to_the_panel() -> None:
    found = makeup(FRANK, PANEL, choices={"tolerance": "strict"})
    told = dict(found.sodium)
    assert {"salt", "cure", "phosphate", "flavourings", "meat"} <= set(told)
    assert sum(s.possible.low for s in told.values()) <= 1000 <= sum(s.possible.high for s in told.values())


def test_a_european_panel_per_hundred_grams() -> None:
    panel = "Per 100 g: Energy 1130 kJ / 273 kcal, Fat 24 g, of which saturates 9 g, Carbohydrate 1 g, of which sugars 0.5 g, Protein 13 g, Salt 2.0 g"
    text = (
        "Pork (75 %), pork fat, water, salt, spices, dextrose, antioxidant: ascorbic acid, preservative: sodium nitrite"
    )
    found = makeup(text, panel, market="EU", name="Frankfurter")
    assert found.clash is None
    assert found.panel_used
    assert group(found, "salt").possible.high < 2.4


# -- assumptions --------------------------------------------------------------------------------------------


def test_a_lawful_cap_counts_only_where_the_name_invokes_it() -> None:
    named, plain = (
        makeup(FRANK.replace("MECHANICALLY SEPARATED CHICKEN, ", ""), PANEL, name="Pork Frankfurters"),
        makeup(FRANK.replace("MECHANICALLY SEPARATED CHICKEN, ", ""), PANEL, name="Pork links"),
    )
    caps = {a.id for a in named.assumptions if a.id.startswith("cap")}
    assert caps == {"cap us_frank_fat", "cap us_frank_fat_water", "cap us_frank_binders"}
    assert not any(a.id.startswith("cap") for a in plain.assumptions)
    assert group(named, "added_water").possible.high < group(plain, "added_water").possible.high


def test_a_cap_can_be_switched_off() -> None:
    text = FRANK.replace("MECHANICALLY SEPARATED CHICKEN, ", "")
    on = makeup(text, PANEL, name="Pork Frankfurters")
    off = makeup(text, PANEL, name="Pork Frankfurters", choices={"cap us_frank_fat_water": "off"})
    assert group(off, "added_water").possible.high > group(on, "added_water").possible.high


@pytest.mark.parametrize("name", ["Breakfast Sausage Links", "Fresh Bratwurst", "Fresh Pork Sausage"])
def test_sausage_sold_raw_takes_up_little_water(name: str) -> None:
    """9 CFR 319.140, 319.141, 319.143: water at most 3 % of everything that went in."""
    text = "Pork, water, salt, spices"
    assert group(makeup(text, name=name), "water").possible.high == pytest.approx(3.0)
    for other in (f"Fully Cooked {name}", f"Heat and Serve {name}"):
        assert group(makeup(text, name=other), "water").possible.high > 20


def test_turkey_sausage_has_no_standard_for_breakfast_sausage() -> None:
    assert group(makeup("Turkey, water, salt", name="Turkey Breakfast Sausage"), "water").possible.high > 20


def test_no_cap_of_meat_franks_for_poultry_franks() -> None:
    found = makeup("Turkey, water, salt", name="Turkey Franks")
    assert not any(a.id.startswith("cap") for a in found.assumptions)


@pytest.mark.parametrize(
    ("name", "text", "loss"),
    [
        ("Fresh pork sausage", "Pork, water, salt, spices", "none"),
        ("Beef franks", "Beef, water, salt, sodium nitrite", "cooked"),
        ("Genoa salami", "Pork, salt, lactic acid starter culture, sodium nitrite", "dried"),
        ("Fully cooked links", "Pork, water, salt", "precooked"),
        ("Sausage", "Pork, water, salt", "precooked"),
        ("Sausage", "Pork, water, salt. Cook thoroughly before eating.", "none"),
        ("Beef sausages", "Beef, water, rice flour, salt, preservative (223)", "none"),
    ],
)
def test_how_it_was_made_is_guessed_from_what_is_printed(name: str, text: str, loss: str) -> None:
    chosen = {a.id: a.choice for a in makeup(text, name=name).assumptions}
    assert chosen["loss"] == loss


@pytest.mark.parametrize("choices", [{"loss": "huge"}, {"weather": "on"}])
def test_an_unknown_choice_is_told(choices: dict[str, str]) -> None:
    with pytest.raises(ValueError, match=r"no choice|no assumption"):
        makeup("Pork, water", choices=choices)


def test_every_assumption_has_a_name() -> None:
    assert {"tolerance", "loss", "declared_share", "usual_doses", "unlisted_water"} <= set(assumptions.known())


def test_water_below_five_percent_need_not_be_listed_in_the_eu() -> None:
    hidden = makeup("Pork, salt", market="EU", name="Frankfurter")
    assert group(hidden, "water").possible.high == pytest.approx(
        0.05 * 86 + 14
    )  # 5 % of what is sold, and what was lost
    assert group(makeup("Pork, salt", name="Frankfurter"), "water").possible.high == 0.0


# -- clashes ------------------------------------------------------------------------------------------------


def test_a_clash_names_the_line_at_fault_and_still_estimates() -> None:
    found = makeup(FRANK, PANEL.replace("Protein 5g", "Protein 25g"))
    assert found.clash is not None
    assert "panel protein_g" in {r.id for r in found.clash.suspects}
    assert {r.id for r in found.clash.let_go}
    assert group(found, "meat").possible.high > 0
    told = " ".join(clash_told(found.clash, found))
    assert "protein line" in told


def test_a_serving_weight_that_cannot_be_is_suspected() -> None:
    found = makeup(FRANK, PANEL.replace("(45g)", "(15g)"))
    assert found.clash is not None
    assert "serving weight" in {r.id for r in found.clash.suspects}
    assert "the weight of the serving (15 g)" in " ".join(clash_told(found.clash, found))


@pytest.mark.parametrize(
    ("text", "panel", "market", "quoted"),
    [
        (FRANK, PANEL.replace("Protein 5g", "Protein 25g"), "US", ("the protein line (25 g)", "the energy line (130 kcal)")),
        (FRANK, PANEL.replace("Total Fat 11g", "Total Fat <1g"), "US", ("the fat line (less than 1 g)",)),
        (
            FRANK,
            "Per 100 g: Energy 900 kJ, Fat 40 g, Carbohydrate 1 g, Protein 29 g, Salt 12.2 g",
            "EU",
            ("the energy line (900 kJ)", "the fat line (40 g)", "the sodium line (salt 12.2 g)"),
        ),
        (
            "Pork (30%), beef (20%), water, salt",
            "Per 100 g: Fat 20 g, Carbohydrate 1 g, Protein 22 g, Salt 2 g",
            "EU",
            ("the declared percentage of pork, beef (30 %, 20 %)",),
        ),
        (
            "Pork, water, salt. Made with 160 g pork per 100 g",
            "Per 100 g: Fat 20 g, Carbohydrate 1 g, Protein 12 g, Salt 2 g",
            "EU",
            ("the printed ratio of pork (160 g)", "the protein line (12 g)"),
        ),
    ],
)  # fmt: skip
def test_a_clash_quotes_what_is_printed(text: str, panel: str, market: str, quoted: tuple[str, ...]) -> None:
    found = makeup(text, panel, market=market)
    assert found.clash is not None
    told = " ".join(clash_told(found.clash, found))
    assert all(words in told for words in quoted), told


# -- always an answer ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "panel", "name"),
    [
        ("Pork", "", ""),
        ("Pork", PANEL, ""),
        (
            "Water, pea protein isolate, coconut oil, methylcellulose, salt, vegan casing (alginate)",
            PANEL,
            "Vegan sausage",
        ),
        (", ".join(f"spice{k}" for k in range(30)), "", "Sausage"),
        ("Pork, " + ", ".join(f"mystery {k}" for k in range(29)), PANEL, "Sausage"),
        (FRANK, "Sodium 450 mg", ""),
        (FRANK, "Protein 5 g", ""),
        ("", "", ""),
        ("Bonjour tout le monde", "", ""),
        ("Pork, zorblax, water", PANEL, "Sausage"),
    ],
)
def test_always_an_answer_or_a_reason(text: str, panel: str, name: str) -> None:
    found = makeup(text, panel, "likely", name=name)
    assert found.note or len(found.groups) > 5
    for _, share in (*found.groups, *found.sodium):
        assert share.possible.low <= share.possible.high
        if share.likely is not None:
            assert share.possible.low - 1e-6 <= share.likely.low <= share.likely.high <= share.possible.high + 1e-6


def test_a_very_long_list_is_read_by_order_alone() -> None:
    vegetables = [e.name for e in tables.entries() if e.role == "vegetable"][:70]
    found = makeup(", ".join(["Pork", *vegetables]), PANEL)
    assert (found.depth, found.note) == ("order", "makeup_too_long")


def test_the_panel_of_a_kit_is_not_that_of_its_sausage() -> None:
    text = "PEPPERONI: PORK, BEEF, SALT. CRACKERS: WHEAT FLOUR, OIL, SALT. CHEESE: MILK, SALT, ENZYMES."
    found = makeup(text, PANEL)
    assert not found.panel_used
    assert found.note == "makeup_panel_of_more"


# -- likely -------------------------------------------------------------------------------------------------


def test_the_same_label_gives_the_same_answer() -> None:
    assert makeup(FRANK, PANEL, "likely") == makeup(FRANK, PANEL, "likely")


def test_a_middle_lies_inside_and_is_missing_where_too_much_is_open() -> None:
    found = makeup(FRANK, PANEL, "likely")
    for _, share in found.groups:
        if share.middle is not None:
            assert share.possible.low <= share.middle <= share.possible.high
    wide = group(makeup(FRANK, "", "likely"), "meat")
    assert wide.possible.high - wide.possible.low > 25
    assert wide.middle is None or (wide.likely and wide.likely.high - wide.likely.low <= 15)


# -- words --------------------------------------------------------------------------------------------------


def test_each_bound_says_what_decides_it() -> None:
    found = makeup(FRANK, PANEL, "likely")
    meat = group(found, "meat")
    low, high = bounds_told("meat", meat)
    assert low.startswith("Not below")
    assert high.startswith("Not above")
    assert "line" in low or "order" in low
    assert range_told("meat", meat).startswith("Animal tissue: possible")
    for _, share in found.groups:
        for reason in (*share.low_because, *share.high_because):
            assert reason.kind in ("label", "panel", "law", "composition", "house")
            if reason.kind == "label":
                assert reason.span is not None


def test_the_depths_agree_in_what_they_hold() -> None:
    """Order alone is never narrower than the estimate, for the same facts of the list."""
    report: Report = read_label(FRANK, depth="order")
    estimate = read_label(FRANK, choices=RAW, depth="possible")
    for wide, narrow in zip(report.makeup.ingredients, estimate.makeup.ingredients, strict=True):
        assert wide.possible.low <= narrow.possible.low + 1e-4
        assert wide.possible.high >= narrow.possible.high - 1e-4


# -- unusual ------------------------------------------------------------------------------------------------


def test_a_panel_that_fits_only_an_unusual_recipe_is_told() -> None:
    plain = PANEL.replace("Carbohydrate 4g", "Carbohydrate 2g").replace("Calories 130", "Calories 125")
    usual = makeup(FRANK, plain, "likely")
    assert usual.unusual is None
    odd = makeup(FRANK, plain.replace("Sodium 450mg", "Sodium 900mg"), "likely")
    assert odd.clash is None
    assert odd.unusual is not None
    assert odd.unusual.because
    assert "unusual" in unusual_told(odd)
    assert unusual_told(usual) == ""


@pytest.mark.parametrize(
    "panel",
    [
        "Per 100 g: Energy 0 kcal Fat 0 g Carbohydrate 0 g Protein 0 g Sodium 0 mg",
        "Per 100 g: Energy 900 kcal Fat 100 g Carbohydrate 100 g Protein 100 g Sodium 39000 mg",
        "Per 100 g: Energy 50 kcal Fat 0 g Carbohydrate 0 g Protein 90 g Sodium 11060 mg Calcium 5000 mg",
        "Serving size 1 g Calories 900 Total Fat 90g Sodium 4mg Protein 60g",
    ],
)
@pytest.mark.parametrize(
    "text", ["Beef, pork, water", "Green olives, water, salt, lactic acid", "Mango puree, sugar, vitamin C"]
)
def test_no_panel_however_wrong_raises(text: str, panel: str) -> None:
    found = makeup(text, panel, "likely", name="Salami")
    for _, share in found.groups:
        assert share.possible.low <= share.possible.high


def test_a_choice_says_the_number_it_stands_for() -> None:
    loss = next(a for a in makeup(FRANK, PANEL, name="Hot dogs").assumptions if a.id == "loss")
    assert loss.choice == "cooked"
    assert choice_told(loss, "cooked").startswith(f"up to {settings.raw()['loss']['choices']['cooked']} %")
