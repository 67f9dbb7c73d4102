"""Facts flow one way: every module of the reader has its step on a ladder and imports nothing above it."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
# From the bottom up; a module may import only modules of its own or a lower step.
LADDER = (
    ("polytope.rows", "polytope.threads"),
    ("polytope.matrix", "polytope.engines", "polytope.convergence", "polytope.densities", "polytope.inside"),
    ("polytope.chains",),
    ("polytope.solver",),
    ("polytope.conflict", "polytope.spanning", "polytope.nearest", "polytope.sampler"),
    ("spans", "quantities", "wordforms", "pasted", "statement.tokens"),
    ("catalogue.records", "catalogue.values"),
    ("tables", "ranks"),
    ("wording", "catalogue.settings"),
    ("problems", "phrases", "allergen_words", "panel.rounding", "panel.text", "house.values"),
    ("catalogue.cell_words", "catalogue.column_names", "catalogue.trouble"),
    ("catalogue.sources",),
    ("catalogue.dialect", "catalogue.encodings", "catalogue.headings", "catalogue.kinds", "catalogue.workbook_guard"),
    ("catalogue.lines", "catalogue.workbook"),
    ("catalogue.delimited", "catalogue.json_rows", "catalogue.set_in_text"),
    ("catalogue.opening",),
    ("statement.brackets", "statement.tree", "naming.names", "panel.parts", "panel.standards"),
    (
        "statement.items",
        "naming.slips",
        "naming.whole",
        "naming.words",
        "naming.spelling",
        "panel.walk",
        "panel.values",
    ),
    ("statement.state", "naming.head", "naming.joined", "naming.known", "naming.rows", "panel.rows", "panel.numbers"),
    ("statement.set_phrases", "naming.lookup", "panel.columns", "panel.left", "panel.form", "panel.typed"),
    ("statement.grammar", "panel.reading"),
    ("ingredient_tree",),
    ("front", "law.rules", "price"),
    ("catalogue.column_content", "catalogue.entries", "catalogue.panels"),
    ("catalogue.columns",),
    ("catalogue.reading", "catalogue.doubles"),
    ("ingredients", "labels", "pastes", "repairs", "panel.checks", "paste"),
    ("facts", "makeup.values", "makeup.settings", "aspects", "house.kinds"),
    ("language", "product", "makeup.composition", "makeup.shares", "yardsticks"),
    ("law.classes",),
    ("law.setting", "law.terms", "house.told"),
    ("house.sought",),
    ("house.checked",),
    ("house.specification",),
    ("makeup.recipe", "makeup.assumptions", "makeup.by_order"),
    ("makeup.nutrients", "makeup.printed"),
    ("makeup.panel_lines", "makeup.targets"),
    ("makeup.model",),
    ("makeup.usual",),
    ("makeup.likely",),
    ("makeup.clashes",),
    ("makeup.estimate", "makeup_words"),
    ("law.values",),
    ("law.case",),
    (
        "law.claimed",
        "law.declared_meat",
        "law.front_words",
        "law.limits",
        "law.printed_panel",
        "law.stated_casing",
        "law.words",
    ),
    (
        "law.absence",
        "law.additives",
        "law.allergens",
        "law.animals_in_name",
        "law.casing",
        "law.claims",
        "law.composition",
        "law.contents",
        "law.cure",
        "law.declared",
        "law.list_form",
        "law.list_names",
        "law.meat_content",
        "law.meat_fat",
        "law.mixtures",
        "law.name_words",
        "law.numbers",
        "law.order",
        "law.panel_lines",
        "law.servings",
        "law.statements",
    ),
    ("law.findings", "findings_told"),
    ("json_form",),
    ("law.listing", "scores", "advice", "headline"),
    ("report",),
    ("house.evidence",),
    (
        "house.allergens",
        "house.casings",
        "house.findings",
        "house.listed",
        "house.panel_amounts",
        "house.prices",
        "house.shares",
    ),
    ("house.verdicts", "house.standing", "house.letters"),
    ("pipeline", "plain", "columns", "page.parts"),
    ("page.makeup", "page.panel", "page.quotes", "page.range_rows", "page.terms", "table_files"),
    ("page.figures", "page.guesses", "page.rules", "page.statement"),
    ("page.page", "page.charts", "page.guess_charts"),
    ("compare.pack", "compare.alignment", "page.sheet"),
    ("compare.measures", "compare.differences"),
    ("compare.table", "page.differences", "page.pack_figures"),
    ("compare.ranking", "page.paper", "page.pack_charts", "page.letter"),
    ("many", "page.comparison"),
    ("compare_files",),
    ("screening.values",),
    ("screening.told",),
    ("screening.screen", "screening.rows", "screening.fields", "screening.questions", "screening.sheets"),
    (
        "screening.methods",
        "screening.list_sheet",
        "screening.table",
        "screening.letters_file",
        "page.screened_products",
    ),
    ("screening.workbook", "page.screened"),
    ("screening.partition",),
    ("screening.work", "screening.journal", "screening.edition"),
    ("screening.pool", "screening.cluster"),
    ("screening.run",),
    ("command_line.lists", "command_line.progress"),
    ("command_line.screen",),
    ("__init__", "__main__"),
)
READER = ROOT / "reader"
FILES = sorted(READER.rglob("*.py"))


def name_of(file: Path) -> str:
    return ".".join(file.relative_to(READER).with_suffix("").parts)


def imports(file: Path) -> set[str]:
    """Modules of the reader that a file imports, as "panel.values"."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "reader":
            package = node.module.split(".")[1:]
            if (READER.joinpath(*package)).with_suffix(".py").is_file():
                found.add(".".join(package))
            else:
                for alias in node.names:
                    inside = [*package, alias.name]
                    is_module = READER.joinpath(*inside).with_suffix(".py").is_file()
                    found.add(".".join(inside if is_module else [*package, "__init__"]))
    return found


def test_the_ladder_holds() -> None:
    step = {name: k for k, names in enumerate(LADDER) for name in names}
    faults = []
    for file in FILES:
        name = name_of(file)
        if name.endswith(".__init__"):  # a package's front holds its docstring and nothing else
            faults += [f"{name} imports {other}" for other in imports(file)]
        elif name not in step:
            faults.append(f"{name} has no place in the ladder of tests/test_layers.py")
        else:
            faults += [f"{name} imports {o}, which stands above it" for o in imports(file) if step[o] > step[name]]
    assert not faults, "\n".join(faults)


def test_the_ladder_has_no_gaps() -> None:
    assert {n for names in LADDER for n in names} == {name_of(f) for f in FILES if not name_of(f).endswith(".__init__")}


def test_no_import_cycles() -> None:
    """Modules of one step may know each other, but not in a circle."""
    knows = {name_of(file): imports(file) for file in FILES}
    done: set[str] = set()
    while free := {n for n in knows.keys() - done if knows[n] <= done}:
        done |= free
    assert done == set(knows), f"in a circle: {sorted(set(knows) - done)}"


def test_no_judge_knows_another() -> None:
    """What several need stands below them, so that a module of judges is read with nothing beside it."""
    judges = {name_of(file): file for file in FILES if "\nJUDGES = {" in file.read_text(encoding="utf-8")}
    assert len(judges) > 20
    assert not [f"{name} imports {other}" for name, file in judges.items() for other in imports(file) & judges.keys()]


def test_only_tables_opens_the_lexicon() -> None:
    for file in FILES:
        text = file.read_text(encoding="utf-8")
        assert name_of(file) == "tables" or ".yaml" not in "".join(
            line for line in text.splitlines() if "open(" in line or "Path(" in line
        ), name_of(file)


def test_no_widget_server_or_clock_inside_the_reader() -> None:
    forbidden = {"ipywidgets", "traitlets", "IPython", "voila", "socket", "http", "time", "ui"}
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            # The command line tells how fast a run goes; nothing that is read depends on it.
            found = {n.split(".")[0] for n in names} & (
                forbidden - ({"time"} if name_of(file) == "__main__" else set())
            )
            assert not found, f"{name_of(file)} imports {', '.join(found)}"
