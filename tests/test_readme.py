"""The README is run: its Python, its commands, and that CI runs the same test command."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from ui.inputs import examples

from reader import read_label
from reader.plain import as_text

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(language: str, text: str = README) -> list[str]:
    found = re.findall(rf"^```{language}\n(.*?)^```", text, re.S | re.M)
    assert found, f"no {language} block"
    return found


def run(command: str, folder: Path = ROOT) -> str:
    here = command.replace(".venv/bin/python", shlex.quote(sys.executable))
    done = subprocess.run(["bash", "-c", here], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_python_blocks_run_and_print_what_they_say(capsys: pytest.CaptureFixture[str]) -> None:
    for block in blocks("python"):
        exec(compile(block, "README.md", "exec"), {})
        printed = capsys.readouterr().out.splitlines()
        for promised in re.findall(r"print\(.*\)  # (.*)", block):
            assert promised in printed


def test_the_worked_label_prints_what_the_readme_shows() -> None:
    command = next(b for b in blocks("bash") if "reader read" in b)
    assert run(command).startswith(blocks("text")[0])


def test_the_table_command_runs(tmp_path: Path) -> None:
    (tmp_path / "labels.csv").write_text('id,statement\n1,"Pork, water, salt"\n2,\n', encoding="utf-8")
    command = next(b for b in blocks("bash") if "reader table" in b)
    done = subprocess.run(
        ["bash", "-c", command.replace(".venv/bin/python", sys.executable)],
        cwd=tmp_path, env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "read.csv").read_text(encoding="utf-8").count("\n") == 3


def test_the_compare_command_runs(tmp_path: Path) -> None:
    rows = 'name,statement,price\nOne,"Pork, water, salt",$4.99 / 12 oz\nTwo,"Beef, water, salt",\n'
    (tmp_path / "labels.csv").write_text(rows, encoding="utf-8")
    command = next(b for b in blocks("bash") if "reader compare" in b)
    done = subprocess.run(
        ["bash", "-c", command.replace(".venv/bin/python", sys.executable)],
        cwd=tmp_path, env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "One" in (tmp_path / "packs.html").read_text(encoding="utf-8")


def test_ci_runs_the_same_test_command() -> None:
    command = next(b.strip() for b in blocks("bash") if "pytest" in b)
    assert command in (ROOT / ".ci/run").read_text(encoding="utf-8")


def test_the_picture_and_the_links_exist() -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).is_file(), target


def test_columns_of_the_readme_are_those_of_the_table() -> None:
    from reader.columns import READINGS

    told = set(re.findall(r"`([a-z_]+)`", README.split("## What the columns mean")[1].split("###")[0]))
    told |= {"sodium_mg_per_100g"}
    assert set(READINGS) <= told


def test_keys_of_the_readme_are_those_of_the_json_form() -> None:
    from reader import read_label

    section = README.split("## The JSON form")[1].split("## What each")[0]
    told = set(
        re.findall(
            r"`([a-z_]+)`", "".join(line.split("|")[1] for line in section.splitlines() if line.startswith("| `"))
        )
    )
    assert told == set(read_label("Pork, salt").to_dict())


def test_modules_of_the_code_map_exist() -> None:
    for path in re.findall(r"`(reader/[a-z_/]+(?:\.py)?|notebooks/ui/)`", DEVELOPERS):
        assert (ROOT / path).exists(), path


def test_the_make_up_told_is_that_of_the_first_example() -> None:
    pack = examples()[0]
    told = as_text(read_label(pack["statement"], pack["panel"], name=pack["name"], market=pack["market"]))
    block = next(b for b in blocks("text") if "Animal tissue" in b)
    assert all(line in told for line in block.splitlines())
