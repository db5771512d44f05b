"""Slackwater plans and keeps marine tanks whose fish leave one another in peace."""

__version__ = "0.1.0"
