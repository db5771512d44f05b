"""What the surroundings decide: environment variables and the user's file of settings.

Read here only, so that no part below ever reads the environment by itself.
"""

from __future__ import annotations

import getpass
import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError, shown

HOUSE_VARIABLE = "SLACKWATER_HOUSE"
STORE_VARIABLE = "SLACKWATER_STORE"
WHO_VARIABLE = "SLACKWATER_WHO"
HOUSE_FILE = "house.yaml"
SETTINGS_FILE = "settings.toml"
STORE_FILE = "slackwater.db"
_FOLDER = "slackwater"
_KEYS = ("house", "store", "who")


@dataclass(frozen=True)
class Settings:
    """What was found in the surroundings.

    `house_file` is the file of house notes that was named; `folder` is where the user's own files
    are kept, None where the user has no home. `store` is where tanks and diaries are kept: the path
    of a file, or the URL of a PostgreSQL database. `who` signs what is written.
    """

    house_file: Path | None
    folder: Path | None
    store: str = ""
    who: str = "somebody"


def load_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Return the settings that an environment, and the user's file of settings, ask for.

    Parameters
    ----------
    environment
        The variables; those of the running program if left out.

    Raises
    ------
    InputError
        If the file of settings cannot be used.

    Notes
    -----
    SLACKWATER_HOUSE names the house notes, SLACKWATER_STORE the store, SLACKWATER_WHO who writes;
    each overrules its key (`house`, `store`, `who`) in `settings.toml`. That file lies in the
    folder `slackwater` in XDG_CONFIG_HOME where that is a full path, else in `~/.config`. The
    store is `slackwater.db` in the platform's folder for data unless another is named.
    """
    told = os.environ if environment is None else environment
    folder = _folder(told.get("XDG_CONFIG_HOME", ""))
    filed = _filed(folder / SETTINGS_FILE) if folder else {}
    house = told.get(HOUSE_VARIABLE) or filed.get("house", "")
    return Settings(
        house_file=Path(house) if house else None,
        folder=folder,
        store=told.get(STORE_VARIABLE) or filed.get("store") or _usual_store(told),
        who=told.get(WHO_VARIABLE) or filed.get("who") or _user(),
    )


def _folder(config_home: str) -> Path | None:
    if Path(config_home).is_absolute():
        return Path(config_home) / _FOLDER
    try:
        return Path.home() / ".config" / _FOLDER
    except RuntimeError:
        return None


def _usual_store(told: Mapping[str, str]) -> str:
    data_home = told.get("XDG_DATA_HOME", "")
    if Path(data_home).is_absolute():
        return str(Path(data_home) / _FOLDER / STORE_FILE)
    import platformdirs

    return str(platformdirs.user_data_path(_FOLDER, appauthor=False) / STORE_FILE)


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "somebody"


def _filed(path: Path) -> Mapping[str, str]:
    """Return what a file of settings says; no file says nothing."""
    try:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as problem:
        raise _unusable(path, "not to be read", str(problem)) from problem
    for key, value in told.items():
        if key not in _KEYS:
            raise _unusable(path, f"one with the key {shown(key)}", f"its keys are {', '.join(_KEYS)}")
        if not isinstance(value, str):
            raise _unusable(path, f"one with {key} = {shown(value)}", "its values are words in quotes")
    return told


def _unusable(path: Path, given: str, limit: str) -> InputError:
    remedy = "Mend the file, or take it away."
    return InputError(field=str(path), given=given, limit=limit, remedy=remedy)
