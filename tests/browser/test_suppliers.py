"""A supplier list screened in a real browser, from the file to the letters."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.browser.test_app import until

EXAMPLE = Path(__file__).parents[2] / "notebooks/ui/example_suppliers.csv"


@pytest.fixture
def suppliers(page: Any) -> Any:
    page.get_by_role("button", name="A supplier list").click()
    page.get_by_role("button", name="Try it with an invented list").wait_for()
    return page


def part(page: Any, heading: str) -> Any:
    return page.locator(".suppliers > .desk-part", has=page.get_by_role("heading", name=heading, exact=True))


def test_a_list_is_screened_from_the_file_to_the_letters(suppliers: Any) -> None:
    page = suppliers
    with page.expect_file_chooser() as coming:
        page.get_by_role("button", name="Bring in files").click()
    coming.value.set_files(EXAMPLE)
    page.locator(".first-row").nth(2).wait_for()
    assert "Beef Frankfurters in Natural Casing" in page.locator(".first-row").first.inner_text()

    page.get_by_label("Article number", exact=True).select_option("in no column")
    until(page, "!document.querySelector('.first-row').innerText.includes('B-101')")
    page.get_by_text("Possible too: “Art. no.”.").first.wait_for()
    page.get_by_label("Article number", exact=True).select_option("Art. no.")
    until(page, "document.querySelector('.first-row').innerText.includes('B-101')")

    page.locator(".requirements .change", has_text="at most 24 USD a kg").get_by_role("button").click()
    page.get_by_label("Price at most (per kg)").fill("cheap")
    page.get_by_label("Price at most (per kg)").press("Enter")
    page.get_by_text("“cheap” is no number").wait_for()
    page.get_by_label("Price at most (per kg)").fill("18,50")
    page.get_by_label("Price at most (per kg)").press("Enter")
    page.locator(".requirements .change", has_text="at most 18.5 USD a kg").wait_for()

    page.get_by_role("button", name="Screen the list").click()
    part(page, "Screening").get_by_text("All rows are done: 13.").wait_for()
    shortlist = part(page, "The shortlist")
    shortlist.get_by_text("Products 1 to 13 of 13.").wait_for()
    beef = shortlist.locator(".shortlist li", has_text="Beef Frankfurters in Natural Casing")
    assert "Fails: Price per kg." in beef.inner_text()
    assert shortlist.locator(".shortlist b").first.inner_text() == "Pork and Beef Wieners (B-102)"
    shortlist.get_by_label("Standing").select_option("To ask")
    shortlist.get_by_text("Products 1 to 3 of 3.").wait_for()

    shortlist.get_by_label("Open a product").select_option("Country Smoked Sausage (Q/7)")
    shortlist.get_by_text("The list names “Sodium Phosphates”.").wait_for()
    shortlist.get_by_role("button", name="Read the whole label").click()
    shortlist.locator(".headline", has_text="930 mg sodium per 100 g").wait_for()
    shortlist.locator(".chart svg.marks").first.wait_for()

    letters = part(page, "Letters to suppliers")
    until(page, "document.querySelector('.letters textarea').value.startsWith('Request for information')")
    assert letters.get_by_label("To", exact=True).locator("option").all_text_contents() == ["Quillmere\xa0Smokehouse"]
    out = part(page, "To keep").last
    out.get_by_role("button", name="Make the files").click()
    with page.expect_download() as coming:
        out.get_by_role("link", name="workbook").click()
    assert coming.value.suggested_filename == "screened-fresh-counter-natural-casing.xlsx"
    book = openpyxl.load_workbook(io.BytesIO(Path(coming.value.path()).read_bytes()))
    assert book.worksheets[0].max_row == 14
    assert not page.faults


@pytest.mark.parametrize("width", [390, 1280])
def test_a_screened_list_fits_phone_and_desk(suppliers: Any, width: int) -> None:
    page = suppliers
    page.set_viewport_size({"width": width, "height": 900})
    page.get_by_role("button", name="Try it with an invented list").click()
    page.get_by_label("How far each label is read").select_option("by the order of the list alone (fastest)")
    page.locator(".requirements .change").nth(5).get_by_role("button").click()
    page.get_by_role("button", name="Screen the list").click()
    page.locator(".shortlist li").nth(12).wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert not page.faults
