"""Likely ranges keep what they promise beside an ingredient that nobody knows, and of that ingredient too."""

from __future__ import annotations

import pytest

from reader import read_label
from tests.estimate.kinds import GROUPS
from tests.estimate.labels import Label, labels
from tests.estimate.likely import Estimates, estimates, too_often, too_rare
from tests.estimate.measure import told
from tests.estimate.unknown_words import RENAMED, WORD

LABELS, SEED = 45, 21
LEAST, MOST = 0.78, 0.95
ENOUGH = 12  # labels that hold a group
RARE = (  # in fewer
    "binders_carbohydrate", "binders_protein", "by_products", "mechanically_separated", "mechanically_separated_of_meat",
)  # fmt: skip


@pytest.fixture(scope="module")
def made() -> list[Label]:
    return labels(LABELS, SEED, renamed=tuple(RENAMED))


@pytest.fixture(scope="module")
def found(made: list[Label]) -> Estimates:
    return estimates(made, tolerance="strict")


def test_every_sort_is_renamed_and_the_reader_knows_none(made: list[Label]) -> None:
    assert {label.renamed for label in made} == set(RENAMED)
    for label in made:
        (unknown,) = (i for i in label.read("order").product.printed if i.printed == WORD)
        assert unknown.role == "unknown", label.statement


def _place(label: Label) -> int:
    return next(k for k, place in enumerate(label.recipe.places) if place[0].item.printed == WORD)


def _holds(of: Estimates) -> None:
    """Fails if a true coverage inside the range would give such a sample less than once in a hundred times."""
    assert too_rare(of.held, len(of.every), LEAST) > 0.01, of.coverage
    assert too_often(of.held, len(of.every), MOST) > 0.01, of.coverage


def test_likely_holds_how_much_there_is_of_what_nobody_knows(found: Estimates) -> None:
    its = tuple(r for r in found.every if r.target == f"ingredient {_place(r.label)}")
    assert len(its) == LABELS
    _holds(Estimates(its, found.beyond))


@pytest.mark.parametrize("group", [group for group in GROUPS if group not in RARE])
def test_likely_holds_the_groups_beside_it(found: Estimates, group: str) -> None:
    of = found.of(group)
    assert len(of.every) >= ENOUGH
    _holds(of)


def test_what_nobody_knows_may_be_any_of_the_meat() -> None:
    """Half of the tissue of a list that begins with separated meat and an unknown word may be that word, or none."""
    statement = f"Ingredients: mechanically separated pork, {WORD}, water, salt."
    report = read_label(statement, "", name="Pork sausage", market="US", depth="possible")
    share = dict(report.makeup.quantities)["separated_livestock"]
    assert tuple(share.possible) == pytest.approx((50, 100))


def test_what_is_possible_holds_the_truth_beside_a_meat_that_nobody_knows() -> None:
    """A lawful cap on added water counts the protein of meat; what nobody knows may be meat."""
    read = [(label, label.read()) for label in labels(LABELS, SEED, renamed=("meat",))]
    outside = [r for label, report in read for r in told(label, report.makeup) if not r.possible]
    assert not outside, [(r.target, r.truth, r.share.possible, r.label.statement) for r in outside[:5]]
    broken = {
        finding.rule.id for _, report in read for finding in report.found("breaks") if "quantity" in finding.rule.values
    }
    assert not broken, broken
