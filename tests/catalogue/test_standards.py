"""Tables against what is published of them.

RFC 4180 (October 2005), Common Format and MIME Type for CSV Files, section 2, points 1 to 7: the examples and what
they say (quoted from memory). JSON Lines (jsonlines.org): UTF-8, one valid JSON value a line, "\\n" between lines (from
memory). RFC 8259: JSON; the reference is Python's json. Rows with a heading are read; the examples of RFC 4180 have
none, so "field_name" is put where it says so.
"""

from __future__ import annotations

import json

import pytest

from reader.catalogue.reading import open_catalogue
from tests.catalogue.files import catalogue_of, texts

RFC_4180 = {
    "1 each record on a line": ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    "2 the last line may have no break": ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    "4 spaces are part of a field": ("aaa, bbb ,ccc\r\nzzz,y y,xxx\r\n", [["aaa", " bbb ", "ccc"], ["zzz", "y y", "xxx"]]),
    "5 fields may be quoted": ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    "6 a quoted field may hold a break": ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    "7 a doubled quote stands for one": ('"aaa","b""bb","ccc"\r\nzzz,yyy,xxx', [["aaa", 'b"bb', "ccc"], ["zzz", "yyy", "xxx"]]),
}  # fmt: skip


@pytest.mark.parametrize("case", RFC_4180)
def test_csv_is_read_as_rfc_4180_says(case: str) -> None:
    text, expected = RFC_4180[case]
    catalogue = catalogue_of("x.csv", text).corrected("x.csv", header_row=0)
    assert texts(catalogue) == expected


def test_csv_may_have_a_header_as_rfc_4180_says_in_point_3() -> None:
    text = "field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"
    catalogue = catalogue_of("x.csv", text).corrected("x.csv", header_row=1)
    assert texts(catalogue) == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]
    assert [c.header for c in catalogue.sheets[0].columns] == ["field_name"] * 3


@pytest.mark.parametrize(
    "value",
    ["", "é \U0001f32d", '\\ / " \b\f\n\r\t', "\u2028", "null", "1e3"],
)
def test_json_lines_hold_what_python_writes(value: str) -> None:
    for ascii_only in (True, False):
        line = json.dumps({"ingredients": "Pork", "remark": value}, ensure_ascii=ascii_only)
        (entry,) = catalogue_of("x.jsonl", line + "\n").entries()
        assert dict(entry.cells) == {"ingredients": "Pork", "remark": value}


def test_a_whole_row_of_json_that_is_no_object_is_kept() -> None:
    lines = ['{"ingredients": "Pork"}', '["Beef", "salt"]', "42", '{"ingredients": "Veal"}']
    first, second, third, fourth = open_catalogue(pasted="\n".join(lines)).entries()
    assert (first.statement, fourth.statement) == ("Pork", "Veal")
    assert dict(second.cells)["whole row"] == "Beef, salt"
    assert dict(third.cells)["whole row"] == "42"
    assert "no product" in second.problems[0]
