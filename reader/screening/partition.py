"""Some entries → their rows: the one piece of work that a process of this machine, or a worker elsewhere, does."""

from __future__ import annotations

from collections.abc import Sequence

from reader.catalogue.values import Entry
from reader.screening.screen import screened
from reader.screening.values import Screened, Terms


def screen_partition(entries: Sequence[Entry], terms: Terms) -> tuple[Screened, ...]:
    """The rows of some entries, in their order. Each depends on its entry and the terms alone."""
    return tuple(screened(entry, terms) for entry in entries)
