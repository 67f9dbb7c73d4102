"""What the words of the front amount to: whether the whole front was pasted, and what may follow from its silence."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from reader import wordforms
from reader.law.case import Case
from reader.law.classes import signs_of_whole_front
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell
from reader.spans import Span


def silent(rule: Rule, case: Case, key: str, *spans: Span | None, **values: object) -> Ruling:
    """What follows where words the front must carry are not among those pasted: a break only if the whole front was
    pasted, else it is left open.
    """
    if rule.values.get("whole_front") and whole_front(case):
        return breaks(f"{key}_breaks", *spans, found=None, **values)
    return cannot_tell(f"{key}_open", *spans, found=None, **values)


def whole_front(case: Case) -> bool:
    """Whether the front was pasted as a whole: it holds what fronts have to carry beside the name."""
    return case.has_front and all(case.setting.front.holds(group) for group in signs_of_whole_front())


def follow(case: Case) -> Iterator[tuple[str, str, str, Span]]:
    """Every word of the front, folded, with the one before, the one behind ("" if none) and its place."""
    for stretch in case.setting.front.stretches:
        last = len(stretch) - 1
        for k, (word, span) in enumerate(stretch):
            yield (stretch[k - 1][0] if k else "", word, stretch[k + 1][0] if k < last else "", span)


@lru_cache(maxsize=4096)
def folded(words: tuple[str, ...]) -> frozenset[str]:
    """The first word of each wording, folded as the words of the front are."""
    return frozenset(wordforms.word_key(wordforms.WORD.findall(w)[0]) for w in words)
