"""Tapered legs at the edges of what is legal: places that nearly meet, odd sizes, both unit systems."""

import numpy as np
import pytest
from scipy.integrate import quad
from table.bases_for_tests import legs, trestles

from shopcalc.errors import InputError
from shopcalc.making.cards import cards
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_checks import TAPERED_RANGE, sections_of
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.units import magnitude, read_length

STOCK = 'leg = "square tube 2-1/2 in x 3/16 in, A500 C"\nlow = "square tube 1 in x 11 ga, A513"'


def bench(straight: str, above: str = "6 in"):
    job = read_job(legs("Bench", leg="leg", splay=f', taper = {{ to = "1-1/4 in", straight = "{straight}" }}', stock=STOCK,
                        joints="rail_to_leg stretcher_to_leg",
                        stretchers=f'stretchers = {{ shape = "box", stock = "low", above_floor = "{above}" }}'))
    return job, build(job)


# The leg stands from 1 in to 28 in: with 13 in straight it begins to narrow at 15 in.
@pytest.mark.parametrize(("straight", "above"), [("0.001 in", "6 in"), ("0.004 in", "6 in"), ("13 in", "15.001 in"), ("13 in", "14.997 in"),
                                                 ("13 in", "381.1 mm")])
def test_a_kink_a_hair_from_something_else_is_one_place_with_it(straight, above):
    """Nearer than a tenth of a millimetre to a joint or an end: no piece without length, the leg as flexible as the
    integral over its sections."""
    job, g = bench(straight, above)
    leg = g.members["leg.left.front"]
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    starts = [a for _, a in t.runs[leg.name]]
    ends = [*starts[1:], leg.length]
    assert min(np.subtract(ends, starts)) > 1e-3
    numbers = [t.frame.member_number[name] for name, _ in t.runs[leg.name]]
    stepped = sum((b**3 - a**3) / 3 / I for a, b, I in zip(starts, ends, t.sizes.Iy[0, numbers], strict=True))
    true = quad(lambda x: x**2 / float(leg.section_at(x).Ix[0]), 0, leg.length, points=[leg.kink], epsrel=1e-5)[0]
    assert stepped == pytest.approx(true, rel=0.015)


# --- at the bench --------------------------------------------------------------------------------


def rows_of(job, g, kind: str) -> dict:
    return dict(next(c for c in cards(job, g, ()) if c.kind == kind).rows)


def inches(text: str) -> float:
    return float(magnitude(read_length(text), "in"))


def test_a_bar_on_a_leaning_face_is_cut_to_it():
    """The leg narrows by 1-1/4 in over 27 in: each face leans by atan(0.625/27) = 1.33 degrees. A rail 3 in deep with
    square ends would gape by 0.07 in at its foot, more than the 1/16 in that a fillet takes. 12 in down the leg and 16 in along the rail
    stand sqrt(400 + 2 x 12 x 16 x sin 1.33) = 20.22 in apart, not 20."""
    rows = rows_of(*bench("0 in"), "rail to leg")
    cuts = [v for k, v in rows.items() if k.startswith("cut")]
    assert len(cuts) == 2 and all("cut 1.3 degrees and 1.3 degrees off square" in c for c in cuts)
    for cut in cuts:
        axis, point = (inches(w) for w in (cut.partition(" on its axis")[0], cut.partition("axis, ")[2].partition(" from long")[0]))
        assert point - axis == pytest.approx(3 * 0.625 / 27, abs=1 / 16)
    square = next(v for k, v in rows.items() if k.startswith("square"))
    assert inches(square.partition(" across the open")[0].rpartition(", ")[2]) == pytest.approx(20.22, abs=1 / 16)
    assert inches(square.partition(" across the sharp")[0].rpartition(": ")[2]) == pytest.approx(19.77, abs=1 / 16)


def test_a_bar_on_the_straight_head_is_cut_square():
    """Rails 3 in deep on 4 in of straight head; stretchers further down on the taper of 1-1/4 in over 23 in."""
    job, g = bench("4 in")
    rows = rows_of(job, g, "rail to leg")
    assert all("both ends square" in v for k, v in rows.items() if k.startswith("cut"))
    assert all(v.endswith(": 20 in across") for k, v in rows.items() if k.startswith("square"))
    low = rows_of(job, g, "stretcher to leg")
    assert all("cut 1.6 degrees" in v for k, v in low.items() if k.startswith("cut"))


def test_a_tapered_post_is_cut_square_and_measured_along_its_leaning_sides():
    """From 2 in to 1-1/4 in over the 23 in between foot bar and head bar: its sides lean by atan(0.375/23) = 0.93 degrees over the foot
    bar: sqrt(400 - 2 x 12 x 16 x sin 0.93) = 19.84 in; away from the head bar: 20.16 in."""
    text = trestles("Tapered", 'count = 2, apart = "16 in", taper = { to = "1-1/4 in" }',
                    "post_to_foot post_to_head rail_to_post stretcher_to_rail", rail=True).replace('rail = { stock = "bar" }', 'rail = { stock = "slim" }').replace(
        'stretcher = { stock = "bar"', 'stretcher = { stock = "slim"').replace(
        "[top]", 'slim = "square tube 1-1/4 in x 11 ga, A513"\n[top]', 1)
    job = read_job(text)
    g = build(job)
    assert g.members["trestle.left.post.front"].length / 0.0254 == pytest.approx(23)
    for kind, across in (("post to foot", 19.84), ("post to head", 20.16)):
        rows = rows_of(job, g, kind)
        assert rows["cut"].endswith("both ends square")
        assert inches(rows["square"].partition(" across")[0].rpartition(": ")[2]) == pytest.approx(across, abs=1 / 16)


# --- what fits -----------------------------------------------------------------------------------


def low_bench(rail: str) -> str:
    return legs("Low bench", leg="leg", splay=', taper = { to = "28 mm" }', height="400 mm", along="1200 mm", across="700 mm",
                stock=f'leg = "square tube 70 mm x 4 mm, EN 10219 S235"\ndeep = "rectangular tube {rail} x 4 mm, EN 10219 S235"').replace(
        'rails = { stock = "bar" }', 'rails = { stock = "deep" }').replace('height = "1 in"', 'height = "25 mm"')


def test_a_deep_rail_must_fit_the_face_at_its_lower_edge():
    """70 mm down to 28 mm over 375 mm: 64.4 mm at the middle of a rail 100 mm deep, 58.8 mm at its lower edge. 60 mm wide it hangs
    over there; 50 mm wide it fits."""
    with pytest.raises(InputError) as caught:
        build(read_job(low_bench("100 mm x 60 mm")))
    assert caught.value.field == "base.rails.stock" and "face it is joined to" in caught.value.need
    g = build(read_job(low_bench("100 mm x 50 mm")))
    assert g.members["leg.left.front"].at(0.375 - 0.1).width == pytest.approx(0.0588, abs=1e-6)


def test_a_post_that_tapers_must_fit_the_foot_bar_with_its_foot():
    """Post 3 in at the head bar, 2 in at the foot bar; bars 3 in and 2 in wide. A straight post of 3 in does not fit the foot bar."""
    text = trestles("Tapered", 'count = 2, apart = "16 in", taper = { to = "2 in" }', "post_to_foot post_to_head rail_to_post stretcher_to_rail", rail=True)
    text = text.replace('trestles.posts = { stock = "post"', 'trestles.posts = { stock = "big"').replace(
        'trestles.foot = { stock = "bar", length = "30 in", lies = "flat" }', 'trestles.foot = { stock = "bar", length = "30 in" }').replace(
        "[top]", 'big = "square tube 3 in x 3/16 in, A500 C"\n[top]', 1).replace(
        'rail = { stock = "bar" }', 'rail = { stock = "post" }').replace('stretcher = { stock = "bar"', 'stretcher = { stock = "post"')
    g = build(read_job(text))
    assert g.members["trestle.left.foot"].width == pytest.approx(2 * 0.0254) == pytest.approx(g.members["trestle.left.post.front"].at(0.0).width)
    with pytest.raises(InputError, match="2 in face it is joined to"):
        build(read_job(text.replace(', taper = { to = "2 in" }', "")))


def test_the_length_for_buckling_can_be_followed():
    """The length in the worked line is longer than the leg: its range says by what. 27 in and a foot of 1-1/4 in: I of a square tube with
    corners, by its parts, at the place that counts and at the foot."""
    assert TAPERED_RANGE.endswith("L_c = L times the root of I there over I of the foot")
    leg = bench("0 in")[1].members["leg.left.front"]
    places = [0.0, leg.length / 2]
    _, lengths = sections_of(leg, places)

    def second_moment(b, t):  # outside less inside, round corners of 2 t and t taken off
        def block(b, r):
            a, c = (1 - np.pi / 4) * r**2, r * (10 - 3 * np.pi) / (3 * (4 - np.pi))
            return b**4 / 12 - 4 * (r**4 * (1 / 3 - np.pi / 16 - 1 / (9 * (4 - np.pi))) + a * (b / 2 - c) ** 2)
        return block(b, 2 * t) - block(b - 2 * t, t)

    t = 0.93 * 3 / 16
    assert lengths.L_cx[1] / 0.0254 == pytest.approx(27 * np.sqrt(second_moment(1.875, t) / second_moment(1.25, t)), rel=1e-6)
