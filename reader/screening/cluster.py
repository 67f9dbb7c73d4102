"""Partitions on many machines, by Dask (`dask.distributed`), which has to be installed: the client is given, not made.

    screen(catalogue, specification, journal=path, runner=on_cluster(Client("tcp://scheduler:8786")))

Every worker needs this package. A worker that dies is replaced by Dask, which gives its partitions to others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from reader.catalogue.values import Entry
from reader.screening.rows import Line, line_of
from reader.screening.screen import unread
from reader.screening.values import Terms
from reader.screening.work import work
from reader.wording import say

_AHEAD = 3  # partitions for each thread of the cluster


def on_cluster(client: Any) -> Callable[[Iterator[Sequence[Entry]], Terms], Iterator[list[Line]]]:
    """A runner for `run.screen` that does its partitions on the cluster of a `distributed.Client`."""

    def run(partitions: Iterator[Sequence[Entry]], terms: Terms) -> Iterator[list[Line]]:
        import distributed

        as_completed: Any = distributed.as_completed  # untyped there
        most = _AHEAD * max(1, sum(client.nthreads().values()))
        given: dict[Any, Sequence[Entry]] = {}
        coming = as_completed(with_results=False)

        def give() -> None:
            partition = next(partitions, None)
            if partition is not None:
                future = client.submit(work, partition, terms, pure=False)
                given[future] = partition
                coming.add(future)

        for _ in range(most):
            give()
        for future in coming:
            partition = given.pop(future)
            yield future.result() if future.status == "finished" else _failed(partition, terms)
            future.release()
            give()

    return run


def _failed(partition: Sequence[Entry], terms: Terms) -> list[Line]:
    """The rows of a partition that took worker after worker with it; Dask gives up after a few."""
    return [line_of(unread(e, e.market or terms.market, terms, say("screen_killed"))) for e in partition]
