"""A panel that is bowed, cupped or twisted: what it takes to pull it flat, and what comes back once steel is
let in.

Bow runs along the grain, cup across it, twist is one corner out of the plane of the other three. The sum is
about pulling flat while the steel is fitted, then letting go: the panel springs back against steel and wood
together. Screws in slots tie no slip (gamma 0): steel and wood then only add their own stiffness. Formulas
take quantities; `springback` and `which_steel` work on arrays, first axis = pieces of steel.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula, frac, pi, sqrt
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.shapes import Shape, read_stock, stock_sections
from shopcalc.stock.tables import rows
from shopcalc.units import (
    Area,
    Declared,
    Density,
    Force,
    Length,
    Millimetre,
    Moment,
    Q,
    Quantity,
    Ratio,
    Rigidity,
    SecondMoment,
    Stiffness,
    Stress,
    magnitude,
)
from shopcalc.wood.net_section import full_cut_share

Slip = Annotated[pint.Quantity, Declared("N/mm", "a slip stiffness", "Q(2500, 'N/mm')")]

E_STEEL = Q(29000, "ksi")
OMEGA_BENDING = 1.67
# Bow per length that passes as flat: 1/32 in per foot, the eye's limit in the trade.
FLAT_ENOUGH = 1 / 384
# A groove deeper than this part of the thickness leaves too little wood.
DEEPEST_GROOVE = 0.5

STEEL_AND_TWIST = (
    "channel, angle and flat bar hardly resist twist: a twisted top follows its base, or needs a closed "
    "tube, or bars "
    "at both ends fixed to a stiff frame"
)
KEEPS_MOVING = (
    "the panel is measured at one moisture: a cup comes back with the next season if its faces dry "
    "unequally, whatever "
    "holds it; seal both faces, let it settle, measure again"
)
ON_EDGE = (
    "a flat bar on edge in a groove is held by clips or pins that slide across the grain, never glued in"
)
STRESS_STAYS = (
    "pulling flat takes little force, but the stress stays in the wood until it relaxes: released "
    "early it springs back"
)


# --- shape ---------------------------------------------------------------------------------------


@formula(symbol="R", source="geometry, sagitta of an arc")
def radius_of_bow(*, w: Length, c: Length) -> Length:
    """Radius of an even bow or cup.

    w  length of the straightedge, end to end
    c  gap in its middle
    """
    return w**2 / (8 * c) + c / 2


@formula(
    symbol="c",
    source="geometry, sagitta of a shallow arc",
    valid=(Within("w/R", lambda w, R: w / R, 0, 0.5),),
)
def bow_of_radius(*, w: Length, R: Length) -> Length:
    """Gap in the middle under a straightedge on an even, shallow bow.

    w  length of the straightedge
    R  radius of the bow
    """
    return w**2 / (8 * R)


@formula(symbol="R", source="two-layer-strip, equal layers")
def radius_of_two_layers(h: Length, *, e: Ratio) -> Length:
    """Radius to which a panel cups whose two halves want to differ in size: one face wetted, dried or
    finished alone.

    h  thickness of the panel
    e  difference of free change between the two halves, over the size
    """
    return 2 * h / (3 * e)


# --- pulling flat --------------------------------------------------------------------------------


@formula(symbol="M", source="beam-theory, curvature")
def moment_to_flatten(E: Stress, I: SecondMoment, R: Length) -> Moment:
    """Moment that straightens an even bow.

    E  stiffness of the wood in the direction of the bow
    I  second moment of the strip of wood
    R  radius of the bow
    """
    return E * I / R


@formula(symbol="F", source="beam-theory, beam on two supports with a load in the middle")
def force_in_middle(M: Moment, L: Length) -> Force:
    """Force that brings the middle of a panel level with its two supports.

    M  moment that would straighten the even bow
    L  distance between the supports
    """
    return 6 * M / L


@formula(symbol="sigma", source="beam-theory, curvature")
def face_stress(E: Stress, *, t: Length, R: Length) -> Stress:
    """Stress in the faces of a panel while it is held flat, before it relaxes.

    E  stiffness of the wood in the direction of the bow
    t  thickness
    R  radius of the bow it came from
    """
    return E * t / (2 * R)


OVER_GUIDE = (
    "the faces may split when it is pulled flat: wet and clamp it slowly, saw and lay it anew, or ask an engineer"
)


def beside_guide(stress: pint.Quantity, guide: pint.Quantity) -> str:
    """In words how the stress in the faces stands to the guide of its wood (`Wood.guide`)."""
    return "under the guide value" if magnitude(stress, "Pa") <= magnitude(guide, "Pa") else "over the guide value"


@formula(symbol="F", source="beam-theory, twist of a thin rectangle")
def corner_force(G: Stress, *, t: Length, c: Length, L: Length, w: Length) -> Force:
    """Force at each corner, two up and two down, that takes the twist out of a panel.

    G  shear stiffness in the plane of the panel
    t  thickness
    c  how far one corner stands off the plane of the other three
    L  length
    w  width
    """
    return G * t**3 * c / (3 * L * w)


# --- steel and wood together ---------------------------------------------------------------------


@formula(
    symbol="K",
    source="en-1995-1-1, table 7.1, screws",
    valid=(Within("d", lambda d: d, 3, 24), Within("rho_m", lambda rho_m: rho_m, 300, 900)),
)
def screw_slip(rho_m: Density, d: Millimetre) -> Slip:
    """Slip stiffness of one screw between steel and wood (the double value for steel is not counted).

    rho_m  mean density of the wood
    d      diameter of the screw
    """
    return rho_m ** frac(3, 2) * d / 23


@formula(symbol="gamma", source="en-1995-1-1, annex B (B.5)")
def composite_share(E: Stress, A: Area, K: Stiffness, *, s: Length, L: Length) -> Ratio:
    """How much of full composite action the screws give: 1 glued without slip, 0 where nothing ties.

    E  stiffness of the part that is screwed on
    A  its area
    K  slip stiffness of one screw
    s  distance between screws (divided by the number of rows)
    L  length over which the two bend together
    """
    return 1 / (1 + pi**2 * E * A * s / (K * L**2))


@formula(
    symbol="EI_ef", source="en-1995-1-1, annex B (B.1)", valid=(Within("gamma", lambda gamma: gamma, 0, 1),)
)
def stiffness_with_slip(
    *, EI_s: Rigidity, EI_w: Rigidity, EA_s: Force, EA_w: Force, gamma: Ratio, z: Length
) -> Rigidity:
    """Bending stiffness of wood with a steel bar screwed in.

    EI_s   of the steel about its own axis
    EI_w   of the wood about its own axis
    EA_s   axial stiffness of the steel
    EA_w   axial stiffness of the wood
    gamma  share of composite action
    z      between the two centroids
    """
    return EI_s + EI_w + gamma * EA_s * EA_w * z**2 / (gamma * EA_s + EA_w)


@formula(
    symbol="c_r",
    source="beam-theory, a bow held by added stiffness",
    valid=(Within("EI_ef/EI_w", lambda EI_ef, EI_w: EI_ef / EI_w, 1),),
)
def bow_that_returns(c: Length, *, EI_w: Rigidity, EI_ef: Rigidity) -> Length:
    """Bow that comes back once the clamps are off a panel that was flat when its steel was fixed.

    c      bow of the panel by itself
    EI_w   bending stiffness of the wood
    EI_ef  of wood and steel together
    """
    return c * EI_w / EI_ef


@formula(
    symbol="c_l",
    source="wood-handbook-gtr-190, ch. 5, creep and relaxation",
    valid=(Within("phi", lambda phi: phi, 0, 2),),
)
def bow_after_holding(c: Length, phi: Ratio) -> Length:
    """Bow that the wood still wants after it was held flat for long.

    c    bow at first
    phi  creep over elastic: 0 released at once, about 1 after several years
    """
    return c / (1 + phi)


RELAXATION = (0.0, 1.0)  # the band that is shown


def relaxation_band(c: pint.Quantity) -> tuple[pint.Quantity, pint.Quantity]:
    """What comes back if the steel is taken off: at once, and after years."""
    return tuple(bow_after_holding(c, phi) for phi in RELAXATION)


# --- screws --------------------------------------------------------------------------------------


@formula(symbol="P", source="beam-theory, strip held at even points (end screw of many)")
def end_screw_pull(M: Moment, s: Length) -> Force:
    """Pull or push on the last screw of a long row that holds a bow flat.

    M  moment that straightens the bow
    s  distance between screws
    """
    return (3 - sqrt(3)) * M / s


def screw_forces(moment, spacing, screws: int) -> np.ndarray:
    """Force on each of a row of evenly spaced screws that hold an even bow against a straight bar.

    moment   (n,) moment that straightens the bow, N m;  spacing (n,) m
    Returns (n, screws) N: positive where the screw pulls if the hollow side lies on the bar, negative where
    the wood presses; the other way round if the crown lies on it. The row is in balance; the ends carry no
    moment. Second route of the sum: a natural spline.
    """
    if isinstance(screws, bool) or not isinstance(screws, int) or not 3 <= screws <= 200:
        raise InputError(
            field="screws",
            value=screws,
            need="three to 200 screws in a row: two cannot hold a bow",
            example="7",
        )
    moment, spacing = np.atleast_1d(np.asarray(moment, float)), np.atleast_1d(np.asarray(spacing, float))
    inner = screws - 2
    matrix = 4 * np.eye(inner) + np.eye(inner, k=1) + np.eye(inner, k=-1)
    shares = np.concatenate(
        [[0.0], np.linalg.solve(matrix, np.full(inner, 6.0)), [0.0]]
    )  # of the moment, at the screws
    slopes = np.diff(shares)
    jumps = np.concatenate([[-slopes[0]], -np.diff(slopes), [slopes[-1]]])
    return moment[:, None] / spacing[:, None] * jumps


def worst_pull(forces: np.ndarray, hollow_on_steel: bool | None = None) -> np.ndarray:
    """(n,) N: the largest pull on a screw; for either side where it is not known which one lies on the
    steel."""
    hollow, crown = forces.max(axis=1), (-forces).max(axis=1)
    return np.maximum(hollow, crown) if hollow_on_steel is None else hollow if hollow_on_steel else crown


# --- a panel -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Panel:
    """A bow or cup to be held flat by `bars` alike bars that run along it.

    run        length over which the bow was measured, and that the bars span;  bow: gap in the middle
    thickness, breadth  of the whole panel, square to the bow
    E          stiffness of the wood in the direction of the bow: along the grain for a bow, across it for a
               cup
    density    of the wood, for the slip of screws
    across     True for a cup: the bars lie across the grain and their screws run in slots, so that nothing
               ties (gamma 0)
    under      True where the steel is screwed under the top instead of let into it
    """

    run: pint.Quantity
    bow: pint.Quantity
    thickness: pint.Quantity
    breadth: pint.Quantity
    E: pint.Quantity
    density: pint.Quantity
    across: bool
    bars: int = 2
    screw: pint.Quantity = Q(0.25, "inch")
    spacing: pint.Quantity = Q(6.0, "inch")
    under: bool = False

    def __post_init__(self):
        for name in ("run", "bow", "thickness", "breadth", "spacing", "screw"):
            if not float(magnitude(getattr(self, name), "m")) > 0:
                raise InputError(
                    field=name, value=getattr(self, name), need="a length over zero", example="Q(36, 'in')"
                )
        if not 1 <= self.bars <= 20:
            raise InputError(field="bars", value=self.bars, need="1 to 20 bars", example="2")
        if magnitude(self.bow, "m") > magnitude(self.run, "m") / 20:
            raise InputError(
                field="bow",
                value=self.bow,
                need="a bow under a twentieth of its length",
                example="Q(0.25, 'in')",
            )

    @property
    def strip(self) -> pint.Quantity:
        """Breadth of wood that one bar holds."""
        return self.breadth / self.bars

    @property
    def I(self) -> pint.Quantity:
        """Of the strip, nothing taken off for the groove: the whole of it wants to spring back."""
        return self.strip * self.thickness**3 / 12

    @property
    def radius(self) -> pint.Quantity:
        return radius_of_bow(w=self.run, c=self.bow)

    @property
    def moment(self) -> pint.Quantity:
        """That straightens one strip."""
        return moment_to_flatten(self.E, self.I, self.radius)

    @property
    def screws(self) -> int:
        """In one bar: at both ends and no further apart than `spacing`."""
        return max(3, int(np.ceil(float((self.run / self.spacing).to("").magnitude) - 1e-9)) + 1)

    @property
    def apart(self) -> pint.Quantity:
        return self.run / (self.screws - 1)

    def pull(self, hollow_on_steel: bool | None = None) -> pint.Quantity:
        """On the worst screw."""
        forces = screw_forces(magnitude(self.moment, "N*m"), magnitude(self.apart, "m"), self.screws)
        return Quantity(float(worst_pull(forces, hollow_on_steel)[0]), "N")

    @property
    def wanted(self) -> pint.Quantity:
        """Bow that passes as flat over this run."""
        return self.run * FLAT_ENOUGH


@dataclass(frozen=True)
class LetIn:
    """Steel as it is let into the underside, arrays over pieces, SI: bending stiffness and area, centroid
    above the underside, depth and width of the groove, distance of the farthest fibre, mass per length,
    yield."""

    pieces: tuple[Shape, ...]
    I: np.ndarray
    A: np.ndarray
    centroid: np.ndarray
    depth: np.ndarray
    width: np.ndarray
    farthest: np.ndarray
    mass: np.ndarray
    Fy: np.ndarray


def let_in(pieces: list[Shape] | tuple[Shape, ...]) -> LetIn:
    """Channels with their web flush with the underside and their legs up in the wood, bending the weak way;
    angles with one leg flush and the first leg up; flat bars on edge. Under the top they hang the same way
    round, turned over. InputError for anything else."""
    odd = [p for p in pieces if not isinstance(p, Shape) or p.kind not in ("channel", "angle", "flat bar")]
    if odd:
        raise InputError(
            field="steel",
            value=odd[0].words,
            need="a channel, angle or flat bar",
            example="channel 1-1/2 x 1/2 x 1/8, A36",
        )
    s: SectionArrays = stock_sections(pieces, "nominal")
    channel = s.kind == "channel"
    depth = np.where(channel, s.width, s.height)
    middle = np.where(channel, s.x_bar, s.y_bar)
    return LetIn(
        tuple(pieces),
        np.where(channel, s.Iy, s.Ix),
        s.A,
        middle,
        depth,
        np.where(channel, s.height, s.width),
        np.maximum(middle, depth - middle),
        s.mass_per_length,
        np.array([float(magnitude(p.steel.Fy, "Pa")) for p in pieces]),
    )


@lru_cache(maxsize=1)
def steel_list() -> tuple[Shape, ...]:
    """Channels, angles and flat bars of the stock list in mild steel, as they may be let in."""
    words = [f"channel {r['name']}, A36" for r in rows("channels.csv")]
    words += [f"angle {r['long_leg']} x {r['short_leg']} x {r['thickness']}, A36" for r in rows("angles.csv")]
    words += [
        f"flat bar {r['width']} x {r['thickness']}, A36" for r in rows("bars.csv") if r["kind"] == "flat bar"
    ]
    return tuple(read_stock(w) for w in words)


@lru_cache(maxsize=1)
def _let_in_list() -> LetIn:
    return let_in(steel_list())


@dataclass(frozen=True)
class Springback:
    """What comes back with each piece of steel, arrays over pieces, SI.

    gamma, returns (m), strength_left (of the wood across the groove), steel_stress (Pa)
    fits    the groove is no deeper than half the thickness, its bars no wider than a quarter of the strip;
            under the top no bar on edge
    flat    within the wanted bow;  sound: the steel stays under its allowable bending
    """

    panel: Panel
    steel: LetIn
    gamma: np.ndarray
    returns: np.ndarray
    strength_left: np.ndarray
    steel_stress: np.ndarray
    fits: np.ndarray
    flat: np.ndarray
    sound: np.ndarray

    @property
    def good(self) -> np.ndarray:
        return self.fits & self.flat & self.sound

    @property
    def lightest(self) -> int | None:
        """Index of the lightest that does, or None."""
        if not self.good.any():
            return None
        return int(np.where(self.good, self.steel.mass, np.inf).argmin())

    def why_not(self, i: int) -> str:
        """Why a piece does not do, in words; "" where it does."""
        if not self.fits[i] and self.panel.under and self.steel.pieces[i].kind == "flat bar":
            return "a bar on edge has no flange to screw through, and leans over"
        if not self.fits[i]:
            return (
                "does not fit: the groove would leave less than half the thickness, or take too much of "
                "the strip"
            )
        if not self.flat[i]:
            return "too limber: more bow comes back than passes as flat"
        return "" if self.sound[i] else "the steel itself would yield"


def springback(panel: Panel, pieces, *, wanted: pint.Quantity | None = None) -> Springback:
    """What comes back with each of a list of pieces of steel."""
    steel = _let_in_list() if pieces is steel_list() else let_in(pieces)
    t, strip, run = (float(magnitude(v, "m")) for v in (panel.thickness, panel.strip, panel.run))
    E_w, E_s = float(magnitude(panel.E, "Pa")), float(magnitude(E_STEEL, "Pa"))
    EI_w, EI_s, EA_s = E_w * float(magnitude(panel.I, "m**4")), E_s * steel.I, E_s * steel.A
    if panel.across:
        gamma = np.zeros_like(steel.I)
    else:
        K = float(magnitude(screw_slip(panel.density, panel.screw), "N/m"))
        gamma = composite_share.si(E=E_s, A=steel.A, K=K, s=float(magnitude(panel.apart, "m")), L=run)
    z = t / 2 + steel.centroid if panel.under else t / 2 - steel.centroid
    groove = np.zeros_like(steel.depth) if panel.under else steel.depth
    EI = stiffness_with_slip.si(EI_s=EI_s, EI_w=EI_w, EA_s=EA_s, EA_w=E_w * strip * t, gamma=gamma, z=z)
    returns = bow_that_returns.si(c=float(magnitude(panel.bow, "m")), EI_w=EI_w, EI_ef=EI)
    fits = (groove <= DEEPEST_GROOVE * t + 1e-9) & (steel.width <= strip / 4)
    if panel.under:
        fits &= np.array([p.kind != "flat bar" for p in steel.pieces])
    # curvature that comes back bends the steel about its own axis; its share of axial force is left out where
    # nothing ties
    stress = E_s * steel.farthest / float(magnitude(panel.radius, "m")) * EI_w / EI
    stress += gamma * EA_s * np.abs(z) / float(magnitude(panel.radius, "m")) * EI_w / EI / steel.A
    limit = float(magnitude(panel.wanted if wanted is None else wanted, "m"))
    return Springback(
        panel,
        steel,
        gamma,
        returns,
        full_cut_share.si(t=t, d=np.minimum(groove, 0.9 * t)),
        stress,
        fits,
        returns <= limit * (1 + 1e-12),
        stress <= steel.Fy / OMEGA_BENDING,
    )


def which_steel(panel: Panel, *, wanted: pint.Quantity | None = None) -> Springback:
    """Every channel, angle and flat bar of the stock list, asked at once; `.lightest` is the answer."""
    return springback(panel, steel_list(), wanted=wanted)
