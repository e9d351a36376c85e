"""Wood fasteners by the NDS for Wood Construction, 2018 edition, chapter 12: withdrawal and lateral load.

Values are allowable loads of allowable strength design at normal duration; the safety is inside them. They
are never divided by
Omega, and an ultimate value of a test or a maker never stands beside them as if it were one.

The equations are empirical: psi, inches, pounds. G is the specific gravity on ovendry mass and volume; the
kit's woods list G
on the volume at 12 %, which is a little lower and so cautious. `main` is the wood that holds the point,
`side` what the head holds down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, cos, formula, frac, pi, sin, sqrt
from shopcalc.units import Angle, Declared, Force, Inch, Length, Quantity, Ratio, Stress, magnitude

EDITION = "NDS 2018"
Psi = Annotated[pint.Quantity, Declared("psi", "a stress, worked in psi", "Q(4500, 'psi')")]
PoundPerInch = Annotated[
    pint.Quantity,
    Declared("lbf/inch", "a load per length, worked in pounds per inch", "Q(225, 'lbf/in')"),
]

LARGE = 0.25  # in: from this diameter on bearing depends on the direction of the grain
_WOOD = Within("G", lambda G: G, low=0.3, high=0.9, source="nds-2018, tables 12.2 and 12.3.3")
CAUTIONS = (
    "NDS values are allowable loads; those of makers and tests are ultimate, about five times as much.",
    "Strength cases assume that the wood does not move: across the grain fasten through slots.",
)


# --- withdrawal ----------------------------------------------------------------------------------


@formula(symbol="W", source="nds-2018, 12.2-1 (fits table 12.2A)", valid=[_WOOD])
def lag_withdrawal(*, G: Ratio, D: Inch) -> PoundPerInch:
    """Allowable pull of a lag screw per length of thread in side grain, tapered tip left out.

    G  specific gravity of the wood
    D  diameter of the lag over its thread
    """
    return 1800 * G ** frac(3, 2) * D ** frac(3, 4)


@formula(symbol="W", source="nds-2018, 12.2-2", valid=[_WOOD])
def wood_screw_withdrawal(*, G: Ratio, D: Inch) -> PoundPerInch:
    """Allowable pull of a wood screw per length of thread in side grain. Never from end grain.

    G  specific gravity of the wood
    D  diameter of the screw over its thread
    """
    return 2850 * G**2 * D


END_GRAIN, LATERAL_END_GRAIN = 0.75, 0.67  # 12.2.1.5 (lags only) and 12.5.2.2


# --- bearing of wood and steel under a dowel -----------------------------------------------------


@formula(symbol="F_e", source="nds-2018, table 12.3.3", valid=[_WOOD])
def bearing_along(G: Ratio) -> Psi:
    """Bearing strength along the grain of wood under a dowel of 1/4 in and more.

    G  specific gravity of the wood
    """
    return 11200 * G


@formula(symbol="F_e", source="nds-2018, table 12.3.3", valid=[_WOOD])
def bearing_across(*, G: Ratio, D: Inch) -> Psi:
    """Bearing strength across the grain of wood under a dowel of 1/4 in and more.

    G  specific gravity of the wood
    D  diameter over the thread
    """
    return 6100 * G**1.45 / sqrt(D)


@formula(symbol="F_e", source="nds-2018, table 12.3.3", valid=[_WOOD])
def bearing_small(G: Ratio) -> Psi:
    """Bearing strength, in any direction, of wood under a dowel thinner than 1/4 in.

    G  specific gravity of the wood
    """
    return 16600 * G**1.84


def bearing_si(G, D, theta) -> np.ndarray:
    """Array kernel: bearing strength (psi) at theta (radians) to the grain, D in inches: Hankinson between
    along and across."""
    G, D, theta = (np.asarray(v, float) for v in (G, D, theta))
    along, across = bearing_along.si(G), bearing_across.si(G=G, D=np.maximum(D, 1e-6))
    angled = along * across / (along * np.sin(theta) ** 2 + across * np.cos(theta) ** 2)
    return np.where(D < LARGE - 1e-9, bearing_small.si(G), angled)


def bearing(*, G: float, D: pint.Quantity, grain: str) -> pint.Quantity:
    """Bearing strength of wood: grain "along" or "across" for the direction of the load."""
    if grain not in ("along", "across"):
        raise InputError(field="bearing: grain", value=grain, need='"along" or "across"', example="along")
    return Quantity(
        float(bearing_si(float(G), float(magnitude(D, "inch")), np.pi / 2 * (grain == "across"))), "psi"
    )


# --- how a dowel yields --------------------------------------------------------------------------


@formula(symbol="Z", source="nds-2018, 12.3-1")
def mode_I_main(*, D: Length, l_m: Length, F_em: Stress, R_d: Ratio) -> Force:
    """The main wood crushes along the whole dowel.

    D     diameter that yields: at the root of the thread
    l_m   length in the main wood
    F_em  bearing strength of the main wood
    R_d   reduction term
    """
    return D * l_m * F_em / R_d


@formula(symbol="Z", source="nds-2018, 12.3-2")
def mode_I_side(*, D: Length, l_s: Length, F_es: Stress, R_d: Ratio) -> Force:
    """The side part crushes along the whole dowel.

    D     diameter that yields
    l_s   length in the side part
    F_es  bearing strength of the side part
    R_d   reduction term
    """
    return D * l_s * F_es / R_d


@formula(symbol="k_1", source="nds-2018, table 12.3.1A")
def k_1(*, R_e: Ratio, R_t: Ratio) -> Ratio:
    """Share of mode II.

    R_e  bearing strength of the main over the side
    R_t  length in the main over the side
    """
    return (sqrt(R_e + 2 * R_e**2 * (1 + R_t + R_t**2) + R_t**2 * R_e**3) - R_e * (1 + R_t)) / (1 + R_e)


@formula(symbol="Z", source="nds-2018, 12.3-3")
def mode_II(*, k_1: Ratio, D: Length, l_s: Length, F_es: Stress, R_d: Ratio) -> Force:
    """The stiff dowel turns in both parts.

    k_1   share of mode II
    D     diameter that yields
    l_s   length in the side part
    F_es  bearing strength of the side part
    R_d   reduction term
    """
    return k_1 * D * l_s * F_es / R_d


@formula(symbol="k_2", source="nds-2018, table 12.3.1A")
def k_2(*, R_e: Ratio, F_yb: Stress, D: Length, F_em: Stress, l_m: Length) -> Ratio:
    """Share of mode III, main wood.

    R_e   bearing strength of the main over the side
    F_yb  yield stress of the dowel in bending
    D     diameter that yields
    F_em  bearing strength of the main wood
    l_m   length in the main wood
    """
    return sqrt(2 * (1 + R_e) + 2 * F_yb * (1 + 2 * R_e) * D**2 / (3 * F_em * l_m**2)) - 1


@formula(symbol="Z", source="nds-2018, 12.3-4")
def mode_III_main(*, k_2: Ratio, D: Length, l_m: Length, F_em: Stress, R_e: Ratio, R_d: Ratio) -> Force:
    """The dowel bends once, in the side part, and turns in the main wood.

    k_2   share of mode III, main wood
    D     diameter that yields
    l_m   length in the main wood
    F_em  bearing strength of the main wood
    R_e   bearing strength of the main over the side
    R_d   reduction term
    """
    return k_2 * D * l_m * F_em / ((1 + 2 * R_e) * R_d)


@formula(symbol="k_3", source="nds-2018, table 12.3.1A")
def k_3(*, R_e: Ratio, F_yb: Stress, D: Length, F_em: Stress, l_s: Length) -> Ratio:
    """Share of mode III, side part.

    R_e   bearing strength of the main over the side
    F_yb  yield stress of the dowel in bending
    D     diameter that yields
    F_em  bearing strength of the main wood
    l_s   length in the side part
    """
    return sqrt(2 * (1 + R_e) / R_e + 2 * F_yb * (2 + R_e) * D**2 / (3 * F_em * l_s**2)) - 1


@formula(symbol="Z", source="nds-2018, 12.3-5")
def mode_III_side(*, k_3: Ratio, D: Length, l_s: Length, F_em: Stress, R_e: Ratio, R_d: Ratio) -> Force:
    """The dowel bends once, in the main wood, and turns in the side part.

    k_3   share of mode III, side part
    D     diameter that yields
    l_s   length in the side part
    F_em  bearing strength of the main wood
    R_e   bearing strength of the main over the side
    R_d   reduction term
    """
    return k_3 * D * l_s * F_em / ((2 + R_e) * R_d)


@formula(symbol="Z", source="nds-2018, 12.3-6")
def mode_IV(*, D: Length, F_em: Stress, F_yb: Stress, R_e: Ratio, R_d: Ratio) -> Force:
    """The dowel bends twice.

    D     diameter that yields
    F_em  bearing strength of the main wood
    F_yb  yield stress of the dowel in bending
    R_e   bearing strength of the main over the side
    R_d   reduction term
    """
    return D**2 / R_d * sqrt(2 * F_em * F_yb / (3 * (1 + R_e)))


@formula(symbol="K_D", source="nds-2018, table 12.3.1B")
def K_D_middle(D: Inch) -> Ratio:
    """Reduction term of a dowel between 0.17 and 0.25 in.

    D  diameter that yields
    """
    return 10 * D + 0.5


@formula(symbol="K_theta", source="nds-2018, table 12.3.1B")
def K_theta(theta: Angle) -> Ratio:
    """Growth of the reduction term with the angle to the grain.

    theta  greatest angle between load and grain of any part, 0 to 90 degrees
    """
    return 1 + 0.25 * theta / (pi / 2)


MODES = ("I main", "I side", "II", "III main", "III side", "IV")
MEANT = {
    "I main": "the wood crushes along the whole screw",
    "I side": "the plate or side wood crushes round the screw",
    "II": "the screw turns in both parts",
    "III main": "the screw bends at the plate and turns in the wood",
    "III side": "the screw bends in the wood and turns in the side part",
    "IV": "the screw bends twice",
}
_LARGE_TERMS = np.array([4.0, 4.0, 3.6, 3.2, 3.2, 3.2])


def reduction_si(D, D_r, theta) -> np.ndarray:
    """Array kernel: reduction terms (modes first) of table 12.3.1B; inches, radians. Root under 1/4 in: K_D,
    with the angle where the thread is 1/4 in or more (1/4 and 5/16 lags); else 4, 3.6 and 3.2 with the
    angle."""
    D, D_r, theta = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (D, D_r, theta)))
    angle = K_theta.si(theta)
    small = np.where(D_r <= 0.17, 2.2, K_D_middle.si(D_r)) * np.where(D >= LARGE - 1e-9, angle, 1.0)
    return np.where(D_r < LARGE - 1e-9, small[None], _LARGE_TERMS[:, None] * angle[None])


@dataclass(frozen=True)
class Lateral:
    """Allowable lateral load of one fastener in single shear, (n,): Z (lbf), all modes (6, n), the index of
    the least."""

    Z: np.ndarray
    modes: np.ndarray
    governing: np.ndarray

    def mode(self, i: int = 0) -> str:
        return MODES[int(self.governing[i])]


def lateral_si(*, D, D_r, F_yb, l_m, l_s, F_em, F_es, theta=0.0) -> Lateral:
    """Array kernel: single shear of a dowel in inches and psi (12.3.1). theta: greatest angle of load to
    grain (radians)."""
    given = (D, D_r, F_yb, l_m, l_s, F_em, F_es, theta)
    D, D_r, F_yb, l_m, l_s, F_em, F_es, theta = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in given)
    )
    R_e, R_t, R_d = F_em / F_es, l_m / l_s, reduction_si(D, D_r, theta)
    modes = np.stack(
        [
            mode_I_main.si(D=D_r, l_m=l_m, F_em=F_em, R_d=R_d[0]),
            mode_I_side.si(D=D_r, l_s=l_s, F_es=F_es, R_d=R_d[1]),
            mode_II.si(k_1=k_1.si(R_e=R_e, R_t=R_t), D=D_r, l_s=l_s, F_es=F_es, R_d=R_d[2]),
            mode_III_main.si(
                k_2=k_2.si(R_e=R_e, F_yb=F_yb, D=D_r, F_em=F_em, l_m=l_m),
                D=D_r,
                l_m=l_m,
                F_em=F_em,
                R_e=R_e,
                R_d=R_d[3],
            ),
            mode_III_side.si(
                k_3=k_3.si(R_e=R_e, F_yb=F_yb, D=D_r, F_em=F_em, l_s=l_s),
                D=D_r,
                l_s=l_s,
                F_em=F_em,
                R_e=R_e,
                R_d=R_d[4],
            ),
            mode_IV.si(D=D_r, F_em=F_em, F_yb=F_yb, R_e=R_e, R_d=R_d[5]),
        ]
    )
    return Lateral(modes.min(axis=0), modes, modes.argmin(axis=0))


def lateral(
    *,
    D: pint.Quantity,
    D_r: pint.Quantity,
    F_yb: pint.Quantity,
    l_m: pint.Quantity,
    l_s: pint.Quantity,
    F_em: pint.Quantity,
    F_es: pint.Quantity,
    grain: str = "along",
) -> pint.Quantity:
    """Allowable lateral load of one fastener in single shear. grain: direction of the load in the wood,
    "along" or "across"."""
    if grain not in ("along", "across"):
        raise InputError(field="lateral: grain", value=grain, need='"along" or "across"', example="along")
    inches = {n: float(magnitude(v, "inch")) for n, v in {"D": D, "D_r": D_r, "l_m": l_m, "l_s": l_s}.items()}
    psi = {n: float(magnitude(v, "psi")) for n, v in {"F_yb": F_yb, "F_em": F_em, "F_es": F_es}.items()}
    if min(*inches.values(), *psi.values()) <= 0:
        raise InputError(
            field="lateral",
            value=inches | psi,
            need="sizes and strengths over zero",
            example='D = Q(0.25, "in")',
        )
    return Quantity(float(lateral_si(**inches, **psi, theta=np.pi / 2 * (grain == "across")).Z[0]), "lbf")


def withdrawal_length(*, length: pint.Quantity, side: pint.Quantity, tip: pint.Quantity) -> pint.Quantity:
    """Length of thread that holds: the screw less what the side part takes and less the tapered tip."""
    held = length - side - tip
    if held.to("inch").magnitude <= 0:
        raise InputError(
            field="length",
            value=length,
            need="a screw longer than side part and tip together",
            example='Q(2, "in")',
        )
    return held.to("inch")


@formula(symbol="Z_a", source="nds-2018, 12.4-1")
def inclined(
    *,
    W: Force,
    Z: Force,
    theta: Angle,
) -> Force:
    """Allowable load of a screw pulled and pushed sideways at once.

    W      allowable pull of the whole screw
    Z      allowable lateral load
    theta  angle of the load to the surface of the wood
    """
    return W * Z / (W * cos(theta) ** 2 + Z * sin(theta) ** 2)


# --- distances -----------------------------------------------------------------------------------

LEAST_PENETRATION = {"lag": 4.0, "wood screw": 6.0}  # diameters, 12.1.4.6 and 12.1.5.6 (read)
# Diameters for full value of dowels of 1/4 in and more, tables 12.5.1A to D, recalled: end 7 in
# softwood (5 in hardwood), edge 4 where the load pushes at it, spacing 4. The kit takes the same
# for thinner screws, for which the code has none.
LEAST_END, LEAST_EDGE, LEAST_SPACING = 7.0, 4.0, 4.0
DISTANCES_SOURCE = "nds-appendix-l"
