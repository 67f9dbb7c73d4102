"""Keys, join codes, and that no class sees another."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ui.shelf import tries
from ui.shelf.classes import join, open_class, open_own, students
from ui.shelf.file import ShelfFile
from ui.shelf.guesses import guess, own_guesses, reading_shown, spread
from ui.shelf.keeping import freeze, wipe
from ui.shelf.keys import PLACES, SIGNS, code_from, digest_of, mark_of, new_code, new_id, new_key
from ui.shelf.packs import add, correct, counter, delete, hide, history, look, undo
from ui.shelf.transfer import bring_in, take_out
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Contents, Texts

from tests.shelf.conftest import School, school

PORK = Texts(statement="Pork, water, salt")
WRONG = "CCCC-CCC"  # and one sign more


def kind(told: pytest.ExceptionInfo[ShelfError]) -> str:
    return told.value.kind


# -- codes --------------------------------------------------------------------------------------------------


def test_no_two_signs_of_a_code_look_alike() -> None:
    """Common practice: the groups that are taken for one another in print and by hand."""
    for alike in ("0ODQ", "1IL7", "2Z", "5S", "6G9", "8B", "UVY", "VW", "4A", "CG", "MN"):
        assert len(set(alike) & set(SIGNS)) <= 1, alike
    assert "".join(dict.fromkeys(SIGNS)) == SIGNS.upper() == SIGNS
    assert not set(SIGNS) & set("AEIOU"), "a code should make no word"


def test_a_code_is_not_found_by_trying_within_years() -> None:
    tries_a_year = tries.MOST_OF_ALL / tries.WINDOW_S * 3600 * 24 * 365
    open_classes = 10
    assert len(SIGNS) ** PLACES / open_classes / tries_a_year > 10


@given(st.integers(0, 2**32))
def test_a_code_is_understood_however_it_is_typed(seed: int) -> None:
    code = new_code()
    typed = "".join(random.Random(seed).choice((c, c.lower(), f" {c}", f"{c}-", f"{c}.")) for c in code)
    assert code_from(typed) == code
    assert code_from(code[:-1]) is None and code_from(code + "C") is None and code_from(code[:-1] + "0") is None


@given(st.text(max_size=30))
def test_no_typed_code_raises(typed: str) -> None:
    assert code_from(typed) is None or set(code_from(typed) or "") <= {*SIGNS, "-"}


def test_keys_ids_and_codes_do_not_repeat() -> None:
    for new in (new_key, new_id, new_code):
        assert len({new() for _ in range(500)}) == 500


# -- opening and joining ------------------------------------------------------------------------------------


def test_a_key_opens_its_own_shelf_only(file: ShelfFile) -> None:
    mine, yours = new_key(), new_key()
    for key in (mine, yours, mine):
        open_own(file, key, at=1)
    add(file, mine, new_id(), PORK, at=2)
    assert len(look(file, mine).packs) == 1
    assert look(file, yours).packs == ()
    assert look(file, mine).code == ""
    with pytest.raises(ShelfError) as told:
        look(file, new_key())
    assert kind(told) == "no_key"
    with pytest.raises(ValueError, match="a key needs"):
        open_own(file, "short", at=1)


def test_the_file_holds_no_key(file: ShelfFile, room: School) -> None:
    add(file, room.ada, new_id(), PORK, at=2)
    file.tidy()
    whole = b"".join(f.read_bytes() for f in file.path.parent.iterdir())
    assert b"Pork, water" in whole
    for key in (room.teacher, room.ada, room.ben):
        assert key.encode() not in whole
        assert mark_of(key) not in digest_of(key)


def test_opening_a_class_again_gives_the_same_code(file: ShelfFile) -> None:
    key = new_key()
    code = open_class(file, key, " 7b \n Friday ", at=1)
    assert open_class(file, key, "7b Friday", at=2) == code
    assert (look(file, key).title, look(file, key).code) == ("7b Friday", code)
    own = new_key()
    open_own(file, own, at=1)
    with pytest.raises(ValueError, match="another shelf"):
        open_class(file, own, "", at=1)


def test_a_code_that_is_taken_is_not_given_again(file: ShelfFile, monkeypatch: pytest.MonkeyPatch) -> None:
    codes = iter(["CCCC-CCCC", "CCCC-CCCC", "CCCC-CCCC", "FFFF-FFFF"])
    monkeypatch.setattr("ui.shelf.classes.new_code", lambda: next(codes))
    assert [open_class(file, new_key(), "", at=1) for _ in range(2)] == ["CCCC-CCCC", "FFFF-FFFF"]


def test_joining_twice_is_joining_once(file: ShelfFile, room: School) -> None:
    before = counter(file, room.teacher)
    join(file, room.ada, room.code.lower(), "Another", at=200)
    assert look(file, room.ada).nickname == "Ada"
    assert counter(file, room.teacher) == before
    other = school(file)
    with pytest.raises(ValueError, match="another shelf"):
        join(file, room.ada, other.code, "Ada", at=200)
    with pytest.raises(ValueError, match="another shelf"):
        open_class(file, room.ada, "", at=200)


def test_only_the_teacher_sees_the_code(file: ShelfFile, room: School) -> None:
    assert look(file, room.teacher).code == room.code
    assert look(file, room.teacher).keeper
    assert look(file, room.ada).code == ""
    assert not look(file, room.ada).keeper


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("", ""), ("  Ada \n L. ", "Ada L."), ("\u202eadA", "adA"), ("A\x00d\x07a", "A d a"), ("🌭🌭", "🌭🌭"), ("\ud83c", "?"), ("x" * 24, "x" * 24)],
)  # fmt: skip
def test_a_nickname_is_one_short_line(file: ShelfFile, room: School, typed: str, kept: str) -> None:
    key = new_key()
    join(file, key, room.code, typed, at=1)
    assert look(file, key).nickname == kept


def test_a_long_nickname_is_refused_and_not_cut(file: ShelfFile, room: School) -> None:
    key = new_key()
    with pytest.raises(ShelfError) as told:
        join(file, key, room.code, "x" * 25, at=1)
    assert kind(told) == "too_long"
    join(file, key, room.code, "x", at=1)


# -- trying codes -------------------------------------------------------------------------------------------


def wrong(file: ShelfFile, key: str, at: int, k: int = 0) -> str:
    with pytest.raises(ShelfError) as told:
        join(file, key, WRONG + SIGNS[k % len(SIGNS)], "", at=at)
    return kind(told)


def test_one_key_may_try_ten_times_in_ten_minutes(file: ShelfFile, room: School) -> None:
    key = new_key()
    kinds = [wrong(file, key, at=1000 + k, k=k) for k in range(tries.MOST_OF_ONE + 2)]
    assert kinds == ["no_class"] * tries.MOST_OF_ONE + ["too_many_tries"] * 2
    with pytest.raises(ShelfError) as told:
        join(file, key, room.code, "", at=1012)
    assert kind(told) == "too_many_tries", "else the answer would tell a right code from a wrong one"
    join(file, new_key(), room.code, "", at=1012)  # others are not kept out
    join(file, key, room.code, "", at=1001 + tries.WINDOW_S)  # and after a while nobody is


def test_new_keys_do_not_help_a_guesser(file: ShelfFile, room: School, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tries, "MOST_OF_ALL", 40)
    kinds = [wrong(file, new_key(), at=1000, k=k) for k in range(42)]
    assert kinds == ["no_class"] * 40 + ["too_many_tries"] * 2
    with pytest.raises(ShelfError) as told:
        join(file, new_key(), room.code, "", at=1000)
    assert kind(told) == "too_many_tries"
    look(file, room.ada)  # who is in stays in
    join(file, new_key(), room.code, "", at=1000 + tries.WINDOW_S)
    assert wrong(file, new_key(), at=1000 + tries.WINDOW_S) == "no_class"
    with file.reading() as db:
        assert db.execute("SELECT COUNT(*) FROM wrong_try").fetchone()[0] == 1, "old tries are forgotten"


def test_what_can_be_no_code_is_no_try(file: ShelfFile, room: School) -> None:
    key = new_key()
    for _ in range(tries.MOST_OF_ONE + 1):
        with pytest.raises(ShelfError) as told:
            join(file, key, "hello", "", at=5)
        assert kind(told) == "no_class"
    join(file, key, room.code, "", at=5)


# -- one class never sees another ---------------------------------------------------------------------------


def test_no_key_of_one_class_reaches_into_another(file: ShelfFile, room: School) -> None:
    other = school(file)
    add(file, room.ada, "ours", PORK, at=1)
    guess(file, room.ada, new_id(), "ours", {"casing": (3, "")}, at=1)
    correct(file, room.ada, "ours-2", "ours", Texts(statement="Beef"), at=2)
    before, count = take_out(file, room.teacher), counter(file, room.teacher)
    for key in (other.teacher, other.ada):
        assert look(file, key).packs == () == own_guesses(file, key) == history(file, key)
        for attempt in (
            lambda key: correct(file, key, new_id(), "ours", PORK, at=3),
            lambda key: delete(file, key, new_id(), "ours", at=3),
            lambda key: guess(file, key, new_id(), "ours", {"casing": (9, "")}, at=3),
            lambda key: reading_shown(file, key, new_id(), "ours", at=3),
            lambda key: undo(file, key, new_id(), "ours-2"),
        ):
            with pytest.raises(ShelfError) as told:
                attempt(key)
            assert kind(told) in ("no_pack", "no_change")
    with pytest.raises(ShelfError):
        hide(file, other.teacher, new_id(), "ours", at=3)
    assert spread(file, other.teacher) == ()
    # The same ids in another class are other writes.
    add(file, other.ada, "ours", Texts(statement="Chicken"), at=4)
    freeze(file, other.teacher, new_id())
    delete(file, other.teacher, "ours-2", "ours", at=5)
    wipe(file, other.teacher, new_id())
    assert (take_out(file, room.teacher), counter(file, room.teacher)) == (before, count)


def test_the_teacher_sees_who_joined_this_class(file: ShelfFile, room: School) -> None:
    other = school(file)
    assert {(s.id, s.nickname) for s in students(file, room.teacher)} == {
        (mark_of(room.ada), "Ada"),
        (mark_of(room.ben), ""),
    }
    wipe(file, other.teacher, new_id())
    assert students(file, other.teacher) == ()
    assert len(students(file, room.teacher)) == 2


def test_students_may_not_do_what_the_teacher_may(file: ShelfFile, room: School) -> None:
    add(file, room.teacher, "p", PORK, at=1)
    before, count = take_out(file, room.teacher), counter(file, room.teacher)
    for forbidden in (
        lambda: freeze(file, room.ada, new_id()),
        lambda: wipe(file, room.ada, new_id()),
        lambda: take_out(file, room.ada),
        lambda: bring_in(file, room.ada, new_id(), Contents()),
        lambda: spread(file, room.ada),
        lambda: students(file, room.ada),
        lambda: hide(file, room.ada, new_id(), "p", at=2),
        lambda: correct(file, room.ada, new_id(), "p", PORK, at=2),
        lambda: delete(file, room.ada, new_id(), "p", at=2),
    ):
        with pytest.raises(ShelfError) as told:
            forbidden()
        assert kind(told) in ("keeper_only", "not_yours")
    assert (take_out(file, room.teacher), counter(file, room.teacher)) == (before, count)
