"""Three-dimensional frames of straight bars, many designs at once. Numbers in, numbers out: SI arrays, first
axis = design.

    frame = Frame(nodes, members, supports, loads=...)          names: who meets whom, what holds, where loads
                                                                act
    sizes = frame.sizes(points=..., A=..., ...)                 numbers, one row for each design
    answer = solve(frame, sizes)                                critical factor first, then second order
    answer.member("rail.front").largest("My")

Axes of a bar and ways to move: model.py. Signs: forces and movements positive along the global axes (z up),
reactions are what the supports do to the frame; along a bar tension, sagging moment (tension on the side away
from +y or +z) positive.
"""

from shopcalc.mechanics.frames.model import (
    FIXED,
    PINNED,
    Frame,
    Joint,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    Sizes,
    Spring,
    Support,
)
from shopcalc.mechanics.frames.solver import STRENGTH_FACTOR, Answer, FrameRefused, solve

__all__ = [
    "FIXED",
    "PINNED",
    "STRENGTH_FACTOR",
    "Answer",
    "Frame",
    "FrameRefused",
    "Joint",
    "LineLoad",
    "Member",
    "NodeLoad",
    "PointLoad",
    "Settlement",
    "Sizes",
    "Spring",
    "Support",
    "solve",
]
