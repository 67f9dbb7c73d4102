"""The entries of an exported file: values as plain records, and back again with everything checked.

A record has the fields of its value. Times are written as RFC 3339 does, in UTC: 2026-05-03T09:30:00Z.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from reader.wording import say
from ui.shelf import limits
from ui.shelf.rows import types_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import ACTS, NO_MARK, Change, Contents, Guess, Kept, Pack, Seen, Texts, Writer

PARTS: dict[str, type] = {"writers": Writer, "packs": Pack, "guesses": Guess, "seen": Seen, "changes": Change}
TIMES = ("added", "joined")
# What tells the entries of a part apart.
_KEYS = {
    "writers": ("id",), "packs": ("id",), "guesses": ("pack", "writer", "aspect"), "seen": ("pack", "writer"),
    "changes": ("id",),
}  # fmt: skip
Record = dict[str, Any]
Numbered = Sequence[tuple[int, Mapping[str, Any]]]  # records with the number by which a person finds them in the file


def record_of(value: Any) -> Record:
    """A value as a record."""
    whole = {name: getattr(value, name) for name in types_of(type(value))}
    return {name: _written(v) if name in TIMES else v for name, v in whole.items()}


def contents_of(title: object, frozen: object, parts: Mapping[str, Numbered]) -> Contents:
    """What the records of a file say. ShelfError, naming the entry, if one cannot be kept as it stands."""
    if not isinstance(title, str) or not isinstance(frozen, bool):
        raise ShelfError("import_unreadable")
    found: dict[str, tuple[Any, ...]] = {}
    for part in PARTS:
        found[part] = _entries(part, parts.get(part, ()))
    writers = {NO_MARK, *(writer.id for writer in found["writers"])}
    packs = {None, *(pack.id for pack in found["packs"])}  # None: an entry of no pack
    for part, numbered in parts.items():
        for (number, _), entry in zip(numbered, found[part], strict=True):
            if getattr(entry, "writer", NO_MARK) not in writers or getattr(entry, "pack", None) not in packs:
                raise _refused(part, number, say("shelf_why_unknown"))
    return Contents(title=limits.line("title", title), frozen=frozen, **found)


def _entries(part: str, numbered: Numbered) -> tuple[Any, ...]:
    """The entries of a part; two of them never have one key."""
    entries: dict[tuple[str, ...], Any] = {}
    for number, record in numbered:
        try:
            entry = _checked(_value(PARTS[part], record))
        except ShelfError as error:
            raise _refused(part, number, str(error)) from error
        except (ValueError, TypeError, OverflowError) as error:
            raise _refused(part, number, say("shelf_why_form")) from error
        key = tuple(getattr(entry, name) for name in _KEYS[part])
        if key in entries:
            raise _refused(part, number, say("shelf_why_twice"))
        entries[key] = entry
    return tuple(entries.values())


def _refused(part: str, number: int, why: str) -> ShelfError:
    return ShelfError("import_entry", part=part, number=number, why=why)


def _value(cls: type, record: Mapping[str, Any]) -> Any:
    """The value of a record; what may be left out takes its default. ValueError or TypeError if it makes no sense."""
    given: Record = {}
    for name, kind in types_of(cls).items():
        if name in record:
            raw = record[name]
            wanted = "str" if name in TIMES else kind
            if type(raw).__name__ != wanted and not (wanted == "float" and type(raw) is int):
                raise TypeError(f"{name} is not a {wanted}")
            given[name] = _seconds(raw) if name in TIMES else raw
    return cls(**given)


def _checked(value: Any) -> Any:
    """The value as a shelf would have kept it. ShelfError or ValueError if it would not."""
    if isinstance(value, Kept):
        kept = limits.texts(Texts(**{name: getattr(value, name) for name in types_of(Texts)}))
        value = replace(value, **{name: getattr(kept, name) for name in types_of(Texts)})
    if isinstance(value, Kept | Writer):
        value = replace(value, nickname=limits.line("nickname", value.nickname))
    if isinstance(value, Pack | Change | Writer):
        limits.write_id(value.id)
    if isinstance(value, Change) and value.act not in ACTS:
        raise ValueError(f"{value.act!r} is no act")
    if isinstance(value, Guess):
        words = limits.text("words", value.words)
        value = replace(value, place=limits.place(value.aspect, value.place), words=words)
    return value


def _written(seconds: int) -> str:
    return f"{datetime.fromtimestamp(seconds, UTC).replace(tzinfo=None).isoformat()}Z"


def _seconds(written: str) -> int:
    time = datetime.fromisoformat(written)
    return int((time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp())
