"""How welds are laid: leaning branches, sharp corners, ends of bars, bars that cross."""

from functools import cache

import numpy as np
import pytest
from table.bases_for_tests import JOBS, OPEN_JOBS

from shopcalc.joints import weld_groups
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.landings import forces_on, landings, landings_of, open_ends, to_open_end
from shopcalc.table.loads import load_cases
from shopcalc.table.weld_laid import CORNERS_OFF, END_OFF, SHARP_OFF, Laid, not_laid, solid, turned_line_force, unknown

IN = 0.0254
# legs wider than their rails: each rail has its own corner of the leg
JOBS = {**JOBS, "wider legs": JOBS["four legs"].replace("square tube 2 in x 3/16 in", "square tube 2-1/2 in x 3/16 in")}


@cache
def table(name, old="", new=""):
    text = JOBS[name]
    assert old in text
    job = read_job(text.replace(old, new) if old else text)
    return job, build(job)


def laid(name, kind, old="", new=""):
    job, g = table(name, old, new)
    j = next(j for j in g.joints if j.kind == kind)
    return Laid.of(job, g, job.joint(kind), landings(g, j)[0])


def test_open_side_of_a_leaning_branch_has_a_thinner_throat():
    """AWS D1.1 gives equivalent legs for skewed fillets: 1.08 at 100 degrees, 1.23 at 110 (memory); the posts of the A
    lean 14.6 degrees. By geometry: half the angle between the faces."""
    made = laid("A posts", "post to foot")
    assert made.at.lean == pytest.approx(np.degrees(np.arctan2(6, 23)), abs=0.6)
    assert 1 / made.per_square == pytest.approx(np.cos(np.pi / 4) / np.cos(np.radians(90 + made.at.lean) / 2), rel=1e-9)
    assert 1.08 < 1 / made.per_square < 1.23 and made.off == ()
    assert laid("trestles", "post to foot").per_square == 1.0


def test_a_sharp_corner_whose_root_is_not_reached_is_not_counted():
    """Posts of the X stand 49 degrees on their feet: 1/8 in of leg leaves 1/8 in of throat at most, and the root loss takes
    it. What is left: two runs along the slant and the ends of the one on the open side."""
    made = laid("X posts", "post to foot")
    assert 30 < made.at.lean < 60 and SHARP_OFF in made.off
    slant = 2 * IN / np.sin(made.at.theta)
    assert made.slant == pytest.approx(slant)
    assert made.group.length[0] == pytest.approx(2 * slant + made.works)
    assert made.group.centroid[0, 1] == pytest.approx(-made.works * slant / 2 / (2 * slant + made.works))
    # the branch leans to +y: the sharp side
    assert float(made.at.outward @ made.at.axes[1]) > 0.5


def test_the_side_flush_with_an_open_end_is_not_counted():
    """Rails of four legs stand flush with the heads of the legs: a U is left, open at the top."""
    old, new = 'leg = "1/8 in", filler = "E70" }', 'leg = "1/8 in", filler = "E70", flare_sides = true }'
    made = laid("wider legs", "rail to leg", old, new)
    assert made.off == (END_OFF,) and made.carries
    up = made.at.axes[1, 2]  # the host stands upright
    assert abs(up) == pytest.approx(1) and made.group.centroid[0, 1] * up < 0
    d, e = made.slant, made.works
    hand = weld_groups.join(
        weld_groups.polyline([[(-IN, -d / 2 * up, 0), (-IN, d / 2 * up, 0)]]),
        weld_groups.polyline([[(IN, -d / 2 * up, 0), (IN, d / 2 * up, 0)]]),
        weld_groups.polyline([[(-IN, -d / 2 * up, 0), (-IN + e / 2, -d / 2 * up, 0)]]),
        weld_groups.polyline([[(IN, -d / 2 * up, 0), (IN - e / 2, -d / 2 * up, 0)]]),
    )
    assert made.group.inertia[0] == pytest.approx(hand.inertia[0], rel=1e-9, abs=1e-15)
    # two sides on round corners and one at the end: one run is left, and that is no weld for a moment
    bare = laid("four legs", "rail to leg")
    assert not bare.carries and "flare_sides = true" in not_laid(bare) and "capped" in not_laid(bare)


def test_a_cap_that_stands_past_the_branch_gives_the_side_back():
    new = 'leg = "1/8 in", filler = "E70", flare_sides = true, ends = "capped" }'
    made = laid("wider legs", "rail to leg", 'leg = "1/8 in", filler = "E70" }', new)
    assert made.off == ()


def test_the_end_of_a_bar_is_seen_on_the_right_side():
    _, g = table("C-frames")
    post = next(j for j in g.joints if j.kind == "post to foot")
    (at,) = landings(g, post)
    assert to_open_end(g, at) == pytest.approx(3 * IN, abs=1e-6)  # 4 in from the back to its middle, half of 2 in
    near = min(open_ends(g, at), key=lambda e: e.gap)
    back = np.asarray(at.host.second if at.host.second[1] > at.host.first[1] else at.host.first)
    assert near.way * float(at.axes[1] @ (back - np.asarray(post.place))) > 0


def test_a_bar_that_runs_through_lands_on_both_sides_and_hands_on_what_the_other_bar_takes():
    """At the crossing of the X: what both halves do to the other bar and what its own two pieces do add to nothing."""
    job, g = table("X posts")
    cross = next(j for j in g.joints if j.end < 0)
    halves = landings(g, cross)
    assert len(halves) == 2 and not any(unknown(at) for at in halves)
    assert float(halves[0].outward @ halves[1].outward) == pytest.approx(-1)
    cases = [c for c in frame_cases(g, load_cases(job.overrides)) if c.case.kind == "use"][:1]
    s = next(iter(solve_strength(job, g, cases)))
    F = sum(forces_on(s, at).vectors[0][0] @ at.branch_axes for at in halves)
    host = g.members[cross.host]
    runs, place = s.table.runs[cross.host], host.place_of(cross.place)
    local = np.stack([host.direction, np.cross(host.up, host.direction), host.up])
    for name, start in runs:
        f = s.answer.end_forces[0, s.answer.frame.member_number[name]] / s.factor
        end = start + next((b for _, b in runs if b > start + 1e-9), host.length) - start
        if abs(start - place) < 1e-6:
            F = F - f[:3] @ local
        if abs(end - place) < 1e-6:
            F = F - f[6:9] @ local
    pieces = [
        abs(place - near) * float(bar.design.mass_per_length[0])
        for bar in (host, halves[0].branch)
        for near in _neighbours(s.table.runs[bar.name], bar.length, bar.place_of(cross.place))
    ]
    assert len(pieces) == 4
    assert F == pytest.approx([0, 0, sum(pieces) / 2 * 9.80665], abs=1e-6)  # half the weight of what meets there


def _neighbours(runs, length, place):
    """Where the pieces of a bar next to a place begin and end."""
    marks = [at for _, at in runs] + [length]
    i = min(range(len(marks)), key=lambda k: abs(marks[k] - place))
    return marks[i - 1], marks[i + 1]


@pytest.mark.parametrize("name", sorted(JOBS))
def test_axes_of_every_landing_are_right_handed_and_see_its_sides(name):
    _, g = table(name)
    for at in landings_of(g, g.joints):
        for axes in (at.axes, at.branch_axes):
            assert np.linalg.det(axes) == pytest.approx(1) and axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
        if not at.in_line and at.host.plate is None:
            assert float(at.axes[1] @ at.outward) > -1e-6 and float(at.axes[2] @ at.outward) > 0
            assert float(at.axes[1] @ at.host.direction) == pytest.approx(np.sign(at.axes[1] @ at.host.direction))


def test_a_post_on_a_flat_bar_has_a_weld_and_no_face():
    """2 in on a flat bar 3 in x 1/2 in: room all round; K5 on a face 3 in wide and 1/2 in thick, its own steel."""
    job = read_job(OPEN_JOBS["trestle foot of flat bar"])
    g = build(job)
    at = landings(g, next(j for j in g.joints if j.kind == "post to foot"))[0]
    assert solid(at) and unknown(at) == ""
    made = Laid.of(job, g, job.joint("post to foot"), at)
    assert made.off == () and made.thinner == pytest.approx(0.93 * 3 / 16 * IN, rel=1e-3)
    assert made.walls[1].t == pytest.approx(0.5 * IN) and made.walls[1].F_y == pytest.approx(36e3 * 6894.757293, rel=1e-6)
    ratio = 10 * 0.5 / 3 * 36 * 0.5 / (50 * 0.93 * 3 / 16)
    assert made.works == pytest.approx(min(ratio, 0.5) * 2 * IN)
    thin = read_job(OPEN_JOBS["trestle foot of flat bar"].replace("flat bar 3 in x 1/2 in", "flat bar 5 in x 1/2 in"))
    wide = landings(build(thin), next(j for j in build(thin).joints if j.kind == "post to foot"))[0]
    assert "less than half" in unknown(wide)


def test_a_flat_bar_as_wide_as_its_branch_has_no_ledge_whatever_the_job_says_of_corners():
    text = OPEN_JOBS["trestle foot of flat bar"].replace("flat bar 3 in x 1/2 in", "flat bar 2 in x 1/2 in")
    job = read_job(text.replace('post_to_foot = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }',
                                'post_to_foot = { weld = "fillet all round", leg = "1/8 in", filler = "E70", flare_sides = true }'))
    g = build(job)
    made = Laid.of(job, g, job.joint("post to foot"), landings(g, next(j for j in g.joints if j.kind == "post to foot"))[0])
    assert not made.flare and CORNERS_OFF in made.off


@pytest.mark.parametrize("sides", [(2, 2), (3, 2), (4, 1.5)])
def test_a_turned_outline_never_carries_less_than_is_counted(sides):
    """The weld laid round the turned branch itself, under random forces, beside the square outline times its factor."""
    b, d = (v * IN for v in sides)
    rng = np.random.default_rng(7)
    F, M = rng.normal(size=(400, 3)) * 1e3, rng.normal(size=(400, 3)) * 30
    square = weld_groups.line_force(weld_groups.branch_outline(b, d), F, M)
    for degrees in (2.0, 4.2, 10.0):
        t = np.radians(degrees)
        c, s = np.cos(t), np.sin(t)
        corners = [(c * x - s * y, s * x + c * y, 0.0) for x, y in ((-b / 2, -d / 2), (b / 2, -d / 2), (b / 2, d / 2), (-b / 2, d / 2))]
        turned = weld_groups.line_force(weld_groups.polyline([corners], closed=True), F, M)
        counted = turned_line_force.si(f=square, turn=t, r=max(b, d) / min(b, d))
        assert (counted >= turned * (1 - 1e-9)).all(), (degrees, float((turned / counted).max()))


def test_faces_of_a_tapered_leg_lean_and_thin_the_throat():
    """2 in to 1 in over the leg: each face leans by atan(0.5/L) from the axis, and the rail's weld is that much off square;
    10 degrees and less count as square, so a splay is added to see it."""
    text = JOBS["splayed legs"].replace('splay_along = "2 in"', 'splay_along = "4-1/2 in"').replace(
        'across = "26 in"', 'across = "26 in", taper = { to = "1-1/4 in", straight = "4 in" }')
    job = read_job(text)
    g = build(job)
    leg = next(m for m in g.members.values() if m.tapers_to is not None)
    assert leg.face_lean == pytest.approx(np.degrees(np.arctan(0.375 / (leg.kink / IN))))
    at = next(at for at in landings_of(g, g.joints) if at.joint.kind == "rail to leg" and at.lean > 8)
    made = Laid.of(job, g, job.joint("rail to leg"), at)
    lean = at.lean + leg.face_lean
    expect = np.cos(np.radians(90 + lean) / 2) / np.cos(np.pi / 4) if lean > 10 else 1.0
    assert made.per_square == pytest.approx(expect)
