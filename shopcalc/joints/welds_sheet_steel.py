"""Fillets and flare welds on sheet up to 3/16 in by the rules of sheet steel: AISI S100 J2.5 and J2.6.

There the sheet tears beside the weld, and the factors are larger. AISC 360-22 (A1, user note) keeps
cold-formed hollow sections to itself, so the kit reports this strength beside the verdict. Values are
recalled, not read.

Formulas take and return quantities. Functions on arrays (SI floats, first axis = design) say so.
"""

from __future__ import annotations

import numpy as np

from shopcalc.check import Strength, allowable
from shopcalc.formula import Within, formula
from shopcalc.joints.welds import INCH
from shopcalc.units import Length, LoadPerLength, Stress

THICKEST = 3 / 16 * INCH
WELD_COUNTS = 0.10 * INCH  # over this the weld itself is checked too
LONG = 25.0  # length over thickness from which a run along the force tears at 0.75
SOURCE = "aisi-s100"


@formula(
    symbol="r_n",
    source="aisi-s100, J2.5, fillet along the force, short",
    valid=[Within("L/t", lambda L, t: L / t, low=0, high=LONG, source="aisi-s100, J2.5")],
)
def tear_along_short(*, L: Length, t: Length, F_u: Stress) -> LoadPerLength:
    """Nominal strength per length of a short fillet along the force: the sheet tears beside it.

    L    length of the run
    t    thinner sheet
    F_u  tensile strength of the sheet
    """
    return (1 - 0.01 * L / t) * t * F_u


@formula(symbol="r_n", source="aisi-s100, J2.5, fillet along the force, long")
def tear_along_long(t: Length, F_u: Stress) -> LoadPerLength:
    """Nominal strength per length of a long fillet along the force.

    t    thinner sheet
    F_u  tensile strength of the sheet
    """
    return 0.75 * t * F_u


@formula(symbol="r_n", source="aisi-s100, J2.5, fillet across the force")
def tear_across(t: Length, F_u: Stress) -> LoadPerLength:
    """Nominal strength per length of a fillet across the force.

    t    thinner sheet
    F_u  tensile strength of the sheet
    """
    return t * F_u


@formula(symbol="r_n", source="aisi-s100, J2.5 and J2.6, weld metal over 0.10 in")
def sheet_weld_metal(t_w: Length, FEXX: Stress) -> LoadPerLength:
    """Nominal strength per length of the weld itself, on sheet over 0.10 in.

    t_w   throat
    FEXX  classification strength of the filler metal
    """
    return 0.75 * t_w * FEXX


@formula(symbol="r_n", source="aisi-s100, J2.6, flare bevel across the force")
def flare_tear_across(t: Length, F_u: Stress) -> LoadPerLength:
    """Nominal strength per length of a flare bevel weld across the force.

    t    thinner sheet
    F_u  tensile strength of the sheet
    """
    return 0.833 * t * F_u


def strengths(F_u, t, length, *, FEXX=0.0, throat=0.0, flare: bool = False) -> tuple[Strength, ...]:
    """Nominal strengths per length: along the force, across it, and the weld itself over 0.10 in. SI, arrays
    (n,).

    length  of the run;  flare: a flare weld on a corner instead of a fillet
    Outside: sheet over 3/16 in, where AISC 360-22 stands alone.
    """
    F_u, t, length, FEXX, throat = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (F_u, t, length, FEXX, throat))
    )
    inside = (t > 0) & (t <= THICKEST * (1 + 1e-9)) & (length > 0)
    if flare:
        rows = [
            (tear_along_long.si(t=t, F_u=F_u), "sheet tears along the flare weld", 2.80, 0.55, "J2.6"),
            (flare_tear_across.si(t=t, F_u=F_u), "sheet tears across the flare weld", 2.55, 0.60, "J2.6"),
        ]
    else:
        short = length / t < LONG
        along = np.where(short, tear_along_short.si(L=length, t=t, F_u=F_u), tear_along_long.si(t=t, F_u=F_u))
        rows = [
            (np.where(short, along, np.nan), "sheet tears along the weld, short run", 2.55, 0.60, "J2.5"),
            (np.where(short, np.nan, along), "sheet tears along the weld", 3.05, 0.50, "J2.5"),
            (tear_across.si(t=t, F_u=F_u), "sheet tears across the weld", 2.35, 0.65, "J2.5"),
        ]
    rows.append(
        (
            np.where(t > WELD_COUNTS, sheet_weld_metal.si(t_w=throat, FEXX=FEXX), np.nan),
            "weld metal by the sheet rules",
            2.55,
            0.60,
            "J2.5",
        )
    )
    found = []
    for nominal, state, omega, phi, place in rows:
        usable = inside & np.isfinite(nominal) & (nominal > 0)
        found.append(
            Strength(
                nominal=np.where(usable, nominal, np.nan),
                states=(state,),
                governing=np.zeros(nominal.shape, int),
                in_range=usable,
                omega=omega,
                phi=phi,
                clause=f"AISI S100 {place}",
                why_outside="sheet up to 3/16 in only",
            )
        )
    return tuple(found)


def least(
    F_u, t, length, kind: str = "use", method: str = "ASD", *, FEXX=0.0, throat=0.0, flare: bool = False
) -> tuple[np.ndarray, tuple[str, ...]]:
    """Least allowable strength per length whatever the direction of the force, and what governs, in words.
    (n,), SI.
    nan over 3/16 in."""
    found = strengths(F_u, t, length, FEXX=FEXX, throat=throat, flare=flare)
    each = np.stack([allowable(s, kind, method) for s in found])
    filled = np.where(np.isnan(each), np.inf, each)
    best = filled.argmin(axis=0)
    value = np.take_along_axis(filled, best[None], axis=0)[0]
    return np.where(np.isinf(value), np.nan, value), tuple(found[int(i)].states[0] for i in best)
