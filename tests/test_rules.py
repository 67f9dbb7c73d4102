"""The rules of lexicon/standards/: known keys, known judges, and for each verdict a label that a lawyer could read.

tests/cases/rules/*.yaml hold the labels, rule by rule; all packs are invented.
"""

from __future__ import annotations

import inspect
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
MAY = {"classes", "unless", "from", "to", "verdicts", "note", "unit"}
_CLAIM = {"not_words", "not_before", "not_after"}
# What each judge needs to know beside that: (must be there, may be there).
KEYS: dict[str, tuple[set[str], set[str]]] = {
    "additive_class": ({"roles", "sure", "words"}, set()),
    "additive_named": ({"roles", "words"}, set()),
    "allergen_emphasis": (set(), {"clear_roles"}),
    "allergen_line": ({"none", "sure_kinds", "traces"}, {"clear_roles", "from_an_amount", "with_wheat"}),
    "allergen_sources": ({"sure_kinds"}, {"clear_roles", "each", "excusing", "from_an_amount"}),
    "allergen_traces": (set(), set()),
    "amount_not_printed": ({"kinds", "most", "role", "unit"}, set()),
    "animal_flavor": ({"entries", "tissue_roles"}, set()),
    "antioxidant": ({"entries", "purpose", "whole_front"}, set()),
    "any_proportion": ({"roles"}, set()),
    "apart": ({"content_words", "kinds"}, set()),
    "at_least": ({"least", "quantity"}, {"names", "needs", "unless_names"}),
    "at_most": ({"most", "quantity"}, {"assume", "needs", "says"}),
    "at_most_of": ({"most", "part_of", "quantity"}, set()),
    "barred_food": ({"kinds", "names", "or_names", "roles"}, set()),
    "before_name": ({"products", "words"}, set()),
    "called": ({"kind", "other_words", "role", "words"}, set()),
    "called_so": ({"general", "role", "short", "wrong"}, set()),
    "casing_agreement": ({"skinless"}, set()),
    "casing_collagen": (set(), set()),
    "casing_coloured": ({"coloured", "statement"}, set()),
    "casing_place": (set(), set()),
    "casing_species": ({"meats_of", "skinless"}, set()),
    "claim_absent": ({"words"}, {*_CLAIM, "against", "explained", "open", "told_only"}),
    "claim_compared": ({"least", "reference", "words"}, _CLAIM),
    "claim_level": (
        {"nutrients", "words"},
        {*_CLAIM, "asks_more", "cholesterol_mg", "fat_g", "least_g", "percent", "satfat_g", "sodium_mg"},
    ),
    "claim_quantity": ({"least_g", "note_words", "nutrients", "small_words", "sodium_mg", "words"}, _CLAIM),
    "class_share": ({"entries", "most"}, set()),
    "clause": ({"allowed", "tiny_kinds", "weighty_roles"}, set()),
    "collective": ({"collective", "named"}, set()),
    "compound_told": ({"kinds", "limit", "roles"}, set()),
    "cured_or_called": ({"kinds", "vegetable", "whole_front", "words"}, set()),
    "declared_quantity": (set(), set()),
    "declared_row": ({"kinds", "role", "row"}, set()),
    "each_of": ({"general", "groups", "open_kinds", "open_roles"}, set()),
    "either": ({"roles"}, set()),
    "falling": ({"meat_roles", "pair_least", "small_kinds", "small_roles"}, set()),
    "fat_room": (
        {
            "as_birds",
            "birds",
            "dried_roles",
            "kinds",
            "not_entries",
            "other",
            "pigs",
            "pork",
            "tolerance_grams",
            "tolerance_percent",
        },
        set(),
    ),
    "foreign_protein": (set(), set()),
    "free_end": ({"roles", "weighty"}, set()),
    "front_threshold": ({"nutrients", "percent"}, set()),
    "grouped_sugars": ({"group", "kinds", "roles"}, set()),
    "handling": ({"signs", "words"}, set()),
    "heading_printed": (set(), set()),
    "holds_meat": ({"roles"}, set()),
    "in_name": ({"asks", "whole_front", "words"}, {"beside", "but", "entries", "kinds", "livestock", "roles"}),
    "kind_in_name": ({"species", "whole_front"}, set()),
    "kinds_of_name": ({"denied_by", "general", "near", "products", "species"}, {"whole_front"}),
    "lean_of_meat": ({"limits_of"}, set()),
    "mould_dip": ({"entries", "words"}, set()),
    "none_added_true": ({"kinds", "says"}, set()),
    "not_used": (
        set(),
        {
            "allowed",
            "brings",
            "doubtful",
            "entries",
            "general",
            "kinds",
            "livestock",
            "other_names",
            "roles",
            "top",
            "whole_front",
        },
    ),
    "offal_named": ({"general"}, set()),
    "one_kind": ({"denied_by", "kinds", "products", "species"}, {"whole_front"}),
    "only_of": ({"species"}, {"other_names"}),
    "only_these": ({"entries", "front", "kinds", "role"}, set()),
    "panel_arithmetic": ({"lines", "problems"}, set()),
    "panel_footnote": ({"words"}, set()),
    "panel_layout": ({"newer", "newer_day", "older"}, set()),
    "panel_lines": ({"columns", "enough", "lines"}, {"instead_of_last", "repeated"}),
    "panel_order": ({"enough", "lines"}, set()),
    "panel_percents": (set(), set()),
    "panel_portion": (set(), set()),
    "panel_rounding": (set(), {"left_out"}),
    "parts_named": ({"entries"}, set()),
    "percent_order": ({"tail"}, {"weighed_wet"}),
    "percent_total": ({"most"}, set()),
    "ratios": ({"fat_to_protein", "names", "water_and_fat_to_protein", "water_to_protein"}, set()),
    "reserved": (
        {
            "around_kinds",
            "around_names",
            "around_roles",
            "as_birds",
            "content_words",
            "no_less_words",
            "pigs",
            "quantity",
        },
        {"and_names", "birds", "names", "other", "pork", "unless_names"},
    ),
    "said_with": ({"of_others", "says", "words"}, {"exempt", "vegetable", "whole_front"}),
    "second_language": (set(), set()),
    "separated_named": ({"words"}, set()),
    "serving_size": ({"amounts", "half", "large", "units", "whole"}, {"names"}),
    "silent_casing": (set(), set()),
    "singly": ({"general", "roles"}, {"kinds", "livestock", "spread"}),
    "smoke": ({"smoked", "statement", "whole_front"}, set()),
    "sole_ingredient": ({"before", "kinds", "leads", "products"}, set()),
    "species_named": ({"bare", "unclear"}, {"allowed"}),
    "stated": ({"class_words", "kinds"}, {"named", "vague"}),
    "statement_printed": (
        {"sentence", "words"},
        {"casings", "entries", "front", "most", "needs_trigger", "unless_front", "with_entries", "with_roles"},
    ),
    "sub_ingredients": ({"kinds", "roles"}, set()),
    "swappable": (set(), {"apart", "most", "roles", "tail"}),
    "uncured_true": ({"kinds", "of_others", "words"}, set()),
    "unlisted_water": ({"most", "raw"}, set()),
    "word_needs": ({"front", "roles"}, {"amount", "unless_front"}),
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


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_every_number_of_a_rule_has_a_unit(rule: Any) -> None:
    """At the end of its key, or under `unit`; `enough` counts lines, and "100" among words is a word."""

    def numbers(value: Any) -> bool:
        several = value if isinstance(value, tuple) else (value,)
        return bool(several) and all(isinstance(v, str) and re.fullmatch(r"-?\d+(\.\d+)?", v) for v in several)

    told = re.compile(r"(_mg|_g|_grams|percent|^enough)$")
    bare = sorted(key for key, value in rule.values.items() if numbers(value) and not told.search(key))
    assert not bare or rule.values.get("unit"), f"{rule.id}: say in `unit` what {bare} are in"


def test_ids_are_unique_and_every_judge_is_used() -> None:
    ids = [rule.id for rule in all_rules()]
    assert len(ids) == len(set(ids))
    assert {rule.judge for rule in all_rules()} == set(JUDGES) == set(KEYS)


@pytest.mark.parametrize("judge", sorted(JUDGES))
def test_the_words_beside_a_judge_name_the_keys_it_reads(judge: str) -> None:
    must, may = KEYS[judge]
    named = set(re.findall(r"`(\w+)`", inspect.getdoc(JUDGES[judge]) or "")) - {"verdicts"}
    assert named == must | may, f"{judge}: {sorted(named ^ (must | may))}"


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
