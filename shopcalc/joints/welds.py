"""Fillet welds: throat, strength, leg to lay beside leg credited, and the weld line round a tube.

AISC 360-22 J2.2, J2.4 and J4.2. Strength is counted per length of weld: weld metal on the throat, and a
shear plane in the wall of each part joined. The verdict leaves the directional increase out (k_ds = 1):
J2.4(a)(2) sets it so wherever the end of a square or rectangular tube is pulled or bent.

Formulas take and return quantities. Functions on arrays (SI floats, first axis = design) say so.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated

import numpy as np
import pint

from shopcalc.check import Strength
from shopcalc.codes.clause import weakest as weakest_clause
from shopcalc.errors import InputError
from shopcalc.formula import Within, Worked, formula, frac, sin, sqrt
from shopcalc.formula import cos as cosine
from shopcalc.units import (
    Angle,
    Count,
    Declared,
    Force,
    Length,
    LoadPerLength,
    Moment,
    Q,
    Quantity,
    Ratio,
    Stress,
    magnitude,
    read_length,
    read_quantity,
)

DATA = Path(__file__).with_name("data")
INCH = 0.0254
SIXTEENTH = INCH / 16
_HAIR = 1e-9  # of a step or of a metre: rounding of a unit conversion must not cost a step

LineModulus = Annotated[pint.Quantity, Declared("m**2", "a section modulus of a weld line", "Q(16, 'in**2')")]
LinePolar = Annotated[pint.Quantity, Declared("m**3", "a polar moment of a weld line", "Q(64, 'in**3')")]

OMEGA_WELD, PHI_WELD = 2.00, 0.75      # table J2.5, fillet welds
OMEGA_YIELD, PHI_YIELD = 1.50, 1.00    # J4.2(a)
OMEGA_RUPTURE, PHI_RUPTURE = 2.00, 0.75  # J4.2(b)

CAUTIONS = (
    "The weld line is taken as stiff: across the face of a thin tube only part of it carries (AISC 360-22 "
    "K5). Failure of the tube face itself is a question of its own.",
    "No directional increase is counted: at the end of a square or rectangular tube none is allowed in "
    "tension.",
    "Ground welds have the throat that is left. The figures hold for welds as laid.",
)


# --- throat --------------------------------------------------------------------------------------


@formula(symbol="t_e", source="aisc-360-22, J2.2a")
def throat_equal_legs(w: Length) -> Length:
    """Throat of a fillet with equal legs between parts at right angles: root to face, the shortest way.

    w  leg of the fillet
    """
    return w / sqrt(2)


@formula(symbol="t_e", source="aisc-360-22, J2.2a")
def throat_unequal_legs(*, a: Length, b: Length) -> Length:
    """Throat of a fillet with unequal legs between parts at right angles.

    a  leg on one part
    b  leg on the other part
    """
    return a * b / sqrt(a**2 + b**2)


SKEW_RANGE = Within("psi in degrees", lambda psi: psi * 180 / np.pi, low=60, high=150,
                    source="skewed-fillets; sharper angles lose a part of the root (welds_shapes.skewed)")


@formula(symbol="t_e", source="weld-geometry, skewed fillet on its contact length", valid=[SKEW_RANGE])
def throat_skewed(b: Length, psi: Angle) -> Length:
    """Throat of a fillet between parts that meet at an angle, from its length of contact with each part.

    b    length of contact, root to toe, along either part
    psi  angle between the faces on the side of the weld
    """
    return b * cosine(psi / 2)


@formula(symbol="t_e", source="weld-geometry, skewed fillet on its perpendicular leg", valid=[SKEW_RANGE])
def throat_skewed_perpendicular(w: Length, psi: Angle) -> Length:
    """Throat of a fillet between parts that meet at an angle, from the leg read square to one part: the
    distance of a toe from the other part. It is the smaller reading: do not mix the two.

    w    distance of a toe from the face of the other part
    psi  angle between the faces on the side of the weld
    """
    return w / (2 * sin(psi / 2))


@formula(symbol="w", source="aisc-360-22, J2.2a")
def leg_for_throat(t_e: Length) -> Length:
    """Leg of an equal-leg fillet at right angles that has a given throat.

    t_e  throat
    """
    return sqrt(2) * t_e


# --- strength per length of weld -----------------------------------------------------------------


@formula(symbol="r_n", source="aisc-360-22, J2.4(a) and table J2.5")
def strength_weld_metal(FEXX: Stress, t_e: Length) -> LoadPerLength:
    """Nominal strength of the weld metal per length: shear rupture on the throat, no directional increase.

    FEXX  classification strength of the filler metal
    t_e   throat
    """
    return 0.6 * FEXX * t_e


@formula(symbol="k_ds", source="aisc-360-22, J2.4(a)(1)",
         valid=[Within("theta in degrees", lambda theta: theta * 180 / np.pi, low=0, high=90)])
def directional_factor(theta: Angle) -> Ratio:
    """What a fillet pulled across its length gains on one pulled along it. Reported only: never for the end
    of a rectangular tube in tension, and only where the strains of all welds of a group agree.

    theta  angle between the force and the length of the weld
    """
    return 1 + 0.5 * sin(theta) ** frac(3, 2)


@formula(symbol="r_n", source="aisc-360-22, J4.2(a)")
def strength_wall_yield(F_y: Stress, t: Length) -> LoadPerLength:
    """Nominal strength in shear yield of a wall beside the weld, per length of weld.

    F_y  yield stress of the wall
    t    thickness of the wall
    """
    return 0.6 * F_y * t


@formula(symbol="r_n", source="aisc-360-22, J4.2(b)")
def strength_wall_rupture(F_u: Stress, t: Length) -> LoadPerLength:
    """Nominal strength in shear rupture of a wall beside the weld, per length of weld.

    F_u  tensile strength of the wall
    t    thickness of the wall
    """
    return 0.6 * F_u * t


@formula(symbol="t_min", source="aisc-360-22, J2.4(a) set equal to J4.2(b)")
def wall_matching_weld(n: Count, *, FEXX: Stress, t_e: Length, F_u: Stress) -> Length:
    """Thinnest wall that ruptures no sooner than the fillets on it.

    n     fillets whose force passes the same wall: 1, or 2 where both faces are welded
    FEXX  classification strength of the filler metal
    t_e   throat of one fillet
    F_u   tensile strength of the wall
    """
    return n * FEXX * t_e / F_u


@formula(symbol="r", source="statics, stress on a plane through the weld or the wall")
def plane_stress(f: LoadPerLength, t: Length) -> Stress:
    """Stress on the throat or in a wall under a force per length of weld.

    f  force per length of weld
    t  throat, or thickness of the wall
    """
    return f / t


@formula(symbol="f", source="statics, stress on a plane through the weld or the wall")
def force_at_stress(tau: Stress, t_e: Length) -> LoadPerLength:
    """Force per length of weld that puts a given stress on the throat: how older allowables are given.

    tau  stress on the throat
    t_e  throat
    """
    return tau * t_e


@formula(symbol="t_e", source="statics, force per length over allowable stress")
def throat_required(f: LoadPerLength, F_w: Stress) -> Length:
    """Throat that keeps the weld metal at its allowable stress.

    f    force per length of weld
    F_w  allowable stress on the throat
    """
    return f / F_w


@formula(symbol="L_w", source="statics, force over strength per length")
def length_required(F: Force, r: LoadPerLength) -> Length:
    """Length of weld for a force that every part of it shares evenly.

    F  force
    r  allowable strength per length of weld
    """
    return F / r


# --- the weld line -------------------------------------------------------------------------------
# Unit throat; b lies along x, d along y; the line follows the outside of the tube with square corners.


@formula(symbol="L_w", source="weld-as-line, rectangle all round")
def box_length(*, b: Length, d: Length) -> Length:
    """Length of a weld all round a rectangle.

    b  width
    d  depth
    """
    return 2 * (b + d)


@formula(symbol="S_w", source="weld-as-line, rectangle all round")
def box_modulus(*, b: Length, d: Length) -> LineModulus:
    """Section modulus of a weld line all round a rectangle, bending over the depth.

    b  side parallel to the axis of bending
    d  depth, square to the axis of bending
    """
    return b * d + d**2 / 3


@formula(symbol="J_w", source="weld-as-line, rectangle all round")
def box_polar(*, b: Length, d: Length) -> LinePolar:
    """Polar second moment of a weld line all round a rectangle.

    b  width
    d  depth
    """
    return (b + d) ** 3 / 6


@formula(symbol="L_w", source="weld-as-line, two parallel lines")
def pair_length(b: Length) -> Length:
    """Length of two welds of one length.

    b  length of each
    """
    return 2 * b


@formula(symbol="S_w", source="weld-as-line, two parallel lines")
def pair_modulus_over(*, b: Length, d: Length) -> LineModulus:
    """Section modulus of two parallel weld lines, bending over the distance between them.

    b  length of each line
    d  distance between the lines
    """
    return b * d


@formula(symbol="S_w", source="weld-as-line, two parallel lines")
def pair_modulus_along(b: Length) -> LineModulus:
    """Section modulus of two parallel weld lines, bending along their length.

    b  length of each line
    """
    return b**2 / 3


@formula(symbol="J_w", source="weld-as-line, two parallel lines")
def pair_polar(*, b: Length, d: Length) -> LinePolar:
    """Polar second moment of two parallel weld lines.

    b  length of each line
    d  distance between the lines
    """
    return b * (b**2 + 3 * d**2) / 6


@formula(symbol="f", source="weld-as-line, force shared evenly by the line")
def even_line_force(F: Force, L_w: Length) -> LoadPerLength:
    """Force per length of weld under a pull, push or shear that the whole line shares.

    F    force
    L_w  length of the weld line
    """
    return F / L_w


@formula(symbol="f_b", source="weld-as-line, bending")
def bending_line_force(M: Moment, S_w: LineModulus) -> LoadPerLength:
    """Greatest force per length of weld from bending, square to the plane of the line.

    M    bending moment
    S_w  section modulus of the weld line
    """
    return M / S_w


@formula(symbol="f_t", source="weld-as-line, twist")
def twist_line_force(T: Moment, c: Length, J_w: LinePolar) -> LoadPerLength:
    """Force per length of weld from twist, in the plane of the line and square to c's direction.

    T    twisting moment
    c    distance from the centre, along x for the part along y and the other way round
    J_w  polar second moment of the weld line
    """
    return T * c / J_w


@formula(symbol="f", source="weld-as-line, vector sum")
def resultant_line_force(*, f_z: LoadPerLength, f_x: LoadPerLength, f_y: LoadPerLength) -> LoadPerLength:
    """Force per length of weld from its three parts, all at one place.

    f_z  part square to the plane of the line: pull and bending
    f_x  part along the width: shear and twist
    f_y  part along the depth: shear and twist
    """
    return sqrt(f_z**2 + f_x**2 + f_y**2)


@dataclass(frozen=True)
class LineForce:
    """Force per length at the worst corner of a weld line: arrays (n,), SI, N/m.

    z, x, y    the three parts, with sign;  f: their vector sum
    corner     (n,) index into CORNERS: which corner is worst
    """

    z: np.ndarray
    x: np.ndarray
    y: np.ndarray
    f: np.ndarray
    corner: np.ndarray


CORNERS = ((1, 1), (-1, 1), (-1, -1), (1, -1))  # signs of x and y


def fits_all_round(b, leg, face, corner_radius) -> np.ndarray:
    """Where the flat of a tube face takes a fillet on both sides of a tube b wide set on it. SI, (n,).

    A tube as wide as the one it meets leaves no flat: its two sides end on the round corners, where a fillet
    has no root to sit in. Count two sides there: `line_force(..., two_sides=...)`.
    """
    return np.asarray(b, float) / 2 + leg <= np.asarray(face, float) / 2 - corner_radius + _HAIR


def line_force(b, d, *, P=0.0, V_x=0.0, V_y=0.0, M_x=0.0, M_y=0.0, T=0.0, two_sides=False,
               flat=np.inf) -> LineForce:
    """Elastic vector sum on the weld line of a tube b wide (x) and d deep (y). SI, arrays (n,) or scalars.

    P         pull on the joint, tension positive;  V_x, V_y  shear
    M_x, M_y  bending about x (over the depth d) and about y (over the width b); M_x positive pulls the
              side y > 0, M_y positive pulls the side x > 0;  T  twist, right-handed about the pull
    two_sides (n,) True where only the two lines along b, d apart, are welded (see `fits_all_round`)
    flat      flat of the face those two lines lie across: what runs over its round corners is not counted
    The force per length is affine along each side, so the worst place is a corner: all four are looked at.
    """
    b, d, P, V_x, V_y, M_x, M_y, T, two = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (b, d, P, V_x, V_y, M_x, M_y, T)),
        np.atleast_1d(np.asarray(two_sides, bool)))
    if not ((b > 0).all() and (d > 0).all()):
        raise InputError(field="line_force: b, d", value=f"{b.min():g} m, {d.min():g} m",
                         need="sides over zero", example="b=0.05, d=0.05")
    b = np.where(two, np.minimum(b, flat), b)
    if not (b > 0).all():
        raise InputError(field="line_force: flat", value=f"{np.min(flat):g} m",
                         need="a face with a flat on it", example="flat=0.04")
    L = np.where(two, pair_length.si(b=b), box_length.si(b=b, d=d))
    S_x = np.where(two, pair_modulus_over.si(b=b, d=d), box_modulus.si(b=b, d=d))
    S_y = np.where(two, pair_modulus_along.si(b=b), box_modulus.si(b=d, d=b))
    J = np.where(two, pair_polar.si(b=b, d=d), box_polar.si(b=b, d=d))
    even, over_d, over_b = P / L, M_x / S_x, M_y / S_y
    parts = np.array([(even + sy * over_d + sx * over_b,
                       V_x / L - sy * twist_line_force.si(T=T, c=d / 2, J_w=J),
                       V_y / L + sx * twist_line_force.si(T=T, c=b / 2, J_w=J)) for sx, sy in CORNERS])
    sums = resultant_line_force.si(f_z=parts[:, 0], f_x=parts[:, 1], f_y=parts[:, 2])
    worst = np.argmax(sums, axis=0)
    at = np.arange(worst.size)
    return LineForce(*(parts[worst, i, at] for i in range(3)), f=sums[worst, at], corner=worst)


# --- sizes ---------------------------------------------------------------------------------------

@lru_cache(maxsize=1)
def _least_table() -> tuple[np.ndarray, np.ndarray]:
    with open(DATA / "fillet_minimum.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    limits, legs = ([magnitude(read_length(r[column], f"fillet_minimum.csv: {column}"), "m")
                     for r in rows if r[column]] for column in ("thinner_to", "leg"))
    return np.array(limits), np.array(legs)


def least_leg_si(thinner) -> np.ndarray:
    """Table J2.4: least leg for the thickness of the thinner part. SI, array in, array out."""
    limits, legs = _least_table()
    return legs[np.searchsorted(limits * (1 + _HAIR), thinner, side="left")]


def edge_leg_si(t) -> np.ndarray:
    """J2.2b(b): greatest leg along the edge of a part of thickness t. SI."""
    t = np.asarray(t, float)
    return np.where(t < INCH / 4 * (1 - _HAIR), t, t - SIXTEENTH)


@formula(symbol="beta", source="aisc-360-22, J2.2b(d)",
         valid=[Within("l/w", lambda l, w: l / w, low=100, high=300, source="aisc-360-22, J2.2b(d)")])
def long_weld_factor(*, l: Length, w: Length) -> Ratio:
    """What is left of the length of a long weld that is loaded from its end.

    l  length of the weld
    w  leg
    """
    return 1.2 - 0.002 * l / w


def effective_legs(slenderness) -> np.ndarray:
    """J2.2b(d): effective length in legs of an end-loaded weld that is `slenderness` legs long."""
    s = np.asarray(slenderness, float)
    return np.where(s <= 100, s, np.where(s <= 300, long_weld_factor.si(l=s, w=1.0) * s, 180.0))


def round_up_si(size, system: str = "inch") -> np.ndarray:
    """To the next sixteenth of an inch, or the next whole millimetre."""
    step = _step(system)
    return np.ceil(np.asarray(size, float) / step - _HAIR) * step


def _step(system: str) -> float:
    if system not in ("inch", "mm"):
        raise InputError(field="system", value=system, need='"inch" or "mm"', example='system="inch"')
    return SIXTEENTH if system == "inch" else 1e-3


@dataclass(frozen=True)
class Fillet:
    """A fillet by what is laid and what counts: arrays (n,), SI.

    laid      leg to lay;  least  the least that table J2.4 allows;  too_small  laid is under it
    edge      the most that may be laid along an edge of the thinner wall, J2.2b(b)
    credited  leg that counts: never above the thinner wall (nor above `edge` where the weld runs along an
              edge), nor above a quarter of the length of a short weld;  throat  of the credited leg
    clash     the least leg is above the most an edge of this wall takes: a wall under 1/8 in
    """

    laid: np.ndarray
    credited: np.ndarray
    throat: np.ndarray
    least: np.ndarray
    edge: np.ndarray
    clash: np.ndarray

    @property
    def too_small(self) -> np.ndarray:
        return self.laid < self.least * (1 - _HAIR)


CLASH = ("table J2.4 asks a leg of at least 1/8 in, and an edge of this wall takes no more than the wall: "
         "both cannot hold under 1/8 in. Only the wall is credited. Welding so thin a wall is a matter for a "
         "sheet steel welding procedure (AWS D1.3).")


def fillet(laid, thinner, *, length=np.inf, along_edge: bool = False) -> Fillet:
    """Leg credited for the leg laid. SI, arrays (n,) or scalars.

    laid        leg as laid
    thinner     design wall of the thinner part joined
    length      length of the run, for the rule of short welds; a weld all round has no end
    along_edge  the weld runs along the edge of that part (lapped parts), not round the end of a tube
    """
    laid, thinner, length = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (laid, thinner, length)))
    for name, value in (("leg", laid), ("wall", thinner), ("length", length)):
        if not (value > 0).all():
            raise InputError(field=f"fillet: {name}", value=f"{np.min(value):g} m", need="a size over zero",
                             example=f"{name} = 1/8 in")
    edge = edge_leg_si(thinner)
    credited = np.minimum(np.minimum(laid, edge if along_edge else thinner), length / 4)
    least = least_leg_si(thinner)
    return Fillet(laid=laid, credited=credited, throat=throat_equal_legs.si(w=credited), least=least,
                  edge=edge, clash=least > edge * (1 + _HAIR))


def leg_to_lay_si(throat, thinner, system: str = "inch") -> np.ndarray:
    """Leg to lay for a required throat: rounded up, and never under table J2.4. SI."""
    return np.maximum(round_up_si(leg_for_throat.si(t_e=np.asarray(throat, float)), system),
                      round_up_si(least_leg_si(thinner), system))


# --- strength of the joint -----------------------------------------------------------------------


@dataclass(frozen=True)
class Wall:
    """A part joined: its name in words, design thickness and steel. Arrays (n,), SI."""

    name: str
    t: np.ndarray
    F_y: np.ndarray
    F_u: np.ndarray


def strengths(FEXX, throat, walls: Iterable[Wall], *, omega: float = OMEGA_WELD,
              phi: float = PHI_WELD) -> tuple[Strength, ...]:
    """Nominal strengths per length of weld (N/m), one clause each: weld metal, then yield and rupture of
    every wall. SI, arrays (n,). Each has its own Omega; `weakest` compares them after it is applied.
    omega, phi: of the weld metal, where the filler has its own (stainless)."""
    code = "AISC 360-22 J2.4(a), k_ds = 1.0" if omega == OMEGA_WELD else "AISC 370 (recalled), k_ds = 1.0"
    found = [_strength("weld metal", strength_weld_metal.si(FEXX=FEXX, t_e=throat), omega, phi, code)]
    for wall in walls:
        found += [_strength(f"shear yield of the {wall.name}",
                            strength_wall_yield.si(F_y=wall.F_y, t=wall.t),
                            OMEGA_YIELD, PHI_YIELD, "AISC 360-22 J4.2(a)"),
                  _strength(f"shear rupture of the {wall.name}",
                            strength_wall_rupture.si(F_u=wall.F_u, t=wall.t),
                            OMEGA_RUPTURE, PHI_RUPTURE, "AISC 360-22 J4.2(b)")]
    return tuple(found)


def _strength(state: str, nominal, omega: float, phi: float, clause: str) -> Strength:
    nominal = np.atleast_1d(np.asarray(nominal, float))
    usable = np.isfinite(nominal) & (nominal > 0)
    return Strength(nominal=np.where(usable, nominal, np.nan), states=(state,),
                    governing=np.zeros(nominal.shape, int), in_range=usable, omega=omega, phi=phi,
                    clause=clause, why_outside="throat, wall and strengths must be over zero")


@dataclass(frozen=True)
class Weakest:
    """Least allowable strength per length (N/m), arrays (n,); `governing` counts in `strengths`."""

    allowable: np.ndarray
    governing: np.ndarray
    in_range: np.ndarray
    strengths: tuple[Strength, ...]

    def state(self, design: int = 0) -> str:
        return self.strengths[int(self.governing[design])].states[0]

    def clause(self, design: int = 0) -> str:
        return self.strengths[int(self.governing[design])].clause


def weakest(found: Iterable[Strength], kind: str, method: str = "ASD") -> Weakest:
    """The clause that governs once each has its factor: yield and rupture of a wall have different ones.

    kind    "use", "handling" or "proof" (check.KINDS);  method  "ASD" or "LRFD"
    A design outside any clause's range has no allowable strength: nan, and in_range False.
    """
    found = tuple(found)
    least, governing = weakest_clause(found, kind, method)
    return Weakest(allowable=least, governing=governing, in_range=np.isfinite(least), strengths=found)


# --- fillers -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Filler:
    """A filler metal. `matches`: steels it matches. `joins`: kinds of metal on its two sides. omega, phi:
    factors of
    the weld metal (stainless: those of AISC 370)."""

    name: str
    FEXX: pint.Quantity
    matches: tuple[str, ...]
    joins: tuple[str, ...]
    omega: float
    phi: float
    source: str
    provenance: str
    note: str


@lru_cache(maxsize=1)
def fillers() -> dict[str, Filler]:
    with open(DATA / "fillers.csv", newline="", encoding="utf-8") as file:
        return {r["name"]: Filler(
            name=r["name"], FEXX=read_quantity(r["FEXX"], "ksi", f"fillers.csv: {r['name']}"),
            matches=tuple(r["matches"].split("|")), joins=tuple(r["joins"].split("|")),
            omega=float(r["omega"]), phi=float(r["phi"]), source=r["source"], provenance=r["provenance"],
            note=r["note"])
            for r in csv.DictReader(file)}


METAL_OF = {"A554": "stainless", "B221": "aluminium"}  # every other product of the stock list is carbon steel


@lru_cache(maxsize=1)
def _aluminium() -> dict[str, tuple[pint.Quantity, pint.Quantity]]:
    with open(DATA / "aluminium_fillers.csv", newline="", encoding="utf-8") as file:
        return {r["filler"]: tuple(read_quantity(r[c], "ksi", f"aluminium_fillers.csv: {c}") for c in ("Fy", "Fu"))
                for r in csv.DictReader(file)}


def beside_aluminium_weld(filler: str) -> tuple[pint.Quantity, pint.Quantity]:
    """Yield stress and tensile strength of 6061-T6 within about an inch of a weld, by filler: 4043 or 5356.
    Second-hand values, to say why no strength is computed; the parent metal has 35 and 42 ksi."""
    if filler not in _aluminium():
        raise InputError(field="beside_aluminium_weld: filler", value=filler, need="one of " + ", ".join(_aluminium()),
                         example="4043")
    return _aluminium()[filler]


def _no_aluminium() -> str:
    (soft, tensile), (less_soft, _) = beside_aluminium_weld("4043"), beside_aluminium_weld("5356")
    ksi = [f"{magnitude(v, 'ksi'):.0f}" for v in (tensile, less_soft, soft)]
    return ("aluminium loses strength for about an inch each side of a weld (6061-T6: tensile 42 to "
            f"{ksi[0]} ksi, yield 35 to {ksi[1]} ksi with 5356 filler, to {ksi[2]} ksi with 4043): a welding engineer "
            "sizes it, no strength is computed here")


NO_ALUMINIUM = _no_aluminium()


def filler(name: str, *products: str | None) -> Filler:
    """A filler of the list by its name, for the products of the stock list that it joins.

    Raises InputError for an unknown filler, and for metals it must not join: carbon-steel filler on stainless
    or
    aluminium, 308L where one side is carbon steel.
    """
    if name not in fillers():
        raise InputError(field="filler", value=name, need="one of " + ", ".join(fillers()), example="E70")
    found = fillers()[name]
    metals = {METAL_OF.get(p, "carbon") for p in products if p is not None}
    words = {"carbon": "carbon steel"}
    if "aluminium" in metals:
        raise InputError(field="filler", value=f"{name} on {' and '.join(map(str, products))}",
                         need="steel: carbon-steel filler does not join stainless or aluminium; " + NO_ALUMINIUM,
                         example="E70 on A500")
    pair = "+".join(sorted(metals)) or "carbon"
    if pair not in found.joins:
        best = next(f for f in fillers().values() if pair in f.joins)
        both = " and ".join(words.get(m, m) for m in sorted(metals))
        raise InputError(field="filler", value=f"{name} on {both}", example=best.name,
                         need="a filler for those metals: carbon-steel filler does not join stainless or "
                              "aluminium, and 308L needs stainless on both sides")
    return found


OVERMATCHED = ("the filler is more than one strength level over the weaker steel: table J2.5 (note b) "
               "allows one; the walls "
               "are counted at their own strength, never raised")
ONE_LEVEL = 10.0  # ksi between two strength levels of filler


def overmatched(FEXX: pint.Quantity, weaker_F_u: pint.Quantity) -> bool:
    """Where the filler is more than one level over the lowest level (60 ksi) that covers the weaker steel's
    tensile
    strength: a caution, since the kit counts the walls at their own strength in any case."""
    matching = max(60.0, float(np.ceil(magnitude(weaker_F_u, "ksi") / ONE_LEVEL)) * ONE_LEVEL)
    return float(magnitude(FEXX, "ksi")) > matching + ONE_LEVEL


# --- quantities in, quantities out ---------------------------------------------------------------


def least_leg(thinner: pint.Quantity) -> pint.Quantity:
    """Least leg by table J2.4 for the thinner part joined."""
    return Q(float(least_leg_si(_metres(thinner, "least_leg: thinner"))) / INCH, "in")


def edge_leg(t: pint.Quantity) -> pint.Quantity:
    """Greatest leg along the edge of a part of thickness t (J2.2b(b))."""
    return Q(float(edge_leg_si(_metres(t, "edge_leg: t"))) / INCH, "in")


def credited_leg(laid: pint.Quantity, thinner: pint.Quantity, *, length: pint.Quantity | None = None,
                 along_edge: bool = False) -> pint.Quantity:
    """Leg that counts of a leg laid: see `fillet`."""
    run = np.inf if length is None else _metres(length, "credited_leg: length")
    found = fillet(_metres(laid, "credited_leg: laid"), _metres(thinner, "credited_leg: thinner"), length=run,
                   along_edge=along_edge)
    return Q(float(found.credited[0]) / INCH, "in")


def leg_to_lay(throat: pint.Quantity, thinner: pint.Quantity, system: str = "inch") -> pint.Quantity:
    """Leg to lay for a required throat: up to the next sixteenth (or millimetre), never under table J2.4."""
    size = float(leg_to_lay_si(_metres(throat, "leg_to_lay: throat"), _metres(thinner, "leg_to_lay: thinner"),
                               system))
    return Q(size / INCH, "in") if system == "inch" else Q(size * 1e3, "mm")


def effective_length(length: pint.Quantity, leg: pint.Quantity) -> pint.Quantity:
    """Length that counts of a weld loaded from its end (J2.2b(d)): all of it to 100 legs, never over 180."""
    w = _metres(leg, "effective_length: leg")
    legs = float(effective_legs(_metres(length, "effective_length: length") / w))
    return Q(legs * w / INCH, "in")


def effective_share(length: pint.Quantity, leg: pint.Quantity) -> float:
    """Effective length over length of a weld loaded from its end: the factor beta where it applies."""
    slenderness = _metres(length, "effective_share: length") / _metres(leg, "effective_share: leg")
    return float(effective_legs(slenderness)) / slenderness


def effective_length_in_legs(length: pint.Quantity, leg: pint.Quantity) -> float:
    """Effective length of a weld loaded from its end, counted in legs."""
    return effective_share(length, leg) * float((length / leg).to("").magnitude)


def weld_metal_allowable(t_e: pint.Quantity, FEXX: pint.Quantity, *, theta: pint.Quantity | None = None,
                         kind: str = "use", method: str = "ASD") -> pint.Quantity:
    """Allowable strength of the weld metal alone, per length of weld, on a throat.

    theta  angle between force and weld, to report what the directional increase would give; the kit's
           verdicts leave it out
    """
    plain = _allowable(strengths(_pascals(FEXX, "weld_metal_allowable: FEXX"),
                                 _metres(t_e, "weld_metal_allowable: t_e"), ()), kind, method)
    return plain if theta is None else plain * directional_factor(theta)


def wall_allowable(t: pint.Quantity, F_y: pint.Quantity, F_u: pint.Quantity, *, state: str = "both",
                   kind: str = "use", method: str = "ASD") -> pint.Quantity:
    """Allowable shear strength of a wall per length of weld.

    state  "yield", "rupture" or "both" (the less)
    """
    if state not in ("both", "yield", "rupture"):
        raise InputError(field="wall_allowable: state", value=state, need='"yield", "rupture" or "both"',
                         example="both")
    wall = Wall("wall", _metres(t, "wall_allowable: t"), _pascals(F_y, "wall_allowable: F_y"),
                _pascals(F_u, "wall_allowable: F_u"))
    pair = strengths(1.0, 1.0, (wall,))[1:]
    return _allowable({"both": pair, "yield": pair[:1], "rupture": pair[1:]}[state], kind, method)


def fillet_capacity(leg: pint.Quantity, length: pint.Quantity, FEXX: pint.Quantity, *, runs: float = 1,
                    kind: str = "use", method: str = "ASD") -> pint.Quantity:
    """Allowable force of equal runs of fillet loaded from their ends, weld metal alone."""
    per_length = weld_metal_allowable(throat_equal_legs(leg), FEXX, kind=kind, method=method)
    return (per_length * effective_length(length, leg) * runs).to("kip")


def _allowable(found, kind: str, method: str) -> pint.Quantity:
    return Quantity(float(weakest(found, kind, method).allowable[0]), "N/m").to("lbf/in")


def _metres(size: pint.Quantity, field: str) -> float:
    return _positive(size, "m", field, "a length over zero", "Q(0.125, 'in')")


def _pascals(size: pint.Quantity, field: str) -> float:
    return _positive(size, "Pa", field, "a stress over zero", "Q(70, 'ksi')")


def _positive(size, unit: str, field: str, need: str, example: str) -> float:
    if not isinstance(size, pint.Quantity) or not size.check(Q(1.0, unit).dimensionality):
        raise InputError(field=field, value=size, need=need, example=example)
    value = float(magnitude(size, unit))
    if not (np.isfinite(value) and value > 0):
        raise InputError(field=field, value=size, need=need, example=example)
    return value


# --- worked lines --------------------------------------------------------------------------------


def worked_lines(*, leg: pint.Quantity, FEXX: pint.Quantity, walls: Iterable[tuple[pint.Quantity, ...]],
                 system: str = "inch") -> tuple[Worked, ...]:
    """Nominal strength per length, line by line: throat, weld metal, then yield and rupture of each wall.

    leg    leg credited;  walls  (thickness, F_y, F_u) of each part joined
    """
    throat = throat_equal_legs(leg)
    lines = [throat_equal_legs.worked(leg, system=system),
             strength_weld_metal.worked(FEXX, throat, system=system)]
    for t, F_y, F_u in walls:
        lines.append(strength_wall_yield.worked(F_y, t, system=system))
        lines.append(strength_wall_rupture.worked(F_u, t, system=system))
    return tuple(lines)


def worked_line_force(*, b: pint.Quantity, d: pint.Quantity, P: pint.Quantity, V_x: pint.Quantity,
                      V_y: pint.Quantity, M_x: pint.Quantity, M_y: pint.Quantity, T: pint.Quantity,
                      two_sides: bool = False, flat: pint.Quantity | None = None,
                      system: str = "inch") -> tuple[Worked, ...]:
    """The vector sum on a weld line, line by line, at its worst corner. Signs, `two_sides` and `flat` as in
    `line_force`."""
    found = line_force(*(magnitude(v, "m") for v in (b, d)), P=magnitude(P, "N"), V_x=magnitude(V_x, "N"),
                       V_y=magnitude(V_y, "N"), M_x=magnitude(M_x, "N*m"), M_y=magnitude(M_y, "N*m"),
                       T=magnitude(T, "N*m"), two_sides=two_sides,
                       flat=np.inf if flat is None else magnitude(flat, "m"))
    if two_sides:
        b = b if flat is None else min(b, flat)
        length, polar = (pair_length, {"b": b}), (pair_polar, {"b": b, "d": d})
        over_d, over_b = (pair_modulus_over, {"b": b, "d": d}), (pair_modulus_along, {"b": b})
    else:
        length, polar = (box_length, {"b": b, "d": d}), (box_polar, {"b": b, "d": d})
        over_d, over_b = (box_modulus, {"b": b, "d": d}), (box_modulus, {"b": d, "d": b})
    lines = []

    def step(formula_and_sizes):
        relation, sizes = formula_and_sizes
        lines.append(relation.worked(**sizes, system=system))
        return relation(**sizes)

    L = step(length)
    lines += [even_line_force.worked(F, L, system=system) for F in (P, V_x, V_y) if F.magnitude]
    for M, modulus in ((M_x, over_d), (M_y, over_b)):
        if M.magnitude:
            lines.append(bending_line_force.worked(M, step(modulus), system=system))
    if T.magnitude:
        J = step(polar)
        lines += [twist_line_force.worked(T, c / 2, J, system=system) for c in (d, b)]
    lines.append(resultant_line_force.worked(
        f_z=Quantity(float(found.z[0]), "N/m"), f_x=Quantity(float(found.x[0]), "N/m"),
        f_y=Quantity(float(found.y[0]), "N/m"), system=system))
    return tuple(lines)
