"""From the text of a file to plain lists, mappings, numbers and words.

A stranger's file is read here, so nothing in it may run, hang or fill the memory.
"""

from __future__ import annotations

import json
import re
from collections.abc import Hashable, Sequence
from pathlib import Path
from typing import Any

import yaml

from slackwater.errors import InputError, shown

LARGEST_FILE_BYTES = 10_000_000
MOST_ENTRIES = 20_000
DEEPEST_NESTING = 20

_SAVE_AS_TEXT = "Save it as plain text in UTF-8, with the ending .yaml or .json."
_A_PAGE = "Such a file is a page or two of text; check that it is the right one."


def read_text(path: Path, largest_bytes: int = LARGEST_FILE_BYTES) -> str:
    """Return the text of a file, of 10 MB at the most unless another size is given.

    Raises
    ------
    InputError
        If there is no such file, or it is too large, or it is no text.
    """
    name = str(path)
    if not _is_file(path):
        raise _refusal(name, "not to be found", "it must be a file", "Check the name and the folder.")
    try:
        with path.open("rb") as file:
            raw = file.read(largest_bytes + 1)
    except OSError as problem:
        limit = f"the system says: {problem.strerror}"
        raise _refusal(name, "closed to this program", limit, "Check who may read it.") from problem
    _refuse_large(len(raw), name, largest_bytes)
    return _decoded(raw, name)


def _is_file(path: Path) -> bool:
    """Say whether there is such a file; a name that no system would take names none."""
    try:
        return path.is_file()
    except OSError:
        return False


def parse(text: str, source: str) -> object:
    """Return what a YAML or JSON text holds: lists, mappings, numbers, true, false and words.

    Dates, hours and words such as `no` stay words; who needs them as more reads them as more.

    Raises
    ------
    InputError
        If the text is neither, repeats a key, or is too large or too deep once written out.
    """
    _refuse_large(len(text), source)
    try:
        if text.lstrip().startswith("{"):
            return _parse_json(text, source)
        return _parse_yaml(text, source)
    except RecursionError:
        raise _too_deep(source) from None


def _refuse_large(size: int, source: str, largest_bytes: int = LARGEST_FILE_BYTES) -> None:
    if size > largest_bytes:
        most = f"{largest_bytes / 1e6:.0f} MB"
        raise _refusal(source, f"larger than {most}", f"{most} is the most that is read", _A_PAGE)


def _decoded(raw: bytes, name: str) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        limit = f"byte {problem.start} is no UTF-8 text"
        raise _refusal(name, "not a text", limit, _SAVE_AS_TEXT) from problem
    if "\0" in text:
        raise _refusal(name, "not a text", "it holds bytes that no text holds", _SAVE_AS_TEXT)
    return text


def _parse_json(text: str, source: str) -> object:
    """Read JSON; what only begins like JSON is read as YAML."""
    try:
        return json.loads(text, object_pairs_hook=lambda pairs: _without_repeats(pairs, source))
    except InputError:
        raise
    except ValueError:
        return _parse_yaml(text, source)


def _without_repeats(pairs: Sequence[tuple[str, object]], source: str) -> dict[str, object]:
    kept = dict(pairs)
    if len(kept) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise _refusal(
            f"{source}, key {shown(twice)}", "there twice", "a key stands once", "Keep one of the two."
        )
    return kept


def _parse_yaml(text: str, source: str) -> object:
    try:
        _refuse_bombs(text, source)
        return yaml.load(text, Loader=_PlainLoader)  # noqa: S506 - a safe loader made plainer
    except yaml.MarkedYAMLError as problem:
        raise _misread(problem, text, source) from problem
    except InputError:
        raise
    except (yaml.YAMLError, ValueError) as problem:
        limit = f"the reader says: {shown(' '.join(str(problem).split()))}"
        raise _refusal(source, "neither YAML nor JSON", limit, _SAVE_AS_TEXT) from problem


def _refuse_bombs(text: str, source: str) -> None:
    """Count the entries as if every alias were written out, before any is built."""
    written = 0
    sizes: dict[str | None, int] = {}
    unfinished: list[tuple[str | None, int]] = []
    for event in yaml.parse(text, Loader=yaml.SafeLoader):
        _refuse_tag(event)
        written += sizes.get(event.anchor, 1) if isinstance(event, yaml.AliasEvent) else 1
        if isinstance(event, yaml.CollectionStartEvent):
            unfinished.append((event.anchor, written))
            sizes[event.anchor] = MOST_ENTRIES  # what holds itself would never end
        elif isinstance(event, yaml.CollectionEndEvent):
            anchor, before = unfinished.pop()
            sizes[anchor] = written - before
        _refuse_sprawl(written, len(unfinished), source)


def _refuse_tag(event: yaml.Event) -> None:
    """Refuse `!!python/object` and its like: no tank file needs one."""
    if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent) and event.tag:
        raise _stop("tags with ! are not read here", event.start_mark)


def _refuse_sprawl(entries: int, depth: int, source: str) -> None:
    if entries > MOST_ENTRIES:
        limit = f"{MOST_ENTRIES} entries are the most that is read"
        raise _refusal(source, "too large once written out", limit, _A_PAGE)
    if depth > DEEPEST_NESTING:
        raise _too_deep(source)


class _PlainLoader(yaml.SafeLoader):
    """Knows true, false, null and numbers; dates, hours and `no` stay words."""

    yaml_implicit_resolvers = {}  # noqa: RUF012 - the library keeps its table so

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, object]:  # noqa: FBT001, FBT002 - the library calls it so
        """Take every key as a word, and refuse one that stands twice."""
        seen: set[str] = set()
        for key, _ in node.value:
            if not isinstance(key, yaml.ScalarNode):
                raise _stop("a key must be a word", key.start_mark)
            if key.value in seen:
                raise _stop(f"the key {shown(key.value)} stands twice", key.start_mark)
            seen.add(key.value)
        return {str(key): value for key, value in super().construct_mapping(node, deep=deep).items()}


for _tag, _first, _pattern in (
    ("null", ["~", "n", "N", ""], "~|null|Null|NULL|"),
    ("bool", list("tTfF"), "true|True|TRUE|false|False|FALSE"),
    ("int", list("-+0123456789"), "[-+]?(0|[1-9][0-9]*)"),
    ("float", list("-+.0123456789"), r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.inf|\.nan"),
):
    _PlainLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^({_pattern})$"), _first)


def _stop(problem: str, mark: Any) -> yaml.MarkedYAMLError:  # noqa: ANN401 - the library has two kinds
    return yaml.MarkedYAMLError(problem=problem, problem_mark=mark)


def _misread(problem: yaml.MarkedYAMLError, text: str, source: str) -> InputError:
    """Point at the line where the reader stopped."""
    mark = problem.problem_mark or problem.context_mark
    lines = text.splitlines() or [""]
    number = min(mark.line if mark else 0, len(lines) - 1)
    return _refusal(
        f"{source}, line {number + 1}",
        f"`{shown(lines[number])}`",
        f"it cannot be read: {shown(problem.problem or 'not YAML')}",
        "Check the indentation, the colons and the quotes of this line and the one above.",
    )


def _too_deep(source: str) -> InputError:
    limit = f"{DEEPEST_NESTING} levels are the most that is read"
    return _refusal(source, "nested too deeply", limit, _A_PAGE)


def _refusal(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=given, limit=limit, remedy=remedy)
