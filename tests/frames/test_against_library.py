"""Sixty random frames beside PyNiteFEA (a general-purpose library without shear deformation): movements,
forces, diagrams.

Random places, orientations, roll, supports, springs, settlements, releases; every kind of load in global and
local axes.
"""

import numpy as np
import pytest
from Pynite import FEModel3D

from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
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
from shopcalc.mechanics.frames.stiffness import local_axes

FRAMES = 60
E, G = 200e9, 77e9
MOVES = ("DX", "DY", "DZ", "RX", "RY", "RZ")


def a_frame(seed: int):
    """A random frame that stands, and its sizes; None where the releases drawn let it go."""
    draw = np.random.default_rng(seed)
    count = int(draw.integers(4, 9))
    nodes = [f"n{i}" for i in range(count)]
    points = draw.uniform(-1.5, 1.5, (count, 3))
    pairs = [(int(draw.integers(0, i)), i) for i in range(1, count)]
    extra = {tuple(sorted(draw.choice(count, 2, replace=False).tolist())) for _ in range(count)}
    pairs += sorted(extra - set(pairs))
    if (
        seed % 3 == 0
    ):  # an upright and a level bar among them, where the library picks its axes by other rules
        points[1] = points[0] + [0, 0, 1.1]
        points[2] = points[pairs[1][0]] + [0.9, 0.4, 0]
    members = []
    for k, (i, j) in enumerate(pairs):
        free = ["", ""]
        if draw.random() < 0.4:
            free[int(draw.integers(2))] = " ".join(
                draw.choice(["ry", "rz", "rx", "y", "z"], int(draw.integers(1, 3)), replace=False)
            )
        members.append(Member(f"m{k}", nodes[i], nodes[j], *free))
    supports = [Support(nodes[0], FIXED)]
    supports += [
        Support(n, str(draw.choice(["x y z", "z", "y z", "x y z ry"])))
        for n in draw.choice(nodes[1:], 2, replace=False)
    ]
    settlements = [Settlement(supports[1].node, "z")]
    loose = [n for n in nodes[1:] if n not in [s.node for s in supports]]
    springs = [Spring(loose[0], "x"), Spring(loose[0], "ry")]
    loads = [NodeLoad(str(draw.choice(nodes)), str(draw.choice(WAYS))) for _ in range(4)]
    for _ in range(8):
        member, axes = members[int(draw.integers(len(members)))].name, str(draw.choice(["global", "local"]))
        loads.append(PointLoad(member, str(draw.choice(WAYS)), axes))
        loads.append(LineLoad(member, str(draw.choice(["x", "y", "z"])), axes))
    frame = Frame(nodes, members, supports, springs, (), settlements, (), loads)
    m = len(members)
    length = {
        b.name: float(np.linalg.norm(points[j] - points[i])) for b, (i, j) in zip(members, pairs, strict=True)
    }
    at, to, load_to = (np.full(len(loads), np.nan) for _ in range(3))
    for i, load in enumerate(loads):
        if isinstance(load, NodeLoad):
            continue
        a, b = np.sort(draw.uniform(0, length[load.member], 2))
        at[i] = a
        if isinstance(load, LineLoad):
            load_to[i] = draw.uniform(-1, 1)
            if draw.random() < 0.3:
                at[i] = np.nan
            else:
                to[i] = b
    along = np.array([points[j] - points[i] for i, j in pairs])[None]
    model = library(frame, points, pairs)
    mine = local_axes(frame, along, np.zeros((1, m)))[0]
    theirs = np.array([model.members[b.name].T()[:3, :3] for b in members])
    roll = np.arctan2((theirs[:, 1] * mine[:, 2]).sum(1), (theirs[:, 1] * mine[:, 1]).sum(1))
    assert np.allclose(local_axes(frame, along, roll[None])[0], theirs)
    sizes = frame.sizes(
        points=points,
        roll=roll,
        E=E,
        G=G,
        A=draw.uniform(3e-4, 9e-4, m),
        Iy=draw.uniform(1e-7, 5e-7, m),
        Iz=draw.uniform(1e-7, 5e-7, m),
        J=draw.uniform(1e-7, 5e-7, m),
        spring=[4e4, 3e3],
        settles=2e-6,
        load=draw.uniform(-1, 1, len(loads)),
        load_to=load_to,
        at=at,
        to=to,
    )
    answer = solve(frame, sizes, order="first", critical="guard")
    return None if answer.refused[0] else (frame, sizes, answer, pairs)


def library(frame: Frame, points, pairs, sizes=None) -> FEModel3D:
    model = FEModel3D()
    model.add_material("steel", E, G, 0.3, 0.0)
    for name, place in zip(frame.nodes, points, strict=True):
        model.add_node(name, *place)
    for k, b in enumerate(frame.members):
        size = (
            (1, 1, 1, 1) if sizes is None else (sizes.A[0, k], sizes.Iy[0, k], sizes.Iz[0, k], sizes.J[0, k])
        )
        model.add_section(b.name, *size)
        model.add_member(b.name, b.first, b.second, "steel", b.name)
        words = [f"{way}i" for way in b.free_first.split()] + [f"{way}j" for way in b.free_second.split()]
        model.def_releases(b.name, **{("R" + w[1:] if w.startswith("r") else "D" + w): True for w in words})
    return model


def loaded(model: FEModel3D, frame: Frame, sizes) -> FEModel3D:
    for s in frame.supports:
        model.def_support(s.node, *[way in s.holds.split() for way in WAYS])
    for i, s in enumerate(frame.springs):
        model.def_support_spring(s.node, MOVES[WAYS.index(s.way)], sizes.spring[0, i])
    for i, s in enumerate(frame.settlements):
        model.def_node_disp(s.node, MOVES[WAYS.index(s.way)], sizes.settles[0, i])
    for i, load in enumerate(frame.loads):
        size, end, at, to = (getattr(sizes, k)[0, i] for k in ("load", "load_to", "at", "to"))
        axis = load.way[-1].upper() if isinstance(load, NodeLoad) or load.axes == "global" else load.way[-1]
        word = ("M" if load.way.startswith("r") else "F") + axis
        if isinstance(load, NodeLoad):
            model.add_node_load(load.node, word, size)
        elif isinstance(load, PointLoad):
            model.add_member_pt_load(load.member, word, size, at)
        else:
            model.add_member_dist_load(load.member, word, size, end, at, to)
    model.analyze_linear(check_stability=False, sparse=False)
    return model


def drawn(count: int):
    found, seed = [], 0
    while len(found) < count:
        made = a_frame(seed)
        seed += 1
        if made is not None:
            found.append(made)
    assert seed < 3 * count
    return found


@pytest.fixture(scope="module")
def frames():
    made = drawn(FRAMES)
    return [(f, s, a, loaded(library(f, s.points[0], pairs, s), f, s)) for f, s, a, pairs in made]


def close(mine, theirs, scale=None):
    scale = np.abs(theirs).max() if scale is None else scale
    return np.abs(np.asarray(mine) - np.asarray(theirs)).max() <= 1e-6 * scale


def test_sixty_frames_with_every_kind_of_load_and_release(frames):
    kinds = {
        (type(load).__name__, load.way, getattr(load, "axes", "")) for f, *_ in frames for load in f.loads
    }
    assert len(frames) == FRAMES and len(kinds) == 6 + 12 + 6
    assert sum(bool(b.free_first or b.free_second) for f, *_ in frames for b in f.members) > 100


def test_movements(frames):
    for f, _, a, model in frames:
        theirs = np.array([[getattr(model.nodes[n], d)["Combo 1"] for d in MOVES] for n in f.nodes])
        assert close(a.displacements[0], theirs)


def test_reactions(frames):
    words = ("RxnFX", "RxnFY", "RxnFZ", "RxnMX", "RxnMY", "RxnMZ")
    for f, _, a, model in frames:
        for i, n in enumerate(f.nodes):
            theirs = np.array([getattr(model.nodes[n], w)["Combo 1"] for w in words])
            assert close(a.reactions[0, i], theirs, np.abs(a.reactions).max())


def test_end_forces(frames):
    for f, _, a, model in frames:
        theirs = np.array([np.ravel(model.members[b.name].f()) for b in f.members])
        assert close(a.end_forces[0], theirs)


# How the library counts: tension negative, torque on the first end, moments hogging.
DIAGRAMS = (
    ("N", -1, "axial", ()),
    ("T", -1, "torque", ()),
    ("Vy", 1, "shear", ("Fy",)),
    ("Vz", 1, "shear", ("Fz",)),
    ("Mz", -1, "moment", ("Mz",)),
    ("My", -1, "moment", ("My",)),
)


def test_diagrams(frames):
    """Forces inside every bar, at places that are no ends of loads."""
    for f, _, a, model in frames:
        for b in f.members:
            bar = a.member(b.name)
            at = float(bar.L[0]) * np.array([0.013, 0.397, 0.723, 0.987])
            mine = bar.at(at)
            for what, sign, call, word in DIAGRAMS:
                theirs = [sign * getattr(model.members[b.name], call)(*word, x) for x in at]
                assert close(getattr(mine, what)[0], theirs, np.abs(a.end_forces).max()), (b.name, what)


def test_where_the_axis_goes(frames):
    """Of bars without releases: behind a release the library's curve does not start with the turn of its own
    end.
    """
    for f, _, a, model in frames:
        for b in f.members:
            if b.free_first or b.free_second:
                continue
            bar = a.member(b.name)
            at = float(bar.L[0]) * np.array([0.0, 0.211, 0.5, 0.723, 1.0])
            mine = bar.at(at)
            for what, word in (("u", "dx"), ("v", "dy"), ("w", "dz")):
                theirs = [model.members[b.name].deflection(word, x) for x in at]
                assert close(getattr(mine, what)[0], theirs, np.abs(a.displacements).max()), (b.name, what)


def test_largest_moments(frames):
    """No moment that the library finds at closely spaced places is larger than the largest here, and that one
    is met.
    """
    for f, _, a, model in frames[:8]:
        for b in f.members:
            bar, theirs = a.member(b.name), model.members[b.name]
            for what, word in (("My", "My"), ("Mz", "Mz")):
                most, place = (float(v[0]) for v in bar.largest(what, "most"))
                grid = np.append(
                    np.linspace(0, float(bar.L[0]), 21), np.clip([place - 1e-9, place + 1e-9], 0, bar.L[0])
                )
                found = max(-theirs.moment(word, x) for x in grid)
                assert found <= most + 1e-6 * np.abs(a.end_forces).max()
                assert found >= most - 1e-6 * np.abs(a.end_forces).max()
