"""The data files beside the ingredients: known keys, known sources, order, and a source with status for every number.

Each failure names the file, the place in it and what to do.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import Any

import pytest

from reader import tables, wordforms
from reader.advice import CONDITIONS
from reader.phrases import compile_pattern
from reader.pipeline import MARKETS

RAW = tables.load_raw()
SOURCES = {s["id"]: s["status"] for s in RAW["sources"]}
STATUSES = {"read", "secondary", "house", "common practice", "not verified"}
ROLES = {r["id"]: r["kinds"] for r in RAW["roles"]}
IDS = {e["id"] for e in tables.raw_entries()}
ROWS = set(RAW["panel_words"]["nutrients"])
UNITS = {*RAW["panel_words"]["units"], "energy"}
DEVELOPERS = (tables.LEXICON.parent / "DEVELOPERS.md").read_text("utf-8")
RULE_FILES = tuple(name for name, content in RAW.items() if isinstance(content, dict) and "rules" in content)
CHECKED = (
    "advice", "allergens", "catalogue", "market_wordings", "panel_words", "phrases", "price_words", "rounding", "scoring", "sodium", "sources",
    "standards/any_panel", "standards/at_frankfurter", "standards/au_panel", "standards/ca_panel",
    "standards/eu_panel", "standards/us_panel", "standards/classes", "estimate", "house/requirements", *RULE_FILES,
)  # fmt: skip

# Keys of each record, by file and place: (must be there, may be there).
_PHRASE = ({"kind", "pattern", "at", "until", "source"}, {"alone", "bracket", "smoke"})
_PATTERNS = ({"source", "patterns"}, set[str]())
_DAY = ({"id", "form", "market", "source", "section", "date", "status", "values"}, set[str]())
_FACTORS = (
    {"id", "energy", "market", "source", "section", "date", "status", "values"},
    {"fibre_may_be_left_out"},
)
_PANEL = ({"day_references", "percent_checked", "energy_factors"}, set[str]())
_CLASS = {"id", "title", "source", "section", "status"}
_CLASS_SIGNS = {"names", "unless", "meats", "cured", "kit", "foods", "roles", "entries"}
RECORDS: dict[str, tuple[set[str], set[str]]] = {
    "advice": ({"limits", "questions", "cautions", "often_said", "words_of_all"}, set()),
    "advice.limits[]": ({"when", "says"}, {"source", "market"}),
    "advice.questions[]": ({"when", "says"}, {"source", "market"}),
    "advice.cautions[]": ({"id", "when", "says", "source"}, {"market"}),
    "advice.often_said[]": ({"when", "said", "says", "source", "section"}, {"market"}),
    "allergens": ({"lists", "allergens"}, set()),
    "allergens.lists[]": ({"market", "source", "section"}, set()),
    "allergens.allergens[]": ({"id", "word", "words", "markets"}, set()),
    "catalogue": ({"limits", "guessing", "doubles", "encodings", "delimiters"}, set()),
    **{
        f"catalogue.{part}[]": ({"id", "value", "unit", "source", "status", "reason"}, set())
        for part in ("limits", "guessing", "doubles")
    },
    "catalogue.encodings[]": ({"name", "told", "usual", "letters"}, set()),
    "market_wordings[]": ({"wording", "markets", "means", "reason", "source"}, set()),
    "panel_words": (
        {
            "nutrients", "unused_rows", "percent_alone", "energy_without_unit", "units", "headings", "serving_size",
            "servings_in_pack", "per", "portion", "pack", "includes", "less_than", "zero", "fillers", "notes",
            "tables_of_the_day", "other_parts", "forms", "small_words",
        },
        set(),
    ),
    "phrases.clauses": ({"source", "patterns", "lead_ins", "limiting"}, set()),
    "phrases.headings": _PATTERNS,
    "phrases.foreign_headings": _PATTERNS,
    "phrases.leads": _PATTERNS,
    "phrases.notes[]": _PHRASE,
    "phrases.asides[]": _PHRASE,
    "phrases.casings.materials[]": ({"word", "value"}, set()),
    "phrases.casings.species[]": ({"word", "value"}, set()),
    "phrases.class_words": ({"source", "words"}, set()),
    "phrases.section_kinds[]": ({"kind", "words"}, set()),
    "rounding[]": (
        {"id", "markets", "nutrients", "basis", "force", "source", "section", "since", "status"},
        {"bands", "significant"},
    ),
    "rounding[].bands[]": ({"from"}, {"to", "step", "shown"}),
    "scoring": ({"meat_source", "filler_load", "casing", "sodium"}, set()),
    "scoring.meat_source": ({"says", "tissue", "share", "share_source", "share_reason"}, set()),
    "scoring.meat_source.tissue[]": ({"role", "kind", "worth", "source", "reason"}, set()),
    "scoring.filler_load": ({"says", "counts", "share", "share_source", "share_reason"}, set()),
    "scoring.filler_load.counts[]": ({"role", "weight", "source", "reason"}, set()),
    "scoring.casing": ({"says", "values"}, set()),
    "scoring.casing.values[]": ({"value", "low", "high", "source", "reason"}, set()),
    "scoring.sodium": (
        {"says", *(f"{c}{end}" for c in ("serving", "per_100g") for end in ("", "_source", "_reason"))},
        set(),
    ),
    "sodium.surveys[]": ({"name", "source"}, {"mean", "sd", "low", "high"}),
    "sodium.bands[]": ({"up_to", "says"}, set()),
    "sodium.children": ({"source", "values"}, set()),
    "sources[]": ({"id", "title", "publisher", "version", "status"}, set()),
    "standards/any_panel.numbers[]": ({"id", "value", "unit", "source", "section", "date", "status", "note"}, set()),
    "standards/au_panel": _PANEL,
    "standards/ca_panel": _PANEL,
    "standards/eu_panel": _PANEL,
    "standards/us_panel": _PANEL,
    "standards/ca_panel.day_references[]": _DAY,
    "standards/eu_panel.day_references[]": _DAY,
    "standards/us_panel.day_references[]": _DAY,
    "standards/au_panel.energy_factors[]": _FACTORS,
    "standards/ca_panel.energy_factors[]": _FACTORS,
    "standards/eu_panel.energy_factors[]": _FACTORS,
    "standards/us_panel.energy_factors[]": _FACTORS,
    **{file: ({"rules"}, {"checked"}) for file in RULE_FILES},
    "standards/classes": ({"poultry", "whole_front", "classes", "marks"}, set()),
    "standards/classes.classes[]": (_CLASS, {*_CLASS_SIGNS, "markets"}),
    "standards/classes.marks[]": (_CLASS, _CLASS_SIGNS),
    "estimate": (
        {
            "tolerance", "energy_slack", "calcium_half", "loss", "declared_share", "unlisted_water", "free_order", "water_as_finished", "made_before", "groups", "quantities", "added_water",
            "usual_water", "usual_by_name", "sodium_sources", "likely", "no_middle_beyond", "steps", "trace", "suspects", "unusual", "carbohydrate_without_fibre", "longest", "casings",
        },
        set(),
    ),
    "estimate.tolerance": ({"choices", "default", "source", "section", "status", "reason"}, set()),
    "estimate.declared_share": ({"choices", "default", "source", "section", "status", "reason"}, set()),
    "estimate.loss": ({"choices", "never_beyond", "signs", "default", "source", "status", "reason"}, set()),
    "estimate.loss.signs[]": ({"choice"}, {"markets", "names", "beside", "role", "kind", "cured", "without_cure"}),
    "estimate.usual_water[]": ({"choice", "source", "reason"}, {"names", "listed", "unlisted", "section"}),
    "estimate.usual_by_name[]": ({"names", "class", "usual", "source", "reason"}, set()),
    "estimate.free_order[]": ({"market", "source", "section", "status"}, {"most", "roles"}),
    "estimate.groups[]": ({"id"}, {"roles", "kinds", "not_kinds", "tissue", "of", "formula", "counts"}),
    "estimate.quantities[]": (
        {"id"},
        {"roles", "kinds", "not_kinds", "tissue", "of", "formula", "counts", "sum", "species", "not_species", "entries", "or_roles"},
    ),
    "estimate.sodium_sources[]": ({"id", "roles"}, set()),
    "estimate.steps[]": ({"step", "source", "reason"}, {"groups", "up_to"}),
}  # fmt: skip

_KIND = {"id", "topic", "title", "field", "told", "asks", "open", "judge", "takes"}
_KIND_MAY = {
    "unit", "most", "source", "reason", "choices", "words", "none", "of", "own", "general_words", "vague", "additive",
    "class_words", "hidden_in", "open_kinds", "quantity", "nutrient", "basis", "of_part", "front", "verdicts", "note",
}  # fmt: skip
RECORDS |= {
    "house/requirements": ({"kinds", "compounds", "animals", "as_one", "cut_short", "doubted"}, set()),
    "house/requirements.kinds[]": (_KIND, _KIND_MAY),
    "house/requirements.kinds[].choices[]": (
        {"word"},
        {"roles", "kinds", "entries", "perhaps", "material", "species"},
    ),
    "house/requirements.kinds[].of": ({"roles"}, set()),
    "house/requirements.compounds[]": ({"id", "roles", "kinds", "source", "section", "reason"}, set()),
    "house/requirements.animals[]": ({"word", "species"}, set()),
    "house/requirements.doubted[]": ({"nutrient", "problems"}, set()),
}

# Numbers without a source of their own, and why that is right.
NOT_A_VALUE = {
    "estimate.quantities[].sum": "factors that say what is added up, no facts",
    "sodium.bands[]": "drawn from the surveys in the same file, each with its source; the sentence names the survey",
}


def complain(faults: list[str]) -> None:
    assert not faults, f"{len(faults)} fault(s):\n" + "\n".join(faults[:40])


def mappings(value: Any, path: str, above: tuple[dict[str, Any], ...] = ()) -> Iterator[tuple[str, tuple[Any, ...]]]:
    """Every mapping of a file as (path, the mapping and those around it, from the inside out)."""
    if isinstance(value, dict):
        yield path, (value, *above)
        for key, child in value.items():
            yield from mappings(child, f"{path}.{key}", (value, *above))
    elif isinstance(value, list):
        for child in value:
            yield from mappings(child, f"{path}[]", above)


def keys_of(mapping: dict[str, Any]) -> list[str]:
    return [key for key in mapping if key != "__line__"]


EVERY = [(path, around) for file in CHECKED for path, around in mappings(RAW[file], file)]


def place(path: str, mapping: dict[str, Any]) -> str:
    return f"lexicon/{re.split(r'[.[]', path)[0]}.yaml:{mapping['__line__']} ({path})"


def records(path: str) -> list[dict[str, Any]]:
    return [around[0] for found, around in EVERY if found == path]


@pytest.mark.parametrize("path", RECORDS)
def test_record_has_its_keys_and_no_others(path: str) -> None:
    found, (must, may) = records(path), RECORDS[path]
    assert found, f"{path} holds no record; take it out of RECORDS or fill it"
    faults = []
    for record in found:
        for key in must - set(record):
            faults.append(f"{place(path, record)}: {key!r} is missing.")
        for key in set(keys_of(record)) - must - may:
            faults.append(f"{place(path, record)}: the key {key!r} is not known here. Explain it in RECORDS or fix it.")
    complain(faults)


def test_every_source_and_status_is_known() -> None:
    faults = []
    for path, (mapping, *_) in EVERY:
        for key in keys_of(mapping):
            value = mapping[key]
            names_one = key == "source" or (key.endswith("_source") and isinstance(value, str))
            if names_one and value not in SOURCES:
                faults.append(f"{place(path, mapping)}: {key} {value!r} is not in sources.yaml.")
            if key == "status" and value not in STATUSES:
                faults.append(f"{place(path, mapping)}: status {value!r} must be one of {sorted(STATUSES)}.")
    complain(faults)


def has_number(value: Any) -> bool:
    """Whether a value of a record is a number or a curve of numbers; a number in a sentence is none."""
    if isinstance(value, list):
        return any(map(has_number, value))
    return isinstance(value, str) and re.fullmatch(r"-?\d+(\.\d+)?", value) is not None


def test_every_number_has_a_source() -> None:
    faults = []
    for path, around in EVERY:
        mapping = around[0]
        if path in NOT_A_VALUE or path.startswith(("panel_words", "phrases", "sources")):
            continue  # words, and words about sources
        for key in keys_of(mapping):
            own = {"source", f"{key}_source"}
            counts = key not in ("date", "checked") and has_number(mapping[key])
            if counts and not any(own & set(level) for level in around):
                faults.append(f"{place(path, mapping)}: {key} has no source. Add one, or `{key}_source`.")
    complain(faults)


def test_an_own_status_is_not_better_than_the_document() -> None:
    """Nothing can be "read" in a document that was not."""
    faults = []
    for path, (mapping, *_) in EVERY:
        if mapping.get("status") == "read" and SOURCES.get(mapping.get("source", "")) not in ("read", None):
            faults.append(f"{place(path, mapping)}: read, but {mapping['source']} is {SOURCES[mapping['source']]}.")
    complain(faults)


def test_lists_said_to_be_sorted_are() -> None:
    """A header may say "sorted by key"; then the file's list holds to it."""
    found, faults = 0, []
    for file in sorted(RAW):
        header = "".join(itertools.takewhile(lambda line: line.startswith("#"), lines_of(file)))
        for key in re.findall(r"sorted by (\w+)", header, re.I):
            found += 1
            for rows in lists_with(RAW[file], key):
                for before, after in itertools.pairwise(rows):
                    if before >= after:
                        faults.append(f"lexicon/{file}.yaml: {after!r} should stand before {before!r}.")
    assert found >= 2
    complain(faults)


def lines_of(file: str) -> list[str]:
    return (tables.LEXICON / f"{file}.yaml").read_text("utf-8").splitlines(keepends=True)


def lists_with(value: Any, key: str) -> Iterator[list[str]]:
    if isinstance(value, list) and value and all(isinstance(row, dict) and key in row for row in value):
        yield [row[key] for row in value]
    for child in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from lists_with(child, key)


def test_ids_are_unique_in_their_list() -> None:
    for file in CHECKED:
        for ids in lists_with(RAW[file], "id"):
            assert len(ids) == len(set(ids)), f"lexicon/{file}.yaml: an id is given twice"


def test_markets_roles_kinds_and_entries_are_known() -> None:
    faults = []
    for path, (mapping, *_) in EVERY:
        here = place(path, mapping)
        named = [*mapping.get("markets", ()), *([mapping["market"]] if "market" in mapping else [])]
        faults += [f"{here}: market {m!r} is not known." for m in named if m not in MARKETS]
        if "role" in mapping and mapping["role"] not in ROLES:
            faults.append(f"{here}: role {mapping['role']!r} is not in roles.yaml.")
        elif mapping.get("role") and mapping.get("kind") and mapping["kind"] not in ROLES[mapping["role"]]:
            faults.append(f"{here}: {mapping['role']} has no kind {mapping['kind']!r}.")
        ids = [*mapping.get("entries", ()), *mapping.get("not_entries", ()), *filter(None, [mapping.get("means")])]
        faults += [f"{here}: {i!r} is no id of the ingredient files." for i in ids if i not in IDS]
        kinds = set(itertools.chain(*ROLES.values()))
        faults += [f"{here}: kind {k!r} is in no role." for k in mapping.get("not_kinds", ()) if k not in kinds]
        roles = {*ROLES, "class", "unknown"}  # what a term may be besides an entry's role
        faults += [f"{here}: role {r!r} is not in roles.yaml." for r in mapping.get("roles", ()) if r not in roles]
    complain(faults)


# -- words ---------------------------------------------------------------------------------------------------


def word_lists(value: Any, path: str) -> Iterator[tuple[str, list[str]]]:
    if isinstance(value, list) and value and all(isinstance(v, str) for v in value):
        yield path, value
    for key, child in value.items() if isinstance(value, dict) else ():
        yield from word_lists(child, f"{path}.{key}")
    for child in value if isinstance(value, list) else ():
        yield from word_lists(child, f"{path}[]")


def test_no_word_stands_twice_in_a_list() -> None:
    faults = []
    for file in ("allergens", "panel_words", "phrases"):
        for path, words in word_lists(RAW[file], file):
            if path.startswith("panel_words.forms"):
                continue  # a wording may speak twice for one layout
            faults += [f"{path}: {w!r} stands twice." for w in sorted({w for w in words if words.count(w) > 1})]
    complain(faults)


def test_lists_compared_by_key_say_nothing_twice() -> None:
    """ "flake" and "flakes" have one key; one of them is enough."""
    faults = []
    for name in ("collectives", "confusable", "dependent_heads", "heads", "qualifiers", "shared_tails", "tails"):
        seen: dict[str, str] = {}
        for word in RAW["phrases"][name]:
            key = wordforms.key(word) if isinstance(word, str) else "/".join(sorted(word))
            if key in seen:
                faults.append(f"lexicon/phrases.yaml: {name}: {word!r} says no more than {seen[key]!r}.")
            seen[key] = word
    complain(faults)


@pytest.mark.parametrize("group", ["notes", "asides"])
def test_phrases_are_well_formed_and_explained(group: str) -> None:
    faults = []
    for phrase in RAW["phrases"][group]:
        here = f"lexicon/phrases.yaml:{phrase['__line__']}"
        compile_pattern(phrase["pattern"])
        if phrase["at"] not in ("anywhere", "item", "sentence"):
            faults.append(f"{here}: at {phrase['at']!r} is not known.")
        if phrase["until"] not in ("phrase", "item", "note", "sentence", "sentence_or_bracket", "text"):
            faults.append(f"{here}: until {phrase['until']!r} is not known.")
        if f"`{phrase['kind']}`" not in DEVELOPERS:
            faults.append(f"{here}: the kind {phrase['kind']!r} is not explained in DEVELOPERS.md.")
    complain(faults)


def test_panel_rows_are_told_apart() -> None:
    words = RAW["panel_words"]
    owner: dict[str, str] = {}
    faults = []
    for row in keys_of(words["nutrients"]):
        if not row.startswith("vitamin_") and row.rsplit("_", 1)[-1] not in UNITS:
            faults.append(f"panel_words.nutrients: the end of {row!r} is no unit.")
        for wording in words["nutrients"][row]:
            folded = " ".join(wordforms.plain(wording).split())
            if owner.get(folded, row) != row:
                faults.append(f"panel_words.nutrients: {wording!r} is both {owner[folded]} and {row}.")
            owner[folded] = row
    faults += [f"panel_words.unused_rows: {w!r} is {owner[w]}." for w in words["unused_rows"] if w in owner]
    faults += [f"panel_words.percent_alone: {r!r} is no row." for r in words["percent_alone"] if r not in ROWS]
    energy = words["energy_without_unit"]
    assert set(keys_of(energy)) == set(MARKETS)
    faults += [f"panel_words.energy_without_unit: {r!r} is no row." for r in map(energy.get, MARKETS) if r not in ROWS]
    complain(faults)


# -- numbers -------------------------------------------------------------------------------------------------


def test_rounding_rules_are_whole() -> None:
    faults = []
    for rule in RAW["rounding"]:
        here = place("rounding[]", rule)
        faults += [f"{here}: {n!r} is no row of a panel." for n in rule["nutrients"] if n not in ROWS]
        faults += [f"{here}: basis {b!r} is not known." for b in rule["basis"] if b not in ("serving", "pack", "100g")]
        if rule["force"] not in ("law", "guidance"):
            faults.append(f"{here}: force {rule['force']!r} must be law or guidance.")
        if ("bands" in rule) == ("significant" in rule):
            faults.append(f"{here}: give bands or significant, one of them.")
        bands = rule.get("bands", ())
        for band in bands:
            if ("step" in band) == ("shown" in band):
                faults.append(f"{here}: a band is rounded to a step or replaced by words, one of them.")
            if "to" in band and not float(band["from"]) < float(band["to"]):
                faults.append(f"{here}: a band ends before it begins.")
            if "step" in band and not float(band["step"]) > 0:
                faults.append(f"{here}: a step must be above 0.")
        if bands:
            reached = 0.0
            for band in sorted(bands, key=lambda b: float(b["from"])):
                if float(band["from"]) > reached:
                    faults.append(f"{here}: nothing is said from {reached:g} to {band['from']}.")
                reached = max(reached, float(band.get("to", "inf")))
            if reached != float("inf"):
                faults.append(f"{here}: nothing is said above {reached:g}.")
    complain(faults)


def test_scoring_covers_every_tissue_once() -> None:
    tissue = [(t["role"], t["kind"]) for t in RAW["scoring"]["meat_source"]["tissue"]]
    assert len(tissue) == len(set(tissue))
    for role in {role for role, _ in tissue}:
        assert {kind for r, kind in tissue if r == role} == set(ROLES[role]), f"scoring: a kind of {role} has no worth"
    for row in RAW["scoring"]["meat_source"]["tissue"]:
        assert 0 <= float(row["worth"]) <= 1, place("scoring", row)
    for row in RAW["scoring"]["filler_load"]["counts"]:
        assert 0 < float(row["weight"]) <= 1, place("scoring", row)
    for row in RAW["scoring"]["casing"]["values"]:
        assert 0 <= float(row["low"]) <= float(row["high"]) <= 10, place("scoring", row)


@pytest.mark.parametrize(
    ("part", "curve", "top"),
    [
        ("meat_source", "share", 1.0),
        ("filler_load", "share", 10.0),
        ("sodium", "serving", 10.0),
        ("sodium", "per_100g", 10.0),
    ],
)
def test_a_curve_runs_on_and_stays_within_its_scale(part: str, curve: str, top: float) -> None:
    points = [(float(x), float(y)) for x, y in RAW["scoring"][part][curve]]
    assert points[0][0] == 0
    assert all(a[0] < b[0] for a, b in itertools.pairwise(points))
    assert {0.0, top} == {min(y for _, y in points), max(y for _, y in points)}


def test_advice_asks_for_known_conditions() -> None:
    rows = [row for part in ("limits", "questions", "cautions", "often_said") for row in RAW["advice"][part]]
    complain([f"{place('advice', r)}: when {r['when']!r} is not known." for r in rows if r["when"] not in CONDITIONS])
    unused = set(CONDITIONS) - {r["when"] for r in rows}
    assert not unused, f"nothing in advice.yaml asks for {sorted(unused)}"
    complain(
        [f"{place('advice', r)}: {banned!r} is never said." for r in rows for banned in ("safe", "free from")
         if re.search(rf"\b{banned}\b", r["says"])]
    )  # fmt: skip


def test_sodium_bands_rise_and_surveys_hold_numbers() -> None:
    limits = [float(band["up_to"]) for band in RAW["sodium"]["bands"]]
    assert limits == sorted(set(limits))
    for survey in RAW["sodium"]["surveys"]:
        assert "mean" in survey or {"low", "high"} <= set(survey), place("sodium", survey)
        if {"low", "high"} <= set(survey):
            assert float(survey["low"]) < float(survey["high"]), place("sodium", survey)


def test_allergens_stand_on_lists() -> None:
    listed = [row["market"] for row in RAW["allergens"]["lists"]]
    assert sorted(listed) == sorted(MARKETS), "one list a market"
    allergens = RAW["allergens"]["allergens"]
    assert [a["id"] for a in allergens] == sorted(a["id"] for a in allergens)
    for allergen in allergens:
        assert allergen["markets"], place("allergens", allergen)
        assert allergen["words"] == sorted(allergen["words"]), place("allergens", allergen)
        assert all(w == w.lower() for w in allergen["words"]), place("allergens", allergen)


def test_settings_of_the_estimate_speak_of_what_there_is() -> None:
    estimate = RAW["estimate"]
    for rule in ("tolerance", "loss"):
        choices = set(keys_of(estimate[rule]["choices"]))
        assert estimate[rule]["default"] in choices
        assert {sign["choice"] for sign in estimate[rule].get("signs", ())} <= choices
    groups = {group["id"] for group in estimate["groups"]}
    assert len(groups) == len(estimate["groups"])
    for group in (*estimate["groups"], *estimate["sodium_sources"]):
        assert set(group.get("roles", ())) <= set(ROLES), place("estimate", group)
        kinds = {kind for role in ROLES for kind in ROLES[role]}
        assert {*group.get("kinds", ()), *group.get("not_kinds", ())} <= kinds, place("estimate", group)
    assert {name for step in estimate["steps"] for name in step.get("groups", ())} <= groups
    classes = {made["id"] for made in RAW["composition"]["classes"]}
    assert {v for k, v in estimate["casings"].items() if k != "__line__"} <= classes


def test_what_the_estimate_assumes_of_the_law_can_be_told() -> None:
    assumed = [(file, rule) for file in RULE_FILES for rule in RAW[file]["rules"] if rule.get("assume")]
    assert assumed
    for file, rule in assumed:
        assert rule["judge"] == "at_most" and "{most}" in rule["says"], place(file, rule)


def test_classes_end_with_one_for_every_food() -> None:
    classes = RAW["standards/classes"]["classes"]
    for food in ("sausage", "plant-based", "dish", "other food", "unreadable"):
        last = [c for c in classes if food in c.get("foods", ["sausage"])][-1]
        assert not _CLASS_SIGNS - {"foods"} & set(last) and "markets" not in last, f"no class takes every {food}"
