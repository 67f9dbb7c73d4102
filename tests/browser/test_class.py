"""A lesson in real browsers: a teacher and two students, each with a context of their own, one server."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

FRANKS = "Mechanically separated chicken, water, modified food starch, salt, sodium nitrite."
PANEL = "Serving size 1 link (45g) Calories 130 Total Fat 11g Sodium 480mg Protein 5g"
BRATS = "Pork, veal, salt, spices. In natural pork casing."
BOARD_S = 3.0  # how long the board may take to show a pack that was added


class Visitor:
    """A browser of its own, in the part "A class"."""

    def __init__(self, browser: Any, address: str, width: int) -> None:
        self.context = browser.new_context(viewport={"width": width, "height": 900}, accept_downloads=True)
        self.faults: list[str] = []
        self.page = self.context.new_page()
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.goto(address)
        self.enter()

    def enter(self) -> None:
        self.page.get_by_role("button", name="A class").click()
        self.here.get_by_role("button", name="Open a class").wait_for(state="attached")

    @property
    def here(self) -> Any:
        return self.page.locator(".classroom")

    @property
    def form(self) -> Any:
        """The boxes of the pack that is added."""
        return self.here.locator(".inputs:visible").first

    def press(self, name: str) -> None:
        self.here.get_by_role("button", name=name, exact=True).click()

    def sees(self, text: str) -> None:
        self.here.get_by_text(text).first.wait_for()

    def join(self, code: str, nickname: str) -> None:
        self.here.get_by_label("Code of the class").fill(code)
        self.here.get_by_label("Nickname (optional)").fill(nickname)
        self.press("Join")
        self.here.get_by_role("button", name="Add it to the class").wait_for()

    def type_pack(self, name: str, statement: str, panel: str = "") -> None:
        form = self.form
        form.get_by_label("Label text").fill(statement)
        form.get_by_label("Nutrition panel").fill(panel)
        form.get_by_label("Name on the front").fill(name)


@pytest.fixture
def visit(browser: Any, served: str) -> Iterator[Callable[[int], Visitor]]:
    made: list[Visitor] = []

    def come(width: int) -> Visitor:
        made.append(Visitor(browser, served, width))
        return made[-1]

    yield come
    for visitor in made:
        visitor.page.close(run_before_unload=True)  # lets the page end its kernel
        visitor.context.close()


def until(page: Any, there: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 15
    while not there():
        assert time.monotonic() < deadline
        page.wait_for_timeout(30)


def test_a_lesson(visit: Callable[[int], Visitor]) -> None:
    teacher, fern, moss = visit(1920), visit(390), visit(1280)
    teacher.here.get_by_label("What the class is called").fill("7b")
    teacher.press("Open a class")
    code = teacher.here.locator(".code").inner_text()
    assert teacher.here.locator(".code").evaluate("e => parseFloat(getComputedStyle(e).fontSize)") > 80
    fern.join(code.lower(), "Fern")
    moss.join(code, "Moss")

    # Fern adds; the board follows while Moss goes on typing.
    moss.form.get_by_label("Label text").fill("Half typed")
    fern.type_pack("Franks", FRANKS, PANEL)
    begun = time.monotonic()
    fern.press("Add it to the class")
    teacher.sees("Franks · Fern")
    assert time.monotonic() - begun < BOARD_S
    teacher.sees("Students: 2. Packs: 1.")
    until(moss.page, lambda: "Franks" in moss.here.get_by_label("The last one added").inner_text())
    assert moss.form.get_by_label("Label text").input_value() == "Half typed", "a refresh takes nothing that is typed"

    # Both guess before they see the reading, Fern by keyboard alone.
    place = fern.here.get_by_label("Meat source: your guess")
    place.focus()
    place.press("8")
    fern.here.get_by_label("Meat source: words").fill("chicken stands first")
    assert fern.here.locator(".headline").count() == 0
    fern.here.get_by_role("button", name="Show the reading").press("Enter")
    fern.sees("You guessed 8.")
    fern.sees("Your guess lies above all that is possible.")
    fern.here.locator(".headline").wait_for()
    moss.here.get_by_label("The last one added").select_option(index=0)
    moss.press("Open this pack")
    moss.here.get_by_label("Meat source: your guess").select_option(label="1.5")
    moss.press("Show the reading")
    moss.sees("You guessed 1.5.")
    teacher.sees("2 guesses, median 4.8")
    chart = teacher.here.locator(".chart svg.marks").first
    assert chart.evaluate("s => s.getBBox().width") > 200
    assert teacher.here.get_by_text("the reading: thin", exact=False).count() == 0
    teacher.here.get_by_label("Show the reading too").check()
    teacher.sees("The line is the reading")

    # Frozen: nothing typed is lost.
    teacher.here.get_by_label("Freeze the shelf").check()
    moss.sees("The teacher has frozen the shelf")
    moss.type_pack("Brats", BRATS)
    moss.press("Add it to the class")
    moss.sees("What you typed was not kept")
    assert moss.form.get_by_label("Label text").input_value() == BRATS
    teacher.here.get_by_label("Freeze the shelf").uncheck()
    moss.press("Add it to the class")
    teacher.sees("Brats · Moss")

    # Reload keeps the seat.
    fern.page.reload()
    fern.enter()
    fern.press("7b")
    fern.sees("Your nickname here is “Fern”.")
    fern.here.get_by_label("The last one added").select_option(label="Franks · Fern")
    fern.press("Open this pack")
    fern.sees("You guessed 8.")
    assert fern.page.evaluate("document.documentElement.scrollWidth") <= 390

    # The teacher hides, takes it back, and saves everything.
    teacher.here.get_by_label("Pack to change").select_option(label="Franks · Fern")
    teacher.press("Hide it from the class")
    until(moss.page, lambda: "Franks" not in moss.here.get_by_label("The last one added").inner_text())
    teacher.press("Undo")
    until(moss.page, lambda: "Franks" in moss.here.get_by_label("The last one added").inner_text())
    teacher.press("Make files of the shelf")
    with teacher.page.expect_download() as saved:
        teacher.here.get_by_role("link", name="Everything on the shelf (JSON)").click()
    file = saved.value.path()
    teacher.press("Wipe the shelf …")
    teacher.press("Wipe it for good")
    teacher.sees("Students: 0. Packs: 0.")
    moss.sees("Join the class again with its code")
    with teacher.page.expect_file_chooser() as chooser:
        teacher.here.get_by_role("button", name="Bring in a file").click()
    chooser.value.set_files(file)
    teacher.sees("New on the shelf: 2.")
    teacher.sees("Brats · Moss")
    assert not [fault for visitor in (teacher, fern, moss) for fault in visitor.faults]
