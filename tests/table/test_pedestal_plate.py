"""A column on a foot plate: geometry and mass, the plate in bending and the weld of the column, by hand."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import envelope
from shopcalc.errors import InputError
from shopcalc.show.drawing import box_corners
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import forces_on, landings, open_ends
from shopcalc.table.loads import load_cases
from shopcalc.table.weld_laid import Laid, unknown
from shopcalc.units import magnitude

IN, LB = 0.0254, 0.45359237
TEXT = JOBS["pedestal on a plate"]
SIZE = 'length = "26 in", width = "26 in"'


def table(text=TEXT):
    job = read_job(text)
    return job, build(job)


def test_the_plate_weighs_what_it_is_and_stands_on_four_feet():
    job, g = table()
    plate = [m for m in g.members.values() if m.plate is not None]
    # 26 x 26 x 3/4 in of steel at 0.2836 lb/in^3
    assert sum(m.carried_mass for m in plate) / LB == pytest.approx(26 * 26 * 0.75 * 0.2836, rel=1e-3)
    assert sorted(map(tuple, np.round(g.foot_contacts / IN, 6))) == sorted((i * 11.5, j * 11.5) for i in (-1, 1) for j in (-1, 1))
    assert g.members["column"].first[2] / IN == pytest.approx(1 + 0.75)
    corners = box_corners(plate[0])
    assert np.ptp(corners, axis=0) / IN == pytest.approx([26, 26, 0.75])


def test_a_round_plate():
    _, g = table(TEXT.replace(SIZE, 'diameter = "26 in"'))
    plate = [m for m in g.members.values() if m.plate is not None]
    assert sum(m.carried_mass for m in plate) / LB == pytest.approx(np.pi / 4 * 26**2 * 0.75 * 0.2836, rel=1e-3)
    assert np.hypot(*g.foot_contacts.T) / IN == pytest.approx([11.5] * 4)


def test_strips_are_one_piece_and_turn_with_the_column():
    """Four cantilevers from one middle: under a load along the column every foot takes a quarter, and each strip bends as
    F L at the middle."""
    job, g = table()
    t = table_frame(job, g, state="dead weight", joints="rigid", feet="gliding")
    cases = [c for c in frame_cases(g, load_cases(job.overrides)) if c.case.kind == "use"][:1]
    s = next(s for s in solve_strength(job, g, cases) if s.table.feet == "gliding" and s.table.state == "dead weight")
    assert {n for n, _ in t.runs["plate.1"]} == {"plate.1"}
    f = {i: s.answer.end_forces[0, s.answer.frame.member_number[f"plate.{i}"]] / s.factor for i in range(1, 5)}
    reach = np.hypot(11.5, 11.5) * IN
    for i in f:
        assert abs(f[i][4]) == pytest.approx(abs(f[i][2]) * reach, rel=0.02, abs=1.0)  # what weighs on the strip itself beside it
    down = [abs(v[2]) for v in f.values()]
    column = abs(s.answer.end_forces[0, s.answer.frame.member_number[s.table.runs["column"][0][0]]][0]) / s.factor
    assert sum(down) == pytest.approx(column, rel=0.25)


def test_the_weld_of_the_column_by_its_own_flats():
    """4 in square all round on a plate of 26 in: K5 with the plate as the face, sides whole, ends of the other two."""
    job, g = table()
    (at,) = landings(g, next(j for j in g.joints if j.kind == "column to plate"))
    assert unknown(at) == "" and all(e.gap == pytest.approx(11 * IN) for e in open_ends(g, at))
    made = Laid.of(job, g, job.joint("column to plate"), at)
    assert made.off == () and made.across == pytest.approx(4 * IN)
    column, t = g.members["column"], 0.75
    ratio = 10 * t / 26 * 36 * t / (50 * float(column.design.t[0]) / IN)
    assert made.works == pytest.approx(min(ratio, 0.5) * 4 * IN)
    # what it carries is what the column brings: force along the column in its own axes
    cases = [c for c in frame_cases(g, load_cases(job.overrides)) if c.case.kind == "use"][:1]
    solved = list(solve_strength(job, g, cases))
    f = forces_on(solved[0], at)
    e = solved[0].answer.end_forces[0, solved[0].answer.frame.member_number[solved[0].table.runs["column"][0][0]]] / solved[0].factor
    assert f.pull[0] == pytest.approx(-e[0])
    assert np.hypot(f.over_along[0], f.over_across[0]) == pytest.approx(np.hypot(e[4], e[5]))
    checks = {c.id: c for c in envelope(weld_checks(job, g, solved))}
    b, d, w = made.across, made.slant, made.works
    L, S_x, S_y = 2 * d + 2 * w, d**2 / 3 + w * d, d * b + b**2 / 3 - (b - w) ** 3 / (3 * b)
    J = S_x * d / 2 + S_y * b / 2
    worst = 0.0
    for s in solved:
        f = forces_on(s, at)
        for x, y in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            z = f.pull / L + y * f.over_along / S_x + x * f.over_across / S_y
            across, along = f.shear_across / L - y * f.twist * d / 2 / J, f.shear_along / L + x * f.twist * b / 2 / J
            worst = max(worst, float(np.sqrt(z**2 + across**2 + along**2).max()))
    assert magnitude(checks["joint.column to plate/weld"].demand, "N/m") == pytest.approx(worst, rel=1e-9)
    assert "joint.column to plate/face" not in checks


@pytest.mark.parametrize(("old", "new", "field"), [
    (SIZE, 'length = "26 in"', "base.foot_plate"),
    (SIZE, 'diameter = "26 in", width = "26 in"', "base.foot_plate"),
    (SIZE, 'length = "9 in", width = "9 in"', "base.foot_plate"),
    ('foot_plate = { stock = "plate"', 'foot_plate = { stock = "bar"', "base.foot_plate.stock"),
    ('spider = {', 'foot = { stock = "bar", reach = "20 in" }\nspider = {', "base.foot"),
    ('from_end = "1-1/2 in"\n', "", "base.feet.from_end"),
])
def test_plates_that_do_not_fit_are_refused(old, new, field):
    assert old in TEXT
    with pytest.raises(InputError) as told:
        build(read_job(TEXT.replace(old, new)))
    assert told.value.field == field and told.value.example


@pytest.mark.parametrize(("length", "width"), [(26, 26), (40, 16), (18, 44), (60, 14)])
def test_strips_of_a_long_plate_count_no_steel_twice(length, width):
    """The edges of neighbouring strips of width w, an angle a apart, meet w/(2 sin(a/2)) from the middle: never past the
    corner of the 4 in column, 4/sqrt(2) in out."""
    _, g = table(TEXT.replace(SIZE, f'length = "{length} in", width = "{width} in"'))
    strips = [m for m in g.members.values() if m.plate is not None]
    for one in strips:
        least = min(np.arccos(np.clip(one.direction @ o.direction, -1, 1)) for o in strips if o is not one)
        assert one.width / (2 * np.sin(least / 2)) <= 4 / np.sqrt(2) * IN * (1 + 1e-9)
    assert sum(m.carried_mass for m in strips) / LB == pytest.approx(length * width * 0.75 * 0.2836, rel=1e-3)
