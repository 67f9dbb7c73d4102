"""Prices and weights as people type them, and what is derived from them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reader import tables
from reader.price import BOX, Price, per_100g_protein, per_kg_of, read_price
from reader.quantities import Interval

RAW = tables.load_raw()["price_words"]
OUNCE, POUND = 28.35, 453.6  # g, rounded from the definition of the avoirdupois ounce; 16 ounces are a pound

# Invented prices: (text, weight, market) → (currency, amount, paid for g, net g, pieces).
READ = [
    ("$4.99 / 12 oz", "", "US", ("USD", 4.99, 12 * OUNCE, 12 * OUNCE, None)),
    ("3,49 € 400 g", "", "EU", ("EUR", 3.49, 400, 400, None)),
    ("£2.75 for 454g", "", "UK", ("GBP", 2.75, 454, 454, None)),
    ("A$6.50/500g", "", "US", ("AUD", 6.5, 500, 500, None)),
    ("$6.50/500g", "", "AU", ("AUD", 6.5, 500, 500, None)),
    ("4.99 CAD / 375 g", "", "US", ("CAD", 4.99, 375, 375, None)),
    ("99p 200g", "", "UK", ("GBP", 0.99, 200, 200, None)),
    ("75¢ 100 g", "", "US", ("USD", 0.75, 100, 100, None)),
    ("2.99", "", "US", ("", 2.99, None, None, None)),
    ("2.99", "400", "US", ("", 2.99, 400, 400, None)),
    ("1 lb", "", "US", ("", None, None, POUND, None)),
    ("8 x 50 g", "", "US", ("", None, None, 400, 8)),
    ("$3 8×50g", "", "US", ("USD", 3, 400, 400, 8)),
    ("$3.50 400g 8 ct", "", "US", ("USD", 3.5, 400, 400, 8)),
    ("8 pack $3.50 400g", "", "US", ("USD", 3.5, 400, 400, 8)),
    ("$5 1 lb 4 oz", "", "US", ("USD", 5, 20 * OUNCE, 20 * OUNCE, None)),
    ("$4.99 12 oz (340 g)", "", "US", ("USD", 4.99, 340, 340, None)),
    ("$5 400 g", "", "US", ("USD", 5, 400, 400, None)),
    ("$12 1,250 g", "", "US", ("USD", 12, 1250, 1250, None)),
    ("12 € 1,250 kg", "", "EU", ("EUR", 12, 1250, 1250, None)),
    ("$5.99/lb", "", "US", ("USD", 5.99, POUND, None, None)),
    ("€12.90/kg", "400 g", "EU", ("EUR", 12.9, 1000, 400, None)),
    ("€1.29/100 g", "400 g", "EU", ("EUR", 1.29, 100, 400, None)),
    ("", "", "US", ("", None, None, None, None)),
]


@pytest.mark.parametrize(("text", "weight", "market", "expected"), READ)
def test_a_typed_price_is_read(
    text: str, weight: str, market: str, expected: tuple[str, float | None, float | None, float | None, int | None]
) -> None:
    found = read_price(text, weight, market=market)
    assert (found.currency, found.pieces) == (expected[0], expected[4])
    for value, should in zip((found.amount, found.paid_for, found.grams), expected[1:4], strict=True):
        assert value is None if should is None else value == pytest.approx(should, rel=1e-4)


ODD = [
    ("abc", "price_unread"),
    ("$4.99 1 lb old price", "price_unread"),
    ("2 for $5 400 g", "price_unread"),
    ("was $5.99 now $4.99", "price_several"),
    ("$4.99 12 oz 400 g", "price_weights"),
    ("0 $ 400 g", "price_nothing"),
    ("$4.99", "price_no_weight"),
    ("4.99 400 g", "price_no_currency"),
    ("9" * 300, "price_too_long"),
]


@pytest.mark.parametrize(("text", "kind"), ODD)
def test_what_is_odd_about_a_price_is_said(text: str, kind: str) -> None:
    problems = read_price(text).problems
    assert kind in [p.kind for p in problems]
    for problem in problems:
        if problem.span is not None:
            assert problem.span.text == BOX
            assert f"“{problem.span.of(text)}”" in problem.message


def test_an_amount_that_stays_open_is_not_taken() -> None:
    for text in ("2 for $5 400 g", "was $5.99 now $4.99 400 g"):
        assert read_price(text).amount is None
    assert read_price("$4.99 12 oz 400 g").per_kg is None


def test_a_weight_typed_twice_alike_is_one_and_unlike_is_none() -> None:
    assert read_price("$5 / 12 oz", "340 g").grams == 340
    assert read_price("$5 / 12 oz", "340").grams == 340
    for weight in ("400 g", "400"):
        assert read_price("$5 / 12 oz", weight).grams is None


@given(st.text(max_size=60), st.text(max_size=20), st.sampled_from(["US", "UK", "EU", "AU", "CA"]))
def test_no_text_raises(text: str, weight: str, market: str) -> None:
    found = read_price(text, weight, market=market)
    for value in (found.amount, found.paid_for, found.grams):
        assert value is None or 0 < value < math.inf


price_like = st.lists(
    st.sampled_from(["$", "€", "4.99", "3,49", "12", "oz", "g", "/", "x", "400", "lb", "per", "8", "p", "kg", "for", "pack", "¢", "0"]),
    max_size=9,
).map(" ".join)  # fmt: skip


@given(price_like, price_like)
def test_no_mixture_of_price_words_raises(text: str, weight: str) -> None:
    found = read_price(text, weight)
    assert found.amount is None or found.amount > 0
    assert found.pieces is None or found.pieces > 0


@given(st.integers(1, 99999), st.integers(1, 9999), st.sampled_from(["$", "€", "£"]))
def test_a_plain_price_is_read_back(cents: int, grams: int, sign: str) -> None:
    for text in (f"{sign}{cents / 100:.2f} / {grams} g", f"{cents / 100:.2f} {sign} {grams}g"):
        found = read_price(text)
        assert found.problems == () or grams in (1, 100)  # those are read as a price by weight
        if found.grams is not None:
            assert found.per_kg == pytest.approx(cents * 10 / grams)


def test_weights_that_packs_print_twice_agree() -> None:
    """Net weights printed in both units on US packs: 12 oz (340 g), 14 oz (397 g), 16 oz (454 g). Common practice."""
    for ounces, grams in ((12, 340), (14, 397), (16, 454)):
        found = read_price(f"{ounces} oz").grams
        assert found is not None
        assert round(found) == grams


# -- derived ------------------------------------------------------------------------------------------------

FIVE = Price("USD", 5.0, 500.0, 500.0)


def test_prices_of_parts_are_ranges() -> None:
    assert FIVE.per_kg == 10
    assert per_100g_protein(FIVE, Interval(10, 12.5)) == (8.0, 10.0)
    assert per_kg_of(FIVE, Interval(50, 80)) == (12.5, 20.0)


def test_a_part_that_may_be_nothing_has_no_dearest_price() -> None:
    found = per_kg_of(FIVE, Interval(0, 80))
    assert found is not None
    assert found == (12.5, math.inf)
    assert per_kg_of(FIVE, Interval(0, 0)) is None
    assert per_kg_of(Price(), Interval(50, 80)) is None
    assert per_100g_protein(FIVE, None) is None


# -- the data -----------------------------------------------------------------------------------------------


def test_no_word_has_two_meanings() -> None:
    lists = [
        *(c["signs"] + c["hundredths"] for c in RAW["currencies"]), RAW["dollar"], RAW["hundredth"],
        *(u["words"] for u in RAW["units"]), RAW["times"], RAW["per"], RAW["pieces"], RAW["fillers"],
    ]  # fmt: skip
    words = [w for words in lists for w in words]
    assert sorted(w for w in set(words) if words.count(w) > 1) == []
    assert all(w == w.lower() for w in words)


def test_every_bare_sign_means_one_currency_in_a_market() -> None:
    for key in ("dollar_of", "pence_of"):
        markets = [m for c in RAW["currencies"] for m in c[key]]
        assert len(markets) == len(set(markets))
    codes = [c["code"] for c in RAW["currencies"]]
    assert codes == sorted(set(codes))
