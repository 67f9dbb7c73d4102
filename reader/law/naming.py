"""Judges of the name: what kinds of animal it names, what it claims of them, which words must stand with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from reader import wordforms
from reader.facts import ANIMAL, open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.classes import is_poultry
from reader.law.front_words import folded, follow, silent, whole_front
from reader.law.parts import spans, sure, word_keys
from reader.law.rules import Rule, by_id
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words
from reader.spans import Span

_UNCLEAR = frozenset(("mixed", "poultry"))  # species of lexicon entries that leave the animal open


def kind_in_name(rule: Rule, case: Case) -> Ruling | None:
    """Where all meat is of one kind, the front must name it (`species`: the words for each kind)."""
    listed = tuple(i for i in open_terms(case.product.printed) if _kinds(rule, i))
    kinds = {kind for i in listed for kind in _kinds(rule, i)}
    if len(kinds) != 1 or kinds & _UNCLEAR:
        return None
    kind = kinds.pop()
    words = _words_of(rule.id).get(kind)
    if not words:
        return None
    places = tuple(span for _, word, _, span in follow(case) if word in words)
    if places:
        return meets("kind_in_name_meets", places[0], *spans(listed), words=case.text(places[0]))
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
    claim = named.claim
    words = case.text(claim)
    if others:
        names = listed_words(case, others)
        if "whole_front" in rule.values and not whole_front(case):
            return cannot_tell("kinds_of_name_open", claim, *spans(others), words=words, names=names)
        return breaks("kinds_of_name_breaks", claim, *spans(others), words=words, names=names)
    if unclear:
        names = listed_words(case, unclear)
        return cannot_tell("kinds_of_name_unclear", claim, *spans(unclear), words=words, names=names)
    return meets("kinds_of_name_meets", claim, words=words) if case.tissues else None


def one_kind(rule: Rule, case: Case) -> Ruling | None:
    """A product named as of one kind may hold no mechanically separated meat (of `kinds`) of another kind."""
    separated = case.of_role("mechanically_separated", *rule.words("kinds"))
    if not separated:
        return None
    named = _named(rule, case)
    if len(named.claimed) != 1 or named.all - named.claimed.keys():
        return None
    claim = named.claim
    other = tuple(i for i in separated if _kinds(rule, i) and not _kinds(rule, i) & (named.claimed.keys() | _UNCLEAR))
    if other:
        judge = breaks if all(map(sure, other)) else cannot_tell
        return judge("one_kind_other", claim, *spans(other), words=case.text(claim), names=listed_words(case, other))
    return meets(
        "one_kind_meets", claim, *spans(separated), words=case.text(claim), names=listed_words(case, separated)
    )


def sole_ingredient(rule: Rule, case: Case) -> Ruling | None:
    """“All”, “pure” and the like (`before`) with a kind of meat (`kinds`) in a name: only for a single ingredient.

    Behind words of `leads`, or where no word of `products` follows, they may speak of the meat alone.
    """
    before, kinds = folded(rule.words("before")), folded(rule.words("kinds"))
    leads, products = folded(rule.words("leads")), folded(rule.words("products"))
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


def in_name(rule: Rule, case: Case) -> Ruling | None:
    """Where something is listed (`roles`, `kinds`, `entries`, none of `but`) or said beside the list (`beside`),
    `words` must stand on the front; `asks`: the words as they are told. `livestock`: birds are not meant.
    """
    because = _because(rule, case)
    if not because:
        return None
    place = case.setting.front.first(rule.words("words"))
    told = "”, “".join(dict.fromkeys(map(case.text, because)))
    if place is not None:
        return meets("in_name_meets", place, *because, names=told, words=case.text(place))
    asked = "” or “".join(rule.words("asks"))
    return silent(rule, case, "in_name", *because, names=told, words=asked)


def _because(rule: Rule, case: Case) -> tuple[Span, ...]:
    roles, entries = rule.words("roles"), rule.words("entries")
    if (roles and case.roles.isdisjoint(roles)) or (entries and case.entries.isdisjoint(entries)):
        return ()
    kinds = rule.words("kinds")
    found = tuple(
        i.span
        for i in (case.open if roles or entries else ())
        if sure(i)
        and (not roles or i.role in roles)
        and (not kinds or i.kind in kinds)
        and (not entries or (i.entry is not None and i.entry.id in entries))
        and not (i.entry is not None and i.entry.id in rule.words("but"))
        and not (rule.values.get("livestock") and is_poultry(i))
    )
    beside = case.setting.beside.first(rule.words("beside"))
    return (*found, beside) if beside is not None else found


def before_name(rule: Rule, case: Case) -> Ruling | None:
    """A word that must stand immediately before the name (`words` before one of `products`)."""
    place = case.setting.front.first(rule.words("words"))
    if place is None:
        return None
    products = folded(rule.words("products"))
    words = case.text(place)
    if any(
        word in products and span.text == place.text and span.start > place.end for _, word, _, span in follow(case)
    ):
        return meets("before_name_meets", place, words=words)
    return cannot_tell("before_name_open", place, words=words)


def barred_food(rule: Rule, case: Case) -> Ruling | None:
    """Foods (`names` of the front) that may not hold anything of some `roles` and `kinds`; beside a word of `or_names`
    it is left open.
    """
    if case.roles.isdisjoint(rule.words("roles")):
        return None
    place = case.setting.front.first(rule.words("names"))
    held = tuple(i for role in rule.words("roles") for i in case.of_role(role, *rule.words("kinds")) if sure(i))
    if place is None or not held:
        return None
    words, names = case.text(place), listed_words(case, held)
    if case.setting.front.holds(rule.words("or_names")):
        return cannot_tell("barred_food_open", place, *spans(held), words=words, names=names)
    return breaks("barred_food_breaks", place, *spans(held), words=words, names=names)


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
        kinds, products, denied = _kind_of(rule.id), folded(rule.words("products")), folded(rule.words("denied_by"))
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
    general = any(word in folded(rule.words("general")) for _, word, _, _ in follow(case))
    for i in case.open:
        missing = _kinds(rule, i) - named.all
        if not missing:
            continue
        doubtful = missing & _UNCLEAR or all(near.get(kind) in named.all for kind in missing) or general
        (unclear if doubtful or not sure(i) else others).append(i)
    return tuple(others), tuple(unclear)


def _kinds(rule: Rule, ingredient: Ingredient) -> frozenset[str]:
    """The kinds of animal a tissue is of; nothing for what is no tissue or stands for the tissues in its bracket. A
    meat such as chorizo that does not say its animal leaves it open.
    """
    entry = ingredient.entry
    if ingredient.role not in ANIMAL or entry is None or any(p.role in ANIMAL for p in ingredient.parts):
        return frozenset()
    if entry.kind in ("cooked", "cured") and _kind_of(rule.id).keys().isdisjoint(word_keys(ingredient.printed)):
        return _UNCLEAR
    return frozenset(entry.species) or _UNCLEAR


@lru_cache(maxsize=64)
def _words_of(rule: str) -> dict[str, frozenset[str]]:
    """The words for each kind of animal, folded."""
    species = by_id()[rule].values["species"]
    return {kind: frozenset(map(wordforms.word_key, words)) for kind, words in species.items() if kind != "__line__"}


@lru_cache(maxsize=64)
def _kind_of(rule: str) -> dict[str, str]:
    """The kind of animal each word names."""
    return {word: kind for kind, words in _words_of(rule).items() for word in words}


JUDGES = {
    "kind_in_name": kind_in_name,
    "kinds_of_name": kinds_of_name,
    "one_kind": one_kind,
    "sole_ingredient": sole_ingredient,
    "in_name": in_name,
    "before_name": before_name,
    "barred_food": barred_food,
}
