"""Glue-up, inlay and finish: sums by hand, second routes, refusals."""

import math

import numpy as np
import pytest

from shopcalc.errors import InputError, OutsideRange
from shopcalc.units import Q, Quantity
from shopcalc.wood import finish as fin
from shopcalc.wood import glue_up as glue
from shopcalc.wood import inlay


def to(q, unit):
    return float(q.to(unit).magnitude)


# --- glue-up


def oak_top(**change):
    given = {
        "length": Q(126, "inch"),
        "width": Q(48, "inch"),
        "thickness": Q(1.75, "inch"),
        "specific_gravity": 0.68,
    }
    return glue.plan(**{**given, **change})


def test_a_plan_by_hand():
    """48 + 2 in of trim; boards of 6-1/2 lose 1/4: 6-1/4 net, 8 boards; three fit a 20 in planer; 8/4 for
    1-3/4."""
    p = oak_top()
    assert (p.boards, p.stages, p.quarters) == (8, (3, 3, 2), 8)
    assert to(p.glued_width, "inch") == pytest.approx(50) and to(p.length, "inch") == pytest.approx(128)
    assert p.board_feet == pytest.approx(8 * 2 * 6.5 * 128 / 144 / 0.85)
    assert to(p.force, "lbf") == pytest.approx(212.5 * 2 * 128)
    assert p.clamps == 55 and to(p.each, "lbf") == pytest.approx(212.5 * 2 * 128 / 55)
    assert "8 boards" in p.words() and "8/4" in p.words() and "3, 3, 2" in p.words()


@pytest.mark.parametrize("width", [6, 20, 37.3, 48, 60])
@pytest.mark.parametrize("planer", [7, 13, 20, 52])
def test_what_is_glued_covers_what_is_wanted_and_passes_the_planer(width, planer):
    p = oak_top(width=Q(width, "inch"), planer=Q(planer, "inch"))
    net = to(p.net, "inch")
    assert p.boards * net >= width + 2 - 1e-9 > (p.boards - 1) * net - 1e-9
    assert sum(p.stages) == p.boards and max(p.stages) * net <= planer + 1e-9
    assert (
        len(p.stages) == math.ceil(p.boards / int(planer / net + 1e-9)) and max(p.stages) - min(p.stages) <= 1
    )


@pytest.mark.parametrize(
    ("finished", "quarters"), [(0.75, 4), (1.0, 5), (1.25, 6), (1.5, 8), (1.75, 8), (2.25, 10), (2.75, 12)]
)
def test_thick_tops_are_bought_thicker(finished, quarters):
    assert glue.quarters_for(Q(finished, "inch")) == quarters


def test_plans_that_cannot_be_are_refused():
    with pytest.raises(InputError, match="laminated"):
        oak_top(thickness=Q(4.5, "inch"))
    with pytest.raises(InputError, match="planer"):
        oak_top(planer=Q(4, "inch"))
    with pytest.raises(InputError, match="inch when jointed"):
        oak_top(rough_width=Q(1, "inch"))
    with pytest.raises(InputError, match="waste"):
        oak_top(waste=1.0)


def test_clamps_press_no_harder_than_glue_takes():
    with pytest.raises(InputError, match="250"):
        oak_top(pressure=Q(400, "psi"))
    # a 2 in oak joint at 200 psi needs 400 lbf for every inch (traps of the trade)
    assert to(
        glue.clamp_force(Q(200, "psi"), glue.joint_area(t=Q(2, "inch"), L=Q(1, "inch"))), "lbf"
    ) == pytest.approx(400)
    assert glue.pressure_for(0.42) == glue.SOFT and glue.pressure_for(0.68) == glue.HARD


def test_bevels_that_do_not_alternate_cup_the_panel():
    """Second route: a chain of boards, each turned 2e against the last; the sagitta of the chain."""
    e, n, w = math.radians(0.25), 60, 36.0
    heading = 2 * e * (np.arange(n) - (n - 1) / 2)
    x, y = np.cumsum(w / n * np.cos(heading)), np.cumsum(w / n * np.sin(heading))
    x, y = np.insert(x, 0, 0), np.insert(y, 0, 0)
    chord = y[0] + (y[-1] - y[0]) * (x - x[0]) / (x[-1] - x[0])
    turn = glue.turn_of_joints(e=Q(0.25, "deg"), n=n)
    assert to(glue.cup_of_turn(turn, w=Q(w, "inch")), "inch") == pytest.approx(
        float(np.abs(y - chord).max()), rel=0.03
    )


def test_ring_cup_is_the_sector_that_shrinks():
    """Second route: every point of a straight board moved by its own ring and ray shrinkage, followed
    through."""
    r, w, C_T, C_R, dM = 4.0, 3.0, 0.00365, 0.00180, 0.04
    e_t, e_r = -100 * C_T * dM, -100 * C_R * dM
    x = np.linspace(-w / 2, w / 2, 2001)  # a flat-sawn board, square to the ray through its middle
    radius, angle = np.hypot(x, r), np.arctan2(x, r)
    # shrink: radii by the ray; a full turn of rings closes less far, so that angles shrink by the ratio
    radius2, angle2 = radius * (1 + e_r), angle * (1 + e_t) / (1 + e_r)
    y2 = radius2 * np.cos(angle2)
    cup = abs(y2[0] - y2[1000])
    found = to(glue.ring_cup(w=Q(w, "inch"), r=Q(r, "inch"), C_T=C_T, C_R=C_R, dM=dM), "inch")
    assert found == pytest.approx(cup, rel=0.05)
    assert y2[0] > y2[1000]  # edges move away from the heart: hollow on the bark side


def test_errors_stack_over_the_stages():
    worst, likely = glue.stacked_errors(
        Q(np.array([0.1, 0.1, 0.05]), "deg"), Q(np.array([18.0, 36.0, 48.0]), "inch")
    )
    off = np.radians([0.1, 0.1, 0.05]) * [18, 36, 48]
    assert to(worst, "inch") == pytest.approx(off.sum()) and to(likely, "inch") == pytest.approx(
        np.sqrt((off**2).sum())
    )


# --- inlay


def test_outline_area_is_any_polygon_either_way_round():
    corners = Q(np.array([[0, 0], [4, 0], [4, 3], [2, 1], [0, 3]], float), "inch")
    assert to(inlay.outline_area(corners), "inch**2") == pytest.approx(12 - 0.5 * 4 * 2)
    assert to(
        inlay.outline_area(Quantity(corners.magnitude[::-1], corners.units)), "inch**2"
    ) == pytest.approx(8)
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    disc = Q(np.stack([10 + np.cos(turn), 5 + np.sin(turn)], axis=1), "inch")
    assert to(inlay.outline_area(disc), "inch**2") == pytest.approx(np.pi, rel=1e-4)


@pytest.mark.parametrize(
    "points", [np.zeros((2, 2)), np.zeros((4, 2)), np.zeros((3, 3)), np.full((3, 2), np.nan)]
)
def test_no_outline_no_area(points):
    with pytest.raises(InputError, match="outline"):
        inlay.outline_area(Q(points, "inch"))


def test_a_filling_by_hand():
    f = inlay.filling(
        Q(100, "inch**2"),
        Q(1.25, "inch"),
        wood_density=Q(700, "kg/m**3"),
        density=Q(1150, "kg/m**3"),
        parts={"resin": 100, "hardener": 45, "pigment": 5},
        pour=Q(0.5, "inch"),
        waste=0.1,
    )
    litres = 125 * 16.387064e-6 * 1000
    assert to(f.volume, "liter") == pytest.approx(litres) and f.pours == 3
    assert to(f.mass, "kg") == pytest.approx(litres * 1.15) and to(f.poured, "kg") == pytest.approx(
        litres * 1.15 * 1.1
    )
    assert to(f.parts["hardener"], "kg") == pytest.approx(litres * 1.15 * 1.1 * 45 / 150)
    assert sum(to(p, "kg") for p in f.parts.values()) == pytest.approx(to(f.poured, "kg"))
    assert to(f.added, "kg") == pytest.approx(litres * 0.45)


def test_fillings_that_cannot_be_are_refused():
    given = {"area": Q(10, "inch**2"), "depth": Q(0.5, "inch"), "wood_density": Q(700, "kg/m**3")}
    for change in (
        {"parts": {"resin": 0}},
        {"waste": -0.1},
        {"pour": Q(0, "inch")},
        {"parts": {"resin": True}},
    ):
        with pytest.raises(InputError):
            inlay.filling(**given, **change)


def test_strength_left_across_a_pocket():
    assert inlay.strength_left(Q(40, "inch"), Q(2, "inch"), Q(40, "inch"), Q(0.5, "inch")) == pytest.approx(
        0.5625
    )
    with pytest.raises(InputError, match="tenth"):
        inlay.strength_left(Q(40, "inch"), Q(2, "inch"), Q(4, "inch"), Q(1.9, "inch"))
    with pytest.raises(InputError, match="wider"):
        inlay.strength_left(Q(40, "inch"), Q(2, "inch"), Q(44, "inch"), Q(0.5, "inch"))


def test_resin_is_strained_by_temperature():
    stress = inlay.temperature_stress(20.0)
    assert to(stress, "MPa") == pytest.approx(4000 * 56e-6 * 20)


# --- finish


def test_every_face_and_edge_is_counted():
    """Second route: six faces of a box; a disc as a fine polygon."""
    L, W, t = 126.0, 48.0, 1.75
    f = fin.finish(shape="rectangle", length=Q(L, "inch"), width=Q(W, "inch"), thickness=Q(t, "inch"))
    assert to(f.area, "inch**2") == pytest.approx(L * W + L * W + L * t + L * t + W * t + W * t)
    f = fin.finish(shape="round", length=Q(54, "inch"), width=Q(54, "inch"), thickness=Q(2, "inch"))
    n = 20000
    side, apothem = 54 * math.sin(math.pi / n), 27 * math.cos(math.pi / n)
    assert to(f.area, "inch**2") == pytest.approx(n * side * apothem / 2 * 2 + n * side * 2, rel=1e-6)


def test_what_is_bought_covers_what_is_there():
    f = fin.finish(
        shape="rectangle",
        length=Q(126, "inch"),
        width=Q(48, "inch"),
        thickness=Q(1.75, "inch"),
        coats=2,
        film=Q(0.002, "inch"),
        solids=0.4,
        transfer=0.3,
    )
    covered = fin.covered_area(f.volume, s=0.4, e=0.3, f=Q(0.002, "inch"))
    assert to(covered, "inch**2") == pytest.approx(2 * to(f.area, "inch**2"))


@pytest.mark.parametrize("change", [{"coats": 0}, {"coats": 2.5}, {"coats": True}, {"shape": "boat"}])
def test_finish_that_cannot_be_is_refused(change):
    given = {
        "shape": "rectangle",
        "length": Q(126, "inch"),
        "width": Q(48, "inch"),
        "thickness": Q(1.75, "inch"),
    }
    with pytest.raises(InputError):
        fin.finish(**{**given, **change})
    with pytest.raises(OutsideRange):
        fin.finish(**given, transfer=1.4)
