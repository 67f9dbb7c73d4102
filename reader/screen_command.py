"""The commands for buyers: `python -m reader screen FILES… --house HOUSE -o OUT`, `… houses`."""

from __future__ import annotations

import argparse
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, current_thread, main_thread
from typing import Any

from reader.catalogue.column_names import ROLES
from reader.catalogue.reading import Catalogue, open_catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import BASES
from reader.house.specification import SpecificationError, from_yaml, ready
from reader.house.values import Specification
from reader.makeup.values import DEPTHS, LIKELY
from reader.pipeline import MARKETS
from reader.screening.cluster import on_cluster
from reader.screening.run import Runner, screen
from reader.screening.values import Progress, Screening
from reader.wording import say

Clock = Callable[[], float]
INTERRUPTED = 130  # exit code of a program that Ctrl-C ended (common practice)
_ENDINGS = (".xlsx", ".csv", ".html")
_TOLD_EVERY = 0.5  # seconds


def add_to(commands: Any) -> None:
    """Add the two commands to the parsers of the command line."""
    one = commands.add_parser("screen", help="hold suppliers' lists against a house specification")
    one.add_argument("sources", metavar="FILE", nargs="+", help="CSV, XLSX, JSON lines or text with a table")
    one.add_argument("--house", metavar="HOUSE", help="a file (YAML) or the name of one that `houses` lists")
    one.add_argument("-o", "--out", metavar="OUT", help=f"file to write ({', '.join(_ENDINGS)})")
    one.add_argument("--letters", metavar="FOLDER", help="where a letter of questions to each supplier goes")
    one.add_argument("--columns", action="store_true", help="only show what each column is taken for")
    one.add_argument(
        "--column", action="append", default=[], type=_pair, metavar="ROLE=HEADER",
        help=f"take a column for something; roles are {', '.join(ROLES)}",
    )  # fmt: skip
    one.add_argument(
        "--basis", choices=BASES, default="", help="what number columns are for (default: by the headings)"
    )
    one.add_argument("--market", choices=MARKETS, default="US", help="market of the rows that name none")
    one.add_argument("--depth", choices=DEPTHS, default=LIKELY, help="how far the make-up is worked out")
    one.add_argument("--workers", type=int, default=cores(), help="processes (default: all cores; 0: none beside this)")
    one.add_argument("--cluster", metavar="ADDRESS", help="scheduler of a Dask cluster, such as tcp://10.0.0.5:8786")
    one.add_argument("--keep-journal", action="store_true", help="leave the journal OUT.part beside the output")
    one.add_argument("--quiet", action="store_true", help="show no progress")
    commands.add_parser("houses", help="list the house specifications that come with the program")


def cores() -> int:
    """The cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def run_houses() -> int:
    """Print the ready specifications: name, title, and the text to start from."""
    for name, text in ready().items():
        print(f"{name}: {from_yaml(text).title}\n\n{text}")
    return 0


def run_screen(options: argparse.Namespace, clock: Clock) -> int:
    """Screen what the options name; returns the exit code. Raises TableError where something cannot be used."""
    catalogue = _catalogue(options)
    for refused in catalogue.refused:
        print(f"reader: {refused.message}", file=sys.stderr)
    if options.columns:
        return _show_columns(catalogue)
    if not (options.house and options.out):
        raise TableError(say("screen_lacks"))
    out = Path(options.out)
    if out.suffix.lower() not in _ENDINGS:
        raise TableError(say("screen_ending", file=out.name, known=", ".join(_ENDINGS)))
    if not catalogue.sheets:
        return 2
    found = _screened(catalogue, _house(options.house), options, out, clock)
    if not found.finished:
        print(say("screen_stopped", count=f"{found.count:,}", whole=f"{found.whole:,}"), file=sys.stderr)
        return INTERRUPTED
    write(found, out)
    if options.letters:
        from reader.screening.letters_file import write_folder

        write_folder(found, Path(options.letters))
    if not options.keep_journal:
        found.journal.remove()
    print(say("screen_done", count=f"{found.count:,}", part=f"{found.failed:,}", file=out))
    return 0


def write(found: Screening, out: Path) -> None:
    """Write a screening in the form its ending names."""
    if out.suffix.lower() == ".xlsx":
        from reader.screening import workbook

        workbook.write(found, out)
    elif out.suffix.lower() == ".csv":
        from reader.screening import table

        table.write(found, out)
    else:
        from reader.page import screened

        out.write_text(screened.document(found), encoding="utf-8")


def _screened(
    catalogue: Catalogue, house: Specification, options: argparse.Namespace, out: Path, clock: Clock
) -> Screening:
    told = (lambda _: None) if options.quiet else _Teller(clock)
    with _stopped_by_ctrl_c() as stop:
        found = screen(
            catalogue,
            house,
            journal=out.with_name(out.name + ".part"),
            depth=options.depth,
            market=options.market,
            workers=options.workers,
            stop=stop,
            tell=told,
            runner=_runner(options.cluster),
        )
    if isinstance(told, _Teller):
        told.end()
    return found


def _runner(address: str | None) -> Runner | None:
    if not address:
        return None
    try:
        import distributed
    except ImportError as error:
        raise TableError(say("screen_no_cluster")) from error
    client: Any = distributed.Client  # untyped there
    return on_cluster(client(address))


class _Teller:
    """Writes one line over and over: how far it is, how fast, how long it may take."""

    def __init__(self, clock: Clock) -> None:
        self._clock, self._begun, self._last = clock, clock(), -_TOLD_EVERY
        self._first: int | None = None

    def __call__(self, progress: Progress) -> None:
        now = self._clock()
        if self._first is None:
            self._first, self._begun = progress.done, now
        if now - self._last < _TOLD_EVERY and progress.done != progress.whole:
            return
        self._last = now
        rate = (progress.done - self._first) / max(now - self._begun, 1e-9)
        left = (progress.whole or 0) - progress.done
        told = say("screen_progress", count=f"{progress.done:,}", whole=f"{progress.whole or 0:,}")
        if rate > 0 and left:
            told = say("screen_rate", text=told, value=f"{rate:,.1f}", left=_time(left / rate))
        print(f"\r{told:<76}", end="", file=sys.stderr, flush=True)

    def end(self) -> None:
        print(file=sys.stderr)


def _time(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole // 3600}:{whole // 60 % 60:02}:{whole % 60:02}"


@contextmanager
def _stopped_by_ctrl_c() -> Iterator[Event]:
    """An event that Ctrl-C sets: what is under way is finished and put down first. A second Ctrl-C ends at once."""
    stop = Event()
    if current_thread() is not main_thread():  # signals are for the main thread
        yield stop
        return

    def note(*_: object) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()

    before = signal.signal(signal.SIGINT, note)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _catalogue(options: argparse.Namespace) -> Catalogue:
    found = open_catalogue([Path(source) for source in options.sources])
    roles = dict(pair.split("=", 1) for pair in options.column)
    for sheet in found.sheets:
        names = {column.name for column in sheet.columns}
        own = {role: name for role, name in roles.items() if name in names}
        if own or options.basis:
            found = found.corrected(sheet.file, sheet.sheet, roles=own or None, basis=options.basis)
    missing = [name for name in roles.values() if not any(name == c.name for s in found.sheets for c in s.columns)]
    if missing:
        raise TableError(say("screen_no_column", names=", ".join(missing)))
    return found


def _show_columns(catalogue: Catalogue) -> int:
    for sheet in catalogue.sheets:
        print(f"{sheet.file} {sheet.sheet}".strip())
        for column in sheet.columns:
            print(f"  {column.name}: {column.role or '–'}  {column.why}")
        print(f"  {sheet.basis_why}" if sheet.basis_why else "", *sheet.remarks, sep="\n  ")
    return 0 if catalogue.sheets else 2


def _house(named: str) -> Specification:
    known = ready()
    text = known.get(named)
    if text is None:
        path = Path(named)
        if not path.is_file():
            raise TableError(say("screen_no_house", name=named, known=", ".join(known)))
        text = path.read_text(encoding="utf-8-sig", errors="replace")
    try:
        return from_yaml(text)
    except SpecificationError as error:
        raise TableError(str(error)) from error


def _pair(text: str) -> str:
    if "=" not in text:
        raise argparse.ArgumentTypeError(f"{text!r} must be written as ROLE=HEADER, such as statement=Zutaten")
    return text
