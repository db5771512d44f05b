"""Scans made here by trimesh and read back, and files that no scan should be."""

import json
import struct
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slackwater.errors import InputError
from slackwater.tank import scan as door
from slackwater.tank.mesh import Mesh, cleaned
from slackwater.tank.pieces import PieceKind
from slackwater.tank.reduction import Reduced, _body, inside_any, reduce_mesh
from slackwater.tank.scan import Setting, read_scan

trimesh = pytest.importorskip("trimesh")

CM = Setting(unit="cm")
Made = Callable[[Any, str], Path]


@pytest.fixture
def made(tmp_path: Path) -> Made:
    def write(mesh: Any, name: str) -> Path:  # noqa: ANN401 - trimesh ships no annotations
        path = tmp_path / name
        mesh.export(path)
        return path

    return write


def lump(subdivisions: int = 4) -> Any:  # noqa: ANN401 - trimesh ships no annotations
    """Return an uneven lump about 30 cm large."""
    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=15.0)
    x, y, z = ball.vertices.T
    uneven = 1.0 + 0.2 * np.sin(x / 4.0) * np.cos(y / 5.0) + 0.1 * np.sin(z)
    return trimesh.Trimesh(ball.vertices * uneven[:, None], ball.faces)


# what is read


def test_a_ball_becomes_one_ellipsoid(made: Made) -> None:
    ball = trimesh.creation.icosphere(subdivisions=4, radius=10.0)
    ball.apply_scale([1.5, 1.0, 0.8])
    found = read_scan(made(ball, "ball.stl"), CM)
    (piece,) = found.pieces
    assert sorted(piece.half_cm) == pytest.approx([8.0, 10.0, 15.0], rel=0.02)
    assert found.size_cm == pytest.approx((30.0, 20.0, 16.0), rel=1e-3)
    assert found.volume_l == pytest.approx(ball.volume / 1000.0, rel=0.01)
    assert max(abs(found.volume_error), found.mismatch, found.sight_error) < 0.02


def test_a_turned_box_becomes_one_slab(made: Made) -> None:
    box = trimesh.creation.box((30.0, 12.0, 6.0))
    box.apply_transform(trimesh.transformations.euler_matrix(0.0, -0.4, 0.6, "sxyz"))
    found = read_scan(made(box, "box.ply"), CM)
    (piece,) = found.pieces
    assert piece.kind == "slab"
    assert sorted(piece.half_cm) == pytest.approx([3.0, 6.0, 15.0], rel=0.04)
    assert abs(piece.yaw_rad) == pytest.approx(0.6, abs=0.03)
    assert piece.tilt_rad == pytest.approx(0.4, abs=0.03)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "glb"])
def test_each_kind_of_file_says_the_same(made: Made, ending: str) -> None:
    whole = lump()
    found = read_scan(made(whole, f"lump.{ending}"), Setting(length_cm=40.0, up="z"))
    scale = 40.0 / float(np.ptp(whole.vertices[:, 0]))
    assert found.size_cm[0] == pytest.approx(40.0)
    assert found.volume_l == pytest.approx(whole.volume * scale**3 / 1000.0, rel=0.02)
    assert found.faces == len(whole.faces)


def test_errors_are_those_of_thrown_points(made: Made) -> None:
    whole = lump()
    found = read_scan(made(whole, "lump.stl"), CM)
    low, high = whole.bounds
    points = np.random.default_rng(3).uniform(low, high, (4000, 3))
    volume = np.prod(high - low) / 1000.0
    foot = np.array([*(0.5 * (low + high))[:2], low[2]])
    assert inside_any(found.pieces, points - foot).mean() * volume == pytest.approx(found.volume_l, rel=0.05)
    assert 0.0 < found.mismatch < 0.3
    assert found.sight_error < 0.08


def test_units_and_upright_axes(made: Made) -> None:
    box = trimesh.creation.box((30.0, 12.0, 6.0))
    path = made(box, "box.stl")
    assert read_scan(path, Setting(unit="ft")).size_cm == pytest.approx((914.4, 365.76, 182.88))
    assert read_scan(path, Setting(unit="in")).size_cm == pytest.approx((76.2, 30.48, 15.24))
    assert read_scan(path, Setting(unit="cm", up="y")).size_cm == pytest.approx((30.0, 6.0, 12.0))


def test_an_open_underside_is_closed(made: Made) -> None:
    whole = lump()
    cut = trimesh.Trimesh(whole.vertices, whole.faces[whole.triangles_center[:, 2] > -8.0])
    found = read_scan(made(cut, "open.stl"), CM)
    assert found.gaps == 1
    assert 0.7 * whole.volume < 1000.0 * found.volume_l < whole.volume


def test_the_same_scan_is_reduced_alike(made: Made) -> None:
    path = made(lump(), "lump.stl")
    first = read_scan(path, CM)
    door._read.cache_clear()
    assert read_scan(path, CM) == first


def test_a_mesh_alone_can_be_reduced() -> None:
    box = trimesh.creation.box((10.0, 10.0, 10.0))
    mesh, gaps = cleaned(Mesh(np.array(box.vertices), np.array(box.faces, np.int64)))
    found: Reduced = reduce_mesh(mesh)
    assert gaps == 0
    assert found.volume_l == pytest.approx(1.0, rel=0.02)


# what is refused


def refusal(path: Path, setting: Setting = CM) -> str:
    with pytest.raises(InputError) as caught:
        read_scan(path, setting)
    assert path.name in str(caught.value)
    return str(caught.value)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    assert "it cannot be opened" in refusal(tmp_path / "nowhere.stl")


def test_another_kind_of_file(tmp_path: Path) -> None:
    path = tmp_path / "reef.3mf"
    path.write_bytes(b"PK\x03\x04")
    assert "none of STL, OBJ, PLY and GLB" in refusal(path)


def test_a_file_that_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "large.stl"
    path.write_bytes(b"solid" + b" " * 2000)
    monkeypatch.setattr(door, "MOST_BYTES", 1000)
    assert "larger than" in refusal(path)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "glb"])
def test_too_many_faces_are_refused_before_they_are_read(
    made: Made, ending: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = made(lump(), f"lump.{ending}")
    monkeypatch.setattr(door, "MOST_FACES", 1000)

    def never(*_: object) -> Mesh:
        raise AssertionError("the file was read")

    monkeypatch.setattr(door, "_parsed", never)
    assert "1000 are read at most" in refusal(path)


def test_a_header_that_promises_more_than_the_file_holds(tmp_path: Path) -> None:
    stl, ply = tmp_path / "bomb.stl", tmp_path / "bomb.ply"
    stl.write_bytes(b"\0" * 80 + struct.pack("<I", 2**32 - 1) + b"\0" * 50)
    assert "its length does not match" in refusal(stl)
    head = b"ply\nformat binary_little_endian 1.0\nelement vertex 4000000000\nelement face 9\nend_header\n"
    ply.write_bytes(head)
    assert "4000000000 faces" in refusal(ply)


def glb(told: object) -> bytes:
    text = json.dumps(told).encode()
    text += b" " * (-len(text) % 4)
    return struct.pack("<5I", 0x46546C67, 2, 20 + len(text), len(text), 0x4E4F534A) + text


GLB = {
    "asset": {"version": "2.0"},
    "accessors": [{"count": 300_000}],
    "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
    "nodes": [{"mesh": 0}],
}


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (GLB | {"nodes": [{"mesh": 0}] * 9}, "900009 faces"),
        (GLB | {"nodes": [{"mesh": 0}] * 10_001}, "more than 10000 parts"),
        (GLB | {"buffers": [{"uri": "../../secret.bin"}]}, "it points to other files"),
        (GLB | {"extensionsRequired": ["KHR_draco_mesh_compression"]}, "it needs KHR_draco_mesh_compression"),
        (GLB | {"nodes": [{"mesh": 7}]}, "it is broken"),
        ([], "broken or no GLB file"),
    ],
)
def test_a_glb_that_is_a_trap(tmp_path: Path, told: object, said: str) -> None:
    path = tmp_path / "trap.glb"
    path.write_bytes(glb(told))
    assert said in refusal(path)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "glb"])
@pytest.mark.parametrize(
    "raw", [b"", b"solid nothing", b"\x89PNG\r\n" * 40, b"f 1 2 3\n" * 5, b"ply\nend_header\n"]
)
def test_rubbish_is_refused(tmp_path: Path, ending: str, raw: bytes) -> None:
    path = tmp_path / f"rubbish.{ending}"
    path.write_bytes(raw)
    assert refusal(path)


def test_points_that_are_no_numbers(tmp_path: Path) -> None:
    path = tmp_path / "nan.obj"
    path.write_text(
        "v nan 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 2 3\nf 1 4 2\nf 2 4 3\nf 1 3 4\n", encoding="utf-8"
    )
    assert refusal(path)


def test_a_sheet_is_no_solid(made: Made) -> None:
    sheet = trimesh.Trimesh([[0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0]], [[0, 1, 2], [0, 2, 3]])
    assert "it is flat" in refusal(made(sheet, "sheet.stl"))


def test_a_heap_of_loose_faces_is_no_surface() -> None:
    corners = np.array([[0.0, 0.0, 0.0], [3.0, 0.0, 0.0], [0.0, 3.0, 1.0]])
    places = np.random.default_rng(1).uniform(0.0, 90.0, (60, 1, 3))
    loose = Mesh((corners + places).reshape(-1, 3), np.arange(180).reshape(-1, 3))
    with pytest.raises(InputError, match="not closed"):
        cleaned(loose)


def test_a_scan_of_the_wrong_size(made: Made) -> None:
    path = made(lump(3), "lump.stl")
    assert "at this scale" in refusal(path, Setting(unit="m"))
    assert "Check the unit" in refusal(path, Setting(length_cm=0.1))


def test_without_the_extra_the_error_names_it(made: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    path = made(lump(3), "lump.stl")
    monkeypatch.setitem(sys.modules, "trimesh", None)
    door._read.cache_clear()
    assert "slackwater[scan]" in refusal(path)


def test_the_body_of_one_cell_is_that_cell() -> None:
    """A cube of edge a has the variance a^2/12 along each axis, and so has no other box."""
    body = _body(np.array([[3.0, 4.0, 5.0]]), 8.0)
    assert body.kind is PieceKind.SLAB
    assert body.centre_cm == pytest.approx((3.0, 4.0, 5.0))
    assert body.half_cm == pytest.approx((1.0, 1.0, 1.0))
