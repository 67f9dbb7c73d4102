"""Which shelf, and which of its packs stand side by side."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from reader.compare.table import LEAST, MOST
from reader.page.parts import said
from reader.wording import say
from ui.inputs import examples
from ui.pack_names import names_of, plain_names
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Pack
from ui.shelves import OWN, Opened, Shelves

EXAMPLES = "examples"


class Chosen:
    """A shelf and a tick for each of its packs; calls `on_shelf` and `on_ticks` when the visitor changes either."""

    def __init__(self, shelves: Shelves, on_shelf: Callable[[], None], on_ticks: Callable[[], None]) -> None:
        self._shelves, self._on_ticks = shelves, on_ticks
        self._opened: dict[str, Opened] = {}
        self._packs: tuple[Pack, ...] = ()
        self._off: set[str] = set()  # packs that the visitor left out, by id
        self._quiet = False
        self.shelf = widgets.Dropdown(description=say("label_shelf"))
        self.shelf.observe(lambda _: None if self._quiet else on_shelf(), "value")
        self.again = widgets.Button(description=say("label_look_again")).add_class("second")
        self.again.on_click(lambda _: on_shelf())
        self.note = widgets.HTML()
        self.ticks = widgets.VBox([]).add_class("ticks")
        self.view = widgets.VBox([self.shelf, self.note, self.ticks, self.again]).add_class("boxes")

    @property
    def opened(self) -> Opened | None:
        """The shelf that is chosen; None where it is that of the examples."""
        return self._opened.get(self.shelf.value or "")

    @property
    def all(self) -> tuple[Pack, ...]:
        """Every pack of the shelf."""
        return self._packs

    @property
    def packs(self) -> list[Pack]:
        """The packs with a tick, in the order of the shelf."""
        return [pack for pack in self._packs if pack.id not in self._off]

    def look(self) -> None:
        """Look at the shelves again. ShelfError if they cannot be had; then the examples stand there."""
        try:
            self._offer(self._shelves.opened())
        except ShelfError:
            self._offer(())
            raise

    def _offer(self, found: tuple[Opened, ...]) -> None:
        self._opened = {o.name: o for o in found}
        options = [(_title(o), o.name) for o in found if o.shelf.packs or o.name != OWN]
        options.append((say("label_shelf_examples"), EXAMPLES))
        self._quiet = True
        try:
            held = self.shelf.value
            if list(self.shelf.options) != options:
                self.shelf.options = options
            names = [name for _, name in options]
            # The examples are for who has nothing yet: a first pack of one's own takes their place.
            self.shelf.value = held if held in names and held != EXAMPLES else names[0]
        finally:
            self._quiet = False
        self.show()

    def show(self) -> None:
        """Put up the packs of the shelf that is chosen."""
        opened = self.opened
        packs = opened.shelf.packs if opened else _example_packs()
        if packs == self._packs:
            return
        known = {pack.id for pack in self._packs}
        self._off |= {pack.id for pack in packs if pack.hidden and pack.id not in known}
        self._packs = packs
        told = "" if opened else f"<p>{said('beside_examples', name=say('label_place_one'))}</p>"
        most = f"<p>{said('beside_most', most=MOST)}</p>" if len(packs) > MOST else ""
        few = f"<p>{said('beside_few')}</p>" if opened and len(packs) < LEAST else ""
        self.note.value = told + most + few
        names = names_of(opened.shelf) if opened else plain_names(packs)
        self.ticks.children = tuple(self._tick(pack, names[pack.id]) for pack in packs)

    def _tick(self, pack: Pack, name: str) -> widgets.Widget:
        tick = widgets.Checkbox(value=pack.id not in self._off, description=name, indent=False)

        def changed(change: dict[str, bool]) -> None:
            (self._off.discard if change["new"] else self._off.add)(pack.id)
            self._on_ticks()

        tick.observe(changed, "value")
        return tick


def _title(opened: Opened) -> str:
    return say("label_shelf_own") if opened.name == OWN else opened.shelf.title or say("label_shelf_class")


def _example_packs() -> tuple[Pack, ...]:
    fields = ("statement", "panel", "market", "name", "price")
    return tuple(
        Pack(id=f"example-{number}", writer="", added=0, **{f: example[f] for f in fields if f in example})
        for number, example in enumerate(examples(), 1)
    )
