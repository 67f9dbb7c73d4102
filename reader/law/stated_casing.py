"""What a label says of its casing: on its list, else on its front. Needed by judges and by house specifications."""

from __future__ import annotations

from functools import lru_cache

from reader import wordforms
from reader.facts import NOT_STATED, Casing
from reader.law.case import Case
from reader.phrases import book
from reader.spans import Span

HEAD, NATURAL = "casing", "natural"


def stated(case: Case) -> Casing:
    """The casing of the list, that of the front where the list does not name one."""
    listed = case.facts.casing
    return listed if listed.value != NOT_STATED else on_front(case) or listed


def on_front(case: Case) -> Casing | None:
    """The casing the front names: the describing words right before the word itself, or none."""
    if not case.setting.front.holds((HEAD,)):
        return None
    describing = _describing()
    for stretch in case.setting.front.stretches:
        heads = [k for k, (key, _) in enumerate(stretch) if key == HEAD]
        for k in heads:
            first = k
            while first and stretch[first - 1][0] in describing and stretch[first][0] != NATURAL:
                first -= 1
            start = stretch[first][1]
            span = Span(start.start, stretch[k][1].end, start.text)
            material, named, _ = book().casing.read(case.text(span).lower())
            return Casing("unspecified", material or (NATURAL if named else ""), named, span)
    return None


@lru_cache(maxsize=1)
def _describing() -> frozenset[str]:
    casing = book().casing
    return frozenset(wordforms.word_key(w) for w in (*casing.materials, *casing.species, "or", "and"))
