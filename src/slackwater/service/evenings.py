"""A page for the evening and the first week of each release: by the clock, what to count, room to write."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from slackwater.plan.records import Plan
from slackwater.plan.watch_sheet import sheet_for_release
from slackwater.service.planning import PaperName, plan_file
from slackwater.service.written import write_all

Tick = Callable[[str], None]


def evenings_file(
    source: Path | str, today: dt.date, out: Path, paper: PaperName = "a4", tick: Tick = lambda _: None
) -> tuple[Path, ...]:
    """Plan a tank file and write a page for each of its releases.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    out
        The folder.
    paper
        `a4` or `us-letter`.
    tick
        Called with the name of each step of the work.

    Returns
    -------
    tuple of Path
        release-1.pdf and so on, in the order of the releases; none where nobody is let go.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return write_evenings(plan_file(source, today, tick), out, paper)


def write_evenings(plan: Plan, out: Path, paper: PaperName = "a4") -> tuple[Path, ...]:
    """Write a page for each release of a plan; all are made before the first is written."""
    from slackwater.report.watch import watch_bytes

    made = {
        f"release-{release.number}.pdf": watch_bytes(sheet_for_release(plan, release), plan.made_on, paper)
        for release in plan.releases
    }
    return write_all(out, made)
