"""The pasted words around a place, the place itself marked."""

from __future__ import annotations

from reader.page.parts import esc, said
from reader.report import Report
from reader.spans import Span
from reader.wording import say

_AROUND = 48  # characters shown on either side of a place


def quoted(report: Report, span: Span) -> str:
    """The pasted words around a place, on its own line; "" if nothing was pasted into its box."""
    start, end, box = span
    text = report.box(box)
    if not text.strip():
        return ""
    if end - start > 4 * _AROUND:  # about the whole text: its beginning is enough
        whole = said("page_problem_whole")
        return f"<blockquote><span>{whole}</span> {esc(text[start : start + _AROUND])}…</blockquote>"
    head = text[max(0, start - _AROUND) : start].rsplit("\n", 1)[-1]
    tail = text[end : end + _AROUND].split("\n", 1)[0]
    before = "…" if text[: start - len(head)].strip() else ""
    after = "…" if text[end + len(tail) :].strip() else ""
    where = said("page_problem_place", box=say(f"page_box_{box}"), start=start + 1)
    return (
        f"<blockquote>{before}{esc(head)}<mark>{esc(text[start:end] or '‸')}</mark>{esc(tail)}{after} "
        f"<span>{where}</span></blockquote>"
    )
