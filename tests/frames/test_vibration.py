"""Natural frequencies beside closed forms, subdivision, and a frame's own determinant."""

import numpy as np
import pytest
from frames.frames_for_tests import (
    IN_PLANE,
    IY,
    SECTION,
    E,
    G,
    bar,
    column,
    placed,
    portal,
    portal_points,
    up,
)
from scipy.optimize import brentq

from shopcalc.errors import InputError
from shopcalc.mechanics.frames import FIXED, Frame, Joint, LineLoad, Member, NodeLoad, Spring, Support, solve
from shopcalc.mechanics.frames.vibration import frequencies

L, MASS = 1.1, 4.7
# Slender: a large area leaves rotary inertia out.
SLENDER = {**SECTION, "A": 10.0, "Iz": 400 * IY}
UNIT = np.sqrt(E * IY / MASS / L**4) / (2 * np.pi)
BARS = {
    "fixed-free": (FIXED, IN_PLANE, (3.516015, 22.034492)),
    "simple": ("x y z rx rz", "y z rx rz", (np.pi**2, 4 * np.pi**2)),
    "fixed-fixed": (FIXED, FIXED, (22.373285, 61.672823)),
    "fixed-pinned": (FIXED, "y z rx rz", (15.418206, 49.964862)),
}


def level(length=L):
    return [[0, 0, 0], [length, 0, 0]]


@pytest.mark.parametrize("ends", list(BARS))
def test_one_bar_rings_at_its_closed_form(ends):
    first, second, exact = BARS[ends]
    f = bar(first, second)
    found = (
        frequencies(f, f.sizes(points=level(), mass_per_length=MASS, **SLENDER), count=2).frequency[0] / UNIT
    )
    assert found[0] == pytest.approx(exact[0], rel=1e-4) and found[0] > exact[0] * (1 - 1e-7)
    # the next, unless the bar's other plane or its length comes first: an upper bound within 2.5 %
    assert exact[1] * (1 - 1e-7) < found[1] < 1.025 * exact[1]


@pytest.mark.parametrize("parts, close", [(1, 3e-2), (2, 2e-3), (4, 2e-5)])
def test_subdividing_converges_from_above(parts, close):
    names = [f"p{i}" for i in range(parts + 1)]
    f = Frame(
        names,
        [Member(f"m{i}", *names[i : i + 2]) for i in range(parts)],
        [Support(names[0], FIXED)] + [Support(n, IN_PLANE) for n in names[1:]],
    )
    points = np.stack([np.linspace(0, L, parts + 1), *np.zeros((2, parts + 1))], axis=1)
    exact = np.array([1.8751040687, 4.6940911330, 7.8547574382, 10.9955407349]) ** 2
    found = (
        frequencies(f, f.sizes(points=points, mass_per_length=MASS, **SLENDER), count=3).frequency[0] / UNIT
    )
    assert (found > exact[:3] * (1 - 2e-6)).all() and found == pytest.approx(exact[:3], rel=close)


def test_shear_and_rotary_inertia_by_timoshenkos_own_frequency():
    # Simple bar: the frequency equation of Timoshenko's beam, exact for this end condition.
    A, Av = 6e-4, 2e-4
    m, r2 = MASS, IY / A
    q2 = (np.pi / L) ** 2
    a, b, c = m * r2 / (G * Av), -(1 + q2 * r2 + q2 * E * IY / (G * Av)), q2**2 * E * IY / m
    w2 = (-b - np.sqrt(b * b - 4 * a * c)) / (2 * a)
    f = bar(*BARS["simple"][:2])
    found = frequencies(
        f, f.sizes(points=level(), mass_per_length=m, Avz=Av, **{**SECTION, "A": A}), count=1
    ).frequency[0, 0]
    assert found == pytest.approx(np.sqrt(w2) / (2 * np.pi), rel=2e-6)
    assert found < 0.995 * np.pi**2 * UNIT


def test_a_mass_on_a_post():
    m, h = 30.0, 0.8
    f = Frame(
        ("foot", "head"),
        (Member("post", "foot", "head"),),
        (Support("foot", FIXED), Support("head", IN_PLANE)),
        masses=("head",),
    )
    s = f.sizes(points=up(f, h), node_mass=m, **SECTION)
    found = frequencies(f, s, count=3)
    assert found.frequency[0, 0] == pytest.approx(np.sqrt(3 * E * IY / h**3 / m) / (2 * np.pi), rel=1e-9)
    assert found.frequency[0, 1] == pytest.approx(np.sqrt(E * SECTION["A"] / h / m) / (2 * np.pi), rel=1e-9)
    assert np.isinf(found.frequency[0, 2])
    assert found.share[0, 0] == pytest.approx([1, 0, 0], abs=1e-9) and found.share[0, 1] == pytest.approx(
        [0, 0, 1], abs=1e-9
    )
    assert found.shape[0, 0, 1, 0] == 1.0
    # with a moment of inertia about its own centre: two modes of a two-way system
    I0 = 2.0  # noqa: E741
    k = E * IY / h**3 * np.array([[12, -6 * h], [-6 * h, 4 * h * h]])
    w2 = np.sort(np.linalg.eigvals(np.linalg.solve(np.diag([m, I0]), k)).real)
    turning = frequencies(f, f.sizes(points=up(f, h), node_mass=m, node_inertia=I0, **SECTION), count=1)
    assert turning.frequency[0, 0] == pytest.approx(np.sqrt(w2[0]) / (2 * np.pi), rel=1e-9)


def test_a_table_sways_before_anything_else():
    # Rigid rail, pinned feet: k = 6 EI/h^3, mass of the top; legs massless.
    h, m = 0.72, 60.0
    f, chains = portal("pinned")
    g = Frame(f.nodes, f.members, f.supports, masses=("b", "c"))
    s = g.sizes(
        points=placed(g, portal_points(chains, h, 1.4)),
        node_mass=m / 2,
        **{**SECTION, "Iy": np.array([IY, 1e5 * IY, IY]), "A": 1e3 * SECTION["A"]},
    )
    found = frequencies(g, s, count=1)
    assert found.frequency[0, 0] == pytest.approx(np.sqrt(6 * E * IY / h**3 / m) / (2 * np.pi), rel=2e-4)
    assert found.share[0, 0, 0] == pytest.approx(1.0, rel=1e-3)


def test_a_load_softens_until_it_buckles():
    # Simple bar: frequency squared falls in a straight line to nothing at the Euler load.
    f = bar(*BARS["simple"][:2])
    s = f.sizes(points=level(), mass_per_length=MASS, **SLENDER)
    bare = frequencies(f, s, count=1).frequency[0, 0]
    PE = np.pi**2 * E * IY / L**2
    for part in (-0.5, 0.5, 0.9):
        found = frequencies(f, s, count=1, pull=np.array([[-part * PE]])).frequency[0, 0]
        assert (found / bare) ** 2 == pytest.approx(1 - part, rel=1e-5)
    gone = frequencies(f, s, count=1, pull=np.array([[-1.001 * PE]]))
    assert gone.refused[0] and np.isnan(gone.frequency).all() and np.isnan(gone.shape).all()


def test_softening_of_a_sway_frame_goes_with_its_critical_factor():
    f, chains = portal("pinned", loads=(NodeLoad("b", "z"), NodeLoad("c", "z")))
    g = Frame(f.nodes, f.members, f.supports, loads=f.loads, masses=("b", "c"))
    s = g.sizes(points=placed(g, portal_points(chains, 0.75, 1.2)), load=-5e4, node_mass=50.0, **SECTION)
    a = solve(g, s)
    bare, bent = (frequencies(g, s, count=1, pull=p).frequency[0, 0] for p in (None, a.axial))
    assert (bent / bare) ** 2 == pytest.approx(1 - 1 / a.critical[0], rel=2e-2) and a.critical[0] < 6


def test_joints_and_releases_count():
    # Hinged to held nodes rings as a simple bar; a spring at the foot by its own equation.
    f = bar(FIXED, FIXED, free_first="ry rz", free_second="ry rz")
    s = f.sizes(points=level(), mass_per_length=MASS, **SLENDER)
    assert frequencies(f, s, count=1).frequency[0, 0] / UNIT == pytest.approx(np.pi**2, rel=1e-5)
    spin = bar(FIXED, FIXED, free_first="rx ry rz", free_second="rx ry rz")
    assert frequencies(spin, spin.sizes(points=level(), mass_per_length=MASS, **SLENDER), count=1).frequency[
        0, 0
    ] / UNIT == pytest.approx(np.pi**2, rel=1e-5)
    ratio = 3.0  # k L/EI
    sprung = bar(FIXED, IN_PLANE, joints=(Joint("bar", "first", "ry"),))
    s = sprung.sizes(points=level(), mass_per_length=MASS, joint_stiffness=ratio * E * IY / L, **SLENDER)

    def equation(z):  # cantilever on a turning spring
        c, sn, ch, sh = np.cos(z), np.sin(z), np.cosh(z), np.sinh(z)
        return ratio * (1 + c * ch) - z * (sn * ch - c * sh)

    z = brentq(equation, 0.5, 1.87)
    assert frequencies(sprung, s, count=1).frequency[0, 0] / UNIT == pytest.approx(z**2, rel=1e-6)
    stiff = sprung.sizes(points=level(), mass_per_length=MASS, joint_stiffness=np.inf, **SLENDER)
    assert frequencies(sprung, stiff, count=1).frequency[0, 0] / UNIT == pytest.approx(3.516015, rel=1e-6)


def test_arms_and_ground_springs_count():
    m, h, arm = 25.0, 0.9, 0.15
    f = Frame(
        ("foot", "head"),
        (Member("post", "foot", "head"),),
        (Support("foot", FIXED), Support("head", IN_PLANE)),
        masses=("head",),
    )
    s = f.sizes(points=up(f, h), node_mass=m, arm_second=arm, **SECTION)
    c = h - arm  # tip of a cantilever c with a rigid arm: c^3/3 + c^2 a + c a^2
    give = (c**3 / 3 + c**2 * arm + c * arm**2) / (E * IY)
    assert frequencies(f, s, count=1).frequency[0, 0] == pytest.approx(
        1 / np.sqrt(give * m) / (2 * np.pi), rel=1e-9
    )
    k = 5e4
    g = Frame(f.nodes, f.members, f.supports, springs=(Spring("head", "x"),), masses=("head",))
    s = g.sizes(points=up(g, h), node_mass=m, spring=k, **SECTION)
    assert frequencies(g, s, count=1).frequency[0, 0] == pytest.approx(
        np.sqrt((3 * E * IY / h**3 + k) / m) / (2 * np.pi), rel=1e-9
    )


def test_many_designs_and_bad_words():
    f = column(FIXED, "")
    s = f.sizes(points=np.array([up(f, h) for h in (0.5, 1.0)]), mass_per_length=MASS, **SLENDER)
    found = frequencies(f, s, count=2).frequency
    assert found[0] / found[1] == pytest.approx([4, 4], rel=1e-4)
    with pytest.raises(InputError, match="mass"):
        frequencies(f, s.replaced(mass_per_length=0.0))
    with pytest.raises(InputError, match="count"):
        frequencies(f, s, count=0)
    loose = Frame(
        ("a", "b"), (Member("bar", "a", "b"),), (Support("a", "x y z rx rz"),), loads=(LineLoad("bar", "z"),)
    )
    swinging = frequencies(loose, loose.sizes(points=level(), mass_per_length=MASS, **SLENDER))
    assert swinging.refused[0] and np.isnan(swinging.frequency).all()
