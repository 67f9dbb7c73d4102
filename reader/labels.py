"""Words before a colon and class words: what they name, a class of additives, a mixture or a food of the pack."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from reader import tables, wordforms
from reader.ingredient_tree import Ingredient
from reader.naming.lookup import known
from reader.naming.words import Piece
from reader.phrases import book
from reader.statement.tree import Item

MAIN = "main"
TISSUE = frozenset(("meat", "mechanically_separated", "fat", "by_product"))
_WRAPS = frozenset(("group", "spice", "flavouring"))
_LEADS = ("containing", "contains", "contain", "consisting of", "including")


@lru_cache(maxsize=16384)
def is_class(words: str) -> bool:
    """Whether the words name classes of additives and nothing else: "antioxidant and acidity regulator"."""
    parts = words.replace("&", " and ").replace("/", " and ").split()
    sides = " ".join("," if w.lower() in ("and", "or") else w for w in parts).split(",")
    return all(wordforms.key(side) in book().class_words for side in sides)


def wrapping(item: Item, clean: str) -> Piece | None:
    """The mixture a label names in mid-list ("spices and flavoring: garlic powder"), if it names one."""
    if item.label is None or item.starts_sentence:
        return None
    text = item.label.of(clean)
    for lead in _LEADS:
        text = text[: -len(lead)].rstrip() if text.lower().endswith(" " + lead) else text
    pieces = known(text)
    fits = pieces and all(p.match.entry and p.match.entry.role in _WRAPS for p in pieces)
    return pieces[0] if fits else None


def without_class_word(text: str) -> tuple[str, int, str]:
    """ "Preservative sodium nitrite" → ("sodium nitrite", 13, "Preservative"); unchanged if it names no class."""
    if known(text):
        return text, 0, ""
    words = text.split()
    for count in (3, 2, 1):
        head, rest = " ".join(words[:count]), " ".join(words[count:])
        if rest and wordforms.key(head) in book().class_words and known(rest, True):
            return text[text.index(words[count], len(head)) :], text.index(words[count], len(head)), head
        tail, front = " ".join(words[-count:]), " ".join(words[:-count])
        if front and wordforms.key(tail) in book().class_words and known(front, True):
            return text[: text.rindex(words[-count])].rstrip(), 0, tail
    return text, 0, ""


def section_kind(label: str) -> str:
    """What a list is about by its heading: a kind of section_kinds in lexicon/phrases.yaml, or MAIN.

    The last telling word decides: "hot dog bun" is a bun, "apple sausage" a sausage.
    """
    kinds: dict[str, str] = book().section_kinds
    words = [wordforms.word_key(w) for w in wordforms.words(label)]
    for end in range(len(words), 0, -1):
        for run in ("".join(words[max(0, end - 2) : end]), words[end - 1]):
            if run in kinds:
                return kinds[run]
            if run in _sausages():
                return MAIN
    return MAIN


@lru_cache(maxsize=1)
def _sausages() -> frozenset[str]:
    return frozenset(wordforms.key(w) for w in tables.load_raw()["phrases"]["product_words"]["sausage"])


def is_torn_heading(before: Sequence[Ingredient], after: Sequence[Ingredient]) -> bool:
    """Whether one finished food and the label behind it are together the heading of what follows, with a comma inside:
    "turkey frankfurter, smoke flavor added: mechanically separated turkey, …".
    """
    if len(before) != 1 or not after:
        return False
    return before[0].kind in ("cooked", "cured") and not before[0].parts and after[0].role in TISSUE
