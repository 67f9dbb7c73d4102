"""The CSV file: whole, typed, readable by others, and nothing in it runs (OWASP, "CSV Injection", from memory)."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reader.columns import COLUMNS
from reader.screening import table
from reader.screening.values import PRICES, Screening
from reader.table_files import harmless
from reader.wording import say
from tests.screening.made import NAMES, ROWS, dozen, many
from tests.screening.test_workbook import OWASP, evil


def written(found: Screening, **more: Any) -> bytes:
    out = io.BytesIO()
    assert table.write(found, out, **more) == found.count
    assert not out.closed, "a file that was given stays open"
    return out.getvalue()


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


@pytest.fixture(scope="module")
def found() -> Screening:
    return dozen()


def test_every_row_stands_there_with_its_cells_in_either_order(found: Screening) -> None:
    rows = rows_of(written(found))
    assert [int(row["number"]) for row in rows] == [1, 2, 3, 4, 5, 6]
    assert [tuple(row[f"As received: {name}"] for name in NAMES) for row in rows] == list(ROWS)
    placed = rows_of(written(found, by_standing=True))
    assert [int(row["number"]) for row in placed] == [one.number for one, _ in found.by_standing()]
    assert sorted(placed, key=lambda row: int(row["number"])) == rows


def test_the_columns_are_those_of_a_table_of_readings_and_the_verdicts(found: Screening) -> None:
    row = rows_of(written(found))[3]
    assert {*COLUMNS, *PRICES} <= set(row)
    assert row["must_mechanically_separated"] == "fails"
    assert "chicken" in row["must_mechanically_separated_because"].lower()
    assert row["must_casing"] == "ask"
    assert row["must_casing_question"].endswith("?")
    assert (row["mechanically_separated"], row["by_products"]) == ("true", "false")
    assert rows_of(written(found))[5]["standing"] == say("screened_standing_unread")


def test_spreadsheets_know_it_and_rfc_4180_is_kept(found: Screening, tmp_path: Path) -> None:
    data = written(found)
    assert data.startswith(codecs.BOM_UTF8)
    assert b"\n" not in data.replace(b"\r\n", b"")  # no text of these rows holds a line end of its own
    table.write(found, tmp_path / "x.csv")
    assert (tmp_path / "x.csv").read_bytes() == data


def test_pandas_reads_numbers_as_numbers(found: Screening) -> None:
    frame = pd.read_csv(io.BytesIO(written(found)), dtype={"code": str})
    assert list(frame["price_kg"].dropna()) == [10, 14, 13, 4.75]
    assert set(frame["sodium_mg_per_100g"].dropna()) == {840}  # 2.1 g of salt (EU 1169/2011 Annex I 11)
    assert frame["place_best"].dtype.kind == "i"
    assert list(frame["code"].dropna()) == ["0071", "0072", "7", "8", "9"]


@pytest.mark.parametrize("start", OWASP)
def test_what_owasp_names_is_not_run(start: str) -> None:
    data = written(evil(f"{start}1+1"))
    text = io.StringIO(data.decode("utf-8-sig"), newline="")
    assert all(not cell.startswith(OWASP) for row in csv.reader(text) for cell in row)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_read_back(text: str) -> None:
    row = rows_of(written(evil(text)))[0]
    assert row["As received: Maker"] == harmless(text).encode("utf-8", "replace").decode()


def test_it_is_written_as_it_comes() -> None:
    class Stops(io.BytesIO):
        """A disk that is full after a while."""

        def write(self, data: Any) -> int:
            if self.tell() > 200_000:
                raise OSError("no room")
            return super().write(data)

    found = many(2000)
    with pytest.raises(OSError, match="no room"):
        table.write(found, Stops())
    assert found.journal.read < 400, "rows are asked for as they are written, not all before"  # type: ignore[attr-defined]
