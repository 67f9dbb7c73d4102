"""Judges of words on the front against the list: what they claim, what they ask for, which must stand with the name."""

from __future__ import annotations

from reader.law.case import Case
from reader.law.front_words import follow, silent
from reader.law.rules import Rule
from reader.law.terms import entry_id, meant, spans, sure
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import first_words, listed_words, pasted_words
from reader.spans import Span


def in_name(rule: Rule, case: Case) -> Ruling | None:
    """Where something is listed (`roles`, `kinds`, `entries`, none of `but`) or said beside the list (`beside`),
    `words` must stand on the front; `asks`: the words as they are told. `livestock`: birds are not meant. With
    `whole_front` silence of the front counts only if it was pasted whole.
    """
    because = _because(rule, case)
    if not because:
        return None
    place, told = case.setting.front.first(rule.words("words")), pasted_words(case, because)
    if place is not None:
        return meets("in_name_meets", place, *because, names=told, words=case.text(place))
    return silent(rule, case, "in_name", *because, names=told, words="” or “".join(rule.words("asks")))


def _because(rule: Rule, case: Case) -> tuple[Span, ...]:
    """Where the list or a line beside it says what asks for a word."""
    if not case.may_hold(rule):
        return ()
    asking = case.open if rule.words("roles") or rule.words("entries") else ()
    found = spans(i for i in meant(rule, asking) if sure(i) and entry_id(i) not in rule.words("but"))
    beside = case.setting.beside.first(rule.words("beside"))
    return (*found, beside) if beside is not None else found


def before_name(rule: Rule, case: Case) -> Ruling | None:
    """A word that must stand immediately before the name (`words` before one of `products`)."""
    place = case.setting.front.first(rule.words("words"))
    if place is None:
        return None
    words, products = case.text(place), first_words(rule.words("products"))
    behind = (word for _, word, _, span in follow(case) if span.text == place.text and span.start > place.end)
    if not products.isdisjoint(behind):
        return meets("before_name_meets", place, words=words)
    return cannot_tell("before_name_open", place, words=words)


def sole_ingredient(rule: Rule, case: Case) -> Ruling | None:
    """“All”, “pure” and the like (`before`) with a kind of meat (`kinds`) in a name: only for a single ingredient.

    Behind words of `leads`, or where no word of `products` follows, they may speak of the meat alone.
    """
    before, kinds, leads, products = (first_words(rule.words(k)) for k in ("before", "kinds", "leads", "products"))
    start: Span | None = None
    lead = ""
    for previous, word, behind, span in follow(case):
        if word in before:
            start, lead = (span, previous) if previous not in before or start is None else (start, lead)
            continue
        if start is not None and word in kinds:
            place = start._replace(end=span.end)
            return _sole(case, place, in_name=lead not in leads and behind in products)
        start = None
    return None


def _sole(case: Case, place: Span, *, in_name: bool) -> Ruling | None:
    words = case.text(place)
    listed = case.product.ingredients
    if not listed:
        return None
    if len(listed) == 1 and not listed[0].parts:
        return meets("sole_meets", place, listed[0].span, words=words)
    if not in_name:
        return cannot_tell("sole_open", place, words=words)
    return breaks("sole_breaks", place, words=words, count=len(listed))


def word_needs(rule: Rule, case: Case) -> Ruling | None:
    """A word of the front (`front`, not beside `unless_front`) asks for something of some `roles` on the list. Where
    the rule also asks for an amount (`amount`), which no label prints, it is always left open.
    """
    place = case.setting.front.first(rule.words("front"))
    if place is None or case.setting.front.holds(rule.words("unless_front")):
        return None
    words = case.text(place)
    found = next(iter(meant(rule, case.terms)), None)
    if found is not None:
        name = case.text(found.span)
        if "amount" in rule.values:
            return cannot_tell("word_amount", place, found.span, words=words, name=name, limit=rule.values["amount"])
        return meets("word_borne_out", place, found.span, words=words, name=name)
    whole = case.own and case.roles.isdisjoint(("unknown", "class"))
    made_meat = case.of_role("meat", "cooked", "cured")  # brings what is in it
    if whole and not made_meat and "amount" not in rule.values:
        return breaks("word_not_borne_out", place, words=words)
    return cannot_tell("word_open", place, words=words)


def only_these(rule: Rule, case: Case) -> Ruling | None:
    """Beside a word of the front (`front`), of the terms of a `role` and `kinds` only `entries` stand on the list."""
    place = case.setting.front.first(rule.words("front"))
    found = case.of_role(str(rule.values["role"]), *rule.words("kinds")) if place is not None else ()
    if place is None or not found:
        return None
    other = tuple(i for i in found if entry_id(i) not in rule.words("entries"))
    words, names = case.text(place), listed_words(case, other or found)
    if other:
        return cannot_tell("only_other", place, *spans(other), words=words, names=names)
    return meets("only_these", place, *spans(found), words=words, names=names)


JUDGES = {
    "before_name": before_name,
    "in_name": in_name,
    "only_these": only_these,
    "sole_ingredient": sole_ingredient,
    "word_needs": word_needs,
}
