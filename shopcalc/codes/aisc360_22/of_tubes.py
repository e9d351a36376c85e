"""Bending and shear of tubes of any shape, by the clause that covers each: F7 or F8, G4 or G5.

Array kernels (internal, SI): sections, steels and lengths with designs first. `lines` gives the worked lines of one.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shopcalc.check import Strength, allowable
from shopcalc.codes.aisc360_22.bending_tube import bending_rectangular_tube, bending_round_tube
from shopcalc.codes.aisc360_22.shear import shear_rectangular_tube, shear_round_tube
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


_CLAUSES: dict[str, tuple[dict[str, Clause], Callable]] = {
    "bending": ({RECTANGULAR: bending_rectangular_tube, ROUND: bending_round_tube}, _bending_sizes),
    "shear": ({RECTANGULAR: shear_rectangular_tube, ROUND: shear_round_tube}, _shear_sizes),
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
