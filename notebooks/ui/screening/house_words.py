"""The words a requirement takes, as a form offers them: rules of the market by their titles, all else as it is."""

from __future__ import annotations

from reader.house.kinds import ANY, CHOICE, MONEY, NONE, Kind, topics_of_findings, words_of
from reader.law.rules import by_id
from reader.wording import say

_ALL_SHOWN = 20  # house: words that are all offered to be ticked; of more, a box finds them


def ticked(kind: Kind) -> tuple[str, ...]:
    """The words that are always offered; the others of the kind are found by a box, see `found_by_box`."""
    if kind.takes in (CHOICE, MONEY):
        return words_of(kind)
    if len(words_of(kind)) <= _ALL_SHOWN:
        return words_of(kind)
    if kind.values.get("words") == "findings":
        return (ANY, *topics_of_findings())
    return (NONE,) if kind.values.get("none") else ()


def found_by_box(kind: Kind) -> dict[str, str]:
    """What a box finds beyond the words that are ticked: as people read it → the word."""
    shown = set(ticked(kind))
    return {word_told(kind, word): word for word in words_of(kind) if word not in shown}


def word_told(kind: Kind, word: str) -> str:
    """A word of a kind for people."""
    if kind.values.get("words") != "findings":
        return word
    if word == ANY:
        return say("house_any_rule")
    rule = by_id().get(word)
    return f"{rule.title} ({', '.join(rule.markets)}: {rule.section})" if rule else say("house_rules_of", name=word)
