"""Files and a pasted table in, the sheets found in them, and what could not be read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from reader.catalogue.reading import Catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import Sheet
from reader.page.parts import esc, said, told
from reader.wording import say
from ui.notice import Notice
from ui.screening.background import Background
from ui.screening.brought import Brought, Correction, key_of
from ui.screening.first_rows import COUNT
from ui.screening.sheet_boxes import SheetBoxes
from ui.spoken import Spoken

_TAKEN = ".csv,.tsv,.txt,.md,.xlsx,.xlsm,.json,.jsonl,.ndjson"


class FilesIn:
    """What a supplier sent; calls `on_change` whenever the list is another one or is read otherwise."""

    def __init__(self, brought: Brought, spoken: Spoken, on_change: Callable[[], None]) -> None:
        self._brought, self._spoken, self._on_change = brought, spoken, on_change
        self.looked = True  # whether what is shown is what was brought in
        self._shown: tuple[str, str] | None = None
        self._quiet = False
        self.upload = widgets.FileUpload(accept=_TAKEN, multiple=True, description=say("label_supplier_files"))
        self.paste = widgets.Textarea(
            description=say("label_pasted"), placeholder=say("label_pasted_hint"), continuous_update=False
        )
        self.take = widgets.Button(description=say("label_take_pasted"))
        self.example = widgets.Button(description=say("label_supplier_example"))
        self.files = widgets.VBox([])
        self.state, self.refused = widgets.HTML(), widgets.HTML()
        self.notice = Notice()
        self._background = Background(self.notice)
        self.which = widgets.Dropdown(description=say("label_which_sheet"))
        self.sheet = SheetBoxes(self._correct)
        buttons = widgets.HBox([self.upload, self.example])
        pasted = widgets.VBox([self.paste, self.take])
        self.bring = widgets.VBox([buttons, pasted, self.files, self.notice.view, self.state, self.refused])
        self.bring.add_class("boxes")
        self.sheets = widgets.VBox([widgets.VBox([self.which]).add_class("boxes"), self.sheet.view])
        self.upload.observe(self._uploaded, "value")
        self.take.on_click(lambda _: self._pasted())
        self.example.on_click(lambda _: self._example())
        self.which.observe(lambda _: None if self._quiet else self._show_sheet(), "value")

    # -- what comes in ----------------------------------------------------------------------------------------

    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        with self.notice.trying():
            again = [f["name"] for f in change["new"] if self._brought.take(f["name"], bytes(f["content"]))]
            if again:
                self.notice.tell(say("suppliers_file_again", names=", ".join(again)))
        self.upload.value = ()  # so that the same file can be chosen again, and its bytes are held only on disk
        self.look()

    def _pasted(self) -> None:
        self.notice.tell("" if self.paste.value.strip() else say("suppliers_nothing_pasted"))
        self._brought.pasted = self.paste.value
        self.look()

    def _example(self) -> None:
        """The invented list; pasted text stays in its box."""
        with self.notice.trying():
            self._brought.take_example()
        self.look()

    def _drop(self, name: str) -> None:
        self._brought.drop(name)
        self.look()

    # -- looking ----------------------------------------------------------------------------------------------

    def look(self) -> None:
        """Open everything anew, in the background: a large workbook takes a moment."""
        self.looked = False
        self.files.children = tuple(self._file_line(name) for name in self._brought.files)
        self.example.layout.display = "none" if self._brought.files or self._brought.pasted.strip() else ""
        self.state.value = f'<p role="status">{said("suppliers_looking")}</p>'
        self._background.start(self._brought.opened, self._opened)

    def _opened(self, catalogue: Catalogue | None) -> None:
        self._brought.catalogue = catalogue
        sheets = catalogue.sheets if catalogue else ()
        refused = catalogue.refused if catalogue else ()
        self.refused.value = "".join(f'<p class="message" role="alert">{told(r.message)}</p>' for r in refused)
        self.state.value = f'<p class="quiet">{self._counted(sheets)}</p>' if sheets else ""
        if sheets:
            self._spoken.say(self._counted(sheets))
        self._offer(sheets)
        self._show_sheet()
        self._on_change()
        self.looked = True

    def _counted(self, sheets: tuple[Sheet, ...]) -> str:
        used = sum(not sheet.left_out for sheet in sheets)
        return say("suppliers_sheet_one" if len(sheets) == 1 else "suppliers_sheets", count=len(sheets), part=used)

    def _offer(self, sheets: tuple[Sheet, ...]) -> None:
        options = [(_title(sheet), key_of(sheet)) for sheet in sheets]
        self._quiet = True
        try:
            held = self.which.value
            self.which.options = options
            keys = [key for _, key in options]
            self.which.value = held if held in keys else next(iter(keys), None)
        finally:
            self._quiet = False
        self.which.layout.display = "" if len(options) > 1 else "none"

    # -- one sheet --------------------------------------------------------------------------------------------

    def _show_sheet(self) -> None:
        key = self.which.value
        sheet = self._brought.sheet(key) if key else None
        self.sheet.view.layout.display = "" if sheet else "none"
        if key is None or sheet is None:
            self._shown = None
            return
        first = self._brought.first(key, COUNT)
        self.sheet.show(sheet, self._brought.corrections.get(key), first, other=key != self._shown)
        self._shown = key

    def _correct(self, said_of_it: Correction | None) -> None:
        key = self.which.value
        if key is None:
            return
        with self.notice.trying():
            try:
                self._brought.correct(key, said_of_it)
            except TableError as error:
                self.sheet.refuse(str(error))
                return
            self._offer(self._brought.catalogue.sheets if self._brought.catalogue else ())
            self._show_sheet()
            self._on_change()

    def _file_line(self, name: str) -> widgets.Widget:
        drop = widgets.Button(description=say("label_take_out"), tooltip=say("label_take_out_file", name=name))
        drop.on_click(lambda _: self._drop(name))
        return widgets.HBox([widgets.HTML(f"<span>{esc(name)}</span>"), drop]).add_class("change")


def _title(sheet: Sheet) -> str:
    title = f"{sheet.file}: {sheet.sheet}" if sheet.sheet else sheet.file
    return say("suppliers_sheet_out", name=title) if sheet.left_out else title
