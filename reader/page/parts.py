"""The small pieces of the page: escaping, citations, tables, range bars. Strings in, HTML out."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Sequence

from reader import tables
from reader.quantities import Interval, show
from reader.wording import has, say

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:%|g|mg|kJ|kcal|°C|°F)(?!\w))")
_NO_CHARACTER = re.compile("[\x00\ud800-\udfff]")  # what HTML and UTF-8 cannot carry


def esc(text: object) -> str:
    """The text so that a browser shows it letter by letter; whatever came from a label has to pass here."""
    return html.escape(_NO_CHARACTER.sub("\ufffd", str(text)), quote=True)


def told(sentence: str) -> str:
    """A sentence of ours, escaped; a number and its unit stay on one line."""
    return _BEFORE_UNIT.sub("\u00a0", esc(sentence))


def said(key: str, **values: object) -> str:
    """The sentence `key` of lexicon/wording/, as `told`."""
    return told(say(key, **values))


class Cited:
    """The sources one page cites, numbered in the order in which they are met."""

    def __init__(self) -> None:
        self.ids: list[str] = []

    def mark(self, source: str) -> str:
        """What stands behind a sentence: a small number that leads to the list, and a word if it is not first-hand."""
        known = _sources().get(source)
        if known is None:
            return ""
        if source not in self.ids:
            self.ids.append(source)
        number = self.ids.index(source) + 1
        label = esc(say("page_mark_label", number=number, title=known["title"]))
        word = "page_mark_" + known["status"].replace(" ", "_")
        flag = f' <small class="flag">{said(word)}</small>' if has(word) else ""
        return f'<sup class="cite"><a href="#source-{number}" aria-label="{label}">{number}</a></sup>{flag}'

    def listed(self) -> str:
        """The numbered list of what was cited, each with its status."""
        items = []
        for number, source in enumerate(self.ids, 1):
            known = _sources()[source]
            status = said("page_source_" + known["status"].replace(" ", "_"))
            where = "; ".join(esc(known[k]) for k in ("publisher", "version") if known[k] != "none")
            weight = "status" if known["status"] == "read" else "status doubtful"
            items.append(f'<li id="source-{number}">{esc(known["title"])}. <span class="from">{where}.</span> '
                         f'<em class="{weight}">{status}</em></li>')  # fmt: skip
        return f'<ol class="sources">{"".join(items)}</ol>'


def _sources() -> dict[str, dict[str, str]]:
    return {s["id"]: s for s in tables.load_raw()["sources"]}


def part(name: str, body: str) -> str:
    """A section of the page with its heading; the heading is the sentence page_part_<name>."""
    return (
        f'<section class="part" aria-labelledby="part-{name}"><h2 id="part-{name}">{said(f"page_part_{name}")}</h2>'
        f'<div class="body">{body}</div></section>'
    )


def sentences(items: Iterable[tuple[str, str]], cited: Cited) -> str:
    """A list of sentences, each with the mark of its source."""
    return '<ul class="plain">' + "".join(f"<li>{told(s)}{cited.mark(source)}</li>" for s, source in items) + "</ul>"


def table(head: Sequence[str], rows: Iterable[Sequence[str]], *, caption: str = "", numbers: Sequence[int] = ()) -> str:
    """An HTML table. Cells are escaped here; `numbers` are the columns set flush right."""
    side = ['class="number"' if k in numbers else "" for k in range(len(head))]
    top = "".join(f'<th scope="col" {side[k]}>{esc(cell)}</th>' for k, cell in enumerate(head))
    body = "".join(
        "<tr>" + "".join(_cell(k, cell, side[k]) for k, cell in enumerate(row)) + "</tr>" for row in rows
    )  # fmt: skip
    name = f"<caption>{esc(caption)}</caption>" if caption else ""
    return f'<div class="wide"><table>{name}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>'


def _cell(k: int, cell: str, side: str) -> str:
    return f'<th scope="row" {side}>{esc(cell)}</th>' if k == 0 else f"<td {side}>{esc(cell)}</td>"


def details(summary: str, body: str, *, opened: bool = False) -> str:
    """Something that opens on demand, by mouse or keyboard, without script. `summary` and `body` are HTML."""
    state = " open" if opened else ""
    return f'<details class="more"{state}><summary>{summary}</summary><div class="inside">{body}</div></details>'


def between(interval: Interval, places: int = 1) -> tuple[str, str]:
    """Both ends of a range for people."""
    return show(interval.low, places), show(interval.high, places)


# -- range bars ---------------------------------------------------------------------------------------------


def range_bar(label: str, possible: Interval | None, likely: Interval | None = None, middle: float | None = None,
              *, top: float = 10.0, guess: float | None = None) -> str:  # fmt: skip
    """A range on a scale from 0 to `top`: thin line possible, thick likely, tick middle; hatched if there is none. A
    wedge above a dotted line marks what somebody guessed.
    """
    drawn = _hatching() if possible is None else _line("possible", possible, top) + _ends(possible, top)
    if likely is not None:
        drawn += _line("likely", likely, top)
    if middle is not None:
        drawn += f'<line class="middle" x1="{_at(middle, top)}" x2="{_at(middle, top)}" y1="1" y2="15"/>'
    return _bar(label, drawn if guess is None else drawn + _wedge(_share(guess, top)))


def guess_bar(label: str, guess: float | None, *, top: float = 10.0) -> str:
    """A scale from 0 to `top` with nothing on it but a guess, if there is one."""
    return _bar(label, "" if guess is None else _wedge(_share(guess, top)))


def _bar(label: str, drawn: str) -> str:
    return (
        f'<svg class="bar" role="img" aria-label="{esc(label)}" viewBox="0 0 100 16" preserveAspectRatio="none">'
        f'<line class="scale" x1="0" x2="100" y1="8" y2="8"/><line class="scale" x1="0.2" x2="0.2" y1="4" y2="12"/>'
        f'<line class="scale" x1="99.8" x2="99.8" y1="4" y2="12"/>{drawn}</svg>'
    )


def _line(kind: str, interval: Interval, top: float) -> str:
    low, high = (_share(v, top) for v in interval)
    if high - low < 1:  # a point: still something to see
        low, high = max(0.0, min(low, 99.0)), max(1.0, min(low, 99.0) + 1)
    return f'<line class="{kind}" x1="{low:.2f}" x2="{high:.2f}" y1="8" y2="8"/>'


def _ends(interval: Interval, top: float) -> str:
    """A small mark at either end, so that a thin line is seen on its scale."""
    places = (min(max(_share(v, top), 0.2), 99.8) for v in interval)
    return "".join(f'<line class="end" x1="{x:.2f}" x2="{x:.2f}" y1="4" y2="12"/>' for x in places)


def _wedge(at: float) -> str:
    sides = "".join(f'<line class="guess" x1="{x:.2f}" x2="{at:.2f}" y1="-5" y2="2"/>' for x in (at - 1, at + 1))
    return f'{sides}<line class="guess dotted" x1="{at:.2f}" x2="{at:.2f}" y1="2" y2="18"/>'


def _share(value: float, top: float) -> float:
    return 100 * value / top


def _at(value: float, top: float) -> str:
    return f"{_share(value, top):.2f}"


def _hatching() -> str:
    return "".join(f'<line class="hatch" x1="{x}" x2="{x + 2}" y1="14" y2="2"/>' for x in range(1, 98, 3))
