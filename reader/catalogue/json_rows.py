"""JSON as a table: one product a line (JSON lines, ndjson), one list of products, or a list inside an object."""

from __future__ import annotations

import codecs
import itertools
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reader.catalogue.encodings import Encoding, recoded
from reader.catalogue.lines import lines
from reader.catalogue.records import Record
from reader.catalogue.settings import guessing, limit
from reader.catalogue.sources import Source
from reader.catalogue.trouble import refusal
from reader.wording import say

LINES, LIST, INSIDE = "lines", "list", "inside"
_BLANK = " \t\r\n"
_BETWEEN = frozenset(_BLANK + ",")
_DEEPEST = 4  # levels of objects whose keys become names of columns


@dataclass(frozen=True, slots=True)
class JsonRows:
    """Products in JSON. names: keys of the first ones, in the order they came; a later key names its own cell."""

    source: Source
    encoding: Encoding
    shape: str
    names: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    form: str = "json"
    sheet: str = ""

    def records(self) -> Iterator[Record]:
        """Every product, or what stood in its place with a problem. Rows are lines, or places in the list."""
        place = {name: k for k, name in enumerate(self.names)}
        for row, value, problem in self._values():
            cells, named = [""] * len(self.names), []
            problems = [problem] if problem else []
            if isinstance(value, dict):
                most = limit("cell_characters")
                for name, text in _flat(value):
                    if len(text) > most:
                        problems.append(say("row_value_cut", name=name[:80], count=f"{len(text):,}", most=f"{most:,}"))
                    if name in place:
                        cells[place[name]] = text[:most]
                    else:
                        named.append((name, text[:most]))
            else:
                problems = problems or [say("row_no_object")]
                named.append((say("catalogue_whole_row"), value if isinstance(value, str) else _text(value)))
            yield Record(row, cells, tuple(problems), tuple(named))

    def _values(self) -> Iterator[tuple[int, Any, str]]:
        if self.shape == LINES:
            return _of_lines(self.source, self.encoding)
        if self.shape == LIST:
            return _of_list(self.source, self.encoding)
        return ((row, value, "") for row, value in enumerate(_inside(self.source, self.encoding), 1))


def json_rows(source: Source, encoding: Encoding) -> JsonRows | None:
    """The table in a JSON file; None if the text is no JSON. Raises TableError if no products are in it."""
    start = next(iter(lines(source, encoding)), None)
    first = start.text.lstrip("\ufeff" + _BLANK) if start else ""
    head = next(recoded(source, encoding.name, encoding.skip), b"").lstrip(b" \t\r\n\xef\xbb\xbf")[:1]
    if head not in (b"{", b"["):
        return None
    if head == b"[":
        shape = LINES if _is_list_of_cells(first) else LIST
    else:
        shape = LINES if _is_product(_parsed(first.strip())) or _second_begins(source, encoding) else INSIDE
    if head == b"[" and not _looks_like_json(source, encoding):
        return None
    table = JsonRows(source, encoding, shape)
    names: dict[str, None] = {}
    try:
        for record in itertools.islice(table.records(), int(guessing("sample_rows"))):
            names.update(dict.fromkeys(name for name, _ in record.named if name != say("catalogue_whole_row")))
    except RecursionError as error:
        raise refusal("json", file=source.name) from error
    if not names:
        raise refusal("json", file=source.name)
    if len(names) > limit("columns"):
        raise refusal("columns", file=source.name, count=f"{len(names):,}", row=1, most=f"{limit('columns'):,}")
    return JsonRows(source, encoding, shape, tuple(names))


def _is_list_of_cells(first: str) -> bool:
    value = _parsed(first.strip())
    return isinstance(value, list) and bool(value) and not any(isinstance(v, dict) for v in value)


def _looks_like_json(source: Source, encoding: Encoding) -> bool:
    """A table may begin with a bracket, too: what follows it must be a value."""
    head = next(recoded(source, encoding.name, encoding.skip), b"").lstrip(b" \t\r\n\xef\xbb\xbf[")[:1]
    return head in (b"{", b"]", b'"')


def _is_product(value: Any) -> bool:
    """Whether a value is one product and not an object around a list of them."""
    return isinstance(value, dict) and not any(True for _ in _lists(value, 0))


def _second_begins(source: Source, encoding: Encoding) -> bool:
    """Whether the second line begins an object of its own, so that a broken first one is a broken row."""
    first_two = [line.text.strip() for line in itertools.islice(lines(source, encoding), 2)]
    return len(first_two) == 2 and len(first_two[0]) > 1 and first_two[1].startswith("{")


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


# -- the three shapes ---------------------------------------------------------------------------------------


def _of_lines(source: Source, encoding: Encoding) -> Iterator[tuple[int, Any, str]]:
    for row, line in enumerate(lines(source, encoding), 1):
        text = line.text.strip("\ufeff" + _BLANK)
        if not text:
            continue
        value = _parsed(text)
        problem = ""
        if value is None:
            problem = say("row_line_cut", most=f"{limit('line_bytes'):,}") if line.cut else say("row_no_json")
        elif line.odd:
            problem = say("row_encoding", encoding=encoding.fallback_told, usual=encoding.told)
        yield row, text[:1000] if value is None else value, problem


def _of_list(source: Source, encoding: Encoding) -> Iterator[tuple[int, Any, str]]:
    """The values of one long list, of which no more is held than a piece of the file and the value being read."""
    decoder, pieces = json.JSONDecoder(), _texts(source, encoding)
    text = next(pieces, "").lstrip("\ufeff" + _BLANK).removeprefix("[")
    at = row = 0
    while True:
        while at < len(text) and text[at] in _BETWEEN:
            at += 1
        try:
            value, end = decoder.raw_decode(text, at)
            whole = end < len(text) or isinstance(value, dict | list)  # a number may go on in the next piece
        except (ValueError, RecursionError):
            whole = False
        if whole:
            row += 1
            yield row, value, ""
            at = end
        elif text.startswith("]", at):
            return
        else:
            text, at = text[at:], 0
            piece = next(pieces, "") if len(text) <= limit("line_bytes") else ""
            if not piece:
                yield row + 1, text[:1000], say("row_list_broken")
                return
            text += piece


def _texts(source: Source, encoding: Encoding) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder("utf-8" if encoding.name.startswith("utf") else encoding.name)("replace")
    for piece in recoded(source, encoding.name, encoding.skip):
        yield decoder.decode(piece)


def _inside(source: Source, encoding: Encoding) -> Sequence[Any]:
    """The longest list of objects in one object, wherever it stands."""
    if source.size() > limit("object_file_bytes"):
        most = limit("object_file_bytes") // 10**6
        raise refusal("json_large", file=source.name, size=f"{source.size() // 10**6:,}", most=most)
    value = _parsed("".join(_texts(source, encoding)))
    if not isinstance(value, dict):
        raise refusal("json", file=source.name)
    return max(_lists(value, 0), key=len, default=[value])


def _lists(value: Any, depth: int) -> Iterator[list[Any]]:
    if depth > _DEEPEST:
        return
    if isinstance(value, list):
        if value and all(isinstance(v, dict) for v in value):
            yield value
        return
    if isinstance(value, dict):
        for child in value.values():
            yield from _lists(child, depth + 1)


# -- values as cells ----------------------------------------------------------------------------------------


def _flat(value: dict[str, Any], above: str = "", depth: int = 0) -> Iterator[tuple[str, str]]:
    """Names and texts of an object; the keys of objects in it are joined with a full stop."""
    for key, child in value.items():
        name = f"{above}.{key}" if above else key
        if isinstance(child, dict) and child and depth < _DEEPEST:
            yield from _flat(child, name, depth + 1)
        else:
            yield name, _text(child)


def _text(value: Any) -> str:
    """A value as a cell: lists with commas, as statements are printed; numbers as they stand."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return ", ".join(map(_text, value))
    if isinstance(value, dict):
        return "; ".join(f"{key}: {_text(child)}" for key, child in value.items())
    return f"{value:.15g}" if isinstance(value, float) else str(value)
