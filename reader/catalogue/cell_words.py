"""What single cells say: nothing, "less than", a number and its unit, a market, a basis (lexicon/column_names.yaml)."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import Any, NamedTuple

from reader import tables
from reader.catalogue.settings import pairs
from reader.quantities import number
from reader.wordforms import plain

_NUMBER = r"[-+]?(?:\d{1,3}(?:[ '’]\d{3})+(?!\d)(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)(?:e[-+]?\d{1,2})?"
_GROUPS = re.compile(r"\d{1,3}(?:[.,]\d{3})+")
_EVIDENT = re.compile(r"\d([.,])(?:\d{1,2}|\d{4,})(?!\d)")
_BLANKS = re.compile(r"[\s_/-]")
_BETWEEN = " /|;().=~"  # what may stand between and behind the numbers of one cell
_DIGITS = 15  # a number with more before or behind the point is none
_LONGEST = 60  # characters; a longer cell is no number


class Value(NamedTuple):
    """A number as a cell says it. text: plain, with a decimal point. unit: g, mg, kj …, "" where none stands."""

    text: str
    unit: str
    less: bool


def _names() -> dict[str, Any]:
    raw: dict[str, Any] = tables.load_raw()["column_names"]
    return raw


@lru_cache(maxsize=1)
def _nothing() -> frozenset[str]:
    return frozenset(str(word).lower() for word in _names()["nothing"])


@lru_cache(maxsize=1)
def _patterns() -> tuple[re.Pattern[str], dict[str, str]]:
    units = {plain(w): unit for unit, words in pairs(tables.load_raw()["panel_words"]["units"]) for w in words}
    less = "|".join(re.escape(plain(w)) for w in sorted(_names()["less_than"], key=len, reverse=True))
    unit = "|".join(re.escape(u) for u in sorted(units, key=len, reverse=True))
    return re.compile(rf"(?P<less>{less})?\s*(?P<number>{_NUMBER})\s*(?P<unit>{unit})?(?![^\W\d_])"), units


def is_nothing(cell: str) -> bool:
    """Whether a cell is empty or says that nothing is stated: "-", "n/a"."""
    return not cell.strip() or (len(cell) < 30 and cell.strip().lower() in _nothing())


@lru_cache(maxsize=8192)
def values_of(cell: str, decimal: str = "") -> tuple[Value, ...]:
    """The numbers of a cell that holds nothing else, "1120 kJ / 269 kcal" two; () if there is anything else in it.

    decimal: the decimal mark of the sheet, "" where it is not known.
    """
    if len(cell) > _LONGEST:
        return ()
    text = plain(cell.replace("\u00a0", " ").replace("\u202f", " ").replace("\u2212", "-")).strip()
    pattern, units = _patterns()
    found: list[Value] = []
    at = 0
    for match in pattern.finditer(text):
        printed = _plain(match["number"].rstrip(".,"), decimal)
        if text[at : match.start()].strip(_BETWEEN) or printed is None:
            return ()
        unit = units.get(match["unit"] or "", "")
        if unit != "%" or not found:  # a percentage behind a number is one of a day
            found.append(Value(printed, unit, match["less"] is not None))
        at = match.end()
    return tuple(found) if not text[at:].strip(_BETWEEN) else ()


def _plain(printed: str, decimal: str) -> str | None:
    """A printed number with a decimal point and nothing else; None if it cannot be one."""
    text = printed.replace("’", "").replace("'", "").replace(" ", "")
    if decimal == "," and ("," in text or _GROUPS.fullmatch(text)):
        text = text.replace(".", "").replace(",", ".")
    elif decimal == ".":
        text = text.replace(",", "")
    try:
        return _checked(text) if decimal else _both_marks(text)
    except (ValueError, ArithmeticError):
        return None


def _both_marks(text: str) -> str:
    """Without a known mark: of two different marks the last is the decimal one; else as labels print numbers."""
    if "," in text and "." in text:
        last = max(",.", key=text.rfind)
        other = "," if last == "." else "."
        return _checked(text.replace(other, "").replace(last, "."))
    if _GROUPS.fullmatch(text):
        return f"{number(text):.10g}"
    return _checked(text.replace(",", "."))


def _checked(text: str) -> str:
    """The number written out, without an exponent. Raises ArithmeticError if it is none."""
    value = Decimal(text)
    if not value.is_finite() or abs(value.adjusted()) > _DIGITS:
        raise ArithmeticError(text)
    return f"{value:f}"


def scaled(text: str, factor: str) -> str:
    """A plain number times a factor, exactly, with no more digits than that takes."""
    product = Decimal(text) * Decimal(factor)
    return f"{product.normalize():f}"


def decimal_mark(cells: list[str]) -> str:
    """ "," or "." where some of these cells can be read in one way only, the more frequent; "" where none can."""
    marks = [m for cell in cells if len(cell) <= _LONGEST for m in _EVIDENT.findall(cell)]
    return max(",.", key=marks.count) if marks else ""


@lru_cache(maxsize=1)
def _markets() -> dict[str, str]:
    return {plain(word): code for code, words in pairs(_names()["markets"]) for word in words}


@lru_cache(maxsize=4096)
def market_of(cell: str) -> str:
    """The code of the market a cell names, "" where it names none or several."""
    words = plain(cell.strip()).strip(" .")
    return _markets().get(words) or _markets().get(plain(cell.strip()), "")


@lru_cache(maxsize=1)
def _bases() -> dict[str, str]:
    return {_BLANKS.sub("", plain(word)): basis for basis, words in pairs(_names()["bases"]) for word in words}


@lru_cache(maxsize=4096)
def basis_of(cell: str) -> str:
    """What a cell of a basis column says the numbers are for, as in `Entry.basis`; "" where it does not say."""
    return _bases().get(_BLANKS.sub("", plain(cell)), "") if len(cell) <= _LONGEST else ""


@lru_cache(maxsize=1)
def weight_words() -> frozenset[str]:
    """Words of weight and of number of pieces, folded: g, oz, pack (lexicon/price_words.yaml)."""
    raw = tables.load_raw()["price_words"]
    return frozenset(plain(w) for w in [*raw["times"], *raw["pieces"], *(w for u in raw["units"] for w in u["words"])])
