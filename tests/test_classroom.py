"""The part "A class" without a browser: teacher and students, each with a page of their own, one file of shelves."""

from __future__ import annotations

import json
import re
import time
from html import unescape
from pathlib import Path

import pytest
from ui.classroom import spread
from ui.classroom.board import ADDRESS, Board
from ui.classroom.classroom import Classroom
from ui.classroom.seat import Seat
from ui.desk import Desk
from ui.shelf import limits
from ui.shelf.classes import open_own
from ui.shelf.file import open_file
from ui.shelf.keys import new_key
from ui.shelf.packs import look
from ui.shelf.trouble import ShelfError
from ui.watch import Watch

FRANKS = {"statement": "Mechanically separated chicken, water, modified food starch, salt", "name": "Franks"}
BRATS = {"statement": "Veal, pork, salt, spices", "name": "Brats", "panel": "Per 100 g: Sodium 700 mg"}


@pytest.fixture(autouse=True)
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("LABEL_SHELF", str(tmp_path / "shelf.sqlite3"))
    return tmp_path / "shelf.sqlite3"


def visitor(keys: dict[str, str] | None = None) -> Classroom:
    """The part of a new page, in a browser that holds these keys."""
    desk = Desk()
    desk.view()
    desk.keyring._given.value = json.dumps({"lasting": True, **(keys or {})})
    place = desk.places.go("class")
    assert isinstance(place, Classroom)
    return place


def teacher(title: str = "7b") -> tuple[Classroom, Board, str]:
    place = visitor()
    place.door.title.value = title
    place.door.open.click()
    room = place.rooms[place.here]
    assert isinstance(room, Board)
    code = re.search(r'class="code">([^<]+)<', room.join.value)
    assert code
    return place, room, code[1]


def student(code: str, nickname: str = "") -> tuple[Classroom, Seat]:
    place = visitor()
    place.door.joining.code.value, place.door.joining.nickname.value = code, nickname
    place.door.joining.go.click()
    room = place.rooms[place.here]
    assert isinstance(room, Seat)
    return place, room


def add(seat: Seat, pack: dict[str, str]) -> None:
    if seat.adding.form.layout.display == "none":
        seat.adding.begin.click()
    for field, text in pack.items():
        getattr(seat.adding.boxes, field).value = text
    seat.adding.add.click()


def listed(seat: Seat) -> list[str]:
    return [label for label, _ in seat.list.options]


def seen(widget: object) -> bool:
    return bool(widget.layout.display != "none")  # type: ignore[attr-defined]


def test_a_lesson() -> None:
    at_board, board, code = teacher()
    _, fern = student(code.lower().replace("-", " "), "Fern")
    _, moss = student(code, "Moss")
    assert not seen(fern.list)
    add(fern, FRANKS)
    at_board.look()
    assert "Students: 2. Packs: 1." in board.counts.value
    assert "Franks · Fern" in board.list.value
    assert seen(fern.pack.guessing.view) and not seen(fern.adding.form)
    assert fern.adding.boxes.statement.value == "", "ready for the next pack"
    assert fern.pack.state.report is None, "nothing is read before the guess"

    guessing = fern.pack.guessing
    guessing.scales["meat_source"].place.value = 8.0
    guessing.scales["meat_source"].words.value = "chicken"
    guessing.done.click()
    assert "You guessed 8." in fern.pack.against.view.value
    assert "above all that is possible" in fern.pack.against.view.value
    assert "headline" in fern.pack.reading.results.headline.value

    at_board.look()
    moss._look()
    assert listed(moss) == ["Franks · Fern"]
    moss.open.click()
    assert "Choose a pack" in moss.notice.text
    moss.list.value = moss.list.options[0][1]
    moss.open.click()
    assert FRANKS["statement"] in moss.pack.words.value
    moss.pack.guessing.scales["meat_source"].place.value = 2.0
    moss.pack.guessing.done.click()
    at_board.look()
    shown = board.spreads.slots["pack"]
    assert "2 guesses, median 5" in str(shown.chart.outputs)
    assert "Students who guessed" in board.list.value and ">2<" in board.list.value
    assert "Possible" not in shown.note.value, "the reading is kept back"
    board.spreads.show_reading.value = True
    wait(lambda: "Possible" in shown.note.value and not board.spreads.progress.value)
    assert "Possible" in board.spreads.slots["aspect"].note.value


def test_of_many_packs_the_last_are_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """With hundreds of packs the chart took over a second to draw, each time somebody wrote."""
    monkeypatch.setattr(spread, "MOST", 2)
    _, board, code = teacher()
    _, fern = student(code)
    for name in ("First", "Second", "Third"):
        add(fern, {**FRANKS, "name": name})
    board._look()
    drawn = str(board.spreads.slots["aspect"].chart.outputs)
    assert "Second" in drawn and "Third" in drawn and "First" not in drawn
    assert "Of 3 packs the 2" in board.spreads.last.value
    assert [title.split(" ")[0] for title, _ in board.spreads.pack.options] == ["First", "Second", "Third"]


def wait(there: object) -> None:
    deadline = time.monotonic() + 30
    while not there():  # type: ignore[operator]
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_no_guess_is_taken_after_the_reading_and_reload_keeps_the_seat() -> None:
    _, _, code = teacher()
    place, fern = student(code, "Fern")
    add(fern, FRANKS)
    fern.pack.guessing.scales["casing"].place.value = 3.0
    fern.pack.guessing.done.click()

    again = visitor(place._shelves.keyring.keys)
    assert [b.description for b in again.door.mine.children] == ["7b"]
    again.door.mine.children[0].click()
    seat = again.rooms[again.here]
    assert isinstance(seat, Seat)
    assert "“Fern”" in again.state.value
    assert not seen(seat.adding.form), "who has added a pack is not asked for one"
    seat.list.value = seat.list.options[0][1]
    seat.open.click()
    assert seat.pack.guessing.closed
    assert "You guessed 3." in seat.pack.against.view.value


def test_a_guess_from_a_second_page_comes_too_late() -> None:
    _, _, code = teacher()
    place, fern = student(code)
    second = visitor(place._shelves.keyring.keys)
    second.door.mine.children[0].click()
    other = second.rooms[second.here]
    assert isinstance(other, Seat)
    add(fern, FRANKS)
    other._look()
    other.list.value = other.list.options[0][1]
    other.open.click()
    fern.pack.guessing.done.click()  # no guess: only the reading
    other.pack.guessing.scales["casing"].place.value = 3.0
    other.pack.guessing.done.click()
    assert "would be none" in other.pack.notice.text
    assert other.pack.against.view.value == ""
    assert "headline" in other.pack.reading.results.headline.value


def test_classes_see_nothing_of_each_other() -> None:
    one, one_board, one_code = teacher("7b")
    two, two_board, two_code = teacher("8a")
    _, fern = student(one_code, "Fern")
    _, moss = student(two_code, "Moss")
    add(fern, FRANKS)
    add(moss, BRATS)
    for place in (one, two):
        place.look()
    assert "Franks" in one_board.list.value and "Brats" not in one_board.list.value
    assert "Brats" in two_board.list.value and "Franks" not in two_board.list.value
    both = visitor({**one._shelves.keyring.keys, **two._shelves.keyring.keys})
    names = [b.description for b in both.door.mine.children]
    assert sorted(names) == ["7b: you are the teacher", "8a: you are the teacher"]


def test_freezing_keeps_what_is_typed() -> None:
    place, board, code = teacher()
    at_seat, fern = student(code)
    add(fern, FRANKS)
    fern.pack.guessing.scales["casing"].place.value = 3.0
    fern.adding.begin.click()
    for field, text in BRATS.items():
        getattr(fern.adding.boxes, field).value = text
    board.frozen.value = True
    at_seat.look()
    assert "frozen" in at_seat.state.value
    fern.adding.add.click()
    assert "frozen" in fern.adding.notice.text
    assert fern.adding.boxes.statement.value == BRATS["statement"]
    fern.pack.guessing.done.click()
    assert "frozen" in fern.pack.notice.text and fern.pack.guessing.guesses()
    late = visitor()
    late.door.joining.code.value = code
    late.door.joining.go.click()
    assert "frozen" in late.door.joining.notice.text and late.door.joining.code.value == code
    board.frozen.value = False
    fern.adding.add.click()
    place.look()
    assert "Brats" in board.list.value


def test_a_wipe_leaves_the_seat_with_what_is_typed_and_a_way_back() -> None:
    _, board, code = teacher()
    at_seat, fern = student(code, "Fern")
    add(fern, FRANKS)
    fern.adding.begin.click()
    fern.adding.boxes.statement.value = BRATS["statement"]
    board.files.wipe.first.click()
    board.files.wipe.sure.click()
    at_seat.look()
    assert "Join the class again" in at_seat.notice.text
    fern.adding.add.click()
    assert "Join the class again" in fern.adding.notice.text
    assert fern.adding.boxes.statement.value == BRATS["statement"]
    at_seat.again.code.value = code
    at_seat.again.go.click()
    assert at_seat._again.children == () and at_seat.notice.text == ""
    fern.adding.add.click()
    assert listed(fern) == ["Pack 1"]


def test_a_pack_hidden_while_it_is_open_says_so_and_keeps_the_guess() -> None:
    _, board, code = teacher()
    _, fern = student(code)
    at_moss, moss = student(code)
    add(fern, FRANKS)
    moss._look()
    moss.list.value = moss.list.options[0][1]
    moss.open.click()
    moss.pack.guessing.scales["casing"].place.value = 3.0
    board._look()
    assert len(board.spreads.pack.options) == 1
    board.changing.which.value = board.changing.which.options[1][1]
    board.changing.hide.click()
    assert "hidden" in board.changing.notice.text
    assert board.spreads.pack.options == ()
    at_moss.look()
    assert listed(moss) == []
    assert "taken off the shelf or hidden" in moss.pack.notice.text
    moss.pack.guessing.done.click()
    assert "not on the shelf any more" in moss.pack.notice.text
    assert moss.pack.guessing.guesses()["casing"].place == 3.0


def test_the_board_takes_back_what_a_student_did() -> None:
    place, board, code = teacher()
    _, fern = student(code, "Fern")
    add(fern, FRANKS)
    fern.changing.which.value = fern.changing.which.options[1][1]
    fern.changing.take_off.click()
    place.look()
    assert "No pack" in board.list.value
    board.changing.done.children[0].children[1].click()
    assert "Franks · Fern" in board.list.value


def test_wrong_codes_and_keys_get_a_sentence_and_stay_in_their_boxes(shelf: Path) -> None:
    place = visitor()
    joining = place.door.joining
    joining.code.value = "CFHJ-KMPR"
    joining.go.click()
    assert "No class has this code" in joining.notice.text and joining.code.value == "CFHJ-KMPR"
    own = new_key()
    open_own(open_file(shelf), own, 1)
    for key in ("", "short", new_key(), own):
        place.door.key.value = key
        place.door.use_key.click()
        assert "opens no class" in place.door.key_notice.text
        assert place.door.key.value == key
    assert place.here == ""


def test_the_teacher_opens_the_class_on_another_computer() -> None:
    _, board, _ = teacher()
    assert board.key.value == ""
    board.show_key.click()
    key = unescape(re.search(r"<code>(.+)</code>", board.key.value)[1])  # type: ignore[index]
    other = visitor()
    other.door.key.value = f" {key} "
    other.door.use_key.click()
    assert isinstance(other.rooms[other.here], Board)


def test_going_to_the_door_takes_the_key_off_the_projector() -> None:
    place, board, _ = teacher()
    board.show_key.click()
    place.back.click()
    assert board.key.value == "" and place.here == ""


def test_leaving_asks_first_and_then_forgets() -> None:
    place, _, _ = teacher()
    place.leaving.first.click()
    assert "Keep the key first" in place.leaving.words.value
    assert place._shelves.keyring.keys
    place.leaving.sure.click()
    assert place._shelves.keyring.keys == {}
    assert place.here == "" and place.door.mine.children == ()


def test_a_full_shelf_and_a_spoiled_one_keep_what_is_typed(monkeypatch: pytest.MonkeyPatch, shelf: Path) -> None:
    _, _, code = teacher()
    place, fern = student(code)
    monkeypatch.setattr(limits, "MOST_PACKS", 1)
    add(fern, FRANKS)
    add(fern, BRATS)
    assert "no room for more" in fern.adding.notice.text
    assert fern.adding.boxes.statement.value == BRATS["statement"]
    shelf.write_bytes(b"x" * 5000)
    for beside in shelf.parent.glob(f"{shelf.name}-*"):
        beside.unlink()
    fern.adding.add.click()
    assert "damaged" in fern.adding.notice.text
    assert fern.adding.boxes.statement.value == BRATS["statement"]
    place.look()
    assert "damaged" in place.notice.text
    assert "damaged" in visitor(place._shelves.keyring.keys).notice.text


def test_pressing_twice_adds_once(monkeypatch: pytest.MonkeyPatch) -> None:
    _, _, code = teacher()
    _, fern = student(code)
    add(fern, FRANKS)
    fern.adding.add.click()  # the second press of a hurry
    assert listed(fern) == ["Franks"]


def test_an_add_that_may_have_gone_through_is_not_doubled(monkeypatch: pytest.MonkeyPatch) -> None:
    from ui.classroom import adding

    _, _, code = teacher()
    _, fern = student(code)
    honest = adding.add

    def lost(*given: object) -> None:
        honest(*given)  # type: ignore[arg-type]
        raise ShelfError("busy")

    monkeypatch.setattr(adding, "add", lost)
    add(fern, FRANKS)
    assert "Try again" in fern.adding.notice.text
    monkeypatch.setattr(adding, "add", honest)
    fern.adding.add.click()
    assert listed(fern) == ["Franks"]


def test_words_of_students_stay_words() -> None:
    place, board, code = teacher("<script>x</script>")
    _, fern = student(code, "<b>F</b>")
    add(fern, {"statement": "Pork <img src=x>, salt", "name": "<i>Franks</i>"})
    place.look()
    html = [board.list.value, place.title.value, fern.pack.words.value]
    assert not re.search(r"<(script|b|i|img)\b", "".join(html))


def test_the_board_says_where_phones_find_the_page(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ADDRESS, "http://10.1.2.3:8866/")
    _, board, _ = teacher()
    assert "http://10.1.2.3:8866/" in board.join.value


def test_the_file_holds_nothing_of_a_student_but_the_nickname(shelf: Path) -> None:
    _, _, code = teacher()
    place, fern = student(code, "Fern")
    add(fern, FRANKS)
    (key,) = place._shelves.keyring.keys.values()
    raw = b"".join(file.read_bytes() for file in shelf.parent.iterdir())
    assert key.encode() not in raw
    assert look(open_file(shelf), key).nickname == "Fern"


# -- watching -----------------------------------------------------------------------------------------------


def test_the_watch_tells_each_change_and_trouble_once_and_never_raises() -> None:
    answers: list[object] = [1, 1, 2, ShelfError("busy"), ShelfError("busy"), RuntimeError("x"), 2]
    asked: list[object] = []
    told: list[int] = []

    def count() -> int:
        found = answers[min(len(asked), len(answers) - 1)]
        asked.append(found)
        if isinstance(found, Exception):
            raise found
        assert isinstance(found, int)
        return found

    def tell() -> None:
        told.append(len(asked))
        raise RuntimeError("a fault while showing")

    watch = Watch(count, tell, 0.01)
    watch.start()
    watch.start()
    wait(lambda: len(asked) >= 10)
    watch.stop()
    assert told == [1, 3, 4, 6, 7]
    before = len(asked)
    time.sleep(0.1)
    assert len(asked) <= before + 1, "it looks no more"


def test_a_class_is_watched_only_while_it_is_seen() -> None:
    place, _, _ = teacher()
    watch = place._watches[place.here]
    assert watch.running
    place.leave()
    assert not watch.running
    place.enter()
    assert watch.running
    place.back.click()
    assert not watch.running


def test_the_board_follows_the_class_by_itself() -> None:
    _, board, code = teacher()
    _, fern = student(code, "Fern")
    begun = time.monotonic()
    add(fern, FRANKS)
    wait(lambda: "Franks · Fern" in board.list.value)
    assert time.monotonic() - begun < 3
