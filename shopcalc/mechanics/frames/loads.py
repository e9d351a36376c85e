"""From the loads of a frame to terms along its bars and forces at its nodes. SI arrays, first axis =
design.
"""

from __future__ import annotations

import numpy as np

from shopcalc.mechanics.frames.bar import Terms
from shopcalc.mechanics.frames.model import WAYS, Frame, LineLoad, NodeLoad, Sizes


def node_loads(frame: Frame, sizes: Sizes) -> np.ndarray:
    """Forces and moments put straight on the nodes, (n, nodes*6): node loads and the weight of lumped
    masses.
    """
    total = np.zeros((len(sizes), 6 * len(frame.nodes)))
    for i, load in enumerate(frame.loads):
        if isinstance(load, NodeLoad):
            total[:, 6 * frame.node_number[load.node] + WAYS.index(load.way)] += sizes.load[:, i]
    for i, name in enumerate(frame.masses):
        at = 6 * frame.node_number[name]
        total[:, at : at + 3] += sizes.node_mass[:, i, None] * sizes.gravity
    return total


def member_terms(frame: Frame, sizes: Sizes, R: np.ndarray, L: np.ndarray) -> Terms:
    """Terms of all loads on bars, the weight of the bars among them. R (n, members, 3, 3): rows are the local
    axes.
    """
    n = len(sizes)
    member, order, start, size = [], [], [], []

    def add(m: int, o: int, a: np.ndarray, vector: np.ndarray) -> None:
        member.append(m), order.append(o), start.append(a), size.append(vector)

    for i, load in enumerate(frame.loads):
        if isinstance(load, NodeLoad):
            continue
        m, way = frame.member_number[load.member], WAYS.index(load.way)
        unit = R[:, m, :, way % 3] if load.axes == "global" else np.broadcast_to(np.eye(3)[way % 3], (n, 3))
        q, a, e = sizes.load[:, i, None], sizes.at[:, i], sizes.to[:, i]
        if not isinstance(load, LineLoad):
            add(m, -1 if way >= 3 else 0, a, q * unit)
            continue
        last = sizes.load_to[:, i, None]
        add(m, 1, a, q * unit)
        # What begins at the very end of the bar does nothing to it.
        if (e < L[:, m]).any():
            add(m, 1, e, -last * unit)
        rate = np.where(last == q, 0.0, (last - q) / np.where(e > a, e - a, 1.0)[:, None])
        if rate.any():
            add(m, 2, a, rate * unit)
            if (e < L[:, m]).any():
                add(m, 2, e, -rate * unit)
    if sizes.gravity.any():
        weight = np.einsum("nmij,nj->nmi", R, sizes.gravity) * sizes.mass_per_length[..., None]
        for m in range(len(frame.members)):
            if weight[:, m].any():
                add(m, 1, np.zeros(n), weight[:, m])
    if not member:
        return Terms(np.zeros(0, int), np.zeros(0, int), np.zeros((n, 0)), np.zeros((n, 0, 3)))
    return Terms(np.array(member), np.array(order), np.stack(start, 1), np.stack(size, 1))
