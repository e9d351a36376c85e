"""The weld of a round branch: lengths by integrals, angles by the two surfaces themselves, forces by
summing rings."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

from shopcalc.errors import InputError
from shopcalc.joints import saddle, weld_groups, welds
from shopcalc.units import Q


def saddle_length(d, D, theta):
    """Length of the curve on both cylinders, found by bisecting the way along the branch, then by
    integration."""
    r, R = d / 2, D / 2
    w = np.array([0, np.cos(theta), np.sin(theta)])
    e = np.array([0, np.sin(theta), -np.cos(theta)])

    def at(a):
        start = np.array([r * np.cos(a), 0, 0]) + r * np.sin(a) * e
        # (start + s w) lies on x^2 + (z + R)^2 = R^2, the upper of both places
        x, z = start[0], start[2] + R
        s = (-z + np.sqrt(max(R**2 - x**2, 0.0))) / w[2]
        return start + s * w

    def speed(a, h=1e-5):
        return np.linalg.norm(at(a + h) - at(a - h)) / (2 * h)

    quarters = np.linspace(0, 2 * np.pi, 9)
    return sum(quad(speed, a, b, limit=200)[0] for a, b in zip(quarters[:-1], quarters[1:], strict=True))


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8, 0.95, 1.0])
@pytest.mark.parametrize("angle", [30, 45, 60, 75, 90])
def test_length_of_the_saddle_by_integration(share, angle):
    D, theta = 0.06, np.radians(angle)
    found = saddle.on_round(share * D, D, theta).outline.length[0]
    assert found == pytest.approx(saddle_length(share * D, D, theta), rel=1e-3)


@pytest.mark.parametrize("angle", [30, 60, 90])
def test_length_on_a_flat_is_that_of_an_ellipse(angle):
    """Half axes r/sin(theta) and r: four quarter arcs, 4 a E(e^2)."""
    r, s = 0.02, np.sin(np.radians(angle))
    exact = 4 * r / s * ellipe(1 - s**2)
    assert saddle.on_flat(2 * r, np.radians(angle)).outline.length[0] == pytest.approx(exact, rel=1e-3)


def test_every_point_lies_on_both_tubes():
    d, D, theta = 0.05, 0.06, np.radians(55)
    p = saddle.on_round(d, D, theta).points[0]
    assert p[:, 0] ** 2 + (p[:, 2] + D / 2) ** 2 == pytest.approx(np.full(len(p), (D / 2) ** 2))
    w = np.array([0, np.cos(theta), np.sin(theta)])
    off = np.linalg.norm(p - np.outer(p @ w, w), axis=1)
    assert off == pytest.approx(np.full(len(p), d / 2))
    assert p[:, 1].max() > -p[:, 1].min() - d  # leans towards +y
    i = p[:, 1].argmax()
    assert p[i, 0] == pytest.approx(0, abs=1e-12)


def angle_by_cutting(d, D, theta, a):
    """Cut both cylinders with the plane square to the weld at one place; angle between the cuts, outside
    the branch."""
    r, R = d / 2, D / 2
    w = np.array([0, np.cos(theta), np.sin(theta)])
    e = np.array([0, np.sin(theta), -np.cos(theta)])

    def at(a):
        start = np.array([r * np.cos(a), 0, 0]) + r * np.sin(a) * e
        return start + (-start[2] - R + np.sqrt(R**2 - start[0] ** 2)) / w[2] * w

    p, along = at(a), at(a + 1e-6) - at(a - 1e-6)
    along /= np.linalg.norm(along)

    def step(function, outwards):
        """A small step from p in the cutting plane, along the surface function = 0, towards `outwards`."""
        grad = np.array([(function(p + h) - function(p - h)) / 2e-7 for h in 1e-7 * np.eye(3)])
        way = np.cross(grad, along)
        way /= np.linalg.norm(way)
        return way if way @ outwards > 0 else -way

    on_branch = step(lambda q: np.linalg.norm(q - (q @ w) * w) - r, w)
    out = p - (p @ w) * w  # away from the axis of the branch
    on_host = step(lambda q: np.hypot(q[0], q[2] + R) - R, out)
    return np.degrees(np.arccos(on_branch @ on_host))


@pytest.mark.parametrize(("share", "angle"), [(0.4, 90), (0.9, 90), (0.7, 50), (0.5, 35)])
def test_angle_between_the_tubes_by_cutting_them(share, angle):
    D, theta = 0.06, np.radians(angle)
    found = saddle.on_round(share * D, D, theta).psi[0]
    for i in range(0, saddle.STEPS, 13):
        a = 2 * np.pi * i / saddle.STEPS
        assert found[i] == pytest.approx(angle_by_cutting(share * D, D, theta, a), abs=0.01)


def test_angles_at_crown_and_sides():
    """Square on: 90 at the crowns, 180 - arccos(beta) at the sides (AWS D1.1). Leaning: theta and 180 -
    theta."""
    square = saddle.on_round(0.03, 0.06)
    assert square.sharpest[0] == pytest.approx(90) and square.widest[0] == pytest.approx(120)
    leaning = saddle.on_round(0.01, 0.06, np.radians(40))
    assert leaning.sharpest[0] == pytest.approx(40) and leaning.widest[0] == pytest.approx(140)
    assert saddle.on_flat(0.03).psi == pytest.approx(np.full((1, saddle.STEPS), 90.0))


def test_a_branch_as_wide_as_its_host_has_no_fillet_on_its_sides():
    """cos psi = -cos^2(a) for a like tube square on: under 150 degrees where |cos a| < sqrt(cos 30)."""
    matched = saddle.on_round(0.06, 0.06)
    a = 2 * np.pi * np.arange(saddle.STEPS) / saddle.STEPS
    assert (matched.psi[0] <= 150 + 1e-6).tolist() == (
        np.cos(a) ** 2 <= np.cos(np.radians(30)) + 1e-9
    ).tolist()
    assert 0.6 < matched.share[0] < 0.8 and matched.group.ends == 4
    assert any("no fillet" in w for w in matched.words())
    assert saddle.on_round(0.86 * 0.06, 0.06).share[0] == 1 > saddle.on_round(0.87 * 0.06, 0.06).share[0]  # cos 30
    small = saddle.on_round(0.04, 0.06)
    assert small.share[0] == 1 and small.group.ends == 0 and not any("no fillet" in w for w in small.words())


@pytest.mark.parametrize(("angle", "told"), [(75, ""), (50, "under 60"), (25, "under 30")])
def test_sharp_sides_are_told(angle, told):
    words = " ".join(saddle.on_round(0.02, 0.06, np.radians(angle)).words())
    assert told in words and ("under 60" in words) == (told == "under 60")
    assert ("under 30" in words) == (told == "under 30")


def test_a_sharp_angle_costs_throat_at_its_root():
    """45 degrees by SMAW, overhead: 5 mm along either part give 4.62 mm, less 1/8 in lost (AWS D1.1, table
    of Z)."""
    s = saddle.on_flat(0.04, np.radians(45))
    by_hand = 0.005 * np.cos(np.radians(22.5)) - 0.0254 / 8
    assert s.throats(0.005, "SMAW")[0, s.psi[0].argmin()] == pytest.approx(by_hand)
    assert (
        s.throats(0.005, "SMAW").min() >= 0.005 * np.cos(np.radians(30)) - 0.0254 / 8
    )  # just under 60 degrees


def test_a_process_that_does_not_reach_the_root_leaves_the_sharp_side_out():
    """GMAW upright has no row under 60 degrees: only what is more open carries, and is counted."""
    s = saddle.on_flat(0.04, np.radians(50))
    made = s.filled(0.004, "GMAW")
    assert s.share[0] == 1 and 0.5 < made.share[0] < 0.9
    assert made.psi[made.counts].min() >= 60
    assert np.isfinite(made.line_force((0, 0, 1.0), (0, 0, 0), 0.004, "GMAW")[0])
    assert saddle.on_flat(0.04, np.radians(65)).filled(0.004, "GMAW").share[0] == 1


def test_ring_under_force_and_moment():
    """A ring on a flat: P/(pi d) and M/(pi r^2), added at the edge; both times nothing where all of it
    carries."""
    d, P, M = 0.05, 900.0, 40.0
    s = saddle.on_flat(d)
    r = d / 2
    ring = weld_groups.line_force(weld_groups.ring(d), (0, 0, P), (M, 0, 0))[0]
    assert ring == pytest.approx(P / (np.pi * d) + M / (np.pi * r**2))
    assert s.line_force((0, 0, P), (M, 0, 0), 0.003, "GMAW")[0] == pytest.approx(ring, rel=2e-3)


def test_round_on_round_counts_half_as_much_again():
    """A thin branch on a great pipe is nearly on a flat: the same but for 1/1.5 of the length (AWS D1.1)."""
    flat = saddle.on_flat(0.02).line_force((0, 0, 500.0), (20.0, 0, 0), 0.003, "GMAW")
    great = saddle.on_round(0.02, 2.0).line_force((0, 0, 500.0), (20.0, 0, 0), 0.003, "GMAW")
    assert great / flat == pytest.approx(1.5, rel=2e-3)


def test_of_a_ring_on_a_flat_only_the_sides_carry():
    """Half of a side across works: what lies out of d/4, two arcs of 120 degrees."""
    half = saddle.on_flat(0.05, works=0.025)
    assert half.share[0] == pytest.approx(2 / 3, abs=0.02) and half.share[0] <= 2 / 3 + 1e-9
    little = saddle.on_flat(0.05, works=0.005)
    assert little.share[0] < half.share[0] and little.group.ends == 4
    F, M = (0, 0, 500.0), (20.0, 0, 0)
    assert little.line_force(F, M, 0.003, "GMAW") > half.line_force(F, M, 0.003, "GMAW")


def test_the_worst_place_counts_its_own_throat():
    """Pull alone is even round a branch: the greatest is on the side, by cos 45 over cos(psi/2)."""
    s = saddle.on_round(0.03, 0.06)
    even = 600.0 / s.outline.length[0]
    found = s.worst((0, 0, 600.0), (0, 0, 0), 0.004, "GMAW")
    assert found.psi[0] == pytest.approx(120) and np.linalg.norm(found.parts[0]) == pytest.approx(even)
    assert abs(found.place[0, 0]) == pytest.approx(0.015)
    lost = np.cos(np.pi / 4) / np.cos(np.pi / 3)
    assert found.f[0] == pytest.approx(1.5 * even * lost)
    assert saddle.on_square_throat(r=Q(1, "N/m"), psi=Q(120, "deg")).to("N/m").magnitude == pytest.approx(
        lost
    )
    assert saddle.uneven_line_force(r=Q(100, "N/m"), k=1.5).to("N/m").magnitude == pytest.approx(150)


def test_a_sharp_side_is_never_counted_thicker_than_a_square_fillet():
    """70 degrees: the throat is larger than that of a square fillet, which counts."""
    s = saddle.on_flat(0.04, np.radians(70))
    even = 600.0 / s.outline.length[0]
    assert s.line_force((0, 0, 600.0), (0, 0, 0), 0.004, "GMAW")[0] >= even * (1 - 1e-12)


def test_many_designs_are_their_single_ones():
    d, D, theta = np.array([0.02, 0.03, 0.05]), np.array([0.05, 0.06, 0.06]), np.radians([90.0, 70.0, 60.0])
    many = saddle.on_round(d, D, theta)
    F, M = np.array([[10.0, -20, 300]] * 3), np.array([[5.0, 3, 1]] * 3)
    for i in range(3):
        one = saddle.on_round(d[i], D[i], theta[i])
        assert many.line_force(F, M, 0.003, "GMAW")[i] == pytest.approx(
            one.line_force(F[i], M[i], 0.003, "GMAW")[0]
        )


def test_nothing_is_counted_past_an_open_end_or_on_round_corners():
    whole = saddle.on_round(0.04, 0.06)
    cut = saddle.on_round(0.04, 0.06, ends=((1, 0.0),))
    assert cut.share[0] == pytest.approx(0.5, abs=1e-6) and cut.points[cut.counts][:, 1].max() <= 1e-8
    assert saddle.on_round(0.04, 0.06, ends=((-1, -0.02),)).share[0] == whole.share[0] == 1  # just beside it
    beside = saddle.on_round(0.04, 0.06, free=(-0.01, np.inf))  # a neighbour at -x
    assert beside.points[beside.counts][:, 0].min() >= -0.01 - 1e-8 and 0.6 < beside.share[0] < 0.72
    narrow = saddle.on_flat(0.04, flat=0.03)
    counted = narrow.points[0][narrow.counts[0]]
    assert np.abs(counted[:, 0]).max() <= 0.015 + 1e-8 and 0 < narrow.share[0] < 1
    assert not saddle.on_flat(0.04, works=0.004, flat=0.03).carries[0]


@pytest.mark.parametrize("sizes", [(0.07, 0.06), (0.0, 0.06), (np.nan, 0.06), (0.03, 0.06, 2.0)])
def test_sizes_that_do_not_fit_are_refused(sizes):
    with pytest.raises(InputError, match="on_round"):
        saddle.on_round(*sizes)


def test_square_throat_is_the_plain_one():
    assert saddle.on_flat(0.05).throats(0.004, "GMAW") == pytest.approx(welds.throat_equal_legs.si(w=0.004))
