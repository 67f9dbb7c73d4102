"""Catalogue and specification → screening. Open this file first.

Two passes over the input: the first counts the rows, takes their fingerprint and finds doubles; the second screens
what is not in the journal yet. Rows depend on nothing but themselves, so that neither order nor number of workers
changes what comes out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import islice
from pathlib import Path
from threading import Event

from reader.catalogue.doubles import find_doubles
from reader.catalogue.reading import Catalogue
from reader.catalogue.values import Entry, Group
from reader.house.standing import stand
from reader.house.values import Specification
from reader.makeup.values import LIKELY, ORDER
from reader.screening import pool
from reader.screening.edition import edition
from reader.screening.journal import Journal
from reader.screening.rows import Line, counts
from reader.screening.values import Progress, Screening, Terms

Runner = Callable[[Iterator[Sequence[Entry]], Terms], Iterator[list[Line]]]
_PARTITION = 8  # entries: some 0.7 s of work where everything is worked out
_LARGE_PARTITION = 64  # where a label takes a millisecond
_COUNTED_EVERY = 1000  # rows


def screen(
    catalogue: Catalogue,
    specification: Specification,
    *,
    journal: Path,
    depth: str = LIKELY,
    market: str = "US",
    on: date | None = None,
    workers: int = 0,
    stop: Event | None = None,
    tell: Callable[[Progress], None] = lambda _: None,
    count: Callable[[int], None] = lambda _: None,
    runner: Runner | None = None,
) -> Screening:
    """Screen every entry that the journal does not hold yet, as far as it goes until `stop` is set.

    depth, market, on: as in `read_label`; market is that of rows that name none. workers: processes, 0 for none beside
    this one. count: called while rows are counted, with how many there are so far; tell: then after each partition.
    runner: does the partitions instead of this machine's processes. A journal of another input, specification or
    edition of the program is begun anew. Raises TableError if it cannot be used.
    """
    terms = Terms(specification, depth, market, on)
    kept = Journal(journal)
    stop = stop or Event()
    whole, groups, fingerprint = _survey(catalogue, terms, stop, count)
    found = Screening(
        terms=terms,
        sheets=catalogue.sheets,
        refused=catalogue.refused,
        count=0,
        whole=whole,
        failed=0,
        counts=counts((), len(specification.requirements)),
        groups=groups,
        placed=(),
        journal=kept,
        counted=False,
    )
    if stop.is_set():  # perhaps not all were counted: whether the journal is of this input cannot be told
        return found
    kept.begin(fingerprint)
    _do(catalogue, terms, kept, whole, stop, tell, runner or (lambda p, t: pool.run(p, t, workers)))
    done = kept.done()
    return replace(
        found,
        count=len(done),
        failed=sum(done.values()),
        counts=counts(kept.verdicts(), len(specification.requirements)),
        placed=stand(kept.tallies()),
        counted=True,
    )


def _survey(
    catalogue: Catalogue, terms: Terms, stop: Event, tell: Callable[[int], None]
) -> tuple[int, tuple[Group, ...], str]:
    """How many rows there are, which belong together, and the fingerprint of input, terms and program."""
    digest = hashlib.sha256(f"{edition()} {terms!r}".encode("utf-8", "replace"))
    whole = 0

    def counted() -> Iterator[Entry]:
        nonlocal whole
        for entry in catalogue.entries():
            if stop.is_set():
                return
            whole += 1
            if whole % _COUNTED_EVERY == 0:
                tell(whole)
            digest.update(repr(entry).encode("utf-8", "replace"))
            yield entry

    groups = find_doubles(counted())
    return whole, groups, digest.hexdigest()


def _do(
    catalogue: Catalogue,
    terms: Terms,
    kept: Journal,
    whole: int,
    stop: Event,
    tell: Callable[[Progress], None],
    runner: Runner,
) -> None:
    there = kept.done()
    done, failed = len(there), sum(there.values())
    tell(Progress(done, whole, failed))
    left = (entry for entry in catalogue.entries() if entry.number not in there)
    for lines in runner(_partitions(left, terms.depth, stop), terms):
        kept.add(lines)
        done, failed = done + len(lines), failed + sum(line.failed for line in lines)
        tell(Progress(done, whole, failed))


def _partitions(entries: Iterator[Entry], depth: str, stop: Event) -> Iterator[Sequence[Entry]]:
    size = _LARGE_PARTITION if depth == ORDER else _PARTITION
    while not stop.is_set() and (partition := list(islice(entries, size))):
        yield partition
