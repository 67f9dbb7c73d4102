"""The commands for buyers: `python -m reader screen FILES… --house HOUSE -o OUT`, `… houses`."""

from __future__ import annotations

import argparse
import os
import signal
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, current_thread, main_thread
from typing import Any

from reader.catalogue.column_names import ROLES
from reader.catalogue.reading import Catalogue
from reader.catalogue.trouble import TableError
from reader.catalogue.values import BASES
from reader.command_line.lists import catalogue_of, columns_shown
from reader.command_line.progress import Clock, ProgressLine
from reader.house.specification import SpecificationError, from_yaml, ready
from reader.house.values import ASK, FAILS, MEETS, Specification
from reader.makeup.values import DEPTHS, LIKELY
from reader.pipeline import MARKETS
from reader.screening.cluster import on_cluster
from reader.screening.run import Runner, screen
from reader.screening.values import Screening
from reader.wording import say

INTERRUPTED = 130  # exit code of a program that Ctrl-C ended (common practice)
_ENDINGS = (".xlsx", ".csv", ".html")
_JOURNAL = ".part"  # behind the name of the output


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
        help=f"take a column for something, nothing behind the = for none; roles are {', '.join(ROLES)}",
    )  # fmt: skip
    one.add_argument(
        "--sheet", action="append", default=[], metavar="NAME", help="read this sheet of workbooks, not the others"
    )
    one.add_argument(
        "--basis", choices=BASES, default="", help="what number columns are for (default: by the headings)"
    )
    one.add_argument("--market", choices=MARKETS, default="US", help="market of the rows that name none")
    one.add_argument("--depth", choices=DEPTHS, default=LIKELY, help="how far the make-up is worked out")
    one.add_argument(
        "--workers", type=_processes, default=cores(), help="processes (default: all cores; 0: none beside this)"
    )
    one.add_argument("--cluster", metavar="ADDRESS", help="scheduler of a Dask cluster, such as tcp://10.0.0.5:8786")
    one.add_argument("--keep-journal", action="store_true", help=f"leave the journal OUT{_JOURNAL} beside the output")
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
    paths = [Path(source) for source in options.sources]
    catalogue = catalogue_of(paths, dict(options.column), options.sheet, options.basis)
    for refused in catalogue.refused:
        print(f"reader: {refused.message}", file=sys.stderr)
    if not catalogue.sheets:
        return 2
    if options.columns:
        print(*columns_shown(catalogue), sep="\n", end="")
        return 0
    if not (options.house and options.out):
        raise TableError(say("screen_lacks"))
    house, out = _house(options.house), _checked(Path(options.out), paths)
    with _stopped_by_ctrl_c() as stop:
        found = _screened(catalogue, house, options, out, stop, clock)
    if not found.finished:
        print(_stopped(found), file=sys.stderr)
        return INTERRUPTED
    try:
        write(found, out)
        if options.letters:
            from reader.screening.letters_file import write_folder

            write_folder(found, Path(options.letters))
    except OSError as error:
        raise TableError(say("screen_not_written", error=str(error))) from error
    if not options.keep_journal:
        found.journal.remove()
    print(_done(found, out))
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


# -- what the options say -----------------------------------------------------------------------------------------


def _checked(out: Path, paths: list[Path]) -> Path:
    if out.suffix.lower() not in _ENDINGS:
        raise TableError(say("screen_ending", file=out.name, known=", ".join(_ENDINGS)))
    if any(out.resolve() == path.resolve() for path in paths):
        raise TableError(say("screen_out_is_in", file=out.name))
    return out


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
        raise TableError(say("screen_house_unread", file=named, sentence=str(error))) from error


def _pair(text: str) -> tuple[str, str]:
    role, equals, heading = text.partition("=")
    if not equals or role not in ROLES:
        raise argparse.ArgumentTypeError(
            f"{text!r} must be written as ROLE=HEADER, such as statement=Zutaten; roles are {', '.join(ROLES)}"
        )
    return role, heading


def _processes(text: str) -> int:
    if not text.isdecimal():
        raise argparse.ArgumentTypeError(f"{text!r} is no number of processes; write 0 or more")
    return int(text)


# -- the run ------------------------------------------------------------------------------------------------------


def _screened(
    catalogue: Catalogue, house: Specification, options: argparse.Namespace, out: Path, stop: Event, clock: Clock
) -> Screening:
    line = ProgressLine(clock, sys.stderr, quiet=options.quiet)
    with _runner(options.cluster) as runner:
        try:
            return screen(
                catalogue,
                house,
                journal=out.with_name(out.name + _JOURNAL),
                depth=options.depth,
                market=options.market,
                workers=options.workers,
                stop=stop,
                count=line.counted,
                tell=line.done,
                runner=runner,
            )
        finally:
            line.end()


@contextmanager
def _runner(address: str | None) -> Iterator[Runner | None]:
    """What does the work where it is not the processes of this machine."""
    if not address:
        yield None
        return
    try:
        import distributed
    except ImportError as error:
        raise TableError(say("screen_no_cluster")) from error
    new_client: Any = distributed.Client  # untyped there
    try:
        client = new_client(address)
    except (OSError, ValueError) as error:
        raise TableError(say("screen_no_scheduler", where=address, error=str(error))) from error
    with client:
        yield on_cluster(client)


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


# -- what came of it ----------------------------------------------------------------------------------------------


def _stopped(found: Screening) -> str:
    if not found.counted:
        return say("screen_stopped_early")
    return say("screen_stopped", count=f"{found.count:,}", whole=f"{found.whole:,}")


def _done(found: Screening, out: Path) -> str:
    of = Counter(placed.tally.standing for placed in found.placed)
    told = say("screen_done", count=f"{found.count:,}", part=f"{found.failed:,}", file=out)
    standings = say("screen_standings", count=f"{of[MEETS]:,}", part=f"{of[ASK]:,}", number=f"{of[FAILS]:,}")
    return f"{told}\n{standings}"
