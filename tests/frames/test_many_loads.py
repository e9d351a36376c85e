"""One frame under many loads, held in many ways: answers by one factor for all beside those by each design's own."""

import numpy as np
import pytest
from frames.frames_for_tests import IN_PLANE, SECTION, placed, portal, portal_points
from frames.test_laws import drawn

from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
    FrameRefused,
    Member,
    NodeLoad,
    Support,
    solve,
)
from shopcalc.mechanics.frames.solver import (
    BALANCED,
    _by_shared_factors,
    _one_frame,
    _stands_under,
    factored,
)
from shopcalc.mechanics.frames.stiffness import system_of

# Loads as parts of the critical ones: far below, near, nearly there, beyond.
PARTS = np.array([0.01, 0.05, 0.2, 0.45, 0.8, 0.93, 1.05])


def near_buckling(seed, parts=PARTS):
    """A random space frame with joints and arms under parts of its critical load; its sizes, one design for each part."""
    while True:
        f, s = drawn(seed)
        critical = solve(f, s, order="first").critical[0]
        if np.isfinite(critical):
            many = s[np.zeros(len(parts), int)]
            by = (parts * critical)[:, None]
            changed = {"load": many.load * by, "load_to": many.load_to * by, "gravity": many.gravity * by}
            return f, many.replaced(**changed, settles=many.settles * by)
        seed += 1


def same(one, other, rel):
    for name in ("displacements", "end_forces", "reactions"):
        a, b = getattr(one, name), getattr(other, name)
        size = np.abs(b).max(axis=tuple(range(1, b.ndim)), keepdims=True)
        assert np.allclose(a / size, b / size, rtol=0, atol=rel), name


@pytest.mark.parametrize("seed", range(8))
def test_one_factor_for_all_gives_what_each_own_factor_gives(seed):
    f, s = near_buckling(seed)
    own, shared = solve(f, s, critical="value"), solve(f, s, critical="guard")
    assert system_of(f, s).alike and own.refused[-1] and shared.refused[-1]
    # Near buckling axial forces may not settle: then none of the two need find them, but it must not find others.
    stand = np.nonzero(~own.refused & ~shared.refused)[0]
    assert len(stand) >= 3 and not own.refused[:3].any() and (shared.refused <= own.refused).all()
    for part in stand:
        same(shared_row(shared, part), shared_row(own, part), 1e-5)
    near = own.critical < shared.strength_factor
    assert shared.critical[near] == pytest.approx(own.critical[near], rel=1e-4) and np.isnan(shared.critical[~near]).all()


def shared_row(answer, part):
    """The answer of one design of a batch."""
    class Row:
        displacements, end_forces, reactions = (getattr(answer, n)[[part]] for n in ("displacements", "end_forces", "reactions"))
    return Row


def test_each_turn_leaves_one_over_the_critical_factor():
    """So a frame far below buckling needs a handful of turns, and one near it is not given up."""
    f, chains = portal("pinned")
    s = f.sizes(points=placed(f, portal_points(chains, 0.7, 1.2)), load=[[20.0, -1e3, -1e3], [20.0, -9e4, -9e4]], **SECTION)
    system = system_of(f, s)
    t = system.tangent(None)
    factors, sound = factored(system, t, None)
    assert sound.all() and len(factors.each) == 1
    motion = system.settled.copy()
    motion[:, system.plan.free] = factors.back_solve(system.load_vector(t)[:, system.plan.free])
    forces = system.bar_forces(motion, t)[0]
    found = _by_shared_factors(system, system.tightest(forces), None, factors, motion)
    critical = solve(f, s, order="first").critical
    assert critical[0] > 100 and 1.6 < critical[1] < 2.5
    assert found[-1].all()
    # Equilibrium at the nodes: what supports do not take is nothing.
    off = system.unbalanced(found[1], found[3], found[0])
    assert np.abs(off).max() <= 10 * BALANCED * np.abs(found[1]).max()


def test_designs_held_differently_are_those_frames_alone():
    f, s = near_buckling(3, np.full(3, 0.1))
    free = np.nonzero(~f.held)[0]
    ways = np.repeat(f.held[None], 3, axis=0)
    ways[1, free[:2]] = True
    ways[2, free[5]] = True
    both = solve(f, s, holds=ways, critical="guard")
    for i in range(3):
        alone = solve(f.held_in(ways[i]), s[[i]], critical="value")
        same(shared_row(both, i), alone, 1e-6)
        assert (both.displacements[i].ravel()[ways[i] & ~np.isin(np.arange(len(f.held)), settling(f))] == 0).all()
    # Only what holds pushes back.
    assert (both.reactions[0].ravel()[free[:2]] == 0).all() or len(f.springs)


def settling(f):
    return [6 * f.node_number[x.node] + ("x", "y", "z", "rx", "ry", "rz").index(x.way) for x in f.settlements]


def test_a_design_that_nothing_holds_is_refused_and_the_others_stand():
    f, chains = portal("fixed")
    s = f.sizes(points=placed(f, portal_points(chains, 0.7, 1.2)), load=[[50.0, -500.0, -500.0]] * 3, **SECTION)
    let_go = [x if x.node not in "ad" else Support(x.node, IN_PLANE + " z") for x in f.supports]
    ways = np.stack([f.held, f.held_by(let_go), f.held])
    a = solve(f, s, holds=ways, critical="guard")
    assert a.refused.tolist() == [False, True, False] and "free to move along x" in a.reason[1]
    alone = solve(f, s[0])
    for i in (0, 2):
        same(shared_row(a, i), alone, 1e-6)
    with pytest.raises(FrameRefused, match="design 1"):
        a.insist()


def test_all_loads_at_once_vouch_for_each_and_never_for_one_that_buckles():
    f, s = near_buckling(5)
    system = system_of(f, s)
    pull = system.tightest(solve(f, s, order="first", critical="value").end_forces)
    critical = solve(f, s, order="first").critical
    known = np.nonzero(np.isfinite(pull).all(axis=1))[0]
    part, which = system.take(known), np.zeros(len(known), int)
    for least in (0.3, 0.9, 1.2, 3.0, 10.0):
        found = _stands_under(part, pull[known], least, which)
        assert found.tolist() == (critical[known] > least).tolist() == _stands_under(part, pull[known], least, None).tolist()


def test_an_arm_that_runs_back_along_its_bar_vouches_for_nothing():
    """It is carried the other way round by a pull: more pull is no longer safe."""
    f = Frame(("a", "b", "c"), (Member("one", "a", "b"), Member("two", "b", "c")), (Support("a", FIXED),), loads=(NodeLoad("c", "x"),))
    points = [[0, 0, 0], [1, 0, 0], [2, 0, 0]]
    for back, groups in ((0.1, 1), (-0.1, 3)):
        arms = np.zeros((1, 2, 3))
        arms[0, 1, 0] = back
        system = system_of(f, f.sizes(points=points, load=[[-1.0], [-2.0], [1.0]], arm_first=arms, **SECTION))
        assert len(_one_frame(system, np.zeros(3, int))) == groups
