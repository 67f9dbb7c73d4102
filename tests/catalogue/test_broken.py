"""Files that are broken, or made to harm: a clear sentence within five seconds, memory bounded, other rows unharmed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.catalogue.files import broken, troubled
from tests.test_wording import faults

ROOT = Path(__file__).parent.parent.parent
SECONDS = 5.0  # of work; other programs may hold the machine up
MEGABYTES = 350  # beyond what a new interpreter with the reader takes
# What must be in the sentence, by name of the file.
SAYS = {
    "empty.csv": "is empty", "blank.csv": "is empty", "only_a_mark.csv": "is empty", "noise.csv": "holds no text",
    "noise.xlsx": "cannot be unpacked", "page.pdf": "is a PDF", "old.xls": "old kind (XLS)", "locked.xlsx": "password",
    "list.ods": "OpenDocument", "letter.docx": "text document", "list.xlsb": "XLSB", "lists.zip": "packed archive",
    "packed.csv.gz": "packed archive", "photo.csv": "is a picture", "page.xls": "web page",
    "cut_off.xlsx": "cannot be unpacked", "empty.xlsx": "no sheet with rows", "bomb.xlsx": "times its size",
    "lying_bomb.xlsx": "cannot be unpacked", "entities.xlsx": "can harm", "outside.xlsx": "can harm",
    "entities_of_two_bytes.xlsx": "is damaged", "no_xml.xlsx": "is damaged",
    "no_workbook.xlsx": "cannot be unpacked", "columns.csv": "10,000 columns", "columns.xlsx": "10,000 columns",
    "object.json": "no list of products", "numbers.json": "no list of products",
}  # fmt: skip
# Names of the entries that must come out, and what one of them must say.
COMES_OUT = {
    "large_cell.csv": (5, "Last", "longer than 4,000,000 bytes"),
    "large_cell.xlsx": (2, "Last", "50,000,000 characters"),
    "open_quote.csv": (20_004, "Row 19999", "does not close"),
    "open_quotes.csv": (5_004, '"Row 5000', "does not close"),
    "no_ends.csv": (4, None, "longer than 4,000,000 bytes"),
    "zeros.csv": (4, "Zero\x00", None),
    "damaged_below.xlsx": (3, "", "is damaged"),
    "far_row.xlsx": (1, "", "goes on below row 1,048,576"),
    "damaged.jsonl": (3, "Meadow Wiener", "cannot be read as JSON"),
    "damaged.json": (3, "", "breaks off"),
    "deep.json": (2, "", "breaks off"),
}  # fmt: skip

_PROGRAM = """
import json, resource, sys, time
from pathlib import Path
from reader.catalogue.reading import open_catalogue
open_catalogue(pasted="name,ingredients\\na,Pork\\n")  # what is loaded once is start-up
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
started = time.process_time()
catalogue = open_catalogue([Path(sys.argv[1])])
problems, count, last = set(), 0, None
for entry in catalogue.entries():
    count, last = count + 1, entry.name
    problems.update(entry.problems)
print(json.dumps({
    "seconds": time.process_time() - started,
    "megabytes": (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024,
    "refused": [r.message for r in catalogue.refused], "count": count, "last": last, "problems": sorted(problems)[:20],
}))
"""


def read_alone(path: Path) -> dict[str, Any]:
    """What becomes of a file in an interpreter of its own, with time and memory."""
    command = [sys.executable, "-c", _PROGRAM, str(path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr[-2000:]
    found: dict[str, Any] = json.loads(done.stdout)
    assert found["seconds"] < SECONDS
    assert found["megabytes"] < MEGABYTES
    return found


def test_every_file_has_its_expectation() -> None:
    assert set(broken()) == set(SAYS)
    assert set(troubled()) == set(COMES_OUT)


@pytest.mark.parametrize("name", SAYS)
def test_a_file_that_is_no_table_is_refused_in_a_sentence(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(broken()[name])
    found = read_alone(tmp_path / name)
    assert found["count"] == 0
    (message,) = found["refused"]
    assert SAYS[name] in message
    assert name in message
    assert {f for f in faults(message) if f != "a word of code"} == set(), message  # names of files hold underscores


@pytest.mark.parametrize("name", COMES_OUT)
def test_what_can_be_read_beside_the_trouble_comes_out(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(troubled()[name])
    found = read_alone(tmp_path / name)
    count, last, says = COMES_OUT[name]
    assert not found["refused"]
    assert found["count"] == count
    assert last is None or found["last"] == last
    assert says is None or any(says in problem for problem in found["problems"])
    assert [p for p in found["problems"] if set(faults(p)) - {"a word of code"}] == []  # as above


def test_a_file_that_goes_away_while_it_is_read_is_told(tmp_path: Path) -> None:
    from reader.catalogue.reading import open_catalogue

    path = tmp_path / "x.csv"
    path.write_text("name,ingredients\na,Pork\n", encoding="utf-8")
    catalogue = open_catalogue([path])
    path.unlink()
    (entry,) = catalogue.entries()
    assert "There is no file" in entry.problems[0]


def test_a_file_nobody_may_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from reader.catalogue.reading import open_catalogue

    path = tmp_path / "x.csv"
    path.write_text("name,ingredients\na,Pork\n", encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)  # the tests may run as somebody who may read everything
    (refused,) = open_catalogue([path]).refused
    assert "cannot be opened (Permission denied)" in refused.message
