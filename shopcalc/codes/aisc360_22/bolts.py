"""Bolts by AISC 360-22 J3: tension, shear, both, slip, bearing and tear-out, edge distance and spacing.

Shear counts the threads in the shear plane ("N") unless the job proves them out of it: short bolts are
threaded to the
head. Tension takes 0.75 of the body's area through F_nt, never together with the tensile stress area. Grades
the code does not
name count as threaded parts of their tensile strength (table J3.2, last row).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.codes.clause import clause
from shopcalc.formula import formula, frac, pi
from shopcalc.units import Area, Count, Force, Length, Ratio, Stress

KSI, INCH = 6894757.293168361, 0.0254
WAYS = "a wider edge, a larger or stronger bolt, more bolts, a thicker plate"

# Table J3.2: nominal tensile stress, shear stress with threads in the plane and out of it.
STRESSES = {
    "A307": (45 * KSI, 27 * KSI, 27 * KSI),
    "group 120": (90 * KSI, 54 * KSI, 68 * KSI),
    "group 150": (113 * KSI, 68 * KSI, 84 * KSI),
}
NOT_OF_THE_CODE = (
    "grade that AISC 360-22 does not name: counted as a threaded part of its tensile strength (table J3.2)"
)
STAINLESS = (
    "stainless bolts are in AISC 370, which was not read: least strengths of a chart, counted as a threaded "
    "part"
)
SMALL = (
    "holes and edges of bolts under 1/2 in are not in tables J3.3 and J3.4: hole 1/16 in over the bolt, "
    "edge 1.5 bolts"
)


@formula(symbol="F_nt", source="aisc-360-22, table J3.2")
def threaded_tensile_stress(F_u: Stress) -> Stress:
    """Nominal tensile stress of a threaded part, on the area of its body.

    F_u  tensile strength
    """
    return 0.75 * F_u


@formula(symbol="F_nv", source="aisc-360-22, table J3.2")
def threaded_shear_stress(F_u: Stress) -> Stress:
    """Nominal shear stress of a threaded part with threads in the shear plane.

    F_u  tensile strength
    """
    return 0.45 * F_u


@formula(symbol="F_nv", source="aisc-360-22, table J3.2")
def body_shear_stress(F_u: Stress) -> Stress:
    """Nominal shear stress of a threaded part without threads in the shear plane.

    F_u  tensile strength
    """
    return 0.563 * F_u


def nominal_stresses(kind: str, F_u: float, threads_in: bool = True) -> tuple[float, float]:
    """F_nt and F_nv (Pa) of a grade: kind as `stock.fasteners.Grade`, F_u in Pa."""
    if kind in STRESSES:
        F_nt, in_plane, out = STRESSES[kind]
        return F_nt, in_plane if threads_in else out
    shear = threaded_shear_stress if threads_in else body_shear_stress
    return float(threaded_tensile_stress.si(F_u)), float(shear.si(F_u))


@formula(symbol="A_b", source="geometry")
def body_area(d: Length) -> Area:
    """Area of the body of a bolt.

    d  diameter of the bolt
    """
    return pi / 4 * d**2


@formula(symbol="R_n", source="aisc-360-22, J3-1")
def bolt_strength(*, F_n: Stress, A_b: Area) -> Force:
    """Strength of a bolt in tension, or in one shear plane.

    F_n  nominal stress: F_nt in tension, F_nv in shear
    A_b  area of the body
    """
    return F_n * A_b


@clause(
    "AISC 360-22 J3.7",
    source="aisc-360-22, J3-1",
    gives=Force,
    omega=2.00,
    phi=0.75,
    states=("bolt tension",),
)
def bolt_tension(*, F_nt: Stress, d: Length):
    """Nominal strength of a bolt in tension, prying included in the demand.

    F_nt  nominal tensile stress
    d     diameter of the bolt
    """
    return (bolt_strength.si(F_n=F_nt, A_b=body_area.si(d)),)


@bolt_tension.lines
def _(steps, q, state):
    steps(bolt_strength, F_n=q.F_nt, A_b=steps(body_area, d=q.d))


@clause(
    "AISC 360-22 J3.7", source="aisc-360-22, J3-1", gives=Force, omega=2.00, phi=0.75, states=("bolt shear",)
)
def bolt_shear(*, F_nv: Stress, d: Length):
    """Nominal strength of a bolt in one shear plane.

    F_nv  nominal shear stress
    d     diameter of the bolt
    """
    return (bolt_strength.si(F_n=F_nv, A_b=body_area.si(d)),)


@bolt_shear.lines
def _(steps, q, state):
    steps(bolt_strength, F_n=q.F_nv, A_b=steps(body_area, d=q.d))


@formula(symbol="F_nt'", source="aisc-360-22, J3-3b")
def tensile_stress_beside_shear(*, F_nt: Stress, Omega: Ratio, F_nv: Stress, f_rv: Stress) -> Stress:
    """Nominal tensile stress that shear leaves (not more than F_nt), allowable strength design.

    F_nt   nominal tensile stress
    Omega  safety factor, 2.00
    F_nv   nominal shear stress
    f_rv   shear stress asked for
    """
    return 1.3 * F_nt - Omega * F_nt / F_nv * f_rv


def combined_use(tension, shear) -> np.ndarray:
    """Array kernel: use of a bolt from its shares of allowable tension and shear. J3.8 asks t + v not over
    1.3, which is
    J3-3 divided by F_nt; each alone not over 1."""
    t, v = np.abs(np.asarray(tension, float)), np.abs(np.asarray(shear, float))
    return np.maximum(np.maximum(t, v), (t + v) / 1.3)


# --- slip ----------------------------------------------------------------------------------------


@formula(symbol="R_n", source="aisc-360-22, J3-4")
def slip_strength(*, mu: Ratio, D_u: Ratio, h_f: Ratio, T_b: Force, n_s: Count) -> Force:
    """Shear at which a pretensioned bolt slips.

    mu   slip coefficient: 0.30 on bare mill scale (class A), 0.50 blast-cleaned (class B)
    D_u  1.13
    h_f  1 with one filler or none, 0.85 with more
    T_b  least pretension
    n_s  slip planes
    """
    return mu * D_u * h_f * T_b * n_s


@formula(symbol="R", source="statics, friction")
def friction_of_clamp(*, mu: Ratio, F_i: Force) -> Force:
    """Shear that the clamp of a bolt holds by friction: for play and wobble, not for strength.

    mu   friction of the faces
    F_i  least clamp force
    """
    return mu * F_i


# --- holes ---------------------------------------------------------------------------------------


@formula(symbol="R_n", source="aisc-360-22, J3-6a")
def bearing_strength(*, d: Length, t: Length, F_u: Stress) -> Force:
    """Load at which the hole stretches by a quarter inch under a bolt.

    d    diameter of the bolt
    t    thickness of the part
    F_u  tensile strength of the part
    """
    return 2.4 * d * t * F_u


@formula(symbol="R_n", source="aisc-360-22, J3-6c")
def tearout_strength(*, l_c: Length, t: Length, F_u: Stress) -> Force:
    """Load at which a bolt tears out to the edge or into the next hole.

    l_c  clear distance from the hole to the edge or the next hole, along the force
    t    thickness of the part
    F_u  tensile strength of the part
    """
    return 1.2 * l_c * t * F_u


@clause(
    "AISC 360-22 J3.11",
    source="aisc-360-22, J3.11a",
    gives=Force,
    omega=2.00,
    phi=0.75,
    states=("bearing", "tear-out"),
    ways=WAYS,
)
def bolt_bearing(*, d: Length, t: Length, F_u: Stress, l_c: Length):
    """Nominal strength of the part round a bolt in a standard hole.

    d    diameter of the bolt
    t    thickness of the part
    F_u  tensile strength of the part
    l_c  clear distance from the hole to the edge or the next hole, along the force
    """
    return bearing_strength.si(d=d, t=t, F_u=F_u), tearout_strength.si(l_c=l_c, t=t, F_u=F_u)


@bolt_bearing.lines
def _(steps, q, state):
    if state == "bearing":
        steps(bearing_strength, d=q.d, t=q.t, F_u=q.F_u)
    else:
        steps(tearout_strength, l_c=q.l_c, t=q.t, F_u=q.F_u)


@formula(symbol="R_n", source="aisc-360-22, J7-1 with J3.11b")
def through_bolt_bearing(*, F_y: Stress, d: Length, t: Length) -> Force:
    """Load of a bolt right through a tube on both its walls, where nothing stiffens the tube inside.

    F_y  yield stress of the tube
    d    diameter of the bolt
    t    design wall
    """
    return 1.8 * F_y * d * t * 2


# Tables J3.3 and J3.4, J3.3M and J3.4M: bolt, standard hole, least edge distance.
_INCH_ROWS = (
    (0.5, 9 / 16, 0.75),
    (0.625, 11 / 16, 0.875),
    (0.75, 13 / 16, 1.0),
    (0.875, 15 / 16, 1.125),
    (1.0, 1.125, 1.25),
    (1.125, 1.25, 1.5),
    (1.25, 1.375, 1.625),
)
_MM_ROWS = (
    (12, 14, 18),
    (16, 18, 22),
    (20, 22, 26),
    (22, 24, 28),
    (24, 27, 30),
    (27, 30, 34),
    (30, 33, 38),
    (36, 39, 46),
)


@dataclass(frozen=True)
class Hole:
    """Standard hole of a bolt and the least distance from its middle to an edge (m); in_table: whether the
    code has it."""

    hole: float
    edge: float
    in_table: bool


def standard_hole(d: float, metric: bool = False) -> Hole:
    """Array-free kernel (m). Sizes between rows take the next larger row; smaller than the table: hole 1/16
    in (1 mm) over
    the bolt and 1.5 bolts to the edge, the shop's rule."""
    unit, table = (1e-3, _MM_ROWS) if metric else (INCH, _INCH_ROWS)
    size = d / unit
    if size < table[0][0] - 1e-6:
        return Hole(d + (1e-3 if metric else INCH / 16), 1.5 * d, False)
    for bolt, hole, edge in table:
        if size <= bolt + 1e-6:
            return Hole(d + (hole - bolt) * unit, edge * unit, True)
    return Hole(d + (3e-3 if metric else INCH / 8), 1.25 * d, True)


@formula(symbol="s_min", source="aisc-360-22, J3.4")
def least_spacing(d: Length) -> Length:
    """Least distance between the middles of two holes (three diameters are better).

    d  diameter of the bolt
    """
    return frac(8, 3) * d


@formula(symbol="l_max", source="aisc-360-22, J3.6")
def greatest_edge(t: Length) -> Length:
    """Greatest distance from a hole to the nearest edge of parts in contact (and not over 6 in).

    t  thickness of the part
    """
    return 12 * t
