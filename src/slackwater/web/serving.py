"""`slackwater serve`: the pages on this machine, for this machine."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable
from pathlib import Path

from slackwater.errors import InputError, StoreError

_BACKLOG = 128


def serve(host: str, port: int, told: Callable[[str], None], house: Path | None = None) -> None:
    """Serve the pages until interrupted.

    Parameters
    ----------
    host
        A loopback address or `localhost`.
    port
        The port; 0 for any that is free.
    told
        Called with the address once the port is ours.
    house
        The file of house notes, if there is one.

    Raises
    ------
    InputError
        If the host is reached from other machines.
    StoreError
        If the port is taken.
    """
    import uvicorn

    from slackwater.web.app import WebOptions, create_app

    refuse_beyond_loopback(host)
    bound = _bound(host, port)
    shown = f"[{host}]" if ":" in host else host
    app = create_app(WebOptions(house=house))
    config = uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=3)
    told(f"http://{shown}:{bound.getsockname()[1]}/")
    uvicorn.Server(config).run(sockets=[bound])


def refuse_beyond_loopback(host: str) -> None:
    """Refuse an address that other machines reach: there are no accounts yet.

    Raises
    ------
    InputError
        If the host is none of this machine alone.
    """
    try:
        inside = host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        inside = False
    if not inside:
        raise InputError(
            field="--host",
            given=host,
            limit="without accounts the pages are for this machine alone",
            remedy="Leave it out, or write 127.0.0.1.",
        )


def _bound(host: str, port: int) -> socket.socket:
    """Return a socket that listens, so that a taken port is told before anything starts.

    Raises
    ------
    StoreError
        If it cannot be had.
    """
    try:
        return socket.create_server((host, port), family=_family(host), backlog=_BACKLOG)
    except OSError as problem:
        raise StoreError(
            store=f"port {port}",
            problem=f"the system says: {problem.strerror}",
            remedy="Is it running already? Else choose another with --port, or --port 0 for any.",
        ) from problem


def _family(host: str) -> socket.AddressFamily:
    return socket.AF_INET6 if ":" in host else socket.AF_INET
