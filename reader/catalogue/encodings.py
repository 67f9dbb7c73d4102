"""How the bytes of a text file stand for letters: told by a mark at its beginning, by form, or by likely letters.

UTF-8 is known by its form. Old encodings of one byte a letter look alike; of them the one is taken in which the
letters beside ASCII are such as Europeans write in words (lexicon/catalogue.yaml). General detectors were tried and
took every second German list in Windows-1252 for Windows-1250.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from reader import tables
from reader.catalogue.sources import Source

UTF8 = "utf-8"
_CHUNK = 1 << 20
_SCANNED = 64 << 20  # bytes looked through for lines that are not UTF-8
_EVERY_SECOND = 0.4  # share of every second byte; letters beyond Latin have no empty one
_KEPT = 200_000  # bytes of such lines kept to tell which encoding they are in
_BOMS = ((codecs.BOM_UTF8, UTF8), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))


@dataclass(frozen=True, slots=True)
class Encoding:
    """How a file is decoded.

    name: of a codec of Python; told: for people. skip: bytes of a mark at the beginning. fallback: for lines that are
    not UTF-8 in a file that otherwise is, "" where every line is. mark: what ends a line.
    """

    name: str
    told: str
    skip: int = 0
    fallback: str = ""
    fallback_told: str = ""
    mark: bytes = b"\n"


def encoding_of(source: Source) -> Encoding:
    """The encoding of a text file, from its beginning and from its lines that are not UTF-8."""
    with source.open() as file:
        head = file.read(_CHUNK)
    for bom, name in _BOMS:
        if head.startswith(bom):
            return _with_marks(source, name, len(bom))
    if has_two_bytes(head):
        little = head[1:4096:2].count(0) >= head[0:4096:2].count(0)
        return _with_marks(source, "utf-16-le" if little else "utf-16-be", 0)
    return _with_marks(source, UTF8, 0)


def has_two_bytes(head: bytes) -> bool:
    """Whether a text without a mark has two bytes a letter: every second one is empty then, else hardly any."""
    start = head[:4096]
    return max(start[0::2].count(0), start[1::2].count(0)) > _EVERY_SECOND * len(start) / 2


def _with_marks(source: Source, name: str, skip: int) -> Encoding:
    if name != UTF8:
        start = next(recoded(source, name, skip), b"")
        return Encoding(name, "UTF-16", skip, mark=_mark(start))
    with source.open() as file:
        mark = _mark(file.read(_CHUNK))
    odd, fine = _odd_lines(source, mark)
    if not odd:
        return Encoding(UTF8, "UTF-8", skip, mark=mark)
    old = _old_encoding(odd)
    if fine or skip:
        return Encoding(UTF8, "UTF-8", skip, old.name, old.told, mark)
    return Encoding(old.name, old.told, skip, mark=mark)


def _mark(start: bytes) -> bytes:
    """A lone carriage return ends lines in files of old Macs."""
    return b"\r" if b"\n" not in start and b"\r" in start else b"\n"


def recoded(source: Source, name: str, skip: int) -> Iterator[bytes]:
    """The bytes of a file in pieces; UTF-16 is made UTF-8 on the way, so that lines can be told by one byte."""
    with source.open() as file:
        file.seek(skip)
        if not name.startswith("utf-16"):
            while piece := file.read(_CHUNK):
                yield piece
            return
        decoder = codecs.getincrementaldecoder(name)(errors="replace")
        while piece := file.read(_CHUNK):
            yield decoder.decode(piece).encode(UTF8, errors="replace")
        yield decoder.decode(b"", final=True).encode(UTF8, errors="replace")


def decoded(line: bytes, encoding: Encoding) -> tuple[str, bool]:
    """The text of a line, and whether the fallback was needed for it."""
    if encoding.name.startswith("utf-16") or encoding.name == UTF8:
        try:
            return line.decode(UTF8), False
        except UnicodeDecodeError:
            return _by_one_byte(line, encoding.fallback or "cp1252"), True
    return _by_one_byte(line, encoding.name), False


def _by_one_byte(line: bytes, name: str) -> str:
    try:
        return line.decode(name)
    except UnicodeDecodeError:  # Windows left five bytes without a letter; Latin-1 has one for each
        return line.decode("latin-1")


def _odd_lines(source: Source, mark: bytes) -> tuple[bytes, bool]:
    """Beginning of what is not UTF-8, line by line, and whether other lines hold letters that only UTF-8 writes so."""
    odd: list[bytes] = []
    kept = read = 0
    fine = False
    rest = b""
    for piece in recoded(source, UTF8, 0):
        read += len(piece)
        whole, found, tail = (rest + piece).rpartition(mark)
        rest = tail if len(tail) < _CHUNK else b""
        text = whole if found else b""
        if not text.isascii():
            try:
                text.decode(UTF8)
                fine = True
            except UnicodeDecodeError:
                for line in text.split(mark):
                    if line.isascii():
                        continue
                    if _is_utf8(line):
                        fine = True
                    elif kept < _KEPT:
                        odd.append(line)
                        kept += len(line)
        if read > _SCANNED:
            break
    if not rest.isascii():
        if _is_utf8(rest):
            fine = True
        else:
            odd.append(rest)
    return mark.join(odd), fine


def _is_utf8(line: bytes) -> bool:
    try:
        line.decode(UTF8)
    except UnicodeDecodeError:
        return False
    return True


class _Old(NamedTuple):
    """An old encoding: its codec, its name for people, the letters it is known by."""

    name: str
    told: str
    usual: frozenset[str]
    letters: frozenset[str]


@lru_cache(maxsize=1)
def _old() -> tuple[_Old, ...]:
    raw: list[dict[str, Any]] = tables.load_raw()["catalogue"]["encodings"]
    return tuple(_Old(e["name"], e["told"], frozenset(e["usual"]), frozenset(e["letters"])) for e in raw)


_BETWEEN_LETTERS = re.compile(r"[a-z]([^\W_]|[^\w\s'’‘´·.,;:()/&+-])(?=[a-z])")


def _old_encoding(odd: bytes) -> _Old:
    """The old encoding whose reading of these bytes looks most like words; the first on a tie."""
    return max(_old(), key=lambda old: _likely(_by_one_byte(odd, old.name), old.usual, old.letters))


def _likely(text: str, usual: frozenset[str], letters: frozenset[str]) -> int:
    score = 0
    for letter in text:
        if letter >= "\x80":
            score += 2 if letter in usual else 1 if letter in letters else -2
    for found in _BETWEEN_LETTERS.finditer(text):
        inside = found[1]
        if inside >= "\x80" and (inside.isupper() or not inside.isalpha()):
            score -= 4  # a capital or a sign inside a word of small letters
    return score
