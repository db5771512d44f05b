from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from slackwater.cli import app

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    """Return a function that runs a command line and hands back what came of it."""

    def command(*words: str, code: int = 0) -> Result:
        told = CliRunner().invoke(app, list(words), prog_name="slackwater")
        assert told.exit_code == code, told.output
        return told

    return command


@pytest.fixture
def run_json(run: Run) -> Callable[..., Any]:
    """Return a function that runs a command line and reads the JSON it prints."""

    def command(*words: str) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(run(*words).stdout)
        return told

    return command
