"""Modules joined into one file a page: scopes of their own, run once, in order; faults are refused."""

from __future__ import annotations

import pytest

from slackwater.web.joining import join, roots

MODULES = {
    "a.js": "import { b as two, C } from './b.js';\nimport { d } from './d-d.js';\n"
    "export const one = two;\nconst later = () => import('./late.js');\n",
    "b.js": "import './d-d.js';\nfunction b() {}\nexport class C {}\nexport { b };\n",
    "d-d.js": "export async function d() {}\n",
    "late.js": "import { C } from './b.js';\nexport const L = C;\n",
}


def test_each_module_runs_once_after_what_it_imports() -> None:
    text = join(("d-d.js", "a.js"), MODULES, "page.js")["page.js"]
    places = [text.index(f"const ${name}=(()=>{{") for name in ("d_d", "b", "a")]
    assert places == sorted(places)
    assert text.count("async function d()") == 1


def test_imports_and_exports_are_by_name() -> None:
    text = join(("a.js",), MODULES, "page.js")["page.js"]
    assert "const{b:two,C}=$b;" in text
    assert "const{d}=$d_d;" in text
    assert "return{C,b};" in text


def test_what_is_imported_later_takes_what_is_shared_from_the_page() -> None:
    made = join(("a.js",), MODULES, "page.js")
    assert list(made) == ["page.js", "page.late.js"]
    assert "import('./page.late.js')" in made["page.js"]
    assert made["page.js"].endswith("export{$b};\n")
    assert made["page.late.js"].startswith("import{$b}from'./page.js';\nconst{C}=$b;")
    assert "export const L = C;" in made["page.late.js"]
    assert "class C" not in made["page.late.js"]


def test_what_only_a_later_module_imports_is_the_pages_too() -> None:
    modules = {
        "a.js": "import('./l.js');\n",
        "l.js": "import { s } from './s.js';\n",
        "s.js": "export const s = 1;\n",
    }
    assert "const s = 1;" in join(("a.js",), modules, "a.js")["a.js"]


def test_pages_are_the_modules_that_no_other_imports() -> None:
    assert roots(MODULES) == ("a.js",)


@pytest.mark.parametrize(
    ("modules", "words"),
    [
        (
            {"a.js": "import { a } from './b.js';\n", "b.js": "import './a.js';\nexport const a = 1;\n"},
            "other",
        ),
        ({"a.js": "import { x } from './b.js';\n", "b.js": "export const y = 1;\n"}, "does not export: x"),
        ({"a.js": "export default 3;\n"}, "cannot be joined"),
        ({"a.js": "export let n = 3;\n"}, "cannot be joined"),
        ({"a.js": "import * as b from './b.js';\n", "b.js": ""}, "cannot be joined"),
        ({"a.js": "import { a } from 'elsewhere';\n"}, "cannot be joined"),
        ({"a.js": "const here = import.meta.url;\n"}, "cannot be joined"),
        ({"a.js": "import './b.js';\nimport('./b.js');\n", "b.js": ""}, "at once and later"),
    ],
)
def test_what_cannot_be_joined_is_refused(modules: dict[str, str], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        join(("a.js",), modules, "a.js")
