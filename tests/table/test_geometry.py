"""One geometry from the job: every place by hand for the archive table, laws that hold for every base style, parts
that do not fit refused, the same table in inches and millimetres."""

import re
from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.errors import InputError
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job, vary
from shopcalc.table.stability import body_of

FOLDER = Path(__file__).parent.parent.parent / "notebooks" / "jobs"
DEMOS = {p.stem: p.read_text(encoding="utf-8") for p in sorted(FOLDER.glob("*.toml"))}
TABLES = {**DEMOS, **JOBS}
IN, LB = 0.0254, 0.45359237


@pytest.fixture(scope="module")
def archive():
    return build(read_job(DEMOS["archive_map_table"]))


@pytest.fixture(scope="module", params=TABLES)
def any_table(request):
    return build(read_job(TABLES[request.param]))


def inches(point):
    return pytest.approx([v * IN for v in point], abs=1e-9)


# --- the archive table by hand -------------------------------------------------------------------
# Trestles 78 in apart; 3 x 2 in bars flat (2 in high); feet 1 in high; base 28-1/4 in; posts 2 in, 22 in apart;
# rail 4 x 2 in upright; stretcher 3 x 2 in upright, its middle 7 in above the floor.


def test_bars_of_the_archive_table_stand_where_the_drawing_says(archive):
    at = {n: (m.first, m.second) for n, m in archive.members.items()}
    assert at["trestle.left.foot"] == (inches((-39, -20, 2)), inches((-39, 20, 2)))
    assert at["trestle.right.head"] == (inches((39, -21, 27.25)), inches((39, 21, 27.25)))
    assert at["trestle.left.post.front"] == (inches((-39, -11, 3)), inches((-39, -11, 26.25)))
    assert at["trestle.right.rail"] == (inches((39, -10, 7)), inches((39, 10, 7)))  # between the faces of the posts
    assert at["stretcher"] == (inches((-38, 0, 7)), inches((38, 0, 7)))  # between the faces of the rails
    assert len(at) == 11


def test_feet_are_the_levellers_and_not_the_ends_of_the_bars(archive):
    assert np.allclose(sorted(map(tuple, archive.foot_contacts)), np.array([(-39, -18.5), (-39, 18.5), (39, -18.5), (39, 18.5)]) * IN)
    assert archive.feet == ("foot.left.front", "foot.left.back", "foot.right.front", "foot.right.back")


def test_top_and_overhang_of_the_archive_table(archive):
    assert (archive.top.underside, archive.top.surface) == inches((28.25, 30.0))
    assert archive.overhang == pytest.approx(24 * IN)
    assert archive.top.area == pytest.approx(126 * 48 * IN**2)
    assert list(archive.top.middle) == inches((0, 0, 29.125))


def test_mass_of_the_archive_table_by_hand(archive):
    """Nominal walls, corners 2t outside and t inside, each less the square by (4 - pi) r^2; steel 490 lb/ft^3."""
    def pounds(b, h, t, length):
        gross = b * h - (4 - np.pi) * (2 * t) ** 2
        hole = (b - 2 * t) * (h - 2 * t) - (4 - np.pi) * t**2
        return (gross - hole) / 144 * 490 * length / 12

    t, thick = 0.120, 0.180
    trestle = pounds(2, 3, thick, 40) + pounds(2, 3, t, 42) + 2 * pounds(2, 2, t, 23.25) + pounds(2, 4, thick, 20)
    pieces = {p.name: p.mass / LB for p in archive.pieces}
    # 490 lb/ft^3 is the round figure of 7850 kg/m^3
    assert pieces["trestle.left"] == pytest.approx(trestle, rel=2e-3) == pieces["trestle.right"]
    assert pieces["stretcher"] == pytest.approx(pounds(2, 3, t, 76), rel=2e-3)
    assert archive.mass == pytest.approx(sum(p.mass for p in archive.pieces))


def test_a_round_top_is_a_disc():
    """Hard maple, 54 in across and 2-1/4 in thick: pi r^2 t times the density of the square top of the same size."""
    g = build(read_job(DEMOS["lighthouse_round_table"]))
    square = build(read_job(DEMOS["lighthouse_round_table"].replace('shape     = "round"', 'shape = "rectangle"')))
    assert g.top.mass == pytest.approx(square.top.mass * np.pi / 4, rel=1e-12)
    assert g.top.area == pytest.approx(np.pi * (27 * IN) ** 2)
    assert g.top.covers(26.9 * IN * np.cos(1.0), 26.9 * IN * np.sin(1.0)) and not g.top.covers(25 * IN, 25 * IN)


# --- laws of every base --------------------------------------------------------------------------


def test_bars_stand_between_floor_and_top(any_table):
    g = any_table
    for m in g.members.values():
        for z in (m.first[2], m.second[2]):
            assert -1e-9 <= z <= g.top.underside + 1e-9, m.name
        half = m.half_depth(np.array([0.0, 0.0, 1.0])) if not m.upright else 0.0
        assert max(m.first[2], m.second[2]) + half <= g.top.underside + 0.0255, m.name
        assert m.length > 0 and m.mass > 0


def test_every_joint_begins_at_the_face_of_its_host(any_table):
    for j in any_table.joints:
        branch, host = any_table.members[j.branch], any_table.members[j.host]
        off = np.subtract(j.place, host.first)
        assert np.linalg.norm(np.cross(off, host.direction)) < 1e-6, "the place lies on the axis of the host"
        if j.end >= 0:
            tip = np.subtract(branch.second if j.end else branch.first, j.place)
            assert np.linalg.norm(tip) == pytest.approx(j.reach, abs=1e-9)
            assert j.reach <= np.hypot(host.height, host.width) / 2 + 1e-6, j.name


def test_every_end_of_every_bar_is_joined_stands_or_is_free_on_purpose(any_table):
    """Each bar is held by something: as a branch, as a host, or by its feet."""
    g = any_table
    held = {name for j in (*g.joints, *g.seams) for name in (j.branch, j.host)}
    assert set(g.members) == held


def test_feet_stand_on_the_floor_under_their_bar(any_table):
    g = any_table
    assert len(g.contacts) >= 3
    for f in g.contacts:
        bar = g.members[f.member]
        assert f.floor[2] == 0
        assert f.place[:2] == pytest.approx(f.floor[:2])
        place = np.clip(bar.place_of(f.place), 0, bar.length)
        assert np.linalg.norm(np.subtract(f.place, bar.point_at(place))) < 1e-6


def test_seats_lie_on_bars_under_the_top(any_table):
    g = any_table
    for s in g.seats:
        bar = g.members[s.member]
        assert g.top.covers(*s.place[:2])
        assert s.place == pytest.approx(bar.point_at(bar.place_of(s.place)))
        assert s.place[2] + bar.half_depth(np.array([0.0, 0.0, 1.0])) == pytest.approx(g.top.underside, abs=0.0255)


def test_pieces_are_all_the_bars_and_the_top_once(any_table):
    g = any_table
    assert sum(p.mass for p in g.pieces) == pytest.approx(g.top.mass + sum(m.carried_mass for m in g.members.values()))
    # Their common centre is that of every bar and the top taken by themselves.
    bodies = [(g.top.mass, g.top.middle), *((m.carried_mass, m.middle) for m in g.members.values())]
    centre = sum(mass * at for mass, at in bodies) / sum(mass for mass, _ in bodies)
    pieces = sum(p.mass * np.array(p.centre) for p in g.pieces) / g.mass
    assert np.allclose(centre, pieces, atol=1e-12)


LOPSIDED = {"C-frames", "points of open shapes"}  # a C leans back; that bench has unlike bars


@pytest.mark.parametrize("name", [n for n in TABLES if n not in LOPSIDED])
def test_a_base_that_is_its_own_mirror_image_has_its_centre_in_the_middle(name):
    g = build(read_job(TABLES[name]))
    body = body_of(g)
    assert np.abs(body.centre[:2]).max() < 1e-9
    assert {tuple(np.round(c, 9) + 0.0) for c in g.foot_contacts * [1, -1]} == {tuple(np.round(c, 9) + 0.0) for c in g.foot_contacts}


def test_a_c_frame_is_heavy_at_its_back():
    g = build(read_job(JOBS["C-frames"]))
    assert body_of(g).centre[1] > 0.001


def test_wood_counts_light_for_standing_and_weighed_as_weighed(archive):
    steel = sum(m.mass for m in archive.members.values())
    assert body_of(archive).weight == pytest.approx((0.9 * archive.top.mass + steel) * 9.80665)
    assert body_of(archive, light=False).weight == pytest.approx(archive.mass * 9.80665)
    weighed = build(read_job(DEMOS["archive_map_table"] + '\n[evidence]\nweighed_top = "270 lb"\n'))
    assert weighed.top.mass == pytest.approx(270 * LB)
    assert body_of(weighed).weight == pytest.approx((270 * LB + steel) * 9.80665)


# --- one table in inches and in millimetres -------------------------------------------------------


def in_millimetres(text: str) -> str:
    """The job with every length in millimetres, exactly; gauges and slopes stay."""
    def swap(match):
        feet, inches, whole, top, bottom = match.groups()
        size = float(inches or 0) + float(whole or 0) + (float(top) / float(bottom) if top else 0) + 12 * float(feet or 0)
        return f'"{size * 25.4:.10g} mm"'

    return re.sub(r'"(?:(\d+) ft (\d+)|(\d+)?(?:-?(\d+)/(\d+))?) in"', swap, text)


def test_the_same_table_in_inches_and_millimetres(archive):
    text = in_millimetres(DEMOS["archive_map_table"])
    assert ' in"' not in text.split("[top]")[1].split("[joints]")[0]
    other = build(read_job(text))
    assert list(other.members) == list(archive.members)
    for name, m in archive.members.items():
        assert np.allclose([m.first, m.second], [other.members[name].first, other.members[name].second], atol=1e-12)
    assert other.mass == pytest.approx(archive.mass, rel=1e-12)
    assert np.allclose(other.foot_contacts, archive.foot_contacts, atol=1e-12)


# --- parts that do not fit ------------------------------------------------------------------------

UNFIT = [
    ("archive_map_table", 'thickness = "1-3/4 in"', 'thickness = "6 in"', None),
    ("archive_map_table", 'width     = "48 in"', 'width = "20 in"', "head.length"),
    ("archive_map_table", 'width     = "48 in"', 'width = "130 in"', "top.width"),
    ("archive_map_table", 'width     = "48 in"', 'width = "6 in"', "top.thickness"),
    ("archive_map_table", 'apart = "78 in"', 'apart = "125 in"', "base.trestles.apart"),
    ("archive_map_table", 'apart = "78 in"', 'apart = "3 in"', "base.trestles.apart"),
    ("archive_map_table", 'foot  = { stock = "foot", length = "40 in"', 'foot  = { stock = "foot", length = "20 in"', "base.trestles.foot.length"),
    ("archive_map_table", 'head  = { stock = "bar", length = "42 in"', 'head  = { stock = "bar", length = "50 in"', "base.trestles.head.length"),
    ("archive_map_table", 'head  = { stock = "bar", length = "42 in"', 'head  = { stock = "bar", length = "23 in"', "base.trestles.head.length"),
    ("archive_map_table", 'apart = "22 in"', 'apart = "3 in"', "base.trestles.posts.apart"),
    ("archive_map_table", ', apart = "22 in"', "", "base.trestles.posts.apart"),
    ("archive_map_table", "count = 2", "count = 1", "base.trestles.posts.apart"),
    ("archive_map_table", 'rail  = { stock = "rail" }', "", "base.trestles.rail"),
    ("archive_map_table", 'above_floor = "7 in"', 'above_floor = "4 in"', "base.stretcher.above_floor"),
    ("archive_map_table", 'above_floor = "7 in"', 'above_floor = "27 in"', "base.stretcher.above_floor"),
    ("archive_map_table", 'from_end = "1-1/2 in"', 'from_end = "20 in"', "base.feet.from_end"),
    ("archive_map_table", 'height = "1 in" ', 'height = "12 in" ', "base.feet.height"),
    ("archive_map_table", 'height = "28-1/4 in"', 'height = "9 in"', "base.height"),
    ("archive_map_table", "square tube 2 in", "square tube 4 in", "base.trestles.posts.stock"),
    ("archive_map_table", 'stock = "bar"\nabove', 'stock = "rail"\nlies = "flat"\nabove', None),
    ("archive_map_table", 'rail  = { stock = "rail" }', 'rail  = { stock = "rail", lies = "flat" }', "base.trestles.rail.stock"),
    ("archive_map_table", "stretcher_to_rail =", "stretcher_to_post =", "joints.stretcher_to_rail"),
    ("archive_map_table", "[loads]", 'bar_to_bar = { weld = "fillet all round", leg = "1/8 in" }\n[loads]', "joints.bar_to_bar"),
    ("lighthouse_round_table", 'width     = "54 in"', 'width = "50 in"', "top.width"),
    ("lighthouse_round_table", 'count = 4, reach = "21 in"', 'count = 4, reach = "28 in"', "base.spider.reach"),
    ("lighthouse_round_table", 'count = 4, reach = "21 in"', 'count = 4, reach = "3 in"', "base.spider.reach"),
    ("lighthouse_round_table", 'from_end = "1-1/2 in"', 'from_end = "30 in"', "base.feet.from_end"),
    ("seed_sorting_bench", 'along  = "1 900 mm"', 'along  = "2 400 mm"', "base.legs.along"),
    ("seed_sorting_bench", 'along  = "1 900 mm"', 'along  = "60 mm"', "base.legs.along"),
    ("seed_sorting_bench", 'across = "780 mm"', 'across = "890 mm"', "base.legs.across"),
    ("seed_sorting_bench", 'above_floor = "180 mm"', 'above_floor = "40 mm"', "base.stretchers.above_floor"),
    ("seed_sorting_bench", 'above_floor = "180 mm"', 'above_floor = "800 mm"', "base.stretchers.above_floor"),
    ("seed_sorting_bench", 'height = "862 mm"', 'height = "190 mm"', "base.height"),
    ("seed_sorting_bench", 'kind   = "leveller"', 'kind   = "leveller"\nfrom_end = "20 mm"', "base.feet.from_end"),
    ("seed_sorting_bench", 'rail = "rectangular tube 60 mm x 40 mm x 3 mm', 'rail = "rectangular tube 80 mm x 60 mm x 3 mm', "base.rails.stock"),
    ("splayed legs", 'splay_along = "2 in"', 'splay_along = "20 in"', "base.legs.splay_along"),
    ("A posts", 'apart_top = "8 in"', 'apart_top = "1 in"', "base.trestles.posts.apart_top"),
    ("X posts", 'apart = "20 in"', 'apart = "3 in"', "base.trestles.posts.apart"),
    ("X posts", "count = 2 }\n[", "count = 1 }\n[", "base.trestles.rail"),
    ("C-frames", 'apart = "56 in"', 'apart = "3 in"', "base.frames.apart"),
    ("C-frames", 'apart = "56 in"', 'apart = "90 in"', "base.frames.apart"),
    ("C-frames", 'from_end = "1-1/2 in"', 'from_end = "16 in"', "base.feet.from_end"),
    ("C-frames", 'length = "28 in"', 'length = "3 in"', "base.frames.head.length"),
    ("C-frames", 'length = "28 in"', 'length = "40 in"', "base.frames.head.length"),
    ("C-frames", 'post_from_back = "4 in"', 'post_from_back = "16 in"', "base.frames.post_from_back"),
    ("podiums", 'width = "28 in"', 'width = "4 in"', "base.podiums.width"),
    ("podiums", 'width = "28 in"', 'width = "40 in"', "base.podiums.width"),
    ("podiums", 'apart = "56 in"', 'apart = "17 in"', "base.podiums.apart"),
    ("podiums", 'apart = "56 in"', 'apart = "70 in"', "base.podiums.apart"),
    ("points", 'height = "30 in"', 'height = "36 in"', "base.height"),
    ("points", 'a = ["-30 in", "-12 in", "0 in"]', 'a = ["-30 in", "-12 in", "8 in"]', "base.points.a"),
    ("points", 'first = "a"', 'first = "z"', "base.bars.leg1.first"),
    ("points", 'standing_on = ["a", "b", "c", "d"]', 'standing_on = ["a", "b"]', "base.standing_on"),
    ("points", 'standing_on = ["a", "b", "c", "d"]', 'standing_on = ["a", "b", "z"]', "base.standing_on"),
    ("points", 'carried_by = ["left", "right", "front", "back"]', 'carried_by = ["leg1", "front"]', "base.carried_by"),
    ("points", 'carried_by = ["left", "right", "front", "back"]', 'carried_by = ["lfet"]', "base.carried_by"),
]


@pytest.mark.parametrize("name, old, new, field", UNFIT, ids=[f"{n}: {f or new}" for n, _, new, f in UNFIT])
def test_parts_that_do_not_fit_are_refused_with_the_field(name, old, new, field):
    text = TABLES[name]
    assert old in text
    changed = read_job(text.replace(old, new, 1))
    if field is None:  # odd, but it can be built
        build(changed)
        return
    with pytest.raises(InputError) as caught:
        build(changed)
    assert caught.value.field.endswith(field) and caught.value.need and caught.value.value


def test_a_change_of_one_input_moves_what_it_should_and_nothing_else(archive):
    job = read_job(DEMOS["archive_map_table"])
    wider = build(vary(job, {"base.trestles.apart": "80 in"}))
    moved = {n for n, m in wider.members.items() if m.first != archive.members[n].first or m.second != archive.members[n].second}
    assert moved == set(archive.members) and wider.members["stretcher"].length == pytest.approx(78 * IN)
    assert wider.members["trestle.left.post.front"].length == archive.members["trestle.left.post.front"].length
    higher = build(vary(job, {"base.height": "30-1/4 in"}))
    for name, m in higher.members.items():
        grew = m.length - archive.members[name].length
        assert grew == pytest.approx(2 * IN if ".post" in name else 0, abs=1e-9)
    thicker = build(vary(job, {"top.thickness": "2 in"}))
    assert thicker.members.keys() == archive.members.keys() and thicker.top.mass == pytest.approx(archive.top.mass * 2 / 1.75)
