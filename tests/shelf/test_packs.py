"""Packs: added once, corrected, hidden, deleted, undone; shelves frozen and wiped."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest
from ui.shelf import limits
from ui.shelf.classes import join
from ui.shelf.file import ShelfFile
from ui.shelf.guesses import guess, reading_shown
from ui.shelf.keeping import freeze, wipe
from ui.shelf.keys import new_id, new_key
from ui.shelf.packs import add, correct, counter, delete, hide, history, look, undo
from ui.shelf.transfer import take_out
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Contents, Texts

from tests.shelf.conftest import School

PORK = Texts(statement="Pork, water, salt", panel="Sodium 480 mg", market="UK", name="Links", price="£2.75 for 454g")
BEEF = Texts(statement="Beef, salt")


def kind(told: pytest.ExceptionInfo[ShelfError]) -> str:
    return told.value.kind


def statements(file: ShelfFile, key: str) -> list[str]:
    return [pack.statement for pack in look(file, key).packs]


# -- adding -------------------------------------------------------------------------------------------------


def test_what_was_typed_comes_back(file: ShelfFile, room: School) -> None:
    odd = Texts(statement="  <b>Pörk</b>,\r\n\t water\x00 🌭 ", panel="'=1+1", name="\u202e", price='"')
    add(file, room.ada, "a", PORK, at=7)
    add(file, room.ben, "b", odd, at=8)
    first, second = look(file, room.ben).packs
    assert (first.statement, first.panel, first.market, first.name, first.price) == (
        PORK.statement, PORK.panel, PORK.market, PORK.name, PORK.price,
    )  # fmt: skip
    assert (first.id, first.nickname, first.added, second.nickname) == ("a", "Ada", 7, "")
    assert (second.statement, second.panel, second.name, second.price) == (
        odd.statement, odd.panel, odd.name, odd.price,
    )  # fmt: skip


def test_a_repeated_write_doubles_nothing(file: ShelfFile, room: School) -> None:
    for at in (7, 8, 9):
        add(file, room.ada, "a", PORK, at=at)
    assert [p.added for p in look(file, room.ada).packs] == [7]
    count = counter(file, room.ada)
    correct(file, room.ada, "b", "a", BEEF, at=10)
    delete(file, room.ada, "c", "a", at=11)
    undo(file, room.ada, "d", "c")
    for _ in range(2):
        correct(file, room.ada, "b", "a", BEEF, at=12)
        delete(file, room.ada, "c", "a", at=12)
        undo(file, room.ada, "d", "c")
    assert statements(file, room.ada) == ["Beef, salt"]
    assert counter(file, room.ada) == count + 3


def test_a_student_is_told_of_packs_and_not_of_guesses(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=7)
    keys = (room.teacher, room.ben)
    counts = [counter(file, key) for key in keys]

    def risen() -> list[int]:
        return [counter(file, key) - before for key, before in zip(keys, counts, strict=True)]

    guess(file, room.ada, "b", "a", {"casing": (5, "")}, at=8)
    reading_shown(file, room.ada, "c", "a", at=8)
    join(file, new_key(), room.code, "Cleo", at=8)
    assert risen() == [3, 0]
    add(file, room.ada, "d", BEEF, at=9)
    hide(file, room.teacher, "e", "a", at=9)
    freeze(file, room.teacher, "f")
    assert risen() == [6, 3]


def test_a_write_that_was_refused_is_not_counted_as_done(file: ShelfFile, room: School) -> None:
    freeze(file, room.teacher, "f1")
    count = counter(file, room.teacher)
    with pytest.raises(ShelfError):
        add(file, room.ada, "a", PORK, at=1)
    assert counter(file, room.teacher) == count
    freeze(file, room.teacher, "f2", frozen=False)
    add(file, room.ada, "a", PORK, at=2)
    assert len(look(file, room.ada).packs) == 1


def test_an_id_used_for_something_else_is_a_wrong_call(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    for key, texts in ((room.ada, BEEF), (room.ben, PORK)):
        with pytest.raises(ValueError, match="used for another write"):
            add(file, key, "a", texts, at=1)
    with pytest.raises(ValueError, match="used for another write"):
        delete(file, room.ada, "a", "a", at=1)
    for odd in ("", "a b", "ä", "a" * 65, "a\n"):
        with pytest.raises(ValueError, match="no id of a write"):
            add(file, room.ada, odd, PORK, at=1)


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (Texts(), "empty_pack"),
        (Texts(statement=" \n", name="Links"), "empty_pack"),
        (Texts(statement="x" * 20_001), "too_long"),
        (Texts(panel="x" * 20_001), "too_long"),
        (Texts(statement="x", name="x" * 201), "too_long"),
        (Texts(statement="x", price="x" * 101), "too_long"),
    ],
)
def test_too_little_and_too_much_is_refused(file: ShelfFile, room: School, texts: Texts, wanted: str) -> None:
    add(file, room.ada, "a", PORK, at=1)
    for refused in (
        lambda: add(file, room.ada, "b", texts, at=1),
        lambda: correct(file, room.ada, "b", "a", texts, at=1),
    ):
        with pytest.raises(ShelfError) as told:
            refused()
        assert kind(told) == wanted
    assert statements(file, room.ada) == [PORK.statement]


def test_an_unknown_market_is_a_wrong_call(file: ShelfFile, room: School) -> None:
    with pytest.raises(ValueError, match="market 'XX' is not known"):
        add(file, room.ada, "a", Texts(statement="Pork", market="XX"), at=1)


def test_half_a_character_is_replaced(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", Texts(statement="Pork \ud83c, salt"), at=1)
    assert statements(file, room.ada) == ["Pork ?, salt"]


def test_a_full_shelf_takes_no_more(file: ShelfFile, room: School, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "MOST_PACKS", 2)
    for k in range(2):
        add(file, room.ada, f"a{k}", PORK, at=1)
    delete(file, room.ada, "d", "a0", at=1)  # can come back, so it takes room
    with pytest.raises(ShelfError) as told:
        add(file, room.ben, "b", PORK, at=1)
    assert kind(told) == "full"
    add(file, room.ada, "a1", PORK, at=1)  # a repetition needs none


# -- changing -----------------------------------------------------------------------------------------------


def test_hidden_packs_are_seen_by_the_teacher_and_who_added_them(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    hide(file, room.teacher, new_id(), "a", at=2)
    assert [len(look(file, key).packs) for key in (room.teacher, room.ada, room.ben)] == [1, 1, 0]
    assert look(file, room.ada).packs[0].hidden
    with pytest.raises(ShelfError) as told:
        guess(file, room.ben, new_id(), "a", {"casing": (1, "")}, at=3)
    assert kind(told) == "no_pack"
    hide(file, room.teacher, new_id(), "a", at=4, hidden=False)
    assert [len(look(file, key).packs) for key in (room.teacher, room.ada, room.ben)] == [1, 1, 1]


def test_the_teacher_corrects_texts_and_nickname(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    correct(file, room.teacher, "c", "a", BEEF, at=2)
    assert [(p.statement, p.price, p.nickname, p.added, p.id) for p in look(file, room.ben).packs] == [
        ("Beef, salt", "", "Ada", 1, "a")
    ]
    correct(file, room.teacher, "d", "a", BEEF, at=3, nickname="")
    assert look(file, room.ben).packs[0].nickname == ""
    undo(file, room.teacher, "e", "d")
    undo(file, room.teacher, "f", "c")
    assert [(p.statement, p.price, p.nickname) for p in look(file, room.ben).packs] == [
        (PORK.statement, PORK.price, "Ada")
    ]


def test_what_is_deleted_comes_back_as_it_was(file: ShelfFile, room: School) -> None:
    for k in range(3):
        add(file, room.ada, f"a{k}", PORK, at=k)
    hide(file, room.teacher, "h", "a1", at=4)
    before = take_out(file, room.teacher).packs
    delete(file, room.teacher, "d", "a1", at=5)
    assert [p.id for p in look(file, room.teacher).packs] == ["a0", "a2"]
    with pytest.raises(ShelfError) as told:
        correct(file, room.ada, "c", "a1", BEEF, at=6)
    assert kind(told) == "no_pack"
    assert [(c.act, c.pack, c.id) for c in history(file, room.teacher)] == [("deleted", "a1", "d")]
    undo(file, room.teacher, "u", "d")
    assert take_out(file, room.teacher).packs == before
    assert [c.act for c in history(file, room.teacher)] == ["hidden"]
    with pytest.raises(ShelfError) as told:
        undo(file, room.teacher, "u2", "d")
    assert kind(told) == "no_change"


def test_undoing_never_loses_a_later_change(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    correct(file, room.teacher, "c1", "a", BEEF, at=2)
    correct(file, room.ada, "c2", "a", Texts(statement="Chicken"), at=3)
    with pytest.raises(ShelfError) as told:
        undo(file, room.teacher, "u1", "c1")
    assert kind(told) == "changed_since"
    assert [(c.id, c.writer == look(file, room.ada).writer) for c in history(file, room.ada)] == [("c2", True)]
    undo(file, room.ada, "u2", "c2")
    undo(file, room.teacher, "u1", "c1")
    assert statements(file, room.ada) == [PORK.statement]


def test_students_change_and_undo_their_own_only(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    with pytest.raises(ShelfError) as told:
        delete(file, room.ben, "d", "a", at=2)
    assert kind(told) == "not_yours"
    delete(file, room.teacher, "d", "a", at=2)
    assert history(file, room.ada) == ()
    with pytest.raises(ShelfError) as told:
        undo(file, room.ada, "u", "d")
    assert kind(told) == "no_change"
    undo(file, room.teacher, "u", "d")
    delete(file, room.ada, "d2", "a", at=3)
    undo(file, room.ada, "u2", "d2")
    assert statements(file, room.ben) == [PORK.statement]


# -- the whole shelf ----------------------------------------------------------------------------------------


def test_a_frozen_shelf_is_looked_at_only(file: ShelfFile, room: School) -> None:
    add(file, room.ada, "a", PORK, at=1)
    correct(file, room.ada, "c", "a", PORK, at=1)
    freeze(file, room.teacher, "f")
    assert look(file, room.ben).frozen
    newcomer = new_key()
    for refused in (
        lambda: add(file, room.ada, "b", PORK, at=2),
        lambda: correct(file, room.ada, "b", "a", BEEF, at=2),
        lambda: delete(file, room.ada, "b", "a", at=2),
        lambda: undo(file, room.ada, "b", "c"),
        lambda: guess(file, room.ben, "b", "a", {"casing": (1, "")}, at=2),
        lambda: join(file, newcomer, room.code, "", at=2),
    ):
        with pytest.raises(ShelfError) as told:
            refused()
        assert kind(told) == "frozen"
    add(file, room.ada, "a", PORK, at=2)  # what was kept before is confirmed still
    assert statements(file, room.ben) == [PORK.statement]
    correct(file, room.teacher, "t", "a", BEEF, at=3)
    add(file, room.teacher, "t2", PORK, at=3)
    freeze(file, room.teacher, "f2", frozen=False)
    join(file, newcomer, room.code, "", at=4)
    assert statements(file, newcomer) == ["Beef, salt", PORK.statement]


def test_a_wiped_shelf_is_empty_for_good(file: ShelfFile, room: School) -> None:
    secret = "A word that stands in one pack only"
    for k in range(30):
        add(file, room.ada, f"a{k}", Texts(statement=f"{secret} {k} " * 50), at=1)
    guess(file, room.ben, "g", "a0", {"casing": (1, secret)}, at=1)
    correct(file, room.teacher, "c", "a1", PORK, at=1, nickname=f"{secret[:20]}")
    count = counter(file, room.teacher)
    with closing(sqlite3.connect(file.path)) as other:  # another page is open, so that the file beside it stays
        other.execute("SELECT * FROM shelf").fetchall()
        assert secret.encode()[:20] in b"".join(f.read_bytes() for f in file.path.parent.iterdir())
        wipe(file, room.teacher, "w")
        for left in file.path.parent.iterdir():
            assert secret.encode()[:20] not in left.read_bytes(), left.name
            assert b"Ada" not in left.read_bytes(), left.name
    assert counter(file, room.teacher) > count, "boards have to notice"
    assert take_out(file, room.teacher) == Contents(title="7b")
    with pytest.raises(ShelfError) as told:
        look(file, room.ada)
    assert kind(told) == "no_key"
    join(file, room.ada, room.code, "Ada", at=2)
    add(file, room.ada, "a0", BEEF, at=2)  # an id of before is free again
    wipe(file, room.teacher, "w")  # repeated after a crash: what came since stays
    assert statements(file, room.ada) == ["Beef, salt"]


def test_the_counter_rises_with_every_change_and_with_nothing_else(file: ShelfFile, room: School) -> None:
    seen = [counter(file, room.ben)]
    for step in (
        lambda: add(file, room.ada, "a", PORK, at=1),
        lambda: guess(file, room.ben, "g", "a", {"casing": (1, "")}, at=1),
        lambda: correct(file, room.ada, "c", "a", BEEF, at=1),
        lambda: hide(file, room.teacher, "h", "a", at=1),
        lambda: undo(file, room.teacher, "u", "h"),
        lambda: delete(file, room.teacher, "d", "a", at=1),
        lambda: freeze(file, room.teacher, "f"),
        lambda: wipe(file, room.teacher, "w"),
    ):
        step()
        look(file, room.teacher)
        seen.append(counter(file, room.teacher))
    assert all(a < b for a, b in zip(seen, seen[1:], strict=False))
    assert look(file, room.teacher).count == seen[-1]
