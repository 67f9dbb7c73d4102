"""What the words of the front amount to: whether a rule concerns them, whether the whole front was pasted, and what may
follow from its silence.
"""

from __future__ import annotations

from collections.abc import Iterator

from reader.law.case import Case
from reader.law.classes import signs_of_whole_front
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell
from reader.spans import Span


def concerned(rule: Rule, case: Case) -> bool:
    """Whether the marks and words of the front a rule asks for are there: `needs` a mark, `names` one of some words,
    `and_names` one of some others, `unless_names` none of these.
    """
    needs, front = rule.values.get("needs"), case.setting.front
    if needs and needs not in case.classes:
        return False
    asked = (words for name in ("names", "and_names") if (words := rule.words(name)))
    return all(map(front.holds, asked)) and not front.holds(rule.words("unless_names"))


def silence_counts(rule: Rule, case: Case) -> bool:
    """Whether what the front does not say counts against a label: where `whole_front` is true, only if the front was
    pasted whole.
    """
    return not rule.values.get("whole_front") or _whole(case)


def silent(rule: Rule, case: Case, key: str, *spans: Span | None, **values: object) -> Ruling:
    """What follows where words the front must carry are not among those pasted: a break if that counts, else it is left
    open.
    """
    if silence_counts(rule, case):
        return breaks(f"{key}_breaks", *spans, found=None, **values)
    return cannot_tell(f"{key}_open", *spans, found=None, **values)


def _whole(case: Case) -> bool:
    """Whether the front was pasted as a whole: it holds what fronts have to carry beside the name."""
    return case.has_front and all(case.setting.front.holds(group) for group in signs_of_whole_front())


def follow(case: Case) -> Iterator[tuple[str, str, str, Span]]:
    """Every word of the front, folded, with the one before, the one behind ("" if none) and its place."""
    for stretch in case.setting.front.stretches:
        last = len(stretch) - 1
        for k, (word, span) in enumerate(stretch):
            yield (stretch[k - 1][0] if k else "", word, stretch[k + 1][0] if k < last else "", span)
