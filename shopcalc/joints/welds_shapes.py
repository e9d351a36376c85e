"""Welds that are no plain fillet at right angles: skewed, concave, ground, on the round corner of a tube,
butt.

AISC 360-22 J2.1a (groove welds, table J2.2), J2.2a (fillets), AWS D1.1 2.4.2.6 (skewed fillets and the loss
at their root). All that a weld loses is taken off its throat before a strength is counted.

Formulas take and return quantities. Functions on arrays (SI floats, first axis = design) say so.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shopcalc.check import Strength
from shopcalc.errors import InputError
from shopcalc.formula import Within, formula, sqrt
from shopcalc.joints.welds import (
    DATA,
    INCH,
    throat_equal_legs,
    throat_skewed,
)
from shopcalc.units import Count, Length, LoadPerLength, Ratio, Stress, magnitude, read_length

PROCESSES = ("SMAW", "FCAW-S", "FCAW-G", "GMAW", "GTAW", "SAW")
POSITIONS = ("flat or horizontal", "vertical or overhead")
SHARPEST, WIDEST = 30.0, 150.0  # degrees between the faces
AS_SQUARE = (80.0, 100.0)  # AWS D1.1 2.4.2.6: counted as square
ROOT_LOST = 60.0  # under this a part of the root is not reached
SMALL_CORNER = 3 / 8 * INCH  # table J2.2, note a


# --- skewed --------------------------------------------------------------------------------------


@formula(symbol="t_e", source="aws-d1-1, 2.4.2.6, loss at the root of a sharp angle")
def throat_less_root_loss(*, t: Length, Z: Length) -> Length:
    """Throat of a fillet in an angle under 60 degrees, where the arc does not reach the root.

    t  throat by geometry, from the root
    Z  loss at the root
    """
    return t - Z


@lru_cache(maxsize=1)
def _root_losses() -> dict[tuple[str, str, float], float]:
    with open(DATA / "root_loss.csv", newline="", encoding="utf-8") as file:
        return {
            (r["process"], r["position"], float(r["from_deg"])): magnitude(
                read_length(r["loss"], "root_loss.csv"), "m"
            )
            if r["loss"]
            else np.nan
            for r in csv.DictReader(file)
        }


def root_loss_si(psi, process: str, position: str = POSITIONS[1]) -> np.ndarray:
    """Loss at the root for angles between the faces in degrees. SI, (n,). Nought from 60 degrees on; nan
    where the
    table has no row (the process is not for that angle in that position, or under 30 degrees)."""
    if process not in PROCESSES or position not in POSITIONS:
        raise InputError(
            field="root_loss: process, position",
            value=f"{process}, {position}",
            need="one of " + ", ".join(PROCESSES) + "; " + " or ".join(POSITIONS),
            example='"GMAW", "flat or horizontal"',
        )
    psi = np.atleast_1d(np.asarray(psi, float))
    table = _root_losses()
    upper, lower = (table.get((process, position, start), np.nan) for start in (45.0, 30.0))
    return np.where(
        psi >= ROOT_LOST, 0.0, np.where(psi >= 45, upper, np.where(psi >= SHARPEST, lower, np.nan))
    )


@dataclass(frozen=True)
class Skewed:
    """Throat of a skewed fillet, arrays (n,), SI. throat: what counts, nought where the root loss takes it
    all, nan
    outside 30 to 150 degrees or where the process has no row; by_geometry; root_loss."""

    throat: np.ndarray
    by_geometry: np.ndarray
    root_loss: np.ndarray


def skewed(b, psi, process: str, position: str = POSITIONS[1]) -> Skewed:
    """A fillet between parts that meet at psi degrees, b its length of contact on either part. SI, arrays
    (n,).

    80 to 100 degrees count as square; over 100 and 60 to 80 by geometry, 30 to 60 less the loss at the root.
    Read as
    length of contact a leg gives the smaller throat of the two readings in use.
    """
    b, psi = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (b, psi)))
    inside = (psi >= SHARPEST) & (psi <= WIDEST)
    square = (psi >= AS_SQUARE[0]) & (psi <= AS_SQUARE[1])
    plain = np.where(square, throat_equal_legs.si(w=b), throat_skewed.si(b=b, psi=np.radians(psi)))
    plain = np.where(inside, plain, np.nan)
    loss = root_loss_si(psi, process, position)
    return Skewed(np.maximum(throat_less_root_loss.si(t=plain, Z=loss), 0.0), plain, loss)


# --- filled hollow, or ground ---------------------------------------------------------------------


@formula(symbol="t_e", source="aisc-360-22, J2.2a")
def throat_concave(*, w: Length, c: Length) -> Length:
    """Throat of a hollow fillet with equal legs at right angles: what is left under the hollow.

    w  leg
    c  depth of the hollow under the straight line from toe to toe
    """
    return w / sqrt(2) - c


@formula(symbol="t_e", source="weld-geometry, corner ground to a radius that runs into both faces")
def throat_ground_to_radius(r: Length) -> Length:
    """Throat left where a fillet between square faces is ground to a hollow radius that runs out at its toes.

    r  radius it is ground to, equal to the leg that is left
    """
    return (sqrt(2) - 1) * r


@formula(symbol="t_e", source="aisc-360-22, J2.1a and J2.2a")
def throat_less_depth(*, t: Length, d: Length) -> Length:
    """Throat left of a weld that is filled less than flush, or ground below flush.

    t  throat as filled flush or as laid
    d  depth missing: not filled, or ground away
    """
    return t - d


# --- flare welds on the round corner of a tube ----------------------------------------------------


@formula(symbol="t_e", source="aisc-360-22, table J2.2")
def throat_flare(k: Ratio, R: Length) -> Length:
    """Throat of a flare weld between a round corner and a flat (or another round corner), filled flush.

    k  share of the radius, by process and joint
    R  outside radius of the corner
    """
    return k * R


@lru_cache(maxsize=1)
def flare_shares() -> dict[tuple[str, str], float]:
    """(joint, process) -> share of the outside radius that counts as throat, table J2.2."""
    with open(DATA / "flare_throats.csv", newline="", encoding="utf-8") as file:
        return {
            (r["joint"], p): float(r["numerator"]) / float(r["denominator"])
            for r in csv.DictReader(file)
            for p in r["processes"].split("|")
        }


def flare_share(joint: str, process: str) -> float:
    """Share of the radius for one joint ("flare bevel" or "flare V") and process. InputError where none
    stands."""
    if (joint, process) not in flare_shares():
        raise InputError(
            field="flare weld",
            value=f"{joint}, {process}",
            example='"flare bevel", "GMAW"',
            need="a joint and process of table J2.2: " + "; ".join(f"{j} {p}" for j, p in flare_shares()),
        )
    return flare_shares()[joint, process]


def flare_throat(R, process: str, *, joint: str = "flare bevel", missing=0.0, reinforcing=0.0) -> np.ndarray:
    """Throat that counts of a flare weld on a corner. SI, arrays (n,).

    R            outside radius of the corner;  missing: depth it is filled (or ground) below flush
    reinforcing  leg of the fillet laid on the flush weld, 0 where there is none
    Note a of the table: a flare bevel on a radius under 3/8 in counts only with the fillet laid on it. Most
    tube of
    a table is below that. Never the sum of the two.
    """
    R, missing, leg = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (R, missing, reinforcing))
    )
    filled = np.maximum(
        throat_less_depth.si(t=throat_flare.si(k=flare_share(joint, process), R=R), d=missing), 0.0
    )
    fillet = np.where(missing > 0, 0.0, throat_equal_legs.si(w=leg))
    if joint == "flare V":
        return filled
    return np.where(R < SMALL_CORNER * (1 - 1e-9), fillet, np.maximum(filled, fillet))


# --- butt welds -----------------------------------------------------------------------------------

OMEGA_BUTT, PHI_BUTT = 1.88, 0.80  # table J2.5, partial penetration, pull across


def butt_throat(penetration, wall, ground_below=0.0) -> np.ndarray:
    """Throat of a square butt in tube from one side: the penetration that sectioned test pieces proved, never
    over
    the wall, less what is ground below flush. Reinforcement counts nothing: it is ground off. SI, arrays
    (n,)."""
    p, t, g = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (penetration, wall, ground_below))
    )
    for name, value, low in (("penetration", p, 0.0), ("wall", t, 1e-9), ("ground_below", g, 0.0)):
        if not (value >= low).all():
            raise InputError(
                field=f"butt weld: {name}",
                value=f"{np.min(value):g} m",
                example="penetration 0.080 in",
                need="a depth measured on sectioned test pieces made the same way; what was not proved "
                "is not counted",
            )
    return np.maximum(throat_less_depth.si(t=np.minimum(p, t), d=g), 0.0)


@formula(symbol="r_n", source="aisc-360-22, table J2.5, partial penetration, pull across the weld")
def strength_butt_pulled(FEXX: Stress, t_e: Length) -> LoadPerLength:
    """Nominal strength per length of a butt weld without full penetration, pulled across.

    FEXX  classification strength of the filler metal
    t_e   throat: proven penetration less what is ground away
    """
    return 0.6 * FEXX * t_e


def butt_strength(FEXX, throat) -> Strength:
    """Weld metal of a butt pulled across, per length; a shear uses `welds.strengths`. SI, arrays (n,)."""
    nominal = np.atleast_1d(
        strength_butt_pulled.si(FEXX=np.asarray(FEXX, float), t_e=np.asarray(throat, float))
    )
    usable = nominal > 0
    return Strength(
        nominal=np.where(usable, nominal, np.nan),
        states=("butt weld metal",),
        governing=np.zeros(nominal.shape, int),
        in_range=usable,
        omega=OMEGA_BUTT,
        phi=PHI_BUTT,
        clause="AISC 360-22 table J2.5, partial penetration",
        why_outside="no throat is left: not filled, not penetrated, or ground away",
    )


# --- length ---------------------------------------------------------------------------------------


@formula(
    symbol="l_eff",
    source="en-1993-1-8-welds, 4.5.1(1)",
    valid=[Within("l/(n a)", lambda l, n, a: l / (n * a), low=1.0)],
)
def length_less_ends(*, l: Length, n: Count, a: Length) -> Length:
    """Length of a run that counts where its start and stop are not full size: one throat less at each.

    l  length laid
    n  ends of the run that are not full size: 2 for a plain run, none for one all round
    a  throat
    """
    return l - n * a


SHORTEST_MM, SHORTEST_THROATS = 30.0, 6.0  # EN 1993-1-8, 4.5.1(2)
SHORT_RUN = (
    "a run under 30 mm or six throats is not counted at all by EN 1993-1-8; AISC 360-22 counts a quarter of "
    "its length as leg"
)


def too_short(length, throat) -> np.ndarray:
    """EN 1993-1-8 4.5.1(2): where a run is too short to carry anything. SI, (n,)."""
    return np.asarray(length, float) < np.maximum(
        SHORTEST_MM * 1e-3, SHORTEST_THROATS * np.asarray(throat, float)
    )
