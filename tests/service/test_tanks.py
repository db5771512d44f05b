"""Tanks that are kept: revisions, stale edits, what changed, and what is new since."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from tests.service.kept import ADA, NOW, REEF, chase, write

from slackwater.errors import InputError, InputErrors, StaleEditError
from slackwater.service.diary import Draft
from slackwater.service.differences import differences, merged
from slackwater.service.keeping import kept, open_kept, rests_on
from slackwater.service.tanks import (
    By,
    add_tank,
    add_tank_file,
    changes_since,
    delete_tank,
    list_tanks,
    merge_revision,
    open_tank,
    revision,
    revisions,
    save_revision,
)
from slackwater.settings import Settings
from slackwater.store import Store

BO = By("bo", NOW + dt.timedelta(hours=1), "measured again")
LONGER = REEF.replace("120 cm", "150 cm")


def test_a_tank_is_kept_as_it_was_written(store: Store) -> None:
    tank = open_tank(store, "Reef")
    assert tank.revision.text == REEF
    assert tank.revision.content["tank"] == {"length": "120 cm", "width": "50 cm", "height": "50 cm"}
    assert tank.labels == ("yellow tang", "ocellaris 1", "ocellaris 2", "six line")
    assert (tank.tank.keeper, tank.revision.signed.by, tank.revision.why) == ("Ines", "ada", "first")
    assert open_tank(store, str(tank.tank.id)) == tank


def test_tanks_are_listed_by_name_and_by_keeper(store: Store) -> None:
    add_tank(store, "cube", REEF, ADA)
    assert [tank.name for tank in list_tanks(store)] == ["cube", "reef"]
    assert [tank.name for tank in list_tanks(store, "ines")] == ["reef"]
    with pytest.raises(InputError, match=r"Did you mean Ines\?"):
        list_tanks(store, "Inez")


def test_a_tank_goes_by_its_file_unless_named(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "hall.yaml"
    path.write_text(REEF, encoding="utf-8")
    assert add_tank_file(store, path, ADA).tank.name == "hall"
    assert add_tank_file(store, path, ADA, name="at the door").tank.name == "at the door"


@pytest.mark.parametrize("name", ["", "  ", "x" * 101, "12", "a\nb\x07"])
def test_names_that_cannot_be_are_refused(store: Store, name: str) -> None:
    with pytest.raises(InputError, match="the name is"):
        add_tank(store, name, REEF, ADA)


def test_a_name_is_taken_once(store: Store) -> None:
    with pytest.raises(InputError, match="already"):
        add_tank(store, "REEF", REEF, ADA)


def test_a_file_with_faults_is_not_kept(store: Store) -> None:
    with pytest.raises(InputErrors, match="2 faults"):
        add_tank(store, "new", "slackwater: 1\ntank: {length: -3 cm, depth: 2}\n", ADA)
    assert len(list_tanks(store)) == 1


def test_unknown_tanks_are_refused_with_the_nearest(store: Store) -> None:
    with pytest.raises(InputError, match=r"Did you mean reef\?"):
        open_tank(store, "reeef")
    with pytest.raises(InputError, match=r"Known: reef\."):
        open_tank(store, "zzz")
    with pytest.raises(InputError, match="no tank"):
        open_tank(store, "99")


def test_a_revision_follows_the_one_that_was_edited(store: Store) -> None:
    saved = save_revision(store, "reef", LONGER, 1, BO)
    assert (saved.tank.revision, saved.revision.text, saved.revision.why) == (2, LONGER, "measured again")
    assert revision(store, "reef", 1).text == REEF
    last, first = revisions(store, "reef")
    assert (last.by, last.at, [d.sentence for d in last.changed]) == (
        "bo",
        BO.now,
        ["tank.length: 120 cm to 150 cm"],
    )
    assert first.changed == ()
    with pytest.raises(InputError, match="1 to 2"):
        revision(store, "reef", 3)


def test_a_stale_edit_is_refused_with_what_changed(store: Store) -> None:
    save_revision(store, "reef", LONGER, 1, BO)
    with pytest.raises(StaleEditError) as caught:
        save_revision(store, "reef", REEF.replace("width: 50", "width: 60"), 1, ADA)
    assert str(caught.value) == (
        "revision 1 of reef is older than what is kept; bo changed it at 2027-01-10 19:00 UTC "
        "(tank.length: 120 cm to 150 cm). Open it again, compare the two, and save what should hold."
    )
    assert open_tank(store, "reef").revision.text == LONGER


def test_an_edit_beside_another_is_brought_together(store: Store) -> None:
    save_revision(store, "reef", LONGER, 1, BO)
    both = merge_revision(store, "reef", REEF.replace("width: 50", "width: 60"), 1, ADA)
    assert both.revision.content["tank"] == {"length": "150 cm", "width": "60 cm", "height": "50 cm"}
    assert both.tank.revision == 3
    with pytest.raises(StaleEditError, match=r"tank\.length"):
        merge_revision(store, "reef", REEF.replace("120 cm", "90 cm"), 1, ADA)


def test_an_edit_of_the_last_revision_is_kept_word_for_word(store: Store) -> None:
    commented = f"# as measured by Ines\n{LONGER}"
    assert merge_revision(store, "reef", commented, 1, BO).revision.text == commented


def test_what_is_new_since_a_change(store: Store) -> None:
    seen = changes_since(store, "reef", 0)
    assert (seen.until, len(seen.revisions)) == (1, 1)
    assert changes_since(store, "reef", 1).entries == ()
    write(store, Draft(chase()), Draft(chase(count=2)))
    save_revision(store, "reef", LONGER, 1, BO)
    new = changes_since(store, "reef", 1)
    assert (new.since, new.until) == (1, 3)
    assert [entry.number for entry in new.entries] == [1, 2]
    assert [one.number for one in new.revisions] == [2]


def test_a_tank_is_deleted_with_all_of_it(store: Store) -> None:
    write(store, Draft(chase()))
    delete_tank(store, "reef")
    assert list_tanks(store) == ()


def test_differences_name_the_place() -> None:
    before = {"a": {"b": 1, "c": [1, 2]}, "gone": True}
    after = {"a": {"b": 2, "c": [1, {"d": 3}, 4]}, "new": [1, 2]}
    assert [d.sentence for d in differences(before, after)] == [
        "a.b: 1 to 2",
        "a.c[2]: 2 to d 3",
        "a.c[3] added: 4",
        "gone taken out",
        "new added: 1; 2",
    ]


def test_edits_of_different_places_do_not_clash() -> None:
    base = {"a": 1, "b": {"c": 1, "d": 1}, "e": 1}
    theirs = {"a": 2, "b": {"c": 1, "d": 2}, "e": 1, "f": 1}
    mine = {"a": 1, "b": {"c": 2, "d": 1}}
    assert merged(base, theirs, mine) == ({"a": 2, "b": {"c": 2, "d": 2}, "f": 1}, ())
    assert merged({"a": 1}, {"a": 2}, {"a": 3}) == ({"a": 3}, ("a",))
    assert merged({"a": 1}, {"a": 2}, {"a": 2}) == ({"a": 2}, ())


def test_edits_of_different_rows_do_not_clash() -> None:
    six, gramma, kole = ({"animal": name} for name in ("six line", "royal gramma", "kole tang"))
    pair = {"animal": "ocellaris", "count": 2}
    base = {"company": [six, gramma]}
    theirs = {"company": [six | {"length": "6 cm"}, gramma, pair]}
    mine = {"company": [six | {"sex": "male"}, gramma | {"length": "5 cm"}, kole]}
    both = [
        six | {"length": "6 cm", "sex": "male"},
        gramma | {"length": "5 cm"},
        pair,
        kole,
    ]
    assert merged(base, theirs, mine) == ({"company": both}, ())
    assert merged(base, {"company": [gramma]}, {"company": [six, gramma, pair]})[0] == {
        "company": [gramma, pair]
    }


def test_edits_of_one_row_clash() -> None:
    six = {"animal": "six line", "length": "6 cm"}
    base = {"company": [six]}
    longer, other = {"company": [six | {"length": "7 cm"}]}, {"company": [{"animal": "kole tang"}]}
    assert merged(base, longer, {"company": [six | {"length": "8 cm"}]})[1] == ("company[1].length",)
    assert merged(base, longer, other)[1] == ("company[1]",)
    assert merged(base, other, {"company": [{"animal": "yellow tang"}]})[1] == ("company[1]",)
    assert merged(base, longer, {"company": []})[1] == ("company[1]",)


def test_a_stone_moved_by_two_is_no_stone_of_both() -> None:
    stone = {"form": "boulder", "x": 10, "y": 10}
    base = {"rock": {"pieces": [stone, stone]}}
    theirs = {"rock": {"pieces": [stone | {"x": 20}, stone]}}
    assert merged(base, theirs, {"rock": {"pieces": [stone | {"y": 20}, stone]}})[1] == ("rock.pieces[1]",)
    assert merged(base, theirs, {"rock": {"pieces": [stone, stone | {"y": 20}]}})[1] == ()


def test_the_store_is_where_the_settings_say(tmp_path: Path) -> None:
    settings = Settings(None, None, str(tmp_path / "elsewhere.db"), "ada")
    open_kept(settings).close()
    assert (tmp_path / "elsewhere.db").exists()
    with kept() as found:
        assert found.path == tmp_path / "nothing" / "slackwater" / "slackwater.db"


def test_what_an_answer_rests_on_is_marked() -> None:
    mark = rests_on(["yellow tang: shy here"])
    assert mark == replace(rests_on(), house_notes=("yellow tang: shy here",))
    assert mark.facts != mark.rules
    assert len(mark.rules) == 12
