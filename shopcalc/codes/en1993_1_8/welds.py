"""EN 1993-1-8:2005, 4.5.3: fillet welds by the directional and the simplified method; welding near cold-formed corners.

A second method beside AISC 360-22. `a` is the throat here, where US practice names the leg. Loads are factored.
Formulas take and return quantities. Functions on arrays (SI floats, first axis = design) say so.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula, sqrt
from shopcalc.units import Length, LoadPerLength, Q, Ratio, Stress, magnitude, read_length, show_wall

GAMMA_M2 = 1.25
# Table 4.1: correlation factor by the lowest yield stress of the grades (N/mm2).
BETA_W = ((235.0, 0.80), (275.0, 0.85), (355.0, 0.90))
THINNEST = 4e-3  # 4.1(1); 2.5 mm for hollow sections (7.1.2); thinner: EN 1993-1-3
THINNEST_HOLLOW = 2.5e-3


def correlation_factor(F_y) -> np.ndarray:
    """Factor of table 4.1 for a yield stress in Pa. Between the grades the higher one; over 355 MPa 1.0. (n,)"""
    F_y = np.atleast_1d(np.asarray(F_y, float))
    found = np.ones(F_y.shape)
    for limit, factor in reversed(BETA_W):
        found = np.where(F_y <= limit * 1e6 * (1 + 1e-9), factor, found)
    return found


@formula(symbol="f_vw,d", source="en-1993-1-8-welds, 4.5.3.3(3)")
def shear_strength(*, f_u: Stress, beta_w: Ratio, gamma_M2: Ratio) -> Stress:
    """Design shear strength of a fillet on its throat.

    f_u       tensile strength of the weaker part joined
    beta_w    correlation factor
    gamma_M2  partial factor
    """
    return f_u / (sqrt(3) * beta_w * gamma_M2)


@formula(symbol="F_w,Rd", source="en-1993-1-8-welds, 4.5.3.3(2)")
def strength_simplified(f_vw: Stress, a: Length) -> LoadPerLength:
    """Design resistance per length by the simplified method, whatever the direction of the force.

    f_vw  design shear strength
    a     throat
    """
    return f_vw * a


@formula(symbol="sigma_w", source="en-1993-1-8-welds, 4.5.3.2(6)")
def comparison_stress(*, sigma_n: Stress, tau_n: Stress, tau_l: Stress) -> Stress:
    """Stress on the throat that the directional method compares.

    sigma_n  stress square to the throat
    tau_n    shear on the throat, across the weld
    tau_l    shear on the throat, along the weld
    """
    return sqrt(sigma_n**2 + 3 * (tau_n**2 + tau_l**2))


@formula(symbol="f_w,d", source="en-1993-1-8-welds, 4.5.3.2(6)")
def comparison_limit(*, f_u: Stress, beta_w: Ratio, gamma_M2: Ratio) -> Stress:
    """What the comparison stress may reach.

    f_u       tensile strength of the weaker part joined
    beta_w    correlation factor
    gamma_M2  partial factor
    """
    return f_u / (beta_w * gamma_M2)


@formula(symbol="f_n,d", source="en-1993-1-8-welds, 4.5.3.2(6)")
def square_limit(f_u: Stress, gamma_M2: Ratio) -> Stress:
    """What the stress square to the throat may reach.

    f_u       tensile strength of the weaker part joined
    gamma_M2  partial factor
    """
    return 0.9 * f_u / gamma_M2


def directional_ratio(along, across, square, a, f_u, beta_w, gamma_M2: float = GAMMA_M2) -> np.ndarray:
    """Use of an equal-leg fillet at right angles by the directional method. SI, arrays (n,).

    along   force per length along the weld;  across  in the plane of the face it stands on, square to the weld;
    square  square to that face (a pull on the branch). The throat lies at 45 degrees to both legs.
    """
    along, across, square = (np.asarray(v, float) for v in (along, across, square))
    sigma, tau = (square + across) / (np.sqrt(2) * a), (square - across) / (np.sqrt(2) * a)
    whole = comparison_stress.si(sigma_n=sigma, tau_n=tau, tau_l=along / a)
    return np.maximum(
        whole / comparison_limit.si(f_u=f_u, beta_w=beta_w, gamma_M2=gamma_M2),
        np.abs(sigma) / square_limit.si(f_u=f_u, gamma_M2=gamma_M2),
    )


def longitudinal_resistance(
    a: pint.Quantity, f_u: pint.Quantity, beta_w: float, gamma_M2: float = GAMMA_M2
) -> pint.Quantity:
    """Design resistance per length of a fillet pulled along its length (the simplified method for any direction)."""
    return strength_simplified(shear_strength(f_u=f_u, beta_w=beta_w, gamma_M2=gamma_M2), a).to("kN/mm")


def transverse_resistance(
    a: pint.Quantity, f_u: pint.Quantity, beta_w: float, gamma_M2: float = GAMMA_M2
) -> pint.Quantity:
    """Design resistance per length of a fillet of a T joint pulled square to the face it stands on, directional method:
    the force at which `directional_ratio` is 1."""
    a_m, f = float(magnitude(a, "m")), float(magnitude(f_u, "Pa"))
    if not (a_m > 0 and f > 0 and beta_w > 0 and gamma_M2 > 0):
        raise InputError(
            field="transverse_resistance",
            value=f"throat {a:~P}, f_u {f_u:~P}",
            need="sizes over zero",
            example="Q(4.2, 'mm'), Q(410, 'MPa'), 0.85",
        )
    return Q(1.0 / float(directional_ratio(0.0, 0.0, 1.0, a_m, f, beta_w, gamma_M2)), "N/m").to("kN/mm")


# --- cold-formed corners (4.14, table 4.2) --------------------------------------------------------

EN_10219_KILLED, EN_10219_QUALITIES = 12.5e-3, "J2H, MH, MLH, NH or NLH"  # note to the table


@lru_cache(maxsize=2)
def _corner_table(killed: bool) -> tuple[tuple[float, float], ...]:
    with open(
        Path(__file__).with_name("data") / "cold_formed_corners.csv", newline="", encoding="utf-8"
    ) as file:
        column = "t_max_killed" if killed else "t_max"
        return tuple(
            (float(r["r_over_t"]), float(magnitude(read_length(r[column], "cold_formed_corners.csv"), "m")))
            for r in csv.DictReader(file)
        )


def weldable_wall_si(r_over_t, killed: bool = False) -> np.ndarray:
    """Table 4.2, mainly static: greatest wall (m) that may be welded within 5 t of a cold-formed corner of
    inside radius over wall r/t. killed: fully aluminium-killed steel by its certificate. Between rows the
    tighter one; 0 under r/t = 1. (n,)"""
    r = np.atleast_1d(np.asarray(r_over_t, float))
    found = np.zeros(r.shape)
    for limit, wall in _corner_table(killed):
        found = np.where(r >= limit * (1 - 1e-9), wall, found)
    return found


def weldable_wall(r_over_t: float, killed: bool = False) -> pint.Quantity:
    """Greatest wall that may be welded within 5 t of a cold-formed corner, table 4.2, mainly static."""
    found = float(weldable_wall_si(float(r_over_t), killed)[0])
    if not found:
        raise InputError(
            field="weldable_wall: r_over_t",
            value=r_over_t,
            example="1.0",
            need="an inside radius of at least one wall: tighter corners are not to be welded near",
        )
    return Q(found * 1e3, "mm")


def corner_words(r_over_t: float, t: float, system: str = "inch") -> str:
    """Caution for a weld near the corner of a cold-formed tube (wall t in m), "" where it may be welded."""
    if t <= weldable_wall_si(r_over_t)[0] * (1 + 1e-9):
        return ""
    killed = float(weldable_wall_si(r_over_t, killed=True)[0])
    heavy = "the wall is heavier than EN 1993-1-8 (table 4.2) lets be welded within five walls of so tight a cold-formed corner: "
    if t <= killed * (1 + 1e-9):
        return (
            f"{heavy}ask for aluminium-killed steel and its certificate (then to {show_wall(Q(killed, 'm'), system)})"
        )
    if t <= EN_10219_KILLED * (1 + 1e-9):
        return (
            f"{heavy}plain killed steel does not do; EN 10219 tube of quality {EN_10219_QUALITIES}, killed, with at "
            f"most 0.18 % C, 0.020 % P and 0.012 % S would, to {show_wall(Q(EN_10219_KILLED, 'm'), system)}. Else keep "
            "the weld off the corners"
        )
    return f"{heavy}killed steel or not. Keep the weld off the corners, or buy tube finished hot"
