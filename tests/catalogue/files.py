"""Files as suppliers send them, and worse, made on the spot: bytes by name. Products and suppliers are invented."""

from __future__ import annotations

import io
import json
import random
import struct
import zipfile
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Font

from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.sources import uploaded

HEADER = ["Product name", "Ingredients", "Price", "Salt (g/100g)"]
ROWS = [
    ["Harbour Frankfurter", "Pork, water, salt, spices, sodium nitrite", "4.99 USD", "1.8"],
    ["Meadow Wiener", "Beef, water, salt, dextrose, garlic", "5.49 USD", "2.1"],
    ["Orchard Bratwurst", "Pork, veal, water, salt, nutmeg", "6.20 USD", "1.6"],
]
OLD_OFFICE = bytes.fromhex("d0cf11e0a1b11ae1")


def catalogue_of(name: str, data: bytes | str) -> Catalogue:
    return open_catalogue([uploaded(name, data.encode() if isinstance(data, str) else data)])


def texts(catalogue: Catalogue) -> list[list[str]]:
    """The cells of every entry, as they stood."""
    return [[cell for _, cell in entry.cells] for entry in catalogue.entries()]


def delimited(rows: Iterable[Sequence[str]] = (HEADER, *ROWS), delimiter: str = ",") -> str:
    """Delimited text in which every cell stands between quotation marks."""
    return "".join(delimiter.join('"' + c.replace('"', '""') + '"' for c in row) + "\r\n" for row in rows)


def workbook(sheets: dict[str, Sequence[Sequence[Any]]] | None = None) -> bytes:
    book = Workbook()
    book.remove(book.active)
    for title, rows in (sheets or {"List": [HEADER, *ROWS]}).items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
    return saved(book)


def saved(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def merged_workbook() -> bytes:
    """A letterhead over merged cells, a supplier merged over two rows, a heading in bold."""
    book = Workbook()
    sheet = book.active
    sheet["A1"] = "Spring list"
    sheet.merge_cells("A1:D1")
    for k, row in enumerate(
        [["Supplier", *HEADER], ["Harbour Foods", *ROWS[0]], ["", *ROWS[1]], ["Orchard Lane", *ROWS[2]]], 3
    ):
        for column, cell in enumerate(row, 1):
            sheet.cell(k, column, cell or None).font = Font(bold=k == 3)
    sheet.merge_cells("A4:A5")
    return saved(book)


def with_part(part: str, content: bytes, data: bytes | None = None) -> bytes:
    """A workbook in which one part is replaced."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data or workbook())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new,
    ):
        for info in old.infolist():
            new.writestr(info.filename, content if info.filename == part else old.read(info))
        if part not in old.namelist():
            new.writestr(part, content)
    return out.getvalue()


def part_of(data: bytes, part: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read(part)


def bomb(size: int = 60_000_000) -> bytes:
    """A workbook of some hundred kilobytes that unpacks to `size` bytes."""
    return with_part("xl/worksheets/sheet1.xml", b" " * size)


def lying_bomb() -> bytes:
    """The same, with a directory that says the sheet unpacks to a thousand bytes."""
    data = bytearray(bomb(30_000_000))
    at = data.rfind(b"PK\x01\x02")
    while at >= 0:
        length = struct.unpack_from("<H", data, at + 28)[0]
        if data[at + 46 : at + 46 + length] == b"xl/worksheets/sheet1.xml":
            struct.pack_into("<I", data, at + 24, 1000)
        at = data.rfind(b"PK\x01\x02", 0, at)
    return bytes(data)


def archive_with(*parts: str, mimetype: str = "") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for part in parts:
            archive.writestr(part, mimetype if part == "mimetype" else "<x/>")
    return out.getvalue()


_SHEET = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>%b</sheetData></worksheet>'


def sheet_xml(rows: bytes) -> bytes:
    return _SHEET % rows


def _entities() -> bytes:
    levels = "".join(f'<!ENTITY a{k + 1} "{f"&a{k};" * 10}">' for k in range(9))
    return f'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a0 "salt">{levels}]>'.encode() + sheet_xml(
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>&a9;</t></is></c></row>'
    )


def _outside() -> bytes:
    return b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/hostname">]>' + sheet_xml(
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>&x;</t></is></c></row>'
    )


def _many_columns() -> str:
    return ",".join(f"c{k}" for k in range(10_000)) + "\n" + ",".join("1" * 10_000) + "\n"


def _far_row() -> bytes:
    cells = b"".join(
        b'<c r="%c1" t="inlineStr"><is><t>%b</t></is></c>' % (65 + k, h.encode()) for k, h in enumerate(HEADER)
    )
    rows = b'<row r="1">%b</row><row r="999999999"><c r="A999999999"><v>1</v></c></row>' % cells
    return with_part("xl/worksheets/sheet1.xml", sheet_xml(rows))


@lru_cache(maxsize=1)
def broken() -> dict[str, bytes]:
    """Files that cannot be read as tables, or only with trouble, by a name that says what is wrong."""
    noise = random.Random(4).randbytes(300_000)
    whole = workbook()
    return {
        "empty.csv": b"",
        "blank.csv": b" \r\n\r\n \t\r\n",
        "only_a_mark.csv": b"\xef\xbb\xbf",
        "noise.csv": noise,
        "noise.xlsx": b"PK\x03\x04" + noise,
        "page.pdf": b"%PDF-1.7\n" + noise,
        "old.xls": OLD_OFFICE + noise,
        "locked.xlsx": OLD_OFFICE + bytes(3000) + "EncryptedPackage".encode("utf-16-le") + noise,
        "list.ods": archive_with("mimetype", "content.xml", mimetype="application/vnd.oasis.opendocument.spreadsheet"),
        "letter.docx": archive_with("[Content_Types].xml", "word/document.xml"),
        "list.xlsb": archive_with("[Content_Types].xml", "xl/workbook.bin"),
        "lists.zip": archive_with("a.csv", "b.csv"),
        "packed.csv.gz": b"\x1f\x8b\x08" + noise,
        "photo.csv": b"\x89PNG\r\n\x1a\n" + noise,
        "page.xls": b"<html><body><table><tr><td>Ingredients</td></tr></table></body></html>",
        "cut_off.xlsx": whole[: len(whole) * 2 // 3],
        "empty.xlsx": workbook({"List": []}),
        "bomb.xlsx": bomb(),
        "lying_bomb.xlsx": lying_bomb(),
        "entities.xlsx": with_part("xl/worksheets/sheet1.xml", _entities()),
        "outside.xlsx": with_part("xl/worksheets/sheet1.xml", _outside()),
        "entities_of_two_bytes.xlsx": with_part("xl/worksheets/sheet1.xml", _entities().decode().encode("utf-16")),
        "no_xml.xlsx": with_part("xl/worksheets/sheet1.xml", b"<worksheet"),
        "no_workbook.xlsx": with_part("xl/workbook.xml", b"<x"),
        "columns.csv": _many_columns().encode(),
        "columns.xlsx": workbook({"List": [[f"c{k}" for k in range(10_000)], [1] * 10_000]}),
        "object.json": json.dumps({"note": "no list here", "count": 3}, indent=1).encode()[:-1],
        "numbers.json": b'{"numbers": [1, 2',
    }


def _damaged_below() -> bytes:
    """A sheet whose last row has lost its end."""
    sheet = part_of(workbook(), "xl/worksheets/sheet1.xml")
    return sheet[: sheet.rfind(b"<c ")] + b"<c"


@lru_cache(maxsize=1)
def troubled() -> dict[str, bytes]:
    """Files that hold rows beside something harmful or broken; the rows must come out."""
    table = delimited()
    big = random.Random(5).randbytes(25_000_000).hex()
    return {
        "large_cell.csv": (table + f'Big,"{big}",1 USD,1\r\n' + 'Last,"Pork, salt",2 USD,1\r\n').encode(),
        "large_cell.xlsx": with_part(
            "xl/worksheets/sheet1.xml",
            sheet_xml(
                b'<row r="1"><c t="inlineStr"><is><t>Product name</t></is></c><c t="inlineStr"><is><t>Ingredients</t></is></c></row>'
                b'<row r="2"><c t="inlineStr"><is><t>Big</t></is></c><c t="inlineStr"><is><t>'
                + big.encode()
                + b"</t></is></c></row>"
                b'<row r="3"><c t="inlineStr"><is><t>Last</t></is></c><c t="inlineStr"><is><t>Pork, salt</t></is></c></row>'
            ),
        ),
        "open_quote.csv": (
            table + '"Open,Pork salt,1 USD,1\r\n' + "".join(f"Row {k},Pork salt,1 USD,1\r\n" for k in range(20_000))
        ).encode(),
        "open_quotes.csv": (table + "".join(f'"Row {k},Pork salt,1 USD,1\r\n' for k in range(5_001))).encode(),
        "no_ends.csv": (table + "Pork salt " * 3_000_000).encode(),
        "zeros.csv": table.encode() + b"Zero\x00,Pork\x00 salt,1 USD,1\r\n",
        "damaged_below.xlsx": with_part("xl/worksheets/sheet1.xml", _damaged_below()),
        "far_row.xlsx": _far_row(),
        "damaged.jsonl": (
            json.dumps(dict(zip(HEADER, ROWS[0], strict=True)))
            + "\n{broken\n"
            + json.dumps(dict(zip(HEADER, ROWS[1], strict=True)))
            + "\n"
        ).encode(),
        "damaged.json": (json.dumps([dict(zip(HEADER, r, strict=True)) for r in ROWS])[:-30]).encode(),
        "deep.json": ("[" + json.dumps(dict(zip(HEADER, ROWS[0], strict=True))) + "," + "[" * 100_000).encode(),
    }


FORMS_FOR_DOORS: dict[str, bytes | str] = {
    "comma.csv": delimited(),
    "two_bytes.csv": delimited(delimiter=";").encode("utf-16"),
    "book.xlsx": workbook(),
    "lines.jsonl": "\n".join(json.dumps(dict(zip(HEADER, row, strict=True))) for row in ROWS),
}
