"""Bolts, threads, prying: published figures, equilibrium by a second route, laws."""

import numpy as np
import pytest

from shopcalc.check import allowable
from shopcalc.codes.aisc360_22 import bolts as code
from shopcalc.errors import InputError
from shopcalc.joints import bolts, prying, threads
from shopcalc.stock import fasteners
from shopcalc.units import Q, magnitude, read_length

INCH, KSI, LBF = 0.0254, 6894757.293168361, 4.4482216152605


def lbf(newton):
    return newton / LBF


# --- stock ---------------------------------------------------------------------------------------


def test_a_bolt_is_found_by_name_and_by_size():
    for name in ("3/8", "3/8-16", '3/8"', "3/8 in"):
        assert fasteners.thread(name).name == "3/8-16"
    assert fasteners.thread(read_length("3/8 in")).name == "3/8-16"
    assert fasteners.thread(Q(10, "mm")).name == "M10" and fasteners.thread("m10").name == "M10"
    with pytest.raises(InputError, match="a bolt of the list"):
        fasteners.thread(Q(9, "mm"))


def test_a_grade_is_found_in_the_row_of_its_size():
    assert fasteners.grade("SAE 2", Q(0.375, "inch")).proof == Q(55, "ksi")
    assert fasteners.grade("grade 2", Q(1, "inch")).proof == Q(33, "ksi")
    assert fasteners.grade("8.8", Q(20, "mm")).tensile == Q(830, "MPa")
    assert fasteners.grade("Grade 5 bolts", Q(0.5, "inch")).tensile == Q(120, "ksi")
    with pytest.raises(InputError, match="made in"):
        fasteners.grade("A325", Q(0.375, "inch"))
    with pytest.raises(InputError, match="nearest"):
        fasteners.grade("grade 55", Q(0.375, "inch"))


@pytest.mark.parametrize("one", fasteners.threads(), ids=lambda t: t.name)
def test_limits_of_a_thread_stand_in_order(one):
    """Basic pitch diameter D - 0.6495 P between the two of the limits, minor under pitch under major."""
    D, P, Ds, Es, En, Kn = (
        float(magnitude(v, "mm")) for v in (one.D, one.pitch, one.Ds_min, one.Es_min, one.En_max, one.Kn_max)
    )
    basic = D - 0.649519 * P
    assert Kn < Es < basic < En < Ds < D
    assert D - 1.0825 * P < Kn < D - 0.79 * P
    assert Ds > D - 0.25 * P and Es > basic - 0.16 * P and En < basic + 0.16 * P


@pytest.mark.parametrize("name", fasteners.grades())
def test_a_grade_stands_proof_under_yield_under_strength(name):
    for size in ("0.2 in", "0.5 in", "0.75 in"):
        try:
            g = fasteners.grade(name, Q(float(size.split()[0]), "inch"))
        except InputError:
            continue
        assert g.proof <= g.yields < g.tensile


# --- threads -------------------------------------------------------------------------------------


def test_a_quarter_inch_bolt_in_a_fourteen_gauge_wall():
    """Trap 27: 1.7 threads in 0.083 in, 2.4 in 0.120 in; 1,560 lbf by area and 660 lbf by a third in 0.083
    in, F_u 58 ksi."""
    t = fasteners.thread("1/4")
    found = threads.stripping(t, np.array([0.083, 0.120]) * INCH, 58 * KSI, 120 * KSI)
    assert found.engaged == pytest.approx([1.66, 2.4], abs=0.01)
    assert lbf(found.by_hole[0]) == pytest.approx(1560, rel=0.003)
    assert lbf(found.by_third[0]) == pytest.approx(660, rel=0.005)
    assert np.all(found.least == found.by_third) and not found.too_few.any()
    proof = threads.load_of_stress(S=Q(85, "ksi"), A_t=threads.stress_area(t))
    assert proof.to("lbf").magnitude == pytest.approx(2700, rel=0.005)


def test_perfect_mating_is_the_half_of_the_cylinder():
    """RP-1228: the third is empirical, a half would be perfect mating; the sum over the flanks of a sharp
    thread gives that half."""
    d_m, L = 0.2175, 0.5
    third = threads.strip_by_third.si(F_u=1 / 0.6, d_m=d_m, L_e=L)
    assert third == pytest.approx(np.pi * d_m * L / 3)
    area = threads.shear_area_internal.si(P=0.05, L_e=L, Ds_min=d_m, En_max=d_m)
    assert area == pytest.approx(1.5 * third)


def test_less_than_one_thread_is_no_thread():
    found = threads.stripping(fasteners.thread("3/8"), 0.049 * INCH, 58 * KSI, 120 * KSI)
    assert found.too_few[0]


def test_torque_of_a_free_bolt_and_of_one_in_a_thin_wall():
    t, g = fasteners.thread("1/4"), fasteners.grade("grade 5", Q(0.25, "inch"))
    free = threads.tightening(thread=t, proof=g.proof)
    assert lbf(free.aimed) == pytest.approx(0.75 * 85000 * 0.0318, rel=0.002)
    assert free.dry == pytest.approx(0.20 * 0.25 * INCH * free.aimed) and free.oiled == pytest.approx(
        0.75 * free.dry
    )
    assert (free.low, free.high) == (0.75 * free.aimed, 1.25 * free.aimed)
    thin = threads.tightening(thread=t, proof=g.proof, cap=330 * LBF, cap_words="threads of the wall")
    assert thin.high == pytest.approx(330 * LBF) and thin.limited_by == "threads of the wall"
    assert free.if_oiled / free.low == pytest.approx(2.22, abs=0.01)  # the factor that CAUTIONS names


# --- the code ------------------------------------------------------------------------------------


def test_table_j3_2_and_its_last_row():
    assert code.nominal_stresses("group 120", 0) == (90 * KSI, 54 * KSI)
    assert code.nominal_stresses("group 120", 0, threads_in=False)[1] == 68 * KSI
    assert code.nominal_stresses("threaded part", 120 * KSI) == pytest.approx((90 * KSI, 54 * KSI))
    assert code.nominal_stresses("A307", 60 * KSI) == pytest.approx((45 * KSI, 27 * KSI))


def test_combined_use_is_j3_3_rearranged():
    """T against (1.3 F_nt - Omega F_nt/F_nv f_rv) A_b/Omega, at most F_nt A_b/Omega."""
    F_nt, F_nv, A = 90.0, 54.0, 0.11
    for v in np.linspace(0, 1, 11):
        left = (
            min(code.tensile_stress_beside_shear.si(F_nt=F_nt, Omega=2.0, F_nv=F_nv, f_rv=v * F_nv / 2), F_nt)
            * A
            / 2
        )
        share = left / (F_nt * A / 2)
        assert code.combined_use(share, v) == pytest.approx(1.0)
        assert code.combined_use(share * 1.01, v) > 1


def test_bearing_and_tear_out_by_plain_numbers():
    """3/8 bolt, 1/8 wall of F_u 58, hole 7/16 one inch from the edge: 2.4 d t F_u and 1.2 l_c t F_u."""
    s = code.bolt_bearing.si(
        d=0.375 * INCH, t=0.125 * INCH, F_u=58 * KSI, l_c=np.array([1 - 0.21875, 0.5 - 0.21875]) * INCH
    )
    assert s.nominal / (1000 * LBF) == pytest.approx(
        [2.4 * 0.375 * 0.125 * 58, 1.2 * 0.28125 * 0.125 * 58], rel=1e-6
    )
    assert [s.state(i) for i in (0, 1)] == ["bearing", "tear-out"]
    assert allowable(s, "use")[0] == s.nominal[0] / 2


def test_holes_and_edges_of_the_tables():
    """Tables J3.3 and J3.4 and their metric twins; under 1/2 in the shop's rule, and it says so."""
    half = code.standard_hole(0.5 * INCH)
    assert (half.hole / INCH, half.edge / INCH, half.in_table) == (
        pytest.approx(9 / 16),
        pytest.approx(0.75),
        True,
    )
    m16 = code.standard_hole(0.016, metric=True)
    assert (m16.hole, m16.edge) == (pytest.approx(0.018), pytest.approx(0.022))
    small = code.standard_hole(0.375 * INCH)
    assert not small.in_table and small.hole / INCH == pytest.approx(7 / 16)
    assert code.least_spacing(Q(0.375, "inch")).to("inch").magnitude == pytest.approx(1.0)


# --- groups --------------------------------------------------------------------------------------


def by_energy(places, P, V, M_x, M_y, T):
    """Second route: springs of one stiffness, solved as a rigid plate (six equations)."""
    p = places - places.mean(axis=0)
    K, f = np.zeros((6, 6)), np.array([V[0], V[1], P, M_x, -M_y, T])
    rows = [np.array([[1, 0, 0, 0, 0, -y], [0, 1, 0, 0, 0, x], [0, 0, 1, y, x, 0]], float) for x, y in p]
    for r in rows:
        K += r.T @ r
    u = np.linalg.lstsq(K, f, rcond=None)[0]
    return np.array([r @ u for r in rows])


@pytest.mark.parametrize("count", [4, 6, 8])
def test_elastic_group_is_a_rigid_plate_on_equal_springs(count):
    places = bolts.pattern(count, 0.06, 0.10)
    load = {"P": 900.0, "V_x": 300.0, "V_y": -500.0, "M_x": 40.0, "M_y": 25.0, "T": 30.0}
    ours = bolts.elastic(places, **load)
    each = by_energy(places, 900.0, (300.0, -500.0), 40.0, 25.0, 30.0)
    assert ours.shear[0] == pytest.approx(np.hypot(each[:, 0], each[:, 1]))
    assert ours.tension[0] == pytest.approx(np.maximum(each[:, 2], 0))


def test_what_a_pattern_cannot_hold_is_infinite():
    two = bolts.pattern(2, 0.0, 0.08)
    assert (
        np.isinf(bolts.elastic(two, M_y=10.0).tension).all()
        and np.isfinite(bolts.elastic(two, M_x=10.0).tension).all()
    )
    one = bolts.pattern(1, 0, 0)
    assert (
        np.isinf(bolts.elastic(one, T=5.0).shear).all()
        and np.isinf(bolts.elastic(one, M_x=5.0).tension).all()
    )
    assert bolts.elastic(one, P=100.0, V_x=50.0).tension[0, 0] == 100.0


def test_a_line_of_bolts_turns_about_the_edge_of_its_plate():
    """Two bolts in a line, 1 in from the edge: moment across them over two levers."""
    two = bolts.pattern(2, 0.0, 0.08)
    T = bolts.with_edges(two, 1 * INCH, 2 * INCH, P=100.0, M_y=50.0)
    assert T[0] == pytest.approx(50 + 50 / (1 * INCH * 2))
    assert np.isinf(bolts.with_edges(two, 0.0, 0.0, M_y=50.0)[0])


def test_patterns_stand_about_their_middle():
    for n in (1, 2, 3, 4, 6, 8):
        p = bolts.pattern(n, 0.05, 0.09)
        assert len(p) == n and p.mean(axis=0) == pytest.approx([0, 0], abs=1e-15)
        if n > 3:
            assert np.ptp(p[:, 0]) == pytest.approx(0.05) and np.ptp(p[:, 1]) == pytest.approx(0.09)
    with pytest.raises(InputError):
        bolts.pattern(5, 0.1, 0.1)


def test_instantaneous_centre_carries_no_less_than_the_elastic_sum():
    places = bolts.pattern(4, 3 * INCH, 3 * INCH)
    assert bolts.instantaneous_centre(places, np.pi / 2, 0.0) == 4
    for e in (1, 2, 4, 8, 20):
        C = bolts.instantaneous_centre(places, np.pi / 2, e * INCH)
        V = bolts.elastic(places, V_y=1.0, T=e * INCH).shear.max()
        assert 1 / V <= C < 4
    far = bolts.instantaneous_centre(places, np.pi / 2, 100.0) * 100.0
    assert far == pytest.approx(
        4 * np.hypot(1.5, 1.5) * INCH * (1 - np.exp(-3.4)) ** 0.55, rel=1e-3
    )  # pure turning


def test_play_of_two_bolts():
    assert bolts.play_angle.si(c=INCH / 16, s=3 * INCH) == pytest.approx(1 / 48)
    assert bolts.slip_of(7 / 16, 3 / 8) == pytest.approx(1 / 8)


# --- prying --------------------------------------------------------------------------------------

PLATE = {
    "B": 10e3,
    "F_y": 36 * KSI,
    "p": 2 * INCH,
    "a": 1 * INCH,
    "b": 1.25 * INCH,
    "d": 0.375 * INCH,
    "hole": 0.4375 * INCH,
}


@pytest.mark.parametrize("t", [0.15, 0.2, 0.25, 0.3, 0.4, 0.6])
def test_the_greatest_pull_satisfies_thorntons_three_equations(t):
    """M - T b' + Q a' = 0, T + Q = B, Q a' = delta alpha M, with 0 <= alpha <= 1 and M within the strip's
    moment: the largest T
    of a fine grid that meets them."""
    found = prying.prying(T=1.0, t=t * INCH, **PLATE)
    b1, a1, delta = (1.25 - 0.1875) * INCH, (1 + 0.1875) * INCH, 1 - 0.4375 / 2
    most = 36 * KSI * 2 * INCH * (t * INCH) ** 2 / 4 / 1.67
    best = 0.0
    for alpha in np.linspace(0, 1, 4001):
        M = min(most, 10e3 * a1 * b1 / (a1 + delta * alpha * (a1 + b1)))  # the bolt full: T + Q = B
        T = M * (1 + delta * alpha) / b1
        if T + delta * alpha * M / a1 <= 10e3 * (1 + 1e-9):
            best = max(best, T)
    assert found.T_max[0] == pytest.approx(min(best, 10e3), rel=1e-3)


def test_a_thick_plate_does_not_pry_and_a_thin_one_yields_first():
    pull = 3000.0
    free = prying.prying(T=pull, t=1 * INCH, **PLATE)
    assert free.Q[0] == 0 and free.bolt[0] == pull and free.T_max[0] == PLATE["B"]
    thin = prying.prying(T=pull, t=0.125 * INCH, **PLATE)
    assert thin.plate_use[0] > 1 and thin.alpha[0] == 1
    just = prying.prying(T=pull, t=free.t_free[0], **PLATE)
    assert just.alpha[0] == pytest.approx(0, abs=1e-9)


def test_bolt_force_never_falls_when_the_plate_thins():
    t = np.linspace(0.6, 0.17, 60) * INCH
    found = prying.prying(T=2500.0, t=t, **PLATE)
    held = found.plate_use <= 1
    assert np.all(np.diff(found.bolt[held]) >= -1e-9) and np.all(np.diff(found.T_max) <= 1e-9)


def test_equilibrium_of_what_is_answered():
    found = prying.prying(T=2500.0, t=0.20 * INCH, **PLATE)
    b1, a1 = (1.25 - 0.1875) * INCH, (1 + 0.1875) * INCH
    M = 2500.0 * b1 - found.Q[0] * a1
    assert 0 < found.alpha[0] < 1
    assert M == pytest.approx(36 * KSI * 2 * INCH * (0.20 * INCH) ** 2 / 4 / 1.67, rel=1e-9)
    assert found.Q[0] * a1 == pytest.approx((1 - 0.4375 / 2) * found.alpha[0] * M)


def test_the_least_plate_carries_its_pull_and_not_more():
    """Two routes: the least thickness for a pull, and the greatest pull of that thickness."""
    for T in (1500.0, 4000.0, 7000.0, 9900.0):
        t_min = prying.prying(T=T, t=0.3 * INCH, **PLATE).t_min[0]
        assert prying.prying(T=T, t=t_min, **PLATE).T_max[0] == pytest.approx(T, rel=1e-9)


def test_instantaneous_centre_of_the_manuals_three_bolts():
    """Design example K.7 takes C/n = 0.823 from Manual table 10-10b: three bolts 3 in apart, the force half
    of 3 in beside them."""
    places = np.array([[0.0, -3], [0, 0], [0, 3]]) * INCH
    C = bolts.instantaneous_centre(places, np.pi / 2, 1.5 * INCH)
    assert C / 3 == pytest.approx(0.823, rel=0.01)
