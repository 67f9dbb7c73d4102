"""The pasted text made readable without moving a single place.

`clean` returns a text of exactly the same length in which what is no word has been replaced in its place: HTML tags
by blanks, entities by their letter, broken encodings by the letter that was meant, odd quotes and blanks by plain
ones, a hyphen at the end of a line by soft hyphens that join the word. So a place found in the clean text is the
place in the text as pasted.
"""

from __future__ import annotations

import html
import re
import unicodedata

SOFT = "\u00ad"  # fills a place inside a word; no word form and no comparison ever sees it

_TAG = re.compile(r"</?[a-zA-Z][^<>]{0,400}>")
_ENTITY = re.compile(r"&(?:#\d{1,7}|#[xX][0-9a-fA-F]{1,6}|[a-zA-Z][a-zA-Z0-9]{1,30});")
_MANGLED = re.compile(r"[ÂÃâÅÄ€ƒ‚„…†‡ˆ‰Š‹ŒŽ•–—˜™š›œžŸ¡-¿\u0080-\u009f]{2,}")
_BROKEN_WORD = re.compile(r"(?<=[A-Za-z])-[ \t]*\r?\n[ \t]*(?=[A-Za-z])")
_PLAIN = str.maketrans(
    {
        "\u00a0": " ", "\u2009": " ", "\u200a": " ", "\u202f": " ", "\u2007": " ", "\u3000": " ", "\t": " ",
        "\u200b": " ", "\u200c": " ", "\u200d": " ", "\u2060": " ", "\ufeff": " ", "\ufffd": " ",
        "\u2018": "'", "\u2019": "'", "\u201a": "'", "\u2032": "'", "\u00b4": "'", "`": "'",
        "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u00ab": '"', "\u00bb": '"',
        "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2212": "-",
        "\u2022": "•", "\u00b7": "•", "\u25cf": "•", "\u25aa": "•", "\u2023": "•", "\u2219": "•", "\u2666": "•",
        "，": ",", "、": ",", "；": ";", "：": ":", "（": "(", "）": ")", "％": "%",
        "≤": "<", "≥": ">", "．": ".", "\u066a": "%",
        "【": "[", "】": "]", "⁎": "*", "∗": "*", "＊": "*", "\x0b": " ", "\x0c": "\n", "\r": " ", "\u2028": "\n",
        "\u2029": "\n", "\u0085": "\n",
    }
)  # fmt: skip


def clean(pasted: str) -> str:
    """The same text with the same length, every character that is no letter of a label replaced in place."""
    text = pasted
    if "<" in text:
        text = _TAG.sub(lambda m: " " * len(m[0]), text)
    if "&" in text:
        text = _ENTITY.sub(lambda m: _fill(html.unescape(m[0]), m[0]), text)
    if not text.isascii():
        text = _MANGLED.sub(_repaired, text).translate(_PLAIN)
        text = "".join(map(_one_letter, text)) if not text.isascii() else text
    else:
        text = text.translate(_PLAIN)
    if "\n" in text:
        text = _BROKEN_WORD.sub(lambda m: SOFT * len(m[0]), text)
    return text


def _fill(meant: str, printed: str) -> str:
    """What was meant, padded to the length of what was printed: inside a word softly, else with blanks."""
    if len(meant) > len(printed):
        return " " * len(printed)
    return meant.ljust(len(printed), SOFT if meant[-1:].isalpha() or meant in "'’" else " ")


def _repaired(found: re.Match[str]) -> str:
    import ftfy  # 40 ms; only for texts that came through a wrong encoding

    printed = found[0]
    meant = ftfy.fix_encoding(printed)
    return printed if meant == printed else _fill(meant, printed)


def _one_letter(letter: str) -> str:
    """Full-width and other compatibility forms as the plain letter, where that is one letter."""
    if letter < "\u0250" or letter in "•™®©†‡¹²³":
        return letter
    folded = unicodedata.normalize("NFKC", letter)
    return folded if len(folded) == 1 else letter
