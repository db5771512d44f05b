"""Time the open judged cases on one and on two processes, and a counter check in a new process."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from slackwater.service.exam import read_cases
from slackwater.service.sitting import sit

CASES = Path(__file__).parents[1] / "tests/cases/open.yaml"
CHECK = ["check", "yellow tang", "--length", "120cm", "--with", "2 ocellaris 6cm", "--json"]


def main() -> None:
    """Print seconds and their ratio."""
    cases = read_cases([CASES])
    took = {}
    for jobs in (1, 2):
        start = time.perf_counter()
        sit(cases, jobs=jobs)
        took[jobs] = time.perf_counter() - start
        print(f"{len(cases)} judged cases, {jobs} process(es): {took[jobs]:.1f} s")
    print(f"two processes are {took[1] / took[2]:.2f} times as fast as one")
    start = time.perf_counter()
    command = [sys.executable, "-c", "from slackwater.cli import main; main()", *CHECK]
    subprocess.run(command, check=True, capture_output=True)  # noqa: S603 - our own program
    print(f"a counter check in a new process: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main()
