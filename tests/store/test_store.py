"""What is written is read back alike, on both databases."""

import datetime as dt
from dataclasses import replace
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.build import NOW, add_entries, add_tank, meal, watch

from slackwater.errors import InputError, StoreError
from slackwater.society.diary import (
    KINDS,
    Divider,
    Eating,
    Entry,
    Photograph,
    RemedyBegun,
    RemedyEnded,
    Result,
    Seen,
    TakenBack,
    standing,
)
from slackwater.store import (
    Asked,
    DueLook,
    KeptPlan,
    LookResult,
    Outcome,
    RestsOn,
    Signed,
    Store,
)
from slackwater.store.plain import dumps, loads, plain_of, seen_of

LATER = NOW + dt.timedelta(days=1)


def test_a_tank_and_its_revisions(store: Store) -> None:
    tank = add_tank(store, "Reef  at home", keeper="Ines")
    with store.writing() as work:
        assert work.tanks.save(tank, 1, "b", {"b": [1.5, "é"]}, "sand", Signed(LATER, "bo")) == 2
    with store.reading() as work:
        found = work.tanks.find("reef AT home")
        first, second = work.tanks.revisions(tank)
    assert found is not None
    assert (found.keeper, found.revision, found.change, found.since) == ("Ines", 2, 2, NOW)
    assert (first.text, first.why, first.signed) == ("slackwater: 1\n", "first", Signed(NOW, "ada", 1))
    assert (second.content, second.signed) == ({"b": [1.5, "é"]}, Signed(LATER, "bo", 2))


def test_a_revision_on_an_old_one_is_not_saved(store: Store) -> None:
    tank = add_tank(store)
    with store.writing() as work:
        assert work.tanks.save(tank, 0, "b", {}, "late", Signed(NOW, "bo")) is None
    with store.reading() as work:
        assert [r.number for r in work.tanks.revisions(tank)] == [1]


def test_two_tanks_of_one_name_are_refused(store: Store) -> None:
    add_tank(store, "reef")
    with pytest.raises(StoreError):
        add_tank(store, "REEF")


def test_a_writing_that_fails_leaves_nothing(store: Store) -> None:
    class StopError(Exception):
        pass

    def write_and_stop() -> None:
        with store.writing() as work:
            work.tanks.add("reef", NOW)
            raise StopError

    with pytest.raises(StopError):
        write_and_stop()
    with store.reading() as work:
        assert work.tanks.all() == ()


def test_moments_come_back_in_utc_whatever_zone_they_were_told_in(store: Store) -> None:
    east = dt.timezone(dt.timedelta(hours=5, minutes=45))
    with store.writing() as work:
        work.tanks.add("reef", NOW.astimezone(east))
    with store.reading() as work:
        (tank,) = work.tanks.all()
    assert tank.since == NOW
    assert tank.since.tzinfo is dt.UTC


def test_a_moment_without_its_zone_is_never_written(store: Store) -> None:
    with pytest.raises(StoreError), store.writing() as work:
        work.tanks.add("reef", NOW.replace(tzinfo=None))


def test_entries_are_read_back_as_they_were_written(store: Store) -> None:
    tank = add_tank(store)
    photograph = Photograph("wrasse.jpg", "0" * 64)
    whole = replace(meal(2), note="took mysis", photographs=(photograph,))
    add_entries(store, tank, watch(1), whole)
    with store.reading() as work:
        assert work.diaries.written(tank) == (watch(1), whole)
        assert work.diaries.get(tank, 2) == whole
        assert work.diaries.get(tank, 3) is None
        assert work.diaries.last_written(tank) == NOW


def test_what_stands_is_what_the_domain_says_stands(store: Store) -> None:
    tank = add_tank(store)
    told = [
        watch(1, 8),
        meal(2, 9),
        watch(3, 7, corrects=1, count=5),
        watch(4, 10),
        Entry(5, NOW, TakenBack(), "ada", "", (), 4, NOW),
        watch(6, 8, corrects=1, count=6),
    ]
    add_entries(store, tank, *told)
    with store.reading() as work:
        found = work.diaries.standing(tank, Asked())
    assert found == tuple(reversed(standing(told)))
    assert [e.number for e in found] == [2, 1]


def test_entries_are_found_by_kind_animal_and_time(store: Store) -> None:
    tank, other = add_tank(store), add_tank(store, "other")
    add_entries(store, tank, watch(1, 8), meal(2, 9), watch(3, 10))
    add_entries(store, other, watch(1, 8))

    def numbers(asked: Asked, most: int | None = None) -> list[int]:
        with store.reading() as work:
            return [entry.number for entry in work.diaries.standing(tank, asked, most)]

    assert numbers(Asked(kinds=("watch",))) == [3, 1]
    assert numbers(Asked(animal="wrasse")) == [3, 1]
    assert numbers(Asked(animal="tang")) == [3, 2, 1]
    assert numbers(Asked(animal="nobody")) == []
    assert numbers(Asked(since=NOW.replace(hour=9))) == [3, 2]
    assert numbers(Asked(until=NOW.replace(hour=9))) == [1]
    assert numbers(Asked(before=(NOW.replace(hour=9), 2))) == [1]
    assert numbers(Asked(), most=2) == [3, 2]


def test_counts_and_last_mentions_leave_out_what_does_not_hold(store: Store) -> None:
    tank = add_tank(store)
    back = Entry(4, NOW, TakenBack(), "ada", "", (), 3, NOW)
    add_entries(store, tank, watch(1, 8), meal(2, 9), meal(3, 10), back)
    with store.reading() as work:
        assert work.diaries.counts(tank) == {"watch": 1, "eating": 1}
        assert work.diaries.last_named(tank, "eating") == {"tang": NOW.replace(hour=9)}


def test_remedies_of_all_tanks_are_found(store: Store) -> None:
    here, there = add_tank(store, "here"), add_tank(store, "there")
    begun = Entry(1, NOW, RemedyBegun("divider", ("tang",), "newcomer", 14.0), "ada", written_at=NOW)
    ended = Entry(2, LATER, RemedyEnded(1, Result.WORKED), "ada", written_at=LATER)
    add_entries(store, here, begun, ended)
    add_entries(store, there, begun)
    with store.reading() as work:
        found = work.diaries.of_kinds(["remedy begun", "remedy ended"])
    assert found == ((here, begun), (there, begun), (here, ended))


def test_changes_count_up_with_every_writing(store: Store) -> None:
    tank = add_tank(store)
    add_entries(store, tank, watch(1), watch(2))
    add_entries(store, tank, watch(3))
    with store.reading() as work:
        found = work.tanks.find(tank)
        assert found is not None
        assert (found.change, found.entries) == (3, 3)
        assert [e.number for e in work.diaries.written(tank, after_change=1)] == [1, 2, 3]
        assert [e.number for e in work.diaries.written(tank, after_change=2)] == [3]


def test_plans_are_kept_with_what_they_rest_on(store: Store) -> None:
    tank = add_tank(store)
    rests = RestsOn("1.0", "f00d", "beef", ("yellow tang: shy here",))
    kept = KeptPlan(0, 1, {"mood": "settled"}, rests, "first", Signed(NOW, "ada", 2))
    with store.writing() as work:
        assert work.plans.add(tank, kept) == 1
        assert work.plans.add(tank, replace(kept, why="again", signed=Signed(LATER, "bo", 3))) == 2
    with store.reading() as work:
        first, second = work.plans.all(tank)
        assert work.plans.all(tank, after_change=2) == (second,)
    assert first == replace(kept, number=1)
    assert second.why == "again"


def test_due_looks_and_the_last_word_on_each(store: Store) -> None:
    tank = add_tank(store)
    look = DueLook(0, LATER, ("does it eat?",), "new here", Signed(NOW, "ada", 2), ("tang",), "settles", 0.8)
    first = LookResult(Outcome.NOT_REACHED, "", Signed(LATER, "bo", 3))
    last = LookResult(Outcome.ALL_WELL, "fat", Signed(LATER, "bo", 4), happened=True)
    with store.writing() as work:
        assert work.looks.add(tank, look) == 1
        assert work.looks.add(tank, replace(look, due_at=NOW)) == 2
        work.looks.answer(tank, 1, first)
        work.looks.answer(tank, 1, last)
    with store.reading() as work:
        assert work.looks.find(tank, 1) == replace(look, number=1, result=last)
        assert [n.number for _, n in work.looks.due(LATER)] == [2]
        assert [n.number for _, n in work.looks.all(tank)] == [2, 1]
        assert [n.number for _, n in work.looks.all(after_change=3)] == [1]
        assert work.looks.find(tank, 3) is None


def test_who_is_deleted_takes_all_along(store: Store) -> None:
    tank = add_tank(store, "hers", keeper="Ines")
    other = add_tank(store, "his")
    for one in (tank, other):
        add_entries(store, one, watch(1))
    look = DueLook(0, NOW, (), "", Signed(NOW, "ada", 3))
    with store.writing() as work:
        work.looks.add(tank, look)
        work.looks.answer(tank, 1, LookResult(Outcome.VISIT, "", Signed(NOW, "ada", 4)))
        keeper = work.keepers.find("ines")
        assert keeper is not None
        work.keepers.delete(keeper.id)
    with store.reading() as work:
        assert [found.name for found in work.tanks.all()] == ["his"]
        assert work.diaries.written(tank) == ()
        assert len(work.diaries.written(other)) == 1
        assert work.looks.all() == ()
        assert work.keepers.all() == ()


EXAMPLES: tuple[Seen, ...] = (
    Divider(begins=False, left=("a", "b")),
    RemedyBegun("box", ("a",), "newcomer", 3.0),
    RemedyEnded(4, Result.HELPED),
    Eating("a", ate=False, food="näs"),
    watch(1).seen,
)


@pytest.mark.parametrize("seen", EXAMPLES, ids=lambda seen: seen.kind)
def test_records_go_to_text_and_back(seen: Seen) -> None:
    assert seen_of(seen.kind, loads(dumps(plain_of(seen)))) == seen


@st.composite
def anything_seen(draw: st.DrawFn) -> Seen:
    """Draw a record of any kind, filled at random; what cannot be is drawn again."""
    record = draw(st.sampled_from(sorted(KINDS.values(), key=lambda r: r.kind)))
    try:
        return draw(st.from_type(record))
    except InputError:
        from hypothesis import reject

        return reject()


@given(anything_seen())
def test_any_record_goes_to_text_and_back(seen: Seen) -> None:
    assert seen_of(seen.kind, loads(dumps(plain_of(seen)))) == seen


def test_each_kind_has_a_reader() -> None:
    assert set(KINDS.values()) == set(get_args(Seen))


@pytest.mark.parametrize(
    ("kind", "plain"),
    [("omen", {}), ("eating", {"animal": "a", "moon": 1}), ("mark", {"animal": "a", "part": "wing"})],
)
def test_what_a_later_release_wrote_is_said_so(kind: str, plain: dict[str, object]) -> None:
    with pytest.raises(StoreError, match="release"):
        seen_of(kind, plain)
