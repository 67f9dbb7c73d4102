"""What breaks under a screening: workers, pools, clusters, journals, the program that runs it. Nothing is lost."""

from __future__ import annotations

import contextlib
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from threading import Event
from types import SimpleNamespace
from typing import Any

import pytest

from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Entry
from reader.house.specification import from_yaml, ready
from reader.house.values import Specification
from reader.screening import cluster, pool, run
from reader.screening.journal import Journal
from reader.screening.rows import Line, row_from
from reader.screening.run import screen
from reader.screening.values import Terms
from reader.screening.work import work
from tests.catalogue.files import troubled
from tests.screening.lists import write_list
from tests.test_wording import faults

ROWS = 24
ROOT = Path(__file__).parents[2]
KILLER = "A00010"  # the code of a row that ends whatever reads it


@pytest.fixture(scope="module")
def house() -> Specification:
    return from_yaml(next(iter(ready().values())))


@pytest.fixture(scope="module")
def terms(house: Specification) -> Terms:
    return Terms(house, "order", "US")


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    return open_catalogue([write_list(tmp_path_factory.mktemp("lists") / "list.csv", ROWS)])


def partitions(catalogue: Catalogue, size: int = 4) -> Iterator[Sequence[Entry]]:
    entries = list(catalogue.entries())
    return iter([entries[k : k + size] for k in range(0, len(entries), size)])


# -- workers and pools ---------------------------------------------------------------------------------------


class Pool:
    """A pool of this process that breaks at the n-th piece of work, when it is given or while it is done."""

    made = 0

    def __init__(self, breaks_at: int, *, when_given: bool) -> None:
        self.left, self.when_given = breaks_at, when_given
        Pool.made += 1

    def submit(self, function: Any, *arguments: Any) -> Future[Any]:
        self.left -= 1
        future: Future[Any] = Future()
        if self.left > 0:
            future.set_result(function(*arguments))
        elif self.when_given:
            raise BrokenProcessPool
        else:
            future.set_exception(BrokenProcessPool())
        return future

    def shutdown(self, **_: object) -> None:
        pass


@pytest.mark.parametrize("when_given", [True, False])
@pytest.mark.parametrize("breaks_at", [1, 2, 4, 6])
def test_no_row_is_lost_or_done_twice_whenever_a_pool_breaks(
    breaks_at: int, when_given: bool, listed: Catalogue, terms: Terms, monkeypatch: pytest.MonkeyPatch
) -> None:
    pools = iter([Pool(breaks_at, when_given=when_given)])
    monkeypatch.setattr(pool, "_pool", lambda *_: next(pools, None) or Pool(1000, when_given=False))
    lines = [line for lines in pool.run(partitions(listed), terms, 2) for line in lines]
    assert sorted(line.number for line in lines) == list(range(1, ROWS + 1))


def test_a_worker_ends_with_the_program_that_made_it() -> None:
    program = (
        "import os, time\nfrom reader.screening import pool\n"
        "if __name__ == '__main__':\n"
        "    p = pool._pool(1, 'order')\n    print(p.submit(os.getpid).result(), flush=True)\n    time.sleep(600)\n"
    )
    with subprocess.Popen([sys.executable, "-c", program], cwd=ROOT, stdout=subprocess.PIPE, text=True) as parent:
        assert parent.stdout
        worker = int(parent.stdout.readline())
        assert alive(worker)
        parent.kill()
        deadline = time.monotonic() + 30
        while alive(worker) and time.monotonic() < deadline:
            time.sleep(0.1)
    assert not alive(worker)


def alive(process: int) -> bool:
    with contextlib.suppress(FileNotFoundError, ProcessLookupError):
        return "\nState:\tZ" not in Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    return False


# -- the cluster ---------------------------------------------------------------------------------------------


@pytest.fixture
def client() -> Iterator[Any]:
    distributed = pytest.importorskip("distributed")
    with distributed.Client(processes=False, n_workers=1, threads_per_worker=1, dashboard_address=":0") as found:
        yield found


def killing(entries: Sequence[Entry], terms: Terms) -> list[Line]:
    """Work that comes back as it does where one row has ended worker after worker."""
    import distributed

    if any(entry.code == KILLER for entry in entries):
        raise distributed.KilledWorker("work", SimpleNamespace(address="tcp://gone"), 3)
    return work(entries, terms)


def test_a_row_that_kills_workers_of_a_cluster_is_told_alone(
    client: Any, listed: Catalogue, terms: Terms, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "work", killing)
    lines = [line for lines in cluster.on_cluster(client)(partitions(listed), terms) for line in lines]
    rows = {line.number: row_from(line.body) for line in lines}
    assert len(lines) == len(rows) == ROWS
    killed = [row for row in rows.values() if row.problems and "ended the process" in row.problems[-1]]
    assert [row.code for row in killed] == [KILLER]


def test_a_cluster_that_goes_away_fails_no_row(
    client: Any, listed: Catalogue, house: Specification, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(run, "_LARGE_PARTITION", 2)
    asked: dict[str, Any] = {"journal": tmp_path / "j", "depth": "order"}
    with pytest.raises(TableError, match="could not do the work") as told:
        screen(
            listed, house, runner=cluster.on_cluster(client), tell=lambda p: client.close() if p.done >= 4 else None, **asked
        )  # fmt: skip
    assert faults(str(told.value)) == []
    kept = Journal(tmp_path / "j").done()
    assert 4 <= len(kept) < ROWS
    begun: list[int] = []
    after = screen(listed, house, tell=lambda p: begun.append(p.done), **asked)
    assert begun[0] == len(kept)
    assert list(after.by_standing()) == list(screen(listed, house, journal=tmp_path / "k", depth="order").by_standing())


def test_a_cluster_without_workers_is_told(listed: Catalogue, terms: Terms, monkeypatch: pytest.MonkeyPatch) -> None:
    distributed = pytest.importorskip("distributed")
    monkeypatch.setattr(cluster, "_PATIENCE", 0.3)
    with (
        distributed.Client(processes=False, n_workers=0, dashboard_address=":0") as bare,
        pytest.raises(TableError, match="has no worker"),
    ):
        list(cluster.on_cluster(bare)(partitions(listed), terms))


# -- the journal ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["{", "[]", '{"number": 3}', '{"number": 3, "verdicts": 4}'])
def test_a_damaged_line_is_told(body: str, listed: Catalogue, house: Specification, tmp_path: Path) -> None:
    found = screen(listed, house, journal=tmp_path / "j", depth="order")
    with sqlite3.connect(tmp_path / "j") as db:
        db.execute("UPDATE line SET body = ? WHERE number = 3", (body,))
    db.close()
    with pytest.raises(TableError, match="cannot be used"):
        list(found.in_order())


def test_a_journal_that_vanishes_is_told(listed: Catalogue, house: Specification, tmp_path: Path) -> None:
    found = screen(listed, house, journal=tmp_path / "j", depth="order")
    found.journal.remove()
    with pytest.raises(TableError, match="cannot be used"):
        list(found.by_standing())


def test_a_full_disk_is_told(
    listed: Catalogue, house: Specification, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Journal(tmp_path / "j")
    connect = sqlite3.connect

    def small(*arguments: Any, **more: Any) -> sqlite3.Connection:
        db = connect(*arguments, **more)
        db.execute("PRAGMA max_page_count = 12")
        return db

    monkeypatch.setattr(sqlite3, "connect", small)
    with pytest.raises(TableError, match="disk is full"):
        screen(listed, house, journal=tmp_path / "j", depth="order")


def test_another_edition_of_the_program_begins_anew(
    listed: Catalogue, house: Specification, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[int] = []
    for edition in ("one", "one", "another"):
        monkeypatch.setattr(run, "edition", lambda e=edition: e)
        told: list[int] = []
        screen(listed, house, journal=tmp_path / "j", depth="order", tell=lambda p, t=told: t.append(p.done))  # type: ignore[misc]
        begun.append(told[0])
    assert begun == [0, ROWS, 0]


def test_stopped_while_counting_nothing_is_told_and_nothing_lost(
    listed: Catalogue, house: Specification, tmp_path: Path
) -> None:
    screen(listed, house, journal=tmp_path / "j", depth="order")
    stop = Event()
    stop.set()
    fewer = Specification(house.title, house.requirements[:1])  # the journal holds more verdicts than that
    found = screen(listed, fewer, journal=tmp_path / "j", depth="order", stop=stop)
    assert (found.finished, found.counted, found.count) == (False, False, 0)
    assert list(found.in_order()) == list(found.by_standing()) == []
    assert len(Journal(tmp_path / "j").done()) == ROWS


# -- files ---------------------------------------------------------------------------------------------------


# One file of each kind of trouble; the rest, and how long each takes, are in tests/catalogue/test_broken.py.
@pytest.mark.parametrize("name", ["damaged_below.xlsx", "damaged.jsonl", "damaged.json", "no_ends.csv", "zeros.csv"])
def test_every_row_of_a_troubled_file_comes_out(name: str, house: Specification, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(troubled()[name])
    catalogue = open_catalogue([tmp_path / name])
    found = screen(catalogue, house, journal=tmp_path / "j", depth="order")
    rows = [row for _, row in found.in_order()]
    for entry, row in zip(catalogue.entries(), rows, strict=True):
        assert row.cells == entry.cells
        assert set(entry.problems) <= set(row.problems)
        assert row.read or row.problems
