"""Moisture, movement, slots and restraint: published points, second routes, refusals."""

import numpy as np
import pytest

from shopcalc.errors import InputError, OutsideRange
from shopcalc.units import Q, Quantity
from shopcalc.wood import movement as mv

OAK = {"C": 0.00365, "S": 0.105}  # white oak, commercial: table 13-5; total shrinkage of table 4-3


def moves(width=42.0, built=0.08, driest=0.06, dampest=0.11, **wood):
    return mv.movement(Q(width, "inch"), built=built, driest=driest, dampest=dampest, **(wood or OAK))


# Rows of the handbook's table as printed (degrees F, humidity, per cent).
TABLE = [
    (70, 0.40, 7.7),
    (70, 0.50, 9.2),
    (70, 0.65, 12.0),
    (80, 0.75, 14.2),
    (30, 0.50, 9.5),
    (110, 0.20, 4.0),
]


@pytest.mark.parametrize(("T", "h", "printed"), TABLE)
def test_moisture_in_air_is_the_table(T, h, printed):
    assert float(mv.moisture_in_air(T=T, h=h).magnitude) == pytest.approx(printed, abs=0.0501)


@pytest.mark.parametrize("wrong", ["celsius", "no K1", "K1 square"])
def test_the_wrong_constants_in_circulation_would_be_seen(wrong):
    """Each of the mistakes seen in public code misses the table by more than its rounding."""

    def emc(T, h):
        t = (T - 32) * 5 / 9 if wrong == "celsius" else T
        W, K = 330 + 0.452 * t + 0.00415 * t * t, 0.791 + 0.000463 * t - 0.000000844 * t * t
        K1 = 6.34 + 0.000775 * t - (0.0000453 if wrong == "K1 square" else 0.0000935) * t * t
        K2 = 1.09 + 0.0284 * t - 0.0000904 * t * t
        top = (1 if wrong == "no K1" else K1) * K * h + 2 * (1 if wrong == "no K1" else K1) * K2 * (
            K * h
        ) ** 2
        return 1800 / W * (K * h / (1 - K * h) + top / (1 + K1 * K * h + K1 * K2 * (K * h) ** 2))

    assert any(abs(emc(T, h) - printed) > 0.0501 for T, h, printed in TABLE)


def test_both_scales_give_one_moisture():
    assert mv.settles_at(Q(70, "degF"), 0.4).magnitude == pytest.approx(
        float(mv.settles_at(Q(21.1111111, "degC"), 0.4).magnitude), rel=1e-6
    )
    # the handbook's own row in degrees C, by its own constants in degrees C
    T, h = 21.1, 0.85
    W, K = 349 + 1.29 * T + 0.0135 * T**2, 0.805 + 0.000736 * T - 0.00000273 * T**2
    K1, K2 = 6.27 - 0.00938 * T - 0.000303 * T**2, 1.91 + 0.0407 * T - 0.000293 * T**2
    celsius = (
        1800
        / W
        * (
            K * h / (1 - K * h)
            + (K1 * K * h + 2 * K1 * K2 * (K * h) ** 2) / (1 + K1 * K * h + K1 * K2 * (K * h) ** 2)
        )
    )
    assert float(mv.settles_at(Q(T, "degC"), h).magnitude) == pytest.approx(celsius, rel=5e-3)


def test_air_outside_the_table_is_refused():
    with pytest.raises(OutsideRange, match="30"):
        mv.moisture_in_air(T=20, h=0.5)
    with pytest.raises(InputError, match="temperature"):
        mv.settles_at(70, 0.5)


def test_movement_both_ways_from_build():
    """42 in of white oak from 8 %: 2 points down, 3 points up, 0.00365 a point, by hand."""
    found = moves()
    assert float(found.shrink.to("inch").magnitude) == pytest.approx(42 * 0.00365 * 2, rel=1e-12)
    assert float(found.swell.to("inch").magnitude) == pytest.approx(42 * 0.00365 * 3, rel=1e-12)
    assert found.formula is mv.width_change and len(found.lines()) == 2
    assert moves(built=0.11).swell.magnitude == 0 and len(moves(built=0.11).lines()) == 1


def test_outside_6_to_14_per_cent_total_shrinkage_is_used():
    found = moves(driest=0.04)
    assert found.formula is mv.width_change_any and any("13-3" in c for c in found.cautions)
    # second route: the size that the green board would have, shrunk evenly to each moisture
    S = OAK["S"]
    green = 42 / (1 - S * (0.30 - 0.08) / 0.30)
    at = {m: green * (1 - S * (0.30 - m) / 0.30) for m in (0.04, 0.11)}
    assert float(found.shrink.to("inch").magnitude) == pytest.approx(42 - at[0.04], rel=1e-9)
    assert float(found.swell.to("inch").magnitude) == pytest.approx(at[0.11] - 42, rel=1e-9)


def test_without_total_shrinkage_the_coefficients_are_not_stretched():
    with pytest.raises(InputError, match="6 to 14"):
        moves(driest=0.04, C=0.00365, S=None)
    with pytest.raises(OutsideRange, match="0.06"):
        mv.width_change(Q(42, "inch"), C=0.00365, M_I=0.08, M_F=0.04)


def test_a_moisture_in_whole_per_cents_is_not_taken_for_a_share():
    with pytest.raises(InputError, match="30 %"):
        moves(built=8)
    with pytest.raises(OutsideRange):
        mv.width_change(Q(42, "inch"), C=0.00365, M_I=6, M_F=10)
    with pytest.raises(InputError, match="dampest"):
        moves(driest=0.12, dampest=0.10)


def test_cut_of_the_boards():
    assert mv.coefficient(0.0018, 0.00365, "quarter") == 0.0018
    assert mv.coefficient(0.0018, 0.00365) == mv.coefficient(0.0018, 0.00365, "flat") == 0.00365
    with pytest.raises(InputError, match="flat"):
        mv.coefficient(0.0018, 0.00365, "rift")


def test_on_the_way():
    assert mv.on_arrival(0.08, "ship's hold") == pytest.approx(0.095)
    assert mv.on_arrival(0.08, "wrapped, per month", 5) == pytest.approx(0.09)
    assert mv.on_arrival(0.28, "open deck") == 0.30
    with pytest.raises(InputError, match="open deck"):
        mv.gain_on_the_way("by mule")


def test_a_slot_lets_the_screw_travel_from_end_to_end():
    """Place the screw in its slot at build, then move the wood: it never reaches an end by less than the
    clearance."""
    found = moves()
    screw, clear = Q(0.25, "inch"), Q(1 / 16, "inch")
    for slot in mv.slots(Q(np.array([-18.0, -6.0, 6.0, 18.0]), "inch"), screw, found, clearance=clear):
        y = float(slot.place.to("inch").magnitude)
        outer = float(slot.outward.to("inch").magnitude)
        inner = float(slot.length.to("inch").magnitude) - outer
        wet = outer - 0.125 - y * 0.00365 * 3
        dry = inner - 0.125 - y * 0.00365 * 2
        assert wet == pytest.approx(1 / 16, rel=1e-9) and dry == pytest.approx(1 / 16, rel=1e-9)


def test_the_fixed_line_needs_a_hole_only_and_the_far_row_the_longest_slot():
    found = moves()
    middle = mv.slots(Q(np.array([-18.0, 0.0, 18.0]), "inch"), Q(0.25, "inch"), found)
    assert (
        float(middle[1].length.to("inch").magnitude) == pytest.approx(0.375)
        and middle[0].length == middle[2].length > middle[1].length
    )
    edge = mv.slots(Q(np.array([-18.0, 0.0, 18.0]), "inch"), Q(0.25, "inch"), found, fixed=Q(-18.0, "inch"))
    assert edge[0].place.magnitude == 0 and edge[2].length > middle[2].length
    assert [s.length for s in mv.battens(Q(36, "inch"), found, 3, Q(0.25, "inch"))] == [
        s.length for s in middle
    ]


def test_a_groove_across_the_grain_is_longer_than_its_bar():
    made = mv.groove_length(L=Q(36, "inch"), e_s=0.0073, c=Q(1 / 16, "inch"))
    dry = made * (1 - 0.0073)  # roughly: both clearances shrink with it
    assert dry >= Q(36, "inch")


@pytest.mark.parametrize("kind", sorted(mv.RESTRAINTS))
def test_restraint_over_the_whole_width_is_refused_with_its_stress(kind):
    """Yellow-poplar, four points down: 785 psi against 540 psi, splits at 2.75 points (the trade's own
    sum)."""
    E = Q(0.043 * 1.58e6, "psi")
    down = mv.movement(Q(36, "inch"), built=0.10, driest=0.06, dampest=0.10, C=0.00289, S=None)
    found = mv.restraint(kind, down, E=E, f_t=Q(540, "psi"), C=0.00289)
    assert float(found.stress.to("psi").magnitude) == pytest.approx(785, rel=2e-3)
    assert found.stress > found.strength and found.splits_at == pytest.approx(0.0275, rel=2e-3)
    assert "splits" in found.words


def test_restraint_without_published_strength_is_refused_all_the_same():
    found = mv.restraint("rigid", moves(), E=None, f_t=None, C=0.00365)
    assert found.stress is None and found.splits_at is None and "splits" in found.words
    with pytest.raises(InputError, match="glued batten"):
        mv.restraint("string", moves(), E=None, f_t=None, C=None)


def test_lengthwise_movement_is_small():
    along = mv.width_change_rough(Q(126, "inch"), S=mv.LENGTHWISE, M_I=0.08, M_F=0.11)
    across = mv.width_change(Q(48, "inch"), C=0.00365, M_I=0.08, M_F=0.11)
    assert float((along / across).to("").magnitude) < 0.06


def test_worked_lines_print_in_both_systems():
    for system, unit in (("inch", "in"), ("mm", "mm")):
        line = str(moves().lines(system)[0])
        assert line.startswith("dD = ") and line.endswith(unit), line


def test_arrays_come_in_and_go_out():
    widths = Quantity(np.array([0.5, 1.0]), "m")
    assert mv.width_change(widths, C=0.00365, M_I=0.08, M_F=0.06).magnitude == pytest.approx(
        [-0.00365, -0.0073]
    )
