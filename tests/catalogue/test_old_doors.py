"""`table` and `compare` read what the catalogue reads, and say what it says."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reader.__main__ import main
from reader.catalogue.panels import typed_panel_of
from reader.catalogue.trouble import TableError
from reader.catalogue.values import SERVING, Entry
from reader.compare_files import read_packs
from reader.many import read_table
from tests.catalogue.files import FORMS_FOR_DOORS, HEADER, ROWS, broken, delimited


def read(tmp_path: Path, name: str, data: bytes | str, **more: str) -> list[dict[str, str]]:
    (tmp_path / name).write_bytes(data.encode() if isinstance(data, str) else data)
    read_table(tmp_path / name, tmp_path / "out.csv", depth="order", **more)  # type: ignore[arg-type]
    with (tmp_path / "out.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("name", FORMS_FOR_DOORS)
def test_a_table_of_any_form_is_read(tmp_path: Path, name: str) -> None:
    rows = read(tmp_path, name, FORMS_FOR_DOORS[name])
    assert [row["first_ingredient"] for row in rows] == ["pork", "beef", "pork"]
    assert [row["Product name"] for row in rows] == [row[0] for row in ROWS]
    assert [float(row["sodium_mg_per_100g"]) for row in rows] == [720, 840, 640]  # salt / 2.5, EU 1169/2011 Annex I 11


def test_a_row_that_cannot_be_read_keeps_its_place_and_says_why(tmp_path: Path) -> None:
    rows = read(tmp_path, "x.csv", 'id,statement,market\n1,"Pork, salt",US\n2,,US\n3,"Beef, salt",Mars\n')
    assert [row["id"] for row in rows] == ["1", "2", "3"]
    assert rows[0]["first_ingredient"] == "pork"
    assert "no ingredient statement" in rows[1]["problems"]
    assert "“Mars” is not known" in rows[2]["problems"]


def test_what_the_user_says_of_the_numbers_goes_before_the_headings(tmp_path: Path) -> None:
    text = 'statement,serving_size_g,sodium_mg\n"Pork, salt",50,450\n'
    assert read(tmp_path, "x.csv", text)[0]["sodium_mg_per_serving"] == "225"
    assert read(tmp_path, "x.csv", text, basis="serving")[0]["sodium_mg_per_serving"] == "450"
    assert (
        read(tmp_path, "y.csv", text.replace("sodium_mg", "Sodium mg per serving"))[0]["sodium_mg_per_serving"] == "450"
    )


def test_a_table_without_statements_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "x.csv").write_text("zzz,qqq\n1,2\n", encoding="utf-8")
    with pytest.raises(TableError, match="no column"):
        read_table(tmp_path / "x.csv", tmp_path / "out.csv")
    (tmp_path / "old.xls").write_bytes(broken()["old.xls"])
    assert main(["table", str(tmp_path / "old.xls"), "-o", str(tmp_path / "out.csv")]) == 2
    assert "old kind (XLS)" in capsys.readouterr().err
    assert main(["table", str(tmp_path / "none.csv"), "-o", str(tmp_path / "out.csv")]) == 2
    assert "There is no file" in capsys.readouterr().err


def test_packs_are_compared_from_any_form(tmp_path: Path) -> None:
    (tmp_path / "x.csv").write_text(delimited([HEADER, *ROWS], ";"), encoding="utf-16")
    packs = read_packs(tmp_path / "x.csv", depth="order")
    assert [p.name for p in packs] == [row[0] for row in ROWS]
    assert [p.price.amount for p in packs] == [4.99, 5.49, 6.2]


def test_less_than_is_an_upper_end() -> None:
    entry = Entry(
        1, "", "", 1, (), typed=(("satfat_g", "<0.5"), ("serving_size_g", "50"), ("salt_g", "1.8")), basis=SERVING
    )
    panel = typed_panel_of(entry, "EU")
    assert panel is not None
    column = panel.column("serving")
    assert column is not None
    fat = column.get("satfat_g")
    assert fat is not None
    assert fat.less_than
    assert fat.true == (0, 0.5)
    assert panel.stated_per_serving("sodium_mg") == pytest.approx(720)
    assert panel.serving_g == 50


def test_a_panel_in_words_goes_before_numbers_in_columns() -> None:
    entry = Entry(1, "", "", 1, (), panel="Fat 12 g", typed=(("fat_g", "13"),))
    assert typed_panel_of(entry, "US") is None
    assert typed_panel_of(Entry(1, "", "", 1, ()), "US") is None
