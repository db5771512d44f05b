"""The manual of the commands, and the commands of the README, are those of the program."""

import importlib.util
import re
import shlex
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from slackwater.cli import app
from slackwater.service.animals import all_meant
from slackwater.service.tankfile import load

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"^slackwater (.+?)(?:\s+#.*)?$", README, flags=re.MULTILINE)
QUICK = ("check", "explain", "name", "species", "schema")


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_cli_doc", ROOT / "scripts" / "make_cli_doc.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_manual_is_as_the_program_says(script: ModuleType) -> None:
    assert script.PAGE.read_text(encoding="utf-8") == script.page()


def test_the_manual_names_every_command(script: ModuleType) -> None:
    group: Any = get_command(app)
    for name in group.commands:
        assert f"\n## {name}\n" in script.page()


def test_the_readme_shows_commands() -> None:
    assert len(SHOWN) >= 8


@pytest.mark.parametrize("line", SHOWN)
def test_every_command_of_the_readme_can_be_parsed(line: str) -> None:
    group: Any = get_command(app)
    name, *rest = shlex.split(line.partition(">")[0])
    context = group.context_class(group, info_name="slackwater")
    assert name in group.commands
    group.commands[name].make_context(name, rest, parent=context)


@pytest.mark.parametrize("line", [line for line in SHOWN if line.startswith(QUICK)])
def test_the_quick_commands_of_the_readme_run(line: str) -> None:
    told = CliRunner().invoke(app, shlex.split(line.partition(">")[0]))
    assert told.exit_code == 0, told.output


def test_the_tank_file_of_the_readme_can_be_read() -> None:
    (text,) = re.findall(r"```yaml\n(.+?)```", README, flags=re.DOTALL)
    tank_file = load(text)
    said = [row.animal for row in (*tank_file.company, *tank_file.wishes)]
    assert all_meant([(name, "an animal") for name in said])


def test_the_example_of_every_command_can_be_parsed() -> None:
    group: Any = get_command(app)
    context = group.context_class(group, info_name="slackwater")
    for name, command in group.commands.items():
        program, called, *rest = shlex.split(command.epilog.removeprefix("Example: ").partition(">")[0])
        assert (program, called) == ("slackwater", name)
        command.make_context(name, rest, parent=context)
