"""Judges of additives on a list: the class of additive before the name or number, and the name behind the class."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from reader import wordforms
from reader.facts import closed
from reader.ingredient_tree import Ingredient
from reader.law.case import Case
from reader.law.rules import Rule
from reader.law.values import Ruling, breaks, cannot_tell, meets
from reader.law.words import listed_words

_CERTAIN = frozenset(("exact", "number", "spelling"))  # ways of understanding a name that leave no other reading
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
    """Each additive stands with its class. Additives in a row share a class word ("antioxidants: A, B"), so only a row
    without any is bare; it looks like a break only if others of the list have theirs, the additive can be nothing else
    (`sure`: roles), and no clause shows that the list was written for another law.
    """
    if not case.roles.intersection(rule.words("roles")):
        return None
    rows = list(_rows(case.product.printed, case, rule))
    every = [a for row in rows for a in row]
    if not every:
        return None
    if all(a.classed for a in every):
        return meets("additives_classed", *(a.ingredient.span for a in every), words=_quoted(case, every))
    bare = [
        a for row in rows if not any(a.classed or _class_beside(a.ingredient, case, rule) for a in row) for a in row
    ]
    sure = [a for a in bare if _is_sure(a.ingredient, rule)]
    if sure and any(a.classed for a in every) and all(i.clause is None for i in case.own):
        return breaks("additives_bare", *(a.ingredient.span for a in sure), words=_quoted(case, sure))
    unclear = bare or [a for a in every if not a.classed]
    return cannot_tell("additives_unclear", *(a.ingredient.span for a in unclear), words=_quoted(case, unclear))


def additive_named(rule: Rule, case: Case) -> Ruling | None:
    """Behind each class word stands a name or number. A class word at the end of what was pasted may be cut off, and
    one before an additive or words not understood may belong to them.
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
    for found, verdict, key in (
        (alone, breaks, "class_alone"),
        (open_, cannot_tell, "class_open"),
        (named, meets, "class_named"),
    ):
        if found:
            return verdict(key, *(i.span for i in found), words=listed_words(case, found))
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
    return item.role in rule.words("sure") and item.match.kind in _CERTAIN and not item.class_word


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
    keys = [wordforms.word_key(w) for w in wordforms.words(beside)]
    runs = {"".join(keys[i:j]) for i in range(len(keys)) for j in (i + 1, i + 2)}
    return bool(runs & _classes(rule.words("words"))) or any(n.kind == "purpose" for n in item.notes)


def _is_class(word: str, rule: Rule) -> bool:
    return bool(word) and wordforms.key(word) in _classes(rule.words("words"))


@lru_cache(maxsize=8)
def _classes(words: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(wordforms.key, words))


def _quoted(case: Case, additives: Iterable[_Additive]) -> str:
    return listed_words(case, (a.ingredient for a in additives))


JUDGES = {"additive_class": additive_class, "additive_named": additive_named}
