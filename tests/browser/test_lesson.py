"""The lesson in a real browser, as a class opens it: code hidden, exercises to fill in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest

from tests.browser.conftest import serving

WIDTHS = (1280, 390)
STAGES = 12


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with serving("how_it_reads.ipynb", tmp_path_factory.mktemp("lesson")) as found:
        yield found


@pytest.fixture
def lesson(browser: Any, address: str) -> Iterator[Any]:
    """The lesson, whole, with every request and every fault of a script noted."""
    page = browser.new_page(viewport={"width": WIDTHS[0], "height": 900})
    page.requested, page.faults = [], []
    page.on("request", lambda request: page.requested.append(request.url))
    page.on("pageerror", lambda error: page.faults.append(str(error)))
    page.goto(address)
    page.get_by_role("button", name="Check my answers").nth(1).wait_for()
    page.locator(".chart svg.marks").wait_for()
    yield page
    page.close(run_before_unload=True)


def test_the_lesson_is_there_whole(lesson: Any) -> None:
    assert lesson.get_by_role("heading", level=1).inner_text() == "How a label is read"
    assert lesson.get_by_role("heading", name="Stage", level=2).count() == STAGES
    assert lesson.get_by_role("heading", level=3).filter(has_text=".").count() >= 9  # the steps of making
    assert lesson.evaluate("document.querySelector('.chart svg.marks').getBBox().width") > 200
    assert not lesson.get_by_text("from reader").count()  # code is hidden
    assert lesson.get_by_text("Not answered yet.", exact=True).count() == 8
    assert not lesson.faults


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_page(lesson: Any, width: int) -> None:
    lesson.set_viewport_size({"width": width, "height": 900})
    lesson.wait_for_timeout(300)
    assert lesson.evaluate("document.documentElement.scrollWidth") <= width
    # a wide table scrolls in its own frame, and its column of sentences stays readable
    narrow = (
        "[...document.querySelectorAll('.lesson.told td:last-child')].map(cell => cell.getBoundingClientRect().width)"
    )
    assert min(lesson.evaluate(narrow)) > 200


def test_the_first_exercise_is_filled_in_by_keyboard_and_checked(lesson: Any) -> None:
    box = lesson.get_by_label("At most how many percent")
    box.fill("12")
    box.press("Tab")
    lesson.keyboard.press("Space")  # the first choice
    button = lesson.get_by_role("button", name="Check my answers").first
    button.focus()
    lesson.keyboard.press("Enter")
    lesson.get_by_text("12 % is more than the clause".replace("2 %", "2\u00a0%")).wait_for()
    lesson.get_by_text("0 of 3 right. Not answered yet: 1.").wait_for()
    assert "ready" in lesson.evaluate("document.activeElement.className")
    box.fill("2")
    lesson.get_by_label("rises").check()
    lesson.get_by_label("no", exact=True).first.check()
    button.click()
    lesson.get_by_text("3 of 3 right.").wait_for()
    assert not lesson.faults


def test_the_second_exercise_is_filled_in_and_checked(lesson: Any) -> None:
    lesson.get_by_label("Which animal tissue").fill("beef")
    lesson.get_by_label("Which binders or fillers").fill("potato starch")
    lesson.get_by_label("How many milligrams").fill("956")
    lesson.get_by_role("button", name="Check my answers").nth(1).click()
    lesson.get_by_text("2 of 5 right. Not answered yet: 2.").wait_for()
    lesson.get_by_text("there is one more to find").wait_for()


def test_the_lesson_asks_no_other_host(lesson: Any, address: str) -> None:
    hosts = {urlsplit(url).netloc for url in lesson.requested if not url.startswith(("data:", "blob:"))}
    assert hosts == {urlsplit(address).netloc}
