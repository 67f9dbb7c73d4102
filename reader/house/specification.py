"""A house specification as a small YAML file: read with a sentence for every mistake, written so that people can edit.

The file holds a `title`, and under `must` and `prefer` one line a requirement: the id of its kind and what it takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from reader import tables
from reader.house.checked import requirement_faults, title_faults, unknown_kind
from reader.house.kinds import CHOICE, LIMIT, MONEY, Kind, kinds
from reader.house.told import requirement_told
from reader.house.values import Requirement, Specification
from reader.wording import say

LONGEST = 50_000  # house: characters; a specification of all kinds takes some 4,000
_FOLDER, _KINDS = "house/", "house/requirements"
_PARTS = {"must": True, "prefer": False}
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?(?:e-?[0-9]+)?")
_WIDTH = 44  # where remarks begin


@dataclass(frozen=True, slots=True)
class Mistake:
    """Something in a specification that cannot be taken. line: 1 for the first; says: what was seen, why it cannot be
    taken, what may stand there.
    """

    line: int
    says: str


class SpecificationError(ValueError):
    """A file is no specification as it stands. `mistakes` holds all that was found, in the order of its lines."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__("\n".join(say("house_mistake_line", line=m.line, sentence=m.says) for m in mistakes))
        self.mistakes = mistakes


def from_yaml(text: str) -> Specification:
    """The specification a text holds. Raises SpecificationError with every mistake found."""
    return _Reading(text).specification()


def ready() -> dict[str, str]:
    """The specifications that come with the program, by name: their texts, to be read or edited."""
    names = sorted(n for n in tables.load_raw() if n.startswith(_FOLDER) and n != _KINDS)
    return {name.removeprefix(_FOLDER): tables.text_of(name) for name in names}


# -- writing -------------------------------------------------------------------------------------------------


def to_yaml(specification: Specification) -> str:
    """The specification as a file that `from_yaml` reads back to an equal one; what each line asks stands beside it."""
    parts = [say("house_file_head"), f"title: {_scalar(specification.title)}"]
    for key, requirements in (("must", specification.musts), ("prefer", specification.preferences)):
        if requirements:
            parts += ["", f"{key}:", *map(_line, requirements)]
    return "\n".join(parts) + "\n"


def _line(requirement: Requirement) -> str:
    written = f"  {requirement.kind}: {_taken(requirement)}"
    return f"{written:<{_WIDTH}}  # {requirement_told(requirement)}"


def _taken(requirement: Requirement) -> str:
    takes = kinds()[requirement.kind].takes
    if takes in (LIMIT, MONEY):
        return " ".join((_written(requirement.limit or 0.0), *requirement.words))
    if takes == CHOICE or len(requirement.words) == 1:
        return _scalar(requirement.words[0])
    return f"[{', '.join(map(_scalar, requirement.words))}]"


def _written(limit: float) -> str:
    """A number that reads back to the same one."""
    return repr(limit).removesuffix(".0")


def _scalar(text: str) -> str:
    """A text as YAML, in quotes where it could mean something else."""
    if re.fullmatch(r"[A-Za-z][\w '\-/().]*[\w).]|[A-Za-z]", text):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


# -- reading -------------------------------------------------------------------------------------------------


class _Reading:
    """One text taken apart. Nodes of YAML keep their lines; mistakes are gathered, so that all are told at once."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.mistakes: list[Mistake] = []

    def specification(self) -> Specification:
        root = self._root()
        title, requirements = "", list[Requirement]()
        if root is not None:
            for key, line, node in self._pairs(root):
                if key == "title":
                    title = self._title(node, line)
                elif key in _PARTS:
                    requirements += self._requirements(key, node, line)
                else:
                    self._mistake(line, say("house_mistake_key", words=key))
            if not title and not self.mistakes:
                self._mistake(1, say("house_fault_title_missing"))
        if self.mistakes:
            raise SpecificationError(tuple(sorted(self.mistakes, key=lambda m: m.line)))
        return Specification(title, tuple(requirements))

    def _mistake(self, line: int, sentence: str) -> None:
        self.mistakes.append(Mistake(line, sentence))

    def _root(self) -> Any:
        """The outermost node, None with a mistake where there is no mapping."""
        import yaml  # only where a file is read; 15 ms otherwise spent for nothing

        if len(self.text) > LONGEST:
            self._mistake(1, say("house_mistake_long", most=f"{LONGEST:,}"))
            return None
        try:
            root = yaml.compose(self.text, Loader=yaml.SafeLoader)
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            self._mistake(mark.line + 1 if mark else 1, say("house_mistake_yaml", words=_cause(error)))
            return None
        except yaml.reader.ReaderError as error:
            line = self.text.count("\n", 0, error.position) + 1
            self._mistake(line, say("house_mistake_character"))
            return None
        except RecursionError:
            self._mistake(1, say("house_mistake_nested"))
            return None
        if root is None:
            self._mistake(1, say("house_mistake_empty"))
            return None
        if not isinstance(root, yaml.MappingNode):
            self._mistake(root.start_mark.line + 1, say("house_mistake_no_keys"))
            return None
        return root

    def _pairs(self, node: Any) -> Iterator[tuple[str, int, Any]]:
        """The keys of a mapping with line and value; one given twice is a mistake."""
        seen: dict[str, int] = {}
        for key_node, value_node in node.value:
            line = key_node.start_mark.line + 1
            key = str(key_node.value).strip() if _is_scalar(key_node) else "?"
            if key in seen:
                self._mistake(line, say("house_mistake_twice", words=key, number=seen[key]))
            else:
                seen[key] = line
                yield key, line, value_node

    def _title(self, node: Any, line: int) -> str:
        title = str(node.value) if _is_scalar(node) else ""
        for fault in title_faults(title):
            self._mistake(line, fault)
        return title

    def _requirements(self, part: str, node: Any, line: int) -> list[Requirement]:
        if _is_scalar(node) and not str(node.value).strip():
            return []  # "must:" with nothing below asks for nothing
        if not _is_mapping(node):
            self._mistake(line, say("house_mistake_part", words=part))
            return []
        found = []
        for name, at, value in self._pairs(node):
            kind = kinds().get(name)
            if kind is None:
                self._mistake(at, unknown_kind(name))
                continue
            requirement = self._requirement(kind, _PARTS[part], value, at)
            if requirement is not None:
                faults = requirement_faults(requirement)
                for fault in faults:
                    self._mistake(at, fault)
                found += [] if faults else [requirement]
        return found

    def _requirement(self, kind: Kind, must: bool, node: Any, line: int) -> Requirement | None:
        words = _words(node)
        if words is None:
            self._mistake(line, say("house_mistake_form", name=kind.id))
            return None
        if kind.takes not in (LIMIT, MONEY):
            return Requirement(kind.id, must, None, tuple(map(str.lower, words)))
        written = " ".join(words)
        found = _NUMBER.match(written)
        unit = written[found.end() :].strip() if found else ""
        if found is None or (kind.takes == LIMIT and unit not in ("", kind.unit)):
            key = "house_mistake_price" if kind.takes == MONEY else "house_mistake_number"
            self._mistake(line, say(key, name=kind.id, words=written, unit=kind.unit))
            return None
        limit = float(found.group().replace(",", "."))
        return Requirement(kind.id, must, limit, (unit.upper(),) if kind.takes == MONEY and unit else ())


def _is_scalar(node: Any) -> bool:
    return isinstance(node.value, str)


def _is_mapping(node: Any) -> bool:
    return not _is_scalar(node) and str(node.tag).endswith(":map")


def _words(node: Any) -> list[str] | None:
    """The words of a value: one, or a list of them; None where it is neither."""
    if _is_scalar(node):
        word = " ".join(str(node.value).split())
        return [word] if word else []
    if _is_mapping(node) or not all(map(_is_scalar, node.value)):
        return None
    return [" ".join(str(item.value).split()) for item in node.value]


def _cause(error: Any) -> str:
    """What YAML says is wrong, in its own words."""
    return " ".join(str(error.problem or error.context or "").split())
