"""The boxes one requirement of the form opens into."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as widgets

from reader.house.kinds import CHOICE, LIMIT, MONEY, Kind
from reader.house.values import Requirement
from reader.page.parts import esc
from reader.wording import say
from ui.screening.house_words import found_by_box, ticked, word_told


class RequirementBoxes:
    """Holds what is said in its boxes, right or not; calls `on_change` after each change, `on_remove` to go."""

    def __init__(
        self, kind: Kind, given: Requirement, on_change: Callable[[], None], on_remove: Callable[[], None]
    ) -> None:
        self.kind, self._given, self._on_change, self._quiet = kind, given, on_change, False
        self._found = found_by_box(kind)
        kept = [(say("label_must"), True), (say("label_prefer"), False)]
        self.must = widgets.Dropdown(description=say("label_kept"), options=kept, value=given.must)
        self.limit = widgets.Text(description=kind.field, value=_written(given.limit), continuous_update=False)
        self.choice = self._choices()
        self.ticks: dict[str, widgets.Checkbox] = {}
        self.tick_view = widgets.VBox([]).add_class("ticks")
        self.more = widgets.Combobox(
            description=say("label_more_words"), options=list(self._found), ensure_option=False, continuous_update=False
        )
        self.trouble = widgets.HTML()
        self.remove = widgets.Button(
            description=say("label_take_out"), tooltip=say("label_take_out_file", name=kind.title)
        )
        self.view = widgets.VBox([self.trouble, self.must, *self._taken(), self.remove])
        self.remove.on_click(lambda _: on_remove())
        for box in (self.must, self.limit, self.choice):
            box.observe(lambda _: self._changed(), "value")
        self.more.observe(lambda _: self._more(), "value")

    @property
    def requirement(self) -> Requirement:
        """What the boxes say; a limit that is no number, or none, is None."""
        takes = self.kind.takes
        limit = _number(self.limit.value) if takes in (LIMIT, MONEY) else None
        if takes in (CHOICE, MONEY):
            words = [self.choice.value] if self.choice.value else []
        else:
            on = [word for word, tick in self.ticks.items() if tick.value]
            words = [*(w for w in self._given.words if w in on), *(w for w in on if w not in self._given.words)]
        return Requirement(self.kind.id, self.must.value, limit, tuple(words))

    @property
    def no_number(self) -> str:
        """What is typed for a limit and is no number, "" if all is well."""
        typed = str(self.limit.value).strip()
        return typed if self.kind.takes in (LIMIT, MONEY) and typed and _number(typed) is None else ""

    def tell(self, faults: Sequence[str]) -> None:
        """Show what is wrong with what the boxes say."""
        self.trouble.value = "".join(f'<p class="message" role="alert">{esc(fault)}</p>' for fault in faults)

    def _choices(self) -> widgets.Dropdown:
        if self.kind.takes not in (CHOICE, MONEY):
            return widgets.Dropdown(options=[""])
        words = dict.fromkeys((*ticked(self.kind), *self._given.words))
        value = next(iter(self._given.words), next(iter(words)) if len(words) == 1 else "")
        name = say("label_currency") if self.kind.takes == MONEY else self.kind.field
        return widgets.Dropdown(description=name, options=["", *words], value=value)

    def _taken(self) -> list[widgets.Widget]:
        """The boxes for what the kind takes, filled."""
        field = widgets.HTML(f"<p>{esc(self.kind.field)}</p>")
        if self.kind.takes == LIMIT:
            return [self.limit]
        if self.kind.takes == MONEY:
            return [self.limit, self.choice]
        if self.kind.takes == CHOICE:
            return [self.choice] if len(ticked(self.kind)) > 1 else [field]
        for word in dict.fromkeys((*ticked(self.kind), *self._given.words)):
            self._tick(word, word in self._given.words)
        self.tick_view.children = tuple(self.ticks.values())
        return [field, self.tick_view, self.more] if self._found else [field, self.tick_view]

    def _tick(self, word: str, on: bool) -> None:
        tick = widgets.Checkbox(value=on, description=word_told(self.kind, word), indent=False)
        tick.observe(lambda _: self._changed(), "value")
        self.ticks[word] = tick

    def _more(self) -> None:
        """Tick a word that was found or typed, known or not: an unknown one is told, not lost."""
        typed = " ".join(self.more.value.split())
        if not typed:
            return
        word = self._found.get(typed, typed.lower())
        self._quiet = True
        try:
            if word in self.ticks:
                self.ticks[word].value = True
            else:
                self._tick(word, True)
                self.tick_view.children = tuple(self.ticks.values())
            self.more.value = ""
        finally:
            self._quiet = False
        self._changed()

    def _changed(self) -> None:
        if not self._quiet:
            self._on_change()


def _written(limit: float | None) -> str:
    return "" if limit is None else repr(limit).removesuffix(".0")


def _number(text: str) -> float | None:
    plain = text.strip().rstrip("%").strip().replace(",", ".")
    return float(plain) if plain.isascii() and plain.replace(".", "", 1).isdecimal() and len(plain) < 20 else None
