"""The part "A supplier list". Open this file first: files, house specification, run and shortlist meet here."""

from __future__ import annotations

from functools import cached_property

import ipywidgets as widgets

from reader.catalogue.reading import Catalogue
from reader.house.values import Specification
from reader.page.parts import said
from reader.screening.values import Screening
from reader.wording import say
from ui.results import part
from ui.screening.brought import Brought
from ui.screening.files_in import FilesIn
from ui.screening.files_out import FilesOut
from ui.screening.folder import Folder
from ui.screening.house_form import HouseForm
from ui.screening.letters_out import LettersOut
from ui.screening.running import Running
from ui.screening.shortlist import Shortlist
from ui.spoken import Spoken


class Suppliers:
    """A supplier's list screened against what a house asks for. A run goes on while another part of the app is shown;
    it ends with the page.
    """

    def __init__(self, spoken: Spoken) -> None:
        self.folder = Folder()
        self.brought = Brought(self.folder)
        self.files = FilesIn(self.brought, spoken, self._changed)
        self._house_slot = widgets.VBox([])
        self.running = Running(self.folder, spoken, self._wanted, self._done)
        self.shortlist, self.letters, self.out = Shortlist(spoken), LettersOut(), FilesOut(self.folder)
        self.outdated = widgets.HTML()
        asked = widgets.VBox([widgets.HTML(f"<p>{said('suppliers_house_about')}</p>"), self._house_slot])
        self.first = part("suppliers_files", widgets.VBox([_about(), self.files.bring]))
        self.first.layout.display = ""
        self.list_parts = (
            part("suppliers_sheets", self.files.sheets),
            part("suppliers_house", asked),
            part("suppliers_run", self.running.view),
        )
        self.result_parts = (
            part("suppliers_shortlist", widgets.VBox([self.outdated, self.shortlist.view])),
            part("suppliers_doubles", self.shortlist.doubles),
            part("suppliers_letters", self.letters.view),
            part("suppliers_out", self.out.view),
        )
        self._held: tuple[Catalogue, Specification] | None = None  # what the run was of
        self.screening: Screening | None = None  # what came of the last one

    @cached_property
    def house(self) -> HouseForm:
        """The form; made with the first list, so that this part of the app comes up sooner."""
        return HouseForm(self._changed)

    def view(self) -> widgets.Widget:
        """The parts in the order in which they are used."""
        return widgets.VBox([self.first, *self.list_parts, *self.result_parts]).add_class("suppliers")

    def enter(self) -> None:
        """Nothing is watched."""

    def leave(self) -> None:
        """A run goes on: it was asked for, and takes a while."""

    def _changed(self) -> None:
        there = self.brought.catalogue is not None and bool(self.brought.catalogue.parts)
        if there:
            self._house_slot.children = (self.house.view,)
        for one in self.list_parts:
            one.layout.display = "" if there else "none"
        self._compare()

    def _wanted(self) -> tuple[Catalogue, Specification] | str:
        catalogue, specification = self.brought.catalogue, self.house.specification
        if catalogue is None or all(sheet.left_out for sheet in catalogue.sheets):
            return say("suppliers_nothing_to_screen")
        if specification is None:
            return say("suppliers_house_wanting")
        self._held = catalogue, specification
        return self._held

    def _done(self, found: Screening) -> None:
        self.screening = found
        for one in self.result_parts:
            one.layout.display = "" if found.count else "none"
        self.shortlist.show(found)
        self.letters.show(found)
        self.out.show(found)
        self._compare()

    def _compare(self) -> None:
        """Say so where list or specification are others by now than those the shortlist is of."""
        changed = self._held is not None and self._held != (self.brought.catalogue, self.house.specification)
        self.outdated.value = f'<p class="message">{said("suppliers_outdated")}</p>' if changed else ""


def _about() -> widgets.Widget:
    return widgets.HTML(f"<p>{said('suppliers_about')}</p>")
