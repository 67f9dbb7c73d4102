"""Packs corrected, hidden, taken off and brought back on the page; the shelf as a file; wiping."""

from __future__ import annotations

import base64
import json
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from ui.changing import Changing
from ui.keyring import Keyring
from ui.shelf.classes import join, open_class, open_own
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.keeping import freeze
from ui.shelf.keys import new_id, new_key
from ui.shelf.packs import add, correct, delete, look
from ui.shelf.values import Texts
from ui.shelf_files import ShelfFiles
from ui.shelves import Opened, Shelves

FRANKS = Texts(statement="Pork, water, salt", name="Franks")
BRATS = Texts(statement="Veal, salt", name="Brats")


class Held:
    """A part of the app that shows one shelf through one key."""

    def __init__(self, file: ShelfFile, key: str) -> None:
        self.shelves, self.file, self.key = Shelves(Keyring()), file, key
        self.opened: Opened | None = None
        self.changing = Changing(self.shelves, lambda: self.opened, self.look)
        self.files = ShelfFiles(self.shelves, lambda: self.opened, self.look)
        self.look()

    def look(self) -> None:
        self.opened = Opened("class-x", self.key, look(self.file, self.key))
        self.changing.refresh()
        self.files.refresh()

    def names(self) -> list[str]:
        return [pack.name for pack in look(self.file, self.key).packs]


@pytest.fixture
def keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """A class with a pack of the student and one of the teacher."""
    monkeypatch.setenv("LABEL_SHELF", str(tmp_path / "shelf.sqlite3"))
    file = open_file()
    teacher, student = new_key(), new_key()
    code = open_class(file, teacher, "7b", 1)
    join(file, student, code, "Fern", 2)
    add(file, student, "w1", FRANKS, 3)
    add(file, teacher, "w2", BRATS, 4)
    return {"file": file, "teacher": teacher, "student": student, "code": code}


def labels(changing: Changing) -> list[str]:
    return [label for label, _ in changing.which.options][1:]


def press_undo(changing: Changing, row: int = 0) -> None:
    changing.done.children[row].children[1].click()


def test_the_teacher_corrects_and_takes_it_back(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["teacher"])
    changing = held.changing
    assert labels(changing) == ["Franks · Fern", "Brats"]
    changing.which.value = "w1"
    assert (changing.boxes.statement.value, changing.nickname.value) == (FRANKS.statement, "Fern")
    changing.save.click()
    assert "nothing was changed" in changing.notice.text
    changing.boxes.name.value, changing.nickname.value = "Frankfurters", "F."
    changing.save.click()
    assert labels(changing) == ["Frankfurters · F.", "Brats"]
    assert "saved" in changing.notice.text
    assert changing.which.value == "w1"
    press_undo(changing)
    assert labels(changing) == ["Franks · Fern", "Brats"]
    assert changing.boxes.name.value == "Franks"
    assert changing.done.children == ()


def test_hiding_and_taking_off(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["teacher"])
    changing = held.changing
    changing.which.value = "w1"
    changing.hide.click()
    assert labels(changing)[0] == "Franks · Fern (hidden from the class)"
    assert (changing.hide.layout.display, changing.show.layout.display) == ("none", "")
    changing.show.click()
    assert changing.show.layout.display == "none"
    changing.take_off.click()
    assert held.names() == ["Brats"]
    assert changing.which.value == "" and changing._form.layout.display == "none"
    press_undo(changing)
    assert held.names() == ["Franks", "Brats"]


def test_a_student_changes_only_what_is_theirs(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["student"])
    assert labels(held.changing) == ["Franks · Fern"]
    held.changing.which.value = "w1"
    assert held.changing.hide.layout.display == held.changing.nickname.layout.display == "none"
    assert held.files.view.layout.display == "none"
    freeze(keys["file"], keys["teacher"], new_id())
    held.changing.boxes.name.value = "Other"
    held.changing.save.click()
    assert "frozen" in held.changing.notice.text
    assert held.changing.boxes.name.value == "Other", "what was typed stays"


def test_what_is_typed_stays_when_others_change_the_pack(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["teacher"])
    changing = held.changing
    changing.which.value = "w1"
    changing.boxes.statement.value = "My words"
    correct(keys["file"], keys["student"], new_id(), "w1", BRATS, 9)
    held.look()
    assert "changed meanwhile" in changing.notice.text
    assert changing.boxes.statement.value == "My words"
    delete(keys["file"], keys["student"], new_id(), "w1", 10)
    held.look()
    assert "taken off" in changing.notice.text
    assert changing.boxes.statement.value == "My words"
    assert changing.which.value == "w1"
    changing.save.click()
    assert "not on the shelf any more" in changing.notice.text
    changing.which.value = "w2"
    changing.boxes.statement.value = "More of my words"
    press_undo(changing)
    assert held.names() == ["Brats", "Brats"]
    assert changing.boxes.statement.value == "More of my words"
    assert changing.which.value == "w2"


def files_of(held: Held) -> dict[str, str]:
    found = re.findall(r'download="shelf-7b\.(\w+)" href="data:[^"]*;base64,([^"]+)"', held.files.links.value)
    return {kind: base64.b64decode(data).decode("utf-8") for kind, data in found}


def upload(held: Held, raw: bytes) -> str:
    chosen = {"name": "a", "type": "", "size": len(raw), "content": memoryview(raw)}
    held.files.bring.value = ({**chosen, "last_modified": datetime(2026, 5, 3, tzinfo=UTC)},)
    return held.files.notice.text


def test_a_shelf_goes_out_is_wiped_and_comes_back(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["teacher"])
    held.files.make.click()
    files = files_of(held)
    assert [p["name"] for p in json.loads(files["json"])["packs"]] == ["Franks", "Brats"]
    assert files["csv"][0] == "\ufeff" and "Brats" in files["csv"]
    held.files.wipe.first.click()
    assert "packs (2), guesses (0), students with their nicknames (1)" in held.files.wipe.words.value
    assert held.names() == ["Franks", "Brats"], "the first press deletes nothing"
    held.files.wipe.sure.click()
    assert held.names() == []
    assert held.files.links.value == ""
    assert "no pack here" in held.changing.none.value
    assert "New on the shelf: 2." in upload(held, files["json"].encode())
    assert held.names() == ["Franks", "Brats"]
    assert "New on the shelf: 0." in upload(held, files["csv"].encode())
    assert "New on the shelf: 1." in upload(held, b"name,statement\nThird,Beef\n")
    assert held.names() == ["Franks", "Brats", "Third"]


@pytest.mark.parametrize("raw", [b"", b"\xff\xfe\x00", b"{}", b"a,b\n1,2\n", b'{"form": 99}'])
def test_a_file_that_is_none_gets_a_sentence(keys: dict[str, Any], raw: bytes) -> None:
    held = Held(keys["file"], keys["teacher"])
    assert "nothing was brought in" in upload(held, raw)
    assert held.names() == ["Franks", "Brats"]
    assert held.files.bring.value == (), "the same file can be chosen again"


def test_a_shelf_of_ones_own_says_other_things(keys: dict[str, Any]) -> None:
    own = new_key()
    open_own(keys["file"], own, 5)
    add(keys["file"], own, "w9", FRANKS, 6)
    held = Held(keys["file"], own)
    held.changing.which.value = "w9"
    assert held.changing.hide.layout.display == held.changing.nickname.layout.display == "none"
    held.files.wipe.first.click()
    assert "your shelf (1)" in held.files.wipe.words.value
    held.files.wipe.back.click()
    assert held.files.wipe.words.value == ""
    held.files.wipe.sure.click()  # a press that came late
    assert held.names() == ["Franks"]


def test_another_shelf_shows_nothing_of_the_one_before(keys: dict[str, Any]) -> None:
    held = Held(keys["file"], keys["teacher"])
    held.changing.which.value = "w1"
    held.files.make.click()
    own = new_key()
    open_own(keys["file"], own, 5)
    held.key = own
    held.look()
    assert held.changing.which.value == "" and held.changing._form.layout.display == "none"
    assert held.files.links.value == ""
