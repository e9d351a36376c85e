"""Lowest natural frequencies of a batch of frames: consistent mass of the bars, lumped masses at nodes.

Each bar moves in its static shapes and in three bending shapes more for each plane (held ends, curvature a
Legendre polynomial of degree 2, 3, 4, with the shear that goes with it), so a bar need not be subdivided: the
first frequency of a pinned, held or free-ended bar comes out within 0.01 %, the second within 2 %. Rotary
inertia is counted. Joints with springs and releases keep a motion of their own. Bars do not ring along their
length or in twist by themselves. Upper bounds (Rayleigh and Ritz). SI arrays, first axis = design.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.bar import bending
from shopcalc.mechanics.frames.dense import back_solve, factor, largest, negative, one_thread
from shopcalc.mechanics.frames.model import WAYS, Frame, Sizes
from shopcalc.mechanics.frames.opened import Opened
from shopcalc.mechanics.frames.stiffness import System, system_of

# Shapes of a bar between its ends in each plane, and points of the quadrature (exact for them).
_SHAPES, _POINTS = 3, 9
_OWN = 2 * _SHAPES
# Lanczos blocks of (count + _SPARE) vectors; turns until the frequencies stand.
_SPARE, _STEPS, _TURNS, _STAND = 3, 5, 8, 1e-9
_CHUNK = 100


@dataclass(frozen=True)
class Modes:
    """frequency (n, count) in Hz, inf where the frame has no further mode with mass; nan where refused
    shape (n, count, nodes, 6), the largest movement of a node 1 m (or 1 rad where no node moves)
    share (n, count, 3) part of the whole mass that moves along x, y, z in the mode (effective mass)
    refused (n,) mechanisms, and frames that buckle under the axial forces given
    """

    frequency: np.ndarray
    shape: np.ndarray
    share: np.ndarray
    refused: np.ndarray


def frequencies(frame: Frame, sizes: Sizes, *, count: int = 3, pull: np.ndarray | None = None) -> Modes:
    """The `count` lowest natural frequencies.

    pull  (n, members) axial forces, tension positive, that soften or stiffen the frame (Answer.axial); left
          out: none
    Raises InputError where nothing has mass.
    """
    if count < 1:
        raise InputError(field="frequencies: count", value=count, need="one mode or more")
    massive = sizes.mass_per_length.any(axis=1) | sizes.node_mass.any(axis=1)
    if not (massive | sizes.node_inertia.any(axis=(1, 2))).all():
        raise InputError(field="mass_per_length", value=0.0, need="a mass on the bars or at nodes")
    n = len(sizes)
    parts = []
    with one_thread():
        for first in range(0, n, _CHUNK):
            rows = slice(first, min(first + _CHUNK, n))
            part = sizes if n <= _CHUNK else sizes[rows]
            parts.append(_chunk(system_of(frame, part), part, count, None if pull is None else pull[rows]))
    return Modes(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def _chunk(s: System, sizes: Sizes, count: int, pull):
    frame, n = s.frame, len(s)
    p = _Pieces(s, sizes, pull)
    factors = p.K.copy()
    fine = factor(factors) & p.sound & ~s.no_length.any(axis=1)
    frequency, share = np.full((n, count), np.nan), np.full((n, count, 3), np.nan)
    motion = np.full((n, count, 6 * len(frame.nodes)), np.nan)
    good = np.nonzero(fine)[0]
    if len(good):
        q = p.take(good)
        mu, y = _lowest(q, factors[good], count)
        real = mu > 1e-12 * mu[:, :1]  # what has no mass in it comes out as rounding
        with np.errstate(divide="ignore", invalid="ignore"):
            frequency[good] = np.where(real, 1 / (2 * np.pi * np.sqrt(np.where(real, mu, 1.0))), np.inf)
            moved = y @ q.times(q.along).swapaxes(1, 2)
            total = (sizes.mass_per_length * s.L).sum(1) + sizes.node_mass.sum(1)
            share[good] = np.where(real[..., None], moved**2 / mu[..., None] / total[good, None, None], 0.0)
        motion[good] = 0.0
        place = np.ix_(good, np.arange(count), s.plan.free)
        motion[place] = y[:, :, : len(s.plan.free)]
    return frequency, _scaled(motion.reshape(n, count, -1, 6)), share, ~fine


def _scaled(shape: np.ndarray) -> np.ndarray:
    """Shapes with their largest movement 1, or largest turn where nothing moves."""
    n, count = shape.shape[:2]
    moves, turns = shape[..., :3].reshape(n, count, -1), shape[..., 3:].reshape(n, count, -1)
    still = np.abs(moves).max(axis=2) <= 1e-9 * np.abs(turns).max(axis=2)
    flat = np.where(still[..., None], turns, moves)
    lead = np.take_along_axis(flat, np.abs(flat).argmax(axis=2)[..., None], axis=2)[..., None]
    return np.divide(shape, lead, out=np.array(shape), where=lead != 0)


def _lowest(p: _Pieces, factors: np.ndarray, count: int):
    """Largest mu = 1/omega^2 of M y = mu K y, (n, count), and the y, scaled to y K y = 1."""
    n, size = len(factors), p.size
    width = min(count + _SPARE, size)
    steps = max(1, min(_STEPS, size // width))
    start = np.random.default_rng(1).standard_normal((n, width, size))
    start = p.times(p.back(factors, start))
    before = None
    for _ in range(_TURNS):
        mu, y, My = largest(p.times, lambda W: p.back(factors, W), start, steps)
        mu, y, My = mu[:, :width], y[:, :width], My[:, :width]
        top = mu[:, :count]
        if before is not None and (np.abs(top - before) <= _STAND * top[:, :1]).all():
            break
        before, start = top, My
    mu, y = _padded(mu[:, :count], count), _padded(y[:, :count], count)
    missed = np.nonzero(_missed(p, mu))[0]
    if len(missed):
        mu[missed], y[missed] = _dense_lowest(p.take(missed), count)
    return mu, y


def _padded(array: np.ndarray, count: int) -> np.ndarray:
    lacking = count - array.shape[1]
    return np.pad(array, [(0, 0), (0, lacking), *[(0, 0)] * (array.ndim - 2)]) if lacking else array


def _missed(p: _Pieces, mu: np.ndarray) -> np.ndarray:
    """Designs in which a mode lower than the last one found was passed over: more pivots of K - omega^2 M are
    negative than modes were found below (Sylvester; bars' own shapes eliminated).
    """
    real = mu > 1e-12 * mu[:, :1]
    last = np.where(real, mu, np.inf).min(axis=1)
    under = (1 - 1e-5) / last
    found = (real & (mu * under[:, None] > 1)).sum(axis=1)
    w = under[:, None, None, None]
    own = p.kbb - w * p.mbb
    inside = (np.linalg.eigvalsh(own) < 0).sum(axis=(1, 2))
    across = w * p.mab
    D = p.open.assemble(p.kaa - w * p.maa - across @ np.linalg.solve(own, across.swapaxes(2, 3)))
    i = np.arange(D.shape[1])
    D[:, i, i] -= under[:, None] * p.lumped
    return inside + negative(D) != found


def _dense_lowest(p: _Pieces, count: int):
    """The same by a full eigenvalue problem."""
    from scipy.linalg import eigh

    n, size = len(p.K), p.size
    unit = np.broadcast_to(np.eye(size), (n, size, size))
    M = p.times(unit)
    K = np.zeros((n, size, size))
    A = p.K.shape[1]
    K[:, :A, :A] = p.K
    for i in range(p.kbb.shape[1]):
        at = slice(A + _OWN * i, A + _OWN * (i + 1))
        K[:, at, at] = p.kbb[:, i]
    few = min(count, size)
    made = [eigh(m, k, subset_by_index=[size - few, size - 1]) for m, k in zip(M, K, strict=True)]
    mu = np.stack([values[::-1] for values, _ in made])
    y = np.stack([vectors[:, ::-1].T for _, vectors in made])
    return _padded(mu, count), _padded(y, count)


def _bar_shapes(s: System, x: np.ndarray, xi: np.ndarray):
    """Deflection, turn, slope of the shapes at stations x (n, m, q): (n, m, 2, q, 4 + shapes) each."""
    bend = bending(s.EI, s.GA, s.L, None)
    a, b, c, d = bend.a, bend.b, bend.c, bend.d
    T0 = np.stack([-a, -b, a, -b], axis=-1)[..., None, :]
    M0 = np.stack([-b, -c, b, -d], axis=-1)[..., None, :]
    EI, GA = s.EI[..., None, None], s.GA[..., None, None]
    X = x[:, :, None, :, None]
    unit = np.eye(4)
    v = unit[0] + X * unit[1] + M0 / EI * X**2 / 2 - T0 / EI * X**3 / 6 + T0 * X / GA
    theta = unit[1] + M0 / EI * X - T0 / EI * X**2 / 2
    slope = theta + T0 / GA
    L = s.L[:, :, None, None]
    more = []
    for k in range(2, 2 + _SHAPES):
        P = np.polynomial.Legendre.basis(k)
        once, twice = P.integ(1, lbnd=-1), P.integ(2, lbnd=-1)
        mean = (P(1.0) - P(-1.0)) / 2
        slide = -2 * s.EI[..., None] / s.GA[..., None] / L**2
        turn = once(xi) / 2 + 0 * slide
        give = slide * (P.deriv()(xi) - mean)
        fall = L / 2 * (twice(xi) / 2 + slide * (P(xi) - P(-1.0) - mean * (xi + 1)))
        more.append((fall, turn, turn + give, P(xi) / L + 0 * slide, give))
    extra = [np.stack([row[i] for row in more], axis=-1) for i in range(5)]

    def join(first, i):
        return np.concatenate([first, extra[i]], axis=-1)

    return join(v, 0), join(theta, 1), join(slope, 2), extra[3], extra[4], bend


class _Pieces:
    """Stiffness and mass in two sets of unknowns: a, the nodes' free ways and the joints' own; b, the bars'
    own shapes, counted from where axial forces bring them, so that no stiffness ties a and b.

    kaa, maa (n, members, w, w) of the bars, K, M of the frame; kbb, mbb (n, members, 6, 6); mab (n, members,
    w, 6) lumped (n, size of a); along (n, 3, size) everything moved 1 along x, y, z; sound (n,) bars short of
    buckling
    """

    def __init__(self, s: System, sizes: Sizes, pull):
        self.open = Opened(s)
        k, M = _bar_matrices(s, sizes, pull)
        Q = self.open.maps.swapaxes(2, 3)
        self.kaa, self.maa = (
            self.open.bars(k[..., :12, :12], pull),
            self.open.bars(M[..., :12, :12], ties=False),
        )
        self.mab, self.kbb, self.mbb = Q @ M[..., :12, 12:], k[..., 12:, 12:], M[..., 12:, 12:]
        self.sound = (np.linalg.eigvalsh(self.kbb)[..., 0] > 0).all(axis=1)
        self.kbb = np.where(self.sound[:, None, None, None], self.kbb, np.eye(_OWN))
        self.along = np.zeros((len(s), 3, self.open.plan.size + _OWN * s.L.shape[1]))
        self._move_along(s)
        if pull is not None:
            kab = Q @ k[..., :12, 12:]
            T = -np.linalg.solve(self.kbb, kab.swapaxes(2, 3))
            self.kaa = self.kaa + kab @ T
            turned = self.mab @ T
            self.maa = self.maa + turned + turned.swapaxes(2, 3) + T.swapaxes(2, 3) @ self.mbb @ T
            self.mab = self.mab + T.swapaxes(2, 3) @ self.mbb
            A = self.open.plan.size
            rest = self.gathered(self.along[:, :, :A]) @ T.swapaxes(2, 3)
            self.along[:, :, A:] = -rest.swapaxes(1, 2).reshape(len(s), 3, -1)
        self.lumped = _lumped(s, sizes, self.open.plan.size)
        self._assemble()

    def _assemble(self) -> None:
        self.K, self.M = self.open.assemble(self.kaa), self.open.assemble(self.maa, springs=False)
        i = np.arange(self.open.plan.size)
        self.M[:, i, i] += self.lumped
        self.kbb_inverse = np.linalg.inv(self.kbb)

    def _move_along(self, s: System) -> None:
        free = s.plan.free
        for b in range(3):
            self.along[:, b, np.nonzero(free % 6 == b)[0]] = 1.0
        for row, (member, way, _, _) in enumerate(self.open.plan.joints):
            if way % 6 < 3:
                self.along[:, :, len(free) + row] = s.R[:, member, way % 6]

    @property
    def size(self) -> int:
        return self.K.shape[1] + _OWN * self.kbb.shape[1]

    def take(self, which) -> _Pieces:
        new = object.__new__(_Pieces)
        new.open = self.open.take(which)
        for name in ("kaa", "maa", "mab", "kbb", "mbb", "sound", "along", "lumped", "K", "M", "kbb_inverse"):
            setattr(new, name, getattr(self, name)[which])
        return new

    def gathered(self, a: np.ndarray) -> np.ndarray:
        """a (n, p, size of a) at every bar, (n, members, p, w)."""
        n, p = a.shape[:2]
        index = self.open.plan.index
        padded = np.concatenate([a, np.zeros((n, p, 1))], axis=2)
        return padded[:, :, index].swapaxes(1, 2)

    def times(self, V: np.ndarray) -> np.ndarray:
        """M V for vectors (n, p, size)."""
        n, p = V.shape[:2]
        A, m = self.K.shape[1], self.kbb.shape[1]
        a, b = V[:, :, :A], V[:, :, A:].reshape(n, p, m, _OWN).swapaxes(1, 2)
        at = (b @ self.mab.swapaxes(2, 3)).swapaxes(1, 2).reshape(n, p, -1)
        own = self.gathered(a) @ self.mab + b @ self.mbb
        return np.concatenate(
            [a @ self.M + at @ self.open.plan.spread, own.swapaxes(1, 2).reshape(n, p, -1)], axis=2
        )

    def back(self, factors: np.ndarray, W: np.ndarray) -> np.ndarray:
        """K^-1 W for vectors (n, p, size)."""
        n, p = W.shape[:2]
        A, m = self.K.shape[1], self.kbb.shape[1]
        b = W[:, :, A:].reshape(n, p, m, _OWN).swapaxes(1, 2) @ self.kbb_inverse
        return np.concatenate([back_solve(factors, W[:, :, :A]), b.swapaxes(1, 2).reshape(n, p, -1)], axis=2)


def _lumped(s: System, sizes: Sizes, size: int) -> np.ndarray:
    number = np.full(6 * len(s.frame.nodes), -1)
    number[s.plan.free] = np.arange(len(s.plan.free))
    total = np.zeros((len(s), size))
    for j, name in enumerate(s.frame.masses):
        for way in range(len(WAYS)):
            g = number[6 * s.frame.node_number[name] + way]
            if g >= 0:
                total[:, g] += sizes.node_mass[:, j] if way < 3 else sizes.node_inertia[:, j, way - 3]
    return total


def _bar_matrices(s: System, sizes: Sizes, pull):
    """Stiffness (with axial forces, where given) and mass of every bar, local axes, its ends' motions first
    and then its own shapes: (n, members, 12 + 6, 12 + 6) each.
    """
    n, m = s.L.shape
    xi, weight = np.polynomial.legendre.leggauss(_POINTS)
    x = s.L[..., None] * (xi + 1) / 2
    v, theta, slope, curve, give, bend = _bar_shapes(s, x, xi)
    w = (s.L / 2)[:, :, None, None] * weight
    mass = sizes.mass_per_length
    local = 12 + 2 * _SHAPES
    k, M = np.zeros((n, m, local, local)), np.zeros((n, m, local, local))
    for way, stiff, inert in ((0, s.EA, mass), (3, s.GJ, mass * s.EI.sum(2) / s.EA)):
        for i, j in ((0, 0), (6, 6), (0, 6), (6, 0)):
            k[..., way + i, way + j] = stiff / s.L * (1 if i == j else -1)
            M[..., way + i, way + j] = inert * s.L / (3 if i == j else 6)
    for plane in range(2):
        turn, sign = ((5, 11), 1.0) if plane == 0 else ((4, 10), -1.0)
        where = np.array(
            [1 + plane, turn[0], 7 + plane, turn[1], *(12 + plane * _SHAPES + np.arange(_SHAPES))]
        )
        flip = np.array([1.0, sign, 1.0, sign, *([1.0] * _SHAPES)])
        at = np.ix_(range(n), range(m), where, where)
        both = flip[:, None] * flip
        a, b, c, d = (getattr(bend, name)[..., plane] for name in "abcd")
        four = np.stack(
            [np.stack(row, -1) for row in ((a, b, -a, b), (b, c, -b, d), (-a, -b, a, -b), (b, d, -b, c))], -2
        )
        kp = np.zeros((n, m, 4 + _SHAPES, 4 + _SHAPES))
        kp[..., :4, :4] = four
        own = s.EI[..., plane, None, None] * _gram(curve[:, :, plane], w[:, :, 0])
        with np.errstate(invalid="ignore"):
            shear = s.GA[..., plane, None, None] * _gram(give[:, :, plane], w[:, :, 0])
        kp[..., 4:, 4:] = own + np.where(np.isfinite(s.GA[..., plane, None, None]), shear, 0.0)
        if pull is not None:
            kp += pull[..., None, None] * _gram(slope[:, :, plane], w[:, :, 0])
        radius = s.EI[..., plane] / s.EA
        mp = mass[..., None, None] * (
            _gram(v[:, :, plane], w[:, :, 0])
            + radius[..., None, None] * _gram(theta[:, :, plane], w[:, :, 0])
        )
        k[at], M[at] = both * kp, both * mp
    return k, M


def _gram(f: np.ndarray, w: np.ndarray) -> np.ndarray:
    """Products of shapes f (n, m, q, p) summed with weights w (n, m, q): (n, m, p, p)."""
    return f.swapaxes(2, 3) @ (f * w[..., None])
