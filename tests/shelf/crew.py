"""A lesson at its worst: thirty writers in three classes, killed at random and started again, and a board for each class.

`python -m tests.shelf.crew FOLDER KILLS` runs it and leaves in FOLDER what every writer was told had been kept
(`NUMBER.log`: id, seconds, whether it is a repetition) and what every board saw (`board-CLASS.log`). A program of its
own, because it forks: nothing but the shelf may be loaded then. `test_crew.py` looks at what is left.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.process import BaseProcess
from pathlib import Path

from ui.shelf.classes import join, open_class
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.guesses import guess
from ui.shelf.keys import new_key
from ui.shelf.packs import add, counter, look
from ui.shelf.values import Texts

WRITERS, CLASSES, EACH = 30, 3, 70  # 2,100 writes
AGAIN = 3  # confirmed writes that a writer who was killed repeats, as one who cannot be sure would
PROCESSES = get_context("fork")


def write_id(writer: int, k: int) -> str:
    return f"w{writer}-{k}"


def is_guess(k: int) -> bool:
    return k % 3 == 2  # about the pack two before


def statement(writer: int, k: int) -> str:
    return f"Class {writer % CLASSES}: pork, water, salt, writer {writer}, pack {k}. " + "Spices, dextrose. " * 40


def write(path: Path, log: Path, writer: int, key: str, code: str) -> None:
    """Do all writes of one student, going on where the log ends."""
    told = len({line.split()[0] for line in log.read_text().splitlines()}) if log.exists() else 0
    file = open_file(path)
    join(file, key, code, f"Student {writer}", at=1)
    with log.open("ab", buffering=0) as out:
        for k in range(max(0, told - AGAIN), EACH):
            begun = time.monotonic()
            if is_guess(k):
                guess(file, key, write_id(writer, k), write_id(writer, k - 2), {"casing": (writer % 11, str(k))}, at=k)
            else:
                add(file, key, write_id(writer, k), Texts(statement=statement(writer, k)), at=k)
            took = time.monotonic() - begun
            out.write(f"{write_id(writer, k)} {took:.4f} {int(k < told)}\n".encode())


def watch(path: Path, log: Path, school_class: int, key: str) -> None:
    """A board: asks whether there is anything new, and looks if so."""
    file, seen = open_file(path), -1
    with log.open("ab", buffering=0) as out:
        while True:
            begun = time.monotonic()
            now = counter(file, key)
            asked = time.monotonic() - begun
            if now != seen:
                shelf = look(file, key)
                others = sum(not p.statement.startswith(f"Class {school_class}:") for p in shelf.packs)
                row = {"count": shelf.count, "packs": len(shelf.packs), "others": others, "asked": asked}
                out.write(f"{json.dumps(row)}\n".encode())
            seen = now
            time.sleep(0.2)


def start(target: Callable[..., None], *given: object) -> BaseProcess:
    process = PROCESSES.Process(target=target, args=given)
    process.start()
    return process


def run(folder: Path, kills: int) -> None:
    path = folder / "shelf.db"
    teachers, keys = [new_key() for _ in range(CLASSES)], [new_key() for _ in range(WRITERS)]
    file: ShelfFile = open_file(path)
    codes = [open_class(file, key, f"Class {k}", at=0) for k, key in enumerate(teachers)]
    (folder / "keys.json").write_text(json.dumps({"teachers": teachers, "students": keys}))
    boards = [start(watch, path, folder / f"board-{c}.log", c, teachers[c]) for c in range(CLASSES)]

    def writer(n: int) -> BaseProcess:
        return start(write, path, folder / f"{n}.log", n, keys[n], codes[n % CLASSES])

    def written() -> int:
        return sum(log.read_bytes().count(b"\n") for log in folder.glob("[0-9]*.log"))

    crew = {n: writer(n) for n in range(WRITERS)}
    chance, killed = random.Random(5), 0
    while live := [n for n, process in crew.items() if process.exitcode is None]:
        time.sleep(chance.uniform(0.002, 0.02))  # so that it happens anywhere within a write
        victim = chance.choice(live)
        due = killed < kills and written() >= WRITERS * EACH * killed // kills  # all over the run, slow or fast
        if due and crew[victim].is_alive():
            os.kill(crew[victim].pid or 0, signal.SIGKILL)
            crew[victim].join()
            killed += crew[victim].exitcode == -signal.SIGKILL
            crew[victim] = writer(victim)
    time.sleep(0.5)  # one more look of the boards
    alive = [board.is_alive() for board in boards]
    for board in boards:
        board.kill()
        board.join()
    exits = [process.exitcode for process in crew.values()]
    (folder / "end.json").write_text(json.dumps({"exits": exits, "killed": killed, "boards_alive": alive}))


if __name__ == "__main__":
    run(Path(sys.argv[1]), int(sys.argv[2]))
