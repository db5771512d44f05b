"""Scans of rock read from files: the one door to trimesh.

Every file is looked over before it is opened for good: its size, and how many faces it says it
holds. Nothing outside the file is ever followed.
"""

from __future__ import annotations

import functools
import io
import json
import logging
import re
import struct
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from slackwater.errors import InputError
from slackwater.tank.mesh import MOST_FACES, Mesh, cleaned, refused, stood, upright
from slackwater.tank.reduction import Reduced, reduce_mesh

MOST_BYTES = 50_000_000
"""Largest file that is opened. [bytes]"""

SMALLEST_CM, LARGEST_CM = 1.0, 1500.0
"""Least and greatest size of a scan that is taken for rock in a tank. [cm]"""

_CM_PER: Mapping[str, float] = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54, "ft": 30.48}
_STL_HEAD, _STL_FACE = 84, 50
_MOST_NODES = 10_000
_PLY_HEAD = 65_536
_GLTF, _JSON_CHUNK = 0x46546C67, 0x4E4F534A
_THIN = "Thin it out to fewer faces in the program that made it."
_AGAIN = "Export it again from the program that made it."


@dataclass(frozen=True)
class Setting:
    """How a scan is to be read: its unit or its length, and which axis points up.

    Parameters
    ----------
    unit
        mm, cm, m, in or ft.
    length_cm
        Its length from left to right, instead of a unit. [cm]
    up
        y or z; None for the file kind's own.
    """

    unit: str | None = None
    length_cm: float | None = None
    up: str | None = None


def read_scan(path: Path, setting: Setting) -> Reduced:
    """Return a scan as bodies about the middle of its foot, in centimetres.

    Parameters
    ----------
    path
        An STL, OBJ, PLY or GLB file.
    setting
        Its scale and its upright axis.

    Raises
    ------
    InputError
        If the extra `scan` is not installed, or the file is missing, too large, broken, or no
        closed solid of a size that fits a tank.
    """
    try:
        return _read(path, path.stat().st_mtime_ns, setting)
    except OSError:
        raise _named(path, refused("it cannot be opened", "Check its name and place.")) from None
    except InputError as error:
        raise _named(path, error) from None


@functools.lru_cache(maxsize=16)
def _read(path: Path, _changed_ns: int, setting: Setting) -> Reduced:
    kind = path.suffix.lower().removeprefix(".")
    mesh, gaps = cleaned(upright(_opened(path, kind), setting.up or ("y" if kind == "glb" else "z")))
    whole = stood(mesh, _scale(mesh, kind, setting))
    smallest, largest = float(whole.size.min()), float(whole.size.max())
    if not SMALLEST_CM <= smallest <= largest <= LARGEST_CM:
        limit = f"at this scale it is {largest:.3g} cm large; rock is {SMALLEST_CM:g} to {LARGEST_CM:g} cm"
        raise refused(limit, "Check the unit, or give its length from left to right.")
    return replace(reduce_mesh(whole), gaps=gaps)


def _scale(mesh: Mesh, kind: str, setting: Setting) -> float:
    """Return centimetres per unit of the scan."""
    if setting.length_cm is not None:
        return setting.length_cm / float(mesh.size[0])
    return _CM_PER[setting.unit or ("m" if kind == "glb" else "cm")]


def _opened(path: Path, kind: str) -> Mesh:
    """Return the faces of a file that was looked over first."""
    if kind not in _LOOKED_OVER:
        raise refused("it is none of STL, OBJ, PLY and GLB", "Save it as one of these.")
    if path.stat().st_size > MOST_BYTES:
        raise refused(f"it is larger than {MOST_BYTES // 1_000_000} MB", _THIN)
    content = path.read_bytes()
    count = _LOOKED_OVER[kind](content)
    if count > MOST_FACES:
        raise refused(f"it holds {count} faces, {MOST_FACES} are read at most", _THIN)
    mesh = _parsed(content, kind)
    if len(mesh.faces) > MOST_FACES:
        raise refused(f"it holds {len(mesh.faces)} faces, {MOST_FACES} are read at most", _THIN)
    return mesh


def _parsed(content: bytes, kind: str) -> Mesh:
    try:
        import trimesh
    except ImportError:
        raise refused(
            "reading scans needs the extra `scan`", "Install it: pip install 'slackwater[scan]'."
        ) from None
    logging.getLogger("trimesh").setLevel(logging.CRITICAL)
    try:
        scene = trimesh.load_scene(
            io.BytesIO(content), file_type=kind, resolver={}, process=False, skip_materials=True
        )
        whole = scene.to_mesh()
        points, faces = np.array(whole.vertices, float), np.array(whole.faces, np.int64)
    except Exception as error:  # noqa: BLE001 - whatever a broken file makes a reader do
        raise refused(f"it is broken or no {kind.upper()} file ({type(error).__name__})", _AGAIN) from None
    if faces.ndim != 2 or points.ndim != 2 or not len(faces) or faces.max(initial=0) >= len(points):  # noqa: PLR2004
        raise refused("it holds no faces", _AGAIN)
    return Mesh(points, faces)


# --- how many faces a file says it holds -------------------------------------------------------


def _stl_faces(content: bytes) -> int:
    if len(content) >= _STL_HEAD:
        count = int(struct.unpack_from("<I", content, 80)[0])
        if len(content) == _STL_HEAD + _STL_FACE * count:
            return count
    if not content.lstrip()[:5].lower() == b"solid":
        raise refused("its length does not match the number of faces it tells", _AGAIN)
    return content.count(b"endfacet")


def _obj_faces(content: bytes) -> int:
    return len(re.findall(rb"^\s*f\s", content, re.MULTILINE))


def _ply_faces(content: bytes) -> int:
    head, found, _ = content[:_PLY_HEAD].partition(b"end_header")
    if not (found and head.startswith(b"ply")):
        raise refused("it is no PLY file", _AGAIN)
    counts = [int(n) for n in re.findall(rb"element\s+\S+\s+(\d{1,12})", head)]
    return max(counts, default=0)


def _glb_faces(content: bytes) -> int:
    """Return the faces of a GLB as it is laid out: those of each mesh as often as it stands there."""
    told = _glb_json(content)
    if any("uri" in part for name in ("buffers", "images") for part in told.get(name, ())):
        raise refused("it points to other files", "Export it as one file.")
    if told.get("extensionsRequired"):
        needs = ", ".join(str(name) for name in told["extensionsRequired"][:3])
        raise refused(f"it needs {needs}", "Export it without compression.")
    nodes = told.get("nodes", [])
    if len(nodes) > _MOST_NODES:
        raise refused(f"it holds more than {_MOST_NODES} parts", _THIN)
    sizes = [_glb_mesh_faces(mesh, told.get("accessors", [])) for mesh in told.get("meshes", [])]
    return sum(sizes[node["mesh"]] for node in nodes if "mesh" in node)


def _glb_json(content: bytes) -> dict[str, Any]:
    try:
        magic, version, _, length, kind = struct.unpack_from("<5I", content, 0)
        told = json.loads(content[20 : 20 + length]) if (magic, kind) == (_GLTF, _JSON_CHUNK) else None
    except (struct.error, ValueError, RecursionError):
        told = None
    if not isinstance(told, dict) or version != 2:  # noqa: PLR2004 - the version in use
        raise refused("it is broken or no GLB file", _AGAIN)
    return told


def _glb_mesh_faces(mesh: Mapping[str, Any], accessors: list[Mapping[str, Any]]) -> int:
    count = 0
    for part in mesh.get("primitives", ()):
        number = part.get("indices", part.get("attributes", {}).get("POSITION", 0))
        count += int(accessors[number]["count"])
    return count // 3 + 1


def _guarded(look: Callable[[bytes], int]) -> Callable[[bytes], int]:
    """Return a look-over that refuses what it stumbles over."""

    def looked(content: bytes) -> int:
        try:
            return look(content)
        except (KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
            if isinstance(error, InputError):
                raise
            raise refused("it is broken", _AGAIN) from None

    return looked


_LOOKED_OVER: Mapping[str, Callable[[bytes], int]] = {
    "stl": _guarded(_stl_faces),
    "obj": _guarded(_obj_faces),
    "ply": _guarded(_ply_faces),
    "glb": _guarded(_glb_faces),
}


def _named(path: Path, error: InputError) -> InputError:
    return InputError(field="scan", given=path.name, limit=error.limit, remedy=error.remedy)
