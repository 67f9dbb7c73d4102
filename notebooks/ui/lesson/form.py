"""An exercise as boxes to fill in, with what is said to each answer below it. Works in JupyterLab and in Voila."""

from __future__ import annotations

from collections.abc import Mapping

import ipywidgets as widgets

from reader.page.parts import told
from reader.wording import say
from ui.lesson.exercises import NOT_ANSWERED, Exercise, Question, Remark, overall


def ask(exercise: Exercise, answers: Mapping[str, object]) -> widgets.Widget:
    """The exercise with these answers filled in and checked; an empty one is not answered yet."""
    return Form(exercise, answers).view


class Form:
    """The boxes of one exercise, its button and the remarks."""

    def __init__(self, exercise: Exercise, answers: Mapping[str, object]) -> None:
        self.exercise = exercise
        remarks = exercise.check(answers)
        self.boxes = {q.id: _box(q, answers.get(q.id)) for q in exercise.questions}
        self.remarks = {q.id: widgets.HTML() for q in exercise.questions}
        self.button = widgets.Button(description=say("lesson_check")).add_class("read")
        self.ready = widgets.Label(tabbable=False).add_class("ready")  # can be focused, but is no stop of the Tab key
        self.button.on_click(lambda _: self.check())
        self._tell(remarks)
        rows = [widgets.VBox([self.boxes[q.id], self.remarks[q.id]]).add_class("question") for q in exercise.questions]
        self.view = widgets.VBox([*rows, self.button, self.ready]).add_class("inputs")
        self.view = widgets.VBox([self.view]).add_class("sheet").add_class("desk").add_class("lesson")

    def check(self) -> None:
        """Say how far the answers in the boxes are right; the focus goes to the sum of it, so that it is heard."""
        remarks = self.exercise.check({name: box.value for name, box in self.boxes.items()})
        self._tell(remarks)
        self.ready.value = overall(remarks)
        self.ready.focus()

    def _tell(self, remarks: Mapping[str, Remark]) -> None:
        for name, remark in remarks.items():
            kind = "quiet" if remark.verdict == NOT_ANSWERED else "message"
            self.remarks[name].value = f'<p class="{kind}">{told(remark.says)}</p>'


def _box(question: Question, answer: object) -> widgets.Widget:
    """The box of one question with an answer in it; an answer that is no choice is told of, not shown as chosen."""
    given = " ".join(str("" if answer is None else answer).split())
    if not question.options:
        return widgets.Text(description=question.asks, value=given)
    chosen = next((o for o in question.options if o.casefold() == given.casefold()), None)
    return widgets.RadioButtons(description=question.asks, options=question.options, value=chosen)
