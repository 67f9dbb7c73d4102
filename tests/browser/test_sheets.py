"""Comparisons and sheets in a real browser: no page wider than a phone, and paper with page breaks where they belong."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from ui.inputs import examples

from reader.compare.pack import Pack
from reader.compare.ranking import rank
from reader.compare.table import MOST, compare
from reader.page import comparison, paper
from reader.pipeline import read_label
from reader.price import read_price

A4_MM = (210, 297)


@pytest.fixture(scope="module")
def forty() -> list[Pack]:
    reports = [read_label(p["statement"], p["panel"], name=p["name"], market=p["market"]) for p in examples()]
    price = read_price("$5 / 400 g")
    return [
        Pack(f"Number {n}: {reports[n % len(reports)].name} of the long shelf behind the counter", reports[n % len(reports)], price)
        for n in range(MOST)
    ]  # fmt: skip


def opened(browser: Any, folder: Path, text: str, width: int = 1200) -> Any:
    file = folder / "sheet.html"
    file.write_text(text, encoding="utf-8")
    page = browser.new_page(viewport={"width": width, "height": 844})
    page.goto(file.as_uri())
    return page


def pages_of(page: Any) -> int:
    pdf: bytes = page.pdf(format="A4", prefer_css_page_size=True)
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("count", [2, 3, 4, MOST])
def test_a_comparison_fits_a_phone(browser: Any, tmp_path: Path, forty: list[Pack], count: int) -> None:
    table = compare(forty[:count])
    page = opened(browser, tmp_path, comparison.document(table, rank(table, {"meat_source": 5, "price": 2})), width=390)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert (
        page.evaluate("[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > e.clientWidth + 1).length")
        == 0
    )
    page.close()


@pytest.mark.parametrize("made", [paper.worksheets, paper.class_summary, paper.cards])
def test_sheets_do_not_widen_a_phone(browser: Any, tmp_path: Path, forty: list[Pack], made: Any) -> None:
    page = opened(browser, tmp_path, made(forty[:8]), width=390)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.close()


@pytest.mark.parametrize("count", [1, 30, MOST])
def test_the_summary_of_a_class_is_one_page(browser: Any, tmp_path: Path, forty: list[Pack], count: int) -> None:
    page = opened(browser, tmp_path, paper.class_summary(forty[:count]))
    assert pages_of(page) == 1
    page.close()


@pytest.mark.parametrize("answers", [False, True])
def test_each_worksheet_begins_on_a_page_of_its_own(
    browser: Any, tmp_path: Path, forty: list[Pack], answers: bool
) -> None:
    alone = []
    for pack in forty[:3]:
        page = opened(browser, tmp_path, paper.worksheets([pack], answers=answers))
        alone.append(pages_of(page))
        page.close()
    page = opened(browser, tmp_path, paper.worksheets(forty[:3], answers=answers))
    assert pages_of(page) == sum(alone)
    assert max(alone) <= 2  # one sheet of paper, both sides
    page.close()


def test_four_cards_to_a_page_and_none_torn(browser: Any, tmp_path: Path, forty: list[Pack]) -> None:
    for count, pages in ((1, 1), (4, 1), (5, 2), (8, 2)):
        page = opened(browser, tmp_path, paper.cards(forty[:count]))
        assert pages_of(page) == pages
        page.close()


def test_paper_is_as_wide_as_its_tables(browser: Any, tmp_path: Path, forty: list[Pack]) -> None:
    """In print a table cannot be scrolled, so none may be wider than the sheet."""
    width = round((A4_MM[0] - 2 * 16) / 25.4 * 96)  # the margins of @page in page.css
    for text in (
        comparison.document(compare(forty)),
        comparison.document(compare(forty[:2])),
        paper.class_summary(forty),
    ):
        page = opened(browser, tmp_path, text, width=width)
        page.emulate_media(media="print")
        assert page.evaluate("document.documentElement.scrollWidth") <= width + 1
        page.close()
