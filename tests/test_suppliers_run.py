"""The part "A supplier list" of the app, without a browser: the run, the shortlist, letters and files."""

from __future__ import annotations

import base64
import csv
import io
import re
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from ui.screening import files_out, running
from ui.screening.pace import Pace, rate_told, time_told
from ui.screening.sifting import PAGE
from ui.screening.suppliers import Suppliers
from ui.spoken import Spoken

from reader.columns import row_of
from reader.house.values import ASK, FAILS, MEETS
from reader.makeup.values import LIKELY, ORDER
from reader.screening.told import standing_of
from reader.screening.values import Screening
from tests.test_suppliers_app import bring, sheet_of, until, with_example


def made(depth: str = ORDER) -> Suppliers:
    found = Suppliers(Spoken())
    found.view()
    found.running.depth.value = depth
    return found


@pytest.fixture
def suppliers() -> Suppliers:
    return made()


def run(suppliers: Suppliers) -> Screening:
    suppliers.shortlist.doubles.value = ""
    suppliers.running.start.click()
    until(lambda: not suppliers.running.running)
    assert suppliers.running.notice.text == ""
    until(lambda: suppliers.shortlist.doubles.value)
    assert suppliers.screening is not None
    return suppliers.screening


@pytest.fixture(scope="module")
def screened() -> Suppliers:
    """The invented list, screened; what a test chooses in it, it puts back."""
    found = with_example(made(LIKELY))
    run(found)
    return found


def long_list(count: int) -> bytes:
    head = ("Supplier", "Product", "Ingredients", "Price (USD/kg)")
    kinds = ("Beef, Water, Salt, Spices. In a natural sheep casing.", "Chicken, Pork, Water, Corn Starch, Salt.")
    return sheet_of(head, *((f"Maker {k % 3}", f"Links {k}", kinds[k % 2], 10) for k in range(count)))


def names(suppliers: Suppliers) -> list[str]:
    return re.findall(r"<b>([^<]+)</b>", suppliers.shortlist.table.value)


# -- the run ----------------------------------------------------------------------------------------------------


def test_every_row_of_the_list_is_done(screened: Suppliers) -> None:
    found = screened.screening
    assert found is not None
    assert (found.count, found.whole, found.finished) == (13, 13, True)
    assert "All rows are done: 13." in screened.running.words.value
    assert screened.running.go_on.layout.display == "none"
    assert all(one.layout.display == "" for one in screened.result_parts)


def test_what_is_missing_is_told_and_nothing_runs(suppliers: Suppliers) -> None:
    suppliers.running.start.click()
    assert "There is no table to screen" in suppliers.running.notice.text
    with_example(suppliers)
    suppliers.files.sheet.read.value = False
    suppliers.running.start.click()
    assert "There is no table to screen" in suppliers.running.notice.text
    suppliers.files.sheet.read.value = True
    suppliers.house.title.value = ""
    suppliers.running.start.click()
    assert "cannot be judged yet" in suppliers.running.notice.text
    assert not suppliers.running.running
    assert all(one.layout.display == "none" for one in suppliers.result_parts)


def test_a_run_stops_and_goes_on_to_the_same_end(suppliers: Suppliers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "_FEW", 10_000)  # in this process
    bring(suppliers, ("long.csv", long_list(300)))
    suppliers.running.start.click()
    until(lambda: suppliers.running.bar.value)
    assert suppliers.running.start.layout.display == "none", "one run at a time"
    assert suppliers.running.stop.layout.display == ""
    suppliers.running.stop.click()
    until(lambda: not suppliers.running.running)
    stopped = suppliers.screening
    assert stopped is not None
    assert 0 < stopped.count < stopped.whole == 300
    assert "the run can go on" in suppliers.running.words.value
    until(lambda: f"of {stopped.count:,}." in suppliers.shortlist.count.value)
    suppliers.running.go_on.click()
    until(lambda: not suppliers.running.running)
    whole = suppliers.screening
    assert whole is not None
    assert whole.count == 300
    again = made()
    bring(again, ("long.csv", long_list(300)))
    assert list(run(again).in_order()) == list(whole.in_order())


def test_a_longer_list_is_done_by_processes(suppliers: Suppliers) -> None:
    bring(suppliers, ("long.csv", long_list(running._FEW + 8)))
    assert running._workers(suppliers.brought.catalogue) > 0
    found = run(suppliers)
    assert (found.count, found.failed) == (running._FEW + 8, 0)


def test_the_shortlist_says_when_it_is_of_something_else_by_now(suppliers: Suppliers) -> None:
    first, journal = run(with_example(suppliers)), suppliers.running._order.journal
    assert suppliers.outdated.value == ""
    suppliers.house.ready.value = "value_shelf"
    assert "Screen the list again" in suppliers.outdated.value
    suppliers.house.ready.value = "counter_natural_casing"
    assert suppliers.outdated.value == ""
    suppliers.files.sheet.roles["price"].column.value = ""
    assert "Screen the list again" in suppliers.outdated.value
    run(suppliers)
    until(lambda: suppliers.outdated.value == "")
    until(lambda: suppliers.screening is not first)
    until(lambda: not journal.exists())  # what the run before left is needed no more


def test_a_fault_is_told_and_what_was_done_can_go_on(suppliers: Suppliers, monkeypatch: pytest.MonkeyPatch) -> None:
    with_example(suppliers)

    def broken(*_: Any, **__: Any) -> Screening:
        raise RuntimeError("inner words")

    with monkeypatch.context() as patched:
        patched.setattr(running, "screen", broken)
        suppliers.running.start.click()
        until(lambda: suppliers.running.notice.text)
    assert "a fault of ours" in suppliers.running.notice.text
    suppliers.running.go_on.click()
    until(lambda: suppliers.screening)
    until(lambda: not suppliers.running.running)
    assert suppliers.running.notice.text == ""


def test_pace_is_that_of_the_last_half_minute() -> None:
    now = 0.0
    pace = Pace(lambda: now)
    pace.at(500)  # done in an earlier run
    assert (pace.rate, pace.left(1000)) == (None, None)
    now = 10.0
    pace.at(600)
    assert pace.rate == pytest.approx(10)
    assert pace.left(1000) == pytest.approx(40)
    assert pace.left(None) is None
    for now in (20.0, 30.0, 40.0, 50.0):
        pace.at(600 + int(now - 10))  # slower since
    assert pace.rate == pytest.approx(1)


@pytest.mark.parametrize(
    ("seconds", "told"),
    [
        (0, "5 seconds"),
        (12, "15 seconds"),
        (58, "a minute"),
        (61, "2 minutes"),
        (3600, "60 minutes"),
        (9000, "2.5 hours"),
    ],
)
def test_time_is_told_as_people_do(seconds: float, told: str) -> None:
    assert time_told(seconds) == told


def test_a_rate_is_told_with_as_many_places_as_it_has() -> None:
    assert [rate_told(rate) for rate in (0.46, 3.0, 46.4, 1234.5)] == ["0.5", "3", "46", "1,234"]


# -- the shortlist ----------------------------------------------------------------------------------------------


def test_the_shortlist_stands_by_standing_with_reasons_in_short(screened: Suppliers) -> None:
    table = screened.shortlist.table.value
    assert re.findall("<h3>([^<]+)</h3>", table) == ["Meets every must", "To ask", "Fails a must"]
    assert "Beef Frankfurters in Natural Casing (B-101)" in names(screened)[:2]
    classic = table.split("<b>Classic Franks (2001)</b>")[1].split("</li>")[0]
    assert "Fennhollow Provisions" in classic
    assert "Fails: Named muscle meat first; Mechanically separated meat." in classic
    assert len(names(screened)) == 13
    assert "Products 1 to 13 of 13." in screened.shortlist.count.value


def test_products_are_sifted(screened: Suppliers) -> None:
    found, shortlist = screened.screening, screened.shortlist
    assert found is not None
    assert [title for title, _ in shortlist.supplier.options] == [
        "all", "Brindlewick Butchery", "Fennhollow Provisions", "Quillmere Smokehouse",
    ]  # fmt: skip
    rows = [row for _, row in found.by_standing()]
    shortlist.supplier.value = "Fennhollow Provisions"
    until(lambda: "of 4." in shortlist.count.value)
    shortlist.standing.value = MEETS
    until(lambda: "No product is left" in shortlist.count.value)
    shortlist.supplier.value = shortlist.supplier.options[0][1]
    until(lambda: "of 3." in shortlist.count.value)
    assert all(standing_of(row) == MEETS for row in shortlist._rows.values())
    shortlist.standing.value = ""
    casing = next(k for k, r in enumerate(found.specification.requirements) if r.kind == "casing")
    shortlist.requirement.value, shortlist.verdict.value = casing, ASK
    wanted = [row.number for row in rows if row.verdicts[casing].verdict == ASK]
    until(lambda: list(shortlist._rows) == wanted)
    assert wanted
    shortlist.requirement.value = -1
    shortlist.verdict.value = FAILS
    wanted = [row.number for row in rows if any(v.verdict == FAILS for v in row.verdicts)]
    until(lambda: list(shortlist._rows) == wanted)
    shortlist.verdict.value = ""
    until(lambda: "of 13." in shortlist.count.value)


def test_fifty_products_stand_at_once(suppliers: Suppliers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "_FEW", 10_000)
    bring(suppliers, ("long.csv", long_list(120)))
    run(suppliers)
    shortlist = suppliers.shortlist
    until(lambda: "Products 1 to 50 of 120." in shortlist.count.value)
    seen = names(suppliers)
    assert shortlist.earlier.layout.display == "none"
    shortlist.later.click()
    until(lambda: "Products 51 to 100 of 120." in shortlist.count.value)
    seen += names(suppliers)
    shortlist.later.click()
    until(lambda: "Products 101 to 120 of 120." in shortlist.count.value)
    seen += names(suppliers)
    assert shortlist.later.layout.display == "none"
    assert len(seen) == len(set(seen)) == 120
    shortlist.earlier.click()
    until(lambda: "Products 51 to 100" in shortlist.count.value)
    assert len(names(suppliers)) == PAGE


def test_a_product_is_opened_and_its_label_read_whole(screened: Suppliers) -> None:
    shortlist = screened.shortlist
    number = next(k for title, k in shortlist.open.options if title.startswith("Country Smoked Sausage"))
    shortlist.open.value = number
    opened = shortlist.opened
    words = opened.words.value
    assert "invented-list.csv, row 12" in words
    assert "Preferred: phosphates: none: <b>fails</b>" in words
    assert "The list names “Sodium Phosphates”." in words
    assert "To ask: Which casing is used" in words
    opened.read.click()
    report = opened.state.report
    assert report.name == "Country Smoked Sausage"
    assert report.statement.startswith("Pork, Water, Beef, Corn Syrup")
    assert row_of(report)["sodium_mg_per_100g"] == 930, "the panel stood in columns"
    shortlist.open.value = 0
    assert opened.view.layout.display == "none"


def test_doubles_are_shown(screened: Suppliers) -> None:
    assert "Nearly the same label" in screened.shortlist.doubles.value
    assert "Classic Franks (2001); Classic Franks, Big Pack (2002)" in screened.shortlist.doubles.value


def test_words_of_a_list_are_no_markup(suppliers: Suppliers) -> None:
    rows = (
        ("Supplier", "Product", "Ingredients"),
        ("<b>Maker</b>", "<i>Links</i>", "Beef, <script>Salt</script>, Water, Spices."),
    )
    bring(suppliers, ("list.csv", sheet_of(*rows)))
    run(suppliers)
    until(lambda: suppliers.shortlist.table.value)
    suppliers.shortlist.open.value = 1
    shown = suppliers.shortlist.table.value + suppliers.shortlist.opened.words.value
    assert "&lt;i&gt;Links" in shown
    assert not any(tag in shown for tag in ("<i>Links", "<b>Maker", "<script"))


# -- letters and files ------------------------------------------------------------------------------------------


def test_each_supplier_has_a_letter(screened: Suppliers) -> None:
    letters = screened.letters
    until(lambda: letters.text.value)
    assert [title for title, _ in letters.which.options] == ["Brindlewick Butchery", "Quillmere Smokehouse"]
    letters.which.value = 1
    assert "Smoked Kielbasa (Q/10)" in letters.text.value
    files = dict(re.findall(r'download="([^"]+)" href="data:[^,]+,([^"]+)"', letters.links.value))
    assert set(files) == {"letter-quillmere-smokehouse.txt", "letter-quillmere-smokehouse.html"}
    assert base64.b64decode(files["letter-quillmere-smokehouse.txt"]).decode() == letters.text.value


def test_every_file_can_be_had(screened: Suppliers) -> None:
    out = screened.out
    out.make.click()
    until(lambda: "download=" in out.links.value)
    found = dict(re.findall(r'download="([^"]+)" href="data:[^,]+,([^"]+)"', out.links.value))
    files = {Path(name).suffix: base64.b64decode(text) for name, text in found.items()}
    assert set(files) == {".xlsx", ".csv", ".html", ".zip"}
    book = openpyxl.load_workbook(io.BytesIO(files[".xlsx"]))
    assert book.worksheets[0].max_row == 14, "a heading and thirteen rows"
    rows = list(csv.DictReader(io.StringIO(files[".csv"].decode("utf-8-sig"))))
    assert [int(row["number"]) for row in rows] == list(range(1, 14))
    assert files[".html"].startswith(b"<!DOCTYPE html>")
    assert len(zipfile.ZipFile(io.BytesIO(files[".zip"])).namelist()) == 4


def test_a_file_too_large_for_the_page_says_so(screened: Suppliers, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files_out, "MOST", 20_000)
    screened.out.make.click()
    until(lambda: "hands out" in screened.out.links.value)
    assert "Take the table (CSV)" in screened.out.links.value
    assert "letters" in screened.out.links.value
