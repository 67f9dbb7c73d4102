"""Where the words of a claim stand on a label, and what stands right before and after them.

Looked for on the front, in headings, and in the claims and remarks beside the list.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from reader.front import Words
from reader.law.case import Case
from reader.law.rules import Rule
from reader.spans import Span

_SPEAKING = frozenset(("claim", "remark"))  # notes beside the list that say something of the product
_NEAR = 3  # so many words before and after it belong to a claim: "natural hickory smoke flavoring", "not a low"
_PERCENT = re.compile(r"(?<![\d/.,])(\d{1,3}(?:[.,]\d+)?) ?(?:%|percent)-?$", re.IGNORECASE)
_REACH = 20  # characters a number before a claim may take
Stretch = tuple[tuple[str, Span], ...]


@dataclass(frozen=True, slots=True)
class Claimed:
    """A claim as printed. percent: the number with a percent sign right before it, None if there is none. around: the
    folded words of the stretch it stands in.
    """

    span: Span
    percent: float | None
    around: tuple[str, ...]


def claims(rule: Rule, case: Case) -> Iterator[Claimed]:
    """Wherever one of the `words` of a rule is claimed, in the order of the words.

    `not_words` are longer wordings that mean something else ("no nitrites added"); `not_before` and `not_after` are
    words that make it another matter where one stands near ("not a low sodium food", "natural casing").
    """
    words = case.words
    if not words.stretches:
        return
    for wording in rule.words("words"):
        if words.place(wording) is None:
            continue
        for stretch, span in _everywhere(words, wording):
            if _counts(rule, case, stretch, span):
                yield Claimed(span, _percent_before(case, span), tuple(key for key, _ in stretch))


def _everywhere(words: Words, wording: str) -> Iterator[tuple[Stretch, Span]]:
    for stretch in words.stretches:
        rest = stretch
        while rest and (place := Words((rest,), words.runs).place(wording)):
            yield stretch, place
            rest = tuple(pair for pair in rest if pair[1].start >= place.end)


def _counts(rule: Rule, case: Case, stretch: Stretch, span: Span) -> bool:
    alone = Words((stretch,), case.words.runs)
    for other in rule.words("not_words"):
        for _, place in _everywhere(alone, other):
            if place.start <= span.start and span.end <= place.end:
                return False
    before = [key for key, place in stretch if place.end <= span.start][-_NEAR:]
    after = [key for key, place in stretch if place.start >= span.end][:_NEAR]
    if set(before) & set(rule.words("not_before")) or set(after) & set(rule.words("not_after")):
        return False
    return span.text == "name" or _speaks(case, span)


def _speaks(case: Case, span: Span) -> bool:
    """Whether words of the statement box stand in a claim, a remark, a title or a heading of the list."""
    notes = (n for n in case.listed.asides if n.span.start <= span.start and span.end <= n.span.end)
    return all(note.kind in _SPEAKING or note.kind == "title" for note in notes)


def _percent_before(case: Case, span: Span) -> float | None:
    """The percentage right before a place; of "33 1/3 %" nothing is made."""
    found = _PERCENT.search(text_before(case, span))
    return float(found[1].replace(",", ".")) if found else None


def text_before(case: Case, place: Span) -> str:
    """The last characters before a place, in which a number of it would stand."""
    return case.text(place._replace(start=max(0, place.start - _REACH), end=place.start))
