"""Judges of the make-up: a share at most or at least so much, by what is possible and, for meat, by what is likely."""

from __future__ import annotations

from reader import makeup_words
from reader.facts import walk
from reader.house.evidence import Evidence, unread_list
from reader.house.kinds import Kind
from reader.house.values import ASK, FAILS, MAKE_UP, MEETS, Requirement, Verdict
from reader.law.values import TINY
from reader.makeup.settings import quantities
from reader.makeup.values import Share
from reader.quantities import Interval, show
from reader.wording import say

_WHOLE = 100.0
_NONE = Share(Interval(0.0, 0.0), Interval(0.0, 0.0), 0.0)
_CHECK = "check"  # a make-up so unusual that a typing error is likelier (lexicon/estimate.yaml)


def at_most(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """A share that may be at most the limit, `quantity` of lexicon/estimate.yaml, in its percent."""
    share = _share(kind, seen)
    if isinstance(share, Verdict):
        return share
    limit, found = _limit(requirement), share.possible
    if found.low > limit + TINY:
        return _ruled(kind, FAILS, "most_fails", share, limit, _end(kind, share, low=True))
    unread = _unread_share(kind, seen)
    if found.high + unread <= limit + TINY:
        if found.high <= TINY:
            return Verdict(kind.id, MEETS, say("house_share_none"), source=MAKE_UP)
        return _ruled(kind, MEETS, "most_meets", share, limit, _end(kind, share, low=False))
    return _open(kind, seen, share, limit, unread if found.high <= limit + TINY else 0.0)


def at_least(requirement: Requirement, kind: Kind, seen: Evidence) -> Verdict:
    """A share that likely has to be at least the limit. It meets it by the likely range, which is said; it fails only
    if all that is possible lies below.
    """
    share = _share(kind, seen)
    if isinstance(share, Verdict):
        return share
    limit, found = _limit(requirement), share.possible
    if found.low >= limit - TINY:
        return _ruled(kind, MEETS, "least_meets", share, limit, _end(kind, share, low=True))
    makeup = seen.report.makeup
    relied_on = makeup.settled and (makeup.unusual is None or makeup.unusual.level != _CHECK)
    if share.likely is not None and share.likely.low >= limit - TINY and relied_on:
        return _ruled(kind, MEETS, "least_likely", share, limit)
    unread = _unread_share(kind, seen)
    if found.high + unread < limit - TINY:
        return _ruled(kind, FAILS, "least_fails", share, limit, _end(kind, share, low=False))
    return _open(kind, seen, share, limit, unread if found.high < limit - TINY else 0.0)


def _limit(requirement: Requirement) -> float:
    assert requirement.limit is not None  # a kind that takes a limit has one (specification.checked)
    return requirement.limit


def _share(kind: Kind, seen: Evidence) -> Share | Verdict:
    """The share, or what the requirement comes to where there is none to rely on."""
    unread = unread_list(kind, seen)
    if unread is not None:
        return unread
    makeup = seen.report.makeup
    if makeup.clash is not None:
        facts = makeup_words.facts_told(makeup.clash.together, 6, quoted=True)
        question = say("house_share_clash_question", facts=facts)
        return Verdict(kind.id, ASK, say("house_share_clash", facts=facts), question, MAKE_UP)
    name = kind.values["quantity"]
    share = makeup.group(name) if seen.report.product.ingredients else None
    if share is None and _none_listed(name, seen):
        share = _NONE
    if share is None:
        return Verdict(kind.id, ASK, say("house_share_missing", reason=kind.open), kind.asks, MAKE_UP)
    return share


def _none_listed(quantity: str, seen: Evidence) -> bool:
    """Whether a sum of ingredients has nothing to sum up."""
    group = quantities()[quantity]
    return bool(group.roles) and not group.formula and group.roles.isdisjoint(seen.case.roles)


def _unread_share(kind: Kind, seen: Evidence) -> float:
    """The most, in percent, that may count beside a sum of ingredients because it was not understood."""
    if quantities()[kind.values["quantity"]].formula or not seen.report.facts.unknown_terms:
        return 0.0
    own = zip(seen.report.product.ingredients, seen.report.makeup.ingredients, strict=False)
    highs = (s.possible.high for i, s in own if any(t.role == "unknown" for t in (i, *walk(i.parts))))
    return min(_WHOLE, sum(highs))


def _ruled(kind: Kind, verdict: str, key: str, share: Share, limit: float, ends: str = "") -> Verdict:
    told = {"range": _range(kind, share), "limit": show(limit, 2), "sentence": ends}
    return Verdict(kind.id, verdict, say(f"house_share_{key}", **told).strip(), source=MAKE_UP)


def _open(kind: Kind, seen: Evidence, share: Share, limit: float, unread: float) -> Verdict:
    """Both sides of the limit are possible; `unread` only because of what was not understood."""
    range_ = _range(kind, share)
    if unread:
        names = seen.quote(seen.unknown_terms)
        because = say("house_share_unknown", range=range_, names=names, value=show(unread))
        return Verdict(kind.id, ASK, because, say("house_unknown_question", names=names), MAKE_UP)
    because = say("house_share_open", range=range_, limit=show(limit, 2), reason=kind.open)
    return Verdict(kind.id, ASK, because, kind.asks, MAKE_UP)


def _range(kind: Kind, share: Share) -> str:
    return f"{kind.title}: {makeup_words.ranges_told(kind.values['quantity'], share)}"


def _end(kind: Kind, share: Share, *, low: bool) -> str:
    """What sets the end of the range that the verdict rests on."""
    return makeup_words.bounds_told(kind.values["quantity"], share)[0 if low else 1]


JUDGES = {"share_at_most": at_most, "share_at_least": at_least}
