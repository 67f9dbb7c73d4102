"""The notebooks run from top to bottom (nbval), as Voila runs them; the lesson shows at each stage what it says."""

from __future__ import annotations

import html
import os
import re
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

from reader import tables

NOTEBOOKS = Path(__file__).parent.parent / "notebooks"
EVERY = sorted(path.name for path in NOTEBOOKS.glob("*.ipynb"))
LONGEST_S = 20.0
STAGES = (
    "boxes", "clean", "tokens", "tree", "naming", "facts", "panel", "law", "makeup", "findings", "aspects", "page",
)  # fmt: skip


def test_notebooks_run() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--nbval-lax", "-q", "-p", "no:cacheprovider", "-c", "/dev/null", *EVERY],
        cwd=NOTEBOOKS, env={**os.environ, "PYTHONPATH": str(NOTEBOOKS.parent)}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
    cells = [c for name in EVERY for c in nbformat.read(NOTEBOOKS / name, as_version=4).cells if c.cell_type == "code"]
    assert f"{len(cells)} passed" in done.stdout


@pytest.mark.parametrize("name", EVERY)
def test_notebooks_are_kept_without_outputs(name: str) -> None:
    cells = nbformat.read(NOTEBOOKS / name, as_version=4).cells
    assert not [c.id for c in cells if c.cell_type == "code" and (c.outputs or c.execution_count)]


# -- the lesson ---------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def lesson() -> Any:
    """The lesson after a run, and the seconds it took."""
    notebook = nbformat.read(NOTEBOOKS / "how_it_reads.ipynb", as_version=4)
    started = time.monotonic()
    NotebookClient(notebook, timeout=60, resources={"metadata": {"path": str(NOTEBOOKS)}}).execute()
    notebook.metadata["seconds"] = time.monotonic() - started
    return notebook


def shown(lesson: Any, cell: str) -> str:
    """What a cell shows, as HTML."""
    found = next(c for c in lesson.cells if c.id == cell)
    return "".join(output.data.get("text/html", "") for output in found.outputs)


def table(lesson: Any, cell: str) -> list[list[str]]:
    """The rows of the table a cell shows."""
    rows = re.findall(r"<tr>(.*?)</tr>", shown(lesson, cell), re.S)
    return [[html.unescape(c) for c in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row, re.S)] for row in rows][1:]


def test_the_lesson_is_quick(lesson: Any) -> None:
    assert lesson.metadata["seconds"] < LONGEST_S


@pytest.mark.parametrize("stage", STAGES)
def test_each_stage_shows_its_data(lesson: Any, stage: str) -> None:
    if stage == "page":
        assert 'class="headline"' in shown(lesson, stage)
        assert 'class="statement"' in shown(lesson, stage)
        return
    rows = table(lesson, stage)
    assert len(rows) > 1
    assert all(any(cell.strip() for cell in row) for row in rows)


def test_each_cell_shows_something(lesson: Any) -> None:
    silent = [c.id for c in lesson.cells if c.cell_type == "code" and not c.outputs]
    assert not silent
    noisy = [c.id for c in lesson.cells for o in c.get("outputs", ()) if o.output_type in ("stream", "error")]
    assert not noisy


def test_the_stages_show_what_the_text_says_of_them(lesson: Any) -> None:
    assert any(r"-\n" in row[1] for row in table(lesson, "clean"))  # the word broken at the end of a line
    before, after = re.search(r"(\d+) signs before, (\d+) after", shown(lesson, "clean")).groups()  # type: ignore[union-attr]
    assert before == after
    assert {"number", "percent", "word"} <= {row[1] for row in table(lesson, "tokens")}
    tree = {row[0]: row for row in table(lesson, "tree")}
    assert tree["SALT"][2] == "2 %" and not tree["PORK"][2] and "– PAPRIKA" in tree
    named = {row[0]: row for row in table(lesson, "naming")}
    assert named["SODIUM ERYTHROBATE"][1] == "sodium erythorbate" and named["SODIUM ERYTHROBATE"][3].startswith("near")
    assert named["VEMMORAL"][1] == "" and named["VEMMORAL"][3] == "not understood"
    assert dict(table(lesson, "facts"))["unknown terms"] == "VEMMORAL"
    # 9 CFR 317.309(c)(4): sodium above 140 mg is rounded to the nearest 10
    assert next(row for row in table(lesson, "panel") if row[0] == "Sodium")[1:3] == ["480 mg", "475–485"]
    assert dict(table(lesson, "law"))["also"] == "cured"
    assert all(row[1] and row[2] and "Not above" in row[3] for row in table(lesson, "makeup"))
    assert {row[2] for row in table(lesson, "findings")} <= {"breaks", "cannot tell"}
    assert sum(bool(row[0]) for row in table(lesson, "aspects")) == 4
    assert "VEMMORAL" in shown(lesson, "page") and "SODIUM ERYTHROBATE" in shown(lesson, "page")


def test_stage_by_stage_comes_to_what_one_call_does(lesson: Any) -> None:
    assert {row[1] for row in table(lesson, "same")} == {"yes"}


def test_the_lesson_gives_the_cautions_of_the_app(lesson: Any) -> None:
    told = html.unescape(shown(lesson, "cautions")).replace("\u00a0", " ")
    cautions = {c["id"]: c["says"] for c in tables.load_raw()["advice"]["cautions"]}
    for caution in ("allergens", "reheat", "choking", "nitrite"):
        assert cautions[caution] in told


def test_every_section_of_the_law_the_lesson_names_is_among_its_sources(lesson: Any) -> None:
    prose = "\n".join(c.source for c in lesson.cells if c.cell_type == "markdown")
    named = set(re.findall(r"\b9 CFR \d+\.\d+", prose))
    assert len(named) > 8
    assert not {name for name in named if f"{name} " not in shown(lesson, "sources")}
    for title in ("Regulation (EU) 2023/2108", "1129/2011", "Hot Dogs and Food Safety"):
        assert title in prose and title in shown(lesson, "sources")
