"""Jobs with round tube: weld along the saddle, wall of the tube, springs, cards; what is still asked of an engineer."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from table.bases_for_tests import JOBS, ROUND_JOBS

from shopcalc.assess import assess
from shopcalc.check import ASK, OUTSIDE, VERDICTS, WITHIN, ratio_text
from shopcalc.codes.aisc360_22.hollow_joints_round import round_strength
from shopcalc.codes.aisc360_22.hollow_joints_round_on_flat import round_on_flat_strength
from shopcalc.codes.en1993_1_8.chord_face_round import square_on_round_use
from shopcalc.joints import saddle
from shopcalc.making.cards import cards
from shopcalc.stock.shapes import read_stock
from shopcalc.table import weld_checks as wc
from shopcalc.table.face_checks import (
    TOUCH,
    chord_use,
    for_the_engineer,
    round_on_flat_sizes_of,
    round_sizes_of,
)
from shopcalc.table.frame import joint_stiffness
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_checks import stiff_hosts
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.joint_try import triable, tried
from shopcalc.table.landings import forces_on, landings_of
from shopcalc.table.loads import load_cases
from shopcalc.table.weld_laid import (
    BOLTED_ROUND,
    END_OFF,
    FALLS_OFF,
    MIDDLE_OFF,
    SHARED_OFF,
    Laid,
    free_of,
    not_laid,
    unknown,
)
from shopcalc.units import Q

INCH = 0.0254
LEGS, SPLAYED, POSTS, ARMS = (
    "round legs and rails",
    "splayed round legs",
    "round posts on flat bars",
    "round column, round arms",
)


@cache
def table(name):
    job = read_job(ROUND_JOBS[name])
    g = build(job)
    every = [
        c
        for c in frame_cases(g, load_cases(job.overrides, public_use=False))
        if c.case.kind in ("use", "proof")
    ]
    solved = list(solve_strength(job, g, every[:1]))
    return job, g, solved, {c.id: c for c in weld_checks(job, g, solved)}


def places(name, kind):
    return landings_of(table(name)[1], [j for j in table(name)[1].joints if j.kind == kind])


def laid(name, kind, **changes):
    job, g, _, _ = table(name)
    weld = job.joint(kind).model_copy(update=changes)
    return Laid.of(job, g, weld, places(name, kind)[0])


# --- the weld ----------------------------------------------------------------------------------------


def test_the_answer_is_the_worst_saddle_of_every_joint_and_case():
    """One landing at a time, in the axes of the face typed out here: x across, y along the leg, z out of it."""
    _, g, solved, checks = table(LEGS)
    worst = 0.0
    for at in places(LEGS, "rail to leg"):
        made = Laid.of(table(LEGS)[0], g, table(LEGS)[0].joint("rail to leg"), at)
        ends = ((_up(at), _up(at) * (0.95 - 0.125) * INCH),)
        half = (
            1.25 * np.sin(np.pi / 4) - 0.125
        ) * INCH  # up to halfway round to the other rail of the corner
        free = (-half, np.inf) if _neighbour(at) < 0 else (-np.inf, half)
        line = saddle.on_round(1.9 * INCH, 2.5 * INCH, np.pi / 2, ends, free)
        for s in solved:
            f = forces_on(s, at)
            # square on: the axes of branch and face are one
            F = np.stack([f.shear_across, f.shear_along, f.pull], axis=-1)
            M = np.stack([f.over_along, -f.over_across, f.twist], axis=-1)
            for i, c in enumerate(s.cases):
                used = line.line_force(F[i], M[i], INCH / 8, "GMAW")[0] / made.allowable(c.case.kind, "ASD")
                worst = max(worst, used)
    assert checks["joint.rail to leg/weld"].ratio == pytest.approx(worst, rel=1e-9)


def _neighbour(at) -> int:
    """On which side of a landing, across the leg, the other rail of its corner lies."""
    others = [
        o
        for o in places(LEGS, "rail to leg")
        if o.host is at.host and o is not at and o.joint is not at.joint
    ]
    (other,) = others
    return int(np.sign(other.outward @ at.axes[0]))


def _up(at) -> int:
    """Where the open head of a leg lies from a landing on it."""
    return 1 if at.axes[1][2] > 0 else -1


def test_line_is_the_saddle_and_what_counts_is_told():
    made = laid(LEGS, "rail to leg")
    assert made.saddle.round_host and made.off == (SHARED_OFF, END_OFF) and made.saddle.uneven == 1.5
    whole = saddle.on_round(1.9 * INCH, 2.5 * INCH)
    assert made.laid_length == pytest.approx(whole.outline.length[0])
    assert made.group.length[0] < made.laid_length
    detail = table(LEGS)[3]["joint.rail to leg/weld"].detail
    assert (
        "the part at the open end of the bar" in detail
        and "1.5 times" in detail
        and "degrees round the weld" in detail
    )
    assert wc.ROUND_START in detail and wc.IN_FLAT not in detail
    capped = laid(LEGS, "rail to leg", ends="capped")
    assert capped.off == (SHARED_OFF,) and capped.group.length[0] > made.group.length[0]
    arm = laid(ARMS, "arm to column", ends="capped")  # four narrow arms do not touch
    assert arm.off == () and arm.group.length[0] == pytest.approx(arm.laid_length)
    matched = laid(POSTS, "rail to post")
    assert FALLS_OFF in matched.off and matched.group.length[0] < 0.8 * matched.laid_length


def test_room_beside_a_neighbour():
    """Arms at right angles: 45 degrees round, on both sides; the one opposite takes nothing."""
    g = table(ARMS)[1]
    low, high = free_of(g, places(ARMS, "arm to column")[0])
    assert (low, high) == pytest.approx((-2 * INCH / 2**0.5, 2 * INCH / 2**0.5))
    one = free_of(table(LEGS)[1], places(LEGS, "rail to leg")[0])
    assert sorted(np.isfinite(one)) == [False, True]
    assert free_of(table(POSTS)[1], places(POSTS, "rail to post")[0]) == (-np.inf, np.inf)


def test_on_a_flat_face_only_what_k5_lets_work_counts():
    made = laid(POSTS, "post to foot")
    assert MIDDLE_OFF in made.off and not made.saddle.round_host and made.saddle.uneven == 1.0
    counted = made.saddle.points[made.saddle.counts]
    assert np.abs(counted[:, 0]).min() >= (1.9 * INCH - made.works) / 2 - 1e-8
    assert made.works == pytest.approx(min(made.works, 0.95 * INCH))  # steep: not more than half of a side


def test_leaning_rails_are_laid_in_their_own_axes():
    """Splayed legs: the rail makes 86 degrees; a pull along it is part square, part along the leg."""
    at = places(SPLAYED, "rail to leg")[0]
    made = laid(SPLAYED, "rail to leg")
    assert 85 < np.degrees(at.theta) < 88
    assert made.saddle.sharpest[0] == pytest.approx(np.degrees(at.theta), abs=0.01)
    sharp = made.saddle.points[0, made.saddle.psi[0].argmin()]
    assert sharp[1] > 0 and float(at.outward @ at.axes[1]) >= 0  # it leans to +y


def test_worked_lines_of_a_saddle_end_in_the_demand():
    """The last lines before the strengths: on the throat at its angle, then 1.5 times."""
    check = table(LEGS)[3]["joint.rail to leg/weld"]
    by_symbol = {line.symbol: line for line in check.lines()}
    demand = check.demand.to("lbf/inch").magnitude
    assert float(by_symbol["r_w"].result.split(" ")[0].replace(",", "")) == pytest.approx(demand, rel=2e-3)


def test_cautions_of_round_joints():
    cautions = table(LEGS)[3]["joint.rail to leg/weld"].cautions
    assert wc.QUALIFY in cautions and wc.AT_THE_END in cautions and not any("table 4.2" in c for c in cautions)
    assert any("no fillet stands there" in c for c in table(POSTS)[3]["joint.rail to post/weld"].cautions)
    # 1.9 on 2.5 in at a corner with another: they touch
    assert TOUCH in table(LEGS)[3]["joint.rail to leg/face"].cautions
    assert TOUCH not in table(ARMS)[3]["joint.arm to column/face"].cautions


# --- the wall ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "kind", "sizes", "strength"),
    [
        (LEGS, "rail to leg", round_sizes_of, round_strength),
        (ARMS, "arm to column", round_sizes_of, round_strength),
        (POSTS, "post to foot", round_on_flat_sizes_of, round_on_flat_strength),
    ],
)
def test_wall_is_the_worst_of_every_joint_and_case(name, kind, sizes, strength):
    _, g, solved, checks = table(name)
    worst = 0.0
    for at in places(name, kind):
        z = sizes(g, at)
        for s, U in zip(solved, chord_use(solved, at, "ASD"), strict=True):
            f = forces_on(s, at)
            for i, c in enumerate(s.cases):
                found = strength(
                    **z, P=f.pull[i], M_ip=f.over_along[i], M_op=f.over_across[i], U=U[i], kind=c.case.kind
                )
                worst = max(worst, float(found.ratio[0]))
    check = checks[f"joint.{kind}/face"]
    assert check.ratio == pytest.approx(worst, rel=1e-12) and "EN 1993-1-8" in check.detail
    assert float(check.lines()[-1].result) == pytest.approx(check.ratio, rel=1e-3)


def test_sizes_are_those_of_the_two_tubes():
    _, g, _, _ = table(LEGS)
    z = round_sizes_of(g, places(LEGS, "rail to leg")[0])
    assert (z["D"] / INCH, z["D_b"] / INCH) == pytest.approx((2.5, 1.9))
    assert z["t"] == pytest.approx(0.93 * 3 / 16 * INCH) and z["l_end"] == pytest.approx(0, abs=1e-6)
    assert not z["cross"] and round_sizes_of(table(ARMS)[1], places(ARMS, "arm to column")[0])["cross"]
    flat = round_on_flat_sizes_of(table(POSTS)[1], places(POSTS, "post to foot")[0])
    assert (flat["B"] / INCH, flat["H"] / INCH, flat["D_b"] / INCH) == pytest.approx((3, 2, 1.9))
    t = 0.93 * 0.145
    assert flat["Z_b"] / INCH**3 == pytest.approx((1.9**3 - (1.9 - 2 * t) ** 3) / 6, rel=1e-6)


def test_sources_of_a_round_branch_on_a_flat_face_are_told():
    check = table(POSTS)[3]["joint.post to foot/face"]
    assert check.provenance == "second-hand" and "en-1993-1-8" in check.source
    assert any("0.4 <= D_b/B <= 0.8" in r for r in check.range)
    assert table(LEGS)[3]["joint.rail to leg/face"].provenance == "retrieved"


def test_a_wall_thinner_than_what_was_tested_is_named():
    """Legs of 3 in by 16 ga: 3/0.0585 is over 50."""
    thin = ROUND_JOBS[LEGS].replace("round tube 2-1/2 in x 3/16 in, A500 C", "round tube 3 in x 16 ga, A513")
    job = read_job(thin)
    g = build(job)
    every = [c for c in frame_cases(g, load_cases(job.overrides, public_use=False)) if c.case.kind == "use"]
    solved = list(solve_strength(job, g, every[:1]))
    face = next(c for c in weld_checks(job, g, solved) if c.id == "joint.rail to leg/face")
    assert face.verdict == OUTSIDE and "D/t <= 50" in face.detail and "saddle or gusset plate" in face.detail
    assert face.ratio is None and face.clause == "AISC 360-22 tables K3.1A and K4.1A"


# --- what is still asked -----------------------------------------------------------------------------


def test_square_on_round_and_axes_that_pass_are_asked():
    checks = table("round column, square arms")[3]
    assert checks["joint.arm to column/weld"].verdict == ASK
    assert "saddle plate" in checks["joint.arm to column/weld"].detail
    # a figure, recalled, goes with it and gives no verdict
    assert "for the engineer: EN 1993-1-8 table 7.4, recalled" in checks["joint.arm to column/weld"].detail
    assert checks["joint.arm to column/weld"].ratio is None and "joint.arm to column/face" not in checks
    at = places(LEGS, "rail to leg")[0]
    assert not unknown(at) and for_the_engineer(table(LEGS)[1], at, table(LEGS)[2]) == ""
    arm = places("round column, square arms", "arm to column")[0]
    flat_bar = replace(arm, branch=replace(arm.branch, tube=read_stock("flat bar 3 in x 1/2 in, A36")))
    assert (
        for_the_engineer(
            table("round column, square arms")[1], flat_bar, table("round column, square arms")[2]
        )
        == ""
    )
    beside = replace(
        at.branch,
        first=tuple(np.add(at.branch.first, 0.01 * at.axes[0])),
        second=tuple(np.add(at.branch.second, 0.01 * at.axes[0])),
    )
    assert "beside the axis" in unknown(replace(at, branch=beside))
    wide = replace(
        at, branch=replace(at.branch, tube=at.host.tube), host=replace(at.host, tube=at.branch.tube)
    )
    assert "wider than the round tube" in unknown(wide)


def test_a_weld_of_which_nothing_is_left_is_asked():
    """As wide as the face of its host: over the round corners no fillet stands, near the middle the wall is soft."""
    job, g, _, _ = table(POSTS)
    at = places(POSTS, "post to foot")[0]
    slim = replace(at.host, tube=read_stock("square tube 2 in x 1/4 in, A500 C"))
    made = Laid.of(job, g, job.joint("post to foot"), replace(at, host=slim))
    assert not made.carries and "no part of the weld carries" in not_laid(made)


def test_the_figure_for_the_engineer_is_the_worst_of_every_case():
    name = "round column, square arms"
    _, g, solved, _ = table(name)
    at = places(name, "arm to column")[0]
    # the arm lies flat: 3 in across the column, 2 in upright along it, which is the height of the section
    b, worst = at.branch.design, 0.0
    assert b.height[0] == pytest.approx(2 * INCH) and at.sizes[:2] == pytest.approx((3 * INCH, 2 * INCH))
    for s, U in zip(solved, chord_use(solved, at, "ASD"), strict=True):
        f = forces_on(s, at)
        for i in range(len(s.cases)):
            used = square_on_round_use(
                f_y0=46e3 * 6894.757,  # A500 C is 46 ksi round, 50 ksi square
                t_0=0.93 * 0.237 * INCH,
                d_0=4 * INCH,
                b_1=3 * INCH,
                h_1=2 * INCH,
                t_1=0.93 * 3 / 16 * INCH,
                A_1=b.A[0],
                W_ip=b.Sx[0],
                W_op=b.Sy[0],
                N=1.5 * f.pull[i],
                M_ip=1.5 * f.over_along[i],
                M_op=1.5 * f.over_across[i],
                n_p=0.9 * U[i],
                cross=True,
            )
            worst = max(worst, float(used[0]))
    assert f"uses the round wall {ratio_text(worst)}" in for_the_engineer(g, at, solved)


def test_bolts_on_round_tube_are_asked():
    text = ROUND_JOBS[LEGS]
    start = text.index("rail_to_leg = ")
    bolted = text[:start] + 'rail_to_leg = { bolts = 2, size = "3/8 in", plate = "1/2 in" }\n'
    job = read_job(bolted)
    g = build(job)
    every = [c for c in frame_cases(g, load_cases(job.overrides, public_use=False)) if c.case.kind == "use"]
    found = list(weld_checks(job, g, list(solve_strength(job, g, every[:1]))))
    assert any(c.verdict == ASK and BOLTED_ROUND in c.detail for c in found)


# --- frame, cards ------------------------------------------------------------------------------------


def test_springs_of_round_tube():
    _, g, _, _ = table(LEGS)
    at = places(LEGS, "rail to leg")[0]
    line, across = joint_stiffness(at.branch, at.host)
    # Fessler by hand: beta 0.76 is the end of the range, gamma under 10 counts as 10
    assert line == pytest.approx(
        200e9 * (2.5 * INCH) ** 3 / (134 * 10**1.73 * np.exp(-4.52 * 0.76)), rel=0.01
    )
    assert 0 < across < line and stiff_hosts(g) == ()
    square = table("round column, square arms")[1]
    assert "round tube under square branches" in stiff_hosts(square)[0]
    arm = landings_of(square, [j for j in square.joints if j.kind == "arm to column"])[0]
    assert joint_stiffness(arm.branch, arm.host) == (np.inf, np.inf)


def test_round_branch_on_a_flat_gives_more_than_a_square_one():
    at = places(POSTS, "post to foot")[0]
    square = replace(at.branch, tube=read_stock("square tube 2 in x 3/16 in, A500 C"))
    for one, two in zip(joint_stiffness(at.branch, at.host), joint_stiffness(square, at.host), strict=True):
        assert 0 < one < two


def test_cards_of_round_branches():
    job, g, _, _ = table(LEGS)
    rows = {what.split(" of ")[0]: how for what, how in cards(job, g, ())[0].rows}
    R, r = 1.25, 0.95
    cope = R - (R**2 - r**2) ** 0.5  # 0.438 in
    assert "from crown to crown" in rows["cut"] and "cope both ends" in rows["cut"] and 0.43 < cope < 0.44
    assert "7/16 in deep" in rows["cut"] or "1/2 in deep" in rows["cut"]
    assert "crown" in rows["start and stop"] and "crowns" in rows["tacks"] and "flat" not in rows["tacks"]
    assert "ask" not in rows["weld to lay"]


def bench(name, kind, **changes):
    job, g, _, _ = table(name)
    joint = triable(job, g)[kind]
    given = {"host": g.members[joint.host].tube, "leg": Q(0.125, "in"), "moment": Q(100, "lbf*ft"), **changes}
    return tried(job, g, joint, **given)


def test_round_branches_at_the_bench():
    """100 lbf ft along the tube: wall and weld by their own functions; the ring is drawn with what counts of it."""
    made = laid(LEGS, "rail to leg")
    M = 100 * 1.3558179
    found = bench(LEGS, "rail to leg")
    z = round_sizes_of(table(LEGS)[1], places(LEGS, "rail to leg")[0])
    used = dict(zip(found.names, found.ratios, strict=True))
    assert used["face of the tube"] == pytest.approx(float(round_strength(**z, M_ip=M).ratio[0]), rel=1e-6)
    line = made.saddle.line_force((0, 0, 0), (M, 0, 0), INCH / 8, "GMAW")[0]
    assert used["weld"] == pytest.approx(line / made.allowable("use", "ASD"), rel=1e-6)
    assert found.ring.shape == (saddle.STEPS, 3) and found.round_host
    assert np.abs(found.ring[:, 1]).max() == pytest.approx(0.95 * INCH)
    assert found.ring[:, 2].mean() == pytest.approx(made.saddle.counts.mean())
    flat = bench(POSTS, "post to foot")
    assert flat.ring is not None and not flat.round_host and flat.face == pytest.approx(3 * INCH)
    assert bench(POSTS, "post to foot", made="2 bolts of 3/8 in").verdicts == (ASK,)


def test_a_square_joint_has_no_ring():
    job = read_job(JOBS["four legs H"])
    g = build(job)
    joint = triable(job, g)["stretcher to stretcher"]
    found = tried(job, g, joint, host=g.members[joint.host].tube, leg=Q(0.125, "in"), moment=Q(10, "lbf*ft"))
    assert found.ring is None and not found.round_host


# --- through the whole question ----------------------------------------------------------------------


@pytest.fixture(scope="module")
def whole():
    return assess(read_job(ROUND_JOBS[LEGS]))


def test_a_job_of_round_tube_is_answered(whole):
    joints = {c.id: c for c in whole.checks if c.id.startswith("joint.")}
    assert {"joint.rail to leg/weld", "joint.rail to leg/face", "joint.rail to leg/least leg"} <= set(joints)
    assert (
        all(c.verdict != ASK for c in joints.values()) and joints["joint.rail to leg/face"].verdict == WITHIN
    )
    assert {c.verdict for c in whole.checks} <= set(VERDICTS)
    for c in joints.values():
        assert c.source and c.clause and (c.ratio is None or np.isfinite(c.ratio))
