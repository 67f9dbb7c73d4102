"""Which program and which lexicon a row was read by."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from pathlib import Path

from reader.tables import load_raw

_PROGRAM = Path(__file__).parent.parent


@lru_cache(maxsize=1)
def edition() -> str:
    """A fingerprint of the program and its lexicon: what two editions read is never put together in one screening."""
    digest = hashlib.sha256(repr(load_raw()).encode())
    for path in sorted(_PROGRAM.rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()
