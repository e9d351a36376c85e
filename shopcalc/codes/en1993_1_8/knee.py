"""Mitred corners of two equal square or rectangular tubes, bare or with a plate between their halves.

EN 1993-1-8:2005 7.5.2 (welded knee joints) and CIDECT design guide 3: N/N_pl + M/M_pl <= kappa, for both tubes; of a
bare mitre N <= 0.2 N_pl and V <= 0.5 V_pl besides. That rule covers axial force and bending in the plane of the corner
alone, and a weld as thick as the wall. The kit adds, and calls it its own: bending out of the plane and torsion join
the same sum under the same kappa; shear both ways and torsion join the limit on shear; walls compact for bending
either way. Strengths are nominal; AISC 360-22 has no rule for this corner, the kit takes the factors that AISC takes
for bending, 1.67 and 0.90.

The plane of the corner holds both tubes: h_0 is the size in it, b_0 across it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.check import Strength, allowable
from shopcalc.formula import Within, formula, frac, sin, sqrt
from shopcalc.units import (
    Angle,
    Area,
    Force,
    Length,
    Moment,
    Ratio,
    SectionModulus,
    Stress,
)

SOURCE = "en-1993-1-8-knee"
OMEGA, PHI = 1.67, 0.90
CLAUSE = "EN 1993-1-8 7.5.2, welded knee joints; CIDECT design guide 3, 5.16 and 5.17"
MOST_AXIAL, MOST_SHEAR = 0.2, 0.5  # cidect-3-knee, 5.17
PLATE_WALLS, PLATE_LEAST = 2.0, 10e-3  # cidect-3-knee, second edition; 1.5 walls in EN 1993-1-8
THICKEST = 10.0  # b_0/t_0 where the charts begin: a heavier wall counts no more
SQUARE = np.pi / 2
WAYS = "a plate of 10 mm (1/2 in) between the halves, a gusset, a heavier wall, one tube on the face of the other; beyond that an engineer"
OWN = (
    "the published rule covers axial force and bending in the plane of the corner; bending out of it and torsion are the "
    "kit's own addition, in the same sum under the same factor"
)
OPENS = (
    "tests of corners of cold-formed tube whose angle was bent open broke beside the weld, and bare mitres never reached the "
    "full moment of the tube: keep such a corner clear of kicks and drops, or put a plate in it"
)
THROAT = "the rule stands on a weld as thick as the wall all round: penetration through the wall, proven"


@formula(symbol="kappa_90", source=f"{SOURCE}, welded knee joints (recalled)",
         valid=[Within("b_0/t_0", lambda b_0, t_0: b_0 / t_0, low=THICKEST, high=35, source="shs-welded-joints-knee, figure 26"),
                Within("b_0/h_0", lambda b_0, h_0: b_0 / h_0, low=0.5, high=2, source="en-1993-1-8, table 7.8")])
def mitre_factor(*, b_0: Length, h_0: Length, t_0: Length) -> Ratio:
    """What a bare mitre at a right angle, or sharper, keeps of the tube's strength.

    b_0  size of the tube across the plane of the corner
    h_0  size of the tube in the plane of the corner
    t_0  wall of the tube
    """
    return 3 * sqrt(b_0 / h_0) / (b_0 / t_0) ** frac(4, 5) + 1 / (1 + 2 * b_0 / h_0)


@formula(symbol="kappa", source=f"{SOURCE}, welded knee joints (recalled)",
         valid=[Within("phi in degrees", lambda phi: phi * 180 / np.pi, low=0, high=45, source=SOURCE),
                Within("kappa_90", lambda kappa_90: kappa_90, high=1, source=SOURCE)])
def mitre_factor_open(*, phi: Angle, kappa_90: Ratio) -> Ratio:
    """What a bare mitre between a right angle and a straight line keeps of the tube's strength.

    phi       angle of the cut off square, half of what the corner lacks to a straight line: 45 degrees at a right angle
    kappa_90  what one at a right angle keeps
    """
    return 1 - sqrt(2) * sin(phi) * (1 - kappa_90)


@formula(symbol="V_pl", source="cidect-3-knee, 5.17")
def shear_yield(*, f_y: Stress, h: Length, t: Length) -> Force:
    """Shear at which the two walls along it yield.

    f_y  yield stress of the tube
    h    size of the tube along the shear
    t    wall of the tube
    """
    return f_y / sqrt(3) * 2 * h * t


@formula(symbol="N_pl", source="cidect-3-knee, 5.16")
def axial_yield(*, f_y: Stress, A: Area) -> Force:
    """Axial force at which the tube yields.

    f_y  yield stress of the tube
    A    area of the tube
    """
    return f_y * A


@formula(symbol="M_pl", source="cidect-3-knee, 5.16")
def plastic_moment(*, f_y: Stress, W: SectionModulus) -> Moment:
    """Moment at which the whole tube yields.

    f_y  yield stress of the tube
    W    plastic section modulus
    """
    return f_y * W


@formula(symbol="T_pl", source="en-1993-1-1, 6.2.7")
def torsion_yield(*, f_y: Stress, C: SectionModulus) -> Moment:
    """Torque at which the walls of the tube yield.

    f_y  yield stress of the tube
    C    torsion modulus of the tube
    """
    return f_y / sqrt(3) * C


@formula(symbol="c/(t epsilon)", source="en-1993-1-1, table 5.2")
def wall_slenderness(*, b: Length, t: Length, f_y: Stress, f_235: Stress) -> Ratio:
    """Slenderness of the flat of a wall; up to 33 the tube bends to its plastic moment and stays there (class 1).

    b      outside size of the wall
    t      its thickness
    f_y    yield stress of the tube
    f_235  the stress that classes are counted from, 235 MPa
    """
    return (b - 3 * t) / t * sqrt(f_y / f_235)


@formula(symbol="u", source=f"{SOURCE}, 7.5.2, N/N_pl + M/M_pl under kappa; out of the plane and torsion are the kit's own")
def corner_use(*, n: Ratio, m_ip: Ratio, m_op: Ratio, tau: Ratio, kappa: Ratio) -> Ratio:
    """How far a mitred corner is used by the forces of one of its tubes.

    n      axial force over the allowable of the tube
    m_ip   moment in the plane of the corner over that of the tube
    m_op   moment out of the plane over that of the tube
    tau    torque over that of the tube
    kappa  what the corner keeps of the tube
    """
    return (n + m_ip + m_op + tau) / kappa


@formula(symbol="u", source="cidect-3-knee, 5.17")
def axial_use(*, n: Ratio, n_most: Ratio) -> Ratio:
    """How far the limit on axial force of a mitred corner is used.

    n       axial force over the allowable of the tube
    n_most  most of it that the rule allows
    """
    return n / n_most


@formula(symbol="u", source="cidect-3-knee, 5.17; torsion is the kit's own")
def shear_use(*, v_ip: Ratio, v_op: Ratio, tau: Ratio, v_most: Ratio) -> Ratio:
    """How far the limit on shear of a mitred corner is used.

    v_ip    shear in the plane of the corner over the allowable of the tube
    v_op    shear out of the plane over that of the tube
    tau     torque over that of the tube
    v_most  most of their sum that the rule allows
    """
    return (v_ip + v_op + tau) / v_most


CLASS_1, F_235 = 33.0, 235e6
TESTED = (
    Within("b_0/t_0", lambda b_0, t_0: b_0 / t_0, high=35, source="shs-welded-joints-knee, figure 26"),
    Within("h_0/t_0", lambda h_0, t_0: h_0 / t_0, high=35, source="en-1993-1-8, table 7.8"),
    Within("b_0/h_0", lambda b_0, h_0: b_0 / h_0, low=0.5, high=2.0, source="en-1993-1-8, table 7.8"),
    *(
        Within(f"c/(t epsilon) of {wall}", of, high=CLASS_1, source="en-1993-1-1, table 5.2, class 1 (recalled)")
        for wall, of in (
            ("b_0", lambda b_0, t_0, f_y: wall_slenderness.si(b=b_0, t=t_0, f_y=f_y, f_235=F_235)),
            ("h_0", lambda h_0, t_0, f_y: wall_slenderness.si(b=h_0, t=t_0, f_y=f_y, f_235=F_235)),
        )
    ),
    Within("wall in mm", lambda wall: wall * 1e3, low=2.5, source="en-1993-1-8, 7.1.1(5) (recalled)"),
    Within("f_y in MPa", lambda f_y: f_y / 1e6, high=355, source="en-1993-1-8, 7.1.1(4): over it 0.9 of f_y"),
    Within("theta in degrees", lambda theta: np.round(np.degrees(theta), 4), low=60, high=180,
           source="shop-practice, a sharper cut is hard to weld through"),
    Within("throat over wall", lambda throat, t_0: throat / t_0, low=1.0, source="cidect-3-knee, figure 5.8"),
)
GOVERNS = ("sum of the forces under kappa", "axial force", "shear")


@dataclass(frozen=True)
class Corner:
    """How far mitred corners are used. ratio, kappa, governing (index into GOVERNS), in_range share the shape of the
    designs (and cases); shares (3, ...) stands as GOVERNS; parts (6, ...) of the tube alone: axial, in plane, out of plane,
    torsion, shear in and out of the plane. ratio is nan outside the range, where `broken` (limits of TESTED, ...) says why."""

    ratio: np.ndarray
    kappa: np.ndarray
    shares: np.ndarray
    parts: np.ndarray
    in_range: np.ndarray
    broken: np.ndarray

    @property
    def governing(self) -> np.ndarray:
        return np.nan_to_num(self.shares).argmax(axis=0)

    def why_outside(self, design: int = 0) -> str:
        """The limits that a design breaks, in words."""
        broken = self.broken.reshape(len(TESTED), -1)[:, design]
        return "; ".join(f"{limit} ({limit.source})" for limit, out in zip(TESTED, broken, strict=True) if out)


def stiffened(plate, t_0) -> np.ndarray:
    """Where a plate between the halves is thick enough to count: 10 mm and two walls. SI, (n,); nought: no plate."""
    plate, t_0 = np.asarray(plate, float), np.asarray(t_0, float)
    return plate >= np.maximum(PLATE_WALLS * t_0, PLATE_LEAST) * (1 - 1e-9)


def kappa_si(b_0, h_0, t_0, theta=SQUARE, plate=0.0) -> np.ndarray:
    """Share of the tube's strength that a mitred corner keeps; 1 with a plate that counts. SI, arrays."""
    thin = np.minimum(t_0, np.asarray(b_0, float) / THICKEST)
    right = np.minimum(mitre_factor.si(b_0=np.asarray(b_0, float), h_0=np.asarray(h_0, float), t_0=thin), 1.0)
    open_ = mitre_factor_open.si(phi=(np.pi - np.maximum(theta, SQUARE)) / 2, kappa_90=right)
    return np.where(stiffened(plate, t_0), 1.0, open_)


def _factor(kind, method: str) -> np.ndarray:
    """Allowable over nominal strength for a kind of load, or one for each design."""
    one = Strength(np.ones(1), ("",), np.zeros(1, int), np.ones(1, bool), OMEGA, PHI, CLAUSE)
    kinds = np.asarray(kind)
    each = {k: float(allowable(one, k, method)[0]) for k in dict.fromkeys(kinds.ravel().tolist())}
    return np.vectorize(each.get, otypes=[float])(kinds)


def corner(
    *, f_y, t_0, b_0, h_0, A, W_ip, W_op, C, theta=SQUARE, plate=0.0, throat=np.nan, wall=None,
    N=0.0, M_ip=0.0, M_op=0.0, T=0.0, V_ip=0.0, V_op=0.0, kind="use", method="ASD",
) -> Corner:
    """Array kernel: how far mitred corners of two equal tubes are used by the forces of one of them, SI, broadcast,
    first axis = design. Ask it for either tube; the worse counts.

    f_y     yield stress;  t_0 design wall;  b_0, h_0 outside sizes across and in the plane of the corner
    A       area;  W_ip, W_op plastic moduli for bending in and out of the plane;  C torsion modulus
    theta   angle between the tubes (rad);  plate  thickness of the plate between their halves, nought: none
    throat  of the weld all round: proven penetration less what is ground; left out: out of range
    wall    nominal wall, for the least that may be welded so; left out: t_0
    N, M_ip, M_op, T, V_ip, V_op   forces of the tube at the corner; their signs do not matter
    kind    of load, one or one for each design. Under LRFD the forces are factored already
    """
    names = ("f_y", "t_0", "b_0", "h_0", "A", "W_ip", "W_op", "C", "theta", "plate", "throat", "wall",
             "N", "M_ip", "M_op", "T", "V_ip", "V_op")
    given = (f_y, t_0, b_0, h_0, A, W_ip, W_op, C, theta, plate, throat, t_0 if wall is None else wall,
             N, M_ip, M_op, T, V_ip, V_op)
    factor = _factor(kind, method)
    *arrays, factor = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in given), factor)
    a = dict(zip(names, arrays, strict=True))
    f = a["f_y"] * factor
    kappa = kappa_si(a["b_0"], a["h_0"], a["t_0"], a["theta"], a["plate"])
    N_pl = axial_yield.si(f_y=f, A=a["A"])
    parts = np.stack([
        np.abs(a["N"]) / N_pl,
        np.abs(a["M_ip"]) / plastic_moment.si(f_y=f, W=a["W_ip"]),
        np.abs(a["M_op"]) / plastic_moment.si(f_y=f, W=a["W_op"]),
        np.abs(a["T"]) / torsion_yield.si(f_y=f, C=a["C"]),
        np.abs(a["V_ip"]) / shear_yield.si(f_y=f, h=a["h_0"], t=a["t_0"]),
        np.abs(a["V_op"]) / shear_yield.si(f_y=f, h=a["b_0"], t=a["t_0"]),
    ])
    n, m_ip, m_op, tau, v_ip, v_op = parts
    use = corner_use.si(n=n, m_ip=m_ip, m_op=m_op, tau=tau, kappa=kappa)
    shear = shear_use.si(v_ip=v_ip, v_op=v_op, tau=tau, v_most=MOST_SHEAR)
    axial = axial_use.si(n=n, n_most=np.where(stiffened(a["plate"], a["t_0"]), 1.0, MOST_AXIAL))
    broken = np.stack([~np.asarray(limit.mask(a)) for limit in TESTED])
    inside = ~broken.any(axis=0)
    shares = np.where(inside, np.stack([use, axial, shear]), np.nan)
    return Corner(shares.max(axis=0), kappa, shares, np.where(inside, parts, np.nan), inside, broken)
