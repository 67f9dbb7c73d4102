"""The lexicon keeps the rules of lexicon/README.md. Each failure names file, line and what to do."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import Any

import pytest

from reader import tables, wordforms

RAW = tables.load_raw()
ROLES = {r["id"]: r for r in RAW["roles"]}
SOURCES = {s["id"] for s in RAW["sources"]}
ALLERGENS = {a["id"] for a in RAW["allergens"]["allergens"]}
MARKETS = {"US", "CA", "UK", "EU", "AU"}
SPECIES = {
    "beef", "bison", "boar", "camel", "chicken", "crocodile", "duck", "elk", "fish", "goat", "goose", "horse",
    "kangaroo", "lamb", "mixed", "mutton", "ostrich", "pork", "poultry", "rabbit", "turkey", "veal", "venison",
}  # fmt: skip
FILES = [f for f in tables.ENTRY_FILES if RAW.get(f)]


def placed() -> Iterator[tuple[str, dict[str, Any]]]:
    for file in FILES:
        for item in RAW[file]:
            yield f"lexicon/{file}.yaml:{item['__line__']}", item


def complain(faults: list[str]) -> None:
    assert not faults, f"{len(faults)} fault(s):\n" + "\n".join(faults[:40])


def test_entries_have_the_fields_of_the_readme() -> None:
    faults = []
    known = set(tables.Entry.__dataclass_fields__)
    for place, item in placed():
        for key in set(item) - known - {"__line__"}:
            faults.append(f"{place}: the key {key!r} is not explained in lexicon/README.md.")
        for key in ("id", "name", "role", "what", "why", "source"):
            if not item.get(key):
                faults.append(f"{place}: {item.get('id')} lacks {key!r}.")
    complain(faults)


def test_ids_are_unique_and_sorted() -> None:
    seen: dict[str, str] = {}
    faults = []
    for file in FILES:
        ids = [item["id"] for item in RAW[file]]
        for before, after in itertools.pairwise(ids):
            if before >= after:
                faults.append(f"lexicon/{file}.yaml: {after!r} should stand before {before!r}.")
    for place, item in placed():
        if not re.fullmatch(r"[a-z][a-z0-9_]*", item["id"]):
            faults.append(f"{place}: the id {item['id']!r} may hold only a-z, 0-9 and _.")
        if item["id"] in seen:
            faults.append(f"{place}: the id {item['id']!r} stands already at {seen[item['id']]}.")
        seen[item["id"]] = place
    complain(faults)


def test_no_wording_belongs_to_two_entries() -> None:
    owner: dict[str, tuple[str, str, str]] = {}
    faults = []
    for place, item in placed():
        for field in ("name", "also"):
            for wording in [item["name"]] if field == "name" else item.get("also", []):
                key = wordforms.key(wording)
                if key in owner and owner[key][0] != item["id"]:
                    other, other_place, other_word = owner[key]
                    faults.append(
                        f'{place}: "{wording}" of {item["id"]} also belongs to {other} ("{other_word}", {other_place}).'
                    )
                elif key in owner:
                    faults.append(
                        f'{place}: "{wording}" of {item["id"]} says no more than "{owner[key][2]}". Take it out.'
                    )
                owner.setdefault(key, (item["id"], place, wording))
    complain(faults)


def test_additive_numbers_belong_to_one_entry() -> None:
    owner: dict[str, str] = {}
    faults = []
    for place, item in placed():
        for number in item.get("e", []):
            if not re.fullmatch(r"\d{3,4}[a-z]?(i|ii|iii|iv|v|vi|vii)?", number):
                faults.append(f"{place}: {number!r} is not an additive number such as 250, 472e or 450i.")
            if number in owner:
                faults.append(f"{place}: number {number} also belongs to {owner[number]}.")
            owner[number] = item["id"]
    complain(faults)


def test_roles_kinds_species_allergens_sources_are_known() -> None:
    faults = []
    for place, item in placed():
        role = ROLES.get(item["role"])
        if role is None:
            faults.append(f"{place}: role {item['role']!r} is not in roles.yaml.")
            continue
        if role["kinds"] and item.get("kind") not in role["kinds"]:
            faults.append(f"{place}: {item['id']}: kind {item.get('kind')!r} must be one of {role['kinds']}.")
        if not role["kinds"] and item.get("kind"):
            faults.append(f"{place}: {item['id']}: the role {item['role']} has no kinds.")
        for animal in item.get("species", []):
            if animal not in SPECIES:
                faults.append(f"{place}: species {animal!r} is not known.")
        for allergen in item.get("allergens", []):
            if allergen not in ALLERGENS:
                faults.append(f"{place}: allergen {allergen!r} is not in allergens.yaml.")
        for market, ids in item.get("exempt", {}).items():
            if market != "__line__" and (market not in MARKETS or set(ids) - set(item.get("allergens", []))):
                faults.append(f"{place}: 'exempt' must name a market and allergens the entry carries.")
        if item["source"] not in SOURCES:
            faults.append(f"{place}: source {item['source']!r} is not in sources.yaml.")
        if item.get("in_clause") and item["in_clause"] not in ROLES:
            faults.append(f"{place}: in_clause {item['in_clause']!r} is not in roles.yaml.")
    complain(faults)


def test_wordings_are_clean_and_sorted() -> None:
    faults = []
    for place, item in placed():
        for field in ("also", "fr", "es", "de", "allergens", "species"):
            values = item.get(field, [])
            if values != sorted(values):
                faults.append(f"{place}: {field} of {item['id']} should be sorted: {sorted(values)}")
        for wording in [item["name"], *item.get("also", [])]:
            if wording != wording.lower() or wording != " ".join(wording.split()):
                faults.append(f"{place}: {wording!r} should be lower case with single blanks.")
    complain(faults)


def test_explanations_are_sentences() -> None:
    faults = []
    for place, item in placed():
        for field in ("what", "why"):
            text = str(item[field])
            if not text.endswith(".") or len(text) > 160 or text[0].islower():
                faults.append(
                    f"{place}: {field} of {item['id']} should be one sentence of at most 160 letters, with a full stop."
                )
        for banned in ("safe", "free from", "healthy"):
            if re.search(rf"\b{banned}\b", f"{item['what']} {item['why']}"):
                faults.append(f"{place}: {item['id']} says {banned!r}; the reader never does.")
    complain(faults)


def test_there_is_enough() -> None:
    if set(FILES) != set(tables.ENTRY_FILES):
        pytest.skip("not all ingredient files are written yet")
    assert len(list(placed())) >= 450
    for language in ("fr", "es", "de"):
        named = sum(bool(item.get(language)) for _, item in placed())
        assert named >= 150, f"{language}: {named} entries named, 150 wanted"
