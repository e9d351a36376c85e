"""Inserts under the top pushed sideways: compared with what their maker rates, else only reported."""

import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import OVER, REPORTED, WITHIN
from shopcalc.errors import InputError
from shopcalc.table.fixing_checks import fixing_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.units import magnitude

INSERT = 'fixing = "insert 1/4", count = 8, slotted = true, fixed = 2, rated_allowable = "500 lbf"'


def sideways(top: str):
    job = read_job(JOBS["four legs"] + f"top_to_base = {{ {top} }}\n")
    g = build(job)
    return {c.id: c for c in fixing_checks(job, g, frame_cases(g, load_cases()))}["top/fixing sideways"]


def test_a_shove_across_the_grain_is_held_by_the_two_that_are_fixed():
    """100 lbf across, half on each; the ultimate load of a maker is divided by five."""
    asked = sideways(INSERT)
    assert asked.verdict == REPORTED and asked.limit is None and "sideways_allowable" in asked.detail
    enough, scarce = (sideways(f'{INSERT}, sideways_allowable = "{size} lbf"') for size in (400, 40))
    tested = sideways(f'{INSERT}, sideways_ultimate = "400 lbf"')
    for found in (enough, scarce, tested):
        assert magnitude(found.demand, "lbf") >= 50 * (1 - 1e-9) and "maker" in found.detail and "2 of 8" in found.detail
    assert magnitude(enough.limit, "lbf") == pytest.approx(400) and magnitude(tested.limit, "lbf") == pytest.approx(80)
    assert enough.ratio == pytest.approx(magnitude(enough.demand, "lbf") / 400) and enough.verdict == WITHIN
    assert scarce.verdict == OVER and tested.ratio == pytest.approx(5 * enough.ratio)


def test_what_the_code_gives_no_maker_rates():
    with pytest.raises(InputError, match="sideways_allowable"):
        read_job(JOBS["four legs"] + 'top_to_base = { fixing = "#10", count = 8, length = "1-1/2 in", sideways_allowable = "90 lbf" }\n')
