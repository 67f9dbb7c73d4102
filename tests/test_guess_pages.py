"""A guess set beside the reading, and the guesses of a class as charts and tables."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from reader.aspects import ASPECTS, Aspect, said
from reader.page.guess_charts import ASPECT, PACK, Guessed, guess_picture
from reader.page.guesses import Guess, against, beside
from reader.pipeline import read_label
from reader.quantities import Interval
from tests.shown import EVIL, EVIL_NAME, Shown


def aspect(score: tuple[float, float] | None, likely: tuple[float, float] | None = None, state: str = "") -> Aspect:
    state = state or ("scored" if score else "not stated")
    ends = Interval(*score) if score else None
    return Aspect("casing", state, ends, said("casing_silent"), likely=Interval(*likely) if likely else None)


@pytest.mark.parametrize(
    ("read", "place", "told"),
    [
        (aspect((2, 8), (4, 5)), 4.5, "within what is likely"),
        (aspect((2, 8), (4, 5)), 5.0, "within what is likely"),
        (aspect((2, 8), (4, 5)), 3.5, "possible, below what is likely"),
        (aspect((2, 8), (4, 5)), 8.0, "possible, above what is likely"),
        (aspect((2, 8), (4, 5)), 1.5, "below all that is possible"),
        (aspect((2, 8), (4, 5)), 8.5, "above all that is possible"),
        (aspect((2, 8)), 3.0, "within what is possible."),
        (aspect(None), 3.0, "states nothing of it"),
        (aspect(None, state="does not apply"), 3.0, "does not apply"),
    ],
)
def test_where_a_guess_lies_is_told_in_words(read: Aspect, place: float, told: str) -> None:
    assert told in " ".join(beside(read, place))


def test_a_guess_is_never_outside_by_less_than_is_printed() -> None:
    read = aspect((2.04, 2.96))
    assert "2–3" in beside(read, 2.0)[0]
    assert "within" in beside(read, 2.0)[-1] and "within" in beside(read, 3.0)[-1]


def test_the_page_sets_each_guess_beside_the_reading() -> None:
    report = read_label("Mechanically separated chicken, water, modified food starch, salt.", "Sodium 480 mg per 100 g")
    guesses = {"meat_source": Guess(2.5, "mechanically separated"), "casing": Guess(9)}
    shown = Shown(against(report.aspects, guesses))
    assert "You guessed 2.5." in shown.text and "“mechanically separated”" in shown.text
    assert "Filler load" not in shown.text, "nothing was guessed of it"
    wedges = [known for tag, known in shown.elements if tag == "line" and known["class"] == "guess dotted"]
    assert [float(w["x1"]) for w in wedges] == [25.0, 90.0]
    assert against(report.aspects, {}) == ""


def test_the_page_neither_praises_nor_blames_and_counts_no_points() -> None:
    report = read_label("Pork, water, salt.", "Sodium 480 mg per 100 g")
    text = "".join(against(report.aspects, {a: Guess(place) for a in ASPECTS}) for place in (0, 5, 10))
    assert not re.search(r"right|wrong|good|bad|well done|sorry|correct|miss|points?\b|hit", Shown(text).text, re.I)


def test_words_of_a_student_stay_words() -> None:
    report = read_label("Pork, water, salt.")
    shown = Shown(against(report.aspects, {"meat_source": Guess(5, EVIL)}))
    assert "<script>" in shown.text
    assert not {"script", "img", "a", "b"} & {tag for tag, _ in shown.elements}


# -- charts -------------------------------------------------------------------------------------------------

ROWS = [
    Guessed("Meat source", (2.0, 2.0, 4.0, 4.5), aspect((1, 6), (2, 3))),
    Guessed("Casing", (7.0,), aspect(None)),
    Guessed("Sodium per serving", ()),
]


def layers(spec: dict[str, Any], mark: str) -> list[dict[str, Any]]:
    found = [layer for layer in spec["layer"] if layer["mark"]["type"] == mark]
    assert found
    return found


def data(spec: dict[str, Any], layer: dict[str, Any]) -> list[dict[str, Any]]:
    held = layer["data"]
    return held["values"] if "values" in held else spec["datasets"][held["name"]]


@pytest.mark.parametrize("kind", [PACK, ASPECT])
def test_every_guess_is_drawn_once_and_the_median_is_the_median(kind: str) -> None:
    picture = guess_picture(kind, "Franks", ROWS)
    spec = picture.chart.to_dict()  # which also holds it against the schema of Vega-Lite
    (dots,) = layers(spec, "point")
    drawn = [(d["row"], d["place"], d["area"] / 55) for d in data(spec, dots)]
    assert drawn == [("0 Meat source", 2, 2), ("0 Meat source", 4, 1), ("0 Meat source", 4.5, 1), ("1 Casing", 7, 1)]
    medians = data(spec, layers(spec, "tick")[-1])
    assert [m["middle"] for m in medians] == [float(np.median(row.places)) for row in ROWS if row.places]
    assert (
        "Meat source: 4 guesses, median 3; Casing: 1 guess: 7; Sodium per serving: no guess yet" in spec["description"]
    )


def test_the_reading_is_drawn_only_where_it_is_shown() -> None:
    kept_back = [Guessed(row.name, row.places) for row in ROWS]
    spec = guess_picture(PACK, "Franks", kept_back).chart.to_dict()
    assert all(
        d.get("low") is None and d.get("likely_low") is None for layer in spec["layer"] for d in data(spec, layer)
    )
    assert not [layer for layer in spec["layer"] if layer["mark"].get("strokeDash")], (
        "nothing says that it has no score"
    )
    shown = guess_picture(PACK, "Franks", ROWS)
    spec = shown.chart.to_dict()
    rules = [d for layer in layers(spec, "rule") for d in data(spec, layer)]
    assert {(d["low"], d["high"]) for d in rules if d.get("low") is not None} == {(1, 6)}
    broken = [d for layer in layers(spec, "rule") if layer["mark"].get("strokeDash") for d in data(spec, layer)]
    assert [d["row"] for d in broken] == ["1 Casing"], "no score; the one kept back has no broken line"
    assert "1–6" in Shown(shown.table).text and "not stated" in Shown(shown.table).text


def test_the_table_holds_the_same() -> None:
    shown = Shown(guess_picture(PACK, EVIL_NAME, ROWS).table)
    assert "2 × 2, 4, 4.5" in shown.text
    assert not {"script", "img"} & {tag for tag, _ in shown.elements}


def test_two_packs_of_one_name_have_a_row_each() -> None:
    spec = guess_picture(ASPECT, "Casing", [Guessed("Franks", (1.0,)), Guessed("Franks", (9.0,))]).chart.to_dict()
    (dots,) = layers(spec, "point")
    assert len({d["row"] for d in data(spec, dots)}) == 2


def test_a_class_without_a_guess_gets_rows_and_no_dots() -> None:
    spec = guess_picture(PACK, "Franks", [Guessed("Casing", ())]).chart.to_dict()
    assert not [layer for layer in spec["layer"] if layer["mark"]["type"] == "point"]
    assert "no guess yet" in spec["description"]
