"""Panel text → tokens: numbers with their unit, and the wordings of lexicon/panel_words.yaml. Punctuation is no token.

Grammar:  text = (number [unit] | wording | word)*.  A wording is one or more words of the lexicon, longest first,
whatever stands between them; capitals and accents do not matter. A number whose digits were letters is marked, so
that OCR slips can be told.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from itertools import islice
from typing import Any, NamedTuple

from reader import tables

SOFT = "\u00ad"
_PART_OF_WORD = r"[^\W\d_]"


class Token(NamedTuple):
    """One token at `start:end`. `kind`: number, unit, word, name, or a kind of wording in panel_words.yaml."""

    kind: str
    start: int
    end: int
    value: str = ""  # the digits of a number, the nutrient of a name, the word itself of a word
    unit: str = ""  # g, mg, mcg, kj, kcal, oz, ml, iu, % or nothing
    wording: str = ""  # the folded wording it was found by
    less: bool = False  # "<" stands before the number
    fixed: bool = False  # letters were read as digits


class Wording(NamedTuple):
    """A wording without its first word, its kind, and what it stands for."""

    rest: list[str]
    kind: str
    value: str
    whole: str


class Vocabulary(NamedTuple):
    """What panel_words.yaml says, ready for use."""

    phrases: dict[str, tuple[Wording, ...]]  # first word → (further words, kind, value)
    slips: dict[str, str]  # a word as OCR may show it → the word
    units: dict[str, str]  # printed → canonical
    forms: dict[str, tuple[str, ...]]  # folded wording → layouts it speaks for
    token: re.Pattern[str]


class _Fold(dict[int, str]):
    """Table for str.translate: each letter → one small letter without its accent, so no place moves."""

    def __missing__(self, code: int) -> str:
        opened = unicodedata.normalize("NFD", chr(code).lower())
        self[code] = letter = opened[0] if opened and not opened[0].isspace() else chr(code)
        return letter


_FOLD = _Fold()
WORDINGS = {  # section of panel_words.yaml → kind of its tokens
    "unused_rows": "name", "headings": "heading", "serving_size": "serving_size", "servings_in_pack": "servings",
    "per": "per", "portion": "portion", "pack": "pack", "includes": "includes", "less_than": "less", "zero": "zero",
    "fillers": "filler", "notes": "note", "tables_of_the_day": "day_table", "other_parts": "other_part",
}  # fmt: skip


def fold(text: str) -> str:
    """The text in small letters without accents, of the same length."""
    return text.lower() if text.isascii() else text.translate(_FOLD)


def slip_key(word: str) -> str:
    """What OCR cannot tell apart made one: i, l, 1 → l; 0 → o; rn → m."""
    return word.replace("rn", "m").replace("1", "l").replace("i", "l").replace("0", "o")


def _words(wording: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[^\W\d_]+", fold(wording)))


@lru_cache(maxsize=1)
def vocabulary() -> Vocabulary:
    """The wordings of lexicon/panel_words.yaml. Read once."""
    raw = tables.load_raw()["panel_words"]
    wordings: dict[tuple[str, ...], tuple[str, str]] = {}
    for section, kind in WORDINGS.items():
        for wording in raw[section]:
            wordings[_words(wording)] = (kind, "")
    for nutrient, names in _pairs(raw["nutrients"]):
        wordings.update((_words(name), ("name", nutrient)) for name in names)
    units = {fold(printed): unit for unit, names in _pairs(raw["units"]) for printed in names}
    forms = {" ".join(_words(wording)): tuple(of) for wording, of in _pairs(raw["forms"])}
    phrases = _by_first_word(wordings)
    slips = {slip_key(word): word for word in phrases if len(word) > 3}
    return Vocabulary(phrases, slips, units, forms, _pattern(units))


def _pairs(raw: dict[str, Any]) -> list[tuple[str, Any]]:
    return [(key, value) for key, value in raw.items() if key != "__line__"]


def _by_first_word(
    wordings: dict[tuple[str, ...], tuple[str, str]],
) -> dict[str, tuple[Wording, ...]]:
    found: dict[str, list[Wording]] = {}
    for words, (kind, value) in wordings.items():
        whole = " ".join(words)
        found.setdefault(words[0], []).append(Wording(list(words[1:]), kind, value, whole))
        if len(words) > 1:  # "totalfat": the blanks were lost
            found.setdefault("".join(words), []).append(Wording([], kind, value, whole))
    return {first: tuple(sorted(rest, key=lambda r: -len(r[0]))) for first, rest in found.items()}


def _pattern(units: dict[str, str]) -> re.Pattern[str]:
    """One pass over the text. Every repetition is bounded, so time grows with the length of the text only."""
    letters = sorted((re.escape(u) for u in units if u != "%"), key=len, reverse=True)
    unit = rf"(?:%|(?:{'|'.join(letters)})(?!{_PART_OF_WORD}))"
    number = (
        rf"(?<![^\W_])(?!oil\b)[oli][\doli]{{0,5}}(?=\s?{unit})"  # Og, l1 g
        r"|(?<![^\W_])[oli]{1,2}\d[\doli]{0,5}(?![^\W_])"  # l70, O5
        r"|(?=\d{1,7}[oli])\d[\doli]{1,7}(?<!i)(?![^\W_])"  # 17O, 1l0; not the additive 450i
        r"|\d{1,3}(?:,\d{3}){1,3}(?!\d)"  # 1,050
        rf"|[1-9][ ]\d{{3}}(?=\s?(?:kj|kcal|mg)(?!{_PART_OF_WORD}))"  # 1 198 kJ
        rf"|\d[\doli]{{0,8}}(?:[.,][\doli]{{1,4}})?(?=\s?{unit})"  # 12g, 1O g
        r"|\d{1,12}(?:[.,]\d{1,6})?|[.,]\d{1,6}"
    )
    more = rf"{_PART_OF_WORD}*(?:(?:{SOFT}|[01](?!{unit})(?={_PART_OF_WORD})){_PART_OF_WORD}*)*"  # So1d, but not Fat1g
    word = (
        rf"(?![oli]{{1,3}}(?:m?c?g(?!{_PART_OF_WORD})|k)){_PART_OF_WORD}{{3}}{more}"  # first: most of a label is words
    )
    code = (
        r"(?<![^\W_])[a-hj-km-np-z]{1,2}\d{1,3}[a-z]?(?![^\W_])"  # B12, E250: no numbers of a row
        rf"|(?<![^\W_])(?=[bsz]{{0,6}}\d)(?=\d{{0,6}}[bsz])[\dbsz]{{2,7}}(?=\s?{unit}|(?![^\W_]))"  # 4B0mg
    )
    return re.compile(
        rf"(?P<word>{word})|(?P<code>{code})"
        rf"|(?P<less>[<≤]\s{{0,2}})?(?P<number>{number})(?:\s{{0,2}}(?P<unit>{unit}))?"
        rf"|(?P<short>{_PART_OF_WORD}{more})"
    )


@lru_cache(maxsize=1)
def _signs() -> tuple[re.Pattern[str], tuple[str, ...]]:
    """What a number of a row may begin with, and how headings begin as `slip_key` shows them."""
    raw = tables.load_raw()["panel_words"]
    units = "|".join(sorted((re.escape(u) for u in vocabulary().units), key=len, reverse=True))
    nothing = "|".join(re.escape(fold(word)) for word in raw["zero"])
    headings = {slip_key(_words(heading)[0]) for heading in raw["headings"]}
    return re.compile(rf"\d+|(?<![^\W_])[oli]{{1,6}}\s?(?:{units})|{nothing}"), tuple(sorted(headings))


def may_hold_panel(text: str, rows: int) -> bool:
    """Whether `rows` numbers or the beginning of a heading stand in a text; most statements are told apart by that."""
    number, headings = _signs()
    folded = fold(text)
    if sum(1 for _ in islice(number.finditer(folded), rows)) == rows:
        return True
    slipped = slip_key(folded.replace(SOFT, ""))
    return any(heading in slipped for heading in headings)


def tokens(text: str) -> list[Token]:
    """The tokens of `text` in order."""
    known = vocabulary()
    found = list(known.token.finditer(fold(text)))
    words = [m[0] if m.lastgroup in ("word", "short") else "" for m in found]
    result: list[Token] = []
    i = 0
    while i < len(found):
        word = words[i]
        if not word:
            result.append(_number(found[i], known.units))
            i += 1
            continue
        options = _options(word)
        token, taken = _longest(found, words, i, options) if options else (None, 1)
        result.append(token or _bare(found[i], word, known.units))
        i += taken
    return result


def _number(found: re.Match[str], units: dict[str, str]) -> Token:
    start, end = found.span()
    _, code, less, printed, unit, _ = found.groups()
    if code:
        return Token("word", start, end, code)
    digits = printed if printed.isdigit() else _digits(printed)
    return Token("number", start, end, digits, units[unit] if unit else "", "", less is not None, digits != printed)


def _digits(printed: str) -> str:
    """The digits OCR may have shown as letters. "1o" → "10"."""
    return printed.replace("o", "0").replace("l", "1").replace("i", "1")


@lru_cache(maxsize=16384)
def _options(word: str) -> tuple[Wording, ...]:
    """The wordings that begin with this word, longest first."""
    known = vocabulary()
    plain = word.replace(SOFT, "")
    options = known.phrases.get(plain)
    if options is None and len(plain) > 3 and plain not in known.units:
        options = known.phrases.get(known.slips.get(slip_key(plain), ""))
    return options or ()


def _longest(
    found: list[re.Match[str]], words: list[str], i: int, options: tuple[Wording, ...]
) -> tuple[Token | None, int]:
    """The longest wording that begins at word `i`, and how many words it took; or None."""
    for rest, kind, value, whole in options:
        size = len(rest)
        if not size or words[i + 1 : i + 1 + size] == rest:
            return Token(kind, found[i].start(), found[i + size].end(), value, "", whole), size + 1
    return None, 1


def _bare(found: re.Match[str], word: str, units: dict[str, str]) -> Token:
    unit = units.get(word)
    return Token("unit" if unit else "word", found.start(), found.end(), word, unit or "")


@lru_cache(maxsize=1)
def percent_alone() -> frozenset[str]:
    """The rows whose percentage alone is worth keeping; "" stands for rows we know but do not use."""
    return frozenset(["", *tables.load_raw()["panel_words"]["percent_alone"]])


@lru_cache(maxsize=1)
def small_words() -> frozenset[str]:
    """The words of which a panel says nothing by themselves."""
    return frozenset(tables.load_raw()["panel_words"]["small_words"])


def usual_energy(market: str) -> str:
    """energy_kj or energy_kcal: what an energy number without unit is in this market."""
    return str(tables.load_raw()["panel_words"]["energy_without_unit"][market])
