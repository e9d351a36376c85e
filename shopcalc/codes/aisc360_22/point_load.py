"""A load set down on a thin tube face: caster or foot plate, bracket, bolt head, top of a leg.

J10.10 sends a force across a plate element to shear (J4.2) and bending (J4.5), bending by yield lines; K1
adds the effective width, the chord-stress factor and the end distance; J10.2, J10.3 and J10.5 take the side
walls, two of them. Each limit state has factors of its own, so each is a clause, and `point_load` takes the
least allowable. Round tube: table K2.1 is not here.

The patch is B_b wide across the face and l_b long along the tube, the tube B wide and H deep, l_end from the
patch to an open end of the tube (give the whole length where the end is capped and welded round).
"""

from __future__ import annotations

import numpy as np

from shopcalc.check import Strength
from shopcalc.codes.aisc360_22.joint_use import unlimited
from shopcalc.codes.clause import clause, weakest
from shopcalc.formula import Within, formula, sqrt
from shopcalc.units import Area, Force, Length, Moment, Ratio, SectionModulus, Stress

CAUTIONS = (
    "Strength is not stiffness: a thin face gives before it fails (AISC 360-22 K1 user note).",
    "Yield lines are the Manual's model (part 9) behind AISC 360-22 J10.10; its factors are those of "
    "bending, F1(a).",
)

NARROW = 0.85  # B_b/B up to which the face itself bends (K1.4; Manual part 9)
FACE_TESTED = Within("B/t", lambda B, t: B / t, high=35, source="aisc-360-22, K1.3 and table K4.2A")
FACE_STEEL = Within("F_y in MPa", lambda F_y: F_y / 1e6, high=358.6, source="aisc-360-22, K1.3: 52 ksi")
FACE_NARROW = Within("B_b/B", lambda B_b, B: B_b / B, high=NARROW,
                     source="aisc-360-22, K1.4 and Manual part 9")
WAYS = ("matched width, an end or saddle plate, a sleeve, a gusset, or a thicker tube; beyond that a "
        "rational analysis by an engineer")


@formula(symbol="beta", source="aisc-360-22, K1.1")
def width_ratio(*, B_b: Length, B: Length) -> Ratio:
    """Width of what stands on the face over the width of the tube.

    B_b  width of the patch across the face
    B    outside width of the tube
    """
    return B_b / B


@formula(symbol="eta", source="aisc-360-22, K1.1")
def length_ratio(*, l_b: Length, B: Length) -> Ratio:
    """Length of what stands on the face over the width of the tube.

    l_b  length of the patch along the tube
    B    outside width of the tube
    """
    return l_b / B


@formula(symbol="U", source="aisc-360-22, K1-6")
def chord_utilization(*, P_ro: Force, A_g: Area, M_ro: Moment, S: SectionModulus, F_c: Stress) -> Ratio:
    """How far the tube is stressed along its length where the load stands (not more than 1).

    P_ro  axial force in the tube, positive where it presses the loaded face
    A_g   area of the tube
    M_ro  moment in the tube, positive where it presses the loaded face
    S     elastic section modulus of the tube
    F_c   0.60 of the yield stress in allowable strength design
    """
    return P_ro / (F_c * A_g) + M_ro / (F_c * S)


@formula(symbol="Q_f", source="aisc-360-22, K1-4")
def face_stress_factor(*, U: Ratio, beta: Ratio) -> Ratio:
    """What stress along a pressed face leaves of its strength (between 0.4 and 1; 1 for a stretched face).

    U     how far the tube is stressed along its length
    beta  width of the patch over the width of the tube
    """
    return 1.3 - 0.4 * U / beta


def stress_factor_si(*, U, beta, face_pressed=True) -> np.ndarray:
    """Array kernel: Q_f with its bounds (K1.3). U from `chord_utilization`, its size taken, at most 1."""
    U = np.minimum(np.abs(U), 1.0)
    return np.where(face_pressed, np.clip(face_stress_factor.si(U=U, beta=np.asarray(beta, float)), 0.4, 1.0),
                    1.0)


@formula(symbol="l_end", source="aisc-360-22, K1.4",
         valid=[Within("beta", lambda beta: beta, high=NARROW, source="aisc-360-22, K1.4")])
def end_distance(*, B: Length, beta: Ratio) -> Length:
    """Distance from an open end that a load on a face needs; nearer, half the strength counts.

    B     outside width of the tube
    beta  width of the patch over the width of the tube
    """
    return B * sqrt(1 - beta)


# --- the face bends ------------------------------------------------------------------------------


@formula(symbol="R_n", source="aisc-360-10, table K2.2 (yield lines; limit state of AISC 360-22 J10.10)",
         valid=[Within("beta", lambda beta: beta, low=1e-9, high=NARROW, source="aisc-360-22, K1.4")])
def face_bending_strength(*, F_y: Stress, t: Length, eta: Ratio, beta: Ratio, Q_f: Ratio) -> Force:
    """Load at which a tube face folds along yield lines round the patch.

    F_y   yield stress of the tube
    t     design wall
    eta   length of the patch over the width of the tube
    beta  width of the patch over the width of the tube
    Q_f   what stress along the face leaves
    """
    return F_y * t**2 * (2 * eta / (1 - beta) + 4 / sqrt(1 - beta)) * Q_f


@formula(symbol="R_n", source="aisc-360-22, K1.4")
def near_end_strength(R_n: Force) -> Force:
    """Strength of a load too near an open end.

    R_n  strength away from the end
    """
    return 0.5 * R_n


def _near_end(R_n, *, B, B_b, l_end):
    beta = np.minimum(width_ratio.si(B_b=B_b, B=B), NARROW)
    return np.where(l_end < end_distance.si(B=B, beta=beta), near_end_strength.si(R_n), R_n)


def _end_line(steps, q) -> bool:
    """Adds the line of the end distance; True where the load stands nearer."""
    beta = min(width_ratio(B_b=q.B_b, B=q.B), NARROW)
    return q.l_end < steps(end_distance, B=q.B, beta=beta)


@clause("AISC 360-22 J10.10", source="aisc-360-10, table K2.2, for the limit state of AISC 360-22 J10.10",
        gives=Force, omega=1.67, phi=0.90,
        states=("face bending",), valid=[FACE_TESTED, FACE_STEEL, FACE_NARROW], ways=WAYS)
def face_bending(*, F_y: Stress, t: Length, B: Length, B_b: Length, l_b: Length, l_end: Length,
                 Q_f: Ratio = 1.0):
    """Nominal load across a tube face by bending of the face.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the patch across the face
    l_b    length of the patch along the tube
    l_end  from the patch to an open end of the tube
    Q_f    what stress along the face leaves
    """
    beta, eta = width_ratio.si(B_b=B_b, B=B), length_ratio.si(l_b=l_b, B=B)
    R_n = face_bending_strength.si(F_y=F_y, t=t, eta=eta, beta=beta, Q_f=Q_f)
    return (_near_end(R_n, B=B, B_b=B_b, l_end=l_end),)


@face_bending.lines
def _(steps, q, state):
    beta, eta = steps(width_ratio, B_b=q.B_b, B=q.B), steps(length_ratio, l_b=q.l_b, B=q.B)
    near = _end_line(steps, q)
    R_n = steps(face_bending_strength, F_y=q.F_y, t=q.t, eta=eta, beta=beta, Q_f=q.Q_f)
    if near:
        steps(near_end_strength, R_n=R_n)


# --- the face is punched -------------------------------------------------------------------------


@formula(symbol="B_ep", source="aisc-360-22, K1-2")
def punching_width(*, B: Length, t: Length, B_b: Length) -> Length:
    """Part of a side of the patch that punches (not more than the side).

    B    outside width of the tube
    t    design wall
    B_b  width of the patch across the face
    """
    return 10 / (B / t) * B_b


@formula(symbol="R_n", source="aisc-360-22, J4-3")
def punching_strength(*, F_y: Stress, t: Length, l_b: Length, B_ep: Length) -> Force:
    """Load at which the patch shears through the wall round its edge.

    F_y   yield stress of the tube
    t     design wall
    l_b   length of the patch along the tube
    B_ep  part of its width that punches
    """
    return 0.6 * F_y * t * (2 * l_b + 2 * B_ep)


PATCH_ON_FACE = Within("B_b + 2t over B", lambda B_b, t, B: (B_b + 2 * t) / B, high=1.0,
                       source="aisc-360-22, table K3.2; a wider patch stands on the side walls")


@clause("AISC 360-22 J4.2(a)", source="aisc-360-22, J4.2(a) with K1.2a", gives=Force, omega=1.50, phi=1.00,
        states=("punching",), valid=[FACE_TESTED, FACE_STEEL, PATCH_ON_FACE], ways=WAYS)
def face_punching(*, F_y: Stress, t: Length, B: Length, B_b: Length, l_b: Length, l_end: Length):
    """Nominal load across a tube face by shear through the wall round the patch.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the patch across the face
    l_b    length of the patch along the tube
    l_end  from the patch to an open end of the tube
    """
    B_ep = np.minimum(punching_width.si(B=B, t=t, B_b=B_b), B_b)
    return (_near_end(punching_strength.si(F_y=F_y, t=t, l_b=l_b, B_ep=B_ep), B=B, B_b=B_b, l_end=l_end),)


@face_punching.lines
def _(steps, q, state):
    B_ep = min(steps(punching_width, B=q.B, t=q.t, B_b=q.B_b), q.B_b)
    near = _end_line(steps, q)
    R_n = steps(punching_strength, F_y=q.F_y, t=q.t, l_b=q.l_b, B_ep=B_ep)
    if near:
        steps(near_end_strength, R_n=R_n)


# --- the side walls ------------------------------------------------------------------------------


@formula(symbol="R_n", source="aisc-360-22, J10-2, two walls")
def side_walls_yield(*, F_y: Stress, t: Length, k: Length, l_b: Length) -> Force:
    """Load at which the two side walls yield under the patch, further from the end than the depth.

    F_y  yield stress of the tube
    t    design wall
    k    outside corner radius: 1.5 t where it is not known
    l_b  length of the patch along the tube
    """
    return 2 * F_y * t * (5 * k + l_b)


@formula(symbol="R_n", source="aisc-360-22, J10-3, two walls")
def side_walls_yield_at_end(*, F_y: Stress, t: Length, k: Length, l_b: Length) -> Force:
    """Load at which the two side walls yield under the patch, within the depth of the end.

    F_y  yield stress of the tube
    t    design wall
    k    outside corner radius: 1.5 t where it is not known
    l_b  length of the patch along the tube
    """
    return 2 * F_y * t * (2.5 * k + l_b)


@clause("AISC 360-22 J10.2", source="aisc-360-22, J10.2", gives=Force, omega=1.50, phi=1.00,
        states=("side wall yielding",))
def side_wall_yielding(*, F_y: Stress, t: Length, H: Length, l_b: Length, k: Length, l_end: Length):
    """Nominal load across a tube by yielding of its two side walls.

    F_y    yield stress of the tube
    t      design wall
    H      outside depth of the tube
    l_b    length of the patch along the tube
    k      outside corner radius: 1.5 t where it is not known
    l_end  from the patch to an open end of the tube
    """
    size = {"F_y": F_y, "t": t, "k": k, "l_b": l_b}
    return (np.where(l_end > H, side_walls_yield.si(**size), side_walls_yield_at_end.si(**size)),)


@side_wall_yielding.lines
def _(steps, q, state):
    steps(side_walls_yield if q.l_end > q.H else side_walls_yield_at_end, F_y=q.F_y, t=q.t, k=q.k, l_b=q.l_b)


@formula(symbol="R_n", source="aisc-360-22, J10-4, two walls of one thickness")
def side_walls_cripple(*, t: Length, l_b: Length, d: Length, E: Stress, F_y: Stress, Q_f: Ratio) -> Force:
    """Load at which the two side walls cripple under the patch, further from the end than half the depth.

    t    design wall
    l_b  length of the patch along the tube
    d    outside depth of the tube
    E    stiffness of the steel
    F_y  yield stress of the tube
    Q_f  what stress along the face leaves
    """
    return 2 * 0.80 * t**2 * (1 + 3 * l_b / d) * sqrt(E * F_y) * Q_f


@formula(symbol="R_n", source="aisc-360-22, J10-5a, two walls of one thickness")
def side_walls_cripple_at_end(*, t: Length, l_b: Length, d: Length, E: Stress, F_y: Stress,
                              Q_f: Ratio) -> Force:
    """Load at which the two side walls cripple near an end under a short patch, l_b/d up to 0.2.

    t    design wall
    l_b  length of the patch along the tube
    d    outside depth of the tube
    E    stiffness of the steel
    F_y  yield stress of the tube
    Q_f  what stress along the face leaves
    """
    return 2 * 0.40 * t**2 * (1 + 3 * l_b / d) * sqrt(E * F_y) * Q_f


@formula(symbol="R_n", source="aisc-360-22, J10-5b, two walls of one thickness")
def side_walls_cripple_at_end_long(*, t: Length, l_b: Length, d: Length, E: Stress, F_y: Stress,
                                   Q_f: Ratio) -> Force:
    """Load at which the two side walls cripple near an end under a longer patch, l_b/d over 0.2.

    t    design wall
    l_b  length of the patch along the tube
    d    outside depth of the tube
    E    stiffness of the steel
    F_y  yield stress of the tube
    Q_f  what stress along the face leaves
    """
    return 2 * 0.40 * t**2 * (1 + (4 * l_b / d - 0.2)) * sqrt(E * F_y) * Q_f


@clause("AISC 360-22 J10.3", source="aisc-360-22, J10.3", gives=Force, omega=2.00, phi=0.75,
        states=("side wall crippling",))
def side_wall_crippling(*, F_y: Stress, E: Stress, t: Length, H: Length, l_b: Length, l_end: Length,
                        Q_f: Ratio = 1.0):
    """Nominal pressing load across a tube by crippling of its two side walls.

    F_y    yield stress of the tube
    E      stiffness of the steel
    t      design wall
    H      outside depth of the tube
    l_b    length of the patch along the tube
    l_end  from the patch to an open end of the tube
    Q_f    what stress along the face leaves
    """
    size = {"F_y": F_y, "E": E, "t": t, "d": H, "l_b": l_b, "Q_f": Q_f}
    at_end = np.where(l_b > 0.2 * H, side_walls_cripple_at_end_long.si(**size),
                      side_walls_cripple_at_end.si(**size))
    return (np.where(l_end >= H / 2, side_walls_cripple.si(**size), at_end),)


@side_wall_crippling.lines
def _(steps, q, state):
    size = {"F_y": q.F_y, "E": q.E, "t": q.t, "d": q.H, "l_b": q.l_b, "Q_f": q.Q_f}
    if q.l_end >= q.H / 2:
        steps(side_walls_cripple, **size)
    else:
        steps(side_walls_cripple_at_end_long if q.l_b > 0.2 * q.H else side_walls_cripple_at_end, **size)


@formula(symbol="R_n", source="aisc-360-22, J10-8, two walls")
def side_walls_buckle(*, t: Length, E: Stress, F_y: Stress, h: Length, Q_f: Ratio) -> Force:
    """Load at which the two side walls buckle between a pair of opposite loads.

    t    design wall
    E    stiffness of the steel
    F_y  yield stress of the tube
    h    flat of a side wall
    Q_f  what stress along the face leaves
    """
    return 2 * 24 * t**3 * sqrt(E * F_y) / h * Q_f


@clause("AISC 360-22 J10.5", source="aisc-360-22, J10.5", gives=Force, omega=1.67, phi=0.90,
        states=("side wall buckling",))
def side_wall_buckling(*, F_y: Stress, E: Stress, t: Length, H: Length, h: Length, l_end: Length,
                       Q_f: Ratio = 1.0):
    """Nominal load of a pair of opposite pressing loads, as a leg over a foot, by buckling of the side walls.

    F_y    yield stress of the tube
    E      stiffness of the steel
    t      design wall
    H      outside depth of the tube
    h      flat of a side wall
    l_end  from the patch to an open end of the tube
    Q_f    what stress along the face leaves
    """
    R_n = side_walls_buckle.si(t=t, E=E, F_y=F_y, h=h, Q_f=Q_f)
    return (np.where(l_end < H / 2, near_end_strength.si(R_n), R_n),)


@side_wall_buckling.lines
def _(steps, q, state):
    R_n = steps(side_walls_buckle, t=q.t, E=q.E, F_y=q.F_y, h=q.h, Q_f=q.Q_f)
    if q.l_end < q.H / 2:
        steps(near_end_strength, R_n=R_n)


# --- all of them ---------------------------------------------------------------------------------

LIMIT_STATES = ("face bending", "punching", "side wall yielding", "side wall crippling", "side wall buckling")


def strengths_si(*, F_y, E, t, B, H, h, B_b, l_b, k, l_end, Q_f=1.0, opposed=False) -> tuple[Strength, ...]:
    """Array kernel: every limit state of a pressing load across a tube, in the order of LIMIT_STATES.

    A state that does not limit a design (face bending or punching under a patch as wide as the tube; buckling
    without an opposite load) is infinite there; a design that a state does not cover is nan. `opposed`: True
    where an equal load presses on the other side.
    """
    end = {"l_b": l_b, "l_end": l_end}
    face = {"F_y": F_y, "t": t, "B": B, "B_b": B_b, **end}
    walls = {"F_y": F_y, "E": E, "t": t, "H": H, "l_end": l_end, "Q_f": Q_f}
    beta = np.asarray(B_b, float) / B
    return (unlimited(face_bending.si(**face, Q_f=Q_f), beta > NARROW),
            unlimited(face_punching.si(**face), beta > 1 - 2 * np.asarray(t, float) / B),
            side_wall_yielding.si(F_y=F_y, t=t, H=H, k=k, **end),
            side_wall_crippling.si(**walls, l_b=l_b),
            unlimited(side_wall_buckling.si(**walls, h=h), ~np.asarray(opposed, bool)))


def point_load_si(*, kind: str = "use", method: str = "ASD", **sizes) -> tuple[np.ndarray, np.ndarray]:
    """Array kernel: allowable load across a tube and the index into LIMIT_STATES of what governs; nan where a
    state that matters does not cover the design. Sizes as `strengths_si`."""
    return weakest(strengths_si(**sizes), kind, method)
