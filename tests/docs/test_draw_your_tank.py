"""The tank drawn in the how-to is read as it stands there."""

import re
from pathlib import Path

from slackwater.service.tank_of import stones_of, told_glass
from slackwater.service.tankfile import load
from slackwater.service.tankfile_rock import RockPiece
from slackwater.service.tankfile_tank import Tank

PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "draw-your-tank.md"


def test_the_tank_of_the_page_can_be_read_and_stands() -> None:
    glass, rock, scan = re.findall(r"```yaml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    tank_file = load(f"slackwater: 1\nwishes: [royal gramma]\n{glass}{rock}")
    stones = stones_of(tank_file, told_glass(tank_file.tank, []))
    assert len(stones) == rock.count("kind:")
    assert scan.startswith("rock: {scan: {file: reef.stl, unit: mm")


def test_every_key_of_glass_and_stones_is_on_the_page() -> None:
    text = PAGE.read_text(encoding="utf-8")
    for part in (Tank, RockPiece):
        for name, field in part.model_fields.items():
            assert f"{field.alias or name}" in text, name
