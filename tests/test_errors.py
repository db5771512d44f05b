"""Every error is a sentence in three parts, and knows how a command ends."""

import pytest

from slackwater.errors import (
    DataTableError,
    InputError,
    InputErrors,
    MissingFactError,
    SlackwaterError,
    StaleEditError,
    StoreError,
    UnknownTaxonError,
    shown,
)

SALINITY = InputError(
    field="salinity",
    given="-2",
    limit="it cannot be negative",
    remedy="Enter the refractometer's reading, for example 35.",
)

EXAMPLES = [
    (
        SALINITY,
        2,
        "salinity is -2; it cannot be negative. Enter the refractometer's reading, for example 35.",
    ),
    (
        UnknownTaxonError(name="six lime", nearest=["six line", "six bar", "lime"]),
        3,
        (
            "six lime is not a name in the species table; others come close. "
            "Did you mean six line, six bar or lime?"
        ),
    ),
    (
        MissingFactError(taxon="Gramma loreto", trait="gape_ratio", needed_by="who eats whom"),
        4,
        (
            "gape_ratio of Gramma loreto is not known; who eats whom needs it. "
            "Add it to the house notes with where it was read."
        ),
    ),
    (
        StaleEditError(record="tank 12", changed_by="the holding room", changed_at="10:15"),
        5,
        (
            "tank 12 is older than what is kept; the holding room changed it at 10:15. "
            "Open it again, compare the two, and save what should hold."
        ),
    ),
    (
        StaleEditError(record="tank 12", changed_by="Bo", changed_at="10:15", changes=["sand taken out"]),
        5,
        (
            "tank 12 is older than what is kept; Bo changed it at 10:15 (sand taken out). "
            "Open it again, compare the two, and save what should hold."
        ),
    ),
    (
        StoreError(store="shop.db", problem="its schema is older", remedy="Run the migrations."),
        6,
        "shop.db cannot be used; its schema is older. Run the migrations.",
    ),
    (
        DataTableError(file="rules.csv", row=3, column="value", problem="it is no number"),
        7,
        (
            "rules.csv, row 3, column value cannot be used; it is no number. "
            "Mend the table: the program cannot run on it."
        ),
    ),
]


@pytest.mark.parametrize(("error", "exit_code", "sentence"), EXAMPLES, ids=lambda value: type(value).__name__)
def test_the_class_makes_the_sentence(error: SlackwaterError, exit_code: int, sentence: str) -> None:
    assert str(error) == sentence
    assert error.exit_code == exit_code
    assert isinstance(error, SlackwaterError)


def test_errors_can_be_caught_as_what_python_calls_them() -> None:
    assert isinstance(SALINITY, ValueError)
    assert issubclass(UnknownTaxonError, LookupError)
    assert issubclass(MissingFactError, LookupError)


def test_a_name_with_nothing_near_still_gets_a_next_step() -> None:
    error = UnknownTaxonError(name="unicorn")
    assert str(error) == (
        "unicorn is not a name in the species table; none in it comes close. "
        "Enter the scientific name, or another trade name."
    )


def test_one_near_name_is_no_choice() -> None:
    assert str(UnknownTaxonError(name="six lime", nearest=["six line"])).endswith("Did you mean six line?")


def test_faults_of_a_file_are_listed_together() -> None:
    both = InputErrors(source="tank.yaml", faults=[SALINITY, SALINITY])
    assert str(both) == f"tank.yaml has 2 faults:\n- {SALINITY}\n- {SALINITY}"
    assert both.faults == (SALINITY, SALINITY)
    assert both.exit_code == 2
    assert str(InputErrors(source="t", faults=[SALINITY])).startswith("t has 1 fault:")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("48 in", "48 in"),
        (None, "empty"),
        ("  ", "empty"),
        (3, "3"),
        ("two\nlines", "two lines"),
        ("\x1b[31mred", "[31mred"),
        ("x" * 61, "x" * 57 + "..."),
        pytest.param(10**20_000, "a huge number", id="huge"),
    ],
)
def test_what_was_given_is_shown_on_one_short_line(value: object, text: str) -> None:
    assert shown(value) == text
