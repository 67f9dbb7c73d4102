"""Students whose pages are kept over the wire, without browsers."""

from __future__ import annotations

from tests.load.lesson import ASPECT, FIRST_S, NO_PACKS, PANEL, TITLE, Record, Student
from tests.load.wire import DeadPageError, WirePage


class WireStudent(Student):
    """A phone that says what a browser would say."""

    def __init__(self, address: str, number: int, record: Record) -> None:
        super().__init__(address, number, record)
        self.keys: dict[str, str] = {}
        self.page = WirePage(address, self.keys)

    async def _join(self, code: str, nickname: str) -> None:
        page = await self._enter()
        await page.until(lambda: page.find("Code of the class"), FIRST_S)
        await page.put(page.find("Code of the class"), code)
        await page.put(page.find("Nickname (optional)"), nickname)
        await page.press(page.find("Join"))
        await page.until(lambda: page.find("Add it to the class"), FIRST_S)

    async def _enter(self) -> WirePage:
        self.page = page = WirePage(self.address, self.keys)
        await page.open("A class", FIRST_S)
        await page.press(page.find("A class"))
        return page

    async def _come_back(self) -> None:
        await self.page.close()
        page = await self._enter()
        await page.until(lambda: page.find(TITLE), FIRST_S)
        await page.press(page.find(TITLE))
        await page.until(lambda: page.find("Open this pack", "seat") or page.shows(NO_PACKS, "seat"), FIRST_S)

    def _listed(self) -> str | None:
        return self.page.find("The last one added", "seat")

    async def _there(self, name: str) -> bool:
        return any(name in label for label in self.page.labels(self._listed()))

    async def _write(self, name: str, statement: str) -> None:
        page = self.page
        if page.find("Add it to the class", "seat") is None:
            await page.press(page.find("Add another pack", "seat"))
            await page.until(lambda: page.find("Add it to the class", "seat"))
        for label, text in (("Label text", statement), ("Nutrition panel", PANEL), ("Name on the front", name)):
            await page.put(page.find(label, "seat"), text)

    async def _add(self, name: str) -> None:
        await self.page.press(self.page.find("Add it to the class", "seat"))
        await self.page.until(lambda: self._open(name))

    def _open(self, name: str) -> bool:
        return self.page.shows(f"<h3>{name}", "seat")

    async def _show(self, name: str) -> None:
        if not self._open(name):
            listed = self._listed()
            labels = self.page.labels(listed)
            await self.page.put(listed, next(k for k, label in enumerate(labels) if name in label), "index")
            await self.page.press(self.page.find("Open this pack", "seat"))
            await self.page.until(lambda: self._open(name))

    async def _guess(self, place: float) -> bool:
        called = f"{ASPECT}: your guess"
        await self.page.until(lambda: self.page.find(called, "seat") or self.page.seen("results", "seat"))
        scale = self.page.find(called, "seat")
        if scale is None:
            return False
        await self.page.put(scale, self.page.labels(scale).index(f"{place:g}"), "index")
        return True

    async def _read(self) -> None:
        await self.page.press(self.page.find("Show the reading", "seat"))
        gone = "Show the reading"
        await self.page.until(lambda: self.page.find(gone, "seat") is None and self.page.shows("You guessed", "seat"))

    async def kernel(self) -> str:
        """The id of the kernel behind the page."""
        return self.page.kernel

    def _means_dead(self, error: Exception) -> bool:
        return isinstance(error, DeadPageError | OSError)
