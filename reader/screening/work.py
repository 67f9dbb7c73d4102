"""What a worker is given and gives back, here or on another machine."""

from __future__ import annotations

from collections.abc import Sequence

from reader.catalogue.values import Entry
from reader.screening.partition import screen_partition
from reader.screening.rows import Line, line_of
from reader.screening.values import Terms


def work(entries: Sequence[Entry], terms: Terms) -> list[Line]:
    """Some entries screened, as lines of the journal: written as JSON by the worker, so that the one who collects them
    only has to put them down.
    """
    return [line_of(row) for row in screen_partition(entries, terms)]
