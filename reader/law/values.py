"""What a judge comes to: a verdict with its grounds, and the finding made of it. Plain values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from reader.aspects import Said, said
from reader.law.rules import Rule
from reader.quantities import Interval
from reader.spans import Span

MEETS, BREAKS, CANNOT_TELL = "meets", "breaks", "cannot tell"
NOT_APPLICABLE, NOT_IN_FORCE = "not applicable", "not in force"
TINY = 1e-6  # room for what computing leaves of a number when it is compared with a limit
VERDICTS = (BREAKS, CANNOT_TELL, MEETS)  # in the order they are shown


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a judge found: a verdict, the sentence that says why, and the number it rests on.

    says: a sentence of lexicon/wording/findings.yaml with its places. found: the range of what was measured, in the
    unit of the rule's limit; None where nothing was.
    """

    verdict: str
    says: Said
    found: Interval | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """A rule and what it comes to for one label. `ruling` is None where the rule is not in force on that day or does
    not concern the label.
    """

    rule: Rule
    verdict: str
    ruling: Ruling | None = None


def meets(key: str, *spans: Span | None, found: Interval | None = None, **values: object) -> Ruling:
    """The rule is met as far as printed."""
    return _ruling(MEETS, key, spans, found, values)


def breaks(key: str, *spans: Span | None, found: Interval | None = None, **values: object) -> Ruling:
    """It looks like the rule is broken, whatever is in the pack."""
    return _ruling(BREAKS, key, spans, found, values)


def cannot_tell(key: str, *spans: Span | None, found: Interval | None = None, **values: object) -> Ruling:
    """The label leaves it open."""
    return _ruling(CANNOT_TELL, key, spans, found, values)


def _ruling(
    verdict: str, key: str, spans: Iterable[Span | None], found: Interval | None, values: dict[str, object]
) -> Ruling:
    return Ruling(verdict, said(f"finding_{key}", *spans, source="", **values), found)
