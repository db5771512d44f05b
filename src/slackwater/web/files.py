"""The files that browsers are sent: read once, packed, under a path that changes when they do."""

from __future__ import annotations

import gzip
import hashlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from importlib import resources
from importlib.resources.abc import Traversable

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

FOREVER = "public, max-age=31536000, immutable"
SHEET = "look.css"
SHEETS = ("tokens", "page", "parts", "tables", "figures", "tank", "screens", "print")
"""The parts of the one style sheet, in order; each lies in `static/css`."""

_TYPES: Mapping[str, str] = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "svg": "image/svg+xml",
    "woff2": "font/woff2",
}
_PACKED = ("css", "js", "json", "svg")
_IMPORT = re.compile(r"""^\s*(?:import|export)\s[^"';]*["']\./([\w-]+\.js)["']""", re.MULTILINE)


@dataclass(frozen=True)
class StaticFile:
    """One file as it is sent, plain and packed."""

    name: str
    content: bytes

    @property
    def ending(self) -> str:
        """What its name ends with."""
        return self.name.rpartition(".")[2]

    @cached_property
    def packed(self) -> bytes | None:
        """The file under gzip, None where that would not make it smaller."""
        if self.ending not in _PACKED:
            return None
        packed = gzip.compress(self.content, 9, mtime=0)
        return packed if len(packed) < len(self.content) else None

    def response(self, *, gzip_ok: bool) -> Response:
        """Return the answer that carries the file."""
        headers = {"cache-control": FOREVER, "vary": "accept-encoding"}
        content = self.content
        if gzip_ok and self.packed is not None:
            content, headers["content-encoding"] = self.packed, "gzip"
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

    def modules(self, name: str) -> tuple[str, ...]:
        """Return a module and all it imports, so that a page can ask for them at once."""
        found = [name]
        for one in found:
            text = self._files[f"js/{one}"].content.decode()
            found += [other for other in _IMPORT.findall(text) if other not in found]
        return tuple(self.url(f"js/{one}") for one in found)

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
        gzip_ok = "gzip" in headers.get("accept-encoding", "")
        await file.response(gzip_ok=gzip_ok)(scope, receive, send)


def _read() -> dict[str, StaticFile]:
    root = resources.files("slackwater.web") / "static"
    found = {
        f"{folder.name}/{file.name}": StaticFile(f"{folder.name}/{file.name}", file.read_bytes())
        for folder in _folders(root)
        for file in folder.iterdir()
        if file.name.rpartition(".")[2] in _TYPES
    }
    sheet = "\n".join(found.pop(f"css/{part}.css").content.decode() for part in SHEETS)
    scripts = {
        name: slim_script(file.content.decode()) for name, file in found.items() if file.ending == "js"
    }
    found |= {name: StaticFile(name, script.encode()) for name, script in scripts.items()}
    return found | {SHEET: StaticFile(SHEET, slim(sheet).encode())}


def slim(sheet: str) -> str:
    """Return a style sheet without comments, and without blanks where they mean nothing."""
    bare = re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL)
    return re.sub(r" ?([{};,]) ?", r"\1", re.sub(r"\s+", " ", bare)).strip()


def slim_script(script: str) -> str:
    """Return a module without the comments that have lines of their own."""
    return re.sub(r"^[ \t]*(?:/\*\*.*?\*/|//[^\n]*)[ \t]*\n", "", script, flags=re.DOTALL | re.MULTILINE)


def _folders(root: Traversable) -> list[Traversable]:
    return sorted((entry for entry in root.iterdir() if entry.is_dir()), key=lambda entry: entry.name)


def _digest(files: Mapping[str, StaticFile], made_later: Mapping[str, object]) -> str:
    total = hashlib.sha256()
    for name in sorted(files):
        total.update(name.encode())
        total.update(files[name].content)
    total.update(" ".join(sorted(made_later)).encode())
    return total.hexdigest()[:12]
