"""Labels read by a process for each core."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache
from itertools import repeat
from multiprocessing import get_context

from reader.makeup.values import MakeUp
from tests.estimate.labels import Label

Choices = dict[str, str]  # assumptions changed, by id
_AT_ONCE = 8  # labels given to a process together


def on_all_cores(
    read: Callable[[Label, Choices], MakeUp], labels: Sequence[Label], choices: Choices
) -> Iterator[MakeUp]:
    """What `read`, a function of a module, finds for each label, in their order."""
    return _processes().map(read, labels, repeat(choices), chunksize=_AT_ONCE)


@lru_cache(maxsize=1)
def _processes() -> ProcessPoolExecutor:
    """There until the tests end. Spawned, since forking beside threads may hang."""
    return ProcessPoolExecutor(mp_context=get_context("spawn"))
