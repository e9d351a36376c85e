"""Laws that every frame obeys, on random ones: balance, reciprocity, superposition, rigid motion, turning,
mirroring, scale.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
    Joint,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    Spring,
    Support,
    solve,
)
from shopcalc.mechanics.frames.model import WAYS

seeds = st.integers(0, 10**6)
few = settings(max_examples=15)


def random_frame(seed, springs=True, loads=True):
    """Space frame with joints, arms, releases and every kind of load; sizes for one design, far from
    buckling.
    """
    draw = np.random.default_rng(seed)
    count = int(draw.integers(4, 7))
    nodes = [f"n{i}" for i in range(count)]
    points = draw.uniform(-1, 1, (count, 3))
    pairs = [(int(draw.integers(0, i)), i) for i in range(1, count)]
    tree = len(pairs)
    pairs += sorted(
        {tuple(sorted(draw.choice(count, 2, replace=False).tolist())) for _ in range(3)} - set(pairs)
    )
    if min(np.linalg.norm(points[j] - points[i]) for i, j in pairs) < 0.4:
        return None
    # Only bars that close a loop are released, so that the frame stands.
    members = [
        Member(f"m{k}", nodes[i], nodes[j], free_second="y rz" if k >= tree else "")
        for k, (i, j) in enumerate(pairs)
    ]
    joints = [Joint("m0", "second", way) for way in ("ry", "rz")] + [Joint(members[-1].name, "first", "rx")]
    made = [NodeLoad(n, w) for n in nodes for w in WAYS]
    made += [PointLoad(m.name, w, axes) for m in members for w, axes in (("z", "global"), ("ry", "local"))]
    made += [
        LineLoad(m.name, w, axes)
        for m in members
        for w, axes in (("y", "global"), ("z", "local"), ("x", "local"))
    ]
    m, k = len(members), len(made)
    length = np.array([np.linalg.norm(points[j] - points[i]) for i, j in pairs])
    at, to, load_to = np.full(k, np.nan), np.full(k, np.nan), np.full(k, np.nan)
    number = {b.name: i for i, b in enumerate(members)}
    arm = draw.uniform(0.01, 0.08, (2, m))
    clear = length - arm.sum(0)
    for i, load in enumerate(made):
        if not isinstance(load, NodeLoad):
            a, b = np.sort(draw.uniform(0.05, 0.95, 2)) * clear[number[load.member]]
            at[i] = a
            if isinstance(load, LineLoad):
                to[i], load_to[i] = b + 1e-3, draw.uniform(-1, 1)
    ground = [Spring(nodes[-1], w) for w in WAYS] if springs else []
    supports = [Support(nodes[0], FIXED)]
    f = Frame(nodes, members, supports, ground, joints, (), (), made)
    s = f.sizes(
        points=points,
        E=200e9,
        G=77e9,
        A=draw.uniform(3e-4, 9e-4, m),
        Iy=draw.uniform(1e-7, 5e-7, m),
        Iz=draw.uniform(1e-7, 5e-7, m),
        J=draw.uniform(1e-7, 5e-7, m),
        Avy=draw.uniform(1e-4, 3e-4, m),
        Avz=draw.uniform(1e-4, 3e-4, m),
        roll=draw.uniform(-3, 3, m),
        arm_first=arm[0],
        arm_second=arm[1],
        joint_stiffness=draw.uniform(1e3, 1e5, 3),
        spring=draw.uniform(1e3, 1e5, len(ground)) if springs else None,
        load=draw.uniform(-50, 50, k) if loads else 0.0,
        load_to=50 * load_to if loads else np.where(np.isnan(load_to), np.nan, 0.0),
        at=at,
        to=to,
    )
    return f, s


def frames(**more):
    def wrap(test):
        @few
        @given(seeds)
        def run(seed):
            test(*drawn(seed, **more))

        run.__name__, run.__doc__ = test.__name__, test.__doc__
        return run

    return wrap


def drawn(seed, **more):
    made = None
    while made is None:
        made, seed = random_frame(seed, **more), seed + 1_000_003
    return made


def resultant(points, forces):
    """Force and moment about the origin of (nodes, 6) forces at points (nodes, 3)."""
    return np.concatenate([forces[:, :3].sum(0), (np.cross(points, forces[:, :3]) + forces[:, 3:]).sum(0)])


def applied(f, s, a):
    """Force and moment about the origin of all loads, from their own definitions (by quadrature)."""
    total = np.zeros(6)
    for i, load in enumerate(f.loads):
        if isinstance(load, NodeLoad):
            row = np.zeros((1, 6))
            row[0, WAYS.index(load.way)] = s.load[0, i]
            total += resultant(s.points[0, [f.node_number[load.node]]], row)
            continue
        m = f.member_number[load.member]
        R = a.system.R[0, m]
        unit = np.eye(3)[WAYS.index(load.way) % 3]
        way = unit if load.axes == "global" else unit @ R
        begin = s.points[0, f.ends[m, 0]] + s.arm_first[0, m]
        if isinstance(load, PointLoad):
            row = (
                np.concatenate([way, 0 * way] if not load.way.startswith("r") else [0 * way, way])
                * s.load[0, i]
            )
            total += resultant((begin + s.at[0, i] * R[0])[None], row[None])
            continue
        xi, weight = np.polynomial.legendre.leggauss(3)
        p, q = s.at[0, i], s.to[0, i]
        for x, w in zip(p + (q - p) * (xi + 1) / 2, weight * (q - p) / 2, strict=True):
            size = s.load[0, i] + (s.load_to[0, i] - s.load[0, i]) * (x - p) / (q - p)
            total += resultant((begin + x * R[0])[None], np.concatenate([way * size * w, 0 * way])[None])
    return total


@frames()
def test_reactions_balance_the_loads(f, s):
    a = solve(f, s, order="first").insist()
    loads, held = applied(f, s, a), resultant(s.points[0], a.reactions[0])
    assert np.allclose(loads + held, 0, atol=1e-8 * np.abs(a.reactions).max() + 1e-9)


@frames()
def test_every_bar_balances_and_every_slope_is_the_next_curve(f, s):
    a = solve(f, s, order="first").insist()
    scale = np.abs(a.end_forces).max()
    for m in f.members:
        b = a.member(m.name)
        L = float(b.L[0])
        end, force = b.at(L), a.end_forces[0, f.member_number[m.name]]
        assert np.allclose(
            [end.N[0, 0], -end.Vy[0, 0], -end.Vz[0, 0], end.T[0, 0], -end.My[0, 0], end.Mz[0, 0]],
            force[6:],
            atol=1e-9 * scale,
        )
        x, h = L * np.array([0.111, 0.333, 0.777]), 1e-5 * L
        before, here, after = (b.at(x + d) for d in (-h, 0.0, h))
        for curve, slope in (("My", "Vz"), ("Mz", "Vy"), ("v", "slope_y"), ("w", "slope_z")):
            rate = (getattr(after, curve) - getattr(before, curve)) / (2 * h)
            want = getattr(here, slope) + (
                (b.end - b.start["v"])[:, [("v", "w").index(curve)]] / L if curve in "vw" else 0.0
            )
            assert np.allclose(rate, want, atol=1e-5 * (np.abs(want).max() + scale * 1e-3))


@frames(loads=False)
def test_reciprocity(f, s):
    """The movement at one place one way by a unit at another is the movement there by a unit here."""
    ways = [i for i, load in enumerate(f.loads) if isinstance(load, NodeLoad) and load.node != f.nodes[0]]
    pick = ways[:: max(1, len(ways) // 6)]
    load = np.zeros((len(pick), len(f.loads)))
    load[np.arange(len(pick)), pick] = 1.0
    many = s[np.zeros(len(pick), int)].replaced(load=load)
    a = solve(f, many, order="first").insist()
    moves = np.stack([a.displacement(f.loads[i].node, f.loads[i].way) for i in pick], axis=1)
    assert np.allclose(moves, moves.T, rtol=1e-8, atol=1e-9 * np.abs(moves).max())
    assert (np.diag(moves) > 0).all()


@frames()
def test_superposition(f, s):
    first, second = (
        np.where(np.arange(len(f.loads)) % 2 == 0, 1.0, 0.0),
        np.where(np.arange(len(f.loads)) % 2 == 0, 0.0, 1.0),
    )
    mix = np.stack([first * s.load[0], second * s.load[0], s.load[0], 2.5 * s.load[0]])
    to = np.stack([first * s.load_to[0], second * s.load_to[0], s.load_to[0], 2.5 * s.load_to[0]])
    a = solve(f, s[np.zeros(4, int)].replaced(load=mix, load_to=to), order="first").insist()
    for array in (a.displacements, a.end_forces, a.reactions):
        assert np.allclose(array[0] + array[1], array[2], atol=1e-8 * np.abs(array[2]).max())
        assert np.allclose(2.5 * array[2], array[3], atol=1e-8 * np.abs(array[3]).max())


@frames(springs=False, loads=False)
def test_moving_its_only_support_strains_nothing(f, s):
    settled = replace(f, settlements=tuple(Settlement(f.nodes[0], w) for w in WAYS))
    shift = np.array([0.01, -0.02, 0.03, 1e-3, -2e-3, 3e-3])
    sizes = settled.sizes(
        **{
            name: getattr(s, name)
            for name in (
                "points",
                "E",
                "G",
                "A",
                "Iy",
                "Iz",
                "J",
                "Avy",
                "Avz",
                "roll",
                "arm_first",
                "arm_second",
                "joint_stiffness",
                "at",
                "to",
            )
        },
        settles=shift,
    )
    a = solve(settled, sizes, order="first").insist()
    rigid = shift[:3] + np.cross(shift[3:], s.points[0] - s.points[0, 0])
    assert np.allclose(a.displacements[0, :, :3], rigid, atol=1e-9) and np.allclose(
        a.displacements[0, :, 3:], shift[3:], atol=1e-9
    )
    stiff = (s.E * s.Iy).max() * np.abs(shift[3:]).max()
    assert np.abs(a.end_forces).max() < 1e-7 * stiff and np.abs(a.reactions).max() < 1e-7 * stiff


def turned(f, s, Q):
    """The same frame turned by Q: places, arms, loads; axes of bars set by roll so that they turn along."""
    from shopcalc.mechanics.frames.stiffness import local_axes, system_of

    points, arms = s.points @ Q.T, (s.arm_first @ Q.T, s.arm_second @ Q.T)
    ends = f.ends
    along = points[:, ends[:, 1]] - points[:, ends[:, 0]]
    plain = local_axes(f, along, np.zeros_like(s.roll))[0]
    want = system_of(f, s).R[0] @ Q.T
    roll = np.arctan2((want[:, 1] * plain[:, 2]).sum(1), (want[:, 1] * plain[:, 1]).sum(1))
    return points, arms, roll


@few
@given(seeds, seeds)
def test_turning_the_whole_frame_turns_its_answer(seed, other):
    f, s = drawn(seed, springs=False)
    draw = np.random.default_rng(other)
    Q, _ = np.linalg.qr(draw.normal(size=(3, 3)))
    Q = Q * np.sign(np.linalg.det(Q))
    # Loads along global axes only at nodes here, so that they can be turned; bars keep their local ones.
    kept = tuple(load for load in f.loads if isinstance(load, NodeLoad) or load.axes == "local")
    rows = [i for i, load in enumerate(f.loads) if load in kept]
    g = replace(f, loads=kept)
    load = s.load[0, rows].copy()
    own = {name: getattr(s, name)[:, rows] for name in ("load_to", "at", "to")}
    turned_load = load.copy()
    nodal = len(f.nodes) * 6
    turned_load[:nodal] = (load[:nodal].reshape(-1, 2, 3) @ Q.T).ravel()
    points, arms, roll = turned(f, s, Q)
    same = {
        name: getattr(s, name) for name in ("E", "G", "A", "Iy", "Iz", "J", "Avy", "Avz", "joint_stiffness")
    }
    a = solve(
        g,
        g.sizes(
            points=s.points,
            roll=s.roll,
            arm_first=s.arm_first,
            arm_second=s.arm_second,
            load=load,
            **own,
            **same,
        ),
    ).insist()
    b = solve(
        g,
        g.sizes(
            points=points, roll=roll, arm_first=arms[0], arm_second=arms[1], load=turned_load, **own, **same
        ),
    ).insist()
    assert b.critical == pytest.approx(a.critical, rel=1e-6)
    assert np.allclose(b.end_forces, a.end_forces, atol=1e-7 * np.abs(a.end_forces).max())
    moved = a.displacements[0].reshape(-1, 2, 3) @ Q.T
    assert np.allclose(b.displacements[0].reshape(-1, 2, 3), moved, atol=1e-7 * np.abs(moved).max())


@few
@given(seeds)
def test_mirroring_mirrors_the_answer(seed):
    """Seen in a mirror across x: forces along x and turns about y and z change sign."""
    f, s = drawn(seed)
    kept = tuple(load for load in f.loads if isinstance(load, NodeLoad))
    g = replace(f, loads=kept, joints=())
    flip = np.array([-1.0, 1, 1, 1, -1, -1])
    load = s.load[0, : len(kept)]
    same = {name: getattr(s, name) for name in ("E", "G", "A", "J", "spring")}
    # Equal bending both ways, so that no bar has a hand.
    same |= {"Iy": s.Iy, "Iz": s.Iy, "Avy": s.Avy, "Avz": s.Avy}
    g = replace(g, members=tuple(replace(m, free_second="") for m in g.members))
    M = np.array([-1.0, 1, 1])
    a = solve(
        g, g.sizes(points=s.points, arm_first=s.arm_first, arm_second=s.arm_second, load=load, **same)
    ).insist()
    b = solve(
        g,
        g.sizes(
            points=s.points * M,
            arm_first=s.arm_first * M,
            arm_second=s.arm_second * M,
            load=load * np.tile(flip, len(g.nodes)),
            **same,
        ),
    ).insist()
    assert b.critical == pytest.approx(a.critical, rel=1e-6)
    assert np.allclose(b.displacements, a.displacements * flip, atol=1e-8 * np.abs(a.displacements).max())
    assert np.allclose(b.reactions, a.reactions * flip, atol=1e-8 * np.abs(a.reactions).max())
    assert np.allclose(b.axial, a.axial, atol=1e-8 * np.abs(a.end_forces).max())


@few
@given(seeds, st.floats(0.01, 100), st.floats(0.01, 100))
def test_other_units_give_the_same_frame(seed, length, force):
    """Worked in any other unit of length and of force, inches and pounds among them, the answer is the
    same.
    """
    f, s = drawn(seed)
    rotational = np.array([w.startswith("r") for w in (load.way for load in f.loads)])
    line = np.array([isinstance(load, LineLoad) for load in f.loads])
    load_unit = force * np.where(rotational, length, np.where(line, 1 / length, 1.0))
    turn = np.array([w.startswith("r") for w in WAYS])
    other = {
        "points": s.points * length,
        "arm_first": s.arm_first * length,
        "arm_second": s.arm_second * length,
        "roll": s.roll,
        "E": s.E * force / length**2,
        "G": s.G * force / length**2,
        "joint_stiffness": s.joint_stiffness * force * length,
        "spring": s.spring * np.where(turn, force * length, force / length),
        "load": s.load * load_unit,
        "load_to": s.load_to * load_unit,
        "at": s.at * length,
        "to": s.to * length,
    }
    other |= {k: getattr(s, k) * length**2 for k in ("A", "Avy", "Avz")} | {
        k: getattr(s, k) * length**4 for k in ("Iy", "Iz", "J")
    }
    a, b = solve(f, s).insist(), solve(f, f.sizes(**other)).insist()
    assert b.critical == pytest.approx(a.critical, rel=1e-6)
    assert np.allclose(
        b.displacements,
        a.displacements * np.where(turn, 1.0, length),
        rtol=1e-6,
        atol=1e-9 * np.abs(b.displacements).max(),
    )
    unit = np.tile(np.where(turn, force * length, force), 2)
    assert np.allclose(b.end_forces / unit, a.end_forces, atol=1e-8 * np.abs(a.end_forces).max())


@few
@given(seeds)
def test_the_other_end_first(seed):
    """A bar drawn from its other end is the same bar: diagrams run backwards."""
    f, s = drawn(seed, springs=False)
    kept = tuple(load for load in f.loads if isinstance(load, NodeLoad))
    g = replace(f, loads=kept, joints=(), members=tuple(replace(m, free_second="") for m in f.members))
    back = replace(g, members=tuple(replace(m, first=m.second, second=m.first) for m in g.members))
    same = {name: getattr(s, name) for name in ("E", "G", "A", "Iy", "Iz", "J", "Avy", "Avz")}
    load = s.load[:, : len(kept)]
    a = solve(g, g.sizes(points=s.points, load=load, **same)).insist()
    b = solve(back, back.sizes(points=s.points, load=load, **same)).insist()
    assert np.allclose(a.displacements, b.displacements, atol=1e-8 * np.abs(a.displacements).max())
    for m in g.members:
        one, two = a.member(m.name), b.member(m.name)
        L = float(one.L[0])
        x = L * np.array([0.0, 0.3, 0.8])
        d, e = one.at(x), two.at(L - x)
        scale = np.abs(a.end_forces).max()
        assert (
            np.allclose(d.N, e.N, atol=1e-8 * scale)
            and np.allclose(d.My, e.My, atol=1e-8 * scale)
            and np.allclose(np.abs(d.Mz), np.abs(e.Mz), atol=1e-8 * scale)
        )
        assert np.allclose(one.shape(x), two.shape(L - x), atol=1e-8 * np.abs(a.displacements).max())
