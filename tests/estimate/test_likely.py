"""Likely ranges hold the truth about as often as they say, and middles are near it.

Coverage is a share of a sample. Where the sample is large it is that share itself that has to be inside the demanded
range; where it is small, the test fails if a true coverage inside the range would give such a sample less than once in
a hundred times (exact binomial), or where the sample is too small to say anything.
"""

from __future__ import annotations

import random

import pytest

from tests.estimate.families import FAMILIES, with_water
from tests.estimate.kinds import GROUPS, SOURCES
from tests.estimate.labels import labels
from tests.estimate.likely import Estimates, estimates, pooled, too_often, too_rare
from tests.estimate.recipes import HOSTILE, TRIANGULAR

MATCHED, AGAINST = 189, 81  # labels: seven and three of each family
LEAST, MOST, LEAST_HOSTILE = 0.78, 0.95, 0.70
ERROR_MEAT, ERROR_WATER = 1.8, 1.7  # points, as demanded
WIDE, MORE_SEEDS = 540, (101, 202)  # labels of each further seed
HOSTILE_SEEDS, EACH_HOSTILE = (12, 31, 32), 135  # five of each family and seed
DECLARED_LABELS = 80  # about half of them either way
REACHED_WATER = 1.95  # on the smaller sample
USUAL_MISS, MOST_MISS = 0.025, 0.05  # sd and most of the share by which a printed line misses
UNUSUAL_WATER, SOME = (0.5, 1.5), 78  # times the water of a family; labels
FEW, MANY = 12, 300  # labels that hold a target: the least, and those whose share is certain to about 0.025
DECLARED = tuple(family for family in FAMILIES if family.loss[1] and any(item.declared for item in family.items))


@pytest.fixture(scope="module")
def matched() -> Estimates:
    return estimates(labels(MATCHED, 11, TRIANGULAR), tolerance="strict")  # the numbers are printed exactly


@pytest.fixture(scope="module")
def wide(matched: Estimates) -> Estimates:
    """`matched` and as many more as the demanded figures need: the median error of added water is then certain to 0.07."""
    return pooled([matched, *(estimates(labels(WIDE, seed, TRIANGULAR), tolerance="strict") for seed in MORE_SEEDS)])


@pytest.fixture(scope="module")
def hostile() -> Estimates:
    made = (labels(EACH_HOSTILE, seed, HOSTILE) for seed in HOSTILE_SEEDS)
    return pooled([estimates(one, tolerance="strict") for one in made])


@pytest.fixture(scope="module")
def as_shown() -> Estimates:
    """With the tolerance that users get, which leaves room for printed numbers that miss the truth."""
    return estimates(labels(MATCHED, 11, TRIANGULAR))


@pytest.fixture(scope="module")
def missed() -> Estimates:
    """Every line of the panel printed a little off, as analysis and recipes scatter."""
    made = labels(AGAINST, 14, TRIANGULAR)
    for k, one in enumerate(made):
        rng = random.Random(k)
        one.panel.wrong = {line: 1 + _cut(rng.gauss(0.0, USUAL_MISS)) for line in one.panel.true}
    return estimates(made)


def _cut(miss: float) -> float:
    return max(-MOST_MISS, min(MOST_MISS, miss))


def _holds(found: Estimates, least: float, most: float = 1.0) -> None:
    """Fails where the coverage is outside the range, as far as the sample can tell."""
    count = len(found.every)
    assert count >= FEW
    if count >= MANY:
        assert least <= found.coverage <= most, (found.coverage, count)
    assert too_rare(found.held, count, least) > 0.01, (found.coverage, count)
    assert too_often(found.held, count, most) > 0.01, (found.coverage, count)


@pytest.mark.parametrize("group", GROUPS)
def test_likely_holds_the_truth_as_often_as_it_should(wide: Estimates, group: str) -> None:
    _holds(wide.of(group), LEAST, MOST)


@pytest.mark.parametrize("source", SOURCES)
def test_likely_sodium_of_a_source_holds_the_truth(wide: Estimates, source: str) -> None:
    _holds(wide.of(f"sodium {source}"), LEAST)


@pytest.mark.parametrize("group", GROUPS)
def test_likely_holds_the_truth_when_composition_is_against_it(hostile: Estimates, group: str) -> None:
    """All meats lean or all rich in protein at once, everything at the ends of its ranges."""
    _holds(hostile.of(group), LEAST_HOSTILE)


@pytest.mark.parametrize("sold", [False, True], ids=["of what went in", "of the product as sold"])
def test_likely_holds_the_truth_whichever_way_percentages_are_meant(sold: bool) -> None:
    """Where weight was lost and the label does not say which of the two its percentages are shares of."""
    made = [one for one in labels(DECLARED_LABELS, 15, TRIANGULAR, DECLARED) if one.recipe.of_sold == sold]
    found = estimates(made, tolerance="strict")
    for group in ("meat", "skeletal_meat", "lean", "meat_fat", "water", "added_water"):
        of = found.of(group)
        assert len(of.every) >= FEW
        assert too_rare(of.held, len(of.every), LEAST) > 0.01, (group, of.coverage)


@pytest.mark.parametrize("group", GROUPS)
def test_the_usual_tolerance_holds_the_truth_as_often(as_shown: Estimates, group: str) -> None:
    found = as_shown.of(group)
    assert too_rare(found.held, len(found.every), LEAST) > 0.01, found.coverage
    assert too_often(found.held, len(found.every), MOST) > 0.01, found.coverage


@pytest.mark.parametrize("group", GROUPS)
def test_the_usual_tolerance_bears_numbers_that_miss(missed: Estimates, group: str) -> None:
    found = missed.of(group)
    assert too_rare(found.held, len(found.every), LEAST) > 0.01, found.coverage


@pytest.mark.parametrize("printed_only", [True, False], ids=["middles printed", "all middles"])
def test_the_middle_of_meat_is_as_near_the_truth_as_demanded(
    matched: Estimates, as_shown: Estimates, printed_only: bool
) -> None:
    assert matched.of("meat").error(printed_only) <= ERROR_MEAT
    assert as_shown.of("meat").error(printed_only) <= ERROR_MEAT


def test_the_middle_of_added_water_is_as_near_the_truth_as_demanded(wide: Estimates) -> None:
    """On a sample wide enough to tell: on the 189 labels of `matched`, which are in it, the median is uncertain by 0.15.

    The protein line enters five times, and on a serving of 50 g its rounding alone is 5 points to either side.
    """
    found = wide.of("added_water")
    assert len(found.every) > 1_000
    assert found.error() <= ERROR_WATER


@pytest.mark.parametrize("printed_only", [True, False], ids=["middles printed", "all middles"])
def test_the_middle_of_added_water_is_near_the_truth(
    matched: Estimates, as_shown: Estimates, printed_only: bool
) -> None:
    assert matched.of("added_water").error(printed_only) <= REACHED_WATER
    assert as_shown.of("added_water").error(printed_only) <= REACHED_WATER


@pytest.mark.parametrize("times", UNUSUAL_WATER)
def test_water_beyond_what_is_usual_is_still_found(times: float) -> None:
    """Recipes with far less or more water than is usual of their kind: what is usual only leans on the estimate."""
    found = estimates(labels(SOME, 13, TRIANGULAR, with_water(times)), tolerance="strict")
    for group in ("meat", "water", "added_water"):
        of = found.of(group)
        assert too_rare(of.held, len(of.every), LEAST_HOSTILE) > 0.01, (group, of.coverage)


def test_likely_is_much_narrower_than_possible(matched: Estimates) -> None:
    meat = matched.of("meat")
    assert meat.width < 0.5 * meat.possible_width
