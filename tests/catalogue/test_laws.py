"""Laws of reading tables: what was written comes back cell by cell, and every row that goes in comes out."""

from __future__ import annotations

import csv
import io
import json
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reader.catalogue.reading import open_catalogue
from tests.catalogue.files import catalogue_of, texts, workbook

DELIMITERS = st.sampled_from([",", ";", "\t", "|"])
UNICODE = st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
ENDS = st.sampled_from(["\r\n", "\n"])
HEADINGS = ["Product name", "Ingredients", "Price", "Remark"]
WORDS = [
    "pork",
    "Water",
    "Würze",
    "salt 2%",
    "épices",
    "(wheat)",
    '5" long',
    "a;b",
    "a,b",
    "x|y",
    "two\nlines",
    "“fine”",
    "“",
]
CELL = st.lists(st.sampled_from(WORDS), max_size=4).map(" ".join)
FILLED = st.lists(st.sampled_from(["pork", "water", "salt", "beef, veal", "dextrose;"]), min_size=1, max_size=5).map(
    " ".join
)
TABLE = st.lists(st.tuples(FILLED, CELL, CELL, CELL).map(list), min_size=1, max_size=8)
# Letters each old encoding has and that tell it from the others.
OLD = {"cp1252": "äöüßéèñçø", "mac_roman": "äöüßéèñç", "cp1250": "łąęśżřěšůő", "latin-1": "äöüßéèñç"}


def written(rows: list[list[str]], delimiter: str, end: str, quoting: int) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator=end, quoting=quoting).writerows(rows)  # type: ignore[arg-type]
    return out.getvalue()


@given(TABLE, DELIMITERS, UNICODE, ENDS, st.sampled_from([csv.QUOTE_ALL, csv.QUOTE_MINIMAL]))
def test_delimited_text_comes_back_as_it_was_written(
    rows: list[list[str]], delimiter: str, encoding: str, end: str, quoting: int
) -> None:
    data = written([HEADINGS, *rows], delimiter, end, quoting).encode(encoding)
    assert texts(catalogue_of("x.csv", data)) == rows


@given(st.data(), st.sampled_from(list(OLD)), DELIMITERS)
def test_old_encodings_come_back_where_their_letters_tell(data: st.DataObject, encoding: str, delimiter: str) -> None:
    word = st.text(alphabet=OLD[encoding] + "abcdefgh", min_size=3, max_size=9)
    rows = data.draw(st.lists(st.lists(word, min_size=4, max_size=4), min_size=1, max_size=5))
    rows[0][3] = "Zusätze aus Gewürzen, Größe" if encoding != "cp1250" else "kiełbasa śląska, přísady, sůl"
    got = texts(catalogue_of("x.csv", written([HEADINGS, *rows], delimiter, "\r\n", csv.QUOTE_ALL).encode(encoding)))
    assert got == rows


@given(TABLE)
def test_workbooks_come_back_as_they_were_written(rows: list[list[str]]) -> None:
    assert texts(catalogue_of("x.xlsx", workbook({"List": [HEADINGS, *rows]}))) == rows


@given(TABLE, st.booleans())
def test_json_comes_back_as_it_was_written(rows: list[list[str]], as_list: bool) -> None:
    products = [dict(zip(HEADINGS, row, strict=True)) for row in rows]
    text = json.dumps(products) if as_list else "\n".join(map(json.dumps, products))
    assert texts(catalogue_of("x.json", text)) == rows


@given(st.lists(st.text(alphabet='ab ,;"\t|\n\rä', min_size=1, max_size=30), max_size=12), DELIMITERS)
def test_nothing_pasted_raises_and_no_text_is_lost(lines: list[str], delimiter: str) -> None:
    text = delimiter.join(HEADINGS) + "\n" + "\n".join(lines)
    catalogue = open_catalogue(pasted=text)
    kept = "".join(cell for entry in catalogue.entries() for _, cell in entry.cells)
    for letter in "abä":
        assert kept.count(letter) == "".join(lines).count(letter)


@given(st.binary(max_size=400))
def test_no_bytes_raise(data: bytes) -> None:
    catalogue = catalogue_of("x", data)
    list(catalogue.entries())
    assert all(r.message.endswith(".") for r in catalogue.refused)


def test_every_row_comes_out_in_its_place(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    write_long(path, 5_000)
    numbers = [(e.number, e.row, e.code) for e in open_catalogue([path]).entries()]
    assert numbers == [(k, k + 1, f"A{k}") for k in range(1, 5_001)]


@pytest.mark.parametrize("ending", ["csv", "jsonl", "json"])
def test_memory_does_not_grow_with_the_rows(tmp_path: Path, ending: str) -> None:
    def peak(rows: int) -> int:
        path = tmp_path / f"{rows}.{ending}"
        write_long(path, rows)
        catalogue = open_catalogue([path])
        tracemalloc.start()
        assert sum(1 for _ in catalogue.entries()) == rows
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    peak(100)  # what is remembered once is no growth
    assert peak(20_000) < peak(10_000) + 500_000  # 10,000 rows more are 2.5 MB of text, 10 MB as entries


def write_long(path: Path, rows: int) -> None:
    def products() -> Iterator[dict[str, str]]:
        for k in range(1, rows + 1):
            yield {"code": f"A{k}", "name": f"Sausage {k % 7}", "ingredients": "Pork, water, salt, spices, " * 8}

    with path.open("w", encoding="utf-8", newline="") as file:
        if path.suffix == ".csv":
            writer = csv.DictWriter(file, ["code", "name", "ingredients"])
            writer.writeheader()
            writer.writerows(products())
        elif path.suffix == ".json":
            file.write("[" + ",".join(map(json.dumps, products())) + "]")
        else:
            file.writelines(json.dumps(p) + "\n" for p in products())
