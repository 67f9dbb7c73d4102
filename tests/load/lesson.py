"""One student's and one teacher's browser, and what they do in a lesson."""

from __future__ import annotations

import asyncio
import json
import random
import re
import time
from dataclasses import dataclass, field
from typing import Any

WAIT_MS = 15_000  # after which a page counts as dead and is loaded again
TITLE = "The class"
ASPECT = "Meat source"
STATEMENTS = (
    "Mechanically separated chicken, water, modified food starch, salt, sodium nitrite.",
    "Pork, beef, water, salt, dextrose, spices, sodium erythorbate, sodium nitrite. In natural sheep casing.",
    "Pork (72%), water, rusk (wheat), salt, spices, preservative: sodium metabisulphite.",
    "Turkey, water, isolated soy protein, corn syrup solids, salt, sodium phosphate, sodium nitrite.",
)
PANEL = "Serving size 1 link (45g) Calories 130 Total Fat 11g Sodium 480mg Total Carbohydrate 3g Protein 5g"
# Notes when each pack is first seen on the board.
WATCHED = """() => {
  window.firstSeen = {};
  const board = document.querySelector('.board');
  const look = () => { for (const name of board.textContent.match(/Pack-\\d+-\\d+-/g) || [])
    if (!(name in window.firstSeen)) window.firstSeen[name] = Date.now(); };
  new MutationObserver(look).observe(board, { childList: true, characterData: true, subtree: true });
}"""


@dataclass
class Record:
    """What the pages of a lesson were told had been done, and how long it took, in seconds."""

    joins: list[float] = field(default_factory=list)
    adds: list[float] = field(default_factory=list)
    readings: list[float] = field(default_factory=list)
    added: dict[str, float] = field(default_factory=dict)  # name of a pack → when the student pressed, ms since 1970
    guessed: dict[str, float] = field(default_factory=dict)  # name of a pack → the place that was guessed
    killed: int = 0
    came_back: int = 0


class Student:
    """A phone with one seat. Whatever happens to its kernel, it goes on: reloads, looks whether its pack is there."""

    def __init__(self, browser: Any, address: str, number: int, record: Record) -> None:
        self.browser, self.address, self.number, self.record = browser, address, number, record
        self.chance = random.Random(number)
        self.page: Any = None

    async def come(self, code: str, within_s: float) -> None:
        """Open the page and join, some time within so many seconds."""
        await asyncio.sleep(self.chance.uniform(0, within_s))
        context = await self.browser.new_context(viewport={"width": 390, "height": 800})
        context.set_default_timeout(300_000)
        self.page = await context.new_page()
        start = time.perf_counter()
        await self._enter()
        await self.page.get_by_label("Code of the class").fill(code)
        await self.page.get_by_label("Nickname (optional)").fill(f"Nick{self.number}")
        await self.page.get_by_role("button", name="Join", exact=True).click()
        await self._add_button().wait_for(timeout=300_000)
        self.record.joins.append(time.perf_counter() - start)

    async def _enter(self) -> None:
        await self.page.goto(self.address, timeout=300_000)
        await self.page.get_by_role("button", name="A class").click(timeout=300_000)

    async def _come_back(self) -> None:
        await self._enter()
        await self.page.get_by_role("button", name=TITLE, exact=True).click(timeout=300_000)
        await self.page.locator(".seat").wait_for(timeout=300_000)
        self.record.came_back += 1

    def _add_button(self) -> Any:
        return self.page.get_by_role("button", name="Add it to the class", exact=True)

    async def bring(self, count: int, pace_s: float) -> None:
        """Add, guess and read `count` packs, thinking for about `pace_s` seconds before each."""
        for turn in range(count):
            await asyncio.sleep(pace_s * self.chance.uniform(0.5, 1.5))
            name = f"Pack-{self.number}-{turn}-"
            while True:
                try:
                    await self._one(name)
                    break
                except Exception as error:  # the kernel was killed, or took too long
                    if "Timeout" not in type(error).__name__:
                        raise
                    await self._come_back()

    async def _one(self, name: str) -> None:
        if not await self._there(name):
            await self._add(name)
        if name not in self.record.guessed:
            await self._guess(name)

    async def _there(self, name: str) -> bool:
        listed = self.page.get_by_label("The last one added")
        return name in (await listed.text_content(timeout=WAIT_MS) or "")

    async def _add(self, name: str) -> None:
        page = self.page.locator(".classroom")
        if not await self._add_button().is_visible():
            await page.get_by_role("button", name="Add another pack", exact=True).click(timeout=WAIT_MS)
        form = page.locator(".seat .inputs:visible").first
        await form.get_by_label("Label text").fill(self.chance.choice(STATEMENTS), timeout=WAIT_MS)
        await form.get_by_label("Nutrition panel").fill(PANEL, timeout=WAIT_MS)
        await form.get_by_label("Name on the front").fill(name, timeout=WAIT_MS)
        begun, start = time.time() * 1000, time.perf_counter()
        await self._add_button().click(timeout=WAIT_MS)
        await page.get_by_role("heading", name=re.compile(name)).wait_for(timeout=WAIT_MS)
        self.record.adds.append(time.perf_counter() - start)
        self.record.added[name] = begun

    async def _guess(self, name: str) -> None:
        page = self.page.locator(".classroom")
        heading = page.get_by_role("heading", name=re.compile(name))
        if not await heading.is_visible():
            listed = page.get_by_label("The last one added")
            options = await listed.locator("option").all_text_contents()
            await listed.select_option(index=next(k for k, text in enumerate(options) if name in text))
            await page.get_by_role("button", name="Open this pack").click(timeout=WAIT_MS)
            await heading.wait_for(timeout=WAIT_MS)
        self.record.added.setdefault(name, 0.0)
        place = self.chance.randint(0, 20) / 2
        if await page.get_by_label(f"{ASPECT}: your guess").is_visible():
            await page.get_by_label(f"{ASPECT}: your guess").select_option(label=f"{place:g}", timeout=WAIT_MS)
            start = time.perf_counter()
            await page.get_by_role("button", name="Show the reading", exact=True).click(timeout=WAIT_MS)
            await page.get_by_text("You guessed").first.wait_for(timeout=WAIT_MS)
            self.record.readings.append(time.perf_counter() - start)
            self.record.guessed[name] = place
        else:  # it was shown just before the kernel went; whatever was guessed then stands
            self.record.guessed[name] = -1.0

    async def kernel(self) -> str:
        """The id of the kernel behind the page."""
        setup = await self.page.locator("#jupyter-config-data").text_content()
        return str(json.loads(setup)["kernelId"])


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
