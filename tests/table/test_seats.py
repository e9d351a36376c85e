"""How loads on the top reach the seats: sizes and places kept, the part of the top that loads one trestle most, pushes at
the height where they act."""

from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.table import seats
from shopcalc.table.frame_cases import Loader, frame_cases
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.units import magnitude

FOLDER = Path(__file__).parent.parent.parent / "notebooks" / "jobs"
ARCHIVE = (FOLDER / "archive_map_table.toml").read_text(encoding="utf-8")
TABLES = {"archive": ARCHIVE, **{n: JOBS[n] for n in ("one post", "four legs", "pedestal", "C-frames", "podiums", "points")}}
IN, LBF = 0.0254, 4.4482216152605


@pytest.fixture(scope="module", params=TABLES)
def loaded(request):
    g = build(read_job(TABLES[request.param]))
    return g, Loader.of(g)


def moments(g, forces):
    """Force and moments about the floor origin of forces (s, 3) at the seats."""
    places = np.array([s.place for s in g.seats])
    return forces.sum(axis=0), np.cross(places, forces).sum(axis=0)


def test_parts_of_a_load_add_up_and_keep_its_place(loaded):
    g, load = loaded
    rng = np.random.default_rng(1)
    places = rng.uniform(-0.5, 0.5, (60, 2)) * [g.top.length, g.top.width]
    weights = load.shared.weights(places)
    assert np.allclose(weights.sum(axis=1), 1)
    assert np.allclose(weights @ load.shared.seats, places, atol=1e-9)


def test_own_weight_of_the_top_acts_in_its_middle(loaded):
    g, load = loaded
    total, turn = moments(g, load.own())
    assert total == pytest.approx([0, 0, -g.top.mass * 9.80665], rel=1e-9)
    assert turn[:2] == pytest.approx([0, 0], abs=1e-6 * g.top.mass)


@pytest.mark.parametrize("way", [(1, 0, 0), (0, 1, 0), (-0.6, 0.8, 0)])
def test_a_push_at_the_top_has_its_size_and_its_lever_above_the_seats(loaded, way):
    g, load = loaded
    total, turn = moments(g, load.push(100.0, np.array(way, float), height=g.top.surface))
    centre = np.array([*load.shared.seats.mean(axis=0), g.top.surface])
    assert total == pytest.approx(100 * np.array(way, float), abs=1e-9)
    assert turn == pytest.approx(np.cross(centre, 100 * np.array(way, float)), abs=1e-9)


def test_every_part_of_the_top_that_may_be_loaded_alone_is_tried_for_each_trestle():
    """A stiff strip on two trestles: the right one carries most where all but the left overhang is loaded, w b (e + h)^2 / 4h
    with e half the top and h half the distance of the trestles: more than half of the whole top."""
    g = build(read_job(ARCHIVE))
    load = Loader.of(g)
    x = load.shared.seats[:, 0]
    half, end, width = 39 * IN, 63 * IN, 48 * IN
    for side in (1, -1):
        carried = {n: load.cells.spread(1.0, mask)[side * x > 0].sum() for n, mask in seats.patterns(g, load.cells).items()}
        worst = max(carried, key=carried.get)
        assert worst == f"all but the {'left' if side > 0 else 'right'} overhang"
        assert carried[worst] == pytest.approx(width * (end + half) ** 2 / (4 * half), rel=1e-3)
        assert carried[worst] > 1.05 * carried["the whole top"]
        lift = min(carried, key=carried.get)  # and what lifts it most
        assert lift == f"the {'left' if side > 0 else 'right'} overhang" and carried[lift] < 0


def test_load_cases_stand_where_the_load_table_says():
    """Sizes of the forces of every case against the load table: nothing is lost on the way."""
    job = read_job(ARCHIVE)
    g = build(job)
    cases = load_cases(job.overrides)
    own = g.top.mass * 9.80665
    for c in frame_cases(g, cases):
        down, level = -c.seats[:, 2].sum() - own, np.linalg.norm(c.seats[:, :2].sum(axis=0))
        if c.case.id in ("person-strength", "person-sag", "proof"):
            assert down == pytest.approx(300 * LBF, rel=1e-9) and level == pytest.approx(0, abs=1e-9)
        elif c.case.id == "two-persons-strength":
            assert down == pytest.approx(400 * LBF, rel=1e-9)
        elif c.case.id == "lean-and-push-strength":
            assert down == pytest.approx(200 * LBF, rel=1e-9) and level == pytest.approx(50 * LBF, rel=1e-9)
        elif c.case.id == "shove":
            assert down == pytest.approx(0, abs=1e-6) and level == pytest.approx(100 * LBF, rel=1e-9)
        elif c.case.id.startswith("standing-on-stretcher"):
            assert sum(c.stretchers.values()) == pytest.approx(300 * LBF, rel=1e-9)
        elif c.case.id in ("everyday-spread", "severe-spread") and c.where == "on the whole top":
            assert down == pytest.approx(magnitude(c.case.value, "Pa") * g.top.area, rel=1e-9)


@pytest.mark.parametrize("count", [4, 7, 19, 40, 70])
def test_triangles_are_those_of_another_library(count):
    from scipy.spatial import Delaunay

    from shopcalc.table.seats import triangles_of

    places = np.random.default_rng(count).normal(size=(count, 2)) * [1.2, 0.4]
    assert {tuple(sorted(t)) for t in triangles_of(places).tolist()} == {tuple(sorted(t)) for t in Delaunay(places).simplices.tolist()}


def test_a_load_amid_four_seats_on_a_circle_is_shared_by_all_four_alike():
    """Either diagonal would carry it: neither is preferred, so a table that looks alike from all sides is loaded so."""
    from shopcalc.table.seats import Sharing, _mirrors, triangles_of

    places = np.array([[0.3, 0.0], [0.0, 0.3], [-0.3, 0.0], [0.0, -0.3]])
    one, other = (triangles_of(places, way) for way in (1, -1))
    assert {tuple(sorted(t)) for t in one.tolist()} != {tuple(sorted(t)) for t in other.tolist()}
    shared = Sharing(places, (one, other), _mirrors(places))
    assert shared.weights([[0.0, 0.0]])[0] == pytest.approx([0.25] * 4, abs=1e-9)
    assert len(triangles_of(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]) * [1, 0])) == 0
