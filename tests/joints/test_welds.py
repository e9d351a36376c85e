"""Fillet welds against published values, against integration round the line, and at their edges."""

import math

import numpy as np
import pytest

from shopcalc.errors import InputError, OutsideRange
from shopcalc.joints import welds as w
from shopcalc.units import Q, magnitude, show_length

IN, LBF, KSI = 0.0254, 4.4482216152605, 6894757.293168361


def pli(quantity):
    return magnitude(quantity, "lbf/in")


# --- throat


@pytest.mark.parametrize("a, b", [(0.125, 0.125), (0.25, 0.25), (0.125, 0.25), (0.3, 0.05)])
def test_throat_is_the_height_of_the_triangle_over_its_face(a, b):
    # Height of a right triangle over its hypotenuse, from its area: an independent route.
    area, face = a * b / 2, math.hypot(a, b)
    found = w.throat_unequal_legs(a=Q(a, "in"), b=Q(b, "in"))
    assert magnitude(found, "in") == pytest.approx(2 * area / face)


def test_equal_legs_agree_with_unequal_ones():
    assert magnitude(w.throat_equal_legs(Q(0.25, "in")), "in") == pytest.approx(
        magnitude(w.throat_unequal_legs(a=Q(0.25, "in"), b=Q(0.25, "in")), "in"), rel=1e-14)


@pytest.mark.parametrize("psi", [60, 75, 90, 110, 135])
def test_skewed_throat_is_the_shortest_way_from_root_to_face(psi):
    # Root at the origin, toes at b on either part; walk along the face and take the shortest distance.
    b, angle = 0.2, math.radians(psi)
    toe_1, toe_2 = np.array([b, 0.0]), b * np.array([math.cos(angle), math.sin(angle)])
    along = np.linspace(0, 1, 200_001)[:, None]
    shortest = np.linalg.norm(toe_1 + along * (toe_2 - toe_1), axis=1).min()
    assert magnitude(w.throat_skewed(Q(b, "in"), Q(psi, "deg")), "in") == pytest.approx(shortest, rel=1e-8)
    leg = abs(toe_2[1])  # distance of a toe from the other part
    assert magnitude(w.throat_skewed_perpendicular(Q(leg, "in"), Q(psi, "deg")), "in") == pytest.approx(
        shortest, rel=1e-8)


@pytest.mark.parametrize("psi", [45, 59.9, 150.1, 170])
def test_skewed_throat_outside_the_code_is_refused(psi):
    with pytest.raises(OutsideRange, match="60"):
        w.throat_skewed(Q(0.25, "in"), Q(psi, "deg"))


# --- strength


def test_directional_factor_runs_from_one_to_one_and_a_half_without_dips():
    assert w.directional_factor(Q(0, "deg")) == 1.0
    assert w.directional_factor(Q(90, "deg")) == pytest.approx(1.5)
    # Figures of the design examples at 60 degrees: 1.403 (recomputed in the case's note).
    assert w.directional_factor(Q(60, "deg")) == pytest.approx(1.403, abs=5e-4)
    values = [w.directional_factor(Q(a, "deg")) for a in range(0, 91, 5)]
    assert values == sorted(values)
    with pytest.raises(OutsideRange):
        w.directional_factor(Q(91, "deg"))


def test_the_verdict_never_takes_the_directional_factor():
    found = w.strengths(70 * KSI, np.array([0.1 * IN]), ())
    assert found[0].nominal[0] == pytest.approx(0.6 * 70 * KSI * 0.1 * IN)
    assert "k_ds = 1.0" in found[0].clause


@pytest.mark.parametrize("F_y, F_u, governs", [
    # 0.60 Fy/1.50 against 0.60 Fu/2.00: yield governs where Fu/Fy is over 4/3.
    (32, 45, "shear yield of the tube wall"), (50, 62, "shear rupture of the tube wall"),
    (46, 58, "shear rupture of the tube wall"), (36, 58, "shear yield of the tube wall")])
def test_yield_and_rupture_compete_after_their_own_factors(F_y, F_u, governs):
    thin = w.Wall("tube wall", np.array([0.065 * IN]), F_y * KSI, F_u * KSI)
    found = w.weakest(w.strengths(70 * KSI, np.array([0.125 * IN / math.sqrt(2)]), (thin,)), "use")
    assert found.state() == governs
    assert found.allowable[0] == pytest.approx(0.6 * 0.065 * IN * KSI * min(F_y / 1.5, F_u / 2.0))


@pytest.mark.parametrize("state, stress, omega, phi", [("yield", 50, 1.5, 1.0), ("rupture", 62, 2.0, 0.75)])
def test_factors_of_the_wall(state, stress, omega, phi):
    # J4.2(a) and (b): each limit state has its own.
    sizes = Q(0.1, "in"), Q(50, "ksi"), Q(62, "ksi")
    nominal = 0.6 * stress * 1000 * 0.1
    assert pli(w.wall_allowable(*sizes, state=state)) == pytest.approx(nominal / omega)
    assert pli(w.wall_allowable(*sizes, state=state, method="LRFD")) == pytest.approx(nominal * phi)


def test_a_proof_load_meets_nominal_strength_and_another_clause_may_govern():
    thin = w.Wall("tube wall", 0.065 * IN, 32 * KSI, 45 * KSI)
    use = w.weakest(w.strengths(70 * KSI, 0.065 * IN / math.sqrt(2), (thin,)), "use")
    proof = w.weakest(w.strengths(70 * KSI, 0.065 * IN / math.sqrt(2), (thin,)), "proof")
    assert proof.allowable[0] == pytest.approx(0.6 * 32 * KSI * 0.065 * IN)
    assert proof.allowable[0] / use.allowable[0] == pytest.approx(1.5)
    with pytest.raises(ValueError, match="stability"):
        w.weakest(w.strengths(70 * KSI, 0.01, (thin,)), "stability")


@pytest.mark.parametrize("F_u, t_min", [(62, 0.100), (58, 0.107)])
def test_wall_that_matches_an_eighth_inch_fillet(F_u, t_min):
    # Trap 1 of the joint notes: t = 3.09 D/Fu for one E70 fillet.
    throat = w.throat_equal_legs(Q(0.125, "in"))
    found = w.wall_matching_weld(1, FEXX=Q(70, "ksi"), t_e=throat, F_u=Q(F_u, "ksi"))
    assert magnitude(found, "in") == pytest.approx(3.09 * 2 / F_u, rel=1.6e-3)
    assert magnitude(found, "in") == pytest.approx(t_min, abs=6e-4)


@pytest.mark.parametrize("wall", [0.083, 0.065])
def test_thin_walls_govern_an_eighth_inch_fillet(wall):
    thin = w.Wall("tube wall", wall * IN, 50 * KSI, 62 * KSI)
    found = w.weakest(w.strengths(70 * KSI, 0.125 * IN / math.sqrt(2), (thin,)), "use")
    assert found.state() == "shear rupture of the tube wall"


def test_a_design_without_strength_has_no_allowable():
    walls = (w.Wall("tube wall", np.array([0.1, np.nan, 0.1]) * IN, 50 * KSI, 62 * KSI),)
    found = w.weakest(w.strengths(70 * KSI, np.array([0.1, 0.1, 0.0]) * IN, walls), "use")
    assert found.in_range.tolist() == [True, False, False]
    assert np.isnan(found.allowable[1:]).all()


def test_one_design_is_a_batch_of_one():
    t = np.array([0.065, 0.083, 0.12, 0.18, 0.25]) * IN
    leg = np.array([0.125, 0.125, 0.125, 0.1875, 0.25]) * IN
    both = w.fillet(leg, t)
    def least(throat, wall):
        walls = (w.Wall("tube wall", wall, 50 * KSI, 62 * KSI),)
        return w.weakest(w.strengths(70 * KSI, throat, walls), "use")

    many = least(both.throat, t)
    for i in range(len(t)):
        single = least(w.fillet(leg[i], t[i]).throat, t[i])
        assert single.allowable[0] == many.allowable[i] and single.governing[0] == many.governing[i]


# --- sizes


@pytest.mark.parametrize("t, leg", [(0.065, 0.125), (0.25, 0.125), (0.2501, 0.1875), (0.5, 0.1875),
                                    (0.51, 0.25), (0.75, 0.25), (0.76, 0.3125), (3.0, 0.3125)])
def test_least_leg_steps(t, leg):
    assert magnitude(w.least_leg(Q(t, "in")), "in") == pytest.approx(leg)


def test_least_leg_of_a_quarter_inch_given_in_millimetres():
    assert magnitude(w.least_leg(Q(6.35, "mm")), "in") == pytest.approx(0.125)


@pytest.mark.parametrize("t, leg", [(0.083, 0.083), (0.2499, 0.2499), (0.25, 0.1875), (0.375, 0.3125)])
def test_greatest_leg_along_an_edge(t, leg):
    assert magnitude(w.edge_leg(Q(t, "in")), "in") == pytest.approx(leg)


def test_least_and_greatest_leg_collide_under_an_eighth():
    walls = np.array([0.049, 0.065, 0.083, 0.1249, 0.125, 0.18, 0.25, 0.26, 0.5, 0.51, 1.0]) * IN
    found = w.fillet(np.full(walls.shape, 0.125 * IN), walls)
    assert found.clash.tolist() == [True] * 4 + [False] * 7


@pytest.mark.parametrize("laid, wall, length, edge, credited", [
    (0.1875, 0.083, None, False, 0.083),   # never above the wall
    (0.125, 0.25, None, False, 0.125),     # what is laid
    (0.25, 0.25, None, False, 0.25),       # round the end of a tube: up to the wall
    (0.25, 0.25, None, True, 0.1875),      # along an edge: a sixteenth under it
    (0.25, 0.375, 0.5, False, 0.125),      # a run under four legs: a quarter of its length
    (0.25, 0.375, 1.0, False, 0.25)])
def test_leg_credited(laid, wall, length, edge, credited):
    found = w.credited_leg(Q(laid, "in"), Q(wall, "in"), along_edge=edge,
                           length=None if length is None else Q(length, "in"))
    assert magnitude(found, "in") == pytest.approx(credited)


def test_a_leg_under_the_table_is_told():
    assert w.fillet(0.0625 * IN, 0.12 * IN).too_small[0]
    assert not w.fillet(0.125 * IN, 0.12 * IN).too_small[0]
    # 3 mm is the metric eighth of the same table row; read in inches it is just under it.
    assert w.fillet(0.003, 0.003).too_small[0]


@pytest.mark.parametrize("throat, wall, text", [
    (0.05, 0.12, "1/8 in"),                   # the table asks more than the force
    (0.125 / math.sqrt(2), 0.12, "1/8 in"),   # exactly a sixteenth: no further step
    (0.0885, 0.12, "3/16 in"),
    (0.19, 0.5, "5/16 in")])
def test_leg_to_lay_rounds_up_to_sixteenths(throat, wall, text):
    leg = w.leg_to_lay(Q(throat, "in"), Q(wall, "in"))
    assert show_length(leg, rounding="up") == text
    assert magnitude(w.throat_equal_legs(leg), "in") >= throat * (1 - 1e-9)


def test_leg_to_lay_in_millimetres():
    leg = w.leg_to_lay(Q(3.0, "mm"), Q(6, "mm"), system="mm")
    assert magnitude(leg, "mm") == pytest.approx(5)   # 3 sqrt(2) = 4.24


def test_long_weld_factor_meets_both_its_neighbours():
    # At 100 legs nothing is lost, at 300 legs 180 are left: the three rules join.
    assert w.effective_length_in_legs(Q(100, "in"), Q(1, "in")) == pytest.approx(100)
    assert w.effective_length_in_legs(Q(100.001, "in"), Q(1, "in")) == pytest.approx(100, rel=1e-5)
    assert w.effective_length_in_legs(Q(280, "in"), Q(1, "in")) == pytest.approx(0.64 * 280)
    assert w.effective_length_in_legs(Q(300, "in"), Q(1, "in")) == pytest.approx(180)
    assert w.effective_length_in_legs(Q(301, "in"), Q(1, "in")) == pytest.approx(180)
    legs = np.linspace(1, 600, 2000)
    assert (np.diff(w.effective_legs(legs)) >= -1e-12).all()
    with pytest.raises(OutsideRange):
        w.long_weld_factor(l=Q(350, "in"), w=Q(1, "in"))


# --- the line


def integrated(b, d, two_sides, n=20_001):
    """Length and second moments of the line by Simpson's rule along each of its sides."""
    from scipy.integrate import simpson

    sides = [((-b / 2, s * d / 2), (b / 2, s * d / 2)) for s in (-1, 1)]
    if not two_sides:
        sides += [((s * b / 2, -d / 2), (s * b / 2, d / 2)) for s in (-1, 1)]
    length = I_x = I_y = 0.0
    for (x0, y0), (x1, y1) in sides:
        u = np.linspace(0, 1, n)
        x, y, span = x0 + u * (x1 - x0), y0 + u * (y1 - y0), math.hypot(x1 - x0, y1 - y0)
        length += span
        I_x += simpson(y**2, x=u) * span
        I_y += simpson(x**2, x=u) * span
    return length, I_x, I_y


@pytest.mark.parametrize("b, d", [(2, 2), (2, 3), (3, 1), (1.5, 4)])
def test_line_all_round_against_integration(b, d):
    length, I_x, I_y = integrated(b, d, False)
    B, D = Q(b, "in"), Q(d, "in")
    assert magnitude(w.box_length(b=B, d=D), "in") == pytest.approx(length)
    assert magnitude(w.box_modulus(b=B, d=D), "in**2") == pytest.approx(I_x / (d / 2), rel=1e-9)
    assert magnitude(w.box_modulus(b=D, d=B), "in**2") == pytest.approx(I_y / (b / 2), rel=1e-9)
    assert magnitude(w.box_polar(b=B, d=D), "in**3") == pytest.approx(I_x + I_y, rel=1e-9)


@pytest.mark.parametrize("b, d", [(2, 2), (2, 3), (3, 1)])
def test_two_lines_against_integration(b, d):
    length, I_x, I_y = integrated(b, d, True)
    B, D = Q(b, "in"), Q(d, "in")
    assert magnitude(w.pair_length(B), "in") == pytest.approx(length)
    assert magnitude(w.pair_modulus_over(b=B, d=D), "in**2") == pytest.approx(I_x / (d / 2), rel=1e-9)
    assert magnitude(w.pair_modulus_along(B), "in**2") == pytest.approx(I_y / (b / 2), rel=1e-9)
    assert magnitude(w.pair_polar(b=B, d=D), "in**3") == pytest.approx(I_x + I_y, rel=1e-9)


def walked(b, d, P, V_x, V_y, M_x, M_y, T, two_sides, n=801):
    """Greatest force per length found by walking the whole line, moments of the line by integration."""
    length, I_x, I_y = integrated(b, d, two_sides)
    u = np.linspace(-0.5, 0.5, n)
    points = [np.column_stack([u * b, np.full(n, s * d / 2)]) for s in (-1, 1)]
    if not two_sides:
        points += [np.column_stack([np.full(n, s * b / 2), u * d]) for s in (-1, 1)]
    x, y = np.concatenate(points).T
    z = P / length + M_x * y / I_x + M_y * x / I_y
    along_x = V_x / length - T * y / (I_x + I_y)
    along_y = V_y / length + T * x / (I_x + I_y)
    return np.sqrt(z**2 + along_x**2 + along_y**2).max()


def test_worst_place_of_the_line_against_a_walk_round_it():
    rng = np.random.default_rng(7)
    n = 200
    b, d = rng.uniform(0.02, 0.1, (2, n))
    P, V_x, V_y = rng.normal(0, 800, (3, n))
    M_x, M_y, T = rng.normal(0, 60, (3, n))
    two = rng.random(n) < 0.3
    found = w.line_force(b, d, P=P, V_x=V_x, V_y=V_y, M_x=M_x, M_y=M_y, T=T, two_sides=two)
    for i in range(n):
        assert found.f[i] == pytest.approx(
            walked(b[i], d[i], P[i], V_x[i], V_y[i], M_x[i], M_y[i], T[i], two[i]), rel=1e-9)
        assert found.f[i] == pytest.approx(math.hypot(found.z[i], found.x[i], found.y[i]))


def test_line_is_in_balance_with_what_it_carries():
    # The force field of the formulas, summed round the line, gives the loads back.
    from scipy.integrate import simpson

    b, d, P, V_x, V_y, M_x, M_y, T = 0.05, 0.08, 500.0, -120.0, 300.0, 40.0, -25.0, 18.0
    length, S_x = 2 * (b + d), float(w.box_modulus.si(b=b, d=d))
    S_y, J = float(w.box_modulus.si(b=d, d=b)), float(w.box_polar.si(b=b, d=d))
    total = np.zeros(6)
    u = np.linspace(0, 1, 2001)
    for (x0, y0), (x1, y1) in [((-b/2, -d/2), (b/2, -d/2)), ((b/2, -d/2), (b/2, d/2)),
                               ((b/2, d/2), (-b/2, d/2)), ((-b/2, d/2), (-b/2, -d/2))]:
        x, y, span = x0 + u * (x1 - x0), y0 + u * (y1 - y0), math.hypot(x1 - x0, y1 - y0)
        z = P / length + M_x / S_x * y / (d / 2) + M_y / S_y * x / (b / 2)
        f_x, f_y = V_x / length - T * y / J, V_y / length + T * x / J
        total += [simpson(v, x=u) * span for v in (z, f_x, f_y, z * y, z * x, x * f_y - y * f_x)]
    assert total == pytest.approx([P, V_x, V_y, M_x, M_y, T], rel=1e-9)


def test_two_sides_are_never_stronger_than_all_round():
    rng = np.random.default_rng(3)
    loads = dict(zip(("P", "V_x", "V_y", "M_x", "M_y", "T"), rng.normal(0, 50, (6, 100)), strict=True))
    b, d = rng.uniform(0.02, 0.1, (2, 100))
    pair, box = w.line_force(b, d, two_sides=True, **loads), w.line_force(b, d, **loads)
    assert (pair.f >= box.f * (1 - 1e-12)).all()


def test_a_tube_as_wide_as_the_one_it_meets_leaves_no_flat():
    # 2 in on 2 in with round corners; 1-1/2 in on 3 in; 2.4 in fits the flat of 2.5 in, its fillets do not.
    b, face = np.array([2.0, 1.5, 2.4]) * IN, np.array([2.0, 3.0, 3.0]) * IN
    fits = w.fits_all_round(b, 0.125 * IN, face, 0.25 * IN)
    assert fits.tolist() == [False, True, False]


def test_two_lines_count_no_further_than_the_flat_of_the_face():
    loads = dict(P=400.0, V_y=200.0, M_x=50.0)
    cut = w.line_force(2 * IN, 2 * IN, two_sides=True, flat=1.5 * IN, **loads)
    short = w.line_force(1.5 * IN, 2 * IN, two_sides=True, **loads)
    assert cut.f[0] == pytest.approx(short.f[0])
    assert cut.f[0] == pytest.approx(w.line_force(2 * IN, 2 * IN, two_sides=True, **loads).f[0] * 2 / 1.5)
    # All round nothing is cut: the side walls are welded there.
    assert w.line_force(2 * IN, 2 * IN, flat=1.5 * IN, **loads).f == w.line_force(2 * IN, 2 * IN, **loads).f
    with pytest.raises(InputError, match="flat"):
        w.line_force(2 * IN, 2 * IN, two_sides=True, flat=0.0)


# --- fillers, doors, worked lines


def test_fillers_of_the_list():
    inch_leg = w.throat_equal_legs(Q(1, "in"))
    assert pli(w.weld_metal_allowable(inch_leg, w.filler("E60").FEXX)) == pytest.approx(12_730, rel=1e-3)
    for each in w.fillers().values():
        read = "retrieved" if each.name in ("E60", "E70") else "memory"
        assert each.source and each.provenance == read


@pytest.mark.parametrize("product", ["A554", "B221"])
def test_carbon_filler_is_refused_on_stainless_and_aluminium(product):
    with pytest.raises(InputError, match="stainless or aluminium"):
        w.filler("E70", product)
    assert w.filler("E70", "A500").name == "E70"


def test_products_of_other_metals_are_in_the_stock_list():
    from shopcalc.stock.steels import grades

    for product in w.METAL_OF:
        assert grades(product)


@pytest.mark.parametrize("name, products, good", [
    ("E70", ("A500", "A554"), False), ("E308L", ("A554", "A554"), True), ("E308L", ("A554", "A500"), False),
    ("E309L", ("A500", "A554"), True), ("E309L", ("A554", "A554"), True), ("E308L", ("A500",), False),
    ("E309L", ("A500", "A513"), False), ("E309L", ("B221", "A554"), False), ("E70", ("A513", "A500"), True)])
def test_fillers_for_dissimilar_metals(name, products, good):
    if good:
        assert w.filler(name, *products).name == name
    else:
        with pytest.raises(InputError) as caught:
            w.filler(name, *products)
        assert caught.value.example


def test_stainless_welds_carry_less_than_their_strength_says():
    # 75 ksi with 2.70 carries less than 70 ksi with 2.00 (factors recalled from AISC 370).
    stainless = w.filler("E309L", "A554", "A500")
    plain = w.weakest(w.strengths(70 * KSI, 0.1 * IN, ()), "use").allowable[0]
    found = w.weakest(w.strengths(float(magnitude(stainless.FEXX, "Pa")), 0.1 * IN, (), omega=stainless.omega,
                                  phi=stainless.phi), "use")
    assert found.allowable[0] == pytest.approx(plain * 75 / 70 * 2.0 / 2.7) and "AISC 370" in found.clause()


def test_a_filler_far_over_the_steel_is_named():
    assert not w.overmatched(Q(70, "ksi"), Q(45, "ksi"))  # 70 is one level over the lowest, 60
    assert w.overmatched(Q(80, "ksi"), Q(45, "ksi"))
    assert not w.overmatched(Q(80, "ksi"), Q(62, "ksi"))


@pytest.mark.parametrize("call", [
    lambda: w.filler("E71"),
    lambda: w.least_leg(0.25),
    lambda: w.least_leg(Q(-1, "in")),
    lambda: w.credited_leg(Q(1, "kip"), Q(0.1, "in")),
    lambda: w.weld_metal_allowable(Q(0.1, "in"), Q(70, "kip")),
    lambda: w.wall_allowable(Q(0.1, "in"), Q(50, "ksi"), Q(62, "ksi"), state="tension"),
    lambda: w.fillet(0.0, 0.003),
    lambda: w.fillet(0.003, np.array([0.003, np.nan])),
    lambda: w.line_force(0.0, 0.05),
    lambda: w.leg_to_lay(Q(0.1, "in"), Q(0.1, "in"), system="cubit"),
    lambda: w.throat_equal_legs(0.25)])
def test_bad_input_names_its_field(call):
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.field and caught.value.need and caught.value.example


def test_worked_lines_print_what_they_compute():
    lines = w.worked_lines(leg=Q(0.125, "in"), FEXX=Q(70, "ksi"),
                           walls=[(Q(0.112, "in"), Q(50, "ksi"), Q(62, "ksi"))])
    assert [x.result for x in lines] == ["0.08839 in", "3,712 lbf/in", "3,360 lbf/in", "4,166 lbf/in"]


@pytest.mark.parametrize("system", ["inch", "mm"])
def test_worked_vector_sum_ends_in_the_kernel_s_number(system):
    loads = dict(P=Q(100, "lbf"), V_x=Q(10, "lbf"), V_y=Q(300, "lbf"), M_x=Q(2500, "lbf*in"),
                 M_y=Q(-400, "lbf*in"), T=Q(200, "lbf*in"))
    lines = w.worked_line_force(b=Q(2, "in"), d=Q(3, "in"), system=system, **loads)
    found = w.line_force(2 * IN, 3 * IN, P=100 * LBF, V_x=10 * LBF, V_y=300 * LBF, M_x=2500 * LBF * IN,
                         M_y=-400 * LBF * IN, T=200 * LBF * IN)
    unit = {"inch": LBF / IN, "mm": 1000.0}[system]
    assert float(lines[-1].result.split()[0].replace(",", "")) == pytest.approx(found.f[0] / unit, rel=1e-3)


def test_worked_lines_of_two_sides_count_the_flat_alone():
    # By hand: two lines of 1.6 in on a 2 in deep branch, pulled and bent along their length.
    lines = w.worked_line_force(b=Q(2, "in"), d=Q(2, "in"), P=Q(320, "lbf"), V_x=Q(0, "lbf"), V_y=Q(0, "lbf"),
                                M_x=Q(0, "lbf*in"), M_y=Q(256, "lbf*in"), T=Q(0, "lbf*in"), two_sides=True,
                                flat=Q(1.6, "in"))
    assert [x.result for x in lines] == ["3.2 in", "100 lbf/in", "0.8533 in^2", "300 lbf/in", "400 lbf/in"]
