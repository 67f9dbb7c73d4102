"""Speed of the reader on this machine: `python -m tests.bench [FOLDER]`.

FOLDER holds a labels.csv with a column `statement` (default: the golden labels of the tests). Prints medians and
ratios measured in one run; absolute times mean little on a noisy machine, ratios mean more.
"""

from __future__ import annotations

import csv
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from rapidfuzz import process

from reader import facts, read_label, wordforms
from reader.many import read_table
from reader.naming.lookup import known, near
from reader.naming.names import names
from reader.panel.reading import Panel, panel_from_columns

NUTRIENTS = ("energy_kcal", "fat_g", "satfat_g", "carb_g", "sugar_g", "fibre_g", "protein_g", "sodium_mg")
HOSTILE = {
    "nested brackets": "(", "brackets with words": "(pork,", "closing brackets": ")", "commas": ",", "digits": "1",
    "digits and commas": "1,", "one endless item": "pork ", "a long list": "pork, water, salt, ", "percentages": "2% ",
    "clauses": "contains 2% or less of ", "tags": "<a", "entities": "&amp;", "stars": "* ", "labels": "pork: ",
    "panel rows": "fat 12 g ", "joiners": "pork and ",
}  # fmt: skip


def milliseconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1e3


def start_up() -> float:
    """Import and first reading in a new interpreter, ms, median of seven."""
    code = (
        "import time; t=time.perf_counter(); from reader import read_label; read_label('pork, water', 'sodium 480 mg', depth='order'); "
        "print((time.perf_counter()-t)*1e3)"
    )
    runs = [
        float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout)
        for _ in range(7)
    ]
    return statistics.median(runs)


def one_label(statements: list[str]) -> tuple[float, float]:
    """Median ms a label, read for the first time and read again."""
    read_label("pork", depth="order")
    known.cache_clear()
    near.cache_clear()
    first = [milliseconds(lambda s=s: read_label(s, depth="order")) for s in statements]  # type: ignore[misc]
    again = [milliseconds(lambda s=s: read_label(s, depth="order")) for s in statements]  # type: ignore[misc]
    return statistics.median(first), statistics.median(again)


def through_table(statements: list[str]) -> float:
    """Labels a second through `python -m reader table`, files included, on one core."""
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder, "in.csv"), Path(folder, "out.csv")
        with source.open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(["statement", "serving_size_g", "sodium_mg", "fat_g"])
            rows = (statements * (1 + 2000 // len(statements)))[:2000]
            writer.writerows([s, 50, 900, 25] for s in rows)
        return 2000 / (milliseconds(lambda: read_table(source, target, depth="order")) / 1e3)


def with_make_up(rows: list[dict[str, str]], depth: str) -> tuple[float, float]:
    """Median and 95th percentile of ms a label with its panel, the make-up worked out to a depth."""
    times = []
    chosen = [r for r in rows if (r.get("protein_g") or "") and r.get("group") == "sausage"][:30]
    for row in chosen[:1]:  # what is loaded at first use is start-up and not of a label
        read_label(row["statement"], typed_panel=typed_panel_of(row), depth=depth)
    for row in chosen:
        panel = typed_panel_of(row)
        read_label(row["statement"], typed_panel=panel, depth="order")  # names seen before
        times.append(milliseconds(lambda r=row, p=panel: read_label(r["statement"], typed_panel=p, depth=depth)))  # type: ignore[misc]
    return statistics.median(times), statistics.quantiles(times, n=20)[-1]


def typed_panel_of(row: dict[str, str]) -> Panel:
    values = {n: float(row[n]) for n in NUTRIENTS if row.get(n)}
    return panel_from_columns(values, serving_g=float(row["serving_size_g"] or 0) or None, basis="per100g", market="US")


def against_plain(statements: list[str]) -> float:
    """How many times faster our naming is than rapidfuzz `extractOne` over all wordings for every term."""
    terms = [
        i.printed
        for s in statements[:40]
        for x in read_label(s, depth="order").listed.sections
        for i in facts.walk(x.ingredients)
    ]
    wordings = names().keys
    plain = milliseconds(lambda: [process.extractOne(wordforms.key(t), wordings) for t in terms])
    known.cache_clear()
    near.cache_clear()
    ours = milliseconds(lambda: [known(t) or near(t) for t in terms])
    return plain / ours


def hostile() -> list[tuple[str, float, float]]:
    """(kind, s for 100 kB, ratio of 100 kB to 50 kB) of pastes made to be slow."""
    found = []
    for kind, unit in HOSTILE.items():
        whole = (unit * (100_000 // len(unit) + 1))[:100_000]
        half = milliseconds(lambda w=whole: read_label(w[:50_000]))  # type: ignore[misc]
        full = milliseconds(lambda w=whole: read_label(w))  # type: ignore[misc]  # once: caches would hide what is slow
        found.append((kind, full / 1e3, full / max(half, 1e-9)))
    return found


def main(folder: Path) -> None:
    rows = list(csv.DictReader((folder / "labels.csv").open(encoding="utf-8")))
    statements = [row["statement"] for row in rows]
    first, again = one_label(statements)
    print(f"import, lexicon and first label   {start_up():8.1f} ms")
    print(f"a label, first time               {first:8.2f} ms")
    print(f"a label, read again               {again:8.2f} ms")
    if any(row.get("protein_g") for row in rows):
        for depth in ("possible", "likely"):
            median, most = with_make_up(rows, depth)
            print(f"make-up, what is {depth:17}{median:8.0f} ms   95 % below {most:.0f}")
    print(f"labels a second through a table   {through_table(statements):8.0f}")
    print(f"naming against plain extractOne   {against_plain(statements):8.0f} times faster")
    for kind, seconds, growth in hostile():
        print(f"100 kB of {kind:22}  {seconds:8.2f} s   {growth:4.1f} × the time of 50 kB")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent.parent / "labels")
