"""Backups hold all that is kept, are checked, and replace nothing without a word."""

import sqlite3
from pathlib import Path

import pytest
from tests.store.build import NOW, add_entries, add_tank, watch
from tests.store.test_opening import make_at

from slackwater.errors import StoreError
from slackwater.store import Backup, Store, backup, check, open_store, restore


def state(store: Store) -> object:
    with store.reading() as work:
        tanks = work.tanks.all()
        return [
            (t, work.tanks.revisions(t.id), work.diaries.written(t.id)) for t in tanks
        ], work.keepers.all()


@pytest.fixture
def filled(store: Store) -> Store:
    tank = add_tank(store, "reef", keeper="Ines")
    add_entries(store, tank, watch(1), watch(2, corrects=1))
    return store


def test_a_backup_and_back(filled: Store, told: str, tmp_path: Path) -> None:
    was = state(filled)
    made = backup(filled, tmp_path / "copy.db")
    assert made.rows["entry"] == 2
    add_entries(filled, 1, watch(3))
    filled.close()
    done = restore(told, made.path, replace=True)
    assert done.before is not None
    assert check(done.before).rows["entry"] == 3
    again = open_store(told)
    assert state(again) == was
    assert add_tank(again, "next") == 2
    again.close()


def test_from_one_database_to_the_other(filled: Store, tmp_path: Path) -> None:
    was = state(filled)
    made = backup(filled, tmp_path / "copy.db")
    other = str(tmp_path / "other" / "slackwater.db")
    assert restore(other, made.path).before is None
    opened = open_store(other)
    assert state(opened) == was
    opened.close()


def test_a_file_is_not_replaced_without_a_word(filled: Store, tmp_path: Path) -> None:
    path = tmp_path / "copy.db"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(StoreError, match="already"):
        backup(filled, path)
    assert path.read_text(encoding="utf-8") == "mine"
    assert isinstance(backup(filled, path, replace=True), Backup)


def test_a_store_is_not_replaced_without_a_word(filled: Store, told: str, tmp_path: Path) -> None:
    made = backup(filled, tmp_path / "copy.db")
    add_entries(filled, 1, watch(3))
    was = state(filled)
    with pytest.raises(StoreError, match="tanks: 1, entries: 3"):
        restore(told, made.path)
    assert state(filled) == was


def test_a_backup_of_an_earlier_release_is_brought_up(told: str, tmp_path: Path) -> None:
    old = tmp_path / "old.db"
    make_at(str(old), "0001")
    before = old.read_bytes()
    restore(told, old)
    opened = open_store(told)
    with opened.reading() as work:
        assert [tank.name for tank in work.tanks.all()] == ["reef"]
        assert work.looks.all() == ()
    opened.close()
    assert old.read_bytes() == before


def test_a_damaged_backup_is_refused_and_the_store_stays(filled: Store, told: str, tmp_path: Path) -> None:
    made = backup(filled, tmp_path / "copy.db")
    raw = bytearray(made.path.read_bytes())
    raw[4096 * 3 : 4096 * 4] = b"\xff" * 4096
    made.path.write_bytes(bytes(raw))
    was = state(filled)
    with pytest.raises(StoreError, match=r"damaged|malformed"):
        restore(told, made.path, replace=True)
    assert state(filled) == was


def test_half_a_backup_is_refused(filled: Store, tmp_path: Path) -> None:
    made = backup(filled, tmp_path / "copy.db")
    raw = made.path.read_bytes()
    made.path.write_bytes(raw[: len(raw) // 2])
    with pytest.raises(StoreError, match="damaged"):
        check(made.path)


@pytest.mark.parametrize("what", ["nothing", "a letter", "empty", "another program's"])
def test_what_is_no_backup_is_refused(tmp_path: Path, what: str) -> None:
    path = tmp_path / "file"
    if what == "a letter":
        path.write_text("Dear keeper, " * 100, encoding="utf-8")
    elif what == "empty":
        path.touch()
    elif what == "another program's":
        other = sqlite3.connect(path)
        other.execute("CREATE TABLE recipes (name TEXT)")
        other.close()
    with pytest.raises(StoreError):
        check(path)


def test_a_damaged_store_is_moved_aside_and_replaced(tmp_path: Path) -> None:
    told = tmp_path / "slackwater.db"
    store = open_store(str(told))
    add_tank(store)
    made = backup(store, tmp_path / "copy.db")
    store.close()
    told.write_bytes(b"rubbish" * 1000)
    done = restore(str(told), made.path, replace=True)
    assert done.before == tmp_path / "slackwater.db.damaged"
    again = open_store(str(told))
    with again.reading() as work:
        assert len(work.tanks.all()) == 1
    again.close()


def test_a_store_is_not_restored_from_itself(tmp_path: Path) -> None:
    told = tmp_path / "slackwater.db"
    open_store(str(told)).close()
    with pytest.raises(StoreError, match="the store itself"):
        restore(str(told), told, replace=True)


def test_a_backup_is_taken_while_others_write(filled: Store, tmp_path: Path) -> None:
    with filled.writing() as work:
        work.tanks.add("unfinished", NOW)
        if filled.path is not None:
            made = backup(filled, tmp_path / "copy.db")
            assert made.rows["tank"] == 1
    assert backup(filled, tmp_path / "later.db").rows["tank"] == 2


def test_where_nothing_can_be_written_is_said(filled: Store, tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("Dear keeper", encoding="utf-8")
    with pytest.raises(StoreError):
        backup(filled, tmp_path / "letter" / "copy.db")
    assert not list(tmp_path.glob("*.partial"))


@pytest.mark.parametrize("database", ["sqlite"])
def test_what_was_deleted_leaves_no_trace(tmp_path: Path, database: str) -> None:
    assert database
    path = tmp_path / "slackwater.db"
    store = open_store(str(path))
    add_tank(store, "TRACE-OF-A-TANK", keeper="TRACE-OF-A-KEEPER")
    add_tank(store, "stays")
    files = [path, path.with_name("slackwater.db-wal")]
    assert any(b"TRACE-OF" in file.read_bytes() for file in files if file.exists())
    with store.writing() as work:
        work.keepers.delete(1)
    store.overwrite_traces()
    assert not any(b"TRACE-OF" in file.read_bytes() for file in files if file.exists())
    with store.reading() as work:
        assert [tank.name for tank in work.tanks.all()] == ["stays"]
    store.close()


def test_traces_are_overwritten_on_either_database(filled: Store) -> None:
    with filled.writing() as work:
        work.keepers.delete(1)
    filled.overwrite_traces()
    assert state(filled) == ([], ())


def test_who_reads_meanwhile_is_named_when_traces_stay(tmp_path: Path) -> None:
    path = tmp_path / "slackwater.db"
    store = open_store(str(path))
    add_tank(store)
    reader = sqlite3.connect(path, isolation_level=None)
    reader.execute("BEGIN")
    reader.execute("SELECT * FROM tank").fetchall()
    store.engine.dispose()
    from slackwater.store import engine

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "_PRAGMAS", ("busy_timeout = 50", "secure_delete = on"))
        with pytest.raises(StoreError, match="someone else"):
            store.overwrite_traces()
    reader.close()
    store.close()
