"""Guess first: kept before the reading is shown, compared later, told of a class as plain values."""

from __future__ import annotations

from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ui.shelf.classes import join, open_own
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.guesses import guess, own_guesses, own_seen, reading_shown, spread
from ui.shelf.keeping import freeze
from ui.shelf.keys import new_id, new_key
from ui.shelf.packs import add, delete, hide, undo
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Spread, Texts

from reader.aspects import ASPECTS
from tests.shelf.conftest import School, school

PORK = Texts(statement="Pork, water, salt")


@pytest.fixture
def pack(file: ShelfFile, room: School) -> str:
    add(file, room.teacher, "p", PORK, at=1)
    return "p"


def told_of(file: ShelfFile, key: str) -> list[tuple[str, float, str]]:
    return [(g.aspect, g.place, g.words) for g in own_guesses(file, key)]


def test_a_guess_is_kept_for_who_made_it(file: ShelfFile, room: School, pack: str) -> None:
    guess(file, room.ada, "g", pack, {"casing": (3, "peel off"), "sodium": (7.5, "")}, at=2)
    assert told_of(file, room.ada) == [("casing", 3.0, "peel off"), ("sodium", 7.5, "")]
    assert told_of(file, room.ben) == []
    assert [g.added for g in own_guesses(file, room.ada)] == [2, 2]


def test_a_later_guess_takes_the_place_of_an_earlier_one(file: ShelfFile, room: School, pack: str) -> None:
    guess(file, room.ada, "g1", pack, {"casing": (3, "a"), "sodium": (2, "b")}, at=2)
    guess(file, room.ada, "g2", pack, {"casing": (9, "c")}, at=3)
    guess(file, room.ada, "g1", pack, {"casing": (3, "a"), "sodium": (2, "b")}, at=4)  # a late repetition
    assert told_of(file, room.ada) == [("casing", 9.0, "c"), ("sodium", 2.0, "b")]


def test_no_guess_once_the_reading_was_shown(file: ShelfFile, room: School, pack: str) -> None:
    guess(file, room.ada, "g1", pack, {"casing": (3, "")}, at=2)
    reading_shown(file, room.ada, "s", pack, at=3)
    reading_shown(file, room.ada, "s2", pack, at=4)
    assert (own_seen(file, room.ada), own_seen(file, room.ben)) == ({pack}, frozenset())
    with pytest.raises(ShelfError) as told:
        guess(file, room.ada, "g2", pack, {"casing": (9, "")}, at=5)
    assert told.value.kind == "guess_late"
    guess(file, room.ada, "g1", pack, {"casing": (3, "")}, at=5)  # kept before, confirmed still
    assert told_of(file, room.ada) == [("casing", 3.0, "")]
    guess(file, room.ben, "g2", pack, {"casing": (9, "")}, at=5)  # who has not seen it may still guess
    add(file, room.ada, "q", PORK, at=6)
    guess(file, room.ada, "g3", "q", {"casing": (1, "")}, at=6)  # and of another pack
    freeze(file, room.teacher, "f")
    reading_shown(file, room.ben, "s3", pack, at=7)


@pytest.mark.parametrize("place", [-0.1, 10.1, float("nan"), float("inf")])
def test_a_place_off_the_scale_is_a_wrong_call(file: ShelfFile, room: School, pack: str, place: float) -> None:
    with pytest.raises(ValueError, match="does not stand from 0 to 10"):
        guess(file, room.ada, "g", pack, {"casing": (place, "")}, at=2)


def test_odd_guesses_are_refused(file: ShelfFile, room: School, pack: str) -> None:
    with pytest.raises(ValueError, match="aspect 'smell' is not known"):
        guess(file, room.ada, "g", pack, {"smell": (1, "")}, at=2)
    with pytest.raises(ShelfError) as told:
        guess(file, room.ada, "g", pack, {"casing": (1, "x" * 501)}, at=2)
    assert told.value.kind == "too_long"
    with pytest.raises(ShelfError) as told:
        guess(file, room.ada, "g", "none", {"casing": (1, "")}, at=2)
    assert told.value.kind == "no_pack"
    assert told_of(file, room.ada) == []


def test_an_owner_guesses_alone(file: ShelfFile) -> None:
    key = new_key()
    open_own(file, key, at=1)
    add(file, key, "p", PORK, at=1)
    guess(file, key, "g", "p", dict.fromkeys(ASPECTS, (5, "")), at=2)
    assert len(told_of(file, key)) == len(ASPECTS)
    assert spread(file, key) == ()


def test_the_spread_of_a_class(file: ShelfFile, room: School, pack: str) -> None:
    places = [8, 1, 4]
    cleo = new_key()
    join(file, cleo, room.code, "Cleo", at=2)
    for key, place in zip((room.ada, room.ben, cleo), places, strict=True):
        guess(file, key, new_id(), pack, {"casing": (place, "")}, at=3)
    guess(file, room.ada, new_id(), pack, {"sodium": (2.5, "")}, at=3)
    guess(file, room.teacher, new_id(), pack, {"casing": (10, "")}, at=3)
    wanted = (
        Spread(pack="p", aspect="casing", places=(1.0, 4.0, 8.0), low=1.0, middle=4.0, high=8.0),
        Spread(pack="p", aspect="sodium", places=(2.5,), low=2.5, middle=2.5, high=2.5),
    )
    assert spread(file, room.teacher) == wanted
    hide(file, room.teacher, "h", pack, at=4)
    assert spread(file, room.teacher) == ()
    undo(file, room.teacher, "u", "h")
    delete(file, room.teacher, "d", pack, at=5)
    assert spread(file, room.teacher) == ()
    undo(file, room.teacher, "u2", "d")
    assert spread(file, room.teacher) == wanted


@given(st.lists(st.tuples(st.integers(0, 3), st.sampled_from(ASPECTS), st.floats(0, 10)), min_size=1, max_size=8))
def test_a_spread_holds_the_last_guess_of_each_and_nothing_else(
    tmp_path_factory: pytest.TempPathFactory, guesses: list[tuple[int, str, float]]
) -> None:
    file = open_file(tmp_path_factory.mktemp("spread") / "shelf.db")
    room = school(file)
    add(file, room.teacher, "p", PORK, at=1)
    keys = [room.ada, room.ben, new_key(), new_key()]
    for key in keys[2:]:
        join(file, key, room.code, "", at=2)
    last = {}
    for who, aspect, place in guesses:
        guess(file, keys[who], new_id(), "p", {aspect: (place, "")}, at=3)
        last[who, aspect] = place
    for found in spread(file, room.teacher):
        places = sorted(place for (_, aspect), place in last.items() if aspect == found.aspect)
        assert list(found.places) == places
        assert (found.low, found.middle, found.high) == (places[0], median(places), places[-1])
    assert {s.aspect for s in spread(file, room.teacher)} == {aspect for _, aspect in last}
