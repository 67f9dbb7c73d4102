"""Thirty students and a teacher on a real server: what is lost, what is doubled, how long it takes.

    python -m tests.load                 # 30 students, 4 packs each at the pace of a lesson
    python -m tests.load --packs 23 --pace 85 --kills 25   # a lesson of 35 minutes: 2,070 writes, kernels killed meanwhile
    python -m tests.load --packs 3 --held 600              # the end of such a lesson, in a few minutes

Each pack is three writes: added, guessed, shown. The teacher's board stands in a real browser (Chromium). So do the pages
of as many students as `--browsers` says; the others speak to their kernels as a browser does, since in a class the pages
run on phones, not on the machine that serves them. Ends with 1 if anything was lost, doubled or seen by
another class; times are printed and judged by whoever reads them, since machines are noisy.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import shutil
import signal
import sqlite3
import statistics
import sys
import tempfile
from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Any

from ui.shelf.classes import join
from ui.shelf.clock import now
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.guesses import guess
from ui.shelf.keys import new_id, new_key
from ui.shelf.packs import add
from ui.shelf.values import Texts

from tests.browser.conftest import processes_of, serving
from tests.load.browsers import BrowserStudent, Teacher
from tests.load.lesson import PANEL, STATEMENTS, TITLE, Record, Student
from tests.load.phones import WireStudent

CONFIG = "notebooks/ui/serving/classroom"
SHELF = "shelf.sqlite3"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.load", description=__doc__.splitlines()[0])
    parser.add_argument("--students", type=int, default=30)
    parser.add_argument("--browsers", type=int, default=2, help="how many of them have a real browser")
    parser.add_argument("--packs", type=int, default=4, help="of each student")
    parser.add_argument("--pace", type=float, default=30.0, help="seconds a student thinks before each pack")
    parser.add_argument("--arrive", type=float, default=90.0, help="seconds over which the students come in")
    parser.add_argument("--kills", type=int, default=0, help="kernels killed at random meanwhile")
    parser.add_argument("--held", type=int, default=0, help="packs that are on the shelf before, as late in a lesson")
    parser.add_argument("--picture", type=Path, help="where a picture of the board at the end goes (PNG)")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, serving("label_reader.ipynb", Path(folder), CONFIG) as address:
        record, seen, others = asyncio.run(_lesson(address, asked, Path(folder) / SHELF))
        return _judge(Path(folder) / SHELF, record, seen, others)


async def _lesson(address: str, asked: argparse.Namespace, file: Path) -> tuple[Record, dict[str, float], str]:
    from playwright.async_api import async_playwright

    record = Record()
    async with async_playwright() as tools:
        browser = await tools.chromium.launch(executable_path=_yielding_browser(), args=["--no-sandbox"])
        teacher, other = Teacher(browser, address), Teacher(browser, address)
        code = await teacher.open(TITLE)
        await other.open("Another class")
        _fill(open_file(file), code, asked.held, record)
        students: list[Student] = [
            BrowserStudent(browser, address, n, record) if n < asked.browsers else WireStudent(address, n, record)
            for n in range(asked.students)
        ]
        await asyncio.gather(*(student.come(code, asked.arrive) for student in students))
        print(f"joined: {told(record.joins)} s", flush=True)
        killing = asyncio.create_task(_kill(students, asked.kills, asked.packs * asked.pace, record))
        await asyncio.gather(*(student.bring(asked.packs, asked.pace) for student in students))
        killing.cancel()
        await asyncio.sleep(4)
        seen, others = await teacher.seen(), await other.page.locator(".board").inner_text()
        if asked.picture:
            await teacher.page.screenshot(path=asked.picture, full_page=True)
        await browser.close()
    return record, seen, others


def _fill(file: ShelfFile, code: str, count: int, record: Record) -> None:
    """Put packs on the shelf of a class, as a student who was there before everybody, with a guess for each."""
    key = new_key()
    join(file, key, code, "Early", now())
    for number in range(count):
        name, pack = f"Held-{number}-", new_id()
        add(file, key, pack, Texts(statement=STATEMENTS[number % len(STATEMENTS)], panel=PANEL, name=name), now())
        guess(file, key, new_id(), pack, {"meat_source": (number % 21 / 2, "")}, now())
        record.added[name], record.guessed[name] = 0.0, number % 21 / 2


def _yielding_browser() -> str:
    """Chromium at a lower priority: in a class the pages run on phones, not on the machine that serves them."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        raise SystemExit("No Chromium was found; install Debian's package chromium.")
    script = Path(tempfile.mkdtemp()) / "browser"
    script.write_text(f'#!/bin/sh\nexec nice -n 10 {found} "$@"\n', encoding="utf-8")
    script.chmod(0o700)
    return str(script)


async def _kill(students: list[Student], kills: int, within_s: float, record: Record) -> None:
    """Kill kernels of students at random moments of a lesson of so many seconds."""
    chance = random.Random(7)
    for _ in range(kills):
        await asyncio.sleep(chance.uniform(0.5, 1.3) * within_s / kills)
        try:
            kernel = await chance.choice(students).kernel()
        except Exception:  # the page is being loaded anew just now
            continue
        for process in processes_of(kernel):
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGKILL)
                record.killed += 1


def _judge(file: Path, record: Record, seen: dict[str, float], others: str) -> int:
    """Compare what the pages were told with what the file holds."""
    with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as db:
        packs = Counter(name for (name,) in db.execute("SELECT name FROM pack"))
        places = dict(db.execute("SELECT pack.name, place FROM guess JOIN pack ON guess.pack = pack.id"))
        shown = db.execute("SELECT COUNT(*) FROM seen").fetchone()[0]
        writers = db.execute("SELECT COUNT(*) FROM writer").fetchone()[0]
    writes = writers + sum(packs.values()) + len(places) + shown
    faults: dict[str, Any] = {
        "lost": sorted(record.added.keys() - packs.keys()),
        "doubled": sorted(name for name, count in packs.items() if count > 1),
        "unasked": sorted(packs.keys() - record.added.keys()),
        "guess lost or changed": sorted(
            n for n, place in record.guessed.items() if place >= 0 and places.get(n) != place
        ),
        "seen by another class": [name for name in packs if name in others],
    }
    board = [(seen[name] - begun) / 1000 for name, begun in record.added.items() if begun and name in seen]
    print(
        f"{writes} writes, {sum(packs.values())} packs; {record.killed} kernels killed, {record.came_back} pages reloaded"
    )
    print(f"press to confirmed: {told(record.adds)} s")
    print(f"press to the board: {told(board)} s ({len(record.added) - len(board)} packs without a time)")
    print(f"guess to reading:   {told(record.readings)} s")
    for what, names in faults.items():
        print(f"{what}: {', '.join(names) or 'none'}")
    return int(any(faults.values()))


def told(times: list[float]) -> str:
    """Median, 95th percentile and most."""
    if len(times) < 2:
        return str(times)
    return (
        f"median {statistics.median(times):.2f}, p95 {statistics.quantiles(times, n=20)[-1]:.2f}, most {max(times):.2f}"
    )


if __name__ == "__main__":
    sys.exit(main())
