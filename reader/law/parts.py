"""Judges of what may stand on the list: parts and additives a standard leaves no place, what it asks for, general words
where each thing must be named.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from reader import wordforms
from reader.facts import ANIMAL, closed
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.classes import is_poultry
from reader.law.front_words import folded, whole_front
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.spans import Span

_SURE = frozenset(("exact", "spelling", "head"))  # ways of understanding a name that leave no other reading


def not_used(rule: Rule, case: Case) -> Ruling | None:
    """Nothing of some `roles` and `kinds`, or none of some `entries`, may be used but the `allowed` ones; of the
    `doubtful` ones it is left open. `general`: words that name nothing single, left to other rules. `livestock`: not of
    birds; `top`: not inside another ingredient; `other_names`: words of the front that make it another product;
    `brings`: roles of foods that may have brought it. With `whole_front` only a front pasted whole makes it a break,
    since the name may say what makes it lawful.
    """
    concerned = _concerned(rule, case)
    if not concerned or case.setting.front.holds(rule.words("other_names")):
        return None
    bad = tuple(i for i in concerned if _id(i) not in rule.words("allowed"))
    if not bad:
        return meets("not_used_meets", *spans(concerned), names=listed_words(case, concerned))
    plain = tuple(i for i in bad if sure(i) and _id(i) not in rule.words("doubtful"))
    if not plain or not case.roles.isdisjoint(rule.words("brings")):
        return cannot_tell("not_used_doubtful", *spans(bad), names=listed_words(case, bad))
    names = listed_words(case, plain)
    if "whole_front" in rule.values and not whole_front(case):
        return cannot_tell("not_used_open", *spans(plain), names=names)
    return breaks("not_used_breaks", *spans(plain), names=names)


def _concerned(rule: Rule, case: Case) -> tuple[Ingredient, ...]:
    roles, kinds, entries = rule.words("roles"), rule.words("kinds"), rule.words("entries")
    if (roles and case.roles.isdisjoint(roles)) or (entries and case.entries.isdisjoint(entries)):
        return ()
    listed = case.product.ingredients if rule.values.get("top") else case.open
    return tuple(
        i
        for i in listed
        if (not roles or i.role in roles)
        and (not kinds or i.kind in kinds)
        and (not entries or _id(i) in entries)
        and _id(i) not in rule.words("general")
        and not (rule.values.get("livestock") and is_poultry(i))
    )


def words_not_used(rule: Rule, case: Case) -> Ruling | None:
    """Parts known by their printed `words` that may not be used; with `of`, only of an animal of these words, which may
    stand before them without a comma.
    """
    odd = {"unknown", "by_product"} & case.roles
    if not odd:
        return None
    wanted, of = tuple(map(wordforms.key, rule.words("words"))), rule.words("of")
    before: Ingredient | None = None
    for i in case.open:
        if i.role in odd and _key(i.printed).endswith(wanted):
            if not of or _names(i.printed, of):
                return breaks("words_not_used_breaks", i.span, words=case.text(i.span))
            if before is not None and i.joiner == "missing" and _names(before.printed, of):
                place = before.span._replace(end=i.span.end)
                return breaks("words_not_used_breaks", place, words=case.text(place))
        before = i
    return None


def singly(rule: Rule, case: Case) -> Ruling | None:
    """Where anything of some `roles` and `kinds` is listed, no general word (`general`: entries) may stand for it
    without saying in brackets what it is. Terms of a kind of `spread` elsewhere on the list leave it open.
    `livestock`: birds are not meant.
    """
    roles, kinds = rule.words("roles"), rule.words("kinds")
    if case.roles.isdisjoint(roles):
        return None
    found = tuple(i for i in _outer(case.product.ingredients, roles) if not kinds or i.kind in kinds)
    if rule.values.get("livestock"):
        found = tuple(i for i in found if not is_poultry(i))
    if not found:
        return None
    general = tuple(i for i in found if _id(i) in rule.words("general") and not i.parts and sure(i))
    if not general:
        return meets("singly_meets", *spans(found), names=listed_words(case, found))
    names = listed_words(case, general)
    if any(i.kind in rule.words("spread") for role in roles for i in case.of_role(role)):
        return cannot_tell("singly_open", *spans(general), names=names)
    return breaks("singly_breaks", *spans(general), names=names)


def called_so(rule: Rule, case: Case) -> Ruling | None:
    """Terms of a role must be called by a certain wording: none of the `wrong` words may stand in their names, and no
    general word (`general`: entries) without a bracket; short forms (`short`) leave it open.
    """
    found = case.of_role(str(rule.values["role"]))
    if not found:
        return None
    wrong = tuple(i for i in found if _names(i.printed, rule.words("wrong")))
    if wrong:
        return breaks("called_so_breaks", *spans(wrong), names=listed_words(case, wrong))
    bare = tuple(i for i in found if _id(i) in rule.words("general") and not i.parts and sure(i))
    if bare:
        return breaks("called_so_bare", *spans(bare), names=listed_words(case, bare))
    short = tuple(i for i in found if _names(i.printed, rule.words("short")))
    if short:
        return cannot_tell("called_so_open", *spans(short), names=listed_words(case, short))
    return meets("called_so_meets", *spans(found), names=listed_words(case, found))


def only_of(rule: Rule, case: Case) -> Ruling | None:
    """All animal tissue must be of some kinds of animal (`species`), unless the front has a word of `other_names`."""
    tissues = tuple(i for i in case.open if i.role in ANIMAL)
    other = tuple(i for i in tissues if i.entry is not None and not set(i.entry.species) <= set(rule.words("species")))
    if not tissues or case.setting.front.holds(rule.words("other_names")):
        return None
    if not other:
        return meets("only_of_meets", *spans(tissues), names=listed_words(case, tissues))
    plain = tuple(i for i in other if sure(i) and i.entry is not None and "mixed" not in i.entry.species)
    if not plain:
        return cannot_tell("only_of_open", *spans(other), names=listed_words(case, other))
    return breaks("only_of_breaks", *spans(plain), names=listed_words(case, plain))


def each_of(rule: Rule, case: Case) -> Ruling | None:
    """Something of each group of entries (`groups`) must be listed; general words (`general`: entries), terms of
    `open_roles` and of `open_kinds` may hold what is missing.
    """
    groups = {name: ids for name, ids in rule.values["groups"].items() if name != "__line__"}
    held = {
        name: next((i for i in case.own if i.entry is not None and i.entry.id in ids), None)
        for name, ids in groups.items()
    }
    missing = [name for name, i in held.items() if i is None]
    there = tuple(i for i in held.values() if i is not None)
    if not missing:
        return meets("each_of_meets", *spans(there), names=listed_words(case, there))
    what = " and ".join(missing)
    hidden = tuple(
        i
        for i in case.own
        if _id(i) in rule.words("general") or i.role in rule.words("open_roles") or i.kind in rule.words("open_kinds")
    )
    if hidden:
        return cannot_tell("each_of_open", *spans(hidden), names=listed_words(case, hidden), words=what)
    return breaks("each_of_breaks", case.setting.classed.words, words=what)


def holds_meat(rule: Rule, case: Case) -> Ruling | None:
    """Of animal tissue something of some `roles` must be listed, in whatever share; doubtful terms leave it open."""
    tissues = case.tissues
    if not tissues:
        return None
    found = tuple(i for i in tissues if i.role in rule.words("roles"))
    if found:
        return meets("holds_meat_meets", *spans(found), names=listed_words(case, found))
    if "unknown" in case.roles or not all(map(sure, tissues)):
        return cannot_tell("holds_meat_open", *spans(tissues), names=listed_words(case, tissues))
    return breaks("holds_meat_breaks", *spans(tissues), names=listed_words(case, tissues))


def declared_row(rule: Rule, case: Case) -> Ruling | None:
    """Where something of `role` and `kinds` is listed, a row of the panel (`row`) may have to be printed."""
    found = case.of_role(str(rule.values["role"]), *rule.words("kinds"))
    if not found:
        return None
    row, names = str(rule.values["row"]), listed_words(case, found)
    place = next((span for name, _, span in case.panel.daily_percents if name == row), None)
    amounts = (a for column in case.panel.columns if (a := column.get(row)) is not None)
    place = place or next((a.span for a in amounts), None)
    if place is not None:
        return meets("declared_row_meets", place, *spans(found), names=names)
    return cannot_tell("declared_row_open", *spans(found), names=names)


def sure(ingredient: Ingredient) -> bool:
    """Whether a term leaves no doubt of what it names and that it is in the product."""
    return ingredient.match.kind in _SURE and ingredient.joiner not in ("or", "and/or")


def spans(ingredients: tuple[Ingredient, ...]) -> tuple[Span, ...]:
    """Where they stand."""
    return tuple(i.span for i in ingredients)


def _outer(ingredients: tuple[Ingredient, ...], roles: tuple[str, ...]) -> Iterator[Ingredient]:
    """Terms of some roles that stand in no other term of these roles."""
    for i in ingredients:
        if i.role in roles:
            yield i
        elif i.parts and i.role != "casing" and not closed(i):
            yield from _outer(i.parts, roles)


def _id(ingredient: Ingredient) -> str:
    return ingredient.entry.id if ingredient.entry is not None else ""


def _names(printed: str, words: tuple[str, ...]) -> bool:
    return not folded(words).isdisjoint(word_keys(printed))


@lru_cache(maxsize=4096)
def word_keys(printed: str) -> frozenset[str]:
    """The words of a name, folded."""
    return frozenset(map(wordforms.word_key, wordforms.words(printed)))


@lru_cache(maxsize=4096)
def _key(printed: str) -> str:
    return wordforms.key(printed)


JUDGES = {
    "not_used": not_used,
    "words_not_used": words_not_used,
    "singly": singly,
    "called_so": called_so,
    "only_of": only_of,
    "each_of": each_of,
    "holds_meat": holds_meat,
    "declared_row": declared_row,
}
