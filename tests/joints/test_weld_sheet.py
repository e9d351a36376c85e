"""What laying a weld takes: hand figures."""

import math

import numpy as np
import pytest

from shopcalc.errors import InputError
from shopcalc.joints import weld_sheet as s
from shopcalc.units import Q, magnitude


def test_filler_and_time_by_hand():
    # 10 ft of 1/8 in fillet: 0.5 x 0.125^2 x 120 in^3 x 0.283 lb/in^3 = 0.2653 lb, a tenth more for the
    # crown.
    found = s.laying(Q(10, "ft"), Q(0.125, "in"), "GMAW")
    deposited = 0.5 * 0.125**2 * 120 * 0.283 * 1.1
    assert magnitude(found.deposited, "lb") == pytest.approx(deposited)
    assert magnitude(found.bought, "lb") == pytest.approx(deposited / 0.95)
    assert magnitude(found.arc_time, "min") == pytest.approx(deposited / 3 * 60)
    assert magnitude(found.work_time, "min") == pytest.approx(deposited / 3 * 60 / 0.25) and found.passes == 1
    own = s.laying(Q(10, "ft"), Q(0.125, "in"), "GMAW", operating_factor=0.5)
    assert magnitude(own.work_time, "min") == pytest.approx(deposited / 3 * 60 / 0.5)


def test_twice_the_leg_takes_four_times_the_filler():
    one, two = (s.laying(Q(1, "m"), Q(w, "mm"), "GTAW") for w in (3, 6))
    assert (two.deposited / one.deposited).to("").magnitude == pytest.approx(4)


def test_passes_by_leg():
    assert s.passes(np.array([1 / 8, 5 / 16, 3 / 8, 1 / 2, 11 / 16]) * 0.0254).tolist() == [1, 1, 2, 2, 3]


def test_heat_input_names_its_convention():
    # 100 A, 12 V, 2 mm/s: 0.6 kJ/mm at the arc; EN counts 0.6 of it for GTAW.
    arc = s.arc_energy(Q(1200, "W"), Q(2, "mm/s"))
    assert magnitude(arc, "kJ/mm") == pytest.approx(0.6)
    assert magnitude(s.heat_input(s.arc_efficiency("GTAW"), arc), "kJ/mm") == pytest.approx(0.36)
    assert "US codes" in s.HEAT_WORDS and "EN 1011-1" in s.HEAT_WORDS


def test_time_filler_and_heat_of_a_bead_agree():
    """1/8 in by GMAW: 120 A and 18 V make 2160 W; 3 lb/h of a bead of 0.5 x 0.125^2 x 1.1 x 0.283 lb/in goes 20.56 in/min; so
    the arc gives 2160 x 60 / 20.56 = 6.30 kJ/in, and EN 1011-1 counts 0.8 of it."""
    found = s.laying(Q(10, "ft"), Q(0.125, "in"), "GMAW")
    travel = 3 / 60 / (0.5 * 0.125**2 * 1.1 * 0.283)
    assert magnitude(found.travel, "in/min") == pytest.approx(travel) == pytest.approx(20.56, abs=0.01)
    assert magnitude(found.arc_energy, "kJ/in") == pytest.approx(2.160 * 60 / travel)
    assert magnitude(found.heat_input, "kJ/in") == pytest.approx(0.8 * 2.160 * 60 / travel)
    assert magnitude(found.power, "W") == pytest.approx(2160) and found.assumed == ("volts", "amps", "travel")
    assert magnitude(found.deposition_rate, "lb/h") == pytest.approx(3)
    # another way round: all the energy of the arc over the whole length
    whole = 2160 * magnitude(found.arc_time, "s") / magnitude(found.length, "m")
    assert magnitude(found.arc_energy, "J/m") == pytest.approx(whole)


def test_what_the_welder_sets_counts_and_the_time_follows_the_travel():
    found = s.laying(Q(120, "in"), Q(0.125, "in"), "GTAW", volts=Q(11, "V"), amps=Q(80, "A"), travel=Q(4, "in/min"))
    assert magnitude(found.arc_time, "min") == pytest.approx(30) and found.assumed == ()
    assert magnitude(found.arc_energy, "kJ/in") == pytest.approx(0.88 * 15) and magnitude(found.heat_input, "kJ/in") == pytest.approx(0.6 * 0.88 * 15)
    two = s.laying(Q(120, "in"), Q(0.375, "in"), "GTAW", travel=Q(4, "in/min"))
    assert two.passes == 2 and magnitude(two.arc_time, "min") == pytest.approx(60)


@pytest.mark.parametrize("process", ["GMAW", "GTAW", "SMAW", "FCAW"])
def test_a_named_default_gives_the_heat_of_a_usual_bead(process):
    """Between a tenth and three kilojoules a millimetre for legs of 1/8 to 1/4 in: the range that steel is welded with."""
    for leg in (0.125, 0.1875, 0.25):
        found = s.laying(Q(1, "m"), Q(leg, "in"), process)
        assert 0.1 < magnitude(found.heat_input, "kJ/mm") < 3.0


def test_a_butt_is_filled_through_the_wall():
    found = s.laying(Q(8, "in"), None, "GMAW", wall=Q(0.12, "in"))
    assert magnitude(found.deposited, "lb") == pytest.approx((0.0625 * 0.12 + 0.12**2 / 2) * 8 * 0.283)
    for call in (lambda: s.laying(Q(8, "in"), None), lambda: s.laying(Q(8, "in"), Q(0.1, "in"), wall=Q(0.1, "in"))):
        with pytest.raises(InputError, match="leg"):
            call()


def test_a_round_corner_filled_flush_by_integration():
    # Between the flat and a circle of radius R: the gap at depth y is R - sqrt(R^2 - (R - y)^2).
    R = 0.24
    y = (np.arange(200_000) + 0.5) / 200_000 * R
    area = (R - np.sqrt(R**2 - (R - y) ** 2)).mean() * R
    assert magnitude(s.flare_area(Q(R, "in")), "in**2") == pytest.approx(area, rel=1e-6)
    bare, filled = (s.laying(Q(10, "in"), Q(0.125, "in"), fill=fill) for fill in (None, Q(0.03, "lb")))
    assert magnitude(filled.deposited - bare.deposited, "lb") == pytest.approx(0.03)
    assert magnitude(filled.arc_time - bare.arc_time, "min") == pytest.approx(0.6) and filled.travel == bare.travel


def test_shrinkage_is_an_allowance_across_and_along():
    found = s.shrinkage(Q(1.5, "m"))
    assert magnitude(found.across, "mm") == pytest.approx(0.8) and magnitude(found.along, "mm") == pytest.approx(0.4)
    assert magnitude(s.shrinkage(Q(3, "m"), butt=True).along, "mm") == pytest.approx(3)


def test_current_between_rows_and_outside_them():
    found = s.gtaw_current(Q(2.4, "mm"))
    assert magnitude(found.least, "A") == pytest.approx(70) and magnitude(found.most, "A") == pytest.approx(
        95
    )
    with pytest.raises(InputError, match="1.6 to 6 mm"):
        s.gtaw_current(Q(1.2, "mm"))


def test_vents():
    assert magnitude(s.vent_hole(Q(3, "in"), Q(4, "in"), "galvanizing"), "in") == pytest.approx(1.25)
    assert magnitude(s.vent_hole(Q(20, "mm"), Q(20, "mm"), "galvanizing"), "mm") == pytest.approx(10)
    assert math.hypot(20, 20) / 4 < 10  # the least size decides there
    with pytest.raises(InputError):
        s.vent_hole(Q(20, "mm"), Q(20, "mm"), "paint")


@pytest.mark.parametrize(
    "call",
    [
        lambda: s.laying(Q(1, "m"), Q(3, "mm"), "laser"),
        lambda: s.arc_efficiency("TIG"),
        lambda: s.laying(Q(1, "m"), Q(3, "mm"), operating_factor=0.0),
        lambda: s.shrinkage_allowance("sideways"),
    ],
)
def test_bad_input(call):
    with pytest.raises(InputError):
        call()
