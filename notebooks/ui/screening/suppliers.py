"""The part "A supplier list". Open this file first: files, house specification, run and shortlist meet here."""

from __future__ import annotations

import ipywidgets as widgets

from reader.page.parts import said
from ui.results import part
from ui.screening.brought import Brought
from ui.screening.files_in import FilesIn
from ui.screening.folder import Folder
from ui.screening.house_form import HouseForm
from ui.spoken import Spoken


class Suppliers:
    """A supplier's list screened against what a house asks for."""

    def __init__(self, spoken: Spoken) -> None:
        self.folder = Folder()
        self.brought = Brought(self.folder)
        self.files = FilesIn(self.brought, spoken, self._changed)
        self.house = HouseForm(self._changed)

    def view(self) -> widgets.Widget:
        about = widgets.HTML(f"<p>{said('suppliers_about')}</p>")
        first = part("suppliers_files", widgets.VBox([about, self.files.bring]))
        first.layout.display = ""
        self.sheets_part = part("suppliers_sheets", self.files.sheets)
        asked = widgets.HTML(f"<p>{said('suppliers_house_about')}</p>")
        self.house_part = part("suppliers_house", widgets.VBox([asked, self.house.view]))
        self._changed()
        return widgets.VBox([first, self.sheets_part, self.house_part]).add_class("suppliers")

    def enter(self) -> None:
        """Nothing is watched."""

    def leave(self) -> None:
        """Nothing is watched."""

    def _changed(self) -> None:
        there = self.brought.catalogue is not None and bool(self.brought.catalogue.parts)
        for one in (self.sheets_part, self.house_part):
            one.layout.display = "" if there else "none"
