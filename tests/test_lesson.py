"""The exercises of the lesson: right, wrong, empty and odd answers; what is right comes from the reader."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest
from ui.lesson import clause, pack, shown
from ui.lesson.exercises import NOT_ANSWERED, NOT_UNDERSTOOD, NOT_YET, RIGHT, Exercise, overall
from ui.lesson.form import Form

NOTEBOOK = nbformat.read(Path(__file__).parent.parent / "notebooks/how_it_reads.ipynb", as_version=4)
LIST = "Ingredients: Chicken, Water, Salt, Contains 1.5% or less of: Sugar, Corn Starch, Sodium Nitrite."
PANEL = "Serving size 1 link (50g) Calories 140 Total Fat 11g Sodium 500mg Total Carbohydrate 2g Protein 7g"


def written(name: str) -> str:
    """A text as it is assigned in a cell of the notebook."""
    for cell in NOTEBOOK.cells:
        for node in ast.walk(ast.parse(cell.source)) if cell.cell_type == "code" else ():
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name) and node.targets[0].id == name:
                return str(ast.literal_eval(node.value))
    raise AssertionError(f"no cell assigns {name}")


@pytest.fixture(scope="module")
def first() -> Exercise:
    return clause.exercise(written("statement"), about="modified food starch", beside="salt")


@pytest.fixture(scope="module")
def second() -> Exercise:
    return pack.exercise(written("second_statement"), written("second_panel"), name=written("second_name"))


def verdicts(exercise: Exercise, **answers: object) -> dict[str, str]:
    return {name: remark.verdict for name, remark in exercise.check(answers).items() if name in answers or not answers}


def says(exercise: Exercise, **answer: object) -> str:
    (name,) = answer
    return exercise.check(answer)[name].says


# -- the clause ---------------------------------------------------------------------------------------------


def test_right_answers_on_the_clause(first: Exercise) -> None:
    """2 % is printed. 9 CFR 317.2(f)(1): order of weight, so the item at place 6 is at most a sixth (arithmetic).
    9 CFR 317.2(f)(1)(vi): behind such a phrase the order is free.
    """
    remarks = first.check({"most": "2 %", "without": "rises", "order": "no"})
    assert [r.verdict for r in remarks.values()] == [RIGHT] * 3
    assert "at most 2 %" in remarks["most"].says
    assert "16.7 %" in remarks["without"].says
    assert overall(remarks) == "3 of 3 right."


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ({"most": "12"}, "12 % is more than the clause"),
        ({"most": "0.5"}, "more than 0.5 % is possible"),
        ({"without": "falls"}, "all of the 5 items before it"),
        ({"without": "stays"}, "Not yet"),
        ({"order": "yes"}, "nothing printed rules out more modified food starch than salt"),
    ],
)
def test_wrong_answers_on_the_clause_are_told_why(first: Exercise, answer: dict[str, str], told: str) -> None:
    assert verdicts(first, **answer) == dict.fromkeys(answer, NOT_YET)
    assert told in says(first, **answer)


@pytest.mark.parametrize("answer", ["2", 2, 2.0, " 2 % ", "2,0"])
def test_a_number_may_be_written_in_several_ways(first: Exercise, answer: object) -> None:
    assert verdicts(first, most=answer) == {"most": RIGHT}


def test_the_answers_are_those_of_the_label_at_hand() -> None:
    """Another list: a clause of 1.5 %, the starch at place 5, so at most a fifth without it."""
    other = clause.exercise(LIST, about="corn starch", beside="sugar")
    assert verdicts(other, most="2", without="rises", order="no") == {"most": NOT_YET, "without": RIGHT, "order": RIGHT}
    assert verdicts(other, most="1.5") == {"most": RIGHT}
    assert "20 %" in says(other, without="rises")


def test_where_the_list_does_tell_the_check_says_so() -> None:
    """Chicken stands first of six, of which three are at most 1.5 %: it is more than the starch whatever the rest."""
    other = clause.exercise(LIST, about="corn starch", beside="chicken")
    assert verdicts(other, order="yes") == {"order": RIGHT}
    assert verdicts(other, order="no") == {"order": NOT_YET}
    assert "no room for more corn starch than chicken" in says(other, order="no")


def test_a_list_without_a_clause_makes_no_exercise() -> None:
    with pytest.raises(ValueError, match="behind a clause"):
        clause.exercise("Pork, Water, Starch, Salt", about="starch", beside="water")
    with pytest.raises(ValueError, match="does not stand on this list"):
        clause.exercise(LIST, about="rusk", beside="water")


# -- another pack -------------------------------------------------------------------------------------------


def test_right_answers_on_the_pack(second: Exercise) -> None:
    """430 mg in 45 g are 956 mg in 100 g (arithmetic)."""
    answers = {"first": "Beef", "fillers": "nonfat dry milk, potato starch", "cure": "yes", "casing": "not stated"}
    remarks = second.check({**answers, "sodium": "956"})
    assert {name: r.verdict for name, r in remarks.items()} == dict.fromkeys(remarks, RIGHT), remarks
    assert "Cultured Celery Powder" in remarks["cure"].says


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ({"first": "pork"}, "pork is not what this list says"),
        ({"first": "water"}, "no animal tissue in “water”"),
        ({"first": "beef, pork"}, "those are several"),
        ({"fillers": "potato starch"}, "there is one more to find"),
        ({"fillers": "none"}, "there are 2 more to find"),
        (
            {"fillers": "potato starch, nonfat dry milk, sugar"},
            "sugar is on the list, but the reader counts it as sweetener",
        ),
        ({"fillers": "rusk"}, "rusk is not what this list says"),
        ({"cure": "no"}, "look at “Cultured Celery Powder”"),
        ({"casing": "natural"}, "point to the word on the label"),
        ({"sodium": "430"}, "what the panel prints for a serving of 45 g"),
        ({"sodium": "300"}, "lies outside"),
    ],
)
def test_wrong_answers_on_the_pack_are_told_why(second: Exercise, answer: dict[str, str], told: str) -> None:
    assert verdicts(second, **answer) == dict.fromkeys(answer, NOT_YET)
    assert told in says(second, **answer)


def test_what_is_right_changes_with_the_pack() -> None:
    other = pack.exercise("Pork, Chicken, Water, Salt. In a natural sheep casing.", PANEL)
    right = {"first": "pork", "fillers": "none", "cure": "no", "casing": "natural", "sodium": "1000"}
    assert verdicts(other, **right) == dict.fromkeys(right, RIGHT)
    wrong = {"first": "chicken", "fillers": "salt", "cure": "yes", "casing": "not stated", "sodium": "500"}
    assert verdicts(other, **wrong) == dict.fromkeys(wrong, NOT_YET)
    assert "another animal tissue stands before it" in says(other, first="chicken")
    assert "natural sheep casing" in says(other, casing="collagen")


def test_a_pack_without_sodium_makes_no_exercise() -> None:
    with pytest.raises(ValueError, match="sodium"):
        pack.exercise(LIST, "")


# -- empty and odd answers, and the boxes -------------------------------------------------------------------


@pytest.mark.parametrize("nothing", ["", "  ", None])
def test_what_is_empty_is_not_answered_yet(first: Exercise, second: Exercise, nothing: object) -> None:
    for exercise in (first, second):
        remarks = exercise.check({q.id: nothing for q in exercise.questions})
        assert {r.verdict for r in remarks.values()} == {NOT_ANSWERED}
        assert {r.says for r in remarks.values()} == {"Not answered yet."}
        assert overall(remarks) == f"0 of {len(remarks)} right. Not answered yet: {len(remarks)}."


@pytest.mark.parametrize(
    ("question", "answer"), [("most", "two"), ("most", "2 mg"), ("most", "2 3"), ("order", "perhaps")]
)
def test_an_odd_answer_is_quoted_and_told_how_to_write_it(first: Exercise, question: str, answer: str) -> None:
    remark = first.check({question: answer})[question]
    assert remark.verdict == NOT_UNDERSTOOD
    assert f"“{answer}”" in remark.says


@pytest.mark.parametrize("answer", ["<script>", "((((", "§%&" * 900, "1" * 400, "\0"])
def test_no_answer_breaks_a_check(first: Exercise, second: Exercise, answer: str) -> None:
    for exercise in (first, second):
        for question in exercise.questions:
            assert exercise.check({question.id: answer})[question.id].verdict in (NOT_YET, NOT_UNDERSTOOD, NOT_ANSWERED)


def test_an_answer_to_no_question_is_a_wrong_call(first: Exercise) -> None:
    with pytest.raises(ValueError, match="no question mots"):
        first.check({"mots": "2"})


def test_the_boxes_call_the_same_checks(first: Exercise) -> None:
    form = Form(first, {"most": "12", "without": "Rises", "order": ""})
    assert form.boxes["without"].value == "rises"
    assert "12 % is more" in form.remarks["most"].value.replace("\u00a0", " ")
    assert "Not answered yet." in form.remarks["order"].value
    form.boxes["most"].value = "2"
    form.boxes["order"].value = "no"
    form.button.click()
    assert all("Right" in remark.value for remark in form.remarks.values())
    assert form.ready.value == "3 of 3 right."


def test_what_is_typed_is_escaped(first: Exercise) -> None:
    form = Form(first, {"most": "<b>2</b>"})
    assert "&lt;b&gt;" in form.remarks["most"].value
    assert "<b>" not in form.remarks["most"].value


def test_in_a_notebook_the_look_keeps_to_the_lesson() -> None:
    """JupyterLab's own frame stays as it is: no rule of the app's whole page comes along."""
    sheet = re.sub(r"/\*.*?\*/", "", shown.styles().data, flags=re.S)
    selectors = {s.strip() for rule in re.findall(r"([^{}]+)\{", sheet) for s in re.split(r",(?![^(]*\))", rule)}
    assert ".sheet.desk .inputs button.read" in selectors
    foreign = {
        s for s in selectors if not re.match(r"(\[data-voila\]|body:not\(\[data-voila\]\)) |\.sheet|@|<style>", s)
    }
    assert foreign <= {":root", "html", "body"}


OTHER_PACKS = {
    "another market, percentages, columns per 100 g": """
market, name = "UK", "Pork Sausages"
statement = "Pork (72%), Water, Rusk (Wheat), Salt, Preservative: Sodium Metabisulphite. In natural sheep casing."
panel = "Per 100g: Energy 1120kJ/269kcal, Fat 20g, of which saturates 7.4g, Carbohydrate 9g, Protein 13g, Salt 1.45g"
""",
    "no panel": 'market, name, statement, panel = "US", "", "Beef, water, salt", ""',
    "nothing at all": 'market, name, statement, panel = "US", "", "", ""',
}


@pytest.mark.parametrize("pack_cell", OTHER_PACKS.values(), ids=OTHER_PACKS)
def test_a_teacher_may_put_another_pack_in(pack_cell: str) -> None:
    cells = {cell.id: cell.source for cell in NOTEBOOK.cells if cell.cell_type == "code"}
    known: dict[str, Any] = {}
    for name in list(cells)[: list(cells).index("clause-exercise")]:
        exec(compile(pack_cell if name == "pack" else cells[name], name, "exec"), known)
    assert known["makeup"] == known["report"].makeup
    assert known["findings"] == known["report"].findings


# -- the text -----------------------------------------------------------------------------------------------

PROSE = "\n".join(cell.source for cell in NOTEBOOK.cells if cell.cell_type == "markdown")


def test_the_lesson_promises_nothing_and_gives_no_recipe() -> None:
    assert not re.search(
        r"\bsafe(ly|ty)?\b(?!”)|free from|\bhealthy\b", PROSE.replace("Hot Dogs and Food Safety", ""), re.I
    )
    assert "There is no recipe here" in PROSE


def test_every_step_of_the_making_has_its_trace_and_its_sources() -> None:
    making = next(
        c.source for c in NOTEBOOK.cells if c.cell_type == "markdown" and c.source.startswith("## How a frankfurter")
    )
    steps = re.split(r"^### \d+\. ", making, flags=re.M)[1:]
    assert len(steps) == 9
    for step in steps:
        assert "**Trace:**" in step, step
        assert re.search(r"\b(read|secondary|common practice|as quoted in)\b[^()]*\)", step), step


def test_the_links_of_the_lesson_lead_somewhere() -> None:
    headings = {h.replace(" ", "-") for h in re.findall(r"^#+ (.*)$", PROSE, re.M)}
    assert set(re.findall(r"\]\(#([^)]+)\)", PROSE)) <= headings


def test_files_the_lesson_names_exist() -> None:
    named: set[Any] = set(re.findall(r"`((?:reader|lexicon|notebooks)/[\w/.]+)`", PROSE))
    root = Path(__file__).parent.parent
    assert named and all((root / name).exists() for name in named)
