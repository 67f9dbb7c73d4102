"""Screening in bulk: the same end in any order, on any number of workers, however often it breaks off."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from reader.catalogue.reading import open_catalogue
from reader.catalogue.trouble import TableError
from reader.house.specification import from_yaml, ready
from reader.house.values import ASK, Specification
from reader.screening import pool
from reader.screening.journal import Journal
from reader.screening.rows import line_of, row_from
from reader.screening.run import screen
from reader.screening.screen import screened
from reader.screening.values import Progress, Screened, Screening, Terms
from reader.screening.work import work
from tests.screening.lists import HEADER, write_list

ROWS = 80
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def house() -> Specification:
    return from_yaml(next(iter(ready().values())))


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_list(tmp_path_factory.mktemp("lists") / "list.csv", ROWS)


@pytest.fixture(scope="module")
def whole(listed: Path, house: Specification, tmp_path_factory: pytest.TempPathFactory) -> Screening:
    journal = tmp_path_factory.mktemp("whole") / "list.part"
    return screen(open_catalogue([listed]), house, journal=journal, depth="possible")


def same(one: Screening, other: Screening) -> bool:
    """Whether two screenings hold the same, wherever their journals lie."""
    return list(one.by_standing()) == list(other.by_standing()) and replace(one, journal=other.journal) == other


def test_every_row_comes_out_with_its_cells(whole: Screening) -> None:
    rows = [row for _, row in whole.in_order()]
    assert [row.number for row in rows] == list(range(1, ROWS + 1))
    assert all(tuple(name for name, _ in row.cells) == HEADER for row in rows)
    assert whole.finished
    assert {row.number for row in rows if not row.read} == {20, 40, 80}  # nothing there; a market nobody knows
    assert whole.failed == 3
    for row in rows:
        assert row.read or row.problems
        assert len(row.verdicts) == (len(whole.specification.requirements) if row.read else 0)


def test_what_cannot_be_read_is_asked_for(whole: Screening) -> None:
    rows = {row.number: placed for placed, row in whole.in_order()}
    assert rows[20].tally.standing == ASK
    assert rows[40].tally.standing == ASK


def test_a_row_depends_on_nothing_but_itself(listed: Path, house: Specification, whole: Screening) -> None:
    entries = list(open_catalogue([listed]).entries())
    random.Random(3).shuffle(entries)
    terms = Terms(house, "possible", "US")
    rows = {row.number: row for row in (screened(entry, terms) for entry in entries[:30])}
    expected = {row.number: row for _, row in whole.in_order()}
    assert all(expected[number] == row for number, row in rows.items())


def test_a_line_keeps_a_row_whole(whole: Screening) -> None:
    for _, row in whole.in_order():
        assert row_from(line_of(row).body) == row


@pytest.mark.parametrize("workers", [1, 2])
def test_any_number_of_workers_comes_to_the_same(
    workers: int, listed: Path, house: Specification, whole: Screening, tmp_path: Path
) -> None:
    found = screen(open_catalogue([listed]), house, journal=tmp_path / "j", depth="possible", workers=workers)
    assert same(found, whole)


def test_what_is_drawn_is_the_same_in_every_process(house: Specification, tmp_path: Path) -> None:
    listed = open_catalogue([write_list(tmp_path / "few.csv", 9)])
    alone = screen(listed, house, journal=tmp_path / "alone", depth="likely")
    assert any(row.figure("meat_likely_low") is not None for _, row in alone.in_order())
    assert same(screen(listed, house, journal=tmp_path / "pool", depth="likely", workers=2), alone)


def test_a_stopped_run_goes_on_and_redoes_nothing(
    listed: Path, house: Specification, whole: Screening, tmp_path: Path
) -> None:
    stop, done = threading.Event(), []

    def tell(progress: Progress) -> None:
        done.append(progress.done)
        if progress.done >= 24:
            stop.set()

    asked: dict[str, Any] = {"journal": tmp_path / "j", "depth": "possible"}
    part = screen(open_catalogue([listed]), house, stop=stop, tell=tell, **asked)
    assert not part.finished
    assert 24 <= part.count < ROWS
    begun: list[int] = []
    found = screen(open_catalogue([listed]), house, tell=lambda p: begun.append(p.done), **asked)
    assert begun[0] == part.count
    assert same(found, whole)


def test_another_specification_begins_anew(listed: Path, house: Specification, tmp_path: Path) -> None:
    asked: dict[str, Any] = {"journal": tmp_path / "j", "depth": "order"}
    screen(open_catalogue([listed]), house, **asked)
    begun: list[int] = []
    fewer = Specification(house.title, house.requirements[:2])
    found = screen(open_catalogue([listed]), fewer, tell=lambda p: begun.append(p.done), **asked)
    assert begun[0] == 0
    assert all(len(row.verdicts) == 2 for _, row in found.in_order() if row.read)


def test_a_killed_run_loses_nothing_that_was_put_down(tmp_path: Path) -> None:
    rows = 40
    listed = write_list(tmp_path / "list.csv", rows)
    out = tmp_path / "out.csv"
    journal = tmp_path / "out.csv.part"
    houses = list(ready())
    command = [sys.executable, "-m", "reader", "screen", str(listed), "--house", houses[0], "-o", str(out)]
    command += ["--depth", "likely", "--workers", "2", "--keep-journal", "--quiet"]
    run = subprocess.Popen(command, cwd=ROOT, start_new_session=True)
    there = 0
    deadline = time.monotonic() + 60
    while there < 8 and run.poll() is None and time.monotonic() < deadline:
        time.sleep(0.05)
        if journal.exists():
            try:
                there = len(Journal(journal).done())
            except (sqlite3.Error, TableError):
                continue
    os.killpg(run.pid, signal.SIGKILL)
    run.wait()
    assert 8 <= there < rows, "it was to be killed half way"
    kept = {row.number: row for row in Journal(journal).rows()}
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    after = {row.number: row for row in Journal(journal).rows()}
    assert len(after) == rows
    assert all(after[number] == row for number, row in kept.items())
    assert len(out.read_text(encoding="utf-8-sig").splitlines()) > rows


def fatal(entries: Any, terms: Terms) -> Any:
    """Work that one row ends the process of."""
    if any(entry.code == "A00003" for entry in entries):
        os._exit(1)
    return work(entries, terms)


def test_a_row_that_kills_its_worker_is_told_and_the_rest_goes_on(
    listed: Path, house: Specification, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pool, "work", fatal)
    entries = list(open_catalogue([listed]).entries())[:12]
    partitions: Iterator[Any] = iter([entries[:4], entries[4:8], entries[8:]])
    lines = [line for lines in pool.run(partitions, Terms(house, "order", "US"), 2) for line in lines]
    rows: dict[int, Screened] = {line.number: row_from(line.body) for line in lines}
    assert sorted(rows) == list(range(1, 13))
    assert "ended the process" in rows[4].problems[-1]
    assert all(rows[number].read for number in rows if number != 4)


def test_a_foreign_file_is_no_journal(listed: Path, house: Specification, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear supplier, " * 60, encoding="utf-8")
    with pytest.raises(TableError, match=r"cannot be used|belongs to something else"):
        screen(open_catalogue([listed]), house, journal=letter, depth="order")
    assert letter.read_text(encoding="utf-8").startswith("Dear supplier")
    other = tmp_path / "other.sqlite3"
    with sqlite3.connect(other) as db:
        db.execute("CREATE TABLE theirs (x)")
    db.close()
    with pytest.raises(TableError, match="belongs to something else"):
        screen(open_catalogue([listed]), house, journal=other, depth="order")
