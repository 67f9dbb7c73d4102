"""Which part of which box is what: a person may paste the whole label into any of them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from reader.panel.reading import find_panel
from reader.pasted import clean

MOST = 200_000  # house: characters of one box that are read; a real label has under ten thousand
_HEADING = re.compile(r"\bingr[eé]dients?\b|\bingredientes\b|\bzutaten\b", re.I)


@dataclass(frozen=True, slots=True)
class Paste:
    """The boxes cleaned and sorted. Places in `statement` and `panel` are places in the box of that name."""

    statement: str  # clean text of the statement, the panel in it blanked out
    statement_box: str
    panel: str  # clean text of the panel
    panel_box: str
    name: str
    cut: tuple[str, ...] = ()  # boxes that were too long to be read whole


def sort(statement: str, panel: str, name: str) -> Paste:
    """Find the statement and the panel in whatever box they were pasted."""
    texts = {"statement": statement, "panel": panel, "name": name}
    cut = tuple(box for box, text in texts.items() if len(text) > MOST)
    boxes = {box: clean(text[:MOST]) for box, text in texts.items()}
    found = {box: find_panel(text) if text.strip() else None for box, text in boxes.items()}
    panel_box = "panel" if boxes["panel"].strip() and (found["panel"] or not _is_statement(boxes["panel"])) else ""
    panel_box = panel_box or next((box for box in ("statement", "name") if found[box]), "panel")
    rest = {box: _without(text, found[box]) for box, text in boxes.items()}
    statement_box = "statement"
    if not rest["statement"].strip():
        statement_box = next((box for box in ("panel", "name") if _is_statement(rest[box])), "statement")
    where = found[panel_box]
    alone = panel_box == "panel" and (not where or statement_box != "panel")  # words beside the panel are told of, too
    panel_text = boxes[panel_box] if alone else _only(boxes[panel_box], where)
    if statement_box == "panel" and not where:
        panel_text = ""
    title = "" if statement_box == "name" else boxes["name"]
    return Paste(rest[statement_box], statement_box, panel_text, panel_box, title, cut)


def _is_statement(text: str) -> bool:
    """Whether a text that was put into another box looks like an ingredient list."""
    return bool(_HEADING.search(text)) or text.count(",") >= 3


def _without(text: str, place: tuple[int, int] | None) -> str:
    """The text with a place blanked out, its length kept; a line break stands for what is gone."""
    if place is None:
        return text
    start, end = place
    return text[:start] + "\n" + " " * (end - start - 1) + text[end:] if end > start else text


def _only(text: str, place: tuple[int, int] | None) -> str:
    """The text with everything but a place blanked out."""
    if place is None:
        return ""
    start, end = place
    return re.sub(r"[^\n]", " ", text[:start]) + text[start:end]
