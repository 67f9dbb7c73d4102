"""A whole shelf as one JSON file, and back."""

from __future__ import annotations

import json

from ui.shelf.records import PARTS, contents_of, record_of
from ui.shelf.trouble import ShelfError
from ui.shelf.values import Contents

FORM = 1  # version of the form


def as_json(contents: Contents) -> str:
    """The file: `form`, `title`, `frozen`, then each part as a list of records."""
    parts = {part: [record_of(value) for value in getattr(contents, part)] for part in PARTS}
    whole = {"form": FORM, "title": contents.title, "frozen": contents.frozen, **parts}
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def from_json(text: str) -> Contents:
    """What such a file says. ShelfError if it is none, or is of a newer form, or an entry cannot be kept."""
    try:
        whole = json.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError) as error:
        raise ShelfError("import_unreadable") from error
    if not isinstance(whole, dict) or type(whole.get("form")) is not int:
        raise ShelfError("import_unreadable")
    if whole["form"] > FORM:
        raise ShelfError("import_newer")
    parts = {part: whole.get(part, []) for part in PARTS}
    if not all(isinstance(entries, list) and all(isinstance(e, dict) for e in entries) for entries in parts.values()):
        raise ShelfError("import_unreadable")
    numbered = {part: tuple(enumerate(entries, 1)) for part, entries in parts.items()}
    return contents_of(whole.get("title", ""), whole.get("frozen", False), numbered)
