"""The words of the textbook frames: what they answer and what they refuse (their numbers:
references/cases).
"""

import numpy as np
import pytest

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.published import (
    bar_frequency,
    frequency_coefficient,
    guided_column_stiffness,
    plane_frame,
    portal,
    storey_frequency,
)
from shopcalc.units import Q

PORTAL = {
    "height": Q(28, "in"),
    "span": Q(60, "in"),
    "E": Q(29e6, "psi"),
    "I_leg": Q(0.486, "in**4"),
    "I_rail": Q(0.486, "in**4"),
}
ZERO, FAR, HIGH = Q(0, "m"), Q(2, "m"), Q(1, "m")
PLANE = {
    "nodes": "a b c",
    "x": [ZERO, ZERO, FAR],
    "z": [ZERO, HIGH, HIGH],
    "bars": "ab bc",
    "EI": Q(1e6, "N*m**2"),
    "supports": "a fixed, c glide",
    "loads": "bc even",
    "sizes": [Q(-5, "N/m")],
}


def test_a_glide_takes_the_thrust_away_and_gives_the_rail_all_of_the_moment():
    w = Q(6, "lbf/in")
    assert portal(what="right_thrust", feet="glide", uniform_load=w, **PORTAL).to(
        "lbf"
    ).magnitude == pytest.approx(0, abs=1e-6)
    middle = portal(what="middle_moment", feet="glide", uniform_load=w, **PORTAL)
    assert middle.to("lbf*in").magnitude == pytest.approx(6 * 60**2 / 8)


def test_feet_of_a_pinned_portal_carry_half_the_push_each_and_equal_and_opposite_uplift():
    push = {"lateral_load": Q(50, "lbf"), "feet": "pinned", **PORTAL}
    thrust = [portal(what=w, **push).to("lbf").magnitude for w in ("left_thrust", "right_thrust")]
    stand = [portal(what=w, **push).to("lbf").magnitude for w in ("left_reaction", "right_reaction")]
    assert thrust == pytest.approx([-25, -25]) and stand == pytest.approx([-50 * 28 / 60, 50 * 28 / 60])
    assert portal(what="left_knee_moment", **push).to("lbf*in").magnitude == pytest.approx(700)
    assert portal(what="middle_moment", **push).to("lbf*in").magnitude == pytest.approx(0, abs=1e-3)


def test_a_propped_knee_by_slope_deflection():
    # Node b between equal leg (held foot) and a rail on a glide: sway free, so the leg stays straight up: no
    # thrust.
    moment = plane_frame(what="moment bc", **PLANE).to("N*m").magnitude
    base = plane_frame(what="moment ab", **PLANE).to("N*m").magnitude
    assert plane_frame(what="reaction a x", **PLANE).to("N").magnitude == pytest.approx(0, abs=1e-9)
    # without thrust the leg's moment is the same all along; turn of b = M h/EI = w L^3/24EI - M L/3EI
    M = 5 * 2**3 / 24 / (1 + 2 / 3)
    assert -moment == pytest.approx(M, rel=1e-6) and abs(base) == pytest.approx(M, rel=1e-6)
    turn = plane_frame(what="turn b", **PLANE).to("rad").magnitude
    assert -turn == pytest.approx(M / 1e6, rel=1e-6)
    most = plane_frame(what="largest_moment bc", **PLANE).to("N*m").magnitude
    at = plane_frame(what="largest_moment_at bc", **PLANE).to("m").magnitude
    R = plane_frame(what="reaction c z", **PLANE).to("N").magnitude
    assert most == pytest.approx(R**2 / (2 * 5), rel=1e-6) and at == pytest.approx(2 - R / 5, rel=1e-6)


def test_guided_column_and_storeys():
    k = guided_column_stiffness(E=Q(200, "GPa"), I=Q(3e-7, "m**4"), height=Q(0.7, "m")).to("N/m").magnitude
    assert k == pytest.approx(12 * 200e9 * 3e-7 / 0.7**3)
    w = storey_frequency(number=1, masses=[Q(40, "kg")], stiffness=[Q(k, "N/m")]).to("rad/s").magnitude
    assert w == pytest.approx(np.sqrt(k / 40))


@pytest.mark.parametrize(
    "number, root", [(1, 1.87510407), (2, 4.69409113), (3, 7.85475744), (5, 14.13716839)]
)
def test_modes_of_a_cantilever(number, root):
    sizes = {"E": Q(200, "GPa"), "I": Q(4e-10, "m**4"), "L": Q(0.46, "m"), "mass_per_length": Q(0.24, "kg/m")}
    exact = root**2 / (2 * np.pi) * np.sqrt(200e9 * 4e-10 / 0.24 / 0.46**4)
    assert bar_frequency(ends="cantilever", number=number, **sizes).to("Hz").magnitude == pytest.approx(
        exact, rel=1e-3
    )
    assert frequency_coefficient(ends="cantilever", gravity=Q(1, "ft/s**2")) == pytest.approx(
        1.87510407**2, rel=1e-5
    )


@pytest.mark.parametrize(
    "change, word",
    [
        ({"what": "leaning"}, "sway"),
        ({"feet": "glued"}, "pinned"),
        ({"lateral_load": None}, "a load"),
        ({"height": 28}, "a quantity"),
        ({"lateral_load": Q(50, "in")}, "a quantity"),
        ({"what": "middle_moment", "load": Q(5, "lbf")}, "uniform"),
    ],
)
def test_words_a_portal_does_not_know(change, word):
    given = {"what": "sway", "lateral_load": Q(50, "lbf"), **PORTAL} | change
    with pytest.raises(InputError) as caught:
        portal(**given)
    assert word in caught.value.need


@pytest.mark.parametrize(
    "change, word",
    [
        ({"bars": "ab bx"}, "two nodes"),
        ({"loads": "bc heavy"}, "even or point"),
        ({"sizes": [Q(-5, "N/m"), Q(1, "m")]}, "one size"),
        ({"what": "stress bc"}, "largest_moment"),
        ({"supports": "a glide, c glide"}, "a frame that stands"),
        ({"sizes": [Q(-5e8, "N/m")]}, "a frame that stands"),
    ],
)
def test_words_a_plane_frame_does_not_know(change, word):
    with pytest.raises(InputError) as caught:
        plane_frame(**({"what": "turn b", **PLANE} | change))
    assert word in caught.value.need


def test_ends_a_bar_does_not_know():
    with pytest.raises(InputError, match="cantilever"):
        frequency_coefficient(ends="leaning", gravity=Q(32, "ft/s**2"))
