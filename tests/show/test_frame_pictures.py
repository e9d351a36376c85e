"""The base in lines: labels apart, the stated scale, the numbers given; shapes and the page of the wobble."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from show.test_show_pictures import assert_readable, texts

from shopcalc.check import OUTSIDE, OVER, REPORTED, WITHIN, Check
from shopcalc.errors import InputError
from shopcalc.show import frame_pictures as pictures
from shopcalc.show.wobble import WobblePages, push_test_sheet
from shopcalc.table import wobble
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_checks import families
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.job import load_job
from shopcalc.table.names import kind_of, words_of
from shopcalc.units import Q

JOBS = sorted((Path(__file__).parents[2] / "notebooks" / "jobs").glob("*.toml"))


@cache
def page(path):
    return WobblePages(load_job(path))


@pytest.fixture(params=JOBS, ids=lambda p: p.stem)
def table(request):
    return page(request.param)


@pytest.fixture
def archive():
    return page(next(p for p in JOBS if p.stem.startswith("archive")))


def shown(picture):
    return " ".join(t.get_text().replace("\n", " ") for t in texts(picture.figure))


def test_base_names_every_family_and_is_readable(table):
    found = families(table.geometry)
    picture = pictures.base_lines(table.geometry, found, system=table.system)
    assert_readable(picture.figure)
    assert all(kind_of(name) in shown(picture) and words_of(name) in picture.caption for name in found)


def test_deflected_shape_states_its_scale(table):
    for sway in table.sways.values():
        shape = wobble.shape_of(sway.most_state, table.geometry)
        picture = pictures.deflected(table.geometry, shape, words="a push", system=table.system)
        assert_readable(picture.figure)
        times = pictures.scale_of(shape.largest, max(table.geometry.top.length, table.geometry.top.width))
        said = f"drawn {times:,.0f} times too large"
        assert said in shown(picture) and said in picture.caption


def test_deflected_lines_are_drawn_at_the_stated_scale(archive):
    shape = wobble.shape_of(archive.sways["along"].most_state, archive.geometry)
    picture = pictures.deflected(archive.geometry, shape, words="a push")
    at, to = shape.bars["stretcher"]
    times = int(shown(picture).split("drawn ")[1].split()[0])
    expected = pictures.flat(at) + times * (pictures.flat(to) - pictures.flat(at))
    lines = [np.column_stack(line.get_data()) for line in picture.axes[0].lines]
    assert any(len(line) == len(expected) and np.allclose(line, expected) for line in lines)


def test_scale_is_one_two_or_five_and_never_too_large():
    for largest in np.geomspace(1e-6, 1.0, 57):
        times = pictures.scale_of(largest, 2.0)
        assert float(f"{times:e}".split("e")[0]) in (1, 2, 5)
        assert pictures.DRAWN * 2.0 / 2.51 <= times * largest <= pictures.DRAWN * 2.0 * 1.0001
    assert pictures.scale_of(0.0, 2.0) == 1.0


def check(name, ratio, verdict, kind="use"):
    return Check(id=f"{name}/strength", name=name, about=name, kind=kind, verdict=verdict, ratio=ratio, source="statics")


def test_used_shares_stand_beside_the_bars(table):
    found = families(table.geometry)
    names = list(found)
    checks = [check(names[0], 1.23, OVER), check(names[1], 0.34, WITHIN), check(names[1], 0.9, WITHIN, "information"),
              *(check(n, None, OUTSIDE) for n in names[2:])]
    picture = pictures.used_lines(table.geometry, found, checks, system=table.system)
    assert_readable(picture.figure)
    words = shown(picture)
    assert "1.23 strength, over limit" in words and "0.34 strength" in words and "0.90" not in words
    assert words.count(OUTSIDE) == len(names) - 2
    widths = {round(line.get_linewidth(), 6) for line in picture.axes[0].lines if line.get_linestyle() == "-"}
    assert pictures.THICK in widths and round(pictures.THIN + 0.34 * (pictures.THICK - pictures.THIN), 6) in widths


def test_a_family_without_a_judged_check_says_so(archive):
    found = families(archive.geometry)
    picture = pictures.used_lines(archive.geometry, found, [check("stretcher", None, REPORTED)])
    assert shown(picture).count("not checked") == len(found)


def test_moments_of_every_bar_are_told(table):
    moments = wobble.moments_of(table._worst.most_state, table.geometry)
    picture = pictures.moment_lines(table.geometry, moments, words="pushed", system=table.system)
    assert_readable(picture.figure)
    assert set(moments) == set(table.geometry.members)
    assert all(words_of(name) in picture.caption for name in moments)


# --- what is drawn is what the frame did -------------------------------------------------------------


def test_shape_ends_where_the_nodes_go(table):
    """The upper end of a bar by its own curve and by the displacement and turn of its node."""
    for sway in table.sways.values():
        s = sway.most_state
        shape = wobble.shape_of(s, table.geometry)
        for seat, node in zip(table.geometry.seats, s.table.seat_nodes, strict=True):
            at, to = shape.bars[seat.member]
            k = int(np.argmin(np.linalg.norm(at - seat.place, axis=1)))
            if np.linalg.norm(at[k] - seat.place) > 1e-6 or s.table.joints != "rigid" and "leg" in node:
                continue
            moved = [float(s.answer.displacement(node, w)[0]) for w in "xyz"]
            assert np.allclose(to[k] - at[k], moved, atol=2e-6 + 2e-3 * shape.largest)


def test_sway_of_the_page_is_that_of_the_checks(table):
    checks = {c.id.rpartition(" ")[2]: c for c in table.wobble_checks if c.id.startswith("base/sway")}
    assert set(checks) == set(table.sways)
    for way, s in table.sways.items():
        assert float(checks[way].demand.to("m").magnitude) == pytest.approx(float(s.most.to("m").magnitude), rel=1e-9)
        assert s.least <= s.most


def test_stiffness_parts_sum_to_the_whole_sway(table):
    """In a linear frame every part of the flexibility is some bar's or some joint's: a tenth more stiffness of everything
    takes 1 - 1/1.1 off the sway; wood that ties the seats and second order take little."""
    for s in table.sways.values():
        parts = wobble.moves_it_most(table.job, table.geometry, s)
        assert 0.8 * (1 - 1 / 1.1) < sum(parts.values()) < 1.05 * (1 - 1 / 1.1)


def test_uprights_by_hand(archive):
    """P h^3 / (12 E I n) by pencil: 50 lbf on four 2 in posts of 23-1/4 in."""
    count, half = wobble.posts_by_hand(archive.job, archive.geometry, Q(50, "lbf"), "across")
    t = 0.108
    # A sharp tube less what its rounded corners (2t outside, 1t inside) leave out, about 0.93 in from the axis.
    inertia = (2.0**4 - (2.0 - 2 * t) ** 4) / 12 - (4 - np.pi) * ((2 * t) ** 2 - t**2) * 0.93**2
    tip = 2 * float(half.largest("sag", "down")[0].to("inch").magnitude)
    assert count == 4
    assert tip == pytest.approx(50 * 23.25**3 / (12 * 29e6 * inertia * 4), rel=0.02)
    assert wobble.posts_by_hand(archive.job, archive.geometry, Q(50, "lbf"), "along") is None


def test_shape_of_factored_loads_is_refused(archive):
    every = list(frame_cases(archive.geometry, archive.cases))
    with pytest.raises(InputError, match="service loads"):
        wobble.shape_of(next(solve_strength(archive.job, archive.geometry, every)), archive.geometry)


# --- the page ----------------------------------------------------------------------------------------


def test_answer_says_range_and_that_no_limit_is_published(table):
    words = table.wobble_answer().plain
    for s in table.sways.values():
        assert f"{table._moved(s.least)} to {table._moved(s.most)} {s.case.where}" in words
    assert "no published limit" in words and "Hz" in words


def test_push_test_sheet_has_blanks_and_how_to_type_the_limit(table):
    sheet = push_test_sheet(table.job, table._push)
    assert "house_sway = " in sheet.plain and "house_sway_dated = " in sheet.plain and "______" in sheet.plain
    assert table._load in sheet.plain and "<table" in sheet.html


def test_what_the_sheet_says_to_type_is_read(archive, tmp_path):
    text = next(p for p in JOBS if p.stem.startswith("archive")).read_text()
    typed = push_test_sheet(archive.job, archive._push).plain.split("[limits]\n")[1]
    head, mark, tail = text.partition("\n[limits]")
    made = tmp_path / "job.toml"
    assert mark, "the demo job has limits of its own: the lines are added to them"
    first, rest = tail.split("\n", 1)
    made.write_text(f"{head}{mark}{first}\n{typed}\n{rest}")
    limits = load_job(made).model.limits
    assert float(limits.house_sway.to("inch").magnitude) == pytest.approx(0.10)
    judged = [c for c in WobblePages(load_job(made)).wobble_checks if c.limit is not None]
    assert len(judged) == 3
