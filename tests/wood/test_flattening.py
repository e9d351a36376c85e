"""Bow, cup and twist: second routes for the sums, the stock list at once, refusals."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize_scalar

from shopcalc.errors import InputError, OutsideRange
from shopcalc.stock import open_sections
from shopcalc.stock.shapes import read_stock
from shopcalc.units import Q, Quantity
from shopcalc.wood import flattening as fl
from shopcalc.wood import net_section as net


def cup(**change):
    given = {
        "run": Q(36, "inch"),
        "bow": Q(0.25, "inch"),
        "thickness": Q(1.75, "inch"),
        "breadth": Q(96, "inch"),
        "E": Q(128000, "psi"),
        "density": Q(760, "kg/m**3"),
        "across": True,
        "bars": 4,
    }
    return fl.Panel(**{**given, **change})


def bow(**change):
    return cup(
        run=Q(96, "inch"),
        breadth=Q(36, "inch"),
        bow=Q(0.75, "inch"),
        E=Q(1.78e6, "psi"),
        across=False,
        bars=2,
        **change,
    )


def inch(q):
    return float(q.to("inch").magnitude)


# --- shape and force


def test_bow_and_radius_lie_on_one_circle():
    R = inch(fl.radius_of_bow(w=Q(36, "inch"), c=Q(0.25, "inch")))
    assert R - np.sqrt(R**2 - 18**2) == pytest.approx(0.25, rel=1e-9)
    assert inch(fl.bow_of_radius(w=Q(36, "inch"), R=Q(R, "inch"))) == pytest.approx(0.25, rel=3e-4)  # shallow
    with pytest.raises(OutsideRange, match="w/R"):
        fl.bow_of_radius(w=Q(36, "inch"), R=Q(40, "inch"))


def test_two_layers_cup_as_beams_glued_together_do():
    """Second route: two strips that want sizes apart by e, bent and stretched to the least energy."""
    h, e = 1.5, 0.003

    def energy(k):  # each half: its middle is stretched e/2 less the part that curvature gives it; both bend
        return 2 * (0.5 * (h / 2) * (e / 2 - k * h / 4) ** 2 + 0.5 * (h / 2) ** 3 / 12 * k**2)

    k = minimize_scalar(energy, bounds=(0, 0.1), method="bounded", options={"xatol": 1e-12}).x
    assert 1 / inch(fl.radius_of_two_layers(Q(h, "inch"), e=e)) == pytest.approx(k, rel=1e-5)


def test_force_in_the_middle_lifts_it_level():
    """The beam formula F = 48 E I c / L^3 gives the same force."""
    p = cup(bars=1, breadth=Q(12, "inch"))
    F = fl.force_in_middle(p.moment, p.run)
    I = 12 * 1.75**3 / 12
    assert float(F.to("lbf").magnitude) == pytest.approx(48 * 128000 * I * 0.25 / 36**3, rel=1e-3)


def test_a_flat_panel_carries_the_stress_of_its_bow():
    p = cup(bars=1)
    M, I = p.moment, p.I
    assert fl.face_stress(p.E, t=p.thickness, R=p.radius).to("psi").magnitude == pytest.approx(
        float((M * p.thickness / 2 / I).to("psi").magnitude), rel=1e-12
    )


def test_corner_force_is_the_slope_of_the_energy_of_twist():
    G, t, L, w = 150000.0, 1.75, 96.0, 36.0

    def energy(c):  # twist c/(L w) everywhere; shear strain 2 z twist through the thickness
        z = np.linspace(-t / 2, t / 2, 20001)
        return np.trapezoid(0.5 * G * (2 * z * c / (L * w)) ** 2, z) * L * w

    h = 1e-3
    slope = (energy(0.5 + h) - energy(0.5 - h)) / (2 * h)
    F = fl.corner_force(Q(G, "psi"), t=Q(t, "inch"), c=Q(0.5, "inch"), L=Q(L, "inch"), w=Q(w, "inch"))
    assert float(F.to("lbf").magnitude) == pytest.approx(slope, rel=1e-6)


# --- steel and wood


def test_full_tie_is_the_transformed_section_and_no_tie_is_the_sum():
    b, t, bs, ts, Ew, Es = 6.0, 1.5, 2.0, 0.25, 1.78e6, 29e6
    EI_w, EI_s = Ew * b * t**3 / 12, Es * bs * ts**3 / 12
    given = {
        "EI_s": Q(EI_s, "lbf*inch**2"),
        "EI_w": Q(EI_w, "lbf*inch**2"),
        "EA_s": Q(Es * bs * ts, "lbf"),
        "EA_w": Q(Ew * b * t, "lbf"),
        "z": Q((t + ts) / 2, "inch"),
    }
    glued = fl.stiffness_with_slip(**given, gamma=1.0)
    I = open_sections.second_moment_two_parts(
        b_1=Q(b, "inch"), h_1=Q(t, "inch"), b_2=Q(bs * Es / Ew, "inch"), h_2=Q(ts, "inch")
    )
    assert float(glued.to("lbf*inch**2").magnitude) == pytest.approx(
        Ew * float(I.to("inch**4").magnitude), rel=1e-12
    )
    assert float(fl.stiffness_with_slip(**given, gamma=0.0).to("lbf*inch**2").magnitude) == pytest.approx(
        EI_w + EI_s, rel=1e-12
    )


def test_annex_b_is_the_exact_sum_for_a_sine():
    """Second route: force in the steel N from slip N'/k, strains and curvature all of one sine wave."""
    EA_s, EA_w, EI, z, L, K, s = 8e7, 2e7, 3e4, 0.03, 2.4, 2.5e6, 0.15
    N_per_curvature = z / (1 / EA_s + 1 / EA_w + np.pi**2 * s / (K * L**2))
    gamma = fl.composite_share.si(E=EA_s, A=1.0, K=K, s=s, L=L)
    assert 0 < gamma < 1
    assert fl.stiffness_with_slip.si(
        EI_s=EI / 3, EI_w=2 * EI / 3, EA_s=EA_s, EA_w=EA_w, gamma=gamma, z=z
    ) == pytest.approx(EI + N_per_curvature * z, rel=1e-12)


def test_bow_that_returns_is_the_least_energy():
    EI_w, EI_s, k0 = 3.0, 7.0, 0.02
    k = minimize_scalar(
        lambda k: EI_w * (k - k0) ** 2 + EI_s * k**2,
        bounds=(0, k0),
        method="bounded",
        options={"xatol": 1e-14},
    ).x
    returned = fl.bow_that_returns(Q(1, "inch"), EI_w=Q(EI_w, "N*m**2"), EI_ef=Q(EI_w + EI_s, "N*m**2"))
    assert inch(returned) == pytest.approx(k / k0, rel=1e-6)


def test_slip_of_a_screw_is_the_rule_in_its_own_units():
    assert float(fl.screw_slip(Q(700, "kg/m**3"), Q(6, "mm")).to("N/mm").magnitude) == pytest.approx(
        700**1.5 * 6 / 23, rel=1e-12
    )
    with pytest.raises(OutsideRange):
        fl.screw_slip(Q(700, "kg/m**3"), Q(1, "mm"))


def test_screws_in_slots_tie_nothing():
    across = fl.springback(cup(), [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")])
    assert across.gamma[0] == 0
    Iy = float(across.steel.I[0])
    EI_w = 128000 * 24 * 1.75**3 / 12
    EI_s = 29e6 * Iy / 0.0254**4
    assert across.returns[0] / 0.0254 == pytest.approx(0.25 * EI_w / (EI_w + EI_s), rel=1e-9)
    assert fl.springback(bow(), [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")]).gamma[0] > 0.05


def test_more_screws_hold_better_along_the_grain():
    steel = [read_stock("flat bar 3/4 in x 1/4 in, A36")]
    close, wide = (fl.springback(bow(spacing=Q(s, "inch")), steel) for s in (3.0, 12.0))
    assert close.gamma[0] > wide.gamma[0] and close.returns[0] < wide.returns[0]


# --- screws


@pytest.mark.parametrize("n", [3, 4, 7, 12])
def test_screw_forces_are_the_natural_spline_through_the_bow(n):
    s, EI, k0 = 0.15, 900.0, 0.02
    x = np.arange(n) * s
    held = CubicSpline(
        x, k0 * x**2 / 2, bc_type="natural"
    )  # the shape that straightens: its moment is EI times its curvature
    M = EI * held(x, 2)
    slope = np.diff(M) / s
    jumps = np.concatenate([[-slope[0]], -np.diff(slope), [slope[-1]]])
    forces = fl.screw_forces(EI * k0, s, n)[0]
    assert forces == pytest.approx(jumps, rel=1e-9, abs=1e-9)
    assert forces.sum() == pytest.approx(0, abs=1e-9) and forces @ x == pytest.approx(0, abs=1e-9)


def test_three_screws_are_the_beam_on_two_supports():
    p = cup(bars=1)
    M, L = float(p.moment.to("N*m").magnitude), float(p.run.to("m").magnitude)
    forces = fl.screw_forces(M, L / 2, 3)
    assert forces[0, 1] == pytest.approx(
        float(fl.force_in_middle(p.moment, p.run).to("N").magnitude), rel=1e-9
    )
    assert (
        fl.worst_pull(forces)[0]
        == forces[0, 1]
        == fl.worst_pull(forces, True)[0]
        > fl.worst_pull(forces, False)[0]
    )


def test_the_end_screw_of_a_long_row():
    end = fl.screw_forces(100.0, 0.1, 40)[0, 0]
    assert abs(end) == pytest.approx(
        float(fl.end_screw_pull(Q(100, "N*m"), Q(0.1, "m")).to("N").magnitude), rel=1e-9
    )


def test_screws_over_designs_are_the_single_answers():
    both = fl.screw_forces(np.array([50.0, 80.0]), np.array([0.1, 0.2]), 6)
    assert both[1] == pytest.approx(fl.screw_forces(80.0, 0.2, 6)[0])


@pytest.mark.parametrize("n", [2, 0, -3, 2.5, True, 10**6])
def test_two_screws_cannot_hold_a_bow(n):
    with pytest.raises(InputError, match="three"):
        fl.screw_forces(1.0, 0.1, n)


# --- the stock list


def test_the_stock_list_answers_at_once_as_piece_by_piece():
    found = fl.which_steel(cup())
    assert len(found.steel.pieces) > 100
    for i in range(0, len(found.steel.pieces), 17):
        one = fl.springback(cup(), [found.steel.pieces[i]])
        assert one.returns[0] == pytest.approx(found.returns[i], rel=1e-12) and one.good[0] == found.good[i]


def test_the_lightest_that_does_and_why_lighter_ones_do_not():
    found = fl.which_steel(cup(bow=Q(0.5, "inch"), bars=3, under=True))
    i = found.lightest
    assert i is not None and found.why_not(i) == ""
    assert found.returns[i] <= float(cup().wanted.to("m").magnitude)
    lighter = np.nonzero(found.steel.mass < found.steel.mass[i] * 0.999)[0]
    assert len(lighter) and all(found.why_not(int(n)) for n in lighter)


def test_no_steel_of_the_list_straightens_a_bowed_slab():
    found = fl.which_steel(
        fl.Panel(
            run=Q(120, "inch"),
            bow=Q(2, "inch"),
            thickness=Q(3, "inch"),
            breadth=Q(40, "inch"),
            E=Q(1.78e6, "psi"),
            density=Q(760, "kg/m**3"),
            across=False,
            bars=1,
        )
    )
    assert found.lightest is None and not found.flat.any()


def test_steel_under_the_top_cuts_nothing_and_may_be_deeper():
    deep = [read_stock("channel C3x4.1, A36")]
    let, under = (fl.springback(cup(under=u), deep) for u in (False, True))
    assert not let.fits[0] and under.fits[0] and under.strength_left[0] == 1
    assert let.returns[0] == under.returns[0]  # nothing ties in slots: where it lies makes no difference
    tied = [
        fl.springback(bow(under=u), [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")]).returns[0]
        for u in (False, True)
    ]
    assert tied[1] < tied[0]


def test_a_bar_on_edge_is_not_hung_under_a_top():
    found = fl.springback(cup(under=True), [read_stock("flat bar 2 in x 1/4 in, A36")])
    assert not found.fits[0] and "flange" in found.why_not(0)


def test_deep_grooves_do_not_fit():
    thin = fl.springback(cup(thickness=Q(0.75, "inch")), [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")])
    assert not thin.fits[0] and "half the thickness" in thin.why_not(0)
    assert fl.springback(cup(), [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")]).strength_left[
        0
    ] == pytest.approx((1 - 0.5 / 1.75) ** 2)


def test_steel_that_cannot_be_let_in_is_refused():
    with pytest.raises(InputError, match="channel"):
        fl.let_in([read_stock("round bar 5/8 in, A36")])
    with pytest.raises(InputError, match="twentieth"):
        cup(bow=Q(5, "inch"))
    with pytest.raises(InputError, match="bars"):
        cup(bars=0)


def test_relaxation_is_a_band():
    at_once, later = fl.relaxation_band(Q(0.4, "inch"))
    assert inch(at_once) == pytest.approx(0.4) and inch(later) == pytest.approx(0.2)


# --- net section


@pytest.mark.parametrize(("b_p", "d"), [(2.0, 0.5), (5.9, 1.0), (6.0, 0.75), (0.5, 1.2)])
def test_net_section_is_the_sum_over_fibres(b_p, d):
    b, t = 6.0, 1.75
    y = (np.arange(350000) + 0.5) * t / 350000  # from the face that is not cut
    width = np.where(y > t - d, b - b_p, b)
    A = width.mean() * t
    middle = (width * y).mean() * t / A
    I = (width * (y - middle) ** 2).mean() * t
    sizes = {k: Q(v, "inch") for k, v in {"b": b, "t": t, "b_p": b_p, "d": d}.items()}
    assert float(net.net_area(**sizes).to("inch**2").magnitude) == pytest.approx(A, rel=1e-5)
    assert inch(net.net_centroid(**sizes)) == pytest.approx(middle, rel=1e-5)
    assert float(net.net_second_moment(**sizes).to("inch**4").magnitude) == pytest.approx(I, rel=1e-5)
    lips = I / (t - middle) / (b * t**2 / 6)
    assert float(net.share_left(b=b, t=t, b_p=b_p, d=d)) == pytest.approx(
        max(lips, (1 - d / t) ** 2), rel=1e-5
    )


def test_a_pocket_over_the_whole_width_leaves_the_square_of_the_depth():
    assert float(net.share_left(b=6.0, t=2.0, b_p=6.0, d=0.5)) == pytest.approx(0.5625)
    assert float(net.share_left(b=6.0, t=2.0, b_p=1e-9, d=0.5)) == pytest.approx(1.0)
    assert net.share_left(b=np.array([6.0, 6.0]), t=2.0, b_p=np.array([6.0, 1e-9]), d=0.5) == pytest.approx(
        [0.5625, 1.0]
    )


def test_quantities_print_in_both_systems():
    p = cup()
    for system in ("inch", "mm"):
        line = str(fl.moment_to_flatten.worked(p.E, p.I, p.radius, system=system))
        assert line.startswith("M = E·I/R = "), line
    assert isinstance(p.pull(), Quantity)
