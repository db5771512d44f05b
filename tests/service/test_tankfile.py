"""Tank files: what is read, what is refused, and in which words."""

import datetime as dt
import json
import time
from contextlib import suppress
from decimal import Decimal
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slackwater.errors import InputError, InputErrors
from slackwater.service import tankfile_parts, tankfile_rock, tankfile_tank
from slackwater.service.tankfile import Away, TankFile, json_schema, load
from slackwater.units import Money

WHOLE = """
slackwater: 1
tank:    {shape: box, length: 48 in, width: 50 cm, height: 50 cm, lid: true}
rock:    {layout: two islands, mass: 30 kg}
sand:    {depth: 5 cm, grain: fine}
water:   {temperature: 79 F, salinity: 35, ph: 8.1, running_since: 2026-03-01}
keeping:
  feeds_per_day: 2
  stations: 1
  lights_off: 21:00
  corals: [LPS corals]
  inverts: [cleaner shrimp]
  quarantine: {tanks: 1, volume: 60 L, days: 30}
keeper:  {experience: second tank, children: true}
company:
  - {animal: ocellaris, sex: pair, length: 6 cm, since: 2026-05-10}
wishes:
  - {animal: yellow tang, wish: 10, price: 60 EUR}
  - six line
limits:  {start: 2027-01-10, away: [2027-02-06/2027-02-20], budget: 600 EUR}
stock:   stock.csv
"""


def faults(text: str) -> list[str]:
    """Return the faults of a tank file as sentences."""
    with pytest.raises(InputErrors) as caught:
        load(text)
    return [str(fault) for fault in caught.value.faults]


def with_line(line: str) -> str:
    return f"slackwater: 1\nwishes: [a]\n{line}\n"


# what is read


def test_a_whole_file() -> None:
    tank_file = load(WHOLE)
    assert tank_file.tank.shape == "rectangular"
    assert tank_file.tank.length_cm == pytest.approx(121.92)
    assert tank_file.tank.gross_l == pytest.approx(121.92 * 50 * 50 / 1000)
    assert tank_file.rock.layout == "two islands"
    assert tank_file.rock.mass_kg == 30.0
    assert tank_file.water.temperature_c == pytest.approx(26.11, abs=0.01)
    assert tank_file.water.running_since == dt.date(2026, 3, 1)
    assert tank_file.keeping.lights_off == dt.time(21, 0)
    assert tank_file.keeping.inverts == ("cleaner shrimps",)
    assert tank_file.keeping.quarantine is not None
    assert tank_file.keeping.quarantine.days == 30.0
    assert tank_file.keeper.children is True
    assert tank_file.limits.away == (Away(dt.date(2027, 2, 6), dt.date(2027, 2, 20)),)
    assert tank_file.limits.budget == Money(Decimal(600), "EUR")


def test_animals_stay_in_the_customers_words() -> None:
    tank_file = load(WHOLE)
    (pair,) = tank_file.company
    tang, wrasse = tank_file.wishes
    assert (pair.animal, pair.count, pair.sex, pair.length_cm) == ("ocellaris", 2, "pair", 6.0)
    assert (tang.animal, tang.wish, tang.price) == ("yellow tang", 10.0, Money(Decimal(60), "EUR"))
    assert (wrasse.animal, wrasse.count, wrasse.sex, wrasse.length_cm) == ("six line", 1, "unknown", None)


def test_what_was_not_told_stays_untold() -> None:
    tank_file = load("slackwater: 1\nwishes: [yellow tang]\ntank: {length: }\nsand:\n")
    assert tank_file.tank.length_cm is None
    assert tank_file.tank.gross_l is None
    assert tank_file.rock.layout is None
    assert tank_file.sand.depth_cm is None
    assert tank_file.stock is None


def test_json_says_the_same_as_yaml() -> None:
    data = {"slackwater": 1, "tank": {"length": "48 in", "lid": False}, "wishes": [{"animal": "a"}]}
    assert load(json.dumps(data)) == load(
        "slackwater: 1\ntank: {length: 48 in, lid: no}\nwishes: [{animal: a}]\n"
    )
    assert load(json.dumps(data, indent="\t")).tank.lid is False


def test_short_forms() -> None:
    assert load(with_line("rock: Moderate")).rock.layout == "moderate"
    assert load(with_line("sand: none")).sand.depth_cm == 0.0
    assert load(with_line("sand: 2 in")).sand.depth_cm == pytest.approx(5.08)
    rock = load(with_line("rock: [{kind: slab, x: 20, y: 10, length: 30, width: 20, height: 5}]")).rock
    assert rock.pieces[0].kind == "slab"
    assert rock.pieces[0].base_cm is None


def test_a_path_is_read_and_the_stock_lies_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "reef.yaml"
    path.write_text("\ufeff" + WHOLE, encoding="utf-8")
    assert load(path).stock == str(tmp_path / "stock.csv")
    assert load(str(path)) == load(path)


def test_an_empty_tank_will_do_where_nobody_need_live_in_it() -> None:
    assert load("slackwater: 1\ntank: {volume: 75 gal}\n", nobody_ok=True).tank.gross_l is not None


def test_a_cylinder_holds_less_than_its_box() -> None:
    tank = load(with_line("tank: {shape: cylinder, length: 100, width: 100, height: 50}")).tank
    assert tank.gross_l == pytest.approx(392.7, abs=0.1)


# what is refused, and how it is said

SAID = [
    ("tnak: {lid: true}", "tnak is no key that is known here", "Did you mean tank?"),
    ("tank: {widht: 3}", "tank.widht is no key that is known here", "Did you mean width?"),
    ("tank: {length_cm: 120}", "tank.length_cm is no key", "Did you mean length?"),
    ("tank: {length: 5 cm}", "tank.length is 5 cm; it must lie between 20 and 1500 cm", ""),
    ("tank: {length: 5 kg}", "tank.length is 5 kg; `kg` is not a unit of length", "Write 120 cm"),
    ("tank: {length: .nan}", "tank.length is nan; it is not a length", ""),
    ("tank: {length: .inf}", "tank.length is inf; it is not a length", ""),
    ("tank: {length: [1]}", "tank.length is [1]; it is not a length", ""),
    ("tank: {lid: maybe}", "tank.lid is maybe; it is neither true nor false", ""),
    ("tank: {shape: egg}", "tank.shape is egg; it is none of the words", "rectangular, cube"),
    ("tank: 75 gal", "tank is 75 gal; it must be a block of its own", ""),
    (
        "tank: {length: 100, width: 50, height: 50, volume: 300 L}",
        "tank.volume is 300 L; these sides hold 250 L at most",
        "",
    ),
    ("rock: reef.glb", "rock.scan is reef.glb; a scan lies beside a tank file", "Save the tank file beside"),
    ("rock: reef.stl", "rock.scan is reef.stl; such a file does not say its unit", "Write unit: mm"),
    (
        "rock: reef.gltf",
        "rock.scan.file is reef.gltf; scans are read from STL, OBJ, PLY and GLB",
        "Save it as",
    ),
    ("rock: heap", "rock.layout is heap; it is none of the words", "none, sparse, moderate"),
    (
        "rock: [{x: 1, length: 9, width: 9, height: 9}]",
        "rock.pieces[1].y is missing; it is needed",
        "Add it.",
    ),
    ("sand: {depth: 70 cm}", "sand.depth is 70 cm; it must lie between 0 and 60 cm", ""),
    ("sand: -1", "sand.depth is -1; it must lie between", ""),
    ("water: {salinity: 1.025}", "water.salinity is 1.025; it looks like a specific gravity", "35"),
    ("water: {salinity: fresh}", "water.salinity is fresh; it must lie between 2 and 45", ""),
    ("water: {ph: 12}", "water.ph is 12; it must be at most 9.5", ""),
    ("water: {temperature: 26 F}", "water.temperature is 26 F; it must lie between", ""),
    ("water: {running_since: 2024}", "water.running_since is 2024; it is no day", "2027-01-31"),
    ("water: {running_since: 1066-10-14}", "its year must lie between 1950 and 2200", ""),
    ("keeping: {feeds_per_day: often}", "keeping.feeds_per_day is often; it must be a number", ""),
    ("keeping: {stations: 1.5}", "keeping.stations.count is 1.5; it must be a whole number", ""),
    ("keeping: {stations: 0}", "keeping.stations.count is 0; it must be at least 1", ""),
    ("keeping: {lights_off: late}", "keeping.lights_off is late; it is no hour of the day", '"21:00"'),
    ("keeping: {corals: [stony]}", "keeping.corals[1] is stony; it is none of the words", "SPS corals"),
    ("keeping: {inverts: [snale]}", "keeping.inverts[1] is snale", "Did you mean snails?"),
    ("keeping: {inverts: anemone}", "keeping.inverts is anemone; it must be a list", ""),
    ("keeper: {experience: ages}", "keeper.experience is ages; it is none of the words", ""),
    ("company: [{count: 2}]", "company[1].animal is missing; it is needed", "Add it."),
    ("company: [{animal: ''}]", "company[1].animal is empty; it must not be empty", ""),
    ("company: [{animal: 3}]", "company[1].animal is 3; it must be a word or a name", ""),
    ("company: [a, {animal: b, count: 0}]", "company[2].count is 0; it must be at least 1", ""),
    ("company: [{animal: b, count: 61}]", "company[1].count is 61; it must be at most 60", ""),
    ("company: [{animal: b, length: 500}]", "company[1].length is 500; it must lie between 0.5 and", ""),
    ("company: [{animal: b, sex: par}]", "company[1].sex is par", "Did you mean pair?"),
    ("company: [{animal: b, sex: pair, count: 3}]", "company[1].count is 3; a pair is two", ""),
    ("limits: {away: [2027-03-06/2027-02-20]}", "limits.away[1] is 2027-03-06/2027-02-20; it ends", ""),
    ("limits: {away: [2027-03-06]}", "limits.away[1] is 2027-03-06; it is no period", ""),
    ("limits: {budget: lots}", "limits.budget is lots; it is not an amount of money", ""),
    (f"company: [{'a, ' * 200}a]", "it may hold 200 entries at most", ""),
]


@pytest.mark.parametrize(("line", "wrong", "remedy"), SAID)
def test_a_fault_says_where_what_and_what_next(line: str, wrong: str, remedy: str) -> None:
    (sentence,) = faults(with_line(line))
    assert wrong in sentence
    assert remedy in sentence


def test_all_faults_of_a_file_come_at_once() -> None:
    text = "slackwater: 2\ntank: {length: 5 cm, lid: maybe}\nwishes: [{animal: a, count: 0}]\nfoo: 1\n"
    assert [sentence.split(" is ")[0] for sentence in faults(text)] == [
        "slackwater",
        "tank.length",
        "tank.lid",
        "wishes[1].count",
        "foo",
    ]


def test_faults_are_cut_off_before_they_fill_the_screen() -> None:
    assert len(faults(with_line("\n".join(f"key{n}: 1" for n in range(500))))) == 50


MISFITS = [
    ("rock: {mass: 300 kg}", "rock.mass is 300 kg; a tank of 250 L takes 250 kg"),
    ("rock: [{x: 200, y: 10, length: 9, width: 9, height: 9}]", "rock.pieces[1].x is 200 cm; the tank ends"),
    ("rock: [{x: 9, y: 60, length: 9, width: 9, height: 9}]", "rock.pieces[1].y is 60 cm; the tank ends"),
    ("rock: [{x: 9, y: 9, base: 45, length: 9, width: 9, height: 9}]", "rock.pieces[1].height is 54 cm"),
    ("sand: 55", "sand.depth is 55 cm; the water is 50 cm high"),
    ("limits: {budget: 9 USD}", "the currency is EUR and USD; nothing is converted here"),
    (
        "limits: {start: 2026-01-01}\ncompany: [{animal: b, since: 2026-05-05}]",
        "company[1].since is 2026-05-05; the plan starts on 2026-01-01",
    ),
]


@pytest.mark.parametrize(("lines", "wrong"), MISFITS)
def test_parts_that_do_not_fit_together(lines: str, wrong: str) -> None:
    tank = "tank: {length: 100, width: 50, height: 50}"
    text = f"slackwater: 1\n{tank}\nwishes: [{{animal: a, price: 3 EUR}}]\n{lines}\n"
    (sentence,) = faults(text)
    assert wrong in sentence


def test_nothing_to_plan() -> None:
    (sentence,) = faults("slackwater: 1\nwishes: []\n")
    assert sentence == "wishes is empty; a plan needs animals. Add a company or wishes."


@pytest.mark.parametrize("text", ["[]\n", "3\n", "null\n", "just words\n"])
def test_a_file_that_holds_no_block(text: str) -> None:
    (sentence,) = faults(text)
    assert "the file is " in sentence


# hostile and broken files

BROKEN = [
    ("a: 1\na: 2\n", "the key a stands twice"),
    ('{"a": 1, "a": 2}', "a key stands once"),
    ("a: 1\nb: [\n", "line 2 is `b: [`"),
    ("a: b: c\n", "mapping values are not allowed here"),
    ("? [1, 2]\n: 3\n", "a key must be a word"),
    ("--- 1\n--- 2\n", "another document"),
    ("a: \x07\n", "neither YAML nor JSON"),
    ("- *nobody\n", "undefined alias"),
    ("!!python/object/apply:os.getcwd []\n", "tags with ! are not read here"),
    ("&a [*a]\n", "too large once written out"),
    ("[" * 50 + "\n", "nested too deeply"),
    ('{"a":' * 100_000, "nested too deeply"),
    ("a: " + "9" * 6000 + "\n", "neither YAML nor JSON"),
    ("x\n" * 5_000_001, "larger than 10 MB"),
]


@pytest.mark.parametrize(("text", "said"), BROKEN, ids=[said for _, said in BROKEN])
def test_a_broken_text_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        load(text)
    assert said in str(caught.value)


def test_an_alias_bomb_does_not_go_off() -> None:
    layers = "".join(
        f"{name}: &{name} [{', '.join([f'*{before}'] * 10)}]\n"
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    )
    began = time.perf_counter()
    with pytest.raises(InputError, match="too large once written out"):
        load(f"a: &a [{', '.join(['lol'] * 10)}]\n{layers}")
    assert time.perf_counter() - began < 5.0


def test_an_honest_alias_is_read() -> None:
    text = "slackwater: 1\nwishes: [{animal: a, length: &size 6 cm}, {animal: b, length: *size}]\n"
    assert [wish.length_cm for wish in load(text).wishes] == [6.0, 6.0]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\xff\xfe", "no UTF-8 text"),
        (b"slackwater: 1\0", "bytes that no text holds"),
        (b"a" * 10_000_001, "10 MB is the most that is read"),
    ],
)
def test_a_file_that_is_no_text(tmp_path: Path, raw: bytes, said: str) -> None:
    path = tmp_path / "tank.yaml"
    path.write_bytes(raw)
    with pytest.raises(InputError, match=said):
        load(path)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "nowhere.yaml"):
        with pytest.raises(InputError, match="is not to be found"):
            load(path)


plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
keys = sorted(field.alias or name for name, field in TankFile.model_fields.items())


@given(st.dictionaries(st.sampled_from(keys), plain, max_size=6))
@settings(max_examples=200)
def test_whatever_json_holds_it_is_read_or_refused(data: dict[str, object]) -> None:
    with suppress(InputError, InputErrors):
        load(json.dumps(data))


@given(st.text(max_size=60))
@settings(max_examples=200)
def test_whatever_a_text_holds_it_is_read_or_refused(text: str) -> None:
    with suppress(InputError, InputErrors):
        load(f"{text}\n")


@given(
    length_cm=st.floats(20.0, 1500.0),
    count=st.integers(1, 60),
    day=st.dates(dt.date(1950, 1, 1), dt.date(2200, 12, 31)),
)
def test_what_is_within_the_limits_is_kept(length_cm: float, count: int, day: dt.date) -> None:
    data = {
        "slackwater": 1,
        "tank": {"length": f"{length_cm!r} cm"},
        "company": [{"animal": "a", "count": count, "since": day.isoformat()}],
    }
    tank_file = load(json.dumps(data))
    assert tank_file.tank.length_cm == pytest.approx(length_cm)
    assert (tank_file.company[0].count, tank_file.company[0].since) == (count, day)


# the schema, and the words shared with the model


def test_the_schema_describes_every_key() -> None:
    schema = json_schema()
    text = json.dumps(schema)
    assert schema["title"] == "Slackwater tank file"
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert '"two islands"' in text
    for part in (tankfile_tank.Tank, tankfile_rock.RockPiece, tankfile_parts.Keeping, TankFile):
        assert all(field.description for field in part.model_fields.values())
        for name, field in part.model_fields.items():
            assert f'"{field.alias or name}":' in text


def test_the_words_are_those_of_the_model() -> None:
    from slackwater.society.company import Sex
    from slackwater.tank import Corner, Form, RockWord, Shape
    from slackwater.tank.stone import Side

    assert set(get_args(tankfile_tank.Shape)) == set(Shape)
    assert set(get_args(tankfile_tank.Corner)) == set(Corner)
    assert set(get_args(tankfile_rock.Form)) == set(Form)
    assert set(get_args(tankfile_rock.Side)) == set(Side)
    assert set(get_args(tankfile_rock.Layout)) == set(RockWord)
    assert set(get_args(tankfile_parts.Sex)) == set(Sex)


def test_food_at_both_ends_and_what_has_come_into_quarantine() -> None:
    keeping = "keeping: {food: [floated, sunk], strong_first: true, quarantine: {tanks: 1, arrivals: [%s]}}"
    told = load("slackwater: 1\nwishes: [royal gramma]\n" + keeping % "{day: 2026-12-01}").keeping
    assert told.food == ("floated", "sunk")
    assert told.strong_first
    assert told.quarantine is not None
    assert told.quarantine.arrivals[0].tank == 1
    with pytest.raises(InputErrors, match="there are 1 quarantine tanks"):
        load("slackwater: 1\nwishes: [royal gramma]\n" + keeping % "{day: 2026-12-01, tank: 2}")


def test_a_fault_of_pydantic_without_our_words_is_told_in_its_own() -> None:
    with pytest.raises(InputErrors, match=r"limits\.releases"):
        load("slackwater: 1\nwishes: [royal gramma]\nlimits: {releases: 0}\n")


@pytest.mark.parametrize("text", ["\n", "- a list\n", "only words\n"])
def test_a_file_without_keys_is_told_what_to_begin_with(text: str) -> None:
    with pytest.raises(InputErrors, match=r"the file is .*; it must hold keys .*Begin with slackwater, tank"):
        load(text)


def test_a_block_in_place_of_a_list_is_named_as_one() -> None:
    with pytest.raises(InputErrors, match=r"wishes is a block of keys; it must be a list\."):
        load("slackwater: 1\ntank: {length: 100 cm}\nwishes: {royal gramma}\n")


def test_a_name_that_no_system_would_take_names_no_file() -> None:
    with pytest.raises(InputError, match="is not to be found"):
        load(Path("x" * 5000))
