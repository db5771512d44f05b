"""What every block of a tank file has in common.

Names in the file are plain (`length: 48 in`); the attributes carry the unit they were turned into
(`length_cm`). What was not told is None: who needs it assumes it, and says so.
"""

from __future__ import annotations

import re

from pydantic import AliasGenerator, BaseModel, ConfigDict, model_validator

MOST_ENTRIES = 200

_UNIT_ENDING = re.compile("_(cm|l|c|kg|deg)$")


class Part(BaseModel):
    """A block of a tank file; a key it does not know is a fault."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        allow_inf_nan=False,
        alias_generator=AliasGenerator(alias=lambda name: _UNIT_ENDING.sub("", name)),
    )

    @model_validator(mode="before")
    @classmethod
    def _empty_is_untold(cls, given: object) -> object:
        """Take a key with nothing behind it as one that was left out."""
        if isinstance(given, dict):
            return {key: value for key, value in given.items() if value is not None}
        return given
