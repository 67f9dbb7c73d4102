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


def on_cluster(client: Any) -> Callable[[Iterator[Sequence[Entry]], Terms], Iterator[list[Line]]]:
    """A runner for `run.screen` that does its partitions on the cluster of a `distributed.Client`.

    It raises TableError if the cluster goes away or its workers cannot do this work; what is in the journal stays.
    """

    def run(partitions: Iterator[Sequence[Entry]], terms: Terms) -> Iterator[list[Line]]:
        try:
            yield from _lines(client, partitions, terms)
        except Exception as error:
            told = f"{type(error).__name__}: {error}"
            raise TableError(say("screen_cluster_failed", error=told)) from error

    return run


def _lines(client: Any, partitions: Iterator[Sequence[Entry]], terms: Terms) -> Iterator[list[Line]]:
    import distributed

    as_completed: Any = distributed.as_completed  # untyped there
    most = _AHEAD * max(1, sum(client.nthreads().values()))
    given: dict[Any, Sequence[Entry]] = {}
    coming = as_completed(with_results=False)

    def give(some: Iterable[Sequence[Entry]]) -> None:
        for partition in some:
            future = client.submit(_work_there, partition, terms, pure=False)
            given[future] = partition
            coming.add(future)

    give(islice(partitions, most))
    for future in coming:
        partition = given.pop(future)
        try:
            yield future.result()
        except distributed.KilledWorker:  # one of its rows took worker after worker with it: which?
            if len(partition) > 1:
                give([entry] for entry in partition)
            else:
                yield [_killed(entry, terms) for entry in partition]
        future.release()
        give(islice(partitions, max(0, most - len(given))))


def _work_there(entries: Sequence[Entry], terms: Terms) -> list[Line]:
    one_thread_for_good()  # a worker may do several partitions at once
    return work(entries, terms)


def _killed(entry: Entry, terms: Terms) -> Line:
    return line_of(unread(entry, entry.market or terms.market, terms, say("screen_killed")))
