"""What the heading of a column says: role, unit, basis, language, currency. Words: lexicon/column_names.yaml.

A heading is a few words. The longest wordings known are taken out of it first, wherever they stand; what is left over
lowers the score of the role found, and a heading nothing was made of is compared with all wordings for misspellings.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from rapidfuzz import fuzz, process

from reader import tables
from reader.catalogue.settings import guessing, pairs
from reader.wordforms import plain

EXACT, WORDS, NEAR, PERHAPS, NOTHING = "exact", "words", "near", "perhaps", ""
KEPT = "kept"  # the heading of a column that is known and not used
ENERGY = "energy"  # energy whose unit stands in the cells, or nowhere
NUTRIENTS = (
    ENERGY, "energy_kcal", "energy_kj", "fat_g", "satfat_g", "carb_g", "sugar_g", "fibre_g", "protein_g", "sodium_mg",
    "salt_g",
)  # fmt: skip
TEXTS = ("statement", "panel", "name", "supplier", "code", "market", "price", "net_weight")
SERVING_SIZE, BASIS = "serving_size_g", "basis"
ROLES = (*TEXTS, SERVING_SIZE, BASIS, *NUTRIENTS)

_LONGEST = 300  # characters; a longer cell is no heading
_WORD = re.compile(r"[^\W\d_]+|\d+|[%€£$]")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z][a-z])|(?<=[a-z]{2})(?=[A-Z])")  # not inside "kJ"
_LEAST_LETTERS = 5  # letters a word must have to be compared for misspellings


class Heading(NamedTuple):
    """What a heading says. role: one of ROLES, KEPT or "". score: 0 to 100. how: EXACT, WORDS, NEAR, PERHAPS, NOTHING.

    wording: as the lexicon has it. unit: g, mg, kcal, kg, % …; basis: as in `Entry.basis`; language: "english",
    "other"; currency: the sign or word; each "" where the heading does not say.
    """

    role: str = ""
    score: float = 0
    how: str = NOTHING
    wording: str = ""
    unit: str = ""
    basis: str = ""
    language: str = ""
    currency: str = ""


class _Phrase(NamedTuple):
    kind: str  # role, perhaps, basis, unit, language, currency, filler
    value: str
    wording: str


class _Vocabulary(NamedTuple):
    phrases: dict[tuple[str, ...], tuple[_Phrase, ...]]
    longest: int
    joined: dict[str, _Phrase]  # wording without blanks → its role, for misspellings and lost blanks


def words_of(text: str) -> tuple[str, ...]:
    """The words of a heading, folded: "SodiumMg_per100g" → sodium, mg, per, 100, g."""
    return tuple(plain(w) for w in _WORD.findall(_CAMEL.sub(" ", text.replace("#", " no "))))


@lru_cache(maxsize=1)
def _vocabulary() -> _Vocabulary:
    found: dict[tuple[str, ...], list[_Phrase]] = {}
    joined: dict[str, _Phrase] = {}

    def add(kind: str, value: str, wordings: list[str]) -> None:
        for wording in wordings:
            words = words_of(wording)
            phrase = _Phrase(kind, value, wording)
            if words and all(p.kind != kind for p in found.get(words, ())):
                found.setdefault(words, []).append(phrase)
                if kind == "role":
                    joined.setdefault("".join(words), phrase)

    raw = tables.load_raw()
    names, panel, prices = raw["column_names"], raw["panel_words"], raw["price_words"]
    for role, told in pairs(names["columns"]):
        add("role", role, [*told["names"], role])
        add("perhaps", role, told["perhaps"])
    for role in NUTRIENTS:
        add("role", role, [*names["nutrients"].get(role, ()), *panel["nutrients"].get(role, ()), role])
    add("role", "panel", panel["headings"])
    add("role", SERVING_SIZE, panel["serving_size"])
    others = [w for row, wordings in pairs(panel["nutrients"]) if row not in NUTRIENTS for w in wordings]
    add("role", KEPT, [*names["kept_only"], *others, *panel["unused_rows"], *panel["servings_in_pack"]])
    for basis, wordings in pairs(names["bases"]):
        add("basis", basis, wordings)
    for unit, wordings in pairs(panel["units"]):
        add("unit", unit, wordings)
    for unit in prices["units"]:
        add("unit", unit["words"][0], unit["words"])
    for language, wordings in pairs(names["languages"]):
        add("language", language, wordings)
    for currency in prices["currencies"]:
        add("currency", currency["code"], [*currency["signs"], currency["code"]])
    add("currency", "$", prices["dollar"])
    add("filler", "", [*names["fillers"], *panel["fillers"], *panel["small_words"]])
    return _Vocabulary({w: tuple(p) for w, p in found.items()}, max(map(len, found)), joined)


@lru_cache(maxsize=4096)
def heading(text: str) -> Heading:
    """What a heading says; any text gives a value."""
    if len(text) > _LONGEST:
        return Heading()
    words, known = words_of(text), _vocabulary()
    if not words:
        return Heading()
    alone = known.joined.get("".join(words))
    if alone and alone.wording in ROLES:  # the names of our own tables, "sodium_mg"
        return Heading(alone.value, 100, EXACT, alone.wording, unit=_unit_of(alone.value))
    taken, left = _taken(words, known)
    return _told(taken, left, known)


def _taken(words: tuple[str, ...], known: _Vocabulary) -> tuple[list[tuple[int, int, _Phrase]], list[str]]:
    """Phrases with their place and length, the longest first, and the words nothing was made of."""
    free = [True] * len(words)
    taken: list[tuple[int, int, _Phrase]] = []
    for size in range(min(known.longest, len(words)), 0, -1):
        for at in range(len(words) - size + 1):
            if all(free[at : at + size]) and (options := known.phrases.get(words[at : at + size])):
                phrase = _chosen(options, at, size, words)
                if phrase is not None:
                    taken.append((at, size, phrase))
                    free[at : at + size] = [False] * size
    return taken, [word for word, is_free in zip(words, free, strict=True) if is_free]


def _chosen(options: tuple[_Phrase, ...], at: int, size: int, words: tuple[str, ...]) -> _Phrase | None:
    """Which of the things a word may mean it means here."""
    by_kind = {phrase.kind: phrase for phrase in options}
    last = at + size == len(words)
    if "language" in by_kind and at and last and "role" not in by_kind:
        return by_kind["language"]  # "de" is a language behind a heading and a small word inside one
    if "role" in by_kind and "basis" in by_kind and len(words) > size:
        return by_kind["basis"]  # "fat, serving"
    if "unit" in by_kind and len(words) > size:
        return by_kind["unit"]
    for kind in ("role", "basis", "unit", "currency", "filler", "perhaps", "language"):
        if kind in by_kind and not (kind == "filler" and len(words) == size and "perhaps" in by_kind):
            return by_kind[kind]
    return None


def _told(taken: list[tuple[int, int, _Phrase]], left: list[str], known: _Vocabulary) -> Heading:
    first = {kind: p.value for _, _, p in reversed(taken) for kind in (p.kind,)}
    beside = {
        "unit": first.get("unit", ""),
        "basis": first.get("basis", ""),
        "language": first.get("language", ""),
        "currency": first.get("currency", ""),
    }
    end = max((at + size for at, size, _ in taken), default=0)
    # The longest wording counts; of equal ones the last, which heads an English compound, as "category" does.
    roles = sorted(
        ((size, p.value != KEPT or at + size == end, at, p) for at, size, p in taken if p.kind == "role"),
        key=lambda r: r[:3],
        reverse=True,
    )
    if roles:
        phrase, others = roles[0][3], sum(p.value != roles[0][3].value for *_, p in roles[1:])
        unknown = len(left) + others
        how = EXACT if not unknown else WORDS
        score = max(100 - guessing("unknown_word") * unknown, 0)
        if phrase.wording in NUTRIENTS:
            beside["unit"] = beside["unit"] or _unit_of(phrase.wording)
        return _with_energy(Heading(phrase.value, score, how, phrase.wording, **beside))
    if not left and beside["unit"] in ("kcal", "kj") and not any(p.kind == "perhaps" for _, _, p in taken):
        return _with_energy(Heading(ENERGY, 95, EXACT, beside["unit"], **beside))
    perhaps = [p for _, _, p in taken if p.kind == "perhaps"]
    if perhaps and not left:
        return Heading(perhaps[0].value, 78, PERHAPS, perhaps[0].wording, **beside)
    near = _near("".join(left), known) if left else None
    if near is not None:
        phrase, score = near
        return _with_energy(Heading(phrase.value, score, NEAR, phrase.wording, **beside))
    return Heading("", 0, NOTHING, "", **beside)


def _unit_of(role: str) -> str:
    """The unit at the end of the name of a number."""
    return role.rpartition("_")[2] if role in (*NUTRIENTS, SERVING_SIZE) and role != ENERGY else ""


def _near(joined: str, known: _Vocabulary) -> tuple[_Phrase, float] | None:
    if joined in known.joined:
        return known.joined[joined], 97
    if len(joined) < _LEAST_LETTERS:
        return None
    found = process.extractOne(joined, known.joined.keys(), scorer=fuzz.ratio, score_cutoff=guessing("misspelt"))
    return (known.joined[found[0]], 0.9 * found[1]) if found and len(found[0]) >= _LEAST_LETTERS else None


def _with_energy(found: Heading) -> Heading:
    """ "Energy (kcal)" is the row of kilocalories."""
    if found.role == ENERGY and found.unit in ("kcal", "kj"):
        return found._replace(role=f"energy_{found.unit}")
    return found
