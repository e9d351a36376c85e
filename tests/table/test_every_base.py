"""Every base style through the whole question: each says something about all that the kit asks, and its feet carry what it
weighs."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS, OPEN_JOBS

from shopcalc.assess import assess
from shopcalc.check import ASK, OUTSIDE, OVER, REFUSED, VERDICTS, WITHIN
from shopcalc.mechanics.frames import solve
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import table_frame, with_cases
from shopcalc.table.frame_cases import DOWN, FrameCase, Loader, stretchers
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.jobfile.base import STYLES
from shopcalc.table.loads import load_cases

# One job of each style; the frame of every other job is asked below.
ONE_OF_EACH = ("trestles", "four legs H", "pedestal", "C-frames", "podiums", "points")
BEYOND = (OVER, ASK, OUTSIDE, REFUSED)


@pytest.fixture(scope="module")
def assessed():
    return {name: assess(read_job(JOBS[name])) for name in ONE_OF_EACH}


def test_one_job_of_each_style(assessed):
    assert sorted(a.job.model.base.style for a in assessed.values()) == sorted(STYLES)


def test_answers_are_among_the_six_words_and_none_is_given_twice(assessed):
    for name, a in assessed.items():
        ids = [c.id for c in a.checks]
        assert len(set(ids)) == len(ids) and len(ids) > 40, name
        assert {c.verdict for c in a.checks} <= set(VERDICTS) and len(VERDICTS) == 6
        assert any(c.verdict == WITHIN for c in a.checks), name


def test_each_style_is_asked_the_questions_of_the_frame(assessed):
    """Strength, sag and sway of its bars, its joints, its standing, its weight."""
    for name, a in assessed.items():
        ids = {c.id for c in a.checks}
        assert {"base/sway along", "base/sway across", "base/sway twist"} <= ids, name
        for what in ("/strength", "/sag", "/weld"):
            assert any(i.endswith(what) for i in ids), (name, what)
        assert any(i.startswith("whole table/") for i in ids), name


def test_what_is_beyond_the_kit_is_named(assessed):
    """Over a limit: what is asked and what is there; beyond the kit: why."""
    for name, a in assessed.items():
        for c in a.checks:
            assert c.name and c.about, (name, c.id)
            if c.verdict == OVER:
                assert c.demand is not None and c.limit is not None and c.ratio > 1 and c.case, (name, c.id)
            elif c.verdict in BEYOND:
                assert c.detail or c.range or c.cautions, (name, c.id)


def test_a_load_that_no_table_holds_is_over_and_named():
    """A pick-up truck on the edge: said, with what is asked and what is there."""
    text = JOBS["four legs"].replace("[base.feet]", '[loads.person]\nvalue = "4900 lbf"\nreason = "to see it fail"\n[base.feet]', 1)
    found = {c.id: c for c in assess(read_job(text)).checks if c.verdict == OVER}
    assert {"top/overhang", "whole table/person-stability"} <= set(found)
    assert all(c.ratio > 1 and c.case and c.demand is not None and c.limit is not None for c in found.values())


def framed(text: str):
    job = read_job(text)
    g = build(job)
    t = table_frame(job, g, state="sliding", joints="rigid", feet=feet_of(job, "gripping"))
    load = Loader.of(g)
    case = load_cases()["shove"]
    nothing = {n: 0.0 for n in stretchers(g)}
    feet = np.zeros((len(g.feet), 3))
    own = load.own()
    rows = [FrameCase(case, "own weight", own, feet, nothing, DOWN * GRAVITY)]
    rows += [FrameCase(case, "pushed", own + load.push(40.0, way), feet, nothing, DOWN * GRAVITY) for way in np.eye(3)[:2]]
    frame, sizes = with_cases(t, rows, g)
    return g, t, rows, solve(frame, sizes, order="first", critical="guard")


@pytest.mark.parametrize("name", [*JOBS, *OPEN_JOBS])
def test_the_feet_carry_what_the_pieces_weigh(name):
    """Sum of forces, and of moments about the middle of the floor, of own weight and a push: by the pieces as they are
    carried, not by the frame's own masses."""
    g, t, rows, answer = framed({**JOBS, **OPEN_JOBS}[name])
    places = np.array([f.floor for f in g.contacts])
    number = t.frame.node_number
    held = answer.reactions[:, [number[n] for n in t.foot_nodes], :3]
    weight = sum(p.mass for p in g.pieces) * GRAVITY
    turned = sum(np.cross(p.centre, [0, 0, -p.mass * GRAVITY]) for p in g.pieces)
    seats = np.array([s.place for s in g.seats])
    for i, (row, way) in enumerate(zip(rows, ([0, 0], [40, 0], [0, 40]), strict=True)):
        assert held[i].sum(axis=0) == pytest.approx([-way[0], -way[1], weight], abs=1e-4 * weight), row.where
        pushed = np.cross(seats, row.seats - rows[0].seats).sum(axis=0)
        assert np.cross(places, held[i]).sum(axis=0) == pytest.approx(-turned - pushed, abs=1e-3 * weight), row.where
