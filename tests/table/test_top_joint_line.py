"""The joint line of a top of two pieces: what it carries, by the balance of one piece, and what a connector must hold."""

import numpy as np
import pytest
from table.test_top import checks_of, opened

from shopcalc.mechanics.plates import Plate, Seated, alike, grid
from shopcalc.table.top import Top

WITH = 'halves = {{ joint = "{}", at = "{}", connectors = 4, each = "60 lbf*ft/deg"{} }}'


def put(joint="across", at="0 in", rest=""):
    return [('thickness = "1-1/2 in"', 'thickness = "1-1/2 in"\n' + WITH.format(joint, at, rest))]


@pytest.mark.parametrize("way", ["x", "y"])
def test_the_line_of_a_plain_strip_carries_its_statics(way):
    """A beam 2 m by 0.4 m on its two ends under 1 kPa, hinged 0.3 m off its middle: the moment over the line is
    q b (L^2/4 - s^2)/2, whatever its spring."""
    L, b, q, s = 2.0, 0.4, 1000.0, 0.3
    size, line = ((L, b), ("x", s, 3e3)) if way == "x" else ((b, L), ("y", s, 3e3))
    plate = Plate(grid(*size, hinges=[line], cells=(16, 8) if way == "x" else (8, 16)), alike(10e9, 0.0), 0.04)
    ends = [(u * L / 2, v * b / 2) for u in (-1, 1) for v in np.linspace(-1, 1, 9)]
    x, y = np.array(ends).T if way == "x" else np.array(ends).T[::-1]
    w = Seated(plate, plate.rows(x, y)).rest(plate.spread(q), one_sided=False).w
    (places, moment), = plate.folds(w)
    assert np.ptp(places[:, 0 if way == "x" else 1]) == 0 and places[0, 0 if way == "x" else 1] == pytest.approx(s)
    along = places[:, 1 if way == "x" else 0]
    total = np.trapezoid(moment[0], along)
    assert total == pytest.approx(q * b * (L**2 / 4 - s**2) / 2, rel=2e-3)


@pytest.mark.parametrize("joint, at", [("across", "0 in"), ("across", "-7 in"), ("along", "4 in")])
def test_the_line_balances_one_piece_of_a_job(joint, at):
    """Moments about the line of all that acts on the piece past it: own weight and the seats there."""
    job, g, cases = opened("trestles", put=put(joint, at))
    top = Top.of(job, g, cases["person-sag"])
    found = top.answer("sliding", top.mix({"own": top.own}))
    places, moment = top.folds(found)
    line = float(at.split()[0]) * 0.0254
    way, reach, wide = (0, g.top.length / 2, g.top.width) if joint == "across" else (1, g.top.width / 2, g.top.length)
    seats = np.array(top.kept_seats)[:, way] - line
    past = seats > 0
    by_hand = found.forces[0, past] @ seats[past] - top.own * wide * (reach - line) ** 2 / 2
    order = places[:, 1 - way].argsort()
    total = np.trapezoid(moment[0, order], places[order, 1 - way])
    assert total == pytest.approx(by_hand, rel=0.02, abs=0.01 * abs(found.forces[0, past] @ seats[past]))


def test_without_a_rating_it_goes_to_who_knows():
    found = checks_of("trestles", put=put())["top/joint line"]
    assert found.verdict == "ask an engineer" and found.demand.magnitude > 0 and "ask the maker" in found.detail


def test_a_rating_is_compared_with_the_worst_of_all_loads():
    weak, strong = (checks_of("trestles", put=put(rest=f', rated = "{m} lbf*ft"'))["top/joint line"] for m in (20, 2000))
    assert weak.verdict == "over limit" and strong.verdict == "within limit"
    assert weak.ratio == pytest.approx(100 * strong.ratio)
    job, g, cases = opened("trestles", put=put())
    top = Top.of(job, g, cases["person-sag"])
    # 300 lbf on the line, on seats 56 in apart: P L/4 over the whole line, at least the mean of four connectors
    least = 300 * 56 / 12 / 4 / 4
    assert float(strong.demand.to("lbf*ft").magnitude) > 0.5 * least
    assert top.kept.plate.grid.hinges


def test_no_line_no_check():
    assert "top/joint line" not in checks_of("trestles")
