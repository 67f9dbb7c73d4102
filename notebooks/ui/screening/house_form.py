"""The house specification as a form, as a file and as text: what is asked of every product, and what is preferred."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby
from typing import Any

import ipywidgets as widgets

from reader.house.checked import title_faults
from reader.house.kinds import kinds
from reader.house.specification import SpecificationError, from_yaml, ready, to_yaml
from reader.house.values import Requirement, Specification
from reader.page.parts import esc, said
from reader.wording import say
from ui.downloads import link, stem
from ui.notice import Notice
from ui.screening.requirement_line import RequirementLine

_Draft = tuple[str, tuple[Requirement, ...]]  # title and requirements, right or not
_EMPTY = "empty"
FIRST = "counter_natural_casing"  # the ready one that stands there at the beginning


class HouseForm:
    """Requirements, one line each; `specification` is None while something in it cannot be judged."""

    def __init__(self, on_change: Callable[[], None]) -> None:
        self._on_change, self._quiet = _nothing, False
        self._put: _Draft | None = None  # what the form was last filled with
        self._before: _Draft | None = None  # what stood there before that, if it was the visitor's own
        self._wrote = ""  # the text as written here last; another one is being typed
        self.specification: Specification | None = None
        self.requirements: list[RequirementLine] = []
        self.ready = widgets.Dropdown(description=say("label_ready"), options=_ready_titles(), value="")
        self.title = widgets.Text(description=say("label_house_title"), continuous_update=False)
        self.title_trouble = widgets.HTML()
        self.lines = widgets.VBox([]).add_class("requirements")
        self.add = widgets.Dropdown(description=say("label_add_requirement"), options=_addable(), value="")
        self.text = widgets.Textarea(description=say("label_house_text"), rows=14, continuous_update=False)
        self.take = widgets.Button(description=say("label_take_text"))
        self.as_text = widgets.Checkbox(description=say("label_as_text"), indent=False)
        self.bring = widgets.FileUpload(accept=".yaml,.yml,.txt", multiple=False, description=say("label_bring_house"))
        self.save, self.notice = widgets.HTML(), Notice()
        self.back = widgets.Button(description=say("label_house_back"))
        self._written = widgets.VBox([self.text, self.take]).add_class("as-written")
        self.view = widgets.VBox([
            widgets.HBox([self.ready, self.title]).add_class("two"), self.title_trouble, self.lines, self.add,
            self.notice.view, widgets.HBox([self.back, self.bring]), self.save,
            widgets.VBox([self.as_text]).add_class("ticks").add_class("alone"), self._written,
        ]).add_class("boxes")  # fmt: skip
        self.ready.observe(self._take_ready, "value")
        self.title.observe(lambda _: self._changed(), "value")
        self.add.observe(self._added, "value")
        self.take.on_click(lambda _: self.take_text(self.text.value))
        self.bring.observe(self._brought, "value")
        self.as_text.observe(lambda _: self._fit(), "value")
        self.back.on_click(lambda _: self._bring_back())
        self._fit()
        self.put(from_yaml(ready()[FIRST]))
        self._on_change = on_change

    @property
    def _draft(self) -> _Draft:
        return self.title.value, tuple(line.requirement for line in self.requirements)

    def put(self, specification: Specification) -> None:
        """Fill the form; what the visitor had made of it before can be brought back."""
        if self._put is not None and self._draft != self._put:
            self._before = self._draft
        self._fill((specification.title, specification.requirements))
        self._put = self._draft

    def _fill(self, draft: _Draft) -> None:
        self._quiet = True
        try:
            self.title.value = draft[0]
            self.requirements = [RequirementLine(r, self._changed, self._remove) for r in draft[1]]
        finally:
            self._quiet = False
        self.back.layout.display = "" if self._before else "none"
        self._changed()

    def _bring_back(self) -> None:
        before, self._before = self._before, None
        if before is not None:
            self.notice.tell("")
            self._fill(before)

    def take_text(self, text: str) -> bool:
        """Fill the form from a file's text; where it cannot be read every mistake is told and the form stays."""
        try:
            found = from_yaml(text)
        except SpecificationError as error:
            told = "".join(f"<li>{esc(line)}</li>" for line in str(error).splitlines())
            self.notice.view.value = f'<div class="message" role="alert"><ul class="plain">{told}</ul></div>'
            return False
        self._wrote = self.text.value  # taken over, so it may be written anew
        self.put(found)
        self.notice.tell(say("suppliers_house_taken", title=found.title))
        return True

    # -- changes ----------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        if self._quiet:
            return
        self.lines.children = tuple(line.view for line in self.requirements)
        faults = [self._faults_of(k) for k in range(len(self.requirements))]
        for line, found in zip(self.requirements, faults, strict=True):
            line.refresh(found)
        of_title = title_faults(self.title.value)
        self.title_trouble.value = "".join(f'<p class="message" role="alert">{esc(f)}</p>' for f in of_title)
        right = not of_title and not any(faults) and bool(self.requirements)
        self.specification = Specification(*self._draft) if right else None
        self._write()
        self._on_change()

    def _faults_of(self, place: int) -> tuple[str, ...]:
        line = self.requirements[place]
        before = [(one.kind, one.requirement.must) for one in self.requirements[:place]]
        twice = (say("suppliers_twice", title=line.kind.title),) if (line.kind, line.requirement.must) in before else ()
        return (*twice, *line.faults())

    def _write(self) -> None:
        """The text and the file, as the form stands. Text that is being typed stays."""
        if self.specification is None:
            key = "suppliers_house_wrong" if self.requirements else "suppliers_house_empty"
            self.save.value = f"<p>{said(key)}</p>"
            return
        text = to_yaml(self.specification)
        if self.text.value == self._wrote:
            self.text.value = text
        self._wrote = text
        file = f"{stem('house', self.specification.title)}.yaml"
        self.save.value = f'<ul class="plain downloads">{link(file, "application/yaml", text, "label_house_file")}</ul>'

    def _added(self, change: Any) -> None:
        if not change["new"]:
            return
        there = {line.requirement.must for line in self.requirements if line.kind.id == change["new"]}
        line = RequirementLine(Requirement(change["new"], must=True not in there), self._changed, self._remove)
        self.requirements.append(line)
        self.add.value = ""
        self._changed()
        line.begin()

    def _remove(self, line: RequirementLine) -> None:
        self.requirements.remove(line)
        self._changed()

    def _take_ready(self, change: Any) -> None:
        name = change["new"]
        if not name:
            return
        self.notice.tell("")
        self.put(Specification(say("suppliers_own_house")) if name == _EMPTY else from_yaml(ready()[name]))
        self.ready.value = ""  # so that the same one can be begun with again

    def _brought(self, change: Any) -> None:
        if not change["new"]:
            return
        text = bytes(change["new"][0]["content"]).decode("utf-8-sig", "replace")
        self.bring.value = ()
        if not self.take_text(text):
            self.text.value, self.as_text.value = text, True  # to be mended where it stands

    def _fit(self) -> None:
        self._written.layout.display = "" if self.as_text.value else "none"


def _nothing() -> None:
    """While the form is being made nobody listens."""


def _ready_titles() -> list[tuple[str, str]]:
    titles = [(from_yaml(text).title, name) for name, text in ready().items()]
    return [(say("label_ready_choose"), ""), *titles, (say("label_ready_empty"), _EMPTY)]


def _addable() -> list[tuple[str, str]]:
    """Every kind under the heading of its topic."""
    found = [(say("label_add_choose"), "")]
    for topic, alike in groupby(kinds().values(), key=lambda kind: kind.topic):
        found += [
            (say("label_add_kind", name=say(f"house_topic_{topic}"), title=kind.title), kind.id) for kind in alike
        ]
    return found
