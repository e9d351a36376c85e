"""Wood fasteners: yield modes by a second route, refusals, what is allowable and what ultimate."""

import numpy as np
import pytest

from shopcalc.codes import nds
from shopcalc.errors import InputError, OutsideRange
from shopcalc.joints import fasteners
from shopcalc.stock.fasteners import insert, inserts, wood_screw, wood_screws
from shopcalc.units import Q

LBF = 4.4482216152605


def dowel(mode, D, F_yb, l_m, l_s, F_em, F_es):
    """Second route: the general dowel equation, a quadratic from equilibrium of rigid and hinged pieces; no
    gap, root diameter."""
    q_m, q_s, M = F_em * D, F_es * D, F_yb * D**3 / 6
    if mode == "I main":
        return q_m * l_m
    if mode == "I side":
        return q_s * l_s
    A = {
        "II": 1 / (4 * q_s) + 1 / (4 * q_m),
        "III main": 1 / (2 * q_s) + 1 / (4 * q_m),
        "III side": 1 / (4 * q_s) + 1 / (2 * q_m),
        "IV": 1 / (2 * q_s) + 1 / (2 * q_m),
    }[mode]
    B = {"II": l_s / 2 + l_m / 2, "III main": l_m / 2, "III side": l_s / 2, "IV": 0.0}[mode]
    C = {
        "II": -q_s * l_s**2 / 4 - q_m * l_m**2 / 4,
        "III main": -M - q_m * l_m**2 / 4,
        "III side": -q_s * l_s**2 / 4 - M,
        "IV": -2 * M,
    }[mode]
    return (-B + (B**2 - 4 * A * C) ** 0.5) / (2 * A)


@pytest.mark.parametrize("mode", nds.MODES)
def test_every_mode_is_the_equilibrium_of_its_dowel(mode):
    rng = np.random.default_rng(5)
    for _ in range(20):
        D, F_yb = rng.uniform(0.1, 0.6), rng.uniform(40e3, 100e3)
        l_m, l_s, F_em, F_es = (
            rng.uniform(0.5, 4),
            rng.uniform(0.07, 2),
            rng.uniform(2e3, 8e3),
            rng.uniform(2e3, 7e4),
        )
        found = nds.lateral_si(D=D, D_r=D, F_yb=F_yb, l_m=l_m, l_s=l_s, F_em=F_em, F_es=F_es)
        i = nds.MODES.index(mode)
        R_d = nds.reduction_si(D, D, 0.0)[i, 0]
        assert found.modes[i, 0] * R_d == pytest.approx(dowel(mode, D, F_yb, l_m, l_s, F_em, F_es), rel=1e-9)


def test_reduction_terms_of_the_table():
    """Table 12.3.1B: 2.2 up to 0.17 in, 10 D + 0.5 to 1/4 in, then 4, 3.6, 3.2; K_theta 1.25 across the
    grain."""
    assert nds.reduction_si(0.164, 0.131, np.pi / 2)[:, 0] == pytest.approx([2.2] * 6)
    assert nds.reduction_si(0.242, 0.196, np.pi / 2)[:, 0] == pytest.approx([2.46] * 6)
    assert nds.reduction_si(0.3125, 0.227, np.pi / 2)[:, 0] == pytest.approx([2.77 * 1.25] * 6)
    assert nds.reduction_si(0.375, 0.265, 0.0)[:, 0] == pytest.approx([4, 4, 3.6, 3.2, 3.2, 3.2])


def test_hankinson_runs_from_along_to_across():
    along, across = (nds.bearing(G=0.67, D=Q(0.375, "inch"), grain=g) for g in ("along", "across"))
    assert along == Q(11200 * 0.67, "psi") and across.magnitude == pytest.approx(
        6100 * 0.67**1.45 / 0.375**0.5
    )
    between = nds.bearing_si(0.67, 0.375, np.radians(30))
    assert between == pytest.approx(
        along.magnitude * across.magnitude / (along.magnitude / 4 + across.magnitude * 3 / 4)
    )
    small = [nds.bearing(G=0.67, D=Q(0.19, "inch"), grain=g) for g in ("along", "across")]
    assert small[0] == small[1]
    with pytest.raises(InputError):
        nds.bearing(G=0.67, D=Q(0.19, "inch"), grain="sideways")


def test_a_screw_under_both_loads_stands_between_the_two():
    W, Z = Q(200, "lbf"), Q(120, "lbf")
    assert nds.inclined(W=W, Z=Z, theta=Q(90, "deg")).to("lbf").magnitude == pytest.approx(200)
    assert nds.inclined(W=W, Z=Z, theta=Q(1e-9, "deg")).to("lbf").magnitude == pytest.approx(120)
    held = fasteners.Held(200 * LBF, 120 * LBF, 120 * LBF, "II")
    R = nds.inclined(W=W, Z=Z, theta=Q(40, "deg")).to("N").magnitude
    added = fasteners.use_of_screw(R * np.sin(np.radians(40)), R * np.cos(np.radians(40)), held, True)
    assert added >= 1  # the sum of shares is the more cautious


def screw(name="#10", length="1-1/2", **more):
    return fasteners.screw_in_wood(
        wood_screw(name),
        G=0.68,
        length=Q(1.5 if length == "1-1/2" else length, "inch"),
        plate=Q(0.12, "inch"),
        F_e_plate=fasteners.bearing_of_steel(Q(58, "ksi")),
        **more,
    )


def test_a_number_ten_in_white_oak_by_hand():
    """2850 G^2 D = 250.4 lbf per in, on 1.5 - 0.12 - 0.38 in of thread."""
    held = screw()
    assert held.pull / LBF == pytest.approx(2850 * 0.68**2 * 0.19 * (1.5 - 0.12 - 2 * 0.19), rel=1e-9)
    assert held.along == held.across and not held.refused and held.mode in nds.MODES


@pytest.mark.parametrize(
    "name, length, thread", [("lag 1/4", 1.5, 1 + 3 / 32), ("lag 1/4", 4, 2 + 11 / 32), ("lag 3/8", 6, 3 + 9 / 32)]
)
def test_only_the_thread_of_a_long_lag_is_pulled(name, length, thread):
    """Thread less tip of lag screws as the table of NDS appendix L lists it (recalled)."""
    lag = wood_screw(name)
    D = lag.D.magnitude
    assert screw(name, length).pull / LBF == pytest.approx(1800 * 0.68**1.5 * D**0.75 * thread, rel=0.01)


def test_only_the_thread_of_a_long_wood_screw_is_pulled():
    assert screw("#10", 3.0).pull / LBF == pytest.approx(2850 * 0.68**2 * 0.19 * 2.0)


def test_the_point_of_a_lag_is_no_penetration():
    """Four diameters without the point: 1/4 in lag, 1 in of wood and the point of 5/32 in."""
    assert "least the code counts" in screw("lag 1/4", 0.12 + 1.1).refused
    assert not screw("lag 1/4", 0.12 + 1.0 + 5 / 32 + 0.01).refused


def test_too_little_wood_and_end_grain_are_refused():
    short = screw(length=1.0)
    assert "least the code counts" in short.refused and np.isnan(short.pull)
    assert "end grain" in screw(end_grain=True).refused
    lag = screw("lag 5/16", length=2.5, end_grain=True)
    assert lag.pull == pytest.approx(0.75 * screw("lag 5/16", length=2.5).pull)
    assert np.isinf(fasteners.use_of_screw(10.0, 0.0, short, True))


def test_allowable_and_ultimate_never_mix():
    ultimate, allowable = (
        fasteners.Rated(Q(1000, "lbf"), "ultimate"),
        fasteners.Rated(Q(1000, "lbf"), "allowable"),
    )
    assert fasteners.bolt_in_insert(rated=ultimate).pull == pytest.approx(200 * LBF)
    assert fasteners.bolt_in_insert(rated=allowable).pull == pytest.approx(1000 * LBF)
    assert "maker" in fasteners.bolt_in_insert(rated=None).refused
    for value, basis in (
        (Q(1, "lbf"), "safe"),
        (Q(1, "inch"), "allowable"),
        (Q(-3, "lbf"), "ultimate"),
        (300, "ultimate"),
    ):
        with pytest.raises(InputError):
            fasteners.Rated(value, basis)


def test_slot_for_a_moving_top():
    found = fasteners.slot_length(d=Q(0.25, "inch"), u=Q(3, "mm"), c=Q(2, "mm"))
    assert found.to("mm").magnitude == pytest.approx(6.35 + 6 + 4)


def test_wood_outside_the_range_has_no_value():
    with pytest.raises(OutsideRange):
        nds.lag_withdrawal(G=0.2, D=Q(0.25, "inch"))
    with pytest.raises(InputError):
        nds.withdrawal_length(length=Q(0.5, "inch"), side=Q(0.25, "inch"), tip=Q(0.3, "inch"))


def test_lists_are_asked_by_name():
    assert wood_screw("LAG 3/8").D == Q(0.375, "inch") and insert("insert M8").outside == Q(12, "mm")
    for wrong in ("#11", 10, None):
        with pytest.raises(InputError, match="of the list"):
            wood_screw(wrong)
    with pytest.raises(InputError, match="of the list"):
        insert("insert 1")
    for s in wood_screws():
        assert s.D_r < s.D and s.tip < 3 * s.D and 40e3 <= s.F_yb.magnitude <= 100e3
    assert all(i.length > i.outside for i in inserts())
