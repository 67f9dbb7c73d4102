"""Partitions on many machines, by Dask (`dask.distributed`), which has to be installed: the client is given, not made.

    screen(catalogue, specification, journal=path, runner=on_cluster(Client("tcp://scheduler:8786")))

Every worker needs this package. A worker that dies is replaced by Dask, which gives its partitions to others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from reader.catalogue.trouble import TableError
from reader.catalogue.values import Entry
from reader.polytope.threads import one_thread_for_good
from reader.screening.rows import Line, line_of
from reader.screening.screen import unread
from reader.screening.values import Terms
from reader.screening.work import work
from reader.wording import say

_AHEAD = 3  # partitions for each thread of the cluster
_TOLD = 200  # characters of what the cluster says of its troubles
_PATIENCE = 60.0  # seconds without a result after which it is seen whether there are workers at all


def on_cluster(client: Any) -> Callable[[Iterator[Sequence[Entry]], Terms], Iterator[list[Line]]]:
    """A runner for `run.screen` that does its partitions on the cluster of a `distributed.Client`.

    It raises TableError if the cluster goes away or its workers cannot do this work; what is in the journal stays.
    """

    def run(partitions: Iterator[Sequence[Entry]], terms: Terms) -> Iterator[list[Line]]:
        try:
            yield from _lines(client, partitions, terms)
        except TableError:
            raise
        except Exception as error:
            told = " ".join(f"{type(error).__name__}: {error}".split())[:_TOLD].rstrip(".")
            raise TableError(say("screen_cluster_failed", error=told)) from error

    return run


def _lines(client: Any, partitions: Iterator[Sequence[Entry]], terms: Terms) -> Iterator[list[Line]]:
    from distributed import KilledWorker

    most = _AHEAD * max(1, sum(client.nthreads().values()))
    given: dict[Any, Sequence[Entry]] = {}

    def give(some: Iterable[Sequence[Entry]]) -> None:
        for partition in some:
            given[client.submit(_work_there, partition, terms, pure=False)] = partition

    give(islice(partitions, most))
    while given:
        for future in _done(client, given):
            partition = given[future]
            try:
                lines: list[Line] = future.result(timeout=_PATIENCE)
            except TimeoutError:  # lost with its worker after it was done, so it is done again
                continue
            except KilledWorker:  # one of its rows took worker after worker with it: which?
                lines = [_killed(entry, terms) for entry in partition] if len(partition) == 1 else []
            del given[future]  # by which the cluster may forget it
            if lines:
                yield lines
            else:
                give([entry] for entry in partition)
            give(islice(partitions, max(0, most - len(given))))


def _done(client: Any, given: Iterable[Any]) -> Iterable[Any]:
    """Those that came to an end, none if it takes long. Raises TableError if no worker is there to do them."""
    import distributed

    wait: Any = distributed.wait  # untyped there
    try:
        return tuple(wait(list(given), timeout=_PATIENCE, return_when="FIRST_COMPLETED").done)
    except TimeoutError:
        if client.nthreads():
            return ()
    raise TableError(say("screen_no_workers"))


def _work_there(entries: Sequence[Entry], terms: Terms) -> list[Line]:
    one_thread_for_good()  # a worker may do several partitions at once
    return work(entries, terms)


def _killed(entry: Entry, terms: Terms) -> Line:
    return line_of(unread(entry, entry.market or terms.market, terms, say("screen_killed")))
