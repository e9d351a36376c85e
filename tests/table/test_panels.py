"""Sheet of podiums: as stiff as the shear panel it stands for, more with better fixings, and no strength counts on it."""

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.mechanics.frames import Frame, Member, NodeLoad, Support, solve
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_cases import Loader, frame_cases
from shopcalc.table.frame_checks import sway_checks
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.panels import COUNTED, diagonal_area, diagonals, panel_stiffness
from shopcalc.units import Q


def test_stiffness_of_a_panel_by_its_shear_strain():
    """1 kN along a steel sheet 1 mm thick, 0.5 m wide and 1 m high: strain 1 000/(81e9 x 0.001 x 0.5), times 1 m; all of it
    counted."""
    k = panel_stiffness(eta=Q(1, ""), G=Q(81, "GPa"), t=Q(1, "mm"), b=Q(0.5, "m"), h=Q(1, "m"))
    assert (Q(1, "kN") / k).to("m").magnitude == pytest.approx(1000 / (81e9 * 0.001 * 0.5), rel=1e-12)


@pytest.mark.parametrize(("b", "h"), [(0.4, 0.7), (0.7, 0.7), (0.9, 0.5)])
def test_two_diagonals_move_as_the_panel_would(b, h):
    """By the frame: a hinged rectangle of very stiff bars, held at its foot, with the two diagonals in it."""
    E, k = 200e9, 4e6
    A = diagonal_area.si(k=k, E=E, b=b, h=h)
    points = {"a": (0, 0, 0), "b": (b, 0, 0), "A": (0, 0, h), "B": (b, 0, h)}
    bars = ["a-A", "b-B", "A-B", "a-B", "b-A"]
    members = [Member(n, *n.split("-"), free_first="ry rz", free_second="ry rz") for n in bars]
    frame = Frame(tuple(points), tuple(members), (Support("a", "x y z rx ry rz"), Support("b", "x y z rx ry rz"), Support("A", "y rx ry rz"),
                                                  Support("B", "y rx ry rz")), loads=(NodeLoad("A", "x"), NodeLoad("B", "x")))
    areas = np.array([1e3, 1e3, 1e3, A, A])
    answer = solve(frame, frame.sizes(points=np.array(list(points.values())), A=areas, Iy=1e-8, Iz=1e-8, J=1e-8, E=E, G=E / 2.6, load=500.0),
                   order="first")
    assert answer.displacement("A", "x")[0] == pytest.approx(1000.0 / k, rel=1e-6)


def sways(text: str) -> dict[str, str]:
    job = read_job(text)
    g = build(job)
    cases = load_cases()
    every = list(frame_cases(g, {"push-for-wobble": cases["push-for-wobble"]}))
    return {c.id: c for c in sway_checks(job, g, every)}


def test_bare_and_clad_stand_side_by_side_and_the_bare_frame_counts():
    clad, bare = sways(JOBS["podiums"]), sways(JOBS["podiums"].replace(', sheet = "0.0598 in"', ""))
    for id, check in clad.items():
        assert "shear panels (screwed, 20 % of G t)" in check.detail and any("fixings" in c for c in check.cautions)
        assert "shear panels" not in bare[id].detail
        assert check.demand.magnitude == pytest.approx(bare[id].demand.magnitude, rel=1e-4)  # its weight leans a little


def test_better_fixings_sway_less():
    g = build(read_job(JOBS["podiums"]))
    moved = {}
    for fixing in (None, *COUNTED):
        job = read_job(JOBS["podiums"] if fixing is None else JOBS["podiums"].replace('0.0598 in"', f'0.0598 in", fixing = "{fixing}"'))
        g = build(job)
        t = table_frame(job, g, state="sliding", joints="soft", feet="gripping", sheet=fixing is not None)
        assert len(diagonals(job, g)) == 16
        load = np.zeros((1, 3 * len(t.frame.nodes)))
        for node, force in zip(t.seat_nodes, Loader.of(g).push(200.0, np.array([1.0, 0, 0])), strict=True):
            load[0, 3 * t.frame.node_number[node]:][:3] += force
        answer = solve(t.frame, t.sizes.replaced(load=load, load_to=load), order="first")
        moved[fixing] = float(answer.displacement(t.seat_nodes[0], "x")[0])
    assert 0 < moved["welded all round"] < moved["screwed"] < moved["taped"] < moved[None]


def test_the_sheet_is_weighed_on_every_side_of_both_podiums():
    """By hand: 2 x (16 + 28) in around, 27 in tall from foot to top, 0.0598 in of steel at 490 lb/ft^3, in the middle of the box."""
    clad, bare = (build(read_job(t)) for t in (JOBS["podiums"], JOBS["podiums"].replace(', sheet = "0.0598 in"', "")))
    one = 2 * (16 + 28) * 27 * 0.0598 * 0.0254**3 * 490 * 0.45359237 / 0.3048**3
    for side in ("left", "right"):
        here, without = (next(p for p in g.pieces if p.name == f"podium.{side}") for g in (clad, bare))
        assert here.mass - without.mass == pytest.approx(one, rel=1e-9)
        middle = [-28 * 0.0254 if side == "left" else 28 * 0.0254, 0.0, (1 + 27 / 2) * 0.0254]
        moved = (here.mass * np.array(here.centre) - without.mass * np.array(without.centre)) / one
        assert moved == pytest.approx(middle, abs=1e-9)
    assert clad.mass - bare.mass == pytest.approx(2 * one, rel=1e-9)


def test_the_sheet_is_in_the_weight_that_the_frame_carries():
    masses = []
    for text in (JOBS["podiums"], JOBS["podiums"].replace(', sheet = "0.0598 in"', "")):
        job = read_job(text)
        masses.append(table_frame(job, build(job), state="sliding", joints="rigid", feet="gripping").lumped.sum())
    assert masses[0] - masses[1] == pytest.approx(4 * (16 + 28) * 27 * 0.0598 * 0.0254**3 * 490 * 0.45359237 / 0.3048**3, rel=1e-9)
