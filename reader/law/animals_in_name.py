"""Judges of the animals a name speaks of, against those the list names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from reader import wordforms
from reader.facts import ANIMAL, open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.front_words import follow, silence_counts, silent
from reader.law.rules import Rule, by_id
from reader.law.terms import UNCLEAR, animals, spans, species, sure
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import first_words, listed_words, words_in
from reader.spans import Span


def kind_in_name(rule: Rule, case: Case) -> Ruling | None:
    """Where all meat is of one kind, the front must name it (`species`: the words for each kind). With `whole_front`
    its silence counts only if it was pasted whole.
    """
    listed = tuple(i for i in open_terms(case.product.printed) if _kinds(rule, i))
    kinds = {kind for i in listed for kind in _kinds(rule, i)}
    if len(kinds) != 1 or kinds & UNCLEAR:
        return None
    kind = kinds.pop()
    words = [word for word, named in _kind_of(rule.id).items() if named == kind]
    if not words:
        return None
    place = next((span for _, word, _, span in follow(case) if word in words), None)
    if place is not None:
        return meets("kind_in_name_meets", place, *spans(listed), words=case.text(place))
    if "unknown" in case.roles:  # which may be meat
        return cannot_tell("kind_in_name_open", *spans(listed), species=kind)
    return silent(rule, case, "kind_in_name", *spans(listed), species=kind)


def kinds_of_name(rule: Rule, case: Case) -> Ruling | None:
    """Where the name names a kind of animal (`species`: words for each; right before one of `products`, not behind one
    of `denied_by`), no other kind may be in the product unless the front names it too.

    Left open: general words on the front (`general`), kinds some would call by the other's name (`near`). With
    `whole_front` the rule is broken only if the whole front was pasted, since the name may go on.
    """
    named = _named(rule, case)
    if not named.claimed:
        return None
    others, unclear = _others(rule, case, named)
    claim, words = named.claim, case.text(named.claim)
    if others:
        names = listed_words(case, others)
        if not silence_counts(rule, case):
            return cannot_tell("kinds_of_name_open", claim, *spans(others), words=words, names=names)
        return breaks("kinds_of_name_breaks", claim, *spans(others), words=words, names=names)
    if unclear:
        names = listed_words(case, unclear)
        return cannot_tell("kinds_of_name_unclear", claim, *spans(unclear), words=words, names=names)
    return meets("kinds_of_name_meets", claim, words=words) if case.tissues else None


def one_kind(rule: Rule, case: Case) -> Ruling | None:
    """A product named as of one kind (`species`, `products`, `denied_by`: words for the kinds, of products, and such as
    deny) may hold no mechanically separated meat (of `kinds`) of another kind. With `whole_front` the rule is broken
    only if the whole front was pasted, since the name may go on.
    """
    separated = case.of_role("mechanically_separated", *rule.words("kinds"))
    if not separated:
        return None
    named = _named(rule, case)
    if len(named.claimed) != 1 or named.all - named.claimed.keys():
        return None
    claim, words = named.claim, case.text(named.claim)
    other = tuple(i for i in separated if _kinds(rule, i) and not _kinds(rule, i) & (named.claimed.keys() | UNCLEAR))
    if other:
        ruled = breaks if all(map(sure, other)) and silence_counts(rule, case) else cannot_tell
        return ruled("one_kind_other", claim, *spans(other), words=words, names=listed_words(case, other))
    return meets("one_kind_meets", claim, *spans(separated), words=words, names=listed_words(case, separated))


def foreign_protein(_rule: Rule, case: Case) -> Ruling | None:
    """Protein added as such, of an animal none of the meat is of, stands in the name with its origin."""
    if "animal_protein" not in case.roles:
        return None
    ours = {s for t in case.tissues for s in animals(t)}
    added = (i for i in case.own if i.role == "animal_protein")
    found = tuple(i for i in added if animals(i) and ours.isdisjoint(animals(i)))
    if not ours or not found:
        return None
    words, places = listed_words(case, found), [case.setting.front.first(animals(i)) for i in found]
    if all(places):
        return meets("protein_in_name", *places, *spans(found), words=words)
    return cannot_tell("protein_not_seen", *spans(found), words=words)


@dataclass(frozen=True, slots=True)
class _Named:
    """Kinds of animal on the front: those that stand in the name, each with the place, and all of them."""

    claimed: Mapping[str, Span]
    all: frozenset[str]

    @property
    def claim(self) -> Span:
        """The first place where a kind stands in the name."""
        return next(iter(self.claimed.values()))


def _named(rule: Rule, case: Case) -> _Named:
    claimed: dict[str, Span] = {}
    every = set()
    if case.has_front:
        kinds = _kind_of(rule.id)
        products, denied = first_words(rule.words("products")), first_words(rule.words("denied_by"))
        for before, word, behind, span in follow(case):
            kind = kinds.get(word)
            if kind is None:
                continue
            every.add(kind)
            if behind in products and before not in denied:
                claimed.setdefault(kind, span)
    return _Named(claimed, frozenset(every))


def _others(rule: Rule, case: Case, named: _Named) -> tuple[tuple[Ingredient, ...], tuple[Ingredient, ...]]:
    """Tissues of a kind that the front leaves out, and those that may be of such a kind."""
    others: list[Ingredient] = []
    unclear: list[Ingredient] = []
    near = rule.values.get("near") or {}  # kinds that some would call by the other's name
    general = any(word in first_words(rule.words("general")) for _, word, _, _ in follow(case))
    for i in case.open:
        missing = _kinds(rule, i) - named.all
        if not missing:
            continue
        doubtful = missing & UNCLEAR or all(near.get(kind) in named.all for kind in missing) or general
        (unclear if doubtful or not sure(i) else others).append(i)
    return tuple(others), tuple(unclear)


def _kinds(rule: Rule, ingredient: Ingredient) -> frozenset[str]:
    """The kinds of animal a tissue is of; nothing for what is no tissue or stands for the tissues in its bracket. A
    meat such as chorizo that does not say its animal leaves it open.
    """
    if ingredient.role not in ANIMAL or ingredient.entry is None or any(p.role in ANIMAL for p in ingredient.parts):
        return frozenset()
    prepared = ingredient.kind in ("cooked", "cured")
    if prepared and _kind_of(rule.id).keys().isdisjoint(words_in(ingredient.printed)):
        return UNCLEAR
    return frozenset(species(ingredient)) or UNCLEAR


@lru_cache(maxsize=64)
def _kind_of(rule: str) -> dict[str, str]:
    """The kind of animal each word of a rule names, the words folded."""
    told = by_id()[rule].values["species"]
    return {wordforms.word_key(w): kind for kind, words in told.items() if kind != "__line__" for w in words}


JUDGES = {
    "foreign_protein": foreign_protein,
    "kind_in_name": kind_in_name,
    "kinds_of_name": kinds_of_name,
    "one_kind": one_kind,
}
