"""Modules joined into one file a page: a browser asks once, and packing sees all of them together.

Each module keeps a scope of its own and runs once, after what it imports, as if a browser had fetched
it alone. What is imported while a page runs (`import('./x.js')`) stays a file beside the page's own
and takes what the two share from there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

_IMPORT = re.compile(
    r"""^import\s+(?:\{(?P<names>[^}]*)\}\s+from\s+)?["']\./(?P<module>[\w-]+\.js)["'];?[ \t]*$""",
    re.MULTILINE,
)
_LATER = re.compile(r"""\bimport\(["']\./([\w-]+\.js)["']\)""")
_DECLARED = re.compile(
    r"^export\s+(?=(?:(?:async\s+)?function\*?|class|const)\s+(?P<name>\w+))", re.MULTILINE
)
_LISTED = re.compile(r"^export\s*\{(?P<names>[^}]*)\};?[ \t]*$", re.MULTILINE)
_UNREAD = re.compile(r"^\s*(?:export\b|import\b(?!\()).*|\bimport\.meta\b", re.MULTILINE)


def roots(modules: Mapping[str, str]) -> tuple[str, ...]:
    """Return the modules that no other imports: those of the pages."""
    found = {other for text in modules.values() for other in (*_imports(text), *_later(text))}
    return tuple(sorted(set(modules) - found))


def join(entries: Sequence[str], modules: Mapping[str, str], name: str) -> dict[str, str]:
    """Return the files of one page, by name: its own first, then those that it may ask for later.

    Parameters
    ----------
    entries
        The modules that the page runs, in order.
    modules
        The text of all modules by name; imports are relative, exports are constants, functions and
        classes by name.
    name
        What the page's file is called.

    Raises
    ------
    ValueError
        If modules import each other in a ring, ask for what another does not export, are imported
        both at once and later, or are written in a way that is not read here.
    KeyError
        If a module is not there.
    """
    later = _all_later(entries, modules)
    shared = [other for one in later for other in _imports(modules[one])]
    order = _in_order([*entries, *shared], modules)
    if twice := set(order) & set(later):
        raise ValueError(f"imported both at once and later: {', '.join(sorted(twice))}")
    scopes = [_scope(one, modules, name) for one in order]
    lent = _given(shared, modules)
    own = "".join(scopes) + (f"export{{{lent}}};\n" if lent else "")
    return {name: own} | {_beside(name, one): _lent(one, modules, name) for one in later}


def _imports(text: str) -> list[str]:
    return [found["module"] for found in _IMPORT.finditer(text)]


def _later(text: str) -> list[str]:
    return _LATER.findall(text)


def _all_later(entries: Iterable[str], modules: Mapping[str, str]) -> list[str]:
    """Return what may be imported while the page runs, by any of its modules."""
    seen, later = list(entries), []
    for one in seen:
        asked = _later(modules[one])
        later += [other for other in asked if other not in later]
        seen += [other for other in (*_imports(modules[one]), *asked) if other not in seen]
    return later


def _in_order(entries: Iterable[str], modules: Mapping[str, str]) -> list[str]:
    """Return modules after all that they import."""
    done: list[str] = []

    def visit(one: str, above: tuple[str, ...]) -> None:
        if one in above:
            raise ValueError(f"modules import each other: {' -> '.join((*above, one))}")
        if one not in done:
            for other in _imports(modules[one]):
                visit(other, (*above, one))
            done.append(one)

    for entry in entries:
        visit(entry, ())
    return done


def _scope(one: str, modules: Mapping[str, str], page: str) -> str:
    """Return a module as a function that runs at once and returns what it exports."""
    told = _exports(modules[one])
    body = _LISTED.sub("", _DECLARED.sub("", _rewired(one, modules, page)))
    _refuse(one, body)
    kept = f"const {_scope_name(one)}=" if told else ""
    given = f"return{{{','.join(told)}}};\n" if told else ""
    return f"{kept}(()=>{{\n{body}\n{given}}})();\n"


def _lent(one: str, modules: Mapping[str, str], page: str) -> str:
    """Return a module that is imported later, with what it imports taken from the page's file."""
    body = _rewired(one, modules, page)
    _refuse(one, _LISTED.sub("", _DECLARED.sub("", body)))
    needed = _given(_imports(modules[one]), modules)
    return (f"import{{{needed}}}from'./{page}';\n" if needed else "") + body


def _given(names: Iterable[str], modules: Mapping[str, str]) -> str:
    """Return what is lent of modules by the file of a page: the scopes of those that export anything."""
    return ",".join(_scope_name(one) for one in dict.fromkeys(names) if _exports(modules[one]))


def _rewired(one: str, modules: Mapping[str, str], page: str) -> str:
    """Return a module whose imports are constants, and whose later imports name files of its page."""

    def constants(found: re.Match[str]) -> str:
        names = [part.split() for part in (found["names"] or "").split(",") if part.strip()]
        known = _exports(modules[found["module"]])
        if missing := [name[0] for name in names if name[0] not in known]:
            raise ValueError(f"{one} imports what {found['module']} does not export: {', '.join(missing)}")
        wanted = ",".join(":".join((name[0], name[-1])) if len(name) > 1 else name[0] for name in names)
        return f"const{{{wanted}}}={_scope_name(found['module'])};" if wanted else ""

    text = _IMPORT.sub(constants, modules[one])
    return _LATER.sub(lambda found: f"import('./{_beside(page, found[1])}')", text)


def _exports(text: str) -> list[str]:
    listed = [name.strip() for found in _LISTED.finditer(text) for name in found["names"].split(",")]
    return [found["name"] for found in _DECLARED.finditer(text)] + [name for name in listed if name]


def _refuse(one: str, body: str) -> None:
    if left := _UNREAD.search(body):
        raise ValueError(f"{one} cannot be joined: {left[0].strip()}")


def _scope_name(module: str) -> str:
    return "$" + module.removesuffix(".js").replace("-", "_")


def _beside(page: str, module: str) -> str:
    return f"{page.removesuffix('.js')}.{module}"
