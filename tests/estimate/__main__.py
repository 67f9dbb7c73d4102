"""Tables of the proof: `python -m tests.estimate [N]`, or `python -m tests.estimate panels FILE`.

N is the number of labels for coverage (default 270); the other tables use a part of it.
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from pathlib import Path
from statistics import mean, median

from tests.estimate import bench, real_panels
from tests.estimate.faults import FAULTS, met
from tests.estimate.labels import labels
from tests.estimate.likely import Estimates, estimates
from tests.estimate.measure import share_of, told
from tests.estimate.recipes import CUTS, HOSTILE, TRIANGULAR, UNIFORM

_MAIN = ("meat", "mechanically_separated", "water", "added_water", "binders", "sweeteners", "salt")


def possible(count: int) -> None:
    print(f"\nTRUTH INSIDE WHAT IS POSSIBLE ({count} labels for each scatter, printed numbers taken exactly)")
    for scatter in (TRIANGULAR, UNIFORM, HOSTILE):
        read = [(label, label.read("possible", tolerance="strict").makeup) for label in labels(count, 1, scatter)]
        every = [r for label, makeup in read for r in told(label, makeup)]
        outside: dict[tuple[str, str], int] = defaultdict(int)
        for r in every:
            outside[r.label.family.id, r.kind] += not r.possible
        clashes = sum(makeup.clash is not None for _, makeup in read)
        wrong = {k: v for k, v in outside.items() if v}
        print(
            f"  {scatter:11} {share_of(r.possible for r in every):.5f} of {len(every)}; contradictory {clashes}; outside {wrong}"
        )


def by_target(found: Estimates) -> None:
    print(
        f"  {'target':32} {'N':>5} {'possible':>8} {'width':>7} {'likely':>7} {'width':>7} {'error':>7} {'bias':>7} {'printed':>7} {'error':>7}"
    )
    for kind in found.kinds:
        of = found.of(kind)
        inside = share_of(r.possible for r in of.every)
        print(
            f"  {kind:32} {len(of.every):5} {inside:8.3f} {of.possible_width:7.1f} {of.coverage:7.3f} {of.width:7.2f}"
            f" {of.error():7.2f} {of.bias():+7.2f} {of.printed():7} {of.error(printed_only=True):7.2f}"
        )


def by_family(found: Estimates) -> None:
    print("\nMEAT TOTAL BY FAMILY: possible width / likely width / median error / coverage")
    meat = found.of("meat").every
    for family in dict.fromkeys(r.label.family.id for r in meat):
        of = Estimates(tuple(r for r in meat if r.label.family.id == family), found.beyond)
        print(
            f"  {family:32} {of.possible_width:6.1f} {of.width:6.1f} {of.error():6.2f} {of.coverage:6.2f}  N {len(of.every)}"
        )


def sensitivity(count: int) -> None:
    print(f"\nSENSITIVITY ({count} labels a row): likely coverage and median error")
    print(f"  {'':34}" + "".join(f"{kind[:14]:>17}" for kind in _MAIN))
    rows: list[tuple[str, str, dict[str, str]]] = [
        ("triangular, usual tolerance", TRIANGULAR, {}),
        ("triangular, strict", TRIANGULAR, {"tolerance": "strict"}),
        ("triangular, legal", TRIANGULAR, {"tolerance": "legal"}),
        ("as cuts of meat, usual tolerance", CUTS, {}),
        ("as cuts of meat, strict", CUTS, {"tolerance": "strict"}),
        ("uniform, usual tolerance", UNIFORM, {}),
        ("hostile, usual tolerance", HOSTILE, {}),
        ("usual doses off", TRIANGULAR, {"usual_doses": "off"}),
    ]
    for words, scatter, choices in rows:
        chosen = labels(count, 13, scatter)
        if "usual_doses" in choices:
            chosen = [one for one in chosen if one.family.id != "plant-based links"]
        found = estimates(chosen, **choices)
        cells = (f"{of.coverage:9.2f} · {of.error():5.2f}" if (of := found.of(k)).every else " " * 17 for k in _MAIN)
        print(f"  {words:34}" + "".join(cells))


def faults(count: int) -> None:
    print(f"\nFAULTS ({count} labels each, printed numbers taken exactly; in brackets the design note)")
    for fault in FAULTS:
        found = met(fault, count)
        note = f"{fault.first:.2f}" if fault.first is not None else "–"
        print(
            f"  {fault.id:30} contradictory {found.infeasible:.2f} ({fault.infeasible:.2f})   culprit first {found.first:.2f} ({note})"
            f"   among suspects {found.listed:.2f}   suspects {found.suspects:g}"
        )


def times(count: int) -> None:
    print(f"\nTIME, CPU ms of one process ({count} labels); ratios are to linprog in the same run")
    chosen, rng = labels(count, 14), random.Random(14)
    possible_, likely_ = bench.of_labels(chosen, "possible"), bench.of_labels(chosen, "likely")
    order = bench.of_labels(chosen, "order")
    bounds = [(a - o) for a, o in zip(possible_, order, strict=True)]
    plain = [bench.per_bound(label, rng) for label in chosen]
    asked = mean(n for _, n in plain)
    print(f"  bounds: median {median(bounds):.1f}, p95 {bench.p95(bounds):.1f} for {asked:.0f} solves on average")
    print(f"  for 40 solves: median {median(b * 40 / n for b, (_, n) in zip(bounds, plain, strict=True)):.1f}")
    print(f"  whole with sampling: median {median(likely_):.1f}, p95 {bench.p95(likely_):.1f}")
    whole = [(ms * n, b, w) for (ms, n), b, w in zip(plain, bounds, likely_, strict=True)]
    print(f"  linprog for the same bounds, each built anew: median {median(p for p, _, _ in whole):.1f}")
    print(
        f"  ratio linprog / bounds {median(p / b for p, b, _ in whole):.1f}; whole / linprog {median(w / p for p, _, w in whole):.2f}"
    )
    for depth in ("possible", "likely"):
        grown = bench.growth(depth)
        told_ = (f"{n} ingredients {ms:.0f} ms{'' if made else ' (by order alone)'}" for n, ms, made in grown)
        print(f"  growth, {depth:8} " + ", ".join(told_))


def panels(path: Path) -> None:
    for tolerance in ("strict", "usual", "legal"):
        found = list(real_panels.fits(path, tolerance))
        every = sum(f.panels for f in found)
        print(f"\nREAL PANELS, tolerance {tolerance}: {sum(f.fit for f in found)} of {every} fit a generic list")
        for f in found:
            print(f"  {f.kind:18} {f.fit:3} of {f.panels:3}   first suspects {dict(f.suspects)}")


def main(count: int) -> None:
    possible(count)
    found = estimates(labels(count, 11, TRIANGULAR))
    print(
        f"\nLIKELY RANGES ({count} labels, composition triangular); printed: middles a user would see, and their error"
    )
    by_target(found)
    by_family(found)
    print(f"\nLIKELY RANGES ({count // 2} labels, composition hostile)")
    by_target(estimates(labels(count // 2, 12, HOSTILE)))
    sensitivity(max(27, count // 4))
    faults(max(20, count // 4))
    times(max(27, count // 8))


if __name__ == "__main__":
    if sys.argv[1:2] == ["panels"]:
        panels(Path(sys.argv[2]))
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 270)
