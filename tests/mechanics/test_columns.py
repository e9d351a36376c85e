"""Columns against their differential equations: Euler's load, the secant formula, legs that sway, a narrow cantilever."""

import math

import numpy as np
import pytest

from shopcalc.errors import InputError, OutsideRange
from shopcalc.mechanics import columns
from shopcalc.units import Q, Quantity, magnitude

E, A, I = Q(29000, "ksi"), Q(0.84, "in**2"), Q(0.486, "in**4")  # 2 x 2 x 1/8 in tube


def kip(q):
    return magnitude(q, "kip")


def test_euler_load_is_the_least_eigenvalue_of_the_bent_column():
    """EI v'' + P v = 0 between ends that turn, by finite differences."""
    n, L = 800, 60.0
    h = L / n
    main, off = np.full(n - 1, 2 / h**2), np.full(n - 2, -1 / h**2)
    least = np.linalg.eigvalsh(np.diag(main) + np.diag(off, 1) + np.diag(off, -1))[0]
    got = columns.euler_load(E=E, I=I, L_c=Q(L, "in"))
    assert kip(got) == pytest.approx(29000 * 0.486 * least, rel=1e-5)
    post = columns.euler_load(E=E, I=I, L_c=columns.effective_length(2.0, Q(30, "in")))
    assert kip(post) == pytest.approx(kip(got))  # a post of half the height standing free


def by_differential_equation(P, e, L, EI):
    """Sideways movement at the middle of a column with free-turning ends under P at e: EI v'' + P (v + e) = 0,
    v = 0 at both ends, by finite differences."""
    n = 2000
    h = L / n
    K = (np.diag(np.full(n - 1, -2 * EI / h**2 + P)) + np.diag(np.full(n - 2, EI / h**2), 1)
         + np.diag(np.full(n - 2, EI / h**2), -1))
    v = np.linalg.solve(K, np.full(n - 1, -P * e))
    return v[n // 2 - 1]


@pytest.mark.parametrize("share", [0.05, 0.3, 0.7, 0.95])
def test_secant_formula_solves_the_bent_column(share):
    L, e, c = Q(60, "in"), Q(0.75, "in"), Q(1, "in")
    P = share * columns.euler_load(E=E, I=I, L_c=L)
    r = Q(math.sqrt(0.486 / 0.84), "in")
    v = by_differential_equation(kip(P), 0.75, 60.0, 29000 * 0.486)
    sag = columns.eccentric_sag(P=P, e=e, L_c=L, E=E, I=I)
    assert magnitude(sag, "inch") == pytest.approx(v, rel=1e-4)
    stress = columns.secant_stress(P=P, A=A, e=e, c=c, r=r, L_c=L, E=E)
    # at the middle: the push over the area and its moment about the moved axis
    assert magnitude(stress, "ksi") == pytest.approx(kip(P) / 0.84 + kip(P) * (0.75 + v) / 0.486, rel=1e-4)
    S = columns.secant_stress_by_modulus(P=P, A=A, e=e, S=Q(0.486, "in**3"), L_c=L, E=E, I=I)
    assert magnitude(S, "ksi") == pytest.approx(magnitude(stress, "ksi"), rel=1e-9)
    back = columns.load_at_stress(stress=stress, A=A, e=e, c=c, r=r, L_c=L, E=E)
    assert kip(back) == pytest.approx(kip(P), rel=1e-9)


def test_a_push_beside_the_axis_takes_more_than_its_mean_stress():
    """Trap: off-centre legs. 4 in square tube, 8 ft free-standing, 0.75 in off: mean 8.8 ksi becomes 22 ksi."""
    tube = {"A": Q(3.54, "in**2"), "L_c": Q(16, "ft"), "E": Q(29000, "ksi"), "r": Q(1.5, "in"), "c": Q(2, "in")}
    P = Q(31.06, "kip")
    mean = magnitude(columns.mean_stress(P=P, A=tube["A"]), "ksi")
    stress = magnitude(columns.secant_stress(P=P, e=Q(0.75, "in"), **tube), "ksi")
    assert (mean, stress) == (pytest.approx(8.77, abs=0.01), pytest.approx(22.0, abs=0.05))


def test_past_the_euler_load_there_is_no_answer():
    L = Q(60, "in")
    P = 1.01 * columns.euler_load(E=E, I=I, L_c=L)
    with pytest.raises(OutsideRange, match="Euler load"):
        columns.eccentric_sag(P=P, e=Q(0.1, "in"), L_c=L, E=E, I=I)
    with pytest.raises(OutsideRange, match="Euler load"):
        columns.secant_stress(P=P, A=A, e=Q(0.1, "in"), c=Q(1, "in"), r=Q(0.76, "in"), L_c=L, E=E)
    many = columns.eccentric_sag(P=Quantity(np.array([0.5, 1.5]) * kip(P), "kip"), e=Q(0.1, "in"), L_c=L, E=E, I=I)
    assert np.isfinite(many.magnitude[0]) and np.isnan(many.magnitude[1])


def test_load_at_a_stress_that_is_never_reached_is_refused():
    with pytest.raises(OutsideRange, match="before the column buckles"):
        columns.load_at_stress(stress=Q(5000, "ksi"), A=A, e=Q(1e-9, "in"), c=Q(1, "in"), r=Q(0.76, "in"), L_c=Q(90, "in"), E=E)


# --- legs that sway ------------------------------------------------------------------------------


def sway_determinant(K, G_top, G_bottom):
    """A leg with a rotational spring at either end, free to sway: 3 x 3 stiffness with stability functions, EI = L = 1.
    A rail bent in double curvature gives 6 (EI/L)_rail = 6/G of a leg of EI/L = 1."""
    x = math.pi / K
    s = x * (math.sin(x) - x * math.cos(x)) / (2 - 2 * math.cos(x) - x * math.sin(x))
    t = x * (x - math.sin(x)) / (2 - 2 * math.cos(x) - x * math.sin(x))
    q = s + t
    return np.linalg.det(np.array([[s + 6 / G_top, t, q], [t, s + 6 / G_bottom, q], [q, q, 2 * q - x * x]]))


@pytest.mark.parametrize("G_top", [0.1, 0.5, 1.0, 4.0, 10.0, 50.0])
@pytest.mark.parametrize("G_bottom", [0.2, 1.0, 10.0])
def test_alignment_equation_is_the_determinant_of_a_leg_that_sways(G_top, G_bottom):
    """The first K from above at which the leg with its two rails has no stiffness left."""
    K = columns.sway_factor(G_top, G_bottom)
    assert K > 1
    below, above = (sway_determinant(K * f, G_top, G_bottom) for f in (1 - 1e-6, 1 + 1e-6))
    assert below * above < 0  # it changes sign here
    higher = [sway_determinant(k, G_top, G_bottom) for k in np.linspace(K * 1.001, 30, 400)]
    assert min(higher) > 0  # and not at a lighter load
    assert columns.alignment_residual(K=K, G_top=G_top, G_bottom=G_bottom) == pytest.approx(0, abs=1e-9)


def test_known_ends_of_the_sway_factor():
    """Both ends held 1, held and turning 2; never under 1."""
    assert columns.sway_factor(1e-6, 1e-6) == pytest.approx(1.0, abs=1e-3)
    assert columns.sway_factor(1e-6, 1e7) == pytest.approx(2.0, abs=1e-3)
    assert columns.sway_factor(1.0, 10.0) == pytest.approx(columns.sway_factor(10.0, 1.0))
    many = columns.sway_factor_si(np.array([1.0, 1.0, -1.0, 1e9]), np.array([1.0, 10.0, 1.0, 1e9]))
    assert many[0] == pytest.approx(1.32, abs=0.01) and many[1] == pytest.approx(1.90, abs=0.01)
    assert np.isnan(many[2:]).all()


def test_stiffness_ratio_at_a_joint():
    got = columns.stiffness_ratio_at_joint(column=Q(1, "in**4"), L_column=Q(30, "in"), rail=Q(2, "in**4"), L_rail=Q(60, "in"))
    assert got == pytest.approx(1.0)


def test_a_leg_that_nothing_holds_has_no_factor():
    with pytest.raises(InputError, match="over zero"):
        columns.sway_factor(0.0, 1.0)
    with pytest.raises(OutsideRange, match="mechanism"):
        columns.sway_factor(1e9, 1e9)


# --- a narrow bar on edge ------------------------------------------------------------------------


def test_4_013_is_the_first_root_of_the_twisting_cantilever():
    """phi'' + (P^2/(EI GJ)) x^2 phi = 0 from the tip (no torque: phi' = 0) to the held end (phi = 0): integrated step by
    step, the first load at which the held end does not turn."""
    def end(k):
        n = 4000
        h, phi, rate = 1 / n, 1.0, 0.0
        for i in range(n):  # midpoint rule
            x = i * h
            mid_phi, mid_rate = phi + h / 2 * rate, rate - h / 2 * k * k * x * x * phi
            phi, rate = phi + h * mid_rate, rate - h * k * k * (x + h / 2)**2 * mid_phi
        return phi

    low, high = 3.5, 4.5
    assert end(low) > 0 > end(high)
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if end(middle) > 0 else (low, middle)
    assert low == pytest.approx(4.0126, abs=5e-4)
    bar = {"E": Q(1, "Pa"), "I_y": Q(1, "m**4"), "G": Q(1, "Pa"), "J": Q(1, "m**4")}
    assert magnitude(columns.narrow_cantilever_load(**bar, L=Q(1, "m")), "N") == pytest.approx(low, rel=3e-4)


def test_share_of_torsion_of_a_thin_bar_is_a_third():
    from shopcalc.stock.open_sections import torsion_constant_bar

    h, b = Q(50, "in"), Q(0.1, "in")
    ours = columns.torsion_constant_by_share(1 / 3, h=h, b=b)
    assert (ours / torsion_constant_bar(b=h, t=b)).to("").magnitude == pytest.approx(1.0, rel=0.005)


def test_a_cantilever_longer_than_the_length_buckles_before_it_yields():
    bar = {"E": E, "I_y": Q(0.052, "in**4"), "G": Q(11200, "ksi"), "J": Q(0.195, "in**4")}
    S, F_y = Q(2.083, "in**3"), Q(36, "ksi")
    L = columns.narrow_cantilever_length(**bar, S=S, F_y=F_y)
    for factor, buckles in ((1.1, True), (0.9, False)):
        yields = F_y * S / (factor * L)
        assert (kip(columns.narrow_cantilever_load(**bar, L=factor * L)) < kip(yields)) is buckles
