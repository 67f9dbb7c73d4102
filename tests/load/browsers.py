"""Real browsers in a class: students' phones and the teacher's projector."""

from __future__ import annotations

import json
import re
from typing import Any

from tests.load.lesson import ASPECT, FIRST_S, NO_PACKS, PANEL, TITLE, WAIT_S, Record, Student

WAIT_MS = WAIT_S * 1000
# Notes when each pack is first seen on the board.
WATCHED = """() => {
  window.firstSeen = {};
  const board = document.querySelector('.board');
  const look = () => { for (const name of board.textContent.match(/Pack-\\d+-\\d+-/g) || [])
    if (!(name in window.firstSeen)) window.firstSeen[name] = Date.now(); };
  new MutationObserver(look).observe(board, { childList: true, characterData: true, subtree: true });
}"""


class BrowserStudent(Student):
    """A phone with a real browser."""

    def __init__(self, browser: Any, address: str, number: int, record: Record) -> None:
        super().__init__(address, number, record)
        self.browser = browser
        self.page: Any = None

    async def _join(self, code: str, nickname: str) -> None:
        context = await self.browser.new_context(viewport={"width": 390, "height": 800})
        context.set_default_timeout(300_000)
        self.page = await context.new_page()
        await self._enter()
        await self.page.get_by_label("Code of the class").fill(code)
        await self.page.get_by_label("Nickname (optional)").fill(nickname)
        await self.page.get_by_role("button", name="Join", exact=True).click()
        await self._add_button().wait_for(timeout=300_000)

    async def _enter(self, within_ms: float = 300_000) -> None:
        await self.page.goto(self.address, timeout=300_000)
        await self.page.get_by_role("button", name="A class").click(timeout=within_ms)

    async def _come_back(self) -> None:
        await self._enter(FIRST_S * 1000)
        await self.page.get_by_role("button", name=TITLE, exact=True).click(timeout=FIRST_S * 1000)
        told = self._button("Open this pack").or_(self.page.get_by_text(NO_PACKS)).first
        await told.wait_for(timeout=FIRST_S * 1000)

    def _add_button(self) -> Any:
        return self.page.get_by_role("button", name="Add it to the class", exact=True)

    def _button(self, name: str) -> Any:
        return self.page.locator(".classroom").get_by_role("button", name=name, exact=True)

    def _heading(self, name: str) -> Any:
        return self.page.locator(".classroom").get_by_role("heading", name=re.compile(name))

    async def _there(self, name: str) -> bool:
        return name in (await self.page.get_by_label("The last one added").text_content(timeout=WAIT_MS) or "")

    async def _write(self, name: str, statement: str) -> None:
        if not await self._add_button().is_visible():
            await self._button("Add another pack").click(timeout=WAIT_MS)
        form = self.page.locator(".classroom .seat .inputs:visible").first
        await form.get_by_label("Label text").fill(statement, timeout=WAIT_MS)
        await form.get_by_label("Nutrition panel").fill(PANEL, timeout=WAIT_MS)
        await form.get_by_label("Name on the front").fill(name, timeout=WAIT_MS)

    async def _add(self, name: str) -> None:
        await self._add_button().click(timeout=WAIT_MS)
        await self._heading(name).wait_for(timeout=WAIT_MS)

    async def _show(self, name: str) -> None:
        if not await self._heading(name).is_visible():
            listed = self.page.get_by_label("The last one added")
            options = await listed.locator("option").all_text_contents()
            await listed.select_option(index=next(k for k, text in enumerate(options) if name in text))
            await self._button("Open this pack").click(timeout=WAIT_MS)
            await self._heading(name).wait_for(timeout=WAIT_MS)

    async def _guess(self, place: float) -> bool:
        scale = self.page.locator(".classroom").get_by_label(f"{ASPECT}: your guess")
        await scale.or_(self.page.locator(".seat .results:visible")).first.wait_for(timeout=WAIT_MS)
        if not await scale.is_visible():
            return False
        await scale.select_option(label=f"{place:g}", timeout=WAIT_MS)
        return True

    async def _read(self) -> None:
        await self._button("Show the reading").click(timeout=WAIT_MS)
        await self.page.locator(".classroom").get_by_text("You guessed").first.wait_for(timeout=WAIT_MS)

    async def kernel(self) -> str:
        """The id of the kernel behind the page."""
        setup = await self.page.locator("#jupyter-config-data").text_content(timeout=WAIT_MS)
        return str(json.loads(setup)["kernelId"])

    def _means_dead(self, error: Exception) -> bool:
        return "Timeout" in type(error).__name__


class Teacher:
    """The projector."""

    def __init__(self, browser: Any, address: str) -> None:
        self.browser, self.address = browser, address
        self.page: Any = None

    async def open(self, title: str) -> str:
        """Open a class; its code comes back."""
        context = await self.browser.new_context(viewport={"width": 1920, "height": 1080})
        self.page = await context.new_page()
        await self.page.goto(self.address, timeout=300_000)
        await self.page.get_by_role("button", name="A class").click(timeout=300_000)
        await self.page.get_by_label("What the class is called").fill(title)
        await self.page.get_by_role("button", name="Open a class", exact=True).click()
        code = self.page.locator(".code")
        await code.wait_for(timeout=300_000)
        await self.page.evaluate(WATCHED)
        return str(await code.inner_text())

    async def seen(self) -> dict[str, float]:
        """When each pack was first on the board, ms since 1970."""
        return dict(await self.page.evaluate("window.firstSeen"))
