"""Grain that slants or runs across the table: the same top turned, and the statics of a slant."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS
from table.test_top import opened

from shopcalc.show.wood_pages import WoodPages
from shopcalc.table.fixing_checks import fixing_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.top import Top
from shopcalc.table.top_checks import top_checks
from shopcalc.table.wood_checks import furthest, hold_checks, moves_of, wood_checks

PUT = 'thickness = "1-1/2 in"'
INCH = 0.0254


def job_with(grain, name="trestles", more="", rest=""):
    job = read_job(JOBS[name].replace(PUT, f'{PUT}\n{"" if grain is None else f"grain = {chr(34)}{grain} deg{chr(34)}"}\n{rest}') + more)
    return job, build(job)


@pytest.mark.parametrize("shape", ["", 'shape = "round"'])
def test_crosswise_grain_on_a_square_base_is_the_same_top_turned(shape):
    """A pedestal of four alike arms under a square or round top: what it does along and across its grain does not change when
    the grain is turned by a quarter."""
    found = []
    for grain in (None, 90):
        job, g = job_with(grain, "pedestal", rest=shape)
        found.append({c.id: c for c in top_checks(job, g, load_cases())})
    for id in ("top/sag", "top/own weight sag", "top/long-term sag", *(("top/overhang",) if shape else ())):
        one, turned = (float(f[id].demand.magnitude) for f in found)
        assert one == pytest.approx(turned, rel=0.08), id  # the grid is finer along than across
    sag = [Top.of(*job_with(v, "pedestal", rest=shape), load_cases()["person-sag"], None) for v in (None, 90)]
    states = [t.answer("sliding", t.mix({"own": t.own})) for t in sag]
    # the mean: the peaks over the seats are as sharp as the cells are small, and those are not the same both ways
    stress = [np.abs(t.stresses(s)).mean(axis=(0, 1)) for t, s in zip(sag, states, strict=True)]
    assert stress[0] == pytest.approx(stress[1], rel=0.1)
    assert stress[0][0] > 1.5 * stress[0][1]


def test_crosswise_grain_sags_far_more_between_trestles():
    """Across white oak is 0.072 as stiff as along it: between two lines it sags more than five times as far."""
    sags = []
    for grain in (0, 45, 90):
        job, g = job_with(grain)
        t = Top.of(job, g, load_cases()["person-sag"], None)
        sags.append(float(t.answer("sliding", t.mix({"own": t.own})).sag[0, t.spanning].max()))
    assert sags[0] < sags[1] < sags[2] and 8 < sags[2] / sags[0] < 1 / 0.072 * 1.1


def test_stress_is_turned_into_the_grain():
    """The sum of the two stresses does not depend on the axes; at 90 degrees along and across change places with x and y."""
    job, g, cases = opened("trestles")
    t = Top.of(job, g, cases["person-sag"], None)
    found = t.answer("sliding", t.mix({"own": t.own}))
    plain = t.stresses(found)
    for degrees in (30, 90):
        object.__setattr__(g.top, "grain", np.radians(degrees))
        turned = t.stresses(found)
        assert turned.sum(axis=-1) == pytest.approx(plain.sum(axis=-1))
        if degrees == 90:
            assert turned[..., ::-1] == pytest.approx(plain)


def test_it_moves_square_to_its_grain():
    """84 x 36 in with grain at 30 degrees: 84 sin 30 + 36 cos 30 in across it. A head at 28 in with its end at 15 in lies
    28 sin 30 + 15 cos 30 in from the line of the grain through the middle."""
    job, g = job_with(30)
    moves = moves_of(job, g)
    assert float(moves.size.to("inch").magnitude) == pytest.approx(84 * 0.5 + 36 * np.cos(np.pi / 6))
    assert furthest(g) / INCH == pytest.approx(28 * 0.5 + 15 * np.cos(np.pi / 6))
    found = {c.id: c for c in wood_checks(job, g)}
    assert any("square to its grain" in c for c in found["top/movement"].cautions) and "not planned here" in found["top/glue-up"].detail
    slots = next(c for c in hold_checks(job, g, moves) if c.id == "top/slots")
    straight = next(c for c in hold_checks(*job_with(0), moves_of(*job_with(0))) if c.id == "top/slots")
    assert slots.demand > straight.demand and any("square to the grain" in c for c in slots.cautions)


def test_crosswise_fixings_hold_the_length_by_the_few():
    """A push along the table runs across a crosswise grain: only the fixed ones hold it."""
    top = 'top_to_base = { fixing = "lag 1/4", count = 10, length = "1-1/2 in", tab = "1/8 in", slotted = true, fixed = 2 }\n'
    demand = []
    for grain in (0, 90):
        job, g = job_with(grain, more=top)
        sideways = next(c for c in fixing_checks(job, g, list(frame_cases(g, load_cases()))) if c.id == "top/fixing sideways")
        demand.append(sideways)
        assert sideways.detail.startswith("2 of 10")
    assert demand[1].demand >= demand[0].demand


def test_flat_and_its_page_know_straight_grain_only():
    from shopcalc.errors import InputError

    job, g = job_with(20, more='\n[top.measured]\ncup = "1/4 in"\n')
    assert next(c for c in wood_checks(job, g) if c.id == "top/cup").verdict == "ask an engineer"
    with pytest.raises(InputError, match="grain along the table"):
        WoodPages(job).flattening_answer()
