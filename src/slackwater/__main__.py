"""`python -m slackwater`: the same as the command."""

from __future__ import annotations

from slackwater.cli import main

if __name__ == "__main__":
    main()
