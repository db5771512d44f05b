"""How answers are packed for the wire: by brotli for browsers that unpack it, else by gzip."""

from __future__ import annotations

import gzip
from collections.abc import Callable, Mapping
from types import MappingProxyType

import brotli
from starlette.datastructures import Headers
from starlette.middleware.gzip import GZipMiddleware, IdentityResponder
from starlette.types import Receive, Scope, Send

QUALITY = 7
"""How hard brotli tries with what is packed for one answer: about two milliseconds the largest page."""


def _by_brotli(content: bytes) -> bytes:
    packed: bytes = brotli.compress(content, quality=11)
    return packed


HARDEST: Mapping[str, Callable[[bytes], bytes]] = MappingProxyType(
    {"br": _by_brotli, "gzip": lambda content: gzip.compress(content, 9, mtime=0)}
)
"""How what is packed once and sent often is packed, by the name of the coding, the best first."""


def best_coding(accepted: str) -> str | None:
    """Return the coding that suits best of those in a header `Accept-Encoding`, None for none.

    Notes
    -----
    RFC 9110, section 12.5.3: names with weights after a semicolon; a weight of 0 is a refusal.
    """
    told = (part.partition(";") for part in accepted.lower().split(","))
    names = {name.strip() for name, _, weight in told if _weight(weight) > 0.0}
    return next((coding for coding in HARDEST if coding in names), None)


def _weight(told: str) -> float:
    try:
        return float(told.partition("=")[2] or 1.0)
    except ValueError:
        return 0.0


class PackingMiddleware(GZipMiddleware):
    """Packs what is not packed yet, by brotli where that is taken."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on and pack its answer."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        coding = best_coding(Headers(scope=scope).get("accept-encoding", ""))
        if coding == "br":
            excluded = self.exclude_content_types
            responder = _BrotliResponder(self.app, self.minimum_size, exclude_content_types=excluded)
            await responder(scope, receive, send)
        elif coding == "gzip":
            await super().__call__(scope, receive, send)
        else:
            await self.app(scope, receive, send)


class _BrotliResponder(IdentityResponder):
    """Packs one answer by brotli, at once or as it comes."""

    content_encoding = "br"
    _packer: brotli.Compressor | None = None

    async def apply_compression(self, body: bytes, *, more_body: bool) -> bytes:
        """Return the next part of the packed answer."""
        if self._packer is None:
            self._packer = brotli.Compressor(quality=QUALITY)
        begun: bytes = self._packer.process(body)
        rest: bytes = self._packer.flush() if more_body else self._packer.finish()
        return begun + rest
