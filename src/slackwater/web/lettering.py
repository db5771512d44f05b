"""The type of the pages: the letters we use, cut out of Source Sans when the server starts.

The whole typeface weighs a quarter of a megabyte a weight; the letters of our pages weigh eight
kilobytes. Nothing of it is copied into this project.
"""

from __future__ import annotations

import functools
import io
import logging
import string
import threading
from importlib import resources

_ONLY_IN_CODE = "\\^_`{|}~<>*"
"""Signs of files and addresses, which are set in the system's own type of even width."""
CHARACTERS = (
    string.digits
    + string.ascii_letters
    + "".join(sign for sign in string.punctuation if sign not in _ONLY_IN_CODE)
    + (
        " \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}"
        "\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}\N{MULTIPLICATION SIGN}\N{PLUS-MINUS SIGN}\N{DEGREE SIGN}"
        "\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}"
        "\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{HORIZONTAL ELLIPSIS}"
        "\N{MIDDLE DOT}\N{BULLET}\N{LEFTWARDS ARROW}\N{RIGHTWARDS ARROW}\N{UPWARDS ARROW}\N{DOWNWARDS ARROW}"
        "\N{LESS-THAN OR EQUAL TO}\N{GREATER-THAN OR EQUAL TO}\N{ALMOST EQUAL TO}"
        "\N{SUPERSCRIPT TWO}\N{SUPERSCRIPT THREE}\N{VULGAR FRACTION ONE HALF}\N{EURO SIGN}\N{POUND SIGN}"
    )
)
ACCENTED = "äöüßÄÖÜéèêáàâíóôúçñåøæ"
FEATURES = ("kern", "lnum", "tnum")
"""Ligatures and marks would weigh, and our letters come with their accents."""
WEIGHTS = {"type/text.woff2": "Regular", "type/strong.woff2": "Semibold"}
"""The weights by their files. Headings are ours and have no accents; names in running text may."""
_LICENCE_NAMES = [0, 13, 14]
_making = threading.Lock()


def letters(weight: str) -> bytes:
    """Return the letters of one weight as WOFF2.

    Parameters
    ----------
    weight
        `Regular` or `Semibold`.
    """
    with _making:
        return _cut(weight)


@functools.cache
def _cut(weight: str) -> bytes:
    from fontTools import subset

    logging.getLogger("fontTools").setLevel(logging.ERROR)
    options = subset.Options()
    options.flavor = "woff2"
    options.layout_features = list(FEATURES)
    options.hinting = False
    options.name_IDs = _LICENCE_NAMES
    whole = resources.files("font_source_sans_pro") / "files" / f"SourceSansPro-{weight}.ttf"
    font = subset.load_font(io.BytesIO(whole.read_bytes()), options)
    cutter = subset.Subsetter(options)
    cutter.populate(text=CHARACTERS + (ACCENTED if weight == "Regular" else ""))
    cutter.subset(font)
    font.flavor = "woff2"
    written = io.BytesIO()
    font.save(written)
    font.close()
    return written.getvalue()
