"""The part "A supplier list" of the app, without a browser: files in, columns corrected, what is asked for."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from ui.screening.background import THREAD
from ui.screening.suppliers import Suppliers
from ui.spoken import Spoken

from reader.house.specification import from_yaml, ready
from reader.house.values import Requirement

ROOT = Path(__file__).parent.parent
PATHS = os.pathsep.join(map(str, (ROOT, ROOT / "notebooks")))


@pytest.fixture
def suppliers() -> Suppliers:
    found = Suppliers(Spoken())
    found.view()
    return found


def until(there: Callable[[], object]) -> None:
    """Wait for something, and for what goes on in the background: without a page its answers are shown in its own
    thread, and a press in the midst of one would be lost, which on a page cannot be.
    """
    deadline = time.monotonic() + 60
    while not there() or any(thread.name == THREAD for thread in threading.enumerate()):
        assert time.monotonic() < deadline
        time.sleep(0.02)


def uploaded(name: str, data: bytes) -> dict[str, Any]:
    when = datetime(2026, 5, 3, tzinfo=UTC)
    return {"name": name, "type": "", "size": len(data), "content": memoryview(data), "last_modified": when}


def bring(suppliers: Suppliers, *files: tuple[str, bytes]) -> None:
    """Choose files in the box, as the page does, and wait until they were looked at."""
    suppliers.files.state.value = ""
    suppliers.files.upload.value = tuple(uploaded(name, data) for name, data in files)
    until(lambda: suppliers.files.looked)


def with_example(suppliers: Suppliers) -> Suppliers:
    suppliers.files.example.click()
    until(lambda: suppliers.files.looked)
    return suppliers


def sheet_of(*rows: tuple[Any, ...]) -> bytes:
    return b"\n".join(";".join(map(str, row)).encode() for row in rows)


LIST = sheet_of(
    ("Product", "What is in it", "Supplier"),
    ("Plain Franks", "Beef, Water, Salt, Spices, Sodium Nitrite.", "Fennhollow"),
    ("Fine Franks", "Pork, Water, Salt, Spices, Sodium Nitrite.", "Fennhollow"),
)


# -- files in ---------------------------------------------------------------------------------------------------


def test_nothing_is_asked_before_there_is_a_list(suppliers: Suppliers) -> None:
    assert [one.layout.display for one in suppliers.list_parts] == ["none"] * 3
    with_example(suppliers)
    assert [one.layout.display for one in suppliers.list_parts] == [""] * 3


def test_the_invented_list_is_read_below_its_title_lines(suppliers: Suppliers) -> None:
    files = with_example(suppliers).files
    assert files.sheet.header.value == "3"
    assert "no such suppliers" in files.sheet.remarks.value
    assert files.sheet.roles["statement"].column.value == "Ingredients"
    assert "The heading “Ingredients” says ingredient statement." in files.sheet.roles["statement"].why.value
    assert "Row 4" in files.sheet.rows.value
    assert "fat 26.3 g" in files.sheet.rows.value, "a decimal comma"
    assert files.sheet.basis.value == "per100g"
    assert files.example.layout.display == "none", "it would take the place of nothing"


def test_a_column_is_corrected_and_the_first_rows_show_it(suppliers: Suppliers) -> None:
    bring(suppliers, ("list.csv", LIST))
    sheet = suppliers.files.sheet
    assert "By its cells: 2 of 2" in sheet.roles["statement"].why.value
    sheet.roles["name"].column.value = "Supplier"
    assert "<dt>Name of the product</dt><dd>Fennhollow</dd>" in sheet.rows.value
    assert "Chosen as name of the product." in sheet.roles["name"].why.value
    assert sheet.roles["supplier"].column.value == "", "one column is one thing"
    sheet.roles["supplier"].column.value = "Supplier"
    assert sheet.roles["name"].column.value == "Product", "guessed again"
    assert sheet.anew.layout.display == ""
    sheet.anew.click()
    assert suppliers.brought.corrections == {}
    assert sheet.anew.layout.display == "none"


def test_columns_of_numbers_are_shown_when_they_are_asked_for(suppliers: Suppliers) -> None:
    sheet = with_example(suppliers).files.sheet
    assert "protein_g" not in sheet.roles
    sheet.numbers.value = True
    assert sheet.roles["protein_g"].column.value == "Protein (g)"
    assert "The lines above the table say per 100\xa0g." in sheet.basis_why.value
    sheet.roles["protein_g"].column.value = ""
    assert "protein 13.2 g" not in sheet.rows.value
    sheet.basis.value = "serving"
    assert "Panel, per serving" in sheet.rows.value
    assert sheet.roles["protein_g"].column.value == "", "what was said before stays"


def test_corrections_stay_when_another_file_comes_and_go_with_theirs(suppliers: Suppliers) -> None:
    bring(suppliers, ("list.csv", LIST))
    suppliers.files.sheet.roles["name"].column.value = "Supplier"
    bring(suppliers, ("other.csv", LIST))
    assert len(suppliers.files.which.options) == 2
    assert suppliers.files.sheet.roles["name"].column.value == "Supplier"
    suppliers.files.which.value = ("other.csv", "")
    assert suppliers.files.sheet.roles["name"].column.value == "Product"
    suppliers.files.files.children[0].children[1].click()  # take the first out
    until(lambda: suppliers.files.looked)
    assert suppliers.brought.files == ("other.csv",)
    assert suppliers.brought.corrections == {}


def test_the_heading_may_stand_in_another_row(suppliers: Suppliers) -> None:
    sheet = with_example(suppliers).files.sheet
    sheet.header.value = "four"
    assert "“four” is no row" in sheet.trouble.value
    assert sheet.header.value == "four", "what was typed stays"
    sheet.header.value = "0"
    assert sheet.trouble.value == ""
    assert "Row 1" in sheet.rows.value
    sheet.anew.click()
    assert sheet.header.value == "3"


def test_headings_that_say_nothing_known_are_named_by_their_row(suppliers: Suppliers) -> None:
    bring(suppliers, ("list.csv", LIST.replace(b"Product", b"Thing").replace(b"Supplier", b"Who")))
    sheet = suppliers.files.sheet
    assert "Row 1" in sheet.rows.value, "taken for a product"
    sheet.header.value = "1"
    assert "Row 2" in sheet.rows.value
    assert "Row 1" not in sheet.rows.value
    sheet.roles["supplier"].column.value = "Who"
    assert "<dt>Supplier</dt><dd>Fennhollow</dd>" in sheet.rows.value


def test_sheets_of_a_workbook_are_chosen_and_left_out(suppliers: Suppliers) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Franks"
    for row in (("Name", "Ingredients"), ("Plain Franks", "Beef, Water, Salt, Spices.")):
        book.active.append(row)
    more = book.create_sheet("Links")
    for row in (("Name", "Ingredients"), ("Plain Links", "Pork, Water, Salt, Spices.")):
        more.append(row)
    out = io.BytesIO()
    book.save(out)
    bring(suppliers, ("book.xlsx", out.getvalue()))
    files = suppliers.files
    assert [title for title, _ in files.which.options] == ["book.xlsx: Franks", "book.xlsx: Links"]
    files.which.value = ("book.xlsx", "Links")
    assert "Plain Links" in files.sheet.rows.value
    files.sheet.read.value = False
    assert [title for title, _ in files.which.options][1] == "book.xlsx: Links (left out)"
    assert files.which.value == ("book.xlsx", "Links"), "the page stays with it"
    assert [e.name for e in suppliers.brought.catalogue.entries()] == ["Plain Franks"]
    files.sheet.read.value = True
    assert [e.name for e in suppliers.brought.catalogue.entries()] == ["Plain Franks", "Plain Links"]


def test_a_file_that_cannot_be_read_says_why_and_the_others_stay(suppliers: Suppliers) -> None:
    bring(suppliers, ("list.csv", LIST), ("scan.pdf", b"%PDF-1.7 and so on"), ("nothing.csv", b""))
    assert "scan.pdf is a PDF" in suppliers.files.refused.value
    assert "nothing.csv is empty" in suppliers.files.refused.value
    assert len(suppliers.files.which.options) == 1


def test_a_file_of_the_same_name_takes_the_place(suppliers: Suppliers) -> None:
    bring(suppliers, ("list.csv", LIST))
    bring(suppliers, ("list.csv", LIST.replace(b"Plain", b"Other")))
    assert "took its place: list.csv" in suppliers.files.notice.text
    assert suppliers.brought.files == ("list.csv",)
    assert "Other Franks" in suppliers.files.sheet.rows.value


def test_a_table_is_pasted(suppliers: Suppliers) -> None:
    suppliers.files.take.click()
    assert "Nothing is pasted yet" in suppliers.files.notice.text
    suppliers.files.paste.value = LIST.decode().replace(";", "\t")
    suppliers.files.take.click()
    until(lambda: suppliers.files.looked and suppliers.files.which.options)
    assert "Plain Franks" in suppliers.files.sheet.rows.value
    assert suppliers.files.notice.text == ""


def test_names_from_files_are_no_markup(suppliers: Suppliers) -> None:
    bring(suppliers, ("<b>x</b>.csv", LIST.replace(b"Supplier", b"<i>Supplier</i>").replace(b"Plain", b"<script>")))
    shown = suppliers.files.sheet.rows.value + suppliers.files.files.children[0].children[0].value
    assert "&lt;script&gt;" in shown
    assert not any(tag in shown for tag in ("<script", "<b>", "<i>"))


def test_the_folder_goes_with_the_page(suppliers: Suppliers) -> None:
    bring(suppliers, ("../../list.csv", LIST))
    kept = suppliers.folder.keep(b"x").parent
    assert sorted(len(p.name) for p in kept.iterdir()) == [1, 1], "no name from outside"
    suppliers.folder.close()
    assert not kept.exists()


def test_the_folder_goes_too_when_the_page_is_killed() -> None:
    program = "import os; from ui.screening.folder import Folder; f = Folder(); print(f.keep(b'x'), flush=True); os.kill(os.getpid(), 9)"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env={**os.environ, "PYTHONPATH": PATHS}
    )
    kept = Path(done.stdout.strip())
    assert kept.parent.name.startswith("suppliers-")
    until(lambda: not kept.parent.exists())


# -- what is asked for ------------------------------------------------------------------------------------------


def test_the_form_holds_a_ready_specification_as_it_is(suppliers: Suppliers) -> None:
    house = suppliers.house
    for name, text in ready().items():
        house.ready.value = name
        assert house.specification == from_yaml(text)
        assert from_yaml(house.text.value) == from_yaml(text)
    assert house.back.layout.display == "none", "nothing of the visitor's was lost"


@pytest.mark.parametrize("name", sorted(ready()))
def test_opening_every_line_changes_nothing(suppliers: Suppliers, name: str) -> None:
    suppliers.house.ready.value = name
    for line in suppliers.house.requirements:
        line.change.click()
        line.boxes._changed()
        assert line.faults() == ()
    assert suppliers.house.specification == from_yaml(ready()[name])


def line_of(suppliers: Suppliers, kind: str, must: bool = True) -> Any:
    return next(line for line in suppliers.house.requirements if line.kind.id == kind and line.requirement.must is must)


def test_limits_words_and_weight_of_a_requirement_are_changed(suppliers: Suppliers) -> None:
    meat = line_of(suppliers, "meat_at_least")
    meat.change.click()
    meat.boxes.limit.value = "72,5 %"
    assert meat.requirement == Requirement("meat_at_least", True, 72.5)
    assert "at least 72.5\xa0%" in meat.line.value
    meat.boxes.must.value = False
    assert meat.line.value.startswith("<span>Preferred:")
    casing = line_of(suppliers, "casing")
    casing.change.click()
    casing.boxes.ticks["collagen"].value = True
    assert casing.requirement.words == ("natural", "collagen")
    price = line_of(suppliers, "price_per_kg")
    price.change.click()
    price.boxes.choice.value = "EUR"
    assert suppliers.house.specification is not None
    assert price.requirement in suppliers.house.specification.musts
    assert meat.requirement in suppliers.house.specification.preferences


def test_a_mistake_is_told_at_its_box_and_what_was_typed_stays(suppliers: Suppliers) -> None:
    meat = line_of(suppliers, "meat_at_least")
    meat.change.click()
    for typed, told in (
        ("plenty", "“plenty” is no number"),
        ("170", "170 at “Meat of all kinds, likely”"),
        ("", "lacks its number"),
    ):
        meat.boxes.limit.value = typed
        assert told in meat.boxes.trouble.value
        assert meat.boxes.limit.value == typed
        assert suppliers.house.specification is None
    meat.boxes.limit.value = "70"
    assert meat.boxes.trouble.value == ""
    assert suppliers.house.specification is not None
    casing = line_of(suppliers, "casing")
    casing.change.click()
    casing.boxes.ticks["natural"].value = False
    assert "“Casing” lacks what it asks for" in casing.boxes.trouble.value


def test_a_word_is_found_or_told_to_be_unknown(suppliers: Suppliers) -> None:
    suppliers.house.add.value = "fillers_excluded"
    line = suppliers.house.requirements[-1]
    assert line.boxes.trouble.value == "", "it was only just added"
    assert suppliers.house.specification is None
    line.boxes.more.value = "Gluten"
    assert line.requirement.words == ("gluten",)
    assert line.boxes.more.value == ""
    line.boxes.more.value = "gluteen"
    assert "Perhaps “gluten” was meant" in line.boxes.trouble.value
    assert set(line.boxes.ticks) == {"gluten", "gluteen"}
    line.boxes.ticks["gluteen"].value = False
    assert suppliers.house.specification is not None


def test_a_rule_is_found_by_its_title(suppliers: Suppliers) -> None:
    suppliers.house.add.value = "findings"  # among the musts: it stands there as a preference
    line = suppliers.house.requirements[-1]
    title = next(title for title in line.boxes.more.options if title.startswith("Source of an allergen"))
    line.boxes.more.value = title
    (word,) = line.requirement.words
    assert word.endswith("allergen_source")
    assert line.requirement.must


def test_the_same_twice_is_told(suppliers: Suppliers) -> None:
    suppliers.house.add.value = "casing"
    line = suppliers.house.requirements[-1]
    line.boxes.ticks["natural"].value = True
    assert "“Casing” stands above already" in line.boxes.trouble.value
    line.boxes.remove.click()
    assert suppliers.house.specification == from_yaml(ready()["counter_natural_casing"])


def test_what_the_visitor_made_comes_back_after_another_was_begun(suppliers: Suppliers) -> None:
    house = suppliers.house
    house.title.value = "Corner deli"
    mine = house.specification
    house.ready.value = "value_shelf"
    assert house.title.value == "Value shelf"
    house.back.click()
    assert house.specification == mine
    assert house.back.layout.display == "none"


def test_text_is_taken_over_or_every_mistake_is_told(suppliers: Suppliers) -> None:
    house = suppliers.house
    before = house.specification
    wrong = "title: Corner deli\nmust:\n  casings: natural\n  meat_at_least: much\n"
    house.text.value = wrong
    house.take.click()
    assert "Line 3: “casings” is no requirement we know" in house.notice.view.value
    assert "Line 4: “much”" in house.notice.view.value
    assert (house.text.value, house.specification) == (wrong, before)
    casing = line_of(suppliers, "casing")
    casing.change.click()
    casing.boxes.remove.click()
    assert house.text.value == wrong, "text that is being typed stays"
    house.text.value = wrong.replace("casings", "casing").replace("much", "70")
    house.take.click()
    assert house.specification == from_yaml(house.text.value)
    assert "“Corner deli” stands in the form now." in house.notice.text


def test_a_specification_is_saved_and_brought_in(suppliers: Suppliers) -> None:
    house = suppliers.house
    assert 'download="house-fresh-counter-natural-casing.yaml"' in house.save.value
    text = ready()["canteen_less_sodium"]
    house.bring.value = (uploaded("house.yaml", text.encode()),)
    assert house.specification == from_yaml(text)
    house.bring.value = (uploaded("house.yaml", b"must: ["),)
    assert "Line 1" in house.notice.view.value
    assert house.text.value == "must: [", "to be mended where it stands"
    assert house.as_text.value


def test_nothing_asked_for_is_told(suppliers: Suppliers) -> None:
    suppliers.house.ready.value = "empty"
    assert suppliers.house.specification is None
    assert "Nothing is asked for yet" in suppliers.house.save.value
