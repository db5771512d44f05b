"""Quantities as people write them; the factors are those of NIST Special Publication 811, appendix B.8."""

import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.units import (
    Money,
    duration_days,
    length_cm,
    mass_kg,
    money,
    temperature_c,
    volume_l,
)

Reader = Callable[[str], float]

PUBLISHED = [
    (length_cm, "1 in", 2.54),
    (length_cm, "1 ft", 30.48),
    (length_cm, "1 yd", 91.44),
    (volume_l, "1 gal", 3.785412),
    (volume_l, "1 imp gal", 4.54609),
    (volume_l, "1 ft3", 28.31685),
    (volume_l, "1 quart", 0.9463529),
    (mass_kg, "1 lb", 0.45359237),
    (mass_kg, "1 ounce", 0.02834952),
    (duration_days, "1 week", 7.0),
]
"""Unit, and its published size in ours, to the seven digits printed there."""

READ = [
    (length_cm, "120 cm", 120.0),
    (length_cm, "1200mm", 120.0),
    (length_cm, "1.2 M", 120.0),
    (length_cm, "120", 120.0),
    (length_cm, "4,5 cm", 4.5),
    (length_cm, ".5 in", 1.27),
    (length_cm, '48"', 121.92),
    (length_cm, "4'6\"", 137.16),
    (length_cm, "4 ft 6 in", 137.16),
    (volume_l, "300 L", 300.0),
    (volume_l, "2 m³", 2000.0),
    (volume_l, "500 ml", 0.5),
    (mass_kg, "500 g", 0.5),
    (temperature_c, "26 °C", 26.0),
    (temperature_c, "32 F", 0.0),
    (temperature_c, "77 F", 25.0),
    (temperature_c, "300 K", 26.85),
    (temperature_c, "540 degR", 26.85),
    (duration_days, "4 weeks", 28.0),
    (duration_days, "36 hours", 1.5),
    (duration_days, "12 months", 365.25),
    (duration_days, "1 fortnight", 14.0),
]

REFUSED = [
    (length_cm, "5 kg", "`kg` is not a unit of length"),
    (length_cm, "5 furlongs per week", "is not a unit of length"),
    (length_cm, "5 xyzzy", "`xyzzy` is not a unit of length"),
    (length_cm, "5 ?", "is not a unit of length"),
    (length_cm, "-3 cm", "it must lie between 0 and 10000 cm"),
    (length_cm, "0 cm", "it must be above zero"),
    (length_cm, "1e999 cm", "it must lie between"),
    (length_cm, "200 m", "it must lie between"),
    (length_cm, "nan cm", "it is not a length"),
    (length_cm, "", "it is not a length"),
    (length_cm, "48 1/4 in", "it is not a length"),
    (length_cm, "9**9**9 cm", "it is not a length"),
    (volume_l, "1,200 L", "the comma could part decimals or thousands"),
    (volume_l, "inf L", "it is not a volume"),
    (temperature_c, "100 C", "it must lie between -3 and 45 C"),
    (temperature_c, "79 C", "it must lie between -3 and 45 C"),
    (mass_kg, "30 L", "`L` is not a unit of mass"),
    (duration_days, "200 years", "it must lie between"),
]


@pytest.mark.parametrize(("read", "text", "expected"), PUBLISHED)
def test_published_factors(read: Reader, text: str, expected: float) -> None:
    assert read(text) == pytest.approx(expected, rel=2e-7)


@pytest.mark.parametrize(("read", "text", "expected"), READ)
def test_what_people_write_is_read(read: Reader, text: str, expected: float) -> None:
    assert read(text) == pytest.approx(expected)


@pytest.mark.parametrize(("read", "text", "limit"), REFUSED)
def test_what_makes_no_sense_is_refused_with_a_next_step(read: Reader, text: str, limit: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert limit in caught.value.limit
    assert caught.value.remedy.endswith(".")


@pytest.mark.parametrize("bare", [float("nan"), float("inf"), -float("inf"), True, 10**400])
def test_numbers_that_are_no_quantity_are_refused(bare: float) -> None:
    with pytest.raises(InputError, match="it is not a length"):
        length_cm(bare)


def test_a_bare_number_is_in_our_unit() -> None:
    assert length_cm(120) == 120.0
    assert volume_l(75.5) == 75.5
    assert temperature_c(0) == 0.0


def test_nothing_at_all_only_where_it_makes_sense() -> None:
    assert length_cm("0 cm", zero=True) == 0.0
    assert duration_days(0, zero=True) == 0.0
    assert volume_l(0, zero=True) == 0.0
    assert mass_kg(0, zero=True) == 0.0


def test_the_fault_names_the_field() -> None:
    with pytest.raises(InputError, match=r"^tank\.length is 5 kg; "):
        length_cm("5 kg", "tank.length")


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("60 EUR", "60", "EUR"),
        ("eur 60", "60", "EUR"),
        ("€60", "60", "EUR"),
        ("59,50 €", "59.50", "EUR"),
        ("$ 12.5", "12.5", "$"),
        ("60", "60", ""),
        ("0 EUR", "0", "EUR"),
    ],
)
def test_money(text: str, amount: str, currency: str) -> None:
    assert money(text) == Money(Decimal(amount), currency)


@pytest.mark.parametrize("text", ["", "free", "60 60", "EUR 60 USD", "-5 EUR", "1,200 EUR", "60 EURO", "2e6"])
def test_what_is_no_money(text: str) -> None:
    with pytest.raises(InputError):
        money(text)


def test_money_as_it_is_printed() -> None:
    assert str(money("60")) == "60"
    assert str(money("60.00 EUR")) == "60 EUR"
    assert str(money("59.5 EUR")) == "59.50 EUR"


@given(st.floats(min_value=0.01, max_value=9_000.0))
def test_a_length_survives_the_change_of_unit(value_cm: float) -> None:
    assert length_cm(f"{value_cm / 2.54!r} in") == pytest.approx(value_cm)


@given(st.text(max_size=30))
def test_no_text_does_more_than_be_refused(text: str) -> None:
    for read in (length_cm, volume_l, mass_kg, temperature_c, duration_days, money):
        with suppress(InputError):
            read(text)


def test_everyday_units_do_not_wait_for_pint() -> None:
    program = (
        "import sys; from slackwater import units as u; u.length_cm('48 in'); u.volume_l('75 gal');"
        "u.temperature_c('79 F'); u.mass_kg('66 lb'); u.money('60 EUR'); u.duration_days('4 weeks');"
        "sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
