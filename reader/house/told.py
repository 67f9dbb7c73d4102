"""A requirement in words, for the specification as it is shown, for remarks in its file, and for head lines."""

from __future__ import annotations

from reader.house.kinds import ANY, Kind, kinds
from reader.house.values import Requirement
from reader.law.rules import by_id
from reader.quantities import show
from reader.wording import say


def requirement_told(requirement: Requirement) -> str:
    """What a requirement asks, as part of a sentence: "sodium at most 900 mg in 100 g"."""
    kind = kinds()[requirement.kind]
    words = makes_list([_word(kind, word) for word in requirement.words])
    return kind.told.format(limit=number(requirement.limit), words=words)


def number(limit: float | None) -> str:
    """A limit for people; "" where there is none."""
    return "" if limit is None else show(limit, 3)


def _word(kind: Kind, word: str) -> str:
    """A word of a requirement for people: rules by their titles."""
    if kind.values.get("words") != "findings":
        return word
    if word == ANY:
        return say("house_any_rule")
    rule = by_id().get(word)
    return rule.title if rule is not None else say("house_rules_of", name=word)


def makes_list(words: list[str]) -> str:
    """ "a", "a or b", "a, b or c"."""
    if len(words) < 2:
        return "".join(words)
    return say("house_or", first=", ".join(words[:-1]), last=words[-1])
