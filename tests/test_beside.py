"""Packs side by side in the app, without a browser: which packs, in which order, ranked by what, on which paper."""

from __future__ import annotations

import base64
import csv
import io
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from ui.beside.beside import Beside
from ui.beside.wishes import BY_RANK, Wishes, worked_out
from ui.inputs import examples
from ui.keyring import Keyring
from ui.pack_names import plain_names
from ui.shelf.values import Texts
from ui.shelves import Readings, Shelves
from ui.spoken import Spoken

from reader import compare_files
from reader.compare.pack import Pack
from reader.compare.table import MOST

TEXTS = [Texts(**{k: e[k] for k in ("statement", "panel", "market", "name", "price")}) for e in examples()]


@pytest.fixture
def shelves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shelves:
    monkeypatch.setenv("LABEL_SHELF", str(tmp_path / "shelf.sqlite3"))
    return Shelves(Keyring())


@pytest.fixture(scope="module")
def readings() -> Readings:
    return Readings()


@pytest.fixture
def beside(shelves: Shelves, readings: Readings) -> Iterator[Beside]:
    found = Beside(shelves, readings, Spoken())
    found.view()
    yield found
    found.leave()


@pytest.fixture(scope="module")
def packs(readings: Readings) -> list[Pack]:
    shelf = [kept(number, texts) for number, texts in enumerate(TEXTS)]
    return list(readings.read(shelf, plain_names(shelf)))


def kept(number: int, texts: Texts) -> Any:
    from ui.shelf.values import Pack as Kept

    return Kept(id=f"p{number}", writer="", added=0, **{name: getattr(texts, name) for name in Texts.__slots__})


def until(there: Callable[[], object]) -> None:
    deadline = time.monotonic() + 30
    while not there():
        assert time.monotonic() < deadline
        time.sleep(0.02)


def names_shown(beside: Beside) -> list[str]:
    """The packs of the first table, in their order."""
    first = beside.tables.view.value.split("</table>")[0]
    return list(re.findall(r'<th scope="row">([^<]+)</th>', first))


def test_without_packs_of_ones_own_the_examples_stand_side_by_side(beside: Beside) -> None:
    beside.enter()
    until(lambda: beside.tables.view.value)
    assert names_shown(beside) == [e["name"] for e in examples()]
    assert "examples" in beside.chosen.note.value
    until(lambda: sum(slot.chart.outputs != () for slot in beside.charts.slots) == 4)


def test_kept_packs_take_their_place(beside: Beside, shelves: Shelves) -> None:
    for texts in TEXTS[:3]:
        shelves.keep(texts)
    beside.enter()
    until(lambda: names_shown(beside) == [t.name for t in TEXTS[:3]] if beside.tables.view.value else False)
    assert len(beside.chosen.ticks.children) == 3
    beside.chosen.ticks.children[0].value = False  # the first is left out
    until(lambda: "Classic Franks" not in beside.tables.view.value)
    shelves.keep(TEXTS[3])  # kept later, found when the visitor comes back
    beside.leave()
    beside.enter()
    until(lambda: len(beside.chosen.ticks.children) == 4)
    assert not beside.chosen.ticks.children[0].value, "what was left out stays left out"


def test_one_pack_is_told_to_be_too_few(beside: Beside, shelves: Shelves) -> None:
    shelves.keep(TEXTS[0])
    beside.enter()
    assert "Tick at least 2" in beside.progress.value
    assert beside.tables.view.value == ""


def test_packs_of_one_name_are_told_apart(beside: Beside, shelves: Shelves) -> None:
    for _ in range(3):
        shelves.keep(TEXTS[0])
    beside.enter()
    until(lambda: beside.tables.view.value)
    assert names_shown(beside) == ["Classic Franks", "Classic Franks (2)", "Classic Franks (3)"]


def test_weights_rank_and_order(beside: Beside) -> None:
    beside.enter()
    until(lambda: beside.tables.view.value)
    assert "weight above 0" in beside.ranked.view.value
    beside.weights.boxes["sodium"].value = 10.0
    assert "Your weights" not in beside.ranked.view.value
    assert "Sodium per serving 10" in beside.ranked.view.value
    beside.sieve.order.value = BY_RANK
    # The lowest sodium a serving first, as the panels print it.
    assert names_shown(beside)[0] in ("Plant-based Snags", "Eight Pork Sausages")


def test_a_filter_tells_what_it_cannot_take(beside: Beside) -> None:
    beside.enter()
    until(lambda: beside.tables.view.value)
    beside.sieve.only.value = "share_meat"
    beside.sieve.least.value = "much"
    assert "“much” is no number" in beside.sieve.trouble.value
    assert len(names_shown(beside)) == len(TEXTS)
    beside.sieve.least.value = "60 %"
    assert beside.sieve.trouble.value == ""
    assert "Plant-based Snags" not in beside.tables.view.value
    beside.sieve.least.value = "99,5"
    assert "No pack is left" in beside.tables.count.value
    assert beside.tables.view.value == ""


def test_two_labels_term_by_term(beside: Beside) -> None:
    beside.enter()
    until(lambda: beside.tables.view.value)
    until(lambda: "MECHANICALLY SEPARATED" in beside.differing.text.value)
    beside.differing.one.value = beside.differing.other.value
    assert "two different packs" in beside.differing.text.value


def test_every_sheet_can_be_had(beside: Beside) -> None:
    beside.enter()
    until(lambda: beside.tables.view.value)
    beside.papers.make.click()
    found = dict(re.findall(r'download="([a-z.-]+)" href="data:[^,]+,([^"]+)"', beside.papers.links.value))
    assert set(found) == {*(f"packs-{name}.html" for name in compare_files.SHEETS), "packs.csv"}
    rows = list(csv.DictReader(io.StringIO(base64.b64decode(found["packs.csv"]).decode("utf-8-sig"))))
    assert [row["name"] for row in rows] == [e["name"] for e in examples()]
    assert base64.b64decode(found["packs-cards.html"]).startswith(b"<!DOCTYPE html>")
    beside.sieve.order.value = "sodium_100g"
    assert beside.papers.links.value == "", "files of another order are not left standing"


def test_a_broken_shelf_is_told_and_the_examples_stay(beside: Beside, shelves: Shelves, tmp_path: Path) -> None:
    shelves.keyring.put("own", "k" * 30)
    (tmp_path / "shelf.sqlite3").write_bytes(b"no shelf at all, but a letter to the teacher" * 40)
    beside.enter()
    assert "damaged" in beside.message.text
    until(lambda: beside.tables.view.value)
    assert names_shown(beside) == [e["name"] for e in examples()]


def test_a_kept_pack_is_corrected_taken_off_and_brought_back(beside: Beside, shelves: Shelves) -> None:
    for texts in TEXTS[:3]:
        shelves.keep(texts)
    beside.enter()
    until(lambda: beside.tables.view.value)
    beside.changing.which.value = beside.chosen.packs[1].id
    beside.changing.boxes.price.value = "$1.00 / 1 lb"
    beside.changing.save.click()
    until(lambda: "USD 2.20" in beside.tables.view.value)
    beside.changing.take_off.click()
    until(lambda: names_shown(beside) == [TEXTS[0].name, TEXTS[2].name])
    beside.changing.done.children[0].children[1].click()  # undo
    until(lambda: len(names_shown(beside)) == 3)
    assert [one.layout.display for one in beside._own_parts] == ["", ""]


def test_the_examples_cannot_be_changed(beside: Beside) -> None:
    beside.enter()
    assert [one.layout.display for one in beside._own_parts] == ["none", "none"]


def test_wishes_without_wishes_change_nothing(packs: list[Pack]) -> None:
    found, ranking = worked_out(packs, Wishes())
    assert [line.pack for line in found.lines] == packs
    assert ranking is None


def test_ranking_is_of_the_packs_let_through(packs: list[Pack]) -> None:
    wishes = Wishes(weights={"meat_source": 5.0}, only="casing_stated", word="natural")
    found, ranking = worked_out(packs, wishes)
    assert ranking is not None
    assert {r.line.pack.name for r in ranking.ranked} == {line.pack.name for line in found.lines}
    assert 0 < len(found.lines) < len(packs)


def test_forty_packs_are_shown_within_a_second(beside: Beside, packs: list[Pack]) -> None:
    many = tuple(Pack(f"{p.name} {n}", p.report, p.price) for n, p in enumerate((packs * 6)[:MOST]))
    beside._read = many
    times = []
    for falling in (True, False, True):  # the first time Altair is loaded
        start = time.perf_counter()
        beside.sieve.falling.value = falling
        beside.sieve.order.value = "share_meat" if falling else "sodium_100g"
        times.append(time.perf_counter() - start)
    print(f"40 packs: {times}")
    assert min(times) < 1.0
