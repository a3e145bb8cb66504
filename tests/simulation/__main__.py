"""python -m tests.simulation: many worlds, one again, or the broken designs.

--seeds 1-100000 --processes 2 --budget 3600   worlds; a broken one is named with its seed
--replay SEED                                  what happened in that world, step by step
--mutants [NAME ...] --search 100              how soon each broken design is found
"""

import argparse
import json
import os
import subprocess
import sys
from itertools import count

os.environ.setdefault("PYTHONHASHSEED", "0")

from tests.simulation.found import FOUND
from tests.simulation.mutants_all import MUTANTS
from tests.simulation.runner import Tally, first_catch, laboratory, live, not_whole, worlds


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.simulation", description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("--seeds", default="1-1000000")
    parser.add_argument("--these", type=int, nargs="*", help="these seeds and no others")
    parser.add_argument("--every", type=int, default=1, help="take each n-th of the seeds")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--budget", type=float, help="seconds after which to stop")
    parser.add_argument("--json", action="store_true", help="the tally alone, for a program")
    parser.add_argument("--replay", type=int)
    parser.add_argument("--mutants", nargs="*")
    parser.add_argument("--search", type=int, default=100, help="worlds for each")
    parser.add_argument("--recorded", action="store_true", help="first those that showed it before")
    parser.add_argument("--whole", action="store_true", help="the worlds on record, nothing broken")
    parser.add_argument("--focus", default="", help="what shall happen most: a fault or an action")
    args = parser.parse_args()
    if args.replay is not None:
        return replay(args.replay, args.focus)
    if args.mutants is not None:
        return hunt(args)
    first, _, last = args.seeds.partition("-")
    seeds = range(int(first), int(last or first) + 1, args.every)
    if args.these is not None:
        seeds, args.processes = args.these, 1
    if args.processes > 1:
        tally = spread(seeds, args.processes, args.budget, args.focus)
    else:
        with laboratory() as lab:
            tally = worlds(lab, seeds, args.budget, args.focus)
    print(tally.as_json() if args.json else tally.report())
    return 1 if tally.broken else 0


def replay(seed: int, focus: str) -> int:
    with laboratory() as lab:
        world, broken = live(lab, seed, focus)
    print("\n".join(world.history))
    print(f"seed {seed}: {broken or 'all promises kept'}")
    return 1 if broken else 0


def hunt(args: argparse.Namespace) -> int:
    chosen = [one for one in MUTANTS if not args.mutants or one.name in args.mutants]
    if args.whole:
        with laboratory() as lab:
            told = not_whole(
                lab, ((one, seed) for one in chosen for seed in FOUND.get(one.name, []))
            )
        print("\n".join(told) or "all whole")
        return 1 if told else 0
    finds = []
    with laboratory() as lab:
        for mutant in chosen:
            known = FOUND.get(mutant.name, []) if args.recorded else []
            find = first_catch(lab, mutant, [*known, *range(1, args.search + 1)])
            finds.append(find)
            print(json.dumps(find.__dict__) if args.json else find.told(), flush=True)
    tries = sorted(find.tried for find in finds if find.seen)
    if not args.json:
        median = tries[len(tries) // 2] if tries else None
        missed = [find.name for find in finds if not find.seen]
        print(f"{len(tries)} of {len(chosen)} found, median {median} worlds; missed: {missed}")
    return 0 if len(tries) == len(chosen) else 1


def spread(seeds: range, processes: int, budget: float | None, focus: str) -> Tally:
    """The same seeds dealt to several processes."""
    running = []
    for share in range(processes):
        command = [sys.executable, "-m", "tests.simulation", "--json"]
        command += ["--seeds", f"{seeds.start + share}-{seeds.stop - 1}"]
        command += ["--every", str(processes)]
        command += ["--budget", str(budget)] if budget else []
        command += ["--focus", focus] if focus else []
        running.append(subprocess.Popen(command, stdout=subprocess.PIPE, text=True))
    tally = Tally()
    for one, number in zip(running, count()):
        out, _ = one.communicate()
        if not out.strip():
            raise SystemExit(f"process {number} ended without a tally")
        tally.add(Tally.from_json(out.strip().splitlines()[-1]))
    return tally


if __name__ == "__main__":
    sys.exit(main())
