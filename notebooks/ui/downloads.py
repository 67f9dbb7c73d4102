"""The reading as files: the page to keep or print, the JSON form, one row of a table."""

from __future__ import annotations

import base64
import csv
import io
import json
import re
from datetime import date

from reader.columns import COLUMNS, Cell, row_of
from reader.page import page
from reader.page.parts import esc, said
from reader.report import Report
from reader.table_files import harmless

_INPUTS = ("name", "market", "statement", "panel")


def as_html(report: Report, made_on: date | None = None) -> str:
    """The whole reading as one HTML file."""
    return page.document(report, made_on=made_on)


def as_json(report: Report) -> str:
    """The reading as JSON; README.md, "The JSON form", explains the keys."""
    return json.dumps(report.to_dict(), ensure_ascii=False, indent=2) + "\n"


def as_csv(report: Report) -> str:
    """The typed texts and the readings as one row, with the columns of `python -m reader table`."""
    out = io.StringIO()
    writer = csv.DictWriter(out, [*_INPUTS, *COLUMNS])
    writer.writeheader()
    texts = {"name": report.name, "market": report.market, "statement": report.statement, "panel": report.panel_text}
    writer.writerow({key: _cell(value) for key, value in {**texts, **row_of(report)}.items()})
    return out.getvalue()


def _cell(value: Cell) -> Cell:
    if isinstance(value, bool):
        return str(value).lower()
    return harmless(value) if isinstance(value, str) else value


def links(report: Report, made_on: date | None = None) -> str:
    """The three links. The files travel in the links themselves, so no address has to serve them."""
    name = stem("label", report.name or "reading")
    files = (
        ("html", "text/html", as_html(report, made_on)),
        ("json", "application/json", as_json(report)),
        ("csv", "text/csv", "\ufeff" + as_csv(report)),  # the mark tells spreadsheets that it is UTF-8
    )
    items = "".join(link(f"{name}.{kind}", mime, text, f"app_download_{kind}") for kind, mime, text in files)
    inside = f'<div class="body"><ul class="plain downloads">{items}</ul></div>'
    return f'<section class="part"><h2>{said("app_downloads")}</h2>{inside}</section>'


def link(file: str, mime: str, content: str | bytes, key: str) -> str:
    """A list item with a link that holds the file itself, text as UTF-8; `key` names what it is called."""
    return f'<li><a download="{esc(file)}" href="{_href(mime, content)}">{said(key)}</a></li>'


def stem(first: str, name: str) -> str:
    """The name of a file without its ending: a word of ours and the first words of a name."""
    return "-".join([first, *re.findall(r"[a-z0-9]+", name.lower())[:6]])[:60]


def _href(mime: str, content: str | bytes) -> str:
    is_text = isinstance(content, str)
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    return f"data:{mime}{';charset=utf-8' if is_text else ''};base64,{base64.b64encode(raw).decode('ascii')}"
