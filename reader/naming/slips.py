"""Short names that one changed letter makes a wording of the lexicon: "pork aft"; of right words only, "beef heat"."""

from __future__ import annotations

from reader.naming.names import Named, names
from reader.naming.spelling import is_plain, one_letter_away
from reader.naming.words import Words
from reader.phrases import book

_MOST_WORDS = 4  # of a name in which one changed letter is looked for


def one_slip(words: Words) -> tuple[tuple[Named, bool], ...]:
    """Names that one changed letter in one word makes of a short name, each with whether that word was right by itself.

    Searches the lexicon once for each new word, about 0.1 ms.
    """
    if not 2 <= len(words) <= _MOST_WORDS:
        return ()
    found: list[tuple[Named, bool]] = []
    for i, key in enumerate(words.keys):
        right = key in names().vocabulary or is_plain(key)
        if len(key) < 3 or key in book().qualifiers or key in book().origin_words:
            continue
        for other in one_letter_away(key):
            if right and len(key) == 3 and len(other) == 3:
                continue  # most short words become another with one letter exchanged
            named = names().find("".join((*words.keys[:i], other, *words.keys[i + 1 :])))
            if named is not None:
                found.append((named, right))
    return tuple(found)
