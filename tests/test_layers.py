"""Facts flow one way: every module of the reader has its step on a ladder and imports nothing above it."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
# From the bottom up; a module may import only modules of its own or a lower step.
LADDER = (
    ("spans", "quantities", "wordforms", "pasted", "tokens"),
    ("tables",),
    ("wording",),
    ("problems", "phrases", "allergen_words", "rounding", "panel_text"),
    ("brackets", "statement_tree", "names", "panel_parts", "panel_standards"),
    ("statement_items", "name_words", "spelling", "panel_walk", "panel_values"),
    ("statement_state", "naming_known", "panel_rows", "panel_numbers"),
    ("statement_phrases", "naming", "panel_columns", "panel_form", "panel_typed"),
    ("statement", "panel"),
    ("ingredients", "panel_checks", "paste"),
    ("facts", "makeup", "aspects"),
    ("language", "product", "shares", "yardsticks"),
    ("estimate",),
    ("scores", "advice", "headline"),
    ("report",),
    ("pipeline", "plain", "columns", "figures", "page", "charts"),
    ("many",),
    ("__init__", "__main__"),
)


def imports(file: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "reader":
            parts = node.module.split(".")
            found |= {parts[1]} if len(parts) > 1 else {a.name for a in node.names}
    return found


def test_the_ladder_holds() -> None:
    step = {name: k for k, names in enumerate(LADDER) for name in names}
    faults = []
    for file in sorted((ROOT / "reader").glob("*.py")):
        name = "page" if file.stem.startswith("page") else file.stem
        if name not in step:
            faults.append(f"reader/{file.name} has no place in the ladder of tests/test_layers.py")
            continue
        for other in imports(file):
            target = "page" if other.startswith("page") else other
            if target not in step and target in ("read_label", "Report"):
                target = "__init__"
            if step.get(target, -1) > step[name]:
                faults.append(f"reader/{file.name} imports {other}, which stands above it")
    assert not faults, "\n".join(faults)


def test_only_tables_opens_the_lexicon() -> None:
    for file in (ROOT / "reader").glob("*.py"):
        text = file.read_text(encoding="utf-8")
        assert file.stem == "tables" or ".yaml" not in "".join(
            line for line in text.splitlines() if "open(" in line or "Path(" in line
        ), file.name


def test_no_widget_server_or_clock_inside_the_reader() -> None:
    forbidden = {"ipywidgets", "traitlets", "IPython", "voila", "socket", "http", "time", "ui"}
    for file in (ROOT / "reader").glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            found = {n.split(".")[0] for n in names} & forbidden
            assert not found, f"reader/{file.name} imports {', '.join(found)}"
