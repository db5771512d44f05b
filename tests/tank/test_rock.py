import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.tank.layouts import FRONT_CM, SURFACE_CM
from slackwater.tank.pieces import Hole, Piece, PieceKind
from slackwater.tank.rock import ROCK_KG_PER_L, SHARES, RockWord, Rockwork, custom, preset
from slackwater.tank.shapes import Glass, Shape

TANKS = [
    Glass(Shape.RECTANGULAR, 45.0, 27.0, 30.0),
    Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0),
    Glass(Shape.RECTANGULAR, 120.0, 30.0, 45.0),
    Glass(Shape.RECTANGULAR, 300.0, 100.0, 80.0),
    Glass(Shape.CUBE, 45.0, 45.0, 45.0),
    Glass(Shape.CYLINDER, 60.0, 60.0, 60.0),
    Glass(Shape.CYLINDER, 300.0, 300.0, 200.0),
]
ROCKY = [word for word in RockWord if word is not RockWord.NONE]
TANK = TANKS[1]

BALL = Piece(PieceKind.ELLIPSOID, (60.0, 30.0, 30.0), (10.0, 10.0, 10.0))
PLATE = Piece(PieceKind.SLAB, (60.0, 30.0, 30.0), (20.0, 10.0, 2.0), math.pi / 2.0)


def solid_holds(piece: Piece, points_cm: NDArray[np.float64]) -> NDArray[np.bool_]:
    cosine, sine = math.cos(piece.yaw_rad), math.sin(piece.yaw_rad)
    x, y, z = (points_cm - np.array(piece.centre_cm)).T
    u = np.abs(np.array([cosine * x + sine * y, cosine * y - sine * x, z])).T / piece.half_cm
    return np.asarray(u.max(axis=1) < 1.0 if piece.kind is PieceKind.SLAB else (u**2).sum(axis=1) < 1.0)


@pytest.mark.parametrize("word", ROCKY)
@pytest.mark.parametrize("variant", [0, 1, 2])
def test_a_word_displaces_its_share_in_every_tank(word: RockWord, variant: int) -> None:
    for glass, sand_cm in [*((glass, 5.0) for glass in TANKS), (TANKS[0], 0.0), (TANKS[3], 8.0)]:
        share = preset(word, glass, sand_cm, variant).displaced_l(glass) / glass.volume_l
        assert share == pytest.approx(SHARES[word], abs=0.001), (glass, sand_cm)


@pytest.mark.parametrize("word", ROCKY)
def test_rock_stands_inside_the_glass_and_off_the_front(word: RockWord) -> None:
    for glass in TANKS:
        for piece in preset(word, glass).pieces:
            (x, y, z), (across, deep, high) = piece.centre_cm, piece.spans_cm
            assert y - deep > FRONT_CM - 1e-6
            assert y + deep < glass.width_cm + 1e-6
            assert -1e-6 < x - across < x + across < glass.length_cm + 1e-6
            assert -1e-6 < z - high < z + high < glass.height_cm - SURFACE_CM + 1e-6


@pytest.mark.parametrize("word", ROCKY)
@pytest.mark.parametrize("variant", [0, 1, 2])
def test_every_piece_rests_on_the_floor_or_on_rock(word: RockWord, variant: int) -> None:
    pieces = preset(word, TANK, 5.0, variant).pieces
    ways = np.random.default_rng(5).normal(size=(4000, 3))
    ball = ways / np.linalg.norm(ways, axis=1, keepdims=True)
    cube = ways / np.abs(ways).max(axis=1, keepdims=True)
    for number, piece in enumerate(pieces):
        units = ball if piece.kind is PieceKind.ELLIPSOID else cube
        surface = np.array([piece.at((u, v, w)) for u, v, w in units.tolist()])
        on_floor = piece.centre_cm[2] - piece.half_cm[2] < 1e-6
        assert on_floor or any(solid_holds(below, surface).any() for below in pieces[:number])


@pytest.mark.parametrize("word", ROCKY)
@pytest.mark.parametrize("variant", [0, 1, 2])
def test_a_slightly_longer_tank_changes_the_layout_a_little(word: RockWord, variant: int) -> None:
    before = None
    for length_cm in np.arange(116.0, 126.0, 1.0):
        layout = preset(word, replace(TANK, length_cm=float(length_cm)), 5.0, variant)
        now = np.array([piece.centre_cm + piece.half_cm for piece in layout.pieces])
        if before is not None:
            assert np.abs(now - before).max() < 2.0
        before = now


def test_words_fix_the_number_of_pieces_and_variants_differ() -> None:
    for word, count in ((RockWord.SPARSE, 6), (RockWord.MODERATE, 12), (RockWord.DENSE, 18)):
        layouts = [preset(word, glass, 5.0, variant) for glass in TANKS for variant in range(3)]
        assert {len(layout.pieces) for layout in layouts} == {count}
    middles = [
        np.mean([piece.centre_cm[0] for piece in preset("moderate", TANK, 5.0, variant).pieces])
        for variant in (0, 1)
    ]
    assert middles[0] < 0.45 * TANK.length_cm < 0.55 * TANK.length_cm < middles[1]


def test_the_same_request_gives_the_same_rock() -> None:
    preset.cache_clear()
    first = preset("bommies", TANK, 5.0, 1)
    preset.cache_clear()
    assert preset("bommies", TANK, 5.0, 1) == first


def test_no_rock_is_no_rock() -> None:
    bare = preset("none", TANK)
    assert (bare.pieces, bare.holes, bare.mass_kg, bare.displaced_l(TANK)) == ((), (), 0.0, 0.0)


def test_rock_of_known_mass_weighs_that() -> None:
    assert preset("two islands", TANK, 5.0, 0, mass_kg=30.0).mass_kg == pytest.approx(30.0, rel=1e-3)


def test_more_rock_has_more_holes_of_many_widths() -> None:
    counts = [len(preset(word, TANK).holes) for word in ("none", "sparse", "moderate", "dense")]
    assert counts == sorted(set(counts))
    widths = [hole.width_cm for hole in preset("dense", TANK).holes]
    assert min(widths) < 2.1
    assert max(widths) > 6.0


@pytest.mark.parametrize("word", ROCKY)
def test_holes_open_into_free_water(word: RockWord) -> None:
    for glass in TANKS:
        rockwork = preset(word, glass)
        mouths = np.array([hole.centre_cm for hole in rockwork.holes]).reshape(-1, 3)
        assert glass.contains(mouths).all()
        assert (mouths[:, 2] > rockwork.sand_cm).all()
        for number, piece in enumerate(rockwork.pieces):
            others = [hole.piece != number for hole in rockwork.holes]
            assert not solid_holds(piece, mouths[others]).any()


def test_a_ball_displaces_and_weighs_its_volume() -> None:
    rock = custom([BALL], sand_cm=0.0)
    litres = 4.0 / 3.0 * math.pi * 10.0**3 / 1000.0
    assert rock.displaced_l(TANK) == pytest.approx(litres, rel=5e-3)
    assert rock.mass_kg == pytest.approx(litres * ROCK_KG_PER_L, rel=5e-3)


def test_overlaps_count_once_and_buried_rock_displaces_nothing() -> None:
    assert custom([BALL, BALL], sand_cm=0.0).mass_kg == pytest.approx(custom([BALL]).mass_kg)
    half = custom([BALL], sand_cm=30.0).displaced_l(TANK)
    assert half == pytest.approx(0.5 * custom([BALL], sand_cm=0.0).displaced_l(TANK), rel=5e-3)
    assert custom([BALL], sand_cm=45.0).displaced_l(TANK) == 0.0


def test_a_turned_slab_spans_its_own_length_across() -> None:
    assert PLATE.spans_cm == pytest.approx((10.0, 20.0, 2.0))
    assert PLATE.at((1.0, 0.0, 0.0)) == pytest.approx((60.0, 50.0, 30.0))
    assert custom([PLATE], sand_cm=0.0).displaced_l(TANK) == pytest.approx(3.2, rel=0.05)


def test_faults_in_rock_are_named() -> None:
    with pytest.raises(InputError, match="the words for rock are: none, sparse"):
        preset("plenty", TANK)
    with pytest.raises(InputError, match="layouts 0, 1 and 2"):
        preset("sparse", TANK, 5.0, 3)
    with pytest.raises(InputError, match="that much rock cannot stand"):
        preset("sparse", TANK, mass_kg=5000.0)
    with pytest.raises(InputError, match="counted from 0"):
        custom([BALL], [Hole((0.0, 0.0, 0.0), 3.0, 1, 1)])
    with pytest.raises(InputError, match="cannot be negative"):
        Rockwork("custom", (), (), -1.0)
    with pytest.raises(InputError, match="must be greater than 0"):
        Piece(PieceKind.SLAB, (0.0, 0.0, 0.0), (1.0, 1.0, 0.0))
