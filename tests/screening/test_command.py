"""`python -m reader screen` and `houses`, used as a buyer uses them."""

from __future__ import annotations

import argparse
import csv
import io
import signal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from reader.__main__ import main
from reader.command_line.progress import ProgressLine
from reader.command_line.screen import INTERRUPTED, add_to, run_screen
from reader.house.specification import ready
from reader.screening import run as screening_run
from reader.screening.values import Progress
from tests.catalogue.files import HEADER, ROWS, delimited, workbook
from tests.screening.lists import write_list
from tests.test_wording import faults

HOUSE = next(iter(ready()))
LINES = 40


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    return write_list(tmp_path / "list.csv", LINES, distinct=10)


def screened(*arguments: object) -> int:
    return main(["screen", *map(str, arguments), "--depth", "order", "--workers", "0", "--quiet"])


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("ending", ["csv", "xlsx", "html"])
def test_a_list_becomes_a_shortlist(
    ending: str, listed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"short.{ending}"
    assert screened(listed, "--house", HOUSE, "-o", out, "--letters", tmp_path / "letters") == 0
    said = capsys.readouterr()
    assert f"Rows screened: {LINES}" in said.out
    assert said.err == ""
    assert all(faults(line) == [] for line in said.out.replace(str(out), "short").splitlines())
    assert list((tmp_path / "letters").glob("*.txt"))
    assert not list(tmp_path.glob("*.part*")), "the journal is taken away when all is written"
    if ending == "csv":
        assert [int(row["number"]) for row in rows_of(out)] == list(range(1, LINES + 1))
    elif ending == "xlsx":
        assert openpyxl.load_workbook(out).worksheets[0].max_row == LINES + 1
    else:
        assert out.read_text(encoding="utf-8").count("Supplier 3") > 1


def test_what_each_column_is_taken_for_is_shown_and_can_be_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source = tmp_path / "list.csv"
    source.write_text(
        delimited([["Product name", "Text A", "Text B", "Price"], ["Link", "Pork, salt", "Beef, salt", "1.20"]]),
        "utf-8",
    )
    assert screened(source, "--columns") == 0
    assert "  Product name: name  " in capsys.readouterr().out
    beef = ("--column", "statement=Text B", "--house", HOUSE, "-o", tmp_path / "b.csv")
    assert screened(source, *beef) == 0
    assert rows_of(tmp_path / "b.csv")[0]["first_ingredient"] == "beef"
    assert screened(source, "--columns", "--column", "statement=Text B", "--column", "name=") == 0
    shown = capsys.readouterr().out
    assert "  Text B: statement  " in shown
    assert "  Product name: –  " in shown


def test_sheets_can_be_chosen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "book.xlsx"
    source.write_bytes(workbook({"Old": [HEADER, *ROWS], "New": [HEADER, ROWS[0]]}))
    assert screened(source, "--sheet", "New", "--house", HOUSE, "-o", tmp_path / "o.csv") == 0
    assert [row["sheet"] for row in rows_of(tmp_path / "o.csv")] == ["New"]
    assert screened(source, "--sheet", "Newer", "--columns") == 2
    assert "The sheets are: Old, New." in capsys.readouterr().err


def test_a_file_that_is_no_table_is_told_and_the_others_are_read(
    listed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "empty.csv").write_bytes(b"")
    out = ("--house", HOUSE, "-o", tmp_path / "o.csv")
    assert screened(tmp_path / "empty.csv", listed, tmp_path / "gone.csv", *out) == 0
    said = capsys.readouterr().err
    assert "empty.csv" in said
    assert "gone.csv" in said
    assert len(rows_of(tmp_path / "o.csv")) == LINES
    assert screened(tmp_path / "empty.csv", "--house", HOUSE, "-o", tmp_path / "p.csv") == 2
    assert not (tmp_path / "p.csv").exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "Name a house specification with --house"),
        (("--house", HOUSE), "a file to write with -o"),
        (("--house", HOUSE, "-o", "{folder}/o.pdf"), "does not end as one that can be written"),
        (("--house", "nobody", "-o", "{folder}/o.csv"), f"neither a file nor one of {HOUSE}"),
        (
            ("--house", "{folder}/list.csv", "-o", "{folder}/o.csv"),
            "list.csv cannot be used, so nothing was screened. Line",
        ),
        (("--house", HOUSE, "-o", "{folder}/list.csv"), "one of the lists to be screened"),
        (("--house", HOUSE, "-o", "{folder}/there/../list.csv"), "one of the lists to be screened"),
        (("--house", HOUSE, "-o", "{folder}/nowhere/o.csv"), "cannot be used"),
        (("--column", "statement=Nothing", "--columns"), "No table has a column “Nothing”"),
        (("--sheet", "New", "--columns"), "No workbook has a sheet “New”"),
    ],
)
def test_what_cannot_be_done_is_told_in_a_sentence(
    arguments: tuple[str, ...], says: str, listed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "there").mkdir()
    before = listed.read_bytes()
    assert screened(listed, *(argument.format(folder=tmp_path) for argument in arguments)) == 2
    said = capsys.readouterr().err
    assert says in said
    assert said.startswith("reader: ")
    assert said.rstrip().endswith(".")
    assert listed.read_bytes() == before


@pytest.mark.parametrize(
    "wrong", [("--workers", "-1"), ("--workers", "two"), ("--column", "wurst=A"), ("--basis", "x")]
)
def test_a_wrong_option_is_refused(wrong: tuple[str, str], listed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["screen", str(listed), *wrong])
    assert wrong[1] in capsys.readouterr().err


def test_what_is_done_stays_when_it_cannot_be_written(
    listed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "o.csv"
    out.mkdir()
    assert screened(listed, "--house", HOUSE, "-o", out) == 2
    assert "Every row is done and kept" in capsys.readouterr().err
    out.rmdir()
    assert run(listed, out, lambda: 0.0) == 0
    assert f"{LINES} of {LINES} rows" in capsys.readouterr().err.splitlines()[0], "nothing was done again"
    assert len(rows_of(out)) == LINES


def run(listed: Path, out: Path, clock: Any) -> int:
    """The command under a clock of our own."""
    parser = argparse.ArgumentParser()
    add_to(parser.add_subparsers())
    named = ["screen", str(listed), "--house", HOUSE, "-o", str(out), "--depth", "order", "--workers", "0"]
    return run_screen(parser.parse_args(named), clock)


def test_ctrl_c_stops_and_the_same_command_goes_on(
    listed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(screening_run, "_LARGE_PARTITION", 4)
    out, whole = tmp_path / "part.csv", tmp_path / "whole.csv"
    assert run(listed, whole, lambda: 0.0) == 0
    looks = 0

    def clock() -> float:
        nonlocal looks
        looks += 1
        if looks == 6:  # after a few partitions
            signal.raise_signal(signal.SIGINT)
        return looks * 100.0

    handler = signal.getsignal(signal.SIGINT)
    assert run(listed, out, clock) == INTERRUPTED
    assert signal.getsignal(signal.SIGINT) == handler
    assert not out.exists()
    said = capsys.readouterr().err.splitlines()
    assert "The same command goes on from there" in said[-1]
    done = int(said[-1].split()[1])
    assert 0 < done < LINES
    assert run(listed, out, lambda: 0.0) == 0
    assert capsys.readouterr().err.startswith(f"{done} of {LINES} rows")
    assert out.read_bytes() == whole.read_bytes()


def test_the_ready_houses_are_printed_as_files_to_start_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["houses"]) == 0
    printed = capsys.readouterr().out
    assert all(text in printed for text in ready().values())
    own = tmp_path / "house.yaml"
    own.write_text(ready()[HOUSE], encoding="utf-8")
    listed = write_list(tmp_path / "list.csv", 3)
    assert screened(listed, "--house", own, "-o", tmp_path / "a.csv") == 0
    assert screened(listed, "--house", HOUSE, "-o", tmp_path / "b.csv") == 0
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()


# -- the line that says how far it is ------------------------------------------------------------------------


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_rate_and_time_left_are_those_of_this_run() -> None:
    """By hand: 1,000 rows were there; 200 more in 40 seconds are 5 a second; 4,800 are left, which takes 960 s, 16 min."""
    times, out = iter([0.0, 0.0, 40.0, 40.0]), Terminal()
    line = ProgressLine(lambda: next(times), out)
    line.done(Progress(1000, 6000, 0))
    line.done(Progress(1200, 6000, 0))
    shown = out.getvalue().split("\r")
    assert shown[1].strip() == "1,000 of 6,000 rows"
    assert shown[2].strip() == "1,200 of 6,000 rows, 5.0 a second, about 0:16:00 left"
    assert len(shown[1]) == len(shown[2]), "a shorter line covers a longer one"


def test_in_a_file_it_tells_seldom_and_the_end_always() -> None:
    now, out = [0.0], io.StringIO()
    line = ProgressLine(lambda: now[0], out)
    for done in range(0, 101, 2):
        now[0] = float(done)
        line.done(Progress(done, 100, 0))
    line.end()
    assert [text.split(" of")[0] for text in out.getvalue().splitlines()] == ["0", "30", "60", "90", "100"]


def test_quiet_says_nothing() -> None:
    out = Terminal()
    line = ProgressLine(lambda: 0.0, out, quiet=True)
    line.counted(1000)
    line.done(Progress(1, 1, 0))
    line.end()
    assert out.getvalue() == ""


def test_a_line_that_nobody_reads_ends_no_work() -> None:
    class Gone(Terminal):
        def write(self, _: str) -> int:
            raise BrokenPipeError

    ProgressLine(lambda: 0.0, Gone()).done(Progress(1, 1, 0))
