"""Older door to `of_sections` for one length: bending, shear and members of tube."""

from __future__ import annotations

import numpy as np

from shopcalc.check import Strength
from shopcalc.codes.aisc360_22 import of_sections
from shopcalc.codes.aisc360_22.combined import worked_all_together
from shopcalc.codes.aisc360_22.of_sections import Demand, Lengths  # noqa: F401
from shopcalc.codes.clause import Clause
from shopcalc.formula import Worked
from shopcalc.stock.sections import SectionArrays
from shopcalc.units import Quantity


def allowables(what: str, s: SectionArrays, F_y, E, length, kind: str, method: str = "ASD") -> np.ndarray:
    """Allowable strengths of all designs in their order for a kind of load (check.allowable); nan out of range."""
    return of_sections.allowables(what, s, F_y, E, Lengths.of(length), kind, method)


def strength_of(what: str, s: SectionArrays, F_y, E, length) -> tuple[Strength, Clause]:
    """Strength of one section, and the clause that gave it."""
    return of_sections.governing(what, s, F_y, E, Lengths.of(length))[:2]


def lines(what: str, s: SectionArrays, F_y: float, E: float, length: float, system: str) -> tuple[Worked, ...]:
    """Worked lines of the governing branch of one section."""
    return of_sections.lines(what, s, F_y, E, Lengths.of(length), system)


_NAMES = {"P_c": "compression", "P_t": "tension", "M_x": "bending", "M_y": "bending sideways", "V_x": "shear",
          "V_y": "shear sideways", "T": "torsion"}


def strengths_of_member(s: SectionArrays, F_y, E, length, kind: str, method: str) -> dict[str, np.ndarray]:
    """Allowable strengths, (n,) each: P_c compression and P_t tension, M_x, M_y, V_x, V_y, T. Array kernel.
    length: between braces and joints, for buckling sideways and as a column (K = 1)."""
    found = of_sections.member_strengths(s, F_y, E, Lengths.of(length), kind, method)
    return {short: found[what] for short, what in _NAMES.items()}


def member_use(d: Demand, c: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Use of members of tube: by axial force, both moments (and torque) together (H1, H3.2), and by shear with torque.
    (n,) each; nan where a clause does not cover the member."""
    sizes = {k: abs(v) if k != "P" else v for k, v in vars(d).items()}
    _, _, together, shear = of_sections.group_use(of_sections.TUBE, sizes, {_NAMES[k]: v for k, v in c.items()}, 0.0)
    return together, shear


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
