"""Judges of what may be in a product, what must and what must not, as far as its list shows that."""

from __future__ import annotations

from reader import wordforms
from reader.facts import ANIMAL
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.front_words import silence_counts
from reader.law.rules import Rule
from reader.law.terms import entry_id, meant, of_any_animal, of_entries, spans, species, sure
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import first_words, keys, listed_words, quoted, words_in


def not_used(rule: Rule, case: Case) -> Ruling | None:
    """Nothing of some `roles` and `kinds`, or none of some `entries`, may be used but the `allowed` ones; of the
    `doubtful` ones it is left open. `general`: words that name nothing single, left to other rules. `livestock`: not of
    birds; `top`: not inside another ingredient; `other_names`: words of the front that make it another product;
    `brings`: roles of foods that may have brought it. With `whole_front` only a front pasted whole makes it a break,
    since the name may say what makes it lawful.
    """
    held = _held(rule, case)
    if not held or case.setting.front.holds(rule.words("other_names")):
        return None
    bad = tuple(i for i in held if entry_id(i) not in rule.words("allowed"))
    if not bad:
        return meets("not_used_meets", *spans(held), names=listed_words(case, held))
    plain = tuple(i for i in bad if sure(i) and entry_id(i) not in rule.words("doubtful"))
    if not plain or not case.roles.isdisjoint(rule.words("brings")):
        return cannot_tell("not_used_doubtful", *spans(bad), names=listed_words(case, bad))
    names = listed_words(case, plain)
    if not silence_counts(rule, case):
        return cannot_tell("not_used_open", *spans(plain), names=names)
    return breaks("not_used_breaks", *spans(plain), names=names)


def _held(rule: Rule, case: Case) -> tuple[Ingredient, ...]:
    if not case.may_hold(rule):
        return ()
    listed = case.product.ingredients if rule.values.get("top") else case.open
    return tuple(i for i in meant(rule, listed) if entry_id(i) not in rule.words("general"))


def words_not_used(rule: Rule, case: Case) -> Ruling | None:
    """Parts known by their printed `words` that may not be used; with `of`, only of an animal of these words, which may
    stand before them without a comma.
    """
    odd = {"unknown", "by_product"} & case.roles
    if not odd:
        return None
    wanted, of = keys(rule.words("words")), first_words(rule.words("of"))
    before: Ingredient | None = None
    for i in case.open:
        if i.role in odd and wordforms.key(i.printed).endswith(wanted):
            if not of or of & words_in(i.printed):
                return breaks("words_not_used_breaks", i.span, words=case.text(i.span))
            if before is not None and i.joiner == "missing" and of & words_in(before.printed):
                place = before.span._replace(end=i.span.end)
                return breaks("words_not_used_breaks", place, words=case.text(place))
        before = i
    return None


def parts_named(rule: Rule, case: Case) -> Ruling | None:
    """Byproducts of the list against those a standard names (`entries`); its text was not read to the end."""
    if "by_product" not in case.roles:
        return None
    parts = tuple(i for i in case.own if i.role == "by_product" and i.entry is not None)
    if not parts:
        return None
    others = tuple(i for i in parts if entry_id(i) not in rule.words("entries"))
    if others:
        return cannot_tell("parts_not_named", *spans(others), parts=quoted(case, others))
    return meets("parts_named", *spans(parts), parts=quoted(case, parts))


def only_of(rule: Rule, case: Case) -> Ruling | None:
    """All animal tissue must be of some kinds of animal (`species`), unless the front has a word of `other_names`."""
    tissues = tuple(i for i in case.open if i.role in ANIMAL)
    if not tissues or case.setting.front.holds(rule.words("other_names")):
        return None
    other = tuple(i for i in tissues if not set(species(i)) <= set(rule.words("species")))
    if not other:
        return meets("only_of_meets", *spans(tissues), names=listed_words(case, tissues))
    plain = tuple(i for i in other if sure(i) and not of_any_animal(i))
    if not plain:
        return cannot_tell("only_of_open", *spans(other), names=listed_words(case, other))
    return breaks("only_of_breaks", *spans(plain), names=listed_words(case, plain))


def each_of(rule: Rule, case: Case) -> Ruling | None:
    """Something of each group of entries (`groups`) must be listed; general words (`general`: entries), terms of
    `open_roles` and of `open_kinds` may hold what is missing.
    """
    groups = {name: ids for name, ids in rule.values["groups"].items() if name != "__line__"}
    held = {name: of_entries(case.own, ids)[:1] for name, ids in groups.items()}
    missing = [name for name, found in held.items() if not found]
    if not missing:
        there = [i for found in held.values() for i in found]
        return meets("each_of_meets", *spans(there), names=listed_words(case, there))
    what = " and ".join(missing)
    general, roles, kinds = (rule.words(key) for key in ("general", "open_roles", "open_kinds"))
    hidden = [i for i in case.own if entry_id(i) in general or i.role in roles or i.kind in kinds]
    if hidden:
        return cannot_tell("each_of_open", *spans(hidden), names=listed_words(case, hidden), words=what)
    return breaks("each_of_breaks", case.setting.classed.words, words=what)


def holds_meat(rule: Rule, case: Case) -> Ruling | None:
    """Of animal tissue something of some `roles` must be listed, in whatever share; doubtful terms leave it open."""
    tissues = case.tissues
    if not tissues:
        return None
    found = meant(rule, tissues)
    if found:
        return meets("holds_meat_meets", *spans(found), names=listed_words(case, found))
    if "unknown" in case.roles or not all(map(sure, tissues)):
        return cannot_tell("holds_meat_open", *spans(tissues), names=listed_words(case, tissues))
    return breaks("holds_meat_breaks", *spans(tissues), names=listed_words(case, tissues))


def barred_food(rule: Rule, case: Case) -> Ruling | None:
    """Foods (`names` of the front) that may not hold anything of some `roles` and `kinds`; beside a word of `or_names`
    it is left open.
    """
    place = case.setting.front.first(rule.words("names")) if case.may_hold(rule) else None
    held = tuple(i for i in meant(rule, case.terms) if sure(i)) if place is not None else ()
    if place is None or not held:
        return None
    words, names = case.text(place), listed_words(case, held)
    if case.setting.front.holds(rule.words("or_names")):
        return cannot_tell("barred_food_open", place, *spans(held), words=words, names=names)
    return breaks("barred_food_breaks", place, *spans(held), words=words, names=names)


JUDGES = {
    "barred_food": barred_food,
    "each_of": each_of,
    "holds_meat": holds_meat,
    "not_used": not_used,
    "only_of": only_of,
    "parts_named": parts_named,
    "words_not_used": words_not_used,
}
