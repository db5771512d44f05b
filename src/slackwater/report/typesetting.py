"""The one door to typst: one font, none of the system's, no network, the same bytes every time.

typst is imported by the functions that need it, as most commands never do.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING, Literal, cast

if TYPE_CHECKING:
    import datetime as dt

    import typst


@dataclass(frozen=True)
class Fit:
    """Text sizes to try, the largest first, and page counts to keep to, the best first. [pt]"""

    sizes_pt: tuple[float, ...]
    pages: tuple[int, ...]


def pdf_bytes(files: dict[str, bytes], data: str, made_at: dt.datetime, fit: Fit) -> bytes:
    """Return a tagged PDF/UA-1 made from `main.typ` among the files.

    The template finds the data in `sys.inputs.data` and the text size in `sys.inputs.size`: the
    largest at which the document keeps to the best page count it can reach. The standard forbids
    letters that no font at hand can show; a document that holds one is tagged all the same.
    """
    import typst

    inputs = _inputs(data, _fitting_size(files, data, fit))
    try:
        return _pdf(files, inputs, made_at, ["ua-1"])
    except typst.TypstError:
        return _pdf(files, inputs, made_at, [])


def _pdf(
    files: dict[str, bytes], inputs: dict[str, str], made_at: dt.datetime, standards: list[Literal["ua-1"]]
) -> bytes:
    import typst

    made = typst.compile(
        _in_memory(files),
        format="pdf",
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs=inputs,
        pdf_standards=[*standards],
        timestamp=made_at,
    )
    return _only_bytes(made)


def _fitting_size(files: dict[str, bytes], data: str, fit: Fit) -> float:
    counts: dict[float, int] = {}
    for pages in fit.pages:
        for size_pt in fit.sizes_pt:
            counts[size_pt] = counts.get(size_pt) or _page_count(files, data, size_pt)
            if counts[size_pt] <= pages:
                return size_pt
    return fit.sizes_pt[-1]


def _page_count(files: dict[str, bytes], data: str, size_pt: float) -> int:
    import typst

    counted = typst.query(
        _in_memory(files),
        "<pages>",
        field="value",
        one=True,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs=_inputs(data, size_pt),
    )
    return int(counted)


def _in_memory(files: dict[str, bytes]) -> bytes:
    """Return files by name in the one type that the stub of typst lets through."""
    return cast("bytes", dict(files))


def _inputs(data: str, size_pt: float) -> dict[str, str]:
    return {"data": data, "size": f"{size_pt:g}"}


def png_bytes(svg: str, pixels_per_inch: float) -> bytes:
    """Return an SVG drawing as PNG at the size it states."""
    import typst

    page = b'#set page(width: auto, height: auto, margin: 0pt)\n#image("drawing.svg")'
    files = _in_memory({"main.typ": page, "drawing.svg": svg.encode()})
    made = typst.compile(
        files, format="png", ppi=pixels_per_inch, font_paths=_fonts(), ignore_system_fonts=True
    )
    return _only_bytes(made)


@functools.cache
def _fonts() -> typst.Fonts:
    import typst

    folder = resources.files("font_source_sans_pro") / "files"
    return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def _only_bytes(made: bytes | list[bytes] | None) -> bytes:
    if isinstance(made, bytes):
        return made
    if isinstance(made, list) and len(made) == 1:
        return made[0]
    raise RuntimeError("the typesetter returned no single document")
