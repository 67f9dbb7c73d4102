"""The words beside the list: on the front, in headings, in sentences; looked up as folded words with their place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from reader import wordforms
from reader.ingredient_tree import IngredientList
from reader.spans import Span

_LONGEST = 4  # words of a run that is looked up at once; longer wordings are followed word by word
_TITLE = "title"


@dataclass(frozen=True, slots=True)
class Words:
    """Stretches of text as folded words with their places."""

    stretches: tuple[tuple[tuple[str, Span], ...], ...]
    runs: frozenset[str]  # runs of up to four words, folded together

    def place(self, wording: str) -> Span | None:
        """Where a wording stands first, or None. Case, accents, plural, hyphens and blanks do not matter."""
        if not self.runs:
            return None
        begins, whole = _folded(wording)
        if begins not in self.runs:
            return None
        for stretch in self.stretches:
            for i in range(len(stretch)):
                run = ""
                for j in range(i, len(stretch)):
                    run += stretch[j][0]
                    if run == whole:
                        return stretch[i][1]._replace(end=stretch[j][1].end)
                    if len(run) >= len(whole):
                        break
        return None

    def first(self, wordings: Iterable[str]) -> Span | None:
        """Where the first of several wordings stands that stands anywhere."""
        if not self.runs:  # nothing was pasted there, as in most tables
            return None
        return next((place for wording in wordings if (place := self.place(wording))), None)

    def holds(self, wordings: Iterable[str]) -> bool:
        """Whether any of the wordings stands there."""
        return self.first(wordings) is not None


def front_of(name: str, listed: IngredientList, clean: str) -> Words:
    """The words of the front (the name box), of what stands before the list, and of the headings of its parts."""
    stretches = [_words(name, Span(0, len(name), "name"))]
    stretches += [_words(clean, note.span) for note in listed.asides if note.kind == _TITLE]
    stretches += [_words(clean, s.span) for s in listed.sections if s.label and s.span is not None]
    return _made(stretches)


def beside(listed: IngredientList, clean: str) -> Words:
    """The words of the sentences and remarks beside the list."""
    notes = [note for note in listed.asides if note.kind != _TITLE]
    return _made([_words(clean, note.span) for note in notes])


def together(*several: Words) -> Words:
    """All of their words."""
    stretches = tuple(s for words in several for s in words.stretches)
    return Words(stretches, frozenset[str]().union(*(words.runs for words in several)))


def _made(stretches: list[tuple[tuple[str, Span], ...]]) -> Words:
    told = tuple(s for s in stretches if s)
    runs = {
        "".join(key for key, _ in stretch[i:j])
        for stretch in told
        for i in range(len(stretch))
        for j in range(i + 1, min(len(stretch), i + _LONGEST) + 1)
    }
    return Words(told, frozenset(runs))


def _words(text: str, place: Span) -> tuple[tuple[str, Span], ...]:
    found = wordforms.WORD.finditer(text, place.start, place.end)
    return tuple((wordforms.word_key(m[0]), Span(m.start(), m.end(), place.text)) for m in found)


@lru_cache(maxsize=4096)
def _folded(wording: str) -> tuple[str, str]:
    """The first words of a wording folded together, as many as a run has, and all of them."""
    keys = [wordforms.word_key(w) for w in wordforms.WORD.findall(wording)]
    return "".join(keys[:_LONGEST]), "".join(keys)
