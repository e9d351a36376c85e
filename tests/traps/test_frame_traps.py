"""Traps of steel frames and of standing: each must meet a check, a refusal or a caution."""

from __future__ import annotations

import numpy as np
import pytest
from table.bases_for_tests import JOBS, PORTAL, legs, portal

from shopcalc.assess import assess
from shopcalc.check import REFUSED, REPORTED
from shopcalc.codes.aisc360_22.combined import axial_and_bending_si
from shopcalc.table.frame import table_frame, with_cases
from shopcalc.table.frame_cases import FrameCase, Loader, frame_cases
from shopcalc.table.frame_solve import _with_feet_that_lift, quick_solve, solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases


@pytest.fixture(scope="module")
def box():
    return assess(read_job(JOBS["four legs box"]))


def framed(text, state="dead weight", feet="gripping", joints="rigid"):
    job = read_job(text)
    g = build(job)
    return g, table_frame(job, g, state=state, joints=joints, feet=feet)


def solved(g, t, seats, order="second"):
    case = FrameCase(load_cases()["shove"], "", seats, np.zeros((len(g.feet), 3)), {}, np.zeros(3))
    frame, sizes = with_cases(t, [case], g)
    return quick_solve(frame, sizes, order, 1.0, "value")


def test_sway_frame_and_its_weak_direction(box):
    """Steel 9: an unbraced base sways: second order on the whole frame, K = 1 only with it, both ways looked at."""
    assert "second order" in box.check("leg/strength").range[0]
    assert {"base/sway along", "base/sway across", "base/sway twist"} <= {c.id for c in box.checks}


def test_second_order_is_in_the_sway():
    """Steel 10: load on the top makes a level push move it more, by about 1/(1 - 1/critical)."""
    g, t = framed(portal())
    load = Loader.of(g)
    push = load.push(100.0, np.array([1.0, 0, 0]))
    heavy = load.at(20_000.0, (0.0, 0.0)) + push
    first, second = (solved(g, t, heavy, order) for order in ("first", "second"))
    u1, u2 = (a.displacement(t.seat_nodes[0], "x")[0] for a in (first, second))
    assert u2 / u1 == pytest.approx(1 / (1 - 1 / second.critical[0]), rel=0.05)
    assert u2 > u1


def test_a_load_off_centre_sways_an_unbraced_frame():
    """Steel 11: a load straight down beside the middle moves the top sideways."""
    g, t = framed(portal())
    load = Loader.of(g)
    off, centred = (solved(g, t, load.at(2000.0, (x, 0.0))) for x in (0.35, 0.0))
    moved = [abs(a.displacement(t.seat_nodes[0], "x")[0] + a.displacement(t.seat_nodes[-1], "x")[0]) for a in (off, centred)]
    assert moved[0] > 100 * moved[1] and moved[0] > 1e-7


def test_feet_are_pins_and_glides_release_the_thrust():
    """Steel 12: no foot holds a moment; legs push outward, gliding feet do not and the rail carries more moment."""
    g, t = framed(portal())
    _, loose = framed(portal(), feet="gliding")
    load = Loader.of(g)
    down = load.at(3000.0, (0.0, 0.0))
    grips, glides = solved(g, t, down), solved(g, loose, down)
    feet = [t.frame.node_number[n] for n in t.foot_nodes]
    assert abs(grips.reactions[0, feet, 3:]).max() < 1e-6
    assert abs(grips.reactions[0, feet, 0]).max() > 1.0
    assert abs(glides.reactions[0, feet, 0]).max() < 1e-3 * abs(grips.reactions[0, feet, 0]).max()
    middle = t.frame.member_number[t.runs["front"][2][0]]
    moment = [abs(a.end_forces[0, middle, [4, 5]]).max() for a in (grips, glides)]
    assert moment[1] > moment[0]


def test_ends_of_a_rail_stand_between_pinned_and_fixed(box):
    """Steel 13: the sag of a stretcher lies between its hand bounds, which are printed beside it."""
    from shopcalc.table.loadpath import loaded_stretchers

    bar = next(b for b in loaded_stretchers(box.geometry, box.cases) if b.case.kind == "sag")
    soft, stiff = (float(line.largest("sag", "down")[0].to("m").magnitude) for line in (bar.beam, bar.held))
    check = box.check("stretcher/sag")
    assert "by hand" in check.detail
    # From the line between its ends, whose own fall is out of it.
    assert stiff <= check.demand.to("m").magnitude <= soft


def test_interaction_changes_its_branch_at_a_fifth():
    """Steel 14: H1-1a above Pr/Pc = 0.2, H1-1b below: both give 0.2 + 8/9 M and 0.1 + M, which meet only by 0.1/M."""
    given = {"P_c": np.ones(2), "M_rx": np.full(2, 0.45), "M_cx": np.ones(2), "M_ry": np.zeros(2), "M_cy": np.ones(2)}
    found = axial_and_bending_si(P_r=np.array([0.2, 0.199]), **given).ratio
    assert found == pytest.approx([0.2 + 8 / 9 * 0.45, 0.199 / 2 + 0.45])


def test_a_leg_off_its_load_bends():
    """Steel 15: legs that stand out under the rails get moment from a load straight down, and the check counts it."""
    found = {}
    for name in ("four legs", "splayed legs"):
        job = read_job(JOBS[name])
        g = build(job)
        t = table_frame(job, g, state="dead weight", joints="rigid", feet="gliding")
        a = solved(g, t, Loader.of(g).at(3000.0, (0.0, 0.0)))
        i = t.frame.member_number[t.runs["leg.left.front"][0][0]]
        found[name] = abs(a.end_forces[0, i, [4, 5, 10, 11]]).max()
    assert found["splayed legs"] > found["four legs"]


def test_rails_are_loaded_by_patterns():
    """Steel 23: spread loads lie on parts of the top too."""
    g = build(read_job(JOBS["trestles"]))
    where = {c.where for c in frame_cases(g, load_cases()) if c.case.id == "severe-spread"}
    assert {"on the whole top", "on the left half", "on both overhangs", "on between the trestles"} <= where


def test_top_and_base_do_not_act_as_one_unless_clamped():
    """Steel 25: the top as dead weight, or on sliding fixings, does not stiffen a rail in bending."""
    sags = {}
    for state in ("dead weight", "sliding", "clamped"):
        g, t = framed(JOBS["four legs"], state=state)
        a = solved(g, t, Loader.of(g).at(3000.0, (0.0, -0.3)), "first")
        sags[state] = -a.displacement(t.seat_nodes[2], "z")[0]
    assert sags["sliding"] == pytest.approx(sags["dead weight"], rel=0.05)
    assert sags["clamped"] < sags["sliding"]


def test_four_feet_three_contacts(box):
    """Stability 9: one foot over a hollow: a foot then carries more than its quarter, and that load is reported."""
    check = box.check("feet/most load on an uneven floor")
    assert check.verdict == REPORTED
    steel = sum(m.mass for m in box.geometry.members.values())
    quarter = (steel + box.geometry.top.mass) * 9.80665 / 4
    assert check.demand.to("N").magnitude > 1.5 * quarter


def test_feet_do_not_pull(box):
    """Stability 10: a load far out on a table of three trestles: the far feet would pull, so they lift and hold nothing."""
    job = read_job(JOBS["three trestles"])
    g = build(job)
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    load = Loader.of(g)
    out = load.own() + load.at(2000.0, (g.top.length / 2 - 0.03, 0.0))
    case = FrameCase(load_cases()["shove"], "", out, np.zeros((len(g.feet), 3)), {}, np.array([0.0, 0.0, -9.80665]))
    (found,) = _with_feet_that_lift(t, (case,), g, 1.0, 1.0, 1.0)
    assert found.lifted and {g.foot_contacts[i, 0] < 0.01 for i in found.lifted} == {True}
    for i, n in enumerate(t.foot_nodes):
        R = found.answer.reaction(n, "z")[0]
        assert abs(R) < 1e-6 if i in found.lifted else R >= -1e-6
    assert box.check("feet/least load").demand.magnitude >= 0


def test_wobble_is_reported_without_a_pass(box):
    """Stability 27: no published limit: sway and frequency are reported, never passed."""
    for id in ("base/sway along", "base/sway across", "base/sway twist", "base/frequency"):
        check = box.check(id)
        assert check.verdict == REPORTED and check.limit is None and check.ratio is None
    assert "no published limit" in box.check("base/sway along").clause


def test_past_the_critical_load_there_is_no_number():
    """Very slender legs under a heavy load: refused, exit 1, no ratio for a member or a weld."""
    thin = PORTAL.replace('"post", first = "a"', '"thin", first = "a"').replace('"post", first = "b"', '"thin", first = "b"') \
        .replace('"post", first = "c"', '"thin", first = "c"').replace('"post", first = "d"', '"thin", first = "d"')
    text = portal("Thin legs", thin).replace("\n[top]", '\nthin = "round bar 1/4 in, A36"\n[top]')
    found = assess(read_job(text))
    assert found.exit_code == 1
    check = found.check("leg1/strength")
    assert check.verdict == REFUSED and check.ratio is None and check.demand is None
    assert found.check("base/critical factor").verdict == REFUSED
    assert found.check("joint.bar to bar/weld").ratio is None


@pytest.mark.parametrize("name", list(JOBS))
def test_every_base_style_stands_in_every_state(name):
    job = read_job(JOBS[name])
    g = build(job)
    cases = [c for c in frame_cases(g, load_cases()) if c.case.id == "severe-spread"]
    for state, joints, feet in (("dead weight", "rigid", "gliding"), ("clamped", "soft", "gripping")):
        frame, sizes = with_cases(table_frame(job, g, state=state, joints=joints, feet=feet), cases, g)
        answer = quick_solve(frame, sizes, "second", 1.0)
        assert not answer.refused.any(), answer.reason
        assert np.isfinite(answer.end_forces).all()


def test_casters_roll():
    job = read_job(legs("On casters", feet='kind = "casters"\nheight = "4 in"'))
    g = build(job)
    some = list(frame_cases(g, {"severe-spread": load_cases()["severe-spread"]}))
    assert {s.table.feet for s in solve_strength(job, g, some)} == {"gliding"}
