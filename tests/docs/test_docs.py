"""The documents say what the project holds, and hold what they say."""

import csv
import re
import tomllib
from pathlib import Path

import pytest

from slackwater.sources import load_sources

ROOT = Path(__file__).resolve().parents[2]
SOURCE_FILES = sorted((ROOT / "src" / "slackwater").rglob("*.py"))
DATA = ROOT / "src" / "slackwater" / "data"
DOCUMENTS = [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "docs").rglob("*.md"))]

_CITED = re.compile(r"\[([a-z][a-z_]*\d{2,4}[a-z]?|sp811)\]")
_LINK = re.compile(r"\]\((?!https?:)([^)#\s]+)\)")


def project() -> dict[str, list[str]]:
    """Return the run-time dependencies and the extras that pyproject.toml names."""
    table = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return {"run": table["dependencies"], **table["optional-dependencies"]}


def package_name(requirement: str) -> str:
    return re.split(r"[<>=!~\[; ]", requirement, maxsplit=1)[0]


def test_every_dependency_has_its_line() -> None:
    text = (ROOT / "docs" / "dependencies.md").read_text(encoding="utf-8")
    listed = set(re.findall(r"^\| `([^`]+)` \|", text, flags=re.MULTILINE))
    assert listed == {package_name(line) for lines in project().values() for line in lines}


def test_every_dependency_is_pinned() -> None:
    pins = (ROOT / "constraints.txt").read_text(encoding="utf-8").lower().replace("_", "-")
    for lines in project().values():
        for line in lines:
            assert f"\n{package_name(line).lower()}==" in pins


def test_pins_are_plain() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert all(re.fullmatch(r"#.*|[\w.-]+==[\w.+-]+", line) for line in lines)


@pytest.mark.parametrize("path", SOURCE_FILES, ids=lambda path: path.name)
def test_every_source_cited_in_the_code_is_listed(path: Path) -> None:
    cited = set(_CITED.findall(path.read_text(encoding="utf-8")))
    assert cited <= set(load_sources())


@pytest.mark.parametrize("path", sorted(DATA.glob("*.csv")), ids=lambda path: path.name)
def test_every_source_named_in_a_table_is_listed(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        named = {row["source"] for row in csv.DictReader(file) if row.get("source")}
    assert named <= set(load_sources())


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_links_between_documents_lead_somewhere(path: Path) -> None:
    for target in _LINK.findall(path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


def test_the_nomenclature_names_each_quantity_once() -> None:
    text = (ROOT / "docs" / "nomenclature.md").read_text(encoding="utf-8")
    names = re.findall(r"^\| `([^`]+)` \|", text, flags=re.MULTILINE)
    assert len(names) == len(set(names))
    assert {"length_cm", "volume_l", "temperature_c", "mass_kg"} <= set(names)


def test_every_make_target_of_the_documents_exists() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for path in DOCUMENTS:
        for target in re.findall(r"`make ([a-z-]+)`", path.read_text(encoding="utf-8")):
            assert f"\n{target}:" in makefile, f"{path.name}: make {target}"
