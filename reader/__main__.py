"""The command line: `python -m reader read FILE`, `… table IN -o OUT`, `… compare IN -o OUT`, `… rules`; for buyers
`… screen FILES --house HOUSE -o OUT`, `… houses`.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from reader.catalogue.trouble import TableError
from reader.catalogue.values import BASES
from reader.command_line.screen import INTERRUPTED, run_houses, run_screen
from reader.command_line.screen import add_to as add_screening
from reader.compare.ranking import CRITERIA, POSSIBLE
from reader.compare.ranking import LIKELY as LIKELY_RANGES
from reader.compare_files import SHEETS, compare_file
from reader.law.listing import as_markdown, judges_as_markdown
from reader.law.rules import all_rules, rules_of
from reader.makeup.values import DEPTHS, LIKELY
from reader.many import read_table
from reader.pipeline import MARKETS, read_label
from reader.plain import as_text


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code, 0 if it did its work, 2 if the input was no file or table."""
    options = _parser().parse_args(arguments)
    try:
        return _COMMANDS[options.command](options)
    except BrokenPipeError:  # whoever read what is printed has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else the end would write into the pipe again
        return 0
    except KeyboardInterrupt:
        return INTERRUPTED
    except (OSError, TableError) as error:
        print(f"reader: {error}", file=sys.stderr)
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m reader", description="Reads sausage labels.")
    commands = parser.add_subparsers(dest="command", required=True)
    one = commands.add_parser("read", help="read one label and print the report")
    one.add_argument("file", help="text file with the statement or the whole label; - for standard input")
    one.add_argument("--panel", metavar="FILE", help="text file with the nutrition panel")
    one.add_argument("--name", default="", help="the name on the front of the pack")
    one.add_argument(
        "--market", choices=MARKETS, default="US", help="whose law the label follows (AU: Australia and New Zealand)"
    )
    one.add_argument(
        "--assume", action="append", default=[], type=_pair, metavar="ID=CHOICE",
        help="change an assumption of the make-up, such as tolerance=legal; the report lists them",
    )  # fmt: skip
    one.add_argument(
        "--class", dest="classed_as", default="", metavar="CLASS", help="what the product is before the law"
    )
    one.add_argument(
        "--on",
        type=date.fromisoformat,
        metavar="YYYY-MM-DD",
        help="the day whose rules count (default: those known now)",
    )
    one.add_argument("--json", action="store_true", help="print the report as JSON")
    many = commands.add_parser("table", help="read a table of labels and write it with the readings")
    many.add_argument("source", metavar="IN", help="CSV, XLSX or JSON lines with a column of ingredient statements")
    many.add_argument("-o", "--out", metavar="OUT", required=True, help="CSV or XLSX to write")
    side = commands.add_parser("compare", help="read a table of 2 to 40 packs and write them side by side")
    side.add_argument("source", metavar="IN", help="as for `table`, also with prices and net weights")
    side.add_argument("-o", "--out", metavar="OUT", required=True, help="HTML or CSV to write")
    side.add_argument(
        "--weights", type=_weights, default={}, metavar="NAME=0–10,…",
        help=f"rank by a weighted mean of {', '.join(CRITERIA)}, such as meat_source=5,sodium=3",
    )  # fmt: skip
    side.add_argument(
        "--rank-by", choices=(POSSIBLE, LIKELY_RANGES), default=POSSIBLE, help="the ranges that tell packs apart"
    )
    side.add_argument("--sort", default="", metavar="MEASURE", help="sort by a measure, such as sodium_100g")
    side.add_argument("--sheet", choices=SHEETS, default=SHEETS[0], help="what to write as HTML")
    rules = commands.add_parser("rules", help="print the rules labels are held against, as a table in Markdown")
    rules.add_argument("--market", choices=MARKETS, help="only those of a market")
    add_screening(commands)
    for command in (many, side):
        command.add_argument("--market", choices=MARKETS, default="US", help="market of the rows that name none")
        command.add_argument(
            "--basis", choices=BASES, default="", help="what the number columns are for (default: as the headings say)"
        )
    for command in (one, many, side):
        command.add_argument(
            "--depth", choices=DEPTHS, default=LIKELY, help="how far the make-up is worked out (order is the fastest)"
        )
    return parser


def _pair(text: str) -> str:
    if "=" not in text:
        raise argparse.ArgumentTypeError(f"{text!r} must be written as ID=CHOICE, such as tolerance=legal")
    return text


def _weights(text: str) -> dict[str, float]:
    try:
        return {name.strip(): float(weight) for name, weight in (pair.split("=") for pair in text.split(","))}
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} must be written as meat_source=5,sodium=3") from error


def _read(options: argparse.Namespace) -> int:
    statement = _text(options.file)
    panel = _text(options.panel) if options.panel else ""
    choices = dict(pair.split("=", 1) for pair in options.assume)
    try:
        report = read_label(
            statement, panel, name=options.name, market=options.market, on=options.on, depth=options.depth,
            choices=choices, classed_as=options.classed_as,
        )  # fmt: skip
    except ValueError as error:  # an assumption or a class that is not known
        print(f"reader: {error}", file=sys.stderr)
        return 2
    if options.json:
        print(json.dumps(report.to_dict(), ensure_ascii=False, indent=2))
    else:
        print(as_text(report), end="")
    return 0


def _text(file: str) -> str:
    data = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _table(options: argparse.Namespace) -> int:
    count = read_table(
        Path(options.source), Path(options.out), basis=options.basis, market=options.market, depth=options.depth
    )
    print(f"{count} labels read into {options.out}")
    return 0


def _compare(options: argparse.Namespace) -> int:
    try:
        count = compare_file(
            Path(options.source), Path(options.out), basis=options.basis, market=options.market, depth=options.depth,
            weights=options.weights, by=options.rank_by, sort=options.sort, sheet=options.sheet,
        )  # fmt: skip
    except ValueError as error:  # a weight or a measure that is not known, or a file that is no table
        print(f"reader: {error}", file=sys.stderr)
        return 2
    print(f"{count} {'pack' if count == 1 else 'packs'} written to {options.out}")
    return 0


def _rules(options: argparse.Namespace) -> int:
    print(as_markdown(rules_of(options.market) if options.market else all_rules()), end="\n")
    print(judges_as_markdown(), end="")
    return 0


_COMMANDS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "read": _read,
    "table": _table,
    "compare": _compare,
    "rules": _rules,
    "screen": lambda options: run_screen(options, time.monotonic),
    "houses": lambda _: run_houses(),
}

if __name__ == "__main__":
    sys.exit(main())
