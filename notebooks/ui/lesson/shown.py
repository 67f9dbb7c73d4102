"""What the cells of the lesson show: the app's own tables, sentences and charts in the lesson's column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path

import ipywidgets as widgets
from IPython.display import HTML

from reader.page import charts, page
from reader.page import parts as pieces
from reader.report import Report
from ui.results import Slot

_HERE = Path(__file__).parent
_OF_THE_WHOLE_PAGE = re.compile(r"^(?!\.sheet\b|@|/|[ }]).*\}\n", re.M)  # rules of theme.css, a line each


def styles() -> HTML:
    """The app's look. Voila's page has it already; in JupyterLab it keeps to what the lesson itself shows."""
    theme = (_HERE.parent / "theme.css").read_text(encoding="utf-8")
    own = (_HERE / "lesson.css").read_text(encoding="utf-8")
    return _html("<style>" + "\n".join((page.styles(), _OF_THE_WHOLE_PAGE.sub("", theme), own)) + "</style>")


def html(body: str, *more: str) -> HTML:
    """A fragment of the page; `body` is HTML, `more` are classes of lesson.css."""
    return _html(f'<div class="{" ".join(("sheet", "lesson", *more))}">{body}</div>')


def pasted(*texts: str) -> HTML:
    """Texts as they were pasted, letter by letter."""
    return html("".join(f'<pre class="pasted">{pieces.esc(text)}</pre>' for text in texts))


def table(
    caption: str,
    head: Sequence[str],
    rows: Iterable[Sequence[object]],
    *,
    numbers: Sequence[int] = (),
    told: bool = False,
) -> HTML:
    """A table of plain data; `numbers` are the columns set flush right, `told`: the last column holds sentences."""
    cells = [["" if cell is None else str(cell) for cell in row] for row in rows]
    return html(pieces.table(head, cells, caption=caption, numbers=numbers), *(("told",) if told else ()))


def chart(report: Report, name: str) -> widgets.Widget:
    """One of the app's charts of a report ("makeup", "order", "day", "survey", "aspects"), with its table. Nothing
    where the report has no numbers for it.
    """
    slot = Slot()
    slot.show(next((p for p in charts.pictures(report) if p.name == name), None))
    return widgets.VBox([slot.view]).add_class("sheet").add_class("desk").add_class("lesson")


def _html(text: str) -> HTML:
    return HTML(text)  # type: ignore[no-untyped-call]
