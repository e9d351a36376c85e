"""The weld of a branch to its end plate at a bolted joint, by the moduli of its line and the frame's forces."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from shopcalc.check import OVER, WITHIN, envelope
from shopcalc.making.cards import cards
from shopcalc.table.bolts_made import Bolted
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import forces_on, landings, to_open_end
from shopcalc.table.loads import load_cases
from shopcalc.table.plate_weld import NARROW, on_plate
from shopcalc.units import magnitude

IN = 0.0254
ARCHIVE = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(encoding="utf-8")
LINE = next(row for row in ARCHIVE.splitlines() if row.startswith("stretcher_to_rail"))
BOLTED = 'bolts = 4, size = "3/8 in", plate = "1/2 in", apart = "4-1/2 in", across = "2 in", edge = "3/4 in", sleeve = true'


@cache
def joints(bolts):
    job = read_job(ARCHIVE.replace(LINE, f"stretcher_to_rail = {{ {bolts} }}"))
    g = build(job)
    every = list(frame_cases(g, load_cases(job.overrides)))
    solved = list(solve_strength(job, g, [c for c in every if c.case.kind == "use"][:2]))
    return job, g, solved, {c.id: c for c in envelope(weld_checks(job, g, solved))}


def laid(bolts):
    job, g, *_ = joints(bolts)
    (at,) = landings(g, next(j for j in g.joints if j.kind == "stretcher to rail"))
    how = job.joint("stretcher to rail")
    return on_plate(how, Bolted.of(job, how, at, to_open_end(g, at)), at)


def test_the_weld_of_the_plate_by_hand():
    """3 x 2 x 11 ga, 3 in across on a plate 3-1/2 in wide, 2 in along: sides and the half of either run across (K5: branch
    square to its face), E70, 1/8 in least leg held down to the wall of 0.108 in; the wall yields first: 0.6 F_y/1.5."""
    _, g, solved, found = joints(BOLTED)
    check = found["joint.stretcher to rail/plate weld"]
    made = laid(BOLTED)
    b, d, e = made.across, made.along, made.works
    assert (b / IN, d / IN) == pytest.approx((3, 2)) or (b / IN, d / IN) == pytest.approx((2, 3))
    assert e == pytest.approx(b / 2) and made.off == ()
    L, S_x, S_y = 2 * d + 2 * e, d**2 / 3 + e * d, d * b + b**2 / 3 - (b - e) ** 3 / (3 * b)
    J = S_x * d / 2 + S_y * b / 2
    worst = 0.0
    for j in (j for j in g.joints if j.kind == "stretcher to rail"):
        for s in solved:
            f = forces_on(s, landings(g, j)[0])
            for x, y in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                z = f.pull / L + y * f.over_along / S_x + x * f.over_across / S_y
                across = f.shear_across / L - y * f.twist * d / 2 / J
                along = f.shear_along / L + x * f.twist * b / 2 / J
                worst = max(worst, float(np.sqrt(z**2 + across**2 + along**2).max()))
    assert magnitude(check.demand, "N/m") == pytest.approx(worst, rel=1e-9)
    t = made.walls[0].t
    limit = min(0.6 * made.walls[0].F_y / 1.5 * t, 0.6 * made.walls[0].F_u / 2 * t, 0.6 * 70e3 * 6894.757 / 2 * t / np.sqrt(2))
    assert magnitude(check.limit, "N/m") == pytest.approx(limit, rel=1e-6)
    assert check.verdict == WITHIN and "least of table J2.4" in " ".join(check.assumed)


def test_a_leg_of_the_job_is_used_and_a_thin_plate_counts_less():
    said = joints(BOLTED + ', leg = "1/16 in"')[-1]["joint.stretcher to rail/plate weld"]
    plain = joints(BOLTED)[-1]["joint.stretcher to rail/plate weld"]
    assert said.limit < plain.limit and not any("leg not said" in a for a in said.assumed)
    thin = laid(BOLTED.replace('plate = "1/2 in"', 'plate = "0.1 in"'))
    # K1-1: 10 t/B times F_y t/(F_yb t_b) of the width, here of the plate
    t, B = 0.1 * IN, 3.5 * IN
    ratio = 10 * t / B * (36e3 * 6894.757293 * t) / (thin.walls[0].F_y * thin.walls[0].t)
    assert thin.works == pytest.approx(min(ratio, 0.5) * thin.across, rel=1e-6)


def test_a_plate_no_wider_than_the_branch_has_two_runs():
    """2 in bolts in one line on a rail 4 in deep: the plate is as wide as the face lets it be."""
    text = ARCHIVE.replace(next(row for row in ARCHIVE.splitlines() if row.startswith("rail_to_post")),
                           'rail_to_post = { bolts = 2, size = "3/8 in", plate = "1/2 in", apart = "6 in", sleeve = true }')
    job = read_job(text)
    g = build(job)
    (at,) = landings(g, next(j for j in g.joints if j.kind == "rail to post"))
    how = job.joint("rail to post")
    made = on_plate(how, Bolted.of(job, how, at, to_open_end(g, at)), at)
    assert made.off and made.group.length[0] == pytest.approx(2 * made.works) and made.carries
    every = list(frame_cases(g, load_cases(job.overrides)))
    solved = list(solve_strength(job, g, [c for c in every if c.case.kind == "use"][:1]))
    check = {c.id: c for c in envelope(weld_checks(job, g, solved))}["joint.rail to post/plate weld"]
    assert NARROW in check.cautions and "above and below" in check.detail and check.verdict in (WITHIN, OVER)


def test_the_card_says_what_to_weld():
    job, g, _, found = joints(BOLTED)
    card = next(c for c in cards(job, g, found.values()) if c.kind == "stretcher to rail")
    words = next(v for k, v in card.rows if k.startswith("weld of the end plate"))
    assert "1/8 in" in words and "E70" in words
