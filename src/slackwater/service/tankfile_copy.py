"""A tank file as plain values that read back as the same tank file, to be kept with a plan."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from pathlib import Path

from pydantic import BaseModel

from slackwater.service.tankfile import TankFile, load
from slackwater.service.tankfile_values import Away
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.units import Money

Plain = dict[str, object]

_LEFT_OUT = frozenset({"stock"})
_UNITS: Mapping[str, str] = {"_cm": "cm", "_l": "L", "_kg": "kg", "_c": "C"}


def copy_of(source: Path | str) -> Plain:
    """Return what a tank file says, as plain values.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return plain_copy(load(source))


def plain_copy(tank_file: TankFile) -> Plain:
    """Return a tank file as plain values; what was not told and the week's stock are left out.

    Quantities are written with their unit, so that nothing is rounded on the way.
    """
    plain = {key: value for key, value in plain_values(tank_file).items() if key not in _LEFT_OUT}
    if tank_file.rock.scan is not None:
        plain["rock"] = _without_scan(tank_file, plain["rock"])
    return plain


def _without_scan(tank_file: TankFile, rock: object) -> Plain:
    """Return rock with the bodies of its scan as pieces, so that the copy needs no other file."""
    from slackwater.service.tank_of import stones_of, told_glass
    from slackwater.tank.stone import bodies

    plain = dict(rock) if isinstance(rock, dict) else {}
    plain.pop("scan")
    scanned, *_ = stones_of(tank_file, told_glass(tank_file.tank, []))
    whole_l = scanned.solid_l
    share = scanned.weight_kg / whole_l
    pieces = [_as_piece(piece, share * piece.volume_l) for piece in bodies(scanned)]
    return plain | {"pieces": [*pieces, *plain.get("pieces", [])]}


def _as_piece(piece: Piece, mass_kg: float) -> Plain:
    length, width, height = (2.0 * half for half in piece.half_cm)
    kind = "slab" if piece.kind is PieceKind.SLAB else "boulder"
    sizes = {"length": length, "width": width, "height": height}
    x, y, z = piece.centre_cm
    places = {"x": x, "y": y, "base": max(z - piece.spans_cm[2], 0.0)}
    plain: Plain = {"kind": kind, "fixed": True, "mass": f"{max(mass_kg, 0.1):.6g} kg"}
    plain |= {key: f"{value:.6g} cm" for key, value in (places | sizes).items()}
    plain |= {"turn": f"{math.degrees(piece.yaw_rad):.6g}", "tilt": f"{math.degrees(piece.tilt_rad):.6g}"}
    return plain


def plain_values(part: BaseModel) -> Plain:
    """Return what was told in a part of a tank file, as plain values."""
    fields = type(part).model_fields
    told = {name: getattr(part, name) for name in fields if name in part.model_fields_set}
    return {
        fields[name].alias or name: _value(value, _unit(name))
        for name, value in told.items()
        if value is not None
    }


def _unit(name: str) -> str:
    return next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "")


def _value(value: object, unit: str) -> object:
    if isinstance(value, BaseModel):
        return plain_values(value)
    if isinstance(value, tuple):
        return [_value(one, unit) for one in value]
    if isinstance(value, float):
        return _number(value, unit)
    return _word(value)


def _number(value: float, unit: str) -> object:
    if unit:
        return f"{value:.15g} {unit}"
    return int(value) if value.is_integer() else f"{value:.15g}"


def _word(value: object) -> object:
    if isinstance(value, Money):
        return f"{value.amount} {value.currency}".rstrip()
    if isinstance(value, Away):
        return f"{value.start}/{value.end}"
    if isinstance(value, dt.time):
        return f"{value:%H:%M}"
    return value.isoformat() if isinstance(value, dt.date) else value
