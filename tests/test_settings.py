"""What the surroundings decide."""

from pathlib import Path

import pytest

from slackwater.errors import InputError
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


def test_the_store_lies_in_the_folder_for_data(tmp_path: Path) -> None:
    told = {"XDG_DATA_HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
    assert load_settings(told).store == str(tmp_path / "slackwater" / "slackwater.db")


def test_without_a_variable_the_platform_says_where(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    store = Path(load_settings({"XDG_CONFIG_HOME": str(tmp_path)}).store)
    assert store.is_relative_to(tmp_path)
    assert store.parts[-2:] == ("slackwater", "slackwater.db")


def test_the_environment_overrules_the_file(tmp_path: Path) -> None:
    folder = tmp_path / "slackwater"
    folder.mkdir()
    text = 'store = "postgresql://host/tanks"\nwho = "counter"\nhouse = "shop.yaml"\n'
    (folder / "settings.toml").write_text(text, encoding="utf-8")
    filed = load_settings({"XDG_CONFIG_HOME": str(tmp_path)})
    assert (filed.store, filed.who) == ("postgresql://host/tanks", "counter")
    assert filed.house_file == Path("shop.yaml")
    told = {"SLACKWATER_STORE": "here.db", "SLACKWATER_WHO": "ada", "XDG_CONFIG_HOME": str(tmp_path)}
    assert (load_settings(told).store, load_settings(told).who) == ("here.db", "ada")


@pytest.mark.parametrize(
    ("text", "said"),
    [("store = ", "not to be read"), ("shop = 'x'", "with the key shop"), ("who = 3", "words in quotes")],
)
def test_a_broken_file_of_settings_is_told(tmp_path: Path, text: str, said: str) -> None:
    folder = tmp_path / "slackwater"
    folder.mkdir()
    (folder / "settings.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=said):
        load_settings({"XDG_CONFIG_HOME": str(tmp_path)})


def test_who_has_no_name_is_somebody(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def nameless() -> str:
        raise KeyError

    monkeypatch.setattr("getpass.getuser", nameless)
    assert load_settings({"XDG_CONFIG_HOME": str(tmp_path)}).who == "somebody"
