"""Judges of the words for what comes of an animal: species named, separated meat called so, foreign protein, offal."""

from __future__ import annotations

from functools import lru_cache

from reader import tables, wordforms
from reader.facts import walk
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.parts import sure
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words

_NO_SPECIES = frozenset(("mixed", "poultry"))


def species_named(rule: Rule, case: Case) -> Ruling | None:
    """A word for meat without an animal (`bare`: entries) stands with the animals in its bracket, unless the rule lets
    the bare word stand (`allowed`). `unclear`: entries that name a kind of animal, but no species.
    """
    bare, unclear = rule.words("bare"), rule.words("unclear")
    if not case.entries.intersection((*bare, *unclear)):
        return None
    found = [i for i in case.own if i.entry is not None and i.entry.id in (*bare, *unclear)]
    open_ = [i for i in found if not _animal_beside(i, case)]
    if not open_:
        return (
            meets("species_in_bracket", *(i.whole for i in found), words=listed_words(case, found)) if found else None
        )
    words, places = listed_words(case, open_), [i.span for i in open_]
    if rule.values.get("allowed"):
        return meets("species_open_allowed", *places, words=words)
    alone = not any(t.role == "meat" and _species(t) for t in case.tissues)
    if alone and any(sure(i) and i.entry is not None and i.entry.id in bare for i in open_):
        return breaks("species_missing", *places, words=words)
    return cannot_tell("species_unclear", *places, words=words)


def separated_named(rule: Rule, case: Case) -> Ruling | None:
    """Mechanically separated meat is called by the words the rule asks for (`words`), with the species."""
    found = [i for i in case.tissues if i.role == "mechanically_separated"]
    if not found:
        return None
    nameless = [i for i in found if not _species(i) and not _animal_beside(i, case)]
    plain = [i for i in nameless if sure(i) and i.entry is not None and "poultry" not in i.entry.species]
    if plain:
        return breaks("separated_species_missing", *(i.span for i in plain), words=listed_words(case, plain))
    wanted = [wordforms.key(w) for w in rule.words("words")]
    other = [i for i in found if i in nameless or not any(w in wordforms.key(case.text(i.span)) for w in wanted)]
    if other:
        return cannot_tell("separated_unclear", *(i.span for i in other), words=listed_words(case, other))
    return meets("separated_named", *(i.span for i in found), words=listed_words(case, found))


def foreign_protein(_rule: Rule, case: Case) -> Ruling | None:
    """Protein added as such, of an animal none of the meat is of, stands in the name with its origin."""
    if "animal_protein" not in case.roles:
        return None
    ours = {s for t in case.tissues for s in _species(t)}
    if not ours:
        return None
    found = [i for i in case.own if i.role == "animal_protein" and _species(i) and not ours & set(_species(i))]
    if not found:
        return None
    words = listed_words(case, found)
    in_name = [case.setting.front.first(_species(i)) for i in found]
    if all(in_name):
        return meets("protein_in_name", *in_name, *(i.span for i in found), words=words)
    return cannot_tell("protein_not_seen", *(i.span for i in found), words=words)


def offal_named(rule: Rule, case: Case) -> Ruling | None:
    """Offal goes by its own name or by a word the rule allows; general words (`general`: entries) are neither."""
    found = [i for i in case.tissues if i.role == "by_product"]
    if not found:
        return None
    general = [i for i in found if i.entry is not None and i.entry.id in rule.words("general") and not i.parts]
    if general:
        return cannot_tell("offal_general", *(i.span for i in general), words=listed_words(case, general))
    return meets("offal_named", *(i.span for i in found), words=listed_words(case, found))


def _animal_beside(ingredient: Ingredient, case: Case) -> bool:
    """Whether an animal is named in the bracket of an ingredient or in a note at it ("meat from chicken")."""
    if any(_species(p) for p in walk(ingredient.parts)):
        return True
    words = {wordforms.word_key(w) for n in ingredient.notes for w in wordforms.words(case.text(n.span))}
    return bool(words & _animals())


@lru_cache(maxsize=1)
def _animals() -> frozenset[str]:
    """Every word for an animal that the lexicon's meats are of."""
    return frozenset(wordforms.word_key(s) for e in tables.entries() for s in e.species if s not in _NO_SPECIES)


def _species(ingredient: Ingredient) -> tuple[str, ...]:
    """The species an ingredient names; words such as "meat" and "poultry" name none."""
    entry = ingredient.entry
    return tuple(s for s in entry.species if s not in _NO_SPECIES) if entry is not None else ()


JUDGES = {
    "foreign_protein": foreign_protein,
    "offal_named": offal_named,
    "separated_named": separated_named,
    "species_named": species_named,
}
