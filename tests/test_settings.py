"""What the surroundings decide."""

from pathlib import Path

import pytest

from slackwater.settings import load_settings


def test_nothing_told_is_the_folder_at_home(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: Path("/home/someone"))
    settings = load_settings({})
    assert settings.house_file is None
    assert settings.folder == Path("/home/someone/.config/slackwater")


def test_the_environment_names_file_and_folder(tmp_path: Path) -> None:
    settings = load_settings({"SLACKWATER_HOUSE": "shop.yaml", "XDG_CONFIG_HOME": str(tmp_path)})
    assert settings.house_file == Path("shop.yaml")
    assert settings.folder == tmp_path / "slackwater"


def test_an_empty_variable_is_none_and_a_short_path_no_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: Path("/home/someone"))
    settings = load_settings({"SLACKWATER_HOUSE": "", "XDG_CONFIG_HOME": "config"})
    assert settings.house_file is None
    assert settings.folder == Path("/home/someone/.config/slackwater")


def test_who_has_no_home_has_no_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless() -> Path:
        raise RuntimeError

    monkeypatch.setattr(Path, "home", homeless)
    assert load_settings({}).folder is None
