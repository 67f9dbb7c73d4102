"""Reads HTML as a visitor would: which elements and links it holds, and the text without what the page added."""

from __future__ import annotations

from html.parser import HTMLParser

_EMPTY = {"meta", "line", "br", "img", "link", "input"}


class Shown(HTMLParser):
    """`text` of everything but elements of class "added", `elements` with their attributes, `marks`: texts of <mark>."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, bool, str]] = []  # tag, whether its text is added by the page, its classes
        self.text, self.elements = "", list[tuple[str, dict[str, str]]]()
        self.marks, self.roles, self.words = list[str](), list[str](), list[str]()
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = {k: v or "" for k, v in attrs}
        self.elements.append((tag, known))
        if tag in _EMPTY:
            return
        classes = known.get("class", "")
        hidden = "added" in classes.split() or (bool(self.open) and self.open[-1][1])
        self.open.append((tag, hidden, classes))
        self.marks += [""] if tag == "mark" else []
        self.roles += [""] if classes == "role added" else []
        self.words += [""] if classes.startswith("word ") and not hidden else []

    def handle_endtag(self, tag: str) -> None:
        if tag not in _EMPTY:
            assert self.open, f"</{tag}> closes nothing"
            assert self.open[-1][0] == tag, f"</{tag}> closes <{self.open[-1][0]}>"
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if not (self.open and self.open[-1][1]):
            self.text += data
        for tag, hidden, classes in self.open:
            if tag == "mark":
                self.marks[-1] += data
            if classes == "role added":
                self.roles[-1] += data
            if classes.startswith("word ") and not hidden:
                self.words[-1] += data


EVIL = (
    'INGREDIENTS: PORK, <script>window.attacked = 1</script> BEEF, <img src=x onerror="window.attacked = 2">, '
    'SALT (<svg onload=window.attacked=3>, WATER"\'><b onmouseover=window.attacked=4>, <a href="javascript:window.attacked=5">spices</a>, '
    "{{constructor}}, &lt;script&gt;, </textarea></style></details>, QWXZV."
)
EVIL_PANEL = "Nutrition Facts <script>window.attacked = 6</script> Serving size 1 <img src=x onerror=window.attacked=7> (45g) Calories 130 Total Fat 11g Sodium 480mg Protein 5g"
EVIL_NAME = "Franks <img src=x onerror=window.attacked=8></title><script>window.attacked = 9</script>"
