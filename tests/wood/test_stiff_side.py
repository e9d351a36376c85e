"""What no table gives is soft where a top sags and stiff where a top is pulled flat: both the cautious side."""

import pytest
from table.bases_for_tests import JOBS

from shopcalc.stock.woods import MOST_ACROSS, MOST_SHEAR, wood, woods
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.wood_checks import flat_checks
from shopcalc.wood import flattening


@pytest.mark.parametrize("cut, radial", [("flat", 0), ("quarter", 1)])
def test_missing_ratios_lie_on_either_side_of_every_row(cut, radial):
    beech = wood("beech")
    soft, stiff = beech.elastic(cut), beech.elastic(cut, stiff=True)
    for one in woods():
        across, shear = ((one.ET_EL, one.GLT_EL), (one.ER_EL, one.GLR_EL))[radial]
        if across is not None and one.MOE is not None:
            assert float((soft.E_T / soft.E_L).to("").magnitude) <= across <= float((stiff.E_T / stiff.E_L).to("").magnitude) == MOST_ACROSS[radial]
        if shear is not None:
            assert float((soft.G / soft.E_L).to("").magnitude) <= shear <= float((stiff.G / stiff.E_L).to("").magnitude) == pytest.approx(MOST_SHEAR[radial])
    oak = wood("red oak")
    assert oak.elastic(cut).E_T == oak.elastic(cut, stiff=True).E_T and "high end" in stiff.notes[0] and "low end" in soft.notes[0]


def test_beech_is_pulled_flat_with_the_force_of_the_stiffest_it_may_be():
    """A cup of 1/4 in over 36 in of a top 84 x 1-1/2 in: M = E I/R and F = 6 M/w, E = 0.086 of 1.72e6 psi."""
    job = read_job(JOBS["trestles"].replace('"white oak"', '"beech"') + '\n[top.measured]\ncup = "1/4 in"\n')
    found = next(iter(flat_checks(job, build(job))))
    E = 0.086 * float(wood("beech").MOE.to("psi").magnitude)
    R = 36**2 / (8 * 0.25) + 0.125
    F = 6 * E * 84 * 1.5**3 / 12 / R / 36
    assert f"{F:.3g}" in found.detail.replace(",", "") or f"{round(F, -1):.0f}" in found.detail.replace(",", "")
    assert any("high end" in a for a in found.assumed)
    assert flattening.FLAT_ENOUGH == pytest.approx(1 / 384)


def test_a_thin_top_has_no_room_for_an_inch_of_thread():
    """3/4 in less 1/8 in over the point: 5/8 in of thread, 2850 G^2 D a lbf an inch of it (NDS 12.2-2, wood screws)."""
    from shopcalc.show.wood_pages import flattening_words
    from shopcalc.units import Q

    oak = wood("white oak")
    panel = flattening.Panel(run=Q(36, "inch"), bow=Q(0.25, "inch"), thickness=Q(0.75, "inch"), breadth=Q(72, "inch"), E=oak.elastic().E_T,
                             density=oak.density(0.08), across=True, bars=4, under=True)
    words, _ = flattening_words(panel, oak, system="inch")
    assert "(#14, 5/8 in of thread" in words
    assert f"of {2850 * oak.G_12**2 * 0.242 * 0.625:.3g} lbf" in words


def test_screws_in_sheet_goods_get_no_number_of_the_code():
    from shopcalc.show.wood_pages import flattening_words
    from shopcalc.units import Q

    mdf = wood("MDF 130")
    panel = flattening.Panel(run=Q(36, "inch"), bow=Q(0.25, "inch"), thickness=Q(1, "inch"), breadth=Q(72, "inch"), E=mdf.elastic().E_T,
                             density=mdf.density(0.08), across=True, bars=4, under=True)
    words, _ = flattening_words(panel, mdf, system="inch")
    assert "ask the maker of the panel" in words and "NDS" not in words
