"""A frame with its joints left open: every released or springy way of a bar's end is an unknown of its own.

Slower than condensing the joints into the bar, but smooth: a condensed bar has a pole where it buckles
between its own hinges, an opened one only where it would buckle between held ends. Used where that matters
(buckling of hinged bars) and where the joints' own motions carry mass (frequencies). SI arrays, first axis =
design.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shopcalc.mechanics.frames.model import Frame
from shopcalc.mechanics.frames.stiffness import Sums, System, cross_matrix, hold, spring_place

# A joint stiffer than this many times its bar behaves as rigid.
_RIGID = 1e8


@dataclass(frozen=True)
class Open:
    """Where the unknowns stand: the free ways of the nodes first, then one for each joint way.

    joints  (member, way 0..11, which row of Sizes.joint_stiffness or -1 for a release, place among the bar's
            own)
    index   (members, 12 + most joints of a bar): unknown of each motion of a bar, -1 held or not there
    """

    free: np.ndarray
    size: int
    joints: tuple[tuple[int, int, int, int], ...]
    index: np.ndarray
    whole: Sums
    spread: np.ndarray


@lru_cache(maxsize=32)
def open_of(frame: Frame, free: bytes) -> Open:
    """free: the free ways of the nodes, as the bytes of an integer array."""
    ways = np.frombuffer(free, int)
    number = np.full(6 * len(frame.nodes), -1)
    number[ways] = np.arange(len(ways))
    m = len(frame.members)
    # A bar let go about its own axis at both ends may spin: one of the two is enough.
    found = [(i, way, -1) for i, way in frame.released if way != 9 or i not in frame.spinning]
    found += [(i, way, j) for j, (i, way) in enumerate(frame.joint_places)]
    own = [0] * m
    joints = []
    for i, way, row in found:
        joints.append((i, way, row, own[i]))
        own[i] += 1
    index = np.full((m, 12 + max(own, default=0)), -1)
    index[:, :12] = number[(6 * frame.ends[:, :, None] + np.arange(6)).reshape(m, 12)]
    for k, (i, _, _, place) in enumerate(joints):
        index[i, 12 + place] = len(ways) + k
    size = len(ways) + len(joints)
    row, column = np.broadcast_arrays(index[:, :, None], index[:, None, :])
    sprung = np.array([number[spring_place(frame, s)] for s in frame.springs], int)
    row, column = np.concatenate([row.ravel(), sprung]), np.concatenate([column.ravel(), sprung])
    kept = (row >= 0) & (column >= 0)
    spread = np.zeros((index.size, size))
    there = np.nonzero(index.ravel() >= 0)[0]
    spread[there, index.ravel()[there]] = 1.0
    whole = Sums.of(np.nonzero(kept)[0], row[kept] * size + column[kept])
    return Open(ways, size, tuple(joints), index, whole, spread)


class Opened:
    """One batch with its joints open: bars' matrices (n, members, 12, 12) into the frame's."""

    def __init__(self, s: System):
        self.system = s
        self.plan = open_of(s.frame, np.ascontiguousarray(s.plan.free, int).tobytes())
        n, m = s.L.shape
        carry = np.zeros((n, m, 12, 12))
        for b in range(4):
            carry[:, :, 3 * b : 3 * b + 3, 3 * b : 3 * b + 3] = s.R
        for e in range(2):
            ways = slice(6 * e, 6 * e + 3), slice(6 * e + 3, 6 * e + 6)
            carry[:, :, ways[0], ways[1]] = -cross_matrix(s.arms[:, :, e]) @ s.R
        self.maps = np.zeros((n, m, 12, self.plan.index.shape[1]))
        self.maps[..., :12] = carry
        stiff = s.bar_matrices(s.tangent(None, loads=False).bend) if self.plan.joints else None
        self.ties = np.zeros((n, m, self.plan.index.shape[1], self.plan.index.shape[1]))
        for i, way, row, place in self.plan.joints:
            self.maps[:, i, way] = 0.0
            self.maps[:, i, way, 12 + place] = 1.0
            if row >= 0:
                tie = np.zeros((n, self.plan.index.shape[1]))
                tie[:, :12], tie[:, 12 + place] = carry[:, i, way], -1.0
                held = np.minimum(s.joint_stiffness[:, row], _RIGID * stiff[:, i, way, way])
                self.ties[:, i] += held[:, None, None] * tie[:, :, None] * tie[:, None, :]

    def take(self, which) -> Opened:
        new = object.__new__(Opened)
        new.system, new.plan = self.system.take(which), self.plan
        new.maps, new.ties = self.maps[which], self.ties[which]
        return new

    def bars(self, k: np.ndarray, pull: np.ndarray | None = None, ties: bool = True) -> np.ndarray:
        """Bars' matrices (n, members, 12, 12) over the open unknowns, with joint springs and, under axial
        forces, the turning of the arms.
        """
        total = self.maps.swapaxes(2, 3) @ k @ self.maps
        if ties:
            total += self.ties
        if pull is not None and self.system.arms.any():
            turn, across = self.system.arm_turn(pull)
            for e in range(2):
                ways = slice(6 * e + 3, 6 * e + 6)
                total[:, :, ways, ways] += turn[..., e, None, None] * across
        return total

    def assemble(self, bars: np.ndarray, springs: bool = True) -> np.ndarray:
        n = len(bars)
        ground = self.system.spring if springs else np.zeros_like(self.system.spring)
        flat = np.concatenate([bars.reshape(n, -1), ground], axis=1)
        K = np.zeros((n, self.plan.size**2))
        self.plan.whole.put(flat, K)
        K = K.reshape(n, self.plan.size, self.plan.size)
        if self.system.shut is not None:
            hold(K, self.system.shut)
        return K

    def stiffness(self, pull: np.ndarray | None) -> np.ndarray:
        """Stiffness under axial forces (n, members), or without them (None)."""
        bend = self.system.tangent(pull, loads=False).bend
        return self.assemble(self.bars(self.system.bar_matrices(bend), pull))
