"""A round tube welded on the flat face of a square or rectangular tube.

AISC 360-22 has no row for it. Axial force: the square branch of the same width, times pi/4, as EN 1993-1-8
tables 7.10 and 7.11 say for circular braces, on the strengths of `hollow_joints`. Moments: those tables are
for forces only, so the square that fits inside the circle counts (kit's own rule): what folds a face round
a stiff patch also folds it round any smaller patch within, so the smaller one never carries more.

The tube is B wide where the branch stands and H deep; D_b is the diameter of the branch.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.aisc360_22 import point_load as pl
from shopcalc.codes.aisc360_22.joint_use import scaled
from shopcalc.formula import Within, Worked, formula, pi, sqrt
from shopcalc.units import Force, Length, Quantity

EURO = "en-1993-1-8, tables 7.10 and 7.11, note on circular braces"
RANGE = "en-1993-1-8-round, table 7.8"


@formula(symbol="P_n", source=EURO)
def round_branch_strength(*, R_n: Force) -> Force:
    """Axial strength of a round branch on a flat face.

    R_n  strength of a square branch as wide as the round one
    """
    return pi / 4 * R_n


@formula(symbol="B_s", source="geometry, square inside a circle")
def side_of_square_inside(*, D_b: Length) -> Length:
    """Side of the largest square that fits inside a round branch.

    D_b  outside diameter of the branch
    """
    return D_b / sqrt(2)


TESTED = (
    *(limit for limit in hj.TESTED if not {"B_b", "H_b"} & set(limit.names)),
    Within("D_b/B", lambda D_b, B: D_b / B, low=0.4, high=0.8, source=RANGE),
    Within("D_b/t_b", lambda D_b, t_b: D_b / t_b, high=50, source=RANGE),
    Within(
        "D_b/t_b over E/F_yb",
        lambda D_b, t_b, E, F_yb: D_b / t_b / (E / F_yb),
        high=0.05,
        source="aisc-360-22, table K3.1A",
    ),
)
CAUTIONS = (
    *hj.CAUTIONS,
    "A round branch on a flat face: AISC 360-22 has no rule. Force by EN 1993-1-8 (the square branch as wide, times"
    " pi/4), moments on the square that fits inside the circle, which is cautious.",
)


class RoundOnFlatUse(hj.FaceUse):
    """How far joints of round branches on flat tube faces are used (`joint_use.JointUse`)."""

    tested = TESTED
    cautions = CAUTIONS
    source = "en-1993-1-8, tables 7.10 and 7.11; aisc-360-22, J4 and J10"
    tables = "EN 1993-1-8 table 7.8 and AISC 360-22 table K3.2A"

    def _size(self, name: str, g: int) -> np.ndarray:
        if name in ("B_b", "H_b"):
            return self.sizes["D_b" if g == 0 else "B_s"]
        return super()._size(name, g)

    def _more(self, found: tuple[Worked, ...], g: int, system: str, i: int) -> tuple[Worked, ...]:
        if g:
            return (
                side_of_square_inside.worked(D_b=Quantity(float(self.sizes["D_b"][i]), "m"), system=system),
            )
        R_n = Quantity(float(self._axial_nominal(i)), "N")
        return (round_branch_strength.worked(R_n=R_n, system=system),)

    def _axial_nominal(self, i: int) -> float:
        clause = self.behind[0][int(self.states[0][i])]
        return float(clause.si(**{n: self._size(n, 0)[i] for n in clause.arguments}).nominal[0])


def round_on_flat_strength(
    *,
    F_y,
    F_u,
    E,
    t,
    B,
    H,
    h,
    k,
    F_yb,
    F_ub,
    t_b,
    D_b,
    Z_b,
    l_end,
    theta=np.pi / 2,
    P=0.0,
    M_ip=0.0,
    M_op=0.0,
    U=0.0,
    pressed=True,
    cross=False,
    kind="use",
    method="ASD",
) -> RoundOnFlatUse:
    """Array kernel: how far joints of a round branch on a flat tube face are used, SI, broadcast, first
    axis = design.

    As `hollow_joints.face_strength`; D_b: outside diameter of the branch, Z_b its plastic modulus.
    """
    names = dict(F_y=F_y, F_u=F_u, E=E, t=t, B=B, H=H, F_yb=F_yb, F_ub=F_ub, t_b=t_b, D_b=D_b, theta=theta)
    rest = dict(h=h, k=k, Z_ip=Z_b, Z_op=Z_b, l_end=l_end, P=P, M_ip=M_ip, M_op=M_op, U=U)
    flags = {"pressed": pressed, "cross": cross}
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (*names.values(), *rest.values())),
        *(np.atleast_1d(np.asarray(v, bool)) for v in flags.values()),
    )
    a = dict(zip((*names, *rest, *flags), arrays, strict=True))
    a["B_s"] = side_of_square_inside.si(D_b=a["D_b"])
    # The narrower patch keeps less of its face under stress along the tube: one factor, the lesser, for all.
    a["Q_f"] = pl.stress_factor_si(U=a["U"], beta=a["B_s"] / a["B"], face_pressed=a["pressed"])
    a |= {"l_b": a["D_b"] / np.sin(a["theta"]), "s_w": np.where(a["cross"], 0.8, 1.0)}
    tube = {n: a[n] for n in ("F_y", "t", "B", "H", "l_end", "Q_f", "F_yb", "t_b", "cross")}
    axial = hj.axial_si(
        **tube,
        E=a["E"],
        h=a["h"],
        k=a["k"],
        B_b=a["D_b"],
        H_b=a["D_b"],
        theta=a["theta"],
        pressing=a["P"] < 0,
    )
    in_plane, out_of_plane = hj.moments_si(**tube, B_b=a["B_s"], H_b=a["B_s"], Z_ip=a["Z_ip"], Z_op=a["Z_op"])
    share = round_branch_strength.si(R_n=1.0)
    across = [scaled(s, share / np.sin(a["theta"])) for s in axial[:-1]]
    return RoundOnFlatUse.of(((*across, scaled(axial[-1], share)), in_plane, out_of_plane), a, kind, method)
