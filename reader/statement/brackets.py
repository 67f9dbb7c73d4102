"""Which bracket closes which: a label forgets, doubles and mixes brackets; every one still gets a meaning."""

from __future__ import annotations

from collections.abc import Sequence

from reader.problems import Problem, problem
from reader.spans import Span
from reader.statement.tokens import CLOSE, OPEN, Token

MAX_DEPTH = 8  # house: no real label nests deeper than five; what lies deeper is read as one level
_CLOSES = {")": "(", "]": "[", "}": "{"}
END = -1  # partner of a bracket that is never closed: it ends with the text
STRAY = -2  # a bracket without partner, or one too deep: read as a separator


def pair(tokens: Sequence[Token]) -> tuple[dict[int, int], tuple[Problem, ...]]:
    """Partner of each bracket by token index (END, STRAY or the index of the other one), and what was odd.

    A closing bracket of another shape closes the open one unless the right shape still follows.
    Linear in the number of tokens.
    """
    left = dict.fromkeys("([{", 0)
    for token in tokens:
        if token.kind == CLOSE:
            left[_CLOSES[token.text]] += 1
    partner: dict[int, int] = {}
    open_now: list[int] = []
    waiting = dict.fromkeys("([{", 0)
    problems: list[Problem] = []
    for i, token in enumerate(tokens):
        if token.kind == OPEN:
            open_now.append(i)
            waiting[token.text] += 1
        elif token.kind == CLOSE:
            shape = _CLOSES[token.text]
            left[shape] -= 1
            _close(i, shape, tokens, open_now, waiting, left, partner, problems)
    for i in open_now:
        partner[i] = END
        problems.append(problem("unclosed_bracket", _place(tokens[i]), bracket=tokens[i].text))
    _flatten(tokens, partner, problems)
    return partner, tuple(problems)


def _close(
    i: int,
    shape: str,
    tokens: Sequence[Token],
    open_now: list[int],
    waiting: dict[str, int],
    left: dict[str, int],
    partner: dict[int, int],
    problems: list[Problem],
) -> None:
    if not open_now:
        partner[i] = STRAY
        problems.append(problem("stray_bracket", _place(tokens[i]), bracket=tokens[i].text))
        return
    top = tokens[open_now[-1]].text
    if top != shape and waiting[shape]:
        while tokens[open_now[-1]].text != shape:  # the inner one was never closed: it ends here too
            inner = open_now.pop()
            waiting[tokens[inner].text] -= 1
            partner[inner] = i
            problems.append(problem("unclosed_bracket", _place(tokens[inner]), bracket=tokens[inner].text))
    elif top != shape and left[top] >= waiting[top]:
        partner[i] = STRAY
        problems.append(problem("stray_bracket", _place(tokens[i]), bracket=tokens[i].text))
        return
    elif top != shape:
        problems.append(problem("mixed_brackets", _place(tokens[i]), opened=top, closed=tokens[i].text))
    opener = open_now.pop()
    waiting[tokens[opener].text] -= 1
    partner[opener] = i
    partner[i] = opener


def _flatten(tokens: Sequence[Token], partner: dict[int, int], problems: list[Problem]) -> None:
    """Make the brackets below MAX_DEPTH separators, so that no stage has to follow them."""
    stack: list[int] = []
    said = False
    for i, token in enumerate(tokens):
        if token.kind == OPEN:
            if len(stack) < MAX_DEPTH:
                stack.append(i)
                continue
            other = partner[i]
            if other >= 0 and partner.get(other) == i:
                partner[other] = STRAY
            partner[i] = STRAY
            if not said:
                problems.append(problem("deep_brackets", _place(token), depth=MAX_DEPTH))
                said = True
        elif token.kind == CLOSE and partner[i] != STRAY:
            while stack and stack.pop() != partner[i]:
                pass


def _place(token: Token) -> Span:
    return Span(token.start, token.end)
