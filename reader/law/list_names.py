"""Judges of the names a list uses: the animal named, separated meat called so, general words where each thing must be
named.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from reader import tables, wordforms
from reader.facts import ANIMAL, closed, walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import UNCLEAR, animals, meant, of_entries, spans, species, sure, wholes
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import first_words, holds, listed_words, words_in


def species_named(rule: Rule, case: Case) -> Ruling | None:
    """A word for meat without an animal (`bare`: entries) stands with the animals in its bracket, unless the rule lets
    the bare word stand (`allowed`). `unclear`: entries that name a kind of animal, but no species.
    """
    bare = rule.words("bare")
    general = (*bare, *rule.words("unclear"))
    found = of_entries(case.own, general) if not case.entries.isdisjoint(general) else ()
    if not found:
        return None
    nameless = tuple(i for i in found if not _animal_beside(i, case))
    if not nameless:
        return meets("species_in_bracket", *wholes(found), words=listed_words(case, found))
    words = listed_words(case, nameless)
    if rule.values.get("allowed"):
        return meets("species_open_allowed", *spans(nameless), words=words)
    alone = not any(t.role == "meat" and animals(t) for t in case.tissues)
    if alone and any(map(sure, of_entries(nameless, bare))):
        return breaks("species_missing", *spans(nameless), words=words)
    return cannot_tell("species_unclear", *spans(nameless), words=words)


def separated_named(rule: Rule, case: Case) -> Ruling | None:
    """Mechanically separated meat is called by the words the rule asks for (`words`), with the species."""
    found = tuple(i for i in case.tissues if i.role == "mechanically_separated")
    if not found:
        return None
    nameless = tuple(i for i in found if not animals(i) and not _animal_beside(i, case))
    plain = tuple(i for i in nameless if sure(i) and "poultry" not in species(i))
    if plain:
        return breaks("separated_species_missing", *spans(plain), words=listed_words(case, plain))
    other = tuple(i for i in found if i in nameless or not holds(case.text(i.span), rule.words("words")))
    if other:
        return cannot_tell("separated_unclear", *spans(other), words=listed_words(case, other))
    return meets("separated_named", *spans(found), words=listed_words(case, found))


def called_so(rule: Rule, case: Case) -> Ruling | None:
    """Terms of a `role` must be called by a certain wording: none of the `wrong` words may stand in their names, and no
    general word (`general`: entries) without a bracket; short forms (`short`) leave it open.
    """
    found = case.of_role(str(rule.values["role"]))
    if not found:
        return None
    wrong = _with_word(found, rule.words("wrong"))
    if wrong:
        return breaks("called_so_breaks", *spans(wrong), names=listed_words(case, wrong))
    bare = _bare(rule, found)
    if bare:
        return breaks("called_so_bare", *spans(bare), names=listed_words(case, bare))
    short = _with_word(found, rule.words("short"))
    if short:
        return cannot_tell("called_so_open", *spans(short), names=listed_words(case, short))
    return meets("called_so_meets", *spans(found), names=listed_words(case, found))


def called(rule: Rule, case: Case) -> Ruling | None:
    """Ingredients of a `role` and `kind` are called by the rule's words (`words`), not by others (`other_words`)."""
    found = case.of_role(str(rule.values["role"]), str(rule.values["kind"]))
    if not found:
        return None
    other = tuple(i for i in found if not holds(case.text(i.span), rule.words("words")))
    plainly = tuple(i for i in other if holds(case.text(i.span), rule.words("other_words")))
    wording = rule.words("words")[0]
    if plainly:
        return breaks("called_otherwise", *spans(plainly), words=listed_words(case, plainly), wording=wording)
    if other:
        return cannot_tell("called_unclear", *spans(other), words=listed_words(case, other), wording=wording)
    return meets("called_so", *spans(found), words=listed_words(case, found))


def singly(rule: Rule, case: Case) -> Ruling | None:
    """Where anything of some `roles` and `kinds` is listed, no general word (`general`: entries) may stand for it
    without saying in brackets what it is. Terms of a kind of `spread` elsewhere on the list leave it open.
    `livestock`: birds are not meant.
    """
    roles = rule.words("roles")
    found = meant(rule, _outer(case.product.ingredients, roles)) if not case.roles.isdisjoint(roles) else ()
    if not found:
        return None
    bare = _bare(rule, found)
    if not bare:
        return meets("singly_meets", *spans(found), names=listed_words(case, found))
    names = listed_words(case, bare)
    if any(i.role in roles and i.kind in rule.words("spread") for i in case.terms):
        return cannot_tell("singly_open", *spans(bare), names=names)
    return breaks("singly_breaks", *spans(bare), names=names)


def offal_named(rule: Rule, case: Case) -> Ruling | None:
    """Offal goes by its own name or by a word the rule allows; general words (`general`: entries) are neither."""
    found = tuple(i for i in case.tissues if i.role == "by_product")
    if not found:
        return None
    general = tuple(i for i in of_entries(found, rule.words("general")) if not i.parts)
    if general:
        return cannot_tell("offal_general", *spans(general), words=listed_words(case, general))
    return meets("offal_named", *spans(found), words=listed_words(case, found))


def collective(rule: Rule, case: Case) -> Ruling | None:
    """Whether foods of `named` stand by themselves and not under a collective word of `collective` (lexicon ids)."""
    heads, alone = case.of_entries(rule.words("collective")), case.of_entries(rule.words("named"))
    if not (heads and alone):
        return None
    for head in heads:
        inside = of_entries(walk(head.parts), rule.words("named"))
        if inside:
            return cannot_tell(
                "collective_inside", head.span, inside[0].span, words=head.printed, name=inside[0].printed
            )
    return meets("collective_named", *spans(alone), name=alone[0].printed)


def animal_flavor(rule: Rule, case: Case) -> Ruling | None:
    """Whether flavourings called by an animal (lexicon ids in `entries`) name species and tissue; `tissue_roles`: what
    tells a tissue in their brackets.
    """
    flavors = case.of_entries(rule.words("entries"))
    if not flavors:
        return None
    told = (*rule.words("tissue_roles"), *ANIMAL)
    bare = next((i for i in flavors if not any(p.role in told for p in walk(i.parts))), None)
    if bare is not None:
        return cannot_tell("animal_flavor_bare", bare.whole, name=bare.printed)
    return meets("animal_flavor_told", *wholes(flavors), name=flavors[0].printed)


def _bare(rule: Rule, ingredients: tuple[Ingredient, ...]) -> tuple[Ingredient, ...]:
    """Those that surely go by a general word of the rule alone."""
    return tuple(i for i in of_entries(ingredients, rule.words("general")) if not i.parts and sure(i))


def _with_word(ingredients: tuple[Ingredient, ...], words: tuple[str, ...]) -> tuple[Ingredient, ...]:
    wanted = first_words(words)
    return tuple(i for i in ingredients if not wanted.isdisjoint(words_in(i.printed)))


def _outer(ingredients: tuple[Ingredient, ...], roles: tuple[str, ...]) -> Iterator[Ingredient]:
    """Terms of some roles that stand in no other term of these roles."""
    for i in ingredients:
        if i.role in roles:
            yield i
        elif i.parts and i.role != "casing" and not closed(i):
            yield from _outer(i.parts, roles)


def _animal_beside(ingredient: Ingredient, case: Case) -> bool:
    """Whether an animal is named in the bracket of an ingredient or in a note at it ("meat from chicken")."""
    if any(map(animals, walk(ingredient.parts))):
        return True
    return any(not _animals().isdisjoint(words_in(case.text(n.span))) for n in ingredient.notes)


@lru_cache(maxsize=1)
def _animals() -> frozenset[str]:
    """Every word for an animal that the lexicon's meats are of."""
    return frozenset(wordforms.word_key(s) for e in tables.entries() for s in e.species if s not in UNCLEAR)


JUDGES = {
    "animal_flavor": animal_flavor,
    "called": called,
    "called_so": called_so,
    "collective": collective,
    "offal_named": offal_named,
    "separated_named": separated_named,
    "singly": singly,
    "species_named": species_named,
}
