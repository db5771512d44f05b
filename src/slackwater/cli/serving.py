"""`serve`: the pages, on this machine and for this machine."""

from __future__ import annotations

from typing import Annotated

import typer

from slackwater.cli.house import House
from slackwater.cli.show import AsJson, as_json, paragraphs

_USUAL_PORT = 8640


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command("serve", short_help="Serve the pages.", epilog="Example: slackwater serve --port 8640")(serve)


def serve(
    *,
    host: Annotated[
        str, typer.Option("--host", help="An address of this machine alone.", metavar="HOST")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", help="The port; 0 for any that is free.", min=0, max=65535)
    ] = _USUAL_PORT,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Serve the pages on this machine and print their address; Ctrl-C ends it.

    Nobody is reached but this machine, and no other machine reaches it: without accounts an
    address beyond loopback is refused.
    """
    from slackwater.service.house import find_house_file
    from slackwater.web.serving import serve as serve_pages

    def told(address: str) -> None:
        if json:
            as_json({"address": address})
        else:
            paragraphs(f"Slackwater is at {address}", "Ctrl-C ends it.")

    serve_pages(host, port, told, find_house_file(house))
