"""A dozen random plane frames beside anastruct, a library of plane frames without shear deformation.

Its sheet is x-z here. It has no loads between nodes: a bar with point loads is several bars there and one bar
here. Its bars run from left to right. Asked are bars hinged at both ends and springs under nodes. Not asked:
bars hinged at one end (it keeps 4EI/L at the other, where 3EI/L is right) and springs between bar and node (its
carry-over moment is not the one of condensation); test_against_library.py and test_joints_and_arms.py have those.
"""

import numpy as np
import pytest

from shopcalc.mechanics.frames import Frame, LineLoad, Member, NodeLoad, PointLoad, Spring, Support, solve
from shopcalc.mechanics.frames.stiffness import local_axes

pytest.importorskip("anastruct", reason="the library of plane frames is not installed")
from anastruct import SystemElements  # noqa: E402

FRAMES = 12
E, G = 200e9, 77e9
OUT = "y rx rz"
CLOSE = 1e-6
TURNED = 1  # the node that carries a moment


def a_frame(seed: int):
    """A random plane frame and its sizes; None where the hinges drawn let it go."""
    draw = np.random.default_rng(seed)
    count = int(draw.integers(4, 8))
    nodes = [f"n{i}" for i in range(count)]
    points = np.zeros((count, 3))
    points[:, [0, 2]] = draw.integers(-96, 97, (count, 2)) / 64  # it keeps places in single precision
    pairs = [(int(draw.integers(0, i)), i) for i in range(1, count)]
    extra = {tuple(sorted(draw.choice(count, 2, replace=False).tolist())) for _ in range(count)}
    pairs += sorted(extra - set(pairs))
    if seed % 3 == 0:  # an upright and a level bar among them
        points[1] = points[0] + [0, 0, 1.125]
        points[2] = points[pairs[1][0]] + [0.875, 0, 0]
    pairs = [p if points[p[0], 0] <= points[p[1], 0] else p[::-1] for p in pairs]
    stiff = {i: sum(i in p for p in pairs) for i in range(count)}  # ends that are not hinged yet
    members, links = [], []
    for k, pair in enumerate(pairs):
        link = draw.random() < 0.6 and min(stiff[i] for i in pair) > 2  # two bars at least keep every node
        for i in pair if link else ():
            stiff[i] -= 1
        members.append(Member(f"m{k}", *(nodes[i] for i in pair), *(("ry", "ry") if link else ())))
        links += [k] if link else []
    held = {nodes[0]: "x z ry", nodes[1]: str(draw.choice(["x z", "x", "z"])),
            nodes[2]: str(draw.choice(["x z", "z"]))}
    supports = [Support(n, f"{held.get(n, '')} {OUT}".strip()) for n in nodes]
    springs = [Spring(nodes[3], way) for way in ("x", "z", "ry")]
    loads = [NodeLoad(str(draw.choice(nodes)), way) for way in ("x", "z")] + [NodeLoad(nodes[TURNED], "ry")]
    carry = [b.name for k, b in enumerate(members) if k not in links]
    loads += [PointLoad(str(b), way) for b in draw.choice(carry, 3) for way in ("x", "z")]
    loads += [LineLoad(str(b), "z", "global") for b in draw.choice(carry, 2, replace=False)]
    frame = Frame(nodes, members, supports, springs, loads=loads)
    at = np.full(len(loads), np.nan)
    lengths = [float(np.linalg.norm(points[j] - points[i])) for i, j in pairs]
    for i in range(3, 9):
        at[i] = lengths[int(loads[i].member[1:])] * int(draw.integers(1, 16)) / 16 if i % 2 else at[i - 1]
    m = len(members)
    sizes = frame.sizes(points=points, E=E, G=G, A=draw.uniform(3e-4, 9e-4, m), Iz=1e-7, J=1e-7,
                        Iy=draw.uniform(1e-7, 5e-7, m), spring=[4e5, 2e5, 3e4], load=draw.uniform(-1000, 1000, len(loads)), at=at)
    answer = solve(frame, sizes, order="first", critical="guard")
    return None if answer.refused[0] else (frame, sizes, answer)


def library(frame: Frame, sizes):
    """The frame there; for each bar its parts (number of the part, where it begins, its length)."""
    model, wanted = SystemElements(), []
    plane = sizes.points[0][:, [0, 2]]
    for k, bar in enumerate(frame.members):
        first, second = (plane[frame.node_number[n]] for n in (bar.first, bar.second))
        length = float(np.linalg.norm(second - first))
        spread = any(isinstance(load, LineLoad) and load.member == bar.name for load in frame.loads)
        # It holds the ends of a loaded bar by stiff springs, 5e-7 too soft; of short parts that is less.
        stops = set(np.linspace(0, 16, 9 if spread else 2).tolist())
        stops |= {round(16 * float(at) / length) for at, load in zip(sizes.at[0], frame.loads, strict=True)
                  if isinstance(load, PointLoad) and load.member == bar.name}
        stops = sorted(stops)
        for a, b in zip(stops, stops[1:], strict=False):
            ends = [[float(v) for v in first + (second - first) * s / 16] for s in (a, b)]
            wanted.append((bool(bar.free_first), k, a * length / 16, (b - a) * length / 16, ends, {1: 0, 2: 0} if bar.free_first else {}))
    parts = {b.name: [] for b in frame.members}
    # Hinged bars last: it looks for hinged nodes whenever a bar comes.
    for _, k, begins, length, ends, hinge in sorted(wanted, key=lambda w: w[0]):
        made = model.add_element(ends, EA=float(E * sizes.A[0, k]), EI=float(E * sizes.Iy[0, k]), spring=hinge)
        parts[frame.members[k].name].append((made, begins, length))
    number = {n: model.find_node_id([float(v) for v in plane[i]]) for i, n in enumerate(frame.nodes)}
    for s in frame.supports:
        ways = set(s.holds.split()) - set(OUT.split())
        if ways == {"x", "z", "ry"}:
            model.add_support_fixed(number[s.node])
        elif ways == {"x", "z"}:
            model.add_support_hinged(number[s.node])
        elif ways:
            model.add_support_roll(number[s.node], direction="x" if ways == {"z"} else "y")
    for i, s in enumerate(frame.springs):
        model.add_support_spring(number[s.node], translation=1 + ("x", "z", "ry").index(s.way), k=float(sizes.spring[0, i]),
                                 roll=True)
    forces = {}
    for i, load in enumerate(frame.loads):
        size = float(sizes.load[0, i])
        if isinstance(load, LineLoad):
            for part, _, _ in parts[load.member]:
                model.q_load(size, part, direction="y")
            continue
        if isinstance(load, PointLoad):
            part = next(p for p, a, _ in parts[load.member] if abs(a - sizes.at[0, i]) < 1e-9)
            node = model.element_map[part].node_id1
        else:
            node = number[load.node]
        forces.setdefault(node, np.zeros(3))[("x", "z", "ry").index(load.way)] += size
    for node, (x, z, turn) in forces.items():
        model.point_load(node, Fx=float(x), Fy=float(z))
        if turn:
            model.moment_load(node, Tz=-float(turn))  # counterclockwise there; about y here, clockwise in the same view
    model.solve()
    return model, number, parts


@pytest.fixture(scope="module")
def frames():
    found, seed = [], 0
    while len(found) < FRAMES:
        made = a_frame(seed)
        seed += 1
        if made is not None:
            found.append((*made, *library(made[0], made[1])))
    assert seed < 3 * FRAMES
    return found


def close(mine, theirs, scale):
    return np.abs(np.asarray(mine) - np.asarray(theirs)).max() <= CLOSE * scale


def test_the_dozen_has_hinges_springs_and_every_load(frames):
    assert len(frames) == FRAMES
    assert sum(bool(b.free_first) for f, *_ in frames for b in f.members) >= FRAMES
    assert sum(len(f.springs) for f, *_ in frames) == 3 * FRAMES
    for f, *_ in frames:
        assert [sum(isinstance(v, kind) for v in f.loads) for kind in (NodeLoad, PointLoad, LineLoad)] == [3, 6, 2]


def test_movements(frames):
    for f, _, a, model, number, _ in frames:
        for n in f.nodes:
            there = model.get_node_displacements(number[n])
            scale = np.abs(a.displacements[0]).max()
            assert close([a.displacement(n, w)[0] for w in ("x", "z", "ry")], [there["ux"], there["uy"], there["phi_z"]], scale), n


def test_reactions(frames):
    for f, _, a, model, number, _ in frames:
        scale = np.abs(a.reactions).max()
        for n in f.nodes:
            if number[n] not in model.reaction_forces:
                continue
            there = model.reaction_forces[number[n]]  # its z runs down
            loads = np.array([there.Fx, -there.Fy, -there.Tz])
            assert close([a.reaction(n, w)[0] for w in ("x", "z", "ry")], loads, scale), n


def test_moments_shear_and_axial_forces_along_every_bar(frames):
    for f, s, a, model, _, parts in frames:
        along = np.array([s.points[0, f.node_number[b.second]] - s.points[0, f.node_number[b.first]] for b in f.members])
        turned = local_axes(f, along[None], s.roll)[0, :, 1] @ [0.0, 1.0, 0.0]  # +1 where y of the bar looks away from the viewer
        scale = np.abs(a.end_forces).max()
        for k, b in enumerate(f.members):
            for part, begins, length in parts[b.name]:
                there = model.get_element_results(part, verbose=True)
                share = np.linspace(0, 1, len(there["M"]))
                inside = slice(1, -1)
                mine = a.member(b.name).at(begins + length * share[inside])
                assert close(mine.My[0], -turned[k] * there["M"][inside], scale), (b.name, "moment")
                assert close(mine.N[0], there["N"][inside], scale), (b.name, "axial")
                assert close(np.abs(mine.Vz[0]), np.abs(there["Q"][inside]), scale), (b.name, "shear")
