"""The spring of a tube face: one load in the middle of a strip, sizes, and a strip by finite differences."""

from __future__ import annotations

import numpy as np
import pytest

from shopcalc.errors import InputError
from shopcalc.joints.face import (
    face_spring,
    face_springs,
    give_across,
    give_in_line,
    plate_stiffness,
    round_give_across,
    round_give_in_line,
    round_springs,
)
from shopcalc.units import Q


def strip_by_differences(a, b, h, way, cells=40, long=4.0):
    """Turn times D under a moment of one: a plate a wide on two hinged sides, long times a in length, ends hinged too. The
    branch pushes down by one pair of its walls and up by the other: lines of force, by finite differences of D del^4 w = q."""
    from scipy.sparse import diags, identity, kron
    from scipy.sparse.linalg import spsolve

    s = a / cells
    nx, ny = cells - 1, int(long * cells) - 1  # x across the strip, y along it; inner points
    lap = [diags([np.ones(n - 1), -2 * np.ones(n), np.ones(n - 1)], [-1, 0, 1]) / s**2 for n in (nx, ny)]
    L = (kron(lap[0], identity(ny)) + kron(identity(nx), lap[1])).tocsc()
    x, y = (np.arange(nx) + 1) * s - a / 2, (np.arange(ny) + 1) * s - long * a / 2
    X, Y = np.meshgrid(x, y, indexing="ij")
    on_x, on_y = abs(X) <= b / 2 + 1e-9, abs(Y) <= h / 2 + 1e-9
    if way == "in line":  # walls across the strip at y = -h/2 and h/2
        pull, push = (on_x & (abs(Y - e * h / 2) < s / 2) for e in (1, -1))
        arm = h
    else:
        pull, push = (on_y & (abs(X - e * b / 2) < s / 2) for e in (1, -1))
        arm = b
    q = (pull / pull.sum() - push / push.sum()).ravel() / arm / s**2
    w = spsolve(L, spsolve(L, q)).reshape(nx, ny)
    return (w[pull].mean() - w[push].mean()) / arm


def test_one_load_in_the_middle_of_a_strip():
    """A small branch: the two pushes of one, taken singly. Timoshenko's long strip, hinged sides: w = 0.01695 P a^2/D."""
    a = 1.0
    # For h far past a the two walls do not feel each other: turn = 2 w/h^2.
    turn = give_in_line(a, 1e-4, 6.0)
    assert turn * 6.0**2 / 2 == pytest.approx(0.01695, rel=2e-3)


@pytest.mark.parametrize(("b", "h"), [(0.5, 0.5), (0.5, 1.0), (0.7, 0.5)])
def test_strip_by_finite_differences(b, h):
    assert give_in_line(1.0, b, h) == pytest.approx(strip_by_differences(1.0, b, h, "in line"), rel=0.08)
    assert give_across(1.0, b, h) == pytest.approx(strip_by_differences(1.0, b, h, "across"), rel=0.12)


def test_wider_branches_are_stiffer_up_to_the_walls():
    sizes = {"E": 200e9, "nu": 0.3, "t": 0.003, "face": 0.06, "along": 0.04}
    line, across = face_springs(across=np.linspace(0.02, 0.05, 12), **sizes)
    assert (np.diff(line) > 0).all() and (np.diff(across) > 0).all()
    assert np.isinf(face_springs(across=0.06, **sizes)).all()


def test_thicker_walls_by_the_cube():
    thin, thick = (face_springs(E=200e9, nu=0.3, t=t, face=0.06 + t, across=0.03, along=0.04)[0] for t in (0.002, 0.004))
    assert thick / thin == pytest.approx(8.0)
    assert plate_stiffness.si(E=200e9, nu=0.3, t=0.01) == pytest.approx(200e9 * 1e-6 / 10.92)


def test_what_does_not_fit_is_refused():
    good = {"E": Q(29000, "ksi"), "nu": 0.3, "t": Q(0.12, "inch"), "face": Q(3, "inch"), "across": Q(2, "inch"), "along": Q(2, "inch")}
    assert face_spring("in line", **good).magnitude > 0
    with pytest.raises(InputError, match="way"):
        face_spring("round", **good)
    with pytest.raises(InputError, match="branch"):
        face_spring("across", **(good | {"across": Q(4, "inch")}))


def test_round_tube_gives_as_published():
    """Fessler 1986 as an open frame library has it: 134 gamma^1.73 exp(-4.52 beta) sin^1.22, over E D^3; typed out by
    hand for a pipe of 500 x 16 mm and a brace of 250 mm at 45 degrees (that library's own example, in m and N)."""
    gamma, beta = 0.50 / (2 * 0.016), 0.25 / 0.50
    turn = 134 * gamma**1.73 * np.exp(-4.52 * beta) * 0.5**0.61 / (210e9 * 0.50**3)
    line, across = round_springs(E=210e9, t=0.016, D=0.50, D_b=0.25, theta=np.pi / 4)
    assert 1 / line == pytest.approx(turn, rel=1e-12)
    assert across < line  # a ring is squeezed out of round far more readily than it is bent along
    assert round_give_in_line(gamma=gamma, beta=beta, theta=Q(45, "deg")) == pytest.approx(turn * 210e9 * 0.125)
    assert round_give_across(gamma=15.0, beta=0.5, theta=Q(90, "deg")) == pytest.approx(85.5 * 15**2.2 / np.e**1.925)


def test_round_springs_never_count_stiffer_than_the_end_of_the_range():
    like = {"E": 200e9, "D": 0.06}
    thick, end = (round_springs(t=t, D_b=0.03, **like) for t in (0.006, 0.003))
    assert thick == end  # 5 and 10 of gamma
    wide, last = (round_springs(t=0.003, D_b=b * 0.06, **like) for b in (1.0, 0.76))
    assert wide == last
    thin, narrow = round_springs(t=0.001, D_b=0.03, **like), round_springs(t=0.003, D_b=0.01, **like)
    assert thin[0] < end[0] and thin[1] < end[1] and narrow[0] < end[0] and narrow[1] < end[1]
