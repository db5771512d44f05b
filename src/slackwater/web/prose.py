"""Our own documents as pages: the few forms of Markdown that they use, and nothing else.

Text is escaped before anything is made of it, so a document cannot bring markup of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from markupsafe import Markup, escape

_INLINE = re.compile(r"`([^`]+)`|\*\*([^*]+)\*\*|\*([^*]+)\*|\[([^\]]+)\]\([^)]*\)")
_IMAGE = re.compile(r"!\[([^\]]*)\]\((?:[^)]*/)?([\w-]+)\.\w+\)")
_TAGS = ("code", "b", "i", "span")


def prose(text: str, figures: Mapping[str, Markup] | None = None) -> Markup:
    """Return a document as HTML, without its first heading and the note on how it was made.

    Parameters
    ----------
    text
        The document.
    figures
        Drawings to put in place of its images, by the stem of their file.
    """
    return _joined((_block(block, figures or {}) for block in blocks_of(text)), "\n")


def blocks_of(text: str) -> list[str]:
    """Return the parts of a document, without its first heading and the note on how it was made."""
    blocks = (block.strip() for block in re.split(r"\n\s*\n", text))
    return [block for block in blocks if block and not block.startswith(("# ", "Made by `"))]


def heading(text: str) -> str:
    """Return the first heading of a document."""
    return text.strip().splitlines()[0].removeprefix("# ")


def _block(block: str, figures: Mapping[str, Markup]) -> Markup:
    lines = block.splitlines()
    if found := re.match(r"(#{2,4}) (.+)", lines[0]):
        return Markup("<h{0}>{1}</h{0}>").format(len(found[1]), inline(found[2]))
    if image := _IMAGE.fullmatch(lines[0].strip()):
        drawn = figures.get(image[2], Markup())
        return Markup('<figure class="drawn">{}<figcaption>{}</figcaption></figure>').format(drawn, image[1])
    forms: Sequence[tuple[str, Callable[[Sequence[str]], Markup]]] = (("|", _table), ("- ", _list))
    return next((make(lines) for start, make in forms if block.startswith(start)), _paragraph(lines))


def inline(text: str) -> Markup:
    """Return a line with code, weight, slant and links made of its marks; links keep their words."""
    made, last = Markup(), 0
    for found in _INLINE.finditer(text):
        kind = next(n for n, group in enumerate(found.groups()) if group is not None)
        inside = escape(found[1]) if kind == 0 else inline(found[kind + 1])
        made += escape(text[last : found.start()]) + Markup("<{0}>{1}</{0}>").format(_TAGS[kind], inside)
        last = found.end()
    return made + escape(text[last:])


def _paragraph(lines: Sequence[str]) -> Markup:
    return Markup("<p>{}</p>").format(inline(" ".join(line.strip() for line in lines)))


def _list(lines: Sequence[str]) -> Markup:
    items: list[str] = []
    for line in lines:
        if line.startswith("- "):
            items.append(line[2:])
        else:
            items[-1] += f" {line.strip()}"
    made = Markup("").join(Markup("<li>{}</li>").format(inline(item)) for item in items)
    return Markup('<ul class="points">{}</ul>').format(made)


def _table(lines: Sequence[str]) -> Markup:
    head, marks, *rows = (_cells(line) for line in lines)
    classes = [Markup(' class="n"') if mark.endswith(":") else Markup() for mark in marks]
    top = _joined(_head(kind, name) for kind, name in zip(classes, head, strict=False))
    body = _joined(Markup("<tr>{}</tr>").format(_row(row, head, classes)) for row in rows)
    return Markup(
        '<div class="table"><table class="folds"><thead><tr>{}</tr></thead><tbody>{}</tbody></table></div>'
    ).format(top, body)


def _head(kind: Markup, name: str) -> Markup:
    if not name:
        return Markup("<td></td>")
    return Markup('<th scope="col"{}>{}</th>').format(kind, inline(name))


def _row(cells: Sequence[str], head: Sequence[str], classes: Sequence[Markup]) -> Markup:
    first, *rest = cells
    made = [Markup('<th scope="row"><span>{}</span></th>').format(inline(first))]
    for name, kind, cell in zip(head[1:], classes[1:], rest, strict=False):
        made.append(Markup('<td{} data-head="{}"><span>{}</span></td>').format(kind, name, inline(cell)))
    return _joined(made)


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def _joined(parts: Iterable[Markup], between: str = "") -> Markup:
    return Markup(between).join(parts)  # noqa: S704 - blanks of our own
