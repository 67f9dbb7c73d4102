"""Price and net weight as people type them → plain values. Words, currencies and units: lexicon/price_words.yaml."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from reader import tables
from reader.panel.standards import numbers
from reader.problems import Problem
from reader.quantities import Interval, number, show
from reader.spans import Span
from reader.wording import say

BOX, WEIGHT_BOX = "price", "net_weight"  # where a Span of a price points
_MOST = 200  # characters; longer is no price
_MOST_PIECES = 1000  # more is a number that means something else
# No blank inside a number: in "$5 400 g" the 5 and the 400 are two.
_NUMBER = r"[0-9]{1,3}(?:[,.][0-9]{3})+(?![0-9])|[0-9]{0,7}[.,][0-9]{1,7}|[0-9]{1,7}"


@dataclass(frozen=True, slots=True)
class Price:
    """What is paid for a pack and what it weighs. None, or "", is what was not typed or not understood.

    currency: an ISO 4217 code. amount: of money, paid for `paid_for` grams: the pack, or what a price by weight is for
    ("€12.90/kg"). grams: net weight of the pack. pieces: how many are in it.
    problems: what could not be read; their places point into the typed price (box "price") or weight ("net_weight").
    """

    currency: str = ""
    amount: float | None = None
    paid_for: float | None = None
    grams: float | None = None
    pieces: int | None = None
    problems: tuple[Problem, ...] = ()

    @property
    def per_kg(self) -> float | None:
        """Money for a kilogram; None without amount or weight."""
        return None if self.amount is None or self.paid_for is None else self.amount / self.paid_for * 1000


NO_PRICE = Price()


def per_100g_protein(price: Price, protein: Interval | None) -> Interval | None:
    """Money for 100 g of protein, from the true grams in 100 g of product; None without either.

    The upper end is infinite where the product may hold no protein.
    """
    return None if price.per_kg is None or protein is None else _for_a_part(price.per_kg / 10, protein)


def per_kg_of(price: Price, share: Interval | None) -> Interval | None:
    """Money for a kilogram of a part, from its share in percent; None without either, upper end as above."""
    return None if price.per_kg is None or share is None else _for_a_part(price.per_kg, share)


def _for_a_part(money: float, percent: Interval) -> Interval | None:
    low, high = percent.within(0, 100)
    if high <= 0:
        return None
    return Interval(100 * money / high, 100 * money / low if low > 0 else math.inf)


def read_price(text: str, weight: str = "", *, market: str = "US") -> Price:
    """A price and, in it or in `weight`, the net weight. `market` decides whose dollar a bare "$" is.

    Any text gives a value; a bare number is money in `text` and grams in `weight`.
    """
    if len(text) > _MOST or len(weight) > _MOST:
        return Price(problems=(_problem("too_long", None, most=_MOST),))
    main, beside = _Reading(text, BOX, market), _Reading(weight, WEIGHT_BOX, market)
    problems = [*main.left_over(), *beside.left_over()]
    money = [*main.money, *beside.money]
    if not money and len(bare := main.bare()) == 1:
        money = [_Money("", bare[0].value)]
    elif main.bare():
        money = []  # "2 for $5": which number is paid for the pack stays open, and left_over says so
    amount, currency, problem = _one_amount(money, text)
    problems += problem
    own = [m for m in (*main.masses, *beside.masses) if not m.per]
    if not beside.masses and len(bare := beside.bare()) == 1:
        own.append(_Mass(bare[0].value, None, False, bare[0].at))
    by_weight = [m for m in main.masses if m.per]
    pieces = next((m.pieces for m in own + by_weight if m.pieces), None) or main.pieces or beside.pieces
    grams, differ = _one_weight(own)
    paid_for, also_differ = _one_weight(by_weight) if by_weight else (grams, False)
    if differ or also_differ:
        problems.append(_problem("weights", None, words=f"{text} {weight}".strip()))
        grams = paid_for = None
    if amount == 0 or grams == 0 or paid_for == 0:
        problems.append(_problem("nothing", None))
        amount, grams, paid_for = amount or None, grams or None, paid_for or None
    if amount is not None and not currency:
        problems.append(_problem("no_currency", None, amount=show(amount, 2)))
    if amount is not None and grams is None and paid_for is None and not differ and not also_differ:
        problems.append(_problem("no_weight", None))
    if amount is None:
        currency, paid_for = "", None
    return Price(currency, amount, paid_for, grams, pieces, tuple(problems))


def _problem(kind: str, span: Span | None, **values: object) -> Problem:
    return Problem(f"price_{kind}", say(f"price_{kind}", **values), span)


def _one_amount(money: list[_Money], text: str) -> tuple[float | None, str, list[Problem]]:
    found = {(m.currency, m.amount) for m in money}
    if len(found) > 1:
        return None, "", [_problem("several", None, words=text.strip())]
    return (money[0].amount, money[0].currency, []) if money else (None, "", [])


def _one_weight(masses: list[_Mass]) -> tuple[float | None, bool]:
    """The weight the masses agree on, and whether they do not; grams are taken before ounces."""
    if not masses:
        return None, False
    least, most = min(m.grams for m in masses), max(m.grams for m in masses)
    if most - least > float(_words()["same_weight"]["within"]) * most:
        return None, True
    return next((m.grams for m in masses if m.metric), masses[0].grams), False


# -- what stands where --------------------------------------------------------------------------------------


class _Token(NamedTuple):
    """kind: number, sign, hundredth, unit, times, per, pieces, filler or other."""

    kind: str
    text: str
    at: Span

    @property
    def value(self) -> float:
        return number(self.text)


class _Money(NamedTuple):
    currency: str
    amount: float


class _Mass(NamedTuple):
    grams: float
    pieces: int | None
    per: bool  # "/lb", "per 100 g": what the price is for
    at: Span
    metric: bool = True


class _Reading:
    """One typed text taken apart; every token is used once."""

    def __init__(self, text: str, box: str, market: str) -> None:
        self.tokens = [t for t in _tokens(text, box) if t.kind != "filler"]
        self.used = [False] * len(self.tokens)
        self.masses: list[_Mass] = []
        self.money: list[_Money] = []
        self.pieces: int | None = None
        self._find_masses()
        self._find_pieces()
        self._find_money(market)
        for k, token in enumerate(self.tokens):
            self.used[k] |= token.kind == "per"

    def bare(self) -> list[_Token]:
        """Numbers that nothing claims."""
        return [t for t, used in zip(self.tokens, self.used, strict=True) if not used and t.kind == "number"]

    def left_over(self) -> list[Problem]:
        """A problem for each stretch nothing claims; a single bare number is no stretch."""
        alone = len(self.bare()) == 1 and not self.money
        left = [
            t for t, used in zip(self.tokens, self.used, strict=True)
            if not used and not (t.kind == "number" and alone)
        ]  # fmt: skip
        return [_problem("unread", t.at, words=t.text) for t in left]

    def _kind(self, k: int) -> str:
        return self.tokens[k].kind if 0 <= k < len(self.tokens) and not self.used[k] else ""

    def _take(self, *places: int) -> None:
        for k in places:
            self.used[k] = True

    def _find_masses(self) -> None:
        for k, token in enumerate(self.tokens):
            if self._kind(k) != "unit":
                continue
            unit = _units()[token.text.lower()]
            if self._kind(k - 1) == "number":
                self._add(self._counted(k, unit))
            elif self._kind(k - 1) == "per":  # "$5.99/lb"
                self._take(k)
                self._add(_Mass(unit.grams, None, True, token.at, unit.metric))

    def _counted(self, k: int, unit: _Unit) -> _Mass:
        """The mass whose unit stands at k, its number before it: "400 g", "8 x 50 g", "/100 g"."""
        printed = self.tokens[k - 1]
        value = number(printed.text, grouped=unit.thousands)
        start, pieces, by = printed.at.start, None, _words()["priced_by"]["numbers"]
        per = self._kind(k - 2) == "per" and value in map(float, by)
        if self._kind(k - 2) == "times" and self._kind(k - 3) == "number" and self._whole(k - 3):
            pieces, start, per = int(self.tokens[k - 3].value), self.tokens[k - 3].at.start, False
            self._take(k - 2, k - 3)
        self._take(k, k - 1)
        place = Span(start, self.tokens[k].at.end, printed.at.text)
        return _Mass(unit.grams * value * (pieces or 1), pieces, per, place, unit.metric)

    def _add(self, mass: _Mass) -> None:
        """One more mass; ounces right after pounds are added to them: "1 lb 4 oz"."""
        before = self.masses[-1] if self.masses else None
        after_pounds = before is not None and not before.metric and not mass.metric and before.pieces is None
        if before and after_pounds and before.at.end + 1 >= mass.at.start and before.grams > mass.grams:
            self.masses[-1] = _Mass(before.grams + mass.grams, None, before.per, before.at, metric=False)
        else:
            self.masses.append(mass)

    def _whole(self, k: int) -> bool:
        value = self.tokens[k].value
        return value == int(value) and 0 < value <= _MOST_PIECES

    def _find_pieces(self) -> None:
        for k in range(len(self.tokens)):
            if self._kind(k) == "pieces" and self._kind(k - 1) == "number" and self._whole(k - 1):
                self.pieces = int(self.tokens[k - 1].value)
                self._take(k, k - 1)
            elif self._kind(k) == "pieces":
                self._take(k)

    def _find_money(self, market: str) -> None:
        for k, token in enumerate(self.tokens):
            kind = self._kind(k)
            if kind not in ("sign", "hundredth"):
                continue
            # "$4.99", else "3,49 €"; a hundredth stands behind its number
            places = (k - 1,) if kind == "hundredth" else (k + 1, k - 1)
            n = next((p for p in places if self._kind(p) == "number"), None)
            if n is None:
                continue
            part = 0.01 if kind == "hundredth" else 1.0
            code = _currency(token.text.lower(), market)
            self.money.append(_Money(code, self.tokens[n].value * part))
            self._take(k, n)


def _tokens(text: str, box: str) -> list[_Token]:
    found = []
    for match in _pattern().finditer(text):
        kind = match.lastgroup or "other"
        found.append(_Token(kind, match.group(), Span(match.start(), match.end(), box)))
    return found


# -- words --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Unit:
    grams: float
    thousands: bool
    metric: bool


def _words() -> dict[str, Any]:
    raw: dict[str, Any] = tables.load_raw()["price_words"]
    return raw


@lru_cache(maxsize=1)
def _units() -> dict[str, _Unit]:
    ounce = numbers()["grams_per_ounce"]
    found = {}
    for unit in _words()["units"]:
        grams = float(unit["grams"]) if "grams" in unit else ounce * float(unit["ounces"])
        found.update(dict.fromkeys(unit["words"], _Unit(grams, unit["thousands"], "grams" in unit)))
    return found


@lru_cache(maxsize=64)
def _currency(word: str, market: str) -> str:
    """The code a sign stands for; "" for a dollar or a cent in a market that has none of its own."""
    raw = _words()
    for currency in raw["currencies"]:
        if word in currency["signs"] or word in currency["hundredths"]:
            return str(currency["code"])
    key = "dollar_of" if word in raw["dollar"] else "pence_of"
    return next((str(c["code"]) for c in raw["currencies"] if market in c[key]), "")


@lru_cache(maxsize=1)
def _pattern() -> re.Pattern[str]:
    raw = _words()
    signs = [s for c in raw["currencies"] for s in c["signs"]] + raw["dollar"]
    hundredths = [s for c in raw["currencies"] for s in c["hundredths"]] + raw["hundredth"]
    kinds = {
        "sign": signs, "hundredth": hundredths, "unit": list(_units()), "times": raw["times"], "per": raw["per"],
        "pieces": raw["pieces"], "filler": raw["fillers"],
    }  # fmt: skip
    parts = [f"(?P<number>{_NUMBER})"]
    for kind, words in kinds.items():
        parts.append(f"(?P<{kind}>{'|'.join(map(_word, sorted(words, key=len, reverse=True)))})")
    return re.compile("|".join([*parts, r"(?P<other>[^\W\d_]+|\S)"]), re.IGNORECASE)


def _word(word: str) -> str:
    """A word as a pattern: letters do not run on into letters."""
    before = r"(?<![^\W\d_])" if word[0].isalpha() else ""
    after = r"(?![^\W\d_])" if word[-1].isalpha() else ""
    return before + re.escape(word) + after
