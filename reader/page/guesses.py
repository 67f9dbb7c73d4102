"""A guess set beside the reading, aspect by aspect: on one scale, and in words. No praise, no blame, no points."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reader.aspects import Aspect
from reader.page.parts import esc, part, range_bar, said, told
from reader.quantities import Interval, show
from reader.wording import say


@dataclass(frozen=True, slots=True)
class Guess:
    """A place from 0 to 10 on the scale of an aspect, and the words of the label that led there ("" if not named)."""

    place: float
    words: str = ""


def against(aspects: Sequence[Aspect], guesses: Mapping[str, Guess]) -> str:
    """A part of the page: each guess on the scale of its aspect with the reading; "" if nothing was guessed."""
    rows = "".join(_row(aspect, guesses[aspect.id]) for aspect in aspects if aspect.id in guesses)
    if not rows:
        return ""
    return part("guesses", f'<div class="aspects">{rows}</div><p class="quiet">{said("guess_key")}</p>')


def _row(aspect: Aspect, guess: Guess) -> str:
    title, scale = say(f"aspect_{aspect.id}"), said("page_scale", scale=say(f"aspect_{aspect.id}_scale"))
    sentences = [say("guess_yours", value=show(guess.place)), *beside(aspect, guess.place)]
    words = f'<p class="says">{said("guess_words", words=guess.words.strip())}</p>' if guess.words.strip() else ""
    drawn = range_bar(f"{title}: {' '.join(sentences)}", aspect.score, aspect.likely, aspect.middle, guess=guess.place)
    return (
        f'<article class="aspect {aspect.id}"><h3>{esc(title)}</h3>{drawn}'
        f'<p class="says">{told(" ".join(sentences))} <span class="scale-ends">{scale}</span></p>{words}</article>'
    )


def beside(aspect: Aspect, place: float) -> tuple[str, ...]:
    """What the reading says of an aspect, and where a guess at `place` lies beside it, in sentences."""
    if aspect.score is None:
        return (say("guess_state_" + aspect.state.replace(" ", "_")),)
    possible = say("guess_reading", range=range_words(aspect.score))
    likely = (say("guess_reading_likely", range=range_words(aspect.likely)),) if aspect.likely else ()
    return (possible, *likely, say(f"guess_{_where(aspect.score, aspect.likely, place)}"))


def range_words(found: Interval) -> str:
    """A range of a scale as it is printed."""
    low, high = show(found.low), show(found.high)
    return say("guess_point", low=low) if low == high else say("guess_range", low=low, high=high)


def _where(possible: Interval, likely: Interval | None, place: float) -> str:
    """By the printed ends: a guess of 2 lies inside a range that is shown to end at 2."""
    low, high = (round(end, 1) for end in possible)
    if not low <= place <= high:
        return "below" if place < low else "above"
    if likely is None:
        return "possible"
    low, high = (round(end, 1) for end in likely)
    if low <= place <= high:
        return "likely"
    return "possible_below" if place < low else "possible_above"
