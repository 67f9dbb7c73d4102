"""The set phrases of lexicon/phrases.yaml, ready to be tried at a place in a text.

The pattern language is explained at the head of that file. Phrases are found by their first word, so that
only the few which could begin at a word are tried there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from reader import tables, wordforms

_NUMBERS = {
    "half": 0.5,
    "one half": 0.5,
    "½": 0.5,
    "one": 1.0,
    "two": 2.0,
    "three": 3.0,
    "five": 5.0,
    "ten": 10.0,
}
_GAP = r"\s*:?\s*"
_N = (
    r"(?P<n>\d{1,4}/[1-9]\d{0,3}(?:\s+of\s+1(?!\d))?|\d+(?:[.,]\d+)?|½|(?:one half|half|one|two|three|five|ten)(?!\w))"
    r"[\s-]*"
)
# Scanners print "%" as "°/o", and "$" is its neighbour on the keyboard.
_PERCENT = r"(?:[%$]|°/o|(?:percent|per cent|pct)(?!\w))" + _GAP
# A percentage in a label of unusual wording.
_ANY_PERCENT = r".{0,80}?(?P<n>\d+(?:[.,]\d+)?|(?:one|two|three|five)(?!\w))\s*(?:%|percent|per cent|pct|°/o)"
# The name of an ingredient: up to what the pattern goes on with, or to the end of the item if it ends the pattern.
_X = r"(?P<x>[^\W\d][\w \-]{0,60}?)\s+"
_LAST_X = r"(?P<x>[^\W\d][\w \-]{0,60})"
_PIECE = re.compile(r"\{\(\}|\{\)\}|\{n\}|\{x\}|\{%\}|\{rest\}|[\[\]()]|[^\[\](){}]+")


@dataclass(frozen=True, slots=True)
class Phrase:
    """One set phrase. `kind` says what it is, `at` where it may begin, `until` where it ends."""

    kind: str
    pattern: str
    at: str = "anywhere"
    until: str = "phrase"
    bracket: bool = False  # only directly after an opening bracket
    alone: bool = False  # only if nothing but the phrase stands between separators
    smoke: str = ""

    @property
    def regex(self) -> re.Pattern[str]:
        """The pattern as a regular expression, made when it is first tried."""
        return compile_pattern(self.pattern)


def percent_of(found: re.Match[str]) -> float:
    """The number {n} of a phrase, in percent; "1/10 of 1" is 0.1."""
    printed = found.group("n")
    if "/" in printed:
        above, below = printed.split()[0].split("/")
        return int(above) / int(below)
    return _NUMBERS.get(" ".join(printed.split())) or float(printed.replace(",", "."))


def _words(text: str) -> str:
    """A literal as a regex: blanks stand for any run of blanks, a hyphen also for none, `or` also as an OCR slip."""
    literal = r"\s+".join(re.escape(w).replace(r"\-", r"[\s-]?") for w in text.split())
    ending = r"(?!\w)" if text.strip()[-1].isalnum() else ""
    return re.sub(r"\bor\b", "[o0]r", literal) + ending + _GAP


@lru_cache(maxsize=512)
def compile_pattern(pattern: str) -> re.Pattern[str]:
    """The regular expression of a pattern. Raises LexiconError on an unclosed bracket."""
    out: list[str] = []
    pieces = _PIECE.findall(pattern.replace("{rest}", "").rstrip())
    for k, piece in enumerate(pieces):
        if piece == "{n}":
            out.append(_N)
        elif piece == "{%}":
            out.append(_PERCENT)
        elif piece in ("{(}", "{)}"):
            out.append(re.escape(piece[1]) + _GAP)
        elif piece == "{x}":
            out.append(_LAST_X if k == len(pieces) - 1 else _X)
        elif piece in "[]()":
            out.append({"[": "(?:", "]": ")?", "(": "(?:", ")": ")"}[piece])
        elif piece.strip():
            alternatives = [_words(a) for a in piece.split("/") if a.strip()]
            empty_first = piece.startswith("/") or not piece.split("/")[-1].strip()
            out.append("(?:" + "|".join(alternatives) + ")" + ("?" if empty_first and len(alternatives) > 1 else ""))
    try:
        return re.compile("".join(out))
    except re.error as error:
        raise tables.LexiconError(
            f'lexicon/phrases.yaml: the pattern "{pattern}" is not well formed: {error}.'
        ) from error


def first_words(pattern: str) -> set[str]:
    """The words a pattern may begin with; "#" stands for a number."""
    found, depth, optional = set(), 0, False
    for piece in _PIECE.findall(pattern.replace("{rest}", "")):
        if piece == "{n}":
            found.add("#")
            found.update(w.split()[0] for w in _NUMBERS if w[0].isalpha())
            if depth == 0 or not optional:
                return found
        elif piece in "[(":
            depth += 1
            optional = optional or piece == "["
        elif piece in "])":
            depth -= 1
            if depth == 0:
                if not optional:
                    return found
                optional = False
        elif piece not in ("{%}", "{x}", "{(}", "{)}") and piece.strip():
            for alternative in piece.split("/"):
                leading = wordforms.WORD.search(alternative)
                if leading or alternative.strip():
                    found.add(leading.group().lower() if leading else alternative.strip())
            if depth == 0:
                return found
    return found


class PhraseBook:
    """All set phrases, by the word they may begin with, and the word lists of phrases.yaml."""

    def __init__(self, raw: dict[str, Any]) -> None:
        self.clauses: dict[str, list[Phrase]] = {}
        self.headings: dict[str, list[Phrase]] = {}
        self.foreign_headings: dict[str, list[Phrase]] = {}
        self.leads: dict[str, list[Phrase]] = {}
        self.notes: dict[str, list[Phrase]] = {}
        self.asides: dict[str, list[Phrase]] = {}
        for group, index in (
            ("clauses", self.clauses),
            ("headings", self.headings),
            ("foreign_headings", self.foreign_headings),
            ("leads", self.leads),
        ):
            for pattern in raw[group]["patterns"]:
                _put(index, pattern, Phrase(group[:-1], pattern))
        for group, index in (("notes", self.notes), ("asides", self.asides)):
            for item in raw[group]:
                _put(index, item["pattern"], _phrase(item))
        limiting = "|".join(re.escape(w).replace(r"\ ", r"\s+") for w in raw["clauses"]["limiting"])
        self.clause_words = re.compile(rf"(?=.*(?:{limiting})){_ANY_PERCENT}", re.S)
        self.prose_words = frozenset(wordforms.key(w) for w in raw["prose_words"])
        self.sentence_words = self.prose_words | {wordforms.key(w) for w in raw["sentence_words"]}
        self.origin_words = frozenset(wordforms.key(w) for w in raw["origin_words"])
        self.clause_lead_ins = frozenset(raw["clauses"]["lead_ins"])
        self.class_words = frozenset(wordforms.key(w) for w in raw["class_words"]["words"])
        self.collectives = frozenset(wordforms.key(w) for w in raw["collectives"])
        self.tails = frozenset(wordforms.key(w) for w in raw["tails"])
        self.shared_tails = frozenset(wordforms.key(w) for w in raw["shared_tails"])
        self.shared_heads = frozenset(wordforms.key(w) for w in raw["shared_heads"])
        self.single = {k: frozenset(v) for k, v in raw["single"].items() if isinstance(v, list)}
        self.dependent_heads = frozenset(wordforms.key(w) for w in raw["dependent_heads"])
        self.heads = frozenset(wordforms.key(w) for w in raw["heads"])
        self.qualifiers = frozenset(wordforms.key(w) for w in raw["qualifiers"])
        self.confusable = tuple((a, b) for a, b in raw["confusable"])
        self.languages = {k: frozenset(v) for k, v in raw["languages"].items() if isinstance(v, list)}
        self.section_kinds = {wordforms.key(w): s["kind"] for s in raw["section_kinds"] for w in s["words"]}
        self.casing = CasingPhrases(raw["casings"])
        indexes = (self.headings, self.foreign_headings, self.clauses, self.asides, self.notes, self.leads)
        self.begin = frozenset[str]().union(self.casing.first, *indexes)  # few words of a label begin any phrase


def _phrase(item: dict[str, Any]) -> Phrase:
    return Phrase(
        kind=item["kind"],
        pattern=item["pattern"],
        at=item.get("at", "anywhere"),
        until=item.get("until", "phrase"),
        bracket=bool(item.get("bracket")),
        alone=bool(item.get("alone")),
        smoke=item.get("smoke", ""),
    )


def _put(index: dict[str, list[Phrase]], pattern: str, phrase: Phrase) -> None:
    for word in first_words(pattern):
        index.setdefault("#" if word[0].isdigit() else word, []).append(phrase)


class CasingPhrases:
    """Finds a casing phrase and tells what it says: material and species."""

    def __init__(self, raw: dict[str, Any]) -> None:
        self.materials = {m["word"]: m["value"] for m in raw["materials"]}
        self.species = {s["word"]: s["value"] for s in raw["species"]}
        describing = _any_of([*self.materials, *self.species, *raw["fillers"], "and/or"])
        leads, heads = _any_of(raw["leads"]), _any_of(raw["heads"])
        materials = _any_of(self.materials)
        gap = r"[\s()&/\-]*"
        ends = r"(?=\s*(?:[.,;:()\[\]*]|\n|$))"
        made_of = rf"(?:\s+(?:made\s+)?(?:from|of)\s+(?:an?\s+)?{describing}(?:{gap}{describing}){{0,10}})?"
        self.before = re.compile(rf"(?:{leads}\s+){{0,8}}(?:{describing}{gap}){{0,10}}{heads}{made_of}")
        self.bare = re.compile(
            rf"(?:(?:{leads}\s+){{0,8}}in(?:to)?\s+(?:an?\s+)?(?:{describing}{gap}){{0,4}}{_any_of(raw['wraps'])}"
            rf"|(?:{leads}\s+){{0,8}}{_any_of(raw['alone'])}){ends}"
        )
        self.after = re.compile(
            r"casings?\s*(?:made (?:from|of|with)|is|of|from|:|-|=)\s*(?:an?\s+)?"
            rf"{describing}(?:{gap}{describing}){{0,10}}"
        )
        self.encased = re.compile(rf"(?:encased|enclosed|stuffed)\s+in(?:to)?\s+(?:an?\s+)?(?:natural\s+)?{materials}")
        self._material = re.compile(materials)
        self._species = re.compile(_any_of(self.species))
        self._weak_heads = frozenset(raw["heads_need_material"])
        self.first = frozenset(
            w.split()[0]
            for w in [*raw["leads"], *self.materials, *self.species, *raw["fillers"], *raw["heads"], *raw["alone"]]
        )
        self._signs = tuple(raw["signs"])

    def may_stand_in(self, lower: str) -> bool:
        """Whether a text in lower case holds a run of letters that every casing phrase has one of."""
        return any(sign in lower for sign in self._signs)

    def match(self, lower: str, at: int) -> int:
        """Where a casing phrase that begins at `at` ends; 0 if none does."""
        found = self.after.match(lower, at) or self.before.match(lower, at)
        if found is not None:
            text = found.group()
            head = text.rsplit(None, 1)[-1].strip("()")
            if found.re is self.before and head in self._weak_heads and not self._material.search(text):
                return 0
        found = found or self.encased.match(lower, at) or self.bare.match(lower, at)
        return found.end() if found else 0

    def read(self, words: str) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
        """(material, species values, species words as printed) of a casing phrase in lower case; "" if unsaid."""
        materials = [self.materials[m] for m in self._material.findall(words)]
        material = next((m for m in materials if m != "natural"), materials[0] if materials else "")
        printed = tuple(dict.fromkeys(self._species.findall(words)))
        return material, tuple(dict.fromkeys(self.species[p] for p in printed)), printed


def _any_of(words: Any) -> str:
    ordered = sorted(words, key=len, reverse=True)
    literals = (re.escape(w).replace(r"\ ", r"[\s-]+") for w in ordered)
    return "(?:" + "|".join(rf"\b{w}\b" if w[0].isalnum() else w for w in literals) + ")"


@lru_cache(maxsize=1)
def book() -> PhraseBook:
    """The phrase book of the lexicon, built once."""
    return PhraseBook(tables.load_raw()["phrases"])
