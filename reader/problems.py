"""How every stage reports what it could not read: a value with its place, never an exception."""

from __future__ import annotations

from dataclasses import dataclass

from reader.spans import Span
from reader.wording import say


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in the paste that was odd. `message` says what we saw, why it matters, what to do."""

    kind: str
    message: str
    span: Span | None = None


def problem(kind: str, span: Span | None = None, **values: object) -> Problem:
    """A Problem whose message is the sentence `problem_<kind>` of lexicon/wording/."""
    return Problem(kind, say(f"problem_{kind}", **values), span)
