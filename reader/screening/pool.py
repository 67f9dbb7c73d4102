"""Partitions on all cores of this machine: a pool of processes, each with the lexicon loaded once.

A process that dies (out of memory, a crash in a library) takes the whole pool with it, as such pools work. A new pool
is made, and what was under way is done row by row, so that the row that does it is found: it is told as one that could
not be read, and the others go on.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from threading import Thread

from reader.catalogue.values import Entry
from reader.makeup.values import ORDER
from reader.pipeline import read_label
from reader.polytope.threads import one_thread_for_good
from reader.screening.rows import Line, line_of
from reader.screening.screen import unread
from reader.screening.values import Terms
from reader.screening.work import work
from reader.wording import say

_AHEAD = 2  # partitions that wait for each worker: enough that none idles, few enough that memory stays flat
_TRIES = 2  # how often a row may take a process with it

_WARM = "Pork, water, salt. Protein 12 g, fat 20 g per 100 g"  # any label: reading it loads what every label needs

_UnderWay = Mapping[Future[list[Line]], Sequence[Entry]]


def run(partitions: Iterator[Sequence[Entry]], terms: Terms, workers: int) -> Iterator[list[Line]]:
    """The lines of each partition as they come. With 0 workers everything is done in this process."""
    if workers == 0:
        yield from (work(partition, terms) for partition in partitions)
        return
    pool = _pool(workers, terms.depth)
    under_way: dict[Future[list[Line]], Sequence[Entry]] = {}
    taken: Sequence[Entry] = ()  # not given to the pool yet
    try:
        while True:
            try:
                for taken in partitions:
                    under_way[pool.submit(work, taken, terms)] = taken
                    taken = ()
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
                yield from _finished(under_way)
                left = [entry for partition in (*_unfinished(under_way), taken) for entry in partition]
                under_way.clear()
                taken = ()
                yield from _one_by_one(left, terms)
                pool = _pool(workers, terms.depth)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _finished(under_way: _UnderWay) -> Iterator[list[Line]]:
    return (future.result() for future in under_way if _has_result(future))


def _unfinished(under_way: _UnderWay) -> Iterator[Sequence[Entry]]:
    return (partition for future, partition in under_way.items() if not _has_result(future))


def _has_result(future: Future[list[Line]]) -> bool:
    return future.done() and not future.cancelled() and future.exception() is None


def _one_by_one(entries: Sequence[Entry], terms: Terms) -> Iterator[list[Line]]:
    """Rows given to one process one after another, so that it is known which of them ends it."""
    pool = _pool(1, terms.depth)
    try:
        for entry in entries:
            for _ in range(_TRIES):
                try:
                    lines = pool.submit(work, [entry], terms).result()
                    break
                except BrokenProcessPool:
                    pool.shutdown(wait=True)
                    pool = _pool(1, terms.depth)
            else:
                lines = [line_of(unread(entry, entry.market or terms.market, terms, say("screen_killed")))]
            yield lines
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _pool(workers: int, depth: str) -> ProcessPoolExecutor:
    # Spawned, not forked: forking a process that has threads, as a kernel does, may hang.
    return ProcessPoolExecutor(workers, multiprocessing.get_context("spawn"), initializer=_begin, initargs=(depth,))


def _begin(depth: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one who collects
    Thread(target=_end_with_parent, daemon=True).start()
    if depth != ORDER:  # which needs no linear algebra, nor the time and memory to load it
        one_thread_for_good()  # the workers are the threads
    read_label(_WARM, _WARM, depth=depth)
    gc.collect()
    gc.freeze()  # what is loaded by now stays; looking through it again and again for waste takes a tenth of the time


def _end_with_parent() -> None:
    """A worker whose parent was killed would wait for work for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
