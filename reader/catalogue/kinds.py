"""What a file is by its content, whatever its name ends in."""

from __future__ import annotations

import codecs
import re
import zipfile

from reader.catalogue.encodings import has_two_bytes
from reader.catalogue.sources import Source
from reader.catalogue.trouble import refusal

TEXT, WORKBOOK = "text", "workbook"

_HEAD = 65_536
_OLD_OFFICE = bytes.fromhex("d0cf11e0a1b11ae1")  # compound file: old workbooks, and new ones under a password
_LOCKED = "EncryptedPackage".encode("utf-16-le")
_LOCKED_WITHIN = 8_000_000  # bytes in which the directory of a compound file is looked for
_BEGINNINGS = (
    (b"%PDF", "pdf"), (b"\x1f\x8b", "archive"), (b"7z\xbc\xaf", "archive"), (b"Rar!", "archive"), (b"BZh", "archive"),
    (b"\xfd7zXZ", "archive"), (b"\x28\xb5\x2f\xfd", "archive"), (b"\x89PNG", "picture"), (b"\xff\xd8\xff", "picture"),
    (b"GIF8", "picture"), (b"II*\x00", "picture"), (b"MM\x00*", "picture"), (b"{\\rtf", "document"),
)  # fmt: skip
_PARTS = (
    ("xl/workbook.bin", "binary_workbook"),
    ("word/document.xml", "document"),
    ("ppt/presentation.xml", "document"),
)
_MARKUP = re.compile(rb"^\s*(<!doctype html|<html|<table|<meta|<\?xml)", re.I)
_BOMS = (codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_CONTROLS = bytes({*range(9), 11, *range(14, 32), 127} - {0x1A})  # 0x1A ends files of old systems
_MOST_CONTROLS = 0.02  # share of bytes that no text has


def kind_of(source: Source) -> str:
    """TEXT or WORKBOOK. Raises TableError with what it is instead: empty, binary, PDF, an old or locked workbook …"""
    with source.open() as file:
        head = file.read(_HEAD)
        if not head.strip(b" \t\r\n\x00\xef\xbb\xbf\xff\xfe") and not file.read(1):
            raise refusal("empty", file=source.name)
        if head.startswith(_OLD_OFFICE):
            locked = _LOCKED in head or _LOCKED in file.read(_LOCKED_WITHIN)
            raise refusal("locked" if locked else "old_workbook", file=source.name)
    if head.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _zipped(source)
    for beginning, kind in _BEGINNINGS:
        if head.startswith(beginning):
            raise refusal(kind, file=source.name)
    if _MARKUP.match(head.removeprefix(codecs.BOM_UTF8)):
        raise refusal("markup", file=source.name)
    if not _is_text(head):
        raise refusal("binary", file=source.name)
    return TEXT


def _zipped(source: Source) -> str:
    try:
        with source.open() as file, zipfile.ZipFile(file) as archive:
            names = set(archive.namelist())
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        raise refusal("broken_workbook", file=source.name) from error
    if "xl/workbook.xml" in names:
        return WORKBOOK
    for part, kind in _PARTS:
        if part in names:
            raise refusal(kind, file=source.name)
    if "mimetype" in names and "content.xml" in names:
        raise refusal("open_document", file=source.name)
    if "[Content_Types].xml" in names:
        raise refusal("broken_workbook", file=source.name)
    raise refusal("archive", file=source.name)


def _is_text(head: bytes) -> bool:
    if head.startswith(_BOMS):
        return True
    return has_two_bytes(head) or len(head) - len(head.translate(None, _CONTROLS)) <= _MOST_CONTROLS * len(head)
