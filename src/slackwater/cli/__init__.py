"""The terminal: parses what was typed, calls one service function, and shows what comes back."""

from slackwater.cli.app import app, main

__all__ = ["app", "main"]
