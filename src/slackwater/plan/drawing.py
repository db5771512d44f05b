"""What is drawn: the tank as judged, and the pressure on one animal or on the company."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.question import Question
from slackwater.plan.records import BodyDrawing, HoleDrawing, PieceDrawing, PressureMap, TankDrawing
from slackwater.society.field import Field
from slackwater.society.judge import Judgement
from slackwater.tank.pieces import Piece
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.weights import sand_l

Array = NDArray[np.float64]


FAINT_PER_H = 0.01


def tank_drawing(question: Question) -> TankDrawing:
    """Return the tank to be drawn: the first of the possible layouts."""
    return drawing_of(question, question.rockworks[0])


def drawing_of(question: Question, rock: Rockwork) -> TankDrawing:
    """Return the tank to be drawn with some rock in it."""
    glass = question.glass
    net = glass.volume_l - rock.displaced_l(glass) - sand_l(glass, rock)
    box = glass.overflow
    return TankDrawing(
        shape=str(glass.shape),
        length_cm=glass.length_cm,
        width_cm=glass.width_cm,
        height_cm=glass.height_cm,
        net_l=max(net, 0.0),
        rock_word=question.rock_word,
        rock_kg=rock.mass_kg,
        sand_cm=rock.sand_cm,
        lid=question.keeping.lid,
        pieces=tuple(_pieces(rock)),
        holes=tuple(HoleDrawing(_three(h.centre_cm), float(h.width_cm), int(h.exits)) for h in rock.holes),
        outline_cm=_outline(glass),
        edges_cm=_edges(glass),
        overflow_cm=(box.x_cm, box.y_cm, box.length_cm, box.width_cm) if box else None,
        sheet_cm=question.divider_cm,
    )


def _pieces(rock: Rockwork) -> Iterator[PieceDrawing]:
    for number, piece in enumerate(rock.pieces):
        stone = rock.owners[number] if rock.owners else None
        form = str(rock.stones[stone].form) if stone is not None else "rock"
        yield _piece(piece, form, stone)
    for bed in rock.beds:
        yield _piece(bed, "sand bed", None)


def _piece(piece: Piece, form: str, stone: int | None) -> PieceDrawing:
    centre, half = _three(piece.centre_cm), _three(piece.half_cm)
    return PieceDrawing(
        str(piece.kind), centre, half, float(piece.yaw_rad), float(piece.tilt_rad), form, stone
    )


def _outline(glass: Glass) -> tuple[tuple[float, float], ...]:
    """Return the inner edge from above, empty for a rectangle. [cm]"""
    if glass.shape in {Shape.RECTANGULAR, Shape.CUBE}:
        return ()
    return tuple((float(x), float(y)) for x, y in glass.outline.ring_of(math.radians(1.5)))


def _edges(glass: Glass) -> tuple[float, ...]:
    """Return where upright edges between panes show from the front, those at the ends left out. [cm]"""
    if not any(glass.outline.bows_cm) or glass.shape is Shape.BOW_FRONT:
        xs = {round(x, 6) for x, y in glass.outline.corners_cm if 2.0 * y <= glass.width_cm}
        return tuple(sorted(x for x in xs if 0.0 < x < glass.length_cm))
    return ()


def _three(values: object) -> tuple[float, float, float]:
    x, y, z = (float(v) for v in np.asarray(values, dtype=float))
    return x, y, z


def homes(verdict: Judgement) -> dict[str, tuple[tuple[float, float, float], ...]]:
    """Return a likely home of every animal in the first layout, by key, for drawing only."""
    return homes_in(verdict.fields[0])


def homes_in(field: Field) -> dict[str, tuple[tuple[float, float, float], ...]]:
    """Return a likely home of every animal in one layout, by key, for drawing only.

    In order of arrival each takes its likeliest candidate home that is not close to one already
    drawn; the members of a party keep together.
    """
    sites = field.ground.sites.points_cm
    drawn: list[Array] = []
    out: dict[str, tuple[tuple[float, float, float], ...]] = {}
    order = sorted(range(len(field.leaders)), key=lambda j: (field.leaders[j].party.day, j))
    for j in order:
        party = field.leaders[j].party
        free = np.ones(len(sites))
        for other in drawn:
            free *= 1.0 - np.exp(-((sites - other) ** 2).sum(axis=1) / _APART_CM**2)
        home = sites[int(np.argmax(field.shares[:, j] * free))]
        drawn.append(home)
        out[party.key] = _side_by_side(home, min(party.count, 8), 0.7 * party.length_cm)
    return out


def bodies_at_home(verdict: Judgement, key: str = "") -> tuple[BodyDrawing, ...]:
    """Return the animals of one line, or of the whole company, to be drawn at their likely homes."""
    found = homes(verdict)
    parties = {p.key: p for p in verdict.situation.parties if key in {"", p.key}}
    return tuple(
        BodyDrawing(
            common_name=party.species.common_name,
            form=party.species.word("form"),
            length_cm=party.length_cm,
            body_depth_ratio=party.species.number("body_depth_ratio"),
            home_cm=home,
        )
        for name, party in parties.items()
        for home in found.get(name, ())
    )


_APART_CM = 18.0


def _side_by_side(home: Array, count: int, step_cm: float) -> tuple[tuple[float, float, float], ...]:
    x, y, z = (float(v) for v in home)
    return tuple(
        (x + step_cm * (n - (count - 1) / 2.0), y, z + 0.4 * step_cm * (n % 2)) for n in range(count)
    )


def pressure_map(verdict: Judgement, key: str) -> PressureMap | None:
    """Return the pressure on one animal from above and from the front, in the first layout.

    Returns
    -------
    PressureMap or None
        None where nobody presses it.
    """
    parties = [n for n, p in enumerate(verdict.situation.parties) if p.key == key]
    if not parties or not verdict.spans:
        return None
    j = parties[0]
    stage = verdict.spans[-1].stages[0]
    quiet = float(verdict.fields[0].usable[:, j] @ (stage.pressure[:, j] < verdict.rules["quiet_per_h"]))
    name = verdict.situation.parties[j].species.common_name
    return _map(verdict, stage.pressure[:, j], name, quiet)


def company_map(verdict: Judgement) -> PressureMap | None:
    """Return the most that anyone of the company would draw by place, in the first layout.

    Its quiet water is that of whoever has least.

    Returns
    -------
    PressureMap or None
        None where nobody presses anybody.
    """
    if not verdict.spans:
        return None
    pressure = verdict.spans[-1].stages[0].pressure
    calm = (verdict.fields[0].usable * (pressure < verdict.rules["quiet_per_h"])).sum(axis=0)
    return _map(verdict, pressure.max(axis=1), "any of the company", float(calm.min()))


def _map(verdict: Judgement, pressure: Array, whose: str, quiet: float) -> PressureMap | None:
    if float(pressure.max()) < FAINT_PER_H:
        return None
    cells = verdict.fields[0].ground.cells
    volume = np.full(tuple(int(v) for v in cells.shape), np.nan)
    ix, iy, iz = cells.index.T
    volume[ix, iy, iz] = pressure
    return PressureMap(
        cell_cm=float(cells.edge_cm),
        top=_rows(mean_of_water(volume, 2).T),
        front=_rows(mean_of_water(volume, 1).T),
        whose=whose,
        quiet_share=quiet,
    )


def mean_of_water(volume: Array, axis: int) -> Array:
    """Return the mean over an axis of what is water, nan where nothing is."""
    count = np.isfinite(volume).sum(axis=axis)
    total = np.nansum(volume, axis=axis)
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _rows(matrix: Array) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(float(v) for v in row) for row in matrix)
