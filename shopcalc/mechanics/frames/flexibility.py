"""How far a frame gives at some of its nodes: movements there by unit forces there, from one factor of its stiffness."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shopcalc.mechanics.frames.dense import back_solve, factor, one_thread
from shopcalc.mechanics.frames.model import WAYS, Frame, Sizes
from shopcalc.mechanics.frames.stiffness import system_of


def flexibility(frame: Frame, sizes: Sizes, places: Sequence[tuple[str, str]]) -> tuple[np.ndarray, np.ndarray]:
    """(n, p, p) movement at each place by a force or moment of one at each, linear; and which designs stand, (n,).

    places  (node, way) in global axes; a place that a support holds does not move
    """
    with one_thread():
        s = system_of(frame, sizes)
        t = s.tangent(None)
        factors = s.assemble(t, lower=True)
        stands = factor(factors) & ~s.no_length.any(axis=1)
        if t.jointed is not None:
            stands &= t.jointed.ok.all(axis=1)
        number = np.array([6 * frame.node_number[n] + WAYS.index(way) for n, way in places])
        unit = (number[:, None] == s.plan.free).astype(float)  # (p, F)
        moves = back_solve(factors, np.broadcast_to(unit, (len(s), *unit.shape)))
    found = moves @ unit.T
    found[~stands] = np.nan
    return (found + found.swapaxes(1, 2)) / 2, stands
