"""Fixings of the top: which of them is pulled hardest under people, and where there is no wood for them."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.stock import fasteners as stock
from shopcalc.table.fixing_checks import fixing_checks, pockets_at_bars
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.jobfile.joints import TopFixing
from shopcalc.table.loads import load_cases
from shopcalc.table.wood_checks import _diameter
from shopcalc.units import magnitude

LBF, INCH = 4.4482216152605, 0.0254


def checks_of(top='fixing = "lag 1/4", count = 10, length = "1-1/2 in", tab = "1/8 in", slotted = true', put=(), more=""):
    text = JOBS["trestles"]
    for old, new in put:
        assert old in text
        text = text.replace(old, new, 1)
    job = read_job(text + f"top_to_base = {{ {top} }}\n" + more)
    g = build(job)
    return job, g, {c.id: c for c in fixing_checks(job, g, list(frame_cases(g, load_cases())))}


def test_the_fixing_furthest_from_the_edge_is_pulled_hardest():
    """A 60 in top on heads 30 in long: 400 lbf 15 in past them. Ten fixings like the ten seats, at 0, 7.5, 15, 22.5 and 30 in
    from the edge: pulled by their distance from it, sum of the squares 3375 in2, not all alike."""
    _, g, found = checks_of(put=[('width = "36 in"', 'width = "60 in"')])
    W = 0.9 * g.top.mass * 9.80665
    hand = (400 * LBF * 15 - W * 15) * 30 / (2 * (7.5**2 + 15**2 + 22.5**2 + 30**2))
    asked = found["top/fixing under people"]
    assert hand > 0 and float(magnitude(asked.demand, "N")) == pytest.approx(hand, rel=1e-6)
    assert hand == pytest.approx(4 / 3 * (400 * LBF - W) / 10)  # a third more than an even share
    assert asked.lines()


POCKET = '\n[top.pockets.river]\nlength = "{}"\nwidth = "4 in"\ndepth = "3/4 in"\nat = ["{}", "0 in"]\nface = "{}"\n'


def test_a_screw_must_stay_under_a_pocket_above_its_bar():
    """1-1/2 in of lag less 1/8 in of tab in a top of 1-1/2 in; 3/4 in of pocket over the heads at 28 in leaves 5/8 in."""
    plain = checks_of('fixing = "lag 1/4", count = 10, length = "1-1/4 in", tab = "1/8 in", slotted = true')[2]
    river = checks_of('fixing = "lag 1/4", count = 10, length = "1-1/4 in", tab = "1/8 in", slotted = true', more=POCKET.format("60 in", "0 in", "upper"))[2]
    beside = checks_of('fixing = "lag 1/4", count = 10, length = "1-1/4 in", tab = "1/8 in", slotted = true', more=POCKET.format("40 in", "0 in", "upper"))[2]
    assert plain["top/fixing length"].verdict == beside["top/fixing length"].verdict == "within limit"
    over = river["top/fixing length"]
    assert over.verdict == "over limit" and over.ratio == pytest.approx(1.125 / 0.625) and "river" in over.detail


def test_a_pocket_underneath_at_a_bar_is_warned_of():
    job, g, found = checks_of(more=POCKET.format("60 in", "0 in", "under"))
    assert pockets_at_bars(job, g) == ["river"]
    assert any("no wood is there" in c for c in found["top/fixing pull"].cautions)


@pytest.mark.parametrize("wood, fixing", [("MDF 130", 'fixing = "#10", count = 8, length = "2 in"'), ("white oak", 'fixing = "insert 3/8", count = 8')])
def test_the_length_is_told_though_the_strength_is_not(wood, fixing):
    """2 in less an 11 ga tab come through a top of 1-1/2 in; an insert 3/4 in long through one of 3/4 in."""
    thin = '1-1/2 in' if "#10" in fixing else '3/4 in'
    found = checks_of(fixing, put=[('wood = "white oak"', f'wood = "{wood}"'), ('thickness = "1-1/2 in"', f'thickness = "{thin}"')])[2]
    assert found["top/fixing"].verdict == "ask an engineer"
    assert found["top/fixing length"].verdict == "over limit"


def test_slots_are_as_wide_as_the_bolt_of_the_insert():
    """M8 is 8 mm and M6 6 mm: neither is the 1/4 in of a screw nobody named."""
    for name in (i.name for i in stock.inserts()):
        d = float(magnitude(_diameter(TopFixing(fixing=name, count=4)), "mm"))
        size = name.split()[-1]
        want = float(size[1:]) if size.startswith("M") else 25.4 * float(np.divide(*map(int, size.split("/"))))
        assert d == pytest.approx(want), name
