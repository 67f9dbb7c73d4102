"""Everything of a shelf as one JSON file or one table: out and in again nothing is lost, added or run."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ui.shelf import limits
from ui.shelf.classes import join, open_class, open_own
from ui.shelf.csv_form import as_csv, from_csv
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.guesses import guess, own_guesses, reading_shown, spread
from ui.shelf.json_form import as_json, from_json
from ui.shelf.keeping import freeze
from ui.shelf.keys import new_key
from ui.shelf.packs import add, correct, counter, delete, hide, history, look, undo
from ui.shelf.transfer import bring_in, take_out
from ui.shelf.trouble import ShelfError
from ui.shelf.values import ACTS, Change, Contents, Guess, Pack, Seen, Texts, Writer

from reader.aspects import ASPECTS
from reader.pipeline import MARKETS
from tests.shelf.conftest import School

# -- any shelf that can be ----------------------------------------------------------------------------------

TEXT = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
    st.sampled_from(("=1+1", "'=1", "''", "'", "+a", "-", "@x", "\tx", "\rx", "\r\n", '"', ",", ";", "\ufeff", "\x00", "true")),
)  # fmt: skip
LINE = TEXT.map(lambda text: limits.line("nickname", text[:24]))
ID = st.from_regex(r"[A-Za-z0-9_-]{1,12}", fullmatch=True)
TIME = st.integers(0, 4_000_000_000)
PACKS = st.builds(
    Pack, id=ID, writer=st.just(""), added=TIME, statement=TEXT.map(lambda t: f"x{t}"), panel=TEXT, market=st.sampled_from(MARKETS),
    name=TEXT, price=TEXT, nickname=LINE, hidden=st.booleans(), deleted=st.booleans(),
)  # fmt: skip


@st.composite
def shelves(draw: st.DrawFn) -> Contents:
    writers = draw(st.lists(st.builds(Writer, id=ID, nickname=LINE, joined=TIME), unique_by=lambda w: w.id, max_size=3))
    who = st.sampled_from(["", *(w.id for w in writers)])
    packs = draw(st.lists(PACKS, unique_by=lambda p: p.id, max_size=4))
    packs = [replace(p, writer=draw(who)) for p in packs]
    if not packs:
        return Contents(title=draw(LINE), frozen=draw(st.booleans()), writers=by_key(writers))
    which = st.sampled_from([p.id for p in packs])
    guesses = st.builds(
        Guess, pack=which, writer=who, aspect=st.sampled_from(ASPECTS), place=st.floats(0, 10).map(lambda x: x + 0.0), words=TEXT, added=TIME
    )  # fmt: skip
    changes = st.builds(
        Change, id=ID, pack=which, writer=who, act=st.sampled_from(ACTS), added=TIME, statement=TEXT.map(lambda t: f"y{t}"), panel=TEXT,
        market=st.sampled_from(MARKETS), name=TEXT, price=TEXT, nickname=LINE, hidden=st.booleans(), deleted=st.booleans(),
    )  # fmt: skip
    seen = st.builds(Seen, pack=which, writer=who, added=TIME)
    return Contents(
        title=draw(LINE),
        frozen=draw(st.booleans()),
        writers=by_key(writers),
        packs=tuple(packs),
        guesses=by_key(draw(st.lists(guesses, unique_by=lambda g: (g.pack, g.writer, g.aspect), max_size=5))),
        seen=by_key(draw(st.lists(seen, unique_by=lambda s: (s.pack, s.writer), max_size=3))),
        changes=tuple(draw(st.lists(changes, unique_by=lambda c: c.id, max_size=3))),
    )


def by_key(values: list[Any]) -> tuple[Any, ...]:
    """In the order in which sets come out of the file."""

    def key(value: Any) -> tuple[str, ...]:
        return (value.id,) if isinstance(value, Writer) else (value.pack, value.writer, getattr(value, "aspect", ""))

    return tuple(sorted(values, key=lambda v: [part.encode() for part in key(v)]))


FORMS: dict[str, tuple[Callable[[Contents], str], Callable[[str], Contents]]] = {
    "json": (as_json, from_json),
    "csv": (as_csv, lambda text: from_csv(text, "row", 0)),
}


@pytest.mark.parametrize("form", FORMS)
@given(shelves())
@settings(max_examples=100)
def test_what_is_written_is_read_again(form: str, contents: Contents) -> None:
    write, read = FORMS[form]
    assert read(write(contents)) == contents
    assert read("\ufeff" + write(contents).encode("utf-8").decode("utf-8")) == contents


@given(shelves(), st.sampled_from(sorted(FORMS)))
@settings(max_examples=40)
def test_out_and_in_again_is_the_same_shelf(
    tmp_path_factory: pytest.TempPathFactory, contents: Contents, form: str
) -> None:
    """From a file into another one, through either form, once and twice."""
    write, read = FORMS[form]
    file = open_file(tmp_path_factory.mktemp("transfer") / "shelf.db")
    first, second = new_key(), new_key()
    open_own(file, first, at=1)
    open_class(file, second, "before", at=1)
    bring_in(file, first, "w", contents)
    assert take_out(file, first) == contents
    brought = read(write(take_out(file, first)))
    bring_in(file, second, "w", brought)
    for again in ("w", "w2"):
        bring_in(file, second, again, brought)
    found = take_out(file, second)
    if not (contents.packs or contents.writers):  # nothing came, so it is empty still
        found = replace(found, title=contents.title)
    assert found == contents


# -- a lesson -----------------------------------------------------------------------------------------------


@pytest.fixture
def lesson(file: ShelfFile, room: School) -> School:
    add(
        file,
        room.ada,
        "a",
        Texts(statement="Pork, water", panel="Sodium 480 mg", price="$4.99 / 12 oz"),
        at=1_700_000_000,
    )
    add(file, room.ben, "b", Texts(statement="Beef", market="UK", name="=cmd"), at=1_700_000_001)
    add(file, room.teacher, "c", Texts(statement="Chicken"), at=1_700_000_002)
    guess(file, room.ben, "g", "a", {"casing": (2.5, "silent"), "sodium": (9, "")}, at=1_700_000_003)
    reading_shown(file, room.ben, "s", "a", at=1_700_000_004)
    correct(file, room.teacher, "k", "b", Texts(statement="Beef, salt"), at=1_700_000_005)
    hide(file, room.teacher, "h", "c", at=1_700_000_006)
    delete(file, room.ada, "d", "a", at=1_700_000_007)
    return room


def test_a_shelf_goes_on_where_it_was(file: ShelfFile, lesson: School) -> None:
    """Undo, late guesses, and the marks of students who join again."""
    key = new_key()
    code = open_class(file, key, "copy", at=2)
    bring_in(file, key, "w", from_json(as_json(take_out(file, lesson.teacher))))
    assert take_out(file, key) == take_out(file, lesson.teacher)
    assert [c.id for c in history(file, key)] == ["d", "h", "k"]
    undo(file, key, "u", "d")
    assert spread(file, key)[0].places == (2.5,)
    assert code != look(file, lesson.teacher).code
    with pytest.raises(ShelfError):
        look(file, new_key())
    assert len(look(file, lesson.ada).packs) == 1, "a student's key opens the shelf it opened before, not the copy"


def test_a_student_who_joins_the_copy_in_another_file_is_who_they_were(
    file: ShelfFile, lesson: School, tmp_path_factory: pytest.TempPathFactory
) -> None:
    other = open_file(tmp_path_factory.mktemp("other") / "shelf.db")
    key = new_key()
    code = open_class(other, key, "", at=1)
    bring_in(other, key, "w", take_out(file, lesson.teacher))
    join(other, lesson.ben, code, "Ben", at=2)
    assert [g.place for g in own_guesses(other, lesson.ben)] == [2.5, 9.0]
    assert look(other, lesson.ben).nickname == ""
    count = counter(other, key)
    add(other, lesson.ben, "b", Texts(statement="Beef", market="UK", name="=cmd"), at=9)
    assert len(take_out(other, key).packs) == 3, "a write that came with the import is not done twice"
    assert counter(other, key) == count


def test_no_key_and_no_code_stands_in_an_export(file: ShelfFile, lesson: School) -> None:
    for write, _ in FORMS.values():
        text = write(take_out(file, lesson.teacher))
        for secret in (lesson.teacher, lesson.ada, lesson.ben, lesson.code):
            assert secret not in text
        assert "Ada" in text and "silent" in text


def test_the_files_are_what_their_standards_say(file: ShelfFile, lesson: School) -> None:
    """JSON read by any parser; the table after RFC 4180 (CRLF, one length of rows); times after RFC 3339 in UTC."""
    contents = take_out(file, lesson.teacher)
    whole = json.loads(as_json(contents))
    assert whole["packs"][0]["added"] == "2023-11-14T22:13:20Z"  # 1,700,000,000 seconds, by GNU date
    assert [p["hidden"] for p in whole["packs"]] == [False, False, True]
    table = as_csv(contents)
    rows = list(csv.reader(io.StringIO(table, newline=""), strict=True))
    assert table.endswith("\r\n") and len({len(row) for row in rows}) == 1
    assert [row[0] for row in rows[1:5]] == ["pack", "pack", "pack", "writer"]


@given(shelves())
@settings(max_examples=60)
def test_no_cell_is_run_by_a_spreadsheet(contents: Contents) -> None:
    """The signs with which such a cell begins: OWASP, "CSV Injection" (from memory, not verified)."""
    for row in csv.reader(io.StringIO(as_csv(contents), newline="")):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)


def test_what_is_there_already_stays_as_it_is(file: ShelfFile, lesson: School) -> None:
    before = take_out(file, lesson.teacher)
    changed = tuple(replace(p, statement="Other") for p in before.packs)
    new = replace(before.packs[0], id="new")
    more = Guess(pack="c", writer="", aspect="casing", place=1, words="", added=1)
    bring_in(file, lesson.teacher, "w", replace(before, title="x", frozen=True, packs=(*changed, new), guesses=(more,)))
    assert take_out(file, lesson.teacher) == replace(before, packs=(*before.packs, new))


def test_no_room_for_all_is_room_for_none(file: ShelfFile, lesson: School, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "MOST_PACKS", 4)
    before = take_out(file, lesson.teacher)
    packs = tuple(replace(before.packs[0], id=f"n{k}") for k in range(2))
    with pytest.raises(ShelfError) as told:
        bring_in(file, lesson.teacher, "w", Contents(packs=packs))
    assert told.value.kind == "full"
    assert take_out(file, lesson.teacher) == before
    freeze(file, lesson.teacher, "f")
    bring_in(file, lesson.teacher, "w", Contents(packs=packs[:1]))
    assert look(file, lesson.teacher).frozen, "a shelf that is not empty keeps its own state"


# -- lists by hand ------------------------------------------------------------------------------------------


def test_a_list_by_hand_needs_a_statement_only() -> None:
    contents = from_csv('Name,statement\r\nLinks,"Pork, salt"\r\nFranks,Beef\r\n', "row", 1_700_000_000)
    assert [(p.id, p.statement, p.market, p.added) for p in contents.packs] == [
        ("row-2", "Pork, salt", "US", 1_700_000_000),
        ("row-3", "Beef", "US", 1_700_000_000),
    ]
    apostrophe = from_csv("statement,name\n'Pork,'Tis\n", "row", 0).packs[0]
    assert (apostrophe.statement, apostrophe.name) == ("'Pork", "'Tis")


@pytest.mark.parametrize(
    "text",
    ["", "name,market\nLinks,US\n", "statement\n", 'statement\n"open', 'statement\n"a"b\n', "what,statement\nsomething,Pork\n", "\x00"],
)  # fmt: skip
def test_a_table_of_something_else_is_refused(text: str) -> None:
    with pytest.raises(ShelfError) as told:
        from_csv(text, "row", 0)
    assert told.value.kind == "import_unreadable"


@pytest.mark.parametrize(
    ("row", "number"),
    [
        ("Pork,US\n,UK", 3),
        ("Pork,XX", 2),
        (f"Pork,US\n{'x' * 20_001},US", 3),
    ],
)
def test_a_row_that_cannot_be_kept_is_named(row: str, number: int) -> None:
    with pytest.raises(ShelfError) as told:
        from_csv(f"statement,market\n{row}\n", "row", 0)
    assert told.value.kind == "import_entry"
    assert f"Entry {number} under “packs”" in str(told.value)


# -- files that make no sense -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("", "import_unreadable"),
        ("Pork, water", "import_unreadable"),
        ("[]", "import_unreadable"),
        ("{}", "import_unreadable"),
        ('{"form": true}', "import_unreadable"),
        ('{"form": 1, "packs": {}}', "import_unreadable"),
        ('{"form": 1, "packs": [1]}', "import_unreadable"),
        ('{"form": 1, "title": 7}', "import_unreadable"),
        ('{"form": 1, "frozen": 1}', "import_unreadable"),
        ('{"form": 2}', "import_newer"),
        ("[" * 100_000, "import_unreadable"),
    ],
)
def test_a_file_of_something_else_is_refused(text: str, kind: str) -> None:
    with pytest.raises(ShelfError) as told:
        from_json(text)
    assert told.value.kind == kind


GOOD: dict[str, list[dict[str, Any]]] = {
    "writers": [{"id": "s1", "nickname": "Ada", "joined": "2026-05-03T09:30:00Z"}],
    "packs": [{"id": "p1", "writer": "s1", "added": "2026-05-03T09:30:00Z", "statement": "Pork"}],
    "guesses": [{"pack": "p1", "writer": "s1", "aspect": "casing", "place": 3, "words": "", "added": "2026-05-03T09:30:00Z"}],
    "seen": [{"pack": "p1", "writer": "s1", "added": "2026-05-03T09:30:00Z"}],
    "changes": [{"id": "c1", "pack": "p1", "writer": "s1", "act": "hidden", "added": "2026-05-03T09:30:00Z", "statement": "Pork"}],
}  # fmt: skip
FORM, TWICE, UNKNOWN = "not written as this program", "stands there twice", "does not hold"


def test_the_good_file_is_good() -> None:
    contents = from_json(json.dumps({"form": 1, **GOOD}))
    assert [len(getattr(contents, part)) for part in GOOD] == [1] * 5


@pytest.mark.parametrize(
    ("part", "change", "why"),
    [
        ("packs", {"statement": " "}, "nothing to keep"),
        ("packs", {"statement": "x" * 20_001}, "at most 20,000"),
        ("packs", {"statement": None}, FORM),
        ("packs", {"market": "XX"}, FORM),
        ("packs", {"id": "a b"}, FORM),
        ("packs", {"id": 7}, FORM),
        ("packs", {"writer": "s2"}, UNKNOWN),
        ("packs", {"added": "yesterday"}, FORM),
        ("packs", {"added": 7}, FORM),
        ("packs", {"hidden": 1}, FORM),
        ("writers", {"nickname": "x" * 25}, "at most 24"),
        ("writers", {"id": ""}, FORM),
        ("guesses", {"pack": "p2"}, UNKNOWN),
        ("guesses", {"writer": "s2"}, UNKNOWN),
        ("guesses", {"place": 11}, FORM),
        ("guesses", {"place": float("nan")}, FORM),
        ("guesses", {"place": "3"}, FORM),
        ("guesses", {"place": True}, FORM),
        ("guesses", {"aspect": "smell"}, FORM),
        ("guesses", {"words": "x" * 501}, "at most 500"),
        ("seen", {"pack": "p2"}, UNKNOWN),
        ("changes", {"act": "eaten"}, FORM),
        ("changes", {"pack": "p2"}, UNKNOWN),
    ],
)
def test_an_entry_that_cannot_be_kept_is_named(part: str, change: dict[str, Any], why: str) -> None:
    entries = {**GOOD, part: [{**GOOD[part][0], **change}]}
    with pytest.raises(ShelfError) as told:
        from_json(json.dumps({"form": 1, **entries}))
    assert told.value.kind == "import_entry"
    assert f"Entry 1 under “{part}”" in str(told.value) and why in str(told.value)


@pytest.mark.parametrize("part", GOOD)
def test_nothing_stands_twice_and_nothing_is_missing(part: str) -> None:
    with pytest.raises(ShelfError, match=f"Entry 2 under “{part}”.*{TWICE}"):
        from_json(json.dumps({"form": 1, **GOOD, part: GOOD[part] * 2}))
    for name in GOOD[part][0].keys() - {"statement"}:
        entry = {k: v for k, v in GOOD[part][0].items() if k != name}
        with pytest.raises(ShelfError, match=f"Entry 1 under “{part}”.*{FORM}"):
            from_json(json.dumps({"form": 1, **GOOD, part: [entry]}))
