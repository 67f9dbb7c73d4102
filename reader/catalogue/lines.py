"""A text file line by line in flat memory: bytes in pieces, lines cut where they never end, letters decoded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from reader.catalogue.encodings import Encoding, decoded, recoded
from reader.catalogue.settings import limit
from reader.catalogue.sources import Source


class Line(NamedTuple):
    """One line with what ends it. odd: the fallback of the encoding was needed. cut: it was too long to be kept."""

    text: str
    odd: bool = False
    cut: bool = False


def lines(source: Source, encoding: Encoding) -> Iterator[Line]:
    """Every line of a text file. A line longer than the limit keeps its beginning."""
    most, mark = limit("line_bytes"), encoding.mark
    rest, skipping = b"", False
    for piece in recoded(source, encoding.name, encoding.skip):
        *whole, rest = (rest + piece).split(mark)
        for line in whole:
            if skipping:
                skipping = False
            else:
                yield _line(line + mark, encoding, most)
        if skipping:
            rest = b""
        elif len(rest) > most:
            yield _line(rest, encoding, most)
            rest, skipping = b"", True
    if rest and not skipping:
        yield _line(rest, encoding, most)


def _line(line: bytes, encoding: Encoding, most: int) -> Line:
    cut = len(line) > most
    text, odd = decoded(line[:most] if cut else line, encoding)
    return Line(text, odd and bool(encoding.fallback), cut)
