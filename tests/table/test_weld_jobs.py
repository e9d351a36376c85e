"""Welds of a job: sound joints, a face that folds, a weld larger than the wall, bolts that slip; every base
style."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import ASK, REPORTED, VERDICTS, WITHIN, envelope
from shopcalc.errors import InputError
from shopcalc.joints import weld_groups, welds
from shopcalc.stock.shapes import read_stock
from shopcalc.table import weld_checks as wc
from shopcalc.table import weld_laid
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import forces_on, landings, landings_of
from shopcalc.table.loads import load_cases
from shopcalc.units import magnitude

FOLDER = Path(__file__).parents[2] / "notebooks" / "jobs"
ARCHIVE = (FOLDER / "archive_map_table.toml").read_text(encoding="utf-8")
IN = 0.0254


@cache
def joints_of(text, few=2):
    """Every check about a joint, with the frame solved under a few cases of use and moving."""
    job = read_job(text)
    g = build(job)
    every = list(frame_cases(g, load_cases(job.overrides, public_use=False)))
    use = [c for c in every if c.case.kind == "use"][:few] + [c for c in every if c.case.kind == "handling"][
        :1
    ]
    solved = list(solve_strength(job, g, use))
    return job, g, solved, {c.id: c for c in envelope(weld_checks(job, g, solved))}


def changed(*pairs):
    text = ARCHIVE
    for old, new in pairs:
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    return text


def laid(job, g, joint):
    return weld_laid.Laid.of(job, g, job.joint(joint.kind), landings(g, joint)[0])


# --- four joints a shop meets


def test_a_job_whose_joints_are_all_adequate():
    *_, found = joints_of(ARCHIVE)
    assert {i for i in found if i.endswith("/weld")} == {
        f"joint.{k}/weld" for k in ("post to head", "post to foot", "rail to post", "stretcher to rail")
    }
    assert all(c.verdict == WITHIN for c in found.values())
    words = found["joint.post to foot/weld"].detail
    assert "leg laid 1/8 in" in words and "needs a leg of 1/8 in" in words and "of weld counts" in words
    assert "start and stop in the middle of a flat" in words and "governs" in words


def test_a_face_that_folds_is_told_with_ways_forward():
    thin = changed(
        ("rectangular tube 4 in x 2 in x 7 ga, A513", "rectangular tube 4 in x 2 in x 16 ga, A513")
    )
    *_, found = joints_of(thin)
    face = found["joint.stretcher to rail/face"]
    assert face.verdict != WITHIN and "ways forward" in face.detail


def test_a_weld_larger_than_the_wall_is_told():
    big = changed(
        (
            'post_to_head      = { weld = "fillet all round", leg = "1/8 in"',
            'post_to_head      = { weld = "fillet all round", leg = "1/4 in"',
        )
    )
    *_, found = joints_of(big)
    least = found["joint.post to head/least leg"]
    assert "1/4 in, is larger than the wall of 0.108 in: only the wall counts" in least.detail
    assert wc.BURNS in found["joint.post to head/weld"].cautions
    *_, plain = joints_of(ARCHIVE)  # and it gains nothing
    assert found["joint.post to head/weld"].limit == plain["joint.post to head/weld"].limit


def test_bolts_that_slip_are_told():
    line = next(row for row in ARCHIVE.splitlines() if row.startswith("stretcher_to_rail"))
    loose = changed(
        (
            line,
            'stretcher_to_rail = { bolts = 2, size = "1/4 in", plate = "1/2 in", into = "rivet nut", '
            'rated_allowable = "60 lbf" }',
        )
    )
    *_, found = joints_of(loose)
    clamp = found["joint.stretcher to rail/clamp"]
    assert (
        clamp.verdict == REPORTED
        and "does not hold the shear" in clamp.detail
        and "slides up to" in clamp.detail
    )


# --- by a second route


def test_the_weld_by_the_codes_own_moduli():
    """Greatest of the four corners, from L, S and J of K5 and the frame's forces: no group engine."""
    job, g, solved, found = joints_of(ARCHIVE)
    worst = 0.0
    for j in (j for j in g.joints if j.kind == "post to foot"):
        made = laid(job, g, j)
        b, d, e = made.across, made.along, made.works
        L, S_x, S_y = 2 * d + 2 * e, d**2 / 3 + e * d, d * b + b**2 / 3 - (b - e) ** 3 / (3 * b)
        J = S_x * d / 2 + S_y * b / 2
        for s in solved:
            f = forces_on(s, made.at)
            for x, y in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                z = f.pull / L + y * f.over_along / S_x + x * f.over_across / S_y
                across, along = (
                    f.shear_across / L - y * f.twist * d / 2 / J,
                    f.shear_along / L + x * f.twist * b / 2 / J,
                )
                worst = max(worst, float(np.sqrt(z**2 + across**2 + along**2).max()))
    assert magnitude(found["joint.post to foot/weld"].demand, "N/m") == pytest.approx(worst, rel=1e-9)


def test_the_worked_lines_end_in_the_numbers_of_the_check():
    *_, found = joints_of(ARCHIVE)
    for kind in ("post to foot", "rail to post", "stretcher to rail"):
        check = found[f"joint.{kind}/weld"]
        total = [x for x in check.lines() if x.symbol == "f"][-1]
        assert float(total.result.split()[0].replace(",", "")) == pytest.approx(
            magnitude(check.demand, "lbf/in"), rel=1e-3
        ), kind


# --- what the job may say


def test_ground_welds_carry_what_is_left():
    text = changed(
        (
            'post_to_head      = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }',
            'post_to_head      = { weld = "fillet all round", leg = "1/8 in", filler = "E70", ground = true, '
            'throat_left = "0.03 in" }',
        )
    )
    *_, found = joints_of(text)
    check = found["joint.post to head/weld"]
    assert magnitude(check.limit, "lbf/in") == pytest.approx(0.3 * 70e3 * 0.03, rel=1e-6)
    assert wc.GROUND in check.cautions and "ground to a throat of 0.030 in" in check.detail


@pytest.mark.parametrize(
    "words",
    [
        "ground = true",
        'throat_left = "0.05 in"',
        'flare_sides = true, process = "GTAW"',
        'filler = "E71"',
        'process = "laser"',
    ],
)
def test_half_a_statement_about_a_weld_is_refused(words):
    with pytest.raises(InputError, match="post_to_head"):
        read_job(
            changed(
                (
                    'post_to_head      = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }',
                    f'post_to_head      = {{ weld = "fillet all round", leg = "1/8 in", {words} }}',
                )
            )
        )


def test_a_branch_as_wide_as_its_host_counts_two_sides_unless_they_are_filled():
    bare = changed((', process = "GMAW", flare_sides = true', ""))
    *_, two = joints_of(bare)
    *_, four = joints_of(ARCHIVE)
    name = "joint.rail to post/weld"
    assert "two sides" in two[name].detail and wc.TWO_SIDES in two[name].cautions
    assert wc.FLARE in four[name].cautions and two[name].demand > four[name].demand


def test_stainless_filler_on_carbon_steel_is_refused():
    job = read_job(
        changed(
            (
                'leg = "1/8 in", filler = "E70" }\npost_to_foot',
                'leg = "1/8 in", filler = "E308L" }\npost_to_foot',
            )
        )
    )
    g = build(job)
    j = next(j for j in g.joints if j.kind == "post to head")
    with pytest.raises(InputError, match="308L"):
        laid(job, g, j)


def test_what_limits_a_weld_in_words():
    job, g, *_ = joints_of(ARCHIVE)
    j = next(j for j in g.joints if j.kind == "post to foot")
    made = laid(job, g, j)
    limit = made.allowable("use", "ASD")
    assert made.needed(0.2 * limit, "use", "ASD", "inch")[2] == weld_groups.LIMIT_TABLE
    throat, leg, words = made.needed(3 * limit, "use", "ASD", "inch")
    assert words == weld_groups.LIMIT_WALL
    assert throat == pytest.approx(3 * limit / (0.3 * 70e3 * 6894.757293168361))


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_base_style_has_an_answer_for_each_of_its_joints(name):
    job = read_job(JOBS[name])
    g = build(job)
    for at in landings_of(g, g.joints):
        if not weld_laid.unknown(at):
            made = weld_laid.Laid.of(job, g, job.joint(at.joint.kind), at)
            assert made.allowable("use", "ASD") > 0 and made.group.length[0] > 0
            assert made.works <= made.across * (1 + 1e-12)


def test_what_is_not_worked_out_says_so():
    *_, found = joints_of(JOBS["pipe legs"], 1)
    assert found["joint.rail to leg/weld"].verdict == ASK
    assert {c.verdict for c in found.values()} <= set(VERDICTS)


def test_all_round_needs_room_beside_the_branch():
    assert welds.fits_all_round(2 * IN, 0.1 * IN, 3 * IN, 0.2 * IN)


SQUARE_TUBE, ROUND_TUBE, WIDE_TUBE, BAR = (
    read_stock(words)
    for words in (
        "square tube 2 in x 11 ga, A513",
        "round tube 2 in x 11 ga, A513",
        "round tube 3 in x 11 ga, A513",
        "round bar 1 in, A36",
    )
)


@pytest.mark.parametrize(
    ("branch", "host", "words"),
    [
        (WIDE_TUBE, ROUND_TUBE, "the branch is wider than the round tube"),
        (SQUARE_TUBE, ROUND_TUBE, "a square or rectangular branch on a round tube"),
        (BAR, SQUARE_TUBE, "only tube on tube"),
        (SQUARE_TUBE, BAR, "only tube on tube"),
    ],
)
def test_a_joint_that_is_not_computed_names_its_own_reason(branch, host, words):
    g = joints_of(ARCHIVE)[1]
    at = next(at for at in landings_of(g, g.joints) if not weld_laid.unknown(at))
    other = replace(at, branch=replace(at.branch, tube=branch), host=replace(at.host, tube=host))
    assert weld_laid.unknown(other).startswith(words)


def test_a_bar_at_the_very_end_of_another_is_cautioned():
    """Podiums are frames with corners; the posts of trestles stand along their foot bars."""
    bare = joints_of(JOBS["podiums"])[-1]["joint.bar to post/weld"]
    assert bare.verdict == ASK and "one straight run" in bare.detail and "flare_sides = true" in bare.detail
    filled = joints_of(JOBS["podiums"].replace('filler = "E70"', 'filler = "E70", flare_sides = true'))[-1]
    weld = filled["joint.bar to post/weld"]
    assert wc.AT_THE_END in weld.cautions and wc.ONE_SIDED in weld.cautions and weld.ratio is not None
    assert not any(wc.AT_THE_END in c.cautions for c in joints_of(ARCHIVE)[-1].values())
