"""`python -m tests.benchmarks.lighthouse [--runs N]`: see the package."""

import argparse

from tests.benchmarks.lighthouse import measure


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.lighthouse")
    parser.add_argument("--runs", type=int, default=5)
    measure(runs=parser.parse_args().runs)


if __name__ == "__main__":
    main()
