"""Every form of table comes out as the same entries: delimited text, workbooks, JSON, Markdown, columns set with blanks."""

from __future__ import annotations

import json
import pickle
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.sources import uploaded
from tests.catalogue.files import HEADER, ROWS, catalogue_of, delimited, merged_workbook, saved, texts, workbook

PRODUCTS = [dict(zip(HEADER, row, strict=True)) for row in ROWS]
SPACED = """\
Product name         Ingredients                                  Price       Salt (g/100g)
Harbour Frankfurter  Pork, water, salt, spices, sodium nitrite    4.99 USD    1.8
Meadow Wiener        Beef, water, salt, dextrose, garlic          5.49 USD    2.1
Orchard Bratwurst    Pork, veal, water, salt, nutmeg              6.20 USD    1.6
"""
MARKDOWN = "\n".join("| " + " | ".join(row) + " |" for row in [HEADER, ["---"] * 4, *ROWS])


def markdown_without_outer_strokes() -> str:
    return "\n".join(" | ".join(row) for row in [HEADER, [":---", "---:", "---", "---"], *ROWS])


FORMS: dict[str, bytes | str] = {
    "comma.csv": delimited(),
    "semicolon.csv": delimited(delimiter=";"),
    "tab.tsv": delimited(delimiter="\t"),
    "stroke.txt": delimited(delimiter="|"),
    "hint.csv": "sep=;\r\n" + delimited(delimiter=";"),
    "unquoted.tsv": "\n".join("\t".join(row) for row in [HEADER, *ROWS]),
    "old_mac.csv": delimited().replace("\r\n", "\r"),
    "blank_before_quote.csv": delimited().replace('","', '", "'),
    "two_bytes.csv": delimited().encode("utf-16"),
    "two_bytes_bare.csv": delimited().encode("utf-16-le"),
    "two_bytes_big.csv": delimited().encode("utf-16-be"),
    "marked.csv": delimited().encode("utf-8-sig"),
    "title_above.csv": "Harbour Foods\r\nSpring list\r\n\r\n" + delimited(),
    "blank_between.csv": delimited().replace("\r\n", "\r\n\r\n"),
    "book.xlsx": workbook(),
    "lines.jsonl": "\n".join(json.dumps(p) for p in PRODUCTS),
    "list.json": json.dumps(PRODUCTS),
    "indented.json": json.dumps(PRODUCTS, indent=2),
    "inside.json": json.dumps({"made": "spring", "data": {"products": PRODUCTS}}, indent=1),
    "inside_one_line.json": json.dumps({"made": "spring", "products": PRODUCTS}),
    "table.md": MARKDOWN,
    "bare.md": markdown_without_outer_strokes(),
    "spaced.txt": SPACED,
    "workbook_called.csv": workbook(),
    "text_called.xlsx": delimited(),
}  # fmt: skip


@pytest.mark.parametrize("name", FORMS)
def test_the_same_entries_come_out_of_every_form(name: str) -> None:
    catalogue = catalogue_of(name, FORMS[name])
    assert not catalogue.refused
    entries = list(catalogue.entries())
    assert [e.name for e in entries] == [row[0] for row in ROWS]
    assert [e.statement for e in entries] == [row[1] for row in ROWS]
    assert [e.price for e in entries] == [row[2] for row in ROWS]
    assert [e.typed for e in entries] == [(("salt_g", row[3]),) for row in ROWS]
    assert [e.basis for e in entries] == ["per100g"] * 3
    assert [e.number for e in entries] == [1, 2, 3]
    assert [e.problems for e in entries] == [()] * 3
    assert list(catalogue.entries()) == entries, "entries may be asked again"


@pytest.mark.parametrize("name", ["workbook_called.csv", "text_called.xlsx"])
def test_a_wrong_ending_is_said(name: str) -> None:
    (sheet,) = catalogue_of(name, FORMS[name]).sheets
    assert "workbook" in sheet.remarks[0]
    assert sheet.form == ("workbook" if name == "workbook_called.csv" else "delimited")


@pytest.mark.parametrize("name", ["comma.csv", "book.xlsx", "list.json", "table.md", "spaced.txt"])
def test_a_pasted_or_pickled_catalogue_is_the_same(name: str) -> None:
    catalogue = catalogue_of(name, FORMS[name])
    again: Catalogue = pickle.loads(pickle.dumps(catalogue))
    assert list(again.entries()) == list(catalogue.entries())
    if isinstance(text := FORMS[name], str):
        assert texts(open_catalogue(pasted=text)) == texts(catalogue)


def test_several_files_are_numbered_through(tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text(delimited(), encoding="utf-8")
    catalogue = open_catalogue(
        [tmp_path / "one.csv", uploaded("two.jsonl", FORMS["lines.jsonl"].encode())], pasted=MARKDOWN
    )  # type: ignore[union-attr]
    entries = list(catalogue.entries())
    assert [e.number for e in entries] == list(range(1, 10))
    assert [e.file for e in entries] == ["one.csv"] * 3 + ["two.jsonl"] * 3 + ["pasted table"] * 3
    assert [e.row for e in entries] == [2, 3, 4, 1, 2, 3, 3, 4, 5]


def test_one_broken_file_leaves_the_others_alone(tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text(delimited(), encoding="utf-8")
    catalogue = open_catalogue([tmp_path / "none.csv", tmp_path / "one.csv", tmp_path])
    assert len(list(catalogue.entries())) == 3
    assert [r.file for r in catalogue.refused] == ["none.csv", tmp_path.name]
    assert "There is no file" in catalogue.refused[0].message
    assert "is a folder" in catalogue.refused[1].message


# -- workbooks ----------------------------------------------------------------------------------------------


def test_several_sheets_and_one_without_products() -> None:
    data = workbook(
        {"Chilled": [HEADER, *ROWS[:2]], "Frozen": [HEADER, ROWS[2]], "Contact": [["Telephone"], ["555 0100"]]}
    )
    catalogue = catalogue_of("list.xlsx", data)
    assert [s.sheet for s in catalogue.sheets] == ["Chilled", "Frozen", "Contact"]
    assert [e.sheet for e in catalogue.entries()] == ["Chilled", "Chilled", "Frozen"]
    assert [bool(s.left_out) for s in catalogue.sheets] == [False, False, True]
    with_all = catalogue.corrected("list.xlsx", "Contact", read=True)
    assert [e.sheet for e in with_all.entries()][-1] == "Contact"
    without = catalogue.corrected("list.xlsx", "Chilled", read=False)
    assert [e.sheet for e in without.entries()] == ["Frozen"]


def test_merged_cells_and_a_letterhead() -> None:
    catalogue = catalogue_of("list.xlsx", merged_workbook())
    (sheet,) = catalogue.sheets
    assert sheet.header_row == 3
    assert sheet.above == ("Spring list",)
    assert [e.supplier for e in catalogue.entries()] == ["Harbour Foods", "Harbour Foods", "Orchard Lane"]
    assert [e.row for e in catalogue.entries()] == [4, 5, 6]


def test_values_of_a_workbook_stand_as_a_person_would_type_them() -> None:
    book = Workbook()
    values: list[list[Any]] = [
        ["Ingredients", "Price", "Salt g", "Code"],
        ["Pork, salt", 4.99, 1.0, 4006381333931],
        ["Pork", 0.1 + 0.2, 2, True],
    ]
    for row in values:
        book.active.append(row)
    assert texts(catalogue_of("x.xlsx", saved(book))) == [
        ["Pork, salt", "4.99", "1", "4006381333931"],
        ["Pork", "0.3", "2", "true"],
    ]


def test_a_formula_without_a_value_is_told() -> None:
    data = workbook({"List": [HEADER, [*ROWS[0][:3], "=1+1"], ROWS[1]]})
    catalogue = catalogue_of("x.xlsx", data)
    first, second = catalogue.entries()
    assert any("never computed" in p for p in first.problems)
    assert not second.problems
    assert "rows with one: 1" in catalogue.sheets[0].remarks[0]


def test_a_hidden_sheet_is_told() -> None:
    book = Workbook()
    for row in [HEADER, *ROWS]:
        book.active.append(row)
    hidden = book.create_sheet("Old")
    hidden.append(HEADER)
    hidden.append(ROWS[0])
    hidden.sheet_state = "hidden"
    catalogue = catalogue_of("x.xlsx", saved(book))
    assert "hides" in catalogue.sheets[1].remarks[0]
    assert len(list(catalogue.entries())) == 4


# -- JSON ---------------------------------------------------------------------------------------------------


def test_nested_values_become_cells() -> None:
    product = {
        "name": "Harbour Frankfurter",
        "ingredients": ["Pork", "water", "salt"],
        "nutrition": {"per": "100 g", "fat_g": 21.5, "salt_g": 1.8},
        "tags": {"a": None, "b": True},
    }
    (entry,) = catalogue_of("x.jsonl", json.dumps(product)).entries()
    assert entry.statement == "Pork, water, salt"
    assert dict(entry.typed) == {"fat_g": "21.5", "salt_g": "1.8"}
    assert dict(entry.cells)["tags.b"] == "true"


def test_a_key_that_comes_late_is_kept_too() -> None:
    lines = [json.dumps({"ingredients": "Pork, salt"})] * 400 + [json.dumps({"ingredients": "Beef", "remark": "new"})]
    *_, last = catalogue_of("x.jsonl", "\n".join(lines)).entries()
    assert dict(last.cells) == {"ingredients": "Beef", "remark": "new"}


# -- what is odd in rows ------------------------------------------------------------------------------------


def test_rows_longer_and_shorter_than_the_heading_are_kept_and_told() -> None:
    text = "name,ingredients,price\na,Pork salt\nb,Pork,1 USD,more,and more\nc,Beef,2 USD\n"
    short, long, fine = catalogue_of("x.csv", text).entries()
    assert "Of 3 cells this row has only 2" in short.problems[0]
    assert long.cells[3:] == (("column 4", "more"), ("column 5", "and more"))
    assert "has 5 cells where the heading has 3" in long.problems[0]
    assert fine.problems == ()


def test_doubled_and_missing_headings_get_names_of_their_own() -> None:
    catalogue = catalogue_of("x.csv", "name,ingredients,,price,price\na,Pork,x,1 USD,2 USD\n")
    assert [c.name for c in catalogue.sheets[0].columns] == ["name", "ingredients", "column 3", "price", "price (2)"]
    (entry,) = catalogue.entries()
    assert dict(entry.cells)["price (2)"] == "2 USD"


def test_headings_said_again_and_totals_below_are_kept_and_told() -> None:
    text = delimited() + delimited() + "Products: 6,,,\r\n"
    entries = list(catalogue_of("x.csv", text).entries())
    assert len(entries) == 8
    assert "headings once more" in entries[3].problems[0]
    assert entries[3].statement == ""
    assert "no ingredient statement" in entries[-1].problems[0]


def test_mixed_encodings_are_read_line_by_line_and_told() -> None:
    rows = delimited(), '"Küsten Wurst","Pork, salt","1 EUR","1"\r\n'
    data = rows[0].encode() + rows[1].encode() + rows[1].encode("cp1252")
    catalogue = catalogue_of("x.csv", data)
    *_, right, odd = catalogue.entries()
    assert right.name == odd.name == "Küsten Wurst"
    assert right.problems == ()
    assert "Windows-1252" in odd.problems[0]
    assert "Windows-1252" in catalogue.sheets[0].remarks[0]


def test_no_heading_at_all_is_read_by_content() -> None:
    catalogue = catalogue_of("x.csv", delimited(ROWS))
    assert [c.role for c in catalogue.sheets[0].columns][:3] == ["name", "statement", "price"]
    assert len(list(catalogue.entries())) == 3


def test_one_statement_a_line_is_one_column() -> None:
    statements = [row[1] for row in ROWS] + ["Turkey, water, salt, spices, dextrose, paprika, garlic"]
    catalogue = open_catalogue(pasted="\n".join(statements))
    assert [e.statement for e in catalogue.entries()] == statements


def test_an_own_heading_row_can_be_named() -> None:
    text = 'a,b\nName of it,What is in it\nHarbour,"Pork, water, salt"\n'
    catalogue = catalogue_of("x.csv", text).corrected(
        "x.csv", header_row=2, roles={"statement": "What is in it", "name": "Name of it"}
    )
    (entry,) = catalogue.entries()
    assert (entry.name, entry.statement) == ("Harbour", "Pork, water, salt")
    none = catalogue_of("x.csv", text).corrected("x.csv", header_row=0)
    assert len(list(none.entries())) == 3
