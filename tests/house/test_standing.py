"""Standing and ranks: musts decide the class, preferences the order, what overlaps is never ranked apart."""

from __future__ import annotations

import pickle
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reader.house.standing import Placed, Tally, stand, tally
from reader.house.values import ASK, FAILS, MEETS, VERDICTS, Requirement, Specification, Verdict
from reader.quantities import Interval

HOUSE = Specification(
    "Trial",
    (
        Requirement("oils", words=("none",)),
        Requirement("phosphates", words=("none",)),
        Requirement("colours", False, None, ("none",)),
        Requirement("sweeteners", False, None, ("none",)),
    ),
)


def of(*verdicts: str) -> Tally:
    return tally(HOUSE, [Verdict(r.kind, v, "Because.") for r, v in zip(HOUSE.requirements, verdicts, strict=True)])


@pytest.mark.parametrize(
    ("verdicts", "standing", "preferences"),
    [
        ((MEETS, MEETS, MEETS, MEETS), MEETS, (2, 2)),
        ((MEETS, MEETS, FAILS, ASK), MEETS, (0, 1)),
        ((MEETS, ASK, MEETS, ASK), ASK, (1, 2)),
        ((FAILS, ASK, MEETS, MEETS), FAILS, (2, 2)),
    ],
)
def test_musts_decide_the_class(verdicts: tuple[str, ...], standing: str, preferences: tuple[float, float]) -> None:
    found = of(*verdicts)
    assert (found.standing, found.preferences) == (standing, Interval(*preferences))


def test_verdicts_of_another_specification_are_refused() -> None:
    with pytest.raises(ValueError):
        tally(HOUSE, [Verdict("oils", MEETS, "Because.")])


def test_classes_come_first_and_overlapping_ranges_share_ranks() -> None:
    products = {
        1: of(MEETS, MEETS, FAILS, FAILS),
        2: of(MEETS, MEETS, ASK, MEETS),
        3: of(MEETS, MEETS, MEETS, MEETS),
        4: of(FAILS, MEETS, MEETS, MEETS),
        5: of(ASK, MEETS, MEETS, MEETS),
    }
    placed = stand(products.items())
    assert [(p.number, p.best, p.worst) for p in placed] == [
        (3, 1, 2), (2, 1, 2), (1, 3, 3), (5, 1, 1), (4, 1, 1),
    ]  # fmt: skip


tallies = st.lists(st.lists(st.sampled_from(VERDICTS), min_size=4, max_size=4).map(lambda v: of(*v)), max_size=12)


@given(tallies, st.randoms(use_true_random=False))
def test_the_order_given_does_not_matter(found: list[Tally], random: object) -> None:
    rows = list(enumerate(found))
    shuffled = list(rows)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert stand(rows) == stand(shuffled)


@given(tallies)
def test_ranks_hold_every_order_the_answers_allow(found: list[Tally]) -> None:
    """However the questions are answered, each product's true rank in its class lies within its ranks."""
    placed = stand(enumerate(found))
    for own in placed:
        alike = [p for p in placed if p.tally.standing == own.tally.standing and p is not own]
        low, high = own.tally.preferences
        best = 1 + sum(p.tally.preferences.low > high for p in alike)
        worst = 1 + sum(p.tally.preferences.high >= low for p in alike)
        assert (own.best, own.worst) == (best, worst)


def test_a_catalogue_of_four_thousand_is_placed_at_once() -> None:
    rows = [(n, of(*(VERDICTS[(n * k) % 3] for k in (1, 2, 3, 5)))) for n in range(4000)]
    began = time.perf_counter()
    placed = stand(rows)
    assert len(placed) == 4000 and isinstance(placed[0], Placed)
    assert time.perf_counter() - began < 2
    assert len(pickle.dumps(rows[0][1])) < 300
