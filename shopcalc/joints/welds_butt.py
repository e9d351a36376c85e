"""Butt welds all round tube, welded from outside: two tubes in one line, or the two halves of a mitred corner.

AISC 360-22 tables J2.1 and J2.5, J4. What counts is the penetration that sectioned test pieces proved, never over
the wall, less what is ground away below flush; reinforcement counts nothing. Without a proof nothing counts. The
metal of the tubes is counted on that depth only, where the weld meets it. A force per length of any direction is
compared with the least strength, whether it pulls across or shears along the weld.

SI floats, first axis = design. Axes of a weld: x out of the plane of the corner, y in that plane, z across the cut.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from shopcalc.check import Strength
from shopcalc.errors import InputError
from shopcalc.formula import cos, formula
from shopcalc.joints import weld_groups
from shopcalc.joints.welds import INCH, OMEGA_WELD, PHI_WELD, Wall, Weakest, weakest
from shopcalc.joints.welds import strengths as shear_strengths
from shopcalc.joints.welds_shapes import butt_strength, butt_throat
from shopcalc.units import Angle, Length

GROUND_MOST = INCH / 32  # aws-d1-1-flush: most that grinding flush may take
HOW_PROVED = (
    "how the penetration was proven: test pieces of the same tube, gap and settings, welded, sawn across, polished and "
    "etched, the depth measured on each and the least one written here; nothing that was not proven is counted"
)
NOT_PROVED = (
    "no penetration is proven, so nothing of this butt weld is counted: have it sized by an engineer, or weld test pieces of "
    "the same tube, gap and settings, saw them across, polish and etch them, measure the depth on each and give the least "
    "one as penetration, with a line on how it was proven"
)
GROUND_AWAY = (
    "all of the penetration that was proven may be ground away: measure how deep under the faces it is ground (below_flush), or "
    "leave the crown; until then nothing is counted: have it sized by an engineer"
)
ONE_SIDED = (
    "a butt weld in tube is laid from outside only: where it does not reach through the wall its root is a notch that opens "
    "when the tube is bent or shaken; table legs and rails are not machines, but a loose root is no root"
)
GROUND_CAUTION = (
    "ground butt: the tube beside it is thinned as well. Grind no deeper than flush, and measure what is left of the wall"
)
ANGLE_OF_FORCE = "any direction of the force counts as the worst one: pull across and shear along are not told apart"


@dataclass(frozen=True)
class Butt:
    """What counts of butt welds, (n,) arrays, SI: throat, nought where nothing is proven or all is ground away;
    proven; ground below flush; through: the throat is the whole wall that is counted."""

    throat: np.ndarray
    proven: np.ndarray
    ground: np.ndarray
    through: np.ndarray

    def why_none(self, design: int = 0) -> str:
        """Why nothing of a weld counts, in words, or ""."""
        if self.throat[design] > 0:
            return ""
        return GROUND_AWAY if self.proven[design] else NOT_PROVED


def butt(penetration, wall, *, ground=False, below_flush=np.nan) -> Butt:
    """A square butt from outside, or one along a mitred cut. SI, (n,) or scalars.

    penetration  least depth that sectioned test pieces of the same make showed; nan or nought: not proven
    wall         design wall of the thinner tube
    ground       dressed flush;  below_flush  depth ground under the faces; nan: not measured, 1/32 in is taken off
    """
    p, t, g = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (penetration, wall, below_flush)))
    ground = np.broadcast_to(np.atleast_1d(np.asarray(ground, bool)), p.shape)
    proven = np.nan_to_num(p) > 0
    lost = np.where(ground, np.where(np.isnan(g), GROUND_MOST, g), 0.0)
    throat = np.where(proven, butt_throat(np.where(np.isnan(p), 0.0, p), t, lost), 0.0)
    return Butt(throat, proven, lost, throat >= t * (1 - 1e-9))


def strengths(
    FEXX, throat, walls: Iterable[Wall], *, omega: float = OMEGA_WELD, phi: float = PHI_WELD
) -> tuple[Strength, ...]:
    """Nominal strengths per length (N/m), one clause each: weld metal pulled across, weld metal sheared, then shear
    yield and rupture of either tube on the depth of the throat (a tube pulled across is stronger than one sheared,
    so its pull never governs). Out of range where there is no throat. omega, phi: of the filler, where it has its own
    (stainless)."""
    throat = np.atleast_1d(np.asarray(throat, float))
    pulled = butt_strength(FEXX, throat)
    if omega != OMEGA_WELD:
        pulled = replace(pulled, omega=omega, phi=phi, clause="AISC 370 (recalled)")
    at_the_weld = [replace(w, t=np.minimum(throat, w.t)) for w in walls]
    sheared, *metal = shear_strengths(FEXX, throat, at_the_weld, omega=omega, phi=phi)
    clause = "AISC 360-22 table J2.5, partial penetration, shear" if omega == OMEGA_WELD else sheared.clause
    return (pulled, replace(sheared, states=("butt weld metal in shear",), clause=clause), *metal)


def least(
    FEXX, throat, walls: Iterable[Wall], kind: str, method: str = "ASD", *, omega: float = OMEGA_WELD, phi: float = PHI_WELD
) -> Weakest:
    """The one allowable per length (N/m) for a force of any direction, and what gives it: see `strengths`. A design
    without a throat is nan and out of range: ask an engineer (NOT_PROVED)."""
    return weakest(strengths(FEXX, throat, walls, omega=omega, phi=phi), kind, method)


def throat_needed(
    force, FEXX, walls: Iterable[Wall], kind: str, method: str = "ASD", *, omega: float = OMEGA_WELD, phi: float = PHI_WELD
) -> np.ndarray:
    """Throat that a force per length (N/m) asks for: every strength grows with the throat. Above the wall no butt weld
    holds it. (n,) metres."""
    walls = [replace(w, t=np.inf) for w in walls]
    per_metre = least(FEXX, 1.0, walls, kind, method, omega=omega, phi=phi)
    return np.asarray(force, float) / per_metre.allowable


# --- the line of the weld -------------------------------------------------------------------------


@formula(symbol="d_c", source="geometry, a bar cut at an angle")
def length_of_cut(*, h: Length, phi: Angle) -> Length:
    """Length along a slanting cut across a bar.

    h    size of the bar in the plane of the cut's slant
    phi  angle of the cut off square: 45 degrees at a square mitred corner
    """
    return h / cos(phi)


def off_square(theta) -> np.ndarray:
    """Angle of a mitred cut off square (rad) for bars that meet at theta (rad): nought for bars in one line."""
    return (np.pi - np.asarray(theta, float)) / 2


def outline(b, h, corner, throat, phi=0.0) -> weld_groups.Group:
    """The line of a butt all round a tube, at mid-throat; b across (x), h in the plane of the corner (y, longer where
    the cut slants by phi, rad). Round corners count by their chords, which are shorter. SI, (n,) or scalars."""
    b, h, r, a, phi = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (b, h, corner, throat, phi)))
    if not ((b > 2 * r) & (h > 2 * r) & (r >= a / 2) & (np.abs(phi) < np.pi / 2)).all():
        raise InputError(
            field="outline: b, h, corner, throat, phi",
            value=f"{b.min():g}, {h.min():g}, {r.max():g}, {a.max():g} m; {np.degrees(np.abs(phi).max()):g} degrees",
            need="corners that fit the tube, a throat within the wall and a cut under 90 degrees off square",
            example="outline(0.05, 0.05, 0.006, 0.003, pi / 4)",
        )
    x, y = (b - a) / 2, (h - a) / 2
    flat_x, flat_y = b / 2 - r, h / 2 - r
    slant = length_of_cut.si(h=1.0, phi=phi)
    corners = [
        (-flat_x, -y), (flat_x, -y), (x, -flat_y), (x, flat_y), (flat_x, y), (-flat_x, y), (-x, flat_y), (-x, -flat_y),
    ]
    points = np.stack([np.stack([px, py * slant, 0 * px], axis=-1) for px, py in corners], axis=1)
    return replace(weld_groups.polyline(points, closed=True), words="all round")


def on_cut(F, M, phi) -> tuple[np.ndarray, np.ndarray]:
    """Force and moment (n, 3) of a tube, z along it, in the axes of a cut that slants by phi (rad, (n,) or scalar):
    turned about x."""
    F, M = np.atleast_2d(np.asarray(F, float)), np.atleast_2d(np.asarray(M, float))
    c, s = np.cos(phi), np.sin(phi)

    def turned(v):
        return np.stack([v[:, 0], c * v[:, 1] - s * v[:, 2], s * v[:, 1] + c * v[:, 2]], axis=-1)

    return turned(F), turned(M)


def line_force(group: weld_groups.Group, F, M, phi=0.0) -> np.ndarray:
    """Greatest force per length (n,) N/m on a butt line under forces of the tube at the middle of its cut: elastic, a
    slanting cut by the worse of its two slants. F, M: (n, 3), x and y across the tube, z along it, right-handed."""
    return np.max([weld_groups.line_force(group, *on_cut(F, M, side * np.asarray(phi, float))) for side in (1, -1)], axis=0)
