"""Pockets of a job: what they weigh counts wherever the top's weight does; what they cut away counts together."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.errors import InputError
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.moving.handling import lifting_checks
from shopcalc.table.frame_cases import Loader
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.stability import body_of
from shopcalc.table.states import loose_top, tilting_up
from shopcalc.table.top import Top
from shopcalc.table.wood_checks import inlay_check, least_strength, wood_checks
from shopcalc.wood.net_section import share_of_cuts

INCH = 0.0254


def opened(*pockets, name="trestles", more=""):
    """Pockets as (x, y, length, width, depth, rest of the row), inches."""
    text = JOBS[name]
    for i, (x, y, a, b, d, rest) in enumerate(pockets):
        text += (f'\n[top.pockets.p{i}]\nlength = "{a} in"\nwidth = "{b} in"\ndepth = "{d} in"\nat = ["{x} in", "{y} in"]\n{rest}\n')
    job = read_job(text + more)
    return job, build(job)


LEAD = '\n[top.resin]\ndensity = "3000 kg/m^3"\n'


@pytest.mark.parametrize("fill", ["", 'filled = "nothing"'])
def test_what_a_pocket_adds_is_in_the_mass_and_the_centre_of_the_top(fill):
    """30 x 10 x 1 in at (20, 9): 300 in3 of 3000 kg/m3 (or air) in place of oak."""
    _, plain = opened()
    _, g = opened((20, 9, 30, 10, 1, fill), more=LEAD)
    V = 300 * INCH**3
    wood = plain.top.mass / (84 * 36 * 1.5 * INCH**3)
    add = V * ((0 if fill else 3000) - wood)
    assert g.top.mass == pytest.approx(plain.top.mass + add, rel=1e-9)
    x, y, z = g.top.middle
    assert (x, y) == pytest.approx((add * 20 * INCH / g.top.mass, add * 9 * INCH / g.top.mass), rel=1e-9)
    assert z == pytest.approx(plain.top.middle[2] + add * 0.25 * INCH / g.top.mass, rel=1e-9)
    assert [p.mass for p in g.pieces if p.name == "top"] == [g.top.mass]


def test_it_is_lifted_carried_and_tipped_with_it():
    _, plain = opened()
    job, g = opened((20, 9, 30, 10, 1, ""), more=LEAD)
    add = g.top.mass - plain.top.mass
    assert add > 8
    lifted = next(c for c in lifting_checks(job, g) if c.about == "top")
    assert float(lifted.demand.to("kg").magnitude) == pytest.approx(1.1 * g.top.mass)
    assert body_of(g).weight == pytest.approx(body_of(plain).weight + 0.9 * add * GRAVITY)
    assert body_of(g).centre[0] > 0 and body_of(g).centre[1] > 0
    # about the head of the right trestle, 28 in out, from the end of the top, 42 in out
    assert loose_top(g, 0.0).place[0] > 0
    assert loose_top(g, 0.0).tips <= 0.9 * g.top.mass * GRAVITY * (28 * INCH - g.top.middle[0]) / (14 * INCH) * (1 + 1e-9)
    assert tilting_up(g)[0] == pytest.approx(1.1 * GRAVITY * (g.top.mass / 2 + add * 9 / 36), rel=1e-9)


def test_seats_and_plate_carry_its_weight_at_its_place():
    job, g = opened((20, 9, 30, 10, 1, ""), more=LEAD)
    own = Loader.of(g).own()[:, 2]
    seats = np.array([s.place[:2] for s in g.seats])
    W = g.top.mass * GRAVITY
    assert -own.sum() == pytest.approx(W, rel=1e-9)
    assert -own @ seats == pytest.approx(W * g.top.middle[:2], rel=1e-6)
    top = Top.of(job, g, load_cases()["person-sag"], None)
    load = top.own * top.kept.loads[0]
    assert load @ top.kept.plate.rigid.T == pytest.approx([W, *(W * g.top.middle[:2])], rel=1e-9)


def test_a_weighed_top_is_weighed_with_its_inlay():
    job, g = opened((20, 0, 30, 10, 1, ""), more=LEAD + '\n[evidence]\nweighed_top = "200 lb"\n')
    assert g.top.mass == pytest.approx(200 * 0.45359237)
    assert 0 < g.top.slab < g.top.mass and g.top.middle[0] > 0
    assert "as weighed" in inlay_check(job, g).detail


def test_pockets_side_by_side_weaken_one_section_together():
    """Three pockets 8 in wide of a 36 in top 1-1/2 in thick, 3/4 in deep, beside each other: as one of 24 in. The net section
    by the parallel axes."""
    job, g = opened(*((10, y, 6, 8, 0.75, "") for y in (-12, 0, 12)))
    b, t, w, d = 36, 1.5, 24, 0.75
    A = b * t - w * d
    y = (b * t * t / 2 - w * d * (t - d / 2)) / A
    I = b * t**3 / 12 + b * t * (t / 2 - y) ** 2 - w * d**3 / 12 - w * d * (t - d / 2 - y) ** 2
    hand = I / max(y, t - y) / (b * t**2 / 6)
    assert least_strength(job, g) == pytest.approx(max(hand, 0.25), rel=1e-9)
    alone = least_strength(*opened((10, 0, 6, 8, 0.75, "")))
    assert least_strength(job, g) < 0.75 * alone


def test_pockets_in_both_faces_leave_only_what_is_between():
    """Over the whole strip, a third from each face: (1/3)^2 of its strength is left."""
    assert share_of_cuts(1.0, 0.03, [(0, 1, 0.01, True), (0, 1, 0.01, False)]) == pytest.approx(1 / 9)
    job, g = opened((0, 0, 10, 8, 0.5, ""), (0, 0, 10, 8, 0.5, 'face = "under"'))
    plate = Top.of(job, g, load_cases()["person-sag"], None).kept.plate
    assert plate.thickness_at(0.01, 0.01) == pytest.approx(1 / 3)
    assert list(wood_checks(job, g))
    too_deep = opened((0, 0, 10, 8, 0.75, ""), (2, 0, 10, 8, 0.7, 'face = "under"'))
    with pytest.raises(InputError, match="tenth of the thickness"):
        least_strength(*too_deep)


def test_a_round_top_is_narrow_where_its_pocket_ends():
    """42 in round, a pocket to 17 in from the middle: the chord there is 2 sqrt(21^2 - 17^2) = 24.7 in, not 42; 16 in of it
    are cut 0.7 in deep of 1-1/2 in. By the parallel axes."""
    text = JOBS["pedestal"].replace('length = "42 in"', 'shape = "round"\nlength = "42 in"')
    job = read_job(text + '\n[top.pockets.p]\nlength = "4 in"\nwidth = "16 in"\ndepth = "0.7 in"\nat = ["15 in", "0 in"]\n')
    b, t, w, d = 2 * np.sqrt(21**2 - 17**2), 1.5, 16, 0.7
    A = b * t - w * d
    y = (b * t * t / 2 - w * d * (t - d / 2)) / A
    I = b * t**3 / 12 + b * t * (t / 2 - y) ** 2 - w * d**3 / 12 - w * d * (t - d / 2 - y) ** 2
    hand = max(I / max(y, t - y) / (b * t**2 / 6), (1 - d / t) ** 2)
    assert least_strength(job, build(job)) == pytest.approx(hand, rel=1e-9)


def test_a_top_does_not_lie_on_a_bar_under_an_open_pocket():
    """Heads at 28 in with seats to 15 in: a channel 20 in wide, open underneath, takes the three middle seats of both away;
    filled flush it takes none; open over all of them it leaves nothing to lie on."""
    from shopcalc.table.top import bearing
    from shopcalc.table.top_checks import top_checks

    whole, filled = (bearing(*opened(*p)) for p in ((), ((0, 0, 60, 20, 0.5, 'face = "under"'),)))
    job, g = opened((0, 0, 60, 20, 0.5, 'face = "under"\nfilled = "nothing"'))
    assert len(whole) == len(filled) == 10 and sorted({round(abs(s.place[1]) / INCH, 2) for s in bearing(job, g)}) == [15.0]
    found = {c.id: c for c in top_checks(job, g, load_cases())}
    assert found["top/seats"].detail.startswith("4 seats") and any("6 seats left out" in a for a in found["top/sag"].assumed)
    job, g = opened((0, 0, 60, 32, 0.5, 'face = "under"\nfilled = "nothing"'))
    assert [c.verdict for c in top_checks(job, g, load_cases())] == ["ask an engineer"]
