"""Run all benchmarks one after another, each in a process of its own, and print what they say.

    python benchmarks/run.py [NAME ...]

Times are of this machine at this hour; only ratios within one run mean much.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent


def main(names: list[str]) -> int:
    """Run the named benchmarks, or all, and return the worst exit code."""
    wanted = names or sorted(p.stem for p in HERE.glob("bench_*.py"))
    worst = 0
    for name in wanted:
        print(f"\n== {name}", flush=True)
        done = subprocess.run([sys.executable, str(HERE / f"{name}.py")], cwd=HERE.parent, check=False)  # noqa: S603 - our own files
        worst = max(worst, done.returncode)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
