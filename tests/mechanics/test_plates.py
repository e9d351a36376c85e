"""Plates against published coefficients, independent numbers, limits in closed form, and a second route on triangles."""

import numpy as np
import pytest

from shopcalc.errors import InputError
from shopcalc.mechanics.plates import Plate, Seated, alike, boat, grid, orthotropic, oval, rounded
from shopcalc.mechanics.plates_published import coefficient, orthotropic_wave
from shopcalc.mechanics.plates_round import deflections, rectangle_mesh, round_mesh

OAK = orthotropic(E_L=12.27e9, E_T=12.27e9 * 0.072, G=12.27e9 * 0.086, mu_LT=0.428)
MAPLE = orthotropic(E_L=12.60e9, E_T=12.60e9 * 0.065, G=12.60e9 * 0.063, mu_LT=0.476)
PADS = np.array([[-0.8, -0.35], [0.8, -0.35], [0.8, 0.35], [-0.8, 0.35]])
PLACES = np.array([[0, 0], [0, 0.45], [0.9, 0], [0.9, 0.45]])  # centre, middle of long edge, of short end, corner


def top(rigidity=OAK, h=0.038, cells=None, **more):
    return Plate(grid(1.8, 0.9, cells=cells), rigidity, h, **more)


def at_rest(plate, pads=PADS, load=1000.0, base=None, one_sided=True):
    return Seated(plate, plate.rows(*pads.T)).rest(plate.spread(load), base, one_sided=one_sided)


def sag(plate, rest, places=PLACES):
    return rest.w[0] @ plate.rows(*np.asarray(places).T).T


# --- published numbers


# Navier's series and Ritz with 22 polynomials each way (numbers of the brief); w over q b^4/D.
@pytest.mark.parametrize("edges, what, aspect, nu, expected", [
    ("simple", "w", 1, 0.3, 0.0040624), ("clamped", "w", 1, 0.3, 0.0012653), ("simple", "w", 5, 0.3, 0.0129708),
    ("clamped", "w", 5, 0.3, 0.002604), ("corners", "w", 1, 0.25, 0.0256695), ("corners", "midside", 1, 0.25, 0.017458),
    ("corners", "w", 1, 0.3, 0.025507), ("corners", "midside", 1, 0.3, 0.017747),
    ("two simple", "w", 1, 0.3, 0.0130937), ("two simple", "midside", 1, 0.3, 0.0150113),
])
def test_published_coefficients_on_the_default_grid(edges, what, aspect, nu, expected):
    assert coefficient(what=what, edges=edges, aspect=aspect, nu=nu) == pytest.approx(expected, rel=5e-4)


def test_a_wave_on_an_orthotropic_plate():
    # closed form: 100/(pi^4 (D11 + 2 (D12 + 2 D66) + D22)) with 12 D = Q
    d = 1 / (1 - 0.25**2 / 25)
    closed = 100 * 12 / (np.pi**4 * (25 * d + 2 * (0.25 * d + 2 * 0.5) + d))
    assert orthotropic_wave(ratio=25, shear=0.5, mu_LT=0.25) == pytest.approx(closed, rel=1e-4)
    assert closed == pytest.approx(0.4312, rel=2e-4)


def test_it_converges_with_the_fourth_power_of_the_cell():
    wrong = [abs(coefficient(what="w", edges="simple", cells=(n, n)) - 0.00406235267) for n in (4, 8, 16)]
    assert wrong[0] / wrong[1] > 12 and wrong[1] / wrong[2] > 12 and wrong[1] < 1e-4 * 0.00406


@pytest.mark.parametrize("rigidity, expected", [(OAK, [2.053, 1.443, 0.643, -0.652]), (MAPLE, [2.062, 1.440, 0.770, -0.699])])
@pytest.mark.parametrize("cells", [None, (10, 6)])
def test_two_wood_tops_on_four_pads(rigidity, expected, cells):
    plate = top(rigidity, cells=cells)
    found = at_rest(plate)
    assert 1e3 * sag(plate, found) == pytest.approx(expected, rel=0.01)
    if cells is None:
        assert 1e3 * sag(plate, found) == pytest.approx(expected, abs=0.001)
    assert found.forces.sum() == pytest.approx(1000 * 1.8 * 0.9) and (found.gaps == 0).all()


def test_an_isotropic_guess_is_wrong_by_a_lot():
    plate = top(alike(12.27e9, 0.3))
    guess = sag(plate, at_rest(plate))
    true = sag(top(), at_rest(top()))
    assert guess[1] < 0.8 * true[1] or guess[0] < 0.8 * true[0]


# --- limits


def test_a_rigid_plate_on_springs_is_statics():
    plate = top(h=50.0)
    k = np.array([1e5, 2e5, 3e5, 1.5e5])
    load = plate.patch(0.2, -0.1)[None] * 700
    found = Seated(plate, plate.rows(*PADS.T)).rest(load, np.diag(1 / k), one_sided=False)
    A = np.column_stack([np.ones(4), PADS])
    movement = np.linalg.solve(A.T @ (k[:, None] * A), 700 * np.array([1, 0.2, -0.1]))
    assert found.forces[0] == pytest.approx(k * (A @ movement), rel=1e-3)
    assert sag(plate, found, [(0.9, 0.45)])[0] == pytest.approx(movement @ [1, 0.9, 0.45], rel=1e-3)


def test_stiff_springs_are_rigid_seats():
    plate = top()
    soft = at_rest(plate, base=np.eye(4) * 1e-12)
    assert sag(plate, soft) == pytest.approx(sag(plate, at_rest(plate)), rel=1e-3)


def test_a_very_long_plate_is_a_strip():
    E, nu, h, a, b, q = 12e9, 0.3, 0.03, 12.0, 0.6, 800.0
    plate = Plate(grid(a, b), alike(E, nu), h, edges=("free", "free", "simple", "simple"))
    w = plate.solve(plate.spread(q))
    strip = 5 * q * b**4 * 12 * (1 - nu**2) / (384 * E * h**3)
    assert float((w @ plate.rows(0, 0).T)[0, 0]) == pytest.approx(strip, rel=1e-3)
    x, y = plate.readings
    near = (np.abs(x) < 1) & (np.abs(y) < 0.02)
    assert plate.moments(w, x[near], y[near])[0, :, 1].max() == pytest.approx(q * b**2 / 8, rel=5e-3)


def test_a_narrow_board_is_a_beam_across_or_along_its_grain():
    # supported over its whole short ends, mu 0: w = 5 q L^4/(384 E h^3/12)
    for grain, E in ((0.0, 12.27e9), (np.pi / 2, 12.27e9 * 0.072)):
        r = orthotropic(E_L=12.27e9, E_T=12.27e9 * 0.072, G=12.27e9 * 0.086, mu_LT=1e-9, grain=grain)
        plate = Plate(grid(2.0, 0.2), r, 0.04, edges=("simple", "simple", "free", "free"))
        w = float((plate.solve(plate.spread(500.0)) @ plate.rows(0, 0).T)[0, 0])
        assert w == pytest.approx(5 * 500 * 2.0**4 * 12 / (384 * E * 0.04**3), rel=1e-3)


def test_grain_turned_by_a_quarter_is_the_plate_turned():
    turned = orthotropic(E_L=12.27e9, E_T=12.27e9 * 0.072, G=12.27e9 * 0.086, mu_LT=0.428, grain=np.pi / 2)
    one = top()
    other = Plate(grid(0.9, 1.8), turned, 0.038)
    found = sag(other, at_rest(other, PADS[:, ::-1]), PLACES[:, ::-1])
    assert found == pytest.approx(sag(one, at_rest(one)), rel=1e-6)


def test_slanted_grain_agrees_with_the_second_route():
    slanted = orthotropic(E_L=12.27e9, E_T=12.27e9 * 0.072, G=12.27e9 * 0.086, mu_LT=0.428, grain=0.5)
    plate = top(slanted)
    mesh = rectangle_mesh(np.linspace(-0.9, 0.9, 11), np.linspace(-0.45, 0.45, 7))
    w, forces = deflections(mesh, slanted, 0.038, pressure=1000.0, seats=PADS, at=PLACES)
    found = at_rest(plate)
    assert sag(plate, found) == pytest.approx(w, abs=0.005 * abs(w).max()) and found.forces[0] == pytest.approx(forces, rel=2e-3)
    assert abs(forces[0] - forces[1]) > 5  # it is not its own mirror image


# --- second route and outlines


def test_the_rectangle_by_triangles():
    mesh = rectangle_mesh(np.linspace(-0.9, 0.9, 13), np.linspace(-0.45, 0.45, 7))
    w, forces = deflections(mesh, OAK, 0.038, pressure=1000.0, seats=PADS, at=PLACES)
    assert sag(top(), at_rest(top())) == pytest.approx(w, rel=3e-3) and forces.sum() == pytest.approx(1620)
    # another size right after it: no element is kept from the mesh before
    other, _ = deflections(rectangle_mesh(np.linspace(-1.2, 1.2, 13), np.linspace(-0.45, 0.45, 7)), OAK, 0.038, pressure=1000.0,
                           seats=PADS * [1.1 / 0.8, 1], at=PLACES)
    long = Plate(grid(2.4, 0.9), OAK, 0.038)
    assert other[0] == pytest.approx(sag(long, at_rest(long, PADS * [1.1 / 0.8, 1]))[0], rel=3e-3) and other[0] > 1.5 * w[0]


def test_a_round_top_on_a_spider_by_triangles():
    R, turns = 0.7, np.deg2rad([45, 135, 225, 315])
    seats = 0.45 * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    places = np.array([[0, 0], [0.69, 0], [0, 0.69]])
    plate = Plate(grid(2 * R, 2 * R), OAK, 0.05, outline=oval(2 * R, 2 * R))
    found = at_rest(plate, seats)
    assert plate.area.sum() == pytest.approx(np.pi * R**2, rel=1e-4) and found.forces.sum() == pytest.approx(1000 * np.pi * R**2, rel=1e-4)
    w, _ = deflections(round_mesh(lambda a: R + 0 * a, 3), OAK, 0.05, pressure=1000.0, seats=seats, at=places)
    assert sag(plate, found, places) == pytest.approx(w, abs=0.04 * w.max())  # straight sides: 0.6 % less round


def test_a_disc_on_its_rim():
    # (5 + nu) q a^4/(64 (1 + nu) D), a disc simply supported round its rim
    R, nu = 0.6, 0.3
    turns = np.linspace(0, 2 * np.pi, 36, endpoint=False)
    plate = Plate(grid(2 * R, 2 * R, cells=(16, 16)), alike(12e9, nu), 0.03, outline=oval(2 * R, 2 * R))
    found = at_rest(plate, R * (1 - 1e-9) * np.stack([np.cos(turns), np.sin(turns)], axis=1), one_sided=False)
    D = 12e9 * 0.03**3 / 12 / (1 - nu**2)
    assert sag(plate, found, [(0, 0)])[0] == pytest.approx((5 + nu) * 1000 * R**4 / (64 * (1 + nu) * D), rel=5e-3)


@pytest.mark.parametrize("outline, area", [(boat(1.8, 0.9, 0.6), 1.8 * (0.9 - 0.3 / 3)), (oval(1.8, 0.9), np.pi * 1.8 * 0.9 / 4),
                                           (rounded(1.8, 0.9, 0.2), 1.8 * 0.9 - (4 - np.pi) * 0.04)])
def test_outlines_carry_their_own_weight(outline, area):
    plate = top(outline=outline)
    found = at_rest(plate, PADS * 0.7)
    assert plate.area.sum() == pytest.approx(area, rel=1e-3)
    assert found.forces.sum() == pytest.approx(1000 * area, rel=1e-3)
    assert not plate.covers(0.899, 0.449) and plate.covers(0, 0.44)


# --- pockets, cut-outs, joint lines


def test_even_thickness_scales_with_its_cube():
    seated = Seated(top(), top().rows(*PADS.T))
    thin = top(h=0.030)
    scaled = seated.rest(thin.spread(1000.0), one_sided=True, scale=(0.030 / 0.038) ** 3)
    assert scaled.w == pytest.approx(at_rest(thin).w, rel=1e-9)


def test_a_pocket_of_no_depth_changes_nothing_and_a_deep_one_sags_more():
    lines = {"x": (-0.3, 0.3), "y": (-0.1, 0.15)}
    plain = Plate(grid(1.8, 0.9, **lines), OAK, 0.038)
    assert sag(plain, at_rest(plain)) == pytest.approx(sag(top(), at_rest(top())), rel=1e-3)
    before = sag(plain, at_rest(plain))[0]
    for left in (0.03, 0.015, 0.0):
        h = np.full(plain.grid.shape, 0.038)
        x, y = (np.array(v)[:-1] + np.diff(v) / 2 for v in (plain.grid.x, plain.grid.y))
        h[np.ix_(np.abs(x) < 0.3, (y > -0.1) & (y < 0.15))] = left
        pocket = Plate(plain.grid, OAK, h)
        after = sag(pocket, at_rest(pocket))[1]
        assert after > before * 0.6 and after > sag(plain, at_rest(plain))[1]
        assert pocket.covers(0, 0) == (left > 0)


def test_thin_from_end_to_end_is_two_beams_of_two_thicknesses():
    # a strip, thinned over its middle third: beam by integration of M/EI
    E, L, b, t, thin, q = 10e9, 1.8, 0.15, 0.04, 0.03, 1000.0
    g = grid(L, b, x=(-0.3, 0.3), cells=(36, 6))
    h = np.full(g.shape, t)
    middle = np.array(g.x)[:-1] + np.diff(g.x) / 2
    h[np.abs(middle) < 0.3] = thin
    r = orthotropic(E_L=E, E_T=E, G=E / 2, mu_LT=1e-9)
    plate = Plate(g, r, h, edges=("simple", "simple", "free", "free"))
    w = float((plate.solve(plate.spread(q)) @ plate.rows(0, 0).T)[0, 0])
    x = np.linspace(0, L / 2, 20001)
    EI = E * np.where(x < L / 2 - 0.3, t, thin) ** 3 / 12
    closed = 2 * np.trapezoid(q * x * (L - x) / 2 * x / 2 / EI, x)  # unit load in the middle: x/2
    assert w == pytest.approx(closed, rel=1e-3)


@pytest.mark.parametrize("spring", [1e3, 1e4, 1e5])
def test_a_joint_line_turns_by_moment_over_spring(spring):
    # a strip over both ends with a joint across its middle: w grows by (M/k) L/4
    E, L, b, t, q = 10e9, 1.6, 0.2, 0.04, 500.0
    r = orthotropic(E_L=E, E_T=E, G=E / 2, mu_LT=1e-9)
    edges = ("simple", "simple", "free", "free")
    def middle(g):
        plate = Plate(g, r, t, edges=edges)
        return float((plate.solve(plate.spread(q)) @ plate.rows(0, 0).T)[0, 0])
    whole, jointed = middle(grid(L, b)), middle(grid(L, b, hinges=[("x", 0.0, spring)]))
    assert jointed - whole == pytest.approx(q * L**2 / 8 / spring * L / 4, rel=2e-3)


def test_a_joint_line_along_the_table_between_two_leaves():
    stiff = Plate(grid(1.8, 0.9, hinges=[("y", 0.0, 1e9)]), OAK, 0.038)
    assert sag(stiff, at_rest(stiff)) == pytest.approx(sag(top(), at_rest(top())), rel=1e-3)
    slack = Plate(grid(1.8, 0.9, hinges=[("y", 0.0, 200.0)]), OAK, 0.038)
    assert sag(slack, at_rest(slack))[0] > 1.2 * sag(top(), at_rest(top()))[0]
    assert at_rest(slack).forces.sum() == pytest.approx(1620)


# --- contact


def test_a_load_at_one_end_lifts_the_other_and_the_forces_still_add_up():
    plate = top()
    six = np.array([[x, y] for x in (-0.6, 0.0, 0.6) for y in (-0.35, 0.35)])
    load = plate.patch(0.88, 0.0)[None] * 300 + plate.spread(200.0)
    found = Seated(plate, plate.rows(*six.T)).rest(load, one_sided=True)
    assert (found.forces >= 0).all() and (found.gaps[0, 2:4] > 0).all() and found.stands.all()
    assert found.forces.sum() == pytest.approx(300 + 200 * 1.62)
    moment = found.forces[0] @ six[:, 0]
    assert moment == pytest.approx(300 * 0.88)
    assert (plate.rows(*six.T) @ found.w[0])[2:4] == pytest.approx(-found.gaps[0, 2:4])  # lifted by the gap
    both = Seated(plate, plate.rows(*six.T)).rest(load, one_sided=False)
    assert both.forces.min() < 0 and both.forces.sum() == pytest.approx(300 + 200 * 1.62)


def test_a_load_beyond_every_seat_tips_it_off():
    plate = top()
    found = Seated(plate, plate.rows(*(PADS * 0.5).T)).rest(plate.patch(0.85, 0.4)[None] * 300, one_sided=True)
    assert not found.stands[0] and np.isnan(found.forces).all()


def test_shared_flexible_base_and_two_seats_in_one_place():
    plate = top()
    pads = np.concatenate([PADS, PADS[:1]])
    rng = np.random.default_rng(3)
    root = rng.normal(size=(4, 4)) * 1e-4
    base = (root @ root.T + np.eye(4) * 1e-6)[np.ix_([0, 1, 2, 3, 0], [0, 1, 2, 3, 0])]
    five = Seated(plate, plate.rows(*pads.T)).rest(plate.spread(1000.0), base, one_sided=False)
    four = Seated(plate, plate.rows(*PADS.T)).rest(plate.spread(1000.0), base[:4, :4], one_sided=False)
    assert five.forces[0, 0] + five.forces[0, 4] == pytest.approx(four.forces[0, 0], rel=1e-5)
    assert sag(plate, five) == pytest.approx(sag(plate, four), rel=1e-5)


# --- loads


def test_loads_weigh_what_they_are():
    plate = top()
    down = plate.rigid
    assert plate.spread(7.0)[0] @ down[0] == pytest.approx(7 * 1.62)
    assert plate.patch(0.3, 0.1, 0.15) @ down.T == pytest.approx([1, 0.3, 0.1])
    assert plate.edge("front", 5.0) @ down.T == pytest.approx([9, 0, -9 * 0.45])
    assert plate.edge("right", 5.0) @ down.T == pytest.approx([4.5, 4.5 * 0.9, 0])
    half = np.zeros(plate.grid.shape)
    half[np.array(plate.grid.x)[:-1] > -1e-9] = 3.0
    assert plate.spread(half)[0] @ down.T == pytest.approx([3 * 0.81, 3 * 0.81 * 0.45, 0], abs=1e-9)
    assert np.abs(plate.times(down)).max() < 1e-6 * np.abs(plate._band).max()


@pytest.mark.parametrize("bad", [
    lambda: Plate(grid(1, 1), OAK, 0.0), lambda: Plate(grid(1, 1), OAK, -0.01), lambda: Plate(grid(1, 1), OAK, np.nan),
    lambda: Plate(grid(1, 1), OAK, 0.1, edges=("free", "held", "free", "free")),
    lambda: orthotropic(E_L=1e9, E_T=2e9, G=1e8, mu_LT=0.9), lambda: orthotropic(E_L=1e9, E_T=0, G=1e8, mu_LT=0.3),
    lambda: grid(1, 1, hinges=[("y", 0.7, 1e4)]), lambda: grid(1, 1, hinges=[("y", 0.1, 0.0)]),
    lambda: top().rows(1.0, 0.0), lambda: top().edge("top"), lambda: top().patch(2.0, 0, 0.1),
    lambda: coefficient(what="w", edges="glued"), lambda: coefficient(what="z", edges="simple"),
])
def test_refusals_say_what_is_needed(bad):
    with pytest.raises(InputError):
        bad()
