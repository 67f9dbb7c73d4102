"""What a student does in a lesson, with whatever page, and what is noted of it."""

from __future__ import annotations

import asyncio
import random
import time
from abc import ABC, abstractmethod
from dataclasses import dataclass, field

WAIT_S = 15.0  # after which a page counts as dead and is loaded again
FIRST_S = (
    60.0  # after which a page that stays empty is loaded again: its kernel may have been killed before it was there
)
TITLE = "The class"
ASPECT = "Meat source"
NO_PACKS = "No pack is on the shelf yet."
STATEMENTS = (
    "Mechanically separated chicken, water, modified food starch, salt, sodium nitrite.",
    "Pork, beef, water, salt, dextrose, spices, sodium erythorbate, sodium nitrite. In natural sheep casing.",
    "Pork (72%), water, rusk (wheat), salt, spices, preservative: sodium metabisulphite.",
    "Turkey, water, isolated soy protein, corn syrup solids, salt, sodium phosphate, sodium nitrite.",
)
PANEL = "Serving size 1 link (45g) Calories 130 Total Fat 11g Sodium 480mg Total Carbohydrate 3g Protein 5g"


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


class Student(ABC):
    """A phone with one seat. Whatever happens to its kernel, it goes on: reloads, looks whether its pack is there."""

    def __init__(self, address: str, number: int, record: Record) -> None:
        self.address, self.number, self.record = address, number, record
        self.chance = random.Random(number)

    async def come(self, code: str, within_s: float) -> None:
        """Open the page and join, some time within so many seconds."""
        await asyncio.sleep(self.chance.uniform(0, within_s))
        start = time.perf_counter()
        await self._join(code, f"Nick{self.number}")
        self.record.joins.append(time.perf_counter() - start)

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
                    if not self._means_dead(error):
                        raise
                    await self._again()

    async def _one(self, name: str) -> None:
        if not await self._there(name):
            await self._write(name, self.chance.choice(STATEMENTS))
            begun, start = time.time() * 1000, time.perf_counter()
            await self._add(name)
            self.record.adds.append(time.perf_counter() - start)
            self.record.added[name] = begun
        self.record.added.setdefault(name, 0.0)  # it got there, though nobody said so
        if name not in self.record.guessed:
            await self._show(name)
            place = self.chance.randint(0, 20) / 2
            if await self._guess(place):
                start = time.perf_counter()
                await self._read()
                self.record.readings.append(time.perf_counter() - start)
            else:  # it was shown just before the kernel went; whatever was guessed then stands
                place = -1.0
            self.record.guessed[name] = place

    async def _again(self) -> None:
        """Load the page anew, as often as it takes."""
        while True:
            try:
                await self._come_back()
            except Exception as error:
                if not self._means_dead(error):
                    raise
            else:
                self.record.came_back += 1
                return

    @abstractmethod
    async def _join(self, code: str, nickname: str) -> None:
        """Open the page and join the class."""

    @abstractmethod
    async def _come_back(self) -> None:
        """Load the page anew and go to the class."""

    @abstractmethod
    async def _there(self, name: str) -> bool:
        """Whether the pack is on the list."""

    @abstractmethod
    async def _write(self, name: str, statement: str) -> None:
        """Fill the form of a new pack."""

    @abstractmethod
    async def _add(self, name: str) -> None:
        """Add what the form holds, and wait until the page says so."""

    @abstractmethod
    async def _show(self, name: str) -> None:
        """Open a pack, if it is not open."""

    @abstractmethod
    async def _guess(self, place: float) -> bool:
        """Guess where the pack is on the scale of ASPECT; false if its reading is shown already."""

    @abstractmethod
    async def _read(self) -> None:
        """Have the reading shown, and wait for it."""

    @abstractmethod
    async def kernel(self) -> str:
        """The id of the kernel behind the page."""

    @abstractmethod
    def _means_dead(self, error: Exception) -> bool:
        """Whether an error is that of a page whose kernel is gone."""
