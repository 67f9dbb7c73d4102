"""One requirement of the form: a line that says what is asked, and opens into boxes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as widgets

from reader.house.checked import requirement_faults
from reader.house.kinds import kinds
from reader.house.told import requirement_told
from reader.house.values import Requirement
from reader.page.parts import said
from reader.wording import say
from ui.screening.requirement_boxes import RequirementBoxes


class RequirementLine:
    """Calls `on_change` after each change, `on_remove` to go. Its boxes are made when they are first opened: a page
    with those of all requirements would take a second more to come.
    """

    def __init__(
        self, given: Requirement, on_change: Callable[[], None], on_remove: Callable[[RequirementLine], None]
    ) -> None:
        self.kind, self._given, self._on_change = kinds()[given.kind], given, on_change
        self.boxes: RequirementBoxes | None = None
        self.line = widgets.HTML()
        self.change = widgets.Button(
            description=say("label_requirement_open"), tooltip=say("label_requirement_change", name=self.kind.title)
        )
        self._on_remove = on_remove
        self._slot = widgets.VBox([]).add_class("requirement-boxes")
        self.view = widgets.VBox([widgets.HBox([self.line, self.change]).add_class("change"), self._slot])
        self.change.on_click(lambda _: self.open(not self.opened))

    @property
    def requirement(self) -> Requirement:
        """What is asked as it stands, right or not."""
        return self.boxes.requirement if self.boxes else self._given

    @property
    def opened(self) -> bool:
        """Whether its boxes are shown."""
        return bool(self._slot.children)

    def open(self, opened: bool) -> None:
        """Show the boxes, or the line alone."""
        if opened and self.boxes is None:
            self.boxes = RequirementBoxes(self.kind, self._given, self._on_change, lambda: self._on_remove(self))
        self._slot.children = (self.boxes.view,) if opened and self.boxes else ()
        self.change.description = say("label_requirement_close" if opened else "label_requirement_open")

    def faults(self) -> tuple[str, ...]:
        """A sentence for everything that cannot be judged as it stands."""
        typed = self.boxes.no_number if self.boxes else ""
        if typed:
            return (say("suppliers_no_limit", words=typed, unit=self.kind.unit),)
        # The sentences call a requirement as a file does; here it has a title.
        return tuple(
            fault.replace(f"“{self.kind.id}”", f"“{self.kind.title}”") for fault in requirement_faults(self.requirement)
        )

    def refresh(self, faults: Sequence[str]) -> None:
        """Show what is asked, and what is wrong with it; its boxes stand open then."""
        key = "suppliers_must" if self.requirement.must else "suppliers_prefer"
        told = self.kind.title if faults else requirement_told(self.requirement)
        self.line.value = f"<span>{said(key, title=told)}</span>"
        if faults:
            self.open(True)
        if self.boxes:
            self.boxes.tell(faults)

    def begin(self) -> None:
        """It was added a moment ago: nothing is wrong with it, it is only not filled in yet."""
        self.open(True)
        if self.faults() and self.boxes:
            self.line.value = f"<span>{said('suppliers_fill_in', title=self.kind.title)}</span>"
            self.boxes.tell(())
