"""Buckling and second order: Euler's columns, sway frames, what is refused, amplified moments, second
routes.
"""

import numpy as np
import pytest
from frames.frames_for_tests import (
    IN_PLANE,
    IY,
    SECTION,
    A,
    E,
    G,
    bar,
    column,
    placed,
    portal,
    portal_points,
    up,
)
from frames.test_laws import drawn
from scipy.linalg import eigh
from scipy.optimize import brentq

from shopcalc.errors import InputError
from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
    FrameRefused,
    Joint,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Spring,
    Support,
    solve,
)
from shopcalc.mechanics.frames.dense import back_solve, factor
from shopcalc.mechanics.frames.opened import Opened
from shopcalc.mechanics.frames.solver import CERTAIN, _pole, definite
from shopcalc.mechanics.frames.stiffness import system_of
from shopcalc.mechanics.frames.vibration import _bar_matrices

L = 0.9
PE = np.pi**2 * E * IY / L**2

# foot, head, effective length factor squared under PE
COLUMNS = {
    "pinned-pinned": ("x y z rx rz", "x y rx rz", 1.0),
    "fixed-free": (FIXED, IN_PLANE, 0.25),
    "fixed-fixed": (FIXED, "x y rx ry rz", 4.0),
    "fixed-guided": (FIXED, "y rx ry rz", 1.0),
    "pinned-guided": ("x y z rx rz", "y rx ry rz", 0.25),
    "fixed-pinned": (FIXED, "x y rx rz", (brentq(lambda z: np.tan(z) - z, 4.4, 4.6) / np.pi) ** 2),
}


def loaded(ends, times, push=0.0, parts=1, **more):
    """A column under `times` its own Euler load PE."""
    f = column(*COLUMNS[ends][:2], parts=parts)
    load = np.stack(np.broadcast_arrays(-PE * np.atleast_1d(times), push), axis=1)
    return f, f.sizes(points=up(f, L), load=load, **{**SECTION, "Iz": 10 * IY, **more})


# --- Euler


@pytest.mark.parametrize("ends", list(COLUMNS))
@pytest.mark.parametrize("parts", [1, 2, 4])
def test_one_bar_is_enough_for_every_end_condition(ends, parts):
    f, s = loaded(ends, 0.1, parts=parts)
    assert solve(f, s, order="first").critical[0] == pytest.approx(COLUMNS[ends][2] / 0.1, rel=1e-6)


@pytest.mark.parametrize("ends", list(COLUMNS))
def test_just_below_at_and_beyond_the_critical_load(ends):
    pole = COLUMNS[ends][2]
    push = 5.0 if "free" in ends or "guided" in ends else 0.0
    f, s = loaded(
        ends, pole * np.array([0.5, 0.62, 0.63, 0.999, 0.9999, 1.0001, 1.001, 1.2, 1.75, 3.0, 30.0]), push
    )
    a = solve(f, s)
    assert a.refused.tolist() == [False] * 5 + [True] * 6
    assert a.strength_refused.tolist() == [False] * 2 + [True] * 9
    for i in range(11):
        given = (
            np.isfinite(a.displacements[i]).all()
            and np.isfinite(a.end_forces[i]).all()
            and np.isfinite(a.reactions[i]).all()
        )
        blank = (
            np.isnan(a.displacements[i]).all()
            and np.isnan(a.end_forces[i]).all()
            and np.isnan(a.reactions[i]).all()
        )
        assert given != blank and blank == a.refused[i]
    assert (
        all("critical load" in t for t in a.reason[5:])
        and all("member strength" in t for t in a.reason[2:5])
        and a.reason[:2] == ("", "")
    )
    assert (solve(f, s, order="first").refused == a.refused).all()
    if push:
        sway = np.abs(a.displacement("head", "x")[:5])
        assert (np.diff(sway) > 0).all() and sway[4] > 500 * sway[0]
        # guarded: same masks without the numbers
    guarded = solve(f, s, order="first", critical="guard")
    assert (guarded.refused == a.refused).all() and (guarded.strength_refused == a.strength_refused).all()
    assert np.isnan(guarded.critical[:2]).all() and np.allclose(
        guarded.critical[2:], a.critical[2:], rtol=1e-6
    )


def test_at_the_critical_load_there_is_no_answer():
    f, s = loaded("fixed-free", 0.25, 5.0)
    a = solve(f, s)
    assert a.critical[0] == pytest.approx(1.0, rel=1e-9) and a.strength_refused[0]
    # a hair over the true value is refused; within rounding of it the sway is beyond all measure
    assert a.refused[0] or abs(a.displacement("head", "x")[0]) > 1e3


def test_shear_softens_a_column():
    for ends, (_, _, times) in COLUMNS.items():
        if ends in ("fixed-pinned",):
            continue
        Av = 4e-6
        f, s = loaded(ends, 0.01, Avz=Av)
        P = times * PE
        assert solve(f, s, order="first").critical[0] * 0.01 * PE == pytest.approx(
            P / (1 + P / (G * Av)), rel=1e-7
        ), ends
    P, GA = COLUMNS["fixed-pinned"][2] * PE, G * 4e-6
    f, s = loaded("fixed-pinned", 0.01, Avz=4e-6)
    found = solve(f, s, order="first").critical[0] * 0.01 * PE

    # tan z = z (1 - P/GA) with z^2 = P L^2/(EI (1 - P/GA)), from the same differential equations
    def gap(p):
        z = L * np.sqrt(p / (E * IY * (1 - p / GA)))
        return np.tan(z) - z * (1 - p / GA)

    assert abs(gap(found)) < 1e-6 * abs(gap(found * 0.99)) and found < P


def test_tension_does_not_buckle_and_nothing_compressed_says_inf():
    f, s = loaded("fixed-free", [-0.5, 0.0], 5.0)
    a = solve(f, s)
    assert np.isinf(a.critical).all() and not a.strength_refused.any()


# --- against the wrong numbers a linear solution gives


def test_past_the_critical_load_small_wrong_numbers_are_not_given():
    """A sway frame with its linear solution in hand: at 1.70 and 1.13 it sways more and more; at 0.85 and
    0.57 the plain equations would still be solved, by a sway of the wrong sign, at 0.40 even smaller than the
    linear one.
    """
    f, chains = portal("pinned")
    points = placed(f, portal_points(chains, 0.75, 1.2))
    first = solve(f, f.sizes(points=points, load=[150.0, -1e4, -1e4], **SECTION), order="first")
    linear = first.displacement("b", "x")[0]
    factors = np.array([1.70, 1.13, 0.85, 0.57, 0.40])
    load = np.stack([np.full(5, 150.0), *2 * [-1e4 * first.critical[0] / factors]], axis=1)
    s = f.sizes(points=points, load=load, **SECTION)
    a = solve(f, s)
    assert a.critical == pytest.approx(factors, rel=2e-3)
    assert a.displacement("b", "x")[:2] == pytest.approx(linear / (1 - 1 / factors[:2]), rel=0.03)
    assert (
        a.refused.tolist() == [False] * 2 + [True] * 3 and a.strength_refused.tolist() == [False] + [True] * 4
    )
    assert np.isnan(a.displacements[2:]).all() and np.isnan(a.member("ab").at(0.1).My[2:]).all()
    # what the stiffness alone would have said
    system = system_of(f, s)
    pull = np.repeat(-load[:, 1, None], 3, 1) * [-1, 0, -1]
    t = system.tangent(pull)
    wrong = np.linalg.solve(system.assemble(t), system.load_vector(t)[:, system.plan.free, None])[..., 0]
    free = list(system.plan.free)
    sway = wrong[:, free.index(6 * f.node_number["b"])]
    assert sway[2] < 0 and sway[3] < 0 and abs(sway[4]) < linear
    assert "it buckles at 0.57" in a.reason[3]
    with pytest.raises(FrameRefused, match="design 2.*critical load"):
        a.insist()
    with pytest.raises(FrameRefused, match="1.6"):
        solve(f, s[1]).insist(strength=True)
    assert solve(f, s[1]).insist().strength_refused[0] and isinstance(
        FrameRefused(field="a", need="b"), InputError
    )


# --- frames


def test_a_portal_with_pinned_feet_by_its_own_equation():
    """Both legs loaded alike, sway: z tan z = 6 k, k = (I_rail/L)/(I_leg/h) for pinned feet; fixed feet:
    -z/tan z = 6 k.
    """
    h, span = 0.75, 1.2
    for ratio in (0.3, 1.0, 4.0):
        k = ratio * h / span
        for feet, equation, low, high in (
            ("pinned", lambda z, k=k: z * np.tan(z) - 6 * k, 1e-6, np.pi / 2 - 1e-9),
            ("fixed", lambda z, k=k: z / np.tan(z) + 6 * k, np.pi / 2, np.pi - 1e-9),
        ):
            z = brentq(equation, low, high, xtol=1e-14)
            f, chains = portal(feet)
            s = f.sizes(
                points=placed(f, portal_points(chains, h, span)),
                load=[0.0, -1000.0, -1000.0],
                **{**SECTION, "Iy": IY * np.array([1, ratio, 1]), "A": 100 * A},
            )
            found = solve(f, s, order="first").critical[0] * 1000
            assert found == pytest.approx((z / h) ** 2 * E * IY, rel=5e-5)
            # a sway frame is never as good as its legs held at both ends (trap Steel 9)
            K = np.pi / z
            assert K > 1 and (feet == "fixed" or K > 2)


def test_effective_length_of_the_alignment_equation():
    """G 1 at the top, G 10 at the feet, sidesway uninhibited: K = 1.90 (recalled chart value; case
    column-sway-k-alignment).
    """
    h = span = 1.0
    f, chains = portal("pinned")
    rotation = Frame(
        f.nodes, f.members, f.supports, springs=(Spring("a", "ry"), Spring("d", "ry")), loads=f.loads
    )
    # the equation's girders bend antisymmetrically (6 EI/L); G = 10 at the foot: a spring of 6 (EI/h)/10
    s = rotation.sizes(
        points=placed(f, portal_points(chains, h, span)),
        load=[0.0, -1.0, -1.0],
        spring=6 * E * IY / h / 10,
        **{**SECTION, "A": 1e4 * A},
    )
    K = np.sqrt(np.pi**2 * E * IY / h**2 / solve(rotation, s, order="first").critical[0])
    assert K == pytest.approx(1.90, abs=0.01)


def whole_stiffness(f, s, pull):
    """Nodes, and three shapes more for each plane of every bar, put together one number at a time."""
    system = system_of(f, s)
    opened = Opened(system)
    k, _ = _bar_matrices(system, s, pull)
    bars, Q = opened.bars(k[..., :12, :12], pull), opened.maps
    size = opened.plan.size
    K = np.zeros((len(s), size + 6 * len(f.members), size + 6 * len(f.members)))
    for i in range(len(f.members)):
        index = opened.plan.index[i]
        there = index >= 0
        a, own = index[there], size + 6 * i + np.arange(6)
        tie = Q[:, i].swapaxes(1, 2) @ k[:, i, :12, 12:]
        K[:, a[:, None], a] += bars[:, i][:, there][:, :, there]
        K[:, a[:, None], own] += tie[:, there]
        K[:, own[:, None], a] += tie[:, there].swapaxes(1, 2)
        K[:, own[:, None], own] += k[:, i, 12:, 12:]
    return K


@pytest.mark.parametrize("seed", range(4))
def test_factor_beside_an_eigenvalue_with_shapes_along_every_bar(seed):
    """Second route: one linear eigenvalue problem, bars in four parts, with the shapes that frequencies
    use.
    """
    draw = np.random.default_rng(seed)
    feet = "pinned" if seed % 2 else "fixed"
    f, chains = portal(feet, parts=1)
    fine, fine_chains = portal(feet, parts=4)
    corner = (0.7, 1.3)
    load = np.concatenate([draw.uniform(-300, 300, (3, 1)), -draw.uniform(0, 4000, (3, 2))], axis=1)
    one = f.sizes(points=placed(f, portal_points(chains, *corner)), load=load, Avz=1e-4, **SECTION)
    a = solve(f, one, order="first")
    s = fine.sizes(points=placed(fine, portal_points(fine_chains, *corner)), load=load, Avz=1e-4, **SECTION)
    pull = solve(fine, s, order="first").axial
    K, bent = whole_stiffness(fine, s, None), whole_stiffness(fine, s, pull)
    for d in range(3):
        factor = 1 / eigh(K[d] - bent[d], K[d], eigvals_only=True)[-1]
        assert a.critical[d] == pytest.approx(factor, rel=1e-5)


def test_a_hinged_brace_buckles_between_its_hinges_before_the_frame_does():
    f, chains = portal("pinned")
    places = portal_points(chains, 0.75, 1.2)
    braced = Frame(
        f.nodes,
        (*f.members, Member("brace", "a", "c", free_first="ry rz", free_second="rx ry rz")),
        f.supports,
        loads=f.loads,
    )
    thin = np.array([1, 1, 1, 0.01])
    section = {**SECTION, "Iy": IY * thin, "Iz": 2 * IY * thin}
    s = braced.sizes(
        points=placed(braced, places), load=[[700.0, -100.0, -100.0], [-700.0, 0.0, 0.0]], **section
    )
    a = solve(braced, s, order="first")
    push = -a.axial[:, 3]
    assert push[0] < 0 < push[1]
    long = np.hypot(0.75, 1.2)
    assert a.critical[1] * push[1] == pytest.approx(np.pi**2 * E * IY * 0.01 / long**2, rel=1e-5)
    # pulled, it holds and lets the frame carry far more
    assert a.critical[0] > 20 * a.critical[1]
    # a weak spring in place of one hinge: beside the same bar in four parts
    found = []
    for parts in (1, 4):
        names = ["a", *(f"q{i}" for i in range(1, parts)), "c"]
        bars = [
            Member(f"brace{i}", *names[i : i + 2], free_second="rx ry rz" if i == parts - 1 else "")
            for i in range(parts)
        ]
        g = Frame(
            (*f.nodes, *names[1:-1]),
            (*f.members, *bars),
            (*f.supports, *(Support(n, "y rx rz") for n in names[1:-1])),
            joints=(Joint("brace0", "first", "ry"),),
            loads=f.loads,
        )
        at = places | {n: np.array([1.2, 0, 0.75]) * i / parts for i, n in enumerate(names)}
        times = np.array([1.0] * 3 + [0.01] * parts)
        t = g.sizes(
            points=placed(g, at),
            load=[-700.0, 0, 0],
            joint_stiffness=0.8 * E * IY * 0.01 / long,
            **{**SECTION, "Iy": IY * times, "Iz": 9 * IY * times},
        )
        found.append(solve(g, t, order="first").critical[0])
    assert found[0] == pytest.approx(found[1], rel=1e-6) and found[0] > 1.05 * a.critical[1]


@pytest.mark.parametrize("seed", range(3))
def test_factor_beside_halving_on_whether_the_frame_stands(seed):
    """Random frames with joints, arms, releases: the least factor at which stiffness is no longer
    positive.
    """
    f, s = drawn(100 + seed)
    many = s[np.zeros(9, int)]
    many = many.replaced(load=many.load * np.random.default_rng(seed).uniform(-40, 40, many.load.shape))
    a = solve(f, many, order="first")
    system = a.system
    t = system.tangent(None)
    factors = system.assemble(t)
    assert factor(factors).all()
    motion = system.settled.copy()
    motion[:, system.plan.free] = back_solve(factors, system.load_vector(t)[:, system.plan.free])
    pull = system.tightest(system.bar_forces(motion, t)[0])
    low, high = np.zeros(9), np.full(9, 1e7)
    pole = _pole(system, pull)
    for _ in range(80):
        middle = (low + high) / 2
        ok = definite(system, pull, middle, pole)
        low, high = np.where(ok, middle, low), np.where(ok, high, middle)
    assert (a.critical <= low * (1 + CERTAIN)).all() and a.critical == pytest.approx(low, rel=CERTAIN)


def test_braced_legs_buckle_between_their_ends():
    """A portal held against sway, rail very stiff: each leg as a bar held (or pinned) at its foot and fixed
    at its head. A single cubic element for each leg would be 22 % out, or see nothing.
    """
    h, span = 0.75, 1.2
    for feet, times in (("pinned", COLUMNS["fixed-pinned"][2]), ("fixed", 4.0)):
        f, chains = portal(feet)
        held = Frame(
            f.nodes, f.members, (*f.supports[:1], Support("b", "x y rx rz"), *f.supports[2:]), loads=f.loads
        )
        s = held.sizes(
            points=placed(f, portal_points(chains, h, span)),
            load=[0.0, -1000.0, -900.0],
            **{**SECTION, "Iy": IY * np.array([1, 1e5, 1]), "Iz": 100 * IY, "A": 1e3 * A},
        )
        found = solve(held, s, order="first").critical[0]
        # the head's joint is as stiff as the rail: held
        assert found == pytest.approx(times * np.pi**2 * E * IY / h**2 / 1000, rel=3e-4)


def test_the_weaker_plane_is_found():
    f = column(FIXED, "")
    s = f.sizes(points=up(f, L), load=[-100.0, 0.0], **{**SECTION, "Iz": IY / 3})
    assert solve(f, s, order="first").critical[0] * 100 == pytest.approx(PE / 12, rel=1e-7)


def test_a_released_head_a_spring_and_an_arm_count():
    # Hinged to a held node: pinned. Spring at the foot: z tan z = k L/EI. Arm: a rigid upper part.
    f = column(FIXED, "x y rx rz", free_first="ry")
    assert solve(f, f.sizes(points=up(f, L), load=[-100.0, 0.0], **SECTION), order="first").critical[
        0
    ] * 100 == pytest.approx(PE, rel=1e-7)
    k = 2.5 * E * IY / L
    f = column(FIXED, IN_PLANE, joints=(Joint("column", "first", "ry"),))
    z = brentq(lambda z: z * np.tan(z) - 2.5, 0.1, 1.5)
    s = f.sizes(points=up(f, L), load=[-100.0, 0.0], joint_stiffness=k, **SECTION)
    assert solve(f, s, order="first").critical[0] * 100 == pytest.approx(E * IY * (z / L) ** 2, rel=1e-7)
    f = column(FIXED, IN_PLANE)
    arm = 0.2
    s = f.sizes(points=up(f, L), load=[-100.0, 0.0], arm_second=arm, **SECTION)
    # cantilever of clear length c with a rigid tip a: cos z = a z sin z/c  (z = k c)
    c = L - arm
    z = brentq(lambda z: 1 - arm / c * z * np.tan(z), 0.1, np.pi / 2 - 1e-6)
    assert solve(f, s, order="first").critical[0] * 100 == pytest.approx(E * IY * (z / c) ** 2, rel=1e-6)


# --- second order


def test_cantilever_with_push_by_the_tangent_formula():
    H, P = 40.0, 0.6 * PE / 4
    f, s = loaded("fixed-free", 0.6 / 4, H)
    a = solve(f, s)
    k = np.sqrt(P / (E * IY))
    assert a.displacement("head", "x")[0] == pytest.approx(H * (np.tan(k * L) / k - L) / P, rel=1e-10)
    M = H * np.tan(k * L) / k
    assert abs(a.reaction("foot", "ry")[0]) == pytest.approx(M, rel=1e-10)
    b = a.member("column")
    assert abs(b.at(0.0).My[0, 0]) == pytest.approx(M, rel=1e-10) and abs(b.at(L).My[0, 0]) < 1e-9 * M
    x = np.linspace(0, L, 7)
    assert np.abs(b.at(x).My[0]) == pytest.approx(
        H * np.sin(k * (L - x)) / k / np.cos(k * L), rel=1e-9, abs=1e-9
    )


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9, -0.5, -5.0])
def test_beam_columns_amplify_the_moment_between_their_ends(part):
    # Timoshenko and Gere: even load, middle load and end moments on a pinned bar under P = part * PE.
    w, Q, M = 700.0, 300.0, 55.0
    P = part * PE
    f = bar(
        "x y z rx rz",
        "y z rx rz",
        loads=(
            NodeLoad("b", "x"),
            LineLoad("bar", "z"),
            PointLoad("bar", "z"),
            NodeLoad("a", "ry"),
            NodeLoad("b", "ry"),
        ),
    )
    loads = [[-P, -w, 0, 0, 0], [-P, 0, -Q, 0, 0], [-P, 0, 0, M, -M]]
    s = f.sizes(
        points=[[0, 0, 0], [L, 0, 0]], load=loads, at=[np.nan, np.nan, L / 2, np.nan, np.nan], **SECTION
    )
    b = solve(f, s).member("bar")
    u = np.sqrt(complex(P / (E * IY))) * L / 2
    k2 = P / (E * IY)
    sec = (1 / np.cos(u)).real
    even, point = w / k2 * (sec - 1), (Q * L / 4 * np.tan(u) / u).real
    middle = b.at(L / 2).My[:, 0]
    assert middle == pytest.approx([even, point, M * sec], rel=1e-9)
    if part > 0:
        # end moments: the largest stands in the middle
        assert b.largest("My")[0] == pytest.approx([even, point, M * sec], rel=1e-9)
        assert b.largest("My")[1] == pytest.approx([L / 2] * 3, abs=1e-6)
    sag = -b.at(L / 2).w[:, 0]
    assert sag == pytest.approx(
        [(even - w * L**2 / 8) / P, (point - Q * L / 4) / P, (M * sec - M) / P], rel=1e-7
    )


def test_secant_column_of_the_handbook():
    """4 in square tube, 8 ft, load 0.75 in off centre (trap Steel 15): the moment at the middle is P e
    sec(kL/2).
    """
    inch, lbf = 0.0254, 4.4482216152605
    Lc, e, P = 96 * inch, 0.75 * inch, 31.1e3 * lbf
    I, Es = 8.22 * inch**4, 29e6 * 6894.757293168  # noqa: E741
    f = column("x y z rx rz", "x y rx rz", loads=(NodeLoad("head", "z"),))
    off = np.zeros((1, 1, 3))
    off[..., 0] = e
    s = f.sizes(
        points=up(f, Lc),
        load=-P,
        arm_first=off,
        arm_second=off,
        **{**SECTION, "E": Es, "Iy": I, "A": 3.54 * inch**2},
    )
    a = solve(f, s)
    exact = P * e / np.cos(np.sqrt(P / (Es * I)) * Lc / 2)
    assert np.abs(a.member("column").largest("My")[0][0]) == pytest.approx(exact, rel=1e-9)
    assert exact / (P * e) > 1.1


@pytest.mark.parametrize("order", ["first", "second"])
def test_subdividing_changes_nothing(order):
    loads = (NodeLoad("b", "x"), NodeLoad("b", "z"), NodeLoad("c", "z"))
    found = []
    for parts in (1, 5):
        f, chains = portal("fixed", parts, loads)
        s = f.sizes(
            points=placed(f, portal_points(chains, 0.7, 1.2)), load=[4000.0, -4e5, -2e5], Avz=1e-4, **SECTION
        )
        a = solve(f, s, order=order).insist()
        found.append(
            (a.critical[0], a.displacement("b", "x")[0], a.reaction("a", "ry")[0], a.reaction("d", "x")[0])
        )
    assert found[0] == pytest.approx(found[1], rel=1e-6) and 1.2 < found[0][0] < 4


def test_second_order_balances_in_the_bent_shape():
    # Overturning about the feet: push times height plus weights times the sway of their own points.
    f, chains = portal("pinned")
    h = 0.75
    s = f.sizes(points=placed(f, portal_points(chains, h, 1.2)), load=[300.0, -2.5e4, -1.5e4], **SECTION)
    a = solve(f, s).insist()
    sway = [a.displacement(n, "x")[0] for n in "bc"]
    drop = [a.displacement(n, "z")[0] for n in "bc"]
    righting = a.reaction("d", "z")[0] * 1.2
    assert righting == pytest.approx(300 * h + 2.5e4 * sway[0] + 1.5e4 * (1.2 + sway[1]), rel=2e-6)
    assert abs(drop[0]) < 1e-3
    first = solve(f, s, order="first")
    assert a.displacement("b", "x")[0] == pytest.approx(
        first.displacement("b", "x")[0] / (1 - 1 / a.critical[0]), rel=0.03
    )


def test_axial_forces_are_iterated():
    # A push makes one leg heavier: N of the second order differs, and the answer is consistent with it.
    f, chains = portal("pinned")
    s = f.sizes(points=placed(f, portal_points(chains, 1.5, 0.5)), load=[700.0, -4e3, -4e3], **SECTION)
    first, second = solve(f, s, order="first"), solve(f, s)
    assert abs(second.axial[0, 0] / first.axial[0, 0] - 1) > 0.02
    assert second.line.pull[0] == pytest.approx(second.axial[0], rel=1e-5)


def test_weight_along_a_leg_counts_by_its_heaviest_section():
    # The compression at the foot is taken all along the bar: the safe side.
    f = column(FIXED, IN_PLANE, loads=(LineLoad("column", "z"),))
    s = f.sizes(points=up(f, L), load=-50.0, **SECTION)
    a = solve(f, s, order="first")
    assert a.critical[0] * 50 * L == pytest.approx(PE / 4, rel=1e-6)
    exact = 7.8373 * E * IY / L**3  # q L of a standing column (Greenhill), larger
    assert a.critical[0] * 50 < exact


# --- many designs


def test_a_batch_gives_each_design_its_own_answer():
    f, chains = portal("pinned")
    draw = np.random.default_rng(5)
    n = 600
    points = np.array(
        [placed(f, portal_points(chains, h, b)) for h, b in draw.uniform([0.4, 0.5], [1.2, 2.2], (n, 2))]
    )
    section = {**SECTION, "Iy": IY * draw.uniform(0.2, 2, (n, 3)), "A": A * draw.uniform(0.5, 2, (n, 3))}
    load = np.concatenate([draw.uniform(-500, 500, (n, 1)), -draw.uniform(0, 9e4, (n, 2))], axis=1)
    s = f.sizes(points=points, load=load, **section)
    whole = solve(f, s)
    assert 20 < whole.refused.sum() < n - 20 and 50 < whole.strength_refused.sum()
    for d in range(0, n, 37):
        one = solve(f, s[d])
        assert one.critical[0] == pytest.approx(whole.critical[d], rel=CERTAIN)
        assert one.refused[0] == whole.refused[d] and one.strength_refused[0] == whole.strength_refused[d]
        assert np.allclose(
            one.displacements[0], whole.displacements[d], rtol=1e-6, atol=1e-12, equal_nan=True
        )
        assert np.allclose(one.end_forces[0], whole.end_forces[d], rtol=1e-6, atol=1e-6, equal_nan=True)
    guarded, whole = solve(f, s, order="first", critical="guard"), solve(f, s, order="first")
    assert (guarded.refused == whole.refused).all() and (
        guarded.strength_refused == whole.strength_refused
    ).all()


def test_words_that_are_not_known():
    f, s = loaded("fixed-free", 0.1)
    for more in ({"order": "third"}, {"critical": "maybe"}):
        with pytest.raises(InputError, match="one of|or"):
            solve(f, s, **more)
    with pytest.raises(InputError, match="member"):
        solve(f, s).member("nobody")
    with pytest.raises(InputError, match="node"):
        solve(f, s).displacement("nobody", "x")
