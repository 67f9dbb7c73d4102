"""The rules of lexicon/standards/: known keys, known judges, and for each verdict a label that a lawyer could read.

tests/cases/rules/*.yaml hold the labels, rule by rule; all packs are invented.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from reader import read_label, tables
from reader.findings_told import finding_told
from reader.law.findings import JUDGES
from reader.law.listing import as_markdown, judges_as_markdown
from reader.law.rules import all_rules, by_id
from reader.law.values import VERDICTS
from reader.makeup.settings import quantities
from reader.report import Report
from reader.wording import has

CASES = Path(__file__).parent / "cases" / "rules"
RAW = tables.load_raw()
CLASSES = {c["id"] for group in ("classes", "marks") for c in RAW["standards/classes"][group]}
CONSEQUENCES = {"claims", "comparison", "contents", "health", "list", "name", "numbers"}
COMMON = {"id", "title", "rule", "markets", "judge", "consequence", "source", "section", "status"}
MAY = {"classes", "unless", "from", "to", "verdicts", "note"}
_CLAIM = {"not_words", "not_before", "not_after"}
# What each judge needs to know beside that: (must be there, may be there).
KEYS: dict[str, tuple[set[str], set[str]]] = {
    "allergen_emphasis": (set(), {"clear_roles"}),
    "allergen_line": ({"sure_kinds", "none", "traces"}, {"clear_roles", "from_an_amount", "with_wheat"}),
    "allergen_sources": ({"sure_kinds"}, {"clear_roles", "each", "excusing", "from_an_amount"}),
    "allergen_traces": (set(), set()),
    "animal_flavor": ({"entries", "tissue_roles"}, set()),
    "antioxidant": ({"entries", "purpose", "whole_front"}, set()),
    "apart": ({"kinds", "content_words"}, set()),
    "at_least": ({"quantity", "least"}, {"needs", "names", "unless_names"}),
    "at_most": ({"quantity", "most"}, {"needs", "says", "assume"}),
    "at_most_of": ({"quantity", "part_of", "most"}, set()),
    "casing_agreement": ({"skinless"}, set()),
    "casing_collagen": (set(), set()),
    "casing_coloured": ({"coloured", "statement"}, set()),
    "casing_place": (set(), set()),
    "casing_species": ({"skinless", "meats_of"}, set()),
    "claim_absent": ({"words"}, {*_CLAIM, "against", "open", "explained", "told_only"}),
    "claim_compared": ({"words", "least", "reference"}, _CLAIM),
    "claim_level": (
        {"words", "nutrients"},
        {*_CLAIM, "least_g", "percent", "asks_more", "sodium_mg", "fat_g", "satfat_g", "cholesterol_mg"},
    ),
    "claim_quantity": ({"words", "nutrients", "small_words", "note_words", "sodium_mg", "least_g"}, _CLAIM),
    "clause": ({"allowed", "tiny_kinds", "weighty_roles"}, set()),
    "collective": ({"collective", "named"}, set()),
    "either": ({"roles"}, set()),
    "falling": ({"pair_least", "small_roles", "small_kinds", "meat_roles"}, set()),
    "fat_room": (
        {
            "pork",
            "birds",
            "other",
            "pigs",
            "as_birds",
            "kinds",
            "not_entries",
            "dried_roles",
            "tolerance_percent",
            "tolerance_grams",
        },
        set(),
    ),
    "front_threshold": ({"nutrients", "percent"}, set()),
    "handling": ({"words", "signs"}, set()),
    "lean_of_meat": ({"limits_of"}, set()),
    "mould_dip": ({"entries", "words"}, set()),
    "panel_arithmetic": ({"lines", "problems"}, set()),
    "panel_footnote": ({"words"}, set()),
    "panel_layout": ({"newer", "older", "newer_day"}, set()),
    "panel_lines": ({"columns", "lines", "enough"}, {"repeated", "instead_of_last"}),
    "panel_order": ({"lines", "enough"}, set()),
    "panel_percents": (set(), set()),
    "panel_portion": (set(), set()),
    "panel_rounding": (set(), {"left_out"}),
    "parts_named": ({"entries"}, set()),
    "ratios": ({"names", "water_to_protein", "fat_to_protein", "water_and_fat_to_protein"}, set()),
    "reserved": (
        {
            "quantity",
            "pigs",
            "as_birds",
            "content_words",
            "no_less_words",
            "around_roles",
            "around_kinds",
            "around_names",
        },
        {"pork", "birds", "other", "names", "and_names", "unless_names"},
    ),
    "serving_size": ({"units", "amounts", "large", "whole", "half"}, {"names"}),
    "smoke": ({"statement", "smoked", "whole_front"}, set()),
    "stated": ({"kinds", "class_words"}, {"named", "vague"}),
    "unlisted_water": ({"most", "raw"}, set()),
    "sub_ingredients": ({"roles", "kinds"}, set()),
    "additive_class": ({"words", "roles", "sure"}, set()),
    "additive_named": ({"words", "roles"}, set()),
    "amount_not_printed": ({"role", "kinds", "most", "unit"}, set()),
    "any_proportion": ({"roles"}, set()),
    "called": ({"role", "kind", "words", "other_words"}, set()),
    "class_share": ({"entries", "most"}, set()),
    "compound_told": ({"roles", "kinds", "limit"}, set()),
    "declared_quantity": (set(), set()),
    "foreign_protein": (set(), set()),
    "free_end": ({"roles", "weighty"}, set()),
    "grouped_sugars": ({"roles", "kinds", "group"}, set()),
    "heading_printed": (set(), set()),
    "offal_named": ({"general"}, set()),
    "only_these": ({"front", "role", "kinds", "entries"}, set()),
    "percent_order": ({"tail"}, {"weighed_wet"}),
    "percent_total": ({"most"}, set()),
    "second_language": (set(), set()),
    "separated_named": ({"words"}, set()),
    "silent_casing": (set(), set()),
    "species_named": ({"bare", "unclear"}, {"allowed"}),
    "statement_printed": (
        {"words", "sentence"},
        {"front", "unless_front", "with_roles", "with_entries", "entries", "casings", "needs_trigger", "most"},
    ),
    "swappable": (set(), {"most", "tail", "roles", "apart"}),
    "word_needs": ({"front", "roles"}, {"unless_front", "amount"}),
}
# The name, and what stands behind it.
KEYS |= {
    "barred_food": ({"roles", "kinds", "names", "or_names"}, set()),
    "before_name": ({"words", "products"}, set()),
    "called_so": ({"role", "wrong", "short", "general"}, set()),
    "cured_or_called": ({"kinds", "vegetable", "words", "whole_front"}, set()),
    "declared_row": ({"role", "kinds", "row"}, set()),
    "each_of": ({"groups", "general", "open_roles", "open_kinds"}, set()),
    "holds_meat": ({"roles"}, set()),
    "in_name": ({"words", "asks", "whole_front"}, {"roles", "kinds", "entries", "but", "livestock", "beside"}),
    "kind_in_name": ({"species", "whole_front"}, set()),
    "kinds_of_name": ({"species", "products", "denied_by", "general", "near"}, {"whole_front"}),
    "none_added_true": ({"kinds", "says"}, set()),
    "not_used": (
        set(),
        {"roles", "kinds", "entries", "allowed", "doubtful", "general", "livestock", "top", "other_names", "brings"}
        | {"whole_front"},
    ),
    "one_kind": ({"species", "products", "denied_by", "kinds"}, set()),
    "only_of": ({"species"}, {"other_names"}),
    "said_with": ({"words", "of_others", "says"}, {"vegetable", "exempt", "whole_front"}),
    "singly": ({"roles", "general"}, {"kinds", "spread", "livestock"}),
    "sole_ingredient": ({"before", "kinds", "leads", "products"}, set()),
    "uncured_true": ({"kinds", "words", "of_others"}, set()),
    "words_not_used": ({"words"}, {"of"}),
}
LABEL = {"name", "statement", "panel", "market", "on", "class", "says", "note"}


def rows() -> list[tuple[str, str, dict[str, Any]]]:
    """(rule, verdict, label) of every case."""
    found = []
    for file in sorted(CASES.glob("*.yaml")):
        for item in tables.read_yaml(file):
            for verdict, labels in item.items():
                if verdict not in ("rule", "__line__"):
                    found += [(item["rule"], verdict, label) for label in labels]
    return found


ROWS = rows()


def read(label: dict[str, Any], rule: str) -> Report:
    return read_label(
        label.get("statement", ""),
        label.get("panel", ""),
        name=label.get("name", ""),
        market=label.get("market", by_id()[rule].markets[0]),
        on=date.fromisoformat(label["on"]) if "on" in label else None,
        classed_as=label.get("class", ""),
        depth="possible",
    )


@pytest.mark.parametrize(("rule", "verdict", "label"), ROWS, ids=[f"{r}-{v}-{x['__line__']}" for r, v, x in ROWS])
def test_a_label_gets_its_verdict(rule: str, verdict: str, label: dict[str, Any]) -> None:
    assert set(label) <= LABEL | {"__line__"}, f"line {label['__line__']}: known keys are {sorted(LABEL)}"
    report = read(label, rule)
    found = next(f for f in report.findings if f.rule.id == rule)
    assert found.verdict == verdict, finding_told(found) if found.ruling else "no ruling"
    if "says" in label:
        assert finding_told(found) == label["says"]
    for span in found.ruling.says.spans if found.ruling else ():
        assert report.pasted(span).strip(), f"{span} points at nothing"


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_every_verdict_of_a_rule_is_shown_by_a_label(rule: Any) -> None:
    shown = {verdict for of, verdict, _ in ROWS if of == rule.id}
    missing = set(rule.verdicts) - shown
    assert not missing, f"tests/cases/rules/: no label shows {sorted(missing)} for {rule.id}"
    told = (shown & set(VERDICTS)) - set(rule.verdicts)
    assert not told, f"{rule.id} says it cannot come to {sorted(told)}, but a label shows it"
    if set(rule.verdicts) != set(VERDICTS):
        assert "note" in rule.values or _raw(rule.id).get("note"), (
            f"{rule.id}: say in `note` why it cannot come to more"
        )


def _raw(rule: str) -> dict[str, Any]:
    items = (
        item for name, content in RAW.items() if name.startswith("standards/") for item in content.get("rules", ())
    )
    found: dict[str, Any] = next(item for item in items if item["id"] == rule)
    return found


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_a_rule_has_its_keys_and_known_values(rule: Any) -> None:
    raw = _raw(rule.id)
    must, may = KEYS[rule.judge]
    keys = set(raw) - {"__line__"}
    here = f"lexicon/standards/{rule.file}.yaml:{raw['__line__']} ({rule.id})"
    assert COMMON | must <= keys, f"{here}: {sorted((COMMON | must) - keys)} missing"
    assert keys <= COMMON | MAY | must | may, f"{here}: {sorted(keys - COMMON - MAY - must - may)} not known"
    assert rule.consequence in CONSEQUENCES and has(f"consequence_{rule.consequence}"), here
    assert rule.classes | rule.unless <= CLASSES, f"{here}: classes {sorted((rule.classes | rule.unless) - CLASSES)}"
    assert set(rule.verdicts) <= set(VERDICTS), here
    assert rule.values.get("quantity") in (None, *quantities()), f"{here}: quantity not in estimate.yaml"
    sources = {s["id"]: s["status"] for s in RAW["sources"]}
    assert rule.source in sources, f"{here}: source {rule.source!r} is not in sources.yaml"
    assert rule.status in ("read", "secondary", "house", "not verified"), here
    assert rule.status != "read" or sources[rule.source] == "read", f"{here}: read, but its document was not"


def test_ids_are_unique_and_every_judge_is_used() -> None:
    ids = [rule.id for rule in all_rules()]
    assert len(ids) == len(set(ids))
    assert {rule.judge for rule in all_rules()} == set(JUDGES) == set(KEYS)


def test_cases_are_of_known_rules() -> None:
    assert {rule for rule, _, _ in ROWS} <= set(by_id())


def test_the_table_of_rules_is_fresh() -> None:
    table = (tables.LEXICON / "RULES.md").read_text(encoding="utf-8")
    assert table == f"{as_markdown(all_rules())}\n{judges_as_markdown()}", (
        "run `python -m reader rules > lexicon/RULES.md`"
    )


def test_what_the_guide_says_of_the_notes_names_rules_there_are() -> None:
    guide = (tables.LEXICON / "README.md").read_text(encoding="utf-8")
    table = guide.split("### Where the rules of our notes stand")[1].split("\n## ")[0]
    named = set(re.findall(r"`([a-z]{2}_\w+)`", table)) - {"us_panel", "eu_panel"}
    assert len(named) > 50
    assert named <= set(by_id()), sorted(named - set(by_id()))
