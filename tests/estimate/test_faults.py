"""Labels with one fault: it is among the suspects whenever it shows, and comes first as often as it was designed to."""

from __future__ import annotations

from functools import lru_cache

import pytest

from tests.estimate.faults import FAULTS, Fault, Found, met
from tests.estimate.likely import too_rare

COUNT = 16  # labels for each fault


@lru_cache(maxsize=32)
def found(fault: Fault) -> Found:
    return met(fault, COUNT)


@pytest.mark.parametrize("fault", FAULTS, ids=[fault.id for fault in FAULTS])
def test_a_fault_that_shows_is_among_the_suspects(fault: Fault) -> None:
    if found(fault).infeasible:
        assert found(fault).listed == 1.0


@pytest.mark.parametrize("fault", [f for f in FAULTS if f.first], ids=[f.id for f in FAULTS if f.first])
def test_the_culprit_comes_first_as_often_as_in_the_design(fault: Fault) -> None:
    assert fault.first is not None
    shown = round(found(fault).infeasible * COUNT)
    first = round(found(fault).first * shown)
    assert too_rare(first, shown, fault.first) > 0.01, (first, shown)


def test_gross_faults_show() -> None:
    """Energy 40 % off and fat half as much again contradict the other lines themselves."""
    shown = {fault.id: found(fault).infeasible for fault in FAULTS}
    assert shown["energy × 1.4"] > 0.9 and shown["fat × 1.5"] > 0.7
