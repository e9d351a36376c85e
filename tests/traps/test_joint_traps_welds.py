"""Traps of joints that lie in the weld: each fires a check, a refusal or a caution."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from shopcalc.check import envelope
from shopcalc.codes.en1993_1_8 import welds as euro
from shopcalc.errors import InputError, OutsideRange
from shopcalc.joints import instantaneous_centre as ic
from shopcalc.joints import weld_groups as wg
from shopcalc.joints import weld_sheet, welds, welds_shapes, welds_sheet_steel
from shopcalc.table import weld_checks as wc
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import landings
from shopcalc.table.loads import load_cases
from shopcalc.table.weld_laid import Laid
from shopcalc.units import Q, magnitude

IN, KSI, LBF = 0.0254, 6894757.293168361, 4.4482216152605
TEXT = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(
    encoding="utf-8"
)
HEAD = 'post_to_head      = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }'


@cache
def table():
    job = read_job(TEXT)
    g = build(job)
    every = [c for c in frame_cases(g, load_cases(job.overrides, public_use=False)) if c.case.kind == "use"]
    return g, list(solve_strength(job, g, every[:2]))


@cache
def in_job(head=HEAD, post="square tube 2 in x 11 ga, A513"):
    text = TEXT.replace(HEAD, head)
    job = read_job(text.replace('post      = "square tube 2 in x 11 ga, A513"', f'post      = "{post}"'))
    g, solved = table()
    g = g if post.endswith("11 ga, A513") else build(job)
    return {c.id: c for c in envelope(weld_checks(job, g, solved)) if c.about == "joint.post to head"}


def wall(t, F_y=50, F_u=62):
    return welds.Wall("tube wall", t * IN, F_y * KSI, F_u * KSI)


def test_trap_one_the_wall_governs_not_the_throat():
    """1/8 in E70 wants a wall of 0.100 in (F_u 62): 14 and 16 ga govern it, 11 ga does not."""
    for t, state in ((0.065, "wall"), (0.083, "wall"), (0.120, "weld metal")):
        throat = welds.fillet(0.125 * IN, 0.25 * IN).throat
        found = welds.weakest(welds.strengths(70 * KSI, throat, (wall(t),)), "use")
        assert state in found.state()


def test_trap_two_least_and_greatest_leg_collide_on_thin_tube():
    check = in_job()["joint.post to head/weld"]  # design wall 0.108 in
    assert welds.CLASH in check.cautions and "AWS D1.3" in welds.CLASH
    assert "by the rules of sheet steel" in check.detail
    assert np.isnan(
        welds_sheet_steel.least(60 * KSI, 0.2 * IN, IN)[0][0]
    )  # over 3/16 in they have nothing to say


def test_trap_three_an_oversize_fillet_is_credited_to_the_wall():
    big = in_job(HEAD.replace("1/8 in", "5/16 in"))
    assert big["joint.post to head/weld"].limit == in_job()["joint.post to head/weld"].limit
    assert wc.BURNS in big["joint.post to head/least leg"].cautions
    assert magnitude(
        welds.credited_leg(Q(0.375, "in"), Q(0.25, "in"), along_edge=True), "in"
    ) == pytest.approx(3 / 16)


def test_trap_four_a_short_run_counts_a_quarter_of_its_length():
    assert magnitude(
        welds.credited_leg(Q(0.25, "in"), Q(0.25, "in"), length=Q(0.6, "in")), "in"
    ) == pytest.approx(0.15)


def test_trap_five_a_long_run_loaded_from_its_end_counts_less():
    assert welds.effective_share(Q(25, "in"), Q(0.125, "in")) == pytest.approx(0.8)
    assert magnitude(welds.effective_length(Q(60, "in"), Q(0.125, "in")), "in") == pytest.approx(180 / 8)


def test_trap_six_no_increase_at_the_end_of_a_tube():
    check = in_job()["joint.post to head/weld"]
    assert any("k_ds = 1.0" in r and "no instantaneous centre" in r for r in check.range)
    with pytest.raises(InputError, match="end of a tube"):
        wg.mixed_runs(Q(10, "kip"), Q(5, "kip"), legs=(Q(0.25, "in"),), tube_end=True)


def test_trap_seven_runs_at_different_angles_are_not_just_added():
    one = (Q(0.25, "in"), Q(0.25, "in"))
    assert magnitude(wg.mixed_runs(Q(10, "kip"), Q(5, "kip"), legs=one), "kip") == pytest.approx(
        16
    )  # 8.5 + 7.5
    assert magnitude(wg.mixed_runs(Q(10, "kip"), Q(1, "kip"), legs=one), "kip") == pytest.approx(
        11
    )  # plain sum
    for wrong in ({"eccentric": True}, {"legs": (Q(0.25, "in"), Q(0.1875, "in"))}):
        with pytest.raises(InputError, match="one leg size"):
            wg.mixed_runs(Q(10, "kip"), Q(5, "kip"), **{"legs": one, **wrong})


def test_trap_eight_a_flare_weld_on_furniture_tube_counts_only_with_its_fillet():
    R = 2 * 0.12 * IN
    assert welds_shapes.flare_throat(R, "GMAW")[0] == 0
    assert welds_shapes.flare_throat(R, "GMAW", reinforcing=0.125 * IN)[0] == pytest.approx(
        0.125 * IN / np.sqrt(2)
    )
    job = read_job(TEXT)
    g, _ = table()
    j = next(j for j in g.joints if j.kind == "rail to post")
    made = Laid.of(job, g, job.joint(j.kind), landings(g, j)[0])
    assert made.flare and made.throat[0] == pytest.approx(made.fillet.throat[0])


def test_trap_sixteen_ground_welds_have_the_throat_that_is_left():
    ground = in_job(HEAD.replace(" }", ', ground = true, throat_left = "0.04 in" }'))[
        "joint.post to head/weld"
    ]
    assert ground.limit < in_job()["joint.post to head/weld"].limit and wc.GROUND in ground.cautions
    with pytest.raises(InputError, match="throat_left"):
        read_job(TEXT.replace(HEAD, HEAD.replace(" }", ", ground = true }")))
    with pytest.raises(InputError, match="sectioned"):  # a butt ground flush: no proof, no throat
        welds_shapes.butt_throat(np.nan, 0.1 * IN)


def test_trap_seventeen_sharp_angles_lose_their_root_and_legs_have_two_readings():
    assert welds_shapes.skewed(0.25 * IN, 85, "SMAW").throat[0] == pytest.approx(0.25 * IN / np.sqrt(2))
    assert welds_shapes.skewed(0.25 * IN, 45, "SMAW").throat[0] < 0.12 * IN
    assert welds_shapes.skewed(0.125 * IN, 35, "SMAW").throat[0] == 0
    b, w = (
        welds.throat_skewed(Q(1, "in"), Q(120, "deg")),
        welds.throat_skewed_perpendicular(Q(1, "in"), Q(120, "deg")),
    )
    assert b < w  # read as contact length a leg gives the smaller throat: that is what the kit counts
    with pytest.raises(OutsideRange):
        welds.throat_skewed(Q(1, "in"), Q(45, "deg"))


def test_trap_eighteen_a_three_sided_group_is_turned_about_its_own_centroid():
    """Load 6 in from the upright line of a 4 x 8 in C: about the centroid 7 in, a fifth more twist than from
    the line."""
    found = wg.plane_force("C", b=Q(4, "in"), d=Q(8, "in"), V=Q(1000, "lbf"), from_line=Q(6, "in"))
    assert magnitude(found.twist, "lbf*in") == pytest.approx(1000 * (6 + 16 / 16))
    assert "open ends" in wg.start_and_stop(wg.c_shape(0.1, 0.2))


def test_trap_nineteen_the_rule_of_combination_is_named():
    assert any("elastic sum on lines" in r for r in in_job()["joint.post to head/weld"].range)


def test_trap_twenty_one_throat_and_leg_are_not_mixed():
    """EN's a of a 6 mm leg is 4.2 mm."""
    assert magnitude(welds.throat_equal_legs(Q(6, "mm")), "mm") == pytest.approx(4.24, abs=0.01)
    a = welds.throat_equal_legs(Q(6, "mm"))
    by_euro = euro.longitudinal_resistance(a, Q(360, "MPa"), 0.8)  # by hand 4.243 x 360/(sqrt 3 x 0.8 x 1.25)
    assert magnitude(by_euro, "N/mm") == pytest.approx(4.2426 * 207.85, rel=1e-3)
    assert "EN 1993-1-8" in in_job()["joint.post to head/weld"].detail


def test_trap_twenty_two_stainless_wants_its_own_filler():
    for name, products in (("E70", ("A554",)), ("E308L", ("A554", "A500"))):
        with pytest.raises(InputError) as caught:
            welds.filler(name, *products)
        assert caught.value.example in ("E308L", "E309L")
    found = welds.filler("E309L", "A500", "A554")
    assert found.provenance == "memory" and "bare wire" in found.note


def test_trap_twenty_three_a_weld_is_not_stronger_than_its_wall():
    assert welds.overmatched(Q(90, "ksi"), Q(58, "ksi"))
    strong, plain = (
        welds.weakest(welds.strengths(f * KSI, 0.2 * IN, (wall(0.1, 36, 58),)), "use").allowable[0]
        for f in (110, 70)
    )
    assert strong == plain


def test_trap_twenty_four_heavy_walls_near_tight_corners():
    assert euro.weldable_wall_si(1.0)[0] == 0.004
    heavy = in_job(post="square tube 2 in x 1/4 in, A500 C")
    told = [c for c in heavy["joint.post to head/weld"].cautions if "table 4.2" in c]
    assert len(told) == 1 and told[0].startswith("post: ") and "killed" in told[0]
    assert not any("table 4.2" in c for c in in_job()["joint.post to head/weld"].cautions)  # 11 ga on 11 ga


def test_trap_twenty_five_aluminium_softens_beside_the_weld():
    with pytest.raises(InputError, match="42 to 24 ksi"):
        welds.filler("E70", "B221")


def test_trap_twenty_six_starts_and_stops_of_short_runs():
    """Two throats off a 25 mm run of 4 mm throat leave 17 mm; EN does not count it at all."""
    assert magnitude(welds_shapes.length_less_ends(l=Q(25, "mm"), n=2, a=Q(4, "mm")), "mm") == pytest.approx(
        17
    )
    assert welds_shapes.too_short(0.025, 0.004) and "30 mm" in welds_shapes.SHORT_RUN


def test_trap_thirty_four_heat_input_says_whose_words_it_uses():
    assert weld_sheet.arc_efficiency("GTAW") == 0.6 and weld_sheet.arc_efficiency("SAW") == 1.0
    energy = weld_sheet.arc_energy(Q(18 * 120, "W"), Q(8, "mm/s"))  # 2160 J/s over 8 mm/s
    assert magnitude(energy, "J/mm") == pytest.approx(270)
    assert magnitude(weld_sheet.heat_input(0.6, energy), "J/mm") == pytest.approx(162)


def test_trap_thirty_five_shrinkage_is_an_allowance():
    assert magnitude(weld_sheet.shrinkage_allowance("transverse fillet"), "mm") == 0.8
    assert weld_sheet.SHRINKS.startswith("an allowance, not a result")


def test_trap_thirty_six_closed_tube_is_vented_before_its_last_weld():
    assert magnitude(weld_sheet.vent_hole(Q(20, "mm"), Q(20, "mm"), "galvanizing"), "mm") == 10
    assert magnitude(weld_sheet.vent_hole(Q(80, "mm"), Q(60, "mm"), "galvanizing"), "mm") == pytest.approx(25)
    assert magnitude(weld_sheet.vent_hole(Q(80, "mm"), Q(60, "mm"), "powder"), "mm") == pytest.approx(6.35)


def test_the_centre_method_is_refused_out_of_its_plane():
    with pytest.raises(InputError, match="elastic method"):
        ic.in_plane(wg.box(0.05, 0.05), (0, 0, 100.0), (0, 0, 0), per_length=1e5)
