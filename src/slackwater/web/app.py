"""The app: guard, files, pages and API around one shell."""

from __future__ import annotations

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from fastapi import FastAPI
from starlette.middleware import Middleware

from slackwater import __version__
from slackwater.settings import Settings
from slackwater.web import api, faults, pages
from slackwater.web.cabinet import Cabinet
from slackwater.web.desk import Desk
from slackwater.web.files import StaticFiles
from slackwater.web.guard import LARGEST_BODY_BYTES, LOOPBACK_NAMES, Guard
from slackwater.web.lettering import WEIGHTS, letters
from slackwater.web.packing import PackingMiddleware
from slackwater.web.shell import Shell
from slackwater.web.views import Views
from slackwater.web.work import Works

_SMALLEST_PACKED_BYTES = 500


@dataclass(frozen=True)
class WebOptions:
    """What a server is made with.

    `hosts` are the names it may be called by; `house` is the file of house notes; `warm` says
    whether it gets ready for the first question while it starts; `settings` say where tanks are
    kept, those of the surroundings if left out.
    """

    hosts: Collection[str] = LOOPBACK_NAMES
    house: Path | None = None
    largest_body_bytes: int = LARGEST_BODY_BYTES
    warm: bool = True
    settings: Settings | None = None


def create_app(options: WebOptions | None = None) -> FastAPI:
    """Return the pages and the API as one ASGI app."""
    options = options or WebOptions()
    files = StaticFiles({name: partial(letters, weight) for name, weight in WEIGHTS.items()})
    shell = Shell(files, Views(files), Desk(options.house), Works(options.house), Cabinet(options.settings))
    app = FastAPI(
        title="Slackwater",
        version=__version__,
        summary="Plans and keeps marine tanks whose fish leave one another in peace.",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=partial(_open, shell, warm=options.warm),
        middleware=[
            Middleware(Guard, hosts=options.hosts, largest_body_bytes=options.largest_body_bytes),
            Middleware(PackingMiddleware, minimum_size=_SMALLEST_PACKED_BYTES),
        ],
    )
    app.state.shell = shell
    faults.add_to(app)
    api.add_to(app)
    pages.add_to(app)
    app.mount("/static", files)
    return app


@asynccontextmanager
async def _open(shell: Shell, _: FastAPI, *, warm: bool) -> AsyncIterator[None]:
    """Get ready while the server starts, and let all go when it ends."""
    if warm:
        shell.desk.warm(shell.files.warm)
    try:
        yield
    finally:
        shell.works.close()
        shell.desk.close()
        shell.cabinet.close()
