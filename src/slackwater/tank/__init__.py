"""The tank as a place: its glass, its rock, its free water and who can see what from where.

`shapes` holds the glass and `outline` what it looks like from above, `stone` the things that can be
put into it, `rock` the rockwork and its words, `cells` the water cut into cells, `sight` the lines
of sight.
"""

from slackwater.tank.cells import Cells, cut
from slackwater.tank.rock import Hole, Piece, PieceKind, RockWord, Rockwork, arranged, custom, preset
from slackwater.tank.shapes import Corner, Glass, OverflowBox, Shape
from slackwater.tank.sight import clear_between, clear_from, clear_pairs
from slackwater.tank.stone import Form, Opening, Stone

__all__ = [
    "Cells",
    "Corner",
    "Form",
    "Glass",
    "Hole",
    "Opening",
    "OverflowBox",
    "Piece",
    "PieceKind",
    "RockWord",
    "Rockwork",
    "Shape",
    "Stone",
    "arranged",
    "clear_between",
    "clear_from",
    "clear_pairs",
    "custom",
    "cut",
    "preset",
]
