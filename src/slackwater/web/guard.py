"""What every request has to pass: the right host, a page of our own behind a write, a bearable size.

And what every answer carries: a content security policy without exceptions, and no invitation to
guess, frame or follow.
"""

from __future__ import annotations

import logging
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocketClose

from slackwater.errors import InputError

LARGEST_BODY_BYTES = 2_000_000
LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
"""Names under which a browser on this machine reaches a server bound to loopback."""

_OUR_MISTAKE = "That went wrong, and the mistake is ours. What you typed stays in your page; try again."
_log = logging.getLogger(__name__)
_READS = {"GET", "HEAD", "OPTIONS"}
_TOO_LARGE = 413
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
# Without any referrer, browsers name the origin of our own forms "null".
SECURITY_HEADERS: Mapping[str, str] = {
    "content-security-policy": _POLICY,
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "referrer-policy": "same-origin",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
}
FILES = "/static/"
FILE_HEADERS = {
    name: SECURITY_HEADERS[name] for name in ("cross-origin-resource-policy", "x-content-type-options")
}
"""What our own files carry: policies for documents would only weigh there."""


@dataclass(frozen=True)
class _Refusal:
    """Why a request goes no further."""

    status: int
    fault: InputError

    def response(self) -> Response:
        """Return the refusal as plain text."""
        return PlainTextResponse(str(self.fault), self.status)


class Guard:
    """Refuses what does not come from a page of this server, and marks every answer.

    Parameters
    ----------
    app
        What comes behind the guard.
    hosts
        The names by which this server may be called, without port: a page elsewhere that points a
        name of its own at this machine is refused.
    largest_body_bytes
        The most that one request may carry.
    """

    def __init__(
        self,
        app: ASGIApp,
        hosts: Collection[str] = LOOPBACK_NAMES,
        largest_body_bytes: int = LARGEST_BODY_BYTES,
    ) -> None:
        self._app = app
        self._hosts = frozenset(hosts)
        self._largest = largest_body_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in {"http", "websocket"}:
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(scope, Headers(scope=scope))
        if scope["type"] == "websocket":
            await (WebSocketClose(1008) if refusal else self._app)(scope, receive, send)
        elif refusal:
            await refusal.response()(scope, receive, _marked(send, SECURITY_HEADERS))
        else:
            told = FILE_HEADERS if scope["path"].startswith(FILES) else SECURITY_HEADERS
            await self._within_the_limit(scope, receive, _marked(send, told))

    def _refusal(self, scope: Scope, headers: Headers) -> _Refusal | None:
        if _without_port(headers.get("host", "")) not in self._hosts:
            return _strange_host(headers.get("host", ""))
        writes = scope["type"] == "websocket" or scope["method"] not in _READS
        if writes and not _is_our_own(scope, headers):
            return _strange_origin(headers)
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > self._largest:
            return self._too_large(length)
        return None

    async def _within_the_limit(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Count what comes in, for those who do not say its length."""
        counter = _Counter(receive, send, self._largest)
        try:
            await self._app(scope, counter.receive, counter.send)
        except _TooLargeError:
            pass
        except Exception:  # noqa: BLE001 - the last door: whatever it is, the answer keeps its headers
            _log.exception("%s %s failed", scope["method"], scope["path"])
            if not counter.has_begun:
                await PlainTextResponse(_OUR_MISTAKE, 500)(scope, receive, send)
        if counter.is_over and not counter.has_begun:
            await self._too_large(f"more than {self._largest}").response()(scope, receive, send)

    def _too_large(self, length: str) -> _Refusal:
        fault = InputError(
            field="the size of what was sent",
            given=f"{length} bytes",
            limit=f"{self._largest // 1000} kB is the most that is taken",
            remedy="Send a smaller file.",
        )
        return _Refusal(_TOO_LARGE, fault)


class _TooLargeError(Exception):
    """More came in than one request may carry."""


class _Counter:
    """Counts the bytes of a request, and holds back whatever is said after there were too many."""

    def __init__(self, receive: Receive, send: Send, largest: int) -> None:
        self._receive, self._send, self._largest = receive, send, largest
        self._counted = 0
        self.has_begun = False

    @property
    def is_over(self) -> bool:
        """Whether more came in than is taken."""
        return self._counted > self._largest

    async def receive(self) -> Message:
        """Hand on the next bytes, unless they are too many."""
        message = await self._receive()
        self._counted += len(message.get("body", b""))
        if self.is_over:
            raise _TooLargeError
        return message

    async def send(self, message: Message) -> None:
        """Hand on what is answered, unless it answers to too many bytes."""
        if self.has_begun or not self.is_over:
            self.has_begun = True
            await self._send(message)


def _without_port(host: str) -> str:
    name, _, port = host.rpartition(":")
    return name if name and port.isdigit() else host


def _is_our_own(scope: Scope, headers: Headers) -> bool:
    """Say whether a write comes from a page of this server, or from no browser at all.

    Browsers name the site behind a request. A program that is none may leave that out, but then it
    has to send JSON: no form of a foreign page can do so unasked.
    """
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None and site != "same-origin":
        return False
    if origin is not None:
        scheme = {"ws": "http", "wss": "https"}.get(scope["scheme"], scope["scheme"])
        return origin == f"{scheme}://{headers.get('host', '')}"
    if site is not None:
        return True
    return headers.get("content-type", "").partition(";")[0].strip() == "application/json"


def _strange_host(host: str) -> _Refusal:
    fault = InputError(
        field="the host",
        given=host or "empty",
        limit="this server answers on this machine only",
        remedy="Open the address that `slackwater serve` has printed.",
    )
    return _Refusal(421, fault)


def _strange_origin(headers: Headers) -> _Refusal:
    fault = InputError(
        field="the page behind this request",
        given=headers.get("origin") or headers.get("sec-fetch-site") or "not said",
        limit="only pages of this server may change anything",
        remedy="Open the page of this server and try again there; a program sends JSON.",
    )
    return _Refusal(403, fault)


def _marked(send: Send, told: Mapping[str, str]) -> Send:
    """Return a sender that puts headers of security on every answer."""

    async def marking(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in told.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-cache")
        await send(message)

    return marking
