"""Single bars beside closed forms and the beam engine: shear, loads of every kind, where largest values
stand.
"""

import numpy as np
import pytest
from frames.frames_for_tests import FEET, IN_PLANE, IY, SECTION, A, E, G, bar, placed, portal, portal_points

from shopcalc.errors import InputError
from shopcalc.mechanics.beams import Beam, Couple, Even, Growing, Point
from shopcalc.mechanics.frames import (
    FIXED,
    Frame,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Spring,
    Support,
    solve,
)
from shopcalc.units import Q

ENDS = {
    "simple": ("x y z rx rz", "y z rx rz"),
    "cantilever": (FIXED, IN_PLANE),
    "propped": (FIXED, "y z rx rz"),
    "fixed": (FIXED, "y z rx ry rz"),
}
AVZ = 2.2e-4


def level(length):
    return [[0, 0, 0], [length, 0, 0]]


# --- shear: closed forms


@pytest.mark.parametrize(
    "ends, bending, shear",
    [("simple", 5 / 384, 1 / 8), ("cantilever", 1 / 8, 1 / 2), ("fixed", 1 / 384, 1 / 8)],
)
def test_even_load_with_shear(ends, bending, shear):
    L, w = 0.6, 900.0
    f = bar(*ENDS[ends], loads=(LineLoad("bar", "z"),))
    a = solve(f, f.sizes(points=level(L), Avz=AVZ, load=-w, **SECTION))
    place = L if ends == "cantilever" else L / 2
    exact = bending * w * L**4 / (E * IY) + shear * w * L**2 / (G * AVZ)
    assert -a.member("bar").at(place).w[0, 0] == pytest.approx(exact, rel=1e-12)


@pytest.mark.parametrize(
    "depths, simple, cantilever", [(5, 0.32, 0.10), (10, 0.08, 0.025), (20, 0.02, 0.006)]
)
def test_short_bars_lose_stiffness_in_shear(depths, simple, cantilever):
    # Published shares for 2x2x1/8 tube, shear on the flats of two webs, printed to two digits.
    inch = 0.0254
    H, t, I = 2 * inch, 0.116 * inch, 0.486 * inch**4  # noqa: E741
    section = {**SECTION, "Iy": I, "Avz": 2 * (H - 3 * t) * t, "A": 0.84 * inch**2, "G": E / 2.6}
    for ends, load, share in (
        ("simple", LineLoad("bar", "z"), simple),
        ("cantilever", NodeLoad("b", "z"), cantilever),
    ):
        f = bar(*ENDS[ends], loads=(load,))
        L = depths * H
        sag = [
            -solve(f, f.sizes(points=level(L), load=-1.0, **{**section, "Avz": Av}))
            .member("bar")
            .largest("w", "least")[0][0]
            for Av in (section["Avz"], np.inf)
        ]
        assert sag[0] / sag[1] - 1 == pytest.approx(share, rel=0.03, abs=0.0006)


# --- every load beside the beam engine, which has no matrices


@pytest.mark.parametrize("ends", list(ENDS))
@pytest.mark.parametrize("shear", [False, True])
def test_all_loads_beside_the_beam_engine(ends, shear):
    L, s, e = 1.4, 0.35, 1.05
    loads = (
        PointLoad("bar", "z"),
        PointLoad("bar", "z"),
        LineLoad("bar", "z"),
        LineLoad("bar", "z"),
        PointLoad("bar", "ry"),
    )
    f = bar(*ENDS[ends], loads=loads)
    one = f.sizes(
        points=level(L),
        Avz=AVZ if shear else np.inf,
        load=[-300, 120, -800, -200, 40],
        load_to=[np.nan, np.nan, -800, -1500, np.nan],
        at=[0.5, 1.2, np.nan, s, 0.9],
        to=[np.nan, np.nan, np.nan, e, np.nan],
        **SECTION,
    )
    mine = solve(f, one, order="first").insist().member("bar")
    theirs = Beam(
        ends=ends,
        L=Q(L, "m"),
        E=Q(E, "Pa"),
        I=Q(IY, "m^4"),
        GA=Q(G * AVZ, "N") if shear else None,
        loads=[
            Point(Q(300, "N"), Q(0.5, "m")),
            Point(Q(-120, "N"), Q(1.2, "m")),
            Even(Q(800, "N/m")),
            Growing(Q(200, "N/m"), Q(1500, "N/m"), Q(s, "m"), Q(e, "m")),
            Couple(Q(40, "N*m"), Q(0.9, "m")),
        ],
    )
    x = np.linspace(0, L, 23)[1:-1]
    d = mine.at(x)
    for got, want in (
        (-d.w[0], theirs.sag(Q(x, "m"))),
        (d.My[0], theirs.moment(Q(x, "m"))),
        (d.Vz[0], theirs.shear(Q(x, "m"))),
    ):
        assert np.allclose(got, want.magnitude, rtol=0, atol=1e-9 * np.abs(want.magnitude).max())
    for what, sense, name, other, sign in (
        ("w", "least", "sag", "down", -1),
        ("My", "most", "moment", "sagging", 1),
        ("My", "least", "moment", "hogging", 1),
    ):
        value, place = mine.largest(what, sense)
        best, where = theirs.largest(name, other)
        assert sign * value[0] == pytest.approx(best.magnitude, rel=1e-9, abs=1e-9)
        if abs(best.magnitude) > 1e-6:
            assert place[0] == pytest.approx(where.magnitude, abs=1e-5)


def test_largest_sag_is_neither_under_the_load_nor_in_the_middle():
    L, a, P = 1.0, 0.35, 100.0
    f = bar(*ENDS["simple"], loads=(PointLoad("bar", "z"),))
    sag, place = (
        solve(f, f.sizes(points=level(L), load=-P, at=a, **SECTION), order="first")
        .member("bar")
        .largest("w", "least")
    )
    x = np.sqrt((L**2 - a**2) / 3)
    assert (
        place[0] == pytest.approx(L - x, rel=1e-7)
        and abs(place[0] - 0.35) > 0.05
        and abs(place[0] - 0.5) > 0.03
    )
    assert -sag[0] == pytest.approx(P * a * (L**2 - a**2) ** 1.5 / (9 * np.sqrt(3) * E * IY * L), rel=1e-12)


def test_a_couple_makes_the_moment_jump_and_both_sides_are_seen():
    f = bar(*ENDS["simple"], loads=(PointLoad("bar", "ry"),))
    b = solve(f, f.sizes(points=level(2.0), load=50.0, at=0.9, **SECTION), order="first").member("bar")
    assert b.largest("My", "most") == (pytest.approx(27.5), pytest.approx(0.9))
    assert b.largest("My", "least") == (pytest.approx(-22.5), pytest.approx(0.9))


def test_height_carries_upright_load_and_runs_along_x_where_the_bar_stands():
    # A bar of unlike axes: level it sags by Iy; standing, a push along x bends it about the same axis.
    sections = {**SECTION, "Iz": IY / 4}
    level_bar = bar(FIXED, loads=(NodeLoad("b", "z"), NodeLoad("b", "y")))
    a = solve(level_bar, level_bar.sizes(points=level(1.0), load=[1.0, 1.0], **sections), order="first")
    assert a.displacement("b", "z")[0] == pytest.approx(1 / (3 * E * IY))
    assert a.displacement("b", "y")[0] == pytest.approx(4 / (3 * E * IY))
    post = bar(FIXED, loads=(NodeLoad("b", "x"), NodeLoad("b", "y")))
    for z in (1.0, -1.0):
        a = solve(post, post.sizes(points=[[0, 0, 0], [0, 0, z]], load=[1.0, 1.0], **sections), order="first")
        assert a.displacement("b", "x")[0] == pytest.approx(1 / (3 * E * IY))
        assert a.displacement("b", "y")[0] == pytest.approx(4 / (3 * E * IY))
    turned = post.sizes(points=[[0, 0, 0], [0, 0, 1.0]], load=[1.0, 1.0], roll=np.pi / 2, **sections)
    assert solve(post, turned, order="first").displacement("b", "x")[0] == pytest.approx(4 / (3 * E * IY))


def test_height_may_be_named():
    f = bar(FIXED, loads=(NodeLoad("b", "y"),), height_along="y")
    a = solve(f, f.sizes(points=level(1.0), load=1.0, **SECTION), order="first")
    assert a.displacement("b", "y")[0] == pytest.approx(1 / (3 * E * IY))
    with pytest.raises(InputError, match="across the bar"):
        along = bar(FIXED, loads=(NodeLoad("b", "y"),), height_along="x")
        solve(along, along.sizes(points=level(1.0), load=1.0, **SECTION))


def test_skew_load_moves_the_bar_sideways():
    # Trap Steel 24: the sideways part acts on the weak axis.
    f = bar(FIXED, loads=(NodeLoad("b", "z"), NodeLoad("b", "y")))
    tilt = np.radians(5)
    a = solve(
        f,
        f.sizes(points=level(1.0), load=[-np.cos(tilt), np.sin(tilt)], **{**SECTION, "Iz": IY / 38.9}),
        order="first",
    )
    assert a.displacement("b", "y")[0] / -a.displacement("b", "z")[0] == pytest.approx(38.9 * np.tan(tilt))
    assert 38.9 * np.tan(tilt) == pytest.approx(3.4, abs=0.01)


def test_tension_twist_and_stretch():
    f = bar(
        FIXED, loads=(NodeLoad("b", "x"), NodeLoad("b", "rx"), LineLoad("bar", "x"), PointLoad("bar", "rx"))
    )
    L = 0.8
    s = f.sizes(
        points=level(L),
        load=[1000.0, 30.0, 500.0, 12.0],
        load_to=[np.nan, np.nan, 500.0, np.nan],
        at=[np.nan, np.nan, np.nan, 0.3],
        **SECTION,
    )
    a = solve(f, s, order="first")
    b = a.member("bar")
    assert a.displacement("b", "x")[0] == pytest.approx(1000 * L / (E * A) + 500 * L**2 / (2 * E * A))
    assert a.displacement("b", "rx")[0] == pytest.approx((30 * L + 12 * 0.3) / (G * SECTION["J"]))
    assert np.allclose(b.at([0.0, 0.2, 0.5, L]).N, [1400, 1300, 1150, 1000])
    assert np.allclose(b.at([0.0, 0.2, 0.5, L]).T, [42, 42, 30, 30])
    assert b.largest("N", "most")[0][0] == pytest.approx(1400)


def test_weight_of_bars_and_masses():
    f = Frame(("a", "b"), (Member("bar", "a", "b"),), (Support("a", FIXED),), masses=("b",))
    a = solve(
        f,
        f.sizes(points=level(1.2), mass_per_length=4.0, node_mass=20.0, gravity=(0, 0, -9.81), **SECTION),
        order="first",
    )
    assert a.reaction("a", "z")[0] == pytest.approx(9.81 * (4.8 + 20))
    assert -a.displacement("b", "z")[0] == pytest.approx(9.81 * (4 * 1.2**4 / 8 + 20 * 1.2**3 / 3) / (E * IY))


# --- supports that give: traps Steel 23, 22


def three_supports(**more):
    return Frame(
        ("a", "b", "c"),
        (Member("ab", "a", "b"), Member("bc", "b", "c")),
        [Support("a", "x y z rx rz"), Support("c", "y z rx rz"), *more.pop("supports", ())],
        loads=(LineLoad("ab", "z"), LineLoad("bc", "z")),
        **more,
    )


def test_a_middle_support_that_gives_sheds_its_load():
    L, w = 1.0, 600.0
    points = [[0, 0, 0], [L, 0, 0], [2 * L, 0, 0]]
    rigid = three_supports(supports=[Support("b", "y z")])
    a = solve(rigid, rigid.sizes(points=points, load=-w, **SECTION), order="first")
    assert a.reaction("b", "z")[0] == pytest.approx(1.25 * w * L)
    k = 4e5
    sprung = three_supports(springs=[Spring("b", "z")])
    a = solve(sprung, sprung.sizes(points=points, load=-w, spring=k, **SECTION), order="first")
    free, give = 5 * w * (2 * L) ** 4 / (384 * E * IY), (2 * L) ** 3 / (48 * E * IY)
    R = free / (give + 1 / k)
    assert a.reaction("b", "z")[0] == pytest.approx(R, rel=1e-9) and 0 < R < 1.25 * w * L
    assert -a.displacement("b", "z")[0] == pytest.approx(R / k, rel=1e-9)


def test_a_settled_support():
    from shopcalc.mechanics.frames import Settlement

    L = 1.0
    f = three_supports(supports=[Support("b", "y z")], settlements=[Settlement("b", "z")])
    a = solve(
        f, f.sizes(points=[[0, 0, 0], [L, 0, 0], [2 * L, 0, 0]], settles=-0.003, **SECTION), order="first"
    )
    assert a.reaction("b", "z")[0] == pytest.approx(-0.003 * 48 * E * IY / (2 * L) ** 3)
    assert a.member("ab").at(L).My[0, 0] == pytest.approx(0.003 * 48 * E * IY / (2 * L) ** 3 * 2 * L / 4)


# --- frames by formula: traps Steel 11, 12, 13


def test_rail_ends_bracket_a_factor_of_five():
    sag = {}
    for ends in ("simple", "fixed"):
        f = bar(*ENDS[ends], loads=(LineLoad("bar", "z"),))
        sag[ends] = (
            -solve(f, f.sizes(points=level(1.5), load=-500.0, **SECTION))
            .member("bar")
            .largest("w", "least")[0][0]
        )
    assert sag["simple"] / sag["fixed"] == pytest.approx(5)
    f, chains = portal(loads=(LineLoad("bc", "z"),))
    a = solve(
        f, f.sizes(points=placed(f, portal_points(chains, 0.72, 1.5)), load=-500.0, **SECTION), order="first"
    )
    assert sag["fixed"] < -a.member("bc").largest("bow_z", "least")[0][0] < sag["simple"]


def test_foot_fixity_is_a_factor_of_four_and_pinned_feet_push_outward():
    h, sway, made = 0.72, {}, {}
    for feet in FEET:
        f, chains = portal(feet)
        stiff_rail = {**SECTION, "Iy": np.array([IY, 1e5 * IY, IY]), "A": 1e3 * A}
        made[feet] = f.sizes(
            points=placed(f, portal_points(chains, h, 1.2)), load=[100.0, 0, 0], **stiff_rail
        )
        sway[feet] = solve(f, made[feet], order="first").displacement("b", "x")[0]
    assert 100 / sway["fixed"] == pytest.approx(24 * E * IY / h**3, rel=2e-4)
    assert 100 / sway["pinned"] == pytest.approx(6 * E * IY / h**3, rel=2e-4)


def test_glides_release_the_thrust_and_the_rail_carries_more():
    h, L, w = 0.72, 1.5, 700.0
    f, chains = portal(loads=(LineLoad("bc", "z"),))
    points = placed(f, portal_points(chains, h, L))
    a = solve(f, f.sizes(points=points, load=-w, **SECTION), order="first")
    thrust = w * L**2 / (4 * h * (2 * (h / L) + 3))
    assert a.reaction("a", "x")[0] == pytest.approx(thrust, rel=2e-3) and a.reaction("d", "x")[
        0
    ] == pytest.approx(-thrust, rel=2e-3)
    glide = Frame(f.nodes, f.members, [Support("a", "x y z rx rz"), Support("d", "y z rx rz")], loads=f.loads)
    g = solve(glide, glide.sizes(points=points, load=-w, **SECTION), order="first")
    assert abs(g.reaction("a", "x")[0]) < 1e-9 * w
    assert (
        g.member("bc").largest("My")[0][0] == pytest.approx(w * L**2 / 8)
        and a.member("bc").largest("My")[0][0] < w * L**2 / 9
    )


def test_an_off_centre_load_sways_an_unbraced_frame():
    f, chains = portal("fixed", loads=(PointLoad("bc", "z"),))
    s = f.sizes(
        points=placed(f, portal_points(chains, 0.72, 1.5)), load=-800.0, at=[[0.375], [0.75]], **SECTION
    )
    a = solve(f, s, order="first")
    sway = (a.displacement("b", "x") + a.displacement("c", "x")) / 2
    assert sway[0] > 5e-5 and abs(sway[1]) < 1e-9 * sway[0]
