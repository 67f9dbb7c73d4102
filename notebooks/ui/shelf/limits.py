"""How much is kept of what is typed, and in which form. The sizes are house: any real pack fits, no flood does."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import fields
from math import isfinite

from reader.aspects import ASPECTS
from reader.pipeline import MARKETS
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Texts

MOST = {"statement": 20_000, "panel": 20_000, "name": 200, "price": 100, "nickname": 24, "title": 80, "words": 500}
MOST_PACKS = 1_000  # on one shelf, deleted ones included
SCALE = 10.0  # a guess stands from 0 to here, as a score does
_ID = re.compile(r"[A-Za-z0-9_-]{1,64}", re.ASCII)
# These would turn round the text beside a nickname.
_TURNING = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def text(field: str, value: str) -> str:
    """The text as it can be kept, half characters replaced. ShelfError if it is too long."""
    if len(value) > MOST[field]:
        raise ShelfError("too_long", count=f"{len(value):,}", most=f"{MOST[field]:,}")
    return value.encode("utf-8", "replace").decode("utf-8")  # a broken emoji goes into no file


def line(field: str, value: str) -> str:
    """A nickname or title on one line, without signs that cannot be seen. ShelfError if it is too long."""
    kept = (c for c in value if unicodedata.bidirectional(c) not in _TURNING)
    plain = "".join(" " if unicodedata.category(c) == "Cc" else c for c in kept)
    return text(field, " ".join(plain.split()))


def texts(value: Texts) -> Texts:
    """The texts of a pack as they can be kept. ShelfError if there is nothing to read or too much, ValueError if the
    market is none of `pipeline.MARKETS`.
    """
    if value.market not in MARKETS:
        raise ValueError(f"market {value.market!r} is not known; it must be one of {', '.join(MARKETS)}")
    whole = {f.name: getattr(value, f.name) for f in fields(Texts)}
    whole |= {name: text(name, whole[name]) for name in ("statement", "panel", "name", "price")}
    if not (whole["statement"].strip() or whole["panel"].strip()):
        raise ShelfError("empty_pack")
    return Texts(**whole)


def place(aspect: str, value: float) -> float:
    """A place of a guess. ValueError if the aspect or the place is not on a scale."""
    if aspect not in ASPECTS:
        raise ValueError(f"aspect {aspect!r} is not known; it must be one of {', '.join(ASPECTS)}")
    if not (isfinite(value) and 0 <= value <= SCALE):
        raise ValueError(f"a guess of {value!r} does not stand from 0 to {SCALE:g}")
    return float(value) + 0.0  # no -0.0


def write_id(value: str) -> str:
    """The id of a write. ValueError unless it is 1–64 letters, digits, "_" and "-"."""
    if not _ID.fullmatch(value):
        raise ValueError(f"{value!r} is no id of a write; ui.shelf.keys.new_id makes one")
    return value
