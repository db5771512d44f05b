"""Files that are handed over stand whole in their place, or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from slackwater.service.planning import title_of
from slackwater.service.written import write_all, write_whole


def test_files_stand_in_a_new_folder_in_their_order_and_nothing_beside_them(tmp_path: Path) -> None:
    out = tmp_path / "new" / "folder"
    written = write_all(out, {"b.txt": "Poisson-clown à trois bandes\r\n", "a.bin": b"\x00\xff"})
    assert written == (out / "b.txt", out / "a.bin")
    assert written[0].read_bytes().decode("utf-8") == "Poisson-clown à trois bandes\r\n"
    assert written[1].read_bytes() == b"\x00\xff"
    assert sorted(path.name for path in out.iterdir()) == ["a.bin", "b.txt"]


def test_no_files_make_no_folder(tmp_path: Path) -> None:
    assert write_all(tmp_path / "none", {}) == ()
    assert not (tmp_path / "none").exists()


def test_a_file_that_cannot_be_written_to_its_end_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_whole(tmp_path / "plan.txt", "the old plan")

    def full(part: Path, content: bytes) -> int:
        with part.open("wb") as out:
            out.write(content[:3])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(path, "the new plan")
    assert path.read_text(encoding="utf-8") == "the old plan"
    assert [one.name for one in tmp_path.iterdir()] == ["plan.txt"]


@pytest.mark.parametrize(
    ("source", "title", "called"),
    [
        (Path("shop") / "Long tank.yaml", None, "Long tank"),
        (Path("reef.yaml"), "Reef by the door", "Reef by the door"),
        ("slackwater: 1\n", None, "tank"),
        ("slackwater: 1\n", "", "tank"),
    ],
)
def test_a_tank_goes_by_its_title_or_its_files_name(
    source: Path | str, title: str | None, called: str
) -> None:
    assert title_of(source, title) == called
