"""The tank as a place: its glass, its rock, its free water and who can see what from where.

`shapes` holds the glass, `rock` the rockwork and its words, `cells` the water cut into cells,
`sight` the lines of sight.
"""

from slackwater.tank.cells import Cells, cut
from slackwater.tank.rock import Hole, Piece, PieceKind, RockWord, Rockwork, custom, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_from, clear_pairs

__all__ = [
    "Cells",
    "Glass",
    "Hole",
    "Piece",
    "PieceKind",
    "RockWord",
    "Rockwork",
    "Shape",
    "clear_from",
    "clear_pairs",
    "custom",
    "cut",
    "preset",
]
