"""Weld groups as lines: straight runs and arcs anywhere in space, loaded by any force and moment.

Elastic method: the part that is welded on moves as one stiff body and every bit of weld answers in
proportion, so

    f(r) = F/L + theta x (r - c),    I theta = M about the centroid c

with I the second moments of the line itself (unit throat). For a flat group this is the weld-as-line method,
in the plane and out of it at once; it has no bonus for direction and gives the verdict.

Kernels work on SI floats, first axis = design: a group of one design goes with any number of loads.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.joints import welds
from shopcalc.units import Count, Force, Length, LoadPerLength, Quantity, magnitude

_HAIR = 1e-12


@dataclass(frozen=True)
class Group:
    """Runs of weld of n designs, in metres. A run without length counts nothing.

    lines   (n, m, 2, 3) first and last point of each straight run
    arcs    (n, k, 3, 3) centre c and two legs u, v of one length at right angles: c + u cos(a) + v sin(a)
    angles  (n, k, 2) first and last angle of each arc, radians
    ends    free ends of the whole group: places where a run starts or stops
    """

    lines: np.ndarray
    arcs: np.ndarray
    angles: np.ndarray
    ends: int = 0
    words: str = "weld"

    def __post_init__(self):
        for name, value in (("lines", self.lines), ("arcs", self.arcs), ("angles", self.angles)):
            if not np.isfinite(value).all():
                raise InputError(
                    field=f"weld group: {name}",
                    value="not finite",
                    need="points in metres",
                    example="box(0.05, 0.08)",
                )
        if not (self.length > 0).all():
            raise InputError(
                field="weld group",
                value="no length",
                need="at least one run with length",
                example="box(0.05, 0.08)",
            )

    # --- of the line alone

    @cached_property
    def _spans(self) -> np.ndarray:
        return np.linalg.norm(self.lines[..., 1, :] - self.lines[..., 0, :], axis=-1)

    @cached_property
    def _arc_spans(self) -> np.ndarray:
        return np.linalg.norm(self.arcs[..., 1, :], axis=-1) * np.abs(
            self.angles[..., 1] - self.angles[..., 0]
        )

    @cached_property
    def length(self) -> np.ndarray:
        """(n,)"""
        return self._spans.sum(axis=-1) + self._arc_spans.sum(axis=-1)

    @cached_property
    def _moments(self) -> tuple[np.ndarray, np.ndarray]:
        """First moment (n, 3) and second moment (n, 3, 3) of the line about the origin."""
        first, last = self.lines[..., 0, :], self.lines[..., 1, :]
        span, middle, way = self._spans[..., None], (first + last) / 2, last - first
        S = (span * middle).sum(axis=-2)
        I = (span[..., None] * (_outer(middle, middle) + _outer(way, way) / 12)).sum(axis=-3)
        c, u, v = (self.arcs[..., i, :] for i in range(3))
        a, b = self.angles[..., 0], self.angles[..., 1]
        # always forward along the arc
        a, b = np.minimum(a, b), np.maximum(a, b)
        R = np.linalg.norm(u, axis=-1)
        turn, cos_, sin_ = (
            b - a,
            np.sin(b) - np.sin(a),
            np.cos(a) - np.cos(b),
        )  # of 1, cos and sin over the arc
        cc = (turn + np.sin(b) * np.cos(b) - np.sin(a) * np.cos(a)) / 2
        cs = (np.sin(b) ** 2 - np.sin(a) ** 2) / 2
        S = S + (R[..., None] * (turn[..., None] * c + cos_[..., None] * u + sin_[..., None] * v)).sum(
            axis=-2
        )

        def part(k, x, y):
            return (R * k)[..., None, None] * _outer(x, y)

        I = I + (
            part(turn, c, c)
            + part(cos_, c, u)
            + part(cos_, u, c)
            + part(sin_, c, v)
            + part(sin_, v, c)
            + part(cc, u, u)
            + part(turn - cc, v, v)
            + part(cs, u, v)
            + part(cs, v, u)
        ).sum(axis=-3)
        return S, I

    @cached_property
    def centroid(self) -> np.ndarray:
        """(n, 3)"""
        return self._moments[0] / self.length[..., None]

    @cached_property
    def inertia(self) -> np.ndarray:
        """(n, 3, 3) second moments about axes through the centroid: I_xx = sum of (y^2 + z^2) along the
        line."""
        S, second = self._moments
        L = self.length[..., None, None]
        about = second - _outer(S, S) / L
        return np.trace(about, axis1=-2, axis2=-1)[..., None, None] * np.eye(3) - about

    @cached_property
    def _principal(self) -> tuple[np.ndarray, np.ndarray]:
        return np.linalg.eigh(self.inertia)

    def points(self, per_run: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Middles (n, e, 3), directions (n, e, 3) and lengths (n, e) of `per_run` equal bits of every run."""
        s = (np.arange(per_run) + 0.5) / per_run
        first, last = self.lines[..., 0, :], self.lines[..., 1, :]
        way = last - first
        on_lines = first[..., None, :] + s[:, None] * way[..., None, :]
        span = self._spans[..., None] / per_run * np.ones(per_run)
        unit = way / np.where(self._spans > 0, self._spans, 1.0)[..., None]
        along = np.broadcast_to(unit[..., None, :], on_lines.shape)
        c, u, v = (self.arcs[..., None, i, :] for i in range(3))
        a = self.angles[..., :1] + s * (self.angles[..., 1:] - self.angles[..., :1])
        C, S = np.cos(a)[..., None], np.sin(a)[..., None]
        on_arcs = c + u * C + v * S
        R = np.linalg.norm(u, axis=-1, keepdims=True)
        around = (v * C - u * S) / np.where(R > 0, R, 1.0)
        arc_span = self._arc_spans[..., None] / per_run * np.ones(per_run)
        n = self.lines.shape[0]

        def flat(x, y, width):
            return np.concatenate([x.reshape(n, -1, *width), y.reshape(n, -1, *width)], axis=1)

        return flat(on_lines, on_arcs, (3,)), flat(along, around, (3,)), flat(span, arc_span, ())


def _outer(x, y) -> np.ndarray:
    return x[..., :, None] * y[..., None, :]


# --- shapes: x across, y along, z square to the face ----------------------------------------------


def _sizes(field: str, *values) -> list[np.ndarray]:
    found = list(np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in values)))
    for value in found:
        if not (np.isfinite(value).all() and (value >= 0).all()):
            raise InputError(
                field=field,
                value=f"{np.min(value):g} m",
                need="sizes of nought or more",
                example="box(0.05, 0.08)",
            )
    return found


def _flat(runs, n: int) -> np.ndarray:
    """Straight runs from pairs of (x, y), each (n,): (n, m, 2, 3)."""
    if not runs:
        return np.zeros((n, 0, 2, 3))
    points = [[(*np.broadcast_arrays(x, y, 0.0 * x),) for x, y in run] for run in runs]
    return np.moveaxis(np.array(points, float), -1, 0)


def _no_arcs(n: int) -> dict:
    return {"arcs": np.zeros((n, 0, 3, 3)), "angles": np.zeros((n, 0, 2))}


def polyline(points, closed: bool = False) -> Group:
    """Runs from point to point in space: (p, 3) metres of one design or (n, p, 3) of many."""
    p = np.asarray(points, float)
    p = p[None] if p.ndim == 2 else p
    if p.ndim != 3 or p.shape[-1] != 3 or p.shape[1] < 2:
        raise InputError(
            field="polyline",
            value=f"an array of shape {np.shape(points)}",
            need="points (p, 3), two or more",
            example="polyline([(0, 0, 0), (0.1, 0, 0)])",
        )
    p = np.concatenate([p, p[:, :1]], axis=1) if closed else p
    return Group(
        np.stack([p[:, :-1], p[:, 1:]], axis=2), **_no_arcs(len(p)), ends=0 if closed else 2, words="runs"
    )


def join(*groups: Group) -> Group:
    """Several groups as one."""
    n = max(len(g.lines) for g in groups)
    lines, arcs, angles = (
        np.concatenate(
            [np.broadcast_to(getattr(g, name), (n, *getattr(g, name).shape[1:])) for g in groups], axis=1
        )
        for name in ("lines", "arcs", "angles")
    )
    return Group(lines, arcs, angles, ends=sum(g.ends for g in groups), words=groups[0].words)


def placed(group: Group, origin, x, y) -> Group:
    """A flat group set in space: its origin, and the directions of its x and y (unit vectors). (3,) each."""
    o, x, y = (np.asarray(v, float) for v in (origin, x, y))
    frame = np.stack([x, y, np.cross(x, y)])
    arcs = group.arcs @ frame
    return Group(
        group.lines @ frame + o,
        arcs + np.array([[1.0], [0.0], [0.0]]) * o,
        group.angles,
        ends=group.ends,
        words=group.words,
    )


def run(l) -> Group:
    """One straight run along y."""
    (l,) = _sizes("run", l)
    return Group(
        _flat([((0 * l, -l / 2), (0 * l, l / 2))], len(l)), **_no_arcs(len(l)), ends=2, words="one run"
    )


def pair(b, d) -> Group:
    """Two runs along x, each b long, d apart."""
    b, d = _sizes("pair", b, d)
    return Group(
        _flat([((-b / 2, s * d / 2), (b / 2, s * d / 2)) for s in (-1, 1)], len(b)),
        **_no_arcs(len(b)),
        ends=4,
        words="two runs",
    )


def box(b, d) -> Group:
    """All round a rectangle with square corners."""
    b, d = _sizes("box", b, d)
    corners = [(-b / 2, -d / 2), (b / 2, -d / 2), (b / 2, d / 2), (-b / 2, d / 2)]
    return Group(
        _flat(list(zip(corners, corners[1:] + corners[:1], strict=True)), len(b)),
        **_no_arcs(len(b)),
        words="all round",
    )


def c_shape(b, d) -> Group:
    """Three sides: d upright along y at x = 0, and b along x from both its ends."""
    b, d = _sizes("c_shape", b, d)
    o = 0 * b
    return Group(
        _flat([((b, -d / 2), (o, -d / 2)), ((o, -d / 2), (o, d / 2)), ((o, d / 2), (b, d / 2))], len(b)),
        **_no_arcs(len(b)),
        ends=2,
        words="three sides",
    )


def u_shape(b, d) -> Group:
    """Three sides: b along x at the top (y = d), and d down from both its ends: open at the bottom."""
    b, d = _sizes("u_shape", b, d)
    o = 0 * b
    return Group(
        _flat([((-b / 2, o), (-b / 2, d)), ((-b / 2, d), (b / 2, d)), ((b / 2, d), (b / 2, o))], len(b)),
        **_no_arcs(len(b)),
        ends=2,
        words="three sides",
    )


def l_shape(b, d) -> Group:
    """Two sides: b along x and d along y from one corner."""
    b, d = _sizes("l_shape", b, d)
    o = 0 * b
    return Group(
        _flat([((b, o), (o, o)), ((o, o), (o, d))], len(b)), **_no_arcs(len(b)), ends=2, words="two sides"
    )


def ring(D) -> Group:
    """All round a circle."""
    (D,) = _sizes("ring", D)
    arcs = np.zeros((len(D), 1, 3, 3))
    arcs[:, 0, 1, 0] = arcs[:, 0, 2, 1] = D / 2
    return Group(
        np.zeros((len(D), 0, 2, 3)),
        arcs,
        np.broadcast_to([0.0, 2 * np.pi], (len(D), 1, 2)),
        words="all round",
    )


def tube_outline(b, d, corner) -> Group:
    """All round a tube b by d with rounded corners."""
    b, d, r = _sizes("tube_outline", b, d, corner)
    if not (2 * r <= np.minimum(b, d) * (1 + 1e-12)).all():
        raise InputError(
            field="tube_outline: corner",
            value=f"{r.max():g} m",
            need="corners that fit into the tube",
            example="tube_outline(0.05, 0.05, 0.004)",
        )
    x, y = b / 2 - r, d / 2 - r
    straight = [
        ((-x, -d / 2), (x, -d / 2)),
        ((b / 2, -y), (b / 2, y)),
        ((x, d / 2), (-x, d / 2)),
        ((-b / 2, y), (-b / 2, -y)),
    ]
    arcs = np.zeros((len(b), 4, 3, 3))
    for i, (sx, sy) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        arcs[:, i, 0, 0], arcs[:, i, 0, 1] = sx * x, sy * y
        arcs[:, i, 1, 0] = arcs[:, i, 2, 1] = r
    angles = np.array([[i * np.pi / 2, (i + 1) * np.pi / 2] for i in range(4)])
    return Group(_flat(straight, len(b)), arcs, np.broadcast_to(angles, (len(b), 4, 2)), words="all round")


def branch_outline(
    b, d, effective=None, *, sides: tuple[int, ...] = (-1, 1), across: tuple[int, ...] = (-1, 1)
) -> Group:
    """A branch b wide (across the face it stands on, x) and d long (along it, y), with what carries of it.

    effective  of each run across the face only this much works, half at either corner (AISC 360-22 K5); all
               of it
               where None
    sides      which runs along the face are there: -1 the one at x = -b/2, 1 the one at x = b/2; none where the branch
               is as wide as the face
    across     which runs across the face are there: -1 the one at y = -d/2, 1 the one at y = d/2
    The moduli of this line are those of equations K5-6 and K5-7 to the letter.
    """
    b, d, e = _sizes("branch_outline", b, d, b if effective is None else effective)
    half = np.minimum(e, b) / 2
    lines = []
    for s in (-1, 1):
        if s in across:
            lines += [
                ((-b / 2, s * d / 2), (-b / 2 + half, s * d / 2)),
                ((b / 2 - half, s * d / 2), (b / 2, s * d / 2)),
            ]
        if s in sides:
            lines.append(((s * b / 2, -d / 2), (s * b / 2, d / 2)))
    if not lines:
        raise InputError(
            field="branch_outline: across, sides", value="none", need="at least one run of weld", example="across=(-1, 1)"
        )
    count = len(sides) + len(across)
    words = {4: "all round", 3: "three sides", 2: "two sides", 1: "one side"}[count]
    return Group(_flat(lines, len(b)), **_no_arcs(len(b)), words=words)


SHAPES = {"run": run, "pair": pair, "box": box, "C": c_shape, "U": u_shape, "L": l_shape, "round": ring}


# --- elastic --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Field:
    """Force per length everywhere on the weld of one load: f(r) = even + turn x (r - centroid). (n, 3) each,
    SI.

    carried  (n,) False where the group cannot take the load: a moment about a single straight run
    """

    even: np.ndarray
    turn: np.ndarray
    centroid: np.ndarray
    carried: np.ndarray

    def at(self, points) -> np.ndarray:
        """Force per length (n, e, 3) at points (n, e, 3) or (e, 3)."""
        arm = np.asarray(points, float) - self.centroid[..., None, :]
        return self.even[..., None, :] + np.cross(np.broadcast_to(self.turn[..., None, :], arm.shape), arm)


def elastic(group: Group, F, M, at=(0.0, 0.0, 0.0)) -> Field:
    """Elastic field of a force F (N) and a moment M (N m) about the point `at`: (n, 3) or (3,) each."""
    F, M, at = (np.atleast_2d(np.asarray(v, float)) for v in (F, M, at))
    c = group.centroid
    moment = M + np.cross(at - c, F)
    moment, c, even = np.broadcast_arrays(moment, c, F / group.length[..., None])
    size, axes = group._principal
    stiff = size > _HAIR * size[..., -1:]
    about = np.einsum("...ji,...j->...i", axes, moment)
    turn = np.where(stiff, about / np.where(stiff, size, 1.0), 0.0)
    lost = np.abs(np.where(stiff, 0.0, about)).max(axis=-1)
    reach = np.abs(moment).max(axis=-1) + np.linalg.norm(F, axis=-1) * group.length
    return Field(even, np.einsum("...ij,...j->...i", axes, turn), c, lost <= 1e-9 * reach + 1e-300)


@dataclass(frozen=True)
class Worst:
    """Greatest force per length (n,) N/m, its parts (n, 3) and its place (n, 3); inf where nothing carries
    it."""

    f: np.ndarray
    parts: np.ndarray
    place: np.ndarray


def worst_place(group: Group, field: Field) -> Worst:
    """Where the vector sum is greatest. On a straight run the field is linear, so its square is greatest at
    an end; on
    an arc all places where the square is level are looked at, and the ends."""
    n = max(len(group.lines), len(field.even))
    places = [_wide(group.lines.reshape(len(group.lines), -1, 3), n)]
    counts = [_wide(np.repeat(group._spans > 0, 2, axis=-1), n)]
    if group.arcs.shape[1]:
        candidates = _level_angles(group, field, n)
        c, u, v = (_wide(group.arcs, n)[..., None, i, :] for i in range(3))
        places.append(
            (c + u * np.cos(candidates)[..., None] + v * np.sin(candidates)[..., None]).reshape(n, -1, 3)
        )
        counts.append(
            np.broadcast_to(_wide(group._arc_spans > 0, n)[..., None], candidates.shape).reshape(n, -1)
        )
    points, real = np.concatenate(places, axis=1), np.concatenate(counts, axis=1)
    parts = field.at(points)
    sums = np.where(real, np.linalg.norm(parts, axis=-1), -1.0)
    i = sums.argmax(axis=-1)
    row = np.arange(n)
    return Worst(np.where(field.carried, sums[row, i], np.inf), parts[row, i], points[row, i])


def _wide(x: np.ndarray, n: int) -> np.ndarray:
    return np.broadcast_to(x, (n, *x.shape[1:]))


def _level_angles(group: Group, field: Field, n: int) -> np.ndarray:
    """Angles on every arc (n, k, places): its ends, places spread over it, and the level places of |f|^2 next
    to them.
    |f|^2 is a sum of waves of one and of two periods round the circle: no two level places lie closer than
    the spread."""
    c, u, v = (_wide(group.arcs, n)[..., i, :] for i in range(3))
    ends = _wide(group.angles, n)
    low, high = ends.min(axis=-1), ends.max(axis=-1)
    turn = np.broadcast_to(field.turn[:, None, :], c.shape)
    A = field.even[:, None, :] + np.cross(turn, c - field.centroid[:, None, :])
    B, C = np.cross(turn, u), np.cross(turn, v)

    def dot(x, y):
        return (x * y).sum(axis=-1)

    # |f|^2 = const + p1 cos + q1 sin + p2 cos 2a + q2 sin 2a
    p1, q1 = 2 * dot(A, B), 2 * dot(A, C)
    p2, q2 = (dot(B, B) - dot(C, C)) / 2, dot(B, C)
    spread = low[..., None] + (high - low)[..., None] * np.linspace(0, 1, 33)
    roots = np.concatenate([spread, _polished(spread, p1, q1, p2, q2)], axis=-1)
    inside = low[..., None] + np.mod(roots - low[..., None], 2 * np.pi)
    inside = np.where(inside <= high[..., None] + 1e-9, np.minimum(inside, high[..., None]), low[..., None])
    return inside


def _polished(a, p1, q1, p2, q2) -> np.ndarray:
    """Newton's steps towards a level place of p1 cos + q1 sin + p2 cos 2a + q2 sin 2a."""
    p1, q1, p2, q2 = (x[..., None] for x in (p1, q1, p2, q2))
    for _ in range(3):
        slope = -p1 * np.sin(a) + q1 * np.cos(a) - 2 * p2 * np.sin(2 * a) + 2 * q2 * np.cos(2 * a)
        bend = -p1 * np.cos(a) - q1 * np.sin(a) - 4 * p2 * np.cos(2 * a) - 4 * q2 * np.sin(2 * a)
        ok = np.abs(bend) > 1e-12 * (np.abs(p1) + np.abs(q1) + np.abs(p2) + np.abs(q2) + 1e-300)
        a = a - np.clip(np.where(ok, slope / np.where(ok, bend, 1.0), 0.0), -0.2, 0.2)
    return a


def line_force(group: Group, F, M, at=(0.0, 0.0, 0.0)) -> np.ndarray:
    """Greatest force per length of weld, (n,) N/m: `worst_place(elastic(...)).f`."""
    return worst_place(group, elastic(group, F, M, at)).f


# --- the answer -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Answer:
    """What to lay, (n,) arrays, SI: throat needed by the weld metal, leg to lay (sixteenths or whole mm), how
    far the
    joint is used with that leg (over 1: no leg will do), length of the weld; and in words what limits each
    and where to
    start and stop."""

    throat: np.ndarray
    leg: np.ndarray
    used: np.ndarray
    length: np.ndarray
    limits: tuple[str, ...]
    start: str


def start_and_stop(group: Group) -> str:
    """Where to start and stop, in words."""
    if not group.ends:
        return "start and stop in the middle of a flat, never on a corner; run over the start by half an inch"
    return (
        f"{group.ends} open ends: start at the far ends and weld towards each other, fill the craters; "
        "where a corner "
        "can be turned, turn it for two legs"
    )


LIMIT_TABLE = "the least leg of table J2.4"
LIMIT_WELD = "strength of the weld metal"
LIMIT_WALL = "no leg will do: the wall beside the weld gives first; a thicker wall or a longer weld"
LIMIT_SIZE = "no leg will do: the weld would be larger than the wall; a thicker wall or a longer weld"


def size_weld(
    group: Group,
    F,
    M,
    at=(0.0, 0.0, 0.0),
    *,
    FEXX,
    walls,
    kind: str = "use",
    method: str = "ASD",
    system: str = "inch",
    omega: float = welds.OMEGA_WELD,
    phi: float = welds.PHI_WELD,
) -> Answer:
    """Leg for a group under a load. SI, first axis = design; walls as in `welds.strengths`.

    Elastic sum, no increase for direction; the leg counts no further than the thinner wall; each wall is one
    shear plane.
    """
    f = line_force(group, F, M, at)
    thinner = np.min(np.broadcast_arrays(*(np.atleast_1d(np.asarray(w.t, float)) for w in walls)), axis=0)

    def least(throat):
        return welds.weakest(welds.strengths(FEXX, throat, walls, omega=omega, phi=phi), kind, method)

    metal = welds.weakest(welds.strengths(FEXX, 1.0, (), omega=omega, phi=phi), kind, method).allowable
    throat = f / metal
    leg = welds.leg_to_lay_si(np.where(np.isfinite(throat), throat, 0.0), thinner, system)
    credited = welds.fillet(leg, thinner)
    found = least(credited.throat)
    used = f / found.allowable
    by_wall = (
        f / least(welds.throat_equal_legs.si(w=np.maximum(leg, thinner * 10))).allowable
    )  # metal never governs
    limits = tuple(
        LIMIT_WALL
        if w > 1 + 1e-9
        else LIMIT_SIZE
        if u > 1 + 1e-9
        else LIMIT_TABLE
        if welds.leg_for_throat.si(t_e=t) < low * (1 - 1e-9)
        else LIMIT_WELD
        for w, u, t, low in zip(*np.broadcast_arrays(by_wall, used, throat, credited.least), strict=True)
    )
    return Answer(throat, leg, used, group.length * np.ones_like(f), limits, start_and_stop(group))


# --- one group with quantities: published examples and the worked page ----------------------------


@formula(symbol="L_1", source="statics, welds balanced about the centroid of an angle")
def balanced_length(*, L: Length, y_1: Length, y_2: Length) -> Length:
    """Length of the weld at the heel of an angle so that the welds pull along its centroid.

    L    length of both welds
    y_1  from the centroid to the heel
    y_2  from the centroid to the toe
    """
    return L * y_2 / (y_1 + y_2)


@formula(symbol="l", source="statics, side runs take what the run across does not")
def side_run_length(
    *, P: Force, b: Length, r_t: LoadPerLength, r_l: LoadPerLength, n: Count, l_0: Length
) -> Length:
    """Length of each side run of a flat bar that is also welded across its end.

    P    pull on the bar
    b    length of the run across
    r_t  allowable force per length across
    r_l  allowable force per length along
    n    side runs
    l_0  added for start and stop
    """
    return (P - b * r_t) / (n * r_l) + l_0


def line_times_throat(line: pint.Quantity, throat: pint.Quantity) -> pint.Quantity:
    """Area or polar moment of a weld from those of its line and its throat."""
    return line * throat


@dataclass(frozen=True)
class PlaneForce:
    """Forces per length at one place of a flat group: from the force, from the twist (size and its parts
    across and along
    the force), their sum. `twist` is the moment about the centroid, `polar` the polar second moment of the
    line."""

    length: pint.Quantity
    centroid: pint.Quantity
    polar: pint.Quantity
    twist: pint.Quantity
    direct: pint.Quantity
    turned: pint.Quantity
    turned_along: pint.Quantity
    turned_across: pint.Quantity
    total: pint.Quantity


def plane_force(
    shape: str,
    *,
    b: pint.Quantity,
    d: pint.Quantity,
    V: pint.Quantity,
    e: pint.Quantity | None = None,
    T: pint.Quantity | None = None,
    from_line: pint.Quantity | None = None,
    place: str = "worst",
) -> PlaneForce:
    """A flat group under a force along y in its plane.

    shape      one of SHAPES with sides b (x) and d (y)
    e          from the centroid to the line of the force; or T the twist itself; or from_line: from the
               upright line of a C
               outward, away from its legs
    place      "worst", or "corner" and "open end" of a C
    """
    if shape not in SHAPES:
        raise InputError(
            field="plane_force: shape", value=shape, need="one of " + ", ".join(SHAPES), example='"C"'
        )
    B, D, force = (float(magnitude(v, u)) for v, u in ((b, "m"), (d, "m"), (V, "N")))
    group = SHAPES[shape](*((D,) if shape in ("run", "round") else (B, D)))
    c = group.centroid[0]
    if from_line is not None:
        arm = -(float(magnitude(from_line, "m")) + c[0])
    elif e is not None:
        arm = float(magnitude(e, "m"))
    elif T is not None:
        arm = float(magnitude(T, "N*m")) / force
    else:
        raise InputError(field="plane_force", value=None, need="e, T or from_line", example='e=Q(6, "in")')
    field = elastic(group, (0, force, 0), (0, 0, force * arm), c)
    places = {"corner": (0.0, D / 2, 0.0), "open end": (B, D / 2, 0.0)}
    if place == "worst":
        at = worst_place(group, field).place[0]
    elif shape == "C" and place in places:
        at = np.array(places[place])
    else:
        raise InputError(
            field="plane_force: place",
            value=place,
            need='"worst", or "corner" and "open end" of a C',
            example='"worst"',
        )
    even = field.even[0]
    turned = field.at(at[None, None, :])[0, 0] - even

    def line(v):
        return Quantity(float(v), "N/m")

    return PlaneForce(
        Quantity(float(group.length[0]), "m"),
        Quantity(float(c[0]), "m"),
        Quantity(float(group.inertia[0, 2, 2]), "m**3"),
        Quantity(abs(force * arm), "N*m"),
        line(np.linalg.norm(even)),
        line(np.linalg.norm(turned)),
        line(abs(turned[1])),
        line(abs(turned[0])),
        line(np.linalg.norm(even + turned)),
    )


@formula(symbol="R_n", source="aisc-360-22, J2.4(b), runs along and across at their own plain strengths")
def plain_sum(*, R_l: Force, R_t: Force) -> Force:
    """Strength of runs along and across a pull through their centroid, each at its strength along its length.

    R_l  nominal strength of the runs along the pull
    R_t  nominal strength of the runs across it, as if pulled along
    """
    return R_l + R_t


@formula(symbol="R_n", source="aisc-360-22, J2.4(b), runs across with their increase")
def raised_sum(*, R_l: Force, R_t: Force) -> Force:
    """The same runs with the increase of those across, which keeps those along from reaching their most.

    R_l  nominal strength of the runs along the pull
    R_t  nominal strength of the runs across it, as if pulled along
    """
    return 0.85 * R_l + 1.5 * R_t


def mixed_runs(
    R_l: pint.Quantity,
    R_t: pint.Quantity,
    *,
    legs: tuple[pint.Quantity, ...],
    eccentric: bool = False,
    tube_end: bool = False,
) -> pint.Quantity:
    """Nominal strength of runs along and across a pull: the greater sum of J2.4(b). Only for a pull through
    the centroid
    and one leg size, and not at the end of a square or rectangular tube: InputError otherwise."""
    sizes = {round(float(magnitude(leg, "mm")), 6) for leg in legs}
    if eccentric or tube_end or len(sizes) != 1:
        came = (
            "a pull beside the centroid"
            if eccentric
            else "the end of a tube"
            if tube_end
            else "legs of several sizes"
        )
        raise InputError(
            field="mixed_runs",
            value=came,
            example="size_weld(c_shape(0.05, 0.1), ...)",
            need="a pull through the centroid on one leg size: else the elastic sum, without an increase",
        )
    return max(plain_sum(R_l=R_l, R_t=R_t), raised_sum(R_l=R_l, R_t=R_t))
