"""The make-up in words: names of groups, ranges rounded outward, and the sentences that say what decides a bound."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from reader.makeup import settings
from reader.makeup.values import Assumption, Clash, MakeUp, Reason, Share
from reader.quantities import Interval, show
from reader.wording import has, say

_TOLD = 3  # facts in one sentence


def group_name(group: str) -> str:
    """What a group is called."""
    return say(f"makeup_group_{group}")


def sodium_name(source: str) -> str:
    """What a source of sodium is called."""
    return say(f"makeup_sodium_{source}")


def shown(group: str, interval: Interval) -> Interval:
    """A range rounded outward to the step of its group, so that it never shrinks."""
    step = _step(group, interval.high)
    return Interval(math.floor(interval.low / step + 1e-6) * step, math.ceil(interval.high / step - 1e-6) * step)


def between(group: str, interval: Interval, unit: str = "%") -> str:
    """A range for people: "48–67 %"; one number where both ends are the same, "at most 0.1 %" for a trace."""
    ends = shown(group, interval)
    low, high = (show(end, 2).replace("-", "−") for end in ends)
    if low == high:
        return f"{low} {unit}".strip()
    if ends.low == 0 and interval.high <= _trace():
        return say("makeup_at_most", value=f"{high} {unit}".strip())
    return (f"{low} to {high} {unit}" if low.startswith("−") else f"{low}–{high} {unit}").strip()


def middle(group: str, value: float) -> str:
    """One number for people, to the step of its group."""
    step = _step(group, value)
    return show(round(value / step) * step, 2)


@lru_cache(maxsize=64)
def _steps() -> dict[str, float]:
    return {group: float(rule["step"]) for rule in settings.raw()["steps"] for group in rule.get("groups", ())}


def _step(group: str, value: float) -> float:
    """The step of a group, or of a single ingredient by its size."""
    if group != "ingredient":
        return _steps().get(group, 1.0)
    for rule in settings.raw()["steps"]:
        if "up_to" in rule and value <= float(rule["up_to"]):
            return float(rule["step"])
    return 1.0


def _trace() -> float:
    return float(settings.raw()["trace"]["most"])


def bounds_told(group: str, share: Share, unit: str = "%") -> tuple[str, ...]:
    """One sentence for each end of a range: the facts that set it."""
    ends = shown(group, share.possible)
    told = []
    if share.low_because and ends.low > 0:
        told.append(say("makeup_low", value=f"{show(ends.low)} {unit}", facts=facts_told(share.low_because)))
    else:
        told.append(say("makeup_low_none"))
    if share.high_because:
        told.append(say("makeup_high", value=f"{show(ends.high)} {unit}", facts=facts_told(share.high_because)))
    else:
        told.append(say("makeup_high_none"))
    return tuple(told)


def facts_told(reasons: Sequence[Reason], most: int = _TOLD, *, quoted: bool = False) -> str:
    """Facts as a list in words; those of one kind are told together. quoted: with what is printed."""
    kinds: dict[tuple[str, str], list[Reason]] = {}
    for reason in reasons:
        kinds.setdefault(
            (reason.key, dict(reason.values).get("percent", "") if reason.key == "why_clause" else ""), []
        ).append(reason)
    phrases = [(_quoted if quoted else _phrase)(alike) for alike in list(kinds.values())[:most]]
    return joined(phrases)


def joined(phrases: Sequence[str]) -> str:
    """Phrases as "a, b and c"."""
    if len(phrases) < 2:
        return "".join(phrases)
    return say("because_and", first=", ".join(phrases[:-1]), last=phrases[-1])


def _phrase(alike: Sequence[Reason]) -> str:
    names = dict.fromkeys(_named(reason) for reason in alike)
    values = {**dict(alike[0].values), "names": ", ".join(n for n in names if n)}
    return say(f"because_{alike[0].key}", **values)


def _quoted(alike: Sequence[Reason]) -> str:
    """The facts with the numbers that are printed for them, where the phrase does not hold them anyway."""
    numbers = [number for number in map(_printed, alike) if number]
    if not numbers:
        return _phrase(alike)
    return say("because_printed", fact=_phrase(alike), printed=", ".join(numbers))


def _printed(reason: Reason) -> str:
    """The number printed for a fact, with its unit; "" where there is none."""
    values = dict(reason.values)
    if reason.key == "why_declared":
        return say("because_printed_percent", value=values["percent"])
    if reason.key == "why_ratio":
        return say("because_printed_g", value=values["grams"])
    if "printed" not in values:
        return ""
    own = f"because_printed_{values['stated']}"
    number = say(own if has(own) else f"because_printed_{values['stated'].rsplit('_', 1)[-1]}", value=values["printed"])
    return say("because_printed_less", printed=number) if "less_than" in values else number


def _named(reason: Reason) -> str:
    values = dict(reason.values)
    return values.get("cap", "") or values.get("name", "")


def clash_told(clash: Clash, makeup: MakeUp) -> tuple[str, ...]:
    """What cannot hold together, what would mend it, and what was let go."""
    tolerance = next((a.choice for a in makeup.assumptions if a.id == "tolerance"), "usual")
    percent = show(float(settings.raw()["tolerance"]["choices"][tolerance]))
    told = [say("makeup_clash", facts=facts_told(clash.together, 6, quoted=True), tolerance=percent)]
    if clash.suspects:
        told.append(say("makeup_clash_suspects", facts=facts_told(clash.suspects, 6, quoted=True)))
    if clash.let_go:
        told.append(say("makeup_clash_let_go", facts=facts_told(clash.let_go, 6, quoted=True)))
    return tuple(told)


def unusual_told(makeup: MakeUp) -> str:
    """That what is printed fits only with an unusual make-up; "" where it is not so."""
    if makeup.unusual is None:
        return ""
    facts = joined([_phrase([reason]) for reason in makeup.unusual.because])
    return say(f"makeup_unusual_{makeup.unusual.level}", facts=facts)


def assumption_told(assumption: Assumption) -> str:
    """What is assumed."""
    return say(f"assume_{assumption.id.split()[0]}", **dict(assumption.reason.values))


def choice_told(assumption: Assumption, choice: str) -> str:
    """One choice of an assumption in words."""
    own = f"assume_{assumption.id}_{choice}"
    if not has(own):
        return say(f"assume_{choice}")
    return say(own, most=settings.raw()[assumption.id]["choices"][choice])


def assumed_told(assumption: Assumption) -> str:
    """What is assumed and how, as one line."""
    return f"{assumption_told(assumption)}: {choice_told(assumption, assumption.choice)}."


def range_told(group: str, share: Share) -> str:
    """A group with its ranges in one line: "Salt: possible 0.6–2 %, likely 1.6–2 %, about 1.8 %"."""
    return f"{group_name(group)}: {ranges_told(group, share)}"


def ranges_told(group: str, share: Share) -> str:
    """The ranges of a group without its name."""
    told = [say("makeup_possible", range=between(group, share.possible))]
    if share.likely is not None:
        told.append(say("makeup_likely", range=between(group, share.likely)))
    if share.middle is not None:
        told.append(say("makeup_middle", value=f"{middle(group, share.middle)} %"))
    return ", ".join(told)
