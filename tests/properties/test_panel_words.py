"""Law of panels: nothing vanishes. Every word and number of a pasted panel is in a row, a heading or shown as left."""

from __future__ import annotations

import re

from hypothesis import example, given, settings
from hypothesis import strategies as st

from reader import tables
from reader.page.panel import panel as shown_panel
from reader.panel.reading import Panel, read_panel
from reader.panel.text import fold
from reader.pipeline import MARKETS, read_label
from tests.shown import Shown

WORDS = tables.load_raw()["panel_words"]
ROWS = [(n, names[0]) for n, names in WORDS["nutrients"].items() if n not in ("__line__", "vitamin_a", "vitamin_c")]
UNITS = {"energy": " kJ", "energy_kcal": " kcal", "energy_kj": " kJ"}
JUNK = [
    "blorp",
    "4B0mg",
    "QX",
    "7 IU",
    "Sodlvm",
    "%%",
    "??",
    "3",
    "1S g",
    "l7O",
    "Fat",
    "5OO",
    "0.5.5 g",
    "<",
    "Brand of the day",
]


def row(nutrient: str, name: str, value: int) -> str:
    return f"{name.title()} {value}{UNITS.get(nutrient, ' ' + nutrient.rsplit('_', 1)[-1])}"


one_row = st.builds(lambda r, v: row(*r, v), st.sampled_from(ROWS), st.integers(0, 900))
rows = st.lists(one_row, min_size=1, max_size=9)
# The same row with the same number again is no news and may be passed over; with another number it is left.
pieces = st.lists(st.one_of(one_row, st.sampled_from(JUNK)), min_size=1, max_size=40, unique=True)
TITLES = ("Nutrition Facts Serving size 1 link (45g)", "Nutrition information per 100 g", "")


def covered(panel: Panel) -> list[tuple[int, int]]:
    """Where something was made of the text, and where it is said that nothing was."""
    spans = [a.span for column in panel.columns for a in column.amounts]
    spans += [span for _, _, span in panel.daily_percents]
    spans += [panel.serving_span, *panel.left]
    return [(s.start, s.end) for s in spans if s]


def passed_over(text: str) -> list[tuple[int, int]]:
    """Rows that are known and not kept, such as "calories from fat 100 kcal"."""
    names = "|".join(r"\W+".join(map(re.escape, name.split())) for name in WORDS["unused_rows"])
    return [m.span() for m in re.finditer(rf"\b(?:{names})\W+\d+", text.lower())]


@settings(max_examples=300, deadline=None)
@example(TITLES[0], ["Fat", "Calories 0 kcal", "Energy 0 kJ"], " ", "US")
@given(st.sampled_from(TITLES), pieces, st.sampled_from([" ", "\n", ", "]), st.sampled_from(MARKETS))
def test_every_word_of_a_panel_is_in_a_row_a_heading_or_left(
    title: str, parts: list[str], by: str, market: str
) -> None:
    text = by.join([title, *parts])
    panel = read_panel(text, market)
    if panel.empty:
        return  # then nothing at all was read, which is said
    known = {w for names in _wordings() for name in names for w in re.findall(r"\w+", fold(name))}
    places = covered(panel) + passed_over(text)
    for found in re.finditer(r"\w+", text):
        word, inside = found[0], any(a < found.end() and found.start() < b for a, b in places)
        if any(c.isdigit() for c in word) and not (
            text[found.start() - 4 : found.end()].endswith("per 100") or title.find(word) > 0
        ):
            assert inside, (word, text)
        elif not any(c.isdigit() for c in word):
            assert inside or fold(word) in known, (word, text)


def _wordings() -> list[list[str]]:
    sections = [v for v in WORDS.values() if isinstance(v, list)]  # small words among them
    return [*sections, *(v for key in ("nutrients", "units") for v in WORDS[key].values() if isinstance(v, list))]


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(TITLES[:2]), rows, st.sampled_from(["4B0mg", "blorp", "7 IU", "Qx 12"]), st.integers(0, 9))
def test_what_is_left_is_shown_on_the_page(title: str, lines: list[str], junk: str, at: int) -> None:
    """A word nobody understands stands, letter by letter, in the part about the panel."""
    text = "\n".join([title, *lines[:at], junk, *lines[at:]])
    report = read_label("Ingredients: pork, water, salt.", text, depth="order")
    if report.panel.empty:
        return
    left = [span.of(text) for span in report.panel.left]
    shown = " ".join(Shown(shown_panel(report)).text.split())
    assert any(junk in piece for piece in left) or at >= len(lines)  # behind the last row it is no part of the panel
    assert all(" ".join(piece.split()) in shown for piece in left)
