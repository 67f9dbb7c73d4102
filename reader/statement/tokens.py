"""Text → tokens. Lossless: between two tokens stand only blanks, and every token is a slice of the text."""

from __future__ import annotations

import re
from typing import NamedTuple

WORD, NUMBER, PERCENT, SEPARATOR, STOP, COLON = "word", "number", "percent", "separator", "stop", "colon"
OPEN, CLOSE, MARK, NEWLINE, OTHER = "open", "close", "mark", "newline", "other"


class Token(NamedTuple):
    """One word, number or sign of the clean text, and its place."""

    kind: str
    start: int
    end: int
    text: str


# A full stop ends a sentence unless it belongs to a number or a common shortening ("conc.", "no. 5").
_TOKEN = re.compile(
    r"(?P<number>\d+[.,]\d{1,2}(?!\d)|(?<![\w.,])[.,]\d+(?=\s*%)|\d+)"
    r"|(?P<word>[^\W\d_][\w'\u00ad]*(?:(?:[&/]|-(?!\d+\s*%))[\w'\u00ad]+)*)"
    r"|(?P<percent>%)"
    r"|(?P<separator>[,;•|]|(?<=\s)-(?=\s))"
    r"|(?P<stop>\.)"
    r"|(?P<colon>:)"
    r"|(?P<open>[(\[{])"
    r"|(?P<close>[)\]}])"
    r"|(?P<mark>[*+†‡^#§¹²³°®™©~]+)"
    r"|(?P<newline>\n\s*)"
    r"|(?P<other>\S)"
)
_SHORT = frozenset(
    ("approx", "conc", "dept", "dist", "est", "fd", "fl", "inc", "incl", "max", "mech", "mfd", "mfg", "min", "no",
     "nos", "oz", "s", "sep", "st", "u", "vit", "vits", "wt")
)  # fmt: skip


def tokenize(clean: str) -> list[Token]:
    """All tokens of a clean text in order; never fails."""
    found = [Token(m.lastgroup or OTHER, m.start(), m.end(), m.group()) for m in _TOKEN.finditer(clean)]
    for i, token in enumerate(found):
        if token.kind == STOP and i and found[i - 1].end == token.start and _shortening(found, i):
            found[i] = token._replace(kind=OTHER)
    return found


def _shortening(tokens: list[Token], i: int) -> bool:
    """Whether the full stop at `i` closes a shortening that goes on ("apple juice conc. , water")."""
    word = tokens[i - 1].text.lower()
    before = tokens[i - 2] if i > 1 else None
    initial = len(word) == 1 and word.isalpha()  # "S. thermophilus", but not "vitamin C." or "5 °C."
    if before is not None and (before.text.lower() in ("vitamin", "°") or before.kind == NUMBER):
        initial = False
    return (word in _SHORT or initial) and i + 1 < len(tokens) and tokens[i + 1].kind in (WORD, NUMBER)
