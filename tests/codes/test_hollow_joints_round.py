"""Round branches on round tube and on flat faces: both codes, second routes, ranges, worked lines."""

import numpy as np
import pytest

from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.aisc360_22 import hollow_joints_round as rounds
from shopcalc.codes.aisc360_22 import hollow_joints_round_on_flat as mixed
from shopcalc.codes.en1993_1_8 import chord_face
from shopcalc.codes.en1993_1_8 import chord_face_round as euro

INCH, KSI, LBF = 0.0254, 6894757.293168361, 4.4482216152605
E = 29000 * KSI
PIPES = dict(
    F_y=46 * KSI,
    F_u=62 * KSI,
    E=E,
    t=0.116 * INCH,
    D=3 * INCH,
    F_yb=46 * KSI,
    t_b=0.116 * INCH,
    D_b=1.9 * INCH,
    l_end=1.0,
)
FLAT = dict(
    F_y=50 * KSI,
    F_u=62 * KSI,
    E=E,
    t=0.116 * INCH,
    B=3 * INCH,
    H=3 * INCH,
    h=2.652 * INCH,
    k=0.174 * INCH,
    F_yb=46 * KSI,
    F_ub=62 * KSI,
    t_b=0.116 * INCH,
    D_b=1.9 * INCH,
    Z_b=0.37 * INCH**3,
    l_end=1.0,
)


# --- round on round ---------------------------------------------------------------------------------


def test_shares_by_hand():
    """1.9 on 3 in by 0.116 in, 46 ksi, square on: each strength in inches and kips, K3-2, K4-1, K4-3."""
    beta, gamma = 1.9 / 3, 3 / 0.232
    fold = 46 * 0.116**2 * (3.1 + 15.6 * beta**2) * gamma**0.2
    along = 5.39 * 46 * 0.116**2 * gamma**0.5 * beta * 1.9
    across = 46 * 0.116**2 * 1.9 * 3 / (1 - 0.81 * beta)
    punch_along = punch_across = 0.6 * 46 * 0.116 * 1.9**2
    assert 0.6 * 46 * 0.116 * np.pi * 1.9 / 1.58 > fold / 1.67  # folding governs the force
    M_ip, M_op = min(along / 1.67, punch_along / 1.58), min(across / 1.67, punch_across / 1.58)
    found = rounds.round_strength(**PIPES, P=-1000 * LBF, M_ip=800 * LBF * INCH, M_op=400 * LBF * INCH)
    shares = (1 / (fold / 1.67), (0.8 / M_ip) ** 2, 0.4 / M_op)
    assert found.shares[:, 0] == pytest.approx(shares, rel=1e-6)
    assert found.ratio[0] == pytest.approx(sum(shares), rel=1e-6)
    assert found.governing[0] == int(np.argmax(shares)) and found.state() == "wall folding"
    assert found.clause().startswith("AISC 360-22 K") and found.meant[found.state()]


@pytest.mark.parametrize(
    "forces", [{"P": -2e3}, {"M_ip": 90.0}, {"M_op": 60.0}, {"P": -900.0, "M_ip": 60.0, "M_op": 30.0}]
)
@pytest.mark.parametrize(
    "change", [{}, {"l_end": 2 * INCH}, {"cross": True}, {"theta": np.radians(60)}, {"U": 0.6}]
)
@pytest.mark.parametrize("system", ["inch", "mm"])
def test_worked_lines_end_in_the_ratio(forces, change, system):
    found = rounds.round_strength(**{**PIPES, **change}, **forces)
    lines = found.lines(0, system)
    assert lines[-1].symbol == "u" and float(lines[-1].result) == pytest.approx(found.ratio[0], rel=1e-3)


def test_the_line_before_the_sum_gives_the_allowable():
    """Nominal over Omega is the allowable of the share that asks most, near an open end too."""
    for l_end, part in ((1.0, 1.0), (2 * INCH, 0.5)):
        found = rounds.round_strength(**{**PIPES, "l_end": l_end}, M_op=30.0)
        nominal = float(found.lines(0, "mm")[-2].result.split(" ")[0].replace(",", "")) / 1e3
        assert nominal / 1.67 == pytest.approx(found.M_cop[0], rel=1e-3)
        assert found.M_cop[0] == pytest.approx(part * rounds.round_strength(**PIPES, M_op=30.0).M_cop[0])


def test_opposite_branches_are_told_by_their_own_words():
    found = rounds.round_strength(**PIPES, P=-900.0, cross=True)
    assert found.state() == "wall folding between two branches" and "between" in found.meant[found.state()]
    assert rounds.round_strength(**PIPES, P=-900.0).state() == "wall folding"


def test_a_narrow_branch_in_a_thick_tube_punches():
    found = rounds.round_strength(**{**PIPES, "t": 0.3 * INCH, "D_b": 0.7 * INCH, "t_b": 0.1 * INCH}, P=1e3)
    assert found.state() == "punching" and "shears" in found.meant["punching"]


def test_a_branch_on_the_walls_is_not_punched():
    matched = rounds.round_strength(**{**PIPES, "D_b": 3 * INCH, "t_b": 0.116 * INCH}, P=1e3)
    assert matched.state() == "wall folding" and matched.in_range[0]


def test_many_loads_and_kinds_in_one_call():
    kinds = np.array(["use", "proof", "handling"])
    many = rounds.round_strength(
        **PIPES, P=np.array([-900.0, 500.0, 0.0]), M_op=np.array([0.0, 30.0, 60.0]), kind=kinds
    )
    for i, kind in enumerate(kinds):
        one = rounds.round_strength(
            **PIPES, P=[-900.0, 500.0, 0.0][i], M_op=[0.0, 30.0, 60.0][i], kind=str(kind)
        )
        assert one.ratio[0] == many.ratio[i] and one.state() == many.state(i)


def test_lrfd_gives_phi_where_asd_gives_one_over_omega():
    asd, lrfd = (rounds.round_strength(**PIPES, P=-1e3, method=m).P_c[0] for m in ("ASD", "LRFD"))
    assert lrfd / asd == pytest.approx(0.90 * 1.67)


def test_stress_along_the_tube_costs_strength():
    """K1-3: 1 - 0.3 U (1 + U)."""
    free, tired = (rounds.round_strength(**PIPES, P=-1e3, U=U).P_c[0] for U in (0.0, 0.5))
    assert tired / free == pytest.approx(1 - 0.3 * 0.5 * 1.5)


# --- EN 1993-1-8 -------------------------------------------------------------------------------------


@pytest.mark.parametrize("beta", [0.25, 0.5, 0.75, 1.0])
@pytest.mark.parametrize("angle", [30, 60, 90])
def test_european_folding_is_nine_tenths_of_the_american(beta, angle):
    """Coefficients recalled against those read in AISC 360-22: 2.8 to 3.1, 14.2 to 15.6, 5.2 to 5.7, 4.85
    to 5.39, 2.7 to 3."""
    theta, t = np.radians(angle), 0.003
    ours = {"F_y": 3e8, "t": t, "beta": beta, "Q_f": 1.0, "theta": theta}
    theirs = {"f_y0": 3e8, "t_0": t, "beta": beta, "k_p": 1.0, "theta": theta}
    pairs = (
        (euro.chord_face_T.si(**theirs, gamma=14.0), rounds.wall_strength_T.si(**ours, gamma=14.0)),
        (euro.chord_face_X.si(**theirs), rounds.wall_strength_X.si(**ours)),
        (
            euro.chord_face_in_plane.si(**theirs, gamma=14.0, d_1=0.03),
            rounds.wall_moment_in_plane.si(**ours, gamma=14.0, D_b=0.03),
        ),
        (
            euro.chord_face_out_of_plane.si(**theirs, d_1=0.03),
            rounds.wall_moment_out_of_plane.si(**ours, D_b=0.03),
        ),
    )
    for theirs_, ours_ in pairs:
        assert theirs_ / ours_ == pytest.approx(0.9, abs=0.0135)


@pytest.mark.parametrize("angle", [35, 60, 90])
def test_european_punching_differs_by_shear_yield_alone(angle):
    theta = np.radians(angle)
    ours, theirs = (
        {"F_y": 3e8, "t": 0.003, "D_b": 0.04, "theta": theta},
        {"f_y0": 3e8, "t_0": 0.003, "d_1": 0.04, "theta": theta},
    )
    for one, two in (
        (euro.punching, rounds.punching_strength),
        (euro.punching_in_plane, rounds.punching_moment_in_plane),
        (euro.punching_out_of_plane, rounds.punching_moment_out_of_plane),
    ):
        assert one.si(**theirs) / two.si(**ours) == pytest.approx(1 / np.sqrt(3) / 0.6)


def test_chord_stress_is_the_same_in_both_codes():
    for n in (0.2, 0.5, 0.9):
        assert euro.chord_stress_factor.si(n_p=n) == pytest.approx(rounds.stress_factor.si(n))


def test_european_resistances_take_the_least():
    """By hand, S275: 60.3 x 4 chord, 42.4 branch: folding and punching in N and mm."""
    beta, gamma = 42.4 / 60.3, 60.3 / 8
    fold = gamma**0.2 * 275 * 16 * (2.8 + 14.2 * beta**2)
    punch = 275 / 3**0.5 * 4 * np.pi * 42.4
    made = euro.resistance(f_y0=275e6, t_0=0.004, d_0=0.0603, t_1=0.0032, d_1=0.0424)
    assert made.N[0] == pytest.approx(min(fold, punch))
    ip = min(4.85 * 275 * 16 * 42.4 * gamma**0.5 * beta, 275 * 4 * 42.4**2 / 3**0.5)
    op = min(275 * 16 * 42.4 * 2.7 / (1 - 0.81 * beta), 275 * 4 * 42.4**2 / 3**0.5)
    assert (made.M_ip[0] * 1e3, made.M_op[0] * 1e3) == pytest.approx((ip, op))
    assert made.use(fold / 2, ip / 2e3, op / 4e3)[0] == pytest.approx(fold / 2 / made.N[0] + 0.25 + 0.25)
    pressed, crossed = (
        euro.resistance(f_y0=275e6, t_0=0.004, d_0=0.0603, t_1=0.0032, d_1=0.0424, **more).N[0]
        for more in ({"n_p": 0.5}, {"cross": True})
    )
    assert pressed == pytest.approx((1 - 0.3 * 0.5 * 1.5) * fold) and crossed < made.N[0]


@pytest.mark.parametrize(
    "change", [{"d_1": 0.01}, {"t_0": 0.001}, {"t_1": 0.0005}, {"theta": np.radians(20)}]
)
def test_european_range(change):
    size = {"f_y0": 275e6, "t_0": 0.004, "d_0": 0.0603, "t_1": 0.0032, "d_1": 0.0424, **change}
    assert np.isnan(euro.resistance(**size).N[0])


# --- round on a flat face ----------------------------------------------------------------------------


def square_as_wide(side, **more):
    like = {n: v for n, v in FLAT.items() if n not in ("D_b", "Z_b")}
    return hj.face_strength(**like, B_b=side, H_b=side, Z_ip=FLAT["Z_b"], Z_op=FLAT["Z_b"], **more)


def test_force_is_that_of_the_square_branch_times_a_quarter_of_pi():
    """EN 1993-1-8 tables 7.10 and 7.11, note on circular braces, on the strengths of AISC."""
    for P in (-1e3, 1e3):
        found, square = mixed.round_on_flat_strength(**FLAT, P=P), square_as_wide(1.9 * INCH, P=P)
        assert (
            found.P_c[0] == pytest.approx(np.pi / 4 * square.P_c[0])
            and found.state() == square.state() == "face bending"
        )


def test_moments_are_those_of_the_square_inside_the_circle():
    found = mixed.round_on_flat_strength(**FLAT, M_ip=50.0, M_op=40.0)
    square = square_as_wide(1.9 * INCH / 2**0.5, M_ip=50.0, M_op=40.0)
    assert (found.M_cip[0], found.M_cop[0]) == pytest.approx((square.M_cip[0], square.M_cop[0]))
    # less than a quarter of pi of the square round the circle, for moments as for the force
    round_it = square_as_wide(1.9 * INCH, M_ip=50.0, M_op=40.0)
    assert found.M_cip[0] < np.pi / 4 * round_it.M_cip[0] and found.M_cop[0] < np.pi / 4 * round_it.M_cop[0]


@pytest.mark.parametrize("forces", [{"P": -2e3}, {"P": 2e3}, {"M_ip": 90.0}, {"M_op": 60.0}])
@pytest.mark.parametrize("system", ["inch", "mm"])
def test_worked_lines_on_a_flat(forces, system):
    found = mixed.round_on_flat_strength(**FLAT, **forces)
    lines = found.lines(0, system)
    assert lines[-1].symbol == "u" and float(lines[-1].result) == pytest.approx(found.ratio[0], rel=1e-3)
    if "P" in forces:
        nominal = float(lines[-2].result.split(" ")[0].replace(",", "")) * (LBF if system == "inch" else 1.0)
        assert nominal / 1.67 == pytest.approx(found.P_c[0], rel=1e-3)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"D_b": 1.1 * INCH}, "D_b/B"),
        ({"D_b": 2.5 * INCH}, "D_b/B"),
        ({"t": 0.065 * INCH}, "B/t"),
        ({"t_b": 0.03 * INCH}, "D_b/t_b"),
    ],
)
def test_range_on_a_flat(change, named):
    found = mixed.round_on_flat_strength(**{**FLAT, **change}, P=-1e3)
    assert np.isnan(found.ratio[0]) and named in found.why_outside()


def test_both_codes_on_a_flat():
    """The same yield lines by both, so the force is the same but for AISC's factor."""
    theirs = euro.resistance_on_flat(
        f_y0=FLAT["F_y"],
        E=E,
        t_0=FLAT["t"],
        b_0=FLAT["B"],
        h_0=FLAT["H"],
        f_y1=FLAT["F_yb"],
        t_1=FLAT["t_b"],
        d_1=FLAT["D_b"],
        W_1=FLAT["Z_b"],
        pressing=False,
    )
    ours = mixed.round_on_flat_strength(**FLAT, P=1e3, M_ip=50.0, M_op=40.0)
    assert theirs.N[0] == pytest.approx(1.67 * ours.P_c[0])
    assert (theirs.M_ip[0], theirs.M_op[0]) == pytest.approx((1.67 * ours.M_cip[0], 1.67 * ours.M_cop[0]))
    square = chord_face.resistance(
        f_y0=FLAT["F_y"],
        E=E,
        t_0=FLAT["t"],
        b_0=FLAT["B"],
        h_0=FLAT["H"],
        f_y1=FLAT["F_yb"],
        t_1=FLAT["t_b"],
        b_1=FLAT["D_b"],
        h_1=FLAT["D_b"],
        W_ip=FLAT["Z_b"],
        W_op=FLAT["Z_b"],
        pressing=False,
    )
    assert theirs.N[0] == pytest.approx(np.pi / 4 * square.N[0])


# --- a square branch on a round tube: a figure for the engineer ---------------------------------------


def test_square_on_round_is_a_plate_along_where_it_is_narrow():
    """Branches opposite each other, of no width: 5 (1 + 0.25 eta), against 5.5 (1 + 0.25 l_b/D) of K2-2a (read)."""
    for length in (0.5, 1.0, 2.0):
        theirs = euro.square_on_round_X.si(k_p=0.8, f_y0=3e8, t_0=0.003, beta=0.0, eta=length)
        ours = rounds.plate_along_strength.si(F_y=3e8, t=0.003, l_b=length, D=1.0, Q_f=0.8)
        assert theirs / ours == pytest.approx(1 / 1.1)


def test_square_on_round_by_hand():
    """50 x 50 x 3 on 88.9 x 4, S275: shares and punching in N and mm."""
    beta = eta = 50 / 88.9
    N = 275 * 16 * (4 + 20 * beta**2) * (1 + 0.25 * eta)
    A, W = 541.0, 7790.0
    size = dict(f_y0=275e6, t_0=0.004, d_0=0.0889, b_1=0.05, h_1=0.05, t_1=0.003, A_1=A * 1e-6, W_ip=W * 1e-9, W_op=W * 1e-9)
    found = euro.square_on_round_use(**size, N=5e3, M_ip=300.0, M_op=100.0)[0]
    shares = 5e3 / N + 300e3 / (50 * N) + 100e3 / (25 * N)
    punched = (5e3 / A + 400e3 / W) * 3 / (4 * 275 / 3**0.5)
    assert found == pytest.approx(max(shares, punched)) and punched < shares
    thick = euro.square_on_round_use(**{**size, "t_1": 0.012}, N=5e3, M_ip=300.0, M_op=100.0)[0]
    assert thick == pytest.approx(4 * punched)
    for change in ({"b_1": 0.03}, {"t_0": 0.0015}, {"h_1": 0.4}):
        assert np.isnan(euro.square_on_round_use(**{**size, **change}, N=5e3, M_ip=0.0, M_op=0.0)[0])
