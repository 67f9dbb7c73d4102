"""The head of a phrase: a known name inside words that are not all known, if it may stand for the whole phrase."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

from reader.allergen_words import allergens_in
from reader.naming.names import names
from reader.naming.words import Match, Words
from reader.phrases import book
from reader.tables import Entry

_PREPOSITIONS = frozenset(
    [
        "with",
        "in",
        "for",
        "from",
        "of",
        "on",
        "without",
        "by",
        "made",
        "added",
        "per",
        "to",
        "containing",
        "using",
        "based",
    ]
)
_LEAST_OF_PHRASE = 34.0  # house: share of a phrase's letters a known name must make up to stand for it
_LONGEST = 9  # words in the longest wording looked up inside a phrase
_PROSE = 6  # house: a name has no more words than this; longer phrases are sentences
_ANIMAL = frozenset(("meat", "mechanically_separated", "fat", "by_product", "fish"))
_FROM_ANIMALS = _ANIMAL | {"egg", "dairy", "broth", "animal_protein"}
_ANIMAL_ALLERGENS = frozenset(("milk", "egg", "fish", "crustacean", "mollusc"))
# Words for what takes the place of another food …
_STAND_INS = frozenset(
    ("alternative", "analog", "analogue", "fake", "faux", "imitation", "mock", "replacement", "replacer", "substitute")
)
# … and words beside an animal's name that say that the animal is not in there …
_NOT_MEAT = _STAND_INS | {"meatfree", "meatless", "plant", "plantbased", "vegan", "vegetarian", "veggie"}
_ONLY_LIKE = frozenset(("flavored", "style", "type"))  # … behind it, that it may not be …
_NOT_ANIMAL = frozenset(("plantbased", "vegan"))  # … and that nothing of any animal is.


def head(words: Words) -> Match | None:
    """The longest known name inside the phrase; before a preposition if there is one, else as late as possible.

    None if no name fits, or if the phrase denies the animal it names ("beefless crumbles").
    """
    keys = words.keys
    if denies_animal(keys):
        return None
    letters = max(1, sum(map(len, keys)))
    prose = len(keys) > _PROSE or bool(book().prose_words & set(keys))
    stop = next((i for i, k in enumerate(keys) if k in _PREPOSITIONS and i), len(keys))
    for low, high in dict.fromkeys(((0, stop), (0, len(keys)))):
        for length in range(min(_LONGEST, high - low), 0, -1):
            for i in range(high - length, low - 1, -1):
                named = names().find("".join(keys[i : i + length]))
                if named is None or (length == 1 and len(keys[i]) < 3):
                    continue
                score = 100.0 * sum(map(len, keys[i : i + length])) / letters
                if (score >= _LEAST_OF_PHRASE or not prose) and _fits(named.entry, words, i, i + length):
                    dropped = tuple(words.word(k) for k in range(len(keys)) if not i <= k < i + length)
                    return Match("head", named.entry, named.wording, round(score, 1), dropped)
    return None


def denies_animal(keys: tuple[str, ...]) -> bool:
    """Whether the words name an animal and say that it is not in there: "beefless", "pork-free", "plant-based beef"."""
    if any(word.endswith("less") and _is_animal(word[:-4]) for word in keys):
        return True
    if any(word == "free" and _is_animal(before) for before, word in pairwise(keys)):
        return True
    return bool(_NOT_MEAT & set(keys)) and any(map(_is_animal, keys))


@lru_cache(maxsize=4096)
def _is_animal(word: str) -> bool:
    """Whether a word by itself names an animal's meat; "bone" in "boneless" does not."""
    named = names().find(word)
    return named is not None and named.entry.role == "meat"


def _fits(entry: Entry, words: Words, i: int, j: int) -> bool:
    """Whether a name may stand for the whole phrase: a word such as "vegan" makes meat something else."""
    others = {*words.keys[:i], *words.keys[j:]}
    behind = words.keys[j] if j < len(words) and words.keys[j] not in _PREPOSITIONS else ""
    if entry.role in _ANIMAL and (others & _NOT_MEAT or _ONLY_LIKE & set(words.keys[j:])):
        return False
    from_animals = entry.role in _FROM_ANIMALS or not _ANIMAL_ALLERGENS.isdisjoint(entry.allergens)
    if from_animals and (others & (_NOT_ANIMAL | _STAND_INS) or {"plant", "based"} <= others):
        return False
    absent = {a for before, word in pairwise(words.keys) if word == "free" for a in allergens_in(before)}
    if absent & set(entry.allergens):
        return False  # "gluten free flour" is not wheat flour
    if entry.role == "nutrient" and behind:
        return False  # "calcium dioxide" is another substance than calcium
    muscle = entry.role == "meat" and entry.kind == "muscle"
    # "pork udders": an unknown word behind the animal is a part of it
    return not (muscle and behind and behind not in names().vocabulary)
