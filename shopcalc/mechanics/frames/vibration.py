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
from shopcalc.mechanics.frames.model import Frame, Sizes
from shopcalc.mechanics.frames.solver import factor
from shopcalc.mechanics.frames.stiffness import System, cross_matrix, system_of

# Shapes of a bar between its ends in each plane, and points of the quadrature (exact for them).
_SHAPES, _POINTS = 3, 9
# A joint stiffer than this many times the bar behaves as rigid.
_STIFF = 1e8


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
    from scipy.linalg import eigh

    if count < 1:
        raise InputError(field="frequencies: count", value=count, need="one mode or more")
    if not (
        sizes.mass_per_length.any(axis=1) | sizes.node_mass.any(axis=1) | sizes.node_inertia.any(axis=(1, 2))
    ).all():
        raise InputError(field="mass_per_length", value=0.0, need="a mass on the bars or at nodes")
    s = system_of(frame, sizes)
    K, M, along, place = _matrices(s, sizes, pull)
    n, size = K.shape[:2]
    fine = factor(K.copy()) & ~s.no_length.any(axis=1)
    wanted = min(count, size)
    frequency = np.full((n, count), np.nan)
    motion = np.zeros((n, count, 6 * len(frame.nodes)))
    share = np.full((n, count, 3), np.nan)
    total = (sizes.mass_per_length * s.L).sum(1) + sizes.node_mass.sum(1)
    for d in np.nonzero(fine)[0]:
        mu, vectors = eigh(M[d], K[d], subset_by_index=[size - wanted, size - 1])
        mu, vectors = mu[::-1], vectors[:, ::-1]
        # What has no mass in it comes out as rounding.
        real = mu > 1e-12 * mu[0]
        frequency[d] = np.inf
        frequency[d, :wanted][real] = 1 / (2 * np.pi * np.sqrt(mu[real]))
        motion[d, :wanted, place] = vectors[: len(place)]
        with np.errstate(divide="ignore", invalid="ignore"):
            share[d, :wanted] = np.where(
                real[:, None], (vectors.T @ (M[d] @ along[d])) ** 2 / mu[:, None] / total[d], 0.0
            )
    shape = motion.reshape(n, count, -1, 6)
    biggest = np.abs(shape[..., :3]).reshape(n, count, -1)
    turned = np.abs(shape[..., 3:]).reshape(n, count, -1)
    still = biggest.max(axis=2, initial=0.0) <= 1e-9 * turned.max(axis=2, initial=0.0)
    flat = np.where(
        still[..., None], shape[..., 3:].reshape(n, count, -1), shape[..., :3].reshape(n, count, -1)
    )
    lead = np.take_along_axis(flat, np.abs(flat).argmax(axis=2)[..., None], axis=2)[..., None]
    shape = np.divide(shape, lead, out=np.zeros_like(shape), where=lead != 0)
    shape[~fine] = np.nan
    return Modes(frequency, shape, share, ~fine)


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


def _matrices(s: System, sizes: Sizes, pull):
    """Stiffness and mass over the free ways of the nodes, the joints' own motions, the bars' own shapes; the
    motion of everything moved 1 along x, y, z; the free ways."""
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
    return _joined(s, sizes, k, M, pull)


def _gram(f: np.ndarray, w: np.ndarray) -> np.ndarray:
    """Products of shapes f (n, m, q, p) summed with weights w (n, m, q): (n, m, p, p)."""
    return f.swapaxes(2, 3) @ (f * w[..., None])


def _joined(s: System, sizes: Sizes, k, M, pull):
    frame, n, m = s.frame, *s.L.shape
    free = s.plan.free
    number = np.full(6 * len(frame.nodes), -1)
    number[free] = np.arange(len(free))
    own = [
        (member, way, np.zeros(n))
        for member, way in frame.released
        if way != 9 or member not in frame.spinning
    ]
    own += [(member, way, s.joint_stiffness[:, j]) for j, (member, way) in enumerate(frame.joint_places)]
    size = len(free) + len(own) + 2 * _SHAPES * m
    bin_at = size  # held ways are thrown into one row more, cut off below
    K_all, M_all = np.zeros((n, size + 1, size + 1)), np.zeros((n, size + 1, size + 1))
    along = np.zeros((n, size + 1, 3))
    for b in range(3):
        moving = free % 6 == b
        along[:, np.nonzero(moving)[0], b] = 1.0
    for i in range(m):
        nodes = np.where(number[s.plan.gather[i]] >= 0, number[s.plan.gather[i]], bin_at)
        joints = [(j, way, stiff) for j, (member, way, stiff) in enumerate(own) if member == i]
        shapes = len(free) + len(own) + 2 * _SHAPES * i + np.arange(2 * _SHAPES)
        index = np.concatenate([nodes, [len(free) + j for j, _, _ in joints], shapes]).astype(int)
        carry = np.zeros((n, 12, 12))
        for b in range(4):
            carry[:, 3 * b : 3 * b + 3, 3 * b : 3 * b + 3] = s.R[:, i]
        for e in range(2):
            carry[:, 6 * e : 6 * e + 3, 6 * e + 3 : 6 * e + 6] = -cross_matrix(s.arms[:, i, e]) @ s.R[:, i]
        Q = np.zeros((n, 12 + 2 * _SHAPES, len(index)))
        Q[:, :12, :12] = carry
        Q[:, 12:, 12 + len(joints) :] = np.eye(2 * _SHAPES)
        extra = np.zeros((n, len(index), len(index)))
        for place, (j, way, stiff) in enumerate(joints):
            row = np.zeros((n, len(index)))
            row[:, :12], row[:, 12 + place] = carry[:, way], -1.0
            Q[:, way] = 0.0
            Q[:, way, 12 + place] = 1.0
            held = np.minimum(stiff, _STIFF * k[:, i, way, way])
            extra += held[:, None, None] * row[:, :, None] * row[:, None, :]
            if way % 6 < 3:
                along[:, len(free) + j] = s.R[:, i, way % 6]
        if pull is not None and i in s.plan.jointed:
            x = s.R[:, i, 0]
            across = np.eye(3) - x[:, :, None] * x[:, None, :]
            for e, sign in ((0, 1.0), (1, -1.0)):
                turn = slice(6 * e + 3, 6 * e + 6)
                extra[:, turn, turn] += (sign * pull[:, i] * s.arms[:, i, e, 0])[:, None, None] * across
        at = np.ix_(range(n), index, index)
        # index repeats only the row that is thrown away
        K_all[at] += Q.swapaxes(1, 2) @ k[:, i] @ Q + extra
        M_all[at] += Q.swapaxes(1, 2) @ M[:, i] @ Q
    for j, spring in enumerate(frame.springs):
        g = number[6 * frame.node_number[spring.node] + ("x", "y", "z", "rx", "ry", "rz").index(spring.way)]
        if g >= 0:
            K_all[:, g, g] += s.spring[:, j]
    for j, name in enumerate(frame.masses):
        for way in range(6):
            g = number[6 * frame.node_number[name] + way]
            if g >= 0:
                M_all[:, g, g] += sizes.node_mass[:, j] if way < 3 else sizes.node_inertia[:, j, way - 3]
    return K_all[:, :size, :size], M_all[:, :size, :size], along[:, :size], free
