"""Which packing a browser is given, and that answers come out of it whole."""

from __future__ import annotations

import zlib

import brotli
import pytest
from starlette.responses import Response, StreamingResponse
from starlette.testclient import TestClient
from starlette.types import Receive, Scope, Send

from slackwater.web.packing import PackingMiddleware, best_coding

WORDS = "slack water " * 400


@pytest.mark.parametrize(
    ("accepted", "coding"),
    [
        ("gzip, deflate, br, zstd", "br"),
        ("gzip", "gzip"),
        ("BR;q=0.5, gzip;q=0.9", "br"),
        ("br;q=0, gzip", "gzip"),
        ("br;q=none", None),
        ("identity", None),
        ("", None),
    ],
)
def test_the_best_of_what_is_taken(accepted: str, coding: str | None) -> None:
    # RFC 9110, section 12.5.3.
    assert best_coding(accepted) == coding


@pytest.mark.parametrize("coding", ["br", "gzip"])
@pytest.mark.parametrize("parts", [1, 3])
def test_answers_are_packed_and_whole(coding: str, parts: int) -> None:
    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        part = iter([WORDS] * parts)
        answer = Response(WORDS) if parts == 1 else StreamingResponse(part, media_type="text/plain")
        await answer(scope, receive, send)

    client = TestClient(PackingMiddleware(app, minimum_size=500))
    with client.stream("GET", "/", headers={"accept-encoding": coding}) as told:
        packed = b"".join(told.iter_raw())
    assert told.headers["content-encoding"] == coding
    assert told.headers["vary"] == "Accept-Encoding"
    plain = brotli.decompress(packed) if coding == "br" else zlib.decompress(packed, 16 + zlib.MAX_WBITS)
    assert plain.decode() == WORDS * parts
    assert len(packed) < 0.1 * len(plain)
