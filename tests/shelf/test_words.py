"""What the shelf says stands in lexicon/wording/shelf.yaml, all of it is said, and the shelf knows no widget or clock."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from ui import shelf

from reader import tables

FOLDER = Path(shelf.__file__).parent
SOURCES = {file.stem: file.read_text("utf-8") for file in FOLDER.glob("*.py")}
KEYS = {key for key in tables.load_raw()["wording/shelf"] if key != "__line__"}


def test_every_sentence_is_said_and_every_trouble_has_one() -> None:
    whole = "\n".join(SOURCES.values())
    said = {f"shelf_{kind}" for kind in re.findall(r"ShelfError\(\s*\"(\w+)\"", whole)}
    said |= set(re.findall(r"say\(\"(\w+)\"\)", whole))
    said |= {f"shelf_{kind}" for kind in re.findall(r"\"(\w+)\" if code in", SOURCES["file"])}
    assert said == KEYS


def test_no_widget_is_loaded_and_one_module_reads_the_clock() -> None:
    for name, text in SOURCES.items():
        for node in ast.walk(ast.parse(text)):
            modules = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            modules += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for module in modules:
                top = module.split(".")[0]
                assert top not in {"ipywidgets", "traitlets", "IPython", "altair"}, name
                assert top != "ui" or module.startswith("ui.shelf"), f"{name} imports {module}"
                assert top != "time" or name == "clock", name
        assert not re.search(r"\.now\(|\.today\(|utcnow", text), name
