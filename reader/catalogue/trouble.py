"""What a file or a table cannot be: the errors of the catalogue, each with a whole sentence."""

from __future__ import annotations

from reader.wording import say


class TableError(ValueError):
    """A file that is no table we can read; the message says what we saw, why it matters and what to do."""


def refusal(kind: str, **values: object) -> TableError:
    """The error with the sentence `file_{kind}` of lexicon/wording/."""
    return TableError(say(f"file_{kind}", **values))
