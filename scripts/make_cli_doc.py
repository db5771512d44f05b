"""Write docs/cli.md from the program's own help, so that the manual cannot fall behind.

Run by `make docs`; with --check it only says whether the page is as it should be.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from typer.main import get_command

from slackwater.cli import app
from slackwater.cli.faults import EXIT_CODES

PAGE = Path(__file__).resolve().parents[1] / "docs" / "cli.md"
WIDTH = 88

_HEAD = """\
# Commands

This page is written by `make docs` from the program's own help.

Every command takes `--help`, and prints JSON with `--json` (`exam --json OUT` writes it to a
file, `--json -` prints it). Quantities carry their unit: `120cm`, `48in`, `240L`, `75gal`. Names
are those that customers use; where several animals go by one, the answer names them with the
mark that tells them apart, and nothing is picked in silence. Work of more than a second shows a
bar, on standard error. Nothing is told by colour alone.
"""

_EXAM = """\
## Format of judged cases

A YAML list. Each case is something that experienced keepers broadly agree on. An outcome case:

```yaml
- id: open-001
  family: "tangs: Zebrasoma"       # main family of the case
  lever: congeners                 # what the case turns on
  system: {shape: box, length_cm: 120, width_cm: 50, height_cm: 50, rock: moderate}
  keeping: {feeds_per_day: 2}      # may be left out
  animals:                         # by day of release
    - {species: Zebrasoma flavescens, length_cm: 8, day: 0, count: 1}
  events:                          # may be left out
    - {day: 60, do: rescape}
  horizon_days: 365
  expect:
    - {kind: community, value: peaceful}
  why: one sentence
  confidence: high                 # high or medium
```

| key | what may stand there |
|---|---|
| `system` | `rock`: none, sparse, moderate, dense; also `sand_cm`, `lights_h`, `divider_cm` (from the left) |
| `keeping` | `feeds_per_day`, `stations`, `lid`, `corals`, `inverts`, `quarantine_days`, `food` |
| | `strong_first` |
| `animals` | `species`, `length_cm`, `day`, `count`; `sex`: male, female or pair; `wild`, `box_days` |
| | `side` of a divider: left or right; `place`: tank or sump |
| `events` | `do: rescape`; `do: take out` with `species` and `days` |
| `expect` | `harm` with `by`, `to`, `level` (none, mild, serious) |
| | `eaten` with `by`, `to`, `value` (true, false) |
| | `space` with `species`, `value` (enough, too_small) |
| | `nips` with `by`, `to`, `value` ("no", possible, likely) |
| | `community` with `value` (peaceful, uneasy, trouble) |

A comparison has `base` and `change`, each a whole description, `about` (a species, or `all`), and
`expect`: better, worse or same. The open cases are in `tests/cases/open.yaml`.

The JSON of `exam` holds `outcomes`, `comparisons`, `direction` (who harms whom: of two species in a
case, the one judged to do the graver harm must have the greater chance of doing harm),
`peaceful_called_settled`, `mild_and_uneasy`, `within_one_step`, `serious_recalled`,
`none_called_serious`, `brier`, `not_modelled` (fields that the model does not use), `not_judged`
(cases left out, with the reason) and `cases`, each with `expected`, `answer`, `right`, `p`, `p_back`
(the chance of harm the other way round) and `reason`. Shares by kind, lever and family stand beside
`commonest`, that of always answering the commonest word of each kind of question.
"""


def page() -> str:
    """Return the page as it should be."""
    return "\n".join([_HEAD, *_commands(), _exit_codes(), _EXAM])


def _commands() -> Iterator[str]:
    group: Any = get_command(app)
    context = group.context_class(group, info_name="slackwater", terminal_width=WIDTH)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        inner = command.context_class(command, info_name=name, parent=context, terminal_width=WIDTH)
        yield f"## {name}\n\n```\n{command.get_help(inner).rstrip()}\n```\n"


def _exit_codes() -> str:
    rows = [
        f"| {code} | `{kind.__name__}` | {_first_line(kind)} |"
        for kind, code in EXIT_CODES.items()
        if code > 1
    ]
    head = ["## Exit codes", "", "| code | error | when |", "|---|---|---|", "| 0 | | done |"]
    return "\n".join([*head, *sorted(rows), ""])


def _first_line(kind: type[Exception]) -> str:
    return (inspect.getdoc(kind) or "").splitlines()[0]


def main() -> None:
    """Write the page, or with --check say whether it is stale."""
    if "--check" in sys.argv:
        sys.exit(0 if PAGE.read_text(encoding="utf-8") == page() else f"{PAGE.name} is stale: run make docs")
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
