"""Traps of wood tops as plates: each of them is a check, a refusal or a caution that fires."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.mechanics.plates import Plate, Seated, grid, orthotropic
from shopcalc.stock.woods import NDS_CREEP, density_at_moisture, panels, specific_gravity_at_moisture, wood
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.top_checks import top_checks
from shopcalc.units import Q, magnitude


def checks_of(name="trestles", **put):
    text = JOBS[name]
    for old, new in put.get("put", ()):
        assert old in text
        text = text.replace(old, new, 1)
    job = read_job(text + put.get("more", ""))
    return {c.id: c for c in top_checks(job, build(job), load_cases())}


def said(check) -> str:
    return " ".join((check.detail, check.clause, *check.assumed, *check.cautions, *check.range))


WOOD = 'wood = "white oak"'


def test_8_across_the_grain_it_is_soft_so_the_overhang_across_sags_first():
    oak, R = wood("sugar maple").elastic(), 15.4
    r = [float(magnitude(v, "Pa")) for v in (oak.E_L, oak.E_T, oak.G)]
    sags = []
    for grain in (0.0, np.pi / 2):
        plate = Plate(grid(0.5, 0.2), orthotropic(E_L=r[0], E_T=r[1], G=r[2], mu_LT=1e-9, grain=grain), 0.03,
                      edges=("clamped", "free", "free", "free"))
        sags.append(float((plate.solve(plate.spread(100.0)) @ plate.rows(0.25, 0).T)[0, 0]))
    assert sags[1] / sags[0] == pytest.approx(R, rel=0.05)


def test_9_white_oak_has_no_shear_stiffness_across_and_the_check_says_what_was_taken():
    assert "no shear stiffness of white oak" in said(checks_of()["top/sag"])
    assert "no shear stiffness" not in said(checks_of(put=[(WOOD, 'wood = "hard maple"')])["top/sag"])
    assert "no stiffness across the grain of american beech" in said(checks_of(put=[(WOOD, 'wood = "beech"')])["top/sag"])


def test_10_shear_is_not_added_a_second_time():
    assert "shear of the bending test is counted already" in said(checks_of()["top/sag"])


def test_11_scatter_as_a_band_and_no_allowable_from_mean_strength():
    found = checks_of()
    assert "within one standard deviation" in found["top/sag"].detail and "22% scatter" in found["top/sag"].detail
    for id in ("top/stress along", "top/stress across"):
        assert found[id].limit is None and found[id].ratio is None and "no allowable" in said(found[id])
    # over the guide it is not passed in silence
    thin = checks_of(put=[('thickness = "1-1/2 in"', 'thickness = "1/2 in"')])
    assert thin["top/stress along"].verdict == "ask an engineer"
    # where no table has a strength there is nothing to compare with
    maple = checks_of(put=[(WOOD, 'wood = "hard maple"')])
    assert "no table gives hard maple" in maple["top/stress across"].detail


def test_12_creep_doubles_what_stays_and_nothing_else():
    found = checks_of()
    for id in ("top/own weight sag", "top/long-term sag", "top/overhang in years"):
        if id in found:
            assert "creep by the Wood Handbook" in said(found[id])
    assert "creep" not in found["top/sag"].clause and "creep by" not in said(found["top/sag"])
    assert wood("white oak").creep() == 1.0 > NDS_CREEP
    wet = checks_of(put=[(WOOD, WOOD + '\nmoisture = "24 %"')])
    assert wet["top/own weight sag"].verdict == "outside range" and "4 to 6 times" in wet["top/own weight sag"].detail
    assert wet["top/own weight sag"].demand is None


def test_17_edge_and_corner_are_printed_beside_the_middle():
    detail = checks_of()["top/sag"].detail
    assert all(word in detail for word in ("middle ", "long edge ", "end ", "corner "))
    # a plate over two edges: its free edge sags 15 % more than its middle (0.01501 against 0.01309)
    plate = Plate(grid(1, 1), orthotropic(E_L=12e9, E_T=12e9, G=12e9 / 2.6, mu_LT=0.3), 0.02, edges=("simple", "simple", "free", "free"))
    w = plate.solve(plate.spread(1.0)) @ plate.rows([0, 0], [0, 0.5]).T
    assert w[0, 1] / w[0, 0] == pytest.approx(0.01501 / 0.01309, rel=1e-3)
    # on four pads the corner beyond them comes up
    oak = Plate(grid(1.8, 0.9), orthotropic(E_L=12.27e9, E_T=0.88e9, G=1.05e9, mu_LT=0.428), 0.038)
    pads = np.array([[-0.8, -0.35], [0.8, -0.35], [0.8, 0.35], [-0.8, 0.35]])
    rest = Seated(oak, oak.rows(*pads.T)).rest(oak.spread(1000.0), one_sided=True)
    assert float((rest.w @ oak.rows(0.9, 0.45).T)[0, 0]) < 0


def test_18_sag_over_half_the_thickness_is_warned_of():
    paper = checks_of(put=[('thickness = "1-1/2 in"', 'thickness = "1/4 in"')])
    assert any("half the thickness" in c for c in paper["top/sag"].cautions)
    assert not any("half the thickness" in c for c in checks_of()["top/sag"].cautions)


def test_19_a_sag_limit_is_a_choice_and_the_eye_sees_less():
    found = checks_of()["top/sag"]
    assert "no code sets one" in found.clause and "named default" in found.clause and any("L/384" in c for c in found.cautions)
    strict = checks_of(more='[limits]\nsag = "L/480"\n')["top/sag"]
    assert "the job's choice" in strict.clause and not any("L/384" in c for c in strict.cautions)
    assert strict.ratio > found.ratio


def test_20_sheet_goods_are_soft_creep_more_and_mean_an_edition():
    oak, mdf = checks_of(), checks_of(put=[(WOOD, 'wood = "MDF 130"')])
    assert float(mdf["top/sag"].demand.magnitude) > 1.5 * float(oak["top/sag"].demand.magnitude)
    assert "ANSI A208.2-2009" in said(mdf["top/sag"]) and "k_def 2.25" in said(mdf["top/long-term sag"])
    assert all(p.creep() >= 0.8 for p in panels())


def test_25_weight_by_the_volume_at_its_own_moisture():
    M = 0.08
    oak = wood("white oak")
    right = float(magnitude(oak.density(M), "kg/m**3"))
    # 1000 G (1 + M) with G on the volume at M; green G by mistake (white oak 0.60)
    green = 1000 * 0.60 * (1 + M)
    G = 0.68 / (1 + 0.265 * (1 - 0.12 / 0.30) * 0.68)
    G_M = specific_gravity_at_moisture(G_b=G, M=M)
    assert right == pytest.approx(float(magnitude(density_at_moisture(Q(1000, "kg/m**3"), G_M=G_M, M=M), "kg/m**3")))
    assert right / green > 1.05 and G_M > 0.68
    assert "weigh it" in said(checks_of()["top/own weight sag"])


def test_1_a_rigid_top_state_is_one_of_three_and_none_is_hidden():
    detail = checks_of()["top/sag"].detail
    assert all(word in detail for word in ("only lying there", "on sliding fixings", "clamped to the base"))
