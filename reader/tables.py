"""The lexicon as frozen values. The only module that opens `lexicon/`.

Reading 2,000 YAML entries takes two seconds, so what was read is remembered beside the sources in `.compiled.*`, as
Python keeps compiled modules, and made anew whenever a file changed. A broken data file raises `LexiconError` with
file, line and what to do; that is a fault of ours, never of a label.
"""

from __future__ import annotations

import gc
import marshal
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

LEXICON = Path(__file__).resolve().parent.parent / "lexicon"
_FORMAT = 3  # raise when the shape of what is remembered changes

ENTRY_FILES = ("additives", "binders", "cures", "foods", "meats", "seasonings")


class LexiconError(ValueError):
    """A data file breaks a rule of lexicon/README.md. The message names file, line and remedy."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One ingredient as the lexicon knows it; the fields are those of lexicon/README.md."""

    id: str
    name: str
    role: str
    kind: str
    what: str
    why: str
    source: str
    species: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    e: tuple[str, ...] = ()
    fr: tuple[str, ...] = ()
    es: tuple[str, ...] = ()
    de: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    exempt: tuple[tuple[str, tuple[str, ...]], ...] = ()
    sodium: bool = False
    in_clause: str = ""


def read_yaml(path: Path) -> Any:
    """The content of one YAML file, every scalar as printed (strings, true/false, empty = None).

    Each mapping carries its line under "__line__". Raises LexiconError on bad syntax or a key given twice.
    """
    import yaml  # only when the data changed; 15 ms otherwise spent for nothing

    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    with path.open(encoding="utf-8") as file:
        try:
            root = yaml.compose(file, Loader=loader)
        except yaml.YAMLError as error:
            raise LexiconError(f"{path.name}: not readable as YAML. {error}") from error
    return None if root is None else _plain(root, path.name)


def _plain(node: Any, file: str) -> Any:
    import yaml

    if isinstance(node, yaml.ScalarNode):
        if not node.style:  # plain; the C loader says "" where the other says None
            if node.value in ("true", "false"):
                return node.value == "true"
            if node.value in ("", "null", "~"):
                return None
        return node.value
    if isinstance(node, yaml.SequenceNode):
        return [_plain(child, file) for child in node.value]
    result: dict[str, Any] = {"__line__": node.start_mark.line + 1}
    for key_node, value_node in node.value:
        key = str(key_node.value)
        if key in result:
            line = key_node.start_mark.line + 1
            raise LexiconError(f'{file}:{line}: the key "{key}" is given twice here. Keep one of them.')
        result[key] = _plain(value_node, file)
    return result


@lru_cache(maxsize=4)
def _stamp(folder: Path) -> tuple[Any, ...]:
    """What tells whether remembered data are still fresh: each file's name, size and time of change."""
    files = sorted(f for pattern in ("*.yaml", "*/*.yaml") for f in folder.glob(pattern))
    return (_FORMAT, sys.hexversion, *((f.name, f.stat().st_size, f.stat().st_mtime_ns) for f in files))


def remembered(name: str, build: Callable[[], Any], folder: Path = LEXICON) -> Any:
    """What `build` makes of the lexicon, plain values only; made anew only if a lexicon file changed."""
    kept, stamp = folder / f".compiled.{name}", _stamp(folder)
    try:
        held_stamp, held = _loaded(kept.read_bytes())
        if held_stamp == stamp:
            return held
    except (OSError, ValueError, EOFError, TypeError):
        pass  # none yet, or from another version: make it
    made = build()
    try:
        scratch = kept.with_suffix(f"{kept.suffix}.{os.getpid()}")
        scratch.write_bytes(marshal.dumps((stamp, made)))
        scratch.replace(kept)
    except OSError:
        pass  # a read-only installation makes it each time
    return made


def _loaded(data: bytes) -> Any:
    """What was remembered. The collector of garbage would look through a hundred thousand new values for nothing."""
    watching = gc.isenabled()
    gc.disable()
    try:
        return marshal.loads(data)
    finally:
        if watching:
            gc.enable()


@lru_cache(maxsize=4)
def load_raw(folder: Path = LEXICON) -> dict[str, Any]:
    """All YAML files of `folder`, by name without ending ("meats", "standards/us_panel"), as plain data."""

    def build() -> dict[str, Any]:
        files = sorted(f for pattern in ("*.yaml", "*/*.yaml") for f in folder.glob(pattern))
        return {f.relative_to(folder).with_suffix("").as_posix(): read_yaml(f) for f in files}

    raw: dict[str, Any] = remembered("raw", build, folder)
    return raw


@lru_cache(maxsize=16)
def text_of(name: str) -> str:
    """A file of the lexicon as it was written, remarks included, by its name without ending."""
    return (LEXICON / f"{name}.yaml").read_text(encoding="utf-8")


def entry_from(raw: dict[str, Any]) -> Entry:
    """One entry of an ingredient file as a value. Raises LexiconError on an unknown key."""
    fields = {k: v for k, v in raw.items() if k != "__line__"}
    for name in ("species", "also", "e", "fr", "es", "de", "allergens"):
        if name in fields:
            fields[name] = tuple(fields[name])
    if "exempt" in fields:
        fields["exempt"] = tuple(
            (market, tuple(ids)) for market, ids in fields["exempt"].items() if market != "__line__"
        )
    fields.setdefault("kind", "")
    try:
        return Entry(**fields)
    except TypeError as error:
        raise LexiconError(
            f"line {raw.get('__line__')}: entry {raw.get('id')!r} has a key that is not in lexicon/README.md, "
            f"or lacks one ({error})."
        ) from error


def raw_entries(folder: Path = LEXICON) -> list[dict[str, Any]]:
    """Every entry of the ingredient files as plain data, in the order of the files and of their lines."""
    raw = load_raw(folder)
    return [item for file in ENTRY_FILES for item in raw.get(file) or ()]


@lru_cache(maxsize=4)
def entries(folder: Path = LEXICON) -> tuple[Entry, ...]:
    """Every ingredient entry, in the order of the files and of their lines."""
    return tuple(map(entry_from, raw_entries(folder)))


@lru_cache(maxsize=4096)
def entry_of(entry_id: str) -> Entry:
    """One ingredient entry by its id; making all of them takes ten milliseconds."""
    return entry_from(_raw_by_id()[entry_id])


@lru_cache(maxsize=1)
def _raw_by_id() -> dict[str, dict[str, Any]]:
    return {item["id"]: item for item in raw_entries()}
