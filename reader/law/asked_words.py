"""Judges of single words: a statement that has to stand somewhere, a word that asks for something on the list, a name
that has to be used, an amount no label prints.
"""

from __future__ import annotations

from reader import wordforms
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words, place_of
from reader.spans import Span


def statement_printed(rule: Rule, case: Case) -> Ruling | None:
    """A statement (`words`) is printed where something on the label asks for it: words of the front (`front`, but not
    beside `unless_front`, and only with something of `with_roles` or `with_entries` on the list if the rule has those),
    terms of the list (`entries`), a casing of a material (`casings`). Without `needs_trigger` it is told wherever it
    stands. `sentence`: what to look for on the pack.
    """
    place = place_of(case, rule.words("words"))
    trigger, words = _trigger(rule, case)
    if place is not None and (trigger is not None or not rule.values.get("needs_trigger")):
        return meets("statement_there", place, trigger, words=case.text(place))
    if trigger is None:
        return None
    return cannot_tell(f"look_for_{rule.values['sentence']}", trigger, words=words)


def word_needs(rule: Rule, case: Case) -> Ruling | None:
    """A word of the front (`front`, not beside `unless_front`) asks for something of some `roles` on the list. Where
    the rule also asks for an amount (`amount`), which no label prints, it is always left open.
    """
    place = case.setting.front.first(rule.words("front"))
    if place is None or case.setting.front.holds(rule.words("unless_front")):
        return None
    words = case.text(place)
    found = next((i for i in case.terms if i.role in rule.words("roles")), None)
    if found is not None:
        name = case.text(found.span)
        if "amount" in rule.values:
            return cannot_tell("word_amount", place, found.span, words=words, name=name, limit=rule.values["amount"])
        return meets("word_borne_out", place, found.span, words=words, name=name)
    whole = case.own and all(i.role not in ("unknown", "class") for i in case.terms)
    made_meat = any(i.role == "meat" and i.kind in ("cooked", "cured") for i in case.terms)  # brings what is in it
    if whole and not made_meat and "amount" not in rule.values:
        return breaks("word_not_borne_out", place, words=words)
    return cannot_tell("word_open", place, words=words)


def only_these(rule: Rule, case: Case) -> Ruling | None:
    """Beside a word of the front (`front`), of the terms of a role and kinds only `entries` stand on the list."""
    place = case.setting.front.first(rule.words("front"))
    found = [i for i in case.own if i.role == rule.values["role"] and i.kind in rule.words("kinds")]
    if place is None or not found:
        return None
    other = [i for i in found if i.entry is None or i.entry.id not in rule.words("entries")]
    words, names = case.text(place), listed_words(case, other or found)
    if other:
        return cannot_tell("only_other", place, *(i.span for i in other), words=words, names=names)
    return meets("only_these", place, *(i.span for i in found), words=words, names=names)


def called(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients of a role and kind are called by the rule's words (`words`), not by others (`other_words`)."""
    role, kind = str(rule.values["role"]), str(rule.values["kind"])
    found = case.of_role(role, kind)
    if not found:
        return None
    other = [i for i in found if not _holds(case.text(i.span), rule.words("words"))]
    plainly = [i for i in other if _holds(case.text(i.span), rule.words("other_words"))]
    wording = rule.words("words")[0]
    if plainly:
        return breaks(
            "called_otherwise", *(i.span for i in plainly), words=listed_words(case, plainly), wording=wording
        )
    if other:
        return cannot_tell("called_unclear", *(i.span for i in other), words=listed_words(case, other), wording=wording)
    return meets("called_so", *(i.span for i in found), words=listed_words(case, found))


def amount_not_printed(rule: Rule, case: Case) -> Ruling | None:
    """Something of a role and `kinds` is listed whose amount is capped; no label prints the amount."""
    found = case.of_role(str(rule.values["role"]), *rule.words("kinds"))
    if not found:
        return None
    limit = f"{rule.number('most'):g} {rule.values['unit']}"
    return cannot_tell("amount_not_printed", *(i.span for i in found), words=listed_words(case, found), limit=limit)


def _trigger(rule: Rule, case: Case) -> tuple[Span | None, str]:
    """The place that asks for a statement, and its words."""
    front, roles, entries = case.setting.front, rule.words("with_roles"), rule.words("with_entries")
    place = front.first(rule.words("front"))
    if place is not None and (
        front.holds(rule.words("unless_front"))
        or (roles and not case.roles.intersection(roles))
        or (entries and not case.entries.intersection(entries))
    ):
        place = None
    if place is None and case.entries.intersection(rule.words("entries")):
        place = next(i.span for i in case.terms if i.entry is not None and i.entry.id in rule.words("entries"))
    if place is None and case.facts.casing.material in rule.words("casings"):
        place = case.facts.casing.span
    return place, case.text(place) if place is not None else ""


def _holds(text: str, wordings: tuple[str, ...]) -> bool:
    key = wordforms.key(text)
    return any(wordforms.key(w) in key for w in wordings)


JUDGES = {
    "amount_not_printed": amount_not_printed,
    "called": called,
    "only_these": only_these,
    "statement_printed": statement_printed,
    "word_needs": word_needs,
}
