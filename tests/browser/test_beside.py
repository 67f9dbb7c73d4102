"""Packs kept and set side by side in a real browser."""

from __future__ import annotations

from typing import Any

import pytest

from tests.browser.test_app import choose, until


def keep(page: Any, number: int) -> None:
    choose(page, number)
    page.get_by_role("button", name="Keep it for comparing").click()


def test_packs_are_kept_and_compared(page: Any) -> None:
    keep(page, 1)
    page.get_by_text("first pack on your shelf").wait_for()
    keep(page, 2)
    page.get_by_text("2 packs are on your shelf").wait_for()
    page.reload()  # the browser still knows the shelf
    page.get_by_role("button", name="Read the label").wait_for()
    page.get_by_role("button", name="Side by side").click()
    page.locator(".comparison table.bars").first.wait_for()  # before it stand the tables that charts fold away
    assert page.locator(".ticks input:checked").count() == 2
    page.locator(".comparison .chart svg.marks").nth(3).wait_for()
    # Ranked by sodium: the pack with 480 mg in 57 g before the one with 480 mg in 45 g.
    page.get_by_label("Sodium per serving", exact=True).select_option("10")
    page.get_by_text("Weights: Sodium per serving 10").wait_for()
    rows = page.locator("table.bars", has_text="Weighted mean").locator("tbody tr")
    assert [rows.nth(k).locator("td").first.inner_text() for k in range(2)] == ["1", "2"]
    assert rows.first.locator("th").inner_text() == "Beef Franks in Natural Casing"
    assert page.get_by_text("MECHANICALLY SEPARATED CHICKEN").count()
    page.get_by_role("button", name="Make the files").click()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Worksheets without answers").click()
    assert coming.value.suggested_filename == "packs-worksheets.html"
    assert not page.faults


@pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 900), (1920, 1080)])
def test_side_by_side_fits_phone_and_projector(page: Any, width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.get_by_role("button", name="Side by side").click()  # nothing kept: the examples
    page.locator(".comparison table.bars").first.wait_for()  # before it stand the tables that charts fold away
    page.locator(".comparison .chart svg.marks").nth(3).wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    wide = "[...document.querySelectorAll('.comparison svg.marks')].every(s => s.getBoundingClientRect().right <= innerWidth)"
    until(page, wide)
