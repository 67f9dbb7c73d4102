"""Keys, marks, ids and join codes: who may open what.

A key is the only thing that opens a shelf; whoever holds it is taken for its owner. The file holds a digest of it, so
that a copy of the file opens nothing; a random key of 192 bits needs no salt and no slow digest.
"""

from __future__ import annotations

import hashlib
import secrets

# No two of these are taken for one another in print or by hand: of 0 O D Q, of 2 Z, 5 S, 8 B none, of 1 I L 7, 6 G 9,
# 4 A, C G, M N, U V Y, V W one at most; and no vowels, so that no code makes a word.
SIGNS = "CFHJKMPRTWXY3479"
# 16 signs, 8 places: 4.3e9 codes. At the 3,600 wrong tries an hour that `tries` lets through for everybody together,
# and with ten classes open, hitting one of them takes 13 years on average.
PLACES = 8
_HALF = PLACES // 2
_SHORTEST = 20  # a shorter key could be a word


def new_key() -> str:
    """A random key; the visitor's page keeps it, nobody else."""
    return secrets.token_urlsafe(24)


def new_id() -> str:
    """A random id for one write. It begins with a letter: a spreadsheet would take 12e45 for a number."""
    return f"w{secrets.token_hex(12)}"


def new_code() -> str:
    """A random join code, as "CFH3-KM7P"."""
    signs = "".join(secrets.choice(SIGNS) for _ in range(PLACES))
    return f"{signs[:_HALF]}-{signs[_HALF:]}"


def code_from(typed: str) -> str | None:
    """The join code somebody typed, however they spaced it, in capitals or not; None if it cannot be one."""
    signs = "".join(c for c in typed.upper() if c.isalnum())
    if len(signs) != PLACES or not set(signs) <= set(SIGNS):
        return None
    return f"{signs[:_HALF]}-{signs[_HALF:]}"


def digest_of(key: str) -> str:
    """What the file keeps of a key. ValueError if the key is too short to be one of `new_key`."""
    if len(key) < _SHORTEST:
        raise ValueError(f"a key needs {_SHORTEST} characters or more; ui.shelf.keys.new_key makes one")
    return hashlib.sha256(key.encode("utf-8", "replace")).hexdigest()


def mark_of(key: str) -> str:
    """What names a student in entries and exports; no key can be found from it."""
    return "s" + hashlib.sha256(f"mark {digest_of(key)}".encode()).hexdigest()[:16]
