"""Skewed, hollow, ground, flare and butt welds; rules of sheet steel; EN 1993-1-8 beside AISC."""

import math

import numpy as np
import pytest

from shopcalc.codes.en1993_1_8 import welds as en
from shopcalc.errors import InputError, OutsideRange
from shopcalc.joints import welds_shapes as s
from shopcalc.joints import welds_sheet_steel as sheet
from shopcalc.units import Q, magnitude

IN, KSI = 0.0254, 6894757.293168361


def height(b, psi):
    """Shortest way from the root to the face of a fillet that touches both parts over b: by walking the
    face."""
    a = math.radians(psi)
    toes = np.array([b, 0.0]), b * np.array([math.cos(a), math.sin(a)])
    along = np.linspace(0, 1, 100_001)[:, None]
    return np.linalg.norm(toes[0] + along * (toes[1] - toes[0]), axis=1).min()


@pytest.mark.parametrize(
    "psi, walked",
    [(60, 60), (70, 70), (79.9, 79.9), (80, 90), (100, 90), (101, 101), (120, 120), (135, 135), (150, 150)],
)
def test_skewed_throat_by_angle(psi, walked):
    found = s.skewed(0.2, psi, "FCAW-G")
    assert found.throat[0] == pytest.approx(height(0.2, walked), rel=1e-7) and found.root_loss[0] == 0


@pytest.mark.parametrize(
    "psi, process, position, loss",
    [
        (45, "SMAW", "flat or horizontal", 1 / 8),
        (59, "SMAW", "vertical or overhead", 1 / 8),
        (44.9, "SMAW", "vertical or overhead", 1 / 4),
        (30, "FCAW-G", "vertical or overhead", 3 / 8),
        (50, "GMAW", "flat or horizontal", 0.0),
        (40, "GMAW", "flat or horizontal", 1 / 4),
    ],
)
def test_a_sharp_angle_loses_a_part_of_its_root(psi, process, position, loss):
    found = s.skewed(IN, psi, process, position)
    assert found.root_loss[0] == pytest.approx(loss * IN, abs=1e-12)
    assert found.throat[0] == pytest.approx(IN * math.cos(math.radians(psi / 2)) - loss * IN)


def test_an_eighth_in_a_sharp_angle_has_no_throat_left():
    assert s.skewed(0.125 * IN, 40, "SMAW").throat[0] == 0.0


@pytest.mark.parametrize("psi, process", [(29.9, "SMAW"), (150.1, "SMAW"), (50, "GMAW"), (40, "GTAW")])
def test_no_throat_without_a_row(psi, process):
    assert np.isnan(s.skewed(0.2, psi, process).throat[0])


def test_many_angles_at_once_are_the_single_ones():
    psi = np.array([35.0, 50, 65, 90, 110, 149])
    many = s.skewed(0.5, psi, "FCAW-S")
    assert many.throat == pytest.approx([s.skewed(0.5, p, "FCAW-S").throat[0] for p in psi])


def test_unknown_process_is_told():
    with pytest.raises(InputError, match="GMAW"):
        s.skewed(0.2, 50, "laser")


# --- hollow and ground


def test_a_hollow_fillet_has_the_throat_that_is_left():
    assert magnitude(s.throat_concave(w=Q(0.25, "in"), c=Q(0.03, "in")), "in") == pytest.approx(
        0.25 / math.sqrt(2) - 0.03
    )


def test_a_corner_ground_to_a_radius_keeps_its_nearest_point():
    # The radius touches both faces: centre (r, r); the corner is sqrt(2) r away, the metal sqrt(2) r - r.
    assert magnitude(s.throat_ground_to_radius(Q(0.25, "in")), "in") == pytest.approx(
        math.hypot(0.25, 0.25) - 0.25
    )


# --- flare


def test_small_corners_count_only_with_their_fillet():
    R = np.array([0.20, 0.374, 0.375, 0.75]) * IN
    bare = s.flare_throat(R, "SMAW")
    assert bare[:2].tolist() == [0.0, 0.0] and bare[2:] == pytest.approx(5 / 16 * R[2:])
    topped = s.flare_throat(R, "GMAW", reinforcing=0.125 * IN)
    assert topped[:2] == pytest.approx(0.125 * IN / math.sqrt(2)) and topped[2:] == pytest.approx(
        5 / 8 * R[2:]
    )


@pytest.mark.parametrize(
    "joint, process, share",
    [
        ("flare bevel", "GMAW", 5 / 8),
        ("flare bevel", "FCAW-G", 5 / 8),
        ("flare bevel", "SAW", 5 / 16),
        ("flare V", "GMAW", 3 / 4),
        ("flare V", "SMAW", 5 / 8),
        ("flare V", "SAW", 1 / 2),
    ],
)
def test_shares_of_the_table(joint, process, share):
    assert s.flare_share(joint, process) == pytest.approx(share)
    with pytest.raises(InputError, match="table J2.2"):
        s.flare_share(joint, "GTAW")


def test_missing_depth_comes_off_a_flare_weld():
    full, short = (s.flare_throat(0.75 * IN, "SMAW", missing=d * IN)[0] for d in (0.0, 0.1))
    assert full - short == pytest.approx(0.1 * IN)
    assert s.flare_throat(0.75 * IN, "SMAW", missing=0.5 * IN)[0] == 0.0
    assert (
        s.flare_throat(0.25 * IN, "SMAW", missing=0.01 * IN, reinforcing=0.25 * IN)[0] == 0.0
    )  # not flush: no fillet


# --- butt


def test_a_butt_ground_flush_has_what_was_proved():
    found = s.butt_throat(np.array([0.080, 0.200, 0.080]) * IN, 0.112 * IN, np.array([0, 0, 0.02]) * IN)
    assert found == pytest.approx(np.array([0.080, 0.112, 0.060]) * IN)
    strength = s.butt_strength(70 * KSI, found)
    assert strength.nominal == pytest.approx(0.6 * 70 * KSI * found) and (strength.omega, strength.phi) == (
        1.88,
        0.80,
    )
    assert not s.butt_strength(70 * KSI, 0.0).in_range[0]
    with pytest.raises(InputError, match="sectioned"):
        s.butt_throat(-0.01, 0.1)


# --- length


def test_ends_of_a_run_are_taken_off():
    assert magnitude(s.length_less_ends(l=Q(25, "mm"), n=2, a=Q(3, "mm")), "mm") == pytest.approx(19)
    with pytest.raises(OutsideRange):
        s.length_less_ends(l=Q(5, "mm"), n=2, a=Q(3, "mm"))
    assert s.too_short([0.029, 0.031, 0.031], [0.003, 0.003, 0.006]).tolist() == [True, False, True]


# --- sheet steel


def test_sheet_tears_beside_the_weld():
    t, F_u = 0.075 * IN, 45 * KSI
    long_run, state = sheet.least(F_u, t, 30 * t)
    assert long_run[0] == pytest.approx(0.75 * t * F_u / 3.05) and state == ("sheet tears along the weld",)
    short_run, state = sheet.least(F_u, t, 10 * t)
    assert short_run[0] == pytest.approx(0.9 * t * F_u / 2.55) and "short" in state[0]
    flare, _ = sheet.least(F_u, t, 30 * t, flare=True)
    assert flare[0] == pytest.approx(0.75 * t * F_u / 2.80)


def test_the_weld_itself_counts_over_a_tenth():
    t, F_u, throat = np.array([0.099, 0.101]) * IN, 60 * KSI, 0.02 * IN
    found, states = sheet.least(F_u, t, 40 * t, FEXX=70 * KSI, throat=throat)
    assert "sheet" in states[0] and "weld metal" in states[1]
    assert found[1] == pytest.approx(0.75 * throat * 70 * KSI / 2.55)
    assert np.isnan(sheet.least(F_u, 0.19 * IN, IN)[0][0])


def test_sheet_rules_are_the_stricter_for_long_runs():
    # 0.75/3.05 = 0.246 of t F_u against 0.30 for shear rupture by AISC: the wall of a long run along the
    # force.
    assert 0.75 / 3.05 < 0.6 / 2.0


# --- EN 1993-1-8


def test_correlation_factor_by_grade():
    assert en.correlation_factor([235e6, 236e6, 275e6, 355e6, 420e6]).tolist() == [
        0.80,
        0.85,
        0.85,
        0.90,
        1.0,
    ]


def test_directional_method_by_hand():
    # T joint, 6 mm leg, throat 4.243 mm, S275: a pull puts sigma = tau = f/(sqrt(2) a); sqrt(s^2 + 3 t^2) = 2
    # s.
    a, f = 4.243e-3, 8e5
    stress = f / (math.sqrt(2) * a)
    expected = 2 * stress / (410e6 / (0.85 * 1.25))
    assert en.directional_ratio(0, 0, f, a, 410e6, 0.85) == pytest.approx(expected)
    along = math.sqrt(3) * f / a / (410e6 / (0.85 * 1.25))
    assert en.directional_ratio(f, 0, 0, a, 410e6, 0.85) == pytest.approx(along)
    assert along / expected == pytest.approx(math.sqrt(3 / 2))


def test_a_pull_and_a_push_across_lie_on_both_planes():
    # A force along the bisector of the throat is all normal stress: then the second condition decides for
    # S355 on.
    f = 1e6
    both = en.directional_ratio(0, f / math.sqrt(2), f / math.sqrt(2), 3e-3, 470e6, 0.9)
    assert both == pytest.approx(max(f / 3e-3 / (470e6 / (0.9 * 1.25)), f / 3e-3 / (0.9 * 470e6 / 1.25)))


def test_the_simplified_method_is_never_the_milder():
    rng = np.random.default_rng(11)
    along, across, square = rng.normal(0, 1e5, (3, 500))
    simple = np.sqrt(along**2 + across**2 + square**2) / (3e-3 * 360e6 / (math.sqrt(3) * 0.8 * 1.25))
    assert (simple >= en.directional_ratio(along, across, square, 3e-3, 360e6, 0.8) * (1 - 1e-12)).all()


def test_aisc_and_en_agree_on_the_kind_of_strength():
    # Both are tensile strength over root three or 0.6, on the throat: within a tenth before their factors.
    aisc = 0.6 * 70 * KSI * 3e-3
    assert en.GAMMA_M2 * float(
        magnitude(en.longitudinal_resistance(Q(3, "mm"), Q(70, "ksi"), 1.0), "N/m")
    ) == pytest.approx(aisc, rel=0.05)


def test_corners_too_tight_to_weld_near():
    assert en.weldable_wall_si([0.99, 1.0, 1.2, 2.5, 9]).tolist() == [0.0, 0.004, 0.004, 0.012, 0.024]
    with pytest.raises(InputError, match="tighter corners"):
        en.weldable_wall(0.9)
