"""Labels that several tests look at, read once."""

from __future__ import annotations

import pytest

from reader.makeup.values import MakeUp
from tests.estimate.crew import Choices, on_all_cores
from tests.estimate.labels import Label, labels
from tests.estimate.recipes import HOSTILE, TRIANGULAR, UNIFORM

Read = list[tuple[Label, MakeUp]]
EACH = 336  # labels for each of three ways in which composition is scattered: 1,008 together


@pytest.fixture(scope="session")
def read() -> Read:
    """Labels with what is possible, printed numbers taken exactly: whatever holds here holds with any tolerance."""
    made = [label for scatter in (TRIANGULAR, UNIFORM, HOSTILE) for label in labels(EACH, 1, scatter)]
    return list(zip(made, on_all_cores(_possible, made, {"tolerance": "strict"}), strict=True))


def _possible(label: Label, choices: Choices) -> MakeUp:
    return label.read("possible", **choices).makeup
