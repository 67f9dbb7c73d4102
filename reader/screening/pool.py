"""Partitions on all cores of this machine: a pool of processes, each with the lexicon loaded once.

A process that dies (out of memory, a crash in a library) takes the whole pool with it, as such pools work. A new pool
is made, and what was under way is done row by row, so that the row that does it is found: it is told as one that could
not be read, and the others go on.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool

from reader import tables
from reader.catalogue.values import Entry
from reader.polytope.threads import one_thread
from reader.screening.rows import Line, line_of
from reader.screening.screen import unread
from reader.screening.values import Terms
from reader.screening.work import work
from reader.wording import say

_AHEAD = 2  # partitions that wait for each worker: enough that none idles, few enough that memory stays flat
_TRIES = 2  # how often a row may take a process with it
_held: list[object] = []  # what has to live as long as a worker does


def run(partitions: Iterator[Sequence[Entry]], terms: Terms, workers: int) -> Iterator[list[Line]]:
    """The lines of each partition as they come. With 0 workers everything is done in this process."""
    if workers == 0:
        yield from (work(partition, terms) for partition in partitions)
        return
    pool = _pool(workers)
    under_way: dict[Future[list[Line]], Sequence[Entry]] = {}
    try:
        while True:
            try:
                for partition in partitions:
                    under_way[pool.submit(work, partition, terms)] = partition
                    if len(under_way) >= workers * (1 + _AHEAD):
                        break
                if not under_way:
                    return
                for done in wait(under_way, return_when=FIRST_COMPLETED).done:
                    lines = done.result()
                    del under_way[done]
                    yield lines
            except BrokenProcessPool:
                pool.shutdown(wait=True, cancel_futures=True)
                left = [entry for partition in under_way.values() for entry in partition]
                under_way.clear()
                yield from _one_by_one(left, terms)
                pool = _pool(workers)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _one_by_one(entries: Sequence[Entry], terms: Terms) -> Iterator[list[Line]]:
    """Rows given to one process one after another, so that it is known which of them ends it."""
    pool = _pool(1)
    try:
        for entry in entries:
            for _ in range(_TRIES):
                try:
                    lines = pool.submit(work, [entry], terms).result()
                    break
                except BrokenProcessPool:
                    pool.shutdown(wait=True)
                    pool = _pool(1)
            else:
                lines = [line_of(unread(entry, entry.market or terms.market, terms, say("screen_killed")))]
            yield lines
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _pool(workers: int) -> ProcessPoolExecutor:
    # Spawned, not forked: forking a process that has threads, as a kernel does, may hang.
    return ProcessPoolExecutor(workers, multiprocessing.get_context("spawn"), initializer=_begin)


def _begin() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one who collects
    limit = one_thread()
    limit.__enter__()  # for as long as the process lives: the workers are the threads
    _held.append(limit)
    tables.load_raw()
