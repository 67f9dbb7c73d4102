"""The page: the shortlist first, every product counted or shown, ranges drawn, nothing run, nothing from elsewhere."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reader.house.specification import from_yaml
from reader.page import screened
from reader.page.comparison import unbroken
from reader.screening.told import asked_told, name_told, place_told
from reader.screening.values import Screening
from reader.wording import say
from tests.screening.made import HOUSE, dozen, many, screening
from tests.screening.test_workbook import evil
from tests.shown import Shown
from tests.test_wording import FORBIDDEN


def body(page: str) -> str:
    return page.split("<body>")[1].split("</body>")[0]


def section(page: str, name: str) -> str:
    """A part of the page by the heading it has."""
    found = re.search(rf'aria-labelledby="part-screened_{name}">(.*?)</section>', page, re.S)
    return found.group(1) if found else ""


@pytest.fixture(scope="module")
def found() -> Screening:
    return dozen()


@pytest.fixture(scope="module")
def page(found: Screening) -> str:
    return screened.document(found)


def test_it_is_one_file_that_runs_and_loads_nothing(page: str) -> None:
    shown = Shown(page)
    assert shown.open == []
    tags = {tag for tag, _ in shown.elements}
    assert not tags & {"script", "img", "iframe", "link", "form", "object"}
    assert not re.search(r"https?://|url\(|@import", body(page))
    ids = [known["id"] for _, known in shown.elements if "id" in known]
    assert len(ids) == len(set(ids))


def test_the_shortlist_comes_first_then_what_is_to_ask_then_what_is_out(page: str) -> None:
    order = re.findall(r'id="part-screened_(\w+)"', page)
    assert order == ["asked", "meets", "ask", "unread", "fails", "doubles", "questions", "input", "methods"]
    assert "Meadow Wiener" in section(page, "meets")
    assert "Paste Frank" in section(page, "fails")
    assert "Empty Link" in section(page, "unread")
    assert "Hill Link" in section(page, "ask")


def test_each_product_stands_with_its_place_and_every_verdict_with_its_reason(found: Screening, page: str) -> None:
    text = Shown(body(page)).text
    for placed, row in found.by_standing():
        if row.read:
            assert f"{unbroken(place_told(placed))} {name_told(row)}" in text
        for verdict in row.verdicts:
            assert verdict.because.replace(" ", "") in text.replace("\u00a0", "").replace(" ", "")
        for problem in row.problems:
            assert problem in text.replace("\u00a0", " ")
    for requirement, counts in zip(found.specification.requirements, found.counts, strict=True):
        assert asked_told(requirement) in text
        assert sum(counts.values()) == sum(row.read for _, row in found.by_standing())


def test_preferences_are_drawn_as_ranges_and_told(page: str) -> None:
    labels = [known["aria-label"] for tag, known in Shown(page).elements if tag == "svg"]
    assert "Meadow Wiener: meets 3 of 3 preferences" in labels
    assert any(re.search(r"meets \d–\d of 3", label) for label in labels)
    assert say("screened_places") in Shown(page).text


def test_cautions_and_sources_stand_there_and_nothing_is_promised(page: str) -> None:
    text = Shown(body(page)).text
    assert say("screened_allergens") in text
    assert say("finding_not_advice") in text
    assert "choke" in text
    assert "read by us" in text
    assert "old kind (XLS)" in text
    ours = text.split(say("screened_topic_sources"))[0]  # titles of laws are not ours
    assert not FORBIDDEN.search(ours)
    assert not re.search(r"\{[a-z_]+\}|\bNone\b", text)


def test_of_a_long_list_every_product_is_shown_or_counted() -> None:
    found = many(120)
    page = screened.document(found, full=3, lines=5)
    assert len(re.findall('class="product"', page)) == 12
    standings: dict[str, list[str]] = {}
    for _, row in found.by_standing():
        standings.setdefault(row.tally.standing if row.read else "unread", []).append(name_told(row))
    for standing, names in standings.items():
        part = section(page, standing)
        assert re.findall(r'<th scope="col" >(.*?)</th>', part) == ["Product", "Place", "Supplier", "In short"]
        assert re.findall(r'<th scope="row" >(.*?)</th>', part) == names[3:8]
        assert [name for name in names if re.search(rf"{re.escape(name)}( <span|<)", part)] == names[:8]
        assert say("screened_beyond", count=len(names) - 8) in part
        assert say("screened_elsewhere") in part
    whole = screened.document(found)
    assert all(re.search(rf"{re.escape(name)}( <span|<)", whole) for names in standings.values() for name in names)
    assert "line each" not in screened.document(many(6))


def test_a_stopped_screening_and_an_empty_one_say_so(found: Screening) -> None:
    assert say("screened_rows_open") in screened.document(replace(found, whole=found.count + 1))
    empty = screened.document(screening([]))
    assert say("screened_none_meets") in empty
    assert section(empty, "unread") == ""


def test_a_house_without_preferences_draws_none() -> None:
    house = from_yaml("title: Plain\nmust:\n  product: sausage\n")
    assert "<svg" not in screened.document(dozen(house))


@settings(max_examples=40, deadline=None)
@given(st.text(alphabet="<>&\"'\x00\x01\ud800ab/{}=%", max_size=40))
def test_nothing_of_a_list_becomes_markup(text: str) -> None:
    page = screened.document(evil(text, HOUSE))
    shown = Shown(page)
    assert shown.open == []
    assert {tag for tag, _ in shown.elements} == {tag for tag, _ in Shown(screened.document(evil("x", HOUSE))).elements}
    page.encode("utf-8")
