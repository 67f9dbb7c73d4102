"""Letters as files: one for each supplier who is asked something, under names no file system stumbles over."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reader.house.letters import as_text
from reader.page.letter import letter_page
from reader.screening import letters_file
from reader.screening.letters_file import FileNames, letters_of, write_archive, write_folder
from reader.screening.questions import is_asked
from reader.screening.values import Screening
from reader.wording import say
from tests.screening.made import HOUSE, ROWS, dozen, many, read, screening
from tests.screening.test_workbook import evil


@pytest.fixture(scope="module")
def found() -> Screening:
    return dozen()


def test_a_folder_holds_a_text_and_a_page_for_each_supplier_asked(found: Screening, tmp_path: Path) -> None:
    names = write_folder(found, tmp_path / "letters")
    assert sorted(path.name for path in (tmp_path / "letters").iterdir()) == sorted(names)
    stems = [name.removesuffix(".txt") for name in names if name.endswith(".txt")]
    assert stems == ["questions", "questions-south-yard", "questions-west-barn"]
    assert set(names) == {stem + ending for stem in stems for ending in (".txt", ".html")}
    for letter, stem in zip(letters_of(found), stems, strict=True):
        assert (tmp_path / "letters" / f"{stem}.txt").read_text("utf-8") == as_text(letter)
        assert (tmp_path / "letters" / f"{stem}.html").read_text("utf-8") == letter_page(letter)


def test_a_supplier_whose_label_is_missing_is_asked_for_it(found: Screening) -> None:
    letter = next(letter for letter in letters_of(found) if letter.supplier == "West Barn")
    assert [q.text for _, questions in letter.single for q in questions] == [say("house_list_unread_question")]
    assert letter.labels == (("Empty Link (9)", ""),)


def test_who_sells_only_what_is_out_gets_no_letter() -> None:
    row = read(ROWS[3], 4, HOUSE)
    assert list(letters_of(screening([row]))) == []


def test_an_archive_holds_the_same_and_the_same_bytes_each_time(found: Screening, tmp_path: Path) -> None:
    names = write_folder(found, tmp_path)
    first, second = io.BytesIO(), io.BytesIO()
    assert write_archive(found, first) == write_archive(found, second) == names
    assert first.getvalue() == second.getvalue()
    with zipfile.ZipFile(first) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == {
            name: (tmp_path / name).read_bytes() for name in names
        }


def test_a_long_list_makes_several_letters_and_no_product_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each product that is asked about stands in one letter, whatever is held in memory at a time."""
    found = many(60)
    due = sorted((" ".join(row.supplier.split()), row.number) for _, row in found.in_order() if is_asked(row))
    whole = list(letters_of(found))
    assert len(whole) == 3

    def products(written: list[letters_file.Letter]) -> list[tuple[str, str]]:
        return sorted((letter.supplier, name) for letter in written for name, _ in letter.labels)

    assert len(products(whole)) == len(due)
    monkeypatch.setattr(letters_file, "_HELD", 9)
    parts = list(letters_of(found, most=4))
    assert products(parts) == products(whole)
    assert all(len(letter.labels) <= 4 for letter in parts)
    names = FileNames()
    assert len({names.stem(letter.supplier) for letter in parts}) == len(parts)


@pytest.mark.parametrize(
    ("supplier", "stem"),
    [
        ("North Hall", "questions-north-hall"),
        ("  Müller & Ömer, GmbH ", "questions-muller-omer-gmbh"),
        ("../../etc/passwd", "questions-etc-passwd"),
        ("CON", "questions-con"),
        ("C:\\temp\\x.exe", "questions-c-temp-x-exe"),
        ("北海", "questions"),
        ("", "questions"),
    ],
)
def test_names_say_who_it_is_for(supplier: str, stem: str) -> None:
    assert FileNames().stem(supplier) == stem


@given(st.lists(st.text(max_size=80), max_size=20))
def test_names_are_given_once_and_are_names_everywhere(suppliers: list[str]) -> None:
    """On Windows too, whose reserved names and rules PureWindowsPath knows."""
    names = FileNames()
    stems = [names.stem(supplier) for supplier in suppliers]
    assert len({stem.casefold() for stem in stems}) == len(stems)
    for stem in stems:
        assert re.fullmatch(r"questions(-[a-z0-9]+)*", stem)
        assert len(stem) <= 60
        path = PureWindowsPath(f"{stem}.html")
        assert path.parts == (f"{stem}.html",)
        assert not path.is_reserved()


def test_nothing_of_a_list_is_run_in_a_letter() -> None:
    found = evil("<script>alert(1)</script>")
    row = replace(
        next(row for _, row in found.in_order()), tally=replace(read(ROWS[2], 1, HOUSE).tally, musts_failed=0)
    )
    asked = replace(row, verdicts=tuple(replace(v, verdict="ask", question="<img src=x>?") for v in row.verdicts))
    pages = [letter_page(letter) for letter in letters_of(screening([asked]))]
    assert pages
    assert all("<script" not in page and "<img" not in page for page in pages)
