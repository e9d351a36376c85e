"""A member's working and a joint's range as they print: no rounding shown as a force, no bare stress."""

import re

import numpy as np
import pytest

from shopcalc.codes.aisc360_22 import (
    hollow_joints,
    hollow_joints_round,
    hollow_joints_round_on_flat,
    point_load,
)
from shopcalc.codes.aisc360_22.of_sections import Demand, Lengths, member_lines
from shopcalc.codes.en1993_1_8 import chord_face, chord_face_round
from shopcalc.formula import Within
from shopcalc.stock.sections import rectangular_tubes

ROUNDING = {"P": -2e-11, "V_y": 2e-11, "M_y": 6e-12}


def lines(**forces):
    sizes = (np.array([v * 0.0254]) for v in (2, 3, 0.162, 0.324, 0.162))
    tube = rectangular_tubes(*sizes, mass_per_length=1.0, coat_per_length=1.0)
    demand = Demand.of(**{k: np.array([v]) for k, v in forces.items()})
    return member_lines(tube, 32 * 6.894757e6, 29e6 * 6894.757, demand, Lengths.of(1.0))


def test_what_cancelling_leaves_of_a_force_is_not_worked_out():
    loads = {"M_x": 560.0, "V_x": 2900.0}
    with_rounding, without = lines(**loads, **ROUNDING), lines(**loads)
    assert [str(w) for w in with_rounding] == [str(w) for w in without]


def test_a_small_force_that_is_real_stays():
    assert any("lambda" in str(w) or "F_e" in str(w) for w in lines(M_x=560.0, V_x=2900.0, P=-0.01))


MODULES = (hollow_joints, hollow_joints_round, hollow_joints_round_on_flat, point_load, chord_face, chord_face_round)
LIMITS = {id(v): v for m in MODULES for part in vars(m).values()
          for v in (part if isinstance(part, tuple) else (part,)) if isinstance(v, Within)}


@pytest.mark.parametrize("limit", LIMITS.values(), ids=str)
def test_limits_of_joints_print_in_units_of_the_trade(limit):
    assert not re.search(r"e[+]|\.0001", str(limit))
