"""What is possible always holds the truth: on more than a thousand labels, for every target."""

from __future__ import annotations

from collections import Counter

from tests.estimate.conftest import EACH, Read
from tests.estimate.families import FAMILIES
from tests.estimate.kinds import GROUPS, SOURCES
from tests.estimate.measure import told


def test_no_consistent_label_is_called_contradictory(read: Read) -> None:
    clashes = Counter(label.family.id for label, makeup in read if makeup.clash or makeup.note or not makeup.panel_used)
    assert not clashes, clashes


def test_the_truth_is_inside_what_is_possible(read: Read) -> None:
    assert len(read) == 3 * EACH >= 1000
    outside = [r for label, makeup in read for r in told(label, makeup) if not r.possible]
    worst = [(r.label.family.id, r.target, round(r.truth, 3), r.share.possible, r.label.statement) for r in outside[:5]]
    assert not outside, (len(outside), Counter((r.label.family.id, r.kind) for r in outside), worst)


def test_every_target_and_family_is_asked_for(read: Read) -> None:
    asked = Counter(r.target for label, makeup in read for r in told(label, makeup) if r.truth > 0)
    wanted = [*GROUPS, *(f"sodium {source}" for source in SOURCES), "worth"]
    assert min(asked[target] for target in wanted) >= 30, {target: asked[target] for target in wanted}
    assert {label.family.id for label, _ in read} == {family.id for family in FAMILIES}


def test_what_is_possible_tells_something(read: Read) -> None:
    """An interval from 0 to 100 would hold any truth."""
    widths = sorted(
        r.share.possible.high - r.share.possible.low for label, m in read for r in told(label, m) if r.target == "meat"
    )
    assert widths[len(widths) // 2] < 50


def test_order_alone_holds_the_truth_too(read: Read) -> None:
    """What order, clauses and percentages tell without composition and panel, as large tables are read."""
    outside = [r for label, _ in read for r in told(label, label.read("order").makeup) if not r.possible]
    worst = [(r.label.family.id, r.target, round(r.truth, 3), r.share.possible, r.label.statement) for r in outside[:5]]
    assert not outside, (len(outside), Counter((r.label.family.id, r.kind) for r in outside), worst)
