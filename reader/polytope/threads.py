"""Linear algebra on one thread: on small arrays threads mostly wait, and last digits would depend on how many."""

from __future__ import annotations

from contextlib import AbstractContextManager
from functools import lru_cache
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from threadpoolctl import ThreadpoolController


def one_thread() -> AbstractContextManager[object]:
    """While it is entered, the libraries behind numpy use one thread, in the whole process."""
    return cast(AbstractContextManager[object], _libraries().limit(limits=1, user_api="blas"))


@lru_cache(maxsize=1)
def one_thread_for_good() -> AbstractContextManager[object]:
    """The same for as long as the process lives, for one that is itself a thread of a larger work."""
    limit = one_thread()
    limit.__enter__()
    return limit  # kept, for it would be lifted if it were let go


@lru_cache(maxsize=1)
def _libraries() -> ThreadpoolController:
    """Numpy is loaded first, for what is loaded later is not seen."""
    import numpy  # noqa: F401
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()
