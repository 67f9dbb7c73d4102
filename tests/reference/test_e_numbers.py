"""E numbers against Regulation (EU) No 1129/2011, Annex II Part B (names as published in 2011; e_numbers.csv)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reader.naming.lookup import known
from reader.naming.names import names

ROWS = [
    tuple(row)
    for row in csv.reader((Path(__file__).parent / "e_numbers.csv").open(encoding="utf-8"))
    if row and not row[0].startswith("#")
]


@pytest.mark.parametrize(("number", "name"), ROWS)
def test_number_and_first_published_name_lead_to_one_entry(number: str, name: str) -> None:
    by_number = names().number(f"E {number}", bare=False)
    assert by_number is not None, f"E {number} ({name}) is not in the lexicon"
    first = name.split(",")[0].strip()
    by_name = known(first)
    assert by_name and by_name[0].match.entry is not None, f"“{first}” (E {number}) is not in the lexicon"
    assert by_name[0].match.entry.id == by_number.entry.id


@pytest.mark.parametrize("printed", ["E250", "E 250", "E-250", "e250", "INS 250", "(250)".strip("()")])
def test_forms_in_which_a_number_is_printed(printed: str) -> None:
    found = names().number(printed, bare=True)
    assert found is not None
    assert found.entry.id == "sodium_nitrite"


@pytest.mark.parametrize(
    ("printed", "base"), [("E450(i)", "450"), ("E 450 (i)", "450"), ("E 472c", "472"), ("E 500 ii", "500")]
)
def test_suffixes(printed: str, base: str) -> None:
    found = names().number(printed, bare=False)
    assert found is not None
    assert any(e.startswith(base) for e in found.entry.e)


def test_the_table_is_whole() -> None:
    assert len(ROWS) == 91
