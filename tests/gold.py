"""Compares the reader with readings by hand: `python -m tests.gold FOLDER`.

FOLDER holds labels.csv (id, group, statement …) and gold.jsonl (readings by hand) in the format of README.md,
"Comparing with a reading by hand". Prints exact agreement, F1 of sets, the ingredient count, unknown terms and
every difference. Words are compared as the lexicon folds them (case, plural, hyphen, spelling).
"""

from __future__ import annotations

import csv
import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from reader import facts, ingredients, pasted, wordforms
from reader.statement import grammar as statement

EXACT = ("mechanically_separated", "byproducts", "first_meat", "clause_percent", "casing", "smoke", "allergens")
SETS = ("meat_sources", "binders", "sweeteners", "cures", "cure_accelerators", "hydrocolloids")


def read(text: str) -> facts.Facts:
    clean = pasted.clean(text)
    listed = ingredients.understand(statement.read_statement(clean), clean)
    return facts.gather(listed, clean, "US")


def folded(value: Any) -> Any:
    if isinstance(value, list | tuple | set):
        return frozenset(wordforms.key(v) for v in value)
    return wordforms.key(value) if isinstance(value, str) else value


def answer(found: facts.Facts, field: str) -> Any:
    given = getattr(found, {"byproducts": "by_products"}.get(field, field))
    if field == "casing":
        return given.value
    return given or None if field == "first_meat" else given


def compare(folder: Path) -> dict[str, float]:
    labels = {row["id"]: row for row in csv.DictReader((folder / "labels.csv").open(encoding="utf-8"))}
    gold = [json.loads(line) for line in (folder / "gold.jsonl").open(encoding="utf-8") if line.strip()]
    same, told, result = Counter[str](), Counter[str](), dict[str, float]()
    hits, given, wanted = Counter[str](), Counter[str](), Counter[str]()
    for row in gold:
        found = read(labels[row["id"]]["statement"])
        for field in EXACT:
            ours, theirs = folded(answer(found, field)), folded(row[field])
            same[field] += ours == theirs
            if ours != theirs:
                print(f"{row['id']} {field}: ours {answer(found, field)!r}, by hand {row[field]!r}")
        for field in SETS:
            ours, theirs = folded(getattr(found, field)), folded(row[field])
            hits[field] += len(ours & theirs)
            given[field] += len(ours)
            wanted[field] += len(theirs)
            if ours != theirs:
                print(f"{row['id']} {field}: ours {getattr(found, field)}, by hand {row[field]}")
        counts = {row["top_level_count"], row["top_level_count_literal"]}
        told["count"] += found.ingredient_count in counts
        if found.ingredient_count not in counts:
            print(f"{row['id']} ingredient_count: ours {found.ingredient_count}, by hand {sorted(counts)}")
    for field in EXACT:
        result[field] = same[field] / len(gold)
    for field in SETS:
        total = given[field] + wanted[field]
        result[field] = 2 * hits[field] / total if total else 1.0
    result["ingredient_count"] = told["count"] / len(gold)
    result.update(unknown_shares(labels))
    return result


def unknown_shares(labels: dict[str, dict[str, str]]) -> dict[str, float]:
    """Share of unknown terms among all terms, on sausage labels and on other foods."""
    terms, unknown, words = Counter[str](), Counter[str](), Counter[str]()
    for row in labels.values():
        found = read(row["statement"])
        terms[row["group"]] += found.term_count
        unknown[row["group"]] += len(found.unknown_terms)
        for term in found.unknown_terms:
            words[f"{row['group']}: {term.lower()} ({row['id']})"] += 1
    for word in sorted(words):
        print("unknown", word)
    return {f"unknown_{group}": unknown[group] / terms[group] for group in terms}


def main(folder: str) -> int:
    for field, share in compare(Path(folder)).items():
        print(f"{field:24} {share:.3f}")
    return 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python -m tests.gold FOLDER    (a folder with labels.csv and gold.jsonl)")
    sys.exit(main(sys.argv[1]))
