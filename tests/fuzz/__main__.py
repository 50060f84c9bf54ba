"""``python -m tests.fuzz``: the long run. ``--only site:12`` runs one case again."""

from __future__ import annotations

import argparse
import random
import sys

from tests.fuzz.pool import MEMORY, SECONDS, run

USUAL = {"site": 500, "result": 200, "workbook": 100, "drawing": 200}


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.fuzz", description="Random damage to sites, result files and workbooks; drawings of random sites."
    )
    for kind, count in USUAL.items():
        parser.add_argument(f"--{kind}s", type=int, default=count, metavar="N", help=f"how many (usually {count})")
    parser.add_argument("--seed", type=int, help="where the seeds begin (usually at random, and printed)")
    parser.add_argument("--only", action="append", metavar="CASE", help="such as site:12; may be given again")
    parser.add_argument("--workers", type=int, default=2)
    args = parser.parse_args()
    seed = random.SystemRandom().randrange(1_000_000_000) if args.seed is None else args.seed
    cases = args.only or [f"{kind}:{seed + i}" for kind in USUAL for i in range(getattr(args, f"{kind}s"))]
    print(f"{len(cases)} cases" + ("" if args.only else f", seeds from {seed}"), flush=True)
    out = run(cases, args.workers)
    for name, count in sorted(out.counts.items()):
        print(f"  {name}: {count}")
    print(
        f"  slowest: {out.slowest[1]}, {out.slowest[0]:.1f} s (at most {SECONDS:.0f}); largest process: {out.largest >> 20} MiB (at most {MEMORY >> 20})"
    )
    for case, said in sorted(out.failed):
        print(f"\nFAILED  python -m tests.fuzz --only {case}\n{said.rstrip()}")
    print(f"\n{len(out.failed)} of {len(cases)} failed" if out.failed else "all held")
    return 1 if out.failed else 0


if __name__ == "__main__":
    sys.exit(main())
