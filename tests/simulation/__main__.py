"""python -m tests.simulation --seeds 1-1000 | --replay SEED"""

import argparse
import shutil
import sys
import time
import traceback
from collections import Counter

from tests.simulation import clinic
from tests.simulation.node import Node


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.simulation")
    parser.add_argument("--seeds", default="1-100")
    parser.add_argument("--replay", type=int)
    args = parser.parse_args()
    folder = clinic.start_django()
    from tests.simulation.world import Lab, Violation, World

    database = clinic.Database(folder)
    cast = clinic.make_cast()
    database.keep_base()
    node = Node()
    lab = Lab(node, clinic.Server(), database, cast)
    first, _, last = args.seeds.partition("-")
    seeds = [args.replay] if args.replay is not None else range(int(first), int(last or first) + 1)
    began = time.monotonic()
    total: Counter = Counter()
    faults: Counter = Counter()
    bad = []
    done = 0
    for seed in seeds:
        world = World(seed, lab)
        try:
            world.live()
        except Exception as error:
            bad.append((seed, f"{type(error).__name__}: {error}"))
            print("SEED", seed, type(error).__name__, error, flush=True)
            if not isinstance(error, Violation):
                traceback.print_exc()
                if args.replay is None and len(bad) > 5:
                    break
        total += world.counts
        faults += world.network.faults
        total["entries"] += len(world.oracle.shown)
        total["requests"] += lab.server.count
        lab.server.count = 0
        done += 1
        if args.replay is not None:
            print("\n".join(world.history))
    took = time.monotonic() - began
    print(f"{done} seeds in {took:.1f} s = {done / took:.1f}/s; {len(bad)} bad")
    print(dict(total))
    print(dict(faults))
    node.close()
    shutil.rmtree(folder)
    return 1 if bad else 0


sys.exit(main())
