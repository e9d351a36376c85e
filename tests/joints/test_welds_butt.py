"""Butt welds all round tube: what is proven counts, ground is lost, one allowable for every direction of the force."""

import math

import numpy as np
import pytest

from shopcalc.errors import InputError
from shopcalc.joints import weld_groups, welds, welds_butt
from shopcalc.units import Q, magnitude

IN, KSI = 0.0254, 6894757.293168361
E70 = 70 * KSI
WALL = welds.Wall("wall of the post", 0.108 * IN, 32 * KSI, 45 * KSI)
STRONG = welds.Wall("wall of the post", 0.174 * IN, 50 * KSI, 62 * KSI)


def test_what_counts_of_a_butt():
    found = welds_butt.butt(np.array([0.06, 0.2, 0.06, 0.06, np.nan, 0.0]) * IN, 0.108 * IN,
                            ground=[False, False, True, True, False, True], below_flush=np.array([np.nan, np.nan, np.nan, 0.005, np.nan, np.nan]) * IN)
    # 1/32 in where a ground weld was not measured
    assert found.throat / IN == pytest.approx(np.array([0.06, 0.108, 0.06 - 0.03125, 0.055, 0, 0]))
    assert found.proven.tolist() == [True, True, True, True, False, False]
    assert found.through.tolist() == [False, True, False, False, False, False]


def test_without_a_proof_nothing_counts_and_the_words_say_how_to_prove_it():
    found = welds_butt.butt(np.nan, 0.108 * IN)
    least = welds_butt.least(E70, found.throat, (WALL,), "use")
    assert np.isnan(least.allowable[0]) and not least.in_range[0]
    assert "engineer" in welds_butt.NOT_PROVED and "etch" in welds_butt.NOT_PROVED
    with pytest.raises(InputError, match="sectioned"):
        welds_butt.butt(-0.01, 0.1)


def test_what_is_ground_away_is_told_apart_from_what_was_never_proven():
    found = welds_butt.butt(np.array([0.03, np.nan, 0.06]) * IN, 0.108 * IN, ground=True)  # 1/32 in is more than 0.030
    assert [found.why_none(i) for i in range(3)] == [welds_butt.GROUND_AWAY, welds_butt.NOT_PROVED, ""]


def test_the_least_strength_by_hand():
    a = 0.06 * IN
    by_hand = {
        "metal": 0.6 * 70 * KSI * a / 2.00,       # sheared; pulled it has 1.88
        "yield": 0.6 * 32 * KSI * a / 1.50,       # of the tube on the depth of the weld
        "rupture": 0.6 * 45 * KSI * a / 2.00,
    }
    found = welds_butt.least(E70, a, (WALL,), "use")
    assert found.allowable[0] == pytest.approx(min(by_hand.values())) == pytest.approx(by_hand["yield"])
    assert "shear yield" in found.state()
    strong = welds_butt.least(E70, 0.174 * IN, (STRONG,), "use")
    assert strong.allowable[0] == pytest.approx(0.6 * 62 * KSI * 0.174 * IN / 2)  # 0.3 of 62 under 0.4 of 50 and 0.3 of 70
    lrfd = welds_butt.least(E70, a, (WALL,), "use", "LRFD")
    assert lrfd.allowable[0] == pytest.approx(0.6 * 32 * KSI * a)  # 1.00 against 0.75 of 0.6 x 45
    assert welds_butt.least(60 * KSI, a, (welds.Wall("w", a, 90 * KSI, 90 * KSI),), "proof").state().startswith("butt weld metal")


def test_every_direction_of_the_force_has_the_allowable_or_more():
    """A pull across by tables J2.5 and D2 (yield 1.67, rupture 2.00), a shear by J2.5 and J4: none is under the one figure."""
    a = np.array([0.03, 0.06, 0.1]) * IN
    one = welds_butt.least(E70, a, (WALL,), "use").allowable
    pull = np.min([0.6 * E70 * a / 1.88, 32 * KSI * a / 1.67, 45 * KSI * a / 2.0], axis=0)
    shear = np.min([0.6 * E70 * a / 2.0, 0.6 * 32 * KSI * a / 1.5, 0.6 * 45 * KSI * a / 2.0], axis=0)
    assert (one <= pull * (1 + 1e-12)).all() and one == pytest.approx(np.minimum(pull, shear))


def test_a_throat_deeper_than_the_thinner_tube_counts_that_tube_alone():
    both = welds_butt.strengths(E70, 0.174 * IN, (WALL, STRONG))
    rupture = {s.states[0]: s.nominal[0] for s in both}
    assert len(both) == 6 and min(s.nominal[0] for s in both[2:4]) == pytest.approx(0.6 * 32 * KSI * 0.108 * IN)
    assert "butt weld metal in shear" in rupture


def test_a_filler_of_its_own_factors_keeps_them_pulled_too():
    found = welds_butt.strengths(75 * KSI, 0.06 * IN, (WALL,), omega=2.5, phi=0.6)
    assert [s.omega for s in found[:2]] == [2.5, 2.5] and "370" in found[0].clause


def test_the_throat_that_a_force_asks_for_gives_that_force_back():
    force = np.array([5e4, 2e5])
    need = welds_butt.throat_needed(force, E70, (WALL, STRONG), "handling")
    thick = welds.Wall("w", 1.0, WALL.F_y, WALL.F_u)
    assert welds_butt.least(E70, need, (thick, STRONG), "handling").allowable[0] == pytest.approx(force[0], rel=1e-9)
    assert need[1] == pytest.approx(4 * need[0])


# --- the line


def test_the_line_runs_at_mid_throat_and_no_longer_than_the_tube():
    b, h, r, a = 0.05, 0.08, 0.006, 0.003
    group = welds_butt.outline(b, h, r, a)
    arc = 2 * (b - 2 * r) + 2 * (h - 2 * r) + 2 * math.pi * (r - a / 2)
    chords = 2 * (b - 2 * r) + 2 * (h - 2 * r) + 4 * math.sqrt(2) * (r - a / 2)
    assert group.length[0] == pytest.approx(chords) and chords < arc
    assert np.abs(group.lines[..., 0]).max() == pytest.approx((b - a) / 2)
    assert np.abs(group.lines[..., 1]).max() == pytest.approx((h - a) / 2)


def test_a_slanting_cut_is_longer_in_its_plane_only():
    flat, cut = (welds_butt.outline(0.05, 0.05, 0.006, 0.003, phi) for phi in (0.0, math.pi / 4))
    assert np.abs(cut.lines[..., 1]).max() == pytest.approx(np.abs(flat.lines[..., 1]).max() * math.sqrt(2))
    assert np.abs(cut.lines[..., 0]).max() == pytest.approx(np.abs(flat.lines[..., 0]).max())
    assert magnitude(welds_butt.length_of_cut(h=Q(2, "in"), phi=Q(45, "deg")), "in") == pytest.approx(2.828427, rel=1e-6)
    assert float(welds_butt.off_square(math.pi / 2)) == pytest.approx(math.pi / 4) and float(welds_butt.off_square(math.pi)) == 0


def test_forces_on_the_cut_keep_their_size_and_split_by_the_angle():
    F, M = welds_butt.on_cut([3.0, 4.0, 10.0], [1.0, 2.0, 5.0], math.pi / 4)
    assert np.linalg.norm(F) == pytest.approx(math.sqrt(9 + 16 + 100)) and F[0, 0] == 3 and M[0, 0] == 1
    pull, _ = welds_butt.on_cut([0, 0, 10.0], [0, 0, 0], math.pi / 4)
    assert abs(pull[0]) == pytest.approx([0, 10 / math.sqrt(2), 10 / math.sqrt(2)])


def test_the_force_per_length_by_integration():
    """Plane sections of a rigid line: sums over ten thousand bits of the perimeter give L and I, and the worst corner."""
    b, h, r, a, phi = 0.05, 0.08, 0.006, 0.003, math.pi / 4
    F, M = np.array([200.0, -300.0, 1500.0]), np.array([120.0, 80.0, 60.0])
    group = welds_butt.outline(b, h, r, a, phi)
    found = welds_butt.line_force(group, F, M, phi)[0]
    ends = group.lines[0]
    worst = 0.0
    for side in (1, -1):
        bits, sizes = [], []
        for first, last in ends:
            s = (np.arange(2000) + 0.5) / 2000
            bits.append(first + s[:, None] * (last - first))
            sizes.append(np.full(2000, np.linalg.norm(last - first) / 2000))
        p, dl = np.concatenate(bits), np.concatenate(sizes)
        L = dl.sum()
        c, s = math.cos(side * phi), math.sin(side * phi)
        Fx, Fy, Fz = F[0], c * F[1] - s * F[2], s * F[1] + c * F[2]
        Mx, My, Mz = M[0], c * M[1] - s * M[2], s * M[1] + c * M[2]
        Ix, Iy = (dl * p[:, 1] ** 2).sum(), (dl * p[:, 0] ** 2).sum()
        corners = ends.reshape(-1, 3)
        x, y = corners[:, 0], corners[:, 1]
        fz = Fz / L + Mx * y / Ix - My * x / Iy
        fx, fy = Fx / L - Mz * y / (Ix + Iy), Fy / L + Mz * x / (Ix + Iy)
        worst = max(worst, np.sqrt(fx**2 + fy**2 + fz**2).max())
    assert found == pytest.approx(worst, rel=1e-5)


def test_a_line_that_fits_no_tube_is_refused():
    for sizes in ((0.02, 0.05, 0.012, 0.003), (0.05, 0.05, 0.001, 0.003)):
        with pytest.raises(InputError, match="corners that fit"):
            welds_butt.outline(*sizes)
    assert isinstance(welds_butt.outline([0.05, 0.06], 0.05, 0.006, 0.003), weld_groups.Group)
