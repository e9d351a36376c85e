"""One guide for stress in wood: the plate of the top, the cup that is pulled flat, and the page of flattening compare with it."""

import pytest
from table.bases_for_tests import JOBS
from table.test_top import checks_of

from shopcalc.stock.woods import wood
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.wood_checks import flat_checks

# White oak: mean 800 psi across and 15,200 psi along; scatter 25 and 16 %, less 1.645 of it, over 2.3.
ACROSS, ALONG = 800 * (1 - 1.645 * 0.25) / 2.3, 15200 * (1 - 1.645 * 0.16) / 2.3


def cup_of(inches: str):
    job = read_job(JOBS["trestles"] + f'\n[top.measured]\ncup = "{inches} in"\n')
    return next(iter(flat_checks(job, build(job))))


def test_the_guide_by_hand():
    oak = wood("white oak")
    assert float(oak.guide("across").to("psi").magnitude) == pytest.approx(ACROSS)
    assert float(oak.guide("along").to("psi").magnitude) == pytest.approx(ALONG)
    assert f"{ACROSS:.1f}" in checks_of("trestles")["top/stress across"].detail


def test_a_cup_pulled_flat_is_compared_with_it():
    """1-1/2 in white oak 36 in wide, E_T = 0.072 x 1.78e6 psi: the stress of a cup c is 4 E t c/w^2, 295 psi for 1/2 in."""
    stress = 4 * 0.072 * 1.78e6 * 1.5 * 0.5 / 36**2
    assert ACROSS < stress < 800
    deep, slight = cup_of("1/2"), cup_of("1/16")
    assert "over the guide" in deep.detail and any("may split" in c for c in deep.cautions)
    assert "under the guide" in slight.detail and not any("may split" in c for c in slight.cautions)


def test_a_held_top_is_compared_with_it_too():
    """White oak held from 8 to 6 %: 0.072 x 1.78e6 psi x 2 x 0.00365 = 936 psi."""
    from shopcalc.table.wood_checks import hold_checks, moves_of

    job = read_job(JOBS["trestles"] + 'top_to_base = { fixing = "lag 1/4", count = 10, length = "1-1/2 in" }\n')
    g = build(job)
    found = next(c for c in hold_checks(job, g, moves_of(job, g)) if c.id == "top/restraint")
    assert found.verdict == "refused" and found.ratio == pytest.approx(0.072 * 1.78e6 * 2 * 0.00365 / ACROSS, rel=1e-6)
    assert float(found.limit.to("psi").magnitude) == pytest.approx(ACROSS)
