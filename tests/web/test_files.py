"""What browsers are sent: packed, forever under its digest, and nothing from outside."""

from __future__ import annotations

import re
from importlib import resources
from io import BytesIO
from pathlib import Path

import pytest
import rjsmin
from starlette.testclient import TestClient

from slackwater.web.files import FOREVER, SHEET, SHEETS, StaticFiles, slim
from slackwater.web.lettering import CHARACTERS, WEIGHTS, letters

WEB = Path(str(resources.files("slackwater.web")))
SENT = sorted(path for path in WEB.rglob("*") if path.suffix in {".css", ".js", ".svg", ".html"})
SCRIPTS = [path for path in SENT if path.suffix == ".js"]
_COMMENTS = re.compile(r"^[ \t]*(?:/\*\*.*?\*/|//[^\n]*)[ \t]*\n", re.DOTALL | re.MULTILINE)
_TEMPLATES = re.compile(r"`[^`]+`")
_OUTSIDE = re.compile(r"(?:https?:)?//(?!www\.w3\.org/)[\w.-]+\.\w+|@import|url\(\s*[\"']?(?:https?:)?//")


def test_files_are_kept_forever_and_come_packed(client: TestClient) -> None:
    files = StaticFiles()
    told = client.get(_url(client, SHEET), headers={"accept-encoding": "gzip"})
    assert told.headers["cache-control"] == FOREVER
    assert told.headers["content-encoding"] == "gzip"
    assert told.headers["content-type"] == "text/css; charset=utf-8"
    assert "--paper" in told.text
    assert told.headers["x-content-type-options"] == "nosniff"
    assert told.headers["cross-origin-resource-policy"] == "same-origin"
    assert files.digest == StaticFiles().digest


def test_who_does_not_unpack_gets_them_plain(client: TestClient) -> None:
    told = client.get(_url(client, SHEET), headers={"accept-encoding": "identity"})
    assert "content-encoding" not in told.headers
    assert "--paper" in told.text


@pytest.mark.parametrize(
    "path", ["/static/000000000000/look.css", "/static/../pyproject.toml", "/static/", "/static/x"]
)
def test_what_is_not_there_is_not_found(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_an_older_digest_is_gone(client: TestClient) -> None:
    old = _url(client, SHEET).replace("/static/", "/static/0")
    assert client.get(old).status_code == 404


def test_a_name_that_is_not_there_is_our_own_mistake() -> None:
    with pytest.raises(KeyError):
        StaticFiles().url("js/nothing.js")


def test_browsers_that_unpack_brotli_get_less(client: TestClient) -> None:
    sizes = {}
    for coding in ("br", "gzip"):
        told = client.get(_url(client, SHEET), headers={"accept-encoding": coding})
        assert told.headers["content-encoding"] == coding
        assert "--paper" in told.text
        sizes[coding] = int(told.headers["content-length"])
    assert sizes["br"] < 0.95 * sizes["gzip"]


def test_a_script_brings_what_every_page_runs_and_all_it_imports(client: TestClient) -> None:
    told = client.get(_url(client, "page/counter.js")).text
    assert all(words in told for words in ("getElementById('theme')", "class Latest", "class Lines"))
    assert not re.search(r"^(?:import|export)\b", told, re.MULTILINE)


def test_what_another_imports_is_no_script_of_a_page() -> None:
    with pytest.raises(KeyError):
        StaticFiles().script("toast.js")


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_slimming_leaves_every_template_string_as_it_is(path: Path) -> None:
    bare = _COMMENTS.sub("", path.read_text(encoding="utf-8"))
    sent = rjsmin.jsmin(bare)
    assert [told for told in _TEMPLATES.findall(bare) if told not in sent] == []


def test_every_part_is_in_the_sheet_of_most_pages() -> None:
    parts = {path.stem for path in (WEB / "static" / "css").glob("*.css")}
    assert parts == set(SHEETS[SHEET])


def test_the_sheet_of_a_tank_styles_every_class_that_its_page_names(client: TestClient) -> None:
    page = client.get("/tank").text
    whole, lean = (client.get(_url(client, name)).text for name in ("look.css", "stage.css"))
    named = {one for told in re.findall(r'class="([^"]+)"', page) for one in told.split()}
    styled = {one for one in named if re.search(rf"\.{re.escape(one)}(?![\w-])", whole)}
    assert len(styled) > 20
    assert {one for one in styled if not re.search(rf"\.{re.escape(one)}(?![\w-])", lean)} == set()


@pytest.mark.parametrize("path", SENT, ids=lambda path: path.name)
def test_nothing_asks_for_anything_outside(path: Path) -> None:
    assert not _OUTSIDE.findall(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", WEIGHTS)
def test_the_letters_are_few_and_all_there(client: TestClient, name: str) -> None:
    from fontTools.ttLib import TTFont

    told = client.get(_url(client, name))
    assert told.headers["content-type"] == "font/woff2"
    assert len(told.content) < 14_000
    with TTFont(BytesIO(told.content)) as font:
        known = set(font.getBestCmap())
        assert {ord(c) for c in CHARACTERS} <= known
        assert ("text" in name) == (ord("é") in known)
        assert "Open Font License" in str(font["name"].getDebugName(13))


def test_the_letters_are_the_same_each_time() -> None:
    assert letters("Regular") is letters("Regular")


def test_a_sheet_is_slimmed_where_it_means_nothing() -> None:
    sheet = "/* a; b */\na:not([b='c d']) > p , q { margin: 0 calc(1px + 2px) ;\n  color: red; }\n"
    assert slim(sheet) == "a:not([b='c d']) > p,q{margin: 0 calc(1px + 2px);color: red;}"


def _url(client: TestClient, name: str) -> str:
    shell = client.app.state.shell  # type: ignore[attr-defined]
    return str(shell.files.url(name))
