"""How one sheet is read: what each column is taken for and why, to be corrected, with the first rows as read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import ipywidgets as widgets

from reader.catalogue.column_names import BASIS, NUTRIENTS, SERVING_SIZE, TEXTS
from reader.catalogue.columns import role_told
from reader.catalogue.values import BASES, Entry, Sheet
from reader.page.parts import esc, said, told
from reader.wording import say
from ui.screening.brought import Correction
from ui.screening.first_rows import capital, first_rows

_LONGEST = 60  # characters of a column's name that are shown
_NUMBERS = (SERVING_SIZE, BASIS, *NUTRIENTS)


class RoleBox:
    """Which column holds one thing, and why it is thought so."""

    def __init__(self, role: str, on_change: Callable[[str, str], None]) -> None:
        self.role = role
        self._on_change, self._quiet = on_change, False
        self.column = widgets.Dropdown(description=capital(role_told(role)))
        self.why = widgets.HTML()
        self.view = widgets.VBox([self.column, self.why]).add_class("column-box")
        self.column.observe(lambda change: None if self._quiet else on_change(role, change["new"] or ""), "value")

    def show(self, sheet: Sheet) -> None:
        """Offer the columns of a sheet, with the one that is taken."""
        taken = sheet.column_of(self.role)
        options = [(say("label_no_column"), ""), *((_named(c.name), c.name) for c in sheet.columns)]
        self._quiet = True
        try:
            if list(self.column.options) != options:
                self.column.options = options
            self.column.value = taken.name if taken else ""
        finally:
            self._quiet = False
        others = [c.name for c in sheet.columns if any(g.role == self.role for g in c.alternatives) and c is not taken]
        also = said("suppliers_also", names=", ".join(f"“{_named(name)}”" for name in others)) if others else ""
        why = f"{told(taken.why)} {also}" if taken else also
        self.why.value = f'<p class="quiet">{why}</p>' if why.strip() else ""


class SheetBoxes:
    """One sheet at a time; calls `on_correct` with what the visitor says of it, None to guess anew."""

    def __init__(self, on_correct: Callable[[Correction | None], None]) -> None:
        self._on_correct, self._said, self._quiet = on_correct, Correction(), False
        self._sheet: Sheet | None = None
        reads = [(say("label_sheet_read"), True), (say("label_sheet_left_out"), False)]
        self.read = widgets.Dropdown(description=say("label_sheet_use"), options=reads)
        self.header = widgets.Text(description=say("label_header_row"), continuous_update=False)
        bases = [(capital(say(f"sheet_basis_{basis}")), basis) for basis in BASES]
        self.basis = widgets.Dropdown(description=say("label_basis"), options=bases)
        self.basis_why = widgets.HTML()
        self.roles = {role: RoleBox(role, self._role) for role in TEXTS}  # those of numbers when they are asked for
        self.numbers = widgets.Checkbox(description=say("label_number_columns"), indent=False)
        self.anew = widgets.Button(description=say("label_guess_anew"))
        self.remarks, self.trouble, self.rows = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self._texts = _grid([self.roles[role].view for role in TEXTS])
        self._basis = widgets.VBox([self.basis, self.basis_why]).add_class("column-box")
        self._numbers = _grid([self._basis])
        ticks = widgets.VBox([self.numbers]).add_class("ticks").add_class("alone")
        self.columns = widgets.VBox([self._texts, ticks, self._numbers, self.anew])
        top = _grid([self.read, self.header])
        self.view = widgets.VBox([self.remarks, top, self.trouble, self.rows, self.columns]).add_class("boxes")
        self.read.observe(lambda change: self._tell(replace(self._said, read=change["new"])), "value")
        self.header.observe(lambda _: self._header(), "value")
        self.basis.observe(lambda change: self._tell(replace(self._said, basis=change["new"])), "value")
        self.numbers.observe(lambda _: self._fit(), "value")
        self.anew.on_click(lambda _: on_correct(None))

    def show(self, sheet: Sheet, correction: Correction | None, first: Sequence[Entry], *, other: bool) -> None:
        """Show a sheet with the first rows; `other` if it is not the one shown before."""
        self._said, self._sheet = correction or Correction(), sheet
        self._quiet = True
        try:
            self.read.value = not sheet.left_out
            self.header.value = str(sheet.header_row)
            self.basis.value = sheet.basis
            if other:
                self.numbers.value = False
        finally:
            self._quiet = False
        for box in self.roles.values():
            box.show(sheet)
        self.header.layout.display = "none" if sheet.form == "json" else ""
        self.basis_why.value = f'<p class="quiet">{told(sheet.basis_why)}</p>' if sheet.basis_why else ""
        above = [line for line in sheet.above if line.strip()]
        lines = [said("suppliers_above", words=" / ".join(above)[:300])] if above else []
        remarks = [*lines, *map(told, sheet.remarks), *([told(sheet.left_out)] if sheet.left_out else [])]
        self.remarks.value = "".join(f"<p>{line}</p>" for line in remarks)
        self.rows.value = first_rows(first)
        self.columns.layout.display = "none" if sheet.left_out else ""
        self.anew.layout.display = "" if correction else "none"
        self.trouble.value = ""
        self._fit()

    def refuse(self, sentence: str) -> None:
        """Tell why what was said cannot be."""
        self.trouble.value = f'<p class="message" role="alert">{esc(sentence)}</p>'

    def _fit(self) -> None:
        """Show the boxes of numbers where they are asked for, made the first time: there are many."""
        self._numbers.layout.display = "" if self.numbers.value else "none"
        if self.numbers.value and BASIS not in self.roles:
            self.roles |= {role: RoleBox(role, self._role) for role in _NUMBERS}
            self._numbers.children = (self._basis, *(self.roles[role].view for role in _NUMBERS))
            for role in _NUMBERS:
                if self._sheet is not None:
                    self.roles[role].show(self._sheet)

    def _tell(self, said_of_it: Correction) -> None:
        if not self._quiet:
            self._on_correct(said_of_it)

    def _role(self, role: str, column: str) -> None:
        self._tell(self._said.with_role(role, column))

    def _header(self) -> None:
        if self._quiet:
            return
        text = self.header.value.strip()
        if not text.isdecimal() or len(text) > 6:
            self.refuse(say("suppliers_no_row", words=text))
            return
        # Another heading means other names, so what was said of columns holds no more.
        self._tell(replace(self._said, header_row=int(text), roles={}))


def _named(name: str) -> str:
    return name if len(name) <= _LONGEST else f"{name[:_LONGEST].rstrip()} …"


def _grid(children: Sequence[widgets.Widget]) -> widgets.Widget:
    return widgets.HBox(list(children)).add_class("two")
