"""Judges of additives on a list: the class of additive before the name or number, the name behind the class, additives
that must be stated, and caps on amounts no label prints.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from reader import wordforms
from reader.facts import closed, open_terms
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.terms import entry_id, outright, spans
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import keys, listed_words, unquoted
from reader.quantities import show

_BARE_CLASS = "class"  # role of a class word with nothing understood behind it but its bracket


@dataclass(frozen=True, slots=True)
class _Additive:
    """An additive of the list. `classed`: it stands behind or in the bracket of a class word of the rule. `plural`:
    that word is in the plural and may stand for those that follow too.
    """

    ingredient: Ingredient
    classed: bool
    plural: bool = False


def additive_class(rule: Rule, case: Case) -> Ruling | None:
    """Each additive (`roles`) stands with its class (`words`). Additives in a row share a class word ("antioxidants: A,
    B"), so only a row without any is bare; it looks like a break only if others of the list have theirs, the additive
    can be nothing else (`sure`: roles), and no clause shows that the list was written for another law.
    """
    rows = list(_rows(case.product.printed, case, rule)) if case.may_hold(rule) else []
    every = [a for row in rows for a in row]
    if not every:
        return None
    unclassed = [a.ingredient for a in every if not a.classed]
    if not unclassed:
        found = [a.ingredient for a in every]
        return meets("additives_classed", *spans(found), words=listed_words(case, found))
    in_bare_rows = (row for row in rows if not any(a.classed or _class_beside(a.ingredient, case, rule) for a in row))
    bare = [a.ingredient for row in in_bare_rows for a in row]
    sure = [i for i in bare if _is_sure(i, rule)]
    if sure and len(unclassed) < len(every) and all(i.clause is None for i in case.own):
        return breaks("additives_bare", *spans(sure), words=listed_words(case, sure))
    unclear = bare or unclassed
    return cannot_tell("additives_unclear", *spans(unclear), words=listed_words(case, unclear))


def additive_named(rule: Rule, case: Case) -> Ruling | None:
    """Behind each class word (`words`) stands a name or number. A class word at the end of what was pasted may be cut
    off, and one before an additive (`roles`) or words not understood may belong to them.
    """
    if _BARE_CLASS not in case.roles:
        return None
    alone: list[Ingredient] = []
    open_: list[Ingredient] = []
    named: list[Ingredient] = []
    printed = case.product.printed
    for k, item in enumerate(printed):
        if item.role != _BARE_CLASS or not _is_class(item.printed, rule):
            continue
        behind = printed[k + 1] if k + 1 < len(printed) else None
        if item.parts:
            named.append(item)
        elif behind is None or behind.role == "unknown" or _is_additive(behind, rule) or behind.joiner == "missing":
            open_.append(item)
        else:
            alone.append(item)
    for found, ruled, key in (
        (alone, breaks, "class_alone"),
        (open_, cannot_tell, "class_open"),
        (named, meets, "class_named"),
    ):
        if found:
            return ruled(key, *spans(found), words=listed_words(case, found))
    return None


def _rows(siblings: tuple[Ingredient, ...], case: Case, rule: Rule) -> Iterator[list[_Additive]]:
    """Additives that stand in a row, with the class words among them; those inside a food of its own are left out."""
    row: list[_Additive] = []
    alone = False  # whether a class word stands alone before the next one: "preservative, sodium nitrite"
    for item in siblings:
        if item.role == _BARE_CLASS:
            ours = _is_class(item.printed, rule)
            row += [_Additive(p, ours) for p in item.parts if _is_additive(p, rule)]
            alone = ours and not item.parts
            continue
        if _is_additive(item, rule):
            row.append(_Additive(item, True) if alone else _in_row(item, row, case, rule))
            alone = False
            continue
        alone = False
        if row:
            yield row
            row = []
        if item.parts and item.role != "casing" and not closed(item):
            yield from _rows(item.parts, case, rule)
    if row:
        yield row


def _is_additive(item: Ingredient, rule: Rule) -> bool:
    return item.role in rule.words("roles") and item.entry is not None and bool(item.entry.e)


def _is_sure(item: Ingredient, rule: Rule) -> bool:
    """Whether it can be nothing but an additive, and no class word of another law stands before it."""
    return item.role in rule.words("sure") and outright(item) and not item.class_word


def _in_row(item: Ingredient, row: list[_Additive], case: Case, rule: Rule) -> _Additive:
    """An additive with its own class word, before it or in its bracket, or with that of the one before: "preservatives:
    A, B", "preservative A and B".
    """
    printed = item.printed.split()
    beside = (item.class_word, *item.match.dropped, " ".join(printed[:1]), " ".join(printed[:2]))
    word = next((w for w in (*beside, *(case.text(n.span) for n in item.notes)) if _is_class(w, rule)), "")
    if word:
        return _Additive(item, True, word.lower().endswith("s"))
    before = row[-1] if row else None
    shares = before is not None and before.classed and (before.plural or item.joiner == "and")
    return _Additive(item, shares, shares and before is not None and before.plural)


def _class_beside(item: Ingredient, case: Case, rule: Rule) -> bool:
    """Whether a class word stands in a note ("BHT (antioxidant)") or in the name itself ("caramel colour")."""
    beside = " ".join([item.printed, *(case.text(n.span) for n in item.notes)])
    folded = [wordforms.word_key(w) for w in wordforms.words(beside)]
    runs = {"".join(folded[i:j]) for i in range(len(folded)) for j in (i + 1, i + 2)}
    return bool(runs & _classes(rule.words("words"))) or any(n.kind == "purpose" for n in item.notes)


def _is_class(word: str, rule: Rule) -> bool:
    return bool(word) and wordforms.key(word) in _classes(rule.words("words"))


@lru_cache(maxsize=8)
def _classes(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(keys(words))


def stated(rule: Rule, case: Case) -> Ruling | None:
    """Whether additives that must be stated are: some are named (`named`; `kinds`, each a role and a kind), vague words
    leave it open (`vague`; a class word of `class_words` without a name).
    """
    named, kinds, vague, classes = (rule.words(key) for key in ("named", "kinds", "vague", "class_words"))
    clear: list[Ingredient] = []
    for item in open_terms(case.product.printed):
        unnamed = item.role == _BARE_CLASS and item.printed.lower() in classes
        if (unnamed or entry_id(item) in vague) and not item.parts:
            return cannot_tell("stated_vague", item.span, words=item.printed)
        if entry_id(item) in named or f"{item.role} {item.kind}" in kinds:
            clear.append(item)
    return meets("stated_named", *spans(clear), names=unquoted(case, clear)) if clear else None


def amount_not_printed(rule: Rule, case: Case) -> Ruling | None:
    """Something of a `role` and `kinds` is listed whose amount is capped (`most`, in `unit`); no label prints it."""
    found = case.of_role(str(rule.values["role"]), *rule.words("kinds"))
    if not found:
        return None
    limit = f"{show(rule.number('most'))} {rule.values['unit']}"
    return cannot_tell("amount_not_printed", *spans(found), words=listed_words(case, found), limit=limit)


JUDGES = {
    "additive_class": additive_class,
    "additive_named": additive_named,
    "amount_not_printed": amount_not_printed,
    "stated": stated,
}
