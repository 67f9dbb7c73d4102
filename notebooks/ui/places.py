"""The parts of the app and the buttons that lead from one to another. A part is made when it is first gone to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

import ipywidgets as widgets

from reader.wording import say
from ui.spoken import Spoken


class Place(Protocol):
    """A part of the app."""

    def view(self) -> widgets.Widget:
        """Its widgets; asked for once."""

    def enter(self) -> None:
        """It is shown now."""

    def leave(self) -> None:
        """It is shown no more: whatever it watches can rest."""


class Places:
    """One part at a time; each is called label_place_<name>."""

    def __init__(self, makers: Mapping[str, Callable[[], Place]], spoken: Spoken) -> None:
        self._makers, self._spoken = makers, spoken
        self.made: dict[str, Place] = {}
        self.here = ""
        self._slots = {name: widgets.VBox([]) for name in makers}
        self.buttons = {name: widgets.Button(description=say(f"label_place_{name}")) for name in makers}
        for name, button in self.buttons.items():
            button.on_click(lambda _, name=name: self.go(name))
        self.view = widgets.VBox([widgets.HBox([*self.buttons.values()]).add_class("places"), *self._slots.values()])

    def go(self, name: str) -> Place:
        """Show a part, made if it was not yet; the part comes back."""
        if name == self.here:
            return self.made[name]
        if name not in self.made:
            self.made[name] = self._makers[name]()
            self._slots[name].children = (self.made[name].view(),)
        if self.here:
            self.made[self.here].leave()
            self._spoken.say(say("app_told_place", name=say(f"label_place_{name}")))
        self.here = name
        for other, slot in self._slots.items():
            slot.layout.display = "" if other == name else "none"
            button = self.buttons[other]
            button.add_class("here") if other == name else button.remove_class("here")
        self.made[name].enter()
        return self.made[name]
