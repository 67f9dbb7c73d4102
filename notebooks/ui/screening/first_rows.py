"""The first rows of a sheet as they are read, so that one sees at a glance whether the columns are right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reader.catalogue.column_names import TEXTS
from reader.catalogue.columns import role_told
from reader.catalogue.values import Entry
from reader.page.parts import esc, said, told
from reader.wording import say

COUNT = 3  # rows shown
_LONGEST = 220  # characters of a cell that are shown


def first_rows(entries: Sequence[Entry]) -> str:
    """The rows as HTML, each with what was understood of it and what was not."""
    if not entries:
        return ""
    rows = "".join(_row(entry) for entry in entries)
    return f'<h4 class="quiet">{said("suppliers_first_rows")}</h4>{rows}'


def _row(entry: Entry) -> str:
    items = "".join(f"<div><dt>{esc(name)}</dt><dd>{esc(_short(text))}</dd></div>" for name, text in _cells(entry))
    remarks = "".join(f'<p class="quiet">{told(sentence)}</p>' for sentence in entry.problems)
    return f'<div class="first-row"><p>{said("suppliers_row", number=entry.row)}</p><dl>{items}</dl>{remarks}</div>'


def _cells(entry: Entry) -> Iterator[tuple[str, str]]:
    for role in ("name", *(role for role in TEXTS if role != "name")):
        text = str(getattr(entry, role))
        if text:
            yield capital(role_told(role)), text
    if entry.typed:
        basis = say(f"sheet_basis_{entry.basis}")
        yield say("suppliers_numbers", basis=basis), "; ".join(_number(role, text) for role, text in entry.typed)


def _number(role: str, text: str) -> str:
    name, unit = role_told(role), role.rpartition("_")[2]
    return f"{name} {text}" if unit in ("kcal", "kj") else f"{name} {text} {unit}"


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= _LONGEST else f"{plain[:_LONGEST].rstrip()} …"


def capital(text: str) -> str:
    """With a capital at the head."""
    return text[:1].upper() + text[1:]
