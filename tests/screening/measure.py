"""How long a list takes and what memory: `python -m tests.screening.measure ROWS DEPTH WORKERS`.

Prints wall and processor seconds of the screening, the most memory of all its processes together, and how long a
loop of this interpreter takes on this machine at that time, by which runs on other machines or hours can be compared.
"""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
import threading
import time
from pathlib import Path

from reader.catalogue.reading import open_catalogue
from reader.house.specification import from_yaml, ready
from reader.screening.run import screen
from reader.screening.values import Progress
from tests.screening.lists import write_list

DISTINCT = 2000  # labels; a longer list holds them again under other names


def main(rows: int, depth: str, workers: int) -> None:
    house = from_yaml(ready()["value_shelf"])
    with tempfile.TemporaryDirectory() as folder:
        source = write_list(Path(folder) / "list.csv", rows, distinct=DISTINCT)
        begun, before, counted = time.monotonic(), cpu(), 0.0

        def tell(progress: Progress) -> None:
            nonlocal counted
            counted = counted or time.monotonic() - begun

        with most_memory() as most:
            found = screen(
                open_catalogue([source]), house, journal=Path(folder) / "j", depth=depth, workers=workers, tell=tell
            )
        wall, spent = time.monotonic() - begun, cpu() - before
        size = (Path(folder) / "j").stat().st_size / 1e6
    print(
        f"{found.count:,} rows, {found.failed:,} not read, depth {depth}, {workers} workers: "
        f"{wall:.1f} s ({counted:.1f} s of them counting and doubles), {spent:.1f} processor seconds "
        f"({1000 * spent / rows:.2f} ms a row); at most {most[0]:.0f} MB, {most[1]:.0f} MB where pages that are shared "
        f"count once; journal {size:.0f} MB; the loop takes {loop():.2f} s"
    )


def cpu() -> float:
    """Processor seconds of this process and those of its children that have ended."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def loop() -> float:
    """Processor seconds of five million steps of plain arithmetic."""
    begun, total = time.process_time(), 0
    for k in range(5_000_000):
        total += k * k % 7
    return time.process_time() - begun


@contextlib.contextmanager
def most_memory():  # type: ignore[no-untyped-def]
    """The most megabytes of this process and its children: the sum of all, and with what they share counted once."""
    most, end = [0.0, 0.0], threading.Event()

    def watch() -> None:
        while not end.wait(0.25):
            now = [sum(sizes) / 1024 for sizes in zip(*map(memory, processes()), strict=True)]
            most[:] = map(max, most, now)

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        yield most
    finally:
        end.set()
        thread.join()


def processes() -> list[int]:
    found = [os.getpid()]
    for parent in found:
        for task in Path(f"/proc/{parent}/task").glob("*/children"):
            with contextlib.suppress(OSError):
                found += map(int, task.read_text().split())
    return found


def memory(process: int) -> tuple[int, int]:
    """Kilobytes in memory: all pages, and those shared with others divided among them (RSS and PSS)."""
    with contextlib.suppress(OSError):
        lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()[1:]
        sizes = {line.split(":")[0]: int(line.split()[1]) for line in lines}
        return sizes["Rss"], sizes["Pss"]
    return 0, 0


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
