"""Judges of names on the list: what collective words may stand for, what must be named by its parts or its animal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from reader.facts import ANIMAL, walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, cannot_tell, meets

_EITHER = frozenset(("and/or", "or"))


def collective(rule: Rule, case: Case) -> Ruling | None:
    """Whether foods of `named` stand by themselves and not under a collective word of `collective` (lexicon ids)."""
    heads, named = frozenset(rule.words("collective")), frozenset(rule.words("named"))
    if not (heads & case.entries and named & case.entries):
        return None
    for head in case.terms:
        if head.entry is not None and head.entry.id in heads:
            inside = [p for p in walk(head.parts) if p.entry is not None and p.entry.id in named]
            if inside:
                return cannot_tell(
                    "collective_inside", head.span, inside[0].span, words=head.printed, name=inside[0].printed
                )
    alone = [i for i in case.terms if i.entry is not None and i.entry.id in named]
    return meets("collective_named", *(i.span for i in alone), name=alone[0].printed)


def animal_flavor(rule: Rule, case: Case) -> Ruling | None:
    """Whether flavourings called by an animal (lexicon ids in `entries`) name species and tissue; `tissue_roles`: what
    tells a tissue in their brackets.
    """
    entries = frozenset(rule.words("entries"))
    if not entries & case.entries:
        return None
    flavors = [i for i in case.terms if i.entry is not None and i.entry.id in entries]
    told = frozenset(rule.words("tissue_roles")) | frozenset(ANIMAL)
    bare = next((i for i in flavors if not any(p.role in told for p in walk(i.parts))), None)
    if bare is not None:
        return cannot_tell("animal_flavor_bare", bare.whole, name=bare.printed)
    return meets("animal_flavor_told", *(i.whole for i in flavors), name=flavors[0].printed)


def either(rule: Rule, case: Case) -> Ruling | None:
    """Whether “and/or” joins only what may be exchanged (`roles`)."""
    roles = frozenset(rule.words("roles"))
    found = [pair for s in case.listed.sections for pair in _either(s.ingredients)]
    if not found:
        return None
    wrong = next((pair for pair in found if not {i.role for i in pair} <= roles), None)
    if wrong is not None:
        return cannot_tell("either_other", *(i.span for i in wrong), first=wrong[0].printed, last=wrong[-1].printed)
    return meets("either_oils", *(i.span for i in found[0]), words=found[0][0].printed)


def _either(items: Sequence[Ingredient]) -> Iterator[tuple[Ingredient, ...]]:
    """Ingredients joined by “and/or”, with what stands before it; a single name that holds several counts too."""
    for k, item in enumerate(items):
        if item.role == "casing":
            continue
        if item.joiner in _EITHER and k:
            yield items[k - 1], item
        elif item.match.kind == "choice":
            yield (item,)
        yield from _either(item.parts)


def sub_ingredients(rule: Rule, case: Case) -> Ruling | None:
    """Whether ingredients that are mixtures themselves (`roles`, `kinds`) show what they are made of."""
    roles, pairs = rule.words("roles"), _pairs(rule.words("kinds"))
    mixtures = [i for i in case.product.ingredients if i.role in roles or (i.role, i.kind) in pairs]
    if not mixtures:
        return None
    bare = next((i for i in mixtures if not i.parts), None)
    if bare is not None:
        return cannot_tell("mixture_bare", bare.span, name=bare.printed)
    return meets("mixture_told", *(i.whole for i in mixtures), name=mixtures[0].printed)


@lru_cache(maxsize=64)
def _pairs(kinds: tuple[str, ...]) -> frozenset[tuple[str, str]]:
    """Kinds as written in the data, "dairy cheese" → ("dairy", "cheese")."""
    return frozenset((role, kind) for role, _, kind in (k.partition(" ") for k in kinds))


JUDGES = {
    "animal_flavor": animal_flavor,
    "collective": collective,
    "either": either,
    "sub_ingredients": sub_ingredients,
}
