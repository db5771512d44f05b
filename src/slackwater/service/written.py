"""Files that are handed over: each stands whole in its place, or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path


def write_whole(path: Path, content: bytes | str) -> Path:
    """Write a file, and its folder where there is none; text as UTF-8.

    A part beside it takes its place only once all of it is written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(content.encode() if isinstance(content, str) else content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return path


def write_all(out: Path, made: Mapping[str, bytes | str]) -> tuple[Path, ...]:
    """Write files into a folder by name, in their order; all are made before the first is written."""
    return tuple(write_whole(out / name, content) for name, content in made.items())
