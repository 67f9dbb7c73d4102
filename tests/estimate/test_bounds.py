"""The bounds are right, the draws are valid, facts never widen, and the same label gives the same answer."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from reader import read_label
from reader.makeup.values import MakeUp
from tests.estimate.labels import Label, labels
from tests.estimate.measure import shares
from tests.estimate.panels import SHORT
from tests.estimate.programs import Drawn, bounds_seen, end_of, row_of, samples_seen

_ARITHMETIC = 2e-4  # shares are told to six places; bounds are exact to 1e-6 of their size


def test_bounds_are_those_of_another_solver() -> None:
    """scipy.optimize.linprog, called anew for every bound on arrays of our own, on 216 labels."""
    rng = random.Random(3)
    for label in labels(216, 3):
        with bounds_seen() as seen:
            label.read("possible")
        assert len(seen) > 30
        for one in rng.sample(seen, 5):
            scale = max(1.0, max(abs(value) for _, value in one.terms))
            assert one.value == pytest.approx(end_of(one), rel=1e-6, abs=1e-6 * scale), label.statement


def test_every_draw_is_a_possible_make_up() -> None:
    for label in labels(27, 4):
        with samples_seen() as seen:
            label.read("likely")
        assert seen
        for drawn in seen:  # two where percentages can be meant two ways
            broken = _broken(drawn)
            assert not broken, (label.family.id, broken)


def _broken(drawn: Drawn) -> list[str]:
    """The facts whose rows a draw breaks."""
    points, rows = drawn.sample.points, drawn.polytope.rows
    assert len(points) > 1000 and points.shape[1] == drawn.polytope.size
    assert points.min() >= -1e-7
    dense = np.array([row_of(row.terms, drawn.polytope.size) for row in rows])
    values = points @ dense.T
    room = 1e-6 * np.maximum(1.0, (np.abs(dense) * np.abs(points).max(axis=0)).max(axis=1))
    under = values.min(axis=0) < np.array([row.low for row in rows]) - room
    over = values.max(axis=0) > np.array([row.high for row in rows]) + room
    return [rows[k].fact for k in np.flatnonzero(under | over)]


def _inside(inner: MakeUp, outer: MakeUp, *, but: tuple[str, ...] = ()) -> Iterator[tuple[str, object, object]]:
    """Shares of the inner one that are wider than those of the outer one."""
    wide = shares(outer)
    for name, share in shares(inner).items():
        if name in wide and name not in but:
            (low, high), (least_, most) = share.possible, wide[name].possible
            slack = _ARITHMETIC * max(1.0, abs(low) / 100, abs(high) / 100)
            if low < least_ - slack or high > most + slack:
                yield name, share.possible, wide[name].possible


def _clear(makeup: MakeUp) -> MakeUp:
    assert makeup.clash is None and makeup.depth == "possible"
    return makeup


CHAINS = {
    "exact numbers": ({"tolerance": "strict"}, {"tolerance": "usual"}, {"tolerance": "legal"}),
    "less loss": ({"loss": "cooked"}, {"loss": "precooked"}, {"loss": "dried"}),
    "usual doses": ({"usual_doses": "on"}, {"usual_doses": "off"}),
}


@pytest.mark.parametrize("chain", CHAINS.values(), ids=CHAINS)
def test_a_stronger_assumption_never_widens(chain: tuple[dict[str, str], ...]) -> None:
    for label in labels(27, 5):
        if "usual_doses" in chain[0] and label.family.id == "plant-based links":
            continue  # usual doses are those of sausages
        if chain[0].get("loss") == "cooked" and label.family.loss[1] > 10:
            continue  # dried for longer than that: the first of the chain does not hold
        read = [_clear(label.read("possible", **choices).makeup) for choices in chain]
        for inner, outer in zip(read, read[1:], strict=False):
            assert not list(_inside(inner, outer)), (label.family.id, list(_inside(inner, outer)))


def test_a_lawful_cap_never_widens() -> None:

    capped = [label for label in labels(54, 6) if label.family.caps]
    assert len(capped) > 10
    for label in capped:
        inner = _clear(label.read("possible").makeup)
        caps = {a.id: "off" for a in inner.assumptions if a.id.startswith("cap ")}
        assert caps, label.family.id
        outer = read_label(
            label.statement,
            label.panel.text(),
            name=label.family.name,
            market=label.family.market,
            depth="possible",
            choices=caps,
        )
        assert not list(_inside(inner, _clear(outer.makeup)))


def _other_panel(label: Label, lines: tuple[str, ...]) -> MakeUp:
    """The label with some lines of its panel only; those that stay are printed alike."""
    whole, kept = label.panel.text().splitlines(), label.panel.lines
    label.panel.lines = lines
    words = {line.rstrip("0123456789.<gm ") for line in label.panel.text().splitlines()}
    label.panel.lines = kept

    text = "\n".join(line for line in whole if line.rstrip("0123456789.<gm ") in words or line.startswith("Serving"))
    return read_label(
        label.statement, text, name=label.family.name, market=label.family.market, depth="possible"
    ).makeup


def test_more_lines_of_the_panel_never_widen() -> None:

    american = [label for label in labels(54, 7) if label.family.market == "US"]
    for label in american:
        none = read_label(label.statement, name=label.family.name, depth="possible").makeup
        two = _other_panel(label, ("fat_g", "protein_g"))
        some = _other_panel(label, tuple(line for line in SHORT if line in label.panel.lines))
        every = label.read("possible").makeup
        for inner, outer in ((every, some), (some, two), (two, none)):
            assert not list(_inside(_clear(inner), _clear(outer))), (label.family.id, list(_inside(inner, outer)))


def test_a_declared_percentage_never_widens() -> None:

    declared = [label for label in labels(81, 8) if any(item.declared for item in label.family.items)]
    assert len(declared) > 5
    for label in declared:
        bare = label.statement
        for used in (u for place in label.recipe.places for u in place if u.item.declared):
            bare = bare.replace(f" ({label.recipe.declared(used):.{label.family.decimals}f}%)", "", 1)
        assert bare != label.statement
        outer = read_label(
            bare, label.panel.text(), name=label.family.name, market=label.family.market, depth="possible"
        )
        inner = label.read("possible")
        assert not list(_inside(_clear(inner.makeup), _clear(outer.makeup))), label.family.id


def test_the_same_label_gives_the_same_answer() -> None:
    """Also in another interpreter with other hash seeds."""
    for label in labels(27, 10)[::4]:
        assert label.read("likely").makeup == label.read("likely").makeup
    code = (
        "from tests.estimate.labels import labels\nfor l in labels(3, 10): print(l.statement, l.read('likely').makeup)"
    )
    run = [
        subprocess.run(
            [sys.executable, "-c", code], cwd=Path(__file__).parents[2], env={"PYTHONHASHSEED": seed, "PATH": ""},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert run[0] == run[1] and len(run[0]) > 1000
