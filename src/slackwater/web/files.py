"""The files that browsers are sent: read once, packed, under a path that changes when they do."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from importlib import resources
from importlib.resources.abc import Traversable

import rjsmin
from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from slackwater.web.joining import join, roots
from slackwater.web.packing import HARDEST, best_coding

FOREVER = "public, max-age=31536000, immutable"
SHEET = "look.css"
_ALL = ("tokens", "page", "parts", "tables", "figures", "tank", "kept", "screens", "print")
SHEETS: Mapping[str, tuple[str, ...]] = {
    SHEET: _ALL,
    "stage.css": tuple(part for part in _ALL if part not in {"kept", "screens"}),
}
"""The style sheets and their parts, in order; each part lies in `static/css`. The page that shows a tank
is the heaviest, so its sheet leaves out what other pages alone need."""

_TYPES: Mapping[str, str] = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "svg": "image/svg+xml",
    "woff2": "font/woff2",
}
_PACKED = ("css", "js", "json", "svg")
EVERYWHERE = "shell.js"
"""The module that every page runs, before its own."""


@dataclass(frozen=True)
class StaticFile:
    """One file as it is sent, plain and packed."""

    name: str
    content: bytes
    _packed: dict[str, bytes] = field(default_factory=dict, compare=False, repr=False)

    @property
    def ending(self) -> str:
        """What its name ends with."""
        return self.name.rpartition(".")[2]

    def packed(self, coding: str) -> bytes | None:
        """Return the file under a coding of `packing`, None where that would not make it smaller."""
        if self.ending not in _PACKED:
            return None
        if coding not in self._packed:
            self._packed[coding] = HARDEST[coding](self.content)
        packed = self._packed[coding]
        return packed if len(packed) < len(self.content) else None

    def response(self, coding: str | None) -> Response:
        """Return the answer that carries the file, packed if a coding is given and of use."""
        headers = {"cache-control": FOREVER}
        content = self.content
        if self.ending in _PACKED:
            headers["vary"] = "accept-encoding"
        if coding and (packed := self.packed(coding)):
            content, headers["content-encoding"] = packed, coding
        return Response(content, media_type=_TYPES[self.ending], headers=headers)


class StaticFiles:
    """All files of `static`, with the style sheet put together and the type added when it is made.

    Parameters
    ----------
    made_later
        Files that take a while to make, by name: called on the first request for each.
    """

    def __init__(self, made_later: Mapping[str, Callable[[], bytes]] | None = None) -> None:
        self._files = _read()
        self._made_later = dict(made_later or {})
        self.digest = _digest(self._files, self._made_later)

    @property
    def root(self) -> str:
        """The path under which the files lie."""
        return f"/static/{self.digest}"

    def url(self, name: str) -> str:
        """Return the path of a file; a name that is not there is our own mistake.

        Raises
        ------
        KeyError
            If there is no such file.
        """
        if name not in self._files and name not in self._made_later:
            raise KeyError(name)
        return f"{self.root}/{name}"

    def script(self, name: str | None) -> str:
        """Return the path of what a page runs: its own module, with all that it imports.

        Raises
        ------
        KeyError
            If there is no such module, or another imports it.
        """
        return self.url(f"page/{name or EVERYWHERE}")

    def warm(self) -> None:
        """Make and pack everything before somebody asks."""
        for name in (*self._made_later, *self._files):
            if file := self.get(name):
                file.packed(next(iter(HARDEST)))

    def get(self, name: str) -> StaticFile | None:
        """Return a file, made now if need be."""
        if name in self._made_later and name not in self._files:
            self._files[name] = StaticFile(name, self._made_later[name]())
        return self._files.get(name)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request for a file below `/static`."""
        headers = Headers(scope=scope)
        digest, _, name = scope["path"].removeprefix("/static/").partition("/")
        file = self.get(name) if digest == self.digest else None
        if file is None or scope["method"] not in {"GET", "HEAD"}:
            await Response("No such file.", 404, media_type="text/plain")(scope, receive, send)
            return
        await file.response(best_coding(headers.get("accept-encoding", "")))(scope, receive, send)


def _read() -> dict[str, StaticFile]:
    root = resources.files("slackwater.web") / "static"
    found = {
        f"{folder.name}/{file.name}": StaticFile(f"{folder.name}/{file.name}", file.read_bytes())
        for folder in _folders(root)
        for file in folder.iterdir()
        if file.name.rpartition(".")[2] in _TYPES
    }
    parts = {part: found.pop(f"css/{part}.css").content.decode() for part in SHEETS[SHEET]}
    sheets = {
        name: StaticFile(name, slim("\n".join(parts[part] for part in used)).encode())
        for name, used in SHEETS.items()
    }
    modules = {
        name.removeprefix("js/"): found.pop(name).content.decode()
        for name in tuple(found)
        if name.startswith("js/")
    }
    return found | _scripts(modules) | sheets


def _scripts(modules: Mapping[str, str]) -> dict[str, StaticFile]:
    """Return the scripts of all pages, each with what every page runs, by name."""
    made: dict[str, str] = {}
    for root in roots(modules):
        made |= join(tuple(dict.fromkeys((EVERYWHERE, root))), modules, root)
    slimmed = {f"page/{name}": rjsmin.jsmin(text).encode() for name, text in made.items()}
    return {name: StaticFile(name, content) for name, content in slimmed.items()}


def slim(sheet: str) -> str:
    """Return a style sheet without comments, and without blanks where they mean nothing."""
    bare = re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL)
    return re.sub(r" ?([{};,]) ?", r"\1", re.sub(r"\s+", " ", bare)).strip()


def _folders(root: Traversable) -> list[Traversable]:
    return sorted((entry for entry in root.iterdir() if entry.is_dir()), key=lambda entry: entry.name)


def _digest(files: Mapping[str, StaticFile], made_later: Mapping[str, object]) -> str:
    total = hashlib.sha256()
    for name in sorted(files):
        total.update(name.encode())
        total.update(files[name].content)
    total.update(" ".join(sorted(made_later)).encode())
    return total.hexdigest()[:12]
