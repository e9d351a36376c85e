"""A top that is bevelled underneath: lighter, thinner at its edge, and it must not be cut away over what carries it."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS
from table.test_top import checks_of, opened

from shopcalc.errors import InputError
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.top import Top

PUT = 'thickness = "1-1/2 in"'


def put(width, edge="3/4 in", sides="all", rest=""):
    return [(PUT, f'{PUT}\nundercut = {{ width = "{width}", edge = "{edge}", sides = "{sides}" }}\n{rest}')]


@pytest.mark.parametrize("name, shape, sides", [("trestles", "", "all"), ("trestles", "", "long sides"), ("trestles", "", "ends"),
                                                ("pedestal", 'shape = "round"', "all")])
def test_the_mass_is_that_of_what_is_left(name, shape, sides):
    """The volume by summing the thickness over a fine grid."""
    _, plain, _ = opened(name, put=[(PUT, f"{PUT}\n{shape}")])
    _, g, _ = opened(name, put=put("2 in", sides=sides, rest=shape))
    L, W, t, w, e = g.top.length, g.top.width, g.top.thickness, 2 * 0.0254, 0.75 * 0.0254
    n = 1600
    x, y = np.meshgrid((np.arange(n) + 0.5) / n * L - L / 2, (np.arange(n) + 0.5) / n * W - W / 2, indexing="ij")
    if shape:
        off = L / 2 - np.hypot(x, y)
    else:
        off = {"all": np.minimum(L / 2 - abs(x), W / 2 - abs(y)), "long sides": W / 2 - abs(y), "ends": L / 2 - abs(x)}[sides]
    left = np.where(off > 0, np.minimum(t, e + (t - e) * off / w), 0.0).mean() * L * W
    whole = g.top.area * t
    assert g.top.mass / plain.top.mass == pytest.approx(left / whole, rel=2e-4)


def test_each_cell_is_as_stiff_as_its_wedge():
    """A wedge bends by the mean of its cubes: thickness from 1-1/2 in to 1/2 in over the last 13 in, integrated finely."""
    job, g, cases = opened("trestles", put=put("13 in", edge="1/2 in", sides="ends"))
    top = Top.of(job, g, cases["person-sag"], None)
    h = top.kept.plate.h
    x = top.kept.plate.along.lines
    t, e, w = 1.5, 0.5, 13.0
    for a, b, cell in zip(x[:-1], x[1:], h[:, 0], strict=True):
        s = np.linspace(a, b, 2001) / 0.0254
        left = np.minimum(1.0, (e + (t - e) * np.maximum(42 - abs(s), 0) / w) / t)
        assert cell == pytest.approx(np.cbrt((left**3).mean()), rel=0.01)


def test_it_droops_more_and_is_stressed_more():
    plain, cut = checks_of("trestles"), checks_of("trestles", put=put("13 in", edge="1/2 in", sides="ends"))
    for id in ("top/overhang", "top/stress along"):
        assert float(cut[id].demand.magnitude) > 1.2 * float(plain[id].demand.magnitude), id
    assert any("undercut" in a for a in cut["top/sag"].assumed)


@pytest.mark.parametrize("lines, field", [
    (dict(width="2 in", edge="2 in"), "top.undercut.edge"), (dict(width="20 in"), "top.undercut.width"),
    (dict(width="4 in"), "top.undercut.width"),  # heads reach to 15 in, the edge is at 18
    (dict(width="2 in", rest='pockets.p = { length = "6 in", width = "2 in", depth = "3/8 in", at = ["0 in", "16 in"] }'), "top.pockets.p.at")])
def test_what_cannot_be_is_refused(lines, field):
    text = JOBS["trestles"]
    for old, new in put(**lines):
        text = text.replace(old, new, 1)
    with pytest.raises(InputError) as error:
        build(read_job(text))
    assert error.value.field == field
