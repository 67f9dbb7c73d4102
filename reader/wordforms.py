"""Word forms: when two printed wordings are the same wording.

`key` folds what differs only in print: case, accents, hyphens and blanks, plural, British or American
spelling. Two wordings with one key are one name; nothing here knows what any word means.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

WORD = re.compile(r"[^\W_]+(?:['’\u00ad]+[^\W_]+)*")

# British or older spelling → the American one, as parts of a word.
_SPELLINGS = (
    ("aluminium", "aluminum"),
    ("flavour", "flavor"),
    ("colour", "color"),
    ("odour", "odor"),
    ("savour", "savor"),
    ("fibre", "fiber"),
    ("litre", "liter"),
    ("sulph", "sulf"),
    ("yoghurt", "yogurt"),
    ("yoghourt", "yogurt"),
    ("mould", "mold"),
    ("hydrolys", "hydrolyz"),
    ("autolys", "autolyz"),
    ("stabilis", "stabiliz"),
    ("pasteuris", "pasteuriz"),
    ("caramelis", "carameliz"),
    ("carmelis", "carameliz"),
    ("texturis", "texturiz"),
    ("homogenis", "homogeniz"),
    ("iodis", "iodiz"),
    ("crystallis", "crystalliz"),
    ("gelatine", "gelatin"),
    ("glycerine", "glycerin"),
    ("dextrine", "dextrin"),
    ("caseine", "casein"),
    ("sirup", "syrup"),
    ("soya", "soy"),
    ("chilli", "chili"),
)


@lru_cache(maxsize=65536)
def plain(text: str) -> str:
    """`text` in lower case without accents, ß as ss; ligatures opened."""
    if text.isascii():
        return text.lower()
    text = text.replace("\u00ad", "")
    opened = unicodedata.normalize("NFKD", text.replace("ß", "ss").replace("œ", "oe").replace("Œ", "OE"))
    return "".join(c for c in opened if not unicodedata.combining(c)).lower()


@lru_cache(maxsize=65536)
def word_key(word: str) -> str:
    """One word, folded: plain, American spelling, singular. "Flavourings" → "flavoring"."""
    folded = plain(word).replace("'", "").replace("’", "")
    for british, american in _SPELLINGS:
        if british in folded:
            folded = folded.replace(british, american)
    return _singular(folded)


def _singular(word: str) -> str:
    if len(word) < 4 or word[-1] != "s" or word[-2] in "su":
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("oes", "xes", "ches", "shes", "sses")):
        return word[:-2]
    if word.endswith("is"):
        return word
    return word[:-1]


def words(text: str) -> list[str]:
    """The words of `text` in order, `&` and `+` read as "and"."""
    return WORD.findall(text.replace("&", " and "))


@lru_cache(maxsize=65536)
def key(text: str) -> str:
    """The folded wording without blanks: equal keys mean the same name. "Non-Fat dry milk" → "nonfatdrymilk"."""
    return "".join(map(word_key, words(text)))
