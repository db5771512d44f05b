"""The program as a whole: help, faults and their exit codes."""

import os
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest
from typer.main import get_command
from typer.testing import Result

from slackwater import __version__, errors
from slackwater.cli import app
from slackwater.cli.faults import EXIT_CODES, exit_code

Run = Callable[..., Result]
GROUP: Any = get_command(app)
HEAVY = {
    "numpy",
    "numba",
    "scipy",
    "typst",
    "yaml",
    "pydantic",
    "highspy",
    "rich",
    "rapidfuzz",
    "pint",
    "fastapi",
    "sqlalchemy",
    "alembic",
}


def test_the_commands_are_those_of_the_design() -> None:
    assert list(GROUP.commands) == [
        "plan",
        "demo",
        "choose",
        "without",
        "also",
        "many",
        "whatif",
        "replan",
        "afterwards",
        "rank",
        "remedy",
        "evenings",
        "due",
        "diary",
        "check",
        "explain",
        "stones",
        "divider",
        "box",
        "aside",
        "feed",
        "ahead",
        "exam",
        "species",
        "name",
        "water",
        "card",
        "receive",
        "tanks",
        "keepers",
        "looks",
        "backup",
        "restore",
        "serve",
        "schema",
        "warm",
    ]


@pytest.mark.parametrize("name", GROUP.commands)
def test_every_command_has_help_an_example_and_json(run: Run, name: str) -> None:
    told = run(name, "--help").stdout
    assert told.startswith(f"Usage: slackwater {name}")
    assert f"Example: slackwater {name}" in told
    assert "--json" in told


def test_help_of_the_program(run: Run) -> None:
    told = run("--help").stdout
    assert all(f"\n  {name} " in told for name in GROUP.commands)
    assert "..." not in told.split("Commands:")[1]


def test_version(run: Run) -> None:
    assert run("--version").stdout.strip() == __version__


def test_every_error_class_ends_as_it_says() -> None:
    kinds = [
        k for k in vars(errors).values() if isinstance(k, type) and issubclass(k, errors.SlackwaterError)
    ]
    assert set(kinds) == set(EXIT_CODES)
    assert all(EXIT_CODES[kind] == kind.exit_code for kind in kinds)


def test_an_error_of_a_class_below_ends_as_the_one_above() -> None:
    class Special(errors.StoreError):
        pass

    assert exit_code(Special(store="x", problem="it is shut", remedy="Open it.")) == 6


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("check", "flame"), 2, "Centropyge loricula"),
        (("check", "royal gramma", "--length", "long"), 2, "--length is long"),
        (("check", "royal gramma", "--volume", "5 cm"), 2, "--volume is 5 cm"),
        (("check", "royal gramma", "--since", "soon"), 2, "--since is soon"),
        (("check", "royal gramma", "--rock", "marble"), 2, "marble"),
        (("check", "royal gramma", "--with", "flame"), 2, "scientific name"),
        (("check", "qqqzzz"), 3, "not a name in the species table"),
        (("explain", "six line", "qqqzzz"), 3, "not a name in the species table"),
        (("species", "qqqzzz"), 3, "not a name in the species table"),
        (("species", "flame"), 2, "scientific name"),
        (("exam", "nowhere.yaml"), 2, "nowhere.yaml is not to be found"),
        (("plan", "nowhere.yaml"), 2, "nowhere.yaml"),
        (("serve", "--host", "0.0.0.0"), 2, "for this machine alone"),  # noqa: S104 - refused
    ],
)
def test_faults_are_sentences_on_standard_error(
    run: Run, words: tuple[str, ...], code: int, said: str
) -> None:
    told = run(*words, code=code)
    assert said in told.stderr
    assert told.stdout == ""
    assert "Traceback" not in told.output


@pytest.mark.parametrize(
    "words", [("check",), ("nothing",), ("check", "a", "--nothing"), ("exam", "--confidence", "low")]
)
def test_faults_of_the_command_line_itself_end_with_2(run: Run, words: tuple[str, ...]) -> None:
    assert "--help" in run(*words, code=2).stderr


@pytest.mark.slow
def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys; sys.argv = ['slackwater', '--help']\n"
        "from slackwater.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(sorted(sys.modules), file=sys.stderr)"
    )
    told = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env=os.environ
    )
    assert "Usage: slackwater" in told.stdout
    assert not HEAVY & {name.strip("'[] \n") for name in told.stderr.split(",")}


def test_the_package_runs_as_the_command_does() -> None:
    asked = [sys.executable, "-m", "slackwater", "--version"]
    told = subprocess.run(asked, capture_output=True, text=True, check=True)
    assert __version__ in told.stdout
