"""Judge of claims that something is not in it ("no MSG", "no preservatives", "gluten free"): words against the list."""

from __future__ import annotations

from functools import lru_cache

from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.claimed import claims
from reader.law.rules import Rule
from reader.law.terms import spans
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import quoted


def absent(rule: Rule, case: Case) -> Ruling | None:
    """Whether the list names something of what is said not to be in it (`words`, `not_words`, `not_before`,
    `not_after`: how it is said).

    `against`: ingredients that leave the claim no lawful reading; `open`: others of which that is not settled. Both
    name entries, roles ("phosphate"), kinds ("cure:nitrite") and allergens ("allergen:wheat").
    `explained`: words of the label that leave it open whatever is listed. `told_only`: a list that names nothing of it
    does not meet the claim, since the claim is about more than the list.
    """
    claim = next(claims(rule, case), None)
    if claim is None or not case.terms:
        return None
    words = case.text(claim.span)
    against = _listed(rule, "against", case)
    doubtful = [term for term in _listed(rule, "open", case) if term not in against]
    explained = case.words.first(rule.words("explained"))
    if against and explained is None:
        return breaks("absent_breaks", claim.span, *spans(against), words=words, names=quoted(case, against))
    if against or doubtful:
        terms = [*against, *doubtful]
        return cannot_tell("absent_open", claim.span, *spans(terms), words=words, names=quoted(case, terms))
    if rule.values.get("told_only"):
        return cannot_tell("absent_told_only", claim.span, words=words)
    return meets("absent_meets", claim.span, words=words)


def _listed(rule: Rule, group: str, case: Case) -> list[Ingredient]:
    wanted = frozenset(rule.words(group))
    return [term for term in case.terms if wanted & _called(term)] if wanted else []


def _called(term: Ingredient) -> frozenset[str]:
    entry = term.entry
    return frozenset() if entry is None else _names_of(entry.id, entry.role, entry.kind, entry.allergens)


@lru_cache(maxsize=4096)
def _names_of(entry: str, role: str, kind: str, allergens: tuple[str, ...]) -> frozenset[str]:
    return frozenset((entry, role, f"{role}:{kind}", *(f"allergen:{a}" for a in allergens)))


JUDGES = {"claim_absent": absent}
