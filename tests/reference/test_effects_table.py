"""No published effect is silently absent: each is tested, or listed with what is missing."""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

import pytest
from tests.reference.effects import FIGURES, STATES, Effect, effects

from slackwater.sources import load_sources

HERE = Path(__file__).parent
HOW_MANY = 55
EFFECTS = effects()


def marked_to_fail(function: ast.FunctionDef) -> bool:
    return any("xfail" in ast.unparse(decorator) for decorator in function.decorator_list)


def found_tests() -> dict[str, bool]:
    """Return the tests of effects, and whether each is marked as missed."""
    others = [p for p in sorted(HERE.glob("test_effects_*.py")) if p.name != Path(__file__).name]
    files = [*others, HERE / "test_dominance_reference.py"]
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in files]
    functions = [f for tree in trees for f in tree.body if isinstance(f, ast.FunctionDef)]
    return {f.name: marked_to_fail(f) for f in functions if f.name.startswith("test_")}


TESTS = found_tests()


def test_every_effect_is_listed_once() -> None:
    assert [e.number for e in EFFECTS] == list(range(1, HOW_MANY + 1))


def test_every_test_belongs_to_one_effect() -> None:
    named = Counter(name for e in EFFECTS for name in e.tests)
    assert set(named) == set(TESTS)
    assert set(named.values()) == {1}


@pytest.mark.parametrize("effect", EFFECTS, ids=lambda e: str(e.number))
def test_its_state_is_what_its_tests_say(effect: Effect) -> None:
    missed = [TESTS[name] for name in effect.tests]
    assert effect.state in STATES
    if effect.state == "holds":
        assert missed
        assert not any(missed)
    elif effect.state == "missed":
        assert any(missed)
    elif effect.state == "in part":
        assert not all(missed)
    else:
        assert not missed


@pytest.mark.parametrize("effect", EFFECTS, ids=lambda e: str(e.number))
def test_what_is_not_met_is_told_with_its_figure_or_reason(effect: Effect) -> None:
    if any(TESTS[name] for name in effect.tests):
        assert effect.number in FIGURES
    if effect.state != "holds":
        assert effect.why


@pytest.mark.parametrize("effect", EFFECTS, ids=lambda e: str(e.number))
def test_its_sources_are_known(effect: Effect) -> None:
    assert effect.sources
    assert set(effect.sources) <= set(load_sources())


@pytest.mark.parametrize("number", sorted(FIGURES))
def test_a_figure_is_told_in_a_sentence(number: int) -> None:
    assert any(sign.isdigit() for sign in FIGURES[number]())
