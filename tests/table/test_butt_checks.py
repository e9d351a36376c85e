"""Bars end to end in a job: mitred corners and bars in one line, against hand sums."""

from functools import cache

import numpy as np
import pytest
from table.bases_for_tests import JOBS, PORTAL, portal

from shopcalc.check import ASK, OUTSIDE, envelope
from shopcalc.codes.en1993_1_8 import knee
from shopcalc.table import butt_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import forces_on, landings
from shopcalc.table.loads import load_cases
from shopcalc.units import magnitude

IN = 0.0254
WELD = '{ weld = "fillet all round", leg = "1/8 in", filler = "E70" }'
PROVED = '{ weld = "butt all round", penetration = "0.188 in", proof = "three pieces sawn and etched", ends = "mitred" }'
# A loop of one tube: posts flush with the ends of foot and head.
LOOP = (
    JOBS["two stretchers"]
    .replace('foot = { stock = "bar", length = "30 in", lies = "flat" }', 'foot = { stock = "post", length = "18 in" }')
    .replace('head = { stock = "bar", length = "30 in", lies = "flat" }', 'head = { stock = "post", length = "18 in" }')
)


@cache
def found_of(text):
    job = read_job(text)
    g = build(job)
    every = list(frame_cases(g, load_cases(job.overrides)))
    solved = list(solve_strength(job, g, [c for c in every if c.case.kind == "use"][:2]))
    return job, g, solved, {c.id: c for c in envelope(weld_checks(job, g, solved))}


def loop(head, foot=None):
    text = LOOP
    for key, words in (("post_to_head", head), ("post_to_foot", foot or head)):
        assert f"{key} = {WELD}" in text
        text = text.replace(f"{key} = {WELD}", f"{key} = {words}")
    return text


def test_a_mitred_loop_by_hand():
    """A 500 grade C 2 x 2 x 3/16: kappa = 3/(2/0.174)^0.8 + 1/3, N/N_pl + M/M_pl of the tube under it; N to 0.2 N_pl; V to half
    of f_y/sqrt 3 on the two walls along it, torsion beside it; 1.67 off all."""
    job, g, solved, found = found_of(loop(PROVED))
    corner = found["joint.post to head/corner"]
    t = 0.93 * 0.1875
    kappa = 3 / (2 / t) ** 0.8 + 1 / 3
    assert "keeps" in corner.detail and f"{kappa:.0%}" in corner.detail
    tube = g.members[next(j for j in g.joints if j.kind == "post to head").branch].design
    fy = 50e3 * 6894.757293168361 / 1.67
    worst = 0.0

    def use(N, m_ip, m_op, T, v_ip, v_op):
        n, tau, v = abs(N) / tube.A[0] / fy, abs(T) / tube.C[0] / (fy / np.sqrt(3)), fy / np.sqrt(3) * 2 * 2 * IN * t * IN
        all_of = [(n + (abs(m_ip) + abs(m_op)) / tube.Zx[0] / fy + tau) / kappa, n / 0.2, ((abs(v_ip) + abs(v_op)) / v + tau) / 0.5]
        return float(np.max(all_of))

    for j in (j for j in g.joints if j.kind == "post to head"):
        (at,) = landings(g, j)
        for s in solved:
            f = forces_on(s, at)
            lever = j.reach  # from the face of the head in to its axis
            m_ip = np.maximum(abs(f.over_along), abs(f.over_along - lever * f.shear_along))
            m_op = np.maximum(abs(f.over_across), abs(f.over_across - lever * f.shear_across))
            worst = max(worst, use(f.pull, m_ip, m_op, f.twist, f.shear_along, f.shear_across))
            runs = s.table.runs[j.host]  # and the head: its piece between the posts
            i = 1 if at.place < at.host.length / 2 else len(runs) - 2
            e = np.abs(s.answer.end_forces[:, s.answer.frame.member_number[runs[i][0]]]) / s.factor
            n, v_op, v_ip, twist, in_plane, out = e[:, :6].T if i == 1 else e[:, 6:].T
            worst = max(worst, use(n, in_plane, out, twist, v_ip, v_op))
    assert corner.ratio == pytest.approx(worst, rel=1e-6)
    assert float(corner.lines()[-1].result) == pytest.approx(corner.ratio, rel=2e-3)
    assert knee.OWN in corner.cautions


def test_forces_of_the_other_bar_are_those_of_the_branch_turned_where_only_two_bars_meet():
    _, g, solved, _ = found_of(loop(PROVED))
    (at,) = landings(g, next(j for j in g.joints if j.kind == "post to head"))
    stub = (0, slice(10, 11)) if at.place < at.host.length / 2 else (-1, slice(4, 5))
    for s in solved:
        one = butt_checks.at_the_axes(forces_on(s, at), at.joint.reach)
        other = butt_checks.host_forces(s, at)
        # past the post the head carries a seat on an inch of itself
        past = s.answer.end_forces[:, s.answer.frame.member_number[s.table.runs[at.joint.host][stub[0]][0]], stub[1]][:, 0] / s.factor
        both = [abs(other.over_along) - abs(past + sign * one.over_along) for sign in (1, -1)]
        assert np.abs(both).min(axis=0) == pytest.approx(np.zeros(len(past)), abs=0.02 * abs(other.over_along).max())


def test_a_weld_that_does_not_reach_through_is_outside_the_rule_of_the_corner():
    shallow = PROVED.replace("0.188 in", "0.06 in")
    *_, found = found_of(loop(shallow))
    assert found["joint.post to head/corner"].verdict == OUTSIDE
    assert "throat over wall" in found["joint.post to head/corner"].detail
    full = found_of(loop(PROVED))[-1]["joint.post to head/weld"]
    weld = found["joint.post to head/weld"]
    t = 0.93 * 0.1875
    # every strength grows with the throat: nothing over the design wall counts
    assert magnitude(weld.limit, "lbf/in") / magnitude(full.limit, "lbf/in") == pytest.approx(0.06 / t, rel=2e-3)
    assert "needs a proven penetration of" in weld.detail


def test_no_proof_no_number():
    bare = '{ weld = "butt all round", ends = "mitred" }'
    *_, found = found_of(loop(bare))
    check = found["joint.post to head/weld"]
    assert check.verdict == ASK and check.ratio is None and "no penetration is proven" in check.detail
    assert "joint.post to head/corner" not in found


def test_a_plate_in_the_corner_keeps_all_of_the_tube():
    *_, bare = found_of(loop(PROVED))
    *_, stiff = found_of(loop(PROVED.replace('"mitred" }', '"mitred", mitre_plate = "1/2 in" }')))
    one, two = (f["joint.post to head/corner"] for f in (bare, stiff))
    assert "keeps 100%" in two.detail and two.ratio < one.ratio


@pytest.mark.parametrize(("text", "kind", "words"), [
    (JOBS["two stretchers"].replace(f"post_to_head = {WELD}", f"post_to_head = {PROVED}"), "post to head", "ends meet at a corner"),
    (portal().replace(f"bar_to_bar = {WELD}", f"bar_to_bar = {PROVED}"), "bar to bar", "more than two bars"),
    (JOBS["two stretchers"].replace(f"post_to_head = {WELD}", f"post_to_head = {PROVED.replace(', ends = ' + chr(34) + 'mitred' + chr(34), '')}"),
     "post to head", "on the face of a bar say fillet"),
    (LOOP.replace('head = { stock = "post"', 'head = { stock = "bar"').replace(f"post_to_head = {WELD}", f"post_to_head = {PROVED}"),
     "post to head", "differ in size"),
])
def test_what_is_no_butt_asks_an_engineer(text, kind, words):
    assert PROVED[:20] in text
    *_, found = found_of(text)
    check = found[f"joint.{kind}/weld"]
    assert check.verdict == ASK and words in check.detail


LINE = (
    PORTAL.replace('d = ["-30 in", "12 in", "0 in"]', 'd = ["-30 in", "12 in", "0 in"]\nM = ["5 in", "-12 in", "29 in"]')
    .replace('front = { stock = "post", first = "A", second = "B" }',
             'front = { stock = "post", first = "A", second = "M" }\nfront2 = { stock = "post", first = "M", second = "B" }')
    .replace('"front", "back"]', '"front", "front2", "back"]')
)


def test_bars_in_one_line_by_hand():
    """The rail in two pieces: L, I of the square line of 2 in less the throat, corners as chords, and the frame's forces."""
    words = PROVED.replace(', ends = "mitred"', "").replace("0.188 in", "0.1 in")
    text = portal("In one line", LINE).replace(f"bar_to_bar = {WELD}", f"bar_to_bar = {words}")
    job, g, solved, found = found_of(text)
    j = next(j for j in g.joints if {j.branch, j.host} == {"front", "front2"})
    (at,) = landings(g, j)
    assert at.in_line and butt_checks.not_butted(job.joint("bar to bar"), at, g) == ""
    made = butt_checks.LaidButt.of(job.joint("bar to bar"), at)
    assert made.cut == pytest.approx(0, abs=1e-9) and float(made.butt.throat[0]) == pytest.approx(0.1 * IN)
    side, r = (2 - 0.1) * IN, made.corner
    flat, chord = 2 * IN - 2 * r, np.hypot(r - 0.05 * IN, r - 0.05 * IN)
    assert made.group.length[0] == pytest.approx(4 * flat + 4 * chord, rel=1e-9)
    f = butt_checks.at_the_axes(forces_on(solved[0], at), 0.0)
    F, M = (v[:1] for v in f.vectors)
    from shopcalc.joints import welds_butt

    got = float(welds_butt.line_force(made.group, F, M, 0.0)[0])
    L, I = made.group.length[0], made.group.inertia[0]  # noqa: E741
    worst = 0.0
    for x, y in ((side / 2, flat / 2), (flat / 2, side / 2)):
        for sx in (1, -1):
            for sy in (1, -1):
                px, py = sx * x, sy * y
                fz = F[0, 2] / L + M[0, 0] * py / I[0, 0] - M[0, 1] * px / I[1, 1]
                fx, fy = F[0, 0] / L - M[0, 2] * py / I[2, 2], F[0, 1] / L + M[0, 2] * px / I[2, 2]
                worst = max(worst, float(np.sqrt(fx**2 + fy**2 + fz**2)))
    assert got == pytest.approx(worst, rel=1e-9)
