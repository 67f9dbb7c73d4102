"""Judges of the cure: whether a product is cured or called uncured, and what must or may be said of nitrite."""

from __future__ import annotations

from reader.facts import open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.front_words import follow, silent
from reader.law.rules import Rule
from reader.law.terms import spans, sure
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import first_words, listed_words
from reader.spans import Span


def cured_or_called(rule: Rule, case: Case) -> Ruling | None:
    """A product that is cured by its standard holds a curing agent (`kinds` of the role cure; those of `vegetable` do
    not count) or is called by one of `words`. With `whole_front` silence of the front counts only if it was pasted
    whole.
    """
    listed, doubtful = _agents(rule, case)
    if listed:
        return meets("cured_meets", *spans(listed), names=listed_words(case, listed))
    vegetable = case.of_role("cure", *rule.words("vegetable"))
    place = case.setting.front.first(rule.words("words"))
    if place is not None:
        return meets("cured_called", place, words=case.text(place))
    if doubtful:
        return cannot_tell("cured_doubtful", *spans(doubtful), names=listed_words(case, doubtful))
    if not case.product.ingredients or "unknown" in case.roles:
        return cannot_tell("cured_unknown") if case.product.ingredients else None
    if vegetable:
        return silent(rule, case, "cured_vegetable", *spans(vegetable), names=listed_words(case, vegetable))
    return silent(rule, case, "cured_none", case.setting.classed.words)


def uncured_true(rule: Rule, case: Case) -> Ruling | None:
    """What is called by one of `words` holds no curing agent (`kinds` of the role cure). Before a word of `of_others`
    ("uncured bacon") it speaks of an ingredient.
    """
    place = _of_product(rule, case)
    if place is None:
        return None
    listed, inside = _agents(rule, case)
    words = case.text(place)
    if listed:
        return breaks("uncured_breaks", place, *spans(listed), words=words, names=listed_words(case, listed))
    if inside:
        return cannot_tell("uncured_open", place, *spans(inside), words=words, names=listed_words(case, inside))
    return meets("uncured_meets", place, words=words)


def said_with(rule: Rule, case: Case) -> Ruling | None:
    """What is called by one of `words`, not before one of `of_others`, must say one of `says` on the front or beside
    the list; with `vegetable`, only where a vegetable source of nitrite (these kinds of the role cure) is listed.
    `exempt`: others need not say it, and no label shows which those are. With `whole_front` silence of the front counts
    only if it was pasted whole.
    """
    place = _of_product(rule, case)
    if place is None:
        return None
    source: tuple[Ingredient, ...] = ()
    if "vegetable" in rule.values:
        source = case.of_role("cure", *rule.words("vegetable"))
        if not source:
            return None
    said = case.words.first(rule.words("says"))
    words = case.text(place)
    if said is not None:
        return meets("said_with_meets", place, said, words=words, printed=case.text(said))
    wanted = rule.words("says")[0]
    if rule.values.get("exempt"):
        return cannot_tell("said_with_exempt", place, words=words, wording=wanted)
    return silent(rule, case, "said_with", place, *spans(source), words=words, wording=wanted)


def none_added_true(rule: Rule, case: Case) -> Ruling | None:
    """A statement that none was added (`says`) holds only where no curing agent (`kinds` of the role cure) is listed.
    Inside the brackets of an ingredient the statement speaks of that ingredient.
    """
    place = case.words.first(rule.words("says"))
    if place is None:
        return None
    listed, inside = _agents(rule, case)
    words = case.text(place)
    if not listed and not inside:
        return meets("none_added_meets", place, words=words)
    names = listed_words(case, listed or inside)
    of_part = any(_encloses(i, place) for i in case.terms)
    if listed and not of_part:
        return breaks("none_added_breaks", place, *spans(listed), words=words, names=names)
    return cannot_tell("none_added_open", place, *spans(listed or inside), words=words, names=names)


def _agents(rule: Rule, case: Case) -> tuple[tuple[Ingredient, ...], tuple[Ingredient, ...]]:
    """Curing agents of the product itself, and others: in an ingredient of it, in another food of the pack, behind an
    "or".
    """
    if "cure" not in case.roles:
        return (), ()
    kinds = rule.words("kinds")
    own = list(case.open)
    inside = {id(p) for i in own if i.kind in ("cooked", "cured") for p in open_terms(i.parts)}
    sure_ids = {id(i) for i in own if sure(i)} - inside
    every = case.of_role("cure", *kinds)
    choices = tuple(i for i in case.terms if any(e.role == "cure" and e.kind in kinds for e in i.match.others))
    listed = tuple(i for i in every if id(i) in sure_ids)
    return listed, (*(i for i in every if id(i) not in sure_ids), *choices)


def _encloses(ingredient: Ingredient, place: Span) -> bool:
    whole = ingredient.whole
    return whole.text == place.text and whole.start <= place.start and place.end <= whole.end


def _of_product(rule: Rule, case: Case) -> Span | None:
    """Where one of `words` stands on the front and speaks of the product."""
    words, others = first_words(rule.words("words")), first_words(rule.words("of_others"))
    return next((span for _, word, behind, span in follow(case) if word in words and behind not in others), None)


JUDGES = {
    "cured_or_called": cured_or_called,
    "none_added_true": none_added_true,
    "said_with": said_with,
    "uncured_true": uncured_true,
}
