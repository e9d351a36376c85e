"""Many tubes over many spans, and which tube: the lightest that meets named criteria, and why each other one does not."""

import math
from dataclasses import replace

import numpy as np
import pytest

from shopcalc.check import OUTSIDE, OVER, WITHIN
from shopcalc.codes.aisc360_22 import combined
from shopcalc.errors import InputError
from shopcalc.mechanics.beams import Beam, Even, Point
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.stock.sections import round_tubes
from shopcalc.stock.tubes import read_tube, stock_tubes, tube_sections
from shopcalc.sweep import (
    COMPRESSION,
    CRITERIA,
    ENDS,
    STATES,
    TOGETHER,
    Question,
    demands,
    ratios,
    tubes_over_spans,
    which_tube,
)
from shopcalc.table.jobfile.fields import Price
from shopcalc.units import Q, Quantity, magnitude

BAR = Question("simple", Q(300, "lbf"), sag_part=1 / 360)
LEG = Question("cantilever", Q(25, "lbf"), criteria=(COMPRESSION, TOGETHER), push=Q(250, "lbf"), K=2.0)


# --- demands -------------------------------------------------------------------------------------


@pytest.mark.parametrize("ends", ENDS)
def test_demands_are_those_of_the_beam_with_shear(ends):
    """Moment, shear and sag of one tube against the beam engine with GA, its loads laid one by one."""
    tube = read_tube("rectangular tube 3 in x 2 in x 11 ga, A513")
    s, L, P, w = tube_sections([tube], "design"), 1.3, 900.0, 250.0
    E, G = (float(magnitude(v, "Pa")) for v in (tube.steel.E, tube.steel.G))
    moment, shear, sag, part = demands(ends, s, E, L, P, w, G)
    length = Quantity(L, "m")
    at = length if ends == "cantilever" else length / 2
    loads = [Even(Q(w + float(s.mass_per_length[0]) * GRAVITY, "N/m")), Point(Q(P, "N"), at)]
    beam, plain = (Beam(ends=ends, L=length, E=tube.steel.E, I=Quantity(float(s.Ix[0]), "m**4"), loads=loads, GA=GA)
                   for GA in (Quantity(G * float(s.Av_x[0]), "N"), None))
    assert moment[0] == pytest.approx(abs(magnitude(beam.largest("moment")[0], "N*m")), rel=1e-9)
    assert sag[0] == pytest.approx(magnitude(beam.largest("sag")[0], "m"), rel=1e-9)
    assert part[0] == pytest.approx(magnitude(beam.sag(at) / plain.sag(at), "") - 1, rel=1e-9)
    # a load that may stand anywhere comes up to a support: all of it is shear there
    own = abs(magnitude(Beam(ends=ends, L=length, E=tube.steel.E, I=Quantity(float(s.Ix[0]), "m**4"),
                             loads=loads[:1]).largest("shear")[0], "N"))
    assert shear[0] == pytest.approx(own + P, rel=1e-9)


def test_a_bar_by_hand():
    """2 x 2 x 1/8 in A500 C over 60 in, 300 lbf in the middle: published A 0.840, I 0.486, Z 0.584, 3.05 lb/ft."""
    grid = tubes_over_spans(BAR, [read_tube("square tube 2 in x 1/8 in, A500 C")], Q(60, "in"))
    w, L, P = 3.05 / 12, 60.0, 300.0
    moment, shear = w * L**2 / 8 + P * L / 4, w * L / 2 + P
    flat, t = 2 - 3 * 0.116, 0.116
    sag = 5 * w * L**4 / (384 * 29e6 * 0.486) + P * L**3 / (48 * 29e6 * 0.486)
    assert grid.ratios["bending"][0, 0] == pytest.approx(moment / (50000 * 0.584 / 1.67), rel=0.005)
    assert grid.ratios["shear"][0, 0] == pytest.approx(shear / (0.6 * 50000 * 2 * flat * t / 1.67), rel=0.005)
    assert grid.ratios["sag"][0, 0] == pytest.approx(sag * (1 + grid.shear_part[0, 0]) / (L / 360), rel=0.005)
    assert 0.001 < grid.shear_part[0, 0] < 0.02


def test_a_leg_by_hand():
    """The same tube, 29 in, standing free with 25 lbf across its top and 250 lbf down: E3, and H1-1 with the moment grown
    by A-8-3 on K = 2."""
    grid = tubes_over_spans(LEG, [read_tube("square tube 2 in x 1/8 in, A500 C")], Q(29, "in"))
    r = math.sqrt(0.486 / 0.840)
    F_e = math.pi**2 * 29000 / (2 * 29 / r)**2
    P_c = 0.658**(50 / F_e) * 50 * 0.840 / 1.67 * 1000
    P_e = math.pi**2 * 29e6 * 0.486 / 58**2
    moment = (25 * 29 + 3.05 / 12 * 29**2 / 2) / (1 - 1.6 * 250 / P_e)
    assert grid.ratios[COMPRESSION][0, 0] == pytest.approx(250 / P_c, rel=0.005)
    assert grid.ratios[TOGETHER][0, 0] == pytest.approx(250 / P_c / 2 + moment / (50000 * 0.584 / 1.67), rel=0.005)
    assert grid.governing(0, 0) == TOGETHER


def test_a_leg_past_its_critical_load_is_over_without_limit():
    leg = Question("cantilever", Q(1, "lbf"), criteria=(TOGETHER,), push=Q(20000, "lbf"), K=2.0)
    grid = tubes_over_spans(leg, [read_tube("square tube 1 in x 16 ga, A513")], Q(72, "in"))
    assert grid.in_range[0, 0] and np.isinf(grid.worst[0, 0]) and grid.verdict(0, 0) == OVER
    assert "no limit left" in which_tube(leg, Q(72, "in"), stock_tubes("A513")).rows[0].reason


def test_amplifier_is_a_bound_on_the_bent_column():
    """A-8-3 with C_m = 1 beside the exact movement of a bar under an even load and a push: the moment P y + M_0 grows by less
    than 1/(1 - P/P_e) and by more than 0.95 of it."""
    for share in (0.1, 0.4, 0.8):
        u = math.pi / 2 * math.sqrt(share)
        exact = 2 * (1 / math.cos(u) - 1) / u**2  # moment at the middle over w L^2/8
        ours = combined.moment_amplifier(C_m=1.0, alpha=1.0, P_r=Q(share, "N"), P_e1=Q(1, "N"))
        assert exact <= ours * 1.06 and exact > 0.95 * ours


def test_shear_of_a_very_thin_round_tube_counts_half_the_span():
    """G5-2a: 5 in x 0.02 in at 50 ksi over 48 in: F_cr 1.60 E/(sqrt(L_v/D) (D/t)^1.25) with L_v half the span."""
    inch = 0.0254
    s = round_tubes(np.array([5 * inch]), np.array([0.02 * inch]), mass_per_length=0.0, coat_per_length=1.0)
    only = Question("simple", Q(1, "N"), criteria=("shear",))
    ksi = 6894757.293168361
    found = ratios(only, s, 50 * ksi, 29000 * ksi, 48 * inch, 1000.0, 0.0)["shear"][0]
    F_cr = 1.60 * 29000 / (math.sqrt(24 / 5) * 250**1.25)
    assert 0.78 * 29000 / 250**1.5 < F_cr < 30
    assert found == pytest.approx(1000.0 / (F_cr * ksi * math.pi * 0.02 * 4.98 * inch**2 / 2 / 1.67), rel=1e-9)


# --- a grid --------------------------------------------------------------------------------------


def test_a_grid_is_its_tubes_and_spans_one_by_one():
    """Scalar and array calls give the very same numbers."""
    tubes = stock_tubes()[::9]
    spans = Q(np.array([20.0, 48.0, 96.0]), "in")
    leg = Question("simple", Q(200, "lbf"), criteria=CRITERIA, sag_part=1 / 240, push=Q(500, "lbf"), K=1.5)
    grid = tubes_over_spans(leg, tubes, spans)
    assert grid.worst.shape == (len(tubes), 3) and len(grid.tubes) == len(tubes)
    for i, tube in enumerate(tubes):
        for j in range(3):
            one = tubes_over_spans(leg, [tube], spans[j])
            assert one.verdict(0, 0) == grid.verdict(i, j) == grid.verdicts[i, j]
            for name in CRITERIA:
                assert np.array_equal(one.ratios[name][0, 0], grid.ratios[name][i, j], equal_nan=True)
            if grid.in_range[i, j]:
                assert grid.worst[i, j] == max(grid.ratios[name][i, j] for name in CRITERIA)
                assert grid.ratios[grid.governing(i, j)][i, j] == grid.worst[i, j]
                assert grid.governing_names[i, j] == grid.governing(i, j)
            else:
                assert np.isnan(grid.worst[i, j]) and grid.why_outside(i, j)


def test_a_row_is_the_same_alone_and_among_a_hundred_thousand():
    tubes = [t for t in stock_tubes("A500") if t.shape != "round"]
    n = 100_000
    rows = np.arange(n) % len(tubes)
    s = tube_sections(tubes, "design")
    F_y, E = (np.array([float(magnitude(getattr(t.steel, k), "Pa")) for t in tubes]) for k in ("Fy", "E"))
    span, load = np.linspace(0.5, 3.0, n), np.linspace(100.0, 4000.0, n)
    leg = Question("simple", Q(1, "N"), criteria=CRITERIA, sag_part=1 / 360, push=Q(1, "N"), K=2.0)
    many = ratios(leg, s[rows], F_y[rows], E[rows], span, load, 0.0, 2 * load)
    for i in range(0, n, 9973):
        one = ratios(leg, s[rows[i]], F_y[rows[i]], E[rows[i]], span[i], load[i], 0.0, 2 * load[i])
        for name in CRITERIA:
            assert np.array_equal(one[name], many[name][i:i + 1], equal_nan=True)


def test_longer_or_heavier_is_never_better():
    tubes = [t for t in stock_tubes("A513")]
    leg = Question("simple", Q(100, "lbf"), criteria=CRITERIA, sag_part=1 / 360, push=Q(300, "lbf"), K=1.0)
    grid = tubes_over_spans(leg, tubes, Q(np.linspace(24, 96, 13), "in"))
    more = tubes_over_spans(Question("simple", Q(110, "lbf"), criteria=CRITERIA, sag_part=1 / 360, push=Q(330, "lbf"), K=1.0),
                            tubes, grid.spans)
    for name in CRITERIA:
        assert np.all(np.diff(grid.ratios[name], axis=1) >= -1e-12)
        assert np.all(more.ratios[name] >= grid.ratios[name] - 1e-12)


# --- which tube ----------------------------------------------------------------------------------


def test_every_tube_answers_lightest_first_with_its_reason():
    tubes = stock_tubes("A513")
    found = which_tube(BAR, Q(72, "in"), tubes)
    assert {r.tube for r in found.rows} == set(tubes)
    masses = [r.mass.to("kg").magnitude for r in found.rows]
    assert masses == sorted(masses)
    best = found.lightest
    assert best.verdict == WITHIN and best.ratio <= 1 and best.reason.startswith("meets bending, shear, sag")
    before = found.rows[:found.rows.index(best)]
    assert before and all(r.verdict != WITHIN for r in before) and found.below == before[-1]
    for row in found.rows:
        assert row.governs and row.reason
        if row.verdict == OVER:
            assert row.ratio > 1 and f"over in {'bending' if 'bending' in row.reason else 'sag'}" in row.reason
    # the mass is that of the nominal wall: 2 x 2 x 11 ga, 0.120 in, by its sharp-cornered area less the corners
    row = next(r for r in found.rows if r.tube.words == "square tube 2 in x 11 ga, A513")
    area = 4 * 0.12 * (2 - 0.12) - 3 * (4 - math.pi) * 0.12**2
    assert magnitude(row.mass, "lb") == pytest.approx(area * 72 * 7850 / 27679.904710203, rel=1e-3)


def test_the_reason_names_each_limit_that_fails_by_how_much():
    (row,) = which_tube(BAR, Q(72, "in"), [read_tube("square tube 1 in x 16 ga, A513")]).rows
    assert row.verdict == OVER and row.governs == "sag"
    grid = tubes_over_spans(BAR, [row.tube], Q(72, "in"))
    assert f"bending ({math.ceil(grid.ratios['bending'][0, 0] * 100 - 1e-9) / 100:.2f})" in row.reason
    assert "shear (" not in row.reason


def test_fewer_criteria_are_a_choice_and_stand_in_the_answer():
    strength = Question("simple", Q(300, "lbf"), criteria=("bending", "shear"))
    lighter, stiffer = (which_tube(q, Q(120, "in"), stock_tubes("A513")) for q in (strength, BAR))
    assert lighter.lightest.mass < stiffer.lightest.mass
    assert lighter.criteria_words == "bending, shear" and lighter.lightest.reason == "meets bending, shear"


def test_a_leg_is_chosen_by_its_push_and_effective_length():
    braced = Question("cantilever", Q(25, "lbf"), criteria=(COMPRESSION,), push=Q(2500, "lbf"), K=1.0)
    sways = Question("cantilever", Q(25, "lbf"), criteria=(COMPRESSION,), push=Q(2500, "lbf"), K=2.5)
    tubes = stock_tubes("A513")
    light, heavy = (which_tube(q, Q(40, "in"), tubes).lightest for q in (braced, sways))
    assert light.mass < heavy.mass and light.governs == COMPRESSION
    both = which_tube(LEG, Q(29, "in"), tubes)
    assert both.lightest.governs == TOGETHER and both.lightest.reason == f"meets {COMPRESSION}, {TOGETHER}"


def test_a_least_wall_is_a_choice_of_its_own():
    thick = Question("simple", Q(300, "lbf"), sag_part=1 / 360, least_wall=Q(0.12, "in"))
    found = which_tube(thick, Q(72, "in"), stock_tubes("A513"))
    assert magnitude(found.lightest.tube.wall("nominal"), "in") >= 0.12
    free = which_tube(BAR, Q(72, "in"), stock_tubes("A513"))
    assert found.lightest.mass > free.lightest.mass
    same = next(r for r in found.rows if r.tube == free.lightest.tube)
    assert same.verdict == OVER and same.governs == "wall" and "wall under the 0.12" in same.reason


def test_metals_that_the_code_does_not_cover_are_outside_and_say_which_code_does():
    found = which_tube(BAR, Q(72, "in"), stock_tubes())
    for product, code in (("A554", "AISC 370"), ("B221", "Aluminum Design Manual")):
        rows = [r for r in found.rows if r.tube.product == product]
        assert rows and all(r.verdict == OUTSIDE and r.ratio is None and code in r.reason for r in rows)
    assert found.lightest.tube.product not in ("A554", "B221")


def test_a_wall_too_thin_for_the_clause_is_outside_with_the_clause_and_a_way_forward():
    # (D/t) F_y/E up to 0.45: no tube of the list is so thin; one drawn out to a foil is
    foil = replace(read_tube("round tube 2 in x 1/8 in, A500 C"), nominal_wall=Q(0.004, "in"), wall_word="0.004 in", listed=False)
    (row,) = which_tube(BAR, Q(30, "in"), [foil]).rows
    assert row.verdict == OUTSIDE and "F8" in row.reason and "thicker wall" in row.reason


def test_a_price_of_the_job_stands_beside_each_tube():
    found = which_tube(BAR, Q(72, "in"), stock_tubes("A513"), Price(1.25, "USD", "lb"))
    best = found.lightest
    assert best.price == f"{1.25 * magnitude(best.mass, 'lb'):,.2f} USD"
    by_length = which_tube(BAR, Q(72, "in"), stock_tubes("A513"), Price(4.0, "USD", "ft"))
    assert {r.price for r in by_length.rows} == {"24.00 USD"}
    assert which_tube(BAR, Q(72, "in"), stock_tubes("A513")).lightest.price == ""


def test_a_bar_short_for_its_depth_says_what_shear_adds():
    deep = read_tube("rectangular tube 4 in x 2 in x 11 ga, A513")
    short, long = (which_tube(BAR, L, [deep]).rows[0] for L in (Q(20, "in"), Q(96, "in")))
    assert "shear adds" in short.reason and "shear adds" not in long.reason


def test_nothing_says_pass_while_sway_is_unasked():
    """Trade rule: a tube that meets named criteria says nothing about wobble."""
    for question, span in ((BAR, Q(72, "in")), (LEG, Q(29, "in"))):
        found = which_tube(question, span, stock_tubes("A513"))
        words = " ".join(r.reason + r.verdict for r in found.rows).lower()
        assert "pass" not in words and "meets" in words
    with pytest.raises(InputError, match="whole base"):
        Question("simple", Q(300, "lbf"), criteria=("bending", "sway"))


# --- bad questions -------------------------------------------------------------------------------

GOOD = {"ends": "simple", "P": Q(300, "lbf"), "sag_part": 1 / 360}
AS_LEG = {"criteria": (COMPRESSION,), "push": Q(200, "lbf"), "K": 2.0}


@pytest.mark.parametrize(("change", "field"), [
    ({"ends": "glued"}, "ends"), ({"criteria": ()}, "criteria"), ({"criteria": ("bending", "colour")}, "criteria"),
    ({"sag_part": None}, "sag_part"), ({"P": 300}, "P"), ({"P": Q(300, "lb")}, "P"), ({"P": Q(-1, "lbf")}, "P"),
    ({"P": Q(float("nan"), "lbf")}, "P"), ({"w": Q(3, "lbf")}, "w"), ({**AS_LEG, "push": Q(0, "lbf")}, "push"),
    ({**AS_LEG, "push": Q(200, "lb")}, "push"), ({**AS_LEG, "K": None}, "K"), ({**AS_LEG, "K": 0.7}, "K"),
    ({**AS_LEG, "K": float("inf")}, "K")])
def test_a_bad_question_is_refused_with_the_field_named(change, field):
    Question(**GOOD)
    Question(**{**GOOD, **AS_LEG})
    with pytest.raises(InputError) as caught:
        Question(**{**GOOD, **change})
    assert caught.value.field == field and caught.value.need and caught.value.example


@pytest.mark.parametrize(("tubes", "spans"), [([], Q(60, "in")), (stock_tubes("A513")[:1], Q(0, "in")),
                                              (stock_tubes("A513")[:1], Q(float("nan"), "in"))])
def test_no_tubes_or_no_span_is_refused(tubes, spans):
    with pytest.raises(InputError, match="tubes_over_spans"):
        tubes_over_spans(BAR, tubes, spans)


def test_default_criteria_are_strength_and_sag_of_a_bar():
    assert Question("simple", Q(1, "N"), sag_part=0.01).criteria == STATES == CRITERIA[:3]
