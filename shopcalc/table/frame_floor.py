"""A table on an uneven floor, by its real frame: how deep a hollow under one foot it follows under its own weight, how
far a foot hangs over the hollow of the load table, and what the other feet then carry.

Base and top give as they are built, so the answer is a range: "stiff" is rigid joints and a clamped top, "soft" is
springy tube faces and a top that only lies there. Linear, feet one-sided.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.mechanics.frames.feet import stand_on_floor
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import table_frame, with_cases
from shopcalc.table.frame_cases import DOWN, FrameCase, Loader, stretchers
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.units import magnitude

STATES = {"soft": ("dead weight", "soft", "gripping"), "stiff": ("clamped", "rigid", "gripping")}
# A hollow so shallow (m) that every foot stays down: from it the deepest hollow that is followed is scaled.
SHALLOW = 1e-6


@dataclass(frozen=True)
class OnHollow:
    """One state of the table with a hollow under each foot in turn (rows), SI; nan where the table does not stand.

    follows (f,)  deepest hollow under that foot at which every foot still touches, under the table's own weight
    hangs (f, f)  what is left open under every foot (columns) over the hollow asked: that foot's, or the one across's
    forces (f, f) on every foot (columns) over the hollow asked
    """

    follows: np.ndarray
    hangs: np.ndarray
    forces: np.ndarray


def on_hollows(job: Job, g: Geometry, case: LoadCase, state: str) -> OnHollow:
    """state: "soft" or "stiff"; case: the hollow (its size is a length)."""
    top, joints, feet = STATES[state]
    t = table_frame(job, g, state=top, joints=joints, feet=feet_of(job, feet))
    load = Loader.of(g)
    own = FrameCase(case, "its own weight", load.own(), np.zeros((len(g.feet), 3)), {n: 0.0 for n in stretchers(g)}, DOWN * GRAVITY)
    count = len(g.feet)
    frame, sizes = with_cases(t, [own] * (2 * count + 1), g)
    depth = float(magnitude(case.value, "m"))
    floor = np.concatenate([np.zeros((1, count)), -SHALLOW * np.eye(count), -depth * np.eye(count)])
    found = stand_on_floor(frame, sizes, t.foot_nodes, floor, grip=False)
    level, less = found.force[0], found.force[0] - found.force[1:count + 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        deep = np.where(less > 1e-9 * level.max(), SHALLOW * level / less, np.inf)
    real = slice(count + 1, None)
    return OnHollow(deep.min(axis=1), found.gap[real], found.force[real])
