"""Faces of tubes under the branches of a table: what the check reads off the table, and what it answers."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import OUTSIDE, OVER, WITHIN
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.table.face_checks import (
    chord_use,
    crowded,
    face_checks,
    opposite,
    sizes_of,
)
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.landings import forces_on, landings, landings_of, to_open_end
from shopcalc.table.loads import load_cases
from shopcalc.units import magnitude

INCH = 0.0254
ARCHIVE = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(
    encoding="utf-8"
)


@cache
def table(text):
    job = read_job(text)
    g = build(job)
    every = [
        c
        for c in frame_cases(g, load_cases(job.overrides, public_use=False))
        if c.case.kind in ("use", "proof")
    ]
    return job, g, list(solve_strength(job, g, every[:2]))


def asked(text, kind):
    job, g, solved = table(text)
    joints = [j for j in g.joints if j.kind == kind]
    return next(face_checks(job, g, kind, landings_of(g, joints), solved))


def test_the_answer_is_the_worst_of_every_joint_case_and_state():
    """One design at a time, by the code's own function."""
    job, g, solved = table(ARCHIVE)
    worst = 0.0
    for j in (j for j in g.joints if j.kind == "post to foot"):
        (at,) = landings(g, j)
        sizes = sizes_of(g, at)
        for s, U in zip(solved, chord_use(solved, at, "ASD"), strict=True):
            f = forces_on(s, at)
            for i, c in enumerate(s.cases):
                found = hj.face_strength(
                    **sizes,
                    P=f.pull[i],
                    M_ip=f.over_along[i],
                    M_op=f.over_across[i],
                    U=U[i],
                    kind=c.case.kind,
                )
                worst = max(worst, float(found.ratio[0]))
    check = asked(ARCHIVE, "post to foot")
    assert check.ratio == pytest.approx(worst, rel=1e-12) and check.verdict == WITHIN
    assert "folds" in check.detail and "EN 1993-1-8" in check.detail
    assert check.lines()[-1].symbol == "u" and float(check.lines()[-1].result) == pytest.approx(
        check.ratio, rel=1e-3
    )


def test_sizes_are_those_of_the_two_tubes():
    """2 x 2 x 11 ga on the flat of 3 x 2 x 7 ga, both A513: the face is 3 in wide, the tube 2 in deep."""
    _, g, _ = table(ARCHIVE)
    j = next(j for j in g.joints if j.kind == "post to foot")
    z = sizes_of(g, landings(g, j)[0])
    assert (z["B"] / INCH, z["H"] / INCH, z["B_b"] / INCH, z["H_b"] / INCH) == pytest.approx((3, 2, 2, 2))
    host, branch = g.members[j.host], g.members[j.branch]
    assert z["t"] == pytest.approx(float(magnitude(host.tube.wall("design"), "m")))
    assert z["t_b"] == pytest.approx(float(magnitude(branch.tube.wall("design"), "m")))
    assert z["Z_ip"] == z["Z_op"] == pytest.approx(float(branch.design.Zx[0]))
    assert z["theta"] == pytest.approx(np.pi / 2)


def test_a_branch_on_edge_bends_about_its_own_axes():
    """Rail 4 x 2 on a 2 x 2 post, upright: 4 in along the post, so bending along it takes the strong plastic
    modulus."""
    _, g, _ = table(ARCHIVE)
    j = next(j for j in g.joints if j.kind == "rail to post")
    z, branch = sizes_of(g, landings(g, j)[0]), g.members[j.branch]
    assert (z["H_b"] / INCH, z["B_b"] / INCH) == pytest.approx((4, 2))
    assert z["Z_ip"] == float(branch.design.Zx[0]) > z["Z_op"] == float(branch.design.Zy[0])


def test_open_ends_and_welded_ends():
    """Posts 11 in from the middle of a foot bar 40 in long: 8 in to its open end from the near side of the
    post. The rail meets
    posts whose ends are welded to head and foot: nothing is open."""
    _, g, _ = table(ARCHIVE)
    post = next(j for j in g.joints if j.kind == "post to foot")
    assert to_open_end(g, landings(g, post)[0]) / INCH == pytest.approx(20 - 11 - 1)
    rail = next(j for j in g.joints if j.kind == "rail to post")
    assert to_open_end(g, landings(g, rail)[0]) == pytest.approx(g.members[rail.host].length)


def test_branches_on_other_faces():
    _, archive, _ = table(ARCHIVE)
    assert not any(opposite(archive, at) for at in landings_of(archive, archive.joints))
    _, legs, _ = table(JOBS["four legs"])
    assert all(
        crowded(legs, at) for at in landings_of(legs, legs.joints) if at.joint.kind == "rail to leg"
    )  # two rails at the corner of each leg
    _, pedestal, _ = table(JOBS["pedestal"])
    arms = [j for j in pedestal.joints if j.kind == "arm to column"]
    assert all(opposite(pedestal, at) for at in landings_of(pedestal, arms))  # four arms, two by two


def test_a_thin_wall_is_named_and_not_extrapolated():
    thin = ARCHIVE.replace(
        'rail      = "rectangular tube 4 in x 2 in x 7 ga, A513"',
        'rail      = "rectangular tube 4 in x 2 in x 16 ga, A513"',
    )
    assert thin != ARCHIVE
    check = asked(thin, "stretcher to rail")
    assert (
        check.verdict == OUTSIDE
        and "B/t <= 35" in check.detail
        and "saddle plate" in check.detail
        and check.ratio is None
    )


def test_a_face_that_yields_is_told_with_ways_forward():
    """The foot bar as first drawn, 11 ga: its face folds under the posts."""
    weak = ARCHIVE.replace(
        'foot      = "rectangular tube 3 in x 2 in x 7 ga, A513"',
        'foot      = "rectangular tube 3 in x 2 in x 11 ga, A513"',
    )
    assert weak != ARCHIVE
    job, g, solved = table(weak)
    loud = [replace(s, factor=s.factor / 3) for s in solved]  # three times the load
    joints = [j for j in g.joints if j.kind == "post to foot"]
    check = next(face_checks(job, g, "post to foot", landings_of(g, joints), loud))
    assert check.verdict == OVER and "ways forward: matched width" in check.detail
    # the wall counts squared: 11 ga against 7 ga, 0.120 and 0.180 in, both less by the same part
    assert asked(weak, "post to foot").ratio / asked(ARCHIVE, "post to foot").ratio == pytest.approx(
        (0.180 / 0.120) ** 2, rel=0.25
    )


def test_strength_does_not_grow_with_the_load():
    job, g, solved = table(ARCHIVE)
    joints = [j for j in g.joints if j.kind == "post to head"]
    ratios = []
    for k in (1, 2, 3):
        loud = [replace(s, factor=s.factor / k) for s in solved]
        ratios.append(next(face_checks(job, g, "post to head", landings_of(g, joints), loud)).ratio)
    assert ratios[1] >= 2 * ratios[0] * (1 - 1e-12) and ratios[2] >= 1.5 * ratios[1] * (
        1 - 1e-12
    )  # stress along the tube costs besides
