"""A whole HTML file round a body: styles inside, no script, nothing from another host, made to be printed."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from reader.page.page import styles
from reader.page.parts import esc


def sheet(title: str, body: str, *, kind: str = "") -> str:
    """The file; `body` is HTML, `kind` a class that tells sheets.css what is printed."""
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        # Even if something slipped through: the browser loads and runs nothing.
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f"<title>{esc(title)}</title><style>{styles()}{sheet_styles()}</style></head>"
        f'<body><main class="sheet {kind}">{body}</main></body></html>\n'
    )


@lru_cache(maxsize=1)
def sheet_styles() -> str:
    """What comparisons and worksheets add to the style sheet of the page."""
    return Path(__file__).with_name("sheets.css").read_text(encoding="utf-8")
