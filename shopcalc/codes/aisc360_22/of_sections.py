"""From sections to clauses: every shape the shop buys, by the clause that covers it.

    what          tube, pipe   box            flat, square bar  round bar   channel   angle
    tension       D2(a)        D2(a)          D2(a)             D2(a)       D2(a)     D2(a)
    compression   E3, E7       E3, E7         E3                E3          E3, E4    E3, E7 and E5(a), the less
    bending       F7, F8       F7             F11               F11         F2, F6    F10, principal axes
    shear         G4, G5       G4             G4                H3.3(b)     G2, G6    G3
    torsion       H3.1         H3.3(b)        H3.3(b)           H3.3(b)     H3.3(b), thin strips only
    all together  H1, H3.2     H1, H3.2       H1, H3.2          H1, H3.2    H1        H2

`member_ratios` is what a frame or a sweep calls: many members under everything at once. Array kernels, SI, first axis =
design; Omega and phi come from `check.allowable` alone. `member_lines` writes the worked lines of one design.

Bending and shear "sideways" go with the y axis of the section; those of an angle with its weak principal axis and its
flat leg. For round sections both moments make one. A solid bar under a torque over 0.2 of its strength takes the form of
H3-6, which stays inside the yield surface; a channel or angle takes up to 0.2 of the torque at which its strips begin to
yield, added in full, and is outside the range beyond.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np

from shopcalc.check import Strength, allowable, allowable_line
from shopcalc.codes.aisc360_22 import combined, torsion
from shopcalc.codes.aisc360_22.bending_angle import ANGLE_CAUTION, bending_angle_major, bending_angle_minor
from shopcalc.codes.aisc360_22.bending_bar import bending_rectangular_bar, bending_rod
from shopcalc.codes.aisc360_22.bending_channel import CHANNEL_CAUTION, bending_channel, bending_channel_weak
from shopcalc.codes.aisc360_22.bending_tube import bending_box, bending_rectangular_tube, bending_round_tube
from shopcalc.codes.aisc360_22.compression import (
    compression_bar,
    compression_box,
    compression_rectangular_tube,
    compression_round_tube,
)
from shopcalc.codes.aisc360_22.compression import CAUTIONS as COLUMN_CAUTIONS
from shopcalc.codes.aisc360_22.compression_open import (
    compression_angle,
    compression_angle_centred,
    compression_channel,
)
from shopcalc.codes.aisc360_22.shear import (
    shear_angle,
    shear_channel,
    shear_channel_weak,
    shear_rectangular_bar,
    shear_rectangular_tube,
    shear_rod,
    shear_round_tube,
)
from shopcalc.codes.aisc360_22.tension import tension_yielding
from shopcalc.codes.clause import Clause
from shopcalc.errors import InputError
from shopcalc.formula import Worked
from shopcalc.stock.open_sections import principal_axes_of_angles
from shopcalc.stock.sections import SectionArrays
from shopcalc.units import Quantity

TUBE, ROUND, BOX, BAR, ROD = "rectangular tube", "round tube", "box", "flat bar", "round bar"
CHANNEL, ANGLE = "channel", "angle"
KINDS = (TUBE, ROUND, BOX, BAR, ROD, CHANNEL, ANGLE)

WHAT = ("tension", "compression", "bending", "bending sideways", "shear", "shear sideways", "torsion")

SHEAR_OVER_STIFFNESS = 11200 / 29000  # G over E of steel, AISC 360-22 symbols

SLENDEREST, CAUTION_SLENDER = 200.0, COLUMN_CAUTIONS[0]
CAUTIONS = {CHANNEL: (CHANNEL_CAUTION, torsion.OPEN_SHAPES), ANGLE: (ANGLE_CAUTION, torsion.OPEN_SHAPES)}


@dataclass(frozen=True)
class Lengths:
    """Lengths of members, numbers or (n,), metres.

    L           between the joints: torsion, twisting, an angle pushed through one leg
    L_b         between points held sideways or against twist
    L_cx, L_cy  effective lengths for buckling about x and y (L itself where the frame is analysed to C2: K = 1)
    L_v         from the largest shear to none (round tube, G5)
    C_b         factor for an uneven moment, 1 where not computed
    """

    L: np.ndarray
    L_b: np.ndarray
    L_cx: np.ndarray
    L_cy: np.ndarray
    L_v: np.ndarray
    C_b: np.ndarray = 1.0

    @classmethod
    def of(cls, L, **others) -> Lengths:
        """All lengths alike but the named ones: `Lengths.of(1.2, L_cx=2.4)`."""
        return cls(**{"L": L, "L_b": L, "L_cx": L, "L_cy": L, "L_v": L, **others})

    def rows(self, n: int, pick=slice(None)) -> Lengths:
        return Lengths(**{f.name: np.broadcast_to(np.asarray(getattr(self, f.name), float), (n,))[pick]
                          for f in fields(self)})


@dataclass(frozen=True)
class Demand:
    """Forces on members, (n,) or (n, cases ...) each, SI: axial P (compression negative), moments and shear about x
    (load upright) and about y, torque. The signs of the others do not matter."""

    P: np.ndarray
    M_x: np.ndarray
    M_y: np.ndarray
    V_x: np.ndarray
    V_y: np.ndarray
    T: np.ndarray

    @classmethod
    def of(cls, **given) -> Demand:
        """The named forces, the others zero: `Demand.of(P=-2e3, M_x=150.0)`."""
        return cls(**{**dict.fromkeys((f.name for f in fields(cls)), 0.0), **given})


# --- which clause, with what sizes ---------------------------------------------------------------
# Each entry: the clause and a function of (section, steel, lengths) that gives its arguments.


def _tube_bending(s, steel, l):  # noqa: E741
    return {**steel, "Z": s.Zx, "S": s.Sx, "I": s.Ix, "A_g": s.A, "J": s.J, "r_y": np.minimum(s.rx, s.ry), "H": s.height,
            "B": s.width, "t": s.t, "b": s.flat_b, "h": s.flat_h, "L_b": l.L_b, "C_b": l.C_b}


def _box_bending(s, steel, l):  # noqa: E741
    sizes = _tube_bending(s, steel, l)
    del sizes["t"]
    return {**sizes, "t_f": s.t_f, "t_w": s.t_w}


def _round_bending(s, steel, l):  # noqa: E741
    return {**steel, "Z": s.Zx, "S": s.Sx, "D": s.height, "t": s.t}


def _bar_bending(s, steel, l):  # noqa: E741
    return {**steel, "Z": s.Zx, "S": s.Sx, "d": s.height, "t": s.width, "L_b": l.L_b, "C_b": l.C_b}


def _rod_bending(s, steel, l):  # noqa: E741
    return {"F_y": steel["F_y"], "Z": s.Zx, "S": s.Sx}


def _channel_bending(s, steel, l):  # noqa: E741
    return {**steel, "Z": s.Zx, "S": s.Sx, "I_y": s.Iy, "r_y": s.ry, "J": s.J, "C_w": s.C_w, "h_o": s.height - s.t_f,
            "b_f": s.width, "t_f": s.t_f, "h": s.flat_h, "t_w": s.t_w, "L_b": l.L_b, "C_b": l.C_b}


def _channel_sideways(s, steel, l):  # noqa: E741
    return {**steel, "Z": s.Zy, "S": s.Sy, "b_f": s.width, "t_f": s.t_f}


def _angle_major(s, steel, l):  # noqa: E741
    axes = principal_axes_of_angles(s)
    # The longer leg is taken as the pressed one: which it is follows the sign of a moment that no envelope keeps.
    return {**steel, "S": axes.S_w, "A_g": s.A, "r_z": s.r_min, "b": np.maximum(s.height, s.width), "t": s.t, "L_b": l.L_b,
            "beta_w": np.where(s.height == s.width, 0.0, -axes.beta_w), "C_b": l.C_b}


def _angle_minor(s, steel, l):  # noqa: E741
    axes = principal_axes_of_angles(s)
    return {**steel, "S": axes.S_z, "S_c": axes.S_z_toe, "b": np.maximum(s.height, s.width), "t": s.t}


def _tension(s, steel, l):  # noqa: E741
    return {"F_y": steel["F_y"], "A_g": s.A}


def _bar_column(s, steel, l):  # noqa: E741
    return {**steel, "A_g": s.A, "r_x": s.rx, "r_y": s.ry, "L_cx": l.L_cx, "L_cy": l.L_cy}


def _tube_column(s, steel, l):  # noqa: E741
    return {**_bar_column(s, steel, l), "t": s.t, "b": s.flat_b, "h": s.flat_h}


def _box_column(s, steel, l):  # noqa: E741
    return {**_bar_column(s, steel, l), "B": s.width, "b": s.flat_b, "t_f": s.t_f, "h": s.flat_h, "t_w": s.t_w}


def _round_column(s, steel, l):  # noqa: E741
    return {**steel, "A_g": s.A, "r": s.rx, "L_c": np.maximum(l.L_cx, l.L_cy), "D": s.height, "t": s.t}


def _channel_column(s, steel, l):  # noqa: E741
    return {**_bar_column(s, steel, l), "G": SHEAR_OVER_STIFFNESS * steel["E"], "I_x": s.Ix, "I_y": s.Iy, "J": s.J,
            "C_w": s.C_w, "x_o": s.x_bar + s.e_o, "L_cz": l.L, "b_f": s.width, "t_f": s.t_f, "h": s.flat_h, "t_w": s.t_w}


def _angle_centred(s, steel, l):  # noqa: E741
    return {**steel, "A_g": s.A, "r_z": s.r_min, "L_c": np.maximum(l.L_cx, l.L_cy), "b_1": s.height, "b_2": s.width, "t": s.t}


def _angle_by_one_leg(s, steel, l):  # noqa: E741
    equal = s.height == s.width
    return {**steel, "A_g": s.A, "r_a": np.minimum(s.rx, s.ry), "L": l.L, "b": np.maximum(s.height, s.width), "t": s.t,
            "b_s": np.where(equal, 0.0, np.minimum(s.height, s.width))}


def _tube_shear(s, steel, l):  # noqa: E741
    return {**steel, "h": s.flat_h, "t": s.t_w}


def _round_shear(s, steel, l):  # noqa: E741
    return {**steel, "A_g": s.A, "D": s.height, "t": s.t, "L_v": l.L_v}


def _bar_shear(s, steel, l):  # noqa: E741
    return {**steel, "d": s.height, "t": s.width}


def _tube_torsion(s, steel, l):  # noqa: E741
    return {**steel, "C": s.C, "h": np.maximum(s.flat_h, s.flat_b), "t": s.t}


def _round_torsion(s, steel, l):  # noqa: E741
    return {**steel, "C": s.C, "D": s.height, "t": s.t, "L": l.L}


def _box_torsion(s, steel, l):  # noqa: E741
    return {**steel, "C": s.C, "b": s.flat_b, "t_f": s.t_f, "h": s.flat_h, "t_w": s.t_w}


def _solid_torsion(s, steel, l):  # noqa: E741
    return {"F_y": steel["F_y"], "C": s.C}


def _channel_shear(s, steel, l):  # noqa: E741
    return {**steel, "d": s.height, "h": s.flat_h, "t_w": s.t_w}


def _channel_shear_sideways(s, steel, l):  # noqa: E741
    return {**steel, "b_f": s.width, "t_f": s.t_f}


def _angle_shear(s, steel, l):  # noqa: E741
    return {**steel, "b": s.height, "t": s.t}


def _angle_shear_sideways(s, steel, l):  # noqa: E741
    return {**steel, "b": s.width, "t": s.t}


def _sideways(sizes: Callable) -> Callable:
    return lambda s, steel, l: sizes(s.swapped(), steel, l)  # noqa: E741


def _two_axes(compression, bending, shear, torque) -> dict[str, list[tuple[Clause, Callable]]]:
    """A shape with two axes of symmetry: sideways is the same clause on the section laid over."""
    return {"tension": [(tension_yielding, _tension)], "compression": [compression], "bending": [bending],
            "bending sideways": [(bending[0], _sideways(bending[1]))], "shear": [shear],
            "shear sideways": [(shear[0], _sideways(shear[1]))], "torsion": [torque]}


CLAUSES: dict[str, dict[str, list[tuple[Clause, Callable]]]] = {
    TUBE: _two_axes((compression_rectangular_tube, _tube_column), (bending_rectangular_tube, _tube_bending),
                    (shear_rectangular_tube, _tube_shear), (torsion.torsion_rectangular_tube, _tube_torsion)),
    ROUND: _two_axes((compression_round_tube, _round_column), (bending_round_tube, _round_bending),
                     (shear_round_tube, _round_shear), (torsion.torsion_round_tube, _round_torsion)),
    BOX: _two_axes((compression_box, _box_column), (bending_box, _box_bending), (shear_rectangular_tube, _tube_shear),
                   (torsion.torsion_box, _box_torsion)),
    BAR: _two_axes((compression_bar, _bar_column), (bending_rectangular_bar, _bar_bending),
                   (shear_rectangular_bar, _bar_shear), (torsion.torsion_solid_bar, _solid_torsion)),
    ROD: _two_axes((compression_bar, _bar_column), (bending_rod, _rod_bending), (shear_rod, _tension),
                   (torsion.torsion_solid_bar, _solid_torsion)),
    CHANNEL: {
        "tension": [(tension_yielding, _tension)], "compression": [(compression_channel, _channel_column)],
        "bending": [(bending_channel, _channel_bending)], "bending sideways": [(bending_channel_weak, _channel_sideways)],
        "shear": [(shear_channel, _channel_shear)], "shear sideways": [(shear_channel_weak, _channel_shear_sideways)],
        "torsion": [(torsion.torsion_open_shape, _solid_torsion)]},
    ANGLE: {
        "tension": [(tension_yielding, _tension)],
        "compression": [(compression_angle_centred, _angle_centred), (compression_angle, _angle_by_one_leg)],
        "bending": [(bending_angle_major, _angle_major)], "bending sideways": [(bending_angle_minor, _angle_minor)],
        "shear": [(shear_angle, _angle_shear)], "shear sideways": [(shear_angle, _angle_shear_sideways)],
        "torsion": [(torsion.torsion_open_shape, _solid_torsion)]},
}


# --- strengths -----------------------------------------------------------------------------------


def _groups(s: SectionArrays) -> list[tuple[str, object]]:
    """(kind, the designs of that kind). One kind for all is the common case and takes no copy."""
    if (s.kind == s.kind[0]).all():
        found = [(str(s.kind[0]), slice(None))]
    else:
        found = [(str(kind), np.nonzero(s.kind == kind)[0]) for kind in np.unique(s.kind)]
    for kind, _ in found:
        if kind not in CLAUSES:
            raise InputError(field="sections: kind", value=kind, need="one of " + ", ".join(KINDS), example=TUBE)
    return found


def _group_arguments(s: SectionArrays, pick, F_y, E, lengths: Lengths):
    n = len(s)
    whole = isinstance(pick, slice)
    steel = {k: np.broadcast_to(np.asarray(v, float), (n,))[pick] for k, v in (("F_y", F_y), ("E", E))}
    return s if whole else s[pick], steel, lengths.rows(n, pick)


def strengths(what: str, s: SectionArrays, F_y, E, lengths: Lengths,
              groups: list | None = None) -> list[tuple[object, Clause, Strength]]:
    """Nominal strengths by shape: (the designs, the clause, Strength of those designs). `what` is one of WHAT.
    A shape with two clauses for one thing comes twice; the less allowable counts. groups: what `grouped` made of the same
    arguments, where they are asked several things."""
    found = []
    for kind, pick, (part, steel, l) in groups or grouped(s, F_y, E, lengths):  # noqa: E741
        for clause, sizes in CLAUSES[kind][what]:
            found.append((pick, clause, clause.si(**sizes(part, steel, l))))
    return found


def grouped(s: SectionArrays, F_y, E, lengths: Lengths) -> list[tuple]:
    """(kind, the designs of it, their sections, steels and lengths), to be asked for several strengths."""
    return [(kind, pick, _group_arguments(s, pick, F_y, E, lengths)) for kind, pick in _groups(s)]


def allowables(what: str, s: SectionArrays, F_y, E, lengths: Lengths, kind: str, method: str = "ASD",
               groups: list | None = None) -> np.ndarray:
    """Allowable strengths (n,) in the order of the designs for a kind of load (check.allowable); nan out of range."""
    found = strengths(what, s, F_y, E, lengths, groups)
    if len(found) == 1:
        return allowable(found[0][2], kind, method)
    result = np.full(len(s), np.inf)
    for pick, _, strength in found:
        result[pick] = np.minimum(result[pick], allowable(strength, kind, method))  # nan wins
    return result


def member_strengths(s: SectionArrays, F_y, E, lengths: Lengths, kind: str = "use",
                     method: str = "ASD") -> dict[str, np.ndarray]:
    """Allowable strengths (n,) by the words of WHAT; nan where a clause does not cover the design."""
    groups = grouped(s, F_y, E, lengths)
    return {what: allowables(what, s, F_y, E, lengths, kind, method, groups) for what in WHAT}


def clauses_of(s: SectionArrays, what: str) -> list[Clause]:
    """The clauses that one section goes by for one of WHAT."""
    return [clause for clause, _ in CLAUSES[str(s.kind[0])][what]]


def governing(what: str, s: SectionArrays, F_y, E, lengths: Lengths, kind: str = "use",
              method: str = "ASD") -> tuple[Strength, Clause, Callable]:
    """Of one design: the strength that counts, its clause and the function that gives the clause its sizes."""
    sizes = [f for _, f in CLAUSES[str(s.kind[0])][what]]
    found = [(st, c, f) for (_, c, st), f in zip(strengths(what, s, F_y, E, lengths), sizes, strict=True)]
    outside = [f for f in found if not f[0].in_range[0]]
    return outside[0] if outside else min(found, key=lambda f: float(allowable(f[0], kind, method)[0]))


def lines(what: str, s: SectionArrays, F_y, E, lengths: Lengths, system: str, kind: str = "use",
          method: str = "ASD") -> tuple[Worked, ...]:
    """Worked lines of one design up to its nominal strength."""
    _, clause, sizes = governing(what, s, F_y, E, lengths, kind, method)
    part, steel, l = _group_arguments(s, slice(None), F_y, E, lengths)  # noqa: E741
    given = {n: float(np.squeeze(v)) for n, v in sizes(part, steel, l).items()}
    return clause.worked(system=system, **{n: v if clause.arguments[n].bare_allowed
                                           else Quantity(v, clause.arguments[n].pint_unit) for n, v in given.items()})


# --- everything at once --------------------------------------------------------------------------

EQUATIONS = ("H1-1a", "H1-1b", "H3-6", "H2-1", "H1-1 with torque added", "H2-1 with torque added",
             "shear", "shear sideways", "torsion")
_H2, _H1_TORQUE, _H2_TORQUE, _SHEAR, _SIDEWAYS, _TORSION = range(3, 9)
NOUGHT = 1e-9  # share of the largest force of its kind under which a force of the frame is rounding, not load
OPEN_TORQUE = 0.2  # of the torque at which thin strips begin to yield: what a channel or angle may carry


@dataclass(frozen=True)
class Ratios:
    """Use of members, arrays of the shape of the demands: over 1 is too much.

    ratio      the worst of all;  governing: index into EQUATIONS
    together   axial force, moments and torque (H1, H2, H3.2), by the equation of index `by`
    shear      the worst of both ways and of torsion alone
    in_range   False (and ratio nan) where a clause that the demands need does not cover the member
    strengths  allowable strengths (n,) by the words of WHAT
    """

    ratio: np.ndarray
    governing: np.ndarray
    together: np.ndarray
    by: np.ndarray
    shear: np.ndarray
    in_range: np.ndarray
    strengths: dict[str, np.ndarray]

    def equation(self, *index) -> str:
        return EQUATIONS[int(self.governing[index or 0])]

    def equation_together(self, *index) -> str:
        return EQUATIONS[int(self.by[index or 0])]


def member_ratios(s: SectionArrays, F_y, E, demands: Demand, lengths: Lengths, kind: str = "use",
                  method: str = "ASD") -> Ratios:
    """Use of many members under everything at once.

    s, F_y, E, lengths  (n,) designs, SI
    demands             (n,) or (n, cases ...): the same member under many cases. Second-order effects are in them (C2).
    kind, method        kind of load and "ASD" or "LRFD", as check.allowable takes them
    A strength that no force asks for does not matter, in or out of its range. Raises InputError for a shape that is none
    of KINDS.
    """
    c = member_strengths(s, F_y, E, lengths, kind, method)
    return use_of(s, demands, c)


def use_of(s: SectionArrays, demands: Demand, c: dict[str, np.ndarray]) -> Ratios:
    """As `member_ratios`, from strengths that are there already."""
    n = len(s)
    sizes = {f.name: np.atleast_1d(np.asarray(getattr(demands, f.name), float)) for f in fields(Demand)}
    shape = np.broadcast_shapes((n,), *(v.shape[:1] for v in sizes.values())) \
        + np.broadcast_shapes(*(v.shape[1:] for v in sizes.values()))
    wide = {k: np.abs(v) if k != "P" else v for k, v in
            ((k, np.broadcast_to(v.reshape(v.shape + (1,) * (len(shape) - v.ndim)), shape)) for k, v in sizes.items())}
    ratio, together, shear = (np.empty(shape) for _ in range(3))
    governs, by = np.empty(shape, np.int8), np.empty(shape, np.int8)
    for kind, pick in _groups(s):
        d = {k: v[pick] for k, v in wide.items()}
        tail = (slice(None), *(None,) * (len(shape) - 1))
        strength = {k: np.broadcast_to(v, (n,))[pick][tail] for k, v in c.items()}
        alpha = s.tilt[pick][tail]
        for array, part in zip((ratio, governs, together, by, shear), group_use(kind, d, strength, alpha), strict=True):
            array[pick] = part
    return Ratios(ratio, governs, together, by, shear, np.isfinite(ratio), c)


def _asked(force, strength):
    """A strength that no force asks for is no limit, whether a clause covers it or not."""
    return np.where(force == 0, np.inf, strength)


def group_use(kind: str, d: dict, c: dict, alpha) -> tuple[np.ndarray, ...]:
    """Array kernel for one shape: ratio, governing, together, by, shear (as `Ratios`). d as `Demand` without signs but P's, c by WHAT."""
    P, M_x, M_y, V_x, V_y, T = abs(d["P"]), d["M_x"], d["M_y"], d["V_x"], d["V_y"], d["T"]
    if kind in (ROUND, ROD):
        M_x, M_y = combined.resultant_moment.si(M_x=M_x, M_y=M_y), 0 * M_y
        V_x, V_y = combined.resultant_shear.si(V_x=V_x, V_y=V_y), 0 * V_y
    if kind == ANGLE:
        alpha = abs(alpha)
        M_x, M_y = (f.si(M_x=M_x, M_y=M_y, alpha=alpha)
                    for f in (combined.moment_about_strong, combined.moment_about_weak))
    P_c = _asked(P, np.where(d["P"] < 0, c["compression"], c["tension"]))
    M_cx, M_cy = _asked(M_x, c["bending"]), _asked(M_y, c["bending sideways"])
    V_cx, V_cy, T_c = _asked(V_x, c["shear"]), _asked(V_y, c["shear sideways"]), _asked(T, c["torsion"])
    axial = {"P_r": P, "P_c": P_c, "M_rx": M_x, "M_cx": M_cx, "M_ry": M_y, "M_cy": M_cy}
    if kind == ANGLE:
        together = combined.ratio_at_a_point.si(P_r=P, P_c=P_c, M_rw=M_x, M_cw=M_cx, M_rz=M_y, M_cz=M_cy)
        governs = np.full(together.shape, _H2, np.int8)
    elif kind == CHANNEL:
        found = combined.axial_and_bending_si(**axial)
        together, governs = found.ratio, found.governing
    else:
        found = combined.all_together_si(**axial, V_rx=V_x, V_cx=V_cx, V_ry=V_y, V_cy=V_cy, T_r=T, T_c=T_c)
        together, governs = found.ratio, found.governing
    if kind in (ANGLE, CHANNEL) and (T > 0).any():
        added = combined.ratio_with_torque_added.si(R_o=together, T_r=T, T_c=T_c)
        together = np.where(T > OPEN_TORQUE * T_c, np.nan, added)
        governs = np.where(T > 0, _H2_TORQUE if kind == ANGLE else _H1_TORQUE, governs)
    each = [combined.ratio_shear.si(V_r=V_x, V_c=V_cx), combined.ratio_shear.si(V_r=V_y, V_c=V_cy),
            combined.ratio_torsion.si(T_r=T, T_c=T_c)]
    by = governs = np.array(governs, np.int8)
    ratio = together
    shear = np.zeros(together.shape)
    for i, part in zip((_SHEAR, _SIDEWAYS, _TORSION), each, strict=True):
        governs = np.where(part > ratio, np.int8(i), governs)
        ratio, shear = np.maximum(ratio, part), np.maximum(shear, part)
    return ratio, governs, together, by, shear


# --- in words, for one design --------------------------------------------------------------------


def outside_words(s: SectionArrays, F_y, E, demands: Demand, lengths: Lengths) -> str:
    """Why one design is outside the range of the code: the clause, its limit and the ways forward."""
    said = []
    for what in _needed(s, demands):
        for _, clause, strength in strengths(what, s, F_y, E, lengths):
            if not strength.in_range[0]:
                said.append(f"{what} by {clause.clause}: {clause.why_outside or 'sizes above zero'}")
    if not said and str(s.kind[0]) in (CHANNEL, ANGLE):
        said.append(torsion.OPEN_SHAPES)
    return "; ".join(dict.fromkeys(said))


def cautions_of(s: SectionArrays, lengths: Lengths) -> tuple[str, ...]:
    """What goes with the strength of one design, whatever its ratio: open shapes, and slenderness over 200 (E2)."""
    slender = float(np.squeeze(np.maximum(lengths.L_cx, lengths.L_cy) / s.r_min[0])) > SLENDEREST
    return (*CAUTIONS.get(str(s.kind[0]), ()), *((CAUTION_SLENDER,) if slender else ()))


def _one(demands: Demand) -> dict[str, float]:
    """What is left of a force after the frame cancelled it (1e-9 of the largest of its kind) is nought."""
    d = {f.name: float(np.squeeze(getattr(demands, f.name))) for f in fields(Demand)}
    for alike in (("P", "V_x", "V_y"), ("M_x", "M_y", "T")):
        least = NOUGHT * max(abs(d[k]) for k in alike)
        d |= {k: 0.0 for k in alike if abs(d[k]) < least}
    return d


def _needed(s: SectionArrays, demands: Demand) -> list[str]:
    d, kind = _one(demands), str(s.kind[0])
    one_moment = kind in (ROUND, ROD)
    asked = {"tension": d["P"] > 0, "compression": d["P"] < 0,
             "bending": d["M_x"] or ((one_moment or kind == ANGLE) and d["M_y"]),
             "bending sideways": (d["M_y"] and not one_moment) or (kind == ANGLE and d["M_x"]),
             "shear": d["V_x"] or (one_moment and d["V_y"]), "shear sideways": d["V_y"] and not one_moment,
             "torsion": d["T"]}
    return [what for what in WHAT if asked[what]]


def member_lines(s: SectionArrays, F_y, E, demands: Demand, lengths: Lengths, kind: str = "use", method: str = "ASD",
                 system: str = "inch") -> tuple[Worked, ...]:
    """The worked lines of one design in range: every strength its forces ask for, nominal and allowable, then the
    equation of all together, then shear and torsion by themselves; shear and torsion that use next to nothing are not
    written out. s and the rest hold one design, demands one case."""
    d, c, found = {k: abs(v) if k != "P" else v for k, v in _one(demands).items()}, {}, []
    for what in _needed(s, demands):
        strength, clause, _ = governing(what, s, F_y, E, lengths, kind, method)
        c[what] = float(allowable(strength, kind, method)[0])
        if _slight(what, s, d, c):
            continue
        found += [*lines(what, s, F_y, E, lengths, system, kind, method),
                  allowable_line(strength, clause.gives.unit, kind, method, system)]
    # what a force of nought is divided by: its own strength, not a number that stands in for it
    idle = {what: float(allowable(governing(what, s, F_y, E, lengths, kind, method)[0], kind, method)[0])
            for what in ("tension", "bending", "bending sideways") if what not in c}
    return (*found, *_together_lines(s, d, c, {what: size for what, size in idle.items() if size > 0}, system))


SLIGHT = 5e-4  # share of a strength that rounds to nothing
_ALONE = {"shear": "V_x", "shear sideways": "V_y", "torsion": "T"}  # asked by themselves, and their forces


def _slight(what: str, s: SectionArrays, d: dict[str, float], c: dict[str, float]) -> bool:
    """Whether shear or torsion of a tube or bar rounds to nothing. Both shears of a round section are one; the torque of an
    open shape is added to the rest."""
    return what in _ALONE and str(s.kind[0]) not in (ROUND, ROD, CHANNEL, ANGLE) and d[_ALONE[what]] < SLIGHT * c[what]


def _force(x: float):
    return Quantity(x, "N")


def _moment(x: float):
    return Quantity(x, "N*m")


def _together_lines(s: SectionArrays, d: dict[str, float], c: dict[str, float], idle: dict[str, float], system: str) -> list[Worked]:
    kind, found = str(s.kind[0]), []
    M_x, M_y, V_x, V_y, T = (_moment(d["M_x"]), _moment(d["M_y"]), _force(d["V_x"]), _force(d["V_y"]), _moment(d["T"]))

    def step(relation, **sizes):
        found.append(relation.worked(system=system, **sizes))
        return relation(**sizes)

    if kind in (ROUND, ROD):
        if d["M_x"] and d["M_y"]:
            M_x = step(combined.resultant_moment, M_x=M_x, M_y=M_y)
        else:
            M_x = M_x + M_y
        if d["V_x"] and d["V_y"]:
            V_x = step(combined.resultant_shear, V_x=V_x, V_y=V_y)
        else:
            V_x = V_x + V_y
        M_y, V_y = 0 * M_y, 0 * V_y
    if kind == ANGLE and (d["M_x"] or d["M_y"]):
        turn = {"M_x": M_x, "M_y": M_y, "alpha": Quantity(abs(float(s.tilt[0])), "rad")}
        M_x, M_y = step(combined.moment_about_strong, **turn), step(combined.moment_about_weak, **turn)
    P = _force(abs(d["P"]))
    # A force of nought divides by any strength: where its own is out of range one that is there stands in.
    moments = [c[w] for w in ("bending", "bending sideways", "torsion") if w in c]
    P_c = _force(c.get("compression", c.get("tension", idle.get("tension", 1.0))))
    M_cx, M_cy = (_moment(c.get(w, idle.get(w, moments[0] if moments else 1.0))) for w in ("bending", "bending sideways"))
    if kind == ANGLE:
        R = step(combined.ratio_at_a_point, P_r=P, P_c=P_c, M_rw=M_x, M_cw=M_cx, M_rz=M_y, M_cz=M_cy)
    else:
        axial = {"P_r": P, "P_c": P_c, "M_rx": M_x, "M_cx": M_cx, "M_ry": M_y, "M_cy": M_cy}
        T_c = c.get("torsion", np.inf)
        if kind != CHANNEL and d["T"] > combined.TORSION * T_c:
            ratio = {"shear": V_x.magnitude / c.get("shear", np.inf), "shear sideways": V_y.magnitude / c.get("shear sideways", np.inf)}
            way = max(ratio, key=ratio.get)
            V_r, V_c = (V_x if way == "shear" else V_y), _force(c.get(way, 1.0))
            R = step(combined.ratio_with_torsion, **axial, V_r=V_r, V_c=V_c, T_r=T, T_c=_moment(T_c))
        else:
            large = P.magnitude >= combined.BRANCH * P_c.magnitude
            R = step(combined.ratio_large_axial if large else combined.ratio_small_axial, **axial)
    if kind in (ANGLE, CHANNEL) and d["T"]:
        step(combined.ratio_with_torque_added, R_o=R, T_r=T, T_c=_moment(c["torsion"]))
    for way, V in (("shear", V_x), ("shear sideways", V_y)):
        if V.magnitude and not _slight(way, s, d, c):
            step(combined.ratio_shear, V_r=V, V_c=_force(c[way]))
    if d["T"] and not _slight("torsion", s, d, c):
        step(combined.ratio_torsion, T_r=T, T_c=_moment(c["torsion"]))
    return found
