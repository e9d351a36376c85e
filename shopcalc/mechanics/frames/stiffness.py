"""Bars into one frame: axes, joints and arms at the ends of a bar, and the stiffness of all designs at once.

A plain bar enters the frame by four 3 x 3 blocks, sums of products of its axes. A bar with releases, springy
joints or rigid arms goes through its 12 x 12 matrix: joints are condensed one after the other (a spring s in
series with row i: k - k_i k_i^T/(k_ii + s)), then the arms, then the turn to global axes. SI arrays, first
axis = design.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.bar import Bending, Line, Terms, bending, fixed_ends, squash
from shopcalc.mechanics.frames.dense import NOTHING_LEFT
from shopcalc.mechanics.frames.loads import member_terms, node_loads
from shopcalc.mechanics.frames.model import STEEP, Frame, Sizes

# Where rows and columns of the blocks stand in a bar's matrix: block, sign, turned over.
_TT, _TR, _NEAR, _FAR = range(4)
_PLACES = (
    ((_TT, 1, 0), (_TR, 1, 0), (_TT, -1, 0), (_TR, 1, 0)),
    ((_TR, 1, 1), (_NEAR, 1, 0), (_TR, -1, 1), (_FAR, 1, 0)),
    ((_TT, -1, 0), (_TR, -1, 0), (_TT, 1, 0), (_TR, -1, 0)),
    ((_TR, 1, 1), (_FAR, 1, 0), (_TR, -1, 1), (_NEAR, 1, 0)),
)
_BLOCK_NUMBER = np.array(
    [
        [
            (36 if sign < 0 else 0) + 9 * kind + (3 * c + r if over else 3 * r + c)
            for j in range(4)
            for kind, sign, over in (_PLACES[i][j],)
            for c in range(3)
        ]
        for i in range(4)
        for r in range(3)
    ]
)
# The two planes of bending: deflection y turns about z; deflection z turns about -y.
_V, _T, _SIGN = np.array([[1, 7], [2, 8]]), np.array([[5, 11], [4, 10]]), np.array([1.0, -1.0])


@dataclass(frozen=True)
class Sums:
    """Entry target[i] is the sum of the numbers sources[0][i], sources[1][i] ... (entries to which most bars
    add stand first, so each further list is shorter).
    """

    sources: tuple[np.ndarray, ...]
    target: np.ndarray

    @classmethod
    def of(cls, source: np.ndarray, target: np.ndarray) -> Sums:
        if not len(target):
            return cls((), np.zeros(0, int))
        order = np.argsort(target, kind="stable")
        source, target = source[order], target[order]
        place, first, count = np.unique(target, return_index=True, return_counts=True)
        rank = np.arange(len(target)) - np.repeat(first, count)
        entries = np.argsort(-count, kind="stable")
        position = np.empty(len(place), int)
        position[entries] = np.arange(len(place))
        where = np.repeat(position, count)
        sources = []
        for k in range(int(count.max())):
            mine = rank == k
            row = np.empty(int(mine.sum()), int)
            row[where[mine]] = source[mine]
            sources.append(row)
        return cls(tuple(sources), place[entries])

    def put(self, numbers: np.ndarray, into: np.ndarray) -> None:
        if self.sources:
            total = numbers.take(self.sources[0], axis=1)
            for more in self.sources[1:]:
                total[:, : len(more)] += numbers.take(more, axis=1)
            into[:, self.target] = total


@dataclass(frozen=True)
class Plan:
    """Where every number of every bar goes: for one topology and one choice of which bars are jointed.

    free: the ways that are unknowns. plain, jointed: bars that enter by blocks, and by their matrix; hinged: those of the
    latter with joints, and hinged_at where they stand among them; along: those with a joint along their axis. whole, lower: for all entries of the stiffness, and for
    its lower triangle, a `Sums`. gather (members, 12): ways of the nodes of every bar; ends, starts: ends of bars in the
    order of their nodes, and where each node begins.
    """

    free: np.ndarray
    plain: np.ndarray
    jointed: np.ndarray
    hinged: np.ndarray
    hinged_at: np.ndarray
    along: np.ndarray
    whole: Sums
    lower: Sums
    gather: np.ndarray
    ends: np.ndarray
    starts: np.ndarray
    rounds: tuple[tuple[np.ndarray, ...], ...]

    @property
    def size(self) -> int:
        return len(self.free)


@lru_cache(maxsize=64)
def plan_of(frame: Frame, jointed: tuple[int, ...], loose: tuple[int, ...], all_ways: bool = False) -> Plan:
    """all_ways: what supports hold is counted among the unknowns too, for designs that are not all held alike."""
    free_mask = np.ones(6 * len(frame.nodes), bool) if all_ways else ~frame.held
    for node in loose:
        free_mask[6 * node + 3 : 6 * node + 6] = False
    free = np.nonzero(free_mask)[0]
    number = np.full(len(free_mask), -1)
    number[free] = np.arange(len(free))
    F, m = len(free), len(frame.members)
    plain = np.array([i for i in range(m) if i not in jointed], int)
    gather = (6 * frame.ends[:, :, None] + np.arange(6)).reshape(m, 12)
    # The numbers of a plain bar are its blocks and their negatives, those of a jointed one its matrix.
    base = 72 * len(plain)
    source = [
        72 * np.arange(len(plain))[:, None, None] + _BLOCK_NUMBER,
        base + np.arange(144 * len(jointed)).reshape(-1, 12, 12),
    ]
    base += 144 * len(jointed)
    bars = np.concatenate([number[gather[plain]], number[gather[np.array(jointed, int)]]])
    row, column = np.broadcast_arrays(bars[:, :, None], bars[:, None, :])
    sprung = np.array([number[spring_place(frame, s)] for s in frame.springs], int)
    source = np.concatenate([*(part.ravel() for part in source), base + np.arange(len(sprung))])
    row, column = np.concatenate([row.ravel(), sprung]), np.concatenate([column.ravel(), sprung])
    kept = (row >= 0) & (column >= 0)
    below = kept & (row >= column)
    sums = [Sums.of(source[these], row[these] * F + column[these]) for these in (kept, below)]
    hinged = sorted({m for m, _ in (*frame.released, *frame.joint_places)})
    at = np.array([jointed.index(m) for m in hinged], int)
    along = np.array(sorted({m for m, way in (*frame.released, *frame.joint_places) if way % 6 == 0}), int)
    ends = np.argsort(frame.ends.ravel(), kind="stable")
    starts = np.searchsorted(frame.ends.ravel()[ends], np.arange(len(frame.nodes)))
    return Plan(
        free, plain, np.array(jointed, int), np.array(hinged, int), at, along, *sums, gather, ends, starts,
        _rounds(frame, hinged),
    )


def _rounds(frame: Frame, hinged: list[int]) -> tuple[tuple[np.ndarray, ...], ...]:
    """Joints to be condensed together, at most one of each bar in a round: bars (among the hinged), ways,
    which of them are springs, their rows of Sizes.joint_stiffness, and which let a bar spin about its own axis.
    """
    column = {member: i for i, member in enumerate(hinged)}
    every = [(column[m], way, -1) for m, way in frame.released]
    every += [(column[m], way, j) for j, (m, way) in enumerate(frame.joint_places)]
    seen: dict[int, int] = {}
    rounds: list[list[tuple[int, int, int]]] = []
    for bar, way, row in every:
        turn = seen.get(bar, 0)
        seen[bar] = turn + 1
        if turn == len(rounds):
            rounds.append([])
        rounds[turn].append((bar, way, row))
    made = []
    for entries in rounds:
        bars, ways, row = np.array(entries).T
        sprung = np.nonzero(row >= 0)[0]
        spins = (ways == 9) & np.isin(np.array(hinged)[bars], frame.spinning)
        made.append((bars, ways, sprung, row[sprung], spins))
    return tuple(made)


def spring_place(frame: Frame, spring) -> int:
    return 6 * frame.node_number[spring.node] + ("x", "y", "z", "rx", "ry", "rz").index(spring.way)


def local_axes(frame: Frame, along: np.ndarray, roll: np.ndarray) -> np.ndarray:
    """(n, members, 3, 3): rows are the local x, y, z of every bar. along (n, members, 3), not zero."""
    x = along / np.linalg.norm(along, axis=2, keepdims=True)
    up = np.zeros_like(x)
    for i, member in enumerate(frame.members):
        if member.height_along == "auto":
            standing = np.abs(x[:, i, 2]) > STEEP
            up[:, i, 0], up[:, i, 2] = standing, ~standing
        else:
            up[:, i, "xyz".index(member.height_along)] = 1.0
    z = up - (up * x).sum(2, keepdims=True) * x
    size = np.linalg.norm(z, axis=2, keepdims=True)
    if (size < 1e-6).any():
        d, i = np.argwhere(size[..., 0] < 1e-6)[0]
        raise InputError(
            field=f"Member({frame.members[i].name}): height_along",
            value=frame.members[i].height_along,
            need=f"an axis across the bar (design {d}: the bar runs along it)",
        )
    z = z / size
    y = np.cross(z, x)
    c, s = np.cos(roll)[..., None], np.sin(roll)[..., None]
    return np.stack([x, c * y + s * z, c * z - s * y], axis=2)


@dataclass(frozen=True)
class Jointed:
    """The bars with joints, condensed: bar matrices before each joint (for the way back), after all
    of them, and their held-end forces; ok (n, bars) is False where the joints let the bar itself go.
    """

    k: np.ndarray
    fixed: np.ndarray
    rows: tuple[tuple[np.ndarray, ...], ...]
    ok: np.ndarray


@dataclass(frozen=True)
class Tangent:
    """Bars at given axial forces: stiffness across, held-end forces, joints."""

    pull: np.ndarray | None
    bend: Bending
    fixed: np.ndarray
    jointed: Jointed | None


@dataclass(frozen=True)
class System:
    """All designs of a batch, ready to be assembled. See `system_of`.

    held (n, nodes*6) bool: where designs are held differently; None: all as the frame's supports have it
    """

    frame: Frame
    plan: Plan
    L: np.ndarray
    R: np.ndarray
    EA: np.ndarray
    GJ: np.ndarray
    EI: np.ndarray
    GA: np.ndarray
    arms: np.ndarray
    joint_stiffness: np.ndarray
    spring: np.ndarray
    terms: Terms
    nodal: np.ndarray
    settled: np.ndarray
    axial_least: np.ndarray
    no_length: np.ndarray
    held: np.ndarray | None = None

    def __len__(self) -> int:
        return len(self.L)

    def take(self, which) -> System:
        each = {
            k: getattr(self, k)[which]
            for k in (
                "L",
                "R",
                "EA",
                "GJ",
                "EI",
                "GA",
                "arms",
                "joint_stiffness",
                "spring",
                "nodal",
                "settled",
                "axial_least",
                "no_length",
            )
        }
        held = None if self.held is None else self.held[which]
        return System(frame=self.frame, plan=self.plan, terms=self.terms.take(which), held=held, **each)

    @property
    def alike(self) -> bool:
        """Whether all designs are one frame: only loads, settlements and what holds them differ."""
        sizes = (self.L, self.R, self.EA, self.GJ, self.EI, self.GA, self.arms, self.joint_stiffness, self.spring)
        return all((v == v[:1]).all() for v in sizes)

    @property
    def held_alike(self) -> tuple[np.ndarray, np.ndarray]:
        """The first design of each way of being held, and which of these (n,) every design is like."""
        if self.held is None:
            return np.zeros(1, int), np.zeros(len(self), int)
        seen: dict[bytes, int] = {}
        which = np.array([seen.setdefault(row.tobytes(), len(seen)) for row in self.held])
        return np.unique(which, return_index=True)[1], which

    @cached_property
    def shut(self) -> np.ndarray | None:
        """(n, F) unknowns that a support holds in that design; None where no unknown is held."""
        return None if self.held is None else self.held[:, self.plan.free]

    @property
    def holds(self) -> np.ndarray:
        """(n, nodes*6) the ways that supports hold."""
        return np.broadcast_to(self.frame.held, self.nodal.shape) if self.held is None else self.held

    @cached_property
    def _products(self) -> np.ndarray:
        """x x, y y, z z, y z of the plain bars, (4, n, bars, 9)."""
        R = self.R[:, self.plan.plain]
        x, y, z = R[:, :, 0], R[:, :, 1], R[:, :, 2]
        out = np.empty((4, *x.shape[:2], 9))
        for place, (a, b) in zip(out, ((x, x), (y, y), (z, z), (y, z)), strict=True):
            place[:] = (a[..., :, None] * b[..., None, :]).reshape(*x.shape[:2], 9)
        return out

    @cached_property
    def _turned(self) -> np.ndarray:
        """_products with z y beside y z, for the blocks that tie force to turn."""
        n, p = self._products.shape[1:3]
        return self._products[3].reshape(n, p, 3, 3).swapaxes(2, 3).reshape(n, p, 9)

    @cached_property
    def _whole(self) -> tuple[np.ndarray, np.ndarray]:
        """Blocks that no axial force changes: EA/L x x and GJ/L x x of the plain bars."""
        x = self._products[0]
        pick = self.plan.plain
        return ((self.EA / self.L)[:, pick, None] * x, (self.GJ / self.L)[:, pick, None] * x)

    @cached_property
    def _carry(self) -> np.ndarray:
        """(n, jointed bars, 12, 12): from the motions of the nodes (global) to the ends of the bar
        (local).
        """
        R = self.R[:, self.plan.jointed]
        B = np.zeros((*R.shape[:2], 12, 12))
        for b in range(4):
            B[:, :, 3 * b : 3 * b + 3, 3 * b : 3 * b + 3] = R
        for e in range(2):
            s = self.arms[:, self.plan.jointed, e]
            B[:, :, 6 * e : 6 * e + 3, 6 * e + 3 : 6 * e + 6] = -cross_matrix(s) @ R
        return B

    @cached_property
    def squash(self) -> np.ndarray:
        return squash(self.EI, self.GA, self.L)

    # --- one state of axial force ---------------------------------------------------------------

    def tangent(self, pull: np.ndarray | None, loads: bool = True) -> Tangent:
        """Bars under axial forces (n, members), or without them (None)."""
        bend = bending(self.EI, self.GA, self.L, pull)
        if loads and len(self.terms.member):
            fixed = fixed_ends(self.terms, bend, self.EI, self.GA, self.L)
        else:
            fixed = np.zeros((*self.L.shape, 12))
        jointed = self._condense(bend, fixed) if len(self.plan.hinged) else None
        return Tangent(pull, bend, fixed, jointed)

    def _condense(self, bend: Bending, fixed: np.ndarray) -> Jointed:
        pick = self.plan.hinged
        k = self.bar_matrices(bend, pick)
        f = fixed[:, pick].copy()
        # A bar let go about its own axis at both ends may spin: nothing else moves, unless a torque acts.
        couples = (self.terms.order < 0) & self.terms.size[..., 0].any(axis=0)
        turned = np.isin(pick, self.terms.member[couples])
        first = np.einsum("ngii->ngi", k).copy()
        ok = np.ones(k.shape[:2], bool)
        rows = []
        for bars, ways, sprung, which, spins in self.plan.rounds:
            row, force = k[:, bars, ways], f[:, bars, ways]
            left = k[:, bars, ways, ways]
            left[:, sprung] += self.joint_stiffness[:, which]
            good = left > NOTHING_LEFT * first[:, bars, ways]
            idle = spins & ~turned[bars]
            if idle.any():
                g, w = bars[idle], ways[idle]
                k[:, g, w] = k[:, g, :, w] = 0.0
                row[:, idle] = 0.0
            ok[:, bars] &= good | idle
            w = np.where(good & ~idle, 1 / np.where(good, left, 1.0), 0.0)
            k[:, bars] -= (w[..., None] * row)[..., :, None] * row[..., None, :]
            f[:, bars] -= (w * force)[..., None] * row
            rows.append((bars, ways, row, force, w))
        return Jointed(k, f, tuple(rows), ok)

    def bar_matrices(self, bend: Bending, pick=slice(None)) -> np.ndarray:
        """(n, bars, 12, 12) of the bars picked, between their own ends, local axes."""
        k = np.zeros((*self.L[:, pick].shape, 12, 12))
        for i, value in ((0, (self.EA / self.L)[:, pick]), (3, (self.GJ / self.L)[:, pick])):
            k[..., i, i] = k[..., i + 6, i + 6] = value
            k[..., i, i + 6] = k[..., i + 6, i] = -value
        for plane in range(2):
            a, b, c, d = (getattr(bend, name)[:, pick, plane] for name in "abcd")
            (v1, v2), (t1, t2), s = _V[plane], _T[plane], _SIGN[plane]
            k[..., v1, v1] = k[..., v2, v2] = a
            k[..., v1, v2] = k[..., v2, v1] = -a
            k[..., t1, t1] = k[..., t2, t2] = c
            k[..., t1, t2] = k[..., t2, t1] = d
            for v, sign in ((v1, s), (v2, -s)):
                for t in (t1, t2):
                    k[..., v, t] = k[..., t, v] = sign * b
        return k

    def arm_turn(self, pull: np.ndarray, pick=slice(None)) -> tuple[np.ndarray, np.ndarray]:
        """Turning a rigid arm takes the axial force with it: N times the part of the arm along the bar, (n,
        bars, 2), and the directions across the bar that it acts in, (n, bars, 3, 3).
        """
        along = self.arms[:, pick][..., 0]
        x = self.R[:, pick, 0]
        return pull[:, pick, None] * np.stack([along[..., 0], -along[..., 1]], axis=-1), (
            np.eye(3) - x[..., :, None] * x[..., None, :]
        )

    def assemble(self, t: Tangent, lower: bool = False) -> np.ndarray:
        """Stiffness of the free ways, (n, F, F); on wish only its lower triangle, enough for `factor`."""
        n, plan = len(self), self.plan
        p, q = len(plan.plain), len(plan.jointed)
        flat = np.empty((n, 72 * p + 144 * q + self.spring.shape[1]))
        if p:
            xx, yy, zz, yz = self._products
            stretch, twist = self._whole
            pick = plan.plain if q else slice(None)
            a, b, c, d = (getattr(t.bend, name)[:, pick] for name in "abcd")
            blocks = flat[:, : 72 * p].reshape(n, p, 2, 4, 9)
            plus = blocks[:, :, 0]
            plus[:, :, _TT] = stretch + a[..., 0, None] * yy + a[..., 1, None] * zz
            plus[:, :, _TR] = b[..., 0, None] * yz - b[..., 1, None] * self._turned
            plus[:, :, _NEAR] = twist + c[..., 0, None] * zz + c[..., 1, None] * yy
            plus[:, :, _FAR] = d[..., 0, None] * zz + d[..., 1, None] * yy - twist
            np.negative(plus, out=blocks[:, :, 1])
        if q:
            B = self._carry
            k = self.bar_matrices(t.bend, plan.jointed)
            if t.jointed is not None:
                k[:, plan.hinged_at] = t.jointed.k
            k = B.swapaxes(2, 3) @ k @ B
            if t.pull is not None:
                self._add_arm_turn(k, t.pull)
            flat[:, 72 * p : 72 * p + 144 * q] = k.reshape(n, 144 * q)
        flat[:, 72 * p + 144 * q :] = self.spring
        K = np.zeros((n, plan.size**2))
        (plan.lower if lower else plan.whole).put(flat, K)
        K = K.reshape(n, plan.size, plan.size)
        if self.shut is not None:
            hold(K, self.shut)
        return K

    def _add_arm_turn(self, k: np.ndarray, pull: np.ndarray) -> None:
        turn, across = self.arm_turn(pull, self.plan.jointed)
        for e in range(2):
            ways = slice(6 * e + 3, 6 * e + 6)
            k[:, :, ways, ways] += turn[..., e, None, None] * across

    # --- forces ---------------------------------------------------------------------------------

    def load_vector(self, t: Tangent, misfit: np.ndarray | None = None) -> np.ndarray:
        """Forces on all ways of all nodes, (n, nodes*6): nodal loads less what held bars and settlements put
        on.
        """
        total = self.nodal
        if len(self.terms.member) or misfit is not None or self.settled.any():
            total = total - self.on_nodes(self.bar_forces(self.settled, t, misfit)[0], t.pull, self.settled)
        return total

    def on_unknowns(self, forces: np.ndarray) -> np.ndarray:
        """(n, F) of forces on all ways (n, nodes*6): what the unknowns answer to; nothing where a support takes it."""
        open_ = forces[:, self.plan.free]
        return open_ if self.shut is None else np.where(self.shut, 0.0, open_)

    def ends_of(self, motion: np.ndarray, misfit: np.ndarray | None = None) -> np.ndarray:
        """Motions of the bars' own ends in local axes, (n, members, 12), arms and misfit of joints included. motion (n,
        nodes*6).
        """
        n, m = self.L.shape
        at = motion[:, self.plan.gather]
        d = (at.reshape(n, m, 4, 3) @ self.R.swapaxes(2, 3)).reshape(n, m, 12)
        if len(self.plan.jointed):
            d[:, self.plan.jointed] = (self._carry @ at[:, self.plan.jointed, :, None])[..., 0]
        if misfit is not None:
            for j, (member, way) in enumerate(self.frame.joint_places):
                d[:, member, way] += misfit[:, j]
        return d

    def pull_by_stretch(self, ends: np.ndarray, pull: np.ndarray) -> np.ndarray:
        """`tightest` before the forces are known: by how far the ends of the bars (`ends_of`) go apart. A bar with a joint
        along its axis keeps the pull it has."""
        stretch = self.axial_least + (self.EA / self.L) * (ends[..., 6] - ends[..., 0])
        if len(self.terms.member):
            stretch -= self._held_pull
        stretch[:, self.plan.along] = pull[:, self.plan.along]
        return stretch

    @cached_property
    def _held_pull(self) -> np.ndarray:
        """Axial force on the first ends of held bars under their loads: no pull changes it."""
        return self.tangent(None).fixed[..., 0]

    def bar_forces(self, motion: np.ndarray, t: Tangent, misfit: np.ndarray | None = None):
        """Forces on the ends of every bar and motions of these ends behind their joints, local, (n, members,
        12) each.
        """
        return self.forces_of(self.ends_of(motion, misfit), t)

    def forces_of(self, ends: np.ndarray, t: Tangent):
        """`bar_forces` by the motions of the bars' ends (`ends_of`)."""
        d = ends.copy()
        if t.jointed is not None:
            pick = self.plan.hinged
            inner = d[:, pick]
            for bars, ways, row, force, w in reversed(t.jointed.rows):
                inner[:, bars, ways] -= w * ((row * inner[:, bars]).sum(2) + force)
            d[:, pick] = inner
        f = t.fixed.copy()
        pull = (self.EA / self.L) * (d[..., 6] - d[..., 0])
        turn = (self.GJ / self.L) * (d[..., 9] - d[..., 3])
        f[..., 0] -= pull
        f[..., 6] += pull
        f[..., 3] -= turn
        f[..., 9] += turn
        bend = t.bend
        v = d[..., 1:3] - d[..., 7:9]
        t1 = np.stack([d[..., 5], -d[..., 4]], axis=-1)
        t2 = np.stack([d[..., 11], -d[..., 10]], axis=-1)
        F = bend.a * v + bend.b * (t1 + t2)
        m1, m2 = bend.b * v + bend.c * t1 + bend.d * t2, bend.b * v + bend.d * t1 + bend.c * t2
        f[..., 1:3] += F
        f[..., 7:9] -= F
        f[..., 5] += m1[..., 0]
        f[..., 4] -= m1[..., 1]
        f[..., 11] += m2[..., 0]
        f[..., 10] -= m2[..., 1]
        return f, d

    def on_nodes(self, f: np.ndarray, pull: np.ndarray | None, motion: np.ndarray) -> np.ndarray:
        """Forces that must act on the nodes to put f on the ends of the bars, (n, nodes*6), global axes."""
        n, m = self.L.shape
        g = (f.reshape(n, m, 4, 3) @ self.R).reshape(n, m, 12)
        pick = self.plan.jointed
        if len(pick):
            g[:, pick] = (self._carry.swapaxes(2, 3) @ f[:, pick, :, None])[..., 0]
            if pull is not None:
                turn, across = self.arm_turn(pull, pick)
                for e in range(2):
                    theta = motion[:, self.plan.gather[pick]][:, :, 6 * e + 3 : 6 * e + 6]
                    g[:, pick, 6 * e + 3 : 6 * e + 6] += (
                        turn[..., e, None] * (across @ theta[..., None])[..., 0]
                    )
        at_ends = g.reshape(n, 2 * m, 6)[:, self.plan.ends]
        return np.add.reduceat(at_ends, self.plan.starts, axis=1).reshape(n, -1)

    def unbalanced(self, f: np.ndarray, pull: np.ndarray | None, motion: np.ndarray) -> np.ndarray:
        """(n, F) what nodal loads, the bars (f on their ends) and support springs leave on the unknowns."""
        left = self.nodal - self.on_nodes(f, pull, motion)
        for k, spring in enumerate(self.frame.springs):
            way = spring_place(self.frame, spring)
            left[:, way] -= self.spring[:, k] * motion[:, way]
        return self.on_unknowns(left)

    def tightest(self, f: np.ndarray) -> np.ndarray:
        """Axial force by which a bar's bending is worked: the most compressive along it, (n, members)."""
        return self.axial_least - f[..., 0]

    def line(self, f: np.ndarray, d: np.ndarray, t: Tangent) -> Line:
        """States at the start of every bar."""
        theta = np.stack([d[..., 5], -d[..., 4]], axis=-1)
        M = -np.stack([f[..., 5], -f[..., 4]], axis=-1)
        return Line(
            d[..., 1:3],
            theta,
            M,
            -f[..., 1:3],
            d[..., 0],
            d[..., 3],
            -f[..., 0],
            -f[..., 3],
            d[..., 7:9],
            t.pull,
        )


def axial_least(terms: Terms, L: np.ndarray) -> np.ndarray:
    """How far the axial force falls below that at the start of the bar, at most, by the loads along it: (n,
    members), <= 0. Looked at where loads begin and end, both sides.
    """
    least = np.zeros_like(L)
    pulls = (terms.order >= 0) & terms.size[..., 0].any(axis=0)
    for m in np.unique(terms.member[pulls]):
        mine = pulls & (terms.member == m)
        order, start, size = terms.order[mine], terms.start[:, mine], terms.size[:, mine, 0]
        x = np.concatenate([start, L[:, [m]]], axis=1)
        d = x[:, :, None] - start[:, None]
        for past in (d >= 0, d > 0):
            power = np.where(order == 0, 1.0, np.where(order == 1, d, d**2 / 2)) * past
            least[:, m] = np.minimum(least[:, m], -(size[:, None] * power).sum(2).max(axis=1))
    return least


def hold(K: np.ndarray, shut: np.ndarray) -> None:
    """Takes unknowns that are held, shut (n, F or less), out of matrices K (n, F, F) in place: each stands for itself."""
    for matrix, mask in zip(K, shut, strict=True):
        rows = np.nonzero(mask)[0]
        matrix[rows] = matrix[:, rows] = 0.0
        matrix[rows, rows] = 1.0


def cross_matrix(s: np.ndarray) -> np.ndarray:
    out = np.zeros((*s.shape[:-1], 3, 3))
    out[..., 0, 1], out[..., 0, 2] = -s[..., 2], s[..., 1]
    out[..., 1, 0], out[..., 1, 2] = s[..., 2], -s[..., 0]
    out[..., 2, 0], out[..., 2, 1] = -s[..., 1], s[..., 0]
    return out


def system_of(frame: Frame, sizes: Sizes, holds: np.ndarray | None = None) -> System:
    """holds (n, nodes*6) bool: ways held in each design, instead of the frame's supports."""
    if holds is not None and (holds == frame.held).all():
        holds = None
    ends = frame.ends
    along = sizes.points[:, ends[:, 1]] - sizes.points[:, ends[:, 0]]
    bar = along + sizes.arm_second - sizes.arm_first
    whole = np.linalg.norm(along, axis=2)
    L = np.linalg.norm(bar, axis=2)
    # An arm longer than its bar turns the bar about.
    short = (L <= 1e-9 * np.maximum(whole, np.abs(sizes.points).max(axis=(1, 2))[:, None])) | (
        (bar * along).sum(2) <= 0
    )
    bar = np.where(short[..., None], np.array([1.0, 0.0, 0.0]), bar)
    L = np.where(short, 1.0, L)
    R = local_axes(frame, bar, sizes.roll)
    arms = np.stack([sizes.arm_first, sizes.arm_second], axis=2) @ R.swapaxes(2, 3)
    has_arm = arms.any(axis=(0, 2, 3))
    jointed = sorted(
        {m for m, _ in (*frame.released, *frame.joint_places)} | set(np.nonzero(has_arm)[0].tolist())
    )
    armed_nodes = {int(frame.ends[m, e]) for m in np.nonzero(has_arm)[0] for e in range(2)}
    loose = tuple(n for n in frame.loose_nodes if n not in armed_nodes)
    settled = np.zeros((len(sizes), 6 * len(frame.nodes)))
    for i, s in enumerate(frame.settlements):
        settled[:, spring_place(frame, s)] += sizes.settles[:, i]
    terms = member_terms(frame, sizes, R, L)
    return System(
        frame=frame,
        plan=plan_of(frame, tuple(jointed), loose, all_ways=holds is not None),
        L=L,
        R=R,
        EA=sizes.E * sizes.A,
        GJ=sizes.G * sizes.J,
        EI=np.stack([sizes.E * sizes.Iz, sizes.E * sizes.Iy], axis=2),
        GA=np.stack([sizes.G * sizes.Avy, sizes.G * sizes.Avz], axis=2),
        arms=arms,
        joint_stiffness=sizes.joint_stiffness,
        spring=sizes.spring,
        terms=terms,
        nodal=node_loads(frame, sizes),
        settled=settled,
        axial_least=axial_least(terms, L),
        no_length=short,
        held=holds,
    )
