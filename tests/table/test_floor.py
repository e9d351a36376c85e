"""On an uneven floor: what the real frame follows, what stays open, who carries it; two routes beside each other."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame_checks import floor_checks
from shopcalc.table.frame_floor import on_hollows
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases

IN = 0.0254
HOLLOW = load_cases()["foot-in-the-air"]


def standing(text: str):
    job = read_job(text)
    return job, build(job)


@pytest.mark.parametrize("name", ["four legs", "trestles", "pedestal", "points of open shapes"])
@pytest.mark.parametrize("state", ["soft", "stiff"])
def test_what_is_not_followed_stays_open(name, state):
    """By scaling a shallow hollow, and by contact over the real one: depth = followed + open, and the feet that press carry
    the whole table."""
    job, g = standing(JOBS[name])
    found = on_hollows(job, g, HOLLOW, state)
    depth = 0.125 * IN
    assert found.hangs.max(axis=1) == pytest.approx(np.maximum(depth - found.follows, 0.0), rel=1e-6, abs=1e-9)
    steel = sum(m.mass for m in g.members.values())
    assert found.forces.sum(axis=1) == pytest.approx((g.top.mass + steel) * GRAVITY, rel=1e-6)
    assert (found.forces >= 0).all() and (found.hangs >= 0).all()
    assert (found.forces * found.hangs == 0).all()
    # Over a hollow that it does not follow a table of four alike feet stands on two of them.
    assert (np.sort(found.forces, axis=1)[0, -2:].sum() > 0.99 * found.forces[0].sum()) == bool(found.hangs.any())


def test_a_stiffer_table_follows_less():
    job, g = standing(JOBS["four legs"])
    soft, stiff = (on_hollows(job, g, HOLLOW, s).follows.min() for s in ("soft", "stiff"))
    assert 0 < stiff <= soft
    thick = standing(JOBS["four legs"].replace("2 in x 3/16 in", "2 in x 1/4 in"))
    assert on_hollows(*thick, HOLLOW, "stiff").follows.min() < stiff


def test_travel_takes_up_what_stays_open_or_says_that_it_does_not():
    text = JOBS["four legs"]
    said = {}
    for travel in (None, "1/2 in", "1/16 in"):
        job, g = standing(text.replace('height = "1 in"\n[joints]', f'height = "1 in"\ntravel = "{travel}"\n[joints]') if travel else text)
        follows, gap = floor_checks(job, g, load_cases())
        assert gap.demand.to("inch").magnitude > 1 / 16 and follows.verdict == gap.verdict == "reported"
        said[travel] = gap.detail
    assert "does not say" in said[None]
    assert "takes it up" in said["1/2 in"] and "does not take it up" in said["1/16 in"]
