"""What every page and endpoint needs, made once with the server."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from fastapi import Request

from slackwater.web.cabinet import Cabinet
from slackwater.web.desk import Desk
from slackwater.web.files import StaticFiles
from slackwater.web.views import Views
from slackwater.web.work import Works


@dataclass(frozen=True)
class Shell:
    """The files, the views, the desk for quick answers, the works for long ones, and what is kept."""

    files: StaticFiles
    views: Views
    desk: Desk
    works: Works
    cabinet: Cabinet


def shell_of(request: Request) -> Shell:
    """Return the shell of the server that a request came to."""
    return cast("Shell", request.app.state.shell)
