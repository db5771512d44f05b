"""What is drawn of a tank: the edges between panes as they show from the front."""

from __future__ import annotations

import dataclasses

import pytest
from tests.plan.tanks import Asker

from slackwater.plan.drawing import tank_drawing
from slackwater.tank.shapes import Glass, Shape


@pytest.mark.parametrize(
    ("glass", "edges_cm"),
    [
        (Glass(Shape.RECTANGULAR, 100.0, 50.0, 50.0), ()),
        (Glass(Shape.CYLINDER, 60.0, 60.0, 50.0), ()),
        # A regular hexagon that lies corner to corner: its front pane is half as wide as the tank.
        (Glass(Shape.HEXAGON, 80.0, 80.0 * 0.75**0.5, 50.0), (20.0, 60.0)),
    ],
)
def test_edges_between_panes_show_where_the_panes_meet(
    ask: Asker, glass: Glass, edges_cm: tuple[float, ...]
) -> None:
    drawn = tank_drawing(dataclasses.replace(ask(), glass=glass))
    assert drawn.edges_cm == pytest.approx(edges_cm)
    assert bool(drawn.outline_cm) is (glass.shape is not Shape.RECTANGULAR)
