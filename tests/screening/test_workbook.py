"""The workbook: what was written is read back by others, nothing in it runs, nothing is lost, memory stays flat.

Limits of the file form: ECMA-376 and the notes of its implementers, from memory; held here against what openpyxl and
pandas know of them. What a spreadsheet may run: OWASP, "CSV Injection", from memory.
"""

from __future__ import annotations

import io
import re
import tracemalloc
import warnings
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
from defusedxml import ElementTree
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.cell import WriteOnlyCell
from openpyxl.utils.escape import unescape
from pandas.io.formats.excel import ExcelFormatter

from reader.house.specification import from_yaml
from reader.house.values import FAILS, Specification, Verdict
from reader.screening import sheets, workbook
from reader.screening.fields import fields_of, line_of
from reader.screening.told import name_told, verdict_told
from reader.screening.values import Screening
from reader.table_files import FORMULA, LONGEST, sheet_text
from reader.wording import say
from tests.screening.made import HOUSE, NAMES, ROWS, dozen, many, read, screening

LIST, QUESTIONS, DOUBLES, METHODS, INPUT = (
    say(f"screened_sheet_{name}") for name in ("list", "questions", "doubles", "methods", "input")
)
OWASP = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
SHEET_XML = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def written(found: Screening, **more: Any) -> io.BytesIO:
    out = io.BytesIO()
    workbook.write(found, out, **more)
    out.seek(0)
    return out


def opened(found: Screening, **more: Any) -> Any:
    return openpyxl.load_workbook(written(found, **more))


def table(sheet: Any) -> list[dict[str, Any]]:
    head, *rows = sheet.iter_rows(values_only=True)
    assert len(set(head)) == len(head), "a heading stands twice"
    return [dict(zip(head, row, strict=True)) for row in rows]


@pytest.fixture(scope="module")
def found() -> Screening:
    return dozen()


@pytest.fixture(scope="module")
def book(found: Screening) -> Any:
    return opened(found)


# -- values --------------------------------------------------------------------------------------------------


def test_every_row_stands_in_the_list_with_every_figure_in_its_type(found: Screening, book: Any) -> None:
    rows = table(book[LIST])
    assert len(rows) == len(ROWS)
    fields = [f for f in fields_of(found.specification, found.groups) if f.part != "question"]
    for shown, (placed, row) in zip(rows, found.by_standing(), strict=True):
        line = line_of(placed, row)
        for field in fields:
            value, there = field.of(line), shown[field.heading]
            assert there == value, field.id
            assert isinstance(value, str) == isinstance(there, str), field.id
            assert isinstance(value, bool) == isinstance(there, bool), field.id


def test_figures_stand_where_the_labels_put_them(book: Any) -> None:
    """By hand: 2.1 g salt are 840 mg sodium (EU 1169/2011 Annex I 11: salt = sodium x 2.5); 4 euros for 400 g are 10 a kg."""
    first = next(row for row in table(book[LIST]) if row["Product"] == "Meadow Wiener")
    assert (first["Sodium, mg per 100 g"], first["Price per kg"], first["Currency"]) == (840, 10, "EUR")
    assert first["Mechanically separated meat named"] is False
    assert first["Standing"] == "meets every must"
    assert first["As received: Art."] == "0071", "a code with zeros before it is text"
    assert first["Code"] == "0071"


def test_pandas_reads_the_same_values_and_types(found: Screening) -> None:
    frame = pd.read_excel(written(found), sheet_name=LIST)
    assert list(frame["Number"]) == [placed.number for placed, _ in found.by_standing()]
    for column in ("Place, from", "Number", "Row", "Musts failed"):
        assert pd.api.types.is_integer_dtype(frame[column]), column
    for column in ("Price per kg", "Sodium, mg per 100 g"):
        assert pd.api.types.is_float_dtype(frame[column]) or pd.api.types.is_integer_dtype(frame[column]), column
    whole = pd.read_excel(written(found), sheet_name=None, dtype=object)
    assert list(whole) == [LIST, QUESTIONS, DOUBLES, METHODS, INPUT]
    assert not any(isinstance(v, pd.Timestamp) for f in whole.values() for v in f.to_numpy().flat), "no date is made up"


def test_the_suppliers_cells_are_kept_as_they_were(book: Any) -> None:
    rows = {row["Number"]: row for row in table(book[LIST])}
    for number, cells in enumerate(ROWS, 1):
        assert tuple(rows[number][f"As received: {name}"] or "" for name in NAMES) == cells


def test_a_row_that_could_not_be_read_keeps_its_place_and_is_asked_for(book: Any) -> None:
    row = next(row for row in table(book[LIST]) if row["Product"] == "Empty Link")
    assert row["Standing"] == "not read"
    assert row["Problems"]
    assert all(row[head] is None for head in row if head.startswith(("must:", "preferred:")))
    asked = [q for q in table(book[QUESTIONS]) if q["Product"] == "Empty Link"]
    assert [q["Question for the supplier"] for q in asked] == [say("house_list_unread_question")]


def test_the_questions_are_those_of_products_that_are_not_out(found: Screening, book: Any) -> None:
    rows = table(book[QUESTIONS])
    due = {
        (row.number, verdict.question)
        for _, row in found.by_standing()
        if row.read and row.tally.standing != FAILS
        for verdict in row.verdicts
        if verdict.question
    }
    read_of = {(row["Number"], row["Question for the supplier"]) for row in rows if row["Product"] != "Empty Link"}
    assert read_of == due
    assert not any(row["Product"] == "Paste Frank" for row in rows)
    assert all(row["Why it is asked"] for row in rows)


def test_doubles_methods_and_input_are_told(found: Screening, book: Any) -> None:
    assert [(r["Group"], r["Product"], r["What differs"]) for r in table(book[DOUBLES])] == [
        (1, "Meadow Wiener", "name; code; price"), (1, "Brook Wiener", "name; code; price"),
    ]  # fmt: skip
    methods = table(book[METHODS])
    explained = {row["What"] for row in methods if row["Topic"] == say("screened_topic_columns")}
    heads = {cell.value for cell in book[LIST][1]}
    assert {head for head in heads if not str(head).startswith("As received")} <= explained
    assert any(row["Topic"] == say("screened_topic_sources") and "read by us" in row["What it says"] for row in methods)
    assert any("No day was given" in row["What it says"] for row in methods)
    assert any("old kind (XLS)" in (row["Reason"] or "") for row in table(book[INPUT]))
    assert {row["Column"] for row in table(book[INPUT])} >= set(NAMES)


# -- how it is set -------------------------------------------------------------------------------------------


def test_headings_stay_in_view_filter_and_print(book: Any) -> None:
    for sheet in book:
        assert re.fullmatch(r"[A-Z]+2", sheet.freeze_panes), sheet.title
        assert sheet.auto_filter.ref == sheet.dimensions, sheet.title
        assert sheet.print_title_rows == "$1:$1"
        assert (sheet.page_setup.orientation, sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (
            "landscape",
            1,
            0,
        )
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "&P" in sheet.oddFooter.right.text
        assert sheet.page_setup.paperSize == sheets.A4
        assert all(dimension.width for dimension in sheet.column_dimensions.values())


def test_reasons_stand_behind_a_fold_and_the_printed_part_ends_before_them(book: Any) -> None:
    sheet = book[LIST]
    heads = [cell.value for cell in sheet[1]]
    last = openpyxl.utils.cell.range_boundaries(sheet.print_area.split("!")[-1].replace("$", ""))[2]
    assert heads[last - 1] == "Animal tissue, %: likely to"
    folded = [k for k, head in enumerate(heads) if head.startswith("Why:")]
    letters = [openpyxl.utils.get_column_letter(k + 1) for k in folded]
    dimensions = [sheet.column_dimensions[name] for name in letters if name in sheet.column_dimensions]
    assert dimensions
    assert all(d.outlineLevel == 1 and d.hidden for d in dimensions)
    assert min(folded) >= last


def test_marks_follow_the_words_in_the_cells(book: Any) -> None:
    """A mark is a rule over the cell, so that whoever corrects a verdict sees it change; it needs no colour."""
    sheet = book[LIST]
    heads = [cell.value for cell in sheet[1]]
    verdicts = [k for k, head in enumerate(heads, 1) if head.startswith(("must:", "preferred:"))]
    first, last = (openpyxl.utils.get_column_letter(k) for k in (verdicts[0], verdicts[-1]))
    rules = {(str(area.sqref), rule.formula[0]): rule for area in sheet.conditional_formatting for rule in area.rules}
    area = f"{first}2:{last}{sheet.max_row}"
    fails, asks = rules[area, f'{first}2="fails"'], rules[area, f'{first}2="ask"']
    assert fails.dxf.font.b
    assert fails.dxf.fill.patternType == "lightUp"
    assert fails.dxf.border.left.style
    assert asks.dxf.font.i
    musts = f"${first}2:${openpyxl.utils.get_column_letter(verdicts[0] + 2)}2"
    assert (f"A2:A{sheet.max_row}", f'COUNTIF({musts},"fails")>0') in rules
    struck = [rule for rule in rules.values() if rule.dxf.font.strike]
    assert len(struck) == 1
    for rule in rules.values():
        colours = {rule.dxf.font.color and rule.dxf.font.color.rgb}
        assert colours <= {None, "FF000000", "00000000"}
    allowed = sheet.data_validations.dataValidation
    assert [(str(a.sqref), a.formula1) for a in allowed] == [(area, '"meets,ask,fails"')]


def test_the_marks_say_what_the_standing_says(found: Screening, book: Any) -> None:
    """The rules of the standing, reckoned by hand over the words of each row, agree with the standing written."""
    for row in table(book[LIST]):
        musts = [value for head, value in row.items() if head.startswith("must:")]
        due = "fails a must" if "fails" in musts else "to ask" if "ask" in musts else "meets every must"
        assert row["Standing"] in (due, "not read")


# -- nothing runs --------------------------------------------------------------------------------------------


def parts(data: io.BytesIO) -> dict[str, bytes]:
    with zipfile.ZipFile(data) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def assert_nothing_runs(data: io.BytesIO) -> None:
    """No cell is a formula, an error or a link, whatever was written; every part is well-formed."""
    for name, content in parts(data).items():
        if name.startswith("xl/worksheets/"):
            tree = ElementTree.fromstring(content)
            assert not list(tree.iter(f"{SHEET_XML}f")), name
            assert not list(tree.iter(f"{SHEET_XML}hyperlink")), name
            assert all(cell.get("t") in (None, "n", "b", "inlineStr") for cell in tree.iter(f"{SHEET_XML}c"))
        elif name.endswith((".xml", ".rels")):
            ElementTree.fromstring(content)


def evil(text: str, house: Specification = HOUSE) -> Screening:
    """The list with one text in every place a supplier or a buyer can put one."""
    row = read(ROWS[0], 1, house)
    names = tuple(dict.fromkeys((text or "x", *NAMES[1:])))
    cells = tuple((name, text) for name in names)
    verdicts = tuple(Verdict(v.kind, v.verdict, text, text if v.question else "") for v in row.verdicts)
    own = replace(
        row,
        name=text,
        supplier=text,
        code=text,
        sheet=text,
        file=text,
        cells=cells,
        verdicts=verdicts,
        problems=(text,),
    )
    return screening([own], Specification(text, house.requirements), names=names)


@pytest.mark.parametrize("start", OWASP)
def test_what_owasp_names_is_not_run(start: str) -> None:
    data = written(evil(f"{start}cmd|' /C calc'!A0"))
    assert_nothing_runs(data)
    row = table(openpyxl.load_workbook(data)[LIST])[0]
    assert start in FORMULA
    assert all(not str(value).startswith(OWASP) for value in row.values() if isinstance(value, str))
    assert "cmd|' /C calc'!A0" in row["Supplier"], "it is kept, only not run"


@pytest.mark.parametrize(
    "text",
    [
        "#N/A",
        "#REF!",
        "TRUE",
        "1e5",
        "007",
        "1-2",
        "3/4",
        "https://x.test",
        "_x0041_",
        "a\x01\x0bb",
        " =1+1",
        "\ud800",
        "🌭" * 3,
    ],
)
def test_texts_that_look_like_something_else_stay_texts(text: str) -> None:
    data = written(evil(text))
    assert_nothing_runs(data)
    value = table(openpyxl.load_workbook(data)[LIST])[0]["As received: Maker"]
    assert isinstance(value, str)
    assert unescape(value).lstrip("'").replace("�", "?") == re.sub("[\x01\x0b\ud800]", "?", text)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.text(max_size=60))
def test_any_text_in_heading_head_line_and_cell_is_read_back(text: str, heading: str) -> None:
    book = openpyxl.Workbook(write_only=True)
    made = sheets.SheetTable(book, "Trial", [sheets.Head(heading), sheets.Head("b", wraps=True)], heading)
    made.add((text, text))
    made.close()
    data = io.BytesIO()
    book.save(data)
    assert_nothing_runs(data)
    rows = [tuple(v or "" for v in row) for row in openpyxl.load_workbook(data)["Trial"].iter_rows(values_only=True)]
    assert rows[0] == (sheet_text(heading), "b")
    assert rows[1:] == ([(sheet_text(text),) * 2] if text else [])


@given(st.text(alphabet=st.characters(), max_size=80))
def test_a_text_of_a_sheet_is_the_text_but_for_what_no_sheet_can_hold(text: str) -> None:
    """Taken back as a spreadsheet takes it (ECMA-376 Part 1, 22.9.2.19), it is the text with line ends made one."""
    shown = unescape(sheet_text(text))
    guarded = shown[1:] if shown.startswith("'") and not text.startswith("'") else shown
    assert len(guarded) == len(re.sub("\r\n?", "\n", text))
    assert all(a == b or a == "\ufffd" for a, b in zip(guarded, re.sub("\r\n?", "\n", text), strict=True))


# -- limits --------------------------------------------------------------------------------------------------


def test_the_limits_are_those_that_others_know() -> None:
    assert (ExcelFormatter.max_rows, ExcelFormatter.max_cols) == (sheets.ROWS, sheets.COLUMNS)
    sheet = openpyxl.Workbook(write_only=True).create_sheet("x")
    assert len(WriteOnlyCell(sheet, "x" * (LONGEST + 1)).value) == LONGEST
    with pytest.warns(UserWarning, match=str(sheets.SHEET_NAME)):
        openpyxl.Workbook().create_sheet("x" * (sheets.SHEET_NAME + 1))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        openpyxl.Workbook().create_sheet("x" * sheets.SHEET_NAME)


@pytest.mark.parametrize("letter", ["x", "é", "🌭"])
def test_a_cell_longer_than_a_sheet_takes_is_cut_and_says_so(letter: str) -> None:
    long = letter * (LONGEST + 5)
    row = table(opened(evil(long))[LIST])[0]
    kept = row["As received: Maker"]
    assert kept.endswith(say("table_cell_cut"))
    assert LONGEST - 1 <= len(kept.encode("utf-16-le")) // 2 <= LONGEST
    whole = letter * (LONGEST // len(letter.encode("utf-16-le")) * 2)
    assert sheet_text(whole[:LONGEST]) == whole[:LONGEST] or letter == "🌭"


def test_a_table_longer_than_a_sheet_goes_on_in_a_further_one() -> None:
    found = many(12)
    book = opened(found, rows=6)
    names = [name for name in book.sheetnames if name.startswith(LIST)]
    assert names == [LIST, f"{LIST} 2", f"{LIST} 3"]
    assert all(len(name) <= sheets.SHEET_NAME for name in book.sheetnames)
    rows = [row for name in names for row in table(book[name])]
    assert [row["Number"] for row in rows] == [placed.number for placed, _ in found.by_standing()]
    assert all(book[name].auto_filter.ref == book[name].dimensions for name in names)
    assert [row["Product"] for row in rows] == [name_told(row) for _, row in found.by_standing()]


def test_more_columns_than_a_sheet_takes_are_kept_in_one_cell() -> None:
    names = tuple(f"column {k}" for k in range(2_100))
    row = replace(read(ROWS[0], 1, HOUSE), cells=tuple((name, f"v{k}") for k, name in enumerate(names)))
    shown = table(opened(screening([row], names=names))[LIST])[0]
    assert len(shown) <= sheets.COLUMNS
    assert shown["As received: column 0"] == "v0"
    assert "column 2000: v2000" in shown[say("screened_own_other")]


def test_memory_does_not_grow_with_the_rows() -> None:
    def peak(count: int) -> int:
        tracemalloc.start()
        book = openpyxl.Workbook(write_only=True)
        heads = [sheets.Head("Number"), sheets.Head("Text", 20, wraps=True), sheets.Head("Other")]
        found = sheets.SheetTable(book, "Trial", heads, level="top")
        for k in range(count):
            found.add((k, f"{k} and some words, enough of them to go on in a second line", f"text {k}"))
        found.close()
        used = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return used

    few = peak(300)
    assert peak(3000) < few * 1.5 + 50_000


# -- odd screenings ------------------------------------------------------------------------------------------


def test_a_house_that_asks_for_nothing_gives_a_list(tmp_path: Path) -> None:
    house = from_yaml("title: Nothing asked\n")
    workbook.write(dozen(house), tmp_path / "x.xlsx")
    rows = table(openpyxl.load_workbook(tmp_path / "x.xlsx")[LIST])
    assert {row["Standing"] for row in rows} == {"meets every must", "not read"}


def test_a_house_with_preferences_only_marks_no_standing() -> None:
    house = from_yaml("title: Wishes\nprefer:\n  sodium_per_100g: 900\n")
    sheet = opened(dozen(house))[LIST]
    assert not any(str(area.sqref).startswith("A") for area in sheet.conditional_formatting)


def test_an_empty_list_gives_headings() -> None:
    book = opened(screening([]))
    assert table(book[LIST]) == []
    assert table(book[QUESTIONS]) == []
    assert book[LIST].auto_filter.ref.endswith("1")


def test_a_screening_that_was_stopped_says_so(found: Screening) -> None:
    rows = table(opened(replace(found, whole=found.count + 3))[METHODS])
    assert any(say("screened_rows_open") in row["What it says"] for row in rows)


def test_verdicts_are_single_words_a_choice_can_hold() -> None:
    words = [verdict_told(verdict) for verdict in ("meets", "ask", "fails")]
    assert all(re.fullmatch(r"\w+", word) for word in words)
    assert len(",".join(words)) <= 255  # ECMA-376 Part 1, 18.3.1.32: length of a list of values, from memory
