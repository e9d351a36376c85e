"""Joint springs, releases and rigid arms beside condensation by hand; free play; hinged nodes."""

import numpy as np
import pytest
from frames.frames_for_tests import IN_PLANE, IY, SECTION, A, E, bar, placed, portal, portal_points

from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
    Joint,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Support,
    solve,
)
from shopcalc.mechanics.frames.play import play_bounds, play_taken_up

L, W = 1.3, 900.0
BOTH = (Joint("bar", "first", "ry"), Joint("bar", "second", "ry"))


def level(length=L):
    return [[0, 0, 0], [length, 0, 0]]


# --- springs


@pytest.mark.parametrize("ratio", [0.0, 0.3, 2.0, 40.0, np.inf])
def test_even_load_between_two_springs(ratio):
    # Slope-deflection by hand: M_end = w L^2/12 / (1 + 2 EI/(k L)).
    f = bar(FIXED, FIXED, loads=(LineLoad("bar", "z"),), joints=BOTH)
    k = ratio * E * IY / L
    a = solve(f, f.sizes(points=level(), load=-W, joint_stiffness=k, **SECTION), order="first")
    end = W * L**2 / 12 / (1 + 2 * E * IY / (k * L)) if ratio else 0.0
    b = a.member("bar")
    assert b.at([0.0, L]).My[0] == pytest.approx([-end, -end], abs=1e-9)
    assert b.at(L / 2).My[0, 0] == pytest.approx(W * L**2 / 8 - end)
    sag = 5 * W * L**4 / (384 * E * IY) - end * L**2 / (8 * E * IY)
    assert -b.at(L / 2).w[0, 0] == pytest.approx(sag)


def test_one_spring_condensed_by_hand():
    # k_22 of the near end and the carry-over, spring s at the near end of a bar held at the far one.
    s = 2.0e4
    f = bar("x y z rx rz", FIXED, loads=(NodeLoad("a", "ry"),), joints=BOTH[:1])
    a = solve(f, f.sizes(points=level(), load=100.0, joint_stiffness=s, **SECTION), order="first")
    k = 4 * E * IY / L
    turn = 100 / (k * s / (k + s))
    assert a.displacement("a", "ry")[0] == pytest.approx(turn)
    assert a.reaction("b", "ry")[0] == pytest.approx(50.0)
    # what moves behind the joint turns by the bar's own stiffness
    slope = a.member("bar").at([0.0, 1e-6]).w[0]
    assert -(slope[1] - slope[0]) / 1e-6 == pytest.approx(100 / k, rel=1e-5)


def test_a_spring_across_the_bar():
    # A sliding joint in series with a cantilever: flexibilities add.
    s = 7.0e4
    f = bar(FIXED, "", loads=(NodeLoad("b", "z"),), joints=(Joint("bar", "first", "z"),))
    a = solve(f, f.sizes(points=level(), load=50.0, joint_stiffness=s, **SECTION), order="first")
    assert a.displacement("b", "z")[0] == pytest.approx(50 * (L**3 / (3 * E * IY) + 1 / s))


def test_a_release_is_a_spring_of_nothing_and_a_stiff_spring_a_weld():
    loads = (LineLoad("bar", "z"), PointLoad("bar", "z"))
    sizes = {"points": level(), "load": [-W, -200.0], "at": [np.nan, 0.4], **SECTION}
    sprung = bar(FIXED, FIXED, loads=loads, joints=BOTH)
    released = bar(FIXED, FIXED, loads=loads, free_first="ry", free_second="ry")
    welded = bar(FIXED, FIXED, loads=loads)
    none, stiff = (
        solve(sprung, sprung.sizes(joint_stiffness=k, **sizes), order="first").end_forces for k in (0.0, 1e16)
    )
    assert np.allclose(none, solve(released, released.sizes(**sizes), order="first").end_forces, atol=1e-9)
    assert np.allclose(stiff, solve(welded, welded.sizes(**sizes), order="first").end_forces, atol=1e-6)


def test_soft_knees_let_a_portal_sway():
    # Pinned feet, push H: sway = rigid sway + H h^2/(2 k), both knees turning by M/k with M = H h/2.
    h, span, k = 0.72, 1.4, 1.5e4
    f, chains = portal(loads=(NodeLoad("b", "x"),))
    points = placed(f, portal_points(chains, h, span))
    sway = {}
    for stiffness in (np.inf, k):
        g = Frame(
            f.nodes,
            f.members,
            f.supports,
            joints=(Joint("bc", "first", "ry"), Joint("bc", "second", "ry")),
            loads=f.loads,
        )
        sway[stiffness] = solve(
            g, g.sizes(points=points, load=120.0, joint_stiffness=stiffness, **SECTION), order="first"
        ).displacement("b", "x")[0]
    assert sway[k] - sway[np.inf] == pytest.approx(120 * h**2 / (2 * k), rel=1e-6)


# --- arms


def test_arms_shorten_the_bar():
    # Clear length L - a - b between held nodes.
    a_len, b_len = 0.05, 0.08
    f = bar(FIXED, FIXED, loads=(LineLoad("bar", "z"),))
    a = solve(
        f, f.sizes(points=level(), arm_first=a_len, arm_second=b_len, load=-W, **SECTION), order="first"
    )
    clear = L - a_len - b_len
    b = a.member("bar")
    assert b.L[0] == pytest.approx(clear)
    assert -b.at(clear / 2).w[0, 0] == pytest.approx(W * clear**4 / (384 * E * IY))
    # the node's moment is the bar's own, and its shear on the arm
    assert a.reaction("a", "ry")[0] == pytest.approx(-(W * clear**2 / 12 + W * clear / 2 * a_len))


def test_arms_condensed_by_hand():
    # Node a turns under M behind its arm, far node held: k = 4EI/l (1 + 3 a/l + 3 a^2/l^2).
    a_len = 0.09
    f = bar("x y z rx rz", FIXED, loads=(NodeLoad("a", "ry"),))
    clear = L - a_len
    a = solve(f, f.sizes(points=level(), arm_first=a_len, load=100.0, **SECTION), order="first")
    k = 4 * E * IY / clear * (1 + 3 * a_len / clear + 3 * (a_len / clear) ** 2)
    assert a.displacement("a", "ry")[0] == pytest.approx(100 / k)


def test_a_sideways_arm_makes_a_moment_of_the_axial_force():
    e = 0.04
    f = bar("x y z rx rz", "y z rx rz", loads=(NodeLoad("b", "x"),))
    arm = np.zeros((1, 1, 3))
    arm[..., 2] = e
    a = solve(
        f, f.sizes(points=level(), arm_first=arm, arm_second=arm, load=1000.0, **SECTION), order="first"
    )
    assert a.member("bar").at([0.0, L]).My[0] == pytest.approx([1000 * e] * 2)
    assert a.displacement("b", "x")[0] == pytest.approx(1000 * L / (E * A) + 1000 * e**2 * L / (E * IY))


def test_arm_then_joint_then_bar():
    # The joint sits at the end of the arm: a lever a of the shear turns it too.
    a_len, s, P = 0.1, 3.0e4, 50.0
    f = bar(FIXED, "", loads=(NodeLoad("b", "z"),), joints=BOTH[:1])
    a = solve(
        f, f.sizes(points=level(), arm_first=a_len, load=P, joint_stiffness=s, **SECTION), order="first"
    )
    clear = L - a_len
    assert a.displacement("b", "z")[0] == pytest.approx(P * (clear**3 / (3 * E * IY) + clear**2 / s))


@pytest.mark.parametrize("order", ["first", "second"])
def test_an_arm_is_a_stiff_bar(order):
    """Arms and joints in a frame beside the same frame with stiff short bars for arms."""
    h, span, a_len, k = 0.7, 1.2, 0.06, 2e4
    loads = (NodeLoad("b", "x"), NodeLoad("b", "z"), NodeLoad("c", "z"), LineLoad("bc", "z"))
    f, chains = portal(loads=loads)
    places = portal_points(chains, h, span)
    joints = (Joint("bc", "first", "ry"), Joint("bc", "second", "ry"))
    armed = Frame(f.nodes, f.members, f.supports, joints=joints, loads=loads)
    push = [200.0, -1.2e4, -6e3, -500.0]
    one = solve(
        armed,
        armed.sizes(
            points=placed(f, places),
            arm_first=[[0, a_len, 0]],
            arm_second=[[a_len, a_len, a_len]],
            load=push,
            joint_stiffness=k,
            **SECTION,
        ),
        order=order,
    ).insist()
    nodes = (*f.nodes, "bl", "br", "bb", "cb")
    places |= {
        "bl": np.array([a_len, 0, h]),
        "br": np.array([span - a_len, 0, h]),
        "bb": np.array([0, 0, h - a_len]),
        "cb": np.array([span, 0, h - a_len]),
    }
    members = (
        Member("ab", "a", "bb"),
        Member("bc", "bl", "br"),
        Member("dc", "d", "cb"),
        Member("s1", "bb", "b"),
        Member("s2", "b", "bl"),
        Member("s3", "br", "c"),
        Member("s4", "cb", "c"),
    )
    stiff = Frame(
        nodes, members, (*f.supports, *(Support(n, IN_PLANE) for n in nodes[4:])), joints=joints, loads=loads
    )
    times = np.array([1, 1, 1, 1e6, 1e6, 1e6, 1e6])
    two = solve(
        stiff,
        stiff.sizes(
            points=np.array([places[n] for n in nodes]),
            load=push,
            joint_stiffness=k,
            **{**SECTION, "Iy": IY * times, "A": A * times},
        ),
        order=order,
    ).insist()
    assert one.critical[0] == pytest.approx(two.critical[0], rel=2e-5) and 1.6 < one.critical[0] < 8
    assert one.displacement("b", "x")[0] == pytest.approx(two.displacement("b", "x")[0], rel=2e-5)
    assert np.allclose(one.end_forces[:, :3], two.end_forces[:, :3], atol=2e-5 * np.abs(one.end_forces).max())
    assert np.allclose(one.reactions[:, :4], two.reactions[:, :4], atol=2e-5 * np.abs(one.reactions).max())


def test_tips_of_nodes_hinged_all_round_carry_forces_like_a_truss():
    # Three bars in a triangle, hinged at both ends: the nodes turn freely without a mechanism.
    points = [[0, 0, 0], [2, 0, 0], [1, 0, 1]]
    hinge = {"free_first": "rx ry rz", "free_second": "rx ry rz"}
    f = Frame(
        ("a", "b", "c"),
        (Member("ac", "a", "c", **hinge), Member("bc", "b", "c", **hinge), Member("ab", "a", "b", **hinge)),
        (Support("a", "x y z"), Support("b", "y z"), Support("c", "y")),
        loads=(NodeLoad("c", "z"),),
    )
    a = solve(f, f.sizes(points=points, load=-100.0, **SECTION), order="first").insist()
    assert a.axial[0] == pytest.approx([-100 / np.sqrt(2), -100 / np.sqrt(2), 50.0])
    assert np.abs(a.end_forces[..., [1, 2, 4, 5]]).max() < 1e-9


# --- play


def play_portal(play=(0.004, 0.004), stiffness=np.inf, push=200.0):
    h, span = 0.7, 1.5
    f, chains = portal(loads=(NodeLoad("b", "x"),))
    g = Frame(
        f.nodes,
        f.members,
        f.supports,
        joints=(Joint("bc", "first", "ry"), Joint("bc", "second", "ry")),
        loads=f.loads,
    )
    return (
        g,
        g.sizes(
            points=placed(g, portal_points(chains, h, span)),
            joint_play=play,
            joint_stiffness=stiffness,
            load=push,
            **SECTION,
        ),
        h,
    )


def test_play_in_both_knees_adds_its_angle_times_the_height():
    g, s, h = play_portal()
    bounds, taken = play_bounds(g, s), play_taken_up(g, s)
    tight = bounds.tight.displacement("b", "x")[0]
    low, high = (d[0, g.node_number["b"], 0] for d in bounds.displacements)
    assert high - tight == pytest.approx(h * 0.004, rel=1e-6) and tight - low == pytest.approx(
        h * 0.004, rel=1e-6
    )
    assert taken.answer.displacement("b", "x")[0] == pytest.approx(high, rel=1e-9)
    assert np.abs(taken.state).tolist() == [[1, 1]]
    # statically settled: the moments are what they were
    assert np.allclose(taken.answer.end_forces, bounds.tight.end_forces, atol=1e-3)


def test_the_push_the_other_way_takes_the_play_up_the_other_way():
    g, s, _ = play_portal(play=(0.004, 0.001), stiffness=3e4)
    there, back = (play_taken_up(g, s.replaced(load=p)) for p in (150.0, -150.0))
    assert np.allclose(there.misfit, -back.misfit) and np.allclose(
        there.answer.displacements, -back.answer.displacements
    )


def test_a_joint_with_too_much_play_floats():
    # Fixed feet, one knee: the load is too small to use the play up; the joint carries nothing.
    h, span = 0.7, 1.5
    f, chains = portal("fixed", loads=(NodeLoad("b", "x"),))
    g = Frame(f.nodes, f.members, f.supports, joints=(Joint("bc", "first", "ry"),), loads=f.loads)
    s = g.sizes(
        points=placed(g, portal_points(chains, h, span)),
        joint_play=[[0.5], [0.0]],
        joint_stiffness=np.inf,
        load=100.0,
        **SECTION,
    )
    taken = play_taken_up(g, s)
    hinge = Frame(
        f.nodes,
        tuple(
            Member(m.name, m.first, m.second, free_first="ry" if m.name == "bc" else "") for m in f.members
        ),
        f.supports,
        loads=f.loads,
    )
    h_answer = solve(hinge, hinge.sizes(points=s.points, load=100.0, **SECTION), order="first")
    assert taken.state[0, 0] == 0 and taken.state[1, 0] == 0
    assert np.allclose(taken.answer.end_forces[0], h_answer.end_forces[0], atol=1e-7)
    assert np.allclose(taken.answer.end_forces[1], solve(g, s[1], order="first").end_forces[0])


@pytest.mark.parametrize("seed", range(3))
def test_the_taken_up_state_obeys_its_law_and_lies_within_the_bounds(seed):
    draw = np.random.default_rng(seed)
    f, chains = portal("fixed", loads=(NodeLoad("b", "x"), LineLoad("bc", "z")))
    joints = tuple(
        Joint(m, end, "ry")
        for m, end in (("ab", "second"), ("bc", "first"), ("bc", "second"), ("dc", "first"))
    )
    g = Frame(f.nodes, f.members, f.supports, joints=joints, loads=f.loads)
    s = g.sizes(
        points=placed(g, portal_points(chains, 0.7, 1.5)),
        joint_play=draw.uniform(0, 0.01, (20, 4)),
        load=draw.uniform(-800, 800, (20, 2)),
        joint_stiffness=draw.uniform(1e3, 1e5, (20, 4)),
        **SECTION,
    )
    taken, bounds = play_taken_up(g, s), play_bounds(g, s)
    force = np.stack([taken.answer.end_forces[:, m, w] for m, w in g.joint_places], axis=1)
    hair = 1e-6 * np.abs(taken.answer.end_forces).max()
    assert (force[taken.state == 1] <= hair).all() and (force[taken.state == -1] >= -hair).all()
    assert (np.abs(force[taken.state == 0]) <= hair).all()
    assert (np.abs(taken.misfit) <= s.joint_play * (1 + 1e-9)).all() and {-1, 0, 1} >= set(
        taken.state.ravel().tolist()
    )
    low, high = bounds.displacements
    assert (taken.answer.displacements >= low - 1e-9).all() and (
        taken.answer.displacements <= high + 1e-9
    ).all()
    # the bound is met: some way of taking the play up gets there
    way = np.argmax(high[:, 1, 0] - bounds.tight.displacements[:, 1, 0])
    reach = [
        solve(g, s[way], order="first", misfit=np.array(signs) * s.joint_play[way]).displacements[0, 1, 0]
        for signs in np.array(np.meshgrid(*[[-1, 1]] * 4)).T.reshape(-1, 4)
    ]
    assert max(reach) == pytest.approx(high[way, 1, 0], rel=1e-9)
