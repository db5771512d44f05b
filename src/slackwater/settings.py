"""What the surroundings decide: environment variables and the user's folder of settings.

Read here only, so that no part below ever reads the environment by itself.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

HOUSE_VARIABLE = "SLACKWATER_HOUSE"
HOUSE_FILE = "house.yaml"
_FOLDER = "slackwater"


@dataclass(frozen=True)
class Settings:
    """What was found in the surroundings.

    `house_file` is the file of house notes that the environment names; `folder` is where the
    user's own files are kept, None where the user has no home.
    """

    house_file: Path | None
    folder: Path | None


def load_settings(environment: Mapping[str, str] | None = None) -> Settings:
    """Return the settings that an environment asks for.

    Parameters
    ----------
    environment
        The variables; those of the running program if left out.

    Notes
    -----
    SLACKWATER_HOUSE names the house notes. The folder is `slackwater` in XDG_CONFIG_HOME where
    that is a full path, else in `~/.config`.
    """
    told = os.environ if environment is None else environment
    house = told.get(HOUSE_VARIABLE, "")
    return Settings(Path(house) if house else None, _folder(told.get("XDG_CONFIG_HOME", "")))


def _folder(config_home: str) -> Path | None:
    if Path(config_home).is_absolute():
        return Path(config_home) / _FOLDER
    try:
        return Path.home() / ".config" / _FOLDER
    except RuntimeError:
        return None
