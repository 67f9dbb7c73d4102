"""The widget-free state, the examples and the files to keep."""

from __future__ import annotations

import base64
import csv
import io
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ui import downloads
from ui.desk import Desk
from ui.inputs import Inputs, examples
from ui.state import State

from reader import pipeline
from reader.columns import COLUMNS
from tests.shown import EVIL, EVIL_NAME

ANY = st.text(max_size=200)
HALF = st.text(st.characters(categories=("Lu", "Po", "Cs", "Cc", "So")), max_size=60)


@given(ANY, ANY, ANY, st.sampled_from(pipeline.MARKETS))
@settings(max_examples=60, deadline=None)
def test_what_was_typed_comes_back(statement: str, panel: str, name: str, market: str) -> None:
    state = State(statement=statement, panel=panel, name=name, market=market)
    again = State.from_dict(json.loads(json.dumps(state.to_dict())))
    assert again.to_dict() == state.to_dict()


@given(st.one_of(ANY, HALF), st.one_of(ANY, HALF), st.one_of(ANY, HALF))
@settings(max_examples=80, deadline=None)
def test_no_text_raises_and_none_is_changed(statement: str, panel: str, name: str) -> None:
    state = State(statement=statement, panel=panel, name=name)
    state.read()
    assert (state.statement, state.panel, state.name) == (statement, panel, name)
    if state.report is not None:
        for text in (downloads.as_html(state.report), downloads.as_json(state.report), downloads.as_csv(state.report)):
            text.encode("utf-8", "replace")


def test_a_fault_of_ours_is_told_in_words_and_keeps_the_text(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("<b>inner words</b>")

    state = State(statement="Pork, salt")
    assert state.read()
    before = state.report
    monkeypatch.setattr(pipeline, "read_label", broken)
    assert not state.read()
    assert state.statement == "Pork, salt"
    assert state.report is before
    assert "fault of ours" in state.message
    assert "inner words" not in state.message


def test_a_chosen_class_holds_for_the_label_it_was_chosen_for() -> None:
    state = State(statement="Pork, water, salt, spices.", name="Pork sausage")
    state.read()
    assert state.report.classed.id == "fresh_pork"
    state.classed_as = "breakfast"
    state.read(again=True)
    assert state.report.classed.id == "breakfast" and state.report.classed.chosen
    state.market = "UK"  # which knows no such class
    state.read(again=True)
    assert state.report.classed.id == "uk_pork_sausage" and not state.report.classed.chosen
    state.market = "US"
    state.read()
    assert state.report.classed.id == "fresh_pork", "a label read anew is classed anew"


def test_nothing_typed_is_no_reading() -> None:
    state = State(statement="  \n")
    assert not state.read()
    assert state.report is None
    assert "nothing to read" in state.message
    state.statement = "Pork, salt"
    assert state.read()
    assert state.message == ""


def test_nonsense_in_a_saved_form_is_left_out() -> None:
    state = State.from_dict({"statement": 7, "market": "Mars", "name": "Franks", "other": []})
    assert state.to_dict() == {"form": 1, "market": "US", "statement": "", "panel": "", "name": "Franks", "price": ""}


def test_there_are_enough_examples_and_each_can_be_read() -> None:
    assert len(examples()) >= 6
    assert {e["market"] for e in examples()} >= {"US", "UK", "CA", "AU"}
    for example in examples():
        state = State.from_dict(example)
        assert state.read(), example["title"]
        assert state.report.facts.term_count > 4
        assert not state.report.panel.empty
        assert not state.report.facts.unknown_terms


def test_only_the_badly_scanned_example_is_odd() -> None:
    for example in examples():
        state = State.from_dict(example)
        state.read()
        assert bool(state.report.problems) == ("scanned" in example["title"]), example["title"]


def test_an_example_does_not_swallow_what_was_typed() -> None:
    state = State()
    inputs = Inputs(state, lambda: None, lambda: None)
    state.statement = "my own text"
    inputs.examples.value = 1
    inputs.examples.value = 2
    assert state.statement == examples()[2]["statement"]
    assert inputs.back.layout.display == ""
    inputs.back.click()
    assert state.statement == "my own text"
    assert inputs.back.layout.display == "none"


def test_the_desk_reads_and_offers_the_files() -> None:
    desk = Desk(State.from_dict(examples()[0]))
    desk.view()
    desk.one.inputs.read.click()
    assert "headline" in desk.one.reading.results.headline.value
    assert desk.one.reading.results.slots["order"].chart.outputs
    assert desk.one.reading.files.value.count("download=") == 3
    assert desk.state.message == ""


def test_a_screen_reader_is_told_what_came_of_it() -> None:
    desk = Desk(State(statement="Pork, blorp, salt (", panel="Serving size 50 g. Sodium 500 mg"))
    heard: list[str] = []
    desk.spoken.view.observe(lambda change: heard.append(change["new"]), "value")
    desk.one.read()
    assert heard == ["The label was read. There is one remark about the paste. Not understood: blorp."]
    desk.one.read()  # the same words again are emptied first, so that they count as new
    assert heard[1:] == ["", heard[0]]
    desk.state.statement = "Pork, salt"
    desk.one.read()
    assert heard[-1] == "The label was read. Nothing odd was found in the paste. Every term was understood."


def test_a_fault_while_showing_keeps_what_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    desk = Desk(State.from_dict(examples()[0]))
    monkeypatch.setattr("reader.page.charts.pictures", lambda report: 1 / 0)
    desk.one.read()
    assert "headline" in desk.one.reading.results.headline.value
    assert "fault of ours" in desk.one.inputs.message.value


def test_the_files_hold_the_reading() -> None:
    state = State.from_dict({**examples()[0], "name": EVIL_NAME})
    state.read()
    links = dict(
        re.findall(
            r'download="[a-z0-9-]+\.(html|json|csv)" href="data:[^"]*;base64,([^"]+)"', downloads.links(state.report)
        )
    )
    files = {kind: base64.b64decode(data).decode("utf-8") for kind, data in links.items()}
    assert files["html"].startswith("<!DOCTYPE html>")
    assert json.loads(files["json"])["market"] == "US"
    (row,) = csv.DictReader(io.StringIO(files["csv"].removeprefix("\ufeff")))
    assert set(COLUMNS) < set(row)
    assert row["statement"] == state.statement
    assert row["mechanically_separated"] == "true"


@pytest.mark.parametrize("text", ["=1+1", "+cmd", "-2", "@sum", "\t=x"])
def test_no_cell_of_the_csv_begins_a_formula(text: str) -> None:
    state = State(statement=text + ", pork, salt", name=text)
    state.read()
    (row,) = csv.DictReader(io.StringIO(downloads.as_csv(state.report)))
    assert row["name"] == "'" + text
    assert row["statement"].startswith("'")


def test_the_names_of_files_hold_no_odd_letters() -> None:
    state = State(statement=EVIL, name=EVIL_NAME + "/../é")
    state.read()
    assert set(re.findall(r'download="([^"]+)\.\w+"', downloads.links(state.report))) == {
        "label-franks-img-src-x-onerror-window"
    }


def test_a_guess_comes_before_the_reading_if_it_is_wanted() -> None:
    desk = Desk(State(statement="Mechanically separated chicken, water, salt.", panel="Sodium 480 mg per 100 g"))
    one = desk.one
    one.inputs.guess_first.value = True
    one.read()
    assert desk.state.report is None
    assert (one.guessing.closed, one._read_part.layout.display) == (False, "none")
    one.guessing.scales["meat_source"].place.value = 7.5
    one.guessing.scales["meat_source"].words.value = "chicken comes first"
    one.read()  # pressed again: the guess stays
    assert one.guessing.guesses()["meat_source"].place == 7.5
    one.guessing.done.click()
    assert one._read_part.layout.display == ""
    shown = one.against.view.value
    assert "You guessed 7.5." in shown and "above all that is possible" in shown and "chicken comes first" in shown
    assert "Casing" not in shown, "no guess was made of it"
    one.guessing.done.click()  # a press that came late
    one.read()  # the same label again: it was guessed already
    assert one.guessing.closed and one.against.view.value
    desk.state.statement = "Pork, salt."
    one.read()
    assert not one.guessing.closed and one.guessing.guesses() == {}, "another label, another guess"
    one.inputs.guess_first.value = False
    desk.state.statement = "Pork, salt, spices."
    one.read()
    assert one.guessing.closed and one.against.view.value == ""
    assert "headline" in one.reading.results.headline.value


def test_the_address_grammar_is_not_loaded() -> None:
    script = (
        "import sys; from ui.quick_start import spare_address_grammar as spare; spare(); import altair;"
        " assert 'lark' not in sys.modules, 'two seconds for nothing'; altair.Chart().mark_bar().to_dict()"
    )
    folder = Path(__file__).parent.parent / "notebooks"
    done = subprocess.run([sys.executable, "-c", script], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
