"""How numbers print."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopcalc.check import OVER, WITHIN, Check
from shopcalc.show.values import pair, print_unit, printed, ratio_text, used_line
from shopcalc.units import Q


@pytest.mark.parametrize(("quantity", "system", "role", "rounding", "wanted"), [
    # a size that is required goes up to the next sixteenth, one that is available goes down
    (Q(2.53, "inch"), "inch", "size", "up", "2-9/16 in"),
    (Q(2.53, "inch"), "inch", "size", "down", "2-1/2 in"),
    (Q(64.6, "mm"), "mm", "size", "up", "65 mm"),
    (Q(0.2345, "inch"), "inch", "sag", "nearest", "0.23 in"),
    (Q(0.001, "inch"), "inch", "sag", "nearest", "under 0.01 in"),
    (Q(5.96, "mm"), "mm", "sag", "nearest", "6.0 mm"),
    (Q(0.1196, "inch"), "inch", "wall", "nearest", "0.120 in"),
    (Q(3.048, "mm"), "mm", "wall", "nearest", "3.05 mm"),
    # a thin size is read as a wall is, whatever it is called
    (Q(0.0764, "inch"), "inch", "", "nearest", "0.076 in"),
    (Q(1000, "N"), "inch", "", "nearest", "224.8 lbf"),       # 1 lbf = 4.4482 N
    (Q(1, "kip"), "mm", "", "nearest", "4,448 N"),
    (Q(1000, "N*m"), "inch", "", "nearest", "737.6 lbf·ft"),  # 1 N·m = 0.73756 lbf·ft
    (Q(32, "ksi"), "mm", "", "nearest", "220.6 MPa"),
    (Q(32000, "psi"), "inch", "", "nearest", "32 ksi"),
    (Q(420, "psi"), "inch", "", "nearest", "420 psi"),
    (Q(20, "psf"), "inch", "", "nearest", "20 psf"),
    (Q(20, "psf"), "mm", "area load", "nearest", "0.9576 kPa"),
    (Q(10, "lbf/inch"), "inch", "", "nearest", "10 lbf/in"),
    (Q(100, "kg"), "inch", "", "nearest", "220 lb"),
    (Q(0.5, "deg"), "inch", "", "nearest", "0.5 °"),
    (1.2345, "inch", "", "nearest", "1.23"),
    (None, "inch", "", "nearest", "-"),
])
def test_trade_form(quantity, system, role, rounding, wanted):
    assert printed(quantity, system, role, rounding=rounding) == wanted


def test_a_number_that_is_not_finite_is_never_printed():
    with pytest.raises(ValueError, match="finite"):
        printed(Q(float("nan"), "lbf"), "inch")
    with pytest.raises(ValueError, match="finite"):
        printed(Q(float("inf"), "inch"), "inch", "size")


def check_of(demand, limit, kind="use"):
    ratio = float((demand / limit).to("").magnitude)
    return Check(
        "a/b", "b", "a", kind, OVER if ratio > 1 else WITHIN, demand=demand, limit=limit, ratio=ratio
    )


def test_values_that_differ_never_print_alike():
    demand, limit = pair(check_of(Q(0.2513, "inch"), Q(0.2508, "inch"), "sag"), "inch")
    assert (demand, limit) == ("0.2513 in", "0.2508 in")
    demand, limit = pair(check_of(Q(100.001, "lbf"), Q(100.002, "lbf")), "inch")
    assert demand != limit


def test_standing_says_needs_and_has():
    assert pair(check_of(Q(1.5, ""), Q(2.31, ""), "stability"), "inch") == ("needs 1.5", "has 2.31")
    free = Check("t/s", "s", "t", "stability", WITHIN, demand=Q(1.5, ""), ratio=0.0)
    assert pair(free, "inch") == ("needs 1.5", "no load tips it")


@given(st.floats(min_value=1e-6, max_value=1e4))
def test_a_ratio_over_one_never_prints_as_one_or_less(ratio):
    shown = float(ratio_text(ratio).replace(",", ""))
    assert (shown > 1) == (ratio > 1) or ratio == pytest.approx(1, abs=1e-10)
    assert shown >= ratio - 1e-9  # rounded up, never in favour


@given(st.floats(min_value=0.01, max_value=1e5), st.floats(min_value=0.01, max_value=1e5))
def test_the_last_step_gives_its_own_printed_quotient(top, bottom):
    line = used_line(check_of(Q(top, "lbf"), Q(bottom, "lbf")), "inch")
    a, b, quotient = re.fullmatch(r"used = (\S+) lbf / (\S+) lbf = (\S+)", line).groups()
    a, b, quotient = (float(x.replace(",", "")) for x in (a, b, quotient))
    assert a / b == pytest.approx(quotient, rel=5.1e-4)
    assert quotient == pytest.approx(top / bottom, rel=5.1e-4)


def test_one_unit_for_each_dimension_and_system():
    for unit in ("N", "N*m", "Pa", "N/m", "kg", "m**2", "m**4"):
        for system in ("inch", "mm"):
            name = print_unit(Q(1, unit), system)
            assert Q(1, name).dimensionality == Q(1, unit).dimensionality


def leg_check(size, laid):
    """A weld leg against the least leg, both in inches."""
    return Check(id="joint/least leg", name="Joint: least leg", about="joint", kind="information", verdict="within limit",
                 demand=Q(size, "inch"), limit=Q(laid, "inch"), ratio=size / laid)


def test_a_weld_leg_reads_in_sixteenths_where_it_is_one():
    assert pair(leg_check(0.125, 0.1875), "inch") == ("1/8 in", "3/16 in")
    assert pair(leg_check(0.125, 0.15), "inch") == ("1/8 in", "0.150 in")
    assert pair(leg_check(3 / 25.4, 4 / 25.4), "mm") == ("3 mm", "4 mm")


def test_a_ratio_has_no_unit_word_in_its_last_step():
    check = Check(id="whole/stand", name="Whole: stand", about="whole", kind="stability", verdict="within limit",
                  demand=Q(1.5, ""), limit=Q(2.0, ""), ratio=0.75)
    assert used_line(check, "inch") == "used = 1.5 / 2 = 0.75"
