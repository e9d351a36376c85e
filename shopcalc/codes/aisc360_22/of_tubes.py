"""Bending and shear of tubes of any shape, by the clause that covers each: F7 or F8, G4 or G5.

Array kernels (internal, SI): sections, steels and lengths with designs first. `lines` gives the worked lines of one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shopcalc.check import Strength, allowable
from shopcalc.codes.aisc360_22.bending_tube import (
    bending_rectangular_tube,
    bending_round_tube,
)
from shopcalc.codes.aisc360_22.combined import all_together_si, worked_all_together
from shopcalc.codes.aisc360_22.compression import (
    compression_rectangular_tube,
    compression_round_tube,
)
from shopcalc.codes.aisc360_22.shear import shear_rectangular_tube, shear_round_tube
from shopcalc.codes.aisc360_22.tension import tension_yielding
from shopcalc.codes.aisc360_22.torsion import (
    torsion_rectangular_tube,
    torsion_round_tube,
)
from shopcalc.codes.clause import Clause
from shopcalc.formula import Worked
from shopcalc.stock.sections import SectionArrays
from shopcalc.units import Quantity

RECTANGULAR, ROUND = "rectangular tube", "round tube"


def _bending_sizes(s: SectionArrays, kind: str, F_y, E, length) -> dict[str, np.ndarray]:
    sizes = {"F_y": F_y, "E": E, "Z": s.Zx, "S": s.Sx}
    if kind == ROUND:
        return {**sizes, "D": s.height, "t": s.t}
    return {**sizes, "I": s.Ix, "A_g": s.A, "J": s.J, "r_y": np.minimum(s.rx, s.ry), "H": s.height, "B": s.width,
            "t": s.t, "b": s.flat_b, "h": s.flat_h, "L_b": length}


def _shear_sizes(s: SectionArrays, kind: str, F_y, E, length) -> dict[str, np.ndarray]:
    if kind == ROUND:
        return {"F_y": F_y, "E": E, "A_g": s.A, "D": s.height, "t": s.t, "L_v": length}
    return {"F_y": F_y, "E": E, "h": s.flat_h, "t": s.t}


def _compression_sizes(s: SectionArrays, kind: str, F_y, E, length) -> dict[str, np.ndarray]:
    if kind == ROUND:
        return {"F_y": F_y, "E": E, "A_g": s.A, "r": s.rx, "L_c": length, "D": s.height, "t": s.t}
    return {"F_y": F_y, "E": E, "A_g": s.A, "r_x": s.rx, "r_y": s.ry, "L_cx": length, "L_cy": length, "t": s.t, "b": s.flat_b,
            "h": s.flat_h}


def _torsion_sizes(s: SectionArrays, kind: str, F_y, E, length) -> dict[str, np.ndarray]:
    if kind == ROUND:
        return {"F_y": F_y, "E": E, "C": s.C, "D": s.height, "t": s.t, "L": length}
    return {"F_y": F_y, "E": E, "C": s.C, "h": np.maximum(s.flat_h, s.flat_b), "t": s.t}


def _tension_sizes(s: SectionArrays, kind: str, F_y, E, length) -> dict[str, np.ndarray]:
    return {"F_y": F_y, "A_g": s.A}


_CLAUSES: dict[str, tuple[dict[str, Clause], Callable]] = {
    "bending": ({RECTANGULAR: bending_rectangular_tube, ROUND: bending_round_tube}, _bending_sizes),
    "shear": ({RECTANGULAR: shear_rectangular_tube, ROUND: shear_round_tube}, _shear_sizes),
    "compression": ({RECTANGULAR: compression_rectangular_tube, ROUND: compression_round_tube}, _compression_sizes),
    "tension": ({RECTANGULAR: tension_yielding, ROUND: tension_yielding}, _tension_sizes),
    "torsion": ({RECTANGULAR: torsion_rectangular_tube, ROUND: torsion_round_tube}, _torsion_sizes),
}


def strengths(what: str, s: SectionArrays, F_y, E, length) -> dict[str, tuple[np.ndarray, Strength]]:
    """Nominal strength by shape: kind -> (indices of the designs, Strength of those designs).

    what    "bending" about the x axis of the section (load upright), or "shear" with the load upright
    F_y, E  Pa;  length  for bending the length between braces, for shear from the largest shear to none
    """
    F_y, E, length = (np.broadcast_to(np.asarray(v, float), (len(s),)) for v in (F_y, E, length))
    found = {}
    for kind, clause in _CLAUSES[what][0].items():
        pick = np.nonzero(s.kind == kind)[0]
        if pick.size:
            part = s if pick.size == len(s) else s[pick]
            found[kind] = (pick, clause.si(**_CLAUSES[what][1](part, kind, F_y[pick], E[pick], length[pick])))
    return found


def allowables(what: str, s: SectionArrays, F_y, E, length, kind: str, method: str = "ASD") -> np.ndarray:
    """Allowable strengths of all designs in their order for a kind of load (check.allowable); nan out of range."""
    result = np.full(len(s), np.nan)
    for pick, strength in strengths(what, s, F_y, E, length).values():
        result[pick] = allowable(strength, kind, method)
    return result


def strength_of(what: str, s: SectionArrays, F_y, E, length) -> tuple[Strength, Clause]:
    """Strength of one section, and the clause that gave it."""
    ((kind, (_, strength)),) = strengths(what, s, F_y, E, length).items()
    return strength, _CLAUSES[what][0][kind]


def lines(what: str, s: SectionArrays, F_y: float, E: float, length: float, system: str) -> tuple[Worked, ...]:
    """Worked lines of the governing branch of one section."""
    kind = str(s.kind[0])
    clause = _CLAUSES[what][0][kind]
    sizes = _CLAUSES[what][1](s, kind, F_y, E, length)
    return clause.worked(system=system, **{
        n: float(np.squeeze(v)) if clause.arguments[n].bare_allowed
        else Quantity(float(np.squeeze(v)), clause.arguments[n].pint_unit) for n, v in sizes.items()})


# --- a member under everything at once -----------------------------------------------------------


@dataclass(frozen=True)
class Demand:
    """Forces on members, (n,) each, SI: axial P (compression negative), moments and shear about x (load upright) and y,
    torque. Signs of the others do not matter."""

    P: np.ndarray
    M_x: np.ndarray
    M_y: np.ndarray
    V_x: np.ndarray
    V_y: np.ndarray
    T: np.ndarray


def strengths_of_member(s: SectionArrays, F_y, E, length, kind: str, method: str) -> dict[str, np.ndarray]:
    """Allowable strengths, (n,) each: P_c compression and P_t tension, M_x, M_y, V_x, V_y, T. Array kernel.
    length: between braces and joints, for buckling sideways and as a column (K = 1)."""
    turned = s.turned()
    each = {"P_c": ("compression", s), "P_t": ("tension", s), "M_x": ("bending", s), "M_y": ("bending", turned),
            "V_x": ("shear", s), "V_y": ("shear", turned), "T": ("torsion", s)}
    return {n: allowables(what, section, F_y, E, length, kind, method) for n, (what, section) in each.items()}


def member_use(d: Demand, c: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Use of members: by axial force, both moments (and torque) together (H1, H3.2), and by shear with torque up to 0.2
    of its strength. (n,) each; nan where a clause does not cover the member."""
    P_c = np.where(d.P < 0, c["P_c"], c["P_t"])
    together = all_together_si(P_r=abs(d.P), P_c=P_c, M_rx=abs(d.M_x), M_cx=c["M_x"], M_ry=abs(d.M_y), M_cy=c["M_y"],
                               V_rx=abs(d.V_x), V_cx=c["V_x"], V_ry=abs(d.V_y), V_cy=c["V_y"], T_r=abs(d.T), T_c=c["T"])
    shear = np.maximum(np.maximum(abs(d.V_x) / c["V_x"], abs(d.V_y) / c["V_y"]), abs(d.T) / c["T"])
    return together.ratio, shear


def member_lines(d: Demand, c: dict[str, np.ndarray], i: int, system: str) -> tuple[Worked, ...]:
    """The interaction line of one member."""
    def force(x):
        return Quantity(abs(float(x)), "N")

    def moment(x):
        return Quantity(abs(float(x)), "N*m")

    P_c = c["P_c"][i] if d.P[i] < 0 else c["P_t"][i]
    # The larger shear ratio stands for both ways, as a force on a strength of its own way.
    x = abs(d.V_x[i]) / c["V_x"][i] >= abs(d.V_y[i]) / c["V_y"][i]
    V_r, V_c = (d.V_x[i], c["V_x"][i]) if x else (d.V_y[i], c["V_y"][i])
    return worked_all_together(system=system, P_r=force(d.P[i]), P_c=force(P_c), M_rx=moment(d.M_x[i]), M_cx=moment(c["M_x"][i]),
                               M_ry=moment(d.M_y[i]), M_cy=moment(c["M_y"][i]), V_r=force(V_r), V_c=force(V_c),
                               T_r=moment(d.T[i]), T_c=moment(c["T"][i]))
