"""The file: made, migrated, refused. What is refused stays as it is."""

from __future__ import annotations

import random
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from multiprocessing import get_context
from pathlib import Path

import pytest
from ui.shelf import schema
from ui.shelf.classes import join, open_class, open_own
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.guesses import own_guesses, reading_shown
from ui.shelf.keys import digest_of, new_id, new_key
from ui.shelf.packs import add, counter, look
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Texts

KEY = new_key()
PAGE = 4096  # bytes; SQLite's default


def filled(path: Path, packs: int = 20) -> ShelfFile:
    file = open_file(path)
    open_own(file, KEY, at=1)
    for k in range(packs):
        add(file, KEY, f"pack-{k}", Texts(statement=f"Pork, water, salt {k}. " * 100), at=k)
    return file


def all_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {f.name: (f.read_bytes(), f.stat().st_mtime_ns) for f in folder.iterdir()}


def test_a_new_file_is_private_and_in_write_ahead_mode(tmp_path: Path) -> None:
    path = tmp_path / "new" / "odd name?#%.db"
    filled(path, 1)
    assert [f.name for f in path.parent.iterdir()] == [path.name], "nothing is left beside it"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    # https://www.sqlite.org/fileformat2.html, section 1.3: the words at 0; 2 at 18 and 19 for write-ahead; the number
    # of the application at 68.
    head = path.read_bytes()[:100]
    assert head[:16] == b"SQLite format 3\0" and head[18:20] == b"\2\2" and head[68:72] == b"LBSH"


def test_what_was_kept_is_there_after_opening_again(tmp_path: Path) -> None:
    filled(tmp_path / "a.db")
    assert len(look(open_file(tmp_path / "a.db"), KEY).packs) == 20


def _open_and_add(path: Path, number: int) -> None:
    file = open_file(path)
    open_own(file, f"{number} {KEY}", at=1)
    add(file, f"{number} {KEY}", "one", Texts(statement="Pork"), at=1)


def test_many_may_make_the_file_at_once(tmp_path: Path) -> None:
    path = tmp_path / "a.db"
    processes = [get_context("fork").Process(target=_open_and_add, args=(path, n)) for n in range(8)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
    assert [process.exitcode for process in processes] == [0] * 8
    file = open_file(path)
    assert [len(look(file, f"{n} {KEY}").packs) for n in range(8)] == [1] * 8


# -- migration ----------------------------------------------------------------------------------------------


def first_version(path: Path) -> None:
    """A class of version 1 with a student, a pack and a guess."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        schema.bring_up(db, to=1)
        db.execute("INSERT INTO shelf VALUES (1, '7b', 'CFH3-KM7P', 0, 3, 5)")
        db.execute("INSERT INTO key VALUES (?, 1, '')", (digest_of(KEY),))
        db.execute("INSERT INTO writer VALUES (1, 's1', 'Ada', 6)")
        db.execute("INSERT INTO pack VALUES (1, 1, 'p1', '', 7, 'Pork, salt', '', 'UK', 'Links', '', 0, 0)")
        db.execute("INSERT INTO guess VALUES (1, 'p1', '', 'casing', 4.5, 'links', 8)")


def test_a_file_of_the_first_version_becomes_one_of_today(tmp_path: Path) -> None:
    path = tmp_path / "old.db"
    first_version(path)
    file = open_file(path)
    with file.reading() as db:
        assert schema.version_of(db) == schema.VERSION == 3
    shelf = look(file, KEY)
    assert (shelf.title, shelf.code, shelf.count) == ("7b", "CFH3-KM7P", 3)
    assert [(p.statement, p.market, p.name, p.price, p.added) for p in shelf.packs] == [
        ("Pork, salt", "UK", "Links", "", 7)
    ]
    assert [(g.place, g.words) for g in own_guesses(file, KEY)] == [(4.5, "links")]
    add(file, KEY, new_id(), Texts(statement="Beef", price="£2.75 for 454g"), at=9)
    reading_shown(file, KEY, new_id(), "p1", at=9)
    student = new_key()
    join(file, student, "cfh3 km7p", "Ben", at=9)
    assert [p.price for p in look(open_file(path), student).packs] == ["", "£2.75 for 454g"]


def test_every_older_version_gets_the_tables_of_a_new_file(tmp_path: Path) -> None:
    def tables(path: Path) -> list[tuple[object, ...]]:
        with closing(sqlite3.connect(path)) as db:
            names = [row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
            return [(name, *row[1:4]) for name in names for row in db.execute(f"PRAGMA table_info({name})")]

    open_file(tmp_path / "new.db")
    for version in range(1, schema.VERSION):
        path = tmp_path / f"{version}.db"
        with closing(sqlite3.connect(path, isolation_level=None)) as db:
            schema.bring_up(db, to=version)
            assert schema.version_of(db) == version
        open_file(path)
        assert tables(path) == tables(tmp_path / "new.db")


def test_a_migration_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "old.db"
    first_version(path)
    before = path.read_bytes()
    broken = (schema.STEPS[0], (*schema.STEPS[1], "INSERT INTO nowhere VALUES (1)"))
    monkeypatch.setattr(schema, "STEPS", broken)
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        open_file(path)
    assert path.read_bytes() == before
    monkeypatch.undo()
    assert len(look(open_file(path), KEY).packs) == 1


# -- refused ------------------------------------------------------------------------------------------------


def cut(length: Callable[[int], int]) -> Callable[[Path], None]:
    def damage(path: Path) -> None:
        filled(path)
        whole = path.read_bytes()
        path.write_bytes(whole[: length(len(whole))])

    return damage


def noise(path: Path) -> None:
    path.write_bytes(random.Random(1).randbytes(50_000))


def noise_behind_a_good_head(path: Path) -> None:
    filled(path)
    path.write_bytes(path.read_bytes()[:100] + random.Random(2).randbytes(50_000))


def a_page_overwritten(path: Path) -> None:
    filled(path)
    whole = bytearray(path.read_bytes())
    with closing(sqlite3.connect(path)) as db:
        root = db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'pack'").fetchone()[0]
    whole[(root - 1) * PAGE : root * PAGE] = random.Random(3).randbytes(PAGE)
    path.write_bytes(whole)


def another_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE pack (id TEXT)")
        db.commit()


def another_application(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA application_id = 1196444487")
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("CREATE TABLE pack (id TEXT)")
        db.commit()


def newer(path: Path) -> None:
    filled(path)
    with closing(sqlite3.connect(path)) as db:
        db.execute(f"PRAGMA user_version = {schema.VERSION + 1}")


@pytest.mark.parametrize(
    ("damage", "kind"),
    [
        (cut(lambda _: 0), "damaged"),
        (cut(lambda _: 50), "damaged"),
        (cut(lambda _: 100), "damaged"),
        (cut(lambda _: PAGE), "damaged"),
        (cut(lambda n: n // 2), "damaged"),
        (cut(lambda n: n - PAGE), "damaged"),
        (cut(lambda n: n - 1), "damaged"),
        (noise, "damaged"),
        (noise_behind_a_good_head, "damaged"),
        (a_page_overwritten, "damaged"),
        (lambda path: path.write_text("Pork, water, salt. " * 100), "damaged"),
        (another_database, "foreign"),
        (another_application, "foreign"),
        (newer, "newer"),
        (lambda path: path.mkdir(), "cannot_write"),
    ],
    ids=[
        "empty", "50 bytes", "head only", "first page only", "half", "last page lost", "last byte lost", "noise",
        "noise behind the head", "a page overwritten", "a text", "another database", "another application", "newer",
        "a folder",
    ],
)  # fmt: skip
def test_what_is_no_shelf_of_ours_is_refused_and_stays(
    tmp_path: Path, damage: Callable[[Path], None], kind: str
) -> None:
    path = tmp_path / "shelf.db"
    damage(path)
    before = None if path.is_dir() else (path.read_bytes(), path.stat().st_mtime_ns)
    for _ in range(2):
        with pytest.raises(ShelfError) as told:
            open_file(path)
        assert told.value.kind == kind
        assert str(path) in str(told.value)
    assert (None if path.is_dir() else (path.read_bytes(), path.stat().st_mtime_ns)) == before
    others = {f.name: f.stat().st_size for f in tmp_path.iterdir() if f != path}
    assert not any(size for name, size in others.items() if not name.endswith("-shm")), "nothing is written beside it"


def test_a_file_damaged_while_it_is_open_is_told_in_words(tmp_path: Path) -> None:
    path = tmp_path / "shelf.db"
    file = filled(path)
    a_whole = path.read_bytes()
    path.write_bytes(a_whole[:PAGE] + random.Random(4).randbytes(len(a_whole) - PAGE))
    damaged = path.read_bytes()
    for asked in (
        lambda: look(file, KEY),
        lambda: counter(file, KEY),
        lambda: add(file, KEY, "x", Texts(statement="Pork"), 1),
    ):
        with pytest.raises(ShelfError) as told:
            asked()
        assert told.value.kind == "damaged"
    assert path.read_bytes() == damaged
    path.unlink()
    with pytest.raises(ShelfError) as told:
        look(file, KEY)
    assert told.value.kind == "cannot_write"
    assert not path.exists(), "a file that went away is not made anew behind everybody's back"


def test_a_newer_program_may_come_while_this_one_runs(tmp_path: Path) -> None:
    path = tmp_path / "shelf.db"
    file = filled(path, 1)
    with closing(sqlite3.connect(path)) as db:
        db.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    with pytest.raises(ShelfError) as told:
        add(file, KEY, "x", Texts(statement="Pork"), 1)
    assert told.value.kind == "newer"


def test_who_waits_too_long_is_told_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ui.shelf.file._WAIT_S", 0.05)
    file = filled(tmp_path / "shelf.db", 1)
    with file.writing():
        with pytest.raises(ShelfError) as told:
            add(file, KEY, "x", Texts(statement="Pork"), 1)
        assert told.value.kind == "busy"
        assert len(look(file, KEY).packs) == 1, "looking never waits"
    add(file, KEY, "x", Texts(statement="Pork"), 1)
    assert len(look(file, KEY).packs) == 2


def test_a_write_that_fails_midway_leaves_nothing(tmp_path: Path) -> None:
    file = filled(tmp_path / "shelf.db", 1)
    before = counter(file, KEY)

    def half() -> None:
        with file.writing() as db:
            db.execute("UPDATE shelf SET count = 99, title = 'half'")
            raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError):
        half()
    assert (counter(file, KEY), look(file, KEY).title) == (before, "")


def test_a_folder_that_cannot_be_written_to_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "no folder").write_text("")
    with pytest.raises(ShelfError) as told:
        open_file(tmp_path / "no folder" / "shelf.db")
    assert told.value.kind == "cannot_write"


def test_two_files_know_nothing_of_each_other(tmp_path: Path) -> None:
    filled(tmp_path / "a.db")
    other = open_file(tmp_path / "b.db")
    with pytest.raises(ShelfError) as told:
        look(other, KEY)
    assert told.value.kind == "no_key"
    assert open_class(other, KEY, "", at=1)
