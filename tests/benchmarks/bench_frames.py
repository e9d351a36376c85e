"""1,000 variants of a four-leg base of 17 bars: the batched frame beside a loop over PyNiteFEA, in the same
run.

Run: python tests/benchmarks/bench_frames.py   (prints times, ratios and how far the answers lie apart;
                                               asserts nothing)
Goals: 50 times faster linear, 25 times second order with the critical factor of every variant found besides.
"""

from __future__ import annotations

import time

import numpy as np
from Pynite import FEModel3D
from threadpoolctl import threadpool_limits

from shopcalc.mechanics.frames import PINNED, Frame, LineLoad, Member, NodeLoad, Support, solve
from shopcalc.mechanics.frames.vibration import frequencies

VARIANTS, LOOPED = 1000, 40
CORNERS = ("left.front", "right.front", "right.back", "left.back")


def frame() -> Frame:
    nodes = [f"{level}.{c}" for level in ("foot", "tie", "head") for c in CORNERS] + ["tie.left", "tie.right"]
    bars = [Member(f"leg.low.{c}", f"foot.{c}", f"tie.{c}") for c in CORNERS]
    bars += [Member(f"leg.high.{c}", f"tie.{c}", f"head.{c}") for c in CORNERS]
    bars += [
        Member(f"rail.{a}", f"head.{a}", f"head.{b}")
        for a, b in zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True)
    ]
    for side in ("left", "right"):
        bars += [Member(f"tie.{side}.{end}", f"tie.{side}.{end}", f"tie.{side}") for end in ("front", "back")]
    bars.append(Member("stretcher", "tie.left", "tie.right"))
    loads = [LineLoad(f"rail.{c}", "z") for c in CORNERS]
    loads += [NodeLoad(f"head.{c}", "x") for c in CORNERS[:2]] + [NodeLoad(f"head.{c}", "z") for c in CORNERS]
    return Frame(
        nodes,
        bars,
        [Support(f"foot.{c}", PINNED) for c in CORNERS],
        loads=loads,
        masses=[f"head.{c}" for c in CORNERS],
    )


def batch(f: Frame, n: int):
    draw = np.random.default_rng(7)
    length, width, height, low = draw.uniform([1.2, 0.6, 0.68, 0.1], [2.4, 1.1, 0.78, 0.25], (n, 4)).T
    side, wall = draw.uniform([0.030, 0.0015], [0.060, 0.004], (n, 2)).T
    x = {"left": -length / 2, "right": length / 2}
    y = {"front": -width / 2, "back": width / 2}
    points = np.zeros((n, len(f.nodes), 3))
    for i, name in enumerate(f.nodes):
        level, *place = name.split(".")
        points[:, i, 0] = x[place[0]]
        points[:, i, 1] = y[place[1]] if len(place) > 1 else 0.0
        points[:, i, 2] = {"foot": 0.0, "tie": low, "head": height}[level]
    I = (side**4 - (side - 2 * wall) ** 4) / 12  # noqa: E741
    A = side**2 - (side - 2 * wall) ** 2
    each = {"A": A, "Iy": I, "Iz": I, "J": wall * (side - wall) ** 3}
    bars = len(f.members)
    weight = draw.uniform(500, 2000, n)
    load = np.concatenate(
        [np.repeat(-weight[:, None] / 6, 4, 1), np.full((n, 2), 110.0), np.repeat(-weight[:, None], 4, 1)], 1
    )
    return f.sizes(
        points=points,
        E=200e9,
        G=77e9,
        load=load,
        node_mass=20.0,
        mass_per_length=np.repeat((7850 * A)[:, None], bars, 1),
        **{k: np.repeat(v[:, None], bars, 1) for k, v in each.items()},
    )


def looped(f: Frame, s, d: int) -> FEModel3D:
    """The same variant for the library, whose second axis is up: (x, y, z) becomes (x, z, -y)."""
    m = FEModel3D()
    m.add_material("steel", s.E[d, 0], s.G[d, 0], 0.3, 0.0)
    m.add_section("tube", s.A[d, 0], s.Iy[d, 0], s.Iz[d, 0], s.J[d, 0])
    for i, name in enumerate(f.nodes):
        x, y, z = s.points[d, i]
        m.add_node(name, x, z, -y)
    for b in f.members:
        m.add_member(b.name, b.first, b.second, "steel", "tube")
    for support in f.supports:
        m.def_support(support.node, True, True, True, False, False, False)
    for i, load in enumerate(f.loads):
        size = s.load[d, i]
        if isinstance(load, LineLoad):
            m.add_member_dist_load(load.member, "FY", size, size)
        else:
            m.add_node_load(load.node, {"x": "FX", "z": "FY"}[load.way], size)
    return m


def moves(m: FEModel3D, f: Frame) -> np.ndarray:
    nodes = [m.nodes[n] for n in f.nodes]
    return np.array([[n.DX["Combo 1"], -n.DZ["Combo 1"], n.DY["Combo 1"]] for n in nodes])


def best(function, turns: int = 5) -> float:
    took = []
    for _ in range(turns):
        start = time.process_time()
        function()
        took.append(time.process_time() - start)
    return min(took)


def main() -> None:
    f = frame()
    s = batch(f, VARIANTS)
    some = np.linspace(0, VARIANTS - 1, LOOPED).astype(int)
    first, second = solve(f, s, order="first", critical="guard"), solve(f, s)
    print(
        f"{len(f.members)} bars, {first.system.plan.size} unknowns, {VARIANTS} variants; "
        f"critical factor {second.critical.min():.3g} to {second.critical.max():.3g}"
    )
    library = {
        "linear": lambda m: m.analyze_linear(check_stability=False, sparse=False),
        "second order": lambda m: m.analyze_PDelta(check_stability=False, sparse=False),
    }
    ours = {
        "linear, guarded": ("linear", lambda: solve(f, s, order="first", critical="guard"), first, 50),
        "linear, critical factor": ("linear", lambda: solve(f, s, order="first"), None, None),
        "second order, guarded": ("second order", lambda: solve(f, s, critical="guard"), second, 25),
        "second order, critical factor": ("second order", lambda: solve(f, s), None, None),
    }
    loop, theirs = {}, {}
    for word, run in library.items():
        loop[word] = np.inf
        for _ in range(3):
            models = [looped(f, s, d) for d in some]
            start = time.process_time()
            for m in models:
                run(m)
            loop[word] = min(loop[word], (time.process_time() - start) / LOOPED)
        theirs[word] = np.array([moves(m, f) for m in models])
    for word, (beside, run, answer, goal) in ours.items():
        each = best(run) / VARIANTS
        text = f"{word:32s} {each * 1e6:7.0f} us each; library {loop[beside] * 1e3:5.1f} ms"
        text += f"; ratio {loop[beside] / each:5.1f}"
        if answer is not None:
            apart = (
                np.abs(answer.displacements[some, :, :3] - theirs[beside]).max()
                / np.abs(theirs[beside]).max()
            )
            text += f" (goal {goal}); movements {apart:.1e} apart"
        print(text)
    few = s[:100]
    ring = best(lambda: frequencies(f, few, count=3), 2) / len(few)
    print(f"{'three lowest frequencies':32s} {ring * 1e6:7.0f} us each")
    one = s[0]
    print(f"one design alone: second order {best(lambda: solve(f, one)) * 1e3:.1f} ms")


if __name__ == "__main__":
    with threadpool_limits(1):
        main()
