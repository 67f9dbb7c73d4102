"""A shelf file of its own for each test, and a class on it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from ui.shelf.classes import join, open_class
from ui.shelf.file import ShelfFile, open_file
from ui.shelf.keys import new_key


@dataclass(frozen=True)
class School:
    """A class with its teacher and two students."""

    teacher: str
    code: str
    ada: str
    ben: str


def school(file: ShelfFile, title: str = "7b") -> School:
    teacher, ada, ben = new_key(), new_key(), new_key()
    code = open_class(file, teacher, title, at=100)
    join(file, ada, code, "Ada", at=101)
    join(file, ben, code, "", at=102)
    return School(teacher, code, ada, ben)


@pytest.fixture
def file(tmp_path: Path) -> ShelfFile:
    return open_file(tmp_path / "shelf.db")


@pytest.fixture
def room(file: ShelfFile) -> School:
    return school(file)
