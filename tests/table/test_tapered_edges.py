"""Tapered legs at the edges of what is legal: places that nearly meet, odd sizes, both unit systems."""

import numpy as np
import pytest
from scipy.integrate import quad
from table.bases_for_tests import legs

from shopcalc.table.frame import table_frame
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job

STOCK = 'leg = "square tube 2-1/2 in x 3/16 in, A500 C"\nlow = "square tube 1 in x 11 ga, A513"'


def bench(straight: str, above: str = "6 in"):
    job = read_job(legs("Bench", leg="leg", splay=f', taper = {{ to = "1-1/4 in", straight = "{straight}" }}', stock=STOCK,
                        joints="rail_to_leg stretcher_to_leg",
                        stretchers=f'stretchers = {{ shape = "box", stock = "low", above_floor = "{above}" }}'))
    return job, build(job)


# The leg stands from 1 in to 28 in: with 13 in straight it begins to narrow at 15 in.
@pytest.mark.parametrize(("straight", "above"), [("0.001 in", "6 in"), ("0.004 in", "6 in"), ("13 in", "15.001 in"), ("13 in", "14.997 in"),
                                                 ("13 in", "381.1 mm")])
def test_a_kink_a_hair_from_something_else_is_one_place_with_it(straight, above):
    """Nearer than a tenth of a millimetre to a joint or an end: no piece without length, the leg as flexible as the
    integral over its sections."""
    job, g = bench(straight, above)
    leg = g.members["leg.left.front"]
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    starts = [a for _, a in t.runs[leg.name]]
    ends = [*starts[1:], leg.length]
    assert min(np.subtract(ends, starts)) > 1e-3
    numbers = [t.frame.member_number[name] for name, _ in t.runs[leg.name]]
    stepped = sum((b**3 - a**3) / 3 / I for a, b, I in zip(starts, ends, t.sizes.Iy[0, numbers], strict=True))
    true = quad(lambda x: x**2 / float(leg.section_at(x).Ix[0]), 0, leg.length, points=[leg.kink], epsrel=1e-5)[0]
    assert stepped == pytest.approx(true, rel=0.015)
