"""The page on what to trust is the document of the project."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.web.prose import inline, prose

ROOT = Path(__file__).resolve().parents[2]


def shipped() -> dict[str, str]:
    text = resources.files("slackwater.data").joinpath("trust.json").read_text(encoding="utf-8")
    kept: dict[str, str] = json.loads(text)
    return kept


def test_what_is_shipped_is_the_document() -> None:
    page = (ROOT / "docs" / "can-you-trust-it.md").read_text(encoding="utf-8")
    assert shipped()["page"] == page, "stale: run make trust"


def test_every_row_of_the_document_is_on_the_page(client: TestClient) -> None:
    text = client.get("/trust").text
    assert text.count("<svg") == 2
    for number in range(text.count("/trust/rows/")):
        text += client.get(f"/trust/rows/{number}").text
    rows = [line for line in shipped()["page"].splitlines() if line.startswith("|") and "---" not in line]
    assert text.count("<tr>") == len(rows)
    assert client.get("/trust/rows/99").status_code == 404
    assert client.get("/trust/rows/-1").status_code == 404
    assert "make trust" not in text


@pytest.mark.parametrize(
    ("text", "made"),
    [
        ("a **b** *c* `d*e*`", "a <b>b</b> <i>c</i> <code>d*e*</code>"),
        ("see [the page](x.md)", "see <span>the page</span>"),
        ("<script> & `<i>`", "&lt;script&gt; &amp; <code>&lt;i&gt;</code>"),
        ("***both***", "*<b>both</b>*"),
    ],
)
def test_marks_within_a_line(text: str, made: str) -> None:
    assert inline(text) == made


def test_forms_of_a_document() -> None:
    made = prose("# Head\n\n## Part\n\nOne\ntwo.\n\n- a\n  b\n- c\n\n| x | y |\n|---|--:|\n| 1 | 2 |")
    assert made == (
        "<h2>Part</h2>\n<p>One two.</p>\n"
        '<ul class="points"><li>a b</li><li>c</li></ul>\n'
        '<div class="table"><table class="folds"><thead><tr><th scope="col">x</th>'
        '<th scope="col" class="n">y</th></tr></thead><tbody><tr><th scope="row"><span>1</span></th>'
        '<td class="n" data-head="y"><span>2</span></td></tr></tbody></table></div>'
    )
