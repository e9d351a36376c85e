"""The three controls moved from Python: the number they show is the one that plain sums give."""

import io
import re

import numpy as np
import pytest
from notebook_kit import FOLDER
from PIL import Image

from shopcalc.show.pages import open_table
from shopcalc.stock.tubes import read_tube, tube_sections

GRAVITY = 9.80665
INCH, LBF = 0.0254, 4.4482216152605
JOB = FOLDER / "jobs" / "archive_map_table.toml"


@pytest.fixture(scope="module")
def table():
    return open_table(JOB)


def said(control, pattern):
    """The number that the words of a control give."""
    return float(re.search(pattern, control.text.value)[1].replace(",", ""))


def picture(control):
    return np.asarray(Image.open(io.BytesIO(control.picture.value)).convert("L"))


def set_to(control, **words):
    for name, value in words.items():
        control.settings[name].widget.value = value


def bar(words):
    """E, I, shear stiffness and own weight (SI) of a tube of the stock list."""
    tube = read_tube(words)
    counted, bought = tube_sections([tube], "design"), tube_sections([tube], "nominal")
    E, G = (float(v.to("Pa").magnitude) for v in (tube.steel.E, tube.steel.G))
    return tube, counted, E, float(counted.Ix[0]), G * float(counted.Av_x[0]), float(bought.mass_per_length[0]) * GRAVITY


@pytest.mark.parametrize(("ends", "even", "point", "even_shear", "point_shear"), [
    ("free to turn at both ends", 5 / 384, 1 / 48, 1 / 8, 1 / 4),
    ("built in at both ends", 1 / 384, 1 / 192, 1 / 8, 1 / 4),
    ("held at one end only", 1 / 8, 1 / 3, 1 / 2, 1.0)])
def test_sag(table, ends, even, point, even_shear, point_shear):
    """Closed forms of the handbooks: bending, and the shear that is added to it."""
    control = table.sag_control
    before = control.picture.value
    set_to(control, ends=ends, span="96 in", load="450 lbf")
    _, _, E, I, GA, w = bar("rectangular tube 3 in x 2 in x 11 ga, A513")  # noqa: E741
    L, P = 96 * INCH, 450 * LBF
    by_hand = (even * w * L**4 + point * P * L**3) / (E * I) + (even_shear * w * L**2 + point_shear * P * L) / GA
    assert said(control, r"sag (\d+\.\d+) in") == pytest.approx(by_hand / INCH, abs=0.00501)
    verdict = "Over limit" if by_hand > L / 360 else "Within limit"
    assert verdict in control.text.value
    assert control.picture.value != before


def test_which_tube(table):
    control = table.tube_control
    before = picture(control)
    set_to(control, size="square 2 in", wall="14 ga", span="60 in", load="200 lbf")
    tube, section, E, I, _, w = bar("square tube 2 in x 14 ga, A513")  # noqa: E741
    L, P = 60 * INCH, 200 * LBF
    moment = P * L / 4 + w * L**2 / 8
    sag = 5 * w * L**4 / (384 * E * I) + P * L**3 / (48 * E * I)
    yields = float(tube.steel.Fy.to("Pa").magnitude) * float(section.Zx[0])  # compact: flat over wall is under 33
    assert float(section.flat_b[0] / section.t[0]) < 33
    assert said(control, r"bending (\d+\.\d+)") == pytest.approx(moment / (yields / 1.67), abs=0.0101)
    assert said(control, r"L/360 (\d+\.\d+)") == pytest.approx(sag / (L / 360), abs=0.0101)
    assert picture(control).shape == before.shape and not np.array_equal(picture(control), before)


def test_going_over(table):
    """Moments about the line of the right feet, piece by piece."""
    control = table.tipping_control
    before = picture(control)
    set_to(control, overhang="30 in", load="400 lbf")
    pieces = table.geometry.pieces
    # wood counts 10 % light; the stretcher gets 2 x 6 in shorter, of 76 in
    count = {"top": 0.9, "stretcher": 64 / 76}
    weights = [p.mass * count.get(p.name, 1.0) * GRAVITY for p in pieces]
    height = sum(w * p.centre[2] for w, p in zip(weights, pieces, strict=True)) / sum(weights)
    # the floor falls 1/8 in/ft: what stands 30 in high, and the middle of the table, lean out by 1/96 of their height
    inward, outward = (63 - 30) * INCH - height / 96, 30 * INCH + 30 * INCH / 96
    by_hand = sum(weights) * inward / outward
    assert said(control, r"goes over under ([\d,]+\.?\d*) lbf") == pytest.approx(by_hand / LBF, rel=5e-4)
    assert "a corner of the top" in control.text.value
    assert not np.array_equal(picture(control), before)


def test_what_a_page_works_out_alone_is_what_the_whole_assessment_says(table):
    pages = open_table(JOB)
    alone = [pages.check("stretcher/sag"), *pages.standing]
    assert "assessment" not in vars(pages), "the whole frame was worked out for it"
    for check in alone:
        whole = table.assessment.check(check.id)
        assert (check.verdict, check.ratio, check.case) == (whole.verdict, pytest.approx(whole.ratio, rel=1e-9), whole.case)


@pytest.mark.parametrize("name", ["tube_control", "sag_control", "tipping_control"])
def test_the_quick_picture_looks_as_a_full_painting_does(table, name):
    control = getattr(table, name)
    for index in (1, 4, 2):
        control.settings["load"].widget.index = index
    quick = picture(control).astype(int)
    drawing = control._drawing
    for artist in drawing.moving():
        artist.set_animated(False)
    canvas = drawing.ax.figure.canvas
    canvas.draw()
    full = np.asarray(Image.fromarray(np.asarray(canvas.buffer_rgba())[:, :, :3]).convert("L")).astype(int)
    # letters may stand a part of a pixel aside
    assert quick.shape == full.shape and (abs(quick - full) > 100).mean() < 0.004
