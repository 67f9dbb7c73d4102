"""What came of a run as files, made when they are asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import ipywidgets as widgets

from reader.page import screened
from reader.page.parts import esc, said
from reader.quantities import show
from reader.screening import letters_file, table, workbook
from reader.screening.values import Screening
from reader.wording import say
from ui.downloads import link, stem
from ui.notice import Notice
from ui.screening.background import Background
from ui.screening.folder import Folder

MOST = 12_000_000  # bytes that a link of the page carries, as tried


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file. write: from a screening to a path."""

    ending: str
    mime: str
    write: Callable[[Screening, Path], object]


def _page(screening: Screening, target: Path) -> None:
    target.write_text(screened.document(screening), encoding="utf-8")


KINDS = (
    Kind("xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", workbook.write),
    Kind("csv", "text/csv", table.write),
    Kind("html", "text/html", _page),
    Kind("zip", "application/zip", letters_file.write_archive),
)


class FilesOut:
    """A button, then a link for each file; a file too large for a link says so."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._screening: Screening | None = None
        self.notice = Notice()
        self._background = Background(self.notice)
        self.make = widgets.Button(description=say("label_make_files"))
        self.links = widgets.HTML()
        about = widgets.HTML(f"<p>{said('suppliers_out_about')}</p>")
        self.view = widgets.VBox([about, self.make, self.links, self.notice.view]).add_class("boxes")
        self.make.on_click(lambda _: self._make())

    def show(self, screening: Screening) -> None:
        """Offer the files of a run; those of an earlier one are put away."""
        self._background.drop()
        self._screening, self.links.value = screening, ""
        self.notice.tell("")

    def _make(self) -> None:
        screening = self._screening
        if screening is None:
            return
        self.links.value = f'<p role="status">{said("suppliers_making")}</p>'
        self._background.start(lambda: self._written(screening), self._take)

    def _written(self, screening: Screening) -> str:
        """The links as HTML."""
        name = stem("screened", screening.specification.title)
        items = []
        for kind in KINDS:
            path = self._folder.new()
            kind.write(screening, path)
            size = path.stat().st_size
            if size <= MOST:
                items.append(link(f"{name}.{kind.ending}", kind.mime, path.read_bytes(), f"label_out_{kind.ending}"))
            else:
                items.append(f"<li>{esc(_too_large(kind, size))}</li>")
            path.unlink()
        return f'<ul class="plain downloads">{"".join(items)}</ul>'

    def _take(self, links: str) -> None:
        self.links.value = links


def _too_large(kind: Kind, size: int) -> str:
    told = say(f"label_out_{kind.ending}")
    return say("suppliers_too_large", name=told, size=show(size / 1e6, 0), most=show(MOST / 1e6, 0))
